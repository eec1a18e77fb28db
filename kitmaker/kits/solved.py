"""Cutting problems that are solved already, here or in another process: each is solved once."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from threading import Lock
from typing import Any, TypeVar, cast

T = TypeVar("T")

_MOST = 4096
_UNKNOWN = object()
_answers: dict[Hashable, Any] = {}
_lock = Lock()


def solved(problem: Hashable, solve: Callable[[], T]) -> T:
    """Return the answer to a problem; the oldest are forgotten where there are too many.

    The problem is all that the answer depends on.
    """
    found: T | object = _answers.get(problem, _UNKNOWN)
    if found is _UNKNOWN:
        found = solve()
        learn({problem: found})
    return cast("T", found)


def known() -> dict[Hashable, Any]:
    """Return every problem that is solved, with its answer."""
    with _lock:
        return dict(_answers)


def learn(answers: Mapping[Hashable, Any]) -> None:
    """Keep the answers to problems that were solved elsewhere."""
    with _lock:
        for problem, answer in answers.items():
            _answers.setdefault(problem, answer)
        while len(_answers) > _MOST:
            del _answers[next(iter(_answers))]


def forget() -> None:
    """Forget every answer."""
    with _lock:
        _answers.clear()

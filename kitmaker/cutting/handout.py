"""Giving pieces of one size their names back, with as few distinct layouts as possible.

While searching, pieces of one size are one kind. Here each layout's places are handed to
the demands in the caller's order: copy after copy goes to the first demand until it is
served, so at most one mixed copy arises where one demand ends and the next begins.
"""

from __future__ import annotations

from collections import Counter

from kitmaker.cutting.layout import Layout, Part
from kitmaker.cutting.problem import Kind, Problem
from kitmaker.cutting.trees import Column, realize


class Queue:
    """The demands of one kind, waiting to be served."""

    def __init__(self, kind: Kind) -> None:
        self._keys = [demand.key for demand in kind.demands]
        self._left = [demand.count for demand in kind.demands]

    def full_copies(self, each: int) -> int | None:
        """How many copies with ``each`` places go to one demand; None without end."""
        if len(self._keys) == 1:
            return None
        return self._left[0] // each

    def take(self) -> str:
        """Hand one place out."""
        key = self._keys[0]
        self._left[0] -= 1
        if self._left[0] == 0 and len(self._keys) > 1:
            del self._keys[0], self._left[0]
        return key

    def skip(self, places: int) -> None:
        """Hand out places that went the way of an equal copy."""
        for _ in range(places):
            self.take()


def hand_out(
    problem: Problem,
    columns: Counter[Column],
    *,
    height: int | None,
    queues: list[Queue] | None = None,
) -> tuple[Layout, ...]:
    """Lay the chosen columns on sheets and name every piece.

    Args:
        problem: What was solved.
        columns: Layouts and copies.
        height: The sheet's units along; None where each column takes its own size.
        queues: The demands still waiting, where several kinds of sheet serve them in turn.

    Returns:
        Distinct layouts with their copies, the fullest first.
    """
    if queues is None:
        queues = [Queue(kind) for kind in problem.kinds]
    merged: Counter[Part] = Counter()
    order = sorted(columns.items(), key=lambda item: _order(item[0], item[1]))
    for column, copies in order:
        left = copies
        along = column.size if height is None else height
        while left:
            batch = _equal_copies(queues, column, left)
            part = realize(
                column.tree,
                problem.width,
                along,
                problem.unit,
                lambda at: queues[at].take(),
            )
            for queue, each in zip(queues, column.counts, strict=True):
                queue.skip(each * (batch - 1))
            merged[part] += batch
            left -= batch
    return tuple(Layout(part, copies) for part, copies in merged.items())


def _order(column: Column, copies: int) -> tuple[int, int, tuple[int, ...]]:
    return (-column.size, -copies, tuple(-count for count in column.counts))


def _equal_copies(queues: list[Queue], column: Column, left: int) -> int:
    batch = left
    for queue, each in zip(queues, column.counts, strict=True):
        if each:
            full = queue.full_copies(each)
            if full is not None:
                batch = min(batch, max(1, full))
    return batch

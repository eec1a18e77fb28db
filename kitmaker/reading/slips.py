"""Two names that are one but for a slip of the keyboard: ``Mos`` beside ``Moss``.

Names that differ in a number or a single letter are two things ("Print 1", "Print 2";
"Fabric A", "Fabric B"), and so are words that only look alike ("pink", "ink").
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

_LOOK_ALIKE = frozenset(
    map(
        frozenset,
        (("ink", "pink"), ("fog", "frog"), ("dust", "rust"), ("mint", "tint"), ("tan", "tin")),
    )
)
_ENDINGS = ("er", "est", "ish")
_NEAR = 0.8
"""From this share of common letters on, words of six letters and more are one. Our own bound."""


def is_slip(one: str, other: str) -> bool:
    """Return whether one of two different names is most likely the other, mistyped."""
    words, others = (re.findall(r"[a-z0-9]+", name.casefold()) for name in (one, other))
    if words == others or len(words) != len(others):
        return False
    unlike = [pair for pair in zip(words, others, strict=True) if pair[0] != pair[1]]
    return len(unlike) == 1 and _are_one_word(*unlike[0])


def find_slip(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that another name most likely means; None for none."""
    return next((one for one in sorted(known) if is_slip(name, one)), None)


def _are_one_word(one: str, other: str) -> bool:
    shorter, longer = sorted((one, other), key=len)
    if len(shorter) < 2 or any(char.isdigit() for char in one + other):
        return False
    if frozenset((one, other)) in _LOOK_ALIKE or longer in (shorter + end for end in _ENDINGS):
        return False
    ratio = difflib.SequenceMatcher(None, one, other).ratio()
    return _is_one_letter_off(one, other) or (len(longer) > 5 and ratio >= _NEAR)


def _is_one_letter_off(one: str, other: str) -> bool:
    """Return whether a letter is missing, added, mistyped, or two have changed places."""
    while one and other and one[0] == other[0]:
        one, other = one[1:], other[1:]
    while one and other and one[-1] == other[-1]:
        one, other = one[:-1], other[:-1]
    return max(len(one), len(other)) <= 1 or (len(one) == 2 and one == other[::-1])

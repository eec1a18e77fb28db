"""Which letter stands for a piece on paper: the pattern's own where it gives one.

A pattern that names its pieces "A side" or "Piece B2" has lettered them already; drawings,
steps and labels say the same letters. Other pieces get letters that no piece of the pattern has.
The letters run through the whole kit: no two pieces in a bag have the same.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import count

_OWN = re.compile(
    r"(?:(?:piece|patch|unit|template|strip|square|rectangle|triangle)\s+)?"
    r"([A-Z]{1,2}\d{0,2})(?![\w'’&/.½¼¾⅛⅜⅝⅞-])",
    re.IGNORECASE,
)
_ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # no I and no O, which read as 1 and 0


def own_letter(name: str) -> str:
    """Return the letter that a piece's name begins with or is: ``A side``, ``Piece B2``; or ""."""
    found = _OWN.match(name.strip())
    return found.group(1) if found and found.group(1).isupper() else ""


def own_letters(names: Iterable[str]) -> frozenset[str]:
    """Return every letter that a pattern gives to its pieces."""
    return frozenset(letter for name in names if (letter := own_letter(name)))


def letters_of(names: Sequence[str], kept: Collection[str] = ()) -> tuple[str, ...]:
    """Return a letter for each piece, no two alike.

    Letters that the pattern gives to other pieces are kept for those.
    """
    own = [own_letter(name) for name in names]
    kept = {*kept, *own}
    used: set[str] = set()
    free = (letter for letter in _alphabet() if letter not in kept)
    letters = []
    for letter in own:
        if not letter:
            letter = next(free)
        elif letter in used:  # pieces of two fabrics, in one bag
            letter = next(one for at in count(2) if (one := f"{letter}-{at}") not in used)
        used.add(letter)
        letters.append(letter)
    return tuple(letters)


def _alphabet() -> Iterator[str]:
    """Yield A … Z, AA, AB … without end."""
    for number in count(1):
        name, rest = "", number
        while rest:
            rest, at = divmod(rest - 1, len(_ALPHABET))
            name = _ALPHABET[at] + name
        yield name

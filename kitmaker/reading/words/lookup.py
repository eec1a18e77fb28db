"""The lexicon, made ready to be looked up: words by their kind, phrases as patterns of words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from kitmaker.reading.words.lexicon import PHRASES, WORDS
from kitmaker.reading.words.tokens import Kind

KIND_OF = {word: kind for kind, words in WORDS.items() for word in words.split()}
_MAY_STAND_BETWEEN = frozenset(
    {Kind.OPEN, Kind.CLOTH, Kind.GROUP, Kind.BORDER, Kind.DET, Kind.SHAPE}
)
_MOST_BETWEEN = 3
LONGEST = 16


_EACH = re.compile(r"[;\n]")
_NOTATION = {"[": "(?:", "]": ")?", "~": ""}
_pattern = cache(re.compile)
"""Patterns are made when the first word of one is met."""


@cache
def _patterns() -> dict[str, tuple[tuple[Kind, str], ...]]:
    """Return the phrases of the lexicon, as patterns of words, by the words they may begin with."""
    phrases = [(kind, one.strip()) for kind, text in PHRASES.items() for one in _EACH.split(text)]
    closed = {**KIND_OF, **{said: kind for kind, said in phrases if said.isalpha()}}
    stops = [word for word, kind in closed.items() if kind not in _MAY_STAND_BETWEEN]
    between = rf"(?:(?!(?:{'|'.join(map(re.escape, stops))}) )[^\W\d][^ ]* ){{0,{_MOST_BETWEEN}}}?"
    found: dict[str, list[tuple[Kind, str]]] = {}
    for kind, phrase in phrases:
        pattern, begins, depth = "", set[str](), 0
        may_begin, begins_surely = True, False
        for part in phrase.replace("[", " [ ").replace("]", " ] ").split():
            depth += (part == "[") - (part == "]")
            if part in _NOTATION:
                pattern += _NOTATION[part] or between
                may_begin = may_begin or (part == "]" and not begins_surely)
            else:
                words = part.split("/")
                pattern += f"(?:(?:{'|'.join(map(re.escape, words))}) )"
                begins |= set(words) if may_begin else set()
                begins_surely = begins_surely or not depth
                may_begin = False
        for word in begins:
            found.setdefault(word, []).append((kind, pattern))
    return {word: tuple(patterns) for word, patterns in found.items()}


def longest_phrase(words: Sequence[str], shortest: int = 1) -> tuple[Kind, int] | None:
    """Return the longest phrase that words begin with, and how many of them it is.

    It has at least ``shortest`` words, and :data:`LONGEST` at most.
    """
    patterns = _patterns().get(words[0])
    if patterns is None:
        return None
    text = " ".join(words) + " "
    best: tuple[Kind, int] | None = None
    for kind, pattern in patterns:
        fits = _pattern(pattern).match(text)
        count = fits[0].count(" ") if fits else 0
        if count > (best[1] if best else shortest - 1):
            best = kind, count
    return best

"""Counts in words: ``five``, ``thirty four``, ``one hundred and eight``."""

from __future__ import annotations

import re

_UNITS = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"),
    *("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen"),
)
_TENS = dict(
    zip(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"],
        range(20, 100, 10),
        strict=True,
    )
)
_VALUES = {word: value for value, word in enumerate(_UNITS)} | _TENS | {"fourty": 40}
NUMBER_WORD = "|".join(sorted(_VALUES, key=len, reverse=True))
"""A pattern for one word of a number."""
_PHRASE = re.compile(
    rf"\b(?:(?:{NUMBER_WORD}|a)[\s-]+hundred(?:[\s-]+(?:and[\s-]+)?(?:{NUMBER_WORD})(?:[\s-]+(?:{NUMBER_WORD}))?)?"
    rf"|(?:{NUMBER_WORD})(?:(?:-|[ ]+)(?:{NUMBER_WORD}))?)\b"
    r"(?![\s-]+(?:yard|quarter|half|eighth|third|way|patch|patches)\b)",
    re.IGNORECASE,
)


def word_value(text: str) -> int | None:
    """Return the number that words say; None when they say none or not for sure."""
    words = re.findall(r"[a-z]+", text.casefold())
    total, seen_tens, last_unit = 0, False, False
    for word in words:
        if word == "and":
            continue
        if word == "hundred":
            total = max(total, 1) * 100
            seen_tens = last_unit = False
        elif word == "a":
            total = 1
        elif word in _TENS or word == "fourty":
            if seen_tens or last_unit:
                return None
            total, seen_tens = total + _VALUES[word], True
        elif word in _VALUES:
            if last_unit or (seen_tens and _VALUES[word] > 9):
                return None
            total, last_unit = total + _VALUES[word], True
        else:
            return None
    return total or None


def spell_in_figures(text: str) -> str:
    """Return a text with its counts in words written in figures.

    Two number words that make no number together ("two one-inch strips") stay as they are,
    each by itself in figures.
    """

    def figures(match: re.Match[str]) -> str:
        value = word_value(match.group(0))
        if value is not None:
            return str(value)
        parts = re.split(r"([\s-]+)", match.group(0))
        return "".join(str(_VALUES.get(part.casefold(), part)) for part in parts)

    return _PHRASE.sub(figures, text)

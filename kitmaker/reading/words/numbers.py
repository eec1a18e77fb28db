"""Counts in words (``one hundred and eight``), and two sizes in one text (``three (two)``).

Where a pattern says that its sizes stand as ``throw (crib)``, a bracket behind a count or
an amount is the second size's, unless it repeats the same number (``eight (8)``).
"""

from __future__ import annotations

import re

from kitmaker.lengths import LengthError, clean_text, parse_number

_TO_NINETEEN = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen
    sixteen seventeen eighteen nineteen
"""
_BY_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
ONES = {word: number for number, word in enumerate(_TO_NINETEEN.split())}
TENS = {word: 10 * number for number, word in enumerate(_BY_TENS.split(), 2)} | {"fourty": 40}
_VALUES = ONES | TENS
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
        elif word in TENS:
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


_NUMBER = r"\d+\s*-\s*\d+\s*/\s*\d+|\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d*[.]\d+|\d+"
_UNIT = r"(?:\s*(?:yards?|yds?|meters?|metres?|m|cms?|fat quarters?|fqs?|\")\b[.]?)?"
_PAIR = re.compile(
    rf"(?<![\w(])(?P<first>{_NUMBER})(?P<unit>{_UNIT})\s*\(\s*(?P<second>{_NUMBER})"
    rf"(?P<second_unit>{_UNIT})\s*\)",
    re.IGNORECASE,
)


def split_size_names(text: str) -> tuple[str, str] | None:
    """Return the two names of ``throw (crib)``; None for anything else."""
    match = re.fullmatch(r"\s*([^()\d]+?)\s*\(\s*([^()\d]+?)\s*\)\s*", text)
    return (match[1], match[2]) if match else None


def choose_in_brackets(text: str, which: int | None) -> str:
    """Return a text with only the chosen size's numbers in it.

    Args:
        text: What stands there, counts in figures.
        which: 0 for the size outside the brackets, 1 for the one inside; None when the
            pattern has no sizes in brackets, then the text stays as it is.
    """
    if which is None:
        return text

    def chosen(match: re.Match[str]) -> str:
        try:
            same = parse_number(match["first"]) == parse_number(match["second"])
        except LengthError:
            return match.group(0)
        if same or which == 0:
            return f"{match['first']}{match['unit']}"
        return f"{match['second']}{match['second_unit'] or match['unit']}"

    return _PAIR.sub(chosen, clean_text(text))

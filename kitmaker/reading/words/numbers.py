"""Counts in words (``one hundred and eight``), and two sizes in one text (``three (two)``).

Where a pattern says that its sizes stand as ``throw (crib)``, a bracket behind a count or
an amount is the second size's, unless it repeats the same number (``eight (8)``).
"""

from __future__ import annotations

import re

from kitmaker.lengths import LengthError, clean_text, parse_number
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.tokens import Kind


def spell_in_figures(text: str) -> str:
    """Return a text with its counts in words written in figures."""
    figures, done = "", 0
    for token in lex(text):
        whole = token.kind is Kind.NUM and token.value is not None and token.value.denominator == 1
        if whole and token.text[0].isalpha():
            figures += f"{text[done : token.start]}{token.value}"
            done = token.end
    return figures + text[done:]


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

    0 is the size outside the brackets, 1 the one inside; with None the text, whose counts are in
    figures, stays as it is.
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

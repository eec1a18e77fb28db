"""Amounts on a page: which lines state one, and the name of the fabric beside it."""

from __future__ import annotations

import re

from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.phrases import is_cutting
from kitmaker.reading.words.lexicon import word_set

_FRACTION = "[½¼¾⅛⅜⅝⅞⅓⅔]"
_NUMBER = (
    rf"(?:\d+\s*[-\s]?\s*\d+\s*[/⁄∕]\s*\d+|\d+\s*{_FRACTION}|\d+\s*[/⁄∕]\s*\d+|\d+(?:[.,]\d+)?|{_FRACTION}"
    r"|half|quarter|third|eighth|one|two|three|four|five|six|seven|eight|nine|ten|twelve|a)"
)
_UNIT = (
    r"(?:yards?|yds?\.?|yd\.?|met(?:er|re)s?|m|cm|(?:fat|long)\s+(?:quarters?|eighths?)|"
    r"(?:fat|long)\s+[¼⅛]s?|fqs?|f8s?|panels?|(?:precut\s+)?(?:strips|squares)|packs?|bundles?)"
)
AMOUNT = re.compile(
    rf"(?:each\s+of\s+)?(?<![\w½¼¾⅛⅜⅝⅞⅓⅔./]){_NUMBER}(?:\s*\(\d+\))?\s*[-–—]?\s*"
    rf"(?:(?:of\s+)?an?\s+)?(?:[a-z]+\s+){{0,2}}?{_UNIT}(?![\w])"
    rf"(?:\s*[(/|]\s*{_NUMBER}\s*{_UNIT}\s*\)?)?",
    re.IGNORECASE,
)
_SURE_UNIT = re.compile(
    r"(?<![a-z])(?:y(?:ar)?ds?|met(?:er|re)s?|m|cm|(?:fat|long)\s+(?:quarter|eighth|[¼⅛])s?|fqs?|f8s?|panels?)"
    r"(?![a-z])",
    re.IGNORECASE,
)
_PIECES = re.compile(r"\b(?:squares?|rectangles?|strips?|triangles?|pieces?|wide)\b|[x×]", re.I)
_BARE_FORM = re.compile(r"\b(?:fat|long)\s+(?:quarter|eighth)\b", re.IGNORECASE)
_LONGEST = 140
_SENTENCE = re.compile(
    r"\b(?:based on|assum\w+|is enough|are enough|extra|allow|calculated|requires?|usable|note|"
    r"if you|you may|optional\w*)\b",
    re.IGNORECASE,
)
_NO_NAMES = word_set("cm m mm in inch inches yd yds yard yards square wide of or x")
_EDGES = " \t.…·•:;,–—-=|/&_*"


def states_amount(text: str, *, in_list: bool = False) -> bool:
    """Whether a line states how much of a fabric is bought.

    Args:
        text: The line.
        in_list: Whether it stands in a list of what is needed, where ``40 strips 2½"`` are bought.
    """
    if len(text) > _LONGEST or is_cutting(text) or _SENTENCE.search(text):
        return False
    units = {found[0].casefold() for found in _SURE_UNIT.finditer(text)}
    if not units:
        return in_list and _is_read(text)
    if units == {"cm"} and _PIECES.search(text):
        return False  # a size in centimeters
    return AMOUNT.search(text) is not None or _is_read(text)


def _is_read(text: str) -> bool:
    try:
        read_amount(text)
    except AmountError:
        return False
    return True


def names_something(text: str) -> bool:
    """Whether a line holds more than an amount."""
    rest = re.sub(r"[\d\W_]+", " ", AMOUNT.sub(" ", text))
    return any(word not in _NO_NAMES for word in rest.casefold().split())


def name_beside(text: str) -> str:
    """Return what an amount is of: the line without the amount."""
    found = AMOUNT.search(text) or _BARE_FORM.search(text)
    if found is None:
        return text.strip(_EDGES)
    before, behind = text[: found.start()], text[found.end() :]
    behind = re.sub(r"^\s*[.)]*\s*(?:each\s+)?(?:of\s+)?(?:an?\s+|the\s+)?", " ", behind)
    behind = re.sub(
        r"^\s*(?:[\d\s/½¼-]+(?:cm|in|\"|″|inch(?:es)?)?\s*(?:\([^)]*\)\s*)?-?\s*wide)\s*",
        " ",
        behind,
    )
    name = f"{before.rstrip(_EDGES + '(')} {behind.strip(_EDGES)}"
    if name.count(")") > name.count("("):
        name = name.replace(")", "", 1)
    name = re.sub(r"\s*[.…_]{3,}\s*", " ", name)
    name = re.sub(r"\s+", " ", name).strip(_EDGES)
    return re.sub(r"^(?:of|for)\s+(?:the\s+)?", "", name, flags=re.IGNORECASE) or text.strip(_EDGES)

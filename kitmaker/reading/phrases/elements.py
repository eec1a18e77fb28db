"""A plain line into elements: counts, sizes, nouns and the words between them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from kitmaker.lengths import Length, Unit, say_number
from kitmaker.reading.phrases.plain import (
    NUMBER,
    UNIT,
    UnsureError,
    has_lost_gap,
    read_number,
    to_length,
)


class Kind(StrEnum):
    """What an element is."""

    COUNT = "count"
    SIZE = "size"
    NOUN = "noun"
    LETTER = "letter"
    WOF = "width of fabric"
    LOF = "length of fabric"
    DIAGONAL = "diagonal cuts"
    AT = "at"
    BREAK = "break"
    WORD = "word"


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One element of a line.

    Attributes:
        kind: What it is.
        text: As it stands there.
        number: The count, or how many diagonal cuts.
        first: The first measure of a size, inches.
        second: The second measure; None for a size of one number.
        times_count: The count in ``8 x 2½" x WOF``; None elsewhere.
        bare: The first measure where it is a whole number without a unit of its own; else None.
        bare_second: Whether the second measure is one.
        plural: Whether a noun speaks of several.
        across: Whether the size is one ``x WOF``; ``x LOF`` is ``along``.
    """

    kind: Kind
    text: str
    number: int = 0
    first: Length | None = None
    second: Length | None = None
    times_count: int | None = None
    bare: int | None = None
    bare_second: bool = False
    plural: bool = False
    across: bool = False
    along: bool = False


NOUNS = {
    "square": ("square", False),
    "squares": ("square", True),
    "sq": ("square", True),
    "sqs": ("square", True),
    "sq.": ("square", True),
    "rectangle": ("rectangle", False),
    "rectangles": ("rectangle", True),
    "rect": ("rectangle", True),
    "rects": ("rectangle", True),
    "strip": ("strip", False),
    "strips": ("strip", True),
    "piece": ("piece", False),
    "pieces": ("piece", True),
    "patch": ("piece", False),
    "patches": ("piece", True),
    "segment": ("piece", False),
    "segments": ("piece", True),
    "section": ("piece", False),
    "sections": ("piece", True),
    "length": ("length", False),
    "lengths": ("length", True),
    "binding": ("binding", False),
    "bindings": ("binding", True),
    "border": ("border", False),
    "borders": ("border", True),
}

_WOF = (
    r"w\.?o\.?f\b\.?|(?:across\s+)?(?:the\s+)?(?:full\s+)?(?:width|with)\s+of\s+(?:the\s+)?(?:[a-z]+\s+){0,2}?fabric"
    r"|across\s+(?:the\s+)?(?:full\s+)?(?:fabric\s+)?width|(?:full\s+)?fabric\s+width|full\s+width"
    r"|across\s+(?:the\s+)?(?:full\s+)?width"
    r"|selvage\s+to\s+selvage|across\s+the\s+fabric|crosswise"
)
_LOF = (
    r"l\.?o\.?f\b\.?|(?:(?:along|down|in)\s+)?(?:the\s+)?(?:full\s+)?length\s+of\s+(?:the\s+)?(?:[a-z]+\s+){0,2}?fabric"
    r"|(?:along|down|in)\s+the\s+(?:full\s+)?length\b(?!\s+(?:of|\d))|lengthwise(?:\s+grain)?"
    r"|(?:parallel\s+to|along)\s+the\s+selvages?|parallel\s+to\s+selvages?|fabric\s+length"
)
_TIMES = r"\s*(?:×|\bx\b|(?<=[\d\".])x(?=[\s\d.wl])|\*|\bby\b)\s*"
_SPAN = r"(?:\s*-?\s*(?:wide|long|tall|high|in\s+width|in\s+length)\b)?"
_MEASURE = rf"{NUMBER}\s*{UNIT}?{_SPAN}"
_SIZE = (
    rf"(?P<a>{NUMBER})\s*(?P<au>{UNIT})?{_SPAN}"
    rf"(?:{_TIMES}(?:(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?{_SPAN}|(?P<wof>{_WOF})|(?P<lof>{_LOF})"
    r"|(?P<unknown>\?)\s*\*?))?"
    rf"(?:{_TIMES}(?:(?P<c>{NUMBER})\s*(?P<cu>{UNIT})?{_SPAN}|(?P<cwof>{_WOF})))?"
)
_NAMED = (
    r"fabric|step|page|block|border|row|unit|figure|fig|diagram|colou?r|print|round|section"
    r"|template|part|strip-set|set|size"
)
_MORE = r"\s*(?:&|and|,|or)\s*\d{1,2}(?!\s+(?:from|of)\b)"
# "Borders 2 @ 4 x 40" holds a count; only one thing is named by one number.
_LABELED = (
    rf"\b(?:(?:{_NAMED})\s*\#?\s*\d{{1,2}}(?:{_MORE})*|(?:{_NAMED})s\s*\#?\s*\d{{1,2}}(?:{_MORE})+)"
    r"(?![\d/.\"]|\s*(?:x|×|@|--|\d|\"|inch|cm|-\s*\d|strips?|squares?|rect))"
)
LABELED = re.compile(_LABELED, re.IGNORECASE)
"""A thing named by its number: ``block 2``, ``prints 1, 2 and 3``."""
_TOKEN = re.compile(
    "|".join(
        (
            r"‹(?P<count>\d+)›",
            r"‹(?P<letter>[^›]*)›",
            r"§(?P<diagonal>[12])§",
            rf"(?P<labeled>{_LABELED}|\b(?:strip|square|rectangle|piece)\s*\#?\s*\d{{1,2}}\s*(?=:))",
            r"(?P<ordinal>\b\d+(?:st|nd|rd|th)\b|\b[A-Za-z]{1,2}-?\d{1,2}\b(?!\s*/))",
            rf"(?P<size>{_SIZE})",
            rf"(?P<across>\b(?:{_WOF}))",
            rf"(?P<along>\b(?:{_LOF}))",
            r"(?P<at>@)",
            r"(?P<break>--|[,:=&+;]|-|\.(?=\s|$))",
            r"(?P<word>[^\W\d_](?:[^\W\d_]|['’/-])*\.?)",
            r"(?P<space>\s+)",
            r"(?P<other>.)",
        )
    ),
    re.IGNORECASE,
)
_SOURCES = re.compile(r"(?:fabric|print|colou?r)s?\b.*\d\D+\d", re.IGNORECASE)
_AREA = re.compile(
    rf"{NUMBER}\s*-?\s*(?:sq(?:uare)?s?\.?\s*(?:\"|inch(?:es)?\b|in\b\.?(?!\s+each)|cm\b|yards?\b))"
    r"(?!\s*(?:x|×))",
    re.IGNORECASE,
)


def elements_of(text: str, unit: Unit, warnings: list[str]) -> list[Element]:
    """Return the elements of a plain line.

    Raises:
        UnsureError: A number or a sign in it cannot be read for sure.
    """
    if area := _AREA.search(text):
        raise UnsureError(
            f"'{area.group(0)}' is an area, not a piece", "Type the pieces with width and length."
        )
    found: list[Element] = []
    for match in _TOKEN.finditer(text):
        element = _element(match, unit, warnings)
        if element is not None:
            found.append(element)
    return found


def _element(match: re.Match[str], unit: Unit, warnings: list[str]) -> Element | None:
    text = match.group(0)
    kind = match.lastgroup or ""
    if match["count"] is not None:
        return Element(kind=Kind.COUNT, text=text, number=int(match["count"]))
    if match["letter"] is not None:
        return Element(kind=Kind.LETTER, text=match["letter"])
    if match["diagonal"] is not None:
        return Element(kind=Kind.DIAGONAL, text=text, number=int(match["diagonal"]))
    if match["size"] is not None:
        return _size(match, unit, warnings)
    if match["word"] is not None:
        return _word(text)
    if match["space"] is not None:
        return None
    if match["other"] is not None:
        return _sign(text)
    if kind == "labeled" and _SOURCES.match(text):
        raise UnsureError(
            f"whether the count is for each of '{text}' or for all is not said",
            "Write the cuts beside each fabric by itself.",
        )
    plain = {"across": Kind.WOF, "along": Kind.LOF, "at": Kind.AT, "break": Kind.BREAK}
    return Element(kind=plain.get(kind, Kind.WORD), text=text)


def _sign(text: str) -> Element | None:
    if text == "×":
        return Element(kind=Kind.WORD, text="x")
    if text == "?":
        raise UnsureError("a size is left open ('?')", "Measure, and type the size.")
    if text in "\"'*~!<>|•":
        return None
    raise UnsureError(f"the sign '{text}' has no part to play", "Write the line without it.")


def _word(text: str) -> Element:
    noun = NOUNS.get(text.casefold()) or NOUNS.get(text.casefold().rstrip("."))
    if noun is not None:
        return Element(kind=Kind.NOUN, text=noun[0], plural=noun[1])
    return Element(kind=Kind.WORD, text=text)


def _size(match: re.Match[str], unit: Unit, warnings: list[str]) -> Element:
    if match["unknown"] is not None:
        raise UnsureError("a size is left open ('?')", "Measure, and type the size.")
    warnings.extend(
        f"'{match[part]}' is read as {say_number(read_number(match[part]))}: whole number and "
        "fraction stand close together"
        for part in ("a", "b", "c")
        if match[part] is not None and has_lost_gap(match[part])
    )
    first_unit = match["au"] or match["bu"] or match["cu"]
    bare = match["au"] is None
    whole = read_number(match["a"])
    alone = all(match[part] is None for part in ("au", "b", "wof", "lof", "c", "cwof"))
    if alone and whole.denominator == 1:
        return Element(kind=Kind.COUNT, text=match.group(0), number=int(whole))
    if match["c"] is not None or match["cwof"] is not None:
        return _three(match, unit, int(whole) if bare and whole.denominator == 1 else None)
    first = to_length(match["a"], first_unit, unit)
    second = None
    if match["b"] is not None:
        second = to_length(match["b"], match["bu"] or match["au"], unit)
    return Element(
        kind=Kind.SIZE,
        text=match.group(0),
        first=first,
        second=second,
        bare=int(whole) if bare and whole.denominator == 1 else None,
        bare_second=match["b"] is not None and match["bu"] is None and match["b"].isdigit(),
        across=match["wof"] is not None,
        along=match["lof"] is not None,
    )


def _three(match: re.Match[str], unit: Unit, count: int | None) -> Element:
    """``8 x 2½" x 42"``: a count and a size."""
    if count is None or match["b"] is None:
        raise UnsureError(f"'{match.group(0)}' has three measures", "Type the count in brackets.")
    last = match["c"]
    return Element(
        kind=Kind.SIZE,
        text=match.group(0),
        first=to_length(match["b"], match["bu"] or match["cu"], unit),
        second=None if last is None else to_length(last, match["cu"] or match["bu"], unit),
        times_count=count,
        across=match["cwof"] is not None,
    )

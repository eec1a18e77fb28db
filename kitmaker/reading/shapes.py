"""The words of a Shape cell: which figure they name, and how it is made.

A word with two honest meanings is asked about: a bare "HST" may be the triangle or the unit
sewn of two. A shape that is not built is said to be unread; none is ever taken for one that
looks like it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from kitmaker.arithmetic.cut_sizes import NOTHING
from kitmaker.arithmetic.figures import FROM_STRIPS, Figure
from kitmaker.errors import NotSureError
from kitmaker.lengths import Length, LengthError, Unit, parse_length
from kitmaker.pattern import Shape
from kitmaker.reading.cells import tidy_text

KNOWN_SHAPES = (
    "Type rectangle, square, strip, square cut once on the diagonal, square cut twice on the "
    "diagonal, or a finished shape: half-square triangle, quarter-square triangle, flying geese "
    "goose, flying geese sky, square-in-a-square center, square-in-a-square corner, setting "
    "triangle, corner triangle, left (or right) half-rectangle triangle, 60° triangle, "
    "45° (or 60°) diamond, hexagon, eight-point star diamond, corner square or side triangle."
)


class ShapeWordsError(NotSureError):
    """The words of a shape cannot be read for sure."""

    usual = KNOWN_SHAPES


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeWords:
    """What a Shape cell says."""

    figure: Figure  # the figure; RECTANGLE for an empty cell and for a strip
    is_strip: bool = False  # whether it says strip
    is_joined: bool = False  # whether it says joined: one length, sewn together from strips
    # whether it names squares to cut ("square cut once …"), not finished triangles
    is_cut: bool = False
    # what squares are cut larger to be trimmed later, inches; 0 for nothing
    oversize: Length = NOTHING
    way_is_open: bool = False  # whether the figure is made in several ways and none is named


_FILLERS = re.compile(r"\b(?:the|a|an|on|each|along|across|into|of|for|unit|units|patch|patches)\b")
_NOUNS = ("triangle", "diamond", "hexagon", "square", "rectangle", "corner", "star", "center")
_PLAIN_WORDS = {f"{noun}s": noun for noun in (*_NOUNS, "strip")} | {
    **dict.fromkeys(("centre", "centres"), "center"),
    "sq": "square",
}
_WAYS = {
    "eight": re.compile(r"\b(?:8|eight) (?:at )?(?:once|time)\b"),
    "four": re.compile(r"\b(?:4|four) (?:at )?(?:once|time)\b|\bno waste\b"),
    "two": re.compile(r"\b(?:2|two) (?:at )?(?:once|time)\b"),
    "single": re.compile(
        r"\b(?:1|one) (?:at )?time\b|\bsingle\b|\bstitch and flip\b|\bflipped(?: corner)?\b"
    ),
}
_FROM_TRIANGLES = re.compile(r"\b(?:from|with) triangle\b")
_FROM_STRIPS = re.compile(r"\b(?:strip cut|cut from strip|from strip)\b")
_IN_SQUARE, _STAR = "square in square", r"(?:(?:8|eight) point(?:ed)?|lemoyne|le moyne) star ?"
_GEESE = r"(?:flying )?(?:(?:geese|goose|sky|triangle|square|center) ?)+"
_HALF_RECTANGLE = r"(?: slant)? ?half rectangle(?: triangle)?"
_OF_UNITS: tuple[tuple[str, Mapping[str, Figure]], ...] = (
    (
        r"flying geese goose|(?:flying |geese )?goose|goose triangle",
        {"": Figure.GOOSE, "four": Figure.GOOSE_FOUR, "single": Figure.GOOSE_SINGLE},
    ),
    (
        rf"(?=.*\bsky\b){_GEESE}",
        {"": Figure.SKY, "four": Figure.SKY_FOUR, "single": Figure.SKY_SINGLE},
    ),
    (
        rf"{_IN_SQUARE} corner(?: triangle| square)?",
        {"": Figure.IN_CORNER, "single": Figure.IN_CORNER_FLIPPED},
    ),
    (
        rf"{_IN_SQUARE} (?:center(?: square)?|base)",
        {"": Figure.CENTER, "single": Figure.CENTER_FLIPPED},
    ),
)
"""What is made in several ways: its words, and the figure of each way."""
_IN_WAYS = frozenset(figure for _, ways in _OF_UNITS for figure in ways.values())
_FIGURES: tuple[tuple[str, Mapping[str, Figure]], ...] = (
    (
        r"half square triangle",
        {"": Figure.HALF_SQUARE, "two": Figure.HALF_SQUARE, "eight": Figure.HALF_SQUARE_EIGHT},
    ),
    (r"quarter square triangle", {"": Figure.QUARTER_SQUARE}),
    (r"(?:side|edge)? ?setting triangle|side triangle", {"": Figure.SETTING}),
    (r"corner(?: setting)? triangle", {"": Figure.CORNER}),
    (rf"left{_HALF_RECTANGLE}", {"": Figure.HALF_LEFT}),
    (rf"right{_HALF_RECTANGLE}", {"": Figure.HALF_RIGHT}),
    *_OF_UNITS,
    (rf"{_STAR}(?:45 degree )?diamond", {"": Figure.STAR_DIAMOND}),
    (rf"{_STAR}(?:corner|square|corner square)", {"": Figure.STAR_CORNER}),
    (rf"{_STAR}(?:side|triangle|side triangle)", {"": Figure.STAR_SIDE}),
    (r"60(?: degree)? triangle|equilateral triangle", {"": Figure.TRIANGLE_60}),
    (r"45(?: degree)? ?diamond", {"": Figure.DIAMOND_45}),
    (r"60(?: degree)? ?diamond", {"": Figure.DIAMOND_60}),
    (r"hexagon", {"": Figure.HEXAGON}),
)
_OVERSIZE = re.compile(
    r"[,;(]?\s*(?:(?:cut|made)\s+)?(?P<before>\d[\d\s./½¼¾⅛⅜⅝⅞]*(?:\"|in\.?|inch(?:es)?|cm|mm)?)\s+"
    r"(?:oversized?|larger|too large|to trim)(?:\s+(?:and|to be)\s+trim(?:med)?)?[)]?"
    r"|[,;(]?\s*oversized?\s*(?:by\s+)?(?P<after>\d[\d\s./½¼¾⅛⅜⅝⅞]*(?:\"|in\.?|inch(?:es)?|cm|mm)?)"
    r"(?:\s+(?:and|to be)\s+trim(?:med)?)?[)]?",
    re.IGNORECASE,
)
_TYPE_OVERSIZE = "Type the figure, such as: half-square triangle, 1/4 in oversize."
_SAYS_UNIT = re.compile(r"\b(?:units?|patch(?:es)?)\b", re.IGNORECASE)
_SAYS_OVERSIZE = re.compile(r"\b(?:oversized?|trim(?:med)?)\b", re.IGNORECASE)


def parse_shape(text: str, unit: Unit = Unit.INCH) -> ShapeWords:
    """Read the words of a Shape cell.

    An empty text is a rectangle; a bare oversize is in the unit.

    Raises:
        ShapeWordsError: They name no shape that is built, or more than one.
    """
    rest, oversize = _without_oversize(" ".join(tidy_text(text).split()), unit)
    words = _plain(rest)
    found = _plain_shape(words) or _cut_square(words) or _finished_figure(words)
    if found is None:
        raise ShapeWordsError(f"the shape '{text.strip()}' is not one that can be cut for sure")
    of_units = found.figure is Figure.QUARTER_SQUARE and not found.is_cut
    if of_units and _SAYS_UNIT.search(rest):
        raise ShapeWordsError(
            "a unit of quarter-square triangles holds one, two or four triangles of a fabric",
            "Type quarter-square triangle, and count the triangles of this fabric.",
        )
    return replace(found, oversize=oversize)


def _without_oversize(text: str, unit: Unit) -> tuple[str, Length]:
    match = _OVERSIZE.search(text)
    if match is None:
        if _SAYS_OVERSIZE.search(text):
            raise ShapeWordsError(
                "how much larger to cut before trimming is not said; ¼ in to 1 in are usual",
                _TYPE_OVERSIZE,
            )
        return text, NOTHING
    try:
        oversize = parse_length((match["before"] or match["after"]).strip(), unit)
    except LengthError as fault:
        todo = fault.suggestion or _TYPE_OVERSIZE
        raise ShapeWordsError(f"the oversize cannot be read: {fault}", todo) from None
    return text[: match.start()] + " " + text[match.end() :], oversize


def _plain(text: str) -> str:
    words = text.casefold().replace("°", " degree ").replace("degrees", "degree")
    words = re.sub(r"[^\w\s]", " ", words)
    words = _FILLERS.sub(" ", words)
    return " ".join(_PLAIN_WORDS.get(word, word) for word in words.split())


_CUT_FIGURES = {
    _plain(shape.value): figure
    for shape, figure in (
        (Shape.FOR_EIGHT, Figure.HALF_SQUARE_EIGHT),
        (Shape.FOR_FOUR_GEESE, Figure.GOOSE_FOUR),
        (Shape.FLIPPED_CORNER, Figure.SKY_SINGLE),
        (Shape.HALF_LEFT, Figure.HALF_LEFT),
        (Shape.HALF_RIGHT, Figure.HALF_RIGHT),
    )
}
"""What is cut for a figure, as ``check`` and a draft name it, with the figure."""


def _plain_shape(words: str) -> ShapeWords | None:
    if words in ("", "rectangle", "rect", "oblong"):
        return ShapeWords(figure=Figure.RECTANGLE)
    if words == "square":
        return ShapeWords(figure=Figure.SQUARE)
    if re.fullmatch(r"(?:wof |whole )?strip(?: used whole)?|binding(?: strip)?", words):
        return ShapeWords(figure=Figure.RECTANGLE, is_strip=True)
    if re.fullmatch(r"joined(?: (?:strip|length))?", words):
        return ShapeWords(figure=Figure.RECTANGLE, is_joined=True)
    if words in _CUT_FIGURES:
        return ShapeWords(figure=_CUT_FIGURES[words], is_cut=True)
    return None


def _cut_square(words: str) -> ShapeWords | None:
    """Squares cut on the diagonal, as the contract of the table names them."""
    if not re.search(r"\bdiagonal(?:ly|s)?\b", words) and not words.startswith("square cut"):
        return None
    if re.search(r"\b(?:rectangle|strip)\b", words):
        return None
    if re.search(r"\b(?:twice|2 times|2x|x2|both diagonals?|quarters?|2)\b", words):
        return ShapeWords(figure=Figure.QUARTER_SQUARE, is_cut=True)
    if re.search(r"\b(?:once|1 time|1x|half|1)\b", words):
        return ShapeWords(figure=Figure.HALF_SQUARE, is_cut=True)
    return None


def _finished_figure(words: str) -> ShapeWords | None:
    for abbreviation, whole, cut in (
        ("hsts?", "half-square triangle", "one triangle, two of which come from a square"),
        ("qsts?", "quarter-square triangle", "one triangle, four of which come from a square"),
    ):
        if re.search(rf"\b{abbreviation}\b", words):
            name = abbreviation.removesuffix("s?").upper()
            raise ShapeWordsError(
                f"'{name}' may be {cut}, or the square unit that is sewn of them",
                f"Type '{whole}' and count the triangles of this fabric, or "
                f"'square cut {'once' if name == 'HST' else 'twice'} on the diagonal' with cut "
                "sizes and count the squares.",
            )
    rest, way = _way(words)
    rest, of_triangles = _without(_FROM_TRIANGLES, rest)
    rest, of_strips = _without(_FROM_STRIPS, rest)
    if re.search(rf"\b{_IN_SQUARE}\b", rest):
        rest = f"{_IN_SQUARE} {_without(re.compile(_IN_SQUARE), rest)[0]}".strip()
    for pattern, ways in _FIGURES:
        if re.fullmatch(pattern, rest):
            figure = ways.get(way)
            known = (not of_triangles or figure in _IN_WAYS) and (
                not of_strips or figure in FROM_STRIPS
            )
            if figure is None or not known:
                return None
            is_open = figure in _IN_WAYS and not way and not of_triangles
            return ShapeWords(figure=figure, way_is_open=is_open)
    _ask_which(rest)
    return None


def _without(pattern: re.Pattern[str], words: str) -> tuple[str, bool]:
    rest, count = pattern.subn(" ", words)
    return " ".join(rest.split()), count > 0


def _way(words: str) -> tuple[str, str]:
    for way, pattern in _WAYS.items():
        rest, found = _without(pattern, words)
        if found:
            return " ".join(re.sub(r"\bmethod\b|\bat\s*$", " ", rest).split()), way
    return words, ""


def _ask_which(words: str) -> None:
    """Ask which part or which angle is meant where only the whole is named."""
    for whole, message, suggestion in _PARTS_OF:
        if re.fullmatch(whole, words):
            raise ShapeWordsError(message, suggestion)


_PARTS_OF = (
    (
        r"(?:slant )?half rectangle(?: triangle)?",
        "left and right half-rectangle triangles are mirror images: it is not said which",
        "Type 'left half-rectangle triangle' or 'right half-rectangle triangle', "
        "each in its own row.",
    ),
    (
        rf"(?=.*\b(?:flying|goose|geese)\b){_GEESE}",
        "flying geese have two fabrics, and it is not said which this one is",
        "Type 'flying geese goose' for the large triangle or 'flying geese sky' for the two "
        "small ones, with 'one at a time' or 'four at a time'.",
    ),
    (
        f"{_IN_SQUARE}.*",
        "a square in a square has a center and corners, and it is not said which these are",
        "Type 'square-in-a-square center' or 'square-in-a-square corner', with 'from "
        "triangles' or 'flipped corners'.",
    ),
    (
        rf"{_STAR.removesuffix(' ?')}(?: .*)?",
        "an eight-point star has diamonds, corner squares and side triangles, and it is not "
        "said which these are",
        "Type 'eight-point star diamond', 'eight-point star corner square' or 'eight-point "
        "star side triangle', with the finished size of the block.",
    ),
    (
        "diamond",
        "the angle of the diamond is not said",
        "Type '45° diamond' or '60° diamond'.",
    ),
)
"""A whole that is named, what is not said of it, and what to type instead."""

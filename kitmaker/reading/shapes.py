"""The words of a Shape cell: which figure they name, and how it is made.

A word with two honest meanings is asked about: a bare "HST" may be the triangle or the unit
sewn of two. A shape that is not built is said to be unread; none is ever taken for one that
looks like it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.arithmetic.cut_sizes import NOTHING
from kitmaker.arithmetic.figures import Figure
from kitmaker.lengths import Length, LengthError, Unit, parse_length
from kitmaker.reading.cells import tidy_text

KNOWN_SHAPES = (
    "Type rectangle, square, strip, square cut once on the diagonal, square cut twice on the "
    "diagonal, or a finished shape: half-square triangle, quarter-square triangle, flying geese "
    "goose, flying geese sky, square-in-a-square center, square-in-a-square corner, setting "
    "triangle, corner triangle, left (or right) half-rectangle triangle, 60° triangle, "
    "45° (or 60°) diamond, hexagon, eight-point star diamond, corner square or side triangle."
)


class ShapeWordsError(ValueError):
    """The words of a shape cannot be read for sure.

    Attributes:
        suggestion: What to type instead.
    """

    def __init__(self, message: str, suggestion: str = KNOWN_SHAPES) -> None:
        super().__init__(message)
        self.suggestion = suggestion


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeWords:
    """What a Shape cell says.

    Attributes:
        figure: The figure; RECTANGLE for an empty cell and for a strip.
        is_strip: Whether it says strip.
        is_cut: Whether it names squares to cut ("square cut once …"), not finished triangles.
        oversize: What squares are cut larger to be trimmed later, inches; 0 for nothing.
        way_is_open: Whether the figure is made in several ways and none is named.
    """

    figure: Figure
    is_strip: bool = False
    is_cut: bool = False
    oversize: Length = NOTHING
    way_is_open: bool = False


_FILLERS = re.compile(r"\b(?:the|a|an|on|each|along|across|into|of|for|unit|units|patch|patches)\b")
_PLURALS = {
    "triangles": "triangle",
    "diamonds": "diamond",
    "hexagons": "hexagon",
    "squares": "square",
    "rectangles": "rectangle",
    "corners": "corner",
    "stars": "star",
    "centers": "center",
    "centre": "center",
    "centres": "center",
    "strips": "strip",
    "sq": "square",
}
_EIGHT = re.compile(r"\b(?:8|eight) (?:at )?(?:once|time)\b")
_FOUR = re.compile(r"\b(?:4|four) (?:at )?(?:once|time)\b|\bno waste\b")
_TWO = re.compile(r"\b(?:2|two) (?:at )?(?:once|time)\b")
_ONE = re.compile(
    r"\b(?:1|one) (?:at )?time\b|\bsingle\b|\bstitch and flip\b|\bflipped(?: corner)?\b"
)
_FROM_TRIANGLES = re.compile(r"\b(?:from|with) triangle\b")
_OVERSIZE = re.compile(
    r"[,;(]?\s*(?:(?:cut|made)\s+)?(?P<before>\d[\d\s./½¼¾⅛⅜⅝⅞]*(?:\"|in\.?|inch(?:es)?|cm|mm)?)\s+"
    r"(?:oversized?|larger|too large|to trim)(?:\s+(?:and|to be)\s+trim(?:med)?)?[)]?"
    r"|[,;(]?\s*oversized?\s*(?:by\s+)?(?P<after>\d[\d\s./½¼¾⅛⅜⅝⅞]*(?:\"|in\.?|inch(?:es)?|cm|mm)?)"
    r"(?:\s+(?:and|to be)\s+trim(?:med)?)?[)]?",
    re.IGNORECASE,
)
_SAYS_UNIT = re.compile(r"\b(?:units?|patch(?:es)?)\b", re.IGNORECASE)
_SAYS_OVERSIZE = re.compile(r"\b(?:oversized?|trim(?:med)?)\b", re.IGNORECASE)


def parse_shape(text: str, unit: Unit = Unit.INCH) -> ShapeWords:
    """Read the words of a Shape cell.

    Args:
        text: What was typed; "" is a rectangle.
        unit: What a bare oversize is in.

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
    if not oversize:
        return found
    return ShapeWords(
        figure=found.figure,
        is_strip=found.is_strip,
        is_cut=found.is_cut,
        oversize=oversize,
        way_is_open=found.way_is_open,
    )


def _without_oversize(text: str, unit: Unit) -> tuple[str, Length]:
    match = _OVERSIZE.search(text)
    if match is None:
        if _SAYS_OVERSIZE.search(text):
            raise ShapeWordsError(
                "how much larger to cut before trimming is not said; ¼ in to 1 in are usual",
                "Type the figure, such as: half-square triangle, 1/4 in oversize.",
            )
        return text, NOTHING
    try:
        oversize = parse_length((match["before"] or match["after"]).strip(), unit)
    except LengthError as fault:
        raise ShapeWordsError(f"the oversize cannot be read: {fault}", fault.suggestion) from None
    return text[: match.start()] + " " + text[match.end() :], oversize


def _plain(text: str) -> str:
    words = text.casefold().replace("°", " degree ").replace("degrees", "degree")
    words = re.sub(r"[^\w\s]", " ", words)
    words = _FILLERS.sub(" ", words)
    return " ".join(_PLURALS.get(word, word) for word in words.split())


def _plain_shape(words: str) -> ShapeWords | None:
    if words in ("", "rectangle", "rect", "oblong"):
        return ShapeWords(figure=Figure.RECTANGLE)
    if words == "square":
        return ShapeWords(figure=Figure.SQUARE)
    if re.fullmatch(r"(?:wof |whole )?strip(?: used whole)?|binding(?: strip)?", words):
        return ShapeWords(figure=Figure.RECTANGLE, is_strip=True)
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
    readers = (_triangle, _geese, _in_a_square, _star, _from_strips)
    return next((found for read in readers if (found := read(words)) is not None), None)


def _way(words: str) -> tuple[str, str]:
    """Return the words without the way it is made, and the way."""
    for way, pattern in (("eight", _EIGHT), ("four", _FOUR), ("two", _TWO), ("single", _ONE)):
        if match := pattern.search(words):
            rest = f"{words[: match.start()]} {words[match.end() :]}"
            rest = re.sub(r"\bmethod\b|\bat\s*$", " ", rest)
            return " ".join(rest.split()), way
    return words, ""


def _triangle(words: str) -> ShapeWords | None:
    rest, way = _way(words)
    if re.fullmatch(r"half square triangle", rest) and way in ("", "two", "eight"):
        figure = Figure.HALF_SQUARE_EIGHT if way == "eight" else Figure.HALF_SQUARE
        return ShapeWords(figure=figure)
    if way:
        return None
    if re.fullmatch(r"quarter square triangle", rest):
        return ShapeWords(figure=Figure.QUARTER_SQUARE)
    if re.fullmatch(r"(?:side|edge)? ?setting triangle|side triangle", rest):
        return ShapeWords(figure=Figure.SETTING)
    if re.fullmatch(r"corner(?: setting)? triangle", rest):
        return ShapeWords(figure=Figure.CORNER)
    if match := re.fullmatch(r"(left|right)?(?: slant)? ?half rectangle(?: triangle)?", rest):
        if match[1] is None:
            raise ShapeWordsError(
                "left and right half-rectangle triangles are mirror images: it is not said which",
                "Type 'left half-rectangle triangle' or 'right half-rectangle triangle', "
                "each in its own row.",
            )
        figure = Figure.HALF_LEFT if match[1] == "left" else Figure.HALF_RIGHT
        return ShapeWords(figure=figure)
    return None


_GEESE = {
    ("goose", ""): Figure.GOOSE,
    ("goose", "four"): Figure.GOOSE_FOUR,
    ("goose", "single"): Figure.GOOSE_SINGLE,
    ("sky", ""): Figure.SKY,
    ("sky", "four"): Figure.SKY_FOUR,
    ("sky", "single"): Figure.SKY_SINGLE,
}


def _geese(words: str) -> ShapeWords | None:
    rest, way = _way(words)
    named = bool(_FROM_TRIANGLES.search(rest))
    rest = " ".join(_FROM_TRIANGLES.sub(" ", rest).split())
    if not re.fullmatch(r"(?:flying )?(?:(?:geese|goose|sky|triangle|square|center) ?)+", rest):
        return None
    parts = set(rest.split())
    if not parts & {"flying", "goose", "geese", "sky"}:
        return None
    if "sky" in parts:
        part = "sky"
    elif rest in ("flying geese goose", "goose", "flying goose", "goose triangle", "geese goose"):
        part = "goose"
    else:
        raise ShapeWordsError(
            "flying geese have two fabrics, and it is not said which this one is",
            "Type 'flying geese goose' for the large triangle or 'flying geese sky' for the two "
            "small ones, with 'one at a time' or 'four at a time'.",
        )
    figure = _GEESE.get((part, way))
    if figure is None:
        return None
    return ShapeWords(figure=figure, way_is_open=not way and not named)


def _in_a_square(words: str) -> ShapeWords | None:
    rest, way = _way(words)
    named = bool(_FROM_TRIANGLES.search(rest))
    rest = " ".join(_FROM_TRIANGLES.sub(" ", rest).split())
    if not re.search(r"\bsquare in square\b", rest) or way not in ("", "single"):
        return None
    part = " ".join(re.sub(r"\bsquare in square\b", " ", rest).split())
    if part in ("corner", "corner triangle", "corner square"):
        figure = Figure.IN_CORNER_FLIPPED if way else Figure.IN_CORNER
    elif part in ("center", "center square", "base"):
        figure = Figure.CENTER_FLIPPED if way else Figure.CENTER
    else:
        raise ShapeWordsError(
            "a square in a square has a center and corners, and it is not said which these are",
            "Type 'square-in-a-square center' or 'square-in-a-square corner', with 'from "
            "triangles' or 'flipped corners'.",
        )
    return ShapeWords(figure=figure, way_is_open=not way and not named)


_STAR = re.compile(r"(?:(?:8|eight) point(?:ed)?|lemoyne|le moyne) star\b ?")


def _star(words: str) -> ShapeWords | None:
    match = _STAR.match(words)
    if match is None:
        return None
    part = words[match.end() :]
    if re.fullmatch(r"(?:45 degree )?diamond", part):
        return ShapeWords(figure=Figure.STAR_DIAMOND)
    if part in ("corner", "corner square", "square"):
        return ShapeWords(figure=Figure.STAR_CORNER)
    if part in ("side", "side triangle", "triangle"):
        return ShapeWords(figure=Figure.STAR_SIDE)
    raise ShapeWordsError(
        "an eight-point star has diamonds, corner squares and side triangles, and it is not said "
        "which these are",
        "Type 'eight-point star diamond', 'eight-point star corner square' or 'eight-point star "
        "side triangle', with the finished size of the block.",
    )


def _from_strips(words: str) -> ShapeWords | None:
    rest = re.sub(r"\b(?:strip cut|cut from strip|from strip)\b", " ", words)
    rest = " ".join(rest.split())
    if re.fullmatch(r"60 degree triangle|equilateral triangle|60 triangle", rest):
        return ShapeWords(figure=Figure.TRIANGLE_60)
    if match := re.fullmatch(r"(45|60)?(?: degree)? ?diamond", rest):
        if match[1] is None:
            raise ShapeWordsError(
                "the angle of the diamond is not said", "Type '45° diamond' or '60° diamond'."
            )
        return ShapeWords(figure=Figure.DIAMOND_45 if match[1] == "45" else Figure.DIAMOND_60)
    if rest == "hexagon":
        return ShapeWords(figure=Figure.HEXAGON)
    return None

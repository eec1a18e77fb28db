"""From a finished shape of one fabric to what a person cuts for it.

Triangles come from squares, half-rectangle triangles from rectangles; 60° triangles,
diamonds and hexagons from strips across the fabric. Each answer names the cut, how many
finished shapes of *this fabric* one cut gives, and the formula in words with its source.

A *figure* is a shape together with the way it is made where that changes the cut: a flying
goose sewn by flipping corners is another cut than one made four at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from kitmaker.arithmetic import cut_sizes, slants
from kitmaker.arithmetic.cut_sizes import NOTHING, QUARTER_INCH_SEAM, root_nearest
from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH
from kitmaker.arithmetic.sewn_units import square_in_a_square_with_triangles
from kitmaker.arithmetic.slants import DiamondAngle
from kitmaker.lengths import EIGHTH, Length, Unit, say_decimal, say_size
from kitmaker.pattern import Shape

HALF: Length = Fraction(1, 2)
SIXTY_FOURTH: Length = Fraction(1, 64)


class Figure(StrEnum):
    """A finished shape of one fabric, and the way it is made where that changes the cut."""

    RECTANGLE = "rectangle"
    SQUARE = "square"
    HALF_SQUARE = "half-square triangle"
    HALF_SQUARE_EIGHT = "half-square triangle, eight at a time"
    QUARTER_SQUARE = "quarter-square triangle"
    GOOSE = "flying geese goose, from triangles"
    GOOSE_SINGLE = "flying geese goose, one at a time"
    GOOSE_FOUR = "flying geese goose, four at a time"
    SKY = "flying geese sky, from triangles"
    SKY_SINGLE = "flying geese sky, one at a time"
    SKY_FOUR = "flying geese sky, four at a time"
    CENTER = "square-in-a-square center, from triangles"
    CENTER_FLIPPED = "square-in-a-square center, flipped corners"
    IN_CORNER = "square-in-a-square corner, from triangles"
    IN_CORNER_FLIPPED = "square-in-a-square corner, flipped corners"
    SETTING = "setting triangle"
    CORNER = "corner triangle"
    HALF_LEFT = "left half-rectangle triangle"
    HALF_RIGHT = "right half-rectangle triangle"
    TRIANGLE_60 = "60° triangle"
    DIAMOND_45 = "45° diamond"
    DIAMOND_60 = "60° diamond"
    HEXAGON = "hexagon"


class FigureSizeError(ValueError):
    """Two measures do not make this figure.

    Attributes:
        suggestion: What to type instead.
    """

    def __init__(self, message: str, suggestion: str) -> None:
        super().__init__(message)
        self.suggestion = suggestion


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRules:
    """What holds for every cut of a pattern.

    Attributes:
        seam: The seam allowance, inches.
        step: What sizes with a root in them are rounded up to, inches.
        unit: What the formula is said in.
        usable_width: What a strip may count on across the fabric, inches.
        oversize: What squares are cut larger in order to trim the sewn unit, inches.
    """

    seam: Length = QUARTER_INCH_SEAM
    step: Length = EIGHTH
    unit: Unit = Unit.INCH
    usable_width: Length = CAUTIOUS_USABLE_WIDTH
    oversize: Length = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFor:
    """What one cuts for a figure.

    Attributes:
        width: The cut width, inches; of a strip its width.
        length: The cut length, inches; None for a strip across the fabric.
        gives: Finished shapes of this fabric from one such cut.
        shape: What the cut becomes.
        formula: How the cut size follows, with the source.
        remark: What a cutter must know besides; "".
    """

    width: Length
    length: Length | None
    gives: int
    shape: Shape
    formula: str
    remark: str = ""


STRIP_SHAPES: Mapping[Figure, Shape] = {
    Figure.TRIANGLE_60: Shape.TRIANGLES_60,
    Figure.DIAMOND_45: Shape.DIAMONDS_45,
    Figure.DIAMOND_60: Shape.DIAMONDS_60,
    Figure.HEXAGON: Shape.HEXAGONS,
}
"""The figures that come from strips, and what their strip becomes."""

CUT_SHAPES: Mapping[Figure, Shape] = {
    Figure.RECTANGLE: Shape.RECTANGLE,
    Figure.SQUARE: Shape.SQUARE,
    Figure.HALF_SQUARE: Shape.CUT_ONCE,
    Figure.HALF_SQUARE_EIGHT: Shape.FOR_EIGHT,
    Figure.QUARTER_SQUARE: Shape.CUT_TWICE,
    Figure.GOOSE: Shape.CUT_TWICE,
    Figure.GOOSE_SINGLE: Shape.RECTANGLE,
    Figure.GOOSE_FOUR: Shape.FOR_FOUR_GEESE,
    Figure.SKY: Shape.CUT_ONCE,
    Figure.SKY_SINGLE: Shape.FLIPPED_CORNER,
    Figure.SKY_FOUR: Shape.FOR_FOUR_GEESE,
    Figure.CENTER: Shape.SQUARE,
    Figure.CENTER_FLIPPED: Shape.SQUARE,
    Figure.IN_CORNER: Shape.CUT_ONCE,
    Figure.IN_CORNER_FLIPPED: Shape.FLIPPED_CORNER,
    Figure.SETTING: Shape.CUT_TWICE,
    Figure.CORNER: Shape.CUT_ONCE,
    Figure.HALF_LEFT: Shape.HALF_LEFT,
    Figure.HALF_RIGHT: Shape.HALF_RIGHT,
    **STRIP_SHAPES,
}
"""What the cut of each figure is, or becomes."""

MAY_BE_OVERSIZE = frozenset(
    {
        *(Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT, Figure.QUARTER_SQUARE),
        *(Figure.GOOSE, Figure.GOOSE_FOUR, Figure.SKY, Figure.SKY_FOUR),
        *(Figure.SETTING, Figure.CORNER),
    }
)
"""Figures whose squares may be cut larger, to trim what is sewn of them."""

_GIVES: Mapping[Figure, int] = {
    Figure.HALF_SQUARE: 2,
    Figure.HALF_SQUARE_EIGHT: 8,
    Figure.QUARTER_SQUARE: 4,
    Figure.GOOSE: 4,
    Figure.GOOSE_FOUR: 4,
    Figure.SKY: 2,
    Figure.SKY_FOUR: 2,
    Figure.IN_CORNER: 2,
    Figure.SETTING: 4,
    Figure.CORNER: 2,
    Figure.HALF_LEFT: 2,
    Figure.HALF_RIGHT: 2,
}

_SOURCES: Mapping[Figure, str] = {
    **dict.fromkeys(Figure, "Combs 2002"),
    Figure.HALF_SQUARE_EIGHT: "Tomlinson, Half-Square Triangles 8 at a Time",
    Figure.GOOSE_SINGLE: "Charmed Needles",
    Figure.SKY_SINGLE: "Charmed Needles",
    Figure.GOOSE_FOUR: "A-Line Quilts 2011",
    Figure.SKY_FOUR: "A-Line Quilts 2011",
    Figure.CENTER: "class handout Lesson 5",
    Figure.IN_CORNER: "class handout Lesson 5",
    Figure.CENTER_FLIPPED: "Scissortail Quilting",
    Figure.IN_CORNER_FLIPPED: "Scissortail Quilting",
    Figure.SETTING: "Moonlight Quilters guild",
    Figure.CORNER: "Moonlight Quilters guild",
    Figure.HALF_LEFT: "geometry",
    Figure.HALF_RIGHT: "geometry",
    **dict.fromkeys(STRIP_SHAPES, "The Quilter's Bible"),
}

_GEESE = frozenset(figure for figure in Figure if figure.value.startswith("flying geese"))
_SKIES = frozenset({Figure.SKY, Figure.SKY_SINGLE, Figure.SKY_FOUR})
_HALVES = frozenset({Figure.HALF_LEFT, Figure.HALF_RIGHT})


def cut_for(figure: Figure, width: Length, length: Length | None, rules: CutRules) -> CutFor:
    """Return what to cut for a finished figure.

    What the measures mean: of half-square triangles the short sides, of quarter-square
    triangles the long side, of flying geese width and height of the unit, of a square in a
    square the whole unit, of setting and corner triangles the block they stand beside, of
    60° triangles the height, of diamonds the distance between parallel sides, of hexagons
    from flat side to flat side.

    Args:
        figure: The figure.
        width: Its finished width, inches.
        length: Its finished length, inches; None where one measure says all.
        rules: Seam, step, usable width, oversize.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    if rules.oversize and figure not in MAY_BE_OVERSIZE:
        raise FigureSizeError(
            f"a {figure} is not cut oversize and trimmed", "Leave oversize out of the shape."
        )
    finished = finished_measure(figure, width, length)
    if figure in (Figure.RECTANGLE, *_HALVES):
        return _two_measures(figure, width, width if length is None else length, rules)
    if figure is Figure.GOOSE_SINGLE:
        return _two_measures(figure, 2 * finished, finished, rules)
    if figure in STRIP_SHAPES:
        return _strip(figure, finished, rules)
    side = _SIDES[figure](finished, rules)
    trim = ""
    if rules.oversize:
        trim = f"{say_size(rules.oversize, rules.unit)} {rules.unit.value} oversize: trim when sewn"
    return CutFor(
        width=side,
        length=side,
        gives=_GIVES.get(figure, 1),
        shape=CUT_SHAPES[figure],
        formula=_say_side(figure, finished, side, rules),
        remark="; ".join(part for part in (_REMARKS.get(figure, ""), trim) if part),
    )


def finished_measure(figure: Figure, width: Length, length: Length | None) -> Length:
    """Return the one measure a figure's formula starts from, inches.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    said = figure.value
    if figure in (Figure.RECTANGLE, *_HALVES):
        if length is None and figure in _HALVES:
            raise FigureSizeError(f"a {said} has two measures", "Type its width and its length.")
        return width
    if figure in _GEESE:
        return _goose_height(figure, width, length)
    if length is None or length == width:
        return width
    if figure is Figure.QUARTER_SQUARE and 2 * length == width:
        return width
    small, large = sorted((width, length))
    if figure is Figure.TRIANGLE_60 and _is_near(small, 3 * large**2 / 4):
        return small
    if figure is Figure.HEXAGON and _is_near(large, 4 * small**2 / 3):
        return small
    raise FigureSizeError(f"a {said} has one measure, {_MEASURES[figure]}", "Type it once.")


def _goose_height(figure: Figure, width: Length, length: Length | None) -> Length:
    if length is not None:
        small, large = sorted((width, length))
        if large == 2 * small or (figure in _SKIES and large == small):
            return small
    raise FigureSizeError(
        "flying geese are twice as wide as high, and both measures are needed",
        "Type the finished width and length of the unit, such as 4 and 2.",
    )


def _is_near(length: Length, square: Fraction) -> bool:
    return abs(length - root_nearest(square, SIXTY_FOURTH)) <= EIGHTH


_UNIT_MEASURE = "that of the finished unit"
_MEASURES: Mapping[Figure, str] = {
    **dict.fromkeys(Figure, _UNIT_MEASURE),
    Figure.SQUARE: "its side",
    Figure.HALF_SQUARE: "its short sides",
    Figure.HALF_SQUARE_EIGHT: "its short sides",
    Figure.QUARTER_SQUARE: "its long side",
    Figure.SETTING: "the block's",
    Figure.CORNER: "the block's",
    Figure.TRIANGLE_60: "its height",
    Figure.DIAMOND_45: "from side to parallel side",
    Figure.DIAMOND_60: "from side to parallel side",
    Figure.HEXAGON: "from flat side to flat side",
}


_SIDES: Mapping[Figure, Callable[[Length, CutRules], Length]] = {
    Figure.SQUARE: lambda size, rules: cut_sizes.cut_rectangle(size, rules.seam),
    Figure.HALF_SQUARE: lambda size, rules: cut_sizes.cut_square_for_half_square(
        size, rules.seam, rules.step, rules.oversize
    ),
    Figure.HALF_SQUARE_EIGHT: lambda size, rules: cut_sizes.cut_square_for_eight_half_squares(
        size, rules.seam, rules.step, rules.oversize
    ),
    Figure.QUARTER_SQUARE: lambda size, rules: cut_sizes.cut_square_for_quarter_square(
        size, rules.seam, rules.step, rules.oversize
    ),
    **dict.fromkeys(
        (Figure.GOOSE, Figure.GOOSE_FOUR),
        lambda height, rules: cut_sizes.cut_square_for_quarter_square(
            2 * height, rules.seam, rules.step, rules.oversize
        ),
    ),
    **dict.fromkeys(
        (Figure.SKY, Figure.SKY_FOUR),
        lambda height, rules: cut_sizes.cut_square_for_half_square(
            height, rules.seam, rules.step, rules.oversize
        ),
    ),
    Figure.SKY_SINGLE: lambda height, rules: cut_sizes.cut_rectangle(height, rules.seam),
    Figure.CENTER: lambda size, rules: (
        square_in_a_square_with_triangles(size, rules.seam, rules.step).center.cut_side
    ),
    Figure.IN_CORNER: lambda size, rules: (
        square_in_a_square_with_triangles(size, rules.seam, rules.step).corners.cut_side
    ),
    Figure.CENTER_FLIPPED: lambda size, rules: cut_sizes.cut_rectangle(size, rules.seam),
    Figure.IN_CORNER_FLIPPED: lambda size, rules: cut_sizes.cut_rectangle(size / 2, rules.seam),
    Figure.SETTING: lambda block, rules: cut_sizes.cut_square_for_setting(
        block, rules.seam, rules.step, oversize=rules.oversize
    ),
    Figure.CORNER: lambda block, rules: cut_sizes.cut_square_for_corners(
        block, rules.seam, rules.step, oversize=rules.oversize
    ),
}
"""The side of the square of each figure that comes from one."""

_REMARKS: Mapping[Figure, str] = {
    Figure.HALF_SQUARE_EIGHT: "for eight half-square triangles at a time",
    Figure.GOOSE_FOUR: "for four flying geese at a time",
    Figure.SKY_FOUR: "four small squares to each large one, for four flying geese at a time",
    Figure.SKY_SINGLE: "flip over a corner of a goose, two to each",
    Figure.IN_CORNER_FLIPPED: "flip over a corner of the center, four to each",
    Figure.SETTING: "cut twice, so that the long side on the quilt's edge is on the grain",
    Figure.CORNER: "cut once, so that the short sides on the quilt's edge are on the grain",
}

_DOUBLED = frozenset({Figure.GOOSE, Figure.GOOSE_FOUR})
_HALVED = frozenset({Figure.IN_CORNER, Figure.IN_CORNER_FLIPPED})
_ROOTED = {
    Figure.CENTER: "÷ √2",
    Figure.SETTING: "× √2",
    Figure.CORNER: "÷ √2",
}


def _say_side(figure: Figure, finished: Length, side: Length, rules: CutRules) -> str:
    """Say a square's formula: ``finished 3 + ⅞ = cut 3⅞ (half-square triangle; Combs 2002)``."""

    def say(length: Length) -> str:
        return say_size(length, rules.unit)

    cut = f"= cut {say(side)} ({figure}; {_source(figure, rules)})"
    over = f" + {say(rules.oversize)} to trim" if rules.oversize else ""
    plain = side - rules.oversize
    if figure in _ROOTED:
        added = _ADDED[figure](rules.seam) / rules.unit.length
        rounded = f", up to {say(rules.step)}"
        return (
            f"finished {say(finished)} {_ROOTED[figure]} + {say_decimal(added, 3)}{over}"
            f"{rounded} {cut}"
        )
    if figure is Figure.HALF_SQUARE_EIGHT:
        plain = side - 2 * rules.oversize
        over = f" + 2 × {say(rules.oversize)} to trim" if rules.oversize else ""
        return f"2 × finished {say(finished)} + {say(plain - 2 * finished)}{over} {cut}"
    start = 2 * finished if figure in _DOUBLED else finished
    if figure in _HALVED:
        half = finished / 2
        return f"finished {say(finished)} ÷ 2 + {say(plain - half)} {cut}"
    return f"finished {say(start)} + {say(plain - start)}{over} {cut}"


_THOUSANDTH: Length = Fraction(1, 1000)
_ADDED: Mapping[Figure, Callable[[Length], Length]] = {
    Figure.CENTER: lambda seam: 2 * seam,
    Figure.SETTING: lambda seam: 2 * seam + root_nearest(8 * seam**2, _THOUSANDTH),
    Figure.CORNER: lambda seam: 2 * seam + root_nearest(2 * seam**2, _THOUSANDTH),
}
"""What seams add where the finished size is under a root too, inches: said, not cut by."""


def _source(figure: Figure, rules: CutRules) -> str:
    if rules.seam == QUARTER_INCH_SEAM and rules.step == EIGHTH:
        return _SOURCES[figure]
    seam = f"{say_decimal(rules.seam / rules.unit.length, 3)} {rules.unit.value}"
    return f"geometry, at a seam of {seam}"


def _two_measures(figure: Figure, width: Length, length: Length, rules: CutRules) -> CutFor:
    if figure in _HALVES:
        cut = slants.half_rectangle_triangles(width, length, 1, rules.seam, rules.step)
        cut_width, cut_length = cut.cut_width, cut.cut_length
    else:
        cut_width = cut_sizes.cut_rectangle(width, rules.seam)
        cut_length = cut_sizes.cut_rectangle(length, rules.seam)

    def say(one: Length) -> str:
        return say_size(one, rules.unit)

    one_each, other = say(cut_width - width), say(cut_length - length)
    added = f"{one_each} each way" if one_each == other else f"{one_each} and {other}"
    remark = ""
    if figure in _HALVES:
        remark = (
            f"for {figure}s: cut all with the same side up, never folded, "
            "as the other slant is its mirror image"
        )
    return CutFor(
        width=cut_width,
        length=cut_length,
        gives=_GIVES.get(figure, 1),
        shape=CUT_SHAPES[figure],
        formula=(
            f"finished {say(width)} × {say(length)} + {added} = cut {say(cut_width)} × "
            f"{say(cut_length)} ({figure}; {_source(figure, rules)})"
        ),
        remark=remark,
    )


def shapes_per_strip(figure: Figure, strip_width: Length, usable_width: Length) -> int:
    """Return how many shapes a strip gives, its slanted first cut included."""
    if figure is Figure.TRIANGLE_60:
        return slants.sixty_degree_triangles_per_strip(usable_width, strip_width)
    if figure is Figure.HEXAGON:
        return slants.hexagons_per_strip(usable_width, strip_width)
    angle = DiamondAngle.DEGREES_45 if figure is Figure.DIAMOND_45 else DiamondAngle.DEGREES_60
    return slants.diamonds_per_strip(usable_width, strip_width, angle)


def strip_of(figure: Figure, cut_width: Length, rules: CutRules, said: str = "") -> CutFor:
    """Return a strip of a cut width for a figure, with how many it gives.

    Args:
        figure: One that comes from strips.
        cut_width: The strip's width, inches.
        rules: Usable width and unit.
        said: How the width came about; "" where it was stated.

    Raises:
        FigureSizeError: Not one shape comes from a strip.
    """
    gives = shapes_per_strip(figure, cut_width, rules.usable_width)
    across = f"{say_size(rules.usable_width, rules.unit)} {rules.unit.value}"
    if gives < 1:
        raise FigureSizeError(
            f"not one {figure} comes from a strip across {across} of fabric",
            "Cut it by hand from a template, and leave it out here.",
        )
    counted = f"{gives} from a strip of {across}"
    return CutFor(
        width=cut_width,
        length=None,
        gives=gives,
        shape=STRIP_SHAPES[figure],
        formula=f"{said}; {counted}" if said else counted,
        remark=f"cut into {figure}s, {counted}",
    )


def _strip(figure: Figure, finished: Length, rules: CutRules) -> CutFor:
    cut = {
        Figure.TRIANGLE_60: slants.cut_strip_for_sixty_degree_triangle,
        Figure.DIAMOND_45: slants.cut_strip_for_diamond,
        Figure.DIAMOND_60: slants.cut_strip_for_diamond,
        Figure.HEXAGON: slants.cut_strip_for_hexagon,
    }[figure](finished, rules.seam)
    unit = rules.unit
    said = (
        f"finished {say_size(finished, unit)} + {say_size(cut - finished, unit)} = strip "
        f"{say_size(cut, unit)} ({figure}, {_MEASURES[figure]}; {_source(figure, rules)})"
    )
    return strip_of(figure, cut, rules, said)

"""What is cut for a finished figure, in the words of a shop: what it becomes, and why that size.

The arithmetic stands in :mod:`kitmaker.arithmetic.figures`; here each cut is given its shape,
its formula with its number, and what a cutter must know besides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.arithmetic.cut_sizes import QUARTER_INCH_SEAM, root_nearest
from kitmaker.arithmetic.figures import (
    FROM_STRIPS,
    HALF_RECTANGLES,
    MEASURES,
    CutRules,
    Figure,
    FigureCut,
    cut_figure,
    finished_measure,
)
from kitmaker.lengths import EIGHTH, Length, say_decimal
from kitmaker.pattern import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFor(FigureCut):
    """What one cuts for a figure, in the words of a shop."""

    shape: Shape  # what the cut becomes
    formula: str  # how the cut size follows, with the formula's number; "" where it was stated
    remark: str = ""  # what a cutter must know besides; ""


_SHAPES: tuple[tuple[Shape, tuple[Figure, ...]], ...] = (
    (Shape.RECTANGLE, (Figure.RECTANGLE, Figure.GOOSE_SINGLE)),
    (Shape.SQUARE, (Figure.SQUARE, Figure.CENTER, Figure.CENTER_FLIPPED, Figure.STAR_CORNER)),
    (Shape.CUT_ONCE, (Figure.HALF_SQUARE, Figure.SKY, Figure.IN_CORNER, Figure.CORNER)),
    (Shape.CUT_TWICE, (Figure.QUARTER_SQUARE, Figure.GOOSE, Figure.SETTING, Figure.STAR_SIDE)),
    (Shape.FOR_EIGHT, (Figure.HALF_SQUARE_EIGHT,)),
    (Shape.FOR_FOUR_GEESE, (Figure.GOOSE_FOUR, Figure.SKY_FOUR)),
    (Shape.FLIPPED_CORNER, (Figure.SKY_SINGLE, Figure.IN_CORNER_FLIPPED)),
    (Shape.HALF_LEFT, (Figure.HALF_LEFT,)),
    (Shape.HALF_RIGHT, (Figure.HALF_RIGHT,)),
    (Shape.TRIANGLES_60, (Figure.TRIANGLE_60,)),
    (Shape.DIAMONDS_45, (Figure.DIAMOND_45, Figure.STAR_DIAMOND)),
    (Shape.DIAMONDS_60, (Figure.DIAMOND_60,)),
    (Shape.HEXAGONS, (Figure.HEXAGON,)),
)
CUT_SHAPES: Mapping[Figure, Shape] = {one: shape for shape, of in _SHAPES for one in of}
"""What the cut of each figure is, or becomes."""

# tests/reference/README.md says where each formula was found; no page names an author.
_SOURCES: Mapping[Figure, str] = {
    **dict.fromkeys(Figure, "formula 1"),
    **dict.fromkeys(FROM_STRIPS - {Figure.STAR_DIAMOND}, "formula 2"),
    **dict.fromkeys((Figure.GOOSE_SINGLE, Figure.SKY_SINGLE), "formula 3"),
    **dict.fromkeys((Figure.GOOSE_FOUR, Figure.SKY_FOUR), "formula 4"),
    **dict.fromkeys((Figure.CENTER, Figure.IN_CORNER), "formula 5"),
    **dict.fromkeys((Figure.CENTER_FLIPPED, Figure.IN_CORNER_FLIPPED), "formula 6"),
    **dict.fromkeys((Figure.SETTING, Figure.CORNER), "formula 7"),
    **dict.fromkeys(HALF_RECTANGLES, "geometry"),
    Figure.HALF_SQUARE_EIGHT: "formula 8",
}


def cut_for(figure: Figure, width: Length, length: Length | None, rules: CutRules) -> CutFor:
    """Return what to cut for a finished figure, and how that follows.

    Its finished measures are in inches, the length None where one says all.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    cut = cut_figure(figure, width, length, rules)
    finished = finished_measure(figure, width, length)
    if figure in FROM_STRIPS:
        text = _say_strip(figure, finished, cut.width, rules)
        return told_strip(figure, cut.width, cut.gives, text, rules)
    if figure is Figure.GOOSE_SINGLE:
        formula = _say_two(figure, (2 * finished, finished), cut, rules)
    elif figure is Figure.RECTANGLE or figure in HALF_RECTANGLES:
        formula = _say_two(figure, (width, width if length is None else length), cut, rules)
    else:
        formula = _say_side(figure, finished, cut.width, rules)
    trim = ""
    if rules.oversize:
        trim = f"{rules.say(rules.oversize)} {rules.unit.value} oversize: trim when sewn"
    return CutFor(
        width=cut.width,
        length=cut.length,
        gives=cut.gives,
        shape=CUT_SHAPES[figure],
        formula=formula,
        remark="; ".join(part for part in (_REMARKS.get(figure, ""), trim) if part),
    )


_REMARKS: Mapping[Figure, str] = {
    Figure.HALF_SQUARE_EIGHT: "for eight half-square triangles at a time",
    Figure.GOOSE_FOUR: "for four flying geese at a time",
    Figure.SKY_FOUR: "four small squares to each large one, for four flying geese at a time",
    Figure.SKY_SINGLE: "flip over a corner of a goose, two to each",
    Figure.IN_CORNER_FLIPPED: "flip over a corner of the center, four to each",
    Figure.SETTING: "cut twice, so that the long side on the quilt's edge is on the grain",
    Figure.STAR_SIDE: "cut twice, so that the long side on the block's edge is on the grain",
    Figure.CORNER: "cut once, so that the short sides on the quilt's edge are on the grain",
    **{
        figure: f"for {figure}s: cut all with the same side up, never folded, "
        "as the other slant is its mirror image"
        for figure in HALF_RECTANGLES
    },
}

_DOUBLED = frozenset({Figure.GOOSE, Figure.GOOSE_FOUR})
_HALVED = frozenset({Figure.IN_CORNER, Figure.IN_CORNER_FLIPPED})
_ROOTED = {
    Figure.CENTER: "÷ √2",
    Figure.SETTING: "× √2",
    Figure.CORNER: "÷ √2",
    Figure.STAR_DIAMOND: "÷ 4.828",
    Figure.STAR_CORNER: "÷ 3.414",
    Figure.STAR_SIDE: "÷ 2.414",
}


def _say_side(figure: Figure, finished: Length, side: Length, rules: CutRules) -> str:
    """Say a square's formula: ``finished 3 + ⅞ = cut 3⅞ (half-square triangle; formula 1)``."""
    say = rules.say
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
    Figure.STAR_DIAMOND: lambda seam: 2 * seam,
    Figure.STAR_CORNER: lambda seam: 2 * seam,
    **dict.fromkeys(
        (Figure.SETTING, Figure.STAR_SIDE),
        lambda seam: 2 * seam + root_nearest(8 * seam**2, _THOUSANDTH),
    ),
    Figure.CORNER: lambda seam: 2 * seam + root_nearest(2 * seam**2, _THOUSANDTH),
}
"""What seams add where the finished size is under a root too, inches: said, not cut by."""


def _source(figure: Figure, rules: CutRules) -> str:
    if rules.seam == QUARTER_INCH_SEAM and rules.step == EIGHTH:
        return _SOURCES[figure]
    seam = f"{say_decimal(rules.seam / rules.unit.length, 3)} {rules.unit.value}"
    return f"geometry, at a seam of {seam}"


def _say_two(
    figure: Figure, finished: tuple[Length, Length], cut: FigureCut, rules: CutRules
) -> str:
    """Say the formula of a rectangle: ``finished 2 × 4 + ½ each way = cut 2½ × 4½``."""
    say = rules.say
    width, length = finished
    cut_length = cut.width if cut.length is None else cut.length
    one_each, other = say(cut.width - width), say(cut_length - length)
    added = f"{one_each} each way" if one_each == other else f"{one_each} and {other}"
    return (
        f"finished {say(width)} × {say(length)} + {added} = cut {say(cut.width)} × "
        f"{say(cut_length)} ({figure}; {_source(figure, rules)})"
    )


def _say_strip(figure: Figure, finished: Length, width: Length, rules: CutRules) -> str:
    if figure in _ROOTED:
        return _say_side(figure, finished, width, rules).replace("= cut", "= strip")
    return (
        f"finished {rules.say(finished)} + {rules.say(width - finished)} = strip "
        f"{rules.say(width)} ({figure}, {MEASURES[figure]}; {_source(figure, rules)})"
    )


def told_strip(figure: Figure, width: Length, gives: int, text: str, rules: CutRules) -> CutFor:
    """Return a strip for a figure, with how many it gives; ``said`` is its formula or ""."""
    counted = f"{gives} from a strip of {rules.say(rules.usable_width)} {rules.unit.value}"
    return CutFor(
        width=width,
        length=None,
        gives=gives,
        shape=CUT_SHAPES[figure],
        formula=f"{text}; {counted}" if text else counted,
        remark=f"cut into {figure}s, {counted}",
    )

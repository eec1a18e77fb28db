"""How many cuts give a number of finished shapes, and what is cut where a size is stated.

With finished sizes a quantity counts finished shapes of this fabric, with cut sizes the pieces
cut: a table's row and a line of free text are counted alike.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from kitmaker.arithmetic.figures import CutRules, Figure, FigureSizeError
from kitmaker.lengths import Length
from kitmaker.reading.finished_shapes import (
    CUT_SHAPES,
    STRIP_SHAPES,
    CutFor,
    cut_for,
    strip_of,
)
from kitmaker.reading.shapes import ShapeWords

_TWO_MEASURES = frozenset(
    {Figure.RECTANGLE, Figure.GOOSE_SINGLE, Figure.HALF_LEFT, Figure.HALF_RIGHT}
)


@dataclass(frozen=True, slots=True)
class Counted:
    """A quantity for one kit.

    Attributes:
        quantity: In all.
        from_each: The number of prints it comes from equally; None elsewhere.
    """

    quantity: int
    from_each: int | None = None

    def cuts(self, gives: int) -> int:
        """Return how many cuts give the quantity, whole cuts from each print."""
        prints = self.from_each or 1
        return ceil(ceil(self.quantity / prints) / gives) * prints


def cut_from_finished(
    words: ShapeWords, width: Length, length: Length | None, rules: CutRules, counted: Counted
) -> tuple[CutFor, int]:
    """Return what is cut for a row with finished sizes, and how many.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    if words.figure is Figure.SQUARE and length is not None and length != width:
        raise FigureSizeError("a square needs one width and length", "Type the same twice.")
    cut = cut_for(words.figure, width, length, rules)
    quantity = counted.cuts(cut.gives)
    if cut.gives == 1:
        return cut, quantity
    what = "strip" if cut.length is None else "square"
    if words.figure in (Figure.HALF_LEFT, Figure.HALF_RIGHT):
        what = "rectangle"
    each = "" if cut.length is None else f"; {cut.gives} from a {what}"
    said = f"{cut.formula}{each}: {counted.quantity} from {quantity} {what}"
    return replace(cut, formula=said + ("" if quantity == 1 else "s")), quantity


def cut_from_stated(
    words: ShapeWords, width: Length, length: Length | None, rules: CutRules, counted: Counted
) -> tuple[CutFor, int]:
    """Return what is cut for a row with cut sizes, and how many.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    figure = words.figure
    if words.oversize:
        raise FigureSizeError(
            "a cut size is cut as it stands, and an oversize is stated besides",
            "Leave oversize out of the shape, or state the finished size.",
        )
    if figure not in _TWO_MEASURES and length is not None and length != width:
        said = CUT_SHAPES[figure].value if words.is_cut else figure.value
        raise FigureSizeError(f"a {said} needs one width and length", "Type the same twice.")
    if figure in STRIP_SHAPES:
        cut = strip_of(figure, width, rules)
        return cut, counted.cuts(cut.gives)
    if figure in _TWO_MEASURES and length is None:
        raise FigureSizeError(f"a {figure} has two measures", "Type its cut length too.")
    cut = CutFor(
        width=width,
        length=width if length is None else length,
        gives=1,
        shape=CUT_SHAPES[figure],
        formula="",
    )
    return cut, counted.quantity


@dataclass(frozen=True, slots=True)
class Advice:
    """A warning whose place is its reader's to add.

    Attributes:
        message: What was understood.
        suggestion: What to type instead.
    """

    message: str
    suggestion: str


def open_way(words: ShapeWords) -> Advice | None:
    """Say which way a figure is read to be made where none is named."""
    if not words.way_is_open:
        return None
    return Advice(
        f"the way it is made is not said; it is read as {words.figure}",
        "Add 'one at a time', 'four at a time' or, for a square in a square, 'flipped "
        "corners' if that is the way; add 'from triangles' if this is right.",
    )

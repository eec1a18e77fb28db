"""What is cut for a row with a shape, and how many: from finished sizes, and from cut sizes.

With finished sizes a quantity counts finished shapes of this fabric, with cut sizes the pieces
cut: a table's row and a line of free text are counted alike. Where a reader of the row could
count otherwise, it is said what was counted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import ceil

from kitmaker.arithmetic.figures import (
    FROM_STRIPS,
    HALF_RECTANGLES,
    CutRules,
    Figure,
    FigureSizeError,
    figures_per_strip,
)
from kitmaker.errors import Location, Problem, Problems, warning
from kitmaker.lengths import Length
from kitmaker.pattern import Shape
from kitmaker.reading.cells import read_length
from kitmaker.reading.finished_shapes import CUT_SHAPES, CutFor, cut_for, told_strip
from kitmaker.reading.shapes import ShapeWords
from kitmaker.reading.tables import TableRow

_TWO_MEASURES = HALF_RECTANGLES | {Figure.RECTANGLE, Figure.GOOSE_SINGLE}


_NAMES_A_TRIANGLE = re.compile(
    r"\b(?:hsts?|qsts?|triangles?|geese|goose|diamonds?|hexagons?)\b", re.IGNORECASE
)
_PIECES_GIVE = {
    **dict.fromkeys((Shape.CUT_ONCE, Shape.HALF_LEFT, Shape.HALF_RIGHT), 2),
    Shape.CUT_TWICE: 4,
    Shape.FOR_EIGHT: 8,
}


@dataclass(frozen=True, slots=True)
class Counted:
    """A quantity for one kit."""

    quantity: int  # in all
    from_each: int | None = None  # the number of prints it comes from equally; None elsewhere

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
    what = "rectangle" if words.figure in HALF_RECTANGLES else "square"
    what = "strip" if cut.length is None else what
    each = "" if cut.length is None else f"; {cut.gives} from a {what}"
    text = f"{cut.formula}{each}: {counted.quantity} from {quantity} {what}"
    return replace(cut, formula=text + ("" if quantity == 1 else "s")), quantity


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
    if figure in FROM_STRIPS:
        gives = figures_per_strip(figure, width, rules)
        return told_strip(figure, width, gives, "", rules), counted.cuts(gives)
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


def open_way(words: ShapeWords, where: Location | None = None) -> Problem | None:
    """Say which way a figure is read to be made where none is named."""
    if not words.way_is_open:
        return None
    return warning(
        f"the way it is made is not said; it is read as {words.figure}",
        where,
        "Add 'one at a time', 'four at a time' or, for a square in a square, 'flipped "
        "corners' if that is the way; add 'from triangles' if this is right.",
    )


def ask_for_shape(
    row: TableRow, words: ShapeWords, problems: Problems, *, is_finished: bool
) -> None:
    """Warn where a row could be counted or made otherwise than it is read."""
    cell = row.cell("Shape")
    name = row.text("Piece")
    if is_finished and cell.is_blank and _NAMES_A_TRIANGLE.search(name):
        problems.warn(
            f"'{name}' has no shape, so its finished size is read as that of a square or rectangle",
            (row.cell("Piece")).location,
            "Head a column Shape and name it there, such as half-square triangle.",
        )
    if is_finished and (said := open_way(words, cell.location)) is not None:
        problems.append(said)
    gives = _PIECES_GIVE.get(CUT_SHAPES[words.figure], 1)
    if not is_finished and not words.is_cut and gives > 1:
        problems.warn(
            f"beside a cut size the quantity counts the pieces cut, each of which gives "
            f"{gives}; it is read so",
            cell.location,
            "State the finished size to count the triangles instead, or type "
            f"'{CUT_SHAPES[words.figure].value}'.",
        )


def check_against_finished(
    row: TableRow, words: ShapeWords, cut: CutFor, rules: CutRules, problems: Problems
) -> None:
    """Compare a cut size with the finished size in the same row; warn with both figures."""
    if not row.has("Finished width") or words.is_strip:
        return
    width, length = (
        read_length(row.cell(key), row.inches_in(key, rules.unit), problems)
        for key in ("Finished width", "Finished length")
    )
    if width is None or width <= 0 or (length is not None and length <= 0):
        return
    try:
        expected = cut_for(words.figure, width, length, rules)
    except FigureSizeError:
        return
    mine = sorted((cut.width, cut.length or cut.width))
    theirs = sorted((expected.width, expected.length or expected.width))
    if mine == theirs:
        return
    cut_size, asked = (" × ".join(map(rules.say, pair)) for pair in (mine, theirs))
    problems.warn(
        f"the cut size {cut_size} is not what the finished size asks for, {asked}: "
        f"{expected.formula}; the cut size is used",
        row.cell("Finished width").location,
        "Look at both figures, and keep the right one.",
    )

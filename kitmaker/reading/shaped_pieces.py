"""A row with a shape into what is cut: from finished sizes, and from cut sizes.

With finished sizes the quantity counts finished shapes of this fabric, with cut sizes the
pieces cut. Where a reader of the row could count otherwise, it is said what was counted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kitmaker.arithmetic.figures import CutRules, FigureSizeError
from kitmaker.errors import Problem, warning
from kitmaker.lengths import Length, say_size
from kitmaker.pattern import Note, Pattern, Shape
from kitmaker.reading.as_written import say_understood
from kitmaker.reading.cells import read_length
from kitmaker.reading.finished_shapes import CUT_SHAPES, CutFor, cut_for
from kitmaker.reading.shaped_cuts import open_way
from kitmaker.reading.shapes import ShapeWords
from kitmaker.reading.tables import TableRow

_NAMES_A_TRIANGLE = re.compile(
    r"\b(?:hsts?|qsts?|triangles?|geese|goose|diamonds?|hexagons?)\b", re.IGNORECASE
)
_BY_TWO: dict[Shape, int] = {
    Shape.CUT_ONCE: 2,
    Shape.CUT_TWICE: 4,
    Shape.FOR_EIGHT: 8,
    Shape.HALF_LEFT: 2,
    Shape.HALF_RIGHT: 2,
}


def ask_for_shape(
    row: TableRow, words: ShapeWords, problems: list[Problem], *, is_finished: bool
) -> None:
    """Warn where a row could be counted or made otherwise than it is read.

    Args:
        row: The row.
        words: What its Shape cell says.
        problems: The warnings are added here.
        is_finished: Whether it states finished sizes.
    """
    cell = row.cell("Shape")
    name = row.text("Piece")
    if is_finished and cell.is_blank and _NAMES_A_TRIANGLE.search(name):
        problems.append(
            warning(
                f"'{name}' has no shape, so its finished size is read as that of a square or "
                "rectangle",
                (row.cell("Piece")).location,
                "Head a column Shape and name it there, such as half-square triangle.",
            )
        )
    if is_finished and (said := open_way(words)) is not None:
        problems.append(warning(said.message, cell.location, said.suggestion))
    gives = _BY_TWO.get(CUT_SHAPES[words.figure], 1)
    if not is_finished and not words.is_cut and gives > 1:
        problems.append(
            warning(
                f"beside a cut size the quantity counts the pieces cut, each of which gives "
                f"{gives}; it is read so",
                cell.location,
                "State the finished size to count the triangles instead, or type "
                f"'{CUT_SHAPES[words.figure].value}'.",
            )
        )


def check_against_finished(
    row: TableRow, words: ShapeWords, cut: CutFor, rules: CutRules, problems: list[Problem]
) -> None:
    """Compare a cut size with the finished size in the same row; warn with both figures."""
    if not row.has("Finished width") or words.is_strip:
        return
    width = read_length(row.cell("Finished width"), _unit(row, "Finished width", rules), problems)
    length = None
    if row.has("Finished length"):
        key = "Finished length"
        length = read_length(row.cell(key), _unit(row, key, rules), problems)
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

    def say(pair: list[Length]) -> str:
        return " × ".join(say_size(one, rules.unit) for one in pair)

    problems.append(
        warning(
            f"the cut size {say(mine)} is not what the finished size asks for, {say(theirs)}: "
            f"{expected.formula}; the cut size is used",
            row.cell("Finished width").location,
            "Look at both figures, and keep the right one.",
        )
    )


def _unit(row: TableRow, key: str, rules: CutRules) -> Length:
    column = row.columns.get(key)
    return rules.unit.length if column is None else column.inches_in(rules.unit)


def formula_notes(pattern: Pattern, notes: Sequence[Note]) -> Iterator[Note]:
    """Yield, for each piece whose cut size was worked out, how it was.

    Args:
        pattern: The whole pattern.
        notes: What was made of its rows; a formula stands with its row.
    """
    words = {(note.where, note.role): note.words for note in notes}
    for fabric in pattern.fabrics:
        for piece in fabric.pieces:
            if piece.formula is None:
                continue
            row = words.get((piece.where, fabric.role))
            told = Note(where=piece.where, words=row or piece.name, understood="", role=fabric.role)
            if row is None:
                yield replace(told, understood=say_understood(piece, pattern.unit))
            yield replace(told, understood=piece.formula)

"""The tidy layout: a table with one row for each kind of piece.

Sizes are cut sizes, or finished sizes to which the seams are added here. Each row becomes
one piece or at least one problem; a row that says something else (a total, a remark) is
said to have been passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.arithmetic.cut_sizes import cut_rectangle
from kitmaker.arithmetic.figures import Figure, FigureSizeError
from kitmaker.errors import Problem, has_errors, warning
from kitmaker.lengths import Length, Unit, say_size
from kitmaker.pattern import Direction, Piece, PieceKind, Shape
from kitmaker.reading.cells import read_text, require, tidy_text
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.finished_shapes import STRIP_SHAPES, CutFor
from kitmaker.reading.phrases.settling import is_full_width
from kitmaker.reading.row_cells import LOF, WOF, ReadCells, RowCells, RowRules
from kitmaker.reading.shaped_cuts import Counted, cut_from_finished, cut_from_stated
from kitmaker.reading.shaped_pieces import ask_for_shape, check_against_finished
from kitmaker.reading.shapes import KNOWN_SHAPES
from kitmaker.reading.tables import TableRow
from kitmaker.reading.workbook import Cell, CellKind

_STRIP_WORDS = re.compile(r"\b(?:strips?|binding|borders?|bands?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sized:
    """A piece's kind, cut size and count."""

    kind: PieceKind
    width: Length
    length: Length | None
    quantity: int
    direction: Direction = Direction.FREE
    shape: Shape = Shape.RECTANGLE
    formula: str | None = None
    remark: str = ""


def read_piece_row(
    row: TableRow,
    quantity_cell: Cell,
    draft: FabricDraft,
    rules: RowRules,
    problems: list[Problem],
) -> Piece | None:
    """Return the piece a row asks for; None with at least one problem added.

    Args:
        row: The row.
        quantity_cell: The cell of its quantity in the chosen size.
        draft: The fabric it is cut from.
        rules: What holds for every row.
        problems: What is wrong is added here.
    """
    before = len(problems)
    cells = RowCells(row, draft, rules, problems)
    read = cells.read(quantity_cell)
    piece = _PieceOfRow(cells).piece(read) if read is not None else None
    return None if has_errors(problems[before:]) else piece


class _PieceOfRow:
    """Settles what a row's cells come to: kind, cut size and count."""

    def __init__(self, cells: RowCells) -> None:
        self.cells, self.row = cells, cells.row

    def piece(self, read: ReadCells) -> Piece | None:
        sized = self._finish(read)
        if sized is None:
            return None
        if sized.kind is PieceKind.STRIP and not self.cells.draft.believes_strip(sized.width):
            self.cells.error(
                f"a strip {say_size(sized.width, Unit.INCH)} in wide is too wide to be believed",
                self.row.cell("Cut width"),
                "Look for a slip of the keyboard.",
            )
            return None
        name = read_text(self.row.cell("Piece")) or self._named_by_size(sized.width, sized.length)
        said = (sized.remark, self.row.text("Notes"), self.row.text("Location"))
        return Piece(
            name=name,
            kind=sized.kind,
            width=sized.width,
            length=sized.length,
            quantity=sized.quantity,
            shape=sized.shape,
            direction=sized.direction,
            print_group=read_text(self.row.cell("Same print")) or None,
            cross_cut=read.cross_cut,
            from_each=read.from_each,
            where=self.cells.where,
            notes="; ".join(text for text in said if text),
            formula=sized.formula,
        )

    def _named_by_size(self, width: Length, length: Length | None) -> str:
        unit = self.cells.rules.unit
        across = "WOF" if length is None else say_size(length, unit)
        return f"{say_size(width, unit)} × {across}"

    def _finish(self, read: ReadCells) -> _Sized | None:
        """Settle kind, cut size and count."""
        text = " ".join(tidy_text(read.length_cell.text).split())
        is_text = read.length_cell.kind is CellKind.TEXT
        if is_text and WOF.fullmatch(text):
            return self._whole_width(read)
        if is_text and LOF.fullmatch(text):
            return self._along(read)
        length: Length | None = None
        if not read.length_cell.is_blank:
            what = "finished length" if read.finished else "cut length"
            length = self.cells.length(read.length_cell, what)
            if length is None:
                return None
        elif read.shape.figure is Figure.RECTANGLE:
            return self._without_length(read)
        ask_for_shape(self.row, read.shape, self.cells.problems, is_finished=read.finished)
        rules = self.cells.rules.cut_rules(self.cells.draft, read.shape.oversize)
        counted = Counted(read.quantity, read.from_each)
        try:
            if read.finished:
                cut, quantity = cut_from_finished(read.shape, read.width, length, rules, counted)
            else:
                cut, quantity = cut_from_stated(read.shape, read.width, length, rules, counted)
                check_against_finished(self.row, read.shape, cut, rules, self.cells.problems)
        except FigureSizeError as fault:
            self.cells.error(str(fault), read.length_cell, fault.suggestion)
            return None
        return self._sized(read, cut, quantity)

    def _sized(self, read: ReadCells, cut: CutFor, quantity: int) -> _Sized:
        if cut.length is None or self._is_whole_strip(read, cut.width, cut.length):
            return _Sized(
                kind=PieceKind.STRIP,
                width=cut.width,
                length=None,
                quantity=quantity,
                shape=cut.shape,
                formula=cut.formula or None,
                remark=cut.remark,
            )
        return _Sized(
            kind=PieceKind.PIECE,
            width=cut.width,
            length=cut.length,
            quantity=quantity,
            direction=read.direction,
            shape=cut.shape,
            formula=cut.formula or None,
            remark=cut.remark,
        )

    def _strip_width(self, read: ReadCells) -> tuple[Length, str | None]:
        """Return a strip's cut width and its formula where it was stated finished."""
        if not read.finished:
            return read.width, None
        cut, unit = cut_rectangle(read.width, self.cells.rules.seam), self.cells.rules.unit
        said = (
            f"finished {say_size(read.width, unit)} + {say_size(cut - read.width, unit)} = strip "
            f"{say_size(cut, unit)} (strip; two seam allowances)"
        )
        return cut, said

    def _whole_width(self, read: ReadCells) -> _Sized | None:
        figure = read.shape.figure
        if figure in STRIP_SHAPES and not read.finished:
            shape = STRIP_SHAPES[figure]
        elif figure is Figure.RECTANGLE:
            shape = Shape.RECTANGLE
        else:
            self.cells.error(f"a {figure} has no length WOF", read.length_cell, KNOWN_SHAPES)
            return None
        width, formula = self._strip_width(read)
        return _Sized(
            kind=PieceKind.STRIP,
            width=width,
            length=None,
            quantity=read.quantity,
            shape=shape,
            formula=formula,
        )

    def _is_whole_strip(self, read: ReadCells, width: Length, length: Length) -> bool:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')} {self.row.text('Location')}"
        is_strip = read.shape.is_strip or (
            read.shape.figure is Figure.RECTANGLE and _STRIP_WORDS.search(called) is not None
        )
        if not is_strip or read.direction is not Direction.FREE or 2 * width > length:
            return False
        return is_full_width(length) and self.cells.draft.is_whole_width(length)

    def _along(self, read: ReadCells) -> _Sized | None:
        if read.shape.figure is not Figure.RECTANGLE:
            self.cells.error(
                f"a {read.shape.figure} has no length LOF", read.length_cell, KNOWN_SHAPES
            )
            return None
        amount = self.cells.draft.requirement
        if amount is None or amount.length is None:
            self.cells.draft.needs_amount = True
            self.cells.error(
                f"a length LOF needs the length of '{self.cells.draft.role}', which is not stated",
                read.length_cell,
                "Type the length in figures, or state the requirement as a length.",
            )
            return None
        self.cells.problems.append(
            warning(
                f"LOF is read as the whole requirement, {amount.as_written}",
                read.length_cell.location,
                "Type the length in figures if it is shorter.",
            )
        )
        width, formula = self._strip_width(read)
        return _Sized(
            kind=PieceKind.PIECE,
            width=width,
            length=amount.length,
            quantity=read.quantity,
            direction=Direction.LENGTHWISE,
            formula=formula,
        )

    def _without_length(self, read: ReadCells) -> _Sized | None:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')}"
        if read.shape.is_strip or _STRIP_WORDS.search(called):
            return self._whole_width(read)
        require(
            read.length_cell,
            "cut length",
            self.cells.problems,
            "Type a length such as 4 1/2, or WOF for a strip across the whole width.",
        )
        return None

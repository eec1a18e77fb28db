"""A table of pieces: one row for each kind of piece, cut from the fabric it names.

Sizes are cut sizes, or finished sizes to which the seams are added here. Each row becomes
one piece or at least one problem; a row that says something else (a total, a remark) is
said to have been passed over.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from kitmaker.arithmetic.cut_sizes import cut_rectangle
from kitmaker.arithmetic.figures import FROM_STRIPS, Figure, FigureSizeError
from kitmaker.arithmetic.joins import NARROWEST_SEAMED
from kitmaker.drafts import CHOOSE
from kitmaker.errors import Location, has_errors
from kitmaker.lengths import Length, Unit, say_size
from kitmaker.pattern import Direction, Note, Piece, PieceKind
from kitmaker.reading.as_written import NOT_READ, say_understood
from kitmaker.reading.cells import read_text, require, tidy_text
from kitmaker.reading.draft_rows import as_ticked, is_of_draft, obey_choice, settle_piece
from kitmaker.reading.fabric_draft import LONGEST_JOINED, FabricDraft
from kitmaker.reading.finished_shapes import CUT_SHAPES
from kitmaker.reading.grid import Cell, CellKind, row_and_column
from kitmaker.reading.join_words import says_joined
from kitmaker.reading.phrases.settling import is_full_width
from kitmaker.reading.row_cells import LOF, WOF, ReadCells, RowCells, piece_where
from kitmaker.reading.shaped_cuts import (
    Counted,
    ask_for_shape,
    check_against_finished,
    cut_from_finished,
    cut_from_stated,
)
from kitmaker.reading.shapes import KNOWN_SHAPES
from kitmaker.reading.table_reading import TableReading, is_none
from kitmaker.reading.tables import Table, TableRow, fold_heading

_MOST_SAID = 16
"""Cells of a row that are shown; a row of a pattern has fewer."""
_STRIP_WORDS = re.compile(r"\b(?:strips?|binding|borders?|bands?)\b", re.IGNORECASE)


def read_piece_table(reading: TableReading, table: Table) -> None:
    """Read each row of a table into a piece of the fabric it names."""
    if "Fabric" not in table.columns:
        where = table.sheet.blank(table.heading_row, 1).location
        reading.problems.refuse("the table has no column headed Fabric", where, "Head one Fabric.")
        _check_quantities(reading, table)
        return
    naming = _FabricNames(reading, table)
    for row in table.rows:
        of_draft = is_of_draft(row)
        if not of_draft and (reading.is_total(row) or reading.is_note(row, "Fabric", "Piece")):
            continue
        cell, is_sized = reading.sized_cell(table, row, "Quantity")
        named = naming.cell_for(row)
        if of_draft and settle_piece(reading, table, row, cell):
            continue
        if is_sized and is_none(cell) and not (of_draft and row.has(CHOOSE) and cell.is_blank):
            reading.none_of_size(
                table, "Quantity", cell, _words_of(row), read_text(named) if named else ""
            )
            continue
        if named is None:
            reading.no_fabric(row)
            continue
        role = read_text(named, reading.problems)
        draft = reading.draft_of(named, role, table)
        if reading.listed and draft.role not in reading.listed and not draft.pieces:
            reading.unlisted(role, named.location)
        if of_draft and obey_choice(reading, draft, row):
            continue
        reading.check_remark(row)
        reading.say_merged(row, cell)
        piece = _PieceOfRow(row, draft, reading).piece(cell)
        if piece is not None and not _is_in_another_table(reading, table, draft.role, piece):
            draft.pieces.append(as_ticked(row, piece))
            said = say_understood(piece, reading.unit)
        else:
            said = NOT_READ
        reading.notes.append(
            Note(where=piece_where(row), words=_words_of(row), understood=said, role=draft.role)
        )
    reading.carry_down(naming.carried)


_DITTO = frozenset({"ditto", "do", "same", "as above", "same as above", "same fabric"})
"""Words of a Fabric cell that repeat the one above; quotation marks do as well."""


class _FabricNames:
    """Which fabric a row is cut from: the one it names, else the one named right above.

    Where names are merged over several rows, a blank one below them is a gap and no ditto;
    a blank row ends what a name stands for.
    """

    def __init__(self, reading: TableReading, table: Table) -> None:
        self.reading = reading
        self.number = table.columns["Fabric"].number
        cells = (row.row.cells.get(self.number) for row in table.rows)
        self.has_merged = any(
            cell is not None and row_and_column(cell.location)[0] != cell.row for cell in cells
        )
        self.named: Cell | None = None
        self.last_row = 0
        self.carried: list[tuple[Location, str]] = []

    def cell_for(self, row: TableRow) -> Cell | None:
        """Return the cell that names a row's fabric; None where none does for sure."""
        follows = row.number == self.last_row + 1
        self.last_row = row.number
        cell = row.cell("Fabric")
        folded = fold_heading(read_text(cell))
        repeats = cell.is_blank or folded in _DITTO or (not folded and '"' in tidy_text(cell.text))
        if not repeats and folded:
            self.named = cell
        elif not repeats or not follows or self.has_merged:
            self.named = None
        elif self.named is not None:
            where = row.sheet.blank(row.number, self.number).location
            self.carried.append((where, read_text(self.named)))
        return self.named


def _check_quantities(reading: TableReading, table: Table) -> None:
    """Report the blank quantities of a table that cannot be read further."""
    if "Quantity" not in table.columns:
        return
    for row in table.rows:
        if not reading.is_note(row, "Fabric", "Piece"):
            require(row.cell("Quantity"), "quantity", reading.problems, "Type how many to cut.")


def _words_of(row: TableRow) -> str:
    """Return a row as a person sees it, its fabric left out."""
    fabric = row.columns["Fabric"].number
    cells = [cell for column, cell in row.row.cells.items() if column != fabric]
    said = [read_text(cell) for cell in cells[:_MOST_SAID]]
    return " | ".join(said) + (" | …" if len(cells) > _MOST_SAID else "")


def _is_in_another_table(reading: TableReading, table: Table, role: str, piece: Piece) -> bool:
    """Report a piece that stands in two tables: they may be two sizes, or one list twice."""
    headings = table.sheet.blank(table.heading_row, 1).location
    first = reading.seen_in.setdefault((role, piece.name.casefold()), headings)
    if first == headings:
        return False
    reading.problems.refuse(
        f"'{piece.name}' of '{role}' stands in two tables",
        piece.where,
        "Above each table write its size, such as 'Crib size', or keep one table.",
    )
    return True


class _PieceOfRow:
    """Settles what a row's cells come to: kind, cut size and count."""

    def __init__(self, row: TableRow, draft: FabricDraft, reading: TableReading) -> None:
        self.row, self.draft, self.reading = row, draft, reading
        self.cells = RowCells(row, draft, reading)

    def piece(self, quantity: Cell) -> Piece | None:
        before = len(self.reading.problems)
        read = self.cells.read(quantity)
        piece = self._settled(read) if read is not None else None
        if piece is not None and piece.join:
            self._check_join(piece)
        if piece is not None and read is not None and read.run and piece.run is None:
            self.cells.error(
                "only strips across the whole width are sewn to a length",
                self.row.cell("Join"),
                "Type yes or no, or leave it empty.",
            )
        return None if has_errors(self.reading.problems[before:]) else piece

    def _check_join(self, piece: Piece) -> None:
        """Say where a row asks for seams that are never sewn."""
        narrow = min(piece.width, piece.length or piece.width)
        if narrow < NARROWEST_SEAMED:
            size = f"{say_size(narrow, self.reading.unit)} {self.reading.unit.value}"
            message = f"no seam is sewn in a piece that is only {size} wide"
        elif piece.cross_cut is not None:
            message = "the strips of a strip set are not sewn end to end"
        elif not piece.may_have_seams:
            message = f"a {piece.shape} is never sewn of parts"
        else:
            return
        self.reading.problems.warn(
            f"'{piece.name}': {message}; it is cut whole",
            self.row.cell("Join").location,
            "Type no, or leave it empty.",
        )

    def _made(
        self,
        read: ReadCells,
        width: Length,
        length: Length | None = None,
        *,
        count: int | None = None,
        remark: str = "",
        kind: PieceKind | None = None,
        **more: Any,
    ) -> Piece | None:
        """Return a piece, a strip across the fabric where it has no length."""
        unit = self.reading.unit
        if length is None and not self.draft.believes_strip(width):
            self.cells.error(
                f"a strip {say_size(width, Unit.INCH)} in wide is too wide to be believed",
                self.row.cell("Cut width"),
                "Look for a slip of the keyboard.",
            )
            return None
        across = "WOF" if length is None else say_size(length, unit)
        said = (remark, self.row.text("Notes"), self.row.text("Location"))
        return Piece(
            name=read_text(self.row.cell("Piece")) or f"{say_size(width, unit)} × {across}",
            kind=kind or (PieceKind.STRIP if length is None else PieceKind.PIECE),
            width=width,
            length=length,
            quantity=read.quantity if count is None else count,
            print_group=read_text(self.row.cell("Same print")) or None,
            cross_cut=read.cross_cut,
            join=read.join,
            is_joined=(length is None or kind is PieceKind.JOINED)
            and (
                read.run is not None or says_joined(f"{self.row.text('Piece')} {'; '.join(said)}")
            ),
            run=read.run if length is None else None,
            from_each=read.from_each,
            where=self.cells.where,
            notes="; ".join(text for text in said if text),
            **more,
        )

    def _settled(self, read: ReadCells) -> Piece | None:
        if read.shape.is_joined:
            return self._joined(read)
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
        ask_for_shape(self.row, read.shape, self.reading.problems, is_finished=read.finished)
        rules = replace(self.reading.rules(self.draft), oversize=read.shape.oversize)
        counted = Counted(read.quantity, read.from_each)
        try:
            if read.finished:
                cut, quantity = cut_from_finished(read.shape, read.width, length, rules, counted)
            else:
                cut, quantity = cut_from_stated(read.shape, read.width, length, rules, counted)
                check_against_finished(self.row, read.shape, cut, rules, self.reading.problems)
        except FigureSizeError as fault:
            self.cells.error(str(fault), read.length_cell, fault.suggestion)
            return None
        whole = cut.length is None or self._is_whole_strip(read, cut.width, cut.length)
        return self._made(
            read,
            cut.width,
            None if whole else cut.length,
            count=quantity,
            remark=cut.remark,
            direction=Direction.FREE if whole else read.direction,
            shape=cut.shape,
            formula=cut.formula or None,
        )

    def _strip_width(self, read: ReadCells) -> tuple[Length, str | None]:
        """Return a strip's cut width and its formula where it was stated finished."""
        if not read.finished:
            return read.width, None
        cut, unit = cut_rectangle(read.width, self.reading.seam), self.reading.unit
        message = (
            f"finished {say_size(read.width, unit)} + {say_size(cut - read.width, unit)} = strip "
            f"{say_size(cut, unit)} (strip; two seam allowances)"
        )
        return cut, message

    def _whole_width(self, read: ReadCells) -> Piece | None:
        figure = read.shape.figure
        if figure is not Figure.RECTANGLE and (read.finished or figure not in FROM_STRIPS):
            self.cells.error(f"a {figure} has no length WOF", read.length_cell, KNOWN_SHAPES)
            return None
        width, formula = self._strip_width(read)
        way = read.direction if read.direction is Direction.ONE_WAY else Direction.FREE
        return self._made(read, width, shape=CUT_SHAPES[figure], formula=formula, direction=way)

    def _joined(self, read: ReadCells) -> Piece | None:
        """Return one length sewn together from strips: their width, the total length."""
        what = "cut length"
        length = self.cells.length(read.length_cell, what, most=LONGEST_JOINED)
        require(read.length_cell, what, self.reading.problems, "Type the total, such as 280.")
        if read.quantity != 1 or read.finished:
            self.cells.error(
                "strips that are joined are one length, in cut sizes",
                self.row.cell("Shape"),
                "Type the whole length under Cut length, and 1 under Quantity.",
            )
        return (
            None if length is None else self._made(read, read.width, length, kind=PieceKind.JOINED)
        )

    def _is_whole_strip(self, read: ReadCells, width: Length, length: Length) -> bool:
        if is_of_draft(self.row):
            return False
        called = f"{self.row.text('Piece')} {self.row.text('Notes')} {self.row.text('Location')}"
        is_strip = read.shape.is_strip or (
            read.shape.figure is Figure.RECTANGLE and _STRIP_WORDS.search(called) is not None
        )
        if not is_strip or read.direction is not Direction.FREE or 2 * width > length:
            return False
        return is_full_width(length) and self.draft.is_whole_width(length)

    def _along(self, read: ReadCells) -> Piece | None:
        if read.shape.figure is not Figure.RECTANGLE:
            self.cells.error(
                f"a {read.shape.figure} has no length LOF", read.length_cell, KNOWN_SHAPES
            )
            return None
        amount = self.draft.requirement
        if amount is None or amount.length is None:
            self.draft.needs_amount = True
            self.cells.error(
                f"a length LOF needs the length of '{self.draft.role}', which is not stated",
                read.length_cell,
                "Type the length in figures, or state the requirement as a length.",
            )
            return None
        self.reading.problems.warn(
            f"LOF is read as the whole requirement, {amount.as_written}",
            read.length_cell.location,
            "Type the length in figures if it is shorter.",
        )
        width, formula = self._strip_width(read)
        return self._made(
            read, width, amount.length, direction=Direction.LENGTHWISE, formula=formula
        )

    def _without_length(self, read: ReadCells) -> Piece | None:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')}"
        if read.shape.is_strip or _STRIP_WORDS.search(called):
            return self._whole_width(read)
        require(
            read.length_cell,
            "cut length",
            self.reading.problems,
            "Type a length such as 4 1/2, or WOF for a strip across the whole width.",
        )
        return None

"""A table of pieces: each row to the fabric it names."""

from __future__ import annotations

from kitmaker.errors import Location, error
from kitmaker.pattern import Note, Piece
from kitmaker.reading.as_written import NOT_READ, say_understood
from kitmaker.reading.cells import read_text, require, tidy_text
from kitmaker.reading.layout import FoundTable
from kitmaker.reading.row_cells import RowRules, piece_where
from kitmaker.reading.table_reading import TableReading, is_none
from kitmaker.reading.tables import TableRow, fold_heading
from kitmaker.reading.tidy import read_piece_row
from kitmaker.reading.workbook import Cell, row_and_column


def read_piece_table(reading: TableReading, found: FoundTable) -> None:
    """Read each row of a table into a piece of the fabric it names."""
    rules = RowRules(
        unit=reading.unit, seam=reading.seam, step=reading.step, bracket=reading.bracket
    )
    missing = [key for key in ("Fabric",) if key not in found.table.columns]
    for key in missing:
        where = found.table.sheet.blank(found.table.heading_row, 1).location
        reading.problems.append(
            error(f"the table has no column headed {key}", where, f"Head one {key}.")
        )
    if missing:
        _check_quantities(reading, found)
        return
    naming = _FabricNames(reading, found)
    for row in found.table.rows:
        if reading.is_total(row) or reading.is_note(row, "Fabric", "Piece"):
            continue
        cell, is_sized = reading.sized_cell(found, row, "Quantity")
        named = naming.cell_for(row)
        if is_sized and is_none(cell):
            reading.none_of_size(
                found, "Quantity", cell, _words_of(row), read_text(named) if named else ""
            )
            continue
        if named is None:
            reading.no_fabric(row)
            continue
        role = read_text(named, reading.problems)
        draft = reading.draft_of(named, role, found)
        if reading.listed and draft.role not in reading.listed and not draft.pieces:
            reading.unlisted(role, named.location)
        reading.check_remark(row)
        reading.say_merged(row, cell)
        piece = read_piece_row(row, cell, draft, rules, reading.problems)
        if piece is not None and not _is_in_another_table(reading, found, draft.role, piece):
            draft.pieces.append(piece)
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

    def __init__(self, reading: TableReading, found: FoundTable) -> None:
        self.reading = reading
        self.number = found.table.columns["Fabric"].number
        cells = (row.row.cells.get(self.number) for row in found.table.rows)
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


def _check_quantities(reading: TableReading, found: FoundTable) -> None:
    """Report the blank quantities of a table that cannot be read further."""
    if "Quantity" not in found.table.columns:
        return
    for row in found.table.rows:
        if not reading.is_note(row, "Fabric", "Piece"):
            require(row.cell("Quantity"), "quantity", reading.problems, "Type how many to cut.")


def _words_of(row: TableRow) -> str:
    """Return a row as a person sees it, its fabric left out."""
    fabric = row.columns["Fabric"].number
    cells = (cell for column, cell in row.row.cells.items() if column != fabric)
    return " | ".join(read_text(cell) for cell in cells)


def _is_in_another_table(reading: TableReading, found: FoundTable, role: str, piece: Piece) -> bool:
    """Report a piece that stands in two tables: they may be two sizes, or one list twice."""
    table = found.table
    headings = table.sheet.blank(table.heading_row, 1).location
    first = reading.seen_in.setdefault((role, piece.name.casefold()), headings)
    if first == headings:
        return False
    reading.problems.append(
        error(
            f"'{piece.name}' of '{role}' stands in two tables",
            piece.where,
            "Above each table write its size, such as 'Crib size', or keep one table.",
        )
    )
    return True

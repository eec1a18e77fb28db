"""A table of pieces: each row to the fabric it names."""

from __future__ import annotations

import difflib

from kitmaker.errors import Location, error, warning
from kitmaker.pattern import Piece
from kitmaker.reading.cells import read_text
from kitmaker.reading.layout import FoundTable
from kitmaker.reading.table_reading import TableReading, is_none
from kitmaker.reading.tidy import RowRules, read_piece_row


def read_piece_table(reading: TableReading, found: FoundTable) -> None:
    """Read each row of a table into a piece of the fabric it names."""
    rules = RowRules(unit=reading.unit, seam=reading.seam, bracket=reading.bracket)
    missing = [key for key in ("Fabric",) if key not in found.table.columns]
    for key in missing:
        where = found.table.sheet.blank(found.table.heading_row, 1).location
        reading.problems.append(
            error(f"the table has no column headed {key}", where, f"Head one {key}.")
        )
    if missing:
        return
    for row in found.table.rows:
        if reading.is_total(row) or reading.is_note(row, "Fabric", "Piece"):
            continue
        cell, is_sized = reading.sized_cell(found, row, "Quantity")
        if is_sized and is_none(cell):
            continue
        if not row.has("Fabric"):
            reading.no_fabric(row)
            continue
        role = read_text(row.cell("Fabric"), reading.problems)
        draft = reading.drafts.find(role)
        if draft is None:
            draft = reading.drafts.get(role, row.cell("Fabric").location)
            if reading.listed:
                _unlisted(reading, role, row.cell("Fabric").location)
        reading.check_remark(row)
        piece = read_piece_row(row, cell, draft, rules, reading.problems)
        if piece is not None and not _is_in_another_table(reading, found, draft.role, piece):
            draft.pieces.append(piece)


def _unlisted(reading: TableReading, role: str, where: Location) -> None:
    near = difflib.get_close_matches(role, reading.listed, n=1, cutoff=0.8)
    reading.problems.append(
        warning(
            f"the fabric '{role}' is not in the table of fabrics",
            where,
            f"Did you mean '{near[0]}'?" if near else "",
        )
    )


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

"""One column for a fabric's name, its place in the quilt and its yardage.

Charts in printed patterns save a column so: "Fabric A", "navy print", "1¼ yards" stand in
one cell, on lines of their own or between dashes. Such a column is read as two that share
their cells: the last part that is an amount, and the rest as the fabric's name.
"""

from __future__ import annotations

import re
from dataclasses import replace

from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.grid import Cell, CellKind, Row
from kitmaker.reading.tables import Column, Table, TableRow

SHARED = "Fabric and amount"
"""The key of a heading such as ``Fabric Name, Placement & Yardage``."""

BESIDE = 16_384
"""Added to a column's number for the amounts in it: the first beyond a sheet's own columns."""
LAST_COLUMN = 1_000
"""A chart is not wider than this. Our own bound, no source."""

_PARTS = re.compile(r"\n+|\s+[-–—]+\s+|\s*[;:]\s+|,\s+|\s*(?:[.]\s*){3,}")


def part_shared_column(table: Table) -> Table:
    """Return a table whose column of names and amounts, if it has one, is two."""
    column = table.columns.get(SHARED)
    if column is None or column.number > LAST_COLUMN:
        return table
    columns = {key: one for key, one in table.columns.items() if key != SHARED}
    columns["Fabric"] = replace(column, key="Fabric")
    columns["Requirement"] = Column(
        key="Requirement", number=column.number + BESIDE, heading=column.heading
    )
    rows = tuple(
        TableRow(
            sheet=row.sheet, number=row.number, columns=columns, row=_parted(row.row, column.number)
        )
        for row in table.rows
    )
    return replace(table, columns=columns, rows=rows)


def _parted(row: Row, number: int) -> Row:
    cell = row.cells.get(number)
    if cell is None or cell.kind is not CellKind.TEXT:
        return row
    name, amount = split_name_and_amount(cell.text)
    cells: dict[int, Cell] = dict(row.cells)
    cells[number] = replace(cell, text=name)
    if amount:
        cells[number + BESIDE] = replace(cell, text=amount, column=number + BESIDE)
    return Row(number=row.number, cells=cells)


def split_name_and_amount(text: str) -> tuple[str, str]:
    """Return the name and the amount in a text; "" for an amount that is not there.

    Where figures stand in the text and no part is an amount, the whole text is handed on
    as the amount, to be reported as one that cannot be read.
    """
    parts = [" ".join(part.split()) for part in _PARTS.split(text) if part and part.strip()]
    for at in range(len(parts) - 1, 0, -1):
        try:
            read_amount(parts[at])
        except AmountError:
            continue
        return ", ".join((*parts[:at], *parts[at + 1 :])), parts[at]
    whole = " ".join(text.split())
    return whole, whole if re.search(r"\d|[¼-¾⅐-⅞]", text) else ""

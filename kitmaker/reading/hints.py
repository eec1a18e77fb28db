"""What stands in a workbook for the person who fills it in, and is never read.

The blank workbooks of ``kitmaker starter`` explain themselves: a sheet of explanations, an
example row in each table, a hint beside each value. All of it is taken away before
anything is read, so that it may stay where it is.
"""

from __future__ import annotations

from dataclasses import replace

from kitmaker.reading.grid import CellKind, Sheet, Workbook

HELP_SHEET = "How to fill this in"
EXAMPLE = "Example (not read)"
HINT = "←"
"""A sheet of this name, a row that begins so, and a cell that begins so are not read."""


def without_hints(workbook: Workbook) -> Workbook:
    """Return a workbook without its explanations."""
    kept = tuple(
        _without_hints(sheet)
        for sheet in workbook.sheets
        if (sheet.name or "").strip().casefold() != HELP_SHEET.casefold()
    )
    return replace(workbook, sheets=kept)


def _without_hints(sheet: Sheet) -> Sheet:
    examples = {
        row.number
        for row in sheet.rows()
        if row.first().kind is CellKind.TEXT
        and row.first().text.strip().casefold().startswith(EXAMPLE.casefold())
    }
    cells = {
        place: cell
        for place, cell in sheet.cells.items()
        if place[0] not in examples and not cell.text.lstrip().startswith(HINT)
    }
    if len(cells) == len(sheet.cells):
        return sheet
    filled = {row for row, _ in cells}
    hidden = tuple(number for number in sheet.hidden_rows if number in filled)
    columns = tuple(set(sheet.hidden_columns) & {column for _, column in cells})
    return replace(sheet, cells=cells, hidden_rows=hidden, hidden_columns=columns)

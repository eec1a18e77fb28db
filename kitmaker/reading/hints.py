"""What stands in a workbook for the person who fills it in, and is never read.

The blank workbooks of ``kitmaker starter`` explain themselves: a sheet of explanations, an
example row in each table, a hint beside each value. A draft keeps the words it came from in a
column, the readings to choose from beside them, and a sheet of what was left over. All of it is
taken away before anything is read, so that it may stay where it is.
"""

from __future__ import annotations

import re
from dataclasses import replace

from kitmaker.drafts import (
    AS_WRITTEN,
    CHOOSE,
    EXAMPLE,
    HELP_SHEET,
    HINT,
    HOW_SURE,
    LEFT_OVER,
    READING,
    SAID_WHY,
)
from kitmaker.reading.grid import CellKind, Row, Sheet, Workbook


def without_hints(workbook: Workbook) -> Workbook:
    """Return a workbook without its explanations."""
    kept = tuple(
        _without_hints(sheet)
        for sheet in workbook.sheets
        if (sheet.name or "").strip().casefold() not in _NEVER_READ
    )
    return replace(workbook, sheets=kept)


_NEVER_READ = frozenset({HELP_SHEET.casefold(), LEFT_OVER.casefold()})
_TOLD = re.compile(rf"(?:{AS_WRITTEN}|{SAID_WHY}|{READING} \d+)", re.IGNORECASE)
"""The columns of a draft that only tell."""


def _told_columns(row: Row) -> set[int]:
    """Return the columns that only tell, where a row is the headings of a draft's table."""
    headings = {number: cell.text.strip() for number, cell in row.cells.items()}
    folded = {heading.casefold() for heading in headings.values()}
    if not {HOW_SURE.casefold(), CHOOSE.casefold()} <= folded:
        return set()
    return {number for number, heading in headings.items() if _TOLD.fullmatch(heading)}


def _without_hints(sheet: Sheet) -> Sheet:
    examples = {
        row.number
        for row in sheet.rows()
        if row.first().kind is CellKind.TEXT
        and row.first().text.strip().casefold().startswith(EXAMPLE.casefold())
    }
    told = {column for row in sheet.rows() for column in _told_columns(row)}
    cells = {
        place: cell
        for place, cell in sheet.cells.items()
        if place[0] not in examples
        and place[1] not in told
        and not cell.text.lstrip().startswith(HINT)
    }
    if len(cells) == len(sheet.cells):
        return sheet
    filled = {row for row, _ in cells}
    hidden = tuple(number for number in sheet.hidden_rows if number in filled)
    columns = tuple(sorted(set(sheet.hidden_columns) & {column for _, column in cells}))
    return replace(sheet, cells=cells, hidden_rows=hidden, hidden_columns=columns)

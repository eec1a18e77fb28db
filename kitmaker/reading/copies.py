"""A table that stands there twice, such as a copy of a sheet kept for safety.

Counted twice it doubles what is bought. A table is a copy when half of its rows stand in
another one, or when its sheet's name says so and the two have fabrics in common.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from kitmaker.errors import Problems
from kitmaker.reading.cells import read_text
from kitmaker.reading.tables import Table, fold_heading

_COPY = re.compile(
    r"\(\d+\)\s*$|\b(?:copy|copied|old|backup|back-up|previous|archived?|superseded|before|"
    r"first version|v\s?\d+|version \d+|draft|unused|trash)\b",
    re.IGNORECASE,
)


def without_copies(tables: Iterable[Table], problems: Problems) -> tuple[Table, ...]:
    """Return the tables that are no copies; each copy is an error that names both sheets."""
    kept: list[Table] = []
    for table in sorted(tables, key=_is_marked):  # the copy goes last
        twin = next((one for one in kept if _is_copy(table, one)), None)
        if twin is None:
            kept.append(table)
            continue
        sheet, other = table.sheet, twin.sheet
        where = sheet.blank(table.heading_row, 1).location
        first = other.blank(twin.heading_row, 1).location
        problems.refuse(
            f"this table repeats the one at {first.address}, so it is not counted again",
            where,
            f"Delete the sheet '{sheet.name}', or the sheet '{other.name}' if that is the old one."
            if sheet.name != other.name
            else "Delete one of the two.",
        )
    order = {id(table): at for at, table in enumerate(tables)}
    return tuple(sorted(kept, key=lambda table: order[id(table)]))


def _is_marked(table: Table) -> bool:
    return _COPY.search(table.sheet.name or "") is not None


def _is_copy(table: Table, other: Table) -> bool:
    if table.kind is not other.kind or table.block != other.block:
        return False
    rows, others = _rows(table), _rows(other)
    same = len(rows & others)
    if min(len(rows), len(others)) > 1 and 2 * same >= min(len(rows), len(others)):
        return True
    names, other_names = {row[0] for row in rows}, {row[0] for row in others}
    shared = len(names & other_names)
    if _is_whole(table) and _is_whole(other) and shared > 2 and shared == len(other_names):
        return True  # each states amount and cuts of the same fabrics
    if table.sheet is other.sheet or not (_is_marked(table) or _is_marked(other)):
        return same > 0 and rows == others
    return shared > 0


def _is_whole(table: Table) -> bool:
    keys = table.known_keys()
    return {"Requirement", "Cutting instructions"} <= keys


def _rows(table: Table) -> set[tuple[str, ...]]:
    fabric = table.columns.get("Fabric")
    number = fabric.number if fabric is not None else 0
    rows = set()
    for row in table.rows:
        cells = row.row.cells
        rest = (read_text(cell) for column, cell in cells.items() if column != number)
        name = read_text(cells[number]) if number in cells else ""
        said = tuple(fold_heading(text) for text in rest if text)
        if said:
            rows.add((fold_heading(name), *said))
    return rows

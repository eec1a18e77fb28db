"""What stands in a pattern's workbook and was read by nobody.

A sheet without its row of headings is no table; its rows would vanish. Rows that name a
fabric of the pattern or stand on a sheet of pieces are an error, labels that are nearly
known ones too; what may be a person's own jottings is a warning.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from kitmaker.errors import Problem, error, warning
from kitmaker.reading.cells import read_text
from kitmaker.reading.finishing_sheet import label_key
from kitmaker.reading.grid import CellKind, Row
from kitmaker.reading.layout import FACT_KEYS
from kitmaker.reading.tables import nearest_key
from kitmaker.shop import fold_role

_TABLE_SHEETS = ("piece", "cut", "patch", "fabric", "material", "requirement", "yardage")
_HEAD = "Head its columns Fabric, Piece, Cut width, Cut length, Quantity."


def say_passed_over(rows: Sequence[Row], roles: Collection[str]) -> Iterator[Problem]:
    """Yield what is wrong with rows that belong to no table, once for each block of them.

    Roles are the folded names of the pattern's fabrics.
    """
    block: list[Row] = []
    for row in rows:
        if row.lone_text() is not None:
            continue  # a note
        if block and not _follows(row, block[-1]):
            yield from _about(block, roles)
            block = []
        block.append(row)
    if block:
        yield from _about(block, roles)


def _follows(row: Row, last: Row) -> bool:
    same = row.first().location.sheet == last.first().location.sheet
    return same and row.number == last.number + 1


def _about(block: Sequence[Row], roles: Collection[str]) -> Iterator[Problem]:
    labels = [row for row in block if _is_label(row)]
    for row in labels:
        name = read_text(row.first())
        if near := nearest_key(name, FACT_KEYS, 0.75):
            yield error(
                f"the label '{name}' is not known, so its value is not read",
                row.first().location,
                f"Did you mean '{near}'?",
            )
            return
    first = block[0].first()
    if sum(label_key(row.first().text) is not None for row in labels) > 1:
        yield error(
            "these rows are those of a Finishing sheet, but the sheet is called "
            f"'{first.location.sheet}'; they are not read",
            first.location,
            "Call the sheet Finishing.",
        )
        return
    rows = [row for row in block if len(row.own_cells()) != 2 or _has_figures(row)]
    if not rows:
        return
    last = block[-1].first().location.cell
    stands = "stands" if len(block) == 1 else f"to {last} stand"
    sheet = (first.location.sheet or "").casefold()
    is_table = any(word in sheet for word in _TABLE_SHEETS) and len(rows[0].own_cells()) > 2
    is_error = is_table or any(_names_fabric(row, roles) and _has_figures(row) for row in rows)
    say = error if is_error else warning
    yield say(
        f"{first.location.cell} {stands} below no headings that are known and will not be read",
        first.location,
        _HEAD if is_error else "Look whether it matters; head its columns if it does.",
    )


def _is_label(row: Row) -> bool:
    return len(row.own_cells()) == 2 and row.first().kind is CellKind.TEXT


def _has_figures(row: Row) -> bool:
    return any(
        cell.kind is not CellKind.TEXT or any(char.isdigit() for char in cell.text)
        for cell in row.own_cells()
    )


def _names_fabric(row: Row, roles: Collection[str]) -> bool:
    return any(fold_role(read_text(cell)) in roles for cell in row.own_cells())

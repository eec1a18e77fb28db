"""A class written into a workbook: which cells change so that it says what it should.

The opposite of reading it. Only cells whose value is another are named, so that whatever else
stands in a workbook (remarks, other sheets, the way it looks) stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from kitmaker.errors import Location, OutputError, Problems, error
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import CellKind, Sheet, Workbook, address
from kitmaker.reading.tables import Headings, TableRow, find_table, fold_heading, heading_names
from kitmaker.shop import ClassSheet, FabricChoice, fold_role
from kitmaker.shopbooks.classbook import CLASS_LABELS, FABRIC_HEADINGS, is_pattern_table
from kitmaker.shopbooks.colorways import COLORWAY_HEADINGS
from kitmaker.shopbooks.ledger import column_beside, data_rows, find_sheet


class Edit(NamedTuple):
    """A cell that gets another value.

    Attributes:
        sheet: The worksheet's name; one that is not there yet is added.
        row: From 1.
        column: From 1.
        value: None to empty the cell.
    """

    sheet: str
    row: int
    column: int
    value: str | int | None


def class_edits(workbook: Workbook, before: ClassSheet, wanted: ClassSheet) -> tuple[Edit, ...]:
    """Return what changes in a class's workbook so that it says what is wanted.

    The workbook may be a blank one; extras stay in it as they are.

    Raises:
        OutputError: A table stands there in a way that cannot be changed cell by cell.
    """
    return (
        *_facts(workbook, before, wanted),
        *_colorways(workbook, before, wanted),
        *_fabrics(workbook, before, wanted),
    )


def facts_of(of: ClassSheet) -> dict[str, str | int | None]:
    """Return what a class says beside the labels of its Class sheet, in their order."""
    return {
        "Title": of.title,
        "Date": of.date,
        "Teacher": of.teacher,
        "Bring": of.bring,
        "Kits": of.kits,
        "Spare kits": of.spare_kits,
        "Size": of.size,
        "Pattern file": of.pattern_file,
    }


def _facts(workbook: Workbook, before: ClassSheet, wanted: ClassSheet) -> Iterator[Edit]:
    old, new = facts_of(before), facts_of(wanted)
    values = {label: value for label, value in new.items() if value != old[label]}
    sheet = find_sheet(workbook, "Class")
    name = sheet.name or "Class" if sheet is not None else "Class"
    places: dict[str, tuple[int, int]] = {}
    last = 0
    if sheet is not None:
        names = heading_names(CLASS_LABELS)
        for row in sheet.rows():
            last = row.number
            key = names.get(fold_heading(row.first().text))
            if key is not None:
                places.setdefault(key, (row.number, column_beside(row)))
    for label, value in values.items():
        if label in places and sheet is not None:
            yield from _put(sheet, places[label], value)
        elif value not in ("", None):
            last += 1
            yield Edit(name, last, 1, label)
            yield Edit(name, last, 2, value)


def _put(sheet: Sheet, place: tuple[int, int], value: str | int | None) -> Iterator[Edit]:
    """Change one cell, if it does not say the value already."""
    cell = sheet.cells.get(place)
    before = "" if cell is None else read_text(cell)
    if cell is not None and cell.kind is CellKind.UNCALCULATED:
        before = "?"
    if before == ("" if value is None else str(value)):
        return
    if cell is not None and cell.location.cell != address(*place):
        raise OutputError(
            [
                error(
                    "merged cells cannot be filled in one by one",
                    cell.location,
                    "Unmerge them in your spreadsheet program, or change it there.",
                )
            ]
        )
    yield Edit(sheet.name or "", *place, value if value != "" else None)


@dataclass(slots=True)
class _Grid:
    """A table that is filled in: where its columns are, and which rows it has."""

    sheet: Sheet | None
    name: str
    columns: dict[str, int]
    rows: list[TableRow]
    next_row: int
    headings: list[Edit] = field(default_factory=list)

    def put(self, row: int, values: Mapping[str, str | int | None]) -> Iterator[Edit]:
        for key, value in values.items():
            place = (row, self.columns[key])
            if self.sheet is not None:
                yield from _put(self.sheet, place, value)
            elif value not in ("", None):
                yield Edit(self.name, *place, value)

    def new_row(self) -> int:
        self.next_row += 1
        return self.next_row - 1


def _grid(workbook: Workbook, name: str, headings: Headings, keys: Sequence[str]) -> _Grid:
    """Find a table by its headings; a heading that it lacks is added on its right."""
    sheet = find_sheet(workbook, name)
    table = None if sheet is None else find_table(sheet, headings, Problems(), required=keys[:1])
    if sheet is None or table is None:
        columns = {key: at for at, key in enumerate(keys, start=1)}
        top = 1 if sheet is None else _last_row(sheet) + 2
        edits = [Edit(_name(sheet, name), top, at, key) for key, at in columns.items()]
        return _Grid(sheet, _name(sheet, name), columns, [], top + 1, edits)
    columns = {key: column.number for key, column in table.columns.items()}
    edits, right = [], max(column for _, column in sheet.cells)
    for key in keys:
        if key not in columns:
            right += 1
            columns[key] = right
            edits.append(Edit(_name(sheet, name), table.heading_row, right, key))
    last = max(_last_row(sheet), table.heading_row)
    examples_end = last if table.rows else last + 1  # a starter's example row stays its own
    return _Grid(
        sheet,
        _name(sheet, name),
        columns,
        list(data_rows(table, Problems())),
        examples_end + 1,
        edits,
    )


def _name(sheet: Sheet | None, name: str) -> str:
    return name if sheet is None or sheet.name is None else sheet.name


def _last_row(sheet: Sheet) -> int:
    return max((row for row, _ in sheet.cells), default=0)


def _bolts(of: ClassSheet) -> list[tuple[str, int | None, dict[str, str]]]:
    return [(colorway.name, colorway.kits, colorway.skus) for colorway in of.colorways]


def _colorways(workbook: Workbook, before: ClassSheet, wanted: ClassSheet) -> Iterator[Edit]:
    if _bolts(before) == _bolts(wanted):
        return
    rows = [
        (colorway.name, colorway.kits, colorway.roles.get(key, key), sku)
        for colorway in wanted.colorways
        for key, sku in colorway.skus.items()
    ]
    grid = _grid(workbook, "Colorways", COLORWAY_HEADINGS, ("Colorway", "Kits", "Fabric", "SKU"))
    yield from grid.headings
    stood = list(_rows_before(grid.rows))
    notes = dict(stood)
    for at, (name, kits, role, sku) in enumerate(rows):
        number = grid.rows[at].number if at < len(grid.rows) else grid.new_row()
        values: dict[str, str | int | None] = {
            "Colorway": name,
            "Kits": kits,
            "Fabric": role,
            "SKU": sku,
        }
        if any(notes.values()):
            key = (fold_role(name), fold_role(role))
            same_role = at < len(stood) and stood[at][0][1] == key[1]
            values["Notes"] = notes.get(key, stood[at][1] if same_role else "")
        yield from grid.put(number, values)
    for row in grid.rows[len(rows) :]:
        yield from grid.put(row.number, dict.fromkeys(grid.columns))


def _rows_before(rows: Sequence[TableRow]) -> Iterator[tuple[tuple[str, str], str]]:
    """Yield each row's colorway and role, folded, and its remark."""
    name = ""
    for row in rows:
        name = fold_role(row.text("Colorway")) or name
        yield (name, fold_role(row.text("Fabric"))), row.text("Notes")


def _fabrics(workbook: Workbook, before: ClassSheet, wanted: ClassSheet) -> Iterator[Edit]:
    old = {fold_role(fabric.role): fabric for fabric in before.fabrics}
    changed = [
        fabric
        for fabric in wanted.fabrics
        if bag_of(fabric) != bag_of(old.get(fold_role(fabric.role)))
    ]
    if not changed:
        return
    sheet = find_sheet(workbook, "Fabrics")
    if sheet is not None and is_pattern_table(sheet):
        where = Location(workbook.name, sheet.name)
        message = "this sheet is the pattern's, so what is in the kit cannot be saved on it"
        raise OutputError([error(message, where, "Keep the class in a workbook of its own.")])
    grid = _grid(workbook, "Fabrics", FABRIC_HEADINGS, ("Fabric", "In kit", "Form", "Bag"))
    yield from grid.headings
    known = {fold_role(row.text("Fabric")): row.number for row in grid.rows}
    for one in changed:
        number = known.get(fold_role(one.role)) or grid.new_row()
        in_kit, form, bag = bag_of(one)
        values = {"Fabric": one.role, "In kit": in_kit, "Form": form, "Bag": bag}
        yield from grid.put(number, values)


def bag_of(choice: FabricChoice | None) -> tuple[str | None, str | None, str | None]:
    """Return what a row of the Fabrics sheet says: in kit, form, bag."""
    if choice is None:
        return None, None, None
    in_kit = None if choice.in_kit is None else choice.in_kit.value
    return in_kit, choice.form, None if choice.bag is None else choice.bag.value

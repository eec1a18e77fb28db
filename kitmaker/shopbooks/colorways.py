"""The Colorways sheet: which bolt fills which role, and how many kits of each.

A row is one role of one colorway. The colorway's name may stand on each of its rows or on
the first only, and so may its number of kits.
"""

from __future__ import annotations

from dataclasses import replace

from kitmaker.errors import Problems
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import Cell, Sheet
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shop import Colorway, fold_role
from kitmaker.shopbooks.ledger import data_rows, read_table, whole

COLORWAY_HEADINGS: Headings = {
    "Colorway": ("Colourway", "Color way", "Color"),
    "Kits": ("Number of kits",),
    "Fabric": ("Role",),
    "SKU": ("Stock number", "Item number", "Stock code"),
    "Notes": ("Note", "Remarks", "Comments", "Print", "Description"),
}


def read_colorways(sheet: Sheet, problems: Problems) -> tuple[Colorway, ...]:
    """Read the Colorways sheet: its colorways, each with the roles that could be read."""
    table = read_table(sheet, COLORWAY_HEADINGS, problems, required=("Colorway", "Fabric", "SKU"))
    if table is None:
        return ()
    found: dict[str, Colorway] = {}
    kits_cells: dict[str, Cell] = {}
    key, last_row = "", table.heading_row
    for row in data_rows(table, problems):
        key = _colorway_of(row, key if row.number == last_row + 1 else "", found, problems)
        last_row = row.number
        if key:
            _read_kits(row, key, found, kits_cells, problems)
            _read_role(row, found[key], problems)
    return tuple(found.values())


def _colorway_of(row: TableRow, above: str, found: dict[str, Colorway], problems: Problems) -> str:
    """Return the colorway a row belongs to, folded: the one it names, or that of the row above."""
    cell = row.cell("Colorway")
    name = read_text(cell, problems)
    key = fold_role(name)
    if key:
        found.setdefault(key, Colorway(name=name, kits=None, skus={}, where=cell.location))
    elif not above:
        problems.refuse("this row names no colorway", cell.location, "Type the colorway's name.")
    return key or above


def _read_kits(
    row: TableRow,
    key: str,
    found: dict[str, Colorway],
    kits_cells: dict[str, Cell],
    problems: Problems,
) -> None:
    cell, colorway = row.cell("Kits"), found[key]
    kits = whole(cell, problems, what="number of kits")
    if kits is None:
        return
    if colorway.kits is None:
        found[key], kits_cells[key] = replace(colorway, kits=kits), cell
    elif kits != colorway.kits:
        problems.refuse(
            f"the colorway '{colorway.name}' has {kits} kits here and {colorway.kits} in "
            f"{kits_cells[key].location.cell}",
            cell.location,
            "Type one number, on each row of the colorway or on its first only.",
        )


def _read_role(row: TableRow, colorway: Colorway, problems: Problems) -> None:
    role_cell, sku_cell = row.cell("Fabric"), row.cell("SKU")
    role, sku = read_text(role_cell, problems), read_text(sku_cell, problems)
    key = fold_role(role)
    if not key:
        problems.refuse(
            "this row names no fabric", role_cell.location, "Type the pattern's fabric."
        )
    elif not sku:
        problems.refuse(
            f"the colorway '{colorway.name}' names no SKU for '{role}'",
            sku_cell.location,
            "Type the stock number of the bolt that fills it.",
        )
    elif key not in colorway.skus:
        colorway.skus[key], colorway.roles[key] = sku, role
        colorway.role_cells[key] = role_cell.location.cell or ""
        colorway.cells[key] = sku_cell.location.cell or ""
    elif colorway.skus[key] == sku:
        problems.warn(
            f"'{role}' of '{colorway.name}' stands here and in {colorway.cells[key]}",
            role_cell.location,
        )
    else:
        problems.refuse(
            f"the colorway '{colorway.name}' fills '{role}' with {sku} here and with "
            f"{colorway.skus[key]} in {colorway.cells[key]}",
            sku_cell.location,
            "Keep one of the two.",
        )

"""The Colorways sheet: which bolt fills which role, and how many kits of each.

A row is one role of one colorway. The colorway's name may stand on each of its rows or on
the first only, and so may its number of kits.
"""

from __future__ import annotations

from dataclasses import dataclass, field

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


@dataclass(slots=True, kw_only=True)
class _Growing:
    """A colorway while its rows are read."""

    name: str
    cell: Cell
    kits: int | None = None
    kits_cell: Cell | None = None
    skus: dict[str, str] = field(default_factory=dict)
    sku_cells: dict[str, Cell] = field(default_factory=dict)
    role_cells: dict[str, Cell] = field(default_factory=dict)


def read_colorways(sheet: Sheet, problems: Problems) -> tuple[Colorway, ...]:
    """Read the Colorways sheet.

    Returns:
        The colorways in the sheet's order, each with the roles that could be read.
    """
    table = read_table(sheet, COLORWAY_HEADINGS, problems, required=("Colorway", "Fabric", "SKU"))
    if table is None:
        return ()
    growing: dict[str, _Growing] = {}
    current: _Growing | None = None
    last_row = table.heading_row
    for row in data_rows(table, problems):
        below = current if row.number == last_row + 1 else None
        current = _colorway_of(row, below, growing, problems)
        last_row = row.number
        if current is not None:
            _read_kits(row, current, problems)
            _read_role(row, current, problems)
    return tuple(
        Colorway(
            name=one.name,
            kits=one.kits,
            skus=one.skus,
            where=one.cell.location,
            roles={role: read_text(cell) for role, cell in one.role_cells.items()},
            role_cells=_addresses(one.role_cells),
            cells=_addresses(one.sku_cells),
        )
        for one in growing.values()
    )


def _addresses(cells: dict[str, Cell]) -> dict[str, str]:
    return {role: cell.location.cell or "" for role, cell in cells.items()}


def _colorway_of(
    row: TableRow, above: _Growing | None, growing: dict[str, _Growing], problems: Problems
) -> _Growing | None:
    """Return the colorway a row belongs to: the one it names, or that of the row just above."""
    cell = row.cell("Colorway")
    name = read_text(cell, problems)
    if not fold_role(name):
        if above is None:
            problems.refuse(
                "this row names no colorway", cell.location, "Type the colorway's name."
            )
        return above
    return growing.setdefault(fold_role(name), _Growing(name=name, cell=cell))


def _read_kits(row: TableRow, colorway: _Growing, problems: Problems) -> None:
    cell = row.cell("Kits")
    kits = whole(cell, problems, what="number of kits")
    if kits is None:
        return
    if colorway.kits_cell is None:
        colorway.kits, colorway.kits_cell = kits, cell
    elif kits != colorway.kits:
        problems.refuse(
            f"the colorway '{colorway.name}' has {kits} kits here and {colorway.kits} in "
            f"{colorway.kits_cell.location.cell}",
            cell.location,
            "Type one number, on each row of the colorway or on its first only.",
        )


def _read_role(row: TableRow, colorway: _Growing, problems: Problems) -> None:
    role_cell, sku_cell = row.cell("Fabric"), row.cell("SKU")
    role, sku = read_text(role_cell, problems), read_text(sku_cell, problems)
    key = fold_role(role)
    if not key:
        problems.refuse(
            "this row names no fabric", role_cell.location, "Type the pattern's fabric."
        )
        return
    if not sku:
        problems.refuse(
            f"the colorway '{colorway.name}' names no SKU for '{role}'",
            sku_cell.location,
            "Type the stock number of the bolt that fills it.",
        )
        return
    if key not in colorway.skus:
        colorway.skus[key] = sku
        colorway.sku_cells[key] = sku_cell
        colorway.role_cells[key] = role_cell
        return
    first = colorway.sku_cells[key].location.cell
    if colorway.skus[key] == sku:
        problems.warn(
            f"'{role}' of '{colorway.name}' stands here and in {first}", role_cell.location
        )
    else:
        problems.refuse(
            f"the colorway '{colorway.name}' fills '{role}' with {sku} here and with "
            f"{colorway.skus[key]} in {first}",
            sku_cell.location,
            "Keep one of the two.",
        )

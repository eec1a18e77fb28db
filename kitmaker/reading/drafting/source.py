"""The sheets a draft is made from: where amounts stand, what a row says, what nothing became of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from kitmaker.drafts import NEEDED
from kitmaker.errors import Location, Problem
from kitmaker.lengths import Unit
from kitmaker.reading.cells import plain_spaces, read_text
from kitmaker.reading.grid import Cell, CellKind, Sheet, Workbook, row_and_column
from kitmaker.reading.layout import find_layout
from kitmaker.reading.tables import Table, TableRow

_TYPED = (
    "Piece",
    "Cut width",
    "Cut length",
    "Quantity",
    "Shape",
    "Direction",
    "Same print",
    "Join",
)


@dataclass(frozen=True, slots=True)
class SourceBook:
    """A pattern's sheets, looked up by place."""

    book: Workbook  # the sheets
    # of each cell with a requirement, the fabric and the words
    amounts: Mapping[Location, tuple[str, str]]
    # the rows of tables of pieces, by sheet and number
    rows: Mapping[tuple[str | None, int], TableRow]
    headings: frozenset[tuple[str | None, int]]  # the rows of headings, by sheet and number
    # of sheets that were set from a page, cell to the words of the page
    on_page: Mapping[Location, str] = field(default_factory=dict)
    # of cells with cuts that are to be looked at, why
    doubtful: Mapping[Location, str] = field(default_factory=dict)

    @classmethod
    def of(cls, book: Workbook) -> SourceBook:
        """Return a workbook, looked through."""
        tables = find_layout(book).tables
        amounts: dict[Location, tuple[str, str]] = {}
        for found in tables:
            amounts |= dict(_amounts(found))
        rows = {(found.sheet.name, row.number): row for found in tables for row in found.rows}
        heads = frozenset((table.sheet.name, table.heading_row) for table in tables)
        return cls(book, amounts, rows, heads)

    def written(self, where: Location, words: str) -> str:
        """Return words as they stand in the source."""
        return self.on_page.get(where, words)

    def sheet(self, name: str | None) -> Sheet | None:
        """Return a sheet by its name."""
        return next((sheet for sheet in self.book.sheets if sheet.name == name), None)

    def words_at(self, where: Location) -> str:
        """Return the row of a place as a person sees it; "" where there is none."""
        sheet = self.sheet(where.sheet)
        number, _ = row_and_column(where)
        row = next((one for one in sheet.rows() if one.number == number), None) if sheet else None
        return "" if row is None else say_cells(row.own_cells())

    def typed_cells(self, where: Location, asked: list[Problem], unit: Unit) -> Mapping[str, str]:
        """Return what may be taken over from a row of pieces that is asked about.

        Cells with an error stay blank; at least one that must be filled in does.
        """
        row = self.rows.get(row_of(where))
        if row is None or "Cut width" not in row.columns:
            return {}
        if row.inches_in("Cut width", unit) != unit.length:
            return {}
        wrong = {problem.location for problem in asked}
        cells = {key: row.cell(key) for key in _TYPED if row.has(key)}
        taken = {key: read_text(cell) for key, cell in cells.items() if cell.location not in wrong}
        if all(taken.get(key) for key in NEEDED):
            taken.pop("Quantity")
        return taken


def _amounts(table: Table) -> Iterator[tuple[Location, tuple[str, str]]]:
    columns = [*table.sized.get("Requirement", ())]
    columns += [table.columns["Requirement"]] if "Requirement" in table.columns else []
    for row in table.rows:
        role = row.text("Fabric")
        for column in columns:
            cell = row.row.cells.get(column.number)
            if cell is not None and role:
                yield cell.location, (role, plain_spaces(cell.text))


def row_of(where: Location) -> tuple[str | None, int]:
    """Return the sheet and the number of the row that a place stands in."""
    return where.sheet, row_and_column(where)[0]


def say_cells(cells: tuple[Cell, ...]) -> str:
    """Return cells side by side, as a person sees them."""
    return " | ".join(" / ".join(lines_of(cell)) for cell in cells)


def lines_of(cell: Cell) -> tuple[str, ...]:
    """Return the lines of a cell, blank ones left out."""
    if cell.kind is not CellKind.TEXT:
        return (read_text(cell) or str(cell.text),)
    return tuple(plain_spaces(line) for line in cell.text.split("\n") if line.strip())

"""A draft as a person ticks it: each row's words beside what was read, and the cells to settle.

The columns that only tell (As written, Why, the readings spelled out) are never read as a
pattern; here they are, so that the words can be shown beside what became of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kitmaker.drafts import (
    AS_WRITTEN,
    CHOOSE,
    FABRICS_SHEET,
    HOW_SURE,
    NO_AMOUNT,
    NO_CUT,
    PIECES_SHEET,
    READING,
    SAID_WHY,
    HowSure,
)
from kitmaker.reading.grid import Cell, Row, Sheet, address
from kitmaker.reading.workbook import read_workbook

_FILLED_IN = ("Fabric", "Requirement", "Cut width", "Cut length", "Quantity", "Shape")
"""What a person types into a row that waits; some of them carry a size behind their name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TickCell:
    """A cell that a person may settle."""

    heading: str  # what it is headed with
    sheet: str  # its worksheet
    # row, column: from 1
    row: int
    column: int
    value: str  # what stands in it; ""

    @property
    def where(self) -> str:
        """Its address: ``Pieces!M4``."""
        return f"{self.sheet}!{address(self.row, self.column)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TickRow:
    """A row of a draft."""

    # sheet, number: where it stands
    sheet: str
    number: int
    fabric: str  # the fabric it is about; "" where that is not said
    as_written: str  # the words it came from
    cells: tuple[tuple[str, str], ...]  # (heading, text) of what was read, blank cells left out
    how_sure: HowSure  # how sure it is
    why: str  # what a person should know of it; ""
    choose: TickCell  # where a reading is chosen
    readings: tuple[str, ...]  # what may be chosen
    # the cells that may be typed instead, where it waits for a person
    fill_in: tuple[TickCell, ...]


def tick_rows(path: Path) -> tuple[TickRow, ...]:
    """Return the rows of a draft, fabrics before pieces; none where a workbook is no draft.

    Raises:
        UnreadableError: It is missing or cannot be read.
    """
    sheets = read_workbook(path, with_hints=True).sheets
    return tuple(
        row
        for name in (FABRICS_SHEET, PIECES_SHEET)
        for sheet in sheets
        if sheet.name == name
        for row in _rows_of(sheet)
    )


def _rows_of(sheet: Sheet) -> Iterator[TickRow]:
    columns: dict[str, int] = {}
    for row in sheet.rows():
        texts = {cell.text.strip(): number for number, cell in row.cells.items()}
        if {HOW_SURE, CHOOSE, AS_WRITTEN} <= set(texts):
            columns = texts
        elif columns and columns[HOW_SURE] in row.cells:
            made = _row_of(sheet, row, columns)
            if made is not None:
                yield made


def _row_of(sheet: Sheet, row: Row, columns: Mapping[str, int]) -> TickRow | None:
    def cell(heading: str) -> Cell:
        at = columns[heading]
        return row.cells.get(at) or sheet.blank(row.number, at)

    def tick(heading: str) -> TickCell:
        place = cell(heading)
        return TickCell(
            heading=heading,
            sheet=sheet.name or "",
            row=row.number,
            column=place.column,
            value=place.text.strip(),
        )

    try:
        how_sure = HowSure(cell(HOW_SURE).text.strip().casefold())
    except ValueError:
        return None
    told = [name for name in columns if name.startswith(f"{READING} ")]
    telling = {AS_WRITTEN, HOW_SURE, CHOOSE, SAID_WHY, *told}
    offered = [cell(name).text.strip() for name in told]
    none = NO_CUT if sheet.name == PIECES_SHEET else NO_AMOUNT
    return TickRow(
        sheet=sheet.name or "",
        number=row.number,
        fabric=cell("Fabric").text.strip() if "Fabric" in columns else "",
        as_written=cell(AS_WRITTEN).text.strip(),
        cells=tuple(
            (name, cell(name).text.strip())
            for name in columns
            if name not in telling and not cell(name).is_blank
        ),
        how_sure=how_sure,
        why=cell(SAID_WHY).text.strip() if SAID_WHY in columns else "",
        choose=tick(CHOOSE),
        readings=tuple(dict.fromkeys([one for one in offered if one] + [none])),
        fill_in=tuple(
            tick(name) for name in columns if how_sure.is_open and name.startswith(_FILLED_IN)
        ),
    )


def cells_to_settle(rows: tuple[TickRow, ...]) -> dict[str, TickCell]:
    """Return the cells that a person may settle, by their addresses."""
    cells = (cell for row in rows for cell in (row.choose, *row.fill_in))
    return {cell.where: cell for cell in cells}

"""Sheets of cells with addresses: what every file becomes before anyone asks what it means.

A cell knows where a person finds it, what kind of thing it holds and its exact number.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple

from kitmaker.errors import Location
from kitmaker.lengths import LengthError, from_cell_number, say_plain

MOST_CELLS = 400_000
"""More filled cells than any pattern needs. Our own bound, no source."""
MOST_COLUMNS = 1_024
"""More filled columns than any sheet needs. Our own bound, no source."""

Moment: TypeAlias = datetime | date | time | timedelta


class CellKind(StrEnum):
    """What a cell holds."""

    BLANK = "blank"
    TEXT = "text"
    NUMBER = "number"
    DATE = "date or time"
    BOOL = "true or false"
    ERROR = "error value"
    UNCALCULATED = "formula without a stored value"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a sheet."""

    # where a person finds it; for a cell in a merged range the range's first cell
    location: Location
    row: int  # its own row, from 1
    column: int  # its own column, from 1
    kind: CellKind = CellKind.BLANK  # what it holds
    text: str = ""  # what stands in it as a person would type it; "" when blank
    number: Fraction | None = None  # the exact number; None unless it holds one
    moment: Moment | None = None  # the date or time; None unless it holds one
    number_format: str = "General"  # the spreadsheet's number format
    decimal_comma: bool = False  # whether its file writes numbers with a decimal comma

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in it."""
        return self.kind is CellKind.BLANK


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The filled cells of one row."""

    number: int  # its number on the sheet, from 1
    cells: Mapping[int, Cell]  # column number to cell, blank ones left out, from left to right

    def first(self) -> Cell:
        """The leftmost filled cell; a row always has one."""
        return next(iter(self.cells.values()))

    def own_cells(self) -> tuple[Cell, ...]:
        """The filled cells, a merged range counted once."""
        seen: dict[Location, Cell] = {}
        for cell in self.cells.values():
            seen.setdefault(cell.location, cell)
        return tuple(seen.values())

    def lone_text(self) -> Cell | None:
        """The one cell of a row with nothing but a text; None for any other row."""
        cells = self.own_cells()
        return cells[0] if len(cells) == 1 and cells[0].kind is CellKind.TEXT else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One visible worksheet, or a .csv file."""

    workbook: str  # the file's name
    name: str | None  # the worksheet's name; None for a .csv file
    cells: Mapping[tuple[int, int], Cell]  # the filled cells by (row, column)
    hidden_rows: tuple[int, ...] = ()  # the hidden rows that hold something
    hidden_columns: tuple[int, ...] = ()  # the hidden columns that hold something
    struck: tuple[Location, ...] = ()  # the first struck-through cell of each row that has one
    # the comments that hang on cells, with their cells
    comments: tuple[tuple[Location, str], ...] = ()
    decimal_comma: bool = False  # whether its numbers are written with a decimal comma
    _rows: tuple[Row, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Sort the cells into rows, once."""
        by_row: dict[int, dict[int, Cell]] = {}
        for (row, column), cell in sorted(self.cells.items()):
            by_row.setdefault(row, {})[column] = cell
        rows = tuple(Row(number=number, cells=cells) for number, cells in by_row.items())
        object.__setattr__(self, "_rows", rows)

    @property
    def location(self) -> Location:
        """The sheet as a whole."""
        return Location(self.workbook, self.name)

    def rows(self) -> Iterator[Row]:
        """Yield the rows that hold something, from the top."""
        return iter(self._rows)

    def cell(self, row: int, column: int) -> Cell:
        """Return a cell, a blank one where nothing stands."""
        found = self.cells.get((row, column))
        return found if found is not None else self.blank(row, column)

    def blank(self, row: int, column: int) -> Cell:
        """Return a blank cell at an address."""
        where = Location(self.workbook, self.name, address(row, column))
        return Cell(location=where, row=row, column=column, decimal_comma=self.decimal_comma)


@dataclass(frozen=True, slots=True, kw_only=True)
class Workbook:
    """A file's sheets, in its order."""

    name: str  # the file's name
    sheets: tuple[Sheet, ...]  # the visible sheets; only these are read
    hidden: tuple[Sheet, ...] = ()  # the hidden ones, so that what stands there can be told


def address(row: int, column: int) -> str:
    """Return a cell's address: ``C5``."""
    return f"{get_column_letter(column)}{row}"


def row_and_column(where: Location) -> tuple[int, int]:
    """Return the row and column of a place; (0, 0) for a whole sheet."""
    return coordinate_to_tuple(where.cell) if where.cell else (0, 0)


def exact_number(value: int | float) -> tuple[CellKind, str, Fraction | None]:
    """Return the kind, text and exact number of a number that a file stores."""
    try:
        number = from_cell_number(value)
    except LengthError:
        return CellKind.ERROR, str(value), None
    return CellKind.NUMBER, say_plain(number) if number >= 0 else str(value), number


def visible_text(text: str) -> str:
    """Return a text without what a spreadsheet stores and does not show."""
    shown = text.replace("_x000D_\n", "\n").replace("_x000D_", "\n").replace("\r\n", "\n")
    return shown if shown.strip("\u200b\u200c\u200d\u2060\ufeff \t\r\n\u00a0") else ""


def fill_merged(
    ranges: Iterable[tuple[int, int, int, int]], cells: dict[tuple[int, int], Cell]
) -> None:
    """Give each cell of a merged range the range's value, as far as the sheet is filled.

    A range is its first row, first column, last row, last column.
    """
    if not cells:
        return
    last_row = max(row for row, _ in cells)
    last_column = max(column for _, column in cells)
    for first_row, first_column, end_row, end_column in ranges:
        first = cells.get((first_row, first_column))
        if first is None:
            continue
        for row in range(first_row, min(end_row, last_row) + 1):
            for column in range(first_column, min(end_column, last_column) + 1):
                if len(cells) > 2 * MOST_CELLS:
                    return
                cells[row, column] = replace(first, row=row, column=column)

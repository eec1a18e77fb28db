"""Files into sheets of cells, each with the address a person can go to.

A workbook is hostile until read: its size is looked at before it is unzipped, its XML may
hold no entities, nothing in it is ever run, and a file that cannot be read gets one plain
line. Only visible worksheets are read; hidden rows are read and named, merged cells carry
the value of their range. What a cell *means* is no business of this room.
"""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import TypeAlias

import openpyxl
from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet.worksheet import Worksheet

from kitmaker.errors import Location, UnreadableError
from kitmaker.lengths import LengthError, from_cell_number, say_plain
from kitmaker.reading.delimited import read_records

WORKBOOK_ENDINGS = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm"})
MEBIBYTE = 2**20
LARGEST_FILE = 20 * MEBIBYTE
LARGEST_MEMBER = 24 * MEBIBYTE
LARGEST_WHOLE = 64 * MEBIBYTE
LARGEST_RATIO = 200
"""How many times larger than its zip a large member may be; sheets reach about 40."""
MOST_CELLS = 400_000

_OLE_MAGIC = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP_MAGIC = b"PK"
_ENTITY_MARKS = tuple(
    mark.encode(code)
    for mark in ("<!DOCTYPE", "<!ENTITY")
    for code in ("utf-8", "utf-16-le", "utf-16-be")
)

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
    """One cell of a sheet.

    Attributes:
        location: Where a person finds it; for a cell in a merged range the range's first cell.
        row: Its own row, from 1.
        column: Its own column, from 1.
        kind: What it holds.
        text: What stands in it as a person would type it; "" when blank.
        number: The exact number; None unless it holds one.
        moment: The date or time; None unless it holds one.
        number_format: The spreadsheet's number format.
        decimal_comma: Whether its file writes numbers with a decimal comma.
    """

    location: Location
    row: int
    column: int
    kind: CellKind = CellKind.BLANK
    text: str = ""
    number: Fraction | None = None
    moment: Moment | None = None
    number_format: str = "General"
    decimal_comma: bool = False

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in it."""
        return self.kind is CellKind.BLANK


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The filled cells of one row.

    Attributes:
        number: Its number on the sheet, from 1.
        cells: Column number to cell, blank ones left out, from left to right.
    """

    number: int
    cells: Mapping[int, Cell]

    def first(self) -> Cell:
        """The leftmost filled cell; a row always has one."""
        return next(iter(self.cells.values()))

    def own_cells(self) -> tuple[Cell, ...]:
        """The filled cells, a merged range counted once."""
        seen: dict[Location, Cell] = {}
        for cell in self.cells.values():
            seen.setdefault(cell.location, cell)
        return tuple(seen.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One visible worksheet, or a .csv file.

    Attributes:
        workbook: The file's name.
        name: The worksheet's name; None for a .csv file.
        cells: The filled cells by (row, column).
        hidden_rows: The hidden rows that hold something.
        decimal_comma: Whether its numbers are written with a decimal comma.
    """

    workbook: str
    name: str | None
    cells: Mapping[tuple[int, int], Cell]
    hidden_rows: tuple[int, ...] = ()
    decimal_comma: bool = False
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
    """A file's visible sheets, in its order."""

    name: str
    sheets: tuple[Sheet, ...]


def address(row: int, column: int) -> str:
    """Return a cell's address: ``C5``."""
    return f"{get_column_letter(column)}{row}"


def row_and_column(where: Location) -> tuple[int, int]:
    """Return the row and column of a place; (0, 0) for a whole sheet."""
    return coordinate_to_tuple(where.cell) if where.cell else (0, 0)


def read_workbook(path: Path) -> Workbook:
    """Read a workbook or a .csv file.

    Args:
        path: The file; it is only read.

    Raises:
        UnreadableError: It is missing or cannot be read at all; one plain line.
    """
    _check_is_file(path)
    head = _head(path)
    ending = path.suffix.lower()
    if ending == ".csv":
        if head.startswith((_ZIP_MAGIC, _OLE_MAGIC)):
            raise UnreadableError(
                f"'{path.name}' is a workbook, not a .csv file. Name it .xlsx and try again."
            )
        return _read_csv(path)
    if ending not in WORKBOOK_ENDINGS:
        raise UnreadableError(
            f"'{path.name}' is a kind of file that is not read. Open it and save as .xlsx."
        )
    if head.startswith(_OLE_MAGIC):
        raise UnreadableError(
            f"'{path.name}' is protected by a password or an old .xls file inside. "
            "Open it, take the password off and save as .xlsx."
        )
    if not head.startswith(_ZIP_MAGIC):
        raise UnreadableError(
            f"'{path.name}' is not a workbook, or it is damaged. Open it and save as .xlsx."
        )
    return _read_zipped(path)


def _check_is_file(path: Path) -> None:
    if path.name.startswith("~$"):
        raise UnreadableError(
            f"'{path.name}' is only a mark that a workbook is open. "
            f"Name the workbook itself: '{path.name[2:]}'."
        )
    if path.is_dir():
        raise UnreadableError(f"'{path.name}' is a folder. Name a .xlsx or .csv file in it.")
    if not path.exists():
        raise UnreadableError(f"There is no file '{path}'. Look at its name and folder.")
    if not path.is_file():
        raise UnreadableError(f"'{path.name}' is not a file. Name a .xlsx or .csv file.")
    try:
        size = path.stat().st_size
    except OSError as fault:
        raise UnreadableError(f"'{path.name}' cannot be read: {fault.strerror}.") from None
    if size == 0:
        raise UnreadableError(f"'{path.name}' is empty. Save it again with its contents.")
    if size > LARGEST_FILE:
        raise UnreadableError(
            f"'{path.name}' is too large ({size // MEBIBYTE} MB). "
            "Keep only the sheets with the pattern and save as .xlsx."
        )


def _head(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            return stream.read(8)
    except OSError as fault:
        raise UnreadableError(f"'{path.name}' cannot be read: {fault.strerror}.") from None


def _read_csv(path: Path) -> Workbook:
    records = read_records(path)
    cells: dict[tuple[int, int], Cell] = {}
    for row, record in enumerate(records.rows, start=1):
        for column, text in enumerate(record, start=1):
            if text.strip("\u200b\ufeff \t\r\n\u00a0"):
                cells[row, column] = Cell(
                    location=Location(path.name, None, address(row, column)),
                    row=row,
                    column=column,
                    kind=CellKind.TEXT,
                    text=text,
                    decimal_comma=records.decimal_comma,
                )
    sheet = Sheet(workbook=path.name, name=None, cells=cells, decimal_comma=records.decimal_comma)
    return Workbook(name=path.name, sheets=(sheet,))


def _read_zipped(path: Path) -> Workbook:
    try:
        has_formulas = _check_zip(path)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            values = openpyxl.load_workbook(path, data_only=True, keep_links=False)
            formulas = (
                openpyxl.load_workbook(path, data_only=False, keep_links=False)
                if has_formulas
                else values
            )
        sheets = tuple(
            _read_sheet(path.name, sheet, formulas[sheet.title])
            for sheet in values.worksheets
            if sheet.sheet_state == "visible"
        )
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise UnreadableError(
            f"'{path.name}' is damaged or not a workbook. Open it and save as .xlsx."
        ) from None
    return Workbook(name=path.name, sheets=sheets)


def _check_zip(path: Path) -> bool:
    """Refuse what is no workbook or too much of one; return whether it holds formulas."""
    has_formulas = False
    with zipfile.ZipFile(path) as archive:
        members = archive.infolist()
        names = {member.filename for member in members}
        if "xl/workbook.xml" not in names:
            raise UnreadableError(
                f"'{path.name}' is not an .xlsx workbook inside. Open it and save as .xlsx."
            )
        _check_sizes(path.name, members)
        for member in members:
            if not member.filename.endswith((".xml", ".rels", ".vml")):
                continue
            content = archive.read(member)
            if any(mark in content for mark in _ENTITY_MARKS):
                raise UnreadableError(
                    f"'{path.name}' holds XML that a workbook never needs and is refused. "
                    "Open it and save as .xlsx."
                )
            if member.filename.startswith("xl/worksheets/"):
                has_formulas = has_formulas or b"<f" in content or b":f" in content
    return has_formulas


def _check_sizes(name: str, members: list[zipfile.ZipInfo]) -> None:
    whole = sum(member.file_size for member in members)
    swollen = any(
        member.file_size > MEBIBYTE
        and member.file_size > LARGEST_RATIO * max(1, member.compress_size)
        for member in members
    )
    largest = max(member.file_size for member in members)
    if swollen or largest > LARGEST_MEMBER or whole > LARGEST_WHOLE or len(members) > 5000:
        raise UnreadableError(
            f"'{name}' is too large when unpacked. "
            "Copy the pattern's cells into a new workbook and save as .xlsx."
        )
    if any(member.flag_bits & 1 for member in members):
        raise UnreadableError(
            f"'{name}' is protected by a password. Take it off and save as .xlsx."
        )


def _read_sheet(workbook: str, values: Worksheet, formulas: Worksheet) -> Sheet:
    cells: dict[tuple[int, int], Cell] = {}
    # Only cells that are stored: a format in the last row must not cost a million rows.
    stored = values._cells
    if len(stored) > MOST_CELLS:
        raise UnreadableError(
            f"'{workbook}' has more cells than a pattern needs. "
            "Copy the pattern's cells into a new workbook and save as .xlsx."
        )
    for (row, column), raw in stored.items():
        formula = formulas._cells.get((row, column))
        is_formula = formula is not None and formula.data_type == "f"
        where = Location(workbook, values.title, address(row, column))
        cell = _as_cell(where, row, column, raw, is_formula=is_formula)
        if not cell.is_blank:
            cells[row, column] = cell
    _fill_merged(values, cells)
    filled_rows = {row for row, _ in cells}
    hidden = tuple(
        sorted(
            row
            for row, dimension in values.row_dimensions.items()
            if row in filled_rows and dimension.hidden
        )
    )
    return Sheet(workbook=workbook, name=values.title, cells=cells, hidden_rows=hidden)


def _as_cell(where: Location, row: int, column: int, raw: object, *, is_formula: bool) -> Cell:
    value = getattr(raw, "value", None)
    data_type = getattr(raw, "data_type", "n")
    number_format = str(getattr(raw, "number_format", "General"))
    kind, text, number, moment = CellKind.TEXT, "", None, None
    if value is None or (isinstance(value, str) and not _visible(value)):
        # A formula whose stored value is the empty text is as blank as it looks.
        unknown = is_formula and value is None and data_type != "str"
        kind = CellKind.UNCALCULATED if unknown else CellKind.BLANK
    elif data_type == "e":
        kind, text = CellKind.ERROR, str(value)
    elif isinstance(value, bool):
        kind, text = CellKind.BOOL, str(value).upper()
    elif isinstance(value, (datetime, date, time, timedelta)):
        kind, text, moment = CellKind.DATE, str(value), value
    elif isinstance(value, (int, float)):
        kind, text, number = _number(value)
    else:
        text = _visible(str(value))
    return Cell(
        location=where,
        row=row,
        column=column,
        kind=kind,
        text=text,
        number=number,
        moment=moment,
        number_format=number_format,
    )


def _number(value: int | float) -> tuple[CellKind, str, Fraction | None]:
    try:
        number = from_cell_number(value)
    except LengthError:
        return CellKind.ERROR, str(value), None
    return CellKind.NUMBER, say_plain(number) if number >= 0 else str(value), number


def _visible(text: str) -> str:
    """Return a text without what a spreadsheet stores and does not show."""
    shown = text.replace("_x000D_\n", "\n").replace("_x000D_", "\n").replace("\r\n", "\n")
    return shown if shown.strip("\u200b\u200c\u200d\u2060\ufeff \t\r\n\u00a0") else ""


def _fill_merged(values: Worksheet, cells: dict[tuple[int, int], Cell]) -> None:
    """Give each cell of a merged range the range's value, as far as the sheet is filled."""
    if not cells:
        return
    last_row = max(row for row, _ in cells)
    last_column = max(column for _, column in cells)
    for merged in values.merged_cells.ranges:
        first = cells.get((merged.min_row, merged.min_col))
        if first is None:
            continue
        for row in range(merged.min_row, min(merged.max_row, last_row) + 1):
            for column in range(merged.min_col, min(merged.max_col, last_column) + 1):
                if len(cells) > 2 * MOST_CELLS:
                    return
                cells[row, column] = Cell(
                    location=first.location,
                    row=row,
                    column=column,
                    kind=first.kind,
                    text=first.text,
                    number=first.number,
                    moment=first.moment,
                    number_format=first.number_format,
                )

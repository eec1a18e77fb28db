"""Files into sheets of cells, each with the address a person can go to.

A workbook is hostile until read: its size is looked at before it is unzipped, its XML may
hold no entities, nothing in it is ever run, and a file that cannot be read gets one plain
line. Only visible worksheets are read; hidden rows are read and named, merged cells carry
the value of their range. What a cell *means* is no business of this room.
"""

from __future__ import annotations

import warnings
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

from kitmaker.errors import Location, UnreadableError
from kitmaker.reading.delimited import read_records
from kitmaker.reading.grid import (
    MOST_CELLS,
    MOST_COLUMNS,
    Cell,
    CellKind,
    Sheet,
    Workbook,
    address,
    exact_number,
    fill_merged,
    visible_text,
)
from kitmaker.reading.hints import without_hints
from kitmaker.reading.opendocument import read_opendocument
from kitmaker.reading.zipped import (
    LARGEST_FILE,
    MEBIBYTE,
    check_crowded,
    damaged,
    too_much,
    unpacked,
)

WORKBOOK_ENDINGS = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm"})
BOOK_ENDINGS = WORKBOOK_ENDINGS | {".ods", ".csv"}

OLE_MAGIC = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""What an old office file begins with, and one behind a password."""
_ZIP_MAGIC = b"PK"


def read_workbook(path: Path, *, with_hints: bool = False) -> Workbook:
    """Read a workbook or a .csv file; what only explains it to a person is left out.

    With hints, what is for the person only is kept.

    Raises:
        UnreadableError: It is missing or cannot be read at all; one plain line.
    """
    workbook = _read(path)
    sheets = (*workbook.sheets, *workbook.hidden)
    if any(len({column for _, column in sheet.cells}) > MOST_COLUMNS for sheet in sheets):
        raise UnreadableError(
            f"'{path.name}' has more columns than a pattern needs. "
            "Look far to the right of the tables for stray values and delete those columns."
        )
    return workbook if with_hints else without_hints(workbook)


def _read(path: Path) -> Workbook:
    head = read_head(path)
    ending = path.suffix.lower()
    if ending == ".csv":
        if head.startswith((_ZIP_MAGIC, OLE_MAGIC)):
            raise UnreadableError(
                f"'{path.name}' is a workbook, not a .csv file. Name it .xlsx and try again."
            )
        return _read_csv(path)
    if ending not in BOOK_ENDINGS:
        raise UnreadableError(
            f"'{path.name}' is a kind of file that is not read. Open it and save as .xlsx."
        )
    if head.startswith(OLE_MAGIC):
        raise UnreadableError(
            f"'{path.name}' is protected by a password or an old .xls file inside. "
            "Open it, take the password off and save as .xlsx."
        )
    if not head.startswith(_ZIP_MAGIC):
        raise damaged(path.name)
    if ending == ".ods":
        return read_opendocument(path)
    return _read_zipped(path)


def read_head(path: Path) -> bytes:
    """Return what a file begins with, which tells its kind.

    Raises:
        UnreadableError: It is missing, empty, too large or no file, or may not be opened.
    """
    _check_is_file(path)
    try:
        with path.open("rb") as stream:
            return stream.read(8)
    except OSError as fault:
        raise UnreadableError(
            f"'{path.name}' cannot be read: {fault.strerror}. Look at its name and folder."
        ) from None


def _check_is_file(path: Path) -> None:
    if path.name.startswith("~$"):
        raise UnreadableError(
            f"'{path.name}' is only a mark that a workbook is open. "
            f"Name the workbook itself: '{path.name[2:]}'."
        )
    try:
        size = path.stat().st_size if path.exists() else 0
    except OSError as fault:  # a name of a thousand letters, a folder that may not be entered
        raise UnreadableError(
            f"'{path.name[:60]}' cannot be read: {fault.strerror}. Look at its name and folder."
        ) from None
    if path.is_dir():
        raise UnreadableError(f"'{path.name}' is a folder. Name a .xlsx, .ods or .csv file in it.")
    if not path.exists():
        raise UnreadableError(f"There is no file '{path}'. Look at its name and folder.")
    if not path.is_file():
        raise UnreadableError(f"'{path.name}' is not a file. Name a .xlsx, .ods or .csv file.")
    if size == 0:
        raise UnreadableError(f"'{path.name}' is empty. Save it again with its contents.")
    if size > LARGEST_FILE:
        raise UnreadableError(
            f"'{path.name}' is too large ({size // MEBIBYTE} MB). "
            "Keep only the sheets with the pattern and save as .xlsx."
        )


def _read_csv(path: Path) -> Workbook:
    records, decimal_comma = read_records(path)
    sheet = Sheet(workbook=path.name, name=None, cells={}, decimal_comma=decimal_comma)
    cells = {
        (row, column): replace(sheet.blank(row, column), kind=CellKind.TEXT, text=text)
        for row, record in enumerate(records, start=1)
        for column, text in enumerate(record, start=1)
        if text.strip("\u200b\ufeff \t\r\n\u00a0")
    }
    return Workbook(name=path.name, sheets=(replace(sheet, cells=cells),))


def _read_zipped(path: Path) -> Workbook:
    try:
        parts = unpacked(path, "xl/workbook.xml")
        sheets = [parts[name] for name in parts if name.startswith("xl/worksheets/")]
        has_formulas = any(b"<f" in content or b":f" in content for content in sheets)
        check_crowded(path.name, parts)
        # Opened here, so that it is closed again where the reading stops at a fault.
        with path.open("rb") as stream, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            values = openpyxl.load_workbook(stream, data_only=True, keep_links=False)
            formulas = (
                openpyxl.load_workbook(stream, data_only=False, keep_links=False)
                if has_formulas
                else values
            )
        shown: dict[bool, list[Sheet]] = {True: [], False: []}
        for sheet in values.worksheets:
            read = _read_sheet(path.name, sheet, formulas[sheet.title])
            shown[sheet.sheet_state == "visible"].append(read)
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise damaged(path.name) from None
    return Workbook(name=path.name, sheets=tuple(shown[True]), hidden=tuple(shown[False]))


def _read_sheet(workbook: str, values: Worksheet, formulas: Worksheet) -> Sheet:
    cells: dict[tuple[int, int], Cell] = {}
    struck: dict[int, Location] = {}
    comments: list[tuple[Location, str]] = []
    fonts = enumerate(getattr(values.parent, "_fonts", ()))
    struck_fonts = {number for number, font in fonts if font.strike}
    # Only cells that are stored: a format in the last row must not cost a million rows.
    stored = values._cells
    if len(stored) > MOST_CELLS:
        raise too_much(workbook)
    for (row, column), raw in stored.items():
        formula = formulas._cells.get((row, column))
        is_formula = formula is not None and formula.data_type == "f"
        where = Location(workbook, values.title, address(row, column))
        blank = Cell(location=where, row=row, column=column)
        cell = _as_cell(blank, raw, is_formula=is_formula)
        if not cell.is_blank:
            cells[row, column] = cell
            if struck_fonts and getattr(raw, "_style").fontId in struck_fonts:  # noqa: B009
                struck.setdefault(row, where)
        if (comment := getattr(raw, "comment", None)) is not None:
            comments.append((where, visible_text(str(comment.text))))
    merged = values.merged_cells.ranges
    fill_merged(((one.min_row, one.min_col, one.max_row, one.max_col) for one in merged), cells)
    hidden_columns = {
        column
        for width in values.column_dimensions.values()
        if width.hidden and width.min and width.max
        for column in range(width.min, width.max + 1)
    }
    hidden_rows = {row for row, dimension in values.row_dimensions.items() if dimension.hidden}
    return Sheet(
        workbook=workbook,
        name=values.title,
        cells=cells,
        hidden_rows=tuple(sorted(hidden_rows & {row for row, _ in cells})),
        hidden_columns=tuple(sorted(hidden_columns & {column for _, column in cells})),
        struck=tuple(struck.values()),
        comments=tuple(comments),
    )


def _as_cell(blank: Cell, raw: object, *, is_formula: bool) -> Cell:
    value = getattr(raw, "value", None)
    data_type = getattr(raw, "data_type", "n")
    number_format = str(getattr(raw, "number_format", "General"))
    kind, text, number, moment = CellKind.TEXT, "", None, None
    if value is None or (isinstance(value, str) and not visible_text(value)):
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
        kind, text, number = exact_number(value)
    else:
        text = visible_text(str(value))
    return replace(
        blank, kind=kind, text=text, number=number, moment=moment, number_format=number_format
    )

"""An .ods file into the same sheets of cells as any other.

The file is a zip with one XML text, read as a stream: cells and rows that are said to
repeat are counted out only where something stands in them, so that an empty million rows
costs nothing. A document type declaration, the way to entities, ends the reading.

Source: OASIS, "Open Document Format for Office Applications (OpenDocument) Version 1.3",
part 3, chapters 9 (tables) and 19 (attributes), from memory.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import NoReturn
from xml.parsers import expat

from kitmaker.errors import Location, UnreadableError
from kitmaker.reading.grid import (
    MOST_CELLS,
    Cell,
    CellKind,
    Moment,
    Sheet,
    Workbook,
    address,
    exact_number,
    fill_merged,
    visible_text,
)
from kitmaker.reading.ods_styles import Styles
from kitmaker.reading.zipped import check_zip

MOST_COLUMNS = 1024
MOST_SHEETS = 256

_TOO_MUCH = "has more cells than a pattern needs. Copy the pattern's cells into a new workbook"
_CELLS = ("table:table-cell", "table:covered-table-cell")
_NOT_THE_CELL = ("office:annotation", "draw:frame", "draw:custom-shape", "draw:g", "table:shapes")
_NOT_THE_BODY = (
    *("table:tracked-changes", "table:named-expressions", "table:database-ranges"),
    *("table:content-validations", "table:dde-links", "office:forms"),
)


def read_opendocument(path: Path) -> Workbook:
    """Read an .ods file.

    Args:
        path: The file; it is only read.

    Raises:
        UnreadableError: It cannot be read at all; one plain line.
    """
    try:
        check_zip(path, "content.xml", "content.xml")
        return _read(path)
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise UnreadableError(
            f"'{path.name}' is damaged or not a workbook. Open it and save as .xlsx."
        ) from None


def _read(path: Path) -> Workbook:
    styles = Styles()
    with zipfile.ZipFile(path) as archive:
        names = archive.namelist()
        if "META-INF/manifest.xml" in names:
            manifest = archive.read("META-INF/manifest.xml")
            if b"encryption-data" in manifest:
                raise UnreadableError(
                    f"'{path.name}' is protected by a password. Take it off and save as .xlsx."
                )
        content = archive.read("content.xml")
        if b"office:spreadsheet" not in content:
            raise UnreadableError(f"'{path.name}' is not a spreadsheet. Save it as .xlsx.")
        if "styles.xml" in names:
            _parse(archive.read("styles.xml"), _Reader(path.name, styles))
    reader = _Reader(path.name, styles)
    _parse(content, reader)
    return Workbook(name=path.name, sheets=tuple(reader.sheets), hidden=tuple(reader.hidden))


def _parse(content: bytes, reader: _Reader) -> None:
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.CharacterDataHandler = reader.characters
    parser.StartDoctypeDeclHandler = _refuse
    parser.EntityDeclHandler = _refuse
    parser.Parse(content, True)


def _refuse(*_: object) -> NoReturn:
    raise UnreadableError(
        "The file holds XML that a workbook never needs and is refused. Save it as .xlsx."
    )


@dataclass(slots=True)
class _OpenCell:
    """A cell while its element is open."""

    attributes: Mapping[str, str]
    paragraphs: list[str] = field(default_factory=list)


class _Reader:
    """Takes the elements one by one and makes sheets of them."""

    def __init__(self, workbook: str, styles: Styles) -> None:
        self.workbook, self.styles = workbook, styles
        self.sheets: list[Sheet] = []
        self.hidden: list[Sheet] = []
        self.table: str | None = None
        self.skipped = 0  # how deep inside an element that is no part of a cell
        self.cell: _OpenCell | None = None
        self.in_paragraph = 0
        self.hidden_groups: list[bool] = []
        self.comment: str | None = None  # the words of the comment that is open

    # elements

    def start(self, name: str, attributes: dict[str, str]) -> None:
        if self.skipped or name in _NOT_THE_BODY or (self.table and name in _NOT_THE_CELL):
            self.skipped += 1
            if name == "office:annotation" and self.skipped == 1 and self.cell is not None:
                self.comment = ""
        elif name == "table:table":
            self._begin_table(attributes)
        elif self.table is None:
            self.styles.start(name, attributes)
        elif name in _CELLS:
            self.cell = _OpenCell(attributes)
        elif self.cell is not None:
            self._start_text(name, attributes)
        else:
            self._start_part(name, attributes)

    def end(self, name: str) -> None:
        if self.skipped:
            self.skipped -= 1
            if name == "office:annotation" and self.comment is not None and not self.skipped:
                where = Location(self.workbook, self.table, address(self.row, self.column))
                self.comments.append((where, visible_text(self.comment.strip())))
                self.comment = None
        elif self.table is None:
            self.styles.end(name)
        elif name == "text:p":
            self.in_paragraph = max(0, self.in_paragraph - 1)
        elif name in _CELLS:
            self._end_cell()
        elif name == "table:table-row":
            self._end_row()
        elif name == "table:table-row-group" and self.hidden_groups:
            self.hidden_groups.pop()
        elif name == "table:table":
            self._end_table()

    def characters(self, text: str) -> None:
        if self.skipped:
            if self.comment is not None:
                self.comment += text
        elif self.table is None:
            self.styles.characters(text)
        elif self.cell is not None and self.in_paragraph:
            # Line breaks and runs of spaces of the XML itself are one space.
            self.cell.paragraphs[-1] += re.sub(r"[ \t\r\n]+", " ", text)

    def _start_text(self, name: str, attributes: Mapping[str, str]) -> None:
        paragraphs = self.cell.paragraphs if self.cell is not None else []
        if name == "text:p":
            paragraphs.append("")
            self.in_paragraph += 1
        elif paragraphs and name == "text:s":
            paragraphs[-1] += " " * min(100, _count(attributes, "text:c"))
        elif paragraphs and name in ("text:tab", "text:line-break"):
            paragraphs[-1] += "\t" if name == "text:tab" else "\n"

    # tables

    def _begin_table(self, attributes: Mapping[str, str]) -> None:
        if self.table is not None or len(self.sheets) + len(self.hidden) >= MOST_SHEETS:
            raise UnreadableError(f"'{self.workbook}' {_TOO_MUCH} and save as .xlsx.")
        self.table = attributes.get("table:name", "Sheet")
        self.is_hidden = attributes.get("table:style-name", "") in self.styles.hidden_tables
        self.cells: dict[tuple[int, int], Cell] = {}
        self.ranges: list[tuple[int, int, int, int]] = []
        self.hidden_rows: list[int] = []
        self.hidden_columns: set[int] = set()
        self.struck: dict[int, Location] = {}
        self.comments: list[tuple[Location, str]] = []
        self.column_styles: list[tuple[int, str]] = []
        self.row = self.column = 1
        self.hidden_groups = []

    def _end_table(self) -> None:
        name, self.table = self.table, None
        fill_merged(self.ranges, self.cells)
        filled = {row for row, _ in self.cells}
        hidden = tuple(row for row in self.hidden_rows if row in filled)
        columns = self.hidden_columns & {column for _, column in self.cells}
        sheets = self.hidden if self.is_hidden else self.sheets
        sheets.append(
            Sheet(
                workbook=self.workbook,
                name=name,
                cells=self.cells,
                hidden_rows=hidden,
                hidden_columns=tuple(sorted(columns)),
                struck=tuple(self.struck.values()),
                comments=tuple(self.comments),
            )
        )

    def _start_part(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "table:table-column":
            last = self.column_styles[-1][0] if self.column_styles else 0
            repeated = _count(attributes, "table:number-columns-repeated")
            style = attributes.get("table:default-cell-style-name", "")
            if attributes.get("table:visibility", "visible") != "visible":
                self.hidden_columns.update(range(last + 1, min(last + repeated, MOST_COLUMNS) + 1))
            self.column_styles.append((last + repeated, style))
        elif name == "table:table-row-group":
            self.hidden_groups.append(attributes.get("table:display") == "false")
        elif name == "table:table-row":
            self.column = 1
            self.row_cells: dict[int, Cell] = {}
            self.repeated = _count(attributes, "table:number-rows-repeated")
            hidden = attributes.get("table:visibility", "visible") in ("collapse", "filter")
            self.row_is_hidden = hidden or any(self.hidden_groups)

    def _end_row(self) -> None:
        if self.row_cells:
            if len(self.cells) + len(self.row_cells) * self.repeated > MOST_CELLS:
                raise UnreadableError(f"'{self.workbook}' {_TOO_MUCH} and save as .xlsx.")
            for row in range(self.row, self.row + self.repeated):
                for column, cell in self.row_cells.items():
                    self.cells[row, column] = self._at(cell, row, column)
                if self.row_is_hidden:
                    self.hidden_rows.append(row)
        self.row += self.repeated

    def _at(self, cell: Cell, row: int, column: int) -> Cell:
        return Cell(
            location=Location(self.workbook, self.table, address(row, column)),
            row=row,
            column=column,
            kind=cell.kind,
            text=cell.text,
            number=cell.number,
            moment=cell.moment,
            number_format=cell.number_format,
        )

    def _end_cell(self) -> None:
        cell, self.cell, self.in_paragraph = self.cell, None, 0
        if cell is None:
            return
        repeated = _count(cell.attributes, "table:number-columns-repeated")
        style = cell.attributes.get("table:style-name") or self._column_style(self.column)
        made = _as_cell(cell, self.styles.format_of(style))
        if not made.is_blank:
            if self.column + repeated - 1 > MOST_COLUMNS:
                raise UnreadableError(f"'{self.workbook}' {_TOO_MUCH} and save as .xlsx.")
            for column in range(self.column, self.column + repeated):
                self.row_cells[column] = made
            if style in self.styles.struck:
                where = Location(self.workbook, self.table, address(self.row, self.column))
                self.struck.setdefault(self.row, where)
        down = _count(cell.attributes, "table:number-rows-spanned")
        right = _count(cell.attributes, "table:number-columns-spanned")
        if down > 1 or right > 1:
            last = (self.row + down - 1, self.column + right - 1)
            self.ranges.append((self.row, self.column, *last))
        self.column += repeated

    def _column_style(self, column: int) -> str:
        return next((style for last, style in self.column_styles if column <= last), "")


def _count(attributes: Mapping[str, str], name: str) -> int:
    """Return how often something repeats; 1 where it is not said."""
    text = attributes.get(name, "1")
    return max(1, min(2**20, int(text))) if text.isdecimal() and len(text) < 9 else 1


def _as_cell(cell: _OpenCell, number_format: str) -> Cell:
    attributes = cell.attributes
    stored = attributes.get("office:value-type") or attributes.get("calcext:value-type") or ""
    shown = visible_text("\n".join(cell.paragraphs))
    kind, text, number, moment = CellKind.TEXT, shown, None, None
    if attributes.get("calcext:value-type") == "error":
        kind = CellKind.ERROR
    elif stored == "float" and shown.upper() in ("TRUE", "FALSE"):
        kind, text = CellKind.BOOL, shown.upper()  # LibreOffice stores =TRUE() as 1
    elif stored in ("float", "percentage", "currency"):
        kind, text, number = _number(attributes.get("office:value", ""), shown)
        if stored == "percentage" and "%" not in number_format:
            number_format = "0%"
    elif stored in ("date", "time"):
        kind = CellKind.DATE
        moment = _moment(attributes)
        text = str(moment) if moment is not None else shown
    elif stored == "boolean":
        kind, text = CellKind.BOOL, attributes.get("office:boolean-value", shown).upper()
    else:
        text = shown or visible_text(attributes.get("office:string-value", ""))
        if not text:
            unknown = "table:formula" in attributes and stored != "string"
            kind = CellKind.UNCALCULATED if unknown else CellKind.BLANK
    return Cell(
        location=Location(""),
        row=1,
        column=1,
        kind=kind,
        text=text,
        number=number,
        moment=moment,
        number_format=number_format,
    )


def _number(value: str, shown: str) -> tuple[CellKind, str, Fraction | None]:
    try:
        return exact_number(int(value) if re.fullmatch(r"-?\d{1,30}", value) else float(value))
    except ValueError:
        return CellKind.ERROR, value or shown, None


def _moment(attributes: Mapping[str, str]) -> Moment | None:
    try:
        if day := attributes.get("office:date-value"):
            when = datetime.fromisoformat(day)
            return when if "T" in day else date(when.year, when.month, when.day)
    except ValueError:
        return None
    match = re.fullmatch(
        r"PT(\d{1,6})H(\d{1,2})M(\d{1,2})(?:[.,]\d+)?S", attributes.get("office:time-value", "")
    )
    if match is None:
        return None
    hours, minutes, seconds = (int(part) for part in match.groups())
    return timedelta(hours=hours, minutes=minutes, seconds=seconds)

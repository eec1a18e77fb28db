"""An .ods file into the same sheets of cells as any other.

The file is a zip with one XML text: cells and rows that are said to repeat are counted out only
where something stands in them, so that an empty million rows costs nothing.

Source: OASIS, "Open Document Format for Office Applications (OpenDocument) Version 1.3",
part 3, chapters 9 (tables), 16 (styles) and 19 (attributes), from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from xml.etree.ElementTree import Element

from kitmaker.errors import Location, UnreadableError
from kitmaker.reading.grid import (
    MOST_CELLS,
    MOST_COLUMNS,
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
from kitmaker.reading.ods_styles import Styles, attributes_of, kind_of
from kitmaker.reading.zipped import MOST_SHEETS, damaged, parsed, protected, too_much, unpacked

_CELLS = ("table-cell", "covered-table-cell")
_NOT_THE_CELL = ("annotation", "frame", "custom-shape", "g", "shapes")
_GROUPS = ("table-row-group", "table-rows", "table-header-rows")


def read_opendocument(path: Path) -> Workbook:
    """Read an .ods file.

    Raises:
        UnreadableError: It cannot be read at all; one plain line.
    """
    try:
        return _read(path.name, unpacked(path, "content.xml"))
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise damaged(path.name) from None


def _read(name: str, parts: Mapping[str, bytes]) -> Workbook:
    if b"encryption-data" in parts.get("META-INF/manifest.xml", b""):
        raise protected(name)
    if b"office:spreadsheet" not in parts["content.xml"]:
        raise UnreadableError(f"'{name}' is not a spreadsheet. Save it as .xlsx.")
    roots = [parsed(parts[one]) for one in ("styles.xml", "content.xml") if one in parts]
    styles = Styles(roots)
    tables = roots[-1].findall("./{*}body/{*}spreadsheet/{*}table")
    if len(tables) > MOST_SHEETS or any(one.find(".//{*}table") is not None for one in tables):
        raise too_much(name)
    shown: dict[bool, list[Sheet]] = {True: [], False: []}
    for table in tables:
        is_hidden = attributes_of(table).get("style-name", "") in styles.hidden_tables
        shown[not is_hidden].append(_Table(name, table, styles).sheet())
    return Workbook(name=name, sheets=tuple(shown[True]), hidden=tuple(shown[False]))


class _Table:
    def __init__(self, workbook: str, table: Element, styles: Styles) -> None:
        self.workbook, self.table, self.styles = workbook, table, styles
        self.name = attributes_of(table).get("name", "Sheet")
        self.cells: dict[tuple[int, int], Cell] = {}
        self.ranges: list[tuple[int, int, int, int]] = []
        self.hidden_rows: list[int] = []
        self.hidden_columns: set[int] = set()
        self.column_styles: list[tuple[int, str]] = []
        self.struck: dict[int, Location] = {}
        self.comments: list[tuple[Location, str]] = []

    def sheet(self) -> Sheet:
        last = 0
        for column in self.table.iterfind(".//{*}table-column"):
            attributes, first = attributes_of(column), last + 1
            last += _count(attributes, "number-columns-repeated")
            if attributes.get("visibility", "visible") != "visible":
                self.hidden_columns.update(range(first, min(last, MOST_COLUMNS) + 1))
            self.column_styles.append((last, attributes.get("default-cell-style-name", "")))
        number = 1
        for row, is_hidden in _rows(self.table):
            number += self._row(number, row, is_hidden=is_hidden)
        fill_merged(self.ranges, self.cells)
        return Sheet(
            workbook=self.workbook,
            name=self.name,
            cells=self.cells,
            hidden_rows=tuple(self.hidden_rows),
            hidden_columns=tuple(sorted(self.hidden_columns & {at for _, at in self.cells})),
            struck=tuple(self.struck.values()),
            comments=tuple(self.comments),
        )

    def _row(self, number: int, row: Element, *, is_hidden: bool) -> int:
        """Read a row; return how often it stands there."""
        attributes, made, column = attributes_of(row), dict[int, Cell](), 1
        for element in row:
            if kind_of(element) in _CELLS:
                column += self._cell(number, column, element, made)
        repeated = _count(attributes, "number-rows-repeated")
        if len(self.cells) + len(made) * repeated > MOST_CELLS:
            raise too_much(self.workbook)
        hidden = is_hidden or attributes.get("visibility", "visible") in ("collapse", "filter")
        for at in range(number, number + repeated if made else number):
            for column, cell in made.items():
                where = self._where(at, column)
                self.cells[at, column] = replace(cell, location=where, row=at, column=column)
            if hidden:
                self.hidden_rows.append(at)
        return repeated

    def _cell(self, row: int, column: int, element: Element, made: dict[int, Cell]) -> int:
        """Read a cell into those of its row; return how often it stands there."""
        attributes, where = attributes_of(element), self._where(row, column)
        for comment in element.iterfind(".//{*}annotation"):
            self.comments.append((where, visible_text("".join(comment.itertext()).strip())))
        repeated = _count(attributes, "number-columns-repeated")
        style = attributes.get("style-name") or self._column_style(column)
        blank = Cell(location=where, row=row, column=column)
        cell = _as_cell(blank, element, attributes, self.styles.format_of(style))
        if not cell.is_blank:
            past = column + min(repeated, MOST_COLUMNS + 1)  # one too many is enough to be seen
            made.update(dict.fromkeys(range(column, past), cell))
            if style in self.styles.struck:
                self.struck.setdefault(row, where)
        down = _count(attributes, "number-rows-spanned")
        right = _count(attributes, "number-columns-spanned")
        if down > 1 or right > 1:
            self.ranges.append((row, column, row + down - 1, column + right - 1))
        return repeated

    def _where(self, row: int, column: int) -> Location:
        return Location(self.workbook, self.name, address(row, column))

    def _column_style(self, column: int) -> str:
        return next((style for last, style in self.column_styles if column <= last), "")


def _rows(element: Element, *, is_hidden: bool = False) -> Iterator[tuple[Element, bool]]:
    """Yield the rows of a table or a group of rows, and whether the group is folded away."""
    for child in element:
        if kind_of(child) == "table-row":
            yield child, is_hidden
        elif kind_of(child) in _GROUPS:
            folded = is_hidden or attributes_of(child).get("display") == "false"
            yield from _rows(child, is_hidden=folded)


def _paragraphs(element: Element) -> Iterator[str]:
    for child in element:
        if kind_of(child) == "p":
            yield _text(child)
        elif kind_of(child) not in _NOT_THE_CELL:
            yield from _paragraphs(child)


def _text(element: Element) -> str:
    """Return the text of a paragraph; line breaks and runs of spaces of the XML are one space."""
    said = [element.text or ""]
    for child in element:
        kind = kind_of(child)
        if kind == "s":
            said.append("\0" * min(100, _count(attributes_of(child), "c")))
        elif kind in ("tab", "line-break"):
            said.append("\1" if kind == "tab" else "\2")
        elif kind not in _NOT_THE_CELL:
            said.append(_text(child))
        said.append(child.tail or "")
    return re.sub(r"[ \t\r\n]+", " ", "".join(said))


def _count(attributes: Mapping[str, str], name: str) -> int:
    """Return how often something repeats; 1 where it is not said."""
    text = attributes.get(name, "1")
    return max(1, min(2**20, int(text))) if text.isdecimal() and len(text) < 9 else 1


def _as_cell(
    blank: Cell, element: Element, attributes: Mapping[str, str], number_format: str
) -> Cell:
    calculated = attributes.get("calc:value-type")
    stored = attributes.get("value-type") or calculated or ""
    signs = str.maketrans("\0\1\2", " \t\n")  # spaces, tabs and line breaks that are meant
    shown = visible_text("\n".join(_paragraphs(element)).translate(signs))
    kind, text, number, moment = CellKind.TEXT, shown, None, None
    if calculated == "error":
        kind = CellKind.ERROR
    elif stored == "float" and shown.upper() in ("TRUE", "FALSE"):
        kind, text = CellKind.BOOL, shown.upper()  # LibreOffice stores =TRUE() as 1
    elif stored in ("float", "percentage", "currency"):
        kind, text, number = _number(attributes.get("value", ""), shown)
        if stored == "percentage" and "%" not in number_format:
            number_format = "0%"
    elif stored in ("date", "time"):
        kind, moment = CellKind.DATE, _moment(attributes)
        text = str(moment) if moment is not None else shown
    elif stored == "boolean":
        kind, text = CellKind.BOOL, attributes.get("boolean-value", shown).upper()
    else:
        text = shown or visible_text(attributes.get("string-value", ""))
        if not text:
            unknown = "formula" in attributes and stored != "string"
            kind = CellKind.UNCALCULATED if unknown else CellKind.BLANK
    return replace(
        blank, kind=kind, text=text, number=number, moment=moment, number_format=number_format
    )


def _number(value: str, shown: str) -> tuple[CellKind, str, Fraction | None]:
    try:
        return exact_number(int(value) if re.fullmatch(r"-?\d{1,30}", value) else float(value))
    except ValueError:
        return CellKind.ERROR, value or shown, None


def _moment(attributes: Mapping[str, str]) -> Moment | None:
    try:
        if day := attributes.get("date-value"):
            when = datetime.fromisoformat(day)
            return when if "T" in day else date(when.year, when.month, when.day)
    except ValueError:
        return None
    match = re.fullmatch(
        r"PT(\d{1,6})H(\d{1,2})M(\d{1,2})(?:[.,]\d+)?S", attributes.get("time-value", "")
    )
    if match is None:
        return None
    hours, minutes, seconds = (int(part) for part in match.groups())
    return timedelta(hours=hours, minutes=minutes, seconds=seconds)

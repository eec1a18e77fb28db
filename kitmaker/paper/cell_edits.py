"""Cells of a workbook changed, and every other byte of it left as it is.

A library that takes a workbook apart and puts it together again loses what it does not know:
drawings, drop-downs of a newer kind, remarks with answers. Here only the cells are cut out of
the sheet's text and put in again, everything else is copied. What formulas came to would be out
of date, so a workbook with formulas is refused.

How a workbook is put together: Office Open XML, ECMA-376 Part 1, from memory.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias
from xml.etree.ElementTree import fromstring
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

from openpyxl.utils import column_index_from_string, get_column_letter

from kitmaker.errors import OutputError

_WORKBOOK, _RELATIONS, _TYPES = (
    "xl/workbook.xml",
    "xl/_rels/workbook.xml.rels",
    "[Content_Types].xml",
)
_EDITED = (".xlsx", ".xlsm")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_SHEET_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_EMPTY_SHEET = f'<worksheet xmlns="{_MAIN}"><sheetData/></worksheet>'.encode()


CellEdit: TypeAlias = tuple[str, int, int, str | int | None]
"""The worksheet (one that is not there yet is added), row, column (from 1), and the new value."""


def why_not_edited(content: bytes, name: str) -> str:
    """Say why a workbook, read before, cannot be changed without harm; "" where it can."""
    instead = "Change it in your spreadsheet program."
    if not name.lower().endswith(_EDITED):
        return f"'{name}' is no .xlsx workbook, so it can only be read here. {instead}"
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for member in archive.namelist():
            if member.startswith("xl/worksheets/") and _FORMULA.search(archive.read(member)):
                return (
                    f"'{name}' holds formulas, and what they come to would be out of date if it "
                    f"were saved here. {instead}"
                )
    return ""


def edited(content: bytes, name: str, edits: Iterable[CellEdit]) -> bytes:
    """Return a workbook, read before, with some cells changed.

    Raises:
        OutputError: It holds formulas, or is of a kind that is only read.
    """
    if why := why_not_edited(content, name):
        raise OutputError(why)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        infos = {info.filename: info for info in archive.infolist()}
        parts = {member: archive.read(info) for member, info in infos.items()}
    by_sheet: dict[str, dict[tuple[int, int], str | int | None]] = {}
    for name_of_sheet, row, column, value in edits:
        by_sheet.setdefault(name_of_sheet, {})[row, column] = value
    places = _sheet_parts(parts)
    for sheet, values in by_sheet.items():
        part = places.get(sheet.casefold()) or _add_sheet(parts, sheet)
        parts[part] = _with_cells(parts[part], values)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for member, info in infos.items():
            archive.writestr(info, parts.pop(member), zipfile.ZIP_DEFLATED)
        for added, text in parts.items():
            archive.writestr(added, text)
    return out.getvalue()


def _sheet_parts(parts: Mapping[str, bytes]) -> dict[str, str]:
    """Return the part of each worksheet by its name, folded: two may not differ in case alone."""
    targets = {
        link.get("Id"): posixpath.normpath(posixpath.join("/xl", link.get("Target", "")))[1:]
        for link in fromstring(parts[_RELATIONS])  # noqa: S314  # read before: it has no entities
    }
    sheets = fromstring(parts[_WORKBOOK]).findall(".//{*}sheet")  # noqa: S314
    mark = next((key for sheet in sheets for key in sheet.attrib if key.endswith("}id")), "")
    return {sheet.get("name", "").casefold(): targets[sheet.get(mark)] for sheet in sheets}


def _add_sheet(parts: dict[str, bytes], name: str) -> str:
    """Add an empty worksheet behind the others; return its part."""
    number = 1
    while f"xl/worksheets/sheet{number}.xml" in parts:
        number += 1
    part, relation = f"xl/worksheets/sheet{number}.xml", f"kitmaker{number}"
    ids = [int(known) for known in re.findall(rb"sheetId=\"(\d+)\"", parts[_WORKBOOK])]
    sheet = (
        f'<sheet xmlns="{_MAIN}" name={quoteattr(name)} sheetId="{max(ids, default=0) + 1}" '
        f'r:id="{relation}" xmlns:r="{_OFFICE}"/>'
    )
    override = f'<Override PartName="/{part}" ContentType="{_SHEET_KIND}"/>'
    related = f'<Relationship Id="{relation}" Type="{_OFFICE}/worksheet" Target="/{part}"/>'
    for place, end, added in (
        (_WORKBOOK, "sheets", sheet),
        (_TYPES, "Types", override),
        (_RELATIONS, "Relationships", related),
    ):
        closing = re.search(rf"</(?:\w+:)?{end}\s*>".encode(), parts[place])
        if closing is None:
            raise OutputError("A sheet could not be added. Add it in your spreadsheet program.")
        at = closing.start()
        parts[place] = parts[place][:at] + added.encode() + parts[place][at:]
    parts[part] = _EMPTY_SHEET
    return part


@dataclass(slots=True)
class _Span:
    """Where an element stands in a sheet's text.

    Attributes:
        number: The row's, or the column's.
        start, end: Of all of it.
        inner_end: Where its last child ends; None where it is written as one empty tag.
        style: A cell's style; "".
    """

    number: int
    start: int
    end: int = 0
    inner_end: int | None = None
    style: str = ""


class _Map:
    """Where the rows and the cells of a sheet stand in its text."""

    def __init__(self, text: bytes) -> None:
        self.text, self.prefix = text, ""
        self.data = _Span(0, 0)
        self.rows: dict[int, _Span] = {}
        self.cells: dict[tuple[int, int], _Span] = {}
        self.column_styles: dict[int, str] = {}
        self._row = self._column = 0
        self._open: list[tuple[str, _Span]] = []
        self._parser = expat.ParserCreate()
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.Parse(text, True)

    def _start(self, tag: str, has: dict[str, str]) -> None:
        prefix, _, name = tag.rpartition(":")
        span = _Span(0, self._parser.CurrentByteIndex)
        if name == "sheetData":
            self.data, self.prefix = span, f"{prefix}:" if prefix else ""
        elif name == "row":
            self._row = span.number = int(has.get("r", self._row + 1))
            self._column = 0
            self.rows[self._row] = span
        elif name == "c" and self._row:
            letters = has.get("r", "").rstrip("0123456789")
            self._column = column_index_from_string(letters) if letters else self._column + 1
            span.number, span.style = self._column, has.get("s", "")
            self.cells[self._row, self._column] = span
        elif name == "col" and "style" in has:
            for column in range(int(has["min"]), min(int(has["max"]), 200) + 1):
                self.column_styles[column] = has["style"]
        self._open.append((name, span))

    def _end(self, _tag: str) -> None:
        _, span = self._open.pop()
        at = self._parser.CurrentByteIndex
        tag_end = self.text.index(b">", span.start) + 1
        if self.text[tag_end - 2 : tag_end - 1] == b"/":
            span.end = tag_end
        else:
            span.inner_end = at
            span.end = self.text.index(b">", at) + 1


def _with_cells(text: bytes, values: Mapping[tuple[int, int], str | int | None]) -> bytes:
    sheet = _Map(text)
    pieces: list[tuple[int, int, int, bytes]] = []  # from, to, order, instead
    for number in sorted({row for row, _ in values}):
        columns = sorted(column for row, column in values if row == number)
        row = sheet.rows.get(number)
        made = {column: _cell(sheet, number, column, values[number, column]) for column in columns}
        cells = b"".join(made.values())
        if row is None:
            at = _place_of_row(sheet, number)
            pieces.append((at, at, number, _tagged(sheet, f'row r="{number}"', cells)))
            continue
        if row.inner_end is None:
            tag = text[row.start : row.end].removeprefix(b"<").removesuffix(b"/>").decode()
            pieces.append((row.start, row.end, number, _tagged(sheet, tag, cells)))
            continue
        for column, cell in made.items():
            there = sheet.cells.get((number, column))
            at = _place_of_cell(sheet, number, column, row.inner_end)
            start, end = (there.start, there.end) if there else (at, at)
            pieces.append((start, end, column, cell))
    if sheet.data.inner_end is None:  # an empty sheet: its one empty tag becomes two
        inner = b"".join(instead for _, _, _, instead in pieces)
        pieces = [(sheet.data.start, sheet.data.end, 0, _tagged(sheet, "sheetData", inner))]
    for start, end, _, instead in sorted(pieces, reverse=True):
        text = text[:start] + instead + text[end:]
    # What range is filled is a hint that nobody needs, and it would be out of date.
    return re.sub(rb"<(?:\w+:)?dimension\s[^>]*/>", b"", text, count=1)


def _place_of_row(sheet: _Map, number: int) -> int:
    later = [span.start for row, span in sheet.rows.items() if row > number]
    if later:
        return min(later)
    return sheet.data.end if sheet.data.inner_end is None else sheet.data.inner_end


def _place_of_cell(sheet: _Map, row: int, column: int, row_end: int) -> int:
    later = (
        at.start for (down, across), at in sheet.cells.items() if down == row and across > column
    )
    return min(later, default=row_end)


def _tagged(sheet: _Map, tag: str, inner: bytes) -> bytes:
    """Return something between two tags; the first may have attributes, and a prefix already."""
    tag = tag if tag.startswith(sheet.prefix) else f"{sheet.prefix}{tag}"
    return f"<{tag}>".encode() + inner + f"</{tag.split()[0]}>".encode()


def _cell(sheet: _Map, row: int, column: int, value: str | int | None) -> bytes:
    p, there = sheet.prefix, sheet.cells.get((row, column))
    style = there.style if there is not None else sheet.column_styles.get(column, "")
    head = f'<{p}c r="{get_column_letter(column)}{row}"' + (f' s="{style}"' if style else "")
    if value is None:
        return f"{head}/>".encode()
    if isinstance(value, int):
        return f"{head}><{p}v>{value}</{p}v></{p}c>".encode()
    text = escape(_NOT_XML.sub(" ", value))
    inner = f'<{p}is><{p}t xml:space="preserve">{text}</{p}t></{p}is>'
    return f'{head} t="inlineStr">{inner}</{p}c>'.encode()

"""Cells of a workbook changed, and everything else in it left as it is.

A workbook is taken apart and put together again by the library, which knows cells and the
way they look, drop-downs and remarks, but neither drawings nor macros, and forgets what
formulas came to. A workbook that holds any of those is refused, and never written over.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable
from typing import Protocol

import openpyxl

from kitmaker.errors import OutputError

_CARRIED = re.compile(
    r"\[Content_Types\]\.xml|_rels/\.rels|docProps/(app|core|custom)\.xml"
    r"|xl/(workbook|styles|sharedStrings)\.xml|xl/_rels/workbook\.xml\.rels|xl/theme/theme\d+\.xml"
    r"|xl/worksheets/sheet\d+\.xml|xl/worksheets/_rels/sheet\d+\.xml\.rels"
    r"|xl/(comments/)?comment(s?)\d+\.xml|xl/drawings/(commentsDrawing|vmlDrawing)\d+\.vml"
    r"|xl/printerSettings/printerSettings\d+\.bin|.*/"
)
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
_AS_TEXT = "@"


class CellEdit(Protocol):
    """A cell that gets another value; see :class:`kitmaker.shopbooks.class_edits.Edit`."""

    @property
    def sheet(self) -> str:
        """The worksheet's name; one that is not there yet is added."""

    @property
    def row(self) -> int:
        """From 1."""

    @property
    def column(self) -> int:
        """From 1."""

    @property
    def value(self) -> str | int | None:
        """None to empty the cell."""


def why_not_edited(content: bytes, name: str) -> str:
    """Say why a workbook cannot be changed without losing something; "" where it can.

    Args:
        content: The file's bytes.
        name: The file's name.
    """
    instead = "Change it in your spreadsheet program."
    if not name.lower().endswith(".xlsx"):
        return f"'{name}' is no .xlsx workbook, so it can only be read here. {instead}"
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for member in archive.namelist():
            if not _CARRIED.fullmatch(member):
                return (
                    f"'{name}' holds more than cells (a drawing, for example), which would be lost "
                    f"if it were saved here. {instead}"
                )
            if member.startswith("xl/worksheets/sheet") and _FORMULA.search(archive.read(member)):
                return (
                    f"'{name}' holds formulas, whose results would be lost if it were saved here. "
                    f"{instead}"
                )
    return ""


def edited(content: bytes, name: str, edits: Iterable[CellEdit]) -> bytes:
    """Return a workbook with some cells changed.

    Args:
        content: The file's bytes, read before and found to be a workbook.
        name: The file's name.
        edits: The cells.

    Raises:
        OutputError: It holds what would be lost.
    """
    if why := why_not_edited(content, name):
        raise OutputError(why)
    book = openpyxl.load_workbook(io.BytesIO(content))
    by_name = {sheet.title: sheet for sheet in book.worksheets}
    for edit in edits:
        if edit.sheet not in by_name:
            by_name[edit.sheet] = book.create_sheet(edit.sheet)
        cell = by_name[edit.sheet].cell(edit.row, edit.column)
        is_new = cell.value is None
        cell.value = edit.value
        if isinstance(edit.value, str):
            cell.data_type = "s"  # never a formula, whatever it begins with
            if is_new:
                cell.number_format = _AS_TEXT
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()

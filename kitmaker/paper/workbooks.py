"""The shell of every workbook we write: the same bytes each time, and no text is ever a formula."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime
from typing import Any

import xlsxwriter

from kitmaker.paper.sheets.saying import printable

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001 - a fixed date, so that the bytes are the same
_TEXT_STAYS_TEXT = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


def build_workbook(title: str, write: Callable[[Any], None]) -> bytes:
    """Return a workbook: ``write`` fills the empty book with sheets."""
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, _TEXT_STAYS_TEXT) as book:
        book.set_properties({"title": printable(title), "created": _CREATED})
        write(book)
    return file.getvalue()


class TypedBook:
    """A workbook that a person types into: its looks, and its paper.

    Every cell is text. A spreadsheet program turns a typed 1/8 into the eighth of January unless
    the cell is text, and then the size is lost.
    """

    def __init__(self, book: Any) -> None:
        self.book = book
        self.text = self.look()
        self.entry = self.look(bottom=4)
        self.heading = self.look(bold=True, bg_color="#E4E9E4", border=1)
        self.soft = self.look(italic=True, font_color="#5A5A5A")

    def look(self, **more: object) -> Any:
        """Return a look of a cell's text."""
        return self.book.add_format({"num_format": "@", "valign": "top", "text_wrap": True, **more})

    def add_sheet(self, name: str) -> Any:
        """Add a sheet that prints across, as wide as it is, with its name on top."""
        sheet = self.book.add_worksheet(name)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_header("&L&A")
        sheet.set_footer("&Rpage &P of &N")
        return sheet

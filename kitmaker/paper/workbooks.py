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
    """Return a workbook.

    Args:
        title: Of the file, as its properties show it.
        write: Fills the empty book with sheets.
    """
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, _TEXT_STAYS_TEXT) as book:
        book.set_properties({"title": printable(title), "created": _CREATED})
        write(book)
    return file.getvalue()

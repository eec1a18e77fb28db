"""A workbook with one look, for the samples: the same cells always give the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import xlsxwriter

Cell: TypeAlias = str | int | float | date | None
Row: TypeAlias = Sequence[Cell]

WRITTEN_ON = datetime(2026, 1, 1)  # noqa: DTZ001  # a document date, not a moment
INCHES = "# ?/?"
MONEY = "0.00"


def inches(text: str) -> float:
    """A size as a spreadsheet stores it when it was typed into a fraction format."""
    return float(sum(Fraction(part) for part in text.split()))


class Book:
    """A workbook with one look: bold headings, set widths, wrapped text."""

    def __init__(self, path: Path, title: str) -> None:
        self.workbook = xlsxwriter.Workbook(path)
        self.workbook.set_properties(
            {"title": title, "author": "Juniper & Thread Quilt Shop", "created": WRITTEN_ON}
        )
        frame = {"valign": "top", "text_wrap": True, "border": 1, "border_color": "#B8B8B8"}
        self.title = self.workbook.add_format({"bold": True, "font_size": 14})
        self.note = self.workbook.add_format({"italic": True, "valign": "top"})
        self.heading = self.workbook.add_format({**frame, "bold": True, "bg_color": "#E4E9E4"})
        self.label = self.workbook.add_format({**frame, "bold": True})
        self._frame = frame
        self._formats: dict[str, Any] = {}

    def cell_format(self, number_format: str) -> Any:
        """A framed cell with a number format, made once."""
        if number_format not in self._formats:
            self._formats[number_format] = self.workbook.add_format(
                {**self._frame, "num_format": number_format, "align": "left"}
            )
        return self._formats[number_format]

    def _write(self, sheet: Any, row: int, column: int, value: Cell, number_format: str) -> None:
        style = self.cell_format(number_format)
        if value is None:
            sheet.write_blank(row, column, None, style)
        elif isinstance(value, date):
            when = datetime(value.year, value.month, value.day)  # noqa: DTZ001  # a day
            sheet.write_datetime(row, column, when, self.cell_format("mmmm d, yyyy"))
        elif isinstance(value, str):
            sheet.write_string(row, column, value, style)
        else:
            sheet.write_number(row, column, value, style)

    def table(
        self,
        name: str,
        headings: Sequence[str],
        rows: Sequence[Row],
        *,
        widths: Sequence[float],
        formats: dict[str, str] | None = None,
        title: str | None = None,
        note: str | None = None,
    ) -> Any:
        """Write a sheet with one table; ``formats`` goes from heading to number format."""
        sheet = self.workbook.add_worksheet(name)
        top = 0
        if title is not None:
            sheet.write_string(0, 0, title, self.title)
            top = 2
        for column, (heading, width) in enumerate(zip(headings, widths, strict=True)):
            sheet.set_column(column, column, width)
            sheet.write_string(top, column, heading, self.heading)
        for down, row in enumerate(rows, start=top + 1):
            for column, (heading, value) in enumerate(zip(headings, row, strict=True)):
                self._write(sheet, down, column, value, (formats or {}).get(heading, "General"))
        if note is not None:
            sheet.write_string(top + len(rows) + 2, 0, note, self.note)
        sheet.freeze_panes(top + 1, 0)
        self._fit_paper(sheet, landscape=len(headings) > 5)
        return sheet

    def facts(self, name: str, rows: Sequence[tuple[str, Cell]], *, width: float = 44) -> None:
        """Write a sheet of labels and values."""
        sheet = self.workbook.add_worksheet(name)
        sheet.set_column(0, 0, 24)
        sheet.set_column(1, 1, width)
        for down, (label, value) in enumerate(rows):
            sheet.write_string(down, 0, label, self.label)
            self._write(sheet, down, 1, value, "General")
        self._fit_paper(sheet, landscape=False)

    def _fit_paper(self, sheet: Any, *, landscape: bool) -> None:
        if landscape:
            sheet.set_landscape()
        sheet.fit_to_pages(1, 0)

    def close(self) -> None:
        """Write the file."""
        self.workbook.close()

"""Blank workbooks to fill in: explained, with drop-downs, and safe to type fractions into."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from xlsxwriter.utility import xl_col_to_name

from kitmaker.drafts import EXAMPLE, HELP_SHEET, HINT
from kitmaker.paper.sheets.saying import printable
from kitmaker.paper.starter_words import (
    GENERAL,
    STARTER_SHEETS,
    Field,
    StarterKind,
    StarterSheet,
)
from kitmaker.paper.workbooks import TypedBook, build_workbook

_LAST_ROW = 499
_HELP_WIDTH = 100  # characters
_LINE = 15  # points; some programs do not grow a row for a text that breaks


def build_starter(kind: StarterKind, offered: Mapping[str, Sequence[str]] | None = None) -> bytes:
    """Return a blank workbook; ``offered`` is what its drop-downs offer, by heading."""
    sheets = STARTER_SHEETS[kind]
    return build_workbook(
        f"A {kind.value} to fill in",
        lambda book: _Writer(book, offered or {}).write(sheets),
    )


class _Writer(TypedBook):
    def __init__(self, book: Any, offered: Mapping[str, Sequence[str]]) -> None:
        super().__init__(book)
        self.offered = offered
        self.places: dict[str, str] = {}
        self.title = book.add_format({"bold": True, "font_size": 14})

    def write(self, sheets: Sequence[StarterSheet]) -> None:
        self._help(sheets)
        named = {field.name for sheet in sheets if sheet.is_table for field in sheet.fields}
        self.places = self._offer(named)
        for sheet in sheets:
            page = self.add_sheet(sheet.name)
            if sheet.is_table:
                self._table(page, sheet)
            else:
                self._labels(page, sheet)
        self.book.worksheets()[1].activate()

    def _help(self, sheets: Sequence[StarterSheet]) -> None:
        page = self.add_sheet(HELP_SHEET)
        page.set_column(0, 0, 22, self.text)
        page.set_column(1, 1, _HELP_WIDTH, self.text)
        page.write_string(0, 0, HELP_SHEET, self.title)
        down = 2
        for line in GENERAL:
            page.write_string(down, 1, line, self.text)
            down += 1
        for sheet in sheets:
            down += 1
            page.write_string(down, 0, sheet.name, self.heading)
            page.write_string(down, 1, sheet.about, self.text)
            page.set_row(down, _LINE * (1 + len(sheet.about) // _HELP_WIDTH))
            for field in sheet.fields:
                if field.hint:
                    down += 1
                    page.write_string(down, 0, field.name, self.text)
                    page.write_string(down, 1, field.hint, self.soft)
            down += 1

    def _table(self, page: Any, sheet: StarterSheet) -> None:
        for column, field in enumerate(sheet.fields):
            page.set_column(column, column, field.width, self.text)
            page.write_string(0, column, field.name, self.heading)
            example = f"{EXAMPLE}: {field.example}" if column == 0 else field.example
            page.write_string(1, column, example, self.soft)
            self._help_typing(page, (1, column, _LAST_ROW, column), field)
        page.freeze_panes(1, 0)
        page.repeat_rows(0)

    def _labels(self, page: Any, sheet: StarterSheet) -> None:
        page.set_column(0, 0, 24, self.text)
        page.set_column(1, 1, 40, self.text)
        page.set_column(2, 2, 60, self.text)
        for down, field in enumerate(sheet.fields):
            page.write_string(down, 0, field.name, self.heading)
            page.write_blank(down, 1, None, self.entry)
            if field.hint:
                page.write_string(down, 2, f"{HINT} {field.hint}", self.soft)
            self._help_typing(page, (down, 1, down, 1), field)

    def _offer(self, named: Collection[str]) -> dict[str, str]:
        """Write what drop-downs offer below the explanations; return the cells of each.

        A drop-down that holds its choices itself has room for a few words only.
        """
        page = self.book.worksheets()[0]
        places: dict[str, str] = {}
        for column, (heading, choices) in enumerate(self.offered.items(), start=3):
            if heading in named and choices:
                page.set_column(column, column, 24, self.text)
                page.write_string(1, column, f"{heading}, as the shop has it", self.soft)
                for down, choice in enumerate(choices, start=2):
                    page.write_string(down, column, printable(choice), self.soft)
                letter = xl_col_to_name(column)
                last = len(choices) + 2
                places[heading] = f"='{HELP_SHEET}'!${letter}$3:${letter}${last}"
        return places

    def _help_typing(self, page: Any, place: tuple[int, int, int, int], field: Field) -> None:
        """Offer the choices, and say what is typed here when the cell is picked."""
        offered: object = self.places.get(field.name) or list(field.choices)
        if field.names_of:
            offered = f"='{field.names_of}'!$A$3:$A${_LAST_ROW + 1}"
        if not offered and not field.hint:
            return
        rule: dict[str, object] = {"validate": "list", "source": offered}
        if not offered:
            rule = {"validate": "any"}
        rule |= {"input_title": field.name[:32], "input_message": (field.hint or field.name)[:255]}
        # Other words than those offered may be right: a form of the shop's own.
        rule |= {"error_type": "information", "ignore_blank": True}
        page.data_validation(*place, rule)

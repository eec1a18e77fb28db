"""A table on a sheet of a workbook: text as text, sums as live formulas, ready to print.

Formulas are stored with the values they come to, for programs that do not calculate.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

from xlsxwriter.utility import xl_col_to_name

from kitmaker.paper.sheets.saying import printable


@dataclass(frozen=True, slots=True)
class Formula:
    """A live sum in a row: its formula, and what it comes to (None where that is not known)."""

    text: str
    comes_to: Fraction | Decimal | None


Value: TypeAlias = str | int | Fraction | Decimal | None
Cell: TypeAlias = Value | Formula


def worth_of(cell: Cell) -> Value:
    """Return what stands in a cell, of a formula what it comes to."""
    return cell.comes_to if isinstance(cell, Formula) else cell


_LONGEST_TEXT = 32_000  # a cell holds 32,767 characters
_TITLE_CHARACTER = 1.6  # a title's letter against one of a table
_WIDEST = 46
_WIDEST_OF_MANY = 24
_FEW_COLUMNS = 7
_MOST_LINES = 25
_LINE = 15  # points a line of a cell takes
_PAGE_WIDTH = 92


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Attributes:
        heading: Its name.
        means: What stands in it, for those who take it as data.
        kind: ``text``, ``count``, ``number`` (a measure), ``amount`` (a measure or a count, by
            its row) or ``money``.
        summed: Whether the Total row sums it.
        in_unit: Whether a data frame has its lengths in the plan's unit besides.
    """

    heading: str
    means: str = ""
    kind: str = "text"
    summed: bool = False
    in_unit: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet of the workbook: a heading, columns, rows, and whether sums stand below."""

    sheet: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...] = field(default=())

    @property
    def has_total(self) -> bool:
        """Whether a row of sums stands below."""
        return any(column.summed for column in self.columns)


def make_formats(book: Any, currency: str) -> dict[str, Any]:
    """Return the looks of a workbook's cells by kind of column."""
    currency = currency.replace('"', "")
    money = f'"{printable(currency)}"#,##0.00' if currency else "#,##0.00"
    kinds = {"text": "@", "count": "#,##0", "number": "0.0###", "money": money}
    kinds["amount"] = "General"
    made = {
        kind: book.add_format(
            {
                "num_format": shown,
                "valign": "top",
                "text_wrap": kind == "text",
            }
            # a number to the left of a text must not read as its first figure
            | ({"align": "left", "indent": 1} if kind == "text" else {})
        )
        for kind, shown in kinds.items()
    }
    made |= {
        f"total {kind}": book.add_format({"num_format": shown, "bold": True, "top": 1})
        for kind, shown in kinds.items()
    }
    made["title"] = book.add_format({"bold": True, "font_size": 14})
    heading = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
    made["heading text"] = book.add_format({**heading, "align": "left", "indent": 1})
    made["heading number"] = book.add_format({**heading, "align": "right"})
    return made


def write_table(book: Any, formats: Mapping[str, Any], table: Table, head: str, foot: str) -> None:
    """Write a table onto a sheet of its own, ready to print, with a head and a foot (left)."""
    sheet = book.add_worksheet(table.sheet)
    sheet.write_string(0, 0, _text(table.title), formats["title"])
    for at, column in enumerate(table.columns):
        side = "text" if column.kind == "text" else "number"
        sheet.write_string(1, at, column.heading, formats[f"heading {side}"])
    for down, row in enumerate(table.rows, start=2):
        for at, (column, value) in enumerate(zip(table.columns, row, strict=True)):
            _write_value(sheet, down, at, value, formats[column.kind])
    last_row = 1 + len(table.rows)
    if table.has_total and table.rows:
        last_row += 1
        _write_total(sheet, last_row, table, formats)
    _set_page(sheet, table, last_row)
    _set_edges(sheet, head, foot)


def _write_value(sheet: Any, row: int, column: int, value: Cell, shown: Any) -> None:
    if value is None:
        sheet.write_blank(row, column, None, shown)
    elif isinstance(value, str):
        sheet.write_string(row, column, _text(value), shown)
    elif isinstance(value, Formula):
        sheet.write_formula(row, column, value.text, shown, float(_amount(value)))
    else:
        sheet.write_number(row, column, float(value), shown)


def _write_total(sheet: Any, row: int, table: Table, formats: Mapping[str, Any]) -> None:
    """Write the row of sums; what is not known counts for nothing, as SUM does it."""
    for at, column in enumerate(table.columns):
        shown = formats[f"total {column.kind}"]
        if at == 0:
            sheet.write_string(row, at, "Total", shown)
        elif column.summed:
            letter = xl_col_to_name(at)
            total = sum((_amount(row_cells[at]) for row_cells in table.rows), Fraction(0))
            sheet.write_formula(row, at, f"=SUM({letter}3:{letter}{row})", shown, float(total))
        else:
            sheet.write_blank(row, at, None, shown)


def _amount(cell: Cell) -> Fraction:
    value = worth_of(cell)
    return Fraction(0) if value is None or isinstance(value, str) else Fraction(value)


def _set_page(sheet: Any, table: Table, last_row: int) -> None:
    last_column = len(table.columns) - 1
    widths = [_width(table, at) for at in range(last_column + 1)]
    widths[-1] += max(0.0, len(table.title) * _TITLE_CHARACTER - sum(widths))
    for at, width in enumerate(widths):
        sheet.set_column(at, at, width)
    # some programs do not grow a row for a text that breaks
    lines = max(
        _lines(column.heading, width) for column, width in zip(table.columns, widths, strict=True)
    )
    sheet.set_row(0, 21)
    sheet.set_row(1, 16 * lines)
    for down, row in enumerate(table.rows, start=2):
        texts = zip(row, widths, strict=True)
        lines = max(_lines(text, width) for text, width in texts if isinstance(text, str))
        if lines > 1:
            sheet.set_row(down, _LINE * min(lines, _MOST_LINES))
    sheet.freeze_panes(2, 1)
    sheet.print_area(0, 0, last_row, last_column)
    sheet.repeat_rows(0, 1)
    sheet.fit_to_pages(1, 0)
    if sum(widths) > _PAGE_WIDTH:
        sheet.set_landscape()
    sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)


def _set_edges(sheet: Any, head: str, foot: str) -> None:
    """Set head and foot; an ampersand would be read as a code."""
    head = " ".join(printable(head).split())[:100].replace("&", "&&")
    foot = printable(foot).replace("&", "&&")[:40]
    # a header's code for the type would swallow a name that begins with a number
    sheet.set_header(f"&L {head}")
    sheet.set_footer(f"&L{foot}&C&A&Rpage &P of &N")


def _width(table: Table, at: int) -> float:
    longest = max((len(_shown(row[at])) for row in table.rows), default=0)
    heading = max(len(word) for word in table.columns[at].heading.split())
    widest = _WIDEST if len(table.columns) <= _FEW_COLUMNS else _WIDEST_OF_MANY
    return min(widest, max(longest, heading, 6) + 2)


def _lines(text: str, width: float) -> int:
    """How many lines a text takes in a column of that width when it breaks between words."""
    lines, used = 1, 0
    for word in text.split():
        if used and used + 1 + len(word) > width - 2:
            lines, used = lines + 1, 0
        used += len(word) + bool(used)
    return lines


def _shown(cell: Cell) -> str:
    value = worth_of(cell)
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{float(value):,.2f}  "


def _text(text: str) -> str:
    return printable(text)[:_LONGEST_TEXT]

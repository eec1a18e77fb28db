"""``stock-after.xlsx``: the shelf when all is cut, laid out as the next shop workbook.

The ``Stock`` sheet can be read again as it is. Lengths are typed with their unit, so that
nothing is lost in rounding; the shop's own forms and its figures stand beside it, so that
names and bare numbers mean the same and the next plan works with the same figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

from kitmaker.lengths import Unit, say_decimal
from kitmaker.paper.movements import stock_after
from kitmaker.paper.sheets.saying import printable
from kitmaker.paper.shop_facts import (
    LABEL_SHEET_COLUMNS,
    label_sheet_rows,
    say_all_exact,
    say_exact,
    shop_facts,
)
from kitmaker.paper.workbooks import build_workbook
from kitmaker.plans import KitPlan
from kitmaker.shop import Shop, StockRow

Cell: TypeAlias = str | int | Decimal | None

_STOCK_COLUMNS = (
    ("SKU", 12),
    ("Print", 22),
    ("Form", 14),
    ("Usable width", 13),
    ("Usable length", 13),
    ("Length at hand", 15),
    ("Count at hand", 10),
    ("Held", 12),
    ("Dye lot", 10),
    ("Shrinkage", 10),
    ("Cost", 9),
    ("Price", 9),
    ("Order in", 10),
    ("Notes", 30),
)
_FORM_COLUMNS = (
    ("Form", 18),
    ("Nominal width", 14),
    ("Nominal length", 14),
    ("Usable width", 14),
    ("Usable length", 14),
    ("Cost", 9),
    ("Price", 9),
    ("Bundle count", 13),
)


def has_stock_after(plan: KitPlan) -> bool:
    """Return whether there is a Stock sheet to carry on."""
    return plan.shop.stock is not None and not plan.shop.only_measured


def build_stock_after(plan: KitPlan) -> bytes:
    """Return the workbook; the same plan gives the same bytes."""
    return build_workbook(f"Stock after plan {plan.number}", lambda book: _write_sheets(book, plan))


def _write_sheets(book: Any, plan: KitPlan) -> None:
    shop = plan.shop
    bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
    stock = list(_stock_rows(plan))
    _write(book, "Stock", _STOCK_COLUMNS, stock, bold)
    own = [_form_row(form, shop) for form in shop.catalogue if form.own]
    if own:
        _write(book, "Forms", _FORM_COLUMNS, own, bold)
    _write(book, "Shop", (("Label", 22), ("Value", 40)), list(shop_facts(shop)), bold)
    if shop.own_label_sheets:
        columns = tuple((heading, 13) for heading in LABEL_SHEET_COLUMNS)
        _write(book, "Label sheets", columns, list(label_sheet_rows(shop)), bold)


def _write(
    book: Any,
    name: str,
    columns: tuple[tuple[str, int], ...],
    rows: list[tuple[Cell, ...]],
    bold: Any,
) -> None:
    sheet = book.add_worksheet(name)
    for at, (heading, width) in enumerate(columns):
        sheet.write_string(0, at, heading, bold)
        sheet.set_column(at, at, width)
    for down, row in enumerate(rows, start=1):
        for at, value in enumerate(row):
            if value is None or value == "":
                continue
            if isinstance(value, str):
                sheet.write_string(down, at, printable(value))
            else:
                sheet.write_number(down, at, float(value))
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    sheet.set_footer("&L&A&RPage &P of &N")


def _stock_rows(plan: KitPlan) -> Iterator[tuple[Cell, ...]]:
    rows, unit = stock_after(plan), plan.shop.unit
    lengths = [row.length or Fraction(0) for row, _ in rows if row.form is None]
    lengths += [row.held_length for row, _ in rows]
    texts = dict(zip(lengths, say_all_exact(lengths, unit), strict=True))
    for row, note in rows:
        held: Cell = row.held_count or None
        if row.form is None and row.held_length:
            held = texts[row.held_length]
        yield (
            row.sku,
            row.print_name,
            row.form,
            say_exact(row.usable_width, unit) if row.usable_width else None,
            say_exact(row.usable_length, unit) if row.usable_length else None,
            texts[row.length or Fraction(0)] if row.form is None else None,
            None if row.form is None else row.count or 0,
            held,
            row.dye_lot,
            f"{say_decimal(row.shrinkage * 100, 6)} %" if row.shrinkage else None,
            row.cost,
            row.price,
            _order_in(row, unit),
            f"{note}, plan {plan.number}" if note else None,
        )


def _order_in(row: StockRow, unit: Unit) -> Cell:
    if row.order_in is None:
        return None
    if row.form is not None:
        return int(row.order_in)
    return say_exact(row.order_in, unit, by_the_yard=True)


def _form_row(form: Any, shop: Shop) -> tuple[Cell, ...]:
    sizes = (form.nominal_across, form.nominal_along, form.usable_across, form.usable_along)
    return (
        form.name,
        *(say_exact(size, shop.unit) if size else None for size in sizes),
        form.cost,
        form.price,
        form.bundle_count,
    )

"""The Stock sheet: every length and every pile of forms on the shelf, one row each.

Two rows with one SKU are two pieces of cloth. They may differ in length, dye lot and, a
little, in usable width; where one is much wider, one of the two was typed wrong.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from kitmaker.errors import Problem, Problems, error, warning
from kitmaker.forms import YARDAGE_ID, Catalogue, Form
from kitmaker.lengths import Length, Unit, say_length, say_off_the_bolt
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import Cell, Sheet
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shop import StockRow, Swatch
from kitmaker.shopbooks.ledger import (
    bolt_unit,
    data_rows,
    find_form,
    measure,
    measure_under,
    money,
    read_table,
    whole,
    worded,
)
from kitmaker.shopbooks.pictures import PictureError, parse_color, read_picture
from kitmaker.shopbooks.shopwords import FigureError, parse_percent, parse_pieces

_WIDER = Fraction(6, 5)
"""Bolts of one fabric differ by less than a fifth in width. Our bound, no source."""

STOCK_HEADINGS: Headings = {
    "SKU": ("Stock number", "Item number", "Stock code"),
    "Print": ("Fabric", "Print name"),
    "Form": ("Sold as",),
    "Usable width": ("Width",),
    "Usable length": (),
    "Length at hand": (
        "Length",
        "Length on hand",
        "Length at hand yd",
        "Length at hand m",
        "Yards at hand",
        "Meters at hand",
    ),
    "Count at hand": ("Count", "Count on hand"),
    "Held": ("Promised",),
    "Dye lot": ("Lot",),
    "Shrinkage": (),
    "Cost": ("Cost per yd", "Cost per yard", "Cost per m", "Cost per meter"),
    "Price": ("Price per yd", "Price per yard", "Price per m", "Price per meter"),
    "Order in": ("Ordered in", "Order by", "Order in yd", "Order in m", "Order quantity"),
    "Color": ("Colour",),
    "Picture": ("Photo", "Image"),
    "Notes": ("Note", "Remarks", "Comments", "Description", "Shelf"),
}


def read_stock(
    sheet: Sheet,
    unit: Unit,
    catalogue: Catalogue,
    problems: Problems,
    folder: Path | None = None,
) -> tuple[tuple[StockRow, ...], tuple[Swatch, ...]]:
    """Read the Stock sheet.

    Bare widths are in the unit, bare lengths in its yards or meters. A row with an error is
    left out. Without a folder no pictures are looked for.

    Returns:
        The rows in the sheet's order, none is an empty shelf; and what fabrics look like.
    """
    table = read_table(sheet, STOCK_HEADINGS, problems, required=("SKU",))
    if table is None:
        return (), ()
    swatches: dict[str, Swatch] = {}
    rows: list[StockRow] = []
    widths: dict[str, tuple[Length, Cell]] = {}
    orders: dict[tuple[str, str], tuple[Fraction, Cell]] = {}
    for table_row in data_rows(table, problems):
        faults = Problems()
        row = _read_row(table_row, unit, catalogue, faults)
        if row is not None and row.length is not None:
            _check_width(row, table_row.cell("Usable width"), widths, unit, faults)
        if row is not None and row.order_in is not None:
            _check_order(row, table_row.cell("Order in"), orders, catalogue, faults)
        problems.extend(faults)
        if row is not None:
            _read_looks(row.sku, table_row, folder, swatches, problems)
        if row is not None and not any(fault.is_error for fault in faults):
            rows.append(row)
    if not table.rows:
        problems.warn(
            "the sheet lists nothing, so everything counts as short",
            sheet.location,
            "Remove the sheet where stock has no limit.",
        )
    return tuple(rows), tuple(
        swatch for swatch in swatches.values() if swatch.color or swatch.picture
    )


def _read_looks(
    sku: str,
    row: TableRow,
    folder: Path | None,
    swatches: dict[str, Swatch],
    problems: Problems,
) -> None:
    """Add what a row says of a fabric's looks; of several rows the first that says it counts."""
    found = swatches.get(sku.casefold(), Swatch(sku=sku))
    color, picture = row.cell("Color"), row.cell("Picture")
    try:
        if not found.color and not color.is_blank:
            found = replace(found, color=parse_color(read_text(color, problems)))
    except PictureError as fault:
        problems.append(_not_shown(color, fault, "Type a color's name such as navy, or #1b2a49."))
    try:
        name = read_text(picture, problems)
        if name and not found.picture and folder is not None:
            found = replace(found, picture=read_picture(folder, name))
    except PictureError as fault:
        problems.append(_not_shown(picture, fault, "Save it as a PNG or JPEG of at most 2 MB."))
    swatches[sku.casefold()] = found


def _not_shown(cell: Cell, fault: PictureError, instead: str) -> Problem:
    return warning(
        f"'{cell.text}' {fault}, so pages have a box to staple a swatch", cell.location, instead
    )


def _read_row(
    row: TableRow, unit: Unit, catalogue: Catalogue, problems: Problems
) -> StockRow | None:
    sku_cell = row.cell("SKU")
    sku = read_text(sku_cell, problems)
    if not sku:
        problems.refuse("there is no SKU here", sku_cell.location, "Type its stock number.")
    form = find_form(row.cell("Form"), catalogue, problems)
    by_length = form is None or form.by_length
    bare = StockRow(sku=sku, where=sku_cell.location)
    at_hand = (
        _length_at_hand(row, bare, unit, problems)
        if by_length
        else _count_at_hand(row, bare, problems)
    )
    width = measure_under(row, "Usable width", unit, problems)
    along = measure_under(row, "Usable length", unit, problems)
    if by_length and along is not None:
        problems.refuse(
            "a length off the bolt has no usable length beside its length at hand",
            row.cell("Usable length").location,
            "Type how much is there under Length at hand, or name the form that is measured.",
        )
    shrinkage = worded(row.cell("Shrinkage"), _parse_shrinkage, problems)
    cost = money(row.cell("Cost"), problems, what="cost")
    price = money(row.cell("Price"), problems, what="price")
    order_in = _order_in(row, None if by_length else form, unit, problems)
    if at_hand is None or not sku:
        return None
    if width is None and form is not None and form.by_length and form.form_id != YARDAGE_ID:
        width = form.usable_across
    return replace(
        at_hand,
        print_name=row.text("Print"),
        form=None if by_length else row.text("Form"),
        usable_width=width,
        usable_length=along,
        dye_lot=read_text(row.cell("Dye lot"), problems) or None,
        shrinkage=shrinkage or Fraction(0),
        cost=cost,
        price=price,
        order_in=order_in,
    )


def _length_at_hand(
    row: TableRow, bare: StockRow, unit: Unit, problems: Problems
) -> StockRow | None:
    cell = row.cell("Length at hand")
    form_unknown = bool(row.text("Form")) and bool(problems)
    if cell.is_blank:
        if not form_unknown:
            problems.append(_nothing_at_hand(row, cell))
        return None
    step = bolt_unit(row, "Length at hand", unit)
    length = measure(cell, step, problems, what="length at hand", may_be_zero=True)
    if row.has("Count at hand") and not form_unknown:
        problems.refuse(
            "this row has a length and a count at hand",
            row.cell("Count at hand").location,
            "Name the form that is counted and empty the length, or empty the count.",
        )
    held_cell = row.cell("Held")
    held = measure(held_cell, step, problems, what="length held", may_be_zero=True)
    if length is None:
        return None
    if held is not None and held > length:
        _more_held(held_cell, say_off_the_bolt(length, unit), problems)
    return replace(bare, length=length, held_length=held or Fraction(0))


def _count_at_hand(row: TableRow, bare: StockRow, problems: Problems) -> StockRow | None:
    cell = row.cell("Count at hand")
    if cell.is_blank:
        problems.append(_nothing_at_hand(row, cell))
        return None
    count = whole(cell, problems, what="count at hand", least=0)
    if row.has("Length at hand"):
        problems.refuse(
            f"this row counts a form ({row.text('Form')}) and has a length at hand too",
            row.cell("Length at hand").location,
            "Empty the length, or empty the form for a length off the bolt.",
        )
    held_cell = row.cell("Held")
    held = whole(held_cell, problems, what="number held", least=0)
    if count is None:
        return None
    if held is not None and held > count:
        _more_held(held_cell, str(count), problems)
    return replace(bare, count=count, held_count=held or 0)


def _nothing_at_hand(row: TableRow, cell: Cell) -> Problem:
    if row.has("Count at hand"):
        return error(
            "a count without a form says nothing",
            row.cell("Form").location,
            "Name the form that is counted, for example fat quarter.",
        )
    return error(
        "this row does not say how much is at hand",
        cell.location,
        "Type a length such as 3 7/8 yd (or a form and its count); 0 for none.",
    )


def _more_held(cell: Cell, there: str, problems: Problems) -> None:
    problems.warn(
        f"more is held than is there ({there}); nothing of it is free",
        cell.location,
        "Correct what is held or what is at hand.",
    )


def _order_in(row: TableRow, form: Form | None, unit: Unit, problems: Problems) -> Fraction | None:
    """Return what a row's cloth is ordered in: inches, or pieces of its form."""
    cell = row.cell("Order in")
    if form is None:
        step = bolt_unit(row, "Order in", unit)
        return measure(cell, step, problems, what="length it is ordered in")
    return worded(cell, lambda text: parse_pieces(text, form.name, form.plural), problems)


def _check_order(
    row: StockRow,
    cell: Cell,
    orders: dict[tuple[str, str], tuple[Fraction, Cell]],
    catalogue: Catalogue,
    problems: Problems,
) -> None:
    """Hold that a SKU's rows say alike what it is ordered in."""
    if row.order_in is None:
        return
    key = (row.sku.casefold(), catalogue.find(row.form).form_id if row.form else "")
    other, first = orders.setdefault(key, (row.order_in, cell))
    if other != row.order_in:
        problems.refuse(
            f"the SKU {row.sku} is ordered in '{cell.text}' here and in '{first.text}' in "
            f"{first.location.cell}",
            cell.location,
            "Type one of them in both rows, or leave one empty.",
        )


def _parse_shrinkage(text: str) -> Fraction:
    share = parse_percent(text)
    if share >= 1:
        raise FigureError(f"a shrinkage of '{text}' leaves no cloth", "Type it as 3 %.")
    return share


def _check_width(
    row: StockRow,
    cell: Cell,
    widths: dict[str, tuple[Length, Cell]],
    unit: Unit,
    problems: Problems,
) -> None:
    """Hold that no length of a SKU is much wider than another, where they state their width."""
    if row.usable_width is None or cell.is_blank:
        return
    other, first = widths.setdefault(row.sku.casefold(), (row.usable_width, cell))
    if max(other, row.usable_width) > min(other, row.usable_width) * _WIDER:
        problems.refuse(
            f"the SKU {row.sku} has a usable width of {say_length(row.usable_width, unit)} "
            f"here and of {say_length(other, unit)} in {first.location.cell}",
            cell.location,
            "Correct one of the two, or give the other width a SKU of its own.",
        )

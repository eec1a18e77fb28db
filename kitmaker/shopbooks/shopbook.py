"""The shop's workbook: its figures, its forms, and what is on its shelf.

Three sheets, each optional: ``Shop`` (labels and values), ``Forms`` and ``Stock``; a fourth,
``Label sheets``, holds label sheets by the shop's own measures. Every problem names its
sheet and cell; what can be read is read all the same.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any, TypeAlias

from kitmaker.errors import Problems, UnreadableError, UsageError
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit, say_length
from kitmaker.paper.labels import find_label_sheet
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import Cell, Workbook
from kitmaker.reading.tables import Headings
from kitmaker.shop import Ease, Shop, ShopReading
from kitmaker.shopbooks.ledger import (
    bolt_step,
    find_sheet,
    has_sheet,
    labeled_values,
    measure,
    misspelled_sheets,
    money,
    one_line,
    whole,
    worded,
)
from kitmaker.shopbooks.ownforms import read_own_forms
from kitmaker.shopbooks.ownlabels import read_own_label_sheets
from kitmaker.shopbooks.shopwords import (
    parse_currency,
    parse_label_offset,
    parse_markup,
    parse_percent,
    parse_size_pair,
    parse_unit,
)
from kitmaker.shopbooks.stockbook import read_stock

SHOP_SHEETS = ("Shop", "Forms", "Stock")
_LABEL_SHEETS = "Label sheets"

SHOP_LABELS: Headings = {
    "Name": ("Shop name", "Shop"),
    "Address": (),
    "Phone": ("Telephone",),
    "Email": ("E-mail",),
    "Unit": ("Units",),
    "Usable width": ("Usable width of fabric",),
    "Straighten": ("Straightening",),
    "Re-square": ("Resquare", "Re-squaring"),
    "Re-square every": ("Strips between re-squaring",),
    "Layers per cut": ("Layers",),
    "Round yardage up to": ("Round up to", "Round yardage"),
    "Ease": ("Ease of cutting",),
    "Ruler length": ("Ruler",),
    "Ruler width": (),
    "Markup": ("Mark-up",),
    "Labor per hour": ("Labour per hour", "Labor"),
    "Kit fee": ("Fee per kit",),
    "Label sheet": ("Labels",),
    "Bag label sheet": ("Bag labels",),
    "Piece label sheet": ("Piece labels",),
    "Label offset": (),
    "Smallest offcut": (),
    "Smallest length back": ("Smallest length back on the bolt",),
    "Currency": (),
    "Seconds per cut": (),
    "Seconds per setting": (),
    "Seconds per pull": (),
    "Label": ("Setting", "What"),
}
"""The labels of the Shop sheet; the last one heads the column and has no value."""

_WIDER = Fraction(5, 4)
"""A bolt wider than this much of the usual one is not the rule. Our own bound, no source."""

_Reader: TypeAlias = Callable[[Cell, Unit, Problems], Any]


def holds_shop(workbook: Workbook) -> bool:
    """Return whether a workbook has a sheet of a shop."""
    return has_sheet(workbook, SHOP_SHEETS)


def shop_of(workbook: Workbook, folder: Path | None = None) -> ShopReading:
    """Return the shop that a workbook already read describes.

    Pictures of fabrics lie in its folder; None to look for none.

    Raises:
        UnreadableError: It is no shop's workbook.
    """
    if not holds_shop(workbook):
        raise UnreadableError(one_line(workbook, "shop's workbook", SHOP_SHEETS))
    problems = misspelled_sheets(workbook, (*SHOP_SHEETS, _LABEL_SHEETS))
    sheet = find_sheet(workbook, "Shop")
    values = {} if sheet is None else labeled_values(sheet, SHOP_LABELS, problems)
    unit = Unit.INCH
    if (cell := values.get("Unit")) is not None:
        unit = worded(cell, parse_unit, problems) or unit
    fields = _figures(values, unit, problems)
    if (sheet := find_sheet(workbook, "Forms")) is not None:
        fields["catalogue"] = Catalogue().with_own(read_own_forms(sheet, unit, problems))
    if (sheet := find_sheet(workbook, _LABEL_SHEETS)) is not None:
        fields["own_label_sheets"] = read_own_label_sheets(sheet, unit, problems)
    if (sheet := find_sheet(workbook, "Stock")) is not None:
        catalogue = fields.get("catalogue", Catalogue())
        stock, swatches = read_stock(sheet, unit, catalogue, problems, folder)
        fields |= {"stock": stock, "swatches": swatches}
    shop = Shop(**fields, unit=unit, workbook=workbook.name)
    for label in ("Label sheet", "Bag label sheet", "Piece label sheet"):
        _check_label_sheet(values.get(label), getattr(shop, _READERS[label][0]), shop, problems)
    _check_usable_width(values.get("Usable width"), shop, problems)
    return ShopReading(shop=shop, problems=tuple(problems))


def _figures(values: dict[str, Cell], unit: Unit, problems: Problems) -> dict[str, Any]:
    """Return the fields of a shop that its sheet states and that could be read."""
    fields: dict[str, Any] = {}
    for label, (field, read) in _READERS.items():
        if (cell := values.get(label)) is None:
            continue
        value = read(cell, unit, problems)
        if value is not None:
            fields[field] = value
    return fields


def _words(cell: Cell, _unit: Unit, problems: Problems) -> str | None:
    return read_text(cell, problems) or None


def _sum(cell: Cell, _unit: Unit, problems: Problems, *, what: str) -> Decimal | None:
    return money(cell, problems, what=what)


def _whole(cell: Cell, _unit: Unit, problems: Problems, *, what: str) -> int | None:
    return whole(cell, problems, what=what)


def _worded(cell: Cell, _unit: Unit, problems: Problems, *, parse: Callable[[str], Any]) -> Any:
    return worded(cell, parse, problems)


def _markup(cell: Cell, _unit: Unit, problems: Problems) -> Any:
    markup = worded(cell, parse_markup, problems)
    if markup is not None and markup.factor < 1:
        problems.warn(f"the markup {markup.as_written} sells below the cost", cell.location)
    return markup


def _ease(cell: Cell, unit: Unit, problems: Problems) -> Ease | None:
    """Read a share, ``2 %``, or a length, ``1/4 yd``; 0 is the shortest, whatever it takes."""
    if cell.number == 0 or "%" in f"{cell.text}{cell.number_format}" or "percent" in cell.text:
        share = worded(cell, parse_percent, problems)
        return None if share is None else Ease(share=share)
    length = bolt_step(cell, unit, problems, what="ease")
    return None if length is None else Ease(length=length)


def _offcut(cell: Cell, unit: Unit, problems: Problems) -> Any:
    return worded(cell, lambda text: parse_size_pair(text, unit), problems)


_READERS: dict[str, tuple[str, _Reader]] = {
    "Name": ("name", _words),
    "Address": ("address", _words),
    "Phone": ("phone", _words),
    "Email": ("email", _words),
    "Usable width": ("usable_width", partial(measure, what="usable width")),
    "Straighten": ("straighten", partial(measure, what="straightening cut", may_be_zero=True)),
    "Re-square": ("re_square", partial(measure, what="re-squaring cut", may_be_zero=True)),
    "Re-square every": (
        "re_square_every",
        partial(_whole, what="number of strips between re-squaring"),
    ),
    "Layers per cut": ("layers_per_cut", partial(_whole, what="number of layers")),
    "Round yardage up to": (
        "round_yardage_up_to",
        partial(bolt_step, what="step to round yardage up to"),
    ),
    "Ease": ("ease", _ease),
    "Ruler length": ("ruler_length", partial(measure, what="ruler length")),
    "Ruler width": ("ruler_width", partial(measure, what="ruler width")),
    "Markup": ("markup", _markup),
    "Labor per hour": ("labor_per_hour", partial(_sum, what="labor per hour")),
    "Kit fee": ("kit_fee", partial(_sum, what="kit fee")),
    "Label sheet": ("label_sheet", _words),
    "Bag label sheet": ("bag_label_sheet", _words),
    "Piece label sheet": ("piece_label_sheet", _words),
    "Label offset": ("label_offset", partial(_worded, parse=parse_label_offset)),
    "Smallest offcut": ("smallest_offcut", _offcut),
    "Smallest length back": (
        "smallest_length_back",
        partial(bolt_step, what="smallest length back"),
    ),
    "Currency": ("currency", partial(_worded, parse=parse_currency)),
    "Seconds per cut": ("seconds_per_cut", partial(_whole, what="number of seconds")),
    "Seconds per setting": ("seconds_per_setting", partial(_whole, what="number of seconds")),
    "Seconds per pull": ("seconds_per_pull", partial(_whole, what="number of seconds")),
}
"""Label to the field of the shop and the reader of its cell."""


def _check_label_sheet(cell: Cell | None, name: str | None, shop: Shop, problems: Problems) -> None:
    if cell is None or name is None:
        return
    try:
        find_label_sheet(name, shop)
    except UsageError as fault:
        unknown = fault.problems[0]
        problems.refuse(unknown.message, cell.location, unknown.suggestion)


def _check_usable_width(cell: Cell | None, shop: Shop, problems: Problems) -> None:
    """Warn of a usable width that bolts hardly have: every length would be planned on it."""
    most = shop.catalogue.yardage.nominal_across * _WIDER
    if cell is not None and shop.usable_width is not None and shop.usable_width > most:
        said, bolt = (
            say_length(width, shop.unit)
            for width in (shop.usable_width, shop.catalogue.yardage.nominal_across)
        )
        problems.warn(
            f"the usable width {said} counts for every bolt; a bolt is about {bolt} wide",
            cell.location,
            "Type a wide fabric's own width in its row of the Stock sheet.",
        )

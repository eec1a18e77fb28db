"""What stands on the shelf: a SKU's rows of the Stock sheet, and forms cut off a bolt."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from kitmaker.forms import WHOLE_WIDTH_FROM, Form
from kitmaker.lengths import Length
from kitmaker.shop import Shop, StockRow

_BOLT: Length = Fraction(42)
"""Inches across of an ordinary bolt, from selvage to selvage at the least (common practice)."""
_WIDEST_BOLT: Length = Fraction(60)
"""Wider cloth is backing, another thing to buy than a bolt of quilting fabric (common practice)."""


def rows_of(shop: Shop, sku: str) -> tuple[StockRow, ...]:
    """Return the Stock rows of a SKU; none when there is no Stock sheet."""
    key = sku.casefold()
    return tuple(row for row in shop.stock or () if row.sku.casefold() == key)


def is_limited(sku: str, shop: Shop) -> bool:
    """Return whether it is known how much of a SKU is on hand."""
    return shop.stock is not None and (not shop.only_measured or bool(rows_of(shop, sku)))


def usable_form(form: Form, sku: str, shop: Shop) -> Form:
    """Return a form with the usable size that applies to a SKU.

    The width is the measured one, then the Stock row's, then the shop's, then the form's own.
    The shop's usable width is that of a bolt: it holds for cloth off the bolt and for forms as
    wide as fabric, not for narrower ones. A form that the SKU is on the shelf in is as that is.
    """
    if form.mix:
        return replace(form, mix=tuple(usable_form(one, sku, shop) for one in form.mix))
    if WHOLE_WIDTH_FROM <= form.nominal_across <= _WIDEST_BOLT:
        width = usable_width_of(shop, sku) or (None if form.own else shop.usable_width)
        form = form.with_usable_across(width) if width else form
    return _as_measured(form, sku, shop)


def _as_measured(form: Form, sku: str, shop: Shop) -> Form:
    """Return a form of a fixed size as the SKU's own rows have it: the smallest, at their cost."""
    if form.by_length:
        return form
    rows = piles_of(form, sku, shop)
    across = [row.usable_width for row in rows if row.usable_width is not None]
    along = [row.usable_length for row in rows if row.usable_length is not None]
    costs = [row.cost for row in rows if row.cost is not None]
    return replace(
        form,
        cost=max(costs, default=form.cost),
        measured=any(row.measured for row in rows),
        usable_across=min(across, default=form.usable_across),
        usable_along=min(along, default=form.usable_along or Fraction(0)),
    )


def piles_of(form: Form, sku: str, shop: Shop) -> tuple[StockRow, ...]:
    """Return the Stock rows of a SKU that count a form."""
    return tuple(row for row in rows_of(shop, sku) if shop.catalogue.means(row.form, form))


def is_wide(form: Form) -> bool:
    """Return whether a form is wide backing, and no bolt of quilting fabric can be it."""
    return form.nominal_across > _WIDEST_BOLT


def lengths_as(form: Form, sku: str, shop: Shop) -> tuple[StockRow, ...]:
    """Return the lengths of a SKU that a form by length can be: wide backing only where wide."""
    least = _WIDEST_BOLT if is_wide(form) else Fraction(0)
    lengths = [row for row in rows_of(shop, sku) if row.form is None]
    return tuple(row for row in lengths if not least or (row.usable_width or 0) > least)


def usable_width_of(shop: Shop, sku: str) -> Length | None:
    """Return the narrowest usable width the Stock sheet gives for a SKU's lengths."""
    widths = [
        row.usable_width for row in rows_of(shop, sku) if row.usable_width and row.form is None
    ]
    return min(widths) if widths else None


def bolt_width_of(shop: Shop, sku: str) -> Length:
    """Return the usable width that counts for a SKU's bolts."""
    general = shop.usable_width or shop.catalogue.yardage.usable_across
    return usable_width_of(shop, sku) or general


def forms_per_width(form: Form, width: Length) -> int:
    """Return how many of a form lie side by side across a bolt: 2 fat quarters, 8 5-inch squares.

    A form that is half of a bolt's width or all of it by trade custom counts so on a narrower
    bolt too; 0 where the bolt is too narrow.

    The form is cut at its nominal size; the width is the bolt's usable one, in inches.
    """
    by_custom = int(max(_BOLT, width) // form.usable_across)
    return max(int(width // form.nominal_across), min(2, by_custom))


def length_for_forms(form: Form, count: int, width: Length) -> tuple[Length, int]:
    """Return the cuts off a bolt that give a number of forms: (inches each, how many).

    No cut where the form has no length of its own or the bolt is too narrow.
    """
    side_by_side = forms_per_width(form, width)
    if not form.nominal_along or not side_by_side:
        return Fraction(0), 0
    return form.nominal_along, -(-count // side_by_side)

"""Money: what the fabrics cost, what a kit costs and sells for. Exact decimals throughout."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from operator import attrgetter

from kitmaker.forms import Form
from kitmaker.kits.shelf import bolt_width_of, length_for_forms, lengths_as, piles_of
from kitmaker.lengths import Length
from kitmaker.plans import CostLine, sum_known
from kitmaker.shop import ClassSheet, Shop, StockRow


def in_cents(amount: Decimal | Fraction) -> Decimal:
    """Round an amount to cents, half a cent up; exact before it is rounded."""
    exact = Fraction(amount) * 100
    cents = (abs(exact) + Fraction(1, 2)).__floor__()
    return (Decimal(cents) if exact >= 0 else -Decimal(cents)).scaleb(-2)


def times(amount: Decimal, factor: Fraction) -> Decimal:
    """Return an amount times an exact fraction, rounded to cents."""
    return in_cents(Fraction(amount) * factor)


def cost_of_forms(form: Form, count: int, sku: str, shop: Shop) -> Decimal | None:
    """Return what a number of forms costs the shop.

    The SKU's own row of that form says it best, then the form's cost, then the bolt it is
    cut from.
    """
    own = cost_of_one(form, sku, shop)
    if own is not None:
        return in_cents(own * count)
    each, cuts = length_for_forms(form, count, bolt_width_of(shop, sku))
    return cost_of_length(shop.catalogue.yardage, each * cuts, sku, shop) if cuts else None


def cost_of_one(form: Form, sku: str, shop: Shop) -> Decimal | None:
    """Return what one of a form costs by itself, for a length a yard or a meter of it.

    The SKU's own rows say it best (the dearest of several lengths), then the Forms sheet. A
    form that could only be cut off a bolt has no cost of its own: None.
    """
    return _of_one(form, sku, shop, attrgetter("cost"))


def _of_one(
    form: Form, sku: str, shop: Shop, money: Callable[[StockRow | Form], Decimal | None]
) -> Decimal | None:
    rows = lengths_as(form, sku, shop) if form.by_length else piles_of(form, sku, shop)
    known = [amount for row in rows if (amount := money(row)) is not None]
    return max(known) if known and form.by_length else next(iter(known), money(form))


def cost_of_length(form: Form, length: Length, sku: str, shop: Shop) -> Decimal | None:
    """Return what a length costs the shop; None where no cost is known.

    The form is what it is a length of: yardage, wide backing. The length is in inches.
    """
    cost = cost_of_one(form, sku, shop)
    return None if cost is None else times(cost, length / shop.unit.bolt_length)


def price_of(cost: Decimal | None, shop: Shop) -> Decimal | None:
    """Return the price that the shop's markup makes of a cost; None where one is unknown."""
    if cost is None or shop.markup is None:
        return None
    return in_cents(cost * shop.markup.factor)


def shelf_price(
    form: Form, count: int, length: Length | None, sku: str, shop: Shop
) -> Decimal | None:
    """Return what an amount of a fabric sells for on the shelf; None where no price is known.

    Cloth off the bolt has a length, in inches; a fixed form is counted, and its length is None.
    """
    price = _of_one(form, sku, shop, attrgetter("price"))
    if price is None or length is None:
        return None if price is None else in_cents(price * count)
    return times(price, length / shop.unit.bolt_length)


def labor(minutes: Fraction, shop: Shop) -> Decimal | None:
    """Return what the minutes at the cutting table cost; None without a rate."""
    if shop.labor_per_hour is None:
        return None
    return times(shop.labor_per_hour, minutes / 60)


LABOR = "Labor at the cutting table (estimate)"
"""The line of the cost table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricCost:
    """What a fabric of a colorway costs and sells for; None unknown."""

    # which one
    label: str
    colorway: str
    kits: int  # kits of that colorway
    # for all of them, its cost and its shelf price
    cost: Decimal | None
    shelf: Decimal | None
    singly: Decimal | None  # what one kit's cloth of it sells for, bought by itself


def cost_table(
    fabrics: Sequence[FabricCost], class_sheet: ClassSheet, shop: Shop, minutes: Fraction
) -> tuple[CostLine, ...]:
    """Return the cost table: fabrics, extras, labor, and the Total last.

    One kit's money is that of its colorway: a fabric's over the kits that it is for. The
    Total of one kit is the sum of what is shown above it.
    """
    ways = {fabric.colorway: fabric.kits for fabric in fabrics}
    lines = [_line(fabric.label, fabric.cost, {fabric.colorway: fabric.kits}) for fabric in fabrics]
    kits = sum(ways.values())
    for extra in class_sheet.extras:
        cost = None if extra.cost is None else times(extra.cost, extra.count_per_kit * kits)
        lines.append(_line(extra.item, cost, ways))
    work = labor(minutes, shop)
    if work is not None:
        lines.append(_line(LABOR, work, ways))
    one_kit = tuple(
        (way, sum_known([dict(line.one_kit)[way] for line in lines if way in dict(line.one_kit)]))
        for way in ways
    )
    total = sum_known([line.total for line in lines])
    average = None if total is None or not kits else in_cents(Fraction(total) / kits)
    per_kit = one_kit[0][1] if len(one_kit) == 1 else average
    lines.append(CostLine(label="Total", total=total, per_kit=per_kit, one_kit=one_kit))
    return tuple(lines)


def _line(label: str, total: Decimal | None, ways: Mapping[str, int]) -> CostLine:
    """Return a line of money for all kits of some colorways."""
    kits = sum(ways.values())
    each = None if total is None or not kits else in_cents(Fraction(total) / kits)
    one_kit = tuple((way, each) for way in ways)
    return CostLine(label=label, total=total, per_kit=each, one_kit=one_kit)

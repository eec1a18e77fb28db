"""What a kit of each colorway sells for, and what its parts would come to singly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from kitmaker.kits.costs import LABOR, FabricCost, in_cents, times
from kitmaker.plans import CostLine, KitPrice, sum_known
from kitmaker.shop import ClassSheet, Extra, Shop


def kit_prices(
    fabrics: Sequence[FabricCost], lines: Sequence[CostLine], class_sheet: ClassSheet, shop: Shop
) -> tuple[KitPrice, ...]:
    """Return the price of a kit of each colorway.

    With a markup it is on the cost of the fabrics, and of extras that have no price of their
    own; labor, the other extras and the kit fee come on top. Without one the parts sell at
    their shelf prices, and the fee comes on top. Every figure is rounded to cents where it is
    shown, so that the price is the sum of what is shown.
    """
    ways = {fabric.colorway: fabric.kits for fabric in fabrics}
    return tuple(
        _kit_price(
            way,
            kits,
            [fabric for fabric in fabrics if fabric.colorway == way],
            lines,
            class_sheet,
            shop,
        )
        for way, kits in ways.items()
    )


def average_price(prices: Sequence[KitPrice]) -> Decimal | None:
    """Return what a kit sells for: over all kits where colorways differ; None unknown."""
    known = {price.price for price in prices} or {None}  # no fabric could be planned
    if len(known) == 1:
        return known.pop()
    total = sum_known(
        [None if price.price is None else price.price * price.kits for price in prices]
    )
    return (
        None
        if total is None or not prices
        else in_cents(Fraction(total) / sum(price.kits for price in prices))
    )


def _kit_price(
    colorway: str,
    kits: int,
    own: Sequence[FabricCost],
    lines: Sequence[CostLine],
    class_sheet: ClassSheet,
    shop: Shop,
) -> KitPrice:
    priced = [extra for extra in class_sheet.extras if extra.price is not None]
    others = [extra for extra in class_sheet.extras if extra.price is None]
    extras = _sum(times(one.price, one.count_per_kit) for one in priced if one.price is not None)
    fee = shop.kit_fee or Decimal(0)
    work = next((dict(line.one_kit)[colorway] for line in lines if line.label == LABOR), None)
    cost = shelf = price = None
    if shop.markup is None:
        shelf = sum_known([_share(one.shelf, kits) for one in own])
        price = None if shelf is None or others else shelf + extras + fee
    else:
        cost = sum_known([*(_share(one.cost, kits) for one in own), *map(_cost_of, others)])
        if cost is not None:
            marked_up = in_cents(Fraction(cost) * Fraction(shop.markup.factor))
            price = marked_up + (work or Decimal(0)) + extras + fee
    missing = [one.label for one in own if one.singly is None] + [other.item for other in others]
    singly = _sum(one.singly for one in own if one.singly is not None) + extras
    return KitPrice(
        colorway=colorway,
        kits=kits,
        price=price,
        cost=cost,
        labor=None if shop.markup is None else work,
        shelf=shelf,
        extras=extras,
        fee=fee,
        singly=None if missing else singly,
        unpriced=tuple(missing),
    )


def _share(total: Decimal | None, kits: int) -> Decimal | None:
    return None if total is None else in_cents(Fraction(total) / kits)


def _cost_of(extra: Extra) -> Decimal | None:
    return None if extra.cost is None else times(extra.cost, extra.count_per_kit)


def _sum(amounts: Iterator[Decimal] | Sequence[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))

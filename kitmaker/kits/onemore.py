"""What one more costs: a kit, a form, a step of a length; and the margin of a kit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.kits.costs import cost_of_forms, cost_of_length, in_cents
from kitmaker.kits.cut_batches import CutBatch, cost_of, times_kits
from kitmaker.kits.fabrics import Entry, OneKit
from kitmaker.lengths import round_need_up, say_off_the_bolt
from kitmaker.plans import Choice, CostLine, KitPrice, sum_known
from kitmaker.shop import Bag, Shop


def one_more(
    cut: Sequence[CutBatch], costs: Sequence[CostLine], prices: Sequence[KitPrice], shop: Shop
) -> Iterator[Choice]:
    """Yield the margin and what one more of everything costs, as lines for the choices.

    Where a kit costs more in one colorway than in another, each is said. What one more costs
    is what all cost with it, less what they cost without: where forms are cut off a bolt side
    by side, the next may cost nothing. Of cut pieces a kit more costs at most what it takes
    cut by itself, beside what all the others take; then ``at most`` is said.
    """
    yield from _margins(costs, prices, shop)
    by_place = {
        place: (entry, one)
        for one in cut
        for place, entry in zip(one.batch.places, one.batch.entries, strict=True)
    }
    entries = [by_place[place] for place in sorted(by_place)]
    kits = {way: _one_kit_more(cut, way, shop) for way in dict.fromkeys(map(_way_of, entries))}
    if known := {cost for cost in kits.values() if cost}:
        each = [f"{cost} in {way}" for way, cost in kits.items() if cost]
        value = "; ".join(each) if len(known) > 1 else known.pop()
        yield Choice(label="One spare kit more", value=value, source="the fabrics' cost")
    said = (words for entry, one in entries for words in _one_form_more(entry, one, shop))
    if more := list(dict.fromkeys(said)):
        yield Choice(label="One form more", value="; ".join(more), source="the fabrics' cost")


def _way_of(placed: tuple[Entry, CutBatch]) -> str:
    return placed[0].colorway.name


def _margins(costs: Sequence[CostLine], prices: Sequence[KitPrice], shop: Shop) -> Iterator[Choice]:
    """Yield what a kit earns: one line where all colorways cost and sell for the same."""
    each = [(name, cost) for name, cost in (costs[-1].one_kit if costs else ()) if cost is not None]
    sells = {one.colorway: one.price for one in prices}
    differ = len({(cost, sells.get(name)) for name, cost in each}) > 1
    for name, cost in each if differ else each[:1]:
        price = sells.get(name)
        margin = _say_margin(price, cost, shop) if price else ""
        if differ:
            value = f"costs {shop.currency}{cost}{margin and f'; margin {margin}'}"
            source = "its own fabrics, and a kit's share of all else"
            yield Choice(label=f"One kit in {name}", value=value, source=source)
        elif margin:
            yield Choice(label="Margin", value=margin, source="price less cost")


def _say_margin(price: Decimal, cost: Decimal, shop: Shop) -> str:
    margin = price - cost
    share = in_cents(Fraction(margin) / Fraction(price) * 100)
    return f"{shop.currency}{margin} a kit, {share} % of the price"


def _one_kit_more(cut: Sequence[CutBatch], colorway: str, shop: Shop) -> str:
    """Say what the fabrics of a kit more of a colorway cost; "" unknown."""
    costs = []
    is_cut = False
    for one in cut:
        own = [entry for entry in one.batch.entries if entry.colorway.name == colorway]
        if own:
            is_cut = is_cut or own[0].bag is Bag.PIECES
            costs.append(_more_of(one, own, shop))
    total = sum_known(costs)
    return "" if total is None else f"{'at most ' if is_cut else ''}{shop.currency}{total}"


def _more_of(cut: CutBatch, own: Sequence[OneKit], shop: Shop) -> Decimal | None:
    """Return what a batch costs more with a kit more."""
    first, total = own[0], cut.total
    unit = shop.unit_beside(first.basis.unit)
    if first.bag is Bag.UNCUT:
        with_it = times_kits(first, first.kits + 1, unit)
    elif first.form.mix:
        return sum_known([one.amount.cost for one in own])
    elif total.buy_length is None:
        with_it = replace(total, count=total.count + sum(one.amount.count for one in own))
    else:
        lengths = [one.length_with_loss or Fraction(0) for one in (total, *(k.amount for k in own))]
        bought = round_need_up(sum(lengths, Fraction(0)), shop.bolt_step(first.basis.unit))
        with_it = replace(total, buy_length=bought)
    return _difference(cost_of(first, with_it, shop), sum_known(cut.costs))


def _difference(with_it: Decimal | None, without: Decimal | None) -> Decimal | None:
    return None if with_it is None or without is None else with_it - without


def _one_form_more(entry: Entry, cut: CutBatch, shop: Shop) -> Iterator[str]:
    if entry.bag is Bag.PIECES and not entry.pieces:
        return
    name = entry.sku or entry.fabric.role
    for form, count in cut.total.forms_of(entry.form):
        if form.by_length:
            step = shop.bolt_step(entry.basis.unit)
            cost = cost_of_length(form, step, entry.sku, shop)
            what = say_off_the_bolt(step, entry.basis.unit)
        else:
            costs = [cost_of_forms(form, more, entry.sku, shop) for more in (count + 1, count)]
            cost = _difference(*costs)
            what = form.count_phrase(1)
        if cost is not None:
            yield f"{what} of {name} {shop.currency}{cost}"

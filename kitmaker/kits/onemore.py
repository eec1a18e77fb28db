"""What one more costs: a kit, a form, a step of a length; and the margin of a kit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from kitmaker.kits.costs import cost_of_forms, cost_of_length, in_cents
from kitmaker.kits.cut_batches import CutBatch
from kitmaker.kits.fabrics import Entry
from kitmaker.lengths import round_need_up, say_off_the_bolt
from kitmaker.plans import Choice, CostLine, sum_known
from kitmaker.shop import Bag, Shop


def one_more(
    cut: Sequence[CutBatch],
    costs: Sequence[CostLine],
    price: Decimal | None,
    shop: Shop,
    kits: int,
) -> Iterator[Choice]:
    """Yield the margin and what one more of everything costs, as lines for the choices.

    Where a kit costs more in one colorway than in another, each is said.
    A fabric bagged uncut costs one more bag. Of cut pieces a kit more costs at most what it
    takes cut by itself, beside what all the others take; then ``at most`` is said.
    """
    yield from _margins(costs, price, shop, kits)
    by_place = {
        place: entry
        for one in cut
        for place, entry in zip(one.batch.places, one.batch.entries, strict=True)
    }
    entries = [by_place[place] for place in sorted(by_place)]
    first = next((entry.colorway.name for entry in entries), "")
    kit = _one_kit_more(cut, first, shop)
    if kit is not None:
        is_cut = any(one.bag is Bag.PIECES for one in entries if one.colorway.name == first)
        yield Choice(
            label="One spare kit more",
            value=(
                f"{'at most ' if is_cut else ''}{shop.currency}{kit} of fabric"
                f"{f' in {first}' if first else ''}"
            ),
            source="the fabrics' cost",
        )
    more = list(dict.fromkeys(words for entry in entries for words in _one_form_more(entry, shop)))
    if more:
        yield Choice(label="One form more", value="; ".join(more), source="the fabrics' cost")


def _margins(
    costs: Sequence[CostLine],
    price: Decimal | None,
    shop: Shop,
    kits: int,
) -> Iterator[Choice]:
    total = costs[-1].total if costs else None
    if total is None:
        return
    each = {name: cost for name, cost in costs[-1].one_kit if cost is not None}
    differ = len(set(each.values())) > 1
    for name, cost in each.items() if differ else ():
        value = f"costs {shop.currency}{cost}"
        if price:
            value += f"; margin {_say_margin(price, Fraction(cost), shop)}"
        source = "its own fabrics, and a kit's share of all else"
        yield Choice(label=f"One kit in {name}", value=value, source=source)
    if price:
        average = ", on average over the colorways" if differ else ""
        value = f"{_say_margin(price, Fraction(total) / kits, shop)}{average}"
        yield Choice(label="Margin", value=value, source="price less cost")


def _say_margin(price: Decimal, cost: Fraction, shop: Shop) -> str:
    margin = Fraction(price) - cost
    share = in_cents(margin / Fraction(price) * 100)
    return f"{shop.currency}{in_cents(margin)} a kit, {share} % of the price"


def _one_kit_more(cut: Sequence[CutBatch], colorway: str, shop: Shop) -> Decimal | None:
    """Return what a kit more of a colorway costs."""
    costs = [
        _with_a_kit_more(one, own, shop)
        for one in cut
        if (own := [at for at, of in enumerate(one.batch.entries) if of.colorway.name == colorway])
    ]
    total = sum_known(costs)
    return in_cents(total) if total is not None and costs else None


def _with_a_kit_more(cut: CutBatch, own: Sequence[int], shop: Shop) -> Decimal | None:
    first = cut.batch.entries[own[0]]
    cost = sum_known([cut.costs[at] for at in own])
    if cost is None or first.bag is Bag.UNCUT or first.form.mix:
        return None if cost is None else cost / first.kits
    total = cut.total
    kit = [cut.batch.entries[at].amount for at in own]
    if total.buy_length is None:
        count = total.count + sum(amount.count for amount in kit)
        with_it = cost_of_forms(first.form, count, first.sku, shop)
        without = cost_of_forms(first.form, total.count, first.sku, shop)
    else:
        lengths = [amount.length_with_loss or Fraction(0) for amount in (total, *kit)]
        bought = round_need_up(sum(lengths, Fraction(0)), shop.bolt_step(first.basis.unit))
        with_it = cost_of_length(bought, first.sku, shop, first.form)
        without = cost_of_length(total.buy_length, first.sku, shop, first.form)
    return None if with_it is None or without is None else with_it - without


def _one_form_more(entry: Entry, shop: Shop) -> Iterator[str]:
    if entry.bag is Bag.PIECES and not entry.pieces:
        return
    name = entry.sku or entry.fabric.role
    for form in entry.form.mix or (entry.form,):
        if form.by_length:
            step = shop.bolt_step(entry.basis.unit)
            cost = cost_of_length(step, entry.sku, shop, entry.form)
            what = say_off_the_bolt(step, entry.basis.unit)
        else:
            cost = cost_of_forms(form, 1, entry.sku, shop)
            what = form.count_phrase(1)
        if cost is not None:
            yield f"{what} of {name} {shop.currency}{cost}"

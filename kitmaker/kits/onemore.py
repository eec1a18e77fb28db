"""What one more costs: a kit, a form, a step of a length; and the margin of a kit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from kitmaker.kits.costs import cost_of_forms, cost_of_length, in_cents
from kitmaker.kits.fabrics import Entry
from kitmaker.lengths import say_off_the_bolt
from kitmaker.plan import Choice, CostLine
from kitmaker.shop import Bag, Shop


def one_more(
    entries: Sequence[Entry],
    costs: Sequence[CostLine],
    price: Decimal | None,
    shop: Shop,
    kits: int,
) -> Iterator[Choice]:
    """Yield the margin and what one more of everything costs, as lines for the choices.

    A fabric bagged uncut costs one more bag; of cut pieces one kit more is taken at what
    one kit of all costs, an estimate.
    """
    total = costs[-1].total if costs else None
    if price is not None and total is not None and price > 0:
        cost = total / kits
        share = in_cents((price - cost) / price * 100)
        value = f"{shop.currency}{in_cents(price - cost)} a kit, {share} % of the price"
        yield Choice(label="Margin", value=value, source="price less cost")
    first = next((entry.colorway.name for entry in entries), "")
    own = [entry for entry in entries if entry.colorway.name == first]
    kit = _one_kit_more(own)
    if kit is not None:
        yield Choice(
            label="One spare kit more",
            value=f"{shop.currency}{kit} of fabric{f' in {first}' if first else ''}",
            source="the fabrics' cost",
        )
    more = list(dict.fromkeys(words for entry in entries if (words := _one_form_more(entry, shop))))
    if more:
        yield Choice(label="One form more", value="; ".join(more), source="the fabrics' cost")


def _one_kit_more(entries: Sequence[Entry]) -> Decimal | None:
    total = Decimal(0)
    for entry in entries:
        if entry.cost is None or not entry.kits:
            return None
        total += entry.cost / entry.kits
    return in_cents(total) if entries else None


def _one_form_more(entry: Entry, shop: Shop) -> str:
    if entry.form.by_length:
        step = shop.bolt_step(entry.basis.unit)
        cost = cost_of_length(step, entry.sku, shop)
        what = say_off_the_bolt(step, entry.basis.unit)
    else:
        cost = cost_of_forms(entry.form, 1, entry.sku, shop)
        what = entry.form.count_phrase(1)
    if cost is None or (entry.bag is Bag.PIECES and not entry.pieces):
        return ""
    name = f" of {entry.sku}" if entry.sku else f" of {entry.fabric.role}"
    return f"{what}{name} {shop.currency}{cost}"

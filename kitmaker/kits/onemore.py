"""What one more costs: a kit, a form, a step of a length; and the margin of a kit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.kits.costs import cost_of_forms, cost_of_length, in_cents, labor, times
from kitmaker.kits.cut_batches import CutBatch, minutes_of
from kitmaker.kits.fabrics import OneKit
from kitmaker.lengths import Length, say_off_the_bolt
from kitmaker.plans import Choice, CostLine, KitPrice, sum_known
from kitmaker.shop import Bag, ClassSheet, Shop


def one_more(
    cut: Sequence[CutBatch],
    with_a_kit: Mapping[str, Sequence[CutBatch]],
    class_sheet: ClassSheet,
    shop: Shop,
) -> Iterator[Choice]:
    """Yield what one more of everything costs, as lines for the choices.

    What one more costs is what all cost with it, less what they cost without: where forms are
    cut off a bolt side by side, the next may cost nothing. Where a kit more costs more in one
    colorway than in another, each is said.

    Args:
        cut: All that is in the kits.
        with_a_kit: The same with a kit more of a colorway, by its name.
        class_sheet: Its extras.
        shop: Its costs.
    """
    kits = {way: _one_kit_more(cut, more, class_sheet, shop) for way, more in with_a_kit.items()}
    if kits:
        same = len(set(kits.values())) == 1
        each = [cost if same else f"{cost} in {way}" for way, cost in kits.items()]
        source = "what all kits cost with it, less what they cost without"
        yield Choice(
            label="One spare kit more", value="; ".join(dict.fromkeys(each)), source=source
        )
    if more := list(_one_form_more(cut, shop)):
        yield Choice(label="One form more", value="; ".join(more), source="the fabrics' cost")


def say_margins(
    costs: Sequence[CostLine], prices: Sequence[KitPrice], shop: Shop
) -> Iterator[Choice]:
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


def _one_kit_more(
    without: Sequence[CutBatch], with_it: Sequence[CutBatch], class_sheet: ClassSheet, shop: Shop
) -> str:
    """Say what a kit more costs, and what is counted."""
    shared = {id(one) for one in without} & {id(one) for one in with_it}
    kits = sum(
        {entry.colorway.name: entry.kits for cut in without for entry in cut.batch.entries}.values()
    )

    def cloth(cut: Sequence[CutBatch]) -> Decimal | None:
        return sum_known([cost for one in cut if id(one) not in shared for cost in one.costs])

    def extras(kits: int) -> Decimal | None:
        return sum_known(
            [
                None if extra.cost is None else times(extra.cost, extra.count_per_kit * kits)
                for extra in class_sheet.extras
            ]
        )

    found = {"cloth": _difference(cloth(with_it), cloth(without))}
    if class_sheet.extras:
        found["extras"] = _difference(extras(kits + 1), extras(kits))
    if shop.labor_per_hour is not None:
        minutes = [labor(minutes_of(cut, shop), shop) for cut in (with_it, without)]
        found["labor"] = _difference(*minutes)
    known = {name: cost for name, cost in found.items() if cost is not None}
    said = [f"{name} {_say(cost, shop)}" for name, cost in known.items()]
    said += [f"{name} not known" for name in found if name not in known]
    return f"{_say(sum(known.values(), Decimal(0)), shop)} ({', '.join(said)})"


def _say(cost: Decimal, shop: Shop) -> str:
    """Say what is paid more, or less: of more kits, more can be cut at a time."""
    return f"{'−' if cost < 0 else ''}{shop.currency}{abs(cost)}"


def _difference(with_it: Decimal | None, without: Decimal | None) -> Decimal | None:
    return None if with_it is None or without is None else with_it - without


def _one_form_more(cut: Sequence[CutBatch], shop: Shop) -> Iterator[str]:
    """Say of each SKU, form by form, what one more of it costs beside all that is taken."""
    taken: dict[tuple[str, str], tuple[OneKit, Form, int, Length]] = {}
    for one in sorted(cut, key=lambda one: one.batch.places):
        first = one.batch.entries[0]
        if first.bag is Bag.PIECES and not first.pieces:
            continue
        for form, count in one.total.forms_of(first.form):
            key = (first.sku.casefold() or first.label, form.form_id)
            entry, _, before, inches = taken.get(key, (first, form, 0, Fraction(0)))
            inches += one.total.buy_length or 0
            taken[key] = (entry, form, before + count, inches)
    for entry, form, count, inches in taken.values():
        if form.by_length:
            step = shop.bolt_step(entry.basis.unit)
            costs = [cost_of_length(form, one, entry.sku, shop) for one in (inches + step, inches)]
            what = say_off_the_bolt(step, entry.basis.unit)
        else:
            costs = [cost_of_forms(form, one, entry.sku, shop) for one in (count + 1, count)]
            what = form.count_phrase(1)
        cost = _difference(*costs)
        if cost is not None:
            yield f"{what} of {entry.sku or entry.fabric.role} {_say(cost, shop)}"

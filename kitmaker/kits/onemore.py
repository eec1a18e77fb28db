"""What one more costs: a kit, a form, a step of a length; and the margin of a kit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from kitmaker.kits.costs import cost_of_forms, cost_of_length, in_cents
from kitmaker.kits.fabrics import Entry
from kitmaker.lengths import round_need_up, say_off_the_bolt
from kitmaker.plans import Choice, CostLine
from kitmaker.shop import Bag, Shop


def one_more(
    entries: Sequence[Entry],
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
    first = next((entry.colorway.name for entry in entries), "")
    own = [entry for entry in entries if entry.colorway.name == first]
    kit = _one_kit_more(own, shop)
    if kit is not None:
        most = "at most " if any(entry.bag is Bag.PIECES for entry in own) else ""
        yield Choice(
            label="One spare kit more",
            value=f"{most}{shop.currency}{kit} of fabric{f' in {first}' if first else ''}",
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


def _one_kit_more(entries: Sequence[Entry], shop: Shop) -> Decimal | None:
    """Return what a kit more costs; entries cut in one job stand together."""
    jobs: dict[object, list[Entry]] = {}
    for at, entry in enumerate(entries):
        together = entry.bag is Bag.PIECES and entry.job is not None
        jobs.setdefault(id(entry.job) if together else -at, []).append(entry)
    total = Decimal(0)
    for job in jobs.values():
        cost = _job_with_a_kit_more(job, shop)
        if cost is None:
            return None
        total += cost
    return in_cents(total) if entries else None


def _job_with_a_kit_more(job: Sequence[Entry], shop: Shop) -> Decimal | None:
    first = job[0]
    amounts = [entry.per_kit.amount for entry in job if entry.per_kit is not None]
    kit = [amount for amount in amounts if amount is not None]
    if first.total is None or len(kit) < len(job) or not first.kits or first.cost is None:
        return None
    if first.bag is Bag.UNCUT or first.form.mix:
        return sum((entry.cost or Decimal(0) for entry in job), Decimal(0)) / first.kits
    if first.total.buy_length is None:
        count = first.total.count + sum(amount.count for amount in kit)
        with_it = cost_of_forms(first.form, count, first.sku, shop)
        without = cost_of_forms(first.form, first.total.count, first.sku, shop)
    else:
        lengths = [amount.length_with_loss or Fraction(0) for amount in (first.total, *kit)]
        bought = round_need_up(sum(lengths, Fraction(0)), shop.bolt_step(first.basis.unit))
        with_it = cost_of_length(bought, first.sku, shop)
        without = cost_of_length(first.total.buy_length, first.sku, shop)
    return None if with_it is None or without is None else with_it - without


def _one_form_more(entry: Entry, shop: Shop) -> Iterator[str]:
    if entry.bag is Bag.PIECES and not entry.pieces:
        return
    name = entry.sku or entry.fabric.role
    for form in entry.form.mix or (entry.form,):
        if form.by_length:
            step = shop.bolt_step(entry.basis.unit)
            cost = cost_of_length(step, entry.sku, shop)
            what = say_off_the_bolt(step, entry.basis.unit)
        else:
            cost = cost_of_forms(form, 1, entry.sku, shop)
            what = form.count_phrase(1)
        if cost is not None:
            yield f"{what} of {name} {shop.currency}{cost}"

"""What to order for a season: what all classes are short of, in what the shop orders it in.

A SKU is ordered as the Stock sheet counts it: in lengths, or in pieces of a form. A form that is
cut off a bolt in the shop is ordered as the length that it is cut from. What is short adds up
over the classes and is rounded up once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.kits.costs import cost_of_one, times
from kitmaker.kits.shelf import bolt_width_of, length_for_forms, piles_of, rows_of
from kitmaker.lengths import Length, round_need_up
from kitmaker.seasons import OrderLine, SeasonClass, Short, key_of
from kitmaker.shop import Shop
from kitmaker.table.cloths import loss_of


def order_lines(classes: Sequence[SeasonClass], shop: Shop) -> Iterator[OrderLine]:
    """Yield what to order, in the order in which it is needed.

    The shop's shelf is as it was before the season.
    """
    found: dict[tuple[str, str], tuple[Form | None, list[tuple[int, Short]]]] = {}
    for number, one in enumerate(classes, start=1):
        for short in one.short:
            form = ordered_as(short, shop)
            found.setdefault(key_of(short.sku, form), (form, []))[1].append((number, short))
    for form, by_class in found.values():
        yield _line(form, by_class, classes, shop)


def ordered_as(short: Short, shop: Shop) -> Form | None:
    """Return the form in which a SKU is ordered that a class is short of; None for a length."""
    form = short.form
    if form is None or piles_of(form, short.sku, shop):
        return form
    has_bolts = any(row.form is None for row in rows_of(shop, short.sku))
    _, cuts = length_for_forms(form, 1, bolt_width_of(shop, short.sku))
    return None if has_bolts and cuts else form


def _line(
    form: Form | None,
    by_class: Sequence[tuple[int, Short]],
    classes: Sequence[SeasonClass],
    shop: Shop,
) -> OrderLine:
    number, first = by_class[0]
    sku = first.sku
    own = key_of(sku, form)
    total = sum((short.amount for _, short in by_class if short.key == own), Fraction(0))
    cut: dict[str, tuple[Form, int]] = {}
    for _, short in by_class:
        if short.form is not None and short.key != own:
            _, before = cut.get(short.form.form_id, (short.form, 0))
            cut[short.form.form_id] = (short.form, before + int(short.amount))
    total += sum((_off_a_bolt(one, count, sku, shop) for one, count in cut.values()), Fraction(0))
    stated = _order_in(form, sku, shop)
    step = stated or (Fraction(1) if form else shop.unit.bolt_length / 2)
    order = round_need_up(total, step)
    one = cost_of_one(form or shop.catalogue.yardage, sku, shop)
    return OrderLine(
        sku=sku,
        print_name=first.print_name,
        form=form,
        short=total,
        cut_into=tuple(cut.values()),
        step=step,
        is_assumed=stated is None,
        order=order,
        cost_of_one=one,
        cost=None if one is None else times(one, order / (1 if form else shop.unit.bolt_length)),
        first_needed=classes[number - 1].day,
        by_class=tuple(by_class),
    )


def _off_a_bolt(form: Form, count: int, sku: str, shop: Shop) -> Length:
    """Return the length that gives a number of forms; one that counts in full pays its loss."""
    each, cuts = length_for_forms(form, count, bolt_width_of(shop, sku))
    loss = loss_of(shop).on(cuts) if form.usable_along == form.nominal_along else Fraction(0)
    return each * cuts + loss


def _order_in(form: Form | None, sku: str, shop: Shop) -> Fraction | None:
    rows = [row for row in rows_of(shop, sku) if row.form is None]
    if form is not None:
        rows = list(piles_of(form, sku, shop))
    return next((row.order_in for row in rows if row.order_in is not None), None)

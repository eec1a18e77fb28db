"""``--form cheapest``: for each fabric the form that costs the shop least, of those it has.

Looked at are forms with a cost of their own (the SKU's row, else the Forms sheet), each planned
by itself for these kits and this bag. Where there is a Stock sheet, those that the shelf has
enough of, or can be cut off its bolts, come first. What cannot be cheaper by area alone is not
worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from kitmaker.errors import CannotBeMetError, Problem, UsageError, error
from kitmaker.forms import Form
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.costs import cost_of_one, in_cents
from kitmaker.kits.demands import FormDemands
from kitmaker.kits.fabrics import Entry, Progress, entries_in
from kitmaker.kits.kit import cost_alone
from kitmaker.kits.mixes import demands_of
from kitmaker.kits.shelf import is_limited, is_wide, lengths_as
from kitmaker.pattern import Pattern
from kitmaker.plans import Choice
from kitmaker.shop import Bag, Shop


@dataclass(frozen=True, slots=True)
class _Tried:
    """A form that the pieces fit: what it costs for all kits, and whether the shelf lasts."""

    form: Form
    cost: Decimal
    lasts: bool


def take_cheapest(pattern: Pattern, shop: Shop, resolved: Resolved, progress: Progress) -> Resolved:
    """Return the choices with a form for each fabric whose cheapest was asked for.

    Raises:
        UsageError: No form has a cost to choose by.
        CannotBeMetError: The pieces fit no form that has one.
    """
    fabrics: list[FabricInKit] = []
    choices = list(resolved.choices)
    without_cost: list[Problem] = []
    unfit: list[Problem] = []
    for chosen in resolved.fabrics:
        if not chosen.cheapest:
            fabrics.append(chosen)
            continue
        role = chosen.fabric.role
        progress(f"looking for the cheapest form for {role}")
        costed = [
            form for form in shop.catalogue if _is_costed(pattern, shop, resolved, chosen, form)
        ]
        tried = _try(pattern, shop, resolved, chosen, costed, progress)
        if not costed:
            without_cost.append(_no_cost(role))
        elif not tried:
            unfit.append(_no_form(chosen, costed))
        else:
            best = min(tried, key=_order)
            fabrics.append(replace(chosen, form=best.form, cheapest=False))
            at = next(at for at, choice in enumerate(choices) if choice.label == role)
            choices[at] = _say(choices[at], chosen, best, tried, len(costed), shop)
    if without_cost:
        raise UsageError([*without_cost, *unfit])
    if unfit:
        raise CannotBeMetError(unfit)
    return replace(resolved, fabrics=tuple(fabrics), choices=tuple(choices))


def _order(tried: _Tried) -> tuple[bool, Decimal]:
    return not tried.lasts, tried.cost


def _is_costed(
    pattern: Pattern, shop: Shop, resolved: Resolved, chosen: FabricInKit, form: Form
) -> bool:
    """Whether a form has a cost of its own in every colorway."""
    entries = entries_in(pattern, shop, resolved, chosen, form)
    return all(cost_of_one(entry.form, entry.sku, shop) is not None for entry in entries)


def _try(
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
    chosen: FabricInKit,
    forms: Sequence[Form],
    progress: Progress,
) -> list[_Tried]:
    """Plan a fabric in each form that may be the cheapest, those with the least area first."""
    least: list[tuple[Fraction, Form]] = []
    entries_for: dict[str, list[Entry]] = {}
    for form in forms:
        entries = entries_for[form.form_id] = entries_in(pattern, shop, resolved, chosen, form)
        if all(not _asked(entry).why for entry in entries):
            by_area = sum((_least_cost(entry, shop) for entry in entries), Fraction(0))
            least.append((by_area, form))
    tried: list[_Tried] = []
    for at_least, form in sorted(least, key=lambda one: one[0]):
        lasting = [form.cost for form in tried if form.lasts]
        if lasting and at_least >= Fraction(min(lasting)):
            break
        found = cost_alone(pattern, shop, resolved, replace(chosen, form=form), progress)
        if found is not None:
            cost, lasts = found
            tried.append(_Tried(form, cost, lasts and _is_there(entries_for[form.form_id], shop)))
    return tried


def _is_there(entries: Sequence[Entry], shop: Shop) -> bool:
    """Whether no narrow bolt is taken for wide backing."""
    wide = [entry for entry in entries if is_wide(entry.form) and is_limited(entry.sku, shop)]
    return all(lengths_as(entry.form, entry.sku, shop) for entry in wide)


def _asked(entry: Entry) -> FormDemands:
    return demands_of(entry.pieces, entry.form, entry.basis)


def _least_cost(entry: Entry, shop: Shop) -> Fraction:
    """Return what a fabric costs at least in a form, by the area of its pieces alone.

    Uncut bags are whole forms or whole steps of a length each.
    """
    form, cost = entry.form, Fraction(cost_of_one(entry.form, entry.sku, shop) or 0)
    area = sum(
        (demand.across * demand.along * demand.count for demand in _asked(entry).demands),
        Fraction(0),
    )
    if form.usable_along is not None:
        taken, step = area / (form.usable_across * form.usable_along), Fraction(1)
    else:
        taken = area / form.usable_across / shop.unit.bolt_length
        step = shop.bolt_step(entry.basis.unit) / shop.unit.bolt_length
    return cost * entry.kits * (ceil(taken / step) * step if entry.bag is Bag.UNCUT else taken)


def _say(
    choice: Choice,
    chosen: FabricInKit,
    best: _Tried,
    tried: Sequence[_Tried],
    costed: int,
    shop: Shop,
) -> Choice:
    """Say which form was chosen and why."""

    def money(cost: Decimal) -> str:
        return f"{shop.currency}{in_cents(cost)}"

    others = sorted((other for other in tried if other is not best and other.lasts), key=_order)
    short = [other for other in tried if not other.lasts and other.cost < best.cost]
    of = "the only form with a cost" if costed == 1 else f"the least of {costed} with a cost"
    why = [f"{money(best.cost)} for all kits, {of}"]
    if not best.lasts:
        why.append("the shelf has enough of none")
    elif others:
        why.append(f"next {others[0].form.name}, {money(others[0].cost)}")
    if short and best.lasts:
        names = ", ".join(f"{other.form.name}, {money(other.cost)}" for other in short)
        why.append(f"not enough on the shelf: {names}")
    asked, comma, more = choice.source.partition(", ")
    source = f"{asked} ({'; '.join(why)}){comma}{more}"
    return replace(choice, value=f"{best.form.name}, {chosen.bag.value}", source=source)


def _no_cost(role: str) -> Problem:
    return error(
        f"no form of {role} has a cost, so none is the cheapest",
        None,
        f"Give costs in the shop's Forms or Stock sheet, or name the form: --form '{role}=…'.",
    )


def _no_form(chosen: FabricInKit, costed: Sequence[Form]) -> Problem:
    role = chosen.fabric.role
    names = ", ".join(form.name for form in costed)
    return error(
        f"{role}: its pieces fit no form that has a cost ({names})",
        chosen.fabric.where,
        f"Give the costs of more forms, or name the form: --form '{role}=…'.",
    )

"""What a plan changes against the one that its folder holds already."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TypeAlias

from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, say_off_the_bolt
from kitmaker.paper.record import RecordError, read_record
from kitmaker.paper.sheets.jobs import is_first_of_its_cut
from kitmaker.paper.sheets.saying import count_of, say_money
from kitmaker.paper.stamp import files_of
from kitmaker.plans import KitPlan

_Bought: TypeAlias = tuple[Length, Counter[Form]]


def with_changes(plan: KitPlan, marker: Path) -> KitPlan:
    """Return a plan that says what it changes against the last one, if that can be read at all."""
    try:
        data = json.loads(marker.read_bytes())
        last = read_record(data["record"]) if files_of(data) is not None else None
    except (OSError, RecursionError, ArithmeticError, LookupError, ValueError, RecordError):
        return plan
    if last is None:
        return plan
    if last.number == plan.number:  # the same once more: what it changed stands
        return replace(plan, changes=last.changes)
    return replace(plan, changes=tuple(say_changes(last, plan)))


def say_changes(last: KitPlan, plan: KitPlan) -> Iterator[str]:
    """Yield what is not as in the last plan, the kits first: ``Moss 1½ yd more``."""
    if last.pattern.size != plan.pattern.size:
        yield f"size {last.pattern.size or 'not named'} → {plan.pattern.size or 'not named'}"
    if last.all_kits != plan.all_kits:
        yield f"{last.all_kits} → {count_of(plan.all_kits, 'kit')}"
    kits = {colorway.name: colorway.kits or 0 for colorway in plan.colorways if colorway.name}
    for colorway in last.colorways:
        if colorway.name and kits.get(colorway.name, 0) != colorway.kits:
            yield f"{colorway.name} {colorway.kits} → {kits.get(colorway.name, 0)}"
    was, now = _bought(last), _bought(plan)
    for name in dict.fromkeys((*was, *now)):
        if text := _say_difference(was.get(name), now.get(name), plan.pattern.unit):
            yield f"{name} {text}"
    if last.price_per_kit != plan.price_per_kit and plan.price_per_kit is not None:
        before = say_money(last.price_per_kit, last.shop.currency)
        yield f"a kit sells for {say_money(plan.price_per_kit, plan.shop.currency)}, not {before}"


def _bought(plan: KitPlan) -> dict[str, _Bought]:
    """Return what is bought or pulled of each fabric: inches, and how many of which form."""
    roles: dict[str, list[str]] = {}
    for fabric in plan.fabrics:
        roles.setdefault(fabric.sku.casefold() or fabric.name, []).append(fabric.name)
    skus = {fabric.role: set[str]() for fabric in plan.fabrics}
    for fabric in plan.fabrics:
        skus[fabric.role].add(fabric.sku)
    bought: dict[str, _Bought] = {}
    for fabric in plan.fabrics:
        if not is_first_of_its_cut(plan, fabric):
            continue
        name = " and ".join(dict.fromkeys(roles[fabric.sku.casefold() or fabric.name]))
        if len(skus[fabric.role]) > 1:
            name = f"{name} ({fabric.sku or fabric.colorway})"
        length, forms = bought.setdefault(name, (Fraction(0), Counter()))
        if fabric.total.buy_length is not None:
            length += fabric.total.buy_length
        else:
            forms.update(dict(fabric.total.forms_of(replace(fabric.form, cost=None, price=None))))
        bought[name] = (length, forms)
    return bought


def _say_difference(was: _Bought | None, now: _Bought | None, unit: Unit) -> str:
    if was is None or now is None:
        return "is new" if was is None else "is left out"
    parts = []
    if more := now[0] - was[0]:
        parts.append(f"{say_off_the_bolt(abs(more), unit)} {'more' if more > 0 else 'less'}")
    forms = {form: now[1][form] - was[1][form] for form in (*was[1], *now[1])}
    parts += [
        f"{form.count_phrase(abs(count))} {'more' if count > 0 else 'fewer'}"
        for form, count in forms.items()
        if count
    ]
    return ", ".join(parts)

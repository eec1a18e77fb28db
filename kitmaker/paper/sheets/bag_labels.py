"""Bag labels: one for each kit, in the kits' order over all colorways."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from kitmaker.errors import Problem
from kitmaker.paper.labels import Line
from kitmaker.paper.sheets.contents import BagLine, bag_lines, say_left_out
from kitmaker.paper.sheets.label_pages import LabelPageView, Wanted, view_label_page
from kitmaker.paper.sheets.page import PageRef, number_kits, say_colorway, say_pattern
from kitmaker.paper.sheets.saying import printable, say_money
from kitmaker.plan import KitPlan


def view_bag_labels(plan: KitPlan, page: PageRef) -> tuple[LabelPageView, tuple[Problem, ...]]:
    """Return the page of bag labels, and an error for each that does not fit."""
    wanted: list[Wanted] = []
    for colorway, kits in number_kits(plan):
        contents = bag_lines(plan, colorway.name)
        wanted += [_label(plan, colorway.name, kit, contents) for kit in kits]
    return view_label_page(plan, page, plan.bag_labels, wanted)


def _label(plan: KitPlan, colorway: str, kit: int, contents: tuple[BagLine, ...]) -> Wanted:
    name = f"Kit {kit} of {plan.all_kits}"
    head = [Line(say_pattern(plan), Fraction(125, 100), bold=True)]
    if plan.not_complete:
        head.append(Line("NOT COMPLETE – some lines of the pattern were left out", bold=True))
    which = " · ".join(part for part in (name, say_colorway(colorway)) if part)
    head.append(Line(which, bold=True))
    shop = " · ".join(part for part in (plan.shop.name, plan.shop.phone) if part)
    foot = [
        Line(f"Not included: {'; '.join(say_left_out(plan))}" if say_left_out(plan) else ""),
        Line(_class_and_price(plan)),
        Line("Name", to_write_on=True),
        Line(" · ".join(part for part in (shop, f"plan {plan.number}") if part)),
    ]
    short = [Line(_say(line)) for line in contents]
    full = [Line(_say_fully(line)) for line in contents]
    return Wanted(
        name,
        tuple(_printable([*head, *short, *foot])),
        tuple(_printable([*head, *full, *foot])),
    )


def _printable(lines: list[Line]) -> Iterable[Line]:
    for line in lines:
        if line.text:
            yield replace(line, text=printable(line.text))


def _say(line: BagLine) -> str:
    sku = f" ({line.sku})" if line.sku else ""
    return f"{line.what}{sku}: {line.amount}"


def _say_fully(line: BagLine) -> str:
    return f"{_say(line)} – {', '.join(line.net_pieces)}" if line.net_pieces else _say(line)


def _class_and_price(plan: KitPlan) -> str:
    parts = []
    if plan.class_sheet.date:
        parts.append(f"Class {plan.class_sheet.date}")
    if plan.price_per_kit is not None:
        parts.append(say_money(plan.price_per_kit, plan.shop.currency))
    return " · ".join(parts)

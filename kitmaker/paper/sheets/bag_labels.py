"""Bag labels: one for each kit, in the kits' order over all colorways.

A label says everything in type that is easy to read where there is room. Where there is
not, it first drops the list of cut pieces, then runs the contents together, then sets them
in smaller type, and last drops their measures, which the index says. Every wording says what
a bag must say.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from kitmaker.errors import Problem
from kitmaker.paper.sheets.contents import BagLine, bag_lines, say_left_out
from kitmaker.paper.sheets.kit_numbers import number_kits
from kitmaker.paper.sheets.label_pages import (
    READABLE,
    LabelPageView,
    Wanted,
    Wording,
    view_label_page,
)
from kitmaker.paper.sheets.page import PageRef, say_colorway, say_pattern
from kitmaker.paper.sheets.saying import printable, say_date, say_money
from kitmaker.paper.sheets.settings_used import NOT_COMPLETE
from kitmaker.paper.typesetting import SMALLEST_TYPE, Line
from kitmaker.plans import KitPlan


def view_bag_labels(plan: KitPlan, page: PageRef) -> tuple[LabelPageView, tuple[Problem, ...]]:
    """Return the page of bag labels, and an error for each that does not fit."""
    wanted: list[Wanted] = []
    for colorway, kits in number_kits(plan):
        contents = bag_lines(plan, colorway.name)
        wanted += [_label(plan, colorway.name, kit, contents) for kit in kits]
    return view_label_page(plan, page, plan.bag_labels, wanted)


def _label(plan: KitPlan, colorway: str, kit: int, contents: tuple[BagLine, ...]) -> Wanted:
    name = f"Kit {kit} of {plan.class_kits}"
    which = " · ".join(part for part in (name, say_colorway(colorway)) if part)
    pattern = plan.pattern
    title = ", ".join(part for part in (pattern.name, pattern.size) if part)
    head = [Line(which, Fraction(140, 100), bold=True), Line(say_pattern(plan.pattern), bold=True)]
    level = [Line(which, bold=True), Line(say_pattern(plan.pattern), bold=True)]
    tight = [Line(f"{which} · {title}", bold=True)]
    if plan.not_complete:
        said = Line(f"{NOT_COMPLETE} – some lines of the pattern were left out", bold=True)
        head, level, tight = [said, *head], [said, *level], [said, *tight]
    left_out = "; ".join(say_left_out(plan))
    missing = [f"Not included: {left_out}"] if left_out else []
    foot = [Line(said) for said in missing]
    sold = _class_and_price(plan, colorway)
    shop = " · ".join(part for part in (plan.shop.name, plan.shop.phone) if part)
    number = f"plan {plan.number}"
    roomy = [*foot, Line(sold), _NAME, Line(" · ".join(one for one in (shop, number) if one))]
    close = [
        *foot,
        Line(" · ".join(one for one in (sold, number, "Name") if one), to_write_on=True),
    ]
    brief = [Line(" · ".join(one for one in (*missing, sold, "Name") if one), to_write_on=True)]
    run_on = Line(_run_together(contents, measured=True))
    shortest = Line(_run_together(contents, measured=False))
    measured = ([*level, run_on, *roomy], [*tight, run_on, *close])
    return Wanted(
        name,
        (
            _wording([*head, *(Line(_say_fully(line)) for line in contents), *roomy], READABLE),
            _wording([*head, *(Line(_say(line)) for line in contents), *roomy], READABLE),
            *(_wording(lines, READABLE) for lines in measured),
            *(_wording(lines) for lines in measured),
            _wording([*tight, shortest, *brief], lacks=_MEASURES),
        ),
    )


_MEASURE = re.compile(r" (?=×)|(?<=×) |(?<=[\d½¼¾⅛⅜⅝⅞]) (?=(?:in|cm|m|yd)\b)")
_NAME = Line("Name", to_write_on=True)
_MEASURES = "the measures of what is in the bag, in inches and metric"


def _wording(lines: Iterable[Line], smallest: Fraction = SMALLEST_TYPE, lacks: str = "") -> Wording:
    told = tuple(replace(line, text=printable(line.text)) for line in lines if line.text)
    return Wording(told, smallest, lacks)


def _say(line: BagLine) -> str:
    return f"{_name(line)}: {line.amount}"


def _say_fully(line: BagLine) -> str:
    return f"{_say(line)} – {', '.join(line.net_pieces)}" if line.net_pieces else _say(line)


def _name(line: BagLine) -> str:
    return f"{line.what} ({line.sku})" if line.sku else line.what


def _run_together(contents: Iterable[BagLine], *, measured: bool) -> str:
    """Say the contents in one paragraph; what comes in the same amount is said together."""
    by_amount: dict[str, list[str]] = {}
    for line in contents:
        amount = _MEASURE.sub("\u00a0", line.amount if measured else line.brief)
        by_amount.setdefault(amount, []).append(_name(line))
    said = []
    for amount, names in by_amount.items():
        if amount == "1":
            said += names
        elif len(names) == 1:
            said.append(f"{names[0]}: {amount}")
        else:
            said.append(f"{', '.join(names)}: each {amount}")
    return "; ".join(said)


def _class_and_price(plan: KitPlan, colorway: str) -> str:
    parts = []
    if plan.class_sheet.date:
        parts.append(f"Class {say_date(plan.class_sheet.date)}")
    price = plan.price_of(colorway)
    if price is not None:
        parts.append(say_money(price, plan.shop.currency))
    return " · ".join(parts)

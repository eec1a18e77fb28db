"""Piece labels: one for each kind of piece in each kit, and one on each uncut form."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from kitmaker.errors import Problem
from kitmaker.paper.sheets.contents import own_pieces
from kitmaker.paper.sheets.label_pages import LabelPageView, Wanted, Wording, view_label_page
from kitmaker.paper.sheets.page import PageRef, number_kits
from kitmaker.paper.sheets.saying import (
    count_of,
    printable,
    say_later,
    say_net_form,
    say_piece_size,
)
from kitmaker.paper.typesetting import Line
from kitmaker.plan import FabricPlan, KitPlan, NeededPiece
from kitmaker.shop import Bag


def view_piece_labels(plan: KitPlan, page: PageRef) -> tuple[LabelPageView, tuple[Problem, ...]]:
    """Return the page of piece labels, kit by kit, and an error for each that does not fit."""
    wanted: list[Wanted] = []
    for colorway, kits in number_kits(plan):
        fabrics = [fabric for fabric in plan.fabrics if fabric.colorway == colorway.name]
        for kit in kits:
            for fabric in fabrics:
                wanted += _labels(plan, fabric, kit)
    return view_label_page(plan, page, plan.piece_labels, wanted)


def _labels(plan: KitPlan, fabric: FabricPlan, kit: int) -> Iterable[Wanted]:
    unit = plan.pattern.unit
    if fabric.bag is Bag.PIECES:
        for needed in own_pieces(fabric):
            size = say_piece_size(needed, unit)
            yield _wanted(plan, fabric, kit, f"{needed.letter} · {size}", _say_count(needed))
        return
    for form, count in fabric.per_kit.forms_of(fabric.form):
        net = say_net_form(form, 1, fabric.per_kit.buy_length, unit)
        for number in range(1, count + 1):
            which = f" {number} of {count}" if count > 1 else ""
            name = fabric.per_kit.buy if form.by_length else form.name.capitalize()
            yield _wanted(plan, fabric, kit, f"{name}{which}, uncut", net)


def _say_count(needed: NeededPiece) -> str:
    said = f"{count_of(needed.per_kit, 'piece')}: {needed.piece.name}"
    later = say_later(needed.piece.shape)
    if later.startswith("cut "):
        later = f"to be {later}"
    return f"{said}, {later}" if later else said


def _wanted(plan: KitPlan, fabric: FabricPlan, kit: int, headline: str, count: str) -> Wanted:
    kit_text = f"kit\u00a0{kit}\u00a0of\u00a0{plan.all_kits}"
    role = f"{fabric.role}, print {fabric.group}" if fabric.group else fabric.role
    stock = " ".join(part for part in (fabric.sku, fabric.print_name) if part)
    lines = [
        Line(headline, Fraction(120, 100), bold=True),
        Line(count),
        Line(" · ".join(part for part in (role, stock) if part)),
        Line(" · ".join(part for part in (plan.pattern.name, fabric.colorway, kit_text) if part)),
    ]
    set_lines = tuple(Line(printable(line.text), line.scale, line.bold) for line in lines)
    return Wanted(f"{role}, {headline}, kit {kit} of {plan.all_kits}", (Wording(set_lines),))

"""Piece labels: one for each kind of piece in each kit, and one on each uncut form."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from kitmaker.cutting_jobs import NeededPiece
from kitmaker.errors import Problem
from kitmaker.lengths import Unit
from kitmaker.paper.sheets.contents import own_pieces
from kitmaker.paper.sheets.kit_numbers import number_kits
from kitmaker.paper.sheets.label_pages import (
    READABLE,
    LabelPageView,
    Wanted,
    Wording,
    view_label_page,
)
from kitmaker.paper.sheets.page import PageRef
from kitmaker.paper.sheets.saying import (
    count_of,
    printable,
    say_cross_cut,
    say_each_print,
    say_later,
    say_net_form,
    say_piece_size,
    say_sewn,
    say_stock,
)
from kitmaker.paper.sheets.settings_used import NOT_COMPLETE
from kitmaker.paper.sheets.swatches import say_letters
from kitmaker.paper.typesetting import SMALLEST_TYPE, Line
from kitmaker.plans import FabricPlan, KitPlan
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
            yield _wanted(plan, fabric, kit, f"{needed.letter} · {size}", _say_count(needed, unit))
        return
    for form, count in fabric.per_kit.forms_of(fabric.form):
        net = say_net_form(form, 1, fabric.per_kit.buy_length, unit)
        for number in range(1, count + 1):
            which = f" {number} of {count}" if count > 1 else ""
            name = fabric.per_kit.buy if form.by_length else form.name
            said = _joined(say_letters([fabric]), f"{name}{which}, uncut")
            yield _wanted(plan, fabric, kit, said[0].upper() + said[1:], net)


def _say_count(needed: NeededPiece, unit: Unit) -> str:
    text = f"{count_of(needed.per_kit, 'piece')}: {needed.piece.name}"
    later = say_later(needed.piece.shape)
    if later.startswith("cut "):
        later = f"to be {later}"
    each = say_each_print(needed.piece, needed.per_kit)
    crossed = say_cross_cut(needed.piece, unit)
    sewn = say_sewn(needed.piece, needed.per_kit, unit)
    return ", ".join(part for part in (text, each, later, crossed, sewn) if part)


def _wanted(plan: KitPlan, fabric: FabricPlan, kit: int, headline: str, count: str) -> Wanted:
    """Word a label: what it is and whose it is in bold; the rest as it can be read."""
    kit_text = f"Kit\u00a0{kit}\u00a0of\u00a0{plan.class_kits}"
    role = fabric.name
    head = [
        Line(headline, Fraction(120, 100), bold=True),
        Line(_joined(kit_text, fabric.colorway), Fraction(115, 100), bold=True),
    ]
    if plan.not_complete:
        head.insert(0, Line(NOT_COMPLETE, bold=True))
    full = [
        *head,
        Line(count),
        Line(_joined(role, say_stock(fabric.sku, fabric.print_name))),
        Line(plan.pattern.name),
    ]
    brief = [*head, Line(count), Line(_joined(role, fabric.sku))]
    return Wanted(
        f"{role}, {headline}, kit {kit} of {plan.class_kits}",
        tuple(
            Wording(
                tuple(
                    Line(printable(line.text), line.scale, line.bold) for line in lines if line.text
                ),
                smallest,
            )
            for lines, smallest in ((full, READABLE), (brief, READABLE), (brief, SMALLEST_TYPE))
        ),
    )


def _joined(*parts: str) -> str:
    return " · ".join(part for part in parts if part)

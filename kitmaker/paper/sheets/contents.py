"""What is in a bag and what is not: for bag labels, guide and packing list alike."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.cutting_jobs import NeededPiece
from kitmaker.lengths import Unit, say_number
from kitmaker.paper.sheets.saying import (
    count_of,
    say_at_least,
    say_each_print,
    say_metric,
    say_net,
    say_of_each,
    say_piece_size,
    say_sewn,
    say_stock,
)
from kitmaker.pattern import PieceKind
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag, Extra, InKit


@dataclass(frozen=True, slots=True, kw_only=True)
class BagLine:
    """One thing in the bag.

    Attributes:
        what: The fabric's role or the extra's name.
        amount: How much, in words, with its measures in inches and metric.
        brief: How much, without measures beside what names it: ``2 fat quarters``.
        pieces: For ready-cut fabric, each kind of piece with letter, count and size.
        net_pieces: The same for a label: count and size, in inches and metric.
        uncut: Whether the student cuts it.
        at_least: What it must measure for that; "".
    """

    what: str
    sku: str
    print_name: str
    amount: str
    brief: str
    pieces: tuple[str, ...] = ()
    net_pieces: tuple[str, ...] = ()
    uncut: bool = False
    at_least: str = ""

    @property
    def stock(self) -> str:
        """Its number and what the stock calls it; ""."""
        return say_stock(self.sku, self.print_name)


def own_pieces(fabric: FabricPlan) -> tuple[NeededPiece, ...]:
    """Return the pieces of a job that belong to this role and colorway."""
    if fabric.job is None:
        return ()
    return tuple(
        needed
        for needed in fabric.job.pieces
        if needed.role == fabric.role and needed.colorway in ("", fabric.colorway)
    )


def bag_lines(plan: KitPlan, colorway: str) -> tuple[BagLine, ...]:
    """Return what is in each bag of a colorway: fabrics in the pattern's order, then extras."""
    unit = plan.pattern.unit
    lines = [_fabric_line(fabric, unit) for fabric in plan.fabrics if fabric.colorway == colorway]
    return (*lines, *(_extra_line(extra) for extra in plan.class_sheet.extras))


def _extra_line(extra: Extra) -> BagLine:
    count = say_number(extra.count_per_kit)
    return BagLine(what=extra.item, sku="", print_name="", amount=count, brief=count)


def _fabric_line(fabric: FabricPlan, unit: Unit) -> BagLine:
    name = fabric.name
    if fabric.bag is Bag.PIECES:
        own = own_pieces(fabric)
        count = count_of(sum(needed.per_kit for needed in own), "cut piece")
        return BagLine(
            what=name,
            sku=fabric.sku,
            print_name=fabric.print_name,
            amount=count,
            brief=count,
            pieces=tuple(
                f"{needed.letter}: {needed.per_kit} of {say_piece_size(needed, unit)}"
                f"{_each_print(needed)}{_sewn(needed, unit)}"
                for needed in own
            ),
            net_pieces=tuple(_say_net(needed, unit) for needed in own),
        )
    each = say_prints_in_bag(fabric)
    return BagLine(
        what=name,
        sku=fabric.sku,
        print_name=fabric.print_name,
        amount=f"{say_net(fabric.per_kit, fabric.form, unit)}{each}",
        brief=f"{fabric.per_kit.buy}{each}",
        uncut=True,
        at_least=say_at_least(fabric.per_kit, fabric.form, unit),
    )


def say_prints_in_bag(fabric: FabricPlan) -> str:
    """Say how much of each print is in a bag uncut, after the amount; "" for one print."""
    prints = fabric.job.prints if fabric.job is not None else 1
    if fabric.form.by_length:
        return f", one length of each of {prints} prints" if prints > 1 else ""
    each = say_of_each(fabric.per_kit.count, prints)
    return f", {each}" if each else ""


def _say_net(needed: NeededPiece, unit: Unit) -> str:
    size = say_piece_size(needed, unit)
    if unit is Unit.INCH and needed.piece.kind is PieceKind.PIECE:
        size = f"{size} ({say_metric(needed.across)} × {say_metric(needed.along)})"
    sewn = needed.piece.sewn
    becomes = f", to sew {sewn.parts} end to end" if sewn is not None else ""
    return f"{needed.per_kit} of {size}{_each_print(needed)}{becomes}"


def _sewn(needed: NeededPiece, unit: Unit) -> str:
    text = say_sewn(needed.piece, needed.per_kit, unit)
    return f"; {text}" if text else ""


def _each_print(needed: NeededPiece) -> str:
    text = say_each_print(needed.piece, needed.per_kit)
    return f" ({text})" if text else ""


def say_left_out(plan: KitPlan) -> tuple[str, ...]:
    """Say what is not in the bag; the pattern too, unless it is one of the extras."""
    roles = [
        f"{out.role} (sold separately)" if out.in_kit is InKit.SOLD_APART else out.role
        for out in plan.left_out
    ]
    extras = " ".join(extra.item.casefold() for extra in plan.class_sheet.extras)
    return (*roles, *(() if "pattern" in extras else ("the pattern",)))

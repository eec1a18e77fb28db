"""A plan as data: what ``plan --json`` prints and ``plan.json`` holds.

Lengths are plain numbers in the pattern's unit, unrounded. Nothing depends on the time,
on a path or on the order in which things were found.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any, TypeAlias

from kitmaker.cutting_jobs import CutLayout, CuttingJob, NeededPiece, Yield
from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, as_json_number
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.record import write_record
from kitmaker.pattern import PatternReading
from kitmaker.plans import FabricPlan, KitPlan, KitPrice, PullLine, StockPiece

JsonObject: TypeAlias = dict[str, Any]

SCHEMA = 1


def plan_to_json(plan: KitPlan, reading: PatternReading | None = None) -> JsonObject:
    """Return a plan as data, with all its problems and what was read from its pattern."""
    unit = plan.pattern.unit
    return {
        "schema": SCHEMA,
        "unit": unit.value,
        "plan_number": plan.number,
        "pattern": plan.pattern.name,
        "size": plan.pattern.size,
        "class": plan.class_sheet.title or None,
        "class_date": plan.class_sheet.date or None,
        "kits": plan.kits,
        "spare_kits": plan.spare_kits,
        "colorways": [
            {"colorway": colorway.name or None, "kits": colorway.kits}
            for colorway in plan.colorways
        ],
        "choices": as_data(plan.choices, unit),
        "fabrics": [_fabric(fabric, unit) for fabric in plan.fabrics],
        "left_out": [
            {"role": out.role, "in_kit": out.in_kit.value, "reason": out.reason}
            for out in plan.left_out
        ],
        "pull": [_pull(line, unit) for line in plan.pull],
        "kits_possible": plan.kits_possible,
        "runs_out": plan.runs_out or None,
        "costs": [
            {
                "label": line.label,
                "total": _money(line.total),
                "per_kit": _money(line.per_kit),
                "one_kit": [
                    {"colorway": name or None, "cost": _money(cost)} for name, cost in line.one_kit
                ],
            }
            for line in plan.costs
        ],
        "fabric_cost": _money(plan.fabric_cost),
        "price_per_kit": _money(plan.price_per_kit),
        "prices": [_price(price, plan) for price in plan.prices],
        "minutes": float(plan.minutes),
        "not_complete": list(plan.not_complete),
        "changes": list(plan.changes),
        "problems": problems_json(plan.problems),
        "record": write_record(plan, reading),
    }


def as_data(value: object, unit: Unit) -> Any:
    """Return a value as JSON has it, a dataclass field by field.

    Lengths are numbers in the unit, money is a number, tuples are lists.
    """
    if isinstance(value, tuple):
        return [as_data(inner, unit) for inner in value]
    if isinstance(value, Fraction):
        return as_json_number(value, unit)
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        return _some(value, unit, *(field.name for field in fields(value)))
    return value


def _some(value: object, unit: Unit, *names: str) -> JsonObject:
    """Return some fields of a value as data, in this order."""
    return {name: as_data(getattr(value, name), unit) for name in names}


def _price(kit_price: KitPrice, plan: KitPlan) -> JsonObject:
    """The figures of a price; ``shelf`` stands where no ``markup`` is given."""
    markup, unit = plan.shop.markup, plan.pattern.unit
    return {
        "colorway": kit_price.colorway or None,
        **_some(kit_price, unit, "kits", "price", "cost"),
        "markup": None if markup is None else float(markup.factor),
        **_some(kit_price, unit, "labor", "shelf", "extras"),
        "kit_fee": _money(kit_price.fee),
        "singly": _money(kit_price.singly),
    }


def _money(amount: Decimal | None) -> float | None:
    return None if amount is None else float(amount)


def _length(length: Length | None, unit: Unit) -> float | None:
    return None if length is None else as_json_number(length, unit)


def _fabric(fabric: FabricPlan, unit: Unit) -> JsonObject:
    return {
        "role": fabric.role,
        "colorway": fabric.colorway or None,
        "sku": fabric.sku or None,
        "print": fabric.print_name or None,
        "group": fabric.group or None,
        "form": fabric.form.form_id,
        "bag": fabric.bag.value,
        "kits": fabric.kits,
        "per_kit": _yield(fabric.per_kit, fabric.form, unit, None),
        "total": _yield(fabric.total, fabric.form, unit, fabric.cost),
        "cut_with": [
            {"role": role, "colorway": colorway or None} for role, colorway in fabric.cut_with
        ],
        **(_job(fabric.job, unit) if fabric.job else _NO_JOB),
        **_some(fabric, unit, "cost", "price"),
    }


def _yield(found: Yield, form: Form, unit: Unit, cost: Decimal | None) -> JsonObject:
    lengths = ("length", "length_lower_bound", "length_proven", "length_with_loss")
    data = _some(found, unit, "count", "lower_bound", "proven", *lengths, "buy")
    data |= _some(found, unit, "one_fewer_at", "estimated")
    if form.by_length:
        data["counts"] = {form.form_id: found.count}
        data["cost"] = _money(cost)
        data["cost_lower_bound"] = None
    elif form.mix:
        data["counts"] = dict(found.counts)
        data |= _some(found, unit, "cost", "cost_lower_bound")
    return data


_NO_JOB: JsonObject = {
    **dict.fromkeys(("stages", "cuts", "settings", "stacks", "minutes", "miscuts")),
    "pieces": [],
    "layouts": [],
    "offcuts": [],
}


def _job(job: CuttingJob, unit: Unit) -> JsonObject:
    pieces = {needed.key: needed for needed in job.pieces}
    return {
        "stages": job.levels,
        **_some(job, unit, "cuts", "settings", "stacks"),
        "minutes": float(job.minutes),
        "miscuts": job.miscuts,
        "pieces": [_needed(needed, unit) for needed in job.pieces],
        "layouts": [layout_as_json(layout, pieces, unit) for layout in job.layouts],
        "offcuts": as_data(job.offcuts, unit),
    }


def _whose(needed: NeededPiece) -> JsonObject:
    return {"role": needed.role, "colorway": needed.colorway or None}


def _needed(needed: NeededPiece, unit: Unit) -> JsonObject:
    sewn = needed.piece.sewn
    parts = ("parts", "part_length", "seams", "needed", "at_45")
    return {
        "letter": needed.letter,
        "name": needed.piece.name,
        **_whose(needed),
        **_some(needed, unit, "across", "along", "per_kit", "needed", "made", "look_alikes"),
        "sewn": None if sewn is None else _some(sewn, unit, *parts),
    }


def layout_as_json(layout: CutLayout, pieces: dict[str, NeededPiece], unit: Unit) -> JsonObject:
    """Return a layout as every command's JSON holds it; the pieces are by their keys."""
    placed_by = [(placed, pieces[placed.key]) for placed in layout.pieces]
    return {
        "name": layout.name,
        "form": layout.form_id,
        **_some(layout, unit, "source", "sheet", "copies", "first", "folded"),
        "stages": layout.levels,
        "steps": [
            {**as_data(step, unit), "first_strips": sum(step.runs) if step.first else 0}
            for step in layout.steps
        ],
        "pieces": [
            {
                "name": needed.piece.name,
                "letter": needed.letter,
                **_whose(needed),
                **_some(placed, unit, "x", "y", "w", "h", "turned"),
            }
            for placed, needed in placed_by
        ],
        "offcuts": as_data(layout.offcuts, unit),
    }


def _pull(line: PullLine, unit: Unit) -> JsonObject:
    return {
        "sku": line.sku or None,
        "print": line.print_name or None,
        "roles": line.roles,
        "forms": [{"form": form.form_id, "count": count} for form, count in line.forms],
        "length": _length(line.length, unit),
        "buy": line.buy,
        "at_hand": _length(line.at_hand, unit),
        "forms_at_hand": as_data(line.forms_at_hand, unit),
        "from": [_stock_piece(piece) for piece in line.pieces],
        "short": line.short,
        "cost": _money(line.cost),
    }


def _stock_piece(piece: StockPiece) -> JsonObject:
    """A stock row is named; how much of it goes and stays is in the row's own measure."""
    return {
        "where": piece.where,
        "dye_lot": piece.dye_lot or None,
        "at_hand": float(piece.at_hand),
        "take": float(piece.take),
        "left": float(piece.left),
    }

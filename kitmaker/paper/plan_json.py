"""A plan as data: what ``plan --json`` prints and ``plan.json`` holds.

Lengths are plain numbers in the pattern's unit, unrounded. Nothing depends on the time,
on a path or on the order in which things were found.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any, TypeAlias

from kitmaker.cutting.layout import Placed
from kitmaker.cutting_jobs import CutLayout, CuttingJob, NeededPiece, Step, Yield
from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, as_json_number
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.record import write_record
from kitmaker.pattern import PatternReading, Sewn
from kitmaker.plans import FabricPlan, KitPlan, KitPrice, PullLine, StockPiece

JsonObject: TypeAlias = dict[str, Any]

SCHEMA = 1


def plan_to_json(plan: KitPlan, reading: PatternReading | None = None) -> JsonObject:
    """Return a whole plan as data.

    Args:
        plan: The plan, with every problem known at its end.
        reading: What was read from the pattern, for printing its page again.
    """
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
        "choices": [
            {"label": choice.label, "value": choice.value, "source": choice.source}
            for choice in plan.choices
        ],
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


def _price(kit_price: KitPrice, plan: KitPlan) -> JsonObject:
    """The figures of a price; ``shelf`` stands where no ``markup`` is given."""
    markup = plan.shop.markup
    return {
        "colorway": kit_price.colorway or None,
        "kits": kit_price.kits,
        "price": _money(kit_price.price),
        "cost": _money(kit_price.cost),
        "markup": None if markup is None else float(markup.factor),
        "labor": _money(kit_price.labor),
        "shelf": _money(kit_price.shelf),
        "extras": _money(kit_price.extras),
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
        **_job(fabric.job, unit),
        "cost": _money(fabric.cost),
        "price": _money(fabric.price),
    }


def _yield(found: Yield, form: Form, unit: Unit, cost: Decimal | None) -> JsonObject:
    said: JsonObject = {
        "count": found.count,
        "lower_bound": found.lower_bound,
        "proven": found.proven,
        "length": _length(found.length, unit),
        "length_lower_bound": _length(found.length_lower_bound, unit),
        "length_proven": found.length_proven,
        "length_with_loss": _length(found.length_with_loss, unit),
        "buy": found.buy,
        "one_fewer_at": (
            [_length(side, unit) for side in found.one_fewer_at] if found.one_fewer_at else None
        ),
        "estimated": found.estimated,
    }
    if form.by_length:
        said["counts"] = {form.form_id: found.count}
        said["cost"] = _money(cost)
        said["cost_lower_bound"] = None
    elif form.mix:
        said["counts"] = dict(found.counts)
        said["cost"] = _money(found.cost)
        said["cost_lower_bound"] = _money(found.cost_lower_bound)
    return said


def _job(job: CuttingJob | None, unit: Unit) -> JsonObject:
    if job is None:
        return {
            "stages": None,
            "cuts": None,
            "settings": None,
            "stacks": None,
            "minutes": None,
            "miscuts": None,
            "pieces": [],
            "layouts": [],
            "offcuts": [],
        }
    pieces = {needed.key: needed for needed in job.pieces}
    return {
        "stages": job.levels,
        "cuts": job.cuts,
        "settings": job.settings,
        "stacks": job.stacks,
        "minutes": float(job.minutes),
        "miscuts": job.miscuts,
        "pieces": [_needed(needed, unit) for needed in job.pieces],
        "layouts": [layout_as_json(layout, pieces, unit) for layout in job.layouts],
        "offcuts": [
            {
                "across": _length(cut.across, unit),
                "along": _length(cut.along, unit),
                "count": cut.count,
                "grade": cut.grade,
            }
            for cut in job.offcuts
        ],
    }


def _needed(needed: NeededPiece, unit: Unit) -> JsonObject:
    return {
        "letter": needed.letter,
        "name": needed.piece.name,
        "role": needed.role,
        "colorway": needed.colorway or None,
        "across": _length(needed.across, unit),
        "along": _length(needed.along, unit),
        "per_kit": needed.per_kit,
        "needed": needed.needed,
        "made": needed.made,
        "look_alikes": list(needed.look_alikes),
        "sewn": _sewn(needed.piece.sewn, unit),
    }


def _sewn(sewn: Sewn | None, unit: Unit) -> JsonObject | None:
    if sewn is None:
        return None
    return {
        "parts": sewn.parts,
        "part_length": _length(sewn.part_length, unit),
        "seams": sewn.seams,
        "needed": _length(sewn.needed, unit),
        "at_45": sewn.at_45,
    }


def layout_as_json(layout: CutLayout, pieces: dict[str, NeededPiece], unit: Unit) -> JsonObject:
    """Return a layout as every command's JSON holds it.

    Args:
        layout: The layout.
        pieces: What each key of a placed piece stands for.
        unit: What lengths are in.
    """
    return {
        "name": layout.name,
        "form": layout.form_id,
        "source": layout.source,
        "sheet": [_length(side, unit) for side in layout.sheet],
        "copies": layout.copies,
        "first": layout.first,
        "folded": layout.folded,
        "stages": layout.levels,
        "steps": [_step(step, unit) for step in layout.steps],
        "pieces": [_placed(placed, pieces[placed.key], unit) for placed in layout.pieces],
        "offcuts": [
            {
                "x": _length(rect.x, unit),
                "y": _length(rect.y, unit),
                "w": _length(rect.w, unit),
                "h": _length(rect.h, unit),
            }
            for rect in layout.offcuts
        ],
    }


def _placed(placed: Placed, needed: NeededPiece, unit: Unit) -> JsonObject:
    return {
        "name": needed.piece.name,
        "letter": needed.letter,
        "role": needed.role,
        "colorway": needed.colorway or None,
        "x": _length(placed.x, unit),
        "y": _length(placed.y, unit),
        "w": _length(placed.w, unit),
        "h": _length(placed.h, unit),
        "turned": placed.turned,
    }


def _step(step: Step, unit: Unit) -> JsonObject:
    return {
        "number": step.number,
        "action": step.action.value,
        "text": step.text,
        "part": step.part,
        "cloth": step.cloth,
        "part_size": [_length(side, unit) for side in step.part_size],
        "part_count": step.part_count,
        "stacks": list(step.stacks),
        "first": step.first,
        "first_strips": sum(step.runs) if step.first else 0,
        "runs": list(step.runs),
        "layers": step.layers,
        "axis": step.axis.value if step.axis else None,
        "measures": [
            {
                "size": _length(measure.size, unit),
                "times": measure.times,
                "gives": measure.gives,
                "is_piece": measure.is_piece,
                "positions": [_length(at, unit) for at in measure.positions],
            }
            for measure in step.measures
        ],
        "re_square_after": list(step.re_square_after),
        "folded_into": step.folded_into,
        "placements": step.placements,
        "two_rulers": step.two_rulers,
        "by_tape": step.by_tape,
        "trims_selvage": step.trims_selvage,
        "last_is_left": step.last_is_left,
        "cuts": step.cuts,
        "settings": step.settings,
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
        "forms_at_hand": None if line.forms_at_hand is None else list(line.forms_at_hand),
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

"""A season as data: what ``season --json`` prints and ``season.json`` keeps.

Lengths are numbers in the unit of the shop's workbook, forms are counted in pieces; ``form`` tells
which, null for a length.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, TypeAlias

from kitmaker.forms import Form
from kitmaker.lengths import Unit, as_json_number
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.season_tables import say_amount
from kitmaker.seasons import OrderLine, Season, SeasonClass, ShelfRow, Short

JsonObject: TypeAlias = dict[str, Any]

MARKER = "season.json"
"""The file that shows that a folder holds a season."""


def season_to_json(season: Season) -> Mapping[str, object]:
    """Return a season as data, without its stamp."""
    unit = season.shop.unit
    return {
        "schema": 1,
        "unit": unit.value,
        "number": season.number,
        "classes": [_class(season_class, unit) for season_class in season.classes],
        "order": [_order(line, unit) for line in season.order],
        "shelf": _shelf(season),
        "rows": [
            {
                "where": row.where or None,
                "sku": row.sku,
                "form": _id(row.form),
                "dye_lot": row.dye_lot or None,
                **_counts(row, unit),
            }
            for row in season.rows
        ],
        "problems": [
            {**data, "workbook": problem.location.workbook if problem.location else ""}
            for data, problem in zip(problems_json(season.problems), season.problems, strict=True)
        ],
    }


def _amount(amount: Fraction, form: Form | None, unit: Unit) -> float | int:
    return as_json_number(amount, unit) if form is None else int(amount)


def _id(form: Form | None) -> str | None:
    return form.form_id if form else None


def _class(season_class: SeasonClass, unit: Unit) -> JsonObject:
    return {
        "title": season_class.title,
        "date": season_class.day,
        "pattern": season_class.pattern,
        "kits": season_class.kits,
        "spare_kits": season_class.spare_kits,
        "complete": season_class.is_complete,
        "planned": season_class.is_planned,
        "short": [_short(short, unit) for short in season_class.short],
    }


def _short(short: Short, unit: Unit) -> JsonObject:
    return {
        "sku": short.sku,
        "print": short.print_name or None,
        "form": _id(short.form),
        "short": _amount(short.amount, short.form, unit),
        "says": short.said,
    }


def _order(line: OrderLine, unit: Unit) -> JsonObject:
    return {
        "sku": line.sku,
        "print": line.print_name or None,
        "form": _id(line.form),
        "short": _amount(line.short, line.form, unit),
        "cut_into": [{"form": form.form_id, "count": count} for form, count in line.cut_into],
        "order": _amount(line.order, line.form, unit),
        "order_in": _amount(line.step, line.form, unit),
        "assumed": line.is_assumed,
        "buy": say_amount(line.order, line.form, unit),
        "cost": None if line.cost is None else float(line.cost),
        "first_needed": line.first_needed,
    }


def _shelf(season: Season) -> list[JsonObject]:
    """Return the shelf by SKU; forms that only came from a bolt stand beside that bolt."""
    unit = season.shop.unit
    found: list[JsonObject] = []
    data: JsonObject
    for row in season.shelf:
        if row.is_listed:
            data = {"sku": row.sku, "print": row.print_name or None, "form": _id(row.form)}
            data |= {**_counts(row, unit), "pieces_left": row.in_pieces, "extra": []}
            found.append(data)
        else:
            bolt = next(line for line in found if line["sku"].casefold() == row.sku.casefold())
            bolt["extra"].append({"form": _id(row.form), **_counts(row, unit)})
    return found


def _counts(row: ShelfRow, unit: Unit) -> JsonObject:
    return {
        "at_hand": _amount(row.at_hand, row.form, unit),
        "held": _amount(row.held, row.form, unit),
        "came": _amount(row.came, row.form, unit),
        "taken": [_amount(taken, row.form, unit) for taken in row.taken],
        "left": _amount(row.left, row.form, unit),
    }

"""A plan as data: the fields that programs rely on, and nothing that changes by itself."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import plan_builder
import pytest

from kitmaker.lengths import Unit
from kitmaker.paper.plan_json import plan_to_json
from kitmaker.paper.problem_json import dump
from kitmaker.plans import KitPlan

FABRIC_FIELDS = {
    "role", "colorway", "sku", "group", "form", "bag", "per_kit", "total", "stages", "cuts",
    "settings", "stacks", "minutes", "layouts", "offcuts", "cost",
}  # fmt: skip
YIELD_FIELDS = {"count", "lower_bound", "proven", "length", "buy"}
LAYOUT_FIELDS = {"form", "source", "sheet", "copies", "steps", "pieces"}


@pytest.fixture(scope="module")
def data(class_plan: KitPlan) -> Any:
    return json.loads(dump(plan_to_json(class_plan)))


def fabric(data: Any, role: str) -> Any:
    return next(one for one in data["fabrics"] if one["role"] == role)


def test_it_opens_with_schema_and_unit(class_plan: KitPlan) -> None:
    assert list(plan_to_json(class_plan))[:2] == ["schema", "unit"]
    assert dump(plan_to_json(class_plan)).startswith('{\n "schema": 1,\n "unit": "in",')


def test_every_promised_field_is_there(data: Any) -> None:
    assert {"pattern", "kits", "spare_kits", "fabrics", "pull", "kits_possible", "problems"} <= set(
        data
    )
    for one in data["fabrics"]:
        assert set(one) >= FABRIC_FIELDS
        assert set(one["per_kit"]) >= YIELD_FIELDS
        assert set(one["total"]) >= YIELD_FIELDS
        for layout in one["layouts"]:
            assert set(layout) >= LAYOUT_FIELDS
            assert all(
                {"name", "x", "y", "w", "h", "turned"} <= set(piece) for piece in layout["pieces"]
            )
    for line in data["pull"]:
        assert {"sku", "forms", "length", "buy", "short"} <= set(line)
    for problem in data["problems"]:
        assert set(problem) == {"level", "where", "message", "suggestion"}


def test_copies_of_an_uncut_form_add_up_to_one_kits_count(data: Any) -> None:
    one = fabric(data, "Lantern print")
    assert sum(layout["copies"] for layout in one["layouts"]) == one["per_kit"]["count"] == 2
    assert all(layout["sheet"] == [20, 16] for layout in one["layouts"])


def test_stretches_of_a_length_add_up_to_the_length_of_the_pieces(data: Any) -> None:
    one = fabric(data, "Binding")
    stretches = sum(layout["sheet"][1] * layout["copies"] for layout in one["layouts"])
    assert stretches == one["total"]["length"] == 105
    assert one["total"]["counts"] == {"yardage": 1}
    assert one["total"]["length_proven"] is True


def test_a_problem_says_its_cell_without_the_file(data: Any) -> None:
    assert data["problems"][0]["where"] == "Cutting!C5"
    assert data["problems"][0]["level"] == "warning"


def test_lengths_are_in_the_patterns_unit(class_plan: KitPlan) -> None:
    pattern = replace(class_plan.pattern, unit=Unit.CENTIMETER)
    metric = plan_to_json(replace(class_plan, pattern=pattern))
    assert metric["unit"] == "cm"
    assert metric["fabrics"][0]["layouts"][0]["sheet"] == pytest.approx([50.8, 40.64])


def test_a_step_is_told_in_words_and_in_measures(data: Any) -> None:
    step = fabric(data, "Lantern print")["layouts"][0]["steps"][1]
    assert step["number"] == 2
    assert step["action"] == "cut"
    assert step["text"]
    assert step["measures"][0]["positions"] == [4.5, 9]


def test_what_is_unknown_is_null_never_zero(class_plan: KitPlan) -> None:
    first = replace(class_plan.fabrics[0], cost=None, sku="", colorway="", job=None)
    one = plan_to_json(replace(class_plan, fabrics=(first,), kits_possible=None))
    assert one["kits_possible"] is None
    assert one["fabrics"][0]["cost"] is None
    assert one["fabrics"][0]["sku"] is None
    assert one["fabrics"][0]["stages"] is None
    assert one["fabrics"][0]["layouts"] == []


def test_the_same_plan_gives_the_same_text(class_plan: KitPlan) -> None:
    assert dump(plan_to_json(class_plan)) == dump(plan_to_json(plan_builder.class_plan()))

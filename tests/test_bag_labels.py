"""How a bag label is worded: fully where it can be read, more briefly on a small label."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from kitmaker.errors import Level, Location
from kitmaker.paper.sheets.bag_labels import view_bag_labels
from kitmaker.paper.sheets.page import BAG_LABELS, list_pages
from kitmaker.plans import KitPlan, LabelChoice
from kitmaker.shop import Extra

CELL = Location("class.xlsx", "Extras", "A2")


@pytest.fixture
def full_bag(class_plan: KitPlan) -> KitPlan:
    """A class whose bags hold five fabrics and two extras."""
    first = class_plan.fabrics[0]
    more = [
        replace(one, role=f"{one.role} 2", sku=f"{one.sku}-B")
        for one in class_plan.fabrics
        if one.form == first.form
    ]
    extras = tuple(
        Extra(item=item, count_per_kit=Fraction(1), cost=None, price=None, where=CELL)
        for item in ("Pattern booklet", "Spool of ink-blue thread")
    )
    sheet = replace(class_plan.class_sheet, extras=extras)
    return replace(class_plan, fabrics=(*class_plan.fabrics, *more), class_sheet=sheet)


def printed(plan: KitPlan, sheet_id: str) -> tuple[list[str], list[float], Any]:
    """Return each label's text, its smallest type, and the problems."""
    plan = replace(plan, bag_labels=LabelChoice(sheet_id=sheet_id, start=1))
    page = next(page for page in list_pages(plan) if page.file_name == BAG_LABELS)
    view, problems = view_bag_labels(plan, page)
    labels = [label for sheet in view.sheets for label in sheet.labels]
    texts = [" ".join(line.text for line in label.lines).replace("\u00a0", " ") for label in labels]
    types = [min(float(line.size.removesuffix("pt")) for line in label.lines) for label in labels]
    return texts, types, problems


@pytest.mark.parametrize("sheet_id", ["letter-30", "letter-10", "a4-21"])
def test_what_must_stand_on_a_bag_stands_on_it_on_every_sheet(
    full_bag: KitPlan, sheet_id: str
) -> None:
    texts, types, problems = printed(full_bag, sheet_id)
    assert not [problem for problem in problems if problem.level is Level.ERROR]
    assert min(types) >= 6
    for kit, text in enumerate(texts, start=1):
        colorway = "Blue evening" if kit <= 7 else "Red dawn"
        for said in (
            "Harbor Lanterns, throw",
            f"Kit {kit} of 12",
            f"colorway {colorway}",
            "Not included: Backing (sold separately); Batting",
            "Class March 12, 2027",
            "$54.50",
            "Name",
            *(one.sku for one in full_bag.fabrics if one.colorway == colorway),
            *(one.role for one in full_bag.fabrics if one.colorway == colorway),
            *(extra.item for extra in full_bag.class_sheet.extras),
        ):
            assert said in text


def test_a_label_of_middling_size_runs_its_contents_together_with_their_measures(
    full_bag: KitPlan,
) -> None:
    texts, _, problems = printed(full_bag, "a4-21")
    assert problems == ()
    assert "each 2 fat quarters, 22 × 18 in (55 cm × 45 cm); " in texts[0]


def test_measures_that_find_no_room_are_missed_aloud(full_bag: KitPlan) -> None:
    texts, _, problems = printed(full_bag, "letter-30")
    assert "each 2 fat quarters; " in texts[0]
    assert [(problem.level, "no room for the measures" in problem.message) for problem in problems]
    assert problems[0].level is Level.WARNING
    assert len(problems) == 1, "once for the sheet, not for every bag"


def test_a_label_with_room_lists_the_cut_pieces_too(class_plan: KitPlan) -> None:
    few = tuple(one for one in class_plan.fabrics if "stripe" not in one.role)
    texts, types, problems = printed(replace(class_plan, fabrics=few), "letter-10")
    assert problems == ()
    assert "32 of 2½ × 2½ in (6.3 cm × 6.3 cm)" in texts[0]
    assert min(types) >= 7


def test_a_bag_that_no_wording_fits_is_refused_by_name(full_bag: KitPlan) -> None:
    many = tuple(
        replace(full_bag.fabrics[0], role=f"Fabric number {at} for the lanterns", sku=f"JT-9{at}")
        for at in range(30)
    )
    texts, _, problems = printed(replace(full_bag, fabrics=many), "letter-30")
    assert problems[0].level is Level.ERROR
    assert "'Kit 1 of 12'" in problems[0].message
    assert texts[0] == "Kit 1 of 12: does not fit"

"""One kit is cut and checked before the rest is stacked: which layouts it takes, what is left."""

from __future__ import annotations

from collections import Counter

import pytest
from quilt import class_sheet, colorway, fabric, pattern, piece
from test_kit import plan

from kitmaker.cutting_jobs import CuttingJob
from kitmaker.kits.first_kit import first_kit
from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

CUT = ((None, Bag.PIECES),)
SKY = fabric("Sky", piece("patch", "3.5", "3.5", 23), piece("side", "6.5", "9.5", 5), sku="S-1")


def job_of(made: KitPlan) -> CuttingJob:
    job = made.fabrics[0].job
    assert job is not None
    return job


@pytest.mark.parametrize("form", ["fat quarter", "yardage", "half yard"])
@pytest.mark.parametrize("kits", [2, 7, 12])
def test_the_first_layouts_give_one_kit_and_no_layout_is_cut_first_without_need(
    form: str, kits: int
) -> None:
    job = job_of(plan(pattern(SKY), kits=kits, forms=((None, form),), bags=CUT))
    need = {needed.key: needed.per_kit for needed in job.pieces}
    made: Counter[str] = Counter()
    for layout in job.layouts:
        assert 0 <= layout.first <= layout.copies
        for placed in layout.pieces:
            made[placed.key] += layout.first
    assert all(made[key] >= count for key, count in need.items())
    for layout in job.layouts:
        gives = Counter(placed.key for placed in layout.pieces)
        if layout.first:
            assert any(made[key] - gives[key] < count for key, count in need.items())


@pytest.mark.parametrize("form", ["fat quarter", "yardage"])
def test_stacks_after_the_first_kit_count_what_is_left(form: str) -> None:
    job = job_of(plan(pattern(SKY), kits=12, forms=((None, form),), bags=CUT))
    assert any(layout.first for layout in job.layouts)
    for layout in job.layouts:
        for step in layout.steps:
            if not step.part and form == "yardage":
                assert step.first_strips == (layout.first if step.measures else 0)
                continue
            first, others = step.stacks_by_kit
            each = step.part_count // layout.copies
            assert sum(first) == step.first == layout.first * each
            assert sum(others) == (layout.copies - layout.first) * each
            if first and others:
                assert f"first kit’s {step.first}" in step.text or step.action == "square up"


def test_the_sheet_names_the_layouts_of_the_first_kit_and_what_is_left() -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, "fat quarter"),), bags=CUT)
    files = render_pages(made).files
    sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
    for layout in job_of(made).layouts:
        if layout.first:
            assert f"{layout.first} of {layout.name}" in sheet
        if layout.copies > layout.first:
            assert f"{layout.copies - layout.first} of {layout.name}" in sheet


def test_one_kit_alone_has_no_first() -> None:
    job = job_of(plan(pattern(SKY), kits=1, bags=CUT))
    assert {layout.first for layout in job.layouts} == {0}
    assert {step.first for layout in job.layouts for step in layout.steps} == {0}


def test_of_two_colorways_the_first_kit_is_one_of_the_first() -> None:
    roof = fabric("Roof", piece("corner", 4, 4, 6), sku="R-1")
    sheet = class_sheet(
        colorway("Blue", 3, Sky="S-1", Roof="R-1"), colorway("Red", 2, Sky="R-2", Roof="S-1")
    )
    job = job_of(plan(pattern(SKY, roof), sheet=sheet, bags=CUT))
    need = {one.key: one.per_kit for one in job.pieces if one.colorway == "Blue"}
    made: Counter[str] = Counter()
    for layout in job.layouts:
        for placed in layout.pieces:
            made[placed.key] += layout.first
    assert need
    assert all(made[key] >= count for key, count in need.items())


def test_prints_are_cut_alike_for_the_first_kit_too() -> None:
    petals = fabric("Petals", piece("petal", 3, 4, 36, from_each=6), prints=6)
    job = job_of(plan(pattern(petals), kits=12, forms=((None, "fat quarter"),), bags=CUT))
    assert all(layout.first % 6 == 0 for layout in job.layouts)
    assert sum(layout.first for layout in job.layouts) == 6


def test_nothing_is_asked_of_layouts_that_give_nothing_wanted() -> None:
    assert first_kit((), {"a": 3}) == ()

"""One kit is cut and checked before the rest is stacked: which layouts it takes, what is left."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from quilt import class_sheet, colorway, fabric, one_way, pattern, piece, strip
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
def test_the_first_kits_steps_come_first_and_the_others_count_what_is_left(form: str) -> None:
    job = job_of(plan(pattern(SKY), kits=12, forms=((None, form),), bags=CUT))
    assert any(layout.first for layout in job.layouts)
    for layout in job.layouts:
        own = [step for step in layout.steps if step.first]
        assert own == list(layout.steps[: len(own)])
        assert [step.number for step in layout.steps] == [*range(1, len(layout.steps) + 1)]
        for steps, copies in ((own, layout.first), (layout.steps[len(own) :], layout.copies)):
            count = copies if steps is own else copies - layout.first
            assert bool(steps) == bool(count)
            strips = sum(sum(step.runs) for step in steps)
            assert strips == (count if form == "yardage" else 0)
            for step in steps:
                if step.part or form == "fat quarter":
                    assert sum(step.stacks) == step.part_count
                    assert step.part_count % count == 0


def sheet_of(made: KitPlan) -> str:
    text, *_ = render_pages(made, only=("Cutting sheet",)).files.values()
    return " ".join(re.sub(r"<[^>]*>", " ", text.partition("<main>")[2]).split())


@pytest.mark.parametrize("form", ["fat quarter", "yardage"])
def test_the_sheet_checks_the_first_kit_before_anything_else_is_cut(form: str) -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, form),), bags=CUT)
    said = sheet_of(made)
    kit, check, rest = (
        said.index(words)
        for words in (
            "Cut ONE kit first",
            "Check every piece",
            "Then the rest, for the other 11 kits",
        )
    )
    assert kit < check < rest
    for layout in job_of(made).layouts:
        if layout.first:
            assert f"{layout.first} of {layout.name}" in said[kit:check]
        if 0 < layout.first < layout.copies:
            assert f"{layout.name}: {layout.first} of the {layout.copies}" in said or (
                f"{layout.name}: cut {layout.first} of the {layout.copies}" in said
            )
            left = layout.copies - layout.first
            what = {"yardage": "length"}.get(form, form)
            assert f"the other {what if left == 1 else left} " in said[rest:]


def test_what_the_first_layouts_give_beyond_one_kit_goes_with_the_others() -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, "yardage"),), bags=CUT)
    job, said = job_of(made), sheet_of(made)
    cut: Counter[str] = Counter()
    for layout in job.layouts:
        for placed in layout.pieces:
            cut[placed.key] += layout.first
    kit = " and ".join(f"{one.per_kit} {one.letter}" for one in job.pieces)
    assert f"Lay the first kit aside: {kit}." in said
    over = [(cut[one.key] - one.per_kit, one.letter) for one in job.pieces]
    more = " and ".join(f"{count} {letter}" for count, letter in over if count)
    assert more
    assert f"Put {more} with the pieces for the other kits." in said


def test_where_one_kit_alone_cannot_be_cut_the_sheet_says_so_and_what_to_measure() -> None:
    border = fabric("Border", one_way("side", "6.5", "62.5", 2), sku="B-1")
    made = plan(pattern(border), kits=3, bags=CUT)
    assert [layout.first for layout in job_of(made).layouts] == [1]
    said = sheet_of(made)
    assert "1 of Layout 1 gives 3 kits at once: measure the first pieces of each step" in said
    assert "Lay the first kit aside: 2 A. Put 4 A with the pieces for the other kits." in said
    assert "Then the rest" not in said


def test_layouts_of_the_first_kit_have_the_first_numbers() -> None:
    what = fabric("Sky", piece("a", 3, 4, 9), piece("b", 5, 7, 3), strip("edge", 2, 2), sku="S-1")
    job = job_of(plan(pattern(what), kits=7, bags=CUT))
    assert [layout.name for layout in job.layouts] == [
        f"Layout {number}" for number in range(1, len(job.layouts) + 1)
    ]
    firsts = [bool(layout.first) for layout in job.layouts]
    assert firsts == sorted(firsts, reverse=True)


def test_the_sheet_says_what_goes_into_each_bag_of_each_colorway() -> None:
    sheet = class_sheet(colorway("Blue", 3, Sky="S-1"), colorway("Red", 2, Sky="S-1"))
    said = sheet_of(plan(pattern(SKY), sheet=sheet, bags=CUT))
    assert "Into each of 3 Blue bags: 23 A and 5 B" in said
    assert "Into each of 2 Red bags: 23 A and 5 B" in said


def test_no_bag_is_promised_pieces_of_a_role_that_its_colorway_cuts_from_another_bolt() -> None:
    roof = fabric("Roof", piece("corner", 4, 4, 6), sku="R-1")
    sheet = class_sheet(
        colorway("Green", 3, Sky="S-2", Roof="S-1"),
        colorway("Blue", 3, Sky="S-1", Roof="R-1"),
        colorway("Red", 2, Sky="S-1", Roof="R-1"),
    )
    made = plan(pattern(SKY, roof), sheet=sheet, bags=CUT)
    files = render_pages(made).files.items()
    text = next(text for name, text in files if name.endswith("s-1.html") and "cutting" in name)
    said = " ".join(re.sub(r"<[^>]*>", " ", text.partition("<main>")[2]).split())
    assert re.search(r"Into each of 3 Green bags: 6 C", said)
    assert "Into each of 3 Blue bags: 23 A and 5 B" in said
    assert "Into each of 2 Red bags: 23 A and 5 B" in said
    assert re.search(
        r"Lay the first kit of colorway (Blue|Green) aside: (23 A and 5 B|6 C)\.", said
    )


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


def test_what_is_cut_again_has_the_parts_of_the_first_kits_steps_by_the_same_numbers() -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, "fat quarter"),), bags=CUT)
    for layout in job_of(made).layouts:
        first = [step for step in layout.steps if step.first and step.part]
        again = [step for step in layout.steps if not step.first and step.part]
        if first and again:
            assert [(step.part, step.measures) for step in again] == [
                (step.part, step.measures) for step in first
            ]
    assert "drawn above, its parts numbered alike" in sheet_of(made)


def test_bags_of_pieces_in_prints_say_how_many_of_each_print() -> None:
    sky = replace(fabric("Sky", piece("a", 3, 4, 12)), prints=3)
    sky = replace(sky, pieces=tuple(replace(one, from_each=3) for one in sky.pieces))
    made = plan(pattern(sky), kits=3, forms=((None, "fat quarter"),), bags=CUT)
    assert "Into each of 3 bags: 12 A, 4 of each of 3 prints" in sheet_of(made)


def test_what_a_length_that_is_cut_up_leaves_at_its_end_stands_with_what_is_left() -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, "yardage"),), bags=CUT)
    (planned,) = made.fabrics
    job, total = planned.job, planned.total
    assert job is not None
    assert total.buy_length is not None
    assert total.length_with_loss is not None
    end = total.buy_length - total.length_with_loss
    assert end > 0
    assert any(cut.across == 40 and cut.along == end for cut in job.offcuts)


def test_a_length_that_may_not_be_the_shortest_is_needed_whole_and_no_bound_stands_beside_it() -> (
    None
):
    made = plan(pattern(SKY), kits=13, forms=((None, "yardage"),), bags=CUT)
    assert not made.fabrics[0].total.proven
    said = sheet_of(made)
    assert "less will not do for this plan" in said
    assert "at least" not in said.partition("Planned for")[0]


def test_a_kit_to_check_first_is_not_traded_for_one_long_length_nor_for_more_cloth() -> None:
    made = plan(pattern(SKY), kits=12, forms=((None, "yardage"),), bags=CUT)
    job = job_of(made)
    assert made.fabrics[0].total.buy == "5 yd"
    assert job.minutes < 33
    assert max(layout.sheet[1] for layout in job.layouts) < 60, "a table is not so long"

"""The student's guide: what must be measured, which way a print runs, whose layout it is."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from kitmaker.cutting_jobs import Yield
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.contents import bag_lines
from kitmaker.paper.sheets.guide import view_guide
from kitmaker.paper.sheets.layout_view import LayoutView, Words, view_layouts
from kitmaker.paper.sheets.page import list_pages
from kitmaker.paper.sheets.saying import say_at_least
from kitmaker.pattern import Direction
from kitmaker.plans import KitPlan

GUIDE = "students-cutting-guide-blue-evening.html"


def run_one_way(plan: KitPlan) -> KitPlan:
    """The plan with the print of its first fabric running one way."""
    first = plan.fabrics[0]
    assert first.job is not None
    pieces = tuple(
        replace(needed, piece=replace(needed.piece, direction=Direction.ONE_WAY))
        for needed in first.job.pieces
    )
    first = replace(first, job=replace(first.job, pieces=pieces))
    return replace(plan, fabrics=(first, *plan.fabrics[1:]))


def text_of(words: tuple[Words, ...]) -> str:
    return "".join(one.text for one in words)


def layouts_of(plan: KitPlan) -> tuple[LayoutView, ...]:
    page = next(one for one in list_pages(plan) if one.file_name == GUIDE)
    return view_guide(plan, page).fabrics[0].layouts


def test_the_bag_list_says_what_each_uncut_fabric_must_measure(class_plan: KitPlan) -> None:
    lines = {line.what: line for line in bag_lines(class_plan, "Blue evening")}
    assert lines["Lantern print"].at_least == "20 × 16 in"
    assert lines["Background"].at_least == "", "cut pieces are counted, not measured"
    page = render_pages(class_plan).files[GUIDE]
    rows = re.findall(r"<tr>.*?</tr>", page)
    row = next(row for row in rows if ">Lantern print</th>" in row)
    assert "2 fat quarters" in row
    assert "20 × 16 in" in row
    assert page.index("Must measure at least") < page.index("</thead>", page.index("in the bag"))


def test_yardage_must_measure_its_whole_length_and_each_form_of_a_mix_its_own() -> None:
    catalogue = Catalogue()
    quarter, eighth = catalogue.find("fat quarter"), catalogue.find("fat eighth")
    taken = Yield(count=1, lower_bound=1, proven=True, buy="what is bought")
    length = replace(taken, buy_length=Fraction(45, 2))
    assert say_at_least(length, catalogue.yardage, Unit.INCH) == "40 × 22½ in"
    mix = replace(quarter, mix=(quarter, eighth))
    assert say_at_least(taken, mix, Unit.INCH) == ("fat quarter 20 × 16 in; fat eighth 20 × 8 in")


def test_a_one_way_print_is_told_before_any_cut_and_its_arrow_has_one_head(
    class_plan: KitPlan,
) -> None:
    told = "Lantern print has a print that runs one way"
    usual, one_way = (
        render_pages(plan).files[GUIDE] for plan in (class_plan, run_one_way(class_plan))
    )
    assert told not in usual
    assert one_way.index(told) < one_way.index("What is in the bag")
    arrows = r'class="grain" d="([^"]*)"'
    heads = [arrow.count("M") - 1 for arrow in re.findall(arrows, usual)]
    assert heads[:2] == [2, 2]
    heads = [arrow.count("M") - 1 for arrow in re.findall(arrows, one_way)]
    assert heads[:2] == [1, 1], "both layouts of the print"


def test_a_layout_that_may_begin_a_page_names_its_fabric(class_plan: KitPlan) -> None:
    names = [view.name for view in layouts_of(class_plan)]
    assert names == ["Layout 1", "Lantern print, Layout 2"]


@pytest.mark.parametrize("fabric", [0, 1, 2, 3])
def test_a_box_without_words_stays_with_the_last_word(class_plan: KitPlan, fabric: int) -> None:
    one = class_plan.fabrics[fabric]
    assert one.job is not None
    views = view_layouts(one.job, one.form, Unit.INCH, Catalogue())
    for layout, view in zip(one.job.layouts, views, strict=True):
        for step, shown in zip(layout.steps, view.steps, strict=True):
            assert text_of(shown.words) + text_of(shown.last) == step.text
            few = len(shown.boxes) == 1 and not shown.boxes[0].text
            last = text_of(shown.last)
            assert bool(last) is (few and shown.boxes[0].count <= 4)
            assert " " not in last or any(word.is_size for word in shown.last)


def test_a_step_keeps_its_lone_box_on_the_line_of_its_last_word(class_plan: KitPlan) -> None:
    page = render_pages(class_plan).files[GUIDE]
    lone = re.findall(r'<span class="endword">([^<]*)(?:<b[^>]*>[^<]*</b>[^<]*)? <span', page)
    assert lone
    assert '<span class="boxes"><span class="stack"> <input' not in page

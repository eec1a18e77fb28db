"""Cloth that comes in prints: how many of each go where stands on all that is said of it."""

from __future__ import annotations

import re

import pytest
from quilt import fabric, pattern, piece
from test_kit import plan

from kitmaker.cutting_jobs import Action
from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

PETALS = fabric("Petals", piece("petal", 3, 4, 36, from_each=6), prints=6)


def words(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html.replace("&nbsp;", " ")))


def pages(made: KitPlan) -> dict[str, str]:
    return {name: words(text) for name, text in render_pages(made).files.items()}


def page(of: dict[str, str], start: str) -> str:
    return next(text for name, text in of.items() if name.startswith(start))


@pytest.fixture(scope="module")
def cut_forms() -> KitPlan:
    what = pattern(PETALS)
    return plan(what, kits=4, forms=((None, "fat quarter"),), bags=((None, Bag.PIECES),))


@pytest.fixture(scope="module")
def cut_lengths() -> KitPlan:
    return plan(pattern(PETALS), kits=4, bags=((None, Bag.PIECES),))


def test_steps_and_layouts_say_how_many_forms_of_each_print(cut_forms: KitPlan) -> None:
    job = cut_forms.fabrics[0].job
    assert job is not None
    assert job.prints == 6
    for layout in job.layouts:
        each = f"{layout.copies // 6} of each of "
        assert layout.steps[0].text.startswith(f"Take {each}the 6 prints.")
        assert f"{each}6 prints" in page(pages(cut_forms), "cutting-sheet")


def test_tally_pull_list_packing_list_and_labels_say_how_many_of_each_print(
    cut_forms: KitPlan,
) -> None:
    of = pages(cut_forms)
    assert "24 of each of 6 prints" in page(of, "cutting-sheet"), "for all four kits"
    count = cut_forms.fabrics[0].total.count
    assert f"{count} fat quarters; {count // 6} of each of 6 prints" in page(of, "pull-list")
    for name in ("packing-list", "bag-labels", "piece-labels", "students-cutting-guide"):
        assert "6 of each of 6 prints" in page(of, name), name


def test_each_print_is_a_length_of_its_own(cut_lengths: KitPlan) -> None:
    (fabric_plan,) = cut_lengths.fabrics
    assert fabric_plan.job is not None
    steps = [step for layout in fabric_plan.job.layouts for step in layout.steps]
    straightened = [step for step in steps if step.action is Action.STRAIGHTEN]
    assert [step.part_count for step in straightened] == [6]
    cuts = [step for step in steps if step.action is Action.CUT and not step.part]
    assert cuts[0].text.startswith("Take each of the 6 prints and stack them 2 high")
    strips = sum(cut.measures[0].times for cut in cuts)
    assert strips * 6 == fabric_plan.job.layouts[0].copies
    assert cut_lengths.pull[0].length == fabric_plan.total.buy_length
    each = fabric_plan.total.buy.partition("× ")[2].rstrip(")")
    assert f"{each} of each of 6 prints" in page(pages(cut_lengths), "pull-list")


def test_bags_uncut_say_how_many_forms_of_each_print() -> None:
    made = plan(pattern(PETALS), kits=4, forms=((None, "fat quarter"),))
    of = pages(made)
    for name in ("cutting-and-bagging", "packing-list", "bag-labels", "students-cutting-guide"):
        assert "1 of each of 6 prints" in page(of, name), name
    assert "24 fat quarters; 4 of each of 6 prints" in page(of, "pull-list")

"""Pages for the whole class tell which colorway's bags get what."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.class_sheet import ClassSheetView, TeamCloth, view_class_sheet
from kitmaker.paper.sheets.page import CLASS_SHEET, list_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag, Colorway

BLUE, GREEN, RED = "Blue evening", "Green noon", "Red dawn"


@pytest.fixture
def three_ways(class_plan: KitPlan) -> KitPlan:
    """The class with a third colorway between the two; it has no lot in the shared background."""
    blue, red = class_plan.colorways
    green = Colorway(name=GREEN, kits=1, skus=())
    fabrics = [
        replace(one, colorway=GREEN, kits=1, sku=f"G-{at}")
        for at, one in enumerate(class_plan.fabrics)
        if one.colorway == BLUE and one.bag is Bag.UNCUT
    ]
    return replace(
        class_plan,
        kits=13,
        colorways=(blue, green, red),
        fabrics=(*class_plan.fabrics, *fabrics),
    )


def class_sheet(plan: KitPlan) -> ClassSheetView:
    page = next(one for one in list_pages(plan) if one.file_name == CLASS_SHEET)
    return view_class_sheet(plan, page)


def cloths(view: ClassSheetView, name: str) -> tuple[TeamCloth, ...]:
    return next(one.cloths for one in view.fabrics if one.name == name)


def test_the_class_sheet_has_a_column_for_each_colorway_with_its_kits(three_ways: KitPlan) -> None:
    view = class_sheet(three_ways)
    assert view.ways == (
        "Blue evening, kits 1 to 7",
        "Green noon, kit 8",
        "Red dawn, kits 9 to 13",
    )
    prints = cloths(view, "Lantern print")
    assert [one.about[:6] for one in prints] == ["JT-210", "G-0 La", "JT-214"]
    assert all(sum(cloth.span for cloth in one.cloths) == 3 for one in view.fabrics)


def test_what_colorways_have_cut_in_one_go_is_one_amount(
    class_plan: KitPlan, three_ways: KitPlan
) -> None:
    together = cloths(class_sheet(class_plan), "Background")
    assert [one.span for one in together] == [2]
    blue, green, red = cloths(class_sheet(three_ways), "Background")
    assert blue.amount == together[0].amount
    assert (green.amount, green.about) == ("", "")
    assert red.amount == "cut with Blue evening"


def test_a_class_without_colorways_has_one_column(class_plan: KitPlan) -> None:
    own = tuple(replace(one, colorway="") for one in class_plan.fabrics if one.colorway == BLUE)
    plan = replace(class_plan, colorways=(Colorway(name="", kits=None, skus=()),), fabrics=own)
    assert class_sheet(plan).ways == ("In all",)


def test_the_bagging_sheet_names_the_bags_of_each_colorway(three_ways: KitPlan) -> None:
    page = render_pages(three_ways).files["cutting-and-bagging-sheet.html"]
    for bags in (
        "Into each of bags 1 to 7 (Blue evening):",
        "Into bag 8 (Green noon):",
        "Into each of bags 9 to 13 (Red dawn):",
    ):
        assert bags in page


def test_a_kit_card_bears_its_colorway(class_plan: KitPlan) -> None:
    cards = render_pages(class_plan).files["kit-cards.html"]
    assert cards.count("colorway <b>Blue evening</b>") == 7
    assert cards.count("colorway <b>Red dawn</b>") == 5

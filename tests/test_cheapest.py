"""``plan --form cheapest``: the form that costs the shop least, of those it has."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path

import pytest
from quilt import (
    bolt,
    class_sheet,
    colorway,
    fabric,
    on_shelf,
    pattern,
    piece,
    priced_catalogue,
    shop,
    strip,
)
from test_cli import LANTERNS, SHOP, run

import kitmaker as km
from kitmaker.errors import CannotBeMetError, ExitCode, UsageError
from kitmaker.forms import Catalogue
from kitmaker.pattern import Fabric, PatternReading
from kitmaker.plans import KitPlan
from kitmaker.shop import ClassReading, ClassSheet, Shop, ShopReading

STARS = fabric("Stars", piece("A", 5, 5, 13), piece("B", "2.5", "4.5", 20), sku="S-1")
COSTS = {
    "fat_quarter": "2.60",
    "half_yard": "4.10",
    "third_yard": "3.10",
    "square_10": "0.95",
    "yardage": "7.90",
}


def plan(
    *fabrics: Fabric,
    at: Shop,
    kits: int | None = 6,
    forms: str | dict[str, str] = "cheapest",
    bags: str | None = None,
    sheet: ClassSheet | None = None,
) -> KitPlan:
    return km.plan(
        PatternReading(pattern=pattern(*fabrics)),
        kits,
        ShopReading(shop=at),
        None if sheet is None else ClassReading(class_sheet=sheet),
        forms=forms,
        bags=bags,
    )


def chosen(made: KitPlan) -> list[str]:
    return [one.form.form_id for one in made.fabrics]


def why(made: KitPlan, role: str = "Stars") -> str:
    return next(one.source for one in made.choices if one.label == role)


@pytest.mark.parametrize("bags", ["uncut", "pieces"])
@pytest.mark.parametrize("kits", [1, 6])
def test_no_form_with_a_cost_is_cheaper_as_planned(bags: str, kits: int) -> None:
    at = shop(catalogue=priced_catalogue(**COSTS))
    cheapest = plan(STARS, at=at, kits=kits, bags=bags)
    costs = {}
    for form in COSTS:
        made = plan(STARS, at=at, kits=kits, bags=bags, forms=form.replace("_", "-"))
        costs[form.replace("_", "-")] = made.fabric_cost
    (form,) = chosen(cheapest)
    assert cheapest.fabric_cost == costs[form] == min(one for one in costs.values() if one)


def test_it_is_the_cheapest_for_these_kits_and_this_bag() -> None:
    """A fat half gives the pieces of four kits, a fat quarter those of two."""
    what = fabric("Stars", piece("A", 8, 16, 1))
    at = shop(catalogue=priced_catalogue(fat_quarter="2.60", fat_half="4.60"))
    assert chosen(plan(what, at=at, kits=4, bags="uncut")) == ["fat-quarter"]
    assert chosen(plan(what, at=at, kits=4, bags="pieces")) == ["fat-half"]
    assert chosen(plan(what, at=at, kits=2, bags="pieces")) == ["fat-quarter"]


def test_one_fabric_may_take_its_cheapest_and_another_what_it_is_told() -> None:
    trim = fabric("Trim", piece("C", 5, 5, 4))
    at = shop(catalogue=priced_catalogue(**COSTS))
    made = plan(STARS, trim, at=at, forms={"Stars": "cheapest", "Trim": "half-yard"})
    assert chosen(made)[1] == "half-yard"
    assert "the least of 5 with a cost" in why(made)
    assert "cost" not in why(made, "Trim")


def test_what_the_shelf_has_not_enough_of_comes_after_what_it_has() -> None:
    catalogue = priced_catalogue(square_10="0.10", fat_quarter="2.00", half_yard="9.00")
    at = shop(
        on_shelf("S-1", "10-inch square", 3),
        on_shelf("S-1", "fat quarter", 40),
        catalogue=catalogue,
    )
    made = plan(STARS, at=at)
    assert chosen(made) == ["fat-quarter"]
    assert "not enough on the shelf: 10-inch square" in why(made)
    assert not [one for one in made.problems if one.is_error]


def test_a_form_may_be_cut_off_the_bolt() -> None:
    catalogue = priced_catalogue(fat_quarter="2.00", half_yard="9.00")
    assert chosen(plan(STARS, at=shop(bolt("S-1", 20), catalogue=catalogue))) == ["fat-quarter"]


def test_where_the_shelf_has_enough_of_none_the_cheapest_is_planned_and_found_short() -> None:
    catalogue = priced_catalogue(fat_quarter="2.00", half_yard="9.00")
    made = plan(STARS, at=shop(on_shelf("S-1", "fat quarter", 1), catalogue=catalogue))
    assert chosen(made) == ["fat-quarter"]
    assert "enough of none" in why(made)
    assert any(one.is_error for one in made.problems)


def test_a_bolt_is_never_taken_for_wide_backing() -> None:
    catalogue = priced_catalogue(wide_backing="3.00", yardage="8.00")
    assert chosen(plan(STARS, at=shop(bolt("S-1", 20), catalogue=catalogue))) == ["yardage"]
    wide = bolt("S-1", 20, usable_width=F(104))
    assert chosen(plan(STARS, at=shop(wide, catalogue=catalogue))) == ["wide-backing"]


def test_one_form_is_the_cheapest_over_all_colorways() -> None:
    """Dusk has cheap fat quarters, Dawn dear ones."""
    catalogue = priced_catalogue(half_yard="4.00", fat_quarter="2.00")
    at = shop(
        bolt("D-1", 30),
        bolt("D-2", 30),
        on_shelf("D-2", "fat quarter", 0, cost=D("9.00")),
        catalogue=catalogue,
    )
    ways = class_sheet(colorway("Dusk", 9, Stars="D-1"), colorway("Dawn", 1, Stars="D-2"))
    what = fabric("Stars", piece("A", 5, 5, 24))
    assert chosen(plan(what, at=at, kits=None, sheet=ways)) == ["half-yard"] * 2
    even = class_sheet(colorway("Dusk", 9, Stars="D-1"))
    assert chosen(plan(what, at=at, kits=None, sheet=even)) == ["fat-quarter"]


def test_without_any_cost_nothing_is_chosen() -> None:
    with pytest.raises(UsageError, match="no form of Stars has a cost"):
        plan(STARS, at=shop())


def test_pieces_that_fit_no_form_with_a_cost_are_named_with_those_forms() -> None:
    binding = fabric("Binding", strip("K", "2.5", 6))
    at = shop(catalogue=priced_catalogue(fat_quarter="2.60"))
    with pytest.raises(CannotBeMetError, match=r"Binding.*fit no form.*\(fat quarter\)"):
        plan(binding, at=at)


def test_an_amount_without_pieces_goes_in_as_it_stands() -> None:
    lining = fabric("Lining", yards="1.5", sku="L-1")
    at = shop(bolt("L-1", 20, cost=D("7.00")), catalogue=priced_catalogue(fat_quarter="0.10"))
    made = plan(lining, at=at)
    assert chosen(made) == ["yardage"]
    assert "its own amount" in why(made, "Lining")


def test_no_form_of_the_catalogue_is_called_so() -> None:
    assert all("cheapest" not in (one.form_id, one.name) for one in Catalogue())


def test_the_command_says_on_the_index_which_form_was_chosen_and_why(tmp_path: Path) -> None:
    words = ("plan", LANTERNS, "--shop", SHOP, "--kits", 2, "--form", "ironwork=cheapest")
    result = run(*words, "--out", tmp_path / "plan")
    assert result.exit_code == ExitCode.DONE, result.stderr
    index = (tmp_path / "plan" / "index.html").read_text(encoding="utf-8")
    assert "--form cheapest ($6.75 for all kits, the least of 4 with a cost" in index


def test_the_command_ends_with_2_where_no_cost_is_known(tmp_path: Path) -> None:
    result = run("plan", LANTERNS, "--form", "cheapest", "--out", tmp_path / "plan")
    assert result.exit_code == ExitCode.USAGE
    assert not (tmp_path / "plan").exists()

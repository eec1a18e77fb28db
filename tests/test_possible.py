"""How many complete kits the shelf gives, and what would help."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction as F
from itertools import pairwise

import pytest
from quilt import bolt, choice, class_sheet, colorway, fabric, on_shelf, pattern, piece, shop

from kitmaker.errors import CannotBeMetError, UsageError
from kitmaker.kits.batches import Batch, batches_of
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.kits.fabrics import Entry, entries_of, plan_kits_of
from kitmaker.kits.kit import plan_kits
from kitmaker.kits.lasting import share_out
from kitmaker.kits.most import plan_most
from kitmaker.kits.possible import kits_possible
from kitmaker.kits.yields import Taken
from kitmaker.pattern import Pattern
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag, ClassSheet, Ease, Shop

STARS = fabric("Stars", piece("B", "3.5", "3.5", 40), sku="S-1")
SKY = fabric("Sky", piece("A", "2.5", "4.5", 40), sku="K-1")


def plan(what: Pattern, at: Shop, sheet: ClassSheet, resolved: Resolved) -> KitPlan:
    return plan_kits(what, at, sheet, resolved, number="TEST01")


def planned(what: Pattern, at: Shop, **options: object) -> KitPlan:
    sheet = class_sheet()
    return plan(what, at, sheet, resolve(what, at, sheet, Options(**options)))  # type: ignore[arg-type]


def is_short(made: KitPlan) -> bool:
    return any(line.short for line in made.pull)


def test_a_colorway_that_gets_no_kit_still_limits_the_class() -> None:
    """Blue lasts for ten, Red for none: the second kit in the class's proportion is Red's."""
    sheet = class_sheet(colorway("Blue", 4, Stars="S-1"), colorway("Red", 3, Stars="S-2"))
    at = shop(bolt("S-1", 5), bolt("S-2", "0.125"))
    what = pattern(STARS)
    asked = resolve(what, at, sheet, Options(most_kits=True))
    most = plan_most(what, at, asked, lambda _: None)
    made = plan(what, at, sheet, most)
    assert (most.kits, made.kits_possible) == (1, 1)
    assert made.runs_out == ""
    said = {one.label: one.value for one in most.choices}
    assert said["Kits"] == "1; Stars (SKU S-2) runs out first"


@pytest.mark.parametrize("bag", [Bag.UNCUT, Bag.PIECES])
@pytest.mark.parametrize("yards", ["2", "3.875"])
def test_the_shelf_gives_n_kits_and_not_one_more(bag: Bag, yards: str) -> None:
    at = shop(bolt("S-1", yards), bolt("S-1", "0.75"))
    most = planned(pattern(STARS), at, kits=1, bags=((None, bag),)).kits_possible
    assert most is not None
    assert most >= 1
    assert not is_short(planned(pattern(STARS), at, kits=most, bags=((None, bag),)))
    assert is_short(planned(pattern(STARS), at, kits=most + 1, bags=((None, bag),)))


def test_kits_max_keeps_the_classs_proportion_and_says_each_alone() -> None:
    sheet = class_sheet(
        colorway("Blue", 2, Stars="S-1"),
        colorway("Red", 1, Stars="S-2"),
        fabrics=(choice("Stars", "fat quarter"),),
    )
    at = shop(on_shelf("S-1", "FQ", 13), on_shelf("S-2", "FQ", 20))
    what = pattern(STARS)
    asked = resolve(what, at, sheet, Options(most_kits=True))
    most = plan_most(what, at, asked, lambda _: None)
    assert most.kits == 9
    assert [one.kits for one in most.colorways] == [6, 3]
    said = {one.label: one.value for one in most.choices}
    assert said["Blue alone"].startswith("6 kits at most")
    assert said["Red alone"].startswith("10 kits at most")
    made = plan(what, at, sheet, most)
    assert made.kits_possible == 9
    assert not is_short(made)


@pytest.mark.parametrize("weights", [(6, 6, 2), (7, 5), (1, 0, 3), (5, 4, 3, 2, 1)])
def test_one_kit_more_is_never_taken_from_a_colorway(weights: tuple[int, ...]) -> None:
    """By largest remainders 10 kits of 6 : 6 : 2 would be 4, 4, 2, and 11 would be 5, 5, 1."""
    shares = [share_out(kits, weights) for kits in range(2 * sum(weights) + 1)]
    assert shares[sum(weights)] == list(weights)
    assert shares[2 * sum(weights)] == [2 * weight for weight in weights]
    for before, after in pairwise(shares):
        assert sum(after) == sum(before) + 1
        assert all(one <= more for one, more in zip(before, after, strict=True))


def test_kits_max_of_a_mix_without_costs_is_planned_though_a_warning_is_said() -> None:
    """40 squares of 3½: 20 from a fat quarter, 10 from a fat eighth."""
    at = shop(on_shelf("S-1", "fat quarter", 3), on_shelf("S-1", "fat eighth", 3))
    forms = ((None, "fat quarter+fat eighth"),)
    asked = resolve(pattern(STARS), at, class_sheet(), Options(most_kits=True, forms=forms))
    assert plan_most(pattern(STARS), at, asked, lambda _: None).kits == 1


def test_kits_max_without_a_stock_sheet_is_refused() -> None:
    with pytest.raises(UsageError, match="no Stock sheet"):
        resolve(pattern(STARS), shop(), class_sheet(), Options(most_kits=True))


def test_kits_max_of_nothing_says_what_runs_out() -> None:
    at = shop(bolt("S-1", "0.25"))
    asked = resolve(pattern(STARS), at, class_sheet(), Options(most_kits=True))
    with pytest.raises(CannotBeMetError, match="one complete kit"):
        plan_most(pattern(STARS), at, asked, lambda _: None)


def test_only_what_really_helps_is_suggested() -> None:
    """Uncut, 8 × ½ yd = 4 yd; cut together 320 squares take 30 strips = 105 in and loss: 3 yd."""
    made = planned(pattern(STARS), shop(bolt("S-1", "3.125")), kits=8)
    (short,) = [problem for problem in made.problems if problem.is_error]
    assert "Stars as cut pieces" in short.suggestion
    none = planned(pattern(STARS), shop(bolt("S-1", "2")), kits=8)
    (short,) = [problem for problem in none.problems if problem.is_error]
    assert "no other form or bag would help" in short.suggestion


def test_less_loss_is_suggested_where_that_suffices() -> None:
    """40 of 2½ × 4½ are 5 strips of 8, 12½ in, and ½ in to straighten; there are 12¾ in."""
    at = shop(bolt("K-1", F(51, 144)), straighten=F(1, 2))
    made = planned(pattern(SKY), at, kits=1, bags=((None, Bag.PIECES),))
    (short,) = [problem for problem in made.problems if problem.is_error]
    assert "half the loss" in short.suggestion


def test_more_kits_than_planned_are_counted_without_cutting_them_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The bolt lasts for ages; the fat quarters set the limit, so nothing is solved for 9 kits."""
    both = pattern(STARS, SKY)
    at = shop(bolt("S-1", 20), on_shelf("K-1", "FQ", 18))
    asked = resolve(
        both,
        at,
        class_sheet(),
        Options(kits=4, bags=(("Stars", Bag.PIECES),), forms=(("Sky", "fat quarter"),)),
    )
    batches = batches_of(plan_kits_of(entries_of(both, at, asked), []))
    solved: list[int] = []

    def count(batch: Batch, kits_of: Callable[[Entry], int]) -> Taken:
        solved.append(kits_of(batch.entries[0]))
        return real(batch, kits_of)

    real = Batch.take
    monkeypatch.setattr(Batch, "take", count)
    assert kits_possible(batches, at, asked, lambda _: None) == (9, "Sky (SKU K-1)")
    assert solved == []


def test_cloth_is_spent_on_easier_cutting_only_where_the_shelf_has_it() -> None:
    """With labor dear a longer cutting is chosen; a shelf of the shortest length is enough."""
    sizes = (
        *(("A", "2.375", 3, 10), ("B", "1.5", "9.375", 21)),
        *(("C", 2, "8.375", 27), ("D", "2.625", "9.5", 32)),
    )
    what = pattern(fabric("Sky", *(piece(*one) for one in sizes), sku="S-1"))
    options: dict[str, object] = {"kits": 4, "bags": ((None, Bag.PIECES),)}

    def planned_on(yards: F, **more: object) -> KitPlan:
        at = shop(bolt("S-1", yards), labor_per_hour=Decimal(300), **more)
        return planned(what, at, **options)

    long, least = planned_on(F(20)), planned_on(F(20), ease=Ease(share=F(0)))
    (most,), (short,) = long.pull, least.pull
    assert most.length > short.length
    exact = planned_on(short.length / 36)
    assert (is_short(exact), exact.pull[0].length) == (False, short.length)
    nameless = pattern(*(fabric(role, *(piece(*one) for one in sizes)) for role in ("Sky", "Sea")))
    free = planned(nameless, shop(labor_per_hour=Decimal(300)), **options)
    assert [line.length for line in free.pull] == [most.length] * 2


@pytest.mark.parametrize("yards", ["1", "2.25", "3.5"])
def test_the_most_kits_are_the_same_counted_from_a_plan_or_from_nothing(yards: str) -> None:
    at = shop(bolt("S-1", yards), bolt("S-1", "0.75"))
    bags = ((None, Bag.PIECES),)
    counted = planned(pattern(STARS), at, kits=1, bags=bags).kits_possible
    asked = resolve(pattern(STARS), at, class_sheet(), Options(most_kits=True, bags=bags))
    assert plan_most(pattern(STARS), at, asked, lambda _: None).kits == counted


def two_colorways() -> ClassSheet:
    return class_sheet(colorway("Blue", 4, Stars="S-1"), colorway("Red", 4, Stars="S-2"))


def suggestion_of(made: KitPlan) -> str:
    (short,) = [problem for problem in made.problems if problem.is_error]
    return short.suggestion


def test_with_colorways_it_is_said_how_many_of_the_short_one_can_be_made() -> None:
    at = shop(bolt("S-1", "1.625"), bolt("S-2", 4))
    sheet = two_colorways()
    made = plan(pattern(STARS), at, sheet, resolve(pattern(STARS), at, sheet, Options()))
    assert "3 instead of 4 kits of Blue" in suggestion_of(made)
    assert "Red" not in suggestion_of(made)


@pytest.mark.parametrize(("yards_of_red", "helps"), [("2", True), ("1.5", False)])
def test_a_form_that_would_make_another_colorway_short_is_no_help(
    yards_of_red: str, helps: bool
) -> None:
    """16 squares of 5 in: ⅜ yd off the bolt, or two fat quarters, ½ yd when cut from it."""
    at = shop(bolt("S-1", "0.5"), on_shelf("S-1", "fat quarter", 8), bolt("S-2", yards_of_red))
    sheet = two_colorways()
    what = pattern(fabric("Stars", piece("B", 5, 5, 16)))
    made = plan(what, at, sheet, resolve(what, at, sheet, Options()))
    assert ("Stars from fat quarter" in suggestion_of(made)) is helps

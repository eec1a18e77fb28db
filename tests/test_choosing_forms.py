"""Choosing forms with money: what each form of a fabric costs, sells for, leaves over and takes."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from quilt import bolt, fabric, on_shelf, pattern, piece, priced_catalogue, shop, strip

from kitmaker.choosing import FabricOptions, Option
from kitmaker.commands.convert import convert_json, convert_text
from kitmaker.forms import Catalogue
from kitmaker.kits.convert import convert
from kitmaker.lengths import Unit
from kitmaker.pattern import Fabric
from kitmaker.plans import KitPlan
from kitmaker.shop import Shop

STARS = fabric("Stars", piece("A", 5, 5, 13), piece("B", "2.5", "4.5", 20), sku="S-1")
FORMS = ("fat-quarter", "strip-2.5", "half-yard", "yardage", "square-10")


def options(
    what: Fabric, at: Shop | None = None, forms: tuple[str, ...] = FORMS, kits: int = 1
) -> FabricOptions:
    at = at or shop()
    asked = [(name, at.catalogue.find_mix(name)) for name in forms]
    (found,) = convert(pattern(what), asked, at, kits)
    return found


def by_form(found: FabricOptions) -> dict[str, Option]:
    return {one.asked: one for one in found.options}


def said(found: FabricOptions, at: Shop | None = None, *, why: bool = False) -> str:
    return "\n".join(convert_text([found], Unit.INCH, at or shop(), why=why))


# money


def test_the_cost_of_forms_is_their_number_times_the_cost_of_one() -> None:
    catalogue = priced_catalogue(fat_quarter="2.60", half_yard="4.10")
    found = by_form(options(STARS, shop(catalogue=catalogue)))
    for name, cost in (("fat-quarter", D("2.60")), ("half-yard", D("4.10"))):
        amount = found[name].amount
        assert amount is not None
        assert found[name].cost == amount.count * cost
    assert found["square-10"].cost is None


def test_a_length_takes_the_cost_of_its_skus_bolt_before_that_of_the_forms_sheet() -> None:
    catalogue = priced_catalogue(yardage="5.00")
    own = by_form(options(STARS, shop(bolt("S-1", 9, cost=D("8.00")), catalogue=catalogue)))
    amount = own["yardage"].amount
    assert amount is not None
    assert amount.buy_length is not None
    assert own["yardage"].cost == F(8) * amount.buy_length / 36
    others = by_form(options(STARS, shop(bolt("S-2", 9, cost=D("8.00")), catalogue=catalogue)))
    assert others["yardage"].cost == F(5) * amount.buy_length / 36


def test_a_form_without_a_cost_of_its_own_is_not_costed_off_the_bolt() -> None:
    """Half a yard cut for one fat quarter is no cost of a fat quarter."""
    at = shop(bolt("S-1", 9, cost=D("8.00")), on_shelf("S-1", "half yard", 3, cost=D("4.20")))
    found = by_form(options(STARS, at))
    assert found["fat-quarter"].cost is None
    half = found["half-yard"]
    assert half.amount is not None
    assert half.cost == half.amount.count * D("4.20")


def test_wide_backing_has_not_the_cost_of_a_bolt() -> None:
    bolts = bolt("S-1", 9, cost=D("8.00"), price=D("16.00"))
    found = options(STARS, shop(bolts), ("yardage", "wide-backing"))
    assert [one.cost is not None for one in found.options] == [True, False]
    assert [one.price is not None for one in found.options] == [True, False]
    wide = bolt("S-1", 9, cost=D("18.00"), usable_width=F(104))
    (only,) = options(STARS, shop(wide), ("wide-backing",)).options
    assert only.cost == D("4.50"), "a quarter of a yard"


def test_the_price_is_the_shelfs_without_markup_labor_or_fee() -> None:
    catalogue = priced_catalogue(fat_quarter="2.60")
    quarter = replace(catalogue.find("fat-quarter"), price=D("5.25"))
    at = shop(catalogue=catalogue.with_own([quarter]), kit_fee=D(5), labor_per_hour=D(30))
    found = by_form(options(STARS, at))["fat-quarter"]
    assert found.amount is not None
    assert found.price == found.amount.count * D("5.25")
    piled = replace(at, stock=(on_shelf("S-1", "FQ", 9, price=D("6.00")),))
    assert by_form(options(STARS, piled))["fat-quarter"].price == found.amount.count * D("6.00")


def test_a_class_changes_only_cost_price_and_minutes() -> None:
    catalogue = priced_catalogue(fat_quarter="2.60", yardage="7.00", square_10="0.90")
    at = shop(catalogue=catalogue)
    forms = (*FORMS, "fat-quarter+square-10")
    one, dozen = options(STARS, at, forms), options(STARS, at, forms, kits=12)
    for kit, many in zip(one.options, dozen.options, strict=True):
        assert replace(many, cost=None, price=None, minutes=None) == replace(
            kit, cost=None, price=None, minutes=None
        )
        assert (many.cost is None) == (kit.cost is None)
        if kit.cost is not None and many.cost is not None:
            assert abs(many.cost - 12 * kit.cost) <= D("0.06"), "rounded once, in cents"
        if kit.minutes is not None and many.minutes is not None:
            assert kit.minutes < many.minutes <= 12 * kit.minutes


def test_stacks_of_four_are_cut_at_once_for_a_class() -> None:
    """One fat quarter a kit, cut alike: the first kit, then stacks of four and three."""
    what = fabric("Stars", piece("A", 5, 5, 12))
    (kit,) = options(what, forms=("fat-quarter",)).options
    (many,) = options(what, forms=("fat-quarter",), kits=8).options
    assert kit.minutes is not None
    assert many.minutes is not None
    assert many.minutes < 5 * kit.minutes, "the ruler is set for the first kit and for the others"


# what is left over


def test_what_is_left_over_is_a_share_of_the_cloth_that_is_taken() -> None:
    """Thirteen squares of 5 and no waste but the usable area they do not fill."""
    what = fabric("Stars", piece("A", 5, 5, 13))
    found = by_form(options(what, forms=("fat-quarter", "square-5", "yardage")))
    assert found["fat-quarter"].left_over == 1 - F(13 * 25, 2 * 20 * 16)
    assert found["square-5"].left_over == 0
    assert found["yardage"].left_over == 1 - F(13 * 25 * 2, 40 * 27), "⅜ yd for 10 in"


# rank


def test_ranks_are_by_cost_then_by_cloth_without_ties() -> None:
    catalogue = priced_catalogue(fat_quarter="2.00", half_yard="4.00")
    found = options(fabric("Stars", piece("A", 5, 5, 24)), shop(catalogue=catalogue))
    ranks = {one.asked: one.rank for one in found.options}
    costs = by_form(found)
    assert costs["fat-quarter"].cost == costs["half-yard"].cost == D("4.00")
    assert ranks == {
        "fat-quarter": 1,  # 640 sq in against 680
        "half-yard": 2,
        "square-10": 3,  # no cost, 600 sq in
        "yardage": 4,  # no cost, 720 sq in
        "strip-2.5": None,
    }
    assert [one.asked for one in found.options] == list(FORMS), "as they were asked for"
    assert [one.rank for one in found.ranked] == [1, 2, 3, 4]


def test_estimates_have_costs_of_what_they_need_at_least() -> None:
    what = fabric("Backing", yards="3.5", sku="B-1")
    catalogue = priced_catalogue(fat_half="6.00")
    at = shop(bolt("B-1", 9, cost=D("7.00")), catalogue=catalogue)
    found = by_form(
        options(what, at, ("yardage", "fat-half", "wide-backing", "fat-half+fat-eighth"))
    )
    assert found["yardage"].cost == D("24.50")
    assert found["fat-half"].cost == 8 * D("6.00")
    assert found["wide-backing"].amount is not None
    assert found["wide-backing"].amount.buy == "1⅜ yd", "5040 square inches, 104 wide"
    assert found["fat-half+fat-eighth"].cost is None, "a mix that is not worked out"
    assert all(one.feasible is None and one.left_over is None for one in found.values())
    assert sorted(one.rank or 0 for one in found.values()) == [1, 2, 3, 4]


# the same as a plan


@pytest.mark.parametrize("form", ["fat-quarter", "half-yard", "yardage"])
def test_a_plan_of_uncut_bags_takes_and_costs_the_same(form: str) -> None:
    from kitmaker.kits.choices import Options, resolve
    from kitmaker.kits.kit import plan_kits
    from kitmaker.shop import ClassSheet

    at = shop(
        bolt("S-1", 40, cost=D("7.90"), usable_width=F(39), shrinkage=F(3, 100)),
        catalogue=priced_catalogue(fat_quarter="2.60", half_yard="4.10"),
    )
    asked = Options(kits=7, forms=((None, form),))
    resolved = resolve(pattern(STARS), at, ClassSheet(), asked)
    made: KitPlan = plan_kits(pattern(STARS), at, ClassSheet(), resolved, number="TEST02")
    (planned,) = made.fabrics
    (found,) = options(STARS, at, (form,), kits=7).options
    assert found.amount is not None
    assert found.amount.buy == planned.per_kit.buy
    assert found.form.usable_across == planned.form.usable_across
    assert found.cost == planned.cost


# words and data


def test_words_are_ranked_and_say_what_will_not_fit_in_one_line() -> None:
    at = shop(catalogue=priced_catalogue(fat_quarter="2.60", half_yard="1.10"))
    lines = said(options(STARS, at), at).partition("The whole")[0].splitlines()
    assert [line.split()[1] for line in lines if line.strip()[:1].isdigit()] == [
        "half-yard",
        "fat-quarter",
        "square-10",
        "yardage",
    ]
    assert sum("no cost known" in line for line in lines) == 2
    assert "only if the Forms sheet gives it" in lines[0]
    assert [line.strip() for line in lines if "strip-2.5" in line] == ["Won't fit: strip-2.5"]
    assert "5 × 5 in, does not fit" in said(options(STARS, at), at, why=True)


def test_without_any_cost_nothing_is_said_of_money_but_once() -> None:
    words = said(options(STARS))
    assert words.count("No costs are known") == 1
    assert "$" not in words
    assert "no cost known" not in words


def test_a_class_is_named_where_money_is_its() -> None:
    at = shop(catalogue=priced_catalogue(fat_quarter="2.60"))
    assert "for 12 kits" in said(options(STARS, at, kits=12), at)
    assert "kits" not in said(options(STARS, at), at)


def test_data_hold_money_left_over_minutes_and_rank_in_the_order_asked() -> None:
    at = shop(catalogue=priced_catalogue(fat_quarter="2.60"))
    data = json.loads(json.dumps(convert_json([options(STARS, at)], Unit.INCH, [])))
    rows = data["fabrics"][0]["options"]
    assert [row["form"] for row in rows] == list(FORMS)
    fits = [row for row in rows if row["feasible"]]
    assert sorted(row["rank"] for row in fits) == [1, 2, 3, 4]
    assert all(0 <= row["left_over"] < 1 and row["minutes"] > 0 for row in fits)
    assert rows[0]["cost"] == pytest.approx(2.6 * rows[0]["count"])
    out = next(row for row in rows if not row["feasible"])
    assert [out[key] for key in ("price", "left_over", "minutes", "rank")] == [None] * 4


def test_a_whole_strip_is_all_of_the_cloth_that_it_is_cut_from() -> None:
    (found,) = options(fabric("Binding", strip("A", "2.5", 6)), forms=("strip-2.5",)).options
    assert found.left_over == 0
    assert Catalogue().find("strip-2.5").usable_across == 40

"""Money, in exact decimals."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from quilt import (
    FORMS,
    any_fabric,
    any_row,
    bolt,
    choice,
    class_sheet,
    colorway,
    fabric,
    on_shelf,
    pattern,
    piece,
    priced_catalogue,
    shop,
)

from kitmaker.errors import Location
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.costs import cost_of_length, in_cents, labor, times
from kitmaker.kits.kit import plan_kits, prices_of
from kitmaker.paper.sheets.prices import say_prices
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag, Extra, Markup, Shop

STARS = fabric("Stars", piece("B", "3.5", "3.5", 40), sku="S-1")
BOOKLET = Extra(
    item="Booklet",
    count_per_kit=F(1),
    cost=D(6),
    price=D(12),
    where=Location("class.xlsx", "Extras", "A2"),
)
DOUBLE = Markup(factor=D(2), as_written="100 %")


def plan(at: Shop, *extras: Extra, **options: object) -> KitPlan:
    sheet = class_sheet(extras=extras)
    what = pattern(STARS)
    resolved = resolve(what, at, sheet, Options(**options))  # type: ignore[arg-type]
    return plan_kits(what, at, sheet, resolved, number="TEST01")


def test_half_a_cent_goes_up_and_no_binary_number_is_near() -> None:
    assert in_cents(D("2.675")) == D("2.68")
    assert times(D("0.1"), F(3)) == D("0.30")
    assert times(D("10"), F(1, 3)) == D("3.33")


def test_a_length_costs_what_the_dearest_row_says() -> None:
    at = shop(bolt("S-1", 1, cost=D(6)), bolt("S-1", 1, cost=D("6.5")))
    assert cost_of_length(at.catalogue.yardage, F(18), "S-1", at) == D("3.25")


def test_labor_comes_from_minutes() -> None:
    assert labor(F(20), shop(labor_per_hour=D(24))) == D("8.00")
    assert labor(F(20), shop()) is None


def test_a_markup_is_on_the_cost_and_extras_sell_at_their_price() -> None:
    """½ yd at 6 = 3, doubled 6; the booklet 12; the fee 5."""
    at = shop(bolt("S-1", 9, cost=D(6)), markup=DOUBLE, kit_fee=D(5))
    assert plan(at, BOOKLET, kits=4).price_per_kit == D("23.00")


def test_without_a_markup_the_shelf_prices_and_the_fee_make_the_price() -> None:
    """½ yd at 13 = 6.50; the booklet 12; the fee 5."""
    at = shop(bolt("S-1", 9, cost=D(6), price=D(13)), kit_fee=D(5))
    made = plan(at, BOOKLET, kits=4)
    assert made.price_per_kit == D("23.50")
    assert made.fabrics[0].price == D("26.00")


def test_a_price_that_is_not_known_is_left_open() -> None:
    assert plan(shop(bolt("S-1", 9, cost=D(6))), kits=4).price_per_kit is None


def test_the_margin_and_one_more_are_said() -> None:
    at = shop(on_shelf("S-1", "fat quarter", 40, cost=D("2.60")), markup=DOUBLE)
    made = plan(at, kits=4, forms=((None, "fat quarter"),))
    said = {one.label: one.value for one in made.choices}
    assert said["Margin"] == "$5.20 a kit, 50.00 % of the price"
    assert said["One spare kit more"] == "$5.20 (cloth $5.20)"
    assert said["One form more"] == "1 fat quarter of S-1 $2.60"


def test_the_total_is_the_sum_of_its_lines() -> None:
    at = shop(bolt("S-1", 9, cost=D("6.79")), labor_per_hour=D(24))
    *lines, total = plan(at, BOOKLET, kits=3).costs
    assert total.label == "Total"
    assert total.total == sum(line.total for line in lines if line.total is not None)


def test_a_kit_of_each_colorway_is_said_where_one_costs_more() -> None:
    """½ yd at 6 is 3, at 8 it is 4; the booklet costs 6 and sells for 12.

    Blue sells for 2 × 3 + 12, Red for 2 × 4 + 12; on average (3 × 18 + 20) / 4.
    """
    at = shop(bolt("S-1", 9, cost=D(6)), bolt("S-2", 9, cost=D(8)), markup=DOUBLE)
    ways = (colorway("Blue", 3, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    sheet = class_sheet(*ways, extras=(BOOKLET,))
    resolved = resolve(pattern(STARS), at, sheet, Options())
    made = plan_kits(pattern(STARS), at, sheet, resolved, number="TEST01")
    said = {one.label: one.value for one in made.choices}
    assert made.price_per_kit == D("18.50")
    assert said["One kit in Blue"] == "costs $9.00; margin $9.00 a kit, 50.00 % of the price"
    assert said["One kit in Red"] == "costs $10.00; margin $10.00 a kit, 50.00 % of the price"
    assert "Margin" not in said
    assert [made.price_of(name) for name in ("Blue", "Red")] == [D("18.00"), D("20.00")]
    blue, red = said["One spare kit more"].split("; ")
    assert blue == "$9.00 (cloth $3.00, extras $6.00) in Blue"
    assert red == "$10.00 (cloth $4.00, extras $6.00) in Red"


def test_colorways_that_cost_the_same_to_the_cent_have_one_margin() -> None:
    """Three times ½ yd come to 9.01, one to 3.00; each kit costs 3.00 and sells for 6.00."""
    at = shop(bolt("S-1", 9, cost=D("6.007")), bolt("S-2", 9, cost=D(6)), markup=DOUBLE)
    sheet = class_sheet(colorway("Blue", 3, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    resolved = resolve(pattern(STARS), at, sheet, Options())
    made = plan_kits(pattern(STARS), at, sheet, resolved, number="TEST01")
    said = {one.label: one.value for one in made.choices}
    assert said["Margin"] == "$3.00 a kit, 50.00 % of the price"
    assert "One kit in Blue" not in said


@pytest.mark.parametrize("seed", [5, 6, 10, 17, 19, 20, 22, 24, 26, 27, 30, 48])
def test_a_kit_more_costs_what_the_class_costs_with_it_less_what_it_costs_without(
    seed: int,
) -> None:
    dice = random.Random(seed)  # noqa: S311 - the same classes on every run
    skus = ["S-1", "S-2"]
    rows = [
        replace(any_row(dice, sku, f"A{2 + at}"), cost=D(dice.randint(199, 1399)) / 100)
        for at, sku in enumerate((*skus, *dice.choices(skus, k=2)))
    ]
    at = shop(
        *rows,
        catalogue=priced_catalogue(fat_quarter="2.65", half_yard="4.05", square_5="0.33"),
        labor_per_hour=dice.choice([None, D(23)]),
    )
    fabrics = [any_fabric(dice, role, dice.choice(skus)) for role in ("Moss", "Fern")]
    own = tuple(choice(one.role, dice.choice(FORMS), dice.choice(list(Bag))) for one in fabrics)
    fills = [{one.role: dice.choice(skus) for one in fabrics} for _ in range(2)]
    kits = [dice.randint(1, 6), dice.randint(1, 4)]
    extras = dice.choice([(), (replace(BOOKLET, count_per_kit=F(1, 3), cost=D("1.01")),)])

    def made(more: Sequence[int] = (0, 0)) -> KitPlan:
        ways = [
            colorway(name, n + one, **roles)
            for name, n, one, roles in zip(("Dawn", "Dusk"), kits, more, fills, strict=True)
        ]
        sheet = class_sheet(*ways, extras=extras, fabrics=own)
        resolved = resolve(pattern(*fabrics), at, sheet, Options())
        return plan_kits(pattern(*fabrics), at, sheet, resolved, number="TEST01")

    plain = made()
    assert plain.fabric_cost is not None
    said = next(one.value for one in plain.choices if one.label == "One spare kit more")
    costs = [made(more).costs[-1].total for more in ((1, 0), (0, 1))]
    before = plain.costs[-1].total
    assert before is not None
    each = [f"${cost - before}" for cost in costs if cost is not None]
    found = [one.partition(" (")[0] for one in said.split("; ")]
    assert (found if len(found) > 1 else found * 2) == each


def test_a_kit_more_says_what_is_counted() -> None:
    """Five kits of 40 squares of 3½ in are 19 strips, with the loss 2 yd; six are 22, 2¼ yd."""
    at = shop(bolt("S-1", 9, cost=D(8)), labor_per_hour=D(24))
    options = {"kits": 5, "bags": ((None, Bag.PIECES),)}
    said = {one.label: one.value for one in plan(at, BOOKLET, **options).choices}
    kit, _, counted = said["One spare kit more"].partition(" (")
    parts = dict(part.split(" $") for part in counted.rstrip(")").split(", "))
    assert list(parts) == ["cloth", "extras", "labor"]
    assert (parts["cloth"], parts["extras"]) == ("2.00", "6.00")
    assert D(kit.removeprefix("$")) == sum(map(D, parts.values()))
    unknown = plan(at, replace(BOOKLET, cost=None), **options).choices
    assert any(", extras not known)" in one.value for one in unknown)


def test_money_is_exact_until_it_is_rounded_once() -> None:
    """A third of a cent is lost nowhere: 10 / 3 × 3 is 10, and minus half a cent goes down."""
    assert in_cents(F(D(10)) / 3 * 3) == D("10.00")
    assert in_cents(F(-1, 200)) == D("-0.01")
    assert str(in_cents(D(6))) == "6.00"


def test_what_one_kit_costs_is_its_colorways_fabric_over_its_own_kits() -> None:
    """Three kits of Blue take 9.00 of S-1, one of Red 4.00 of S-2; a booklet is 6.00 in each."""
    at = shop(bolt("S-1", 9, cost=D(6)), bolt("S-2", 9, cost=D(8)))
    ways = (colorway("Blue", 3, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    sheet = class_sheet(*ways, extras=(BOOKLET,))
    resolved = resolve(pattern(STARS), at, sheet, Options())
    made = plan_kits(pattern(STARS), at, sheet, resolved, number="TEST01")
    blue, red, booklet, total = made.costs
    assert (blue.per_kit, blue.one_kit) == (D("3.00"), (("Blue", D("3.00")),))
    assert (red.per_kit, red.one_kit) == (D("4.00"), (("Red", D("4.00")),))
    assert booklet.one_kit == (("Blue", D("6.00")), ("Red", D("6.00")))
    assert total.one_kit == (("Blue", D("9.00")), ("Red", D("10.00")))


def test_one_kits_total_is_the_sum_of_the_cents_above_it() -> None:
    """A third of 10.00 and a third of 20.00 are shown as 3.33 and 6.67; labor adds to them."""
    two = pattern(STARS, fabric("Sky", piece("A", "3.5", "3.5", 40), sku="S-2"))
    at = shop(bolt("S-1", 9, cost=D("6.67")), bolt("S-2", 9, cost=D("13.33")), labor_per_hour=D(7))
    resolved = resolve(two, at, class_sheet(), Options(kits=3))
    *lines, total = plan_kits(two, at, class_sheet(), resolved, number="TEST01").costs
    assert total.per_kit == sum(line.per_kit for line in lines if line.per_kit is not None)


def test_fabrics_cut_together_share_their_price_so_that_it_adds_up() -> None:
    both = pattern(STARS, fabric("Sky", piece("A", "4.5", "4.5", 40), sku="S-1"))
    at = shop(bolt("S-1", 20, cost=D(6), price=D(12)))
    options = Options(kits=3, bags=((None, Bag.PIECES),))
    made = plan_kits(
        both, at, class_sheet(), resolve(both, at, class_sheet(), options), number="TEST01"
    )
    bought = made.fabrics[0].total.buy_length
    assert bought is not None
    assert sum(one.price or 0 for one in made.fabrics) == in_cents(bought / 36 * 12)


def test_the_price_stays_the_classs_where_the_class_goes_on() -> None:
    """Twelve kits cost less apiece than the four that are left; what one sells for stays."""
    at = shop(bolt("S-1", 20, cost=D(8)), markup=DOUBLE, labor_per_hour=D(24))
    options = Options(kits=12, bags=((None, Bag.PIECES),))
    first = resolve(pattern(STARS), at, class_sheet(), options)
    prices = prices_of(pattern(STARS), at, class_sheet(), first, lambda _: None)
    left = replace(first, kits=4, colorways=(replace(first.colorways[0], kits=4, done=8),))
    made = [
        plan_kits(pattern(STARS), at, class_sheet(), one, number="TEST01").price_per_kit
        for one in (first, left, replace(left, class_prices=prices))
    ]
    assert made[0] == made[2] == prices[0].price
    assert made[1] != made[0]


def how(made: KitPlan) -> list[str]:
    return [line.sentence for line in say_prices(made)]


def test_a_price_says_how_it_came_about_and_what_its_parts_come_to_singly() -> None:
    """½ yd at 6, doubled, is 6; a stack of 4 pulls is 4 × 45 s at 24 an hour over 4 kits."""
    at = shop(
        bolt("S-1", 9, cost=D(6), price=D(13)),
        markup=DOUBLE,
        kit_fee=D(5),
        labor_per_hour=D(24),
    )
    made = plan(at, BOOKLET, kits=4)
    (price,) = made.prices
    assert price.labor is not None
    assert price.price == D(6) + price.labor + D(12) + D(5)
    assert how(made) == [
        f"Price of a kit: ${price.price} = $3.00 cost × 2 + ${price.labor} labor + $12.00 extras "
        "at their own price + $5.00 kit fee; singly its parts would sell for $18.50"
    ]


def test_a_blank_markup_says_that_shelf_prices_are_taken() -> None:
    at = shop(bolt("S-1", 9, cost=D(6), price=D(13)), kit_fee=D(5))
    assert how(plan(at, kits=4)) == [
        "Price of a kit: $11.50 = $6.50 shelf prices of its fabrics + $5.00 kit fee (no markup is "
        "given, so shelf prices are taken); singly its parts would sell for $6.50"
    ]


def test_a_price_that_is_not_known_says_what_is_missing() -> None:
    assert how(plan(shop(bolt("S-1", 9, cost=D(6))), kits=4)) == [
        "Price of a kit: not known: no markup is given, and a shelf price is missing; what its "
        "parts sell for singly is not known (no shelf price for Stars)"
    ]


def test_cut_pieces_come_to_more_singly_than_their_share_of_what_is_cut_together() -> None:
    """Five kits come off 1⅞ yd; a kit by itself takes ½ yd, which sells for 6.00."""
    at = shop(bolt("S-1", 9, cost=D(6), price=D(12)))
    made = plan(at, kits=5, bags=((None, Bag.PIECES),))
    (price,) = made.prices
    assert price.shelf is not None
    assert price.shelf < D("6.00") == price.singly


def test_one_more_costs_what_all_cost_with_it_less_what_they_cost_without() -> None:
    """Fat quarters off a bolt come two to ½ yd: of seven, the eighth is there already."""
    one = pattern(fabric("Stars", piece("A", "3.5", "3.5", 20), sku="S-1"))
    at = shop(bolt("S-1", 9, cost=D(6)))
    options = Options(kits=7, forms=((None, "fat quarter"),))
    resolved = resolve(one, at, class_sheet(), options)
    made = plan_kits(one, at, class_sheet(), resolved, number="TEST01")
    said = {one.label: one.value for one in made.choices}
    assert made.fabrics[0].total.count == 7
    assert said["One spare kit more"] == "$0.00 (cloth $0.00)"
    assert said["One form more"] == "1 fat quarter of S-1 $0.00"


def test_one_more_of_wide_backing_costs_what_wide_backing_does() -> None:
    """An eighth of a yard at 16 is 2.00; of yardage, at 8, it would be 1.00."""
    at = shop(catalogue=priced_catalogue(wide_backing="16.00", yardage="8.00"))
    made = plan(at, kits=4, forms=((None, "wide backing"),))
    said = {one.label: one.value for one in made.choices}
    assert said["One form more"] == "⅛ yd of S-1 $2.00"


def test_forms_of_one_sku_are_charged_as_they_are_cut_off_its_bolt_together() -> None:
    """Twice seven fat quarters are seven cuts of ½ yd at 3.00, not twice four; one more is 3.00."""
    moss = pattern(fabric("Moss", piece("A", "3.5", "3.5", 20), sku="S-1"))
    at = shop(bolt("S-1", 9, cost=D(6)))
    sheet = class_sheet(
        colorway("Dawn", 7, Moss="S-1"),
        colorway("Dusk", 7, Moss="S-1"),
        fabrics=(choice("Moss", "fat quarter"),),
    )
    made = plan_kits(moss, at, sheet, resolve(moss, at, sheet, Options()), number="TEST01")
    assert [one.cost for one in made.fabrics] == [D("10.50"), D("10.50")]
    assert made.pull[0].length == 7 * 18
    assert made.pull[0].cost == made.fabric_cost == D("21.00")
    said = {one.label: one.value for one in made.choices}["One form more"]
    assert said == "1 fat quarter of S-1 $3.00"

"""Money, in exact decimals."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F

from quilt import bolt, class_sheet, colorway, fabric, on_shelf, pattern, piece, shop

from kitmaker.errors import Location
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.costs import cost_of_length, in_cents, labor, times
from kitmaker.kits.kit import plan_kits, price_of_a_kit
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
    assert cost_of_length(F(18), "S-1", at) == D("3.25")


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
    assert said["One spare kit more"] == "$5.20 of fabric"
    assert said["One form more"] == "1 fat quarter of S-1 $2.60"


def test_the_total_is_the_sum_of_its_lines() -> None:
    at = shop(bolt("S-1", 9, cost=D("6.79")), labor_per_hour=D(24))
    *lines, total = plan(at, BOOKLET, kits=3).costs
    assert total.label == "Total"
    assert total.total == sum(line.total for line in lines if line.total is not None)


def test_a_kit_of_each_colorway_is_said_where_one_costs_more() -> None:
    """½ yd at 6 is 3, at 8 it is 4; the booklet 6. On average (3 × 9 + 10) / 4 = 9.25.

    The price: 2 × 3.25 for the fabric, 12 for the booklet.
    """
    at = shop(bolt("S-1", 9, cost=D(6)), bolt("S-2", 9, cost=D(8)), markup=DOUBLE)
    ways = (colorway("Blue", 3, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    sheet = class_sheet(*ways, extras=(BOOKLET,))
    resolved = resolve(pattern(STARS), at, sheet, Options())
    made = plan_kits(pattern(STARS), at, sheet, resolved, number="TEST01")
    said = {one.label: one.value for one in made.choices}
    assert made.price_per_kit == D("18.50")
    assert said["One kit in Blue"] == "costs $9.00; margin $9.50 a kit, 51.35 % of the price"
    assert said["One kit in Red"] == "costs $10.00; margin $8.50 a kit, 45.95 % of the price"
    assert said["Margin"] == "$9.25 a kit, 50.00 % of the price, on average over the colorways"


def test_colorways_that_cost_the_same_to_the_cent_have_one_margin() -> None:
    """Three times ½ yd come to 9.01, one to 3.00⅓; four kits cost 12.01 and sell for 6.01."""
    at = shop(bolt("S-1", 9, cost=D("6.007")), bolt("S-2", 9, cost=D(6)), markup=DOUBLE)
    sheet = class_sheet(colorway("Blue", 3, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    resolved = resolve(pattern(STARS), at, sheet, Options())
    made = plan_kits(pattern(STARS), at, sheet, resolved, number="TEST01")
    said = {one.label: one.value for one in made.choices}
    assert said["Margin"] == "$3.01 a kit, 50.04 % of the price"
    assert "One kit in Blue" not in said


def test_one_more_kit_of_cut_pieces_costs_at_most_what_it_takes_by_itself() -> None:
    """5 kits of 40 squares of 3½ in: 200 squares, 19 strips, 66½ in and loss, 1⅞ yd and a bit.

    A sixth kit cut by itself is 4 strips and a loss of its own: 14½ in, no more than ½ yd.
    """
    at = shop(bolt("S-1", 9, cost=D(8)))
    bags = ((None, Bag.PIECES),)
    five = plan(at, kits=5, bags=bags)
    six = plan(at, kits=6, bags=bags)
    said = {one.label: one.value for one in five.choices}["One spare kit more"]
    assert said.startswith("at most $")
    most = D(said.removeprefix("at most $").split()[0])
    assert five.fabrics[0].cost is not None
    assert six.fabrics[0].cost is not None
    assert six.fabrics[0].cost - five.fabrics[0].cost <= most <= D("4.00")


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
    price = price_of_a_kit(pattern(STARS), at, class_sheet(), first, lambda _: None)
    left = replace(first, kits=4, colorways=(replace(first.colorways[0], kits=4, done=8),))
    made = [
        plan_kits(pattern(STARS), at, class_sheet(), one, number="TEST01").price_per_kit
        for one in (first, left, replace(left, class_price=price))
    ]
    assert made[0] == made[2] == price
    assert made[1] != price

"""From one kit to the class."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction as F

import pytest
from quilt import (
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
    strip,
)

from kitmaker.errors import UsageError
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.kit import plan_kits
from kitmaker.kits.lasting import share_out
from kitmaker.pattern import Pattern
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag, ClassSheet, InKit, Shop

BACKGROUND = fabric("Background", piece("A", "2.5", "4.5", 40), sku="B-1")
STARS = fabric("Stars", piece("B", "3.5", "3.5", 40), sku="S-1")


def plan(
    what: Pattern,
    at: Shop | None = None,
    sheet: ClassSheet | None = None,
    **options: object,
) -> KitPlan:
    at, sheet = at or shop(), sheet or class_sheet()
    resolved = resolve(what, at, sheet, Options(**options))  # type: ignore[arg-type]
    return plan_kits(what, at, sheet, resolved, number="TEST01")


def test_uncut_bags_take_so_many_times_one_bag() -> None:
    made = plan(pattern(STARS), kits=12, forms=((None, "fat quarter"),))
    (stars,) = made.fabrics
    assert (stars.per_kit.count, stars.total.count) == (2, 24)
    assert stars.total.buy == "24 fat quarters"
    assert stars.per_kit.proven


def test_each_uncut_length_is_rounded_up_by_itself() -> None:
    """40 of 3½: 11 to a strip, 4 strips = 14 in, + ½ = 14½ → ½ yd; 12 kits take 6 yd."""
    made = plan(pattern(STARS), kits=12)
    (stars,) = made.fabrics
    assert stars.per_kit.length == 14
    assert stars.per_kit.buy == "½ yd"
    assert stars.total.buy_length == 12 * 18
    assert stars.total.buy == "6 yd (12 × ½ yd)"


def test_pieces_are_rounded_once_on_the_total() -> None:
    """12 × 40 = 480 of 3½, 11 to a strip: 44 strips, 154 in + ½ + 7 × ¼ = 156¼ → 4⅜ yd."""
    made = plan(pattern(STARS), kits=12, bags=((None, Bag.PIECES),))
    (stars,) = made.fabrics
    assert stars.total.length == 154
    assert stars.total.length_with_loss == F("156.25")
    assert stars.total.buy == "4⅜ yd"
    assert stars.per_kit.buy == "½ yd", "what one kit alone would take, not a twelfth"


def test_no_loss_where_the_shop_states_none() -> None:
    made = plan(
        pattern(STARS),
        shop(straighten=F(0), re_square=F(0)),
        kits=12,
        bags=((None, Bag.PIECES),),
    )
    assert made.fabrics[0].total.length_with_loss == 154


def test_two_colorways_with_one_background_are_cut_together() -> None:
    sheet = class_sheet(
        colorway("Blue", 7, Background="B-1", Stars="S-1"),
        colorway("Red", 5, Background="B-1", Stars="S-2"),
        kits=12,
        fabrics=(choice("Background", bag=Bag.PIECES), choice("Stars", "fat quarter")),
    )
    stock = (
        bolt("B-1", 10),
        on_shelf("S-1", "fat quarter", 14),
        on_shelf("S-2", "fat quarter", 10),
    )
    made = plan(pattern(BACKGROUND, STARS), shop(*stock), sheet)
    blue, blue_stars, red, red_stars = made.fabrics
    assert blue.job is red.job
    assert blue.cut_with == (("Background", "Red"),)
    assert blue.job is not None
    assert [(row.needed, row.colorway) for row in blue.job.pieces] == [(480, "")]
    assert (blue_stars.total.count, red_stars.total.count) == (14, 10)
    assert made.kits_possible == 12
    assert [line.sku for line in made.pull] == ["B-1", "S-1", "S-2"]
    assert not [problem for problem in made.problems if problem.is_error]


def test_a_narrower_bolt_is_planned_on_its_own_width() -> None:
    ten_wide = fabric("Background", piece("A", "10", "10", 8), sku="B-1")
    wide = plan(pattern(ten_wide), shop(bolt("B-1", 10, usable_width=F(40))), kits=1)
    narrow = plan(pattern(ten_wide), shop(bolt("B-1", 10, usable_width=F(39))), kits=1)
    assert wide.fabrics[0].per_kit.length == 20
    assert narrow.fabrics[0].per_kit.length == 30


def test_a_pattern_that_counts_on_more_width_than_the_bolt_has_is_warned_of() -> None:
    counted = fabric("Background", piece("A", "3.5", "3.5", 12), sku="B-1", usable_width=F(42))
    made = plan(pattern(counted), shop(bolt("B-1", 10, usable_width=F(40))), kits=1)
    said = " ".join(str(problem) for problem in made.problems)
    assert "a strip gives 11 of A instead of 12" in said


def test_a_short_shelf_is_an_error_and_everything_else_is_still_said() -> None:
    made = plan(
        pattern(BACKGROUND, STARS),
        shop(bolt("B-1", 4), on_shelf("S-1", "fat quarter", 9)),
        kits=12,
        forms=(("Stars", "fat quarter"),),
    )
    errors = [problem.message for problem in made.problems if problem.is_error]
    short = "SKU S-1 (Stars) is short by 16 fat quarters (the 1 left fills no bag)"
    assert any(short in message for message in errors)
    assert made.kits_possible == 4
    assert "S-1" in made.runs_out
    assert len(made.fabrics) == 2


def test_held_stock_is_not_there() -> None:
    free = plan(
        pattern(STARS), shop(on_shelf("S-1", "fat quarter", 30, held_count=10)), kits=12,
        forms=((None, "fat quarter"),),
    )  # fmt: skip
    assert free.kits_possible == 10


def test_no_stock_sheet_means_no_limit() -> None:
    made = plan(pattern(STARS), kits=500, forms=((None, "fat quarter"),))
    assert made.kits_possible is None
    assert not [problem for problem in made.problems if problem.is_error]


def test_backing_and_batting_are_left_out_unless_asked_for() -> None:
    quilt = pattern(STARS, fabric("Backing", yards=3), fabric("Batting", yards=2))
    assert [left.role for left in plan(quilt).left_out] == ["Backing", "Batting"]
    asked = class_sheet(fabrics=(choice("Backing", in_kit=InKit.YES),))
    made = plan(quilt, sheet=asked)
    assert [left.role for left in made.left_out] == ["Batting"]
    assert made.fabrics[1].total.buy == "3 yd"
    assert made.fabrics[1].job is None


def test_an_amount_without_pieces_refuses_another_form() -> None:
    with pytest.raises(UsageError, match="the stated length goes in the bag"):
        plan(pattern(fabric("Sky", yards=1)), forms=((None, "fat quarter"),))


def test_from_each_of_several_prints_takes_a_form_of_every_print() -> None:
    """4 squares of 5 from each of 6 prints: 2 fat quarters would hold all 24, but 6 are needed."""
    stars = fabric("Stars", piece("A", 5, 5, 24, from_each=6), prints=6)
    made = plan(pattern(stars), forms=((None, "fat quarter"),))
    assert made.fabrics[0].per_kit.count == 6
    assert made.fabrics[0].per_kit.proven


def test_assorted_prints_take_at_least_one_form_each() -> None:
    stars = fabric("Stars", piece("A", 5, 5, 24), prints=6)
    made = plan(pattern(stars), forms=((None, "fat quarter"),))
    assert made.fabrics[0].per_kit.count == 6


def test_print_groups_come_from_forms_of_their_own() -> None:
    stars = fabric(
        "Stars",
        piece("A", 5, 5, 4, print_group="1"),
        piece("B", 5, 5, 4, print_group="2"),
    )
    made = plan(pattern(stars), forms=((None, "fat quarter"),))
    assert [(one.group, one.per_kit.count) for one in made.fabrics] == [("1", 1), ("2", 1)]


def test_letters_run_through_the_kit_and_are_the_same_in_all_colorways() -> None:
    sky = fabric("Sky", piece("corner", 3, 3, 4), piece("side", 3, 6, 4))
    roof = fabric("Roof", piece("corner", 4, 4, 4), piece("I beam", 2, 9, 2))
    sheet = class_sheet(
        colorway("Blue", 2, Sky="S-1", Roof="R-1"),
        colorway("Red", 1, Sky="S-1", Roof="R-2"),
        fabrics=(choice("Sky", bag=Bag.PIECES),),
    )
    made = plan(pattern(sky, roof), sheet=sheet)
    for name in ("Blue", "Red"):
        jobs = [one.job for one in made.fabrics if one.colorway == name]
        letters = [needed.letter for job in jobs if job is not None for needed in job.pieces]
        assert letters == ["A", "B", "C", "I"], "the pattern calls its own piece I"


def test_shrinkage_divides_and_touches_uncut_lengths_only() -> None:
    """14½ in / 0.95 = 15.26 in: still ½ yd; 18 in / 0.95 needs ⅝ yd."""
    five = fabric("Stars", strip("strip", "2.5", 7), sku="S-1")
    dry = plan(pattern(five), shop(bolt("S-1", 9, shrinkage=F(1, 20))), kits=1)
    assert dry.fabrics[0].per_kit.length_with_loss == F("18.25") / F("0.95")
    cut = plan(
        pattern(five), shop(bolt("S-1", 9, shrinkage=F(1, 20))), kits=1, bags=((None, Bag.PIECES),)
    )
    assert cut.fabrics[0].total.length_with_loss == F("18.25")


def test_the_cost_of_a_joint_job_is_shared_out_to_the_cent() -> None:
    sheet = class_sheet(
        colorway("Blue", 7, Background="B-1"),
        colorway("Red", 5, Background="B-1"),
        fabrics=(choice("Background", bag=Bag.PIECES),),
    )
    made = plan(pattern(BACKGROUND), shop(bolt("B-1", 10, cost=Decimal("6.79"))), sheet)
    blue, red = made.fabrics
    assert blue.total.buy_length is not None
    whole = (Decimal("6.79") * Decimal(str(float(blue.total.buy_length / 36)))).quantize(
        Decimal("0.01")
    )
    assert blue.cost is not None
    assert red.cost is not None
    assert blue.cost + red.cost == whole == made.fabric_cost
    assert blue.cost > red.cost


def test_a_form_without_a_cost_leaves_the_kits_cost_open_and_says_so() -> None:
    catalogue = priced_catalogue(fat_quarter="2.60")
    made = plan(
        pattern(BACKGROUND, STARS), shop(catalogue=catalogue), kits=2,
        forms=(("Stars", "fat quarter"),),
    )  # fmt: skip
    assert made.fabrics[1].cost == Decimal("10.40")
    assert made.fabric_cost is None
    assert any("no cost is known for Background" in str(problem) for problem in made.problems)


@pytest.mark.parametrize(
    ("kits", "weights", "shares"),
    [(12, [7, 5], [7, 5]), (6, [7, 5], [4, 2]), (1, [7, 5], [1, 0]), (0, [7, 5], [0, 0])],
)
def test_kits_are_shared_out_in_the_classs_proportion(
    kits: int, weights: list[int], shares: list[int]
) -> None:
    assert share_out(kits, weights) == shares


def test_a_spare_kit_is_planned_like_the_others() -> None:
    made = plan(pattern(STARS), kits=10, spare_kits=2, forms=((None, "fat quarter"),))
    assert made.fabrics[0].total.count == 24
    assert made.all_kits == 12


def test_doubling_the_kits_never_needs_less() -> None:
    lengths = [
        plan(pattern(BACKGROUND), kits=kits, bags=((None, Bag.PIECES),)).fabrics[0].total.length
        for kits in (1, 2, 4, 8)
    ]
    known = [length for length in lengths if length is not None]
    assert known == sorted(known)
    assert len(known) == 4


def test_prints_that_are_cut_alike_are_solved_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from kitmaker.kits import solved as answers
    from kitmaker.kits import yields

    solved: list[object] = []
    plain = yields.plan_length

    def counted(*asked: object, **how: object) -> object:
        solved.append(asked)
        return plain(*asked, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(yields, "plan_length", counted)
    answers.forget()
    prints = [fabric(name, piece("A", "3.5", "6.25", 7), piece("B", 2, 2, 5)) for name in "XYZ"]
    made = plan(pattern(*prints), kits=2)
    assert len(solved) == 1
    for name, one in zip("XYZ", made.fabrics, strict=True):
        assert one.role == name
        assert one.job is not None
        keys = {placed.key for layout in one.job.layouts for placed in layout.pieces}
        assert keys == {needed.key for needed in one.job.pieces}, "each print keeps its names"
        assert all(key.startswith(name.casefold()) for key in keys)

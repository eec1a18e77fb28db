"""Stock comes in pieces, and no cut runs across a gap."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from quilt import bolt, on_shelf, shop

from kitmaker.forms import Catalogue
from kitmaker.kits.drawing import Needed, draw
from kitmaker.kits.shelf import forms_per_width, usable_form
from kitmaker.kits.stock import pull_line, say_short, warn_of_mixed_lots
from kitmaker.lengths import Unit
from kitmaker.shop import StockRow

FAT_QUARTER = Catalogue().find("fat quarter")


def needed(*lengths: tuple[int, int], strips: tuple[tuple[int, int], ...] = ()) -> Needed:
    need = Needed("S-1", ["Sky"])
    for at, (each, count) in enumerate(lengths):
        need.add_length(f"colorway {at}", F(each), count)
    for each, count in strips:
        need.cut_up(F(each), count)
    return need


def test_six_and_a_quarter_yards_in_two_pieces_are_not_six_and_a_quarter_yards() -> None:
    """3⅞ yd and 2⅜ yd: two lengths of 3 yd find one place only."""
    at = shop(bolt("S-1", "3.875"), bolt("S-1", "2.375"))
    taken = draw(needed((108, 2)), at)
    assert taken.missing_length == 108
    assert draw(needed((108, 1), (72, 1)), at).missing_length == 0


def test_remnants_go_first() -> None:
    at = shop(bolt("S-1", 10), bolt("S-1", 1))
    taken = draw(needed((36, 1)), at)
    (piece,) = taken.pieces
    assert piece.at_hand == 36
    assert piece.left == 0


def test_strips_pay_for_straightening_each_piece_they_come_from() -> None:
    at = shop(bolt("S-1", 1), bolt("S-1", 1))
    taken = draw(needed(strips=((5, 10),)), at)
    assert not taken.is_short
    assert len(taken.pieces) == 2
    assert taken.length == 50 + 1 + F(1, 4)


def test_what_is_held_for_another_class_is_not_there() -> None:
    at = shop(bolt("S-1", 2, held_length=F(36)))
    assert draw(needed((36, 1)), at).missing_length == 0
    assert draw(needed((36, 2)), at).missing_length == 36


def test_seven_fat_quarters_off_the_bolt_take_two_yards() -> None:
    need = Needed("S-1", ["Sky"])
    need.cut_up_forms(FAT_QUARTER, 7)
    taken = draw(need, shop(bolt("S-1", 3)))
    assert taken.cut_for_forms == 72
    assert not taken.is_short


def test_a_form_on_the_shelf_is_as_small_and_as_dear_as_its_rows_say() -> None:
    at = shop(
        on_shelf("S-1", "FQ", 3, usable_width=F(19), cost=D("2.50")),
        on_shelf("S-1", "FQ", 3, usable_length=F(15), cost=D("2.80")),
    )
    form = usable_form(FAT_QUARTER, "S-1", at)
    assert (form.usable_across, form.usable_along, form.cost) == (F(19), F(15), D("2.80"))
    assert usable_form(FAT_QUARTER, "S-2", at) == FAT_QUARTER


@pytest.mark.parametrize(
    ("name", "width", "side_by_side"),
    [
        ("fat quarter", 40, 2),
        ("fat quarter", 38, 2),
        ("half yard", 38, 1),
        ("2.5 strip", 40, 1),
        ("5-inch square", 40, 8),
        ("10-inch square", 39, 3),
        ("fat quarter", 104, 4),
    ],
)
def test_forms_lie_side_by_side_on_a_bolt(name: str, width: int, side_by_side: int) -> None:
    assert forms_per_width(Catalogue().find(name), F(width)) == side_by_side


def test_a_form_wider_than_the_bolt_is_not_cut_from_it() -> None:
    panel = replace(FAT_QUARTER, form_id="panel", nominal_across=F(60), usable_across=F(58))
    need = Needed("S-1", ["Sky"])
    need.cut_up_forms(panel, 1)
    assert draw(need, shop(bolt("S-1", 3))).missing_forms == ((panel, 1),)
    assert not draw(need, shop(bolt("S-1", 3, usable_width=F(60)))).is_short


def test_squares_off_a_bolt_come_eight_to_a_strip_and_pay_for_straightening() -> None:
    """20 squares: 3 strips of 5 in and ½ in; 4 squares over."""
    squares = Catalogue().find("5-inch square")
    need = Needed("S-1", ["Sky"])
    need.cut_up_forms(squares, 20)
    taken = draw(need, shop(bolt("S-1", 1)))
    assert taken.length == taken.cut_for_forms == 15 + F(1, 2)
    assert (taken.cut_forms, taken.surplus) == (((squares, 20),), ((squares, 4),))
    assert draw(need, shop(bolt("S-1", F(15, 36)))).missing_forms == ((squares, 4),)


def test_ready_made_forms_go_before_the_bolt() -> None:
    need = Needed("S-1", ["Sky"])
    need.cut_up_forms(FAT_QUARTER, 7)
    at = shop(on_shelf("S-1", "FQ", 5), bolt("S-1", 3))
    line = pull_line(need, at, Unit.INCH)
    assert line.buy == "7 fat quarters (2 cut from ½ yd)"
    assert line.short == ""
    assert draw(need, shop(on_shelf("S-1", "FQ", 5))).missing_forms == ((FAT_QUARTER, 2),)


def test_a_sku_that_the_stock_sheet_does_not_list_is_short_and_said_so() -> None:
    line = pull_line(needed((36, 1)), shop(bolt("OTHER", 5)), Unit.INCH)
    assert line.short == "short by 1 yd: the Stock sheet has no such SKU"


def test_bulk_strips_come_from_one_dye_lot_where_one_suffices() -> None:
    at = shop(bolt("S-1", 2, dye_lot="7"), bolt("S-1", "0.5", dye_lot="8"))
    taken = draw(needed(strips=((5, 4),)), at)
    assert [piece.dye_lot for piece in taken.pieces] == ["7"]
    line = pull_line(needed(strips=((5, 4),)), at, Unit.INCH)
    assert warn_of_mixed_lots([line]) == []


def test_bulk_strips_from_two_dye_lots_are_warned_of() -> None:
    at = shop(bolt("S-1", 1, dye_lot="7"), bolt("S-1", "0.5", dye_lot="8"))
    line = pull_line(needed(strips=((5, 8),)), at, Unit.INCH)
    (said,) = warn_of_mixed_lots([line])
    assert "SKU S-1 (Sky) is cut from lot 7 and lot 8" in said.message
    assert not said.is_error


def test_forms_for_cut_pieces_come_from_one_dye_lot_where_one_suffices() -> None:
    at = shop(
        on_shelf("S-1", "FQ", 3, dye_lot="8"),
        on_shelf("S-1", "FQ", 9, dye_lot="7"),
    )
    bulk = Needed("S-1", ["Sky"])
    bulk.cut_up_forms(FAT_QUARTER, 8)
    assert [piece.dye_lot for piece in draw(bulk, at).pieces] == ["7"]
    bulk.cut_up_forms(FAT_QUARTER, 2)
    assert not draw(bulk, at).is_short
    assert draw(bulk, at).mixed_lots == ("7", "8")


def test_a_shortage_that_may_be_less_says_at_most() -> None:
    taken = draw(needed((36, 3)), shop(bolt("S-1", 2)))
    assert say_short(taken, Unit.INCH) == "short by 1 yd"
    assert say_short(replace(taken, exact=False), Unit.INCH) == "short by at most 1 yd"


def test_without_a_stock_sheet_the_loss_is_that_of_one_long_bolt() -> None:
    """10 strips of 5 in: 50 in, ½ in to straighten, ¼ in after the sixth."""
    assert draw(needed(strips=((5, 10),)), shop()).length == 50 + F(3, 4)


def test_a_metric_shop_pulls_in_meters_whatever_the_pattern_is_in() -> None:
    metric = shop(bolt("S-1", 2), unit=Unit.CENTIMETER)
    line = pull_line(needed((36, 3)), metric, Unit.INCH)
    assert (line.buy, line.short) == ("2.75 m", "short by 0.92 m")


def test_forms_that_come_in_bundles_are_pulled_and_missed_in_bundles() -> None:
    stack = replace(FAT_QUARTER, form_id="stack", name="stack", plural="stacks", bundle_count=20)
    at = shop(on_shelf("S-1", "stack", 50), catalogue=Catalogue().with_own([stack]))
    need = Needed("S-1", ["Sky"])
    need.cut_up_forms(stack, 24)
    line = pull_line(need, at, Unit.INCH)
    assert (line.buy, line.short) == ("24 stacks (1 bundle of 20 plus 4)", "")
    need.cut_up_forms(stack, 30)
    short = pull_line(need, at, Unit.INCH).short
    assert short == "short by 4 stacks (1 bundle of 20)"


@pytest.mark.parametrize(("lot_of_bolt", "cut"), [("7", 3), ("8", 4)])
def test_a_bag_of_forms_is_not_filled_up_from_another_dye_lot(lot_of_bolt: str, cut: int) -> None:
    """Six bags of two; nine are ready. A bolt of another lot must give the fifth bag whole."""
    need = Needed("S-1", ["Sky"])
    need.add_forms(FAT_QUARTER, 2, "", 6)
    at = shop(on_shelf("S-1", "FQ", 9, dye_lot="7"), bolt("S-1", 3, dye_lot=lot_of_bolt))
    assert draw(need, at).cut_forms == ((FAT_QUARTER, cut),)


@pytest.mark.parametrize("seed", range(40))
def test_every_kits_forms_come_from_one_dye_lot_ready_or_cut(seed: int) -> None:
    """By hand: a lot fills as many kits as its pile and its cuts, two a half yard, give."""
    dice = random.Random(seed)  # noqa: S311 - the same small shelves on every run
    each = dice.randint(2, 5)
    rows: list[StockRow] = []
    kits = 0
    for lot in ("7", "8", "9")[: dice.randint(1, 3)]:
        pile, lengths = dice.randint(0, 5), [dice.randint(6, 100) for _ in range(2)]
        rows.append(on_shelf("S-1", "FQ", pile, dye_lot=lot))
        rows += [bolt("S-1", F(length, 36), dye_lot=lot) for length in lengths]
        kits += (pile + sum(2 * (length // 18) for length in lengths)) // each
    at = shop(*rows)
    for count, is_short in ((kits, False), (kits + 1, True)):
        need = Needed("S-1", ["Sky"])
        need.add_forms(FAT_QUARTER, each, "", count)
        assert draw(need, at).is_short is is_short


def test_forms_and_lengths_of_one_kit_are_of_one_dye_lot() -> None:
    """Lot 7 has the border's yard, lot 8 the four fat quarters: that is no kit."""
    need = Needed("S-1", ["Sky", "Border"])
    need.add_length("", F(36), 1)
    need.add_forms(FAT_QUARTER, 4, "", 1)
    pile = on_shelf("S-1", "FQ", 4, dye_lot="8")
    assert draw(need, shop(bolt("S-1", 1, dye_lot="7"), pile)).is_short
    assert not draw(need, shop(bolt("S-1", 1, dye_lot="8"), pile)).is_short


def test_one_cut_off_a_bolt_may_go_into_two_kits_of_its_dye_lot() -> None:
    """Two kits of three: nine half yards of two lots, but one lot of three gives both."""
    need = Needed("S-1", ["Sky"])
    need.add_forms(FAT_QUARTER, 3, "", 2)
    assert not draw(need, shop(bolt("S-1", "1.5", dye_lot="7"))).is_short
    two = shop(bolt("S-1", 1, dye_lot="7"), bolt("S-1", "0.5", dye_lot="8"))
    assert draw(need, two).missing_forms == ((FAT_QUARTER, 3),)


def bulk_of(kits: int) -> Needed:
    """Kits of three squares each, two to a strip of 5 in."""
    need = Needed("S-1", ["Sky"])
    need.cut_up(F(5), -(-3 * kits // 2), (("A", 2),))
    need.add_pieces("", kits, [("A", F(3))])
    return need


def test_pieces_cut_for_all_kits_are_filled_bag_by_bag_from_one_dye_lot() -> None:
    """Five strips: 3 of lot 7 fill two kits, 2 of lot 8 one. Two strips of two lots fill none."""
    two_lots = shop(bolt("S-1", F(16, 36), dye_lot="7"), bolt("S-1", F(11, 36), dye_lot="8"))
    taken = draw(bulk_of(3), two_lots)
    assert (taken.is_short, taken.mixed_lots) == (False, ("7", "8"))
    ends = shop(bolt("S-1", F(6, 36), dye_lot="7"), bolt("S-1", F(6, 36), dye_lot="8"))
    mixed = draw(bulk_of(1), ends)
    assert mixed.is_short
    assert say_short(mixed, Unit.INCH) == "short of cloth of one dye lot for 1 kit"


def test_a_row_gives_no_more_than_it_has_and_the_piece_it_leaves_is_told() -> None:
    need = Needed("S-1", ["Sky"])
    need.add_forms(FAT_QUARTER, 5, "", 1)
    at = shop(on_shelf("S-1", "FQ", 2, dye_lot="7"), bolt("S-1", 3, dye_lot="7"))
    pile, length = draw(need, at).pieces
    assert (pile.take, pile.left, pile.cut_into) == (2, 0, ())
    assert (length.at_hand, length.take, length.left) == (108, 36, 72)
    assert length.cut_into == ((FAT_QUARTER, 2, 4),)

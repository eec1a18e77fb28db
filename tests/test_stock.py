"""Stock comes in pieces, and no cut runs across a gap."""

from __future__ import annotations

from fractions import Fraction as F

from quilt import bolt, on_shelf, shop

from kitmaker.forms import Catalogue
from kitmaker.kits.stock import Needed, draw, pull_line
from kitmaker.lengths import Unit

FAT_QUARTER = Catalogue().find("fat quarter")


def needed(*lengths: tuple[int, int], strips: tuple[tuple[int, int], ...] = ()) -> Needed:
    need = Needed("S-1", ["Sky"])
    need.lengths = [(F(each), count) for each, count in lengths]
    need.strips = [(F(each), count) for each, count in strips]
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
    need.add_forms(FAT_QUARTER, 7)
    taken = draw(need, shop(bolt("S-1", 3)))
    assert taken.cut_for_forms == 72
    assert not taken.is_short


def test_ready_made_forms_go_before_the_bolt() -> None:
    need = Needed("S-1", ["Sky"])
    need.add_forms(FAT_QUARTER, 7)
    at = shop(on_shelf("S-1", "FQ", 5), bolt("S-1", 3))
    line = pull_line(need, at, Unit.INCH, None)
    assert line.buy == "7 fat quarters (2 cut from ½ yd)"
    assert line.short == ""
    assert draw(need, shop(on_shelf("S-1", "FQ", 5))).missing_forms == ((FAT_QUARTER, 2),)


def test_a_shortage_is_said_in_a_word_and_a_number() -> None:
    line = pull_line(needed((36, 3)), shop(bolt("S-1", 2)), Unit.INCH, None)
    assert line.short == "short by 1 yd"


def test_an_unknown_sku_has_nothing_on_the_shelf() -> None:
    assert draw(needed((36, 1)), shop(bolt("OTHER", 5))).is_short

"""Pieces sewn of shorter parts, from the typed row to the parts that are cut, by hand.

No source in print counts the parts of borders and sashes from fat quarters. Where a rule for
panels of backing is the same arithmetic, it stands beside the check; its rows are counted with
the backing.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import finishing, inches, parts, row

FAT_QUARTER = ("20", "16")


def test_worked_out_a_sash_is_two_equal_parts_and_a_seam() -> None:
    """2½ × 38½ from 20 in: (38½ + ½) ÷ 2 = 19½; 38 sashes are 76 parts."""
    sashes = row("sash", "2 1/2", "38 1/2", 38)
    assert parts(sashes, "Sky", *FAT_QUARTER) == [(76, Fraction(39, 2))]


def test_worked_out_a_part_is_rounded_up_to_an_eighth() -> None:
    """36⅜ + ½ = 36⅞, half of it 18 7/16: up to 18½."""
    assert parts(row("band", 3, "36 3/8", 1), "Sky", *FAT_QUARTER) == [(2, Fraction(37, 2))]


def test_worked_out_three_parts_have_two_seams() -> None:
    """56 + 2 × ½ = 57, a third of it 19; two parts would be 28¼."""
    long = row("border", 4, 56, 2)
    assert parts(long, "Sky", *FAT_QUARTER, most_seams=2) == [(6, Fraction(19))]


def test_worked_out_a_wider_seam_allowance_takes_more_of_the_length() -> None:
    """With ½ in allowances a seam takes 1 in: (37 + 1) ÷ 2 = 19; a narrower one takes ½."""
    wide = row("sash", 3, 37, 1, facts=(("Pattern", "Wide"), ("Seam allowance", "1/2")))
    slim = row("sash", 3, 37, 1, facts=(("Pattern", "Slim"), ("Seam allowance", "1/8")))
    assert parts(wide, "Sky", *FAT_QUARTER) == [(2, Fraction(19))]
    assert parts(slim, "Sky", *FAT_QUARTER) == [(2, Fraction(75, 4))]


@pytest.mark.parametrize(
    ("strips", "across", "count"),
    [
        (6, "20", 13),  # 6 × 40 − 5 × ½ = 237½; 12 × 20 − 11 × ½ = 234½, 13 give 254
        (6, "20 1/4", 12),  # 12 × 20¼ − 11 × ½ = 237½ exactly
        (6, "22", 12),  # 11 × 22 − 5 = 237; 12 give 258½
        (1, "20", 3),  # 40; 2 × 20 − ½ = 39½: the seam is what is missing
        (2, "40", 2),  # as the pattern has them, without a further seam
    ],
)
def test_worked_out_border_strips_are_one_length_of_straight_seams(
    strips: int, across: str, count: int
) -> None:
    found = row("border strip", 5, "WOF", strips, "join end to end")
    assert parts(found, "Sky", across, "16")[0][0] == count


def test_worked_out_binding_strips_lose_their_width_at_each_seam() -> None:
    """7 strips are 277 in; 15 × 20 − 14 × 2½ = 265, 16 give 282½."""
    found = row("binding strip", "2 1/2", "WOF", 7, "join on the diagonal")
    assert parts(found, "Sky", "20", "9") == [(16, Fraction(20))]


def test_worked_out_the_longer_side_gives_the_parts_where_the_cloth_may_turn() -> None:
    """A fat half, 20 × 34: 237½ takes 8 of 34, 8 × 34 − 7 × ½ = 268½; 7 give 235."""
    found = row("border strip", 5, "WOF", 6, "join end to end")
    assert parts(found, "Sky", "20", "34") == [(8, Fraction(34))]


def test_worked_out_a_finishing_sheet_says_how_long_it_must_be() -> None:
    """2 × (46 + 46) + 10 = 194; 10 × 20 − 9 × 2¼ = 179¾, 11 give 197½."""
    sheet = finishing(
        *(("Quilt width", 46), ("Quilt length", 46)),
        *(("Binding width", "2 1/4"), ("Binding allowance", 10)),
    )
    assert parts(sheet, "Binding", *FAT_QUARTER) == [(11, Fraction(20))]


def test_worked_out_no_part_is_shorter_than_four_inches() -> None:
    """7½ from 4 × 4: (7½ + ½) ÷ 2 = 4, and no shorter one: 7⅜ stays whole, and does not fit."""
    assert parts(row("bar", 2, "7 1/2", 1), "Sky", "4", "4") == [(2, Fraction(4))]
    with pytest.raises(AssertionError):
        parts(row("bar", 2, "7 1/4", 1), "Sky", "4", "4")


def test_worked_out_no_seam_is_sewn_in_a_piece_under_two_inches() -> None:
    assert parts(row("bar", 2, 30, 1), "Sky", *FAT_QUARTER) == [(2, Fraction(61, 4))]
    with pytest.raises(AssertionError):
        parts(row("bar", "1 7/8", 30, 1), "Sky", *FAT_QUARTER)


def test_worked_out_two_panels_of_40_give_78_with_one_seam() -> None:
    """Quilting Board (2015), a backing of 65 × 78: two lengths and one seam; 39¼ each."""
    found = row("panel", 65, 78, 1)
    assert parts(found, "Sky", "40", "66") == [(2, Fraction(157, 4))]


def test_mistake_84_inches_are_not_two_of_42() -> None:
    """A blade maker's rule for backings leaves nothing for the seam: 42¼ each."""
    found = row("panel", 20, 84, 1)
    with pytest.raises(AssertionError):
        parts(found, "Sky", "42", "20")
    assert parts(found, "Sky", "42 1/4", "20") == [(2, *inches("42 1/4"))]


def test_worked_out_a_short_binding_needs_no_seam_where_the_cloth_may_turn() -> None:
    """2 × (5 + 5) + 10 = 30 in, along 34."""
    sheet = finishing(
        *(("Quilt width", 5), ("Quilt length", 5)),
        *(("Binding width", "2 1/4"), ("Binding allowance", 10)),
    )
    assert parts(sheet, "Binding", "20", "34") == [(1, Fraction(30))]

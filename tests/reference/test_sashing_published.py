"""Sashing and borders against worked examples in print."""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import Row, fabric, finishing, inches, only, said, size, strips

from kitmaker.lengths import parse_number

THREAD = "http://www.quiltingboard.com/main-f1/45-degree-boarder-math-t109880.html"
ANNIES = "Annie's, Determining Border Lengths, https://anniesattic.com/determining-border-lengths"


def sashed(across: int, down: int, around: str, *more: Row) -> tuple[Row, ...]:
    return (
        *(("Block size", 12), ("Blocks across", across), ("Blocks down", down)),
        *(("Sashing width", 3), ("Sashing around", around), ("Cornerstone fabric", "Stone")),
        *more,
    )


def test_cornerstones_and_sashes_of_4_by_5_blocks() -> None:
    """Susan in Texas, Algorithms for Cornerstones and Sashes (2009): 30 and 49.

    http://susanintexas.blogspot.com/2009/02/quilt-math-algorithms-for-cornerstones.html
    """
    found = finishing(*sashed(4, 5, "yes"))
    stone, sash = only(found, "Stone"), only(found, "Sashing")
    assert (stone.quantity, sash.quantity) == (30, 49)
    assert (size(stone), size(sash)) == (inches("3 1/2", "3 1/2"), inches("3 1/2", "12 1/2"))


def test_drawn_sashes_of_a_one_way_print_are_told_apart() -> None:
    """Counted on a drawing of 4 × 5 blocks: 25 stand and 24 lie; only between, 15 and 16."""
    for around, upright, level, stones in (("yes", 25, 24, 30), ("no", 15, 16, 12)):
        found = finishing(*sashed(4, 5, around, ("Sashing direction", "one way")))
        pieces = {piece.name: piece for piece in fabric(found, "Sashing").pieces}
        assert pieces["upright sash"].quantity == upright
        assert pieces["level sash"].quantity == level
        assert size(pieces["upright sash"]) == inches("3 1/2", "12 1/2")
        assert size(pieces["level sash"]) == inches("12 1/2", "3 1/2")
        assert only(found, "Stone").quantity == stones


def test_5_by_6_blocks_with_sashing_and_a_sashed_border() -> None:
    """Delaware Quilts, Sizes: 78 × 93; http://www.delawarequilts.com/MyQuilts/Sizes.html."""
    border: tuple[Row, ...] = (("Border width", 3), ("Border style", "butted"))
    binding: tuple[Row, ...] = (("Binding width", "2 1/2"), ("Binding allowance", 0))
    between = finishing(*sashed(5, 6, "no", *border, *binding))
    assert only(between, "Binding").length == 2 * (78 + 93)
    round_about = finishing(*sashed(5, 6, "yes", *binding, ("Batting", "yes")))
    assert only(round_about, "Binding").length == 2 * (78 + 93)
    assert "batting 86 × 101 in" in said(round_about)  # the quilt and 4 on each side


def bordered(width: str, length: str, border: str, style: str, *more: Row) -> tuple[Row, ...]:
    return (
        *(("Top width", width), ("Top length", length)),
        *(("Border width", border), ("Border style", style), *more),
    )


@pytest.mark.parametrize(("side", "published"), [("50", "65"), ("60", "75")])
def test_three_mitered_borders_of_7_inches_in_all(side: str, published: str) -> None:
    """Sides + 2 × 7 + 1; Quilting Board thread, Border Lengths, Mitered Corners.

    https://www.quiltingboard.com/main-f1/printfriendly-calculating-required-border-lengths-multiple-borders-mitered-corners-t168402.html
    X + 2Y + 1 counts on X as it is measured, raw edges in; a finished X takes 1¼: what
    slanted ends with their seams take, 1.207.
    """
    found = finishing(*bordered(side, side, "7", "mitered"), usable=(("Border", "104"),))
    lengths = {piece.length for piece in fabric(found, "Border").pieces}
    assert lengths == {parse_number(published) + Fraction(1, 4)}, THREAD
    assert {piece.width for piece in fabric(found, "Border").pieces} == {parse_number("7 1/2")}


def test_worked_out_a_mitered_end_takes_1_207_at_a_quarter_inch_seam() -> None:
    """½ (1 + √2) = 1.2071, to the 64th 1 7/32."""
    facts = (("Pattern", "Fine"), ("Round cut sizes up to", "1/64"))
    found = finishing(*bordered("20", "20", "2", "mitered"), facts=facts)
    assert {piece.length for piece in fabric(found, "Border").pieces} == set(inches("25 7/32"))


def test_butted_borders_by_the_printed_rule() -> None:
    """Sides the length and ½, ends the width, both borders and ½."""
    border: Row = ("Border cut", "lengthwise")
    found = finishing(*bordered("48", "60", "4 1/2", "butted", border))
    sides, ends = fabric(found, "Border").pieces
    assert size(sides) == inches("5", "60 1/2"), ANNIES
    assert size(ends) == inches("5", "57 1/2"), ANNIES
    assert (sides.quantity, ends.quantity) == (2, 2)


def test_a_70_by_86_quilt_with_a_6_inch_border() -> None:
    """Class slides: perimeter 312; with the border (cut 6½) 82 × 98; border run 338.

    https://fr.slideserve.com/megan/can-you-f-igure-the-amount-of-yardage-to-buy-powerpoint-ppt-presentation
    The slides' run, 2w + 2l + 4b with b as cut, is the sum of the four cut lengths.
    """
    binding: tuple[Row, ...] = (("Binding width", "2 1/2"), ("Binding allowance", 0))
    plain = finishing(("Quilt width", 70), ("Quilt length", 86), *binding)
    assert only(plain, "Binding").length == 312
    found = finishing(*bordered("70", "86", "6", "butted", *binding))
    assert size(only(found, "Border")) == inches("6 1/2", "338")
    assert only(found, "Binding").length == 2 * (82 + 98)


def test_worked_out_a_join_of_a_border_costs_half_an_inch() -> None:
    """7 × 40 less 6 × ½ is 277, the run of 50 × 60 with 13¾; a hair more takes an eighth strip."""
    for border, run, count in (("13 3/4", "277", 7), ("13 13/16", "277 1/4", 8)):
        piece = only(finishing(*bordered("50", "60", border, "butted")), "Border")
        assert piece.length == parse_number(run)
        assert strips(piece) == count


def test_worked_out_a_long_border_is_told_both_ways() -> None:
    """Four of 60½ and 62½ are 246: 7 × 40 less 6 joins of ½, 45½ in; along one length of 62½.

    Strips 21 in wide lie one beside another only once across 40: four lengths.
    """
    told = said(finishing(*bordered("50", "60", "6", "butted")))
    assert "across, 7 strips joined take 1 5/16 yd" in told
    assert "lengthwise without a join they take 1¾ yd" in told
    wide = said(finishing(*bordered("50", "60", "20 1/2", "butted")))
    assert "lengthwise without a join they take 8½ yd" in wide  # 2 × 60½ + 2 × 91½ = 304

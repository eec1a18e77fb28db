"""Sashing and borders against worked examples in print."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic import finishing
from kitmaker.lengths import Length, parse_number

THREAD = "http://www.quiltingboard.com/main-f1/45-degree-boarder-math-t109880.html"
ANNIES = "Annie's, Determining Border Lengths, https://anniesattic.com/determining-border-lengths"


def test_cornerstones_and_sashes_of_4_by_5_blocks() -> None:
    """Susan in Texas, Algorithms for Cornerstones and Sashes (2009): 30 and 49.

    http://susanintexas.blogspot.com/2009/02/quilt-math-algorithms-for-cornerstones.html
    """
    sashes = finishing.sashing(4, 5, Fraction(12), Fraction(3))
    assert (sashes.cornerstone_count, sashes.sash_count) == (30, 49)


def test_5_by_6_blocks_with_sashing_and_a_sashed_border() -> None:
    """Delaware Quilts, Sizes: 78 × 93; http://www.delawarequilts.com/MyQuilts/Sizes.html."""
    between = finishing.sashing(5, 6, Fraction(12), Fraction(3), all_round=False)
    border = Fraction(3)
    size = (between.finished_width + 2 * border, between.finished_length + 2 * border)
    assert size == (Fraction(78), Fraction(93))
    round_about = finishing.sashing(5, 6, Fraction(12), Fraction(3))
    assert size == (round_about.finished_width, round_about.finished_length)


@pytest.mark.parametrize(("side", "published"), [("50", "65"), ("60", "75")])
def test_three_mitered_borders_of_7_inches_in_all(side: str, published: str) -> None:
    """Sides + 2 × 7 + 1; Quilting Board thread, Border Lengths, Mitered Corners.

    https://www.quiltingboard.com/main-f1/printfriendly-calculating-required-border-lengths-multiple-borders-mitered-corners-t168402.html
    """
    finished = parse_number(side)
    borders = finishing.mitered_borders(finished, finished, Fraction(7), extra=Fraction(1))
    assert borders.side_cut_length == borders.end_cut_length == parse_number(published)


def test_one_inch_over_is_a_little_less_than_slanted_ends_with_their_seams_take() -> None:
    """X + 2Y + 1 counts on X as it is measured, raw edges in; a finished X takes 1¼."""
    printed = finishing.mitered_borders(Fraction(50), Fraction(60), Fraction(7), extra=Fraction(1))
    ours = finishing.mitered_borders(Fraction(50), Fraction(60), Fraction(7))
    assert ours.side_cut_length - printed.side_cut_length == Fraction(1, 4), THREAD


def test_butted_borders_by_the_printed_rule() -> None:
    width, length, border = Fraction(48), Fraction(60), parse_number("4 1/2")
    borders = finishing.butted_borders(width, length, border)
    assert borders.end_cut_length == width + 2 * border + Fraction(1, 2), ANNIES
    assert borders.side_cut_length == length + Fraction(1, 2), ANNIES


def test_a_70_by_86_quilt_with_a_6_inch_border() -> None:
    """Class slides: perimeter 312; with the border (cut 6½) 82 × 98; border run 338.

    https://fr.slideserve.com/megan/can-you-f-igure-the-amount-of-yardage-to-buy-powerpoint-ppt-presentation
    The slides' run, 2w + 2l + 4b with b as cut, is the sum of the four cut lengths.
    """
    quilt = (Fraction(70), Fraction(86))
    borders = finishing.butted_borders(*quilt, Fraction(6))
    assert borders.cut_width == parse_number("6 1/2")
    binding = finishing.straight_binding(*quilt, allowance=Fraction(0))
    assert binding.total == 312
    outer = finishing.straight_binding(Fraction(82), Fraction(98), allowance=Fraction(0))
    assert outer.total == 2 * (82 + 98)
    run: Length = sum(borders.cut_lengths, Fraction(0))
    assert run == 338

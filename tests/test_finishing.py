"""Bindings, borders and sashing: enough of each, with every join paid for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import finishing
from kitmaker.arithmetic.joins import Join, joined_strips
from kitmaker.lengths import Length, parse_number

FORTY = Fraction(40)
HALF = Fraction(1, 2)

totals = st.fractions(min_value=1, max_value=600, max_denominator=8)
strip_lengths = st.fractions(min_value=10, max_value=60, max_denominator=8)
strip_widths = st.fractions(min_value=1, max_value=8, max_denominator=8)


def inches(text: str) -> Length:
    return parse_number(text)


def sewn(count: int, strip_length: Length, width: Length, join: Join) -> Length:
    """Return what strips give once they are joined, laid out end to end."""
    loss = width if join is Join.DIAGONAL else HALF
    return count * strip_length - (count - 1) * loss


@given(totals, strip_lengths, strip_widths, st.sampled_from(Join))
def test_joined_strips_give_the_length_and_one_fewer_would_not(
    total: Fraction, strip_length: Fraction, width: Fraction, join: Join
) -> None:
    count = joined_strips(total, strip_length, width, join)
    assert sewn(count, strip_length, width, join) >= total
    assert count == 1 or sewn(count - 1, strip_length, width, join) < total


def test_a_length_that_fits_exactly_takes_no_further_strip() -> None:
    exact = joined_strips(inches("237 1/2"), FORTY, inches("2 1/2"), Join.STRAIGHT)
    over = joined_strips(inches("237 5/8"), FORTY, inches("2 1/2"), Join.STRAIGHT)
    assert (exact, over) == (6, 7)


def test_strips_that_a_join_eats_up_are_refused() -> None:
    with pytest.raises(ValueError, match="eats up"):
        joined_strips(FORTY, Fraction(2), Fraction(2), Join.DIAGONAL)
    with pytest.raises(ValueError, match="none"):
        joined_strips(Fraction(0), FORTY, Fraction(2), Join.STRAIGHT)


@given(totals, strip_widths)
def test_a_bias_square_gives_at_least_the_length(total: Fraction, width: Fraction) -> None:
    side = finishing.bias_square_side(total, width)
    assert side**2 >= total * width
    assert (side - 1) ** 2 < total * width


def test_butted_borders_put_the_ends_over_the_sides() -> None:
    borders = finishing.butted_borders(Fraction(50), Fraction(60), Fraction(6))
    assert borders.cut_width == inches("6 1/2")
    assert borders.side_cut_length == inches("60 1/2")
    assert borders.end_cut_length == inches("62 1/2")


def test_mitered_borders_reach_the_outer_corners() -> None:
    borders = finishing.mitered_borders(Fraction(50), Fraction(60), Fraction(6))
    assert borders.end_cut_length == 50 + 12 + inches("1 1/4")
    assert borders.side_cut_length == 60 + 12 + inches("1 1/4")


def test_a_border_is_reckoned_both_ways() -> None:
    """60½ + 60½ + 62½ + 62½ = 246 = 7 × 40 - 6 × ½ - 31."""
    borders = finishing.butted_borders(Fraction(50), Fraction(60), Fraction(6))
    cloth = finishing.border_cloth(borders.cut_width, borders.cut_lengths)
    assert (cloth.crosswise_strip_count, cloth.crosswise_length) == (7, inches("45 1/2"))
    assert cloth.lengthwise_length == inches("62 1/2")


def test_wide_borders_lie_in_several_lengths_and_too_wide_ones_are_refused() -> None:
    wide, lengths = Fraction(15), tuple(map(Fraction, (80, 80, 70, 70)))
    assert finishing.border_cloth(wide, lengths).lengthwise_length == 150
    with pytest.raises(ValueError, match="wider than"):
        finishing.border_cloth(wide, lengths, Fraction(14))


@pytest.mark.parametrize(
    ("all_round", "upright", "level", "cornerstones", "width", "length"),
    [(True, 25, 24, 30, 63, 78), (False, 15, 16, 12, 57, 72)],
)
def test_sashing_round_and_between(
    all_round: bool, upright: int, level: int, cornerstones: int, width: int, length: int
) -> None:
    sashes = finishing.sashing(4, 5, Fraction(12), Fraction(3), all_round=all_round)
    assert (sashes.upright_count, sashes.level_count) == (upright, level)
    assert sashes.sash_count == upright + level
    assert sashes.cornerstone_count == cornerstones
    assert (sashes.finished_width, sashes.finished_length) == (Fraction(width), Fraction(length))
    assert (sashes.sash_cut_width, sashes.sash_cut_length) == (inches("3 1/2"), inches("12 1/2"))
    assert sashes.cornerstone_cut_side == inches("3 1/2")


def test_a_single_block_has_no_sashing_between() -> None:
    sashes = finishing.sashing(1, 1, Fraction(12), Fraction(3), all_round=False)
    assert (sashes.sash_count, sashes.cornerstone_count, sashes.finished_width) == (
        0,
        0,
        Fraction(12),
    )
    with pytest.raises(ValueError, match="at least one block"):
        finishing.sashing(0, 1, Fraction(12), Fraction(3))

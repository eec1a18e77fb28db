"""Bindings, borders and sashing: enough of each, with every join paid for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import finishing
from kitmaker.arithmetic.finishing import Join
from kitmaker.lengths import Length, parse_number

FORTY = Fraction(40)
HALF = Fraction(1, 2)

totals = st.fractions(min_value=1, max_value=600, max_denominator=8)
strip_lengths = st.fractions(min_value=10, max_value=60, max_denominator=8)
strip_widths = st.fractions(min_value=1, max_value=8, max_denominator=8)


def inches(text: str) -> Length:
    return parse_number(text)


@given(totals, strip_lengths, strip_widths, st.sampled_from(Join))
def test_joined_strips_give_the_length_and_one_fewer_would_not(
    total: Fraction, strip_length: Fraction, width: Fraction, join: Join
) -> None:
    run = finishing.joined_strips(total, strip_length, width, join)
    assert run.sewn_length == run.strip_count * strip_length - run.join_count * run.loss_per_join
    assert run.sewn_length >= total
    fewer = run.strip_count - 1
    assert fewer == 0 or fewer * strip_length - (fewer - 1) * run.loss_per_join < total
    assert run.shortest_segment <= strip_length
    assert fewer == 0 or run.shortest_segment > run.loss_per_join
    assert run.spare_length == strip_length - run.shortest_segment
    assert run.join_count == run.strip_count - 1


def test_a_diagonal_join_loses_the_strips_width_and_a_straight_one_half_an_inch() -> None:
    diagonal = finishing.joined_strips(Fraction(230), FORTY, inches("2 1/2"), Join.DIAGONAL)
    assert (diagonal.strip_count, diagonal.sewn_length) == (7, Fraction(265))
    straight = finishing.joined_strips(Fraction(230), FORTY, inches("2 1/2"), Join.STRAIGHT)
    assert (straight.strip_count, straight.sewn_length) == (6, inches("237 1/2"))
    ignored = finishing.joined_strips(Fraction(240), FORTY, inches("2 1/2"), Join.IN_ALLOWANCE)
    assert (ignored.strip_count, ignored.sewn_length) == (6, Fraction(240))


def test_a_length_that_fits_exactly_takes_no_further_strip() -> None:
    exact = finishing.joined_strips(inches("237 1/2"), FORTY, inches("2 1/2"), Join.STRAIGHT)
    over = finishing.joined_strips(inches("237 5/8"), FORTY, inches("2 1/2"), Join.STRAIGHT)
    assert (exact.strip_count, exact.spare_length, over.strip_count) == (6, Fraction(0), 7)


def test_one_strip_needs_no_join() -> None:
    run = finishing.joined_strips(Fraction(30), FORTY, Fraction(3), Join.DIAGONAL)
    assert (run.strip_count, run.join_count, run.longest_stretch) == (1, 0, Fraction(30))
    assert run.shortest_segment == 30
    assert run.length_off_the_bolt == 3


def test_strips_that_a_join_eats_up_are_refused() -> None:
    with pytest.raises(ValueError, match="eats up"):
        finishing.joined_strips(FORTY, Fraction(2), Fraction(2), Join.DIAGONAL)
    with pytest.raises(ValueError, match="none"):
        finishing.joined_strips(Fraction(0), FORTY, Fraction(2), Join.STRAIGHT)


def test_a_binding_goes_round_the_quilt_with_its_allowance() -> None:
    binding = finishing.straight_binding(Fraction(50), Fraction(60))
    assert binding.total == 230
    assert binding.strip_count == 7  # six would give 227½ after five 45° joins
    assert binding.length_off_the_bolt == inches("17 1/2")


def test_bias_binding_rounds_the_square_up_and_gives_the_length_unrounded() -> None:
    assert finishing.bias_square_side(Fraction(200), Fraction(2)) == 20
    assert finishing.bias_square_side(Fraction(201), Fraction(2)) == 21
    assert finishing.bias_square_side(Fraction(200), Fraction(2), extra=Fraction(2)) == 22
    assert finishing.bias_length(Fraction(20), Fraction(2)) == 200
    assert finishing.bias_length(Fraction(22), Fraction(3), Fraction(1, 4)) == Fraction(7569, 48)


@given(totals, strip_widths)
def test_a_bias_square_gives_at_least_the_length(total: Fraction, width: Fraction) -> None:
    side = finishing.bias_square_side(total, width)
    assert finishing.bias_length(side, width) >= total


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
    cloth = finishing.border_cloth(
        finishing.butted_borders(Fraction(50), Fraction(60), Fraction(6))
    )
    # 60½ + 60½ + 62½ + 62½ = 246 = 7 × 40 - 6 × ½ - 31
    assert (cloth.crosswise_strip_count, cloth.crosswise_join_count) == (7, 6)
    assert cloth.crosswise_length == inches("45 1/2")
    assert cloth.lengthwise_columns == 4
    assert cloth.lengthwise_length == inches("62 1/2")
    assert cloth.lengthwise_left_over_width == 14


def test_short_borders_are_cut_from_strips_without_a_join() -> None:
    cloth = finishing.border_cloth(
        finishing.butted_borders(Fraction(16), Fraction(18), Fraction(1))
    )
    # 18½, 18½, 18½, 18½: two a strip
    assert (cloth.crosswise_strip_count, cloth.crosswise_join_count) == (2, 0)


def test_wide_borders_lie_in_several_lengths_and_too_wide_ones_are_refused() -> None:
    wide = finishing.Borders(
        cut_width=Fraction(15), side_cut_length=Fraction(80), end_cut_length=Fraction(70)
    )
    cloth = finishing.border_cloth(wide)
    assert (cloth.lengthwise_columns, cloth.lengthwise_length) == (2, Fraction(150))
    with pytest.raises(ValueError, match="wider than"):
        finishing.border_cloth(wide, Fraction(14))


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

"""Cut sizes: exact where they can be, rounded up and never below the exact size elsewhere."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import cut_sizes as cut
from kitmaker.lengths import EIGHTH, MILLIMETER, SIXTEENTH, Length, parse_number

HALF = Fraction(1, 2)
QUARTER = Fraction(1, 4)
STEPS = (EIGHTH, SIXTEENTH, QUARTER, MILLIMETER)

finished_sizes = st.fractions(min_value=Fraction(1, 16), max_value=40, max_denominator=64)
seams = st.fractions(min_value=0, max_value=1, max_denominator=32)
steps = st.sampled_from(STEPS)


def inches(text: str) -> Length:
    return parse_number(text)


def root_between(square: Fraction) -> tuple[Fraction, Fraction]:
    """Bound a square root to 30 digits, by whole numbers, apart from the code under test."""
    scale = 10**30
    root = isqrt(square.numerator * scale**2 // square.denominator)
    return Fraction(root, scale), Fraction(root + 1, scale)


def assert_rounded_up(found: Length, plain: Fraction, square: Fraction, step: Length) -> None:
    low, high = root_between(square)
    assert found % step == 0
    assert found >= plain + low
    assert found - step < plain + high


@given(finished_sizes, seams)
def test_a_rectangle_grows_by_two_seams(finished: Fraction, seam: Fraction) -> None:
    assert cut.cut_rectangle(finished, seam) == finished + 2 * seam
    assert cut.finished_from_cut(cut.cut_rectangle(finished, seam), seam) == finished


@given(finished_sizes, seams, steps)
def test_a_half_square_is_never_below_the_exact_size_and_under_a_step_above(
    finished: Fraction, seam: Fraction, step: Fraction
) -> None:
    found = cut.cut_square_for_half_square(finished, seam, step)
    assert_rounded_up(found, finished + 2 * seam, 2 * seam**2, step)


@given(finished_sizes, seams, steps)
def test_a_quarter_square_is_never_below_the_exact_size_and_under_a_step_above(
    finished: Fraction, seam: Fraction, step: Fraction
) -> None:
    found = cut.cut_square_for_quarter_square(finished, seam, step)
    assert_rounded_up(found, finished + 2 * seam, 8 * seam**2, step)


@given(finished_sizes, seams, steps)
def test_eight_at_a_time_is_never_below_twice_the_exact_size(
    finished: Fraction, seam: Fraction, step: Fraction
) -> None:
    found = cut.cut_square_for_eight_half_squares(finished, seam, step)
    assert_rounded_up(found, 2 * finished + 4 * seam, 8 * seam**2, step)


@given(finished_sizes, seams, steps)
def test_setting_and_corner_squares_are_never_below_the_exact_size(
    finished: Fraction, seam: Fraction, step: Fraction
) -> None:
    side = cut.cut_square_for_setting(finished, seam, step)
    corner = cut.cut_square_for_corners(finished, seam, step)
    assert_rounded_up(side, 2 * seam, 2 * (finished + 2 * seam) ** 2, step)
    assert_rounded_up(corner, 2 * seam, 2 * (finished / 2 + seam) ** 2, step)


@given(st.fractions(min_value=0, max_value=5000, max_denominator=400), steps)
def test_sqrt_up_is_the_least_multiple_whose_square_is_enough(
    number: Fraction, step: Fraction
) -> None:
    root = cut.sqrt_up(number, step)
    assert root % step == 0
    assert root**2 >= number
    assert root == 0 or (root - step) ** 2 < number


@given(st.fractions(min_value=0, max_value=5000, max_denominator=400), steps)
def test_the_nearest_root_is_within_half_a_step(number: Fraction, step: Fraction) -> None:
    root = cut.root_nearest(number, step)
    low, high = root_between(number)
    assert root - step / 2 <= high
    assert root + step / 2 >= low


def test_sqrt_up_of_a_perfect_square_adds_nothing() -> None:
    assert cut.sqrt_up(Fraction(25, 4)) == inches("2 1/2")
    assert cut.sqrt_up(Fraction(0)) == 0


def test_sqrt_up_of_a_hair_more_than_a_perfect_square_takes_the_next_step() -> None:
    assert cut.sqrt_up(Fraction(25, 4) + Fraction(1, 10**40)) == inches("2 5/8")


def test_a_negative_root_and_a_step_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="no root"):
        cut.sqrt_up(Fraction(-1))
    with pytest.raises(ValueError, match="no root"):
        cut.sqrt_up(Fraction(2), Fraction(0))


@pytest.mark.parametrize("finished", ["1", "2", "3 3/8", "12"])
def test_at_a_quarter_inch_seam_the_allowances_are_the_trades(finished: str) -> None:
    size = inches(finished)
    assert cut.cut_square_for_half_square(size) == size + Fraction(7, 8)
    assert cut.cut_square_for_quarter_square(size) == size + Fraction(5, 4)
    assert cut.quarter_square_allowance() == Fraction(5, 4)


def test_at_three_eighths_and_in_millimeters_the_allowances_follow_the_seam() -> None:
    assert cut.cut_square_for_half_square(Fraction(3), Fraction(3, 8)) == inches("4 3/8")
    assert cut.cut_square_for_half_square(Fraction(3), Fraction(0)) == 3
    seam, finished = 6 * MILLIMETER, 80 * MILLIMETER
    side = cut.cut_square_for_half_square(finished, seam, MILLIMETER)
    assert side == 101 * MILLIMETER  # 80 + 6 (2 + 1.4142) = 100.49


def test_oversize_is_added_after_rounding_and_twice_for_eight_at_a_time() -> None:
    assert cut.cut_square_for_half_square(Fraction(3), oversize=QUARTER) == inches("4 1/8")
    assert cut.cut_square_for_quarter_square(Fraction(3), oversize=QUARTER) == inches("4 1/2")
    assert cut.cut_square_for_eight_half_squares(Fraction(3), oversize=EIGHTH) == 8


@pytest.mark.parametrize("size", [Fraction(0), Fraction(-1)])
def test_a_finished_size_of_nothing_is_refused(size: Fraction) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        cut.cut_rectangle(size)
    with pytest.raises(ValueError, match="more than nothing"):
        cut.cut_square_for_half_square(size)


def test_a_negative_seam_is_refused() -> None:
    with pytest.raises(ValueError, match="seam allowance"):
        cut.cut_square_for_quarter_square(Fraction(3), Fraction(-1, 4))


def test_seams_that_leave_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="leave nothing"):
        cut.finished_from_cut(HALF)


def test_ruler_positions_count_from_the_edge() -> None:
    assert cut.ruler_positions(Fraction(5, 2), 3) == (Fraction(5, 2), Fraction(5), Fraction(15, 2))
    assert cut.ruler_positions(Fraction(5, 2), 0) == ()


def test_ruler_positions_begin_anew_past_the_rulers_end() -> None:
    assert cut.ruler_positions(Fraction(4), 3, Fraction(9)) == (4, 8, 4)
    assert cut.ruler_positions(Fraction(10), 2, Fraction(10)) == (10, 10)


def test_cross_cuts_are_whole_in_every_segment() -> None:
    assert cut.cross_cuts_from(Fraction(40), Fraction(7, 2)) == 11
    assert 2 * cut.cross_cuts_from(Fraction(20), Fraction(7, 2)) == 10

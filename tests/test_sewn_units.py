"""Flying geese, squares in squares and settings on point: what is cut for them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import sewn_units
from kitmaker.arithmetic.cut_sizes import cut_square_for_half_square, cut_square_for_quarter_square
from kitmaker.lengths import Length, parse_number

sizes = st.fractions(min_value=Fraction(1, 4), max_value=30, max_denominator=16)


def inches(text: str) -> Length:
    return parse_number(text)


def test_geese_one_at_a_time_take_a_rectangle_and_two_squares_each() -> None:
    geese = sewn_units.flying_geese_one_at_a_time(Fraction(2), 24)
    assert (geese.geese.cut_width, geese.geese.cut_length) == (inches("4 1/2"), inches("2 1/2"))
    assert geese.geese.count == 24
    assert (geese.sky.cut_side, geese.sky.count) == (inches("2 1/2"), 48)


def test_geese_four_at_a_time_are_rounded_up_to_whole_squares() -> None:
    geese = sewn_units.flying_geese_four_at_a_time(Fraction(2), 10)
    assert (geese.geese.cut_width, geese.geese.count) == (inches("5 1/4"), 3)
    assert (geese.sky.cut_side, geese.sky.count) == (inches("2 7/8"), 12)
    assert geese.geese.spare_count == geese.sky.spare_count == 2


@given(sizes)
def test_geese_are_made_of_quarter_and_half_squares(height: Fraction) -> None:
    geese = sewn_units.flying_geese_four_at_a_time(height, 4)
    assert geese.geese.cut_width == cut_square_for_quarter_square(2 * height)
    assert geese.sky.cut_side == cut_square_for_half_square(height)


def test_a_flipped_square_in_a_square_takes_a_base_and_four_squares() -> None:
    unit = sewn_units.square_in_a_square_flipped(Fraction(6))
    assert (unit.center.cut_side, unit.center.count) == (inches("6 1/2"), 1)
    assert (unit.corners.cut_side, unit.corners.count) == (inches("3 1/2"), 4)


def test_with_triangles_a_12_inch_unit_takes_a_9_inch_center() -> None:
    unit = sewn_units.square_in_a_square_with_triangles(Fraction(12))
    assert (unit.center.cut_side, unit.corners.cut_side) == (Fraction(9), inches("6 7/8"))
    assert unit.corners.count == 2


@given(sizes)
def test_a_center_cut_from_the_unit_is_never_too_small(finished: Fraction) -> None:
    center = sewn_units.square_in_a_square_with_triangles(finished).center.cut_side
    shown = center - Fraction(1, 2)
    assert 2 * shown**2 >= finished**2
    assert 2 * (shown - Fraction(1, 8)) ** 2 < finished**2 or shown <= Fraction(1, 8)


def test_a_quilt_on_point_counts_the_blocks_between_and_the_triangles_around() -> None:
    quilt = sewn_units.on_point_setting(3, 4, Fraction(12))
    assert quilt.block_count == 18
    assert (quilt.sides.count, quilt.sides.spare_count) == (3, 2)  # 10 triangles
    assert quilt.corners.count == 2
    assert quilt.finished_width == inches("51")  # 36√2 = 50.912
    assert quilt.finished_length == inches("68")  # 48√2 = 67.882


def test_one_block_on_point_has_corners_only() -> None:
    quilt = sewn_units.on_point_setting(1, 1, Fraction(12))
    assert (quilt.block_count, quilt.sides.count, quilt.corners.count) == (1, 0, 2)
    with pytest.raises(ValueError, match="at least one block"):
        sewn_units.on_point_setting(0, 1, Fraction(12))

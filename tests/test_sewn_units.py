"""Squares in squares and settings on point: what is cut for them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import sewn_units
from kitmaker.lengths import Length, parse_number

sizes = st.fractions(min_value=Fraction(1, 4), max_value=30, max_denominator=16)


def inches(text: str) -> Length:
    return parse_number(text)


@given(sizes)
def test_a_center_cut_from_the_unit_is_never_too_small(finished: Fraction) -> None:
    center = sewn_units.cut_center_for_square_in_a_square(finished)
    shown = center - Fraction(1, 2)
    assert 2 * shown**2 >= finished**2
    assert 2 * (shown - Fraction(1, 8)) ** 2 < finished**2 or shown <= Fraction(1, 8)


def test_a_quilt_on_point_counts_the_blocks_between_and_the_triangles_around() -> None:
    quilt = sewn_units.on_point_setting(3, 4, Fraction(12))
    assert quilt.block_count == 18
    assert quilt.side_triangles == 10
    assert quilt.finished_width == inches("51")  # 36√2 = 50.912
    assert quilt.finished_length == inches("68")  # 48√2 = 67.882


def test_one_block_on_point_has_corners_only() -> None:
    quilt = sewn_units.on_point_setting(1, 1, Fraction(12))
    assert (quilt.block_count, quilt.side_triangles) == (1, 0)
    with pytest.raises(ValueError, match="at least one block"):
        sewn_units.on_point_setting(0, 1, Fraction(12))

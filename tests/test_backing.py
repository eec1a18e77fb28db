"""Backing and batting: large enough, and pieced the way that takes less cloth."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic.backing import SeamDirection, backing, batting

quilt_sides = st.fractions(min_value=10, max_value=130, max_denominator=8)
usable_widths = st.fractions(min_value=30, max_value=110, max_denominator=4)
NO_SEAM = Fraction(0)


def test_the_better_way_is_named() -> None:
    back = backing(Fraction(60), Fraction(80))
    assert (back.width, back.length) == (Fraction(68), Fraction(88))
    assert (back.upright.panel_count, back.upright.length_off_the_bolt) == (2, Fraction(176))
    assert (back.level.panel_count, back.level.length_off_the_bolt) == (3, Fraction(204))
    assert back.better is back.upright


def test_level_seams_win_where_the_length_is_two_panels_and_the_width_is_narrow() -> None:
    back = backing(Fraction(42), Fraction(64))
    assert back.better.direction is SeamDirection.LEVEL
    assert back.better.length_off_the_bolt == 100
    assert back.better.seam_count == 1


def test_the_seam_between_panels_is_paid_for() -> None:
    assert backing(Fraction(72), Fraction(72)).upright.panel_count == 3
    assert backing(Fraction(72), Fraction(72), seam=NO_SEAM).upright.panel_count == 2
    assert backing(Fraction(71), Fraction(72)).upright.panel_count == 2


def test_a_wide_backing_is_one_panel_the_shorter_way() -> None:
    back = backing(Fraction(90), Fraction(108), Fraction(104))
    assert (back.upright.panel_count, back.level.panel_count) == (1, 2)
    assert back.better.length_off_the_bolt == 116


@given(quilt_sides, quilt_sides, usable_widths)
def test_panels_cover_the_backing_and_one_fewer_would_not(
    width: Fraction, length: Fraction, usable: Fraction
) -> None:
    back = backing(width, length, usable)
    for way, covered in ((back.upright, back.width), (back.level, back.length)):
        assert way.panel_count * usable - way.seam_count >= covered
        fewer = way.panel_count - 1
        assert fewer == 0 or fewer * usable - (fewer - 1) < covered
    assert back.better.length_off_the_bolt == min(
        back.upright.length_off_the_bolt, back.level.length_off_the_bolt
    )


def test_seams_that_eat_up_the_fabric_are_refused() -> None:
    with pytest.raises(ValueError, match="eat up"):
        backing(Fraction(40), Fraction(50), Fraction(1))


def test_batting_is_whole_inches_up_and_the_overhang() -> None:
    assert batting(Fraction(435, 8), Fraction(55)) == (Fraction(63), Fraction(63))
    assert batting(Fraction(60), Fraction(80), Fraction(3)) == (Fraction(66), Fraction(86))

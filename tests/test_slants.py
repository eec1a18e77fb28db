"""Half-rectangles, 60° triangles, diamonds and hexagons: their strips and their counts."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic import slants
from kitmaker.arithmetic.cut_sizes import cut_square_for_half_square
from kitmaker.arithmetic.slants import DiamondAngle
from kitmaker.lengths import Length, parse_number

heights = st.fractions(min_value=Fraction(1, 2), max_value=12, max_denominator=16)
widths = st.fractions(min_value=10, max_value=110, max_denominator=8)


def inches(text: str) -> Length:
    return parse_number(text)


def rectangle(leg: Fraction, other: Fraction, **more: Fraction) -> tuple[Length, Length]:
    cut = slants.cut_rectangle_for_half_rectangle
    return cut(leg, other, **more), cut(other, leg, **more)


def test_a_one_to_two_half_rectangle_adds_what_its_legs_ask_for() -> None:
    """To the sixteenth 11/16 and 1 5/16."""
    two, four = Fraction(2), Fraction(4)
    assert rectangle(two, four) == (inches("2 3/4"), inches("5 3/8"))
    fine = rectangle(two, four, step=Fraction(1, 16))
    assert fine == (inches("2 11/16"), inches("5 5/16"))


@given(heights)
def test_a_half_rectangle_with_equal_legs_is_a_half_square(leg: Fraction) -> None:
    assert set(rectangle(leg, leg)) == {cut_square_for_half_square(leg)}


def test_a_whole_long_side_needs_no_rounding() -> None:
    """1 + (3 + 5)/4 and 1 + (4 + 5)/3 quarters more."""
    assert rectangle(Fraction(3), Fraction(4), step=Fraction(1, 48)) == (
        3 + Fraction(1, 4) * 3,
        4 + Fraction(1, 4) * 4,
    )


def test_a_sixty_degree_strip_adds_three_seams() -> None:
    assert slants.cut_strip_for_sixty_degree_triangle(Fraction(2)) == inches("2 3/4")


@given(widths, heights)
def test_sixty_degree_triangles_fill_the_strip_and_one_more_would_not(
    width: Fraction, height: Fraction
) -> None:
    count = slants.sixty_degree_triangles_per_strip(width, height)
    if count > 0:
        assert (count + 1) ** 2 * height**2 <= 3 * width**2
    assert (count + 2) ** 2 * height**2 > 3 * width**2


def test_a_strip_shorter_than_a_triangle_gives_none() -> None:
    assert slants.sixty_degree_triangles_per_strip(Fraction(5), Fraction(5)) == 0
    assert slants.sixty_degree_triangles_per_strip(Fraction(2), Fraction(5)) < 1


@pytest.mark.parametrize(
    ("angle", "count"),
    [(DiamondAngle.DEGREES_45, 10), (DiamondAngle.DEGREES_60, 13)],
)
def test_diamonds_from_a_strip_pay_for_the_slanted_first_cut(
    angle: DiamondAngle, count: int
) -> None:
    # 45°: (40 - 2½)/(2½ √2) = 10.6; 60°: (40 - 2½/√3)/(5/√3) = 13.4
    assert slants.diamonds_per_strip(Fraction(40), inches("2 1/2"), angle) == count


def test_a_strip_too_short_for_its_first_cut_gives_no_diamond() -> None:
    for angle in DiamondAngle:
        assert slants.diamonds_per_strip(Fraction(2), Fraction(3), angle) == 0
        assert slants.diamonds_per_strip(Fraction(4), Fraction(3), angle) == 0

"""Square in a square, both ways, against printed figures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic import cut_sizes as arithmetic
from kitmaker.arithmetic import sewn_units
from kitmaker.lengths import EIGHTH, parse_number

SCISSORTAIL = (
    "Scissortail Quilting, Square in a Square (Quick Corner Method), "
    "https://scissortailquilting.com/quilt-block-library/square-in-a-square/"
)
HANDOUT = (
    "Lesson 5, A Square in a Square (class handout), "
    "https://slideblast.com/lesson-5-a-square-in-a-square_59b518081723dd2c83061388.html"
)


@pytest.mark.parametrize(
    ("finished", "base", "corner"),
    [
        ("2", "2 1/2", "1 1/2"),
        ("3", "3 1/2", "2"),
        ("4", "4 1/2", "2 1/2"),
        ("5", "5 1/2", "3"),
        ("6", "6 1/2", "3 1/2"),
        ("7", "7 1/2", "4"),
        ("8", "8 1/2", "4 1/2"),
        ("9", "9 1/2", "5"),
        ("10", "10 1/2", "5 1/2"),
        ("11", "11 1/2", "6"),
        ("12", "12 1/2", "6 1/2"),
    ],
)
def test_stitch_and_flip(finished: str, base: str, corner: str) -> None:
    unit = sewn_units.square_in_a_square_flipped(parse_number(finished))
    assert unit.center.cut_side == parse_number(base), SCISSORTAIL
    assert unit.corners.cut_side == parse_number(corner), SCISSORTAIL
    assert unit.corners.count == 4


def test_triangles_from_the_finished_unit() -> None:
    unit = sewn_units.square_in_a_square_with_triangles(Fraction(12))
    assert unit.center.cut_side == 9, HANDOUT
    assert unit.corners.cut_side == parse_number("6 7/8"), HANDOUT


def test_triangles_from_the_finished_center() -> None:
    unit = sewn_units.square_in_a_square_around(parse_number("3 1/2"))
    assert unit.center.cut_side == 4, HANDOUT
    assert unit.corners.cut_side == parse_number("3 3/8"), HANDOUT


def test_the_rounding_of_a_14_inch_unit_is_upward() -> None:
    """10.398 became 10⅜ in print, the nearest eighth; a center so cut is too small.

    Chocolate Cake Quilt Designs, Achieving True Square (2014),
    https://chocolatecakequiltdesigns.wordpress.com/2014/03/31/achieving-true-square/
    """
    center = sewn_units.square_in_a_square_with_triangles(Fraction(14)).center.cut_side
    assert center - EIGHTH == parse_number("10 3/8")
    assert center == parse_number("10 1/2")


def test_mistake_the_center_is_divided_by_the_root_not_multiplied() -> None:
    """Scrapish says multiply; its own example, 4 → 3¾, divides.

    https://www.scrapish.com/corner-triangles-for-setting-blocks-on-point.html
    """
    found = arithmetic.cut_square_for_corners(Fraction(4))
    multiplied = Fraction(4) * Fraction("1.414") + Fraction(7, 8)
    assert found == parse_number("3 3/4")
    assert found < multiplied


def test_mistake_half_an_inch_is_too_little_for_a_triangle() -> None:
    """A forum formula c/1.414 + ½, 5 → 4.03; https://www.quiltingboard.com/3912467-post2.html."""
    found = arithmetic.cut_square_for_corners(Fraction(5))
    assert found - Fraction("4.03") > Fraction(3, 8)
    assert found == parse_number("4 1/2")

"""Square in a square, both ways, against printed figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import shape, side

from kitmaker.lengths import EIGHTH, parse_number

SCISSORTAIL = (
    "Scissortail Quilting, Square in a Square (Quick Corner Method), "
    "https://scissortailquilting.com/quilt-block-library/square-in-a-square/"
)
HANDOUT = (
    "Lesson 5, A Square in a Square (class handout), "
    "https://slideblast.com/lesson-5-a-square-in-a-square_59b518081723dd2c83061388.html"
)
CENTER, CORNER = "square-in-a-square center", "square-in-a-square corner"


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
    assert side(f"{CENTER}, flipped corners", finished) == parse_number(base), SCISSORTAIL
    assert side(f"{CORNER}, flipped corners", finished) == parse_number(corner), SCISSORTAIL
    assert shape(f"{CORNER}, flipped corners", finished, "", 8).quantity == 8


def test_triangles_from_the_finished_unit() -> None:
    """Two squares cut once give the four corners."""
    assert side(f"{CENTER}, from triangles", "12") == 9, HANDOUT
    assert side(f"{CORNER}, from triangles", "12") == parse_number("6 7/8"), HANDOUT
    assert shape(f"{CORNER}, from triangles", "12", "", 4).quantity == 2, HANDOUT


def test_triangles_from_the_finished_center() -> None:
    """The corners of a center are those of a block on point."""
    assert side("square", "3 1/2") == 4, HANDOUT
    assert side("corner triangle", "3 1/2") == parse_number("3 3/8"), HANDOUT


def test_the_rounding_of_a_14_inch_unit_is_upward() -> None:
    """10.398 became 10⅜ in print, the nearest eighth; a center so cut is too small.

    Chocolate Cake Quilt Designs, Achieving True Square (2014),
    https://chocolatecakequiltdesigns.wordpress.com/2014/03/31/achieving-true-square/
    """
    center = side(f"{CENTER}, from triangles", "14")
    assert center - EIGHTH == parse_number("10 3/8")
    assert center == parse_number("10 1/2")


def test_mistake_the_center_is_divided_by_the_root_not_multiplied() -> None:
    """Scrapish says multiply; its own example, 4 → 3¾, divides.

    https://www.scrapish.com/corner-triangles-for-setting-blocks-on-point.html
    """
    found = side("corner triangle", "4")
    assert found == parse_number("3 3/4")
    assert found < Fraction(4) * Fraction("1.414") + Fraction(7, 8)


def test_mistake_half_an_inch_is_too_little_for_a_triangle() -> None:
    """A forum formula c/1.414 + ½, 5 → 4.03; https://www.quiltingboard.com/3912467-post2.html."""
    found = side("corner triangle", "5")
    assert found - Fraction("4.03") > Fraction(3, 8)
    assert found == parse_number("4 1/2")

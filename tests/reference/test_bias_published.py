"""Bias binding from a square against worked examples in print; none deducts the seams."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic import finishing
from kitmaker.lengths import INCH, parse_number, round_need_up

DECOZO = (
    "My Decozo, Making Continuous Piping Strips, https://www.mydecozo.co.uk/forum/mydecozo/"
    "soft-furnishing-faq-s/680-making-continuous-piping-strips-bias-binding"
)
QUESTION_TIME = (
    "Quilters Question Time (2021), https://www.quiltersquestiontime.com/blog/"
    "how-do-i-calculate-how-much-fabric-i-need-for-bias-binding"
)
GETA = (
    "Geta's Quilting Studio (2018), https://www.getasquiltingstudio.com/2018/04/"
    "continuous-bias-binding-cheat-sheets-formulas-and-more.html"
)
WHATS_NEW = (
    "Sew, What's New (M. Lewis), "
    "http://sew-whats-new.com/profiles/blogs/how-much-bias-binding-can-you"
)


@pytest.mark.parametrize(
    ("length", "strip", "published", "source"),
    [
        ("250", "2", 23, DECOZO),
        ("100", "3 1/2", 19, QUESTION_TIME),
        ("55", "2 1/2", 12, GETA),
    ],
)
def test_square_from_length(length: str, strip: str, published: int, source: str) -> None:
    side = finishing.bias_square_side(parse_number(length), parse_number(strip))
    assert side == published, source


@pytest.mark.parametrize(
    ("side", "strip", "published", "source"),
    [("20", "2", 200, DECOZO), ("36", "2", 648, WHATS_NEW)],
)
def test_length_from_square(side: str, strip: str, published: int, source: str) -> None:
    assert finishing.bias_length(parse_number(side), parse_number(strip)) == published, source


def test_an_eighteen_inch_square_is_8_inches_of_a_42_inch_fabric() -> None:
    """18² on 42 wide → 7.71, up to 8 in of fabric; Geta's Quilting Studio."""
    area_length = finishing.bias_length(Fraction(18), Fraction(42))
    assert round(area_length, 2) == Fraction("7.71"), GETA
    assert round_need_up(area_length, INCH) == 8


def test_variants_that_count_the_seams() -> None:
    """(side - ¼)² ÷ strip, 22 at 3 → 473/3 = 157.7 (a compilation); 2 in more on the side.

    http://victoryautony.com/alva-chair-uggmh/page.php?efad04=vht-vinyl-dye-colour-chart;
    https://5minpourcreer.com/to-sew/how-do-you-calculate-quilt-binding.html
    """
    length = finishing.bias_length(Fraction(22), Fraction(3), Fraction(1, 4))
    assert round(length, 1) == Fraction("157.7")
    side = finishing.bias_square_side(Fraction(250), Fraction(2), extra=Fraction(2))
    assert side == 25


def test_contradiction_a_twelve_inch_square_at_two_is_72_by_area() -> None:
    """A compilation says about 60; https://ronbd.com/formation-of-jpjs/156d3f-continuous-bias-binding-from-a-square."""
    assert finishing.bias_length(Fraction(12), Fraction(2)) != 60
    assert finishing.bias_length(Fraction(12), Fraction(2)) == 72

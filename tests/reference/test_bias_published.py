"""Bias binding from a square against worked examples in print; none deducts the seams.

The quilt is one whose way round is the printed length of binding.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import finishing, only

from kitmaker.lengths import parse_number, say_plain
from kitmaker.pattern import Shape

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
RONBD = "https://ronbd.com/formation-of-jpjs/156d3f-continuous-bias-binding-from-a-square."


def squares(length: str, strip: str, usable: str = "40") -> tuple[Fraction, int]:
    """Return side and number of the squares for a bias binding of a length."""
    quarter = say_plain(parse_number(length) / 4)
    found = finishing(
        *(("Quilt width", quarter), ("Quilt length", quarter)),
        *(("Binding width", strip), ("Binding allowance", 0), ("Binding style", "bias")),
        usable=(("Binding", usable),),
    )
    piece = only(found, "Binding")
    assert piece.shape is Shape.SQUARE
    return piece.width, piece.quantity


@pytest.mark.parametrize(
    ("length", "strip", "published", "source"),
    [
        ("250", "2", 23, DECOZO),
        ("100", "3 1/2", 19, QUESTION_TIME),
        ("55", "2 1/2", 12, GETA),
        # Printed the other way: the length that a square gives.
        ("200", "2", 20, DECOZO),
        ("648", "2", 36, WHATS_NEW),
    ],
)
def test_square_and_length(length: str, strip: str, published: int, source: str) -> None:
    assert squares(length, strip) == (published, 1), source


def test_contradiction_a_twelve_inch_square_at_two_is_72_by_area() -> None:
    """A compilation says about 60, which an 11 in square gives by area."""
    assert squares("72", "2") == (12, 1), RONBD
    assert squares("60", "2") == (11, 1), RONBD


def test_worked_out_a_hair_more_than_a_whole_square_takes_the_next_inch() -> None:
    """√(40 × 2½) is 10; √(40.1 × 2½) is a hair more, and 10 in would be short."""
    assert squares("40", "2 1/2") == (10, 1)
    assert squares("40.1", "2 1/2") == (11, 1)


def test_worked_out_a_square_wider_than_the_fabric_becomes_two() -> None:
    """√(430 × 4) = 41.5, wider than 40; √(215 × 4) = 29.3, so two of 30."""
    assert squares("430", "4") == (30, 2)
    assert squares("430", "4", usable="42") == (42, 1)

"""Straight binding (and borders of the same arithmetic) against worked examples in print.

No source counts what the joins take: the allowance pays for it, or nothing does. So the
strips are compared without join loss, and with 45° joins they are never fewer.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pytest

from kitmaker.arithmetic import finishing
from kitmaker.arithmetic.finishing import Join
from kitmaker.lengths import YARD, parse_number, round_need_up


@dataclass(frozen=True)
class Worked:
    """One worked example: the quilt, the rule's figures, the strips and inches printed."""

    quilt: tuple[str, str]
    allowance: int
    divisor: int
    strip_width: str
    strips: int
    inches: str
    source: str


EXAMPLES = [
    Worked(
        ("50", "60"), 0, 38, "2 1/2", 6, "15",
        "Castilleja Cotton (2013), http://castillejacotton.blogspot.com/2013/06",
    ),
    Worked(
        ("46", "46"), 0, 40, "2 1/2", 5, "12 1/2",
        "Sylvia's Quilt Depot, https://www.sylviasquiltdepot.com/"
        "measuring-fabric-for-continuous-strips.htm",
    ),
    Worked(
        ("42 3/4", "63 1/2"), 0, 40, "2 1/4", 6, "13 1/2",
        "Quilts by Jen, https://quiltsbyjen.ca/calculating-amounts-of-fabric-for-binding",
    ),
    Worked(
        ("54", "60"), 10, 42, "1 1/4", 6, "7 1/2",  # printed 9½ with 2 in for uneven edges
        "Monica Curry (2019), https://www.monicacurryquiltdesign.com/2019/06/"
        "how-to-make-double-fold-flange-quilt.html",
    ),
    Worked(
        ("48", "64"), 10, 40, "6", 6, "36",
        "Brynwood Needleworks (2014), https://brynwoodneedleworks.blogspot.com/2014/09/"
        "stitching-cyphering-and-sewing.html",
    ),
    Worked(
        ("48", "64"), 10, 40, "3", 6, "18",
        "Brynwood Needleworks (2014), https://brynwoodneedleworks.blogspot.com/2014/09/"
        "stitching-cyphering-and-sewing.html",
    ),
]  # fmt: skip


def name(example: Worked) -> str:
    return f"{' x '.join(example.quilt)} at {example.strip_width}"


@pytest.mark.parametrize("example", EXAMPLES, ids=name)
def test_worked_example(example: Worked) -> None:
    width, length = (parse_number(side) for side in example.quilt)
    for join in (Join.IN_ALLOWANCE, Join.STRAIGHT, Join.DIAGONAL):
        binding = finishing.straight_binding(
            width,
            length,
            strip_width=parse_number(example.strip_width),
            usable_width=Fraction(example.divisor),
            allowance=Fraction(example.allowance),
            join=join,
        )
        if join is Join.IN_ALLOWANCE:
            assert binding.strip_count == example.strips, example.source
            assert binding.length_off_the_bolt == parse_number(example.inches), example.source
        else:
            assert binding.strip_count >= example.strips


def test_the_perimeter_of_a_queen_quilt() -> None:
    """84 × 92 → 352; https://puntadasdemoda.com/mosaicism/what-size-should-my-quilt-binding-be.html."""
    binding = finishing.straight_binding(Fraction(84), Fraction(92), allowance=Fraction(0))
    assert binding.total == 352


def test_mistake_eleven_strips_are_27_inches_and_a_half_and_need_seven_eighths() -> None:
    """96 × 110 and 12: the thread prints 26½ in and ¾ yd.

    http://www.quiltingboard.com/main-f1/binding-math-t189575.html
    """
    binding = finishing.straight_binding(
        Fraction(96), Fraction(110), allowance=Fraction(12), join=Join.IN_ALLOWANCE
    )
    assert binding.strip_count == 11
    found = binding.length_off_the_bolt
    assert found != parse_number("26 1/2")
    assert found == parse_number("27 1/2")
    bought = round_need_up(found, YARD / 8)
    assert bought != parse_number("3/4") * YARD
    assert bought == parse_number("7/8") * YARD


def test_mistake_strips_are_counted_whole() -> None:
    """40 × 50 at 3½ and 42: the shop multiplies 4.29 strips, 15 in; https://cottonpatchfabrics.com/."""
    binding = finishing.straight_binding(
        Fraction(40),
        Fraction(50),
        strip_width=parse_number("3 1/2"),
        usable_width=Fraction(42),
        allowance=Fraction(0),
        join=Join.IN_ALLOWANCE,
    )
    assert binding.length_off_the_bolt != 15
    assert binding.length_off_the_bolt == parse_number("17 1/2")
    assert round_need_up(binding.length_off_the_bolt, YARD / 8) == YARD / 2  # both buy ½ yd

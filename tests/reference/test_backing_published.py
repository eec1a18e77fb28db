"""Backing and batting against worked examples in print.

Where a size is the backing's own, the overhang is nothing. Printed tables ignore the seam
between panels; these examples come out the same with it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic.backing import SeamDirection, backing, batting
from kitmaker.lengths import YARD, parse_number, round_need_up

NOTHING = Fraction(0)


@pytest.mark.parametrize(
    ("quilt", "overhang", "published", "source"),
    [
        ((65, 75), 3, (71, 81), "AQS blog, http://www.aqsblog.com/quilt-back-math"),
        ((60, 80), 4, (68, 88), "Log House Quilting, http://loghousequilting.com/preparation/"),
        (
            (60, 70),
            4,
            (68, 78),
            "Cranberry Quilting, https://www.cranberryquiltingco.com/backing-batting-tips",
        ),
        ((60, 80), 4, (68, 88), "Sewberry Chic, https://sewberrychic.com/backing"),
        (
            (40, 50),
            4,
            (48, 58),
            "MMM Quilts, http://mmmquilts.blogspot.com/p/backing-material-and-preparation.html",
        ),
    ],
)
def test_the_backing_extends_on_every_side(
    quilt: tuple[int, int], overhang: int, published: tuple[int, int], source: str
) -> None:
    back = backing(Fraction(quilt[0]), Fraction(quilt[1]), overhang=Fraction(overhang))
    assert (back.width, back.length) == tuple(map(Fraction, published)), source


def test_a_42_by_60_backing_is_one_yard_and_two_thirds() -> None:
    """AQS blog, Quilt Back Math, http://www.aqsblog.com/quilt-back-math: thirds of a yard."""
    back = backing(Fraction(42), Fraction(60), Fraction(42), NOTHING)
    assert back.better.panel_count == 1
    assert back.better.length_off_the_bolt == parse_number("1 2/3") * YARD


def test_a_65_by_78_backing_with_one_seam_either_way() -> None:
    """130 in, 3⅝ yd, or 156 in, 4⅓ yd; https://www.quiltingboard.com/7400852-post21.html."""
    back = backing(Fraction(65), Fraction(78), Fraction(42), NOTHING)
    assert back.upright.length_off_the_bolt == 156 == parse_number("4 1/3") * YARD
    assert back.level.length_off_the_bolt == 130
    assert round_need_up(Fraction(130), YARD / 8) == parse_number("3 5/8") * YARD
    assert back.better.direction is SeamDirection.LEVEL
    assert back.better.seam_count == 1


def test_two_lengths_of_74_are_four_yards_and_a_quarter() -> None:
    """teacherscollegesj.org (compilation): 148 in, up to the quarter.

    https://teacherscollegesj.org/how-many-yards-of-fabric-do-i-need-for-quilt-backing/
    """
    back = backing(Fraction(80), Fraction(74), Fraction(42), NOTHING)
    assert back.upright.length_off_the_bolt == 148
    assert round_need_up(Fraction(148), YARD / 4) == parse_number("4 1/4") * YARD


def test_a_108_inch_backing_in_one_panel() -> None:
    """103 × 110 on 108 wide: 3⅛ and ⅛ for shrinkage = 3¼ yd; the same compilation."""
    back = backing(Fraction(103), Fraction(110), Fraction(108), NOTHING)
    assert back.better.panel_count == 1
    bought = round_need_up(back.better.length_off_the_bolt, YARD / 8)
    assert bought == parse_number("3 1/8") * YARD
    assert bought + YARD / 8 == parse_number("3 1/4") * YARD


def test_a_42_by_64_quilt_in_two_level_panels() -> None:
    """QUILTsocial: backing 48 × 72 pieced as two widths, 96 in = 2⅔ yd.

    https://quiltsocial.com/5-quick-steps-to-calculate-yardage-for-quilt-backing-3-styles/amp/
    """
    back = backing(Fraction(48), Fraction(72), Fraction(40), NOTHING)
    assert back.better.direction is SeamDirection.LEVEL
    assert back.better.length_off_the_bolt == 96 == parse_number("2 2/3") * YARD


@pytest.mark.parametrize("overhang", [2, 3])
def test_a_40_by_45_quilt_takes_a_yard_and_a_half_if_the_width_is_let_be(overhang: int) -> None:
    """St. Croix International Quilters' Guild, http://www.stcroixquilters.com/quiltbacking.htm.

    The length is right; but 2 or 3 in on each side make the backing wider than the 40 to
    42 in of the fabric, so that one panel does not do.
    """
    back = backing(Fraction(40), Fraction(45), Fraction(42), Fraction(overhang), NOTHING)
    assert round_need_up(back.upright.panel_length, YARD / 4) == parse_number("1 1/2") * YARD
    assert back.upright.panel_count == 2


def test_mistake_84_inches_are_not_two_panels_of_42() -> None:
    """A blade maker's rule says so and leaves nothing for the joining seam."""
    back = backing(Fraction(84), Fraction(90), Fraction(42), NOTHING)
    assert back.upright.panel_count == 3
    just_under = backing(Fraction(83), Fraction(90), Fraction(42), NOTHING)
    assert just_under.upright.panel_count == 2


@pytest.mark.parametrize(
    ("quilt", "overhang", "published", "source"),
    [
        (
            ("55", "54 3/8"),
            4,
            ("63", "63"),
            "BHG Stylebook, Materials Lists, http://bhgstylebook.com/qmaterialslists/",
        ),
        (
            ("60", "80"),
            3,
            ("66", "86"),
            "Log House Quilting, http://loghousequilting.com/preparation/",
        ),
    ],
)
def test_batting(
    quilt: tuple[str, str], overhang: int, published: tuple[str, str], source: str
) -> None:
    found = batting(parse_number(quilt[0]), parse_number(quilt[1]), Fraction(overhang))
    assert found == (parse_number(published[0]), parse_number(published[1])), source


def test_mistake_a_40_inch_quilt_top_is_an_eighth_less_by_the_rule_than_in_its_example() -> None:
    """A blade maker's guide: one length, up to ⅛ yd, is 1⅛ yd for 40 in; its example says 1¼."""
    rounded = round_need_up(Fraction(40), YARD / 8)
    assert rounded != parse_number("1 1/4") * YARD
    assert rounded == parse_number("1 1/8") * YARD

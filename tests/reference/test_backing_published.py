"""Backing and batting against worked examples in print, asked of a Finishing sheet.

Where a size is the backing's own, the overhang is nothing. Printed tables ignore the seam
between panels; these examples come out the same with it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import Value, fabric, finishing, said

from kitmaker.lengths import YARD, Length, parse_number, round_need_up

AQS = "AQS blog, Quilt Back Math, http://www.aqsblog.com/quilt-back-math"
LOG_HOUSE = "Log House Quilting, http://loghousequilting.com/preparation/"
CRANBERRY = "Cranberry Quilting, https://www.cranberryquiltingco.com/backing-batting-tips"
SEWBERRY = "Sewberry Chic, https://sewberrychic.com/backing"
MMM = "MMM Quilts, http://mmmquilts.blogspot.com/p/backing-material-and-preparation.html"
BOARD = "https://www.quiltingboard.com/7400852-post21.html"
COMPILATION = "https://teacherscollegesj.org/how-many-yards-of-fabric-do-i-need-for-quilt-backing/"
SOCIAL = (
    "QUILTsocial, https://quiltsocial.com/"
    "5-quick-steps-to-calculate-yardage-for-quilt-backing-3-styles/amp/"
)
ST_CROIX = (
    "St. Croix International Quilters' Guild, http://www.stcroixquilters.com/quiltbacking.htm"
)


def backing(
    quilt: tuple[Value, Value], overhang: Value = 0, width: str = "42", seam: Value | None = None
) -> tuple[str, Length]:
    """Return what is told of a backing, and what is bought of it, inches; a seam of ½ unsaid."""
    found = finishing(
        *(("Quilt width", quilt[0]), ("Quilt length", quilt[1]), ("Backing overhang", overhang)),
        *(() if seam is None else (("Backing seam", seam),)),
        ("Backing width", width),
    )
    amount = fabric(found, "Backing").requirement
    assert amount is not None
    assert amount.length is not None
    return said(found), amount.length


@pytest.mark.parametrize(
    ("quilt", "overhang", "published", "source"),
    [
        ((65, 75), 3, "71 × 81", AQS),
        ((60, 80), 4, "68 × 88", LOG_HOUSE),
        ((60, 70), 4, "68 × 78", CRANBERRY),
        ((60, 80), 4, "68 × 88", SEWBERRY),
        ((40, 50), 4, "48 × 58", MMM),
    ],
)
def test_the_backing_extends_on_every_side(
    quilt: tuple[int, int], overhang: int, published: str, source: str
) -> None:
    told, _ = backing(quilt, overhang)
    assert f"backing {published} in ({overhang} in over on each side)" in told, source


def test_four_inches_on_each_side_where_none_are_stated() -> None:
    """Log House Quilting: 4 in for the backing."""
    found = finishing(("Quilt width", 60), ("Quilt length", 80), ("Backing", "yes"))
    assert "backing 68 × 88 in" in said(found), LOG_HOUSE


@pytest.mark.parametrize(
    ("size", "width", "told_so", "yards", "source"),
    [
        # 60 in are 1⅔ yd, bought as 1¾.
        ((42, 60), "42", "one length of 60 in without a seam", "1 3/4", AQS),
        # 130 in, 3⅝ yd, or 156 in, 4⅓ yd (bought as 4⅜).
        ((65, 78), "42", "2 lengths of 65 in with level seams, 3⅝ yd", "3 5/8", BOARD),
        ((65, 78), "42", "2 lengths of 78 in with upright seams would take 4⅜ yd", "3 5/8", BOARD),
        # 148 in, up to the quarter 4¼; to the eighth 4⅛.
        ((80, 74), "42", "2 lengths of 74 in with upright seams", "4 1/8", COMPILATION),
        # And ⅛ for shrinkage in print, 3¼.
        ((103, 110), "108", "one length of 110 in without a seam", "3 1/8", COMPILATION),
        # Two widths of 48: 96 in = 2⅔ yd, bought as 2¾.
        ((48, 72), "40", "2 lengths of 48 in with level seams", "2 3/4", SOCIAL),
    ],
)
def test_lengths_off_the_bolt(
    size: tuple[int, int], width: str, told_so: str, yards: str, source: str
) -> None:
    told, bought = backing(size, 0, width)
    assert told_so in told, source
    assert bought == parse_number(yards) * YARD, source


@pytest.mark.parametrize("overhang", [2, 3])
def test_a_40_by_45_quilt_takes_a_yard_and_a_half_if_the_width_is_let_be(overhang: int) -> None:
    """The length is right; but 2 or 3 in on each side make the backing wider than the 40 to
    42 in of the fabric, so that one panel does not do.
    """
    length = 45 + 2 * overhang
    assert round_need_up(Fraction(length), YARD / 4) == parse_number("1 1/2") * YARD, ST_CROIX
    told, _ = backing((40, 45), overhang, "42", 0)
    assert f"2 lengths of {length} in with upright seams" in told


def test_mistake_84_inches_are_not_two_panels_of_42() -> None:
    """A blade maker's rule says so and leaves nothing for the joining seam."""
    assert "3 lengths of 90 in with upright seams" in backing((84, 90))[0]
    assert "2 lengths of 90 in with upright seams" in backing((83, 90))[0]
    assert "2 lengths of 90 in with upright seams" in backing((84, 90), seam=0)[0]


@pytest.mark.parametrize(
    ("quilt", "overhang", "published", "source"),
    [
        (
            ("55", "54 3/8"),
            4,
            "63 × 63",
            "BHG Stylebook, Materials Lists, http://bhgstylebook.com/qmaterialslists/",
        ),
        (("60", "80"), 3, "66 × 86", LOG_HOUSE),
    ],
)
def test_batting(quilt: tuple[str, str], overhang: int, published: str, source: str) -> None:
    found = finishing(
        *(("Quilt width", quilt[0]), ("Quilt length", quilt[1]), ("Batting overhang", overhang))
    )
    assert f"batting {published} in" in said(found), source


HONEY = (
    "Honey Be Good, Common quilt and batting sizes (2012), http://www.honeybegood.com/blogs/"
    "resources/12653533-common-quilt-and-batting-sizes"
)


@pytest.mark.parametrize(
    ("quilt", "needed", "package", "holds"),
    [
        ((39, 54), "45 × 60", (45, 60), True),
        ((104, 93), "110 × 99", (120, 120), True),
        ((100, 97), "106 × 103", (120, 120), True),
        ((80, 88), "86 × 94", (81, 96), False),
        ((65, 88), "71 × 94", (72, 90), False),
        ((86, 93), "92 × 99", (90, 108), False),
    ],
    ids=["crib", "king", "California king", "full", "twin", "queen"],
)
def test_packaged_batting_against_its_own_advice_of_six_inches_more(
    quilt: tuple[int, int], needed: str, package: tuple[int, int], holds: bool
) -> None:
    """The list advises 6 in more each way; its full, twin and queen packages are too small."""
    found = finishing(
        *(("Quilt width", quilt[0]), ("Quilt length", quilt[1]), ("Batting overhang", 3))
    )
    assert f"batting {needed} in" in said(found), HONEY
    sides = [int(side) for side in needed.split(" × ")]
    assert all(have >= need for have, need in zip(package, sides, strict=True)) is holds, HONEY


def test_mistake_a_40_inch_quilt_top_is_an_eighth_less_by_the_rule_than_in_its_example() -> None:
    """A blade maker's guide: one length, up to ⅛ yd, is 1⅛ yd for 40 in; its example says 1¼."""
    bought = backing((40, 40))[1]
    assert bought != parse_number("1 1/4") * YARD
    assert bought == parse_number("1 1/8") * YARD

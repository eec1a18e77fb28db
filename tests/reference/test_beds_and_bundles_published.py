"""Bed quilts, packaged batting and bundles against printed sizes, and the mistakes in them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic.backing import batting, quilt_for_bed
from kitmaker.forms import Catalogue
from kitmaker.lengths import CENTIMETER

SPRUCE = (
    "The Spruce Crafts, Standard mattress sizes, "
    "https://www.thesprucecrafts.com/standard-mattress-sizes-4145709"
)
DROP = (
    "Standard quilt sizes (12 in drop), compilation, https://teacherscollegesj.org/"
    "how-many-yards-of-fabric-do-i-need-for-quilt-backing/"
)
HONEY = (
    "Honey Be Good, Common quilt and batting sizes (2012), http://www.honeybegood.com/blogs/"
    "resources/12653533-common-quilt-and-batting-sizes"
)
TIME_TO_SEW = "A Time to Sew, Measurements, http://www.atimetosewquilts.com/measurements.htm"


@pytest.mark.parametrize(
    ("mattress", "printed"),
    [
        ((39, 75), (63, 87)),
        ((39, 80), (63, 92)),
        ((54, 75), (78, 87)),
        ((60, 80), (84, 92)),
        ((72, 84), (96, 96)),
    ],
    ids=["twin", "long twin", "full", "queen", "California king"],
)
def test_a_quilt_with_a_12_inch_drop(mattress: tuple[int, int], printed: tuple[int, int]) -> None:
    width, length = (Fraction(one) for one in mattress)
    assert quilt_for_bed(width, length, Fraction(12)) == printed, f"{SPRUCE}; {DROP}"


def test_contradiction_a_printed_king_quilt_counts_on_78_inches() -> None:
    """102 x 92 in print; the 76 in mattress of the other lists gives 100."""
    assert quilt_for_bed(Fraction(76), Fraction(80), Fraction(12)) == (100, 92), DROP
    assert quilt_for_bed(Fraction(78), Fraction(80), Fraction(12)) == (102, 92), DROP


def test_contradiction_a_long_twin_of_36_inches_gives_a_narrower_quilt_than_is_printed() -> None:
    """36 x 80 (About.com) against 39 x 80 (The Spruce Crafts); 63 x 92 is printed.

    http://quilting.about.com/od/quiltsettings/a/mattress_sizes.htm
    """
    assert quilt_for_bed(Fraction(36), Fraction(80), Fraction(12)) == (60, 92), SPRUCE
    assert quilt_for_bed(Fraction(39), Fraction(80), Fraction(12)) == (63, 92), DROP


def test_mistake_a_twin_bedspread_is_an_inch_longer_than_printed() -> None:
    """21 in of drop and 15 for the pillow: 81 x 110 in print, 75 + 21 + 15 is 111."""
    found = quilt_for_bed(Fraction(39), Fraction(75), Fraction(21), Fraction(15))
    assert found == (81, 111), TIME_TO_SEW


@pytest.mark.parametrize(
    ("quilt", "package", "holds"),
    [
        ((39, 54), (45, 60), True),
        ((104, 93), (120, 120), True),
        ((100, 97), (120, 120), True),
        ((80, 88), (81, 96), False),
        ((65, 88), (72, 90), False),
        ((86, 93), (90, 108), False),
    ],
    ids=["crib", "king", "California king", "full", "twin", "queen"],
)
def test_packaged_batting_against_its_own_advice_of_six_inches_more(
    quilt: tuple[int, int], package: tuple[int, int], holds: bool
) -> None:
    """The list advises 6 in more each way; its full, twin and queen packages are too small."""
    width, length = batting(Fraction(quilt[0]), Fraction(quilt[1]), Fraction(3))
    assert (width <= package[0] and length <= package[1]) is holds, HONEY


def test_a_metric_fat_quarter_is_50_by_55_centimeters() -> None:
    """Olive & Flo (UK), Gone to Earth (UK), Tilkkunen (Finland)."""
    form = Catalogue().find("fat-quarter-metric")
    assert form.nominal_across == 55 * CENTIMETER
    assert form.nominal_along == 50 * CENTIMETER


@pytest.mark.parametrize("printed_width", [20, 21, 22])
def test_contradiction_a_fat_quarter_is_counted_on_no_wider_than_any_source(
    printed_width: int,
) -> None:
    """18 x 20 (Quilting Daily), 18 x 21 (All People Quilt, Annie's), 18 x 22 (Sew4Home)."""
    form = Catalogue().find("fat-quarter")
    assert form.usable_across <= printed_width
    assert form.usable_along is not None
    assert form.usable_along <= 18


def test_mistake_42_ten_inch_squares_give_168_five_inch_squares() -> None:
    """The Little Shop of Stitches (2012) prints 42 x 4 = 164."""
    squares_each = (Fraction(10) // Fraction(5)) ** 2
    assert 42 * squares_each == 168

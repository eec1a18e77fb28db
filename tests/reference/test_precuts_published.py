"""Sold pieces against printed sizes: what each is a part of, and what it is in centimeters.

The number in a bundle is not agreed on (20 to 42): it is the shop's figure, no default.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.forms import Catalogue
from kitmaker.lengths import CENTIMETER, YARD, parse_number

ALL_PEOPLE = (
    "All People Quilt, What Are Fat Quarters and Fat Eighths? (2017), https://www.allpeoplequilt."
    "com/how-to-quilt/quilting-basics/what-are-fat-quarters-and-fat-eighths"
)
ANNIES = "Annie's, Precuts to Yardage, https://anniesattic.com/precuts-to-yardage-conversion"
SEW4HOME = "Sew4Home, Fat quarter glossary, https://sew4home.com/glossary/fat-quarter/"
TIME_TO_SEW = "A Time to Sew, Measurements, http://www.atimetosewquilts.com/measurements.htm"
BEE = "QuilterBee, http://www.quilterbee.com/shop/Precut-Fabrics/Fat-Quarters.htm"
DAILY = (
    "Quilting Daily, Pinked Edges on Pre-Cuts (2022), https://www.quiltingdaily.com/"
    "technique-tuesday-test-session-pinked-edges-on-pre-cuts/"
)
CANADA = (
    "Pieces from the Quilt Store (2015), "
    "https://piecesfromthequiltstore.blogspot.com/2015/02/fat-quarters.html"
)
OLIVE = (
    "Olive and Flo Handcraft, https://oliveandflohandcraft.co.uk/blogs/news/"
    "quilting-starters-what-is-a-fat-quarter"
)
EARTH = "Gone to Earth, http://www.gonetoearth.co.uk/primrosecorner/fat-quarters/"
TILKKUNEN = (
    "Tilkkunen, https://tilkkunen.com/en/blogs/news/"
    "fabric-size-calculations-meter-yard-inch-and-fat-quarter"
)
LITTLE_SHOP = (
    "The Little Shop of Stitches, Quilt Equation (2012), "
    "http://thelittleshopofstitches.blogspot.com/2012/03"
)
FAIR_BOOK = (
    "University of Nebraska-Lincoln Extension, Quilt Quest, https://extension.unl.edu/statewide/"
    "perkins-chase/perkins-county-4-h-fair-book/dept-c-family-consumer-science/quilt-quest"
)
BIBLE = "The Quilter's Bible (L. Clements), pre-cut fabrics, http://livelib.biz/read_712504/p8"
QUEEN_BEE = "Drama Queen Bee Quilts (2014), http://dramaqueenbeequilts.blogspot.com/2014/06"

METER = 100 * CENTIMETER


@pytest.mark.parametrize(
    ("printed", "width_of_fabric", "off_the_bolt", "source"),
    [
        ((18, 21), 42, YARD / 2, ALL_PEOPLE),
        ((9, 21), 42, YARD / 4, ALL_PEOPLE),
        ((18, 21), 42, YARD / 2, ANNIES),
        ((9, 21), 42, YARD / 4, ANNIES),
        ((18, 22), 44, YARD / 2, SEW4HOME),
        ((18, 22), 44, YARD / 2, TIME_TO_SEW),
        ((18, 22), 44, YARD / 2, BEE),
        ((18, 20), 40, YARD / 2, DAILY),
        ((18, 21), 42, YARD / 2, QUEEN_BEE),
        # A shop whose meter is 40 in: half of that, and half of 44.
        ((20, 22), 44, Fraction(20), CANADA),
    ],
)
def test_a_fat_cut_is_half_the_width_of_what_is_cut_off(
    printed: tuple[int, int], width_of_fabric: int, off_the_bolt: Fraction, source: str
) -> None:
    along, across = printed
    assert along == off_the_bolt, source
    assert across == Fraction(width_of_fabric, 2), source


@pytest.mark.parametrize(
    ("printed_cm", "source"),
    [((50, 55), OLIVE), ((25, 55), OLIVE), ((50, 55), EARTH), ((50, 55), TILKKUNEN)],
)
def test_a_metric_fat_cut_is_half_of_110_centimeters(
    printed_cm: tuple[int, int], source: str
) -> None:
    along, across = printed_cm
    assert 2 * across == 110, source
    assert along * CENTIMETER in (METER / 2, METER / 4), source


def test_a_skinny_metric_quarter_is_as_much_cloth_as_a_fat_one() -> None:
    assert 25 * 110 == 50 * 55, EARTH


def nearest(inches: str, step: Fraction) -> Fraction:
    """Return a measure in centimeters, to the nearest step."""
    return round(parse_number(inches) / CENTIMETER / step) * step


@pytest.mark.parametrize(
    ("inches", "printed_cm", "step", "source"),
    [
        ("18", "46", "1", BEE),
        ("22", "56", "1", BEE),
        ("9", "23", "1", BEE),
        ("44", "112", "1", BEE),
        ("44", "112", "1", BIBLE),
        ("1 1/2", "3.8", "0.1", BIBLE),
        ("5", "12.7", "0.1", BIBLE),
        ("10", "25.4", "0.1", BIBLE),
        ("6", "15.2", "0.1", BIBLE),
    ],
)
def test_printed_centimeters(inches: str, printed_cm: str, step: str, source: str) -> None:
    assert nearest(inches, Fraction(step)) == Fraction(printed_cm), source


def test_mistake_two_and_a_half_inches_are_more_than_6_3_centimeters() -> None:
    """6.35 exactly; a strip cut at the printed 6.3 is half a millimeter narrow."""
    exact = parse_number("2 1/2") / CENTIMETER
    assert exact != Fraction("6.3"), BIBLE
    assert exact == Fraction("6.35")


@pytest.mark.parametrize(
    ("form_id", "printed", "source"),
    [
        ("square-10", ("10", "10"), LITTLE_SHOP),
        ("square-5", ("5", "5"), LITTLE_SHOP),
        ("square-10", ("10", "10"), FAIR_BOOK),
        ("square-5", ("5", "5"), FAIR_BOOK),
        ("strip-2.5", ("42", "2 1/2"), FAIR_BOOK),
        ("strip-1.5", ("42", "1 1/2"), FAIR_BOOK),
        ("strip-2.5", ("42", "2 1/2"), QUEEN_BEE),
        ("fat-quarter", ("22", "18"), SEW4HOME),
        ("fat-eighth", ("22", "9"), BEE),
    ],
)
def test_the_forms_that_are_built_in_have_the_printed_sizes(
    form_id: str, printed: tuple[str, str], source: str
) -> None:
    form = Catalogue().find(form_id)
    expected = tuple(parse_number(one) for one in printed)
    assert (form.nominal_across, form.nominal_along) == expected, source


def test_a_pack_of_80_half_square_triangles_is_two_of_each_of_40() -> None:
    assert 2 * 40 == 80, BIBLE
    assert Catalogue().find("square-6").nominal_across == 6


@pytest.mark.parametrize("count", [20, 40, 42])
def test_contradiction_no_count_of_a_bundle_is_taken_for_granted(count: int) -> None:
    """20 to 42 strips (Bible), up to 40 (fair book), 42 squares (Little Shop), around 40."""
    forms = [Catalogue().find(one) for one in ("strip-2.5", "square-5", "square-10")]
    assert all(form.bundle_count != count for form in forms)


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

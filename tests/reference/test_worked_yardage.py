"""Worked yardage problems in print, solved by the cutting core.

Where the core does better than the print, it says with proof how much better.
"""

from __future__ import annotations

from fractions import Fraction
from types import ModuleType

import pytest
from typed import read, said
from typed import side as side_of

from kitmaker.lengths import YARD, parse_number, round_need_up

FORTY = Fraction(40)
FEATHERED_STAR = "Feathered Star, FAQs, https://featheredstar.wordpress.com/category/faqs/"
PATCHWORK_TIMES = (
    "Patchwork Times, Calculating Yardage (2011), "
    "https://patchworktimes.com/2011/11/12/calculating-yardage"
)
BOBBIN = (
    "Bobbin In Quilts, https://www.bobbininquilts.com/blogs/news/"
    "how-to-figure-out-how-much-fabric-you-need-for-your-quilt"
)
BOARD = "Quilting Board (2013), https://www.quiltingboard.com/6228687-post7.html"
ANNIES = "Annie's, Precuts to Yardage, https://anniesattic.com/precuts-to-yardage-conversion"
OZARK = (
    "Ozark Foothills group (2013), "
    "https://ozarkfoothillssaga.blogspot.com/2013/06/june-meeting-ozark-foothills-group-quilt.html"
)
POSSE = "Patchwork Posse, https://www.patchworkposse.com/fat-quarter-cutting-it-up/"
FAT_QUARTERLY = (
    "Fat Quarterly, Quilt Along (2010), "
    "http://fatquarterly.blogspot.com/2010/09/quilt-along-post-2-cutting-instructions.html"
)


def shortest(
    desk: ModuleType, width: Fraction, across: str, along: str, count: int, *, may_turn: bool = True
) -> tuple[Fraction, Fraction]:
    asked = ((parse_number(across), parse_number(along), count),)
    found: tuple[Fraction, Fraction] = desk.shortest_length(width, asked, may_turn=may_turn)
    return found


def test_80_squares_of_2_and_a_half(desk: ModuleType) -> None:
    """16 a row, 5 rows, 12½ in; with 6 % for shrinkage 13¼, ⅜ yd."""
    length, bound = shortest(desk, FORTY, "2 1/2", "2 1/2", 80)
    assert length == bound == parse_number("12 1/2"), FEATHERED_STAR
    assert length * Fraction("1.06") == parse_number("13 1/4")
    assert round_need_up(length * Fraction("1.06"), YARD / 8) == parse_number("3/8") * YARD


def test_12_squares_of_4_and_a_half(desk: ModuleType) -> None:
    """8 a strip, 2 strips, 9 in."""
    assert shortest(desk, FORTY, "4 1/2", "4 1/2", 12) == (Fraction(9), Fraction(9)), (
        PATCHWORK_TIMES
    )


def test_48_rectangles_by_strips_of_2_and_a_half(desk: ModuleType) -> None:
    """Long side across: 8 a strip, 6 strips, 15 in."""
    length, bound = shortest(desk, FORTY, "4 1/2", "2 1/2", 48, may_turn=False)
    assert length == bound == 15, PATCHWORK_TIMES


def test_48_rectangles_by_strips_of_4_and_a_half(desk: ModuleType) -> None:
    """Long side along: 16 a strip, 3 strips, 13½ in; the better way, and no way is better."""
    length, bound = shortest(desk, FORTY, "2 1/2", "4 1/2", 48, may_turn=False)
    assert length == bound == parse_number("13 1/2"), PATCHWORK_TIMES
    assert shortest(desk, FORTY, "2 1/2", "4 1/2", 48) == (length, length)


def test_300_rectangles_by_strips_of_2(desk: ModuleType) -> None:
    """13 a row, 24 rows, 48 in = 1⅓ yd."""
    length, bound = shortest(desk, FORTY, "3", "2", 300, may_turn=False)
    assert length == bound == 48 == parse_number("1 1/3") * YARD, BOBBIN


def test_300_rectangles_turned_take_a_yard_and_a_quarter(desk: ModuleType) -> None:
    length, bound = shortest(desk, FORTY, "3", "2", 300)
    assert length == bound == 45 == parse_number("1 1/4") * YARD, BOBBIN


def test_63_squares_of_9_and_a_half_across_42(desk: ModuleType) -> None:
    """4 a width, 16 widths, 152 in = 4.222 yd (its aside, 4 × 9½ = 37, is wrong: 38)."""
    length, bound = shortest(desk, Fraction(42), "9 1/2", "9 1/2", 63)
    assert length == 152, BOARD
    assert bound == length
    assert round(length / YARD, 3) == Fraction("4.222")


@pytest.mark.parametrize("width", [40, 42, 44])
@pytest.mark.parametrize(("side", "count"), [(5, 8), (10, 4)])
def test_squares_from_a_strip_of_their_height(
    desk: ModuleType, width: int, side: int, count: int
) -> None:
    square = Fraction(side)
    assert desk.most_squares(Fraction(width), square, square) == count, ANNIES


@pytest.mark.parametrize(("yards", "strips"), [("1/8", 1), ("3/8", 5)])
def test_strips_of_2_and_a_half_from_an_eighth_of_a_yard(
    desk: ModuleType, yards: str, strips: int
) -> None:
    """One from ⅛ yd; four are 10 in and need ⅜ yd, which would give five."""
    along = parse_number(yards) * YARD
    found = desk.most_pieces(FORTY, along, FORTY, parse_number("2 1/2"), may_turn=False)
    assert found == strips, ANNIES


@pytest.mark.parametrize(
    ("across", "along", "count"),
    [("42", "4 1/2", 14), ("40", "4 1/2", 13), ("42", "8 1/2", 28), ("42", "9", 42)],
)
def test_three_inch_squares_from_small_cuts(
    desk: ModuleType, across: str, along: str, count: int
) -> None:
    """At least 14 from ⅛ yd needs 42 in across; 28 from ¼ yd counts on a trim, 9 in give 42."""
    found = desk.most_squares(parse_number(across), parse_number(along), Fraction(3))
    assert found == count, OZARK


@pytest.mark.parametrize(("finished", "triangles"), [("3", 40), ("4", 24)])
def test_triangles_from_a_fat_quarter(desk: ModuleType, finished: str, triangles: int) -> None:
    """3⅞ squares → 40 and 4⅞ → 24 half-square triangles from 18 × 21."""
    side = side_of("half-square triangle", finished)
    assert 2 * desk.most_squares(Fraction(21), Fraction(18), side) == triangles, POSSE


MIXED = (
    (Fraction(10), Fraction(10), 2),
    (Fraction(5), Fraction(5), 4),
    (Fraction(20), Fraction(5, 2), 1),
)


def test_a_mixed_cut_fits_one_fat_quarter(desk: ModuleType) -> None:
    """Two 10 in, four 5 in squares and a 2½ in strip: 17½ × 20."""
    assert desk.fewest_forms(Fraction(21), Fraction(18), MIXED) == (1, 1), POSSE
    assert desk.fewest_forms(Fraction(20), parse_number("17 1/2"), MIXED) == (1, 1)


def test_a_mixed_cut_does_not_fit_17_by_20(desk: ModuleType) -> None:
    assert desk.fewest_forms(Fraction(20), Fraction(17), MIXED) == (2, 2)


QUILT_ALONG = (
    (parse_number("2 1/2"), parse_number("6 1/2"), 8),
    (parse_number("2 1/2"), parse_number("2 1/2"), 8),
)


def test_four_strips_of_18_without_a_margin(desk: ModuleType) -> None:
    """Eight 2½ × 6½ and eight 2½ in squares from four strips: 2 × 6½ + 2 × 2½ = 18."""
    assert desk.fewest_forms(Fraction(10), Fraction(18), QUILT_ALONG) == (1, 1), FAT_QUARTERLY
    shorter = desk.fewest_forms(Fraction(10), parse_number("17 1/2"), QUILT_ALONG)
    assert shorter == (2, 2)


@pytest.mark.parametrize("width", [40, 42])
def test_five_inch_squares_from_a_yard(desk: ModuleType, width: int) -> None:
    """56 from 36 × 40 to 42; https://yourwiseadvices.com/?p=413981 (compilation)."""
    assert desk.most_squares(Fraction(width), Fraction(36), Fraction(5)) == 56


@pytest.mark.parametrize(("side", "inches", "yards"), [(5, 30, "7/8"), (10, 110, "3 1/8")])
def test_what_a_bundle_of_42_squares_is_in_yardage(
    desk: ModuleType, side: int, inches: int, yards: str
) -> None:
    """6 strips of 5 in, 11 strips of 10 in (worked out by hand, 8 and 4 a strip)."""
    length, bound = shortest(desk, FORTY, str(side), str(side), 42)
    assert length == inches
    assert bound == length
    assert round_need_up(length, YARD / 8) == parse_number(yards) * YARD


def test_common_practice_pieces_far_below_their_amount_are_told() -> None:
    """Strips of 13½ in are 60 % of ⅝ yd, and 9 in less; of 22⅝ in they are less than that.

    Far is 60 % and more than a quarter yard, 9 in: our own choice, no source.
    """
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
    for amount, length, told in (
        ("22 5/8 in", "13 1/2", True),
        ("5/8 yd", "13 1/2", False),
        ("1 yd", "22 1/2", False),  # 62½ %
    ):
        fabrics = (("Fabric", "Requirement", "Usable width"), ("Sky", amount, "40"))
        rows = (headings, ("Sky", "patch", 40, length, 1))
        found = said(read(("Pieces", rows), ("Fabrics", fabrics)))
        assert (f"fill far less than its '{amount}'" in found) is told

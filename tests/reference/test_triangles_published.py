"""Half-square, quarter-square, 60° and half-rectangle triangles, diamonds and stars, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic import cut_sizes as arithmetic
from kitmaker.arithmetic import sewn_units, slants
from kitmaker.arithmetic.slants import DiamondAngle
from kitmaker.lengths import parse_number

COMBS = "Karen Combs, Formulas for Quilters (2002), https://karencombs.com/page.php?ID=31"
NEWSLETTER = (
    "How to Measure and Cut Triangles (guild newsletter), "
    "https://grannymaudsgirl.wordpress.com/2018/06/11/how-to-measure-and-cut-triangles/"
)
HAMPSHIRE = (
    "North Hampshire Quilters, half-square and quarter-square triangles, "
    "http://north-hampshire-quilters.org.uk/hblk402b.htm"
)
MAGAZINE = (
    "American Patchwork & Quilting, Mother's Favorite block, "
    "https://www.allpeoplequilt.com/quilt-patterns/quilt-blocks/mothers-favorite-quilt-block"
)
QUILTVILLE = (
    "Quiltville, Cutting Quarter Square Triangles (2005), "
    "http://quiltville.blogspot.com/2005/06/cutting-quarter-square-triangles.html"
)

HALF_SQUARES = [
    ("2", "2 7/8", COMBS),
    ("3", "3 7/8", NEWSLETTER),
    ("4 1/2", "5 3/8", NEWSLETTER),
    ("6", "6 7/8", HAMPSHIRE),
    ("4", "4 7/8", MAGAZINE),
]


@pytest.mark.parametrize(("finished", "published", "source"), HALF_SQUARES)
def test_half_square_triangles(finished: str, published: str, source: str) -> None:
    found = arithmetic.cut_square_for_half_square(parse_number(finished))
    assert found == parse_number(published), source


@pytest.mark.parametrize(
    ("finished", "published", "source"), [("3", "4 1/4", HAMPSHIRE), ("4", "5 1/4", QUILTVILLE)]
)
def test_quarter_square_triangles(finished: str, published: str, source: str) -> None:
    found = arithmetic.cut_square_for_quarter_square(parse_number(finished))
    assert found == parse_number(published), source


def test_a_two_inch_half_square_is_exactly_2_854() -> None:
    """Quilting Company, https://www.quiltingcompany.com/guidelines4quilting-rotary-cutter-fix/."""
    thousandth = Fraction(1, 1000)
    assert arithmetic.cut_square_for_half_square(Fraction(2), step=thousandth) == Fraction("2.854")


@pytest.mark.parametrize(
    ("finished", "published", "source"),
    [
        ("2 1/2", "6 3/4", "Mesquite Quilt Guild, https://mesquitequiltguildinc.com/?p=923"),
        (
            "5",
            "11 3/4",
            "Ashley Tomlinson, Half-Square Triangles 8 at a Time, http://theashleytomlinson.com/"
            "quilting-basics-half-square-triangles-8-at-a-time/",
        ),
    ],
)
def test_eight_at_a_time(finished: str, published: str, source: str) -> None:
    found = arithmetic.cut_square_for_eight_half_squares(parse_number(finished))
    assert found == parse_number(published), source


def test_oversize_variants() -> None:
    """North Hampshire Quilters add ¼ in to trim: 3 → 4⅛ and 3 → 4½.

    The eight-at-a-time variant 2 (finished + 1), 3 → 8: compilation,
    https://pamrealthai49.com/j25cr/65cfee-half-square-triangles-8-at-a-time-chart.
    """
    three, quarter = Fraction(3), Fraction(1, 4)
    half_square = arithmetic.cut_square_for_half_square(three, oversize=quarter)
    quarter_square = arithmetic.cut_square_for_quarter_square(three, oversize=quarter)
    eight = arithmetic.cut_square_for_eight_half_squares(three, oversize=Fraction(1, 8))
    assert (half_square, quarter_square, eight) == (
        parse_number("4 1/8"),
        parse_number("4 1/2"),
        Fraction(8),
    )


@pytest.mark.parametrize(
    "source",
    [
        "https://bkkquilt.com/how-to-crochet/how-do-you-calculate-triangles-in-quilting.html",
        "https://stockingisthenewplanking.com/how-do-you-calculate-quilt-binding/",
    ],
)
def test_mistake_seven_eighths_are_added_to_the_finished_size_not_the_unfinished(
    source: str,
) -> None:
    found = arithmetic.cut_square_for_half_square(Fraction(2))
    assert found != parse_number("3 3/8"), source
    assert found == parse_number("2 7/8")


def test_from_a_known_long_or_short_side() -> None:
    """Black Forest Quilting (2005): 0.707 L + ⅞, 2 → 2.29; 1.414 s + 1¼, 2 → 4.08.

    https://blackforestquilting.com/What_size_should_my_triangle_be
    A triangle with the long side 2 is a corner, one with the short sides 2 a setting
    triangle of a 2 in block. The printed figures hold a rounded allowance: ours are not
    above them, and to the eighth the same.
    """
    corner = arithmetic.cut_square_for_corners(Fraction(2))
    side = arithmetic.cut_square_for_setting(Fraction(2))
    assert Fraction("2.29") <= corner == parse_number("2 3/8")
    assert Fraction("4.08") <= side == parse_number("4 1/8")


@pytest.mark.parametrize(
    ("finished_height", "published", "source"),
    [
        ("2", "2 3/4", "All About Shapes, https://issuhub.com/view/index?id=20773&pageIndex=78"),
        ("4 1/4", "5", "Mythic Seam, https://mythicseam.com/how-to-cut-equilateral-triangles/"),
    ],
)
def test_sixty_degree_strips(finished_height: str, published: str, source: str) -> None:
    found = slants.cut_strip_for_sixty_degree_triangle(parse_number(finished_height))
    assert found == parse_number(published), source


def test_the_side_of_a_sixty_degree_triangle() -> None:
    """Mythic Seam: height 4¼ → side 4.91; https://mythicseam.com/how-to-cut-equilateral-triangles/."""
    side = slants.sixty_degree_triangle_base(parse_number("4 1/4"), Fraction(1, 100))
    assert side == Fraction("4.91")


def test_mistake_28_triangles_of_3_inches_and_a_half_do_not_fit_44() -> None:
    """Printed 224 from 8 layers; http://www.oocities.com/quiltfrenzy_archives/hsquickcut.html."""
    found = 8 * slants.triangles_per_strip_by_base(Fraction(44), parse_number("3 1/2"))
    assert found != 224
    assert found == 192


@pytest.mark.parametrize(
    "source",
    [
        "The Quilter's Bible, https://librs.net/lread_712504_p13",
        "https://chrisandbarbaraquilts.wordpress.com/2015/08/27/rotary-cutting-part-7/",
    ],
)
def test_diamond_strips_add_half_an_inch(source: str) -> None:
    assert slants.cut_strip_for_diamond(Fraction(5)) == parse_number("5 1/2"), source


def test_a_five_inch_sixty_degree_diamond_is_5_77_across() -> None:
    """Catbird Quilts, https://catbirdquilts.wordpress.com/2016/05/31/harlequin-diamonds/."""
    side = slants.sixty_degree_triangle_base(Fraction(5), Fraction(1, 100))
    assert side == Fraction("5.78")  # 5.7735, up; printed to the nearest


def test_mistake_hexagons_come_from_sixty_degree_diamonds() -> None:
    """The Quilter's Bible prints 45°; https://librs.net/lread_712504_p13."""
    width, strip = Fraction(40), slants.cut_strip_for_hexagon(Fraction(4))
    found = slants.hexagons_per_strip(width, strip)
    assert found != slants.diamonds_per_strip(width, strip, DiamondAngle.DEGREES_45)
    assert found == slants.diamonds_per_strip(width, strip, DiamondAngle.DEGREES_60)


def test_mistake_a_plain_rectangle_adds_half_an_inch_both_ways() -> None:
    """The Quilter's Bible prints + ⅝ and + 1¼ for a rectangle.

    https://knigalit.ru/avtori/linda/book1619357/chitat/?page=48; + ½ each way: Karen Combs.
    """
    width, length = Fraction(2), Fraction(4)
    found = (arithmetic.cut_rectangle(width), arithmetic.cut_rectangle(length))
    assert found != (width + Fraction(5, 8), length + Fraction(5, 4))
    assert found == (width + Fraction(1, 2), length + Fraction(1, 2))


def test_half_rectangles_have_no_standard_number() -> None:
    """Generations Quilt Patterns: it depends on the legs.

    https://generations-quilt-patterns.com/cutting-triangles-from-rectangles.html
    """
    fine = Fraction(1, 10_000)
    narrow = slants.half_rectangle_triangles(Fraction(1), Fraction(2), 2, step=fine)
    wide = slants.half_rectangle_triangles(Fraction(2), Fraction(3), 2, step=fine)
    assert narrow.cut_width - 1 == Fraction("0.6546")  # ¼ (1 + (1 + √5)/2) = 0.65451
    assert narrow.cut_length - 2 == Fraction("1.3091")  # twice that
    assert wide.cut_width - 2 != narrow.cut_width - 1


STARS = (
    "Eight-pointed star blocks, https://issuhub.com/view/index/22573?pageIndex=68; "
    "https://abcdocz.com/doc/174108/draw-on-the-line-8-pointed-star-tutorial---page-1"
)


@pytest.mark.parametrize(
    ("block", "published"), [("6", "1.7574"), ("15", "4.3936"), ("18", "5.2724")]
)
def test_the_corner_square_of_an_eight_point_star(block: str, published: str) -> None:
    """Block ÷ 3.414 in print; with the exact 2 + √2 it is at most 0.0004 less."""
    fine = Fraction(1, 10_000)
    star = sewn_units.eight_point_star(parse_number(block), step=fine)
    finished = star.corners.cut_side - Fraction(1, 2)
    assert 0 <= Fraction(published) - finished <= 4 * fine, STARS


def test_a_star_is_3_41_diamonds_wide() -> None:
    """Combs: block = 3.41 × the diamond's side, which is the corner square's side as well."""
    fine = Fraction(1, 10_000)
    star = sewn_units.eight_point_star(Fraction(12), step=fine)
    side = star.corners.cut_side - Fraction(1, 2)
    assert round(12 / side, 2) == Fraction("3.41"), COMBS


def test_along_a_stars_edge_two_squares_and_a_triangle_make_the_block() -> None:
    """s + s √2 + s = block; the diamonds are s ÷ √2 from side to side."""
    fine = Fraction(1, 1_000_000)
    star = sewn_units.eight_point_star(Fraction(12), step=fine)
    side = star.corners.cut_side - Fraction(1, 2)
    long_side = star.sides.cut_side - arithmetic.quarter_square_allowance(step=fine)
    assert abs(2 * side + long_side - 12) <= 3 * fine
    height = star.diamond_strip - Fraction(1, 2)
    assert abs(2 * height - long_side) <= 3 * fine

"""Half-square, quarter-square, 60° and half-rectangle triangles, diamonds and stars, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from typed import inches, read, said, shape, side, size

from kitmaker.forms import Catalogue
from kitmaker.kits.demands import demands_for
from kitmaker.lengths import Unit, parse_number
from kitmaker.pattern import Shape

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
EIGHT_COMPILATION = "https://pamrealthai49.com/j25cr/65cfee-half-square-triangles-8-at-a-time-chart"
TOMLINSON = (
    "Ashley Tomlinson, Half-Square Triangles 8 at a Time, http://theashleytomlinson.com/"
    "quilting-basics-half-square-triangles-8-at-a-time/"
)
HALF, QUARTER = "half-square triangle", "quarter-square triangle"
EIGHT = "half-square triangle, eight at a time"


@pytest.mark.parametrize(
    ("name", "finished", "published", "source"),
    [
        (HALF, "2", "2 7/8", COMBS),
        (HALF, "3", "3 7/8", NEWSLETTER),
        (HALF, "4 1/2", "5 3/8", NEWSLETTER),
        (HALF, "6", "6 7/8", HAMPSHIRE),
        (HALF, "4", "4 7/8", MAGAZINE),
        (QUARTER, "3", "4 1/4", HAMPSHIRE),
        (QUARTER, "4", "5 1/4", QUILTVILLE),
        (EIGHT, "2 1/2", "6 3/4", "Mesquite Quilt Guild, https://mesquitequiltguildinc.com/?p=923"),
        (EIGHT, "5", "11 3/4", TOMLINSON),
        # Cut ¼ in larger to trim; 2 (finished + 1) is ⅛ in more on each of two.
        (f"{HALF}, 1/4 in oversize", "3", "4 1/8", HAMPSHIRE),
        (f"{QUARTER}, 1/4 in oversize", "3", "4 1/2", HAMPSHIRE),
        (f"{EIGHT}, 1/8 in oversize", "3", "8", EIGHT_COMPILATION),
    ],
)
def test_the_square_for_triangles(name: str, finished: str, published: str, source: str) -> None:
    assert side(name, finished) == parse_number(published), source


@pytest.mark.parametrize(
    ("name", "each"),
    [
        (HALF, 2),
        (QUARTER, 4),
        (EIGHT, 8),
        ("setting triangle", 4),
        ("corner triangle", 2),
        ("eight-point star side triangle", 4),
        ("left half-rectangle triangle", 2),
        ("right half-rectangle triangle", 2),
        ("flying geese goose, from triangles", 4),
        ("flying geese sky, from triangles", 2),
        ("square-in-a-square corner, from triangles", 2),
    ],
)
def test_so_many_triangles_come_from_a_square(name: str, each: int) -> None:
    """Cut once, cut twice, or with one of another fabric eight units: Combs; Tomlinson."""
    other = "2" if "rectangle" in name or "geese" in name else ""
    assert shape(name, "4", other, 6 * each).quantity == 6, f"{COMBS}; {TOMLINSON}"
    assert shape(name, "4", other, 6 * each + 1).quantity == 7, f"{COMBS}; {TOMLINSON}"


def test_the_source_is_named_at_the_seam_it_speaks_of() -> None:
    """Combs's ⅞ is for a seam of ¼ in, no other."""
    assert "; formula 1)" in (shape(HALF, "3").formula or "")
    assert "; formula 1)" not in (shape(HALF, "3", seam="3/8").formula or "")


def test_a_two_inch_half_square_is_exactly_2_854() -> None:
    """Quilting Company, https://www.quiltingcompany.com/guidelines4quilting-rotary-cutter-fix/."""
    found = side(HALF, "2", step="1/64")
    assert 0 <= found - Fraction("2.854") < Fraction(1, 64)


@pytest.mark.parametrize(
    ("name", "seam", "cut"),
    [
        # 3 + ⅜ (2 + √2) = 4.280; 3 + ¾ (1 + √2) = 4.811; 2 × 4.280 = 8.561.
        (HALF, "3/8", "4 3/8"),
        (QUARTER, "3/8", "4 7/8"),
        (EIGHT, "3/8", "8 5/8"),
        # 6 √2 + ¾ (1 + √2) = 10.296; 6 ÷ √2 + 1.280 = 5.523.
        ("setting triangle", "3/8", "10 3/8"),
        ("corner triangle", "3/8", "5 5/8"),
        ("square", "3/8", "3 3/4"),
        ("square-in-a-square center, from triangles", "3/8", "2 7/8"),
        ("square-in-a-square corner, from triangles", "3/8", "2 7/8"),
        ("square-in-a-square corner, flipped corners", "3/8", "2 1/4"),
    ],
)
def test_worked_out_at_a_wider_seam(name: str, seam: str, cut: str) -> None:
    finished = "6" if name in ("setting triangle", "corner triangle") else "3"
    assert side(name, finished, seam=seam) == parse_number(cut)


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
    assert side(HALF, "2") == parse_number("2 7/8") != parse_number("3 3/8"), source


def test_from_a_known_long_or_short_side() -> None:
    """Black Forest Quilting (2005): 0.707 L + ⅞, 2 → 2.29; 1.414 s + 1¼, 2 → 4.08.

    https://blackforestquilting.com/What_size_should_my_triangle_be
    A triangle with the long side 2 is a corner, one with the short sides 2 a setting
    triangle of a 2 in block. The printed figures hold a rounded allowance: ours are not
    above them, and to the eighth the same.
    """
    assert Fraction("2.29") <= side("corner triangle", "2") == parse_number("2 3/8")
    assert Fraction("4.08") <= side("setting triangle", "2") == parse_number("4 1/8")


MYTHIC = "Mythic Seam, https://mythicseam.com/how-to-cut-equilateral-triangles/"


@pytest.mark.parametrize(
    ("finished_height", "published", "source"),
    [
        ("2", "2 3/4", "All About Shapes, https://issuhub.com/view/index?id=20773&pageIndex=78"),
        ("4 1/4", "5", MYTHIC),
    ],
)
def test_sixty_degree_strips(finished_height: str, published: str, source: str) -> None:
    strip = shape("60° triangle", finished_height)
    assert size(strip) == (parse_number(published), None), source
    assert strip.shape is Shape.TRIANGLES_60


def test_the_side_of_a_sixty_degree_triangle() -> None:
    """Mythic Seam: height 4¼, side 4.91; typed together they are one triangle."""
    assert shape("60° triangle", "4 15/16", "4 1/4").width == 5, MYTHIC
    assert shape("60° triangle", "5 1/8", "4 5/16").width == parse_number("5 1/16")  # ⅛ off 4.438
    assert shape("hexagon", "5 3/4", "5").width == parse_number("5 1/2")  # 5 ÷ 0.866 = 5.77


def test_mistake_28_triangles_of_3_inches_and_a_half_do_not_fit_44() -> None:
    """Printed 224 from 8 layers; http://www.oocities.com/quiltfrenzy_archives/hsquickcut.html.

    A base of 3½ is a height of 3.031; heads and tails, 24 lie on 25 half bases.
    """
    for triangles, strips in ((192, 8), (193, 9), (224, 10)):
        found = shape("60° triangle", "3 1/32", "", triangles, usable="44", cut=True)
        assert found.quantity == strips


DIAMOND_SOURCES = (
    "The Quilter's Bible, https://librs.net/lread_712504_p13; "
    "https://chrisandbarbaraquilts.wordpress.com/2015/08/27/rotary-cutting-part-7/"
)


@pytest.mark.parametrize("name", ["45° diamond", "60° diamond", "hexagon"])
def test_diamond_and_hexagon_strips_add_half_an_inch(name: str) -> None:
    assert size(shape(name, "5")) == (parse_number("5 1/2"), None), DIAMOND_SOURCES


def test_a_five_inch_sixty_degree_diamond_is_5_77_across() -> None:
    """Catbird Quilts, https://catbirdquilts.wordpress.com/2016/05/31/harlequin-diamonds/.

    So six lie on 6 × 5.77 and 2.89 for the slanted first cut, 37.5, and not on 37.
    """
    for usable, strips in (("37 3/4", 1), ("37", 2)):
        found = shape("60° diamond", "5", "", 6, cut=True, usable=usable)
        assert found.quantity == strips


@pytest.mark.parametrize(
    ("name", "cut", "usable", "each"),
    [
        # (40 - 2½) ÷ (2½ √2) = 10.6; (40 - 2½ ÷ √3) ÷ (5 ÷ √3) = 13.4; (n + 1) 2¾ ÷ √3 ≤ 40.
        ("45° diamond", "2 1/2", "40", 10),
        ("60° diamond", "2 1/2", "40", 13),
        ("60° triangle", "2 3/4", "40", 24),
        # Nearly one more: 38 ÷ (3 √2) = 8.957; 36½ √3 ÷ 2¾ = 22.99 half triangles.
        ("45° diamond", "3", "41", 8),
        ("60° triangle", "2 3/4", "36 1/2", 21),
    ],
)
def test_worked_out_a_strip_gives_so_many(name: str, cut: str, usable: str, each: int) -> None:
    for more, strips in ((0, 3), (1, 4)):
        found = shape(name, cut, "", 3 * each + more, cut=True, usable=usable)
        assert found.quantity == strips


def test_mistake_hexagons_come_from_sixty_degree_diamonds() -> None:
    """The Quilter's Bible prints 45°; https://librs.net/lread_712504_p13."""
    found = shape("hexagon", "4", "", 42)
    assert found.quantity == shape("60° diamond", "4", "", 42).quantity == 6
    assert found.quantity != shape("45° diamond", "4", "", 42).quantity


def test_mistake_a_plain_rectangle_adds_half_an_inch_both_ways() -> None:
    """The Quilter's Bible prints + ⅝ and + 1¼ for a rectangle.

    https://knigalit.ru/avtori/linda/book1619357/chitat/?page=48; + ½ each way: Karen Combs.
    """
    found = size(shape("rectangle", "2", "4"))
    assert found != inches("2 5/8", "5 1/4")
    assert found == inches("2 1/2", "4 1/2"), COMBS


@pytest.mark.parametrize("slant", ["left", "right"])
def test_half_rectangles_have_no_standard_number(slant: str) -> None:
    """Generations Quilt Patterns: it depends on the legs.

    https://generations-quilt-patterns.com/cutting-triangles-from-rectangles.html
    1 : 2 adds ¼ (1 + (1 + √5) ÷ 2) = 0.6545 and twice that; 2 : 3 adds 0.7171 and 1.0757.
    """
    name = f"{slant} half-rectangle triangle"
    narrow, wide = shape(name, "1", "2", 4, step="1/64"), shape(name, "2", "3", 4, step="1/64")
    assert size(narrow) == inches("1 21/32", "3 5/16")
    assert size(wide) == inches("2 23/32", "4 5/64")
    assert narrow.quantity == 2


STARS = (
    "Eight-pointed star blocks, https://issuhub.com/view/index/22573?pageIndex=68; "
    "https://abcdocz.com/doc/174108/draw-on-the-line-8-pointed-star-tutorial---page-1"
)


@pytest.mark.parametrize(
    ("block", "published"), [("6", "1.7574"), ("15", "4.3936"), ("18", "5.2724")]
)
def test_the_corner_square_of_an_eight_point_star(block: str, published: str) -> None:
    """Block ÷ 3.414 in print; with the exact 2 + √2 it is at most 0.0004 less.

    Along an edge lie a square, a triangle's long side and a square; the diamonds are half
    that long side wide. Combs: block = 3.41 × the diamond's side, the corner square's.
    """
    step, size_of_block = Fraction(1, 64), parse_number(block)
    corner = side("eight-point star corner square", block, step="1/64") - Fraction(1, 2)
    assert 0 <= corner - Fraction(published) + Fraction("0.0004") < step + Fraction("0.0004"), STARS
    long_side = size_of_block - 2 * Fraction(published)
    edge = side("eight-point star side triangle", block, step="1/64") - Fraction("1.2071")
    assert -Fraction("0.001") <= edge - long_side < step + Fraction("0.001"), COMBS
    diamond = shape("eight-point star diamond", block, step="1/64").width - Fraction(1, 2)
    assert -Fraction("0.001") <= diamond - long_side / 2 < step + Fraction("0.001"), COMBS


@pytest.mark.parametrize(
    ("name", "finished", "cut"),
    [
        # 3 + 1.2071 and 10 + 1.7071, up to the 64th.
        (QUARTER, "3", "4 7/32"),
        (EIGHT, "5", "11 23/32"),
    ],
)
def test_worked_out_to_the_64th(name: str, finished: str, cut: str) -> None:
    assert side(name, finished, step="1/64") == parse_number(cut)


def test_worked_out_a_size_between_eighths_is_rounded_once() -> None:
    """3 1/16 + 0.8536 = 3.916; 6 1/16 + ½ - 6 1/16 ÷ √2 = 2.2757."""
    assert side(HALF, "3 1/16") == 4
    assert side("eight-point star corner square", "6 1/16") == parse_number("2 3/8")


def test_worked_out_without_a_seam_allowance_the_cut_size_is_the_finished_one() -> None:
    assert side(HALF, "3", seam="0") == 3


def test_worked_out_a_strip_that_is_too_short_gives_none() -> None:
    """Common practice, no source: the slanted first cut alone is as wide as the strip."""
    for name, width in (("60° triangle", 36), ("45° diamond", 41), ("60° diamond", 36)):
        headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape")
        found = read(("Pieces", (headings, ("Sky", "patch", width, "", 1, name))))
        assert f"not one {name} comes from a strip across 40 in" in said(found)


def test_a_piece_cut_as_it_is_stays_one() -> None:
    """A rectangle or a single goose is cut once for each: Combs; Charmed Needles."""
    assert shape("rectangle", "2", "4", 5).quantity == 5
    assert shape("flying geese goose, one at a time", "4", "2", 5).quantity == 5


def test_worked_out_a_strip_set_gives_whole_cross_cuts_only() -> None:
    """3½ in: 11 from 40 in, and 5 from each 20 in of a fat quarter; so 3 for the 11."""
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Cross-cut")
    strip = ("Sky", "strip", "1 1/2", "WOF", 1, "3 1/2")
    (piece,) = read(("Pieces", (headings, strip))).pattern.fabrics[0].pieces
    quarter = Catalogue().find("fat quarter")
    (demand,) = demands_for((("strip", piece, 1),), quarter, Unit.INCH).demands
    assert (demand.across, demand.count) == (parse_number("17 1/2"), 3)


def test_worked_out_an_unfinished_unit_shows_half_an_inch_less() -> None:
    """A line of text that says unfinished 3½ means 3 finished: squares of 3⅞."""
    text = (
        ("Fabric", "Cutting instructions"),
        (
            "Sky",
            "8 half-square triangle units, 3 1/2 in unfinished",
        ),
    )
    found = read(("Cutting", text))
    assert [piece.width for piece in found.pattern.fabrics[0].pieces] == [parse_number("3 7/8")], (
        said(found)
    )

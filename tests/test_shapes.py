"""Finished shapes in a table of pieces: what is cut for them, how many, and how it is told."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import sqrt
from pathlib import Path

import pytest
from books import write
from hypothesis import given
from hypothesis import strategies as st

from kitmaker.arithmetic.figures import CutRules, Figure
from kitmaker.errors import Level
from kitmaker.lengths import CENTIMETER, EIGHTH, parse_number
from kitmaker.pattern import Direction, PatternReading, Piece, PieceKind, Shape
from kitmaker.reading.finished_shapes import CUT_SHAPES, cut_for
from kitmaker.reading.requirements import read_pattern
from kitmaker.reading.shapes import ShapeWordsError, parse_shape

HEADINGS = ("Fabric", "Piece", "Finished width", "Finished length", "Quantity", "Shape")
CUT_HEADINGS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape")
Row = Sequence[object]


def reading(
    folder: Path, *rows: Row, headings: Row = HEADINGS, facts: Sequence[Row] = ()
) -> PatternReading:
    sheets = {"Pieces": (headings, *rows)} | ({"Facts": facts} if facts else {})
    return read_pattern(write(folder / "pattern.xlsx", sheets))


def pieces(read: PatternReading) -> list[Piece]:
    return [piece for fabric in read.pattern.fabrics for piece in fabric.pieces]


def said(read: PatternReading, level: Level) -> list[str]:
    return [str(one) for one in read.problems if one.level is level]


@pytest.mark.parametrize(
    ("shape", "size", "quantity", "cut", "count", "becomes"),
    [
        ("square", ("3", ""), 9, ("3 1/2", "3 1/2"), 9, Shape.SQUARE),
        ("", ("2", "4"), 9, ("2 1/2", "4 1/2"), 9, Shape.RECTANGLE),
        ("half-square triangle", ("3", ""), 48, ("3 7/8", "3 7/8"), 24, Shape.CUT_ONCE),
        ("Half-Square Triangles", ("3", "3"), 47, ("3 7/8", "3 7/8"), 24, Shape.CUT_ONCE),
        ("half-square triangle, 2 at a time", ("3", ""), 2, ("3 7/8",) * 2, 1, Shape.CUT_ONCE),
        ("half-square triangle, 8 at a time", ("3", ""), 48, ("7 3/4",) * 2, 6, Shape.FOR_EIGHT),
        ("half-square triangle, 1/4 in oversize", ("3", ""), 4, ("4 1/8",) * 2, 2, Shape.CUT_ONCE),
        ("half-square triangle, eight at a time, oversize 1/4", ("3", ""), 9, ("8 1/4",) * 2, 2,
         Shape.FOR_EIGHT),
        ("quarter-square triangle", ("4", ""), 10, ("5 1/4",) * 2, 3, Shape.CUT_TWICE),
        ("quarter-square triangle", ("4", "2"), 8, ("5 1/4",) * 2, 2, Shape.CUT_TWICE),
        ("flying geese goose, one at a time", ("4", "2"), 6, ("4 1/2", "2 1/2"), 6,
         Shape.RECTANGLE),
        ("flying geese sky, one at a time", ("4", "2"), 12, ("2 1/2",) * 2, 12,
         Shape.FLIPPED_CORNER),
        ("flying geese goose, four at a time", ("4", "2"), 6, ("5 1/4",) * 2, 2,
         Shape.FOR_FOUR_GEESE),
        ("flying geese sky, four at a time", ("4", "2"), 12, ("2 7/8",) * 2, 6,
         Shape.FOR_FOUR_GEESE),
        ("flying geese goose from triangles", ("2", "4"), 6, ("5 1/4",) * 2, 2, Shape.CUT_TWICE),
        ("square-in-a-square center, flipped corners", ("6", ""), 5, ("6 1/2",) * 2, 5,
         Shape.SQUARE),
        ("square-in-a-square corner, flipped corners", ("6", ""), 20, ("3 1/2",) * 2, 20,
         Shape.FLIPPED_CORNER),
        ("square-in-a-square center, from triangles", ("12", ""), 5, ("9", "9"), 5, Shape.SQUARE),
        ("square-in-a-square corner, from triangles", ("12", ""), 20, ("6 7/8",) * 2, 10,
         Shape.CUT_ONCE),
        ("setting triangle", ("12", ""), 6, ("18 1/4",) * 2, 2, Shape.CUT_TWICE),
        ("corner triangles", ("12", ""), 4, ("9 3/8",) * 2, 2, Shape.CUT_ONCE),
        ("left half-rectangle triangle", ("2", "4"), 7, ("2 3/4", "5 3/8"), 4, Shape.HALF_LEFT),
        ("right half-rectangle triangle", ("2", "4"), 8, ("2 3/4", "5 3/8"), 4, Shape.HALF_RIGHT),
    ],
)  # fmt: skip
def test_a_finished_shape_becomes_what_a_person_cuts(
    tmp_path: Path,
    shape: str,
    size: tuple[str, str],
    quantity: int,
    cut: tuple[str, str],
    count: int,
    becomes: Shape,
) -> None:
    read = reading(tmp_path, ("Sky", "P", *size, quantity, shape))
    piece = pieces(read)[0]
    assert (piece.width, piece.length) == (parse_number(cut[0]), parse_number(cut[1]))
    assert (piece.quantity, piece.shape, piece.kind) == (count, becomes, PieceKind.PIECE)
    assert piece.formula is not None
    assert read.problems == ()


@pytest.mark.parametrize(
    ("shape", "height", "quantity", "strip", "count", "becomes"),
    [
        # base 2 × 3¾ ÷ √3 = 4.330: (17 + 1) × 2.165 = 38.97, one more would pass 40.
        ("60° triangle", "3", 36, "3 3/4", 3, Shape.TRIANGLES_60),
        # 3½ ÷ sin 45° = 4.950 each, and 3½ for the first cut: 7 × 4.950 + 3½ = 38.15.
        ("45° diamond", "3", 15, "3 1/2", 3, Shape.DIAMONDS_45),
        # 3½ ÷ sin 60° = 4.041 each, and 2.021 for the first cut: 9 × 4.041 + 2.021 = 38.39.
        ("60 degree diamonds", "3", 18, "3 1/2", 2, Shape.DIAMONDS_60),
        ("hexagon", "3", 19, "3 1/2", 3, Shape.HEXAGONS),
    ],
)
def test_shapes_from_strips_become_whole_strips(
    tmp_path: Path, shape: str, height: str, quantity: int, strip: str, count: int, becomes: Shape
) -> None:
    read = reading(tmp_path, ("Sky", "P", height, "", quantity, shape))
    piece = pieces(read)[0]
    assert (piece.kind, piece.width, piece.length) == (
        PieceKind.STRIP,
        parse_number(strip),
        None,
    )
    assert (piece.quantity, piece.shape) == (count, becomes)
    assert "from a strip of 40 in" in piece.notes
    assert read.problems == ()


def test_a_wider_fabric_gives_more_shapes_from_a_strip(tmp_path: Path) -> None:
    headings = (*HEADINGS, "Notes")
    read = reading(tmp_path, ("Sky", "P", 3, "", 18, "60° triangle", ""), headings=headings)
    assert pieces(read)[0].quantity == 2
    wide = cut_for(Figure.TRIANGLE_60, Fraction(3), None, CutRules(usable_width=Fraction(42)))
    assert wide.gives == 18


def test_a_sixty_degree_triangle_may_be_given_by_side_and_height(tmp_path: Path) -> None:
    read = reading(tmp_path, ("Sky", "P", "4 5/8", 4, 10, "60° triangle"))
    assert pieces(read)[0].width == parse_number("4 3/4")


@pytest.mark.parametrize(
    ("shape", "must_say"),
    [
        ("HST", "'HST' may be one triangle"),
        ("hst, 8 at a time", "'HST' may be one triangle"),
        ("QST", "'QST' may be one triangle"),
        ("flying geese", "have two fabrics"),
        ("square in a square", "center and corners"),
        ("half-rectangle triangle", "mirror images"),
        ("diamond", "angle"),
        ("half-square triangle, oversize", "how much larger"),
        ("octagon", "not one that can be cut for sure"),
        ("trapezoid", "not one that can be cut for sure"),
        ("triangle", "not one that can be cut for sure"),
        ("half-square triangle, 4 at a time", "not one that can be cut for sure"),
        ("quarter-square triangle, 8 at a time", "not one that can be cut for sure"),
        ("kite", "not one that can be cut for sure"),
        ("72° diamond", "not one that can be cut for sure"),
        ("parallelogram", "not one that can be cut for sure"),
    ],
)
def test_a_shape_that_is_unclear_or_not_built_is_reported_with_its_cell(
    tmp_path: Path, shape: str, must_say: str
) -> None:
    read = reading(tmp_path, ("Sky", "P", 3, 3, 6, shape))
    assert pieces(read) == []
    assert [one.location.address for one in read.problems if one.location] == ["Pieces!F2"]
    assert must_say in said(read, Level.ERROR)[0]


def test_a_bare_abbreviation_is_told_both_meanings_and_what_to_type() -> None:
    with pytest.raises(ShapeWordsError) as caught:
        parse_shape("HST")
    assert "triangle" in str(caught.value)
    assert "unit" in str(caught.value)
    assert "half-square triangle" in caught.value.suggestion
    assert "square cut once on the diagonal" in caught.value.suggestion


@pytest.mark.parametrize(
    ("shape", "width", "length"),
    [
        ("half-square triangle", 3, 4),
        ("square", 3, 4),
        ("flying geese goose, four at a time", 4, 3),
        ("flying geese goose, one at a time", 4, ""),
        ("45° diamond", 3, 5),
        ("60° triangle", 4, 9),
        ("left half-rectangle triangle", 2, ""),
        ("hexagon", 3, 8),
        ("square, 1/4 in oversize", 3, 3),
    ],
)
def test_two_measures_that_make_no_such_shape_are_reported(
    tmp_path: Path, shape: str, width: object, length: object
) -> None:
    read = reading(tmp_path, ("Sky", "P", width, length, 6, shape))
    assert pieces(read) == []
    assert len(said(read, Level.ERROR)) == 1


def test_a_way_that_is_not_said_is_read_as_triangles_and_said(tmp_path: Path) -> None:
    read = reading(tmp_path, ("Sky", "P", 4, 2, 10, "flying geese goose"))
    assert pieces(read)[0].quantity == 3
    assert "from triangles" in said(read, Level.WARNING)[0]


def test_triangles_of_several_prints_come_from_whole_squares_of_each(tmp_path: Path) -> None:
    """Three from each of four prints: two squares of each, not six in all."""
    sheets = {
        "Pieces": (HEADINGS, ("Prints", "P", 3, 3, "3 from each", "half-square triangle")),
        "Fabrics": (("Fabric", "Requirement", "Prints"), ("Prints", "4 fat quarters", 4)),
    }
    path = write(tmp_path / "pattern.xlsx", sheets)
    piece = pieces(read_pattern(path))[0]
    assert (piece.quantity, piece.from_each) == (8, 4)


def test_with_cut_sizes_the_quantity_counts_the_squares(tmp_path: Path) -> None:
    row = ("Sky", "P", "3 7/8", "3 7/8", 24, "half-square triangle")
    read = reading(tmp_path, row, headings=CUT_HEADINGS)
    piece = pieces(read)[0]
    assert (piece.quantity, piece.shape, piece.formula) == (24, Shape.CUT_ONCE, None)
    assert "counts the pieces cut" in said(read, Level.WARNING)[0]


def test_a_square_cut_on_the_diagonal_is_counted_without_a_word(tmp_path: Path) -> None:
    row = ("Sky", "P", "3 7/8", "3 7/8", 24, "square cut once on the diagonal")
    assert reading(tmp_path, row, headings=CUT_HEADINGS).problems == ()


def test_cut_and_finished_sizes_that_disagree_are_both_said(tmp_path: Path) -> None:
    """Seven eighths added to the unfinished size: the printed mistake 2 → 3⅜."""
    headings = (*CUT_HEADINGS, "Finished width")
    shape = "square cut once on the diagonal"
    wrong = ("Sky", "P", "3 3/8", "3 3/8", 4, shape, 2)
    right = ("Sky", "Q", "2 7/8", "2 7/8", 4, shape, 2)
    read = reading(tmp_path, wrong, right, headings=headings)
    (told,) = said(read, Level.WARNING)
    assert "3⅜ × 3⅜" in told
    assert "2⅞ × 2⅞" in told
    assert [piece.width for piece in pieces(read)] == [Fraction(27, 8), Fraction(23, 8)]


def test_a_piece_called_a_triangle_without_a_shape_is_warned_of(tmp_path: Path) -> None:
    read = reading(tmp_path, ("Sky", "half-square triangles", 3, 3, 48, ""))
    assert pieces(read)[0].quantity == 48
    assert "has no shape" in said(read, Level.WARNING)[0]


@pytest.mark.parametrize(
    ("shape", "size", "formula"),
    [
        ("half-square triangle", (3, 3),
         "finished 3 + ⅞ = cut 3⅞ (half-square triangle; formula 1)"),
        ("quarter-square triangle", (3, ""),
         "finished 3 + 1¼ = cut 4¼ (quarter-square triangle; formula 1)"),
        ("square", (3, 3), "finished 3 + ½ = cut 3½ (square; formula 1)"),
        ("", (2, 4), "finished 2 × 4 + ½ each way = cut 2½ × 4½ (rectangle; formula 1)"),
        ("60° triangle", (4, ""), "finished 4 + ¾ = strip 4¾ (60° triangle, its height;"),
        ("setting triangle", (16, ""), "finished 16 × √2 + 1.207, up to ⅛ = cut 23⅞"),
    ],
)  # fmt: skip
def test_the_formula_and_its_source_are_told_beside_the_row(
    tmp_path: Path, shape: str, size: Row, formula: str
) -> None:
    read = reading(tmp_path, ("Sky", "P", *size, 4, shape))
    assert any(note.understood.startswith(formula) for note in read.notes)
    assert {note.role for note in read.notes} == {"Sky"}
    told = pieces(read)[0].formula
    assert told is not None
    assert told.startswith(formula)


def test_a_metric_seam_is_geometry_to_the_millimeter(tmp_path: Path) -> None:
    """7.5 + 0.75 (2 + √2) = 10.061 cm: 10.1 when rounded up."""
    facts = (("Unit", "cm"), ("Seam allowance", 0.75))
    read = reading(tmp_path, ("Sky", "P", 7.5, "", 8, "half-square triangle"), facts=facts)
    piece = pieces(read)[0]
    assert piece.width == Fraction("10.1") * CENTIMETER
    assert piece.formula is not None
    assert "geometry, at a seam of 0.75 cm" in piece.formula


def test_half_rectangles_are_never_cut_from_folded_cloth(tmp_path: Path) -> None:
    read = reading(tmp_path, ("Sky", "P", 2, 4, 7, "left half-rectangle triangle"))
    assert "same side up" in pieces(read)[0].notes


def test_a_one_way_print_keeps_its_direction(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        ("Sky", "P", 2, 4, 7, "", "one-way"),
        headings=(*HEADINGS, "Direction"),
    )
    assert pieces(read)[0].direction is Direction.ONE_WAY


SIZES = st.fractions(min_value=1, max_value=30, max_denominator=8)
SEAMS = st.fractions(min_value=0, max_value=1, max_denominator=16)
EXACT = {
    Figure.HALF_SQUARE: lambda f, s: f + s * (2 + sqrt(2)),
    Figure.HALF_SQUARE_EIGHT: lambda f, s: 2 * (f + s * (2 + sqrt(2))),
    Figure.QUARTER_SQUARE: lambda f, s: f + 2 * s * (1 + sqrt(2)),
    Figure.SETTING: lambda f, s: f * sqrt(2) + 2 * s * (1 + sqrt(2)),
    Figure.CORNER: lambda f, s: f / sqrt(2) + s * (2 + sqrt(2)),
    Figure.CENTER: lambda f, s: f / sqrt(2) + 2 * s,
}


@pytest.mark.parametrize("figure", list(EXACT), ids=lambda figure: figure.value)
@given(size=SIZES, seam=SEAMS)
def test_a_cut_is_never_too_small_and_never_a_step_too_large(
    figure: Figure, size: Fraction, seam: Fraction
) -> None:
    cut = cut_for(figure, size, None, CutRules(seam=seam))
    exact = EXACT[figure](float(size), float(seam))
    assert -1e-9 < float(cut.width) - exact < float(EIGHTH) + 1e-9
    assert cut.width % EIGHTH == 0


def test_every_figure_has_words_that_name_it() -> None:
    for figure in Figure:
        assert parse_shape(figure.value).figure is figure
        assert figure in CUT_SHAPES


@pytest.mark.parametrize(
    ("step", "cut"),
    [
        # 12 × √2 + 1.2071 = 18.1777: up to ⅛, 1/16 and ½.
        ("1/8", "18 1/4"),
        ("1/16", "18 3/16"),
        ("1/2", "18 1/2"),
    ],
)
def test_cut_sizes_are_rounded_up_to_the_step_asked_for(
    tmp_path: Path, step: str, cut: str
) -> None:
    facts = (("Round cut sizes up to", step), ("Pattern", "Steps"))
    read = reading(tmp_path, ("Sky", "P", "12", "", 4, "setting triangle"), facts=facts)
    assert pieces(read)[0].width == parse_number(cut)


def test_a_sewn_unit_of_quarter_squares_is_asked_about(tmp_path: Path) -> None:
    read = reading(tmp_path, ("Sky", "P", "4", "", 12, "quarter-square triangle units"))
    assert "one, two or four triangles" in said(read, Level.ERROR)[0]
    assert pieces(read) == []


@pytest.mark.parametrize(
    ("shape", "quantity", "cut", "count", "becomes"),
    [
        # A star in a 12 in block: s = 12 ÷ 3.4142 = 3.5147; s + ½ = 4.0147.
        ("eight-point star corner square", 8, ("4 1/8", "4 1/8"), 8, Shape.SQUARE),
        # s √2 + 1.2071 = 6.1777, four from a square.
        ("8-pointed star side triangles", 8, ("6 1/4", "6 1/4"), 2, Shape.CUT_TWICE),
        # s ÷ √2 + ½ = 2.9853; 3 × √2 = 4.2426 each and 3 for the first cut: 8 from 40.
        ("LeMoyne star diamond", 16, ("3", None), 2, Shape.DIAMONDS_45),
    ],
)
def test_an_eight_point_star_is_cut_from_its_block(
    tmp_path: Path,
    shape: str,
    quantity: int,
    cut: tuple[str, str | None],
    count: int,
    becomes: Shape,
) -> None:
    piece = pieces(reading(tmp_path, ("Sky", "P", "12", "", quantity, shape)))[0]
    length = None if cut[1] is None else parse_number(cut[1])
    assert (piece.width, piece.length) == (parse_number(cut[0]), length)
    assert (piece.quantity, piece.shape) == (count, becomes)
    assert piece.formula is not None
    assert "finished 12 ÷" in piece.formula


def test_the_parts_of_a_star_are_asked_for() -> None:
    with pytest.raises(ShapeWordsError, match="not said which"):
        parse_shape("eight-point star")


@pytest.mark.parametrize("step", ["0", "2", "1/128", "some"])
def test_a_step_that_no_ruler_shows_is_asked_about(tmp_path: Path, step: str) -> None:
    facts = (("Round cut sizes up to", step), ("Pattern", "Steps"))
    read = reading(tmp_path, ("Sky", "P", "3", "3", 4, "square"), facts=facts)
    assert "Facts" in said(read, Level.ERROR)[0]

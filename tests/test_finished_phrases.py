"""Finished sizes in free text: ``48 half-square triangles, 3 in finished``."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.arithmetic.figures import CutRules, rules_of
from kitmaker.errors import Level
from kitmaker.lengths import CENTIMETER, Unit, parse_number
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.phrases.model import Cut, Understood

F52 = Fraction(5, 2)


def understood(*lines: str, rules: CutRules | None = None) -> Understood:
    rules = rules or CutRules()
    return read_lines(lines, FabricFacts(unit=rules.unit, cut_rules=rules))


def the_cut(line: str, rules: CutRules | None = None) -> Cut:
    read = understood(line, rules=rules)
    assert not [one for one in read.findings if one.level is Level.ERROR]
    (cut,) = read.cuts
    return cut


def errors(*lines: str) -> list[str]:
    found = understood(*lines).findings
    return [one.message for one in found if one.level is Level.ERROR]


@pytest.mark.parametrize(
    ("line", "cut", "count", "becomes"),
    [
        # 3 + ⅞ = 3⅞; two triangles to a square: 48 from 24.
        ("48 half-square triangles, 3 in finished", ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        ("Cut 47 half square triangles that finish at 3″", ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        ("Half-square triangles: 48, 3\" finished", ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        ("48 white half-square triangles, 3\" finished", ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        # Unfinished is two seams of ¼ more than finished.
        ('48 half-square triangles 3½" unfinished', ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        # 2 × (3 + ⅞), eight to a pair of squares.
        ('48 half-square triangles, 8 at a time, 3" finished', ("7 3/4",) * 2, 6,
         Shape.FOR_EIGHT),
        # 4 + 1¼, four triangles to a square.
        ("24 quarter-square triangles, 4 in finished", ("5 1/4",) * 2, 6, Shape.CUT_TWICE),
        ('24 squares, 3" finished', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ("24 squares, 3 finished", ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('24 squares 3½" unfinished', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('(24) 3" finished squares', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('3" finished squares (24)', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('3" finished squares: 24', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('Squares - 3" finished - cut 24', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ("24 squares with a finished size of 3 inches", ("3 1/2",) * 2, 24, Shape.SQUARE),
        ('48 half-square triangles finishing to 3" square', ("3 7/8",) * 2, 24, Shape.CUT_ONCE),
        ('24 squares (3" finished)', ("3 1/2",) * 2, 24, Shape.SQUARE),
        ("20 rectangles 2 x 4 finished", ("2 1/2", "4 1/2"), 20, Shape.RECTANGLE),
        ('20 rectangles, finished size 2" x 4"', ("2 1/2", "4 1/2"), 20, Shape.RECTANGLE),
        ("24 flying geese goose, one at a time, 2 x 4 finished", ("4 1/2", "2 1/2"), 24,
         Shape.RECTANGLE),
        ("24 flying geese goose, four at a time, 2 x 4 finished", ("5 1/4",) * 2, 6,
         Shape.FOR_FOUR_GEESE),
        ("48 flying geese sky, one at a time, 2 x 4 finished", ("2 1/2",) * 2, 48,
         Shape.FLIPPED_CORNER),
        ("48 flying geese sky, one at a time, 2½ x 4½ unfinished", ("2 1/2",) * 2, 48,
         Shape.FLIPPED_CORNER),
        # 12 × √2 + 1.207 = 18.18 and 12 ÷ √2 + 0.854 = 9.34, up to ⅛.
        ("10 setting triangles for 12″ finished blocks", ("18 1/4",) * 2, 3, Shape.CUT_TWICE),
        ("4 corner triangles for 12 in finished blocks", ("9 3/8",) * 2, 2, Shape.CUT_ONCE),
        ("8 left half-rectangle triangles, 2 x 4 finished", ("2 3/4", "5 3/8"), 4,
         Shape.HALF_LEFT),
    ],
)  # fmt: skip
def test_a_finished_size_in_words_becomes_what_is_cut(
    line: str, cut: tuple[str, str], count: int, becomes: Shape
) -> None:
    read = the_cut(line)
    assert (read.width, read.length) == (parse_number(cut[0]), parse_number(cut[1]))
    assert (read.quantity, read.shape, read.kind) == (count, becomes, PieceKind.PIECE)
    assert read.formula is not None
    assert "finished" in read.formula


@pytest.mark.parametrize(
    ("line", "strip", "count", "becomes"),
    [
        ("60° triangles: 20, 3″ finished", "3 3/4", 2, Shape.TRIANGLES_60),
        ("15 45° diamonds, 3 in finished", "3 1/2", 3, Shape.DIAMONDS_45),
        ("18 60 degree diamonds, 3 in finished", "3 1/2", 2, Shape.DIAMONDS_60),
        ("12 hexagons 3″ finished", "3 1/2", 2, Shape.HEXAGONS),
    ],
)
def test_figures_from_strips_become_whole_strips(
    line: str, strip: str, count: int, becomes: Shape
) -> None:
    read = the_cut(line)
    assert (read.width, read.length, read.kind) == (parse_number(strip), None, PieceKind.STRIP)
    assert (read.quantity, read.shape) == (count, becomes)


def test_the_formula_says_what_was_counted_and_whose_rule_it_is() -> None:
    formula = the_cut("48 half-square triangles, 3 in finished").formula
    assert formula == (
        "finished 3 + ⅞ = cut 3⅞ (half-square triangle; formula 1); 2 from a square: 48 from 24 "
        "squares, one triangle of this fabric in each sewn unit"
    )


def test_the_patterns_own_seam_and_unit_hold() -> None:
    """8 cm and a seam of 0.75: 8 + 0.75 × (2 + √2) = 10.56, up to the millimeter 10.6."""
    rules = rules_of(Unit.CENTIMETER, Fraction(3, 4) * CENTIMETER)
    cut = the_cut("10 half-square triangles, 8 cm finished", rules)
    assert cut.width == Fraction(106, 10) * CENTIMETER


def test_a_finer_step_gives_a_closer_cut() -> None:
    """3 + ¼ × (2 + √2) = 3.8536, up to 1/16 it is 3⅞ still, up to 1/64 it is 3 55/64."""
    rules = rules_of(Unit.INCH, Fraction(1, 4), Fraction(1, 64))
    assert the_cut("2 half-square triangles, 3 in finished", rules).width == Fraction(247, 64)


def test_two_figures_in_a_line_are_two_cuts() -> None:
    cuts = understood('20 squares, 3" finished; 12 rectangles, 3" x 6" finished').cuts
    assert [(cut.quantity, cut.width, cut.length) for cut in cuts] == [
        (20, Fraction(7, 2), Fraction(7, 2)),
        (12, Fraction(7, 2), Fraction(13, 2)),
    ]


def test_counts_in_brackets_part_two_figures_too() -> None:
    line = '(16) 2½" finished squares, (8) 2" x 4½" finished rectangles'
    assert [(cut.quantity, cut.width) for cut in understood(line).cuts] == [(16, 3), (8, F52)]


def test_what_a_piece_is_for_names_it() -> None:
    assert the_cut("20 squares 3 in finished for cornerstones").name == "cornerstones"


@pytest.mark.parametrize(
    "line",
    [
        '(20) 3½" squares (3" finished)',
        '(20) 3½" squares (finish at 3")',
        'Cut 3 strips 3½" x WOF; sub-cut into 20 squares 3½" (3" finished)',
        'Cut (10) 3⅞" squares (3" finished), cut once on the diagonal',
    ],
)
def test_a_finished_size_in_a_bracket_is_held_against_the_cut_size(line: str) -> None:
    assert the_cut(line).formula is None
    wrong = line.replace('3" finished', '4" finished').replace('at 3"', 'at 4"')
    assert "do not belong together" in errors(wrong)[0]


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("24 HSTs, 3 in finished", "'HST' may be one triangle"),
        ("24 QSTs, 4 in finished", "'QST' may be one triangle"),
        ("24 quarter-square triangle units, 4 in finished", "one, two or four triangles"),
        ("24 flying geese, 2 x 4 finished", "which this one is"),
        ("24 flying geese goose, 2 x 3 finished", "twice as wide as high"),
        ("8 half-rectangle triangles, 2 x 4 finished", "mirror images"),
        ("12 diamonds, 3 in finished", "the angle"),
        ("20 rectangles 2 in finished", "two measures"),
        ("20 squares 2 x 3 finished", "one width and length"),
        ("20 squares for 12 in finished blocks", "of something else"),
        ("12 hexagons 3 in unfinished", "not what it is cut from"),
        ('24 half-square triangles ¼" unfinished', "take all of it"),
        ("24 x 3 finished squares", "finished size"),
        ("0 squares 3 in finished", "0"),
        # Either number may be the count.
        ("3 finished squares: 24", "no sure part"),
    ],
)
def test_what_is_not_sure_is_asked_about(line: str, asked: str) -> None:
    assert asked in errors(line)[0]
    assert understood(line).cuts == []


def test_units_that_may_be_sewn_of_the_squares_above_are_not_counted_twice() -> None:
    lines = ('Cut 24 squares 3⅞"', '48 half-square triangles, 3" finished')
    assert "the same cut stands above it" in errors(*lines)[0]
    assert len(understood(*lines).cuts) == 1


def test_under_a_heading_with_each_the_total_is_asked_for() -> None:
    lines = ("From each of 12 prints, cut:", '4 squares, 3" finished')
    assert "each or for all" in errors(*lines)[0]


@pytest.mark.parametrize(
    "line",
    [
        "Finished block 12 in",
        "24 blocks finish at 12 in",
        "Quilt finishes at 60 x 72",
        "Make 48 half-square triangle units 3 in finished",
        'Trim 48 half-square triangles to 3½" unfinished',
    ],
)
def test_what_is_sewn_is_not_cut(line: str) -> None:
    assert understood(line).cuts == []


def test_quarter_square_triangles_are_told_from_sewn_units_by_a_warning() -> None:
    (finding,) = understood("24 quarter-square triangles, 4 in finished").findings
    assert finding.level is Level.WARNING
    assert "two triangles of each" in finding.suggestion

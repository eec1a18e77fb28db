"""The sheet Finishing: a quilt's size and a few words into binding, borders, sashing, backing."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import pytest
from books import write
from click.testing import CliRunner

from kitmaker.cli import main
from kitmaker.commands.check import check_json, check_text
from kitmaker.errors import Level, UnreadableError
from kitmaker.lengths import CENTIMETER, YARD
from kitmaker.pattern import Direction, Fabric, PatternReading, Piece, PieceKind, Shape
from kitmaker.reading.requirements import read_pattern

Rows = Sequence[Sequence[object]]
QUILT = (("Quilt width", 54), ("Quilt length", 63))
BINDING = (("Binding width", 2.5), ("Binding allowance", 10))
PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape")
SKY = ("Sky", "patch", 3.5, 3.5, 48, "square")


def reading(folder: Path, size: str | None = None, **sheets: Rows) -> PatternReading:
    return read_pattern(write(folder / "pattern.xlsx", sheets), size)


def fabric(read: PatternReading, role: str) -> Fabric:
    return next(one for one in read.pattern.fabrics if one.role == role)


def only(read: PatternReading, role: str) -> Piece:
    (piece,) = fabric(read, role).pieces
    return piece


def said(read: PatternReading, level: Level = Level.WARNING) -> list[str]:
    return [one.message for one in read.problems if one.level is level]


def places(read: PatternReading, level: Level = Level.ERROR) -> list[str]:
    return [one.location.address for one in read.problems if one.level is level and one.location]


# binding


def test_a_binding_is_the_way_round_and_an_allowance_joined(tmp_path: Path) -> None:
    """2 × (54 + 63) + 10 = 244."""
    read = reading(tmp_path, Finishing=(*QUILT, *BINDING))
    piece = only(read, "Binding")
    assert (piece.kind, piece.width, piece.length, piece.quantity) == (
        PieceKind.JOINED,
        Fraction(5, 2),
        244,
        1,
    )
    assert piece.where.address == "Finishing!B3"
    assert piece.formula is not None
    assert "2 × (finished 54 + 63) + 10 = 244 in" in piece.formula
    assert read.problems == ()


def test_a_pattern_that_states_only_binding_and_a_size_asks_for_one_as_an_estimate(
    tmp_path: Path,
) -> None:
    read = reading(
        tmp_path,
        Pieces=(PIECES, SKY),
        Fabrics=(("Fabric", "Requirement"), ("Sky", "1/2 yd"), ("Binding", None)),
        Finishing=QUILT,
    )
    assert only(read, "Binding").length == 244
    (told,) = said(read)
    assert "estimate" in told
    assert "2½ in" in told
    assert "10 in" in told


def test_the_finished_size_of_the_facts_serves_where_the_sheet_has_none(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        Pattern=(("Pattern", "Quay"), ("Finished size", "54 x 63 in")),
        Finishing=BINDING,
    )
    assert only(read, "Binding").length == 244


def test_a_bias_binding_is_a_square(tmp_path: Path) -> None:
    """√(246 × 2¼) = 23.53: 24."""
    rows = (("Binding width", 2.25), ("Binding style", "bias"), ("Binding allowance", 12))
    piece = only(reading(tmp_path, Finishing=(*QUILT, *rows)), "Binding")
    assert (piece.kind, piece.width, piece.length, piece.shape) == (
        PieceKind.PIECE,
        24,
        24,
        Shape.SQUARE,
    )


def test_a_bias_square_wider_than_the_fabric_becomes_two(tmp_path: Path) -> None:
    """√(430 × 4) = 41.5 is wider than 40; √(215 × 4) = 29.3: two of 30."""
    rows = (("Quilt width", 100), ("Quilt length", 110), ("Binding width", 4))
    more = (("Binding style", "bias"), ("Binding allowance", 10))
    piece = only(reading(tmp_path, Finishing=(*rows, *more)), "Binding")
    assert (piece.width, piece.quantity) == (30, 2)


def test_a_binding_that_the_table_has_is_only_compared(tmp_path: Path) -> None:
    """244 at 2½: (244 - 2½) ÷ (40 - 2½) = 6.44, 7 strips."""
    strips = ("Binding", "binding strip", 2.5, "WOF", 6, None)
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=(*QUILT, *BINDING))
    assert only(read, "Binding").quantity == 6
    (told,) = said(read)
    assert "6 strips" in told
    assert "take 7" in told


@pytest.mark.parametrize("name", ["binding strip", "K", "2½ strips", "Binding"])
def test_a_binding_that_agrees_is_counted_once_whatever_its_name_and_said_with_both_cells(
    tmp_path: Path, name: str
) -> None:
    strips = ("Night", name, 2.5, "WOF", 7, None)
    rows = (*QUILT, *BINDING, ("Binding fabric", "Night"))
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=rows)
    assert (only(read, "Night").quantity, len(read.problems)) == (7, 1)
    assert places(read, Level.WARNING) == ["Finishing!B3"]
    assert "Pieces!B2" in said(read)[0]


@pytest.mark.parametrize(
    ("name", "width", "count"), [("rail strip", 2.5, 7), ("K", 2.5, 12), ("K", 2.25, 7)]
)
def test_strips_that_may_be_the_binding_are_asked_about_until_they_are_named(
    tmp_path: Path, name: str, width: float, count: int
) -> None:
    rows = (*QUILT, *BINDING, ("Binding fabric", "Night"))
    strips = ("Night", name, width, "WOF", count, None)
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=rows)
    assert len(said(read, Level.ERROR)) == 1
    assert len(fabric(read, "Night").pieces) == 1
    headings = (*PIECES, "Notes")
    settled = reading(tmp_path, Pieces=(headings, (*strips, "not binding")), Finishing=rows)
    assert settled.problems == ()
    assert len(fabric(settled, "Night").pieces) == 2


def test_strips_of_another_purpose_and_count_are_counted_beside_the_binding_and_said(
    tmp_path: Path,
) -> None:
    rows = (*QUILT, *BINDING, ("Binding fabric", "Night"))
    strips = ("Night", "rail strip", 2.5, "WOF", 15, None)
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=rows)
    assert [one.level for one in read.problems] == [Level.WARNING]
    assert len(fabric(read, "Night").pieces) == 2


def test_a_binding_in_two_fabrics_is_asked_about_and_one_without_a_fabric_is_found(
    tmp_path: Path,
) -> None:
    strips = ("Night", "K binding", 2.5, "WOF", 7, None)
    found = reading(tmp_path, Pieces=(PIECES, strips), Finishing=(*QUILT, *BINDING))
    assert [one.role for one in found.pattern.fabrics] == ["Night"]
    rows = (*QUILT, *BINDING, ("Binding fabric", "Day"))
    asked = reading(tmp_path, Pieces=(PIECES, strips), Finishing=rows)
    assert "'Night' at Pieces!B2" in said(asked, Level.ERROR)[0]


def test_a_border_beside_one_that_the_table_has_is_added(tmp_path: Path) -> None:
    rows = (("Border 1 width", 3), ("Border 2 width", 2), ("Border fabric", "Night"))
    strips = ("Night", "border", 3.5, "WOF", 5, None)
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=(*QUILT, *rows))
    assert [piece.width for piece in fabric(read, "Night").pieces] == [3.5, 2.5]


def test_a_fabric_of_the_sheet_that_is_misspelled_is_an_error(tmp_path: Path) -> None:
    row = ("Charcoal", "A", 3, 3, 4, None)
    rows = (*QUILT, *BINDING, ("Binding fabric", "Charcoel"))
    read = reading(tmp_path, Pieces=(PIECES, row), Finishing=rows)
    assert said(read, Level.ERROR) == ["no table has the fabric 'Charcoel'"]


def test_a_measure_without_its_size_is_an_error_where_there_are_two(tmp_path: Path) -> None:
    heads = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw")
    table = (heads, ("Sky", "A", 3, 3, 4, 9))
    read = reading(tmp_path, "throw", Pieces=table, Finishing=(*QUILT, *BINDING))
    assert len(said(read, Level.ERROR)) == 2
    assert [one.role for one in read.pattern.fabrics] == ["Sky"]
    rows = (("Quilt width throw", 57), ("Quilt length throw", 70), *BINDING)
    sized = reading(tmp_path, "throw", Pieces=table, Finishing=rows)
    assert only(sized, "Binding").length == 2 * (57 + 70) + 10


def test_a_binding_of_another_width_is_said_with_both(tmp_path: Path) -> None:
    strips = ("Binding", "binding strip", 2.25, "WOF", 7, None)
    read = reading(tmp_path, Pieces=(PIECES, strips), Finishing=(*QUILT, *BINDING))
    assert any("2¼ wide in the table and 2½" in told for told in said(read))


# borders

BORDER = (("Border width", 4.5), ("Border style", "butted"))


def test_a_border_longer_than_the_fabric_is_a_run_with_both_amounts_said(tmp_path: Path) -> None:
    """45 × 54 inside: two of 54½ and two of 45 + 9 + ½; 218 from 6 strips of 5: 30 in."""
    read = reading(tmp_path, Finishing=(*QUILT, *BORDER))
    piece = only(read, "Border")
    assert (piece.kind, piece.width, piece.length) == (PieceKind.JOINED, 5, 218)
    (told,) = said(read)
    assert "6 strips joined take ⅞ yd" in told
    assert "lengthwise without a join they take 1 9/16 yd" in told


def test_a_border_cut_lengthwise_is_four_pieces_along_the_selvage(tmp_path: Path) -> None:
    read = reading(tmp_path, Finishing=(*QUILT, *BORDER, ("Border cut", "lengthwise")))
    cut = [
        (piece.width, piece.length, piece.quantity, piece.direction)
        for piece in fabric(read, "Border").pieces
    ]
    along = Direction.LENGTHWISE
    assert cut == [(5, Fraction(109, 2), 2, along), (5, Fraction(109, 2), 2, along)]
    assert read.problems == ()
    assert any("longer than the fabric is wide" in note.understood for note in read.notes)


def test_a_border_that_fits_across_is_four_pieces(tmp_path: Path) -> None:
    rows = (("Quilt width", 36), ("Quilt length", 38), ("Border width", 3))
    read = reading(tmp_path, Finishing=(*rows, ("Border style", "butted")))
    assert [piece.length for piece in fabric(read, "Border").pieces] == [
        Fraction(65, 2),
        Fraction(73, 2),
    ]


def test_mitered_borders_are_as_long_as_the_outer_edge_and_a_little_over(tmp_path: Path) -> None:
    rows = (("Border width", 4.5), ("Border style", "mitered"), ("Border cut", "lengthwise"))
    read = reading(tmp_path, Finishing=(*QUILT, *rows))
    assert [piece.length for piece in fabric(read, "Border").pieces] == [
        63 + Fraction(5, 4),
        54 + Fraction(5, 4),
    ]


def test_two_borders_go_round_each_other_and_may_share_a_fabric(tmp_path: Path) -> None:
    rows = (
        ("Border 1 width", 1),
        ("Border 2 width", 4),
        ("Border 1 fabric", "Night"),
        ("Border 2 fabric", "Night"),
        ("Border style", "butted"),
        ("Border cut", "crosswise"),
    )
    read = reading(tmp_path, Finishing=(*QUILT, *rows))
    first, second = fabric(read, "Night").pieces
    # 44 × 53 inside: 2 × 53½ + 2 × 46½ = 200, then 46 × 55: 2 × 55½ + 2 × 54½ = 220.
    assert (first.width, first.length) == (Fraction(3, 2), 200)
    assert (second.width, second.length) == (Fraction(9, 2), 220)
    assert read.problems == ()


def test_a_border_of_the_table_that_is_too_long_is_advised_on(tmp_path: Path) -> None:
    row = ("Night", "border", 5, "54 1/2", 4, None)
    read = reading(tmp_path, Pieces=(PIECES, row))
    (told,) = said(read)
    assert "⅞ yd" in told
    assert "1 9/16 yd" in told


# sashing

SASHING = (
    ("Block size", 12),
    ("Blocks across", 4),
    ("Blocks down", 5),
    ("Sashing width", 3),
    ("Sashing around", "yes"),
    ("Cornerstone fabric", "Stone"),
)


def test_sashing_all_round_4_by_5_blocks(tmp_path: Path) -> None:
    """49 sashes and 30 cornerstones: Susan in Texas (2009)."""
    read = reading(tmp_path, Finishing=SASHING)
    sash, stone = only(read, "Sashing"), only(read, "Stone")
    assert (sash.width, sash.length, sash.quantity) == (Fraction(7, 2), Fraction(25, 2), 49)
    assert (stone.width, stone.quantity) == (Fraction(7, 2), 30)
    assert read.problems == ()


def test_one_way_sashing_takes_two_strip_widths(tmp_path: Path) -> None:
    read = reading(tmp_path, Finishing=(*SASHING, ("Sashing direction", "one-way")))
    upright, level = fabric(read, "Sashing").pieces
    assert (upright.width, upright.length, upright.quantity) == (3.5, 12.5, 25)
    assert (level.width, level.length, level.quantity) == (12.5, 3.5, 24)
    assert {upright.direction, level.direction} == {Direction.ONE_WAY}
    assert "12½ in wide" in said(read)[0]
    assert "3½ in wide" in said(read)[0]


def test_one_way_sashing_of_the_table_is_advised_on(tmp_path: Path) -> None:
    headings = (*PIECES, "Direction")
    row = ("Vine", "sash", 2.5, 12.5, 17, None, "one-way")
    read = reading(tmp_path, Pieces=(headings, row))
    assert "12½ × 2½" in said(read)[0]


def test_sashing_without_its_blocks_says_what_is_missing(tmp_path: Path) -> None:
    read = reading(tmp_path, Finishing=(*QUILT, ("Sashing width", 2)))
    assert "Block size, Blocks across, Blocks down" in said(read, Level.ERROR)[0]


# sizes


def test_a_quilt_size_that_its_parts_do_not_come_to_is_said_with_both(tmp_path: Path) -> None:
    """4 × 12 + 5 × 3 = 63 wide, 5 × 12 + 6 × 3 = 78 long."""
    read = reading(tmp_path, Finishing=(*SASHING, ("Quilt width", 64), ("Quilt length", 78)))
    (told,) = said(read)
    assert "64 × 78 in" in told
    assert "63 × 78 in" in told


def test_a_size_of_its_own_wins_over_the_general_one(tmp_path: Path) -> None:
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw")
    sheets = {
        "Pieces": (headings, ("Sky", "patch", 3.5, 3.5, 20, 48)),
        "Finishing": (
            ("Quilt width crib", 36),
            ("Quilt length crib", 45),
            ("Quilt width throw", 54),
            ("Quilt length (throw)", 63),
            *BINDING,
        ),
    }
    assert only(reading(tmp_path, "crib", **sheets), "Binding").length == 172
    assert only(reading(tmp_path, "throw", **sheets), "Binding").length == 244


# backing, batting and the rest


def test_a_backing_is_an_amount_with_the_better_seams_named(tmp_path: Path) -> None:
    """62 × 71: two lengths of 62 with level seams, 124 in, 3½ yd; of 71 upright, 4 yd."""
    read = reading(tmp_path, Finishing=(*QUILT, ("Backing overhang", 4)))
    amount = fabric(read, "Backing").requirement
    assert amount is not None
    assert (amount.quantity, amount.unit, amount.length) == (
        Fraction(7, 2),
        "yd",
        Fraction(7, 2) * YARD,
    )
    (note,) = read.notes
    assert "2 lengths of 62 in with level seams, 3½ yd" in note.understood
    assert "upright seams would take 4 yd" in note.understood


def test_a_wide_backing_is_one_length(tmp_path: Path) -> None:
    rows = (("Backing overhang", 4), ("Backing width", 104))
    read = reading(tmp_path, Finishing=(*QUILT, *rows))
    amount = fabric(read, "Backing").requirement
    assert amount is not None
    assert amount.length == Fraction(7, 4) * YARD
    assert "without a seam" in read.notes[0].understood


def test_a_backing_amount_that_is_too_short_is_said_and_kept(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        Fabrics=(("Fabric", "Requirement"), ("Backing", "3 yd")),
        Finishing=(*QUILT, ("Backing overhang", 4)),
    )
    amount = fabric(read, "Backing").requirement
    assert amount is not None
    assert amount.quantity == 3
    (told,) = said(read)
    assert "3 yd" in told
    assert "3½ yd" in told


def test_a_batting_is_one_piece_of_its_size(tmp_path: Path) -> None:
    read = reading(tmp_path, Finishing=(*QUILT, ("Batting overhang", 4)))
    amount = fabric(read, "Batting").requirement
    assert amount is not None
    assert (amount.as_written, amount.unit) == ("62 × 71 in", "piece")


def test_metric_estimates_are_round_in_centimeters(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        Pattern=(("Unit", "cm"), ("Seam allowance", 0.75)),
        Finishing=(("Quilt width", 130), ("Quilt length", 170), ("Binding", "yes")),
    )
    piece = only(read, "Binding")
    assert (piece.width, piece.length) == (6 * CENTIMETER, 625 * CENTIMETER)
    assert "6 cm" in said(read)[0]
    assert "25 cm" in said(read)[0]


# what cannot be read


@pytest.mark.parametrize(
    ("row", "cell"),
    [
        (("Bindng width", 2.5), "Finishing!A4"),
        (("Binding width", "wide"), "Finishing!B4"),
        (("Binding style", "zigzag"), "Finishing!B4"),
        (("Border width", -1), "Finishing!B4"),
        (("Border width", 40), "Finishing!B1"),
        (("Quilt width", 55), "Finishing!B4"),
    ],
)
def test_a_label_or_value_that_cannot_be_read_is_named_by_its_cell(
    tmp_path: Path, row: tuple[object, object], cell: str
) -> None:
    rows = (*QUILT, ("Backing overhang", 4), row)
    read = reading(tmp_path, Pieces=(PIECES, SKY), Finishing=rows)
    assert cell in places(read)


def test_a_part_without_a_quilt_size_is_an_error(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(PIECES, SKY), Finishing=BINDING)
    assert "size of the quilt" in said(read, Level.ERROR)[0]


def test_a_width_without_a_length_is_an_error_at_the_width(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(PIECES, SKY), Finishing=(("Quilt width", 54), *BINDING))
    assert places(read) == ["Finishing!B1"]


def test_an_empty_finishing_sheet_changes_nothing(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(PIECES, SKY), Finishing=())
    assert [one.role for one in read.pattern.fabrics] == ["Sky"]
    with pytest.raises(UnreadableError, match="nothing to cut"):
        reading(tmp_path, Finishing=())


# advice on the edge of a quilt on point


def test_a_setting_triangle_cut_once_has_the_bias_outside(tmp_path: Path) -> None:
    """The same triangle from a square √2 as large, cut twice: 9 → 12¾."""
    row = ("Sky", "setting triangles", 9, 9, 7, "square cut once on the diagonal")
    read = reading(tmp_path, Pieces=(PIECES, row))
    (problem,) = read.problems
    assert "bias" in problem.message
    assert "Type 4 of 12¾ × 12¾" in problem.suggestion


def test_a_corner_triangle_cut_twice_has_the_bias_outside(tmp_path: Path) -> None:
    row = ("Sky", "corner setting triangles", 14, 14, 1, "square cut twice on the diagonal")
    read = reading(tmp_path, Pieces=(PIECES, row))
    (problem,) = read.problems
    assert "Type 2 of 10 × 10" in problem.suggestion


@pytest.mark.parametrize(
    ("name", "shape"),
    [
        ("setting triangles", "square cut twice on the diagonal"),
        ("corner triangles", "square cut once on the diagonal"),
        ("corner setting triangles", "square cut once on the diagonal"),
    ],
)
def test_triangles_cut_the_right_way_are_left_in_peace(
    tmp_path: Path, name: str, shape: str
) -> None:
    row = ("Sky", name, 9, 9, 4, shape)
    assert reading(tmp_path, Pieces=(PIECES, row)).problems == ()


# check and convert


def test_check_tells_the_formula_in_words_and_in_data(tmp_path: Path) -> None:
    finished = ("Fabric", "Piece", "Finished width", "Finished length", "Quantity", "Shape")
    row = ("Sky", "patch", 3, 3, 48, "half-square triangles")
    read = reading(tmp_path, Pieces=(finished, row), Finishing=(*QUILT, *BINDING))
    text = "\n".join(check_text(read))
    assert "finished 3 + ⅞ = cut 3⅞ (half-square triangle; formula 1)" in text
    fabrics = check_json(read)["fabrics"]
    assert isinstance(fabrics, list)
    formulas = [piece["formula"] for one in fabrics for piece in one["pieces"]]
    assert formulas == [piece.formula for one in read.pattern.fabrics for piece in one.pieces]


def test_a_piece_with_a_stated_size_has_no_formula(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(PIECES, SKY))
    fabrics = check_json(read)["fabrics"]
    assert isinstance(fabrics, list)
    assert fabrics[0]["pieces"][0]["formula"] is None


def test_convert_answers_a_pattern_of_one_line(tmp_path: Path) -> None:
    """48 triangles of 3 in: 24 squares of 3⅞; 5 × 4 to a fat quarter of 20 × 16, so two."""
    path = tmp_path / "one.csv"
    path.write_text(
        "Fabric,Finished width,Quantity,Shape\nSky,3,48,half-square triangles\n", encoding="utf-8"
    )
    words = ["convert", str(path), "--form", "fat-quarter", "--json"]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.stderr
    assert '"count": 2' in result.stdout


# blocks on point

ON_POINT = (
    ("Setting", "on point"),
    ("Block size", 12),
    ("Blocks across", 3),
    ("Blocks down", 4),
    ("Setting fabric", "Sky"),
)


def test_blocks_on_point_get_their_setting_and_corner_triangles(tmp_path: Path) -> None:
    """2 × 2 + 2 × 3 = 10 side triangles, four from a square of 18¼: 3; two squares of 9⅜."""
    read = reading(tmp_path, Finishing=ON_POINT)
    side, corner = fabric(read, "Sky").pieces
    assert (side.width, side.quantity, side.shape) == (Fraction(73, 4), 3, Shape.CUT_TWICE)
    assert (corner.width, corner.quantity, corner.shape) == (Fraction(75, 8), 2, Shape.CUT_ONCE)
    assert side.formula is not None
    assert "10 from 3 squares" in side.formula
    assert said(read) == said(read, Level.ERROR) == []


def test_the_top_of_blocks_on_point_is_their_diagonals(tmp_path: Path) -> None:
    """3 × 12 × √2 = 50.91 and 4 × 12 × √2 = 67.88, up to ⅛: 51 × 68; 18 blocks."""
    read = reading(tmp_path, Finishing=(*ON_POINT, *BINDING))
    (note,) = [one.understood for one in read.notes if "blocks on point" in one.understood]
    assert "18 blocks" in note
    assert "51 × 68 in" in note
    binding = only(read, "Binding")
    assert binding.length == 2 * (51 + 68) + 10


def test_one_block_on_point_has_corners_only(tmp_path: Path) -> None:
    rows = (("Setting", "on point"), ("Block size", 12), ("Blocks across", 1), ("Blocks down", 1))
    (piece,) = fabric(reading(tmp_path, Finishing=rows), "Setting").pieces
    assert piece.shape is Shape.CUT_ONCE


def test_triangles_in_a_table_are_held_against_the_setting(tmp_path: Path) -> None:
    row = ("Sky", "setting triangle", 18.25, 18.25, 2, "square cut twice on the diagonal")
    read = reading(tmp_path, Pieces=(PIECES, row), Finishing=ON_POINT)
    assert any("asks for 2 of the setting triangle" in one for one in said(read))


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ((("Setting", "on point"),), "Block size, Blocks across, Blocks down"),
        ((*ON_POINT, ("Sashing width", 2)), "with sashing between them"),
        ((*ON_POINT[1:], ("Setting", "sideways")), "not known"),
    ],
)
def test_a_setting_that_is_not_sure_is_asked_about(tmp_path: Path, rows: Rows, told: str) -> None:
    read = reading(tmp_path, Finishing=(*QUILT, *rows))
    assert told in said(read, Level.ERROR)[0]


def test_blocks_set_straight_need_no_setting(tmp_path: Path) -> None:
    read = reading(tmp_path, Finishing=(*QUILT, *BINDING, ("Setting", "straight")))
    assert [one.role for one in read.pattern.fabrics] == ["Binding"]


@pytest.mark.parametrize("names", [("G side triangle", "H corner triangle"), ("G", "H")])
def test_triangles_of_one_size_and_shape_are_counted_once_whatever_their_names(
    tmp_path: Path, names: tuple[str, str]
) -> None:
    alone = reading(tmp_path, Finishing=ON_POINT)
    shapes = ("square cut twice on the diagonal", "square cut once on the diagonal")
    rows = [
        ("Sky", name, float(one.width), float(one.width), one.quantity, shape)
        for name, one, shape in zip(names, fabric(alone, "Sky").pieces, shapes, strict=True)
    ]
    both = reading(tmp_path, Pieces=(PIECES, *rows), Finishing=ON_POINT)
    assert len(fabric(both, "Sky").pieces) == 2
    assert sum("counted once" in one for one in said(both)) == 2

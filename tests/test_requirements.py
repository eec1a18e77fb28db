"""Workbooks into patterns: three layouts, several sizes, and one clear message for each fault."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from books import write

from kitmaker.errors import Level, UnreadableError, UsageError
from kitmaker.lengths import CENTIMETER, Unit
from kitmaker.pattern import Direction, PatternReading, Piece, PieceKind, Shape, Use
from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.requirements import read_pattern

PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape", "Direction")
FABRICS = ("Fabric", "Requirement", "Prints", "Cutting instructions")
Rows = Sequence[Sequence[object]]


def book(folder: Path, **sheets: Rows) -> Path:
    return write(folder / "pattern.xlsx", sheets)


def reading(folder: Path, size: str | None = None, **sheets: Rows) -> PatternReading:
    return read_pattern(book(folder, **sheets), size)


def pieces(read: PatternReading) -> list[Piece]:
    return [piece for fabric in read.pattern.fabrics for piece in fabric.pieces]


def said(read: PatternReading, level: Level = Level.ERROR) -> list[str]:
    """The cells of the problems of a level."""
    return [
        one.location.address if one.location else "" for one in read.problems if one.level is level
    ]


def one_piece(folder: Path, **cells: object) -> PatternReading:
    row = {"Fabric": "Sky", "Piece": "P", "Cut width": 2.5, "Cut length": 4.5, "Quantity": 6}
    row |= {key.replace("_", " ").capitalize(): value for key, value in cells.items()}
    return reading(folder, Pieces=[list(row), list(row.values())])


def test_a_tidy_row_is_a_piece_with_the_cell_of_its_name(tmp_path: Path) -> None:
    read = one_piece(tmp_path, notes="for the sails")
    piece = pieces(read)[0]
    assert (piece.name, piece.width, piece.length, piece.quantity) == ("P", Fraction(5, 2), 4.5, 6)
    assert (piece.where.address, piece.may_turn, piece.notes) == (
        "Pieces!B2",
        True,
        "for the sails",
    )
    assert read.problems == ()
    assert (read.pattern.unit, read.pattern.seam_allowance) == (Unit.INCH, Fraction(1, 4))


@pytest.mark.parametrize("quantity", [0, -3, 2.5, "some", "1e3", True, date(2026, 1, 2), "=A1"])
def test_a_quantity_that_is_none_is_named_by_its_cell(tmp_path: Path, quantity: object) -> None:
    read = one_piece(tmp_path, quantity=quantity)
    assert said(read) == ["Pieces!E2"]
    assert pieces(read) == []


def test_a_blank_quantity_is_named_by_its_cell(tmp_path: Path) -> None:
    assert said(one_piece(tmp_path, quantity=None)) == ["Pieces!E2"]


@pytest.mark.parametrize("width", [0, 900, -2, "inf", "1/0", date(2026, 3, 8), False, "51/4"])
def test_a_width_that_is_none_is_named_by_its_cell(tmp_path: Path, width: object) -> None:
    read = one_piece(tmp_path, cut_width=width)
    assert said(read) == ["Pieces!C2"]
    assert pieces(read) == []


def test_quantities_are_read_as_people_type_them(tmp_path: Path) -> None:
    for typed in ("(5)", "5 -", "five", "５", 5.0):
        assert pieces(one_piece(tmp_path, quantity=typed))[0].quantity == 5
    assert pieces(one_piece(tmp_path, quantity="eight (8)"))[0].quantity == 8


def test_a_strip_goes_across_and_a_length_of_fabric_along(tmp_path: Path) -> None:
    strip = pieces(one_piece(tmp_path, cut_length="WOF"))[0]
    assert (strip.kind, strip.length) == (PieceKind.STRIP, None)
    read = reading(
        tmp_path,
        Pieces=[PIECES, ["Vine", "edge", 6, "LOF", 5]],
        Fabrics=[["Fabric", "Requirement"], ["Vine", "1½ yd"]],
    )
    along = pieces(read)[0]
    assert (along.length, along.direction, along.may_turn) == (54, Direction.LENGTHWISE, False)
    assert said(read, Level.WARNING) == ["Pieces!D2"]
    assert said(one_piece(tmp_path, cut_length="LOF")) == ["Pieces!D2"]


def test_a_strip_too_wide_to_be_one_is_refused(tmp_path: Path) -> None:
    assert said(one_piece(tmp_path, cut_width=65, cut_length="WOF")) == ["Pieces!C2"]


def test_a_strip_as_long_as_the_fabric_is_wide_is_a_whole_one(tmp_path: Path) -> None:
    named = one_piece(tmp_path, piece="border strip", cut_length=42)
    assert pieces(named)[0].kind is PieceKind.STRIP
    shorter = one_piece(tmp_path, piece="border strip", cut_length=39)
    assert pieces(shorter)[0].kind is PieceKind.PIECE


def test_shapes_and_directions(tmp_path: Path) -> None:
    row = {"cut_width": 4, "cut_length": 4}
    once = one_piece(tmp_path, **row, shape="Square cut once on the diagonal")
    assert (pieces(once)[0].shape, pieces(once)[0].quantity) == (Shape.CUT_ONCE, 6)
    assert pieces(one_piece(tmp_path, **row, shape="square cut twice"))[0].shape is Shape.CUT_TWICE
    assert pieces(one_piece(tmp_path, direction="one-way"))[0].direction is Direction.ONE_WAY
    assert said(one_piece(tmp_path, **row, shape="HST")) == ["Pieces!F2"]
    assert said(one_piece(tmp_path, shape="square cut once on the diagonal")) == ["Pieces!D2"]
    assert said(one_piece(tmp_path, direction="sideways")) == ["Pieces!F2"]


def test_finished_sizes_get_their_seams_and_triangles_their_squares(tmp_path: Path) -> None:
    headings = ("Fabric", "Piece", "Finished width", "Finished length", "Quantity", "Shape")
    once, twice = "square cut once on the diagonal", "square cut twice on the diagonal"
    read = reading(
        tmp_path,
        Pieces=[
            headings,
            ["Sky", "bar", 2, 4, 5, None],
            ["Sky", "half", 3, 3, 5, once],
            ["Sky", "quarter", 6, None, 5, twice],
            ["Sky", "edge", 2, "WOF", 5, None],
        ],
    )
    # 3 + 7/8 and 6 + 5/4; five triangles take three squares cut once, two cut twice.
    assert [(one.width, one.length, one.quantity) for one in pieces(read)] == [
        (Fraction(5, 2), Fraction(9, 2), 5),
        (Fraction(31, 8), Fraction(31, 8), 3),
        (Fraction(29, 4), Fraction(29, 4), 2),
        (Fraction(5, 2), None, 5),
    ]


def test_the_patterns_unit_holds_for_bare_numbers_and_its_seam(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        Pieces=[PIECES, ["Fjord", "a", 6.5, "2½ in", 4]],
        Facts=[["Pattern", "Fjord"], ["Unit", "cm"], ["Seam allowance", "0,75"]],
    )
    assert (pieces(read)[0].width, pieces(read)[0].length) == (
        Fraction(13, 2) * CENTIMETER,
        Fraction(5, 2),
    )
    assert read.pattern.seam_allowance == Fraction(3, 4) * CENTIMETER
    assert (read.pattern.name, read.pattern.unit) == ("Fjord", Unit.CENTIMETER)


def test_a_unit_in_a_heading_holds_for_its_column(tmp_path: Path) -> None:
    headings = ["Fabric", "Piece", "Cut width (cm)", 'Cut length "', "Quantity per kit"]
    read = reading(tmp_path, Pieces=[headings, ["Sky", "bar", 5, 4, 1]])
    assert [(one.width, one.length) for one in pieces(read)] == [(5 * CENTIMETER, 4)]
    meters = reading(tmp_path, Fabrics=[["Fabric", "Requirement (m)"], ["Sky", 1.5]])
    amount = meters.pattern.fabrics[0].requirement
    assert amount is not None
    assert (amount.quantity, amount.unit) == (Fraction(3, 2), "m")


def test_a_quantity_per_block_is_no_size(tmp_path: Path) -> None:
    headings = ["Fabric", "Piece", "Cut width", "Cut length", "Quantity per block"]
    read = reading(tmp_path, Pieces=[headings, ["Sky", "bar", 5, 4, 1]])
    assert "Pieces!E1" in said(read)
    assert pieces(read) == []


def test_one_name_twice_is_numbered_and_said(tmp_path: Path) -> None:
    read = reading(
        tmp_path,
        Pieces=[PIECES, ["Sky", "bar", 2, 4, 1], ["Sky", "Bar", 2, 5, 1], ["Sea", "bar", 2, 4, 1]],
    )
    assert [one.name for one in pieces(read)] == ["bar", "Bar 2", "bar"]
    assert said(read, Level.WARNING) == ["Pieces!B3"]


def test_rows_that_are_no_piece(tmp_path: Path) -> None:
    rows = [
        PIECES,
        ["Sky", "bar", 2, 4, 1],
        [],
        [None, "bow", 2, 4, 1],
        ["Total", None, None, None, 9],
        ["Cut the borders before anything else."],
        ["Repeat for the second row of boats."],
        ["Cut (4) 3 in squares from what is left"],
    ]
    read = reading(tmp_path, Pieces=rows)
    assert len(pieces(read)) == 1
    assert said(read) == ["Pieces!A4", "Pieces!A8"]
    assert said(read, Level.WARNING) == ["Pieces!A5", "Pieces!A7"]


def test_values_under_doubled_missing_or_unknown_headings_are_named(tmp_path: Path) -> None:
    headings = ["Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Qty", None, "Blarney"]
    read = reading(tmp_path, Pieces=[headings, ["Sky", "bar", 2, 4, 1, 2, "more", 7]])
    assert said(read) == ["Pieces!E1", "Pieces!G1", "Pieces!H1"]


def test_hidden_rows_are_read_and_said(tmp_path: Path) -> None:
    path = book(tmp_path, Pieces=[PIECES, ["Sky", "bar", 2, 4, 1], ["Sky", "bow", 2, 5, 1]])
    workbook = openpyxl.load_workbook(path)
    workbook["Pieces"].row_dimensions[3].hidden = True
    workbook.save(path)
    read = read_pattern(path)
    assert len(pieces(read)) == 2
    assert said(read, Level.WARNING) == ["Pieces!A3"]


AS_WRITTEN: Rows = [
    ["Mill Lane Stars"],
    [],
    FABRICS,
    ["Prints", "8 fat quarters", 8, 'From each print, cut:\n(2) 5" squares'],
    ["Ground", "½ yard", None, 'Cut (4) 3½" × WOF strips.'],
    [None, None, None, 'Sub-cut into (40) 3½" squares'],
    ["Binding", "½ yd", None, '5 strips 2½"'],
    ["Backing", "3 yards"],
    [],
    ["Yardage is for fabric 42 inches wide."],
]


def test_instructions_as_written_fill_cells_and_rows(tmp_path: Path) -> None:
    read = reading(tmp_path, Cutting=AS_WRITTEN)
    found = [(one.quantity, one.width, one.length, one.where.address) for one in pieces(read)]
    half = Fraction(1, 2)
    assert found == [
        (16, 5, 5, "Cutting!D4"),
        (40, 3 + half, 3 + half, "Cutting!D6"),
        (5, 2 + half, None, "Cutting!D7"),
    ]
    assert read.problems == ()
    assert read.pattern.name == "Mill Lane Stars"
    uses = [fabric.use for fabric in read.pattern.fabrics]
    assert uses == [Use.TOP, Use.TOP, Use.BINDING, Use.BACKING]


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Requirement in yards", "yd"),
        ("Yardage in meters", "m"),
        ("Yardage", "yd"),
        ("Requirement (in)", "in"),
        ("Requirement (yd)", "yd"),
    ],
)
def test_a_number_is_in_the_unit_that_its_heading_says_it_is_in(
    heading: str, unit: str, tmp_path: Path
) -> None:
    read = reading(tmp_path, Cutting=[["Fabric", heading], ["Sky", 2.5]])
    (sky,) = read.pattern.fabrics
    assert sky.requirement is not None
    assert (sky.requirement.quantity, sky.requirement.unit) == (Fraction(5, 2), unit)


def test_a_number_below_a_heading_of_two_units_is_asked_about(tmp_path: Path) -> None:
    read = reading(tmp_path, Cutting=[["Fabric", "Requirement yards meters"], ["Sky", 2.5]])
    assert [fabric.requirement for fabric in read.pattern.fabrics] == [None]
    assert said(read) != []


@pytest.mark.parametrize(
    ("amount", "words", "form"),
    [
        ("2 yd", 'Cut 3 strips 2" x WOF from each of 6 fat quarters', "fat quarters"),
        ("2 yd", 'From each of 6 fat eighths, cut:\n3 strips 2" x WOF', "fat eighths"),
        ("2 yd", 'From the fat quarter cut 3 strips 2" wide', "fat quarters"),
        ("2 yd", 'Cut each of 6 10" squares into 3 strips 2"', "squares"),
        ("6 fat quarters", 'From each of 6 fat eighths cut 3 strips 2"', "fat eighths"),
        (None, 'From each of 6 fat quarters cut 3 strips 2"', "fat quarters"),
    ],
)
def test_whole_strips_of_a_form_that_the_requirement_is_not_stated_in_are_asked_about(
    tmp_path: Path, amount: str | None, words: str, form: str
) -> None:
    read = reading(tmp_path, Cutting=[FABRICS, ["Sky", amount, None, words], ["Sun", "1 yd"]])
    assert pieces(read) == []
    asked = [problem.message for problem in read.problems if problem.is_error]
    assert len(asked) == 1
    assert f"the requirement is not stated in {form}" in asked[0]


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("6 fat quarters", 'Cut 3 strips 2" x WOF from each of 6 fat quarters'),
        ("2 yd", 'From each of 6 fat quarters cut 3 strips 2"; sub-cut into 3 squares 2"'),
        ("2 yd", 'Cut 3 strips 2" x 20" from each of 6 fat quarters'),
    ],
)
def test_strips_of_a_form_are_sure_where_it_is_stated_or_their_length_is(
    tmp_path: Path, amount: str, words: str
) -> None:
    read = reading(tmp_path, Cutting=[FABRICS, ["Sky", amount, None, words]])
    assert [piece.quantity for piece in pieces(read)] == [18]
    assert said(read) == []


def test_a_line_that_is_not_read_is_no_piece(tmp_path: Path) -> None:
    rows = [FABRICS, ["Sky", "1 yd", None, 'Cut (4) 3" squares\nCut some 4" squares']]
    read = reading(tmp_path, Cutting=rows)
    assert [one.quantity for one in pieces(read)] == [4]
    assert said(read) == ["Cutting!D2"]


def test_first_and_next_cuts_in_two_columns(tmp_path: Path) -> None:
    rows = [
        ["Fabric", "Yardage", "First Cuts", "Next Cuts"],
        ["Sky", "1 yd", '(4) 2½" x WOF\n(2) 3½" x WOF', '(50) 2½" squares\n(20) 3½" squares'],
    ]
    found = pieces(reading(tmp_path, Cutting=rows))
    assert [(one.quantity, one.width) for one in found] == [(50, 2.5), (20, 3.5)]


def test_a_merged_requirement_is_counted_once(tmp_path: Path) -> None:
    rows = [FABRICS, ["Sky", "¼ yd", None, '4 3" squares'], [None, None, None, '5 2" squares']]
    path = book(tmp_path, Cutting=rows)
    workbook = openpyxl.load_workbook(path)
    workbook["Cutting"].merge_cells("A2:A3")
    workbook["Cutting"].merge_cells("B2:B3")
    workbook.save(path)
    read = read_pattern(path)
    assert [one.quantity for one in pieces(read)] == [4, 5]
    assert read.problems == ()


def test_yardage_alone_is_a_pattern_without_pieces(tmp_path: Path) -> None:
    read = reading(
        tmp_path, Fabrics=[["Fabric", "Requirement"], ["Sky", "1¼ yd"], ["Sea", "q yard"]]
    )
    amounts = [fabric.requirement for fabric in read.pattern.fabrics]
    assert amounts[0] is not None
    assert (amounts[0].quantity, amounts[0].unit, amounts[0].length) == (Fraction(5, 4), "yd", 45)
    assert amounts[1] is None
    assert said(read) == ["Fabrics!B3"]


def test_a_number_without_a_unit_is_asked_about_unless_the_heading_says_it(tmp_path: Path) -> None:
    bare = reading(tmp_path, Fabrics=[["Fabric", "Requirement"], ["Sky", 1.25], ["Sea", "1 yd"]])
    assert said(bare) == ["Fabrics!B2"]
    headed = reading(tmp_path, Fabrics=[["Fabric", "Yards"], ["Sky", 1.25]])
    amount = headed.pattern.fabrics[0].requirement
    assert amount is not None
    assert amount.length == 45


SIZES: Rows = [
    ["Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity Throw"],
    ["Sky", "bar", 2, 4, 10, 20],
    ["Sky", "bow", 2, 6, None, 7],
    ["Sea", "keel", 3, 6, 0, "some"],
]


def test_a_missing_or_unknown_size_names_all(tmp_path: Path) -> None:
    for size in (None, "queen"):
        with pytest.raises(UsageError, match="crib, Throw"):
            reading(tmp_path, size, Pieces=SIZES)


def test_blank_and_zero_mean_none_in_a_sizes_column(tmp_path: Path) -> None:
    crib = reading(tmp_path, "CRIB", Pieces=SIZES)
    assert [one.quantity for one in pieces(crib)] == [10]
    assert (said(crib), said(crib, Level.WARNING), crib.pattern.size) == ([], ["Pieces!E3"], "crib")
    assert [one.understood for one in crib.notes][-1] == "none for crib"
    throw = reading(tmp_path, "throw", Pieces=SIZES)
    assert [one.quantity for one in pieces(throw)] == [20, 7]
    assert said(throw) == ["Pieces!F4"]


def test_cuts_labeled_with_another_size_are_asked_about(tmp_path: Path) -> None:
    heads = ["Fabric", "Requirement crib", "Requirement throw", "Cutting instructions"]
    for labeled in ('Crib: 4 squares 5"', 'For the crib size, cut 4 squares 5"'):
        rows = [heads, ["Sky", "1/4 yd", "3/8 yd", labeled]]
        crib = reading(tmp_path, "crib", Fabrics=rows)
        assert (said(crib), [one.quantity for one in crib.pattern.fabrics[0].pieces]) == ([], [4])
        throw = reading(tmp_path, "throw", Fabrics=rows)
        assert (said(throw), throw.pattern.fabrics[0].pieces) == (["Fabrics!D2"], ())


def test_sizes_in_blocks(tmp_path: Path) -> None:
    rows = [["Crib size (40 x 50)"], PIECES, ["Sky", "bar", 2, 4, 3], []]
    rows += [["Throw size (60 x 70)"], PIECES, ["Sky", "bar", 2, 4, 9]]
    read = reading(tmp_path, "throw", Pieces=rows)
    assert read.pattern.sizes == ("Crib", "Throw")
    assert [(one.name, one.quantity) for one in pieces(read)] == [("bar", 9)]
    with pytest.raises(UsageError):
        reading(tmp_path, Pieces=rows)


def test_one_list_twice_without_sizes_is_not_added_up(tmp_path: Path) -> None:
    rows = [PIECES, ["Sky", "bar", 2, 4, 3], [], PIECES, ["Sky", "bar", 2, 4, 9]]
    read = reading(tmp_path, Pieces=rows)
    assert said(read) == ["Pieces!B5"]
    assert [one.quantity for one in pieces(read)] == [3]


def test_sizes_in_brackets(tmp_path: Path) -> None:
    sheets: dict[str, Rows] = {
        "Cutting": [
            ["Fabric", "Requirement", "Cutting instructions"],
            ["Sky", "1½ (⅞) yards", 'cut nine (five) 4½" strips\nCut six (6) 3" squares'],
        ],
        "Facts": [["Size", "throw (crib)"]],
    }
    crib = reading(tmp_path, "crib", **sheets)
    throw = reading(tmp_path, "throw", **sheets)
    assert [one.quantity for one in pieces(crib)] == [5, 6]
    assert [one.quantity for one in pieces(throw)] == [9, 6]
    for read, length in ((crib, Fraction(63, 2)), (throw, 54)):
        amount = read.pattern.fabrics[0].requirement
        assert amount is not None
        assert amount.length == length


def test_size_names_in_a_row_below_the_heading(tmp_path: Path) -> None:
    rows = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity", None],
        [None, None, None, None, "Crib", "Twin"],
        ["Sky", "bar", 2, 4, 3, 8],
    ]
    assert pieces(reading(tmp_path, "twin", Pieces=rows))[0].quantity == 8


def test_a_file_with_nothing_to_cut_is_unreadable(tmp_path: Path) -> None:
    nothing: list[Rows] = [
        [],
        [["Name", "Phone"], ["Ann", "555"]],
        [PIECES],
        [["Fabric", "Requirement"]],
    ]
    for rows in nothing:
        with pytest.raises(UnreadableError) as caught:
            reading(tmp_path, Sheet=rows)
        assert len(str(caught.value).splitlines()) == 1


def test_what_stands_outside_the_tables_is_said(tmp_path: Path) -> None:
    rows = [["Boats"], ['Cut (4) 3" squares'], PIECES, ["Sky", "bar", 2, 4, 3]]
    read = reading(tmp_path, Pieces=rows, Other=[["what", "how much"], ["ribbon", 3]])
    assert said(read) == ["Pieces!A2"]
    assert said(read, Level.WARNING) == ["Other!A1"]


def test_a_csv_file_has_places_without_a_sheet(tmp_path: Path) -> None:
    path = tmp_path / "boats.csv"
    path.write_text(
        "Fabric;Piece;Cut width;Cut length;Quantity\nSky;bar;2,5;4,5;4\nSky;bow;2;4;none\n",
        encoding="utf-8",
    )
    read = read_pattern(path)
    assert [(one.width, one.where.address) for one in pieces(read)] == [(2.5, "B2")]
    assert said(read) == ["E3"]


@pytest.mark.parametrize(
    ("text", "quantity", "unit"),
    [
        *(("1¼ yards", Fraction(5, 4), "yd"), ("2-1/8 yds.", Fraction(17, 8), "yd")),
        *(
            ("60 cm", 60, "cm"),
            ("1.10m.", Fraction(11, 10), "m"),
            ("¾ yard total", Fraction(3, 4), "yd"),
        ),
        *(("9″ inner border", 9, "in"), ("5 1/2″ yards backing", Fraction(11, 2), "yd")),
        *(("12 fat quarters", 12, "fat-quarter"), ("7FQs", 7, "fat-quarter")),
        *(("Fat Quarter", 1, "fat-quarter"), ("3.5 FQs", Fraction(7, 2), "fat-quarter")),
        *(("2 panels", 2, "panel"), ("1 pack of 5-inch squares", 1, "pack")),
        *(
            ('30--precut 2-1⁄2 ×42" strips', 30, "strip-2.5"),
            ('16 dark 5" squares', 16, "square-5"),
        ),
        *(("(3) ⅔ yard cuts", 2, "yd"), ("¼ yard each of 6 prints", Fraction(3, 2), "yd")),
        *(
            ("2.5m (2 3/4yd)", Fraction(11, 4), "yd"),
            ('9--18×22" pieces (fat quarters)', 9, "fat-quarter"),
        ),
        *(('81x98"', 1, "piece"), ("1 Fat Quarter each of 8 prints", 8, "fat-quarter")),
    ],
)
def test_amounts_as_they_are_written(text: str, quantity: Fraction, unit: str) -> None:
    amount = read_amount(text).amount
    assert (amount.as_written, amount.quantity, amount.unit) == (text, quantity, unit)


@pytest.mark.parametrize(
    "text",
    [
        *("some", "scraps", "q yard", "-1 yd", "0 yd", "1.25", "2 m (1 yd)", "11/4 yards"),
        *("5 fat quarters or 1 yd", "1 yard each black and white", "¾ yard total each red, green"),
        *("(3) ⅔ yard cuts or (1) 1¾ yard cut", "90 cm + 40 cm if two fabrics", "1½-inch strips"),
    ],
)
def test_an_amount_that_is_not_sure_is_refused(text: str) -> None:
    with pytest.raises(AmountError):
        read_amount(text)


@pytest.mark.parametrize(
    ("text", "role", "quantity"),
    [
        ("⅓ yd each of S and T", "T", Fraction(1, 3)),
        ("⅓ yd each of S and T", "Trim", Fraction(2, 3)),
        ("2 fat quarters each plum, olive and wheat prints", "Olive print", 2),
        ("2 fat quarters each plum, olive and wheat prints", "Prints", 6),
        ("45 cm of Fabrics 4 and 6", "Fabric 6", 45),
        ("not less than 12 in of each fabric", "Navy", 12),
        ("at least 12 in of each fabric", "Navy", 12),
    ],
)
def test_an_amount_of_each_listed_fabric_is_that_ones_and_said(
    text: str, role: str, quantity: Fraction
) -> None:
    read = read_amount(text, role=role)
    assert read.amount.quantity == quantity
    assert "so much of each" in read.warning


def test_an_amount_of_each_is_refused_where_their_number_is_not_sure() -> None:
    for text in ("½ yd each print", "½ yd of each print", "30 cm of Fabrics 4 and 6", "½ yd each"):
        with pytest.raises(AmountError):
            read_amount(text, role="Fabric 2")

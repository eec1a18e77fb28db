"""Slips that people make in a workbook's tables: each is read right, asked about or said.

A misspelled name, a copied sheet, a lost row of headings, what is struck through or hidden.
"""

from __future__ import annotations

import time
import zipfile
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest
from books import write
from openpyxl.styles import Font

from kitmaker.errors import Level, UnreadableError
from kitmaker.files import draft
from kitmaker.pattern import PatternReading
from kitmaker.reading.requirements import read_pattern
from kitmaker.reading.slips import is_slip

HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
FABRICS = (("Fabric", "Requirement"), ("Moss", "1/4 yd"), ("Background", "3/8 yd"))
ROWS = (("Moss", "A", 3, 3, 12), ("Moss", "B", 2, 5, 8), ("Background", "C", 4, 4, 20))
AS_WRITTEN = (
    ("Fabric", "Requirement", "Cutting instructions"),
    ("Moss", "1 yd", '(12) 3" squares'),
    ("Background", "2 yd", '(20) 4" squares'),
)
Rows = Sequence[Sequence[object]]


def reading(folder: Path, size: str | None = None, **sheets: Rows) -> PatternReading:
    return read_pattern(write(folder / "harbor.xlsx", sheets), size)


def cells(read: PatternReading, level: Level = Level.ERROR) -> list[str]:
    return [one.location.address for one in read.problems if one.level is level and one.location]


def counts(read: PatternReading) -> dict[str, int]:
    return {one.role: sum(piece.quantity for piece in one.pieces) for one in read.pattern.fabrics}


# names


@pytest.mark.parametrize(
    ("one", "other"),
    [("Mos", "Moss"), ("Re", "Red"), ("Backgruond", "Background"), ("Dark bleu", "Dark blue")],
)
def test_a_name_one_slip_from_another_is_known(one: str, other: str) -> None:
    assert is_slip(one, other)
    assert is_slip(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        *(("Print 1", "Print 2"), ("Red", "Dark red"), ("Fabric A", "Fabric B"), ("Pink", "Ink")),
        *(("Light", "Lighter"), ("Inner border", "Outer border"), ("Rail I", "Rail II")),
    ],
)
def test_honest_pairs_of_names_are_two(one: str, other: str) -> None:
    assert not is_slip(one, other)


def test_a_misspelled_fabric_is_an_error_beside_a_table_of_fabrics(tmp_path: Path) -> None:
    rows = (HEADS, *ROWS, ("Mos", "D", 3, 3, 4))
    read = reading(tmp_path, Pieces=rows, Fabrics=FABRICS)
    (told,) = [one for one in read.problems if one.is_error]
    assert (told.location.address if told.location else "", told.suggestion) == (
        "Pieces!A5",
        "Did you mean 'Moss'?",
    )


def test_a_misspelled_fabric_without_a_table_is_a_warning_with_both(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(HEADS, *ROWS, ("Backgruond", "D", 3, 3, 4)))
    (told,) = read.problems
    assert cells(read, Level.WARNING) == ["Pieces!A5"]
    assert "'Background' (Pieces!A4)" in told.message


def test_a_ditto_in_the_fabric_column_is_the_fabric_above(tmp_path: Path) -> None:
    rows = (HEADS, ROWS[0], ("as above", "B", 2, 5, 8), ('"', "C", 2, 6, 9))
    read = reading(tmp_path, Pieces=rows)
    assert counts(read) == {"Moss": 29}
    assert cells(read, Level.WARNING) == ["Pieces!A3"]


# sizes

SIZED = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw")


@pytest.mark.parametrize("size", ["crib", "throw"])
def test_a_slip_in_a_sizes_heading_is_an_error(tmp_path: Path, size: str) -> None:
    heads = (*SIZED[:5], "Quantity trow")
    fabrics = (("Fabric", "Requirement crib", "Requirement throw"), ("Moss", "1 yd", "2 yd"))
    read = reading(tmp_path, size, Pieces=(heads, ("Moss", "A", 3, 3, 4, 9)), Fabrics=fabrics)
    assert cells(read) == ["Pieces!F1"]


def test_a_table_without_a_column_for_the_chosen_size_is_an_error(tmp_path: Path) -> None:
    fabrics = (("Fabric", "Requirement crib", "Requirement king"), ("Moss", "1 yd", "2 yd"))
    read = reading(tmp_path, "king", Pieces=(SIZED, ("Moss", "A", 3, 3, 4, 9)), Fabrics=fabrics)
    assert cells(read)[0] == "Pieces!E1"


def test_two_sizes_spelled_alike_in_every_table_are_two(tmp_path: Path) -> None:
    heads = (*SIZED[:4], "Quantity mini", "Quantity midi")
    read = reading(tmp_path, "midi", Pieces=(heads, ("Moss", "A", 3, 3, 4, 9)))
    assert (counts(read), read.problems) == ({"Moss": 9}, ())


def test_a_blank_amount_in_a_size_is_named_by_its_cell(tmp_path: Path) -> None:
    fabrics = (("Fabric", "Requirement crib", "Requirement throw"), ("Moss", None, "2 yd"))
    read = reading(tmp_path, "crib", Pieces=(SIZED, ("Moss", "A", 3, 3, 4, 9)), Fabrics=fabrics)
    assert cells(read, Level.WARNING) == ["Fabrics!B2"]


# what nobody read


def test_a_sheet_without_its_headings_is_an_error(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=ROWS, Fabrics=FABRICS)
    assert cells(read) == ["Pieces!A1"]
    assert "A1 to A3" in next(one.message for one in read.problems if one.is_error)
    elsewhere = reading(tmp_path, Sheet1=ROWS, Fabrics=FABRICS)
    assert cells(elsewhere) == ["Sheet1!A1"]


def test_rows_above_the_headings_are_no_silent_notes(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=(ROWS[0], (), HEADS, *ROWS[1:]))
    assert cells(read) == ["Pieces!A1"]


def test_a_persons_own_figures_are_only_warned_of(tmp_path: Path) -> None:
    read = reading(
        tmp_path, Pieces=(HEADS, *ROWS), Jottings=(("fee", 3, "paid"), ("bags", 2, "buy"))
    )
    assert (cells(read), cells(read, Level.WARNING)) == ([], ["Jottings!A1"])


def test_a_misspelled_label_of_a_fact_is_an_error(tmp_path: Path) -> None:
    read = reading(tmp_path, Pattern=(("Unti", "cm"),), Pieces=(HEADS, *ROWS))
    assert cells(read) == ["Pattern!A1"]
    assert "Did you mean 'Unit'?" in [one.suggestion for one in read.problems]


def test_a_finishing_sheet_by_another_name_is_an_error(tmp_path: Path) -> None:
    finishing = (("Quilt width", 54), ("Quilt length", 63), ("Binding width", 2.5))
    read = reading(tmp_path, Pieces=(HEADS, *ROWS), Finish=finishing)
    assert cells(read) == ["Finish!A1"]


# copies


@pytest.mark.parametrize("name", ["Old", "Pieces (2)", "Copy of Pieces", "Sheet2"])
@pytest.mark.parametrize("rows", [(HEADS, *ROWS), AS_WRITTEN, FABRICS])
def test_a_copied_sheet_is_one_error_that_names_both(tmp_path: Path, name: str, rows: Rows) -> None:
    alone = reading(tmp_path, Pieces=rows)
    read = reading(tmp_path, Pieces=rows, **{name: rows})
    assert cells(read) == [f"{name}!A1"]
    assert "Pieces!A1" in next(one.message for one in read.problems if one.is_error)
    assert counts(read) == counts(alone)


def test_an_older_version_is_a_copy_where_its_sheets_name_says_so(tmp_path: Path) -> None:
    older = (AS_WRITTEN[0], ("Moss", "1½ yd", '(14) 3½" squares'))
    read = reading(tmp_path, Cutting=AS_WRITTEN, **{"Cutting v1": older})
    assert cells(read) == ["Cutting v1!A1"]


def test_two_tables_with_some_fabrics_in_common_are_no_copies(tmp_path: Path) -> None:
    borders = (AS_WRITTEN[0][::2], ("Moss", '(4) 4" x WOF strips'))
    read = reading(tmp_path, Blocks=AS_WRITTEN, Borders=borders)
    assert cells(read) == []
    assert counts(read)["Moss"] == 16


# what a sheet shows beside its values


def test_what_is_struck_through_is_read_and_named_by_its_cell(tmp_path: Path) -> None:
    path = write(tmp_path / "harbor.xlsx", {"Pieces": (HEADS, *ROWS)})
    book = openpyxl.load_workbook(path)
    for cell in book["Pieces"][3]:
        cell.font = Font(strike=True)
    book.save(path)
    read = read_pattern(path)
    assert (counts(read)["Moss"], cells(read, Level.WARNING)) == (20, ["Pieces!A3"])


def test_a_hidden_column_is_read_and_named(tmp_path: Path) -> None:
    path = write(tmp_path / "harbor.xlsx", {"Pieces": (HEADS, *ROWS)})
    book = openpyxl.load_workbook(path)
    book["Pieces"].column_dimensions["E"].hidden = True
    book.save(path)
    read = read_pattern(path)
    assert (counts(read)["Moss"], cells(read, Level.WARNING)) == (20, ["Pieces!E1"])


# large files


def test_stray_values_by_the_thousand_are_refused_in_seconds(tmp_path: Path) -> None:
    rows = (HEADS, *ROWS, (), *([1] for _ in range(20_000)))
    path = write(tmp_path / "harbor.xlsx", {"Pieces": rows})
    start = time.monotonic()
    with pytest.raises(UnreadableError, match="more rows than a pattern needs"):
        read_pattern(path)
    assert time.monotonic() - start < 20


def test_one_name_a_thousand_times_and_a_wide_row_take_seconds(tmp_path: Path) -> None:
    rows = (HEADS, *(("Moss", "A", 3, 3, 1) for _ in range(1_500)), tuple(range(1_000)))
    path = write(tmp_path / "harbor.xlsx", {"Pieces": rows})
    start = time.monotonic()
    assert counts(read_pattern(path))["Moss"] == 1_500
    assert time.monotonic() - start < 20


def test_a_thousand_fabrics_are_refused(tmp_path: Path) -> None:
    rows = (HEADS, *((f"cloth {at}", "A", 3, 3, 1) for at in range(1_001)))
    with pytest.raises(UnreadableError, match="more than 1000 fabrics"):
        reading(tmp_path, Pieces=rows)


# sizes, headings, merged cells and sheets, continued


@pytest.mark.parametrize(
    ("heads", "place"),
    [
        ((*SIZED[:5], "Quantity crib"), "Pieces!E1"),  # one size twice
        ((*SIZED[:5], "Quantity"), "Pieces!F1"),  # a size lost
        ((*SIZED[:5], None), "Pieces!F1"),
        ((*SIZED[:5], 12), "Pieces!F1"),
    ],
)
def test_a_sizes_heading_that_is_doubled_or_lost_is_an_error(
    tmp_path: Path, heads: Sequence[object], place: str
) -> None:
    read = reading(tmp_path, "crib", Pieces=(heads, ("Moss", "A", 3, 3, 4, 9)))
    assert place in cells(read)


@pytest.mark.parametrize("heading", ["Quantity of squares", "Number of pieces to cut", "Quantity"])
def test_a_heading_that_says_what_is_counted_names_no_size(tmp_path: Path, heading: str) -> None:
    read = reading(tmp_path, Pieces=((*HEADS[:4], heading), *ROWS))
    assert (read.pattern.size, read.problems) == (None, ())


def test_values_without_headings_are_one_error_for_columns_side_by_side(tmp_path: Path) -> None:
    rows = (*ROWS[:2], (*ROWS[2], *(1,) * 200, None, 7))
    read = reading(tmp_path, Pieces=(HEADS, *rows))
    assert cells(read) == ["Pieces!F1", "Pieces!GY1"]


def test_a_lone_word_behind_a_heading_is_a_size_that_is_told(tmp_path: Path) -> None:
    read = reading(tmp_path, Pieces=((*HEADS[:4], "Quantity harbor"), *ROWS))
    assert (read.pattern.size, cells(read, Level.WARNING)) == ("harbor", ["Pieces!E1"])


def test_shapes_under_a_heading_that_was_typed_over_are_an_error(tmp_path: Path) -> None:
    shape = "square cut once on the diagonal"
    read = reading(tmp_path, Pieces=((*HEADS, "see p. 3"), (*ROWS[0], shape)))
    assert cells(read) == ["Pieces!F1"]


def test_a_cell_merged_over_two_counts_or_two_measures_is_told(tmp_path: Path) -> None:
    path = write(tmp_path / "harbor.xlsx", {"Pieces": (HEADS, *ROWS)})
    book = openpyxl.load_workbook(path)
    book["Pieces"].merge_cells("E2:E3")
    book["Pieces"].merge_cells("C4:D4")
    book.save(path)
    assert cells(read_pattern(path), Level.WARNING) == ["Pieces!E2", "Pieces!C4"]


def test_many_hidden_rows_are_said_as_ranges_and_a_few_at_most(tmp_path: Path) -> None:
    rows = [("Fabric", "Piece", "Cut width", "Cut length", "Quantity")]
    rows += [("Sand", f"P{at}", 2, 3, 4) for at in range(2, 40)]
    path = write(tmp_path / "dune.xlsx", {"Pieces": rows})
    book = openpyxl.load_workbook(path)
    for row in (*range(2, 9), 12, *range(15, 18), 20, 22, 24):
        book["Pieces"].row_dimensions[row].hidden = True
    book.save(path)
    (told,) = (one for one in read_pattern(path).problems if "hidden rows" in one.message)
    assert "(A2 to A8, A12, A15 to A17, A20 and 2 more)" in told.message


def test_a_row_of_a_thousand_cells_is_shown_shortened(tmp_path: Path) -> None:
    rows = [("Fabric", "Piece", "Cut width", "Cut length", "Quantity")]
    rows += [("Sand", "P", 2, 3, 4, *range(1, 1000))]
    read = read_pattern(write(tmp_path / "dune.xlsx", {"Pieces": rows}))
    assert [len(note.words) < 100 for note in read.notes if note.role == "Sand"] == [True]


@pytest.mark.parametrize(("width", "length"), [("5 yd", 4), ("5 yd", "WOF")])
def test_a_cut_width_in_yards_is_asked_about(tmp_path: Path, width: str, length: object) -> None:
    rows = [("Fabric", "Piece", "Cut width", "Cut length", "Quantity")]
    rows += [("Sand", "P", width, length, 4)]
    read = read_pattern(write(tmp_path / "dune.xlsx", {"Pieces": rows}))
    assert [one.message for one in read.problems if one.is_error] == [
        "the cut width '5 yd' is in yards, as an amount is"
    ]


def test_a_piece_wider_than_any_cloth_both_ways_is_asked_about(tmp_path: Path) -> None:
    rows = [
        ("Fabric", "Cutting"),
        ("Sand", "Cut 8 squares 5 yd"),
        ("Rust", 'Cut 1 panel 9" x 5 yd'),
    ]
    read = read_pattern(write(tmp_path / "dune.xlsx", {"Cutting": rows}))
    (problem,) = [one for one in read.problems if one.is_error]
    assert "180 in is too large to be believed" in problem.message
    assert str(problem.location) == "dune.xlsx, sheet 'Cutting', cell B2"


def test_sizes_in_headings_stand_in_the_order_of_their_first_column(tmp_path: Path) -> None:
    rows = [
        ("Fabric", "Requirement lap", "Requirement crib", "Cutting lap", "Cutting crib"),
        ("Sand", "2 yd", "1 yd", '8 squares 5"', '4 squares 5"'),
    ]
    path = write(tmp_path / "dune.xlsx", {"Fabrics": rows})
    assert read_pattern(path, size="crib").pattern.sizes == ("lap", "crib")


def test_a_hidden_sheet_with_a_table_is_told_and_an_error_where_it_is_the_only_one(
    tmp_path: Path,
) -> None:
    path = write(tmp_path / "harbor.xlsx", {"Pieces": (HEADS, *ROWS), "Fabrics": FABRICS})
    book = openpyxl.load_workbook(path)
    book.copy_worksheet(book["Pieces"]).sheet_state = "hidden"
    book.save(path)
    assert cells(read_pattern(path), Level.WARNING) == ["Pieces Copy"]
    book["Pieces"].sheet_state = "hidden"
    book.save(path)
    assert cells(read_pattern(path)) == ["Pieces", "Pieces Copy"]


def test_an_example_among_the_tables_is_asked_about(tmp_path: Path) -> None:
    rows = (*AS_WRITTEN, (), ("Example",), AS_WRITTEN[0], ("Snow", "3 yd", '(4) 2" squares'))
    read = reading(tmp_path, Cutting=rows)
    assert cells(read) == ["Cutting!A5"]
    assert "Example" not in counts(read)


def test_a_fabric_named_with_a_word_more_is_taken_for_the_one_and_told(tmp_path: Path) -> None:
    rows = (HEADS, *ROWS, ("Moss fabric", "D", 3, 5, 4))
    read = reading(tmp_path, Pieces=rows, Fabrics=FABRICS)
    assert (counts(read)["Moss"], cells(read, Level.WARNING)) == (24, ["Pieces!A5"])


@pytest.mark.parametrize(
    "typed",
    ["4+2", "4 pairs", "2x4", "4 dozen", "~4", "4 or 5", "12 (24)", "4 per block", "40/2", "4*"],
)
def test_a_count_that_may_be_another_is_never_guessed(tmp_path: Path, typed: str) -> None:
    read = reading(tmp_path, Pieces=(HEADS, (*ROWS[0][:4], typed)))
    assert (cells(read), counts(read)) == (["Pieces!E2"], {"Moss": 0})


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_more_columns_than_a_table_needs_are_refused(tmp_path: Path, ending: str) -> None:
    wide = tmp_path / f"wide{ending}"
    row = [*HEADS, *["x"] * 1_100]
    if ending == ".csv":
        wide.write_text(",".join(row), encoding="utf-8")
    else:
        write(wide, {"Pieces": (row,)})
    with pytest.raises(UnreadableError, match="more columns"):
        read_pattern(wide)


def test_more_sizes_than_a_pattern_has_are_refused_at_once(tmp_path: Path) -> None:
    sizes = tuple(f"Quantity number {at}" for at in range(1_000))
    path = write(tmp_path / "sizes.xlsx", {"Pieces": ((*HEADS[:4], *sizes), *ROWS)})
    for read in (read_pattern, draft):
        with pytest.raises(UnreadableError, match="more than 60 sizes"):
            read(path)


def test_more_empty_rows_than_a_spreadsheet_needs_are_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "tall.xlsx", {"Pieces": (HEADS, *ROWS)})
    rows = b"".join(b'<row r="%d" ht="15"/>' % at for at in range(9, 120_000))
    with zipfile.ZipFile(path) as book:
        members = {one.filename: book.read(one) for one in book.infolist()}
    sheet = "xl/worksheets/sheet1.xml"
    members[sheet] = members[sheet].replace(b"</sheetData>", rows + b"</sheetData>")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in members.items():
            book.writestr(name, content)
    with pytest.raises(UnreadableError, match="more cells"):
        read_pattern(path)


@pytest.mark.parametrize("typed", ["-", "?"])
def test_a_sign_in_the_fabric_column_is_no_fabric(tmp_path: Path, typed: str) -> None:
    read = reading(tmp_path, Pieces=(HEADS, ROWS[0], (typed, "B", 2, 5, 8)))
    assert (cells(read), counts(read)) == (["Pieces!A3"], {"Moss": 12})


def test_two_sizes_named_over_one_column_of_counts_are_told(tmp_path: Path) -> None:
    read = reading(tmp_path, Pattern=(("Size", "crib or throw"),), Pieces=(HEADS, *ROWS))
    assert cells(read, Level.WARNING) == ["Pattern!B1"]


def test_words_of_quantity_behind_an_amount_and_in_a_size_are_asked_about(tmp_path: Path) -> None:
    fabrics = (FABRICS[0], ("Moss", "1/4 yd (not needed)"), FABRICS[2])
    read = reading(
        tmp_path, Pattern=(("Size", "throw x2"),), Pieces=(HEADS, *ROWS), Fabrics=fabrics
    )
    # The amount itself has more than one reading too; its cuts are read.
    warned = ["Pattern!B1", "Fabrics!B2"]
    assert (cells(read), cells(read, Level.WARNING)) == (["Fabrics!B2"], warned)

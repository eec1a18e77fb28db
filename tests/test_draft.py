"""A draft gives its source's pieces, loses no line of it, and waits where a person must choose."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections import Counter
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from books import write
from cases.written import LAYOUTS, WrittenFabric, write_written, written_patterns, written_phrases
from click.testing import CliRunner
from fuzz.effort import IS_DEEP
from headless import lacking

import kitmaker as km
from kitmaker.cli import main
from kitmaker.drafts import Draft
from kitmaker.pattern import Piece
from kitmaker.reading.requirements import read_pattern

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
PATTERNS = [
    path
    for path in sorted(SAMPLES.iterdir())
    if path.suffix in (".xlsx", ".csv") and "class" not in path.name and "shop" not in path.name
]


def run(*arguments: object) -> Any:
    return CliRunner().invoke(main, ["draft", *map(str, arguments)])


def book_of(tmp_path: Path, rows: list[list[object]], name: str = "source.xlsx") -> Path:
    return write(tmp_path / name, {"Sheet": rows})


def as_written(tmp_path: Path, *lines: str, amount: str = "2 yd") -> Path:
    head = ["Fabric", "Requirement", "Cutting instructions"]
    return book_of(tmp_path, [head, ["Fern", amount, "\n".join(lines)]])


def settled(path: Path, cell: str, words: str) -> Path:
    """Type words into a cell of a draft, as a person does."""
    book = openpyxl.load_workbook(path)
    sheet, _, place = cell.partition("!")
    book[sheet][place] = words
    book.save(path)
    return path


def seen(role: str, piece: Piece) -> tuple[object, ...]:
    sizes = (piece.width, piece.length, piece.quantity, piece.from_each, piece.cross_cut)
    ways = (piece.shape, piece.kind, piece.direction, piece.print_group)
    joins = (piece.join, piece.is_joined)
    return (role, " ".join(piece.name.split()), *sizes, *ways, *joins)


def pieces_of(reading: km.PatternReading) -> Counter[tuple[object, ...]]:
    return Counter(seen(one.role, piece) for one in reading.pattern.fabrics for piece in one.pieces)


def assert_same_pieces(draft: Draft, path: Path) -> None:
    for size, reading in zip(draft.sizes or (None,), draft.readings, strict=True):
        back = read_pattern(path, size)
        assert pieces_of(back) == pieces_of(reading)
        has_errors = any(problem.is_error for problem in back.problems)
        assert has_errors == bool(draft.open_rows)


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.name)
def test_a_samples_draft_gives_its_pieces_in_every_size(path: Path, tmp_path: Path) -> None:
    draft = km.draft(path)
    km.write_draft(draft, tmp_path / "draft.xlsx")
    assert_same_pieces(draft, tmp_path / "draft.xlsx")
    assert draft.open_rows == ()


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_written_patterns_draft_gives_its_pieces(layout: str, tmp_path: Path) -> None:
    """Each fabric once from words, in one cell or many, and once from a table of either kind."""
    together: list[WrittenFabric] = []
    for number, fabrics in enumerate(written_patterns().values()):
        for fabric in fabrics:
            fabric.role = f"{fabric.role} no. {number}"
        together.extend(fabrics)
    if layout != "yardage only" and not IS_DEEP:
        together = together[LAYOUTS.index(layout) % 2 :: 2]
    for at in range(0, len(together), 250):
        write_written(together[at : at + 250], layout, tmp_path / "source.xlsx")
        draft = km.draft(tmp_path / "source.xlsx")
        km.write_draft(draft, tmp_path / f"draft-{at}.xlsx")
        assert_same_pieces(draft, tmp_path / f"draft-{at}.xlsx")


def test_a_written_phrases_draft_gives_its_pieces(tmp_path: Path) -> None:
    phrases = written_phrases()
    for at in range(0, len(phrases), 300):
        rows: list[list[object]] = [["Fabric", "Cutting instructions", "Prints"]]
        for number, (facts, words, _) in enumerate(phrases[at : at + 300]):
            prints = facts.get("prints") or facts.get("cloths")
            rows.append([f"Cloth {number}", words.replace(" // ", "\n"), prints])
        draft = km.draft(book_of(tmp_path, rows))
        km.write_draft(draft, tmp_path / f"draft-{at}.xlsx")
        assert_same_pieces(draft, tmp_path / f"draft-{at}.xlsx")


def test_several_sizes_stand_side_by_side_unless_one_is_asked_for(tmp_path: Path) -> None:
    rows = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw"],
        ["Fern", "A", "2 1/2", "4 1/2", 12, 30],
        ["Fern", "B", 3, 3, None, 8],
    ]
    draft = km.draft(book_of(tmp_path, rows))
    assert draft.sizes == ("crib", "throw")
    counts = [(row.cell("Quantity crib"), row.cell("Quantity throw")) for row in draft.pieces]
    assert counts == [("12", "30"), ("0", "8")]
    alone = km.draft(tmp_path / "source.xlsx", size="Throw")
    assert (alone.size, alone.sizes) == ("throw", ())
    assert [row.cell("Quantity") for row in alone.pieces] == ["30", "8"]


def test_every_line_of_the_source_stands_on_a_sheet(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Clover Lane"],
        ["Fabric", "Requirement", "Cutting instructions", "Shade"],
        ["Fern", "1 yd", "Cut (2) 3 1/2\" x WOF strips.\nSub-cut (20) 3 1/2\" squares.", "deep"],
        ["Moss", "1/2 yd", "Press well.\nCut some squares 5\"."],
        [],
        ["Wash nothing."],
        ["Total", "1 1/2 yd"],
    ]  # fmt: skip
    draft = km.draft(book_of(tmp_path, rows))
    km.write_draft(draft, tmp_path / "draft.xlsx")
    book = openpyxl.load_workbook(tmp_path / "draft.xlsx")
    cells = [str(cell.value) for sheet in book for row in sheet for cell in row if cell.value]
    for row in rows:
        for line in (line for text in row for line in str(text).split("\n")):
            assert any(line in cell for cell in cells), line


def test_what_confirms_a_row_stands_beside_it(tmp_path: Path) -> None:
    source = as_written(
        tmp_path, 'Cut 40 squares 2 1/2" (40 in all).', 'Cut 2 rectangles 3" x 5".', amount=""
    )
    assert [row.how_sure for row in km.draft(source).pieces] == ["total agrees", "plain"]


TRIM = 'Trim the panel to 24 1/2" x 42 1/2".'
VAGUE = 'Cut some squares 5".'


@pytest.mark.parametrize(("chosen", "sizes"), [(0, [(24.5, 42.5, 1)]), (1, [])])
def test_a_choice_is_obeyed(
    chosen: int, sizes: list[tuple[float, float, int]], tmp_path: Path
) -> None:
    draft = km.draft(as_written(tmp_path, TRIM, 'Cut 2 squares 3".'))
    km.write_draft(draft, tmp_path / "draft.xlsx")
    (row,) = draft.open_rows
    assert (row.how_sure, len(row.readings)) == ("choose", 2)
    settled(tmp_path / "draft.xlsx", row.where, row.readings[chosen])
    read = read_pattern(tmp_path / "draft.xlsx")
    assert not [problem for problem in read.problems if problem.is_error]
    found = [(one.width, one.length, one.quantity) for one in read.pattern.fabrics[0].pieces]
    assert sorted(found) == sorted([(3, 3, 2), *sizes])


def test_a_row_is_settled_once_its_blank_cells_are_typed(tmp_path: Path) -> None:
    draft = km.draft(as_written(tmp_path, VAGUE))
    km.write_draft(draft, tmp_path / "draft.xlsx")
    (row,) = draft.open_rows
    assert (row.how_sure, row.where) == ("fill in", "Pieces!C2")
    for cell, words in (("C2", "5"), ("D2", "5"), ("E2", "12")):
        assert any(problem.is_error for problem in read_pattern(tmp_path / "draft.xlsx").problems)
        settled(tmp_path / "draft.xlsx", f"Pieces!{cell}", words)
    read = read_pattern(tmp_path / "draft.xlsx")
    assert not [problem for problem in read.problems if problem.is_error]
    assert [one.quantity for one in read.pattern.fabrics[0].pieces] == [12]


@pytest.mark.parametrize(("line", "cell"), [(TRIM, "Pieces!N2"), (VAGUE, "Pieces!C2")])
def test_an_open_row_is_an_error_that_names_its_cell(line: str, cell: str, tmp_path: Path) -> None:
    km.write_draft(km.draft(as_written(tmp_path, line)), tmp_path / "draft.xlsx")
    checked = CliRunner().invoke(main, ["check", str(tmp_path / "draft.xlsx"), "--json"])
    assert checked.exit_code == 1
    problems = json.loads(checked.stdout)["problems"]
    assert [one["where"] for one in problems if one["level"] == "error"] == [cell]


def test_the_words_a_row_came_from_and_the_left_over_sheet_are_never_read(tmp_path: Path) -> None:
    draft = km.draft(as_written(tmp_path, 'Cut 2 squares 3".'))
    km.write_draft(draft, tmp_path / "draft.xlsx")
    for cell in ("Pieces!L2", "Pieces!O2", "Left over!A9", "Left over!B9"):
        settled(tmp_path / "draft.xlsx", cell, 'Cut 99 squares 8" from each of 12 prints.')
    assert_same_pieces(draft, tmp_path / "draft.xlsx")


def test_joined_in_a_tidy_row_is_one_length(tmp_path: Path) -> None:
    head = ["Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape"]
    joined = read_pattern(book_of(tmp_path, [head, ["Fern", "binding", 2.5, 612, 1, "joined"]]))
    (piece,) = joined.pattern.fabrics[0].pieces
    assert (piece.kind, piece.width, piece.length) == ("joined", 2.5, 612)
    twice = read_pattern(book_of(tmp_path, [head, ["Fern", "binding", 2.5, 300, 2, "joined"]]))
    assert [problem.is_error for problem in twice.problems] == [True]
    assert twice.pattern.fabrics[0].pieces == ()


def test_the_length_that_a_finishing_sheet_asks_strips_for_stays_in_the_draft(
    tmp_path: Path,
) -> None:
    rows: list[list[object]] = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity"],
        ["Fern", "binding", 2.5, "WOF", 7],
    ]
    book = openpyxl.load_workbook(book_of(tmp_path, rows))
    sheet = book.create_sheet("Finishing")
    for row in (
        ["Quilt width", 60], ["Quilt length", 70], ["Binding", "yes"], ["Binding width", 2.5],
        ["Binding allowance", 10], ["Binding fabric", "Fern"],
    ):  # fmt: skip
        sheet.append(row)
    book.save(tmp_path / "source.xlsx")
    km.write_draft(km.draft(tmp_path / "source.xlsx"), tmp_path / "draft.xlsx")
    for name in ("source.xlsx", "draft.xlsx"):
        (piece,) = read_pattern(tmp_path / name).pattern.fabrics[0].pieces
        assert (piece.kind, piece.quantity, piece.is_joined, piece.run) == ("strip", 7, True, 270)


def test_only_whole_strips_are_sewn_to_a_length(tmp_path: Path) -> None:
    head = ["Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Join"]
    read = read_pattern(book_of(tmp_path, [head, ["Fern", "A", 2.5, 8, 7, 270]]))
    assert [problem.location.cell for problem in read.problems if problem.location] == ["F2"]
    assert read.pattern.fabrics[0].pieces == ()


@pytest.mark.parametrize("name", ["notes.md", "page.odt", "page"])
def test_a_kind_that_is_not_read_is_told_which_kinds_are(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_text("Cut 4 squares 3 inches", encoding="utf-8")
    done = run(tmp_path / name)
    assert done.exit_code == 3
    assert all(kind in done.output for kind in (".docx", ".txt", ".pdf", ".xlsx", ".ods", ".csv"))


def test_a_number_of_prints_that_the_fabric_contradicts_is_asked_about(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity"],
        ["Fern", "A", 3, 3, "4 from each of 9 prints"],
    ]
    book = openpyxl.load_workbook(book_of(tmp_path, rows))
    for row in (["Fabric", "Requirement"], ["Fern", "6 fat quarters"]):
        book.create_sheet("Fabrics") if "Fabrics" not in book.sheetnames else None
        book["Fabrics"].append(row)
    book.save(tmp_path / "source.xlsx")
    read = read_pattern(tmp_path / "source.xlsx")
    assert [problem.is_error for problem in read.problems] == [True]


def test_an_error_of_the_source_that_is_no_line_is_an_open_row(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Quantity (pairs)"],
        ["Fern", "A", 3, 3, 4, 2],
    ]
    draft = km.draft(book_of(tmp_path, rows))
    assert [row.how_sure for row in draft.open_rows] == ["fill in"]
    km.write_draft(draft, tmp_path / "draft.xlsx")
    assert_same_pieces(draft, tmp_path / "draft.xlsx")


def test_a_blank_cell_of_a_tidy_row_is_all_that_is_left_to_fill_in(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Fabric", "Piece", "Cut width", "Cut length", "Quantity"],
        ["Fern", "A", 3, 4.5, None],
    ]
    (row,) = km.draft(book_of(tmp_path, rows)).open_rows
    assert (row.cell("Cut width"), row.cell("Cut length"), row.where) == ("3", "4 1/2", "Pieces!E2")


@pytest.mark.parametrize(
    ("lines", "code"), [(['Cut 2 squares 3".'], 0), ([VAGUE], 1), (["Press well."], 0)]
)
def test_the_exit_code_says_whether_rows_are_open(
    lines: list[str], code: int, tmp_path: Path
) -> None:
    source = as_written(tmp_path, *lines)
    done = run(source, "--out", tmp_path / "draft.xlsx", "--json")
    assert done.exit_code == code, done.output
    told = json.loads(done.stdout)
    assert told["file"] == "draft.xlsx"
    assert {"schema", "unit", "fabrics", "open", "left_over", "problems"} <= set(told)
    assert len(told["open"]) == code
    assert all(one["where"].startswith("Pieces!") for one in told["open"])


def test_nothing_that_is_there_is_overwritten(tmp_path: Path) -> None:
    source = as_written(tmp_path, 'Cut 2 squares 3".')
    before = source.read_bytes()
    assert run(source, "--out", source).exit_code == 4
    (tmp_path / "page.html").write_text("mine", encoding="utf-8")
    done = run(source, "--out", tmp_path / "new.xlsx", "--page", tmp_path / "page.html")
    assert done.exit_code == 4
    assert not (tmp_path / "new.xlsx").exists()
    assert source.read_bytes() == before


def test_the_page_begins_with_what_only_a_person_can_settle(tmp_path: Path) -> None:
    source = as_written(tmp_path, VAGUE, 'Cut 2 squares 3".')
    run(source, "--out", tmp_path / "draft.xlsx", "--page", tmp_path / "page.html")
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert (
        page.index("Settle this") < page.index("Only a person can check") < page.index("<h2>Fern")
    )
    assert "2 × 3 × 3" in page


def test_a_draft_that_a_spreadsheet_program_saved_still_plans(tmp_path: Path) -> None:
    office = shutil.which("soffice") or shutil.which("libreoffice")
    if office is None:
        lacking("there is no LibreOffice")
    source = as_written(tmp_path, TRIM, 'Cut 12 squares 3 1/8".', VAGUE)
    draft = km.draft(source)
    km.write_draft(draft, tmp_path / "draft.xlsx")
    choose, fill = draft.open_rows
    settled(tmp_path / "draft.xlsx", choose.where, choose.readings[0])
    row = fill.where.rpartition("C")[2]
    for column, words in (("C", "5"), ("D", "5"), ("E", "6")):
        settled(tmp_path / "draft.xlsx", f"Pieces!{column}{row}", words)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    asked = ["--headless", "--convert-to", "xlsx", "--outdir", str(tmp_path / "saved")]
    subprocess.run(
        [office, profile, *asked, str(tmp_path / "draft.xlsx")],
        check=True, timeout=120, capture_output=True,
    )  # fmt: skip
    plan = km.plan(km.read_pattern(tmp_path / "saved" / "draft.xlsx"), kits=3)
    (fabric,) = plan.pattern.fabrics
    found = [(one.width, one.length, one.quantity) for one in fabric.pieces]
    assert found == [(24.5, 42.5, 1), (3.125, 3.125, 12), (5, 5, 6)]


def test_standard_input_is_read_as_a_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    page = 'Clover Lane\n\nFrom the cream solid, cut:\n4 squares 5"\n'
    done = CliRunner().invoke(main, ["draft", "-", "--json"], input=page)
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert (told["file"], told["fabrics"][0]["role"]) == ("draft.xlsx", "cream solid")
    assert (tmp_path / "draft.xlsx").exists()

"""What ``kitmaker check --json`` promises, line by line."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from books import write
from click.testing import CliRunner

from kitmaker.cli import main

Rows = Sequence[Sequence[object]]
WRITTEN = ("Fabric", "Requirement", "Cutting instructions")
PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")


def book(folder: Path, name: str = "pattern.xlsx", **sheets: Rows) -> Path:
    return write(folder / name, sheets)


def check(path: Path, *options: str) -> tuple[int, Any]:
    result = CliRunner().invoke(main, ["check", str(path), "--json", *options])
    read = json.loads(result.stdout) if result.stdout else result.stderr
    return result.exit_code, read


def written(folder: Path, requirement: str, *lines: str) -> tuple[int, Any]:
    return check(book(folder, Cutting=[WRITTEN, ("Sky", requirement, "\n".join(lines))]))


def cuts(read: Any, fabric: int = 0) -> list[tuple[Any, ...]]:
    return [
        (piece["kind"], piece["width"], piece["length"], piece["quantity"])
        for piece in read["fabrics"][fabric]["pieces"]
    ]


def problems(read: Any, level: str) -> list[str]:
    return [problem["where"] for problem in read["problems"] if problem["level"] == level]


def test_the_text_opens_with_schema_and_unit_and_holds_the_named_fields(tmp_path: Path) -> None:
    _, read = written(tmp_path, "1 yd", 'Cut 4 – 2½" squares')
    assert list(read)[:2] == ["schema", "unit"]
    assert (read["schema"], read["unit"]) == (1, "in")
    assert set(read["pattern"]) >= {"name", "sizes", "size", "unit", "seam_allowance"}
    assert set(read["fabrics"][0]) >= {"role", "requirement", "pieces"}
    assert set(read["fabrics"][0]["pieces"][0]) >= {
        *("name", "width", "length", "quantity", "shape", "may_turn", "kind", "where"),
    }


@pytest.mark.parametrize(
    ("text", "quantity", "unit"),
    [
        *(("1¼ yards", 1.25, "yd"), ("60 cm", 60, "cm"), ("1.2 m", 1.2, "m"), ('18"', 18, "in")),
        *(("12 fat quarters", 12, "fat-quarter"), ("1 panel", 1, "panel")),
        *(("2 packs of 5-inch squares", 2, "pack"), ("(3) ⅔ yard cuts", 2, "yd")),
        ("¼ yard each of 6 prints", 1.5, "yd"),
    ],
)
def test_a_requirement_has_its_words_and_several_equal_lengths_are_their_total(
    tmp_path: Path, text: str, quantity: float, unit: str
) -> None:
    code, read = check(book(tmp_path, Fabrics=[WRITTEN[:2], ("Sky", text), ("Sea", None)]))
    first, second = read["fabrics"]
    assert code == 0
    assert first["requirement"]["as_written"] == text
    assert first["requirement"]["quantity"] == pytest.approx(quantity)
    assert first["requirement"]["unit"] == unit
    assert (second["requirement"], second["pieces"]) == (None, [])


def test_an_amount_that_cannot_be_read_is_an_error_at_its_cell(tmp_path: Path) -> None:
    code, read = check(book(tmp_path, Fabrics=[WRITTEN[:2], ("Sky", "some"), ("Sea", "1 yd")]))
    assert (code, problems(read, "error")) == (1, ["Fabrics!B2"])


def test_where_names_sheet_and_cell_and_in_a_csv_file_the_cell(tmp_path: Path) -> None:
    _, read = written(tmp_path, "1 yd", 'Cut 4 – 2½" squares', 'Cut 8 – 3" squares')
    assert [piece["where"] for piece in read["fabrics"][0]["pieces"]] == ["Cutting!C2"] * 2
    path = tmp_path / "pattern.csv"
    path.write_text('Fabric,Requirement,Cutting instructions\nSky,1 yd,"(4) 3 x 5 pieces"\n')
    _, read = check(path)
    assert read["fabrics"][0]["pieces"][0]["where"] == "C2"


def test_from_each_is_multiplied_by_requirement_or_prints_or_is_an_error(tmp_path: Path) -> None:
    line = 'From each print cut (4) 3" squares'
    _, read = written(tmp_path, "12 fat quarters", line)
    assert cuts(read) == [("piece", 3, 3, 48)]
    heads = (*WRITTEN, "Prints")
    _, read = check(book(tmp_path, Cutting=[heads, ("Sky", "1 yd", line, 5)]))
    assert cuts(read) == [("piece", 3, 3, 20)]
    code, read = written(tmp_path, "1 yd", line)
    assert (code, problems(read, "error")) == (1, ["Cutting!C2"])


def test_a_strip_is_one_across_the_whole_fabric_and_a_shorter_one_a_piece(tmp_path: Path) -> None:
    _, read = written(
        tmp_path,
        "9 yd",
        '2 strips 3" x 39"',
        '2 strips 3" x 42"',
        '2 strips 3" x WOF',
        '2 strips 4"',
    )
    assert cuts(read) == [
        ("piece", 3, 39, 2),
        ("strip", 3, None, 2),
        ("strip", 3, None, 2),
        ("strip", 4, None, 2),
    ]


def test_strips_that_are_not_sub_cut_stay_strips(tmp_path: Path) -> None:
    _, read = written(
        tmp_path, "9 yd", 'Cut 66 strips 2" x WOF.', 'Sub-cut 28 strips into 560 – 2" squares.'
    )
    assert sorted(cuts(read), key=str) == [("piece", 2, 2, 560), ("strip", 2, None, 38)]


def test_after_a_strip_line_at_gives_the_length(tmp_path: Path) -> None:
    _, read = written(tmp_path, "2 yd", '5 strips 2½" x WOF', '40 @ 4½"')
    assert cuts(read) == [("piece", 2.5, 4.5, 40)]


def test_a_running_length_is_joined_and_counted_once(tmp_path: Path) -> None:
    _, read = written(tmp_path, "1 yd", 'Enough 2½" strips to total 320"')
    assert cuts(read) == [("joined", 2.5, 320, 1)]


def test_squares_cut_on_the_diagonal_are_listed_as_the_squares_cut(tmp_path: Path) -> None:
    _, read = written(tmp_path, "1 yd", 'Cut 10 – 3⅞" squares; cut once diagonally to make 20')
    piece = read["fabrics"][0]["pieces"][0]
    assert (piece["quantity"], piece["width"]) == (10, 3.875)
    assert piece["shape"] == "square cut once on the diagonal"


def test_a_piece_along_the_fabric_without_a_figure_has_the_requirements_length(
    tmp_path: Path,
) -> None:
    code, read = written(tmp_path, "2 yd", 'Cut 4 – 8½" x LOF')
    piece = read["fabrics"][0]["pieces"][0]
    assert (piece["length"], piece["may_turn"], code) == (72, False, 0)
    assert problems(read, "warning") == ["Cutting!C2"]


SIZED: Rows = (
    (*PIECES[:4], "Quantity crib", "Quantity throw"),
    ("Sky", "A", 2.5, 4.5, 8, 12),
    ("Sky", "B", 2.5, 2.5, None, 4),
    ("Sky", "C", 3, 3, 0, 6),
    ("Sky", "D", 4, 4, "-", "(5)"),
)


def test_a_missing_or_unknown_size_is_wrong_usage_and_case_is_none(tmp_path: Path) -> None:
    path = book(tmp_path, Pieces=SIZED)
    for options in ((), ("--size", "king")):
        code, said = check(path, *options)
        assert code == 2
        assert "crib" in said
        assert "throw" in said
    code, read = check(path, "--size", "THROW")
    assert (code, [cut[3] for cut in cuts(read)]) == (0, [12, 4, 6, 5])


def test_in_a_sizes_column_blank_nought_and_a_dash_mean_none(tmp_path: Path) -> None:
    code, read = check(book(tmp_path, Pieces=SIZED), "--size", "crib")
    assert (code, [cut[3] for cut in cuts(read)]) == (0, [8])


def test_sizes_come_as_blocks_and_in_brackets(tmp_path: Path) -> None:
    block = (PIECES, ("Sky", "A", 2.5, 4.5, 8))
    rows = [("Crib size (40 x 50)",), *block, (), ("Throw size (60 x 70)",), *block[:1]]
    rows.append(("Sky", "A", 2.5, 4.5, 18))
    _, read = check(book(tmp_path, Pieces=rows), "--size", "throw")
    assert [cut[3] for cut in cuts(read)] == [18]
    line = 'Cut three (two) 2½" strips and eight (8) 5" squares'
    sheets = {
        "Facts": (("Size", "throw (crib)"),),
        "Cutting": (WRITTEN, ("Sky", "1¼ (⅞) yards", line)),
    }
    _, read = check(book(tmp_path, **sheets), "--size", "crib")
    assert cuts(read) == [("strip", 2.5, None, 2), ("piece", 5, 5, 8)]
    assert read["fabrics"][0]["requirement"]["quantity"] == 0.875


@pytest.mark.parametrize("quantity", [None, 0, -2, 2.5, "two and a bit"])
def test_a_quantity_that_is_none_is_reported_by_its_cell(tmp_path: Path, quantity: object) -> None:
    code, read = check(book(tmp_path, Pieces=[PIECES, ("Sky", "A", 2.5, 4.5, quantity)]))
    assert (code, problems(read, "error")) == (1, ["Pieces!E2"])


@pytest.mark.parametrize(
    ("requirement", "line", "where"),
    [
        ("1 yd", '(4) 5" (15 cm) squares', "Cutting!C2"),
        ("1 yd", '100 sq" for appliqué', "Cutting!C2"),
        ("1 yd", "!^2” x *2”", "Cutting!C2"),
    ],
)
def test_what_contradicts_itself_or_is_damaged_is_reported(
    tmp_path: Path, requirement: str, line: str, where: str
) -> None:
    code, read = written(tmp_path, requirement, line)
    assert (code, problems(read, "error")) == (1, [where])


def test_strips_of_fat_quarters_are_held_against_the_fat_quarter(tmp_path: Path) -> None:
    for words in ('2½" × WOF strips', '2½" strips'):
        _, read = written(tmp_path, "4 fat quarters", f"Cut (10) {words}")
        assert cuts(read) == [("strip", 2.5, None, 10)]
    for length in (18, 21):
        _, read = written(tmp_path, "4 fat quarters", f'Cut (10) 2½" × {length}" strips')
        assert cuts(read) == [("piece", 2.5, length, 10)]
    line = 'Cut (6) 2½" × WOF strips; sub-cut into ({}) 2½" squares'
    code, read = written(tmp_path, "4 fat quarters", line.format(48))
    assert (code, cuts(read)) == (0, [("piece", 2.5, 2.5, 48)])
    code, read = written(tmp_path, "4 fat quarters", line.format(60))
    assert (code, problems(read, "error")) == (1, ["Cutting!C2"])
    code, read = written(tmp_path, "1 yd", line.format(60))
    assert (code, cuts(read)) == (0, [("piece", 2.5, 2.5, 60)])


@pytest.mark.parametrize("requirement", ["1 yd (1.2 m)", "q yard", "½ yd or 2 fat quarters", 1.5])
def test_an_amount_that_cannot_be_read_blocks_only_what_has_no_sure_cuts(
    tmp_path: Path, requirement: object
) -> None:
    code, read = check(book(tmp_path, Cutting=[WRITTEN, ("Sky", requirement, '(4) 3" squares')]))
    assert (code, problems(read, "error")) == (0, [])
    assert problems(read, "warning") == ["Cutting!B2"]
    assert (cuts(read), read["fabrics"][0]["requirement"]) == ([("piece", 3, 3, 4)], None)
    code, read = check(book(tmp_path, Cutting=[WRITTEN[:2], ("Sky", requirement)]))
    assert (code, problems(read, "error")) == (1, ["Cutting!B2"])


def test_an_amount_that_a_multiplier_needs_has_to_be_read(tmp_path: Path) -> None:
    line = 'From each print, cut (4) 3" squares'
    code, read = written(tmp_path, "a few fat quarters", line)
    assert (code, problems(read, "error")) == (1, ["Cutting!B2", "Cutting!C2"])
    rows = [(*WRITTEN, "Prints"), ("Sky", "a few fat quarters", line, 5)]
    code, read = check(book(tmp_path, Cutting=rows))
    assert (code, problems(read, "warning")) == (0, ["Cutting!B2"])
    assert cuts(read) == [("piece", 3, 3, 20)]


def test_two_units_that_differ_by_rounding_alone_are_one_amount(tmp_path: Path) -> None:
    code, read = written(tmp_path, "1½ yds (1.45 m)", '(60) 6" squares')
    assert (code, problems(read, "warning")) == (0, ["Cutting!B2"])
    assert read["fabrics"][0]["requirement"]["quantity"] == 1.5
    for rounded in ("3 yds (2.65 m)", "¼ yd (25 cm)", "4.6 m (5 yd)"):
        code, read = written(tmp_path, rounded, '(12) 10" squares')
        assert (code, problems(read, "error")) == (0, [])
        assert not any("differ" in one["message"] for one in read["problems"])


@pytest.mark.parametrize("heading", [None, "Wdth 2", "Piece"])
def test_values_under_a_missing_unknown_or_doubled_heading_are_named_by_it(
    tmp_path: Path, heading: str | None
) -> None:
    rows = [(*PIECES, heading), ("Sky", "A", 2.5, 4.5, 8, 7)]
    code, read = check(book(tmp_path, Pieces=rows))
    assert code == 1
    assert problems(read, "error")[0] in ("Pieces!F1", "Pieces!B1")


def test_hidden_rows_are_read_and_warned_of(tmp_path: Path) -> None:
    path = book(tmp_path, Pieces=[PIECES, ("Sky", "A", 2.5, 4.5, 8)])
    workbook = openpyxl.load_workbook(path)
    workbook["Pieces"].row_dimensions[2].hidden = True
    workbook.save(path)
    code, read = check(path)
    assert (code, len(cuts(read)), problems(read, "warning")) == (0, 1, ["Pieces!A2"])


@pytest.mark.parametrize(
    "note",
    ["Repeat for the second block", "again for the border", "for each block", "the back too"],
)
def test_a_note_that_may_multiply_or_add_is_a_warning(tmp_path: Path, note: str) -> None:
    rows = [(*PIECES, "Notes"), ("Sky", "A", 2.5, 4.5, 8, note)]
    code, read = check(book(tmp_path, Pieces=rows))
    assert (code, problems(read, "warning")) == (0, ["Pieces!F2"])


def test_a_file_with_nothing_to_cut_is_unreadable_in_one_line(tmp_path: Path) -> None:
    code, said = check(book(tmp_path, Sheet=[("Hello",), ("there",)]))
    assert code == 3
    assert len(said.strip().splitlines()) == 1


def test_a_fabric_named_once_holds_for_the_rows_below_and_is_said(tmp_path: Path) -> None:
    rows = [PIECES, ("Sky", "A", 2, 3, 4), (None, "B", 3, 3, 5), (None, "C", 4, 4, 6)]
    code, read = check(book(tmp_path, Pieces=[*rows, (), (None, "D", 5, 5, 7)]))
    assert [cut[3] for cut in cuts(read)] == [4, 5, 6]
    assert (code, problems(read, "warning")) == (1, ["Pieces!A3"])
    assert problems(read, "error") == ["Pieces!A6"]


def test_name_place_and_yardage_may_share_a_column(tmp_path: Path) -> None:
    heads = ("Fabric Name, Placement & Yardage", "First cuts", "Next cuts")
    row = ("Fabric A\nNavy dot\n1¼ yards", '(4) 3½" x WOF strips', '(40) 3½" squares')
    code, read = check(book(tmp_path, Chart=[heads, row]))
    fabric = read["fabrics"][0]
    assert (code, fabric["role"]) == (0, "Fabric A, Navy dot")
    assert (fabric["requirement"]["quantity"], fabric["requirement"]["unit"]) == (1.25, "yd")
    assert cuts(read) == [("piece", 3.5, 3.5, 40)]

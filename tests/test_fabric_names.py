"""One fabric under several names, and two fabrics that only sound alike."""

from __future__ import annotations

from pathlib import Path

from books import write

from kitmaker.pattern import PatternReading
from kitmaker.reading.requirements import read_pattern

Rows = list[list[str | None]]


def read(folder: Path, materials: Rows, cutting: Rows) -> PatternReading:
    sheets = {
        "Sheet": [("Materials", "Yardage"), *materials],
        "Cutting": [("Fabric", "Cutting instructions"), *cutting],
    }
    return read_pattern(write(folder / "pattern.xlsx", sheets))


def roles(reading: PatternReading) -> list[tuple[str, int]]:
    return [(fabric.role, len(fabric.pieces)) for fabric in reading.pattern.fabrics]


def test_what_stands_in_brackets_is_no_part_of_a_name(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [["solid white (blocks, border)", "1/4 yd"], ["solid navy (binding)", "1/2 yd"]],
        [["solid white", '8 squares 4"'], ["Solid Navy", '6 strips 2½" x WOF']],
    )
    assert roles(reading) == [("solid white (blocks, border)", 1), ("solid navy (binding)", 1)]
    assert reading.problems == ()


def test_a_shorter_name_is_taken_for_the_one_fabric_that_has_it_and_said(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [["white dots", "1/4 yd"], ["navy stripes", "1/4 yd"]],
        [["white", '8 squares 4"'], ["navy stripes", '8 squares 4"']],
    )
    assert roles(reading) == [("white dots", 1), ("navy stripes", 1)]
    assert ["white dots" in one.message for one in reading.problems] == [True]


def test_a_name_that_two_fabrics_share_is_no_fabric_s_own(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [["white dots", "1 yd"], ["white stripes", "1 yd"]],
        [["white", '8 squares 4"']],
    )
    assert roles(reading) == [("white dots", 0), ("white stripes", 0), ("white", 1)]
    assert any("not in the table of fabrics" in one.message for one in reading.problems)


def test_two_rows_with_an_amount_each_are_two_fabrics(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [["white (blocks)", "1 yd"], ["white (binding)", "1/2 yd"], ["white", "1/4 yd"]],
        [],
    )
    assert [role for role, _ in roles(reading)] == ["white (blocks)", "white (binding)", "white"]


def test_an_amount_of_several_fabrics_is_that_of_each_and_said(tmp_path: Path) -> None:
    reading = read(tmp_path, [["Fabric 2", "40 cm of Fabrics 2 and 3"]], [])
    amount = reading.pattern.fabrics[0].requirement
    assert amount is not None
    assert (amount.quantity, amount.unit) == (40, "cm")
    assert [one.is_error for one in reading.problems] == [False]

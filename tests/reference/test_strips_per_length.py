"""Strips from a length: each row of data/strips_per_length.csv, asked of the cutting core.

A strip lies from selvage to selvage and is not turned. The handout's rows count on each
cut less half an inch of straightening.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pytest

from kitmaker.lengths import parse_number

TABLE = Path(__file__).parent / "data" / "strips_per_length.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))
RIGHT = [row for row in ROWS if not row["mistake_for"]]
MISTAKES = [row for row in ROWS if row["mistake_for"]]

FORTY = Fraction(40)
FAT_QUARTER_THREAD = (
    "Quilting Board, Fat Quarter Conversion, "
    "https://www.quiltingboard.com/main-f1/fat-quarter-conversion-t222332.html"
)


def name(row: dict[str, str]) -> str:
    return f"{row['strip_in']} in from {row['cut_in']} in, {row['publisher']}"


def most_strips(desk: ModuleType, along: Fraction, strip: Fraction) -> int:
    found: int = desk.most_pieces(FORTY, along, FORTY, strip, may_turn=False)
    return found


def test_the_table_is_whole() -> None:
    assert (len(RIGHT), len(MISTAKES)) == (25, 1)


@pytest.mark.parametrize("row", RIGHT, ids=name)
def test_printed_count(desk: ModuleType, row: dict[str, str]) -> None:
    found = most_strips(desk, parse_number(row["usable_length_in"]), parse_number(row["strip_in"]))
    assert found == int(row["published"]), row["url"]


@pytest.mark.parametrize("row", MISTAKES, ids=name)
def test_printed_mistake(desk: ModuleType, row: dict[str, str]) -> None:
    """13 strips of 2½ in from a yard; another source, and the ruler, say 14."""
    found = most_strips(desk, parse_number(row["usable_length_in"]), parse_number(row["strip_in"]))
    assert found != int(row["published"]), row["url"]
    assert found == int(row["mistake_for"]) == 14


@pytest.mark.parametrize(("along", "count"), [("18", 7), ("17 1/2", 7), ("17", 6)])
def test_seven_strips_survive_half_an_inch_of_trim_but_not_a_whole(
    desk: ModuleType, along: str, count: int
) -> None:
    assert most_strips(desk, parse_number(along), parse_number("2 1/2")) == count


@pytest.mark.parametrize("across", [19, 20, 21, 22])
def test_eighty_half_strips_take_twelve_fat_quarters(desk: ModuleType, across: int) -> None:
    """40 strips are 80 halves, 7 from each; whatever the fat quarter measures across."""
    asked = ((Fraction(across), parse_number("2 1/2"), 80),)
    found = desk.fewest_forms(Fraction(across), Fraction(18), asked, may_turn=False)
    assert found == (12, 12), FAT_QUARTER_THREAD


def test_42_five_inch_squares_take_four_fat_quarters(desk: ModuleType) -> None:
    asked = ((Fraction(5), Fraction(5), 42),)
    assert desk.fewest_forms(Fraction(22), Fraction(18), asked) == (4, 4), FAT_QUARTER_THREAD


def test_mistake_three_fat_quarters_do_not_yield_forty_squares(desk: ModuleType) -> None:
    five = Fraction(5)
    forty = desk.fewest_forms(Fraction(22), Fraction(18), ((five, five, 40),))
    assert forty != (3, 3), FAT_QUARTER_THREAD
    assert forty == (4, 4)
    assert desk.fewest_forms(Fraction(22), Fraction(18), ((five, five, 36),)) == (3, 3)

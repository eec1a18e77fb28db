"""Squares from yardage: each row of data/squares_per_yard.csv, asked of the cutting core.

``usable_width_in`` and ``usable_length_in`` are what a source's rows count on: the two
charts of cuts from an eighth of a yard to a yard lose up to half an inch of each cut to
straightening, which is the best printed evidence for such an allowance. A row with
``mistake_for`` is a mistake in print, and that column the right count.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pytest

from kitmaker.lengths import YARD, parse_number

TABLE = Path(__file__).parent / "data" / "squares_per_yard.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))


def name(row: dict[str, str]) -> str:
    return (
        f"{row['square_in']} in from {row['usable_width_in']} x {row['cut_yd']} yd, "
        f"{row['publisher']}"
    )


def most(desk: ModuleType, row: dict[str, str]) -> int:
    found: int = desk.most_squares(
        parse_number(row["usable_width_in"]),
        parse_number(row["usable_length_in"]),
        parse_number(row["square_in"]),
    )
    return found


RIGHT = [row for row in ROWS if not row["mistake_for"]]
MISTAKES = [row for row in ROWS if row["mistake_for"]]


def test_the_table_is_whole() -> None:
    assert (len(RIGHT), len(MISTAKES)) == (196, 7)


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_a_row_counts_on_no_more_than_its_cut(row: dict[str, str]) -> None:
    lost = parse_number(row["cut_yd"]) * YARD - parse_number(row["usable_length_in"])
    assert 0 <= lost <= Fraction(1, 2)


@pytest.mark.parametrize("row", RIGHT, ids=name)
def test_printed_count(desk: ModuleType, row: dict[str, str]) -> None:
    assert most(desk, row) == int(row["published"]), row["url"]


@pytest.mark.parametrize("row", MISTAKES, ids=name)
def test_printed_mistake(desk: ModuleType, row: dict[str, str]) -> None:
    found = most(desk, row)
    assert found != int(row["published"]), row["url"]
    assert found == int(row["mistake_for"])


def test_mistake_a_header_of_42_by_36_does_not_give_1584_squares(desk: ModuleType) -> None:
    """M. Hohn (2002): the header says 42 × 36, the rows count on 44 × 36.

    http://www.quilterscache.com/M/MathChartsPage.html
    """
    inch = Fraction(1)
    assert desk.most_squares(Fraction(42), Fraction(36), inch) == 1512
    assert desk.most_squares(Fraction(44), Fraction(36), inch) == 1584


HANDOUT = "Yardage Chart (handout), https://docsbay.net/number-of-squares-from-a-fat-quarter"


@pytest.mark.parametrize(("side", "published", "right"), [("2", 89, 84), ("5", 14, 8)])
def test_mistake_a_quarter_yard_is_not_a_quarter_of_the_count(
    desk: ModuleType, side: str, published: int, right: int
) -> None:
    """The handout halves its yard column twice; 42 × 9 usable."""
    found = desk.most_squares(Fraction(42), Fraction(9), parse_number(side))
    assert found != published, HANDOUT
    assert found == right


WIDTH_AND_TRIM_PROOF = [("5", 56), ("6 1/2", 30), ("8", 20), ("10", 12), ("12 1/2", 6)]


@pytest.mark.parametrize(("side", "count"), WIDTH_AND_TRIM_PROOF)
@pytest.mark.parametrize("width", [40, 42, 44])
@pytest.mark.parametrize("length", ["36", "35 1/2"])
def test_counts_that_neither_width_nor_trim_change(
    desk: ModuleType, side: str, count: int, width: int, length: str
) -> None:
    """Several tables agree on these, whatever they count on: 40 to 44, trimmed or not."""
    found = desk.most_squares(Fraction(width), parse_number(length), parse_number(side))
    assert found == count


@pytest.mark.parametrize(
    ("across", "along", "side", "count"),
    [
        ("40", "36", "9", 16),
        ("40", "35 7/8", "9", 12),
        ("40", "36", "4 1/2", 64),
        ("40", "35 7/8", "4 1/2", 56),
        ("40", "2 1/2", "2 1/2", 16),
        ("39 7/8", "2 1/2", "2 1/2", 15),
        ("42", "3 1/2", "3 1/2", 12),
        ("44", "5 1/2", "5 1/2", 8),
        ("22", "5 1/2", "5 1/2", 4),
        ("18", "4 1/2", "4 1/2", 4),
        ("21", "3 1/2", "3 1/2", 6),
    ],
)
def test_worked_out_exact_fits_and_an_eighth_less(
    desk: ModuleType, across: str, along: str, side: str, count: int
) -> None:
    sizes = (parse_number(across), parse_number(along), parse_number(side))
    assert desk.most_squares(*sizes) == count

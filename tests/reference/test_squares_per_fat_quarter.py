"""Squares from a fat quarter: each row of data/squares_per_fat_quarter.csv, asked of the core.

A row with ``mistake_for`` is a mistake in print, and that column the right count.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pytest

from kitmaker.lengths import CENTIMETER, parse_number

TABLE = Path(__file__).parent / "data" / "squares_per_fat_quarter.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))
RIGHT = [row for row in ROWS if not row["mistake_for"]]
MISTAKES = [row for row in ROWS if row["mistake_for"]]


def name(row: dict[str, str]) -> str:
    size = f"{row['across_in']} x {row['along_in']}"
    return f"{row['square_in']} in from {size}, {row['source'][:40]}, {row['publisher']}"


def most(desk: ModuleType, row: dict[str, str]) -> int:
    found: int = desk.most_squares(
        parse_number(row["across_in"]),
        parse_number(row["along_in"]),
        parse_number(row["square_in"]),
    )
    return found


def test_the_table_is_whole() -> None:
    assert (len(RIGHT), len(MISTAKES)) == (57, 4)


@pytest.mark.parametrize("row", RIGHT, ids=name)
def test_printed_count(desk: ModuleType, row: dict[str, str]) -> None:
    assert most(desk, row) == int(row["published"]), row["url"]


@pytest.mark.parametrize("row", MISTAKES, ids=name)
def test_printed_mistake(desk: ModuleType, row: dict[str, str]) -> None:
    found = most(desk, row)
    assert found != int(row["published"]), row["url"]
    assert found == int(row["mistake_for"])


@pytest.mark.parametrize(
    ("side", "published", "right", "source"),
    [
        (
            "3 1/2",
            18,
            30,
            "https://gaygoogog.cfd/lifestyle--hobbies/how-many-35-inch-squares-in-a-fat-quarter.php",
        ),
        (
            "5",
            36,
            12,
            "https://beta.rschoolteams.com/post/how-many-5-inch-squares-in-a-fat-quarter",
        ),
    ],
)
def test_mistakes_of_search_pages(
    desk: ModuleType, side: str, published: int, right: int, source: str
) -> None:
    found = desk.most_squares(Fraction(22), Fraction(18), parse_number(side))
    assert found != published, source
    assert found == right


def test_a_19_by_18_fat_quarter_gives_nine_five_inch_squares(desk: ModuleType) -> None:
    """Quilting Board, Fat Quarter Conversion.

    https://www.quiltingboard.com/main-f1/fat-quarter-conversion-t222332.html
    """
    assert desk.most_squares(Fraction(19), Fraction(18), Fraction(5)) == 9


@pytest.mark.parametrize(("side", "count"), [("2 1/2", 56), ("5", 12)])
def test_a_metric_fat_quarter(desk: ModuleType, side: str, count: int) -> None:
    """Gone to Earth: twelve 5 in squares from either; 55 × 50 cm.

    https://gonetoearth.typepad.com/gonetoearth/2009/05/fat-quarters.html
    """
    found = desk.most_squares(55 * CENTIMETER, 50 * CENTIMETER, parse_number(side))
    assert found == count


# What a cut fat quarter (or eighth) really measures changes the count: the plain grid,
# along × across, worked out by hand for each size.
MEASURED = ("18x22", "18x21", "18x20", "17.5x21", "17x20", "9x22", "9x21", "9x20", "8.5x20")
SENSITIVITY = {
    "1 1/2": (168, 168, 156, 154, 143, 84, 84, 78, 65),
    "2": (99, 90, 90, 80, 80, 44, 40, 40, 40),
    "2 1/2": (56, 56, 56, 56, 48, 24, 24, 24, 24),
    "3": (42, 42, 36, 35, 30, 21, 21, 18, 12),
    "3 1/2": (30, 30, 25, 30, 20, 12, 12, 10, 10),
    "4": (20, 20, 20, 20, 20, 10, 10, 10, 10),
    "4 1/2": (16, 16, 16, 12, 12, 8, 8, 8, 4),
    "5": (12, 12, 12, 12, 12, 4, 4, 4, 4),
    "5 1/2": (12, 9, 9, 9, 9, 4, 3, 3, 3),
    "6": (9, 9, 9, 6, 6, 3, 3, 3, 3),
    "6 1/2": (6, 6, 6, 6, 6, 3, 3, 3, 3),
    "9": (4, 4, 4, 2, 2, 2, 2, 2, 0),
    "10": (2, 2, 2, 2, 2, 0, 0, 0, 0),
}
CASES = [
    (side, size, count)
    for side, counts in SENSITIVITY.items()
    for size, count in zip(MEASURED, counts, strict=True)
]


@pytest.mark.parametrize(("side", "size", "count"), CASES)
def test_worked_out_the_count_follows_the_measured_size(
    desk: ModuleType, side: str, size: str, count: int
) -> None:
    along, across = (parse_number(part) for part in size.split("x"))
    assert desk.most_squares(across, along, parse_number(side)) == count


@pytest.mark.parametrize(
    ("size", "one_way", "other_way"),
    [
        ("18x22", 28, 32),
        ("18x21", 28, 32),
        ("18x20", 28, 32),
        ("17.5x21", 28, 24),
        ("17x20", 24, 24),
    ],
)
def test_worked_out_rectangles_are_at_least_the_better_of_both_strip_widths(
    desk: ModuleType, size: str, one_way: int, other_way: int
) -> None:
    """No printed table was found; strips cut 2½ and strips cut 4½, worked out by hand.

    The core may mix both widths in one fat quarter, so that it does no worse.
    """
    along, across = (parse_number(part) for part in size.split("x"))
    width, length = parse_number("2 1/2"), parse_number("4 1/2")
    best = max(one_way, other_way)
    assert best <= desk.most_pieces(across, along, width, length)

"""Setting and corner triangles and diagonals against printed charts.

The chart in eighths adds up rounded parts (f × 1.414, up, and 1¼ or ⅞), the exact size is
rounded once: it is never more than the chart's, and at most an eighth less.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from kitmaker.arithmetic import cut_sizes as arithmetic
from kitmaker.arithmetic.cut_sizes import Rounding
from kitmaker.lengths import EIGHTH, parse_number

QUARTER = Fraction(1, 4)
FINE = Fraction(1, 10_000)

TABLE = Path(__file__).parent / "data" / "setting_triangles.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))
EIGHTHS = [row for row in ROWS if row["source"] == "On-point setting chart"]
QUARTERS = [row for row in ROWS if row["publisher"] == "Phoebe Moon Quilt Designs"]


def name(row: dict[str, str]) -> str:
    return f"{row['finished_block_in']} in block, {row['publisher']}"


def test_the_charts_are_whole() -> None:
    assert (len(EIGHTHS), len(QUARTERS)) == (12, 17)


@pytest.mark.parametrize("row", EIGHTHS, ids=name)
def test_chart_in_eighths(row: dict[str, str]) -> None:
    block = parse_number(row["finished_block_in"])
    side, corner = (
        parse_number(row["published_side_in"]),
        parse_number(row["published_corner_in"]),
    )
    assert side - EIGHTH <= arithmetic.cut_square_for_setting(block) <= side, row["url"]
    assert corner - EIGHTH <= arithmetic.cut_square_for_corners(block) <= corner, row["url"]
    each = Rounding.EACH_PART
    assert arithmetic.cut_square_for_corners(block, rounding=each) == corner, row["url"]
    if block != 16:  # the next test
        assert arithmetic.cut_square_for_setting(block, rounding=each) == side, row["url"]


def test_the_precision_trap_at_16_inches() -> None:
    """16 × 1.414 is 22.624 and fits 22⅝; 16 √2 is 22.627 and does not.

    The printed 23⅞ is still enough, because 1¼ is generous: rounded once it is ours.
    """
    sixteen = Fraction(16)
    assert arithmetic.cut_square_for_setting(sixteen) == parse_number("23 7/8")
    each = arithmetic.cut_square_for_setting(sixteen, rounding=Rounding.EACH_PART)
    assert each == 24


TOO_SMALL = {14}
LARGER_THAN_NEEDED_CORNER = {9, 15}


@pytest.mark.parametrize("row", QUARTERS, ids=name)
def test_chart_in_quarters(row: dict[str, str]) -> None:
    block = parse_number(row["finished_block_in"])
    side, corner = (
        parse_number(row["published_side_in"]),
        parse_number(row["published_corner_in"]),
    )
    exact_side = arithmetic.cut_square_for_setting(block, step=FINE)
    exact_corner = arithmetic.cut_square_for_corners(block, step=FINE)
    assert corner >= exact_corner, row["url"]
    ours = arithmetic.cut_square_for_setting(block, step=QUARTER)
    if block in TOO_SMALL:  # 14 √2 + 1.207 is 21.006
        assert side < exact_side, row["url"]
        assert ours != side
        assert ours == parse_number("21 1/4")
    else:
        assert side >= exact_side, row["url"]
        assert ours <= side <= ours + QUARTER
    ours = arithmetic.cut_square_for_corners(block, step=QUARTER)
    assert ours <= corner <= ours + QUARTER


@pytest.mark.parametrize(
    ("block", "side", "corner", "source"),
    [
        (
            "6",
            "9 3/4",
            "5 1/8",
            "Moonlight Quilters guild, http://www.moonlightquilters.org/tip-on-point-settings/",
        ),
        (
            "12",
            "18 1/4",
            "9 3/8",
            "Pine Meadows, http://www.pinemeadowsdesigns.com/SewingHints-BlockOnPoint.htm",
        ),
    ],
)
def test_confirmed_elsewhere(block: str, side: str, corner: str, source: str) -> None:
    finished = parse_number(block)
    assert arithmetic.cut_square_for_setting(finished) == parse_number(side), source
    assert arithmetic.cut_square_for_corners(finished) == parse_number(corner), source


HOHN = "M. Hohn, Math charts page (2002), http://www.quilterscache.com/M/MathChartsPage.html"


@pytest.mark.parametrize(
    ("finished", "published"),
    [
        ("4", "5 5/8"),
        ("5", "7 1/8"),
        ("6", "8 1/2"),
        ("7", "9 7/8"),
        ("8", "11 3/8"),
        ("9", "12 3/4"),
        ("10", "14 1/8"),
        ("12", "17"),
        ("14", "19 3/4"),
    ],
)
def test_diagonals_are_printed_to_the_nearest_eighth(finished: str, published: str) -> None:
    side = parse_number(finished)
    assert arithmetic.nearest_diagonal_of_square(side) == parse_number(published), HOHN
    up = arithmetic.diagonal_of_square(side)
    assert up in (parse_number(published), parse_number(published) + EIGHTH)
    assert up**2 >= 2 * side**2

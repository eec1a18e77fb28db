"""Flying geese against printed tables: each row of data/flying_geese.csv, typed as a row."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from typed import inches, shape, side, size

from kitmaker.lengths import parse_number

TABLE = Path(__file__).parent / "data" / "flying_geese.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))
FOUR = [row for row in ROWS if row["method"].startswith("four")]
ONE = [row for row in ROWS if row["method"].startswith("one")]


def name(row: dict[str, str]) -> str:
    return f"{row['finished_height_in']} x {row['finished_width_in']}, {row['publisher']}"


def test_the_table_is_whole() -> None:
    assert (len(FOUR), len(ONE)) == (19, 3)


@pytest.mark.parametrize("way", ["four at a time", "from triangles"])
@pytest.mark.parametrize("row", FOUR, ids=name)
def test_squares_for_four(row: dict[str, str], way: str) -> None:
    """Cut into triangles first, the same squares give the same four geese."""
    measures = (row["finished_width_in"], row["finished_height_in"])
    large = side(f"flying geese goose, {way}", *measures)
    assert large == parse_number(row["published_large_in"]), row["url"]
    found, small = side(f"flying geese sky, {way}", *measures), row["published_small_in"]
    if row["mistake_for"]:  # 1½ + ⅞ is 2⅜
        assert found != parse_number(small), row["url"]
        assert found == parse_number(row["mistake_for"])
    else:
        assert found == parse_number(small), row["url"]


@pytest.mark.parametrize("row", ONE, ids=name)
def test_one_at_a_time(row: dict[str, str]) -> None:
    measures = (row["finished_width_in"], row["finished_height_in"])
    goose = shape("flying geese goose, one at a time", *measures)
    length, width = row["published_rectangle_in"].split(" x ")
    assert size(goose) == inches(width, length), row["url"]
    sky = side("flying geese sky, one at a time", *measures)
    assert sky == parse_number(row["published_small_in"]), row["url"]


def test_one_large_square_and_four_small_give_four_geese() -> None:
    """A-Line Quilts, in the same table: 1 large + 4 small, without waste."""
    assert shape("flying geese goose, four at a time", "4", "2", 24).quantity == 6
    assert shape("flying geese sky, four at a time", "4", "2", 48).quantity == 24


def test_the_printed_mistake_is_in_the_table() -> None:
    assert [row["publisher"] for row in FOUR if row["mistake_for"]] == ["Marly's Quilts"]

"""Flying geese against printed tables: each row of data/flying_geese.csv is a check."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from kitmaker.arithmetic import sewn_units
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


@pytest.mark.parametrize("row", FOUR, ids=name)
def test_four_at_a_time(row: dict[str, str]) -> None:
    height = parse_number(row["finished_height_in"])
    assert parse_number(row["finished_width_in"]) == 2 * height
    found = sewn_units.flying_geese_four_at_a_time(height, 4)
    assert found.geese.cut_width == parse_number(row["published_large_in"]), row["url"]
    small = parse_number(row["published_small_in"])
    if row["mistake_for"]:  # 1½ + ⅞ is 2⅜
        assert found.sky.cut_side != small, row["url"]
        assert found.sky.cut_side == parse_number(row["mistake_for"])
    else:
        assert found.sky.cut_side == small, row["url"]


@pytest.mark.parametrize("row", ONE, ids=name)
def test_one_at_a_time(row: dict[str, str]) -> None:
    found = sewn_units.flying_geese_one_at_a_time(parse_number(row["finished_height_in"]), 1)
    length, width = (parse_number(side) for side in row["published_rectangle_in"].split(" x "))
    assert (found.geese.cut_width, found.geese.cut_length) == (width, length), row["url"]
    assert found.sky.cut_side == parse_number(row["published_small_in"]), row["url"]
    assert found.sky.count == 2


def test_the_printed_mistake_is_in_the_table() -> None:
    assert [row["publisher"] for row in FOUR if row["mistake_for"]] == ["Marly's Quilts"]

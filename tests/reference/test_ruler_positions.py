"""Ruler positions of repeated strips: each row of data/ruler_positions.csv is a check."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from kitmaker.arithmetic.cut_sizes import ruler_positions
from kitmaker.lengths import parse_number

TABLE = Path(__file__).parent / "data" / "ruler_positions.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))


def name(row: dict[str, str]) -> str:
    return f"cut {row['cut_number']} of {row['strip_in']} in"


def test_the_table_is_whole() -> None:
    assert len(ROWS) == 63


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_printed_position(row: dict[str, str]) -> None:
    positions = ruler_positions(parse_number(row["strip_in"]), int(row["cut_number"]))
    assert positions[-1] == parse_number(row["published_position_in"]), row["url"]

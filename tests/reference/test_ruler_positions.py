"""Ruler positions of repeated strips: each row of data/ruler_positions.csv, as steps say them."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from quilt import class_sheet, fabric, pattern, strip

from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.kit import plan_kits
from kitmaker.lengths import Length, parse_number
from kitmaker.shop import Bag, Shop

TABLE = Path(__file__).parent / "data" / "ruler_positions.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))


def positions(width: str) -> tuple[Length, ...]:
    """Return where the ruler lies for 15 strips of a width, by the plan's own step."""
    asked = pattern(fabric("Sky", strip("strip", width, 15)))
    shop, sheet = Shop(re_square_every=99), class_sheet()
    options = Options(kits=1, bags=((None, Bag.PIECES),))
    plan = plan_kits(asked, shop, sheet, resolve(asked, shop, sheet, options), number="TARGET")
    job = plan.fabrics[0].job
    assert job is not None
    steps = [step for layout in job.layouts for step in layout.steps]
    found = [measure.positions for step in steps for measure in step.measures]
    (of_strips,) = [one for one in found if len(one) == 15]
    return of_strips


def test_the_table_is_whole() -> None:
    assert len(ROWS) == 63


@pytest.mark.parametrize("width", sorted({row["strip_in"] for row in ROWS}))
def test_printed_positions(width: str) -> None:
    found = positions(width)
    for row in ROWS:
        if row["strip_in"] == width:
            printed = parse_number(row["published_position_in"])
            assert found[int(row["cut_number"]) - 1] == printed, row["url"]


def test_worked_out_past_the_rulers_end_it_counts_from_the_last_cut() -> None:
    """A ruler of 24 in shows nine cuts of 2½, 22½; the tenth lies 2½ from the ninth."""
    assert positions("2.5")[8:10] == (Fraction(45, 2), Fraction(5, 2))

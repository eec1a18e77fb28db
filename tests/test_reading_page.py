"""What was read stands next to the words it came from, on paper and on the screen."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from books import write
from click.testing import CliRunner

from kitmaker.cli import main
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.reading_page import LineKind, view_read_fabrics
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan
from kitmaker.reading.requirements import read_pattern

ROWS = (
    ("Fabric", "Requirement", "Cutting instructions"),
    (
        "Navy",
        "1 1/4 yd",
        'Cut (5) 2½" × WOF strips; sub-cut into (80) 2½" squares.\nPress well.\nCut some strips 3"',
    ),
    ("Binding", "1/2 yd", 'Cut 6 strips 2½" × WOF'),
)


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    return write(tmp_path / "steps.xlsx", {"Cutting": ROWS})


@pytest.fixture
def reading(pattern: Path) -> PatternReading:
    return read_pattern(pattern)


def test_every_line_stands_there_with_its_cell_and_what_became_of_it(
    reading: PatternReading,
) -> None:
    navy = view_read_fabrics(reading)[0]
    assert [(line.where, line.kind) for line in navy.lines] == [
        ("Cutting!C2", LineKind.READ),
        ("Cutting!C2", LineKind.NOTE),
        ("Cutting!C2", LineKind.UNREAD),
    ]
    assert navy.lines[0].words == ROWS[1][2].split("\n")[0]
    assert navy.lines[0].understood == ("80 × 2½ × 2½",)
    assert navy.requirement_means == "1¼ yd = 45 in"
    assert navy.sums == "80 pieces in all"


def reading_page_of(plan: KitPlan, reading: PatternReading) -> str:
    return render_pages(plan, only=("Reading",), reading=reading).files["reading.html"]


def test_check_prints_the_same_as_the_page(
    pattern: Path, reading: PatternReading, class_plan: KitPlan
) -> None:
    printed = CliRunner().invoke(main, ["check", str(pattern)]).output
    page = reading_page_of(class_plan, reading)
    shown = re.sub(r"<[^>]+>", " ", page).replace("&#34;", '"')
    for fabric in view_read_fabrics(reading):
        assert fabric.sums in printed
        assert fabric.sums in shown
        for line in fabric.lines:
            for words in (line.where, line.words, *line.understood):
                assert words in printed
                assert words in " ".join(shown.split())


def test_the_page_is_counted_titled_and_linked_from_the_index(
    reading: PatternReading, small_plan: KitPlan, class_pages: Mapping[str, str]
) -> None:
    files = render_pages(small_plan, reading=reading).files
    assert 'href="reading.html"' in files["index.html"]
    assert "<title>What was read" in files["reading.html"]
    count = len(files)
    assert f"of {count}" in files["reading.html"]
    assert "reading.html" not in class_pages


def test_words_of_a_pattern_are_never_markup(reading: PatternReading, class_plan: KitPlan) -> None:
    note = replace(reading.notes[0], words="<script>alert(1)</script>{{ 7 * 7 }}")
    page = reading_page_of(class_plan, replace(reading, notes=(note,)))
    assert "<script>alert" not in page
    assert "{{ 7 * 7 }}" in page


def test_plan_writes_the_page_with_the_rest(tmp_path: Path) -> None:
    pattern = Path(__file__).parent.parent / "sample_patterns" / "ferry-tickets.csv"
    out = tmp_path / "out"
    result = CliRunner().invoke(main, ["plan", str(pattern), "--kits", "2", "--out", str(out)])
    assert result.exit_code == 0, result.output
    assert "blue ticket" in (out / "reading.html").read_text(encoding="utf-8")
    again = CliRunner().invoke(main, ["plan", str(pattern), "--kits", "2", "--out", str(out)])
    assert again.exit_code == 0, again.output

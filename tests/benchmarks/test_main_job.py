"""How long the main job takes, as a ratio to merely opening the workbook and writing a file.

Run ``pytest tests/benchmarks -s``. Nothing here asserts a time: machines differ. The ratios
are measured side by side in one run.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl import Workbook

from kitmaker.api import find_forms
from kitmaker.commands.halves import in_halves
from kitmaker.commands.inputs import read_inputs
from kitmaker.commands.plan import make_plan
from kitmaker.forms import Catalogue
from kitmaker.kits.choices import Options
from kitmaker.kits.convert import convert
from kitmaker.paper.results import build_results
from kitmaker.shop import Bag, Shop

HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")


def pattern_of(path: Path, fabrics: int, first: int = 0) -> Path:
    """Write a pattern with several fabrics of four sizes each, all different.

    Args:
        path: Where.
        fabrics: How many.
        first: Added to a count, so that no other pattern has the same fabrics.
    """
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Pieces"
    page.append(HEADS)
    for number in range(fabrics):
        for at, (width, length, count) in enumerate(
            [(20, 36, 24), (28, 28, 16), (12, 52, 12), (40, 40, 6 + (first > 0))]
        ):
            across = Fraction(width + number % 7, 8)
            along = Fraction(length + number % 5, 8)
            name = f"{chr(65 + at)}{number + 1}"
            page.append((f"Print {number + 1}", name, float(across), float(along), count))
    book.save(path)
    return path


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


@pytest.mark.parametrize("spread", [map, in_halves])
def test_convert_of_ten_fabrics_in_every_form(
    spread: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is worked out once is kept: each run has fabrics of its own, told by a size."""
    path = pattern_of(tmp_path / "ten.xlsx", 10, first=0 if spread is map else 50)
    opening = min(seconds(lambda: openpyxl.load_workbook(path)) for _ in range(3))
    inputs = read_inputs(path)
    forms = find_forms((), Catalogue())
    found: list[object] = []
    worked = time.process_time()
    took = seconds(
        lambda: found.extend(convert(inputs.reading.pattern, forms, Shop(), spread=spread))
    )
    worked = time.process_time() - worked
    assert len(found) == 10
    with capsys.disabled():
        print(
            f"\nconvert, 10 fabrics x {len(forms)} forms, {spread.__name__}: {took:.2f} s "
            f"({worked:.2f} s of work in this process), {took / opening:.0f} times opening the "
            f"workbook ({opening * 1000:.0f} ms)"
        )


@pytest.mark.parametrize("bag", list(Bag))
def test_plan_of_twenty_fabrics_and_thirty_kits(
    bag: Bag, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = pattern_of(tmp_path / "twenty.xlsx", 20)
    inputs = read_inputs(path)
    options = Options(kits=30, bags=((None, bag),))
    start = time.perf_counter()
    finished = make_plan(inputs, options)
    took = time.perf_counter() - start
    opening = min(seconds(lambda: openpyxl.load_workbook(path)) for _ in range(3))
    writing = min(seconds(lambda: build_results(finished.plan)) for _ in range(3))
    assert len(finished.plan.fabrics) == 20
    with capsys.disabled():
        print(
            f"\nplan, 20 fabrics x 30 kits, {bag.value}: {took:.2f} s, "
            f"{took / (opening + writing):.1f} times opening the workbook and writing the results "
            f"({(opening + writing) * 1000:.0f} ms)"
        )

"""How long a season takes, beside opening its workbooks and beside planning one of its classes.

Run ``pytest tests/benchmarks/test_season.py -s``. Nothing here asserts a time: machines differ.
All is measured in one run, in seconds of work.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from books import write

import kitmaker as km
from kitmaker.commands.halves import in_halves
from kitmaker.kits import solved

CLASSES, FABRICS, KITS = 12, 10, 12
PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
FORMS = ("Fabric", "In kit", "Form", "Bag")


def class_of(folder: Path, number: int) -> Path:
    """Write a class: every other fabric goes uncut in fat quarters, the rest is cut off bolts.

    No two classes ask for the same pieces, so that nothing is solved already.
    """
    rows: list[tuple[Any, ...]] = [PIECES]
    for fabric in range(FABRICS):
        for at, (width, length, count) in enumerate([(20, 36, 24), (28, 28, 16), (12, 52, 12)]):
            across = Fraction(width + number % 7, 8)
            along = Fraction(length + fabric % 5, 8)
            size = (float(across), float(along), count + number)
            rows.append((f"Print {fabric}", f"P{at}", *size))
    skus = [(f"Print {one}", None, f"S-{one}") for one in range(FABRICS)]
    fabrics = [("Fabric", "Requirement", "SKU"), *skus]
    pattern = write(folder / f"pattern-{number}.xlsx", {"Pieces": rows, "Fabrics": fabrics})
    facts = [
        ("Title", f"Class {number}"),
        ("Date", f"2027-{number % 12 + 1:02}-13"),
        ("Kits", KITS),
        ("Pattern file", pattern.name),
    ]
    ways = [("yes", "yardage", "pieces"), ("yes", "fat quarter", "uncut")]
    forms = [(f"Print {one}", *ways[one % 2]) for one in range(FABRICS)]
    return write(folder / f"class-{number}.xlsx", {"Class": facts, "Fabrics": [FORMS, *forms]})


def shelf_of(folder: Path) -> Path:
    """Write a shelf that lasts for some of the classes."""
    heads = ("SKU", "Form", "Length at hand", "Count at hand", "Cost")
    bolts = [(f"S-{one}", None, 15 + one, None, 6.5) for one in range(FABRICS) for _ in range(2)]
    piles = [(f"S-{one}", "fat quarter", None, 200, 2.6) for one in range(1, FABRICS, 2)]
    return write(folder / "shop.xlsx", {"Stock": [heads, *bolts, *piles]})


def work(of: Callable[[], object]) -> float:
    start = time.process_time()
    of()
    return time.process_time() - start


@pytest.mark.parametrize("spread", [None, in_halves])
def test_a_season_of_twelve_classes_with_ten_fabrics_each(
    spread: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    paths = [class_of(tmp_path, number) for number in range(CLASSES)]
    shop = km.read_shop(shelf_of(tmp_path))
    classes = [km.read_class(path, shop) for path in paths]
    books = [*paths, *tmp_path.glob("pattern-*.xlsx"), tmp_path / "shop.xlsx"]
    opening = work(lambda: [openpyxl.load_workbook(path) for path in books])
    pattern = km.read_pattern(tmp_path / "pattern-0.xlsx", shop=shop)
    solved.forget()
    alone = work(lambda: km.plan(pattern, shop=shop, class_sheet=classes[0]))
    solved.forget()
    seasons: list[km.Season] = []
    started = time.perf_counter()
    took = work(lambda: seasons.append(km.season(classes, shop, spread=spread)))
    waited = time.perf_counter() - started
    (season,) = seasons
    assert len(season.classes) == CLASSES
    assert all(one.is_planned for one in season.classes)
    assert season.order, "the shelf does not last for all of them"
    with capsys.disabled():
        where = "one process" if spread is None else "two processes, the first one's work"
        print(
            f"\nseason, {CLASSES} classes x {FABRICS} fabrics x {KITS} kits, {where}: {took:.1f} s "
            f"of work ({waited:.1f} s), {took / opening:.0f} times opening its workbooks, "
            f"{took / alone:.1f} times planning one class alone ({alone:.1f} s)"
        )

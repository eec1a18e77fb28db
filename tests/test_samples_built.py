"""The committed samples are what their builder writes, and they read without an error."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from kitmaker.errors import has_errors
from kitmaker.files import read_class, read_shop
from kitmaker.pattern import use_of
from kitmaker.reading.requirements import read_pattern
from kitmaker.shop import fold_role

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "sample_patterns"
NAMES = sorted(path.name for path in SAMPLES.iterdir() if path.suffix in (".xlsx", ".csv"))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("samples")
    builder = ROOT / "tests" / "build_samples.py"
    subprocess.run([sys.executable, str(builder), str(folder)], check=True, capture_output=True)
    return folder


def cells(path: Path) -> dict[tuple[str, str], object]:
    if path.suffix == ".csv":
        return {("", ""): path.read_text(encoding="utf-8")}
    workbook = openpyxl.load_workbook(path)
    return {
        (sheet.title, cell.coordinate): (cell.value, cell.number_format)
        for sheet in workbook.worksheets
        for row in sheet.iter_rows()
        for cell in row
    }


def test_the_builder_writes_every_sample_and_no_other(built: Path) -> None:
    assert sorted(path.name for path in built.iterdir()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_what_the_builder_writes(built: Path, name: str) -> None:
    assert cells(SAMPLES / name) == cells(built / name)


@pytest.mark.parametrize("name", NAMES)
def test_the_table_of_samples_names_each(name: str) -> None:
    assert f"| `{name}` |" in (SAMPLES / "README.md").read_text(encoding="utf-8")


def test_the_shop_reads_without_a_problem() -> None:
    reading = read_shop(SAMPLES / "juniper-and-thread-shop.xlsx")
    assert reading.problems == ()
    assert reading.shop.stock is not None
    assert len(reading.shop.stock) == 20


def test_the_class_reads_without_a_problem_and_its_colorways_add_up() -> None:
    shop = read_shop(SAMPLES / "juniper-and-thread-shop.xlsx")
    reading = read_class(SAMPLES / "harbor-lanterns-class.xlsx", shop)
    assert not has_errors(reading.problems)
    assert reading.problems == ()
    sheet = reading.class_sheet
    assert sheet.kits == sum(colorway.kits or 0 for colorway in sheet.colorways) == 12
    assert shop.shop.stock is not None
    on_the_shelf = {row.sku for row in shop.shop.stock}
    roles = {fold_role(fabric.role) for fabric in sheet.fabrics}
    for colorway in sheet.colorways:
        assert set(colorway.skus) == roles
        assert set(colorway.skus.values()) <= on_the_shelf
    assert {use_of(fabric.role).value for fabric in sheet.fabrics} == {"top", "binding", "backing"}


PIECES = {
    "harbor-lanterns.xlsx": {
        "Background": 100,
        "Lantern print 1": 40,
        "Lantern print 2": 40,
        "Ironwork": 60,
        "Border": 6,
        "Binding": 7,
        "Backing": 0,
    },
    "mill-pond-stars-as-written.xlsx": {
        "Star prints": 12 + 96,
        "Background": 48 + 48,
        "Sashing": 31,
        "Cornerstones": 20,
        "Outer border": 6,
        "Binding": 7,
        "Backing": 0,
    },
    "fjord-steps-metric.xlsx": {
        "Rail 1": 48,
        "Rail 2": 48,
        "Rail 3": 48,
        "Rail 4": 48,
        "Border": 6,
        "Binding": 7,
    },
    "orchard-gate-one-way.xlsx": {"Orchard print": 16, "Gate": 64, "Vine stripe": 2 + 2 + 5},
    "tern-stars-finished-sizes.xlsx": {
        "Sea print": 9 + 18,
        "Background": 18 + 9,
        "Sand print": 36 + 16,
        "Sashing": 24,
        "Border": 1,
        "Binding": 1,
        "Backing": 0,
    },
    "picket-lane-joined.xlsx": {
        "Picket prints": 72,
        "Lane": 5,
        "Hedge": 5,
        "Binding": 6,
        "Backing": 0,
    },
    "rainy-day-runner-yardage.xlsx": {
        "Umbrella prints": 0,
        "Background": 0,
        "Border": 0,
        "Binding": 0,
        "Backing": 0,
    },
    "ferry-tickets.csv": {
        "Ticket blue": 15,
        "Ticket green": 15,
        "Ticket red": 15,
        "Ticket yellow": 15,
        "Stub": 60,
        "Binding": 5,
    },
}
BOATS = {
    "crib": {"Sky": 40, "Sails": 20, "Hulls": 40, "Water": 20, "Border": 5, "Binding": 5},
    "throw": {"Sky": 84, "Sails": 42, "Hulls": 84, "Water": 42, "Border": 6, "Binding": 7},
}


def counts(name: str, size: str | None = None) -> dict[str, int]:
    reading = read_pattern(SAMPLES / name, size)
    assert not has_errors(reading.problems), [str(problem) for problem in reading.problems]
    return {
        fabric.role: sum(piece.quantity for piece in fabric.pieces)
        for fabric in reading.pattern.fabrics
    }


@pytest.mark.parametrize("name", sorted(PIECES))
def test_a_pattern_reads_with_all_its_pieces(name: str) -> None:
    assert counts(name) == PIECES[name]


@pytest.mark.parametrize("size", sorted(BOATS))
def test_the_pattern_in_two_sizes_reads_in_each(size: str) -> None:
    assert counts("paper-boats-two-sizes.xlsx", size) == BOATS[size]


def test_every_pattern_among_the_samples_is_read() -> None:
    patterns = {name for name in NAMES if "shop" not in name and "class" not in name}
    assert patterns == {*PIECES, "paper-boats-two-sizes.xlsx"}

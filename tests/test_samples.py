"""Every shipped sample runs, as a shop would run it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from kitmaker.cli import main

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
SHOP = SAMPLES / "juniper-and-thread-shop.xlsx"
CLASSES = sorted(SAMPLES.glob("*-class.xlsx"))
PATTERNS = sorted(
    path
    for path in SAMPLES.iterdir()
    if path.suffix in (".xlsx", ".csv") and path != SHOP and path not in CLASSES
)
SIZES = {"paper-boats-two-sizes.xlsx": ("crib", "throw")}
CASES = [(path, size) for path in PATTERNS for size in SIZES.get(path.name, (None,))]
NAMES = [f"{path.stem}-{size}" if size else path.stem for path, size in CASES]


def run(*words: object) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, [str(word) for word in words])
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize(("path", "size"), CASES, ids=NAMES)
def test_a_sample_pattern_is_read_without_an_error(path: Path, size: str | None) -> None:
    code, out, err = run("check", path, *(("--size", size) if size else ()), "--json")
    assert code == 0, err
    data = json.loads(out)
    assert data["fabrics"]
    assert not [problem for problem in data["problems"] if problem["level"] == "error"]


@pytest.mark.parametrize(("path", "size"), CASES, ids=NAMES)
def test_a_sample_pattern_is_planned(path: Path, size: str | None, tmp_path: Path) -> None:
    words = ["plan", path, "--shop", SHOP, "--kits", 2, "--out", tmp_path / "kits", "--json"]
    code, out, err = run(*words, *(("--size", size) if size else ()))
    assert code == 0, err
    assert json.loads(out)["kits"] == 2


@pytest.mark.parametrize("path", CLASSES, ids=lambda path: path.stem)
def test_a_sample_class_is_planned_from_its_own_workbook(path: Path, tmp_path: Path) -> None:
    code, out, err = run(
        "plan", "--class", path, "--shop", SHOP, "--out", tmp_path / "kits", "--json"
    )
    assert code == 0, err
    data = json.loads(out)
    assert data["kits_possible"] >= data["kits"] + data["spare_kits"] >= 5


def test_the_sample_classes_share_one_shelf_and_run_short_of_something(tmp_path: Path) -> None:
    code, out, err = run("season", *CLASSES, "--shop", SHOP, "--out", tmp_path / "season", "--json")
    assert code == 1, err
    data = json.loads(out)
    assert [one["date"] for one in data["classes"]] == [
        "2027-01-16",
        "2027-02-20",
        "2027-03-13",
        "2027-05-08",
    ]
    assert [one["complete"] for one in data["classes"]] == [True, True, False, True]
    assert {one["sku"] for one in data["order"]} == {"JT-101", "JT-210"}
    assert {one["assumed"] for one in data["order"]} == {True, False}


def test_there_is_a_sample_of_every_sort() -> None:
    assert len(PATTERNS) >= 6
    assert len(CLASSES) >= 1
    assert SHOP.exists()

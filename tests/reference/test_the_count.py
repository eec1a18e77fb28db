"""The count of published rows in README.md adds up, and tables of data are as long as it says."""

from __future__ import annotations

import csv
import re
from pathlib import Path

HERE = Path(__file__).parent
ROW = re.compile(
    r"\| (?P<what>[^|]+) \| (?P<rows>\d+) \| (?P<tested>\d+) \| (?P<alone>\d+) "
    r"\| (?P<where>[^|]+) \|"
)


def table() -> list[re.Match[str]]:
    return list(ROW.finditer((HERE / "README.md").read_text(encoding="utf-8")))


def test_the_sums_are_right() -> None:
    text = (HERE / "README.md").read_text(encoding="utf-8")
    rows = sum(int(row["rows"]) for row in table())
    tested = sum(int(row["tested"]) for row in table())
    alone = sum(int(row["alone"]) for row in table())
    assert f"| **together** | **{rows}** | **{tested}** | **{alone}** |" in text
    assert f"The {rows - tested} others" in text


def test_every_file_named_is_there_and_every_test_of_published_figures_is_named() -> None:
    named = {name for row in table() for name in re.findall(r"`(test_\w+\.py)`", row["where"])}
    there = {path.name for path in HERE.glob("test_*.py")}
    assert named <= there
    assert there - named == {
        "test_dual_units.py",
        "test_each_formula_bites.py",
        "test_joins_worked_out.py",
        "test_the_count.py",
    }


def test_what_is_not_in_print_is_counted_apart() -> None:
    names = re.compile(r"^def test_(?:worked_out|drawn|common_practice)_", re.MULTILINE)
    texts = [path.read_text(encoding="utf-8") for path in HERE.glob("test_*.py")]
    count = sum(len(names.findall(text)) for text in texts)
    assert f"counted apart: {count} checks" in (HERE / "README.md").read_text(encoding="utf-8")


def test_a_table_of_data_has_the_rows_that_are_counted() -> None:
    lengths = {}
    for path in HERE.glob("data/*.csv"):
        with path.open(encoding="utf-8", newline="") as lines:
            lengths[path.stem] = len(list(csv.DictReader(lines)))
    counted = {
        Path(re.findall(r"`test_(\w+?)(?:_published)?\.py`", row["where"])[0]).stem: int(
            row["rows"]
        )
        for row in table()
        if "diagonals" not in row["what"]
    }
    counted["setting_triangles"] = counted.pop("on_point")
    assert lengths == {name: counted[name] for name in lengths}

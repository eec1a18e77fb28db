"""No page names an author or a business from outside: formulas bear numbers, the docs say whose."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kitmaker import api
from kitmaker.paper.render import render_pages

ROOT = Path(__file__).parent.parent
TOLD = (ROOT / "tests" / "reference" / "README.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (\d+) \| [^|]+ \| ([^|]+) \|$", TOLD, re.MULTILINE)
FINISHED = (
    "tern-stars-finished-sizes.xlsx",
    "picket-lane-joined.xlsx",
    "mill-pond-stars-as-written.xlsx",
)


def source_words() -> set[str]:
    """The words of the sources that name somebody."""
    words = {word for _, source in ROWS for word in re.findall(r"[A-Z][\w'’-]{4,}", source)}
    common = "Formulas Quilters Quilting Square Squares Single Flying Geese Triangles Settings "
    common += "Determining Border Lengths Algorithms Cornerstones Sashes Calculate Fabric Binding "
    common += "Question Half-Square Lesson Point Quilts On-Point"
    return words - set(common.split())


def test_every_formula_has_its_row() -> None:
    assert [int(number) for number, _ in ROWS] == list(range(1, len(ROWS) + 1))
    code = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "kitmaker").rglob("*.py"))
    named = {int(number) for number in re.findall(r"\bformula (\d+)\b", code)}
    assert named == set(range(1, len(ROWS) + 1))


@pytest.mark.parametrize("name", FINISHED)
def test_no_page_of_a_sample_names_a_source(name: str) -> None:
    reading = api.read_pattern(ROOT / "sample_patterns" / name)
    files = render_pages(api.plan(reading, kits=1), reading=reading).files
    assert "Combs" in source_words()
    for page, text in files.items():
        words = set(re.findall(r"[\w'’-]+", re.sub(r"<[^>]*>", " ", text)))
        assert words & source_words() == set(), page
    assert name != FINISHED[0] or "formula 1)" in files["reading.html"]

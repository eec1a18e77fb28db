"""Any text survives into pages and workbook, unchanged and harmless."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from dataclasses import replace
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kitmaker.paper.plan_json import plan_to_json
from kitmaker.paper.problem_json import dump
from kitmaker.paper.render import render_pages
from kitmaker.paper.results import build_results

if TYPE_CHECKING:
    from kitmaker.plans import KitPlan

# Letters that paper shows: no controls, no marks that steer text, no halves of letters.
shown = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp", "Zs", "Mn"))
names = st.text(shown, min_size=1, max_size=30)
anything = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=60)


class Page(HTMLParser):
    """The tags, attributes and text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.shape: list[tuple[str, tuple[str, ...]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.shape.append((tag, tuple(name for name, _ in attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def named(plan: KitPlan, name: str) -> KitPlan:
    return replace(plan, pattern=replace(plan.pattern, name=name))


def cells_and_formulas(plan: KitPlan) -> tuple[list[Any], list[str]]:
    book = openpyxl.load_workbook(io.BytesIO(build_results(plan)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    return cells, [str(cell.value) for cell in cells if cell.data_type == "f"]


@example("<script>alert(1)</script>")
@example("{{7*7}}{%if%}")
@example("=1+1")
@example("'\"><b>&amp;")
@given(names)
def test_a_name_stands_on_the_index_as_it_was_typed(small_plan: KitPlan, name: str) -> None:
    pages = render_pages(named(small_plan, name)).files
    assert name in "".join(Page(pages["index.html"]).words)


def shape(text: str) -> set[tuple[str, tuple[str, ...]]]:
    """A page's tags with the names of their attributes."""
    return set(Page(text).shape)


@pytest.fixture(scope="module")
def class_shapes(
    class_pages: Mapping[str, str],
) -> dict[str, set[tuple[str, tuple[str, ...]]]]:
    return {file: shape(text) for file, text in class_pages.items()}


@given(anything)
def test_no_text_changes_the_shape_of_a_page(
    class_plan: KitPlan, class_shapes: Mapping[str, set[tuple[str, tuple[str, ...]]]], name: str
) -> None:
    odd = render_pages(named(class_plan, name)).files
    assert set(class_shapes) == set(odd)
    for file, text in odd.items():
        assert shape(text) <= class_shapes[file], file


@pytest.fixture(scope="module")
def class_formulas(class_plan: KitPlan) -> list[str]:
    return cells_and_formulas(named(class_plan, "x"))[1]


@example("=HYPERLINK(1)")
@example("+1")
@example("@x")
@example("http://example.invalid/")
@given(names)
def test_a_name_stands_in_the_workbook_as_text(
    class_plan: KitPlan, class_formulas: list[str], name: str
) -> None:
    cells, formulas = cells_and_formulas(named(class_plan, name))
    titles = [str(cell.value) for cell in cells if cell.value is not None]
    assert any(name in title for title in titles)
    assert formulas == class_formulas
    assert not [cell for cell in cells if cell.hyperlink]


@given(anything)
def test_every_text_gives_a_workbook_that_opens(class_plan: KitPlan, name: str) -> None:
    book = openpyxl.load_workbook(io.BytesIO(build_results(named(class_plan, name))))
    assert len(book.sheetnames) >= 5


@given(anything)
def test_a_name_comes_back_from_the_plan_as_data(class_plan: KitPlan, name: str) -> None:
    told = json.loads(dump(plan_to_json(named(class_plan, name))))
    assert told["pattern"] == name or told["pattern"]["name"] == name

"""The page of forms compared: what stands on it, where it is written, how it looks on a phone."""

from __future__ import annotations

import json
import re
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from headless import across, print_pdf, show
from quilt import fabric, pattern, piece, priced_catalogue, shop, strip
from test_cli import LANTERNS, SHOP, run
from test_pages import Page

from kitmaker.errors import ExitCode, error
from kitmaker.kits.convert import convert
from kitmaker.paper.render import render_forms
from kitmaker.paper.sheets.forms_page import view_forms
from kitmaker.pattern import Fabric, PatternReading
from kitmaker.shop import Shop

STARS = fabric("Stars <b>", piece("A", 5, 5, 13), yards="1.5")
BINDING = fabric("Binding", strip("B", "2.5", 6))
FORMS = ("fat-quarter", "strip-2.5", "half-yard", "yardage")
PRICED = shop(catalogue=priced_catalogue(fat_quarter="2.60", half_yard="4.00"))
PLAIN = shop()


def page_of(*fabrics: Fabric, at: Shop = PRICED, kits: int = 1, why: bool = False) -> str:
    asked = [(name, at.catalogue.find(name)) for name in FORMS]
    options = list(convert(pattern(*fabrics), asked, at, kits))
    return render_forms(view_forms(options, PatternReading(pattern=pattern(*fabrics)), at, why=why))


def rows(page: Page) -> list[str]:
    return [text for text in page.texts("tr") if re.match(r"\d+\. ", text)]


def test_it_is_balanced_html_that_loads_nothing() -> None:
    text = page_of(STARS, BINDING)
    page = Page(text)
    assert page.faults == []
    assert len(page.texts("h1")) == len(page.texts("main")) == 1
    assert all(attributes.get("scope") for attributes, _ in page.all("th"))
    assert not re.search(r"<(script|link|img|iframe|object|form)\b|@import|url\(|https?:", text)
    assert "Stars <b>" in page.texts("h2")[2], "a name is no markup"
    assert "plan " not in page.texts("header")[0], "there is no plan yet"


def test_forms_are_ranked_and_the_pick_is_marked_in_a_word() -> None:
    page = Page(page_of(STARS, BINDING))
    assert [row.partition(". ")[0] for row in rows(page)] == ["1", "2", "3", "1", "2", "3"]
    marked = [text for _, text in page.of_class("pick")]
    assert [text.split("pick")[0].strip() for text in marked] == ["1. half yard", "1. half yard"]


def test_bars_have_their_figure_beside_them() -> None:
    page = Page(page_of(STARS))
    gauges = [text for _, text in page.of_class("gauge")]
    bars = page.of_class("bar")
    assert len(gauges) == len(bars) == 2 + 3, "two costs, three shares of cloth"
    assert all(re.fullmatch(r"\$\d+\.\d\d|(\d+|under 1) %", text) for text in gauges)
    used = [attributes["style"] for attributes, _ in page.of_class("used")]
    assert used.count("width:100%") == 1, "the dearest cost fills its bar"


def test_what_will_not_fit_stands_in_one_line_with_its_reasons_folded_up() -> None:
    page = Page(page_of(STARS))
    assert page.texts("summary") == ["Won’t fit: 2½-inch strip"]
    (folded,) = page.all("details")
    assert "open" not in folded[0]
    assert "does not fit" in folded[1]
    (opened,) = Page(page_of(STARS, why=True)).all("details")
    assert "open" in opened[0]


def test_the_picks_are_added_up() -> None:
    page = Page(page_of(STARS, BINDING, kits=10))
    (total,) = page.of_class("total")
    costs = [D(row.split("$")[1].split()[0]) for row in page.texts("tr")[1:3]]
    assert f"${sum(costs)}" in total[1]
    assert "10 kits" in page.texts("header")[0]


def test_without_costs_there_is_no_column_for_them_and_a_line_says_why() -> None:
    page = Page(page_of(STARS, at=PLAIN))
    assert "No costs are known" in page.texts("main")[0]
    assert "Cost" not in page.texts("table")[1]
    assert "not known" not in page.texts("table")[0]
    assert "The cheapest of each" not in page.texts("h2")
    assert len(rows(page)) == 3


def test_a_form_without_a_cost_is_said_to_come_last_and_where_a_cost_is_given() -> None:
    page = Page(page_of(STARS))
    assert any("only if the Forms sheet gives it" in text for text in page.texts("p"))


def test_an_estimate_is_no_pick() -> None:
    page = Page(page_of(fabric("Backing", yards="3.5")))
    assert not page.of_class("pick")
    assert "3.5 yd, as the pattern states it" in page.texts("tr")[1]
    assert all("no fewer than" in row for row in rows(page))


def test_lines_that_were_not_read_stand_on_it() -> None:
    at, of = PLAIN, pattern(STARS)
    reading = PatternReading(pattern=of, problems=(error("cannot read 'dozen-ish'"),))
    options = list(convert(of, [("yardage", at.catalogue.yardage)], at))
    assert "dozen-ish" in Page(render_forms(view_forms(options, reading, at))).texts("main")[0]


# where it is written


def test_a_folder_with_the_page_is_written_and_replaced(tmp_path: Path) -> None:
    words = ("convert", LANTERNS, "--shop", SHOP, "--form", "square-10", "--form", "strip-2.5")
    out = tmp_path / "forms"
    for _ in range(2):
        result = run(*words, "--out", out)
        assert result.exit_code in (ExitCode.DONE, ExitCode.CANNOT_BE_MET)
        assert result.stdout.splitlines()[-1] == f"Open {out / 'forms.html'}"
        assert sorted(one.name for one in out.iterdir()) == ["forms.html", "forms.json"]
    printed = json.loads(run(*words, "--json").stdout)
    written = json.loads((out / "forms.json").read_text(encoding="utf-8"))
    assert {key: written[key] for key in printed} == printed


def test_a_folder_with_anything_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    result = run("convert", LANTERNS, "--form", "strip-2.5", "--out", tmp_path)
    assert result.exit_code == ExitCode.NOT_WRITTEN
    assert [one.name for one in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.browser
def test_it_does_not_scroll_sideways_on_a_phone_and_prints(
    tab: Any, phone: Any, tmp_path: Path
) -> None:
    long = fabric("Background of the outer border " * 3, piece("A", 5, 5, 13), yards="1.5")
    text = page_of(long, STARS, BINDING, kits=1000)
    show(phone, tmp_path, text)
    assert across(phone) == 390
    printed = print_pdf(tab, tmp_path, text).pages[0].extract_text()
    assert "Which form for which fabric" in printed

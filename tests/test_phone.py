"""Pages on a phone: nothing scrolls sideways, and boxes that are checked stay checked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from headless import across

from kitmaker.paper.render import render_pages
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan

pytestmark = pytest.mark.browser

AT_TRUE_SIZE = ("bag-labels", "piece-labels", "poster")


@pytest.fixture
def folder(class_plan: KitPlan, tmp_path: Path) -> Path:
    write(class_plan, tmp_path)
    return tmp_path


def write(plan: KitPlan, folder: Path) -> None:
    files = render_pages(plan, reading=PatternReading(pattern=plan.pattern)).files
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


def too_wide(page: Any) -> list[str]:
    """Return what runs over the page's right edge, and whatever scrolls by itself."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll("body *")].filter(one => {
            const shown = one.getClientRects().length && !one.closest(".unseen, svg");
            const over = one.getBoundingClientRect().right > innerWidth + 1;
            const scrolls = one.scrollWidth > one.clientWidth + 1
              && ["auto", "scroll"].includes(getComputedStyle(one).overflowX);
            return shown && (over || scrolls);
        }).map(one => one.outerHTML.slice(0, 80))"""
    )
    return found


def test_nothing_scrolls_sideways_at_390_px(phone: Any, folder: Path) -> None:
    wide = {}
    for path in sorted(folder.glob("*.html")):
        if path.name.startswith(AT_TRUE_SIZE):
            continue
        phone.goto(path.as_uri())
        over = too_wide(phone)
        if across(phone) > 390 or over:
            wide[path.name] = (across(phone), over[:3])
    assert wide == {}


def ticked(page: Any) -> list[bool]:
    found: list[bool] = page.evaluate(
        "[...document.querySelectorAll('input.box')].map(one => one.checked)"
    )
    return found


def test_a_checked_box_stays_checked_and_a_new_plan_begins_with_none(
    browser: Any, folder: Path, class_plan: KitPlan
) -> None:
    page = browser.new_page()
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text))
    page.goto((folder / "packing-list.html").as_uri())
    assert not any(ticked(page))
    page.locator("input.box").nth(4).check()
    page.get_by_label("Binding, kit 2", exact=True).check()
    before = ticked(page)
    assert sum(before) == 2
    page.reload()
    assert ticked(page) == before
    page.locator("input.box").nth(4).uncheck()
    page.reload()
    assert sum(ticked(page)) == 1
    page.goto((folder / "pull-list.html").as_uri())
    assert not any(ticked(page)), "each page has boxes of its own"
    write(replace(class_plan, number="A1B2C3"), folder)
    page.goto((folder / "packing-list.html").as_uri())
    assert ticked(page)
    assert not any(ticked(page))
    assert faults == [], "the page's own policy lets its script run"


def test_boxes_are_named_and_work_without_a_script(browser: Any, folder: Path) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto((folder / "cutting-and-bagging-sheet.html").as_uri())
    box = page.get_by_role("checkbox", name="pulled: JT-210 Lantern gold")
    box.check()
    assert box.is_checked()
    names = [one.get_attribute("aria-label") for one in page.get_by_role("checkbox").all()]
    assert all(names)


def test_a_printed_box_is_empty_whatever_is_checked(browser: Any, folder: Path) -> None:
    page = browser.new_page()
    page.goto((folder / "pull-list.html").as_uri())
    page.locator("input.box").first.check()
    image = "getComputedStyle(document.querySelector('input.box')).backgroundImage"
    assert page.evaluate(image) != "none"
    page.emulate_media(media="print")
    assert page.evaluate(image) == "none"

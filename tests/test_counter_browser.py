"""The counter in a real browser: by keyboard, in two tabs, on a phone, and for a screen reader."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pypdf
import pytest
from counter_kit import served, small_folder, wait_for
from headless import across, ask_axe

import kitmaker as km

pytestmark = pytest.mark.browser

WIDTHS = (390, 820, 1440)


class Visit:
    """One person at the counter: a tab, what went wrong in it, and where it all lies."""

    def __init__(self, browser: Any, address: str, width: int = 820) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900})
        self.home = address.split("/?")[0]
        self.faults: list[str] = []
        self.tab = self.another_tab()
        self.tab.goto(address)

    def another_tab(self) -> Any:
        tab = self.context.new_page()
        tab.set_default_timeout(30_000)
        tab.on("pageerror", lambda fault: self.faults.append(str(fault)))
        tab.on("console", lambda said: self._listen(said))
        return tab

    def _listen(self, said: Any) -> None:
        if said.type == "error" and "status of 409" not in said.text:
            self.faults.append(said.text)


@pytest.fixture
def visit(browser: Any, tmp_path: Path) -> Iterator[tuple[Visit, Path]]:
    folder = small_folder(tmp_path / "shop")
    with served(folder) as address:
        made = Visit(browser, address)
        yield made, folder
        made.context.close()
        assert made.faults == []


def focus_on(tab: Any, role: str, name: str) -> None:
    """Press Tab until what is meant has the focus, as someone without a mouse does."""
    for _ in range(120):
        tab.keyboard.press("Tab")
        if tab.evaluate(FOCUSED) == [role, name]:
            return
    raise AssertionError(f"no {role} '{name}' can be reached by keyboard")


FOCUSED = """() => {
  const at = document.activeElement;
  const label = at.getAttribute("aria-label") || (at.labels && at.labels[0]
    ? at.labels[0].textContent : at.textContent);
  return [at.tagName.toLowerCase(), label.trim().replace(/\\s+/g, " ")];
}"""


def type_in(tab: Any, role: str, name: str, text: str) -> None:
    focus_on(tab, role, name)
    if role == "input":
        tab.keyboard.press("Control+A")
    tab.keyboard.type(text)


PAGE = """Dune Grass

Fabric requirements
Sky: 1 yard
Sand: 1/2 yard

Cutting
From the sky, cut:
(12) 5" squares
From the sand, cut:
12 HST
"""


def test_from_an_empty_folder_and_a_page_to_printed_labels_by_keyboard_alone(
    browser: Any, tmp_path: Path
) -> None:
    with served(tmp_path) as address:
        made = Visit(browser, address)
        tab = made.tab
        type_in(tab, "input", "Name of the pattern", "Dune Grass")
        focus_on(tab, "textarea", PASTE_HERE)
        tab.keyboard.insert_text(PAGE)
        press(tab, "button", "Draft")
        tab.wait_for_url("**/pattern?file=Dune-Grass-draft.xlsx")
        type_in(tab, "input", "Cut width, 12 HST", "3 7/8")
        type_in(tab, "input", "Cut length, 12 HST", "3 7/8")
        type_in(tab, "input", "Quantity, 12 HST", "6")
        press(tab, "button", "Save")
        tab.wait_for_url("**saved=y")
        assert "Nothing waits" in tab.locator("main").inner_text()
        press(tab, "button", "New class")
        tab.wait_for_url("**/class/new**")
        type_in(tab, "input", "Kits", "3")
        press(tab, "button", "Plan")
        tab.wait_for_url("**/index.html")
        press(tab, "a", "Bag labels")
        tab.wait_for_url("**/bag-labels.html")
        tab.evaluate("window.print = () => { window.printed = document.title; }")
        press(tab, "button", "Print")
        assert "abels" in tab.evaluate("window.printed")
        sheets = tab.locator("section.sheet").count()
        printed = pypdf.PdfReader(io.BytesIO(tab.pdf(prefer_css_page_size=True)))
        assert len(printed.pages) == sheets > 0  # the counter's bar takes no room on paper
        tab.emulate_media(media="print")
        assert not tab.locator(".counter-bar").is_visible()
        assert tab.get_by_text("Kit 3 of 3").is_visible()
        assert made.faults == []
        made.context.close()
    kinds = sorted({one.suffix for one in tmp_path.iterdir()})
    assert kinds == ["", ".xlsx"]  # workbooks and a plan's folder, nothing else


PASTE_HERE = (
    "Fabrics and cutting instructions, as they are printed (of a pattern the shop has bought)"
)


def press(tab: Any, role: str, name: str) -> None:
    focus_on(tab, role, name)
    tab.keyboard.press("Enter")


def test_a_class_is_filled_in_by_keyboard_alone(visit: tuple[Visit, Path]) -> None:
    made, folder = visit
    tab = made.tab
    press(tab, "button", "New class")
    tab.wait_for_url("**/class/new**")
    type_in(tab, "input", "Title", "Gulls by keyboard")
    type_in(tab, "input", "Date", "May 1, 2027")
    type_in(tab, "input", "Kits", "3")
    type_in(tab, "input", "Colorway", "Evening")
    type_in(tab, "select", "Sky, Evening", "CT-3")
    type_in(tab, "select", "Sand, Evening", "CT-2")
    type_in(tab, "select", "Form, Sky", "fat quarter")
    press(tab, "button", "Save")
    tab.wait_for_url("**saved=yes")
    assert tab.get_by_role("status").inner_text() == "Saved."
    sheet = km.read_class(folder / "Gulls-by-keyboard-class.xlsx").class_sheet
    assert (sheet.kits, sheet.date, sheet.spare_kits) == (3, "May 1, 2027", None)
    assert [(one.name, one.skus) for one in sheet.colorways] == [
        ("Evening", {"sky": "CT-3", "sand": "CT-2"})
    ]


def test_two_tabs_and_another_program_change_one_file(visit: tuple[Visit, Path]) -> None:
    made, folder = visit
    first, second = made.tab, made.another_tab()
    for tab in (first, second):
        tab.goto(f"{made.home}/class?file=gulls-class.xlsx")
    first.get_by_label("Teacher").fill("Wren")
    first.get_by_role("button", name="Save").click()
    assert "Saved." in first.get_by_role("status").inner_text()
    second.get_by_label("Teacher").fill("Finch")
    second.get_by_role("button", name="Save").click()
    assert (
        "was changed in another program or another tab" in second.get_by_role("alert").inner_text()
    )
    assert second.get_by_label("Teacher").input_value() == "Wren"
    path = folder / "gulls-class.xlsx"
    book = openpyxl.load_workbook(path)
    book["Class"]["B3"] = 5
    book.save(path)
    second.get_by_role("button", name="Plan").click()
    assert "was changed in another program" in second.get_by_role("alert").inner_text()
    assert second.get_by_label("Kits", exact=True).input_value() == "5"
    second.get_by_label("Kits, Morning").fill("5")
    second.get_by_role("button", name="Save").click()
    second.wait_for_url("**saved=yes")
    assert openpyxl.load_workbook(path)["Colorways"]["B2"].value == 5


def test_back_and_forward_and_a_reload_in_mid_plan(visit: tuple[Visit, Path]) -> None:
    made, folder = visit
    tab = made.tab
    tab.goto(f"{made.home}/class?file=gulls-class.xlsx")
    tab.get_by_role("button", name="Plan").click()
    tab.wait_for_url("**/runs/*")
    running = tab.url
    tab.reload()
    assert tab.get_by_role("heading", level=1).inner_text() in (
        "Working it out", "The whole kit at a glance",
    )  # fmt: skip
    tab.wait_for_url("**/index.html")
    plans = [one for one in folder.iterdir() if one.is_dir()]
    assert len(plans) == 1
    tab.go_back()
    assert tab.url.endswith("/class?file=gulls-class.xlsx")
    tab.go_forward()
    tab.wait_for_url("**/index.html")
    tab.get_by_role("link", name="Pull list").first.click()
    box = tab.locator("input.box").first
    box.check()
    tab.reload()
    assert box.is_checked()  # the page's own script runs, known by its digest
    tab.goto(running)  # an address that was kept leads to what came of it
    tab.wait_for_url("**/index.html")
    assert [one for one in folder.iterdir() if one.is_dir()] == plans


def test_a_run_can_be_stopped_from_the_page(visit: tuple[Visit, Path]) -> None:
    made, folder = visit
    tab = made.tab
    tab.goto(f"{made.home}/forms?pattern=gull-point.xlsx")
    tab.get_by_role("button", name="Work it out").click()
    tab.get_by_role("button", name="Stop").click()
    wait_for(lambda: tab.get_by_role("heading", level=1).inner_text() != "Working it out")
    heading = tab.get_by_role("heading", level=1).inner_text()
    assert heading == "Stopped" or "forms and money" in heading  # it may have been faster
    assert [one for one in folder.iterdir() if one.is_dir()] == []


def test_forms_are_chosen_with_their_money_and_saved_in_the_class(
    visit: tuple[Visit, Path],
) -> None:
    made, folder = visit
    tab = made.tab
    tab.goto(f"{made.home}/class?file=gulls-class.xlsx")
    tab.get_by_role("link", name="Compare the forms, with money").click()
    tab.get_by_role("button", name="Work it out").click()
    tab.wait_for_url("**/forms?**")
    sky = tab.get_by_role("group", name="Sky")
    assert sky.locator(".chosen").inner_text().startswith("Chosen: 1 fat quarter; $2.50")
    before = tab.locator(".sum").inner_text()
    sky.get_by_text("more, without a known cost").click()
    sky.get_by_role("radio", name="yardage").check()
    assert re.search(r"Chosen: .*yd; ", sky.locator(".chosen").inner_text())
    assert "without a known cost" in tab.locator(".sum").inner_text() != before
    tab.get_by_role("button", name="Save").click()
    tab.wait_for_url("**saved=yes")
    rows = km.read_class(folder / "gulls-class.xlsx").class_sheet.fabrics
    assert [(row.role, row.form) for row in rows] == [("Sky", "yardage")]


def test_without_script_the_forms_still_work(browser: Any, tmp_path: Path) -> None:
    folder = small_folder(tmp_path / "shop")
    with served(folder) as address:
        context = browser.new_context(java_script_enabled=False)
        tab = context.new_page()
        tab.goto(address)
        tab.goto(f"{address.split('/?')[0]}/class?file=gulls-class.xlsx")
        tab.get_by_label("Spare kits").fill("1")
        tab.get_by_role("button", name="Plan").click()
        tab.wait_for_url("**/index.html", timeout=60_000)
        assert tab.get_by_role("heading", level=1).inner_text() == "The whole kit at a glance"
        context.close()


def test_no_view_scrolls_sideways_or_has_a_fault_that_axe_finds(
    visit: tuple[Visit, Path], axe: str
) -> None:
    made, folder = visit
    tab = made.tab
    (folder / "unsure.csv").write_text("Fabric,Cutting instructions\nSky,Cut some squares\n")
    long = "a-name-that-goes-on-" * 6
    (folder / f"{long}.csv").write_text("Fabric,Requirement\nSky,1 yd\n")
    tab.goto(f"{made.home}/forms?pattern=gull-point.xlsx")
    tab.get_by_role("button", name="Work it out").click()
    faults = look_at(tab, axe, "run")
    tab.wait_for_url("**/forms?**")
    views = {
        "forms": "/forms?pattern=gull-point.xlsx",
        "home": "/",
        "pattern": "/pattern?file=gull-point.xlsx",
        "unsure": "/pattern?file=unsure.csv",
        "class": "/class?file=gulls-class.xlsx",
        "new class": "/class/new?pattern=gull-point.xlsx",
        "gone": "/runs/none",
    }
    made.faults.clear()
    for name, address in views.items():
        tab.goto(made.home + address)
        faults += look_at(tab, axe, name)
    (folder / "second-shop.xlsx").write_bytes((folder / "cove-shop.xlsx").read_bytes())
    tab.goto(f"{made.home}/class?file=gulls-class.xlsx")
    faults += look_at(tab, axe, "which shop")
    assert faults == []
    made.faults.clear()  # a page that is not there is a fault in the browser's eyes


def look_at(tab: Any, axe: str, name: str) -> list[object]:
    """Return what is wrong with a view: at each width, and in axe-core's eyes."""
    faults: list[object] = []
    for width in WIDTHS:
        tab.set_viewport_size({"width": width, "height": 900})
        if across(tab) > width:
            faults.append((name, width, "scrolls sideways"))
    found = ask_axe(tab, axe)
    assert len(found["passes"]) > 15, name
    faults += [
        (name, one["id"], [node["html"][:160] for node in one["nodes"][:3]])
        for one in found["violations"]
    ]
    return faults

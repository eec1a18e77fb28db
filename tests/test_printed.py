"""Pages as a browser prints them: labels at true size, text inside them, every page numbered."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from headless import print_pdf, show
from plan_builder import page_of

from kitmaker.errors import Location
from kitmaker.paper.labels import PAPERS, find_label_sheet, place_labels
from kitmaker.plans import KitPlan, LabelChoice
from kitmaker.shop import Extra

pytestmark = pytest.mark.browser

MM_A_PIXEL = 25.4 / 96
MM_A_POINT = 25.4 / 72
MEASURE = """() => {
  const box = one => {
    const r = one.getBoundingClientRect();
    return [r.left, r.top, r.width, r.height];
  };
  const inked = one => {
    const r = document.createRange();
    r.selectNodeContents(one);
    return box(r);
  };
  const points = one => parseFloat(getComputedStyle(one).fontSize) * 0.75;
  const sheets = [...document.querySelectorAll(".sheet")].map(sheet => ({
    sheet: box(sheet),
    margin: box(sheet.querySelector(".margin")),
    scale: box(sheet.querySelector(".scale")),
    labels: [...sheet.querySelectorAll(".label")].map(label => ({
      box: box(label),
      lines: [...label.querySelectorAll(".set")].map(line => ({
        box: box(line), ink: inked(line), points: points(line),
      })),
    })),
  }));
  const sizes = [...document.querySelectorAll(".size, .steptext .set, .ruler")]
    .map(points);
  return {sheets, sizes};
}"""


def measure(tab: Any, folder: Path, text: str) -> Any:
    """Return where a page's labels and lines lie, in pixels, by sheet."""
    # as on paper: the dashed outlines and gaps between the sheets are for the screen only
    show(tab, folder, text.replace("@media screen", "@media speech"))
    return tab.evaluate(MEASURE)


def faults_of(measured: Any, sheet_id: str, start: int, plan: KitPlan) -> list[str]:
    """Say what is wrong with a measured page of labels; empty when it is right."""
    sheet = find_label_sheet(sheet_id, plan.shop)
    labels = [(at, one) for at in measured["sheets"] for one in at["labels"]]
    places = place_labels(len(labels), sheet, start, plan.shop.label_offset)
    faults = []
    for number, ((on, label), place) in enumerate(zip(labels, places, strict=True), start=1):
        left, top, width, height = label["box"]
        seen = (left - on["sheet"][0], top - on["sheet"][1], width, height)
        wanted = (place.left, place.top, sheet.width, sheet.height)
        if any(
            abs(pixels * MM_A_PIXEL - float(mm)) > 0.05
            for pixels, mm in zip(seen, wanted, strict=True)
        ):
            faults.append(f"label {number} lies elsewhere")
        for line in label["lines"]:
            ink_left, ink_top, ink_width, ink_height = line["ink"]
            inside = (
                ink_left >= left
                and ink_left + ink_width <= left + width
                and ink_top >= top - 0.5
                and ink_top + ink_height <= top + height + 0.5
            )
            if not inside:
                faults.append(f"label {number} overflows")
            if line["points"] < 5.99:
                faults.append(f"label {number} is set below 6 pt")
        margin = on["margin"]
        if margin[1] < top + height and top < margin[1] + margin[3]:
            faults.append(f"the margin's line runs into label {number}")
    return faults


def with_labels(plan: KitPlan, sheet_id: str, start: int) -> KitPlan:
    choice = LabelChoice(sheet_id=sheet_id, start=start)
    return replace(plan, bag_labels=choice, piece_labels=choice)


@pytest.mark.parametrize(
    ("sheet_id", "start", "page"),
    [
        ("letter-30", 4, "piece-labels.html"),
        ("letter-10", 1, "bag-labels.html"),
        ("a4-21", 21, "piece-labels.html"),
    ],
)
def test_every_label_lies_on_its_die_cut_with_its_text_inside(
    tab: Any, tmp_path: Path, class_plan: KitPlan, sheet_id: str, start: int, page: str
) -> None:
    plan = with_labels(class_plan, sheet_id, start)
    measured = measure(tab, tmp_path, page_of(plan, page))
    assert faults_of(measured, sheet_id, start, plan) == []
    for one in measured["sheets"]:
        assert one["scale"][2] * MM_A_PIXEL == pytest.approx(50.8, abs=0.05)


def test_the_widest_letters_stay_inside_too(tab: Any, tmp_path: Path, class_plan: KitPlan) -> None:
    for at, text in enumerate(
        ("WWWWWW MMMMMM @@@@@@ ", "%%%% ½½½½ ⅞⅞⅞ ⅓⅔ ", "Ωмир 漢字 Łódź Größe ")
    ):
        name = (text * 12)[:80]
        plan = replace(class_plan, pattern=replace(class_plan.pattern, name=name))
        folder = tmp_path / str(at)
        folder.mkdir()
        measured = measure(tab, folder, page_of(plan, "piece-labels.html"))
        assert faults_of(measured, "letter-30", 4, plan) == []


def test_a_label_moved_by_half_a_millimeter_or_set_too_large_is_noticed(
    tab: Any, tmp_path: Path, class_plan: KitPlan
) -> None:
    text = page_of(class_plan, "bag-labels.html")
    moved = text.replace("left:3.9688mm;top:12.7mm", "left:3.9688mm;top:13.2mm", 1)
    assert moved != text
    measured = measure(tab, tmp_path, moved)
    assert "label 1 lies elsewhere" in faults_of(measured, "letter-10", 1, class_plan)
    large = re.sub(r"font-size:[\d.]+pt", "font-size:22pt", text)
    measured = measure(tab, tmp_path, large)
    assert "label 1 overflows" in faults_of(measured, "letter-10", 1, class_plan)


@pytest.mark.parametrize("sheet_id", ["letter-10", "a4-21"])
def test_labels_print_one_sheet_a_page_on_their_own_paper(
    tab: Any, tmp_path: Path, class_plan: KitPlan, sheet_id: str
) -> None:
    plan = with_labels(class_plan, sheet_id, (sheet_id == "a4-21" and 15) or 1)
    text = page_of(plan, "bag-labels.html")
    pdf = print_pdf(tab, tmp_path, text)
    sheet = find_label_sheet(sheet_id, plan.shop)
    assert len(pdf.pages) == text.count('class="sheet"')
    for page in pdf.pages:
        width, height = PAPERS[sheet.paper]
        assert float(page.mediabox.width) * MM_A_POINT == pytest.approx(float(width), abs=0.5)
        assert float(page.mediabox.height) * MM_A_POINT == pytest.approx(float(height), abs=0.5)
        assert "this line is 2 in" in page.extract_text()


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_each_printed_page_is_numbered_and_nothing_is_lost(
    tab: Any, tmp_path: Path, class_pages: Mapping[str, str], paper: str
) -> None:
    name = next(name for name in class_pages if "background" in name)
    sized = class_pages[name].replace("@page {", f"@page {{ size: {paper};", 1)
    pages = [page.extract_text() for page in print_pdf(tab, tmp_path, sized).pages]
    count = len(pages)
    assert count > 1
    for number, text in enumerate(pages, start=1):
        assert f"page {number} of {count}" in text
        assert "plan K7F2-90AB" in text
        assert len(text.split()) > 20
    whole = " ".join(pages)
    for words in ("Background", "Sky panel", "Sky rectangle", "Checked by", "rotary cutter"):
        assert words in whole


def test_sizes_on_a_cutting_sheet_are_readable_at_arms_length(
    tab: Any, tmp_path: Path, class_pages: Mapping[str, str]
) -> None:
    name = next(name for name in class_pages if "background" in name)
    measured = measure(tab, tmp_path, class_pages[name])
    assert measured["sizes"]
    assert min(measured["sizes"]) >= 13.99


def test_an_offset_moves_the_print_by_as_much(
    tab: Any, tmp_path: Path, class_plan: KitPlan
) -> None:
    shop = replace(class_plan.shop, label_offset=(Fraction(3, 2), Fraction(-1)))
    plan = replace(class_plan, shop=shop)
    measured = measure(tab, tmp_path, page_of(plan, "bag-labels.html"))
    assert faults_of(measured, "letter-10", 1, plan) == []
    assert faults_of(measured, "letter-10", 1, class_plan)[0] == "label 1 lies elsewhere"


def test_no_table_of_the_packing_list_is_torn(
    tab: Any, tmp_path: Path, class_plan: KitPlan
) -> None:
    where = Location("class.xlsx", "Extras", "A2")
    extras = tuple(
        Extra(item=f"Spool {at}", count_per_kit=Fraction(1), cost=None, price=None, where=where)
        for at in range(7)
    )
    plan = replace(class_plan, class_sheet=replace(class_plan.class_sheet, extras=extras))
    text = page_of(plan, "packing-list.html")
    pages = [page.extract_text() for page in print_pdf(tab, tmp_path, text).pages]
    assert len(pages) > 1
    for page in pages:
        assert page.count("Bag labeled") == page.count("In each bag"), "each table is whole"


def test_no_heading_is_parted_from_its_drawing_and_no_tally_from_its_steps(
    tab: Any, tmp_path: Path, class_plan: KitPlan
) -> None:
    text = page_of(class_plan, "students-cutting-guide-blue-evening.html")
    for high in ("205mm", "200mm", "190mm", "180mm", "170mm"):
        sized = text.replace("@page {", f"@page {{ size: 216mm {high};", 1)
        for page in print_pdf(tab, tmp_path, sized).pages:
            said = page.extract_text()
            for words in ("(fewest possible", "Drawn opened out"):
                if words in said:
                    assert "Layout" in said.rpartition(words)[2], high
            if ": pieces for your quilt" in said:
                before = said.partition(": pieces for your quilt")[0]
                assert re.search(r"[Cc]ut (across|along)", before), high

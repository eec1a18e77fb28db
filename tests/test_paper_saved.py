"""Paper is not wasted, and no page is torn: sides as a browser prints them, of many classes."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pypdf
import pytest
from books import write
from headless import across, lacking, print_pdf, show
from quilt import fabric, one_way, pattern, piece
from test_kit import plan

from kitmaker import api
from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

pytestmark = pytest.mark.browser

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
MOST_SIDES = 57
FOOT = 42  # points from a page's lower edge where nothing but its foot stands
PAPERS = ("Letter", "A4")
NOT_COUNTED = ("reading.html", "everything.html")
WORD = re.compile(r'<word xMin="[\d.-]+" yMin="[\d.-]+" xMax="[\d.-]+" yMax="([\d.-]+)">(.*?)<')
MARK = re.compile(r"q(\d+)q")

# Marks each heading, what leads over to a table, and the first of what it heads; returns which
# two must stand on one side, with the heading's words.
HEADS = """() => {
  const pairs = [];
  let marks = 0, heads = [], led = false;
  const mark = one => {
    const sign = document.createElement("i");
    sign.textContent = `q${++marks}q`;
    sign.style = "position: absolute; font: 1px monospace";
    (one.cells ? one.cells[0] : one).prepend(sign);
    return marks;
  };
  const settle = one => {
    const at = mark(one);
    pairs.push(...heads.map(([from, words]) => [from, at, words]));
    heads = [];
    led = false;
  };
  for (const one of document.querySelectorAll("h1,h2,h3,caption,thead tr,p,tbody tr,li,figure")) {
    if (!one.getClientRects().length || one.closest(".unseen, .screen, svg")) continue;
    const words = one.textContent.trim().slice(0, 40);
    if (one.matches("h1,h2,h3,caption,thead tr")) {
      if (led && one.matches("h1,h2,h3")) settle(one);
      heads.push([mark(one), words]);
    } else if (one.tagName === "P") {
      const next = one.nextElementSibling;
      if (!heads.length) continue;
      if (!next || !next.matches("table, figure, ol, ul, .layoutblock")) { settle(one); continue; }
      heads.push([mark(one), words]);
      led = true;
    } else if (heads.length) {
      settle(one);
    }
  }
  return pairs;
}"""


@dataclass(frozen=True)
class Printed:
    """A page on paper: how far down each side is filled (0 to 1), and headings torn off."""

    filled: list[float]
    parted: list[str]


def on_paper(tab: Any, folder: Path, text: str, paper: str) -> Printed:
    """Print a page and look at each side."""
    if shutil.which("pdftotext") is None:
        lacking("there is no pdftotext to find words with")
    pdf = folder / "page.pdf"
    show(tab, folder, text)
    pairs = tab.evaluate(HEADS)
    tab.pdf(path=pdf, format=paper, prefer_css_page_size=True)
    told = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True)
    height = float(pypdf.PdfReader(pdf).pages[0].mediabox.height)
    filled: list[float] = []
    side_of: dict[int, int] = {}
    for side, found in enumerate(told.stdout.decode().split("<page ")[1:]):
        words = [(float(low), word) for low, word in WORD.findall(found)]
        for _, word in words:
            for number in MARK.findall(word):
                side_of.setdefault(int(number), side)
        filled.append(max((low for low, _ in words if low < height - FOOT), default=0) / height)
    parted = [words for head, first, words in pairs if side_of[head] != side_of[first]]
    return Printed(filled, parted)


def count_sides(plan: KitPlan, printed: Mapping[str, Printed]) -> int:
    """Count as a shop prints: a guide for each kit of its colorway, all else once."""
    kits = [colorway.kits or 0 for colorway in plan.colorways]
    guides = [name for name in printed if name.startswith("students-cutting-guide")]
    once = [
        name for name in printed if name not in (*guides, *NOT_COUNTED) and "poster" not in name
    ]
    return sum(len(printed[name].filled) for name in once) + sum(
        len(printed[name].filled) * count for name, count in zip(guides, kits, strict=True)
    )


@pytest.fixture(scope="module")
def sample_class() -> KitPlan:
    return plan_of(SAMPLES, "harbor-lanterns", "throw")


def plan_of(folder: Path, name: str, size: str | None = None, shop: Path | None = None) -> KitPlan:
    """Plan a class from its workbook in a folder."""
    sheet = api.read_class(folder / f"{name}-class.xlsx")
    given = api.read_shop(shop or SAMPLES / "juniper-and-thread-shop.xlsx")
    pattern = api.read_pattern(folder / (sheet.class_sheet.pattern_file or ""), size=size)
    return api.plan(pattern, shop=given, class_sheet=sheet)


@pytest.fixture(scope="module", params=PAPERS)
def printed(
    request: pytest.FixtureRequest,
    tab: Any,
    sample_class: KitPlan,
    tmp_path_factory: pytest.TempPathFactory,
) -> dict[str, Printed]:
    folder = tmp_path_factory.mktemp("printed")
    files = render_pages(sample_class, reading=sample_class.reading).files
    return {name: on_paper(tab, folder, text, request.param) for name, text in files.items()}


def test_the_sample_class_takes_few_sides(
    sample_class: KitPlan, printed: dict[str, Printed]
) -> None:
    assert count_sides(sample_class, printed) <= MOST_SIDES


def test_no_side_is_under_a_quarter_full_and_no_heading_is_parted_from_what_it_heads(
    printed: dict[str, Printed],
) -> None:
    assert faults_of(printed) == {}


def faults_of(printed: Mapping[str, Printed]) -> dict[str, tuple[list[int], list[str]]]:
    """Return for each page its sides that are hardly filled, and the headings torn off."""
    faults = {}
    for name, page in printed.items():
        thin = [side for side, filled in enumerate(page.filled, start=1) if filled < 0.25]
        if page.parted or (thin and "labels" not in name):
            faults[name] = (thin, page.parted)
    return faults


def test_all_that_is_bagged_uncut_stands_on_one_side(
    sample_class: KitPlan, printed: dict[str, Printed]
) -> None:
    assert any(fabric.bag is Bag.UNCUT for fabric in sample_class.fabrics)
    assert len(printed["cutting-and-bagging-sheet.html"].filled) == 1
    assert len(printed["class-sheet.html"].filled) == 1


def test_kit_cards_are_two_to_a_side_and_posters_a_layout_to_a_side(
    sample_class: KitPlan, printed: dict[str, Printed]
) -> None:
    assert len(printed["kit-cards.html"].filled) == -(-sample_class.all_kits // 2)
    job = next(one.job for one in sample_class.fabrics if one.bag is Bag.PIECES)
    assert job is not None
    posters = [page for name, page in printed.items() if name.startswith("poster")]
    assert [len(page.filled) for page in posters] == [len(job.layouts)]


NAMES = (
    *("Sky", "Cloud", "Gull", "Foam", "Sand", "Shell", "Pebble", "Kelp", "Moss", "Fern", "Leaf"),
    *("Bark", "Acorn", "Berry", "Plum", "Rose", "Coral", "Brick", "Rust", "Honey", "Straw"),
    *("Cream", "Ash", "Slate", "Night"),
)
PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Direction")


def write_one_fabric(folder: Path) -> None:
    pieces = [("Pond", "Center", "8 1/2", "8 1/2", 9), ("Pond", "Edge", "4 1/2", "8 1/2", 12)]
    write(folder / "pond.xlsx", {"Pieces": [PIECES, *pieces]})
    facts = [("Title", "One evening"), ("Kits", 4), ("Pattern file", "pond.xlsx")]
    write(folder / "one-class.xlsx", {"Class": facts, "Shop": [("Name", "A Small Shop")]})


def write_many_fabrics(folder: Path) -> None:
    pieces = [
        (name, kind, f"{wide} 1/2", f"{3 + at % 5} 1/2", 4 + at % 5)
        for at, name in enumerate(NAMES)
        for kind, wide in ((f"{name} square", 3 + at % 3), (f"{name} bar", 2))
    ]
    write(folder / "shore.xlsx", {"Pieces": [PIECES, *pieces]})
    facts = [("Title", "Three ways"), ("Kits", 12), ("Pattern file", "shore.xlsx")]
    ways = [
        (way, kits, name, f"{way[:2] if at % 4 else 'All'}-{at}")
        for way, kits in (("Summer", 5), ("Fall", 4), ("Winter", 3))
        for at, name in enumerate(NAMES)
    ]
    fabrics = [
        (name, "fat quarter" if at % 3 else "yardage", "uncut" if at % 5 else "pieces")
        for at, name in enumerate(NAMES)
    ]
    sheets = {
        "Class": facts,
        "Colorways": [("Colorway", "Kits", "Fabric", "SKU"), *ways],
        "Fabrics": [("Fabric", "Form", "Bag"), *fabrics],
        "Stock": [
            ("SKU", "Print", "Length at hand"),
            *((sku, f"Print {sku}", "9 yd") for sku in dict.fromkeys(way[3] for way in ways)),
        ],
    }
    write(folder / "many-class.xlsx", sheets)


def write_metric(folder: Path) -> None:
    pieces = [
        ("Ground", "Block", 16.5, 16.5, 20, None),
        ("Ground", "Bar", 6.5, 31.5, 18, None),
        ("Steps", "Step", 6.5, 21.5, 48, "one-way"),
        ("Steps", "Tile", 11.5, 11.5, 16, None),
        ("Frame", "Border strip", 9, "WOF", 6, None),
    ]
    facts = [("Pattern", "Steps"), ("Unit", "cm")]
    write(folder / "steps.xlsx", {"Facts": facts, "Pieces": [PIECES, *pieces]})
    fabrics = [("Ground", "yardage", "pieces"), ("Steps", "fat-quarter-metric", "uncut")]
    sheets = {
        "Class": [("Kits", 5), ("Spare kits", 1), ("Pattern file", "steps.xlsx")],
        "Shop": [("Name", "Fjord Cloth"), ("Unit", "cm")],
        "Fabrics": [("Fabric", "Form", "Bag"), *fabrics],
    }
    write(folder / "metric-class.xlsx", sheets)


OWN = {"one": write_one_fabric, "many": write_many_fabrics, "metric": write_metric}
CLASSES = ("mill-pond-stars", "paper-boats", "orchard-gate", *OWN)


@pytest.fixture(scope="module", params=CLASSES)
def everything(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    """All pages of a class in one, as they are printed in one job."""
    name = request.param
    if name in OWN:
        folder = tmp_path_factory.mktemp(name)
        OWN[name](folder)
        plan = plan_of(folder, name, shop=folder / f"{name}-class.xlsx")
    else:
        plan = plan_of(SAMPLES, name, "crib" if name == "paper-boats" else None)
    text: str = render_pages(plan, reading=plan.reading).files["everything.html"]
    return text


@pytest.mark.parametrize("paper", PAPERS)
def test_every_class_prints_without_thin_sides_and_headings_torn_off(
    tab: Any, everything: str, paper: str, tmp_path: Path
) -> None:
    assert faults_of({"all": on_paper(tab, tmp_path, everything, paper)}) == {}


def test_no_page_of_any_class_scrolls_sideways_on_a_phone(
    phone: Any, everything: str, tmp_path: Path
) -> None:
    show(phone, tmp_path, everything)
    assert across(phone) == 390


@pytest.mark.parametrize("paper", PAPERS)
def test_a_layout_that_breaks_over_sides_bears_its_name_on_each(
    tab: Any, tmp_path: Path, paper: str
) -> None:
    border = fabric("Border", one_way("side", "6.5", "62.5", 2), one_way("top", "6.5", "54.5", 2))
    pieces = (*border.pieces, piece("key", 3, 3, 24))
    made = plan(pattern(replace(border, pieces=pieces)), kits=5, bags=((None, Bag.PIECES),))
    job = made.fabrics[0].job
    assert job is not None
    files = render_pages(made).files
    text = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
    text = text.replace("</head>", f"<style>@page {{ size: {paper} }}</style></head>", 1)
    sides = [page.extract_text() for page in print_pdf(tab, tmp_path, text).pages]
    for layout in job.layouts:
        for step in layout.steps:
            begins = " ".join(step.text.split()[:6])
            found = [side for side in sides if begins in " ".join(side.split())]
            assert found, begins
            assert any(f"{layout.name}:" in side for side in found), begins
    assert sum("Layout 1:" in side for side in sides) >= 2, "it is too long for one side"

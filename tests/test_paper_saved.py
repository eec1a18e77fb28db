"""Paper is not wasted: sides of the sample class, counted as a browser prints them."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pypdf
import pytest
from headless import lacking, print_page

from kitmaker import api
from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

pytestmark = pytest.mark.browser

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
MOST_SIDES = 60
FOOT = 42  # points from a page's lower edge where nothing but its foot stands
PAPERS = ("letter", "A4")
NOT_COUNTED = ("reading.html", "everything.html")
WORD = re.compile(r'<word xMin="[\d.-]+" yMin="([\d.-]+)" xMax="[\d.-]+" yMax="([\d.-]+)">(.*?)<')


class Headings(HTMLParser):
    """The headings of a page, each as its words."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._inside = False
        self.feed(text)

    def handle_starttag(self, tag: str, _attrs: object) -> None:
        if tag in ("h1", "h2", "h3", "caption"):
            self._inside = True
            self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        self._inside = self._inside and tag not in ("h1", "h2", "h3", "caption")

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.found[-1] += data


@dataclass(frozen=True)
class Side:
    """A printed side: how far down it is filled (0 to 1), and its last line."""

    filled: float
    last: str


def sides_of(tab: Any, folder: Path, text: str, paper: str) -> list[Side]:
    """Print a page and look at each side."""
    if "size:" not in text.split("</style>")[0]:
        text = text.replace("</head>", f"<style>@page {{ size: {paper} }}</style></head>", 1)
    pdf = print_page(tab, folder, text)
    told = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True)
    height = float(pypdf.PdfReader(pdf).pages[0].mediabox.height)
    sides = []
    for page in told.stdout.decode().split("<page ")[1:]:
        words = [(float(top), float(low), word) for top, low, word in WORD.findall(page)]
        words = [one for one in words if one[1] < height - FOOT]
        low = max(one[1] for one in words)
        line = " ".join(word for top, end, word in words if end > low - 4)
        sides.append(Side(low / height, line))
    return sides


def in_print(tab: Any, folder: Path, plan: KitPlan, paper: str) -> dict[str, list[Side]]:
    if shutil.which("pdftotext") is None:
        lacking("there is no pdftotext to find words with")
    files = render_pages(plan, reading=plan.reading).files
    return {name: sides_of(tab, folder, text, paper) for name, text in files.items()}


def count_sides(plan: KitPlan, printed: Mapping[str, list[Side]]) -> int:
    """Count as a shop prints: a guide for each kit of its colorway, all else once."""
    kits = [colorway.kits or 0 for colorway in plan.colorways]
    guides = [name for name in printed if name.startswith("students-cutting-guide")]
    once = [
        name for name in printed if name not in (*guides, *NOT_COUNTED) and "poster" not in name
    ]
    return sum(len(printed[name]) for name in once) + sum(
        len(printed[name]) * count for name, count in zip(guides, kits, strict=True)
    )


@pytest.fixture(scope="module")
def sample_class() -> KitPlan:
    sheet = api.read_class(SAMPLES / "harbor-lanterns-class.xlsx")
    shop = api.read_shop(SAMPLES / "juniper-and-thread-shop.xlsx")
    pattern = api.read_pattern(SAMPLES / "harbor-lanterns.xlsx", size="throw")
    return api.plan(pattern, shop=shop, class_sheet=sheet)


@pytest.fixture(scope="module", params=PAPERS)
def printed(
    request: pytest.FixtureRequest,
    tab: Any,
    sample_class: KitPlan,
    tmp_path_factory: pytest.TempPathFactory,
) -> dict[str, list[Side]]:
    folder = tmp_path_factory.mktemp("printed")
    return in_print(tab, folder, sample_class, request.param)


def test_the_sample_class_takes_few_sides(
    sample_class: KitPlan, printed: dict[str, list[Side]]
) -> None:
    assert count_sides(sample_class, printed) <= MOST_SIDES


def test_no_side_is_under_a_quarter_full(printed: dict[str, list[Side]]) -> None:
    thin = {
        f"{name}, side {number}": round(side.filled, 2)
        for name, sides in printed.items()
        for number, side in enumerate(sides, start=1)
        if side.filled < 0.25 and "labels" not in name
    }
    assert thin == {}


def test_no_heading_is_parted_from_what_it_heads(
    sample_class: KitPlan, printed: dict[str, list[Side]]
) -> None:
    files = render_pages(sample_class, reading=sample_class.reading).files
    parted = []
    for name, sides in printed.items():
        headings = {" ".join(one.split()) for one in Headings(files[name]).found}
        parted += [(name, side.last) for side in sides if side.last in headings]
    assert parted == []


def test_all_that_is_bagged_uncut_stands_on_one_side(
    sample_class: KitPlan, printed: dict[str, list[Side]]
) -> None:
    assert any(fabric.bag is Bag.UNCUT for fabric in sample_class.fabrics)
    assert len(printed["cutting-and-bagging-sheet.html"]) == 1
    assert len(printed["class-sheet.html"]) == 1


def test_kit_cards_are_two_to_a_side_and_posters_a_layout_to_a_side(
    sample_class: KitPlan, printed: dict[str, list[Side]]
) -> None:
    assert len(printed["kit-cards.html"]) == -(-sample_class.all_kits // 2)
    job = next(one.job for one in sample_class.fabrics if one.bag is Bag.PIECES)
    assert job is not None
    posters = [sides for name, sides in printed.items() if name.startswith("poster")]
    assert [len(sides) for sides in posters] == [len(job.layouts)]

"""Labels measured in the PDF that a browser prints, as a ruler on the paper would measure them.

Boxes are the filled boxes in the PDF's own drawing commands (a copy of the page colors its
labels), words are where pdftotext finds them. What the page itself believes is not asked.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pypdf
import pytest
from headless import lacking, print_page
from plan_builder import page_of

from kitmaker.paper.labels import find_label_sheet, place_labels
from kitmaker.plans import KitPlan, LabelChoice
from kitmaker.shop import LabelSheet

pytestmark = pytest.mark.browser

MM_A_POINT = 25.4 / 72
ALLOWED = 0.3  # mm between a label's printed box and its die cut
INK = 0.4  # mm that a word's box may be higher than its ink
COLOR = (254 / 255, 220 / 255, 186 / 255)
COLORED = (
    "<style>.label { background: #fedcba !important; print-color-adjust: exact; }</style></head>"
)
OWN = LabelSheet(
    sheet_id="own-12",
    paper="A4",
    columns=2,
    rows=6,
    width=Fraction(90),
    height=Fraction(42),
    left=Fraction(23, 2),
    top=Fraction(20),
    pitch_across=Fraction(97),
    pitch_down=Fraction(43),
)

Box = tuple[float, float, float, float]  # left, top, right, bottom in mm


@dataclass(frozen=True)
class Page:
    """A printed page: its labels' boxes in drawing order, and its words."""

    labels: list[Box]
    words: list[Box]


@pytest.fixture(scope="module")
def pdftotext() -> str:
    found = shutil.which("pdftotext")
    if found is None:
        lacking("there is no pdftotext to find words with")
    return found or ""


def read_pages(pdf: Path, pdftotext: str) -> list[Page]:
    found = subprocess.run([pdftotext, "-bbox", pdf, "-"], capture_output=True, check=True)
    pages = found.stdout.decode().split("<page ")[1:]
    word = re.compile(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)"')
    reader = pypdf.PdfReader(pdf)
    assert len(pages) == len(reader.pages)
    return [
        Page(
            _labels(page),
            [tuple(float(at) * MM_A_POINT for at in one) for one in word.findall(text)],  # type: ignore[misc]
        )
        for page, text in zip(reader.pages, pages, strict=True)
    ]


def _labels(page: pypdf.PageObject) -> list[Box]:
    boxes: list[Box] = []
    color: list[float] = []
    height = float(page.mediabox.height)

    def see(operator: bytes, operands: Any, matrix: list[float], _text: object) -> None:
        if operator == b"rg":
            color[:] = [float(one) for one in operands]
        if operator == b"re" and color == pytest.approx(COLOR, abs=0.002):
            x, y, w, h = (float(one) for one in operands)
            a, _, _, d, e, f = matrix
            left, right = a * x + e, a * (x + w) + e
            top, bottom = height - (d * y + f), height - (d * (y + h) + f)
            boxes.append(tuple(one * MM_A_POINT for one in (left, top, right, bottom)))  # type: ignore[arg-type]

    page.extract_text(visitor_operand_before=see)
    return boxes


def faults_on_paper(pages: list[Page], plan: KitPlan, choice: LabelChoice) -> list[str]:
    """Say what is wrong with printed labels; empty when every one is in its place."""
    sheet = find_label_sheet(choice.sheet_id, plan.shop)
    printed = [(at, box) for at, page in enumerate(pages, start=1) for box in page.labels]
    places = place_labels(len(printed), sheet, choice.start, plan.shop.label_offset)
    faults = []
    for number, ((on, box), place) in enumerate(zip(printed, places, strict=True), start=1):
        left, top = float(place.left), float(place.top)
        cut = (left, top, left + float(sheet.width), top + float(sheet.height))
        far = max(abs(seen - wanted) for seen, wanted in zip(box, cut, strict=True))
        if on != place.sheet or far > ALLOWED:
            faults.append(f"label {number} is off its die cut")
    cuts: dict[int, list[Box]] = {}
    for place in places:
        left, top = float(place.left), float(place.top)
        box = (left, top, left + float(sheet.width), top + float(sheet.height))
        cuts.setdefault(place.sheet, []).append(box)
    for at, page in enumerate(pages, start=1):
        for word in page.words:
            touched = [cut for cut in cuts.get(at, []) if _touches(word, cut)]
            if touched and not any(_inside(word, cut) for cut in touched):
                faults.append("a word runs over a label's edge")
    return faults


def _touches(word: Box, cut: Box) -> bool:
    across = word[0] < cut[2] and word[2] > cut[0]
    return across and word[1] + INK < cut[3] and word[3] - INK > cut[1]


def _inside(word: Box, cut: Box) -> bool:
    across = word[0] >= cut[0] and word[2] <= cut[2]
    return across and word[1] >= cut[1] - INK and word[3] <= cut[3] + INK


def with_labels(plan: KitPlan, sheet_id: str, start: int) -> KitPlan:
    choice = LabelChoice(sheet_id=sheet_id, start=start)
    shop = replace(plan.shop, own_label_sheets=(OWN,))
    return replace(plan, shop=shop, bag_labels=choice, piece_labels=choice)


def colored(text: str) -> str:
    return text.replace("</head>", COLORED, 1)


@pytest.mark.parametrize(
    ("sheet_id", "start", "name"),
    [
        ("letter-30", 8, "piece-labels.html"),
        ("letter-10", 3, "bag-labels.html"),
        ("a4-21", 21, "piece-labels.html"),
        ("letter-30", 20, "bag-labels.html"),
        ("own-12", 5, "bag-labels.html"),
    ],
)
def test_printed_labels_lie_on_their_die_cuts(
    tab: Any,
    pdftotext: str,
    tmp_path: Path,
    class_plan: KitPlan,
    sheet_id: str,
    start: int,
    name: str,
) -> None:
    plan = with_labels(class_plan, sheet_id, start)
    pdf = print_page(tab, tmp_path, colored(page_of(plan, name)))
    pages = read_pages(pdf, pdftotext)
    assert len(pages) > 1
    assert sum(len(page.labels) for page in pages) >= len(range(plan.all_kits))
    assert faults_on_paper(pages, plan, plan.bag_labels) == []


def test_long_words_stay_on_their_labels(
    tab: Any, pdftotext: str, tmp_path: Path, class_plan: KitPlan
) -> None:
    plan = with_labels(class_plan, "letter-30", 1)
    for at, name in enumerate(("W" * 80, "Mill Lane at dusk ⅞ " * 4, "漢字" * 30)):
        folder = tmp_path / str(at)
        folder.mkdir()
        long = replace(plan, pattern=replace(plan.pattern, name=name))
        text = page_of(long, "piece-labels.html")
        pages = read_pages(print_page(tab, folder, colored(text)), pdftotext)
        assert faults_on_paper(pages, long, long.piece_labels) == []


HARMS: dict[str, tuple[Callable[[str], str], str]] = {
    "a margin": (lambda text: text.replace("margin: 0; }", "margin: 0.5mm; }", 1), "die cut"),
    "a scale": (lambda text: text.replace("<body>", '<body style="zoom: 0.985">'), "die cut"),
    "a pitch": (lambda text: re.sub(r"top:([\d.]+)mm", _half_a_millimeter_on, text), "die cut"),
    "an overflow": (lambda text: re.sub(r"font-size:[\d.]+pt", "font-size:24pt", text), "edge"),
    "a word too long": (
        lambda text: text.replace("</div>\n</article>", "W" * 90 + "</div>\n</article>"),
        "edge",
    ),
}


def _half_a_millimeter_on(found: re.Match[str]) -> str:
    return f"top:{float(found.group(1)) + 0.5}mm"


@pytest.mark.parametrize("harm", HARMS)
def test_harm_to_a_label_page_is_found_on_the_paper(
    tab: Any, pdftotext: str, tmp_path: Path, class_plan: KitPlan, harm: str
) -> None:
    plan = with_labels(class_plan, "letter-10", 1)
    text = page_of(plan, "bag-labels.html")
    change, said = HARMS[harm]
    harmed = change(text)
    assert harmed != text
    pages = read_pages(print_page(tab, tmp_path, colored(harmed)), pdftotext)
    assert any(said in fault for fault in faults_on_paper(pages, plan, plan.bag_labels)), harm

"""What is printed of a season: its page, its order list, its workbook."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
from headless import across, print_pdf, show
from season_books import Course, bolt, pile, shelf

import kitmaker as km
from kitmaker.paper.season_book import build_season_book
from kitmaker.paper.season_files import print_season
from kitmaker.paper.season_tables import ORDER, ROWS, SHELF, season_frames
from kitmaker.seasons import Season

COURSES = [
    Course(title="Ash & Elm", day="2027-01-16", kits=4, strips={"B": ("2 1/2", 5)}),
    Course(
        title="Birch",
        day="2027-02-20",
        kits=5,
        strips={"B": ("2 1/2", 5), "C": ("3", 4)},
        patches={"Q": 2, "C": 3},
    ),
    Course(title="Cedar", day=date(2027, 3, 13), kits=3, strips={"N": ("2", 3)}, patches={"Q": 3}),
]
STOCK = (
    bolt("B", "1 1/2 yd", cost=6.4, order="1 yd"),
    bolt("B", "1 1/8 yd", held="1/8 yd"),
    bolt("C", 9, lot="7", cost=5.9),
    pile("Q", 12, cost=2.6),
    pile("IDLE", 4),
)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Season:
    folder = tmp_path_factory.mktemp("season")
    shop = km.read_shop(shelf(folder, *STOCK))
    return km.season([km.read_class(one.write(folder), shop) for one in COURSES], shop)


@pytest.fixture(scope="module")
def pages(season: Season) -> dict[str, str]:
    files = print_season(season).files
    return {name: files[name].decode() for name in files if name.endswith(".html")}


def text_of(page: str) -> str:
    body = re.sub(r"<(style|title)>.*?</\1>", "", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


# the pages


def test_the_pages_say_what_they_are(pages: dict[str, str]) -> None:
    titles = [re.search(r"<title>(.*)</title>", page) for page in pages.values()]
    assert sorted(title[1].partition(" – ")[0] for title in titles if title) == [
        "Order list",
        "The season on one shelf",
    ]
    assert all("January 16, 2027 to March 13, 2027" in page for page in pages.values())


def test_the_page_says_which_class_is_complete_and_which_is_short_of_what(
    pages: dict[str, str],
) -> None:
    said = text_of(pages["season.html"])
    assert "The shelf is enough for 1 of 3 classes" in said
    assert "Ash & Elm ash-&-elm-pattern 4 complete" in said
    assert "Birch birch-pattern 5 not enough : B print of B, short by" in said
    assert "Cedar cedar-pattern 3 not enough : Q print of Q, short by 9 fat quarters" not in said
    assert "No class takes from: IDLE print of IDLE." in said


def test_each_sku_has_a_bar_as_long_as_what_is_at_hand_and_what_is_short(
    pages: dict[str, str],
) -> None:
    bars = re.findall(r'role="img" aria-label="([^"]*)">(.*?)</div>', pages["season.html"])
    assert [says.partition(" ")[0] for says, _ in bars] == ["B", "C", "Q", "C", "N:"]
    for says, parts in bars:
        widths = [float(share) for share in re.findall(r"width:([\d.]+)%", parts)]
        assert sum(widths) == pytest.approx(100, abs=0.05)
        assert ('class="short"' in parts) == ("short by" in says)
    assert bars[0][0] == (
        "B print of B: at hand 2⅝ yd; 1 ash & elm 1½ yd; 2 birch ¾ yd; "
        "left ⅜ yd, ⅛ yd of it held for others; short by 1⅛ yd"
    ).replace("&", "&amp;")


def test_figures_stand_beside_each_bar(pages: dict[str, str]) -> None:
    said = text_of(pages["season.html"])
    assert "At hand 12 fat quarters 2 Birch 10 fat quarters Left 2 fat quarters" in said
    assert "At hand nothing Left nothing Short by" in said


def test_the_order_list_says_how_much_by_when_and_what_is_assumed(pages: dict[str, str]) -> None:
    said = text_of(pages["order-list.html"])
    assert "B print of B 1⅛ yd 2 yd in steps of 1 yd February 20, 2027 class 2 $12.80" in said
    assert "Q print of Q 9 fat quarters 9 fat quarters by the piece (assumed)" in said
    assert "N ¾ yd 1 yd in steps of ½ yd (assumed) March 13, 2027 class 3 not known" in said
    assert "No cost is known for N; the total leaves it out." in said
    assert "Total $36.20" in said


def test_a_season_that_needs_nothing_says_so(tmp_path: Path) -> None:
    shop = km.read_shop(shelf(tmp_path, bolt("B", 9)))
    found = km.season([km.read_class(COURSES[0].write(tmp_path), shop)], shop)
    files = print_season(found).files
    assert "Nothing to order" in text_of(files["order-list.html"].decode())
    book = openpyxl.load_workbook(io.BytesIO(files["season.xlsx"]))
    assert book[ORDER]["A3"].value == "Nothing to order."


def test_text_of_a_workbook_is_never_markup(tmp_path: Path) -> None:
    evil = "<script>alert(1)</script>{{ 7*7 }}"
    shop = km.read_shop(shelf(tmp_path, bolt("B", 1, lot=evil), bolt(evil, 2)))
    course = Course(title="A", kits=9, strips={"B": ("2 1/2", 5)})
    path = course.write(tmp_path)
    book = openpyxl.load_workbook(path)
    book["Class"]["B1"] = evil
    book.save(path)
    files = print_season(km.season([km.read_class(path, shop)], shop)).files
    for name in ("season.html", "order-list.html"):
        assert "<script>alert" not in files[name].decode()
    assert "{{ 7*7 }}" in files["season.html"].decode()


# the workbook


def value_of(book: Any, formula: str, sheet: str) -> Fraction:
    """Work out a formula as the workbook has them: sums, products, differences, rounding."""

    def cell(match: re.Match[str]) -> str:
        where = book[match["sheet"] or sheet]
        first, last = match["one"], match["last"] or match["one"]
        cells = [one for row in where[f"{first}:{last}"] for one in row]
        found = [
            value_of(book, str(one.value), where.title)
            if str(one.value).startswith("=")
            else Fraction(str(one.value or 0))
            for one in cells
        ]
        return f"Fraction('{sum(found, Fraction(0))}')"

    text = re.sub(
        r"(?:'(?P<sheet>[^']+)'!)?(?P<one>[A-Z]{1,2}\d+)(?::(?P<last>[A-Z]{1,2}\d+))?",
        cell,
        formula.removeprefix("="),
    )
    known: dict[str, Callable[..., Fraction]] = {
        "SUM": lambda one: one,
        "ROUND": lambda one, digits: Fraction(round(one * 10**digits), 10**digits),
        "ROUNDUP": lambda one, _: Fraction(-(-one // 1)),
        "Fraction": Fraction,
    }
    return Fraction(eval(text, {"__builtins__": {}}, known))  # noqa: S307 - our own formulas


def test_sums_of_the_workbook_are_live_and_come_to_what_is_stored(season: Season) -> None:
    made = io.BytesIO(build_season_book(season))
    live, stored = openpyxl.load_workbook(made), openpyxl.load_workbook(made, data_only=True)
    formulas = 0
    for sheet in live:
        for row in sheet.iter_rows():
            for one in row:
                if one.data_type == "f":
                    formulas += 1
                    found = value_of(live, str(one.value), sheet.title)
                    kept = stored[sheet.title][one.coordinate].value
                    assert float(found) == pytest.approx(kept), (sheet.title, one.coordinate)
    assert formulas > 40


def test_the_workbook_has_the_figures_of_the_season(season: Season) -> None:
    book = openpyxl.load_workbook(io.BytesIO(build_season_book(season)), data_only=True)
    assert book.sheetnames == ["Classes", "Order list", "Shelf", "Stock rows", "Problems"]
    heads = [cell.value for cell in book[ROWS][2]]
    rows = [
        dict(zip(heads, row, strict=True))
        for row in book[ROWS].iter_rows(min_row=3, values_only=True)
    ]
    for row in rows:
        taken = sum(row[f"Class {number}"] for number in (1, 2, 3))
        assert row["At hand"] + row["Cut from the bolt"] == pytest.approx(taken + row["Left"])
    assert [row["Left"] for row in rows if row["SKU"] == "B"] == [0, 0.375]
    total = [cell.value for cell in book[ORDER]["H"]][-1]
    assert total == pytest.approx(36.20)


def test_the_same_season_gives_the_same_bytes(season: Season) -> None:
    assert build_season_book(season) == build_season_book(season)
    assert print_season(season).files == print_season(season).files


def test_the_tables_are_data_frames_with_exact_numbers(season: Season) -> None:
    frames = season_frames(season)
    assert all(isinstance(frame, pd.DataFrame) for frame in frames.values())
    by_row = frames[ROWS].groupby(["SKU", "Counted in"], sort=False)["Left"].sum()
    by_sku = frames[SHELF].set_index(["SKU", "Counted in"])["Left"]
    assert by_row.to_dict() == by_sku.to_dict()
    assert by_sku["B", "yd"] == Fraction(3, 8)


# in a browser


@pytest.mark.browser
@pytest.mark.parametrize("name", ["season.html", "order-list.html"])
def test_nothing_scrolls_sideways_on_a_phone(
    phone: Any, tmp_path: Path, pages: dict[str, str], name: str
) -> None:
    show(phone, tmp_path, pages[name])
    assert across(phone) == 390


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_the_pages_print_on_both_papers(
    tab: Any, tmp_path: Path, pages: dict[str, str], paper: str
) -> None:
    for name, page in pages.items():
        sized = page.replace("@page {", f"@page {{ size: {paper};", 1)
        printed = print_pdf(tab, tmp_path, sized)
        assert len(printed.pages) <= 2, name
        assert "short" in printed.pages[0].extract_text().lower()

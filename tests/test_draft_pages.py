"""A pattern's page becomes its draft: right, open or marked, never wrong; no line is lost."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import docx
import openpyxl
import pytest
from cases.pages import Page, as_html, invented_pages, words_of, write_text, write_word
from cases.written import is_one_of, seen
from headless import print_page

import kitmaker as km
from kitmaker.drafts import Draft, DraftRow, HowSure, sized_headings
from kitmaker.reading.documents.columns import read_columns
from kitmaker.reading.documents.lines import PageRow, Segment
from kitmaker.reading.requirements import read_pattern

PAGES = invented_pages()


def verdicts_of(page: Page, draft: Draft) -> dict[str, str]:
    """Judge each wanted fabric: right, open (a row of it, or of none, is), marked, wrong."""
    found: dict[str, str] = {}
    opened = {row.cell("Fabric") for row in draft.open_rows}
    looks = {row.cell("Fabric") for row in draft.pieces if row.how_sure is HowSure.LOOK}
    for wanted in page.wanted:
        fabric = next(
            (one for one in draft.readings[0].pattern.fabrics if wanted.role in one.role), None
        )
        role = "" if fabric is None else fabric.role
        amount = None if fabric is None else fabric.requirement
        said = "" if amount is None else f"{amount.quantity} {amount.unit}"
        pieces = [] if fabric is None else [seen(piece) for piece in fabric.pieces]
        if wanted.cuts is None:
            found[wanted.role] = "right" if {role, ""} & opened else "wrong"
        elif said == wanted.amount and is_one_of(pieces, [(wanted.cuts,)]) and role not in opened:
            found[wanted.role] = "right"
        elif {role, ""} & opened:
            found[wanted.role] = "open"
        else:
            found[wanted.role] = "marked" if role in looks else "wrong"
    return found


def assert_read_well(drafts: dict[str, Draft], share: float) -> None:
    verdicts = {
        (page.name, role): verdict
        for page in PAGES
        if page.name in drafts
        for role, verdict in verdicts_of(page, drafts[page.name]).items()
    }
    assert [key for key, verdict in verdicts.items() if verdict == "wrong"] == []
    not_right = {key: one for key, one in verdicts.items() if one != "right"}
    assert Counter(verdicts.values())["right"] >= share * len(verdicts), not_right


def assert_no_line_is_lost(draft: Draft, path: Path, source: str = "") -> None:
    km.write_draft(draft, path)
    book = openpyxl.load_workbook(path)
    cells = [str(cell.value) for sheet in book for row in sheet for cell in row if cell.value]
    together = " ".join(" ".join(cells).split())
    for line in draft.lines:
        for words in line.words.split("\n"):
            assert any(words in cell for cell in cells), words
    for word in source.split():
        assert word in together, word


def assert_round_trip(draft: Draft, path: Path) -> None:
    back = read_pattern(path)
    sizes = [
        [(one.width, one.length, one.quantity, one.shape, one.kind) for one in fabric.pieces]
        for fabric in back.pattern.fabrics
    ]
    read = [
        [(one.width, one.length, one.quantity, one.shape, one.kind) for one in fabric.pieces]
        for fabric in draft.readings[0].pattern.fabrics
    ]
    assert sizes == read


@pytest.mark.parametrize("write", [write_text, write_word], ids=["txt", "docx"])
def test_pages_are_read_right_and_none_is_wrong_without_a_mark(
    write: object, tmp_path: Path
) -> None:
    drafts: dict[str, Draft] = {}
    for number, page in enumerate(PAGES):
        path = tmp_path / f"page{number}{'.txt' if write is write_text else '.docx'}"
        write(page, path)  # type: ignore[operator]
        drafts[page.name] = draft = km.draft(path)
        words = " ".join(map(words_of, page.lines))
        assert_no_line_is_lost(draft, tmp_path / f"draft{number}.xlsx", words)
        assert_round_trip(draft, tmp_path / f"draft{number}.xlsx")
    assert_read_well(drafts, 0.9)


@pytest.mark.browser
def test_printed_pages_are_read_right_and_none_is_wrong_without_a_mark(
    tab: Any, tmp_path: Path
) -> None:
    drafts: dict[str, Draft] = {}
    for number, page in enumerate(PAGES):
        folder = tmp_path / str(number)
        folder.mkdir()
        printed = print_page(tab, folder, as_html(page))
        drafts[page.name] = draft = km.draft(printed)
        assert_no_line_is_lost(draft, tmp_path / f"draft{number}.xlsx")
    assert_read_well(drafts, 0.9)


def test_headings_that_differ_in_a_word_are_two_fabrics(tmp_path: Path) -> None:
    """Without a list of amounts a name is known from the heading where it first stands."""
    page = tmp_path / "page.txt"
    page.write_text(
        """Lantern Row

Scrappy light prints
  20 squares 3"

Scrappy dark prints
  24 squares 4"

Meadow stripe
  6 strips 2 1/2" x WOF

Meadow plaid
  5 strips 2" x WOF for binding
""",
        encoding="utf-8",
    )
    made = km.draft(page)
    owners = {row.cell("Quantity"): row.cell("Fabric") for row in made.pieces}
    assert (owners["20"], owners["24"]) == ("Scrappy light prints", "Scrappy dark prints")
    assert owners["6"] == "Meadow stripe"
    assert owners["5"] in ("Meadow plaid", "")  # or an open row: never the stripe


def test_strips_to_sew_end_to_end_are_so_where_their_fabric_is_open_too(tmp_path: Path) -> None:
    page = tmp_path / "page.txt"
    page.write_text(
        """Heron Runner

You will need
1 yard cream solid
1 yard navy dot

Cutting
Press well.
Cut 5 strips 2 1/2" x WOF, sewn end to end for the border
""",
        encoding="utf-8",
    )
    (row,) = km.draft(page).pieces
    assert (row.cell("Fabric"), row.how_sure) == ("", HowSure.FILL_IN)
    assert row.cell("Notes") == "sewn end to end"


@pytest.mark.parametrize("number", ["¾", "⅞", "⅕", "1 1/2"])
def test_a_bare_number_in_a_row_is_no_part_of_the_fabrics_name(number: str, tmp_path: Path) -> None:
    page = tmp_path / "page.txt"
    page.write_text(
        f"""Heron Runner

You will need
Brown       {number}        1 yard
Rust        {number}        2 yards

Cutting
From the Rust, cut:
5 strips 3 1/2" x WOF
""",
        encoding="utf-8",
    )
    assert [row.cell("Fabric") for row in km.draft(page).fabrics] == ["Brown", "Rust"]


def test_a_word_before_an_amount_is_no_part_of_the_fabrics_name(tmp_path: Path) -> None:
    page = tmp_path / "page.txt"
    page.write_text(
        """Heron Runner

You will need
Brown: at least 1/2 yard
Rust: about 16 inches
Cream: at least 16" of fabric

Cutting
From the Rust, cut:
5 strips 3 1/2" x WOF
""",
        encoding="utf-8",
    )
    assert [row.cell("Fabric") for row in km.draft(page).fabrics] == ["Brown", "Rust", "Cream"]


def read_text_page(tmp_path: Path, text: str) -> Draft:
    (tmp_path / "page.txt").write_text(text, encoding="utf-8")
    return km.draft(tmp_path / "page.txt")


def owners_of(draft: Draft) -> dict[str, str]:
    return {row.cell("Cut width"): row.cell("Fabric") for row in draft.pieces}


def test_a_name_stands_before_the_amount_and_what_stands_behind_is_its_use(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Heron Runner

You will need
Navy: 2 m lattice cloth
Dot print No. 2 - 1/2 yard
1 yard cream solid (background)
3/8 yard rust for the star points

Cutting
From the lattice fabric, cut:
4 squares 3"
From dot print No. 2, cut:
4 squares 4"
From the background, cut:
4 squares 5"
From the star point fabric, cut:
4 squares 6"
""",
    )
    named = [(row.cell("Fabric"), row.cell("Requirement").split()[0]) for row in draft.fabrics]
    assert named == [
        ("Navy", "2"),
        ("Dot print No. 2", "1/2"),
        ("cream solid", "1"),
        ("rust", "3/8"),
    ]
    assert owners_of(draft) == {
        "3": "Navy",
        "4": "Dot print No. 2",
        "5": "cream solid",
        "6": "rust",
    }


def test_one_name_with_two_uses_is_two_fabrics_and_two_amounts_for_one_are_marked(
    tmp_path: Path,
) -> None:
    draft = read_text_page(
        tmp_path,
        """Heron Runner

You will need
1 yard navy (blocks)
1/2 yard navy (binding)
Rust: 1/2 yard
Rust: 3/4 yard

Cutting
From the navy, cut:
4 squares 3"
From the rust, cut:
4 squares 4"
""",
    )
    assert [row.cell("Fabric") for row in draft.fabrics] == ["navy", "navy (binding)", "Rust"]
    assert [row.cell("Fabric") for row in draft.open_rows] == [""]
    rust = draft.fabrics[-1]
    assert (rust.how_sure, rust.cell("Requirement")) == (HowSure.LOOK, "")
    assert "more than one reading" in rust.why
    assert owners_of(draft) == {"3": "", "4": "Rust"}


SIZED = Page(
    name="Pebble Path",
    lines=[
        "= Pebble Path",
        "== Fabric Requirements",
        "| Fabric | Crib | Throw | Queen |",
        '|  | 38" x 46" | 54" x 62" | 86" x 94" |',
        "| Oat solid | 1 1/2 yds | 2 1/4 yds | 5 yds |",
        "| Harbor blue | 3/4 yd | 1 yd | 2 1/2 yds |",
        "| Rust dot | -- | 3/8 yd | 3/4 yd |",
        "== Cutting",
        "Oat solid",
        "Crib",
        '24 squares 5"',
        "Throw",
        '40 squares 5"',
        "Queen",
        '99 squares 5"',
        "Harbor blue",
        'Crib: 12 squares 4"',
        'Throw: 20 squares 4"',
        'Queen: 44 squares 4"',
        "Rust dot",
        'For the throw, cut 8 squares 3"',
        'For the queen, cut 18 squares 3"',
        'Cut 2 squares 9"',
    ],
)


def assert_sizes_stand_side_by_side(draft: Draft) -> None:
    def each(key: str, rows: tuple[DraftRow, ...]) -> list[tuple[str, ...]]:
        headings = sized_headings(key, ("Crib", "Throw", "Queen"))
        return [tuple(row.cell(one) for one in ("Fabric", *headings)) for row in rows]

    assert draft.sizes == ("Crib", "Throw", "Queen")
    assert each("Requirement", draft.fabrics) == [
        ("Oat solid", "1 1/2 yds", "2 1/4 yds", "5 yds"),
        ("Harbor blue", "3/4 yd", "1 yd", "2 1/2 yds"),
        ("Rust dot", "", "3/8 yd", "3/4 yd"),
    ]
    assert each("Quantity", draft.pieces) == [
        ("Oat solid", "24", "40", "99"),
        ("Harbor blue", "12", "20", "44"),
        ("Rust dot", "0", "8", "18"),
        ("Rust dot", "2", "2", "2"),
    ]
    places = [problem.location.sheet for problem in draft.problems if problem.location]
    assert "page" not in places  # a size without an amount is none of it, and no blank cell
    assert draft.pieces[-1].how_sure is HowSure.LOOK
    assert "No size is said" in draft.pieces[-1].why


@pytest.mark.parametrize("write", [write_text, write_word], ids=["txt", "docx"])
def test_a_column_per_size_is_read_as_the_tidy_workbook_has_it(
    write: object, tmp_path: Path
) -> None:
    path = tmp_path / ("page.txt" if write is write_text else "page.docx")
    write(SIZED, path)  # type: ignore[operator]
    assert_sizes_stand_side_by_side(km.draft(path))


@pytest.mark.browser
def test_a_printed_column_per_size_is_read_as_the_tidy_workbook_has_it(
    tab: Any, tmp_path: Path
) -> None:
    draft = km.draft(print_page(tab, tmp_path, as_html(SIZED)))
    assert_sizes_stand_side_by_side(draft)


def test_lists_under_the_sizes_names_are_of_one_size_each(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Pebble Path

Crib size (38 x 46)
Oat solid - 1 1/2 yds
Throw size (54 x 62)
Oat solid - 2 1/4 yds

Crib size
From the oat solid, cut:
24 squares 5"
Throw size
From the oat solid, cut:
40 squares 5"
""",
    )
    (fabric,), (piece,) = draft.fabrics, draft.pieces
    assert (fabric.cell("Requirement Crib"), fabric.cell("Requirement Throw")) == (
        "1 1/2 yds",
        "2 1/4 yds",
    )
    assert (piece.cell("Quantity Crib"), piece.cell("Quantity Throw")) == ("24", "40")


def test_an_amount_in_two_units_is_one_and_two_that_differ_are_asked_about(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Pebble Path

Fabric            Yards         Meters
Oat solid         1 1/2 yds     1.4 m
Rust              3/4 yd        1.7 m

Cutting
From the oat solid, cut:
24 squares 5"
""",
    )
    oat, rust = draft.fabrics
    assert oat.cell("Requirement") == "1 1/2 yds / 1.4 m"
    assert (rust.cell("Requirement"), rust.how_sure) == ("", HowSure.FILL_IN)


def test_a_heading_that_names_no_fabric_of_the_list_ends_what_the_one_above_holds_for(
    tmp_path: Path,
) -> None:
    draft = read_text_page(
        tmp_path,
        """Pebble Path

You will need
Oat solid - 1 yd

Cutting
Oat solid
4 squares 5"
Rust dot
8 squares 3"
""",
    )
    assert owners_of(draft) == {"5": "Oat solid", "3": ""}


@pytest.mark.browser
def test_centered_cells_drawn_lines_and_small_fractions_are_read_as_a_person_sees_them(
    tab: Any, tmp_path: Path
) -> None:
    half, eighth = "<sup>1</sup>⁄<sub>2</sub>", "<sup>5</sup>⁄<sub>8</sub>"
    page = f"""<meta charset=utf-8><style>td {{ border: 1px solid; padding: 5pt }}
    table {{ border-collapse: collapse; width: 120mm }}</style><h1>Kite Shop</h1>
    <table><tr><td>Fern batik for the kites and for all of the tails that hang on them
    <td>1{half} yd<td>32 squares 4{half}"<br>5 strips 2" x WOF for binding<br>8 squares 7"
    <tr><td>Night sky blue<td>{eighth} yd<td>64 squares 3"<br>6 rectangles 1{half}" x 4"</table>"""
    draft = km.draft(print_page(tab, tmp_path, page))
    assert [(row.cell("Fabric"), row.cell("Requirement")) for row in draft.fabrics] == [
        ("Fern batik", "1 1⁄2 yd"),
        ("Night sky blue", "5⁄8 yd"),
    ]
    cuts = [
        [(piece.quantity, piece.width, piece.length) for piece in fabric.pieces]
        for fabric in draft.readings[0].pattern.fabrics
    ]
    assert cuts == [[(32, 4.5, 4.5), (5, 2, None), (8, 7, 7)], [(64, 3, 3), (6, 1.5, 4)]]
    assert draft.open_rows == ()


def test_a_line_between_two_rows_of_a_table_is_given_to_neither(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Kite Shop

Fabric             You need     Cut
                                4 squares 3"
Fern batik         1 yd         4 squares 4"
                                4 squares 5"
                                4 squares 6"
Night sky          5/8 yd
                                4 squares 7"
""",
    )
    assert {owner for width, owner in owners_of(draft).items() if width != "4"} == {""}


def test_count_and_size_in_cells_of_their_own_are_one_cut(tmp_path: Path) -> None:
    rows = """Stone      A       24      4 1/2" x 4 1/2"
Copper     B       48      2 1/2" x 8 1/2"
"""
    lists = "Clock Tower\n\nFabric\n1 yd stone\n3/4 yd copper\n\nCutting List\n"
    draft = read_text_page(tmp_path, f"{lists}Fabric     Piece   Cut     Size\n{rows}")
    assert [(row.cell("Fabric"), row.cell("Quantity")) for row in draft.pieces] == [
        ("stone", "24"),
        ("copper", "48"),
    ]
    unsure = read_text_page(tmp_path, f"{lists}Fabric     Piece   Per block  Size\n{rows}")
    assert len(unsure.open_rows) == 2


def test_a_list_in_a_box_beside_the_cuts_is_no_table_with_them(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Tin Roof
                                    Shopping List
Cutting
                                    Slate: 1 1/2 yards
Slate                               Tin: 1 yard
12 squares 9"                       Rust: 5/8 yard
5 strips 3" x WOF                   Backing: 3 yards
Tin
24 rectangles 2" x 9"
""",
    )
    assert [row.cell("Fabric") for row in draft.fabrics] == ["Slate", "Tin", "Rust", "Backing"]
    assert owners_of(draft) == {"9": "Slate", "3": "Slate", "2": "Tin"}


def test_an_amount_that_stands_alone_waits_for_its_fabric(tmp_path: Path) -> None:
    draft = read_text_page(tmp_path, 'Tin Roof\n\n1 yard\n\nFrom slate, cut:\n4 squares 5"\n')
    assert [row.as_written for row in draft.open_rows] == ["1 yard"]
    assert "fabric is not said" in draft.open_rows[0].why


def test_what_heads_the_lines_of_a_cell_holds_for_all_of_them(tmp_path: Path) -> None:
    page = Page(name="Loom")
    page.lines = ["= Loom", "| Fabric | Cutting |", "| Deep prints | CUTS |"]
    write_word(page, tmp_path / "page.docx")
    made = docx.Document(str(tmp_path / "page.docx"))
    made.tables[0].cell(1, 1).text = 'Cut 12 matching sets of:\n2 squares 3" (A)\n4 squares 5" (B)'
    made.save(str(tmp_path / "page.docx"))
    counts = [row.cell("Quantity") for row in km.draft(tmp_path / "page.docx").pieces]
    assert counts == ["24", "48"]


def test_a_heading_without_a_color_is_a_fabric_of_its_own_or_none(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Loom

Forest print
8 strips 4 1/2" x WOF
Forest blender
8 strips 2 1/4" x WOF
Lattice
6 strips 3" x WOF
""",
    )
    owners = {"4 1/2": "Forest print", "2 1/4": "Forest blender", "3": ""}
    assert owners_of(draft) == owners


def test_a_row_of_a_fabric_whose_figures_are_not_understood_is_asked_about(tmp_path: Path) -> None:
    draft = read_text_page(
        tmp_path,
        """Loom

Yardage
Sky: 1 1/2 yd
Sand: 3/4 yd

Cutting
           5" squares     2" squares
Sky        24             12
Sand       8              48
""",
    )
    assert {"Sky 24 12", "Sand 8 48"} <= {row.as_written for row in draft.open_rows}


def test_an_amount_on_the_line_below_a_name_is_its_own_unless_it_may_be_the_next_ones(
    tmp_path: Path,
) -> None:
    name_first = 'Loom\n\nSky\n1 yard\n4 squares 3"\nSand\n.75 yard\n4 squares 4"\n'
    draft = read_text_page(tmp_path, name_first)
    named = [(row.cell("Fabric"), row.cell("Requirement")) for row in draft.fabrics]
    assert named == [("Sky", "1 yard"), ("Sand", ".75 yard")]
    assert owners_of(draft) == {"3": "Sky", "4": "Sand"}
    amount_first = 'Loom\n\nMaterials\n1 yard\nSky\n2 yards\nSand\n\nFrom sky, cut:\n4 squares 3"\n'
    asked = read_text_page(tmp_path, amount_first).open_rows
    assert {"1 yard", "2 yards"} <= {row.as_written for row in asked}


def test_cuts_below_two_amounts_of_one_fabric_are_to_be_looked_at(tmp_path: Path) -> None:
    part = "{}\nSky: {} yard\nFrom Sky, cut:\n{}\n"
    runner, mats = (
        part.format("Runner", "1/2", '6 squares 5"'),
        part.format("Mats", 1, '9 squares 7"'),
    )
    draft = read_text_page(tmp_path, f"Loom\n\n{runner}\n{mats}")
    assert [row.how_sure for row in draft.pieces] == [HowSure.LOOK, HowSure.LOOK]
    assert "Two amounts are stated" in draft.pieces[0].why


def test_strips_under_the_heading_cut_are_cut_and_not_bought(tmp_path: Path) -> None:
    text = 'Loom\n\nFabric\nSky: 1 yard\n\nCut\nSky:\n4 squares 5"\n4 strips 3 1/2" x WOF\n'
    draft = read_text_page(tmp_path, text)
    assert [row.cell("Fabric") for row in draft.fabrics] == ["Sky"]
    assert owners_of(draft) == {"5": "Sky", "3 1/2": "Sky"}


def test_an_entry_of_a_list_does_not_carry_on_the_one_above(tmp_path: Path) -> None:
    """The last letters of full lines say nothing of what stands below them."""
    draft = read_text_page(
        tmp_path,
        """Loom

You will need
sage dot: 1 yard for all of the squares (blocks)
rust dot: 3/4 yard for the triangles (corners)

From sage, cut:
4 squares 5"
""",
    )
    assert [row.cell("Fabric") for row in draft.fabrics] == ["sage dot", "rust dot"]


def test_a_column_whose_lines_hang_a_little_is_one_column() -> None:
    def row(top: float, *places: tuple[float, str]) -> PageRow:
        return PageRow(tuple(Segment(at, at + 5 * len(text), text, 12) for at, text in places), top)

    rows = [
        row(15 * at, (60, f"Left of line {at}"), (311 if at == 3 else 316.5, f"Right of line {at}"))
        for at in range(6)
    ]
    left, right = read_columns(rows)
    assert [len(left.rows), len(right.rows)] == [6, 6]
    assert {one.segments[0].text[:5] for one in right.rows} == {"Right"}

"""Every column of the shop's and the class's workbook, badly filled: the cell and the exit code.

The command is run on a small pattern; whatever is wrong in a workbook, nothing is written.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from books import FORMS, STOCK, Sheets, write
from click.testing import CliRunner, Result
from openpyxl.utils import coordinate_to_tuple

from kitmaker.cli import main
from kitmaker.errors import ExitCode

PATTERN = {
    "Pieces": [
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity"),
        ("Sky", "A", 2.5, 4.5, 20),
        ("Stars", "B", 3.5, 3.5, 20),
    ]
}
SHOP: Sheets = {
    "Shop": [("Name", "Juniper & Thread Quilt Shop"), ("Straighten", 0.5), ("Kit fee", 3)],
    "Forms": [FORMS, ("Tin square", 12, 12, 12, 12, 1, 2, 10)],
    "Stock": [
        (*STOCK, "Usable length"),
        ("S-1", "Fog", None, 40, "9 yd", None, None, "7", 6, 12, None, None),
        ("S-2", "Fern", "fat quarter", None, None, 40, None, None, 2, 4, None, None),
    ],
}
CLASS: Sheets = {
    "Class": [("Title", "Saturday"), ("Kits", 4), ("Spare kits", 0)],
    "Colorways": [
        ("Colorway", "Kits", "Fabric", "SKU"),
        ("Blue", 4, "Sky", "S-1"),
        ("Blue", None, "Stars", "S-2"),
    ],
    "Fabrics": [
        ("Fabric", "In kit", "Form", "Bag"),
        ("Sky", "yes", "yardage", "pieces"),
        ("Stars", "yes", "fat quarter", "uncut"),
    ],
    "Extras": [("Item", "Count per kit", "Cost", "Price"), ("Booklet", 1, 5, 9)],
}


def with_cell(sheets: Sheets, sheet: str, cell: str, value: object) -> Sheets:
    """The same workbook with another value in one cell; rows and columns grow as needed."""
    down, across = coordinate_to_tuple(cell)
    rows = [list(row) for row in sheets[sheet]]
    while len(rows) < down:
        rows.append([])
    row = rows[down - 1]
    row.extend([None] * (across - len(row)))
    row[across - 1] = value
    return {**sheets, sheet: rows}


def plan(tmp_path: Path, shop: Sheets, the_class: Sheets, *words: str) -> Result:
    pattern = write(tmp_path / "pattern.xlsx", PATTERN)
    options = ["--shop", str(write(tmp_path / "shop.xlsx", shop))]
    options += ["--class", str(write(tmp_path / "class.xlsx", the_class))]
    return CliRunner().invoke(
        main, ["plan", str(pattern), *options, "--out", str(tmp_path / "out"), *words]
    )


def assert_refused(result: Result, code: ExitCode, *said: str) -> None:
    assert result.exit_code == code, result.output
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    for words in said:
        assert words in result.stderr


def test_the_workbooks_are_good_before_anything_is_spoiled(tmp_path: Path) -> None:
    result = plan(tmp_path, SHOP, CLASS)
    assert (result.exit_code, result.stderr) == (ExitCode.DONE, "")
    assert (tmp_path / "out" / "index.html").exists()


Cells = dict[tuple[str, str], object]

BAD_IN_SHOP: tuple[Cells, ...] = (
    {
        ("Shop", "B2"): -1,
        ("Shop", "B3"): -3,
        ("Forms", "B2"): -12,
        ("Forms", "C2"): "long",
        ("Forms", "E2"): "-",
        ("Forms", "F2"): -1,
        ("Forms", "G2"): "free",
        ("Forms", "H2"): 1.5,
        ("Stock", "D2"): -40,
        ("Stock", "E2"): -9,
        ("Stock", "G2"): -1,
        ("Stock", "I2"): -6,
        ("Stock", "J2"): -1,
        ("Stock", "K2"): "120 %",
        ("Stock", "L2"): 17,
        ("Stock", "F3"): -4,
        ("Stock", "L3"): -17,
    },
    {
        ("Shop", "B2"): "half",
        ("Shop", "B3"): "free",
        ("Forms", "D2"): 13,
        ("Stock", "A2"): None,
        ("Stock", "D2"): "wide",
        ("Stock", "E2"): "lots",
        ("Stock", "I2"): "dear",
        ("Stock", "K2"): "much",
        ("Stock", "F3"): "many",
        ("Stock", "G3"): "some",
    },
    {("Forms", "A2"): None, ("Stock", "C3"): "fat qarter"},
    {("Stock", "F3"): 2.5, ("Stock", "E1"): "Lenght at hand", ("Stock", "M1"): "Aisle"},
)
BAD_IN_CLASS: tuple[Cells, ...] = (
    {
        ("Class", "B2"): -4,
        ("Class", "B3"): -1,
        ("Colorways", "B2"): -4,
        ("Colorways", "D2"): None,
        ("Fabrics", "B2"): "perhaps",
        ("Fabrics", "C2"): "fat qarter",
        ("Fabrics", "D2"): "basket",
        ("Extras", "B2"): -1,
        ("Extras", "C2"): -5,
        ("Extras", "D2"): "free",
    },
    {
        ("Class", "B2"): "four",
        ("Colorways", "A2"): None,
        ("Fabrics", "A2"): None,
        ("Extras", "A2"): None,
        ("Extras", "B2"): "two",
    },
    {("Colorways", "B2"): "some", ("Colorways", "C2"): None},
    {("Colorways", "B2"): 0},
)


def spoiled(sheets: Sheets, cells: Cells) -> Sheets:
    for (sheet, cell), value in cells.items():
        sheets = with_cell(sheets, sheet, cell, value)
        if cell == "M1":
            sheets = with_cell(sheets, sheet, "M2", 3)
    return sheets


@pytest.mark.parametrize("cells", BAD_IN_SHOP)
def test_every_bad_cell_of_the_shops_workbook_is_told(tmp_path: Path, cells: Cells) -> None:
    places = [f"shop.xlsx, sheet '{sheet}', cell {cell}:" for sheet, cell in cells]
    assert_refused(plan(tmp_path, spoiled(SHOP, cells), CLASS), ExitCode.UNREADABLE, *places)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("cells", BAD_IN_CLASS)
def test_every_bad_cell_of_the_classs_workbook_is_told(tmp_path: Path, cells: Cells) -> None:
    places = [f"class.xlsx, sheet '{sheet}', cell {cell}:" for sheet, cell in cells]
    assert_refused(plan(tmp_path, SHOP, spoiled(CLASS, cells)), ExitCode.UNREADABLE, *places)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("sheet", "cell", "value"),
    [("Shop", "B2", "half"), ("Forms", "F2", -1), ("Stock", "E2", -9), ("Stock", "D2", -40)],
)
def test_one_bad_cell_is_enough_to_stop(
    tmp_path: Path, sheet: str, cell: str, value: object
) -> None:
    result = plan(tmp_path, with_cell(SHOP, sheet, cell, value), CLASS)
    assert_refused(result, ExitCode.UNREADABLE, f"sheet '{sheet}', cell {cell}:")


def test_one_sku_of_two_widths_names_both_cells(tmp_path: Path) -> None:
    row = ("S-1", "Fog", None, 30, "1 yd", None, None, None, 6, 12, None, None)
    shop = {**SHOP, "Stock": [*SHOP["Stock"], row]}
    place = "sheet 'Stock', cell D4: the SKU S-1 has a usable width of 30 in here"
    assert_refused(plan(tmp_path, shop, CLASS), ExitCode.UNREADABLE, place, "in D2")


def test_a_count_in_words_is_answered_with_a_whole_number(tmp_path: Path) -> None:
    result = plan(tmp_path, SHOP, with_cell(CLASS, "Class", "B2", "four"))
    assert_refused(result, ExitCode.UNREADABLE, "Type a whole number such as 4.")


@pytest.mark.parametrize(
    ("sheet", "cell", "value", "said"),
    [
        ("Colorways", "C2", "Skye", "fills the fabric"),
        ("Colorways", "D2", "S-9", "'S-9', which the Stock sheet of shop.xlsx does not have"),
        ("Fabrics", "A2", "Skye", "the class names the fabric 'Skye'"),
        ("Class", "B2", 5, "says 5; the sum of the colorways (4 Blue) says 4"),
    ],
)
def test_files_that_disagree_are_told_by_the_cell_that_does(
    tmp_path: Path, sheet: str, cell: str, value: object, said: str
) -> None:
    result = plan(tmp_path, SHOP, with_cell(CLASS, sheet, cell, value))
    assert_refused(result, ExitCode.USAGE, f"class.xlsx, sheet '{sheet}', cell {cell}", said)
    assert not (tmp_path / "out").exists()


def test_all_that_state_the_kits_are_named_where_they_disagree(tmp_path: Path) -> None:
    result = plan(tmp_path, SHOP, CLASS, "--kits", "5")
    said = ("--kits says 5", "'Kits' (class.xlsx, sheet 'Class', cell B2) says 4", "colorways")
    assert_refused(result, ExitCode.USAGE, *said)


def test_a_colorway_without_kits_and_roles_is_told_by_its_cell(tmp_path: Path) -> None:
    row = ("Red", None, "Sky", "S-1")
    the_class = {**CLASS, "Colorways": [*CLASS["Colorways"], row]}
    said = ("cell A4: the colorway 'Red' has no kits", "which fabric fills 'Stars'")
    assert_refused(plan(tmp_path, SHOP, the_class), ExitCode.USAGE, *said)


def test_every_problem_of_both_workbooks_is_told_at_once(tmp_path: Path) -> None:
    shop = with_cell(with_cell(SHOP, "Stock", "E2", "lots"), "Forms", "F2", -1)
    result = plan(tmp_path, shop, with_cell(CLASS, "Extras", "C2", "free"))
    assert_refused(
        result, ExitCode.UNREADABLE, "'Stock', cell E2", "'Forms', cell F2", "'Extras', cell C2"
    )


@pytest.mark.parametrize("sign", ["100", "-3", "banana"])
def test_a_currency_is_a_sign(tmp_path: Path, sign: str) -> None:
    shop = with_cell(with_cell(SHOP, "Shop", "A4", "Currency"), "Shop", "B4", sign)
    assert_refused(plan(tmp_path, shop, CLASS), ExitCode.UNREADABLE, "sheet 'Shop', cell B4")


def test_a_usable_width_no_bolt_has_is_warned_of(tmp_path: Path) -> None:
    shop = with_cell(with_cell(SHOP, "Shop", "A4", "Usable width"), "Shop", "B4", 100)
    result = plan(tmp_path, shop, CLASS)
    assert result.exit_code == ExitCode.DONE
    assert "a bolt is about 42 in wide" in result.stderr

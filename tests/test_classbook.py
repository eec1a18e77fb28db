"""The class's workbook, sheet by sheet: good values, and each bad one with its cell."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from books import Sheets, address, the_problem, write

from kitmaker.commands.inputs import read_inputs
from kitmaker.errors import KitmakerError, UnreadableError
from kitmaker.files import read_class
from kitmaker.forms import Catalogue
from kitmaker.shop import Bag, ClassReading, InKit, Shop, ShopReading

COLORWAYS = ("Colorway", "Kits", "Fabric", "SKU")
FABRICS = ("Fabric", "In kit", "Form", "Bag")
EXTRAS = ("Item", "Count per kit", "Cost", "Price")
TITLE = ("Title", "Harbor Lanterns")


def read(tmp_path: Path, sheets: Sheets, catalogue: Catalogue | None = None) -> ClassReading:
    shop = None if catalogue is None else ShopReading(shop=Shop(catalogue=catalogue))
    return read_class(write(tmp_path / "class.xlsx", {"Class": [TITLE], **sheets}), shop)


@pytest.mark.parametrize(
    ("label", "value", "field", "wanted"),
    [
        ("Title", "Two Saturdays", "title", "Two Saturdays"),
        ("Date", date(2027, 3, 13), "date", "2027-03-13"),
        ("Date", "March 13 and 20", "date", "March 13 and 20"),
        ("Teacher", "Wren Halloway", "teacher", "Wren Halloway"),
        ("KITS", 12, "kits", 12),
        ("Kits", "12", "kits", 12),
        ("Spare kits", 0, "spare_kits", 0),
        ("Size", "throw", "size", "throw"),
        ("Pattern file", "harbor-lanterns.xlsx", "pattern_file", "harbor-lanterns.xlsx"),
        ("Pattern file", "patterns\\lanterns.xlsx", "pattern_file", "patterns/lanterns.xlsx"),
    ],
)
def test_a_fact_of_the_class_is_read(
    tmp_path: Path, label: str, value: object, field: str, wanted: object
) -> None:
    reading = read(tmp_path, {"Class": [(label, value)]})
    assert reading.problems == ()
    assert getattr(reading.class_sheet, field) == wanted


def test_what_is_not_said_stays_open(tmp_path: Path) -> None:
    sheet = read(tmp_path, {}).class_sheet
    assert (sheet.kits, sheet.spare_kits, sheet.size, sheet.pattern_file) == (None,) * 4
    assert (sheet.colorways, sheet.fabrics, sheet.extras) == ((), (), ())


def test_the_cell_of_the_kits_is_kept(tmp_path: Path) -> None:
    sheet = read(tmp_path, {"Class": [TITLE, ("Kits", 12)]}).class_sheet
    assert sheet.kits_where is not None
    assert sheet.kits_where.address == "Class!B2"


@pytest.mark.parametrize(
    ("label", "value", "said"),
    [
        ("Kits", 0, "whole number of 1"),
        ("Kits", -12, "whole number of 1"),
        ("Kits", 7.5, "whole number of 1"),
        ("Kits", "a dozen", "cannot be read"),
        ("Kits", date(2026, 1, 12), "date"),
        ("Spare kits", -1, "whole number of 0"),
        ("Spare kits", "some", "cannot be read"),
        ("Pattern file", "../../secret.xlsx", "not in the class workbook's folder"),
        ("Pattern file", "/etc/passwd", "not in the class workbook's folder"),
        ("Pattern file", "C:\\patterns\\a.xlsx", "not in the class workbook's folder"),
        ("Pattern file", "\\\\server\\a.xlsx", "not in the class workbook's folder"),
    ],
)
def test_a_bad_fact_is_an_error_at_its_cell(
    tmp_path: Path, label: str, value: object, said: str
) -> None:
    reading = read(tmp_path, {"Class": [TITLE, (label, value)]})
    problem = the_problem(reading)
    assert problem.is_error
    assert address(problem) == "Class!B2"
    assert said in problem.message
    assert reading.class_sheet.kits is None
    assert reading.class_sheet.pattern_file is None


def test_an_unknown_label_is_a_warning_with_the_nearest(tmp_path: Path) -> None:
    problem = the_problem(read(tmp_path, {"Class": [("Pattern fil", "a.xlsx")]}))
    assert not problem.is_error
    assert address(problem) == "Class!A1"
    assert "Pattern file" in problem.suggestion


DUSK = [("Dusk", 7, "Lantern print", "JT-210"), ("Dusk", 7, "Border", "JT-342")]


def test_kits_may_stand_on_every_row_of_a_colorway(tmp_path: Path) -> None:
    dawn = [("Dawn", 5, "Lantern Print", "JT-221"), ("Dawn", 5, "Border", "JT-342")]
    reading = read(tmp_path, {"Colorways": [COLORWAYS, *DUSK, *dawn]})
    assert reading.problems == ()
    dusk_read, dawn_read = reading.class_sheet.colorways
    assert (dusk_read.name, dusk_read.kits) == ("Dusk", 7)
    assert dusk_read.skus == {"lanternprint": "JT-210", "border": "JT-342"}
    assert (dawn_read.name, dawn_read.kits) == ("Dawn", 5)
    assert dusk_read.where is not None
    assert dusk_read.where.address == "Colorways!A2"
    assert dusk_read.roles == {"lanternprint": "Lantern print", "border": "Border"}
    assert dusk_read.role_cells == {"lanternprint": "C2", "border": "C3"}
    assert dusk_read.cells == {"lanternprint": "D2", "border": "D3"}


def test_kits_and_the_colorways_name_may_stand_on_its_first_row_only(tmp_path: Path) -> None:
    rows = [
        ("Dusk", 7, "Lantern print", "JT-210"),
        (None, None, "Border", "JT-342"),
        ("Dawn", 5, "Lantern print", "JT-221"),
        ("dawn", None, "Border", "JT-347"),
    ]
    reading = read(tmp_path, {"Colorways": [COLORWAYS, *rows]})
    assert reading.problems == ()
    assert [(one.name, one.kits) for one in reading.class_sheet.colorways] == [
        ("Dusk", 7),
        ("Dawn", 5),
    ]
    assert [len(one.skus) for one in reading.class_sheet.colorways] == [2, 2]


def test_a_name_is_not_carried_over_an_empty_row(tmp_path: Path) -> None:
    rows = [COLORWAYS, DUSK[0], (), (None, None, "Border", "JT-342")]
    problem = the_problem(read(tmp_path, {"Colorways": rows}))
    assert problem.is_error
    assert address(problem) == "Colorways!A4"


def test_a_colorway_without_kits_leaves_them_open(tmp_path: Path) -> None:
    rows = [COLORWAYS, ("Dusk", None, "Border", "JT-342")]
    assert read(tmp_path, {"Colorways": rows}).class_sheet.colorways[0].kits is None


@pytest.mark.parametrize(
    ("row", "cell", "said"),
    [
        (("Dusk", 8, "Binding", "JT-1"), "B4", "8 kits here and 7 in B2"),
        (("Dusk", 0, "Binding", "JT-1"), "B4", "whole number of 1"),
        (("Dusk", "few", "Binding", "JT-1"), "B4", "cannot be read"),
        (("Dusk", 7, None, "JT-1"), "C4", "names no fabric"),
        (("Dusk", 7, "Binding", None), "D4", "names no SKU"),
        (("Dusk", 7, "border", "JT-1"), "D4", "JT-342 in D3"),
    ],
)
def test_a_bad_row_of_a_colorway_is_named(
    tmp_path: Path, row: Sequence[Any], cell: str, said: str
) -> None:
    reading = read(tmp_path, {"Colorways": [COLORWAYS, *DUSK, row]})
    problem = the_problem(reading)
    assert problem.is_error
    assert address(problem) == f"Colorways!{cell}"
    assert said in problem.message
    assert reading.class_sheet.colorways[0].kits == 7


def test_a_role_filled_twice_by_one_sku_is_only_warned_of(tmp_path: Path) -> None:
    problem = the_problem(read(tmp_path, {"Colorways": [COLORWAYS, *DUSK, DUSK[1]]}))
    assert not problem.is_error
    assert address(problem) == "Colorways!C4"


def test_the_fabrics_say_what_is_in_the_kit_and_how(tmp_path: Path) -> None:
    rows = [
        FABRICS,
        ("Background", "yes", "Yardage", "pieces"),
        ("Lantern print", "Yes", "fat quarter + 2.5 strip", "uncut"),
        ("Binding", "Sold apart", None, None),
        ("Backing", "no", None, None),
        ("Border", None, None, None),
    ]
    reading = read(tmp_path, {"Fabrics": rows}, Catalogue())
    assert reading.problems == ()
    chosen = reading.class_sheet.fabrics
    assert [one.in_kit for one in chosen] == [
        InKit.YES,
        InKit.YES,
        InKit.SOLD_APART,
        InKit.NO,
        None,
    ]
    assert (chosen[0].form, chosen[0].bag) == ("Yardage", Bag.PIECES)
    assert (chosen[1].form, chosen[1].bag) == ("fat quarter+2.5 strip", Bag.UNCUT)
    assert chosen[2].where.address == "Fabrics!A4"


@pytest.mark.parametrize(
    ("row", "cell", "said"),
    [
        ((None, "yes", None, None), "A3", "no fabric"),
        (("Border", "maybe", None, None), "B3", "in the kit"),
        (("Border", "yes", "fat quater", None), "C3", "no form 'fat quater'"),
        (("Border", "yes", "fat quarter+", None), "C3", "without a form"),
        (("Border", "yes", None, "box"), "D3", "into the bag"),
        (("BACKGROUND", "no", None, None), "A3", "in A2"),
    ],
)
def test_a_bad_cell_of_the_fabrics_is_named(
    tmp_path: Path, row: Sequence[Any], cell: str, said: str
) -> None:
    rows = [FABRICS, ("Background", "yes", None, None), row]
    problem = the_problem(read(tmp_path, {"Fabrics": rows}, Catalogue()))
    assert problem.is_error
    assert address(problem) == f"Fabrics!{cell}"
    assert said in problem.message
    assert problem.suggestion


def test_forms_are_not_checked_without_the_shops_catalogue(tmp_path: Path) -> None:
    rows = [FABRICS, ("Background", "yes", "remnant", None)]
    reading = read(tmp_path, {"Fabrics": rows})
    assert reading.problems == ()
    assert reading.class_sheet.fabrics[0].form == "remnant"


def test_a_patterns_own_sheet_of_fabrics_is_left_alone(tmp_path: Path) -> None:
    rows = [("Fabric", "Requirement"), ("Background", "1 yd")]
    reading = read(tmp_path, {"Fabrics": rows})
    assert reading.problems == ()
    assert reading.class_sheet.fabrics == ()


def test_extras_are_counted_per_kit_and_one_when_blank(tmp_path: Path) -> None:
    rows = [EXTRAS, ("Pattern", None, 6, 12), ("Thread", "1/2", "$2.75", None)]
    reading = read(tmp_path, {"Extras": rows})
    assert reading.problems == ()
    pattern, thread = reading.class_sheet.extras
    assert (pattern.item, pattern.count_per_kit, pattern.cost) == ("Pattern", 1, Decimal(6))
    assert (thread.count_per_kit, thread.cost) == (Fraction(1, 2), Decimal("2.75"))
    assert thread.price is None


@pytest.mark.parametrize(
    ("row", "cell", "said"),
    [
        ((None, 1, 6, 12), "A2", "no item"),
        (("Thread", 0, 6, 12), "B2", "not above zero"),
        (("Thread", -1, 6, 12), "B2", "not above zero"),
        (("Thread", "one", 6, 12), "B2", "cannot be read"),
        (("Thread", 1, "cheap", 12), "C2", "not a sum of money"),
        (("Thread", 1, 6, -12), "D2", "not a sum of money"),
    ],
)
def test_a_bad_cell_of_the_extras_is_named(
    tmp_path: Path, row: Sequence[Any], cell: str, said: str
) -> None:
    problem = the_problem(read(tmp_path, {"Extras": [EXTRAS, row]}))
    assert problem.is_error
    assert address(problem) == f"Extras!{cell}"
    assert said in problem.message


def test_values_under_an_unknown_heading_are_an_error_at_the_heading(tmp_path: Path) -> None:
    rows = [(*COLORWAYS, "Bolts"), (*DUSK[0], 2)]
    problem = the_problem(read(tmp_path, {"Colorways": rows}))
    assert problem.is_error
    assert address(problem) == "Colorways!E1"


def test_a_sheet_without_its_headings_is_an_error(tmp_path: Path) -> None:
    problem = the_problem(read(tmp_path, {"Colorways": [("Name", "Bolt"), ("Dusk", "JT-1")]}))
    assert problem.is_error
    assert address(problem) == "Colorways"


def test_one_file_may_hold_shop_and_class(tmp_path: Path) -> None:
    reading = read(tmp_path, {"Shop": [("Name", "J & T")], "Stock": [("SKU", "Length at hand")]})
    assert reading.problems == ()


def test_a_workbook_without_a_classs_sheets_is_no_classs_workbook(tmp_path: Path) -> None:
    path = write(tmp_path / "other.xlsx", {"Fabrics": [FABRICS]})
    with pytest.raises(UnreadableError, match=r"other\.xlsx.*Class or Colorways") as caught:
        read_class(path)
    assert "\n" not in str(caught.value)


def test_a_csv_file_is_no_classs_workbook(tmp_path: Path) -> None:
    path = tmp_path / "class.csv"
    path.write_text("Title,Lanterns\n", encoding="utf-8")
    with pytest.raises(UnreadableError):
        read_class(path)


def test_a_colorway_knows_the_cell_of_each_sku_and_its_roles_as_typed(tmp_path: Path) -> None:
    rows = [COLORWAYS, ("Blue", 4, "Night Sky", "S-1"), (None, None, "Stars", "S-2")]
    (blue,) = read(tmp_path, {"Colorways": rows}).class_sheet.colorways
    assert blue.cells == {"nightsky": "D2", "stars": "D3"}
    assert blue.roles == {"nightsky": "Night Sky", "stars": "Stars"}


@pytest.mark.parametrize(
    ("facts", "place", "told"),
    [
        ([("Pattern file", "boat.xlsx"), ("Size", "thow")], "Class!B2", "Did you mean 'throw'?"),
        ([("Pattern file", "boat.xlsx")], "Class", "Type it beside Size."),
        ([("Size", "throw"), ("Pattern file", "boats.xlsx")], "Class!B2", "Look at its name"),
    ],
)
def test_a_wrong_or_blank_size_and_a_missing_pattern_are_named_by_their_cell(
    tmp_path: Path, facts: list[tuple[str, str]], place: str, told: str
) -> None:
    heads = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw")
    write(tmp_path / "boat.xlsx", {"Pieces": [heads, ("Sail", "A", 3, 4, 5, 6)]})
    book = write(tmp_path / "class.xlsx", {"Class": facts})
    with pytest.raises(KitmakerError) as caught:
        read_inputs(None, class_file=book)
    (problem,) = caught.value.problems
    assert address(problem) == place
    assert told in problem.suggestion

"""The shop's workbook, sheet by sheet: good values, and each bad one with its cell."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from books import BOLT, FORMS, REMNANT, STOCK, address, read_as_shop, the_problem, write

from kitmaker.errors import UnreadableError
from kitmaker.files import read_shop
from kitmaker.lengths import CENTIMETER, METER, Unit
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import Ease
from kitmaker.shopbooks.shopbook import holds_shop

LABELS = (
    "Label sheet",
    "Paper",
    "Columns",
    "Rows",
    "Label width",
    "Label height",
    "Left margin",
    "Top margin",
    "Pitch across",
    "Pitch down",
)


@pytest.mark.parametrize(
    ("label", "value", "field", "wanted"),
    [
        ("Name", "Juniper & Thread Quilt Shop", "name", "Juniper & Thread Quilt Shop"),
        ("Address", "14 Mill Lane", "address", "14 Mill Lane"),
        ("Phone", "555-0142", "phone", "555-0142"),
        ("E-mail", "a@b.example", "email", "a@b.example"),
        ("Usable width", 41.5, "usable_width", Fraction(83, 2)),
        ("usable WIDTH", "105 cm", "usable_width", 105 * CENTIMETER),
        ("Straighten", 0, "straighten", Fraction(0)),
        ("Straighten", "½ in", "straighten", Fraction(1, 2)),
        ("Re-square", "0", "re_square", Fraction(0)),
        ("Layers per cut", "6", "layers_per_cut", 6),
        ("Round yardage up to", "1/8", "round_yardage_up_to", Fraction(9, 2)),
        ("Round yardage up to", 0.25, "round_yardage_up_to", Fraction(9)),
        ("Round yardage up to", "9 in", "round_yardage_up_to", Fraction(9)),
        ("Ease", "2 %", "ease", Ease(share=Fraction(1, 50))),
        ("Ease", 0, "ease", Ease(share=Fraction(0))),
        ("Ease", "1/4 yd", "ease", Ease(length=Fraction(9))),
        ("Ruler length", 24, "ruler_length", Fraction(24)),
        ("Labor per hour", "$24", "labor_per_hour", Decimal(24)),
        ("Kit fee", 6.5, "kit_fee", Decimal("6.5")),
        ("Label sheet", "A4-21", "label_sheet", "A4-21"),
        ("Bag label sheet", "letter-10", "bag_label_sheet", "letter-10"),
        ("Piece labels", "letter-30", "piece_label_sheet", "letter-30"),
        ("Label offset", "1, -0.5", "label_offset", (Fraction(1), Fraction(-1, 2))),
        ("Smallest offcut", "2.5 x 5", "smallest_offcut", (Fraction(5, 2), Fraction(5))),
        ("Smallest offcut", 4, "smallest_offcut", (Fraction(4), Fraction(4))),
        ("Smallest length back", "1/4 yd", "smallest_length_back", Fraction(9)),
        ("Currency", "€", "currency", "€"),
        ("Seconds per cut", 10, "seconds_per_cut", 10),
    ],
)
def test_a_figure_of_the_shop_is_read(
    tmp_path: Path, label: str, value: object, field: str, wanted: object
) -> None:
    reading = read_as_shop(tmp_path, {"Shop": [(label, value)]})
    assert reading.problems == ()
    assert getattr(reading.shop, field) == wanted


@pytest.mark.parametrize(
    ("label", "value", "said"),
    [
        ("Usable width", -40, "more than zero"),
        ("Usable width", 0, "more than zero"),
        ("Usable width", "wide", "cannot be read"),
        ("Usable width", date(2026, 1, 2), "date"),
        ("Straighten", "-1/2", "cannot be read"),
        ("Re-square", -0.25, "zero or more"),
        ("Layers per cut", 0, "whole number of 1"),
        ("Layers per cut", 2.5, "whole number of 1"),
        ("Layers per cut", "four", "cannot be read"),
        ("Layers per cut", True, "TRUE"),
        ("Round yardage up to", 0, "more than zero"),
        ("Round yardage up to", date(2026, 1, 8), "date"),
        ("Ease", "a bit", "cannot be read"),
        ("Ease", "-2 %", "2 %"),
        ("Ruler length", "24 ells", "no unit"),
        ("Markup", 2, "multiply it by 2"),
        ("Markup", "100", "add 100 %"),
        ("Markup", "double", "no markup"),
        ("Labor per hour", -5, "not a sum of money"),
        ("Labor per hour", 1e20, "too large"),
        ("Kit fee", "free", "not a sum of money"),
        ("Label sheet", "letter-31", "no label sheet"),
        ("Piece label sheet", "letter-31", "no label sheet"),
        ("Label offset", "a bit", "two shifts"),
        ("Label offset", 1.5, "two shifts"),
        ("Smallest offcut", "2 x 3 x 4", "more than two"),
        ("Smallest length back", "short", "cannot be read"),
        ("Unit", "ells", "no unit"),
        ("Seconds per pull", "-3", "whole number of 1"),
        ("Usable width", "9000000 yd", "too long"),
    ],
)
def test_a_bad_figure_is_an_error_at_its_cell_and_the_default_stays(
    tmp_path: Path, label: str, value: object, said: str
) -> None:
    reading = read_as_shop(tmp_path, {"Shop": [("Name", "J & T"), (label, value)]})
    problem = the_problem(reading)
    assert problem.is_error
    assert address(problem) == "Shop!B2"
    assert said in problem.message
    assert problem.suggestion
    assert reading.shop.layers_per_cut == 4
    assert reading.shop.name == "J & T"


def test_every_bad_figure_is_told_at_once(tmp_path: Path) -> None:
    rows = [("Layers per cut", 0), ("Markup", 2), ("Kit fee", "free")]
    reading = read_as_shop(tmp_path, {"Shop": rows})
    assert [address(problem) for problem in reading.problems] == ["Shop!B1", "Shop!B2", "Shop!B3"]


def test_a_percentage_typed_as_a_number_is_added(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    sheet = workbook.worksheets[0]
    sheet.title = "Shop"
    sheet.append(["Markup", 1])
    sheet["B1"].number_format = "0%"
    workbook.save(tmp_path / "shop.xlsx")
    reading = read_shop(tmp_path / "shop.xlsx")
    assert reading.problems == ()
    assert reading.shop.markup is not None
    assert reading.shop.markup.factor == 2
    assert reading.shop.markup.as_written == "100 %"


def test_a_markup_below_the_cost_is_warned_of(tmp_path: Path) -> None:
    problem = the_problem(read_as_shop(tmp_path, {"Shop": [("Markup", "×0.5")]}))
    assert not problem.is_error
    assert address(problem) == "Shop!B1"


def test_an_unknown_label_is_a_warning_with_the_nearest(tmp_path: Path) -> None:
    problem = the_problem(read_as_shop(tmp_path, {"Shop": [("Layers for cut", 4)]}))
    assert not problem.is_error
    assert address(problem) == "Shop!A1"
    assert "Layers per cut" in problem.suggestion


def test_a_remark_in_the_third_column_is_no_value(tmp_path: Path) -> None:
    rows = [("Setting", "Value", "What it is"), ("Usable width", None, "what to count on")]
    reading = read_as_shop(tmp_path, {"Shop": rows})
    assert reading.problems == ()
    assert reading.shop.usable_width is None


def test_a_bare_step_no_shop_has_in_yards_is_inches_and_says_so(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Shop": [("Smallest length back", 9)]})
    assert reading.shop.smallest_length_back == 9
    problem = the_problem(reading)
    assert not problem.is_error
    assert "9 in" in problem.message


def test_where_the_unit_is_cm_widths_are_cm_and_lengths_meters(tmp_path: Path) -> None:
    rows = [("Unit", "cm"), ("Usable width", 106), ("Round yardage up to", 0.05)]
    bolt = ("B1", "Fog", None, 105, 3.5, None, 0.5, None, None, None, None)
    reading = read_as_shop(tmp_path, {"Shop": rows, "Stock": [STOCK, bolt]})
    assert reading.problems == ()
    assert reading.shop.unit is Unit.CENTIMETER
    assert reading.shop.usable_width == 106 * CENTIMETER
    assert reading.shop.round_yardage_up_to == 5 * CENTIMETER
    assert reading.shop.stock is not None
    row = reading.shop.stock[0]
    assert row.usable_width == 105 * CENTIMETER
    assert row.length == Fraction(7, 2) * METER
    assert row.free_length == 3 * METER


def test_the_shops_own_forms_join_and_replace_the_built_in_ones(tmp_path: Path) -> None:
    rows = [FORMS, REMNANT, ("FAT QUARTER", 22, 18, 20.5, 16.5, 2.6, 5.2, 12)]
    reading = read_as_shop(tmp_path, {"Forms": rows})
    assert reading.problems == ()
    remnant = reading.shop.catalogue.find("remnants")
    assert (remnant.form_id, remnant.usable_across, remnant.usable_along) == ("remnant", 40, 19)
    assert (remnant.cost, remnant.price, remnant.own) == (Decimal("2.4"), Decimal("5.5"), True)
    quarter = reading.shop.catalogue.find("fat-quarter")
    assert (quarter.usable_across, quarter.bundle_count) == (Fraction(41, 2), 12)
    assert quarter.name == "fat quarter"
    ids = [form.form_id for form in reading.shop.catalogue]
    assert len(ids) == len(set(ids))


def test_a_form_with_a_name_of_several_words_gets_a_hyphenated_id(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, ("Half Metre Cut", 42, 20, 40, 19)]})
    assert reading.shop.catalogue.find("half metre cut").form_id == "half-metre-cut"


def test_a_form_in_centimeters_works_in_an_inch_shop(tmp_path: Path) -> None:
    row = ("Metric panel", "60 cm", "110 cm", "55 cm", "105 cm")
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, row]})
    assert reading.problems == ()
    form = reading.shop.catalogue.find("metric panel")
    assert form.usable_across == 55 * CENTIMETER
    assert form.nominal_along == 110 * CENTIMETER


def test_a_form_whose_whole_size_is_counted_on_must_be_measured_first(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, ("Square 12", 12, 12, 12, 12)]})
    assert reading.shop.catalogue.find("12-inch square").full_size_only_if_measured


def test_a_built_in_form_may_state_its_cost_only(tmp_path: Path) -> None:
    row = ("Fat eighth", None, None, None, None, 1.4, 2.8, None)
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, row]})
    assert reading.problems == ()
    form = reading.shop.catalogue.find("fat eighth")
    assert (form.usable_across, form.usable_along, form.cost) == (20, 8, Decimal("1.4"))


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("A", None, "needs a name"),
        ("B", "wide", "cannot be read"),
        ("C", -20, "more than zero"),
        ("D", 43, "more than the nominal width"),
        ("E", 20.5, "more than the nominal length"),
        ("F", "cheap", "not a sum of money"),
        ("G", -1, "not a sum of money"),
        ("H", 0, "whole number of 1"),
        ("H", 2.5, "whole number of 1"),
    ],
)
def test_a_bad_cell_of_a_form_is_named_and_the_form_left_out(
    tmp_path: Path, column: str, value: object, said: str
) -> None:
    row: list[Any] = list(REMNANT)
    row[ord(column) - ord("A")] = value
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, row]})
    problem = the_problem(reading)
    assert problem.is_error
    assert address(problem) == f"Forms!{column}2"
    assert said in problem.message
    assert not any(form.own for form in reading.shop.catalogue)


def test_a_form_without_a_size_is_refused(tmp_path: Path) -> None:
    problem = the_problem(read_as_shop(tmp_path, {"Forms": [FORMS, ("Scrap bag", None, None)]}))
    assert problem.is_error
    assert address(problem) in ("Forms!A2", "Forms!B2")


def test_a_form_listed_twice_is_refused(tmp_path: Path) -> None:
    problem = the_problem(read_as_shop(tmp_path, {"Forms": [FORMS, REMNANT, REMNANT]}))
    assert problem.is_error
    assert address(problem) == "Forms!A3"


def test_a_form_that_states_no_usable_size_is_warned_of(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, ("Panel", 24, 44)]})
    problem = the_problem(reading)
    assert not problem.is_error
    assert reading.shop.catalogue.find("panel").usable_across == 24


def test_a_misspelled_sheet_is_not_passed_over_in_silence(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Shop": [("Name", "J & T")], "Stcok": [STOCK, BOLT]})
    problem = the_problem(reading)
    assert not problem.is_error
    assert address(problem) == "Stcok"
    assert "'Stock'" in problem.suggestion


LETTER_6 = ("tags", "Letter", 2, 3, "4 in", "3 in", "1/4 in", "1 in", "4 in", "3 in")


def test_the_shop_may_measure_its_own_label_sheets(tmp_path: Path) -> None:
    sheets: dict[str, Sequence[Sequence[Any]]] = {
        "Shop": [("Label sheet", "Tags")],
        "Label sheets": [LABELS, LETTER_6],
    }
    reading = read_as_shop(tmp_path, sheets)
    assert reading.problems == ()
    (own,) = reading.shop.own_label_sheets
    assert (own.paper, own.per_sheet, own.width) == ("letter", 6, Fraction(1016, 10))


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("A", None, "needs a name"),
        ("B", "A5", "no paper"),
        ("C", 0, "whole number of 1"),
        ("D", None, "no rows here"),
        ("E", "5 in", "reach"),
        ("F", "wide", "cannot be read"),
        ("I", "3 in", "overlap"),
        ("J", "2 in", "overlap"),
    ],
)
def test_a_label_sheet_that_cannot_be_is_refused_at_its_cell(
    tmp_path: Path, column: str, value: object, said: str
) -> None:
    row: list[Any] = list(LETTER_6)
    row[ord(column) - ord("A")] = value
    reading = read_as_shop(tmp_path, {"Shop": [("Name", "J")], "Label sheets": [LABELS, row]})
    assert reading.shop.own_label_sheets == ()
    assert any(
        problem.is_error
        and address(problem) == f"Label sheets!{column}2"
        and said in problem.message
        for problem in reading.problems
    ), [str(problem) for problem in reading.problems]


def test_a_workbook_without_a_shops_sheets_is_no_shops_workbook(tmp_path: Path) -> None:
    path = write(tmp_path / "other.xlsx", {"Pieces": [("Fabric", "Piece")]})
    with pytest.raises(UnreadableError, match=r"other\.xlsx.*Shop, Forms or Stock") as caught:
        read_shop(path)
    assert "\n" not in str(caught.value)
    assert not holds_shop(read_workbook(path))
    assert holds_shop(read_workbook(write(tmp_path / "shop.xlsx", {" stock ": [STOCK]})))


@pytest.mark.parametrize("content", [b"", b"not a workbook", b"PK\x03\x04broken"])
def test_a_damaged_or_empty_file_gets_one_line(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "shop.xlsx"
    path.write_bytes(content)
    with pytest.raises(UnreadableError, match=r"shop\.xlsx"):
        read_shop(path)


def test_a_missing_file_gets_one_line(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match=r"nowhere\.xlsx"):
        read_shop(tmp_path / "nowhere.xlsx")

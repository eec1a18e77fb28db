"""What a cell means: lengths, counts, money, headings."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from kitmaker.errors import Level, Location, Problems
from kitmaker.lengths import CENTIMETER, LengthError, Unit, from_cell_number
from kitmaker.reading.cells import read_count, read_length, read_money, read_text
from kitmaker.reading.grid import Cell, CellKind, Sheet
from kitmaker.reading.tables import check_columns, find_table, fold_heading, read_labels

WHERE = Location("book.xlsx", "Sheet", "B2")


def cell(value: object, number_format: str = "General", *, decimal_comma: bool = False) -> Cell:
    given: dict[str, Any] = {"location": WHERE, "row": 2, "column": 2}
    given |= {"number_format": number_format, "decimal_comma": decimal_comma}
    if value is None:
        return Cell(**given)
    if isinstance(value, bool):
        return Cell(**given, kind=CellKind.BOOL, text=str(value).upper())
    if isinstance(value, (int, float)):
        number = from_cell_number(value)
        return Cell(**given, kind=CellKind.NUMBER, text=str(value), number=number)
    if isinstance(value, (date, time)):
        return Cell(**given, kind=CellKind.DATE, text=str(value), moment=value)
    return Cell(**given, kind=CellKind.TEXT, text=str(value))


def length(value: object, unit: Unit = Unit.INCH, **kind: Any) -> tuple[Any, Problems]:
    problems = Problems()
    return read_length(cell(value, **kind), unit, problems), problems


@pytest.mark.parametrize(
    "value",
    [
        *(2.5, "2 1/2", "2-1/2", "2½", "2 ½", "2 1⁄2", '2 1/2"', "2 1/2″", "2 1/2”", "2.5 in"),
        *("6,35 cm", "5/2", "63.5 mm", "2,5", " 2.5\u00a0", "2.5 inches", "２.５"),
        "2½ in (6.4 cm)",
    ],
)
def test_two_and_a_half_is_read_however_it_is_typed(value: object) -> None:
    assert length(value) == (Fraction(5, 2), [])


def test_a_bare_number_is_in_the_patterns_unit() -> None:
    assert length(10, Unit.CENTIMETER) == (10 * CENTIMETER, [])
    assert length("4 in", Unit.CENTIMETER) == (4, [])


@pytest.mark.parametrize(
    "value", ["inf", "NaN", "1e3", "1O", "-5", "−5", "1/0", "some", "51/4", True, '5" (15cm)', "-"]
)
def test_what_is_no_length_is_one_error_at_its_cell(value: object) -> None:
    read, problems = length(value)
    assert read is None
    assert [(one.level, one.location) for one in problems] == [(Level.ERROR, WHERE)]


@pytest.mark.parametrize(
    ("moment", "number_format", "fraction"),
    [
        (date(2026, 1, 2), "d-mmm", "1/2"),
        (date(2026, 3, 8), "m/d/yyyy", "3/8"),
        (date(1932, 5, 1), "mmm-yy", "5/32"),
    ],
)
def test_a_fraction_that_became_a_date_is_refused_by_its_likely_name(
    moment: date, number_format: str, fraction: str
) -> None:
    read, problems = length(moment, number_format=number_format)
    assert read is None
    assert f"'{fraction}'" in problems[0].message
    assert "as text" in problems[0].suggestion


def test_a_time_of_day_is_refused() -> None:
    assert length(time(2, 30), number_format="h:mm")[0] is None


def test_a_number_that_the_sheet_shows_otherwise_is_used_and_said() -> None:
    # 0.53 = [0; 1, 1, 7, …]: under one digit the sheet shows the convergent 1/2.
    read, problems = length(2.53, number_format="# ?/?")
    assert read == Fraction(253, 100)
    assert [one.level for one in problems] == [Level.WARNING]
    assert "2 1/2" in problems[0].message
    assert length(4.875, number_format="# ??/??") == (Fraction(39, 8), [])


def test_a_decimal_comma_file_has_points_between_thousands() -> None:
    assert length("1.234,5", decimal_comma=True) == (Fraction(2469, 2), [])
    assert length("1.234,5")[0] is None


def count(value: object, **kind: Any) -> tuple[int | None, int]:
    problems = Problems()
    return read_count(cell(value, **kind), problems), len(problems)


@pytest.mark.parametrize(
    "value", [12, 12.0, "12", "12 ", "\u00a012", "１２", "(12)", "12 -", "12--"]
)
def test_a_count_is_read_however_it_is_typed(value: object) -> None:
    assert count(value) == (12, 0)


def test_thousands_in_a_count_may_have_a_comma() -> None:
    assert count("1,200") == (1200, 0)


@pytest.mark.parametrize(
    "value", [0, -3, 2.5, "some", "1e3", "inf", "−5", "1O", "2 1/2", True, date(2026, 1, 2)]
)
def test_what_is_no_count_is_one_error(value: object) -> None:
    assert count(value) == (None, 1)


@pytest.mark.parametrize(
    ("value", "amount"),
    [(12.99, "12.99"), ("$12.99", "12.99"), ("1,200", "1200"), ("12.50 €", "12.5"), (0, "0")],
)
def test_money_is_exact(value: object, amount: str) -> None:
    problems = Problems()
    assert read_money(cell(value), problems) == Decimal(amount)
    assert problems == []


def test_money_with_two_readings_is_refused() -> None:
    problems = Problems()
    assert read_money(cell("1.200,50"), problems) is None
    assert len(problems) == 1


@pytest.mark.parametrize("typed", ["1O", "10%", "10 %", "1e3", "(5)", "−5", "inf", "12 l", "NA"])
def test_what_is_no_sum_of_money_is_one_error(typed: str) -> None:
    problems = Problems()
    assert read_money(cell(typed), problems) is None
    assert [problem.is_error for problem in problems] == [True]


@pytest.mark.parametrize(
    "typed", ["$12.50", "12.50 €", "USD 12.50", "12.50 USD", "12.50", "£12.50"]
)
def test_a_currency_may_stand_on_either_side(typed: str) -> None:
    assert read_money(cell(typed), []) == Decimal("12.50")


def test_a_code_keeps_its_zeros_and_na_stays_text() -> None:
    assert read_text(cell(7, "000")) == "007"
    assert read_text(cell("007")) == "007"
    assert read_text(cell("NA")) == "NA"


def sheet_of(rows: list[list[str]]) -> Sheet:
    cells = {}
    for row, values in enumerate(rows, start=1):
        for column, text in enumerate(values, start=1):
            if text:
                where = Location("book.xlsx", "Sheet", f"{chr(64 + column)}{row}")
                cells[row, column] = Cell(
                    location=where, row=row, column=column, kind=CellKind.TEXT, text=text
                )
    return Sheet(workbook="book.xlsx", name="Sheet", cells=cells)


def test_headings_are_known_by_their_words() -> None:
    for text in ("Cut width", " cut\u00a0WIDTH ", "Cut-width", "Cut\nwidth (in)", "Cut width ″"):
        assert fold_heading(text) == "cut width"


def test_a_table_is_found_below_a_title_and_its_rows_keep_their_numbers() -> None:
    sheet = sheet_of([["Kit list"], [], ["Item", "How many"], ["thread", "2"], [], ["pins", "1"]])
    problems = Problems()
    table = find_table(
        sheet, {"Item": (), "Count": ("how many",)}, problems, required=("Item", "Count")
    )
    assert table is not None
    assert [(row.number, row.text("Item"), row.text("Count")) for row in table.rows] == [
        (4, "thread", "2"),
        (6, "pins", "1"),
    ]
    assert problems == []


def test_doubled_unknown_and_missing_headings_are_named_by_their_cells() -> None:
    sheet = sheet_of([["Item", "Qty", "QTY", "Wieght", ""], ["thread", "2", "3", "5", "x"]])
    problems = Problems()
    table = find_table(sheet, {"Item": (), "Qty": ()}, problems, required=("Item",))
    assert table is not None
    assert [one.location and one.location.cell for one in problems] == ["B1", "D1", "E1"]
    assert problems == check_columns(table, {"Item": (), "Qty": ()})


def test_labels_and_values_are_read_and_an_unknown_label_is_said() -> None:
    sheet = sheet_of([["Name", "Juniper & Thread"], ["Phnoe", "555-0142"]])
    problems = Problems()
    values = read_labels(sheet, {"Name": (), "Phone": ()}, problems)
    assert {key: value.text for key, value in values.items()} == {"Name": "Juniper & Thread"}
    assert "Did you mean 'Phone'?" in problems[0].suggestion


def test_a_cell_number_that_is_none_is_refused() -> None:
    with pytest.raises(LengthError):
        from_cell_number(float("inf"))

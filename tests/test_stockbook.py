"""The Stock sheet: lengths and piles of forms, and each bad cell named."""

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

from kitmaker.files import read_shop
from kitmaker.lengths import METER

PILE = ("F1", "Gold", "Fat Quarters", None, None, 30, 4, None, 2.6, 5.2, None)


def test_a_length_and_a_pile_of_forms_are_read_from_the_stock(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, BOLT, PILE]})
    assert reading.problems == ()
    assert reading.shop.stock is not None
    bolt, pile = reading.shop.stock
    assert (bolt.sku, bolt.print_name, bolt.form, bolt.usable_width) == ("B1", "Fog", None, 40)
    assert bolt.length == Fraction(31, 8) * 36
    assert bolt.free_length == Fraction(23, 8) * 36
    assert (bolt.dye_lot, bolt.cost, bolt.price) == ("007", Decimal("5.9"), Decimal("11.8"))
    assert (pile.form, pile.count, pile.free_count, pile.length) == ("Fat Quarters", 30, 26, None)
    assert bolt.where.address == "Stock!A2"


def test_a_bare_length_at_hand_is_in_yards(tmp_path: Path) -> None:
    row = ("B1", "Fog", None, None, 2.25, None, None, None, None, None, "3 %")
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, row]})
    assert reading.shop.stock is not None
    assert reading.shop.stock[0].length == 81
    assert reading.shop.stock[0].shrinkage == Fraction(3, 100)


def test_no_stock_sheet_is_no_limit_and_an_empty_one_an_empty_shelf(tmp_path: Path) -> None:
    assert read_as_shop(tmp_path, {"Shop": [("Name", "J & T")]}).shop.stock is None
    reading = read_as_shop(tmp_path, {"Stock": [STOCK]})
    assert reading.shop.stock == ()
    assert not the_problem(reading).is_error


def test_two_rows_of_one_sku_and_width_are_two_pieces(tmp_path: Path) -> None:
    other = ("B1", "Fog", None, 40, "2 3/8 yd", None, None, "008", None, None, None)
    unstated = ("B1", "Fog", None, None, "1 yd", None, None, None, None, None, None)
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, BOLT, other, unstated]})
    assert reading.problems == ()
    assert reading.shop.stock is not None
    assert len(reading.shop.stock) == 3


def test_one_sku_of_two_widths_is_two_pieces(tmp_path: Path) -> None:
    other = ("B1", "Fog", None, 42, "2 3/8 yd", None, None, None, None, None, None)
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, BOLT, other]})
    assert reading.problems == ()
    assert [row.usable_width for row in reading.shop.stock or ()] == [40, 42]


def test_one_sku_twice_as_wide_in_one_row_is_refused(tmp_path: Path) -> None:
    other = ("B1", "Fog", None, 104, "2 3/8 yd", None, None, None, None, None, None)
    problem = the_problem(read_as_shop(tmp_path, {"Stock": [STOCK, BOLT, other]}))
    assert problem.is_error
    assert address(problem) == "Stock!D3"
    assert "D2" in problem.message


@pytest.mark.parametrize(
    ("base", "column", "value", "said"),
    [
        (BOLT, "A", None, "no SKU"),
        (BOLT, "D", 0, "more than zero"),
        (BOLT, "D", "wide", "cannot be read"),
        (BOLT, "E", -2, "zero or more"),
        (BOLT, "E", "a lot", "cannot be read"),
        (BOLT, "E", date(2026, 3, 8), "date"),
        (BOLT, "E", None, "how much is at hand"),
        (BOLT, "F", 3, "a length and a count"),
        (BOLT, "G", "some", "cannot be read"),
        (BOLT, "I", "cheap", "not a sum of money"),
        (BOLT, "J", -11.8, "not a sum of money"),
        (BOLT, "K", 3, "3 % or 300 %"),
        (BOLT, "K", "100 %", "leaves no cloth"),
        (PILE, "C", None, "a count without a form"),
        (PILE, "E", "2 yd", "a length at hand too"),
        (PILE, "F", -1, "whole number of 0"),
        (PILE, "F", 2.5, "whole number of 0"),
        (PILE, "F", "many", "cannot be read"),
        (PILE, "G", 1.5, "whole number of 0"),
    ],
)
def test_a_bad_cell_of_the_stock_is_named_and_the_row_left_out(
    tmp_path: Path, base: Sequence[Any], column: str, value: object, said: str
) -> None:
    row: list[Any] = list(base)
    row[ord(column) - ord("A")] = value
    good = ("OK", "Fine", None, 40, "1 yd", None, None, None, None, None, None)
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, good, row]})
    problem = the_problem(reading)
    assert problem.is_error
    assert address(problem) == f"Stock!{column}3"
    assert said in problem.message
    assert reading.shop.stock is not None
    assert [one.sku for one in reading.shop.stock] == ["OK"]


def test_an_unknown_form_in_the_stock_is_answered_with_the_nearest(tmp_path: Path) -> None:
    row = ("F1", "Gold", "fat quater", None, None, 30)
    problem = the_problem(read_as_shop(tmp_path, {"Stock": [STOCK, row]}))
    assert problem.is_error
    assert address(problem) == "Stock!C2"
    assert "fat-quarter" in problem.suggestion


def test_the_stock_may_hold_the_shops_own_forms(tmp_path: Path) -> None:
    row = ("R1", "Odd", "Remnants", None, None, 3)
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, REMNANT], "Stock": [STOCK, row]})
    assert reading.problems == ()


def test_wide_backing_in_the_stock_is_a_length_of_its_width(tmp_path: Path) -> None:
    row = ("W1", "Wide", "wide backing", None, "6 yd")
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, row]})
    assert reading.shop.stock is not None
    (bolt,) = reading.shop.stock
    assert (bolt.form, bolt.usable_width, bolt.length) == (None, 104, 216)


def test_more_held_than_there_is_leaves_nothing_free_and_says_so(tmp_path: Path) -> None:
    row = ("B1", "Fog", None, None, "1 yd", None, "2 yd")
    reading = read_as_shop(tmp_path, {"Stock": [STOCK, row]})
    problem = the_problem(reading)
    assert not problem.is_error
    assert address(problem) == "Stock!G2"
    assert reading.shop.stock is not None
    assert reading.shop.stock[0].free_length == 0


def test_a_length_headed_in_meters_is_in_meters(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Stock": [("SKU", "Length at hand (m)"), ("B1", 2)]})
    assert reading.problems == ()
    assert reading.shop.stock is not None
    assert reading.shop.stock[0].length == 2 * METER


def test_values_under_an_unknown_heading_are_an_error_at_the_heading(tmp_path: Path) -> None:
    heads = ("SKU", "Length at hand", "Blet at hand")
    problem = the_problem(read_as_shop(tmp_path, {"Stock": [heads, ("B1", "1 yd", 3)]}))
    assert problem.is_error
    assert address(problem) == "Stock!C1"


def test_values_under_no_heading_are_an_error_at_the_empty_heading(tmp_path: Path) -> None:
    heads = ("SKU", "Length at hand")
    problem = the_problem(read_as_shop(tmp_path, {"Stock": [heads, ("B1", "1 yd", 3)]}))
    assert problem.is_error
    assert address(problem) == "Stock!C1"


def test_a_sheet_without_its_headings_is_an_error(tmp_path: Path) -> None:
    problem = the_problem(read_as_shop(tmp_path, {"Stock": [("Number", "Amount"), ("B1", 3)]}))
    assert problem.is_error
    assert address(problem) == "Stock"
    assert "'SKU'" in problem.message


def test_totals_and_remarks_below_the_stock_are_left_out_and_said(tmp_path: Path) -> None:
    rows = [STOCK, BOLT, ("Total", None, None, None, 3.9), ("Counted on the last day of May",)]
    reading = read_as_shop(tmp_path, {"Stock": rows})
    assert [problem.is_error for problem in reading.problems] == [False, False]
    assert reading.shop.stock is not None
    assert len(reading.shop.stock) == 1


def test_hidden_rows_are_read_and_warned_of(tmp_path: Path) -> None:
    path = write(tmp_path / "shop.xlsx", {"Stock": [STOCK, BOLT]})
    workbook = openpyxl.load_workbook(path)
    workbook["Stock"].row_dimensions[2].hidden = True
    workbook.save(path)
    reading = read_shop(path)
    assert not the_problem(reading).is_error
    assert reading.shop.stock is not None
    assert len(reading.shop.stock) == 1

"""The results workbook: tables to print, live sums, and text that never runs."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import openpyxl
import pytest
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from kitmaker.paper.results import build_results
from kitmaker.plans import CostLine, KitPlan

TABLES = ["Kit", "Fabrics", "Pieces", "Pull list", "Costs", "Offcuts", "Movements", "Problems"]


def opened(content: bytes, *, values: bool) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(content), data_only=values)


@pytest.fixture(scope="module")
def content(class_plan: KitPlan) -> bytes:
    return build_results(class_plan)


def total_row(sheet: Worksheet) -> int:
    return next(cell.row for cell in sheet["A"] if cell.value == "Total")


def test_there_is_one_table_a_sheet(content: bytes) -> None:
    assert opened(content, values=True).sheetnames == TABLES


@pytest.mark.parametrize("name", ["Fabrics", "Pull list", "Costs", "Offcuts"])
def test_a_total_row_holds_formulas_only_and_their_values_are_stored(
    content: bytes, name: str
) -> None:
    live, stored = opened(content, values=False)[name], opened(content, values=True)[name]
    row = total_row(live)
    formulas = [cell for cell in live[row][1:] if cell.value is not None]
    assert formulas
    for cell in formulas:
        assert str(cell.value).startswith("=SUM(")
        column = [stored.cell(at, cell.column).value for at in range(3, row)]
        added = sum(value for value in column if isinstance(value, int | float))
        cents = 0.005 * row if "/" in str(cell.value) else 0  # shares are rounded row by row
        assert stored.cell(row, cell.column).value == pytest.approx(added, abs=cents or 1e-9)


def test_one_total_comes_to_the_fabrics_cost(content: bytes, class_plan: KitPlan) -> None:
    assert class_plan.fabric_cost is not None
    sheet = opened(content, values=True)["Fabrics"]
    totals = [cell.value for cell in sheet[total_row(sheet)]]
    assert any(
        value == pytest.approx(float(class_plan.fabric_cost))
        for value in totals
        if isinstance(value, float)
    )


def test_every_sheet_is_ready_to_print(content: bytes) -> None:
    for sheet in opened(content, values=False):
        assert sheet.print_title_rows == "$1:$2", sheet.title
        assert sheet.print_area, sheet.title
        assert sheet.freeze_panes == "B3"
        assert sheet.page_setup.fitToHeight == 0
        assert "K7F2-90AB" in sheet.oddFooter.left.text


def test_the_same_plan_gives_the_same_bytes(class_plan: KitPlan, content: bytes) -> None:
    assert build_results(class_plan) == content


@pytest.mark.parametrize(
    "text", ["=cmd|' /C calc'!A0", "+1+1", "-2", "@SUM(A1)", "http://x.example", "{=1}"]
)
def test_text_is_never_a_formula_or_a_link(class_plan: KitPlan, text: str) -> None:
    hostile = replace(
        class_plan,
        pattern=replace(class_plan.pattern, name=text),
        fabrics=tuple(
            replace(one, role=text, sku=text, print_name=text) for one in class_plan.fabrics
        ),
        pull=tuple(replace(one, sku=text, roles=text) for one in class_plan.pull),
    )
    made = build_results(hostile)
    book = opened(made, values=False)
    assert book["Fabrics"]["A3"].value == text
    assert book["Fabrics"]["A3"].data_type == "s"
    names = zipfile.ZipFile(io.BytesIO(made)).namelist()
    assert not [name for name in names if "externalLink" in name or "rels/sheet" in name]


def test_exact_numbers_stand_beside_what_people_read(content: bytes) -> None:
    sheet = opened(content, values=True)["Pieces"]
    row = next(
        row for row in sheet.iter_rows(min_row=3, values_only=True) if row[4] == "Sky rectangle"
    )
    assert row[5] == "2¼ × 2½ in"
    assert row[6:8] == (2.25, 2.5)


def test_an_unknown_cost_is_empty_not_zero(class_plan: KitPlan) -> None:
    first, *others = class_plan.fabrics
    plan = replace(class_plan, fabrics=(replace(first, cost=None), *others))
    sheet = opened(build_results(plan), values=True)["Fabrics"]
    column = next(cell.column for cell in sheet[2] if cell.value == "Cost")
    assert sheet.cell(3, column).value is None


def test_damaged_text_and_a_long_one_are_still_written(class_plan: KitPlan) -> None:
    pattern = replace(class_plan.pattern, name="bell\x07 \ud800 \u202e" + "x" * 40_000)
    sheet = opened(build_results(replace(class_plan, pattern=pattern)), values=True)["Kit"]
    assert str(sheet["B3"].value).startswith("bell  x")


def test_money_is_exact_to_the_cent(class_plan: KitPlan) -> None:
    first, *others = class_plan.fabrics
    plan = replace(
        class_plan, fabrics=(replace(first, cost=Decimal("0.10")), *others), minutes=Fraction(1)
    )
    sheet = opened(build_results(plan), values=True)["Fabrics"]
    column = next(cell.column for cell in sheet[2] if cell.value == "Cost")
    assert sheet.cell(3, column).value == 0.1
    assert sheet.cell(3, column).number_format == '"$"#,##0.00'


def test_the_total_of_one_kit_is_the_sum_of_what_stands_above_it(class_plan: KitPlan) -> None:
    """A kit of each colorway has a column; a fabric stands in its own colorway's only."""
    fabric, extra = (
        (("Blue", Decimal("10.27")),),
        tuple((one, Decimal("0.54")) for one in ("Blue", "Red")),
    )
    total = (("Blue", Decimal("10.81")), ("Red", Decimal("0.54")))
    lines = tuple(
        CostLine(label=label, total=Decimal(50), per_kit=None, one_kit=each)
        for label, each in (("Sky", fabric), ("Booklet", extra), ("Total", total))
    )
    made = build_results(replace(class_plan, costs=lines))
    live, stored = opened(made, values=False)["Costs"], opened(made, values=True)["Costs"]
    row = total_row(live)
    assert [cell.value for cell in live[2]] == ["What", "All kits", "One kit, Blue", "One kit, Red"]
    assert live.cell(row, 3).value == f"=SUM(C3:C{row - 1})"
    assert [stored.cell(row, column).value for column in (3, 4)] == [10.81, 0.54]
    assert stored.cell(3, 4).value is None


def test_a_row_is_as_high_as_its_longest_text(class_plan: KitPlan) -> None:
    wordy = replace(class_plan.choices[0], value="lantern light on the harbor " * 8)
    sheet = opened(build_results(replace(class_plan, choices=(wordy,))), values=True)["Kit"]
    row = next(cell.row for cell in sheet["B"] if str(cell.value).startswith("lantern light"))
    assert sheet.row_dimensions[row].height >= 5 * 15


def test_every_sheet_of_a_plan_with_lines_left_out_says_so(class_plan: KitPlan) -> None:
    book = opened(build_results(replace(class_plan, not_complete=("C9: 'some'",))), values=True)
    assert all(str(sheet["A1"].value).startswith("NOT COMPLETE: ") for sheet in book)


def test_yards_and_minutes_of_fabrics_cut_together_stand_once(
    content: bytes, class_plan: KitPlan
) -> None:
    sheet = opened(content, values=True)["Fabrics"]
    heads = [cell.value for cell in sheet[2]]
    minutes = [
        sheet.cell(row, heads.index("Minutes") + 1).value for row in range(3, total_row(sheet))
    ]
    jobs = {id(one.job): one.job for one in class_plan.fabrics if one.job and one.cut_with}
    assert jobs
    alone = [one.job for one in class_plan.fabrics if one.job and not one.cut_with]
    wanted = sum(job.minutes for job in (*jobs.values(), *alone))
    assert sum(one or 0 for one in minutes) == pytest.approx(float(wanted))

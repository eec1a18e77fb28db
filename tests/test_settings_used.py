"""The settings used stand on every sheet of paper, in one line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

import pytest
from plan_builder import page_of

from kitmaker.paper.labels import BUILT_IN_SHEETS, PAPERS, margin_band
from kitmaker.paper.sheets.page import style_text
from kitmaker.paper.sheets.settings_used import say_settings
from kitmaker.plans import Choice, KitPlan
from kitmaker.shop import LabelSheet


def test_kits_size_forms_bags_and_what_is_left_out_are_said(class_plan: KitPlan) -> None:
    said = say_settings(class_plan, 10_000)
    assert said.startswith(("12 kits and ", "12 kits · "))
    for fabric in class_plan.fabrics:
        assert fabric.role in said
    for out in class_plan.left_out:
        assert out.role in said.partition("not in the kit: ")[2]
    assert "uncut fat quarters: " in said
    assert "pieces from yardage: " in said


def test_a_long_list_of_fabrics_gives_way_to_counts(class_plan: KitPlan) -> None:
    named, counted = say_settings(class_plan, 10_000), say_settings(class_plan, 10)
    assert len(counted) < len(named)
    assert "1 fabric" in counted
    assert not any(fabric.role in counted for fabric in class_plan.fabrics)


def test_one_way_for_all_fabrics_names_none_of_them(class_plan: KitPlan) -> None:
    first = class_plan.fabrics[0]
    said = say_settings(replace(class_plan, fabrics=(first,), left_out=()))
    assert first.role not in said


def test_measured_cloth_and_lines_left_out_are_said(class_plan: KitPlan) -> None:
    measured = Choice(label="Measured cloth", value="NV-104", source="--measured")
    plan = replace(
        class_plan, choices=(*class_plan.choices, measured), not_complete=("Cutting!C5: no size",)
    )
    said = say_settings(plan)
    assert "measured cloth NV-104" in said
    assert "NOT COMPLETE, 1 line left out" in said


def test_every_file_carries_the_line_on_its_first_page_and_on_those_after_it(
    class_pages: Mapping[str, str],
) -> None:
    for name, text in class_pages.items():
        assert "Settings used: 12 kits" in text, name
        if not name.startswith(("bag", "piece", "poster")):
            assert f'@top-left {{ content: "{style_text("12 kits")}' in text, name


def test_each_sheet_of_labels_carries_the_line(class_plan: KitPlan) -> None:
    text = page_of(class_plan, "piece-labels.html")
    assert text.count('<section class="sheet"') == text.count("Settings used: 12 kits") > 1


def test_a_word_of_a_workbook_cannot_end_the_style_sheet() -> None:
    assert not set('<>"\\;{}&') & set(style_text('"; } </style>\\ &').replace("\\", ""))
    assert style_text("2½ A") == "2\\0000bd\\000020A"


@pytest.mark.parametrize("sheet", BUILT_IN_SHEETS, ids=lambda sheet: sheet.sheet_id)
def test_the_opposite_margins_line_keeps_clear_of_every_label(sheet: LabelSheet) -> None:
    one, other = margin_band(sheet), margin_band(sheet, other=True)
    last = sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height
    assert {one.top > last, other.top > last} == {True, False}
    for band in (one, other):
        assert band.top + band.height < sheet.top or band.top > last
        assert 0 <= band.top <= PAPERS[sheet.paper][1] - band.height
        assert band.points >= Fraction(6)

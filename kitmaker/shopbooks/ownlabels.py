"""Label sheets by the shop's own measures."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeVar

from kitmaker.errors import Problems
from kitmaker.lengths import MILLIMETER, Length, Unit, say_decimal
from kitmaker.paper.labels import PAPERS
from kitmaker.reading.grid import Sheet
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shop import LabelSheet
from kitmaker.shopbooks.ledger import data_rows, measure_under, read_table, whole

_Value = TypeVar("_Value")

LABEL_SHEET_HEADINGS: Headings = {
    "Label sheet": ("Name", "Sheet"),
    "Paper": (),
    "Columns": ("Labels across",),
    "Rows": ("Labels down",),
    "Label width": ("Width",),
    "Label height": ("Height",),
    "Left margin": ("Left",),
    "Top margin": ("Top",),
    "Pitch across": (),
    "Pitch down": (),
    "Notes": ("Note", "Remarks"),
}

_MEASURES = (
    "Label width",
    "Label height",
    "Left margin",
    "Top margin",
    "Pitch across",
    "Pitch down",
)
_SLACK = Fraction(1, 2)
"""Millimeters by which a printed sheet's measures may run over its paper."""


def read_own_label_sheets(sheet: Sheet, unit: Unit, problems: Problems) -> tuple[LabelSheet, ...]:
    """Read the sheet of label sheets.

    A row with an error is left out; bare measures are in the unit.
    """
    table = read_table(sheet, LABEL_SHEET_HEADINGS, problems, required=("Label sheet", "Paper"))
    if table is None:
        return ()
    sheets: dict[str, LabelSheet] = {}
    for row in data_rows(table, problems):
        own = _read_row(row, unit, problems)
        if own is None:
            continue
        if own.sheet_id.casefold() in sheets:
            where = row.cell("Label sheet").location
            problems.refuse(
                f"the label sheet '{own.sheet_id}' stands there twice", where, "Keep one."
            )
            continue
        sheets[own.sheet_id.casefold()] = own
    return tuple(sheets.values())


def _read_row(row: TableRow, unit: Unit, problems: Problems) -> LabelSheet | None:
    paper = _paper(row, problems)
    counts = {
        key: _needed(
            row, key, whole(row.cell(key), problems, what=f"number of {key.lower()}"), problems
        )
        for key in _COUNTS
    }
    measures = {
        key: _needed(row, key, _millimeters(row, key, unit, problems), problems)
        for key in _MEASURES
    }
    name = row.text("Label sheet")
    if not name:
        where = row.cell("Label sheet").location
        problems.refuse("a label sheet needs a name here", where, "Type its name.")
    known = {key: value for key, value in measures.items() if value is not None}
    columns, rows = counts["Columns"], counts["Rows"]
    if not name or paper is None or columns is None or rows is None:
        return None
    if len(known) < len(_MEASURES):
        return None
    own = LabelSheet(
        sheet_id=name,
        paper=paper,
        columns=columns,
        rows=rows,
        width=known["Label width"],
        height=known["Label height"],
        left=known["Left margin"],
        top=known["Top margin"],
        pitch_across=known["Pitch across"],
        pitch_down=known["Pitch down"],
    )
    return own if _fits(own, row, problems) else None


_COUNTS = ("Columns", "Rows")


def _paper(row: TableRow, problems: Problems) -> str | None:
    typed = row.text("Paper")
    for paper in PAPERS:
        if typed.casefold() == paper.casefold():
            return paper
    text = " or ".join(PAPERS)
    problems.refuse(
        f"'{typed}' is no paper that is known", row.cell("Paper").location, f"Type {text}."
    )
    return None


def _millimeters(row: TableRow, key: str, unit: Unit, problems: Problems) -> Length | None:
    length = measure_under(row, key, unit, problems, may_be_zero=key.endswith("margin"))
    return None if length is None else length / MILLIMETER


def _needed(row: TableRow, key: str, value: _Value | None, problems: Problems) -> _Value | None:
    cell = row.cell(key)
    if cell.is_blank:
        problems.refuse(f"there is no {key.lower()} here", cell.location, "Type it.")
    return value


def _fits(own: LabelSheet, row: TableRow, problems: Problems) -> bool:
    across, down = PAPERS[own.paper]
    right = own.left + (own.columns - 1) * own.pitch_across + own.width
    bottom = own.top + (own.rows - 1) * own.pitch_down + own.height
    faults = []
    if right > across + _SLACK:
        faults.append(("Label width", f"reach {say_decimal(right, 1)} mm across", across))
    if bottom > down + _SLACK:
        faults.append(("Label height", f"reach {say_decimal(bottom, 1)} mm down", down))
    if own.columns > 1 and own.pitch_across < own.width:
        faults.append(("Pitch across", "overlap side by side", own.width))
    if own.rows > 1 and own.pitch_down < own.height:
        faults.append(("Pitch down", "overlap one below the other", own.height))
    for key, said, bound in faults:
        problems.refuse(
            f"the labels of '{own.sheet_id}' {said}",
            row.cell(key).location,
            f"Measure again: the paper or label has {say_decimal(bound, 1)} mm.",
        )
    return not faults

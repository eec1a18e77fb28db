"""A plan as pandas data frames: the tables of the results workbook, with what each column means."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from kitmaker.lengths import Unit
from kitmaker.paper.results import tables_of
from kitmaker.paper.tables import Table, Value, worth_of
from kitmaker.plans import KitPlan

if TYPE_CHECKING:
    import pandas

_SKU = "The stock number; empty for a fabric without one."
_PRINT = "What the stock calls the fabric."
_COST = "Money for all kits, without labor; empty where a cost is not known."
_ACROSS = "Measured selvage to selvage, in the plan's unit."
_ALONG = "Measured parallel to the selvage, in the plan's unit."

COLUMNS: Mapping[str, Mapping[str, str]] = {
    "Kit": {
        "What": "A fact of the plan, or a setting used.",
        "In force": "What it is, in words.",
        "From": "Where that comes from: a workbook's cell, an option, the caller, a default.",
    },
    "Fabrics": {
        "Fabric": "The fabric as the pattern names it, with its print where it has several.",
        "Colorway": "The colorway; empty where the class has none.",
        "SKU": _SKU,
        "Print": _PRINT,
        "Form": "What goes into the bag, or what the shop cuts from.",
        "Bag": "uncut, or pieces that the shop cuts.",
        "Kits": "Kits of this colorway, spare ones included.",
        "One kit": "What one kit takes, in words.",
        "How sure": "Whether less would do, in words.",
        "All kits": "What all kits take, in words.",
        "All kits, {bolt}": "Off the bolt for all kits, loss included, in yards or meters; empty "
        "for forms, and where it is cut with a fabric above.",
        "All kits, {unit}": "The same length in the plan's unit.",
        "Minutes": "At the cutting table, an estimate; empty where it is cut with a fabric above.",
        "Cost": _COST,
    },
    "Pieces": {
        "Fabric": "The fabric it is cut of.",
        "Colorway": "The colorway; empty where the class has none.",
        "SKU": _SKU,
        "Piece": "Its letter on sheets and labels.",
        "Name": "Its name in the pattern.",
        "Cut size": "Across and along, in words.",
        "Across, {unit}": _ACROSS,
        "Along, {unit}": _ALONG,
        "Per kit": "How many one kit needs.",
        "Needed": "How many the job must give.",
        "Made": "How many its layouts give.",
        "Counted for": "Whether needed and made are those of one kit or of all.",
        "To be sewn": "What is sewn of parts, in words; empty for a piece cut in one.",
    },
    "Pull list": {
        "SKU": _SKU,
        "Print": _PRINT,
        "For": "The fabrics it is for.",
        "Pull": "What to take from the shelf, in words.",
        "Length, {bolt}": "Off the bolt, loss included, in yards or meters; empty when none.",
        "Length, {unit}": "The same length in the plan's unit.",
        "At hand, {bolt}": "Free on the shelf, in yards or meters; empty without a Stock sheet.",
        "At hand, {unit}": "The same length in the plan's unit.",
        "Forms at hand": "Free forms of those pulled; empty without a Stock sheet.",
        "Shortage": "How much is not enough, in words; empty when the shelf lasts.",
        "Cost": _COST,
    },
    "Costs": {
        "What": "What the money is for.",
        "All kits": "Money for all kits; empty when not known.",
        "One kit": "Money for one kit; empty when not known.",
        "One kit, {way}": "Money for one kit of a colorway; empty when not known.",
    },
    "Offcuts": {
        "Fabric": "The fabric it is left of.",
        "SKU": _SKU,
        "Size, across × along": "In words.",
        "Across, {unit}": _ACROSS,
        "Along, {unit}": _ALONG,
        "How many": "Of this size.",
        "Where it goes": "back on the bolt, keep or scrap.",
    },
    "Movements": {
        "SKU": _SKU,
        "Print": _PRINT,
        "What is counted": "A form, or yd or m for a length.",
        "Out": "Taken from the shelf, in what is counted.",
        "Out, {unit}": "The same in the plan's unit, for a length; empty for forms.",
        "Back": "Put back on the shelf, in what is counted.",
        "Back, {unit}": "The same in the plan's unit, for a length; empty for forms.",
        "Cost": "Money; empty when not known.",
        "Class": "The class, or the pattern, it is for.",
    },
    "Problems": {
        "Level": "error or warning.",
        "Where": "Workbook, sheet and cell; empty for none.",
        "What": "What was understood.",
        "What to do": "What to type instead, or to do.",
    },
}
"""Table by table what each column means; {unit} is in or cm, {bolt} yd or m, {way} a colorway."""

_NUMBERS = {"count": "Int64", "number": "float64", "money": "float64"}


def plan_frames(plan: KitPlan) -> dict[str, pandas.DataFrame]:
    """Return the tables of a plan as data frames, keyed by the sheets of its results workbook."""
    unit = plan.pattern.unit
    frames = {table.sheet: _frame(table, unit) for table in tables_of(plan)}
    if not plan.problems:
        frames["Problems"] = frames["Problems"].iloc[:0]
    return frames


def _frame(table: Table, unit: Unit) -> pandas.DataFrame:
    import pandas as pd

    meanings = {
        heading.format(unit=unit.value, bolt=unit.bolt_unit, way="…"): meaning
        for heading, meaning in COLUMNS[table.sheet].items()
    }
    about: dict[str, str] = {}
    data: dict[str, Any] = {}
    for at, column in enumerate(table.columns):
        values = [worth_of(row[at]) for row in table.rows]
        shown = {column.heading: (values, column.kind)}
        of_length = f"{column.heading.removesuffix(f', {unit.bolt_unit}')}, {unit.value}"
        if of_length in meanings and of_length != column.heading and column.kind == "number":
            shown[of_length] = (_in_unit(table, values, unit), "number")
        for heading, (found, kind) in shown.items():
            made = [_plain(value, kind) for value in found]
            data[heading] = pd.Series(made, dtype=_NUMBERS.get(kind, "object"))
            any_way = f"{heading.partition(', ')[0]}, …"
            about[heading] = meanings[heading if heading in meanings else any_way]
    frame = pd.DataFrame(data)
    frame.attrs["columns"] = about
    return frame


def _in_unit(table: Table, values: list[Value], unit: Unit) -> list[Value]:
    """Return yards or meters in the plan's unit; what is counted in forms is empty."""
    counted = [unit.bolt_unit] * len(values)
    for at, column in enumerate(table.columns):
        if column.heading == "What is counted":
            counted = [str(row[at]) for row in table.rows]
    factor = unit.bolt_length / unit.length
    return [
        None if value is None or what != unit.bolt_unit else Fraction(value) * factor
        for value, what in zip(values, counted, strict=True)
    ]


def _plain(value: Value, kind: str) -> str | int | float | None:
    if value is None or isinstance(value, str):
        return ("" if value is None else value) if kind == "text" else None
    return int(value) if kind == "count" else float(value)

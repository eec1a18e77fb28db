"""A plan as pandas data frames: the tables of the results workbook, with what each column means."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from kitmaker.lengths import Unit
from kitmaker.paper.results import tables_of
from kitmaker.paper.tables import Table, Value, worth_of
from kitmaker.plans import KitPlan

if TYPE_CHECKING:
    import pandas

_SAME = "The same length in the plan's unit; empty for forms."
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

    about: dict[str, str] = {}
    data: dict[str, Any] = {}

    def add(heading: str, means: str, kind: str, values: list[Value]) -> None:
        about[heading] = means
        made = [_plain(value, kind) for value in values]
        data[heading] = pd.Series(made, dtype=_NUMBERS.get(kind, "object"))

    for at, column in enumerate(table.columns):
        values = [worth_of(row[at]) for row in table.rows]
        add(column.heading, column.means, column.kind, values)
        if column.in_unit:
            heading = f"{column.heading.removesuffix(f', {unit.bolt_unit}')}, {unit.value}"
            add(heading, _SAME, "number", _in_unit(table, values, unit))
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

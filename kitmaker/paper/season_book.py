"""``season.xlsx``: the tables of a season, with sums that stay live.

What is left of a row is its formula, a SKU's figures are the sum of its rows', an order is worked
out again when a figure is typed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from xlsxwriter.utility import xl_col_to_name

from kitmaker.paper.season_tables import (
    CLASSES,
    ORDER,
    PROBLEMS,
    ROWS,
    SHELF,
    class_columns,
    say_days,
    season_frames,
)
from kitmaker.paper.tables import Cell, Column, Formula, Table, Value, make_formats, write_table
from kitmaker.paper.workbooks import build_workbook
from kitmaker.seasons import Season

if TYPE_CHECKING:
    import pandas

_TITLES = {
    CLASSES: "The classes, in the order of their dates",
    ORDER: "What to order",
    SHELF: "The shelf by SKU",
    ROWS: "The shelf row by row",
    PROBLEMS: "Look at these",
}
_COUNTS = ("Class", "Kits", "Spare kits")
_NUMBERS = ("Short", "Order in", "Order", "At hand", "Held", "Cut from the bolt", "Taken", "Left")
_MONEY = ("Cost of one", "Cost")
_FIRST_ROW = 3  # below the title and the headings


def build_season_book(season: Season) -> bytes:
    """Return the workbook of a season; the same season gives the same bytes."""

    def write(book: Any) -> None:
        formats = make_formats(book, season.shop.currency)
        frames = season_frames(season)
        for name in frames:
            table = _table(name, frames, season)
            write_table(book, formats, table, say_days(season), f"plan {season.number}")

    return build_workbook(f"Season: plan {season.number}", write)


def _table(name: str, frames: Mapping[str, pandas.DataFrame], season: Season) -> Table:
    classes = class_columns(season)
    numbers = (*_NUMBERS, *classes)
    headings = list(frames[name].columns)
    kinds = {
        **dict.fromkeys(numbers, "amount"),
        **dict.fromkeys(_COUNTS, "count"),
        **dict.fromkeys(_MONEY, "money"),
    }
    letters = _letters(headings)
    rows: list[tuple[Cell, ...]] = []
    sources = _sources(season) if name == SHELF else []
    for at, values in enumerate(frames[name].itertuples(index=False, name=None)):
        live = dict(_formulas(name, letters, _FIRST_ROW + at, classes))
        if sources:
            live |= _sums(_letters(list(frames[ROWS].columns)), sources[at], classes)
        rows.append(
            tuple(
                _with_formula(live.get(heading), value)
                for heading, value in zip(headings, values, strict=True)
            )
        )
    if not rows:
        nothing = {ORDER: "Nothing to order.", PROBLEMS: "No problems found."}.get(name, "Nothing.")
        kinds = {}
        rows = [(nothing, *([""] * (len(headings) - 1)))]
    columns = tuple(
        Column(heading, kind=kinds.get(heading, "text"), summed=heading == "Cost" and bool(kinds))
        for heading in headings
    )
    return Table(name, _TITLES[name], columns, tuple(rows))


def _letters(headings: Sequence[str]) -> dict[str, str]:
    return {heading: xl_col_to_name(at) for at, heading in enumerate(headings)}


def _with_formula(text: str | None, value: Value) -> Cell:
    if text is not None and isinstance(value, int | Fraction | Decimal):
        return Formula(text, value if isinstance(value, Decimal) else Fraction(value))
    return value


def _formulas(
    name: str, letters: Mapping[str, str], row: int, classes: Sequence[str]
) -> Iterator[tuple[str, str]]:
    """Yield (heading, formula) of the live figures of a row of the sheet."""
    cells = {heading: f"{letter}{row}" for heading, letter in letters.items()}
    if name == ORDER:
        short, step = cells["Short"], cells["Order in"]
        yield "Order", f"=ROUNDUP(ROUND({short}/{step},6),0)*{step}"
        yield "Cost", f"=ROUND({cells['Order']}*{cells['Cost of one']},2)"
    elif name in (SHELF, ROWS):
        came, at_hand = cells["Cut from the bolt"], cells["At hand"]
        yield "Taken", f"=SUM({cells[classes[0]]}:{cells[classes[-1]]})"
        yield "Left", f"={at_hand}+{came}-{cells['Taken']}"


def _sources(season: Season) -> list[list[int]]:
    """Return, for each line of the shelf by SKU, the rows of the sheet that it sums."""
    found: dict[tuple[str, str], list[int]] = {}
    for number, row in enumerate(season.rows, start=_FIRST_ROW):
        found.setdefault(row.key, []).append(number)
    return list(found.values())


def _sums(
    letters: Mapping[str, str], rows: Sequence[int], classes: Sequence[str]
) -> dict[str, str]:
    return {
        heading: "=" + "+".join(f"'{ROWS}'!{letters[heading]}{row}" for row in rows)
        for heading in ("At hand", "Held", "Cut from the bolt", *classes)
    }

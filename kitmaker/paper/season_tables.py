"""A season's tables: pandas data frames until they are written.

Numbers stay exact: yards (meters) and pieces are fractions, money is decimal.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from kitmaker.forms import Form
from kitmaker.lengths import Unit, say_off_the_bolt
from kitmaker.paper.sheets.saying import join_words, say_date, say_stock
from kitmaker.paper.tables import Value
from kitmaker.seasons import Season, SeasonClass, ShelfRow

if TYPE_CHECKING:
    import pandas

CLASSES, ORDER, SHELF, ROWS, PROBLEMS = (
    "Classes",
    "Order list",
    "Shelf",
    "Stock rows",
    "Problems",
)
"""The tables, which are the sheets of ``season.xlsx``."""


def season_frames(season: Season) -> dict[str, pandas.DataFrame]:
    """Return the tables of a season, keyed by their names."""
    return {
        CLASSES: _classes(season),
        ORDER: _order(season),
        SHELF: _shelf(season.shelf, season, by_row=False),
        ROWS: _shelf(season.rows, season, by_row=True),
        PROBLEMS: _problems(season),
    }


def _frame(headings: Sequence[str], rows: Iterable[tuple[Value, ...]]) -> pandas.DataFrame:
    import pandas as pd

    return pd.DataFrame(list(rows), columns=list(headings), dtype="object")


def class_columns(season: Season) -> list[str]:
    """Return the headings under which stands what each class takes: ``Class 1``, ``Class 2``."""
    return [f"Class {number}" for number, _ in enumerate(season.classes, start=1)]


def counted_in(form: Form | None, unit: Unit) -> str:
    """Return what a row is counted in: ``yd``, ``m``, or a form's name."""
    return form.name if form else unit.bolt_unit


def say_amount(amount: Fraction, form: Form | None, unit: Unit) -> str:
    """Say an amount, rounded up: ``1½ yd``, ``4 fat quarters``."""
    if form is None:
        return say_off_the_bolt(amount, unit)
    return form.count_phrase(int(amount))


def _counted(amount: Fraction, form: Form | None, unit: Unit) -> Fraction:
    """Return inches in yards or meters; pieces as they are."""
    return amount if form else amount / unit.bolt_length


def _classes(season: Season) -> pandas.DataFrame:
    headings = ("Class", "Date", "Title", "Pattern", "Kits", "Spare kits", "Complete", "Short of")
    rows = (
        (
            number,
            season_class.day,
            season_class.title,
            season_class.pattern,
            season_class.kits,
            season_class.spare_kits,
            "yes"
            if season_class.is_complete
            else "no"
            if season_class.is_planned
            else "not planned",
            say_short_of(season_class),
        )
        for number, season_class in enumerate(season.classes, start=1)
    )
    return _frame(headings, rows)


def say_short_of(season_class: SeasonClass) -> str:
    """Say what a class runs short of: ``JT-101 Harbor fog, short by 1⅜ yd``; "" for nothing."""
    by_sku = {
        short.sku: f"{say_stock(short.sku, short.print_name)}, {short.said}"
        for short in season_class.short
    }
    return "; ".join(by_sku.values())


def _order(season: Season) -> pandas.DataFrame:
    unit = season.shop.unit
    headings = (
        "SKU",
        "Print",
        "Counted in",
        "Short",
        "Order in",
        "Order",
        "Cost of one",
        "Cost",
        "First needed",
        "For class",
        "Order in is",
    )
    rows = (
        (
            line.sku,
            line.print_name,
            counted_in(line.form, unit),
            *(_counted(amount, line.form, unit) for amount in (line.short, line.step, line.order)),
            line.cost_of_one,
            line.cost,
            line.first_needed,
            join_words(dict.fromkeys(str(number) for number, _ in line.by_class)),
            "assumed" if line.is_assumed else "stated",
        )
        for line in season.order
    )
    return _frame(headings, rows)


def _shelf(rows: Sequence[ShelfRow], season: Season, *, by_row: bool) -> pandas.DataFrame:
    """Return rows of the shelf; ``by_row`` those of the Stock sheet, each with its place."""
    unit = season.shop.unit
    headings = (
        "SKU",
        "Print",
        "Counted in",
        *(["Row"] if by_row else []),
        "Dye lot",
        "At hand",
        "Held",
        "Cut from the bolt",
        *class_columns(season),
        "Taken",
        "Left",
    )
    data: list[tuple[Value, ...]] = []
    for row in rows:
        amounts = (
            row.at_hand,
            row.held,
            row.came,
            *row.taken,
            sum(row.taken, Fraction(0)),
            row.left,
        )
        data.append(
            (
                row.sku,
                row.print_name,
                counted_in(row.form, unit),
                *([row.where] if by_row else []),
                row.dye_lot,
                *(_counted(amount, row.form, unit) for amount in amounts),
            )
        )
    return _frame(headings, data)


def _problems(season: Season) -> pandas.DataFrame:
    rows = (
        (
            problem.level.value,
            str(problem.location) if problem.location else "",
            problem.message,
            problem.suggestion,
        )
        for problem in season.problems
    )
    return _frame(("Level", "Where", "What", "What to do"), rows)


def say_days(season: Season) -> str:
    """Say from when to when a season is."""
    days = [say_date(season_class.day) for season_class in season.classes]
    return " to ".join(dict.fromkeys((days[0], days[-1]))) if days else ""

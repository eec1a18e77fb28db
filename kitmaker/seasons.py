"""A season: several classes that share one shelf, and what has to be ordered for them.

Values only. :mod:`kitmaker.season_planning` makes them; pages, workbook and JSON are read from
them. Lengths are exact inches, forms are counted in pieces.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.errors import Problem
from kitmaker.forms import Form
from kitmaker.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """A fabric as the shop keeps it: by length, or counted in pieces of a form."""

    sku: str  # the stock number
    print_name: str  # what the stock calls it; ""
    form: Form | None  # what is counted; None for a length

    @property
    def key(self) -> tuple[str, str]:
        """What it is: the SKU and the form's id, "" for a length."""
        return key_of(self.sku, self.form)


@dataclass(frozen=True, slots=True, kw_only=True)
class Short(Stocked):
    """What a class runs short of."""

    amount: Fraction  # inches off one bolt, loss included; or pieces
    said: str  # all that is short of the SKU, as the class's own plan says it


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonClass:
    """A class of the season."""

    title: str  # its title; the pattern's name where it has none
    day: str  # its (first) day, such as ``2027-03-13``
    pattern: str  # the pattern's name, with the size
    kits: int = 0  # without the spare ones; 0 where it could not be planned
    spare_kits: int = 0  # on top
    is_planned: bool = False  # whether it could be planned; else it takes nothing from the shelf
    # what the shelf has too little of; empty for a class that is complete
    short: tuple[Short, ...] = ()

    @property
    def is_complete(self) -> bool:
        """Whether the shelf has all that its kits take."""
        return self.is_planned and not self.short


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow(Stocked):
    """A row of the Stock sheet through the season, or all rows of a SKU that are counted alike.

    What is at hand and what came is what was taken and what is left.
    """

    where: str = ""  # the row's cell, such as ``Stock!A7``; "" where it is no single row
    is_listed: bool = False  # whether the Stock sheet has it; else all of it came off a bolt
    dye_lot: str = ""  # "" when not said
    # inches or pieces when the season begins, those held for others included
    at_hand: Fraction = Fraction(0)
    held: Fraction = Fraction(0)  # inches or pieces of them that are promised to others
    # pieces cut off a bolt beyond what a class needed, for the classes after it
    came: Fraction = Fraction(0)
    taken: tuple[Fraction, ...]  # inches or pieces for each class, in their order
    left: Fraction = Fraction(0)  # inches or pieces when the season is over
    in_pieces: int = 0  # how many rows something is left of


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine(Stocked):
    """A line of the order list."""

    short: Fraction  # inches or pieces that are short, all classes added up
    # (form, how many) that are to be cut off a length ordered
    cut_into: tuple[tuple[Form, int], ...]
    step: Fraction  # what it is ordered in: inches or pieces
    is_assumed: bool  # whether the Stock sheet does not say what it is ordered in
    order: Fraction  # inches or pieces to order: whole steps
    cost_of_one: Decimal | None  # of a yard (a meter), or of one piece; None unknown
    cost: Decimal | None  # of what is ordered; None unknown
    first_needed: str  # the day of the first class that is short of it
    # (class, counted from 1, what of it) that is short of it
    by_class: tuple[tuple[int, Short], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Several classes on one shelf.

    Attributes:
        number: Six characters that stand for these inputs, as a plan's number does.
        shop: The shop, with its shelf as it is before the season.
        classes: In the order of their days.
        rows: The shelf row by row: the Stock sheet's, then forms that were cut off a bolt
            beyond what a class needed.
        order: What to order; empty where the shelf is enough.
        notes: What is to be said besides what is short.
        shortages: What is short, class by class.
    """

    number: str
    shop: Shop
    classes: tuple[SeasonClass, ...]
    rows: tuple[ShelfRow, ...]
    order: tuple[OrderLine, ...]
    notes: tuple[Problem, ...]
    shortages: tuple[Problem, ...]

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything to be said."""
        return (*self.notes, *self.shortages)

    @property
    def shelf(self) -> tuple[ShelfRow, ...]:
        """The shelf by SKU, lengths and each form apart, in the order of the Stock sheet."""
        grouped: dict[tuple[str, str], list[ShelfRow]] = {}
        for row in self.rows:
            grouped.setdefault(row.key, []).append(row)
        return tuple(_sum(rows) for rows in grouped.values())


def key_of(sku: str, form: Form | None) -> tuple[str, str]:
    """Return what tells one thing on the shelf from another: its SKU, and the form's id."""
    return sku.casefold(), form.form_id if form else ""


def _sum(rows: list[ShelfRow]) -> ShelfRow:
    first = rows[0]
    lots = {row.dye_lot for row in rows}
    return ShelfRow(
        sku=first.sku,
        print_name=next((row.print_name for row in rows if row.print_name), ""),
        form=first.form,
        is_listed=any(row.is_listed for row in rows),
        dye_lot=lots.pop() if len(lots) == 1 else "",
        at_hand=sum((row.at_hand for row in rows), Fraction(0)),
        held=sum((row.held for row in rows), Fraction(0)),
        came=sum((row.came for row in rows), Fraction(0)),
        taken=tuple(
            sum(taken, Fraction(0)) for taken in zip(*(row.taken for row in rows), strict=True)
        ),
        left=sum((row.left for row in rows), Fraction(0)),
        in_pieces=sum(row.in_pieces for row in rows),
    )

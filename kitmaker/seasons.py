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
class Short:
    """What a class runs short of.

    Attributes:
        sku: The stock number.
        print_name: What the stock calls it; "".
        form: What is short; None for a length.
        amount: Inches off one bolt, loss included; or pieces.
        said: All that is short of the SKU, as the class's own plan says it.
    """

    sku: str
    print_name: str
    form: Form | None
    amount: Fraction
    said: str

    @property
    def key(self) -> tuple[str, str]:
        """What it is: the SKU and the form's id, "" for a length."""
        return key_of(self.sku, self.form)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonClass:
    """A class of the season.

    Attributes:
        title: Its title; the pattern's name where it has none.
        day: Its (first) day, such as ``2027-03-13``.
        pattern: The pattern's name, with the size.
        kits: Without the spare ones; 0 where it could not be planned.
        spare_kits: On top.
        is_planned: Whether it could be planned; else it takes nothing from the shelf.
        short: What the shelf has too little of; empty for a class that is complete.
    """

    title: str
    day: str
    pattern: str
    kits: int = 0
    spare_kits: int = 0
    is_planned: bool = False
    short: tuple[Short, ...] = ()

    @property
    def is_complete(self) -> bool:
        """Whether the shelf has all that its kits take."""
        return self.is_planned and not self.short


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow:
    """A row of the Stock sheet through the season, or all rows of a SKU that are counted alike.

    What is at hand and what came is what was taken and what is left.

    Attributes:
        sku, print_name: Of the fabric.
        form: What is counted; None for a length.
        where: The row's cell, such as ``Stock!A7``; "" where it is no single row.
        is_listed: Whether the Stock sheet has it; else all of it came off a bolt.
        dye_lot: "" when not said.
        at_hand: Inches or pieces when the season begins, those held for others included.
        held: Inches or pieces of them that are promised to others.
        came: Pieces cut off a bolt beyond what a class needed, for the classes after it.
        taken: Inches or pieces for each class, in their order.
        left: Inches or pieces when the season is over.
        in_pieces: How many rows something is left of.
    """

    sku: str
    print_name: str
    form: Form | None
    where: str = ""
    is_listed: bool = False
    dye_lot: str = ""
    at_hand: Fraction = Fraction(0)
    held: Fraction = Fraction(0)
    came: Fraction = Fraction(0)
    taken: tuple[Fraction, ...]
    left: Fraction = Fraction(0)
    in_pieces: int = 0

    @property
    def key(self) -> tuple[str, str]:
        """What it is: the SKU and the form's id, "" for a length."""
        return key_of(self.sku, self.form)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """A line of the order list.

    Attributes:
        sku, print_name: Of the fabric.
        form: What is ordered; None for a length.
        short: Inches or pieces that are short, all classes added up.
        cut_into: (form, how many) that are to be cut off a length ordered.
        step: What it is ordered in: inches or pieces.
        is_assumed: Whether the Stock sheet does not say what it is ordered in.
        order: Inches or pieces to order: whole steps.
        cost_of_one: Of a yard (a meter), or of one piece; None unknown.
        cost: Of what is ordered; None unknown.
        first_needed: The day of the first class that is short of it.
        by_class: (class, counted from 1, what of it) that is short of it.
    """

    sku: str
    print_name: str
    form: Form | None
    short: Fraction
    cut_into: tuple[tuple[Form, int], ...]
    step: Fraction
    is_assumed: bool
    order: Fraction
    cost_of_one: Decimal | None
    cost: Decimal | None
    first_needed: str
    by_class: tuple[tuple[int, Short], ...]

    @property
    def key(self) -> tuple[str, str]:
        """What it is: the SKU and the form's id, "" for a length."""
        return key_of(self.sku, self.form)


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

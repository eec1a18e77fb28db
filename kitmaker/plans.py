"""A finished plan for a class's kits: values only, no arithmetic, no files, no screen.

:mod:`kitmaker.kits.kit` makes it, the checker has passed it, and everything that is printed,
written or shown is read from it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting_jobs import CuttingJob, Yield
from kitmaker.errors import Problem
from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.pattern import Pattern, PatternReading
from kitmaker.shop import Bag, ClassSheet, Cloth, Colorway, InKit, Shop

_SHEET_AND_ROW = re.compile(r"^(.+)![A-Z]+(\d+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricPlan:
    """One fabric of one colorway (and one print group) in the kit."""

    # which fabric; colorway and group "" when there are none
    role: str
    colorway: str
    sku: str
    group: str
    print_name: str  # what the stock calls the fabric; ""
    form: Form  # what goes into the bag, or what the shop cuts from
    bag: Bag  # uncut or cut pieces
    kits: int  # kits of this colorway, spare ones included
    per_kit: Yield  # what one kit alone takes
    total: Yield  # what all kits take; for pieces cut together with other roles, the whole job
    # one kit's cutting for ``uncut``, all kits' for ``pieces``; None when the pattern gives no
    # pieces (the stated length is bagged as it stands)
    job: CuttingJob | None
    # other (role, colorway) whose pieces are cut in the same job
    cut_with: tuple[tuple[str, str], ...] = ()
    cost: Decimal | None = None  # money for all kits, without labor; None unknown
    price: Decimal | None = None  # what the shop's shelf prices make of it; None unknown

    @property
    def name(self) -> str:
        """Its role, with its group of prints where the role has several."""
        return f"{self.role}, print {self.group}" if self.group else self.role


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A fabric of the pattern that is not in the kit, and why."""

    role: str
    in_kit: InKit
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPiece:
    """What is taken from one row of the Stock sheet."""

    where: str  # the cell, as ``Stock!A7``
    dye_lot: str  # "" when not said
    at_hand: Fraction  # inches, or pieces of a form
    take: Fraction  # inches, or pieces of a form
    left: Fraction  # inches, or pieces of a form
    # of a length: (form, cuts, how many they give) of forms cut off it
    cut_into: tuple[tuple[Form, int, int], ...] = ()
    # of a length: (inches, how many) of strips and stretches cut up for all kits
    strips: tuple[tuple[Length, int], ...] = ()
    # of a length: (inches, how many) of lengths that go into bags as they are
    bags: tuple[tuple[Length, int], ...] = ()
    name: str = ""  # what tells it from the SKU's other pieces: ``5½ yd piece``; "" when not known

    @property
    def row(self) -> str:
        """Its row as it is said: ``Stock, row 7``."""
        return _SHEET_AND_ROW.sub(r"\1, row \2", self.where)

    @property
    def cloth(self) -> str:
        """What it is called at the table; no two of a SKU are called alike."""
        lot = f", dye lot {self.dye_lot}" if self.dye_lot else ""
        return f"the {self.name} ({self.row}{lot})"


@dataclass(frozen=True, slots=True, kw_only=True)
class PullLine:
    """What to take from the shelf for one SKU, all colorways added up."""

    sku: str  # the stock number; "" for a fabric without one
    print_name: str  # what the stock calls it; ""
    roles: str  # what it is for, in words
    forms: tuple[tuple[Form, int], ...]  # (form, count) of ready-made forms to pull
    length: Length  # inches off the bolt, loss included; 0 when none
    buy: str  # in words that start with the number
    at_hand: Length | None  # free inches in all; None when there is no Stock sheet or no length
    # free count of each form pulled; None when there is no Stock sheet
    forms_at_hand: tuple[int, ...] | None
    pieces: tuple[StockPiece, ...]  # which stock pieces it comes from
    short: str  # in words how much is not enough; "" when the shelf lasts
    cost: Decimal | None = None  # money; None unknown
    # (form, count) of ``forms`` that are cut from the bolt
    cut_forms: tuple[tuple[Form, int], ...] = ()
    # (form, count) cut from the bolt beyond the need, for the shelf
    surplus: tuple[tuple[Form, int], ...] = ()
    prints: int = 1  # how many prints it is taken from alike
    # the dye lots that pieces cut for all kits come from, where one does not suffice; "" for cloth
    # whose lot is not said
    mixed_lots: tuple[str, ...] = ()
    flaws: tuple[str, ...] = ()  # where measured cloth has flaws, each in words
    # what is short, exactly: (None, inches off one bolt, loss included) and (form, count)
    missing: tuple[tuple[Form | None, Fraction], ...] = ()

    @property
    def shortage(self) -> str:
        """What is short, as every list of problems says it; "" when the shelf lasts."""
        if not self.short:
            return ""
        name = f"{self.print_name}, " if self.print_name else ""
        return f"not enough on the shelf: {name}SKU {self.sku} ({self.roles}) is {self.short}"


def say_too_few_kits(possible: int, runs_out: str) -> str:
    """Say how many kits the shelf lasts for, as every list of problems says it."""
    return f"complete kits possible: {possible}; {runs_out} runs out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One setting used, and where it came from."""

    label: str
    value: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost table: money for all kits and for one."""

    label: str  # what costs it; Total in the last line
    total: Decimal | None  # for all kits that it is in; None unknown
    per_kit: Decimal | None  # in one of those; in the Total the average over the colorways
    # (colorway, money in one kit of it) for each colorway that it is in; in the Total what stands
    # above it added up
    one_kit: tuple[tuple[str, Decimal | None], ...] = ()


def sum_known(amounts: Sequence[Decimal | None]) -> Decimal | None:
    """Return what amounts of money come to; None where one is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known, Decimal(0)) if len(known) == len(amounts) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPrice:
    """How the price of a kit comes about; every figure is for one kit, in cents."""

    colorway: str  # whose kit; "" where there are none
    kits: int  # how many of those the class has
    price: Decimal | None  # what it sells for; None unknown
    cost: Decimal | None  # what the shop's markup is on; None without a markup, or unknown
    labor: Decimal | None  # at the cutting table, on top of what is marked up; None without a rate
    shelf: Decimal | None  # without a markup: the shelf prices of its fabrics; None unknown
    extras: Decimal  # extras at prices of their own
    fee: Decimal  # the shop's kit fee
    # what its parts come to at shelf prices, each bought by itself; None unknown
    singly: Decimal | None
    unpriced: tuple[str, ...] = ()  # parts without a shelf price


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelChoice:
    """Which label sheet is printed, and where."""

    sheet_id: str  # the sheet
    start: int  # from which label of it on; 1 is the first
    only: int = 0  # which of all labels of its kind is printed, alone, 1 being the first; 0 for all


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPlan:
    """A plan for a class's kits.

    Attributes:
        number: The plan number, a hash of inputs and choices.
        pattern: In the size planned.
        shop: The shop's figures.
        class_sheet: What the class's workbook says; an empty one when there is none.
        kits: Kits planned, without the spare ones.
        spare_kits: Kits on top.
        colorways: With their kits (spare ones are shared out to the first); one with the
            name "" when the class has none.
        choices: Every setting used.
        fabrics: In the pattern's order, colorway by colorway.
        left_out: Fabrics not in the kit.
        pull: By SKU.
        kits_possible: Complete kits the stock lasts for; None without a Stock sheet.
        runs_out: The role or SKU that runs out first; "".
        costs: The cost table, a line labeled Total last.
        fabric_cost: Money for the fabrics of all kits; None when any cost is unknown.
        price_per_kit: What a kit sells for, on average where colorways differ; None unknown.
        minutes: At the cutting table in all.
        bag_labels, piece_labels: Which label sheets.
        not_complete: Lines left out on request, each in words; empty for a whole plan.
        problems: Everything to be said.
        reading: What was read of the pattern, for the page that shows it; None where the
            plan was not made from one.
        prices: How the price of a kit of each colorway comes about.
        changes: What is not as in the last plan of its folder, each in words.
        only_kits: The numbers of the kits whose labels, list and guide are printed; empty
            for all.
    """

    number: str
    pattern: Pattern
    shop: Shop
    class_sheet: ClassSheet
    kits: int
    spare_kits: int
    colorways: tuple[Colorway, ...]
    choices: tuple[Choice, ...]
    fabrics: tuple[FabricPlan, ...]
    left_out: tuple[LeftOut, ...]
    pull: tuple[PullLine, ...]
    kits_possible: int | None
    runs_out: str
    costs: tuple[CostLine, ...]
    fabric_cost: Decimal | None
    price_per_kit: Decimal | None
    minutes: Fraction
    bag_labels: LabelChoice
    piece_labels: LabelChoice
    not_complete: tuple[str, ...]
    problems: tuple[Problem, ...]
    reading: PatternReading | None = None
    only_kits: tuple[int, ...] = ()
    prices: tuple[KitPrice, ...] = ()
    changes: tuple[str, ...] = ()

    @property
    def all_kits(self) -> int:
        """Kits with the spare ones."""
        return self.kits + self.spare_kits

    def price_of(self, colorway: str) -> Decimal | None:
        """Return what a kit of a colorway sells for; None unknown."""
        own = [one.price for one in self.prices if one.colorway == colorway]
        return own[0] if own else self.price_per_kit

    @property
    def changes_said(self) -> str:
        """What changed, in a line: ``12 → 14 kits: Moss 1½ yd more; Fern 3 yd more``."""
        if not self.changes or "→" not in self.changes[0]:
            return "; ".join(self.changes)
        return ": ".join(part for part in (self.changes[0], "; ".join(self.changes[1:])) if part)

    @property
    def finished_kits(self) -> int:
        """Kits of the class that were finished before this plan."""
        return sum(colorway.done for colorway in self.colorways)

    @property
    def class_kits(self) -> int:
        """Kits of the class as first planned, spare ones included."""
        return self.all_kits + self.finished_kits


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenDown:
    """One kind of cloth and how it is cut; ``job`` is None when it stays whole."""

    cloth: Cloth
    job: CuttingJob | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Breakdown:
    """What can be cut from the fabric on hand.

    Attributes:
        counts: (size, how many), in the order asked for, none left out.
        worth: In money, or square inches where no price is known.
        worth_upper_bound: No edge-to-edge cutting is worth more.
        by_area: Whether worth is area.
        cloths: Each kind of cloth with its cutting.
        problems: What is to be said.
    """

    counts: tuple[tuple[str, int], ...]
    worth: Fraction
    worth_upper_bound: Fraction
    by_area: bool
    cloths: tuple[BrokenDown, ...]
    problems: tuple[Problem, ...]

    @property
    def proven(self) -> bool:
        """Whether nothing is worth more."""
        return self.worth == self.worth_upper_bound

"""A finished plan for a class's kits: values only, no arithmetic, no files, no screen.

:mod:`kitmaker.kits.kit` makes it, the checker has passed it, and everything that is printed,
written or shown is read from it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from kitmaker.cutting.layout import Axis, Placed, Rect
from kitmaker.errors import Problem
from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.pattern import Pattern, PatternReading, Piece
from kitmaker.shop import Bag, ClassSheet, Cloth, Colorway, InKit, Shop

_SHEET_AND_ROW = re.compile(r"^(.+)![A-Z]+(\d+)$")


class Action(StrEnum):
    """What a step does."""

    SQUARE_UP = "square up"
    STRAIGHTEN = "straighten"
    CUT = "cut"
    CUT_PAIRS = "cut pairs"
    OPEN_AND_CUT = "open and cut"
    LAY_FLAT = "lay flat and cut"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Parts of one size that a step cuts one after another.

    Attributes:
        size: What the ruler is set to, inches.
        times: How many parts of this size come from one part (from pairs: both together).
        gives: The letter of the parts it makes, or the piece letter, or "" for an offcut.
        is_piece: Whether ``gives`` is a piece, finished with this cut.
        positions: What the ruler shows at each cut, inches from the edge that the step starts
            at; one that is not greater than the one before it counts from the new edge.
    """

    size: Length
    times: int
    gives: str
    is_piece: bool
    positions: tuple[Length, ...]

    @property
    def longest_run(self) -> tuple[Length, ...]:
        """The most ruler positions that are counted from one edge."""
        at = self.positions
        starts = [n for n in range(1, len(at)) if at[n] <= at[n - 1]]
        runs = (at[a:b] for a, b in pairwise((0, *starts, len(at))))
        return max(runs, key=len)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do at the cutting table, for every copy of a layout.

    Attributes:
        number: From 1 in its layout.
        action: What is done.
        part: The letter of the part that is cut; "" for the whole sheet or length.
        cloth: Which of the cloth it is done with, in words: the length it is cut off, or how
            many of each print; "" where there is no choice.
        part_size: (across, along) of that part, inches.
        part_count: How many such parts there are over all copies of the layout.
        stacks: How many parts lie in each stack; one tick box a stack. Those of the first kit
            come first.
        first: How many of the parts are the first kit's.
        first_strips: How many of the strips cut off a length are the first kit's.
        layers: Thicknesses of cloth in the tallest stack.
        axis: How the made parts follow one another; None for squaring up.
        measures: What is cut, in order; what is left over is an offcut.
        re_square_after: Cuts after which the edge is trued again (1 = after the first).
        folded_into: Thicknesses into which each part is folded end to end, because its cuts
            are longer than the ruler; 1 when it is not.
        placements: Times the ruler is laid down along each cut: more than 1 where the cut is
            longer than the ruler as the cloth lies.
        two_rulers: Whether a measure is wider than one ruler, and two reach it.
        by_tape: Whether a measure is wider than two rulers: a mat's lines or a tape give it.
        cuts: Cuts made in this step over all stacks, truings and placements counted.
        settings: Times the ruler is set to another measure.
        text: The step in words, as printed.
    """

    number: int
    action: Action
    part: str
    cloth: str = ""
    part_size: tuple[Length, Length]
    part_count: int
    stacks: tuple[int, ...]
    first: int = 0
    first_strips: int = 0
    layers: int
    axis: Axis | None = None
    measures: tuple[Measure, ...] = ()
    re_square_after: tuple[int, ...] = ()
    folded_into: int = 1
    placements: int = 1
    two_rulers: bool = False
    by_tape: bool = False
    cuts: int = 0
    settings: int = 0
    text: str = ""

    @property
    def stacks_by_kit(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The stacks of the kit that is cut first, and those of the others."""
        at = next(at for at in range(len(self.stacks) + 1) if sum(self.stacks[:at]) >= self.first)
        return self.stacks[:at], self.stacks[at:]


@dataclass(frozen=True, slots=True)
class Mark:
    """What a drawing names: a cut by the number of its step (a line), or a part by its name."""

    name: str
    at: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLayout:
    """One distinct way of cutting a form (or a stretch of a length), with its steps.

    Attributes:
        name: ``Layout 1``, ``Layout 2`` … in the order of cutting.
        form_id: What is cut.
        source: Where the cloth comes from, in words.
        sheet: (across, along) of the usable area; for a length (usable width, length used).
        copies: How many are cut so.
        first: How many of them are cut first, for one kit that is checked; 0 where there is
            but one kit.
        folded: Whether it lies folded selvage to selvage while its strips are cut.
        steps: In order.
        pieces: As the checker's replay of the steps found them.
        offcuts: Likewise.
        cuts: The cuts as the replay made them, by the numbers of their steps.
        parts: The parts that were cut up, by their names.
        levels: Rounds of parallel cuts.
        uses_full_size: Whether a whole row or column leaves no waste, so that the cloth
            must be measured first.
    """

    name: str
    form_id: str
    source: str
    sheet: tuple[Length, Length]
    copies: int
    first: int = 0
    folded: bool
    steps: tuple[Step, ...]
    pieces: tuple[Placed, ...]
    offcuts: tuple[Rect, ...]
    levels: int
    uses_full_size: bool = False
    cuts: tuple[Mark, ...] = ()
    parts: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededPiece:
    """A kind of piece with its letter, what one kit needs and what the job makes.

    Attributes:
        letter: ``A``, ``B`` … unique within the kit, the same in all colorways.
        key: The key its placed pieces carry.
        role: The fabric role it belongs to.
        colorway: The colorway it belongs to; "" when there are none.
        piece: The pattern's piece.
        across, along: Cut measures as it lies unturned, inches.
        per_kit: Pieces a kit needs.
        needed: Pieces the job must give.
        made: Pieces the layouts give.
        look_alikes: Letters of pieces in the same bag that differ by a quarter inch or less.
    """

    letter: str
    key: str
    role: str
    colorway: str
    piece: Piece
    across: Length
    along: Length
    per_kit: int
    needed: int
    made: int
    look_alikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """How much of a form is taken, and how sure it is that less will not do.

    Attributes:
        count: Forms; for a length 1 a kit.
        lower_bound: No edge-to-edge cutting does with fewer.
        proven: Whether count (for a length: what is bought) cannot be less.
        length: Inches of the pieces alone, unrounded; None for a fixed form.
        length_lower_bound: No edge-to-edge cutting is shorter; None for a fixed form.
        length_proven: Whether the length itself cannot be less; None for a fixed form.
        length_with_loss: With straightening and re-squaring, unrounded; None likewise.
        buy_length: What is bought or pulled, rounded up; None likewise.
        buy: In words that start with the number: ``2¼ yd``, ``36 fat quarters``.
        one_fewer_at: (across, along) at which one form fewer would do; None unknown.
        estimated: Whether it is by area only (a fabric without pieces).
        prints: From how many prints it is taken alike, the same of each.
        counts: For a mix: (form id, how many) of each form taken; empty elsewhere.
        cost: For a mix: what the forms cost by their own costs, or None where one is missing
            and area stood for it; ``proven`` then speaks of this cost, or of the area.
        cost_lower_bound: For a mix: no edge-to-edge cutting costs less; None likewise.
    """

    count: int
    lower_bound: int
    proven: bool
    length: Length | None = None
    length_lower_bound: Length | None = None
    length_proven: bool | None = None
    length_with_loss: Length | None = None
    buy_length: Length | None = None
    buy: str
    one_fewer_at: tuple[Length, Length] | None = None
    estimated: bool = False
    prints: int = 1
    counts: tuple[tuple[str, int], ...] = ()
    cost: Decimal | None = None
    cost_lower_bound: Decimal | None = None

    def forms_of(self, form: Form) -> list[tuple[Form, int]]:
        """Return how many of which form it is.

        Args:
            form: The form, or the mix, it is an amount of.
        """
        if not form.mix:
            return [(form, self.count)]
        counts = dict(self.counts)
        return [(one, counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What is left after cutting, of one size.

    Attributes:
        across, along: Inches.
        count: How many.
        grade: ``back on the bolt``, ``keep`` or ``scrap``.
    """

    across: Length
    along: Length
    count: int
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Eased:
    """What easier cutting costs in cloth and saves in time, against the least that can be bought.

    Attributes:
        more: Inches bought on top.
        minutes_less: At the cutting table, an estimate.
        cloth_cost: What a yard (a meter) counts with, money.
        labor_per_hour: What an hour at the table counts with, money.
        defaults: Which of the two the shop does not name: ``cloth``, ``labor``.
    """

    more: Length
    minutes_less: Fraction
    cloth_cost: Decimal
    labor_per_hour: Decimal
    defaults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingJob:
    """Everything that is cut from one fabric in one go: by the shop, or by one student.

    Attributes:
        pieces: What is needed and made.
        layouts: Distinct ways of cutting, in cutting order.
        offcuts: Graded.
        levels: The most rounds of parallel cuts in any layout.
        cuts, settings, stacks: Over the whole job.
        minutes: At the cutting table, an estimate at the shop's pace.
        miscuts: How many more of its largest piece the cloth yields.
        prints: How many prints are cut alike: each layout as often from each of them.
        eased: What was spent on easier cutting; None for nothing.
    """

    pieces: tuple[NeededPiece, ...]
    layouts: tuple[CutLayout, ...]
    offcuts: tuple[Offcut, ...]
    levels: int
    cuts: int
    settings: int
    stacks: int
    minutes: Fraction
    miscuts: int
    prints: int = 1
    eased: Eased | None = None

    def cloth(self, form: Form, amount: Yield) -> Fraction:
        """Return the square inches that are bagged or pulled.

        Of a length all of it, with what rounding up to a whole eighth of a yard adds, not
        only the stretch that the pieces take.

        Args:
            form: What is cut.
            amount: How much of it.
        """
        sheets = (one.sheet[0] * one.sheet[1] * one.copies for one in self.layouts)
        cut = sum(sheets, Fraction(0))
        return max(cut, form.usable_across * (amount.buy_length or 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricPlan:
    """One fabric of one colorway (and one print group) in the kit.

    Attributes:
        role, colorway, sku, group: Which fabric; colorway and group "" when there are none.
        print_name: What the stock calls the fabric; "".
        form: What goes into the bag, or what the shop cuts from.
        bag: Uncut or cut pieces.
        kits: Kits of this colorway, spare ones included.
        per_kit: What one kit alone takes.
        total: What all kits take; for pieces cut together with other roles, the whole job.
        job: One kit's cutting for ``uncut``, all kits' for ``pieces``; None when the
            pattern gives no pieces (the stated length is bagged as it stands).
        cut_with: Other (role, colorway) whose pieces are cut in the same job.
        cost: Money for all kits, without labor; None unknown.
        price: What the shop's shelf prices make of it; None unknown.
    """

    role: str
    colorway: str
    sku: str
    group: str
    print_name: str
    form: Form
    bag: Bag
    kits: int
    per_kit: Yield
    total: Yield
    job: CuttingJob | None
    cut_with: tuple[tuple[str, str], ...] = ()
    cost: Decimal | None = None
    price: Decimal | None = None

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
    """What is taken from one row of the Stock sheet.

    Attributes:
        where: The cell, as ``Stock!A7``.
        dye_lot: "" when not said.
        at_hand: Inches, or pieces of a form.
        take: Inches, or pieces of a form.
        left: Inches, or pieces of a form.
        cut_into: Of a length: (form, cuts, how many they give) of forms cut off it.
        strips: Of a length: (inches, how many) of strips and stretches cut up for all kits.
        bags: Of a length: (inches, how many) of lengths that go into bags as they are.
        name: What tells it from the SKU's other pieces: ``5½ yd piece``; "" when not known.
    """

    where: str
    dye_lot: str
    at_hand: Fraction
    take: Fraction
    left: Fraction
    cut_into: tuple[tuple[Form, int, int], ...] = ()
    strips: tuple[tuple[Length, int], ...] = ()
    bags: tuple[tuple[Length, int], ...] = ()
    name: str = ""

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
    """What to take from the shelf for one SKU, all colorways added up.

    Attributes:
        sku: The stock number; "" for a fabric without one.
        print_name: What the stock calls it; "".
        roles: What it is for, in words.
        forms: (form, count) of ready-made forms to pull.
        length: Inches off the bolt, loss included; 0 when none.
        buy: In words that start with the number.
        at_hand: Free inches in all; None when there is no Stock sheet or no length.
        forms_at_hand: Free count of each form pulled; None when there is no Stock sheet.
        pieces: Which stock pieces it comes from.
        short: In words how much is not enough; "" when the shelf lasts.
        cost: Money; None unknown.
        cut_forms: (form, count) of ``forms`` that are cut from the bolt.
        surplus: (form, count) cut from the bolt beyond the need, for the shelf.
        prints: How many prints it is taken from alike.
        mixed_lots: The dye lots that pieces cut for all kits come from, where one does not
            suffice; "" for cloth whose lot is not said.
        flaws: Where measured cloth has flaws, each in words.
        missing: What is short, exactly: (None, inches off one bolt, loss included) and
            (form, count).
    """

    sku: str
    print_name: str
    roles: str
    forms: tuple[tuple[Form, int], ...]
    length: Length
    buy: str
    at_hand: Length | None
    forms_at_hand: tuple[int, ...] | None
    pieces: tuple[StockPiece, ...]
    short: str
    cost: Decimal | None = None
    cut_forms: tuple[tuple[Form, int], ...] = ()
    surplus: tuple[tuple[Form, int], ...] = ()
    prints: int = 1
    mixed_lots: tuple[str, ...] = ()
    flaws: tuple[str, ...] = ()
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
    """One line of the cost table: money for all kits and for one.

    Attributes:
        label: What costs it; Total in the last line.
        total: For all kits that it is in; None unknown.
        per_kit: In one of those; in the Total the average over the colorways.
        one_kit: (colorway, money in one kit of it) for each colorway that it is in; in the
            Total what stands above it added up.
    """

    label: str
    total: Decimal | None
    per_kit: Decimal | None
    one_kit: tuple[tuple[str, Decimal | None], ...] = ()


def sum_known(amounts: Sequence[Decimal | None]) -> Decimal | None:
    """Return what amounts of money come to; None where one is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known, Decimal(0)) if len(known) == len(amounts) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPrice:
    """How the price of a kit comes about; every figure is for one kit, in cents.

    Attributes:
        colorway: Whose kit; "" where there are none.
        kits: How many of those the class has.
        price: What it sells for; None unknown.
        cost: What the shop's markup is on; None without a markup, or unknown.
        labor: At the cutting table, on top of what is marked up; None without a rate.
        shelf: Without a markup: the shelf prices of its fabrics; None unknown.
        extras: Extras at prices of their own.
        fee: The shop's kit fee.
        singly: What its parts come to at shelf prices, each bought by itself; None unknown.
        unpriced: Parts without a shelf price.
    """

    colorway: str
    kits: int
    price: Decimal | None
    cost: Decimal | None
    labor: Decimal | None
    shelf: Decimal | None
    extras: Decimal
    fee: Decimal
    singly: Decimal | None
    unpriced: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelChoice:
    """Which label sheet is printed, and where.

    Attributes:
        sheet_id: The sheet.
        start: From which label of it on; 1 is the first.
        only: Which of all labels of its kind is printed, alone, 1 being the first; 0 for all.
    """

    sheet_id: str
    start: int
    only: int = 0


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

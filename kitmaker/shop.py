"""What a shop's workbook and a class's workbook say, as values.

Amounts of money are :class:`decimal.Decimal`, lengths exact inches. None always means
"not said"; a shop without a ``Stock`` sheet has no limit, not an empty shelf.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from kitmaker.errors import Location, Problem, UnreadableError
from kitmaker.forms import Catalogue, Form
from kitmaker.lengths import Length, Unit


class Bag(StrEnum):
    """What the student finds in the bag.

    ``UNCUT``: forms, and the student cuts. ``PIECES``: the shop has cut them.
    """

    UNCUT = "uncut"
    PIECES = "pieces"


class InKit(StrEnum):
    """Whether a fabric is in the kit."""

    YES = "yes"
    NO = "no"
    SOLD_APART = "sold apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ease:
    """How much more of a length may be bought so that it is easier to cut in bulk."""

    share: Fraction = Fraction(1, 40)  # the share of the length at most
    length: Length | None = None  # inches at most; None for no limit but the share

    def shares(self, tried: Sequence[Fraction]) -> tuple[Fraction, ...]:
        """Return the shares that may be tried, none above the most."""
        return tuple(sorted({min(one, self.share) for one in tried} - {Fraction(0)}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Markup:
    """How a price comes from a cost: ``100 %`` is added, ``×2`` multiplies."""

    factor: Decimal  # what the cost is multiplied by, so 2 for both
    as_written: str  # the words of the cell


@dataclass(frozen=True, slots=True)
class Stretch:
    """The clear stretch of a measured piece that a stock row is."""

    length: Length  # inches of the whole piece
    flaws: tuple[Length, ...]  # inches from its start, in order
    # (from, to) in inches of this stretch; all of it where there is no flaw
    clear: tuple[Length, Length]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """What a fabric looks like, by the shop's workbook."""

    sku: str  # the stock number
    color: str = ""  # as ``#rrggbb``; "" when not said
    picture: bytes = b""  # a PNG or JPEG file's bytes; empty without one


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """One row of the Stock sheet: one length of one fabric, or a number of one form."""

    sku: str  # the stock number
    print_name: str = ""  # what the fabric is called; ""
    form: str | None = None  # the form's name as typed; None for a length off a bolt
    usable_width: Length | None = None  # measured width in inches; None when not said
    # measured length in inches of each of a form's pieces; None when not said
    usable_length: Length | None = None
    # of a length: inches at hand, and those promised to other classes
    length: Length | None = None
    # of a form: pieces at hand, and those promised to other classes
    count: int | None = None
    held_length: Length = Fraction(0)
    held_count: int = 0
    dye_lot: str | None = None  # None when not said
    shrinkage: Fraction = Fraction(0)  # the share of length lost in the wash, 0 to under 1
    # per yard or meter, per piece for a form; None unknown
    cost: Decimal | None = None
    price: Decimal | None = None
    # what it is ordered in, inches or pieces of the form; None when not said
    order_in: Fraction | None = None
    where: Location  # the cell of its SKU
    measured: Stretch | None = None  # what it was measured as; None for a row of the Stock sheet

    def less(self, taken: Fraction) -> StockRow:
        """Return the row without what was taken of it: inches, or pieces of a form."""
        if self.form is None:
            return replace(self, length=max(Fraction(0), (self.length or Fraction(0)) - taken))
        return replace(self, count=max(0, (self.count or 0) - int(taken)))

    @property
    def free_length(self) -> Length:
        """Inches of this piece not promised to anyone; 0 for a form."""
        return max(Fraction(0), (self.length or Fraction(0)) - self.held_length)

    @property
    def free_count(self) -> int:
        """Pieces of this form not promised to anyone; 0 for a length."""
        return max(0, (self.count or 0) - self.held_count)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A sheet of labels, in millimeters from the top left corner of the paper."""

    sheet_id: str  # its name, such as ``letter-30``
    paper: str  # ``letter`` or ``A4``
    columns: int  # labels in a row
    rows: int  # rows on a sheet
    # of one label, mm
    width: Fraction
    height: Fraction
    # the paper's edge to the first label, mm
    left: Fraction
    top: Fraction
    # one label's left (top) edge to the next one's, mm
    pitch_across: Fraction
    pitch_down: Fraction

    @property
    def per_sheet(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A shop's own figures, with the defaults of one that states none."""

    # for the head of a sheet and the labels
    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    unit: Unit = Unit.INCH  # what bare numbers in its workbook are in
    # inches that are sure to be there across a bolt; None for the form's own
    usable_width: Length | None = None
    straighten: Length = Fraction(1, 2)  # inches lost at the start of each length off the bolt
    re_square: Length = Fraction(1, 4)  # inches lost each time the edge is trued again
    re_square_every: int = 6  # how many strips are cut between two truings
    layers_per_cut: int = 4  # thicknesses of cloth cut at once
    round_yardage_up_to: Length | None = None  # the step a length is sold in, inches
    ease: Ease = Ease()  # how much more of a length may be bought for easier cutting
    # the longest straight cut without folding or moving, inches
    ruler_length: Length = Fraction(24)
    ruler_width: Length = Fraction(13, 2)  # the widest measure one ruler sets, inches
    markup: Markup | None = None  # None when the shop's price comes from elsewhere
    labor_per_hour: Decimal | None = None  # money an hour at the cutting table; None unknown
    kit_fee: Decimal | None = None  # money added to each kit's price
    label_sheet: str | None = None  # the label sheet used when none is asked for
    # the same for one kind of label; they come first
    bag_label_sheet: str | None = None
    piece_label_sheet: str | None = None
    # (right, down) in mm, added to every label's place
    label_offset: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    # (shorter, longer) inches an offcut must have to be kept
    smallest_offcut: tuple[Length, Length] = (Fraction(5, 2), Fraction(5))
    # the shortest length that goes back on the bolt, inches
    smallest_length_back: Length = Fraction(9)
    currency: str = "$"  # the sign before an amount
    # the pace, estimates
    seconds_per_cut: int = 8
    seconds_per_setting: int = 15
    seconds_per_pull: int = 60
    catalogue: Catalogue = field(default_factory=Catalogue)  # the forms it works with
    # what is on the shelf; None when there is no Stock sheet
    stock: tuple[StockRow, ...] | None = None
    # whether ``stock`` holds measured cloth alone, and every other SKU has no limit
    only_measured: bool = False
    # cloth of a measured SKU that the plan does not use: too small, or not measured. It stays on
    # the shelf
    set_aside: tuple[StockRow, ...] = ()
    own_label_sheets: tuple[LabelSheet, ...] = ()  # label sheets by the shop's own measures
    # what its fabrics look like, as far as it says so; of a plan, only its own
    swatches: tuple[Swatch, ...] = ()
    workbook: str = ""  # the file's name; "" when there is none

    def unit_beside(self, unit: Unit) -> Unit:
        """The unit cloth is measured in: the workbook's, without one that of the pattern."""
        return self.unit if self.workbook else unit

    def bolt_step(self, unit: Unit) -> Length:
        """The step a length is rounded up to: ⅛ yd or 5 cm unless the shop says otherwise."""
        if self.round_yardage_up_to is not None:
            return self.round_yardage_up_to
        return unit.bolt_step


@dataclass(frozen=True, slots=True, kw_only=True)
class Colorway:
    """One set of fabrics in which the class's kit is made."""

    name: str  # as typed; "" when the class has no colorways
    kits: int | None  # how many kits; None when the Colorways sheet leaves it open
    skus: dict[str, str]  # role, folded for comparing, to the SKU that fills it
    where: Location | None = None  # the cell of its name; None when there is no Colorways sheet
    roles: dict[str, str] = field(default_factory=dict)  # the folded role to the role as typed
    # the folded role to the cell it is typed in, such as ``C2``
    role_cells: dict[str, str] = field(default_factory=dict)
    # the folded role to the cell of its SKU, such as ``D2``
    cells: dict[str, str] = field(default_factory=dict)
    done: int = 0  # kits of it that were finished before this plan, on top of those


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricChoice:
    """A row of a class workbook's Fabrics sheet."""

    role: str  # as typed
    in_kit: InKit | None = None  # None when the cell is empty
    form: str | None = None  # as typed, forms joined by ``+``; None when empty
    bag: Bag | None = None  # None when empty
    where: Location  # the cell of the role


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """Something in the kit that is not cut: the pattern copy, a spool of thread."""

    item: str
    count_per_kit: Fraction
    cost: Decimal | None
    price: Decimal | None
    where: Location


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassSheet:
    """What a class workbook says."""

    # for the head of a sheet and the labels; ""
    title: str = ""
    date: str = ""
    teacher: str = ""
    bring: str = ""  # what each student brings, for the kit cards; "" when not said
    # None when not said
    kits: int | None = None
    spare_kits: int | None = None
    size: str | None = None
    # the pattern's file as typed, relative to the class workbook; None
    pattern_file: str | None = None
    # in the order of their sheets; empty without one
    colorways: tuple[Colorway, ...] = ()
    fabrics: tuple[FabricChoice, ...] = ()
    extras: tuple[Extra, ...] = ()
    # the cells of ``Date``, ``Kits``, ``Size`` and ``Pattern file``; None. That of the date also
    # where it is blank
    date_where: Location | None = None
    kits_where: Location | None = None
    size_where: Location | None = None
    pattern_where: Location | None = None
    workbook: str = ""  # the file's name


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopReading:
    """A shop's workbook as far as it could be read, and what could not.

    Attributes:
        shop: Its figures, forms and stock.
        problems: Errors and warnings, in the order of the file.
        digest: Of the file's bytes, for the plan's number; "" where it was read from none.
    """

    shop: Shop
    problems: tuple[Problem, ...] = ()
    digest: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassReading:
    """A class's workbook as far as it could be read, and what could not.

    Attributes:
        class_sheet: What it asks for.
        problems: Errors and warnings, in the order of the file.
        digest: Of the file's bytes, for the plan's number; "" where it was read from none.
        path: Of the file, beside which its pattern lies; "" where it was read from none.
    """

    class_sheet: ClassSheet
    problems: tuple[Problem, ...] = ()
    digest: str = field(default="", compare=False)
    path: str = field(default="", compare=False, repr=False)


def fold_role(role: str) -> str:
    """Return a role without case, spaces and hyphens, for comparing."""
    return "".join(char for char in role.casefold() if char.isalnum())


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPiece:
    """Cloth as it was really measured: pieces of one size."""

    sku: str  # the stock number
    width: Length  # usable inches across
    length: Length  # usable inches along
    count: int  # how many such pieces
    flaws: tuple[Length, ...] = ()  # inches from the start of each, in order
    kits_done: int | None = None  # kits already finished from this SKU; None when not said
    dye_lot: str | None = None  # None when not said
    where: Location  # the cell of its SKU


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredReading:
    """Measured cloth as far as it could be read, piece by piece, and what could not."""

    pieces: tuple[MeasuredPiece, ...]
    problems: tuple[Problem, ...] = ()
    digest: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """Pieces of cloth of one size, to be cut into smaller sizes."""

    name: str  # what it is called on the sheets
    # usable inches
    across: Length
    along: Length
    count: int  # how many
    where: Location  # the cell its row begins at

    @property
    def form(self) -> Form:
        """One of them as a form; its size is measured, and all of it counts."""
        return Form(
            form_id="cloth-at-hand",
            name=self.name,
            plural=self.name,
            nominal_across=self.across,
            nominal_along=self.along,
            usable_across=self.across,
            usable_along=self.along,
            full_size_only_if_measured=True,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StashReading:
    """Cloth at hand as far as it could be read, and what could not."""

    pieces: tuple[Cloth, ...]
    problems: tuple[Problem, ...] = ()
    digest: str = field(default="", compare=False)


AnyReading: TypeAlias = ShopReading | ClassReading | MeasuredReading | StashReading
"""A workbook other than a pattern, as far as it could be read."""


def figures_of(reading: ShopReading | None) -> Shop:
    """Return a shop's figures; without a workbook the defaults."""
    return Shop() if reading is None else reading.shop


def stop_on_errors(*readings: AnyReading | None) -> None:
    """Stop where a workbook other than a pattern could not be read for sure.

    Raises:
        UnreadableError: With every problem that blocks.
    """
    read = [reading for reading in readings if reading is not None]
    errors = [problem for reading in read for problem in reading.problems if problem.is_error]
    if errors:
        raise UnreadableError(errors)

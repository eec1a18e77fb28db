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
    """How much more of a length may be bought so that it is easier to cut in bulk.

    Attributes:
        share: The share of the length at most.
        length: Inches at most; None for no limit but the share.
    """

    share: Fraction = Fraction(1, 40)
    length: Length | None = None

    def shares(self, tried: Sequence[Fraction]) -> tuple[Fraction, ...]:
        """Return the shares that may be tried, none above the most."""
        return tuple(sorted({min(one, self.share) for one in tried} - {Fraction(0)}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Markup:
    """How a price comes from a cost: ``100 %`` is added, ``×2`` multiplies.

    Attributes:
        factor: What the cost is multiplied by, so 2 for both.
        as_written: The words of the cell.
    """

    factor: Decimal
    as_written: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """The clear stretch of a measured piece that a stock row is.

    Attributes:
        length: Inches of the whole piece.
        flaws: Inches from its start, in order.
        clear: (from, to) in inches of this stretch; all of it where there is no flaw.
    """

    length: Length
    flaws: tuple[Length, ...]
    clear: tuple[Length, Length]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """What a fabric looks like, by the shop's workbook.

    Attributes:
        sku: The stock number.
        color: As ``#rrggbb``; "" when not said.
        picture: A PNG or JPEG file's bytes; empty without one.
    """

    sku: str
    color: str = ""
    picture: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """One row of the Stock sheet: one length of one fabric, or a number of one form.

    Attributes:
        sku: The stock number.
        print_name: What the fabric is called; "".
        form: The form's name as typed; None for a length off a bolt.
        usable_width: Measured width in inches; None when not said.
        usable_length: Measured length in inches of each of a form's pieces; None when not said.
        length, held_length: Of a length: inches at hand, and those promised to other classes.
        count, held_count: Of a form: pieces at hand, and those promised to other classes.
        dye_lot: None when not said.
        shrinkage: The share of length lost in the wash, 0 to under 1.
        cost, price: Per yard or meter, per piece for a form; None unknown.
        order_in: What it is ordered in, inches or pieces of the form; None when not said.
        where: The cell of its SKU.
        measured: What it was measured as; None for a row of the Stock sheet.
    """

    sku: str
    print_name: str = ""
    form: str | None = None
    usable_width: Length | None = None
    usable_length: Length | None = None
    length: Length | None = None
    count: int | None = None
    held_length: Length = Fraction(0)
    held_count: int = 0
    dye_lot: str | None = None
    shrinkage: Fraction = Fraction(0)
    cost: Decimal | None = None
    price: Decimal | None = None
    order_in: Fraction | None = None
    where: Location
    measured: Stretch | None = None

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
    """A sheet of labels, in millimeters from the top left corner of the paper.

    Attributes:
        sheet_id: Its name, such as ``letter-30``.
        paper: ``letter`` or ``A4``.
        columns: Labels in a row.
        rows: Rows on a sheet.
        width, height: Of one label, mm.
        left, top: The paper's edge to the first label, mm.
        pitch_across, pitch_down: One label's left (top) edge to the next one's, mm.
    """

    sheet_id: str
    paper: str
    columns: int
    rows: int
    width: Fraction
    height: Fraction
    left: Fraction
    top: Fraction
    pitch_across: Fraction
    pitch_down: Fraction

    @property
    def per_sheet(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A shop's own figures, with the defaults of one that states none.

    Attributes:
        name, address, phone, email: For the head of a sheet and the labels.
        unit: What bare numbers in its workbook are in.
        usable_width: Inches that are sure to be there across a bolt; None for the form's own.
        straighten: Inches lost at the start of each length off the bolt.
        re_square: Inches lost each time the edge is trued again.
        re_square_every: How many strips are cut between two truings.
        layers_per_cut: Thicknesses of cloth cut at once.
        round_yardage_up_to: The step a length is sold in, inches.
        ease: How much more of a length may be bought for easier cutting.
        ruler_length: The longest straight cut without folding or moving, inches.
        ruler_width: The widest measure one ruler sets, inches.
        markup: None when the shop's price comes from elsewhere.
        labor_per_hour: Money an hour at the cutting table; None unknown.
        kit_fee: Money added to each kit's price.
        label_sheet: The label sheet used when none is asked for.
        bag_label_sheet, piece_label_sheet: The same for one kind of label; they come first.
        label_offset: (right, down) in mm, added to every label's place.
        smallest_offcut: (shorter, longer) inches an offcut must have to be kept.
        smallest_length_back: The shortest length that goes back on the bolt, inches.
        currency: The sign before an amount.
        seconds_per_cut, seconds_per_setting, seconds_per_pull: The pace, estimates.
        catalogue: The forms it works with.
        stock: What is on the shelf; None when there is no Stock sheet.
        only_measured: Whether ``stock`` holds measured cloth alone, and every other SKU has
            no limit.
        set_aside: Cloth of a measured SKU that the plan does not use: too small, or not
            measured. It stays on the shelf.
        own_label_sheets: Label sheets by the shop's own measures.
        swatches: What its fabrics look like, as far as it says so; of a plan, only its own.
        workbook: The file's name; "" when there is none.
    """

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    unit: Unit = Unit.INCH
    usable_width: Length | None = None
    straighten: Length = Fraction(1, 2)
    re_square: Length = Fraction(1, 4)
    re_square_every: int = 6
    layers_per_cut: int = 4
    round_yardage_up_to: Length | None = None
    ease: Ease = Ease()
    ruler_length: Length = Fraction(24)
    ruler_width: Length = Fraction(13, 2)
    markup: Markup | None = None
    labor_per_hour: Decimal | None = None
    kit_fee: Decimal | None = None
    label_sheet: str | None = None
    bag_label_sheet: str | None = None
    piece_label_sheet: str | None = None
    label_offset: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    smallest_offcut: tuple[Length, Length] = (Fraction(5, 2), Fraction(5))
    smallest_length_back: Length = Fraction(9)
    currency: str = "$"
    seconds_per_cut: int = 8
    seconds_per_setting: int = 15
    seconds_per_pull: int = 60
    catalogue: Catalogue = field(default_factory=Catalogue)
    stock: tuple[StockRow, ...] | None = None
    only_measured: bool = False
    set_aside: tuple[StockRow, ...] = ()
    own_label_sheets: tuple[LabelSheet, ...] = ()
    swatches: tuple[Swatch, ...] = ()
    workbook: str = ""

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
    """One set of fabrics in which the class's kit is made.

    Attributes:
        name: As typed; "" when the class has no colorways.
        kits: How many kits; None when the Colorways sheet leaves it open.
        done: Kits of it that were finished before this plan, on top of those.
        skus: Role, folded for comparing, to the SKU that fills it.
        where: The cell of its name; None when there is no Colorways sheet.
        roles: The folded role to the role as typed.
        role_cells: The folded role to the cell it is typed in, such as ``C2``.
        cells: The folded role to the cell of its SKU, such as ``D2``.
    """

    name: str
    kits: int | None
    skus: dict[str, str]
    where: Location | None = None
    roles: dict[str, str] = field(default_factory=dict)
    role_cells: dict[str, str] = field(default_factory=dict)
    cells: dict[str, str] = field(default_factory=dict)
    done: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricChoice:
    """A row of a class workbook's Fabrics sheet.

    Attributes:
        role: As typed.
        in_kit: None when the cell is empty.
        form: As typed, forms joined by ``+``; None when empty.
        bag: None when empty.
        where: The cell of the role.
    """

    role: str
    in_kit: InKit | None = None
    form: str | None = None
    bag: Bag | None = None
    where: Location


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
    """What a class workbook says.

    Attributes:
        title, date, teacher: For the head of a sheet and the labels; "".
        bring: What each student brings, for the kit cards; "" when not said.
        kits, spare_kits, size: None when not said.
        pattern_file: The pattern's file as typed, relative to the class workbook; None.
        colorways, fabrics, extras: In the order of their sheets; empty without one.
        date_where, kits_where, size_where, pattern_where: The cells of ``Date``, ``Kits``,
            ``Size`` and ``Pattern file``; None. That of the date also where it is blank.
        workbook: The file's name.
    """

    title: str = ""
    date: str = ""
    teacher: str = ""
    bring: str = ""
    kits: int | None = None
    spare_kits: int | None = None
    size: str | None = None
    pattern_file: str | None = None
    colorways: tuple[Colorway, ...] = ()
    fabrics: tuple[FabricChoice, ...] = ()
    extras: tuple[Extra, ...] = ()
    date_where: Location | None = None
    kits_where: Location | None = None
    size_where: Location | None = None
    pattern_where: Location | None = None
    workbook: str = ""


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
    """Cloth as it was really measured: pieces of one size.

    Attributes:
        sku: The stock number.
        width: Usable inches across.
        length: Usable inches along.
        count: How many such pieces.
        flaws: Inches from the start of each, in order.
        kits_done: Kits already finished from this SKU; None when not said.
        dye_lot: None when not said.
        where: The cell of its SKU.
    """

    sku: str
    width: Length
    length: Length
    count: int
    flaws: tuple[Length, ...] = ()
    kits_done: int | None = None
    dye_lot: str | None = None
    where: Location


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredReading:
    """Measured cloth as far as it could be read, piece by piece, and what could not."""

    pieces: tuple[MeasuredPiece, ...]
    problems: tuple[Problem, ...] = ()
    digest: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """Pieces of cloth of one size, to be cut into smaller sizes.

    Attributes:
        name: What it is called on the sheets.
        across, along: Usable inches.
        count: How many.
        where: The cell its row begins at.
    """

    name: str
    across: Length
    along: Length
    count: int
    where: Location

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

"""What each page of the counter shows: values only, in words ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.counter.desk import Head
from kitmaker.counter.folder import Listing
from kitmaker.drafts import SourceLine
from kitmaker.errors import Problem
from kitmaker.paper.sheets.reading_page import ReadFabric, ReadLine
from kitmaker.reading.drafting.ticking import TickRow


@dataclass(frozen=True, slots=True)
class ErrorView:
    """Why something was not done."""

    head: Head


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeView:
    """The folder.

    Attributes:
        find: What is looked for in the names; "".
        listing: What lies in it, as far as it is looked for.
        can_be_written: Whether anything can be saved.
        running: (address, title) of what is being worked out; None.
    """

    head: Head
    find: str
    listing: Listing
    can_be_written: bool
    running: tuple[str, str] | None

    @property
    def is_empty(self) -> bool:
        """Whether nothing is there."""
        return not any(
            (
                self.listing.patterns,
                self.listing.pages,
                self.listing.classes,
                self.listing.shops,
                self.listing.plans,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AskShopView:
    """The question which shop's workbook is meant.

    Attributes:
        shops: The files.
        kept: What the address asked for besides, handed on.
        address: Where the answer goes.
    """

    head: Head
    shops: tuple[str, ...]
    kept: tuple[tuple[str, str], ...]
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternView:
    """A pattern's words beside what was read.

    Attributes:
        file: Its name.
        shop: The shop's workbook; "".
        size: The size that is read; "".
        sizes: All there are; empty where there is one only.
        about: Name, size, unit and seam allowance.
        fabrics: In the pattern's order.
        others: Lines that belong to no fabric.
        can_be_planned: Whether no line is unread.
    """

    head: Head
    file: str
    shop: str
    size: str
    sizes: tuple[str, ...]
    about: str
    fabrics: tuple[ReadFabric, ...]
    others: tuple[ReadLine, ...]
    can_be_planned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceView:
    """A pattern's page, line by line, beside what became of it.

    Attributes:
        file: Its name.
        name: What the pattern is called.
        lines: From top to bottom.
        open_count: How many rows of its draft will wait for a person.
        draft: A draft of it that is in the folder already; "".
    """

    head: Head
    file: str
    name: str
    lines: tuple[SourceLine, ...]
    open_count: int
    draft: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleRow:
    """A row of a draft.

    Attributes:
        row: What it holds.
        said: What was read, in words.
        problems: What is still wrong with it.
        choices: What may be chosen, what stands there now among them.
    """

    row: TickRow
    said: str
    problems: tuple[Problem, ...]
    choices: tuple[str, ...]

    @property
    def has_controls(self) -> bool:
        """Whether there is something to settle, or was."""
        return bool(self.row.how_sure.is_open or self.problems or self.row.choose.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftView:
    """A draft to be ticked.

    Attributes:
        file: Its name.
        digest: As it was read.
        shop: The shop's workbook that was chosen; "".
        size: The size that is read; "".
        about: Name, size, unit and seam allowance; "" where nothing could be read.
        rows: Those that wait first.
        open_count: How many wait.
        shapes: What may be typed as a shape.
        why_not_saved: Why it can only be read here; "".
    """

    head: Head
    file: str
    digest: str
    shop: str
    size: str
    about: str
    rows: tuple[SettleRow, ...]
    open_count: int
    shapes: tuple[str, ...]
    why_not_saved: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRow:
    """A fabric in one form.

    Attributes:
        value: What choosing it saves.
        form: Its name.
        buy: How much of it one kit takes.
        proof: Whether less would do.
        cost: Of one kit, with the currency; "" unknown.
        amount: The cost as a number, for adding up; "" unknown.
        more: Its price, what is left over, minutes at the table.
        is_chosen: Whether it is the one in force.
    """

    value: str
    form: str
    buy: str
    proof: str
    cost: str
    amount: str
    more: str
    is_chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricForms:
    """A fabric with the forms it can go into a kit in.

    Attributes:
        field: The name of its choice in the page's form.
        role: The fabric.
        rows: Those that fit, the cheapest first.
        more_rows: Those that fit besides, of little use: their cost is not known.
        any_cost: Whether the cost of any of them is known.
        wont_fit: Those that do not, (form, why).
        chosen: What is in force, in words; "" where nothing is chosen.
    """

    field: str
    role: str
    rows: tuple[FormRow, ...]
    more_rows: tuple[FormRow, ...]
    any_cost: bool
    wont_fit: tuple[tuple[str, str], ...]
    chosen: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsView:
    """Forms with money.

    Attributes:
        pattern: The pattern's file.
        class_file: The class the choice is saved in; "" where there is none yet.
        digest: Of the class workbook as it was read; "".
        shop: The shop's workbook; "".
        size: The size; "".
        currency: The sign before an amount.
        fabrics: None where they are not worked out yet.
    """

    head: Head
    pattern: str
    class_file: str
    digest: str
    shop: str
    size: str
    currency: str
    fabrics: tuple[FabricForms, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """Work that goes on.

    Attributes:
        name: Of the run.
        title: What is worked on.
        words: What is being worked out now.
        done, steps: For the bar.
        seconds: How long it is at it.
        back: Where to go on otherwise.
        is_running: Whether it goes on.
    """

    head: Head
    name: str
    title: str
    words: str
    done: int
    steps: int
    seconds: int
    back: str
    is_running: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A choice of a drop-down: what it saves, and what it is called."""

    value: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SkuField:
    """Which bolt fills a fabric of a colorway.

    Attributes:
        field: Its name in the form.
        role: The fabric.
        value: The SKU that is chosen; "".
        choices: What the shelf has; empty where there is no shelf to choose from.
    """

    field: str
    role: str
    value: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ColorwayFields:
    """One colorway."""

    name: str
    kits: str
    skus: tuple[SkuField, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BagFields:
    """What of a fabric is in the kit, in which form, and who cuts it.

    Attributes:
        key: The end of its fields' names.
        role: The fabric.
        in_kit, form, bag: What is chosen; "".
        forms: The forms it may have.
    """

    key: str
    role: str
    in_kit: str
    form: str
    bag: str
    forms: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassView:
    """A class to be filled in.

    Attributes:
        file: Its workbook; "" for a new one.
        digest: Of the workbook as it was read; "".
        shop: The shop's workbook that was chosen; "".
        facts: By the labels of the Class sheet.
        sizes: The sizes of the pattern; empty where it has one only.
        patterns: The files that may be its pattern, "" first; empty where they are too many.
        colorways: In order.
        bags: One for each fabric.
        why_not_saved: Why the workbook can only be read here; "".
        has_unread: Whether lines of the pattern are not read.
        has_pattern: Whether the pattern could be read.
    """

    head: Head
    file: str
    digest: str
    shop: str
    facts: dict[str, str]
    sizes: tuple[str, ...]
    patterns: tuple[str, ...]
    colorways: tuple[ColorwayFields, ...]
    bags: tuple[BagFields, ...]
    why_not_saved: str
    has_unread: bool
    has_pattern: bool

"""What a draft is: a pattern's words beside the tidy rows they became. Values only.

A draft is a tidy workbook that a person ticks. Each row says how sure it is; an *open* row
waits for a person, who picks one of its readings or fills in its blank cells.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from kitmaker.errors import Location, Problem
from kitmaker.lengths import ON_A_RULER, Length, Unit, say_decimal, spelled
from kitmaker.pattern import PatternReading

PATTERN_SHEET, FABRICS_SHEET, PIECES_SHEET, LEFT_OVER = "Pattern", "Fabrics", "Pieces", "Left over"
AS_WRITTEN, HOW_SURE, CHOOSE = "As written", "How sure", "Choose"
SAID_WHY = "Why"
NO_CUT, NO_AMOUNT = "no cut", "no amount"
"""What Choose takes besides the readings: the words ask for no cloth, or state no amount."""
NEEDED = ("Cut width", "Cut length", "Quantity")
"""What a piece cannot be cut without."""
READING = "Reading"
"""What the columns that spell out the readings are headed with, and a number."""

HELP_SHEET, EXAMPLE, HINT = "How to fill this in", "Example (not read)", "←"
"""A sheet of this name, a row that begins so, and a cell that begins so are not read."""

FIRST_ROW = 2
"""The first row of a table of a draft; its headings stand above."""


class HowSure(StrEnum):
    """How sure a row is; the last two wait for a person."""

    TOTAL = "total agrees"
    STRIPS = "strips agree"
    AMOUNT = "amount agrees"
    PLAIN = "plain"
    LOOK = "look"
    CHOOSE = "choose"
    FILL_IN = "fill in"

    @property
    def is_open(self) -> bool:
        """Whether a person has to settle it."""
        return self in (HowSure.CHOOSE, HowSure.FILL_IN)


CONFIRMED_BY: dict[HowSure, str | None] = {
    HowSure.TOTAL: "total",
    HowSure.STRIPS: "strips",
    HowSure.AMOUNT: "amount",
    HowSure.PLAIN: "plain",
    HowSure.LOOK: None,
}
"""What confirms the piece of a row that is not open, as a piece has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftRow:
    """A row of a draft; what it holds is text as a person types it."""

    cells: tuple[tuple[str, str], ...]  # heading to text, blank cells left out
    as_written: str  # the words it came from, line by line
    how_sure: HowSure  # how sure it is
    readings: tuple[str, ...] = ()  # what Choose offers, each as it could be typed
    why: str = ""  # what a person should know of it; ""
    where: str = ""  # the cell to look at, or to fill in: ``Pieces!M4``
    source: Location  # where its words stand in the source
    places: tuple[Location, ...] = ()  # where all of them do

    @property
    def is_open(self) -> bool:
        """Whether a person has to settle it."""
        return self.how_sure.is_open

    def cell(self, heading: str) -> str:
        """Return the text under a heading; "" when blank."""
        return dict(self.cells).get(heading, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """A line of the source that became no cloth."""

    words: str  # as they stand there
    why: str  # what it was taken for
    source: Location  # where it stands


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceLine:
    """A line of a page, and what became of it, to be shown side by side."""

    words: str  # as they stand on the page
    became: tuple[str, ...]  # what was made of them, one text for each row
    source: Location  # where it stands
    is_cloth: bool = False  # whether it became a row
    is_open: bool = False  # whether a person has to settle it


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A draft of a pattern.

    Attributes:
        source: The name of the file it was made from.
        name: The pattern's.
        sizes: The sizes whose quantities stand in columns of their own; empty for one size.
        size: The one size it holds; None where that has no name, or where there are several.
        unit: What bare numbers are in.
        seam_allowance: In inches.
        finished_size: As the pattern states it; "".
        fabrics, pieces: The rows of the two tables.
        left_over: Every other line of the source.
        lines: Of a page, each line with what became of it; empty for a workbook.
        readings: What was read, size by size.
        problems: Open rows first, as errors by their cells; then what should be looked at.
    """

    source: str
    name: str
    sizes: tuple[str, ...] = ()
    size: str | None = None
    unit: Unit = Unit.INCH
    seam_allowance: Length
    finished_size: str = ""
    fabrics: tuple[DraftRow, ...]
    pieces: tuple[DraftRow, ...]
    left_over: tuple[LeftOver, ...]
    lines: tuple[SourceLine, ...] = ()
    readings: tuple[PatternReading, ...] = field(default=(), repr=False)
    problems: tuple[Problem, ...] = ()

    @property
    def open_rows(self) -> tuple[DraftRow, ...]:
        """The rows that wait for a person."""
        return tuple(row for row in (*self.fabrics, *self.pieces) if row.is_open)

    def facts(self) -> Iterator[tuple[str, str]]:
        """Yield label and value of what the sheet Pattern holds, blank ones left out."""
        seam = say_typed(self.seam_allowance, self.unit)
        facts = (
            ("Pattern", self.name),
            ("Size", self.size or ""),
            ("Unit", self.unit.value),
            ("Seam allowance", f"{seam} {self.unit.value}"),
            ("Finished size", self.finished_size),
        )
        yield from ((label, value) for label, value in facts if value)


def sized_headings(key: str, sizes: tuple[str, ...]) -> tuple[str, ...]:
    """Return the headings of a column that each size has for itself."""
    return tuple(f"{key} {size}" for size in sizes) or (key,)


def fabric_headings(sizes: tuple[str, ...]) -> tuple[str, ...]:
    """Return the headings of the table of fabrics, from left to right."""
    amounts = sized_headings("Requirement", sizes)
    facts = ("Prints", "Usable width", "Form", "SKU", "Description")
    return ("Fabric", *amounts, *facts, AS_WRITTEN, HOW_SURE, CHOOSE)


def piece_headings(sizes: tuple[str, ...]) -> tuple[str, ...]:
    """Return the headings of the table of pieces, from left to right."""
    counts = sized_headings("Quantity", sizes)
    facts = ("Shape", "Direction", "Same print", "Cross-cut", "Join", "Notes")
    size = ("Fabric", "Piece", "Cut width", "Cut length")
    return (*size, *counts, *facts, AS_WRITTEN, HOW_SURE, CHOOSE)


def say_typed(length: Length, unit: Unit) -> str:
    """Say a length exactly, as it can be typed back in its unit: ``2 1/2``, ``6.35``, ``7/5``."""
    number = length / unit.length
    on_a_ruler = spelled(number, ON_A_RULER if unit is Unit.INCH else (1,))
    if not on_a_ruler and number * 10**6 % 1 == 0:
        return say_decimal(number, 6)
    return on_a_ruler or spelled(number, (number.denominator,))

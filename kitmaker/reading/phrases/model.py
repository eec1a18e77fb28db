"""What a cutting text is read with, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from kitmaker.arithmetic.figures import CutRules
from kitmaker.errors import Level, Location
from kitmaker.lengths import Length, Unit
from kitmaker.pattern import Piece

NARROWEST_WHOLE_WIDTH: Length = Fraction(40)
WIDEST_WHOLE_WIDTH: Length = Fraction(45)
"""A strip 40 to 45 inches long is one across the whole fabric: patterns write × 42, × 44.
Common practice, no source."""


_NOT_YET = Location("")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut(Piece):
    """A piece that a line asks for, before it is known which cell the line stands in."""

    line: int  # the number of its line in the text, from 0
    where: Location = _NOT_YET


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something a person has to know about a line."""

    line: int  # the number of the line
    level: Level  # whether it blocks
    message: str  # what is wrong and what was understood
    suggestion: str = ""  # what to type instead; ""
    # where there are several honest readings, each as what would be cut
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A line, or a part of one, that asks for no cutting."""

    line: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricFacts:
    """What a cutting text's words depend on."""

    unit: Unit = Unit.INCH  # what bare numbers are in
    prints: int | None = None  # how many prints it comes in; None when not stated
    # how many fat quarters, strips or squares it comes in; None when it is a length
    cloths: int | None = None
    # the id of the form, or the unit, that its amount is stated in; None where not known
    form: str | None = None
    prints_are_strips: bool = False  # whether those are strips already, bought ready cut
    # the width in inches of the strips or squares that it is bought as; else None
    ready_cut: Length | None = None
    # from this length on, in inches, a strip goes across the whole fabric
    narrowest_width: Length = NARROWEST_WHOLE_WIDTH
    widest_width: Length = WIDEST_WHOLE_WIDTH  # up to this length
    # the length of the fabric in inches; None when it is not stated
    fabric_length: Length | None = None
    bracket: int | None = None  # which of two sizes in brackets is read: 0, 1, or None
    # words that name a size of the pattern which is not read
    other_sizes: frozenset[str] = frozenset()
    cut_rules: CutRules = field(default_factory=CutRules)  # how finished sizes become cut ones

    def count_of(self, each: str = "") -> int | None:
        """Return how many each ``print`` or ``cloth`` stands for; None when it is not sure."""
        if each == "print":
            return self.prints if self.prints is not None else self.cloths
        if each == "cloth":
            return self.cloths if self.cloths is not None else self.prints
        said = {count for count in (self.prints, self.cloths) if count is not None}
        return said.pop() if len(said) == 1 else None


@dataclass(slots=True)
class Understood:
    """What was made of a text."""

    cuts: list[Cut] = field(default_factory=list)  # what is cut
    findings: list[Finding] = field(default_factory=list)  # what a person has to know
    remarks: list[Remark] = field(default_factory=list)  # what asks for no cutting
    # the lines whose strips are cut on by other lines
    cut_on: set[int] = field(default_factory=set)

    def is_told(self, line: int) -> bool:
        """Whether a line has left a trace: a cut, a finding, a remark, strips that are cut on."""
        return (
            line in self.cut_on
            or any(cut.line == line for cut in self.cuts)
            or any(finding.line == line for finding in self.findings)
            or any(remark.line == line for remark in self.remarks)
        )

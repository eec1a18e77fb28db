"""What a cutting text is read with, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from kitmaker.arithmetic.figures import CutRules
from kitmaker.errors import Level
from kitmaker.lengths import Length, Unit
from kitmaker.pattern import Direction, PieceKind, Shape

NARROWEST_WHOLE_WIDTH: Length = Fraction(40)
WIDEST_WHOLE_WIDTH: Length = Fraction(45)
"""A strip 40 to 45 inches long is one across the whole fabric: patterns write × 42, × 44.
Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One kind of piece that a line asks for.

    Attributes:
        line: The number of its line in the text, from 0.
        name: Its letter, or the words for it with its size.
        kind: Rectangle, whole strip or running length.
        width: Inches; for a strip and a running length the strip's width.
        length: Inches; None for a strip, the total for a running length.
        quantity: How many in all; "from each" already multiplied.
        shape: What it is, or becomes.
        direction: How it may lie.
        from_each: The number of prints it is cut from equally; None elsewhere.
        words: The words of the line that say what it is for.
        formula: How its size follows from a finished one; None where the cut size is stated.
        is_multiplied: Whether its count was multiplied, by prints or by blocks.
        confirmed: What in the text confirms it: ``total``, ``strips``, ``plain``; None where
            a person should look at it.
    """

    line: int
    name: str
    kind: PieceKind
    width: Length
    length: Length | None
    quantity: int
    shape: Shape = Shape.RECTANGLE
    direction: Direction = Direction.FREE
    from_each: int | None = None
    words: str = ""
    formula: str | None = None
    is_multiplied: bool = False
    confirmed: str | None = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something a person has to know about a line.

    Attributes:
        line: The number of the line.
        level: Whether it blocks.
        message: What is wrong and what was understood.
        suggestion: What to type instead; "".
        readings: Where there are several honest readings, each as what would be cut.
    """

    line: int
    level: Level
    message: str
    suggestion: str = ""
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A line, or a part of one, that asks for no cutting."""

    line: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricFacts:
    """What a cutting text's words depend on.

    Attributes:
        unit: What bare numbers are in.
        prints: How many prints it comes in; None when not stated.
        cloths: How many fat quarters, strips or squares it comes in; None when it is a length.
        form: The id of the form, or the unit, that its amount is stated in; None where not known.
        prints_are_strips: Whether those are strips already, bought ready cut.
        ready_cut: The width in inches of the strips or squares that it is bought as; else None.
        narrowest_width: From this length on, in inches, a strip goes across the whole fabric.
        widest_width: Up to this length.
        fabric_length: The length of the fabric in inches; None when it is not stated.
        bracket: Which of two sizes in brackets is read: 0, 1, or None.
        other_sizes: Words that name a size of the pattern which is not read.
        cut_rules: How finished sizes become cut ones.
    """

    unit: Unit = Unit.INCH
    prints: int | None = None
    cloths: int | None = None
    form: str | None = None
    prints_are_strips: bool = False
    ready_cut: Length | None = None
    narrowest_width: Length = NARROWEST_WHOLE_WIDTH
    widest_width: Length = WIDEST_WHOLE_WIDTH
    fabric_length: Length | None = None
    bracket: int | None = None
    other_sizes: frozenset[str] = frozenset()
    cut_rules: CutRules = field(default_factory=CutRules)

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
    """What was made of a text.

    Attributes:
        cuts: What is cut.
        findings: What a person has to know.
        remarks: What asks for no cutting.
        cut_on: The lines whose strips are cut on by other lines.
    """

    cuts: list[Cut] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    cut_on: set[int] = field(default_factory=set)

    def is_told(self, line: int) -> bool:
        """Whether a line has left a trace: a cut, a finding, a remark, strips that are cut on."""
        return (
            line in self.cut_on
            or any(cut.line == line for cut in self.cuts)
            or any(finding.line == line for finding in self.findings)
            or any(remark.line == line for remark in self.remarks)
        )

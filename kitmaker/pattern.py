"""What a pattern asks for: fabrics, and the pieces to be cut from each.

This is the model every other room speaks of. Sizes are *cut* sizes (seam allowances
included), quantities are for one kit, and every piece remembers the cell it came from.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from kitmaker.errors import Location, Problem
from kitmaker.lengths import Length, Unit


class PieceKind(StrEnum):
    """What one line of a requirement asks for.

    ``PIECE`` is a rectangle. ``STRIP`` is a strip across the whole width of the fabric,
    used whole. ``JOINED`` is a running length sewn together from strips.
    """

    PIECE = "piece"
    STRIP = "strip"
    JOINED = "joined"


class Direction(StrEnum):
    """How a piece may lie on the cloth.

    ``FREE``: either way. ``ONE_WAY``: width across, length along (a print with an up and
    a down). ``LENGTHWISE``: the long side along the selvage, facing either way.
    """

    FREE = "free"
    ONE_WAY = "one-way"
    LENGTHWISE = "lengthwise"


class Shape(StrEnum):
    """What the cut piece is, or becomes."""

    RECTANGLE = "rectangle"
    SQUARE = "square"
    CUT_ONCE = "square cut once on the diagonal"
    CUT_TWICE = "square cut twice on the diagonal"
    FOR_EIGHT = "square for eight half-square triangles at a time"
    FOR_FOUR_GEESE = "square for flying geese four at a time"
    FLIPPED_CORNER = "square flipped over a corner"
    HALF_LEFT = "rectangle cut once on the diagonal, for left half-rectangle triangles"
    HALF_RIGHT = "rectangle cut once on the diagonal, for right half-rectangle triangles"
    TRIANGLES_60 = "strip cut into 60° triangles"
    DIAMONDS_45 = "strip cut into 45° diamonds"
    DIAMONDS_60 = "strip cut into 60° diamonds"
    HEXAGONS = "strip cut into hexagons"


class Use(StrEnum):
    """What a fabric is for, as far as a kit is concerned."""

    TOP = "top"
    BINDING = "binding"
    BACKING = "backing"
    BATTING = "batting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One kind of piece to cut from a fabric."""

    name: str  # the Piece cell as typed, numbered when a name comes twice
    kind: PieceKind = PieceKind.PIECE  # rectangle, whole strip or running length
    width: Length  # the cut width in inches; for a strip and a running length the strip's width
    # the cut length in inches; None for a strip, the total for a running length
    length: Length | None
    quantity: int  # pieces cut for one kit (for squares cut on the diagonal: the squares)
    shape: Shape = Shape.RECTANGLE  # what the piece is, or becomes
    direction: Direction = Direction.FREE  # how it may lie
    print_group: str | None = None  # the name of the print it must share with others; None for any
    # for the strips of a strip set, the size cut across the set; None elsewhere
    cross_cut: Length | None = None
    # the number of prints it is cut from equally; None where it is not "from each"
    from_each: int | None = None
    where: Location  # the cell it was read from
    notes: str = ""  # what stood beside it
    # how its cut size follows from a finished one, with the source; None where the cut size was
    # stated
    formula: str | None = None
    is_multiplied: bool = False  # whether its count was multiplied by a number of prints or blocks
    # whether it may be sewn of shorter parts, as its Join cell says; None where it is left open
    join: bool | None = None
    is_joined: bool = False  # whether the words say that these strips are sewn end to end
    # for strips that are sewn end to end: the length needed, where it is stated
    run: Length | None = None
    # for a part that is cut in place of a piece: what is sewn of such parts; else None
    sewn: Sewn | None = None
    # what the pattern itself confirms it by: ``total`` (a total it states), ``strips`` (the strips
    # that it is cut from just hold it), ``amount`` (the amount of cloth), ``plain`` where nothing
    # does and the words have one reading; None where a person should look
    confirmed: str | None = "plain"

    def __post_init__(self) -> None:
        """Hold what every reader must have made sure of."""
        if self.width <= 0 or (self.length is not None and self.length <= 0) or self.quantity < 1:
            raise ValueError(f"a piece needs a positive size and count: {self}")
        if (self.length is None) != (self.kind is PieceKind.STRIP):
            raise ValueError(f"only a whole strip has no length: {self}")

    @property
    def may_turn(self) -> bool:
        """Whether it may be cut with its width along instead of across."""
        return self.kind is PieceKind.PIECE and self.direction is Direction.FREE

    @property
    def is_one_way(self) -> bool:
        """Whether its print runs one way; of a part, whether that of what is sewn of it does."""
        return (self.sewn.of if self.sewn else self).direction is Direction.ONE_WAY

    @property
    def may_have_seams(self) -> bool:
        """Whether it is a rectangle that stays one: nothing cut on a slant is sewn of parts."""
        return self.shape in (Shape.RECTANGLE, Shape.SQUARE) and self.cross_cut is None

    @property
    def across(self) -> Length | None:
        """Its measure across the fabric when it lies as it was written, in inches.

        A lengthwise piece has its long side along. None means the whole width.
        """
        if self.kind is not PieceKind.PIECE or self.length is None:
            return None
        if self.direction is Direction.LENGTHWISE:
            return min(self.width, self.length)
        return self.width

    @property
    def along(self) -> Length:
        """Its measure along the selvage when it lies as it was written, in inches."""
        if self.kind is not PieceKind.PIECE or self.length is None:
            return self.width
        if self.direction is Direction.LENGTHWISE:
            return max(self.width, self.length)
        return self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class Sewn:
    """What is sewn of parts that are cut in place of a piece too long for the cloth."""

    of: Piece  # the pattern's piece; of whole strips, all that are sewn into one length
    parts: int  # how many parts make one
    part_length: Length  # of each part, inches, in the direction in which they follow one another
    needed: Length  # how long one must be once it is sewn, inches
    loss: Length  # what each seam takes of the length, inches
    at_45: bool = False  # whether the seams are sewn at 45°

    @property
    def seams(self) -> int:
        """Seams in one."""
        return self.parts - 1

    @property
    def is_run(self) -> bool:
        """Whether it is one long length that others are cut off, and not the piece itself."""
        return self.of.kind is not PieceKind.PIECE or self.of.is_joined


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A stated requirement: ``1¼ yd``, ``12 fat quarters``."""

    as_written: str  # the words of the cell
    quantity: Fraction  # how much, in ``unit``
    unit: str  # ``yd``, ``in``, ``m``, ``cm``, a form id, or ``panel``, ``pack``, ``piece``
    length: Length | None  # the length off the bolt in inches; None when it is no length


@dataclass(frozen=True, slots=True, kw_only=True)
class Fabric:
    """One fabric of a pattern, by the role it plays."""

    role: str  # the Fabric cell as typed
    requirement: Amount | None = None  # the amount the pattern states; None where it states none
    pieces: tuple[Piece, ...] = ()  # what is cut from it; empty for a fabric with an amount only
    form: str | None = None  # the form asked for, as typed; None when left open
    prints: int | None = None  # how many different prints fill the role; None when not said
    # the width the pattern counts on, in inches; None when not said
    usable_width: Length | None = None
    sku: str | None = None  # the stock number; None when not said
    description: str = ""  # what the fabric looks like; ""
    use: Use = Use.TOP  # what it is for
    where: Location  # the cell its role was read from


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A quilt pattern in one size, as far as cutting its fabric goes."""

    name: str  # what it is called
    # every size the file offers, in its order; empty when it has one only
    sizes: tuple[str, ...] = ()
    # the size that was read; None when the file has one only and does not name it
    size: str | None = None
    unit: Unit = Unit.INCH  # what the file's bare numbers are in
    seam_allowance: Length = Fraction(1, 4)  # in inches
    finished_size: str = ""  # as the file states it; ""
    fabrics: tuple[Fabric, ...] = ()  # in the file's order


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A line that was understood as a note, or how a line was understood."""

    where: Location  # the cell
    words: str  # what stood there
    understood: str  # what was made of it
    role: str = ""  # the fabric it speaks of; "" for none


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternReading:
    """A pattern as far as it could be read for sure, and everything that could not.

    Attributes:
        pattern: Only what is sure; a line with an error is not in it.
        problems: Errors and warnings, in the order of the file.
        notes: Line by line, what was made of the words.
        digest: Of the file's bytes, for the plan's number; "" where it was read from none.
    """

    pattern: Pattern
    problems: tuple[Problem, ...] = ()
    notes: tuple[Note, ...] = ()
    digest: str = field(default="", compare=False)


def use_of(role: str) -> Use:
    """Tell from a role's name what it is for; anything unknown is quilt top.

    A role that names two uses ("outer border and binding") is quilt top: it must be in
    the kit either way. Common practice, no source.
    """
    words = role.casefold()
    if "batting" in words or "wadding" in words:
        return Use.BATTING
    if "backing" in words and not any(other in words for other in ("border", "binding", "block")):
        return Use.BACKING
    if "binding" in words and not any(
        other in words for other in ("border", "block", "sashing", "background", "&", " and ")
    ):
        return Use.BINDING
    return Use.TOP

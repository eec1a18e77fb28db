"""What the phrases of a cutting text say, as values.

Each phrase of the grammar is one of these: a phrase is remembered for the place it begins at
and used by every reading of the sentence. Named tuples, as quick to compare as to make.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from kitmaker.errors import NotSureError
from kitmaker.lengths import Length


class UnsureError(NotSureError):
    """What a sentence means is not sure, so it must be asked about."""

    usual = "Type count, size and what it is: (5) 2 1/2 x 4 1/2 rectangles."


def unsure_if(is_unsure: object, message: str, suggestion: str = "") -> None:
    """Refuse what is not sure, with an UnsureError."""
    if is_unsure:
        raise UnsureError(message, suggestion)


class Item(NamedTuple):
    """A count, a size and a noun, each at most once, in any order."""

    count: int | None = None  # type: ignore[assignment]  # how many; None where it is not said
    size: tuple[Length, ...] = ()  # one or two measures in inches; () where none is said
    noun: str = ""  # ``square``, ``strip``, …; ""
    is_plural: bool = False  # whether the noun, or what stands for it, is of several
    across: bool = False  # whether it goes across the whole fabric
    along: bool = False  # whether it lies along the selvage
    diagonal: int = 0  # how often its squares are cut on the diagonal
    shape: str = ""  # a shape that is no rectangle; ""
    is_for_shape: bool = False  # whether such a shape stands in what it is for only
    is_bare: bool = False  # whether its first measure, whole and without a unit, may be a count
    follows_at: bool = False  # whether its size stands behind @ or at
    is_each: bool = False  # whether "each" stands behind it
    is_total: bool = False  # whether the count says that it is a total
    is_count_times: bool = False  # whether its count stands before ×
    lost_gap: bool = False  # whether a measure lost the gap before its fraction
    label: str = ""  # the letter or number that names it; ""
    words: tuple[str, ...] = ()  # the words of what it is, or is for, in their order
    is_final: bool = False  # whether what it is for says that it is used as it is
    finish: str = ""  # ``finished`` or ``unfinished`` where its size is one; ""
    is_of_block: bool = False  # whether that is the size of the blocks it stands beside
    finished_size: tuple[Length, ...] = ()  # a finished size told beside the cut one; ()
    purpose: str = ""  # what stands behind "for"; ""

    @property
    def is_strip(self) -> bool:
        """Whether it is a strip across the fabric, by its words."""
        return self.across or (self.noun == "strip" and len(self.size) == 1)

    @property
    def says_strip(self) -> bool:
        """Whether its words say that it is a strip, whatever its size."""
        return self.across or self.noun == "strip"

    @property
    def is_length(self) -> bool:
        """Whether it is a measure behind @ alone: after strips, their length."""
        return self.follows_at and len(self.size) == 1 and not (self.noun or self.across)

    @property
    def may_be_square(self) -> bool:
        """Whether it can be cut on the diagonal."""
        return self.noun in ("", "square") and not self.across and len(set(self.size)) <= 1


class Source(NamedTuple):
    """What something is cut from."""

    kind: str  # ``cloth``, ``strip``, ``square``, ``piece``, ``these`` or ``rest``
    is_each: bool = False  # whether it says each
    count: int | None = None  # type: ignore[assignment]  # how many of them; None
    is_rest: bool = False  # whether it says the rest
    size: tuple[Length, ...] = ()  # their measures; ()
    along: bool = False  # the direction that stands in it
    across: bool = False
    has_words: bool = False  # whether it is named by words
    is_all: bool = False  # whether it is "the …" or "all …"
    says_all: bool = False  # whether it says all
    is_sewn: bool = False  # whether it is sewn of strips: a strip set
    of: str = ""  # ``print`` or ``cloth`` where it names the prints or the cut pieces of cloth; ""
    form: str = ""  # the id of the form that it names, where that is narrower than the bolt; ""


STRIPS = Source(kind="strip")
"""The strips at hand, whichever they are."""


class Verb(NamedTuple):
    """Cut, choose, have, needs: what begins a group of items."""

    word: str = "cut"


class SubCut(NamedTuple):
    """Sub-cut, cut … into, ``→``: pieces of the strips at hand."""

    source: Source


class CutUp(NamedTuple):
    """Ready-cut squares or cloths cut up: ``cut each 10" square into``; in so many ``parts``."""

    source: Source
    parts: int = 0


class Diagonal(NamedTuple):
    """A cut on the diagonal.

    Attributes:
        times: Once or twice.
        count: How many squares; None for those last named.
        who: "" for those last named, ``last`` where only the item before can be meant,
            ``all``, ``large``, ``small``, ``#`` with a label, or ``=`` for those of a size.
        size: That size, inches; None.
        says_times: Whether once or twice is said.
        binds_last: Whether it can only belong to the item before it.
    """

    times: int
    count: int | None = None  # type: ignore[assignment]
    who: str = ""
    size: Length | None = None
    says_times: bool = False
    binds_last: bool = True


class Check(NamedTuple):
    """A figure that the pattern states of what is cut.

    Attributes:
        kind: ``total``, ``need``, ``use``, ``can``, ``extra``, ``become``, ``of`` (n of m),
            ``sets`` (n of m), ``each print``, ``each strip``; ``share`` (6 per block), ``parts``
            (4 for the border, 6 for the binding: 10), or how many ``cloths`` there are.
        count: The figure.
        of: The second one; 0.
        noun: What it counts; "".
        is_bare: Whether it is a number alone in a bracket.
    """

    kind: str
    count: int  # type: ignore[assignment]
    of: int = 0
    noun: str = ""
    is_bare: bool = False


class Keep(NamedTuple):
    """``Set 4 strips aside``: so many stay as they are; None for those that are left."""

    count: int | None  # type: ignore[assignment]
    is_rest: bool = False
    size: tuple[Length, ...] = ()


class Sew(NamedTuple):
    """Sewing, trimming, pressing, up to the next cut."""

    joins: bool  # whether strips become one
    has_numbers: bool  # whether figures, counts, "each" stand in it
    speaks_of_rest: bool  # whether it speaks of the rest, or in doubt, before a cut
    trims: bool  # whether it only trims
    counts: bool
    says_each: bool
    is_before_cut: bool  # whether a cut stands behind it in the sentence


class Blocks(NamedTuple):
    """``for each of 9 blocks``, ``12 sets of``: a multiplier; ``is_sets`` for the second."""

    count: int  # type: ignore[assignment]
    is_sets: bool = False


class PerBlock(NamedTuple):
    """``per block``, where how many blocks there are is not said: a total must tell."""


class Making(NamedTuple):
    """``make 12 blocks``: sewing, or a multiplier of what is cut for one."""

    count: int | None  # type: ignore[assignment]  # how many; None where none is said
    is_unit: bool  # whether it names sewn units or triangles, which only come of the cuts
    is_cut: bool  # whether it may be cut: squares or rectangles with their size
    is_whole: bool  # whether the sentence says nothing else


class EachCount(NamedTuple):
    """``4 each of``: one count for every item behind it."""

    count: int  # type: ignore[assignment]


class Running(NamedTuple):
    """A running length sewn of strips: inches of width, inches in all."""

    width: Length
    total: Length
    is_bias: bool = False


class StripWidth(NamedTuple):
    """``each is cut 3½" wide``: the width of what is counted above or below."""

    width: Length


class Heading(NamedTuple):
    """``Cut the borders lengthwise``: the direction of what is named; of all where none is."""

    along: bool
    names: frozenset[str] = frozenset()


class Way(NamedTuple):
    """A direction by itself."""

    along: bool


class Chosen(NamedTuple):
    """``Choose 30 squares``: of the ready-cut ones, to cut up; ``is_cut`` if used as they are."""

    source: Source
    is_cut: bool


class Panel(NamedTuple):
    """``Trim the panel to 22½" × 34½"``."""

    item: Item


class Needs(NamedTuple):
    """``needs 3 strips``: what the items before take."""

    item: Item
    is_verb: bool


class Make(NamedTuple):
    """``to make``, ``you will have``: what follows is what comes of it."""


class Totals(NamedTuple):
    """``a total of``: what follows is for all; ``is_verb`` where it begins a group."""

    is_verb: bool


class Note(NamedTuple):
    """Words that change nothing; ``is_final`` where they say that a piece is used as it is."""

    is_final: bool = False
    words: str = ""


class Both(NamedTuple):
    """Two phrases in one bracket."""

    first: Phrase
    second: Phrase


Phrase = tuple[Any, ...]
"""Anything a sentence says: an item, a source, or one of the phrases above."""

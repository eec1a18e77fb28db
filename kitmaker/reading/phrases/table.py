"""The cutting table while a text is read: what lies on it, as frozen values.

Every act gives a new table, so a sentence that cannot be read leaves nothing behind, and
two readings of a sentence that come to the same table are one.
"""

from __future__ import annotations

from collections import Counter
from typing import Any, NamedTuple

from kitmaker.lengths import Length
from kitmaker.pattern import Shape
from kitmaker.reading.phrases.parts import Check, Diagonal, Item, Source

LONGEST_ACROSS: Length = Length(45)
"""Inches: what is longer and not along is joined of strips. Common practice, no source."""


class Laid(NamedTuple):
    """One kind of piece on the table."""

    count: int  # type: ignore[assignment]  # how many in all
    width: Length  # inches; of a strip its width
    length: Length | None  # inches; None for a strip across the whole fabric
    noun: str = ""  # ``square``, ``strip``, …; ""
    diagonal: int = 0  # how often its squares are cut on the diagonal
    along: bool = False  # whether it lies along the selvage
    each: int = 1  # the number of prints, or of blocks, the count is for; 1 elsewhere
    is_of_blocks: bool = False  # whether it is of blocks
    is_named: bool = False  # whether words tell what it is for, so that it is hardly cut on
    is_short_strip: bool = False  # whether it is called a strip and has a length
    is_running: bool = False  # whether it is a running length, joined of strips
    is_bias: bool = False  # whether that is cut on the bias
    is_of_fabric_length: bool = False  # whether its length is that of the whole fabric
    line: int = 0  # the number of its line
    confirmed: str = ""  # ``total`` or ``strips`` where the text itself confirms it; ""
    label: str = ""  # its letter; ""
    words: tuple[str, ...] = ()  # what is said of it besides
    purpose: str = ""
    is_final: bool = False  # whether it is used as it is
    lost_gap: bool = False  # whether a measure lost the gap before its fraction
    form: str = ""  # the id of the narrow form that it is cut from, where its text names one; ""
    shape: Shape | None = None  # what it becomes where its finished size was stated; else None
    formula: str | None = None  # how its size follows from that; None
    advice: tuple[
        tuple[str, str], ...
    ] = ()  # what a person should look at, each with what to type instead

    @property
    def is_strip(self) -> bool:
        """Whether it goes across the whole fabric."""
        return self.length is None

    @property
    def is_square(self) -> bool:
        """Whether its sides are alike."""
        return self.length == self.width

    @property
    def triangles(self) -> int:
        """How many pieces there are once they are cut on the diagonal."""
        return int(self.count * 2**self.diagonal)

    @property
    def is_long(self) -> bool:
        """Whether it is longer than the cloth is wide, so joined of strips or cut lengthwise."""
        return self.length is not None and self.length > LONGEST_ACROSS

    @property
    def is_unnamed_piece(self) -> bool:
        """Whether nothing but a size is said of it, and it may come of a strip."""
        return not (self.is_strip or self.is_named or self.is_short_strip)

    @property
    def sides(self) -> tuple[Length, ...]:
        """Its measures."""
        return (self.width,) if self.length is None else (self.width, self.length)

    @property
    def of_each(self) -> int:
        """How many there are of each print."""
        return self.count // self.each


class Group(NamedTuple):
    """What a verb has gathered: it is cut at the next verb, or at the end of the sentence."""

    verb: str = ""  # ``cut``, ``choose``, ``need``, ``have``, ``panel``, …; ""
    items: tuple[Item, ...] = ()  # what it cuts
    source: Source | None = None  # what it cuts from
    sub: Source | None = None  # the strips it cuts on; None where it cuts from cloth
    blocks: int | None = None  # a multiplier
    is_sets: bool = False  # whether that is "sets of"
    along: bool = False  # the direction of all items
    across: bool = False
    checks: tuple[Check, ...] = ()  # what is stated of them, what is cut on the diagonal
    diagonals: tuple[Diagonal, ...] = ()
    each_count: int | None = None  # one count for all items
    parts: int = 0  # how many parts each ready-cut piece becomes
    is_total: bool = False  # whether the counts are totals
    is_per_block: bool = False  # whether they are for each of blocks whose number is not said

    def with_last(self, **fields: Any) -> Group:
        """Return the group with its last item changed."""
        return self._replace(items=(*self.items[:-1], self.items[-1]._replace(**fields)))

    @property
    def is_new(self) -> bool:
        """Whether nothing was gathered yet."""
        return self == Group()


class Opened(NamedTuple):
    """Strips that are being cut, of which more may come: the strip, how many, its pieces."""

    strip: Laid
    count: int  # type: ignore[assignment]
    pieces: tuple[Laid, ...]


class Table(NamedTuple):
    """All that is known between two phrases."""

    cuts: tuple[Laid, ...] = ()  # what lies there
    hand: tuple[int, ...] = ()  # the places in ``cuts`` of the strips last laid
    rest: tuple[int, ...] = ()  # of strips that were cut on in part, the place of those left whole
    kept: int = 0  # how many of the strips at hand are set aside
    last: tuple[int, ...] = ()  # the places of what was cut last
    opened: Opened | None = None  # strips that are being cut
    is_sewn: bool = False  # whether pieces were sewn since: what is cut then is of what was sewn
    joined: tuple[int, ...] = ()  # the places of strips that were sewn together
    chosen: int | None = None  # how many ready-cut squares were chosen to be cut up
    chosen_width: Length | None = None  # their width
    multiplier: int | None = None  # what a heading multiplies by; None for nothing
    is_of_blocks: bool = False  # whether that is a number of blocks, and not of prints
    is_multiplier_unsure: bool = False  # whether a heading may still multiply
    form: str = ""  # the narrow form that a heading cuts from; ""
    lead: Source | None = None  # the source of the sentence's beginning
    along: bool = False  # whether a heading lays everything along
    along_names: frozenset[str] = frozenset()  # what it lays along, where it names something
    was_along: bool = False  # whether what came before lies along
    listing: Source | None = None  # the strips that a list below is cutting
    is_list_doubtful: bool = False  # whether that shows by the list's marks only
    strip_width: Length | None = None  # a width said for what is counted elsewhere
    is_loose: bool = False  # whether a heading's "each" had its pieces on its own line
    loose_multiplier: int | None = None  # what it multiplied by there
    group: Group = Group()  # what is being gathered
    last_group: Group | None = None  # what was gathered before
    line: int = 0  # the number of the line
    first_new: int = 0  # how many cuts there were before the sentence

    def gather(self, group: Group) -> Table:
        """Return the table with another group."""
        return self._replace(group=group)

    def expect(self, figure: Check) -> Table:
        """Return the table with a figure to be held against what its group cuts."""
        return self.gather(self.group._replace(checks=(*self.group.checks, figure)))

    def lay(self, *new: Laid, **fields: Any) -> Table:
        """Return the table with more pieces on it, which are the last."""
        last = tuple(range(len(self.cuts), len(self.cuts) + len(new)))
        return self._replace(**{"cuts": (*self.cuts, *new), "last": last, **fields})

    def alter(self, place: int, **fields: Any) -> Table:
        """Return the table with the piece at a place changed."""
        cuts = list(self.cuts)
        cuts[place] = cuts[place]._replace(**fields)
        return self._replace(cuts=tuple(cuts))

    def advise(self, places: tuple[int, ...], text: str, suggestion: str) -> Table:
        """Return the table with something to look at beside the pieces at places."""
        table = self
        for at in places:
            table = table.alter(at, advice=(*table.cuts[at].advice, (text, suggestion)))
        return table

    def strips(self) -> tuple[Laid, ...]:
        """Return the strips at hand."""
        return tuple(self.cuts[at] for at in self.hand)

    def pieces(self) -> tuple[Laid, ...]:
        """Return what was cut last."""
        return tuple(self.cuts[at] for at in self.last)

    @property
    def has_strips(self) -> bool:
        """Whether strips are there to be cut on."""
        return bool(self.hand or self.opened or self.joined or self.rest)

    def meaning(self) -> tuple[object, ...]:
        """Return what tells two readings apart: the pieces, and what is left lying."""
        counts: Counter[tuple[object, ...]] = Counter()
        for laid in self.cuts:
            counts[laid.width, laid.length, laid.diagonal, laid.along, laid.shape] += laid.count
        return (
            frozenset(counts.items()),
            *(self.rest, self.kept, self.joined, self.chosen),
            *(self.multiplier, self.is_multiplier_unsure, self.along, self.listing),
        )

"""The cutting table while a text is read: what lies on it, as frozen values.

Every act gives a new table, so a sentence that cannot be read leaves nothing behind, and
two readings of a sentence that come to the same table are one.
"""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from kitmaker.lengths import Length
from kitmaker.pattern import Shape
from kitmaker.reading.phrases.parts import Check, Diagonal, Item, Source, changed

LONGEST_ACROSS: Length = Length(45)
"""Inches: what is longer and not along is joined of strips. Common practice, no source."""


class Laid(NamedTuple):
    """One kind of piece on the table.

    Attributes:
        count: How many in all.
        width: Inches; of a strip its width.
        length: Inches; None for a strip across the whole fabric.
        noun: ``square``, ``strip``, …; "".
        diagonal: How often its squares are cut on the diagonal.
        along: Whether it lies along the selvage.
        each: The number of prints, or of blocks, the count is for; 1 elsewhere.
        is_of_blocks: Whether it is of blocks.
        is_named: Whether words tell what it is for, so that it is hardly cut on.
        is_short_strip: Whether it is called a strip and has a length.
        is_running: Whether it is a running length, joined of strips.
        is_bias: Whether that is cut on the bias.
        is_of_fabric_length: Whether its length is that of the whole fabric.
        line: The number of its line.
        confirmed: ``total`` or ``strips`` where the text itself confirms it; "".
        label: Its letter; "".
        words, purpose: What is said of it besides.
        is_final: Whether it is used as it is.
        lost_gap: Whether a measure lost the gap before its fraction.
        is_doubtful: Whether what it is cut from is only likely.
        shape: What it becomes where its finished size was stated; else None.
        formula: How its size follows from that; None.
        advice: What a person should look at, each with what to type instead.
    """

    count: int  # type: ignore[assignment]
    width: Length
    length: Length | None
    noun: str = ""
    diagonal: int = 0
    along: bool = False
    each: int = 1
    is_of_blocks: bool = False
    is_named: bool = False
    is_short_strip: bool = False
    is_running: bool = False
    is_bias: bool = False
    is_of_fabric_length: bool = False
    line: int = 0
    confirmed: str = ""
    label: str = ""
    words: tuple[str, ...] = ()
    purpose: str = ""
    is_final: bool = False
    lost_gap: bool = False
    is_doubtful: bool = False
    shape: Shape | None = None
    formula: str | None = None
    advice: tuple[tuple[str, str], ...] = ()

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
    """What a verb has gathered: it is cut at the next verb, or at the end of the sentence.

    Attributes:
        verb: ``cut``, ``choose``, ``need``, ``have``, ``joined``, ``panel``, …; "".
        items: What it cuts.
        source: What it cuts from.
        sub: The strips it cuts on; None where it cuts from cloth.
        blocks: A multiplier.
        is_sets: Whether that is "sets of".
        along, across: The direction of all items.
        checks, diagonals: What is stated of them, what is cut on the diagonal.
        each_count: One count for all items.
        parts: How many parts each ready-cut piece becomes.
        is_total: Whether the counts are totals.
        is_per_block: Whether they are for each of blocks whose number is not said.
    """

    verb: str = ""
    items: tuple[Item, ...] = ()
    source: Source | None = None
    sub: Source | None = None
    blocks: int | None = None
    is_sets: bool = False
    along: bool = False
    across: bool = False
    checks: tuple[Check, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()
    each_count: int | None = None
    parts: int = 0
    is_total: bool = False
    is_per_block: bool = False

    def but(self, **fields: object) -> Group:
        """Return the group with other fields."""
        return changed(self, **fields)

    def with_last(self, **fields: object) -> Group:
        """Return the group with its last item changed."""
        return changed(self, items=(*self.items[:-1], changed(self.items[-1], **fields)))

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
    """All that is known between two phrases.

    Attributes:
        cuts: What lies there.
        hand: The places in ``cuts`` of the strips last laid.
        rest: Of strips that were cut on in part, the place of those left whole.
        kept: How many of the strips at hand are set aside.
        last: The places of what was cut last.
        opened: Strips that are being cut.
        is_sewn: Whether pieces were sewn since: what is cut then is of what was sewn.
        joined: The places of strips that were sewn together.
        chosen: How many ready-cut squares were chosen to be cut up.
        chosen_width: Their width, where it is said with them.
        multiplier: What a heading multiplies by; None for nothing.
        is_of_blocks: Whether that is a number of blocks, and not of prints.
        is_multiplier_unsure: Whether a heading may still multiply.
        lead: The source of the sentence's beginning.
        along: Whether a heading lays everything along.
        along_names: What it lays along, where it names something.
        was_along: Whether what came before lies along.
        listing: The strips that a list below is cutting.
        is_list_doubtful: Whether that shows by the list's marks only.
        strip_width: A width said for what is counted elsewhere.
        is_loose: Whether a heading's "each" had its pieces on its own line.
        loose_multiplier: What it multiplied by there.
        group: What is being gathered.
        last_group: What was gathered before.
        line: The number of the line.
        first_new: How many cuts there were before the sentence.
    """

    cuts: tuple[Laid, ...] = ()
    hand: tuple[int, ...] = ()
    rest: tuple[int, ...] = ()
    kept: int = 0
    last: tuple[int, ...] = ()
    opened: Opened | None = None
    is_sewn: bool = False
    joined: tuple[int, ...] = ()
    chosen: int | None = None
    chosen_width: Length | None = None
    multiplier: int | None = None
    is_of_blocks: bool = False
    is_multiplier_unsure: bool = False
    lead: Source | None = None
    along: bool = False
    along_names: frozenset[str] = frozenset()
    was_along: bool = False
    listing: Source | None = None
    is_list_doubtful: bool = False
    strip_width: Length | None = None
    is_loose: bool = False
    loose_multiplier: int | None = None
    group: Group = Group()
    last_group: Group | None = None
    line: int = 0
    first_new: int = 0

    def gather(self, group: Group) -> Table:
        """Return the table with another group."""
        return changed(self, group=group)

    def expect(self, said: Check) -> Table:
        """Return the table with a figure to be held against what its group cuts."""
        return self.gather(changed(self.group, checks=(*self.group.checks, said)))

    def lay(self, *new: Laid, **fields: object) -> Table:
        """Return the table with more pieces on it, which are the last."""
        last = tuple(range(len(self.cuts), len(self.cuts) + len(new)))
        return changed(self, **{"cuts": (*self.cuts, *new), "last": last, **fields})

    def alter(self, place: int, **fields: object) -> Table:
        """Return the table with the piece at a place changed."""
        cuts = list(self.cuts)
        cuts[place] = changed(cuts[place], **fields)
        return changed(self, cuts=tuple(cuts))

    def advise(self, places: tuple[int, ...], said: str, suggestion: str) -> Table:
        """Return the table with something to look at beside the pieces at places."""
        table = self
        for at in places:
            table = table.alter(at, advice=(*table.cuts[at].advice, (said, suggestion)))
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

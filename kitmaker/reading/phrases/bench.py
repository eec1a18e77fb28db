"""What a group of items is cut from, and what comes of it: the cloth itself, or strips.

A group is closed at the next verb or at the end of its sentence. Where its count is for each
of several, or what it is cut from, is not sure, it is asked about.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.reading.phrases.controls import AGREE, check
from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import STRIPS, Check, Item, Source, unsure_if
from kitmaker.reading.phrases.settling import USUAL_WIDTH, Holds, holds, settle
from kitmaker.reading.phrases.strips import (
    TYPE_WHICH,
    cut_diagonally,
    joined_gives,
    sub_cut,
)
from kitmaker.reading.phrases.table import LONGEST_ACROSS, Group, Laid, Table

TYPE_TOTAL = "Type the count for all of them together."
_EACH_OF_WHAT = "each of what is not said"
_EACH_OF_TWO = "it says each of two things"
_REST = "whether the rest is one or each of several is not said"
_TAKEN_OF_STRIPS = (
    "they are read as cut from the strips above, which just hold them",
    "Type sub-cut into before them if that is right; else put them above the strips.",
)


@dataclass(frozen=True, slots=True)
class Setting:
    """Where a sentence stands."""

    is_first: bool  # whether it begins its line
    opens_list: bool  # whether it ends so that the lines below go on with it


@dataclass(frozen=True, slots=True)
class _Of:
    """What items are cut from: a source of their own, their group, the number they are for."""

    source: Source | None
    group: Group
    multiplier: int | None
    along: bool = False


class Bench:
    """Closes groups of items, for one fabric."""

    def __init__(self, facts: FabricFacts) -> None:
        """Take what is known of the fabric."""
        self.facts = facts
        self.known = {count for count in (facts.prints, facts.cloths) if count}

    # ---- closing a group -------------------------------------------------------------------------

    def commit(self, table: Table, end: Setting | None = None) -> Table:
        """Return the table with what was gathered cut; ``end`` at the end of the sentence.

        Raises:
            UnsureError: What it means is not sure.
        """
        group = table.group
        if not group.items:
            return self._commit_without_items(table, group, end)
        if group.verb == "have":
            return self._restate(table, group)
        for item in group.items if group.verb == "need" else ():
            same = [cut for cut in table.cuts if item.size and set(cut.sides) == set(item.size)]
            is_other = same and item.count not in (None, same[-1].count)
            unsure_if(is_other, f"it needs {item.count}, and other counts are cut", AGREE)
        items = _directed(group, _counted(group))
        sub = self._what_is_cut_on(table, group, items)
        source = None if sub is group.source else group.source
        items = _totaled(group, items, sub)
        if sub is None:
            table = self.whole(table._replace(listing=None), items, source, group)
        else:
            is_each = source and source.is_each
            unsure_if(group.blocks or (is_each and not table.hand), _EACH_OF_WHAT, TYPE_TOTAL)
            of_strips = all(strip.each > 1 for strip in table.strips())
            unsure_if(is_each and not of_strips, _EACH_OF_TWO, TYPE_TOTAL)
            table = self._sub_cut(table, items, sub)
        return self._hold(table, group, table.last)._replace(last_group=group)

    def _sub_cut(self, table: Table, items: tuple[Item, ...], of: Source) -> Table:
        cut = sub_cut(table, items, of, self.facts, is_known=bool(self.known))
        ready = Source(kind="cloth", is_each=True, of="cloth")
        return self.whole(table, items, ready, Group()) if cut is None else cut

    def _hold(self, table: Table, group: Group, last: tuple[int, ...] | None = None) -> Table:
        """Cut on the diagonal what stands behind a group, and hold figures against it."""
        for diagonal in group.diagonals:
            table = cut_diagonally(table, diagonal)
        for figure in group.checks:
            table = check(table, figure, table.last if last is None else last, self.facts)
        return table.gather(Group())

    def _what_is_cut_on(self, table: Table, group: Group, items: tuple[Item, ...]) -> Source | None:
        """Return the strips that the items are cut from; None where it is the cloth."""
        source = group.source
        if group.sub is not None:
            return group.sub
        if source is not None:
            is_strip = source.kind == "strip" and (table.hand or table.opened or table.joined)
            return source if is_strip or source.kind == "these" else None
        in_list = table.listing is not None and not group.verb
        if in_list and all(_belongs_to_list(item, table) for item in items):
            return table.listing
        # After a strip line, @ gives the length.
        at_only = all(item.is_length for item in items) and len(table.hand) == 1
        return STRIPS if at_only else None

    def _restate(self, table: Table, group: Group) -> Table:
        cut = [(laid.count, set(laid.sides)) for laid in table.cuts]
        for item in group.items:
            said = settle(item, self.facts)
            is_new = (said.count, set(said.sides)) not in cut
            unsure_if(is_new, "whether this is cut, or comes of what is cut, is not said")
        return table._replace(group=Group(), last_group=group)

    def _commit_without_items(self, table: Table, group: Group, end: Setting | None) -> Table:
        source, opens = group.source, end is not None and end.opens_list
        has_head = group.along or group.across or source or group.blocks
        trails = end is not None and has_head and len(table.cuts) > table.first_new
        unsure_if(trails and not opens, "what the end of the sentence belongs to is not said")
        is_each = group.blocks or (source and source.is_each)
        is_alone = end is not None and not (opens or group.verb or end.is_first)
        unsure_if(is_alone and is_each, _EACH_OF_WHAT, TYPE_TOTAL)
        if source is not None:
            of_size = source.is_each and source.count and source.size
            is_piece = of_size and not opens and not group.verb
            unsure_if(source.kind == "square" or is_piece, _EACH_OF_WHAT, TYPE_TOTAL)
        if source is not None and group.sub is None:
            table = self._head(table, group, source)
        elif group.blocks:
            table = table._replace(multiplier=_times(group.blocks), is_of_blocks=True)
        elif group.sub is not None:
            unsure_if(not opens, "what the strips are cut into is not said")
            unsure_if(not table.hand, "the strips it is cut from are not above it", TYPE_WHICH)
            table = table._replace(listing=group.sub)
        if (group.along or group.across) and end is not None:
            table = table._replace(along=group.along)
        return self._hold(table, group)

    def _head(self, table: Table, group: Group, source: Source) -> Table:
        """Return the table below a heading such as ``From each print, cut:``."""
        table = table._replace(is_loose=False, loose_multiplier=None)
        multiplies = table.multiplier is not None or table.is_multiplier_unsure
        if source.is_rest and source.is_each and source.count:
            are_all = self.facts.count_of(source.of) == (table.multiplier or 0) + source.count
            unsure_if(not are_all, "how many remain is not said", TYPE_TOTAL)
            source = source._replace(is_rest=False)
        along = source.along or group.along
        if source.is_rest:
            of_other = source.kind != "rest" and multiplies and not (table.hand or table.rest)
            unsure_if(of_other or (source.kind == "cloth" and (multiplies or self.known)), _REST)
            return table._replace(hand=(), along=along)
        multiplier = self.multiplier_of(source, table.chosen)
        return table._replace(
            multiplier=_times(group.blocks) if group.blocks else multiplier,
            is_of_blocks=bool(group.blocks),
            is_multiplier_unsure=False,
            opened=None,
            hand=(),
            form=source.form,
            along=along,
            listing=None,
            chosen=None,
        )

    def multiplier_of(self, source: Source, chosen: int | None = None) -> int | None:
        """Return what "each" multiplies by; None for nothing.

        Raises:
            UnsureError: How many there are is not sure.
        """
        count = source.count
        if not source.is_each:
            all_of_it = source.kind == "cloth" and source.is_all and count in self.known
            unsure_if(
                count not in (None, 1) and not all_of_it,
                f"whether this is of each of the {count}, or in all, is not said",
                TYPE_TOTAL,
            )
            return None
        unsure_if(source.is_rest, "how many remain is not said", TYPE_TOTAL)
        if count is not None:
            most = max(self.known, default=count)
            is_more = count > most
            unsure_if(is_more, f"it says each of {count}, and the fabric has {most}", AGREE)
            return count
        count = chosen if chosen and source.kind == "cloth" else self.facts.count_of(source.of)
        unsure_if(
            count is None,
            "'each' is not read: how many there are is not stated",
            "Type the number of prints in the Prints column.",
        )
        return count

    # ---- from the cloth --------------------------------------------------------------------------

    def whole(
        self, table: Table, items: tuple[Item, ...], source: Source | None, group: Group
    ) -> Table:
        """Return the table with items cut from the cloth itself."""
        multiplier = self._multiplier(table, items, source, group)
        along = table.along or bool(source and source.along)
        goes_on = not group.verb
        if table.is_loose and goes_on and not (source or multiplier or group.blocks):
            multiplier = table.loose_multiplier
            is_unsure = not multiplier and not along
            unsure_if(is_unsure, "whether this is for each as well is not said", TYPE_TOTAL)
        is_lead = source is not None and source.is_each and source is table.lead
        table = table._replace(
            is_loose=is_lead or (table.is_loose and goes_on),
            loose_multiplier=table.loose_multiplier if goes_on or source else None,
        )
        of = _Of(source, group, multiplier, along)
        new = [self._settled(table, item, of) for item in self._of_ready_width(table, items)]
        was_along = bool(group.along or (source and source.along) or (table.was_along and goes_on))
        table = table._replace(was_along=was_along)
        kept = _without_joined(table, new)
        if kept or not new:
            return self._laid(table, kept, items, of)
        need = Fraction(sum(laid.count * (laid.length or 0) for laid in new))
        return (joined_gives(table, need, self.facts) if table.joined else table)._replace(last=())

    def _multiplier(
        self, table: Table, items: tuple[Item, ...], source: Source | None, group: Group
    ) -> int | None:
        multiplier = table.multiplier
        several = self.known - {1} or (source is not None and (source.count or 0) > 1)
        if source is not None and source.says_all and source.kind == "cloth" and several:
            told = group.is_total or any(item.is_total for item in items)
            told = told or any(figure.kind in ("total", "need") for figure in group.checks)
            unsure_if(not told, "whether this is of each or of all is not said", TYPE_TOTAL)
        of_own = group.verb or source or group.blocks
        if source is not None:
            self._refuse_source(table, source, group)
            if (source.count or 0) > 1 and all(item.is_each for item in items):
                source = source._replace(is_each=True)
            if source.is_each or source.count is not None:
                multiplier = self.multiplier_of(source, table.chosen)
            elif not source.is_rest and multiplier and source is not table.lead:
                is_other = source.has_words or source.kind != "cloth"
                unsure_if(is_other, "whether this is for each as said above is not said")
        multiplier = group.blocks or multiplier
        if group.parts:
            in_all = group.parts * (multiplier or 0)
            is_told = len(items) == 1 and items[0].count in (group.parts, in_all)
            unsure_if(not is_told, "how many each is cut into is not said for sure", TYPE_TOTAL)
            multiplier = multiplier if items[0].count == group.parts else None
        is_unsure = table.is_multiplier_unsure and not of_own
        unsure_if(is_unsure, "whether this is still for each is not said", TYPE_TOTAL)
        return multiplier

    def _refuse_source(self, table: Table, source: Source, group: Group) -> None:
        multiplies = table.multiplier is not None and source is not table.lead
        is_strip = source.kind in ("strip", "these")
        if source.is_rest:
            is_of_what = is_strip or source.kind == "cloth"
            unsure_if(is_of_what, "what the rest is of is not said", TYPE_WHICH)
            unsure_if(table.is_loose or (multiplies and not source.is_each), _REST)
        unsure_if(group.blocks and source.is_each, _EACH_OF_TWO, TYPE_TOTAL)
        is_missing = is_strip and not self.facts.prints_are_strips
        unsure_if(is_missing, "the strips it is cut from are not above it", TYPE_WHICH)

    def _of_ready_width(self, table: Table, items: tuple[Item, ...]) -> tuple[Item, ...]:
        """Give items of one measure the width of the strips they are cut from."""
        width = self.facts.ready_cut if self.facts.prints_are_strips else None
        if width is None and table.joined:
            width = table.cuts[table.joined[0]].width
        if not width:
            return items
        return tuple(
            item._replace(size=(width, *item.size))
            if len(item.size) == 1
            and item.size[0] != width
            and not item.across
            and item.noun in ("piece", "border", "", "rectangle")
            else item
            for item in items
        )

    def _settled(self, table: Table, item: Item, of: _Of) -> Laid:
        group, multiplier = of.group, of.multiplier
        names = {word.rstrip("s") for word in item.words}
        if (of.along or table.along_names & names) and not item.across:
            item = item._replace(along=True)
        of_cloth = group.source is not None and (group.source.count or 0) > 1
        is_each = item.is_each and (multiplier or self.known) and not of_cloth
        unsure_if(is_each, _EACH_OF_WHAT, TYPE_TOTAL)
        is_total = (item.is_total or group.is_total) and multiplier
        unsure_if(is_total, "whether a total is for each is not said", TYPE_TOTAL)
        is_for_each = item.finish and multiplier
        unsure_if(is_for_each, "whether this is for each or for all is not said", TYPE_TOTAL)
        laid = settle(item, self.facts, width=table.strip_width)
        unsure_if(
            item.finish and any(cut.sides == laid.sides for cut in table.cuts),
            "the same cut stands above it, and these may be sewn of it",
            "Leave out one of the two.",
        )
        for_block = group.blocks and laid.is_strip
        unsure_if(for_block, "whether whole strips are cut for each block is not said")
        was_along = (table.along_names and not item.words) or (table.was_along and not group.verb)
        is_unsure = laid.is_long and not laid.along and was_along
        unsure_if(is_unsure, "whether this lies lengthwise too is not said", "Add lengthwise.")
        times = multiplier or 1
        own_source = group.source is not None and group.source.is_each
        of_blocks = bool(group.blocks) or (table.is_of_blocks and not own_source)
        return laid._replace(
            count=laid.count * times,
            each=times,
            is_of_blocks=of_blocks and times > 1,
            form=of.source.form if of.source is not None else table.form,
            line=table.line,
        )

    def _laid(self, table: Table, new: list[Laid], items: tuple[Item, ...], of: _Of) -> Table:
        meant = self._of_strips_above(table, new, items, of)
        if meant is None:
            meant = self._of_strips_beside(table, new, items, of)
        if meant is not None:
            return meant
        first = len(table.cuts)
        strips = tuple(first + at for at, laid in enumerate(new) if laid.is_strip)
        short = tuple(first + at for at, laid in enumerate(new) if laid.is_short_strip)
        fresh = {"rest": (), "kept": 0, "joined": (), "is_sewn": False, "opened": None}
        return table.lay(*new, hand=strips or short, listing=None, **fresh)

    def _of_strips_above(
        self, table: Table, new: list[Laid], items: tuple[Item, ...], of: _Of
    ) -> Table | None:
        """Return the table where pieces of the width of the strips above are cut from them.

        ``Cut 2 strips 5" × WOF`` and below ``8 rectangles 5" × 9"``: two strips just hold
        them, so they are meant. Where the strips hold them easily both readings are honest.
        """
        strips = table.strips()
        if len(strips) != 1 or of.source is not None or not new:
            return None
        strip = strips[0]
        fits = all(laid.is_unnamed_piece and strip.width in laid.sides for laid in new)
        if not fits or strip.is_final or not strip.is_strip:
            return None
        fit = holds(strip, strip.count, new, self.facts)
        same_line, several = strip.line == table.line, strip.count > 1
        if fit is Holds.JUST and not strip.is_named and (several or same_line):
            table = self._sub_cut(table, items, STRIPS)
            return table if same_line else table.advise(table.last, *_TAKEN_OF_STRIPS)
        unsure_if(
            same_line or (fit is not Holds.NOT and (several or not strip.is_named)),
            "whether they are cut from the strips above, or beside them, is not said",
            "Type sub-cut into before them, or put the strips on a line of their own.",
        )
        return None

    def _of_strips_beside(
        self, table: Table, new: list[Laid], items: tuple[Item, ...], of: _Of
    ) -> Table | None:
        """Return the table where pieces are cut from the strips that their group begins with."""
        pieces = [laid for laid in new if laid.length is not None]
        if not new or not pieces or not new[0].is_strip:
            return None
        strip, group = new[0], of.group
        of_width = [piece for piece in pieces if strip.width in piece.sides and not strip.is_final]
        if not of_width:
            return None
        fit = holds(strip, strip.count, pieces, self.facts)
        alone = len(of_width) == len(new) - 1 and strip.count > 1 and not strip.is_named
        if fit is Holds.JUST and alone and not group.verb and not of.multiplier:
            first = group._replace(items=items[:1])
            laid = self.whole(table._replace(listing=None), items[:1], of.source, first)
            return self._sub_cut(laid, items[1:], STRIPS)
        is_unsure = fit is not Holds.NOT
        message = "whether they are cut from the strips, or beside them, is not said"
        unsure_if(is_unsure, message, TYPE_WHICH)
        return None


def _times(blocks: int) -> int | None:
    return blocks if blocks != 1 else None


def _counted(group: Group) -> tuple[Item, ...]:
    is_unsure = group.is_sets and len(group.items) > 1
    unsure_if(is_unsure, "what a set holds is not said for sure", TYPE_TOTAL)
    if group.each_count is None:
        return group.items
    unsure_if(len(group.items) < 2, _EACH_OF_WHAT, TYPE_TOTAL)
    return tuple(
        item._replace(count=group.each_count) if item.count is None else item
        for item in group.items
    )


def _totaled(group: Group, items: tuple[Item, ...], sub: Source | None) -> tuple[Item, ...]:
    """Return items with the total that is stated where their count is for each, or missing."""
    totals = [figure for figure in group.checks if figure.kind in ("total", "need")]
    if group.is_per_block:
        return _of_blocks(items, totals)
    is_open = len(items) == 1 and items[0].count is None and not (sub and sub.is_each)
    if is_open and totals:
        noun = items[0].noun
        if noun in ("", "piece", totals[0].noun) or not totals[0].noun:
            items = (items[0]._replace(count=totals[0].count),)
    return items


def _of_blocks(items: tuple[Item, ...], totals: list[Check]) -> tuple[Item, ...]:
    """Return what is counted for each block as the total that is stated."""
    count = items[0].count
    total = totals[0].count if len(totals) == 1 and len(items) == 1 else 0
    is_told = total and count and total % count == 0
    unsure_if(not is_told, "for how many blocks this is, is not said", TYPE_TOTAL)
    return (items[0]._replace(count=total),)


def _directed(group: Group, items: tuple[Item, ...]) -> tuple[Item, ...]:
    if group.along:
        items = tuple(item if item.across else item._replace(along=True) for item in items)
    if group.across:
        items = tuple(item if item.along else item._replace(across=True) for item in items)
    return items


def _belongs_to_list(item: Item, table: Table) -> bool:
    strips = table.strips() or ((table.opened.strip,) if table.opened else ())
    is_strip = item.noun in ("strip", "border") and len(item.size) < 2
    if not strips or item.across or is_strip:
        return False
    return not table.is_list_doubtful or strips[0].width in item.size


def _without_joined(table: Table, new: list[Laid]) -> list[Laid]:
    """Leave out what is cut of strips that were joined: the strips are the demand."""
    strips = [table.cuts[at] for at in table.joined]
    kept: list[Laid] = []
    for laid in new:
        pool = strips or ([*table.cuts, *new] if laid.is_long else [])
        of = [
            strip for strip in pool if strip.is_strip and strip.width in laid.sides and laid.length
        ]
        if of and not laid.along:
            _hold_joined(of, laid, new, is_sewn=bool(strips))
        else:
            kept.append(laid)
    return kept


def _hold_joined(of: list[Laid], laid: Laid, new: list[Laid], *, is_sewn: bool) -> None:
    count, width = sum(strip.count for strip in of), of[0].width
    needed = sum(
        piece.count * piece.length for piece in new if piece.length and width in piece.sides
    )
    is_unsure = not is_sewn and needed <= (count - 1) * USUAL_WIDTH
    unsure_if(is_unsure, "whether it is cut of the strips, or besides, is not said")
    is_short = count * LONGEST_ACROSS < laid.count * (laid.length or 0)
    unsure_if(is_short, "the joined strips are too short for it", "Look at the counts.")

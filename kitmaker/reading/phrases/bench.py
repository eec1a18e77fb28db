"""Acts on the cutting table: laying, cutting on, cutting on the diagonal, holding to figures.

A strip and its sub-cuts are one demand: strips that are cut on are replaced by what they are
cut into, strips that are not stay whole. ``Cut 9 strips 2½". Set 4 aside for the border.
Sub-cut the rest`` lays 9 at hand, keeps 4 back and cuts on 5; 4 stay whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.lengths import Length, say_size
from kitmaker.reading.phrases.controls import check
from kitmaker.reading.phrases.model import EachOf, FabricFacts
from kitmaker.reading.phrases.parts import Check, Diagonal, Item, Keep, Source, UnsureError, changed
from kitmaker.reading.phrases.settling import USUAL_WIDTH, Holds, holds, settle
from kitmaker.reading.phrases.table import Group, Laid, Opened, Table

LONGEST_ACROSS: Length = Length(45)
"""Inches: what is longer and not along is joined of strips. Common practice, no source."""
_STRIPS = Source(kind="strip")
_TYPE_WHICH = "Type how many strips are cut into what."
_TYPE_TOTAL = "Type the count for all of them together."
_TAKEN_OF_STRIPS = (
    "they are read as cut from the strips above, which just hold them",
    "Type sub-cut into before them if that is right; else put them above the strips.",
)


@dataclass(frozen=True, slots=True)
class Setting:
    """Where a sentence stands.

    Attributes:
        is_first: Whether it begins its line.
        opens_list: Whether it ends so that the lines below go on with it.
        is_final: Whether this is the end of the sentence.
    """

    is_first: bool = True
    opens_list: bool = False
    is_final: bool = False


def _with_advice(table: Table, places: Sequence[int], advice: tuple[str, str]) -> Table:
    """Return the table with something to look at beside the pieces at places."""
    cuts = list(table.cuts)
    for at in places:
        cuts[at] = changed(cuts[at], advice=(*cuts[at].advice, advice))
    return changed(table, cuts=tuple(cuts))


class Bench:
    """The acts, for one fabric."""

    def __init__(self, facts: FabricFacts) -> None:
        """Take what is known of the fabric."""
        self.facts = facts
        self.known = {count for count in (facts.prints, facts.cloths) if count}

    def known_count(self, of: str = "") -> int | None:
        """Return how many "each" stands for; None when it is not stated for sure."""
        each = {"print": EachOf.PRINT, "cloth": EachOf.CLOTH}.get(of, EachOf.UNSAID)
        return self.facts.count_of(each)

    # ---- closing a group ---------------------------------------------------------------------

    def commit(self, table: Table, setting: Setting = Setting()) -> Table:
        """Return the table with what was gathered cut.

        Raises:
            UnsureError: What it means is not sure.
        """
        group = table.group
        if not group.items:
            return self._commit_without_items(table, group, setting)
        if group.verb == "have":
            return self._restate(table, group)
        if group.verb == "need":
            self._refuse_other_need(table, group)
        items = self._directed(group, self._counted(group))
        totals = [one for one in group.checks if one.kind in ("total", "need")]
        sub = self._what_is_cut_on(table, group, items)
        if (
            sub is None and not (table.listing and not group.verb and not group.source)
        ) or sub is None:
            table = changed(table, listing=None)
        source = None if sub is group.source else group.source
        if group.is_per_block:
            items = self._of_blocks(items, totals)
        if len(items) == 1 and items[0].count is None and totals and not (sub and sub.is_each):
            noun = totals[0].noun
            if noun in ("", items[0].noun) or items[0].noun in ("", "piece"):
                items = (changed(items[0], count=totals[0].count),)
        if sub is not None and (group.blocks or (source and source.is_each and not table.hand)):
            raise UnsureError("each of what is not said", _TYPE_TOTAL)
        if sub is not None:
            table = self.sub_cut(table, items, sub, source)
        else:
            table = self.whole(table, items, source, group)
        last = table.last
        for diagonal in group.diagonals:
            table = self.cut_diagonally(table, diagonal)
        for one in group.checks:
            table = check(table, one, last, self.facts)
        return changed(table, group=Group(), last_group=group)

    def _counted(self, group: Group) -> tuple[Item, ...]:
        if group.is_sets and len(group.items) > 1:
            raise UnsureError("what a set holds is not said for sure", _TYPE_TOTAL)
        if group.each_count is None:
            return group.items
        if len(group.items) < 2:
            raise UnsureError("each of what is not said", _TYPE_TOTAL)
        return tuple(
            changed(item, count=group.each_count) if item.count is None else item
            for item in group.items
        )

    @staticmethod
    def _of_blocks(items: tuple[Item, ...], totals: list[Check]) -> tuple[Item, ...]:
        """Return what is counted for each block as the total that is stated."""
        counts = [item.count for item in items]
        total = totals[0].count if len(totals) == 1 and len(items) == 1 else 0
        if not total or not counts[0] or total % counts[0]:
            raise UnsureError("for how many blocks this is, is not said", _TYPE_TOTAL)
        return (changed(items[0], count=total),)

    @staticmethod
    def _directed(group: Group, items: tuple[Item, ...]) -> tuple[Item, ...]:
        if group.along:
            items = tuple(one if one.across else changed(one, along=True) for one in items)
        if group.across:
            items = tuple(one if one.along else changed(one, across=True) for one in items)
        return items

    def _what_is_cut_on(self, table: Table, group: Group, items: tuple[Item, ...]) -> Source | None:
        """Return the strips that the items are cut from; None where it is the cloth."""
        if group.sub is not None:
            return group.sub
        source = group.source
        if source is not None and source.kind in ("strip", "these"):
            there = table.hand or table.opened or table.joined
            if there or source.kind == "these":
                return source
        in_list = table.listing is not None and group.verb == "" and source is None
        if in_list and all(self._belongs_to_list(item, table) for item in items):
            return table.listing
        at_only = all(
            item.follows_at and len(item.size) == 1 and not (item.noun or item.across)
            for item in items
        )
        # After a strip line, @ gives the length.
        return _STRIPS if at_only and source is None and len(table.hand) == 1 else None

    @staticmethod
    def _belongs_to_list(item: Item, table: Table) -> bool:
        strips = table.strips() or ((table.opened.strip,) if table.opened else ())
        is_strip = item.noun in ("strip", "border") and len(item.size) < 2
        if not strips or item.across or is_strip:
            return False
        return not table.is_list_doubtful or strips[0].width in item.size

    def _refuse_other_need(self, table: Table, group: Group) -> None:
        """Refuse ``You need 84 pieces`` of a size of which another number is cut."""
        for item in group.items:
            same = [one for one in table.cuts if item.size and set(one.sides) == set(item.size)]
            if same and item.count not in (None, same[-1].count):
                raise UnsureError(
                    f"it needs {item.count}, and {same[-1].count} are cut", "Make the two agree."
                )

    def _restate(self, table: Table, group: Group) -> Table:
        """Hold ``you will have 4 squares 5"`` against what is cut already."""
        for item in group.items:
            said = settle(item, self.facts)
            sides = (said.count, frozenset(said.sides))
            if not any((one.count, frozenset(one.sides)) == sides for one in table.cuts):
                raise UnsureError("whether this is cut, or comes of what is cut, is not said")
        return changed(table, group=Group(), last_group=group)

    def _commit_without_items(self, table: Table, group: Group, setting: Setting) -> Table:
        source = group.source
        has_head = bool(group.along or group.across or source or group.blocks)
        trails = setting.is_final and has_head and len(table.cuts) > table.first_new
        if trails and not setting.opens_list:
            raise UnsureError("what the end of the sentence belongs to is not said")
        is_each = bool(group.blocks or (source and source.is_each))
        if setting.is_final and not setting.opens_list and not group.verb and is_each:
            if not setting.is_first:
                raise UnsureError("each of what is not said", _TYPE_TOTAL)
        if source is not None:
            of_size = source.is_each and source.count and source.size
            if source.kind == "square" or (of_size and not setting.opens_list and not group.verb):
                raise UnsureError("each of what is not said", _TYPE_TOTAL)
        if source is not None and group.sub is None:
            table = self._head(table, group, source)
        elif group.blocks:
            multiplier = group.blocks if group.blocks != 1 else None
            table = changed(table, multiplier=multiplier, is_of_blocks=True)
        elif group.sub is not None:
            if not (setting.is_final and setting.opens_list):
                raise UnsureError("what the strips are cut into is not said")
            if not table.hand:
                raise UnsureError("the strips it is cut from are not above it", _TYPE_WHICH)
            table = changed(table, listing=group.sub)
        if (group.along or group.across) and setting.is_final:
            table = changed(table, along=group.along)
        for diagonal in group.diagonals:
            table = self.cut_diagonally(table, diagonal)
        for one in group.checks:
            table = check(table, one, table.last, self.facts)
        return changed(table, group=Group())

    def _head(self, table: Table, group: Group, source: Source) -> Table:
        """Return the table below a heading such as ``From each print, cut:``."""
        table = changed(table, is_loose=False, loose_multiplier=None)
        multiplies = table.multiplier is not None or table.is_multiplier_unsure
        if source.is_rest and source.is_each and source.count:
            used = table.multiplier or 0
            if self.known_count(source.of) != used + source.count:
                raise UnsureError("how many remain is not said", _TYPE_TOTAL)
            source = changed(source, is_rest=False)
        if source.is_rest:
            of_other = source.kind != "rest" and multiplies and not (table.hand or table.rest)
            if of_other or (source.kind == "cloth" and (multiplies or self.known)):
                raise UnsureError("whether the rest is one or each of several is not said")
            return changed(table, hand=(), along=source.along or group.along)
        if source.kind in ("strip", "these") and table.hand:
            return changed(table, listing=source)
        multiplier = None
        if source.is_each or source.count is not None:
            multiplier = self.multiplier_of(source, table.chosen)
        if group.blocks:
            multiplier = group.blocks if group.blocks != 1 else None
        return changed(
            table,
            multiplier=multiplier,
            is_of_blocks=bool(group.blocks),
            is_multiplier_unsure=False,
            opened=None,
            hand=(),
            along=source.along or group.along,
            listing=None,
            chosen=None,
        )

    def multiplier_of(self, source: Source, chosen: int | None = None) -> int | None:
        """Return what "each" multiplies by; None for nothing.

        Raises:
            UnsureError: How many there are is not sure.
        """
        if not source.is_each:
            all_of_it = source.kind == "cloth" and source.is_all and source.count in self.known
            if source.count in (None, 1) or all_of_it:
                return None
            raise UnsureError(
                f"whether this is of each of the {source.count}, or in all, is not said",
                _TYPE_TOTAL,
            )
        if source.is_rest:
            raise UnsureError("how many remain is not said", _TYPE_TOTAL)
        if source.count is not None:
            if self.known and source.count > max(self.known):
                raise UnsureError(
                    f"it says each of {source.count}, and the fabric has {max(self.known)}",
                    "Make the two agree.",
                )
            return source.count
        if chosen and source.kind == "cloth":
            return chosen
        count = self.known_count(source.of)
        if count is None:
            raise UnsureError(
                "'each' is not read: how many there are is not stated",
                "Type the number of prints in the Prints column.",
            )
        return count

    # ---- from the cloth ------------------------------------------------------------------------

    def whole(
        self, table: Table, items: tuple[Item, ...], source: Source | None, group: Group
    ) -> Table:
        """Return the table with items cut from the cloth itself."""
        multiplier = self._multiplier(table, items, source, group)
        along = table.along or bool(source and source.along)
        is_lead = source is not None and source is table.lead
        if table.is_loose and source is None and not multiplier and not group.verb:
            if not group.blocks and table.loose_multiplier:
                multiplier = table.loose_multiplier
            elif not group.blocks and not along:
                raise UnsureError("whether this is for each as well is not said", _TYPE_TOTAL)
        goes_on = not group.verb
        table = changed(
            table,
            is_loose=bool(source and source.is_each and is_lead) or (table.is_loose and goes_on),
            loose_multiplier=table.loose_multiplier if goes_on or source else None,
        )
        items = self._of_ready_cut_width(table, items)
        new = [self._settled(table, item, group, multiplier, along=along) for item in items]
        was_along = bool(group.along or (source and source.along) or (table.was_along and goes_on))
        table = changed(table, was_along=was_along)
        kept = self._without_joined(table, new, group)
        if not kept and new:
            need = sum((one.count * (one.length or 0) for one in new), Fraction(0))
            if table.joined:
                table = self._joined_gives(table, table.joined, Fraction(need))
            return changed(table, last=())
        return self._laid(table, kept, items, source, group, multiplier)

    def _multiplier(
        self, table: Table, items: tuple[Item, ...], source: Source | None, group: Group
    ) -> int | None:
        of_own = bool(group.verb or source or group.blocks)
        multiplier = table.multiplier
        unsure = table.is_multiplier_unsure and not of_own
        if source is not None:
            self._refuse_source(table, source, group)
            if (source.count or 0) > 1 and all(item.is_each for item in items):
                source = changed(source, is_each=True)
            if source.is_each or source.count is not None:
                multiplier = self.multiplier_of(source, table.chosen)
            elif not source.is_rest and multiplier and source is not table.lead:
                if source.has_words or source.kind != "cloth":
                    raise UnsureError("whether this is for each as said above is not said")
        if group.blocks:
            multiplier = group.blocks
        if group.parts:
            counts = (group.parts, group.parts * (multiplier or 0))
            if len(items) != 1 or items[0].count not in counts:
                raise UnsureError("how many each is cut into is not said for sure", _TYPE_TOTAL)
            if items[0].count != group.parts:
                multiplier = None
        if unsure:
            raise UnsureError("whether this is still for each is not said", _TYPE_TOTAL)
        return multiplier

    def _refuse_source(self, table: Table, source: Source, group: Group) -> None:
        multiplies = table.multiplier is not None and source is not table.lead
        if source.is_rest:
            if source.kind in ("strip", "these", "cloth"):
                raise UnsureError("what the rest is of is not said", _TYPE_WHICH)
            if table.is_loose or (multiplies and not source.is_each):
                raise UnsureError("whether the rest is one or each of several is not said")
        if group.blocks and source.is_each:
            raise UnsureError("it says each of two things", _TYPE_TOTAL)
        is_strip = source.kind in ("strip", "these")
        counts = source.is_each or source.count is not None or not source.is_rest
        if counts and is_strip and not self.facts.prints_are_strips:
            raise UnsureError("the strips it is cut from are not above it", _TYPE_WHICH)

    def _of_ready_cut_width(self, table: Table, items: tuple[Item, ...]) -> tuple[Item, ...]:
        """Give items of one measure the width of the strips they are cut from."""
        width = self.facts.ready_cut if self.facts.prints_are_strips else None
        if width is None and table.joined:
            width = table.cuts[table.joined[0]].width
        if not width:
            return items
        return tuple(
            changed(item, size=(width, *item.size))
            if len(item.size) == 1
            and not item.across
            and item.noun in ("piece", "border", "", "rectangle")
            and item.size[0] != width
            else item
            for item in items
        )

    def _settled(
        self, table: Table, item: Item, group: Group, multiplier: int | None, *, along: bool
    ) -> Laid:
        names = {word.rstrip("s") for word in item.words}
        if (along or table.along_names & names) and not item.across:
            item = changed(item, along=True)
        of_cloth = group.source is not None and (group.source.count or 0) > 1
        if item.is_each and (multiplier or self.known) and not of_cloth:
            raise UnsureError("each of what is not said", _TYPE_TOTAL)
        if (item.is_total or group.is_total) and multiplier:
            raise UnsureError("whether a total is for each is not said", _TYPE_TOTAL)
        laid = settle(item, self.facts, width=table.strip_width)
        if item.finish and multiplier:
            raise UnsureError("whether this is for each or for all is not said", _TYPE_TOTAL)
        if item.finish and any(one.sides == laid.sides for one in table.cuts):
            raise UnsureError(
                "the same cut stands above it, and these may be sewn of it",
                "Leave out one of the two.",
            )
        if group.blocks and laid.is_strip:
            raise UnsureError("whether whole strips are cut for each block is not said")
        is_long = laid.length is not None and laid.length > LONGEST_ACROSS and not laid.along
        other_way = (table.along_names and not item.words) or (table.was_along and group.verb == "")
        if is_long and other_way:
            raise UnsureError("whether this lies lengthwise too is not said", "Add lengthwise.")
        times = multiplier or 1
        own_source = group.source is not None and group.source.is_each
        of_blocks = bool(group.blocks) or (table.is_of_blocks and not own_source)
        return changed(
            laid,
            count=laid.count * times,
            each=times,
            is_of_blocks=of_blocks and times > 1,
            line=table.line,
        )

    def _without_joined(self, table: Table, new: list[Laid], group: Group) -> list[Laid]:
        """Leave out what is cut of strips that were joined: the strips are the demand."""
        strips = [table.cuts[at] for at in table.joined]
        kept: list[Laid] = []
        for laid in new:
            is_long = laid.length is not None and laid.length > LONGEST_ACROSS
            pool = strips or ([*table.cuts, *new] if is_long else [])
            of = [one for one in pool if one.is_strip and one.width in laid.sides and laid.length]
            if of and not laid.along:
                self._hold_joined(of, laid, new, is_sewn=bool(strips))
                continue
            if strips and group.verb == "joined":
                raise UnsureError("whether this is cut from what was joined is not said")
            kept.append(laid)
        if group.verb == "joined" and not strips:
            raise UnsureError("what is joined is not said")
        return kept

    @staticmethod
    def _hold_joined(of: list[Laid], laid: Laid, new: list[Laid], *, is_sewn: bool) -> None:
        count, width = sum(one.count for one in of), of[0].width
        needed = sum(one.count * one.length for one in new if one.length and width in one.sides)
        if not is_sewn and needed <= (count - 1) * 42:  # the usual width of fabric
            raise UnsureError("whether it is cut of the strips, or besides, is not said")
        if count * LONGEST_ACROSS < laid.count * (laid.length or 0):
            raise UnsureError("the joined strips are too short for it", "Look at the counts.")

    def _laid(
        self,
        table: Table,
        new: list[Laid],
        items: tuple[Item, ...],
        source: Source | None,
        group: Group,
        multiplier: int | None,
    ) -> Table:
        meant = self._meant_for_strips(table, new, items, source, group, multiplier)
        if meant is not None:
            return meant
        first = len(table.cuts)
        strips = [first + at for at, one in enumerate(new) if one.is_strip]
        short = [first + at for at, one in enumerate(new) if one.is_short_strip]
        return changed(
            table,
            cuts=(*table.cuts, *new),
            hand=tuple(strips or short),
            rest=(),
            kept=0,
            joined=(),
            is_sewn=False,
            opened=None,
            last=tuple(range(first, first + len(new))),
            listing=None,
        )

    def _meant_for_strips(
        self,
        table: Table,
        new: list[Laid],
        items: tuple[Item, ...],
        source: Source | None,
        group: Group,
        multiplier: int | None,
    ) -> Table | None:
        """Return the table where pieces of the strips' own width are cut from them.

        ``Cut 2 strips 5" × WOF`` and below ``8 rectangles 5" × 9"``: two strips just hold
        them, so they are meant. Where the strips hold them easily both readings are honest.

        Raises:
            UnsureError: Both are.
        """
        strips = table.strips()
        pieces = [one for one in new if one.length is not None]
        if len(strips) == 1 and source is None and pieces and len(pieces) == len(new):
            strip = strips[0]
            fit = self._fits(strip, strip.count, new)
            if fit is not None and not strip.is_final and strip.is_strip:
                same_line = strip.line == table.line
                several = strip.count > 1
                if fit is Holds.JUST and not strip.is_named and (several or same_line):
                    table = self.sub_cut(table, items, _STRIPS, None)
                    return table if same_line else _with_advice(table, table.last, _TAKEN_OF_STRIPS)
                if same_line or (fit is not Holds.NOT and (several or not strip.is_named)):
                    raise UnsureError(
                        "whether they are cut from the strips above, or beside them, is not said",
                        "Type sub-cut into before them, or put the strips on a line of their own.",
                    )
        if not (pieces and len(pieces) < len(new) and new[0].is_strip):
            return None
        strip = new[0]
        of_width = [one for one in pieces if strip.width in one.sides and not strip.is_final]
        if not of_width:
            return None
        fit = holds(strip, strip.count, pieces, self.facts)
        alone = len(pieces) == len(new) - 1 and strip.count > 1 and not strip.is_named
        if fit is Holds.JUST and alone and len(of_width) == len(pieces) and group.verb == "":
            if not multiplier:
                first = changed(table, listing=None)
                laid = self.whole(first, items[:1], source, changed(group, items=items[:1]))
                return self.sub_cut(laid, items[1:], _STRIPS, None)
        if fit is not Holds.NOT:
            raise UnsureError(
                "whether they are cut from the strips, or beside them, is not said", _TYPE_WHICH
            )
        return None

    def _fits(self, strip: Laid, count: int, new: list[Laid]) -> Holds | None:
        """Return how strips hold pieces of their own width that nothing else names."""
        if not all(
            one.length is not None
            and strip.width in one.sides
            and not one.is_named
            and not one.is_short_strip
            for one in new
        ):
            return None
        return holds(strip, count, new, self.facts)

    # ---- from strips ---------------------------------------------------------------------------

    def sub_cut(
        self, table: Table, items: tuple[Item, ...], of: Source, source: Source | None
    ) -> Table:
        """Return the table with strips cut into items.

        Raises:
            UnsureError: Which strips, or how many, is not sure, or they do not hold the items.
        """
        if source is not None and source.is_each:
            if not all(strip.each > 1 for strip in table.strips()):
                raise UnsureError("it says each of two things", _TYPE_TOTAL)
        if of.is_sewn and table.hand:
            table = changed(table, joined=table.hand, hand=())
        if of.size and len(of.size) == 1:
            table = self._of_width(table, of.size[0])
        has_rest = bool(table.kept or table.rest) or of.count is not None
        table = self._at_hand(table, of)
        if not table.hand:
            return self._without_strips(table, items, of)
        if of.is_rest and not has_rest:
            raise UnsureError("which strips remain is not said for sure", _TYPE_WHICH)
        places = self._which(table, of)
        if len(places) > 1:
            groups = self._by_strip(table, places, items)
            if len(groups) == len(places) and not (of.count or of.is_rest):
                return self._cut_all(table, groups, of)
            if len(groups) != 1:
                raise UnsureError("which strips they are cut from is not said", _TYPE_WHICH)
            places = tuple(groups)
        return self._cut_some(table, places[0], items, of)

    @staticmethod
    def _at_hand(table: Table, of: Source) -> Table:
        if not table.hand and table.rest and (of.is_rest or of.count is not None):
            return changed(table, hand=table.rest, rest=())
        cut_last = not (table.hand or table.joined or table.opened) and len(table.last) == 1
        if cut_last and not of.is_each and of.count is None:
            laid = table.cuts[table.last[0]]
            is_long = laid.length is not None and laid.length >= 2 * laid.width
            on_line = laid.line == table.line and not laid.diagonal
            if laid.noun in ("", "rectangle") and is_long and on_line:
                return changed(table, hand=table.last)
        return table

    def _without_strips(self, table: Table, items: tuple[Item, ...], of: Source) -> Table:
        if table.joined:
            return self._of_joined(table, items)
        if table.opened is not None and not of.count:
            return self._go_on(table, table.opened, items, of)
        if of.is_sewn or (table.is_sewn and not self.known and not of.size):
            return changed(table, last=())  # sewn of strips that are counted where they are cut
        if of.size and (of.across or len(of.size) > 1) and not of.is_each and not of.is_rest:
            return self._of_new_strip(table, items, of)
        if self.facts.prints_are_strips and of.is_each:
            ready = Source(kind="cloth", is_each=True, of="cloth")
            return self.whole(table, items, ready, Group())
        raise UnsureError("the strips it is cut from are not above it", _TYPE_WHICH)

    def _of_new_strip(self, table: Table, items: tuple[Item, ...], of: Source) -> Table:
        """Lay a strip that its size names, and cut it: ``cut the 4" × 24" strip into``."""
        strip = Item(count=of.count or 1, size=of.size, noun="strip", across=of.across)
        laid = changed(settle(strip, self.facts), line=table.line)
        at = len(table.cuts)
        table = changed(table, cuts=(*table.cuts, laid), hand=(at,), listing=None)
        return self.sub_cut(table, items, _STRIPS, None)

    def _of_joined(self, table: Table, items: tuple[Item, ...]) -> Table:
        strips = [table.cuts[at] for at in table.joined]
        need, width = Fraction(0), strips[0].width
        if all(item.count is None for item in items):
            return changed(table, last=())  # segments of what was sewn
        for item in items:
            laid = settle(item, self.facts, strip=strips[0])
            if laid.length is None or width not in laid.sides:
                raise UnsureError("whether it is cut of the joined strips is not said")
            need += laid.count * (laid.length if laid.width == width else laid.width)
        return self._joined_gives(changed(table, last=()), table.joined, need)

    def _joined_gives(self, table: Table, places: tuple[int, ...], need: Fraction) -> Table:
        """Say where strips that are joined give less than is cut of them."""
        count = sum(table.cuts[at].count for at in places)
        gives = count * min(USUAL_WIDTH, self.facts.widest_width)
        if need <= gives:
            return table
        if need > count * LONGEST_ACROSS:
            raise UnsureError("the joined strips are too short for it", "Look at the counts.")
        unit = self.facts.unit
        said = (
            f"the {count} strips joined give {say_size(gives, unit)} {unit.value} before seams, "
            f"and {say_size(need, unit)} {unit.value} are wanted of them"
        )
        return _with_advice(table, places[:1], (said, "Cut a strip more if that is right."))

    @staticmethod
    def _of_width(table: Table, width: Length) -> Table:
        """Take up the strips of a width: ``From the 5" strips``."""
        all_such = [at for at, one in enumerate(table.cuts) if one.is_strip and one.width == width]
        places = tuple(at for at in table.hand if at in all_such) or tuple(all_such)
        if not places:
            return table
        if len(places) != 1 or len({table.cuts[at].is_final for at in all_such}) > 1:
            raise UnsureError("which strips they are cut from is not said", _TYPE_WHICH)
        return changed(table, hand=places)

    def _which(self, table: Table, of: Source) -> tuple[int, ...]:
        """Return the places of the strips that are meant."""
        places = table.hand
        if of.size and len(of.size) > 1:
            places = tuple(at for at in places if table.cuts[at].width == of.size[0])
            if len(places) != 1:
                raise UnsureError("which strips they are cut from is not said", _TYPE_WHICH)
        widths = {table.cuts[at].width for at in places}
        unnamed = tuple(at for at in places if not table.cuts[at].is_named)
        return unnamed if len(widths) == 1 and len(unnamed) == 1 else places

    @staticmethod
    def _by_strip(
        table: Table, places: tuple[int, ...], items: tuple[Item, ...]
    ) -> dict[int, list[Item]]:
        groups: dict[int, list[Item]] = {}
        for item in items:
            of_width = [at for at in places if table.cuts[at].width in item.size]
            if len(of_width) != 1:
                raise UnsureError("which strips they are cut from is not said", _TYPE_WHICH)
            groups.setdefault(of_width[0], []).append(item)
        return groups

    def _cut_all(self, table: Table, groups: dict[int, list[Item]], of: Source) -> Table:
        new: list[Laid] = []
        for place, items in groups.items():
            strip = table.cuts[place]
            new += self._from_strip(table, strip, items, of, strip.of_each)
        cuts = [one for at, one in enumerate(table.cuts) if at not in groups]
        last = tuple(range(len(cuts), len(cuts) + len(new)))
        return changed(table, cuts=(*cuts, *new), hand=(), rest=(), kept=0, last=last)

    def _cut_some(self, table: Table, place: int, items: Sequence[Item], of: Source) -> Table:
        strip = table.cuts[place]
        have = strip.of_each
        count = have - table.kept
        if of.count is not None:
            is_all = of.is_rest or of.is_all
            if of.count > count or (is_all and of.count != count):
                raise UnsureError(
                    f"it cuts on {of.count} strips, and there are {count}", "Make the two agree."
                )
            count = of.count
        new = self._from_strip(table, strip, items, of, count)
        cuts = list(table.cuts)
        rest: tuple[int, ...] = ()
        if count < have:
            cuts[place] = changed(strip, count=(have - count) * strip.each)
            rest = (place,)
        else:
            del cuts[place]
        last = tuple(range(len(cuts), len(cuts) + len(new)))
        return changed(
            table,
            cuts=(*cuts, *new),
            opened=Opened(strip=strip, count=count, pieces=tuple(new)),
            hand=(),
            rest=rest,
            kept=0,
            last=last,
        )

    def _go_on(self, table: Table, opened: Opened, items: Sequence[Item], of: Source) -> Table:
        """Cut more pieces from the strips that are being cut."""
        again = changed(of, is_each=of.is_each and not table.rest)
        new = self._from_strip(table, opened.strip, items, again, opened.count, opened.pieces)
        return changed(
            table,
            cuts=(*table.cuts, *new),
            opened=changed(opened, pieces=(*opened.pieces, *new)),
            last=tuple(range(len(table.cuts), len(table.cuts) + len(new))),
        )

    def _from_strip(
        self,
        table: Table,
        strip: Laid,
        items: Sequence[Item],
        of: Source,
        count: int,
        before: Sequence[Laid] = (),
    ) -> list[Laid]:
        """Return what so many strips are cut into, held against what they give."""
        new: list[Laid] = []
        for item in items:
            laid = settle(item, self.facts, strip=strip)
            if laid.length is None:
                raise UnsureError("a strip is not cut from a strip", "Type what it is cut into.")
            total = laid.count * (count if of.is_each else 1) * strip.each
            words = laid.words or strip.words
            purpose = laid.purpose or strip.purpose
            new.append(
                changed(
                    laid,
                    count=total,
                    each=strip.each,
                    is_of_blocks=strip.is_of_blocks,
                    line=table.line,
                    is_named=True,
                    words=words,
                    purpose=purpose,
                )
            )
        fit = holds(strip, count * strip.each, [*before, *new], self.facts)
        if fit is Holds.NOT and of.is_each and count > 1:
            in_all = changed(of, is_each=False)
            return self._from_strip(table, strip, items, in_all, count, before)
        if fit is Holds.NOT:
            raise UnsureError("the strips do not hold all of it", "Look at the counts.")
        if fit is Holds.JUST:
            return [changed(one, confirmed=one.confirmed or "strips") for one in new]
        return new

    def lay_chosen(self, table: Table) -> Table:
        """Return the table with ready-cut squares that were chosen, to be used as they are."""
        width = self.facts.ready_cut or table.chosen_width
        if table.chosen is None or width is None:
            raise UnsureError("squares are chosen, and what they are cut into is not said")
        laid = Laid(count=table.chosen, width=width, length=width, noun="square", line=table.line)
        return changed(table, cuts=(*table.cuts, laid), chosen=None, group=Group())

    # ---- on the diagonal, kept back ----------------------------------------------------------

    def cut_diagonally(self, table: Table, cut: Diagonal) -> Table:
        """Return the table with squares cut on the diagonal.

        Raises:
            UnsureError: Which squares, or how many of them, is not sure.
        """
        if table.is_sewn and not table.last:
            return table
        place = self._squares(table, cut)
        laid = table.cuts[place]
        if laid.diagonal:
            raise UnsureError("whether they are cut on the diagonal again is not said")
        cuts = list(table.cuts)
        if cut.count is None or cut.count in (laid.of_each, laid.count):
            cuts[place] = changed(laid, diagonal=cut.times)
            return changed(table, cuts=tuple(cuts), last=(place,))
        if cut.count > laid.count:
            raise UnsureError("there are not so many squares", "Make the counts agree.")
        if not cut.says_times:
            raise UnsureError("whether some of the squares are cut once is not said")
        cuts[place] = changed(laid, count=laid.count - cut.count)
        cuts.append(changed(laid, count=cut.count, diagonal=cut.times))
        return changed(table, cuts=tuple(cuts), last=(len(cuts) - 1,))

    @staticmethod
    def _squares(table: Table, cut: Diagonal) -> int:
        who = cut.who
        if who == "=":
            of_size = [
                at
                for at, one in enumerate(table.cuts)
                if one.is_square and one.width == cut.size and not one.diagonal
            ]
            if len(of_size) != 1:
                raise UnsureError("which squares are cut on the diagonal is not said")
            return of_size[0]
        places = table.last or ((len(table.cuts) - 1,) if table.cuts else ())
        if who.startswith("#"):
            places = tuple(
                at
                for at, one in enumerate(table.cuts)
                if one.label.casefold() == who[1:].casefold()
            )
        squares = [at for at in places if table.cuts[at].is_square]
        sizes = {(one.width, one.diagonal) for one in table.cuts if one.is_square}
        if who == "all" and len(sizes) > 1:
            raise UnsureError("which squares are cut on the diagonal is not said")
        if who in ("large", "small") and len(squares) == 2:
            pick = max if who == "large" else min
            squares = [pick(squares, key=lambda at: table.cuts[at].width)]
        if len(squares) > 1 and who == "last":
            squares = squares[-1:]
        if len(squares) != 1 or (len(places) > 1 and who not in ("large", "small", "last")):
            raise UnsureError("which squares are cut on the diagonal is not said")
        return squares[0]

    @staticmethod
    def keep(table: Table, said: Keep, known: int | None) -> Table:
        """Return the table with so many strips or pieces set aside.

        Raises:
            UnsureError: There are not so many.
        """
        count = said.count
        if count is None or (said.is_rest and not (table.hand or table.rest)):
            return table
        if len(table.hand) == 1:
            have = table.cuts[table.hand[0]].of_each
            if count <= have:
                return changed(table, kept=count if count < have else 0)
        elif not table.hand:
            left = table.cuts[table.rest[0]].count if len(table.rest) == 1 else None
            most = max((one.count for one in table.cuts), default=0)
            if left == count or (left is None and count <= most):
                return table
            if left is None and (table.chosen or count < (known or 0)):
                return table
        raise UnsureError(
            f"it keeps {count} back, and not so many are left", "Make the counts agree."
        )

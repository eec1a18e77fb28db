"""What each phrase does on the cutting table.

An act takes a table and gives those that may come of it: none where the phrase cannot stand
there, several where it may mean several things. A group of items is cut when the next verb
comes, so that what stands behind them ("from each print", "80 in all") still counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kitmaker.reading.phrases import parts
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.parts import Item, Phrase, Source, UnsureError, changed
from kitmaker.reading.phrases.settling import Holds, holds, settle
from kitmaker.reading.phrases.table import Group, Laid, Table
from kitmaker.reading.phrases.tokens import Kind

Tables = list[Table]
_STRIPS = Source(kind="strip")
_TYPE_TOTAL = "Type the count for all of them together."


@dataclass(frozen=True, slots=True)
class Place:
    """Where a phrase stands: the signs before it, and what stands behind it."""

    signs: frozenset[str]
    behind: Kind


class Acts:
    """The acts, for one fabric."""

    def __init__(self, bench: Bench) -> None:
        """Take what cuts and holds."""
        self.bench = bench
        self.facts = bench.facts

    def act(self, table: Table, phrase: Phrase, place: Place) -> Tables:
        """Return the tables that a phrase may lead to.

        Raises:
            UnsureError: It can stand there, and what it means is not sure.
        """
        return _ACTS[type(phrase)](self, table, phrase, place)

    def _commit(self, table: Table) -> Table:
        return self.bench.commit(table) if table.group.items else table

    def _fresh(self, table: Table) -> Table:
        return table.gather(Group(source=table.lead))

    # ---- items -----------------------------------------------------------------------------------

    def _item(self, table: Table, item: Item, place: Place) -> Tables:
        group = table.group
        if group.diagonals and not group.items:
            table = self._fresh(self.bench.commit(table))
            group = table.group
        is_strip = item.across or item.noun == "strip"
        if "then" in place.signs and group.items and group.sub is None:
            last = group.items[-1]
            if (last.across or last.noun == "strip") and not is_strip:
                table, group = self.bench.commit(table), Group(sub=_STRIPS)
        if group.sub is not None and group.items:
            lone = len(item.size) == 1 and not item.noun
            if ";" in place.signs and lone:
                raise UnsureError("whether it is cut from the same strips is not said")
        ready = group.verb == "choose" and self.bench.known_count("cloth")
        if ready and item.count and item.noun == "square":
            return []  # they are chosen, not cut
        if group.sub is not None and item.is_strip:
            if not group.items:
                return []
            table = self._fresh(self.bench.commit(table))
            group = table.group
        at_length = item.follows_at and len(item.size) == 1 and not (item.noun or item.across)
        of_strip = bool(group.items) and group.items[-1].is_strip and group.sub is None
        if at_length and of_strip and not group.items[-1].follows_at:
            table, group = self.bench.commit(table), Group(sub=_STRIPS)
        if ":" in place.signs and not group.items and group.along:
            table = changed(table, along=True)
        if not group.items and group.source is not None:
            is_lead = group.source is table.lead and group.source.is_each
            loose = None
            if ":" in place.signs and is_lead and group.sub is None:
                loose = self.bench.multiplier_of(group.source, table.chosen)
            table = changed(table, loose_multiplier=loose)
        return [table.gather(changed(group, items=(*group.items, item)))]

    def _panel(self, table: Table, phrase: parts.Panel, _: Place) -> Tables:
        if not table.group.is_new or table.cuts:
            return []
        return [table.gather(changed(table.group, items=(phrase.item,), verb="panel"))]

    def _verb(self, table: Table, phrase: parts.Verb, _: Place) -> Tables:
        group = table.group
        if group.items:
            table = self._fresh(self.bench.commit(table))
        elif group.checks or group.diagonals:
            return []
        return [table.gather(changed(table.group, verb=phrase.word))]

    def _totals(self, table: Table, phrase: parts.Totals, place: Place) -> Tables:
        if phrase.is_verb:
            if table.group.items:
                return []
            tables = self._verb(table, parts.Verb(), place)
            return [changed(one, multiplier=None, is_multiplier_unsure=False) for one in tables]
        if not table.group.items:
            return []
        if table.multiplier:
            raise UnsureError("whether a total is for each is not said", _TYPE_TOTAL)
        return [table.gather(changed(table.group, is_total=True))]

    def _make(self, table: Table, _: parts.Make, __: Place) -> Tables:
        group = table.group
        if not group.items:
            return [table.gather(changed(group, verb="have"))]
        last = group.items[-1]
        if (last.across or last.noun == "strip") and group.sub is None and not group.checks:
            return [self.bench.commit(table).gather(Group(sub=_STRIPS))]
        return []

    def _needs(self, table: Table, phrase: parts.Needs, _: Place) -> Tables:
        item, group = phrase.item, table.group
        speaks_of = group.items or (table.last and group.is_new and phrase.is_verb)
        if not speaks_of or not item.count or item.noun != "strip" or group.sub:
            return []
        if not item.size:
            said = parts.Check(kind="total", count=item.count, noun="strip")
            return [table.gather(changed(group, checks=(*group.checks, said)))]
        cut = self._commit(table)
        strip = settle(item, self.facts)
        if holds(strip, item.count, cut.pieces(), self.facts) is Holds.NOT:
            raise UnsureError(f"{item.count} strips do not hold that", "Make the two agree.")
        return [cut]

    # ---- what is cut from ------------------------------------------------------------------------

    def _source(self, table: Table, source: Source, place: Place) -> Tables:
        group = table.group
        is_last = place.behind in (Kind.END, Kind.CLOSING, Kind.STOP)
        source = self._as_cloth(table, source, is_last=is_last)
        if group.items:
            return self._source_behind(table, source, place)
        if group.source is not None or group.sub is not None:
            return []
        if source.kind in ("strip", "these") and table.has_strips:
            return [table.gather(changed(group, sub=source))]
        return [changed(table.gather(changed(group, source=source)), lead=source)]

    def _as_cloth(self, table: Table, source: Source, *, is_last: bool) -> Source:
        """Return squares bought ready cut, and pieces, as the cloth itself."""
        if source.kind == "square":
            if any(one.noun == "square" for one in table.cuts):
                raise UnsureError("whether it is cut from the pieces above is not said")
            return changed(source, kind="cloth", of="cloth")
        if source.kind == "piece":
            return changed(source, kind="cloth")
        is_this = source.kind == "these" and not source.is_each and source.count in (None, 1)
        if is_this and is_last and not (table.cuts or table.has_strips):
            return changed(source, kind="cloth")
        bare_each = source.kind == "these" and source.is_each and source.count is None
        strips_before = any(item.is_strip for item in table.group.items[:-1])
        if bare_each and not table.has_strips and not strips_before and not table.cuts:
            if self.bench.known:
                return changed(source, kind="cloth")
        return source

    def _source_behind(self, table: Table, source: Source, place: Place) -> Tables:
        """Return what a source behind items may mean: of them, or the next cut's."""
        group = table.group
        is_strip = source.kind in ("strip", "these")
        of_strips = any(item.is_strip for item in group.items)
        counted = source.kind == "strip" and source.count and not (source.is_each or source.is_rest)
        free_sub = group.sub is None or (group.sub == _STRIPS and not table.has_strips)
        if counted and free_sub and not of_strips:
            told = self._taken_from(table, source)
            if told is not None:
                return told
        found: Tables = []
        begins = (Kind.COLON, Kind.CUT, Kind.NUM, Kind.OPENING, Kind.COMMA)
        if ";" in place.signs and source.kind == "cloth" and place.behind in begins:
            cut = self.bench.commit(table).gather(Group(source=source))
            return [changed(cut, lead=source)]
        is_free = group.source is None or (group.source is table.lead and not group.source.is_each)
        if is_free:
            if group.sub is None or not is_strip:
                found.append(table.gather(changed(group, source=source)))
            elif group.sub == _STRIPS:
                found.append(table.gather(changed(group, sub=source)))
        goes_on = place.behind not in (Kind.END, Kind.CLOSING, Kind.STOP)
        if (is_strip or source.kind == "rest") and goes_on:
            try:
                cut = self.bench.commit(table)
            except UnsureError:
                return found
            of_rest = source.kind == "rest"
            found.append(cut.gather(Group(source=source) if of_rest else Group(sub=source)))
        return found

    def _taken_from(self, table: Table, source: Source) -> Tables | None:
        """Read ``12 squares 5" (from 2 strips 5" × WOF)``: the strips are what they take."""
        table = table.gather(changed(table.group, sub=None))
        cut = self.bench.commit(table)
        if not source.size:
            if table.hand:
                return []
            said = parts.Check(kind="total", count=source.count or 1, noun="strip")
            return [table.gather(changed(table.group, checks=(*table.group.checks, said)))]
        if table.hand:
            return None
        length = source.size[1] if len(source.size) > 1 else None
        if length is not None and self.facts.narrowest_width <= length <= self.facts.widest_width:
            length = None
        strip = Laid(count=1, width=source.size[0], length=length)
        if holds(strip, source.count or 1, cut.pieces(), self.facts) is Holds.NOT:
            raise UnsureError(f"{source.count} strips do not hold that", "Make the two agree.")
        return [self._fresh(cut)]

    def _sub_cut(self, table: Table, phrase: parts.SubCut, _: Place) -> Tables:
        source, group = phrase.source, table.group
        ready = self._of_ready_cut(table, source)
        if ready is not None:
            return [table.gather(changed(group, source=ready, verb="cut"))]
        if group.items:
            return [self.bench.commit(table).gather(Group(sub=source))]
        if group.sub is not None:
            return [table] if source == _STRIPS else []
        if group.source is not None and group.source.kind in ("strip", "these"):
            return [table.gather(Group(sub=group.source))]
        return [table.gather(changed(group, sub=source))]

    def _of_ready_cut(self, table: Table, source: Source) -> Source | None:
        """Return the cloth where chosen squares, or strips bought ready cut, are cut on."""
        if not source.is_each or table.cuts:
            return None
        if source.kind == "these" and table.chosen:
            return changed(source, kind="cloth")
        is_ready = source.kind == "strip" and not table.hand and not table.group.items
        width = self.facts.ready_cut
        if is_ready and self.bench.known_count() and width in (None, *source.size[:1]):
            return changed(source, kind="cloth", of="cloth")
        return None

    def _cut_up(self, table: Table, phrase: parts.CutUp, _: Place) -> Tables:
        source, group = phrase.source, table.group
        if phrase.parts:
            if table.cuts or group.items or group.source:
                return []
            return [table.gather(changed(group, source=source, parts=phrase.parts, verb="cut"))]
        if group.items:
            table = self.bench.commit(table).gather(Group())
        if source.kind == "square" and table.cuts:
            raise UnsureError("whether squares that are counted already are cut up is not said")
        group = changed(table.group, source=source, verb="cut")
        return [changed(table.gather(group), lead=source)]

    def _chosen(self, table: Table, phrase: parts.Chosen, _: Place) -> Tables:
        source, known = phrase.source, self.bench.known_count("cloth")
        if table.group.items or table.cuts or not known or not source.count:
            return []
        width = source.size[0] if source.size else self.facts.ready_cut
        fits = self.facts.ready_cut in (None, width)
        if source.count > known or width is None or not fits:
            return []
        if not phrase.is_cut:
            return [changed(table, chosen=source.count, chosen_width=width, group=Group())]
        if source.kind != "square":
            return []
        laid = Laid(count=source.count, width=width, length=width, noun="square", line=table.line)
        return [changed(table, cuts=(*table.cuts, laid), last=(len(table.cuts),), group=Group())]

    # ---- diagonals, figures ----------------------------------------------------------------------

    def _diagonal(self, table: Table, cut: parts.Diagonal, _: Place) -> Tables:
        group = table.group
        items = group.items
        of_last = cut.count is None and cut.who in ("", "all")
        if items and of_last:
            able = [at for at, item in enumerate(items) if item.may_be_square]
            at_end = able == [len(items) - 1]
            if len(items) > 1 and len(able) == 1 and not at_end:
                return []
            if len(items) == 1 or cut.binds_last or at_end:
                return self._diagonal_of_last(table, cut)
        if len(items) > 1 and not cut.who:
            raise UnsureError("which squares are cut on the diagonal is not said")
        return [table.gather(changed(group, diagonals=(*group.diagonals, cut)))]

    @staticmethod
    def _diagonal_of_last(table: Table, cut: parts.Diagonal) -> Tables:
        group = table.group
        item = group.items[-1]
        has_size = bool(item.size) or group.sub is not None
        if item.diagonal or item.noun not in ("", "square") or len(set(item.size)) > 1:
            return []
        if not has_size:
            return []
        cut_item = changed(item, diagonal=cut.times)
        return [table.gather(changed(group, items=(*group.items[:-1], cut_item)))]

    def _check(self, table: Table, said: parts.Check, _: Place) -> Tables:
        group = table.group
        if said.kind == "each strip":
            return self._of_each_strip(table, said)
        if said.is_bare and not any(item.count for item in group.items):
            return []  # it is the count itself
        is_of_next = said.kind in ("use", "need", "extra") and group.is_new
        if not (group.items or group.diagonals or table.last or is_of_next):
            return []
        return [table.gather(changed(group, checks=(*group.checks, said)))]

    def _of_each_strip(self, table: Table, said: parts.Check) -> Tables:
        if len(table.group.items) != 1:
            return []
        if table.group.items[0].count is None:
            return [table]
        cut = self.bench.commit(table)
        piece = changed(cut.pieces()[-1], count=said.count)
        fits = piece.length is not None and any(
            holds(Laid(count=1, width=side, length=None), 1, [piece], self.facts) is not Holds.NOT
            for side in piece.sides
        )
        if not fits:
            raise UnsureError(f"a strip does not give {said.count}", "Look at the counts.")
        return [cut]

    def _parts(self, table: Table, phrase: parts.Parts, _: Place) -> Tables:
        items = table.group.items
        return [table] if items and sum(phrase.counts) == items[-1].count else []

    def _share(self, table: Table, phrase: parts.Share, _: Place) -> Tables:
        items = table.group.items
        count = items[-1].count if items else None
        is_share = count and count > phrase.count and count % phrase.count == 0
        return [table] if is_share else []

    def _both(self, table: Table, phrase: parts.Both, place: Place) -> Tables:
        return [
            last
            for first in self.act(table, phrase.first, place)
            for last in self.act(first, phrase.second, place)
        ]

    # ---- kept, sewn, multiplied --------------------------------------------------------------

    def _keep(self, table: Table, phrase: parts.Keep, _: Place) -> Tables:
        group = table.group
        if group.items or group.diagonals or group.checks:
            table = self.bench.commit(table)
        elif table.chosen and not table.cuts:
            return [self.bench.lay_chosen(table)]
        elif group.sub or group.verb:
            return []
        return [self.bench.keep(table, phrase, self.bench.known_count())]

    def _sew(self, table: Table, phrase: parts.Sew, _: Place) -> Tables:
        group = table.group
        if group.items:
            table = self.bench.commit(table)
        elif group.verb or (group.sub and not (phrase.joins and table.hand)):
            return []
        if phrase.speaks_of_rest:
            raise UnsureError("what is trimmed or sewn, and what is left, is not said for sure")
        strips = any(one.is_strip for one in table.strips())
        chose = table.last_group is not None and table.last_group.verb == "choose"
        if phrase.trims and phrase.has_numbers and (strips or chose):
            raise UnsureError("whether the size is cut, or trimmed to later, is not said")
        doubtful = phrase.trims and (phrase.counts or phrase.says_each or bool(self.bench.known))
        doubtful = doubtful or (phrase.counts and phrase.is_before_cut)
        if phrase.has_numbers and not (table.cuts or table.joined) and doubtful:
            raise UnsureError("what is sewn or trimmed is not said")
        joins = phrase.joins
        return [
            changed(
                table,
                is_sewn=table.is_sewn or joins,
                group=Group(),
                joined=table.hand if joins and strips else table.joined,
                hand=() if joins else table.hand,
                last=() if joins else table.last,
            )
        ]

    def _blocks(self, table: Table, phrase: parts.Blocks, _: Place) -> Tables:
        group = table.group
        if group.blocks:
            return []
        return [table.gather(changed(group, blocks=phrase.count, is_sets=phrase.is_sets))]

    def _per_block(self, table: Table, _: parts.PerBlock, __: Place) -> Tables:
        group = table.group
        if not group.items:
            return [changed(table, is_multiplier_unsure=True)]
        return [table.gather(changed(group, is_per_block=True))]

    def _making(self, table: Table, phrase: parts.Making, _: Place) -> Tables:
        group = table.group
        if phrase.is_unit:
            if group.items:
                table = self.bench.commit(table)
            elif group.verb or group.sub:
                return []
            joined = table.hand or table.joined
            strips = any(table.cuts[at].is_strip for at in joined)
            return [
                changed(table, group=Group(), joined=joined if strips else (), hand=(), last=())
            ]
        if phrase.count in (None, 1):
            return [table]
        if phrase.is_whole and table.cuts:
            return [table]
        if not group.is_new or not phrase.is_whole:
            raise UnsureError(
                f"whether the counts are for one or for all {phrase.count} is not said", _TYPE_TOTAL
            )
        return [changed(table, is_multiplier_unsure=True)]

    def _each_count(self, table: Table, phrase: parts.EachCount, _: Place) -> Tables:
        group = table.group
        return [] if group.items else [table.gather(changed(group, each_count=phrase.count))]

    def _cloths(self, table: Table, phrase: parts.Cloths, _: Place) -> Tables:
        return [table] if phrase.count in (1, self.bench.known_count("cloth")) else []

    # ---- headings, lengths -------------------------------------------------------------------

    def _way(self, table: Table, phrase: parts.Way, _: Place) -> Tables:
        group = table.group
        way = changed(group, along=True) if phrase.along else changed(group, across=True)
        return [table.gather(way)]

    def _heading(self, table: Table, phrase: parts.Heading, _: Place) -> Tables:
        if not table.group.is_new:
            return []
        names = phrase.names if phrase.along else frozenset[str]()
        return [changed(table, along_names=names, along=phrase.along and not names, hand=())]

    def _strip_width(self, table: Table, phrase: parts.StripWidth, _: Place) -> Tables:
        return [changed(table, strip_width=phrase.width)]

    def _running(self, table: Table, phrase: parts.Running, _: Place) -> Tables:
        group = table.group
        if group.items and group.sub is None:
            table, group = self.bench.commit(table), Group()
        last = table.cuts[table.last[-1]] if table.last else None
        # Bias strips come of the square that was cut for them: it is the demand.
        if last is not None and last.line == table.line and last.width > 3 * phrase.width:
            return [table.gather(Group())]
        if group.items or group.sub or not phrase.total:
            raise UnsureError("a running length and pieces stand together")
        laid = Laid(
            count=1,
            width=phrase.width,
            length=phrase.total,
            noun="strip",
            is_running=True,
            is_bias=phrase.is_bias,
            line=table.line,
        )
        at = len(table.cuts)
        return [changed(table, cuts=(*table.cuts, laid), last=(at,), hand=(), group=Group())]

    def _note(self, table: Table, phrase: parts.Note, _: Place) -> Tables:
        group = table.group
        if not group.items:
            return [table]
        last = group.items[-1]
        noted = changed(
            last, is_final=last.is_final or phrase.is_final, words=(*last.words, phrase.words)
        )
        return [table.gather(changed(group, items=(*group.items[:-1], noted)))]

    def _free(self, table: Table, _: parts.Free, __: Place) -> Tables:
        return [table]


_ACTS: dict[type, Callable[[Acts, Table, Any, Place], Tables]] = {
    Item: Acts._item,
    Source: Acts._source,
    parts.Panel: Acts._panel,
    parts.Verb: Acts._verb,
    parts.Totals: Acts._totals,
    parts.Make: Acts._make,
    parts.Needs: Acts._needs,
    parts.SubCut: Acts._sub_cut,
    parts.CutUp: Acts._cut_up,
    parts.Chosen: Acts._chosen,
    parts.Diagonal: Acts._diagonal,
    parts.Check: Acts._check,
    parts.Parts: Acts._parts,
    parts.Share: Acts._share,
    parts.Both: Acts._both,
    parts.Keep: Acts._keep,
    parts.Sew: Acts._sew,
    parts.Blocks: Acts._blocks,
    parts.EachCount: Acts._each_count,
    parts.PerBlock: Acts._per_block,
    parts.Making: Acts._making,
    parts.Cloths: Acts._cloths,
    parts.Way: Acts._way,
    parts.Heading: Acts._heading,
    parts.StripWidth: Acts._strip_width,
    parts.Running: Acts._running,
    parts.Note: Acts._note,
    parts.Free: Acts._free,
}

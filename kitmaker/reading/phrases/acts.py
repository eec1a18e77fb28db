"""What each phrase does on the cutting table.

An act takes a table and gives those that may come of it: none where the phrase cannot stand
there, several where it may mean several things. A group of items is cut when the next verb
comes, so that what stands behind them ("from each print", "80 in all") still counts.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from kitmaker.lengths import Length
from kitmaker.reading.phrases import parts
from kitmaker.reading.phrases.bench import TYPE_TOTAL, Bench
from kitmaker.reading.phrases.controls import hold_strips
from kitmaker.reading.phrases.parts import STRIPS, Item, Phrase, Source, UnsureError, unsure_if
from kitmaker.reading.phrases.settling import Holds, holds, settle
from kitmaker.reading.phrases.strips import keep
from kitmaker.reading.phrases.table import Group, Laid, Table
from kitmaker.reading.words.tokens import Kind

Tables = list[Table]
_ENDS = (Kind.END, Kind.CLOSING, Kind.STOP)


class Place(NamedTuple):
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

    def _cut(self, table: Table) -> Table:
        """Return the table with what was gathered cut, and a group that goes on from its head."""
        return self.bench.commit(table).gather(Group(source=table.lead))

    # ---- items -----------------------------------------------------------------------------------

    def _item(self, table: Table, item: Item, place: Place) -> Tables:
        group = table.group
        if group.diagonals and not group.items:
            table = self._cut(table)
        ready = group.verb == "choose" and self.facts.count_of("cloth")
        if ready and item.count and item.noun == "square":
            return []  # they are chosen, not cut
        if group.sub is not None and item.is_strip:
            if not group.items:
                return []
            table = self._cut(table)
        elif group.sub is not None and group.items and ";" in place.signs:
            lone = len(item.size) == 1 and not item.noun
            unsure_if(lone, "whether it is cut from the same strips is not said")
        if self._cuts_on(table.group, item, place):
            table = self.bench.commit(table).gather(Group(sub=STRIPS))
        if not table.group.items:
            table = self._below_head(table, place)
        group = table.group
        return [table.gather(group._replace(items=(*group.items, item)))]

    @staticmethod
    def _cuts_on(group: Group, item: Item, place: Place) -> bool:
        """Whether an item behind strips is cut from them: ``then``, or a length behind @."""
        if not group.items or group.sub is not None:
            return False
        last = group.items[-1]
        is_then = "then" in place.signs and last.says_strip and not item.says_strip
        return is_then or (item.is_length and last.is_strip and not last.follows_at)

    def _below_head(self, table: Table, place: Place) -> Table:
        group, heads = table.group, ":" in place.signs
        if heads and group.along:
            table = table._replace(along=True)
        if group.source is None:
            return table
        is_lead = group.source is table.lead and group.source.is_each and group.sub is None
        loose = self.bench.multiplier_of(group.source, table.chosen) if heads and is_lead else None
        return table._replace(loose_multiplier=loose)

    def _panel(self, table: Table, phrase: parts.Panel, _: Place) -> Tables:
        if not table.group.is_new or table.cuts:
            return []
        return [table.gather(table.group._replace(items=(phrase.item,), verb="panel"))]

    def _verb(self, table: Table, phrase: parts.Verb, _: Place) -> Tables:
        group = table.group
        if group.items:
            table = self._cut(table)
        elif group.checks or group.diagonals:
            return []
        return [table.gather(table.group._replace(verb=phrase.word))]

    def _totals(self, table: Table, phrase: parts.Totals, place: Place) -> Tables:
        group = table.group
        if phrase.is_verb == bool(group.items):
            return []
        if phrase.is_verb:
            tables = self._verb(table, parts.Verb(), place)
            return [one._replace(multiplier=None, is_multiplier_unsure=False) for one in tables]
        unsure_if(table.multiplier, "whether a total is for each is not said", TYPE_TOTAL)
        return [table.gather(group._replace(is_total=True))]

    def _make(self, table: Table, _: parts.Make, __: Place) -> Tables:
        group = table.group
        if not group.items:
            return [table.gather(group._replace(verb="have"))]
        if group.items[-1].says_strip and group.sub is None and not group.checks:
            return [self.bench.commit(table).gather(Group(sub=STRIPS))]
        return []

    def _needs(self, table: Table, phrase: parts.Needs, _: Place) -> Tables:
        item, group = phrase.item, table.group
        speaks_of = group.items or (table.last and group.is_new and phrase.is_verb)
        if not speaks_of or not item.count or item.noun != "strip" or group.sub:
            return []
        cut = self.bench.commit(table) if group.items else table
        hold_strips(settle(item, self.facts), item.count, cut.pieces(), self.facts)
        return [cut]

    # ---- what is cut from ------------------------------------------------------------------------

    def _source(self, table: Table, source: Source, place: Place) -> Tables:
        group = table.group
        source = self._as_cloth(table, source, is_last=place.behind in _ENDS)
        if group.items:
            return self._source_behind(table, source, place)
        if group.source is not None or group.sub is not None:
            return []
        if source.kind in ("strip", "these") and table.has_strips:
            return [table.gather(group._replace(sub=source))]
        return [table.gather(group._replace(source=source))._replace(lead=source)]

    def _as_cloth(self, table: Table, source: Source, *, is_last: bool) -> Source:
        """Return squares bought ready cut, and pieces, as the cloth itself."""
        if source.kind == "square":
            has_squares = any(cut.noun == "square" for cut in table.cuts)
            unsure_if(has_squares, "whether it is cut from the pieces above is not said")
            return source._replace(kind="cloth", of="cloth")
        is_cloth = source.kind == "piece"
        if source.kind == "these" and not (table.cuts or table.has_strips):
            strips_before = any(item.is_strip for item in table.group.items[:-1])
            is_each = source.count is None and not strips_before and self.bench.known
            is_this = source.count in (None, 1) and is_last
            is_cloth = bool(is_each if source.is_each else is_this)
        return source._replace(kind="cloth") if is_cloth else source

    def _source_behind(self, table: Table, source: Source, place: Place) -> Tables:
        """Return what a source behind items may mean: of them, or the next cut's."""
        group = table.group
        counted = source.kind == "strip" and source.count and not (source.is_each or source.is_rest)
        free_sub = group.sub is None or (group.sub == STRIPS and not table.has_strips)
        if counted and free_sub and not any(item.is_strip for item in group.items):
            return self._taken_from(table, source)
        begins = (Kind.COLON, Kind.CUT, Kind.NUM, Kind.OPENING, Kind.COMMA)
        if ";" in place.signs and source.kind == "cloth" and place.behind in begins:
            cut = self.bench.commit(table).gather(Group(source=source))
            return [cut._replace(lead=source)]
        found: Tables = []
        is_strip = source.kind in ("strip", "these")
        is_free = group.source is None or (group.source is table.lead and not group.source.is_each)
        if is_free and (group.sub is None or not is_strip):
            found.append(table.gather(group._replace(source=source)))
        elif is_free and group.sub == STRIPS:
            found.append(table.gather(group._replace(sub=source)))
        if place.behind not in _ENDS and (is_strip or source.kind == "rest"):
            try:
                cut = self.bench.commit(table)
            except UnsureError:
                return found
            found.append(cut.gather(Group(sub=source) if is_strip else Group(source=source)))
        return found

    def _taken_from(self, table: Table, source: Source) -> Tables:
        """Read ``12 squares 5" (from 2 strips 5" × WOF)``: the strips are what they take."""
        table = table.gather(table.group._replace(sub=None))
        cut, count = self.bench.commit(table), source.count or 1
        unsure_if(not source.size, "how wide the strips are is not said")
        strip = Laid(count=1, width=source.size[0], length=None)
        hold_strips(strip, count, cut.pieces(), self.facts)
        return [cut.gather(Group(source=cut.lead))]

    def _sub_cut(self, table: Table, phrase: parts.SubCut, _: Place) -> Tables:
        source, group = phrase.source, table.group
        ready = self._of_ready_cut(table, source)
        if ready is not None:
            return [table.gather(group._replace(source=ready, verb="cut"))]
        if group.items:
            return [self.bench.commit(table).gather(Group(sub=source))]
        if group.sub is not None:
            return [table] if source == STRIPS else []
        return [table.gather(group._replace(sub=source))]

    def _of_ready_cut(self, table: Table, source: Source) -> Source | None:
        """Return the cloth where chosen squares, or strips bought ready cut, are cut on."""
        if not source.is_each or table.cuts:
            return None
        if source.kind == "these" and table.chosen:
            return source._replace(kind="cloth")
        is_ready = source.kind == "strip" and not table.hand and not table.group.items
        fits = self.facts.ready_cut in (None, *source.size[:1])
        if is_ready and fits and self.facts.count_of():
            return source._replace(kind="cloth", of="cloth")
        return None

    def _cut_up(self, table: Table, phrase: parts.CutUp, _: Place) -> Tables:
        source, group = phrase.source, table.group
        if phrase.parts:
            if table.cuts or group.items or group.source:
                return []
            return [table.gather(group._replace(source=source, parts=phrase.parts, verb="cut"))]
        if group.items:
            table = self.bench.commit(table).gather(Group())
        is_counted = source.kind == "square" and table.cuts
        unsure_if(is_counted, "whether squares that are counted already are cut up is not said")
        group = table.group._replace(source=source, verb="cut")
        return [table.gather(group)._replace(lead=source)]

    def _chosen(self, table: Table, phrase: parts.Chosen, _: Place) -> Tables:
        source, known = phrase.source, self.facts.count_of("cloth")
        if table.group.items or table.cuts or not known or not source.count:
            return []
        width = source.size[0] if source.size else self.facts.ready_cut
        fits = self.facts.ready_cut in (None, width)
        if source.count > known or width is None or not fits:
            return []
        if not phrase.is_cut:
            return [table._replace(chosen=source.count, chosen_width=width, group=Group())]
        return [lay_chosen(table, source.count, width)] if source.kind == "square" else []

    # ---- diagonals, figures ----------------------------------------------------------------------

    def _diagonal(self, table: Table, cut: parts.Diagonal, _: Place) -> Tables:
        group, items = table.group, table.group.items
        if items and cut.count is None and cut.who in ("", "all"):
            able = [at for at, item in enumerate(items) if item.may_be_square]
            at_end = able == [len(items) - 1]
            if len(items) > 1 and len(able) == 1 and not at_end:
                return []
            if len(items) == 1 or cut.binds_last or at_end:
                return self._diagonal_of_last(table, cut)
        is_unsure = len(items) > 1 and not cut.who
        unsure_if(is_unsure, "which squares are cut on the diagonal is not said")
        return [table.gather(group._replace(diagonals=(*group.diagonals, cut)))]

    @staticmethod
    def _diagonal_of_last(table: Table, cut: parts.Diagonal) -> Tables:
        group, item = table.group, table.group.items[-1]
        is_other = item.noun not in ("", "square") or len(set(item.size)) > 1
        if item.diagonal or is_other or not (item.size or group.sub):
            return []
        return [table.gather(group.with_last(diagonal=cut.times))]

    def _check(self, table: Table, figure: parts.Check, _: Place) -> Tables:
        group = table.group
        if figure.kind == "each strip":
            return self._of_each_strip(table, figure)
        if figure.kind == "cloths":
            return [table] if figure.count in (1, self.facts.count_of("cloth")) else []
        if figure.kind in ("parts", "share"):
            count = (group.items[-1].count if group.items else None) or 0
            is_share = figure.kind == "share" and count > figure.count and count % figure.count == 0
            return [table] if is_share or (figure.kind == "parts" and count == figure.count) else []
        if figure.is_bare and not (group.diagonals or any(item.count for item in group.items)):
            return []  # it is the count itself
        is_of_next = figure.kind in ("use", "need", "extra") and group.is_new
        speaks_of = group.items or group.diagonals or table.last or is_of_next
        return [table.expect(figure)] if speaks_of else []

    def _of_each_strip(self, table: Table, figure: parts.Check) -> Tables:
        if len(table.group.items) != 1:
            return []
        if table.group.items[0].count is None:
            return [table]
        cut = self.bench.commit(table)
        piece = cut.pieces()[-1]._replace(count=figure.count)
        strips = [Laid(count=1, width=side, length=None) for side in piece.sides]
        fits = [strip for strip in strips if holds(strip, 1, [piece], self.facts) is not Holds.NOT]
        is_wrong = piece.length is None or not fits
        unsure_if(is_wrong, f"a strip does not give {figure.count}", "Look at the counts.")
        return [cut]

    def _both(self, table: Table, phrase: parts.Both, place: Place) -> Tables:
        firsts = self.act(table, phrase.first, place)
        return [last for first in firsts for last in self.act(first, phrase.second, place)]

    # ---- kept, sewn, multiplied ------------------------------------------------------------------

    def _keep(self, table: Table, phrase: parts.Keep, _: Place) -> Tables:
        group = table.group
        if group.items or group.diagonals or group.checks:
            table = self.bench.commit(table)
        elif table.chosen and table.chosen_width is not None and not table.cuts:
            return [lay_chosen(table, table.chosen, table.chosen_width)]
        elif group.sub or group.verb:
            return []
        of_size = any(phrase.size[0] in cut.sides for cut in table.cuts) if phrase.size else True
        is_yardage = len(phrase.size) == 1 and phrase.size[0] >= 36 and phrase.count is None
        told = of_size or self.bench.known or is_yardage or phrase.is_rest
        unsure_if(
            not told, "what is set aside is not cut above", "Type it as a piece, with its size."
        )
        return [keep(table, phrase, self.facts.count_of())]

    def _sew(self, table: Table, phrase: parts.Sew, _: Place) -> Tables:
        group, joins = table.group, phrase.joins
        if group.items:
            table = self.bench.commit(table)
        elif group.verb or (group.sub and not (joins and table.hand)):
            return []
        unsure_if(
            phrase.speaks_of_rest, "what is trimmed or sewn, and what is left, is not said for sure"
        )
        strips = any(strip.is_strip for strip in table.strips())
        chose = table.last_group is not None and table.last_group.verb == "choose"
        trims_to = phrase.trims and phrase.has_numbers and (strips or chose)
        unsure_if(trims_to, "whether the size is cut, or trimmed to later, is not said")
        doubtful = phrase.trims and (phrase.counts or phrase.says_each or self.bench.known)
        doubtful = doubtful or (phrase.counts and phrase.is_before_cut)
        is_unsure = doubtful and phrase.has_numbers and not (table.cuts or table.joined)
        unsure_if(is_unsure, "what is sewn or trimmed is not said")
        sewn = table._replace(group=Group(), joined=table.hand if strips else table.joined)
        if joins:
            return [sewn._replace(is_sewn=True, hand=(), last=())]
        return [table.gather(Group())]

    def _blocks(self, table: Table, phrase: parts.Blocks, _: Place) -> Tables:
        if table.group.blocks:
            return []
        return [table.gather(table.group._replace(blocks=phrase.count, is_sets=phrase.is_sets))]

    def _per_block(self, table: Table, _: parts.PerBlock, __: Place) -> Tables:
        if not table.group.items:
            return [table._replace(is_multiplier_unsure=True)]
        return [table.gather(table.group._replace(is_per_block=True))]

    def _making(self, table: Table, phrase: parts.Making, _: Place) -> Tables:
        group, count = table.group, phrase.count
        strips = any(item.says_strip for item in group.items) or table.strips()
        message = "whether they are cut from the strips or sewn is not said"
        unsure_if(phrase.is_cut and strips, message, "Write: sub-cut the strips into them.")
        if phrase.is_unit:
            if group.items:
                table = self.bench.commit(table)
            elif group.verb or group.sub:
                return []
            joined = table.hand or table.joined
            is_of_strips = any(table.cuts[at].is_strip for at in joined)
            sewn = table._replace(group=Group(), hand=(), last=())
            return [sewn._replace(joined=joined if is_of_strips else ())]
        if count in (None, 1) or (phrase.is_whole and table.cuts):
            return [table]
        is_unsure = not group.is_new or not phrase.is_whole
        message = f"whether the counts are for one or for all {count} is not said"
        unsure_if(is_unsure, message, TYPE_TOTAL)
        return [table._replace(is_multiplier_unsure=True)]

    def _each_count(self, table: Table, phrase: parts.EachCount, _: Place) -> Tables:
        group = table.group
        return [] if group.items else [table.gather(group._replace(each_count=phrase.count))]

    # ---- headings, lengths -----------------------------------------------------------------------

    def _way(self, table: Table, phrase: parts.Way, _: Place) -> Tables:
        group, along = table.group, phrase.along
        turned = group._replace(along=along or group.along, across=not along or group.across)
        return [table.gather(turned)]

    def _heading(self, table: Table, phrase: parts.Heading, _: Place) -> Tables:
        if not table.group.is_new:
            return []
        names = phrase.names if phrase.along else frozenset[str]()
        return [table._replace(along_names=names, along=phrase.along and not names, hand=())]

    def _strip_width(self, table: Table, phrase: parts.StripWidth, _: Place) -> Tables:
        return [table._replace(strip_width=phrase.width)]

    def _running(self, table: Table, phrase: parts.Running, _: Place) -> Tables:
        if table.group.items and table.group.sub is None:
            table = self.bench.commit(table)
        group = table.group
        last = table.cuts[table.last[-1]] if table.last else None
        # Bias strips come of the square that was cut for them: it is the demand.
        if last is not None and last.line == table.line and last.width > 3 * phrase.width:
            return [table.gather(Group())]
        is_unsure = group.items or group.sub or not phrase.total
        unsure_if(is_unsure, "a running length and pieces stand together")
        laid = Laid(
            count=1,
            width=phrase.width,
            length=phrase.total,
            noun="strip",
            is_running=True,
            is_bias=phrase.is_bias,
            line=table.line,
        )
        return [table.lay(laid, hand=(), group=Group())]

    def _note(self, table: Table, phrase: parts.Note, _: Place) -> Tables:
        group = table.group
        if not (group.items and phrase.words):
            return [table]
        last = group.items[-1]
        is_final, words = last.is_final or phrase.is_final, (*last.words, phrase.words)
        return [table.gather(group.with_last(is_final=is_final, words=words))]


def lay_chosen(table: Table, count: int, width: Length) -> Table:
    """Return the table with ready-cut squares that were chosen, to be used as they are."""
    laid = Laid(count=count, width=width, length=width, noun="square", line=table.line)
    return table.lay(laid, chosen=None, group=Group())


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
    parts.Both: Acts._both,
    parts.Keep: Acts._keep,
    parts.Sew: Acts._sew,
    parts.Blocks: Acts._blocks,
    parts.EachCount: Acts._each_count,
    parts.PerBlock: Acts._per_block,
    parts.Making: Acts._making,
    parts.Way: Acts._way,
    parts.Heading: Acts._heading,
    parts.StripWidth: Acts._strip_width,
    parts.Running: Acts._running,
    parts.Note: Acts._note,
}

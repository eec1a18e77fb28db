"""Strips and squares that lie on the table: cut on, cut on the diagonal, kept.

A strip and its sub-cuts are one demand: strips that are cut on are replaced by what they are
cut into, strips that are not stay whole. ``Cut 9 strips 2½". Set 4 aside for the border.
Sub-cut the rest`` lays 9 at hand, keeps 4 back and cuts on 5; 4 stay whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.lengths import Length, say_size
from kitmaker.reading.phrases.controls import AGREE
from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import STRIPS, Diagonal, Item, Keep, Source, unsure_if
from kitmaker.reading.phrases.settling import USUAL_WIDTH, Holds, holds, settle
from kitmaker.reading.phrases.table import LONGEST_ACROSS, Laid, Opened, Table

TYPE_WHICH = "Type how many strips are cut into what."
_WHICH_STRIPS = "which strips they are cut from is not said"
_WHICH_SQUARES = "which squares are cut on the diagonal is not said"


def sub_cut(
    table: Table, items: tuple[Item, ...], of: Source, facts: FabricFacts, *, is_known: bool
) -> Table | None:
    """Return the table with strips cut into items; None where the fabric itself is strips.

    It is known or not how many prints or cloths the fabric comes in.

    Raises:
        UnsureError: Which strips, or how many, is not sure, or they do not hold the items.
    """
    if of.is_sewn and table.hand:
        table = table._replace(joined=table.hand, hand=())
    if len(of.size) == 1:
        table = _of_width(table, of.size[0])
    has_rest = bool(table.kept or table.rest) or of.count is not None
    table = _at_hand(table, of)
    if not table.hand:
        return _Cutter(table, of, facts).without_strips(items, is_known=is_known)
    unsure_if(of.is_rest and not has_rest, "which strips remain is not said for sure", TYPE_WHICH)
    places = _which(table, of)
    if len(places) > 1:
        places = tuple(
            at for at in places if all(table.cuts[at].width in item.size for item in items)
        )
        unsure_if(len(places) != 1, _WHICH_STRIPS, TYPE_WHICH)
    return _Cutter(table, of, facts).cut_some(places[0], items)


def _at_hand(table: Table, of: Source) -> Table:
    """Take up the strips that were left, or the one long piece cut last."""
    if not table.hand and table.rest and (of.is_rest or of.count is not None):
        return table._replace(hand=table.rest, rest=())
    is_other = table.hand or table.joined or table.opened or of.is_each or of.count is not None
    if not is_other and len(table.last) == 1:
        laid = table.cuts[table.last[0]]
        is_long = laid.length is not None and laid.length >= 2 * laid.width
        if is_long and laid.noun in ("", "rectangle") and laid.line == table.line:
            return table if laid.diagonal else table._replace(hand=table.last)
    return table


def _of_width(table: Table, width: Length) -> Table:
    """Take up the strips of a width: ``From the 5" strips``."""
    all_such = [at for at, cut in enumerate(table.cuts) if cut.is_strip and cut.width == width]
    if not all_such:
        return table
    places = tuple(at for at in table.hand if at in all_such) or tuple(all_such)
    is_final = {table.cuts[at].is_final for at in all_such}
    unsure_if(len(places) != 1 or len(is_final) > 1, _WHICH_STRIPS, TYPE_WHICH)
    return table._replace(hand=places)


def _which(table: Table, of: Source) -> tuple[int, ...]:
    places = table.hand
    if len(of.size) > 1:
        places = tuple(at for at in places if table.cuts[at].width == of.size[0])
        unsure_if(len(places) != 1, _WHICH_STRIPS, TYPE_WHICH)
    widths = {table.cuts[at].width for at in places}
    unnamed = tuple(at for at in places if not table.cuts[at].is_named)
    return unnamed if len(widths) == 1 and len(unnamed) == 1 else places


@dataclass(frozen=True, slots=True)
class _Cutter:
    table: Table
    of: Source
    facts: FabricFacts

    def without_strips(self, items: tuple[Item, ...], *, is_known: bool) -> Table | None:
        """Cut on strips that are joined, being cut, sewn, or named by their size alone."""
        table, of = self.table, self.of
        if table.joined and not of.is_sewn:
            return self._of_joined(items)
        if table.opened is not None and not (of.count or of.is_sewn):
            return self._go_on(table.opened, items)
        if of.is_sewn or (table.is_sewn and not is_known and not of.size):
            return table._replace(last=())  # sewn of strips that are counted where they are cut
        says_strip = of.size and (of.across or len(of.size) > 1)
        if says_strip and not of.is_each and not of.is_rest:
            # cut the 4" × 24" strip into: its size names it
            strip = Item(count=of.count or 1, size=of.size, noun="strip", across=of.across)
            laid = settle(strip, self.facts)._replace(line=table.line)
            table = table.lay(laid, hand=(len(table.cuts),), listing=None)
            return sub_cut(table, items, STRIPS, self.facts, is_known=is_known)
        is_ready = self.facts.prints_are_strips and of.is_each
        unsure_if(not is_ready, "the strips it is cut from are not above it", TYPE_WHICH)
        return None

    def _of_joined(self, items: tuple[Item, ...]) -> Table:
        strip = self.table.cuts[self.table.joined[0]]
        need, table = Fraction(0), self.table._replace(last=())
        if all(item.count is None for item in items):
            return table  # segments of what was sewn
        for item in items:
            laid = settle(item, self.facts, strip=strip)
            is_of_it = laid.length is not None and strip.width in laid.sides
            unsure_if(not is_of_it, "whether it is cut of the joined strips is not said")
            need += laid.count * ((laid.length or 0) if laid.width == strip.width else laid.width)
        return joined_gives(table, need, self.facts)

    def cut_some(self, place: int, items: Sequence[Item]) -> Table:
        table, of, strip = self.table, self.of, self.table.cuts[place]
        count = left = strip.of_each - table.kept
        if of.count is not None:
            is_all = of.is_rest or of.is_all
            unsure_if(
                of.count > left or (is_all and of.count != left),
                f"it cuts on {of.count} strips, and there are {left}",
                AGREE,
            )
            count = of.count
        new = self._from_strip(strip, items, count)
        whole = strip.of_each - count
        if whole:
            table = table.alter(place, count=whole * strip.each)
        else:
            table = table._replace(cuts=(*table.cuts[:place], *table.cuts[place + 1 :]))
        opened = Opened(strip=strip, count=count, pieces=tuple(new))
        rest = (place,) if whole else ()
        return table.lay(*new, opened=opened, hand=(), rest=rest, kept=0)

    def _go_on(self, opened: Opened, items: Sequence[Item]) -> Table:
        """Cut more pieces from the strips that are being cut."""
        table = self.table
        is_each = self.of.is_each and not table.rest
        new = self._from_strip(opened.strip, items, opened.count, opened.pieces, is_each=is_each)
        return table.lay(*new, opened=opened._replace(pieces=(*opened.pieces, *new)))

    def _from_strip(
        self,
        strip: Laid,
        items: Sequence[Item],
        count: int,
        before: Sequence[Laid] = (),
        *,
        is_each: bool | None = None,
    ) -> list[Laid]:
        """Return what so many strips are cut into, held against what they give."""
        is_each = self.of.is_each if is_each is None else is_each
        new: list[Laid] = []
        for item in items:
            laid = settle(item, self.facts, strip=strip)
            unsure_if(
                laid.length is None, "a strip is not cut from a strip", "Type what it is cut into."
            )
            laid = laid._replace(
                count=laid.count * (count if is_each else 1) * strip.each,
                each=strip.each,
                is_of_blocks=strip.is_of_blocks,
                line=self.table.line,
                is_named=True,
                words=laid.words or strip.words,
                purpose=laid.purpose or strip.purpose,
            )
            new.append(laid)
        fit = holds(strip, count * strip.each, [*before, *new], self.facts)
        if fit is Holds.NOT and is_each and count > 1:
            return self._from_strip(strip, items, count, before, is_each=False)
        unsure_if(fit is Holds.NOT, "the strips do not hold all of it", "Look at the counts.")
        if fit is Holds.JUST:
            return [one._replace(confirmed=one.confirmed or "strips") for one in new]
        return new


def joined_gives(table: Table, need: Fraction, facts: FabricFacts) -> Table:
    """Say where strips that are joined give less than is cut of them."""
    count = sum(table.cuts[at].count for at in table.joined)
    gives, unit = count * min(USUAL_WIDTH, facts.widest_width), facts.unit
    if need <= gives:
        return table
    is_short = need > count * LONGEST_ACROSS
    unsure_if(is_short, "the joined strips are too short for it", "Look at the counts.")
    message = (
        f"the {count} strips joined give {say_size(gives, unit)} {unit.value} before seams, "
        f"and {say_size(need, unit)} {unit.value} are wanted of them"
    )
    return table.advise(table.joined[:1], message, "Cut a strip more if that is right.")


# ---- on the diagonal, kept back --------------------------------------------------------------


def cut_diagonally(table: Table, cut: Diagonal) -> Table:
    """Return the table with squares cut on the diagonal.

    Raises:
        UnsureError: Which squares, or how many of them, is not sure.
    """
    if table.is_sewn and not table.last:
        return table
    place = _squares(table, cut)
    laid = table.cuts[place]
    unsure_if(laid.diagonal, "whether they are cut on the diagonal again is not said")
    if cut.count is None or cut.count in (laid.of_each, laid.count):
        return table.alter(place, diagonal=cut.times)._replace(last=(place,))
    is_more = cut.count > laid.count
    unsure_if(is_more, "there are not so many squares", "Make the counts agree.")
    unsure_if(not cut.says_times, "whether some of the squares are cut once is not said")
    table = table.alter(place, count=laid.count - cut.count)
    return table.lay(laid._replace(count=cut.count, diagonal=cut.times))


def _squares(table: Table, cut: Diagonal) -> int:
    who, cuts = cut.who, table.cuts
    if who == "=":
        of_size = [at for at, one in enumerate(cuts) if one.is_square and one.width == cut.size]
        of_size = [at for at in of_size if not cuts[at].diagonal]
        unsure_if(len(of_size) != 1, _WHICH_SQUARES)
        return of_size[0]
    places = table.last or tuple(range(len(cuts)))[-1:]
    if who.startswith("#"):
        label = who[1:].casefold()
        places = tuple(at for at, one in enumerate(cuts) if one.label.casefold() == label)
    squares = [at for at in places if cuts[at].is_square]
    kinds = {(one.width, one.diagonal) for one in cuts if one.is_square}
    unsure_if(who == "all" and len(kinds) > 1, _WHICH_SQUARES)
    picks = who in ("large", "small")
    if picks and len(squares) == 2:
        pick = max if who == "large" else min
        squares = [pick(squares, key=lambda at: cuts[at].width)]
    unsure_if(len(squares) != 1 or (len(places) > 1 and not picks), _WHICH_SQUARES)
    return squares[0]


def keep(table: Table, kept_back: Keep, known: int | None) -> Table:
    """Return the table with so many strips or pieces set aside.

    Raises:
        UnsureError: There are not so many.
    """
    count = kept_back.count
    if count is None or (kept_back.is_rest and not (table.hand or table.rest)):
        return table
    if len(table.hand) == 1:
        have = table.cuts[table.hand[0]].of_each
        if count <= have:
            return table._replace(kept=count if count < have else 0)
    elif not table.hand:
        left = table.cuts[table.rest[0]].count if len(table.rest) == 1 else None
        most = max((cut.count for cut in table.cuts), default=0)
        if left == count or (left is None and count <= most):
            return table
        if left is None and (table.chosen or count < (known or 0)):
            return table
    unsure_if(count, f"it keeps {count} back, and not so many are left", "Make the counts agree.")
    return table

"""One clause of a sentence into cuts: from the fabric itself, or from the strips at hand."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from kitmaker.errors import Level
from kitmaker.lengths import Length, say_number
from kitmaker.pattern import PieceKind
from kitmaker.reading.phrases.accounts import OF_EACH, OF_THE_REST, Account
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.doubts import doubt_sub_cuts, gives_just
from kitmaker.reading.phrases.elements import Kind, elements_of
from kitmaker.reading.phrases.governing import Governing
from kitmaker.reading.phrases.items import Item, items_of
from kitmaker.reading.phrases.joining import without_joined
from kitmaker.reading.phrases.manners import Blocks
from kitmaker.reading.phrases.model import Cut
from kitmaker.reading.phrases.plain import PlainLine, UnsureError
from kitmaker.reading.phrases.sentences import Clause
from kitmaker.reading.phrases.settle import settle
from kitmaker.reading.phrases.sources import From, Source
from kitmaker.reading.phrases.sub_cuts import cut_listed, sub_cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a sentence says around its clauses.

    Attributes:
        plain: The sentence in plain signs, with the totals it states.
        label: The letter it begins with; "".
        source: What its cuts come from; None when not said.
        running: The running length it asks for, in inches; None for none.
        blocks: The blocks its counts are for; None for none.
        account: The numbers and words of quantity that nothing has read yet.
    """

    plain: PlainLine
    account: Account
    label: str = ""
    source: From | None = None
    running: Length | None = None
    blocks: Blocks | None = None


_RUN_TOGETHER = re.compile(
    r"(?:\bwof|\bstrips?|\bfabric)\s+‹?\d+›?\s*(?:--\s*|@\s*)?(?:squares?|rectangles?|pieces?|\d)",
    re.IGNORECASE,
)
_CUT_OF_STRIPS = frozenset({"square", "rectangle", "piece", "segment", "unit", "patch"})


class ClauseReader:
    """Reads clauses onto the cutting table."""

    def __init__(self, bench: Bench, governing: Governing, said: Said) -> None:
        """Begin a sentence."""
        self.bench, self.governing, self.said = bench, governing, said

    def read(self, clause: Clause) -> None:
        """Read a clause.

        Raises:
            UnsureError: A number, a word or a source in it is not sure.
        """
        bench, source = self.bench, self.said.source
        self._account_for(clause)
        elements = elements_of(clause.text, bench.facts.unit, self.said.plain.warnings)
        if not any(element.kind in (Kind.COUNT, Kind.SIZE, Kind.DIAGONAL) for element in elements):
            return
        self.said.account.spend(clause.text)
        items = items_of(elements)
        _lay_alike(items)
        if len(items) == 1 and items[0].is_empty and items[0].diagonal:
            bench.cut_last_on_diagonal(items[0].diagonal)
            return
        if self._is_of_a_list(clause, items):
            self._cut_listed(items)
            return
        bench.list_is_open, bench.listed = False, None
        from_strips = source is not None and source.source in (Source.STRIPS, Source.EACH_STRIP)
        number = clause.strips_used or (source.number if source and from_strips else None)
        says_rest = clause.of_the_rest or bool(source and from_strips and source.of_the_rest)
        is_sub_cut = clause.is_sub_cut or from_strips
        if is_sub_cut or says_rest:
            number = bench.take_up_the_rest(number, says_rest=says_rest)
        self._count_by_total(items, is_sub_cut=is_sub_cut)
        at_items = self._cut_on_items(items, from_strips=from_strips)
        if bench.strips and (is_sub_cut or at_items):
            each = source is not None and source.source is Source.EACH_STRIP
            strip = bench.cuts[bench.strips[0]]
            times = strip.quantity if clause.from_each_strip or each else strip.from_each
            self._refuse_total_of_each(clause, times)
            self._sub_cut(items, number, each=clause.from_each_strip or each)
            return
        self._cut_from_fabric(clause, items, at_items)

    def _cut_from_fabric(self, clause: Clause, items: list[Item], at_items: list[Item]) -> None:
        """Cut a clause from the fabric, or from strips that it does not say it is cut from."""
        bench, source = self.bench, self.said.source
        strips = [item for item in items if item not in at_items]
        if (
            at_items
            and any(_is_strip(item) and not item.at for item in strips)
            and not bench.strips
        ):
            # A strip and, on the same line, what is cut from it: "3 strips 2½: 12 @ 4½".
            self._whole(strips, clause)
            self._sub_cut(at_items, None, each=False)
        elif (row := self._row_of_columns(items, clause)) is not None:
            self._whole(row[:1], clause)
            self._sub_cut(row[1:], None, each=False)
        elif self._are_what_strips_become(items, clause):
            bench.find(
                Level.WARNING,
                f"'{clause.text}' is read as cut from the strips above it, which give just that",
                "Type 'sub-cut into' before it, or its own line above the strips if it is not.",
            )
            self._sub_cut(items, None, each=False)
        elif clause.is_sub_cut and not clause.from_each_strip and source is None and bench.joined:
            bench.find(
                Level.WARNING,
                "what is sub-cut is read as sewn of the strips above, and not cut besides",
                "Type count and size on a line of its own if it is cut from the fabric.",
            )
        else:
            self._refuse_without_strips(clause)
            self._whole(items, clause)

    def _refuse_without_strips(self, clause: Clause) -> None:
        """Refuse a sub-cut where no strips lie at hand, and pieces that it may be cut from."""
        bench = self.bench
        of_prints = clause.from_each_strip or self.said.source is not None
        if not clause.is_sub_cut:
            return
        if clause.strips_used is not None or (bench.rest and not of_prints):
            raise UnsureError("the strips it is cut from are not above it")
        if bench.cuts and not bench.are_from_strips and not of_prints:
            raise UnsureError(
                "whether it is cut from the pieces before it, which are counted already, "
                "is not said for sure",
                "Type only the pieces that are needed in the end, with their total.",
            )

    def _row_of_columns(self, items: list[Item], clause: Clause) -> list[Item] | None:
        """Return the items of ``5 strips 2" x WOF 100 squares 2"``, a row of two columns.

        Nothing parts what is cut first from what becomes of it; the strips give just that.
        """
        if len(items) < 2 or not _is_strip(items[0]) or any(_is_strip(one) for one in items[1:]):
            return None
        if not _RUN_TOGETHER.search(clause.text) or items[0].words:
            return None
        strip = self._settled(items[0], None, None)
        if not all(_has_width(one, strip) for one in items[1:]):
            return None
        pieces = [settle(one, self.bench.facts, strip=strip) for one in items[1:]]
        return items if gives_just(strip, pieces, self.bench.facts) else None

    def _are_what_strips_become(self, items: list[Item], clause: Clause) -> bool:
        """Whether pieces on a line of their own are just what the strips above them give."""
        bench = self.bench
        if len(bench.strips) != 1 or clause.is_sub_cut or self.said.source is not None:
            return False
        strip = bench.cuts[bench.strips[0]]
        plain = strip.kind is PieceKind.STRIP and not strip.words and strip.quantity > 1
        if not plain or strip.line == bench.number or any(_is_strip(one) for one in items):
            return False
        if not all(_has_width(one, strip) for one in items):
            return False
        if strip.from_each is not None:
            strip = replace(strip, quantity=strip.quantity // strip.from_each)
        pieces = [settle(one, bench.facts, strip=strip) for one in items]
        return gives_just(strip, pieces, bench.facts)

    def _account_for(self, clause: Clause) -> None:
        """Take off the account what the words around a clause say."""
        account = self.said.account
        if clause.strips_used is not None:
            account.spend(clause.strips_used)
        if clause.from_each_strip:
            account.spend_all(OF_EACH)
        if clause.of_the_rest:
            account.spend_all(OF_THE_REST)

    def _is_of_a_list(self, clause: Clause, items: list[Item]) -> bool:
        """Whether a line goes on with the list of what strips are cut into."""
        bench = self.bench
        is_open = bench.listed is not None or (bench.list_is_open and len(bench.strips) == 1)
        plain = not clause.has_verb and self.said.source is None
        in_words = bench.listed is not None or not bench.list_is_doubtful
        if (
            not is_open
            or not plain
            or any(_is_strip(item) and not (in_words and _has_two_measures(item)) for item in items)
        ):
            return False
        strip = bench.listed or bench.cuts[bench.strips[0]]
        sizes = [item.size for item in items if item.size is not None]
        are_as_wide = all(strip.width in (size.first, size.second) for size in sizes)
        return bench.listed is not None or not bench.list_is_doubtful or are_as_wide

    def _cut_listed(self, items: list[Item]) -> None:
        """Cut a line of a list from the strips above the list."""
        bench = self.bench
        if bench.list_is_doubtful:
            bench.find(
                Level.WARNING,
                "what is listed below the strips is read as cut from them",
                "Write 'sub-cut into' behind the strips if that is right.",
            )
        if bench.listed is not None:
            cut_listed(bench, items, lambda item, strip: self._settled(item, None, strip))
        else:
            self._sub_cut(items, None, each=bench.list_is_each)

    def _cut_on_items(self, items: list[Item], *, from_strips: bool) -> list[Item]:
        """Return the items that are cut from strips named before them, on the line or above."""
        if not from_strips or self.bench.strips:
            return [item for item in items if item.at and not item.noun]
        pieces = [item for item in items if not _is_strip(item)]
        if len(pieces) == len(items) and not self.bench.facts.prints_are_strips:
            raise UnsureError("the strips it is cut from are not above it")
        return pieces

    def _count_by_total(self, items: list[Item], *, is_sub_cut: bool) -> None:
        """Take the total that a line states as its count where it states no other."""
        item, totals = items[0] if items else Item(), self.said.plain.totals
        if len(items) != 1 or item.count is not None or item.size is None or len(totals) != 1:
            return
        if self.governing.is_each or self.said.blocks:
            return
        total, what = totals[0]
        if not what or (is_sub_cut and what.removesuffix("s") in _CUT_OF_STRIPS):
            item.count = total

    def _whole(self, items: list[Item], clause: Clause) -> None:
        """Add what is cut from the fabric itself."""
        self.governing.use()
        each_print = self.governing.is_each
        if clause.is_sub_cut and clause.from_each_strip:
            if not self.bench.facts.prints_are_strips:
                raise UnsureError("the strips it is cut from are not above it")
            each_print = True
        multiplier = self.governing.count(self.bench.facts) if each_print else None
        self._refuse_total_of_each(clause, multiplier)
        new: list[Cut] = []
        for item in items:
            item.along = item.along or self.governing.is_lengthwise(item)
            self._size_of_ready_strip(item, is_of_strip=clause.is_sub_cut)
            new.append(self._settled(item, multiplier, None))
        new = without_joined(self.bench, new)
        doubt_sub_cuts(self.bench, new, clause)
        if new:
            self.bench.lay(new)

    def _size_of_ready_strip(self, item: Item, *, is_of_strip: bool) -> None:
        """Give ``8½" lengths`` of strips that are bought ready cut the width of those strips."""
        facts, size = self.bench.facts, item.size
        width = facts.ready_cut if facts.prints_are_strips else None
        if width is None or size is None or size.first is None or size.second is not None:
            return
        if item.across or item.diagonal or item.noun == "square" or self.said.running is not None:
            return
        if size.first > width or (is_of_strip and item.noun in ("length", "piece")):
            item.size = replace(size, first=width, second=size.first)

    def _sub_cut(self, items: list[Item], partial: int | None, *, each: bool) -> None:
        def settled(item: Item, strip: Cut) -> Cut:
            return self._settled(item, None, strip)

        sub_cut(self.bench, items, settled, partial, each=each)

    def _refuse_total_of_each(self, clause: Clause, times: int | None) -> None:
        """Refuse ``12 squares total`` where counts are multiplied."""
        said = re.search(r"\b(?:total|in\s+all|altogether)\b", clause.text, re.IGNORECASE)
        if said is not None and times is not None and times > 1:
            raise UnsureError(
                f"whether '{said.group(0)}' is of each or of all is not said",
                "Type the count of each, or all cuts in all.",
            )

    def _settled(self, item: Item, multiplier: int | None, strip: Cut | None) -> Cut:
        running = None if strip is not None else self.said.running
        cut = settle(item, self.bench.facts, running=running, strip=strip)
        if cut.length_of_fabric:
            self.bench.find(
                Level.WARNING,
                f"the length of the fabric is read as the whole requirement, "
                f"{say_number(cut.length or cut.width)} in",
                "Type the length in figures if it is shorter.",
            )
        quantity = cut.quantity * (multiplier or 1) * self._block_count(cut)
        name = item.letter or self.said.label or cut.name
        return replace(
            cut, line=self.bench.number, quantity=quantity, from_each=multiplier, name=name
        )

    def _block_count(self, cut: Cut) -> int:
        blocks = self.said.blocks
        if blocks is None:
            return 1
        if blocks.number is None:
            raise UnsureError("how many blocks it is for is not said", "Type the total.")
        if cut.kind is not PieceKind.PIECE:
            raise UnsureError(
                "whether strips are for each block or for all is not said", "Type the total."
            )
        return blocks.number


def _has_width(item: Item, strip: Cut) -> bool:
    """Whether one side of an item is as wide as a strip."""
    size = item.size
    return size is not None and strip.width in (size.first, size.second)


def _has_two_measures(item: Item) -> bool:
    return item.size is not None and item.size.second is not None and not item.across


def _is_strip(item: Item) -> bool:
    return item.noun == "strip" or (item.across and not item.noun)


def _lay_alike(items: list[Item]) -> None:
    """Let a direction that stands behind or before several sizes hold for each it speaks of.

    Apart by a comma, or before them ("From the length of the fabric, cut …"), it holds for
    all; right behind the last it holds for those of its noun and those without one.
    """
    for at, said in enumerate(items):
        if not said.along or (said.size is not None and said.size.along):
            continue
        is_last = at == len(items) - 1
        for item in items:
            of_noun = is_last and item.noun in ("", said.noun)
            if not item.across and (said.along_for_all or of_noun):
                item.along = True

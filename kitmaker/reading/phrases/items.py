"""Items: a count, a size and a noun in any order, with what names them between.

    (5) 2½" × WOF strips for the border      2½" x 4½" rectangles - cut 8
     ^  ^    ^   ^       ^
 count size  |   noun    purpose
            across

Each slot is filled once; an item ends where none fits any more, and every way of filling
them is followed.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases.lexicon import FINAL_USES, word_set
from kitmaker.reading.phrases.measures import Size, measure_at, sizes_at
from kitmaker.reading.phrases.parts import Item, changed
from kitmaker.reading.phrases.tokens import FREE, NOUNS, Kind, Words

_GLUE = frozenset({Kind.COMMA, Kind.COLON, Kind.DASH, Kind.AT, Kind.EQUALS})
_MOST_GLUE = 3
_MOST_SLOTS = 30
_GOES_ON = frozenset({*NOUNS, Kind.OPEN, Kind.SHAPE, Kind.WIDE, Kind.FINISHED, Kind.UNFINISHED})
"""Before these an item that could end does not: the longest is meant."""
PURPOSE = (FREE - {Kind.AT, Kind.YOU}) | {*NOUNS, Kind.SHAPE, Kind.ALL}
"""Kinds of the words that tell what something is for."""
_IN_REMARK = (
    FREE
    | frozenset(NOUNS)
    | {
        *(Kind.FOR, Kind.OF, Kind.COMMA, Kind.SEMICOLON, Kind.SETASIDE, Kind.DASH, Kind.AND),
        *(Kind.SHAPE, Kind.COLON, Kind.SLASH, Kind.ALL),
    }
)
_CLOSED_IN_REMARK = frozenset(
    {
        *(Kind.SUB, Kind.EACH, Kind.PER, Kind.ONCE, Kind.TWICE, Kind.CUT, Kind.DOUBT, Kind.HALF),
        *(Kind.REST, Kind.FUSSY, Kind.NOT, Kind.NEEDED, Kind.NEEDS, Kind.EXTRA, Kind.MAKE),
        *(Kind.CHOOSE, Kind.SHAPE, Kind.THESE, Kind.BAD, Kind.TOTAL, Kind.WHOLE),
    }
)
_ASIDES = word_set("pair piece please these they you'll squares")
_POINTERS = word_set("see to will include includes")
_CUTTING = (Kind.CUT, Kind.CHOOSE, Kind.SUB)
_ACTS = frozenset({Kind.SUB, Kind.EACH, Kind.PER, Kind.ONCE, Kind.TWICE, Kind.CUT, Kind.DOUBT})


class ItemReader:
    """Reads the items of one sentence."""

    def __init__(self, words: Words, unit: Length) -> None:
        """Take the sentence, and the inches that a bare number is in."""
        self.words = words
        self.unit = unit
        self._items: dict[int, tuple[tuple[int, Item], ...]] = {}
        self._sizes: dict[int, tuple[Size, ...]] = {}

    def sizes(self, place: int) -> tuple[Size, ...]:
        """Return the sizes that may begin at a place."""
        if place not in self._sizes:
            self._sizes[place] = sizes_at(self.words, place, self.unit)
        return self._sizes[place]

    def items(self, place: int) -> tuple[tuple[int, Item], ...]:
        """Return the items that may begin at a place, each with the place behind it."""
        if place not in self._items:
            self._items[place] = tuple(self._find(place))
        return self._items[place]

    def _find(self, start: int) -> dict[tuple[int, Item], None]:
        found: dict[tuple[int, Item], None] = {}
        seen: set[tuple[int, Item]] = set()
        stack = [(start, Item(), 0)]
        while stack:
            place, item, depth = stack.pop()
            if (place, item) in seen or depth > _MOST_SLOTS:
                continue
            seen.add((place, item))
            is_whole = bool(item.size) or (item.count is not None and item.noun != "")
            if is_whole and not self._goes_on(place):
                found[place, item] = None
            for at in self._behind_glue(place, item, is_first=depth == 0):
                for end, more in self._slots(at, item, is_behind_glue=at > place):
                    stack.append((end, more, depth + 1))
        return found

    def _goes_on(self, place: int) -> bool:
        kind = self.words.kind(place)
        return kind in _GOES_ON or (kind is Kind.OF and self.words.kind(place + 1) is Kind.NUM)

    def _behind_glue(self, place: int, item: Item, *, is_first: bool) -> Iterator[int]:
        words, glued = self.words, 0
        yield place
        while True:
            if words.kind(place) in _GLUE and glued < _MOST_GLUE and not is_first:
                glued += 1
            elif words.kind(place) is Kind.OF:
                named = words.kind(place + 1) in (Kind.LABEL, Kind.OPEN, Kind.CLOTH)
                counted = words.kind(place + 1) in (Kind.NUM, Kind.OPENING)
                if not (counted or (named and not item.size)):
                    return
            else:
                return
            place += 1
            yield place

    def _slots(self, place: int, item: Item, *, is_behind_glue: bool) -> Iterator[tuple[int, Item]]:
        kind = self.words.kind(place)
        if kind is Kind.NUM or kind in (Kind.WOF, Kind.LOF):
            yield from self._numbers(place, item)
        if kind is Kind.OPENING:
            yield from self._brackets(place, item)
        if kind in NOUNS:
            yield from self._nouns(place, item)
        if kind in _CUTTING:
            yield from self._count_behind_cut(place, item)
        yield from self._names(place, item, is_behind_glue=is_behind_glue)
        yield from self._directions(place, item)
        yield from self._manner(place, item)

    def _numbers(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        words = self.words
        if words.is_count(place):
            count, behind = words.count(place), place + 1
            pairs = words.skip(behind, Kind.OPEN)
            if words.word(pairs) in ("pairs", "prs") and item.count is None:
                yield pairs + 1 + (words.kind(pairs + 1) is Kind.OF), changed(item, count=2 * count)
            if item.count is None:
                if words.kind(behind) is Kind.TIMES and not item.size:
                    if words.kind(behind + 1) is Kind.NUM:
                        yield behind + 1, changed(item, count=count, is_count_times=True)
                is_range = words.kind(behind) is Kind.DASH and words.is_count(behind + 1)
                is_range = is_range and words.kind(behind + 2) not in (Kind.TIMES, Kind.UNIT)
                if not is_range and words.kind(behind) is not Kind.TO:
                    yield behind, changed(item, count=count)
            elif item.count == count and not item.size and not item.noun:
                yield behind, item  # 8 (eight)
        if item.size or (words.kind(place) is not Kind.NUM and not self.sizes(place)):
            return
        yield from self._bare_finished(place, item)
        follows_at = words.word(place - 1) in ("@", "at", "to", "every")
        for size in self.sizes(place):
            yield (
                size.end,
                self._sized(item, size, follows_at=follows_at, lost=words.at(place).lost_gap),
            )

    def _bare_finished(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        """Read the 3 of ``24 squares, 3 finished``: a number beside the word is the size."""
        words, value = self.words, self.words.at(place).value
        beside = (Kind.FINISHED, Kind.UNFINISHED)
        is_beside = words.kind(place + 1) in beside or words.kind(place - 1) in beside
        if item.is_count_times:
            return
        if is_beside and item.count is not None and value and words.is_count(place):
            yield place + 1, changed(item, size=(value * self.unit,))

    @staticmethod
    def _sized(item: Item, size: Size, *, follows_at: bool = False, lost: bool = False) -> Item:
        return changed(
            item,
            size=size.measures,
            across=item.across or size.across,
            along=item.along or size.along,
            is_bare=size.is_bare,
            follows_at=follows_at,
            lost_gap=lost,
        )

    def _brackets(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        words = self.words
        counted = words.counted(place)
        if counted is not None:
            count, behind = counted
            if item.count is None or (item.count == count and not item.size):
                yield behind, changed(item, count=count)
        if not item.size:
            yield from self._size_in_bracket(place, item)
        else:
            yield from self._finished_in_bracket(place, item)
        inside = words.kind(place + 1)
        if inside in (Kind.WOF, Kind.LOF) and words.kind(place + 2) is Kind.CLOSING:
            across = inside is Kind.WOF
            yield (
                place + 3,
                changed(item, across=item.across or across, along=item.along or not across),
            )
        end = words.skip(place + 1, Kind.LABEL, Kind.ORD, Kind.COMMA, Kind.AND)
        if end > place + 1 and words.kind(end) is Kind.CLOSING:
            yield end + 1, changed(item, label=words.word(place + 1).split()[-1])
        behind_remark = self.remark(place)
        if behind_remark is not None and (item.size or item.count):
            said = words.words(place + 1, behind_remark - 1)
            is_final = item.is_final or self.is_final(place, behind_remark)
            yield behind_remark, changed(item, is_final=is_final, words=(*item.words, *said))

    def _finished_in_bracket(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        """Read ``3½" squares (3" finished)``: held against the cut size."""
        words = self.words
        told = (Kind.FINISHED, Kind.OPEN, Kind.AT, Kind.TO, Kind.COLON, Kind.DET)
        start = words.skip(place + 1, *told)
        for size in self.sizes(start):
            end = words.skip(size.end, *told)
            says_so = Kind.FINISHED in words.kinds(place, end)
            if says_so and words.kind(end) is Kind.CLOSING and not item.finished_size:
                yield end + 1, changed(item, finished_size=size.measures)

    def _size_in_bracket(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        words = self.words
        for size in self.sizes(place + 1):
            end, noun, is_plural = size.end, item.noun, item.is_plural
            across, along, finish = size.across, size.along, item.finish
            while words.kind(end) in (*NOUNS, Kind.DET, Kind.EACH, Kind.FINISHED, Kind.UNFINISHED):
                kind = words.kind(end)
                if kind in NOUNS:
                    noun, is_plural = NOUNS[kind], _is_plural(words.word(end))
                elif kind in (Kind.FINISHED, Kind.UNFINISHED):
                    finish = kind.value
                end += 1
            if words.kind(end) in (Kind.WOF, Kind.LOF):
                across = across or words.kind(end) is Kind.WOF
                along = along or words.kind(end) is Kind.LOF
                end += 1
            is_same = item.noun in ("", noun, "piece", "border")
            if words.kind(end) is Kind.CLOSING and is_same:
                sized = self._sized(item, changed(size, across=across, along=along))
                yield (
                    end + 1,
                    changed(sized, noun=noun, is_plural=is_plural, is_bare=False, finish=finish),
                )

    def _nouns(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        words = self.words
        noun, word = NOUNS[words.kind(place)], words.word(place)
        noun = "length" if word in ("length", "lengths") else noun
        said = (*item.words, word)
        if item.noun in ("", "piece", "border", noun):
            keeps = noun in ("piece", "border") and item.noun
            yield (
                place + 1,
                changed(
                    item,
                    noun=item.noun if keeps else noun,
                    is_plural=_is_plural(word) or item.is_plural,
                    words=said if noun == "border" else item.words,
                    is_final=item.is_final or noun == "border",
                ),
            )
        elif noun in ("piece", "border"):
            yield place + 1, changed(item, words=said)

    def _count_behind_cut(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        """Read ``2½" squares - cut 8``."""
        words = self.words
        if item.count is not None or not item.size:
            return
        counted = words.counted(place + 1)
        if counted is None:
            return
        count, behind = counted
        kind = words.kind(behind)
        if words.kind(place + 1) is Kind.OPENING:
            ends = (Kind.END, Kind.COMMA, Kind.SEMICOLON, Kind.STRIP, Kind.SUB)
            if kind in ends:
                yield behind, changed(item, count=count)
            return
        begins_another = (
            *(Kind.TIMES, Kind.DASH, Kind.NUM, Kind.AT, Kind.SQUARE, Kind.RECT, Kind.STRIP),
        )
        is_remark = kind is not Kind.OPENING or self.remark(behind) is not None
        if kind not in begins_another and is_remark:
            yield behind, changed(item, count=count)

    def _names(self, place: int, item: Item, *, is_behind_glue: bool) -> Iterator[tuple[int, Item]]:
        words = self.words
        kind, word = words.kind(place), words.word(place)
        named = changed(item, words=(*item.words, word))
        if kind in (Kind.CLOTH, Kind.GROUP) and not word.endswith("s") and not item.count:
            if words.is_count(place + 1) and words.kind(place + 2) is Kind.NUM:
                yield place + 2, changed(item, label=words.word(place + 1))
        if kind in (Kind.LABEL, Kind.ORD, Kind.CODE):
            yield place + 1, changed(item, label=word.split()[-1])
        elif kind in (Kind.OPEN, Kind.UNITNAME, Kind.GROUP, Kind.CLOTH) or (
            kind in (Kind.SEW, Kind.TRIM, Kind.DRAW) and not is_behind_glue
        ):
            yield place + 1, named
        elif kind is Kind.SHAPE:
            yield place + 1, changed(named, shape=word)
        elif kind is Kind.DET or (kind is Kind.AT and word != "in"):
            if word == "so" and words.kind(place + 1) is Kind.YOU:
                return
            if word in ("a", "an") and item.count is None and not item.size:
                yield place + 1, changed(item, count=1)
            yield place + 1, item
        elif kind is Kind.AND and words.kind(place - 1) is words.kind(place + 1) is Kind.GROUP:
            yield place + 1, item
        elif kind is Kind.OF and words.word(place + 1) == "them" and item.size and item.count:
            yield place + 2, item  # 5" squares - 36 of them
        elif (beside := self._beside_blocks(place)) is not None:
            size, end = beside
            yield end, changed(self._sized(item, size), finish="finished", is_of_block=True)
        elif kind in (Kind.FOR, Kind.AS):
            behind, says_shape = self.purpose(place)
            if behind is not None:
                said = words.words(place + 1, behind)
                yield (
                    behind,
                    changed(
                        item,
                        is_final=item.is_final or self.is_final(place, behind),
                        words=(*item.words, *said),
                        purpose=" ".join(said),
                        is_for_shape=item.is_for_shape or says_shape,
                    ),
                )

    def _beside_blocks(self, place: int) -> tuple[Size, int] | None:
        """Read ``for 12" finished blocks``: the size of what triangles stand beside."""
        words = self.words
        for size in self.sizes(place + 1) if words.kind(place) is Kind.FOR else ():
            end = words.skip(size.end, Kind.FINISHED, Kind.OPEN, Kind.SQUARE)
            if Kind.FINISHED in words.kinds(size.end, end) and words.kind(end) is Kind.GROUP:
                return size, end + 1
        return None

    def _directions(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        words = self.words
        kind = words.kind(place)
        if kind is Kind.TIMES and item.size:
            behind = words.kind(place + 1)
            if behind in (Kind.WOF, Kind.LOF):
                across = behind is Kind.WOF
                yield (
                    place + 2,
                    changed(item, across=item.across or across, along=item.along or not across),
                )
            elif words.is_count(place + 1) and item.count is None:
                yield place + 2, changed(item, count=words.count(place + 1))
        elif kind is Kind.WOF:
            yield place + 1, changed(item, across=True)
            told = measure_at(words, place + 2) if words.kind(place + 1) is Kind.OPENING else None
            if told is not None and told.unit and words.kind(told.end) is Kind.CLOSING:
                if len(item.size) == 1:  # width of fabric (22")
                    size = (*item.size, told.number * told.unit)
                    yield told.end + 1, changed(item, size=size)
        elif kind is Kind.LOF and words.kind(place - 1) is not Kind.COMMA:
            is_end = words.kind(place + 1) is Kind.END  # behind a list it is of all
            if (item.count or item.size or item.noun) and not is_end:
                yield place + 1, changed(item, along=True)
        elif kind is Kind.WIDE and item.size:
            yield place + 1, item

    def _manner(self, place: int, item: Item) -> Iterator[tuple[int, Item]]:
        """Read each, total, finished beside an item."""
        words = self.words
        kind = words.kind(place)
        if kind in (Kind.FINISHED, Kind.UNFINISHED) and not item.finish:
            end = place + 1
            while words.word(end) in ("size", "sizes", "dimensions", "square", "squares"):
                if words.kind(end) is Kind.SQUARE and not (item.noun or item.words):
                    break
                end += 1
            if not item.size:
                end = words.skip(end, Kind.AT, Kind.TO, Kind.OF, Kind.COLON, Kind.EQUALS, Kind.AS)
            yield end, changed(item, finish=kind.value)
        elif kind is Kind.TOTAL and item.count is not None and not item.size:
            if words.word(place) == "total" and words.kind(place + 1) is Kind.NUM:
                yield place + 1, changed(item, is_total=True)
        elif kind is Kind.EACH and item.count not in (None, 1):
            if item.size:
                ends = (Kind.END, Kind.COMMA, Kind.SEMICOLON)
                if words.kind(place + 1) in ends and (item.is_plural or not item.noun):
                    yield place + 1, changed(item, is_each=True)
            elif item.is_plural:
                behind = place + 1
                behind += words.word(behind) in ("one", "measures", "measuring", "is", "1", "at")
                behind += words.kind(behind) is Kind.COMMA
                in_bracket = words.kind(behind) is Kind.OPENING and self.sizes(behind + 1)
                if in_bracket:
                    yield behind, changed(item, is_each=True)
                elif self.sizes(behind):
                    yield behind, item  # 6 strips, each 2½" × 42"

    # ---- what it is for, remarks in brackets -------------------------------------------------

    def purpose(self, place: int) -> tuple[int | None, bool]:
        """Return the place behind what stands after "for", and whether a shape is in it."""
        words, at, says_shape = self.words, place + 1, False
        while True:
            kind = words.kind(at)
            behind = words.kind(at + 1)
            if kind in PURPOSE:
                says_shape = says_shape or kind is Kind.SHAPE
            elif (kind in (Kind.AND, Kind.OF) and behind in PURPOSE and at > place + 1) or (
                kind is Kind.OR and words.kind(at - 1) is behind is Kind.OPEN
            ):
                pass
            elif self._counts_units(at):
                says_shape = True
            else:
                break
            at += 1
        return (at, says_shape) if at > place + 1 else (None, False)

    def _counts_units(self, place: int) -> bool:
        """Whether ``20 blocks`` stands there: how many sewn things a piece is for."""
        words = self.words
        counted = words.is_count(place) and words.count(place) != 1
        made = words.kind(place + 1) in (Kind.GROUP, Kind.UNITNAME, Kind.SHAPE, Kind.OPEN)
        cut = words.kind(place + 2) in (Kind.NUM, Kind.SQUARE, Kind.RECT, Kind.STRIP)
        return counted and made and not cut

    def is_final(self, start: int, end: int) -> bool:
        """Whether words say that a piece is used as it is: a border, a sash, a strip set."""
        return any(
            self.words.kind(at) is Kind.BORDER or self.words.word(at).startswith(FINAL_USES)
            for at in range(start, end)
        )

    def aside(self, place: int) -> int | None:
        """Return the place behind a bracket that counts nothing: ``(about 15" wide)``."""
        words = self.words
        end = words.closing(place) if words.kind(place) is Kind.OPENING else None
        if end is None or any(words.is_count(at) for at in range(place, end)):
            return None
        return end if not set(words.kinds(place, end)) & {Kind.CUT, Kind.SUB, Kind.EACH} else None

    def remark(self, place: int) -> int | None:
        """Return the place behind a bracket that counts and measures nothing; else None."""
        words = self.words
        end = words.closing(place) if words.kind(place) is Kind.OPENING else None
        if end is None or end == place + 2:
            return None
        kinds = set(words.kinds(place + 1, end - 1))
        first, opens = words.word(place + 1), words.kind(place + 1)
        bare = any(
            words.kind(at) is Kind.NUM and words.kind(at + 1) is not Kind.UNIT
            for at in range(place + 1, end)
        )
        if first in _ASIDES and not bare and not kinds & _ACTS:
            return end
        if opens in (Kind.SEW, Kind.TRIM, Kind.DRAW, Kind.SETASIDE) or first in _POINTERS:
            return end if not kinds & {Kind.CUT, Kind.SUB} else None
        if Kind.TRIM in kinds and not bare and not kinds & {Kind.CUT, Kind.SUB}:
            return end
        if "later" in words.words(place + 1, end) and Kind.NUM not in kinds:
            return end
        if "see" in words.words(place + 1, end - 1) and Kind.UNIT not in kinds:
            return end
        says_nothing = Kind.NUM not in kinds and not kinds & _CLOSED_IN_REMARK
        return end if kinds <= _IN_REMARK or says_nothing else None


def _is_plural(word: str) -> bool:
    return word.rstrip(".").endswith("s") or word in ("rect", "rect.", "sq", "sq.")

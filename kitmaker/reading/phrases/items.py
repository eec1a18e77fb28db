"""Items: a count, a size and a noun in any order, with what names them between.

    (5) 2½" × WOF strips for the border      2½" x 4½" rectangles - cut 8
     ^  ^    ^   ^       ^
 count size  |   noun    purpose
            across

Each slot is filled once; an item ends where none fits any more, and every way of filling
them is followed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases.measures import Size, sizes_at
from kitmaker.reading.phrases.parts import Item
from kitmaker.reading.words.lexicon import FINAL_USES, word_set
from kitmaker.reading.words.tokens import NOUNS, Kind, Words

Found = Iterator[tuple[int, Item]]
_MOST_GLUE = 3
_MOST_SLOTS = 30
_GLUE = frozenset((Kind.COMMA, Kind.COLON, Kind.DASH, Kind.AT, Kind.EQUALS))
_OF = ("OF(?=[NUM OPENING LABEL OPEN CLOTH])", "OF(?=[NUM OPENING])")
_WORDS = (Kind.OPEN, Kind.UNITNAME, Kind.SEW, Kind.TRIM, Kind.DRAW)
_HANDLED = "(?<=[COMMA COLON DASH AT EQUALS OF])[SEW TRIM DRAW]"
"""A word for sewing names an item too, but not behind a sign."""
_GOES_ON = "[NOUN OPEN SHAPE WIDE FINISHED UNFINISHED]|OF NUM"
"""Before these an item that could end does not: the longest is meant."""
NAMING = "OPEN DET GROUP LABEL ORD CODE CLOTH UNITNAME SEW TRIM DRAW NOUN SHAPE ALL"
_MADE = "MANY(?=[GROUP UNITNAME OPEN](?![NUM SQUARE RECT STRIP]))"
PURPOSE = (
    f"(?:[{NAMING}]|{_MADE})(?:[{NAMING}]|{_MADE}|[AND OF](?=[{NAMING}])|(?<=OPEN)OR(?=OPEN))*"
)
"""The words behind "for": what it is for, and of how many sewn units."""
_TOLD = f"[{NAMING} AT YOU FOR OF COMMA SEMICOLON SETASIDE DASH AND COLON SLASH]*"
_CLOSED = (
    "[NUM SUB WOF LOF EACH PER ONCE TWICE CUT DOUBT HALF REST FUSSY NOT NEEDED NEEDS EXTRA MAKE"
    " CHOOSE SHAPE THESE BAD TOTAL WHOLE NOTCUT]"
)
ALTERS = "(?!PAIRS|SETS|UNSURE[OF AT]*NUM UNIT)ALTERS|HALF OF|EACH OTHER"
"""What may change a count wherever it stands."""
_SUM = "TO TOTAL NUM UNIT? [DET OPEN]*"
_BARE = "NUM(?!UNIT)"
_ASIDES = word_set("pair piece please these they you'll squares")
_POINTERS = word_set("see to will include includes")
_AT_WORDS = ("@", "at", "to", "every")


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

    def _find(self, start: int) -> list[tuple[int, Item]]:
        found: list[tuple[int, Item]] = []
        seen: dict[int, list[Item]] = {}  # lists: to compare is quicker than to hash a length
        stack = [(start, Item(), 0)]
        while stack:
            place, item, depth = stack.pop()
            if item in seen.setdefault(place, []) or depth > _MOST_SLOTS:
                continue
            seen[place].append(item)
            is_whole = item.size or (item.count is not None and item.noun)
            if is_whole and not self.words.fits(_GOES_ON, place):
                found.append((place, item))
            for at in self._behind_glue(place, item, is_first=depth == 0):
                for slot in _SLOTS.get(self.words.kind(at), ()):
                    stack.extend((end, more, depth + 1) for end, more in slot(self, at, item))
        return found

    def _behind_glue(self, place: int, item: Item, *, is_first: bool) -> Iterator[int]:
        yield place
        glued = 0
        while True:
            kind = self.words.kind(place)
            if kind in _GLUE and not is_first and glued < _MOST_GLUE:
                glued += 1
            elif kind is not Kind.OF or not self.words.fits(_OF[bool(item.size)], place):
                return
            place += 1
            yield place

    # ---- counts and sizes ------------------------------------------------------------------------

    def _number(self, place: int, item: Item) -> Found:
        words = self.words
        if words.is_count(place):
            yield from self._counted(place, item)
        if item.size:
            return
        beside = words.fits("COUNT[FINISHED UNFINISHED]|(?<=[FINISHED UNFINISHED])COUNT", place)
        if beside and item.count is not None and words.count(place) and not item.is_count_times:
            # 24 squares, 3 finished: a number beside the word is the size
            yield place + 1, item._replace(size=(words.count(place) * self.unit,))
        follows_at = words.word(place - 1) in _AT_WORDS
        for size in self.sizes(place):
            sized = _sized(item, size, follows_at=follows_at, lost_gap=words.at(place).lost_gap)
            yield size.end, sized

    def _counted(self, place: int, item: Item) -> Found:
        words, count = self.words, self.words.count(place)
        if item.count is None:
            if pairs := words.fits("COUNT OPEN* PAIRS OF?", place):
                yield pairs.end(), item._replace(count=2 * count)
            if not item.size and words.fits("COUNT TIMES NUM", place):
                yield place + 2, item._replace(count=count, is_count_times=True)
            if not words.fits("COUNT(?:TO|DASH COUNT(?!TIMES))", place):
                yield place + 1, item._replace(count=count)
        elif item.count == count and not item.size and not item.noun:
            yield place + 1, item  # 8 (eight)

    def _times(self, place: int, item: Item) -> Found:
        if not item.size:
            return
        if self.words.kind(place + 1) in (Kind.WOF, Kind.LOF):
            yield place + 2, self._laid(place + 1, item)
        elif self.words.is_count(place + 1) and item.count is None:
            yield place + 2, item._replace(count=self.words.count(place + 1))

    def _laid(self, place: int, item: Item) -> Item:
        across = self.words.kind(place) is Kind.WOF
        return item._replace(across=across or item.across, along=not across or item.along)

    def _across(self, place: int, item: Item) -> Found:
        yield place + 1, item._replace(across=True)

    def _along(self, place: int, item: Item) -> Found:
        # Behind a list, at its end, it is of all.
        is_begun = item.count or item.size or item.noun
        if is_begun and self.words.fits("(?<!COMMA)LOF(?!END)", place):
            yield place + 1, item._replace(along=True)

    def _count_behind_cut(self, place: int, item: Item) -> Found:
        """Read ``2½" squares - cut 8``."""
        words = self.words
        if item.count is not None or not item.size:
            return
        text = "[CUT CHOOSE SUB]COUNT(?![TIMES DASH NUM AT SQUARE RECT STRIP])"
        is_item = words.fits("OPENING", place + 2) and self.remark(place + 2) is None
        if words.fits(text, place) and not is_item:
            yield place + 2, item._replace(count=words.count(place + 1))

    # ---- brackets --------------------------------------------------------------------------------

    def _bracket(self, place: int, item: Item) -> Found:
        words = self.words
        counted = words.counted(place)
        if counted is not None and (
            item.count is None or (item.count == counted[0] and not item.size)
        ):
            yield counted[1], item._replace(count=counted[0])
        yield from (self._finished_inside if item.size else self._size_inside)(place, item)
        if label := words.fits("OPENING[LABEL ORD COMMA AND]+CLOSING", place):
            yield label.end(), item._replace(label=words.word(place + 1).split()[-1])
        behind = self.remark(place)
        if behind is not None and (item.size or item.count):
            said = words.words(place + 1, behind - 1)
            is_final = item.is_final or self.is_final(place, behind)
            yield behind, item._replace(is_final=is_final, words=(*item.words, *said))

    def _finished_inside(self, place: int, item: Item) -> Found:
        """Read ``3½" squares (3" finished)``: held against the cut size."""
        words, told = self.words, "[FINISHED OPEN AT TO COLON DET]*"
        for size in self.sizes(words.behind(told, place + 1)):
            end = words.behind(f"{told}CLOSING", size.end)
            if end > size.end and words.has("FINISHED", place, end) and not item.finished_size:
                yield end, item._replace(finished_size=size.measures)

    def _size_inside(self, place: int, item: Item) -> Found:
        words = self.words
        for size in self.sizes(place + 1):
            end = words.behind("[NOUN DET EACH FINISHED UNFINISHED]*CLOSING", size.end)
            kinds = words.kinds(size.end, end)
            nouns = [at for at in range(size.end, end) if words.kind(at) in NOUNS]
            noun = NOUNS[words.kind(nouns[-1])] if nouns else item.noun
            if end == size.end or item.noun not in ("", noun, "piece", "border"):
                continue
            sized = _sized(item, size)
            finish = [kind for kind in kinds if kind in (Kind.FINISHED, Kind.UNFINISHED)]
            yield (
                end,
                sized._replace(
                    noun=noun,
                    is_plural=_is_plural(words.word(nouns[-1])) if nouns else item.is_plural,
                    is_bare=False,
                    finish=finish[-1].value if finish else item.finish,
                ),
            )

    # ---- what it is ------------------------------------------------------------------------------

    def _noun(self, place: int, item: Item) -> Found:
        word, noun = self.words.word(place), NOUNS[self.words.kind(place)]
        noun = "length" if word in ("length", "lengths") else noun
        said = item._replace(words=(*item.words, word))
        if item.noun not in ("", "piece", "border", noun):
            if noun in ("piece", "border"):
                yield place + 1, said
            return
        item = said._replace(is_final=True) if noun == "border" else item
        kept = item.noun if noun in ("piece", "border") else ""
        is_plural = _is_plural(word) or item.is_plural
        yield place + 1, item._replace(noun=kept or noun, is_plural=is_plural)

    def _word(self, place: int, item: Item) -> Found:
        if not self.words.fits(_HANDLED, place):
            yield place + 1, item._replace(words=(*item.words, self.words.word(place)))

    def _cloth(self, place: int, item: Item) -> Found:
        words, word = self.words, self.words.word(place)
        if not (word.endswith("s") or item.count) and words.fits("[CLOTH GROUP]COUNT NUM", place):
            yield place + 2, item._replace(label=words.word(place + 1))
        yield place + 1, item._replace(words=(*item.words, word))

    def _shape(self, place: int, item: Item) -> Found:
        word = self.words.word(place)
        yield place + 1, item._replace(words=(*item.words, word), shape=word)

    def _label(self, place: int, item: Item) -> Found:
        yield place + 1, item._replace(label=self.words.word(place).split()[-1])

    def _small(self, place: int, item: Item) -> Found:
        if self.words.fits("SO YOU|IN", place):
            return
        if self.words.word(place) in ("a", "an") and item.count is None and not item.size:
            yield place + 1, item._replace(count=1)
        yield place + 1, item

    def _joint(self, place: int, item: Item) -> Found:
        if self.words.fits("(?<=GROUP)AND GROUP", place):
            yield place + 1, item
        elif item.size and item.count and self.words.word(place + 1) == "them":
            yield place + 2, item  # 5" squares - 36 of them

    def _for(self, place: int, item: Item) -> Found:
        words = self.words
        for size in self.sizes(place + 1):
            # for 12" finished blocks: the size of what triangles stand beside
            end = words.behind("[FINISHED OPEN SQUARE]*GROUP", size.end)
            if words.has("FINISHED", size.end, end):
                sized = _sized(item, size)
                yield end, sized._replace(finish="finished", is_of_block=True)
                return
        behind, says_shape = self.purpose(place)
        if behind is not None:
            said = words.words(place + 1, behind)
            yield (
                behind,
                item._replace(
                    is_final=item.is_final or self.is_final(place, behind),
                    words=(*item.words, *said),
                    purpose=" ".join(said),
                    is_for_shape=item.is_for_shape or says_shape,
                ),
            )

    # ---- each, total, finished, wide -------------------------------------------------------------

    def _finished(self, place: int, item: Item) -> Found:
        words, end = self.words, place + 1
        if item.finish:
            return
        while words.word(end) in ("size", "sizes", "dimensions"):
            end += 1
        if not item.size:
            end = words.behind("[AT TO OF COLON EQUALS AS]*", end)
        yield end, item._replace(finish=words.kind(place).value)

    def _total(self, place: int, item: Item) -> Found:
        counts = self.words.fits("TOTAL NUM", place) and self.words.word(place) == "total"
        if counts and item.count is not None and not item.size:
            yield place + 1, item._replace(is_total=True)

    def _each(self, place: int, item: Item) -> Found:
        words = self.words
        if item.count in (None, 1):
            return
        if item.size:
            if words.fits("EACH[END COMMA SEMICOLON]", place) and (item.is_plural or not item.noun):
                yield place + 1, item._replace(is_each=True)
        elif item.is_plural:
            behind = place + 1
            behind += words.word(behind) in ("one", "measures", "measuring", "is", "1", "at")
            behind += words.kind(behind) is Kind.COMMA
            if words.kind(behind) is Kind.OPENING and self.sizes(behind + 1):
                yield behind, item._replace(is_each=True)
            elif self.sizes(behind):
                yield behind, item  # 6 strips, each 2½" × 42"

    # ---- what it is for, remarks in brackets -----------------------------------------------------

    def purpose(self, place: int) -> tuple[int | None, bool]:
        """Return the place behind what stands after "for", and whether a shape is in it."""
        found = self.words.fits(PURPOSE, place + 1)
        if found is None:
            return None, False
        return found.end(), self.words.has("[SHAPE COUNT]", place + 1, found.end())

    def is_final(self, start: int, end: int) -> bool:
        """Whether words say that a piece is used as it is: a border, a sash, a strip set."""
        said = self.words.words(start, end)
        return self.words.has("BORDER", start, end) or any(
            word.startswith(FINAL_USES) for word in said
        )

    def remark(self, place: int) -> int | None:
        """Return the place behind a bracket that counts and measures nothing; else None."""
        words = self.words
        end = words.closing(place) if words.kind(place) is Kind.OPENING else None
        if end is None or end == place + 2:
            return None
        first, last = place + 1, end - 1
        said = words.words(first, last)
        if words.has(ALTERS, first, last) and not words.is_all(_TOLD, first, last):
            return None
        is_sign = words.is_all("[SLASH DASH COMMA COLON TIMES]+", first, last) or said == ("x",)
        if is_sign or (words.has("ALL", first, last) and words.has("CLOTH", first, last)):
            return None
        cuts, bare = words.has("[CUT SUB]", first, last), words.has(_BARE, first, last)
        acts = cuts or words.has("[EACH PER ONCE TWICE DOUBT]", first, last)
        is_remark = (
            (said[0] in _ASIDES and not bare and not acts)
            or (
                not cuts and (words.fits("[SEW TRIM DRAW SETASIDE]", first) or said[0] in _POINTERS)
            )
            or (not cuts and not bare and words.has("TRIM", first, last))
            or ("later" in said and not words.has("NUM", first, last))
            or ("see" in said and not words.has("UNIT", first, last))
            or (words.has("TOTAL", first, last) and words.is_all(_SUM, first, last))
            or words.is_all(_TOLD, first, last)
            or not words.has(_CLOSED, first, last)
        )
        return end if is_remark else None


def _sized(item: Item, size: Size, *, follows_at: bool = False, lost_gap: bool = False) -> Item:
    return item._replace(
        size=size.measures,
        across=item.across or size.across,
        along=item.along or size.along,
        is_bare=size.is_bare,
        follows_at=follows_at,
        lost_gap=lost_gap,
    )


def _is_plural(word: str) -> bool:
    return word.rstrip(".").endswith("s") or word in ("rect", "rect.", "sq", "sq.")


_Slot = Callable[[ItemReader, int, Item], Found]
_SLOTS: dict[Kind, tuple[_Slot, ...]] = {
    Kind.NUM: (ItemReader._number,),
    Kind.OPENING: (ItemReader._bracket,),
    Kind.WOF: (ItemReader._number, ItemReader._across),
    Kind.LOF: (ItemReader._number, ItemReader._along),
    Kind.TIMES: (ItemReader._times,),
    **dict.fromkeys(NOUNS, (ItemReader._noun,)),
    **dict.fromkeys((Kind.CUT, Kind.CHOOSE, Kind.SUB), (ItemReader._count_behind_cut,)),
    **dict.fromkeys(_WORDS, (ItemReader._word,)),
    **dict.fromkeys((Kind.CLOTH, Kind.GROUP), (ItemReader._cloth,)),
    Kind.SHAPE: (ItemReader._shape,),
    **dict.fromkeys((Kind.LABEL, Kind.ORD, Kind.CODE), (ItemReader._label,)),
    **dict.fromkeys((Kind.DET, Kind.AT), (ItemReader._small,)),
    **dict.fromkeys((Kind.AND, Kind.OF), (ItemReader._joint,)),
    **dict.fromkeys((Kind.FOR, Kind.AS), (ItemReader._for,)),
    **dict.fromkeys((Kind.FINISHED, Kind.UNFINISHED), (ItemReader._finished,)),
    Kind.TOTAL: (ItemReader._total,),
    Kind.EACH: (ItemReader._each,),
}

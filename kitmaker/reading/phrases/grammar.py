"""The phrases of a sentence: what may begin at each place, every way it may be meant.

A phrase is small: a size, an item, a source, a cut on the diagonal, a figure that is stated.
Which of them follow each other, and what they then mean, is found on the cutting table
(:mod:`kitmaker.reading.phrases.acts`). A word that belongs to no phrase is asked about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases import parts
from kitmaker.reading.phrases.checks import CheckReader
from kitmaker.reading.phrases.items import PURPOSE, ItemReader
from kitmaker.reading.phrases.lexicon import NOTE_WORDS
from kitmaker.reading.phrases.parts import Phrase, Source, changed
from kitmaker.reading.phrases.running import running_lengths
from kitmaker.reading.phrases.sources import SourceReader
from kitmaker.reading.phrases.tokens import FREE, NOUNS, Kind, Words

JOINTS = frozenset(
    {
        *(Kind.COMMA, Kind.SEMICOLON, Kind.COLON, Kind.DASH, Kind.AND, Kind.EQUALS, Kind.ARROW),
    }
)
"""What may stand between two phrases."""
Found = Iterator[tuple[int, Phrase]]
_STRIPS = Source(kind="strip")
_DIAGONALS = (Kind.ONCE, Kind.TWICE)
_IN_BRACKETS = (
    *(parts.Diagonal, parts.Check, Source, parts.Parts, parts.Keep, parts.Share, parts.Needs),
    parts.Making,
)


class Grammar:
    """The phrases of one sentence, found once for each place."""

    def __init__(self, words: Words, unit: Length) -> None:
        """Take the sentence, and the inches that a bare number is in."""
        self.words = words
        self.items = ItemReader(words, unit)
        self.sources = SourceReader(self.items)
        self.check_reader = CheckReader(self.items)
        self._found: dict[int, tuple[tuple[int, Phrase], ...]] = {}

    def phrases(self, place: int) -> tuple[tuple[int, Phrase], ...]:
        """Return what may begin at a place, each with the place behind it."""
        if place not in self._found:
            found = [pair for rule in _RULES for pair in rule(self, place)]
            self._found[place] = tuple(dict.fromkeys(found))
        return self._found[place]

    # ---- items and what they are cut from ----------------------------------------------------

    def _item(self, place: int) -> Found:
        yield from self.items.items(place)

    def _source(self, place: int) -> Found:
        yield from self.sources.sources(place)

    def _check(self, place: int) -> Found:
        yield from self.check_reader.checks(place)

    def _verb(self, place: int) -> Found:
        words, kind = self.words, self.words.kind(place)
        if kind in (Kind.CUT, Kind.CHOOSE):
            yield place + 1, parts.Verb(word="choose" if kind is Kind.CHOOSE else "cut")
        if kind in (Kind.NEEDED, Kind.YOU):
            yield place + 1, parts.Verb(word="need")
        if kind is Kind.HAVE:
            yield place + 1, parts.Make()
        if kind is Kind.NEEDS:
            yield place + 1, parts.Verb(word="needs")
        for end, item in self.items.items(place + 3) if self._so_cut(place) else ():
            yield end, parts.Needs(item=item, is_verb=False)
        if kind in (Kind.NEEDS, Kind.NEEDED) and words.word(place) != "needed":
            for end, item in self.items.items(place + 1):
                yield end, parts.Needs(item=item, is_verb=kind is Kind.NEEDS)
        if kind is Kind.TOTAL:
            behind = place + 1 + (words.kind(place + 1) is Kind.OF)
            yield behind, parts.Totals(is_verb=True)
            yield place + 1, parts.Totals(is_verb=False)

    def _so_cut(self, place: int) -> bool:
        """Whether ``so I cut`` stands there: what follows is what the pieces before take."""
        kinds = self.words.kinds(place + 1, place + 3)
        told = Kind.NUM in self.words.kinds(0, place)
        return told and self.words.word(place) == "so" and kinds == (Kind.YOU, Kind.CUT)

    def _use_for(self, place: int) -> Found:
        """Read ``use 4 of these strips for the border``: kept whole."""
        words = self.words
        counted = words.counted(place + 1)
        if words.word(place) not in ("use", "using") or counted is None:
            return
        count, at = counted
        at = words.skip(at, Kind.OF, Kind.THESE, Kind.DET, Kind.STRIP)
        if words.kind(at) is Kind.FOR:
            end, _ = self.items.purpose(at)
            if end is not None:
                yield end, parts.Keep(count=count)

    def _way(self, place: int) -> Found:
        words, kind = self.words, self.words.kind(place)
        if kind in (Kind.WOF, Kind.LOF) and words.kind(place + 1) is not Kind.TIMES:
            yield place + 1, parts.Way(along=kind is Kind.LOF)
        at = place + (kind is Kind.ALL)
        if words.kind(at) is Kind.CUT or kind is Kind.ALL:
            at += words.kind(at) is Kind.CUT
            if words.kind(at) not in (Kind.WOF, Kind.LOF) and words.word(at) in (
                *("from", "on", "along"),
            ):
                at += 1
            is_way = words.kind(at) in (Kind.WOF, Kind.LOF)
            if is_way and words.kind(at + 1) is not Kind.TIMES:
                yield at + 1, parts.Way(along=words.kind(at) is Kind.LOF)

    # ---- strips cut on, squares cut up ---------------------------------------------------------

    def _sub_cut(self, place: int) -> Found:
        words, kind = self.words, self.words.kind(place)
        if kind is Kind.SUB:
            behind = words.kind(place + 1)
            into = behind in (Kind.INTO, Kind.TO, Kind.HAVE) or words.word(place + 1) == "every"
            yield place + 1 + into, parts.SubCut(source=_STRIPS)
            if into:
                yield place + 1, parts.SubCut(source=_STRIPS)
            yield from self._strips_behind(place)
        elif kind in (Kind.INTO, Kind.ARROW, Kind.EQUALS):
            yield place + 1, parts.SubCut(source=_STRIPS)
        elif kind is Kind.THESE and words.kind(place + 1) is Kind.INTO:
            yield place + 2, parts.SubCut(source=Source(kind="these"))
        elif kind is Kind.CUT:
            if words.kind(place + 1) is Kind.INTO:
                yield place + 2, parts.SubCut(source=_STRIPS)
            yield from self._cut_into(place)

    def _use_of_strips(self, place: int) -> Found:
        """Read ``use 6 strips to sub-cut``."""
        words = self.words
        if words.word(place) not in ("use", "using", "take"):
            return
        for end, source in self.sources.named(place + 1):
            to_cut = words.kind(end) is Kind.TO and words.kind(end + 1) in (Kind.SUB, Kind.CUT)
            if source.kind in ("strip", "these") and to_cut:
                into = words.kind(end + 2) in (Kind.INTO, Kind.TO)
                yield end + 2 + into, parts.SubCut(source=source)

    def _strips_behind(self, place: int) -> Found:
        """Read ``sub-cut 3 of these strips into``."""
        words = self.words
        for end, source in self.sources.named(place + 1):
            behind = words.kind(end)
            into = behind in (Kind.INTO, Kind.TO)
            counted_cloth = source.kind == "cloth" and source.count and not source.has_words
            if source.kind in ("strip", "these") or (source.kind == "rest" and into):
                yield end + into, parts.SubCut(source=source)
            elif counted_cloth and into:
                yield end + 1, parts.SubCut(source=changed(source, kind="strip"))

    def _cut_into(self, place: int) -> Found:
        """Read ``cut each strip into``, ``cut the 10" squares into``."""
        words = self.words
        for end, source in self.sources.named(place + 1):
            counts_in = words.word(end) == "in" and words.is_count(end + 1)
            if words.kind(end) is not Kind.INTO and not counts_in:
                continue
            is_strip = source.kind in ("strip", "these", "rest", "piece")
            yield (
                end + 1,
                parts.SubCut(source=source) if is_strip else parts.CutUp(source=source),
            )

    def _halves(self, place: int) -> Found:
        """Read ``cut each in half so you have 80`` and ``sub-cut in half to make``."""
        words, kind = self.words, self.words.kind(place)
        if kind not in (Kind.CUT, Kind.SUB):
            return
        named = self.sources.named(place + 1)
        for end, source in named if kind is Kind.CUT else ():
            count = {Kind.HALF: 2, Kind.QUARTERS: 4}.get(words.kind(end), 0)
            if not count or source.kind not in ("square", "these", "cloth"):
                continue
            first = at = end + 1
            while words.word(at) in ("so", "that", "to", "you", "give", "and"):
                at += 1
            at += words.kind(at) in (Kind.HAVE, Kind.INTO, Kind.FOR)
            if at > first:
                each = changed(source, kind="cloth", is_each=True)
                yield at, parts.Halve(source=each, parts=count)
        for end, source in (*named, (place + 1, _STRIPS)):
            makes = words.kind(end + 1) in (Kind.HAVE, Kind.INTO, Kind.FOR)
            is_strip = source.kind in ("strip", "these", "cloth")
            if words.kind(end) is Kind.HALF and makes and is_strip:
                strips = changed(source, kind="strip", is_all=False)
                yield end + 2, parts.SubCut(source=strips)

    # ---- diagonals -------------------------------------------------------------------------------

    def _diagonal(self, place: int) -> Found:
        words, at = self.words, place
        count, who, size = None, "", None
        if words.kind(at) is Kind.SUB and "cross" in words.word(at):
            return
        if words.kind(at) in (Kind.CUT, Kind.SUB):
            at += 1
        elif words.kind(at) is Kind.EACH and words.kind(at + 1) is Kind.CUT:
            at += 2
        while self._names_squares(at, count=count):
            if words.is_count(at):
                is_each_one = words.count(at) == 1 and words.kind(at - 1) is Kind.EACH
                count = None if is_each_one else words.count(at)
            elif words.kind(at) is Kind.NUM:
                size = self.items.sizes(at)[0]
                who, at = "=", size.end
                continue
            elif words.word(at).startswith(("larg", "big")):
                who = "large"
            elif words.word(at).startswith("small"):
                who = "small"
            elif words.kind(at) is Kind.ALL:
                who = "all"
            elif words.kind(at) is Kind.LABEL:
                who = "#" + words.word(at).split()[-1]
            at += 1
        kind = words.kind(at)
        if kind not in _DIAGONALS:
            return
        yield (
            self._behind_triangles(at + 1, 2 if kind is Kind.ONCE else 4),
            parts.Diagonal(
                times=1 if kind is Kind.ONCE else 2,
                count=count,
                who=who,
                size=size.measures[0] if size is not None else None,
                says_times=bool({"once", "twice", "both"} & set(words.word(at).split())),
                binds_last=self._binds_last(place),
            ),
        )

    def _names_squares(self, at: int, *, count: int | None) -> bool:
        words = self.words
        kind, word = words.kind(at), words.word(at)
        if kind in (
            *(Kind.EACH, Kind.THESE, Kind.DET, Kind.ALL, Kind.OF, Kind.SQUARE, Kind.NEEDED),
            Kind.LABEL,
        ):
            return True
        if word in ("large", "larger", "largest", "small", "smaller", "smallest", "bigger"):
            return True
        if word in ("which", "are") and (count or words.kind(at - 1) is Kind.OF):
            return True
        if count and kind is Kind.CUT and words.word(at - 1) == "are":
            return True
        if count is None and words.is_count(at):
            return True
        sizes = self.items.sizes(at) if kind is Kind.NUM else ()
        return any(words.kind(one.end) is Kind.SQUARE for one in sizes)

    def _behind_triangles(self, at: int, made: int) -> int:
        """Return the place behind ``into 2 triangles``."""
        words = self.words
        if words.kind(at) is not Kind.INTO or not words.is_count(at + 1):
            return at
        if words.count(at + 1) != made or words.kind(at + 2) is not Kind.SHAPE:
            return at
        return at + 3 + (words.kind(at + 3) is Kind.EACH)

    def _binds_last(self, place: int) -> bool:
        """Whether a diagonal cut can only belong to the item before it."""
        words, at = self.words, place - 1
        if words.kind(at) not in (Kind.COMMA, Kind.AND, Kind.SEMICOLON):
            return True
        sizes = 0
        while at >= 0 and words.kind(at) not in (Kind.CUT, Kind.SUB, *_DIAGONALS):
            if words.kind(at) is Kind.SEMICOLON and sizes:
                break
            is_size = words.kind(at) is Kind.NUM and words.kind(at + 1) is Kind.UNIT
            sizes += is_size and words.kind(at - 1) is not Kind.TIMES
            at -= 1
        names_shape = Kind.SHAPE in words.kinds(place, place + 8)
        return sizes < 2 or (names_shape and words.kind(at) is Kind.SEMICOLON)

    # ---- brackets --------------------------------------------------------------------------------

    def _bracket(self, place: int) -> Found:
        words = self.words
        if words.kind(place) is not Kind.OPENING:
            return
        if all(kind in FREE or kind in (Kind.BORDER, Kind.CUT) for kind in words.kinds(0, place)):
            for end, item in self.items.items(place + 1):
                if words.kind(end) is Kind.CLOSING and item.count and item.size:
                    yield end + 1, parts.Bracketed(item=item)
        for end, phrase in self.phrases(place + 1):
            if isinstance(phrase, _IN_BRACKETS) and words.kind(end) is Kind.CLOSING:
                yield end + 1, phrase
            elif isinstance(phrase, (parts.Check, parts.Diagonal)):
                joint = words.kind(end) in (Kind.COMMA, Kind.SEMICOLON)
                for last, second in self.phrases(end + joint):
                    is_second = isinstance(second, (parts.Check, parts.Diagonal))
                    if is_second and words.kind(last) is Kind.CLOSING:
                        yield last + 1, parts.Both(first=phrase, second=second)
        behind = self.items.remark(place)
        if behind is not None:
            said = " ".join(words.words(place + 1, behind - 1))
            is_final = self.items.is_final(place, behind)
            yield behind, parts.Note(is_final=is_final, words=said)

    # ---- what is kept, sewn, multiplied ----------------------------------------------------------

    def _keep(self, place: int) -> Found:
        words = self.words
        if words.kind(place) is Kind.REST and words.word(place + 2) == "are":
            end, _ = self.items.purpose(place + 3)
            if words.kind(place + 3) is Kind.FOR and end is not None:
                yield end, parts.Keep(count=None, is_rest=True)
        if words.kind(place) is not Kind.SETASIDE:
            return
        may_follow = PURPOSE | {
            *(Kind.OF, Kind.THESE, Kind.REST, Kind.FOR, Kind.AT, Kind.AND, Kind.WHOLE, Kind.WIDE),
            *(Kind.TO, Kind.NUM, Kind.UNIT, Kind.TIMES, Kind.EXTRA),
        }
        at, count = place + 1, None
        while True:
            told = self.items.aside(at)
            if told is not None:
                at = told
                continue
            counted = words.counted(at) if words.kind(at) is Kind.OPENING else None
            if counted is not None:
                count, at = counted
                continue
            others = words.word(at) in ("other", "others", "extra", "extras", "another", "sets")
            if words.kind(at) not in may_follow and not others:
                break
            behind = words.kind(at + 1)
            begins_cut = behind in (Kind.CUT, Kind.SUB, Kind.NUM, Kind.OPENING)
            if words.kind(at) is Kind.AND and begins_cut:
                break
            if words.is_count(at) and behind is not Kind.TIMES:
                if count is not None:
                    return
                count = words.count(at)
            at += 1
        is_rest = Kind.REST in words.kinds(place, at)
        if "together" in words.words(place, at):
            count = None
        yield at, parts.Keep(count=count, is_rest=is_rest)

    def _sew(self, place: int) -> Found:
        words, kind = self.words, self.words.kind(place)
        pieced = words.word(place) == "piece" and (
            words.kind(place + 1) in (Kind.STRIP, Kind.DET, Kind.THESE)
            or words.word(place + 1).split(" ")[0] in ("end", "as", "and", "together", "to")
            or (words.is_count(place + 1) and words.kind(place - 1) is Kind.COMMA)
        )
        if kind not in (Kind.SEW, Kind.TRIM, Kind.DRAW) and not pieced:
            return
        end = place + 1
        while end < words.size and words.kind(end) not in (Kind.CUT, Kind.SUB, Kind.SEMICOLON):
            end += 1
        if words.word(end) == "cut apart" and Kind.UNIT not in words.kinds(end):
            end = words.size
        kinds, said = words.kinds(place, end), set(words.words(place, end))
        has_numbers = Kind.NUM in kinds
        joins = pieced or bool(
            said & {"sew", "sewn", "sewed", "join", "joined", "stitch", "stitched", "attach"}
            or said & {"strip set", "strip sets"}
        )
        is_before_cut = end < words.size
        doubts = [
            words.word(at)
            for at in range(place, end)
            if words.kind(at) is Kind.DOUBT and words.word(at) not in ("pairs", "sets")
        ]
        doubtful = Kind.REST in kinds or (bool(doubts) and is_before_cut)
        trims = kind is Kind.TRIM or (Kind.TRIM in kinds and not joins)
        counts = any(words.is_count(at) for at in range(place, end))
        yield (
            end,
            parts.Sew(
                joins=joins,
                has_numbers=has_numbers,
                speaks_of_rest=doubtful and (is_before_cut or (kind is Kind.TRIM and has_numbers)),
                trims=trims,
                counts=counts,
                says_each=Kind.EACH in kinds,
                is_before_cut=is_before_cut,
            ),
        )

    def _making(self, place: int) -> Found:
        """Read ``make 12 blocks``, ``(make 6)``, ``makes 7 strip sets``."""
        words = self.words
        if words.kind(place) is not Kind.MAKE or any(running_lengths(self.items, place + 1)):
            return
        if place and words.kind(place - 1) not in (*JOINTS, Kind.OPENING, Kind.LABEL):
            yield place + 1, parts.Make()
            return
        counted = words.counted(place + 1)
        count, at = counted or (None, place + 1)
        end = at
        stops = (Kind.CUT, Kind.SUB, Kind.SEMICOLON, Kind.COLON, Kind.CLOSING)
        while end < words.size and words.kind(end) not in stops:
            end += 1
        kinds = words.kinds(at, end)
        is_unit = bool({Kind.UNITNAME, Kind.SHAPE, Kind.UNIT} & set(kinds))
        is_whole = place == 0 and end == words.size
        yield end, parts.Making(count=count, is_unit=is_unit, is_whole=is_whole)

    def _blocks(self, place: int) -> Found:
        """Read ``for each of 9 blocks``, ``12 matching sets of``, ``4 each of``."""
        words, kind = self.words, self.words.kind(place)
        leads = kind is Kind.FOR or words.word(place) == "in"
        if leads or kind in (Kind.PER, Kind.EACH):
            at = place + leads
            if words.kind(at) is Kind.EACH:
                at = words.skip(at + 1, Kind.OF, Kind.DET, Kind.THESE)
                if words.is_count(at):
                    end = words.skip(at + 1, Kind.OPEN, Kind.GROUP, Kind.LABEL, Kind.UNITNAME)
                    made = any(
                        words.kind(one) is Kind.GROUP or words.word(one).endswith("s")
                        for one in range(at + 1, end)
                    )
                    if made:
                        yield end, parts.Blocks(count=words.count(at))
        if words.is_count(place):
            at = words.skip(place + 1, Kind.OPEN)
            if words.word(at) == "sets" and words.kind(at + 1) is Kind.OF:
                is_sets = words.kind(at + 2) is not Kind.COLON
                yield at + 2, parts.Blocks(count=words.count(place), is_sets=is_sets)
            at = place + 1 + (words.kind(place + 1) is Kind.OF)
            if words.kind(at) is Kind.EACH and words.kind(at + 1) in (
                *(Kind.OF, Kind.COLON, Kind.COMMA),
            ):
                yield (
                    at + 1 + (words.kind(at + 1) is Kind.OF),
                    parts.EachCount(count=words.count(place)),
                )
            elif words.kind(place + 1) is Kind.EACH:
                end = place + 2 + (words.kind(place + 2) is Kind.OF)
                yield end, parts.EachCount(count=words.count(place))

    def _per_block(self, place: int) -> Found:
        """Read ``per block`` and ``for each block``, where the number of blocks is not said."""
        words, at = self.words, place
        if words.kind(at) is Kind.FOR and words.kind(at + 1) is Kind.EACH:
            at += 2
        elif words.kind(at) is Kind.PER:
            at += 1
        else:
            return
        end = words.skip(at, Kind.OPEN, Kind.GROUP, Kind.UNITNAME)
        if Kind.GROUP in words.kinds(at, end) and not words.is_count(at):
            yield end, parts.PerBlock()

    def _chosen(self, place: int) -> Found:
        kind = self.words.kind(place)
        if kind is Kind.CHOOSE or kind in (Kind.NEEDED, Kind.YOU):
            chooses = kind is Kind.CHOOSE
            for end, source in self.sources.named(place + 1):
                is_named_cloth = source.kind == "cloth" and source.has_words and chooses
                ready = source.kind in ("square", "strip") or is_named_cloth
                if source.count and ready and not source.is_each:
                    yield end, parts.Chosen(source=source, is_cut=not chooses)

    def _panel(self, place: int) -> Found:
        words = self.words
        if words.kind(place) not in (Kind.TRIM, Kind.CUT, Kind.FUSSY):
            return
        at = words.skip(place + 1, Kind.DET, Kind.CUT, Kind.OPEN)
        if words.word(at) != "panel":
            return
        at += 1 + (words.word(at + 1) == "down")
        if words.kind(at) in (Kind.TO, Kind.INTO):
            for size in self.items.sizes(at + 1):
                if len(size.measures) == 2:
                    item = parts.Item(count=1, size=size.measures, noun="rectangle")
                    yield size.end, parts.Panel(item=item)

    def _running(self, place: int) -> Found:
        yield from running_lengths(self.items, place)

    # ---- headings, whole sentences, free words ---------------------------------------------------

    def _sentence(self, place: int) -> Found:
        """Read what only a whole sentence can say."""
        if place != 0:
            return
        for rule in (
            *(self._width_said, self._definition, self._direction, self._cloths, self._note),
            *(self._amount_head, self._trimmed),
        ):
            yield from rule()

    def _width_said(self) -> Found:
        """Read ``Each strip is cut 3½" wide``."""
        words, at, size = self.words, 0, None
        may_stand = (
            *(Kind.EACH, Kind.ALL, Kind.STRIP, Kind.AT, Kind.CUT, Kind.WOF, Kind.AND, Kind.OPEN),
            *(Kind.DET, Kind.WIDE),
        )
        while at < words.size:
            if size is None and words.kind(at) is Kind.NUM and self.items.sizes(at):
                size = self.items.sizes(at)[0]
                at = size.end
            elif words.kind(at) in may_stand:
                at += 1
            else:
                return
        says_so = words.kind(0) is Kind.EACH or {"are", "is"} & set(words.words(0, words.size))
        if size is not None and len(size.measures) == 1 and Kind.CUT in words.kinds()[1:]:
            if says_so and words.kind(0) is not Kind.CUT:
                yield at, parts.StripWidth(width=size.measures[0])

    def _definition(self) -> Found:
        """Read ``Fat quarter = 18" × 20"``."""
        words = self.words
        at = words.skip(0, Kind.CLOTH, Kind.OPEN, Kind.DET, Kind.WOF)
        if at and words.kind(at) is Kind.EQUALS:
            if any(size.end == words.size for size in self.items.sizes(at + 1)):
                yield words.size, parts.Free()

    def _direction(self) -> Found:
        """Read ``Cut the borders lengthwise before …`` and ``The strips are cut crosswise``."""
        words = self.words
        kinds = words.kinds()
        ways = [at for at, kind in enumerate(kinds) if kind in (Kind.WOF, Kind.LOF)]
        passive = [
            at
            for at in range(1, words.size)
            if words.word(at) == "are" and words.kind(at + 1) is Kind.CUT
        ]
        if words.kind(0) is Kind.CUT and Kind.NUM not in kinds and ways:
            before = kinds[: ways[0]]
            cuts_from = {Kind.FROM, Kind.EACH, Kind.INTO} & set(before) or any(
                kind is Kind.OF and kinds[at + 1] is not Kind.DET for at, kind in enumerate(before)
            )
            if not cuts_from:
                yield words.size, self._heading(1, ways[0], along=kinds[ways[0]] is Kind.LOF)
        elif passive and self._only_directs(kinds, passive[0]):
            if Kind.LOF in kinds:
                yield words.size, self._heading(0, passive[0], along=True)
            elif Kind.NUM not in kinds or Kind.WOF in kinds:
                yield words.size, parts.Free()

    def _only_directs(self, kinds: tuple[Kind, ...], at: int) -> bool:
        named, told = set(kinds[:at]), set(kinds)
        cuts = (Kind.STRIP, Kind.BORDER, Kind.SQUARE, Kind.PIECE, Kind.SHAPE)
        acts = {Kind.INTO, Kind.SUB, Kind.ONCE, Kind.TWICE, Kind.HALF, Kind.FINISHED}
        counts = any(self.words.is_count(one) for one in range(self.words.size))
        cut_again = Kind.CUT in kinds[at + 2 :]
        is_named = bool(named & set(cuts)) and not named & {
            Kind.NUM,
            Kind.EACH,
            Kind.THESE,
            Kind.REST,
        }
        return is_named and not told & acts and not counts and not cut_again

    def _heading(self, start: int, end: int, *, along: bool) -> parts.Heading:
        words = self.words
        names = {
            words.word(at).rstrip("s")
            for at in range(start, end)
            if words.kind(at) in (Kind.BORDER, Kind.OPEN, Kind.GROUP)
        }
        common = ("following", "long", "outer", "inner")
        return parts.Heading(along=along, names=frozenset(names - set(common)))

    def _cloths(self) -> Found:
        """Read ``8 fat quarters:``."""
        words = self.words
        if words.is_count(0):
            end = words.skip(1, Kind.CLOTH, Kind.OPEN)
            if words.kind(end) is Kind.COLON and Kind.CLOTH in words.kinds(1, end):
                yield end, parts.Cloths(count=words.count(0))

    def _note(self) -> Found:
        """Read a remark about measures in general, and a name before "cut"."""
        words = self.words
        at = words.skip(0, *FREE, *NOUNS)
        if at and words.kind(at) in (Kind.COLON, Kind.DASH, Kind.COMMA):
            if words.kind(at + 1) is Kind.CUT:
                yield at, parts.Free()
        first, said = words.words(0, 3), set(words.words(0, words.size))
        about = bool(set(first) & NOTE_WORDS) and Kind.SQUARE not in words.kinds()
        seams = bool(said & {"seam", "seams", "seam allowance", "seam allowances"})
        cuts = any(
            words.kind(one) is Kind.CUT and words.kind(one + 1) in (Kind.NUM, Kind.OPENING)
            for one in range(words.size)
        )
        if (about or (seams and not words.is_count(0))) and not cuts:
            yield words.size, parts.Free()

    def _amount_head(self) -> Found:
        """Read ``2¼ yards - cut into:``: the amount that the list below is cut from."""
        words = self.words
        unit = words.at(1).value if words.kind(1) is Kind.UNIT else None
        if words.kind(0) is not Kind.NUM or unit is None or unit < Length(36):
            return
        end = words.skip(2, Kind.OF, Kind.OPEN, Kind.CLOTH, Kind.DASH, Kind.COMMA)
        end = words.skip(end, Kind.CUT, Kind.INTO)
        if words.kind(end) in (Kind.COLON, Kind.END):
            yield end, parts.Free()

    def _trimmed(self) -> Found:
        """Read a whole sentence in brackets that speaks of trimming later."""
        words = self.words
        kinds = set(words.kinds())
        counts = any(words.is_count(at) for at in range(words.size))
        told = kinds & {Kind.SUB, Kind.EACH, Kind.HALF, Kind.DOUBT}
        if words.kind(0) is Kind.OPENING and Kind.TRIM in kinds and not (counts or told):
            yield words.size, parts.Free()

    def _following(self, place: int) -> Found:
        """Read ``the following pieces:`` and ``the following lengthwise strips:``."""
        words = self.words
        at = words.skip(place, Kind.DET, Kind.ALL, Kind.OF)
        if words.word(at) == "piece":
            at = words.skip(at + 1, Kind.DET)
        if words.word(at) != "following":
            return
        at += 1
        way: Phrase = parts.Free()
        while words.kind(at) in (*(Kind.OPEN, Kind.LOF, Kind.WOF, *NOUNS, Kind.LABEL, Kind.AND),):
            if words.kind(at) in (Kind.LOF, Kind.WOF):
                way = parts.Way(along=words.kind(at) is Kind.LOF)
            at += 1
        if words.kind(at) in (Kind.COLON, Kind.END):
            yield at, way

    def _whole(self, place: int) -> Found:
        words = self.words
        ends = (Kind.END, Kind.CLOSING, Kind.COMMA, Kind.SEMICOLON, Kind.FOR)
        if words.kind(place) is Kind.WHOLE:
            if words.kind(place + 1) in ends or words.word(place + 1) == "yet":
                yield place + 1, parts.Free()
        if words.kind(place) is Kind.THESE and words.word(place + 1) in ("are", "will"):
            if words.kinds(place + 2, place + 4) == (Kind.OPEN,):
                yield place + 3, parts.Free()

    def _free(self, place: int) -> Found:
        words, at = self.words, place
        if words.kind(at) in (Kind.SEW, Kind.TRIM, Kind.DRAW):
            return
        while True:
            kind, behind = words.kind(at), words.kind(at + 1)
            by_cutting = kind is Kind.BY and words.word(at + 1).endswith("ing")
            toward = kind is Kind.TO and behind is Kind.OPEN
            named = kind in (*NOUNS, Kind.SHAPE) and behind in (
                *(Kind.COLON, Kind.DASH, Kind.COMMA),
            )
            of_free = kind is Kind.OF and behind in FREE
            listed = kind is Kind.AND and at > place and behind in (Kind.OPEN, Kind.GROUP)
            if self._so_cut(at):
                break
            told = kind is Kind.FOR or (kind is Kind.AS and at > 0 and behind is Kind.DET)
            if told and self.items.purpose(at)[0] is not None:
                at = self.items.purpose(at)[0] or at
            elif self._made_for(at) is not None:
                at = self._made_for(at) or at
            elif kind in FREE or by_cutting or named or of_free or listed or toward:
                at += 1
            else:
                break
        if at > place:
            yield at, parts.Free()

    def _made_for(self, place: int) -> int | None:
        """Return the place behind ``to make setting triangles``: what they become, uncounted."""
        if self.words.kind(place) is not Kind.HAVE:
            return None
        end, _ = self.items.purpose(place)
        ends = (Kind.END, Kind.SEMICOLON, Kind.COMMA, Kind.CLOSING)
        is_last = end is not None and self.words.kind(end) in ends
        return end if is_last and Kind.NUM not in self.words.kinds(place, end) else None


_RULES: tuple[Callable[[Grammar, int], Found], ...] = (
    Grammar._item,
    Grammar._verb,
    Grammar._use_for,
    Grammar._way,
    Grammar._source,
    Grammar._sub_cut,
    Grammar._use_of_strips,
    Grammar._per_block,
    Grammar._making,
    Grammar._halves,
    Grammar._diagonal,
    Grammar._bracket,
    Grammar._check,
    Grammar._keep,
    Grammar._sew,
    Grammar._blocks,
    Grammar._chosen,
    Grammar._panel,
    Grammar._running,
    Grammar._sentence,
    Grammar._following,
    Grammar._whole,
    Grammar._free,
)

"""Figures that a pattern states of what is cut: totals, needs, shares, sets.

They cut nothing. A table holds them against its pieces, so that a text that contradicts
itself is asked about and one that agrees is confirmed.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.reading.phrases.items import ItemReader
from kitmaker.reading.phrases.lexicon import word_set
from kitmaker.reading.phrases.parts import Check, Parts, Phrase, Share
from kitmaker.reading.phrases.tokens import NOUNS, Kind

Found = Iterator[tuple[int, Phrase]]
_COUNTED = frozenset(
    {
        *NOUNS,
        *(Kind.OPEN, Kind.DET, Kind.SHAPE, Kind.UNITNAME, Kind.LABEL, Kind.GROUP, Kind.AT),
        *(Kind.FOR, Kind.CLOTH),
    }
)
_LEADS = (Kind.HAVE, Kind.TOTAL, Kind.NEEDED, Kind.EQUALS, Kind.YOU)
_LEAD_WORDS = word_set("to make only so there should that's will can use using room fit")
_USES = (
    "use",
    "using",
    "you use",
    "you'll use",
    "you will use",
    "you will only use",
    "you'll only use",
)


class CheckReader:
    """Reads the figures that one sentence states."""

    def __init__(self, items: ItemReader) -> None:
        """Take the reader of the sentence's items."""
        self.items = items
        self.words = items.words

    def checks(self, place: int) -> Found:
        """Yield what may be stated from a place on."""
        yield from self._stated(place)
        yield from self._become(place)
        yield from self._of(place)
        if self.words.is_count(place):
            yield from self._sets(place)
            yield from self._parts(place)
            yield from self._shares(place)
            yield from self._of_each(place)
        if self.words.kind(place) in (Kind.HAVE, Kind.YOU, Kind.NEEDED):
            yield from self._of_a_strip(place + 1)
        elif self.words.kind(place - 1) is Kind.OPENING:
            yield from self._of_a_strip(place)

    def _stated(self, place: int) -> Found:
        """Read ``you will have 40``, ``(40 total)``, ``need 12``, ``6 extra``."""
        words, at = self.words, place
        lead: list[str] = []
        while self._leads(at, lead):
            said = words.word(at)
            is_use = said in _USES or said == "only"
            lead.append("use" if is_use else said if said == "can" else words.kind(at).value)
            at += 1
            at += words.kind(at) in (Kind.DET, Kind.ALL) and words.kind(at + 1) is not Kind.END
        counted = words.counted(at)
        if counted is None:
            return
        count, at = counted
        if words.kind(at) is Kind.OF and words.kind(at + 1) in (Kind.DET, Kind.THESE):
            at += 2
        noun = ""
        while words.kind(at) in _COUNTED:
            if words.kind(at) in (Kind.SHAPE, Kind.UNITNAME):
                noun = "triangle"
            elif words.kind(at) in NOUNS and not noun:
                noun = NOUNS[words.kind(at)]
            at += 1
        trail = words.kind(at) if words.kind(at) in (Kind.TOTAL, Kind.NEEDED, Kind.EXTRA) else None
        at += trail is not None
        if self._begins_another(at):
            return
        kind = self._kind(place, at, lead, trail, noun)
        if kind is not None:
            is_bare = at == place + 1 and self.words.kind(place - 1) is Kind.OPENING
            yield at, Check(kind=kind, count=count, noun=noun, is_bare=is_bare)

    def _leads(self, place: int, lead: list[str]) -> bool:
        words = self.words
        kind, behind = words.kind(place), words.kind(place + 1)
        if kind in _LEADS or words.word(place) in _LEAD_WORDS:
            return True
        counts = (Kind.DET, Kind.TOTAL, Kind.NUM, Kind.OPENING)
        if kind is Kind.FOR and words.word(place - 1) == "room":
            return True
        return (kind is Kind.FOR and behind in counts) or (kind is Kind.ALL and "use" in lead)

    def _begins_another(self, place: int) -> bool:
        """Whether what follows measures or divides: the figure was a count of its own."""
        words = self.words
        kind = words.kind(place)
        if kind in (Kind.NUM, Kind.TIMES, Kind.UNIT, Kind.EACH, Kind.PER, Kind.OF):
            return True
        measured = words.kind(place + 2) in (Kind.UNIT, Kind.TIMES)
        return kind is Kind.OPENING and words.kind(place + 1) is Kind.NUM and measured

    def _kind(
        self, place: int, end: int, lead: list[str], trail: Kind | None, noun: str
    ) -> str | None:
        words = self.words
        if trail is Kind.EXTRA:
            return "extra"
        if "use" in lead or "can" in lead:
            return "use" if "use" in lead else "can"
        if lead and set(lead) <= {Kind.NEEDED.value, Kind.YOU.value}:
            return "need"
        if lead and set(lead) <= {Kind.FOR.value, Kind.TO.value} and not (noun or trail):
            return None
        opens = words.kind(place - 1)
        if lead or trail or (noun == "triangle" and opens in (Kind.DASH, Kind.COMMA, Kind.OPENING)):
            return "total"
        ends = words.kind(end) in (Kind.CLOSING, Kind.COMMA, Kind.SEMICOLON)
        return "total" if opens is Kind.OPENING and ends else None

    def _become(self, place: int) -> Found:
        """Read ``→ 4 triangles``: how often the squares before it are cut."""
        words = self.words
        becomes = words.kind(place) in (Kind.ARROW, Kind.EQUALS)
        if becomes and words.is_count(place + 1):
            end = words.skip(place + 2, Kind.OPEN, Kind.UNITNAME, Kind.SHAPE)
            if {Kind.SHAPE, Kind.UNITNAME} & set(words.kinds(place + 2, end)):
                yield end, Check(kind="become", count=words.count(place + 1), noun="triangle")

    def _of(self, place: int) -> Found:
        """Read ``use 84 of the 88 squares``."""
        words, at = self.words, place
        leads = (Kind.YOU, Kind.NEEDED, Kind.HAVE, Kind.NEEDS, Kind.ALL)
        while words.kind(at) in leads or words.word(at) in ("use", "using", "will", "only"):
            at += 1
        if at == place or not words.is_count(at) or words.kind(at + 1) is not Kind.OF:
            return
        if words.kind(at + 2) not in (Kind.DET, Kind.THESE) or not words.is_count(at + 3):
            return
        end = at + 4
        named = (*NOUNS, Kind.OPEN, Kind.SHAPE, Kind.CUT, Kind.GROUP)
        while words.kind(end) in named or words.word(end) == "sets":
            end += 1
        noun = "sets" if "sets" in words.words(at, end) else ""
        yield end, Check(kind="of", count=words.count(at), of=words.count(at + 3), noun=noun)

    def _sets(self, place: int) -> Found:
        """Read ``(8 sets of 4)`` and ``(4 from each of 8 prints)``."""
        words = self.words
        at = words.skip(place + 1, Kind.OPEN)
        joins = (Kind.FROM, Kind.OF, Kind.FOR, Kind.AT)
        if words.word(at) == "sets" and words.kind(at + 1) is Kind.OF:
            second = at + 2
        elif words.kind(at) in joins and words.kinds(at + 1, at + 3) == (Kind.EACH, Kind.OF):
            second = at + 3 + (words.kind(at + 3) is Kind.DET)
        else:
            return
        if not words.is_count(second) or words.kind(place - 1) is not Kind.OPENING:
            return
        named = (Kind.OPEN, Kind.SQUARE, Kind.RECT, Kind.CLOTH, Kind.GROUP, Kind.STRIP)
        end = words.skip(second + 1, *named)
        if words.kind(end) is Kind.CLOSING:
            yield end, Check(kind="sets", count=words.count(place), of=words.count(second))

    def _parts(self, place: int) -> Found:
        """Read ``4 for the border, 6 for the binding`` behind a count of 10."""
        words, at = self.words, place
        counts: list[int] = []
        while words.is_count(at):
            end = at + 1
            named = (Kind.AT, Kind.OPEN, Kind.OF, Kind.LABEL, Kind.DET, Kind.BORDER, Kind.GROUP)
            while words.kind(end) in named or (
                words.kind(end) in (Kind.STRIP, Kind.SQUARE) and words.kind(end + 1) is Kind.FOR
            ):
                end += 1
            behind, _ = self.items.purpose(end) if words.kind(end) is Kind.FOR else (None, False)
            end = behind or end
            if end == at + 1:
                break
            counts.append(words.count(at))
            at = end
            step = words.skip(at, Kind.COMMA, Kind.AND, Kind.SEMICOLON)
            if not words.is_count(step):
                break
            at = step
        if len(counts) > 1:
            yield at, Parts(counts=tuple(counts))

    def _shares(self, place: int) -> Found:
        """Read ``6 per block`` and ``4 for each of 9 blocks``."""
        words = self.words
        at = words.skip(place + 1, Kind.OPEN, Kind.SQUARE, Kind.RECT)
        is_per = words.kind(at) is Kind.PER
        if not is_per and not (
            words.kind(at) in (Kind.FOR, Kind.AT) and words.kind(at + 1) is Kind.EACH
        ):
            return
        named = (Kind.GROUP, Kind.OPEN, Kind.DET, Kind.OF, Kind.STRIP)
        end = words.skip(at + 1 + (not is_per), *named)
        if words.is_count(end) and words.kind(end + 1) in (Kind.GROUP, Kind.OPEN):
            end += 2
        yield end, Share(count=words.count(place))

    def _of_each(self, place: int) -> Found:
        """Read ``(4 of each print)``."""
        words = self.words
        at = words.skip(place + 1, Kind.OPEN, Kind.SQUARE, Kind.OF, Kind.FROM)
        if words.kind(at) is not Kind.EACH or at > place + 3:
            return
        end = words.skip(at + 1, Kind.CLOTH, Kind.OPEN, Kind.OF, Kind.DET)
        begins = words.kind(place - 1) in (Kind.OPENING, Kind.COMMA, Kind.DASH)
        if begins and words.kind(end) in (Kind.CLOSING, Kind.END):
            yield end, Check(kind="each print", count=words.count(place))

    def _of_a_strip(self, place: int) -> Found:
        """Read ``you will get 8 squares per strip``."""
        words = self.words
        if not words.is_count(place):
            return
        at = words.skip(place + 1, Kind.SQUARE, Kind.RECT, Kind.PIECE, Kind.OPEN)
        is_each = words.kind(at) is Kind.FROM and words.kind(at + 1) is Kind.EACH
        if words.kind(at) is not Kind.PER and not is_each:
            return
        named = (Kind.WOF, Kind.OPEN, Kind.EACH, Kind.NUM, Kind.UNIT, Kind.TIMES)
        end = words.skip(at + 1, *named)
        if words.kind(end) is Kind.STRIP:
            yield end + 1, Check(kind="each strip", count=words.count(place))

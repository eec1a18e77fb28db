"""What something is cut from: ``from each of the 12 prints``, ``of the remaining strips``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.reading.phrases.items import ItemReader
from kitmaker.reading.phrases.parts import Source, changed
from kitmaker.reading.phrases.tokens import Kind, Words

_JOINTS = (Kind.COMMA, Kind.SEMICOLON, Kind.COLON, Kind.DASH, Kind.AND, Kind.EQUALS, Kind.ARROW)
_NAMES = frozenset(
    {
        *(Kind.OPEN, Kind.DET, Kind.ORD, Kind.CODE, Kind.BORDER, Kind.GROUP, Kind.WIDE, Kind.SEW),
        *(Kind.TRIM, Kind.DRAW, Kind.LABEL),
    }
)
_OF_KIND = {Kind.STRIP: "strip", Kind.SQUARE: "square", Kind.RECT: "square"}
_DETERMINERS = (Kind.DET, Kind.THESE, Kind.EACH)
_PRINTS = ("print", "fabric", "color", "colour", "solid")
Found = tuple[tuple[int, Source], ...]


@dataclass(slots=True)
class _Named:
    """A noun phrase while it is read: the place, and what it says so far."""

    at: int
    source: Source
    kind: str | None = None
    is_these: bool = False
    several: bool = False


class SourceReader:
    """Reads what is cut from in one sentence."""

    def __init__(self, items: ItemReader) -> None:
        """Take the reader of the sentence's sizes and remarks."""
        self.items = items
        self.words: Words = items.words
        self._sources: dict[int, Found] = {}

    def sources(self, place: int) -> Found:
        """Return the sources that may begin at a place, each with the place behind it."""
        if place not in self._sources:
            self._sources[place] = self._find(place)
        return self._sources[place]

    def _find(self, place: int) -> Found:
        words = self.words
        if words.kind(place) is Kind.CUT and words.kind(place + 1) is Kind.FROM:
            place += 1
        kind, behind = words.kind(place), words.kind(place + 1)
        if words.word(place) == "out" and behind is Kind.OF:
            return self.named(place + 2)
        if kind is Kind.FROM:
            return self.named(place + 1)
        if kind is Kind.OF and behind in (
            *(Kind.EACH, Kind.DET, Kind.CLOTH, Kind.LABEL, Kind.OPEN, Kind.ALL),
        ):
            return self.named(place + 1)
        if words.word(place) in ("in", "with", "on"):
            is_named = behind in (Kind.EACH, Kind.REST, Kind.DET)
            return self.named(place + 1) if is_named else ()
        if kind is Kind.PER and behind in (Kind.CLOTH, Kind.STRIP, Kind.OPEN):
            each = self.named(place + 1)
            return tuple((end, changed(one, is_each=True)) for end, one in each)
        return self._without_from(place)

    def _without_from(self, place: int) -> Found:
        """Read ``Each fat quarter:`` and ``The remaining fabric - cut``."""
        words = self.words
        kind, before = words.kind(place), words.kind(place - 1)
        found: list[tuple[int, Source]] = []
        if kind is Kind.EACH:
            named = self.named(place)
            if words.kind(place + 1) in (Kind.CLOTH, Kind.OPEN, Kind.OF):
                found += [one for one in named if one[1].kind == "cloth"]
            elif before in (Kind.CUT, Kind.DASH, Kind.COMMA, Kind.END):
                found += [
                    one
                    for one in named
                    if one[1].kind in ("strip", "square") or (one[1].has_words and not one[1].size)
                ]
        elif kind is Kind.REST and (place == 0 or before in _JOINTS):
            ends = (Kind.COLON, Kind.CUT, Kind.COMMA, Kind.DASH)
            found += [one for one in self.named(place) if words.kind(one[0]) in ends]
        return tuple(found)

    def named(self, place: int) -> Found:
        """Return the noun phrase of cloth, strips or squares at a place."""
        words, start = self.words, place
        source = Source(kind="cloth")
        if words.word(place) == "all":
            source, place = changed(source, is_all=True), place + 1
            place += words.kind(place) is Kind.OF
        if words.kind(place) is Kind.EACH:
            source, place = changed(source, is_each=True), place + 1
            place += words.kind(place) is Kind.OF
        if words.kind(place) is Kind.DET:
            source, place = changed(source, is_all=True), place + 1
        found: list[tuple[int, Source]] = []
        named = _Named(place, source)
        while self._take(named, place):
            counts_follow = words.counted(named.at) is not None
            if words.kind(named.at - 1) is Kind.THESE and counts_follow:
                found.append((named.at, changed(named.source, kind="these")))
        if (named.at == place and not named.source.is_each) or named.several:
            return ()
        found.append((named.at, self._finished(named, start, place)))
        return tuple(found)

    def _take(self, named: _Named, start: int) -> bool:
        """Take the next word of the phrase; False where it ends."""
        words, at, said = self.words, named.at, named.source
        kind = words.kind(at)
        if kind is Kind.THESE:
            named.is_these = True
        elif kind is Kind.REST or words.word(at) in ("other", "others"):
            named.source = changed(said, is_rest=True)
        elif self._takes_count(named):
            return True
        elif kind is Kind.NUM and not said.size and self.items.sizes(at):
            size = max(self.items.sizes(at), key=lambda one: one.end)
            named.source = changed(said, size=size.measures, across=size.across)
            named.at = size.end
            return True
        elif (kind is Kind.UNITNAME and words.word(at).startswith("strip set")) or (
            words.word(at) in ("set", "sets") and words.kind(at - 1) in _DETERMINERS
        ):
            named.kind = "strip"
            named.source = changed(said, is_sewn=True)
        elif kind in _OF_KIND:
            named.kind = _OF_KIND[kind]
        elif kind is Kind.PIECE:
            named.kind = named.kind or "piece"
        elif kind is Kind.CLOTH:
            named.kind = named.kind or "cloth"
            is_print = words.word(at).startswith(_PRINTS)
            named.source = changed(said, of=said.of or ("print" if is_print else "cloth"))
        elif kind in _NAMES:
            listed = re.findall(r"\b[a-z0-9]\b", words.word(at)) if kind is Kind.LABEL else []
            if len(listed) > 1 and said.is_each and said.count is None:
                named.source = said = changed(said, count=len(listed))
            named.several = named.several or (len(listed) > 1 and not said.is_each)
            if kind in (Kind.OPEN, Kind.LABEL):
                named.source = changed(said, has_words=True)
        elif kind is Kind.LOF:
            named.source = changed(said, along=True)
        elif kind is Kind.WOF and at > start:
            named.source = changed(said, across=True)
        elif kind is Kind.OR and words.kind(at - 1) is words.kind(at + 1) is Kind.OPEN:
            pass
        elif kind is Kind.OPENING and (end := self.items.remark(at)) is not None:
            named.at = end
            return True
        elif not (kind is Kind.OF and at > start):
            return False
        named.at += 1
        return True

    def _takes_count(self, named: _Named) -> bool:
        words, said = self.words, named.source
        counted = words.counted(named.at)
        if counted is None or said.count is not None or named.kind is not None or said.size:
            return False
        count, behind = counted
        if words.kind(behind) is Kind.TIMES:
            return False
        named.source = changed(said, count=count)
        if words.kind(behind) is Kind.OF:
            behind += 1
            if words.kind(behind) in (Kind.DET, Kind.THESE):
                named.is_these = named.is_these or words.kind(behind) is Kind.THESE
                behind += 1
        named.at = behind + (words.kind(behind) is Kind.DASH)
        return True

    def _finished(self, named: _Named, start: int, place: int) -> Source:
        words, said = self.words, named.source
        bare_each = said.is_each and named.at == place
        kind = named.kind or ("these" if named.is_these or bare_each else "cloth")
        if said.is_rest and kind == "cloth":
            # "The remaining prints" are cloths; "the remaining blue" is what is left of one.
            says_cloths = any(
                words.kind(at) is Kind.CLOTH and words.word(at).rstrip(".").endswith("s")
                for at in range(start, named.at)
            )
            kind = "cloth" if says_cloths else "rest"
        return changed(said, kind=kind)

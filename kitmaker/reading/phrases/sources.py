"""What something is cut from: ``from each of the 12 prints``, ``of the remaining strips``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from kitmaker.reading.phrases.items import ItemReader
from kitmaker.reading.phrases.parts import Source
from kitmaker.reading.words.lexicon import NARROW_FORMS
from kitmaker.reading.words.tokens import Kind

_OF_KIND = {Kind.STRIP: "strip", Kind.SQUARE: "square", Kind.RECT: "square"}
_PRINTS = ("print", "fabric", "color", "colour", "solid")
_NAMED_BEHIND = "FROM|OF(?=[EACH DET CLOTH LABEL OPEN ALL])|[IN ON](?=[EACH REST DET])"
_PASSED = "[DET ORD CODE BORDER GROUP WIDE SEW TRIM DRAW]|(?<=OPEN)OR(?=OPEN)"
Found = tuple[tuple[int, Source], ...]


@dataclass(slots=True)
class _Named:
    """A noun phrase while it is read: the place, and what it says so far."""

    at: int
    source: Source
    kind: str = ""
    is_these: bool = False
    is_several: bool = False

    def says(self, **fields: Any) -> None:
        self.source = self.source._replace(**fields)


class SourceReader:
    """Reads what is cut from in one sentence."""

    def __init__(self, items: ItemReader) -> None:
        """Take the reader of the sentence's sizes and remarks."""
        self.items = items
        self.words = items.words
        self._named: dict[int, Found] = {}

    def sources(self, place: int) -> Found:
        """Return the sources that may begin at a place, each with the place behind it."""
        words = self.words
        place += words.fits("CUT FROM", place) is not None
        if words.fits("OUT OF", place):
            return self.named(place + 2)
        if words.fits(_NAMED_BEHIND, place):
            return self.named(place + 1)
        if words.fits("PER[CLOTH STRIP OPEN]", place):
            each = self.named(place + 1)
            return tuple((end, source._replace(is_each=True)) for end, source in each)
        # Each fat quarter: … The remaining fabric - cut …
        if words.fits("EACH[CLOTH OPEN OF]", place):
            return tuple(found for found in self.named(place) if found[1].kind == "cloth")
        if words.fits("EACH", place) and (place == 0 or words.fits("[CUT DASH COMMA]", place - 1)):
            return tuple(found for found in self.named(place) if _may_lead(found[1]))
        if words.fits("REST", place) and (place == 0 or words.fits("JOINT", place - 1)):
            named = self.named(place)
            return tuple(
                found for found in named if words.fits("[COLON COMMA DASH]|(?<!REST)CUT", found[0])
            )
        return ()

    def named(self, place: int) -> Found:
        """Return the noun phrase of cloth, strips or squares at a place."""
        if place not in self._named:
            self._named[place] = self._find(place)
        return self._named[place]

    def _find(self, start: int) -> Found:
        words = self.words
        lead = words.fits("(?P<all>(?!BOTH)ALL OF?)?(?P<each>EACH OF?)?(?P<the>DET)?", start)
        if lead is None:
            return ()
        is_all = lead["the"] is not None or lead["all"] is not None
        source = Source(
            kind="cloth",
            is_all=is_all,
            says_all=lead["all"] is not None,
            is_each=lead["each"] is not None,
        )
        named = _Named(lead.end(), source)
        found: list[tuple[int, Source]] = []
        while self._take(named, lead.end()):
            if words.fits("(?<=THESE)COUNTED", named.at):
                found.append((named.at, named.source._replace(kind="these")))
        if (named.at == lead.end() and not named.source.is_each) or named.is_several:
            return ()
        kind = named.kind or ("these" if named.is_these or named.at == lead.end() else "cloth")
        if named.source.is_rest and kind == "cloth":
            # "The remaining prints" are cloths; "the remaining blue" is what is left of one.
            cloths = [
                words.word(at)
                for at in range(start, named.at)
                if words.kind(at) is Kind.CLOTH and words.word(at).rstrip(".").endswith("s")
            ]
            kind = "cloth" if cloths else "rest"
        return (*found, (named.at, named.source._replace(kind=kind)))

    def _take(self, named: _Named, start: int) -> bool:
        """Take the next word of the phrase; False where it ends."""
        words, at = self.words, named.at
        if self._takes_figure(named):
            return True
        if words.kind(at) is Kind.OPENING and (end := self.items.remark(at)) is not None:
            named.at = end
            return True
        taken = self._takes_noun(named) or self._takes_name(named)
        if words.kind(at) is Kind.THESE:
            named.is_these = taken = True
        elif words.fits("(?<!COUNT)(?:REST|OTHER)", at) and not named.kind:
            named.says(is_rest=True)
            taken = True
        elif words.fits("LOF", at) or (at > start and words.fits("WOF", at)):
            named.says(**{"along" if words.kind(at) is Kind.LOF else "across": True})
            taken = True
        taken = taken or bool(words.fits(_PASSED, at) or (at > start and words.fits("OF", at)))
        named.at += taken
        return taken

    def _takes_noun(self, named: _Named) -> bool:
        words, at = self.words, named.at
        kind, word = words.kind(at), words.word(at)
        if (kind is Kind.UNITNAME and word.startswith("strip set")) or (
            word in ("set", "sets") and words.fits("[DET THESE EACH]", at - 1)
        ):
            named.kind = "strip"
            named.says(is_sewn=True)
        elif kind in _OF_KIND:
            named.kind = _OF_KIND[kind]
            named.says(form="" if named.kind == "strip" else "square")
        elif kind is Kind.PIECE:
            named.kind = named.kind or "piece"
        elif kind is Kind.CLOTH:
            named.kind = named.kind or "cloth"
            of = "print" if word.startswith(_PRINTS) else "cloth"
            form = NARROW_FORMS.get(word.replace("-", " ").rstrip("s."), "")
            named.says(of=named.source.of or of, form=named.source.form or form)
        else:
            return False
        return True

    def _takes_name(self, named: _Named) -> bool:
        words, at, said = self.words, named.at, named.source
        if words.fits("LABEL", at):
            listed = re.findall(r"\b[a-z0-9]\b", words.word(at))
            named.is_several = named.is_several or (len(listed) > 1 and not said.is_each)
        elif not words.fits("OPEN", at):
            return False
        named.says(has_words=True)
        return True

    def _takes_figure(self, named: _Named) -> bool:
        """Take a count, or the size of what it is cut from."""
        words, said = self.words, named.source
        is_open = said.count is None and not named.kind and not said.size
        count = words.fits("COUNTED(?!TIMES)(?P<of>OF[DET THESE]?)?DASH?", named.at)
        if is_open and count:
            counted = words.counted(named.at)
            named.says(count=counted[0] if counted else None)
            named.is_these = named.is_these or words.has("THESE", named.at, count.end())
            named.at = count.end()
            return True
        sizes = self.items.sizes(named.at) if words.fits("NUM", named.at) else ()
        if sizes and not said.size:
            size = max(sizes, key=lambda size: size.end)
            named.says(size=size.measures, across=size.across)
            named.at = size.end
            return True
        return False


def _may_lead(source: Source) -> bool:
    """Whether a sentence may begin with it, "from" left out."""
    return source.kind in ("strip", "square") or (source.has_words and not source.size)

"""Figures that a pattern states of what is cut: totals, needs, shares, sets.

They cut nothing. A table holds them against its pieces, so that a text that contradicts
itself is asked about and one that agrees is confirmed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from kitmaker.reading.phrases.items import PURPOSE, ItemReader
from kitmaker.reading.phrases.parts import Check, Phrase
from kitmaker.reading.words.tokens import NOUNS, Kind, Words

Found = Iterator[tuple[int, Phrase]]
_LEAD = (
    "(?:(?:[HAVE TOTAL NEEDED EQUALS YOU TO MAKE ONLY SO SHOULD THATS WILL CAN USE ROOM]"
    "|(?<=ROOM)FOR|FOR(?=[DET TOTAL NUM OPENING])|(?<=[USE YOUUSE ONLY])ALL)(?:[DET ALL](?!END))?)*"
)
_STATED = (
    f"(?P<lead>{_LEAD})COUNTED(?:OF[DET THESE])?+"
    "(?P<noun>[NOUN OPEN DET SHAPE UNITNAME LABEL GROUP AT FOR CLOTH]*+)"
    "(?P<trail>[TOTAL NEEDED EXTRA])?+(?![NUM TIMES UNIT EACH PER OF]|OPENING NUM[UNIT TIMES])"
)
_OF_ALL = (
    "[YOU NEEDED HAVE NEEDS ALL USE WILL ONLY]+(?P<n>COUNT)OF[DET THESE](?P<of>COUNT)"
    "(?P<noun>[NOUN OPEN SHAPE CUT GROUP SETS]*)"
)
_SETS = (
    "(?<=OPENING)(?P<n>COUNT)OPEN*(?:SETS OF|[FROM OF FOR AT]EACH OF DET?)(?P<of>COUNT)"
    "[OPEN SQUARE RECT CLOTH GROUP STRIP]*(?=CLOSING)"
)
_PART = (
    f"(?P<n>COUNT)(?:[AT OPEN OF LABEL DET BORDER GROUP]|[STRIP SQUARE](?=FOR)|FOR(?:{PURPOSE}))+"
)
_SHARE = (
    "(?P<n>COUNT)[OPEN SQUARE RECT]*(?:PER|[FOR AT]EACH)"
    "[GROUP OPEN DET OF STRIP]*(?:COUNT[GROUP OPEN])?"
)
_OF_EACH = (
    "(?<=[OPENING COMMA DASH])(?P<n>COUNT)[OPEN SQUARE OF FROM]{0,2}EACH"
    "[CLOTH OPEN OF DET]*(?=[CLOSING END])"
)
_OF_A_STRIP = (
    "(?:[HAVE YOU NEEDED]|(?<=OPENING))(?P<n>COUNT)[SQUARE RECT PIECE OPEN]*(?:PER|FROM EACH)"
    "(?:(?!COUNT(?!TIMES))[WOF OPEN EACH NUM UNIT TIMES])*STRIP"
)


class CheckReader:
    """Reads the figures that one sentence states."""

    def __init__(self, items: ItemReader) -> None:
        """Take the reader of the sentence's items."""
        self.words = items.words

    def checks(self, place: int) -> Found:
        """Yield what may be stated from a place on."""
        for text, make in _RULES if self.words.fits(_ANY, place) else ():
            found = self.words.fits(text, place)
            phrase = make(self.words, found) if found else None
            if found and phrase is not None:
                yield found.end(), phrase
        yield from self._parts(place)

    def _parts(self, place: int) -> Found:
        """Read ``4 for the border, 6 for the binding`` behind a count of 10."""
        counts: list[int] = []
        end = behind = place
        while part := self.words.fits(_PART, behind):
            counts.append(self.words.count(behind))
            end, behind = part.end(), self.words.behind("[COMMA AND SEMICOLON]*", part.end())
        if len(counts) > 1:
            yield end, Check(kind="parts", count=sum(counts))


def _stated(words: Words, found: re.Match[str]) -> Phrase | None:
    """Read ``you will have 40``, ``(40 total)``, ``need 12``, ``6 extra``."""
    counted = words.counted(found.end("lead"))
    sewn = words.has("[SHAPE UNITNAME]", *found.span("noun"))
    nouns = [kind for kind in words.kinds(*found.span("noun")) if kind in NOUNS]
    blocks = "block" if words.has("GROUP", *found.span("noun")) else ""
    noun = "triangle" if sewn else NOUNS[nouns[0]] if nouns else blocks
    kind = _kind(words, found, noun)
    if kind is None or counted is None:
        return None
    start, end = found.span()
    is_bare = end == start + 1 and words.kind(start - 1) is Kind.OPENING
    return Check(kind=kind, count=counted[0], noun=noun, is_bare=is_bare)


def _kind(words: Words, found: re.Match[str], noun: str) -> str | None:
    start, end = found.span()
    lead, trail = found.span("lead"), found["trail"]
    if trail and words.kind(end - 1) is Kind.EXTRA:
        return "extra"
    for kind, said in (("use", "[USE YOUUSE ONLY]"), ("can", "CAN")):
        if words.has(said, *lead):
            return kind
    if words.is_all("[NEEDED YOU DET ALL]+", *lead):
        return "need"
    if words.is_all("[FOR TO DET ALL]+", *lead) and not trail and noun in ("", "block"):
        return None
    opens = words.kind(start - 1)
    stands_by = opens in (Kind.DASH, Kind.COMMA, Kind.OPENING) and noun == "triangle"
    if found["lead"] or trail or stands_by:
        return "total"
    ends = words.fits("[CLOSING COMMA SEMICOLON]", end)
    return "total" if opens is Kind.OPENING and ends else None


def _become(words: Words, found: re.Match[str]) -> Phrase | None:
    """Read ``→ 4 triangles``: how often the squares before it are cut."""
    sewn = words.has("[SHAPE UNITNAME]", *found.span())
    return Check(kind="become", count=_n(words, found), noun="triangle") if sewn else None


def _of_all(words: Words, found: re.Match[str]) -> Phrase:
    """Read ``use 84 of the 88 squares``."""
    noun = "sets" if words.has("SETS", *found.span("noun")) else ""
    return Check(kind="of", count=_n(words, found), of=_n(words, found, "of"), noun=noun)


def _sets(words: Words, found: re.Match[str]) -> Phrase:
    """Read ``(8 sets of 4)`` and ``(4 from each of 8 prints)``."""
    return Check(kind="sets", count=_n(words, found), of=_n(words, found, "of"))


def _n(words: Words, found: re.Match[str], name: str = "n") -> int:
    return words.count(found.start(name))


_RULES: tuple[tuple[str, Callable[[Words, re.Match[str]], Phrase | None]], ...] = (
    (_STATED, _stated),
    ("[ARROW EQUALS](?P<n>COUNT)[OPEN UNITNAME SHAPE]*", _become),
    (_OF_ALL, _of_all),
    (_SETS, _sets),
    (_SHARE, lambda words, found: Check(kind="share", count=_n(words, found))),
    (_OF_EACH, lambda words, found: Check(kind="each print", count=_n(words, found))),
    (_OF_A_STRIP, lambda words, found: Check(kind="each strip", count=_n(words, found))),
)
_ANY = "|".join(re.sub(r"\?P<\w+>", "?:", text) for text, _ in (*_RULES, (_PART, None)))

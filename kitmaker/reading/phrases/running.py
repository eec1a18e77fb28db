"""Running lengths: ``240" of 2¼" bias binding``, ``enough 2½" strips to total 320"``."""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases.items import ItemReader
from kitmaker.reading.phrases.measures import measure_at
from kitmaker.reading.phrases.parts import Phrase, Running
from kitmaker.reading.phrases.tokens import Kind

SHORTEST_RUN: Length = Length(20)
WIDEST_OF_A_RUN: Length = Length(10)
"""Inches: what is shorter, or wider, is a piece. Our own bounds, no source."""

_STRIP_NAMES = (Kind.STRIP, Kind.BORDER, Kind.PIECE)
_BETWEEN = (
    *(Kind.COMMA, Kind.DASH, Kind.WIDE, Kind.SHAPE, Kind.PIECE, Kind.OPEN, Kind.BORDER),
    *(Kind.STRIP, Kind.DET, Kind.SEW, Kind.AND, Kind.THESE, Kind.FOR, Kind.OF, Kind.TO),
)
_BEFORE_TOTAL = (Kind.TOTAL, Kind.HAVE, Kind.DET, Kind.OF, Kind.AT, Kind.TO)
_BEHIND = (
    *(Kind.DASH, Kind.WIDE, Kind.BORDER, Kind.STRIP, Kind.OF, Kind.OPEN, Kind.DET, Kind.AT),
    *(Kind.TOTAL, Kind.PIECE),
)


def running_lengths(items: ItemReader, place: int) -> Iterator[tuple[int, Phrase]]:
    """Yield the running lengths that may begin at a place, with the place behind each."""
    words = items.words
    start = place + (words.word(place) == "enough")
    start += words.kind(start) is Kind.CUT
    start += words.word(start) == "enough"
    if words.kind(start) in (Kind.SHAPE, Kind.BORDER, Kind.OPEN) and (place == 0 or start > place):
        start = words.skip(start, Kind.SHAPE, Kind.OPEN, *_STRIP_NAMES, Kind.COMMA, Kind.COLON)
    for size in items.sizes(start):
        if len(size.measures) == 1 and not size.across:
            yield from _width_first(items, place, size.end, size.measures[0])
            yield from _total_first(items, size.end, size.measures[0])


def _width_first(
    items: ItemReader, start: int, behind: int, width: Length
) -> Iterator[tuple[int, Phrase]]:
    """Read ``2½" strips in random lengths from 6" to 18" totaling 280"``."""
    words = items.words
    at = behind
    while words.kind(at) in _BETWEEN and words.word(at) != "in":
        at += 1
    names_strip = any(
        words.kind(one) in _STRIP_NAMES or words.word(one) == "bias" for one in range(start, at)
    )
    if not names_strip:
        return
    if _bias(items, start, at) and words.kind(at) in (Kind.END, Kind.COMMA, Kind.SEMICOLON):
        yield at, Running(width=width, total=Length(0), is_bias=True)
    at = _behind_random_lengths(items, at)
    end = at
    while words.kind(end) in _BEFORE_TOTAL or words.word(end) in ("length", "least", "make"):
        end += 1
    if end == at:
        return
    for size in items.sizes(end):
        if len(size.measures) == 1 and size.measures[0] >= SHORTEST_RUN:
            last = _behind_use(items, size.end)
            yield (
                last,
                Running(width=width, total=size.measures[0], is_bias=_bias(items, start, last)),
            )


def _behind_random_lengths(items: ItemReader, at: int) -> int:
    words = items.words
    if words.word(at) != "in":
        return at
    end = at + 1
    while words.word(end) in ("random", "assorted", "varying", "various", "lengths", "length"):
        end += 1
    if words.word(end - 1) not in ("lengths", "length"):
        return at
    end = words.skip(end, Kind.OPEN, Kind.FROM, Kind.AT)
    first = measure_at(words, end)
    if first is not None and words.kind(first.end) in (Kind.TO, Kind.DASH):
        second = measure_at(words, first.end + 1)
        end = second.end if second is not None else end
    return end


def _behind_use(items: ItemReader, end: int) -> int:
    words = items.words
    while True:
        if words.kind(end) is Kind.FOR:
            behind, _ = items.purpose(end)
            if behind is None:
                return end
            end = behind
        elif words.kind(end) in _BEHIND and words.kind(end) is not Kind.CUT:
            end += 1
        else:
            return end


def _total_first(items: ItemReader, behind: int, total: Length) -> Iterator[tuple[int, Phrase]]:
    """Read ``240" of 2¼" bias binding``."""
    words = items.words
    at = behind + (words.kind(behind) is Kind.TOTAL)
    if words.kind(at) is not Kind.OF or total < SHORTEST_RUN:
        return
    of = words.skip(at + 1, Kind.OPEN, Kind.SHAPE, Kind.BORDER, Kind.FROM)
    for size in items.sizes(of if words.kind(of - 1) is Kind.FROM else at + 1):
        end = words.skip(
            *(size.end, Kind.DASH, Kind.WIDE, Kind.SHAPE, Kind.OPEN, Kind.BORDER, Kind.STRIP)
        )
        names = any(
            words.kind(one) in (Kind.BORDER, Kind.STRIP) or words.word(one) == "bias"
            for one in range(size.end, end)
        )
        if len(size.measures) == 1 and size.measures[0] < WIDEST_OF_A_RUN and names:
            is_bias = _bias(items, size.end, end)
            yield end, Running(width=size.measures[0], total=total, is_bias=is_bias)


def _bias(items: ItemReader, start: int, end: int) -> bool:
    return "bias" in items.words.words(start, end)

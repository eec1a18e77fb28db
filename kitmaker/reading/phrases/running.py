"""Running lengths: ``240" of 2¼" bias binding``, ``enough 2½" strips to total 320"``."""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases.items import PURPOSE, ItemReader
from kitmaker.reading.phrases.parts import Phrase, Running

SHORTEST_RUN: Length = Length(20)
WIDEST_OF_A_RUN: Length = Length(10)
"""Inches: what is shorter, or wider, is a piece. Our own bounds, no source."""

_HEAD = "[SHAPE BORDER OPEN][SHAPE OPEN STRIP BORDER PIECE COMMA COLON]*"
_BETWEEN = "[COMMA DASH WIDE SHAPE PIECE OPEN BORDER STRIP DET SEW AND THESE FOR OF TO]*"
_LENGTHS = "IN[RANDOM ASSORTED]*PIECE+[OPEN FROM AT]*(?:NUM UNIT?[TO DASH]NUM UNIT?)?"
_TOTALING = f"(?:{_LENGTHS})?[TOTAL HAVE DET OF AT TO PIECE LEAST MAKE]+"
_USE = f"(?:[DASH WIDE BORDER STRIP OF OPEN DET AT TOTAL PIECE]|FOR(?:{PURPOSE}))*"
_STRIPS = "[STRIP BORDER PIECE BIAS]"
Found = Iterator[tuple[int, Phrase]]


def running_lengths(items: ItemReader, place: int) -> Found:
    """Yield the running lengths that may begin at a place, with the place behind each."""
    words = items.words
    start = words.behind("ENOUGH?CUT?ENOUGH?", place)
    if place == 0 or start > place:
        start = words.behind(_HEAD, start)
    for size in items.sizes(start):
        if len(size.measures) == 1 and not size.across:
            yield from _width_first(items, place, size.end, size.measures[0])
            yield from _total_first(items, size.end, size.measures[0])


def _width_first(items: ItemReader, start: int, behind: int, width: Length) -> Found:
    """Read ``2½" strips in random lengths from 6" to 18" totaling 280"``."""
    words = items.words
    at = words.behind(_BETWEEN, behind)
    if not words.has(_STRIPS, start, at):
        return
    if words.has("BIAS", start, at) and words.fits("[END COMMA SEMICOLON]", at):
        yield at, Running(width=width, total=Length(0), is_bias=True)
    # "to" and "of" lead to the total, and stand between too.
    total = words.behind(_TOTALING, at)
    for size in items.sizes(total) if total > at else ():
        if len(size.measures) == 1 and size.measures[0] >= SHORTEST_RUN:
            end = words.behind(_USE, size.end)
            is_bias = words.has("BIAS", start, end)
            yield end, Running(width=width, total=size.measures[0], is_bias=is_bias)


def _total_first(items: ItemReader, behind: int, total: Length) -> Found:
    """Read ``240" of 2¼" bias binding``."""
    words = items.words
    found = words.fits("TOTAL?OF(?:[OPEN SHAPE BORDER FROM]*FROM)?", behind)
    for size in items.sizes(found.end()) if found and total >= SHORTEST_RUN else ():
        end = words.behind("[DASH WIDE SHAPE OPEN BORDER STRIP]*", size.end)
        is_narrow = len(size.measures) == 1 and size.measures[0] < WIDEST_OF_A_RUN
        if is_narrow and words.has("[BORDER STRIP BIAS]", size.end, end):
            is_bias = words.has("BIAS", size.end, end)
            yield end, Running(width=size.measures[0], total=total, is_bias=is_bias)

"""What a text states of its own cuts, held against them: totals, needs, sets, shares.

A figure that agrees confirms a piece; one that contradicts it makes the sentence a question.
"""

from __future__ import annotations

from math import ceil

from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import Check, UnsureError, changed
from kitmaker.reading.phrases.settling import Holds, holds
from kitmaker.reading.phrases.table import Laid, Table

_AGREE = "Make the two agree."


def check(table: Table, said: Check, places: tuple[int, ...], facts: FabricFacts) -> Table:
    """Return the table with the pieces confirmed that a figure agrees with.

    Args:
        table: The table.
        said: The figure.
        places: Where the pieces that it speaks of lie.
        facts: What is known of the fabric.

    Raises:
        UnsureError: They contradict each other.
    """
    pieces = [table.cuts[at] for at in places]
    if not pieces:
        if table.joined:
            return table
        if said.kind in ("extra", "need"):
            return table
        raise UnsureError(f"what {said.count} are is not said")
    counts = [sum(one.count for one in pieces), *(one.count for one in pieces)]
    if len(table.cuts) > 1:
        counts.append(sum(one.count for one in table.cuts))
    cut = [one for one in pieces if one.diagonal]
    triangles = [_triangles(one) for one in cut] + ([sum(map(_triangles, pieces))] if cut else [])
    each = [one.of_each * times for one in pieces if one.each > 1 for times in {1, 2**one.diagonal}]
    if said.kind in ("use", "of", "extra", "each print", "can"):
        _hold_share(said, counts, triangles, facts)
        return table
    if said.kind == "become":
        return _become(table, said, places)
    count = said.count * said.of if said.kind == "sets" else said.count
    if said.kind == "need" and count < max(counts + triangles):
        if count not in counts + triangles:
            return table
    if said.noun == "triangle":
        if count in each and count not in triangles:
            return table
        if not _agrees_as_triangles(count, pieces, counts, triangles):
            return _said_fewer(table, places, count)
        if not triangles:
            return table
    elif said.noun == "strip" and all(one.length and not one.is_short_strip for one in pieces):
        _hold_strips(count, pieces, facts)
        return table
    elif count not in counts + triangles:
        if count in each:
            return table
        raise UnsureError(f"it says {count}, and {counts[0]} are cut", _AGREE)
    cuts = list(table.cuts)
    for at in places:
        cuts[at] = changed(cuts[at], confirmed="total")
    return changed(table, cuts=tuple(cuts))


def _become(table: Table, said: Check, places: tuple[int, ...]) -> Table:
    """Return the table with squares cut as often as gives a number of triangles."""
    laid = table.cuts[places[-1]]
    times = {2 * laid.count: 1, 4 * laid.count: 2}.get(said.count, 0)
    if not times or not laid.is_square or laid.diagonal not in (0, times) or len(places) > 1:
        raise UnsureError(f"how {said.count} triangles come of the squares is not said", _AGREE)
    cuts = list(table.cuts)
    cuts[places[-1]] = changed(laid, diagonal=times, confirmed="total")
    return changed(table, cuts=tuple(cuts))


def _said_fewer(table: Table, places: tuple[int, ...], count: int) -> Table:
    """Say where the squares give a triangle or three more than the text names."""
    cuts = list(table.cuts)
    advice = (
        f"it says {count} triangles, and {_triangles(cuts[places[-1]])} are cut",
        "Look at both figures; the squares are counted as they stand.",
    )
    cuts[places[-1]] = changed(cuts[places[-1]], advice=(*cuts[places[-1]].advice, advice))
    return changed(table, cuts=tuple(cuts))


def _triangles(laid: Laid) -> int:
    return int(laid.count * 2**laid.diagonal)


def _hold_share(said: Check, counts: list[int], triangles: list[int], facts: FabricFacts) -> None:
    """Hold ``use 84``, ``84 of the 88``, ``4 extra`` and ``(4 of each print)``."""
    most = max(counts + triangles)
    if said.kind == "use" and said.count > most:
        raise UnsureError(f"it uses {said.count}, and {most} are cut", _AGREE)
    in_sets = said.noun == "sets" and any(one % said.of == 0 for one in counts)
    of_all = said.of in counts + triangles or in_sets
    if said.kind == "can" and said.count < counts[0]:
        raise UnsureError(f"it can give {said.count}, and {counts[0]} are cut", _AGREE)
    if said.kind == "of" and not (said.count <= said.of and of_all):
        raise UnsureError(f"it uses {said.count} of {said.of}, and {counts[0]} are cut", _AGREE)
    if said.kind == "extra" and said.count >= most:
        raise UnsureError(f"{said.count} are extra, and {most} are cut", _AGREE)
    if said.kind == "each print":
        prints = facts.prints or facts.cloths
        if (prints and said.count * prints not in counts) or counts[0] % said.count:
            raise UnsureError(f"{said.count} of each are not {counts[0]} in all", _AGREE)


def _agrees_as_triangles(
    count: int, pieces: list[Laid], counts: list[int], triangles: list[int]
) -> bool:
    """Whether a number of triangles is what the squares give; False where it is only near."""
    if count in triangles:
        return True
    if not triangles:
        sewn = {times * one for one in counts for times in (1, 2, 4, 8)}
        if count in sewn:
            return True
    elif any(one.diagonal and ceil(count / 2**one.diagonal) == one.count for one in pieces):
        return False
    raise UnsureError(f"it says {count} triangles, and the squares give another number", _AGREE)


def _hold_strips(count: int, pieces: list[Laid], facts: FabricFacts) -> None:
    shared = set(pieces[0].sides).intersection(*(one.sides for one in pieces))
    width = max(shared) if shared else min(min(one.sides) for one in pieces)
    strip = Laid(count=1, width=width, length=None)
    if holds(strip, count, pieces, facts) is Holds.NOT:
        raise UnsureError(f"{count} strips do not hold that", _AGREE)

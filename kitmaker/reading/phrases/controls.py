"""What a text states of its own cuts, held against them: totals, needs, sets, shares.

A figure that agrees confirms a piece; one that contradicts it makes the sentence a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import Check, unsure_if
from kitmaker.reading.phrases.settling import Holds, holds
from kitmaker.reading.phrases.table import Laid, Table

AGREE = "Make the two agree."


class _Held:
    """The pieces that a figure may speak of, and the numbers that they come to."""

    def __init__(self, table: Table, places: tuple[int, ...]) -> None:
        self.places = places
        self.pieces = [table.cuts[at] for at in places]
        self.counts = [
            sum(piece.count for piece in self.pieces),
            *(piece.count for piece in self.pieces),
        ]
        if len(table.cuts) > 1:
            self.counts.append(sum(one.count for one in table.cuts))
        cut = [piece.triangles for piece in self.pieces if piece.diagonal]
        every = sum(piece.triangles for piece in self.pieces)
        self.triangles = [*cut, every] if cut else []
        self.all = self.counts + self.triangles
        self.of_each = [
            piece.of_each * times
            for piece in self.pieces
            if piece.each > 1
            for times in (1, 2**piece.diagonal)
        ]


def check(table: Table, figure: Check, places: tuple[int, ...], facts: FabricFacts) -> Table:
    """Return the table with the pieces confirmed that a figure agrees with.

    The figure speaks of the pieces that lie at ``places``.

    Raises:
        UnsureError: They contradict each other.
    """
    if not places:
        is_of_what = not table.joined and figure.kind not in ("extra", "need")
        unsure_if(is_of_what, f"what {figure.count} are is not said")
        return table
    held = _Held(table, places)
    if figure.kind in ("use", "of", "extra", "each print", "can"):
        _hold_share(figure, held, facts)
        return table
    if figure.kind == "become":
        return _become(table, figure, places)
    count = figure.count * figure.of if figure.kind == "sets" else figure.count
    if figure.kind == "need" and count not in held.all and count < max(held.all):
        return table
    if figure.noun == "triangle":
        return _triangles(table, held, count)
    if figure.noun == "strip" and all(
        piece.length and not piece.is_short_strip for piece in held.pieces
    ):
        _hold_total_of_strips(count, held.pieces, facts)
        return table
    if count in held.all:
        return _confirmed(table, places)
    is_wrong = count not in held.of_each
    unsure_if(is_wrong, f"it says {count}, and {held.counts[0]} are cut", AGREE)
    return table


def _confirmed(table: Table, places: tuple[int, ...]) -> Table:
    for at in places:
        table = table.alter(at, confirmed="total")
    return table


def _triangles(table: Table, held: _Held, count: int) -> Table:
    """Hold a number of triangles against the squares, which may give one to three more."""
    if count in held.triangles:
        return _confirmed(table, held.places)
    if count in held.of_each:
        return table
    may_be_sewn = any(count in (one, 2 * one, 4 * one, 8 * one) for one in held.counts)
    near = [piece for piece in held.pieces if piece.diagonal]
    near = [one for one in near if ceil(count / 2**one.diagonal) == one.count]
    agrees = near if held.triangles else may_be_sewn
    message = f"it says {count} triangles, and the squares give another number"
    unsure_if(not agrees, message, AGREE)
    if not held.triangles:
        return table
    cut = held.pieces[-1].triangles
    message = f"it says {count} triangles, and {cut} are cut"
    return table.advise(
        held.places[-1:], message, "Look at both figures; the squares are counted as they stand."
    )


def _become(table: Table, figure: Check, places: tuple[int, ...]) -> Table:
    """Return the table with squares cut as often as gives a number of triangles."""
    laid = table.cuts[places[-1]]
    times = {2 * laid.count: 1, 4 * laid.count: 2}.get(figure.count, 0)
    fits = times and laid.is_square and laid.diagonal in (0, times) and len(places) == 1
    unsure_if(not fits, f"how {figure.count} triangles come of the squares is not said", AGREE)
    return table.alter(places[-1], diagonal=times, confirmed="total")


def _hold_share(figure: Check, held: _Held, facts: FabricFacts) -> None:
    """Hold ``use 84``, ``84 of the 88``, ``4 extra`` and ``(4 of each print)``."""
    count, cut, most = figure.count, held.counts[0], max(held.all)
    is_more = figure.kind == "use" and count > most
    unsure_if(is_more, f"it uses {count}, and {most} are cut", AGREE)
    is_less = figure.kind == "can" and count < cut
    unsure_if(is_less, f"it can give {count}, and {cut} are cut", AGREE)
    if figure.kind == "of":
        in_sets = figure.noun == "sets" and any(one % figure.of == 0 for one in held.counts)
        fits = count <= figure.of and (figure.of in held.all or in_sets)
        unsure_if(not fits, f"it uses {count} of {figure.of}, and {cut} are cut", AGREE)
    no_use = figure.kind == "extra" and count >= most
    unsure_if(no_use, f"{count} are extra, and {most} are cut", AGREE)
    if figure.kind == "each print":
        prints = facts.prints or facts.cloths
        fits = cut % count == 0 and (not prints or count * prints in held.counts)
        unsure_if(not fits, f"{count} of each are not {cut} in all", AGREE)


def hold_strips(strip: Laid, count: int, pieces: Sequence[Laid], facts: FabricFacts) -> None:
    """Refuse pieces that so many strips do not hold, with an UnsureError."""
    is_short = holds(strip, count, pieces, facts) is Holds.NOT
    unsure_if(is_short, f"{count} strips do not hold that", AGREE)


def _hold_total_of_strips(count: int, pieces: list[Laid], facts: FabricFacts) -> None:
    shared = set(pieces[0].sides).intersection(*(piece.sides for piece in pieces))
    width = max(shared) if shared else min(min(piece.sides) for piece in pieces)
    hold_strips(Laid(count=1, width=width, length=None), count, pieces, facts)

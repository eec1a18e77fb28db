"""What is taken from which row of the shelf: no cut runs across a gap, no bag mixes dye lots.

**Problem.** Rows of one SKU, lengths of cloth and piles of ready-made forms, some of one dye
lot; and wants: a kit's lengths and forms (all from one dye lot, though not from one row), and
strips, stretches and forms that the shop cuts up for all kits. A form that no pile gives is
cut off a length, as many as lie side by side at a time; what one cut gives may go into several
kits of its lot. Strips pay a straightening cut on each length they come from, and re-squaring
after every few.

**Rule.** As much as possible finds its place. What is cut up for all kits comes from one dye
lot, and the kits with it, where one lot has it all; where none has, each lot gives the pieces
of the kits that are filled from it. Ready-made forms go before those cut off a length. Then
remnants go first: as little as possible is cut from the longest length, then from the next
longest, and so on, so that none is touched without need; smaller piles likewise.

**Idea.** An integer program (:mod:`kitmaker.kits.shelf_program`) with one rule after the
other: first as much as possible finds a place, then, that held, as few forms as possible are
cut, and so on.

A long shelf is first filled in one pass (:mod:`kitmaker.kits.first_fit`).

**Limit.** The program stops by nodes. ``exact`` is False where it stopped before it was sure
that no more can be placed: what finds a place there has one, what is short may be less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from kitmaker.cutting.purchase import StripLoss
from kitmaker.kits.first_fit import first_fit, lot_by_lot
from kitmaker.kits.shelf_program import ShelfProgram
from kitmaker.kits.wants import Allocation, FormCut, FromRow, ShelfPiece, Task, Want

_FEW = 32
"""Lengths among which everything is first looked for."""
_MANY = 300
"""Rows on which the program takes too long: what one pass places is taken then. Our bound."""


def allocate(
    shelf: Sequence[ShelfPiece],
    wants: Sequence[Want],
    loss: StripLoss,
    form_cuts: Sequence[FormCut] = (),
    *,
    remnants_first: bool = True,
) -> Allocation:
    """Find where every want goes.

    Where it only matters what finds a place, and not from which rows (``remnants_first`` is
    False), it is quicker.
    """
    task = Task(tuple(shelf), tuple(wants), loss, tuple(form_cuts))
    if len(task.lots) > 1 and any(want.is_loose for want in wants):
        for lot in task.lots_by_size():
            found = _allocate(task.only(lot), remnants_first=remnants_first)
            if found.placed == tuple(want.copies for want in wants):
                return found
    return _allocate(task, remnants_first=remnants_first)


@lru_cache(maxsize=2048)
def _allocate(task: Task, *, remnants_first: bool) -> Allocation:
    found = _off_one_length(task) if len(task.lots) <= 1 else None
    return found or _by_program(task, remnants_first=remnants_first)


def _off_one_length(task: Task) -> Allocation | None:
    """Return where everything goes where one length holds all that no pile gives.

    None where there are several lengths with cloth on them, or the one has not enough.
    """
    copies = tuple(want.copies for want in task.wants)
    given, missing = task.off_piles()
    rows = [FromRow(Fraction(given.get(at, 0))) for at in range(len(task.shelf))]
    lengths = [at for at, piece in enumerate(task.shelf) if not piece.form and piece.free]
    sides = dict(task.shelf[lengths[0]].side_by_side) if len(lengths) == 1 else {}
    if not set(missing) <= set(sides):
        return None
    cuts = [(form, -(-count // sides[form])) for form, count in missing.items()]
    parts = [(want, size, n * want.copies) for want in task.wants for size, n in want.parts]
    cut = task.off_one_length(cuts, parts)
    if cut.taken and (len(lengths) != 1 or cut.taken > task.shelf[lengths[0]].free):
        return None
    if cut.taken:
        rows[lengths[0]] = cut
    return Allocation(tuple(rows), copies, (frozenset(task.lots),) * len(copies))


def _by_program(task: Task, *, remnants_first: bool) -> Allocation:
    """Return where everything goes, looked for on more and more of the lengths.

    Where some of them, the shortest first (or, where it does not matter, the longest), give
    all that is wanted, nothing is taken from the others: those need not be looked at.
    """
    if not task.shelf:
        return Allocation((), (0,) * len(task.wants), (frozenset(),) * len(task.wants))
    if _has_many_lots(task):
        return lot_by_lot(task)
    is_long = _is_long(task)
    if is_long and not remnants_first and (quick := first_fit(task)).exact:
        return quick
    for own in _parts_of_the_shelf(task, shortest_first=remnants_first):
        if is_long and len(own) > _MANY:
            break
        program = ShelfProgram(replace(task, shelf=tuple(task.shelf[at] for at in own)))
        best, exact = program.place_most()
        if best.value == program.everything or len(own) == len(task.shelf):
            for takes in program.to_be_spared() if remnants_first else ():
                best = program.spare(takes, best)
            found = program.allocation(best, exact=exact)
            rows = dict(zip(own, found.rows, strict=True))
            none = FromRow(Fraction(0))
            return replace(found, rows=tuple(rows.get(at, none) for at in range(len(task.shelf))))
    return first_fit(task)


def _is_long(task: Task) -> bool:
    return _lengths(task) > _FEW and len(task.lots) == 1


def _has_many_lots(task: Task) -> bool:
    """Whether there is too much for the program, and nothing that a pass cannot place."""
    is_plain = not any(want.forms or want.gives or want.pieces for want in task.wants)
    return is_plain and _lengths(task) > _MANY and len(task.lots) > 1


def _lengths(task: Task) -> int:
    return sum(1 for piece in task.shelf if not piece.form and piece.free)


def _parts_of_the_shelf(task: Task, *, shortest_first: bool) -> Iterator[Sequence[int]]:
    """Yield rows, twice as many lengths each time, and all of them last."""
    everything = range(len(task.shelf))
    lengths = [at for at in everything if not task.shelf[at].form and task.shelf[at].free]
    lengths.sort(key=lambda at: task.shelf[at].free, reverse=not shortest_first)
    piles = [at for at in everything if task.shelf[at].form]
    count = _FEW
    # With piles in several lots, which lengths are used decides how many forms must be cut.
    while count < len(lengths) and not (piles and len(task.lots) > 1):
        some = lengths[:count]
        if sum(task.shelf[at].free for at in some) >= task.inches:
            yield sorted((*piles, *some))
        count *= 2
    yield everything

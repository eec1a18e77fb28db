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

**Limit.** The program stops by nodes. ``exact`` is False where it stopped before it was sure
that no more can be placed: what finds a place there has one, what is short may be less.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from kitmaker.cutting.purchase import StripLoss
from kitmaker.kits.shelf_program import ShelfProgram
from kitmaker.kits.wants import Allocation, FormCut, FromRow, ShelfPiece, Task, Want


def allocate(
    shelf: Sequence[ShelfPiece],
    wants: Sequence[Want],
    loss: StripLoss,
    form_cuts: Sequence[FormCut] = (),
    *,
    remnants_first: bool = True,
) -> Allocation:
    """Find where every want goes.

    Args:
        shelf: The rows.
        wants: What is to be cut, or taken as it is.
        loss: On strips.
        form_cuts: How forms are cut off a length, those that can be.
        remnants_first: Whether it matters from which rows; where only what finds a place
            does, it is quicker.
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
    rows = [FromRow(Fraction(0)) for _ in task.shelf]
    missing = task.forms_wanted(copies)
    for at in sorted(range(len(rows)), key=lambda at: (task.shelf[at].free, -at)):
        piece = task.shelf[at]
        if piece.form:
            ready = min(int(piece.free), missing[piece.form])
            rows[at] = FromRow(Fraction(ready))
            missing[piece.form] -= ready
    lengths = [at for at, piece in enumerate(task.shelf) if not piece.form and piece.free]
    sides = dict(task.shelf[lengths[0]].side_by_side) if len(lengths) == 1 else {}
    if not set(+missing) <= set(sides):
        return None
    cuts = [(form, -(-count // sides[form])) for form, count in (+missing).items()]
    parts = [(want, size, n * want.copies) for want in task.wants for size, n in want.parts]
    cut = task.off_one_length(cuts, parts)
    if cut.taken and (len(lengths) != 1 or cut.taken > task.shelf[lengths[0]].free):
        return None
    if cut.taken:
        rows[lengths[0]] = cut
    return Allocation(tuple(rows), copies, (frozenset(task.lots),) * len(copies))


def _by_program(task: Task, *, remnants_first: bool) -> Allocation:
    if not task.shelf:
        return Allocation((), (0,) * len(task.wants), (frozenset(),) * len(task.wants))
    program = ShelfProgram(task)
    best, exact = program.place_most()
    if remnants_first:
        for takes in program.to_be_spared():
            best = program.spare(takes, best)
    return program.allocation(best, exact=exact)

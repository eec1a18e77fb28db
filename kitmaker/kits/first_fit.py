"""A long shelf, each dye lot filled in one pass: the largest first, off the shortest rows.

What finds a place so has one, and where everything does there is nothing left to prove. Where
not, more may find a place another way; a program that looks for it takes minutes on hundreds of
lengths, so it is asked only where they are few (:mod:`kitmaker.kits.allocation`).

Source: first fit decreasing, D. S. Johnson, "Near-optimal bin packing algorithms" (MIT, 1973);
from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import lcm

from kitmaker.kits.wants import Allocation, FromRow, Task


@dataclass(frozen=True, slots=True)
class _Item:
    """What is cut so many times: a part of a want, or a form (``want`` is then -1).

    Sizes are in a unit in which all of them are whole.
    """

    size: int
    count: int
    pays: bool
    want: int
    part: int = 0
    form: str = ""


@dataclass(frozen=True, slots=True)
class _Loss:
    """What strips lose, in the same unit."""

    straighten: int
    re_square: int
    every: int

    def on(self, strips: int) -> int:
        return strips and self.straighten + self.re_square * ((strips - 1) // self.every)


@dataclass(slots=True)
class _Row:
    """A length as it is filled."""

    at: int
    free: int
    loss: _Loss
    used: int = 0
    strips: int = 0
    holds: Counter[_Item] = field(default_factory=Counter)

    def fill(self, item: _Item, most: int) -> int:
        """Cut as many as it still holds; return how many."""
        low, high = 0, min(most, (self.free - self.used) // item.size)
        while low < high:
            count = (low + high + 1) // 2
            strips = self.strips + (count if item.pays else 0)
            fits = self.used + item.size * count + self.loss.on(strips) <= self.free
            low, high = (count, high) if fits else (low, count - 1)
        if low:
            self.used += item.size * low
            self.strips += low if item.pays else 0
            self.holds[item] += low
        return low


def first_fit(task: Task) -> Allocation:
    """Find places on a shelf of one dye lot; ``exact`` where everything has one."""
    loss = task.loss
    sizes = [size for want in task.wants for size, _ in want.parts]
    sizes += [loss.straighten, loss.re_square, *(cut.along for cut in task.form_cuts)]
    unit = lcm(*(size.denominator for size in sizes))
    whole = _Loss(int(loss.straighten * unit), int(loss.re_square * unit), loss.every)
    rows = [
        _Row(at, int(piece.free * unit), whole)
        for at, piece in enumerate(task.shelf)
        if not piece.form and piece.free
    ]
    rows.sort(key=lambda row: (row.free, -row.at))
    given, missing = task.off_piles()
    placed: Counter[_Item] = Counter()
    for item in sorted(_items(task, unit, rows, missing), key=lambda one: -one.size):
        for row in rows:
            if placed[item] == item.count:
                break
            placed[item] += row.fill(item, item.count - placed[item])
    copies = _whole_copies(task, placed, given)
    _take_back(task, rows, placed, copies)
    return Allocation(
        tuple(_from_rows(task, rows, given)),
        copies,
        (frozenset(task.lots),) * len(copies),
        exact=copies == tuple(want.copies for want in task.wants),
    )


def lot_by_lot(task: Task) -> Allocation:
    """Find places on a shelf of several dye lots, the lot with the least cloth first.

    Each copy of a want comes from one lot; nothing that is wanted may be a form, or made of what
    is cut up for all kits.
    """
    left = [want.copies for want in task.wants]
    rows = [FromRow(Fraction(0))] * len(task.shelf)
    lots: list[set[str]] = [set() for _ in left]
    of_lot: dict[str, list[int]] = {lot: [] for lot in task.lots_by_size()}
    for at, piece in enumerate(task.shelf):
        of_lot[piece.lot].append(at)
    for lot, own in of_lot.items():
        if not any(left):
            break
        wants = (replace(want, copies=more) for want, more in zip(task.wants, left, strict=True))
        shelf = tuple(task.shelf[at] for at in own)
        found = first_fit(replace(task, shelf=shelf, wants=tuple(wants)))
        for number, count in enumerate(found.placed):
            left[number] -= count
            lots[number] |= {lot} if count else set()
        for at, row in zip(own, found.rows, strict=True):
            rows[at] = row
    return Allocation(
        tuple(rows),
        tuple(want.copies - more for want, more in zip(task.wants, left, strict=True)),
        tuple(frozenset(one) for one in lots),
        exact=not any(left),
    )


def _items(task: Task, unit: int, rows: Sequence[_Row], missing: Counter[str]) -> Iterator[_Item]:
    for number, want in enumerate(task.wants):
        for part, (size, count) in enumerate(want.parts):
            yield _Item(int(size * unit), count * want.copies, want.is_strip, number, part)
    sides = dict(task.shelf[rows[0].at].side_by_side) if rows else {}
    for cut in task.form_cuts:
        if missing[cut.form] and cut.form in sides:
            cuts = -(-missing[cut.form] // sides[cut.form])
            yield _Item(int(cut.along * unit), cuts, cut.is_strip, -1, form=cut.form)


def _whole_copies(task: Task, placed: Counter[_Item], given: dict[int, int]) -> tuple[int, ...]:
    """Return how many copies of each want have all that belongs to them."""
    forms: Counter[str] = Counter()
    for at, count in given.items():
        forms[task.shelf[at].form] += count
    sides = next((dict(piece.side_by_side) for piece in task.shelf if not piece.form), {})
    parts: Counter[tuple[int, int]] = Counter()
    for item, count in placed.items():
        if item.form:
            forms[item.form] += count * sides[item.form]
        else:
            parts[item.want, item.part] = count
    copies = []
    for number, want in enumerate(task.wants):
        most = [parts[number, part] // count for part, (_, count) in enumerate(want.parts)]
        most += [forms[form] // count for form, count in want.forms]
        copies.append(min([want.copies, *most]))
        for form, count in want.forms:
            forms[form] -= count * copies[-1]
    return tuple(copies)


def _take_back(
    task: Task, rows: Sequence[_Row], placed: Counter[_Item], copies: Sequence[int]
) -> None:
    """Cut nothing for a copy that is not whole; the longest rows are spared first."""
    for item, count in placed.items():
        if item.form:
            continue
        over = count - copies[item.want] * task.wants[item.want].parts[item.part][1]
        for row in reversed(rows):
            back = min(over, row.holds[item])
            row.holds[item] -= back
            over -= back


def _from_rows(task: Task, rows: Sequence[_Row], given: dict[int, int]) -> Iterator[FromRow]:
    by_place = {row.at: row for row in rows}
    for at in range(len(task.shelf)):
        row = by_place.get(at)
        if row is None:
            yield FromRow(Fraction(given.get(at, 0)))
            continue
        cuts = [(item.form, count) for item, count in row.holds.items() if item.form and count]
        parts = [
            (task.wants[item.want], task.wants[item.want].parts[item.part][0], count)
            for item, count in row.holds.items()
            if not item.form
        ]
        yield task.off_one_length(cuts, parts)

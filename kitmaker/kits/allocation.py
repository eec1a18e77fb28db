"""Which length is cut from which piece of cloth: no cut runs across a gap.

**Problem.** Pieces of cloth of known lengths, some of one dye lot, and wants: a kit's lengths
(all from one dye lot, though not from one piece), and strips or stretches that may come from
anywhere. Strips pay a straightening cut on each piece they come from, and re-squaring after
every few.

**Rule.** As much as possible finds its place. Then remnants go first: as little as possible
is cut from the longest piece, then from the next longest, and so on. Where that leaves a
choice, the fewest pieces are touched.

**Idea.** The wants have few distinct sizes, so a piece's filling is a short vector of counts.
For the shortest k pieces of a lot the greatest vectors they can hold are kept
(``reach[k]``); reading them backwards, the longest piece first, gives the filling that takes
least from it and still lets the shorter ones hold the rest. Kits are shared out to dye lots
by trying every sharing-out.

**Limit.** It stops being exact where vectors get too many (:data:`MOST_VECTORS`,
:data:`MOST_WORK`); then the longest wants go first, each to the shortest piece that holds it,
and ``exact`` is False: what finds a place there has one, what is short may not be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product
from typing import TypeAlias

from kitmaker.lengths import Length

MOST_VECTORS = 8_000
"""Fillings of the pieces of one dye lot looked at before the exact search gives way."""
MOST_WORK = 30_000
"""Sharings-out to dye lots looked at before it does. Both are our own bounds."""

Vector: TypeAlias = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Cloth:
    """A piece of cloth: how long it is, and its dye lot ("" is a lot of its own)."""

    free: Length
    lot: str = ""


@dataclass(frozen=True, slots=True)
class Want:
    """Lengths that are wanted several times.

    Attributes:
        parts: (inches, how many) that belong together and come from one dye lot.
        copies: How many times, in kits.
        is_strip: Whether they pay for straightening and re-squaring.
    """

    parts: tuple[tuple[Length, int], ...]
    copies: int
    is_strip: bool = False


@dataclass(frozen=True, slots=True)
class Loss:
    """What cutting strips loses on a piece, inches, and after how many it is re-squared."""

    straighten: Length = Fraction(0)
    re_square: Length = Fraction(0)
    every: int = 6

    def on(self, strips: int) -> Length:
        """Return what a number of strips from one piece loses."""
        if not strips:
            return Fraction(0)
        return self.straighten + self.re_square * ((strips - 1) // self.every)


@dataclass(frozen=True, slots=True)
class Allocation:
    """Where everything goes.

    Attributes:
        taken: Inches off each piece, loss included, in the order of the pieces.
        placed: Copies of each want that found a place, in the order of the wants.
        exact: Whether nothing better is possible by the rule.
    """

    taken: tuple[Length, ...]
    placed: tuple[int, ...]
    exact: bool


class TooMuchWorkError(Exception):
    """The exact search would look at too many vectors."""


class _Lot:
    """The pieces of one dye lot, shortest first, and what they can hold."""

    def __init__(
        self,
        pieces: list[tuple[Length, int]],
        sizes: Sequence[tuple[Length, bool]],
        most: Vector,
        loss: Loss,
    ) -> None:
        self.pieces = pieces
        self._sizes = sizes
        self._loss = loss
        self._work = 0
        self._places: dict[Vector, list[tuple[int, Length]]] = {}
        self.fillings: list[list[tuple[Length, Vector]]] = []
        self.reach: list[list[Vector]] = [[(0,) * len(sizes)]]
        for free, _ in pieces:
            filling = sorted(self._fill(free, most))
            self.fillings.append(filling)
            greatest = _greatest({vector for _, vector in filling})
            self._spend(len(greatest) * len(self.reach[-1]))
            sums = {
                tuple(min(a + b, c) for a, b, c in zip(one, other, most, strict=True))
                for one in self.reach[-1]
                for other in greatest
            }
            self.reach.append(_greatest(sums))

    def _spend(self, work: int) -> None:
        self._work += work
        if self._work > MOST_VECTORS:
            raise TooMuchWorkError

    def _fill(self, free: Length, most: Vector) -> Iterator[tuple[Length, Vector]]:
        """Yield every vector that a piece holds, with the inches it takes."""
        limits = []
        for (size, _), count in zip(self._sizes, most, strict=True):
            limits.append(min(count, int(free // size)) if size else count)
        room = 1
        for limit in limits:
            room *= limit + 1
        self._spend(room)
        for vector in product(*(range(limit + 1) for limit in limits)):
            takes = self._takes(vector)
            if takes <= free:
                yield takes, vector

    def _takes(self, vector: Vector) -> Length:
        total = Fraction(0)
        strips = 0
        for (size, is_strip), count in zip(self._sizes, vector, strict=True):
            total += size * count
            strips += count if is_strip else 0
        return total + self._loss.on(strips)

    def holds(self, need: Vector, pieces: int | None = None) -> bool:
        """Whether the shortest pieces (all when None) hold a need."""
        return any(_within(need, one) for one in self.reach[-1 if pieces is None else pieces])

    def place(self, need: Vector) -> list[tuple[int, Length]]:
        """Return (piece, inches taken) for a need that it holds, longest piece first."""
        if need not in self._places:
            self._places[need] = self._find_places(need)
        return self._places[need]

    def _find_places(self, need: Vector) -> list[tuple[int, Length]]:
        found: list[tuple[int, Length]] = []
        for at in range(len(self.pieces) - 1, -1, -1):
            for takes, vector in self.fillings[at]:
                if not _within(vector, need):
                    continue
                rest = tuple(a - b for a, b in zip(need, vector, strict=True))
                if self.holds(rest, at):
                    found.append((self.pieces[at][1], takes))
                    need = rest
                    break
        return found


def _within(one: Vector, other: Vector) -> bool:
    return all(a <= b for a, b in zip(one, other, strict=True))


def _greatest(vectors: set[Vector]) -> list[Vector]:
    """Return the vectors that no other one contains."""
    kept: list[Vector] = []
    for vector in sorted(vectors, key=lambda one: (-sum(one), one)):
        if not any(_within(vector, other) for other in kept):
            kept.append(vector)
    return kept


def allocate(pieces: Sequence[Cloth], wants: Sequence[Want], loss: Loss) -> Allocation:
    """Find where every want goes.

    Args:
        pieces: The cloth.
        wants: What is to be cut.
        loss: On strips.
    """
    return _allocate(tuple(pieces), tuple(wants), loss)


@lru_cache(maxsize=2048)
def _allocate(pieces: tuple[Cloth, ...], wants: tuple[Want, ...], loss: Loss) -> Allocation:
    if not pieces:
        return Allocation((), (0,) * len(wants), exact=True)
    try:
        return _exactly(pieces, wants, loss)
    except TooMuchWorkError:
        return _one_after_another(pieces, wants, loss)


def _exactly(pieces: Sequence[Cloth], wants: Sequence[Want], loss: Loss) -> Allocation:
    sizes = sorted({(size, want.is_strip) for want in wants for size, _ in want.parts})
    whole = tuple(want.copies for want in wants)
    most = _need(wants, whole, sizes)
    by_lot: dict[str, list[tuple[Length, int]]] = {}
    for at, piece in enumerate(pieces):
        by_lot.setdefault(piece.lot, []).append((piece.free, at))
    lots = [_Lot(sorted(own, key=_shortest_first), sizes, most, loss) for own in by_lot.values()]
    best: tuple[tuple[Length, ...], tuple[int, ...]] | None = None
    best_key: tuple[object, ...] | None = None
    order = sorted(range(len(pieces)), key=lambda at: (-pieces[at].free, at))
    for shares in _sharings(lots, wants, whole, sizes):
        taken = [Fraction(0)] * len(pieces)
        for lot, share in zip(lots, shares, strict=True):
            for at, inches in lot.place(_need(wants, share, sizes)):
                taken[at] += inches
        placed = tuple(sum(column) for column in zip(*shares, strict=True)) if shares else ()
        key = (
            -_inches(wants, placed),
            tuple(taken[at] for at in order),
            sum(1 for one in taken if one),
        )
        if best_key is None or key < best_key:
            best, best_key = (tuple(taken), placed), key
    if best is None:
        raise ValueError("nothing placed is a sharing-out too")
    return Allocation(*best, exact=True)


def _shortest_first(piece: tuple[Length, int]) -> tuple[Length, int]:
    """Order pieces by length; of equal ones the first in the sheet is spared longest."""
    return piece[0], -piece[1]


def _need(
    wants: Sequence[Want], copies: Sequence[int], sizes: Sequence[tuple[Length, bool]]
) -> Vector:
    counts = dict.fromkeys(sizes, 0)
    for want, times in zip(wants, copies, strict=True):
        for size, count in want.parts:
            counts[size, want.is_strip] += count * times
    return tuple(counts[size] for size in sizes)


def _inches(wants: Sequence[Want], copies: Sequence[int]) -> Length:
    return sum(
        (
            size * count * times
            for want, times in zip(wants, copies, strict=True)
            for size, count in want.parts
        ),
        Fraction(0),
    )


def _sharings(
    lots: Sequence[_Lot],
    wants: Sequence[Want],
    whole: Vector,
    sizes: Sequence[tuple[Length, bool]],
) -> Iterator[tuple[Vector, ...]]:
    """Yield the sharings-out of the wants to the lots that place most, of each lot what it holds.

    Raises:
        TooMuchWorkError: There are too many.
    """
    found: list[tuple[Length, tuple[Vector, ...]]] = []
    holdable = [_holdable(lot, wants, whole, sizes) for lot in lots]
    work = 0

    def share(number: int, left: Vector, done: tuple[Vector, ...]) -> None:
        nonlocal work
        if number == len(lots):
            placed = [sum(column) for column in zip(*done, strict=True)]
            found.append((_inches(wants, placed), done))
            return
        fitting = [copies for copies in holdable[number] if _within(copies, left)]
        if number == len(lots) - 1:
            fitting = [left] if left in holdable[number] else _greatest(set(fitting))
        work += len(fitting) + 1
        if work > MOST_WORK:
            raise TooMuchWorkError
        for copies in fitting:
            rest = tuple(a - b for a, b in zip(left, copies, strict=True))
            share(number + 1, rest, (*done, copies))

    share(0, whole, ())
    most = max((inches for inches, _ in found), default=Fraction(0))
    yield from (shares for inches, shares in found if inches == most and shares)


def _holdable(
    lot: _Lot, wants: Sequence[Want], whole: Vector, sizes: Sequence[tuple[Length, bool]]
) -> frozenset[Vector]:
    """Return the copies of each want that a lot holds.

    Raises:
        TooMuchWorkError: There are too many.
    """
    room = 1
    for count in whole:
        room *= count + 1
    if room > MOST_WORK:
        raise TooMuchWorkError
    every = product(*(range(count + 1) for count in whole))
    return frozenset(copies for copies in every if lot.holds(_need(wants, copies, sizes)))


class _Greedy:
    """Pieces being used up, one length after another, each on the shortest that holds it."""

    def __init__(self, pieces: Sequence[Cloth], loss: Loss) -> None:
        self.pieces = pieces
        self.loss = loss
        self.used = [Fraction(0)] * len(pieces)
        self.strips = [0] * len(pieces)

    def taken(self, at: int) -> Length:
        """Return the inches taken off a piece, loss included."""
        return self.used[at] + self.loss.on(self.strips[at])

    def put_all(self, want: Want, lot: str) -> bool:
        """Place one copy of a want in pieces of a lot, all of it or nothing."""
        before = list(self.used), list(self.strips)
        for size, count in sorted(want.parts, reverse=True):
            for _ in range(count):
                if not self._put(size, lot, is_strip=want.is_strip):
                    self.used, self.strips = before
                    return False
        return True

    def _put(self, size: Length, lot: str, *, is_strip: bool) -> bool:
        fitting = [
            (piece.free - self.taken(at), at)
            for at, piece in enumerate(self.pieces)
            if piece.lot == lot
            and self.used[at] + size + self.loss.on(self.strips[at] + is_strip) <= piece.free
        ]
        if not fitting:
            return False
        at = min(fitting)[1]
        self.used[at] += size
        self.strips[at] += is_strip
        return True


def _one_after_another(pieces: Sequence[Cloth], wants: Sequence[Want], loss: Loss) -> Allocation:
    """Place the longest first, and the strips first, and keep what places more."""
    by_length = sorted(range(len(wants)), key=lambda at: -_inches([wants[at]], [1]))
    strips_first = sorted(by_length, key=lambda at: not wants[at].is_strip)
    strips_last = sorted(by_length, key=lambda at: wants[at].is_strip)
    tries = [_in_order(pieces, wants, loss, one) for one in (by_length, strips_first, strips_last)]
    return max(tries, key=lambda one: _inches(wants, one.placed))


def _in_order(
    pieces: Sequence[Cloth], wants: Sequence[Want], loss: Loss, order: Sequence[int]
) -> Allocation:
    """Place wants one after another, each in the shortest pieces (of one lot) that hold it."""
    cloth = _Greedy(pieces, loss)
    placed = [0] * len(wants)
    lots = list(dict.fromkeys(piece.lot for piece in pieces))
    for number in order:
        for _ in range(wants[number].copies):
            if not any(cloth.put_all(wants[number], lot) for lot in lots):
                break
            placed[number] += 1
    taken = tuple(cloth.taken(at) for at in range(len(pieces)))
    return Allocation(taken, tuple(placed), exact=False)

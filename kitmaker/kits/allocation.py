"""Which length is cut from which piece of cloth: no cut runs across a gap.

**Problem.** Pieces of cloth of known lengths, some of one dye lot, and wants: a kit's lengths
(all from one dye lot, though not from one piece), and strips or stretches that may come from
anywhere. Strips pay a straightening cut on each piece they come from, and re-squaring after
every few.

**Rule.** As much as possible finds its place. Where all does, remnants go first: as little as
possible is cut from the longest piece, then from the next longest, and so on, so that no
piece is touched without need. What may come from anywhere comes from one dye lot where all
of it can.

**Idea.** An integer program with one rule after the other: first as many inches as possible
find a place, then, that held, as few as possible come off the longest piece, and so on.

**Limit.** The program stops by nodes. ``exact`` is False where it stopped before it was sure
that no more can be placed: what finds a place there has one, what is short may be less.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import lcm

from kitmaker.cutting.purchase import StripLoss
from kitmaker.kits.whole_program import Solution, WholeProgram
from kitmaker.lengths import Length

_NODES_TO_PLACE = 1_000
_NODES_TO_SPARE = 100
"""Nodes after which the program gives way: a place found counts more than which. Our bounds."""


@dataclass(frozen=True, slots=True)
class ShelfPiece:
    """A piece of cloth on the shelf: how long it is free, and its dye lot ("" is one too)."""

    free: Length
    lot: str = ""


@dataclass(frozen=True, slots=True)
class Want:
    """Lengths that are wanted several times.

    Attributes:
        parts: (inches, how many) that belong together and come from one dye lot.
        copies: How many times, in kits.
        is_strip: Whether they pay for straightening and re-squaring.
        is_loose: Whether all copies are rather taken from one dye lot, and from several
            where one does not suffice.
    """

    parts: tuple[tuple[Length, int], ...]
    copies: int
    is_strip: bool = False
    is_loose: bool = False

    @property
    def inches(self) -> Length:
        """Inches of one copy."""
        return sum((size * count for size, count in self.parts), Fraction(0))


@dataclass(frozen=True, slots=True)
class Allocation:
    """Where everything goes.

    Attributes:
        taken: Inches off each piece, loss included, in the order of the pieces.
        placed: Copies of each want that found a place, in the order of the wants.
        loose_lots: The dye lots that loose wants come from.
        exact: Whether it is sure that no more can be placed.
    """

    taken: tuple[Length, ...]
    placed: tuple[int, ...]
    loose_lots: frozenset[str] = frozenset()
    exact: bool = True


def allocate(
    pieces: Sequence[ShelfPiece],
    wants: Sequence[Want],
    loss: StripLoss,
    *,
    remnants_first: bool = True,
) -> Allocation:
    """Find where every want goes.

    Args:
        pieces: The cloth.
        wants: What is to be cut.
        loss: On strips.
        remnants_first: Whether it matters from which pieces; where only what finds a place
            does, it is quicker.
    """
    together = _loose_together(wants) if len({piece.lot for piece in pieces}) > 1 else None
    if together is not None:
        found = _allocate(tuple(pieces), together, loss, remnants_first)
        if all(placed == want.copies for placed, want in zip(found.placed, together, strict=True)):
            return replace(found, placed=tuple(want.copies for want in wants))
    return _allocate(tuple(pieces), tuple(wants), loss, remnants_first)


def _loose_together(wants: Sequence[Want]) -> tuple[Want, ...] | None:
    """Return the wants with all loose ones as one that comes from one lot; None without any."""
    kept = [want for want in wants if not want.is_loose]
    for is_strip in (True, False):
        sizes: Counter[Length] = Counter()
        for want in wants:
            if want.is_loose and want.is_strip is is_strip:
                for size, count in want.parts:
                    sizes[size] += count * want.copies
        if +sizes:
            parts = tuple(sorted((+sizes).items()))
            kept.append(Want(parts, 1, is_strip=is_strip, is_loose=True))
    return tuple(kept) if any(want.is_loose for want in kept) else None


@lru_cache(maxsize=2048)
def _allocate(
    pieces: tuple[ShelfPiece, ...], wants: tuple[Want, ...], loss: StripLoss, remnants_first: bool
) -> Allocation:
    if not pieces:
        return Allocation((), (0,) * len(wants))
    if len(pieces) == 1:
        taken = _taken(wants, [want.copies for want in wants], loss)
        if taken <= pieces[0].free:
            placed = tuple(want.copies for want in wants)
            lots = {pieces[0].lot} if any(want.is_loose for want in wants) else set()
            return Allocation((taken,), placed, frozenset(lots))
    return _by_program(pieces, wants, loss, remnants_first=remnants_first)


def _taken(wants: Sequence[Want], copies: Sequence[int], loss: StripLoss) -> Length:
    """Return what copies of wants take off one piece."""
    pairs = list(zip(wants, copies, strict=True))
    strips = sum(count * times for want, times in pairs if want.is_strip for _, count in want.parts)
    return sum((want.inches * times for want, times in pairs), Fraction(0)) + loss.on(strips)


def _by_program(
    pieces: tuple[ShelfPiece, ...],
    wants: tuple[Want, ...],
    loss: StripLoss,
    *,
    remnants_first: bool,
) -> Allocation:
    program = _Program(pieces, wants, loss)
    best, exact = program.place_most()
    found = replace(program.allocation(best), exact=exact)
    short = any(placed < want.copies for placed, want in zip(found.placed, wants, strict=True))
    if short or not remnants_first:
        return found
    for at in sorted(range(len(pieces)), key=lambda at: (-pieces[at].free, at)):
        best = program.spare(at, best)
    return replace(program.allocation(best), exact=exact)


class _Program:
    """The shelf as an integer program, in a unit in which every size and loss is whole.

    For every want and lot how many copies, for every want, part and piece how many are cut
    there; a piece that gives strips pays for straightening, and for as many truings as its
    strips ask for.
    """

    def __init__(
        self, pieces: tuple[ShelfPiece, ...], wants: tuple[Want, ...], loss: StripLoss
    ) -> None:
        self.pieces, self.wants, self.loss = pieces, wants, loss
        sizes = [size for want in wants for size, _ in want.parts]
        lengths = (*sizes, loss.straighten, loss.re_square)
        self.unit = lcm(*(length.denominator for length in lengths))
        self.model = WholeProgram()
        self.lots = tuple(dict.fromkeys(piece.lot for piece in pieces))
        self.copies = {
            (number, lot): self.model.add_column(want.copies)
            for number, want in enumerate(wants)
            for lot in self.lots
        }
        self.cut: dict[tuple[int, int, int], int] = {}
        self.taken: list[dict[int, int]] = []
        for at, piece in enumerate(pieces):
            self.taken.append(self._add_piece(at, piece))
        self._hold_lots_together()

    def _add_piece(self, at: int, piece: ShelfPiece) -> dict[int, int]:
        """Add what may be cut from a piece; return what each column takes off it."""
        takes: dict[int, int] = {}
        strips: list[int] = []
        for number, want in enumerate(self.wants):
            for part, (size, count) in enumerate(want.parts):
                most = min(want.copies * count, int(piece.free // size))
                column = self.model.add_column(most)
                self.cut[at, number, part] = column
                takes[column] = int(size * self.unit)
                if want.is_strip:
                    strips.append(column)
        if strips:
            takes.update(self._add_loss(strips))
        self.model.add_row(takes, most=int(piece.free * self.unit))
        return takes

    def _add_loss(self, strips: Sequence[int]) -> dict[int, int]:
        every = self.loss.every
        most = sum(self.model.most(column) for column in strips)
        straightened = self.model.add_column(1)
        truings = self.model.add_column(max(0, most - 1) // every)
        self.model.add_row({**dict.fromkeys(strips, 1), straightened: -most}, most=0)
        self.model.add_row({**dict.fromkeys(strips, 1), truings: -every}, most=every)
        return {
            straightened: int(self.loss.straighten * self.unit),
            truings: int(self.loss.re_square * self.unit),
        }

    def _hold_lots_together(self) -> None:
        for number, want in enumerate(self.wants):
            own = {self.copies[number, lot]: 1 for lot in self.lots}
            self.model.add_row(own, most=want.copies)
            for lot in self.lots:
                here = [at for at, piece in enumerate(self.pieces) if piece.lot == lot]
                for part, (_, count) in enumerate(want.parts):
                    row = {self.cut[at, number, part]: 1 for at in here}
                    self.model.add_row({**row, self.copies[number, lot]: -count}, least=0, most=0)

    def place_most(self) -> tuple[Solution, bool]:
        """Place as much as possible, and hold what is placed; say whether more is ruled out."""
        worth = {
            column: int(self.wants[number].inches * self.unit)
            for (number, _), column in self.copies.items()
        }
        found = self.model.greatest(worth, nodes=_NODES_TO_PLACE)
        everything = sum(int(want.inches * self.unit) * want.copies for want in self.wants)
        self.model.add_row(worth, least=found.value, most=everything)
        return found, found.proven or found.value == everything

    def spare(self, at: int, best: Solution) -> Solution:
        """Take as little as possible off a piece, and hold that."""
        takes = self.taken[at]
        least = {column: -size for column, size in takes.items()}
        found = self.model.greatest(least, best, nodes=_NODES_TO_SPARE)
        self.model.add_row(takes, most=-found.value)
        return found

    def allocation(self, found: Solution) -> Allocation:
        """Return what a solution means."""
        lots = {
            self.pieces[at].lot
            for (at, number, _), column in self.cut.items()
            if found.columns[column] and self.wants[number].is_loose
        }
        return Allocation(
            taken=tuple(
                Fraction(sum(size * found.columns[column] for column, size in takes.items()))
                / self.unit
                for takes in self.taken
            ),
            placed=tuple(
                sum(found.columns[self.copies[number, lot]] for lot in self.lots)
                for number in range(len(self.wants))
            ),
            loose_lots=frozenset(lots),
        )

"""The shelf as an integer program: which row gives what (:mod:`kitmaker.kits.allocation`)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import lcm

from kitmaker.kits.wants import Allocation, FromRow, ShelfPiece, Task
from kitmaker.kits.whole_program import Solution, WholeProgram

_NODES_TO_PLACE = 1_000
_NODES_TO_SPARE = 100
"""Nodes after which the program gives way: a place found counts more than which. Our bounds."""


class ShelfProgram:
    """The program, in a unit in which every size and loss is whole.

    For every want and lot how many copies, for every want, part and length how many are cut
    there, for every pile how many it gives, for every form and length how many cuts; a
    length that gives strips pays for straightening, and for as many truings as its strips
    ask for.
    """

    def __init__(self, task: Task) -> None:
        """Write the program of a task."""
        self.task, self.shelf, self.wants = task, task.shelf, task.wants
        sizes = [size for want in self.wants for size, _ in want.parts]
        sizes += [cut.along for cut in task.form_cuts]
        lengths = (*sizes, task.loss.straighten, task.loss.re_square)
        self.unit = lcm(*(length.denominator for length in lengths))
        self.model = WholeProgram()
        self.copies = {
            (number, lot): self.model.add_column(want.copies)
            for number, want in enumerate(self.wants)
            for lot in task.lots
        }
        self.cut: dict[tuple[int, int, int], int] = {}
        self.formed: dict[tuple[int, str], int] = {}
        self.given: dict[int, int] = {}
        self.taken = [self._add_row(at, piece) for at, piece in enumerate(self.shelf)]
        self._hold_lots_together()
        for lot in task.lots:
            self._fill_with_forms(lot)
            self._fill_with_pieces(lot)

    def _add_row(self, at: int, piece: ShelfPiece) -> dict[int, int]:
        """Add what a row may give; return what each column takes off it."""
        if piece.form:
            self.given[at] = self.model.add_column(int(piece.free))
            return {self.given[at]: 1}
        takes: dict[int, int] = {}
        strips: list[int] = []
        for number, want in enumerate(self.wants):
            for part, (size, count) in enumerate(want.parts):
                most = min(want.copies * count, int(piece.free // size))
                column = self.cut[at, number, part] = self.model.add_column(most)
                takes[column] = int(size * self.unit)
                strips += [column] if want.is_strip else []
        pays = {cut.form for cut in self.task.form_cuts if cut.is_strip}
        wanted = self.task.forms_wanted([want.copies for want in self.wants])
        for form, side in piece.side_by_side:
            along = self.task.along(form)
            most = min(-(-wanted[form] // side), int(piece.free // along))
            column = self.formed[at, form] = self.model.add_column(most)
            takes[column] = int(along * self.unit)
            strips += [column] if form in pays else []
        if strips:
            takes.update(self._add_loss(strips))
        self.model.add_row(takes, most=int(piece.free * self.unit))
        return takes

    def _add_loss(self, strips: Sequence[int]) -> dict[int, int]:
        loss = self.task.loss
        most = sum(self.model.most(column) for column in strips)
        straightened = self.model.add_column(1)
        truings = self.model.add_column(max(0, most - 1) // loss.every)
        self.model.add_row({**dict.fromkeys(strips, 1), straightened: -most}, most=0)
        self.model.add_row({**dict.fromkeys(strips, 1), truings: -loss.every}, most=loss.every)
        return {
            straightened: int(loss.straighten * self.unit),
            truings: int(loss.re_square * self.unit),
        }

    def _hold_lots_together(self) -> None:
        for number, want in enumerate(self.wants):
            own = {self.copies[number, lot]: 1 for lot in self.task.lots}
            self.model.add_row(own, most=want.copies)
            for lot in self.task.lots:
                here = [at for at, one in enumerate(self.shelf) if one.lot == lot and not one.form]
                for part, (_, count) in enumerate(want.parts):
                    row = {self.cut[at, number, part]: 1 for at in here}
                    self.model.add_row({**row, self.copies[number, lot]: -count}, least=0, most=0)

    def _fill_with_forms(self, lot: str) -> None:
        """Hold that a lot's piles and cuts give the forms that are taken from it."""
        for form in sorted({form for want in self.wants for form, _ in want.forms}):
            row = {
                self.copies[number, lot]: sum(count for one, count in want.forms if one == form)
                for number, want in enumerate(self.wants)
            }
            row |= {column: -each for column, each in self._gives(lot, form)}
            self.model.add_row(row, most=0)

    def _gives(self, lot: str, form: str) -> Iterator[tuple[int, int]]:
        """Yield the columns that give a lot's forms, and how many one gives; piles last."""
        for (at, one), column in self.formed.items():
            if self.shelf[at].lot == lot and one == form:
                yield column, dict(self.shelf[at].side_by_side)[form]
        for at, column in self.given.items():
            if (self.shelf[at].lot, self.shelf[at].form) == (lot, form):
                yield column, 1

    def _fill_with_pieces(self, lot: str) -> None:
        """Hold that what is cut up of a lot for all kits gives the pieces of that lot's kits."""
        for key in sorted({key for want in self.wants for key, _ in want.pieces}):
            each = [
                dict(want.pieces).get(key, Fraction(0)) - dict(want.gives).get(key, 0)
                for want in self.wants
            ]
            unit = lcm(*(count.denominator for count in each))
            row = {self.copies[at, lot]: int(count * unit) for at, count in enumerate(each)}
            self.model.add_row(row, most=0)

    def place_most(self) -> tuple[Solution, bool]:
        """Place as much as possible, and hold what is placed; say whether more is ruled out.

        ``everything`` is then what the value comes to where all finds a place.
        """
        each = [self.task.worth(want) for want in self.wants]
        unit = lcm(*(worth.denominator for worth in each))
        worth = {column: int(each[at] * unit) for (at, _), column in self.copies.items()}
        found = self.model.greatest(worth, nodes=_NODES_TO_PLACE)
        pairs = zip(each, self.wants, strict=True)
        self.everything = sum(int(one * unit) * want.copies for one, want in pairs)
        self.model.add_row(worth, least=found.value, most=self.everything)
        return found, found.proven or found.value == self.everything

    def to_be_spared(self) -> Iterator[dict[int, int]]:
        """Yield what is to be as little as possible, one after the other."""
        if self.given and self.formed:
            inches = {form: int(self.task.along(form) * self.unit) for _, form in self.formed}
            yield {column: inches[form] for (_, form), column in self.formed.items()}
        order = sorted(range(len(self.shelf)), key=lambda at: (-self.shelf[at].free, at))
        for at in sorted(order, key=lambda at: bool(self.shelf[at].form)):
            yield self.taken[at]

    def spare(self, takes: dict[int, int], best: Solution) -> Solution:
        """Take as little as possible of something, and hold that; of nothing there is no less."""
        found = Solution(best.columns, 0, proven=True)
        if any(best.columns[column] for column in takes):
            least = {column: -size for column, size in takes.items()}
            found = self.model.greatest(least, best, nodes=_NODES_TO_SPARE)
        self.model.add_row(takes, most=-found.value)
        return found

    def allocation(self, found: Solution, *, exact: bool) -> Allocation:
        """Return what a solution means."""
        count = list(found.columns)
        self._give_no_more_than_needed(count)
        lots = [
            {lot: count[self.copies[number, lot]] for lot in self.task.lots}
            for number in range(len(self.wants))
        ]
        return Allocation(
            rows=tuple(self._off_row(at, count) for at in range(len(self.shelf))),
            placed=tuple(sum(lot.values()) for lot in lots),
            lots=tuple(frozenset(lot for lot, n in one.items() if n) for one in lots),
            exact=exact,
        )

    def _off_row(self, at: int, count: Sequence[int]) -> FromRow:
        if at in self.given:
            return FromRow(Fraction(count[self.given[at]]))
        sides = self.shelf[at].side_by_side
        cuts = [(form, n) for form, _ in sides if (n := count[self.formed[at, form]])]
        return self.task.off_one_length(
            cuts,
            (
                (want, size, count[self.cut[at, number, part]])
                for number, want in enumerate(self.wants)
                for part, (size, _) in enumerate(want.parts)
            ),
        )

    def _give_no_more_than_needed(self, count: list[int]) -> None:
        """Take back what is given beyond the need, where the program stopped before it did."""
        for lot in self.task.lots:
            copies = [count[self.copies[number, lot]] for number in range(len(self.wants))]
            for form, needed in self.task.forms_wanted(copies).items():
                gives = list(self._gives(lot, form))
                over = sum(count[column] * each for column, each in gives) - needed
                for column, each in gives:
                    back = min(count[column], over // each)
                    count[column] -= back
                    over -= back * each

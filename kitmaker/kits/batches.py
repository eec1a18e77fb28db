"""What is cut in one go, and what it needs from the shelf for any number of kits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import repeat
from typing import TypeAlias

from kitmaker.cutting_jobs import CuttingJob
from kitmaker.kits.bulk import cheapest_to_cut
from kitmaker.kits.demands import KeyedPiece
from kitmaker.kits.drawing import Needed
from kitmaker.kits.fabrics import Entry, OneKit, Progress
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.mixes import demands_of, take_any
from kitmaker.kits.yields import Taken
from kitmaker.shop import Bag
from kitmaker.table.cloths import ClothLength

KitsOf: TypeAlias = Callable[[OneKit], int]
"""How many kits there are of a fabric: those of its colorway, or of a part of them."""


@dataclass(frozen=True, slots=True)
class Batch:
    """Entries whose pieces the shop cuts in one go: one SKU, one form."""

    entries: tuple[OneKit, ...]  # at least one
    places: tuple[int, ...]  # of each, the place among all that is in the kits

    def job_pieces(self, kits_of: KitsOf) -> list[JobPiece]:
        """All pieces for given numbers of kits.

        Two colorways that fill one role with one SKU need the same pieces: one row for both.
        """
        rows: dict[str, JobPiece] = {}
        for entry in self.entries:
            for key, piece, count in entry.pieces:
                row = rows.get(key)
                needed = count * kits_of(entry)
                if row is None:
                    rows[key] = JobPiece(
                        key=key,
                        role=entry.fabric.role,
                        colorway=entry.colorway.name,
                        piece=piece,
                        per_kit=count,
                        needed=needed,
                    )
                else:
                    rows[key] = replace(row, colorway="", needed=row.needed + needed)
        return [row for row in rows.values() if row.needed]

    def pieces(self, kits_of: KitsOf) -> list[KeyedPiece]:
        """All pieces for given numbers of kits, as the core is asked for them."""
        return [(row.key, row.piece, row.needed) for row in self.job_pieces(kits_of)]

    def demand_a_piece(self, kits_of: KitsOf) -> dict[str, Fraction]:
        """Return how many cut parts stand for one of each piece: 1, or joined or shared strips."""
        rows = self.pieces(kits_of)
        first = self.entries[0]
        asked = demands_of(rows, first.form, first.basis)
        parts = {demand.key: demand.count for demand in asked.demands}
        return {key: Fraction(parts[key], count) for key, _, count in rows if key in parts}

    @property
    def prints(self) -> int | None:
        """How many prints fill the role."""
        return self.entries[0].fabric.prints

    def take(self, kits_of: KitsOf, *, shortest: bool = False) -> Taken:
        """What these kits take; with more cloth where that is cheaper, or the shortest."""
        first = self.entries[0]
        basis = replace(first.basis, bulk=not shortest, to_cut=True)
        taken = take_any(self.pieces(kits_of), first.form, basis, self.prints, first.at_hand(1))
        if not taken.easier:
            return taken
        return cheapest_to_cut(taken, lambda one: self.job(one, kits_of), first)

    def job(self, taken: Taken, kits_of: KitsOf, lengths: Sequence[ClothLength] = ()) -> CuttingJob:
        """Return how it is cut.

        Its strips come off the lengths; off one for all where none is named.
        """
        first = self.entries[0]
        amount = taken.amount
        spare = Fraction(0)
        if amount is not None and amount.buy_length is not None and not lengths:
            spare = amount.buy_length - (amount.length_with_loss or Fraction(0))
        name = first.print_name or first.fabric.role
        source = f"{name}, SKU {first.sku}" if first.sku else name
        return make_job(
            self.job_pieces(kits_of),
            taken.layouts,
            first.form,
            first.basis,
            source,
            spare,
            forms=taken.forms,
            lengths=lengths,
            prints=taken.prints,
        )


def batches_of(entries: Sequence[OneKit]) -> list[Batch]:
    """Put together what the shop cuts in one go; uncut bags stay by themselves."""
    places: dict[tuple[str, ...], list[int]] = {}
    for at, entry in enumerate(entries):
        together = entry.bag is Bag.PIECES and entry.sku and not entry.fabric.prints
        key = (entry.sku.casefold(), entry.form.form_id) if together else (str(at), entry.bag.value)
        places.setdefault(key, []).append(at)
    return [Batch(tuple(entries[at] for at in own), tuple(own)) for own in places.values()]


def own_kits(entry: Entry) -> int:
    """Return the kits that are planned of a fabric's colorway."""
    return entry.kits


def need_of(
    batches: Sequence[Batch], kits_of: KitsOf, totals: dict[int, Taken]
) -> dict[str, Needed]:
    """Return what given numbers of kits need, by SKU (fabrics without one apart)."""
    needs: dict[str, Needed] = {}
    for at, batch in enumerate(batches):
        first = batch.entries[0]
        key = first.sku.casefold() or f"\0{at}"
        needed = needs.setdefault(key, Needed(first.sku))
        needed.roles += [entry.fabric.role for entry in batch.entries]
        if first.bag is Bag.UNCUT:
            _add_bags(needed, first, kits_of(first))
        elif at in totals:
            _add_bulk(needed, batch, kits_of, totals[at])
    return needs


def _add_bags(needed: Needed, entry: OneKit, kits: int) -> None:
    amount = entry.amount
    if not kits:
        return
    if amount.buy_length is not None:
        needed.add_length(entry.colorway.name, amount.buy_length, kits)
        return
    for form, count in amount.forms_of(entry.form):
        needed.add_forms(form, count, entry.colorway.name, kits)


def _add_bulk(needed: Needed, batch: Batch, kits_of: KitsOf, taken: Taken) -> None:
    """Add what the shop cuts up, and what each kit takes of the pieces.

    Of several prints no kit's share is known: they are no dye lots of one another.
    """
    if taken.amount is None:
        return
    form = batch.entries[0].form
    if taken.prints > 1 and taken.amount.buy_length is not None:
        of_each_print = taken.amount.buy_length / taken.prints
        needed.add_length(f"\0{batch.entries[0].label}", of_each_print, taken.prints)
        return
    for layout, one in zip(taken.layouts, taken.forms or repeat(form), strict=False):
        gives = Counter(placed.key for placed in layout.sheet.placed())
        made = () if batch.prints else tuple(sorted(gives.items()))
        if one.by_length:
            needed.cut_up(layout.sheet.along, layout.copies, made)
        else:
            needed.cut_up_forms(one, layout.copies, made)
    wanted = {} if batch.prints else batch.demand_a_piece(kits_of)
    for entry in batch.entries if wanted else ():
        each = {key: wanted[key] * count for key, _, count in entry.pieces if key in wanted}
        if kits_of(entry):
            needed.add_pieces(entry.colorway.name, kits_of(entry), each.items())


def take_all(
    batches: Sequence[Batch],
    kits_of: KitsOf,
    progress: Progress = lambda _: None,
    *,
    shortest: bool = False,
) -> dict[int, Taken]:
    """Return what the shop cuts in one go for given numbers of kits, by batch."""
    totals: dict[int, Taken] = {}
    for at, batch in enumerate(batches):
        first = batch.entries[0]
        if first.bag is Bag.PIECES and any(kits_of(entry) for entry in batch.entries):
            progress(f"cutting {first.label} for all kits")
            totals[at] = batch.take(kits_of, shortest=shortest)
    return totals

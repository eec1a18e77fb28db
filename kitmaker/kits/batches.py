"""What is cut in one go, and what it needs from the shelf for any number of kits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, repeat

from kitmaker.forms import Form
from kitmaker.kits.costs import cost_of_forms, cost_of_length, shelf_price, sum_known
from kitmaker.kits.demands import demands_for
from kitmaker.kits.drawing import Needed
from kitmaker.kits.fabrics import Entry
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.mixes import demands_of_mix, take_any, times_mix
from kitmaker.kits.yields import KeyedPiece, Taken, say_lengths
from kitmaker.lengths import Length, Unit
from kitmaker.plans import CuttingJob, Yield
from kitmaker.shop import Bag, Shop
from kitmaker.table.cloths import ClothLength

Progress = Callable[[str], None]
"""Told in a few words what is being worked out."""

EASE = Fraction(1, 40)
"""In bulk, this share of a length may be spent so that nothing is cut in more than three rounds.

An eighth of a yard off a dozen kits does not pay for an hour at the table (common practice).
"""


@dataclass(slots=True)
class Batch:
    """Entries whose pieces the shop cuts in one go: one SKU, one form."""

    entries: list[Entry] = field(default_factory=list)

    def job_pieces(self, kits_of: Callable[[Entry], int]) -> list[JobPiece]:
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

    def pieces(self, kits_of: Callable[[Entry], int]) -> list[KeyedPiece]:
        """All pieces for given numbers of kits, as the core is asked for them."""
        return [(row.key, row.piece, row.needed) for row in self.job_pieces(kits_of)]

    def demand_a_piece(self, kits_of: Callable[[Entry], int]) -> dict[str, Fraction]:
        """Return how many cut parts stand for one of each piece: 1, or joined or shared strips."""
        rows = self.pieces(kits_of)
        first = self.entries[0]
        if first.form.mix:
            asked = demands_of_mix(rows, first.form, first.basis)
        else:
            asked = demands_for(rows, first.form, first.basis.unit, first.basis.pattern_width)
        parts = {demand.key: demand.count for demand in asked.demands}
        return {key: Fraction(parts[key], count) for key, _, count in rows if key in parts}

    def charge(self, total: Yield, shop: Shop) -> None:
        """Charge its entries for what all kits take together, by the area of their pieces."""
        first = self.entries[0]
        costs = self._shares(cost_of(first, total, shop))
        prices = self._shares(shelf_price_of(first, total, shop))
        for entry, cost, price in zip(self.entries, costs, prices, strict=True):
            entry.total, entry.cost, entry.shelf_price = total, cost, price

    def _shares(self, money: Decimal | None) -> list[Decimal | None]:
        """Share a job's money out by the area of the pieces; the cents add up exactly."""
        if money is None or len(self.entries) == 1:
            return [money] * len(self.entries)
        areas = [
            sum(
                (piece.width * (piece.length or entry.form.usable_across) * count * entry.kits)
                for _, piece, count in entry.pieces
            )
            for entry in self.entries
        ]
        cents, whole = int(money * 100), sum(areas, Fraction(0))
        upto = [round(cents * sum(areas[:at], Fraction(0)) / whole) for at in range(len(areas) + 1)]
        return [Decimal(end - start) / 100 for start, end in pairwise(upto)]

    @property
    def prints(self) -> int | None:
        """How many prints fill the role."""
        return self.entries[0].fabric.prints

    def take(self, kits_of: Callable[[Entry], int]) -> Taken:
        """What these kits take."""
        first = self.entries[0]
        basis = replace(first.basis, ease=EASE, to_cut=True)
        return take_any(self.pieces(kits_of), first.form, basis, self.prints, first.at_hand(1))


def batches_of(entries: Sequence[Entry]) -> list[Batch]:
    """Put together what the shop cuts in one go; uncut bags stay by themselves."""
    batches: dict[tuple[str, ...], Batch] = {}
    for at, entry in enumerate(entries):
        together = entry.bag is Bag.PIECES and entry.sku and not entry.fabric.prints
        key = (entry.sku.casefold(), entry.form.form_id) if together else (str(at), entry.bag.value)
        batches.setdefault(key, Batch()).entries.append(entry)
    return list(batches.values())


def plan_batch(batch: Batch, taken: Taken | None, shop: Shop, unit: Unit) -> None:
    """Work out what all kits take of a batch, how it is cut and what it costs.

    Args:
        batch: With one kit of each entry worked out.
        taken: What the shop cuts up for all kits; None for bags uncut.
        shop: Its costs.
        unit: What measures are said in.
    """
    first = batch.entries[0]
    if first.per_kit is None or first.per_kit.amount is None:
        return
    if taken is not None:
        if taken.amount is None:
            return
        cut_batch(batch, taken)
        batch.charge(taken.amount, shop)
        return
    batch.charge(_times(first.per_kit.amount, first.kits, first.form, unit), shop)
    if first.pieces:
        first.job = _job(batch, first.per_kit, lambda _: 1)


def cut_batch(batch: Batch, taken: Taken, lengths: Sequence[ClothLength] = ()) -> None:
    """Write the steps by which the shop cuts a batch up for all kits.

    Args:
        batch: What is cut.
        taken: What it takes, and how it is cut.
        lengths: The lengths its strips come off; one for all where none is named.
    """
    job = _job(batch, taken, lambda entry: entry.kits, lengths)
    names = tuple((entry.fabric.role, entry.colorway.name) for entry in batch.entries)
    for entry in batch.entries:
        entry.job = job
        own = (entry.fabric.role, entry.colorway.name)
        entry.cut_with = tuple(name for name in names if name != own)


def _times(amount: Yield, kits: int, form: Form, unit: Unit) -> Yield:
    """Return what all bags of an uncut fabric take: so many times one bag."""
    if form.mix:
        return times_mix(amount, kits, form)
    if amount.buy_length is None:
        count = amount.count * kits
        return replace(
            amount,
            count=count,
            lower_bound=amount.lower_bound * kits,
            buy=form.count_phrase(count),
        )

    def scaled(length: Length | None) -> Length | None:
        return None if length is None else length * kits

    return replace(
        amount,
        count=kits,
        lower_bound=kits,
        length=scaled(amount.length),
        length_lower_bound=scaled(amount.length_lower_bound),
        length_with_loss=scaled(amount.length_with_loss),
        buy_length=scaled(amount.buy_length),
        buy=say_lengths(amount.buy_length, kits, unit),
    )


def _job(
    batch: Batch,
    taken: Taken,
    kits_of: Callable[[Entry], int],
    lengths: Sequence[ClothLength] = (),
) -> CuttingJob:
    first = batch.entries[0]
    pieces = batch.job_pieces(kits_of)
    amount = taken.amount
    spare = Fraction(0)
    if amount is not None and amount.buy_length is not None and first.bag is Bag.UNCUT:
        spare = amount.buy_length - (amount.length_with_loss or Fraction(0))
    source = f"{first.print_name or first.fabric.role}{f', SKU {first.sku}' if first.sku else ''}"
    return make_job(
        pieces,
        taken.layouts,
        first.form,
        first.basis,
        source,
        spare,
        forms=taken.forms,
        lengths=lengths,
        prints=taken.prints,
    )


def cost_of(entry: Entry, total: Yield, shop: Shop) -> Decimal | None:
    """Return what an amount of a fabric costs the shop; None unknown."""
    if total.buy_length is None:
        costs = [
            cost_of_forms(form, count, entry.sku, shop)
            for form, count in total.forms_of(entry.form)
        ]
        return sum_known(costs)
    return cost_of_length(total.buy_length, entry.sku, shop)


def shelf_price_of(entry: Entry, total: Yield, shop: Shop) -> Decimal | None:
    """Return what an amount of a fabric sells for on the shelf; None unknown."""
    return sum_known(
        [
            shelf_price(form, count, total.buy_length, entry.sku, shop)
            for form, count in total.forms_of(entry.form)
        ]
    )


def need_of(
    batches: Sequence[Batch], kits_of: Callable[[Entry], int], totals: dict[int, Taken]
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


def _add_bags(needed: Needed, entry: Entry, kits: int) -> None:
    amount = entry.per_kit.amount if entry.per_kit is not None else None
    if amount is None or not kits:
        return
    if amount.buy_length is not None:
        needed.add_length(entry.colorway.name, amount.buy_length, kits)
        return
    for form, count in amount.forms_of(entry.form):
        needed.add_forms(form, count, entry.colorway.name, kits)


def _add_bulk(needed: Needed, batch: Batch, kits_of: Callable[[Entry], int], taken: Taken) -> None:
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
    kits_of: Callable[[Entry], int],
    progress: Progress = lambda _: None,
) -> dict[int, Taken]:
    """Return what the shop cuts in one go for given numbers of kits, by batch."""
    totals: dict[int, Taken] = {}
    for at, batch in enumerate(batches):
        first = batch.entries[0]
        if first.bag is Bag.PIECES and any(kits_of(entry) for entry in batch.entries):
            progress(f"cutting {first.label} for all kits")
            totals[at] = batch.take(kits_of)
    return totals

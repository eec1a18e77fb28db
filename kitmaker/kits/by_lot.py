"""What the shop cuts up for all kits, lot by lot, where no dye lot has enough for all of them.

Cut together, pieces come out of the cloth wherever they fit; two dye lots may then give all
the pieces there are, and yet no way to fill each bag from one of them. Then the kits are
shared out to the lots, about as the cloth is, and those of each lot are cut by themselves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import repeat

from kitmaker.cutting.layout import Layout, Part
from kitmaker.cutting_jobs import Yield
from kitmaker.forms import Form
from kitmaker.kits.batches import Batch, KitsOf, need_of, take_all
from kitmaker.kits.drawing import Taken as FromShelf
from kitmaker.kits.drawing import draw
from kitmaker.kits.fabrics import Progress
from kitmaker.kits.mixes import say_mix
from kitmaker.kits.shelf import rows_of
from kitmaker.kits.yields import Taken
from kitmaker.lengths import Length, round_need_up, say_off_the_bolt
from kitmaker.plans import sum_known
from kitmaker.shop import Shop


def totals_of(
    batches: Sequence[Batch],
    kits_of: KitsOf,
    shop: Shop,
    progress: Progress = lambda _: None,
    *,
    shortest: bool = False,
) -> dict[int, Taken]:
    """Return what the shop cuts up for given numbers of kits, by batch.

    With ``shortest`` it is only asked if the shelf lasts: cloth is spent on easier cutting only
    where the shelf has it.
    """
    totals = take_all(batches, kits_of, progress, shortest=shortest)
    skus = dict.fromkeys(batches[at].entries[0].sku.casefold() for at in totals)
    for sku in filter(None, skus):  # of a fabric without one nothing is known to run short
        lots = _lots_of(shop, sku)
        own = {
            at: batch for at, batch in enumerate(batches) if batch.entries[0].sku.casefold() == sku
        }
        if not shortest and _draws(own, kits_of, totals, shop).is_short:
            for at, batch in own.items():
                if at in totals and _may_be_shorter(totals[at]):
                    totals[at] = batch.take(kits_of, shortest=True)
        if len(lots) > 1 and _draws(own, kits_of, totals, shop).unmatched:
            totals |= _lot_by_lot(own, kits_of, totals, shop, list(lots.values()))
    return totals


def _may_be_shorter(taken: Taken) -> bool:
    """Whether it takes a length that may be longer than what the pieces need."""
    amount = taken.amount
    return amount is not None and amount.length is not None and not amount.length_proven


def _lots_of(shop: Shop, sku: str) -> dict[str, Fraction]:
    """Return what is free of each dye lot: inches, and the area of forms as if they were."""
    free: dict[str, Fraction] = {}
    for row in rows_of(shop, sku):
        along = shop.catalogue.find(row.form).usable_along if row.form else None
        each = (along or Fraction(0)) / 2
        some = row.free_length + row.free_count * each
        if some:
            free[row.dye_lot or ""] = free.get(row.dye_lot or "", Fraction(0)) + some
    return free


def _draws(
    own: Mapping[int, Batch], kits_of: KitsOf, totals: Mapping[int, Taken], shop: Shop
) -> FromShelf:
    batches = list(own.values())
    mine = {at: totals[place] for at, place in enumerate(own) if place in totals}
    (needed,) = need_of(batches, kits_of, mine).values()
    return draw(needed, shop, only_if_short=True)


def _lot_by_lot(
    own: Mapping[int, Batch],
    kits_of: KitsOf,
    totals: Mapping[int, Taken],
    shop: Shop,
    cloth: Sequence[Fraction],
) -> dict[int, Taken]:
    """Return the first way of sharing the kits out to the lots that fills every bag; or nothing."""
    cut = {at: batch for at, batch in own.items() if at in totals}
    kits = {
        entry.colorway.name: kits_of(entry) for batch in cut.values() for entry in batch.entries
    }
    for shares in _shares(sum(kits.values()), cloth):
        parts = [_part_of(kits, shares, number) for number in range(len(shares))]
        merged = {
            at: _sum([take_all([batch], part).get(0) for part in parts], totals[at], batch, shop)
            for at, batch in cut.items()
        }
        if not _draws(own, kits_of, {**totals, **merged}, shop).is_short:
            return merged
    return {}


def _shares(kits: int, cloth: Sequence[Fraction]) -> Iterator[tuple[int, ...]]:
    """Yield kits of each lot: about as the cloth is, then with one kit moved."""
    whole = sum(cloth, Fraction(0))
    shares = [int(kits * one / whole) for one in cloth]
    shares[cloth.index(max(cloth))] += kits - sum(shares)
    yield tuple(shares)
    for gives in range(len(cloth)):
        for takes in range(len(cloth)):
            if gives != takes and shares[gives]:
                step = [(at == takes) - (at == gives) for at in range(len(cloth))]
                yield tuple(share + more for share, more in zip(shares, step, strict=True))


def _part_of(kits: Mapping[str, int], shares: Sequence[int], number: int) -> KitsOf:
    """Return how many kits of an entry are of one lot: colorway by colorway, lot by lot."""
    start, end = sum(shares[:number]), sum(shares[: number + 1])
    own: dict[str, int] = {}
    before = 0
    for name, count in kits.items():
        own[name] = max(0, min(end, before + count) - max(start, before))
        before += count
    return lambda entry: own[entry.colorway.name]


def _sum(parts: Sequence[Taken | None], joint: Taken, batch: Batch, shop: Shop) -> Taken:
    """Return several cuttings as one; what is sure is sure of all of it cut together."""
    taken = [part for part in parts if part is not None]
    amounts = [part.amount for part in taken if part.amount is not None]
    if joint.amount is None or len(amounts) < len(taken):
        return joint
    counted: Counter[tuple[Part, Form | None]] = Counter()
    for part in taken:
        for layout, form in zip(part.layouts, part.forms or repeat(None), strict=False):
            counted[layout.sheet, form] += layout.copies
    return Taken(
        _sum_amounts(amounts, joint.amount, batch, shop),
        tuple(Layout(sheet, copies) for (sheet, _), copies in counted.items()),
        forms=tuple(form for _, form in counted if form is not None),
    )


def _sum_amounts(amounts: Sequence[Yield], joint: Yield, batch: Batch, shop: Shop) -> Yield:
    first = batch.entries[0]
    if joint.buy_length is None:
        counts = {
            form: sum(dict(amount.counts).get(form, 0) for amount in amounts)
            for form, _ in joint.counts
        }
        count = sum(amount.count for amount in amounts)
        return replace(
            joint,
            count=count,
            proven=joint.proven and count == joint.count,
            counts=tuple(counts.items()),
            cost=sum_known([amount.cost for amount in amounts]),
            buy=say_mix(counts, first.form) if counts else first.form.count_phrase(count),
        )
    length = _total([amount.length for amount in amounts])
    with_loss = _total([amount.length_with_loss for amount in amounts])
    bought = round_need_up(with_loss, shop.bolt_step(first.basis.unit))
    return replace(
        joint,
        proven=joint.proven and bought == joint.buy_length,
        length=length,
        length_proven=length == joint.length_lower_bound,
        length_with_loss=with_loss,
        buy_length=bought,
        buy=say_off_the_bolt(bought, first.basis.unit),
    )


def _total(lengths: Sequence[Length | None]) -> Length:
    return sum((length for length in lengths if length is not None), Fraction(0))

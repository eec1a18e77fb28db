"""A batch as it is cut for all kits: how much it takes, how it is cut, what that costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import TypeVar

from kitmaker.cutting_jobs import CuttingJob, Yield
from kitmaker.kits.batches import Batch, own_kits
from kitmaker.kits.costs import cost_of_forms, cost_of_length, cost_of_one, price_of, shelf_price
from kitmaker.kits.fabrics import OneKit
from kitmaker.kits.mixes import say_mix
from kitmaker.kits.yields import Taken, purchase_of, say_lengths
from kitmaker.lengths import Unit, round_need_up, say_off_the_bolt
from kitmaker.plans import FabricPlan, sum_known
from kitmaker.shop import Bag, Shop
from kitmaker.table.cloths import ClothLength, loss_of

T = TypeVar("T", Fraction, Decimal)


@dataclass(frozen=True, slots=True)
class CutBatch:
    """A batch cut for all kits."""

    batch: Batch  # what it is
    total: Yield  # what all kits take together
    job: CuttingJob | None  # how it is cut; None where the pattern gives no pieces
    # each entry's share of the money; None unknown
    costs: tuple[Decimal | None, ...]
    shelf_prices: tuple[Decimal | None, ...]

    def fabric_plans(self, shop: Shop) -> list[tuple[int, FabricPlan]]:
        """Return each entry as the plan has it, with its place."""
        names = [(entry.fabric.role, entry.colorway.name) for entry in self.batch.entries]
        return [
            (
                place,
                FabricPlan(
                    role=entry.fabric.role,
                    colorway=entry.colorway.name,
                    sku=entry.sku,
                    group=entry.group,
                    print_name=entry.print_name,
                    form=entry.form,
                    bag=entry.bag,
                    kits=entry.kits,
                    per_kit=entry.amount,
                    total=self.total,
                    job=self.job,
                    cut_with=tuple(other for other in names if other != name),
                    cost=cost,
                    price=price_of(cost, shop) if shop.markup else price,
                ),
            )
            for place, entry, name, cost, price in zip(
                self.batch.places,
                self.batch.entries,
                names,
                self.costs,
                self.shelf_prices,
                strict=True,
            )
        ]


def bag_uncut(batch: Batch, shop: Shop, unit: Unit) -> CutBatch:
    """Return what all bags of an uncut fabric take, and how the student cuts one kit."""
    (entry,) = batch.entries
    job = batch.job(entry.per_kit, lambda _: 1) if entry.pieces else None
    return _charged(batch, times_kits(entry, entry.kits, unit), job, shop)


def cut_up(
    batch: Batch, taken: Taken, lengths: Sequence[ClothLength], shop: Shop, unit: Unit
) -> CutBatch:
    """Return how the shop cuts a batch up for all kits.

    Each of the lengths that its strips come off has a loss of its own; without any they come
    off one. The unit is that in which the shop measures cloth.
    """
    amount = taken.amount
    if amount is None:
        raise ValueError(f"{batch.entries[0].label} was not planned")
    if amount.length is None or amount.length_with_loss is None:
        lengths = ()
    loss = loss_of(shop)
    before = sum((loss.on(length.cut) for length in lengths), Fraction(0))
    job = replace(batch.job(taken, own_kits, lengths), eased=taken.eased)
    if lengths and amount.length is not None:
        after = sum((loss.on(length.cut) for length in lengths), Fraction(0))
        with_loss = amount.length + after - before
        bought = round_need_up(with_loss, purchase_of(batch.entries[0].basis).step)
        amount = replace(
            amount,
            length_with_loss=with_loss,
            buy_length=bought,
            buy=say_off_the_bolt(bought, unit),
            proven=amount.proven and bought == amount.buy_length,
        )
    return _charged(batch, amount, job, shop)


def _charged(batch: Batch, total: Yield, job: CuttingJob | None, shop: Shop) -> CutBatch:
    first = batch.entries[0]
    costs = _shares(batch, cost_of(first, total, shop))
    return CutBatch(batch, total, job, costs, _shares(batch, shelf_price_of(first, total, shop)))


def cost_together(cut: Sequence[CutBatch], shop: Shop) -> list[CutBatch]:
    """Return one SKU's batches with what forms cut off its bolt cost all together.

    They are cut side by side whatever they are for: twice seven fat quarters are seven cuts,
    not twice four. Each batch bears its share by count.
    """
    alike: dict[str, list[CutBatch]] = {}
    for cut_batch in cut:
        first = cut_batch.batch.entries[0]
        is_form = cut_batch.total.buy_length is None and not first.form.mix
        if is_form and cost_of_one(first.form, first.sku, shop) is None:
            alike.setdefault(first.form.form_id, []).append(cut_batch)
    shares: dict[int, tuple[Decimal | None, ...]] = {}
    for together in alike.values():
        first, counts = (
            together[0].batch.entries[0],
            [cut_batch.total.count for cut_batch in together],
        )
        money = cost_of_forms(first.form, sum(counts), first.sku, shop)
        for cut_batch, share in zip(together, _split(money, counts), strict=True):
            shares[id(cut_batch)] = _shares(cut_batch.batch, share)
    return [
        replace(cut_batch, costs=shares.get(id(cut_batch), cut_batch.costs)) for cut_batch in cut
    ]


def _split(money: Decimal | None, weights: Sequence[Fraction | int]) -> list[Decimal | None]:
    """Share money out by weight; the cents add up exactly."""
    if money is None:
        return [None] * len(weights)
    cents, whole = int(money * 100), sum(weights, Fraction(0))
    upto = [round(cents * sum(weights[:at], Fraction(0)) / whole) for at in range(len(weights) + 1)]
    return [Decimal(end - start).scaleb(-2) for start, end in pairwise(upto)]


def _shares(batch: Batch, money: Decimal | None) -> tuple[Decimal | None, ...]:
    """Share a job's money out by the area of the pieces."""
    if money is None or len(batch.entries) == 1:
        return (money,) * len(batch.entries)
    areas = [
        sum(
            (piece.width * (piece.length or entry.form.usable_across) * count * entry.kits)
            for _, piece, count in entry.pieces
        )
        for entry in batch.entries
    ]
    return tuple(_split(money, areas))


def times_kits(entry: OneKit, kits: int, unit: Unit) -> Yield:
    """Return what bags of an uncut fabric take: so many times one bag."""
    amount, form = entry.amount, entry.form
    counts = {form_id: count * kits for form_id, count in amount.counts}
    if amount.buy_length is not None:
        buy = say_lengths(amount.buy_length, kits, unit)
    else:
        buy = say_mix(counts, form) if form.mix else form.count_phrase(amount.count * kits)

    def scaled(amount_of_one: T | None) -> T | None:
        return None if amount_of_one is None else amount_of_one * kits

    return replace(
        amount,
        count=amount.count * kits,
        lower_bound=amount.lower_bound * kits,
        length=scaled(amount.length),
        length_lower_bound=scaled(amount.length_lower_bound),
        length_with_loss=scaled(amount.length_with_loss),
        buy_length=scaled(amount.buy_length),
        buy=buy,
        counts=tuple(counts.items()),
        cost=scaled(amount.cost),
        cost_lower_bound=scaled(amount.cost_lower_bound),
    )


def cost_of(entry: OneKit, total: Yield, shop: Shop) -> Decimal | None:
    """Return what an amount of a fabric costs the shop; None unknown."""
    if total.buy_length is not None:
        return cost_of_length(entry.form, total.buy_length, entry.sku, shop)
    forms = total.forms_of(entry.form)
    return sum_known([cost_of_forms(form, count, entry.sku, shop) for form, count in forms])


def shelf_price_of(entry: OneKit, total: Yield, shop: Shop) -> Decimal | None:
    """Return what an amount of a fabric sells for on the shelf; None unknown."""
    forms = total.forms_of(entry.form)
    length = total.buy_length
    return sum_known([shelf_price(form, count, length, entry.sku, shop) for form, count in forms])


def minutes_of(cut: Sequence[CutBatch], shop: Shop) -> Fraction:
    """Return the minutes at the shop's table: each cutting job once, a pull a bag if uncut."""
    seconds = Fraction(0)
    for cut_batch in cut:
        entry = cut_batch.batch.entries[0]
        if entry.bag is Bag.PIECES and cut_batch.job is not None:
            seconds += cut_batch.job.minutes * 60
            continue
        seconds += shop.seconds_per_pull
        if entry.form.by_length:
            seconds += entry.kits * (shop.seconds_per_cut + shop.seconds_per_setting)
    return seconds / 60

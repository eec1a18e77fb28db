"""One kit, each fabric in each form: how many, what it costs, and what stands in the way.

Each form is asked for as ``plan`` asks for one uncut fabric of a kit, so that counts, costs and
prices are the plan's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from kitmaker.choosing import FabricOptions, Option
from kitmaker.cutting_jobs import CuttingJob, Yield
from kitmaker.errors import Problem, warning
from kitmaker.forms import Form
from kitmaker.kits.batches import Batch, own_kits
from kitmaker.kits.choices import FabricInKit, Options, joins_of
from kitmaker.kits.costs import cost_of_one
from kitmaker.kits.cut_batches import CutBatch, bag_uncut
from kitmaker.kits.demands import PATTERN_WIDTH
from kitmaker.kits.fabrics import (
    Entry,
    amount_as_stated,
    entries_of_fabric,
    sewn_of_parts,
    take_one_kit,
    warn_of_broken_prints,
    why_not_sewn,
)
from kitmaker.kits.joins import joined_of
from kitmaker.kits.mixes import BY_AREA, SEVERAL_PRINTS
from kitmaker.kits.shelf import is_wide
from kitmaker.kits.yields import Taken, estimate_by_area
from kitmaker.lengths import Unit, round_need_up, say_off_the_bolt
from kitmaker.pattern import Fabric, Pattern, Use
from kitmaker.plans import sum_known
from kitmaker.shop import Bag, Colorway, Shop

Group: TypeAlias = tuple[Fabric, ...]
Spread: TypeAlias = Callable[
    [Callable[[Group], list[FabricOptions]], Iterable[Group]], Iterable[list[FabricOptions]]
]
"""Maps a function over things, in order, as the built-in ``map`` does."""

_NOTHING_ASKED = Options()
ESTIMATE = "an estimate by area: the pattern states an amount and no pieces"


def convert(
    pattern: Pattern,
    forms: Sequence[tuple[str, Form]],
    shop: Shop,
    kits: int = 1,
    asked: Options = _NOTHING_ASKED,
    spread: Spread = map,
) -> Iterator[FabricOptions]:
    """Yield each fabric with what one kit takes in each form, and what the kits cost so.

    Batting is not fabric and is passed over.

    Args:
        pattern: What is read for sure.
        forms: (name as asked, form), in order.
        shop: Its losses, rounding, stock and costs.
        kits: For how many kits costs, prices and minutes are wanted.
        asked: Whose pieces may be sewn of shorter parts, and with how many seams.
        spread: Maps a function over the fabrics, in order; those alike go together, as they
            are worked out once.
    """
    alike: dict[object, list[int]] = {}
    fabrics = [one for one in pattern.fabrics if one.use is not Use.BATTING]
    for at, fabric in enumerate(fabrics):
        alike.setdefault(_sizes(fabric), []).append(at)
    work = _Work(pattern, tuple(forms), shop, kits, asked)
    groups = [tuple(fabrics[at] for at in places) for places in alike.values()]
    done: dict[int, FabricOptions] = {}
    waiting = iter(range(len(fabrics)))
    following = next(waiting, None)
    for places, made in zip(alike.values(), spread(work, groups), strict=True):
        done.update(zip(places, made, strict=True))
        while following in done:
            yield done.pop(following)
            following = next(waiting, None)


@dataclass(frozen=True, slots=True)
class _Work:
    """What is done with some fabrics; it can be sent to another process."""

    pattern: Pattern
    forms: tuple[tuple[str, Form], ...]
    shop: Shop
    kits: int
    asked: Options

    def __call__(self, fabrics: Iterable[Fabric]) -> list[FabricOptions]:
        return [self._of(fabric) for fabric in fabrics]

    def _of(self, fabric: Fabric) -> FabricOptions:
        joins = joins_of(fabric, self.pattern, self.asked)
        options = [
            _option(
                FabricInKit(fabric, form, Bag.UNCUT, joins),
                name,
                self.pattern.unit,
                self.shop,
                self.kits,
            )
            for name, form in self.forms
        ]
        return FabricOptions(fabric=fabric, kits=self.kits, options=_rank(options))


def _sizes(fabric: Fabric) -> object:
    """Return what is the same for fabrics that are cut alike."""
    return tuple(
        (piece.kind, piece.width, piece.length, piece.quantity, piece.direction)
        for piece in fabric.pieces
    )


def _rank(options: Sequence[Option]) -> tuple[Option, ...]:
    """Number the options that can: by cost, without one by cloth, then as they were asked for."""

    def key(at: int) -> tuple[bool, Decimal, Fraction, int]:
        cost = options[at].cost
        return cost is None, cost or Decimal(0), options[at].cloth, at

    ranked = sorted((at for at, option in enumerate(options) if option.amount is not None), key=key)
    ranks = {at: number for number, at in enumerate(ranked, start=1)}
    return tuple(replace(option, rank=ranks.get(at)) for at, option in enumerate(options))


def _option(chosen: FabricInKit, asked: str, unit: Unit, shop: Shop, kits: int) -> Option:
    colorway = Colorway(name="", kits=kits, skus={})
    fabric = chosen.fabric
    entries = [
        replace(one, basis=replace(one.basis, exact_length=True, to_cut=False))
        for one in entries_of_fabric(chosen, colorway, unit, shop)
    ]
    form = entries[0].form
    if not fabric.pieces:
        return _estimate(entries[0], asked)
    if form.mix and len(entries) > 1:
        return Option(form=form, asked=asked, feasible=False, amount=None, why=SEVERAL_PRINTS)
    taken = [take_one_kit(entry) for entry in entries]
    for entry, one in zip(entries, taken, strict=True):
        if one.amount is None:
            cannot = _cannot(entry, one, asked)
            if all(sewn_of_parts(other) for other in entries):
                joins = replace(chosen.joins, is_asked=True)
                would = _option(replace(chosen, joins=joins), asked, unit, shop, kits)
                return replace(cannot, if_joined=would)
            return cannot
    amounts = [one.amount for one in taken if one.amount is not None]
    amount = amounts[0] if len(amounts) == 1 else add_yields(amounts, form, unit)
    cut = [
        bag_uncut(Batch((entry.with_amount(one),), (0,)), shop, unit)
        for entry, one in zip(entries, taken, strict=True)
    ]
    return Option(
        form=form,
        asked=asked,
        feasible=True,
        amount=amount,
        why=BY_AREA if form.mix and amount.cost is None else "",
        one_fewer_at=amount.one_fewer_at,
        cost=_cost(cut),
        cost_lower_bound=amount.cost_lower_bound,
        counts=amount.counts,
        price=sum_known([one.shelf_prices[0] for one in cut]),
        left_over=_left_over(cut, amounts),
        minutes=sum((_minutes(*one) for one in zip(cut, taken, strict=True)), Fraction(0)),
        joined=tuple(joined for entry in entries for joined in joined_of(entry.pieces)),
        said=tuple(warn_of_broken_prints(entries)),
    )


def _cannot(entry: Entry, taken: Taken, asked: str) -> Option:
    """Return an option whose pieces do not fit, with the seam that is refused, if any."""
    why, refused = taken.why, why_not_sewn(entry)
    said: tuple[Problem, ...] = ()
    if refused is not None:
        reason, where = refused
        why = f"{why}; {reason} ({where.address})"
        said = (warning(f"{entry.label}: {taken.why}; {reason}", where, taken.fits_from),)
    return Option(
        form=entry.form,
        asked=asked,
        feasible=False,
        amount=None,
        why=why,
        fits_from=taken.fits_from,
        said=said,
    )


def _cost(cut: Sequence[CutBatch]) -> Decimal | None:
    """Return what all kits cost; None where a form has no cost of its own."""
    first = cut[0].batch.entries[0]
    forms = [one for one, _ in first.amount.forms_of(first.form)]
    costs = [cost_of_one(form, first.sku, first.basis.shop) for form in forms]
    return sum_known([one.costs[0] for one in cut]) if costs and None not in costs else None


def _left_over(cut: Sequence[CutBatch], amounts: Sequence[Yield]) -> Fraction:
    """Return the share of the cloth of one kit that becomes no needed piece."""
    cloth = needed = Fraction(0)
    for one, amount in zip(cut, amounts, strict=True):
        if one.job is not None:
            cloth += one.job.cloth(one.batch.entries[0].form, amount)
            needed += sum(row.across * row.along * row.needed for row in one.job.pieces)
    return 1 - needed / cloth


def _minutes(cut: CutBatch, taken: Taken) -> Fraction:
    """Return the minutes that the cutting of all kits takes, stacked as the shop stacks."""
    job: CuttingJob | None = cut.job
    (entry,) = cut.batch.entries
    if entry.kits > 1:
        many = (replace(layout, copies=layout.copies * entry.kits) for layout in taken.layouts)
        job = cut.batch.job(replace(taken, layouts=tuple(many)), own_kits)
    return Fraction(0) if job is None else job.minutes


def add_yields(amounts: Sequence[Yield], form: Form, unit: Unit) -> Yield:
    """Return what several print groups take together, each from a print of its own."""
    count = sum(amount.count for amount in amounts)
    if form.usable_along is not None:
        return Yield(
            count=count,
            lower_bound=sum(amount.lower_bound for amount in amounts),
            proven=all(amount.proven for amount in amounts),
            buy=form.count_phrase(count),
        )
    zero = Fraction(0)
    buy_length = sum((amount.buy_length or zero for amount in amounts), zero)
    parts = " + ".join(amount.buy for amount in amounts)
    return Yield(
        count=1,
        lower_bound=1,
        proven=all(amount.proven for amount in amounts),
        length=sum((amount.length or zero for amount in amounts), zero),
        length_lower_bound=sum((amount.length_lower_bound or zero for amount in amounts), zero),
        length_proven=all(bool(amount.length_proven) for amount in amounts),
        length_with_loss=sum((amount.length_with_loss or zero for amount in amounts), zero),
        buy_length=buy_length,
        buy=f"{say_off_the_bolt(buy_length, unit)} ({parts})",
    )


def _estimate(entry: Entry, asked: str) -> Option:
    """Return what a fabric without pieces takes: its stated amount, or no fewer by area."""
    stated = None if is_wide(entry.form) else amount_as_stated(entry)
    amount = stated or _by_area(entry)
    if amount is None:
        why = "the pattern gives neither pieces nor a length for it"
        return Option(form=entry.form, asked=asked, feasible=None, amount=None, why=why)
    batch = Batch((entry.with_amount(Taken(amount, ())),), (0,))
    cut = bag_uncut(batch, entry.basis.shop, entry.basis.unit)
    return Option(
        form=entry.form,
        asked=asked,
        feasible=None,
        amount=amount,
        why=ESTIMATE,
        is_as_stated=stated is not None,
        cost=_cost([cut]),
        counts=amount.counts,
        price=cut.shelf_prices[0],
    )


def _by_area(entry: Entry) -> Yield | None:
    """Return the amount below which no cutting can be; None without a stated length."""
    requirement, form = entry.fabric.requirement, entry.form
    if requirement is None or requirement.length is None:
        return None
    width = entry.fabric.usable_width or PATTERN_WIDTH
    count = estimate_by_area(requirement.length * width, form)
    if form.by_length:
        length = requirement.length * width / form.usable_across
        bought = round_need_up(length, entry.basis.shop.bolt_step(entry.basis.unit))
        return Yield(
            count=1,
            lower_bound=1,
            proven=False,
            length=length,
            buy_length=bought,
            buy=say_off_the_bolt(bought, entry.basis.unit),
            estimated=True,
        )
    return Yield(
        count=count,
        lower_bound=count,
        proven=False,
        buy=form.count_phrase(count),
        estimated=True,
    )

"""Any mix of several forms: the cheapest that yields the pieces, bounded by its cost.

Where the cost of a form in the mix is not known, area stands for cost, and it is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting.mixed_desk import MixAnswer, MixForm, plan_mix
from kitmaker.cutting.problem import Demand
from kitmaker.cutting_jobs import Yield
from kitmaker.forms import Form
from kitmaker.kits.demands import FormDemands, KeyedPiece, demands_for
from kitmaker.kits.solved import solved
from kitmaker.kits.yields import Basis, Taken, estimate_by_area, take

SEVERAL_PRINTS = "a mix of forms is not worked out for a fabric of several prints"
BY_AREA = "cheapest by area: a cost is missing"


@dataclass(frozen=True, slots=True)
class MixTaken:
    """What pieces take of a mix.

    Attributes:
        answer: Counts, cost and bound; None when the pieces do not fit.
        by_area: Whether area stood for cost.
        why: The piece that fits none of the forms; "".
        fits_from: What would make it fit; "".
    """

    answer: MixAnswer | None
    by_area: bool
    why: str = ""
    fits_from: str = ""


def take_any(
    pieces: Sequence[KeyedPiece],
    form: Form,
    basis: Basis,
    prints: int | None = None,
    at_hand: Mapping[str, int] | None = None,
) -> Taken:
    """Find how much of a form, or of a mix of forms, yields the pieces.

    Args:
        pieces: What is needed.
        form: A form or a mix; with the usable sizes that apply.
        basis: Losses, rounding and units.
        prints: How many different prints fill the role; None for one or any.
        at_hand: Form id to how many there are, for the forms of a mix that are limited.
    """
    if not form.mix:
        return take(pieces, form, basis, prints)
    if prints or any(piece.from_each for _, piece, _ in pieces):
        return Taken(None, (), SEVERAL_PRINTS)
    found = take_mix(pieces, form, basis, at_hand)
    if found.answer is None:
        return Taken(None, (), found.why, found.fits_from)
    answer = found.answer
    layouts = [(one, layout) for one in form.mix for layout in answer.layouts.get(one.form_id, ())]
    amount = yield_of_mix(found, answer, pieces, form)
    return Taken(
        amount,
        tuple(layout for _, layout in layouts),
        forms=tuple(one for one, _ in layouts),
    )


def take_mix(
    pieces: Sequence[KeyedPiece],
    form: Form,
    basis: Basis,
    at_hand: Mapping[str, int] | None = None,
) -> MixTaken:
    """Find the cheapest mix that yields the pieces.

    Args:
        pieces: What is needed.
        form: A mix (:attr:`Form.mix` is not empty).
        basis: Units.
        at_hand: Form id to how many there are, for those that are limited. Where they do
            not last the mix is worked out without a limit: what is short shows.
    """
    by_area = any(one.cost is None for one in form.mix)
    asked = demands_of_mix(pieces, form, basis)
    if asked.why:
        return MixTaken(None, by_area, asked.why, asked.fits_from)
    limits = at_hand or {}
    answer = _cheapest(asked.demands, form.mix, tuple(sorted(limits.items())), by_area=by_area)
    if answer is None and limits:
        answer = _cheapest(asked.demands, form.mix, (), by_area=by_area)
    if answer is None:
        return MixTaken(None, by_area, "no mix of these forms was found", "")
    return MixTaken(answer, by_area)


def demands_of(pieces: Sequence[KeyedPiece], form: Form, basis: Basis) -> FormDemands:
    """Return what must come out of a form, or of a mix."""
    if form.mix:
        return demands_of_mix(pieces, form, basis)
    return demands_for(pieces, form, basis.unit, basis.pattern_width)


def demands_of_mix(pieces: Iterable[KeyedPiece], form: Form, basis: Basis) -> FormDemands:
    """Return what must come out of a mix: each piece as the first form it fits holds it."""
    demands: list[Demand] = []
    for key, piece, count in pieces:
        tried = [
            demands_for([(key, piece, count)], one, basis.unit, basis.pattern_width)
            for one in form.mix
        ]
        fitting = next((one for one in tried if not one.why), None)
        if fitting is None:
            return tried[0]
        demands += fitting.demands
    return FormDemands(tuple(demands))


def _cheapest(
    demands: tuple[Demand, ...],
    forms: tuple[Form, ...],
    at_hand: tuple[tuple[str, int], ...],
    *,
    by_area: bool,
) -> MixAnswer | None:
    limits = dict(at_hand)
    taken_from = tuple(
        MixForm(
            form.form_id,
            form.usable_across,
            along,
            form.usable_across * along if by_area else Fraction(form.cost or 0),
            limits.get(form.form_id),
        )
        for form in forms
        if (along := form.usable_along) is not None
    )
    return solved(("mix", demands, taken_from), lambda: plan_mix(demands, taken_from))


def yield_of_mix(
    found: MixTaken, answer: MixAnswer, pieces: Sequence[KeyedPiece], form: Form
) -> Yield:
    """Return the amount that an answer stands for."""
    count = sum(answer.counts.values())
    area = sum(
        ((piece.across or form.usable_across) * piece.along * n for _, piece, n in pieces),
        Fraction(0),
    )
    return Yield(
        count=count,
        lower_bound=min(count, estimate_by_area(area, form)),
        proven=answer.proven,
        buy=say_mix(answer.counts, form),
        counts=tuple(answer.counts.items()),
        cost=None if found.by_area else exact_money(answer.cost),
        cost_lower_bound=None if found.by_area else exact_money(answer.cost_lower_bound),
    )


def times_mix(amount: Yield, kits: int, form: Form) -> Yield:
    """Return what so many bags take of a mix."""

    def scaled(cost: Decimal | None) -> Decimal | None:
        return None if cost is None else cost * kits

    counts = {form_id: count * kits for form_id, count in amount.counts}
    return Yield(
        count=amount.count * kits,
        lower_bound=amount.lower_bound * kits,
        proven=amount.proven,
        buy=say_mix(counts, form),
        counts=tuple(counts.items()),
        cost=scaled(amount.cost),
        cost_lower_bound=scaled(amount.cost_lower_bound),
    )


def exact_money(amount: Fraction) -> Decimal:
    """Return an amount of money as it is worked out, before it is rounded to cents."""
    return Decimal(amount.numerator) / Decimal(amount.denominator)


def say_mix(counts: dict[str, int], form: Form) -> str:
    """Say a mix: ``2 fat quarters + 3 2½-inch strips``."""
    said = [one.count_phrase(counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]
    return " + ".join(said)

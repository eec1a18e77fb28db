"""Any mix of several forms: the cheapest that yields the pieces, bounded by its cost.

Where the cost of a form in the mix is not known, area stands for cost, and it is said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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


def take_any(
    pieces: Sequence[KeyedPiece],
    form: Form,
    basis: Basis,
    prints: int | None = None,
    at_hand: Mapping[str, int] | None = None,
) -> Taken:
    """Find how much of a form, or of a mix of forms, yields the pieces.

    Prints are how many fill the role; None for one or any. Of a mix ``at_hand`` says by form id
    how many there are of those that are limited; where they do not last the mix is worked out
    without a limit: what is short shows.
    """
    if not form.mix:
        return take(pieces, form, basis, prints)
    if prints or any(piece.from_each for _, piece, _ in pieces):
        return Taken(None, (), SEVERAL_PRINTS)
    asked = demands_of(pieces, form, basis)
    if asked.why:
        return Taken(None, (), asked.why, asked.fits_from)
    answer = _cheapest(asked.demands, form, at_hand or {})
    if answer is None and at_hand:
        answer = _cheapest(asked.demands, form, {})
    if answer is None:
        return Taken(None, (), "no mix of these forms was found")
    layouts = [(one, layout) for one in form.mix for layout in answer.layouts.get(one.form_id, ())]
    return Taken(
        _amount_of(answer, pieces, form),
        tuple(layout for _, layout in layouts),
        forms=tuple(one for one, _ in layouts),
    )


def demands_of(pieces: Sequence[KeyedPiece], form: Form, basis: Basis) -> FormDemands:
    """Return what must come out of a form; of a mix, as the first form that holds a piece does."""
    if not form.mix:
        return demands_for(pieces, form, basis.unit, basis.pattern_width)
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


def _by_area(form: Form) -> bool:
    """Whether area stands for cost."""
    return any(one.cost is None for one in form.mix)


def _cheapest(
    demands: tuple[Demand, ...], mix: Form, at_hand: Mapping[str, int]
) -> MixAnswer | None:
    taken_from = tuple(
        MixForm(
            form.form_id,
            form.usable_across,
            along,
            form.usable_across * along if _by_area(mix) else Fraction(form.cost or 0),
            at_hand.get(form.form_id),
        )
        for form in mix.mix
        if (along := form.usable_along) is not None
    )
    return solved(("mix", demands, taken_from), lambda: plan_mix(demands, taken_from))


def _amount_of(answer: MixAnswer, pieces: Sequence[KeyedPiece], form: Form) -> Yield:
    count = sum(answer.counts.values())
    area = sum(
        ((piece.across or form.usable_across) * piece.along * n for _, piece, n in pieces),
        Fraction(0),
    )
    by_area = _by_area(form)
    return Yield(
        count=count,
        lower_bound=min(count, estimate_by_area(area, form)),
        proven=answer.proven,
        buy=say_mix(answer.counts, form),
        counts=tuple(answer.counts.items()),
        cost=None if by_area else _exact_money(answer.cost),
        cost_lower_bound=None if by_area else _exact_money(answer.cost_lower_bound),
    )


def _exact_money(amount: Fraction) -> Decimal:
    """Return an amount of money as it is worked out, before it is rounded to cents."""
    return Decimal(amount.numerator) / Decimal(amount.denominator)


def say_mix(counts: Mapping[str, int], form: Form) -> str:
    """Say a mix: ``2 fat quarters + 3 2½-inch strips``."""
    said = [one.count_phrase(counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]
    return " + ".join(said)

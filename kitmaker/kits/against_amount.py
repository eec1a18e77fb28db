"""What a kit takes beside the amount that its pattern states, fabric by fabric.

A plan that takes far less than a pattern asks for may be short of what the words did not
say (a motif that is centered, matching stripes); one that takes far more may have counted
something twice. Either is said, and nothing is changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitmaker.arithmetic.shares import Share, share_of
from kitmaker.errors import Problem, warning
from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.pattern import Amount, Pattern
from kitmaker.plans import FabricPlan

_ADVICE = {
    Share.LESS: "Look whether pieces are missing, or a motif is centered: then buy what the "
    "pattern states.",
    Share.MORE: "Look whether something is counted twice.",
}


def against_amounts(
    pattern: Pattern, fabrics: Sequence[FabricPlan], catalogue: Catalogue
) -> Iterator[Problem]:
    """Yield a warning for each fabric that takes far less or far more than is stated."""
    for fabric in pattern.fabrics:
        amount = fabric.requirement
        own = [one for one in fabrics if one.role == fabric.role and fabric.pieces]
        if amount is None or not own:
            continue
        first = [one for one in own if one.colorway == own[0].colorway]
        width = first[0].form.usable_across if first[0].form.by_length else Fraction(40)
        stated = _stated(amount, width, catalogue)
        taken = [_taken(one) for one in first]
        if stated is None or None in taken:
            continue
        total = sum((one for one in taken if one is not None), Fraction(0))
        share = share_of(total, stated, width)
        if share is not Share.AGREES:
            percent = round(100 * total / stated)
            buys = " and ".join(one.per_kit.buy for one in first)
            yield warning(
                f"{fabric.role}: one kit takes {buys}, {share} than the pattern's "
                f"'{amount.as_written}' ({percent} % of its usable cloth)",
                fabric.where,
                _ADVICE[share],
            )


def _stated(amount: Amount, width: Fraction, catalogue: Catalogue) -> Fraction | None:
    """Return the usable square inches of an amount; None where it has no sure area."""
    if amount.length is not None:
        return amount.length * width
    try:
        form = catalogue.find(amount.unit)
    except UnknownFormError:
        return None
    return None if form.usable_along is None else amount.quantity * _area(form)


def _taken(fabric: FabricPlan) -> Fraction | None:
    """Return the usable square inches that one kit takes of a fabric."""
    kit = fabric.per_kit
    if kit.estimated:
        return None
    if kit.buy_length is not None:
        return kit.buy_length * fabric.form.usable_across
    return sum((_area(form) * count for form, count in kit.forms_of(fabric.form)), Fraction(0))


def _area(form: Form) -> Fraction:
    return form.usable_across * (form.usable_along or 0)

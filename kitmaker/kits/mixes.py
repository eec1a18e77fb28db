"""Any mix of several forms: the cheapest that yields the pieces, bounded by its cost.

Where the cost of a form in the mix is not known, area stands for cost, and it is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.mixed_desk import MixAnswer, MixForm, plan_mix
from kitmaker.cutting.problem import Demand
from kitmaker.forms import Form
from kitmaker.kits.demands import demands_for
from kitmaker.kits.yields import Basis, KeyedPiece


@dataclass(frozen=True, slots=True)
class MixTaken:
    """What pieces take of a mix.

    Attributes:
        answer: Counts, cost and bound; None when it cannot do.
        by_area: Whether area stood for cost.
        why: The piece that fits none of the forms; "".
        fits_from: What would make it fit; "".
    """

    answer: MixAnswer | None
    by_area: bool
    why: str = ""
    fits_from: str = ""


def take_mix(pieces: Sequence[KeyedPiece], form: Form, basis: Basis) -> MixTaken:
    """Find the cheapest mix that yields the pieces.

    Args:
        pieces: What is needed.
        form: A mix (:attr:`Form.mix` is not empty).
        basis: Units.
    """
    by_area = any(one.cost is None for one in form.mix)
    demands: list[Demand] = []
    for key, piece, count in pieces:
        tried = [
            demands_for([(key, piece, count)], one, basis.unit, basis.pattern_width)
            for one in form.mix
        ]
        fitting = next((one for one in tried if not one.why), None)
        if fitting is None:
            return MixTaken(None, by_area, tried[0].why, tried[0].fits_from)
        demands += fitting.demands
    forms = [
        MixForm(
            one.form_id,
            one.usable_across,
            along,
            one.usable_across * along if by_area else Fraction(one.cost or 0),
        )
        for one in form.mix
        if (along := one.usable_along) is not None
    ]
    answer = plan_mix(demands, forms)
    if answer is None:
        return MixTaken(None, by_area, "no mix of these forms was found", "")
    return MixTaken(answer, by_area)


def say_mix(counts: dict[str, int], form: Form) -> str:
    """Say a mix: ``2 fat quarters + 3 2½-inch strips``."""
    said = [one.count_phrase(counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]
    return " + ".join(said)

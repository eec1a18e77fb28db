"""The settings a plan was made with, in one line, for every sheet of paper it prints."""

from __future__ import annotations

from kitmaker.paper.sheets.kit_numbers import say_kits_of
from kitmaker.paper.sheets.saying import count_of, join_words, printable
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag

LONGEST = 230
"""Characters that fit two lines of a page's upper margin; longer lists become counts."""

NOT_COMPLETE = "NOT COMPLETE"
"""What every page and label of a plan says when lines of its pattern were left out."""

_ALSO = ("Measured cloth", "Finished kits")


def say_settings(plan: KitPlan, longest: int = LONGEST) -> str:
    """Say kits, size, forms and bags, what was measured and what is left out.

    A plan that is not complete says so first. Fabrics that take more than ``longest`` characters
    named one by one are counted.
    """
    named = _say(plan, counted=False)
    return named if len(named) <= longest else _say(plan, counted=True)


def _say(plan: KitPlan, *, counted: bool) -> str:
    parts = []
    if plan.not_complete:
        parts.append(f"{NOT_COMPLETE}, {count_of(len(plan.not_complete), 'line')} left out")
    parts.append(say_kits_of(plan))
    if plan.pattern.size:
        parts.append(f"size {plan.pattern.size}")
    ways = _ways(plan)
    for way, roles in ways.items():
        parts.append(way if len(ways) == 1 else f"{way}: {_fabrics(roles, counted=counted)}")
    parts += [
        f"{choice.label.lower()} {choice.value}" for choice in plan.choices if choice.label in _ALSO
    ]
    if plan.left_out:
        out = [fabric.role for fabric in plan.left_out]
        parts.append(f"not in the kit: {_fabrics(out, counted=counted)}")
    return printable(" · ".join(parts))


def _ways(plan: KitPlan) -> dict[str, list[str]]:
    ways: dict[str, list[str]] = {}
    for fabric in plan.fabrics:
        roles = ways.setdefault(_way(fabric), [])
        if fabric.role not in roles:
            roles.append(fabric.role)
    return ways


def _way(fabric: FabricPlan) -> str:
    form = fabric.form
    name = form.name if form.by_length else form.plural
    return f"pieces from {name}" if fabric.bag is Bag.PIECES else f"uncut {name}"


def _fabrics(roles: list[str], *, counted: bool) -> str:
    return count_of(len(roles), "fabric") if counted else join_words(roles)

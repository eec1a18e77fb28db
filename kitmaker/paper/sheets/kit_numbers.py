"""Which number a kit bears: those of the class as it was first planned."""

from __future__ import annotations

from kitmaker.paper.sheets.saying import join_words, say_kits
from kitmaker.plans import KitPlan
from kitmaker.shop import Colorway


def number_kits(plan: KitPlan) -> tuple[tuple[Colorway, tuple[int, ...]], ...]:
    """Return each colorway with the numbers of its kits, counted over all colorways.

    Numbers are those of the class as first planned: where kits are finished already, each
    colorway goes on after its own.
    """
    numbered = []
    first = 1
    for colorway in plan.colorways:
        kits = plan.all_kits if colorway.kits is None else colorway.kits
        first += colorway.done
        numbered.append((colorway, tuple(range(first, first + kits))))
        first += kits
    return tuple(numbered)


def say_kits_of(plan: KitPlan) -> str:
    """Say the kits planned: ``12 kits``; after finished ones ``6 kits, numbers 4 to 9 of 9``."""
    said = say_kits(plan.kits, plan.spare_kits)
    if not plan.finished_kits:
        return said
    runs: list[tuple[int, ...]] = []
    for _, kits in number_kits(plan):
        if runs and kits and runs[-1][-1] + 1 == kits[0]:
            runs[-1] += kits
        elif kits:
            runs.append(kits)
    numbers = "number" if plan.all_kits == 1 else "numbers"
    return (
        f"{said}, {numbers} {join_words([say_numbers(run) for run in runs])} of {plan.class_kits}"
    )


def say_which(plan: KitPlan, kits: tuple[int, ...]) -> str:
    """Say some kits: ``Kits 4 to 9``; after finished ones ``Kits 4 to 9 of 9``."""
    of_all = f" of {plan.class_kits}" if plan.finished_kits else ""
    return f"Kit{'s' if len(kits) > 1 else ''} {say_numbers(kits)}{of_all}"


def say_numbers(kits: tuple[int, ...]) -> str:
    """Say kits' numbers in a row: ``4 to 9``, ``4``."""
    return str(kits[0]) if len(kits) == 1 else f"{kits[0]} to {kits[-1]}"

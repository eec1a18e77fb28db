"""Which number a kit bears: those of the class as it was first planned."""

from __future__ import annotations

from collections.abc import Sequence

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
        numbers = range(first, first + kits)
        chosen = [number for number in numbers if not plan.only_kits or number in plan.only_kits]
        numbered.append((colorway, tuple(chosen)))
        first += kits
    return tuple(numbered)


def say_kits_of(plan: KitPlan) -> str:
    """Say the kits planned: ``12 kits``; after finished ones ``6 kits, numbers 4 to 9 of 9``."""
    text = say_kits(plan.kits, plan.spare_kits)
    numbers = tuple(number for _, kits in number_kits(plan) for number in kits)
    if plan.only_kits:
        return say_which(plan, numbers)
    if not plan.finished_kits:
        return text
    word = "number" if len(numbers) == 1 else "numbers"
    return f"{text}, {word} {say_numbers(numbers)} of {plan.class_kits}"


def say_which(plan: KitPlan, kits: tuple[int, ...]) -> str:
    """Say some kits: ``Kits 4 to 9``; where they are not all of a class ``Kits 4 to 9 of 9``."""
    of_all = f" of {plan.class_kits}" if plan.finished_kits or plan.only_kits else ""
    return f"Kit{'s' if len(kits) > 1 else ''} {say_numbers(kits)}{of_all}"


def say_bags_of(plan: KitPlan, colorway: str) -> str:
    """Say which bags are a colorway's: ``bags 1 to 7 (Dusk)``; ``bag 4``."""
    kits = next(kits for way, kits in number_kits(plan) if way.name == colorway)
    bags = f"bag{'s' if len(kits) > 1 else ''} {say_numbers(kits)}"
    return f"{bags} ({colorway})" if colorway else bags


def say_numbers(kits: Sequence[int]) -> str:
    """Say kits' numbers: ``4``, ``4 to 9``, ``3 to 4, 6 and 9 to 12``."""
    runs: list[list[int]] = []
    for number in kits:
        if runs and runs[-1][-1] + 1 == number:
            runs[-1].append(number)
        else:
            runs.append([number])
    return join_words(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)

"""``--kits max``: the choices for as many complete kits as the stock gives.

With colorways each is asked alone, and the most is planned in the class's proportion.
"""

from __future__ import annotations

from dataclasses import replace

from kitmaker.errors import CannotBeMetError, Problem, UsageError, has_errors
from kitmaker.kits.batches import Batch, batches_of
from kitmaker.kits.choices import Resolved
from kitmaker.kits.fabrics import Progress, entries_of, plan_kits_of
from kitmaker.kits.lasting import most_kits, share_out
from kitmaker.pattern import Pattern
from kitmaker.plans import Choice
from kitmaker.shop import Shop


def plan_most(pattern: Pattern, shop: Shop, resolved: Resolved, progress: Progress) -> Resolved:
    """Return the choices with the most kits the stock gives.

    Spare kits are among them: what is left is planned as kits.

    Raises:
        CannotBeMetError: The stock gives no complete kit, or the pieces do not fit a form.
        UsageError: Nothing in the kit is checked against the stock.
    """
    batches = _batches(pattern, shop, resolved)
    weights = [colorway.kits or 0 for colorway in resolved.colorways]
    weights[0] -= resolved.spare_kits
    most, runs_out = most_kits(batches, shop, resolved, weights, progress, as_planned=True)
    if most <= resolved.spare_kits:
        first = "one complete kit"
        if resolved.spare_kits:
            first = f"{resolved.spare_kits + 1} complete kits"
        advice = f"{runs_out} runs out first: restock it, or choose another form for it."
        raise CannotBeMetError(f"not enough on the shelf for {first}", advice)
    shares = share_out(most, weights)
    colorways = tuple(
        replace(colorway, kits=share)
        for colorway, share in zip(resolved.colorways, shares, strict=True)
    )
    kits = most - resolved.spare_kits
    said = f"{kits}; {runs_out} runs out first" if runs_out else str(kits)
    choices = [Choice(label="Kits", value=said, source="--kits max")]
    if len(colorways) > 1:
        choices += _each_alone(batches, shop, resolved, progress)
    return replace(
        resolved,
        kits=kits,
        colorways=colorways,
        choices=(*choices, *resolved.choices),
        most=(most, runs_out),
    )


def _each_alone(
    batches: list[Batch], shop: Shop, resolved: Resolved, progress: Progress
) -> list[Choice]:
    choices = []
    for at, colorway in enumerate(resolved.colorways):
        weights = [int(other == at) for other in range(len(resolved.colorways))]
        most, runs_out = most_kits(batches, shop, resolved, weights, progress)
        choices.append(
            Choice(
                label=f"{colorway.name} alone",
                value=f"{most} kits at most" + (f"; {runs_out} runs out first" if runs_out else ""),
                source="--kits max",
            )
        )
    return choices


def _batches(pattern: Pattern, shop: Shop, resolved: Resolved) -> list[Batch]:
    said: list[Problem] = []
    entries = plan_kits_of(entries_of(pattern, shop, resolved), said)
    if has_errors(said):
        raise CannotBeMetError(said)
    if not any(entry.sku for entry in entries):
        message = "--kits max counts the stock, but no fabric in the kit has a SKU"
        advice = "Give SKUs in the pattern's Fabrics sheet or the class's Colorways sheet."
        raise UsageError(message, advice)
    return batches_of(entries)

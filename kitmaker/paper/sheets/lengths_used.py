"""How much of each length is used, where a fabric comes off several.

The shelf's cloth comes in pieces, and no cut runs from one piece to the next: the cutter has
to know how much of each comes to the table and how much goes back.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.paper.sheets.jobs import TableJob
from kitmaker.paper.sheets.pull_list import view_pull_lines
from kitmaker.plans import KitPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthUsed:
    """One length of cloth: how much is used, and goes back; "" for cloth still to come."""

    cloth: str
    take: str
    left: str


def view_lengths_used(plan: KitPlan, table: TableJob) -> tuple[LengthUsed, ...]:
    """Return how much of each length is used, as the steps name them; nothing where all is one."""
    if table.job is None:
        return ()
    steps = (step for layout in table.job.layouts for step in layout.steps)
    named = dict.fromkeys(step.cloth for step in steps if step.cloth and step.runs)
    takes = {
        piece.cloth: (stock.take, stock.left)
        for line, view in zip(plan.pull, view_pull_lines(plan), strict=True)
        if line.sku == table.first.sku
        for piece, stock in zip(line.pieces, view.stock, strict=True)
    }
    return tuple(
        LengthUsed(cloth=cloth[0].upper() + cloth[1:], take=take, left=left)
        for cloth in named
        for take, left in (takes.get(cloth, ("", "")),)
    )

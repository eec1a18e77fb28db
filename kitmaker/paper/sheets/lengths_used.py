"""Which layouts are cut off which length, where a fabric comes off several.

The shelf's cloth comes in pieces, and no cut runs from one piece to the next: the cutter has
to know what each gives.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kitmaker.cutting_jobs import CutLayout
from kitmaker.paper.sheets.jobs import TableJob
from kitmaker.paper.sheets.pull_list import view_pull_lines
from kitmaker.paper.sheets.saying import join_words
from kitmaker.plans import KitPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthUsed:
    """One length of cloth and what is cut off it.

    Attributes:
        cloth: What it is called at the table.
        take, left: How much of it is used, and how much goes back; "" for cloth still to come.
        gives: Which layouts come off it.
    """

    cloth: str
    take: str
    left: str
    gives: str


def view_lengths_used(plan: KitPlan, table: TableJob) -> tuple[LengthUsed, ...]:
    """Return what each length gives, as the steps say; nothing where all comes off one."""
    if table.job is None:
        return ()
    given: dict[str, list[str]] = {}
    for layout in table.job.layouts:
        for cloth, copies in _off_each(layout).items():
            given.setdefault(cloth, []).append(f"{copies} × {layout.name}")
    if not given:
        return ()
    takes = {
        piece.cloth: (stock.take, stock.left)
        for line, view in zip(plan.pull, view_pull_lines(plan), strict=True)
        if line.sku == table.first.sku
        for piece, stock in zip(line.pieces, view.stock, strict=True)
    }
    return tuple(
        LengthUsed(
            cloth=cloth[0].upper() + cloth[1:],
            take=takes.get(cloth, ("", ""))[0],
            left=takes.get(cloth, ("", ""))[1],
            gives=join_words(gives),
        )
        for cloth, gives in given.items()
    )


def _off_each(layout: CutLayout) -> Counter[str]:
    """Return how many of a layout come off each length that its steps name."""
    off: Counter[str] = Counter()
    for step in layout.steps:
        if step.cloth and step.runs:
            off[step.cloth] += sum(step.runs)
    return off

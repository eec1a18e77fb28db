"""Which fabrics lie on the cutting table together, and so share one cutting sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitmaker.cutting_jobs import CuttingJob
from kitmaker.forms import Form
from kitmaker.paper.sheets.saying import join_words, say_stock
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class TableJob:
    """One fabric on the cutting table, with every role and colorway it serves.

    Attributes:
        fabrics: At least one, in the plan's order; all of one SKU, form and bag.
        job: What is cut in one go; None for fabrics that are bagged uncut.
    """

    fabrics: tuple[FabricPlan, ...]
    job: CuttingJob | None

    @property
    def first(self) -> FabricPlan:
        """The fabric that gives SKU, print and form."""
        return self.fabrics[0]

    @property
    def form(self) -> Form:
        """What is pulled."""
        return self.first.form

    @property
    def stock(self) -> str:
        """Its number and what the stock calls it; ""."""
        return say_stock(self.first.sku, self.first.print_name)

    @property
    def is_cut(self) -> bool:
        """Whether the shop cuts it into pieces."""
        return self.first.bag is Bag.PIECES

    @property
    def roles(self) -> str:
        """What it is in the pattern: ``Border and Binding``."""
        return join_words(dict.fromkeys(fabric.role for fabric in self.fabrics))

    @property
    def names(self) -> str:
        """Its roles, with the group of prints where a role has several."""
        return join_words(dict.fromkeys(fabric.name for fabric in self.fabrics))


def on_one_table(plan: KitPlan) -> tuple[TableJob, ...]:
    """Return the cutting sheets' fabrics in the plan's order.

    Cut pieces belong together when the plan says that they are cut in one job; uncut
    forms when they are of one SKU and form.
    """
    groups: list[list[FabricPlan]] = []
    for fabric in plan.fabrics:
        for group in groups:
            if _belongs(fabric, group[0]):
                group.append(fabric)
                break
        else:
            groups.append([fabric])
    return tuple(
        TableJob(
            fabrics=tuple(group),
            job=group[0].job if group[0].bag is Bag.PIECES else None,
        )
        for group in groups
    )


def _belongs(fabric: FabricPlan, first: FabricPlan) -> bool:
    if fabric.bag is not first.bag or fabric.form != first.form or fabric.sku != first.sku:
        return False
    if fabric.bag is Bag.PIECES:
        return (fabric.role, fabric.colorway) in first.cut_with and fabric.job == first.job
    return bool(fabric.sku)


def by_name(tables: Iterable[TableJob]) -> dict[str, list[TableJob]]:
    """Put together what is one fabric of the pattern, in one colorway or several."""
    found: dict[str, list[TableJob]] = {}
    for table in tables:
        found.setdefault(table.names, []).append(table)
    return found


def is_first_of_its_cut(plan: KitPlan, fabric: FabricPlan) -> bool:
    """Tell whether a fabric is the first of those that are cut together, or cut alone."""
    if fabric.bag is Bag.UNCUT:
        return True
    together = {(fabric.role, fabric.colorway), *fabric.cut_with}
    first = next(
        other
        for other in plan.fabrics
        if (other.role, other.colorway) in together and other.job == fabric.job
    )
    return first is fabric

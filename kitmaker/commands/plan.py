"""``plan``: a class's kits, from files to a folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from kitmaker import api
from kitmaker.commands.convert import say_proof
from kitmaker.commands.inputs import Inputs
from kitmaker.commands.outputs import write_out
from kitmaker.errors import KitmakerError
from kitmaker.kits.choices import Options
from kitmaker.paper.changes import with_changes
from kitmaker.paper.folder import PLAN, check_folder
from kitmaker.paper.printed import Printed, print_plan
from kitmaker.paper.problem_json import dump, problems_json
from kitmaker.paper.sheets.prices import say_prices
from kitmaker.paper.sheets.saying import join_words
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag

Progress = Callable[[str], None]


def make_plan(
    inputs: Inputs,
    options: Options,
    *,
    leave_out_unread: bool = False,
    templates: Path | None = None,
    out: Path | None = None,
    replace: bool = False,
    progress: Progress = lambda _: None,
) -> Printed:
    """Plan a class's kits and make every page of it; nothing is written yet.

    What changes against the last plan of the folder to be written is said.

    Raises:
        KitmakerError: As :func:`kitmaker.api.plan` raises it.
    """
    if out is not None:
        check_folder(out, replace=replace)
    plan = api.plan(
        inputs.reading,
        shop=inputs.shop,
        class_sheet=inputs.class_sheet,
        measured=inputs.measured,
        leave_out_unread=leave_out_unread,
        options=options,
        progress=progress,
    )
    progress("writing the sheets")
    if out is not None:
        plan = with_changes(plan, out / PLAN)
    return print_plan(plan, templates)


def write_plan(finished: Printed, out: Path | None, *, replace: bool = False) -> Path:
    """Write a plan's folder; without one asked for it is named after pattern and plan number."""
    named = (finished.plan.pattern.name, finished.plan.number)
    return write_out(out, finished.files, named=named, replace=replace)


def plan_text(plan: KitPlan, folder: Path) -> Iterator[str]:
    """Yield a plan in a few lines."""
    ways = [
        f"{colorway.kits} {colorway.name}"
        for colorway in plan.colorways
        if colorway.name and colorway.kits
    ]
    colors = f" ({', '.join(ways)})" if ways else ""
    size = f", {plan.pattern.size}" if plan.pattern.size else ""
    spare = f" and {plan.spare_kits} spare" if plan.spare_kits else ""
    kits = f"{plan.kits} kit{'s' if plan.kits != 1 else ''}{spare}"
    yield f"{plan.pattern.name}{size}: {kits}{colors}, plan {plan.number}"
    for fabric in plan.fabrics:
        yield f"  {_fabric_line(fabric)}"
    for left in plan.left_out:
        yield f"  {left.role}: not in the kit ({left.reason})"
    if plan.kits_possible is not None:
        yield f"Complete kits possible from the shelf: {plan.kits_possible}"
    yield from _money(plan)
    yield f"Open {folder / 'index.html'}"


def _fabric_line(fabric: FabricPlan) -> str:
    name = ", ".join(part for part in (fabric.role, fabric.colorway) if part)
    if fabric.group:
        name += f", print {fabric.group}"
    if fabric.total.estimated:
        proof = "the pattern's own amount; it gives no pieces"
    else:
        amount = fabric.per_kit if fabric.bag is Bag.UNCUT else fabric.total
        proof = say_proof(amount)
    if fabric.bag is Bag.UNCUT:
        return f"{name}: {fabric.per_kit.buy} a kit, {fabric.total.buy} in all; {proof}"
    together = ", cut together with others" if fabric.cut_with else ""
    return f"{name}: pieces cut by the shop from {fabric.total.buy}{together}; {proof}"


def _money(plan: KitPlan) -> Iterator[str]:
    sign = plan.shop.currency
    if plan.fabric_cost is not None:
        yield f"Fabric for all kits costs {sign}{plan.fabric_cost}"
    each = [(name, cost) for name, cost in plan.costs[-1].one_kit] if plan.costs else []
    known = {cost: name for name, cost in each if cost is not None}
    if each and len(known) > 1:
        said = [f"{sign}{cost} in {name}" for name, cost in each if cost is not None]
    else:
        said = [f"{sign}{cost}" for cost in known]
    if said:
        yield f"One kit costs {join_words(said)}"
        yield from (line.sentence for line in say_prices(plan))


def refusal_json(stop: KitmakerError, inputs: Inputs) -> str:
    """Return what is said, as data, where no plan was made."""
    pattern = inputs.reading.pattern
    return dump(
        {
            "schema": 1,
            "unit": pattern.unit.value,
            "pattern": pattern.name,
            "fabrics": [],
            "problems": problems_json(stop.problems),
        }
    )

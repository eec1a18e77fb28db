"""From one kit to the class: what all bags take, what is cut together, what it needs.

``plan_kits`` is the whole of it: choices in, a checked :class:`~kitmaker.plans.KitPlan` out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.errors import Problem, error, has_errors, warning
from kitmaker.kits.batches import Batch, Progress, batches_of, need_of, plan_batch
from kitmaker.kits.by_lot import totals_of
from kitmaker.kits.choices import Resolved
from kitmaker.kits.costs import FabricCost, cost_table, kit_price, price_of, sum_known
from kitmaker.kits.fabrics import Entry, entries_of, plan_one_kit, warn_of_narrow_bolts
from kitmaker.kits.onemore import one_more
from kitmaker.kits.possible import find_help, kits_possible
from kitmaker.kits.several_lengths import cut_off_lengths
from kitmaker.kits.stock import pull_line
from kitmaker.kits.yields import Taken
from kitmaker.lengths import Unit
from kitmaker.pattern import Pattern
from kitmaker.plans import FabricPlan, KitPlan, PullLine, say_too_few_kits
from kitmaker.shop import Bag, ClassSheet, Shop


def plan_kits(
    pattern: Pattern,
    shop: Shop,
    class_sheet: ClassSheet,
    resolved: Resolved,
    *,
    number: str,
    not_complete: Sequence[str] = (),
    problems: Sequence[Problem] = (),
    progress: Progress = lambda _: None,
) -> KitPlan:
    """Plan a class's kits.

    Args:
        pattern: What is read for sure, in the size planned.
        shop: The shop's figures.
        class_sheet: The class's, an empty one when there is none.
        resolved: What was chosen.
        number: The plan number.
        not_complete: Lines left out on request.
        problems: What reading had to say.
        progress: Told what is being worked out.

    Raises:
        OurFaultError: A plan did not pass kitmaker's own check.
    """
    said = list(problems)
    entries = entries_of(pattern, shop, resolved)
    warn_of_narrow_bolts(entries, pattern.unit, said)
    planned: list[Entry] = []
    for entry in entries:
        progress(f"working out {entry.label}")
        if plan_one_kit(entry, said):
            planned.append(entry)
    batches = batches_of(planned)
    totals = totals_of(batches, _own_kits, shop, progress)
    for at, batch in enumerate(batches):
        plan_batch(batch, totals.get(at), shop, pattern.unit)
    pull = pull_of(batches, totals, shop, pattern.unit, said)
    possible, runs_out = kits_possible(batches, shop, resolved, progress)
    helps = {
        line.sku: find_help(pattern, shop, resolved, line.sku, progress)
        for line in pull
        if line.short
    }
    planned_kits = resolved.kits + resolved.spare_kits
    if possible is not None and possible >= planned_kits:
        runs_out = ""
    _say_shortages(pull, possible, runs_out, helps, said)
    return _assemble(
        pattern,
        shop,
        class_sheet,
        resolved,
        number,
        tuple(not_complete),
        planned,
        pull,
        possible,
        runs_out,
        said,
    )


def _own_kits(entry: Entry) -> int:
    return entry.kits


def pull_of(
    batches: Sequence[Batch],
    totals: dict[int, Taken],
    shop: Shop,
    unit: Unit,
    said: list[Problem],
) -> tuple[PullLine, ...]:
    """Return what is pulled, SKU by SKU, against the shelf.

    Args:
        batches: All that is cut or bagged.
        totals: What is cut up for all kits, by batch.
        shop: Its stock.
        unit: What measures are said in.
        said: Told of fabrics that could not be checked.
    """
    needs = need_of(batches, _own_kits, totals)
    own: dict[str, list[int]] = {}
    for at, batch in enumerate(batches):
        own.setdefault(batch.entries[0].sku.casefold() or f"\0{at}", []).append(at)
    lines: list[PullLine] = []
    for key, needed in needs.items():
        line = pull_line(needed, shop, unit)
        if not needed.sku:
            line = replace(line, short="", pieces=())
        cut_up = [(batches[at], totals[at]) for at in own[key] if at in totals]
        cut_off_lengths(cut_up, line, shop, shop.unit_beside(unit))
        cost = sum_known([entry.cost for at in own[key] for entry in batches[at].entries])
        prints = {_prints_of(batches[at]) for at in own[key]}
        lines.append(replace(line, cost=cost, prints=prints.pop() if len(prints) == 1 else 1))
    nameless = [line.roles for line in lines if not line.sku]
    if shop.stock is not None and nameless:
        said.append(
            warning(
                f"not checked against the shelf: {'; '.join(nameless)} (no SKU is given)",
                None,
                "Give the SKU in the pattern's Fabrics sheet or the class's Colorways sheet.",
            )
        )
    return tuple(lines)


def _prints_of(batch: Batch) -> int:
    job = batch.entries[0].job
    return job.prints if job is not None else 1


def _say_shortages(
    pull: Sequence[PullLine],
    possible: int | None,
    runs_out: str,
    helps: dict[str, list[str]],
    said: list[Problem],
) -> None:
    said += (
        error(line.shortage, None, _say_help(helps.get(line.sku, [])))
        for line in pull
        if line.short
    )
    if possible is not None and runs_out:
        said.append(warning(say_too_few_kits(possible, runs_out), None, ""))


def _say_help(helps: Sequence[str]) -> str:
    if not helps:
        return "Restock it or make fewer kits; no other form or bag would help."
    return f"Restock it, make fewer kits, or use what is enough: {'; or '.join(helps)}."


def _assemble(
    pattern: Pattern,
    shop: Shop,
    class_sheet: ClassSheet,
    resolved: Resolved,
    number: str,
    not_complete: tuple[str, ...],
    entries: Sequence[Entry],
    pull: tuple[PullLine, ...],
    possible: int | None,
    runs_out: str,
    said: list[Problem],
) -> KitPlan:
    fabrics = tuple(_fabric_plan(entry, shop) for entry in entries)
    minutes = minutes_at_the_table(fabrics, shop)
    all_kits = resolved.kits + resolved.spare_kits
    each = [FabricCost(one.label, one.colorway.name, one.kits, one.cost) for one in entries]
    costs = cost_table(each, class_sheet, shop, minutes)
    known = [one.cost for one in each if one.cost is not None]
    complete = len(known) == len(each)
    unknown = [one.label for one in each if one.cost is None]
    if unknown and known:
        said.append(
            warning(
                f"no cost is known for {'; '.join(unknown)}: the cost of the kit is not known",
                None,
                "Give a cost in the Stock sheet, or in the Forms sheet.",
            )
        )
    shelf = [entry.shelf_price for entry in entries]
    price = None
    if not has_errors(said) or complete:
        price = kit_price(costs, shop, class_sheet, shelf, all_kits)
    return KitPlan(
        number=number,
        pattern=pattern,
        shop=shop,
        class_sheet=class_sheet,
        kits=resolved.kits,
        spare_kits=resolved.spare_kits,
        colorways=resolved.colorways,
        choices=(*resolved.choices, *one_more(entries, costs, price, shop, all_kits)),
        fabrics=fabrics,
        left_out=resolved.left_out,
        pull=pull,
        kits_possible=possible,
        runs_out=runs_out,
        costs=costs,
        fabric_cost=sum(known, Decimal(0)) if complete and known else None,
        price_per_kit=price,
        minutes=minutes,
        bag_labels=resolved.bag_labels,
        piece_labels=resolved.piece_labels,
        not_complete=not_complete,
        problems=tuple(said),
    )


def _fabric_plan(entry: Entry, shop: Shop) -> FabricPlan:
    if entry.per_kit is None or entry.per_kit.amount is None or entry.total is None:
        raise ValueError(f"{entry.label} was not planned")
    return FabricPlan(
        role=entry.fabric.role,
        colorway=entry.colorway.name,
        sku=entry.sku,
        group=entry.group,
        print_name=entry.print_name,
        form=entry.form,
        bag=entry.bag,
        kits=entry.kits,
        per_kit=entry.per_kit.amount,
        total=entry.total,
        job=entry.job,
        cut_with=entry.cut_with,
        cost=entry.cost,
        price=price_of(entry.cost, shop) if shop.markup else entry.shelf_price,
    )


def minutes_at_the_table(fabrics: Sequence[FabricPlan], shop: Shop) -> Fraction:
    """Minutes at the shop's table: cutting jobs once each, a pull a bag for uncut fabrics."""
    seconds = Fraction(0)
    counted: Counter[int] = Counter()
    for fabric in fabrics:
        if fabric.bag is Bag.PIECES and fabric.job is not None:
            counted[id(fabric.job)] += 1
            if counted[id(fabric.job)] == 1:
                seconds += fabric.job.minutes * 60
            continue
        seconds += shop.seconds_per_pull
        if fabric.form.by_length:
            seconds += fabric.kits * (shop.seconds_per_cut + shop.seconds_per_setting)
    return seconds / 60

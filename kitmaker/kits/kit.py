"""From one kit to the class, stage by stage; each is made from the one before.

Choices (:mod:`kitmaker.kits.choices`) → the fabrics of the kits, and what one kit takes of each
(:mod:`kitmaker.kits.fabrics`) → what is cut in one go, and what all kits take of it
(:mod:`kitmaker.kits.batches`) → what comes from where on the shelf (:mod:`kitmaker.kits.stock`)
→ how it is cut off that, and what it costs (:mod:`kitmaker.kits.cut_batches`) → the money of a
kit (:mod:`kitmaker.kits.costs`) → the checked :class:`~kitmaker.plans.KitPlan`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from kitmaker.errors import CannotBeMetError, Problem, error, has_errors, warning
from kitmaker.kits.against_amount import against_amounts
from kitmaker.kits.batches import Batch, batches_of, need_of, own_kits, take_all
from kitmaker.kits.by_lot import totals_of
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.costs import FabricCost, cost_table
from kitmaker.kits.cut_batches import (
    CutBatch,
    bag_uncut,
    cost_together,
    cut_up,
    minutes_of,
    shelf_price_of,
)
from kitmaker.kits.fabrics import (
    OneKit,
    Progress,
    entries_of,
    plan_kits_of,
    warn_of_broken_prints,
    warn_of_narrow_bolts,
)
from kitmaker.kits.onemore import one_more, say_margins
from kitmaker.kits.possible import find_help, kits_possible
from kitmaker.kits.price import average_price, kit_prices
from kitmaker.kits.several_lengths import lengths_of
from kitmaker.kits.stock import pull_line, warn_of_mixed_lots
from kitmaker.kits.yields import Taken
from kitmaker.lengths import Unit
from kitmaker.pattern import Pattern
from kitmaker.plans import (
    CostLine,
    FabricPlan,
    KitPlan,
    KitPrice,
    PullLine,
    say_too_few_kits,
    sum_known,
)
from kitmaker.shop import ClassSheet, Shop, Swatch


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What all kits take and where it comes from: batches by SKU, each with its pull line."""

    batches: tuple[Batch, ...]
    totals: dict[int, Taken]
    by_sku: tuple[tuple[tuple[int, ...], PullLine], ...]


@dataclass(frozen=True, slots=True)
class _Money:
    """The cost table, all fabrics' cost, the prices of kits, fabrics without a cost."""

    costs: tuple[CostLine, ...]
    fabric_cost: Decimal | None
    prices: tuple[KitPrice, ...]
    unknown: tuple[str, ...]


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

    Raises:
        OurFaultError: A plan did not pass kitmaker's own check.
    """
    problems_so_far = list(problems)
    drawn = _draw(pattern, shop, resolved, problems_so_far, progress)
    cut = _cut(drawn, shop, pattern.unit)
    pull = tuple(_pull(drawn, cut))
    possible, runs_out = _say_shortages(drawn, pattern, shop, resolved, problems_so_far, progress)
    money = _money(cut, shop, class_sheet, is_sure=not has_errors(problems_so_far))
    problems_so_far += _say_unknown(money)
    with_a_kit = dict(_with_a_kit_more(drawn, cut, shop, pattern.unit, progress))
    prices = resolved.class_prices or money.prices
    placed = dict(plan for batch in cut for plan in batch.fabric_plans(shop))
    fabrics = tuple(placed[at] for at in sorted(placed))
    problems_so_far += against_amounts(pattern, fabrics, shop.catalogue)
    return KitPlan(
        number=number,
        pattern=pattern,
        shop=replace(shop, swatches=tuple(_swatches_of(fabrics, shop))),
        class_sheet=class_sheet,
        kits=resolved.kits,
        spare_kits=resolved.spare_kits,
        colorways=resolved.colorways,
        choices=(
            *resolved.choices,
            *say_margins(money.costs, prices, shop),
            *one_more(cut, with_a_kit, class_sheet, shop),
        ),
        fabrics=fabrics,
        left_out=resolved.left_out,
        pull=pull,
        kits_possible=possible,
        runs_out=runs_out,
        costs=money.costs,
        fabric_cost=money.fabric_cost,
        price_per_kit=average_price(prices),
        minutes=minutes_of(cut, shop),
        bag_labels=resolved.bag_labels,
        piece_labels=resolved.piece_labels,
        not_complete=tuple(not_complete),
        problems=tuple(problems_so_far),
        prices=prices,
    )


def pull_of(
    pattern: Pattern, shop: Shop, resolved: Resolved, progress: Progress = lambda _: None
) -> tuple[tuple[PullLine, ...], tuple[Problem, ...]]:
    """Return what all kits of a class take from the shelf, without cutting it, and what is said.

    The lines are those of :func:`plan_kits`, without what they cost.

    Raises:
        CannotBeMetError: Pieces of a fabric do not fit its form.
    """
    problems: list[Problem] = []
    drawn = _draw(pattern, shop, resolved, problems, progress, to_pull=True)
    if has_errors(problems):
        raise CannotBeMetError(problems)
    pull = tuple(line for _, line in drawn.by_sku)
    return pull, (*problems, *warn_of_mixed_lots(pull))


def solve_ahead(pattern: Pattern, shop: Shop, resolved: Resolved) -> None:
    """Solve the cutting problems of :func:`pull_of`, so that their answers are known."""
    planned = plan_kits_of(entries_of(pattern, shop, resolved), [], to_pull=True)
    take_all(batches_of(planned), own_kits)


def _swatches_of(fabrics: Sequence[FabricPlan], shop: Shop) -> Iterator[Swatch]:
    """Yield what the plan's own fabrics look like: pictures are large."""
    skus = {fabric.sku.casefold() for fabric in fabrics}
    return (swatch for swatch in shop.swatches if swatch.sku.casefold() in skus)


def prices_of(
    pattern: Pattern, shop: Shop, class_sheet: ClassSheet, resolved: Resolved, progress: Progress
) -> tuple[KitPrice, ...]:
    """Return what the kits of a class sell for; nothing where it is not sure.

    The shop is as it was when the class was planned.
    """
    unsaid: list[Problem] = []
    drawn = _draw(pattern, shop, resolved, unsaid, progress)
    if has_errors(unsaid):
        return ()
    return _money(_cut(drawn, shop, pattern.unit), shop, class_sheet, is_sure=True).prices


def cost_alone(
    pattern: Pattern, shop: Shop, resolved: Resolved, chosen: FabricInKit, progress: Progress
) -> tuple[Decimal, bool] | None:
    """Return what a fabric alone costs for all kits, and whether the shelf lasts for it.

    None where its pieces do not fit its form, or its cost is not known.
    """
    unsaid: list[Problem] = []
    drawn = _draw(pattern, shop, replace(resolved, fabrics=(chosen,)), unsaid, progress)
    costs = [cost for batch in _cut(drawn, shop, pattern.unit) for cost in batch.costs]
    cost = sum_known(costs)
    if has_errors(unsaid) or cost is None:
        return None
    return cost, not any(line.short for _, line in drawn.by_sku)


def _draw(
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
    problems: list[Problem],
    progress: Progress,
    *,
    to_pull: bool = False,
) -> _Drawn:
    """Work out what all kits take, and which row of the shelf gives what."""
    entries = entries_of(pattern, shop, resolved)
    warn_of_narrow_bolts(entries, pattern.unit, problems)
    problems += warn_of_broken_prints(entries)
    kits = plan_kits_of(entries, problems, progress, to_pull=to_pull)
    drawn = _off_the_shelf(kits, shop, pattern.unit, progress)
    nameless = [line.roles for _, line in drawn.by_sku if not line.sku]
    if shop.stock is not None and nameless:
        problems.append(
            warning(
                f"not checked against the shelf: {'; '.join(nameless)} (no SKU is given)",
                None,
                "Give the SKU in the pattern's Fabrics sheet or the class's Colorways sheet.",
            )
        )
    return drawn


def _off_the_shelf(entries: Sequence[OneKit], shop: Shop, unit: Unit, progress: Progress) -> _Drawn:
    """Return what all kits of some fabrics take, and from which row of the shelf it comes."""
    batches = tuple(batches_of(entries))
    totals = totals_of(batches, own_kits, shop, progress)
    places: dict[str, list[int]] = {}
    for at, batch in enumerate(batches):
        places.setdefault(batch.entries[0].sku.casefold() or f"\0{at}", []).append(at)
    by_sku: list[tuple[tuple[int, ...], PullLine]] = []
    for key, needed in need_of(batches, own_kits, totals).items():
        line = pull_line(needed, shop, unit)
        if not needed.sku:
            line = replace(line, short="", pieces=(), missing=())
        by_sku.append((tuple(places[key]), line))
    return _Drawn(batches, totals, tuple(by_sku))


def _with_a_kit_more(
    drawn: _Drawn, cut: Sequence[CutBatch], shop: Shop, unit: Unit, progress: Progress
) -> Iterator[tuple[str, list[CutBatch]]]:
    """Yield each colorway, and every batch with a kit more of it, where its cost is known.

    The SKUs that the colorway takes are cut anew, all others stay as they are.
    """
    entries = [entry for batch in drawn.batches for entry in batch.entries]
    for colorway in {entry.colorway.name: entry.colorway for entry in entries}.values():
        more = replace(colorway, kits=(colorway.kits or 0) + 1)
        own = [
            places
            for places, _ in drawn.by_sku
            if any(
                entry.colorway == colorway for at in places for entry in drawn.batches[at].entries
            )
        ]
        anew = {at for places in own for at in places}
        if any(None in cut[at].costs for at in anew):
            continue
        entries_anew = (
            replace(entry, colorway=more) if entry.colorway == colorway else entry
            for at in sorted(anew)
            for entry in drawn.batches[at].entries
        )
        unsaid: list[Problem] = []
        kits = plan_kits_of(entries_anew, unsaid)
        if has_errors(unsaid):
            continue
        progress(f"working out one spare kit more{f' of {more.name}' if more.name else ''}")
        again = _cut(_off_the_shelf(kits, shop, unit, progress), shop, unit)
        yield colorway.name, [*(batch for at, batch in enumerate(cut) if at not in anew), *again]


def _cut(drawn: _Drawn, shop: Shop, unit: Unit) -> list[CutBatch]:
    """Cut every batch, off the lengths that the shelf gives for it."""
    cut: dict[int, CutBatch] = {}
    for places, line in drawn.by_sku:
        lengths = lengths_of([drawn.totals[at] for at in places if at in drawn.totals], line)
        own: list[CutBatch] = []
        for at in places:
            batch, taken = drawn.batches[at], drawn.totals.get(at)
            if taken is None:
                own.append(bag_uncut(batch, shop, unit))
            else:
                own.append(cut_up(batch, taken, lengths, shop, shop.unit_beside(unit)))
        cut.update(zip(places, cost_together(own, shop), strict=True))
    return [cut[at] for at in sorted(cut)]


def _pull(drawn: _Drawn, cut: Sequence[CutBatch]) -> Iterator[PullLine]:
    """Yield the pull list's lines with what they cost and how many prints they are."""
    for places, line in drawn.by_sku:
        own = [cut[at] for at in places]
        prints = {batch.job.prints if batch.job is not None else 1 for batch in own}
        cost = sum_known([cost for batch in own for cost in batch.costs])
        yield replace(line, cost=cost, prints=prints.pop() if len(prints) == 1 else 1)


def _say_shortages(
    drawn: _Drawn,
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
    problems: list[Problem],
    progress: Progress,
) -> tuple[int | None, str]:
    """Say what is short and what would help; return how many kits there could be, and why."""
    possible, runs_out = kits_possible(drawn.batches, shop, resolved, progress, drawn.totals)
    if possible is not None and possible >= resolved.kits + resolved.spare_kits:
        runs_out = ""
    for _, line in drawn.by_sku:
        if line.short:
            helps = find_help(pattern, shop, resolved, line.sku, progress)
            problems.append(error(line.shortage, None, _say_help(helps)))
    if possible is not None and runs_out:
        problems.append(warning(say_too_few_kits(possible, runs_out), None, ""))
    return possible, runs_out


def _say_help(helps: Sequence[str]) -> str:
    if not helps:
        return "Restock it or make fewer kits; no other form or bag would help."
    return f"Restock it, make fewer kits, or use what is enough: {'; or '.join(helps)}."


def _money(
    cut: Sequence[CutBatch], shop: Shop, class_sheet: ClassSheet, *, is_sure: bool
) -> _Money:
    """Reckon what the kits cost; a price only where it is sure, or every cost is known."""
    by_place = {
        place: FabricCost(
            label=entry.label,
            colorway=entry.colorway.name,
            kits=entry.kits,
            cost=cost,
            shelf=shelf,
            singly=shelf_price_of(entry, entry.amount, shop),
        )
        for cut_batch in cut
        for place, entry, cost, shelf in zip(
            cut_batch.batch.places,
            cut_batch.batch.entries,
            cut_batch.costs,
            cut_batch.shelf_prices,
            strict=True,
        )
    }
    fabrics = [by_place[place] for place in sorted(by_place)]
    costs = cost_table(fabrics, class_sheet, shop, minutes_of(cut, shop))
    fabric_cost = sum_known([fabric.cost for fabric in fabrics])
    is_sure = is_sure or fabric_cost is not None
    unknown = [fabric.label for fabric in fabrics if fabric.cost is None]
    return _Money(
        costs,
        fabric_cost if fabrics else None,
        kit_prices(fabrics, costs, class_sheet, shop) if is_sure else (),
        tuple(unknown) if len(unknown) < len(fabrics) else (),
    )


def _say_unknown(money: _Money) -> Iterator[Problem]:
    if money.unknown:
        yield warning(
            f"no cost is known for {'; '.join(money.unknown)}: the cost of the kit is not known",
            None,
            "Give a cost in the Stock sheet, or in the Forms sheet.",
        )

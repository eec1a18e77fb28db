"""``plan``: a class's kits, from files to a folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from kitmaker.commands.convert import say_proof
from kitmaker.commands.inputs import Inputs, plan_number, stop_on_errors
from kitmaker.errors import (
    CannotBeMetError,
    ExitCode,
    KitmakerError,
    Level,
    Problem,
    error,
    has_errors,
)
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.kits.finished import cloth_of_finished, leave_out_done
from kitmaker.kits.kit import plan_kits, price_of_a_kit
from kitmaker.kits.measured import lay_out_measured, say_changes
from kitmaker.kits.most import plan_most
from kitmaker.kits.stock import warn_of_mixed_lots
from kitmaker.paper.folder import PLAN, safe_folder_name, write_folder
from kitmaker.paper.labels import check_start_label, find_label_sheet
from kitmaker.paper.plan_json import plan_to_json
from kitmaker.paper.problem_json import dump, problems_json
from kitmaker.paper.render import PLAN_LINK, RESULTS_LINK, STOCK_AFTER_LINK, render_pages
from kitmaker.paper.results import build_results
from kitmaker.paper.sheets.saying import join_words
from kitmaker.paper.stamp import stamped
from kitmaker.paper.stock_after import build_stock_after, has_stock_after
from kitmaker.plans import Choice, FabricPlan, KitPlan, LabelChoice
from kitmaker.shop import Bag, Shop

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Finished:
    """A plan with everything that is written of it.

    Attributes:
        plan: The plan, with every problem known at its end.
        files: File name to its bytes.
        json: The plan as one JSON text.
        exit_code: How the command ends.
    """

    plan: KitPlan
    files: dict[str, bytes]
    json: str
    exit_code: ExitCode


def make_plan(
    inputs: Inputs,
    options: Options,
    *,
    leave_out_unread: bool = False,
    templates: Path | None = None,
    progress: Progress = lambda _: None,
) -> Finished:
    """Plan a class's kits and make every page of it; nothing is written yet.

    Args:
        inputs: What was read.
        options: What was asked for.
        leave_out_unread: Whether lines that could not be read are left out.
        templates: The shop's own templates.
        progress: Told what is being worked out.

    Raises:
        CannotBeMetError: Lines are unread, or a fabric's pieces fit no form asked for.
        UsageError: Choices contradict each other.
        UnreadableError: The shop's or the class's workbook has errors.
        OurFaultError: A plan did not pass kitmaker's own check.
    """
    stop_on_errors(inputs.shop_problems)
    unread = [problem for problem in inputs.reading.problems if problem.is_error]
    if unread and not leave_out_unread:
        raise CannotBeMetError([*inputs.reading.problems, _unread_hint(len(unread))])
    resolved = resolve(inputs.reading.pattern, inputs.shop, inputs.class_sheet, options)
    shop = inputs.shop
    changes: tuple[Problem, ...] = ()
    if inputs.measured:
        resolved, shop, changes = _from_measured(inputs, resolved, progress)
    if options.most_kits:
        resolved = plan_most(inputs.reading.pattern, shop, resolved, progress)
    _check_labels(resolved.bag_labels, inputs)
    _check_labels(resolved.piece_labels, inputs)
    number = plan_number(inputs.paths, (options, leave_out_unread, inputs.reading.pattern.size))
    plan = plan_kits(
        inputs.reading.pattern,
        shop,
        inputs.class_sheet,
        resolved,
        number=number,
        not_complete=tuple(str(problem) for problem in unread),
        problems=(*_as_left_out(inputs.problems), *changes),
        progress=progress,
    )
    plan = replace(plan, problems=(*plan.problems, *warn_of_mixed_lots(plan.pull)))
    cannot = [problem for problem in plan.problems if problem.is_error]
    if len(plan.fabrics) < _fabrics_wanted(plan, resolved.fabrics):
        raise CannotBeMetError(plan.problems)
    progress("writing the sheets")
    links = [RESULTS_LINK, PLAN_LINK]
    if has_stock_after(plan):
        links.insert(1, STOCK_AFTER_LINK)
    pages = render_pages(plan, templates, links, reading=inputs.reading)
    plan = replace(plan, problems=(*plan.problems, *pages.problems))
    files = {name: text.encode() for name, text in pages.files.items()}
    files["results.xlsx"] = build_results(plan)
    if has_stock_after(plan):
        files[STOCK_AFTER_LINK.file_name] = build_stock_after(plan)
    json = stamped(plan_to_json(plan, inputs.reading), (*files, PLAN))
    files[PLAN] = json.encode()
    met = not cannot and not has_errors(plan.problems)
    return Finished(plan, files, json, ExitCode.DONE if met else ExitCode.CANNOT_BE_MET)


def _from_measured(
    inputs: Inputs, resolved: Resolved, progress: Progress
) -> tuple[Resolved, Shop, tuple[Problem, ...]]:
    """Return choices and stock after the measuring, and what it changes."""
    pattern = inputs.reading.pattern
    left = leave_out_done(inputs.measured, resolved)
    used = cloth_of_finished(pattern, inputs.shop, resolved, left)
    shop = lay_out_measured(inputs.measured, pattern, inputs.shop, left, used)
    changes = say_changes(inputs.measured, pattern, inputs.shop, shop, left)
    skus = join_words(list(dict.fromkeys(piece.sku for piece in inputs.measured)))
    measured = Choice(label="Measured cloth", value=skus, source="--measured")
    price = price_of_a_kit(pattern, inputs.shop, inputs.class_sheet, resolved, progress)
    left = replace(left, choices=(*left.choices, measured), class_price=price)
    return left, shop, tuple(changes)


def _unread_hint(count: int) -> Problem:
    lines = "1 line is" if count == 1 else f"{count} lines are"
    return error(
        f"{lines} not read, so there is no plan",
        None,
        "Correct the cells named above; or add --leave-out-unread to plan without them (every "
        "sheet will say so).",
    )


def _as_left_out(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Lines left out on request are told as warnings."""
    return tuple(
        replace(problem, level=Level.WARNING, message=f"left out: {problem.message}")
        if problem.is_error
        else problem
        for problem in problems
    )


def _check_labels(choice: LabelChoice, inputs: Inputs) -> None:
    check_start_label(choice.start, find_label_sheet(choice.sheet_id, inputs.shop))


def _fabrics_wanted(plan: KitPlan, fabrics: tuple[object, ...]) -> int:
    colorways = sum(1 for colorway in plan.colorways if colorway.kits)
    return len(fabrics) * colorways


def write_plan(finished: Finished, out: Path | None) -> Path:
    """Write a plan's folder, whole or not at all.

    Args:
        finished: The plan with its files.
        out: The folder; where None one named after pattern and plan number, here.

    Returns:
        The folder.

    Raises:
        OutputError: It could not be written.
    """
    plan = finished.plan
    folder = out or Path(safe_folder_name(plan.pattern.name, plan.number))
    write_folder(folder, finished.files)
    return folder


def plan_text(plan: KitPlan, folder: Path) -> Iterator[str]:
    """Yield a plan in a few lines."""
    ways = [f"{one.kits} {one.name}" for one in plan.colorways if one.name and one.kits]
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
        sells = "" if plan.price_per_kit is None else f" and sells for {sign}{plan.price_per_kit}"
        yield f"One kit costs {join_words(said)}{sells}"


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

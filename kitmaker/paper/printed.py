"""Everything that is printed and kept of a plan: file name to bytes; nothing is written yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kitmaker.errors import Problem
from kitmaker.paper.folder import PLAN
from kitmaker.paper.plan_json import plan_to_json
from kitmaker.paper.render import PLAN_LINK, RESULTS_LINK, STOCK_AFTER_LINK, render_pages
from kitmaker.paper.results import build_results
from kitmaker.paper.stamp import stamped
from kitmaker.paper.stock_after import build_stock_after, has_stock_after
from kitmaker.plans import KitPlan


@dataclass(frozen=True, slots=True)
class Printed:
    """A plan with everything that is written of it: each file's bytes, and its JSON.

    ``problems`` are those that printing met: label texts that do not fit.
    """

    plan: KitPlan
    files: dict[str, bytes]
    json: str
    problems: tuple[Problem, ...]


def print_plan(
    plan: KitPlan,
    templates: Path | None = None,
    kinds: Sequence[str] | None = None,
    part: KitPlan | None = None,
) -> Printed:
    """Return the pages, workbooks and data of a plan.

    Args:
        plan: The plan.
        templates: The shop's own templates.
        kinds: Only these kinds of page, and no workbooks; None for all.
        part: The plan as its pages show it, where they show some kits only; what is kept
            beside them is the whole plan.

    Raises:
        UnreadableError: A template cannot be used.
    """
    links = [RESULTS_LINK, PLAN_LINK]
    if has_stock_after(plan):
        links.insert(1, STOCK_AFTER_LINK)
    pages = render_pages(part or plan, templates, links, only=kinds, reading=plan.reading)
    plan = replace(plan, problems=(*plan.problems, *pages.problems))
    files = {name: text.encode() for name, text in pages.files.items()}
    if kinds is None:
        files[RESULTS_LINK.file_name] = build_results(plan)
        if has_stock_after(plan):
            files[STOCK_AFTER_LINK.file_name] = build_stock_after(plan)
    json = stamped(plan_to_json(plan, plan.reading), (*files, PLAN), files)
    files[PLAN] = json.encode()
    return Printed(plan, files, json, pages.problems)

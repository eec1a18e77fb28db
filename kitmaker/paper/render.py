"""Pages from a plan: Jinja2 templates that lay out what the views say.

A shop may override any template with a file of the same name in a folder of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from kitmaker.errors import Problem
from kitmaker.paper.sheets.bag_labels import view_bag_labels
from kitmaker.paper.sheets.bagging import view_bagging
from kitmaker.paper.sheets.class_sheet import view_class_sheet
from kitmaker.paper.sheets.cutting_sheet import view_cutting_sheet
from kitmaker.paper.sheets.everything import view_everything
from kitmaker.paper.sheets.forms_page import FormsView
from kitmaker.paper.sheets.guide import view_guide
from kitmaker.paper.sheets.index import view_index
from kitmaker.paper.sheets.kit_cards import view_kit_cards
from kitmaker.paper.sheets.packing_list import view_packing_list
from kitmaker.paper.sheets.page import (
    BAG_LABELS,
    BAGGING,
    EVERYTHING,
    GUIDE,
    PIECE_LABELS,
    POSTER,
    SHEET,
    PageRef,
    list_pages,
)
from kitmaker.paper.sheets.piece_labels import view_piece_labels
from kitmaker.paper.sheets.poster import view_poster
from kitmaker.paper.sheets.pull_list import view_pull_list
from kitmaker.paper.sheets.reading_page import view_reading_page
from kitmaker.paper.templating import make_environment, render_template
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan

RESULTS_LINK = PageRef(
    "results.xlsx", "Workbook", "Results as a workbook", "every table, with live sums"
)
STOCK_AFTER_LINK = PageRef(
    "stock-after.xlsx", "Workbook", "Stock after the cut", "what is left on the shelf"
)
PLAN_LINK = PageRef("plan.json", "Data", "The plan as data", "to print these pages again")


@dataclass(frozen=True, slots=True)
class PageSet:
    """Every page of a plan by its file, and what was found while they were made."""

    files: Mapping[str, str]
    problems: tuple[Problem, ...]


def render_pages(
    plan: KitPlan,
    templates: Path | None = None,
    other_files: Sequence[PageRef] = (RESULTS_LINK, PLAN_LINK),
    only: Collection[str] | None = None,
    reading: PatternReading | None = None,
) -> PageSet:
    """Return every page of a plan, or those of some kinds.

    Args:
        plan: The plan, checked.
        templates: The shop's own folder of templates; None when it has none.
        other_files: Files written beside the pages, linked from the index.
        only: The kinds of page wanted, such as ``Pull list``; then there is no index, and no
            page leads to one. None for all.
        reading: What was read from the pattern, for a page of its own; None without one.

    Raises:
        UsageError: The shop's folder is no folder, or a label sheet is not known.
        UnreadableError: A template cannot be read or used.
    """
    environment = make_environment(templates)
    pages = list_pages(plan, with_reading=reading is not None, only=only)
    labels = {
        page.file_name: _LABEL_PAGES[page.file_name](plan, page)
        for page in pages
        if page.file_name in _LABEL_PAGES
    }
    problems = tuple(problem for _, refused in labels.values() for problem in refused)
    told = (*plan.problems, *problems)
    views: dict[str, tuple[str, object]] = {}
    for page in pages:
        if page.kind == "Plan":
            views[page.file_name] = "index.html.j2", view_index(plan, pages, told, other_files)
        elif page.kind == "Reading" and reading is not None:
            views[page.file_name] = "reading.html.j2", view_reading_page(plan, page, reading)
        elif page.file_name in labels:
            views[page.file_name] = "labels.html.j2", labels[page.file_name][0]
        elif page.file_name != EVERYTHING:
            template, view_of = _VIEWS[page.kind]
            views[page.file_name] = template, view_of(plan, page)
    files = {name: render_template(environment, *made) for name, made in views.items()}
    if only is None:
        parts = {
            name: Markup(render_template(environment, *made, as_part=True))  # noqa: S704  # escaped inside
            for name, made in views.items()
            if name not in labels
        }
        whole = view_everything(plan, pages, parts)
        files[EVERYTHING] = render_template(environment, "everything.html.j2", whole)
    return PageSet(files, problems)


def render_forms(view: FormsView) -> str:
    """Return the page of forms compared as HTML."""
    return render_template(make_environment(), "forms.html.j2", view)


def count_labels(plan: KitPlan) -> dict[str, int]:
    """Return how many labels of each kind of page a plan has: ``Bag labels``, ``Piece labels``."""
    counts: dict[str, int] = {}
    for page in list_pages(plan):
        if page.file_name in _LABEL_PAGES:
            view, _ = _LABEL_PAGES[page.file_name](plan, page)
            counts[page.kind] = sum(len(sheet.labels) for sheet in view.sheets)
    return counts


def find_label_problems(plan: KitPlan) -> tuple[Problem, ...]:
    """Return what the label pages of a plan have to say: texts that do not fit."""
    return tuple(
        problem
        for page in list_pages(plan)
        if page.file_name in _LABEL_PAGES
        for problem in _LABEL_PAGES[page.file_name](plan, page)[1]
    )


_LABEL_PAGES = {BAG_LABELS: view_bag_labels, PIECE_LABELS: view_piece_labels}

_VIEWS: dict[str, tuple[str, Callable[[KitPlan, PageRef], object]]] = {
    "Class sheet": ("class_sheet.html.j2", view_class_sheet),
    "Pull list": ("pull_list.html.j2", view_pull_list),
    "Packing list": ("packing_list.html.j2", view_packing_list),
    "Kit cards": ("kit_cards.html.j2", view_kit_cards),
    SHEET: ("cutting_sheet.html.j2", view_cutting_sheet),
    BAGGING: ("bagging.html.j2", view_bagging),
    POSTER: ("poster.html.j2", view_poster),
    GUIDE: ("guide.html.j2", view_guide),
}

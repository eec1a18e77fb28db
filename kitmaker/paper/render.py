"""Pages from a plan: Jinja2 templates that lay out what the views say.

A shop may override any template with a file of the same name in a folder of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import jinja2

from kitmaker.errors import Problem, UnreadableError, UsageError, error
from kitmaker.paper.sheets.bag_labels import view_bag_labels
from kitmaker.paper.sheets.cutting_sheet import view_cutting_sheet
from kitmaker.paper.sheets.forms_page import FormsView
from kitmaker.paper.sheets.guide import view_guide
from kitmaker.paper.sheets.index import FileLink, view_index
from kitmaker.paper.sheets.packing_list import view_packing_list
from kitmaker.paper.sheets.page import (
    BAG_LABELS,
    GUIDE,
    INDEX,
    PACKING_LIST,
    PIECE_LABELS,
    PULL_LIST,
    READING,
    PageRef,
    list_pages,
)
from kitmaker.paper.sheets.piece_labels import view_piece_labels
from kitmaker.paper.sheets.pull_list import view_pull_list
from kitmaker.paper.sheets.reading_page import view_reading_page
from kitmaker.paper.sheets.saying import printable
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan

_PACKAGE_DIR = Path(__file__).resolve().parent.parent

RESULTS_LINK = FileLink(
    file_name="results.xlsx", name="Results as a workbook", about="every table, with live sums"
)
STOCK_AFTER_LINK = FileLink(
    file_name="stock-after.xlsx", name="Stock after the cut", about="what is left on the shelf"
)
PLAN_LINK = FileLink(
    file_name="plan.json", name="The plan as data", about="to print these pages again"
)


@dataclass(frozen=True, slots=True)
class PageSet:
    """Every page of a plan, and what was found while they were made.

    Attributes:
        files: File name to the page's text.
        problems: Label texts that do not fit, for example.
    """

    files: Mapping[str, str]
    problems: tuple[Problem, ...]


def templates_dir() -> Path:
    """Return the folder of shipped templates.

    An installed wheel carries them inside the package; a checkout (an editable install
    included) has them at its top level, beside pyproject.toml.
    """
    installed = _PACKAGE_DIR / "templates"
    return installed if installed.is_dir() else _PACKAGE_DIR.parent / "templates"


def make_environment(templates: Path | None = None) -> jinja2.Environment:
    """Return the environment: everything is escaped, a name that is not there is a fault.

    Args:
        templates: The shop's own folder, looked at first; None when it has none.

    Raises:
        UsageError: The shop's folder is no folder.
    """
    if templates is not None and not templates.is_dir():
        raise UsageError(
            (
                error(
                    f"The templates folder '{templates.name}' is not a folder.",
                    None,
                    "Give the folder that holds your *.html.j2 files.",
                ),
            )
        )
    folders = [templates_dir()] if templates is None else [templates, templates_dir()]
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(folders),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalize,
    )


def _finalize(value: object) -> object:
    """Take from every printed text what no paper shows; markup of ours passes."""
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return printable(value)
    return value


def render_pages(
    plan: KitPlan,
    templates: Path | None = None,
    other_files: Sequence[FileLink] = (RESULTS_LINK, PLAN_LINK),
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
    problems: list[Problem] = []
    files: dict[str, str] = {}
    for page in pages if only is not None else pages[1:]:
        if page.file_name in _LABEL_PAGES:
            view, refused = _LABEL_PAGES[page.file_name](plan, page)
            problems += refused
            files[page.file_name] = _render(environment, "labels.html.j2", view)
        elif page.file_name == READING and reading is not None:
            read = view_reading_page(plan, page, reading)
            files[page.file_name] = _render(environment, "reading.html.j2", read)
        else:
            template, view_of = _template_of(page)
            files[page.file_name] = _render(environment, template, view_of(plan, page))
    if only is not None:
        return PageSet(files, tuple(problems))
    index = view_index(plan, pages, (*plan.problems, *problems), other_files)
    files = {INDEX: _render(environment, "index.html.j2", index), **files}
    return PageSet(files, tuple(problems))


def render_forms(view: FormsView) -> str:
    """Return the page of forms compared as HTML."""
    return _render(make_environment(), "forms.html.j2", view)


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
    PULL_LIST: ("pull_list.html.j2", view_pull_list),
    PACKING_LIST: ("packing_list.html.j2", view_packing_list),
    GUIDE: ("guide.html.j2", view_guide),
}


def _template_of(page: PageRef) -> tuple[str, Callable[[KitPlan, PageRef], object]]:
    table = page.job
    if table is None:
        return _VIEWS[page.file_name]
    return "cutting_sheet.html.j2", lambda plan, ref: view_cutting_sheet(plan, ref, table)


# What a shop's own template can end in; anything else is a fault of ours.
_TEMPLATE_FAULTS = (
    jinja2.TemplateError,
    ArithmeticError,
    AttributeError,
    LookupError,
    OSError,
    TypeError,
    ValueError,
)


def _render(environment: jinja2.Environment, name: str, view: object) -> str:
    try:
        return environment.get_template(name).render(page=view)
    except jinja2.TemplateSyntaxError as fault:
        raise UnreadableError(
            (
                error(
                    f"The template '{fault.name or name}' has a mistake in line {fault.lineno}: "
                    f"{fault.message}.",
                    None,
                    "Fix it, or take it out of the templates folder to use the shipped one.",
                ),
            )
        ) from fault
    except _TEMPLATE_FAULTS as fault:
        raise UnreadableError(
            (
                error(
                    f"The template '{name}' cannot be used: {fault}.",
                    None,
                    "Fix it, or take it out of the templates folder to use the shipped one.",
                ),
            )
        ) from fault

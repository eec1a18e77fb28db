"""Pages from a plan: Jinja2 templates that lay out what the views say.

A shop may override any template with a file of the same name in a folder of its own.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import jinja2
from markupsafe import Markup

from kitmaker.errors import Problem, UnreadableError, UsageError, error
from kitmaker.paper.sheets.bag_labels import view_bag_labels
from kitmaker.paper.sheets.bagging import view_bagging
from kitmaker.paper.sheets.class_sheet import view_class_sheet
from kitmaker.paper.sheets.cutting_sheet import view_cutting_sheet
from kitmaker.paper.sheets.everything import view_everything
from kitmaker.paper.sheets.forms_page import FormsView
from kitmaker.paper.sheets.guide import view_guide
from kitmaker.paper.sheets.index import FileLink, view_index
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
from kitmaker.paper.sheets.saying import printable
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan

_SCRIPT = "partials/ticks.js.j2"
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
    return _environment(templates) if templates is not None else _shipped_environment()


@cache
def _shipped_environment() -> jinja2.Environment:
    return _environment(None)


def _environment(templates: Path | None) -> jinja2.Environment:
    folders = [templates_dir()] if templates is None else [templates, templates_dir()]
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(folders),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalize,
    )
    environment.globals["as_part"] = False
    environment.globals["script_digest"] = _script_digest(environment)
    return environment


def page_script(environment: jinja2.Environment) -> str:
    """Return the one script that a plan's pages carry: what is checked stays checked."""
    return _told(_SCRIPT, lambda: environment.get_template(_SCRIPT).render())


def _script_digest(environment: jinja2.Environment) -> str:
    """Return what a page's policy knows its script by."""
    script = page_script(environment).encode()
    digest = base64.b64encode(hashlib.sha256(script).digest()).decode("ascii")
    return f"sha256-{digest}"


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
    files = {name: _render(environment, *made) for name, made in views.items()}
    if only is None:
        parts = {
            name: Markup(_render(environment, *made, as_part=True))  # noqa: S704  # escaped inside
            for name, made in views.items()
            if name not in labels
        }
        whole = view_everything(plan, pages, parts)
        files[EVERYTHING] = _render(environment, "everything.html.j2", whole)
    return PageSet(files, problems)


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
    "Class sheet": ("class_sheet.html.j2", view_class_sheet),
    "Pull list": ("pull_list.html.j2", view_pull_list),
    "Packing list": ("packing_list.html.j2", view_packing_list),
    "Kit cards": ("kit_cards.html.j2", view_kit_cards),
    SHEET: ("cutting_sheet.html.j2", view_cutting_sheet),
    BAGGING: ("bagging.html.j2", view_bagging),
    POSTER: ("poster.html.j2", view_poster),
    GUIDE: ("guide.html.j2", view_guide),
}


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


def _render(environment: jinja2.Environment, name: str, view: object, **more: bool) -> str:
    return _told(name, lambda: environment.get_template(name).render(page=view, **more))


def _told(name: str, render: Callable[[], str]) -> str:
    """Return what a template gives; a mistake in it is told with its place."""
    try:
        return render()
    except jinja2.TemplateSyntaxError as fault:
        said = f"'{fault.name or name}' has a mistake in line {fault.lineno}: {fault.message}"
        raise _unusable(said) from fault
    except _TEMPLATE_FAULTS as fault:
        raise _unusable(f"'{name}' cannot be used: {fault}") from fault


def _unusable(said: str) -> UnreadableError:
    return UnreadableError(
        (
            error(
                f"The template {said}.",
                None,
                "Fix it, or take it out of the templates folder to use the shipped one.",
            ),
        )
    )

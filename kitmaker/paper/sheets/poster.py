"""Table posters: a layout a page, to be read from the other side of the cutting table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from markupsafe import Markup

from kitmaker.cutting_jobs import CutLayout
from kitmaker.forms import Form
from kitmaker.lengths import Unit, say_size
from kitmaker.paper.diagrams import PieceName
from kitmaker.paper.poster_drawing import draw_poster
from kitmaker.paper.sheets.layout_view import piece_names
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import count_of
from kitmaker.plans import KitPlan

_ROOM = Fraction(410)  # points that a drawing and the lines below it have on a page
_LINE = 36
_CHARACTERS, _FEW_CHARACTERS = 50, 20  # in a line: below the drawing, beside it
_HIGH_FROM = Fraction(2, 5)  # along over across from which the steps stand beside the drawing


@dataclass(frozen=True, slots=True)
class _Head:
    fabric: str
    form: Form


@dataclass(frozen=True, slots=True)
class PosterStep:
    """A cut of the drawing: its step's number, its size, what comes of it, where it is marked."""

    number: int
    size: str
    gives: str
    marks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PosterLayout:
    """One page: a layout, how many are cut so, its drawing and its cuts, ``beside`` it or below."""

    name: str
    copies: str
    beside: bool
    drawing: Markup
    steps: tuple[PosterStep, ...]
    number: int
    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PosterView:
    """The posters of one cutting sheet: its fabric, its number, and one page for each layout."""

    head: PageHead
    fabric: str
    sheet: str
    foot: str
    layouts: tuple[PosterLayout, ...]


def view_poster(plan: KitPlan, page: PageRef) -> PosterView:
    """Return the posters of what is cut from one fabric."""
    (table,) = page.jobs
    job, unit = table.job, plan.pattern.unit
    layouts = () if job is None else job.layouts
    names = {} if job is None else piece_names(job)
    fabric = f"{table.roles} ({table.first.sku})" if table.first.sku else table.roles
    return PosterView(
        head=make_head(plan, page),
        fabric=fabric,
        sheet=page.heading.partition(":")[0].replace(page.kind, "sheet"),
        foot=f"{plan.pattern.name} · plan {plan.number}",
        layouts=tuple(
            _layout(layout, names, unit, (number, len(layouts)), _Head(fabric, table.form))
            for number, layout in enumerate(layouts, start=1)
        ),
    )


def _layout(
    layout: CutLayout,
    names: Mapping[str, PieceName],
    unit: Unit,
    numbered: tuple[int, int],
    head: _Head,
) -> PosterLayout:
    steps = tuple(_steps(layout, unit))
    copies = _say_copies(layout, unit, by_length=head.form.by_length)
    across, along = layout.sheet
    bare = tuple(replace(step, marks="") for step in steps)
    fits = [each for each in (steps, bare) if _lines(each, _FEW_CHARACTERS) * _LINE <= _ROOM]
    beside = along >= across * _HIGH_FROM and bool(fits)
    steps = fits[0] if beside else steps
    head_lines = len(f"{head.fabric} {layout.name} {copies}") // _CHARACTERS
    below = 0 if beside else _lines(steps, _CHARACTERS)
    room = _ROOM - (head_lines + below) * _LINE
    return PosterLayout(
        name=layout.name,
        copies=copies,
        beside=beside,
        # built by us of numbers, and of words that the drawing escapes
        drawing=Markup(draw_poster(layout, names, unit, room, beside=beside)),  # noqa: S704
        steps=steps,
        number=numbered[0],
        of=numbered[1],
    )


def _lines(steps: Iterable[PosterStep], characters: int) -> int:
    widths = (len(f"1 {step.size} → {step.gives} at {step.marks}") for step in steps)
    return sum(1 + width // characters for width in widths)


def _say_copies(layout: CutLayout, unit: Unit, *, by_length: bool) -> str:
    across, along = (say_size(side, unit) for side in layout.sheet)
    what = "strip" if by_length else "piece"
    return f"{count_of(layout.copies, what)}, {across} × {along} {unit.value}"


def _steps(layout: CutLayout, unit: Unit) -> list[PosterStep]:
    """Return the cuts in order, those that give the same once."""
    steps: dict[tuple[str, str], PosterStep] = {}
    for step in layout.steps:
        for measure in step.measures:
            size = f"{say_size(measure.size, unit)} {unit.value}"
            gives = measure.gives if measure.is_piece else f"part {measure.gives}"
            run = () if set(measure.positions) == {measure.size} else measure.longest_run
            marks = " · ".join(say_size(position, unit) for position in run)
            steps.setdefault((size, gives), PosterStep(step.number, size, gives, marks))
    return list(steps.values())

"""Table posters: a layout a page, to be read from the other side of the cutting table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice
from typing import Literal

from markupsafe import Markup

from kitmaker.cutting_jobs import CutLayout
from kitmaker.forms import Form
from kitmaker.lengths import Unit, say_size
from kitmaker.paper.diagrams import PieceName
from kitmaker.paper.poster_drawing import draw_poster, poster_scale
from kitmaker.paper.scale import Scale
from kitmaker.paper.sheets.layout_view import piece_names
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import count_of
from kitmaker.plans import KitPlan

_WIDE, _HIGH = Fraction(680), Fraction(410)  # points of a page for a drawing and its lines
_NARROW = Fraction(400)  # of a drawing that has its lines beside it
_LINE = 36
_CHARACTERS, _FEW_CHARACTERS = 50, 22  # in a line: below the drawing, beside it
_LEAST = Fraction(150)  # of a drawing's height, with the numbers beside the cloth
_CLEARER = Fraction(5, 4)  # as much larger as a drawing must get by being turned

Place = Literal["below", "beside", "apart"]
"""Where a page's steps stand: below its drawing, beside it, or on a page of their own."""


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
    """One page: a layout, how many are cut so, its drawing and its cuts, ``beside`` it or below.

    A layout of many cuts takes two pages: one without steps, and one without a drawing.
    """

    name: str
    copies: str
    beside: bool
    drawing: Markup | None
    steps: tuple[PosterStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PosterView:
    """The posters of one cutting sheet: its fabric, its number, and one page for each layout."""

    head: PageHead
    fabric: str
    sheet: str
    foot: str
    layouts: tuple[PosterLayout, ...]
    sides: int


def view_poster(plan: KitPlan, page: PageRef) -> PosterView:
    """Return the posters of what is cut from one fabric."""
    (table,) = page.jobs
    job, unit = table.job, plan.pattern.unit
    layouts = () if job is None else job.layouts
    names = {} if job is None else piece_names(job)
    fabric = f"{table.roles} ({table.first.sku})" if table.first.sku else table.roles
    sides = tuple(
        side
        for layout in layouts
        for side in _sides(layout, names, unit, _Head(fabric, table.form))
    )
    return PosterView(
        head=make_head(plan, page),
        fabric=fabric,
        sheet=page.heading.partition(":")[0].replace(page.kind, "sheet"),
        foot=f"{plan.pattern.name} · plan {plan.number}",
        layouts=sides,
        sides=len(sides),
    )


@dataclass(frozen=True, slots=True)
class _Arrangement:
    """Where a page's steps stand, which of their words it has room for, and its drawing."""

    place: Place
    steps: Sequence[PosterStep]
    scale: Scale
    turned: bool


def _sides(
    layout: CutLayout, names: Mapping[str, PieceName], unit: Unit, head: _Head
) -> list[PosterLayout]:
    """Return the page of a layout, or two: where the steps leave its drawing too little room."""
    copies = _say_copies(layout, unit, by_length=head.form.by_length)
    head_lines = len(f"{head.fabric} {layout.name} {copies}") // _CHARACTERS
    found = _arrange(layout, _steps(layout, unit), _HIGH - head_lines * _LINE)
    page = PosterLayout(
        name=layout.name,
        copies=copies,
        beside=found.place == "beside",
        drawing=draw_poster(layout, names, unit, found.scale, turned=found.turned),
        steps=tuple(found.steps),
    )
    if found.place != "apart":
        return [page]
    return [replace(page, steps=()), replace(page, drawing=None)]


def _arrange(layout: CutLayout, steps: Sequence[PosterStep], room: Fraction) -> _Arrangement:
    """Return the arrangement with the largest drawing; steps go apart where none is clear."""
    below = room - _lines(steps, _CHARACTERS) * _LINE
    options = _turned_or_not(layout, "below", steps, _WIDE, below) if below >= _LEAST else []
    bare = tuple(replace(step, marks="") for step in steps)
    fit = (each for each in (steps, bare) if _lines(each, _FEW_CHARACTERS) * _LINE <= room)
    for beside in islice(fit, 1):
        options += _turned_or_not(layout, "beside", beside, _NARROW, room)
    apart = max(_turned_or_not(layout, "apart", steps, _WIDE, room), key=_clearness)
    best = max(options, key=_clearness, default=apart)
    return best if _clearness(best) * _CLEARER**2 >= _clearness(apart) else apart


def _turned_or_not(
    layout: CutLayout, place: Place, steps: Sequence[PosterStep], wide: Fraction, high: Fraction
) -> list[_Arrangement]:
    return [
        _Arrangement(place, steps, poster_scale(layout, wide, high, turned=turned), turned)
        for turned in (False, True)
    ]


def _clearness(option: _Arrangement) -> Fraction:
    """Points an inch; a drawing that lies as on the cutting sheet may be a little smaller."""
    return option.scale.per_inch / (_CLEARER if option.turned else 1)


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

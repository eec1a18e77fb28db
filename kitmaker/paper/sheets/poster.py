"""Table posters: a layout a page, to be read from the other side of the cutting table."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from kitmaker.lengths import Unit, say_size
from kitmaker.paper.poster_drawing import draw_poster
from kitmaker.paper.sheets.layout_view import piece_names
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import count_of, join_words
from kitmaker.plans import CutLayout, KitPlan


@dataclass(frozen=True, slots=True)
class PosterStep:
    """A cut of the drawing: its step's number, its size, what comes of it, the ruler's numbers."""

    number: int
    size: str
    gives: str
    ruler: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PosterLayout:
    """One page: a layout, how many are cut so, its drawing and its cuts."""

    name: str
    copies: str
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
    roles = join_words(list(dict.fromkeys(fabric.role for fabric in table.fabrics)))
    return PosterView(
        head=make_head(plan, page),
        fabric=f"{roles} ({table.first.sku})" if table.first.sku else roles,
        sheet=page.heading.partition(":")[0].replace(page.kind, "sheet"),
        foot=f"{plan.pattern.name} · plan {plan.number}",
        layouts=tuple(
            PosterLayout(
                name=layout.name,
                copies=_say_copies(layout, unit, table.form.by_length),
                # built by us of numbers, and of words that the drawing escapes
                drawing=Markup(draw_poster(layout, names, unit)),  # noqa: S704
                steps=tuple(_steps(layout, unit)),
                number=number,
                of=len(layouts),
            )
            for number, layout in enumerate(layouts, start=1)
        ),
    )


def _say_copies(layout: CutLayout, unit: Unit, by_length: bool) -> str:
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
            ruler = " · ".join(say_size(position, unit) for position in run)
            steps.setdefault((size, gives), PosterStep(step.number, size, gives, ruler))
    return list(steps.values())

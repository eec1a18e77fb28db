"""The way in: problems first, then the whole kit at a glance, and every page linked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.errors import Problem
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head, say_colorway
from kitmaker.paper.sheets.pull_list import PullView, say_kits_possible, view_pull_lines
from kitmaker.paper.sheets.saying import say_minutes, say_money, say_one_fewer, say_proof, say_total
from kitmaker.plan import Choice, CuttingJob, FabricPlan, KitPlan
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemView:
    """A problem in words: what, where, and what to do."""

    word: str
    where: str
    message: str
    suggestion: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UseBar:
    """How a fabric's cloth is used: widths in percent, and the same in words."""

    used: str
    spare: str
    waste: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexFabric:
    """One line of the table of fabrics."""

    role: str
    colorway: str
    stock: str
    bag: str
    per_kit: str
    proof: str
    total: str
    total_proof: str
    cost: str
    use: UseBar | None
    page: PageRef


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyLine:
    """One line of the cost table."""

    label: str
    total: str
    per_kit: str
    is_total: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FileLink:
    """A file in the plan's folder."""

    file_name: str
    name: str
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexView:
    """The index page.

    Attributes:
        head: Of the page.
        problems, shortages: What is to be looked at first.
        kits_possible: In words; "" without a Stock sheet.
        fabrics, left_out: What the kit holds, and (role, reason) of what it does not.
        choices: The choices in force.
        figures: What a kit earns and what one more costs.
        costs_caption: How many kits the costs are for, and what one kit's column says.
        costs: The cost table; empty where nothing costs anything.
        price_per_kit: What a kit sells for.
        kit_fee: What of it is the fee for a kit; "" without one.
        minutes: At the cutting table in all.
        files: Every other file of the plan.
    """

    head: PageHead
    problems: tuple[ProblemView, ...]
    shortages: tuple[PullView, ...]
    kits_possible: str
    fabrics: tuple[IndexFabric, ...]
    left_out: tuple[tuple[str, str], ...]
    choices: tuple[Choice, ...]
    figures: tuple[Choice, ...]
    costs_caption: str
    costs: tuple[MoneyLine, ...]
    price_per_kit: str
    kit_fee: str
    minutes: str
    files: tuple[FileLink, ...]


def view_index(
    plan: KitPlan,
    pages: Sequence[PageRef],
    problems: Sequence[Problem],
    other_files: Sequence[FileLink],
) -> IndexView:
    """Return the index.

    Args:
        plan: The plan.
        pages: Every page, the index first.
        problems: The plan's, and what was found while the pages were made.
        other_files: Files beside the pages: workbooks, the plan as data.
    """
    lines = view_pull_lines(plan)
    return IndexView(
        head=make_head(plan, pages[0]),
        problems=tuple(_view_problem(one) for one in _errors_first(problems)),
        shortages=tuple(line for line in lines if line.short),
        kits_possible=say_kits_possible(plan),
        fabrics=tuple(_view_fabric(plan, fabric, pages) for fabric in plan.fabrics),
        left_out=tuple((out.role, out.reason or out.in_kit.value) for out in plan.left_out),
        choices=tuple(one for one in plan.choices if not _is_figure(one)),
        figures=tuple(one for one in plan.choices if _is_figure(one)),
        costs_caption=_say_costs_caption(plan),
        costs=tuple(
            MoneyLine(
                label=line.label,
                total=say_money(line.total, plan.shop.currency),
                per_kit=say_money(line.per_kit, plan.shop.currency),
                is_total=line.label == "Total",
            )
            for line in plan.costs
        ),
        price_per_kit=say_money(plan.price_per_kit, plan.shop.currency),
        kit_fee=say_money(plan.shop.kit_fee, plan.shop.currency) if plan.shop.kit_fee else "",
        minutes=say_minutes(plan.minutes),
        files=(
            *(
                FileLink(file_name=page.file_name, name=page.heading, about=page.about)
                for page in pages[1:]
            ),
            *other_files,
        ),
    )


_FIGURES = frozenset({"Margin", "One spare kit more", "One form more"})
_FIGURE_OF_A_COLORWAY = "One kit in "


def _is_figure(choice: Choice) -> bool:
    """Tell what was reckoned from what was chosen."""
    return choice.label in _FIGURES or choice.label.startswith(_FIGURE_OF_A_COLORWAY)


def _say_costs_caption(plan: KitPlan) -> str:
    spare = ", spare ones too" if plan.spare_kits else ""
    every = f"For all {plan.all_kits} kits{spare}" if plan.all_kits > 1 else "For the one kit"
    if len(plan.colorways) > 1:
        return f"{every}, and for one; the total for one is the average over the colorways"
    return f"{every}, and for one of them" if plan.all_kits > 1 else every


def _errors_first(problems: Sequence[Problem]) -> list[Problem]:
    return sorted(problems, key=lambda problem: not problem.is_error)


def _view_problem(problem: Problem) -> ProblemView:
    return ProblemView(
        word="Mend this" if problem.is_error else "Look at this",
        where=str(problem.location) if problem.location else "",
        message=problem.message,
        suggestion=problem.suggestion,
    )


def _view_fabric(plan: KitPlan, fabric: FabricPlan, pages: Sequence[PageRef]) -> IndexFabric:
    unit = plan.pattern.unit
    proof = say_proof(fabric.per_kit, fabric.form, unit)
    fewer = say_one_fewer(fabric.per_kit, fabric.form, unit)
    name = f"{fabric.role}, print {fabric.group}" if fabric.group else fabric.role
    return IndexFabric(
        role=name,
        colorway=say_colorway(fabric.colorway),
        stock=" ".join(part for part in (fabric.sku, fabric.print_name) if part),
        bag="bagged uncut" if fabric.bag is Bag.UNCUT else "cut into pieces",
        per_kit=f"{fabric.per_kit.buy} each",
        proof=f"{proof}; {fewer}" if fewer else proof,
        total=say_total(fabric),
        total_proof=(
            say_proof(fabric.total, fabric.form, unit) if fabric.bag is Bag.PIECES else ""
        ),
        cost=say_money(fabric.cost, plan.shop.currency),
        use=view_use(fabric.job) if fabric.job else None,
        page=next(page for page in pages if page.job and fabric in page.job.fabrics),
    )


def view_use(job: CuttingJob) -> UseBar | None:
    """Return how much of the cloth becomes needed pieces, spare pieces and waste."""
    cloth = sum(
        (layout.sheet[0] * layout.sheet[1] * layout.copies for layout in job.layouts), Fraction(0)
    )
    if not cloth:
        return None
    cut = sum(
        (placed.w * placed.h * layout.copies for layout in job.layouts for placed in layout.pieces),
        Fraction(0),
    )
    area = {placed.key: placed.w * placed.h for layout in job.layouts for placed in layout.pieces}
    spare = sum(
        (max(0, one.made - one.needed) * area.get(one.key, Fraction(0)) for one in job.pieces),
        Fraction(0),
    )
    spare_share = round(100 * spare / cloth)
    waste_share = round(100 * (cloth - cut) / cloth)
    used_share = 100 - spare_share - waste_share
    return UseBar(
        used=f"{used_share}%",
        spare=f"{spare_share}%",
        waste=f"{waste_share}%",
        says=f"used {used_share} %, spare {spare_share} %, left over {waste_share} %",
    )

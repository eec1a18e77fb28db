"""The way in: problems first, then the whole kit at a glance, and every page linked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from markupsafe import Markup

from kitmaker.errors import Problem
from kitmaker.paper.charts import draw_bar, draw_map
from kitmaker.paper.sheets.jobs import is_first_of_its_cut
from kitmaker.paper.sheets.page import (
    PageHead,
    PageRef,
    ProblemView,
    make_head,
    say_colorway,
    view_problem,
)
from kitmaker.paper.sheets.prices import PriceLine, say_prices
from kitmaker.paper.sheets.pull_list import say_kits_possible, say_short, view_pull_lines
from kitmaker.paper.sheets.saying import (
    joined,
    printable,
    say_left_over,
    say_minutes,
    say_money,
    say_proof,
    say_stock,
    say_sureness,
    say_total,
)
from kitmaker.paper.sheets.swatches import say_letters
from kitmaker.plans import Choice, FabricPlan, KitPlan, say_too_few_kits
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexFabric:
    """One line of the table of fabrics.

    What several fabrics are cut from together stands in the line of the first: the columns
    add up. In the lines of the others ``total`` says so, and ``use`` is "".

    Attributes:
        per_kit, proof: What one kit takes, and whether less would do.
        total, total_proof: Likewise for all kits.
        map: A small drawing of how it is cut up; "" where there is none.
        shelf: For each length or pile it is taken from a bar, and the same in words: at hand,
            taken, left; empty where that is not known, or stands in a line above.
        page: Its cutting sheet.
    """

    role: str
    colorway: str
    stock: str
    letters: str
    bag: str
    per_kit: str
    proof: str
    total: str
    total_proof: str
    map: Markup
    use: str
    shelf: tuple[tuple[Markup, str], ...]
    page: PageRef


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyLine:
    """One line of the cost table: a figure and a bar, or "", for each of its columns of one kit."""

    label: str
    total: str
    one_kit: tuple[tuple[str, Markup], ...]
    is_total: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexView:
    """The index page.

    Attributes:
        problems: What to look at first, shortages with what would help among them.
        changes: What is not as in the last plan of this folder; "" for nothing.
        kits_possible: In words; "" without a Stock sheet.
        left_out: (role, reason) of what the kit does not hold.
        figures: What a kit earns and what one more costs.
        costs_of_one: The headings of the columns for one kit, one for each colorway.
        costs: The cost table; empty where no cost is known.
        prices: What a kit sells for and how that came about, colorways that differ apart.
    """

    head: PageHead
    problems: tuple[ProblemView, ...]
    changes: str
    kits_possible: str
    fabrics: tuple[IndexFabric, ...]
    left_out: tuple[tuple[str, str], ...]
    choices: tuple[Choice, ...]
    figures: tuple[Choice, ...]
    costs_caption: str
    costs_of_one: tuple[str, ...]
    costs: tuple[MoneyLine, ...]
    prices: tuple[PriceLine, ...]
    minutes: str
    files: tuple[PageRef, ...]


def view_index(
    plan: KitPlan,
    pages: Sequence[PageRef],
    problems: Sequence[Problem],
    other_files: Sequence[PageRef],
) -> IndexView:
    """Return the index, with the problems of the plan and of its pages, and all files beside it."""
    ways = [name for name, _ in plan.costs[-1].one_kit] if plan.costs else []
    return IndexView(
        head=make_head(plan, pages[0]),
        problems=_view_problems(plan, problems),
        changes=plan.changes_said,
        kits_possible=say_kits_possible(plan),
        fabrics=tuple(_view_fabric(plan, fabric, pages) for fabric in plan.fabrics),
        left_out=tuple((out.role, out.reason or out.in_kit.value) for out in plan.left_out),
        choices=tuple(choice for choice in plan.choices if not _is_figure(choice)),
        figures=tuple(choice for choice in plan.choices if _is_figure(choice)),
        costs_caption=_say_costs_caption(plan),
        costs_of_one=tuple(f"One kit, {way}" if way else "One kit" for way in ways),
        costs=tuple(_view_costs(plan, ways)),
        prices=say_prices(plan),
        minutes=say_minutes(plan.minutes),
        files=(*pages[1:], *other_files),
    )


def _view_costs(plan: KitPlan, ways: Sequence[str]) -> Iterator[MoneyLine]:
    """Yield the cost table's lines, each figure of a kit with a bar against the dearest."""
    if all(line.total is None for line in plan.costs):
        return
    dearest = max(
        (Fraction(cost or 0) for line in plan.costs[:-1] for _, cost in line.one_kit),
        default=Fraction(0),
    )
    for line in plan.costs:
        costs = dict(line.one_kit)
        is_total = line.label == "Total"
        yield MoneyLine(
            label=line.label,
            total=say_money(line.total, plan.shop.currency),
            one_kit=tuple(
                (
                    say_money(costs[way], plan.shop.currency) if way in costs else "",
                    draw_bar([Fraction(costs[way] or 0)], dearest)
                    if costs.get(way) and not is_total
                    else Markup(),
                )
                for way in ways
            ),
            is_total=is_total,
        )


_FIGURES = frozenset({"Margin", "One spare kit more", "One form more"})
_FIGURE_OF_A_COLORWAY = "One kit in "


def _is_figure(choice: Choice) -> bool:
    return choice.label in _FIGURES or choice.label.startswith(_FIGURE_OF_A_COLORWAY)


def _say_costs_caption(plan: KitPlan) -> str:
    spare = ", spare ones too" if plan.spare_kits else ""
    every = f"For all {plan.all_kits} kits{spare}" if plan.all_kits > 1 else "For the one kit"
    return f"{every}, and for one kit" if plan.all_kits > 1 else every


def _view_problems(plan: KitPlan, problems: Sequence[Problem]) -> tuple[ProblemView, ...]:
    """Say shortages first, each once with what would help, then errors, then warnings.

    The number of complete kits has a line of its own and is not said again here.
    """
    helps = {problem.message: problem.suggestion for problem in problems}
    shortages = [
        ProblemView(
            say_stock(line.sku, line.print_name),
            line.roles,
            f"{say_short(line)}.",
            helps.get(line.shortage, ""),
        )
        for line in plan.pull
        if line.short
    ]
    told = {line.shortage for line in plan.pull}
    if plan.kits_possible is not None:
        told.add(say_too_few_kits(plan.kits_possible, plan.runs_out))
    others = sorted(
        (problem for problem in problems if problem.message not in told),
        key=lambda problem: not problem.is_error,
    )
    return (*shortages, *map(view_problem, others))


def _view_fabric(plan: KitPlan, fabric: FabricPlan, pages: Sequence[PageRef]) -> IndexFabric:
    unit = plan.pattern.unit
    name = fabric.name
    is_first = is_first_of_its_cut(plan, fabric)
    return IndexFabric(
        role=name,
        colorway=say_colorway(fabric.colorway),
        stock=say_stock(fabric.sku, fabric.print_name),
        letters=say_letters([fabric]),
        bag="bagged uncut" if fabric.bag is Bag.UNCUT else "cut into pieces",
        per_kit=fabric.per_kit.buy,
        proof=say_sureness(fabric.per_kit, fabric.form, unit),
        total=say_total(fabric) if is_first else "cut together with a fabric above",
        total_proof=(
            say_proof(fabric.total, fabric.form, unit)
            if fabric.bag is Bag.PIECES and is_first
            else ""
        ),
        map=_map_of(fabric) if is_first else Markup(),
        use=say_use(fabric) if is_first else "",
        shelf=tuple(_shelf_of(plan, fabric)),
        page=next(page for page in pages if any(fabric in job.fabrics for job in page.jobs)),
    )


def _map_of(fabric: FabricPlan) -> Markup:
    if fabric.job is None:
        return Markup()
    letters = {piece.key: printable(piece.letter) for piece in fabric.job.pieces}
    return draw_map(fabric.job.layouts, letters, f"how {printable(fabric.name)} is cut up")


def _shelf_of(plan: KitPlan, fabric: FabricPlan) -> Iterator[tuple[Markup, str]]:
    """Yield what is at hand of a fabric's cloth, taken and left, in the first line that has it."""
    first = next(other for other in plan.fabrics if other.sku == fabric.sku)
    for line, view in zip(plan.pull, view_pull_lines(plan), strict=True):
        if line.sku != fabric.sku or not line.sku or first is not fabric:
            continue
        for piece, stock in zip(line.pieces, view.stock, strict=True):
            sentence = f"{stock.at_hand} at hand, {stock.take} taken, {stock.left} left"
            yield draw_bar([piece.take, piece.left], piece.at_hand), sentence
        if line.short:
            yield Markup(), "short: see above"


def say_use(fabric: FabricPlan) -> str:
    """Say how much of the cloth becomes needed pieces, extra pieces and leftovers."""
    job = fabric.job
    if job is None:
        return "as the pattern states it"
    cloth = job.cloth(fabric.form, fabric.per_kit if fabric.bag is Bag.UNCUT else fabric.total)
    if not cloth:
        return ""
    cut = sum(
        (placed.w * placed.h * layout.copies for layout in job.layouts for placed in layout.pieces),
        Fraction(0),
    )
    area = {placed.key: placed.w * placed.h for layout in job.layouts for placed in layout.pieces}
    spare = sum(
        (
            max(0, piece.made - piece.needed) * area.get(piece.key, Fraction(0))
            for piece in job.pieces
        ),
        Fraction(0),
    )
    spare_share = round(100 * spare / cloth)
    waste_share = round(100 * (cloth - cut) / cloth)
    shares = (
        f"{100 - spare_share - waste_share} % used",
        f"{spare_share} % extra pieces" if spare_share else "",
        say_left_over((cloth - cut) / cloth),
    )
    return joined(", ", *shares)

"""The class sheet: one page for the whole team, every fabric and who does what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from kitmaker.paper.sheets.jobs import TableJob, by_name, on_one_table
from kitmaker.paper.sheets.kit_numbers import number_kits, say_kits_of, say_numbers, say_which
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.pull_list import say_kits_possible
from kitmaker.paper.sheets.saying import (
    count_of,
    say_minutes,
    say_table_pull,
    say_time,
)
from kitmaker.paper.sheets.swatches import say_letters
from kitmaker.plans import KitPlan

_ROOMY = 14  # fabrics that fit the page in the larger type


@dataclass(frozen=True, slots=True)
class TeamCloth:
    """What a colorway takes of a fabric, for all its kits.

    Attributes:
        amount: How much; "" where the colorway has none of it.
        about: Its number and name, or with whose it is cut.
        span: How many colorways side by side share it, cut in one go.
    """

    amount: str
    about: str
    span: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamFabric:
    """A fabric: its pieces, how much each colorway takes, what to do, how long."""

    letters: str
    name: str
    cloths: tuple[TeamCloth, ...]
    to_do: str
    minutes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A stage of the work; ``minutes`` is "" where they are not known."""

    number: int
    name: str
    minutes: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassSheetView:
    """The class sheet; ``is_long`` where there are so many fabrics that they are set smaller."""

    head: PageHead
    kits: str
    shelf: str
    problems: str
    ways: tuple[str, ...]
    fabrics: tuple[TeamFabric, ...]
    is_long: bool
    stages: tuple[Stage, ...]


def view_class_sheet(plan: KitPlan, page: PageRef) -> ClassSheetView:
    """Return the page for the team."""
    sheets: dict[str, int] = {}
    jobs = on_one_table(plan)
    for number, job in enumerate((job for job in jobs if job.is_cut), start=1):
        sheets[_key(job)] = number
    named = by_name(jobs)
    is_long = len(named) > _ROOMY
    fabrics = tuple(
        _fabric(plan, name, same, sheets, is_long=is_long) for name, same in named.items()
    )
    return ClassSheetView(
        head=make_head(plan, page),
        kits=say_kits_of(plan),
        shelf=say_kits_possible(plan).rstrip("."),
        problems=_say_problems(plan),
        ways=tuple(
            f"{way.name}, {say_which(plan, kits).lower()}" if way.name else "In all"
            for way, kits in number_kits(plan)
            if kits
        ),
        fabrics=fabrics,
        is_long=is_long,
        stages=_stages(plan, jobs),
    )


def _say_problems(plan: KitPlan) -> str:
    short = sum(1 for line in plan.pull if line.short)
    if short:
        return f"Short of {count_of(short, 'fabric')}: see the pull list"
    if plan.problems:
        return f"{count_of(len(plan.problems), 'thing')} to look at first: see the index"
    return "No problems found"


def _fabric(
    plan: KitPlan, name: str, tables: list[TableJob], sheets: dict[str, int], *, is_long: bool
) -> TeamFabric:
    fabrics = [fabric for table in tables for fabric in table.fabrics]
    numbers = [sheets[_key(table)] for table in tables if table.is_cut]
    sheet = "sheets" if len(numbers) > 1 else "sheet"
    to_do = [f"cut, {sheet} {say_numbers(numbers)}"] if numbers else []
    to_do += dict.fromkeys(_say_bagging(table) for table in tables if not table.is_cut)
    minutes = sum((_minutes(plan, table) for table in tables), Fraction(0))
    ways = [way.name for way, kits in number_kits(plan) if kits]
    return TeamFabric(
        letters=say_letters(fabrics),
        name=name,
        cloths=tuple(_cloths(ways, tables, is_long=is_long)),
        to_do="; ".join(to_do),
        minutes=say_time(minutes),
    )


def _cloths(ways: list[str], tables: list[TableJob], *, is_long: bool) -> Iterator[TeamCloth]:
    """Yield what each colorway takes; what several have cut in one go is one amount for all."""
    for table, run in groupby(ways, lambda way: _table_of(way, tables)):
        side_by_side = tuple(run)
        if table is None:
            yield from (TeamCloth("", "") for _ in side_by_side)
            continue
        stock = table.first.sku if is_long and table.first.sku else table.stock
        if table.is_cut:
            with_whom = table.first.colorway
            is_first = with_whom in side_by_side
            amount = say_table_pull(table.fabrics) if is_first else f"cut with {with_whom}"
            yield TeamCloth(amount, stock, len(side_by_side))
            continue
        for way in side_by_side:
            own = [fabric for fabric in table.fabrics if fabric.colorway == way]
            yield TeamCloth(say_table_pull(own), stock)


def _table_of(way: str, tables: list[TableJob]) -> TableJob | None:
    return next(
        (table for table in tables if any(fabric.colorway == way for fabric in table.fabrics)), None
    )


def _key(table: TableJob) -> str:
    return table.first.name + table.first.colorway


def _say_bagging(table: TableJob) -> str:
    return "cut lengths, bag uncut" if table.form.by_length else "count out, bag uncut"


def _minutes(plan: KitPlan, table: TableJob) -> Fraction:
    if table.is_cut:
        return table.job.minutes if table.job is not None else Fraction(0)
    shop = plan.shop
    each = shop.seconds_per_cut + shop.seconds_per_setting if table.form.by_length else 0
    return sum(
        (Fraction(shop.seconds_per_pull + fabric.kits * each, 60) for fabric in table.fabrics),
        Fraction(0),
    )


def _stages(plan: KitPlan, jobs: tuple[TableJob, ...]) -> tuple[Stage, ...]:
    cut = [job for job in jobs if job.is_cut]
    uncut = [job for job in jobs if not job.is_cut]
    cutting = sum((_minutes(plan, job) for job in jobs), Fraction(0))
    a_pull = Fraction(plan.shop.seconds_per_pull, 60)
    first = f"Cutting sheets 1 to {len(cut)}" if len(cut) > 1 else "Cutting sheet 1"
    what = [f"{first}: one kit first, check it, then the rest."] if cut else []
    what += ["Then the bagging sheet." if cut else "By the bagging sheet."] if uncut else []
    return (
        Stage(
            number=1,
            name="Pull",
            minutes=say_minutes(len(plan.pull) * a_pull),
            what=f"{count_of(len(plan.pull), 'fabric')}, by the pull list.",
        ),
        Stage(number=2, name="Cut", minutes=say_minutes(cutting), what=" ".join(what)),
        Stage(
            number=3,
            name="Bag",
            minutes=say_minutes(plan.all_kits * a_pull),
            what="Labels, kit cards and guides in; check one bag whole, then the rest by the "
            "packing list.",
        ),
    )

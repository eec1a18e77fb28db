"""The class sheet: one page for the whole team, every fabric and who does what."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.paper.sheets.jobs import TableJob, by_name, on_one_table
from kitmaker.paper.sheets.kit_numbers import say_kits_of
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.pull_list import say_kits_possible
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    say_minutes,
    say_stock,
    say_table_pull,
)
from kitmaker.paper.sheets.swatches import say_letters
from kitmaker.plans import KitPlan

_ROOMY = 22  # lines of cloth that fit the page in the larger type


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamCloth:
    """How much of one stock number in all, and for whom."""

    amount: str
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamFabric:
    """One fabric in all colorways: its pieces, how much in all, what to do, how long."""

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
    """The class sheet; ``shelf`` and ``problems`` say in words how it stands."""

    head: PageHead
    kits: str
    shelf: str
    problems: str
    fabrics: tuple[TeamFabric, ...]
    is_long: bool
    stages: tuple[Stage, ...]


def view_class_sheet(plan: KitPlan, page: PageRef) -> ClassSheetView:
    """Return the page for the team."""
    sheets: dict[str, int] = {}
    jobs = on_one_table(plan)
    for number, job in enumerate((job for job in jobs if job.is_cut), start=1):
        sheets[job.first.name + job.first.colorway] = number
    fabrics = tuple(_fabric(plan, name, same, sheets) for name, same in by_name(jobs).items())
    return ClassSheetView(
        head=make_head(plan, page),
        kits=_say_kits(plan),
        shelf=say_kits_possible(plan).rstrip("."),
        problems=_say_problems(plan),
        fabrics=fabrics,
        is_long=sum(len(one.cloths) for one in fabrics) > _ROOMY,
        stages=_stages(plan, jobs),
    )


def _say_kits(plan: KitPlan) -> str:
    ways = [f"{one.kits} {one.name}" for one in plan.colorways if one.name and one.kits]
    return f"{say_kits_of(plan)} ({', '.join(ways)})" if ways else say_kits_of(plan)


def _say_problems(plan: KitPlan) -> str:
    short = sum(1 for line in plan.pull if line.short)
    if short:
        return f"Short of {count_of(short, 'fabric')}: see the pull list"
    if plan.problems:
        return f"{count_of(len(plan.problems), 'thing')} to look at first: see the index"
    return "No problems found"


def _fabric(plan: KitPlan, name: str, tables: list[TableJob], sheets: dict[str, int]) -> TeamFabric:
    fabrics = [fabric for table in tables for fabric in table.fabrics]
    to_do = []
    for table in tables:
        number = sheets.get(table.first.name + table.first.colorway, 0)
        to_do.append(f"cut, sheet {number}" if table.is_cut else _say_bagging(table))
    minutes = sum((_minutes(plan, table) for table in tables), Fraction(0))
    return TeamFabric(
        letters=say_letters(fabrics),
        name=name,
        cloths=tuple(
            TeamCloth(
                amount=say_table_pull(table.fabrics),
                about=_about(table),
            )
            for table in tables
        ),
        to_do="; ".join(dict.fromkeys(to_do)),
        minutes=say_minutes(minutes).removeprefix("about "),
    )


def _about(table: TableJob) -> str:
    stock = say_stock(table.first.sku, table.first.print_name)
    ways = dict.fromkeys(one.colorway for one in table.fabrics if one.colorway)
    return " · ".join(part for part in (stock, join_words(list(ways))) if part)


def _say_bagging(table: TableJob) -> str:
    return "cut off, bag uncut" if table.form.by_length else "count out, bag uncut"


def _minutes(plan: KitPlan, table: TableJob) -> Fraction:
    """Return what a fabric takes at the table, as the plan reckons it."""
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

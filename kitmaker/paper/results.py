"""The results workbook: one table a sheet, ready to print, with sums that stay live."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from kitmaker.lengths import Length, Unit
from kitmaker.paper.movements import list_movements
from kitmaker.paper.sheets.jobs import is_first_of_its_cut, on_one_table
from kitmaker.paper.sheets.kit_numbers import number_kits, say_kits_of
from kitmaker.paper.sheets.page import say_pattern
from kitmaker.paper.sheets.prices import price_facts
from kitmaker.paper.sheets.pull_list import say_short
from kitmaker.paper.sheets.saying import (
    count_of,
    say_cut,
    say_piece_size,
    say_proof,
    say_sewn,
    say_total,
)
from kitmaker.paper.sheets.settings_used import NOT_COMPLETE
from kitmaker.paper.tables import Column, Table, Value, make_formats, write_table
from kitmaker.paper.workbooks import build_workbook
from kitmaker.plans import FabricPlan, KitPlan


def build_results(plan: KitPlan) -> bytes:
    """Return the results workbook of a plan; the same plan gives the same bytes."""

    def write(book: Any) -> None:
        formats = make_formats(book, plan.shop.currency)
        about = say_pattern(plan.pattern)
        if plan.not_complete:
            about = f"{NOT_COMPLETE}: {about}"
        for table in tables_of(plan):
            if plan.not_complete:
                table = replace(table, title=f"{NOT_COMPLETE}: {table.title}")
            write_table(book, formats, table, about, f"plan {plan.number}")

    return build_workbook(f"{plan.pattern.name}: plan {plan.number}", write)


def tables_of(plan: KitPlan) -> tuple[Table, ...]:
    """Return the tables of a plan, in the order of the workbook's sheets."""
    return (
        _kit_table(plan),
        _fabric_table(plan),
        _piece_table(plan),
        _pull_table(plan),
        _cost_table(plan),
        _offcut_table(plan),
        _movement_table(plan),
        _problem_table(plan),
    )


def _in_unit(length: Length | None, unit: Unit) -> Fraction | None:
    return None if length is None else Fraction(length / unit.length)


def _bolt(length: Length | None, unit: Unit) -> Fraction | None:
    return None if length is None else Fraction(length / unit.bolt_length)


def _kit_table(plan: KitPlan) -> Table:
    facts: list[tuple[Value, ...]] = [
        ("Pattern", say_pattern(plan.pattern), "pattern"),
        ("Kits", say_kits_of(plan), "plan"),
    ]
    for colorway, kits in number_kits(plan):
        if colorway.name:
            facts.append((f"Colorway {colorway.name}", count_of(len(kits), "kit"), "plan"))
    if plan.kits_possible is not None:
        facts.append(("Complete kits possible", str(plan.kits_possible), "stock"))
    facts += [(f"Not in the kit: {out.role}", out.reason, "plan") for out in plan.left_out]
    facts += [(f"{NOT_COMPLETE}, left out", line, "plan") for line in plan.not_complete]
    facts += price_facts(plan)
    facts += [(choice.label, choice.value, choice.source) for choice in plan.choices]
    columns = (Column("What"), Column("In force"), Column("From"))
    return Table("Kit", "The kit and the settings used", columns, tuple(facts))


def _fabric_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    bolt = unit.bolt_unit
    columns = (
        Column("Fabric"),
        Column("Colorway"),
        Column("SKU"),
        Column("Print"),
        Column("Form"),
        Column("Bag"),
        Column("Kits", "count"),
        Column("One kit"),
        Column("How sure"),
        Column("All kits"),
        Column(f"All kits, {bolt}", "number"),
        Column("Minutes", "number"),
        Column("Cost", "money", summed=True),
    )
    rows = tuple(_fabric_row(plan, fabric) for fabric in plan.fabrics)
    return Table("Fabrics", "Fabrics", columns, rows)


def _fabric_row(plan: KitPlan, fabric: FabricPlan) -> tuple[Value, ...]:
    unit = plan.pattern.unit
    is_first = is_first_of_its_cut(plan, fabric)
    return (
        fabric.name,
        fabric.colorway,
        fabric.sku,
        fabric.print_name,
        fabric.form.name,
        fabric.bag.value,
        fabric.kits,
        fabric.per_kit.buy,
        say_proof(fabric.per_kit, fabric.form, unit),
        say_total(fabric),
        _bolt(fabric.total.buy_length, unit) if is_first else None,
        fabric.job.minutes if fabric.job and is_first else None,
        fabric.cost,
    )


def _piece_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("Fabric"),
        Column("Colorway"),
        Column("SKU"),
        Column("Piece"),
        Column("Name"),
        Column("Cut size"),
        Column(f"Across, {unit.value}", "number"),
        Column(f"Along, {unit.value}", "number"),
        Column("Per kit", "count"),
        Column("Needed", "count"),
        Column("Made", "count"),
        Column("Counted for"),
        Column("To be sewn"),
    )
    rows = tuple(
        (
            needed.role,
            needed.colorway,
            table.first.sku,
            needed.letter,
            needed.piece.name,
            say_piece_size(needed, unit),
            _in_unit(needed.across, unit),
            _in_unit(needed.along, unit),
            needed.per_kit,
            needed.needed,
            needed.made,
            "all kits" if table.is_cut else "one kit",
            say_sewn(needed.piece, needed.needed, unit),
        )
        for table in on_one_table(plan)
        for job in ([table.job] if table.job else [fabric.job for fabric in table.fabrics])
        if job is not None
        for needed in job.pieces
    )
    return Table("Pieces", "Pieces", columns, rows)


def _pull_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("SKU"),
        Column("Print"),
        Column("For"),
        Column("Pull"),
        Column(f"Length, {unit.bolt_unit}", "number"),
        Column(f"At hand, {unit.bolt_unit}", "number"),
        Column("Forms at hand", "count"),
        Column("Shortage"),
        Column("Cost", "money", summed=True),
    )
    rows = tuple(
        (
            line.sku or "no SKU",
            line.print_name,
            line.roles,
            line.buy,
            _bolt(line.length, unit) if line.length else None,
            _bolt(line.at_hand, unit),
            sum(line.forms_at_hand) if line.forms_at_hand else None,
            say_short(line),
            line.cost,
        )
        for line in plan.pull
    )
    return Table("Pull list", "Pull list", columns, rows)


def _cost_table(plan: KitPlan) -> Table:
    ways = [name for name, _ in plan.costs[-1].one_kit] if plan.costs else []
    columns = (
        Column("What"),
        Column("All kits", "money", summed=True),
        *(
            Column(f"One kit, {way}" if way else "One kit", "money", summed=True)
            for way in ways or [""]
        ),
    )
    rows = tuple(
        (line.label, line.total, *(dict(line.one_kit).get(way) for way in ways or [""]))
        for line in plan.costs
        if line.label != "Total"
    )
    return Table("Costs", "Costs", columns, rows)


def _offcut_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("Fabric"),
        Column("SKU"),
        Column("Size, across × along"),
        Column(f"Across, {unit.value}", "number"),
        Column(f"Along, {unit.value}", "number"),
        Column("How many", "count", summed=True),
        Column("Where it goes"),
    )
    rows = tuple(
        (
            table.first.role,
            table.first.sku,
            say_cut(cut.across, cut.along, unit),
            _in_unit(cut.across, unit),
            _in_unit(cut.along, unit),
            cut.count,
            cut.grade,
        )
        for table in on_one_table(plan)
        if table.job is not None
        for cut in table.job.offcuts
    )
    return Table("Offcuts", "Offcuts of what the shop cuts", columns, rows)


def _movement_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("SKU"),
        Column("Print"),
        Column("What is counted"),
        Column("Out", "number"),
        Column("Back", "number"),
        Column("Cost", "money", summed=True),
        Column("Class"),
    )
    rows = tuple(
        (
            move.sku or "no SKU",
            move.print_name,
            move.form.name if move.form else unit.bolt_unit,
            move.out if move.form else _bolt(move.out, unit),
            move.back if move.form else _bolt(move.back, unit),
            move.cost,
            plan.class_sheet.title or say_pattern(plan.pattern),
        )
        for move in list_movements(plan)
    )
    return Table("Movements", "Out of stock and back", columns, rows)


def _problem_table(plan: KitPlan) -> Table:
    columns = (Column("Level"), Column("Where"), Column("What"), Column("What to do"))
    rows: Sequence[tuple[Value, ...]] = [
        (
            problem.level.value,
            str(problem.location) if problem.location else "",
            problem.message,
            problem.suggestion,
        )
        for problem in plan.problems
    ] or [("", "", "No problems found.", "")]
    return Table("Problems", "Look at these", columns, tuple(rows))

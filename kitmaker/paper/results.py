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
from kitmaker.paper.sheets.prices import say_prices
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


_SKU = Column("SKU", "The stock number; empty for a fabric without one.")
_PRINT = Column("Print", "What the stock calls the fabric.")
_COLORWAY = Column("Colorway", "The colorway; empty where the class has none.")
_COST = Column(
    "Cost",
    "Money for all kits, without labor; empty where a cost is not known.",
    kind="money",
    summed=True,
)


def _sides(unit: Unit) -> tuple[Column, Column]:
    across = "Measured selvage to selvage, in the plan's unit."
    along = "Measured parallel to the selvage, in the plan's unit."
    return (
        Column(f"Across, {unit.value}", across, kind="number"),
        Column(f"Along, {unit.value}", along, kind="number"),
    )


def _off_bolt(heading: str, means: str, unit: Unit) -> Column:
    heading = f"{heading}, {unit.bolt_unit}"
    return Column(heading, f"{means}, in yards or meters; empty for none.", "number", in_unit=True)


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
    source = "the class as first planned" if plan.finished_kits else "costs and shelf prices"
    facts += [(line.label, line.in_words, source) for line in say_prices(plan)]
    facts += [(choice.label, choice.value, choice.source) for choice in plan.choices]
    columns = (
        Column("What", "A fact of the plan, or a setting used."),
        Column("In force", "What it is, in words."),
        Column("From", "Where that is from: a workbook's cell, an option, the caller, a default."),
    )
    return Table("Kit", "The kit and the settings used", columns, tuple(facts))


def _fabric_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("Fabric", "The fabric as the pattern names it, with its print if it has several."),
        _COLORWAY,
        _SKU,
        _PRINT,
        Column("Form", "What goes into the bag, or what the shop cuts from."),
        Column("Bag", "uncut, or pieces that the shop cuts."),
        Column("Kits", "Kits of this colorway, spare ones included.", kind="count"),
        Column("One kit", "What one kit takes, in words."),
        Column("How sure", "Whether less would do, in words."),
        Column("All kits", "What all kits take, in words."),
        _off_bolt("All kits", "Bought for all kits; of cloth cut together in its first row", unit),
        Column("Minutes", "At the cutting table, an estimate; in its first row.", "number"),
        _COST,
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
        Column("Fabric", "The fabric it is cut of."),
        _COLORWAY,
        _SKU,
        Column("Piece", "Its letter on sheets and labels."),
        Column("Name", "Its name in the pattern."),
        Column("Cut size", "Across and along, in words."),
        *_sides(unit),
        Column("Per kit", "How many one kit needs.", kind="count"),
        Column("Needed", "How many the job must give.", kind="count"),
        Column("Made", "How many its layouts give.", kind="count"),
        Column("Counted for", "Whether needed and made are those of one kit or of all."),
        Column("To be sewn", "What is sewn of parts, in words; empty for a piece cut in one."),
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
        _SKU,
        _PRINT,
        Column("For", "The fabrics it is for."),
        Column("Pull", "What to take from the shelf, in words."),
        _off_bolt("Length", "Off the bolt, loss included", unit),
        _off_bolt("At hand", "Free on the shelf", unit),
        Column("Forms at hand", "Free forms of those pulled.", kind="count"),
        Column("Shortage", "How much is not enough, in words; empty when the shelf lasts."),
        _COST,
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
    ways = ways or [""]
    headings = [f"One kit, {way}" if way else "One kit" for way in ways]
    about = "Money for one kit; empty when not known."
    columns = (
        Column("What", "What the money is for."),
        Column("All kits", "Money for all kits; empty when not known.", "money", summed=True),
        *(Column(heading, about, "money", summed=True) for heading in headings),
    )
    rows = tuple(
        (line.label, line.total, *(dict(line.one_kit).get(way) for way in ways))
        for line in plan.costs
        if line.label != "Total"
    )
    return Table("Costs", "Costs", columns, rows)


def _offcut_table(plan: KitPlan) -> Table:
    unit = plan.pattern.unit
    columns = (
        Column("Fabric", "The fabric it is left of."),
        _SKU,
        Column("Size, across × along", "In words."),
        *_sides(unit),
        Column("How many", "Of this size.", kind="count", summed=True),
        Column("Where it goes", "back on the bolt, keep or scrap."),
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
        _SKU,
        _PRINT,
        Column("What is counted", "A form, or yd or m for a length."),
        Column("Out", "Taken from the shelf, in what is counted.", "number", in_unit=True),
        Column("Back", "Put back on the shelf, in what is counted.", "number", in_unit=True),
        Column("Cost", "Money; empty when not known.", "money", summed=True),
        Column("Class", "The class, or the pattern, it is for."),
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
    columns = (
        Column("Level", "error or warning."),
        Column("Where", "Workbook, sheet and cell; empty for none."),
        Column("What", "What was understood."),
        Column("What to do", "What to type instead, or to do."),
    )
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

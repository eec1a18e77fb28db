"""The results workbook: one table a sheet, ready to print, with sums that stay live.

Text is always written as text, so that nothing typed into a workbook becomes a formula.
Formulas are stored with the values they come to, for programs that do not calculate.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from kitmaker.lengths import Length, Unit, say_size
from kitmaker.paper.movements import list_movements
from kitmaker.paper.sheets.jobs import on_one_table
from kitmaker.paper.sheets.page import number_kits, say_pattern
from kitmaker.paper.sheets.pull_list import say_short
from kitmaker.paper.sheets.saying import printable, say_kits, say_piece_size, say_proof
from kitmaker.plan import FabricPlan, KitPlan

Value: TypeAlias = str | int | Fraction | Decimal | None

_LONGEST_TEXT = 32_000  # a cell holds 32,767 characters
_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001 - a fixed date, so that the bytes are the same
_TITLE_CHARACTER = 1.6  # a title's letter against one of a table
_WIDEST = 46
_PAGE_WIDTH = 92


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Attributes:
        heading: Its name.
        kind: ``text``, ``count``, ``number`` (a measure) or ``money``.
        summed: Whether the Total row sums it.
    """

    heading: str
    kind: str = "text"
    summed: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet of the workbook: a heading, columns, rows, and whether sums stand below."""

    sheet: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...] = field(default=())

    @property
    def has_total(self) -> bool:
        """Whether a row of sums stands below."""
        return any(column.summed for column in self.columns)


def build_results(plan: KitPlan) -> bytes:
    """Return the results workbook of a plan; the same plan gives the same bytes."""
    file = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(file, options) as book:
        book.set_properties(
            {"title": printable(f"{plan.pattern.name}: plan {plan.number}"), "created": _CREATED}
        )
        formats = _formats(book, plan)
        for table in _tables(plan):
            _write_table(book, formats, plan, table)
    return file.getvalue()


def _tables(plan: KitPlan) -> tuple[Table, ...]:
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


def _formats(book: Any, plan: KitPlan) -> dict[str, Any]:
    currency = plan.shop.currency.replace('"', "")
    money = f'"{printable(currency)}"#,##0.00' if currency else "#,##0.00"
    kinds = {"text": "@", "count": "#,##0", "number": "0.0###", "money": money}
    made = {
        kind: book.add_format(
            {
                "num_format": shown,
                "valign": "top",
                "text_wrap": kind == "text",
                "indent": int(kind == "text"),
            }
        )
        for kind, shown in kinds.items()
    }
    made |= {
        f"total {kind}": book.add_format({"num_format": shown, "bold": True, "top": 1})
        for kind, shown in kinds.items()
    }
    made["title"] = book.add_format({"bold": True, "font_size": 14})
    made["heading"] = book.add_format(
        {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
    )
    return made


def _write_table(book: Any, formats: dict[str, Any], plan: KitPlan, table: Table) -> None:
    sheet = book.add_worksheet(table.sheet)
    last_column = len(table.columns) - 1
    sheet.write_string(0, 0, _text(table.title), formats["title"])
    for at, column in enumerate(table.columns):
        sheet.write_string(1, at, column.heading, formats["heading"])
    for down, row in enumerate(table.rows, start=2):
        for at, (column, value) in enumerate(zip(table.columns, row, strict=True)):
            _write_value(sheet, down, at, value, formats[column.kind])
    last_row = 1 + len(table.rows)
    if table.has_total and table.rows:
        last_row += 1
        _write_total(sheet, last_row, table, formats)
    _set_page(sheet, table, plan, last_row, last_column)


def _write_value(sheet: Any, row: int, column: int, value: Value, shown: Any) -> None:
    if value is None:
        sheet.write_blank(row, column, None, shown)
    elif isinstance(value, str):
        sheet.write_string(row, column, _text(value), shown)
    else:
        sheet.write_number(row, column, float(value), shown)


def _write_total(sheet: Any, row: int, table: Table, formats: dict[str, Any]) -> None:
    """Write the row of sums; what is not known counts for nothing, as SUM does it."""
    for at, column in enumerate(table.columns):
        shown = formats[f"total {column.kind}"]
        if at == 0:
            sheet.write_string(row, at, "Total", shown)
        elif column.summed:
            letter = xl_col_to_name(at)
            total = sum((_amount(one[at]) for one in table.rows), Fraction(0))
            sheet.write_formula(row, at, f"=SUM({letter}3:{letter}{row})", shown, float(total))
        else:
            sheet.write_blank(row, at, None, shown)


def _amount(value: Value) -> Fraction:
    return Fraction(0) if value is None or isinstance(value, str) else Fraction(value)


def _set_page(sheet: Any, table: Table, plan: KitPlan, last_row: int, last_column: int) -> None:
    widths = [_width(table, at) for at in range(last_column + 1)]
    widths[-1] += max(0.0, len(table.title) * _TITLE_CHARACTER - sum(widths))
    for at, width in enumerate(widths):
        sheet.set_column(at, at, width)
    # some programs do not grow a row for a heading that breaks
    lines = max(map(_heading_lines, table.columns, widths))
    sheet.set_row(0, 21)
    sheet.set_row(1, 16 * lines)
    sheet.freeze_panes(2, 1)
    sheet.print_area(0, 0, last_row, last_column)
    sheet.repeat_rows(0, 1)
    sheet.fit_to_pages(1, 0)
    if sum(widths) > _PAGE_WIDTH:
        sheet.set_landscape()
    sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)
    number = printable(plan.number).replace("&", "&&")[:40]
    pattern = " ".join(printable(say_pattern(plan)).split())[:100].replace("&", "&&")
    # a header's code for the type would swallow a name that begins with a number
    sheet.set_header(f"&L {pattern}")
    sheet.set_footer(f"&Lplan {number}&C&A&Rpage &P of &N")


def _width(table: Table, at: int) -> float:
    longest = max((len(_shown(row[at])) for row in table.rows), default=0)
    heading = max(len(word) for word in table.columns[at].heading.split())
    return min(_WIDEST, max(longest, heading, 6) + 2)


def _heading_lines(column: Column, width: float) -> int:
    """How many lines a heading takes when it breaks between words."""
    lines, used = 1, 0
    for word in column.heading.split():
        if used and used + 1 + len(word) > width - 2:
            lines, used = lines + 1, 0
        used += len(word) + bool(used)
    return lines


def _shown(value: Value) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{float(value):,.2f}  "


def _text(text: str) -> str:
    return printable(text)[:_LONGEST_TEXT]


def _in_unit(length: Length | None, unit: Unit) -> Fraction | None:
    return None if length is None else Fraction(length / unit.length)


def _bolt(length: Length | None, unit: Unit) -> Fraction | None:
    return None if length is None else Fraction(length / unit.bolt_length)


def _kit_table(plan: KitPlan) -> Table:
    facts: list[tuple[Value, ...]] = [
        ("Pattern", say_pattern(plan), "pattern"),
        ("Kits", say_kits(plan.kits, plan.spare_kits), "plan"),
    ]
    for colorway, kits in number_kits(plan):
        if colorway.name:
            facts.append((f"Colorway {colorway.name}", f"{len(kits)} kits", "plan"))
    if plan.kits_possible is not None:
        facts.append(("Complete kits possible", str(plan.kits_possible), "stock"))
    facts += [(f"Not in the kit: {out.role}", out.reason, "plan") for out in plan.left_out]
    facts += [("NOT COMPLETE, left out", line, "plan") for line in plan.not_complete]
    facts += [(choice.label, choice.value, choice.source) for choice in plan.choices]
    columns = (Column("What"), Column("In force"), Column("From"))
    return Table("Kit", "The kit and the choices in force", columns, tuple(facts))


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
    return (
        f"{fabric.role}, print {fabric.group}" if fabric.group else fabric.role,
        fabric.colorway,
        fabric.sku,
        fabric.print_name,
        fabric.form.name,
        fabric.bag.value,
        fabric.kits,
        fabric.per_kit.buy,
        say_proof(fabric.per_kit, fabric.form, unit),
        fabric.total.buy,
        _bolt(fabric.total.buy_length, unit),
        fabric.job.minutes if fabric.job else None,
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
        Column("Per kit", "count", summed=True),
        Column("Needed", "count", summed=True),
        Column("Made", "count", summed=True),
        Column("Counted for"),
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
    columns = (
        Column("What"),
        Column("All kits", "money", summed=True),
        Column("One kit", "money", summed=True),
    )
    rows = tuple(
        (line.label, line.total, line.per_kit) for line in plan.costs if line.label != "Total"
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
            f"{say_size(cut.across, unit)} × {say_size(cut.along, unit)} {unit.value}",
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
            plan.class_sheet.title or say_pattern(plan),
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
    ]
    return Table("Problems", "To be looked at", columns, tuple(rows))

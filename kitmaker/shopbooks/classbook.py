"""The class's workbook: its kits, its colorways, what is in the kit, and the extras.

Four sheets: ``Class`` (labels and values), ``Colorways``, ``Fabrics`` and ``Extras``. What
they say about the pattern's roles is not compared with a pattern here.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from kitmaker.errors import Location, Problems, UnreadableError
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.reading.cells import read_number, read_text
from kitmaker.reading.grid import Cell, Sheet, Workbook
from kitmaker.reading.tables import Headings, TableRow, fold_heading
from kitmaker.shop import ClassReading, ClassSheet, Extra, FabricChoice, fold_role
from kitmaker.shopbooks.colorways import read_colorways
from kitmaker.shopbooks.ledger import (
    data_rows,
    find_sheet,
    has_sheet,
    labeled_values,
    misspelled_sheets,
    money,
    one_line,
    read_table,
    whole,
    worded,
)
from kitmaker.shopbooks.shopwords import parse_bag, parse_in_kit

CLASS_SHEETS = ("Class", "Colorways")
_ALL_SHEETS = (*CLASS_SHEETS, "Fabrics", "Extras")

CLASS_LABELS: Headings = {
    "Title": ("Class", "Class title", "Name"),
    "Date": ("Class date", "Dates"),
    "Teacher": ("Taught by",),
    "Bring": ("What to bring", "Please bring"),
    "Kits": ("Number of kits",),
    "Spare kits": ("Spares", "Spare"),
    "Size": ("Pattern size",),
    "Pattern file": ("Pattern", "File"),
    "Label": ("Setting", "What"),
}
"""The labels of the Class sheet; the last one heads the column and has no value."""

FABRIC_HEADINGS: Headings = {
    "Fabric": ("Role",),
    "In kit": ("In the kit",),
    "Form": ("Sold as",),
    "Bag": ("In the bag",),
    "Notes": ("Note", "Remarks", "Comments"),
}

EXTRA_HEADINGS: Headings = {
    "Item": ("Extra", "What"),
    "Count per kit": ("Count", "Per kit"),
    "Cost": (),
    "Price": (),
    "Notes": ("Note", "Remarks", "Comments"),
}


def class_of(workbook: Workbook, catalogue: Catalogue | None = None) -> ClassReading:
    """Return the class that a workbook describes, and every problem with its cell.

    Without a catalogue the forms asked for are left for the planning to check.

    Raises:
        UnreadableError: It is no class's workbook.
    """
    if not has_sheet(workbook, CLASS_SHEETS):
        raise UnreadableError(one_line(workbook, "class's workbook", CLASS_SHEETS))
    problems = misspelled_sheets(workbook, _ALL_SHEETS)
    fields: dict[str, Any] = {}
    if (sheet := find_sheet(workbook, "Class")) is not None:
        fields.update(_read_facts(sheet, problems))
    if (sheet := find_sheet(workbook, "Colorways")) is not None:
        fields["colorways"] = read_colorways(sheet, problems)
    if (sheet := find_sheet(workbook, "Fabrics")) is not None and not is_pattern_table(sheet):
        fields["fabrics"] = _read_fabrics(sheet, catalogue, problems)
    if (sheet := find_sheet(workbook, "Extras")) is not None:
        fields["extras"] = _read_extras(sheet, problems)
    class_sheet = ClassSheet(**fields, workbook=workbook.name)
    return ClassReading(class_sheet=class_sheet, problems=tuple(problems))


def _read_facts(sheet: Sheet, problems: Problems) -> dict[str, Any]:
    values = labeled_values(sheet, CLASS_LABELS, problems)
    fields: dict[str, Any] = {}
    for label in ("Title", "Date", "Teacher", "Bring"):
        if label in values:
            fields[label.casefold()] = read_text(values[label], problems)
    fields["date_where"] = _where(sheet, "Date")
    if (cell := values.get("Kits")) is not None:
        fields["kits"] = whole(cell, problems, what="number of kits")
        fields["kits_where"] = cell.location
    if (cell := values.get("Spare kits")) is not None:
        fields["spare_kits"] = whole(cell, problems, what="number of spare kits", least=0)
    if (cell := values.get("Size")) is not None:
        fields["size"] = read_text(cell, problems) or None
        fields["size_where"] = cell.location
    if (cell := values.get("Pattern file")) is not None:
        fields["pattern_file"] = _pattern_file(cell, problems)
        fields["pattern_where"] = cell.location
    return fields


def _where(sheet: Sheet, key: str) -> Location:
    """Return the cell beside a label, filled or blank; the sheet where there is no such label."""
    names = {fold_heading(name) for name in (key, *CLASS_LABELS[key])}
    for row in sheet.rows():
        label = row.first()
        if fold_heading(label.text) in names:
            return sheet.cell(label.row, label.column + 1).location
    return sheet.location


def _pattern_file(cell: Cell, problems: Problems) -> str | None:
    """Return the pattern's file as typed, which must lie in the class workbook's folder."""
    name = read_text(cell, problems)
    if not name:
        return None
    parts = re.split(r"[/\\]", name)
    leaves = ".." in parts or parts[0] == "" or ":" in name or name.startswith("~")
    if leaves or any(ord(char) < 32 for char in name):
        problems.refuse(
            f"the pattern file '{name}' is not in the class workbook's folder",
            cell.location,
            "Put it there and type its name, or name the pattern on the command line.",
        )
        return None
    return "/".join(parts)


def is_pattern_table(sheet: Sheet) -> bool:
    """Whether a sheet named Fabrics is a pattern's: amounts, and nothing about a kit."""
    words = {fold_heading(cell.text) for cell in sheet.cells.values()}
    of_class = {fold_heading(name) for name in ("In kit", "In the kit", "Bag", "In the bag")}
    stated = any(word.startswith(("requirement", "cutting instructions")) for word in words)
    return stated and not words & of_class


def _read_fabrics(
    sheet: Sheet, catalogue: Catalogue | None, problems: Problems
) -> tuple[FabricChoice, ...]:
    table = read_table(sheet, FABRIC_HEADINGS, problems, required=("Fabric",))
    if table is None:
        return ()
    choices: dict[str, FabricChoice] = {}
    for row in data_rows(table, problems):
        choice = _read_choice(row, catalogue, problems)
        if choice is None:
            continue
        first = choices.setdefault(fold_role(choice.role), choice)
        if first is not choice:
            problems.refuse(
                f"the fabric '{choice.role}' stands here and in {first.where.cell or first.where}",
                choice.where,
                "Keep one row of it.",
            )
    return tuple(choices.values())


def _read_choice(
    row: TableRow, catalogue: Catalogue | None, problems: Problems
) -> FabricChoice | None:
    cell = row.cell("Fabric")
    role = read_text(cell, problems)
    if not fold_role(role):
        problems.refuse("there is no fabric here", cell.location, "Type the pattern's name.")
        return None
    return FabricChoice(
        role=role,
        in_kit=worded(row.cell("In kit"), parse_in_kit, problems),
        form=_read_forms(row.cell("Form"), catalogue, problems),
        bag=worded(row.cell("Bag"), parse_bag, problems),
        where=cell.location,
    )


def _read_forms(cell: Cell, catalogue: Catalogue | None, problems: Problems) -> str | None:
    """Return the forms as typed, joined by ``+``; None when one of them is not known."""
    typed = read_text(cell, problems)
    if not typed:
        return None
    names = [name.strip() for name in typed.split("+")]
    if not all(names):
        problems.refuse(
            f"'{typed}' has a + without a form beside it", cell.location, "Name both forms."
        )
        return None
    for name in names:
        try:
            if catalogue is not None:
                catalogue.find(name)
        except UnknownFormError as fault:
            problems.refuse(str(fault), cell.location, fault.suggestion)
            return None
    return "+".join(names)


def _read_extras(sheet: Sheet, problems: Problems) -> tuple[Extra, ...]:
    table = read_table(sheet, EXTRA_HEADINGS, problems, required=("Item",))
    if table is None:
        return ()
    extras = []
    for row in data_rows(table, problems):
        cell = row.cell("Item")
        item = read_text(cell, problems)
        count = _count_per_kit(row, problems)
        cost = money(row.cell("Cost"), problems, what="cost")
        price = money(row.cell("Price"), problems, what="price")
        if not item:
            problems.refuse("there is no item here", cell.location, "Type what it is.")
        elif count is not None:
            extras.append(
                Extra(item=item, count_per_kit=count, cost=cost, price=price, where=cell.location)
            )
    return tuple(extras)


def _count_per_kit(row: TableRow, problems: Problems) -> Fraction | None:
    """Return how many a kit holds; blank is one, a part of one may be shared."""
    cell = row.cell("Count per kit")
    if cell.is_blank:
        return Fraction(1)
    count = read_number(cell, problems, what="count per kit")
    if count is not None and not 0 < count <= 10_000:
        problems.refuse(
            f"the count per kit '{cell.text}' is not above zero",
            cell.location,
            "Type 1 or more.",
        )
        return None
    return count

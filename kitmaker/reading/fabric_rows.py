"""A table of fabrics: amounts, forms, and cutting instructions as written.

A fabric is named on its first row; rows right below without a name carry on with its
instructions. A blank row ends that.
"""

from __future__ import annotations

import re

from kitmaker.errors import Location, Problems
from kitmaker.forms import UnknownFormError
from kitmaker.reading.amounts import AmountError, read_amount, say_amount, say_bare
from kitmaker.reading.as_written import read_instructions
from kitmaker.reading.cells import plain_spaces, read_count, read_length, read_text, tidy_text
from kitmaker.reading.draft_rows import is_of_draft, settle_amount
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.grid import Cell, CellKind, row_and_column
from kitmaker.reading.table_reading import TableReading, is_none
from kitmaker.reading.tables import Table, TableRow, fold_heading
from kitmaker.reading.words.numbers import choose_in_brackets, spell_in_figures
from kitmaker.reading.words.quantity import Place


def read_fabric_table(reading: TableReading, table: Table) -> None:
    """Read what a table says of each fabric into its draft, instructions included."""
    instructions: dict[str, list[tuple[str, Location]]] = {}
    current: FabricDraft | None = None
    last_row = table.heading_row
    seen: dict[str, set[Location]] = {}
    listed = frozenset(reading.listed)
    for row in table.rows:
        of_draft = is_of_draft(row)
        if not of_draft and reading.is_total(row):
            continue
        if row.number > last_row + 1:
            current = None
        last_row = row.number
        if row.has("Fabric"):
            if not of_draft and reading.is_note(row, "Fabric"):
                continue
            current = _fabric_of(reading, table, row, listed, seen)
        lines = _instruction_lines(reading, table, row)
        if current is None:
            reading.no_fabric(row)
            continue
        if reading.is_astray(row, table.known_columns()):
            continue
        _facts_of(reading, table, row, current, seen)
        instructions.setdefault(current.role, []).extend(lines)
    for role, lines in instructions.items():
        draft = reading.drafts.find(role)
        if draft is not None and lines:
            read_instructions(reading, draft, lines)


def _fabric_of(
    reading: TableReading,
    table: Table,
    row: TableRow,
    listed: frozenset[str],
    seen: dict[str, set[Location]],
) -> FabricDraft:
    """Return the fabric that a row names; one that no table of amounts lists is said."""
    cell = row.cell("Fabric")
    role = read_text(cell, reading.problems)
    draft = reading.draft_of(cell, role, table)
    if "Requirement" in table.known_keys() or not listed:
        reading.listed.add(draft.role)
    elif draft.role not in listed and draft.role not in seen:
        reading.unlisted(role, cell.location)
    seen.setdefault(draft.role, set())
    return draft


def _instruction_lines(
    reading: TableReading, table: Table, row: TableRow
) -> list[tuple[str, Location]]:
    first = _lines_of(reading, reading.sized_cell(table, row, "Cutting instructions")[0], row)
    then = _lines_of(reading, row.cell("Next cuts"), row)
    cuts_on = [_as_sub_cut(line) for line in then]
    if len(first) != len(then):
        return first + cuts_on
    return [line for pair in zip(first, cuts_on, strict=True) for line in pair]


def _lines_of(reading: TableReading, cell: Cell, row: TableRow) -> list[tuple[str, Location]]:
    if cell.is_blank or row.number != row_and_column(cell.location)[0]:
        return []  # a merged cell's lines are read once, in its first row
    if cell.kind is not CellKind.TEXT:
        read_length(cell, reading.unit, reading.problems, what="cutting instruction")
        if cell.kind is CellKind.NUMBER:
            reading.problems.refuse(
                f"the cutting instruction is nothing but the number {read_text(cell)}",
                cell.location,
                "Type count, size and what it is: (5) 2 1/2 x 4 1/2 rectangles.",
            )
        return []
    return [(line, cell.location) for line in cell.text.split("\n") if line.strip()]


def _facts_of(
    reading: TableReading,
    table: Table,
    row: TableRow,
    draft: FabricDraft,
    seen: dict[str, set[Location]],
) -> None:
    of_draft = is_of_draft(row)
    cell, is_sized = reading.sized_cell(table, row, "Requirement")
    if of_draft:
        cell = settle_amount(reading, row, cell)
    places = seen.setdefault(draft.role, set())
    none_in_this_size = is_sized and is_none(cell)
    others = table.sized.get("Requirement", ())
    if none_in_this_size and row.has("Fabric") and any(row.has_column(other) for other in others):
        reading.none_of_size(table, "Requirement", cell, draft.role, draft.role)
    if not cell.is_blank and not none_in_this_size and cell.location not in places:
        places.add(cell.location)
        if not of_draft:
            reading.ask_about(cell, Place.AMOUNT)
        _requirement(reading, table, cell, draft)
    if row.has("Prints"):
        draft.prints = read_count(row.cell("Prints"), reading.problems, what="number of prints")
    if row.has("Usable width"):
        stated = row.cell("Usable width")
        width = read_length(stated, reading.unit, reading.problems, what="usable width")
        if width is None or 1 <= width <= 150:
            draft.usable_width = width
        else:
            message = "a usable width of that size is not believable"
            reading.problems.refuse(message, stated.location)
    reading.check_remark(row)
    if not of_draft and not {"Cutting instructions", "Next cuts"} & table.known_keys():
        reading.refuse_cuts_in_remarks(row)
    draft.form = _form(reading, row) or draft.form
    draft.sku = row.text("SKU") or draft.sku
    draft.description = row.text("Description") or draft.description


def _form(reading: TableReading, row: TableRow) -> str | None:
    text = row.text("Form")
    if not text:
        return None
    for part in text.split("+"):
        try:
            reading.catalogue.find(part)
        except UnknownFormError as fault:
            reading.problems.warn(str(fault), row.cell("Form").location, fault.suggestion)
    return text


def _requirement(reading: TableReading, table: Table, cell: Cell, draft: FabricDraft) -> None:
    text = _amount_text(reading, table, cell, draft.unread)
    if text is None:
        return
    try:
        read = read_amount(text, reading.unit, reading.catalogue, draft.role)
    except AmountError as fault:
        draft.unread.refuse(str(fault), cell.location, fault.suggestion)
        return
    if read.warning:
        reading.problems.warn(
            f"{read.warning}; {say_amount(read.amount)} is taken",
            cell.location,
            "Type the right one alone.",
        )
    if draft.requirement is not None:
        if read.amount == draft.requirement and cell.location.cell is not None:
            draft.repeated += 1
            if draft.repeated > 1:
                return  # each of its rows states the amount again: said once
        same = draft.requirement.quantity == read.amount.quantity
        same = same and draft.requirement.unit == read.amount.unit
        say = reading.problems.warn if same else reading.problems.refuse
        counted = "; it is counted once" if same else ", and differently"
        message = f"the requirement of '{draft.role}' stands there twice{counted}"
        say(message, cell.location, "State it once.")
        return
    draft.requirement, draft.amount_prints = read.amount, read.prints


def _amount_text(reading: TableReading, table: Table, cell: Cell, unread: Problems) -> str | None:
    if cell.kind is CellKind.TEXT:
        text = plain_spaces(cell.text)
        if reading.bracket is not None:
            return choose_in_brackets(spell_in_figures(tidy_text(text)), reading.bracket)
        return text
    if cell.kind is CellKind.NUMBER and cell.number is not None:
        unit_word = _unit_word(cell, table)
        if unit_word is not None and cell.number > 0:
            return f"{read_text(cell)} {unit_word}"
        fault = say_bare(cell.number, reading.unit)
        unread.refuse(str(fault), cell.location, fault.suggestion)
        return None
    read_length(cell, reading.unit, unread, what="requirement")
    return None


def _as_sub_cut(line: tuple[str, Location]) -> tuple[str, Location]:
    """A line of a column of next cuts says what the strips beside it are cut into."""
    words, where = line
    if re.search(r"\b(?:sub-?\s?cut|cross-?\s?cut|re-?cut)", words, re.IGNORECASE):
        return line
    return f"sub-cut into {words}", where


def _unit_word(cell: Cell, table: Table) -> str | None:
    """Return the unit that a number's format or its heading states; None for none, or for two."""
    literals = " ".join(re.findall(r'"([^"]*)"', cell.number_format)).casefold().split()
    column = table.columns.get("Requirement")
    heading = column.heading.text if column is not None else ""
    words = fold_heading(heading).split()
    # "Requirement in yards" is not in inches, "Yardage in meters" not in yards
    sure = [word for word in words if word not in ("in", "yardage")]
    for said in (literals, re.findall(r"\((\w+)\)", heading.casefold()), sure, words):
        units = {_UNIT_WORDS.get(word.strip("."), "") for word in said} - {""}
        if units:
            return units.pop() if len(units) == 1 else None
    return None


_UNIT_WORDS = {
    **dict.fromkeys(("yd", "yds", "yard", "yards", "yardage"), "yd"),
    **dict.fromkeys(("m", "meter", "meters", "metre", "metres"), "m"),
    "cm": "cm",
    "in": "in",
    "inches": "in",
}

"""What the shop's and the class's workbook have in common.

Their sheets go by name, their tables by headings, and each cell is read by one reader that
either gives a value or adds a problem with the cell's place. A row that is a total or a
remark is passed over, and said to be.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from kitmaker.errors import Problem, Problems, UnreadableError
from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.lengths import METER, YARD, Length, Unit, say_decimal, say_plain
from kitmaker.reading.cells import read_length, read_money, read_number, read_text
from kitmaker.reading.grid import Cell, CellKind, Row, Sheet, Workbook
from kitmaker.reading.marks import say_marks
from kitmaker.reading.tables import Headings, Table, TableRow, find_table, fold_heading, read_labels
from kitmaker.reading.workbook import read_workbook
from kitmaker.shopbooks.shopwords import FigureError

_Value = TypeVar("_Value")

CENT_PARTS = Decimal("0.0001")
"""Money is kept to a hundredth of a cent: a fat quarter may cost 2.6025."""

_MOST = 100_000
_MOST_MONEY = Decimal(1_000_000)
_LONGEST = 10_000 * YARD
"""Figures beyond these are slips of the keyboard. Our own bounds, no source."""


def find_sheet(workbook: Workbook, name: str) -> Sheet | None:
    """Return the sheet of a name, whatever its case and with or without its last s.

    A sheet on which nothing stands is as good as missing.
    """
    wanted = fold_sheet(name)
    for sheet in workbook.sheets:
        if sheet.name is not None and sheet.cells and fold_sheet(sheet.name) == wanted:
            return sheet
    return None


def fold_sheet(name: str) -> str:
    """Return a sheet's name without case, punctuation and blanks, and without its last s."""
    return fold_heading(name).replace(" ", "").rstrip("s")


def misspelled_sheets(workbook: Workbook, names: Collection[str]) -> Problems:
    """Return a warning for each sheet whose name is nearly one that is missing."""
    missing = [name for name in names if find_sheet(workbook, name) is None]
    known = {fold_sheet(name) for name in names}
    problems = Problems()
    for sheet in workbook.sheets:
        if sheet.name is None or fold_sheet(sheet.name) in known or not sheet.cells:
            continue
        near = difflib.get_close_matches(
            sheet.name.casefold(), [m.casefold() for m in missing], 1, 0.75
        )
        if near:
            meant = next(name for name in missing if name.casefold() == near[0])
            problems.warn(
                f"the sheet '{sheet.name}' is not read",
                sheet.location,
                f"Name it '{meant}' if that is what it is.",
            )
    return problems


def labeled_values(sheet: Sheet, labels: Headings, problems: Problems) -> dict[str, Cell]:
    """Return the values that stand right beside their labels.

    A remark in a third column is no value, also where the value beside it is blank.
    """
    problems.extend(say_marks(sheet))
    values = read_labels(sheet, labels, problems)
    beside = {row.number: column_beside(row) for row in sheet.rows()}
    return {key: cell for key, cell in values.items() if cell.column == beside[cell.row]}


def column_beside(row: Row) -> int:
    """Return the column in which the value of a row's label stands."""
    label = row.first()
    last = label.column
    while (cell := row.cells.get(last + 1)) is not None and cell.location == label.location:
        last += 1
    return last + 1


def read_table(
    sheet: Sheet, headings: Headings, problems: Problems, *, required: Sequence[str]
) -> Table | None:
    """Return a sheet's table; a sheet without the headings it needs is a problem."""
    problems.extend(say_marks(sheet))
    table = find_table(sheet, headings, problems, required=required)
    if table is None:
        text = " and ".join(f"'{key}'" for key in required)
        problems.refuse(
            f"the sheet has no row of headings with {text}",
            sheet.location,
            f"Head its columns {', '.join(headings)}.",
        )
    return table


def data_rows(table: Table, problems: Problems) -> Iterator[TableRow]:
    """Yield the rows that hold data; remarks and totals are said to be left out."""
    for row in table.rows:
        cells = row.row.own_cells()
        first = read_text(cells[0])
        if fold_heading(first).split()[:1] in (["total"], ["totals"], ["sum"]):
            problems.warn(f"the row '{first}' is not read", cells[0].location)
        elif len(cells) == 1 and _is_remark(cells[0], row):
            problems.warn(f"'{first}' is taken for a remark", cells[0].location)
        else:
            yield row


def _is_remark(cell: Cell, row: TableRow) -> bool:
    """Whether a row's only cell is a remark: a sentence, or under no heading of a value."""
    values = {column.number for key, column in row.columns.items() if key != "Notes"}
    is_sentence = len(cell.text.split()) > 3
    return cell.kind is CellKind.TEXT and (is_sentence or cell.column not in values)


def worded(cell: Cell, parse: Callable[[str], _Value], problems: Problems) -> _Value | None:
    """Return what a cell's words mean; None when blank or not read for sure."""
    if cell.is_blank:
        return None
    words = _words(cell, problems)
    if not words:
        return None
    try:
        return parse(words)
    except FigureError as fault:
        problems.refuse(str(fault), cell.location, fault.suggestion)
        return None


def _words(cell: Cell, problems: Problems) -> str:
    """Return a cell as it was typed: 1 under a percent format is ``100 %``."""
    if cell.kind is CellKind.NUMBER and cell.number is not None:
        if "%" in cell.number_format:
            return f"{say_decimal(cell.number * 100, 4)} %"
        return say_plain(cell.number) if cell.number >= 0 else cell.text
    return read_text(cell, problems)


def whole(cell: Cell, problems: Problems, *, what: str, least: int = 1) -> int | None:
    """Return a whole number of at least ``least``; None when blank or not read for sure."""
    advice = f"Type a whole number such as {max(least, 4)}."
    faults = Problems()
    number = read_number(cell, faults, what=what)
    problems.extend(replace(fault, suggestion=advice) for fault in faults)
    if number is None or faults:
        return None
    if number.denominator != 1 or not least <= number <= _MOST or "%" in cell.number_format:
        problems.refuse(
            f"the {what} '{cell.text}' is not a whole number of {least} or more",
            cell.location,
            advice,
        )
        return None
    return int(number)


def measure(
    cell: Cell,
    unit: Unit | Length,
    problems: Problems,
    *,
    what: str,
    may_be_zero: bool = False,
) -> Length | None:
    """Return a length above zero (or at least zero) in inches; None when blank or unsure."""
    length = read_length(cell, unit, problems, what=what)
    if length is None:
        return None
    if length < 0 or (length == 0 and not may_be_zero):
        bound = "zero or more" if may_be_zero else "more than zero"
        problems.refuse(
            f"the {what} '{cell.text}' must be {bound}", cell.location, "Type a length."
        )
        return None
    if length > _LONGEST:
        problems.refuse(
            f"the {what} '{cell.text}' is too long to be meant", cell.location, "Measure again."
        )
        return None
    return length


def bolt_step(cell: Cell, unit: Unit, problems: Problems, *, what: str) -> Length | None:
    """Return a short length off a bolt, in inches: ``1/8`` is ⅛ yd, ``9`` can only be inches.

    A bare number up to 2 is in yards (meters), a larger one in inches (centimeters), and
    then it is said so.
    """
    length = measure(cell, unit.bolt_length, problems, what=what)
    if length is None or length <= 2 * unit.bolt_length or not _is_bare(cell):
        return length
    bare = length / unit.bolt_length
    text = say_plain(bare)
    problems.warn(
        f"the {what} {text} is read as {text} {unit.value}, not {text} {unit.bolt_unit}",
        cell.location,
        f"Type {text} {unit.value}.",
    )
    return bare * unit.length


def _is_bare(cell: Cell) -> bool:
    return cell.kind is CellKind.NUMBER or not any(
        char.isalpha() or char in "\"″”'′" for char in cell.text
    )


def bolt_unit(row: TableRow, key: str, unit: Unit) -> Length:
    """Return what bare lengths under a heading are in: its own unit, else yards or meters."""
    column = row.columns.get(key)
    if column is None:
        return unit.bolt_length
    words = fold_heading(column.heading.text).split()
    if any(word in ("yd", "yds", "yard", "yards") for word in words):
        return YARD
    if any(word in ("m", "meter", "meters", "metre", "metres") for word in words):
        return METER
    return column.unit.length if column.unit is not None else unit.bolt_length


def money(cell: Cell, problems: Problems, *, what: str) -> Decimal | None:
    """Return a sum of money, to a hundredth of a cent; None when blank or unsure."""
    amount = read_money(cell, problems, what=what)
    if amount is None:
        return None
    if amount > _MOST_MONEY:
        problems.refuse(
            f"the {what} {cell.text} is too large to be meant", cell.location, "Type it again."
        )
        return None
    exact = amount.quantize(CENT_PARTS).normalize()
    return exact.quantize(Decimal(1)) if exact == exact.to_integral_value() else exact


def find_form(cell: Cell, catalogue: Catalogue, problems: Problems) -> Form | None:
    """Return the form that a cell names; one that is not known counts as none, and is said."""
    name = read_text(cell, problems)
    if not name:
        return None
    try:
        return catalogue.find(name)
    except UnknownFormError as fault:
        problems.refuse(str(fault), cell.location, fault.suggestion)
        return None


def measure_under(
    row: TableRow, key: str, unit: Unit, problems: Problems, *, may_be_zero: bool = False
) -> Length | None:
    """Return a measure by its heading: a bare one is in the heading's unit, else the workbook's."""
    inches = row.inches_in(key, unit)
    return measure(row.cell(key), inches, problems, what=key.lower(), may_be_zero=may_be_zero)


def read_list(
    path: Path,
    headings: Headings,
    required: Sequence[str],
    read_row: Callable[[TableRow, Problems], _Value | None],
    nothing: str,
) -> tuple[tuple[_Value, ...], tuple[Problem, ...]]:
    """Read a list of cloth, which may stand on any sheets: what its rows say, and what is wrong.

    Raises:
        UnreadableError: The file cannot be read at all, or no sheet has such a table; told with
            what there is nothing of.
    """
    workbook = read_workbook(path)
    problems = Problems()
    values: list[_Value] = []
    found = False
    for sheet in workbook.sheets:
        table = find_table(sheet, headings, problems, required=required)
        if table is None:
            continue
        found = True
        problems.extend(say_marks(sheet))
        for row in data_rows(table, problems):
            value = read_row(row, problems)
            values += [] if value is None else [value]
    if not found or not (values or problems):
        raise UnreadableError(f"'{path.name}' has {nothing}.")
    return tuple(values), tuple(problems)


def has_sheet(workbook: Workbook, names: Collection[str]) -> bool:
    """Whether a workbook has any of the sheets, and something on it."""
    return any(find_sheet(workbook, name) is not None for name in names)


def one_line(workbook: Workbook, what: str, names: Sequence[str]) -> str:
    """Return the line for a workbook without the sheets it should have."""
    text = f"{', '.join(names[:-1])} or {names[-1]}"
    return (
        f"'{workbook.name}' is no {what}: it has no sheet named {text}. "
        "Name another workbook, or give its sheets these names."
    )

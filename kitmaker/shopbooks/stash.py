"""A workbook of cloth at hand: fat quarters, remnants and offcuts to be broken down."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from kitmaker.errors import Problems, UnreadableError
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import Length, Unit
from kitmaker.reading.grid import Sheet
from kitmaker.reading.marks import say_marks
from kitmaker.reading.tables import Headings, TableRow, find_table
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import Cloth, StashReading
from kitmaker.shopbooks.ledger import data_rows, measure, whole

STASH_HEADINGS: Headings = {
    "Fabric": ("Print", "Name"),
    "Form": (),
    "Width": ("Usable width", "Across"),
    "Length": ("Usable length", "Along"),
    "Count": ("Quantity", "How many"),
    "Notes": ("Note", "Remarks"),
}


def read_stash(path: Path, unit: Unit, catalogue: Catalogue) -> StashReading:
    """Read a stash: a table headed Fabric, Width, Length, Count (or Form, Count).

    Args:
        path: The workbook or .csv file.
        unit: What bare sizes are in.
        catalogue: The forms whose names are known.

    Raises:
        UnreadableError: The file cannot be read at all, or has no such table.
    """
    workbook = read_workbook(path)
    problems = Problems()
    pieces: list[Cloth] = []
    found = False
    for sheet in workbook.sheets:
        table = find_table(sheet, STASH_HEADINGS, problems, required=("Count",))
        if table is None:
            continue
        found = True
        problems.extend(say_marks(sheet))
        for row in data_rows(table, problems):
            pieces += _read_row(row, unit, catalogue, problems, sheet)
    if not found or not (pieces or problems):
        raise UnreadableError(
            f"'{path.name}' has no cloth to break down: no table headed Fabric, Width, Length, "
            "Count (or Form, Count)."
        )
    return StashReading(pieces=tuple(pieces), problems=tuple(problems))


def _read_row(
    row: TableRow, unit: Unit, catalogue: Catalogue, problems: Problems, sheet: Sheet
) -> Iterator[Cloth]:
    before = len(problems)
    count = whole(row.cell("Count"), problems, what="count")
    size = _size(row, unit, catalogue, problems)
    if len(problems) > before:
        return
    where = row.row.own_cells()[0].location
    if count is None or size is None:
        missing = "count" if count is None else "size"
        problems.refuse(
            f"a row of sheet '{sheet.name}' has no {missing}",
            where,
            "Type Width, Length and Count, or a Form and a Count.",
        )
        return
    name = row.text("Fabric") or row.text("Form") or "cloth"
    yield Cloth(name=name, across=size[0], along=size[1], count=count, where=where)


def _size(
    row: TableRow, unit: Unit, catalogue: Catalogue, problems: Problems
) -> tuple[Length, Length] | None:
    across = _measured(row, "Width", unit, problems)
    along = _measured(row, "Length", unit, problems)
    if across is not None and along is not None:
        return across, along
    named = row.text("Form")
    if not named:
        return None
    try:
        form = catalogue.find(named)
    except UnknownFormError as unknown:
        problems.refuse(str(unknown), row.cell("Form").location, unknown.suggestion)
        return None
    if form.usable_along is None and along is None:
        problems.refuse(
            f"{form.name} has no length of its own",
            row.cell("Form").location,
            "Type its length under Length.",
        )
        return None
    return across or form.usable_across, along or form.usable_along or Fraction(0)


def _measured(row: TableRow, key: str, unit: Unit, problems: Problems) -> Length | None:
    return measure(row.cell(key), unit, problems, what=key.casefold())

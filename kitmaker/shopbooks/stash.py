"""A workbook of cloth at hand: fat quarters, remnants and offcuts to be broken down."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from kitmaker.errors import Problems
from kitmaker.forms import Catalogue
from kitmaker.lengths import Length, Unit
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shop import Cloth, StashReading
from kitmaker.shopbooks.ledger import find_form, measure_under, read_list, whole

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

    Raises:
        UnreadableError: The file cannot be read at all, or has no such table.
    """
    nothing = (
        "no cloth to break down: no table headed Fabric, Width, Length, Count (or Form, Count)"
    )
    pieces, problems = read_list(
        path,
        STASH_HEADINGS,
        ("Count",),
        lambda row, problems: _read_row(row, unit, catalogue, problems),
        nothing,
    )
    return StashReading(pieces=pieces, problems=problems)


def _read_row(row: TableRow, unit: Unit, catalogue: Catalogue, problems: Problems) -> Cloth | None:
    before = len(problems)
    count = whole(row.cell("Count"), problems, what="count")
    size = _size(row, unit, catalogue, problems)
    if len(problems) > before:
        return None
    where = row.row.own_cells()[0].location
    if count is None or size is None:
        missing = "count" if count is None else "size"
        problems.refuse(
            f"a row of sheet '{where.sheet}' has no {missing}",
            where,
            "Type Width, Length and Count, or a Form and a Count.",
        )
        return None
    name = row.text("Fabric") or row.text("Form") or "cloth"
    return Cloth(name=name, across=size[0], along=size[1], count=count, where=where)


def _size(
    row: TableRow, unit: Unit, catalogue: Catalogue, problems: Problems
) -> tuple[Length, Length] | None:
    across = measure_under(row, "Width", unit, problems)
    along = measure_under(row, "Length", unit, problems)
    if across is not None and along is not None:
        return across, along
    form = find_form(row.cell("Form"), catalogue, problems)
    if form is None:
        return None
    if form.usable_along is None and along is None:
        problems.refuse(
            f"{form.name} has no length of its own",
            row.cell("Form").location,
            "Type its length under Length.",
        )
        return None
    return across or form.usable_across, along or form.usable_along or Fraction(0)

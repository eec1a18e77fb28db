"""A workbook of cloth as it was really measured: piece by piece, with its flaws.

One table headed ``SKU``, ``Width``, ``Length``, ``Count``; beside them ``Flaw at`` (from the
piece's start, several apart by semicolons), ``Dye lot`` and ``Kits done``. Bare measures are in
inches, or in centimeters in a shop that works in them; a length may be typed in yards
(``1 3/8 yd``).
"""

from __future__ import annotations

from pathlib import Path

from kitmaker.errors import Problems
from kitmaker.lengths import Length, LengthError, Unit, parse_length, say_length
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import CellKind
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shop import MeasuredPiece, MeasuredReading
from kitmaker.shopbooks.ledger import measure, measure_under, read_list, whole

CUTS_HEADINGS: Headings = {
    "SKU": ("Stock number", "Item number", "Stock code"),
    "Width": ("Usable width", "Across"),
    "Length": ("Usable length", "Along"),
    "Count": ("Quantity", "How many", "Pieces"),
    "Flaw at": ("Flaw", "Flaws at", "Flaws"),
    "Dye lot": ("Lot",),
    "Kits done": ("Finished kits", "Kits finished"),
    "Notes": ("Note", "Remarks", "Comments", "Print", "Fabric"),
}


def read_cuts(path: Path, unit: Unit) -> MeasuredReading:
    """Read a workbook of measured cloth.

    Raises:
        UnreadableError: The file cannot be read at all, or has no such table.
    """
    pieces, problems = read_list(
        path,
        CUTS_HEADINGS,
        ("SKU", "Width", "Length"),
        lambda row, problems: _read_row(row, unit, problems),
        "no measured cloth: no table headed SKU, Width, Length, Count",
    )
    return MeasuredReading(pieces=pieces, problems=problems)


def _read_row(row: TableRow, unit: Unit, problems: Problems) -> MeasuredPiece | None:
    before = len(problems)
    cell = row.cell("SKU")
    sku = read_text(cell, problems)
    if not sku:
        problems.refuse("there is no SKU here", cell.location, "Type its stock number.")
    width = _needed(row, "Width", unit, problems)
    length = _needed(row, "Length", unit, problems)
    count_cell = row.cell("Count")
    count = 1 if count_cell.is_blank else whole(count_cell, problems, what="count", least=0)
    flaws = _flaws(row, unit, length, problems)
    done_cell = row.cell("Kits done")
    done = whole(done_cell, problems, what="number of kits done", least=0)
    faults = any(problem.is_error for problem in problems[before:])
    if faults or width is None or length is None or count is None:
        return None
    return MeasuredPiece(
        sku=sku,
        width=width,
        length=length,
        count=count,
        flaws=flaws,
        kits_done=done,
        dye_lot=read_text(row.cell("Dye lot"), problems) or None,
        where=cell.location,
    )


def _needed(row: TableRow, key: str, unit: Unit, problems: Problems) -> Length | None:
    cell = row.cell(key)
    if cell.is_blank:
        message = f"this row does not say the {key.casefold()}"
        problems.refuse(message, cell.location, "Type it as 20 1/2.")
        return None
    return measure_under(row, key, unit, problems)


def _flaws(
    row: TableRow, unit: Unit, length: Length | None, problems: Problems
) -> tuple[Length, ...]:
    cell, step = row.cell("Flaw at"), row.inches_in("Flaw at", unit)
    if cell.is_blank:
        return ()
    if cell.kind is CellKind.NUMBER:
        at = measure(cell, step, problems, what="place of the flaw", may_be_zero=True)
        flaws = [] if at is None else [at]
    else:
        flaws = []
        for part in read_text(cell, problems).split(";"):
            try:
                flaws.append(parse_length(part.strip(), step))
            except LengthError as fault:
                problems.refuse(
                    f"the flaw '{part.strip()}' is no place that can be read ({fault})",
                    cell.location,
                    "Type how far it is from the start, such as 1 3/8 yd; several apart by ;.",
                )
    if length is not None and any(at > length for at in flaws):
        problems.refuse(
            f"the flaw '{cell.text}' lies past the end of the piece ({say_length(length, unit)})",
            cell.location,
            "Measure again.",
        )
    return tuple(sorted(flaws))

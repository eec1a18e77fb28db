"""The rows of a draft: what a person chose is obeyed, what is still open is an error by its cell.

A row with something under How sure is a draft's: its words have been read once, so the words of
quantity in its names and notes are not asked about again, and its sizes stand as they are.
"""

from __future__ import annotations

from dataclasses import replace

from kitmaker.drafts import CHOOSE, CONFIRMED_BY, HOW_SURE, NEEDED, NO_AMOUNT, NO_CUT, HowSure
from kitmaker.errors import Location, has_errors
from kitmaker.pattern import Note, Piece
from kitmaker.reading.as_written import read_instructions
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.grid import Cell
from kitmaker.reading.table_reading import TableReading, is_none
from kitmaker.reading.tables import Table, TableRow, fold_heading

_SURE = {fold_heading(one.value): one for one in HowSure}
_SETTLE = f"Type it as the pattern has it, or choose '{NO_CUT}' where nothing is cut."


def is_of_draft(row: TableRow) -> bool:
    """Whether a row is a draft's."""
    return row.has(HOW_SURE)


def is_open(row: TableRow) -> bool:
    """Whether a row of a draft waits for a person, as far as its How sure says."""
    sure = _SURE.get(fold_heading(row.text(HOW_SURE)))
    return sure is not None and sure.is_open


def as_ticked(row: TableRow, piece: Piece) -> Piece:
    """Return a piece with what its row says that it is confirmed by."""
    sure = _SURE.get(fold_heading(row.text(HOW_SURE)))
    return piece if sure not in CONFIRMED_BY else replace(piece, confirmed=CONFIRMED_BY[sure])


def settle_piece(reading: TableReading, table: Table, row: TableRow, quantity: Cell) -> bool:
    """Say what is wrong with an open row, or take it off where nothing is cut.

    The quantity is its cell in the size that is read.

    Returns:
        Whether the row is done with; else it is read, as :func:`obey_choice` or its cells say.
    """
    sized = table.sized.get("Quantity", ())
    if sized and not quantity.is_blank and is_none(quantity):
        return False  # of another size
    chosen = row.cell(CHOOSE)
    if fold_heading(row.text(CHOOSE)) == NO_CUT:
        reading.notes.append(
            Note(where=chosen.location, words=row.text(CHOOSE), understood="nothing is cut")
        )
        return True
    missing = _missing(row, has_count=row.has("Quantity") or any(map(row.has_column, sized)))
    if not row.has("Fabric") and (is_open(row) or not chosen.is_blank):
        reading.problems.refuse(
            "this row is open: its fabric is not said",
            row.cell("Fabric").location,
            f"Type which fabric it is cut from, or choose '{NO_CUT}'.",
        )
        return True
    if chosen.is_blank and is_open(row) and missing:
        _refuse_open(reading, row, missing)
        return True
    return False


def _missing(row: TableRow, *, has_count: bool) -> tuple[str, ...]:
    has = {
        "Cut width": row.has("Cut width"),
        "Cut length": row.has("Cut length") or row.has("Shape"),
        "Quantity": has_count,
    }
    return tuple(key for key in NEEDED if not has[key])


def _refuse_open(reading: TableReading, row: TableRow, missing: tuple[str, ...]) -> None:
    sure = _SURE[fold_heading(row.text(HOW_SURE))]
    if sure is HowSure.CHOOSE and missing == NEEDED:
        reading.problems.refuse(
            "this row is open: none of its readings is chosen",
            row.cell(CHOOSE).location,
            "Pick one under Choose, or type its size and quantity.",
        )
        return
    key = missing[0]
    reading.problems.refuse(
        f"this row is open: its {key.lower()} is not filled in", _cell_of(row, key), _SETTLE
    )


def _cell_of(row: TableRow, key: str) -> Location:
    """Return the place of a cell under a heading, or under the first of its sizes."""
    if key in row.columns:
        return row.cell(key).location
    return row.row.first().location


def obey_choice(reading: TableReading, draft: FabricDraft, row: TableRow) -> bool:
    """Read what stands under Choose as the row's one line; return whether something does."""
    chosen = row.cell(CHOOSE)
    if chosen.is_blank:
        return False
    before, faults = len(draft.pieces), len(reading.problems)
    read_instructions(reading, draft, [(row.text(CHOOSE), chosen.location)])
    if len(draft.pieces) == before and not has_errors(reading.problems[faults:]):
        reading.problems.refuse(
            f"'{row.text(CHOOSE)}' is no cut", chosen.location, "Pick one of its readings."
        )
    return True


def settle_amount(reading: TableReading, row: TableRow, cell: Cell) -> Cell:
    """Return the cell that states a fabric's amount: its own, or what was chosen instead."""
    chosen = row.cell(CHOOSE)
    if not chosen.is_blank:
        said_none = fold_heading(row.text(CHOOSE)) in (NO_CUT, NO_AMOUNT)
        return row.sheet.blank(row.number, chosen.column) if said_none else chosen
    if is_open(row) and cell.is_blank:
        reading.problems.refuse(
            "this row is open: its requirement is not filled in",
            cell.location,
            f"Type the amount, such as 1 1/4 yd, or choose '{NO_AMOUNT}'.",
        )
    return cell

"""From a pattern's sheets to its draft: each size read, the sizes side by side, nothing lost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kitmaker.drafts import (
    AS_WRITTEN,
    CHOOSE,
    FABRICS_SHEET,
    FIRST_ROW,
    PIECES_SHEET,
    Draft,
    DraftRow,
    HowSure,
    LeftOver,
    fabric_headings,
    piece_headings,
    sized_headings,
)
from kitmaker.errors import Location, Problem, error
from kitmaker.lengths import Unit
from kitmaker.pattern import PatternReading
from kitmaker.reading.drafting.left_over import find_left_over
from kitmaker.reading.drafting.rows import QUANTITY, REQUIREMENT, OneRow, RowsOfOneSize, rows_of
from kitmaker.reading.drafting.source import SourceBook
from kitmaker.reading.grid import Workbook, address, row_and_column
from kitmaker.reading.requirements import read_pattern_book, sizes_in

_WEAKEST_FIRST = (
    *(HowSure.CHOOSE, HowSure.FILL_IN, HowSure.LOOK, HowSure.PLAIN),
    *(HowSure.AMOUNT, HowSure.STRIPS, HowSure.TOTAL),
)


def draft_of_book(book: Workbook, size: str | None = None, unit: Unit | None = None) -> Draft:
    """Return the draft of a pattern's sheets.

    Without a size all stand side by side; without a unit the pattern's own is taken.

    Raises:
        UnreadableError: It asks for nothing to be cut.
        UsageError: The size is not one of the pattern's.
    """
    sizes = sizes_in(book) if size is None else ()
    readings = [read_pattern_book(book, one, None, unit) for one in sizes or (size,)]
    source = SourceBook.of(book)
    rows = [rows_of(reading, source) for reading in readings]
    return assemble(book.name, sizes, readings, rows, source)


def assemble(
    name: str,
    sizes: tuple[str, ...],
    readings: Sequence[PatternReading],
    rows: Sequence[RowsOfOneSize],
    source: SourceBook,
) -> Draft:
    """Return the draft of readings, size by size, with every other line of their source."""
    first = readings[0].pattern
    fabrics = _side_by_side([row.fabrics for row in rows], sizes, REQUIREMENT)
    pieces = _side_by_side([row.pieces for row in rows], sizes, QUANTITY)
    placed_fabrics = _placed(fabrics, FABRICS_SHEET, fabric_headings(sizes))
    placed_pieces = _placed(pieces, PIECES_SHEET, piece_headings(sizes))
    draft = Draft(
        source=name,
        name=first.name,
        sizes=sizes,
        size=None if sizes else first.size,
        unit=first.unit,
        seam_allowance=first.seam_allowance,
        finished_size=first.finished_size,
        fabrics=placed_fabrics,
        pieces=placed_pieces,
        left_over=(),
        readings=tuple(readings),
    )
    notes = [note for reading in readings for note in reading.notes]
    left_over: tuple[LeftOver, ...] = find_left_over(draft, source, notes)
    return replace(draft, left_over=left_over, problems=_problems(draft))


def _side_by_side(
    by_size: Sequence[list[OneRow]], sizes: tuple[str, ...], key: str
) -> list[tuple[OneRow, dict[str, str]]]:
    """Return the rows of all sizes in one order, each with the cells of every size."""
    headings = sized_headings(key, sizes)
    merged: list[tuple[tuple[object, ...], OneRow, dict[str, str]]] = []
    for heading, rows in zip(headings, by_size, strict=True):
        counted: dict[tuple[object, ...], int] = {}
        place = 0
        for row in rows:
            name = _identity(row, key)
            counted[name] = counted.get(name, 0) + 1
            numbered = (*name, counted[name])
            at = next((at for at, one in enumerate(merged) if one[0] == numbered), None)
            if at is None:
                merged.insert(place, (numbered, row, {heading: row.own}))
                place += 1
            else:
                _, other, own = merged[at]
                merged[at] = (numbered, _joined(other, row), {**own, heading: row.own})
                place = at + 1
    none = "" if key == REQUIREMENT else "0"
    return [(row, {one: own.get(one, none) for one in headings}) for _, row, own in merged]


def _identity(row: OneRow, key: str) -> tuple[object, ...]:
    """Return what makes rows of two sizes one row."""
    if key == REQUIREMENT:
        return (dict(row.cells)["Fabric"].casefold(),)
    if row.how_sure.is_open:
        number, _ = row_and_column(row.source)
        return (row.cells, row.as_written, row.readings, row.source.sheet, number, row.own)
    return (row.cells,)


def _joined(one_row: OneRow, other: OneRow) -> OneRow:
    """Return two sizes of one row: its words once, as sure as the weaker."""
    return replace(
        one_row,
        cells=tuple({**dict(other.cells), **dict(one_row.cells)}.items()),
        as_written=tuple(dict.fromkeys((*one_row.as_written, *other.as_written))),
        places=tuple(dict.fromkeys((*one_row.places, *other.places))),
        how_sure=min(one_row.how_sure, other.how_sure, key=_WEAKEST_FIRST.index),
        why=" ".join(dict.fromkeys(text for text in (one_row.why, other.why) if text)),
    )


def _placed(
    rows: Iterable[tuple[OneRow, dict[str, str]]], sheet: str, headings: tuple[str, ...]
) -> tuple[DraftRow, ...]:
    placed: list[DraftRow] = []
    for number, (row, own) in enumerate(rows, start=FIRST_ROW):
        cells = {**dict(row.cells), **{key: text for key, text in own.items() if text}}
        look_at = _cell_to_fill(row, cells, headings)
        placed.append(
            DraftRow(
                cells=tuple((key, cells[key]) for key in headings if key in cells),
                as_written="\n".join(row.as_written),
                how_sure=row.how_sure,
                readings=row.readings,
                why=row.why,
                where=f"{sheet}!{address(number, 1 + headings.index(look_at))}",
                source=row.source,
                places=row.places,
            )
        )
    return tuple(placed)


def _cell_to_fill(row: OneRow, cells: dict[str, str], headings: tuple[str, ...]) -> str:
    """Return the heading of the cell that a person goes to."""
    if row.how_sure is HowSure.FILL_IN:
        described = ("Prints", "Usable width", "Form", "SKU", "Description", "Piece", AS_WRITTEN)
        return next(
            heading for heading in headings if heading not in cells and heading not in described
        )
    if row.how_sure is HowSure.CHOOSE and "Fabric" in cells:
        return CHOOSE
    return headings[0]


def _problems(draft: Draft) -> tuple[Problem, ...]:
    """Return the open rows by their cells, then what the readings warn of."""
    opened: list[Problem] = []
    for row in draft.open_rows:
        sheet, _, cell = row.where.partition("!")
        words = " ".join(row.as_written.split())
        said = row.why if words in row.why else f"'{words}' is open. {row.why}"
        told = error(said, Location("", sheet, cell))
        opened.append(replace(told, readings=row.readings))
    warned = [
        problem
        for reading in draft.readings
        for problem in reading.problems
        if not problem.is_error
    ]
    return (*opened, *dict.fromkeys(warned))

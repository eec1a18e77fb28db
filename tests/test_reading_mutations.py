"""Good workbooks with one slip of a hand: no fault of ours, no piece dropped without a word.

Run ``MUTATIONS=300 pytest tests/test_reading_mutations.py`` for more of them.
"""

from __future__ import annotations

import os
import random
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from cases.written import write_written, written_patterns
from openpyxl.cell.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from kitmaker.errors import KitmakerError, Problem
from kitmaker.lengths import Unit, parse_length
from kitmaker.pattern import PatternReading
from kitmaker.reading.grid import row_and_column
from kitmaker.reading.requirements import read_pattern

COUNT = int(os.environ.get("MUTATIONS", "40"))
LAYOUTS = ("one cell", "one row a line", "names once", "tidy")
PATTERNS = list(written_patterns().values())

ODD_VALUES: tuple[object, ...] = (
    *(None, 0, -3, 2.5, 1e9, "", " ", "-", "x", "O8", "8x", "?", "1e3", "NaN", "#REF!"),
    *(True, date(2026, 2, 1), "=A1+B1", "2 1/2", "3/8", "WOF", "each", "see note", "½", "(5)"),
)

LONGEST_NAME = 30

Mutation = Callable[[random.Random, Worksheet], set[int]]
"""Changes a sheet; returns the rows that it changed."""


def some_cell(rng: random.Random, sheet: Worksheet, *, text: bool = False) -> Cell:
    cells = [
        cell
        for row in sheet.iter_rows(min_row=2)
        for cell in row
        if cell.value is not None and (not text or isinstance(cell.value, str))
    ]
    chosen = rng.choice(cells)
    assert isinstance(chosen, Cell)
    return chosen


def odd_value(rng: random.Random, sheet: Worksheet) -> set[int]:
    """What is put in place of a whole instruction leaves no trace, so only figures and names."""
    cell = some_cell(rng, sheet)
    if len(str(cell.value)) < LONGEST_NAME:
        cell.value = rng.choice(ODD_VALUES)  # type: ignore[assignment]
    return {cell.row}


def lost_character(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet, text=True)
    text = str(cell.value)
    at = rng.randrange(len(text))
    cell.value = text[:at] + text[at + 1 :]
    return {cell.row}


def doubled_character(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet, text=True)
    text = str(cell.value)
    at = rng.randrange(len(text))
    cell.value = text[:at] + text[at] + text[at:]
    return {cell.row}


def swapped_characters(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet, text=True)
    text = str(cell.value) + " "
    at = rng.randrange(len(text) - 1)
    cell.value = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    return {cell.row}


def odd_heading(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = rng.choice([cell for cell in sheet[1] if cell.value is not None])
    typo = str(cell.value)[1:]
    cell.value = rng.choice([None, typo, "Remarks", "Color", sheet.cell(1, 1).value, 7])
    return set(range(1, sheet.max_row + 1))


def moved_cell(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet)
    other = sheet.cell(cell.row, cell.column + rng.choice([1, 2, 9]))
    other.value, cell.value = cell.value, other.value
    return {cell.row}


def merged(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet)
    last = min(sheet.max_row, cell.row + rng.choice([0, 1, 2]))
    beside = cell.column + (1 if last == cell.row else 0)
    covered = sheet.iter_rows(cell.row, last, cell.column, beside)
    if sum(one.value is not None for row in covered for one in row) > 1:
        return set()  # merging would delete what the others hold
    sheet.merge_cells(start_row=cell.row, end_row=last, start_column=cell.column, end_column=beside)
    return set(range(cell.row, last + 1))


def line_of_its_own(rng: random.Random, sheet: Worksheet) -> set[int]:
    row = rng.randrange(2, sheet.max_row + 2)
    sheet.insert_rows(row)
    words = rng.choice(["Total", "Border section", "Repeat for each block.", None, 12])
    sheet.cell(row, rng.choice([1, 2, 3]), words)
    return {row, row + 1} if words is not None else set(range(row, sheet.max_row + 1))


HARMFUL: tuple[Mutation, ...] = (
    *(odd_value, lost_character, doubled_character, swapped_characters, odd_heading),
    *(moved_cell, merged, line_of_its_own),
)


def swapped_columns(rng: random.Random, sheet: Worksheet) -> set[int]:
    one, other = rng.sample(range(1, sheet.max_column + 1), 2)
    for row in range(1, sheet.max_row + 1):
        first, second = sheet.cell(row, one), sheet.cell(row, other)
        first.value, second.value = second.value, first.value
    return set()


def title_above(rng: random.Random, sheet: Worksheet) -> set[int]:
    sheet.insert_rows(1, rng.choice([1, 2, 3]))
    sheet.cell(1, 1, "Evening at the harbor")
    return set()


def shifted(rng: random.Random, sheet: Worksheet) -> set[int]:
    sheet.insert_cols(1, rng.choice([1, 2]))
    return set()


def odd_spaces(rng: random.Random, sheet: Worksheet) -> set[int]:
    cell = some_cell(rng, sheet, text=True)
    cell.value = f"\u00a0{cell.value} \u200b"
    return set()


HARMLESS: tuple[Mutation, ...] = (swapped_columns, title_above, shifted, odd_spaces)


def mutated(seed: int, kinds: tuple[Mutation, ...], path: Path) -> tuple[PatternReading, set[int]]:
    """Write a good workbook, read it, and harm it; return the good reading and what changed."""
    rng = random.Random(seed)  # noqa: S311
    write_written(rng.choice(PATTERNS), rng.choice(LAYOUTS), path)
    good = read_pattern(path)
    book = openpyxl.load_workbook(path)
    rows = rng.choice(kinds)(rng, book.worksheets[0])
    book.save(path)
    return good, rows


def is_about(problem: Problem, rows: set[int], role: str) -> bool:
    where = problem.location
    at = where is not None and row_and_column(where)[0] in rows
    named = {int(row) for row in re.findall(r"\b[A-Z]{1,2}(\d+)\b", problem.message)}
    return at or role in problem.message or bool(named & rows)


@pytest.mark.parametrize("seed", range(COUNT))
def test_a_slip_is_read_or_said_and_no_piece_is_dropped_in_silence(
    seed: int, tmp_path: Path
) -> None:
    path = tmp_path / "slip.xlsx"
    good, rows = mutated(seed, HARMFUL, path)
    try:
        read = read_pattern(path)
    except KitmakerError:
        return  # refused in plain words
    found = {fabric.role: fabric for fabric in read.pattern.fabrics}
    for fabric in good.pattern.fabrics:
        now = found.get(fabric.role)
        if now is not None and len(now.pieces) >= len(fabric.pieces):
            continue
        everywhere = sum(len(one.pieces) for one in read.pattern.fabrics)
        moved = everywhere >= sum(len(one.pieces) for one in good.pattern.fabrics)
        own = {row_and_column(piece.where)[0] for piece in fabric.pieces}
        said = any(is_about(problem, rows | own, fabric.role) for problem in read.problems)
        assert said or moved, f"pieces of '{fabric.role}' are gone"


@pytest.mark.parametrize("seed", range(COUNT // 3))
def test_what_changes_no_meaning_changes_no_reading(seed: int, tmp_path: Path) -> None:
    path = tmp_path / "slip.xlsx"
    good, _ = mutated(seed, HARMLESS, path)
    read = read_pattern(path)
    wanted = [
        (fabric.role, [(one.quantity, one.width, one.length, one.shape) for one in fabric.pieces])
        for fabric in good.pattern.fabrics
    ]
    assert [
        (fabric.role, [(one.quantity, one.width, one.length, one.shape) for one in fabric.pieces])
        for fabric in read.pattern.fabrics
    ] == wanted


# What people do to a good workbook, and what must then happen.

HEADINGS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity crib", "Quantity throw")
GOOD = (
    HEADINGS,
    ("Moss", "A", 3, 3, 12, 20),
    ("Moss", "B", "2 1/2", "6 1/2", 8, 14),
    ("Linen", "C", 4, 4, 16, 30),
    ("Linen", "D", 2, 9, 4, 6),
)
AMOUNTS = (("Fabric", "Requirement crib", "Requirement throw"), ("Moss", "1/4 yd", "3/8 yd"))

Slip = Callable[[Worksheet], object]


def put(at: str, value: object) -> Slip:
    return lambda sheet: setattr(sheet[at], "value", value)


def add(*values: object) -> Slip:
    return lambda sheet: sheet.append(list(values))


def shift_down(sheet: Worksheet) -> None:
    for row in range(sheet.max_row, 1, -1):
        sheet.cell(row + 1, 6).value = sheet.cell(row, 6).value
    sheet.cell(2, 6).value = None


def merge_names(sheet: Worksheet) -> None:
    sheet.merge_cells("B2:B3")


def copy(title: str) -> Slip:
    def copied(sheet: Worksheet) -> None:
        sheet.parent.copy_worksheet(sheet).title = title

    return copied


def hide(sheet: Worksheet) -> None:
    sheet.parent.create_sheet("Jottings")
    sheet.sheet_state = "hidden"


ERROR_AT: tuple[tuple[str, Slip, str], ...] = (
    ("a copied sheet", copy("Pieces (2)"), "Pieces (2)!A1"),
    ("a column a row too low", shift_down, "Pieces!C6"),
    ("the row of headings deleted", lambda sheet: sheet.delete_rows(1), "Pieces!A1"),
    ("a heading deleted", put("C1", None), "Pieces!C1"),
    ("a heading typed over", put("F1", 30), "Pieces!F1"),
    ("a slip in a heading", put("D1", "Cut lenght"), "Pieces!D1"),
    ("a slip in a size", put("F1", "Quantity trow"), "Pieces!F1"),
    ("a size lost", put("F1", "Quantity"), "Pieces!F1"),
    ("a doubled heading", put("E1", "Quantity throw"), "Pieces!E1"),
    ("a slip in a name", put("A2", "Mos"), "Pieces!A2"),
    ("a total without a name", add(None, None, None, None, 40, 70), "Pieces!C6"),
    ("a value beside the table", put("G3", 2), "Pieces!G1"),
    ("a count with words", put("F2", "20 pairs"), "Pieces!F2"),
    ("a count that multiplies", put("F2", "2x10"), "Pieces!F2"),
    ("a count that adds", put("F2", "20+2"), "Pieces!F2"),
    ("a count that became a date", put("F2", date(2026, 5, 20)), "Pieces!F2"),
    ("a width that became a date", put("C3", date(2026, 5, 20)), "Pieces!C3"),
    (
        "a note that doubles",
        lambda sheet: (put("G1", "Notes")(sheet), put("G2", "double it")(sheet)),
        "Pieces!G2",
    ),
    ("a hidden sheet", hide, "Pieces"),
    (
        "a sheet's name that multiplies",
        lambda sheet: setattr(sheet, "title", "Pieces x2"),
        "Pieces x2",
    ),
)
WARNING_AT: tuple[tuple[str, Slip, str], ...] = (
    ("an added total", add("Total", None, None, None, 40, 70), "Pieces!A6"),
    ("a blank in a size", put("F3", None), "Pieces!F3"),
    ("a name merged away", merge_names, "Pieces!B2"),
    ("a row twice", add("Linen", "D", 2, 9, 4, 6), "Pieces!B6"),
    ("a name left out", put("A3", None), "Pieces!A3"),
    ("a name with a word more", put("A2", "Moss fabric"), "Pieces!A2"),
)


def slipped(path: Path, slip: Slip | None) -> PatternReading:
    book = openpyxl.Workbook()
    pieces, amounts = book.worksheets[0], book.create_sheet("Fabrics")
    pieces.title = "Pieces"
    for row in GOOD:
        pieces.append(row)
    for row in (*AMOUNTS, ("Linen", "3/8 yd", "1/2 yd")):
        amounts.append(row)
    if slip is not None:
        slip(pieces)
    book.save(path)
    return read_pattern(path, "throw")


def test_the_good_workbook_is_read_without_a_word(tmp_path: Path) -> None:
    read = slipped(tmp_path / "good.xlsx", None)
    assert read.problems == ()
    assert [piece.quantity for one in read.pattern.fabrics for piece in one.pieces] == [
        *(20, 14, 30, 6)
    ]


@pytest.mark.parametrize(
    ("slip", "where"), [one[1:] for one in ERROR_AT], ids=[one[0] for one in ERROR_AT]
)
def test_a_slip_that_would_change_the_counts_is_an_error_at_its_cell(
    tmp_path: Path, slip: Slip, where: str
) -> None:
    read = slipped(tmp_path / "slip.xlsx", slip)
    assert where in [one.location.address for one in read.problems if one.is_error and one.location]


@pytest.mark.parametrize(
    ("slip", "where"), [one[1:] for one in WARNING_AT], ids=[one[0] for one in WARNING_AT]
)
def test_a_slip_that_is_read_is_told_with_its_cell(tmp_path: Path, slip: Slip, where: str) -> None:
    read = slipped(tmp_path / "slip.xlsx", slip)
    assert not any(one.is_error for one in read.problems)
    assert where in [one.location.address for one in read.problems if one.location]


@pytest.mark.parametrize("typed", ["8 cm", "80 mm", '3 5/32"'])
def test_another_unit_in_mid_table_is_read_as_it_says(tmp_path: Path, typed: str) -> None:
    read = slipped(tmp_path / "slip.xlsx", put("C3", typed))
    wanted = parse_length(typed, Unit.INCH)
    assert read.pattern.fabrics[0].pieces[1].width == wanted
    assert read.problems == ()


def test_swapped_headings_of_width_and_length_are_obeyed(tmp_path: Path) -> None:
    def swap(sheet: Worksheet) -> None:
        sheet["C1"], sheet["D1"] = "Cut length", "Cut width"

    read = slipped(tmp_path / "slip.xlsx", swap)
    piece = read.pattern.fabrics[0].pieces[1]
    assert (piece.width, piece.length) == (6.5, 2.5)

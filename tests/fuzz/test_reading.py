"""Whatever stands in a cell: a reading or a problem, never another exception, nothing dropped."""

from __future__ import annotations

import contextlib
import tempfile
from pathlib import Path
from typing import Any

from books import write
from fuzz.effort import looks
from fuzz.strategies import Said, grids, phrases, texts, values
from hypothesis import given

from kitmaker.errors import KitmakerError, Level
from kitmaker.pattern import PieceKind
from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.requirements import read_pattern

QUICK, MANY = looks(40), looks(150)


def book_of(rows: list[list[Any]], folder: str) -> Path:
    return write(Path(folder) / "any.xlsx", {"Sheet": rows})


@MANY
@given(texts)
def test_any_cutting_text_is_read_refused_or_taken_for_a_note(text: str) -> None:
    lines = text.split("\n")
    read = read_lines(lines, FabricFacts(prints=4, cloths=4))
    for cut in read.cuts:
        assert cut.quantity >= 1
        assert cut.width > 0
        assert (cut.length is None) == (cut.kind is PieceKind.STRIP)
    assert all(read.is_told(at) for at, line in enumerate(lines) if line.strip())


@MANY
@given(texts)
def test_any_amount_is_read_or_refused(text: str) -> None:
    with contextlib.suppress(AmountError):
        assert read_amount(text).amount.quantity > 0


@QUICK
@given(grids)
def test_any_workbook_is_read_or_refused_in_plain_words(grid: tuple[list[str], list[Any]]) -> None:
    headings, rows = grid
    with tempfile.TemporaryDirectory() as folder:
        path = book_of([headings, *rows], folder)
        with contextlib.suppress(KitmakerError):
            reading = read_pattern(path, size="crib" if "Quantity crib" in headings else None)
            for fabric in reading.pattern.fabrics:
                assert all(piece.where.cell for piece in fabric.pieces)


@QUICK
@given(values)
def test_a_row_of_a_table_is_a_piece_or_a_problem(value: Any) -> None:
    heads = ["Fabric", "Piece", "Cut width", "Cut length", "Quantity"]
    for at in (2, 3, 4):
        row: list[Any] = ["Navy", "A", 2.5, 4.5, 8]
        row[at] = value
        with tempfile.TemporaryDirectory() as folder:
            path = book_of([heads, row, ["Navy", "B", 1.5, 3, 4]], folder)
            reading = read_pattern(path)
        pieces = [piece.name for fabric in reading.pattern.fabrics for piece in fabric.pieces]
        assert "B" in pieces
        assert "A" in pieces or any(one.is_error for one in reading.problems)


@MANY
@given(phrases())
def test_every_form_that_is_written_is_read_back(said: Said) -> None:
    read = read_lines([said.words], FabricFacts())
    if said.width < 1 and any(one.level is Level.ERROR for one in read.findings):
        return  # "1 - 1/2" may be one of a half, or one and a half: asked about
    assert [one.message for one in read.findings if one.level is Level.ERROR] == [], said
    assert [(cut.quantity, cut.width, cut.length) for cut in read.cuts] == [
        (said.count, said.width, said.length)
    ], said

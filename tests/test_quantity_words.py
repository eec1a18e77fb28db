"""Words that multiply, add or leave out: asked about wherever they stand, never taken for a name.

Wording and numbers are our own.
"""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from books import write

from kitmaker.errors import Level, Problem
from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.requirements import read_pattern
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.lexicon import ROUGHLY, WORDS
from kitmaker.reading.words.quantity import Force, Place, find_quantity_words
from kitmaker.reading.words.tokens import QUANTITY, Kind

HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Notes")
ROW = ("Sky", "A", 2.5, 4.5, 12)

SURE = (
    *("x3", "× 2", "3x", "triple these", "double the amount", "twice as many", "half as many"),
    *("four times", "cut 6 more for a queen", "add two extra", "plus 3 spares", "+ 4"),
    *("another 8", "not needed", "NOT REQUIRED", "do not cut", "don't cut these", "skip"),
    *("omit for the small one", "two dozen", "(pairs)", "double", "for two quilts", "make 3"),
    *("the count is per block", "times 12", "make two of these", "8 fewer", "multiply by 3"),
)
MAYBE = (
    *("repeat for the left side", "again on the back", "for each row", "the lid too", "ditto"),
    *("at least 40", "20 left, 20 right", "errata", "from stash", "for the sample only"),
    *("extra", "cut these twice", "same as above", "2 each", "if needed", "in pairs for the tail"),
)
HONEST = (
    *("for the border, cut on the bias", "extra-wide seam", "label these", "two to a boat"),
    *("48 triangles beside the sails", "join; cut four of 60 1/2 in", "2½ x 4½ unfinished"),
    *("cut twice on the diagonal", "do not prewash", "remove the selvage", "4 x 4 grid"),
    *("fabric at least 40 inches wide", "plus 2 inches for seams", "allow 2 extra inches"),
    *("another 1/2 yard", "should be 12 1/2 in square", "at most 3 in", "+ 1/4 in seams"),
    *("center piece of the block", "cut on the bias for the star", "third row", "press the seams"),
    *("four at a time", "double-fold binding", "above and below every mast", "strip set B"),
)
TITLES = (
    *("Double Harbor Chain", "Triple Gate", "Half Past Noon", "A Pair of Herons", "Make a Garden"),
    *("Double Squares", "Twice As Nice", "One of Each Season", "More Tea", "Half-Timbered"),
    *("Again and Again", "Nine Boats for Two", "Crib (36 x 48)", "Five by Seven"),
)
HEADINGS = (
    *("Quantities are for one block; make 20 blocks", "Cutting list per block", "Boats (make 2)"),
    *("Pieces x2", "for 3 quilts", "Quantity (pairs)", "Quantity (dozen)"),
)


@pytest.mark.parametrize("words", SURE)
def test_a_note_that_surely_changes_a_count_is_an_error_at_its_cell(
    tmp_path: Path, words: str
) -> None:
    (told,) = problems(tmp_path, note=words)
    assert (told.level, at(told)) == (Level.ERROR, "Pieces!F2")


@pytest.mark.parametrize("words", MAYBE)
def test_a_note_that_may_change_a_count_is_a_warning(tmp_path: Path, words: str) -> None:
    (told,) = problems(tmp_path, note=words)
    assert (told.level, at(told)) == (Level.WARNING, "Pieces!F2")


def test_honest_notes_and_names_say_nothing() -> None:
    notes = [words for words in HONEST if find_quantity_words(words, Place.NOTE)]
    names = [words for words in (*TITLES, *HONEST) if find_quantity_words(words, Place.HEADING)]
    assert (notes, names) == ([], [])


@pytest.mark.parametrize("words", HEADINGS)
def test_words_over_a_table_count_in_a_title_and_a_sheets_name(tmp_path: Path, words: str) -> None:
    assert find_quantity_words(words, Place.HEADING) is not None
    rows = [(words,), HEADS, ROW]
    read = read_pattern(write(tmp_path / "boats.xlsx", {"Pieces": rows}))
    assert [at(one) for one in read.problems if one.is_error] == ["Pieces!A1"]
    assert read.pattern.name == "boats"
    named = read_pattern(write(tmp_path / "boats.xlsx", {words[:31]: [HEADS, ROW]}))
    assert [one.location.cell for one in named.problems if one.is_error and one.location] == [None]


@pytest.mark.parametrize("heading", ["Quantity (pairs)", "Quantity x2", "Qty for 2 quilts"])
def test_words_in_a_heading_are_no_size(tmp_path: Path, heading: str) -> None:
    rows = [(*HEADS[:4], heading), ROW]
    read = read_pattern(write(tmp_path / "boats.xlsx", {"Pieces": rows}))
    assert read.pattern.size is None
    assert "Pieces!E1" in [at(one) for one in read.problems if one.is_error]


def test_a_name_with_words_of_quantity_stays_a_name_and_is_warned_of(tmp_path: Path) -> None:
    sheets = {"Pattern": [("Pattern", "Boats, make 2")], "Pieces": [HEADS, ROW]}
    read = read_pattern(write(tmp_path / "boats x2.xlsx", sheets))
    assert read.pattern.name == "Boats, make 2"
    assert [(one.level, at(one)) for one in read.problems] == [
        (Level.WARNING, "Pattern!B1"),
        (Level.WARNING, ""),
    ]


@pytest.mark.parametrize("name", ["A (make 2)", "A x2", "A (do not cut)"])
def test_a_piece_whose_name_multiplies_is_asked_about(tmp_path: Path, name: str) -> None:
    rows = [HEADS, ("Sky", name, 2.5, 4.5, 12)]
    read = read_pattern(write(tmp_path / "boats.xlsx", {"Pieces": rows}))
    assert [at(one) for one in read.problems if one.is_error] == ["Pieces!B2"]


def test_a_bracket_in_a_name_counts_as_a_heading(tmp_path: Path) -> None:
    rows = [HEADS, ("Sky (scraps)", "A (2 each)", 2.5, 4.5, 12)]
    (told,) = read_pattern(write(tmp_path / "boats.xlsx", {"Pieces": rows})).problems
    assert (told.level, at(told)) == (Level.WARNING, "Pieces!B2")


def test_a_comment_with_figures_or_words_of_quantity_is_told(tmp_path: Path) -> None:
    path = write(tmp_path / "boats.xlsx", {"Pieces": [HEADS, ROW]})
    book = openpyxl.load_workbook(path)
    book["Pieces"]["E2"].comment = openpyxl.comments.Comment("should be 16", "a reader")
    book["Pieces"]["A2"].comment = openpyxl.comments.Comment("the pale one", "a reader")
    book.save(path)
    (told,) = read_pattern(path).problems
    assert (told.level, at(told)) == (Level.WARNING, "Pieces!E2")
    assert "should be 16" in told.message


def test_the_surest_words_of_a_text_are_named() -> None:
    found = find_quantity_words("repeat for the back, x2", Place.NOTE)
    assert found is not None
    assert (found.words, found.force) == ("x2", Force.SURE)


OBEYED = {*ROUGHLY.split(), "optional"}
"""Said of an amount they change nothing that is to be bought."""


@pytest.mark.parametrize(
    ("kind", "word"), [(kind, word) for kind in QUANTITY for word in WORDS.get(kind, "").split()]
)
def test_a_word_of_quantity_in_the_lexicon_is_noticed_in_every_text(kind: Kind, word: str) -> None:
    assert lex(f"sails {word} sails")[1].kind is kind
    assert find_quantity_words(f"trim, {word}", Place.NOTE)
    assert find_quantity_words(f"Boats ({word})", Place.HEADING)
    assert find_quantity_words(f"A ({word})", Place.NAME)
    if word not in OBEYED:
        for amount in (f"6 {word} lengths of 1 yard", f"6 fat quarters ({word})"):
            with pytest.raises(AmountError):
                read_amount(amount)
    for line in (f'Cut 12 {word} squares 5"', f'Cut {word} 12 squares 5"', f'12 squares 5" {word}'):
        read = read_lines([line], FabricFacts())
        is_asked = any(one.level is Level.ERROR for one in read.findings)
        assert is_asked or [one.quantity for one in read.cuts] != [12], line


@pytest.mark.parametrize("kind", QUANTITY)
def test_each_kind_of_quantity_words_is_told_wherever_it_stands_in_a_workbook(
    tmp_path: Path, kind: Kind
) -> None:
    word = WORDS[kind].split()[-1]
    cuts = [("Fabric", "Requirement", "Cutting"), ("Sky", "1 yd", f'12 {word} squares 5"')]
    for rows, sheet, file in (
        ([(f"Boats ({word})",), HEADS, ROW], "Pieces", "boats"),
        ([(*HEADS[:4], f"Quantity ({word})"), ROW], "Pieces", "boats"),
        ([HEADS, ROW], f"Pieces ({word})", "boats"),
        ([HEADS, ROW], "Pieces", f"boats ({word})"),
        ([HEADS, ("Sky", f"A ({word})", 2.5, 4.5, 12)], "Pieces", "boats"),
        ([HEADS, (*ROW, f"{word} of it")], "Pieces", "boats"),
        (cuts, "Pieces", "boats"),
        ([cuts[0], ("Sky", f"6 {word} fat quarters", "")], "Pieces", "boats"),
    ):
        path = write(tmp_path / f"{file}.xlsx", {sheet: rows})
        told = [one.message for one in read_pattern(path).problems]
        assert [said for said in told if word in said], (rows, sheet, file)


def problems(folder: Path, note: str) -> tuple[Problem, ...]:
    return read_pattern(write(folder / "boats.xlsx", {"Pieces": [HEADS, (*ROW, note)]})).problems


def at(problem: Problem) -> str:
    return problem.location.address if problem.location else ""


@pytest.mark.parametrize("amount", ["1 yd for 2 quilts", "1 yd (for 2 quilts)", "1 yd, times 3"])
def test_an_amount_for_several_quilts_is_asked_about(tmp_path: Path, amount: str) -> None:
    rows = [("Fabric", "Requirement"), ("Sky", amount)]
    read = read_pattern(write(tmp_path / "boats.xlsx", {"Fabrics": rows}))
    assert [at(one) for one in read.problems if one.is_error][:1] == ["Fabrics!B2"]

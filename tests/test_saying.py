"""How figures and pieces are said on paper."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from quilt import bolt

from kitmaker.errors import Location
from kitmaker.kits.pieces_named import name_rows
from kitmaker.lengths import Unit
from kitmaker.paper.sheets.page import finished_size_of
from kitmaker.paper.sheets.pull_list import say_short, view_pull_lines
from kitmaker.paper.sheets.saying import (
    say_date,
    say_each_print,
    say_later,
    say_piece_notes,
    say_proof,
    say_total,
)
from kitmaker.pattern import Pattern, Piece, Shape
from kitmaker.plans import KitPlan

AS_IT_IS = {Shape.RECTANGLE, Shape.SQUARE}


def piece(shape: Shape, notes: str = "") -> Piece:
    size = Fraction(4)
    where = Location("pattern.xlsx", "Pieces", "B2")
    return Piece(
        name="sky", width=size, length=size, quantity=4, shape=shape, where=where, notes=notes
    )


@pytest.mark.parametrize("shape", Shape)
def test_every_shape_says_what_becomes_of_the_cut_piece(shape: Shape) -> None:
    assert (say_later(shape) == "") is (shape in AS_IT_IS)


def test_no_two_shapes_are_said_alike() -> None:
    said = [say_later(shape) for shape in Shape if shape not in AS_IT_IS]
    assert len(set(said)) == len(said)


def test_what_a_note_says_already_is_not_said_twice() -> None:
    note = "four small squares to each large one, for four flying geese at a time"
    assert say_piece_notes(piece(Shape.FOR_FOUR_GEESE, note)) == note
    assert say_piece_notes(piece(Shape.FOR_FOUR_GEESE)) == "for four flying geese at a time"
    assert say_piece_notes(piece(Shape.CUT_ONCE, "roof")) == (
        "for later: cut once on the diagonal; roof"
    )


def test_the_pull_list_says_in_which_row_of_the_stock_sheet_a_bolt_stands(
    class_plan: KitPlan,
) -> None:
    wheres = [piece.where for line in view_pull_lines(class_plan) for piece in line.stock]
    assert wheres[0] == "Stock, row 5"
    assert not any("!" in where for where in wheres)


def test_two_pieces_of_one_dye_lot_are_told_apart_by_their_length() -> None:
    rows = [bolt("S-1", yards, dye_lot="7") for yards in ("5.5", 2, 2)]
    assert name_rows(rows, Unit.INCH) == ["5½ yd piece", "first 2 yd piece", "second 2 yd piece"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2027-03-13", "March 13, 2027"),
        ("2027-03-13 00:00:00", "March 13, 2027"),
        ("2027-03-13 and 2027-04-01", "March 13, 2027 and April 1, 2027"),
        ("Saturday, 3 pm", "Saturday, 3 pm"),
        ("2027-13-40", "2027-13-40"),
    ],
)
def test_a_date_is_said_as_people_write_it(text: str, said: str) -> None:
    assert say_date(text) == said


@pytest.mark.parametrize(
    ("sizes", "size", "finished", "said"),
    [
        ((), None, "54 x 63 in", "54 x 63 in"),
        (("crib", "throw"), "throw", "crib 38 x 46 in, throw 54 x 62 in", "54 x 62 in"),
        (("Crib", "Throw"), "Crib", "38,5 x 46 cm (crib); 54 x 62 cm (throw)", "38,5 x 46 cm"),
        (("twin", "twin XL"), "twin", "twin XL: 70 x 100\ntwin: 70 x 90", "70 x 90"),
        (("crib", "throw"), "throw", "38 x 46 in", ""),
        (("crib", "throw"), "throw", "crib and throw", ""),
    ],
)
def test_only_the_size_that_is_made_is_said(
    sizes: tuple[str, ...], size: str | None, finished: str, said: str
) -> None:
    pattern = Pattern(name="Boats", sizes=sizes, size=size, finished_size=finished)
    assert finished_size_of(pattern) == said


def test_a_shortage_that_is_not_proven_says_that_it_may_be_less(class_plan: KitPlan) -> None:
    line = next(line for line in class_plan.pull if line.short)
    assert say_short(line) == "Short by ⅞ yd"
    unsure = replace(line, short="short by at most ⅞ yd")
    assert say_short(unsure).startswith("Short by at most ⅞ yd; ")
    assert "it may be less" in say_short(unsure)


def test_a_length_that_is_not_proven_says_what_is_sure(class_plan: KitPlan) -> None:
    fabric = next(one for one in class_plan.fabrics if one.form.by_length)
    loose = replace(fabric.total, proven=False, length_lower_bound=Fraction(27))
    assert say_proof(loose, fabric.form, Unit.INCH) == (
        "may not be the shortest; at least ¾ yd is needed"
    )


def test_a_total_cut_for_two_colorways_says_that_it_is_for_both(class_plan: KitPlan) -> None:
    together = [one for one in class_plan.fabrics if one.cut_with]
    assert together
    for fabric in together:
        others = {colorway for _, colorway in fabric.cut_with} - {fabric.colorway}
        said = say_total(fabric)
        assert said.startswith(f"{fabric.total.buy}, ")
        assert said.endswith(" included")
        assert all(f"colorway {name}" in said for name in others)
        assert fabric.colorway not in said
    alone = next(one for one in class_plan.fabrics if not one.cut_with)
    assert say_total(alone) == alone.total.buy


@pytest.mark.parametrize(
    ("prints", "count", "said"),
    [(12, 96, "8 of each of 12 prints"), (12, 100, ""), (None, 96, ""), (1, 96, "")],
)
def test_how_many_come_from_each_print_is_said(prints: int | None, count: int, said: str) -> None:
    of_prints = replace(piece(Shape.SQUARE), from_each=prints)
    assert say_each_print(of_prints, count) == said

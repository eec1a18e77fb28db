"""A fabric cut from several lengths: each is straightened, trued and charged by itself."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from quilt import bolt, fabric, pattern, piece, shop, strip
from test_kit import plan

from kitmaker.cutting_jobs import Action, Step
from kitmaker.errors import Location
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.cutting_sheet import view_lengths_used
from kitmaker.paper.sheets.jobs import on_one_table
from kitmaker.paper.sheets.pull_list import view_pull_lines
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

F = Fraction
BINDING = fabric("Binding", strip("strip", "2.5", 19), sku="B-1")


def two_pieces(first: object, second: object, what: object = BINDING, **figures: object) -> KitPlan:
    rows = (
        replace(bolt("B-1", yards), where=Location("shop.xlsx", "Stock", f"A{row}"))
        for row, yards in enumerate((first, second), start=4)
    )
    at = shop(*rows, **figures)  # type: ignore[arg-type]
    return plan(pattern(what), at, kits=1, bags=((None, Bag.PIECES),))  # type: ignore[arg-type]


def off_each(made: KitPlan) -> dict[str, list[Step]]:
    job = made.fabrics[0].job
    assert job is not None
    steps: dict[str, list[Step]] = {}
    for layout in job.layouts:
        for step in layout.steps:
            if not step.part:
                steps.setdefault(step.cloth, []).append(step)
    return steps


@pytest.fixture
def split() -> KitPlan:
    """19 strips: a piece of 1 yd gives 13 or 14 of them, ¾ yd the rest."""
    return two_pieces(1, F(3, 4))


def test_each_length_is_straightened_once_and_loses_what_the_steps_take_off(split: KitPlan) -> None:
    taken = {piece.take for piece in split.pull[0].pieces}
    lost = Counter()  # type: ignore[var-annotated]
    for cloth, steps in off_each(split).items():
        assert [step.action for step in steps].count(Action.STRAIGHTEN) == 1
        strips = sum(measure.times for step in steps for measure in step.measures)
        truings = sum(len(step.re_square_after) for step in steps)
        lost[cloth] = strips * F(5, 2) + F(1, 2) + truings * F(1, 4)
    assert len(lost) == 2
    assert set(lost.values()) == taken, "the steps ask for what each length is charged"


def test_what_is_charged_is_the_sum_over_the_lengths(split: KitPlan) -> None:
    total = split.fabrics[0].total
    taken = sum(piece.take for piece in split.pull[0].pieces)
    assert total.length_with_loss == taken
    assert (total.buy_length or 0) >= taken
    one = plan(pattern(BINDING), shop(bolt("B-1", 3)), kits=1, bags=((None, Bag.PIECES),))
    assert one.fabrics[0].total.length_with_loss == F(195, 4)
    assert taken > F(195, 4), "a second length is straightened too"


@pytest.mark.parametrize("every", [2, 3, 6])
def test_steps_and_charge_agree_for_many_strips_and_sizes(every: int) -> None:
    what = fabric("Sky", piece("a", 3, 4, 90), piece("b", 5, 7, 31), sku="B-1")
    made = two_pieces(F(9, 4), 2, what, re_square_every=every)
    taken = {piece.take for piece in made.pull[0].pieces}
    asked = set()
    for steps in off_each(made).values():
        inches = sum((m.size * m.times for step in steps for m in step.measures), F(0))
        asked.add(inches + F(1, 2) + sum(len(step.re_square_after) for step in steps) * F(1, 4))
    assert asked == taken


@given(st.lists(st.integers(30, 60), min_size=3, max_size=3), st.integers(60, 140))
@settings(max_examples=6, deadline=None, derandomize=True)
def test_no_length_is_asked_for_more_than_it_is_charged_and_has(
    inches: list[int], patches: int
) -> None:
    what = fabric("Sky", piece("a", 4, 5, patches), strip("edge", "2.5", 6), sku="B-1")
    rows = (
        replace(bolt("B-1", F(some, 36)), where=Location("shop.xlsx", "Stock", f"A{row}"))
        for row, some in enumerate(inches, start=4)
    )
    made = plan(pattern(what), shop(*rows), kits=1, bags=((None, Bag.PIECES),))
    asked = []
    for cloth, steps in off_each(made).items():
        cut = sum((m.size * m.times for step in steps for m in step.measures), F(0))
        trued = sum(len(step.re_square_after) for step in steps) * F(1, 4)
        if "still to come" not in cloth:
            asked.append(cut + trued + F(1, 2))
    pieces = made.pull[0].pieces
    if len(pieces) > 1:
        assert sorted(asked) == sorted(one.take for one in pieces)
    assert all(one.take <= one.at_hand for one in pieces)


def test_the_sheet_says_of_each_length_how_much_is_used_and_how_much_goes_back() -> None:
    made = two_pieces(1, 2)
    files = dict(render_pages(made).files)
    sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
    for line in view_pull_lines(made)[0].stock:
        goes = "is left" if line.left == "nothing" else "goes back at the end"
        assert f"({line.where}): {line.take} is used, {line.left} {goes}" in sheet
    used = view_lengths_used(made, on_one_table(made)[0])
    assert len(used) == 2
    assert all(take for _, take, _ in used)


def test_a_length_that_is_cut_on_says_where_it_was_cut_and_that_its_end_is_straight() -> None:
    what = fabric("Sky", piece("a", 3, 4, 90), piece("b", 5, 7, 31), sku="B-1")
    made = two_pieces(F(9, 8), 1, what)
    job = made.fabrics[0].job
    assert job is not None
    on_the_table: dict[str, str] = {}
    went_on = 0
    for layout in job.layouts:
        for step in (step for step in layout.steps if not step.part):
            if step.action is Action.STRAIGHTEN:
                assert step.text.startswith(f"Take {step.cloth}. Press.")
            elif step.cloth in on_the_table and on_the_table[step.cloth] != layout.name:
                name = step.cloth.partition(" (")[0]
                assert step.text.startswith(f"Go on with {name} from {on_the_table[step.cloth]} (")
                assert " left): its end is straight. Cut across" in step.text
                went_on += 1
            on_the_table[step.cloth] = layout.name
    assert went_on


def test_rows_whose_numbers_begin_alike_are_told_apart() -> None:
    rows = (
        replace(bolt("B-1", 1), dye_lot=lot, where=Location("shop.xlsx", "Stock", f"A{row}"))
        for row, lot in ((2, "8"), (21, "9"))
    )
    binding = fabric("Binding", strip("strip", "2.5", 5), sku="B-1")
    made = plan(pattern(binding), shop(*rows), kits=3, bags=((None, Bag.PIECES),))
    used = view_lengths_used(made, on_one_table(made)[0])
    stock = view_pull_lines(made)[0].stock
    assert [cloth for cloth, _, _ in used] == [
        f"The {piece.name} ({piece.where}, dye lot {piece.dye_lot})" for piece in stock
    ]
    assert [take for _, take, _ in used] == [piece.take for piece in stock]
    assert len({take for _, take, _ in used}) == 2


def test_one_length_needs_no_table() -> None:
    made = plan(pattern(BINDING), shop(bolt("B-1", 3)), kits=1, bags=((None, Bag.PIECES),))
    assert view_lengths_used(made, on_one_table(made)[0]) == ()
    assert set(off_each(made)) == {""}


def test_what_no_length_has_room_for_comes_off_cloth_still_to_come() -> None:
    made = two_pieces(F(1, 2), F(1, 4))
    assert made.pull[0].short
    steps = off_each(made)["the cloth that is still to come"]
    assert [step.action for step in steps] == [Action.STRAIGHTEN, Action.CUT]


def test_take_is_said_in_the_steps_cloth_is_sold_in_and_never_above_what_is_there() -> None:
    made = two_pieces(F(7, 5), F(3, 16))
    for stock in view_pull_lines(made)[0].stock:
        assert "/16" not in stock.take + stock.left
    used_up = two_pieces(F(34, 25), F(1, 32))
    (stock,) = view_pull_lines(used_up)[0].stock
    assert stock.take.split() == ["all", "of", "it"]

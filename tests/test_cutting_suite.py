"""Kits whose answers are known: no form more, every form proven, and easy to cut."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.problem import Demand
from kitmaker.cutting.purchase import Purchase, StripLoss

F = Fraction
SOLD = Purchase(step=F(9, 2), loss=StripLoss(straighten=F(1), re_square=F(1, 4), every=8))
"""By the eighth of a yard; an inch is lost at the start, a quarter after every 8 strips."""


def _plan(across: int, along: int, *pieces: tuple[str, str, int]):
    demands = [
        Demand(f"{at}", _inches(w), _inches(h), count) for at, (w, h, count) in enumerate(pieces)
    ]
    return plan_forms(demands, F(across), F(along))


def _inches(text: str) -> Fraction:
    return sum((F(part) for part in text.split()), F(0))


def _tally(layouts: tuple[Layout, ...]) -> dict[str, int]:
    made: dict[str, int] = {}
    for layout in layouts:
        for key, count in layout.sheet.tally().items():
            made[key] = made.get(key, 0) + count * layout.copies
    return made


def test_a_kit_without_a_square_inch_to_spare_but_one_sheet_is_found() -> None:
    # 880 of 960 square inches, and 10 × 8 four times fills a fat quarter alone.
    answer = _plan(20, 16, ("10", "8", 4), ("5", "4", 8), ("2 1/2", "8", 12), ("2 1/2", "4", 16))
    assert (answer.count, answer.lower_bound) == (3, 3)


def test_a_form_cut_up_at_random_is_put_together_again() -> None:
    # 20 × 16 cut at 12, then 12 × 16 at 7 and 8 × 16 at 9½, and each part once more.
    answer = _plan(
        20,
        16,
        ("12", "7", 1),
        ("5 1/2", "9", 1),
        ("6 1/2", "9", 1),
        ("8", "4 1/2", 1),
        ("8", "5", 1),
        ("3", "6 1/2", 1),
        ("5", "6 1/2", 1),
    )
    assert (answer.count, answer.lower_bound) == (1, 1)


def test_short_strips_with_many_kinds_are_settled_exactly() -> None:
    # 22-inch pieces: one a strip, and 17 beside it. Five of them need five strips.
    demands = [Demand("a", F(22), F(5, 2), 5), Demand("b", F(19), F(5, 2), 3)]
    answer = plan_forms(demands, F(40), F(5, 2))
    # A strip of 40 holds one of each never (41), two of 19 once: 5 + 2.
    assert (answer.count, answer.lower_bound) == (7, 7)


def test_from_a_layout_cut_once_nothing_too_many_is_cut() -> None:
    answer = _plan(20, 16, ("5", "5", 7), ("2 1/2", "4 1/2", 3))
    assert answer.count == 1
    assert _tally(answer.layouts) == {"0": 7, "1": 3}


def test_one_kind_takes_one_layout_and_a_last_sheet() -> None:
    answer = _plan(20, 16, ("2 1/2", "2 1/2", 96))
    assert answer.count == 2
    assert len(answer.layouts) == 1


def test_equal_strips_follow_one_another_largest_first() -> None:
    answer = _plan(20, 16, ("6 1/2", "6 1/2", 3), ("2 1/2", "2 1/2", 16))
    sheet = answer.layouts[0].sheet
    assert answer.count == 1
    depths = [sheet.measure_of(child) for child in sheet.children if not child.is_offcut]
    assert depths == sorted(depths, reverse=True)


def test_a_strip_holds_two_large_squares_and_the_small_ones_beside_them() -> None:
    # Strips of 4½ for ten squares and of 2½ for 160 take 34 inches; better is 31½:
    demands = [Demand("s", F(5, 2), F(5, 2), 160), Demand("l", F(9, 2), F(9, 2), 10)]
    answer = plan_length(demands, F(40))
    assert answer.length <= F(63, 2)
    assert _tally(answer.layouts) == {"s": 160, "l": 10}


def test_long_borders_lie_beside_rows_of_small_pieces() -> None:
    demands = [
        Demand("border", F(13, 2), F(72), 4, may_turn=False),
        Demand("s", F(5, 2), F(5, 2), 120),
    ]
    answer = plan_length(demands, F(40))
    # 26 of the width is border; 14 × 72 beside it holds five squares a row in 28 rows.
    assert answer.length == 72
    assert answer.proven


def test_a_handful_of_pieces_is_exact() -> None:
    demands = [Demand("a", F(8), F(51, 8), 2), Demand("b", F(25), F(5), 1)]
    answer = plan_length(demands, F(41))
    assert answer.length == F(51, 8)
    assert answer.proven


@pytest.fixture(scope="module")
def mixed_strips():
    demands = [
        Demand("A", F(2), F(8), 48),
        Demand("B", F(2), F(19, 2), 48),
        Demand("C", F(31, 8), F(31, 8), 24),
    ]
    return plan_length(demands, F(83, 2), SOLD)


def test_a_purchase_gives_a_simpler_plan_and_keeps_the_shortest_length(mixed_strips) -> None:
    assert mixed_strips.lower_bound <= mixed_strips.length <= mixed_strips.easy[0].length
    shortest = sum(one.copies for one in mixed_strips.layouts)
    simple = sum(one.copies for one in mixed_strips.easy[0].layouts)
    assert SOLD.bought(mixed_strips.easy[0].length, simple) <= SOLD.bought(
        mixed_strips.length, shortest
    )
    assert len(mixed_strips.easy[0].layouts) <= len(mixed_strips.layouts)
    assert max(one.sheet.levels for one in mixed_strips.easy[0].layouts) <= 3


def test_both_plans_yield_every_piece(mixed_strips) -> None:
    for layouts in (mixed_strips.layouts, mixed_strips.easy[0].layouts):
        made = _tally(layouts)
        assert made["A"] >= 48
        assert made["B"] >= 48
        assert made["C"] >= 24


def test_lengths_of_layouts_add_up(mixed_strips) -> None:
    for length, layouts in (
        (mixed_strips.length, mixed_strips.layouts),
        (mixed_strips.easy[0].length, mixed_strips.easy[0].layouts),
    ):
        assert sum(one.sheet.along * one.copies for one in layouts) == length


def test_the_same_question_has_the_same_answer() -> None:
    demands = [Demand("a", F(31, 8), F(31, 8), 30), Demand("b", F(9, 4), F(7), 25)]
    assert plan_forms(demands, F(20), F(16)) == plan_forms(demands, F(20), F(16))
    assert plan_length(demands, F(40)) == plan_length(demands, F(40))


@pytest.mark.parametrize(
    ("pieces", "count"),
    [
        ((("3", "2 7/8", 50), ("3", "4", 38), ("5", "4", 34), ("4", "2 1/2", 59)), 7),
        (
            (
                ("3 1/2", "8 1/2", 34),
                ("2 1/2", "4 1/2", 59),
                ("3 7/8", "4", 6),
                ("8 1/2", "5 1/4", 5),
            ),
            7,
        ),
    ],
)
def test_more_than_three_rounds_of_cuts_only_where_three_do_not_reach_the_count(
    pieces: tuple[tuple[str, str, int], ...], count: int
) -> None:
    answer = _plan(20, 16, *pieces)
    assert answer.count == count
    assert max(layout.sheet.levels for layout in answer.layouts) <= 3


def test_the_same_pieces_take_the_same_length_however_they_are_sold() -> None:
    """Eight sizes of one kit: what is bought is what the shortest length rounds up to."""
    demands = [
        Demand(f"{at}", _inches(w), _inches(h), count)
        for at, (w, h, count) in enumerate(
            (("6 1/2", "6 1/2", 9), ("3 1/2", "6 1/2", 14), ("3 7/8", "3 7/8", 22),
             ("2 1/2", "8 1/2", 12), ("5 1/4", "5 1/4", 5), ("2 1/2", "2 1/2", 31),
             ("4 1/2", "9 1/2", 4), ("1 1/2", "12 1/2", 7))
        )
    ]  # fmt: skip
    shortest = plan_length(demands, F(40))
    for exact in (True, False):
        sold = plan_length(demands, F(40), SOLD, easy=not exact, exact=exact)
        bought = [SOLD.bought(one.length, sum(each.copies for each in one.layouts))
                  for one in (shortest.shortest, sold.shortest, sold.easy[0])]  # fmt: skip
        assert bought[1] <= bought[0]
        assert bought[2] <= bought[0]

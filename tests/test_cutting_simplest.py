"""Which of several choices of equal count is taken: the one that is easiest to cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

import pytest
from cutting_suite import FormCase, form_cases

from kitmaker.cutting.desk import LengthCut, plan_length
from kitmaker.cutting.fewest import fewest_sheets
from kitmaker.cutting.layout import Axis, Part
from kitmaker.cutting.problem import Demand, Problem, build_problem
from kitmaker.cutting.purchase import Purchase, StripLoss
from kitmaker.cutting.simplest import drop_surplus, simplest_choice
from kitmaker.cutting.trees import (
    Column,
    Tree,
    join,
    largest_offcut,
    piece_tree,
    realize,
    tally,
    total,
)

F = Fraction
SHEET = 10


def offcuts(part: Part) -> Iterator[Fraction]:
    if part.is_offcut:
        yield part.across * part.along
    for child in part.children:
        yield from offcuts(child)


@pytest.mark.parametrize("case", form_cases()[::6], ids=lambda case: case.name)
def test_the_largest_offcut_is_that_of_the_layout_as_it_is_printed(case: FormCase) -> None:
    problem = build_problem(case.demands, case.across, case.along)
    height = problem.height or 0
    for column in fewest_sheets(problem).columns:
        part = realize(column.tree, problem.width, height, problem.unit, str)
        largest = largest_offcut(column.tree, problem.width, height)
        assert largest * problem.unit**2 == max(offcuts(part), default=0)


def problem_of(*pieces: tuple[int, int, int]) -> Problem:
    demands = [
        Demand(f"{at}", F(w), F(h), n, may_turn=False) for at, (w, h, n) in enumerate(pieces)
    ]
    return build_problem(demands, F(SHEET), F(SHEET))


def pieces_of(problem: Problem) -> list[Tree]:
    return [
        piece_tree(kind.across, kind.along, at, turned=False)
        for at, kind in enumerate(problem.kinds)
    ]


def column_of(problem: Problem, tree: Tree) -> Column:
    return Column(tally(tree, len(problem.kinds)), tree, 1)


@pytest.mark.parametrize("known", [0, 1])
def test_of_layouts_as_easy_the_one_that_leaves_the_largest_offcut_is_taken(known: int) -> None:
    """Two 5 x 2 behind one another leave 10 x 6 or so; side by side they leave 5 x 8."""
    problem = problem_of((5, 2, 2))
    (piece,) = pieces_of(problem)
    columns = [column_of(problem, join(axis, [piece, piece])) for axis in Axis]
    chosen = simplest_choice(problem, columns, Counter({columns[known]: 1}), 1, [1])
    (column,) = chosen
    assert column.tree.axis is Axis.ALONG


def test_what_a_layout_that_is_left_out_gave_is_not_left_out_twice() -> None:
    """Three are needed; of 1 + 2 + 2 the one goes, and one of a pair."""
    problem = problem_of((5, 2, 3))
    (piece,) = pieces_of(problem)
    trees = (piece, *(join(axis, [piece, piece]) for axis in Axis))
    chosen = Counter({column_of(problem, tree): 1 for tree in trees})
    assert total(drop_surplus(problem, chosen), 1) == [3]


def test_fewer_ruler_settings_come_before_any_offcut() -> None:
    """Rows of one kind take three settings and leave 6 x 4; stacks take four, and leave 4 x 10."""
    problem = problem_of((4, 4, 2), (2, 4, 2))
    wide, narrow = pieces_of(problem)
    rows = join(Axis.ALONG, [join(Axis.ACROSS, [one, one]) for one in (wide, narrow)])
    stacks = join(Axis.ACROSS, [join(Axis.ALONG, [one, one]) for one in (wide, narrow)])
    sheet = problem.width, problem.height or 0
    assert largest_offcut(stacks, *sheet) > largest_offcut(rows, *sheet)
    columns = [column_of(problem, tree) for tree in (rows, stacks)]
    chosen = simplest_choice(problem, columns, Counter({columns[1]: 1}), 1, [1, 1])
    assert list(chosen) == [columns[0]]


def test_what_is_easy_to_cut_is_never_a_larger_purchase() -> None:
    """Many easy strips lose more at the edge than a block does: ¾ yd against ⅝ yd."""
    sold = Purchase(F(9, 2), StripLoss(F(1, 2), F(1, 4), 6))
    sizes = [("5/2", "9/2", 24), ("7/2", "7/2", 16), ("3/2", "13/2", 12), ("5", "5", 6)]
    demands = [Demand(f"{at}", F(w), F(h), n) for at, (w, h, n) in enumerate(sizes)]
    answer = plan_length(demands, F(40), sold)

    def bought(cut: LengthCut) -> Fraction:
        return sold.bought(cut.length, sum(layout.copies for layout in cut.layouts))

    assert bought(answer.easy[0]) <= bought(answer.shortest)

"""Lengths put together stretch by stretch: what a strip may hold, rooms beside long pieces."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction

import pytest
from cutting_suite import border_cases

from kitmaker.cutting.counted_strips import CountedStrips
from kitmaker.cutting.desk import plan_length
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.long_blocks import long_blocks
from kitmaker.cutting.problem import Demand, Problem, build_problem
from kitmaker.cutting.stretch_by_stretch import RULES, Diver
from kitmaker.cutting.trees import tally

F = Fraction


def problem_of(width: int, *pieces: tuple[int, int, int], may_turn: bool = False) -> Problem:
    demands = [
        Demand(f"{at}", F(w), F(h), count, may_turn) for at, (w, h, count) in enumerate(pieces)
    ]
    return build_problem(demands, F(width), None)


def best_by_hand(problem: Problem, values: list[int], depth: int) -> int:
    """Try every number of stacks of each kind side by side."""
    most = []
    for kind in problem.kinds:
        high = depth // kind.along
        most.append(-(-kind.count // high) if high else 0)
    best = 0
    for stacks in itertools.product(*(range(one + 1) for one in most)):
        width = sum(n * kind.across for n, kind in zip(stacks, problem.kinds, strict=True))
        if width <= problem.width:
            held = [
                min(kind.count, n * (depth // kind.along))
                for n, kind in zip(stacks, problem.kinds, strict=True)
            ]
            best = max(best, sum(v * n for v, n in zip(values, held, strict=True)))
    return best


@pytest.mark.parametrize("seed", range(40))
def test_the_best_counted_strip_is_the_best_of_all(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311
    widths = draw.sample(range(2, 9), 3)
    pieces = [(w, draw.randint(2, 5), draw.randint(1, 6)) for w in widths]
    problem = problem_of(20, *pieces)
    values = [draw.randint(1, 50) for _ in problem.kinds]
    search = CountedStrips(problem.kinds, problem.width, 8)
    found = search.solve(values, problem.counts)
    for at, depth in enumerate(search.depths):
        assert found.values[-1, at] == best_by_hand(problem, values, depth)


def test_a_counted_strip_holds_what_its_value_says_and_no_more_than_is_left() -> None:
    problem = problem_of(20, (3, 4, 9), (5, 2, 3), (2, 4, 2))
    search = CountedStrips(problem.kinds, problem.width, 8)
    values, left = [7, 5, 6], [4, 3, 1]
    found = search.solve(values, left)
    for at, depth in enumerate(search.depths):
        tree = found.strip(at, problem.width)
        assert tree is not None
        counts = tally(tree, 3)
        assert all(have <= need for have, need in zip(counts, left, strict=True))
        assert sum(v * n for v, n in zip(values, counts, strict=True)) == found.values[-1, at]
        assert tree.across <= problem.width
        assert tree.along <= depth


def test_pieces_of_one_width_are_stacked_in_one_section() -> None:
    """Strips of 5: a 2 and a 3 behind one another, four times, fill 12 of the width."""
    problem = problem_of(12, (3, 2, 4), (3, 3, 4))
    search = CountedStrips(problem.kinds, problem.width, 5)
    found = search.solve([3, 2], problem.counts)
    tree = found.strip(search.depths.index(5), problem.width)
    assert tree is not None
    assert tally(tree, 2) == (4, 4)


def test_blocks_are_long_pieces_side_by_side_with_the_room_beside() -> None:
    problem = problem_of(40, (6, 70, 2), (5, 65, 1), (4, 4, 30))
    found = {(block.counts[:2], block.length, block.beside) for block in long_blocks(problem)}
    assert ((1, 0), 70, 34) in found
    assert ((2, 0), 70, 28) in found
    assert ((2, 1), 70, 23) in found
    assert all(block.counts[2] == 0 for block in long_blocks(problem)), "squares are not long"


@pytest.mark.parametrize("rule", range(RULES))
def test_every_dive_holds_the_demand(rule: int) -> None:
    problem = problem_of(40, (6, 70, 2), (5, 5, 33), (3, 8, 17), may_turn=True)
    trees = Diver(problem, 70).dive(rule)
    made = [sum(counts) for counts in zip(*(tally(tree, 3) for tree in trees), strict=True)]
    assert all(have >= need for have, need in zip(made, problem.counts, strict=True))
    assert all(tree.across <= problem.width for tree in trees)


def test_small_pieces_fill_the_room_beside_the_longest_one() -> None:
    """The longest piece must lie along: 61⅝ is the least there is, and all else fits beside."""
    demands = [
        Demand("long", F(37, 8), F(493, 8), 1),
        Demand("a", F(49, 8), F(49, 8), 1),
        Demand("b", F(17, 8), F(17, 8), 16),
        Demand("c", F(47, 8), F(47, 8), 16),
        Demand("d", F(19, 8), F(25, 2), 40),
    ]
    answer = plan_length(demands, F(41))
    assert answer.length == F(493, 8)
    assert answer.proven


def pieces_of(layouts: tuple[Layout, ...]) -> dict[str, int]:
    made: dict[str, int] = {}
    for layout in layouts:
        for key, count in layout.sheet.tally().items():
            made[key] = made.get(key, 0) + count * layout.copies
    return made


def test_lengths_with_long_pieces_stay_close_to_their_bounds() -> None:
    """Two of the drawn problems, as the rest takes long; the benchmark has them all."""
    length = bound = F(0)
    for case in border_cases()[2::5]:
        answer = plan_length(case.demands, case.width)
        made = pieces_of(answer.layouts)
        assert all(made[one.key] >= one.count for one in case.demands), case.name
        assert answer.lower_bound <= answer.length
        length, bound = length + answer.length, bound + answer.lower_bound
    assert length <= bound * F(104, 100)

"""Lengths and sheets laid out piece by piece."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from cutting_suite import border_cases, form_cases, length_cases

from kitmaker.cutting.beam import MEASURES, Beam, Measure, on_sheets
from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.problem import Demand, Problem, build_problem
from kitmaker.cutting.trees import Tree, tally

F = Fraction


def problem_of(width: int, *pieces: tuple[int, int, int], may_turn: bool = True) -> Problem:
    demands = [
        Demand(f"{at}", F(w), F(h), count, may_turn) for at, (w, h, count) in enumerate(pieces)
    ]
    return build_problem(demands, F(width), None)


def made_of(trees: list[Tree], kinds: int) -> tuple[int, ...]:
    return tuple(map(sum, zip(*(tally(tree, kinds) for tree in trees), strict=True)))


def length_of(trees: list[Tree]) -> int:
    return sum(tree.along for tree in trees)


def drawn(seed: int) -> Problem:
    draw = random.Random(seed)  # noqa: S311
    pieces = [(draw.randint(2, 7), draw.randint(2, 9), draw.randint(1, 3)) for _ in range(3)]
    return problem_of(11, *pieces)


def is_longer_than_any(problem: Problem, length: int) -> bool:
    """Return whether all layouts were looked at and none is shorter."""
    bare = problem.width * (length - 1) - problem.area
    if bare < 0:
        return True
    limit = WorkLimit(pairs=20_000_000, joins=40_000)
    builds = Builds(problem.kinds, problem.counts, problem.width, length - 1, Loss(bare), limit)
    return builds.complete and not builds.full_found


@pytest.mark.parametrize("rows", [False, True])
@pytest.mark.parametrize("measure", MEASURES)
def test_what_is_laid_out_holds_the_pieces_and_fits_the_width(measure: Measure, rows: bool) -> None:
    problem = problem_of(40, (6, 70, 2), (5, 5, 33), (3, 8, 17))
    blocks = Beam(problem, rows=rows).lay_out(problem.counts, 200, 40, measure)
    assert blocks is not None
    assert made_of(blocks, 3) == problem.counts
    assert all(block.across <= problem.width for block in blocks)
    assert length_of(blocks) < 200


def test_a_piece_that_may_not_turn_lies_as_written() -> None:
    problem = problem_of(10, (3, 10, 3), (7, 2, 5), may_turn=False)
    blocks = Beam(problem).lay_out(problem.counts, 40, 50, MEASURES[0])
    assert blocks is not None

    def leaves(tree: Tree) -> list[Tree]:
        return [leaf for child in tree.children for leaf in leaves(child)] or [tree]

    assert not any(leaf.turned for block in blocks for leaf in leaves(block))


def test_three_rectangles_side_by_side_are_a_row_of_a_column() -> None:
    """Rows of three 2 x 9 beside a row of one 6 x 6: 6 wide, 24 long, nothing bare."""
    problem = problem_of(6, (2, 9, 6), (6, 6, 1), may_turn=False)
    blocks = Beam(problem, rows=True).lay_out(problem.counts, 25, 50, MEASURES[0])
    assert blocks is not None
    assert length_of(blocks) == 24


def test_sheets_hold_what_is_laid_out_for_them() -> None:
    demands = [Demand("a", F(10), F(7), 5), Demand("b", F(5), F(8), 9), Demand("c", F(3), F(3), 12)]
    problem = build_problem(demands, F(20), F(16))
    blocks = Beam(problem).lay_out(problem.counts, 4 * 16 + 1, 50, MEASURES[1])
    assert blocks is not None
    sheets = on_sheets(blocks, 16)
    assert made_of(sheets, 3) == problem.counts
    assert len(sheets) <= 4
    assert all(sheet.across <= 20 and sheet.along <= 16 for sheet in sheets)


def test_pieces_of_four_sheets_cut_at_random_come_from_four_sheets() -> None:
    """As the general-purpose solver packingsolver 0.1.1233 (PyPI) finds in a tenth of a second."""
    (case,) = (one for one in form_cases() if one.name == "puzzle 7: 4")
    assert plan_forms(case.demands, case.across, case.along).count == 4


def test_only_what_is_shorter_is_found() -> None:
    problem = problem_of(10, (5, 5, 3), (4, 3, 1))
    beam = Beam(problem)
    blocks = beam.lay_out(problem.counts, 11, 10, MEASURES[0])
    assert blocks is not None
    assert length_of(blocks) == 10
    assert beam.lay_out(problem.counts, 10, 10, MEASURES[0]) is None


def test_small_lengths_are_laid_out_as_short_as_any() -> None:
    """Of 40 drawn problems; one whose best takes four rounds of cuts may be missed."""
    best = 0
    for seed in range(40):
        problem = drawn(seed)
        below = sum(max(kind.across, kind.along) * kind.count for kind in problem.kinds) + 1
        found = [
            blocks
            for measure in MEASURES
            if (blocks := Beam(problem).lay_out(problem.counts, below, 300, measure))
        ]
        best += is_longer_than_any(problem, min(map(length_of, found)))
    assert best >= 36


@pytest.mark.parametrize(
    ("name", "length"),
    [
        ("borders 2", F(959, 8)),
        ("borders 3", F(269, 4)),
        ("borders 5", F(199, 4)),
        ("borders 11", F(203, 8)),
    ],
)
def test_lengths_are_as_short_as_a_general_purpose_solver_finds_them(
    name: str, length: Fraction
) -> None:
    """What packingsolver 0.1.1233 (PyPI) found in ten seconds, edge-to-edge cuts."""
    assert length_of_case(name) <= length


@pytest.mark.parametrize(
    ("name", "upright", "solver"),
    [("length 13", F(292, 8), F(298, 8)), ("borders 7", F(658, 8), F(657, 8))],
)
def test_what_is_laid_out_sideways_is_shorter(
    name: str, upright: Fraction, solver: Fraction
) -> None:
    """Shorter than upright alone and than packingsolver 0.1.1233 (PyPI) in twenty seconds."""
    assert length_of_case(name) < min(upright, solver)


def length_of_case(name: str) -> Fraction:
    (case,) = (one for one in (*length_cases(), *border_cases()) if one.name == name)
    return plan_length(case.demands, case.width).length

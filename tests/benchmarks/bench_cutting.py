"""The cutting core beside a general-purpose packer, problem by problem, in one run.

Not collected by default; run it for its table::

    pytest tests/benchmarks/bench_cutting.py -s

The packer (rectpack, a test-only dependency) knows no edge-to-edge cuts in its strongest
modes and no quantities; it gets every piece by itself, all its guillotine and skyline
modes and orders, and the best of them counts. One-way pieces are given to it as they are,
in a run that may not turn anything, so no problem is made easier for either side.
Seconds are those of the processor, as the machine may be shared.

Lengths also stand beside packingsolver, which knows edge-to-edge cuts and quantities, where
it is installed (it wants Python 3.12).
"""

from __future__ import annotations

import importlib.util
import sys
import time
from collections.abc import Iterable
from fractions import Fraction
from math import ceil
from pathlib import Path
from statistics import median
from types import ModuleType
from typing import Any

import pytest
import rectpack

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.layout import Layout, Part
from kitmaker.cutting.problem import Demand, build_problem, common_unit
from kitmaker.cutting.purchase import Purchase, StripLoss
from kitmaker.cutting.simplest import drop_surplus

EIGHTH_OF_A_YARD = Fraction(9, 2)
SOLD = Purchase(EIGHTH_OF_A_YARD, StripLoss(Fraction(1, 2), Fraction(1, 4), 6))
PACKERS = (
    rectpack.GuillotineBssfSas,
    rectpack.GuillotineBafLlas,
    rectpack.GuillotineBlsfMaxas,
    rectpack.MaxRectsBssf,
    rectpack.MaxRectsBaf,
    rectpack.SkylineBlWm,
)
ORDERS = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE)
SOLVER_SECONDS = 10
"""What the general-purpose solver may take for one length, twice."""
MOST_PIECES = 150
"""Beyond so many pieces only two modes of the packer are run, for time."""


def _suite() -> ModuleType:
    path = Path(__file__).parents[1] / "cutting_suite.py"
    spec = importlib.util.spec_from_file_location("kitmaker_tests_cutting_suite", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def suite() -> ModuleType:
    return _suite()


def _packed(demands: tuple[Demand, ...], across: Fraction, along: Fraction) -> int | None:
    """Return the fewest forms of any mode; None where turning cannot be told to the packer."""
    turns = all(demand.may_turn or demand.across == demand.along for demand in demands)
    problem = build_problem(demands, across, along)
    unit = problem.unit
    pieces = [
        (int(one.across / unit), int(one.along / unit)) for one in demands for _ in range(one.count)
    ]
    few = len(pieces) <= MOST_PIECES
    best = None
    for packer in PACKERS if few else PACKERS[:2]:
        for order in ORDERS if few else ORDERS[:1]:
            bins = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline,
                bin_algo=rectpack.PackingBin.BFF,
                pack_algo=packer,
                sort_algo=order,
                rotation=turns,
            )
            for wide, long in pieces:
                bins.add_rect(wide, long)
            bins.add_bin(problem.width, problem.height, count=float("inf"))
            bins.pack()
            if len(bins.rect_list()) == len(pieces):
                best = len(bins) if best is None else min(best, len(bins))
    return best


def test_forms_side_by_side(suite: ModuleType) -> None:
    plan_forms([Demand("a", Fraction(5), Fraction(5), 3)], Fraction(10), Fraction(10))
    seconds, ours, bounds, theirs, proven, ahead = [], 0, 0, 0, 0, 0
    cases = suite.form_cases()
    print(f"\n{'problem':34} pieces forms bound packer layouts seconds")
    for case in cases:
        began = time.process_time()
        answer = plan_forms(case.demands, case.across, case.along)
        seconds.append(time.process_time() - began)
        packed = _packed(case.demands, case.across, case.along)
        pieces = sum(demand.count for demand in case.demands)
        print(
            f"{case.name:34} {pieces:6} {answer.count:5} {answer.lower_bound:5} "
            f"{packed or '-':>6} {len(answer.layouts):7} {seconds[-1]:7.3f}"
        )
        ours += answer.count
        bounds += answer.lower_bound
        proven += answer.proven
        theirs += answer.count if packed is None else packed
        ahead += packed is not None and packed > answer.count
        if packed is not None and not case.no_waste:
            assert answer.count <= packed, case.name
    print(
        f"{len(cases)} problems: {ours} forms, bound {bounds} ({ours / bounds:.4f}), packer "
        f"{theirs} ({theirs / bounds:.4f}), fewer than the packer on {ahead}; proven {proven}; "
        f"seconds median {median(seconds):.3f}, most {max(seconds):.2f}"
    )
    assert proven >= len(cases) - 3


def _ease(layouts: Iterable[Layout]) -> tuple[int, int, int, int]:
    """Return rounds of cuts at most, ruler settings, layouts and cuts of one copy of each."""
    parts = [layout.sheet for layout in layouts]
    levels = max((part.levels for part in parts), default=0)
    return levels, sum(map(_settings, parts)), len(parts), sum(map(_cuts, parts))


def _settings(part: Part) -> int:
    distinct = dict.fromkeys(part.children)
    measures = {part.measure_of(child) for child in distinct if not child.is_offcut}
    return len(measures) + sum(map(_settings, distinct))


def _cuts(part: Part) -> int:
    return max(0, len(part.children) - 1) + sum(map(_cuts, part.children))


def _say_ease(name: str, before: list[tuple[int, ...]], after: list[tuple[int, ...]]) -> None:
    deep = [sum(one[0] > 3 for one in side) for side in (before, after)]
    sums = [[sum(one[at] for one in side) for side in (before, after)] for at in (1, 2, 3)]
    print(
        f"{name}: before and after the second solve: deeper than three rounds "
        f"{deep[0]} -> {deep[1]}; ruler settings {sums[0][0]} -> {sums[0][1]}; layouts "
        f"{sums[1][0]} -> {sums[1][1]}; cuts {sums[2][0]} -> {sums[2][1]}"
    )


def test_how_far_the_second_solve_gets(suite: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    cases = suite.form_cases()
    after = [_ease(plan_forms(one.demands, one.across, one.along).layouts) for one in cases]
    with monkeypatch.context() as without:
        without.setattr(
            "kitmaker.cutting.fewest.simplest_choice",
            lambda problem, _columns, best, *_: drop_surplus(problem, best),
        )
        before = [_ease(plan_forms(one.demands, one.across, one.along).layouts) for one in cases]
    print()
    _say_ease("forms", before, after)
    before, after = [], []
    for one in (*suite.length_cases(), *suite.border_cases()):
        answer = plan_length(one.demands, one.width, SOLD)
        before.append(_ease(answer.layouts))
        after.append(_ease(answer.easy[0].layouts))
    _say_ease("lengths of the same purchase", before, after)
    assert sum(one[1] for one in after) <= sum(one[1] for one in before)


def test_lengths_against_their_bounds(suite: ModuleType) -> None:
    total, bound, exact, rounded, seconds = Fraction(0), Fraction(0), 0, 0, []
    print(f"\n{'problem':12} pieces   length    bound layouts seconds")
    for case in (*suite.length_cases(), *suite.border_cases()):
        began = time.process_time()
        answer = plan_length(case.demands, case.width)
        seconds.append(time.process_time() - began)
        total, bound = total + answer.length, bound + answer.lower_bound
        exact += answer.proven
        rounded += ceil((answer.length + 1) / EIGHTH_OF_A_YARD) == ceil(
            (answer.lower_bound + 1) / EIGHTH_OF_A_YARD
        )
        print(
            f"{case.name:12} {sum(one.count for one in case.demands):6} "
            f"{float(answer.length):8.3f} {float(answer.lower_bound):8.3f} "
            f"{len(answer.layouts):7} {seconds[-1]:7.2f}"
        )
    print(
        f"{float(total):.3f} over {float(bound):.3f}: {float(total / bound - 1):.2%}; "
        f"exact {exact}, "
        f"after rounding up to an eighth of a yard {rounded}; most {max(seconds):.2f} s"
    )
    assert total <= bound * Fraction(104, 100)


def test_lengths_beside_a_general_purpose_solver(suite: ModuleType) -> None:
    """Needs packingsolver, which wants Python 3.12: ``pip install packingsolver``."""
    solver = pytest.importorskip("packingsolver.rectangleguillotine")
    longer = 0
    ours, theirs = Fraction(0), Fraction(0)
    print(f"\n{'problem':12}   length   solver, {SOLVER_SECONDS} s")
    for case in (*suite.length_cases(), *suite.border_cases()):
        answer = plan_length(case.demands, case.width)
        found = min(_solved(solver, case, stages) for stages in (3, None))
        longer += answer.length > found
        ours, theirs = ours + answer.length, theirs + found
        print(f"{case.name:12} {float(answer.length):8.3f} {float(found):8.3f}")
    print(f"{float(ours):.3f} beside {float(theirs):.3f}; longer than the solver on {longer}")
    assert ours <= theirs


def _solved(solver: ModuleType, case: Any, stages: int | None) -> Fraction:
    """Return the shortest length the solver finds; stages None for any rounds of cuts."""
    unit = common_unit(
        [case.width, *(side for one in case.demands for side in (one.across, one.along))]
    )
    builder = solver.InstanceBuilder()
    builder.set_objective(solver.Objective.OpenDimensionY)
    builder.set_cut_type(solver.CutType.NonExact)
    builder.set_first_stage_orientation(solver.CutOrientation.Any)
    if stages is None:
        builder.set_number_of_stages_unlimited()
    else:
        builder.set_number_of_stages(stages)
    most = sum(max(one.across, one.along) * one.count for one in case.demands)
    builder.add_bin_type(int(case.width / unit), int(most / unit), copies=1)
    for one in case.demands:
        size = int(one.across / unit), int(one.along / unit)
        builder.add_item_type(*size, copies=one.count, oriented=not one.may_turn)
    parameters = solver.OptimizeParameters()
    parameters.time_limit = SOLVER_SECONDS
    parameters.verbosity_level = 0
    found = solver.optimize(builder.build(), parameters).solution
    return found.height() * unit if found.full() else most

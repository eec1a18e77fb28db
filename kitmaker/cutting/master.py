"""The linear and integer programs of the cutting core, put to HiGHS.

Nothing that HiGHS answers is believed where it could turn a 3 into a 4: its dual prices
are only *proposals*, rounded to whole numbers here and proven in exact arithmetic in
:mod:`kitmaker.cutting.bounds`; its integer answers are rounded and their pieces counted
again. It runs on one thread, with a fixed seed, and stops by nodes and not by seconds, so
that every machine gives the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
import numpy.typing as npt

PRICE_SCALE = 1_000_000
"""Whole-number prices are proposals times this, rounded down."""


def quiet_solver(*, nodes: int | None = None, objective_step: bool = False) -> highspy.Highs:
    """Return a solver that says nothing and answers alike on every machine.

    Args:
        nodes: For an integer program: when to stop looking.
        objective_step: Whether a choice within less than 1 of the bound is best.
    """
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    if nodes is not None:
        solver.setOptionValue("mip_max_nodes", nodes)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", 0.999 if objective_step else 1e-6)
    return solver


@dataclass(frozen=True, slots=True)
class Choice:
    """What an integer program chose.

    Attributes:
        copies: How often each column is used.
    """

    copies: tuple[int, ...]


class CoverProgram:
    """Cover the demand with columns at least cost, columns arriving as they are found."""

    def __init__(self, demand: Sequence[int]) -> None:
        """Start with one row a kind and no columns."""
        self.demand = tuple(demand)
        self._solver = quiet_solver()
        infinity = highspy.kHighsInf
        for count in demand:
            _add_row(self._solver, float(count), infinity)

    def add(self, counts: Sequence[int], cost: int) -> None:
        """Add a column: the pieces of each kind it gives and what it costs."""
        rows = np.flatnonzero(np.asarray(counts))
        entries = np.asarray(counts, dtype=float)[rows]
        self._solver.addCol(
            float(cost),
            0.0,
            highspy.kHighsInf,
            len(rows),
            rows.astype(np.int32),
            entries,
        )

    def add_all(self, counts: npt.NDArray[np.int64], costs: npt.NDArray[np.int64]) -> None:
        """Add many columns at once, a row of ``counts`` and a cost for each."""
        at, rows = np.nonzero(counts)
        starts = np.searchsorted(at, np.arange(len(costs)))
        self._solver.addCols(
            len(costs),
            costs.astype(float),
            np.zeros(len(costs)),
            np.full(len(costs), highspy.kHighsInf),
            len(rows),
            starts.astype(np.int32),
            rows.astype(np.int32),
            counts[at, rows].astype(float),
        )

    def solve(self) -> tuple[float, tuple[int, ...], tuple[float, ...]]:
        """Solve the relaxation.

        Returns:
            Its value, the price of each kind as a whole number (a proposal, see
            ``PRICE_SCALE``), and how much of each column is used.
        """
        self._solver.run()
        solution = self._solver.getSolution()
        value = self._solver.getInfo().objective_function_value
        prices = tuple(max(0, int(price * PRICE_SCALE)) for price in solution.row_dual)
        return value, prices, tuple(solution.col_value)


def choose_columns(
    columns: Sequence[Sequence[int]],
    costs: Sequence[int],
    demand: Sequence[int],
    *,
    nodes: int,
    whole_steps: bool = False,
    setup: Sequence[int] | None = None,
    at_most: int | None = None,
    start: Sequence[int] | None = None,
    most: Sequence[int] | None = None,
) -> Choice | None:
    """Choose whole copies of columns that cover the demand at least cost.

    Args:
        columns: The pieces of each kind a column gives.
        costs: What one copy costs, whole numbers.
        demand: Pieces of each kind needed.
        nodes: When to stop looking.
        whole_steps: Whether a choice within less than 1 of the bound is best.
        setup: What using a column at all costs; then that is minimized, and ``costs`` only
            bound the choice by ``at_most``.
        at_most: The most the copies may cost together, with ``setup``.
        start: A choice known, copies of each column.
        most: The most copies of each column; None for as many as the demand asks for.

    Returns:
        The choice, its cover counted again in whole numbers; None when none was found.
    """
    plain = whole_steps and setup is None and most is None
    if plain and (rounded := _rounded(columns, costs, demand)):
        return Choice(rounded)
    solver = quiet_solver(nodes=nodes, objective_step=whole_steps)
    # Starting anew at the root takes twice the time, and is seldom better for it.
    solver.setOptionValue("mip_allow_restart", False)
    for needed in demand:
        _add_row(solver, float(needed), highspy.kHighsInf)
    if setup is not None:
        for search in ("rins", "rens"):  # they take a fifth of the time, and find nothing better
            solver.setOptionValue(f"mip_heuristic_run_{search}", False)
        _add_row(solver, -highspy.kHighsInf, float(at_most or 0))
    limits = most or [_most_copies(counts, demand) for counts in columns]
    for counts, cost, copies_at_most in zip(columns, costs, limits, strict=True):
        entries = {row: float(count) for row, count in enumerate(counts) if count}
        if setup is not None:
            entries[len(demand)] = float(cost)
        price = float(cost) if setup is None else 0.0
        _add_whole(solver, price, copies_at_most, entries)
    if setup is not None:
        _add_setups(solver, limits, setup)
    if start is not None:
        _propose(solver, start, with_setups=setup is not None)
    solver.run()
    if solver.getInfo().primal_solution_status != FEASIBLE:
        return None
    found = list(solver.getSolution().col_value)[: len(columns)]
    copies = tuple(round(value) for value in found)
    return Choice(copies) if _covers(columns, copies, demand) else None


ROUNDED_FROM = (1.0, 0.8, 0.65, 0.5, 0.35)
"""What part of a copy is rounded up to a whole one, tried in turn."""
HARDLY = 1e-6
"""What a value of the solver may be off by."""


def _rounded(
    columns: Sequence[Sequence[int]], costs: Sequence[int], demand: Sequence[int]
) -> tuple[int, ...] | None:
    """Return the relaxation rounded to a choice; None where another one may be better.

    What is left after rounding goes to the column that serves it best, again and again. Most
    integer programs need no more.
    """
    held, each = np.asarray(columns, dtype=np.int64), np.asarray(costs, dtype=np.int64)
    if not held.size or held.min() < 0 or each.min() < 1:  # more than pieces and sheets
        return None
    program = CoverProgram(demand)
    program.add_all(held, each)
    least, prices, used = program.solve()
    worth = np.maximum(prices, 1)
    for part in ROUNDED_FROM:
        copies = np.floor(np.asarray(used) + (1 - part) + HARDLY).astype(np.int64)
        left = np.asarray(demand) - copies @ held
        while (left > 0).any():
            serves = np.minimum(held, np.maximum(left, 0)) @ worth
            best = int(np.argmax(serves / each))
            if not serves[best]:
                return None
            served = (held[best] > 0) & (left > 0)
            times = max(1, int((left[served] // held[best][served]).min()))
            copies[best] += times
            left -= times * held[best]
        if copies @ each < least + 1 - HARDLY:
            return tuple(copies.tolist())
    return None


def _covers(columns: Sequence[Sequence[int]], copies: Sequence[int], demand: Sequence[int]) -> bool:
    """Count again, in whole numbers."""
    made = [0] * len(demand)
    for counts, times in zip(columns, copies, strict=True):
        if times:
            made = [have + times * count for have, count in zip(made, counts, strict=True)]
    return all(have >= need for have, need in zip(made, demand, strict=True))


def _propose(solver: highspy.Highs, start: Sequence[int], *, with_setups: bool) -> None:
    known = highspy.HighsSolution()
    used = [float(copies > 0) for copies in start] if with_setups else []
    known.col_value = [*map(float, start), *used]
    solver.setSolution(known)


FEASIBLE = 2
"""HiGHS: a feasible point is at hand."""


def _add_row(solver: highspy.Highs, low: float, high: float) -> None:
    solver.addRow(low, high, 0, np.array([], np.int32), np.array([]))


def _add_whole(solver: highspy.Highs, cost: float, most: int, entries: dict[int, float]) -> None:
    rows = np.fromiter(entries, dtype=np.int32, count=len(entries))
    values = np.fromiter(entries.values(), dtype=float, count=len(entries))
    solver.addCol(cost, 0.0, float(most), len(entries), rows, values)
    solver.changeColIntegrality(solver.getNumCol() - 1, highspy.HighsVarType.kInteger)


def _add_setups(solver: highspy.Highs, limits: Sequence[int], setup: Sequence[int]) -> None:
    """Let each column be used only where its setup is paid."""
    for at, (most, cost) in enumerate(zip(limits, setup, strict=True)):
        _add_whole(solver, float(cost), 1, {})
        pair = np.array([at, len(limits) + at], dtype=np.int32)
        solver.addRow(-highspy.kHighsInf, 0.0, 2, pair, np.array([1.0, -float(most)]))


def _most_copies(counts: Sequence[int], demand: Sequence[int]) -> int:
    return max(-(-needed // made) for made, needed in zip(counts, demand, strict=True) if made)

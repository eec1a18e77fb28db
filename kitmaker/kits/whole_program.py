"""A small program in whole numbers, solved for one aim after another.

HiGHS only proposes: an answer counts when it is whole and keeps every row, both found out
again in whole numbers. It runs on one thread and stops by nodes, not by seconds, so that
every machine gives the same answer.
"""

from __future__ import annotations

from dataclasses import dataclass

import highspy
import numpy as np

from kitmaker.cutting.master import FEASIBLE, quiet_solver


@dataclass(frozen=True, slots=True)
class Solution:
    """Whole numbers that keep every row."""

    columns: tuple[int, ...]  # each column's number
    value: int  # what the aim comes to
    proven: bool  # whether nothing greater exists, says the solver


class WholeProgram:
    """Columns from 0 to a most, rows that bound sums of them; 0 everywhere keeps every row."""

    def __init__(self) -> None:
        """Start with nothing."""
        self._solver = quiet_solver()
        self._solver.setOptionValue("mip_rel_gap", 0.0)
        self._solver.setOptionValue("mip_abs_gap", 0.999)
        self._most: list[int] = []
        self._rows: list[tuple[dict[int, int], int | None, int]] = []

    def add_column(self, most: int) -> int:
        """Add a number from 0 to ``most``; return its place."""
        none = (np.array([], np.int32), np.array([]))
        self._solver.addCol(0.0, 0.0, float(most), 0, *none)
        self._solver.changeColIntegrality(len(self._most), highspy.HighsVarType.kInteger)
        self._most.append(most)
        return len(self._most) - 1

    def most(self, column: int) -> int:
        """Return the most a column may be."""
        return self._most[column]

    def add_row(self, entries: dict[int, int], *, least: int | None = None, most: int) -> None:
        """Bound a sum of columns, each times its whole number."""
        low = -highspy.kHighsInf if least is None else float(least)
        places = np.fromiter(entries, dtype=np.int32, count=len(entries))
        values = np.fromiter(entries.values(), dtype=float, count=len(entries))
        self._solver.addRow(low, float(most), len(entries), places, values)
        self._rows.append((dict(entries), least, most))

    def greatest(
        self, aim: dict[int, int], known: Solution | None = None, *, nodes: int
    ) -> Solution:
        """Find the greatest value of an aim.

        The aim says what one of a column is worth, in whole numbers. Where nothing better
        is found within so many nodes the known solution is returned: 0 everywhere where
        None.
        """
        columns = len(self._most)
        start = known.columns if known is not None else (0,) * columns
        best = Solution(start, _sum(aim, start), proven=False)
        places = np.arange(columns, dtype=np.int32)
        costs = np.array([-float(aim.get(column, 0)) for column in range(columns)])
        self._solver.changeColsCost(columns, places, costs)
        proposal = highspy.HighsSolution()
        proposal.col_value = [float(value) for value in start]
        self._solver.setSolution(proposal)
        self._solver.setOptionValue("mip_max_nodes", nodes)
        self._solver.run()
        if self._solver.getInfo().primal_solution_status != FEASIBLE:
            return best
        found = tuple(round(value) for value in self._solver.getSolution().col_value)
        proven = self._solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        value = _sum(aim, found)
        if value < best.value or not self._keeps_rows(found):
            return best
        return Solution(found, value, proven)

    def _keeps_rows(self, found: tuple[int, ...]) -> bool:
        if any(not 0 <= one <= most for one, most in zip(found, self._most, strict=True)):
            return False
        for entries, least, most in self._rows:
            total = _sum(entries, found)
            if total > most or (least is not None and total < least):
                return False
        return True


def _sum(entries: dict[int, int], columns: tuple[int, ...]) -> int:
    return sum(size * columns[column] for column, size in entries.items())

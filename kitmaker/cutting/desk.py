"""Where the rest of kitmaker asks the cutting core: exact inches in, exact inches out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.fewest import fewest_sheets, found_within
from kitmaker.cutting.handout import hand_out
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.problem import Demand, Problem, build_problem
from kitmaker.cutting.purchase import Purchase
from kitmaker.cutting.shortest import shortest_length
from kitmaker.cutting.trees import Column
from kitmaker.lengths import Length


@dataclass(frozen=True, slots=True)
class FormsAnswer:
    """How many forms yield the pieces.

    Attributes:
        count: Forms taken.
        lower_bound: No edge-to-edge cutting does with fewer.
        layouts: How they are cut; their copies add up to ``count``.
    """

    count: int
    lower_bound: int
    layouts: tuple[Layout, ...]

    @property
    def proven(self) -> bool:
        """Whether fewer will not do."""
        return self.count == self.lower_bound


@dataclass(frozen=True, slots=True)
class LengthCut:
    """A length and how it is cut.

    Attributes:
        length: Inches of the pieces alone.
        layouts: Stretches from selvage to selvage, one after another; their lengths times
            their copies add up to ``length``.
    """

    length: Length
    layouts: tuple[Layout, ...]


@dataclass(frozen=True, slots=True)
class BoltAnswer:
    """How long a length off the bolt yields the pieces.

    Attributes:
        shortest: The shortest found.
        lower_bound: No edge-to-edge cutting is shorter, inches.
        easy: Simple to cut: the first within the purchase of the shortest, each of those
            behind it with more cloth. Only the shortest where nothing simpler was wanted.
    """

    shortest: LengthCut
    lower_bound: Length
    easy: tuple[LengthCut, ...]

    @property
    def length(self) -> Length:
        """Inches of the pieces alone, of the shortest."""
        return self.shortest.length

    @property
    def layouts(self) -> tuple[Layout, ...]:
        """How the shortest is cut."""
        return self.shortest.layouts

    @property
    def proven(self) -> bool:
        """Whether nothing shorter will do."""
        return self.length == self.lower_bound


def plan_forms(
    demands: Sequence[Demand], across: Length, along: Length, *, easy: bool = True
) -> FormsAnswer:
    """Find how few forms of one usable size yield the pieces.

    Args:
        demands: What is needed; each fits the form (:meth:`Demand.fits`).
        across, along: The form's usable size, inches.
        easy: Whether the layouts are to be easy to cut; not where only the count is wanted.

    Raises:
        ValueError: There is nothing to cut or a piece does not fit.
    """
    problem = build_problem(demands, across, along)
    answer = fewest_sheets(problem, easy=easy)
    layouts = hand_out(problem, answer.columns, height=problem.height)
    return FormsAnswer(answer.count, answer.lower_bound, layouts)


def forms_are_enough(
    demands: Sequence[Demand],
    across: Length,
    along: Length,
    count: int,
    *,
    thorough: bool = True,
) -> bool:
    """Return whether so many forms are found to yield the pieces; False proves nothing.

    Much quicker than :func:`plan_forms`, where only this is asked.

    Args:
        demands: What is needed; each fits the form (:meth:`Demand.fits`).
        across, along: The form's usable size, inches.
        count: Forms.
        thorough: Whether a little exact search is worth it where nothing else finds them.

    Raises:
        ValueError: There is nothing to cut or a piece does not fit.
    """
    return found_within(build_problem(demands, across, along), count, thorough=thorough)


def plan_length(
    demands: Sequence[Demand],
    width: Length,
    purchase: Purchase | None = None,
    *,
    easy: bool = True,
    exact: bool = False,
) -> BoltAnswer:
    """Find how short a length off a bolt of one usable width yields the pieces.

    Args:
        demands: What is needed; each fits the width.
        width: The usable width, inches.
        purchase: How the length is sold, where only what is bought matters: the search may
            stop sooner, and plans that are simple to cut are returned beside the shortest.
        easy: Whether those simple plans are wanted.
        exact: Whether the length itself counts, beside what is bought.

    Raises:
        ValueError: There is nothing to cut or a piece does not fit.
    """
    problem = build_problem(demands, width, None)
    answer = shortest_length(problem, purchase, easy=easy, exact=exact)
    return BoltAnswer(
        _cut(problem, answer.columns),
        answer.lower_bound * problem.unit,
        tuple(_cut(problem, one) for one in answer.easy),
    )


def _cut(problem: Problem, columns: Counter[Column]) -> LengthCut:
    layouts = hand_out(problem, columns, height=None)
    length = sum((layout.sheet.along * layout.copies for layout in layouts), Fraction(0))
    return LengthCut(length, layouts)

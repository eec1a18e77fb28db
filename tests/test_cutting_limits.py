"""No optional step of the cutting core (a proof, a second solve) ends a plan or hangs it."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from kitmaker.cutting import builds, fewest, knapsack
from kitmaker.cutting.bounds import area_certificate
from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.desk import plan_forms
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.positions import first_position_along, last_position_along, positions_along
from kitmaker.cutting.problem import Demand, Kind, Problem, build_problem
from kitmaker.cutting.settle import Settled, Verdict, settle
from kitmaker.cutting.sheet_strips import _depth_lists
from kitmaker.cutting.strip_patterns import STACK_STEPS, PatternList
from kitmaker.cutting.trees import tally

F = Fraction
LIMIT = WorkLimit(pairs=1_000_000, joins=10_000)


def _problem(across: int, along: int, *pieces: tuple[int, int, int]) -> Problem:
    demands = [Demand(f"{at}", F(w), F(h), n, False) for at, (w, h, n) in enumerate(pieces)]
    return build_problem(demands, F(across), F(along))


def _kinds(*pieces: tuple[int, int, int]) -> tuple[Kind, ...]:
    return tuple(Kind(w, h, n, False, ()) for w, h, n in pieces)


def test_a_loss_of_nothing_is_not_halved_for_ever() -> None:
    kinds = _kinds((3, 4, 9), (5, 4, 9), (7, 4, 9))
    lister = PatternList(kinds, [9, 9, 9], 40, Axis.ALONG)
    prices = [3, 5, 7]  # every full strip is worth the same
    assert lister.list_strips(4, prices, 40, 1) is None, "there are more of them than wanted"
    assert lister.list_within(4, prices, 40, 0, 1) == []
    assert lister.list_within(4, prices, 40, 0, 500)


def test_as_many_sheets_as_a_shop_ever_cuts_are_settled() -> None:
    problem = _problem(10, 10, (9, 9, 3000))
    search = LayoutSearch(problem.kinds, 10, 10)
    certificate = area_certificate(problem, 100)
    found = settle(problem, 3000, certificate, search, LIMIT)
    assert found.verdict is Verdict.DONE
    assert found.columns.total() == 3000
    assert settle(problem, 2999, certificate, search, LIMIT).verdict is Verdict.IMPOSSIBLE


def test_a_sheet_of_any_number_of_strips_is_listed() -> None:
    assert _depth_lists([1], 5000) == [(1,) * 5000]
    assert _depth_lists([5, 4, 2], 9) == [(5, 4), (5, 2, 2), (4, 4), (4, 2, 2), (2, 2, 2, 2)]
    assert _depth_lists([5], 4) == []


def test_stacks_of_many_sizes_needed_once_each_are_listed_within_their_work(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """All of them fit on one another: each choice that leaves one out is no full stack."""
    lengths = range(11, 41)
    kinds = _kinds(*((2, length, 1) for length in lengths))
    lister = PatternList(kinds, [1] * len(kinds), 40, Axis.ALONG)
    found = lister.sections(sum(lengths), [1] * len(kinds))
    assert [section.counts for section in found] == [(1,) * len(kinds)]
    monkeypatch.setattr("kitmaker.cutting.strip_patterns.STACK_STEPS", 3)
    assert lister.sections(sum(lengths), [1] * len(kinds)) == []
    assert STACK_STEPS > 1000


def test_a_row_of_thousands_of_pieces_is_read_out_of_a_table() -> None:
    search = LayoutSearch(_kinds((1, 2, 3000)), 3000, 2)
    table = search.table([7])
    tree = search.layout([7], table, 3000, 2)
    assert tree is not None
    assert tally(tree, 1) == (3000,)


def test_what_lies_deeper_than_a_person_ever_cuts_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    search = LayoutSearch(_kinds((3, 3, 4)), 6, 6)
    table = search.table([1])
    last = (len(search.xs) - 1, len(search.ys) - 1)
    grid = knapsack._Tracing(search, [1], table).layout(*last, 3)
    assert grid is not None
    assert tally(grid, 1) == (4,)
    assert knapsack._Tracing(search, [1], table).layout(*last, 2) is None

    stairs = ((6, 1, 1), (1, 5, 1), (5, 1, 1), (1, 4, 1), (4, 1, 1), (1, 3, 1), (3, 3, 1))
    whole = Builds(_kinds(*stairs), [1] * 7, 6, 6, Loss(0), LIMIT)
    assert whole.full_found
    assert tally(whole.tree(whole.packing.full), 7) == (1,) * 7
    monkeypatch.setattr(builds, "MOST_ROUNDS", 2)
    assert not Builds(_kinds(*stairs), [1] * 7, 6, 6, Loss(0), LIMIT).complete


def test_thousands_of_pieces_are_not_laid_out_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    def begun(*_: object) -> None:
        raise AssertionError("it takes a step for each piece")

    monkeypatch.setattr(fewest, "Beam", begun)
    monkeypatch.setattr(fewest, "MOST_LAID_OUT", 50)
    answer = plan_forms([Demand("a", F(3), F(4), 40), Demand("b", F(3), F(5), 40)], F(11), F(10))
    assert answer.lower_bound <= answer.count
    search = fewest._Search(_problem(10, 10, (3, 4, 51)))
    search._search()
    search._lay_out()


def test_a_count_far_from_its_bound_is_not_asked_for_without_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = []

    def impossible(_: Problem, sheets: int, *__: object) -> object:
        asked.append(sheets)
        return Settled(Verdict.IMPOSSIBLE, Counter())

    monkeypatch.setattr(fewest, "settle", impossible)
    search = fewest._Search(_problem(10, 10, (6, 6, 400)))
    search._start()
    search._choose()
    search.bound = 1
    assert search._settle_within(LIMIT)
    assert asked == list(range(1, 1 + fewest.MOST_SETTLED))


def test_positions_of_a_long_length_are_found_without_listing_them() -> None:
    kinds = _kinds((3, 8, 2), (3, 5, 1), (2, 13, 2))
    listed = positions_along(kinds, 40)
    for limit in range(41):
        assert last_position_along(kinds, limit) == max(at for at in listed if at <= limit)
        later = [at for at in listed if at >= limit]
        assert first_position_along(kinds, limit, 40) == (later[0] if later else None)
    assert last_position_along(_kinds((1, 3, 10**7)), 3 * 10**7 - 1) == 3 * 10**7 - 3

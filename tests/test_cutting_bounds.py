"""A bound is true whatever proposes it: wrong prices weaken a proof and never make one."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cache

import pytest

from kitmaker.cutting.bars import ThreadSearch
from kitmaker.cutting.bounds import sheet_certificate, thread_certificate
from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.fewest import fewest_sheets
from kitmaker.cutting.knapsack import LayoutSearch, table_work
from kitmaker.cutting.length_bounds import raised_bound
from kitmaker.cutting.master import CoverProgram, choose_columns
from kitmaker.cutting.problem import Demand, Problem, build_problem

F = Fraction

# Kits whose answers follow from a look at them.
# 7 squares of 5 on 10 × 10: four a sheet, so 2. 5 of 6 × 6: one a sheet, so 5.
# 3 of 10 × 6 (one a sheet) leave 10 × 4 each: two of 4 × 5 each; 8 of them take a fourth.
KNOWN_FORMS: tuple[tuple[tuple[tuple[int, int, int], ...], int], ...] = (
    (((5, 5, 7),), 2),
    (((6, 6, 5),), 5),
    (((10, 6, 3), (4, 5, 8)), 4),
    (((10, 6, 3), (4, 5, 6)), 3),
    (((3, 3, 10),), 2),
)
# 12 of 5 × 5 on 10: 30 long. 3 of 6 × 6 on 10: one a row, 18. 2 of 10 × 3 and 4 of 5 × 2: 10.
KNOWN_LENGTHS: tuple[tuple[tuple[tuple[int, int, int], ...], int], ...] = (
    (((5, 5, 12),), 30),
    (((6, 6, 3),), 18),
    (((10, 3, 2), (5, 2, 4)), 10),
)


def _demands(pieces: Sequence[tuple[int, int, int]]) -> list[Demand]:
    return [Demand(f"{at}", F(w), F(h), n) for at, (w, h, n) in enumerate(pieces)]


def _slow_best(problem: Problem, prices: Sequence[int], wide: int, long: int) -> int:
    """The best worth of a sheet by trying every cut at every unit."""

    @cache
    def best(x: int, y: int) -> int:
        found = 0
        for kind, price in zip(problem.kinds, prices, strict=True):
            if any(w <= x and h <= y for w, h, _ in kind.ways()):
                found = max(found, price)
        for at in range(1, x // 2 + 1):
            found = max(found, best(at, y) + best(x - at, y))
        for at in range(1, y // 2 + 1):
            found = max(found, best(x, at) + best(x, y - at))
        return found

    return best(wide, long)


@pytest.mark.parametrize("seed", range(12))
def test_the_table_over_all_layouts_agrees_with_trying_every_cut(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311
    wide, long = draw.randint(6, 14), draw.randint(6, 14)
    pieces = [(draw.randint(2, 6), draw.randint(2, 6), 40) for _ in range(draw.randint(1, 4))]
    problem = build_problem(_demands(pieces), F(wide), F(long))
    prices = [draw.randint(0, 60) for _ in problem.kinds]
    search = LayoutSearch(problem.kinds, problem.width, problem.height or 0)
    slow = _slow_best(problem, prices, problem.width, problem.height or 0)
    assert int(search.table(prices)[-1, -1]) == slow


@pytest.mark.parametrize("seed", range(6))
def test_the_work_of_a_table_is_known_before_it_is_prepared(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311
    pieces = [(draw.randint(2, 9), draw.randint(2, 9), 40) for _ in range(draw.randint(1, 4))]
    problem = build_problem(_demands(pieces), F(draw.randint(10, 40)), F(draw.randint(10, 90)))
    sheet = (problem.kinds, problem.width, problem.height or 0)
    assert table_work(*sheet) == LayoutSearch(*sheet).work


def test_no_table_is_prepared_that_the_work_does_not_reach_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """19,000 units along would take gigabytes: nothing of it is begun, and the bound stands."""

    def begun(*_: object) -> None:
        raise AssertionError("a table was prepared")

    monkeypatch.setattr("kitmaker.cutting.length_bounds.LayoutSearch", begun)
    problem = build_problem(_demands([(3, 7, 9_000), (5, 11, 9_000)]), F(40), None)
    prices = [1] * len(problem.kinds)
    assert raised_bound(problem, F(18_000), 19_000, prices, 10**6) >= 18_000


@pytest.mark.parametrize(("pieces", "count"), KNOWN_FORMS)
def test_the_certificate_that_is_handed_back_holds_when_it_is_recomputed(
    pieces: Sequence[tuple[int, int, int]], count: int
) -> None:
    problem = build_problem(_demands(pieces), F(10), F(10))
    answer = fewest_sheets(problem)
    assert answer.count == answer.lower_bound == count
    if answer.certificate is not None:
        prices = answer.certificate.prices
        most = _slow_best(problem, prices, problem.width, problem.height or 0)
        value = sum(p * kind.count for p, kind in zip(prices, problem.kinds, strict=True))
        assert most <= answer.certificate.most
        assert value == answer.certificate.value
        assert -(-value // most) >= count


@pytest.mark.parametrize(("pieces", "count"), KNOWN_FORMS)
def test_no_prices_prove_more_sheets_than_are_needed(
    pieces: Sequence[tuple[int, int, int]], count: int
) -> None:
    problem = build_problem(_demands(pieces), F(10), F(10))
    search = LayoutSearch(problem.kinds, problem.width, problem.height or 0)
    draw = random.Random(1)  # noqa: S311
    for size in (1, 3, 1000, 10**12):
        for _ in range(40):
            prices = [draw.randint(0, size) for _ in problem.kinds]
            assert sheet_certificate(problem, search, prices).sheets <= count


@pytest.mark.parametrize(("pieces", "length"), KNOWN_LENGTHS)
def test_no_prices_prove_more_length_than_is_needed(
    pieces: Sequence[tuple[int, int, int]], length: int
) -> None:
    problem = build_problem(_demands(pieces), F(10), None)
    units = int(length / problem.unit)
    threads = ThreadSearch(problem.kinds, problem.width)
    draw = random.Random(2)  # noqa: S311
    for size in (1, 3, 1000, 10**12):
        for _ in range(20):
            prices = [draw.randint(0, size) for _ in threads.items]
            assert thread_certificate(problem, threads, prices).ratio <= units
            sheet_prices = [draw.randint(0, size) for _ in problem.kinds]
            raised = raised_bound(problem, F(0), units, sheet_prices, 10**6)
            assert raised <= units


def _solve_with(spoil: Callable[[tuple[int, ...]], tuple[int, ...]]):
    honest = CoverProgram.solve

    def solve(self: CoverProgram) -> tuple[float, tuple[int, ...], tuple[float, ...]]:
        value, prices, amounts = honest(self)
        return value, spoil(prices), amounts

    return solve


SPOILT: dict[str, Callable[[tuple[int, ...]], tuple[int, ...]]] = {
    "nothing": lambda prices: (0,) * len(prices),
    "rounded up": lambda prices: tuple(price + 1 for price in prices),
    "a tenth too high": lambda prices: tuple(price * 11 // 10 for price in prices),
    "a thousandfold": lambda prices: tuple(price * 1000 for price in prices),
    "the other way round": lambda prices: prices[::-1],
    "all alike": lambda prices: (1_000_000,) * len(prices),
}


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT)
def test_wrong_prices_never_turn_three_into_four(
    monkeypatch: pytest.MonkeyPatch, spoil: Callable[[tuple[int, ...]], tuple[int, ...]]
) -> None:
    monkeypatch.setattr(CoverProgram, "solve", _solve_with(spoil))
    for pieces, count in KNOWN_FORMS:
        answer = plan_forms(_demands(pieces), F(10), F(10))
        assert answer.lower_bound <= count <= answer.count
    for pieces, length in KNOWN_LENGTHS:
        found = plan_length(_demands(pieces), F(10))
        assert found.lower_bound <= length <= found.length


def test_a_choice_that_does_not_cover_the_demand_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    columns, costs, demand = [(2, 0), (1, 1)], [1, 1], [5, 2]
    honest = choose_columns(columns, costs, demand, nodes=10)
    assert honest is not None
    assert sum(honest.copies) == 4
    # A solver that calls 1.4 copies a whole number is rounded to 1, counted, and refused.
    monkeypatch.setattr("kitmaker.cutting.master.round", lambda _: 1, raising=False)
    assert choose_columns(columns, costs, demand, nodes=10) is None


def test_a_demand_that_no_column_serves_has_no_choice() -> None:
    assert choose_columns([(0, 3)], [1], [1, 2], nodes=10, whole_steps=True) is None
    assert choose_columns([(2, -1)], [1], [1, 0], nodes=10, whole_steps=True) is None


def test_what_rounds_to_the_relaxation_needs_no_integer_program(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def begun(*_: object) -> None:
        raise AssertionError("an integer program was begun")

    monkeypatch.setattr("kitmaker.cutting.master._add_whole", begun)
    chosen = choose_columns([(4, 0), (1, 2)], [1, 1], [9, 2], nodes=10, whole_steps=True)
    assert chosen is not None
    assert chosen.copies == (2, 1)


def test_a_bound_just_above_three_is_four_and_exactly_three_is_three() -> None:
    # 12 squares of 5 fill three sheets of 10 × 10; the thirteenth takes a fourth.
    three = plan_forms([Demand("a", F(5), F(5), 12)], F(10), F(10))
    four = plan_forms([Demand("a", F(5), F(5), 13)], F(10), F(10))
    assert (three.count, three.lower_bound) == (3, 3)
    assert (four.count, four.lower_bound) == (4, 4)


def test_a_thousandth_of_an_inch_counts() -> None:
    # Four squares of 5 fit 10 × 10; a thousandth more and only one does.
    over = F(5) + F(1, 1000)
    answer = plan_forms([Demand("a", over, over, 4)], F(10), F(10))
    assert (answer.count, answer.lower_bound) == (4, 4)

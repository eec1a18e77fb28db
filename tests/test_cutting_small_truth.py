"""The cutting core against an exhaustive search that shares nothing with it, and the literature."""

from __future__ import annotations

import random
from fractions import Fraction
from functools import cache

import pytest

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.mixed_desk import MixForm, WorthPiece, best_worth
from kitmaker.cutting.problem import Demand

F = Fraction
Sizes = tuple[tuple[int, int, bool], ...]


def _fits_by_trying(pieces: Sizes):
    """Return a function that tries every cut of every rectangle for every share-out."""

    def alone(at: int, wide: int, long: int) -> bool:
        w, h, turns = pieces[at]
        return (w <= wide and h <= long) or (turns and h <= wide and w <= long)

    def cut(part: int, rest: int, wide: int, long: int) -> bool:
        return any(
            fits(part, at, long) and fits(rest, wide - at, long) for at in range(1, wide)
        ) or any(fits(part, wide, at) and fits(rest, wide, long - at) for at in range(1, long))

    @cache
    def fits(chosen: int, wide: int, long: int) -> bool:
        area = sum(w * h for at, (w, h, _) in enumerate(pieces) if chosen >> at & 1)
        if area > wide * long:
            return False
        if chosen & (chosen - 1) == 0:
            return alone(chosen.bit_length() - 1, wide, long)
        part = (chosen - 1) & chosen
        while part:
            if cut(part, chosen & ~part, wide, long):
                return True
            part = (part - 1) & chosen
        return False

    return fits


def _fewest_by_trying(pieces: Sizes, wide: int, long: int) -> int:
    fits = _fits_by_trying(pieces)
    everything = (1 << len(pieces)) - 1

    @cache
    def fewest(left: int) -> int:
        if left == 0:
            return 0
        first = left & -left
        best = len(pieces)
        part = left
        while part:
            if part & first and fits(part, wide, long):
                best = min(best, 1 + fewest(left & ~part))
            part = (part - 1) & left
        return best

    return fewest(everything)


def _shortest_by_trying(pieces: Sizes, wide: int) -> int:
    fits = _fits_by_trying(pieces)
    everything = (1 << len(pieces)) - 1
    long = 1
    while not fits(everything, wide, long):
        long += 1
    return long


def _draw(seed: int, wide: int, long: int | None) -> Sizes:
    draw = random.Random(seed)  # noqa: S311
    sizes = []
    while len(sizes) < draw.randint(1, 3):
        one = (draw.randint(1, 6), draw.randint(1, 7), draw.random() < 0.7)
        w, h, turns = one
        limit = 99 if long is None else long
        if (w <= wide and h <= limit) or (turns and h <= wide and w <= limit):
            sizes.append(one)
    return tuple(draw.choice(sizes) for _ in range(draw.randint(1, 5)))


def _demands(pieces: Sizes) -> list[Demand]:
    return [
        Demand(f"{at}", Fraction(w), Fraction(h), 1, turns)
        for at, (w, h, turns) in enumerate(pieces)
    ]


def _assert_yields(layouts: tuple[Layout, ...], pieces: Sizes, wide: Fraction) -> None:
    made: dict[str, int] = {}
    for layout in layouts:
        assert layout.sheet.across == wide
        for placed in layout.sheet.placed():
            w, h, turns = pieces[int(placed.key)]
            assert (placed.w, placed.h) in ({(w, h), (h, w)} if turns else {(w, h)})
            made[placed.key] = made.get(placed.key, 0) + layout.copies
    assert all(made.get(f"{at}", 0) >= 1 for at in range(len(pieces)))


@pytest.mark.parametrize("block", range(10))
def test_no_form_more_than_an_exhaustive_search_needs(block: int) -> None:
    for seed in range(block * 25, block * 25 + 25):
        draw = random.Random(seed + 5000)  # noqa: S311
        wide, long = draw.randint(4, 8), draw.randint(3, 8)
        pieces = _draw(seed, wide, long)
        fewest = _fewest_by_trying(pieces, wide, long)
        answer = plan_forms(_demands(pieces), Fraction(wide), Fraction(long))
        assert (answer.count, answer.lower_bound) == (fewest, fewest), (seed, pieces, wide, long)
        _assert_yields(answer.layouts, pieces, Fraction(wide))


@pytest.mark.parametrize("block", range(10))
def test_no_length_longer_than_an_exhaustive_search_needs(block: int) -> None:
    for seed in range(block * 25, block * 25 + 25):
        wide = random.Random(seed + 9000).randint(4, 8)  # noqa: S311
        pieces = _draw(seed, wide, None)
        shortest = _shortest_by_trying(pieces, wide)
        answer = plan_length(_demands(pieces), Fraction(wide))
        assert (answer.length, answer.lower_bound) == (shortest, shortest), (seed, pieces, wide)
        _assert_yields(answer.layouts, pieces, Fraction(wide))


GCUT1 = (
    *((167, 184), (114, 118), (167, 152), (83, 140), (70, 86)),
    *((143, 166), (120, 160), (66, 148), (87, 141), (69, 165)),
)
CGCUT1 = (
    *((8, 4, 2, 66), (3, 7, 1, 35), (8, 2, 3, 24), (3, 4, 5, 17)),
    *((3, 3, 2, 11), (3, 2, 2, 8), (2, 1, 1, 2)),
)
OF1 = (
    *((29, 5, 1), (9, 39, 4), (55, 9, 1), (31, 15, 1), (11, 16, 2)),
    *((23, 21, 3), (29, 14, 4), (16, 19, 3), (9, 36, 2), (22, 4, 2)),
)


@pytest.mark.parametrize(
    ("size", "pieces", "optimum"),
    [
        # J. E. Beasley, "Algorithms for unconstrained two-dimensional guillotine cutting",
        # J. Oper. Res. Soc. 36 (1985), problem gcut1: any number of each, worth its area.
        ((250, 250), tuple((w, h, None, w * h) for w, h in GCUT1), 56460),
        # N. Christofides and C. Whitlock, "An algorithm for two-dimensional cutting
        # problems", Oper. Res. 25 (1977), the first problem.
        ((15, 10), CGCUT1, 244),
        # J. F. Oliveira and J. S. Ferreira, "An improved version of Wang's algorithm", Eur.
        # J. Oper. Res. 44 (1990), problem OF1; worth their area.
        ((70, 40), tuple((w, h, most, w * h) for w, h, most in OF1), 2737),
    ],
    ids=["gcut1", "cgcut1", "of1"],
)
def test_the_published_optima_of_the_literature_are_reached_and_proven(
    size: tuple[int, int],
    pieces: tuple[tuple[int, int, int | None, int], ...],
    optimum: int,
) -> None:
    """Sizes, numbers and optima are from memory; that they agree speaks for all of them."""
    sheet = MixForm("sheet", F(size[0]), F(size[1]), F(0), 1)
    wanted = [
        WorthPiece(f"{at}", F(w), F(h), F(worth), most, may_turn=False)
        for at, (w, h, most, worth) in enumerate(pieces)
    ]
    answer = best_worth([sheet], wanted)
    assert answer.worth == answer.worth_upper_bound == optimum

"""Which length is cut from which piece: against every possible way, on small shelves."""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction as F
from itertools import product

import pytest

from kitmaker.cutting.purchase import StripLoss
from kitmaker.kits import allocation
from kitmaker.kits.allocation import allocate
from kitmaker.kits.first_fit import first_fit
from kitmaker.kits.wants import Allocation, FormCut, ShelfPiece, Task, Want

LOSS = StripLoss(F(1, 2), F(1, 4), 2)
Key = tuple[F, tuple[F, ...], int]


def key_of(pieces: list[ShelfPiece], inches: F, all_of_it: F, taken: list[F]) -> Key:
    """Most placed; where all is, least from the longest piece, the next …; then fewest pieces."""
    if inches < all_of_it:
        return -inches, (), 0
    order = sorted(range(len(pieces)), key=lambda at: (-pieces[at].free, at))
    return -inches, tuple(taken[at] for at in order), sum(1 for one in taken if one)


def found_key(pieces: list[ShelfPiece], wants: list[Want], found: Allocation) -> Key:
    inches = sum((w.inches * placed for w, placed in zip(wants, found.placed, strict=True)), F(0))
    return key_of(pieces, inches, inches_of(wants), list(found.taken))


def inches_of(wants: list[Want]) -> F:
    return sum((want.inches * want.copies for want in wants), F(0))


def ways(pieces: list[ShelfPiece], want: Want) -> list[tuple[tuple[int, F], ...]]:
    """Every way of placing one copy: nowhere, or its parts in pieces of one dye lot."""
    parts = [size for size, count in want.parts for _ in range(count)]
    every = product(range(len(pieces)), repeat=len(parts))
    one_lot = [spots for spots in every if len({pieces[at].lot for at in spots}) == 1]
    return [(), *(tuple(zip(spots, parts, strict=True)) for spots in one_lot)]


def best_of_all(pieces: list[ShelfPiece], wants: list[Want], loss: StripLoss) -> Key:
    copies = [want for want in wants for _ in range(want.copies)]
    best: Key | None = None
    for chosen in product(*(ways(pieces, want) for want in copies)):
        used, strips = [F(0)] * len(pieces), [0] * len(pieces)
        for want, spots in zip(copies, chosen, strict=True):
            for at, size in spots:
                used[at] += size
                strips[at] += want.is_strip
        taken = [used[at] + loss.on(strips[at]) for at in range(len(pieces))]
        if all(taken[at] <= pieces[at].free for at in range(len(pieces))):
            key = key_of(pieces, sum(used, F(0)), inches_of(wants), taken)
            best = key if best is None or key < best else best
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(60))
def test_no_way_at_all_does_better(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311 - the same small shelves on every run
    pieces = [
        ShelfPiece(F(draw.randint(4, 24)), draw.choice(["", "A", "B"]))
        for _ in range(draw.randint(1, 3))
    ]
    wants = []
    for _ in range(draw.randint(1, 2)):
        is_strip = draw.random() < 0.4
        parts = [(F(draw.randint(6, 9)), 1)]
        if not is_strip and draw.random() < 0.5:
            parts.append((F(draw.randint(2, 5)), 1))
        wants.append(Want(tuple(sorted(parts)), draw.randint(1, 2), is_strip))
    found = allocate(pieces, wants, LOSS)
    assert found.exact
    assert found_key(pieces, wants, found) == best_of_all(pieces, wants, LOSS)


def test_a_kit_never_mixes_dye_lots() -> None:
    kit = Want(((F(9), 1), (F(18), 1)), 1)
    assert allocate(
        [ShelfPiece(F(20), "A"), ShelfPiece(F(10), "B")], [kit], StripLoss()
    ).placed == (0,)
    assert allocate(
        [ShelfPiece(F(20), "A"), ShelfPiece(F(10), "A")], [kit], StripLoss()
    ).placed == (1,)


def test_a_full_bolt_is_spared_while_remnants_last() -> None:
    pieces = [ShelfPiece(F(360)), ShelfPiece(F(36)), ShelfPiece(F(40))]
    found = allocate(pieces, [Want(((F(36), 1),), 2)], StripLoss())
    assert found.taken == (F(0), F(36), F(36))


def test_what_first_fit_misses_is_found() -> None:
    """10 and 9 must hold 5, 5, 3, 3, 3: the greedy 5 in 9 leaves 4, and a 3 finds no place."""
    pieces = [ShelfPiece(F(10)), ShelfPiece(F(9))]
    found = allocate(pieces, [Want(((F(5), 1),), 2), Want(((F(3), 1),), 3)], StripLoss())
    assert found.placed == (2, 3)


def test_many_sizes_find_their_places_and_never_past_a_piece() -> None:
    """63 strips of 7 sizes, 315 in, and their loss: all of it, and the remnant first."""
    pieces = [ShelfPiece(F(477), "A"), ShelfPiece(F(198), "B"), ShelfPiece(F(40))]
    wants = [Want(((F(size), 1),), 9, is_strip=True) for size in range(2, 9)]
    found = allocate(pieces, wants, LOSS)
    assert found.exact
    assert found.placed == (9,) * 7
    assert all(taken <= piece.free for taken, piece in zip(found.taken, pieces, strict=True))
    assert found.taken[2] > 39


def test_strips_that_fit_one_dye_lot_are_not_taken_from_two() -> None:
    """A remnant of another lot is left, though a remnant would go first."""
    strips = [Want(((F(5), 1),), 4, is_strip=True, is_loose=True)]
    found = allocate([ShelfPiece(F(60), "A"), ShelfPiece(F(12), "B")], strips, StripLoss())
    assert (*found.taken, *found.lots[0]) == (20, 0, "A")


def test_strips_that_fit_no_one_lot_come_from_two_and_it_is_known() -> None:
    strips = [Want(((F(5), 1),), 4, is_strip=True, is_loose=True)]
    found = allocate([ShelfPiece(F(12), "A"), ShelfPiece(F(12), "B")], strips, StripLoss())
    assert (*found.placed, *sorted(found.lots[0])) == (4, "A", "B")


def test_an_empty_shelf_surely_holds_nothing() -> None:
    found = allocate([], [Want(((F(5), 1),), 4)], StripLoss())
    assert (found.placed, found.exact) == ((0,), True)


@pytest.mark.parametrize("seed", range(12))
def test_what_finds_a_place_does_not_depend_on_which_pieces_are_spared(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311 - the same small shelves on every run
    pieces = [ShelfPiece(F(draw.randint(8, 24)), draw.choice("AB")) for _ in range(3)]
    wants = [Want(((F(draw.randint(5, 9)), 1),), draw.randint(1, 4), is_strip=True)]
    wants += [Want(((F(4), 1), (F(7), 1)), draw.randint(1, 2))]
    quick = allocate(pieces, wants, LOSS, remnants_first=False)
    careful = allocate(pieces, wants, LOSS)
    inches = [
        sum((want.inches * placed for want, placed in zip(wants, one.placed, strict=True)), F(0))
        for one in (quick, careful)
    ]
    assert inches[0] == inches[1]
    assert all(taken <= piece.free for taken, piece in zip(quick.taken, pieces, strict=True))


def long_shelf(seed: int) -> tuple[list[ShelfPiece], list[Want]]:
    draw = random.Random(seed)  # noqa: S311 - the same shelves on every run
    sides = (("fat-quarter", 2),)
    pieces = [
        ShelfPiece(F(draw.randint(9, 60)), side_by_side=sides) for _ in range(draw.randint(4, 9))
    ]
    pieces.append(ShelfPiece(F(draw.randint(0, 3)), form="fat-quarter"))
    wants = [
        Want(((F(draw.randint(7, 11)), 1),), draw.randint(1, 6)),
        Want(((F(draw.randint(2, 5)), 1),), draw.randint(3, 20), is_strip=True, is_loose=True),
        Want((), draw.randint(1, 4), forms=(("fat-quarter", 1),)),
    ]
    return pieces, wants


CUTS = (FormCut("fat-quarter", F(18)),)


@pytest.mark.parametrize("seed", range(25))
def test_looking_at_the_shortest_lengths_first_changes_nothing(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    pieces, wants = long_shelf(seed)
    at_once = allocate(pieces, wants, LOSS, CUTS)
    monkeypatch.setattr(allocation, "_FEW", 1)
    allocation._allocate.cache_clear()
    assert allocate(pieces, wants, LOSS, CUTS).taken == at_once.taken


@pytest.mark.parametrize("seed", range(40))
def test_one_pass_over_a_long_shelf_takes_no_more_than_there_is(seed: int) -> None:
    """What it places is whole, fits its rows, and is never more than can be placed."""
    pieces, wants = long_shelf(seed)
    found = first_fit(Task(tuple(pieces), tuple(wants), LOSS, CUTS))
    assert all(took <= piece.free for took, piece in zip(found.taken, pieces, strict=True))
    assert found.exact == (found.placed == tuple(want.copies for want in wants))
    cut = sum(sum(count for _, count in row.bags) for row in found.rows)
    strips = sum(sum(count for _, count in row.strips) for row in found.rows)
    forms = sum(2 * count for row in found.rows for _, count in row.cuts) + found.taken[-1]
    assert (cut, strips) == found.placed[:2]
    assert forms >= found.placed[2]
    most = allocate(pieces, wants, LOSS, CUTS, remnants_first=False)
    assert not found.exact or most.placed == found.placed


def test_two_thousand_lengths_of_many_lots_are_looked_through_at_once() -> None:
    """No kit mixes two lots; what one pass cannot place is not said to be surely short."""
    pieces = [ShelfPiece(F(36 + at % 7), lot=f"lot {at % 97}") for at in range(2_000)]
    kits = [Want(((F(30), 1), (F(5), 2)), 600), Want(((F(2), 1),), 100, is_strip=True)]
    found = allocate(pieces, kits, LOSS, remnants_first=False)
    assert (found.placed, found.exact) == ((600, 100), True)
    held: Counter[tuple[str, F]] = Counter()
    for piece, took in zip(pieces, found.rows, strict=True):
        assert took.taken <= piece.free
        held.update({(piece.lot, size): count for size, count in took.bags})
    for lot in {piece.lot for piece in pieces}:
        assert held[lot, F(5)] == 2 * held[lot, F(30)]
        assert (lot in found.lots[0]) == bool(held[lot, F(30)])
    assert sum(count for (_, size), count in held.items() if size == 30) == 600
    most = allocate(pieces, [Want(((F(30), 1),), 2_500)], LOSS)
    assert (most.placed, most.exact) == ((2_000,), False)


def test_two_thousand_lengths_of_one_sku_are_looked_through_at_once() -> None:
    """A need that one in fifty of them meets, and one that all together do not."""
    pieces = [ShelfPiece(F(36 + number % 7)) for number in range(2_000)]
    kits = [Want(((F(30), 1),), 40), Want(((F(2), 1),), 100, is_strip=True, is_loose=True)]
    found = allocate(pieces, kits, LOSS)
    assert found.placed == (40, 100)
    assert sum(1 for took in found.taken if took) <= 64
    assert allocate(pieces, [Want(((F(30), 1),), 2_500)], LOSS, remnants_first=False).placed == (
        2_000,
    )

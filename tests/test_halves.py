"""Work shared with a second process: the same as in one, whatever becomes of the other."""

from __future__ import annotations

import os
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from quilt import fabric, pattern, piece, shop

from kitmaker.commands import halves
from kitmaker.commands.halves import in_halves
from kitmaker.kits.convert import convert

HERE = os.getpid()


def doubled(number: int) -> tuple[int, bool]:
    return 2 * number, os.getpid() == HERE


def dies(number: int) -> tuple[int, bool]:
    if os.getpid() != HERE:
        os._exit(9)
    return doubled(number)


def fails(number: int) -> tuple[int, bool]:
    if os.getpid() != HERE:
        raise ValueError("not here")
    return doubled(number)


def sends_what_cannot_be_sent(number: int) -> Any:
    return (lambda: number) if os.getpid() != HERE else doubled(number)


@pytest.fixture(autouse=True)
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(halves, "_processors", lambda: 2)


def test_every_second_thing_is_made_by_the_other_process_and_all_come_in_order() -> None:
    made = list(in_halves(doubled, range(7)))
    assert [number for number, _ in made] == [0, 2, 4, 6, 8, 10, 12]
    assert [here for _, here in made] == [True, False] * 3 + [True]


@pytest.mark.parametrize("work", [dies, fails, sends_what_cannot_be_sent])
def test_where_the_other_process_ends_early_its_things_are_worked_off_here(
    work: Callable[[int], Any],
) -> None:
    assert list(in_halves(work, range(5))) == [(2 * number, True) for number in range(5)]


def test_a_fault_in_the_work_comes_up_here() -> None:
    def faulty(number: int) -> int:
        return 1 // (number - 3)

    with pytest.raises(ZeroDivisionError):
        list(in_halves(faulty, range(5)))


def test_few_things_or_one_processor_begin_no_other_process(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert all(here for _, here in in_halves(doubled, range(2)))
    monkeypatch.setattr(halves, "_processors", lambda: 1)
    assert all(here for _, here in in_halves(doubled, range(9)))


def test_the_other_process_ends_where_nobody_waits_for_it_any_more() -> None:
    import multiprocessing

    going = in_halves(doubled, range(9))
    next(going)
    assert multiprocessing.active_children()
    going.close()  # type: ignore[attr-defined]
    assert not multiprocessing.active_children()


def test_forms_are_the_same_as_worked_out_in_one_process_and_in_the_patterns_order() -> None:
    fabrics = [
        fabric(f"Print {at}", piece("A", 5, Fraction(4 + at % 3), 9), piece("B", 3, 3, 8))
        for at in range(7)
    ]
    at = shop()
    forms = [(name, at.catalogue.find(name)) for name in ("fat-quarter", "yardage", "strip-1.5")]
    found = list(convert(pattern(*fabrics), forms, at, spread=in_halves))
    assert [one.fabric.role for one in found] == [one.role for one in fabrics]
    assert found == list(convert(pattern(*fabrics), forms, at))

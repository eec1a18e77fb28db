"""The cutting table of a text that is read: frozen, so that no reading spoils another."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.errors import Level
from kitmaker.reading.phrases import FabricFacts, Understood, read_lines
from kitmaker.reading.phrases.parts import Keep, UnsureError
from kitmaker.reading.phrases.strips import keep
from kitmaker.reading.phrases.table import Laid, Table


def read(*lines: str, **facts: int) -> Understood:
    return read_lines(lines, FabricFacts(**facts))  # type: ignore[arg-type]


def cuts(*lines: str, **facts: int) -> list[tuple[int, Fraction, Fraction | None]]:
    found = read(*lines, **facts)
    assert [one.message for one in found.findings if one.level is Level.ERROR] == []
    return [(cut.quantity, cut.width, cut.length) for cut in found.cuts]


def strips(count: int) -> Table:
    return Table().lay(Laid(count=count, width=Fraction(5, 2), length=None, noun="strip"))


def test_a_sentence_that_fails_leaves_nothing_behind() -> None:
    found = read('Cut 6 strips 3½" × WOF.', 'Cut 4 squares 2½", and half of them twice.')
    assert [(cut.quantity, cut.length) for cut in found.cuts] == [(6, None)]
    assert [one.line for one in found.findings if one.level is Level.ERROR] == [1]


def test_an_act_gives_a_new_table() -> None:
    table = strips(9)
    assert table.alter(0, count=5).cuts[0].count == 5
    assert table.cuts[0].count == 9
    assert table.lay(table.cuts[0]).last == (1,)


def test_tables_with_the_same_pieces_mean_the_same() -> None:
    laid = strips(9).cuts[0]
    halves = Table().lay(laid.__class__(*laid)).alter(0, count=4)
    both = halves.lay(halves.cuts[0]).alter(1, count=5)
    assert both.meaning() == strips(9).meaning()
    assert both.meaning() != strips(8).meaning()


def test_a_strip_that_is_kept_is_not_cut_on() -> None:
    lines = ('Cut 9 strips 2½" × WOF.', "Set 4 aside.", 'Sub-cut the rest into 80 squares 2½".')
    size = Fraction(5, 2)
    assert sorted(cuts(*lines), key=str) == sorted([(4, size, None), (80, size, size)], key=str)


def test_more_strips_than_there_are_cannot_be_kept() -> None:
    table = strips(3)
    with pytest.raises(UnsureError, match="keeps 4"):
        keep(table._replace(hand=(0,)), Keep(4), None)
    assert keep(table._replace(hand=(0,)), Keep(2), None).kept == 2


def test_the_rest_needs_something_that_was_taken_before() -> None:
    found = read('Cut 9 strips 2½" × WOF.', 'Sub-cut the remaining strips into 40 squares 2½".')
    assert any(one.level is Level.ERROR for one in found.findings)


def test_a_list_below_strips_is_cut_from_them() -> None:
    square = Fraction(7, 2)
    assert cuts('Cut 3 strips 3½" × WOF; sub-cut into:', '• 30 squares 3½"') == [
        (30, square, square)
    ]
    assert cuts('Cut 3 strips 3½" × WOF', 'From the fabric cut 30 squares 4"')[0][2] is None


def test_strips_that_cannot_hold_their_pieces_are_asked_about() -> None:
    found = read('Cut 2 strips 3½" × WOF; sub-cut into 60 squares 3½"')
    assert [one.level for one in found.findings] == [Level.ERROR]


def test_a_width_said_of_all_strips_holds_for_those_below() -> None:
    assert cuts('Each strip is cut 3½" wide.', "Border: 4 strips") == [(4, Fraction(7, 2), None)]

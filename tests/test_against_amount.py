"""What is read, and what is planned, is held against the amount that a pattern states."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from books import write

from kitmaker.arithmetic.shares import Share, share_of
from kitmaker.errors import Level, Problem
from kitmaker.forms import Catalogue
from kitmaker.kits.against_amount import against_amounts
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.kit import plan_kits
from kitmaker.pattern import PatternReading
from kitmaker.reading.requirements import read_pattern
from kitmaker.shop import ClassSheet, Shop


def reading(tmp_path: Path, amount: str, *cuts: str) -> PatternReading:
    rows = [("Fabric", "Requirement", "Cutting instructions"), ("Heron", amount, "\n".join(cuts))]
    return read_pattern(write(tmp_path / "pattern.xlsx", {"Sheet": rows}))


def levels(read: PatternReading, words: str) -> list[Level]:
    return [one.level for one in read.problems if words in one.message]


@pytest.mark.parametrize(
    ("taken", "share"),
    [
        # Of 40 in of cloth 40 in wide: 60 % is 24 in, 115 % is 46 in; a quarter yard is 9 in.
        (23 * 40, Share.LESS),
        (25 * 40, Share.AGREES),
        (46 * 40, Share.AGREES),
        (50 * 40, Share.MORE),
    ],
)
def test_far_is_below_60_or_above_115_percent(taken: int, share: Share) -> None:
    assert share_of(Fraction(taken), Fraction(1600), Fraction(40)) is share


def test_a_quarter_yard_is_never_far() -> None:
    assert share_of(Fraction(40), Fraction(400), Fraction(40)) is Share.AGREES


def test_pieces_that_fill_far_less_than_is_stated_are_said(tmp_path: Path) -> None:
    assert levels(reading(tmp_path, "3 yd", '20 squares 6"'), "far less") == [Level.WARNING]
    assert levels(reading(tmp_path, "⅝ yd", '20 squares 6"'), "far less") == []


def test_pieces_that_leave_much_of_their_strips_do_not_fill_far_less(tmp_path: Path) -> None:
    # 38 % of a yard by area, but one strip of 23 in, sold as ¾ yd.
    assert levels(reading(tmp_path, "1 yd", '2 rectangles 12½" x 23"'), "far less") == []
    assert levels(reading(tmp_path, "1½ yd", '2 rectangles 12½" x 23"'), "far less") != []


def test_several_prints_are_bought_for_their_variety(tmp_path: Path) -> None:
    read = reading(tmp_path, "12 fat quarters", "From each of 12 prints, cut:", '2 squares 5"')
    assert levels(read, "far less") == []


def test_a_multiplied_count_that_the_amount_cannot_hold_is_an_error(tmp_path: Path) -> None:
    of_blocks = reading(tmp_path, "1 yd", 'For each of 20 blocks cut 8 squares 5"')
    assert levels(of_blocks, "is short") == [Level.ERROR]
    plain = reading(tmp_path, "1 yd", '160 squares 5"')
    assert levels(plain, "is short") == [Level.WARNING]


def test_pieces_that_fill_the_amount_are_confirmed_by_it(tmp_path: Path) -> None:
    def confirmed(amount: str, *cuts: str) -> list[str | None]:
        read = reading(tmp_path, amount, *cuts)
        return [one.confirmed for one in read.pattern.fabrics[0].pieces]

    assert confirmed("⅝ yd", '20 squares 6"') == ["amount"]
    assert confirmed("3 yd", '20 squares 6"') == ["plain"]
    assert confirmed("3 yd", '20 squares 6" (20 total)') == ["total"]
    strips = 'Cut 4 strips 6" x WOF; sub-cut into 24 squares 6"'
    assert confirmed("3 yd", strips) == ["strips"]


def planned(read: PatternReading) -> list[Problem]:
    shop, class_sheet = Shop(), ClassSheet()
    resolved = resolve(read.pattern, shop, class_sheet, Options(kits=1))
    plan = plan_kits(read.pattern, shop, class_sheet, resolved, number="1")
    return list(against_amounts(read.pattern, plan.fabrics, Catalogue()))


def test_a_plan_far_from_the_amount_says_so_with_both_figures(tmp_path: Path) -> None:
    (said,) = planned(reading(tmp_path, "3 yd", '12 squares 5"'))
    assert said.level is Level.WARNING
    assert "far less than the pattern's '3 yd'" in said.message
    (said,) = planned(reading(tmp_path, "1 yd", '100 squares 5"'))
    assert "far more than the pattern's '1 yd'" in said.message
    assert planned(reading(tmp_path, "½ yd", '20 squares 5"')) == []

"""Exact lengths: spellings, ambiguity, rounding, and saying what can be typed back."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.lengths import (
    CENTIMETER,
    EIGHTH,
    MILLIMETER,
    SIXTEENTH,
    YARD,
    AmbiguousNumberError,
    LengthError,
    Unit,
    clean_text,
    from_cell_number,
    parse_length,
    parse_number,
    round_need_up,
    round_usable_down,
    say_length,
    say_number,
    say_off_the_bolt,
    say_plain,
    say_size,
    say_usable,
)


@pytest.mark.parametrize(
    "text", ["2 7/8", "2-7/8", "2⅞", "2 ⅞", "2 7⁄8", "2 7∕8", "2.875", "2 - 7/8", "２ 7/8"]
)
def test_a_hyphen_joins_a_mixed_number_and_is_never_a_minus(text: str) -> None:
    assert parse_number(text) == Fraction(23, 8)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        *(('2½"', Fraction(5, 2)), ("2.5 in.", Fraction(5, 2)), ("2½-inch", Fraction(5, 2))),
        *(("6,35 cm", Fraction(5, 2)), ("25.4mm", Fraction(1)), ("1 3/8 yd", Fraction(99, 2))),
        *(("1.5 yards", Fraction(54)), ("0.9144 m", YARD), ("2½''", Fraction(5, 2))),
    ],
)
def test_a_length_with_its_unit_is_exact(text: str, length: Fraction) -> None:
    assert parse_length(text) == length


def test_a_bare_number_takes_the_unit_given() -> None:
    assert parse_length("10", Unit.CENTIMETER) == 10 * CENTIMETER
    assert parse_length("2", YARD) == 72


@pytest.mark.parametrize("text", ["51/4", "11/4", "123/8"])
def test_a_fraction_that_lost_its_gap_is_ambiguous(text: str) -> None:
    with pytest.raises(AmbiguousNumberError) as caught:
        parse_number(text)
    assert caught.value.readings[-1] == Fraction(text)


@pytest.mark.parametrize(
    "text", ["", "-5", "−5", "1/0", "1e3", "inf", "nan", "1O", "2 9/8", "2 1", "9" * 5000, "2 ells"]
)
def test_what_is_no_length_is_refused_with_a_suggestion(text: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert caught.value.suggestion


def test_a_spreadsheets_number_snaps_to_the_fraction_it_was() -> None:
    assert from_cell_number(2.4999999999999996) == Fraction(5, 2)
    assert from_cell_number(2.333333333333333) == Fraction(7, 3)
    assert from_cell_number(2.53) == Fraction(253, 100)


def test_what_is_needed_goes_up_and_what_is_usable_goes_down() -> None:
    third = Fraction(7, 3)
    assert (round_need_up(third), round_usable_down(third)) == (Fraction(19, 8), Fraction(9, 4))
    assert round_need_up(Fraction(5, 2)) == round_usable_down(Fraction(5, 2)) == Fraction(5, 2)
    metric = Fraction(2559, 1000)
    assert parse_number(say_size(metric, Unit.INCH)) >= metric
    assert parse_number(say_usable(metric, Unit.INCH)) <= metric
    assert parse_number(say_size(metric, Unit.CENTIMETER)) * CENTIMETER >= metric


def test_a_length_off_the_bolt_is_never_said_shorter_than_it_is() -> None:
    assert say_off_the_bolt(Fraction(81), Unit.INCH) == "2¼ yd"
    assert say_off_the_bolt(YARD + EIGHTH, Unit.INCH) == "1 1/16 yd"
    assert say_off_the_bolt(100 * CENTIMETER + MILLIMETER, Unit.CENTIMETER) == "1.01 m"


@pytest.mark.parametrize("sixteenths", range(1, 200, 7))
def test_what_is_said_can_be_typed_back(sixteenths: int) -> None:
    length = sixteenths * SIXTEENTH
    assert parse_number(say_number(length)) == length
    assert parse_number(say_plain(length)) == length
    assert parse_length(say_length(length, Unit.INCH)) == length


def test_many_signs_for_one_thing_become_one() -> None:
    assert clean_text("2\u00a0½″ \u200b×\u202f3‑½”") == '2 1/2" × 3-1/2"'

"""The figures a shop types: markup, money, offsets, sizes, yes and no."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from kitmaker.lengths import CENTIMETER, Unit
from kitmaker.shop import Bag, InKit
from kitmaker.shopbooks.shopwords import (
    FigureError,
    parse_bag,
    parse_in_kit,
    parse_label_offset,
    parse_markup,
    parse_percent,
    parse_size_pair,
    parse_unit,
)


@pytest.mark.parametrize(
    ("text", "factor"),
    [
        ("100 %", "2"),
        ("100%", "2"),
        ("+50 %", "1.5"),
        ("37.5 percent", "1.375"),
        ("×2", "2"),
        ("x2", "2"),
        ("X 2.5", "2.5"),
        ("2×", "2"),
        ("×2 1/2", "2.5"),
        ("0 %", "1"),
    ],
)
def test_a_percentage_is_added_and_a_times_sign_multiplies(text: str, factor: str) -> None:
    markup = parse_markup(text)
    assert markup.factor == Decimal(factor)
    assert markup.as_written == text


def test_a_bare_markup_is_refused_with_both_readings() -> None:
    with pytest.raises(FigureError, match=r"add 2 %.*multiply it by 2") as caught:
        parse_markup("2")
    assert "2 %" in caught.value.suggestion
    assert "×2" in caught.value.suggestion


@pytest.mark.parametrize("text", ["", "double", "×0", "-10 %", "×", "%"])
def test_what_is_no_markup_is_refused(text: str) -> None:
    with pytest.raises(FigureError):
        parse_markup(text)


@pytest.mark.parametrize(
    ("text", "right", "down"),
    [
        ("1 mm right, -0.5 mm down", "1", "-1/2"),
        ("1, -0.5", "1", "-1/2"),
        ("1,-0.5", "1", "-1/2"),
        ("0.5 mm down, 1 mm right", "1", "1/2"),
        ("1 mm left, 2 mm up", "-1", "-2"),
        ("0.1 cm right, 0 down", "1", "0"),
        ("0.1 in, 0", "2.54", "0"),
        ("0", "0", "0"),
        ("1 right and 2 down", "1", "2"),
    ],
)
def test_a_label_offset_is_right_and_down_in_millimeters(text: str, right: str, down: str) -> None:
    assert parse_label_offset(text) == (Fraction(right), Fraction(down))


@pytest.mark.parametrize("text", ["1", "1,5", "1 right, 2 right", "a bit", "1, 2, 3", ""])
def test_an_offset_that_is_not_two_shifts_is_refused(text: str) -> None:
    with pytest.raises(FigureError) as caught:
        parse_label_offset(text)
    assert "mm right" in caught.value.suggestion


@pytest.mark.parametrize(
    ("text", "shorter", "longer"),
    [
        ("2.5 x 5", Fraction(5, 2), Fraction(5)),
        ("5 × 2½", Fraction(5, 2), Fraction(5)),
        ("4", Fraction(4), Fraction(4)),
        ("5 by 10 cm", 5 * CENTIMETER, 10 * CENTIMETER),
        ('2½" x 5"', Fraction(5, 2), Fraction(5)),
    ],
)
def test_a_smallest_offcut_is_two_measures_the_shorter_first(
    text: str, shorter: Fraction, longer: Fraction
) -> None:
    assert parse_size_pair(text, Unit.INCH) == (shorter, longer)


@pytest.mark.parametrize("text", ["", "small", "0 x 5", "2 x 3 x 4", "-2 x 5"])
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(FigureError):
        parse_size_pair(text, Unit.INCH)


def test_a_share_needs_its_percent_sign() -> None:
    assert parse_percent("3 %") == Fraction(3, 100)
    assert parse_percent("0") == 0
    with pytest.raises(FigureError, match=r"3 % or 300 %"):
        parse_percent("3")


def test_yes_no_and_sold_apart_are_told_apart() -> None:
    assert [parse_in_kit(text) for text in ("Yes", "no", "Sold-apart", "sold separately")] == [
        InKit.YES,
        InKit.NO,
        InKit.SOLD_APART,
        InKit.SOLD_APART,
    ]
    with pytest.raises(FigureError, match="maybe"):
        parse_in_kit("maybe")


def test_a_bag_is_uncut_or_pieces() -> None:
    assert parse_bag("Uncut") is Bag.UNCUT
    assert parse_bag("pieces ") is Bag.PIECES
    with pytest.raises(FigureError, match="box"):
        parse_bag("box")


def test_a_unit_is_inches_or_centimeters() -> None:
    assert parse_unit("in.") is Unit.INCH
    assert parse_unit("CM") is Unit.CENTIMETER
    with pytest.raises(FigureError, match="ells"):
        parse_unit("ells")

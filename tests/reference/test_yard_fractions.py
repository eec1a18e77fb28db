"""Fractions of a yard in inches, as printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.lengths import YARD, parse_length, parse_number, round_need_up

MEASUREMENTS = (
    "A Time to Sew Quilt Designs, Measurements, http://www.atimetosewquilts.com/measurements.htm"
)
RESOURCES = "Quilters Resources, https://quiltersresources.com/measurements.html"
TECHNICAL = (
    "Lovely Frankenstein Designs, It's Technical (2011), "
    "http://lovelyfrankensteindesigns.blogspot.com/2011/08/belated-thursdsay-its-technical.html"
)


@pytest.mark.parametrize(
    ("yards", "published"),
    [
        ("1/8", "4.5"),
        ("1/4", "9"),
        ("1/3", "12"),
        ("3/8", "13.5"),
        ("1/2", "18"),
        ("5/8", "22.5"),
        ("2/3", "24"),
        ("3/4", "27"),
        ("7/8", "31.5"),
        ("1", "36"),
    ],
)
def test_fractions_of_a_yard(yards: str, published: str) -> None:
    assert parse_length(f"{yards} yd") == parse_number(published), MEASUREMENTS


@pytest.mark.parametrize(
    ("yards", "published", "right", "source"),
    [
        ("1/8", "4/5", "4.5", RESOURCES),
        ("3/8", "15", "13.5", TECHNICAL),
        ("2/3", "25", "24", TECHNICAL),
    ],
)
def test_mistakes(yards: str, published: str, right: str, source: str) -> None:
    found = parse_length(f"{yards} yd")
    assert found != parse_number(published), source
    assert found == parse_number(right)


@pytest.mark.parametrize(
    ("inches", "step", "yards", "source"),
    [
        ("10", "1/8", "3/8", "Annie's, https://anniesattic.com/precuts-to-yardage-conversion"),
        ("148", "1/4", "4 1/4", "https://teacherscollegesj.org/ (backing, up to a quarter yard)"),
    ],
)
def test_yardage_is_rounded_up(inches: str, step: str, yards: str, source: str) -> None:
    found = round_need_up(parse_number(inches), parse_number(step) * YARD)
    assert found == parse_number(yards) * YARD, source


def test_forty_strips_are_two_yards_and_seven_eighths() -> None:
    """40 × 2½ in = 100 in, 2.78 yd: "about 2¾" in print, and 2¾ yd would be an inch short."""
    found = round_need_up(40 * Fraction(5, 2), YARD / 8)
    assert found == parse_number("2 7/8") * YARD
    assert parse_number("2 3/4") * YARD == 99

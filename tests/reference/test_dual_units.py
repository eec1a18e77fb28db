"""Net contents in inch-pound and metric on labels, and money by exact decimals."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from kitmaker.forms import Catalogue
from kitmaker.kits.costs import in_cents
from kitmaker.lengths import CENTIMETER, INCH, METER, YARD, Unit
from kitmaker.paper.sheets.saying import say_metric, say_net_form

CFR = "16 CFR 500.19, https://www.law.cornell.edu/cfr/text/16/500.19"
DECIMAL = "Python standard library, decimal: exact sums, ROUND_HALF_UP named where it is used"


def test_the_factors_are_those_of_the_rule() -> None:
    assert Fraction("2.54") == INCH / CENTIMETER, CFR
    assert Fraction("0.9144") == YARD / METER, CFR


@pytest.mark.parametrize(
    ("inches", "said"),
    [("18", "45 cm"), ("22", "55 cm"), ("36", "91 cm"), ("45", "1.14 m"), ("72", "1.82 m")],
)
def test_two_digits_below_a_meter_and_three_above_never_overstated(inches: str, said: str) -> None:
    """18 in are 45.72 cm, 36 in 91.44 cm, 45 in 114.3 cm: a label promises no more."""
    assert say_metric(Fraction(inches)) == said, CFR


def test_a_label_says_both_units() -> None:
    said = say_net_form(Catalogue().find("fat quarter"), 2, None, Unit.INCH)
    assert said == "2 fat quarters, 22 × 18 in (55 cm × 45 cm)", CFR


@pytest.mark.parametrize(
    ("amount", "cents"),
    [("2.675", "2.68"), ("1.005", "1.01"), ("0.125", "0.13"), ("2.674", "2.67")],
)
def test_money_rounds_half_up_where_binary_numbers_would_not(amount: str, cents: str) -> None:
    """As a binary number 2.675 and 1.005 lie a hair below the half, and 0.125 goes to even."""
    assert in_cents(Decimal(amount)) == Decimal(cents), DECIMAL
    assert f"{float(amount):.2f}" != cents or amount == "2.674"

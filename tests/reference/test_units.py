"""The inch and the yard in metric, by law and standard."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.lengths import CENTIMETER, INCH, METER, MILLIMETER, YARD, parse_length

NBS = "Addendum to NBS Circular 572 (1960), https://books.google.gr/books?id=SeRcAAAAIAAJ"
CFR = "16 CFR 500.19, https://www.law.cornell.edu/cfr/text/16/500.19"
LETTER = "Letter paper size, https://www.convertworld.com/en/paper-size/letter.html"
ISO_216 = "ISO 216, http://www.amazines.com/ISO_216_related.html"


def test_a_yard_is_0_9144_meters() -> None:
    assert Fraction("0.9144") == YARD / METER, f"{NBS}; {CFR}"


def test_an_inch_is_2_54_centimeters() -> None:
    assert Fraction("2.54") == INCH / CENTIMETER, CFR
    assert Fraction("25.4") == INCH / MILLIMETER, CFR


def test_a_square_inch_and_a_square_yard() -> None:
    assert Fraction("6.4516") == (INCH / CENTIMETER) ** 2, CFR
    assert round((YARD / METER) ** 2, 6) == Fraction("0.836127"), CFR


def test_letter_paper_in_millimeters() -> None:
    assert parse_length("8 1/2 in") == parse_length("215.9 mm"), LETTER
    assert parse_length("11 in") == parse_length("279.4 mm"), LETTER


def test_a4_is_6_mm_narrower_and_18_mm_longer_than_letter() -> None:
    narrower = parse_length("8.5 in") - parse_length("210 mm")
    longer = parse_length("297 mm") - parse_length("11 in")
    assert (round(narrower / MILLIMETER), round(longer / MILLIMETER)) == (6, 18), ISO_216


@pytest.mark.parametrize("text", ["50 cm", "500 mm", "0.5 m"])
def test_metric_texts_are_exact(text: str) -> None:
    assert parse_length(text) == Fraction(2500, 127)


A5_A6 = (
    "PDF page sizes (ISO 216), http://opacdpk.pinrangkab.go.id/inlislite3-old/vendorxa/psliwa/"
    "php-pdf/examples/page-size.xml"
)


@pytest.mark.parametrize(
    ("halvings", "printed", "source"),
    [(4, (210, 297), ISO_216), (5, (148, 210), A5_A6), (6, (105, 148), A5_A6)],
    ids=["A4", "A5", "A6"],
)
def test_paper_is_the_sheet_before_it_cut_in_half(
    halvings: int, printed: tuple[int, int], source: str
) -> None:
    """From A0, 841 × 1189 mm, each is half of the one before, in whole millimeters down."""
    across, along = 841, 1189
    for _ in range(halvings):
        across, along = along // 2, across
    assert (across, along) == printed, source
    assert across * MILLIMETER == parse_length(f"{printed[0]} mm")

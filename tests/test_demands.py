"""A fabric's pieces, as the cutting core is asked for them."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from kitmaker.errors import Location
from kitmaker.forms import Catalogue, Form
from kitmaker.kits.demands import demands_for, pattern_width_of
from kitmaker.lengths import Unit
from kitmaker.pattern import Amount, Direction, Fabric, Piece, PieceKind

HERE = Location("pattern.xlsx", "Pieces", "B2")


def form(name: str) -> Form:
    return Catalogue().find(name)


def piece(**change: object) -> Piece:
    base: dict[str, object] = {
        "name": "A star",
        "width": F(5, 2),
        "length": F(9, 2),
        "quantity": 4,
        "where": HERE,
    }
    return Piece(**(base | change))  # type: ignore[arg-type]


STRIP = {"kind": PieceKind.STRIP, "length": None}


def test_a_free_piece_may_turn_and_a_one_way_piece_may_not() -> None:
    free = demands_for([("a", piece(), 4)], form("fat-quarter"), Unit.INCH).demands[0]
    one_way = piece(direction=Direction.ONE_WAY)
    fixed = demands_for([("a", one_way, 4)], form("fat-quarter"), Unit.INCH).demands[0]
    assert free.may_turn
    assert not fixed.may_turn
    assert (fixed.across, fixed.along) == (F(5, 2), F(9, 2))


def test_a_lengthwise_piece_has_its_long_side_along_whichever_way_it_was_typed() -> None:
    border = piece(width=F(50), length=F(9, 2), direction=Direction.LENGTHWISE)
    demand = demands_for([("a", border, 2)], form("yardage"), Unit.INCH).demands[0]
    assert (demand.across, demand.along) == (F(9, 2), F(50))


def test_a_whole_strip_takes_the_whole_usable_width() -> None:
    asked = demands_for([("a", piece(**STRIP), 6)], form("yardage"), Unit.INCH)
    assert asked.demands[0].across == 40
    assert asked.demands[0].along == F(5, 2)


def test_strips_across_a_fabric_of_fat_quarters_are_as_long_as_one_gives() -> None:
    amount = Amount(as_written="5 fat quarters", quantity=F(5), unit="fat-quarter", length=None)
    fabric = Fabric(role="Sky", requirement=amount, where=HERE)
    width = pattern_width_of(fabric, Catalogue())
    assert width == form("fat-quarter").usable_across == 20
    for name in ("fat-quarter", "yardage", "half-yard"):
        asked = demands_for([("a", piece(**STRIP), 6)], form(name), Unit.INCH, width)
        assert [(one.across, one.along) for one in asked.demands] == [(20, F(5, 2))]
    assert demands_for([("a", piece(**STRIP), 6)], form("square-10"), Unit.INCH, width).why
    for unit in ("yd", "strip-2.5", "long-quarter", "square-10", "panel"):
        assert Catalogue().narrow(unit) is None


def test_a_whole_strip_cannot_come_from_a_fat_quarter_without_its_cross_cut() -> None:
    asked = demands_for([("a", piece(**STRIP), 6)], form("fat-quarter"), Unit.INCH)
    assert asked.demands == ()
    assert "whole width of the fabric (2½ in × WOF)" in asked.why
    assert "Cross-cut" in asked.fits_from


def test_strip_sets_come_in_whole_cross_cuts() -> None:
    """3½ in: 11 cross-cuts from 40 in, but only 5 from each 20 in: 2 strips need 5 halves."""
    strips = piece(**STRIP, cross_cut=F(7, 2))
    demand = demands_for([("a", strips, 2)], form("fat-quarter"), Unit.INCH).demands[0]
    assert demand.across == F(35, 2)
    assert demand.count == 5


@pytest.mark.parametrize("name", ["square-5", "strip-2.5"])
def test_a_piece_too_large_is_told_with_the_size_it_needs(name: str) -> None:
    asked = demands_for([("a", piece(width=F(6), length=F(6)), 4)], form(name), Unit.INCH)
    assert "A star, 6 × 6 in, does not fit" in asked.why
    assert "at least 6 × 6" in asked.fits_from


def test_a_piece_that_the_nominal_size_would_hold_is_told_to_measure() -> None:
    asked = demands_for(
        [("a", piece(width=F(17), length=F(21)), 1)], form("fat-quarter"), Unit.INCH
    )
    assert "nominal size is large enough: measure yours" in asked.fits_from

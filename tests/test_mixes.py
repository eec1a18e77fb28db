"""Any mix of several forms."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction as F

import pytest
from quilt import fabric, pattern, piece, priced_catalogue, shop, strip

from kitmaker.choosing import Option
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.kits.convert import convert
from kitmaker.pattern import Fabric


def option(what: Fabric, name: str, catalogue: Catalogue) -> Option:
    forms = [(name, catalogue.find_mix(name))]
    (found,) = convert(pattern(what), forms, shop(catalogue=catalogue))
    return found.options[0]


def test_the_cheapest_mix_is_taken() -> None:
    """13 squares of 5: one fat quarter holds 12; the last comes cheaper as a square."""
    catalogue = priced_catalogue(fat_quarter="3.00", square_5="0.40")
    found = option(fabric("Stars", piece("A", 5, 5, 13)), "fat quarter + 5-inch square", catalogue)
    assert dict(found.counts) == {"fat-quarter": 1, "square-5": 1}
    assert found.cost == found.cost_lower_bound == Decimal("3.40")
    assert found.amount is not None
    assert found.amount.count == 2
    assert found.amount.buy == "1 fat quarter + 1 square, 5 in"


def test_a_form_that_holds_only_some_pieces_serves_those() -> None:
    found = option(
        fabric("Stars", piece("A", 9, 9, 2), piece("B", "2.5", "2.5", 16)),
        "fat-quarter+strip-2.5",
        priced_catalogue(fat_quarter="3.00"),
    )
    assert found.feasible
    assert dict(found.counts)["fat-quarter"] >= 1


def test_a_missing_cost_makes_it_area_and_says_so() -> None:
    found = option(fabric("Stars", piece("A", 5, 5, 13)), "fat quarter+square-5", Catalogue())
    assert found.cost is None
    assert "by area" in found.why
    assert dict(found.counts) == {"square-5": 13}, "squares have no waste"


def test_a_whole_strip_needs_a_form_as_wide_as_fabric() -> None:
    found = option(fabric("Binding", strip("A", "2.5", 6)), "fat quarter+square-5", Catalogue())
    assert found.feasible is False
    assert "whole width" in found.why
    wide = option(fabric("Binding", strip("A", "2.5", 6)), "square-5+strip-2.5", Catalogue())
    assert dict(wide.counts) == {"strip-2.5": 6}


def test_a_mix_of_one_form_is_that_form() -> None:
    assert Catalogue().find_mix("fat quarter+FQ").form_id == "fat-quarter"


@pytest.mark.parametrize("name", ["fat quarter+yardage", "fat quarter+nonsense"])
def test_a_mix_holds_known_forms_of_fixed_size(name: str) -> None:
    with pytest.raises(UnknownFormError):
        Catalogue().find_mix(name)


def test_a_mix_is_never_dearer_than_its_forms_alone() -> None:
    catalogue = priced_catalogue(fat_quarter="3.00", fat_eighth="1.60")
    what = fabric("Stars", piece("A", "3.5", "6.5", 17), piece("B", 2, 2, 30))
    mixed = option(what, "fat quarter+fat eighth", catalogue)
    alone = [option(what, name, catalogue).cost for name in ("fat quarter", "fat eighth")]
    known = [cost for cost in alone if cost is not None]
    assert mixed.cost is not None
    assert mixed.cost_lower_bound is not None
    assert F(mixed.cost_lower_bound) <= F(mixed.cost) <= F(min(known))

"""A small part of the cutting benchmark, quick enough for every run."""

from __future__ import annotations

from fractions import Fraction

import pytest
import rectpack

from kitmaker.cutting.desk import plan_forms
from kitmaker.cutting.problem import Demand


@pytest.mark.parametrize(
    ("pieces", "across", "along"),
    [
        (((5, 5, 6), (3, 5, 12), (3, 3, 12)), 20, 8),
        (((6, 5, 4), (4, 5, 8), (2, 3, 11)), 20, 16),
    ],
)
def test_no_more_forms_than_a_general_purpose_packer(
    pieces: tuple[tuple[int, int, int], ...], across: int, along: int
) -> None:
    packer = rectpack.newPacker(rotation=True)
    for wide, long, count in pieces:
        for _ in range(count):
            packer.add_rect(wide, long)
    packer.add_bin(across, along, count=float("inf"))
    packer.pack()
    demands = [
        Demand(f"{at}", Fraction(wide), Fraction(long), count)
        for at, (wide, long, count) in enumerate(pieces)
    ]
    answer = plan_forms(demands, Fraction(across), Fraction(along))
    assert answer.count <= len(packer)
    assert answer.proven

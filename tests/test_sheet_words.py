"""What the sheets say besides steps: cross-cuts, and which count a saving is of."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from quilt import fabric, pattern, piece, strip
from test_kit import plan

from kitmaker.paper.render import render_pages
from kitmaker.shop import Bag


def test_a_strip_sets_cross_cut_stands_where_its_strips_are_cut() -> None:
    rail = fabric("Rails", replace(strip("rail", "1.5", 20), cross_cut=Fraction(7, 2)), sku="R-1")
    for bag in Bag:
        made = plan(pattern(rail), kits=2, bags=((None, bag),))
        files = render_pages(made).files
        wanted = ["cutting-sheet", "piece-labels"] if bag is Bag.PIECES else []
        for start in (*wanted, "students-cutting-guide"):
            text = next(text for name, text in files.items() if name.startswith(start))
            assert "cross-cut at 3½ in" in " ".join(re.sub(r"<[^>]*>", " ", text).split()), (
                bag,
                start,
            )


def test_fewer_forms_are_said_of_one_kit_and_never_of_all_kits_together() -> None:
    stars = fabric("Stars", piece("star", "4.25", "4.25", 13), sku="S-1")
    made = plan(pattern(stars), kits=3, forms=((None, "fat quarter"),), bags=((None, Bag.PIECES),))
    one, all_kits = made.fabrics[0].per_kit, made.fabrics[0].total
    assert one.one_fewer_at is not None
    files = render_pages(made).files
    sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
    assert sheet.count("would do if") == 1
    before, after = sheet.split(f"{one.count - 1} would do if")
    assert f"{one.buy} for one kit alone" in before[-120:]
    assert f"Pull {all_kits.buy}" in before
    assert "for one kit alone" not in after

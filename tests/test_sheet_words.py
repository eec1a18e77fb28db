"""What the sheets say besides steps: cross-cuts, and which count a saving is of."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from quilt import fabric, pattern, piece, strip
from test_kit import plan

from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.layout_view import piece_names
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
    assert f"Pull {all_kits.buy}" in sheet
    assert "would do if" not in sheet
    assert files["index.html"].count(f"{one.count - 1} would do if") == 1


def test_the_sheet_says_whether_strips_keep_their_selvages() -> None:
    asked = fabric("Sky", piece("patch", 4, 5, 20), strip("edge", "2.5", 5), sku="S-1")
    for form, said in (
        ("yardage", "lose them, as the steps say; strips used whole keep them."),
        ("fat quarter", ""),
    ):
        part = asked if said else fabric("Sky", piece("patch", 4, 5, 20), sku="S-1")
        made = plan(pattern(part), kits=2, forms=((None, form),), bags=((None, Bag.PIECES),))
        files = render_pages(made).files
        sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
        assert ("Selvages: strips that are cut up" in sheet) == bool(said)
        assert said in sheet


def test_a_name_that_is_only_the_size_is_not_said_beside_it() -> None:
    names = ("2½ square", '2½" squares', "2.5 x 4.5 rectangle", "corner 2½ square")
    asked = fabric("Sky", *(piece(name, "2.5", f"{at}.5", 4) for at, name in enumerate(names, 2)))
    made = plan(pattern(asked), kits=1, bags=((None, Bag.PIECES),))
    assert made.fabrics[0].job is not None
    said = [one.name for one in piece_names(made.fabrics[0].job).values()]
    assert said == ["", "", "", "corner 2½ square"]

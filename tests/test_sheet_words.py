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
    patch, edge = piece("patch", "2.5", "5", 20), strip("edge", "2.5", 5)
    lose = "Selvages: strips that are cut up lose them, as the steps say"
    for form, pieces, said in (
        ("yardage", (patch, edge), f"{lose}; strips used whole keep them."),
        ("strip-2.5", (patch, edge), f"{lose}; strips used whole keep them."),
        ("strip-2.5", (patch,), f"{lose}."),
        ("strip-2.5", (edge,), "Selvages: strips used whole keep them."),
        ("fat quarter", (patch,), "Selvages come off when the cloth is squared up."),
        ("square-5", (patch,), ""),
    ):
        asked = pattern(fabric("Sky", *pieces, sku="S-1"))
        made = plan(asked, kits=2, forms=((None, form),), bags=((None, Bag.PIECES),))
        files = render_pages(made).files
        sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
        assert said in sheet, form
        assert ("Selvages" in sheet) == bool(said)


def test_a_name_that_is_only_the_size_is_not_said_beside_it() -> None:
    names = ("2½ square", '2½" squares', "2.5 x 4.5 rectangle", "corner 2½ square")
    asked = fabric("Sky", *(piece(name, "2.5", f"{at}.5", 4) for at, name in enumerate(names, 2)))
    made = plan(pattern(asked), kits=1, bags=((None, Bag.PIECES),))
    assert made.fabrics[0].job is not None
    said = [one.name for one in piece_names(made.fabrics[0].job).values()]
    assert said == ["", "", "", "corner 2½ square"]


def count_by_hand(sheet: str, *, by_length: bool) -> tuple[int, int]:
    """Count the cuts and the stacks of a sheet as a person does, with its words and boxes alone.

    A length by itself is no stack.
    """
    cuts = stacks = 0
    for item in re.findall(r"<li><span class=\"stepno\">.*?</li>", sheet, flags=re.DOTALL):
        boxes = item.count('class="box"')
        words = " ".join(re.sub(r"<[^>]*>", " ", item).split())
        asked = [int(n) for n in re.findall(r"(\d+) (?:strips?|lengths?|cuts?|at) ", words)]
        marked = sum(asked) + len(re.findall(r"Trim (?:parallel|across)|raighten the", words))
        if "the last is what is left" in words:
            marked -= 1
        if by_length and re.search(r"\d strips? .* wide for", words):
            after = re.search(r"0 again after cuts? ([\d, and]+)\.", words)
            cuts += marked + len(re.findall(r"\d+", after[1]) if after else [])
        elif "raighten" in words:
            cuts += marked
        else:
            cuts += marked * boxes
            stacks += boxes
    return cuts, stacks


def test_the_totals_are_those_that_a_hand_counts_from_the_printed_sheet() -> None:
    sky = fabric("Sky", piece("a", 8, 2, 12), piece("b", "2.5", "2.5", 9), strip("c", 3, 2))
    for form, pieces in (("yardage", sky.pieces), ("fat quarter", sky.pieces[:2])):
        asked = pattern(replace(sky, pieces=pieces))
        made = plan(asked, kits=7, forms=((None, form),), bags=((None, Bag.PIECES),))
        job = made.fabrics[0].job
        assert job is not None
        files = render_pages(made).files
        sheet = next(text for name, text in files.items() if name.startswith("cutting-sheet"))
        assert count_by_hand(sheet, by_length=form == "yardage") == (job.cuts, job.stacks)
        assert f"<dt>Cuts</dt><dd>{job.cuts}</dd>" in sheet
        assert f"<dt>Stacks</dt><dd>{job.stacks}</dd>" in sheet
        steps = [step for layout in job.layouts for step in layout.steps]
        assert job.cuts == sum(step.cuts for step in steps)
        shop = made.shop
        seconds = job.cuts * shop.seconds_per_cut + job.settings * shop.seconds_per_setting
        assert job.minutes * 60 == seconds + job.stacks * (shop.seconds_per_pull // 4)

"""Kits planned in a mix of forms: the bag, the shelf, the money and the paper."""

from __future__ import annotations

import json
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import Workbook
from quilt import (
    bolt,
    class_sheet,
    fabric,
    on_shelf,
    pattern,
    piece,
    priced_catalogue,
    shop,
    strip,
)

from kitmaker.cli import main
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.kit import plan_kits
from kitmaker.pattern import Pattern
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag, Shop

CATALOGUE = priced_catalogue(fat_quarter="3.00", square_5="0.40")
MIX = "fat quarter+5-inch square"
STARS = fabric("Stars", piece("A", 5, 5, 13), sku="S-1")


def plan(what: Pattern, at: Shop | None = None, **options: object) -> KitPlan:
    at = at or shop(catalogue=CATALOGUE)
    sheet = class_sheet()
    resolved = resolve(what, at, sheet, Options(**options))  # type: ignore[arg-type]
    return plan_kits(what, at, sheet, resolved, number="TEST01")


def stars(**more: object) -> FabricPlan:
    at = more.pop("at", None)
    made = plan(pattern(STARS), at, forms=((None, MIX),), **more)  # type: ignore[arg-type]
    (found,) = made.fabrics
    return found


def copies_of(found: FabricPlan) -> Counter[str]:
    assert found.job is not None
    counts: Counter[str] = Counter()
    for layout in found.job.layouts:
        counts[layout.form_id] += layout.copies
    return counts


def test_a_bag_holds_the_cheapest_mix_and_all_bags_so_many_times_that() -> None:
    """13 squares of 5: 12 from a fat quarter at 3.00 and one ready cut at 0.40."""
    found = stars(kits=4)
    assert dict(found.per_kit.counts) == {"fat-quarter": 1, "square-5": 1}
    assert dict(found.total.counts) == {"fat-quarter": 4, "square-5": 4}
    assert found.per_kit.buy == "1 fat quarter + 1 square, 5 in"
    assert found.total.buy == "4 fat quarters + 4 squares, 5 in"
    assert found.per_kit.cost == found.per_kit.cost_lower_bound == Decimal("3.40")
    assert found.cost == found.total.cost == Decimal("13.60")


def test_the_layouts_of_a_mix_say_their_form_and_come_to_its_count() -> None:
    found = stars(kits=4)
    assert copies_of(found) == {"fat-quarter": 1, "square-5": 1}
    assert found.job is not None
    sheets = {layout.form_id: layout.sheet for layout in found.job.layouts}
    assert {form: tuple(map(int, size)) for form, size in sheets.items()} == {
        "fat-quarter": (20, 16),
        "square-5": (5, 5),
    }
    assert [one.made for one in found.job.pieces] == [13]


def test_pieces_for_all_kits_are_mixed_over_all_kits() -> None:
    """48 squares from four fat quarters, four more ready cut: not four times one kit's mix."""
    found = stars(kits=4, bags=((None, Bag.PIECES),))
    assert sum(copies_of(found).values()) == found.total.count
    assert copies_of(found) == dict(found.total.counts)
    assert found.job is not None
    assert found.job.pieces[0].needed == 52


def test_a_form_that_is_only_on_the_shelf_is_taken_as_far_as_it_lasts() -> None:
    """Six ready squares among four kits: one a kit; with three there is none for each."""
    enough = shop(
        on_shelf("S-1", "fat quarter", 20), on_shelf("S-1", "square-5", 6), catalogue=CATALOGUE
    )
    assert dict(stars(kits=4, at=enough).per_kit.counts) == {"fat-quarter": 1, "square-5": 1}
    few = shop(
        on_shelf("S-1", "fat quarter", 20), on_shelf("S-1", "square-5", 3), catalogue=CATALOGUE
    )
    assert dict(stars(kits=4, at=few).per_kit.counts) == {"fat-quarter": 2}
    bulk = stars(kits=4, at=few, bags=((None, Bag.PIECES),))
    assert dict(bulk.total.counts).get("square-5", 0) <= 3


def test_forms_that_can_be_cut_from_the_bolt_are_not_limited_to_the_shelf() -> None:
    at = shop(bolt("S-1", 8), on_shelf("S-1", "square-5", 8), catalogue=CATALOGUE)
    assert dict(stars(kits=4, at=at).per_kit.counts) == {"fat-quarter": 1, "square-5": 1}


def test_what_is_pulled_names_every_form_of_the_mix() -> None:
    at = shop(
        on_shelf("S-1", "fat quarter", 3), on_shelf("S-1", "square-5", 6), catalogue=CATALOGUE
    )
    made = plan(pattern(STARS), at, kits=4, forms=((None, MIX),))
    (line,) = made.pull
    assert [(form.form_id, count) for form, count in line.forms] == [
        ("fat-quarter", 4),
        ("square-5", 4),
    ]
    assert line.short
    assert made.kits_possible == 3


def test_whole_strips_of_a_mix_come_from_the_form_as_wide_as_fabric() -> None:
    what = fabric("Sky", piece("A", "3.5", "6.5", 20), strip("B", "2.5", 2))
    made = plan(pattern(what), kits=1, forms=((None, "fat quarter+strip-2.5"),))
    (sky,) = made.fabrics
    assert dict(sky.per_kit.counts)["strip-2.5"] >= 2
    assert sky.job is not None
    widths = {one.piece.name: one.across for one in sky.job.pieces}
    assert widths["B"] == 40


def test_a_missing_cost_is_said() -> None:
    made = plan(pattern(STARS), shop(), kits=1, forms=((None, MIX),))
    assert any("by area" in problem.message for problem in made.problems)
    assert made.fabrics[0].per_kit.cost is None


def test_several_prints_are_not_mixed() -> None:
    many = fabric("Stars", piece("A", 5, 5, 13), prints=3)
    made = plan(pattern(many), kits=1, forms=((None, MIX),))
    assert not made.fabrics
    assert any("several prints" in problem.message for problem in made.problems)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("mixed")
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Pieces"
    page.append(("Fabric", "Piece", "Cut width", "Cut length", "Quantity"))
    page.append(("Sky", "A", 3.5, 6.5, 20))
    page.append(("Sky", "B", 2.5, "WOF", 2))
    book.save(where / "sky.xlsx")
    arguments = ["plan", str(where / "sky.xlsx"), "--form", "fat-quarter+strip-2.5"]
    result = CliRunner().invoke(main, [*arguments, "--kits", "2", "--out", str(where / "out")])
    assert result.exit_code == 0, result.output
    return where / "out"


def test_the_json_of_a_mix_holds_counts_and_copies_that_agree(folder: Path) -> None:
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    (sky,) = plan["fabrics"]
    made: Counter[str] = Counter()
    for layout in sky["layouts"]:
        made[layout["form"]] += layout["copies"]
    assert made == sky["per_kit"]["counts"]
    assert {form: 2 * count for form, count in made.items()} == sky["total"]["counts"]
    assert set(sky["per_kit"]) >= {"counts", "cost", "cost_lower_bound", "length_proven"}


def test_the_pages_say_the_mix_and_the_size_of_each_form(folder: Path) -> None:
    guide = (folder / "students-cutting-guide.html").read_text(encoding="utf-8")
    assert "fat quarter 20 × 16 in" in guide
    assert "2½-inch strip 40 × 2½ in" in guide
    labels = (folder / "piece-labels.html").read_text(encoding="utf-8")
    assert "fat quarter" in labels
    assert "2½-inch strip" in labels


def test_a_mix_is_reprinted_from_its_plan(folder: Path) -> None:
    out = folder.parent / "again"
    result = CliRunner().invoke(main, ["reprint", str(folder / "plan.json"), "--out", str(out)])
    assert result.exit_code == 0, result.output
    for page in ("students-cutting-guide.html", "piece-labels.html"):
        assert (out / page).read_bytes() == (folder / page).read_bytes()

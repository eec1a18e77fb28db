"""The shelf when all is cut, and the day's book."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from quilt import bolt, class_sheet, fabric, on_shelf, pattern, piece, shop

from kitmaker.cutting_jobs import Offcut
from kitmaker.errors import Location
from kitmaker.files import read_shop
from kitmaker.forms import Catalogue
from kitmaker.kits.choices import Options, resolve
from kitmaker.kits.kit import plan_kits
from kitmaker.kits.measured import lay_out_measured
from kitmaker.lengths import METER, Unit, parse_length
from kitmaker.paper.movements import find_saleable, list_movements, stock_after
from kitmaker.paper.shop_facts import say_exact
from kitmaker.paper.stock_after import build_stock_after, has_stock_after
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag, LabelSheet, Markup, MeasuredPiece, Shop, StockRow

STARS = fabric("Stars", piece("B", "3.5", "3.5", 40), sku="S-1")

OWN_LABELS = LabelSheet(
    sheet_id="fair labels",
    paper="A4",
    columns=2,
    rows=4,
    width=F("99.1"),
    height=F("67.7"),
    left=F("4.65"),
    top=F("13.1"),
    pitch_across=F("101.6"),
    pitch_down=F("67.7"),
)


def row_at(row: StockRow, cell: str) -> StockRow:
    return replace(row, where=Location("shop.xlsx", "Stock", cell))


def plan(at: Shop, **options: object) -> KitPlan:
    sheet = class_sheet()
    what = pattern(STARS)
    resolved = resolve(what, at, sheet, Options(**options))  # type: ignore[arg-type]
    return plan_kits(what, at, sheet, resolved, number="TEST01")


def read_back(made: KitPlan, path: Path) -> tuple[StockRow, ...]:
    path.write_bytes(build_stock_after(made))
    reading = read_shop(path)
    assert reading.problems == ()
    assert reading.shop.stock is not None
    return reading.shop.stock


def test_what_is_left_can_be_read_as_the_next_stock_sheet(tmp_path: Path) -> None:
    at = shop(
        row_at(bolt("S-1", 10, dye_lot="7", cost=Decimal("6.4"), held_length=F(36)), "A2"),
        row_at(bolt("S-1", 1, dye_lot="7"), "A3"),
        row_at(bolt("OTHER", 3, shrinkage=F(3, 100)), "A4"),
    )
    rows = read_back(plan(at, kits=3), tmp_path / "after.xlsx")
    lengths = {(row.sku, row.length) for row in rows}
    assert lengths == {("S-1", F(342)), ("OTHER", F(108))}, "the remnant of 1 yd is used up"
    assert rows[0].held_length == 36
    assert rows[0].cost == Decimal("6.4")
    assert rows[1].shrinkage == F(3, 100)


def test_what_a_sku_is_ordered_in_goes_on_with_its_shelf(tmp_path: Path) -> None:
    at = shop(
        row_at(bolt("S-1", 10, order_in=F(27)), "A2"),
        row_at(on_shelf("OTHER", "FQ", 3, order_in=F(12)), "A3"),
    )
    rows = read_back(plan(at, kits=3), tmp_path / "after.xlsx")
    assert [(row.sku, row.order_in) for row in rows] == [("S-1", 27), ("OTHER", 12)]


def test_the_next_plan_from_it_has_what_the_first_one_left(tmp_path: Path) -> None:
    first = plan(shop(bolt("S-1", 4)), kits=3)
    assert first.kits_possible == 8
    rows = read_back(first, tmp_path / "after.xlsx")
    assert plan(shop(*rows), kits=1).kits_possible == 5


def test_a_form_cut_from_the_bolt_beyond_the_need_goes_on_the_shelf(tmp_path: Path) -> None:
    """7 fat quarters take 2 yd and put one on the shelf."""
    seven = fabric("Sky", piece("A", 12, 12, 1), sku="S-1")
    at = shop(bolt("S-1", 3))
    resolved = resolve(
        pattern(seven), at, class_sheet(), Options(kits=7, forms=((None, "fat quarter"),))
    )
    made = plan_kits(pattern(seven), at, class_sheet(), resolved, number="TEST01")
    assert made.pull[0].length == 72
    assert "1 fat quarter extra for the shelf" in made.pull[0].buy
    rows = read_back(made, tmp_path / "after.xlsx")
    assert [(row.form, row.length, row.count) for row in rows] == [
        (None, 36, None),
        ("fat quarter", None, 1),
    ]


def test_ready_made_forms_are_counted_down(tmp_path: Path) -> None:
    made = plan(shop(on_shelf("S-1", "fat quarter", 10)), kits=4, forms=((None, "FQ"),))
    (row,) = read_back(made, tmp_path / "after.xlsx")
    assert row.count == 2


def test_the_book_says_what_went_out_and_what_it_cost() -> None:
    at = shop(bolt("S-1", 4, cost=Decimal(6)))
    (move,) = list_movements(plan(at, kits=3))
    assert (move.sku, move.out, move.back, move.cost) == ("S-1", F(54), F(0), Decimal("9.00"))


def test_without_a_stock_sheet_there_is_nothing_to_carry_on() -> None:
    assert not has_stock_after(plan(shop(), kits=1))
    assert has_stock_after(plan(shop(bolt("S-1", 9)), kits=1, bags=((None, Bag.PIECES),)))


@pytest.mark.parametrize(
    ("across", "along", "form", "count"),
    [(10, 10, "square-10", 1), (20, 5, "square-5", 4), (40, 3, "strip-1.5", 2), (4, 2, None, 0)],
)
def test_an_offcut_goes_back_as_what_it_can_be_sold_as(
    across: int, along: int, form: str | None, count: int
) -> None:
    offcut = Offcut(across=F(across), along=F(along), count=1, grade="keep")
    found, each = find_saleable(offcut, Catalogue())
    assert (found.form_id if found else None, each) == (form, count)


@pytest.mark.parametrize(
    ("length", "unit"),
    [(F(99), Unit.INCH), (F("37.5"), Unit.INCH), (2 * METER, Unit.CENTIMETER), (F(0), Unit.INCH)],
)
def test_a_length_is_written_so_that_it_reads_the_same(length: F, unit: Unit) -> None:
    assert parse_length(say_exact(length, unit, by_the_yard=True)) == length


def test_what_a_measured_plan_sets_aside_is_still_on_the_shelf(tmp_path: Path) -> None:
    """Of 17 × 13 in each is a ten-inch square at least; the bolt was not measured."""
    at = shop(row_at(on_shelf("S-1", "fat quarter", 12), "A2"), row_at(bolt("S-1", 3), "A3"))
    sheet = class_sheet()
    what = pattern(STARS)
    resolved = resolve(what, at, sheet, Options(kits=4, forms=((None, "FQ"),)))
    cuts = [
        MeasuredPiece(
            sku="S-1",
            width=F(width),
            length=F(length),
            count=count,
            where=Location("cuts.xlsx", "Cuts", cell),
        )
        for width, length, count, cell in ((21, "16.5", 10, "A2"), (17, 13, 2, "A3"))
    ]
    laid = lay_out_measured(cuts, what, at, resolved)
    rows = read_back(
        plan_kits(what, laid, sheet, resolved, number="TEST01"), tmp_path / "after.xlsx"
    )
    assert [(row.form, row.count, row.length) for row in rows] == [
        ("fat-quarter", 2, None),
        ("10-inch square", 2, None),
        (None, None, F(108)),
    ]
    assert (rows[0].usable_width, rows[0].usable_length) == (F(21), F("16.5"))


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"straighten": F(0), "re_square": F(1, 8), "re_square_every": 4, "layers_per_cut": 6},
        {"markup": Markup(factor=Decimal(2), as_written="100 %"), "kit_fee": Decimal("4.5")},
        {"usable_width": F(39), "round_yardage_up_to": F(9), "smallest_length_back": F(18)},
        {"smallest_offcut": (F(3), F(6)), "label_offset": (F(1), F(-1, 2)), "currency": "€"},
        {"unit": Unit.CENTIMETER, "ruler_length": F(6000, 254), "phone": "555-0142"},
        {"own_label_sheets": (OWN_LABELS,), "label_sheet": "fair labels"},
    ],
)
def test_the_shops_figures_go_with_its_shelf(tmp_path: Path, more: dict[str, Any]) -> None:
    """The next plan from the shelf that is left must not reckon with other losses and prices."""
    at = shop(bolt("S-1", 9), **more)
    path = tmp_path / "after.xlsx"
    path.write_bytes(build_stock_after(plan(at, kits=1)))
    reading = read_shop(path)
    assert reading.problems == ()
    assert replace(reading.shop, stock=None) == replace(at, stock=None, workbook="after.xlsx")


def test_all_lengths_stand_in_one_unit(tmp_path: Path) -> None:
    """What is left in whole yards stands in inches too where another row has odd inches."""
    rows = (bolt("S-1", 10), bolt("OTHER", 3))
    whole, odd = plan(shop(*rows), kits=3), plan(shop(*rows, bolt("ODD", F(1001, 288))), kits=3)
    words = []
    for made in (whole, odd):
        path = tmp_path / "after.xlsx"
        path.write_bytes(build_stock_after(made))
        column = next(load_workbook(path)["Stock"].iter_cols(6, 6, 2, values_only=True))
        words.append({str(value).split()[-1] for value in column})
        assert [row.length for row, _ in stock_after(made)] == [
            row.length for row in read_back(made, path)
        ]
    assert words == [{"yd"}, {"in"}]


def test_what_was_not_taken_of_a_row_is_left_of_it_row_by_row() -> None:
    """Of every row: what was at hand is what was taken and what is left."""
    at = shop(
        row_at(bolt("S-1", 2, dye_lot="7", held_length=F(9)), "A2"),
        row_at(bolt("S-1", 1, dye_lot="8"), "A3"),
        row_at(on_shelf("S-1", "FQ", 7, held_count=2, dye_lot="8"), "A4"),
    )
    made = plan(at, kits=4)
    taken = {one.where: one.take for line in made.pull for one in line.pieces}
    left = {row.where.address: F(row.length or row.count or 0) for row, _ in stock_after(made)}
    for row in at.stock or ():
        had = F(row.length or row.count or 0)
        address = row.where.address
        assert left.get(address, F(0)) == had - taken.get(address, F(0)), address

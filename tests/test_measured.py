"""Planning again from cloth as it is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path

import pytest
import xlsxwriter
from quilt import bolt, class_sheet, colorway, fabric, on_shelf, pattern, piece, shop

from kitmaker.errors import Location, UnreadableError, UsageError
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.kits.finished import cloth_of_finished, leave_out_done
from kitmaker.kits.kit import plan_kits
from kitmaker.kits.measured import lay_out_measured, say_changes
from kitmaker.kits.measured_rows import clear_stretches
from kitmaker.lengths import Unit
from kitmaker.paper.movements import stock_after
from kitmaker.paper.sheets.bagging import view_bagging
from kitmaker.paper.sheets.contents import bag_lines
from kitmaker.paper.sheets.kit_numbers import number_kits, say_kits_of
from kitmaker.paper.sheets.page import BAGGING, list_pages
from kitmaker.paper.sheets.pull_list import view_pull_lines
from kitmaker.plans import KitPlan
from kitmaker.shop import ClassSheet, MeasuredPiece, Shop
from kitmaker.shopbooks.cutsbook import read_cuts

STARS = fabric("Stars", piece("B", "3.5", "3.5", 40), sku="S-1")
QUILT = pattern(STARS)


def cut(sku: str, width: object, length: object, count: int = 1, **more: object) -> MeasuredPiece:
    return MeasuredPiece(
        sku=sku,
        width=F(str(width)),
        length=F(str(length)),
        count=count,
        where=Location("cuts.xlsx", "Cuts", "A2"),
        **more,  # type: ignore[arg-type]
    )


def asked(at: Shop, sheet: ClassSheet | None = None, **options: object) -> Resolved:
    return resolve(QUILT, at, sheet or class_sheet(), Options(**options))  # type: ignore[arg-type]


def test_a_flaw_splits_the_length_and_takes_two_inches() -> None:
    assert clear_stretches(F(100), (F(40),)) == ((F(0), F(39)), (F(41), F(100)))
    assert clear_stretches(F(100), (F("0.5"),)) == ((F("1.5"), F(100)),)
    assert clear_stretches(F(100), ()) == ((F(0), F(100)),)


def test_only_the_cloth_listed_is_used_and_a_flaw_costs_a_kit() -> None:
    """2 yd hold four bags of ½ yd; with a flaw at 20 in there are 19 and 51 in: 1 + 2."""
    at = shop(bolt("S-1", 20))
    resolved = asked(at, kits=3)
    whole = lay_out_measured([cut("S-1", 40, 72)], QUILT, at, resolved)
    flawed = lay_out_measured([cut("S-1", 40, 72, flaws=(F(20),))], QUILT, at, resolved)
    possible = [
        plan_kits(QUILT, one, class_sheet(), resolved, number="T").kits_possible
        for one in (whole, flawed)
    ]
    assert possible == [4, 3]


def test_a_small_fat_quarter_is_planned_as_it_is_and_the_change_is_said() -> None:
    at = shop(on_shelf("S-1", "fat quarter", 12))
    resolved = asked(at, kits=4, forms=((None, "fat quarter"),))
    small = [cut("S-1", 17, "13.5", 12)]
    laid = lay_out_measured(small, QUILT, at, resolved)
    made = plan_kits(QUILT, laid, class_sheet(), resolved, number="T")
    assert made.fabrics[0].per_kit.count == 4, "4 × 3 = 12 from each, not 5 × 4 = 20"
    assert made.kits_possible == 3
    (said,) = say_changes(small, QUILT, at, laid, resolved)
    assert "took 2 fat quarters a kit in the first plan, now 4 fat quarters" in said.message


def test_pieces_that_are_too_small_are_set_aside_where_the_others_suffice() -> None:
    at = shop(on_shelf("S-1", "fat quarter", 12))
    resolved = asked(at, kits=4, forms=((None, "fat quarter"),))
    small = MeasuredPiece(
        sku="S-1", width=F(17), length=F(13), count=2, where=Location("c.xlsx", "Cuts", "A3")
    )
    mixed = [cut("S-1", 21, 17, 8), small]
    laid = lay_out_measured(mixed, QUILT, at, resolved)
    made = plan_kits(QUILT, laid, class_sheet(), resolved, number="T")
    assert made.fabrics[0].per_kit.count == 2
    assert made.kits_possible == 4
    (said,) = say_changes(mixed, QUILT, at, laid, resolved)
    assert "set aside" in said.message


def test_without_a_stock_sheet_other_fabrics_have_no_limit() -> None:
    sky = fabric("Sky", piece("A", "2.5", "4.5", 40), sku="K-1")
    both = pattern(STARS, sky)
    resolved = resolve(both, shop(), class_sheet(), Options(kits=2))
    laid = lay_out_measured([cut("S-1", 40, 40)], both, shop(), resolved)
    made = plan_kits(both, laid, class_sheet(), resolved, number="T")
    assert made.kits_possible == 2
    assert not [line for line in made.pull if line.short]


def test_finished_kits_are_not_planned_again() -> None:
    at = shop(bolt("S-1", 20))
    left = leave_out_done([cut("S-1", 40, 72, kits_done=4)], asked(at, kits=12))
    assert left.kits == 8
    assert left.colorways[0].kits == 8


def test_finished_kits_belong_to_the_colorway_that_alone_has_the_sku() -> None:
    sheet = class_sheet(colorway("Blue", 7, Stars="S-1"), colorway("Red", 5, Stars="S-2"))
    at = shop(bolt("S-1", 20), bolt("S-2", 20))
    left = leave_out_done([cut("S-2", 40, 72, kits_done=2)], asked(at, sheet))
    assert [one.kits for one in left.colorways] == [7, 3]
    shared = class_sheet(colorway("Blue", 7, Stars="S-1"), colorway("Red", 5, Stars="S-1"))
    with pytest.raises(UsageError, match="several colorways share"):
        leave_out_done([cut("S-1", 40, 72, kits_done=2)], asked(at, shared))


@pytest.mark.parametrize("done", [12, 13])
def test_more_kits_done_than_planned_are_refused(done: int) -> None:
    with pytest.raises(UsageError):
        leave_out_done([cut("S-1", 40, 72, kits_done=done)], asked(shop(bolt("S-1", 9)), kits=12))


def test_cloth_of_a_colorway_that_is_finished_is_left_alone() -> None:
    at = shop(bolt("S-1", 4), bolt("S-2", 4))
    sheet = class_sheet(colorway("Blue", 2, Stars="S-1"), colorway("Red", 1, Stars="S-2"))
    pieces = [cut("S-2", 40, 30, kits_done=1)]
    left = leave_out_done(pieces, asked(at, sheet))
    assert lay_out_measured(pieces, QUILT, at, left) == at
    (said,) = say_changes(pieces, QUILT, at, at, left)
    assert "its kits are finished; it stays on the shelf" in said.message


def test_cloth_wider_than_the_shelfs_may_make_a_kit_possible_at_all() -> None:
    what = pattern(fabric("Stars", piece("B", 41, 44, 1), sku="S-1"))
    at = shop(bolt("S-1", 4, usable_width=F(40)))
    resolved = resolve(what, at, class_sheet(), Options(kits=1))
    pieces = [cut("S-1", 42, 72)]
    laid = lay_out_measured(pieces, what, at, resolved)
    (said,) = say_changes(pieces, what, at, laid, resolved)
    assert "Stars could not be cut in the first plan, now it takes 1¼ yd a kit" in said.message


def test_a_sku_that_is_not_in_the_kit_is_named() -> None:
    at = shop(bolt("S-1", 20))
    with pytest.raises(UsageError, match="'X-9' was measured"):
        lay_out_measured([cut("X-9", 40, 72)], QUILT, at, asked(at))


HEADINGS = ("SKU", "Width", "Length", "Count", "Flaw at", "Kits done")


def book(path: Path, *rows: tuple[object, ...], headings: tuple[str, ...] = HEADINGS) -> Path:
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet("Cuts")
        for down, row in enumerate((headings, *rows)):
            for at, value in enumerate(row):
                sheet.write(down, at, value)
    return path


def test_a_row_reads_as_typed(tmp_path: Path) -> None:
    path = book(tmp_path / "cuts.xlsx", ("S-1", "40 1/2", "3 yd", 2, "1 3/8 yd; 90", 1))
    reading = read_cuts(path, Unit.INCH)
    assert reading.problems == ()
    (row,) = reading.pieces
    assert (row.width, row.length, row.count, row.kits_done) == (F("40.5"), F(108), 2, 1)
    assert row.flaws == (F("49.5"), F(90))


@pytest.mark.parametrize(
    ("row", "cell"),
    [
        (("", 40, 72, 1), "A2"),
        (("S-1", -40, 72, 1), "B2"),
        (("S-1", "wide", 72, 1), "B2"),
        (("S-1", 40, "", 1), "C2"),
        (("S-1", 40, 72, "some"), "D2"),
        (("S-1", 40, 72, -1), "D2"),
        (("S-1", 40, 72, 1, "near the end"), "E2"),
        (("S-1", 40, 72, 1, 99), "E2"),
        (("S-1", 40, 72, 1, "", "few"), "F2"),
    ],
)
def test_bad_input_is_named_by_its_cell(tmp_path: Path, row: tuple[object, ...], cell: str) -> None:
    reading = read_cuts(book(tmp_path / "cuts.xlsx", row), Unit.INCH)
    places = [problem.location for problem in reading.problems if problem.is_error]
    assert cell in [place.cell for place in places if place]
    assert reading.pieces == ()


def test_a_heading_that_states_its_unit_holds_for_bare_measures_under_it(tmp_path: Path) -> None:
    headings = ("SKU", "Width (cm)", "Length (yd)", "Count", "Flaw at (cm)", "Kits done")
    row = ("S-1", 50.8, 2, 1, "25.4; 1 yd", "")
    (piece,) = read_cuts(book(tmp_path / "cuts.xlsx", row, headings=headings), Unit.INCH).pieces
    assert (piece.width, piece.length, piece.flaws) == (F(20), F(72), (F(10), F(36)))


def test_a_workbook_without_the_headings_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "cuts.xlsx"
    with xlsxwriter.Workbook(path) as made:
        made.add_worksheet("Cuts").write(0, 0, "nothing")
    with pytest.raises(UnreadableError, match="no measured cloth"):
        read_cuts(path, Unit.INCH)


def at_row(piece: MeasuredPiece, cell: str) -> MeasuredPiece:
    return replace(piece, where=Location("cuts.xlsx", "Cuts", cell))


def test_the_smallest_are_left_where_more_kits_come_from_the_others_alone() -> None:
    """From 12 of 20 × 16 two a kit: 6 kits; with 2 of 17 × 13 among them four a kit: 3 kits."""
    at = shop(on_shelf("S-1", "fat quarter", 14))
    resolved = asked(at, kits=8, forms=((None, "fat quarter"),))
    cuts = [cut("S-1", 20, "15.75", 12), at_row(cut("S-1", 17, 13, 2), "A3")]
    laid = lay_out_measured(cuts, QUILT, at, resolved)
    made = plan_kits(QUILT, laid, class_sheet(), resolved, number="T")
    assert (made.fabrics[0].per_kit.count, made.kits_possible) == (2, 6)
    assert [(row.count, row.usable_width) for row in laid.set_aside] == [(2, F(17))]


def test_what_was_not_measured_is_not_used_and_not_lost() -> None:
    at = shop(on_shelf("S-1", "fat quarter", 12), bolt("S-1", 3))
    resolved = asked(at, kits=4, forms=((None, "fat quarter"),))
    cuts = [cut("S-1", 21, 17, 8)]
    laid = lay_out_measured(cuts, QUILT, at, resolved)
    assert [row.length or row.count for row in laid.set_aside] == [108, 4]
    (said,) = say_changes(cuts, QUILT, at, laid, resolved)
    assert "not used, as it was not measured: 3 yd" in said.message


def test_what_is_held_for_others_is_told_where_the_cloth_was_measured() -> None:
    at = shop(bolt("S-1", 20, held_length=F(18)))
    resolved = asked(at, kits=2)
    cuts = [cut("S-1", 40, 72)]
    (said,) = say_changes(cuts, QUILT, at, lay_out_measured(cuts, QUILT, at, resolved), resolved)
    assert "holds for others is not kept back: ½ yd" in said.message


LOTS = (bolt("S-1", 15, dye_lot="7"), bolt("S-1", "9.5", dye_lot="8"), bolt("K-1", 6))
BOTH = pattern(STARS, fabric("Sky", piece("A", "4.5", "4.5", 40), sku="K-1"))


def continued(at: Shop, cuts: list[MeasuredPiece], kits: int = 6) -> KitPlan:
    """A class's plan from cloth as measured, the finished kits taken off the shelf."""
    first = resolve(BOTH, at, class_sheet(), Options(kits=kits))
    left = leave_out_done(cuts, first)
    used = cloth_of_finished(BOTH, at, first, left)
    laid = lay_out_measured(cuts, BOTH, at, left, used)
    return plan_kits(BOTH, laid, class_sheet(), left, number="T")


def lengths_after(plan: KitPlan) -> dict[tuple[str, str | None], F]:
    rows = [row for row, _ in stock_after(plan) if row.length]
    found: dict[tuple[str, str | None], F] = {}
    for row in rows:
        key = (row.sku, row.dye_lot)
        found[key] = found.get(key, F(0)) + (row.length or 0)
    return found


def test_rows_that_were_not_measured_stay_on_the_shelf_with_their_dye_lots() -> None:
    """Three bags of ½ yd come from the 9½ yd that were measured; the other bolt is whole."""
    plan = continued(shop(*LOTS), [cut("S-1", 40, 342)], kits=3)
    after = lengths_after(plan)
    assert after["S-1", "7"] == 15 * 36
    assert after["S-1", "8"] == 342 - 3 * 18
    (line,) = [line for line in plan.pull if line.sku == "S-1"]
    assert [(one.dye_lot, one.name) for one in line.pieces] == [("8", "9½ yd piece")]


def test_what_finished_kits_used_has_left_the_shelf() -> None:
    """Two of six kits are done: a yard of stars, and of sky two bags, which no one measured."""
    plan = continued(shop(*LOTS), [cut("S-1", 40, 306, kits_done=2)])
    sky = next(one.per_kit.buy_length for one in plan.fabrics if one.role == "Sky") or F(0)
    assert lengths_after(plan)["K-1", None] == 6 * 36 - 6 * sky
    assert (plan.kits, plan.finished_kits) == (4, 2)


def test_what_finished_kits_used_and_the_measured_piece_does_not_miss_came_off_another() -> None:
    """9½ yd were there and are: the yard of the two finished kits came off the 15 yd."""
    plan = continued(shop(*LOTS), [cut("S-1", 40, 342, kits_done=2)])
    assert lengths_after(plan)["S-1", "7"] == 14 * 36


def test_measured_forms_are_counted_off_their_piles_and_the_rest_stays() -> None:
    rows = [on_shelf("S-1", "FQ", 30, held_count=4, dye_lot="7"), on_shelf("S-1", "FQ", 5)]
    own = [cut("S-1", "20.5", 17, 14)]
    resolved = asked(shop(*rows), kits=2, forms=((None, "fat quarter"),))
    laid = lay_out_measured(own, QUILT, shop(*rows), resolved)
    assert [(row.count, row.dye_lot) for row in laid.stock or ()] == [(14, "7")]
    left = [(row.count, row.held_count, row.dye_lot) for row in laid.set_aside]
    assert left == [(16, 4, "7"), (5, 0, None)]


def test_a_dye_lot_that_was_typed_wins_and_one_that_was_not_is_told() -> None:
    at = shop(*LOTS)
    resolved = resolve(BOTH, at, class_sheet(), Options(kits=2))
    own = [cut("S-1", 40, 342)]
    (said,) = say_changes(own, BOTH, at, lay_out_measured(own, BOTH, at, resolved), resolved)
    assert "A2 is read as dye lot 8 (type its Dye lot to say otherwise)" in said.message
    typed = [cut("S-1", 40, 342, dye_lot="7")]
    laid = lay_out_measured(typed, BOTH, at, resolved)
    assert [row.dye_lot for row in laid.stock or () if row.sku == "S-1"] == ["7"]


def test_a_label_states_the_size_that_was_measured() -> None:
    at = shop(on_shelf("S-1", "FQ", 30))
    resolved = asked(at, kits=2, forms=((None, "fat quarter"),))
    laid = lay_out_measured([cut("S-1", "20.5", 17, 14)], QUILT, at, resolved)
    plan = plan_kits(QUILT, laid, class_sheet(), resolved, number="T")
    (line,) = bag_lines(plan, "")
    assert line.amount == "2 fat quarters, 20½ × 17 in (52 cm × 43 cm)"


def test_stretches_of_a_flawed_piece_are_told_apart_and_the_flaw_is_said() -> None:
    plan = continued(shop(*LOTS), [cut("S-1", 40, 72, flaws=(F(20), F(45)))], kits=3)
    (line,) = [line for line in plan.pull if line.sku == "S-1"]
    names = {"before the flaw at 20 in", "between the flaws at 20 in and 1¼ yd"}
    assert {one.name for one in line.pieces} >= {f"2 yd piece, {name}" for name in names}
    flaw = "Flaw at 20 in and 1¼ yd from the start of the piece of 2 yd: cut it out, an inch on"
    assert line.flaws == (f"{flaw} either side.",)


def test_kit_numbers_go_on_where_each_colorways_finished_ones_stop() -> None:
    sheet = class_sheet(colorway("Blue", 4, Stars="S-1"), colorway("Red", 3, Stars="K-1"))
    at = shop(bolt("S-1", 20), bolt("K-1", 20))
    done = [cut("S-1", 40, 360, kits_done=2), cut("K-1", 40, 360, kits_done=1)]
    left = leave_out_done(done, asked(at, sheet))
    plan = plan_kits(QUILT, at, sheet, left, number="T")
    assert [kits for _, kits in number_kits(plan)] == [(3, 4), (6, 7)]
    assert say_kits_of(plan) == "4 kits, numbers 3 to 4 and 6 to 7 of 7"


def test_sheet_and_pull_list_say_which_length_gives_how_many_bags() -> None:
    """Of 72 in with flaws at 20 and 45 three bags of ½ yd come off three stretches."""
    plan = continued(shop(*LOTS), [cut("S-1", 40, 72, flaws=(F(20), F(45)))], kits=3)
    page = next(one for one in list_pages(plan) if one.kind == BAGGING)
    said = view_bagging(plan, page).fabrics[0].cloths[0].what_to_do
    assert "1 length of ½ yd off the 2 yd piece, before the flaw at 20 in" in said
    assert "1 length of ½ yd off the 2 yd piece, after the flaw at 1¼ yd" in said
    (line,) = [line for line in view_pull_lines(plan) if line.sku == "S-1"]
    assert {one.cuts for one in line.stock} == {"1 length of ½ yd"}

"""Several classes on one shelf: who gets what, what is left, what is short."""

from __future__ import annotations

import json
import pickle
import random
import shutil
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import quilt
from books import write
from click.testing import CliRunner, Result
from season_books import Course, bolt, pile, shelf, strips_of_a_kit, take_bags

import kitmaker as km
from kitmaker.cli import main
from kitmaker.commands.halves import in_halves
from kitmaker.errors import ExitCode
from kitmaker.kits import solved
from kitmaker.paper.movements import rows_left
from kitmaker.planning import SolveAhead
from kitmaker.seasons import Season
from kitmaker.shop import Bag

YARD = 36


def season_of(folder: Path, courses: list[Course], *rows: Any) -> Season:
    shop = km.read_shop(shelf(folder, *rows))
    return km.season([km.read_class(one.write(folder), shop) for one in courses], shop)


def run(folder: Path, paths: list[Path], *words: object) -> Result:
    asked = ["season", *paths, "--shop", folder / "shop.xlsx", "--out", folder / "out", *words]
    return CliRunner().invoke(main, [str(word) for word in asked])


def conserved(season: Season) -> bool:
    return all(row.at_hand + row.came == sum(row.taken) + row.left for row in season.rows)


# random shelves, and the same by hand


@pytest.mark.parametrize("seed", range(24))
def test_each_class_takes_of_each_row_what_it_takes_by_hand(seed: int, tmp_path: Path) -> None:
    dice = random.Random(seed)  # noqa: S311 - the same small shelves on every run
    bolts = [f"B{at}" for at in range(dice.randint(1, 3))]
    piles = [f"Q{at}" for at in range(dice.randint(1, 2))]
    rows = [
        bolt(sku, eighths / 8, held=dice.choice([None, "1/4 yd"]))
        for sku in bolts
        for eighths in dice.sample(range(4, 60), dice.randint(1, 3))
    ]
    rows += [pile(sku, dice.randint(0, 30), held=dice.choice([None, 2])) for sku in piles]
    courses = [
        Course(
            title=f"Course {at}",
            day=f"2027-0{dice.randint(1, 9)}-15",
            kits=dice.randint(1, 7),
            strips={
                sku: (dice.choice(["1 1/2", "2 1/2", "3"]), dice.randint(1, 9))
                for sku in dice.sample(bolts, dice.randint(1, len(bolts)))
            },
            patches={
                sku: dice.randint(1, 4) for sku in dice.sample(piles, dice.randint(1, len(piles)))
            },
        )
        for at in range(dice.randint(1, 4))
    ]
    season = season_of(tmp_path, courses, *rows)

    in_order = sorted(courses, key=lambda one: (one.day, one.title))
    assert [one.title for one in season.classes] == [one.title for one in in_order]
    left = {row.where: row.at_hand for row in season.rows}
    short: dict[str, Fraction] = {}
    for at, (course, planned) in enumerate(zip(in_order, season.classes, strict=True)):
        missing = {}
        needs = {
            sku: strips_of_a_kit(sum((Fraction(part) for part in width.split()), Fraction(0)), n)
            for sku, (width, n) in course.strips.items()
        } | {sku: Fraction(count) for sku, count in course.patches.items()}
        for row in season.rows:
            assert row.taken[at] == 0 or row.sku in needs
        for sku, bag in needs.items():
            own = [row for row in season.rows if row.sku == sku]
            free = [max(Fraction(0), left[row.where] - row.held) for row in own]
            taken, filled = take_bags(free, bag, course.kits)
            assert [row.taken[at] for row in own] == taken
            left |= {
                row.where: left[row.where] - took for row, took in zip(own, taken, strict=True)
            }
            if filled < course.kits:
                missing[sku] = bag * (course.kits - filled)
                short[sku] = short.get(sku, Fraction(0)) + missing[sku]
        assert {one.sku: one.amount for one in planned.short} == missing
        assert planned.is_complete == (not missing)
    assert {row.where: row.left for row in season.rows} == left
    assert conserved(season)
    assert {line.sku: line.short for line in season.order} == short
    for line in season.order:
        step = 18 if line.form is None else 1
        assert line.order == -(-line.short // step) * step
        assert line.is_assumed


# the same as a plan


@pytest.mark.parametrize("seed", range(16))
def test_one_class_alone_takes_leaves_and_misses_what_its_plan_does(seed: int) -> None:
    dice = random.Random(seed)  # noqa: S311 - the same shelves on every run
    skus = ["S-1", "S-2", "S-3"]
    rows = [
        quilt.any_row(dice, sku, f"A{2 + at}")
        for at, sku in enumerate((*skus, *dice.choices(skus, k=dice.randint(0, 4))))
    ]
    fabrics = [quilt.any_fabric(dice, role, dice.choice(skus)) for role in ("Moss", "Fern")]
    own = [
        quilt.choice(one.role, dice.choice(quilt.FORMS), dice.choice([Bag.UNCUT, Bag.PIECES]))
        for one in fabrics
    ]
    ways = tuple(
        quilt.colorway(name, kits, **{one.role: dice.choice(skus) for one in fabrics})
        for name, kits in (("Dawn", 2), ("Dusk", 3))
    )
    sheet = quilt.class_sheet(
        *dice.choice([(), ways]), kits=5, fabrics=tuple(own), date="2027-03-13"
    )
    pattern = km.PatternReading(pattern=quilt.pattern(*fabrics))
    shop, asked = km.ShopReading(shop=quilt.shop(*rows)), km.ClassReading(class_sheet=sheet)
    try:
        plan = km.plan(pattern, shop=shop, class_sheet=asked)
    except km.CannotBeMetError:
        assert not km.season([(pattern, asked)], shop).classes[0].is_planned
        return
    counted = set(skus) - {row.sku for row in rows if row.form is None}
    if any(line.length and line.sku in counted for line in plan.pull):
        with pytest.raises(km.UsageError, match="sold by count in"):
            km.season([(pattern, asked)], shop)
        return
    season = km.season([(pattern, asked)], shop)
    (planned,) = season.classes
    short = [(line.sku, *missing) for line in plan.pull for missing in line.missing]
    assert [(one.sku, one.form, one.amount) for one in planned.short] == short
    assert [one.said for one in planned.short if one.said] == [
        line.short for line in plan.pull for _ in line.missing
    ]
    taken = {piece.where: piece.take for line in plan.pull for piece in line.pieces}
    listed = [row for row in season.rows if row.is_listed]
    assert {row.where: row.taken[0] for row in listed if row.taken[0]} == taken
    left = [row.length or Fraction(row.count or 0) for row, _ in rows_left(rows, plan.pull)]
    assert [row.left for row in listed] == left
    surplus = {(line.sku, form.form_id): n for line in plan.pull for form, n in line.surplus}
    assert {(row.sku, row.key[1]): row.left for row in season.rows if not row.is_listed} == surplus


def test_of_what_is_short_only_whole_bags_are_taken_in_a_plan_too(tmp_path: Path) -> None:
    """Nine quarters fill four bags of two: one is left, and the fifth bag is short by two."""
    course = Course(title="Alone", kits=5, patches={"Q": 2})
    season = season_of(tmp_path, [course], pile("Q", 9))
    shop = km.read_shop(tmp_path / "shop.xlsx")
    sheet = km.read_class(tmp_path / "alone.xlsx", shop)
    plan = km.plan(km.read_pattern(tmp_path / "alone-pattern.xlsx", shop=shop), None, shop, sheet)
    (line,) = plan.pull
    assert line.short == "short by 2 fat quarters (the 1 left fills no bag)"
    assert [(piece.take, piece.left) for piece in line.pieces] == [(8, 1)]
    assert [one.said for one in season.classes[0].short] == [line.short]


# in which order


def test_classes_go_by_date_and_those_of_one_day_by_title(tmp_path: Path) -> None:
    days = {"Willow": "2027-05-02", "Birch": "May 2, 2027", "Ash": "5/30/2027", "Oak": "2 May 2027"}
    courses = [
        Course(title=title, day=day, strips={"B": ("2 1/2", 1)}) for title, day in days.items()
    ]
    season = season_of(tmp_path, courses, bolt("B", 1))
    assert [one.title for one in season.classes] == ["Birch", "Oak", "Willow", "Ash"]
    assert [one.day for one in season.classes] == [*["2027-05-02"] * 3, "2027-05-30"]


def test_the_order_of_the_workbooks_on_the_command_line_changes_nothing(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2), pile("Q", 7))
    one = Course(title="One", day="2027-02-01", strips={"B": ("2", 6)}, patches={"Q": 2})
    two = Course(title="Two", day="2027-03-01", strips={"B": ("3", 5)})
    paths = [one.write(tmp_path), two.write(tmp_path)]
    said = run(tmp_path, paths, "--json")
    assert said.exit_code == ExitCode.CANNOT_BE_MET
    assert run(tmp_path, paths[::-1], "--json").stdout == said.stdout
    assert (tmp_path / "out" / "season.json").read_text(encoding="utf-8") == said.stdout


# what is taken, left and short


def test_a_class_that_is_short_of_one_fabric_takes_all_of_the_others(tmp_path: Path) -> None:
    first = Course(title="A", kits=4, strips={"B": ("2 1/2", 4)}, patches={"Q": 3})
    season = season_of(tmp_path, [first], bolt("B", 5), pile("Q", 8))
    strips, quarters = season.rows
    assert strips.taken == (4 * Fraction(27, 2),)
    assert quarters.taken == (6,)
    assert quarters.left == 2
    (short,) = season.classes[0].short
    assert (short.sku, short.amount) == ("Q", 6)


def test_what_is_short_adds_up_over_the_classes_and_is_rounded_once(tmp_path: Path) -> None:
    """A kit takes ⅜ yd. On 1 yd two of three are filled, then none of two: 3 × 13½ in, so 1½ yd."""
    courses = [
        Course(title=title, day=day, kits=kits, strips={"B": ("2 1/2", 5)})
        for title, day, kits in (("A", "2027-01-09", 3), ("B", "2027-02-06", 2))
    ]
    season = season_of(tmp_path, courses, bolt("B", 1, cost=6))
    assert [[one.amount for one in each.short] for each in season.classes] == [
        [Fraction(27, 2)],
        [27],
    ]
    (line,) = season.order
    assert (line.short, line.order, line.cost) == (Fraction(81, 2), 54, 9)
    assert line.first_needed == "2027-01-09"
    assert [number for number, _ in line.by_class] == [1, 2]


@pytest.mark.parametrize(
    ("row", "order"),
    [
        (bolt("S", 0, order="3/4 yd"), 54),
        (bolt("S", 0, order=5), 5 * YARD),
        (bolt("S", 0, order="12 in"), 48),
        (bolt("S", 0), 54),
        (pile("S", 0, order=12), 12),
        (pile("S", 0, order="5 pieces"), 10),
        (pile("S", 0, order="4 fat quarters"), 8),
        (pile("S", 0), 6),
    ],
)
def test_an_order_is_rounded_up_to_what_it_is_ordered_in(
    tmp_path: Path, row: tuple[Any, ...], order: int
) -> None:
    """Three kits of ⅜ yd are 40½ in, three of two fat quarters six."""
    is_length = row[2] is None
    course = Course(
        title="A",
        kits=3,
        strips={"S": ("2 1/2", 5)} if is_length else {},
        patches={} if is_length else {"S": 2},
    )
    season = season_of(tmp_path, [course], row)
    (line,) = season.order
    assert line.order == order
    assert line.is_assumed == (row[-1] is None)


def test_a_metric_shop_orders_by_the_half_meter(tmp_path: Path) -> None:
    shop = write(
        tmp_path / "shop.xlsx",
        {"Shop": [("Unit", "cm")], "Stock": [("SKU", "Length at hand"), ("B", "0 m")]},
    )
    course = Course(title="A", kits=1, strips={"B": ("2 1/2", 5)})
    found = km.read_shop(shop)
    season = km.season([km.read_class(course.write(tmp_path), found)], found)
    assert season.order[0].order == Fraction(50) / Fraction("2.54")


def test_forms_cut_off_a_bolt_beyond_the_need_are_there_for_the_next_class(tmp_path: Path) -> None:
    """Three fat quarters are two half yards, one quarter over; the next class needs one."""
    first = Course(title="A", day="2027-01-02", kits=1, patches={"B": 3})
    second = Course(title="B", day="2027-01-03", kits=1, patches={"B": 1})
    third = Course(title="C", day="2027-01-04", kits=1, patches={"B": 1})
    season = season_of(tmp_path, [first, second, third], bolt("B", 2, lot="7"))
    length, quarter = season.rows
    assert length.taken == (36, 0, 18)
    assert (quarter.came, quarter.taken, quarter.left) == (2, (0, 1, 0), 1)
    assert quarter.dye_lot == "7"
    assert conserved(season)
    said = json.loads(run(tmp_path, sorted(tmp_path.glob("?.xlsx")), "--json").stdout)
    (entry,) = said["shelf"]
    assert (entry["sku"], entry["form"], entry["at_hand"], entry["left"]) == ("B", None, 72, 18)
    (extra,) = entry["extra"]
    assert (extra["form"], extra["came"], extra["left"]) == ("fat-quarter", 2, 1)


def test_a_form_that_is_cut_off_a_bolt_is_ordered_as_its_length(tmp_path: Path) -> None:
    """Two classes are short of three fat quarters each: six are three half yards."""
    courses = [Course(title=title, kits=1, patches={"B": 3}) for title in "AB"]
    season = season_of(tmp_path, courses, bolt("B", 0, order="1 yd"))
    (line,) = season.order
    assert (line.form, line.short, line.order) == (None, 54, 72)
    ((form, count),) = line.cut_into
    assert (form.form_id, count) == ("fat-quarter", 6)


def test_a_kit_of_a_later_class_mixes_no_dye_lots(tmp_path: Path) -> None:
    """Seven in lot 1 and three in lot 2; after four kits of two, each lot has one: no kit."""
    courses = [
        Course(title="A", day="2027-01-02", kits=4, patches={"Q": 2}),
        Course(title="B", day="2027-01-03", kits=1, patches={"Q": 2}),
    ]
    season = season_of(tmp_path, courses, pile("Q", 7, lot="1"), pile("Q", 3, lot="2"))
    assert [row.taken for row in season.rows] == [(6, 0), (2, 0)]
    assert [row.left for row in season.rows] == [1, 1]
    assert [one.is_complete for one in season.classes] == [True, False]


def test_a_width_that_is_used_up_narrows_no_later_class(tmp_path: Path) -> None:
    """A piece of 30 in is used up by the first class; the second is planned on 40 in."""
    shop = write(
        tmp_path / "shop.xlsx",
        {
            "Stock": [
                ("SKU", "Usable width", "Length at hand"),
                ("B", 34, "13 1/2 in"),
                ("B", 40, "3 yd"),
            ]
        },
    )
    courses = [
        Course(title="A", day="2027-01-02", kits=1, strips={"B": ("2 1/2", 5)}),
        Course(title="B", day="2027-01-03", kits=1, strips={"B": ("2 1/2", 5)}),
    ]
    found = km.read_shop(shop)
    season = km.season([km.read_class(one.write(tmp_path), found) for one in courses], found)
    assert [row.taken for row in season.rows] == [(Fraction(27, 2), 0), (0, Fraction(27, 2))]
    (said,) = [one.message for one in season.problems if "wide" in one.message]
    assert "34 in" in said


def test_a_bolt_that_is_used_up_still_tells_its_width(tmp_path: Path) -> None:
    """Twelve squares of 9 in: three across 35 in are four rows, 36½ in, so 1⅛ yd."""
    shop = write(
        tmp_path / "shop.xlsx",
        {"Stock": [("SKU", "Usable width", "Length at hand"), ("B", 35, "1/2 yd")]},
    )
    pieces = [("Fabric", "Piece", "Cut width", "Cut length", "Quantity"), ("F", "A", 9, 9, 12)]
    fabrics = [("Fabric", "Requirement", "Form", "SKU"), ("F", "1 yd", "yardage", "B")]
    write(tmp_path / "squares.xlsx", {"Pieces": pieces, "Fabrics": fabrics})
    facts = [("Title", "B"), ("Date", "2027-02-01"), ("Kits", 1), ("Pattern file", "squares.xlsx")]
    found = km.read_shop(shop)
    first = Course(title="A", day="2027-01-02", kits=1, patches={"B": 1}).write(tmp_path)
    second = write(tmp_path / "b.xlsx", {"Class": facts})
    season = km.season([km.read_class(path, found) for path in (first, second)], found)
    assert season.rows[0].left == 0
    (short,) = season.classes[1].short
    assert short.amount == 40 + Fraction(1, 2)


def test_a_class_that_cannot_be_planned_takes_nothing_and_the_others_go_on(tmp_path: Path) -> None:
    broken = Course(title="A", day="2027-01-02", strips={"B": ("two and a bit", 5)})
    whole = Course(title="B", day="2027-01-03", kits=1, strips={"B": ("2 1/2", 5)})
    season = season_of(tmp_path, [broken, whole], bolt("B", 1))
    assert [one.is_planned for one in season.classes] == [False, True]
    assert season.rows[0].taken == (0, Fraction(27, 2))
    result = run(tmp_path, [tmp_path / "a.xlsx", tmp_path / "b.xlsx"])
    assert result.exit_code == ExitCode.CANNOT_BE_MET
    assert "A: cannot be planned" in result.stdout


def test_without_a_stock_sheet_nothing_is_short_and_it_is_said(tmp_path: Path) -> None:
    shop = km.read_shop(write(tmp_path / "shop.xlsx", {"Shop": [("Name", "Reel")]}))
    course = Course(title="A", strips={"B": ("2 1/2", 5)})
    season = km.season([km.read_class(course.write(tmp_path), shop)], shop)
    assert season.classes[0].is_complete
    assert season.rows == season.order == ()
    assert any("no Stock sheet" in one.message for one in season.problems)


def test_what_is_short_of_a_length_to_cut_up_can_be_cut_from_what_is_ordered(
    tmp_path: Path,
) -> None:
    """Six strips of 3 in cut by the shop are 18 in and ½ in to straighten: ½ yd would not do."""
    pieces = {"more": {"Fabrics": [("Fabric", "Bag"), ("Strips B", "pieces")]}}
    course = Course(title="A", kits=1, strips={"B": ("3", 6)}, **pieces)  # type: ignore[arg-type]
    season = season_of(tmp_path, [course], bolt("B", 0))
    (line,) = season.order
    assert (line.short, line.order) == (Fraction(37, 2), 36)


# what cannot be


def refused(result: Result, code: ExitCode, *words: str) -> None:
    assert result.exit_code == code, result.stdout + result.stderr
    for word in words:
        assert word in result.stderr


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (None, "cell B2: this class has no date"),
        ("in spring", "cell B2: the date 'in spring' is not a day"),
        ("3/4/2027", "cell B2: the date '3/4/2027' could be 2027-03-04 or 2027-04-03"),
        ("February 30, 2027", "cell B2: the date 'February 30, 2027' is not a day"),
        (46459, "cell B2: the date '46459' is not a day"),
    ],
)
def test_a_class_without_a_day_is_told_by_its_cell(tmp_path: Path, day: Any, words: str) -> None:
    shelf(tmp_path, bolt("B", 2))
    course = Course(title="A", day=day, strips={"B": ("2 1/2", 5)})
    refused(run(tmp_path, [course.write(tmp_path)]), ExitCode.USAGE, words)
    assert not (tmp_path / "out").exists()


def test_a_class_sheet_without_a_row_for_the_date_is_told_by_its_sheet(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2))
    course = Course(title="A", strips={"B": ("2 1/2", 5)})
    more = {"Class": [("Title", "A"), ("Pattern file", "a-pattern.xlsx")]}
    path = course.write(tmp_path)
    write(path, more)
    refused(run(tmp_path, [path]), ExitCode.USAGE, "sheet 'Class': this class has no date")


def test_a_class_given_twice_is_refused_by_any_path_to_it(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2))
    path = Course(title="A", strips={"B": ("2 1/2", 5)}).write(tmp_path)
    (tmp_path / "sub").mkdir()
    other = tmp_path / "sub" / ".." / "a.xlsx"
    link = tmp_path / "link.xlsx"
    link.symlink_to(path)
    copy = Path(shutil.copy(path, tmp_path / "copy.xlsx"))
    for again in (path, other, link, copy):
        refused(
            run(tmp_path, [path, again]),
            ExitCode.USAGE,
            "sheet 'Class', cell B2: the class 'A' is given twice",
        )


def test_a_sku_taken_by_length_that_the_shop_counts_names_both_cells(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2), pile("Q", 9))
    path = Course(title="A", strips={"Q": ("2 1/2", 5)}).write(tmp_path)
    said = "a-pattern.xlsx, sheet 'Fabrics', cell A2: SKU Q is taken by length here, and sold by "
    refused(run(tmp_path, [path]), ExitCode.USAGE, said, "shop.xlsx, sheet 'Stock', cell A3")


def test_a_sku_of_a_colorway_is_told_by_the_cell_of_the_colorway(tmp_path: Path) -> None:
    shelf(tmp_path, pile("Q", 9))
    ways = [("Colorway", "Kits", "Fabric", "SKU"), ("Blue", 4, "Strips B", "Q")]
    course = Course(title="A", strips={"B": ("2 1/2", 5)}, more={"Colorways": ways})
    said = "a.xlsx, sheet 'Colorways', cell D2: SKU Q is taken by length"
    refused(run(tmp_path, [course.write(tmp_path)]), ExitCode.USAGE, said)


def test_a_sku_on_no_shelf_is_taken_by_length_or_by_count_and_not_both(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2))
    one = Course(title="A", strips={"NEW": ("2 1/2", 5)}).write(tmp_path)
    two = Course(title="B", patches={"NEW": 2}).write(tmp_path)
    refused(
        run(tmp_path, [one, two]),
        ExitCode.USAGE,
        "b-pattern.xlsx, sheet 'Fabrics', cell A2: SKU NEW is taken by count here",
        "a-pattern.xlsx, sheet 'Fabrics', cell A2",
    )


def test_a_stock_sheet_in_a_class_that_disagrees_is_told_by_its_cell(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2))
    own = {"Stock": [("SKU", "Form", "Count at hand"), ("B", "fat quarter", 9)]}
    course = Course(title="A", kits=1, strips={"B": ("2 1/2", 5)}, more=own)
    said = "a.xlsx, sheet 'Stock', cell A2: SKU B is sold by count here, and by length in shop.xlsx"
    refused(run(tmp_path, [course.write(tmp_path)]), ExitCode.USAGE, said)
    alike = {"Stock": [("SKU", "Length at hand"), ("B", 9)]}
    course = Course(title="A", kits=1, strips={"B": ("2 1/2", 5)}, more=alike)
    result = run(tmp_path, [course.write(tmp_path)])
    assert result.exit_code == ExitCode.DONE
    assert "sheet 'Stock': this sheet is ignored: stock is read from shop.xlsx" in result.stderr


@pytest.mark.parametrize("order", [0, "0 yd", -1, "-1/2 yd", "nothing", "12 pieces"])
def test_a_length_that_nothing_can_be_ordered_in_is_told_by_its_cell(
    tmp_path: Path, order: Any
) -> None:
    shelf(tmp_path, bolt("B", 2, order=order))
    path = Course(title="A", strips={"B": ("2 1/2", 5)}).write(tmp_path)
    refused(run(tmp_path, [path]), ExitCode.UNREADABLE, "sheet 'Stock', cell I2", "ordered in")


@pytest.mark.parametrize("order", [0, -12, "1/2 yd", "2.5", "none", "12 bolts"])
def test_a_count_that_nothing_can_be_ordered_in_is_told_by_its_cell(
    tmp_path: Path, order: Any
) -> None:
    shelf(tmp_path, pile("Q", 2, order=order))
    path = Course(title="A", patches={"Q": 5}).write(tmp_path)
    said = "is not a whole number of fat quarters"
    refused(run(tmp_path, [path]), ExitCode.UNREADABLE, "sheet 'Stock', cell I2", said)


def test_rows_of_a_sku_that_are_ordered_differently_are_told_by_both_cells(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 2, order=1), bolt("B", 3), bolt("B", 1, order="1/2 yd"))
    path = Course(title="A", strips={"B": ("2 1/2", 5)}).write(tmp_path)
    refused(run(tmp_path, [path]), ExitCode.UNREADABLE, "cell I4", "in I2")


# the command


def test_progress_names_each_class_once_and_json_stands_alone(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", 9))
    paths = [
        Course(title=title, kits=1, strips={"B": ("2 1/2", 5)}).write(tmp_path) for title in "AB"
    ]
    result = run(tmp_path, paths, "--json")
    assert result.exit_code == ExitCode.DONE
    assert result.stderr.splitlines() == ["class 1 of 2: A", "class 2 of 2: B"]
    data = json.loads(result.stdout)
    assert (data["schema"], data["unit"]) == (1, "in")
    assert data["classes"][0] == {
        "title": "A",
        "date": "2027-03-13",
        "pattern": "a-pattern",
        "kits": 1,
        "spare_kits": 0,
        "complete": True,
        "planned": True,
        "short": [],
    }
    assert [(one["at_hand"], one["left"]) for one in data["shelf"]] == [(324, 297)]
    assert data["order"] == []


def test_json_has_what_is_short_and_what_to_order(tmp_path: Path) -> None:
    shelf(tmp_path, bolt("B", "1/2 yd", cost=6.5))
    path = Course(title="A", kits=3, strips={"B": ("2 1/2", 5)}).write(tmp_path)
    result = run(tmp_path, [path], "--json")
    assert result.exit_code == ExitCode.CANNOT_BE_MET
    data = json.loads(result.stdout)
    (short,) = data["classes"][0]["short"]
    assert (short["sku"], short["short"], short["says"]) == ("B", 27, "short by ¾ yd")
    (line,) = data["order"]
    assert {key: line[key] for key in ("sku", "short", "order", "cost", "first_needed", "buy")} == {
        "sku": "B",
        "short": 27,
        "order": 36,
        "cost": 6.5,
        "first_needed": "2027-03-13",
        "buy": "1 yd",
    }
    assert [one["level"] for one in data["problems"]] == ["error"]


def test_a_season_is_frozen_and_can_be_pickled(tmp_path: Path) -> None:
    season = season_of(tmp_path, [Course(title="A", strips={"B": ("2", 3)})], bolt("B", 1))
    assert pickle.loads(pickle.dumps(season)) == season  # noqa: S301 - our own
    with pytest.raises(AttributeError):
        season.number = "1"  # type: ignore[misc]


def test_a_season_from_python_is_written_as_the_command_writes_it(tmp_path: Path) -> None:
    course = Course(title="A", strips={"B": ("2", 3)})
    season = season_of(tmp_path, [course], bolt("B", 1))
    assert run(tmp_path, [tmp_path / "a.xlsx"]).exit_code == ExitCode.DONE
    folder = km.write(season, tmp_path / "python")
    names = sorted(file.name for file in folder.iterdir())
    assert names == ["order-list.html", "season.html", "season.json", "season.xlsx"]
    for name in names:
        assert (folder / name).read_bytes() == (tmp_path / "out" / name).read_bytes()
    assert km.frames(season)["Shelf"]["Left"].tolist() == [Fraction(0)]


def test_a_class_given_twice_as_a_value_is_refused_too(tmp_path: Path) -> None:
    shop = km.read_shop(shelf(tmp_path, bolt("B", 1)))
    one = km.read_class(Course(title="A", strips={"B": ("2", 3)}).write(tmp_path), shop)
    with pytest.raises(km.UsageError, match="given twice"):
        km.season([one, one], shop)


def test_a_class_with_its_pattern_needs_no_file(tmp_path: Path) -> None:
    course = Course(title="A", strips={"B": ("2", 3)})
    season = season_of(tmp_path, [course], bolt("B", 1))
    shop = km.read_shop(tmp_path / "shop.xlsx")
    sheet = km.read_class(tmp_path / "a.xlsx", shop)
    pattern = km.read_pattern(tmp_path / "a-pattern.xlsx", shop=shop)
    assert km.season([(pattern, replace(sheet, path=""))], shop) == season


def test_a_season_that_is_worked_out_ahead_in_two_processes_is_the_same(tmp_path: Path) -> None:
    courses = [
        Course(
            title=title, day=f"2027-0{at}-01", kits=3, strips={"B": (width, 5)}, patches={"Q": 2}
        )
        for at, (title, width) in enumerate((("A", "2"), ("B", "2 1/4"), ("C", "3")), start=1)
    ]
    plain = season_of(tmp_path, courses, bolt("B", 2), pile("Q", 9))
    shop = km.read_shop(tmp_path / "shop.xlsx")
    classes = [km.read_class(tmp_path / f"{one}.xlsx", shop) for one in "abc"]
    solved.forget()
    asked: list[str] = []
    halved = km.season(classes, shop, progress=asked.append, spread=in_halves)
    assert halved == plain
    assert asked[0] == "class 1 of 3: A"


def test_what_is_solved_ahead_is_solved_no_more(tmp_path: Path) -> None:
    shop = km.read_shop(shelf(tmp_path, bolt("B", 2)))
    path = Course(title="A", strips={"B": ("1 3/4", 7)}).write(tmp_path)
    sheet = km.read_class(path, shop)
    pattern = km.read_pattern(tmp_path / "a-pattern.xlsx", shop=shop)
    solved.forget()
    found = SolveAhead(shop.shop)((pattern, sheet.class_sheet))
    assert len(found) == 1
    km.season([(pattern, sheet)], shop)
    assert solved.known() == found


def test_a_mix_of_forms_is_solved_ahead_too() -> None:
    """So few squares are in no mix that serves, and then it is worked out without a limit."""
    at = quilt.shop(quilt.on_shelf("S-1", "5-inch square", 1))
    stars = quilt.fabric("Stars", quilt.piece("A", 5, 5, 13), sku="S-1")
    chosen = quilt.choice("Stars", form="fat quarter + 5-inch square")
    solved.forget()
    asked = (
        km.PatternReading(pattern=quilt.pattern(stars)),
        quilt.class_sheet(kits=2, fabrics=(chosen,)),
    )
    found = SolveAhead(at)(asked)
    assert {problem[0] for problem in found if isinstance(problem, tuple)} == {"mix"}
    assert [answer is None for answer in found.values()] == [True, False]


def test_that_there_is_no_answer_is_kept_as_an_answer_is() -> None:
    solved.forget()
    asked: list[str] = []
    for _ in range(2):
        assert solved.solved("none", lambda: asked.append("solved")) is None
    assert asked == ["solved"]

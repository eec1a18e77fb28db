"""Several classes on one shelf: who gets what, what is left, what is short."""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from season_books import Course, bolt, pile, shelf, strips_of_a_kit, take_bags

import kitmaker as km
from kitmaker.cli import main
from kitmaker.seasons import Season

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


def test_one_class_alone_takes_what_its_plan_takes(tmp_path: Path) -> None:
    course = Course(
        title="Alone",
        kits=5,
        strips={"B": ("2 1/2", 7), "C": ("3", 4)},
        patches={"Q": 2, "C": 3},
    )
    rows = [bolt("B", "2 1/8 yd"), bolt("B", 3), bolt("C", 9, lot="1"), bolt("C", 4, lot="2")]
    rows += [pile("Q", 9), pile("C", 3, lot="1")]
    season = season_of(tmp_path, [course], *rows)
    shop = km.read_shop(tmp_path / "shop.xlsx")
    sheet = km.read_class(tmp_path / "alone.xlsx", shop)
    pattern = km.read_pattern(tmp_path / "alone-pattern.xlsx", shop=shop)
    plan = km.plan(pattern, shop=shop, class_sheet=sheet)
    taken = {piece.where: piece.take for line in plan.pull for piece in line.pieces}
    pile_of_nine = "Stock!A6"
    assert taken.pop(pile_of_nine) == 9
    found = {row.where: row.taken[0] for row in season.rows if row.taken[0]}
    assert found.pop(pile_of_nine) == 8  # four bags of two; no delivery fills up the fifth
    assert found == taken
    (planned,) = season.classes
    assert {one.sku for one in planned.short} == {line.sku for line in plan.pull if line.short}
    assert planned.kits == plan.kits

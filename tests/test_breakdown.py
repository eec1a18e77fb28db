"""Cloth at hand into the small sizes a shop sells."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction as F
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import Workbook

from kitmaker.cli import main
from kitmaker.errors import ExitCode, Location
from kitmaker.files import read_cloth
from kitmaker.kits.breakdown import Good, break_down, parse_good
from kitmaker.kits.yields import Basis
from kitmaker.lengths import LengthError, Unit
from kitmaker.plans import Breakdown
from kitmaker.shop import Cloth, Shop

HEADS = ("Fabric", "Width", "Length", "Count")


def cloth(across: object, along: object, count: int = 1) -> Cloth:
    return Cloth(
        name="remnant",
        across=F(str(across)),
        along=F(str(along)),
        count=count,
        where=Location("stash.xlsx", "Stash", "A2"),
    )


def good(size: str, price: str | None = None, most: int | None = None) -> Good:
    across, along = parse_good(size, Unit.INCH)
    money = None if price is None else Decimal(price)
    return Good(size=size, across=across, along=along, price=money, most=most)


def broken(cloths: list[Cloth], *goods: Good) -> Breakdown:
    return break_down(cloths, goods, Basis(Shop(), Unit.INCH))


def test_a_fat_quarter_gives_twelve_squares_of_5() -> None:
    """20 x 16 usable: 4 by 3. Source: the widely repeated fat quarter list (12 of 5 in)."""
    found = broken([cloth(20, 16, 3)], good("5", "0.45"))
    assert found.counts == (("5", 36),)
    assert found.worth == F("16.2")
    assert found.proven


def test_the_greatest_worth_is_taken_and_not_the_greatest_number() -> None:
    """10 x 5: two squares of 5 at 1.00, or eight of 2½ at 0.20."""
    assert broken([cloth(10, 5)], good("5", "1"), good("2.5", "0.2")).counts == (
        ("5", 2), ("2.5", 0),
    )  # fmt: skip
    assert broken([cloth(10, 5)], good("5", "1"), good("2.5", "0.3")).counts == (
        ("5", 0), ("2.5", 8),
    )  # fmt: skip


def test_no_more_than_wanted_are_worth_anything() -> None:
    found = broken([cloth(20, 16)], good("5", "1", most=4), good("2.5", "0.2"))
    assert dict(found.counts)["5"] == 4
    assert found.worth == 4 + dict(found.counts)["2.5"] * F(1, 5)
    assert found.worth <= found.worth_upper_bound


def test_no_more_are_cut_than_wanted_from_all_cloths_together() -> None:
    """Three equal scraps: two of them are cut alike, and one of their squares stays an offcut."""
    found = broken([cloth(11, 5, 3)], good("5", "0.6", most=3), good("2.5x5", "0.2"))
    assert dict(found.counts)["5"] == 3
    (one,) = found.cloths
    assert one.job is not None
    made = {row.piece.name: row.made for row in one.job.pieces}
    assert made == {size: count for size, count in found.counts if count}
    cut = sum(len(layout.pieces) * layout.copies for layout in one.job.layouts)
    assert cut == sum(made.values())

    twice = broken([cloth(10, 5, 2)], good("5", "0.6", most=1), good("3x5", "0.1", most=1))
    assert twice.counts == (("5", 1), ("3x5", 1))
    assert [row.made for row in twice.cloths[0].job.pieces] == [1, 1]


def test_strips_of_wide_and_narrow_cloth_share_one_number_wanted() -> None:
    found = broken([cloth(42, 5, 2), cloth(38, 5)], good("2.5xWOF", "2", most=3))
    assert found.counts == (("2.5xWOF", 3),)
    made = [row.made for one in found.cloths if one.job for row in one.job.pieces]
    assert sum(made) == 3
    assert found.worth <= found.worth_upper_bound
    assert found.proven, "three of the wide ones"


def test_without_prices_worth_is_area() -> None:
    found = broken([cloth(5, 5)], good("5"))
    assert found.by_area
    assert found.worth == 25


def test_a_size_without_a_price_beside_priced_ones_is_left_out_and_said() -> None:
    found = broken([cloth(20, 16)], good("5", "1"), good("2.5"))
    assert dict(found.counts)["2.5"] == 0
    assert "2.5 has no price" in str(found.problems[0])


def test_a_strip_is_as_long_as_the_cloth_is_wide() -> None:
    found = broken([cloth(41, 5), cloth(38, 5)], good("2.5xWOF", "1"))
    assert found.counts == (("2.5xWOF", 4),)
    lengths = {one.job.pieces[0].across for one in found.cloths if one.job is not None}
    assert lengths == {41, 38}


def test_a_strip_across_the_whole_width_does_not_come_from_a_fat_quarter() -> None:
    found = broken([cloth(20, 16)], good("2.5xWOF"), good("5"))
    assert found.counts == (("2.5xWOF", 0), ("5", 12))
    assert "none gives 2.5xWOF" in str(found.problems[0])


def test_cloth_too_small_for_every_size_stays_whole() -> None:
    found = broken([cloth(4, 4), cloth(10, 10)], good("5", "1"))
    assert found.cloths[0].job is None
    assert found.counts == (("5", 4),)


@pytest.mark.parametrize("text", ["", "x", "0", "5x", "5x5x5", "-5", "fish"])
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(LengthError):
        parse_good(text, Unit.INCH)


def stash(path: Path, *rows: tuple[object, ...], heads: tuple[str, ...] = HEADS) -> Path:
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(heads)
    for row in rows:
        page.append(list(row))
    book.save(path)
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def test_a_heading_that_states_its_unit_holds_for_bare_measures_under_it(tmp_path: Path) -> None:
    heads = ("Fabric", "Width (cm)", "Length (yd)", "Count")
    path = stash(tmp_path / "stash.xlsx", ("Fog", 101.6, 2, 1), heads=heads)
    (piece,) = read_cloth(path).pieces
    assert (piece.across, piece.along) == (F(40), F(72))


def test_the_command_prints_one_json_and_writes_a_sheet(tmp_path: Path) -> None:
    path = stash(tmp_path / "stash.xlsx", ("Fog", 41, "10 1/2", 1), ("Gold", 20, 16, 3))
    out = tmp_path / "out"
    result = run("breakdown", path, "--into", "5=10", "--into", "2.5", "--price", "5=0.45",
                 "--price", "2.5=0.09", "--out", out, "--json")  # fmt: skip
    assert result.exit_code == 0, result.stderr
    data = json.loads(result.stdout)
    assert (data["schema"], data["unit"]) == (1, "in")
    assert data["pieces"][0] == {"size": "5", "count": 10}
    assert data["worth"] <= data["worth_upper_bound"] + 1e-9
    pieces = [piece for layout in data["layouts"] for piece in layout["pieces"]]
    assert pieces
    page = (out / "index.html").read_text(encoding="utf-8")
    assert "Fabric on hand, cut into small sizes" in page
    again = run("breakdown", path, "--into", "5", "--out", out)
    assert again.exit_code == 0, "a folder of ours is replaced"


def test_forms_at_hand_may_be_named(tmp_path: Path) -> None:
    path = stash(tmp_path / "stash.xlsx", ("fat quarter", 2), heads=("Form", "Count"))
    result = run("breakdown", path, "--into", "5", "--out", tmp_path / "out", "--json")
    assert json.loads(result.stdout)["pieces"] == [{"size": "5", "count": 24}]


@pytest.mark.parametrize(
    ("row", "cell"),
    [(("Fog", 41, 10, 0), "D2"), (("Fog", -1, 10, 1), "B2"), (("Fog", 41, "long", 1), "C2")],
)
def test_a_row_that_is_not_sure_is_told_by_its_cell(
    tmp_path: Path, row: tuple[object, ...], cell: str
) -> None:
    result = run("breakdown", stash(tmp_path / "stash.xlsx", row), "--out", tmp_path / "out")
    assert result.exit_code == ExitCode.UNREADABLE
    assert f"cell {cell}" in result.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("--into", "fish"),
        ("--into", "5=0"),
        ("--into", "5", "--price", "5=free"),
        ("--into", "5", "--price", "6=1"),
        ("--into", "5", "--into", "5x5=3"),
    ],
)
def test_wrong_sizes_and_prices_end_with_2(tmp_path: Path, words: tuple[str, ...]) -> None:
    path = stash(tmp_path / "stash.xlsx", ("Fog", 41, 10, 1))
    result = run("breakdown", path, *words, "--out", tmp_path / "out")
    assert result.exit_code == ExitCode.USAGE, result.stdout
    assert not (tmp_path / "out").exists()


def test_a_workbook_without_cloth_ends_with_3(tmp_path: Path) -> None:
    path = stash(tmp_path / "stash.xlsx", heads=("Hello", "there"))
    assert run("breakdown", path).exit_code == ExitCode.UNREADABLE


def shop_file(
    path: Path, *forms: tuple[object, ...], unit: str = "in", currency: str = "$"
) -> Path:
    """A shop's workbook with forms of its own: name, sizes, cost, price."""
    book = Workbook()
    facts = book.active
    assert facts is not None
    facts.title = "Shop"
    facts.append(["Unit", unit])
    facts.append(["Currency", currency])
    page = book.create_sheet("Forms")
    page.append(["Form", "Nominal width", "Nominal length", "Cost", "Price"])
    for form in forms:
        page.append(list(form))
    book.save(path)
    return path


def pieces_of(result: Result) -> dict[str, int]:
    assert result.exit_code == 0, result.stderr
    return {row["size"]: row["count"] for row in json.loads(result.stdout)["pieces"]}


def test_the_shops_own_form_is_cloth_at_hand_and_its_price_is_that_of_its_size(
    tmp_path: Path,
) -> None:
    """A 30 × 12 remnant holds five 12 × 6 tea squares' worth, or ten 6-inch squares."""
    at = shop_file(
        tmp_path / "shop.xlsx", ("Remnant", 30, 12, 1, 2), ("Tea towel", "6", "12", 1, "9.50")
    )
    path = stash(tmp_path / "stash.xlsx", ("remnant", 2), heads=("Form", "Count"))
    words = ("--into", "12x6=4", "--into", "6", "--price", "6=1", "--shop", at, "--json")
    result = run("breakdown", path, *words, "--out", tmp_path / "out")
    assert pieces_of(result) == {"12x6": 4, "6": 12}
    assert json.loads(result.stdout)["worth"] == 4 * 9.5 + 12


def test_a_metric_shops_popular_sizes_are_those_of_the_trade(tmp_path: Path) -> None:
    at = shop_file(tmp_path / "shop.xlsx", unit="cm")
    path = stash(tmp_path / "stash.xlsx", ("Fog", "13 cm", 13, 1))
    words = ("--shop", at, "--json", "--out", tmp_path / "out")
    counts = pieces_of(run("breakdown", path, "--price", "12.7=9", *words))
    assert counts["5 in"] == 1


def test_a_price_may_bear_the_shops_own_sign(tmp_path: Path) -> None:
    at = shop_file(tmp_path / "shop.xlsx", currency="CHF")
    path = stash(tmp_path / "stash.xlsx", ("Fog", 10, 10, 1))
    words = ("--into", "5", "--price", "5=CHF 2", "--shop", at, "--out", tmp_path / "out")
    assert "Worth CHF8.00" in run("breakdown", path, *words).stdout


def test_a_size_typed_the_other_way_round_has_the_same_price(tmp_path: Path) -> None:
    path = stash(tmp_path / "stash.xlsx", ("Fog", 10, 10, 1))
    words = ("--into", "2.5x5", "--price", "5x2.5=1", "--json", "--out", tmp_path / "out")
    assert pieces_of(run("breakdown", path, *words)) == {"2.5x5": 8}

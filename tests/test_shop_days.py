"""Whole days of a small shop, through the command: a class, what is left, a day gone wrong."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from books import FORMS, STOCK, Sheets, write
from click.testing import CliRunner

from kitmaker.cli import main
from kitmaker.files import read_shop
from kitmaker.shop import StockRow

PATTERN: Sheets = {
    "Pattern": [("Pattern", "Mill Pond"), ("Unit", "in")],
    "Pieces": [
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity"),
        ("Water", "A", "4 1/2", "4 1/2", 40),
        ("Water", "B", "2 1/2", "4 1/2", 32),
        ("Reeds", "C", "4 1/2", "2 1/2", 32),
        ("Reeds", "D", "2 1/2", "2 1/2", 24),
        ("Sand", "E", 3, "6 1/2", 16),
        ("Binding", "strip", "2 1/2", "WOF", 5),
    ],
}
DAY: Sheets = {
    "Shop": [
        ("Name", "Juniper & Thread Quilt Shop"),
        ("Markup", "100 %"),
        ("Labor per hour", 24),
        ("Kit fee", 3),
        ("Ease", 0),
    ],
    "Forms": [
        FORMS,
        ("fat quarter", 22, 18, 20, 16, 2.6, 4.5, None),
        ("Cream stack", "21 cm", "42 cm", "20 cm", "40 cm", 1.15, 2.2, 20),
    ],
    "Stock": [
        STOCK,
        ("W-10", "Deep water", None, 41, "6 1/4", None, "1/2 yd", "A", 6.4, 12.9, None),
        ("W-10", "Deep water", None, 41, "7/8", None, None, "B", 6.4, 12.9, None),
        ("R-20", "Reed green", None, 40, "3 3/8", None, None, None, 5.9, 11.9, None),
        ("R-20", "Reed green", "fat quarter", None, None, 9, 1, None, 2.6, 4.5, None),
        ("S-30", "Sandbar", "cream stack", None, None, 44, None, None, None, None, None),
        ("B-40", "Slate", None, 40, "4 yd", None, None, None, 5.5, 11, None),
    ],
    "Class": [
        ("Title", "Pond in a day"),
        ("Kits", 5),
        ("Spare kits", 1),
        ("Pattern file", "pond.xlsx"),
    ],
    "Fabrics": [
        ("Fabric", "In kit", "Form", "Bag"),
        ("Water", "yes", "yardage", "pieces"),
        ("Reeds", "yes", "fat quarter", "uncut"),
        ("Sand", "yes", "cream stack", "uncut"),
        ("Binding", "sold apart", None, None),
    ],
    "Colorways": [
        ("Colorway", "Kits", "Fabric", "SKU"),
        ("Pond", 5, "Water", "W-10"),
        (None, None, "Reeds", "R-20"),
        (None, None, "Sand", "S-30"),
        (None, None, "Binding", "B-40"),
    ],
    "Extras": [
        ("Item", "Count per kit", "Cost", "Price"),
        ("Booklet", 1, 5.5, 11),
        ("Thread, a spool for two", 0.5, 3.1, None),
    ],
}


@dataclass(frozen=True)
class Day:
    """One run of the command."""

    exit_code: int
    data: dict[str, Any]
    said: str
    folder: Path

    def fabric(self, role: str) -> dict[str, Any]:
        (found,) = [one for one in self.data["fabrics"] if one["role"] == role]
        return dict(found)

    def pull(self, sku: str) -> dict[str, Any]:
        (found,) = [one for one in self.data["pull"] if one["sku"] == sku]
        return dict(found)

    def page(self, name: str) -> str:
        return (self.folder / name).read_text(encoding="utf-8")

    @property
    def shelf(self) -> list[StockRow]:
        reading = read_shop(self.folder / "stock-after.xlsx")
        assert reading.problems == ()
        return list(reading.shop.stock or ())


def run(folder: Path, name: str, *words: object) -> Day:
    out = folder / name
    options = [str(word) for word in words]
    result = CliRunner().invoke(main, ["plan", *options, "--json", "--out", str(out)])
    data = json.loads(result.stdout) if result.stdout else {}
    return Day(result.exit_code, data, result.stderr, out)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("shop")
    write(made / "pond.xlsx", PATTERN)
    write(made / "day.xlsx", DAY)
    return made


@pytest.fixture(scope="module")
def day(folder: Path) -> Day:
    return run(folder, "first", "--class", folder / "day.xlsx")


def test_one_file_of_shop_and_class_that_names_its_pattern_is_enough(day: Day) -> None:
    assert (day.exit_code, day.said) == (0, "")
    assert (day.data["kits"], day.data["spare_kits"]) == (5, 1)
    assert {one["role"]: one["bag"] for one in day.data["fabrics"]} == {
        "Water": "pieces",
        "Reeds": "uncut",
        "Sand": "uncut",
    }
    assert "Binding" in day.page("index.html")
    assert "sold separately" in day.page("packing-list.html").casefold()


def test_the_shops_own_form_in_centimeters_goes_into_the_bag(day: Day) -> None:
    """20 × 40 cm hold 2 × 2 of 3 × 6½ in (7.6 × 16.5 cm): 4 for 16, 24 for six bags."""
    assert day.fabric("Sand")["form"] == "cream-stack"
    assert day.fabric("Sand")["per_kit"]["count"] == 4
    assert day.pull("S-30")["buy"] == "24 Cream stacks (1 bundle of 20 plus 4)"


def test_ready_made_forms_go_first_and_the_rest_is_cut_from_the_bolt(day: Day) -> None:
    """12 fat quarters: 9 on the shelf less 1 held, 4 cut from 1 yd."""
    assert day.pull("R-20")["buy"] == "12 fat quarters (4 cut from 1 yd)"


def test_the_money_is_the_sum_of_exact_cents(day: Day) -> None:
    """Water 4⅞ yd × 6.40, Reeds 12 × 2.60, Sand 24 × 1.15, 6 booklets, 3 spools; then the labor.

    The price: cloth and spool doubled, the labor as it is, the booklet at its price, and the fee.
    """
    costs = {one["label"]: Decimal(str(one["total"])) for one in day.data["costs"]}
    *lines, total = costs.values()
    assert day.fabric("Water")["total"]["buy"] == "4⅞ yd"
    assert [str(line) for line in lines[:-1]] == ["31.2", "31.2", "27.6", "33.0", "9.3"]
    assert lines[-1] == (Decimal(str(day.data["minutes"])) * 24 / 60).quantize(Decimal("0.01"))
    assert sum(lines) == total
    doubled = (total - 33 - lines[-1]) / 6 * 2 + lines[-1] / 6 + 11 + 3
    assert Decimal(str(day.data["price_per_kit"])) == doubled.quantize(Decimal("0.01"))


def test_what_is_left_is_on_the_shelf_piece_by_piece(day: Day) -> None:
    """The held half yard and fat quarter stay; what was not touched stays as it was."""
    left = {(row.sku, row.dye_lot, row.form): row.length or row.count for row in day.shelf}
    assert left["W-10", "A", None] == F("6.25") * 36 - F(str(day.pull("W-10")["length"]))
    assert left["W-10", "B", None] == F(63, 2)
    assert left["R-20", None, None] == F("2.375") * 36
    assert left["R-20", None, "fat quarter"] == 1
    assert left["S-30", None, "cream stack"] == 20
    assert left["B-40", None, None] == 144
    assert [row.held_length for row in day.shelf if row.dye_lot == "A"] == [18]


def test_what_is_left_is_the_next_shelf(folder: Path, day: Day) -> None:
    """Eight kits could be made; six are, and two more come from what is left."""
    assert day.data["kits_possible"] == 8
    shelf = day.folder / "stock-after.xlsx"
    words = ("--class", folder / "day.xlsx", "--shop", shelf, "--kits", "max", "--spare-kits", 0)
    again = run(folder, "next", *words)
    assert (again.exit_code, again.data["kits"]) == (0, 2)
    assert "SKU W-10 (Water) is cut from lot A and lot B" in again.said


def with_rows(sheets: Sheets, sheet: str, *rows: tuple[object, ...]) -> Sheets:
    return {**sheets, sheet: [sheets[sheet][0], *rows]}


SHORT = with_rows(
    with_rows(
        {name: rows for name, rows in DAY.items() if name != "Forms"},
        "Stock",
        ("W-10", "Deep water", None, 41, "5 1/4", None, None, "A", 6.4, 12.9, None),
        ("W-11", "Ice", None, 40, "5 1/8", None, None, "4", 6.4, 12.9, None),
        ("R-20", "Reed green", "fat quarter", None, None, 40, None, None, 2.6, 4.5, None),
        ("S-30", "Sandbar", None, 39.5, "1 7/8", None, None, "9", 5.2, 10.4, None),
        ("S-30", "Sandbar", None, 39.5, "7/8", None, None, "8", 5.2, 10.4, None),
    ),
    "Colorways",
    ("Deep", 7, "Water", "W-10"),
    (None, None, "Reeds", "R-20"),
    (None, None, "Sand", "S-30"),
    ("Ice", 5, "Water", "W-11"),
    (None, None, "Reeds", "R-20"),
    (None, None, "Sand", "S-30"),
)


@pytest.fixture(scope="module")
def short_day(folder: Path) -> Day:
    the_class = {
        **SHORT,
        "Class": [("Title", "Weekend"), ("Kits", 12), ("Pattern file", "pond.xlsx")],
        "Fabrics": [
            ("Fabric", "In kit", "Form", "Bag"),
            ("Water", "yes", "yardage", "uncut"),
            ("Reeds", "yes", "fat quarter", "uncut"),
            ("Sand", "yes", "yardage", "pieces"),
            ("Binding", "no", None, None),
        ],
    }
    return run(folder, "short", "--class", write(folder / "short.xlsx", the_class))


def test_a_short_day_says_how_much_of_what_and_which_kits_can_be_made(short_day: Day) -> None:
    """Seven bags of ⅞ yd are 6⅛ yd; there are 5¼ yd, six bags. Everything else is written."""
    assert short_day.exit_code == 1
    assert short_day.pull("W-10")["short"] == "short by ⅞ yd"
    assert "6 instead of 7 kits of Deep" in short_day.said
    assert short_day.data["kits_possible"] == 11
    assert "Short by ⅞ yd" in short_day.page("pull-list.html")
    assert (short_day.folder / "bag-labels.html").exists()


def test_a_role_with_one_sku_is_planned_together_over_the_colorways(short_day: Day) -> None:
    sand = [one for one in short_day.data["fabrics"] if one["role"] == "Sand"]
    assert len({str(one["layouts"]) for one in sand}) == 1
    assert [one["sku"] for one in short_day.data["pull"]].count("S-30") == 1


def test_bulk_pieces_of_two_dye_lots_are_warned_of(short_day: Day) -> None:
    assert "SKU S-30 (Sand) is cut from lot 8 and lot 9" in short_day.said


def test_the_most_kits_are_planned_and_one_more_is_short(folder: Path, short_day: Day) -> None:
    """In the class's proportion 11 kits, 6 and 5; twelve are short."""
    assert short_day.exit_code == 1
    words = ("--class", folder / "short.xlsx", "--kits", "max")
    most = run(folder, "most", *words)
    assert (most.exit_code, most.data["kits"]) == (0, 11)
    assert [one["kits"] for one in most.data["colorways"]] == [6, 5]
    said = {one["label"]: one["value"] for one in most.data["choices"]}
    assert said["Deep alone"].startswith("6 kits at most; Water (SKU W-10) runs out")
    assert said["Ice alone"].startswith("5 kits at most; Water (SKU W-11) runs out")


@pytest.fixture(scope="module")
def flawed_day(folder: Path) -> Day:
    """Two kits are done; the water has a flaw, the fat quarters are not all alike."""
    cuts = {
        "Cuts": [
            ("SKU", "Width", "Length", "Count", "Flaw at", "Kits done"),
            ("W-10", "40 1/2", "4 3/8 yd", 1, "1 3/8 yd", 2),
            ("R-20", 20, 17, 6, None, None),
            ("R-20", "19 1/2", "15 1/2", 3, None, None),
            ("R-20", 15, 12, 2, None, None),
        ]
    }
    words = ("--class", folder / "day.xlsx", "--measured", write(folder / "cuts.xlsx", cuts))
    return run(folder, "flawed", *words)


def test_a_day_gone_wrong_is_planned_again_from_the_cloth_as_it_is(flawed_day: Day) -> None:
    """A flaw at 49½ in leaves 48½ and 107 in; no cut crosses it. Three kits and a spare to go."""
    assert (flawed_day.data["kits"], flawed_day.data["spare_kits"]) == (3, 1)
    assert flawed_day.exit_code == 0, flawed_day.said
    water = flawed_day.pull("W-10")["from"]
    assert {piece["at_hand"] for piece in water} <= {48.5, 107.0}
    assert flawed_day.fabric("Water")["layouts"][0]["sheet"][0] == 40.5


def test_the_small_ones_are_set_aside_and_the_change_is_on_the_index(flawed_day: Day) -> None:
    """Eight of nine good ones serve four bags, two a bag, as small as 19½ × 15½."""
    assert flawed_day.fabric("Reeds")["per_kit"]["count"] == 2
    index = flawed_day.page("index.html")
    assert "set aside, as too small or not needed: 2 of 15 in × 12 in" in index
    assert "as in the first plan" in index


def test_the_shelf_after_a_day_gone_wrong_holds_all_there_is(flawed_day: Day) -> None:
    """The bolt of reeds was not measured, the two small ones were not used, one is left over."""
    reeds = [(row.form, row.count, row.length) for row in flawed_day.shelf if row.sku == "R-20"]
    assert ("10-inch square", 2, None) in reeds
    assert (None, None, F("3.375") * 36) in reeds
    assert sum(count or 0 for form, count, _ in reeds if form == "fat-quarter") == 1


@pytest.mark.parametrize("name", ["day", "short_day", "flawed_day"])
def test_a_day_can_be_printed_again_from_its_record(
    request: pytest.FixtureRequest, tmp_path: Path, name: str
) -> None:
    made: Day = request.getfixturevalue(name)
    asked = ["reprint", str(made.folder / "plan.json"), "--out", str(tmp_path / "again")]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 0, result.stderr
    again = (tmp_path / "again" / "pull-list.html").read_text(encoding="utf-8")
    assert again == made.page("pull-list.html")


def test_the_files_given_are_never_written(folder: Path) -> None:
    files = {path: path.read_bytes() for path in folder.glob("*.xlsx")}
    words = ("--class", folder / "day.xlsx", "--spare-kits", 0)
    assert run(folder, "once more", *words).exit_code == 0
    assert {path: path.read_bytes() for path in folder.glob("*.xlsx")} == files


def test_the_shops_own_form_in_centimeters_is_converted_to_and_broken_down(folder: Path) -> None:
    """Sand takes four at 1.15; two stacks of 20 × 40 cm give 3 × 6 squares of 6.5 cm each."""
    pond, shop = str(folder / "pond.xlsx"), str(folder / "day.xlsx")
    asked = ["convert", pond, "--shop", shop, "--form", "Cream Stack", "--json"]
    fabrics = json.loads(CliRunner().invoke(main, asked).stdout)["fabrics"]
    (sand,) = [one["options"][0] for one in fabrics if one["role"] == "Sand"]
    assert (sand["count"], sand["cost"], sand["buy"]) == (4, 4.6, "4 Cream stacks")
    stash = write(folder / "stash.xlsx", {"Stash": [("Form", "Count"), ("cream stack", 2)]})
    asked = ["breakdown", str(stash), "--shop", shop, "--into", "6.5 cm", "--json"]
    result = CliRunner().invoke(main, [*asked, "--out", str(folder / "small")])
    assert json.loads(result.stdout)["pieces"] == [{"size": "6.5 cm", "count": 36}]


def test_two_workbooks_of_a_shop_the_one_named_wins(folder: Path) -> None:
    """The class's own shop sheets are not mixed into another shop's."""
    facts = [("Name", "Other"), ("Kit fee", 0), ("Markup", "×3"), ("Labor per hour", 0)]
    other: Sheets = {"Shop": facts, "Stock": DAY["Stock"], "Forms": DAY["Forms"]}
    words = ("--class", folder / "day.xlsx", "--shop", write(folder / "other.xlsx", other))
    made = run(folder, "other", *words)
    total = Decimal(str(made.data["costs"][-1]["total"]))
    tripled = ((total - 33) / 6 * 3 + 11).quantize(Decimal("0.01"))
    assert Decimal(str(made.data["price_per_kit"])) == tripled

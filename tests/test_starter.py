"""Blank workbooks: filled in as a person would, they are read without a word of complaint."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner

from kitmaker.cli import main
from kitmaker.errors import UnreadableError
from kitmaker.files import read_class, read_shop
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.reading.requirements import read_pattern
from kitmaker.shopbooks.cutsbook import read_cuts
from kitmaker.shopbooks.stash import read_stash

KINDS = ("pattern", "shop", "class", "measured", "stash")
Filling = Mapping[str, Mapping[str, str] | Sequence[Mapping[str, str]]]


def starter(folder: Path, kind: str, *more: str) -> Path:
    path = folder / f"{kind}.xlsx"
    result = CliRunner().invoke(main, ["starter", str(path), "--kind", kind, *more])
    assert result.exit_code == 0, result.output
    return path


def fill(path: Path, filling: Filling) -> Path:
    """Type into the cells under their headings or beside their labels, below the example."""
    book = openpyxl.load_workbook(path)
    for name, values in filling.items():
        sheet = book[name]
        if isinstance(values, Mapping):
            labels = {row[0].value: row[1] for row in sheet.iter_rows(max_col=2)}
            for label, value in values.items():
                labels[label].value = value
            continue
        columns = {cell.value: cell.column for cell in sheet[1]}
        for down, row in enumerate(values, start=3):
            for heading, value in row.items():
                sheet.cell(down, columns[heading]).value = value
    book.save(path)
    return path


PATTERN: Filling = {
    "Pattern": {"Pattern": "Harbor Steps", "Unit": "in", "Seam allowance": "1/4"},
    "Fabrics": [
        {
            "Fabric": "navy",
            "Requirement": "3/8 yd",
            "Cutting instructions": 'Cut (5) 2 1/2" x WOF strips; sub-cut into (80) squares.',
        },
        {"Fabric": "cream", "Requirement": "1/8 yd", "Prints": "1", "Usable width": "41"},
    ],
    "Pieces": [
        {
            "Fabric": "cream",
            "Piece": "A",
            "Cut width": "1 1/8",
            "Cut length": "4-1/2",
            "Quantity": "20",
            "Shape": "rectangle",
            "Direction": "one-way",
        },
    ],
}
SHOP: Filling = {
    "Shop": {
        "Name": "Juniper & Thread Quilt Shop",
        "Straighten": "1/2",
        "Round yardage up to": "1/8 yd",
        "Markup": "100 %",
        "Label sheet": "letter-30",
        "Bag label sheet": "bag-8",
        "Ruler width": "6",
        "Label offset": "1 mm right, 0.5 mm down",
        "Smallest offcut": "2 1/2 x 5",
        "Labor per hour": "18",
    },
    "Label sheets": [
        {
            "Label sheet": "bag-8",
            "Paper": "letter",
            "Columns": "2",
            "Rows": "4",
            "Label width": "4",
            "Label height": "2 1/2",
            "Left margin": "1/8",
            "Top margin": "1/2",
            "Pitch across": "4 1/8",
            "Pitch down": "2 1/2",
        }
    ],
    "Forms": [
        {
            "Form": "fat-quarter",
            "Nominal width": "22",
            "Nominal length": "18",
            "Usable width": "20",
            "Usable length": "16",
            "Cost": "2.60",
            "Price": "3.99",
        }
    ],
    "Stock": [
        {"SKU": "NV-104", "Print": "navy dots", "Length at hand": "3 7/8", "Order in": "1 1/2"},
        {
            "SKU": "FQ-7",
            "Form": "fat-quarter",
            "Count at hand": "12",
            "Held": "2",
            "Order in": "24",
        },
    ],
}
CLASS: Filling = {
    "Class": {"Title": "Harbor Steps in a day", "Kits": "12", "Date": "March 6, 2027"},
    "Colorways": [
        {"Colorway": "blue", "Kits": "7", "Fabric": "navy", "SKU": "NV-104"},
        {"Colorway": "red", "Kits": "5", "Fabric": "navy", "SKU": "RD-2"},
    ],
    "Fabrics": [{"Fabric": "cream", "In kit": "sold apart", "Form": "yardage", "Bag": "uncut"}],
    "Extras": [{"Item": "thread", "Count per kit": "1", "Cost": "2.10", "Price": "3.49"}],
}


def test_a_filled_in_pattern_is_read_without_a_word_of_complaint(tmp_path: Path) -> None:
    reading = read_pattern(fill(starter(tmp_path, "pattern"), PATTERN))
    assert reading.problems == ()
    assert [fabric.role for fabric in reading.pattern.fabrics] == ["navy", "cream"]
    assert [len(fabric.pieces) for fabric in reading.pattern.fabrics] == [1, 1]
    assert reading.pattern.fabrics[1].pieces[0].width == Fraction(9, 8)
    assert reading.pattern.name == "Harbor Steps"


def test_rounding_and_setting_typed_into_the_starter_are_read(tmp_path: Path) -> None:
    facts = {"Pattern": "Harbor Steps", "Unit": "in", "Round cut sizes up to": "1/16"}
    finishing = {
        "Setting": "on point",
        "Setting fabric": "cream",
        "Block size": "9",
        "Blocks across": "3",
        "Blocks down": "4",
    }
    filling = {**PATTERN, "Pattern": facts, "Finishing": finishing}
    reading = read_pattern(fill(starter(tmp_path, "pattern"), filling))
    assert not [one for one in reading.problems if one.is_error]
    cream = next(one for one in reading.pattern.fabrics if one.role == "cream")
    sixteenths = {piece.width * 16 for piece in cream.pieces if piece.width.denominator == 16}
    assert len(cream.pieces) == 3
    assert sixteenths


def test_the_starter_of_a_pattern_offers_what_a_setting_can_be(tmp_path: Path) -> None:
    sheet = openpyxl.load_workbook(starter(tmp_path, "pattern"))["Finishing"]
    offered = [rule.formula1 for rule in sheet.data_validations.dataValidation if rule.formula1]
    assert '"straight,on point"' in offered


def test_a_filled_in_shop_is_read_without_a_word_of_complaint(tmp_path: Path) -> None:
    reading = read_shop(fill(starter(tmp_path, "shop"), SHOP))
    assert reading.problems == ()
    assert reading.shop.name == "Juniper & Thread Quilt Shop"
    assert [row.order_in for row in reading.shop.stock or ()] == [54, 24]


def test_the_starter_of_a_shop_explains_what_a_sku_is_ordered_in(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(starter(tmp_path, "shop"))
    assert "Order in" in [cell.value for cell in book["Stock"][1]]
    told = [cell.value for cell in book.worksheets[0]["B"]]
    assert any("when left empty 1/2 yd" in str(one) for one in told)


def test_a_filled_in_class_is_read_without_a_word_of_complaint(tmp_path: Path) -> None:
    reading = read_class(fill(starter(tmp_path, "class"), CLASS))
    assert reading.problems == ()
    assert [one.name for one in reading.class_sheet.colorways] == ["blue", "red"]
    assert len(reading.class_sheet.fabrics) == len(reading.class_sheet.extras) == 1


def test_filled_in_lists_of_cloth_are_read_without_a_word_of_complaint(tmp_path: Path) -> None:
    shop = ("--shop", str(fill(starter(tmp_path, "shop"), SHOP)))
    cuts = {"SKU": "NV-104", "Width": "20 1/2", "Length": "17", "Count": "14", "Dye lot": "7"}
    flawed = {"SKU": "FQ-7", "Width": "42", "Length": "9 1/2 yd", "Flaw at": "1 3/8 yd; 4 yd"}
    done = {**flawed, "Kits done": "3"}
    measured = read_cuts(
        fill(starter(tmp_path, "measured", *shop), {"Cuts": [cuts, done]}), Unit.INCH
    )
    assert measured.problems == ()
    assert [(one.sku, one.count, one.dye_lot) for one in measured.pieces] == [
        ("NV-104", 14, "7"),
        ("FQ-7", 1, None),
    ]
    assert measured.pieces[1].kits_done == 3
    rows = [{"Fabric": "dots", "Width": "20", "Length": "16", "Count": "3"}]
    rows.append({"Fabric": "NV-104 navy dots", "Form": "fat-eighth", "Count": "2"})
    stash = fill(starter(tmp_path, "stash", *shop), {"Stash": rows})
    reading = read_stash(stash, Unit.INCH, Catalogue())
    assert reading.problems == ()
    assert [one.count for one in reading.pieces] == [3, 2]


def test_drop_downs_offer_the_shops_own_skus_however_many(tmp_path: Path) -> None:
    rows = [{"SKU": f"A-LONG-NUMBER-{at}", "Length at hand": "3"} for at in range(60)]
    shop = fill(starter(tmp_path, "shop"), {**SHOP, "Stock": rows})
    book = openpyxl.load_workbook(starter(tmp_path, "measured", "--shop", str(shop)))
    (rule,) = [one for one in book["Cuts"].data_validations.dataValidation if one.type == "list"]
    name, _, cells = rule.formula1.replace("$", "").replace("'", "").partition("!")
    offered = [row[0].value for row in book[name][cells]]
    assert offered == [row["SKU"] for row in rows]


def test_the_examples_and_the_explanations_are_never_read(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="tables are empty"):
        read_pattern(starter(tmp_path, "pattern"))
    shop = read_shop(starter(tmp_path, "shop"))
    assert [one.message for one in shop.problems if "lists nothing" not in one.message] == []
    assert not shop.shop.stock
    few = fill(starter(tmp_path, "class"), {"Class": {"Title": "Harbor Steps"}})
    assert read_class(few).problems == ()


@pytest.mark.parametrize("kind", KINDS)
def test_every_cell_to_fill_in_is_text_so_that_a_typed_eighth_stays_one(
    tmp_path: Path, kind: str
) -> None:
    book = openpyxl.load_workbook(starter(tmp_path, kind))
    for sheet in book.worksheets[1:]:
        for cells in sheet.iter_rows(max_col=2):
            assert {cell.number_format for cell in cells if cell.value is None} <= {"@"}
        assert sheet.column_dimensions["B"].number_format == "@"


@pytest.mark.parametrize("kind", KINDS)
def test_there_are_drop_downs_that_allow_other_words(tmp_path: Path, kind: str) -> None:
    shop = fill(starter(tmp_path, "shop"), SHOP).rename(tmp_path / "filled.xlsx")
    book = openpyxl.load_workbook(starter(tmp_path, kind, "--shop", str(shop)))
    lists = [
        rule
        for sheet in book.worksheets
        for rule in sheet.data_validations.dataValidation
        if rule.type == "list"
    ]
    assert lists
    assert {rule.errorStyle for rule in lists} == {"information"}


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsx"
    path.write_text("mine")
    result = CliRunner().invoke(main, ["starter", str(path)])
    assert result.exit_code == 4
    assert "Choose another name" in result.output
    assert path.read_text() == "mine"


@pytest.mark.parametrize(("name", "code"), [("a.csv", 2), ("a.xls", 2), ("missing/a.xlsx", 4)])
def test_a_name_or_a_folder_that_will_not_do_is_said_in_one_line(
    tmp_path: Path, name: str, code: int
) -> None:
    result = CliRunner().invoke(main, ["starter", str(tmp_path / name)])
    assert result.exit_code == code
    assert len(result.output.strip().splitlines()) == 1


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_starter_is_the_same_file(tmp_path: Path, kind: str) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    first.mkdir()
    second.mkdir()
    assert starter(first, kind).read_bytes() == starter(second, kind).read_bytes()


def test_drop_downs_of_a_pattern_offer_the_names_on_its_fabrics_sheet(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(starter(tmp_path, "pattern"))
    offered = {
        str(one.promptTitle): str(one.formula1)
        for name in ("Pieces", "Finishing")
        for one in book[name].data_validations.dataValidation
    }
    assert offered["Fabric"] == offered["Border fabric"] == "'Fabrics'!$A$3:$A$500"

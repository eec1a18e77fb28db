"""Options, class workbook and pattern, brought together."""

from __future__ import annotations

import pytest
from quilt import bolt, choice, class_sheet, colorway, fabric, pattern, piece, shop

from kitmaker.errors import UsageError
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.shop import Bag, ClassSheet, Shop

QUILT = pattern(
    fabric("Background", piece("A", "2.5", "4.5", 40), form="yardage"),
    fabric("Stars", piece("B", "3.5", "3.5", 40), form="fat quarter"),
)


def resolved(
    sheet: ClassSheet | None = None, at: Shop | None = None, **options: object
) -> Resolved:
    return resolve(QUILT, at or shop(), sheet or class_sheet(), Options(**options))  # type: ignore[arg-type]


def form_of(result: Resolved, role: str) -> str:
    return next(one.form.form_id for one in result.fabrics if one.fabric.role == role)


def source_of(result: Resolved, label: str) -> str:
    return next(choice.source for choice in result.choices if choice.label == label)


def test_an_option_wins_over_the_class_and_the_class_over_the_pattern() -> None:
    assert form_of(resolved(), "Stars") == "fat-quarter"
    sheet = class_sheet(fabrics=(choice("stars", "fat eighth"),))
    assert form_of(resolved(sheet), "Stars") == "fat-eighth"
    option = resolved(sheet, forms=(("STARS", "half yard"),))
    assert form_of(option, "Stars") == "half-yard"
    assert source_of(option, "Stars") == "--form, default"


def test_a_bare_form_holds_for_all_and_a_named_one_for_its_fabric() -> None:
    result = resolved(forms=((None, "fat quarter"), ("Background", "yardage")))
    assert form_of(result, "Background") == "yardage"
    assert form_of(result, "Stars") == "fat-quarter"


def test_the_default_bag_is_uncut() -> None:
    assert {one.bag for one in resolved().fabrics} == {Bag.UNCUT}


def test_a_fabric_without_pieces_is_bagged_uncut_and_the_choices_say_why() -> None:
    what = pattern(fabric("Sky", yards=1))
    sheet = class_sheet(fabrics=(choice("Sky", bag=Bag.PIECES),))
    result = resolve(what, shop(), sheet, Options())
    assert [one.bag for one in result.fabrics] == [Bag.UNCUT]
    assert source_of(result, "Sky") == "default, no pieces are given to cut"


def test_kits_that_disagree_are_each_named() -> None:
    sheet = class_sheet(
        colorway("Blue", 7, Background="B", Stars="S"),
        colorway("Red", 5, Background="B", Stars="S"),
        kits=11,
    )
    with pytest.raises(UsageError) as caught:
        resolved(sheet, kits=10)
    said = str(caught.value)
    assert "--kits says 10" in said
    assert "says 11" in said
    assert "the sum of the colorways (7 Blue + 5 Red) says 12" in said


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"forms": (("Sky", "fat quarter"),)}, "--form names the fabric 'Sky'"),
        ({"bags": (("Sky", Bag.PIECES),)}, "--bag names the fabric 'Sky'"),
        ({"forms": ((None, "fat quater"),)}, "Did you mean fat-quarter"),
        ({"kits": 10**9}, "cannot be planned"),
    ],
)
def test_what_cannot_be_planned_is_refused(options: dict[str, object], words: str) -> None:
    with pytest.raises(UsageError, match=words):
        resolved(**options)


def test_every_contradiction_is_told_at_once() -> None:
    sheet = class_sheet(
        colorway("Blue", 0, Background="B"), fabrics=(choice("Skye", "fat quarter"),)
    )
    with pytest.raises(UsageError) as caught:
        resolved(sheet, shop(bolt("S", 1)), bags=(("Sky", Bag.PIECES),))
    said = str(caught.value)
    assert "Skye" in said
    assert "--bag names the fabric 'Sky'" in said
    assert "'Blue' has no kits" in said
    assert "does not say which fabric fills 'Stars'" in said
    assert "SKU 'B', which the Stock sheet of shop.xlsx does not have" in said


def test_kits_left_open_in_the_colorways_are_shared_out() -> None:
    sheet = class_sheet(
        colorway("Blue", 7, Background="B", Stars="S"),
        colorway("Red", 5, Background="B", Stars="S"),
        spare_kits=1,
    )
    result = resolved(sheet)
    assert result.kits == 12
    assert [one.kits for one in result.colorways] == [8, 5], "the spare kit goes to the first"


def test_a_colorway_that_fills_a_fabric_the_pattern_does_not_have_is_refused() -> None:
    sheet = class_sheet(colorway("Blue", 3, Background="B", Stars="S", Moon="M"))
    with pytest.raises(UsageError, match="'Blue' fills the fabric 'moon'"):
        resolved(sheet)


@pytest.mark.parametrize(
    ("book", "bag", "piece_label"),
    [
        ({}, "letter-10", "letter-30"),
        ({"label_sheet": "a4-21"}, "a4-21", "a4-21"),
        ({"label_sheet": "a4-21", "piece_label_sheet": "letter-30"}, "a4-21", "letter-30"),
        ({"bag_label_sheet": "a4-21"}, "a4-21", "letter-30"),
    ],
)
def test_the_shops_book_says_which_labels_each_kind_is_printed_on(
    book: dict[str, str], bag: str, piece_label: str
) -> None:
    found = resolved(at=shop(**book))
    assert (found.bag_labels.sheet_id, found.piece_labels.sheet_id) == (bag, piece_label)

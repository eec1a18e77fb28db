"""Label sheets: the die-cut measures, places, and text that fits or is refused."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from kitmaker.errors import ExitCode, UsageError
from kitmaker.paper.labels import (
    A4_21,
    BUILT_IN_SHEETS,
    LETTER_10,
    LETTER_30,
    PAPERS,
    check_geometry,
    check_start_label,
    find_label_sheet,
    margin_band,
    place_labels,
)
from kitmaker.paper.typesetting import SMALLEST_TYPE, Line, break_text, set_label, text_width
from kitmaker.shop import LabelSheet, Shop

NO_OFFSET = (Fraction(0), Fraction(0))
INCH = Fraction(254, 10)


@pytest.mark.parametrize("sheet", BUILT_IN_SHEETS, ids=lambda sheet: sheet.sheet_id)
def test_a_sheet_of_labels_stands_centered_on_its_paper(sheet: LabelSheet) -> None:
    width, height = PAPERS[sheet.paper]
    across = (sheet.columns - 1) * sheet.pitch_across + sheet.width
    down = (sheet.rows - 1) * sheet.pitch_down + sheet.height
    assert width - across == 2 * sheet.left
    assert height - down == 2 * sheet.top
    assert check_geometry(sheet) == ()


def test_labels_run_across_then_down_then_onto_the_next_sheet() -> None:
    places = place_labels(31, LETTER_30, 1, NO_OFFSET)
    assert (places[0].left, places[0].top) == (Fraction(3, 16) * INCH, INCH / 2)
    assert (places[1].left, places[1].top) == (Fraction(47, 16) * INCH, INCH / 2)
    assert (places[3].left, places[3].top) == (Fraction(3, 16) * INCH, INCH * 3 / 2)
    assert places[29].sheet == 1
    assert (places[30].sheet, places[30].top) == (2, INCH / 2)


def test_a_part_used_sheet_starts_where_its_first_label_is_left() -> None:
    places = place_labels(2, LETTER_10, 10, NO_OFFSET)
    assert [place.sheet for place in places] == [1, 2]
    assert places[0].top == INCH / 2 + 4 * 2 * INCH
    assert places[0].left == Fraction(5, 32) * INCH + Fraction(67, 16) * INCH


def test_the_shops_offset_moves_every_label() -> None:
    plain = place_labels(1, A4_21, 1, NO_OFFSET)[0]
    moved = place_labels(1, A4_21, 1, (Fraction(1, 2), Fraction(-1)))[0]
    assert (moved.left - plain.left, moved.top - plain.top) == (Fraction(1, 2), Fraction(-1))


@pytest.mark.parametrize("start", [0, -1, 31])
def test_a_start_past_the_sheet_is_wrong_usage(start: int) -> None:
    with pytest.raises(UsageError, match=r"letter-30.*30 labels") as caught:
        check_start_label(start, LETTER_30)
    assert caught.value.exit_code is ExitCode.USAGE


def test_the_last_label_is_still_on_the_sheet() -> None:
    check_start_label(30, LETTER_30)


def test_an_unknown_sheet_is_answered_with_those_there_are() -> None:
    own = replace(LETTER_10, sheet_id="jar-lids")
    with pytest.raises(UsageError, match="letter-31") as caught:
        find_label_sheet("letter-31", Shop(own_label_sheets=(own,)))
    assert "letter-30, letter-10, a4-21, jar-lids" in caught.value.problems[0].suggestion


def test_the_shops_own_sheet_wins_over_a_built_in_one() -> None:
    own = replace(LETTER_10, top=Fraction(13))
    assert find_label_sheet("Letter-10", Shop(own_label_sheets=(own,))).top == 13


def test_short_text_is_set_large_and_long_text_small() -> None:
    short = set_label((Line("Kit 1"),), LETTER_30)
    long = set_label((Line("a very long line of words " * 6),), LETTER_30)
    assert short is not None
    assert long is not None
    assert short[0].points == 12
    assert SMALLEST_TYPE <= long[0].points < 12
    assert len(long) > 1


def test_text_that_does_not_fit_at_six_points_is_refused() -> None:
    assert set_label(tuple(Line("words " * 30) for _ in range(8)), LETTER_30) is None


def test_what_is_set_stays_inside_the_label() -> None:
    for count in range(1, 40):
        lines = (Line("Harbor Lanterns", Fraction(5, 4), bold=True), Line("m½×w " * count))
        found = set_label(lines, LETTER_30)
        if found is None:
            continue
        assert sum(line.height for line in found) < LETTER_30.height
        assert all(
            text_width(line.text, line.points, bold=line.bold) < LETTER_30.width for line in found
        )
        assert all(line.points >= SMALLEST_TYPE for line in found)


def test_a_word_longer_than_the_label_is_broken_only_at_the_smallest_type() -> None:
    word = "Donaudampfschifffahrtsgesellschaft" * 3
    assert break_text(word, Fraction(8), Fraction(60), inside_words=False) is None
    assert set_label((Line(word),), LETTER_30) is None
    found = set_label((Line(word),), LETTER_30, inside_words=True)
    assert found is not None
    assert "".join(line.text for line in found) == word
    assert {line.points for line in found} == {SMALLEST_TYPE}


def test_no_break_spaces_hold_a_count_together() -> None:
    text = "Harbor kit\u00a03\u00a0of\u00a012"
    broken = break_text(
        text, Fraction(8), text_width("kit\u00a03\u00a0of\u00a012", Fraction(8)), inside_words=False
    )
    assert broken == ("Harbor", "kit\u00a03\u00a0of\u00a012")


@pytest.mark.parametrize("sheet", BUILT_IN_SHEETS, ids=lambda sheet: sheet.sheet_id)
def test_the_margins_line_keeps_clear_of_every_label(sheet: LabelSheet) -> None:
    band = margin_band(sheet)
    last = sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height
    assert band.top + band.height < sheet.top or band.top > last
    assert band.top >= 0
    assert band.top + band.height <= PAPERS[sheet.paper][1]


def test_labels_past_the_paper_or_over_each_other_are_reported() -> None:
    assert any(
        "right edge" in said for said in check_geometry(replace(LETTER_30, left=Fraction(11)))
    )
    assert any(
        "lower edge" in said for said in check_geometry(replace(LETTER_30, top=Fraction(26)))
    )
    assert any(
        "overlap" in said for said in check_geometry(replace(LETTER_30, pitch_down=Fraction(20)))
    )
    assert check_geometry(replace(LETTER_30, paper="legal"))

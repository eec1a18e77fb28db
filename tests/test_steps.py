"""Steps at the cutting table: stacks, folds, ruler positions."""

from __future__ import annotations

import re
from fractions import Fraction as F

import pytest

from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import Action, Step
from kitmaker.lengths import Unit
from kitmaker.paper.sheets.layout_view import _boxes
from kitmaker.shop import Shop
from kitmaker.table.cloths import one_length
from kitmaker.table.replay import replay
from kitmaker.table.steps import StepWriter, even_stacks


def row(width: int, size: F, count: int, depth: F = F(8)) -> Part:
    """A strip with ``count`` pieces of ``size`` across, the rest an offcut."""
    pieces = [Part(size, depth, key="a")] * count
    rest = width - size * count
    if rest:
        pieces.append(Part(rest, depth))
    return Part(F(width), depth, Axis.ACROSS, tuple(pieces))


def stretch_steps(
    part: Part, copies: int, shop: Shop | None = None, *, first: bool = False
) -> list[Step]:
    letters = {"a": "A", "b": "B"}
    writer = StepWriter(shop or Shop(), Unit.INCH, letters, copies, is_first=first)
    layout = Layout(part, copies)
    writer.write_stretch(layout, [one_length([layout])])
    return writer.steps


@pytest.mark.parametrize(
    ("count", "most", "stacks"),
    [
        (18, 4, (4, 4, 4, 3, 3)),
        (4, 4, (4,)),
        (5, 4, (3, 2)),
        (1, 4, (1,)),
        (9, 2, (2, 2, 2, 2, 1)),
    ],
)
def test_stacks_are_made_even(count: int, most: int, stacks: tuple[int, ...]) -> None:
    assert even_stacks(count, most) == stacks


def test_a_strip_of_40_gives_two_pairs_of_8_and_the_fifth_at_the_fold() -> None:
    steps = stretch_steps(row(40, F(8), 5), 1)
    assert [step.action for step in steps] == [
        Action.STRAIGHTEN,
        Action.CUT,
        Action.CUT_PAIRS,
        Action.OPEN_AND_CUT,
    ]
    pairs, opened = steps[2], steps[3]
    assert pairs.measures[0].times == 4
    assert pairs.measures[0].positions == (F(8), F(8)), "wider than the ruler: from the new edge"
    assert opened.measures[0].times == 1
    assert opened.cuts == 1, "a usable width is the least: what is left in the middle is trimmed"
    assert "Trim parallel to the selvages to 8 in, if it is wider, for piece A" in opened.text


def test_no_pair_ends_on_the_fold_it_is_cut_after_the_strip_is_opened() -> None:
    pairs, opened = stretch_steps(row(40, F(5, 2), 16, F(5, 2)), 3)[2:]
    assert (pairs.action, opened.action) == (Action.CUT_PAIRS, Action.OPEN_AND_CUT)
    assert max(pairs.measures[0].positions) == F(35, 2), "not 20, where the cloth is folded"
    assert (pairs.measures[0].times, opened.measures[0].times) == (14, 2)
    (flat,) = stretch_steps(row(40, F(20), 2), 1)[2:]
    assert (flat.action, flat.measures[0].times) == (Action.LAY_FLAT, 2)


def test_a_pair_that_ends_an_eighth_from_the_fold_stays_a_pair() -> None:
    ends = [stretch_steps(row(40, size, 2), 1)[2].action for size in (F(319, 16), F(159, 8))]
    assert ends == [Action.LAY_FLAT, Action.CUT_PAIRS], "a sixteenth from the fold is on it"


def test_a_piece_wider_than_half_the_fabric_is_cut_from_the_opened_strip() -> None:
    steps = stretch_steps(row(40, F(30), 1), 1)
    assert [step.action for step in steps][2:] == [Action.LAY_FLAT]
    assert "Open part 1 out flat." in steps[2].text


def test_folded_strips_stack_to_an_even_number_of_layers() -> None:
    steps = stretch_steps(row(40, F(5), 8), 9)
    sub_cut = steps[2]
    assert sub_cut.stacks == (2, 2, 2, 2, 1)
    assert sub_cut.layers == 4


def test_repeated_strips_run_on_and_start_anew_where_the_edge_is_trued() -> None:
    steps = stretch_steps(row(40, F(5), 8, F(5, 2)), 8)
    cut = steps[1]
    assert cut.re_square_after == (6,)
    assert cut.measures[0].positions[:7] == (
        F(5, 2), F(5), F(15, 2), F(10), F(25, 2), F(15), F(5, 2),
    )  # fmt: skip
    assert "and again from each new edge" in cut.text
    assert "Re-square (¼ in at most) and start at 0 again after cut 6." in cut.text


def test_strips_off_a_length_have_a_box_for_each_run_between_truings() -> None:
    assert stretch_steps(row(40, F(5), 8, F(5, 2)), 79)[1].runs == (*(6,) * 13, 1)
    untrued = stretch_steps(row(40, F(5), 8, F(5, 2)), 23, Shop(re_square=F(0)))[1]
    assert untrued.runs == (10, 10, 3), "a person can be interrupted"
    assert untrued.stack_count == 0, "a length by itself is no stack"


def test_the_boxes_of_runs_say_how_many_strips_each_is_for() -> None:
    cut = stretch_steps(row(40, F(5), 8, F(5, 2)), 20)[1]
    assert [(one.text, one.count) for one in _boxes(cut)] == [("strips: each 6", 3), ("2", 1)]
    few = stretch_steps(row(40, F(5), 8, F(5, 2)), 5)[1]
    assert [(one.text, one.count) for one in _boxes(few)] == [("", 1)]


def test_marks_past_the_rulers_width_name_the_mat() -> None:
    pairs = stretch_steps(row(40, F(5, 2), 15, F(5, 2)), 3)[2]
    assert "(ruler at 2½, 5; mat at 7½, 10, 12½, 15, 17½)" in pairs.text


def test_measures_wider_than_the_ruler_are_each_set_from_the_edge_just_cut() -> None:
    pairs = stretch_steps(row(40, F(8), 5), 1)[2]
    assert "2 cuts at 8 in for pairs of piece A (each time from the edge just cut)" in pairs.text
    assert "Two rulers side by side for 8 in." in pairs.text


def test_selvages_are_trimmed_before_a_strip_is_measured_and_only_once() -> None:
    folded, opened = stretch_steps(row(40, F(8), 5), 1)[2:]
    assert "trim off the selvages and measure from there" in folded.text
    assert "Trim off one selvage" not in opened.text
    (flat,) = stretch_steps(row(40, F(30), 1), 1)[2:]
    assert "Trim off one selvage and measure from there." in flat.text


SAID_CUTS = re.compile(
    r"(\d+) (?:strips?|lengths?|cuts?|at)\b|(?:^|\. )(Trim parallel|Straighten)|then (straighten)"
)


@pytest.mark.parametrize("size", [F(2), F(5, 2), F(15, 4), F(8), F(9), F(30)])
@pytest.mark.parametrize("copies", [1, 7, 41])
def test_cuts_are_those_that_a_hand_counts_from_the_printed_steps(size: F, copies: int) -> None:
    for step in stretch_steps(row(40, size, int(40 // size)), copies):
        counted = 0
        for number, *_ in SAID_CUTS.findall(step.text):
            counted += int(number or 1)
        counted += len(step.re_square_after)
        assert step.cuts == counted * len(step.stacks), step.text


def test_what_was_cut_to_size_leaves_its_last_part_and_what_is_usable_is_trimmed() -> None:
    block = Part(F(8), F(10), Axis.ALONG, (Part(F(8), F(5), key="a"),) * 2)
    stretch = Part(F(40), F(10), Axis.ACROSS, (block, Part(F(32), F(10), key="b")))
    cut = stretch_steps(stretch, 1)[-1]
    assert (cut.cuts, cut.last_is_left) == (1, True)
    assert "2 at 5 in for piece A; the last is what is left." in cut.text
    quarter = Part(F(20), F(16), Axis.ALONG, (Part(F(20), F(8), key="a"),) * 2)
    writer = StepWriter(Shop(), Unit.INCH, {"a": "A"}, 1)
    writer.write_sheet(Layout(quarter, 1), "fat quarter", measure_first=False)
    assert (writer.steps[1].cuts, writer.steps[1].last_is_left) == (2, False)
    assert "square up the left and the top edge as drawn" in writer.steps[0].text
    square = Part(F(5), F(5), Axis.ALONG, (Part(F(5), F(5, 2), key="a"),) * 2)
    writer = StepWriter(Shop(), Unit.INCH, {"a": "A"}, 1, exact=(True, True))
    writer.write_sheet(Layout(square, 1), "5-inch square", measure_first=True)
    assert (writer.steps[1].cuts, writer.steps[1].last_is_left) == (1, True)
    assert "square up" not in writer.steps[0].text, "nothing could be trimmed off it"


def test_nothing_is_trued_behind_the_last_strip() -> None:
    assert stretch_steps(row(40, F(5), 8), 6)[1].re_square_after == ()


def lengthwise(border: F, length: F, count: int = 4) -> Part:
    """Borders along the selvage, side by side in a block off the length."""
    piece = Part(border, length, key="a")
    return Part(F(40), length, Axis.ACROSS, (piece,) * count + (Part(40 - border * count, length),))


def test_a_cut_longer_than_the_ruler_is_folded_and_counts_extra() -> None:
    step = stretch_steps(lengthwise(F(9, 2), F(72)), 1)[2]
    assert step.action is Action.LAY_FLAT
    assert (step.folded_into, step.layers, step.placements) == (4, 4, 1)
    assert step.settings == 2
    assert "Fold it cut end to cut end, then in half again, into 4 layers" in step.text


@pytest.mark.parametrize(
    ("layers", "folded_into", "placements"), [(4, 4, 6), (2, 2, 11), (1, 1, 21)]
)
def test_no_fold_for_the_rulers_sake_goes_above_the_layers(
    layers: int, folded_into: int, placements: int
) -> None:
    step = stretch_steps(lengthwise(F(9, 2), F(501)), 1, Shop(layers_per_cut=layers))[2]
    assert (step.folded_into, step.placements) == (folded_into, placements)
    assert step.layers <= layers
    assert step.cuts == 4 * placements
    assert "move the 24 in ruler on along the marks" in step.text


def test_below_two_layers_a_length_is_opened_before_it_is_cut() -> None:
    steps = stretch_steps(row(40, F(5), 8, F(3)), 4, Shop(layers_per_cut=1))
    assert {step.layers for step in steps} == {1}
    assert "Fold" not in " ".join(step.text for step in steps)
    assert steps[1].placements == 2, "40 in are longer than the ruler"
    assert [step.action for step in steps[2:]] == [Action.CUT]


def test_backing_wider_than_two_rulers_is_folded_again() -> None:
    steps = stretch_steps(Part(F(104), F(4), key="a"), 2, Shop(layers_per_cut=4))
    assert (steps[1].layers, steps[1].folded_into, steps[1].placements) == (4, 2, 2)
    assert "then again into 4 layers, then straighten" in steps[0].text
    assert "Each cut is 26 in long" in steps[1].text
    assert "end to end" not in steps[0].text + steps[1].text


@pytest.mark.parametrize(
    ("size", "two_rulers", "by_tape"),
    [(F(6), False, False), (F(8), True, False), (F(13), True, False), (F(27, 2), False, True)],
)
def test_two_rulers_are_set_only_where_two_reach(size: F, two_rulers: bool, by_tape: bool) -> None:
    cut = stretch_steps(row(40, F(5), 8, size), 1)[1]
    assert (cut.two_rulers, cut.by_tape) == (two_rulers, by_tape)
    assert ("Two rulers side by side" in cut.text) is two_rulers
    assert ("with a tape" in cut.text) is by_tape
    assert cut.settings == 1 + (two_rulers or by_tape), "it counts extra"


def test_ruler_positions_end_at_the_rulers_length_and_begin_anew() -> None:
    shop = Shop(re_square=F(0), ruler_length=F(12))
    cut = stretch_steps(row(40, F(5), 8, F(5, 2)), 7, shop)[1]
    assert cut.measures[0].positions == (
        F(5, 2), F(5), F(15, 2), F(10), F(5, 2), F(5), F(15, 2),
    )  # fmt: skip
    assert "ruler at 2½, 5; mat at 7½, 10; and again from each new edge" in cut.text


def test_the_steps_of_a_fat_quarter_yield_its_pieces() -> None:
    strip = Part(
        F(20), F(7, 2), Axis.ACROSS,
        (*[Part(F(7, 2), F(7, 2), key="a")] * 5, Part(F(5, 2), F(7, 2))),
    )  # fmt: skip
    sheet = Part(F(20), F(16), Axis.ALONG, (*[strip] * 4, Part(F(20), F(2))))
    writer = StepWriter(Shop(), Unit.INCH, {"a": "A"}, 6)
    writer.write_sheet(Layout(sheet, 6), "fat quarter", measure_first=False)
    assert writer.steps[0].stacks == (3, 3), "six fat quarters, four layers at most"
    assert writer.steps[2].stacks == (4, 4, 4, 4, 4, 4)
    table = replay((F(20), F(16)), 6, tuple(writer.steps), by_length=False)
    assert len(table.pieces) == 20
    assert sum(offcut.area for offcut in table.offcuts) == 320 - 20 * F(49, 4)


def test_a_ready_cut_square_that_is_the_piece_is_not_cut() -> None:
    writer = StepWriter(Shop(), Unit.INCH, {"a": "A"}, 40)
    writer.write_sheet(Layout(Part(F(5), F(5), key="a"), 40), "5-inch square", measure_first=True)
    (step,) = writer.steps
    assert "It is piece A as it stands" in step.text
    assert step.cuts == 0
    table = replay((F(5), F(5)), 40, tuple(writer.steps), by_length=False)
    assert [letter for letter, _ in table.pieces] == ["A"]
    assert table.offcuts == []


def blocks_and_bars() -> Part:
    """Part of a length: a long block of four columns of two widths, each cut along it."""

    def column(width: F, piece: F) -> Part:
        count = int(72 // piece)
        parts = (Part(width, piece, key="a"),) * count
        rest = 72 - count * piece
        return Part(width, F(72), Axis.ALONG, parts + ((Part(width, rest),) if rest else ()))

    wide, narrow = column(F(29, 4), F(29, 4)), column(F(5), F(12))
    return Part(F(40), F(72), Axis.ACROSS, (wide, wide, narrow, narrow, Part(F(31, 2), F(72))))


def test_each_measure_counts_from_the_edge_that_the_one_before_it_has_left() -> None:
    steps = stretch_steps(blocks_and_bars(), 1)
    columns = next(step for step in steps if len(step.measures) > 1)
    assert columns.measures[1].positions == (F(5), F(10)), "not from an edge that was cut before"
    assert (
        "(each time from the edge just cut); slide the edge just cut to 0, then 2 at 5 in"
        in columns.text
    )
    assert "(ruler at 5; mat at 10)" in columns.text


def test_parts_of_cloth_that_was_folded_for_a_long_cut_are_opened_before_they_are_stacked() -> None:
    steps = stretch_steps(blocks_and_bars(), 1)
    columns = next(step for step in steps if len(step.measures) > 1)
    assert columns.folded_into > 1
    for step in steps[columns.number :]:
        assert "open them out flat and" in step.text, step.text
    assert "open" not in stretch_steps(row(40, F(8), 5), 3)[2].text, "strips keep their one fold"


def test_cloth_is_folded_before_its_selvage_is_trimmed_and_all_its_layers_with_it() -> None:
    columns = next(step for step in stretch_steps(blocks_and_bars(), 1) if len(step.measures) > 1)
    assert columns.text.index("Fold it cut end to cut end") < columns.text.index("Trim off one")


def test_what_is_as_wide_as_its_piece_is_trimmed_only_where_it_is_wider() -> None:
    stretch = Part(F(40), F(8), Axis.ACROSS, (Part(F(8), F(8), key="a"),) * 5)
    opened = stretch_steps(stretch, 1)[-1]
    assert "to 8 in, if it is wider, for piece A" in opened.text


def test_a_long_row_of_cuts_says_that_its_last_is_not_trued() -> None:
    assert (
        "after cut 6, then after every 6 but the last"
        in stretch_steps(row(40, F(2), 20), 30)[1].text
    )
    assert "but the last" not in stretch_steps(row(40, F(2), 20), 31)[1].text


def test_what_fills_a_part_has_its_last_piece_trimmed_only_where_the_cloth_is_wider() -> None:
    stretch = Part(F(40), F(8), Axis.ACROSS, (Part(F(5, 2), F(8), key="a"),) * 16)
    opened = stretch_steps(stretch, 1)[-1]
    assert opened.measures[0].times == 2
    assert (
        "2 at 2½ in for piece A (ruler at 2½, 5); trim the last only if it is wider" in opened.text
    )


def test_a_measure_longer_than_a_mat_is_taken_with_a_tape() -> None:
    assert "Measure 72 in with a tape." in stretch_steps(lengthwise(F(9, 2), F(72)), 1)[1].text


def test_stacks_are_counted_in_layers_before_they_are_folded_and_then_again() -> None:
    step = stretch_steps(lengthwise(F(9, 2), F(36)), 2, Shop(layers_per_cut=4))[2]
    assert (step.folded_into, max(step.stacks), step.layers) == (2, 2, 4)
    assert "stack them (2 layers)" in step.text
    assert "Fold them cut end to cut end into 4 layers" in step.text

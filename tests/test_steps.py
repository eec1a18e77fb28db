"""Steps at the cutting table: stacks, folds, ruler positions."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import Action, Step
from kitmaker.lengths import Unit
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


def stretch_steps(part: Part, copies: int, shop: Shop | None = None) -> list[Step]:
    writer = StepWriter(shop or Shop(), Unit.INCH, {"a": "A", "b": "B"}, copies)
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
    assert opened.cuts == 0, "what is left in the middle is the piece"


def test_a_piece_wider_than_half_the_fabric_is_cut_from_the_opened_strip() -> None:
    steps = stretch_steps(row(40, F(30), 1), 1)
    assert [step.action for step in steps][2:] == [Action.LAY_FLAT]
    assert "Open it out" in steps[2].text


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
    assert "Re-square the edge after cut 6" in cut.text


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
    assert "Fold it end to end into 4" in step.text


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
    assert "move the 24 in ruler on along it" in step.text


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
    assert "ruler at 2½, 5, 7½, 10, and again from each new edge" in cut.text


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

"""The checker is tested by harm: right plans are spoiled, and each rule must say so."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

import pytest
from test_steps import row, stretch_steps

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.problem import Demand
from kitmaker.cutting_jobs import CutLayout, CuttingJob
from kitmaker.errors import Location
from kitmaker.forms import Catalogue
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.yields import Basis
from kitmaker.lengths import Unit
from kitmaker.pattern import Direction, Piece
from kitmaker.shop import Shop
from kitmaker.table.checker import (
    Need,
    check_job,
    check_layers,
    check_layout,
    check_lengths,
    check_ruler,
)
from kitmaker.table.replay import ReplayError, replay

HERE = Location("pattern.xlsx", "Pieces", "B2")
NEEDS = {
    "a": Need("a", F(5), F(5), 6, may_turn=False),
    "b": Need("b", F(5, 2), F(9, 2), 8, may_turn=True),
    "c": Need("c", F(3), F(7), 3, may_turn=False),
}


def pieces() -> list[JobPiece]:
    return [
        JobPiece(
            key=need.key,
            role="Fabric",
            colorway="",
            piece=Piece(
                name=need.key,
                width=need.across or F(1),
                length=need.along,
                quantity=need.count,
                direction=Direction.FREE if need.may_turn else Direction.ONE_WAY,
                where=HERE,
            ),
            per_kit=need.count,
            needed=need.count,
        )
        for need in NEEDS.values()
    ]


def job(form_name: str) -> CuttingJob:
    form = Catalogue().find(form_name)
    demands = [
        Demand(need.key, need.across or F(1), need.along, need.count, need.may_turn)
        for need in NEEDS.values()
    ]
    if form.usable_along is None:
        layouts = plan_length(demands, form.usable_across).layouts
    else:
        layouts = plan_forms(demands, form.usable_across, form.usable_along).layouts
    return make_job(pieces(), layouts, form, Basis(Shop(), Unit.INCH), "a bolt")


@pytest.fixture(params=["fat-quarter", "fat-eighth", "yardage"])
def layouts(request: pytest.FixtureRequest) -> tuple[CutLayout, ...]:
    return job(request.param).layouts


def test_a_right_job_passes(layouts: tuple[CutLayout, ...]) -> None:
    assert check_job(layouts, NEEDS.values(), Shop()) == []


def with_piece(layout: CutLayout, at: int, **change: object) -> CutLayout:
    spoiled = list(layout.pieces)
    spoiled[at] = replace(spoiled[at], **change)
    return replace(layout, pieces=tuple(spoiled))


def faults(layout: CutLayout) -> str:
    return " | ".join(check_layout(layout, NEEDS, Shop()))


def test_a_piece_past_the_edge_is_refused(layouts: tuple[CutLayout, ...]) -> None:
    layout = layouts[0]
    assert "outside the usable size" in faults(with_piece(layout, 0, x=layout.sheet[0] - 1))


def test_overlapping_pieces_are_refused_the_last_one_included() -> None:
    layout = max(job("yardage").layouts, key=lambda one: len(one.pieces))
    first, last = layout.pieces[0], len(layout.pieces) - 1
    assert "overlap" in faults(with_piece(layout, last, x=first.x, y=first.y))


def test_a_piece_of_another_size_is_refused(layouts: tuple[CutLayout, ...]) -> None:
    layout = layouts[0]
    smaller = with_piece(layout, 0, w=layout.pieces[0].w - F(1, 8))
    assert "another size" in faults(smaller)
    assert "not the whole sheet" in faults(smaller)


def test_a_one_way_piece_may_not_be_turned(layouts: tuple[CutLayout, ...]) -> None:
    for layout in layouts:
        for at, piece in enumerate(layout.pieces):
            if piece.key == "c":
                turned = with_piece(layout, at, w=piece.h, h=piece.w, turned=True)
                assert "lies as it may not" in faults(turned)


def test_a_dropped_piece_is_missed(layouts: tuple[CutLayout, ...]) -> None:
    spoiled = (replace(layouts[0], pieces=layouts[0].pieces[1:]), *layouts[1:])
    said = " | ".join(check_job(spoiled, NEEDS.values(), Shop()))
    assert "not the whole sheet" in said
    assert "needed" in said or len(layouts[0].pieces) > NEEDS[layouts[0].pieces[0].key].count


def test_one_copy_too_few_is_missed() -> None:
    layouts = job("fat-eighth").layouts
    spoiled = (replace(layouts[0], copies=layouts[0].copies - 1), *layouts[1:])
    assert any("made" in fault for fault in check_job(spoiled, NEEDS.values(), Shop()))


def test_a_piece_nobody_needs_is_refused(layouts: tuple[CutLayout, ...]) -> None:
    assert "not needed" in faults(with_piece(layouts[0], 0, key="z"))


def replay_of(layout: CutLayout, steps: list[object], by_length: bool) -> None:
    replay(layout.sheet, layout.copies, tuple(steps), by_length=by_length)  # type: ignore[arg-type]


def cutting_steps(layout: CutLayout) -> list[int]:
    return [at for at, step in enumerate(layout.steps) if step.measures]


@pytest.mark.parametrize("form", ["fat-quarter", "yardage"])
def test_a_cut_moved_on_the_ruler_is_refused(form: str) -> None:
    layout = job(form).layouts[0]
    for at in cutting_steps(layout):
        steps = list(layout.steps)
        measure = steps[at].measures[0]
        moved = tuple(position + F(1, 8) for position in measure.positions)
        changed = (replace(measure, positions=moved), *steps[at].measures[1:])
        steps[at] = replace(steps[at], measures=changed)
        with pytest.raises(ReplayError):
            replay_of(layout, list(steps), form == "yardage")


@pytest.mark.parametrize("form", ["fat-quarter", "yardage"])
def test_a_stack_that_forgets_a_part_is_refused(form: str) -> None:
    layout = job(form).layouts[0]
    at = cutting_steps(layout)[-1]
    steps = list(layout.steps)
    steps[at] = replace(steps[at], stacks=(*steps[at].stacks[:-1], steps[at].stacks[-1] + 1))
    with pytest.raises(ReplayError, match="stacks"):
        replay_of(layout, list(steps), form == "yardage")


@pytest.mark.parametrize("form", ["fat-quarter", "yardage"])
def test_a_step_out_of_order_is_refused(form: str) -> None:
    layout = max(job(form).layouts, key=lambda one: len(cutting_steps(one)))
    order = cutting_steps(layout)
    assert len(order) >= 2
    steps = list(layout.steps)
    steps[order[0]], steps[order[1]] = steps[order[1]], steps[order[0]]
    with pytest.raises(ReplayError):
        replay_of(layout, list(steps), form == "yardage")


def test_cutting_a_pair_across_the_fold_is_refused() -> None:
    layout = next(
        one for one in job("yardage").layouts if any(s.action == "cut pairs" for s in one.steps)
    )
    steps = list(layout.steps)
    at = next(at for at, step in enumerate(steps) if step.action == "cut pairs")
    measure = steps[at].measures[0]
    wide = replace(measure, size=F(30), positions=(F(30),), times=2)
    steps[at] = replace(steps[at], measures=(wide,))
    with pytest.raises(ReplayError, match="fold"):
        replay_of(layout, list(steps), True)


def test_a_pair_that_ends_on_the_fold_is_refused() -> None:
    steps = stretch_steps(row(40, F(5), 8), 1)
    assert replay((F(40), F(8)), 1, tuple(steps), by_length=True).pieces
    pairs = steps[2].measures[0]
    whole = replace(pairs, times=8, positions=(*pairs.positions, F(20)))
    steps[2:] = [replace(steps[2], measures=(whole,))]
    with pytest.raises(ReplayError, match="on it"):
        replay((F(40), F(8)), 1, tuple(steps), by_length=True)


def test_a_first_kit_that_is_not_cut_first_or_in_another_way_is_refused() -> None:
    first, rest = (
        stretch_steps(row(40, F(5), count), 2, first=of) for count, of in ((8, True), (7, False))
    )
    with pytest.raises(ReplayError, match="not cut first"):
        replay((F(40), F(8)), 4, (*rest, *first), by_length=True, first=2)
    with pytest.raises(ReplayError, match="another way"):
        replay((F(40), F(8)), 4, (*first, *rest), by_length=True, first=2)
    with pytest.raises(ReplayError, match="are cut off"):
        replay((F(40), F(8)), 4, (*first, *rest), by_length=True, first=1)


def test_more_layers_than_the_shop_cuts_at_once_are_refused(layouts: tuple[CutLayout, ...]) -> None:
    layout = layouts[0]
    least = max(step.layers for step in layout.steps)
    assert check_layers(layout, Shop(layers_per_cut=least)) == []
    assert any("allowed" in fault for fault in check_layers(layout, Shop(layers_per_cut=least - 1)))


def test_layers_that_are_not_those_of_the_stack_are_refused(layouts: tuple[CutLayout, ...]) -> None:
    first, *others = layouts[0].steps
    spoiled = replace(layouts[0], steps=(replace(first, folded_into=8), *others))
    assert any("layers where" in fault for fault in check_layers(spoiled, Shop()))


def test_a_ruler_set_past_its_end_is_refused() -> None:
    layout = job("yardage").layouts[0]
    assert check_ruler(layout, Shop()) == []
    assert any("past its end" in fault for fault in check_ruler(layout, Shop(ruler_length=F(6))))
    assert any(
        "two rulers do not reach" in fault for fault in check_ruler(layout, Shop(ruler_width=F(1)))
    )


def test_a_length_that_is_not_trued_in_time_or_straightened_twice_is_refused() -> None:
    layout = job("yardage").layouts[0]
    often = Shop(re_square_every=1)
    assert check_lengths([layout], Shop()) == []
    strips = sum(m.times for step in layout.steps if not step.part for m in step.measures)
    assert bool(check_lengths([layout], often)) is (strips > 1)
    assert any("twice" in fault for fault in check_lengths([layout, layout], Shop()))
    cut = next(step for step in layout.steps if step.measures)
    many = replace(cut, measures=(replace(cut.measures[0], positions=(F(1),) * 7),))
    spoiled = replace(layout, steps=(layout.steps[0], many))
    assert any("untrued" in fault for fault in check_lengths([spoiled], Shop()))
    trued = replace(layout, steps=(layout.steps[0], replace(many, re_square_after=(6,))))
    assert check_lengths([trued], Shop()) == []

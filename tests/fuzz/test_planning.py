"""What holds for every cutting plan, whatever is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.problem import Demand
from kitmaker.cutting_jobs import Action, CuttingJob
from kitmaker.errors import Location
from kitmaker.forms import Catalogue, Form
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.yields import Basis
from kitmaker.lengths import Unit
from kitmaker.pattern import Direction, Piece
from kitmaker.shop import Shop
from kitmaker.table.checker import Need, check_job

HERE = Location("pattern.xlsx", "Pieces", "B2")
FAT_QUARTER = Catalogue().find("fat-quarter")
YARDAGE = Catalogue().find("yardage")

halves = st.integers(3, 20).map(lambda n: F(n, 2))
quarters = st.integers(6, 40).map(lambda n: F(n, 4))
sizes = st.one_of(halves, quarters)


@st.composite
def demands(draw: st.DrawFn) -> tuple[Demand, ...]:
    """One to three kinds of pieces, each small enough for a fat quarter either way."""
    kinds = draw(st.integers(1, 3))
    return tuple(
        Demand(
            f"piece {number}",
            draw(sizes),
            draw(sizes),
            draw(st.integers(1, 9)),
            draw(st.booleans()),
        )
        for number in range(kinds)
    )


def times(asked: Sequence[Demand], copies: int) -> tuple[Demand, ...]:
    return tuple(replace(one, count=one.count * copies) for one in asked)


def job_of(
    asked: Sequence[Demand], layouts: Sequence[Layout], form: Form, shop: Shop | None = None
) -> CuttingJob:
    """Write the steps and carry them out; a plan that is not right is a fault."""
    pieces = [
        JobPiece(
            key=one.key,
            role="Sky",
            colorway="",
            piece=Piece(
                name=one.key,
                width=one.across,
                length=one.along,
                quantity=one.count,
                direction=Direction.FREE if one.may_turn else Direction.ONE_WAY,
                where=HERE,
            ),
            per_kit=one.count,
            needed=one.count,
        )
        for one in asked
    ]
    return make_job(pieces, tuple(layouts), form, Basis(shop or Shop(), Unit.INCH), "the shelf")


def faults_of(job: CuttingJob, asked: Sequence[Demand]) -> list[str]:
    needs = [Need(one.key, one.across, one.along, one.count, one.may_turn) for one in asked]
    return check_job(job.layouts, needs, Shop())


@given(demands())
def test_every_plan_of_forms_passes_the_checker_and_none_beats_its_bound(
    asked: tuple[Demand, ...],
) -> None:
    answer = plan_forms(asked, FAT_QUARTER.usable_across, F(16))
    assert sum(layout.copies for layout in answer.layouts) == answer.count
    assert answer.lower_bound <= answer.count
    area = sum(one.across * one.along * one.count for one in asked)
    assert answer.count * FAT_QUARTER.usable_across * 16 >= area
    assert not faults_of(job_of(asked, answer.layouts, FAT_QUARTER), asked)


@given(demands())
def test_every_length_passes_the_checker_and_none_beats_its_bound(
    asked: tuple[Demand, ...],
) -> None:
    answer = plan_length(asked, YARDAGE.usable_across)
    assert answer.lower_bound <= answer.length
    assert answer.length * YARDAGE.usable_across >= sum(
        one.across * one.along * one.count for one in asked
    )
    assert not faults_of(job_of(asked, answer.layouts, YARDAGE), asked)
    assert not faults_of(job_of(asked, answer.easy[0].layouts, YARDAGE), asked)


@given(demands(), st.integers(1, 6), st.integers(8, 30), st.integers(1, 12))
def test_no_step_has_more_layers_than_the_shop_cuts_at_once(
    asked: tuple[Demand, ...], layers: int, ruler: int, copies: int
) -> None:
    shop = Shop(layers_per_cut=layers, ruler_length=F(ruler))
    for form, answer in (
        (FAT_QUARTER, plan_forms(asked, F(20), F(16))),
        (YARDAGE, plan_length(asked, F(40))),
    ):
        layouts = [replace(one, copies=one.copies * copies) for one in answer.layouts]
        for layout in job_of(asked, layouts, form, shop).layouts:
            for step in layout.steps:
                assert step.layers <= layers
                flat = step.action in (Action.LAY_FLAT, Action.OPEN_AND_CUT)
                spans = layout.folded and not flat and step.part_size[0] == layout.sheet[0]
                thick = step.folded_into * (2 if spans else 1)
                assert max(step.stacks) * thick == step.layers
                assert sum(step.stacks) == step.part_count


@given(demands())
def test_twice_the_kits_never_need_less_than_is_proven(asked: tuple[Demand, ...]) -> None:
    once = plan_forms(asked, F(20), F(16))
    twice = plan_forms(times(asked, 2), F(20), F(16))
    assert twice.count >= once.lower_bound
    assert twice.lower_bound <= 2 * once.count, "two kits cut one after the other would do"
    if twice.proven:
        assert twice.count <= 2 * once.count


@given(demands(), st.integers(1, 12))
def test_a_wider_form_never_needs_more(asked: tuple[Demand, ...], more: int) -> None:
    narrow = plan_forms(asked, F(20), F(16))
    wide = plan_forms(asked, 20 + F(more, 2), F(16))
    assert wide.lower_bound <= narrow.count
    assert wide.count >= 1
    if wide.proven:
        assert wide.count <= narrow.count


@given(demands(), st.integers(1, 12))
def test_a_wider_bolt_never_needs_more_length(asked: tuple[Demand, ...], more: int) -> None:
    narrow = plan_length(asked, F(40))
    wide = plan_length(asked, 40 + F(more, 2))
    assert wide.lower_bound <= narrow.length
    if wide.proven:
        assert wide.length <= narrow.length


@given(demands())
def test_a_form_off_the_bolt_and_the_bolt_agree(asked: tuple[Demand, ...]) -> None:
    """What forms hold can be cut from a length as long as all of them one after the other."""
    forms = plan_forms(asked, F(40), F(17))
    length = plan_length(asked, F(40))
    assert length.lower_bound <= forms.count * 17


@given(demands())
def test_the_same_question_has_the_same_answer_in_any_order(asked: tuple[Demand, ...]) -> None:
    one = plan_forms(asked, F(20), F(16))
    other = plan_forms(tuple(reversed(asked)), F(20), F(16))
    assert (one.count, one.lower_bound) == (other.count, other.lower_bound)

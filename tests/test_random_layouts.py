"""Whatever is cut: no step goes above the layers, past the ruler, or away from its layout."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction as F

from hypothesis import given, settings
from hypothesis import strategies as st

from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import Action, CutLayout, Step
from kitmaker.lengths import Unit
from kitmaker.shop import Shop
from kitmaker.table.checker import check_layers, check_lengths, check_ruler
from kitmaker.table.cloths import one_length
from kitmaker.table.replay import replay
from kitmaker.table.steps import StepWriter, is_folded

KEYS = "abc"


def cut_up(draw: st.DrawFn, across: F, along: F, depth: int) -> Part:
    """A part cut edge to edge at random, its leaves pieces or offcuts."""
    axis = draw(st.sampled_from(Axis))
    room = across if axis is Axis.ACROSS else along
    if depth == 0 or room < 2 or draw(st.integers(0, 4)) == 0:
        return Part(across, along, key=draw(st.sampled_from([None, *KEYS])))
    size = F(draw(st.integers(1, int(room * 2) - 1)), 2)
    times = draw(st.integers(1, min(30, int(room // size))))
    measures = (size, along) if axis is Axis.ACROSS else (across, size)
    children = [cut_up(draw, *measures, depth - 1)] * times
    rest = room - size * times
    if rest:
        measures = (rest, along) if axis is Axis.ACROSS else (across, rest)
        children.append(cut_up(draw, *measures, depth - 1))
    part = Part(across, along, axis, tuple(children))
    return part if part.tally() else Part(across, along)


@st.composite
def parts(draw: st.DrawFn) -> Part:
    across = F(draw(st.sampled_from([20, 22, 40, 42, 104])))
    part = cut_up(draw, across, F(draw(st.integers(4, 240)), 2), 3)
    return part if part.tally() else Part(part.across, part.along, key="a")


shops = st.builds(
    Shop,
    layers_per_cut=st.integers(1, 8),
    ruler_length=st.integers(6, 36).map(F),
    ruler_width=st.integers(2, 13).map(lambda n: F(n, 2)),
    re_square_every=st.integers(1, 8),
)


def cut_layout(part: Part, copies: int, first: int, shop: Shop, *, by_length: bool) -> CutLayout:
    letters = {key: key.upper() for key in KEYS}
    layout = Layout(part, copies)
    length = one_length([layout])
    steps: list[Step] = []
    for count in (first, copies - first):
        writer = StepWriter(
            shop, Unit.INCH, letters, count, is_first=not steps and bool(first), before=len(steps)
        )
        if count and by_length:
            writer.write_stretch(layout, [length])
        elif count:
            writer.write_sheet(layout, "form", measure_first=False)
        steps += writer.steps
    return CutLayout(
        name="Layout 1",
        form_id="form",
        source="",
        sheet=(part.across, part.along),
        copies=copies,
        first=first,
        folded=is_folded(part.across, shop),
        steps=tuple(steps),
        pieces=(),
        offcuts=(),
        levels=part.levels,
    )


@given(parts(), shops, st.integers(1, 40), st.integers(0, 5), st.booleans())
@settings(max_examples=200, deadline=None, derandomize=True)
def test_every_layout_can_be_cut_within_the_shops_layers_and_ruler(
    part: Part, shop: Shop, copies: int, first: int, by_length: bool
) -> None:
    layout = cut_layout(part, copies, min(first, copies), shop, by_length=by_length)
    assert check_layers(layout, shop) == []
    assert check_ruler(layout, shop) == []
    assert check_lengths([layout], shop) == []
    for step in layout.steps:
        assert step.layers <= shop.layers_per_cut
        assert thickness(layout, step) * max(step.stacks) == step.layers
        assert sum(step.stacks) == step.part_count
        for measure in step.measures:
            past = [at for at in measure.positions if at > shop.ruler_length]
            assert set(past) <= {measure.size}, "running positions end at the ruler's length"
    table = replay(layout.sheet, copies, layout.steps, by_length=by_length, first=layout.first)
    assert Counter(letter.lower() for letter, _ in table.pieces) == part.tally()


def thickness(layout: CutLayout, step: Step) -> int:
    """Layers of one part: two while it spans the fold, times what it is folded into besides."""
    opened = step.action in (Action.LAY_FLAT, Action.OPEN_AND_CUT)
    spans = layout.folded and not opened and step.part_size[0] == layout.sheet[0]
    return step.folded_into * (2 if spans else 1)

"""Is a plan right? What the steps really yield, held against what is needed.

Each rule is a function of its own, so that a refused plan says which rule it broke. None
of them knows the planner.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from kitmaker.cutting.layout import Axis, Placed
from kitmaker.cutting_jobs import Action, CutLayout, Step
from kitmaker.lengths import Length
from kitmaker.shop import Shop


@dataclass(frozen=True, slots=True)
class Parts:
    """What a piece is a part of: how many make one, and how long they must be once sewn."""

    count: int
    loss: Length
    needed: Length


@dataclass(frozen=True, slots=True)
class Need:
    """What a job must yield of one piece, independent of the planner's demands."""

    key: str  # as on the placed pieces
    # cut measures as it lies unturned, inches; ``across`` None for a strip across the whole sheet
    across: Length | None
    along: Length
    count: int  # pieces, at least 0
    may_turn: bool  # whether it may lie the other way
    part_of: Parts | None = None  # what is sewn of it; None for a piece by itself


def check_job(layouts: Sequence[CutLayout], needs: Iterable[Need], shop: Shop) -> list[str]:
    """Return what is wrong with a job's layouts, in words for ourselves; empty when right."""
    wanted = {need.key: need for need in needs}
    faults: list[str] = []
    for layout in layouts:
        faults += [f"{layout.name}: {fault}" for fault in check_layout(layout, wanted, shop)]
    faults += check_counts(layouts, wanted.values())
    faults += check_lengths(layouts, shop)
    faults += check_parts(layouts, wanted)
    return faults


def check_layout(layout: CutLayout, needs: dict[str, Need], shop: Shop) -> list[str]:
    """Return what is wrong with one layout's places and steps."""
    return [
        *check_inside(layout),
        *check_apart(layout),
        *check_all_cloth(layout),
        *check_sizes(layout, needs),
        *check_layers(layout, shop),
        *check_ruler(layout, shop),
    ]


def check_layers(layout: CutLayout, shop: Shop) -> list[str]:
    """No step has more thicknesses of cloth under the blade than the shop cuts at once."""
    faults: list[str] = []
    for step in layout.steps:
        layers = max(step.stacks, default=0) * _thickness(layout, step)
        if layers != step.layers:
            faults.append(f"step {step.number} says {step.layers} layers where {layers} lie")
        if layers > shop.layers_per_cut:
            faults.append(f"step {step.number} cuts {layers} layers, {shop.layers_per_cut} allowed")
    return faults


def _thickness(layout: CutLayout, step: Step) -> int:
    """How many layers one part has: what is as wide as folded cloth lies folded until opened."""
    is_opened = step.action in (Action.LAY_FLAT, Action.OPEN_AND_CUT)
    is_folded = layout.folded and not is_opened and step.part_size[0] == layout.sheet[0]
    return (2 if is_folded else 1) * step.folded_into


def check_ruler(layout: CutLayout, shop: Shop) -> list[str]:
    """No cut and no running position goes past the ruler's end."""
    faults: list[str] = []
    for step in layout.steps:
        across, along = step.part_size
        is_long_cut = step.action is not Action.SQUARE_UP
        line = (along if step.axis is Axis.ACROSS else across) / _thickness(layout, step)
        if is_long_cut and line > shop.ruler_length * step.placements:
            faults.append(f"step {step.number} cuts farther than the ruler is laid")
        for measure in step.measures:
            past = [at for at in measure.positions if at > shop.ruler_length]
            if any(at != measure.size for at in past):
                faults.append(f"step {step.number} sets the ruler past its end")
            needs_tape = measure.size > 2 * shop.ruler_width
            if is_long_cut and needs_tape and not step.by_tape:
                faults.append(f"step {step.number} sets a measure that two rulers do not reach")
    return faults


def check_lengths(layouts: Iterable[CutLayout], shop: Shop) -> list[str]:
    """Each length is straightened once, and trued before more strips than the shop allows."""
    faults: list[str] = []
    straightened: Counter[str] = Counter()
    untrued: Counter[str] = Counter()
    steps = [step for layout in layouts for step in layout.steps if not step.part]
    for step in sorted(steps, key=lambda one: not one.first):
        if step.action is Action.STRAIGHTEN:
            straightened[step.cloth] += 1
            untrued[step.cloth] = 0
        elif step.cloth in straightened:
            for cut in range(1, len(step.measures[0].positions) + 1):
                untrued[step.cloth] += 1
                if untrued[step.cloth] > shop.re_square_every and shop.re_square:
                    faults.append(f"strip {cut} of step {step.number} is cut off an untrued edge")
                if cut in step.re_square_after:
                    untrued[step.cloth] = 0
    faults += [
        f"{cloth or 'it'} is straightened twice"
        for cloth in straightened - Counter(set(straightened))
    ]
    return faults


def check_inside(layout: CutLayout) -> list[str]:
    """Every piece lies inside the usable size."""
    across, along = layout.sheet
    return [
        f"{piece.key} lies outside the usable size"
        for piece in layout.pieces
        if piece.x < 0 or piece.y < 0 or piece.x + piece.w > across or piece.y + piece.h > along
    ]


def check_apart(layout: CutLayout) -> list[str]:
    """No two pieces overlap; along the cloth only neighbors can."""
    places = sorted(layout.pieces, key=lambda piece: piece.y)
    faults: list[str] = []
    for at, place in enumerate(places, start=1):
        end = place.y + place.h
        for other in islice(places, at, None):
            if other.y >= end:
                break
            if _overlap(place, other):
                faults.append(f"{place.key} and {other.key} overlap")
    return faults


def _overlap(placed: Placed, other: Placed) -> bool:
    return (
        placed.x < other.x + other.w
        and other.x < placed.x + placed.w
        and placed.y < other.y + other.h
        and other.y < placed.y + placed.h
    )


def check_all_cloth(layout: CutLayout) -> list[str]:
    """Pieces and offcuts together are the whole sheet: every cut went edge to edge."""
    across, along = layout.sheet
    area = sum((piece.w * piece.h for piece in layout.pieces), start=across * 0)
    area += sum((offcut.area for offcut in layout.offcuts), start=across * 0)
    return [] if area == across * along else ["pieces and offcuts are not the whole sheet"]


def check_sizes(layout: CutLayout, needs: dict[str, Need]) -> list[str]:
    """Every piece has its cut size and lies as it may."""
    faults: list[str] = []
    for piece in layout.pieces:
        need = needs.get(piece.key)
        if need is None:
            faults.append(f"{piece.key} is not needed")
            continue
        across = layout.sheet[0] if need.across is None else need.across
        straight = (piece.w, piece.h) == (across, need.along)
        turned = (piece.h, piece.w) == (across, need.along)
        if straight and not piece.turned:
            continue
        if turned and piece.turned and need.may_turn:
            continue
        faults.append(f"{piece.key} is cut to another size or lies as it may not")
    return faults


def check_parts(layouts: Iterable[CutLayout], needs: Mapping[str, Need]) -> list[str]:
    """Parts come as often as whole pieces are sewn of them, and reach once they are sewn."""
    faults = [
        f"{need.key}: {need.count} parts are no whole number of {need.part_of.count}"
        for need in needs.values()
        if need.part_of is not None and need.count % need.part_of.count
    ]
    for piece in (piece for layout in layouts for piece in layout.pieces):
        parts = needs[piece.key].part_of if piece.key in needs else None
        if parts is None:
            continue
        reach = (side * parts.count - parts.loss * (parts.count - 1) for side in (piece.w, piece.h))
        if max(reach) < parts.needed:
            faults.append(f"{piece.key}: {parts.count} parts sewn together are too short")
    return faults


def check_counts(layouts: Iterable[CutLayout], needs: Iterable[Need]) -> list[str]:
    """Every piece is made as often as needed."""
    made: Counter[str] = Counter()
    for layout in layouts:
        for piece in layout.pieces:
            made[piece.key] += layout.copies
    return [
        f"{need.key}: {made[need.key]} made, {need.count} needed"
        for need in needs
        if made[need.key] < need.count
    ]

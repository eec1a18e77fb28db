"""The sentence a cutter reads for each step."""

from __future__ import annotations

from collections.abc import Sequence

from kitmaker.cutting.layout import Axis
from kitmaker.lengths import Length, Unit, say_size, say_usable
from kitmaker.plan import Action, Measure, Step
from kitmaker.shop import Shop

_SHOWN = 12
"""Ruler positions are written out up to this many; then only the first and the last."""


def sentence(
    step: Step, unit: Unit, shop: Shop, *, form_name: str = "", measure_first: bool = False
) -> str:
    """Return what a step says on paper.

    Args:
        step: The step, its text still empty.
        unit: What measures are said in.
        shop: The losses in force.
        form_name: What is squared up, for that step only.
        measure_first: Whether the layout needs the full usable size.
    """
    if step.action is Action.SQUARE_UP:
        return _square_up(step, unit, form_name, measure_first=measure_first)
    if step.action is Action.STRAIGHTEN:
        size = _measure(shop.straighten, unit)
        return (
            "Press. Fold selvage to selvage until the fold hangs flat, then straighten the cut "
            f"end (up to {size} comes off)."
            if shop.straighten
            else "Press. Fold selvage to selvage until the fold hangs flat. The end is straight."
        )
    return " ".join(part for part in (_before(step, unit, shop), _cuts(step, unit, shop)) if part)


def _square_up(step: Step, unit: Unit, form_name: str, *, measure_first: bool) -> str:
    across, along = step.part_size
    size = f"{say_usable(across, unit)} × {say_usable(along, unit)} {unit.value}"
    first = f"Press each {form_name} and square it up."
    if measure_first:
        return f"{first} Measure first: this layout needs the full {size}, across × along."
    return f"{first} It must still measure at least {size}, across × along."


def _measure(length: Length, unit: Unit) -> str:
    return f"{say_size(length, unit)} {unit.value}"


def _before(step: Step, unit: Unit, shop: Shop) -> str:
    """How the cloth lies before the ruler comes down."""
    words = [_stacking(step)]
    if step.action is Action.OPEN_AND_CUT:
        words.append("Open what is left in the middle so that it lies flat.")
    if step.action is Action.LAY_FLAT:
        words.append("Open it out so that it lies flat.")
    if step.action is Action.CUT_PAIRS:
        words.append("Keep the fold and start at the selvage end.")
    if step.folded_into > 1:
        line = step.part_size[1] if step.axis is Axis.ACROSS else step.part_size[0]
        words.append(
            f"Fold it end to end into {step.folded_into}, so that the {_measure(line, unit)} cut "
            f"fits the {_measure(shop.ruler_length, unit)} ruler."
        )
    return " ".join(word for word in words if word)


def _stacking(step: Step) -> str:
    what = f"part {step.part}" if step.part else "sheet"
    if step.part_count == 1:
        return f"Take {what}." if step.part else ""
    if len(step.stacks) == 1:
        return f"Stack all {step.part_count} of {what} ({_layers(step)})."
    counts = sorted(set(step.stacks), reverse=True)
    if counts == [1]:
        return f"Take {what}, {step.part_count} in all, one at a time."
    heights = " and ".join(str(count) for count in counts)
    at_most = " at most" if len(counts) > 1 else " each"
    return (
        f"Take {what}, {step.part_count} in all: make {len(step.stacks)} stacks of {heights} "
        f"({_layers(step)}{at_most})."
    )


def _layers(step: Step) -> str:
    return f"{step.layers} layer{'s' if step.layers != 1 else ''}"


def _cuts(step: Step, unit: Unit, shop: Shop) -> str:
    clauses = [_clause(step, measure, unit, shop) for measure in step.measures]
    text = "; then ".join(clauses)
    text = text[0].upper() + text[1:] + "."
    if step.re_square_after:
        text += f" Re-square the edge after cut {_list(step.re_square_after)}."
    return text


def _clause(step: Step, measure: Measure, unit: Unit, shop: Shop) -> str:
    size = _measure(measure.size, unit)
    if measure.size > shop.ruler_width:
        size += " (two rulers side by side)"
    positions = _positions(measure.positions, unit)
    gives = f"piece {measure.gives}" if measure.is_piece else f"part {measure.gives}"
    return f"{_what(step, measure, size)}{positions}: {gives}"


def _what(step: Step, measure: Measure, size: str) -> str:
    if step.action is Action.CUT_PAIRS:
        pairs = measure.times // 2
        return f"cut {pairs} pair{'s' if pairs != 1 else ''} at {size}"
    if not step.part and step.axis is Axis.ALONG:
        noun = "strip" if measure.times == 1 else "strips"
        return f"cut {measure.times} {noun} {size} wide, across the fabric"
    way = "across the fabric" if step.axis is Axis.ALONG else "along the selvage"
    if measure.times == 1 and len(step.measures) == 1 and measure.is_piece:
        return f"trim to {size}, cutting {way}"
    return f"cut {measure.times} at {size}, cutting {way}"


def _positions(positions: Sequence[Length], unit: Unit) -> str:
    """Say where the ruler goes; one position says nothing that the size does not."""
    if len(positions) == 1:
        return ""
    said = [say_size(position, unit) for position in positions]
    if len(said) > _SHOWN:
        said = [*said[:4], "…", said[-1]]
    return f" (ruler at {', '.join(said)})"


def _list(numbers: Sequence[int]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"

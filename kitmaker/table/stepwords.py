"""The sentence a cutter reads for each step: what to take, how it lies, what to cut.

It is written to be read aloud to someone with a cutter in hand: the parts and how high they
are stacked, then the fold, then one cut after another with what each of them gives.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from kitmaker.cutting.layout import Axis
from kitmaker.lengths import Length, Unit, say_size, say_usable
from kitmaker.plan import Action, Measure, Step
from kitmaker.shop import Shop

SHOWN_IN_A_SENTENCE = 8
"""Ruler positions stand in the sentence up to this many; more stand on a line of their own."""

_LONGEST_SET: Length = Fraction(24)
"""Longer measures are taken one at a time; no ruler shows their running sum."""


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
        return _straighten(step, unit, shop)
    words = (_before(step, unit, shop), _cuts(step, unit), _after(step, unit, shop))
    return " ".join(part for part in words if part)


def _square_up(step: Step, unit: Unit, form_name: str, *, measure_first: bool) -> str:
    across, along = step.part_size
    size = f"{say_usable(across, unit)} × {say_usable(along, unit)} {unit.value}"
    each = f"each {form_name}" if step.part_count > 1 else f"the {form_name}"
    first = f"Press {each} and square it up."
    if step.measures:
        piece = step.measures[0].gives
        return f"Press {each}. It is piece {piece} as it stands: measure it, {size}."
    if measure_first:
        return f"{first} Measure first: this layout needs the full {size}, across × along."
    return f"{first} It must still measure at least {size}, across × along."


def _straighten(step: Step, unit: Unit, shop: Shop) -> str:
    fold = "Fold it selvage to selvage until the fold hangs flat" if step.layers > 1 else ""
    if not shop.straighten:
        return " ".join(part for part in ("Press.", f"{fold}." if fold else "") if part) + (
            " The end is straight."
        )
    trim = f"traighten the cut end: up to {_measure(shop.straighten, unit)} comes off."
    return f"Press. {fold}, then s{trim}" if fold else f"Press. S{trim}"


def _measure(length: Length, unit: Unit) -> str:
    return f"{say_size(length, unit)} {unit.value}"


def _before(step: Step, unit: Unit, shop: Shop) -> str:
    """How the cloth lies before the ruler comes down."""
    words = [_opening(step) if step.action in _OPENED else _taking(step, unit)]
    if step.action is Action.CUT_PAIRS:
        words.append("Keep the fold and start at the selvages.")
    if step.folded_into > 1:
        line = step.part_size[1] if step.axis is Axis.ACROSS else step.part_size[0]
        words.append(
            f"Fold it end to end into {step.folded_into}, so that the {_measure(line, unit)} cut "
            f"fits the {_measure(shop.ruler_length, unit)} ruler."
        )
    return " ".join(word for word in words if word)


_OPENED = (Action.OPEN_AND_CUT, Action.LAY_FLAT)


def _opening(step: Step) -> str:
    """What was folded is opened, and then stacked."""
    middle = step.action is Action.OPEN_AND_CUT
    if step.part_count == 1:
        what = f"part {step.part}" if step.part else "the sheet"
        return (
            f"Open the middle left of {what} and lay it flat."
            if middle
            else (f"Take {what}. Open it out flat.")
        )
    what = f"of part {step.part}" if step.part else "sheets"
    opened = f"{step.part_count} middles left {what}" if middle else f"{step.part_count} {what}"
    return f"Open the {opened} out flat and {_stacking(step)}."


def _taking(step: Step, unit: Unit) -> str:
    """What to take and how high to stack it; a part is named with its size."""
    if not step.part:
        if step.part_count == 1:
            return ""
        said = "both" if step.part_count == 2 else f"all {step.part_count}"
    else:
        across, along = step.part_size
        said = f"part {step.part} ({say_size(across, unit)} × {_measure(along, unit)})"
        if step.part_count > 1:
            said = f"the {step.part_count} of {said}"
    if step.part_count == 1:
        return f"Take {said}."
    stacking = _stacking(step)
    return f"Take {said} and {stacking}."


def _stacking(step: Step) -> str:
    counts = sorted(set(step.stacks), reverse=True)
    if counts == [1]:
        return "cut them one by one"
    if len(step.stacks) == 1:
        return f"stack them ({_layers(step)})"
    high = " or ".join(str(count) for count in counts)
    most = " at most" if len(counts) > 1 else ""
    return f"stack them {high} high, {len(step.stacks)} stacks ({_layers(step)}{most})"


def _layers(step: Step) -> str:
    return f"{step.layers} layer{'s' if step.layers != 1 else ''}"


def _cuts(step: Step, unit: Unit) -> str:
    """The cuts in order; how the ruler lies is said once, at the first."""
    first, *others = step.measures
    if len(step.measures) == 1 and first.times == 1 and first.is_piece and step.part:
        return f"Trim {_way(step)} to {_measure(first.size, unit)}: {_gives(first)}."
    clauses = [_clause(step, measure, unit) for measure in (first, *others)]
    return f"Cut {_way(step)}: {'; then '.join(clauses)}."


def _way(step: Step) -> str:
    return "across the fabric" if step.axis is Axis.ALONG else "along the selvage"


def _clause(step: Step, measure: Measure, unit: Unit) -> str:
    size = _measure(measure.size, unit)
    if step.action is Action.CUT_PAIRS:
        pairs = measure.times // 2
        said = f"{pairs} pair{'s' if pairs != 1 else ''} at {size}"
    elif not step.part and step.axis is Axis.ALONG:
        said = f"{measure.times} strip{'s' if measure.times != 1 else ''} {size} wide"
    else:
        said = f"{measure.times} at {size}"
    return f"{said}{_positions(measure, unit)} – {_gives(measure)}"


def _gives(measure: Measure) -> str:
    return f"piece {measure.gives}" if measure.is_piece else f"part {measure.gives}"


def _positions(measure: Measure, unit: Unit) -> str:
    """Say where the ruler goes; one position says nothing that the size does not."""
    positions = measure.positions
    alone = len(positions) == 1 and positions[0] == measure.size
    if alone or len(positions) > SHOWN_IN_A_SENTENCE or measure.size > _LONGEST_SET:
        return ""
    return f" (ruler at {', '.join(say_size(position, unit) for position in positions)})"


def _after(step: Step, unit: Unit, shop: Shop) -> str:
    words = []
    if step.re_square_after:
        words.append(f"Re-square the edge after cut {_cut_numbers(step.re_square_after)}.")
    wide = [measure for measure in step.measures if measure.size > shop.ruler_width]
    if wide:
        which = " and ".join(dict.fromkeys(_measure(measure.size, unit) for measure in wide))
        words.append(f"Two rulers side by side for {which}.")
    return " ".join(words)


def _cut_numbers(numbers: Sequence[int]) -> str:
    """Say after which cuts; a long even row by its first and its step."""
    steps = {later - earlier for earlier, later in pairwise(numbers)}
    if len(numbers) > 3 and len(steps) == 1:
        return f"{numbers[0]}, and then after every {steps.pop()}"
    return _list(numbers)


def _list(numbers: Sequence[int]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"

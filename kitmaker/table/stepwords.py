"""The sentence a cutter reads for each step: what to take, how it lies, what to cut.

It is written to be read aloud to someone with a cutter in hand: the parts and how high they
are stacked, then the fold, then one cut after another with what each of them gives.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from kitmaker.cutting.layout import Axis
from kitmaker.cutting_jobs import Action, Measure, Step
from kitmaker.lengths import Length, Unit, say_size, say_usable
from kitmaker.shop import Shop


def sentence(
    step: Step,
    unit: Unit,
    shop: Shop,
    *,
    form_name: str = "",
    measure_first: bool = False,
    is_on_the_table: bool = False,
) -> str:
    """Return what a step says on paper.

    Args:
        step: The step, its text still empty.
        unit: What measures are said in.
        shop: Its losses.
        form_name: What is squared up, for that step only.
        measure_first: Whether the layout needs the full usable size.
        is_on_the_table: Whether the step before has taken the same length.
    """
    if is_on_the_table and step.part_count == 1:
        step = replace(step, cloth="")
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
    take = f"Take {step.cloth}. " if step.cloth else ""
    first = f"{take}Press {each} and square it up."
    if step.measures:
        piece = step.measures[0].gives
        return f"{take}Press {each}. It is piece {piece} as it stands: measure it, {size}."
    if measure_first:
        return f"{first} Measure first: this layout needs the full {size}, across × along."
    return f"{first} It must still measure at least {size}, across × along."


def _straighten(step: Step, unit: Unit, shop: Shop) -> str:
    words = [f"Take {step.cloth}." if step.cloth else "", "Press."]
    trim = f"traighten the cut end: up to {_measure(shop.straighten, unit)} comes off."
    if step.layers > 1:
        fold = "Fold it selvage to selvage until the fold hangs flat"
        fold += f", then again into {step.layers} layers" if step.folded_into > 1 else ""
        words.append(f"{fold}, then s{trim}" if shop.straighten else f"{fold}.")
    elif shop.straighten:
        words.append(f"S{trim}")
    if not shop.straighten:
        words.append("The end is straight.")
    words.append(_along_the_cut(step, unit, shop))
    return " ".join(word for word in words if word)


def _measure(length: Length, unit: Unit) -> str:
    return f"{say_size(length, unit)} {unit.value}"


def _before(step: Step, unit: Unit, shop: Shop) -> str:
    """How the cloth lies before the ruler comes down."""
    words = [_opening(step) if step.action in OPENED else _taking(step, unit)]
    if step.action is Action.CUT_PAIRS:
        words.append("Keep the fold; trim off the selvages and measure from there.")
    words.append(_along_the_cut(step, unit, shop))
    return " ".join(word for word in words if word)


def _along_the_cut(step: Step, unit: Unit, shop: Shop) -> str:
    """Say how a cut that is longer than the ruler is made."""
    is_lengthwise = step.axis is Axis.ACROSS
    line = step.part_size[1] if is_lengthwise else step.part_size[0]
    ruler = f"the {_measure(shop.ruler_length, unit)} ruler"
    lies = step.layers // (max(step.stacks) * step.folded_into)
    words = []
    if step.folded_into > 1 and (is_lengthwise or lies == 1):
        how = "end to end" if is_lengthwise else "side to side"
        fits = f", so that the {_measure(line, unit)} cut fits {ruler}"
        words.append(f"Fold it {how} into {step.folded_into}{'' if step.placements > 1 else fits}.")
    elif step.folded_into > 1 and step.part:
        words.append(f"Fold it again, into {lies * step.folded_into} layers.")
    if step.placements > 1:
        long = line / (step.folded_into * (1 if is_lengthwise else lies))
        words.append(
            f"Each cut is {_measure(long, unit)} long: mark it by the mat’s lines or with a tape, "
            f"and move {ruler} on along it."
        )
    return " ".join(words)


OPENED = (Action.OPEN_AND_CUT, Action.LAY_FLAT)
"""What is done with cloth that no longer lies folded selvage to selvage."""


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
    return f"Open the {opened} out flat{_stacking(step)}"


def _taking(step: Step, unit: Unit) -> str:
    """What to take and how high to stack it; a part is named with its size."""
    if not step.part:
        if step.part_count == 1:
            return f"Take {step.cloth}." if step.cloth else ""
        said = step.cloth or ("both" if step.part_count == 2 else f"all {step.part_count}")
    else:
        across, along = step.part_size
        said = f"part {step.part} ({say_size(across, unit)} × {_measure(along, unit)})"
        if step.part_count > 1:
            said = f"the {step.part_count} of {said}"
    if step.part_count == 1:
        return f"Take {said}."
    return f"Take {said}{_stacking(step)}"


def _stacking(step: Step) -> str:
    """Say how high parts are stacked, the first kit's before the others; ends the sentence."""
    first, others = step.stacks_by_kit
    if not first or not others:
        return f" and {_stack(step.stacks, 'them', step)}."
    own = "" if max(first) == 1 else f", {_heights(first)} high"
    rest = f"the other {sum(others)}" if sum(others) > 1 else "the other one"
    return f". Cut the first kit’s {sum(first)}{own}; then {_stack(others, rest, step)}."


def _stack(stacks: Sequence[int], what: str, step: Step) -> str:
    if max(stacks) == 1:
        return f"cut {what} one by one" if len(stacks) > 1 else f"cut {what}"
    layers = step.layers // max(step.stacks) * max(stacks)
    most = " at most" if len(set(stacks)) > 1 else ""
    said = f"({layers} layers{most})"
    if len(stacks) == 1:
        return f"stack {what} {said}"
    comma = "," if what[-1].isdigit() else ""
    return f"stack {what}{comma} {_heights(stacks)} high, {len(stacks)} stacks {said}"


def _heights(stacks: Sequence[int]) -> str:
    return " or ".join(str(height) for height in sorted(set(stacks), reverse=True))


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
        if 0 < step.first_strips < measure.times:
            said += f", {step.first_strips} of them for the first kit"
    else:
        said = f"{measure.times} at {size}"
    return f"{said}{_positions(measure, unit)} – {_gives(measure)}"


def _gives(measure: Measure) -> str:
    return f"piece {measure.gives}" if measure.is_piece else f"part {measure.gives}"


def _positions(measure: Measure, unit: Unit) -> str:
    """Say where the ruler goes: all positions from one edge, and that others start over.

    One position says nothing that the size does not.
    """
    if set(measure.positions) == {measure.size}:
        return ""
    run = measure.longest_run
    said = ", ".join(say_size(position, unit) for position in run)
    again = ", and again from each new edge" if len(run) < len(measure.positions) else ""
    return f" (ruler at {said}{again})"


def _after(step: Step, unit: Unit, shop: Shop) -> str:
    words = []
    if step.re_square_after:
        cuts = "cut" if len(step.re_square_after) == 1 else "cuts"
        most = f"{_measure(shop.re_square, unit)} at most"
        which = _cut_numbers(step.re_square_after)
        words.append(f"Re-square the edge after {cuts} {which}: take off {most}.")
    one = shop.ruler_width
    sizes = dict.fromkeys(measure.size for measure in step.measures if measure.size > one)
    two = [_measure(size, unit) for size in sizes if size <= 2 * one]
    tape = [_measure(size, unit) for size in sizes if size > 2 * one]
    if two:
        words.append(f"Two rulers side by side for {' and '.join(two)}.")
    if tape:
        words.append(f"Measure {' and '.join(tape)} by the mat’s lines or with a tape.")
    return " ".join(words)


def _cut_numbers(numbers: Sequence[int]) -> str:
    """Say after which cuts; a long even row by its first and its step."""
    steps = {later - earlier for earlier, later in pairwise(numbers)}
    if len(numbers) > 3 and len(steps) == 1:
        return f"{numbers[0]} and {numbers[1]}, and so on after every {steps.pop()}"
    return _list(numbers)


def _list(numbers: Sequence[int]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"

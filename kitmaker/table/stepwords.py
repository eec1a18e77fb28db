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
from kitmaker.lengths import Length, Unit, say_length, say_size, say_usable
from kitmaker.shop import Shop


def sentence(
    step: Step,
    unit: Unit,
    shop: Shop,
    *,
    form_name: str = "",
    measure_first: bool = False,
    onward: str = "",
    comes_folded: bool = False,
) -> str:
    """Return what a step says on paper.

    The form is what is squared up, for that step only; ``onward`` says where a length is found
    that has been cut before; parts that come folded lie as they were for a long cut.
    """
    if step.action is Action.SQUARE_UP:
        return _square_up(step, unit, form_name, measure_first=measure_first)
    if step.action is Action.STRAIGHTEN:
        return _straighten(step, unit, shop)
    before = _before(step, unit, shop, comes_folded=comes_folded)
    words = (onward, before, _cuts(step, unit, shop), _after(step, unit, shop))
    return " ".join(part for part in words if part)


def _square_up(step: Step, unit: Unit, form_name: str, *, measure_first: bool) -> str:
    across, along = step.part_size
    size = f"{say_usable(across, unit)} × {say_usable(along, unit)} {unit.value}"
    each = f"each {form_name}" if step.part_count > 1 else f"the {form_name}"
    press = f"Take {step.cloth}. Press {each}." if step.cloth else f"Press {each}."
    if step.measures:
        piece = step.measures[0].gives
        return f"{press} It is piece {piece} as it stands: measure it, {size}."
    if measure_first:
        return f"{press} Measure it: it must be at least {size}, across × along."
    stacked = f", {_stack(step)}" if max(step.stacks) > 1 else ""
    return (
        f"{press.removesuffix('.')}{stacked} and square up the left and the top edge as drawn. "
        f"At least {size}, across × along, must be left."
    )


def _straighten(step: Step, unit: Unit, shop: Shop) -> str:
    words = [f"Take {step.cloth}." if step.cloth else "", "Press."]
    trim = f"traighten the cut end: up to {say_length(shop.straighten, unit)} comes off."
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


_MAT = 36  # inches of a mat's lines; common practice, no source
_FEW_STACKS = 4  # of unlike height, which are named one by one


def _before(step: Step, unit: Unit, shop: Shop, *, comes_folded: bool) -> str:
    """How the cloth lies before the ruler comes down."""
    opened = step.action in OPENED
    words = [_opening(step) if opened else _taking(step, unit, comes_folded=comes_folded)]
    words.append(_along_the_cut(step, unit, shop))
    if step.trims_selvage:
        both = step.action is Action.CUT_PAIRS
        which = "Keep the fold; trim off the selvages" if both else "Trim off one selvage"
        words.append(f"{which} and measure from there.")
    return " ".join(word for word in words if word)


def _along_the_cut(step: Step, unit: Unit, shop: Shop) -> str:
    """Say how a cut that is longer than the ruler is made."""
    is_lengthwise = step.axis is Axis.ACROSS
    line = step.part_size[1] if is_lengthwise else step.part_size[0]
    ruler = f"the {say_length(shop.ruler_length, unit)} ruler"
    it = "it" if step.part_count == 1 else "each" if max(step.stacks) == 1 else "them"
    lies = step.layers // (max(step.stacks) * step.folded_into)
    words = []
    if step.folded_into > 1 and (is_lengthwise or lies == 1):
        how = "cut end to cut end" if is_lengthwise else "side to side"
        how += ", then in half again," if step.folded_into > 2 else ""
        fits = f", so that the {say_length(line, unit)} cut fits {ruler}"
        words.append(
            f"Fold {it} {how} into {step.layers} layers{'' if step.placements > 1 else fits}."
        )
    elif step.folded_into > 1 and step.part:
        words.append(f"Fold {it} again, into {lies * step.folded_into} layers.")
    if step.placements > 1:
        long = line / (step.folded_into * (1 if is_lengthwise else lies))
        words.append(
            f"Each cut is {say_length(long, unit)} long: mark it with a tape, and move {ruler} on "
            "along the marks, and the mat where it ends."
        )
    return " ".join(words)


OPENED = (Action.OPEN_AND_CUT, Action.LAY_FLAT)
"""What is done with cloth that no longer lies folded selvage to selvage."""


def _opening(step: Step) -> str:
    """What was folded is opened, and then stacked."""
    one = step.part_count == 1
    if step.action is Action.OPEN_AND_CUT:
        what = "middle that is" if one else f"{step.part_count} middles that are"
        what = f"{what} left{f' of part {step.part}' if step.part else ''}"
    elif step.part:
        what = f"part {step.part}" if one else f"{step.part_count} of part {step.part}"
    else:
        what = "sheet" if one else f"{step.part_count} sheets"
    the = "" if one and what.startswith("part") else "the "
    return f"Open {the}{what} out flat{'' if one else f' and {_stack(step)}'}."


def _taking(step: Step, unit: Unit, *, comes_folded: bool) -> str:
    """What to take and how high to stack it; a part is named with its size."""
    if not step.part:
        if step.part_count == 1:
            return ""
        said = step.cloth or ("both" if step.part_count == 2 else f"all {step.part_count}")
    else:
        across, along = step.part_size
        said = f"part {step.part} ({say_size(across, unit)} × {say_length(along, unit)})"
        if step.part_count > 1:
            said = f"the {step.part_count} of {said}"
    lie = ""
    if comes_folded:
        keeps_fold = step.layers > max(step.stacks) * step.folded_into
        it = "it" if step.part_count == 1 else "them"
        lie = "open the second fold" if keeps_fold else f"open {it} out flat"
    if step.part_count == 1:
        return f"Take {said}{f' and {lie}' if lie else ''}."
    return f"Take {said}{f', {lie}' if lie else ''} and {_stack(step)}."


def _stack(step: Step) -> str:
    stacks = step.stacks
    if max(stacks) == 1:
        return "cut them one by one"
    most = " at most" if len(set(stacks)) > 1 else ""
    text = f"({step.layers // step.folded_into} layers{most})"
    if len(stacks) == 1:
        return f"stack them {text}"
    if len(set(stacks)) > 1 and len(stacks) <= _FEW_STACKS:
        return f"stack them {_list(stacks)} high {text}"
    heights = " or ".join(str(height) for height in sorted(set(stacks), reverse=True))
    return f"stack them {heights} high, {len(stacks)} stacks {text}"


def _cuts(step: Step, unit: Unit, shop: Shop) -> str:
    """The cuts in order; how the ruler lies is said once, at the first."""
    first = step.measures[0]
    if len(step.measures) == 1 and first.times == 1 and first.is_piece and step.part:
        is_wide = first.size < _room(step)
        text = f"Trim {_way(step)} to {say_length(first.size, unit)}"
        return f"{text}{'' if is_wide else ', if it is wider,'} for {_gives(first)}."
    measures, left = step.measures, ""
    if step.last_is_left:
        last = measures[-1]
        measures = (*measures[:-1], replace(last, positions=last.positions[:-1]))
        left = "; the last is what is left"
    clauses = [_clause(step, measure, unit, shop) for measure in measures]
    is_whole = sum(measure.size * measure.times for measure in measures) == _room(step)
    if step.part and is_whole and not step.last_is_left and measures[-1].times > 1:
        left = "; trim the last only if it is wider"
    return f"Cut {_way(step)}: {'; slide the edge just cut to 0, then '.join(clauses)}{left}."


def _room(step: Step) -> Length:
    """Return the inches of a part in the direction in which it is cut up."""
    return step.part_size[step.axis is Axis.ALONG]


def _way(step: Step) -> str:
    return "across the fabric" if step.axis is Axis.ALONG else "parallel to the selvages"


def _clause(step: Step, measure: Measure, unit: Unit, shop: Shop) -> str:
    size = say_length(measure.size, unit)
    if step.action is Action.CUT_PAIRS:
        pairs = measure.times // 2
        what = f"{pairs} cuts at {size} for pairs" if pairs > 1 else f"1 cut at {size} for a pair"
        return f"{what} of {_gives(measure)}{_marks(measure, unit, shop)}"
    if not step.part and step.axis is Axis.ALONG:
        plural = "s" if measure.times > 1 else ""
        is_long = measure.size > shop.ruler_length
        what = f"length{plural} of {size}" if is_long else f"strip{plural} {size} wide"
        text = f"{measure.times} {what}"
    else:
        text = f"{measure.times} at {size}"
    return f"{text} for {_gives(measure)}{_marks(measure, unit, shop)}"


def _gives(measure: Measure) -> str:
    return f"piece {measure.gives}" if measure.is_piece else f"part {measure.gives}"


def _marks(measure: Measure, unit: Unit, shop: Shop) -> str:
    """Say where the ruler goes, and what measures where it does not reach; "" for one cut.

    All marks of a run count from one edge; one mark says nothing that the size does not.
    """
    size, at = measure.size, measure.positions
    if set(at) <= {size}:
        return " (each time from the edge just cut)" if len(at) > 1 else ""
    run = measure.longest_run
    tools: dict[str, list[str]] = {"ruler at": [], "mat at": []}
    for mark in run:
        tool = "ruler at" if mark <= shop.ruler_width else "mat at"
        tools[tool].append(say_size(mark, unit))
    text = "; ".join(f"{tool} {', '.join(marks)}" for tool, marks in tools.items() if marks)
    again = "; and again from each new edge" if len(run) < len(at) else ""
    return f" ({text}{again})"


def _after(step: Step, unit: Unit, shop: Shop) -> str:
    words = []
    if step.re_square_after:
        most = f"{say_length(shop.re_square, unit)} at most"
        cuts = sum(len(measure.positions) for measure in step.measures)
        which = _cut_numbers(step.re_square_after, cuts)
        words.append(f"Re-square ({most}) and start at 0 again after {which}.")
    one = shop.ruler_width
    sizes = dict.fromkeys(measure.size for measure in step.measures if measure.size > one)
    two = [say_length(size, unit) for size in sizes if size <= 2 * one]
    tape = [say_length(size, unit) for size in sizes if size > 2 * one]
    if two:
        words.append(f"Two rulers side by side for {' and '.join(two)}.")
    if tape:
        tool = (
            "with a tape"
            if max(measure.size for measure in step.measures) > _MAT
            else ("by the mat’s lines or with a tape")
        )
        words.append(f"Measure {' and '.join(tape)} {tool}.")
    return " ".join(words)


def _cut_numbers(numbers: Sequence[int], cuts: int) -> str:
    """Say after which of so many cuts; a long even row by its first and its step."""
    steps = {later - earlier for earlier, later in pairwise(numbers)}
    if len(numbers) > 3 and len(steps) == 1:
        every = steps.pop()
        last = " but the last" if numbers[-1] + every == cuts else ""
        return f"cut {numbers[0]}, then after every {every}{last}"
    return f"cut{'s' if len(numbers) > 1 else ''} {_list(numbers)}"


def _list(numbers: Sequence[int]) -> str:
    said = [str(number) for number in numbers]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"

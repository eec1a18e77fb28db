"""Cut a layout again, from its printed steps alone.

This module knows nothing of how a plan was found. It takes a sheet of cloth and does what
the steps say, cut after cut, with the folds and pairs as written; what lies on the table
afterwards is what every page and label shows. :mod:`kitmaker.table.checker` compares it with
what was needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import takewhile

from kitmaker.cutting.layout import Axis, Rect
from kitmaker.cutting_jobs import Action, Mark, Measure, Step
from kitmaker.lengths import EIGHTH, Length


class ReplayError(ValueError):
    """The steps cannot be done as they are written."""


@dataclass(slots=True)
class Table:
    """What lies on the cutting table for one copy of a layout."""

    # parts not yet cut, by name; several may share one
    parts: dict[str, list[Rect]] = field(default_factory=dict)
    # (letter, place) of finished pieces, in cutting order
    pieces: list[tuple[str, Rect]] = field(default_factory=list)
    offcuts: list[Rect] = field(default_factory=list)  # what is left over
    cuts: list[Mark] = field(default_factory=list)  # the cuts made, by the numbers of their steps
    cut_up: list[Mark] = field(default_factory=list)  # parts that were there once, by name


def replay(
    sheet: tuple[Length, Length],
    copies: int,
    steps: tuple[Step, ...],
    *,
    by_length: bool,
    first: int = 0,
) -> Table:
    """Do the steps on one sheet, or on one of the stretches that the first cut makes.

    The sheet is the usable area, (across, along) inches; the first cut of what is ``by_length``
    takes the stretches off a length. The first kit's steps stand by themselves, before the
    others.

    Returns:
        The table, its cuts by the numbers of the steps that are done first.

    Raises:
        ReplayError: A step cuts what is not there, or more than there is, or its counts
            do not agree with the copies; or the first kit is cut in another way than the others.
    """
    own = tuple(step for step in steps if step.first)
    others = steps[len(own) :]
    if any(step.first for step in others):
        raise ReplayError("the first kit is not cut first")
    counted = [(own, first), (others, copies - first)]
    tables = [
        _carry_out(sheet, some, of, by_length=by_length) for of, some in counted if some or of
    ]
    table, *again = tables
    for other in again:
        if (other.pieces, other.offcuts) != (table.pieces, table.offcuts):
            raise ReplayError("the first kit is cut in another way than the others")
    return table


def _carry_out(
    sheet: tuple[Length, Length], copies: int, steps: Sequence[Step], *, by_length: bool
) -> Table:
    table = Table()
    whole = Rect(Fraction(0), Fraction(0), *sheet)
    cuts = [step for step in steps if step.measures]
    if by_length:
        off_the_length = list(takewhile(lambda step: not step.part, cuts))
        _take_stretches(table, whole, copies, off_the_length)
        cuts = cuts[len(off_the_length) :]
    elif cuts and cuts[0].action is Action.SQUARE_UP:
        _take_whole(table, whole, cuts.pop(0))
    else:
        table.parts[""] = [whole]
    for step in cuts:
        _do(table, step, copies)
    for name in sorted(table.parts):
        table.offcuts.extend(table.parts[name])
    return table


def _take_whole(table: Table, whole: Rect, step: Step) -> None:
    """The sheet is the piece as it stands."""
    measure = step.measures[0]
    if len(step.measures) != 1 or not measure.is_piece or measure.size != whole.h:
        raise ReplayError("a sheet that is not cut is one piece")
    table.pieces.append((measure.gives, whole))


def _take_stretches(table: Table, whole: Rect, copies: int, steps: Sequence[Step]) -> None:
    """Cut the stretches off one length or several; all of them are one part, or one piece."""
    if not steps:
        raise ReplayError("a length is not cut off")
    first = steps[0].measures[0]
    cut_off = 0
    for step in steps:
        measure = step.measures[0]
        named = (measure.gives, measure.is_piece) == (first.gives, first.is_piece)
        if len(step.measures) != 1 or measure.size != whole.h or not named:
            raise ReplayError("the strips cut off the length are not the layout's")
        if step.axis is not Axis.ALONG or step.action is not Action.CUT:
            raise ReplayError("a length is cut off across the cloth")
        if len(measure.positions) != measure.times or sum(step.stacks) != step.part_count:
            raise ReplayError("a strip has no ruler position, or a length is in no stack")
        at = Fraction(0)
        for number, position in enumerate(measure.positions, start=1):
            at = _moved_on(at, position, measure, step)
            if number in step.re_square_after:
                at = Fraction(0)
        cut_off += measure.times * step.part_count
    if cut_off != copies:
        raise ReplayError(f"{cut_off} strips are cut off where {copies} are asked for")
    line = Rect(whole.x, whole.h, whole.w, Fraction(0))
    table.cuts.append(Mark(str(steps[0].number), line))
    _lay_down(table, first, whole)


def _moved_on(at: Length, position: Length, measure: Measure, step: Step) -> Length:
    """Return where the ruler lies: one measure on, or one measure from the edge just cut."""
    if position not in (at + measure.size, measure.size):
        raise ReplayError(f"step {step.number} sets the ruler to no multiple of its measure")
    return position


def _do(table: Table, step: Step, copies: int) -> None:
    rects = table.parts.pop(step.part, [])
    if not rects:
        raise ReplayError(f"step {step.number} cuts part '{step.part}', which is not there")
    expected = len(rects) * copies
    if step.part_count != expected or sum(step.stacks) != expected:
        raise ReplayError(
            f"step {step.number} stacks {sum(step.stacks)} parts where there are {expected}"
        )
    is_paired = step.action is Action.CUT_PAIRS
    for rect in rects:
        if (rect.w, rect.h) != step.part_size:
            raise ReplayError(f"step {step.number} speaks of a part of another size")
        left = (_pairs if is_paired else _one_after_another)(table, step, rect)
        if left is None:
            continue
        if is_paired:  # it keeps its name: its middle may be opened and cut next
            table.parts.setdefault(step.part, []).append(left)
        else:
            table.offcuts.append(left)


def _one_after_another(table: Table, step: Step, rect: Rect) -> Rect | None:
    start = Fraction(0)
    room = rect.w if step.axis is Axis.ACROSS else rect.h
    for measure in step.measures:
        if len(measure.positions) != measure.times:
            raise ReplayError(f"step {step.number} names a position for each cut or it does not")
        shown = Fraction(0)
        for position in measure.positions:
            shown = _moved_on(shown, position, measure, step)
            if start + measure.size > room:
                raise ReplayError(f"step {step.number} cuts past the edge")
            _lay_down(table, measure, _slice(rect, step.axis, start, measure.size))
            start += measure.size
            if start < room or not step.last_is_left:
                table.cuts.append(_cut_at(rect, step, step.axis, start))
    return _slice(rect, step.axis, start, room - start) if start < room else None


def _pairs(table: Table, step: Step, rect: Rect) -> Rect:
    start = Fraction(0)
    for measure in step.measures:
        if measure.times != 2 * len(measure.positions):
            raise ReplayError(f"step {step.number} does not cut whole pairs")
        shown = Fraction(0)
        for position in measure.positions:
            shown = _moved_on(shown, position, measure, step)
            far = rect.w - start - measure.size
            if far - start - measure.size < 2 * EIGHTH:
                raise ReplayError(f"step {step.number} cuts across the fold or on it")
            _lay_down(table, measure, _slice(rect, Axis.ACROSS, start, measure.size))
            _lay_down(table, measure, _slice(rect, Axis.ACROSS, far, measure.size))
            start += measure.size
            table.cuts.append(_cut_at(rect, step, Axis.ACROSS, start))
            table.cuts.append(_cut_at(rect, step, Axis.ACROSS, far))
    return _slice(rect, Axis.ACROSS, start, rect.w - 2 * start)


def _lay_down(table: Table, measure: Measure, rect: Rect) -> None:
    if measure.is_piece:
        table.pieces.append((measure.gives, rect))
    else:
        table.parts.setdefault(measure.gives, []).append(rect)
        table.cut_up.append(Mark(measure.gives, rect))


def _cut_at(rect: Rect, step: Step, axis: Axis | None, at: Length) -> Mark:
    return Mark(str(step.number), _slice(rect, axis, at, Fraction(0)))


def _slice(rect: Rect, axis: Axis | None, start: Length, size: Length) -> Rect:
    if axis is Axis.ACROSS:
        return Rect(rect.x + start, rect.y, size, rect.h)
    return Rect(rect.x, rect.y + start, rect.w, size)

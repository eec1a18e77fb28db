"""From layouts to steps at the cutting table: stacks, layers, folds, ruler positions.

``Layers per cut`` counts thicknesses of cloth. A length comes folded, selvage to selvage::

    selvages ====================            one ruler cut across it is ONE strip,
             |    |    |        |  fold      lying in two layers
             ====================

so a folded strip is sub-cut in pairs from the selvage end, and what would lie across the fold,
or end on it (cloth bends there, and takes up a little), is cut after the strip has been opened.
Parts of one size are stacked, the stacks made even: 18 in stacks of at most 4 are
4 + 4 + 4 + 3 + 3. Where not even two layers may lie under the blade, the cloth is opened before
it is cut.

A usable size is a least one: where parts fill it, the last of them is trimmed too. What was cut
or measured to size leaves its last part with the cut before it.

A cut longer than the ruler is folded end to end as far as the layers allow; what is longer
even then is cut in several placements of the ruler. A measure wider than the ruler is set
with two rulers side by side, a wider one still by the mat's lines or a tape.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby, pairwise
from typing import TypeAlias

from kitmaker.arithmetic.cut_sizes import ruler_positions
from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import Action, Measure, Step
from kitmaker.lengths import EIGHTH, YARD, Length, Unit, round_usable_down, say_bolt_left
from kitmaker.shop import Shop
from kitmaker.table.cloths import ClothLength, loss_of
from kitmaker.table.stepwords import sentence

_Named: TypeAlias = tuple[Part, int, str, bool]
"""A part, how many of it stand side by side, the name they get, whether they are pieces."""

_MOST_IN_A_RUN = 10


def even_stacks(count: int, most: int) -> tuple[int, ...]:
    """Share parts out into as few stacks as layers allow: 18 by 4 at most are (4, 4, 4, 3, 3)."""
    stacks = -(-count // most)
    each, extra = divmod(count, stacks)
    return tuple(each + (at < extra) for at in range(stacks))


def is_folded(across: Length, shop: Shop) -> bool:
    """Whether cloth of this usable width lies folded selvage to selvage while it is cut."""
    return across > shop.ruler_length and shop.layers_per_cut >= 2


def reaches_fold(pairs: Length, across: Length) -> bool:
    """Tell whether pairs cut from the selvages end on the fold, or all but: an eighth of an inch.

    Common practice, no source: cloth bends at a fold, and a pair that ends there comes out short.
    """
    return across / 2 - pairs < EIGHTH


@dataclass(slots=True)
class StepWriter:
    """Writes the steps of one layout: those for the first kit, or those for the others.

    ``_folded`` are the parts that come out of their step as it was folded for a long cut.
    """

    shop: Shop  # its layers, ruler and losses
    unit: Unit  # what measures are said in
    letters: Mapping[str, str]  # the piece letter of each key
    copies: int  # how many sheets or stretches are cut so
    prints: int = 1  # from how many prints these come alike
    is_first: bool = False  # whether they are cut for the kit that is checked
    layout_name: str = ""  # ``Layout 1``, to find a length again that is cut on
    # whether a sheet is measured to its size, across and along
    exact: tuple[bool, bool] = (False, False)
    before: int = 0  # how many steps of the layout have been written already
    steps: list[Step] = field(default_factory=list)  # what has been written
    _next_part: int = 1
    _sheet: tuple[Length, Length] = (Fraction(0), Fraction(0))
    _selvages: bool = False
    _folded: set[str] = field(default_factory=set)

    def write_sheet(self, layout: Layout, form_name: str, *, measure_first: bool) -> None:
        """Write the steps for a form of fixed size; it may be the piece as it stands."""
        part = layout.sheet
        self._sheet = (part.across, part.along)
        folded = self._selvages = is_folded(part.across, self.shop)
        measure_first = measure_first or any(self.exact)
        whole: tuple[Measure, ...] = ()
        if part.key is not None:
            gives, _ = self._name(part)
            whole = (Measure(size=part.along, times=1, gives=gives, is_piece=True, positions=()),)
        thickness = 2 if folded else 1
        stacks = self._stacks(self.copies, thickness)
        self._put(
            Step(
                number=0,
                action=Action.SQUARE_UP,
                part="",
                cloth=(
                    f"{self.copies // self.prints} of each of the {self.prints} prints"
                    if self.prints > 1
                    else ""
                ),
                part_size=(part.across, part.along),
                part_count=self.copies,
                stacks=stacks,
                layers=max(stacks) * thickness,
                measures=whole,
            ),
            form_name=form_name,
            measure_first=measure_first,
        )
        self._write(part, self.copies, "", folded=folded)

    def write_stretch(self, layout: Layout, lengths: Sequence[ClothLength]) -> None:
        """Write the steps for a stretch off one or several lengths, cut ``copies`` times."""
        part = layout.sheet
        self._sheet = (part.across, part.along)
        self.exact, self._selvages = (False, True), True
        folded = is_folded(part.across, self.shop)
        gives, is_piece = self._name(part)
        left = self.copies
        for length in lengths:
            there, found_in = length.left(self.shop), length.cut_in
            times, numbers = length.take(part.along, left)
            if times:
                left -= times * length.alike
                length.cut_in = self.layout_name
                if numbers[0] == 1:
                    self._straighten(part, length, folded=folded)
                onward = "" if numbers[0] == 1 else self._onward(length, found_in, there)
                self._cut_off(part, length, numbers, (gives, is_piece), onward, folded=folded)
        if not is_piece:
            self._write(part, self.copies, gives, folded=folded)

    def _onward(self, length: ClothLength, found_in: str, there: Length | None) -> str:
        """Say which length is cut on, where it was cut last and how much of it is left."""
        where = f" from {found_in}" if found_in not in ("", self.layout_name) else ""
        eighths = None if there is None else round_usable_down(there, YARD / 8)
        left = (
            f" ({say_bolt_left(eighths, self.shop.unit_beside(self.unit))} left)" if eighths else ""
        )
        ends = "their ends are" if length.alike > 1 else "its end is"
        name = length.again or length.name or "the uncut cloth"
        return f"Go on with {name}{where}{left}: {ends} straight."

    def _straighten(self, part: Part, length: ClothLength, *, folded: bool) -> None:
        thickness = 2 if folded else 1
        folded_into, placements = self._lie(part.across / thickness, thickness)
        self._put(
            Step(
                number=0,
                action=Action.STRAIGHTEN,
                part="",
                cloth=length.name,
                part_size=(part.across, self.shop.straighten),
                part_count=length.alike,
                stacks=(1,) * length.alike,
                layers=thickness * folded_into,
                folded_into=folded_into,
                placements=placements,
                cuts=length.alike * placements,
                settings=1,
            )
        )

    def _cut_off(
        self,
        part: Part,
        length: ClothLength,
        numbers: range,
        named: tuple[str, bool],
        onward: str,
        *,
        folded: bool,
    ) -> None:
        """Cut the strips off one length: their numbers on it, and how it is found again."""
        trued = [
            at - numbers[0] + 1
            for at in loss_of(self.shop).trued_after(length.strips)
            if at in numbers
        ]
        gives, is_piece = named
        positions: list[Length] = []
        for begin, end in zip((0, *trued), (*trued, len(numbers)), strict=True):
            positions += ruler_positions(part.along, end - begin, self._reach(part.along))
        measure = Measure(
            size=part.along,
            times=len(numbers),
            gives=gives,
            is_piece=is_piece,
            positions=tuple(positions),
        )
        self._cut(
            Step(
                number=0,
                action=Action.CUT,
                part="",
                cloth=length.name,
                part_size=(part.across, part.along * len(numbers)),
                part_count=length.alike,
                stacks=(),
                runs=_runs(trued, len(numbers)) if length.alike == 1 else (),
                layers=0,
                axis=Axis.ALONG,
                measures=(measure,),
                re_square_after=tuple(trued),
            ),
            folded=folded,
            onward=onward,
        )

    def _write(self, part: Part, count: int, name: str, *, folded: bool) -> None:
        """Write how ``count`` equal parts are cut, and then what comes of them."""
        if part.axis is None:
            return
        groups = [(child, len(list(run))) for child, run in groupby(part.children)]
        named = [
            (child, times, *self._name(child)) for child, times in groups if not child.is_offcut
        ]
        flat = part.along > self.shop.ruler_length
        if folded and part.axis is Axis.ACROSS and not flat:
            self._cut_folded(part, count, name, named)
        elif folded and part.axis is Axis.ACROSS:
            self._cut_in_turn(part, count, name, named, Action.LAY_FLAT, folded=False)
        else:
            self._cut_in_turn(part, count, name, named, Action.CUT, folded=folded)
        for child, times, gives, is_piece in named:
            if not is_piece:
                stays_folded = folded and part.axis is Axis.ALONG
                self._write(child, count * times, gives, folded=stays_folded)

    def _cut_in_turn(
        self,
        part: Part,
        count: int,
        name: str,
        named: Sequence[_Named],
        action: Action,
        *,
        folded: bool,
    ) -> None:
        """Cut one part after another from the edge."""
        axis = part.axis or Axis.ALONG
        sizes = [(part.measure_of(child), child, times) for child, times, _, _ in named]
        fills = sum(size * times for size, _, times in sizes) == part.measure_of(part)
        measures = self._measures(
            [(part.measure_of(one), n, n, gives, done) for one, n, gives, done in named]
        )
        at = axis is Axis.ALONG
        is_to_size = part.measure_of(part) < self._sheet[at] or self.exact[at]
        step = self._bare(part, count, name, action, axis, measures)
        trims = self._selvages and not at and part.across == self._sheet[0]
        step = replace(step, last_is_left=fills and is_to_size, trims_selvage=trims)
        self._cut(step, folded=folded)

    def _cut_folded(self, part: Part, count: int, name: str, named: Sequence[_Named]) -> None:
        """Cut a folded strip in pairs from the selvages, and then what lies across the fold."""
        in_pairs = [times // 2 for _, times, _, _ in named]
        reach = sum(
            (one.across * n for (one, *_), n in zip(named, in_pairs, strict=True)), Fraction(0)
        )
        while any(in_pairs) and reaches_fold(reach, part.across):
            last = max(at for at, n in enumerate(in_pairs) if n)
            in_pairs[last] -= 1
            reach -= named[last][0].across
        asked = list(zip(named, in_pairs, strict=True))
        pairs = [(one.across, n, 2 * n, gives, done) for (one, _, gives, done), n in asked if n]
        if pairs:
            measures = self._measures(pairs)
            step = self._bare(part, count, name, Action.CUT_PAIRS, Axis.ACROSS, measures)
            self._cut(replace(step, trims_selvage=True), folded=True)
        singles = [
            (one.across, left, left, gives, done)
            for (one, times, gives, done), n in asked
            if (left := times - 2 * n)
        ]
        if singles:
            action = Action.OPEN_AND_CUT if pairs else Action.LAY_FLAT
            measures = self._measures(singles)
            step = self._bare(part, count, name, action, Axis.ACROSS, measures)
            middle = (part.across - 2 * reach, part.along)
            self._cut(replace(step, part_size=middle, trims_selvage=not pairs), folded=False)

    def _bare(
        self,
        part: Part,
        count: int,
        name: str,
        action: Action,
        axis: Axis,
        measures: tuple[Measure, ...],
    ) -> Step:
        """Return a step on some parts, before it is known how they lie."""
        return Step(
            number=0,
            action=action,
            part=name,
            part_size=(part.across, part.along),
            part_count=count,
            stacks=(),
            layers=0,
            axis=axis,
            measures=measures,
        )

    def _measures(self, asked: Sequence[tuple[Length, int, int, str, bool]]) -> tuple[Measure, ...]:
        """Return measures cut one after another: size, cuts, parts made, their name.

        Each counts from the edge that the one before it has left.
        """
        return tuple(
            Measure(
                size=size,
                times=times,
                gives=gives,
                is_piece=is_piece,
                positions=ruler_positions(size, cuts, self._reach(size)),
            )
            for size, cuts, times, gives, is_piece in asked
        )

    def _reach(self, size: Length) -> Length:
        """Up to where cuts of a size run on from one edge: the ruler's end.

        What one ruler does not set is measured from the new edge each time.
        """
        return self.shop.ruler_length if size <= self.shop.ruler_width else size

    def _cut(self, step: Step, *, folded: bool, onward: str = "") -> None:
        """Put a step, its stacks as high and as folded as the layers allow."""
        across, along = step.part_size
        thickness = 2 if folded else 1
        line = along if step.axis is Axis.ACROSS else across / thickness
        folded_into, placements = self._lie(line, thickness)
        thickness *= folded_into
        stacks = self._stacks(step.part_count, thickness)
        cuts = sum(len(measure.positions) for measure in step.measures) - step.last_is_left
        cuts += len(step.re_square_after)
        one = self.shop.ruler_width
        wide = [measure.size for measure in step.measures if measure.size > one]
        self._put(
            replace(
                step,
                stacks=stacks,
                layers=max(stacks) * thickness,
                folded_into=folded_into,
                placements=placements,
                two_rulers=any(size <= 2 * one for size in wide),
                by_tape=any(size > 2 * one for size in wide),
                cuts=cuts * len(stacks) * placements,
                settings=len(step.measures) + len(wide) + (folded_into > 1),
            ),
            onward=onward,
        )

    def _lie(self, line: Length, thickness: int) -> tuple[int, int]:
        """Fold cloth for a cut as long as this: into how many, and how often the ruler is laid."""
        folded_into = 1
        ruler = self.shop.ruler_length
        while line > ruler and thickness * folded_into * 2 <= self.shop.layers_per_cut:
            line /= 2
            folded_into *= 2
        return folded_into, max(1, -(-line // ruler))

    def _stacks(self, count: int, thickness: int) -> tuple[int, ...]:
        """Stack parts as high as the layers allow."""
        return even_stacks(count, max(1, self.shop.layers_per_cut // thickness))

    def _name(self, part: Part) -> tuple[str, bool]:
        if part.key is not None:
            return self.letters[part.key], True
        name = str(self._next_part)
        self._next_part += 1
        return name, False

    def _put(
        self, step: Step, *, form_name: str = "", measure_first: bool = False, onward: str = ""
    ) -> None:
        numbered = replace(
            step,
            number=self.before + len(self.steps) + 1,
            first=step.part_count if self.is_first else 0,
        )
        text = sentence(
            numbered,
            self.unit,
            self.shop,
            form_name=form_name,
            measure_first=measure_first,
            onward=onward,
            comes_folded=step.part in self._folded,
        )
        self.steps.append(replace(numbered, text=text))
        if step.folded_into > 1:
            self._folded |= {measure.gives for measure in step.measures if not measure.is_piece}


def _runs(trued: Sequence[int], strips: int) -> tuple[int, ...]:
    """Return how many strips are cut between one truing and the next, ten at most."""
    return tuple(
        min(_MOST_IN_A_RUN, end - at)
        for begin, end in pairwise((0, *trued, strips))
        for at in range(begin, end, _MOST_IN_A_RUN)
    )

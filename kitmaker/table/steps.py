"""From layouts to steps at the cutting table: stacks, layers, folds, ruler positions.

``Layers per cut`` counts thicknesses of cloth. A length comes folded, selvage to selvage::

    selvages ====================            one ruler cut across it is ONE strip,
             |    |    |        |  fold      lying in two layers
             ====================

so a folded strip is sub-cut in pairs from the selvage end, and a piece that would lie
across the fold is cut after the strip has been opened. Parts of one size are stacked, the
stacks made even: 18 in stacks of at most 4 are 4 + 4 + 4 + 3 + 3. Where not even two layers
may lie under the blade, the cloth is opened before it is cut.

A cut longer than the ruler is folded end to end as far as the layers allow; what is longer
even then is cut in several placements of the ruler. A measure wider than the ruler is set
with two rulers side by side, a wider one still by the mat's lines or a tape.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby
from typing import TypeAlias

from kitmaker.arithmetic.cut_sizes import ruler_positions
from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import Action, Measure, Step
from kitmaker.lengths import Length, Unit
from kitmaker.shop import Shop
from kitmaker.table.cloths import ClothLength, loss_of
from kitmaker.table.stepwords import sentence

_Named: TypeAlias = tuple[Part, int, str, bool]
"""A part, how many of it stand side by side, the name they get, whether they are pieces."""


def even_stacks(count: int, most: int) -> tuple[int, ...]:
    """Share parts out into as few stacks as the layers allow, all nearly as tall.

    Args:
        count: Parts to stack.
        most: Parts a stack may have, at least 1.

    Returns:
        The stacks, the tallest first: 18 with 4 at most gives (4, 4, 4, 3, 3).
    """
    stacks = -(-count // most)
    each, extra = divmod(count, stacks)
    return tuple(each + (at < extra) for at in range(stacks))


def is_folded(across: Length, shop: Shop) -> bool:
    """Whether cloth of this usable width lies folded selvage to selvage while it is cut."""
    return across > shop.ruler_length and shop.layers_per_cut >= 2


@dataclass(slots=True)
class StepWriter:
    """Writes the steps of one layout.

    Attributes:
        shop: Its layers, ruler and losses.
        unit: What measures are said in.
        letters: The piece letter of each key.
        copies: How many sheets or stretches are cut so.
        prints: From how many prints these come alike.
        first: How many of the copies are cut first, for the kit that is checked.
        steps: What has been written.
    """

    shop: Shop
    unit: Unit
    letters: Mapping[str, str]
    copies: int
    prints: int = 1
    first: int = 0
    steps: list[Step] = field(default_factory=list)
    _next_part: int = 1

    def write_sheet(self, layout: Layout, form_name: str, *, measure_first: bool) -> None:
        """Write the steps for a form of fixed size; it may be the piece as it stands."""
        part = layout.sheet
        folded = is_folded(part.across, self.shop)
        whole: tuple[Measure, ...] = ()
        if part.key is not None:
            gives, _ = self._name(part)
            whole = (Measure(size=part.along, times=1, gives=gives, is_piece=True, positions=()),)
        thickness = 2 if folded else 1
        stacks = self._stacks(self.copies, thickness, self.first)
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
                first=self.first,
                layers=max(stacks) * thickness,
                measures=whole,
            ),
            form_name=form_name,
            measure_first=measure_first,
        )
        self._write(part, self.copies, "", folded=folded)

    def write_stretch(self, layout: Layout, lengths: Sequence[ClothLength]) -> None:
        """Write the steps for a stretch off one or several lengths, cut ``copies`` times.

        Args:
            layout: The stretch; its width is the usable width.
            lengths: The cloth, with the strips still to be cut off each.
        """
        part = layout.sheet
        folded = is_folded(part.across, self.shop)
        gives, is_piece = self._name(part)
        left, first = self.copies, self.first
        for length in lengths:
            is_new = not length.cut
            times, numbers = length.take(part.along, left)
            if times:
                left -= times * length.alike
                of_first = min(times, first // length.alike)
                first -= of_first * length.alike
                if is_new:
                    self._straighten(part, length, folded=folded)
                self._cut_off(part, length, numbers, of_first, (gives, is_piece), folded=folded)
        if not is_piece:
            self._write(part, self.copies, gives, folded=folded)

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
        first: int,
        named: tuple[str, bool],
        *,
        folded: bool,
    ) -> None:
        """Cut the strips off one length: their numbers on it, how many for the first kit."""
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
                first_strips=first,
                layers=0,
                axis=Axis.ALONG,
                measures=(measure,),
                re_square_after=tuple(trued),
            ),
            len(numbers) + len(trued),
            folded=folded,
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
        cuts = sum(measure.times for measure in measures) - fills
        self._cut(self._bare(part, count, name, action, axis, measures), cuts, folded=folded)

    def _cut_folded(self, part: Part, count: int, name: str, named: Sequence[_Named]) -> None:
        """Cut a folded strip in pairs from the selvages, and then what lies across the fold."""
        pairs = [one for one in named if one[1] >= 2]
        singles = [one for one in named if one[1] % 2]
        if pairs:
            measures = self._measures(
                [(one.across, n // 2, n // 2 * 2, gives, done) for one, n, gives, done in pairs]
            )
            cuts = sum(len(measure.positions) for measure in measures)
            step = self._bare(part, count, name, Action.CUT_PAIRS, Axis.ACROSS, measures)
            self._cut(step, cuts, folded=True)
        if singles:
            measures = self._measures(
                [(one.across, 1, 1, gives, done) for one, _, gives, done in singles]
            )
            fills = sum(one.across * times for one, times, _, _ in named) == part.across
            action = Action.OPEN_AND_CUT if pairs else Action.LAY_FLAT
            step = self._bare(part, count, name, action, Axis.ACROSS, measures)
            self._cut(step, len(singles) - fills, folded=False)

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
            first=self._of_first(count),
            layers=0,
            axis=axis,
            measures=measures,
        )

    def _measures(self, asked: Sequence[tuple[Length, int, int, str, bool]]) -> tuple[Measure, ...]:
        """Return measures cut one after another: size, cuts, parts made, their name."""
        measures: list[Measure] = []
        at = Fraction(0)
        for size, cuts, times, gives, is_piece in asked:
            positions = ruler_positions(size, cuts, self._reach(size), at)
            measures.append(
                Measure(size=size, times=times, gives=gives, is_piece=is_piece, positions=positions)
            )
            at = positions[-1]
        return tuple(measures)

    def _reach(self, size: Length) -> Length:
        """Up to where cuts of a size run on from one edge: the ruler's end.

        What one ruler does not set is measured from the new edge each time.
        """
        return self.shop.ruler_length if size <= self.shop.ruler_width else size

    def _cut(self, step: Step, cuts: int, *, folded: bool) -> None:
        """Put a step of so many cuts a stack, as high and as folded as the layers allow."""
        across, along = step.part_size
        thickness = 2 if folded else 1
        line = along if step.axis is Axis.ACROSS else across / thickness
        folded_into, placements = self._lie(line, thickness)
        thickness *= folded_into
        stacks = self._stacks(step.part_count, thickness, step.first)
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
            )
        )

    def _lie(self, line: Length, thickness: int) -> tuple[int, int]:
        """Fold cloth for a cut as long as this: into how many, and how often the ruler is laid."""
        folded_into = 1
        ruler = self.shop.ruler_length
        while line > ruler and thickness * folded_into * 2 <= self.shop.layers_per_cut:
            line /= 2
            folded_into *= 2
        return folded_into, max(1, -(-line // ruler))

    def _stacks(self, count: int, thickness: int, first: int) -> tuple[int, ...]:
        """Stack parts as high as the layers allow, those of the first kit by themselves."""
        most = max(1, self.shop.layers_per_cut // thickness)
        return tuple(
            height for some in (first, count - first) if some for height in even_stacks(some, most)
        )

    def _of_first(self, count: int) -> int:
        """Return how many of some equal parts are the first kit's."""
        return count * self.first // self.copies

    def _name(self, part: Part) -> tuple[str, bool]:
        if part.key is not None:
            return self.letters[part.key], True
        name = str(self._next_part)
        self._next_part += 1
        return name, False

    def _put(self, step: Step, *, form_name: str = "", measure_first: bool = False) -> None:
        numbered = replace(step, number=len(self.steps) + 1)
        text = sentence(
            numbered,
            self.unit,
            self.shop,
            form_name=form_name,
            measure_first=measure_first,
            is_on_the_table=bool(self.steps) and self.steps[-1].cloth == step.cloth,
        )
        self.steps.append(replace(numbered, text=text))

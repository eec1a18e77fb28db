"""From layouts to steps at the cutting table: stacks, layers, folds, ruler positions.

``Layers per cut`` counts thicknesses of cloth. A length comes folded, selvage to selvage::

    selvages ====================            one ruler cut across it is ONE strip,
             |    |    |        |  fold      lying in two layers
             ====================

so a folded strip is sub-cut in pairs from the selvage end, and a piece that would lie
across the fold is cut after the strip has been opened. Parts of one size are stacked, the
stacks made even: 18 in stacks of at most 4 are 4 + 4 + 4 + 3 + 3.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby

from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.lengths import Length, Unit
from kitmaker.plan import Action, Measure, Step
from kitmaker.shop import Shop
from kitmaker.table.stepwords import sentence


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
    return across > shop.ruler_length


@dataclass(slots=True)
class StepWriter:
    """Writes the steps of one layout.

    Attributes:
        shop: Layers, ruler and losses in force.
        unit: What measures are said in.
        letters: The piece letter of each key.
        copies: How many sheets or stretches are cut so.
        steps: What has been written.
    """

    shop: Shop
    unit: Unit
    letters: Mapping[str, str]
    copies: int
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
        self._put(
            Step(
                number=0,
                action=Action.SQUARE_UP,
                part="",
                part_size=(part.across, part.along),
                part_count=self.copies,
                stacks=self._stacks(self.copies, folded=folded),
                layers=0,
                axis=None,
                measures=whole,
                cuts=0,
                settings=0,
                text="",
            ),
            form_name=form_name,
            measure_first=measure_first,
        )
        self._write(part, self.copies, "", folded=folded)

    def write_stretch(self, layout: Layout, strips_before: int, strips_in_all: int) -> None:
        """Write the steps for a stretch off a length, cut ``copies`` times.

        Args:
            layout: The stretch; its width is the usable width.
            strips_before: Cuts made on the same length before, for re-squaring.
            strips_in_all: Cuts made on the length in all; behind the last nothing is trued.
        """
        part = layout.sheet
        folded = is_folded(part.across, self.shop)
        if strips_before == 0:
            self._put(
                Step(
                    number=0,
                    action=Action.STRAIGHTEN,
                    part="",
                    part_size=(part.across, self.shop.straighten),
                    part_count=1,
                    stacks=(1,),
                    layers=2 if folded else 1,
                    axis=None,
                    measures=(),
                    cuts=1,
                    settings=1,
                    text="",
                )
            )
        gives, is_piece = self._name(part)
        every = self.shop.re_square_every
        re_square = tuple(
            cut
            for cut in range(1, self.copies + 1)
            if (strips_before + cut) % every == 0 and strips_before + cut < strips_in_all
        )
        wide = part.along > self.shop.ruler_width
        measure = Measure(
            size=part.along,
            times=self.copies,
            gives=gives,
            is_piece=is_piece,
            positions=_running(part.along, self.copies, re_square),
        )
        self._put(
            Step(
                number=0,
                action=Action.CUT,
                part="",
                part_size=(part.across, part.along * self.copies),
                part_count=1,
                stacks=(1,),
                layers=2 if folded else 1,
                axis=Axis.ALONG,
                measures=(measure,),
                re_square_after=re_square,
                two_rulers=wide,
                cuts=self.copies,
                settings=1 + wide,
                text="",
            )
        )
        if not is_piece:
            self._write(part, self.copies, gives, folded=folded)

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
            self._cut_flat(part, count, name, named, folded=False, action=Action.LAY_FLAT)
        else:
            self._cut_flat(part, count, name, named, folded=folded)
        for child, times, gives, is_piece in named:
            if not is_piece:
                stays_folded = folded and part.axis is Axis.ALONG
                self._write(child, count * times, gives, folded=stays_folded)

    def _cut_flat(
        self,
        part: Part,
        count: int,
        name: str,
        named: Sequence[tuple[Part, int, str, bool]],
        *,
        folded: bool,
        action: Action = Action.CUT,
    ) -> None:
        axis = part.axis or Axis.ALONG
        measures: list[Measure] = []
        start = Fraction(0)
        for child, times, gives, is_piece in named:
            size = part.measure_of(child)
            positions = tuple(start + size * at for at in range(1, times + 1))
            measures.append(
                Measure(size=size, times=times, gives=gives, is_piece=is_piece, positions=positions)
            )
            start += size * times
        made = sum(measure.times for measure in measures)
        fills = start == part.measure_of(part)
        stacks = self._stacks(count, folded=folded)
        self._cut(part, count, name, action, axis, measures, stacks, made - fills, folded=folded)

    def _cut_folded(
        self, part: Part, count: int, name: str, named: Sequence[tuple[Part, int, str, bool]]
    ) -> None:
        pairs: list[Measure] = []
        singles: list[Measure] = []
        from_selvage = Fraction(0)
        from_middle = Fraction(0)
        for child, times, gives, is_piece in named:
            size = child.across
            if times >= 2:
                positions = tuple(from_selvage + size * at for at in range(1, times // 2 + 1))
                pairs.append(
                    Measure(
                        size=size,
                        times=times // 2 * 2,
                        gives=gives,
                        is_piece=is_piece,
                        positions=positions,
                    )
                )
                from_selvage += size * (times // 2)
            if times % 2:
                from_middle += size
                singles.append(
                    Measure(
                        size=size,
                        times=1,
                        gives=gives,
                        is_piece=is_piece,
                        positions=(from_middle,),
                    )
                )
        if pairs:
            cuts = sum(len(measure.positions) for measure in pairs)
            stacks = self._stacks(count, folded=True)
            self._cut(
                part, count, name, Action.CUT_PAIRS, Axis.ACROSS, pairs, stacks, cuts, folded=True
            )
        if singles:
            fills = from_selvage * 2 + from_middle == part.across
            stacks = self._stacks(count, folded=False)
            self._cut(
                part,
                count,
                name,
                Action.OPEN_AND_CUT if pairs else Action.LAY_FLAT,
                Axis.ACROSS,
                singles,
                stacks,
                len(singles) - fills,
                folded=False,
            )

    def _cut(
        self,
        part: Part,
        count: int,
        name: str,
        action: Action,
        axis: Axis,
        measures: Sequence[Measure],
        stacks: tuple[int, ...],
        cuts_per_stack: int,
        *,
        folded: bool,
    ) -> None:
        line = part.along if axis is Axis.ACROSS else part.across / (2 if folded else 1)
        folded_into = 1
        while line > self.shop.ruler_length:
            line /= 2
            folded_into *= 2
        if folded_into > 1:
            stacks = even_stacks(count, max(1, self.shop.layers_per_cut // folded_into))
        wide = sum(measure.size > self.shop.ruler_width for measure in measures)
        self._put(
            Step(
                number=0,
                action=action,
                part=name,
                part_size=(part.across, part.along),
                part_count=count,
                stacks=stacks,
                layers=stacks[0] * (2 if folded else 1) * folded_into,
                axis=axis,
                measures=tuple(measures),
                folded_into=folded_into,
                two_rulers=bool(wide),
                cuts=cuts_per_stack * len(stacks),
                settings=len(measures) + wide + (folded_into > 1),
                text="",
            )
        )

    def _stacks(self, count: int, *, folded: bool) -> tuple[int, ...]:
        thickness = 2 if folded else 1
        return even_stacks(count, max(1, self.shop.layers_per_cut // thickness))

    def _name(self, part: Part) -> tuple[str, bool]:
        if part.key is not None:
            return self.letters[part.key], True
        name = str(self._next_part)
        self._next_part += 1
        return name, False

    def _put(self, step: Step, *, form_name: str = "", measure_first: bool = False) -> None:
        numbered = replace(step, number=len(self.steps) + 1)
        text = sentence(
            numbered, self.unit, self.shop, form_name=form_name, measure_first=measure_first
        )
        self.steps.append(replace(numbered, text=text))


def _running(size: Length, times: int, re_square: tuple[int, ...]) -> tuple[Length, ...]:
    """Ruler positions of repeated strips, starting anew at each re-squared edge."""
    positions: list[Length] = []
    at = Fraction(0)
    for cut in range(1, times + 1):
        at += size
        positions.append(at)
        if cut in re_square:
            at = Fraction(0)
    return tuple(positions)

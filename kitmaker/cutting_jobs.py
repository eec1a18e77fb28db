"""What is cut in one go: how much, how it is laid out, the steps at the table, what is left.

Values only, no arithmetic, no files, no screen.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from kitmaker.cutting.layout import Axis, Placed, Rect
from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.pattern import Piece


class Action(StrEnum):
    """What a step does."""

    SQUARE_UP = "square up"
    STRAIGHTEN = "straighten"
    CUT = "cut"
    CUT_PAIRS = "cut pairs"
    OPEN_AND_CUT = "open and cut"
    LAY_FLAT = "lay flat and cut"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Parts of one size that a step cuts one after another."""

    size: Length  # what the ruler is set to, inches
    times: int  # how many parts of this size come from one part (from pairs: both together)
    gives: str  # the letter of the parts it makes, or the piece letter, or "" for an offcut
    is_piece: bool  # whether ``gives`` is a piece, finished with this cut
    # what the ruler shows at each cut, inches from the edge that the measure starts at; one that is
    # not greater than the one before it counts from the new edge
    positions: tuple[Length, ...]

    @property
    def longest_run(self) -> tuple[Length, ...]:
        """The most ruler positions that are counted from one edge."""
        at = self.positions
        starts = [n for n in range(1, len(at)) if at[n] <= at[n - 1]]
        runs = (at[a:b] for a, b in pairwise((0, *starts, len(at))))
        return max(runs, key=len)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do at the cutting table, for every copy of a layout."""

    number: int  # from 1 in its layout
    action: Action  # what is done
    part: str  # the letter of the part that is cut; "" for the whole sheet or length
    # which of the cloth it is done with, in words: the length it is cut off, or how many of each
    # print; "" where there is no choice
    cloth: str = ""
    part_size: tuple[Length, Length]  # (across, along) of that part, inches
    part_count: int  # how many such parts this step cuts
    stacks: tuple[int, ...]  # how many parts lie in each stack; one tick box a stack
    first: int = 0  # how many of the parts are the first kit's: all of them, or none
    # of strips cut off one length: how many are cut before the edge is trued again (ten at most);
    # one tick box a run. Empty elsewhere
    runs: tuple[int, ...] = ()
    layers: int  # thicknesses of cloth in the tallest stack
    axis: Axis | None = None  # how the made parts follow one another; None for squaring up
    measures: tuple[Measure, ...] = ()  # what is cut, in order; what is left over is an offcut
    # cuts after which the edge is trued again (1 = after the first)
    re_square_after: tuple[int, ...] = ()
    # thicknesses into which each part is folded end to end, because its cuts are longer than the
    # ruler; 1 when it is not
    folded_into: int = 1
    # times the ruler is laid down along each cut: more than 1 where the cut is longer than the
    # ruler as the cloth lies
    placements: int = 1
    two_rulers: bool = False  # whether a measure is wider than one ruler, and two reach it
    # whether a measure is wider than two rulers: a mat's lines or a tape give it
    by_tape: bool = False
    # whether a selvage is trimmed off first, and all is measured from there
    trims_selvage: bool = False
    # whether the last part is what the cut before it leaves, because the whole was cut or measured
    # to size. Else the last part is trimmed: usable sizes are least ones
    last_is_left: bool = False
    # times the blade goes through, over all stacks: once at each ruler position and at each truing
    # of a length, as often as the ruler is laid down along it. Trimming selvages and squaring up go
    # with laying a stack
    cuts: int = 0
    settings: int = 0  # times the ruler is set to another measure
    text: str = ""  # the step in words, as printed

    @property
    def stack_count(self) -> int:
        """How many stacks come under the blade; a length by itself is none."""
        is_length = bool(self.runs) or self.action is Action.STRAIGHTEN
        return 0 if is_length else len(self.stacks)


@dataclass(frozen=True, slots=True)
class Mark:
    """What a drawing names: a cut by the number of its step (a line), or a part by its name."""

    name: str
    at: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLayout:
    """One distinct way of cutting a form (or a stretch of a length), with its steps."""

    name: str  # ``Layout 1``, ``Layout 2`` … in the order of cutting
    form_id: str  # what is cut
    source: str  # where the cloth comes from, in words
    # (across, along) of the usable area; for a length (usable width, length used)
    sheet: tuple[Length, Length]
    copies: int  # how many are cut so
    # how many of them are cut first, for one kit that is checked; 0 where there is but one kit
    first: int = 0
    folded: bool  # whether it lies folded selvage to selvage while its strips are cut
    steps: tuple[Step, ...]  # in order: those for the first kit, then those for the others
    pieces: tuple[Placed, ...]  # as the checker's replay of the steps found them
    offcuts: tuple[Rect, ...]  # likewise
    levels: int  # rounds of parallel cuts
    # whether a whole row or column leaves no waste, so that the cloth must be measured first
    uses_full_size: bool = False
    # the cuts as the replay made them, by the numbers of the steps that are done first
    cuts: tuple[Mark, ...] = ()
    parts: tuple[Mark, ...] = ()  # the parts that were cut up, by their names


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededPiece:
    """A kind of piece with its letter, what one kit needs and what the job makes."""

    letter: str  # ``A``, ``B`` … unique within the kit, the same in all colorways
    key: str  # the key its placed pieces carry
    role: str  # the fabric role it belongs to
    colorway: str  # the colorway it belongs to; "" when there are none
    piece: Piece  # the pattern's piece
    # cut measures as it lies unturned, inches
    across: Length
    along: Length
    per_kit: int  # pieces a kit needs
    needed: int  # pieces the job must give
    made: int  # pieces the layouts give
    # letters of pieces in the same bag that differ by a quarter inch or less
    look_alikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """How much of a form is taken, and how sure it is that less will not do."""

    count: int  # forms; for a length 1 a kit
    lower_bound: int  # no edge-to-edge cutting does with fewer
    proven: bool  # whether count (for a length: what is bought) cannot be less
    length: Length | None = None  # inches of the pieces alone, unrounded; None for a fixed form
    # no edge-to-edge cutting is shorter; None for a fixed form
    length_lower_bound: Length | None = None
    # whether the length itself cannot be less; None for a fixed form
    length_proven: bool | None = None
    # with straightening and re-squaring, unrounded; None likewise
    length_with_loss: Length | None = None
    buy_length: Length | None = None  # what is bought or pulled, rounded up; None likewise
    buy: str  # in words that start with the number: ``2¼ yd``, ``36 fat quarters``
    # (across, along) at which one form fewer would do; None unknown
    one_fewer_at: tuple[Length, Length] | None = None
    estimated: bool = False  # whether it is by area only (a fabric without pieces)
    prints: int = 1  # from how many prints it is taken alike, the same of each
    # for a mix: (form id, how many) of each form taken; empty elsewhere
    counts: tuple[tuple[str, int], ...] = ()
    # for a mix: what the forms cost by their own costs, or None where one is missing and area stood
    # for it; ``proven`` then speaks of this cost, or of the area
    cost: Decimal | None = None
    # for a mix: no edge-to-edge cutting costs less; None likewise
    cost_lower_bound: Decimal | None = None

    def forms_of(self, form: Form) -> list[tuple[Form, int]]:
        """Return how many of which form it is."""
        if not form.mix:
            return [(form, self.count)]
        counts = dict(self.counts)
        return [(one, counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What is left after cutting, of one size."""

    # inches
    across: Length
    along: Length
    count: int  # how many
    grade: str  # ``back on the bolt``, ``keep`` or ``scrap``


@dataclass(frozen=True, slots=True, kw_only=True)
class Eased:
    """What easier cutting costs in cloth and saves in time, beside the least that can be bought."""

    more: Length  # inches bought on top
    minutes_less: Fraction  # at the cutting table, an estimate
    cloth_cost: Decimal  # what a yard (a meter) counts with, money
    labor_per_hour: Decimal  # what an hour at the table counts with, money
    defaults: tuple[str, ...] = ()  # which of the two the shop does not name: ``cloth``, ``labor``


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingJob:
    """Everything that is cut from one fabric in one go: by the shop, or by one student."""

    pieces: tuple[NeededPiece, ...]  # what is needed and made
    layouts: tuple[CutLayout, ...]  # distinct ways of cutting, in cutting order
    offcuts: tuple[Offcut, ...]  # graded
    levels: int  # the most rounds of parallel cuts in any layout
    # over the whole job, as its steps count them
    cuts: int
    settings: int
    stacks: int
    minutes: Fraction  # at the cutting table, an estimate at the shop's pace
    miscuts: int  # how many more of its largest piece the cloth yields
    prints: int = 1  # how many prints are cut alike: each layout as often from each of them
    eased: Eased | None = None  # what was spent on easier cutting; None for nothing

    def cloth(self, form: Form, amount: Yield) -> Fraction:
        """Return the square inches that are bagged or pulled.

        Of a length all of it, with what rounding up to a whole eighth of a yard adds, not
        only the stretch that the pieces take.
        """
        sheets = (layout.sheet[0] * layout.sheet[1] * layout.copies for layout in self.layouts)
        cut = sum(sheets, Fraction(0))
        return max(cut, form.usable_across * (amount.buy_length or 0))

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
    """Parts of one size that a step cuts one after another.

    Attributes:
        size: What the ruler is set to, inches.
        times: How many parts of this size come from one part (from pairs: both together).
        gives: The letter of the parts it makes, or the piece letter, or "" for an offcut.
        is_piece: Whether ``gives`` is a piece, finished with this cut.
        positions: What the ruler shows at each cut, inches from the edge that the measure starts
            at; one that is not greater than the one before it counts from the new edge.
    """

    size: Length
    times: int
    gives: str
    is_piece: bool
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
    """One thing to do at the cutting table, for every copy of a layout.

    Attributes:
        number: From 1 in its layout.
        action: What is done.
        part: The letter of the part that is cut; "" for the whole sheet or length.
        cloth: Which of the cloth it is done with, in words: the length it is cut off, or how
            many of each print; "" where there is no choice.
        part_size: (across, along) of that part, inches.
        part_count: How many such parts this step cuts.
        stacks: How many parts lie in each stack; one tick box a stack.
        first: How many of the parts are the first kit's: all of them, or none.
        runs: Of strips cut off one length: how many are cut before the edge is trued again (ten
            at most); one tick box a run. Empty elsewhere.
        layers: Thicknesses of cloth in the tallest stack.
        axis: How the made parts follow one another; None for squaring up.
        measures: What is cut, in order; what is left over is an offcut.
        re_square_after: Cuts after which the edge is trued again (1 = after the first).
        folded_into: Thicknesses into which each part is folded end to end, because its cuts
            are longer than the ruler; 1 when it is not.
        placements: Times the ruler is laid down along each cut: more than 1 where the cut is
            longer than the ruler as the cloth lies.
        two_rulers: Whether a measure is wider than one ruler, and two reach it.
        by_tape: Whether a measure is wider than two rulers: a mat's lines or a tape give it.
        trims_selvage: Whether a selvage is trimmed off first, and all is measured from there.
        last_is_left: Whether the last part is what the cut before it leaves, because the whole
            was cut or measured to size. Else the last part is trimmed: usable sizes are least ones.
        cuts: Times the blade goes through, over all stacks: once at each ruler position and at
            each truing of a length, as often as the ruler is laid down along it. Trimming selvages
            and squaring up go with laying a stack.
        settings: Times the ruler is set to another measure.
        text: The step in words, as printed.
    """

    number: int
    action: Action
    part: str
    cloth: str = ""
    part_size: tuple[Length, Length]
    part_count: int
    stacks: tuple[int, ...]
    first: int = 0
    runs: tuple[int, ...] = ()
    layers: int
    axis: Axis | None = None
    measures: tuple[Measure, ...] = ()
    re_square_after: tuple[int, ...] = ()
    folded_into: int = 1
    placements: int = 1
    two_rulers: bool = False
    by_tape: bool = False
    trims_selvage: bool = False
    last_is_left: bool = False
    cuts: int = 0
    settings: int = 0
    text: str = ""

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
    """One distinct way of cutting a form (or a stretch of a length), with its steps.

    Attributes:
        name: ``Layout 1``, ``Layout 2`` … in the order of cutting.
        form_id: What is cut.
        source: Where the cloth comes from, in words.
        sheet: (across, along) of the usable area; for a length (usable width, length used).
        copies: How many are cut so.
        first: How many of them are cut first, for one kit that is checked; 0 where there is
            but one kit.
        folded: Whether it lies folded selvage to selvage while its strips are cut.
        steps: In order: those for the first kit, then those for the others.
        pieces: As the checker's replay of the steps found them.
        offcuts: Likewise.
        cuts: The cuts as the replay made them, by the numbers of the steps that are done first.
        parts: The parts that were cut up, by their names.
        levels: Rounds of parallel cuts.
        uses_full_size: Whether a whole row or column leaves no waste, so that the cloth
            must be measured first.
    """

    name: str
    form_id: str
    source: str
    sheet: tuple[Length, Length]
    copies: int
    first: int = 0
    folded: bool
    steps: tuple[Step, ...]
    pieces: tuple[Placed, ...]
    offcuts: tuple[Rect, ...]
    levels: int
    uses_full_size: bool = False
    cuts: tuple[Mark, ...] = ()
    parts: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededPiece:
    """A kind of piece with its letter, what one kit needs and what the job makes.

    Attributes:
        letter: ``A``, ``B`` … unique within the kit, the same in all colorways.
        key: The key its placed pieces carry.
        role: The fabric role it belongs to.
        colorway: The colorway it belongs to; "" when there are none.
        piece: The pattern's piece.
        across, along: Cut measures as it lies unturned, inches.
        per_kit: Pieces a kit needs.
        needed: Pieces the job must give.
        made: Pieces the layouts give.
        look_alikes: Letters of pieces in the same bag that differ by a quarter inch or less.
    """

    letter: str
    key: str
    role: str
    colorway: str
    piece: Piece
    across: Length
    along: Length
    per_kit: int
    needed: int
    made: int
    look_alikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """How much of a form is taken, and how sure it is that less will not do.

    Attributes:
        count: Forms; for a length 1 a kit.
        lower_bound: No edge-to-edge cutting does with fewer.
        proven: Whether count (for a length: what is bought) cannot be less.
        length: Inches of the pieces alone, unrounded; None for a fixed form.
        length_lower_bound: No edge-to-edge cutting is shorter; None for a fixed form.
        length_proven: Whether the length itself cannot be less; None for a fixed form.
        length_with_loss: With straightening and re-squaring, unrounded; None likewise.
        buy_length: What is bought or pulled, rounded up; None likewise.
        buy: In words that start with the number: ``2¼ yd``, ``36 fat quarters``.
        one_fewer_at: (across, along) at which one form fewer would do; None unknown.
        estimated: Whether it is by area only (a fabric without pieces).
        prints: From how many prints it is taken alike, the same of each.
        counts: For a mix: (form id, how many) of each form taken; empty elsewhere.
        cost: For a mix: what the forms cost by their own costs, or None where one is missing
            and area stood for it; ``proven`` then speaks of this cost, or of the area.
        cost_lower_bound: For a mix: no edge-to-edge cutting costs less; None likewise.
    """

    count: int
    lower_bound: int
    proven: bool
    length: Length | None = None
    length_lower_bound: Length | None = None
    length_proven: bool | None = None
    length_with_loss: Length | None = None
    buy_length: Length | None = None
    buy: str
    one_fewer_at: tuple[Length, Length] | None = None
    estimated: bool = False
    prints: int = 1
    counts: tuple[tuple[str, int], ...] = ()
    cost: Decimal | None = None
    cost_lower_bound: Decimal | None = None

    def forms_of(self, form: Form) -> list[tuple[Form, int]]:
        """Return how many of which form it is."""
        if not form.mix:
            return [(form, self.count)]
        counts = dict(self.counts)
        return [(one, counts[one.form_id]) for one in form.mix if counts.get(one.form_id)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What is left after cutting, of one size.

    Attributes:
        across, along: Inches.
        count: How many.
        grade: ``back on the bolt``, ``keep`` or ``scrap``.
    """

    across: Length
    along: Length
    count: int
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Eased:
    """What easier cutting costs in cloth and saves in time, against the least that can be bought.

    Attributes:
        more: Inches bought on top.
        minutes_less: At the cutting table, an estimate.
        cloth_cost: What a yard (a meter) counts with, money.
        labor_per_hour: What an hour at the table counts with, money.
        defaults: Which of the two the shop does not name: ``cloth``, ``labor``.
    """

    more: Length
    minutes_less: Fraction
    cloth_cost: Decimal
    labor_per_hour: Decimal
    defaults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingJob:
    """Everything that is cut from one fabric in one go: by the shop, or by one student.

    Attributes:
        pieces: What is needed and made.
        layouts: Distinct ways of cutting, in cutting order.
        offcuts: Graded.
        levels: The most rounds of parallel cuts in any layout.
        cuts, settings, stacks: Over the whole job, as its steps count them.
        minutes: At the cutting table, an estimate at the shop's pace.
        miscuts: How many more of its largest piece the cloth yields.
        prints: How many prints are cut alike: each layout as often from each of them.
        eased: What was spent on easier cutting; None for nothing.
    """

    pieces: tuple[NeededPiece, ...]
    layouts: tuple[CutLayout, ...]
    offcuts: tuple[Offcut, ...]
    levels: int
    cuts: int
    settings: int
    stacks: int
    minutes: Fraction
    miscuts: int
    prints: int = 1
    eased: Eased | None = None

    def cloth(self, form: Form, amount: Yield) -> Fraction:
        """Return the square inches that are bagged or pulled.

        Of a length all of it, with what rounding up to a whole eighth of a yard adds, not
        only the stretch that the pieces take.
        """
        sheets = (layout.sheet[0] * layout.sheet[1] * layout.copies for layout in self.layouts)
        cut = sum(sheets, Fraction(0))
        return max(cut, form.usable_across * (amount.buy_length or 0))

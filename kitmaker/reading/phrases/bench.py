"""The cutting table while a fabric's lines are read: the cuts so far, the strips at hand.

``Cut 9 strips 2½" × WOF.`` lays 9 strips at hand. ``Set 4 aside for the border.`` keeps 4
back. ``Sub-cut the rest into squares.`` makes squares of 5; 4 stay whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kitmaker.errors import Level
from kitmaker.lengths import Length
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.model import Cut, FabricFacts, Finding, Remark, Understood
from kitmaker.reading.phrases.plain import UnsureError

USUAL_WIDTH: Length = Length(42)
"""Inches of a strip that patterns count on where strips are joined. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The table as it was before a sentence."""

    cuts: tuple[Cut, ...]
    cut_on: frozenset[int]
    strips: tuple[int, ...]
    rest: tuple[int, ...]
    kept: int


class Bench:
    """What lies on the table.

    Attributes:
        facts: What the words depend on.
        understood: What was made of the lines so far.
        number: The line that is read.
        strips: The places in ``understood.cuts`` of the strips last named.
        rest: Of strips that were sub-cut in part, the place of those left whole.
        kept: How many of the strips at hand are set aside.
        chosen: How many ready-cut squares a line chose to be cut up; 0 for none.
        are_from_strips: Whether the pieces last laid down were cut from strips.
        joined: The widths of strips that were sewn together since.
        list_is_open: Whether the lines below say what the strips at hand are cut into.
        list_is_doubtful: Whether that shows by the list's marks only, and not in words.
        listed: The strip that such a list is cutting.
        list_is_each: Whether its counts are for each of those strips.
    """

    def __init__(self, facts: FabricFacts) -> None:
        """Begin with an empty table."""
        self.facts = facts
        self.understood = Understood()
        self.number = 0
        self.strips: list[int] = []
        self.rest: list[int] = []
        self.kept = 0
        self.chosen = 0
        self.are_from_strips = False
        self.joined: frozenset[Length] = frozenset()
        self.list_is_open = False
        self.list_is_doubtful = False
        self.listed: Cut | None = None
        self.list_is_each = False

    @property
    def cuts(self) -> list[Cut]:
        """The cuts so far."""
        return self.understood.cuts

    def cuts_of_line(self) -> list[Cut]:
        """Return the cuts of the line that is read."""
        return [cut for cut in self.cuts if cut.line == self.number]

    def state(self) -> State:
        """Return what must come back when a sentence turns out not to be sure."""
        return State(
            cuts=tuple(self.cuts),
            cut_on=frozenset(self.understood.cut_on),
            strips=tuple(self.strips),
            rest=tuple(self.rest),
            kept=self.kept,
        )

    def restore(self, state: State) -> None:
        """Undo a sentence that is not sure."""
        self.understood.cuts[:] = state.cuts
        self.understood.cut_on = set(state.cut_on)
        self.strips, self.rest = list(state.strips), list(state.rest)
        self.kept, self.chosen = state.kept, 0

    def find(self, level: Level, message: str, suggestion: str = "") -> None:
        """Add something a person has to know about this line."""
        self.understood.findings.append(
            Finding(line=self.number, level=level, message=message, suggestion=suggestion)
        )

    def remark(self, words: str) -> None:
        """Add words of this line that ask for no cutting."""
        words = " ".join(words.split())
        self.understood.remarks.append(Remark(line=self.number, words=words))

    def has_left_a_trace(self) -> bool:
        """Whether this line has become a cut, a finding or a remark."""
        read = self.understood
        lines = (
            *(cut.line for cut in read.cuts[-1:]),
            *(finding.line for finding in read.findings[-1:]),
            *(remark.line for remark in read.remarks[-1:]),
        )
        return self.number in lines

    def lay(self, new: list[Cut]) -> None:
        """Add cuts from the fabric itself; strips among them are the ones at hand now.

        Strips shorter than the fabric is wide (2½ × 20 of a fat quarter) are at hand where
        there are no others.
        """
        first = len(self.cuts)
        self.cuts.extend(new)
        self.clear()
        self.are_from_strips, self.joined = False, frozenset()
        whole = [at for at, cut in enumerate(new) if cut.kind is PieceKind.STRIP]
        short = [at for at, cut in enumerate(new) if cut.is_short_strip]
        self.strips = [first + at for at in whole or short]

    def held_by(self, strip: Cut) -> Length:
        """Return the inches that one strip gives at most."""
        return strip.length if strip.length is not None else self.facts.widest_width

    def whole_strips(self) -> list[Cut]:
        """Return the strips at hand that go across the whole fabric."""
        return [self.cuts[at] for at in self.strips if self.cuts[at].length is None]

    def open_list(self) -> None:
        """Begin a list below a line that is no part of it: it may say what strips become.

        Strips that have a purpose of their own are not cut on by a list.
        """
        strips = self.whole_strips()
        if len(strips) == 1 and not strips[0].words:
            self.list_is_open, self.list_is_doubtful = True, True

    def choose_strips(self, width: Length) -> None:
        """Take up the strips of one width where there are several: ``From the 5" strips``."""
        of_width = [
            at
            for at, cut in enumerate(self.cuts)
            if cut.kind is PieceKind.STRIP and cut.width == width
        ]
        if len(of_width) == 1 and (len(self.strips) != 1 or self.strips != of_width):
            self.clear()
            self.strips = of_width

    def open_worded_list(self, number: int | None) -> None:
        """Begin a list that says what strips are cut into.

        Args:
            number: How many of the strips at hand; None for all.

        Raises:
            UnsureError: There are not so many, or strips of several widths.
        """
        self.list_is_open = True
        if number is None:
            return
        place = self.strips[0]
        strip = self.cuts[place]
        number *= strip.from_each or 1
        if len(self.strips) != 1 or number > strip.quantity:
            raise UnsureError("which of the strips above it is cut from is not said")
        if number < strip.quantity:
            self.cuts[place] = replace(strip, quantity=number)
            self.cuts.insert(place, replace(strip, quantity=strip.quantity - number))
            self.strips = [place + 1]

    def sew(self) -> None:
        """Sew the strips at hand: what is cut from here on is cut from what was sewn."""
        self.joined |= {strip.width for strip in self.whole_strips()}
        self.clear()

    def clear(self) -> None:
        """Leave no strips at hand: what comes next is cut from something else."""
        self.strips, self.rest, self.kept, self.chosen = [], [], 0, 0
        self.list_is_open, self.list_is_doubtful, self.listed = False, False, None
        self.list_is_each = False

    def keep_back(self, sentence: str, number: int) -> None:
        """Take ``Set the other 4 strips aside``; 0 means all there are.

        Raises:
            UnsureError: There are not so many.
        """
        most = max((cut.quantity for cut in self.cuts_of_line() or self.cuts[-1:]), default=-1)
        if not (self.rest or self.strips) and number <= most:
            self.remark(sentence)  # pieces that are cut already
            return
        whole = [self._of_one_print(at) for at in self.rest or self.strips]
        if number and whole != [number]:
            if self.rest or len(whole) != 1 or number > whole[0]:
                raise UnsureError(
                    f"it keeps {number} back, but {max(whole, default=0)} strips are left whole",
                    "Make the counts agree.",
                )
            self.kept = number
        self.remark(sentence)

    def _of_one_print(self, place: int) -> int:
        """Return how many strips there are of each print, as the words count them."""
        strip = self.cuts[place]
        return strip.quantity // (strip.from_each or 1)

    def take_up_the_rest(self, stated: int | None, *, says_rest: bool) -> int | None:
        """Go on with the strips that were left whole, when it is them that are meant.

        Args:
            stated: How many strips the line names; None when it names no number.
            says_rest: Whether it speaks of those that remain.

        Returns:
            How many of the strips at hand are cut; None for all.

        Raises:
            UnsureError: Which strips remain is not said for sure.
        """
        if self.kept and len(self.strips) == 1:
            free = self._of_one_print(self.strips[0]) - self.kept
            if stated is not None and stated > free:
                raise UnsureError(f"{self.kept} strips are kept back, so {free} can be cut")
            return stated if stated is not None else free
        if says_rest:
            held = sum(self._of_one_print(at) for at in self.rest)
            if not self.rest or (stated is not None and stated != held):
                raise UnsureError(
                    "which strips remain is not said for sure",
                    "Type how many strips are cut into what.",
                )
            self.strips, self.rest = self.rest, []
        elif self.rest and not self.strips and stated is not None:
            self.strips, self.rest = self.rest, []
        return stated

    def cut_last_on_diagonal(self, times: int) -> None:
        """Cut the squares last named on the diagonal.

        Raises:
            UnsureError: There are none.
        """
        last = self.cuts[-1] if self.cuts else None
        if last is None or last.width != last.length or last.kind is not PieceKind.PIECE:
            raise UnsureError("which squares are cut on the diagonal is not said")
        self.cuts[-1] = replace(last, shape=Shape.CUT_ONCE if times == 1 else Shape.CUT_TWICE)
        self.remark("the squares above are cut on the diagonal")

    def cut_some_on_diagonal(self, number: int, times: int) -> None:
        """Cut so many of the squares last named on the diagonal; the others stay squares.

        Raises:
            UnsureError: There are no squares, or not so many.
        """
        last = self.cuts[-1] if self.cuts else None
        if last is None or last.width != last.length or last.quantity < number or number < 1:
            raise UnsureError("which squares are cut on the diagonal is not said")
        left = last.quantity - number
        self.cut_last_on_diagonal(times)
        self.cuts[-1] = replace(self.cuts[-1], quantity=number)
        if left:
            self.cuts.insert(-1, replace(last, quantity=left))

    def cut_named_on_diagonal(self, letter: str, times: int) -> None:
        """Cut the squares of one letter on the diagonal: ``Cut each D on one diagonal``.

        Raises:
            UnsureError: No squares, or several, have that letter.
        """
        named = [
            at
            for at, cut in enumerate(self.cuts)
            if cut.width == cut.length and letter in (cut.name, *cut.words.split())
        ]
        if len(named) != 1:
            raise UnsureError(f"which squares '{letter}' are is not said for sure")
        place = named[0]
        shape = Shape.CUT_ONCE if times == 1 else Shape.CUT_TWICE
        self.cuts[place] = replace(self.cuts[place], shape=shape)
        self.remark(f"the squares {letter} are cut on the diagonal")

    def cut_by_size_on_diagonal(self, times: int, *, is_large: bool) -> None:
        """Cut the large or the small squares on the diagonal, of two sizes on this line.

        Raises:
            UnsureError: There are not just two sizes of them.
        """
        places = [
            at
            for at, cut in enumerate(self.cuts)
            if cut.line == self.number and cut.shape is Shape.SQUARE
        ]
        if len({self.cuts[at].width for at in places}) != 2 or len(places) != 2:
            raise UnsureError("which squares are cut on the diagonal is not said for sure")
        pick = max if is_large else min
        place = pick(places, key=lambda at: self.cuts[at].width)
        shape = Shape.CUT_ONCE if times == 1 else Shape.CUT_TWICE
        self.cuts[place] = replace(self.cuts[place], shape=shape)
        self.remark(f"the {'large' if is_large else 'small'} squares are cut on the diagonal")

    def joined_length(self, width: Length, new: Sequence[Cut] = ()) -> Length:
        """Return the inches that all strips of a width give when they are joined."""
        count = sum(
            cut.quantity
            for cut in (*self.cuts, *new)
            if cut.kind is PieceKind.STRIP and cut.width == width
        )
        return count * min(USUAL_WIDTH, self.facts.widest_width)

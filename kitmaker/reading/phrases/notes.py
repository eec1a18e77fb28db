"""Sentences of a cutting text that ask for no cut: what is set aside, sewn, needed, or told.

They may still speak of what was cut: ``Set 4 strips aside.``, ``You need 40.``, ``Sew the strips
end to end and cut two borders.``; what they say is held against it.
"""

from __future__ import annotations

import re

from kitmaker.errors import Level
from kitmaker.lengths import Length
from kitmaker.reading.phrases.asides import check_aside
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.joining import joins_strips
from kitmaker.reading.phrases.narration import is_for_another
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length
from kitmaker.reading.phrases.sentences import (
    cuts_bias_strips,
    cuts_strip_sets,
    cuts_what_is_sewn,
    is_cutting,
    is_no_cut,
    kept_back,
    makes_bias_strips,
    multiplies,
    needed_of_cut,
    needed_of_size,
    opens_a_list,
    says_need_of_strips,
    says_what_comes_of_it,
    trims_and_cuts,
)

_SEWS = re.compile(
    r"(?:(?:and|then|now|next)\s+)*(?:(?:sew|stitch|join|seam)\b|(?:make|piece|use|arrange)\b.*\b(?:strip[\s-]*sets?|sets|strata|bands?)\b)",
    re.IGNORECASE,
)
_MADE_OF = re.compile(
    rf"^(?:(?:and|then)\s+)*(?:make|use)\b.*?\b\d+\s+(?:squares\s+(?P<side>{NUMBER})\s*(?P<side_unit>{UNIT})"
    rf"|(?P<other>{NUMBER})\s*(?P<other_unit>{UNIT})(?=[^,;]*\b(?:squares|strips|rectangles)\b))",
    re.IGNORECASE,
)
_HALVED_AND_SEWN = re.compile(
    r"(?:cut|divide)\s+(?:(?:the|your|this|it|backing|fabric|yardage|piece|length)\s+)*(?:in|into)\s+(?:half|2(?:\s+equal)?(?:\s+(?:pieces|lengths))?)"
    r"(?:\s+(?:crosswise|widthwise|across))?\s*,?\s*(?:and|then)\s+(?:then\s+)?(?:sew|join|seam|stitch|piece)\b[^\d]*(?:\b2\s+[a-z]+[^\d]*)?",
    re.IGNORECASE,
)
"""What becomes of a whole backing that no piece is cut from."""
_CUTS_SETS = re.compile(
    r"(?:(?:and|then)\s+)*(?:from|(?:sub-?\s?|cross-?\s?)?cut)\s+(?:each|every|the|these|both)\s+(?:sets?|bands?)\b",
    re.IGNORECASE,
)


_SIZED_PIECES = re.compile(
    rf"(?:set\s+aside|save|reserve|keep|trim|add)\s+[(‹]?\d+[)›]?\s+(?:(?:[a-z]+\s+){{0,2}}{NUMBER}\s*{UNIT}?"
    rf"(?:\s*(?:x|×|by)\s*(?:{NUMBER}\s*{UNIT}?|wof))?\s+(?:strips|squares|rectangles|pieces)"
    rf"|(?:[a-z]+\s+){{0,2}}(?:strips|squares|rectangles|pieces)\s*,?\s+{NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)


SMALLEST_BIAS_SQUARE = Length(15)
"""Inches; smaller squares are patches. Our own bound, no source."""


class NoteReader:
    """Reads notes against what lies on the cutting table.

    Attributes:
        told_on: The line of the last sentence, where it was one on sewing and the like.
    """

    def __init__(self, bench: Bench) -> None:
        """Begin with nothing told."""
        self.bench = bench
        self.told_on = -1

    @property
    def has_told(self) -> bool:
        """Whether the sentence before it on its line was one on sewing and the like."""
        return self.told_on == self.bench.number

    def reads(self, sentence: str, signs: str) -> bool:
        """Take a sentence that asks for no cut; False where it may ask for one.

        Args:
            sentence: As it stands.
            signs: The same in plain signs.

        Raises:
            UnsureError: It changes what was cut, and how is not sure.
        """
        if is_for_another(signs) and not self.bench.strips:
            self.bench.remark(sentence)
        elif (kept := kept_back(signs)) is not None:
            self.bench.keep_back(sentence, kept)
        elif (
            self._is_of_what_is_cut(signs)
            or cuts_strip_sets(signs)
            or (not self.bench.cuts and _HALVED_AND_SEWN.fullmatch(signs) is not None)
            or (self.has_told and cuts_what_is_sewn(signs))
            or (bool(self.bench.joined) and _CUTS_SETS.match(signs) is not None)
            or (cuts_bias_strips(signs) and self.bench.cuts_of_line())
            or (makes_bias_strips(signs) and self._is_large_square())
        ):
            self.bench.remark(sentence)
        elif says_what_comes_of_it(signs) and self.bench.cuts:
            check_aside(signs, self.bench.cuts_of_line() or self.bench.cuts[-1:])
            self.bench.remark(sentence)
        elif self.bench.strips and opens_a_list(signs) and not is_cutting(signs):
            self.bench.list_is_open = True
            self.bench.remark(sentence)
        elif joins_strips(self.bench, sentence, signs):
            self.bench.sew()
        elif trims_and_cuts(signs):
            raise UnsureError(
                "what is left to be trimmed and cut is not said",
                "Type the pieces alone, with their size and count.",
            )
        elif is_no_cut(signs):
            self._refuse_uncut(signs)
            self._no_cut(sentence, signs)
        else:
            return False
        return True

    def _refuse_uncut(self, signs: str) -> None:
        """Refuse ``Set aside 4 strips 2½" x WOF`` where nothing has been cut before it."""
        if not self.bench.cuts and _SIZED_PIECES.match(signs):
            raise UnsureError(
                "whether they are cut from this fabric is not said",
                "Type 'cut' before the count if they are.",
            )

    def _is_of_what_is_cut(self, signs: str) -> bool:
        """Whether a sentence says how many of the pieces, or strips for them, are needed."""
        if says_need_of_strips(signs) and self.bench.cuts_of_line():
            return True
        of_size = needed_of_size(signs, self.bench.facts.unit)
        if of_size is not None and self.bench.cuts:
            return self._is_of_cut_size(signs, *of_size)
        needed, cuts = needed_of_cut(signs), self.bench.cuts
        # Behind a sentence on sewing it is of what is sewn.
        is_known = self.has_told or (
            bool(cuts) and needed is not None and needed <= cuts[-1].quantity
        )
        return needed is not None and is_known

    def _is_large_square(self) -> bool:
        """Whether the line has just cut one square that is large enough for bias strips."""
        last = self.bench.cuts_of_line()[-1:]
        return any(
            one.quantity == 1 and one.width == one.length and one.width >= SMALLEST_BIAS_SQUARE
            for one in last
        )

    def _is_of_cut_size(self, signs: str, number: int, sides: frozenset[Length]) -> bool:
        """Whether ``You need 12 pieces 2" x 5"`` says once more what was cut before it.

        Raises:
            UnsureError: It may be a cut of its own, or does not go with what was cut.
        """
        says_need = re.search(r"\bneed", signs, re.IGNORECASE) is not None
        here = self.bench.cuts_of_line()[-1:]
        alike = [
            cut
            for cut in (here if says_need and here else self.bench.cuts)
            if frozenset({cut.width, cut.length or cut.width}) == sides
        ]
        if says_need and here:
            return any(number <= cut.quantity for cut in alike)
        is_same = any(number == cut.quantity for cut in alike)
        if is_same != (not says_need):
            raise UnsureError("whether the pieces are those cut above it is not said for sure")
        return is_same

    def _no_cut(self, sentence: str, signs: str) -> None:
        if re.match(r"make\s+\d+[^\d:]*:\s*[(]?\d+.*\d", signs, re.IGNORECASE):
            raise UnsureError(
                "whether the counts are for one or for all is not said", "Type the totals for all."
            )
        self.told_on = self.bench.number
        if _SEWS.match(signs):
            self.bench.sew()
        self.bench.remark(sentence)
        self._warn_if_unseen(sentence, signs)
        if not self.bench.cuts and re.match(
            r"(?:[a-z ]+:\s*)?make\s+\d+\b[^\d]*$", signs, re.IGNORECASE
        ):
            self.bench.find(
                Level.WARNING,
                f"'{sentence}' is read as a note: the counts below are taken as they stand",
                "Type the total for all if they are for one.",
            )
        self.warn_if_multiplies(sentence, signs)

    def _warn_if_unseen(self, sentence: str, signs: str) -> None:
        """Warn of pieces that something is made of where none of their size is cut above."""
        for found in _MADE_OF.finditer(signs):
            unit = found["side_unit"] or found["other_unit"]
            side = to_length(found["side"] or found["other"], unit, self.bench.facts.unit)
            if not any(side in (cut.width, cut.length) for cut in self.bench.cuts):
                self.bench.find(
                    Level.WARNING,
                    f"'{' '.join(sentence.split())}' names pieces that are not cut above it; it is "
                    "read as a note only",
                    "Type count and size on a line of its own if they are cut of this fabric.",
                )
                return

    def warn_if_multiplies(self, sentence: str, signs: str) -> None:
        """Warn of a note with a word that may change how many are cut."""
        if multiplies(signs):
            self.bench.find(
                Level.WARNING,
                f"'{' '.join(sentence.split())}' may multiply or add; it is read as a note only",
                "Put the right counts into the lines themselves.",
            )

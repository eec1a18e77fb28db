"""Lines into cuts: what governs them, what is cut from what, what is left of a strip.

A strip and its sub-cuts are one demand: strips that are sub-cut are replaced by what they
are cut into, strips that are not stay whole. A heading ("From each of 12 prints, cut:",
"Cut lengthwise") governs the lines below it until another takes its place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from kitmaker.errors import Level
from kitmaker.lengths import Length, say_number
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.elements import Kind, elements_of
from kitmaker.reading.phrases.finished import is_like, read_finished, take_bracket
from kitmaker.reading.phrases.items import Item, items_of
from kitmaker.reading.phrases.manners import Blocks, in_plain_manner, take_blocks
from kitmaker.reading.phrases.model import Cut, EachOf, FabricFacts, Finding, Remark, Understood
from kitmaker.reading.phrases.plain import PlainLine, UnsureError, make_plain, plain_signs
from kitmaker.reading.phrases.sentences import (
    Clause,
    is_cutting,
    is_damaged,
    is_no_cut,
    joined_pieces,
    kept_back,
    multiplies,
    says_size,
    split_clauses,
    split_sentences,
    take_label,
)
from kitmaker.reading.phrases.settle import settle
from kitmaker.reading.phrases.sources import (
    From,
    Source,
    mark_diagonals,
    take_running_length,
    take_source,
    take_yields,
)

LONGEST_LINE = 600
"""Characters; an instruction is a sentence or three, not a page."""

_FROM_THESE = re.compile(
    r"(?<=\S)\s*[,;:]?\s*(?:(?:and|then)\s+)*\bfrom\s+(?:these|those|them|the\s+strips)(?:\s+strips)?"
    r"\s*,?\s*cut\b\s*:?",
    re.IGNORECASE,
)
_CUTS_UP = re.compile(
    r"\b(?:from|cut)\s+(?:each|every|these|those|the)\s+(?:of\s+(?:the|these)\s+)?"
    r"(?:[^.;:,]*?\s)?(?:squares?|rectangles?)\b(?=.*(?:\bcut\b|\binto\b|\d))"
    r"|\bcut\s+each\s+(?:in|into)\b",
    re.IGNORECASE,
)
_JOINS = re.compile(
    r"(?:sew|join|stitch|piece)\b.*\b(?:cut|trim)\b|using\s+the\b.*\bstrips\b", re.IGNORECASE
)
_RETYPE = "Type count, size and what it is: (5) 2 1/2 x 4 1/2 rectangles."


def read_lines(lines: Sequence[str], facts: FabricFacts) -> Understood:
    """Read the cutting instructions of one fabric.

    Args:
        lines: One instruction or more to a line.
        facts: What the words depend on.
    """
    reader = _Reader(facts)
    for number, line in enumerate(lines):
        reader.line(number, line)
    return reader.understood


def says_a_cut(line: str) -> bool:
    """Whether a line names a size or a count to cut, so that it is more than a note."""
    text = plain_signs(line[:LONGEST_LINE])
    if is_no_cut(text):
        return False
    return says_size(text) or (is_cutting(text) and re.search(r"\d", text) is not None)


@dataclass(slots=True)
class _Governing:
    """What a heading says about the lines below it."""

    each: int | None = None
    is_each: bool = False
    each_of: EachOf = EachOf.UNSAID
    was_bare_heading: bool = False
    lengthwise: bool = False
    lengthwise_words: frozenset[str] = field(default_factory=frozenset)
    blocks: Blocks | None = None


class _Reader:
    def __init__(self, facts: FabricFacts) -> None:
        self.facts = facts
        self.understood = Understood()
        self.governing = _Governing()
        self.strips: list[int] = []  # places in understood.cuts of the strips last named
        self.rest: list[int] = []  # the strips of which only some are sub-cut so far
        self.blocks: Blocks | None = None  # what the counts of this sentence are for
        self.number = 0

    def line(self, number: int, line: str) -> None:
        self.number = number
        if not line.strip():
            return
        if len(line) > LONGEST_LINE:
            self._find(
                Level.ERROR,
                f"'{line[:40]}…' is not read: it is longer than {LONGEST_LINE} characters",
                "Put each cut on a line of its own.",
            )
            return
        for sentence in split_sentences(re.sub(r"[.]{2,}|…", " ", line)):
            before = len(self.understood.cuts)
            try:
                self._sentence(sentence)
            except UnsureError as fault:
                del self.understood.cuts[before:]
                said = " ".join(sentence.split())
                self._find(
                    Level.ERROR, f"'{said}' is not read: {fault}", fault.suggestion or _RETYPE
                )
        if not self._has_left_a_trace(number):
            self._remark(" ".join(line.split()))

    def _has_left_a_trace(self, number: int) -> bool:
        read = self.understood
        last = [one.line for one in read.cuts[-1:]] + [one.line for one in read.findings[-1:]]
        return number in (*last, *(one.line for one in read.remarks[-1:]))

    def _find(self, level: Level, message: str, suggestion: str = "") -> None:
        self.understood.findings.append(
            Finding(line=self.number, level=level, message=message, suggestion=suggestion)
        )

    def _remark(self, words: str) -> None:
        self.understood.remarks.append(Remark(line=self.number, words=words))

    def _sentence(self, sentence: str) -> None:
        signs, told = take_bracket(plain_signs(sentence), self.facts)
        if told is None:
            if not self._is_of_finished_sizes(signs):
                self._signs(sentence, signs)
            return
        before = len(self.understood.cuts)
        self._signs(sentence, signs)
        new = self.understood.cuts[before:]
        if len(new) != 1 or not told.agrees(new[0], self.facts.cut_rules):
            raise UnsureError(
                f"the cut size and '{told.words}' do not belong together for sure",
                "Type the cut size alone, or the finished size alone.",
            )
        self._remark(told.words.strip("()"))

    def _signs(self, sentence: str, signs: str) -> None:
        if self._is_read_as_note(sentence, signs):
            return
        if not re.search(r"\d", signs):
            if is_damaged(signs):
                raise UnsureError(
                    "signs or letters stand where figures should be",
                    "Type the line by hand from the printed pattern.",
                )
            self._without_numbers(sentence, signs)
            return
        plain = make_plain(in_plain_manner(signs), self.facts)
        for aside in plain.asides:
            self._remark(aside)
        label, plain.text = take_label(plain.text)
        self._begin(plain.text)
        self._refuse_cutting_up(plain.text)
        plain.text, blocks = take_blocks(plain.text)
        if blocks is not None and not re.search(r"\d", plain.text):
            self._head_blocks(sentence, blocks)
            return
        self.blocks = blocks or self.governing.blocks
        plain.text = mark_diagonals(_FROM_THESE.sub("; sub-cut into ", plain.text))
        text, source = take_source(plain.text, bool(self.strips), self.facts.role)
        if source is not None:
            self._govern_by(source, text)
        plain.text = text
        plain.text = take_yields(plain)
        if not re.search(r"\d", re.sub(r"§\d§", "", plain.text)):
            self._without_numbers(sentence, plain.text, headed=source is not None)
            return
        plain.text, running = take_running_length(plain.text, self.facts.unit)
        cuts_before = len(self.understood.cuts)
        for clause in split_clauses(plain.text, bool(self.strips)):
            self._clause(clause, source, running, label, plain)
        self._check_totals(plain, cuts_before)
        for words in plain.warnings:
            self._find(Level.WARNING, words, "Type the size with a space between: 5 1/4.")

    def _is_of_finished_sizes(self, signs: str) -> bool:
        """Read a sentence that states finished sizes; False where it is none."""
        found = read_finished(signs, self.facts)
        if found is None:
            return False
        if self.governing.is_each or self.governing.blocks is not None:
            raise UnsureError(
                "whether its count stands for each or for all is not said for sure",
                "Type the total, on a line above the heading.",
            )
        cuts = self.understood.cuts
        for cut in found.cuts:
            if any(is_like(cut, other) for other in cuts):
                raise UnsureError(
                    "the same cut stands above it, and may be what it is made of",
                    "Type only one of the two lines.",
                )
        cuts.extend(replace(cut, line=self.number) for cut in found.cuts)
        self.strips, self.rest = [], []
        for words, instead in found.warnings:
            self._find(Level.WARNING, words, instead)
        return True

    # what governs

    def _begin(self, text: str) -> None:
        """A line with a verb of its own ends what a heading with cuts beside it governed."""
        has_verb = re.match(r"(?:from|cut|sub-?\s?cut|then)\b", text, re.IGNORECASE)
        if self.governing.is_each and not self.governing.was_bare_heading and has_verb:
            self.governing.is_each, self.governing.each = False, None

    def _govern_by(self, source: From, rest: str) -> None:
        is_heading = not re.search(r"\d", rest)
        leads = source.source is Source.EACH_PRINT
        if leads:
            self.governing.is_each, self.governing.each = True, source.number
            self.governing.each_of = source.each_of
            self.governing.was_bare_heading = is_heading
            self.governing.blocks = None
        elif source.source is Source.FABRIC:
            self.governing.is_each, self.governing.each = False, None
            self.governing.blocks = None

    def _head_blocks(self, sentence: str, blocks: Blocks) -> None:
        """Take a heading such as ``For each of 9 blocks, cut:``."""
        self.governing.blocks = blocks
        self.governing.is_each, self.governing.each = False, None
        self._remark(" ".join(sentence.split()))

    def _refuse_cutting_up(self, text: str) -> None:
        """Refuse to cut up pieces that are themselves counted above."""
        if re.search(r"diagonal", text, re.IGNORECASE) or not _CUTS_UP.search(text):
            return
        if any(cut.kind is PieceKind.PIECE for cut in self.understood.cuts):
            raise UnsureError(
                "whether it is cut from the pieces named above, which are counted already, "
                "is not said for sure",
                "Type only the pieces that are needed in the end, with their total.",
            )

    def _without_numbers(self, sentence: str, signs: str, *, headed: bool = False) -> None:
        """Read a sentence without a number: a heading, a diagonal cut, or a note."""
        marked = mark_diagonals(" ".join(re.sub(r"[()]", " ", signs).split()))
        _, blocks = take_blocks(signs)
        if blocks is not None and is_cutting(signs):
            self._head_blocks(sentence, blocks)
            return
        if not headed:
            _, source = take_source(marked, bool(self.strips), self.facts.role)
            leads = re.match(r"(?:cut\s+)?from\b", marked, re.IGNORECASE) is not None
            if source is not None and (leads or is_cutting(marked)):
                self._govern_by(source, "")
                if source.source is not Source.FABRIC:
                    self._remark(" ".join(sentence.split()))
                    return
        if diagonal := re.search(r"§([12])§", marked):
            self._cut_last_on_diagonal(int(diagonal[1]))
            return
        elements = elements_of(marked, self.facts.unit, [])
        along = any(element.kind is Kind.LOF for element in elements)
        across = any(element.kind is Kind.WOF for element in elements)
        if is_cutting(signs) and (along or across):
            self.governing.lengthwise = along and not across
            self.governing.lengthwise_words = frozenset(
                element.text.casefold().rstrip("s")
                for element in elements
                if element.text.casefold().rstrip("s") in ("border", "sashing", "binding")
            )
        if not headed and multiplies(signs) and not (along or across):
            self._find(
                Level.WARNING,
                f"'{' '.join(sentence.split())}' may multiply or add; it is read as a note only",
                "Put the right counts into the lines themselves.",
            )
        self._remark(" ".join(sentence.split()))

    def _is_read_as_note(self, sentence: str, signs: str) -> bool:
        if (kept := kept_back(signs)) is not None:
            self._keep_back(sentence, kept)
        elif _JOINS.match(signs) and self._joins_strips(sentence, signs):
            pass
        elif is_no_cut(signs):
            self._no_cut(sentence)
        else:
            return False
        return True

    def _joins_strips(self, sentence: str, signs: str) -> bool:
        """Take ``Join the strips and cut two 2 x 60½ borders`` as sewing, and check it.

        The strips are the demand; what is cut from them when they are joined is none.
        """
        strips = [cut for cut in self.understood.cuts if cut.kind is PieceKind.STRIP]
        wanted = Length(0)
        held = Length(0)
        for first, second, number in joined_pieces(signs, self.facts.unit):
            of_width = [cut for cut in strips if cut.width in (first, second)]
            if not of_width:
                return False
            held = max(held, sum((cut.quantity for cut in of_width), 0) * self._full_width())
            wanted += number * (second if of_width[0].width == first else first)
        if not wanted:
            return False
        if wanted > held:
            self._find(
                Level.WARNING,
                f"the strips give {say_number(held)} in joined, but {say_number(wanted)} in are "
                f"wanted: '{' '.join(sentence.split())}'",
                "Look at the pattern's counts; another strip may be needed.",
            )
        self._remark(" ".join(sentence.split()))
        return True

    def _full_width(self) -> Length:
        return min(Length(42), self.facts.widest_width)

    def _keep_back(self, sentence: str, kept: int) -> None:
        """Take ``Set the other 4 strips aside`` as a note when 4 are left whole."""
        whole = {self.understood.cuts[at].quantity for at in self.rest or self.strips}
        if kept and whole != {kept}:
            raise UnsureError(
                f"it keeps {kept} back, but {max(whole, default=0)} strips are left whole",
                "Make the counts agree.",
            )
        self._remark(" ".join(sentence.split()))

    def _no_cut(self, sentence: str) -> None:
        words = " ".join(sentence.split())
        if re.match(r"(?:sew|stitch|join)\b", words, re.IGNORECASE):
            self.strips = []  # what is cut from here on is cut from what was sewn
        self._remark(words)
        if multiplies(plain_signs(sentence)):
            self._find(
                Level.WARNING,
                f"'{words}' may multiply or add; it is read as a note only",
                "Put the right counts into the lines themselves.",
            )

    def _cut_last_on_diagonal(self, times: int) -> None:
        cuts = self.understood.cuts
        last = cuts[-1] if cuts else None
        if last is None or last.width != last.length or last.kind is not PieceKind.PIECE:
            raise UnsureError("which squares are cut on the diagonal is not said")
        cuts[-1] = replace(last, shape=Shape.CUT_ONCE if times == 1 else Shape.CUT_TWICE)
        self._remark("the squares above are cut on the diagonal")

    # clauses

    def _clause(
        self,
        clause: Clause,
        source: From | None,
        running: Length | None,
        label: str,
        plain: PlainLine,
    ) -> None:
        elements = elements_of(clause.text, self.facts.unit, plain.warnings)
        if not any(element.kind in (Kind.COUNT, Kind.SIZE, Kind.DIAGONAL) for element in elements):
            return
        items = items_of(elements)
        _lay_alike(items)
        self._count_by_total(items, plain)
        if len(items) == 1 and items[0].is_empty and items[0].diagonal:
            self._cut_last_on_diagonal(items[0].diagonal)
            return
        from_strips = source is not None and source.source in (Source.STRIPS, Source.EACH_STRIP)
        self._take_up_the_rest(clause, source if from_strips else None)
        at_items = [item for item in items if item.at and not item.noun]
        if from_strips and not self.strips:
            at_items = [item for item in items if not self._is_strip(item)]
            if len(at_items) == len(items) and not self.facts.prints_are_strips:
                raise UnsureError("the strips it is cut from are not above it")
        if at_items and len(at_items) < len(items) and not self.strips:
            # A strip and, on the same line, what is cut from it: "3 strips 2½: 12 @ 4½".
            self._whole([item for item in items if item not in at_items], clause, label, running)
            self._sub_cut(at_items, label, None, each=False)
            return
        sub = clause.is_sub_cut or from_strips or bool(at_items)
        if sub and self.strips:
            partial = clause.strips_used or (source.number if from_strips and source else None)
            each = clause.from_each_strip or (
                source is not None and source.source is Source.EACH_STRIP
            )
            self._sub_cut(items, label, partial, each=each)
            return
        of_prints = clause.from_each_strip or source is not None
        if clause.is_sub_cut and (clause.strips_used is not None or (self.rest and not of_prints)):
            raise UnsureError("the strips it is cut from are not above it")
        self._whole(items, clause, label, running)

    def _count_by_total(self, items: list[Item], plain: PlainLine) -> None:
        """Take the total that a line states as its count where it states no other."""
        if len(items) != 1 or items[0].count is not None or self.governing.is_each or self.blocks:
            return
        said = [total for total, what in plain.totals if not what]
        if len(said) == 1 and len(plain.totals) == 1 and items[0].size is not None:
            items[0].count = said[0]

    def _take_up_the_rest(self, clause: Clause, source: From | None) -> None:
        """Go on with the strips that were left whole, when it is them that are meant."""
        says_rest = clause.of_the_rest or (source is not None and source.of_the_rest)
        stated = clause.strips_used or (source.number if source is not None else None)
        if says_rest:
            held = sum(self.understood.cuts[at].quantity for at in self.rest)
            if not self.rest or (stated is not None and stated != held):
                raise UnsureError(
                    "which strips remain is not said for sure",
                    "Type how many strips are cut into what.",
                )
            self.strips, self.rest = self.rest, []
        elif self.rest and not self.strips and stated is not None:
            self.strips, self.rest = self.rest, []

    @staticmethod
    def _is_strip(item: Item) -> bool:
        return item.noun == "strip" or (item.across and not item.noun)

    def _whole(self, items: list[Item], clause: Clause, label: str, running: Length | None) -> None:
        """Add what is cut from the fabric itself."""
        each_print = self.governing.is_each
        if clause.is_sub_cut and clause.from_each_strip:
            if not self.facts.prints_are_strips:
                raise UnsureError("the strips it is cut from are not above it")
            each_print = True
        multiplier = self._prints() if each_print else None
        new: list[Cut] = []
        for item in items:
            item.along = item.along or self._is_lengthwise(item)
            new.append(self._settled(item, label, running, multiplier, None))
        self._refuse_possible_sub_cuts(new, clause)
        self._warn_of_possible_sub_cuts(new, clause)
        first = len(self.understood.cuts)
        self.understood.cuts.extend(new)
        strips = [first + at for at, cut in enumerate(new) if cut.kind is PieceKind.STRIP]
        self.strips, self.rest = strips, []

    def _settled(
        self,
        item: Item,
        label: str,
        running: Length | None,
        multiplier: int | None,
        strip: Cut | None,
    ) -> Cut:
        cut = settle(item, self.facts, running=running, strip=strip)
        if cut.length_of_fabric:
            self._find(
                Level.WARNING,
                f"the length of the fabric is read as the whole requirement, "
                f"{say_number(cut.length or cut.width)} in",
                "Type the length in figures if it is shorter.",
            )
        quantity = cut.quantity * (multiplier or 1) * self._block_count(cut)
        name = item.letter or label or cut.name
        return replace(cut, line=self.number, quantity=quantity, from_each=multiplier, name=name)

    def _block_count(self, cut: Cut) -> int:
        if self.blocks is None:
            return 1
        if self.blocks.number is None:
            raise UnsureError("how many blocks it is for is not said", "Type the total.")
        if cut.kind is not PieceKind.PIECE:
            raise UnsureError(
                "whether strips are for each block or for all is not said", "Type the total."
            )
        return self.blocks.number

    def _prints(self) -> int:
        stated, known = self.governing.each, self.facts.count_of(self.governing.each_of)
        if stated is not None and (known is None or stated <= known):
            return stated
        if stated is None and known is not None:
            return known
        if stated is not None:
            raise UnsureError(
                f"it says each of {stated}, but the fabric has {known}", "Make the two agree."
            )
        raise UnsureError(
            "how many prints 'each' stands for is not stated for sure",
            "State the number under Prints, or type the total.",
        )

    def _is_lengthwise(self, item: Item) -> bool:
        if not self.governing.lengthwise or item.across:
            return False
        words = {word.casefold().rstrip("s") for word in (*item.words, item.noun)}
        return not self.governing.lengthwise_words or bool(words & self.governing.lengthwise_words)

    def _warn_of_possible_sub_cuts(self, new: list[Cut], clause: Clause) -> None:
        """Say so when pieces below a strip might be its sub-cuts without being called so."""
        strips = [self.understood.cuts[at] for at in self.strips]
        # A new "Cut" begins a new thing, but for strips of no purpose it may go on with them.
        widths = {one.width for one in strips if not (clause.has_verb and one.words)}
        if not widths:
            return
        for cut in new:
            if cut.kind is PieceKind.PIECE and self._could_be_from_strips(cut, widths):
                self._find(
                    Level.WARNING,
                    f"'{cut.name}' is read as cut beside the strips above it, not from them",
                    "Write 'sub-cut into' before it if it is cut from those strips.",
                )

    def _refuse_possible_sub_cuts(self, new: list[Cut], clause: Clause) -> None:
        """Refuse a strip and pieces that fit into it, side by side without a word between."""
        for at, strip in enumerate(new):
            if strip.kind is not PieceKind.STRIP or re.search(r"\band\b|\+", clause.text):
                continue
            for cut in new[at + 1 :]:
                measures = {cut.width, cut.length or cut.width}
                along = cut.width + (cut.length or cut.width) - strip.width
                held = strip.quantity * self.facts.widest_width
                fits = cut.kind is PieceKind.PIECE and strip.width in measures
                if fits and along * cut.quantity <= held:
                    raise UnsureError(
                        f"whether '{cut.name}' is cut from the strips before it is not said",
                        "Write 'sub-cut into' between them, or put them on lines of their own.",
                    )

    def _could_be_from_strips(self, cut: Cut, widths: set[Length]) -> bool:
        for width in widths & {cut.width, cut.length or cut.width}:
            along = cut.width + (cut.length or cut.width) - width
            held = sum(
                self.understood.cuts[at].quantity
                for at in self.strips
                if self.understood.cuts[at].width == width
            )
            if along * cut.quantity <= held * self.facts.widest_width:
                return True
        return False

    # sub-cuts

    def _sub_cut(self, items: list[Item], label: str, partial: int | None, *, each: bool) -> None:
        cuts = self.understood.cuts
        strips = [cuts[at] for at in self.strips]
        if (partial is not None or each) and len(strips) != 1:
            raise UnsureError("which of the strips above it is cut from is not said")
        used = partial if partial is not None else strips[0].quantity
        if len(strips) == 1 and used > strips[0].quantity:
            raise UnsureError(
                f"it is cut from {used} strips, but there are {strips[0].quantity} above it"
            )
        new: list[Cut] = []
        consumed: set[int] = set()
        for item in items:
            place = self._strip_for(item)
            strip = cuts[place]
            consumed.add(place)
            self._one_to_a_strip(item, used)
            cut = self._settled(item, label, None, None, strip)
            if max(cut.width, cut.length or cut.width) > self.facts.widest_width:
                raise UnsureError(
                    "what is cut is longer than the strip, so strips are joined first",
                    "Type the strips only, with their count; joined lengths are no cuts.",
                )
            count = cut.quantity * (used if each else 1)
            # What a heading multiplied is multiplied in the strips already.
            if strip.from_each is not None and not each:
                count *= strip.from_each
            new.append(replace(cut, quantity=count, from_each=strip.from_each))
        if len(strips) > 1 and consumed != set(self.strips):
            raise UnsureError("which of the strips above it is cut from is not said")
        self._check_strips_suffice(new, strips, used)
        if len(strips) == 1 and used < strips[0].quantity:
            place = self.strips[0]
            cuts[place] = replace(strips[0], quantity=strips[0].quantity - used)
            self.strips, self.rest = [], [place]
        else:
            for place in sorted(consumed, reverse=True):
                self.understood.cut_on.add(cuts[place].line)
                del cuts[place]
            self.strips = self.rest = []
        cuts.extend(new)

    def _one_to_a_strip(self, item: Item, used: int) -> None:
        """Count one piece to a strip where none is said and no strip holds two."""
        size = item.size
        if item.count is not None or item.noun or size is None or size.second is None:
            return
        if 2 * max(size.first or size.second, size.second) > self.facts.widest_width:
            item.count = used

    def _strip_for(self, item: Item) -> int:
        """Return the place of the strip that an item is cut from."""
        if len(self.strips) == 1:
            return self.strips[0]
        size = item.size
        measures = {size.first, size.second} if size is not None else set()
        fitting = [at for at in self.strips if self.understood.cuts[at].width in measures]
        if len(fitting) != 1:
            raise UnsureError("which of the strips above it is cut from is not said")
        return fitting[0]

    def _check_strips_suffice(self, new: list[Cut], strips: list[Cut], used: int) -> None:
        if len(strips) != 1:
            return
        width = strips[0].width
        needed = Length(0)
        for cut in new:
            measures = [cut.width, cut.length or cut.width]
            along = max(measures) if width not in measures else sum(measures) - width
            needed += along * cut.quantity
        if needed > used * self.facts.widest_width:
            self._find(
                Level.WARNING,
                f"{used} strips of {say_number(width)} in do not give all that is cut from them",
                "The pieces are counted as they are written; look at the numbers.",
            )

    def _check_totals(self, plain: PlainLine, before: int) -> None:
        """Compare what a line says it comes to with what was read."""
        new = self.understood.cuts[before:] or self.understood.cuts[-1:]
        if len(new) != 1 or new[0].kind is not PieceKind.PIECE:
            return
        cut = new[0]
        pieces = {Shape.CUT_ONCE: 2, Shape.CUT_TWICE: 4}.get(cut.shape)
        made = cut.quantity * (pieces or 1)
        for total, what in plain.totals:
            of_triangles = re.search(r"triangle|hst|qst", what) is not None
            of_pieces = not what or re.search(r"square|rectangle|strip|piece|total", what)
            if not (of_triangles and pieces is not None) and not (of_pieces and not of_triangles):
                continue
            if total == made or (pieces is not None and total == cut.quantity):
                continue
            if pieces is not None and made > total:
                self._find(
                    Level.WARNING,
                    f"the squares give {made} triangles, of which {total} are said to be used",
                )
                continue
            raise UnsureError(
                f"it says {total} in all, but {made} were counted", "Type the right count."
            )


def _lay_alike(items: list[Item]) -> None:
    """Let a direction behind the last of several sizes hold for those without a noun too."""
    last = items[-1] if items else None
    if last is None or not last.along:
        return
    for item in items[:-1]:
        if not item.noun and not item.across:
            item.along = True

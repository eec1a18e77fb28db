"""Lines into cuts: what governs them, what is cut from what, what is left of a strip.

A strip and its sub-cuts are one demand: strips that are sub-cut are replaced by what they
are cut into, strips that are not stay whole. A heading ("From each of 12 prints, cut:",
"Cut lengthwise") governs the lines below it until another takes its place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from kitmaker.errors import Level
from kitmaker.lengths import Length
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.accounts import OF_EACH, Account
from kitmaker.reading.phrases.asides import check_aside
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.chosen import from_chosen, take_up_chosen
from kitmaker.reading.phrases.clauses import ClauseReader, Said
from kitmaker.reading.phrases.doubts import check_totals, refuse_once_more
from kitmaker.reading.phrases.elements import elements_of
from kitmaker.reading.phrases.finished import is_like, read_finished
from kitmaker.reading.phrases.finished_bracket import take_bracket
from kitmaker.reading.phrases.governing import Governing
from kitmaker.reading.phrases.manners import Blocks, in_plain_manner, take_blocks
from kitmaker.reading.phrases.model import Cut, FabricFacts, Understood
from kitmaker.reading.phrases.named_pieces import take_named_strips, takes_some_above
from kitmaker.reading.phrases.notes import NoteReader
from kitmaker.reading.phrases.plain import (
    BULLET,
    NUMBER,
    UNIT,
    WIDER_IS_READ,
    PlainLine,
    UnsureError,
    make_plain,
    plain_signs,
    to_length,
    without_codes,
)
from kitmaker.reading.phrases.ready_cut import as_cut
from kitmaker.reading.phrases.sentences import (
    as_next_cut,
    chooses,
    is_cutting,
    is_damaged,
    is_no_cut,
    is_title,
    list_number,
    opens_a_list,
    says_size,
    split_clauses,
    take_label,
)
from kitmaker.reading.phrases.sources import (
    RANDOM_LENGTHS,
    From,
    Source,
    amount_headed,
    mark_diagonals,
    take_bias,
    take_running_length,
    take_source,
    take_yields,
)
from kitmaker.reading.phrases.splitting import split_sentences
from kitmaker.reading.phrases.told_cuts import as_instruction
from kitmaker.reading.phrases.turns import (
    as_cutting,
    block_needs_first,
    with_blocks_counted_below,
)

LONGEST_LINE = 600
"""Characters; an instruction is a sentence or three, not a page."""

_FROM_THESE = re.compile(
    r"(?<=\S)\s*[,;:]?\s*(?:(?:and|then)\s+)*\bfrom\s+(?:these|those|them|it|this|that|the\s+strips?)(?:\s+strips?)?"
    r"\s*,?\s*(?:cut\b\s*:?|(?=[(‹]?\d+[)›]?\s))",
    re.IGNORECASE,
)
_CUTS_UP = re.compile(
    r"\b(?:from|cut)\s+(?:each|every|these|those|the)\s+(?:of\s+(?:the|these)\s+)?"
    r"(?:(?:(?!\bcut\b)[^.;:,\d])*?\s)?(?:squares?|rectangles?)\b(?=.*(?:\bcut\b|\binto\b|\d))"
    r"|\bcut\s+each\s+(?:in|into)\b",
    re.IGNORECASE,
)
_DIRECTION_HEAD = re.compile(
    r"^(?:cut\s+)?(?:(?:from|on|along)\s+the\s+)?(?:(?P<along>lengthwise|length\s+of\s+(?:the\s+)?fabric)|crosswise"
    r"|width\s+of\s+(?:the\s+)?fabric)(?:\s+grain)?\s*(?:,?\s*cut)?\s*:",
    re.IGNORECASE,
)
_SOME_SQUARES = re.compile(
    r"(?:(?:and|then)\s+)*cut\s+[(‹]?(\d+)[)›]?\s+(?:of\s+)?(?:(?:the|these|those|your|them)\b\s*)?(?:squares)?\s*§([12])§",
    re.IGNORECASE,
)
_MEASURE = re.compile(rf"{NUMBER}\s*{UNIT}", re.IGNORECASE)
_WIDTH = re.compile(rf"({NUMBER})\s*({UNIT})", re.IGNORECASE)
_LETTERED = re.compile(
    r"(?:and\s+|then\s+)*[Cc]ut(?:ting)?\s+(?:each\s+|the\s+)?([A-Z]\d?)\s+(?:squares?\s*)?§"
)
_BY_SIZE = re.compile(
    r"\bcut\s+(?:each\s+(?:of\s+)?|all\s+)?(?:the\s+|your\s+)?(?:(?P<large>larg(?:er?|est)|big(?:ger|gest)?)|small(?:er|est)?)(?:\s+squares?)?(?:\s+in\s+half)?\s*§",
    re.IGNORECASE,
)
_HALVES = re.compile(r"\bcut\b.*\bin\s+(?:half|halves|quarters)\b", re.IGNORECASE)
_SOME_OF = re.compile(
    r"\b(?:half\s+of|half\s+the|some|most|rest|remaining|other|larger|smaller|one\s+of)\b",
    re.IGNORECASE,
)
_SEVERAL_LETTERS = re.compile(
    r"(?:(?:fabrics?|prints?|pieces?|blocks?|colou?rs?)\s+)?[A-Z]\d?(?:\s*(?:,|&|\+|/|and)\s*[A-Z]\d?)+\s*(?::|-+\s|–|—|=)"
)
_LISTED = re.compile(rf"\s*(?:{BULLET}|[–—])\s+(?=\S)|\s{{3,}}(?=\S)")
BIAS_TAKES_MORE = (
    "the bias strips are counted by their joined length; cut on the bias they take more cloth"
)
_TYPED_SIZE = "Type the size with a space between: 5 1/4."
_TO_TYPE = {
    BIAS_TAKES_MORE: "State the length with what is lost, or the square that is cut on the bias.",
    WIDER_IS_READ: "Type the one width if it is the other.",
}
_RETYPE = "Type count, size and what it is: (5) 2 1/2 x 4 1/2 rectangles."


def read_lines(lines: Sequence[str], facts: FabricFacts) -> Understood:
    """Read the cutting instructions of one fabric.

    Args:
        lines: One instruction or more to a line.
        facts: What the words depend on.
    """
    reader = _Reader(facts)
    for number, line in enumerate(with_blocks_counted_below(lines)):
        reader.line(number, line)
    return reader.bench.understood


def says_a_cut(line: str) -> bool:
    """Whether a line names a size or a count to cut, so that it is more than a note."""
    text = plain_signs(line[:LONGEST_LINE])
    if is_no_cut(text):
        return False
    return says_size(text) or (is_cutting(text) and re.search(r"\d", text) is not None)


class _Reader:
    def __init__(self, facts: FabricFacts) -> None:
        self.bench = Bench(facts)
        self.governing = Governing()
        self.notes = NoteReader(self.bench)
        self.is_in_list = False

    def line(self, number: int, line: str) -> None:
        self.bench.number = number
        if not line.strip():
            return
        if len(line) > LONGEST_LINE:
            self.bench.find(
                Level.ERROR,
                f"'{line[:40]}…' is not read: it is longer than {LONGEST_LINE} characters",
                "Put each cut on a line of its own.",
            )
            return
        is_in_list = _LISTED.match(line) is not None
        if is_in_list and not self.is_in_list:
            self.bench.open_list()
        self.is_in_list = is_in_list
        line_in_order = block_needs_first(re.sub(r"[.]{2,}|…", " ", line))
        for sentence in split_sentences(line_in_order):
            before = self.bench.state()
            try:
                self._sentence(sentence)
            except UnsureError as fault:
                self.bench.restore(before)
                said = " ".join(sentence.split())
                self.bench.find(
                    Level.ERROR, f"'{said}' is not read: {fault}", fault.suggestion or _RETYPE
                )
        if not self.bench.has_left_a_trace():
            self.bench.remark(line)

    def _sentence(self, sentence: str) -> None:
        if _SEVERAL_LETTERS.match(sentence) and says_a_cut(sentence):
            raise UnsureError(
                "whether the counts are for each of several fabrics or pieces is not said",
                "Write the cuts beside each by itself.",
            )
        signs = as_instruction(without_codes(plain_signs(sentence)))
        signs, told = take_bracket(signs, self.bench.facts)
        if told is None:
            if not self._is_of_finished_sizes(signs):
                self._signs(sentence, signs)
            return
        before = len(self.bench.cuts)
        self._signs(sentence, signs)
        new = self.bench.cuts[before:]
        if len(new) != 1 or not told.agrees(new[0], self.bench.facts.cut_rules):
            raise UnsureError(
                f"the cut size and '{told.words}' do not belong together for sure",
                "Type the cut size alone, or the finished size alone.",
            )
        self.bench.remark(told.words.strip("()"))

    def _signs(self, sentence: str, signs: str) -> None:
        signs = as_cut(as_cutting(signs, is_first=not self.bench.cuts), self.bench)
        if not signs:
            self.bench.remark(sentence)
            return
        signs = take_named_strips(signs, self.bench)
        if takes_some_above(signs, sentence, self.bench) or self.notes.reads(sentence, signs):
            return
        if is_title(signs):
            self.governing.take_title(signs)
        if (direction := _DIRECTION_HEAD.match(signs)) is not None:
            self.governing.lengthwise = direction["along"] is not None
            self.governing.lengthwise_words = frozenset()
        refuse_once_more(signs)
        strips = [self.bench.cuts[at].width for at in self.bench.strips]
        signs = from_chosen(signs, self.bench)
        signs = as_next_cut(signs, [width / self.bench.facts.unit.length for width in strips])
        if not re.search(r"\d", signs):
            if is_damaged(signs) or signs.endswith("("):
                raise UnsureError(
                    "signs or letters stand where figures should be",
                    "Type the line by hand from the printed pattern.",
                )
            self._without_numbers(sentence, signs)
            return
        self._with_numbers(sentence, signs)

    def _with_numbers(self, sentence: str, signs: str) -> None:
        facts = self.bench.facts
        if facts.fabric_length is not None and amount_headed(signs) == facts.fabric_length:
            self.bench.remark(sentence)
            return
        signs, chosen = take_up_chosen(signs, self.bench)
        plain = make_plain(in_plain_manner(signs, facts), facts)
        for aside in plain.asides:
            self.bench.remark(aside)
        known = self._known()
        label, plain.text = take_label(plain.text)
        account = Account(mark_diagonals(RANDOM_LENGTHS.sub(" ", plain.text)))
        self.governing.begin(plain.text)
        self._refuse_cutting_up(plain.text)
        plain.text, blocks = take_blocks(plain.text)
        if blocks is not None and not re.search(r"\d", plain.text):
            self._head_blocks(sentence, blocks)
            return
        source = self._take_off(plain, blocks, account)
        if not re.search(r"\d", re.sub(r"§\d§", "", plain.text)):
            for aside in plain.asides:
                self._hold_aside(aside, [])
            self._without_numbers(sentence, plain.text, headed=source is not None)
            self._hold_sizes(plain.asides)
            check_totals(self.bench, plain.totals, len(self.bench.cuts))
            account.spend(plain.text)
            account.close(known)
            return
        if some := _SOME_SQUARES.fullmatch(plain.text.strip(" .;,")):
            self.bench.cut_some_on_diagonal(int(some[1]), int(some[2]))
            check_totals(self.bench, plain.totals, len(self.bench.cuts))
            return
        plain.text, running = take_running_length(plain.text, facts.unit)
        if running is not None:
            plain.text, is_bias = take_bias(plain.text)
            account = Account(plain.text)
            if is_bias:
                plain.warnings.append(BIAS_TAKES_MORE)
        said = Said(
            plain=plain,
            account=account,
            label=label,
            source=source,
            running=running,
            blocks=chosen or blocks or self.governing.blocks,
        )
        self._clauses(said, chooses=chooses(signs))
        account.close((*known, *self._known()))

    def _take_off(self, plain: PlainLine, blocks: Blocks | None, account: Account) -> From | None:
        """Take off a sentence what it says of blocks, sources and totals; return the source."""
        if blocks is not None:
            account.spend(blocks.number)
            account.spend_all(OF_EACH)
        plain.text = mark_diagonals(_FROM_THESE.sub("; sub-cut into ", plain.text))
        has_strips = bool(self.bench.strips)
        plain.text, source = take_source(plain.text, has_strips, self.bench.facts.role)
        if source is not None:
            self._refuse_no_strip(source)
            source = self._of_ready_cut(source)
            self._take_up_strips(source)
            self.governing.take_source(source, plain.text)
            account.spend(source.number, source.name)
            account.spend_all(source.words_read)
        asides, totals = len(plain.asides), len(plain.totals)
        plain.text = take_yields(plain)
        account.spend(*plain.asides[asides:], *plain.needs)
        account.spend(*(total for total, _ in plain.totals[totals:]))
        return source

    def _refuse_no_strip(self, source: From) -> None:
        """Refuse the rest of a strip where none was cut."""
        of_strip = source.of_the_rest and source.name.casefold().endswith("strip")
        if of_strip and source.source is Source.FABRIC and not self.bench.are_from_strips:
            raise UnsureError("the strips it is cut from are not above it")

    def _of_ready_cut(self, source: From) -> From:
        """Return strips bought ready cut as the fabric itself: ``From the remaining strips``."""
        bench = self.bench
        at_hand = bench.strips or bench.rest or not bench.facts.prints_are_strips
        if at_hand or source.source is not Source.STRIPS or not source.of_the_rest:
            return source
        return replace(source, source=Source.FABRIC)

    def _take_up_strips(self, source: From) -> None:
        """Take up the strips that a source names by their width."""
        found = _WIDTH.fullmatch(source.width)
        if found is not None:
            self.bench.choose_strips(to_length(found[1], found[2], self.bench.facts.unit))

    def _known(self) -> tuple[Length, ...]:
        """Return the numbers that may be said once more: of what lies at hand, of the fabric."""
        bench, facts = self.bench, self.bench.facts
        at_hand = [bench.cuts[at] for at in (*bench.strips, *bench.rest)] + bench.cuts[-1:]
        counts = [cut.quantity for cut in at_hand] + [facts.prints, facts.cloths]
        widths = [cut.width / facts.unit.length for cut in at_hand] + [facts.fabric_length]
        numbers = [Length(one) for one in (*counts, *widths) if one is not None]
        return (*numbers, *(Length(one) for one in re.findall(r"\d+", facts.role)))

    def _clauses(self, said: Said, *, chooses: bool) -> None:
        cuts_before = len(self.bench.cuts)
        self.notes.told_on = -1
        reader = ClauseReader(self.bench, self.governing, said)
        for clause in split_clauses(said.plain.text):
            reader.read(clause)
        if self.bench.strips and opens_a_list(said.plain.text):
            self.bench.open_worded_list(list_number(said.plain.text))
        times = (said.blocks.number or 1) if said.blocks is not None else 1
        check_totals(self.bench, said.plain.totals, cuts_before, times)
        for aside in said.plain.asides:
            self._hold_aside(aside, self.bench.cuts[cuts_before:])
        for words in said.plain.warnings:
            self.bench.find(Level.WARNING, words, _TO_TYPE.get(words, _TYPED_SIZE))
        new = self.bench.cuts[cuts_before:]
        if chooses and len(new) == 1 and new[0].kind is PieceKind.PIECE:
            self.bench.chosen = new[0].quantity

    def _hold_aside(self, aside: str, new: list[Cut]) -> None:
        """Hold a remark of a sentence against its cuts; behind none it is a note."""
        if new or self.bench.cuts_of_line():
            check_aside(aside, new or self.bench.cuts[-1:])
            return
        if re.search(rf"\d.*{NUMBER}\s*(?:{UNIT}|x|×)", aside):
            raise UnsureError(f"what '{aside}' asks for is not said for sure")
        if re.search(r"\bmake\s+\d", aside, re.IGNORECASE):
            self.bench.find(
                Level.WARNING,
                f"'{aside}' is read as a note: the counts below are taken as they stand",
                "Type the total for all if they are for one.",
            )

    def _hold_sizes(self, asides: list[str]) -> None:
        """Ask about a remark that names a size where nothing is cut beside it."""
        for aside in asides:
            if re.match(r"you\b", aside, re.IGNORECASE) and _MEASURE.search(aside):
                raise UnsureError(f"what '{aside}' is cut from is not said for sure")

    def _is_of_finished_sizes(self, signs: str) -> bool:
        """Read a sentence that states finished sizes; False where it is none."""
        found = read_finished(signs, self.bench.facts)
        if found is None:
            return False
        if self.governing.is_each or self.governing.blocks is not None:
            raise UnsureError(
                "whether its count stands for each or for all is not said for sure",
                "Type the total, on a line above the heading.",
            )
        for cut in found.cuts:
            if any(is_like(cut, other) for other in self.bench.cuts):
                raise UnsureError(
                    "the same cut stands above it, and may be what it is made of",
                    "Type only one of the two lines.",
                )
        self.bench.cuts.extend(replace(cut, line=self.bench.number) for cut in found.cuts)
        self.bench.clear()
        for advice in found.warnings:
            self.bench.find(Level.WARNING, advice.message, advice.suggestion)
        return True

    def _head_blocks(self, sentence: str, blocks: Blocks) -> None:
        """Take a heading such as ``For each of 9 blocks, cut:``."""
        self.governing.take_blocks(blocks)
        self.bench.remark(sentence)

    def _refuse_cutting_up(self, text: str) -> None:
        """Refuse to cut up pieces that are themselves counted above."""
        if re.search(r"diagonal", text, re.IGNORECASE) or not _CUTS_UP.search(text):
            return
        if any(cut.kind is PieceKind.PIECE for cut in self.bench.cuts):
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
        if not headed and self._is_source(sentence, marked):
            return
        if (diagonal := re.search(r"§([12])§", marked)) and not self.notes.has_told:
            if lettered := _LETTERED.match(marked):
                self.bench.cut_named_on_diagonal(lettered[1], int(diagonal[1]))
                return
            if by_size := _BY_SIZE.search(marked):
                self.bench.cut_by_size_on_diagonal(
                    int(diagonal[1]), is_large=by_size["large"] is not None
                )
                return
            self._refuse_some_squares(marked)
            self.bench.cut_last_on_diagonal(int(diagonal[1]))
            return
        if _HALVES.search(signs) and self.bench.cuts:
            raise UnsureError(
                "how the pieces above are halved is not said",
                "Type the pieces that are needed in the end, or 'cut once on the diagonal'.",
            )
        if self.bench.strips and opens_a_list(signs):
            self.bench.list_is_open = True
        elements = elements_of(marked, self.bench.facts.unit, [])
        directed = is_cutting(signs) and self.governing.take_direction(elements)
        if not headed and not directed:
            self.notes.warn_if_multiplies(sentence, signs)
            self._warn_if_cuts(sentence, signs)
        self.bench.remark(sentence)

    def _warn_if_cuts(self, sentence: str, signs: str) -> None:
        """Warn of an instruction to cut that says neither what nor how many."""
        asks = re.match(r"(?:(?:then|and|now)\s+)*(?:sub-?\s?|cross-?\s?|re-?)?cut\b", signs, re.I)
        if asks and len(signs.split()) > 2 and not signs.endswith(":") and self.bench.cuts:
            self.bench.find(
                Level.WARNING,
                f"'{' '.join(sentence.split())}' says to cut, but neither size nor count; "
                "it is read as a note only",
                "Type count and size if it asks for pieces.",
            )

    def _refuse_some_squares(self, marked: str) -> None:
        """Refuse to cut some squares on the diagonal where it is not said which."""
        here = [cut for cut in self.bench.cuts if cut.shape is Shape.SQUARE]
        if not re.search(r"\ball\b", marked, re.IGNORECASE):
            here = [cut for cut in here if cut.line == self.bench.number]
        if _SOME_OF.search(marked) or len(here) > 1:
            raise UnsureError(
                "which squares are cut on the diagonal is not said for sure",
                "Type it on the line of those squares.",
            )

    def _is_source(self, sentence: str, marked: str) -> bool:
        """Take a heading such as ``From each print, cut:``; False where it is none."""
        _, source = take_source(marked, bool(self.bench.strips), self.bench.facts.role)
        leads = re.match(r"(?:cut\s+)?from\b", marked, re.IGNORECASE) is not None
        if source is None or not (leads or is_cutting(sentence)):
            return False
        source = self._of_ready_cut(source)
        self._take_up_strips(source)
        self.governing.take_source(source, "")
        if source.source is Source.FABRIC:
            return False
        if source.source in (Source.STRIPS, Source.EACH_STRIP) and not source.of_the_rest:
            self.bench.list_is_open = bool(self.bench.strips)
            self.bench.list_is_each = source.source is Source.EACH_STRIP
        self.bench.remark(sentence)
        return True

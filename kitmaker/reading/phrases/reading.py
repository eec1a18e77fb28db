"""Lines of a fabric's cutting instructions into cuts: every reading followed, one taken.

A sentence is read as a chart of (place, table): each phrase that may begin at a place acts
on the table, and ways that come to the same place and table are one. A reading is whole when
every word is read. Several that differ: the pattern's own figures decide if exactly one
agrees with all of them, else they are offered to choose from. None: the sentence is asked
about, and the table stays as it was.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from kitmaker.errors import Level
from kitmaker.reading.phrases.acts import Acts, Place, lay_chosen
from kitmaker.reading.phrases.bench import Bench, Setting
from kitmaker.reading.phrases.grammar import Grammar
from kitmaker.reading.phrases.model import FabricFacts, Finding, Remark, Understood
from kitmaker.reading.phrases.naming import cut_of, fault_of, say_table, warnings_of
from kitmaker.reading.phrases.parts import STRIPS, UnsureError, unsure_if
from kitmaker.reading.phrases.sentences import (
    asks_for_nothing,
    is_free,
    may_multiply,
    refuse_at_sight,
    sentences_of,
    size_names,
    without_list_number,
)
from kitmaker.reading.phrases.table import Group, Table
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.numbers import choose_in_brackets, spell_in_figures
from kitmaker.reading.words.tokens import Kind, Token, Words

LONGEST_LINE = 600
"""Characters; an instruction is a sentence or three, not a page."""
MOST_STEPS = 4000
"""Steps after which a sentence is asked about: it has too many readings."""
MOST_OFFERED = 4
_LISTED = re.compile(r"\s*(?:[•▫·*~>»‣⁃■-➿-]|[–—])\s|\s{3,}(?=\S)")


class SeveralReadingsError(UnsureError):
    """A sentence has several honest readings."""

    def __init__(self, readings: tuple[str, ...]) -> None:
        """Take the readings, each as what would be cut."""
        super().__init__(f"it may mean {'; or '.join(readings)}", f"Type one: {readings[0]}")
        self.readings = readings


class _Reader:
    """Reads line by line; the table goes from one sentence to the next."""

    def __init__(self, facts: FabricFacts) -> None:
        self.facts = facts
        self.bench = Bench(facts)
        self.acts = Acts(self.bench)
        self.table = Table()
        self.understood = Understood()
        self.was_listed = False
        self.sizes: set[str] = set()
        self.lines_with_cuts: set[int] = set()

    def line(self, number: int, text: str) -> None:
        if not text.strip():
            return
        if len(text) > LONGEST_LINE:
            fault = UnsureError(f"it is longer than {LONGEST_LINE} characters")
            self._ask(number, f"{text[:40]}…", fault)
            return
        self._open_list(is_listed=_LISTED.match(text) is not None)
        if self.facts.bracket is not None:
            text = choose_in_brackets(spell_in_figures(text), self.facts.bracket)
        parts, before = list(sentences_of(lex(text))), self.table
        is_asked, place = False, 0
        while place < len(parts):
            is_read, end = self._sentence(number, text, parts, place)
            is_asked, place = is_asked or not is_read, end
        is_cut = self.table.cuts != before.cuts
        if is_cut:
            self.lines_with_cuts.add(number)
        elif not is_asked:
            self._remark(number, text, parts)

    def _sentence(
        self, number: int, text: str, parts: list[tuple[Token, ...]], place: int
    ) -> tuple[bool, int]:
        """Read a sentence of a line; return whether it is read, and the place of the next."""
        tokens, behind = parts[place], parts[place + 1 : place + 2]
        try:
            self.table = self._read(tokens, number, is_first=place == 0)
        except UnsureError as fault:
            joined = self._with_next(tokens, behind, number, fault)
            if joined is None:
                self._ask(number, text[tokens[0].start : tokens[-1].end].strip(), fault)
                self._lose_heading(tokens)
                return False, place + 1
            self.table = joined
            return True, place + 2
        return True, place + 1

    def _remark(self, number: int, text: str, parts: list[tuple[Token, ...]]) -> None:
        words = " ".join(text.split())
        if any(may_multiply(Words(tokens)) for tokens in parts):
            message = f"'{words}' may multiply or add to what is cut"
            suggestion = "Type the counts for all of them together if it does."
            self.understood.findings.append(
                Finding(line=number, level=Level.WARNING, message=message, suggestion=suggestion)
            )
        self.understood.remarks.append(Remark(line=number, words=words))

    def _open_list(self, *, is_listed: bool) -> None:
        """A list below strips may say what they are cut into."""
        table = self.table
        if table.is_list_doubtful and not is_listed:
            table = table._replace(is_list_doubtful=False)
        if is_listed and not self.was_listed and len(table.hand) == 1 and not table.listing:
            strip = table.strips()[0]
            if strip.is_strip and not strip.is_named:
                table = table._replace(listing=STRIPS, is_list_doubtful=True)
        self.table, self.was_listed = table, is_listed

    def _lose_heading(self, tokens: tuple[Token, ...]) -> None:
        """Let no earlier heading hold below one that could not be read."""
        if tokens[-1].kind is Kind.COLON:
            table = self.table
            was = table.multiplier is not None or table.is_multiplier_unsure
            self.table = table._replace(
                multiplier=None, is_multiplier_unsure=was, listing=None, hand=()
            )

    def _with_next(
        self,
        tokens: tuple[Token, ...],
        behind: list[tuple[Token, ...]],
        number: int,
        fault: UnsureError,
    ) -> Table | None:
        """Return the table where the next sentence gives the count that this one lacks."""
        if not behind or not str(fault).startswith("how many"):
            return None
        joint = Token(Kind.SEMICOLON, ";", tokens[-1].end, tokens[-1].end)
        try:
            return self._read((*tokens, joint, *behind[0]), number, is_first=False)
        except UnsureError:
            return None

    def _ask(self, number: int, text: str, fault: UnsureError) -> None:
        readings = fault.readings if isinstance(fault, SeveralReadingsError) else ()
        self.understood.findings.append(
            Finding(
                line=number,
                level=Level.ERROR,
                message=f"'{' '.join(text.split())}' is not read: {fault}",
                suggestion=fault.suggestion,
                readings=readings,
            )
        )

    # ---- one sentence ----------------------------------------------------------------------------

    def _read(self, tokens: tuple[Token, ...], number: int, *, is_first: bool) -> Table:
        """Return the table after a sentence that has one reading; else raise an UnsureError."""
        table = self.table._replace(
            line=number, group=Group(), first_new=len(self.table.cuts), lead=None
        )
        words = Words(without_list_number(tokens))
        refuse_at_sight(words)
        named = size_names(words, self.facts.other_sizes)
        unsure_if(
            bool(named & self.facts.other_sizes),
            f"it is for another size ({', '.join(sorted(named))}) than the one that is read",
            "Give each size a column of its own, or leave the other sizes out.",
        )
        self.sizes |= named
        unsure_if(
            len(self.sizes) > 1,
            f"counts of several sizes stand together ({', '.join(sorted(self.sizes))})",
            "Type one size's, or give each size a column of its own.",
        )
        if is_free(words):
            return table
        chart = _Chart(self.acts, self.bench, words, is_first=is_first)
        found = chart.read(table)
        if not found:
            if asks_for_nothing(words, after_cuts=bool(table.cuts)):
                return table
            raise chart.why or UnsureError(f"'{chart.stopped_at()}' has no sure part to play")
        return self._judge(found, table)

    @staticmethod
    def _judge(found: Sequence[Table], before: Table) -> Table:
        """Return the one reading, or the one that the text's own figures confirm."""
        differing: dict[tuple[object, ...], Table] = {}
        for table in found:
            same = differing.setdefault(table.meaning(), table)
            if _richness(table) > _richness(same):
                differing[table.meaning()] = table
        tables = list(differing.values())
        if len(tables) == 1:
            return tables[0]
        confirmed = [
            table
            for table in tables
            if table.cuts and all(cut.confirmed for cut in table.cuts if cut.line == before.line)
        ]
        if len(confirmed) == 1:
            return confirmed[0]
        said = list(dict.fromkeys(say_table(table, before) for table in tables))
        if len(said) > 1:
            raise SeveralReadingsError(tuple(said[:MOST_OFFERED]))
        raise UnsureError("what it leaves for the lines below is not said for sure")

    def finish(self) -> Understood:
        table, understood = self.table, self.understood
        if table.chosen and table.chosen_width is not None and not table.cuts:
            table = lay_chosen(table, table.chosen, table.chosen_width)
        understood.cut_on = self.lines_with_cuts - {cut.line for cut in table.cuts}
        for cut in table.cuts:
            if (fault := fault_of(cut, self.facts)) is not None:
                understood.findings.append(fault)
                continue
            understood.cuts.append(cut_of(cut, self.facts))
            understood.findings.extend(warnings_of(cut))
        return understood


def _richness(table: Table) -> tuple[int, int]:
    """Return how much a reading knows besides: strips to be cut on, names and purposes."""
    named = sum(bool(cut.label) + bool(cut.purpose) + len(cut.words) for cut in table.cuts)
    return len(table.hand), named


class _Chart:
    def __init__(self, acts: Acts, bench: Bench, words: Words, *, is_first: bool) -> None:
        self.acts, self.bench, self.words = acts, bench, words
        self.grammar = Grammar(words, bench.facts.unit.length)
        opens = words.kind(words.size - 1) in (Kind.COLON, Kind.CUT, Kind.INTO, Kind.SUB)
        self.setting = Setting(is_first=is_first, opens_list=opens)
        self.why: UnsureError | None = None
        self.why_at = -1
        self.far = 0

    def read(self, start: Table) -> list[Table]:
        """Return the tables after every reading that accounts for each word."""
        done: list[Table] = []
        seen: dict[int, list[Table]] = {}
        stack = [(0, start)]
        steps = 0
        while stack:
            place, table = stack.pop()
            steps += 1
            if steps > MOST_STEPS:
                raise UnsureError("it has too many readings", "Put each cut on a line of its own.")
            place, signs = self._behind_joints(place)
            if table in seen.setdefault(place, []):
                continue
            seen[place].append(table)
            self.far = max(self.far, place)
            if place >= self.words.size:
                if (last := self._close(table)) is not None:
                    done.append(last)
                continue
            stack.extend(self._steps(place, table, signs))
        return done

    def _steps(
        self, place: int, table: Table, signs: frozenset[str]
    ) -> Iterator[tuple[int, Table]]:
        for end, phrase in self.grammar.phrases(place):
            where = Place(signs=signs, behind=self.words.kind(end))
            try:
                tables = self.acts.act(table, phrase, where)
            except UnsureError as fault:
                self._note(end, fault)
                continue
            for after in tables:
                yield end, after

    def _behind_joints(self, place: int) -> tuple[int, frozenset[str]]:
        words = self.words
        signs: set[str] = set()
        end = words.behind("(?:(?!ARROW|EQUALS)JOINT|CLOSING|OPENING(?=SUB))+", place)
        for at in range(place, end):
            kind = words.kind(at)
            signs.add(words.word(at) if kind is Kind.AND else kind.value)
        return end, frozenset(signs)

    def _note(self, place: int, fault: UnsureError) -> None:
        """Keep the first fault of the farthest place: what was wanted got that far."""
        if place > self.why_at:
            self.why, self.why_at = fault, place

    def _close(self, table: Table) -> Table | None:
        try:
            closed = self.bench.commit(table, self.setting)._replace(lead=None)
        except UnsureError as fault:
            self._note(self.words.size, fault)
            return None
        first, last = self.words.kind(0), self.words.kind(self.words.size - 1)
        if last is Kind.COLON and first in (Kind.SEW, Kind.TRIM) and closed.hand:
            return closed._replace(listing=STRIPS)
        if last is Kind.COLON and table.group.is_new:
            unsure = closed.multiplier is not None and first is not Kind.FOR
            return closed._replace(
                multiplier=None,
                is_multiplier_unsure=unsure or closed.is_multiplier_unsure,
                listing=None,
                hand=(),
            )
        return closed

    def stopped_at(self) -> str:
        """Return the words from the farthest place that was read."""
        return " ".join(self.words.words(self.far, self.far + 4))


def read_lines(lines: Sequence[str], facts: FabricFacts) -> Understood:
    """Read the cutting instructions of one fabric."""
    reader = _Reader(facts)
    for number, line in enumerate(lines):
        reader.line(number, line)
    return reader.finish()

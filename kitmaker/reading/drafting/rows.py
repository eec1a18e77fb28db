"""One reading of a pattern as the rows of a draft: what is sure, and what a person must settle.

Each error of the reading becomes an open row, so that a draft without open rows plans what its
source would plan once all its questions are answered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from types import MappingProxyType

from kitmaker.drafts import CONFIRMED_BY, HowSure, say_typed
from kitmaker.errors import Location, Problem
from kitmaker.lengths import Unit
from kitmaker.pattern import Direction, Fabric, Note, Pattern, PatternReading, Piece, PieceKind
from kitmaker.reading.amounts import AmountError, read_amount, say_amount
from kitmaker.reading.as_written import CUT_ON, NOT_READ, say_understood
from kitmaker.reading.drafting.source import SourceBook, row_of
from kitmaker.reading.join_words import says_joined
from kitmaker.shop import fold_role

QUANTITY, REQUIREMENT = "Quantity", "Requirement"
_SURE_OF = {confirmed: sure for sure, confirmed in CONFIRMED_BY.items()}
_QUOTED = re.compile(r"'(?P<said>.*?)…?' is not read: ")


@dataclass(frozen=True, slots=True, kw_only=True)
class OneRow:
    """A row of one size, before the sizes stand side by side."""

    cells: tuple[tuple[str, str], ...]  # heading to text, without what each size has for itself
    own: str  # the size's own text: a quantity or a requirement; "" when blank
    # as_written, how_sure, readings, why, source, places: as in :class:`kitmaker.drafts.DraftRow`
    as_written: tuple[str, ...]
    how_sure: HowSure
    readings: tuple[str, ...] = ()
    why: str = ""
    source: Location
    places: tuple[Location, ...] = ()


def _quotes(message: str, words: str) -> bool:
    found = _QUOTED.match(message)
    return found is not None and found["said"] in words


@dataclass(slots=True)
class RowsOfOneSize:
    """What one size's reading gives."""

    fabrics: list[OneRow]  # a row for each fabric, in order
    pieces: list[OneRow]  # the rows of pieces: what is sure, open rows where their words stand


def rows_of(reading: PatternReading, source: SourceBook) -> RowsOfOneSize:
    """Return the rows of a draft for one size of a pattern."""
    return _Rows(reading, source).all()


class _Rows:
    def __init__(self, reading: PatternReading, source: SourceBook) -> None:
        self.reading, self.source = reading, source
        self.pattern: Pattern = reading.pattern
        self.open = [problem for problem in reading.problems if problem.is_error]
        warned = (
            problem.location
            for problem in reading.problems
            if not problem.is_error and problem.location
        )
        self.warned = {*warned, *source.doubtful}

    def all(self) -> RowsOfOneSize:
        """Return all rows; every error stands in one of them."""
        fabrics = [self._fabric(fabric) for fabric in self.pattern.fabrics]
        roles = [fabric.role for fabric in self.pattern.fabrics]
        pieces: list[OneRow] = []
        for fabric in self.pattern.fabrics:
            pieces.extend(self._pieces(fabric))
        known = set(roles)
        for note in self.reading.notes:
            if note.understood == NOT_READ and note.role not in known:
                pieces.extend(self._asked(note))
        pieces.extend(self._rest())
        return RowsOfOneSize(fabrics=fabrics, pieces=pieces)

    def _take(self, is_asked: Callable[[Problem], bool]) -> list[Problem]:
        """Take errors for the row that asks them, out of those that no row asks yet."""
        taken = [problem for problem in self.open if is_asked(problem)]
        self.open = [problem for problem in self.open if not is_asked(problem)]
        return taken

    # fabrics

    def _fabric(self, fabric: Fabric) -> OneRow:
        unit, amount = self.pattern.unit, fabric.requirement
        cells = {
            "Fabric": fabric.role,
            "Prints": str(fabric.prints) if fabric.prints else "",
            "Usable width": say_typed(fabric.usable_width, unit) if fabric.usable_width else "",
            "Form": fabric.form or "",
            "SKU": fabric.sku or "",
            "Description": fabric.description,
        }
        stated = [
            (where, words)
            for where, (role, words) in self.source.amounts.items()
            if fold_role(role) == fold_role(fabric.role)
        ]
        places = {where for where, _ in stated}
        asked = self._take(lambda problem: problem.location in places)
        written = tuple(dict.fromkeys(self.source.written(at, words) for at, words in stated))
        if not written and (told := self.source.written(fabric.where, "")):
            written = (told,)
        sure = HowSure.FILL_IN if asked else HowSure.PLAIN
        is_unread = amount is None and bool(stated)
        if not asked and (is_unread or places & self.warned or fabric.where in self.warned):
            sure = HowSure.LOOK
        return OneRow(
            cells=_filled(cells),
            own="" if asked or amount is None else self._typed_amount(fabric),
            as_written=written,
            how_sure=sure,
            why=_why(asked) or self._warnings({*places, fabric.where}),
            source=fabric.where,
        )

    def _typed_amount(self, fabric: Fabric) -> str:
        """Return an amount in its own words where these are read as just this."""
        amount = fabric.requirement
        if amount is None:
            return ""
        try:
            again = read_amount(amount.as_written, self.pattern.unit, None, fabric.role)
        except AmountError:
            return say_amount(amount)
        same = (again.amount.quantity, again.amount.unit) == (amount.quantity, amount.unit)
        return amount.as_written if same else say_amount(amount)

    def _warnings(self, places: set[Location]) -> str:
        return _why(
            [
                problem
                for problem in self.reading.problems
                if not problem.is_error and problem.location in places
            ]
        )

    # pieces

    def _pieces(self, fabric: Fabric) -> list[OneRow]:
        notes = [note for note in self.reading.notes if note.role == fabric.role]
        lines = _LinesOf(notes, self.pattern, self.source)
        placed = [
            (lines.line_of(piece), self._piece(fabric, piece, lines)) for piece in fabric.pieces
        ]
        for at, note in enumerate(notes):
            if note.understood == NOT_READ:
                after = [place for place, (line, _) in enumerate(placed) if line < at]
                place = after[-1] + 1 if after else 0
                placed[place:place] = [(at, row) for row in self._asked(note)]
        return [row for _, row in placed]

    def _piece(self, fabric: Fabric, piece: Piece, lines: _LinesOf) -> OneRow:
        sure = _SURE_OF.get(piece.confirmed, HowSure.LOOK)
        if sure is HowSure.PLAIN and piece.where in self.warned:
            sure = HowSure.LOOK
        return OneRow(
            cells=cells_of(fabric.role, piece, self.pattern.unit),
            own=say_quantity(piece),
            as_written=lines.words_of(piece),
            places=lines.places_of(piece),
            how_sure=sure,
            why=(self._warnings({piece.where}) or self.source.doubtful.get(piece.where, ""))
            if sure is HowSure.LOOK
            else "",
            source=piece.where,
        )

    def _asked(self, note: Note) -> list[OneRow]:
        """Return the open rows of a line that is not read."""
        words, row = " ".join(note.words.split()), row_of(note.where)
        here = [problem for problem in self.open if problem.location == note.where]
        quoting = [problem for problem in here if _quotes(problem.message, words)]
        plain = [problem for problem in here if _QUOTED.match(problem.message) is None]
        asked = self._take((quoting or plain).__contains__)
        cells: Mapping[str, str] = {}
        if not asked:
            asked = self._take(lambda one: one.location is not None and row_of(one.location) == row)
            cells = self.source.typed_cells(note.where, asked, self.pattern.unit)
        offering = [problem for problem in asked if problem.readings]
        if offering:
            return [
                self._waiting(note.where, note.words, note.role, [problem]) for problem in offering
            ]
        return [self._waiting(note.where, note.words, note.role, asked, cells)] if asked else []

    def _rest(self) -> Iterator[OneRow]:
        """Yield an open row for each error that no fabric's line asks."""
        roles = {fabric.where: fabric.role for fabric in self.pattern.fabrics}
        for problem in self.open:
            where = problem.location or Location(self.source.book.name)
            words = self.source.words_at(where) or problem.message
            yield self._waiting(where, words, roles.get(where, ""), [problem])

    def _waiting(
        self,
        where: Location,
        words: str,
        role: str,
        asked: list[Problem],
        cells: Mapping[str, str] = MappingProxyType({}),
    ) -> OneRow:
        """Return a row that waits for a person: a reading is chosen, or its cells are filled in."""
        kept = {key: text for key, text in cells.items() if key != QUANTITY}
        readings = asked[0].readings
        return OneRow(
            cells=_filled({"Fabric": role, **kept}),
            own=cells.get(QUANTITY, ""),
            as_written=(self.source.written(where, words),),
            how_sure=HowSure.CHOOSE if readings else HowSure.FILL_IN,
            readings=readings,
            why=_why(asked),
            source=where,
            places=(where,),
        )


class _LinesOf:
    """The lines of a fabric, and which of them each piece came from."""

    def __init__(self, notes: list[Note], pattern: Pattern, source: SourceBook) -> None:
        self.notes, self.pattern, self.source = notes, pattern, source
        self.used: set[int] = set()
        self.lines: dict[int, int] = {}

    def line_of(self, piece: Piece) -> int:
        """Return the number of the note that a piece came from; the last one where none says."""
        if id(piece) not in self.lines:
            text = say_understood(piece, self.pattern.unit)
            here = [at for at, note in enumerate(self.notes) if note.where == piece.where]
            exact = [at for at in here if self.notes[at].understood == text]
            free = [at for at in exact if at not in self.used] or exact or here
            at = free[0] if free else len(self.notes)
            self.used.add(at)
            self.lines[id(piece)] = at
        return self.lines[id(piece)]

    def words_of(self, piece: Piece) -> tuple[str, ...]:
        """Return the words of a piece: its line, and the strips above that it is cut from."""
        told = [self.source.written(note.where, note.words) for note in self._notes_of(piece)]
        return tuple(dict.fromkeys(told)) or (piece.name,)

    def places_of(self, piece: Piece) -> tuple[Location, ...]:
        """Return where the words of a piece stand."""
        return tuple(note.where for note in self._notes_of(piece)) or (piece.where,)

    def _notes_of(self, piece: Piece) -> list[Note]:
        at = self.line_of(piece)
        if at >= len(self.notes):
            return []
        last = self.notes[at]
        found = [last]
        for note in reversed(self.notes[:at]):
            if note.understood == CUT_ON:
                found.insert(0, note)
            elif note.words != last.words:
                break
        return found


_MOST_SAID = 9


def _why(problems: list[Problem]) -> str:
    """Say why a row is looked at; of many warnings of one cell the first, and how many more."""
    told = dict.fromkeys(problems)
    said = (f"{one.sentence} {one.suggestion}".strip() for one in islice(told, _MOST_SAID))
    more = [f"And {len(told) - _MOST_SAID} more."] if len(told) > _MOST_SAID else []
    return " ".join([*dict.fromkeys(said), *more])


def _filled(cells: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((key, text) for key, text in cells.items() if text)


def cells_of(role: str, piece: Piece, unit: Unit) -> tuple[tuple[str, str], ...]:
    """Return a piece as its row has it, heading to text; its quantity stands apart."""
    length = "WOF" if piece.length is None else say_typed(piece.length, unit)
    shape = piece.shape.value
    if piece.kind is not PieceKind.PIECE:
        is_plain = shape in ("rectangle", "square")
        shape = "joined" if piece.kind is PieceKind.JOINED else "strip" if is_plain else shape
    cross = "" if piece.cross_cut is None else say_typed(piece.cross_cut, unit)
    return _filled(
        {
            "Fabric": role,
            "Piece": piece.name,
            "Cut width": say_typed(piece.width, unit),
            "Cut length": length,
            "Shape": shape,
            "Direction": "" if piece.direction is Direction.FREE else piece.direction.value,
            "Same print": piece.print_group or "",
            "Cross-cut": cross,
            "Join": (
                say_typed(piece.run, unit)
                if piece.run
                else {True: "yes", False: "no", None: ""}[piece.join]
            ),
            "Notes": _notes(piece),
        }
    )


def _notes(piece: Piece) -> str:
    """Return what stands beside a piece; that its strips are sewn end to end too."""
    notes = " ".join(piece.notes.split())
    if not piece.is_joined or says_joined(f"{piece.name} {notes}"):
        return notes
    return "; ".join(text for text in (notes, "sewn end to end") if text)


def say_quantity(piece: Piece) -> str:
    """Return a count; of a piece that is cut equally from several prints, how."""
    prints = piece.from_each
    if not prints or piece.quantity % prints:
        return str(piece.quantity)
    return f"{piece.quantity // prints} from each of {prints} prints"

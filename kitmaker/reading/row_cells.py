"""The cells of a row of pieces, each read by itself: shape, direction, quantity, measures."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from kitmaker.drafts import HOW_SURE
from kitmaker.errors import Location
from kitmaker.lengths import YARD, Length, Unit, say_number, say_size
from kitmaker.pattern import Direction
from kitmaker.reading.cells import (
    BY,
    plain_spaces,
    read_count,
    read_length,
    read_text,
    require,
    tidy_text,
)
from kitmaker.reading.fabric_draft import LARGEST_PIECE, LONGEST_JOINED, SMALLEST_PIECE, FabricDraft
from kitmaker.reading.grid import Cell, CellKind
from kitmaker.reading.join_words import join_from_text
from kitmaker.reading.shapes import ShapeWords, ShapeWordsError, parse_shape
from kitmaker.reading.table_reading import TableReading
from kitmaker.reading.tables import TableRow
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.numbers import choose_in_brackets, spell_in_figures

WOF = re.compile(
    r"(?:x\s*)?(?:w\.?\s?o\.?\s?f\.?|(?:full\s+)?width(?:\s+of\s+(?:the\s+)?fabric)?|fabric\s+width"
    r"|selvage\s+to\s+selvage|across)",
    re.IGNORECASE,
)
LOF = re.compile(
    r"(?:x\s*)?(?:l\.?\s?o\.?\s?f\.?|(?:full\s+)?length\s+of\s+(?:the\s+)?fabric|fabric\s+length)",
    re.IGNORECASE,
)


_DIRECTIONS = {
    Direction.FREE: (
        *("", "free", "any", "either", "may turn", "none", "no", "all over", "either way"),
    ),
    Direction.ONE_WAY: (
        *("one way", "oneway", "directional", "1 way", "yes", "up", "up and down"),
    ),
    Direction.LENGTHWISE: (
        *("lengthwise", "lof", "along", "along the selvage", "parallel to the selvage"),
        *("length of fabric", "lengthwise grain", "parallel to selvage", "parallel to selvages"),
    ),
}


@dataclass(frozen=True, slots=True)
class ReadCells:
    """What the cells of a row say; the length is settled by what the piece is."""

    shape: ShapeWords
    direction: Direction
    width: Length
    length_cell: Cell
    finished: bool
    quantity: int
    from_each: int | None
    cross_cut: Length | None
    join: bool | None
    run: Length | None


def piece_where(row: TableRow) -> Location:
    """The cell a piece is known by: its Piece cell, else the first of its row."""
    return (row.cell("Piece") if row.has("Piece") else row.row.first()).location


def direction_from_text(text: str) -> Direction | None:
    """Return how a piece may lie; None when the words are not known."""
    words = " ".join(tidy_text(text).casefold().replace("-", " ").split())
    return next((one for one, known in _DIRECTIONS.items() if words in known), None)


class RowCells:
    """Reads the cells of one row.

    Attributes:
        row: The row.
        draft: The fabric it is cut from.
        reading: What holds for every row; what is wrong is added to its problems.
    """

    def __init__(self, row: TableRow, draft: FabricDraft, reading: TableReading) -> None:
        """Begin a row."""
        self.row, self.draft, self.reading = row, draft, reading
        self.problems, self.where = reading.problems, piece_where(row)

    def read(self, quantity_cell: Cell) -> ReadCells | None:
        """Read all cells; None with at least one problem added."""
        shape = self._shape()
        direction = self._direction()
        join, run = self._join()
        counted = self._quantity(quantity_cell)
        width, length_cell, finished = self._width()
        cross_cut = self.length(self.row.cell("Cross-cut"), "cross-cut")
        if shape is None or direction is None or counted is None or width is None:
            return None
        size = (width, length_cell, finished)
        return ReadCells(shape, direction, *size, *counted, cross_cut=cross_cut, join=join, run=run)

    def error(self, message: str, cell: Cell, suggestion: str = "") -> None:
        """Add what is wrong with a cell."""
        self.problems.refuse(message, cell.location, suggestion)

    def _shape(self) -> ShapeWords | None:
        cell = self.row.cell("Shape")
        try:
            return parse_shape(read_text(cell, self.problems), self.reading.unit)
        except ShapeWordsError as fault:
            self.error(str(fault), cell, fault.suggestion)
            return None

    def _direction(self) -> Direction | None:
        cell = self.row.cell("Direction")
        text = read_text(cell, self.problems)
        direction = direction_from_text(text)
        if direction is None:
            self.error(
                f"the direction '{text}' is not known",
                cell,
                "Leave it empty, or type one-way or lengthwise.",
            )
        return direction

    def _join(self) -> tuple[bool | None, Length | None]:
        """Return whether a piece may be sewn of parts; of whole strips, the length they come to."""
        cell = self.row.cell("Join")
        text = read_text(cell, self.problems)
        if re.match(r"[1-9]", text):
            return None, self.length(cell, "joined length", most=LONGEST_JOINED)
        try:
            return join_from_text(text), None
        except KeyError:
            self.error(
                f"'{text}' does not say whether the piece may be sewn of shorter parts",
                cell,
                "Type yes or no, or leave it empty.",
            )
            return None, None

    def _quantity(self, cell: Cell) -> tuple[int, int | None] | None:
        """Return the quantity for one kit and, where it is "from each", the number of prints."""
        if not require(cell, "quantity", self.problems, "Type how many to cut, such as 4."):
            return None
        text = spell_in_figures(tidy_text(cell.text).replace("\n", " "))
        text = choose_in_brackets(text, self.reading.bracket)
        match = re.fullmatch(
            r"(.*?)\s*(?:(?:from|of|per)\s+(?:each|every)(?:\s+(?:of\s+)?(?:(?P<of>\d+)\s+)?"
            r"(?:prints?|fabrics?|colors?|fat quarters?|strips?))?|each|ea[.]?)",
            text,
            re.IGNORECASE,
        )
        plain = re.sub(r"^(\d+)\s*\(\s*\1\s*\)$", r"\1", match[1] if match else text)
        own = replace(cell, text=plain) if cell.kind is CellKind.TEXT else cell
        count = read_count(own, self.problems)
        if count is None or match is None:
            return None if count is None else (count, None)
        prints, stated = self.draft.print_count(), int(match["of"] or 0)
        if stated and (prints is None or self.row.has(HOW_SURE)):
            prints = stated  # a draft has counted which of the prints are meant
        if prints is None or (stated and stated != prints):
            self.draft.needs_amount = True
            self.error(
                f"'{plain_spaces(cell.text)}' has to be multiplied by the number of prints of "
                f"'{self.draft.role}', which is not stated for sure",
                cell,
                "State the number under Prints, or type the total.",
            )
            return None
        return count * prints, prints

    def _width(self) -> tuple[Length | None, Cell, bool]:
        if self.row.has("Cut size") and not self.row.has("Cut width"):
            return self._both_in_one_cell()
        finished = not (self.row.has("Cut width") or self.row.has("Cut length")) and (
            self.row.has("Finished width")
        )
        kind = "Finished" if finished or "Cut width" not in self.row.columns else "Cut"
        if f"{kind} width" not in self.row.columns:
            self.problems.refuse(
                "no column of this table says the width", self.where, "Head one Cut width."
            )
            return None, self.row.cell("Cut length"), finished
        width_cell = self.row.cell(f"{kind} width")
        length_cell = self.row.cell(f"{kind} length")
        if not require(
            width_cell, f"{kind.lower()} width", self.problems, "Type a width such as 2 1/2."
        ):
            return None, length_cell, finished
        text = " ".join(tidy_text(width_cell.text).split())
        if WOF.fullmatch(text) and width_cell.kind is CellKind.TEXT and not length_cell.is_blank:
            width_cell, length_cell = length_cell, width_cell
        return self.length(width_cell, f"{kind.lower()} width"), length_cell, finished

    def _both_in_one_cell(self) -> tuple[Length | None, Cell, bool]:
        cell = self.row.cell("Cut size")
        text = " ".join(tidy_text(cell.text).split())
        parts = BY.split(text)
        square = re.fullmatch(r"(.+?)\s*(?:squares?|sq\.?)", parts[0], re.IGNORECASE)
        if cell.kind is CellKind.TEXT and len(parts) == 2:
            width = self.length(replace(cell, text=parts[0]), "cut width")
            return width, replace(cell, text=parts[1]), False
        if cell.kind is CellKind.TEXT and square and len(parts) == 1:
            one = replace(cell, text=square[1])
            return self.length(one, "cut size"), one, False
        self.error(
            f"the size '{plain_spaces(cell.text)}' is not a width and a length",
            cell,
            "Type it as 2 1/2 x 4 1/2.",
        )
        return None, cell, False

    def length(self, cell: Cell, what: str, *, most: Length = LARGEST_PIECE) -> Length | None:
        """Return the believable length in a cell, in inches; None when blank or not."""
        unit = self.row.inches_in(what.capitalize(), self.reading.unit)
        length = read_length(cell, unit, self.problems, what=what)
        if length is None:
            return None
        if length <= 0:
            self.error(
                f"the {what} is {say_number(length) if length == 0 else cell.text}",
                cell,
                "Type a size such as 2 1/2.",
            )
            return None
        says_yards = any(token.value == YARD for token in lex(cell.text))
        if says_yards and what.endswith("width") and not self.draft.believes_strip(length):
            self.error(
                f"the {what} '{plain_spaces(cell.text)}' is in yards, as an amount is",
                cell,
                "Type the width in inches; an amount stands under Requirement.",
            )
            return None
        if not SMALLEST_PIECE <= length <= most:
            size = "large" if length > most else "small"
            self.error(
                f"the {what} {say_size(length, Unit.INCH)} in is too {size} to be believed",
                cell,
                "Look for a slip of the keyboard.",
            )
            return None
        return length

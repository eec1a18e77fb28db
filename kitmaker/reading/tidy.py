"""The tidy layout: a table with one row for each kind of piece.

Sizes are cut sizes, or finished sizes to which the seams are added here. Each row becomes
one piece or at least one problem; a row that says something else (a total, a remark) is
said to have been passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from kitmaker.arithmetic.cut_sizes import (
    cut_rectangle,
    cut_square_for_half_square,
    cut_square_for_quarter_square,
)
from kitmaker.errors import Location, Problem, error, warning
from kitmaker.lengths import Length, LengthError, Unit, parse_length, say_number, say_size
from kitmaker.pattern import Direction, Piece, PieceKind, Shape
from kitmaker.reading.bracket_sizes import choose_in_brackets
from kitmaker.reading.cells import (
    plain_spaces,
    read_count,
    read_length,
    read_text,
    require,
    tidy_text,
)
from kitmaker.reading.fabric_draft import LARGEST_PIECE, WIDEST_STRIP, FabricDraft
from kitmaker.reading.number_words import spell_in_figures
from kitmaker.reading.tables import TableRow
from kitmaker.reading.workbook import Cell, CellKind

WOF = re.compile(
    r"(?:x\s*)?(?:w\.?\s?o\.?\s?f\.?|(?:full\s+)?width(?:\s+of\s+(?:the\s+)?fabric)?|fabric\s+width"
    r"|selvage\s+to\s+selvage|across)",
    re.IGNORECASE,
)
LOF = re.compile(
    r"(?:x\s*)?(?:l\.?\s?o\.?\s?f\.?|(?:full\s+)?length\s+of\s+(?:the\s+)?fabric|fabric\s+length)",
    re.IGNORECASE,
)
_STRIP_WORDS = re.compile(r"\b(?:strips?|binding|borders?|bands?)\b", re.IGNORECASE)
_TRIANGLES_OF = {Shape.CUT_ONCE: 2, Shape.CUT_TWICE: 4}
_SHAPE_HELP = (
    "Type rectangle, square, strip, 'square cut once on the diagonal' or "
    "'square cut twice on the diagonal'."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowRules:
    """What holds for every row of a table.

    Attributes:
        unit: What bare numbers are in.
        seam: The seam allowance in inches.
        bracket: Which of two sizes in brackets is read: 0, 1, or None for a single size.
    """

    unit: Unit
    seam: Length
    bracket: int | None = None


def read_piece_row(
    row: TableRow,
    quantity_cell: Cell,
    draft: FabricDraft,
    rules: RowRules,
    problems: list[Problem],
) -> Piece | None:
    """Return the piece a row asks for; None with at least one problem added.

    Args:
        row: The row.
        quantity_cell: The cell of its quantity in the chosen size.
        draft: The fabric it is cut from.
        rules: What holds for every row.
        problems: What is wrong is added here.
    """
    return _RowReader(row, draft, rules, problems).read(quantity_cell)


def piece_where(row: TableRow) -> Location:
    """The cell a piece is known by: its Piece cell, else the first of its row."""
    return (row.cell("Piece") if row.has("Piece") else row.row.first()).location


def shape_from_text(text: str) -> Shape | str | None:
    """Return the shape a text names: a shape, ``strip``, or None when it is not known."""
    words = " ".join(tidy_text(text).casefold().replace("-", " ").split())
    words = re.sub(r"\b(?:the|a|on|each|along|across|into|in)\b", " ", words)
    words = " ".join(words.split())
    if words in ("", "rectangle", "rectangles", "rect", "patch", "oblong"):
        return Shape.RECTANGLE
    if words in ("square", "squares", "sq"):
        return Shape.SQUARE
    if re.fullmatch(r"(?:wof |whole )?strips?(?: used whole)?|binding(?: strips?)?", words):
        return "strip"
    diagonal = "diagonal" in words or words.startswith("square")
    if diagonal and re.search(r"\b(?:twice|2 times|2x|x2|both diagonals|quarters?|2)\b", words):
        return Shape.CUT_TWICE if "square" in words or "diagonal" in words else None
    if diagonal and re.search(r"\b(?:once|1 time|1x|half|1)\b", words):
        return Shape.CUT_ONCE
    return None


def direction_from_text(text: str) -> Direction | None:
    """Return how a piece may lie; None when the words are not known."""
    words = " ".join(tidy_text(text).casefold().replace("-", " ").split())
    if words in ("", "free", "any", "either", "may turn", "none", "no", "all over", "either way"):
        return Direction.FREE
    if words in ("one way", "oneway", "directional", "1 way", "yes", "up", "up and down"):
        return Direction.ONE_WAY
    if words in (
        *("lengthwise", "lof", "along", "along the selvage", "parallel to the selvage"),
        *("length of fabric", "lengthwise grain", "parallel to selvage", "parallel to selvages"),
    ):
        return Direction.LENGTHWISE
    return None


class _RowReader:
    def __init__(
        self, row: TableRow, draft: FabricDraft, rules: RowRules, problems: list[Problem]
    ) -> None:
        self.row, self.draft, self.rules, self.problems = row, draft, rules, problems
        self.where = piece_where(row)

    def read(self, quantity_cell: Cell) -> Piece | None:
        before = len([problem for problem in self.problems if problem.is_error])
        shape = self._shape()
        direction = self._direction()
        counted = self._quantity(quantity_cell)
        width, length_cell, finished = self._width()
        cross_cut = self._optional_length("Cross-cut", "cross-cut")
        piece = None
        if None not in (shape, direction, counted, width):
            assert_shape, assert_direction = shape or Shape.RECTANGLE, direction or Direction.FREE
            draft = _Draft(
                shape=assert_shape,
                direction=assert_direction,
                width=width or Fraction(0),
                length_cell=length_cell,
                finished=finished,
                quantity=(counted or (0, None))[0],
                from_each=(counted or (0, None))[1],
                cross_cut=cross_cut,
            )
            piece = self._piece(draft)
        errors = [problem for problem in self.problems if problem.is_error]
        return None if len(errors) > before else piece

    def _error(self, message: str, cell: Cell, suggestion: str = "") -> None:
        self.problems.append(error(message, cell.location, suggestion))

    def _shape(self) -> Shape | str | None:
        cell = self.row.cell("Shape")
        text = read_text(cell, self.problems)
        shape = shape_from_text(text)
        if shape is None:
            self._error(
                f"the shape '{text}' is not one that can be cut for sure", cell, _SHAPE_HELP
            )
        return shape

    def _direction(self) -> Direction | None:
        cell = self.row.cell("Direction")
        text = read_text(cell, self.problems)
        direction = direction_from_text(text)
        if direction is None:
            self._error(
                f"the direction '{text}' is not known",
                cell,
                "Leave it empty, or type one-way or lengthwise.",
            )
        return direction

    def _quantity(self, cell: Cell) -> tuple[int, int | None] | None:
        """Return the quantity for one kit and, where it is "from each", the number of prints."""
        if not require(cell, "quantity", self.problems, "Type how many to cut, such as 4."):
            return None
        if cell.kind is not CellKind.TEXT:
            count = read_count(cell, self.problems)
            return None if count is None else (count, None)
        text = spell_in_figures(tidy_text(cell.text).replace("\n", " "))
        text = choose_in_brackets(text, self.rules.bracket)
        match = re.fullmatch(
            r"(.*?)\s*(?:(?:from|of|per)\s+(?:each|every)(?:\s+(?:of\s+)?(?:\d+\s+)?"
            r"(?:prints?|fabrics?|colors?|fat quarters?|strips?))?|each)",
            text,
            re.IGNORECASE,
        )
        each = match is not None
        plain = re.sub(r"^(\d+)\s*\(\s*\1\s*\)$", r"\1", match[1] if match else text)
        count = read_count(replace(cell, text=plain), self.problems)
        if count is None or not each:
            return None if count is None else (count, None)
        prints = self.draft.print_count()
        if prints is None:
            self._error(
                f"'{plain_spaces(cell.text)}' has to be multiplied by the number of prints of "
                f"'{self.draft.role}', which is not stated for sure",
                cell,
                "State the number under Prints, or type the total.",
            )
            return None
        return count * prints, prints

    def _width(self) -> tuple[Length | None, Cell, bool]:
        """Return the width, the cell of the length and whether both are finished sizes."""
        if self.row.has("Cut size") and not self.row.has("Cut width"):
            return self._both_in_one_cell()
        finished = not (self.row.has("Cut width") or self.row.has("Cut length")) and (
            self.row.has("Finished width")
        )
        kind = "Finished" if finished or "Cut width" not in self.row.columns else "Cut"
        width_cell = self.row.cell(f"{kind} width")
        length_cell = self.row.cell(f"{kind} length")
        if not require(
            width_cell, f"{kind.lower()} width", self.problems, "Type a width such as 2 1/2."
        ):
            return None, length_cell, finished
        text = " ".join(tidy_text(width_cell.text).split())
        if WOF.fullmatch(text) and width_cell.kind is CellKind.TEXT and not length_cell.is_blank:
            width_cell, length_cell = length_cell, width_cell
        return self._length(width_cell, f"{kind.lower()} width"), length_cell, finished

    def _both_in_one_cell(self) -> tuple[Length | None, Cell, bool]:
        cell = self.row.cell("Cut size")
        text = " ".join(tidy_text(cell.text).split())
        parts = re.split(
            r"\s*(?:×|\bx\b|(?<=[\d\"])x(?=[\s\d])|\*|\bby\b)\s*", text, flags=re.IGNORECASE
        )
        square = re.fullmatch(r"(.+?)\s*(?:squares?|sq\.?)", parts[0], re.IGNORECASE)
        if cell.kind is CellKind.TEXT and len(parts) == 2:
            width = self._length(replace(cell, text=parts[0]), "cut width")
            return width, replace(cell, text=parts[1]), False
        if cell.kind is CellKind.TEXT and square and len(parts) == 1:
            one = replace(cell, text=square[1])
            return self._length(one, "cut size"), one, False
        self._error(
            f"the size '{plain_spaces(cell.text)}' is not a width and a length",
            cell,
            "Type it as 2 1/2 x 4 1/2.",
        )
        return None, cell, False

    def _length(self, cell: Cell, what: str) -> Length | None:
        column = self.row.columns.get(what.capitalize())
        unit = column.inches_in(self.rules.unit) if column is not None else self.rules.unit.length
        length = read_length(cell, unit, self.problems, what=what)
        if length is None:
            return None
        if length <= 0:
            self._error(
                f"the {what} is {say_number(length) if length == 0 else cell.text}",
                cell,
                "Type a size such as 2 1/2.",
            )
            return None
        if length > LARGEST_PIECE:
            self._error(
                f"the {what} {say_size(length, Unit.INCH)} in is too large to be believed",
                cell,
                "Look for a slip of the keyboard.",
            )
            return None
        return length

    def _optional_length(self, key: str, what: str) -> Length | None:
        return self._length(self.row.cell(key), what) if self.row.has(key) else None

    def _piece(self, draft: _Draft) -> Piece | None:
        sized = self._finish(draft)
        if sized is None:
            return None
        kind, width, length, quantity, direction = sized
        if kind is PieceKind.STRIP and width > WIDEST_STRIP:
            self._error(
                f"a strip {say_size(width, Unit.INCH)} in wide is too wide to be believed",
                self.row.cell("Cut width"),
                "Look for a slip of the keyboard.",
            )
            return None
        shape = draft.shape if isinstance(draft.shape, Shape) else Shape.RECTANGLE
        name = read_text(self.row.cell("Piece")) or self._named_by_size(width, length)
        notes = "; ".join(text for key in ("Notes", "Location") if (text := self.row.text(key)))
        return Piece(
            name=name,
            kind=kind,
            width=width,
            length=length,
            quantity=quantity,
            shape=shape,
            direction=direction,
            print_group=read_text(self.row.cell("Same print")) or None,
            cross_cut=draft.cross_cut,
            from_each=draft.from_each,
            where=self.where,
            notes=notes,
        )

    def _named_by_size(self, width: Length, length: Length | None) -> str:
        unit = self.rules.unit
        across = "WOF" if length is None else say_size(length, unit)
        return f"{say_size(width, unit)} × {across}"

    def _finish(
        self, draft: _Draft
    ) -> tuple[PieceKind, Length, Length | None, int, Direction] | None:
        """Settle kind, cut size and count."""
        text = " ".join(tidy_text(draft.length_cell.text).split())
        is_text = draft.length_cell.kind is CellKind.TEXT
        seam = self.rules.seam
        width = cut_rectangle(draft.width, seam) if draft.finished else draft.width
        if is_text and WOF.fullmatch(text):
            if isinstance(draft.shape, Shape) and draft.shape is not Shape.RECTANGLE:
                self._error(f"a {draft.shape} has no length WOF", draft.length_cell, _SHAPE_HELP)
                return None
            return PieceKind.STRIP, width, None, draft.quantity, Direction.FREE
        if is_text and LOF.fullmatch(text):
            return self._along(draft, width)
        if draft.length_cell.is_blank:
            return self._without_length(draft, width)
        what = "finished length" if draft.finished else "cut length"
        length = self._length(draft.length_cell, what)
        if length is None:
            return None
        if isinstance(draft.shape, Shape) and draft.shape in _TRIANGLES_OF:
            return self._diagonal(draft, length)
        if draft.shape is Shape.SQUARE and length != draft.width:
            self._error("a square needs one width and length", draft.length_cell, _SHAPE_HELP)
            return None
        if draft.finished:
            length = cut_rectangle(length, seam)
        if self._is_whole_strip(draft, width, length):
            return PieceKind.STRIP, width, None, draft.quantity, Direction.FREE
        return PieceKind.PIECE, width, length, draft.quantity, draft.direction

    def _is_whole_strip(self, draft: _Draft, width: Length, length: Length) -> bool:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')} {self.row.text('Location')}"
        is_strip = draft.shape == "strip" or (
            draft.shape is Shape.RECTANGLE and _STRIP_WORDS.search(called) is not None
        )
        if not is_strip or draft.direction is not Direction.FREE or 2 * width > length:
            return False
        return self.draft.is_whole_width(length)

    def _along(
        self, draft: _Draft, width: Length
    ) -> tuple[PieceKind, Length, Length | None, int, Direction] | None:
        amount = self.draft.requirement
        if amount is None or amount.length is None:
            self._error(
                f"a length LOF needs the length of '{self.draft.role}', which is not stated",
                draft.length_cell,
                "Type the length in figures, or state the requirement as a length.",
            )
            return None
        self.problems.append(
            warning(
                f"LOF is read as the whole requirement, {amount.as_written}",
                draft.length_cell.location,
                "Type the length in figures if it is shorter.",
            )
        )
        return PieceKind.PIECE, width, amount.length, draft.quantity, Direction.LENGTHWISE

    def _without_length(
        self, draft: _Draft, width: Length
    ) -> tuple[PieceKind, Length, Length | None, int, Direction] | None:
        if isinstance(draft.shape, Shape) and draft.shape in _TRIANGLES_OF:
            return self._diagonal(draft, draft.width)
        if draft.shape is Shape.SQUARE:
            return PieceKind.PIECE, width, width, draft.quantity, draft.direction
        called = f"{self.row.text('Piece')} {self.row.text('Notes')}"
        if draft.shape == "strip" or _STRIP_WORDS.search(called):
            return PieceKind.STRIP, width, None, draft.quantity, Direction.FREE
        require(
            draft.length_cell,
            "cut length",
            self.problems,
            "Type a length such as 4 1/2, or WOF for a strip across the whole width.",
        )
        return None

    def _diagonal(
        self, draft: _Draft, length: Length
    ) -> tuple[PieceKind, Length, Length | None, int, Direction] | None:
        if length != draft.width:
            self._error(
                f"a {draft.shape} needs one width and length", draft.length_cell, _SHAPE_HELP
            )
            return None
        if not draft.finished or not isinstance(draft.shape, Shape):
            return PieceKind.PIECE, length, length, draft.quantity, draft.direction
        side = (
            cut_square_for_half_square(length, self.rules.seam)
            if draft.shape is Shape.CUT_ONCE
            else cut_square_for_quarter_square(length, self.rules.seam)
        )
        squares = ceil(Fraction(draft.quantity, _TRIANGLES_OF[draft.shape]))
        return PieceKind.PIECE, side, side, squares, draft.direction


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A row's cells, each read by itself."""

    shape: Shape | str
    direction: Direction
    width: Length
    length_cell: Cell
    finished: bool
    quantity: int
    from_each: int | None
    cross_cut: Length | None


def is_length_text(text: str, unit: Unit) -> bool:
    """Whether a text is a length, WOF or LOF."""
    try:
        parse_length(text, unit)
    except LengthError:
        return WOF.fullmatch(text.strip()) is not None or LOF.fullmatch(text.strip()) is not None
    return True

"""The tidy layout: a table with one row for each kind of piece.

Sizes are cut sizes, or finished sizes to which the seams are added here. Each row becomes
one piece or at least one problem; a row that says something else (a total, a remark) is
said to have been passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.arithmetic.cut_sizes import cut_rectangle
from kitmaker.arithmetic.figures import CutRules, Figure, FigureSizeError, rules_of
from kitmaker.errors import Location, Problem, error, warning
from kitmaker.lengths import (
    Length,
    Unit,
    say_number,
    say_size,
)
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
from kitmaker.reading.fabric_draft import (
    LARGEST_PIECE,
    SMALLEST_PIECE,
    WIDEST_STRIP,
    FabricDraft,
)
from kitmaker.reading.finished_shapes import STRIP_SHAPES, CutFor
from kitmaker.reading.number_words import spell_in_figures
from kitmaker.reading.phrases.settle import is_full_width
from kitmaker.reading.shaped_cuts import Counted, cut_from_finished, cut_from_stated
from kitmaker.reading.shaped_pieces import ask_for_shape, check_against_finished
from kitmaker.reading.shapes import KNOWN_SHAPES, ShapeWords, ShapeWordsError, parse_shape
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


@dataclass(frozen=True, slots=True, kw_only=True)
class RowRules:
    """What holds for every row of a table.

    Attributes:
        unit: What bare numbers are in.
        seam: The seam allowance in inches.
        step: What cut sizes with a root in them are rounded up to; None for ⅛ in or 1 mm.
        bracket: Which of two sizes in brackets is read: 0, 1, or None for a single size.
    """

    unit: Unit
    seam: Length
    step: Length | None = None
    bracket: int | None = None

    def cut_rules(self, draft: FabricDraft, oversize: Length) -> CutRules:
        """Return the rules that finished shapes of a fabric are cut by."""
        rules = rules_of(self.unit, self.seam, self.step, draft.usable_width)
        return replace(rules, oversize=oversize)


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
            draft = _Draft(
                shape=shape or ShapeWords(figure=Figure.RECTANGLE),
                direction=direction or Direction.FREE,
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

    def _shape(self) -> ShapeWords | None:
        cell = self.row.cell("Shape")
        try:
            shape = parse_shape(read_text(cell, self.problems), self.rules.unit)
        except ShapeWordsError as fault:
            self._error(str(fault), cell, fault.suggestion)
            return None
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
        if f"{kind} width" not in self.row.columns:
            self.problems.append(
                error("no column of this table says the width", self.where, "Head one Cut width.")
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
        if not SMALLEST_PIECE <= length <= LARGEST_PIECE:
            size = "large" if length > LARGEST_PIECE else "small"
            self._error(
                f"the {what} {say_size(length, Unit.INCH)} in is too {size} to be believed",
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
        if sized.kind is PieceKind.STRIP and sized.width > WIDEST_STRIP:
            self._error(
                f"a strip {say_size(sized.width, Unit.INCH)} in wide is too wide to be believed",
                self.row.cell("Cut width"),
                "Look for a slip of the keyboard.",
            )
            return None
        name = read_text(self.row.cell("Piece")) or self._named_by_size(sized.width, sized.length)
        said = (sized.remark, self.row.text("Notes"), self.row.text("Location"))
        return Piece(
            name=name,
            kind=sized.kind,
            width=sized.width,
            length=sized.length,
            quantity=sized.quantity,
            shape=sized.shape,
            direction=sized.direction,
            print_group=read_text(self.row.cell("Same print")) or None,
            cross_cut=draft.cross_cut,
            from_each=draft.from_each,
            where=self.where,
            notes="; ".join(text for text in said if text),
            formula=sized.formula,
        )

    def _named_by_size(self, width: Length, length: Length | None) -> str:
        unit = self.rules.unit
        across = "WOF" if length is None else say_size(length, unit)
        return f"{say_size(width, unit)} × {across}"

    def _finish(self, draft: _Draft) -> _Sized | None:
        """Settle kind, cut size and count."""
        text = " ".join(tidy_text(draft.length_cell.text).split())
        is_text = draft.length_cell.kind is CellKind.TEXT
        if is_text and WOF.fullmatch(text):
            return self._whole_width(draft)
        if is_text and LOF.fullmatch(text):
            return self._along(draft)
        length: Length | None = None
        if not draft.length_cell.is_blank:
            what = "finished length" if draft.finished else "cut length"
            length = self._length(draft.length_cell, what)
            if length is None:
                return None
        elif draft.shape.figure is Figure.RECTANGLE:
            return self._without_length(draft)
        ask_for_shape(self.row, draft.shape, self.problems, is_finished=draft.finished)
        rules = self.rules.cut_rules(self.draft, draft.shape.oversize)
        counted = Counted(draft.quantity, draft.from_each)
        try:
            if draft.finished:
                cut, quantity = cut_from_finished(draft.shape, draft.width, length, rules, counted)
            else:
                cut, quantity = cut_from_stated(draft.shape, draft.width, length, rules, counted)
                check_against_finished(self.row, draft.shape, cut, rules, self.problems)
        except FigureSizeError as fault:
            self._error(str(fault), draft.length_cell, fault.suggestion)
            return None
        return self._sized(draft, cut, quantity)

    def _sized(self, draft: _Draft, cut: CutFor, quantity: int) -> _Sized:
        if cut.length is None or self._is_whole_strip(draft, cut.width, cut.length):
            return _Sized(
                kind=PieceKind.STRIP,
                width=cut.width,
                length=None,
                quantity=quantity,
                shape=cut.shape,
                formula=cut.formula or None,
                remark=cut.remark,
            )
        return _Sized(
            kind=PieceKind.PIECE,
            width=cut.width,
            length=cut.length,
            quantity=quantity,
            direction=draft.direction,
            shape=cut.shape,
            formula=cut.formula or None,
            remark=cut.remark,
        )

    def _strip_width(self, draft: _Draft) -> tuple[Length, str | None]:
        """Return a strip's cut width and its formula where it was stated finished."""
        if not draft.finished:
            return draft.width, None
        cut, unit = cut_rectangle(draft.width, self.rules.seam), self.rules.unit
        said = (
            f"finished {say_size(draft.width, unit)} + {say_size(cut - draft.width, unit)} = strip "
            f"{say_size(cut, unit)} (strip; two seam allowances)"
        )
        return cut, said

    def _whole_width(self, draft: _Draft) -> _Sized | None:
        figure = draft.shape.figure
        if figure in STRIP_SHAPES and not draft.finished:
            shape = STRIP_SHAPES[figure]
        elif figure is Figure.RECTANGLE:
            shape = Shape.RECTANGLE
        else:
            self._error(f"a {figure} has no length WOF", draft.length_cell, KNOWN_SHAPES)
            return None
        width, formula = self._strip_width(draft)
        return _Sized(
            kind=PieceKind.STRIP,
            width=width,
            length=None,
            quantity=draft.quantity,
            shape=shape,
            formula=formula,
        )

    def _is_whole_strip(self, draft: _Draft, width: Length, length: Length) -> bool:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')} {self.row.text('Location')}"
        is_strip = draft.shape.is_strip or (
            draft.shape.figure is Figure.RECTANGLE and _STRIP_WORDS.search(called) is not None
        )
        if not is_strip or draft.direction is not Direction.FREE or 2 * width > length:
            return False
        return is_full_width(length) and self.draft.is_whole_width(length)

    def _along(self, draft: _Draft) -> _Sized | None:
        if draft.shape.figure is not Figure.RECTANGLE:
            self._error(
                f"a {draft.shape.figure} has no length LOF", draft.length_cell, KNOWN_SHAPES
            )
            return None
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
        width, formula = self._strip_width(draft)
        return _Sized(
            kind=PieceKind.PIECE,
            width=width,
            length=amount.length,
            quantity=draft.quantity,
            direction=Direction.LENGTHWISE,
            formula=formula,
        )

    def _without_length(self, draft: _Draft) -> _Sized | None:
        called = f"{self.row.text('Piece')} {self.row.text('Notes')}"
        if draft.shape.is_strip or _STRIP_WORDS.search(called):
            return self._whole_width(draft)
        require(
            draft.length_cell,
            "cut length",
            self.problems,
            "Type a length such as 4 1/2, or WOF for a strip across the whole width.",
        )
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A row's cells, each read by itself."""

    shape: ShapeWords
    direction: Direction
    width: Length
    length_cell: Cell
    finished: bool
    quantity: int
    from_each: int | None
    cross_cut: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sized:
    """A piece's kind, cut size and count."""

    kind: PieceKind
    width: Length
    length: Length | None
    quantity: int
    direction: Direction = Direction.FREE
    shape: Shape = Shape.RECTANGLE
    formula: str | None = None
    remark: str = ""

"""A pattern's workbook into a pattern: the one way in for every command.

Three layouts are read, in any mixture: a tidy table of pieces, cutting instructions as
written, amounts alone. Everything that cannot be read for sure is collected as a problem
with its cell; what is in the pattern is sure.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from openpyxl.utils.cell import coordinate_to_tuple

from kitmaker.amounts import AmountError, read_amount, say_bare
from kitmaker.as_written import read_instructions
from kitmaker.bracket_sizes import choose_in_brackets, split_size_names
from kitmaker.cells import (
    plain_spaces,
    read_count,
    read_length,
    read_text,
    tidy_text,
)
from kitmaker.errors import Location, Problem, UnreadableError, UsageError, error, warning
from kitmaker.fabric_draft import FabricDraft, FabricDrafts
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.layout import FoundTable, Layout, TableKind, find_layout
from kitmaker.lengths import Unit
from kitmaker.number_words import spell_in_figures
from kitmaker.pattern import Note, Pattern, PatternReading
from kitmaker.phrases import is_cutting, says_a_cut
from kitmaker.tables import TableRow, fold_heading
from kitmaker.tidy import RowRules, read_piece_row
from kitmaker.workbook import Cell, CellKind, Workbook, read_workbook

QUARTER_INCH = Fraction(1, 4)
_TOTALS = ("total", "totals", "sum", "grand total", "subtotal")


def read_pattern(
    path: Path, size: str | None = None, catalogue: Catalogue | None = None
) -> PatternReading:
    """Read a pattern.

    Args:
        path: The workbook or .csv file.
        size: The size to read; may be None where the pattern has one only.
        catalogue: The forms whose names are known; the built-in ones unless given.

    Returns:
        The pattern as far as it is sure, with every problem.

    Raises:
        UnreadableError: The file cannot be read at all, or asks for nothing to be cut.
        UsageError: The size is missing where there are several, or not one of them.
    """
    workbook = read_workbook(path)
    layout = find_layout(workbook)
    if not layout.tables:
        raise UnreadableError(
            f"'{path.name}' has nothing to cut: no table headed Fabric with Cut width, "
            "Requirement or Cutting instructions. Run 'kitmaker starter' for one to fill in."
        )
    return _PatternReader(workbook, layout, size, catalogue or Catalogue()).read(path)


class _PatternReader:
    def __init__(
        self, workbook: Workbook, layout: Layout, size: str | None, catalogue: Catalogue
    ) -> None:
        self.workbook, self.layout, self.catalogue = workbook, layout, catalogue
        self.problems: list[Problem] = list(layout.problems)
        self.notes: list[Note] = []
        self.drafts = FabricDrafts()
        self.listed: set[str] = set()
        named = self._fact("Size")
        in_brackets = split_size_names(named) if named else None
        self.sizes = self._all_sizes(in_brackets)
        self.size = self._choose(size, named)
        self.bracket = None
        if in_brackets is not None and self.size is not None:
            folded = [fold_heading(name) for name in in_brackets]
            self.bracket = folded.index(fold_heading(self.size))
        self.unit = self._unit()
        self.seam = self._seam()

    def read(self, path: Path) -> PatternReading:
        chosen = [found for found in self.layout.tables if self._in_size(found)]
        for found in chosen:
            if found.kind is TableKind.FABRICS or "Requirement" in found.table.columns:
                self._fabrics(found)
        for found in chosen:
            if found.kind is TableKind.PIECES:
                self._pieces(found)
        self._loose_lines()
        fabrics = tuple(draft.finished(self.problems) for draft in self.drafts.all())
        empty = not any(fabric.pieces or fabric.requirement for fabric in fabrics)
        if empty and not any(problem.is_error for problem in self.problems):
            raise UnreadableError(f"'{path.name}' has nothing to cut: its tables are empty.")
        several = self.sizes if len(self.sizes) > 1 else ()
        pattern = Pattern(
            name=self._fact("Pattern") or self.layout.title or path.stem,
            sizes=several,
            size=self.size,
            unit=self.unit,
            seam_allowance=self.seam,
            finished_size=self._fact("Finished size"),
            fabrics=fabrics,
        )
        return PatternReading(pattern=pattern, problems=self._in_order(), notes=tuple(self.notes))

    # facts and sizes

    def _fact(self, key: str) -> str:
        cell = self.layout.facts.get(key)
        return read_text(cell) if cell is not None else ""

    def _all_sizes(self, in_brackets: tuple[str, str] | None) -> tuple[str, ...]:
        names = [*self.layout.blocks()]
        for found in self.layout.tables:
            names.extend(found.sizes)
        names = names or list(in_brackets or ())
        unique: dict[str, str] = {}
        for name in names:
            unique.setdefault(fold_heading(name), name)
        return tuple(unique.values())

    def _choose(self, size: str | None, named: str) -> str | None:
        known = self.sizes or ((named,) if named else ())
        if size is None:
            if len(self.sizes) > 1:
                raise UsageError(
                    f"The pattern has {len(self.sizes)} sizes: {', '.join(self.sizes)}. "
                    "Say which with --size."
                )
            return known[0] if known else None
        for name in known:
            if fold_heading(name) == fold_heading(size):
                return name
        if not known:
            raise UsageError(f"The pattern has one size without a name, so not '{size}'.")
        raise UsageError(f"The pattern has no size '{size}'; it has {', '.join(known)}.")

    def _unit(self) -> Unit:
        cell = self.layout.facts.get("Unit")
        if cell is None:
            return Unit.INCH
        words = fold_heading(read_text(cell))
        if words in ("in", "inch", "inches", ""):
            return Unit.INCH
        if words in ("cm", "centimeter", "centimeters", "centimetre", "centimetres", "metric"):
            return Unit.CENTIMETER
        self.problems.append(
            error(f"the unit '{read_text(cell)}' is not known", cell.location, "Type in or cm.")
        )
        return Unit.INCH

    def _seam(self) -> Fraction:
        cell = self.layout.facts.get("Seam allowance")
        if cell is None:
            return QUARTER_INCH
        seam = read_length(cell, self.unit, self.problems, what="seam allowance")
        if seam is not None and not 0 <= seam <= 2:
            self.problems.append(
                error("a seam allowance of that width is not believable", cell.location)
            )
            return QUARTER_INCH
        return QUARTER_INCH if seam is None else seam

    def _in_size(self, found: FoundTable) -> bool:
        if found.block is None or self.size is None:
            return True
        return fold_heading(found.block) == fold_heading(self.size)

    def _sized_cell(self, found: FoundTable, row: TableRow, key: str) -> tuple[Cell, bool]:
        """Return the cell of a key in the chosen size, and whether its column is a size's."""
        columns = found.table.sized.get(key, ())
        for column in columns:
            if self.size is not None and fold_heading(column.extra) == fold_heading(self.size):
                cell = row.row.cells.get(column.number)
                return cell or row.sheet.blank(row.number, column.number), True
        return row.cell(key), bool(columns)

    # tables of fabrics

    def _fabrics(self, found: FoundTable) -> None:
        instructions: dict[str, list[tuple[str, Location]]] = {}
        current: FabricDraft | None = None
        last_row = found.table.heading_row
        seen: dict[str, set[Location]] = {}
        for row in found.table.rows:
            if self._is_total(row):
                continue
            if row.number > last_row + 1:
                current = None
            last_row = row.number
            if row.has("Fabric"):
                if self._is_note(row, "Fabric"):
                    continue
                role = read_text(row.cell("Fabric"), self.problems)
                current = self.drafts.get(role, row.cell("Fabric").location)
                self.listed.add(current.role)
            lines = self._instruction_lines(found, row)
            if current is None:
                self._no_fabric(row)
                continue
            self._facts_of(found, row, current, seen)
            instructions.setdefault(current.role, []).extend(lines)
        for role, lines in instructions.items():
            draft = self.drafts.find(role)
            if draft is not None and lines:
                read_instructions(draft, lines, self.unit, self.bracket, self.problems, self.notes)

    def _instruction_lines(self, found: FoundTable, row: TableRow) -> list[tuple[str, Location]]:
        first = self._lines_of(self._sized_cell(found, row, "Cutting instructions")[0], row)
        then = self._lines_of(row.cell("Next cuts"), row)
        lines: list[tuple[str, Location]] = []
        for at, line in enumerate(first):
            lines.append(line)
            if len(first) == len(then):
                lines.append(_as_sub_cut(then[at]))
        if len(first) != len(then):
            lines.extend(_as_sub_cut(line) for line in then)
        return lines

    def _lines_of(self, cell: Cell, row: TableRow) -> list[tuple[str, Location]]:
        if cell.is_blank or row.number != _row_and_column(cell.location)[0]:
            return []  # a merged cell's lines are read once, in its first row
        text = cell.text if cell.kind is CellKind.TEXT else read_text(cell, self.problems)
        return [(line, cell.location) for line in text.split("\n") if line.strip()]

    def _facts_of(
        self, found: FoundTable, row: TableRow, draft: FabricDraft, seen: dict[str, set[Location]]
    ) -> None:
        cell, is_sized = self._sized_cell(found, row, "Requirement")
        places = seen.setdefault(draft.role, set())
        none_in_this_size = is_sized and _is_none(cell)
        if not cell.is_blank and not none_in_this_size and cell.location not in places:
            places.add(cell.location)
            self._requirement(found, cell, draft)
        if row.has("Prints"):
            draft.prints = read_count(row.cell("Prints"), self.problems, what="number of prints")
        if row.has("Usable width"):
            width = read_length(
                row.cell("Usable width"), self.unit, self.problems, what="usable width"
            )
            if width is not None and not 1 <= width <= 150:
                self.problems.append(
                    error(
                        "a usable width of that size is not believable",
                        row.cell("Usable width").location,
                    )
                )
            else:
                draft.usable_width = width
        self._check_remark(row)
        draft.form = self._form(row) or draft.form
        draft.sku = row.text("SKU") or draft.sku
        draft.description = row.text("Description") or draft.description

    def _form(self, row: TableRow) -> str | None:
        text = row.text("Form")
        if not text:
            return None
        for part in text.split("+"):
            try:
                self.catalogue.find(part)
            except UnknownFormError as fault:
                self.problems.append(
                    warning(str(fault), row.cell("Form").location, fault.suggestion)
                )
        return text

    def _requirement(self, found: FoundTable, cell: Cell, draft: FabricDraft) -> None:
        text = self._amount_text(found, cell)
        if text is None:
            return
        try:
            read = read_amount(text, self.unit, self.catalogue)
        except AmountError as fault:
            self.problems.append(error(str(fault), cell.location, fault.suggestion))
            return
        if draft.requirement is not None:
            same = draft.requirement.quantity == read.amount.quantity
            same = same and draft.requirement.unit == read.amount.unit
            say = warning if same else error
            self.problems.append(
                say(
                    f"the requirement of '{draft.role}' stands there twice"
                    + ("; it is counted once" if same else ", and differently"),
                    cell.location,
                    "State it once.",
                )
            )
            return
        draft.requirement, draft.amount_prints = read.amount, read.prints

    def _amount_text(self, found: FoundTable, cell: Cell) -> str | None:
        if cell.kind is CellKind.TEXT:
            text = plain_spaces(cell.text)
            if self.bracket is not None:
                return choose_in_brackets(spell_in_figures(tidy_text(text)), self.bracket)
            return text
        if cell.kind is CellKind.NUMBER and cell.number is not None:
            unit_word = _unit_word(cell, found)
            if unit_word is not None and cell.number > 0:
                return f"{read_text(cell)} {unit_word}"
            fault = say_bare(cell.number, self.unit)
            self.problems.append(error(str(fault), cell.location, fault.suggestion))
            return None
        read_length(cell, self.unit, self.problems, what="requirement")
        return None

    # tables of pieces

    def _pieces(self, found: FoundTable) -> None:
        rules = RowRules(unit=self.unit, seam=self.seam, bracket=self.bracket)
        missing = [key for key in ("Fabric",) if key not in found.table.columns]
        for key in missing:
            where = found.table.sheet.blank(found.table.heading_row, 1).location
            self.problems.append(
                error(f"the table has no column headed {key}", where, f"Head one {key}.")
            )
        if missing:
            return
        for row in found.table.rows:
            if self._is_total(row) or self._is_note(row, "Fabric", "Piece"):
                continue
            cell, is_sized = self._sized_cell(found, row, "Quantity")
            if is_sized and _is_none(cell):
                continue
            if not row.has("Fabric"):
                self._no_fabric(row)
                continue
            role = read_text(row.cell("Fabric"), self.problems)
            draft = self.drafts.find(role)
            if draft is None:
                draft = self.drafts.get(role, row.cell("Fabric").location)
                if self.listed:
                    self._unlisted(role, row.cell("Fabric").location)
            self._check_remark(row)
            piece = read_piece_row(row, cell, draft, rules, self.problems)
            if piece is not None:
                draft.pieces.append(piece)

    def _unlisted(self, role: str, where: Location) -> None:
        near = difflib.get_close_matches(role, self.listed, n=1, cutoff=0.8)
        self.problems.append(
            warning(
                f"the fabric '{role}' is not in the table of fabrics",
                where,
                f"Did you mean '{near[0]}'?" if near else "",
            )
        )

    # rows that are no demand

    def _no_fabric(self, row: TableRow) -> None:
        cells = row.row.own_cells()
        if len(cells) == 1 and cells[0].kind is CellKind.TEXT and not says_a_cut(cells[0].text):
            self._note(cells[0])
            return
        column = row.columns.get("Fabric")
        where = row.sheet.blank(row.number, column.number if column else 1).location
        self.problems.append(
            error("there is no fabric in this row", where, "Type which fabric it is cut from.")
        )

    def _check_remark(self, row: TableRow) -> None:
        words = row.text("Notes")
        if re.search(
            r"\b(?:repeat(?:ed)?|again|too|(?:for|from|of|per|in)\s+each"
            r"|each\s+(?:block|print|fabric|kit|size|unit))\b",
            words,
            re.IGNORECASE,
        ):
            self.problems.append(
                warning(
                    f"the note '{words}' may multiply or add; the quantity is read as it stands",
                    row.cell("Notes").location,
                    "Put the right quantity into its own cell.",
                )
            )

    def _is_total(self, row: TableRow) -> bool:
        first = row.row.first()
        words = fold_heading(first.text) if first.kind is CellKind.TEXT else ""
        if words not in _TOTALS and not words.startswith(("total ", "totals ")):
            return False
        self.problems.append(
            warning(f"'{read_text(first)}' is a row of totals and is passed over", first.location)
        )
        return True

    def _is_note(self, row: TableRow, *keys: str) -> bool:
        """Take a row with one text only as a note, unless it asks for a cut."""
        cells = row.row.own_cells()
        columns = {row.columns[key].number for key in keys if key in row.columns}
        columns.add(1)
        if len(cells) != 1 or cells[0].kind is not CellKind.TEXT:
            return False
        if cells[0].column not in columns:
            return False
        text = cells[0].text
        if says_a_cut(text):
            self.problems.append(
                error(
                    f"'{plain_spaces(text)}' stands alone in its row: it names a size or a count, "
                    "and no piece is read from it",
                    cells[0].location,
                    "Fill in the row, or move it beside its fabric.",
                )
            )
            return True
        if _is_sentence(text):
            self._note(cells[0])
            return True
        if len(keys) == 1:
            return False  # a fabric without an amount yet, or with its cuts in the next rows
        known = self.drafts.find(text) is not None
        say = error if known or "Fabric" not in row.columns else warning
        is_piece = "Piece" in row.columns and cells[0].column == row.columns["Piece"].number
        say = error if is_piece else say
        self.problems.append(
            say(
                f"nothing but '{plain_spaces(text)}' stands in this row, so it is passed over",
                cells[0].location,
                "Fill in the row, or delete it.",
            )
        )
        return True

    def _note(self, cell: Cell) -> None:
        words = plain_spaces(cell.text)
        self.notes.append(Note(where=cell.location, words=words, understood="a note"))
        if _multiplies(words):
            self.problems.append(
                warning(
                    f"'{words}' may change how many are cut; it is read as a note only",
                    cell.location,
                    "Put the right quantities into the rows themselves.",
                )
            )

    def _loose_lines(self) -> None:
        for row in self.layout.loose:
            for cell in row.own_cells():
                if cell.kind is CellKind.TEXT:
                    self._note(cell)

    def _in_order(self) -> tuple[Problem, ...]:
        order = {sheet.name: at for at, sheet in enumerate(self.workbook.sheets)}
        places = {
            cell.location: at for sheet in self.workbook.sheets for at, cell in sheet.cells.items()
        }

        def place(problem: Problem) -> tuple[int, int, int]:
            where = problem.location
            if where is None:
                return (-1, 0, 0)
            row, column = places.get(where) or _row_and_column(where)
            return (order.get(where.sheet, 0), row, column)

        unique: Iterable[Problem] = dict.fromkeys(self.problems)
        return tuple(sorted(unique, key=place))


def _is_none(cell: Cell) -> bool:
    """Whether a size's column says that there is none for that size."""
    return cell.is_blank or cell.number == 0 or cell.text.strip() == "0"


def _row_and_column(where: Location) -> tuple[int, int]:
    return coordinate_to_tuple(where.cell) if where.cell else (0, 0)


def _as_sub_cut(line: tuple[str, Location]) -> tuple[str, Location]:
    """A line of a column of next cuts says what the strips beside it are cut into."""
    words, where = line
    if re.search(r"\b(?:sub-?\s?cut|cross-?\s?cut|re-?cut)", words, re.IGNORECASE):
        return line
    return f"sub-cut into {words}", where


def _is_sentence(text: str) -> bool:
    """Whether a text reads like a remark and not like a name."""
    words = text.strip()
    return (
        words.endswith((".", "!", "?"))
        or words.casefold().startswith(("*", "note", "tip", "see "))
        or len(words.split()) > 4
        or is_cutting(words)
    )


def _multiplies(words: str) -> bool:
    return re.search(r"\b(?:repeat(?:ed)?|again|each|too)\b", words, re.IGNORECASE) is not None


def _unit_word(cell: Cell, found: FoundTable) -> str | None:
    """Return the unit that a number's format or its heading states."""
    literals = " ".join(re.findall(r'"([^"]*)"', cell.number_format)).casefold().split()
    column = found.table.columns.get("Requirement")
    heading = fold_heading(column.heading.text).split() if column is not None else []
    bracket = re.findall(r"\((\w+)\)", column.heading.text.casefold()) if column else []
    for word in (*literals, *bracket, *heading):
        plain = word.strip(".")
        if plain in ("yd", "yds", "yard", "yards", "yardage"):
            return "yd"
        if plain in ("m", "meter", "meters", "metre", "metres"):
            return "m"
        if plain in ("cm", "in", "inches"):
            return "cm" if plain == "cm" else "in"
    return None

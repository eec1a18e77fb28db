"""A pattern's workbook into a pattern: the one way in for every command.

Three layouts are read, in any mixture: a tidy table of pieces, cutting instructions as
written, amounts alone. Everything that cannot be read for sure is collected as a problem
with its cell; what is in the pattern is sure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from itertools import islice
from pathlib import Path

from kitmaker.errors import Level, Location, Problem, Problems, UnreadableError, UsageError, error
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.pattern import Pattern, PatternReading
from kitmaker.reading.as_written import NOT_READ, formula_notes
from kitmaker.reading.cells import read_length, read_text
from kitmaker.reading.controls import advise, check_by_use, confirm_by_amount
from kitmaker.reading.copies import without_copies
from kitmaker.reading.fabric_rows import read_fabric_table
from kitmaker.reading.finishing_parts import add_finishing
from kitmaker.reading.finishing_sheet import read_finishing, split_finishing
from kitmaker.reading.finishing_tools import Tools
from kitmaker.reading.grid import CellKind, Sheet, Workbook, row_and_column
from kitmaker.reading.layout import Layout, find_layout
from kitmaker.reading.passed_over import say_passed_over
from kitmaker.reading.piece_rows import read_piece_table
from kitmaker.reading.slips import check_size_names, find_slip, names_in_fact
from kitmaker.reading.table_reading import TableReading
from kitmaker.reading.tables import Table, TableKind, fold_heading
from kitmaker.reading.words.numbers import split_size_names
from kitmaker.reading.words.quantity import Place, ask_about_quantity
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import fold_role

QUARTER_INCH = Fraction(1, 4)
FINEST_STEP, COARSEST_STEP = Fraction(1, 64), Fraction(1)


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
    return read_pattern_book(read_workbook(path), size, catalogue)


def read_pattern_book(
    book: Workbook,
    size: str | None = None,
    catalogue: Catalogue | None = None,
    unit: Unit | None = None,
) -> PatternReading:
    """Read a pattern from sheets of cells, wherever they come from.

    Without a unit bare numbers are in what the pattern states.

    Raises:
        UnreadableError: It asks for nothing to be cut.
        UsageError: The size is missing where there are several, or not one of them.
    """
    workbook, finishing = split_finishing(book)
    layout = find_layout(workbook)
    if not layout.tables and finishing is None:
        raise UnreadableError(
            (
                error(
                    f"'{book.name}' has nothing to cut: no table headed Fabric with Cut width, "
                    "Requirement or Cutting instructions. Run 'kitmaker starter' for one to "
                    "fill in."
                ),
                *_lost_values(workbook),
            )
        )
    reader = _PatternReader(workbook, layout, size, catalogue or Catalogue(), finishing, unit)
    path = Path(book.name)
    reader.ask_about_names(path)
    return reader.read(path)


def sizes_in(book: Workbook) -> tuple[str, ...]:
    """Return the sizes of a pattern's sheets, one of which has to be chosen; () for one only."""
    workbook, _ = split_finishing(book)
    layout = find_layout(workbook)
    cell = layout.facts.get("Size")
    sizes = _all_sizes(layout, split_size_names(read_text(cell)) if cell is not None else None)
    return sizes if len(sizes) > 1 else ()


class _PatternReader:
    def __init__(
        self,
        workbook: Workbook,
        layout: Layout,
        size: str | None,
        catalogue: Catalogue,
        finishing: Sheet | None,
        unit: Unit | None = None,
    ) -> None:
        self.workbook, self.layout, self.finishing = workbook, layout, finishing
        self.problems = Problems(layout.problems)
        named = self._fact("Size")
        in_brackets = split_size_names(named) if named else None
        self.sizes = _all_sizes(layout, in_brackets)
        self.size = self._choose(size, named)
        self.unit = unit or self._unit()
        seam = self._measure("Seam allowance", Fraction(0), Fraction(2), "Type it, such as 1/4.")
        self.seam = QUARTER_INCH if seam is None else seam
        self.step = self._measure(
            "Round cut sizes up to",
            *(FINEST_STEP, COARSEST_STEP),
            "Type a step between 1/64 in and 1 in, such as 1/16.",
        )
        self.tables = TableReading(
            unit=self.unit,
            seam=self.seam,
            step=self.step,
            size=self.size,
            bracket=self._bracket(in_brackets),
            other_sizes=_words_of(self.sizes) - _words_of((self.size or "",)),
            catalogue=catalogue,
            problems=self.problems,
        )

    def read(self, path: Path) -> PatternReading:
        in_size = [found for found in self.layout.tables if self._in_size(found)]
        chosen = without_copies(in_size, self.problems)
        listed = names_in_fact(self._fact("Size")) or (fold_heading(self._fact("Size")),)
        self.problems.extend(check_size_names(chosen, listed, self.size))
        if len(listed) > 1 and not self.sizes:
            self.problems.warn(
                f"{' and '.join(listed)} are named as sizes, but the tables know none",
                self.layout.facts["Size"].location,
                "Head the quantities with their size, or name one size.",
            )
        self.tables.names.extend(name for found in chosen for name in _names_in(found))
        for found in chosen:
            if found.kind is TableKind.FABRICS or "Requirement" in found.columns:
                read_fabric_table(self.tables, found)
        for found in chosen:
            if found.kind is TableKind.PIECES:
                read_piece_table(self.tables, found)
        for row in self.layout.loose:
            for cell in row.own_cells():
                if cell.kind is CellKind.TEXT:
                    self.tables.loose_text(cell)
        self._finish()
        roles = {fold_role(draft.role) for draft in self.tables.drafts.all()}
        self.problems.extend(say_passed_over(self.layout.loose, roles))
        fabrics = tuple(draft.finished(self.problems) for draft in self.tables.drafts.all())
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
        unread = {note.role for note in self.tables.notes if note.understood == NOT_READ}
        self.problems.extend(check_by_use(pattern, self.tables.catalogue, unread))
        confirmed = (confirm_by_amount(fabric, self.tables.catalogue) for fabric in fabrics)
        pattern = replace(pattern, fabrics=tuple(confirmed))
        return PatternReading(
            pattern=pattern,
            problems=self._in_order(),
            notes=(*self.tables.notes, *formula_notes(pattern, self.tables.notes)),
        )

    def _finish(self) -> None:
        """Add what the Finishing sheet asks for, then look at all pieces together."""
        if self.finishing is not None:
            labels = read_finishing(self.finishing, self.unit, self.sizes, self.size, self.problems)
            tools = Tools(labels, self.tables.drafts, self.tables.notes, self.tables.rules())
            add_finishing(tools, self._fact("Finished size"))
        self.tables.say_like_names()
        advise(self.tables.drafts.all(), self.unit, self.problems)

    def ask_about_names(self, path: Path) -> None:
        """Warn of words of quantity in the pattern's name and its file's: they stay names."""
        facts = [(key, self.layout.facts.get(key)) for key in ("Pattern", "Size", "Finished size")]
        names = [(path.stem, Location(path.name), "file's name")]
        names += [(cell.text, cell.location, f"'{key}'") for key, cell in facts if cell is not None]
        for text, where, what in names:
            asked = ask_about_quantity(text.replace("_", " "), Place.HEADING, where, f"the {what}")
            if asked is not None:
                self.problems.append(replace(asked, level=Level.WARNING))

    # facts and sizes

    def _fact(self, key: str) -> str:
        cell = self.layout.facts.get(key)
        return read_text(cell) if cell is not None else ""

    def _choose(self, size: str | None, named: str) -> str | None:
        known = self.sizes or ((named,) if named else ())
        if size is None:
            if len(self.sizes) > 1:
                several = error(
                    f"The pattern has {len(self.sizes)} sizes: {', '.join(self.sizes)}. "
                    "Say which with --size."
                )
                raise UsageError((replace(several, readings=self.sizes),))
            return known[0] if known else None
        for name in known:
            if fold_heading(name) == fold_heading(size):
                return name
        if not known:
            raise UsageError(f"The pattern has one size without a name, so not '{size}'.")
        meant = find_slip(size, known)
        raise UsageError(
            (
                error(
                    f"The pattern has no size '{size}'; it has {', '.join(known)}",
                    suggestion=f"Did you mean '{meant}'?" if meant else "",
                ),
            )
        )

    def _bracket(self, in_brackets: tuple[str, str] | None) -> int | None:
        """Return which of two sizes in brackets is read; None where sizes stand elsewhere."""
        folded = [fold_heading(name) for name in in_brackets or ()]
        if self.size is None or fold_heading(self.size) not in folded:
            return None
        return folded.index(fold_heading(self.size))

    def _unit(self) -> Unit:
        cell, words = self.layout.facts.get("Unit"), fold_heading(self._fact("Unit"))
        if words in ("cm", "centimeter", "centimeters", "centimetre", "centimetres", "metric"):
            return Unit.CENTIMETER
        if cell is not None and words not in ("in", "inch", "inches", ""):
            self.problems.refuse(
                f"the unit '{read_text(cell)}' is not known", cell.location, "Type in or cm."
            )
        return Unit.INCH

    def _measure(self, key: str, least: Fraction, most: Fraction, todo: str) -> Fraction | None:
        cell = self.layout.facts.get(key)
        length = read_length(cell, self.unit, self.problems, what=f"'{key}'") if cell else None
        if cell is not None and length is not None and not least <= length <= most:
            self.problems.refuse(
                f"the length given as '{key}' is not believable", cell.location, todo
            )
            return None
        return length

    def _in_size(self, found: Table) -> bool:
        if found.block is None or self.size is None:
            return True
        return fold_heading(found.block) == fold_heading(self.size)

    def _in_order(self) -> tuple[Problem, ...]:
        order = {sheet.name: at for at, sheet in enumerate(self.workbook.sheets)}
        places = {
            cell.location: at for sheet in self.workbook.sheets for at, cell in sheet.cells.items()
        }

        def place(problem: Problem) -> tuple[int, int, int]:
            where = problem.location
            if where is None:
                return (-1, 0, 0)
            row, column = places.get(where) or row_and_column(where)
            return (order.get(where.sheet, len(order)), row, column)

        unique: Iterable[Problem] = dict.fromkeys(self.problems)
        return tuple(sorted(unique, key=place))


def _words_of(names: Iterable[str]) -> frozenset[str]:
    return frozenset(word for name in names for word in fold_heading(name).split()) - {"size"}


def _all_sizes(layout: Layout, in_brackets: tuple[str, str] | None) -> tuple[str, ...]:
    names = [*layout.blocks()]
    for found in layout.tables:
        names.extend(found.sizes)
    names = names or list(in_brackets or ())
    unique: dict[str, str] = {}
    for name in names:
        unique.setdefault(fold_heading(name), name)
    if len(unique) > _MOST_SIZES:
        raise UnreadableError(
            f"The pattern names more than {_MOST_SIZES} sizes. "
            "Look whether other headings begin with Quantity or Requirement."
        )
    return tuple(unique.values())


def _names_in(found: Table) -> set[str]:
    column = found.columns.get("Fabric")
    if column is None:
        return set()
    cells = (row.row.cells.get(column.number) for row in found.rows)
    return {fold_role(read_text(cell)) for cell in cells if cell is not None}


_MOST_SAID = 20
_MOST_SIZES = 60
"""More sizes than any pattern has. Our own bound, no source."""


def _lost_values(workbook: Workbook) -> list[Problem]:
    """Return the formulas without a value of a file in which no table was found."""
    lost = Problems()
    cells = (cell for sheet in workbook.sheets for cell in sheet.cells.values())
    uncalculated = (cell for cell in cells if cell.kind is CellKind.UNCALCULATED)
    for cell in islice(uncalculated, _MOST_SAID):
        read_length(cell, Unit.INCH, lost, what="value")
    return lost

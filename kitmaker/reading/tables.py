"""Tables found by their headings, and sheets of labels and values.

A heading is known by its words, whatever their case, punctuation, line breaks and odd
spaces. Values under a heading that is missing, unknown or doubled are never dropped
silently: they are a problem, named by the heading's cell.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import lru_cache
from itertools import groupby
from typing import TypeAlias

from kitmaker.errors import Problem, Problems, error, warning
from kitmaker.lengths import METER, YARD, Length, Unit, clean_text
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import Cell, CellKind, Row, Sheet, address
from kitmaker.reading.words.lexicon import word_set
from kitmaker.reading.words.quantity import Place, find_quantity_words

Headings: TypeAlias = Mapping[str, Sequence[str]]
"""Key to the names its heading may have; a key is a name of its own heading too."""

_UNITS = {
    **dict.fromkeys(("in", "inch", "inches", '"'), Unit.INCH),
    **dict.fromkeys(("cm", "centimeters"), Unit.CENTIMETER),
}
_UNIT_NAMES = "|".join(_UNITS)
_BOLT_UNITS = {
    **dict.fromkeys(("yd", "yds", "yard", "yards"), YARD),
    **dict.fromkeys(("m", "meter", "meters", "metre", "metres"), METER),
}
_SAYS_NO_SIZE = frozenset({"per kit", "for one kit", "for 1 kit", "needed", "required", "in all"})
_SAYS_NOTHING = word_set(
    """
    of the total all in to cut needed required kit per one
    strip strips square squares piece pieces patch patches
    """
)
_CHANGES_CUT = re.compile(r"\b(?:diagonal|triangles?|one-?way|lengthwise|wof|lof)\b", re.IGNORECASE)


@lru_cache(maxsize=4096)  # the known names are asked for again with every row of a sheet
def fold_heading(text: str) -> str:
    """Return a heading without case, punctuation, unit in brackets and odd spaces."""
    words = clean_text(text).casefold()
    words = re.sub(rf"\((?:{_UNIT_NAMES})[.]?\)", " ", words)
    return " ".join(re.findall(r"[^\W_]+", words))


def unit_in_heading(text: str) -> Unit | None:
    """Return the unit that a heading such as ``Cut width (cm)`` states; None for none."""
    words = clean_text(text).casefold().strip()
    match = re.search(rf"(?:\(|,\s*|\bin\s+)({_UNIT_NAMES})[.]?\)?$|(\")$", words)
    return _UNITS[match[1] or match[2]] if match else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table."""

    key: str  # which heading it is
    number: int  # its number on the sheet
    heading: Cell  # the heading's cell
    extra: str = ""  # what stood behind the heading's name: ``crib`` of ``Quantity crib``; ""

    @property
    def unit(self) -> Unit | None:
        """The unit its heading states; None for none."""
        return unit_in_heading(self.heading.text)

    def inches_in(self, unit: Unit) -> Length:
        """The inches that a bare 1 below it stands for: its own unit's, else ``unit``'s."""
        last = fold_heading(self.heading.text).split()[-1:]
        if last and last[0] in _BOLT_UNITS:
            return _BOLT_UNITS[last[0]]
        return (self.unit or unit).length


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """A row of a table below its headings."""

    sheet: Sheet
    number: int
    columns: Mapping[str, Column]
    row: Row

    def cell(self, key: str) -> Cell:
        """Return the cell under a heading; blank when the table has no such column."""
        column = self.columns.get(key)
        if column is None:
            return self.sheet.blank(self.number, 1)
        return self.row.cells.get(column.number) or self.sheet.blank(self.number, column.number)

    def has(self, key: str) -> bool:
        """Whether something stands under a heading."""
        column = self.columns.get(key)
        return column is not None and self.has_column(column)

    def has_column(self, column: Column) -> bool:
        """Whether something stands under a heading that carries a size."""
        return column.number in self.row.cells

    def inches_in(self, key: str, unit: Unit) -> Length:
        """The inches that a bare 1 under a heading stands for; ``unit``'s without the column."""
        column = self.columns.get(key)
        return unit.length if column is None else column.inches_in(unit)

    def text(self, key: str) -> str:
        """Return the text under a heading; "" when blank."""
        return read_text(self.cell(key))


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadingMatch:
    """What a row is as a row of headings."""

    columns: Mapping[str, Column]  # key to column
    # columns whose heading carries something more, such as a size, by key
    sized: Mapping[str, tuple[Column, ...]] = field(default_factory=dict)
    others: tuple[Cell, ...] = ()  # filled heading cells that no name matches
    doubled: tuple[tuple[Cell, ...], ...] = ()  # the headings that stand there more than once

    def known_keys(self) -> set[str]:
        """The headings that are understood, with a size or without."""
        return {*self.columns, *self.sized}


class TableKind(StrEnum):
    """What a table of a pattern holds."""

    PIECES = "pieces"
    FABRICS = "fabrics"


@dataclass(frozen=True, slots=True, kw_only=True)
class Table(HeadingMatch):
    """A table: its headings and the rows below them."""

    sheet: Sheet  # where it stands
    heading_row: int  # the row of its headings
    rows: tuple[TableRow, ...] = ()  # the rows below, blank ones left out
    # pieces, or fabrics with their amounts and cutting instructions; None in a shop's workbook
    kind: TableKind | None = None
    block: str | None = None  # the size whose block it is; None outside blocks
    sizes: tuple[str, ...] = ()  # the sizes its columns are headed with, in order

    def known_columns(self) -> set[int]:
        """The numbers of the columns whose heading is understood."""
        groups = (self.columns.values(), *self.sized.values())
        return {column.number for group in groups for column in group}


def match_headings(row: Row, names: Mapping[str, str], sized: Collection[str] = ()) -> HeadingMatch:
    """Match a row's cells with headings.

    Names are folded (:func:`heading_names`); ``sized`` keys may have a size behind their name.
    """
    longest_first = sorted((name for name in names if names[name] in sized), key=len, reverse=True)
    found: dict[str, list[Column]] = {}
    with_extra: dict[str, list[Column]] = {}
    others: list[Cell] = []
    for number, cell in row.cells.items():
        folded = fold_heading(cell.text) if cell.kind is CellKind.TEXT else ""
        for words in (*_SAYS_NO_SIZE, *_BOLT_UNITS):
            folded = folded.removesuffix(f" {words}")
        if folded in names:
            key = names[folded]
            found.setdefault(key, []).append(Column(key=key, number=number, heading=cell))
            continue
        is_word = any(char.isalpha() for char in folded)
        split = _split_extra(folded, names, longest_first) if is_word else None
        if split is None or find_quantity_words(cell.text, Place.HEADING):
            others.append(cell)  # "Quantity (pairs)" is no size called pairs
            continue
        key, extra = split
        column = Column(key=key, number=number, heading=cell, extra=_extra_as_typed(cell, extra))
        if set(extra.split()) <= _SAYS_NOTHING:
            found.setdefault(key, []).append(replace(column, extra=""))
        else:
            with_extra.setdefault(key, []).append(column)
    merged = {key: _one_per_range(columns) for key, columns in found.items()}
    by_size: dict[tuple[str, str], list[Column]] = {}
    for key, columns in with_extra.items():
        for column in _one_per_range(columns):
            by_size.setdefault((key, fold_heading(column.extra)), []).append(column)
    return HeadingMatch(
        columns={key: columns[0] for key, columns in merged.items()},
        sized={
            key: tuple(columns[0] for (of, _), columns in by_size.items() if of == key)
            for key in with_extra
        },
        others=tuple(others),
        doubled=tuple(
            tuple(column.heading for column in columns)
            for columns in (*merged.values(), *by_size.values())
            if len(columns) > 1
        ),
    )


def _one_per_range(columns: list[Column]) -> list[Column]:
    """A heading merged over several columns is not a doubled one."""
    kept: dict[object, Column] = {}
    for column in columns:
        kept.setdefault(column.heading.location, column)
    return list(kept.values())


def heading_names(headings: Headings) -> dict[str, str]:
    """Return each folded name of the headings with the key it stands for."""
    names: dict[str, str] = {}
    for key, others in headings.items():
        for name in (key, *others):
            names.setdefault(fold_heading(name), key)
    return names


def _split_extra(
    folded: str, names: Mapping[str, str], longest_first: Sequence[str]
) -> tuple[str, str] | None:
    for name in longest_first:
        extra = ""
        if folded.startswith(f"{name} "):
            extra = folded[len(name) + 1 :]
        elif folded.endswith(f" {name}"):
            extra = folded[: -len(name) - 1]
        if extra and not find_quantity_words(extra, Place.NOTE):
            return names[name], extra
    return None


def _extra_as_typed(cell: Cell, extra: str) -> str:
    """Return the words of the heading that make up the folded ``extra``, as typed."""
    words = " ".join(clean_text(cell.text).split())
    pattern = r"[\W_]+".join(re.escape(word) for word in extra.split())
    match = re.search(pattern, words, re.IGNORECASE)
    return match.group(0) if match else extra


def find_table(
    sheet: Sheet,
    headings: Headings,
    problems: Problems,
    *,
    required: Collection[str],
) -> Table | None:
    """Return the first table of a sheet whose headings include the required ones.

    Rows above the headings (a title) are passed over; the table runs to the sheet's end.
    Doubled headings, and values under unknown or missing ones, are added as problems.

    A row with the required keys is the row of headings.
    """
    rows, names = list(sheet.rows()), heading_names(headings)
    for at, row in enumerate(rows):
        match = match_headings(row, names)
        if all(key in match.columns for key in required):
            table = make_table(sheet, row, match, rows[at + 1 :])
            problems.extend(check_columns(table, headings))
            return table
    return None


def make_table(sheet: Sheet, heading_row: Row, match: HeadingMatch, below: Iterable[Row]) -> Table:
    """Return the table of a row of headings and the rows below it."""
    return Table(
        sheet=sheet,
        heading_row=heading_row.number,
        columns=match.columns,
        sized=match.sized,
        others=match.others,
        doubled=match.doubled,
        rows=tuple(
            TableRow(sheet=sheet, number=row.number, columns=match.columns, row=row)
            for row in below
        ),
    )


def check_columns(table: Table, headings: Headings) -> list[Problem]:
    """Return a problem for each heading that is doubled, unknown or missing over values."""
    problems = [_doubled(cells) for cells in table.doubled]
    known = table.known_columns() | {cell.column for cells in table.doubled for cell in cells}
    headings_of = {cell.column: cell for cell in table.others}
    under: dict[int, list[Cell]] = {}
    for row in table.rows:
        if row.row.lone_text() is not None:
            continue  # a note below or between the rows
        for column, cell in row.row.cells.items():
            if column not in known and cell.location.cell == address(cell.row, cell.column):
                under.setdefault(column, []).append(cell)
    problems.extend(
        _unknown(headings_of[column], cells, headings)
        for column, cells in sorted(under.items())
        if column in headings_of
    )
    bare = sorted(column for column in under if column not in headings_of)
    for _, side_by_side in groupby(enumerate(bare), lambda one: one[1] - one[0]):
        columns = [column for _, column in side_by_side]
        ends = [table.sheet.blank(table.heading_row, columns[at]) for at in (0, -1)]
        problems.append(_missing(ends, under[columns[0]][0]))
    return problems


def nearest_key(text: str, names: Mapping[str, str], share: float = 0.7) -> str | None:
    """Return the key of the folded name that a text is nearest to; None where none is near."""
    near = difflib.get_close_matches(fold_heading(text), list(names), n=1, cutoff=share)
    return names[near[0]] if near else None


def _doubled(cells: tuple[Cell, ...]) -> Problem:
    places = ", ".join(str(cell.location.cell) for cell in cells)
    return error(
        f"the heading '{read_text(cells[0])}' stands there {len(cells)} times ({places})",
        cells[0].location,
        "Keep one of them, or give the others another name.",
    )


def _missing(ends: Sequence[Cell], below: Cell) -> Problem:
    first, last = ends
    here = "here" if first == last else f"from here to {last.location.cell}"
    return error(
        f"there is no heading {here}, but a value below "
        f"(first '{read_text(below)}' in {below.location.cell})",
        first.location,
        "Type a heading, or empty the cells below.",
    )


def _unknown(heading: Cell, cells: Sequence[Cell], headings: Headings) -> Problem:
    name = read_text(heading)
    near = nearest_key(name, {fold_heading(key): key for key in headings})
    message = f"the heading '{name}' is not known, so what stands under it is not read"
    multiplies = find_quantity_words(heading.text, Place.HEADING) is not None
    if multiplies:
        message = (
            f"the heading '{name}' may change how many are cut; what stands under it is not read"
        )
    if near:
        instead = f"Head it {near}, and type the counts in full."
        return error(
            message, heading.location, instead if multiplies else f"Did you mean '{near}'?"
        )
    counts = heading.kind is not CellKind.TEXT or any(
        cell.kind is not CellKind.TEXT or re.search(r"\d", clean_text(cell.text)) for cell in cells
    )
    if counts or any(_CHANGES_CUT.search(read_text(cell)) for cell in cells):
        instead = "Name it as one of the known headings, 'Notes' for a remark."
        return error(message, heading.location, instead)
    return warning(message, heading.location, "Head it 'Notes' if it is a remark.")


def read_labels(sheet: Sheet, labels: Headings, problems: Problems) -> dict[str, Cell]:
    """Return the values of a sheet of labels and values.

    A label is the first filled cell of its row, its value the next one. An unknown and a
    doubled label with a value are problems.
    """
    names = heading_names(labels)
    values: dict[str, Cell] = {}
    for row in sheet.rows():
        cells = row.own_cells()
        if len(cells) < 2:
            continue
        label, value = cells[0], cells[1]
        key = names.get(fold_heading(label.text))
        if key is None:
            near = nearest_key(label.text, {fold_heading(key): key for key in labels})
            problems.warn(
                f"the label '{read_text(label)}' is not known",
                label.location,
                f"Did you mean '{near}'?" if near else "",
            )
        elif key in values:
            problems.refuse(f"'{read_text(label)}' stands there twice", label.location, "Keep one.")
        else:
            values[key] = value
    return values

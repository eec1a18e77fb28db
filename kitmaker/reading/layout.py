"""Where on the sheets of a pattern's workbook the tables and the facts stand.

Tables are found by their headings wherever they begin: below titles, one under the other,
on several sheets. A pattern in several sizes has a block for each (a title such as
``Crib size (40 x 50)``, then the table again), columns for each (``Quantity crib``), or
numbers in brackets; blocks and columns are found here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from kitmaker.drafts import CHOOSE, HOW_SURE
from kitmaker.errors import Location, Problem, Problems, UnreadableError, error, warning
from kitmaker.reading.cells import read_text
from kitmaker.reading.grid import Cell, CellKind, Row, Sheet, Workbook
from kitmaker.reading.marks import say_marks
from kitmaker.reading.shared_column import SHARED, part_shared_column
from kitmaker.reading.tables import (
    Column,
    HeadingMatch,
    Table,
    TableKind,
    check_columns,
    fold_heading,
    heading_names,
    make_table,
    match_headings,
)
from kitmaker.reading.words.quantity import Place, ask_about_quantity, find_quantity_words

FABRIC_NAMES = (
    *("fabric", "fabrics", "fabric name", "fabric code", "material", "materials", "supplies"),
    *("fabric selection", "fabric and stock number", "fabric role", "role"),
)

HEADINGS: Mapping[str, tuple[str, ...]] = {
    "Fabric": FABRIC_NAMES,
    SHARED: (
        "fabric name placement and yardage", "fabric name placement yardage", "fabric and yardage",
        "fabric yardage", "fabric name and yardage", "fabric and requirement", "fabric amount",
        "fabric placement and yardage", "fabric placement yardage", "fabric name yardage",
    ),
    "Piece": ("piece name", "patch", "piece letter", "part", "template", "letter", "label"),
    "Cut width": ("width", "w", "width cut", "cutting width", "cut size width", "width to cut"),
    "Cut length": ("length", "l", "length cut", "cutting length", "height", "cut height"),
    "Finished width": ("finished w", "width finished", "finish width"),
    "Finished length": ("finished l", "length finished", "finish length", "finished height"),
    "Cut size": ("size to cut", "size", "cut", "cutting size", "dimensions", "piece size"),
    "Quantity": (
        "qty", "number", "count", "number to cut", "no to cut", "how many", "no", "cut number",
        "number of pieces", "quantity to cut", "pieces to cut", "quantities", "pcs",
    ),
    "Shape": ("shape of piece", "kind"),
    "Direction": ("grain", "directional", "print direction"),
    "Same print": ("print group", "print", "same fabric"),
    "Join": ("joined", "may be joined", "join strips"),
    "Cross-cut": ("crosscut", "cross cut size", "cross cut width"),
    "Notes": ("note", "remark", "remarks", "comment", "comments"),
    "Location": ("placement", "use", "used for", "where used", "position"),
    "Block": ("blocks", "step", "unit", "section"),
    "Color": ("colour", "colors"),
    "Requirement": (
        "requirements", "yardage", "amount", "fabric requirement", "fabric requirements",
        "required", "needed", "amount needed", "yardage needed", "total yardage", "yards",
        "fabric needed", "amount required", "material requirements", "you need", "buy",
    ),
    "Cutting instructions": (
        "cutting", "cutting instruction", "cuts", "cutting directions", "cutting list", "cut list",
        "instructions", "directions", "how to cut", "first cuts", "first cut", "strips to cut",
        "cut fabrics", "to cut",
    ),
    "Next cuts": ("next cut", "second cuts", "second cut", "then cut", "sub cuts", "sub cut"),
    "Form": ("precut", "sold as", "bagged as"),
    "Prints": ("number of prints", "how many prints", "different prints", "no of prints"),
    "Usable width": ("usable fabric width", "wof", "fabric width", "width of fabric"),
    "SKU": ("stock number", "stock code", "item", "item number", "article"),
    "Description": ("fabric description", "description of fabric", "print name", "colorway"),
    HOW_SURE: (), CHOOSE: (),
}  # fmt: skip

SIZED = ("Quantity", "Requirement", "Cutting instructions")

FACTS: Mapping[str, tuple[str, ...]] = {
    "Pattern": ("pattern name", "name", "quilt", "title", "quilt name"),
    "Size": ("sizes", "quilt size name", "pattern size"),
    "Unit": ("units", "unit of measure", "measured in"),
    "Seam allowance": ("seam", "seams", "seam allowances"),
    "Round cut sizes up to": ("cut sizes up to", "ruler step", "round sizes up to"),
    "Finished size": ("finished quilt size", "finished quilt", "quilt size", "finished"),
}

KNOWN_SIZES = frozenset(
    {
        *("baby", "crib", "cot", "toddler", "throw", "lap", "wall", "twin", "single", "double"),
        *("full", "queen", "king", "small", "medium", "large", "table", "mini", "runner", "xl"),
        *("wall hanging", "california king", "cal king", "table runner", "extra large"),
        *("large throw", "small throw", "topper", "table topper", "toddler bed"),
    }
)

_OTHER_SHEETS = frozenset({"shop", "forms", "stock", "class", "colorways", "extras"})
"""Sheets of a shop's or a class's workbook, which may share the file."""

_CLASS_HEADINGS = frozenset({"in kit", "bag", "colorway", "length at hand", "count at hand"})

_BLOCK_TITLE = re.compile(
    r"(?:size\s*[:=-]?\s*)?(?P<name>[A-Za-z][A-Za-z /-]*?)(?P<word>\s+size)?\s*"
    r"(?P<rest>[:(,–—-].*|\d.*)?",
    re.IGNORECASE,
)


MOST_ROWS = 5_000
"""More filled rows than any pattern has. Our own bound, no source."""


_NO_PART = re.compile(r"\b(?:example|sample|alternat\w+|option\w*|instead|or)\b", re.IGNORECASE)
"""What a table is called that is no part of the pattern."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """What was found on the sheets."""

    tables: tuple[Table, ...]  # in the file's order
    facts: Mapping[str, Cell]  # label to the value's cell
    title: str  # the first line of text above any table; ""
    loose: tuple[Row, ...]  # rows that belong to no table and are no fact
    problems: tuple[Problem, ...]  # what is wrong with headings, facts and hidden rows

    def blocks(self) -> tuple[str, ...]:
        """The sizes that have blocks, in order."""
        named = [found.block for found in self.tables if found.block is not None]
        return tuple(dict.fromkeys(named))


HeadingRows: TypeAlias = list[tuple[int, HeadingMatch, TableKind]]
"""The rows of headings of a sheet: which row of it, what they are, what stands below."""


class _Finder:
    """Walks the sheets from the top and collects tables, facts and loose rows."""

    def __init__(self) -> None:
        self.tables: list[Table] = []
        self.facts: dict[str, Cell] = {}
        self.title = ""
        self.loose: list[Row] = []
        self.problems = Problems()

    def sheet(self, sheet: Sheet, starts: HeadingRows, block: str | None) -> None:
        rows = list(sheet.rows())
        self.problems.extend(say_marks(sheet))
        if starts and sheet.name:
            self._heads(sheet.name, sheet.location, "sheet's name")
        first = starts[0][0] if starts else len(rows)
        titled = self._above(rows[:first], is_before_table=bool(starts))
        current = titled or block
        ends = [at for at, _, _ in starts[1:]] + [len(rows)]
        for (at, found, kind), end in zip(starts, ends, strict=False):
            match, below = _with_size_row(found, rows[at + 1 : end])
            following: str | None = None
            if end < len(rows):
                below, following = self._split_title(below, rows[end].number)
            below = self._without_facts(below, match)
            table = part_shared_column(make_table(sheet, rows[at], match, below))
            table = _with_bare_sizes(
                replace(table, kind=kind, block=current), self.facts.get("Size")
            )
            self.problems.extend(check_columns(table, HEADINGS))
            self.tables.append(table)
            current = following or current

    def _above(self, rows: list[Row], *, is_before_table: bool) -> str | None:
        titled = None
        for at, row in enumerate(rows):
            if self._fact(row):
                continue
            if (alone := row.lone_text()) is not None:
                name = block_name(alone.text)
                if name is not None and is_before_table and at == len(rows) - 1:
                    titled = name
                    self._heads(alone.text, alone.location, "title")
                    continue
                said = find_quantity_words(alone.text, Place.NOTE)
                if at == 0 and (is_before_table or not said):
                    if self._heads(alone.text, alone.location, "title"):
                        self.title = self.title or read_text(alone)
                    continue
            self.loose.append(row)
        return titled

    def _split_title(self, below: list[Row], headings: int) -> tuple[list[Row], str | None]:
        """Take the title of the next table, right above its headings, off the rows of this one."""
        title = below[-1].lone_text() if below else None
        if title is None:
            return below, None
        name = block_name(title.text)
        stands_apart = len(below) < 2 or below[-2].number < below[-1].number - 1
        if name is None and not (stands_apart and below[-1].number == headings - 1):
            return below, None
        self._heads(title.text, title.location, "title")
        if name is None and _NO_PART.search(title.text):
            self.problems.refuse(
                f"the table below '{read_text(title)}' is counted with the others",
                title.location,
                "Delete it if it only shows how it is done, or rename it.",
            )
        return below[:-1], name

    def _heads(self, text: str, where: Location, what: str) -> bool:
        """Return whether a title or a sheet's name is no more than that; else ask about it."""
        asked = ask_about_quantity(text, Place.HEADING, where, f"the {what}")
        self.problems.extend([asked] if asked else [])
        return asked is None

    def _fact(self, row: Row) -> bool:
        first, *others = row.own_cells()
        label, _, behind = first.text.partition(":")
        key = FACT_KEYS.get(fold_heading(label)) if first.kind is CellKind.TEXT else None
        if key is None:
            return False
        if not others and not behind.strip():
            return True
        value = others[0] if others else replace(first, text=behind.strip())
        if key in self.facts and read_text(self.facts[key]) != read_text(value):
            self.problems.refuse(
                f"'{key}' is stated twice, and differently", value.location, "Keep one."
            )
        self.facts.setdefault(key, value)
        return True

    def _without_facts(self, rows: list[Row], match: HeadingMatch) -> list[Row]:
        """Take facts out of a table's rows: a label and one value, below the table."""
        fabric = match.columns.get("Fabric")
        kept: list[Row] = []
        for row in rows:
            cells = row.own_cells()
            below = len(cells) == 2 and fabric is not None and cells[0].column == fabric.number
            if below and fold_heading(cells[0].text) in _PLAIN_FACTS and self._fact(row):
                continue
            kept.append(row)
        return kept


_NAMES = heading_names(HEADINGS)
FACT_KEYS = heading_names(FACTS)
_PLAIN_FACTS = frozenset({"pattern", "unit", "seam allowance", "finished size", "size"})


def find_layout(workbook: Workbook) -> Layout:
    """Find the tables and facts of a pattern's workbook."""
    finder = _Finder()
    sheets = [sheet for sheet in workbook.sheets if not _is_another_kind(sheet)]
    if sum(len(list(sheet.rows())) for sheet in sheets) > MOST_ROWS:
        raise UnreadableError(
            f"'{workbook.name}' has more rows than a pattern needs. "
            "Look far below the tables for stray values and delete those rows."
        )
    # Facts may stand on a sheet behind the tables whose headings they explain.
    starts = {sheet.name: _heading_rows(sheet) for sheet in sheets}
    sheets.sort(key=lambda sheet: bool(starts[sheet.name]))
    sheets_in_size_names = [sheet for sheet in sheets if is_size_name(sheet.name or "")]
    for sheet in sheets:
        named = len(sheets_in_size_names) > 1 and sheet in sheets_in_size_names
        finder.sheet(sheet, starts[sheet.name], sheet.name if named else None)
    finder.problems.extend(_say_hidden(workbook, {found.kind for found in finder.tables}))
    order = {sheet.name: at for at, sheet in enumerate(workbook.sheets)}
    finder.tables.sort(key=lambda found: order[found.sheet.name])
    return Layout(
        tables=tuple(finder.tables),
        facts=finder.facts,
        title=finder.title,
        loose=tuple(finder.loose),
        problems=tuple(finder.problems),
    )


def _say_hidden(workbook: Workbook, shown: set[TableKind | None]) -> Iterator[Problem]:
    """Say which hidden sheets have tables: an error where no other table is of their kind."""
    for sheet in workbook.hidden:
        kinds = {kind for _, _, kind in _heading_rows(sheet)}
        if kinds and not _is_another_kind(sheet):
            say = warning if kinds <= shown else error
            yield say(
                "this sheet is hidden, so its table is not read",
                sheet.location,
                "Show the sheet if it is meant, else delete it.",
            )


def _is_another_kind(sheet: Sheet) -> bool:
    return (sheet.name or "").strip().casefold() in _OTHER_SHEETS


def is_size_name(text: str) -> bool:
    """Whether a text is the name of a quilt's size: ``Crib``, ``lap size``."""
    return fold_heading(text).removesuffix(" size") in KNOWN_SIZES


def block_name(text: str) -> str | None:
    """Return the size that a title such as ``Crib size (40 x 50)`` opens a block for."""
    match = _BLOCK_TITLE.fullmatch(" ".join(text.split()))
    if match is None:
        return None
    name = match["name"].strip()
    opens = text.strip().casefold().startswith("size")
    known = is_size_name(name)
    if known or (len(name.split()) <= 3 and (match["word"] is not None or opens)):
        return None if fold_heading(name) in ("finished", "quilt", "finished quilt") else name
    return None


def _heading_rows(sheet: Sheet) -> HeadingRows:
    matches = (_cut_as_words(match_headings(row, _NAMES, SIZED)) for row in sheet.rows())
    kinds = ((at, match, _kind(match)) for at, match in enumerate(matches))
    return [(at, match, kind) for at, match, kind in kinds if kind is not None]


def _cut_as_words(match: HeadingMatch) -> HeadingMatch:
    """Take a column headed ``Cut`` beside fabrics, without counts, as cutting instructions."""
    column = match.columns.get("Cut size")
    keys = match.known_keys()
    if column is None or fold_heading(column.heading.text) not in ("cut", "size to cut"):
        return match
    if "Cutting instructions" in keys or keys & {"Quantity", "Piece", "Cut width"}:
        return match
    columns = {key: one for key, one in match.columns.items() if key != "Cut size"}
    columns["Cutting instructions"] = replace(column, key="Cutting instructions")
    return replace(match, columns=columns)


def _kind(match: HeadingMatch) -> TableKind | None:
    keys = match.known_keys()
    others = {fold_heading(cell.text) for cell in match.others}
    if others & _CLASS_HEADINGS:
        return None
    sizes = any(is_size_name(cell.text) for cell in match.others)
    measured = keys & {"Cut width", "Finished width", "Cut size"}
    counted = keys & {"Quantity", "Cut length", "Finished length", "Piece"}
    if (measured and counted) or {"Piece", "Quantity"} <= keys:
        return TableKind.PIECES
    bought = keys & {"Requirement", "Cutting instructions"} or sizes
    return TableKind.FABRICS if SHARED in keys or ("Fabric" in keys and bought) else None


def _with_size_row(match: HeadingMatch, below: list[Row]) -> tuple[HeadingMatch, list[Row]]:
    """Take size names that stand in a second row under a heading such as ``Quantity``."""
    cells = below[0].own_cells() if below else ()
    names_only = len(cells) > 1 and all(
        cell.kind is CellKind.TEXT and not re.search(r"\d", cell.text) for cell in cells
    )
    for key in SIZED:
        column = match.columns.get(key)
        if names_only and column is not None and cells[0].column == column.number:
            columns = {other: found for other, found in match.columns.items() if other != key}
            taken = {cell.column for cell in cells}
            others = tuple(cell for cell in match.others if cell.column not in taken)
            sized = {**match.sized, key: _columns_of(key, cells)}
            return replace(match, columns=columns, sized=sized, others=others), below[1:]
    return match, below


def _columns_of(key: str, cells: Iterable[Cell]) -> tuple[Column, ...]:
    return tuple(
        Column(key=key, number=cell.column, heading=cell, extra=read_text(cell)) for cell in cells
    )


def _with_bare_sizes(table: Table, size_fact: Cell | None) -> Table:
    """Take columns headed with nothing but a size as quantities or requirements."""
    key = "Quantity" if table.kind is TableKind.PIECES else "Requirement"
    listed = set()
    if size_fact is not None:
        listed = {fold_heading(part) for part in re.split(r"[,;/()]", read_text(size_fact))}
    bare = [
        cell
        for cell in table.others
        if is_size_name(cell.text) or (listed and fold_heading(cell.text) in listed)
    ]
    if bare and key not in table.columns:
        table = replace(
            table,
            sized={**table.sized, key: (*table.sized.get(key, ()), *_columns_of(key, bare))},
            others=tuple(cell for cell in table.others if cell not in bare),
        )
    names = [column.extra for group in SIZED for column in table.sized.get(group, ())]
    sizes: dict[str, str] = {}
    for name in names:
        sizes.setdefault(name.casefold(), name)
    return replace(table, sizes=tuple(sizes.values()))

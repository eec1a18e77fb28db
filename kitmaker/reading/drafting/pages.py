"""A page into its draft: set as cells, read as any workbook is, told by the page's lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from kitmaker.drafts import Draft, DraftRow, HowSure, LeftOver, SourceLine, sized_headings
from kitmaker.errors import Location, UnreadableError
from kitmaker.lengths import Unit
from kitmaker.pattern import Pattern, PatternReading
from kitmaker.reading.as_written import CUT_ON, NOT_READ, piece_of
from kitmaker.reading.documents.lines import Document
from kitmaker.reading.drafting.draft import assemble
from kitmaker.reading.drafting.page_pattern import PagePattern, Unsure, read_page
from kitmaker.reading.drafting.paragraphs import Paragraph, paragraphs_of
from kitmaker.reading.drafting.rows import (
    REQUIREMENT,
    OneRow,
    RowsOfOneSize,
    cells_of,
    rows_of,
    say_quantity,
)
from kitmaker.reading.drafting.source import SourceBook
from kitmaker.reading.grid import Cell, CellKind, Sheet, Workbook
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.requirements import read_pattern_book, sizes_in
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_SHEET = "page"
_CUTS = "Cutting instructions"
_METRIC = re.compile(r"\d\s*(?:cm|mm)\b", re.IGNORECASE)
_INCHES = re.compile(rf"[\d{FRACTION_SIGNS}]\s*(?:\"|″|”|''|in\b|in\.|inch)", re.IGNORECASE)
_LONGEST_CELL = 2_000


@dataclass(slots=True)
class _PageSheet:
    """A page's pattern set as a sheet, and what stands where."""

    sheet: Sheet  # empty, for addresses
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)  # the sheet's cells
    # cell to the paragraphs that it came from
    told: dict[Location, list[Paragraph]] = field(default_factory=dict)
    row: int = 0  # the last row

    def put(self, texts: Sequence[str], told: Sequence[Sequence[Paragraph]]) -> None:
        self.row += 1
        for column, (text, from_) in enumerate(zip(texts, told, strict=True), start=1):
            if text:
                cell = self.sheet.blank(self.row, column)
                self.cells[self.row, column] = replace(
                    cell, kind=CellKind.TEXT, text=text[:_LONGEST_CELL]
                )
                self.told[cell.location] = list(from_)


def draft_of_document(
    document: Document, size: str | None = None, unit: Unit | None = None
) -> Draft:
    """Return the draft of a page.

    Without a size all stand side by side; without a unit it is centimeters where nothing on the
    page is in inches.

    Raises:
        UnreadableError: It names no fabric and asks for no cut.
        UsageError: The size is not one of the pattern's.
    """
    paragraphs = tuple(paragraphs_of(document.lines))
    page = read_page(paragraphs)
    if not page.fabrics and not page.unsure:
        raise UnreadableError(
            f"'{document.name}' has nothing to cut: no amounts of fabric and no cuts are found. "
            "Run 'kitmaker starter' for a workbook to fill in."
        )
    unit = unit or _unit_of(paragraphs)
    book, told = _set(document, page)
    sizes = sizes_in(book) if size is None else ()
    readings = [_reading_of(book, name, unit, page) for name in sizes or (size,)]
    source = replace(
        SourceBook.of(book),
        on_page={
            where: "\n".join(paragraph.words for paragraph in from_)
            for where, from_ in told.items()
        },
        doubtful={
            where: page.doubtful[paragraph.place]
            for where, from_ in told.items()
            for paragraph in from_
            if paragraph.place in page.doubtful
        },
    )
    rows = [
        _with_unsure(
            rows_of(reading, source),
            [row for row in page.unsure if not row.size or not sizes or row.size == name],
            reading,
        )
        for name, reading in zip(sizes or (size,), readings, strict=True)
    ]
    draft = assemble(document.name, sizes, readings, rows, source)
    return _on_page(draft, document, page, paragraphs, told)


def _reading_of(book: Workbook, size: str | None, unit: Unit, page: PagePattern) -> PatternReading:
    """Return what is read of a page; nothing where all of it is left to a person."""
    try:
        return read_pattern_book(book, size, None, unit)
    except UnreadableError:
        if not page.unsure:
            raise
    name, _ = page.facts.get("Pattern", (Path(book.name).stem, None))
    return PatternReading(pattern=Pattern(name=name, size=size, unit=unit))


def _unit_of(paragraphs: Iterable[Paragraph]) -> Unit:
    text = "\n".join(paragraph.text for paragraph in paragraphs)
    is_metric = _METRIC.search(text) is not None and _INCHES.search(text) is None
    return Unit.CENTIMETER if is_metric else Unit.INCH


def _set(document: Document, page: PagePattern) -> tuple[Workbook, dict[Location, list[Paragraph]]]:
    """Set a page's pattern as a sheet of facts and a table of fabrics as written."""
    made = _PageSheet(Sheet(workbook=document.name, name=_SHEET, cells={}))
    for label, (value, paragraph) in page.facts.items():
        made.put((label, value), ((), (paragraph,)))
    made.row += 1
    sizes = page.sizes or ("",)
    amounts, cuts = (sized_headings(key, page.sizes) for key in (REQUIREMENT, _CUTS))
    made.put(("Fabric", *amounts, *cuts), ((),) * (1 + 2 * len(sizes)))
    for fabric in page.fabrics.values():
        both = ({fabric.amounts.get(name): 0, fabric.amounts.get(""): 0} for name in sizes)
        none = "0" if page.sizes and fabric.amounts else ""
        stated = [" / ".join(filter(None, pair)) or none for pair in both]
        made.put((fabric.role, *stated), (fabric.told,) * (1 + len(sizes)))
        for text, below, size in fabric.lines:
            asked = [text if size in ("", name) else "" for name in sizes]
            told = ((below,),) * len(sizes)
            made.put((fabric.role, *("" for _ in sizes), *asked), ((), *((),) * len(sizes), *told))
    sheet = replace(made.sheet, cells=made.cells)
    return Workbook(name=document.name, sheets=(sheet,)), made.told


# what only a person can say: whose cloth a cut is


def _with_unsure(
    rows: RowsOfOneSize, unsure: Iterable[Unsure], reading: PatternReading
) -> RowsOfOneSize:
    pieces = list(rows.pieces)
    for row in unsure:
        pieces.extend(_rows_of_unsure(row, reading))
    return replace(rows, pieces=pieces)


def _rows_of_unsure(unsure: Unsure, reading: PatternReading) -> list[OneRow]:
    """Return open rows for a line whose fabric is not sure, its cuts filled in where they are."""
    unit = reading.pattern.unit
    read = read_lines([unsure.text], FabricFacts(unit=unit))
    why = f"{unsure.why[:1].upper()}{unsure.why[1:]}"
    why = why if why.endswith(".") else f"{why}. Type which fabric it is cut from."
    made = OneRow(
        cells=(),
        own="",
        as_written=(unsure.paragraph.words,),
        how_sure=HowSure.FILL_IN,
        why=why,
        source=unsure.paragraph.place,
        places=(unsure.paragraph.place,),
    )
    asked = [finding for finding in read.findings if finding.level.value == "error"]
    offered = next((finding.readings for finding in asked if finding.readings), ())
    if asked or not read.cuts or any(cut.is_multiplied for cut in read.cuts):
        sure = HowSure.CHOOSE if offered else HowSure.FILL_IN
        return [replace(made, how_sure=sure, readings=offered)]
    pieces = [piece_of(cut, unsure.paragraph.place, unsure.text) for cut in read.cuts]
    return [
        replace(made, cells=cells_of("", piece, unit), own=say_quantity(piece)) for piece in pieces
    ]


# told by the lines of the page


def _on_page(
    draft: Draft,
    document: Document,
    page: PagePattern,
    paragraphs: Sequence[Paragraph],
    told: Mapping[Location, list[Paragraph]],
) -> Draft:
    """Return a draft whose places are the page's, with every line of it accounted for."""

    def place(where: Location) -> Location:
        from_ = told.get(where)
        return from_[0].place if from_ else where

    draft = _moved(replace(draft, left_over=()), place)
    by_line = _fates(page, paragraphs, draft.readings, (*draft.fabrics, *draft.pieces))
    used = {paragraph.place for paragraph in paragraphs if by_line[paragraph.place].is_cloth}
    left = [
        LeftOver(words=line.text, why=by_line[paragraph.place].became[0], source=line.place)
        for paragraph in paragraphs
        if paragraph.place not in used
        for line in paragraph.lines
    ]
    left += [
        LeftOver(words=line.text, why=why, source=line.place)
        for why, lines in (("a running head", document.heads), ("struck through", document.struck))
        for line in lines
    ]
    return replace(
        draft,
        left_over=tuple(left),
        lines=tuple(by_line[paragraph.place] for paragraph in paragraphs),
    )


def _moved(value: Any, place: Callable[[Location], Location]) -> Any:
    """Return a value, each place that is told in it or in its parts moved."""
    if isinstance(value, Location):
        return place(value)
    if isinstance(value, tuple):
        return tuple(_moved(part, place) for part in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    parts = ((part.name, getattr(value, part.name)) for part in fields(value) if part.init)
    return replace(value, **{name: _moved(part, place) for name, part in parts})


def _fates(
    page: PagePattern,
    paragraphs: Sequence[Paragraph],
    readings: Sequence[PatternReading],
    rows: Sequence[DraftRow],
) -> dict[Location, SourceLine]:
    """Return what became of each paragraph, by its place."""
    became: dict[Location, list[str]] = {}
    cloth = {where for row in rows for where in row.places}
    cloth |= {paragraph.place for fabric in page.fabrics.values() for paragraph in fabric.told}
    cloth |= {paragraph.place for label, (_, paragraph) in page.facts.items() if label == "Pattern"}
    opened = {row.source for row in rows if row.is_open}
    for where, said in (*_told(page), *_read(readings, cloth)):
        became.setdefault(where, []).append(said)
    for row in rows:
        if row.is_open:
            became.setdefault(row.source, []).append(f"{row.where}: {row.why}")
    return {
        paragraph.place: SourceLine(
            words=paragraph.words,
            became=tuple(dict.fromkeys(became.get(paragraph.place, ["a note"]))),
            source=paragraph.place,
            is_cloth=paragraph.place in cloth,
            is_open=paragraph.place in opened,
        )
        for paragraph in paragraphs
    }


def _told(page: PagePattern) -> Iterator[tuple[Location, str]]:
    """Yield what was made of headings, amounts, facts and all that is no cloth."""
    for fabric in page.fabrics.values():
        for paragraph in fabric.told:
            is_amount = paragraph is fabric.told[0] and fabric.amounts
            yield paragraph.place, f"{fabric.role}: {'its amount' if is_amount else 'its cuts'}"
    for label, (_, paragraph) in page.facts.items():
        told = "the name" if label == "Pattern" else f"{label.lower()}, on the sheet Pattern"
        yield paragraph.place, told
    for paragraph, why in page.others:
        yield paragraph.place, why


def _read(
    readings: Sequence[PatternReading], cloth: set[Location]
) -> Iterator[tuple[Location, str]]:
    """Yield what was read of lines of cuts."""
    for reading in readings:
        for note in reading.notes:
            if note.understood not in (NOT_READ, "a note", "") and note.where in cloth:
                said = "strips that are cut on" if note.understood == CUT_ON else note.understood
                yield note.where, f"{note.role}: {said}"

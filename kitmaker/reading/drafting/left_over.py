"""What became no cloth: every line of the source that stands nowhere else in the draft."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kitmaker.drafts import Draft, LeftOver
from kitmaker.pattern import Note
from kitmaker.reading.as_written import CUT_ON
from kitmaker.reading.drafting.source import SourceBook, lines_of, row_of
from kitmaker.reading.grid import Row, Sheet


def find_left_over(draft: Draft, source: SourceBook, notes: Sequence[Note]) -> tuple[LeftOver, ...]:
    """Return each line of the source that is on no other sheet of a draft, and why."""
    return tuple(_Finder(draft, source, notes).all())


class _Finder:
    def __init__(self, draft: Draft, source: SourceBook, notes: Iterable[Note]) -> None:
        self.source = source
        rows = (*draft.fabrics, *draft.pieces)
        self.used = {row_of(row.source) for row in rows}
        shown = [_plain(row.as_written) for row in rows]
        shown += [_plain(text) for row in rows for _, text in row.cells]
        shown += [_plain(text) for fact in draft.facts() for text in fact]
        self.shown = "\n".join(shown)
        self.why: dict[tuple[str | None, int], list[tuple[str, str]]] = {}
        for note in notes:
            why = "strips that are cut on" if note.understood == CUT_ON else note.understood
            self.why.setdefault(row_of(note.where), []).append((_plain(note.words), why))

    def all(self) -> Iterator[LeftOver]:
        for sheet in self.source.book.sheets:
            for row in sheet.rows():
                yield from self._row(sheet, row, "")
        for sheet in self.source.book.hidden:
            for row in sheet.rows():
                yield from self._row(sheet, row, "on a hidden sheet")

    def _row(self, sheet: Sheet, row: Row, why: str) -> Iterator[LeftOver]:
        place = sheet.name, row.number
        lines = [(cell.location, line) for cell in row.own_cells() for line in lines_of(cell)]
        if place in self.used and not why:
            lines = [line for line in lines if _plain(line[1]) not in self.shown]
        if not lines:
            return
        if place in self.source.headings:
            why = "headings of a table"
        told = [why or self._why(place, line) for _, line in lines]
        for said in dict.fromkeys(told):
            of = [line for line, about in zip(lines, told, strict=True) if about == said]
            words = " | ".join(line for _, line in of)
            yield LeftOver(words=words, why=said, source=of[0][0])

    def _why(self, place: tuple[str | None, int], line: str) -> str:
        words = _plain(line)
        told = self.why.get(place, [])
        exact = [why for about, why in told if about == words]
        near = [why for about, why in told if words in about]
        return (exact or near or ["asks for no cloth"])[0]


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()

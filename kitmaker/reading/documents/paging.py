"""Pages of rows into a document: reading order, places, running heads taken off."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kitmaker.reading.documents.columns import Part, read_columns
from kitmaker.reading.documents.lines import Document, PageLine, PagePlace, PageRow

_AT_AN_EDGE = 2
"""So many rows at the top and at the bottom of a page may be running heads."""
_PAGE_NUMBER = re.compile(
    r"[-–—•|\s]*(?:page|pg\.?|p\.)?\s*\d{1,4}(?:\s*(?:of|/)\s*\d{1,4})?[-–—•|\s]*", re.IGNORECASE
)
_FAR = 1.9
"""A line so many heights below the last one begins a row. Our own bound, no source."""
_SAYS_PAGE = re.compile(r"\bpage\s*\d+\b", re.IGNORECASE)


def paged(name: str, pages: Sequence[Sequence[PageRow]]) -> Document:
    """Return the lines of pages, in reading order."""
    repeated = _repeated(pages)
    lines: list[PageLine] = []
    heads: list[PageLine] = []
    for number, rows in enumerate(pages, start=1):
        kept: list[PageRow] = []
        for at, row in enumerate(rows):
            if _is_head(row, at, len(rows), repeated, several=len(pages) > 1):
                place = PagePlace(name, f"page {number}, line {at + 1}")
                heads.append(PageLine(text=_text(row), place=place))
            else:
                kept.append(row)
        lines.extend(_lines_of(name, number, kept))
    return Document(name=name, lines=tuple(lines), heads=tuple(heads))


def _text(row: PageRow) -> str:
    return " ".join(segment.text for segment in row.segments)


def _key(row: PageRow) -> str:
    return re.sub(r"\d+", "#", _text(row).casefold()).strip()


def _edges(rows: Sequence[PageRow]) -> set[int]:
    return {*range(min(_AT_AN_EDGE, len(rows))), *range(max(0, len(rows) - _AT_AN_EDGE), len(rows))}


def _repeated(pages: Sequence[Sequence[PageRow]]) -> set[str]:
    """Return what stands at the top or the bottom of most pages, whatever its numbers."""
    counted = Counter(
        key for rows in pages for key in {_key(rows[at]) for at in _edges(rows)} if key
    )
    most = max(2, (len(pages) + 1) // 2)
    return {key for key, count in counted.items() if count >= most}


def _is_head(row: PageRow, at: int, count: int, repeated: set[str], *, several: bool) -> bool:
    is_edge = at < _AT_AN_EDGE or at >= count - _AT_AN_EDGE
    text = _text(row)
    if not is_edge:
        return False
    if _PAGE_NUMBER.fullmatch(text):
        return several or _SAYS_PAGE.search(text) is not None or at == count - 1
    return _key(row) in repeated


def _lines_of(name: str, number: int, rows: Sequence[PageRow]) -> Iterator[PageLine]:
    parts = list(read_columns(rows))
    for columns, part in enumerate(parts, start=1):
        column = f"column {columns}, " if len(parts) > 1 else ""
        kept: list[PageLine] = []
        is_upright = part.is_table and not _is_centered(part.rows)
        second = [
            row.segments[1].left - row.segments[1].height for row in part.rows if row.segments[1:]
        ]
        for at, row in enumerate(part.rows, start=1):
            above = part.rows[at - 2].top if at > 1 else row.top
            place = PagePlace(name, f"page {number}, {column}line {at}")
            line = _line(part, row, place, row.top - above)
            if is_upright and kept and (cells := _goes_on(kept[-1], line, row)):
                text = f"{kept[-1].text}\n{line.text}"
                kept[-1] = replace(kept[-1], cells=cells, text=text)
            else:
                is_astray = part.is_table and not line.cells and line.left >= min(second)
                kept.append(replace(line, is_astray=is_astray))
        yield from kept


def _is_centered(rows: Sequence[PageRow]) -> bool:
    """Whether a table's first cell stands lower than the first line beside it.

    Then what belongs to which row is not sure.
    """
    heads, *below = rows[:2]
    has_figures = any(char.isdigit() for char in _text(heads))
    first = heads.segments[0]
    return not has_figures and any(one.segments[0].left > first.right for one in below)


def _goes_on(above: PageLine, line: PageLine, row: PageRow) -> tuple[str, ...]:
    """Return the cells of a table's row with those of the row below that only go on; () if none.

    A row goes on where it has nothing under the first cell, or begins there in lower case and
    has nothing under the second.
    """
    is_apart = line.gap > _FAR * line.height
    if len(above.cells) < 2 or len(row.segments) >= len(above.spans) or is_apart:
        return ()
    columns = [
        min(range(len(above.spans)), key=lambda at: abs(above.spans[at][0] - segment.left))
        for segment in row.segments
    ]
    if len(set(columns)) < len(columns) or (0 in columns and not line.text[:1].islower()):
        return ()
    if any(
        abs(above.spans[at][0] - segment.left) > 4 * segment.height
        for at, segment in zip(columns, row.segments, strict=True)
    ):
        return ()
    cells = list(above.cells)
    for at, segment in zip(columns, row.segments, strict=True):
        cells[at] = f"{cells[at]}\n{segment.text}"
    return tuple(cells)


def _line(part: Part, row: PageRow, place: PagePlace, gap: float) -> PageLine:
    first, last = row.segments[0], row.segments[-1]
    cells = tuple(segment.text for segment in row.segments) if len(row.segments) > 1 else ()
    return PageLine(
        text=_text(row),
        cells=cells if part.is_table else (),
        spans=tuple((segment.left, segment.right) for segment in row.segments),
        place=place,
        left=first.left,
        right=last.right,
        edge=part.right,
        of=len(part.rows),
        height=max(segment.height for segment in row.segments),
        gap=gap,
        is_bold=all(segment.is_bold for segment in row.segments),
    )

"""A page's rows into lines in reading order: column by column, a table row by row.

Between two columns of text a strip of the page stays blank. Rows that run across it (titles)
part the page into bands; each band is read down its left column, then down its right one. A table
has such a strip too: there the words on its left name what stands on its right, and the rows
are read as rows. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from kitmaker.reading.documents.lines import PageRow, Segment
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_FEWEST_ROWS = 3
_INNER = 0.2
"""A strip between columns stands at least this share of the width from either edge."""
_ALIGNED = 0.6
_AMOUNT = re.compile(
    rf"(?:[\d{FRACTION_SIGNS}]|half|quarter)[\s\S]*\b(?:y(?:ar)?ds?|m|cm|met(?:er|re)s?|fat|fqs?|panels?)\b",
    re.IGNORECASE,
)
_AMOUNTS = re.compile(
    rf"(?:[-–\d\s./⁄({FRACTION_SIGNS}]+(?:y(?:ar)?ds?|m|cm)\b[\s.)]*)+", re.IGNORECASE
)
_PIECES = re.compile(r"\b(?:squares?|strips?|rectangles?|triangles?)\b|[\"″”]", re.IGNORECASE)
_COUNTS = re.compile(rf"[\d{FRACTION_SIGNS}]")
_SHORT = 30
_APART = 1.5
"""Lines so many heights apart are never of one cell. Our own bound, no source."""


@dataclass(frozen=True, slots=True)
class Part:
    """Rows of one column, or of a table or text over the whole width."""

    rows: tuple[PageRow, ...]  # from top to bottom
    is_table: bool = False  # whether the segments of a row are cells

    @property
    def right(self) -> float:
        """Where the column ends."""
        return max(row.segments[-1].right for row in self.rows)


def read_columns(rows: Sequence[PageRow]) -> Iterator[Part]:
    """Yield a page's parts in reading order."""
    if not rows:
        return
    if (found := _amount_table(rows)) is not None:
        start, end = found
        yield from read_columns(rows[:start])
        yield Part(tuple(rows[start:end]), is_table=True)
        yield from read_columns(rows[end:])
        return
    gutter = _gutter(rows)
    if gutter is None:
        yield Part(tuple(rows), is_table=_has_cells(rows))
        return
    text: list[PageRow] = []
    at = 0
    while at < len(rows):
        if not _is_parted(rows[at], gutter):
            text.append(rows[at])
            at += 1
            continue
        end = at
        while end < len(rows) and not _crosses(rows[end], gutter):
            end += 1
        last = max(place for place in range(at, end) if _is_parted(rows[place], gutter)) + 1
        table = _centered(rows[at:last]) or rows[at:last]
        if is_table := _is_table(table, gutter):
            heads = [text.pop()] if text and len(text[-1].segments) > 1 else []
            table = [*heads, *table]
        yield from _split_again(text)
        text = []
        if is_table:
            yield Part(tuple(table), is_table=True)
            at = last
        else:
            yield from _split_again(_side(rows[at:end], gutter, left=True))
            yield from _split_again(_side(rows[at:end], gutter, left=False))
            at = end
    yield from _split_again(text)


def _amount_table(rows: Sequence[PageRow]) -> tuple[int, int] | None:
    """Return where a table with several columns of amounts begins and ends; None for none."""

    def is_of_amounts(row: PageRow) -> bool:
        *_, first, other = ("", *(segment.text for segment in row.segments))
        return len(row.segments) > 2 and all(map(_AMOUNTS.fullmatch, (first, other)))

    start = next((at for at, row in enumerate(rows) if is_of_amounts(row)), None)
    if start is None:
        return None
    while start and len(rows[start - 1].segments) > 1:
        start -= 1
    end = start
    while end < len(rows) and len(rows[end].segments) > 1:
        end += 1
    return start, end


def _has_cells(rows: Sequence[PageRow]) -> bool:
    """Whether several rows are parted at one place: in one alone a gap is only wide."""
    parted = [row.segments[1] for row in rows if len(row.segments) > 1]
    return any(
        sum(abs(segment.left - other.left) <= 2 * segment.height for other in parted) > 1
        for segment in parted
    )


def _centered(rows: Sequence[PageRow]) -> list[PageRow] | None:
    """Return a table's rows where cells of several lines are centered in height beside others.

    In each column a wider gap parts the cells; cells of a row have one middle.
    """
    columns = [_cells(column) for column in _upright(rows)]
    longest = max(columns, key=len)
    if len(columns) < 2 or not any(len(cell.lines) > 1 for column in columns for cell in column):
        return None
    found: dict[int, list[Segment]] = {}
    for column in columns:
        for cell in column:
            beside = [
                at for at, peer in enumerate(longest) if abs(peer.middle - cell.middle) <= cell.near
            ]
            if len(beside) != 1:
                return None
            found.setdefault(beside[0], []).append(cell.segment)
    table = [PageRow(tuple(found[at]), longest[at].middle) for at in sorted(found)]
    names = [row.segments[0].text for row in table]
    asked = sum(_COUNTS.search(row.segments[-1].text) is not None for row in table)
    is_one = len(table) > 1 and all(len(row.segments) > 1 for row in table)
    is_list = any(_AMOUNT.search(name) or _PIECES.search(name) for name in names)
    return table if is_one and not is_list and asked > len(table) / 2 else None


@dataclass(frozen=True, slots=True)
class _Cell:
    """Lines of one column that stand close below each other, each with how far down it is."""

    lines: tuple[tuple[float, Segment], ...]

    @property
    def middle(self) -> float:
        return (self.lines[0][0] + self.lines[-1][0]) / 2

    @property
    def near(self) -> float:
        return 0.75 * self.lines[0][1].height

    @property
    def segment(self) -> Segment:
        parts = [segment for _, segment in self.lines]
        return replace(
            parts[0],
            left=min(part.left for part in parts),
            right=max(part.right for part in parts),
            text="\n".join(part.text for part in parts),
            is_bold=all(part.is_bold for part in parts),
        )


def _upright(rows: Sequence[PageRow]) -> list[list[tuple[float, Segment]]]:
    """Return the columns of a table, each with its lines: what stands above each other."""
    placed = ((row.top, segment) for row in rows for segment in row.segments)
    columns: list[list[tuple[float, Segment]]] = []
    right = 0.0
    for top, line in sorted(placed, key=lambda line: line[1].left):
        if columns and line.left < right:
            columns[-1].append((top, line))
            right = max(right, line.right)
        else:
            columns.append([(top, line)])
            right = line.right
    return [sorted(column, key=lambda line: line[0]) for column in columns]


def _cells(column: Sequence[tuple[float, Segment]]) -> list[_Cell]:
    gaps = [below[0] - above[0] for above, below in pairwise(column)]
    close = 1.4 * min(gaps, default=0.0)
    cells, lines = list[_Cell](), [column[0]]
    for gap, line in zip(gaps, column[1:], strict=True):
        if gap > min(close, _APART * line[1].height):
            cells.append(_Cell(tuple(lines)))
            lines = []
        lines.append(line)
    return [*cells, _Cell(tuple(lines))]


def _crosses(row: PageRow, gutter: float) -> bool:
    return any(segment.left < gutter < segment.right for segment in row.segments)


def _is_parted(row: PageRow, gutter: float) -> bool:
    """Whether something stands on the right of the strip, and nothing across it."""
    return row.segments[-1].left >= gutter and not _crosses(row, gutter)


def _split_again(rows: list[PageRow]) -> Iterator[Part]:
    """Yield a column, which may hold columns or a table itself; nothing where it is empty."""
    if not rows:
        return
    if len(rows) >= 2 * _FEWEST_ROWS and _gutter(rows) is not None:
        yield from read_columns(rows)
        return
    yield Part(tuple(rows), is_table=_has_cells(rows))


def _side(rows: Sequence[PageRow], gutter: float, *, left: bool) -> list[PageRow]:
    kept = []
    for row in rows:
        segments = tuple(segment for segment in row.segments if (segment.left < gutter) is left)
        if segments:
            kept.append(replace(row, segments=segments))
    return kept


def _gutter(rows: Sequence[PageRow]) -> float | None:
    """Return where a blank strip parts the rows into two columns; None where none does."""
    segments = [segment for row in rows for segment in row.segments]
    first, last = (
        min(segment.left for segment in segments),
        max(segment.right for segment in segments),
    )
    inner = _INNER * (last - first)
    starts = sorted(
        {segment.left for segment in segments if first + inner < segment.left < last - inner}
    )
    best: tuple[float, float] | None = None
    for start in starts:
        place = start - 0.01
        score = _score(rows, segments, place, start)
        if score and (best is None or score > best[0]):
            best = (score, place)
    return None if best is None else best[1]


def _score(
    rows: Sequence[PageRow], segments: Sequence[Segment], place: float, start: float
) -> float:
    """Return how well a strip parts rows; 0 where it does not."""
    lefts = [segment for segment in segments if segment.right <= place]
    rights = [segment for segment in segments if segment.left >= place]
    crossing = sum(
        any(segment.left < place < segment.right for segment in row.segments) for row in rows
    )
    if len(rights) < _FEWEST_ROWS or len(lefts) < _FEWEST_ROWS:
        return 0
    width = max(segment.right for segment in segments) - start
    first_of_rows = [
        min(segment.left for segment in row.segments if segment.left >= place)
        for row in rows
        if any(segment.left >= place for segment in row.segments)
    ]
    aligned = sum(row - start <= 0.15 * width for row in first_of_rows)
    near = 0.02 * width + median(right.height for right in rights)  # lists hang a little
    at_start = sum(abs(row - start) <= near for row in first_of_rows)
    if aligned < _ALIGNED * len(first_of_rows) or at_start < 2 or crossing > len(rows) / 2:
        return 0
    return min(len(lefts), len(rights)) + at_start - 3 * crossing


def _is_table(rows: Sequence[PageRow], gutter: float) -> bool:
    """Whether a band's left side names what stands on its right."""
    pairs = []
    alone = 0
    parted = sum(sum(segment.left < gutter for segment in row.segments) > 1 for row in rows)
    for row in rows:
        left = " ".join(segment.text for segment in row.segments if segment.left < gutter)
        right = " ".join(segment.text for segment in row.segments if segment.left >= gutter)
        if left and right:
            pairs.append((left, right))
        elif left:
            alone += 1
    if len(pairs) < 2 or alone > len(pairs):
        return False
    if parted > len(pairs) / 2:
        return True  # name and amount side by side, cuts behind them
    lefts, rights = [left for left, _ in pairs], [right for _, right in pairs]
    if sum(_AMOUNTS.fullmatch(text) is not None for text in rights) >= _ALIGNED * len(rights):
        return sum(_PIECES.search(text) is not None for text in lefts) <= len(lefts) / 2
    amounts = sum(_AMOUNT.search(text) is not None and len(text) <= _SHORT for text in rights)
    left_counts = sum(_COUNTS.search(text) is not None for text in lefts)
    if 0 < sum(_AMOUNT.search(text) is not None for text in lefts) < len(lefts) / 2:
        return False  # a list of amounts, and other text beside it
    if amounts >= _ALIGNED * len(rights):
        if sum(_PIECES.search(text) is not None for text in lefts) > len(lefts) / 2:
            return False  # cuts, and a list in a box beside them
        return not sum(_AMOUNT.search(text) is not None for text in lefts) > len(lefts) / 2
    names = left_counts <= len(lefts) / 3 and median(map(len, lefts)) <= _SHORT
    return names and sum(_COUNTS.search(text) is not None for text in rights) >= len(rights) / 2

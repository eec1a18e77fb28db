"""A text page as rows: letters are its measure, a form feed begins a page."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitmaker.errors import UnreadableError
from kitmaker.reading.delimited import decode_text
from kitmaker.reading.documents.lines import (
    MOST_LINES,
    Document,
    PageRow,
    Segment,
    plain_letters,
    too_many_lines,
)
from kitmaker.reading.documents.paging import paged

LARGEST_TEXT = 2 * 2**20

_BULLET = re.compile(r"\s*(?:[•▫·*~>»‣⁃■●○◦▪☐□–—-]|\(?\d{1,2}[.)]|[A-Za-z][.)])\s*")
_TAB = 8


def read_text_page(name: str, content: bytes) -> Document:
    """Return a .txt page.

    Raises:
        UnreadableError: It is no text, too large, or holds nothing.
    """
    if len(content) > LARGEST_TEXT:
        raise UnreadableError(f"'{name}' is too large for a pattern. Keep only its pages.")
    text = decode_text(name, content).replace("\r\n", "\n").replace("\r", "\n")
    if text.count("\n") > MOST_LINES:
        raise too_many_lines(name)
    pages = [tuple(_rows(page)) for page in text.split("\f")]
    if not any(pages):
        raise UnreadableError(f"'{name}' holds no text.")
    return paged(name, pages)


def _rows(page: str) -> Iterator[PageRow]:
    for at, line in enumerate(page.split("\n")):
        segments = tuple(_segments(plain_letters(line).expandtabs(_TAB), is_tabbed="\t" in line))
        if segments:
            yield PageRow(segments, float(at))


def _segments(line: str, *, is_tabbed: bool) -> Iterator[Segment]:
    """Yield what wide gaps part; a bullet stays with its words."""
    start = len(line) - len(line.lstrip())
    bullet = _BULLET.match(line, start)
    search = bullet.end() if bullet is not None else start
    least = 2 if is_tabbed else 3
    for gap in re.finditer(rf" {{{least},}}", line[search:].rstrip()):
        yield Segment(start, search + gap.start(), line[start : search + gap.start()].strip())
        start = search + gap.end()
    if rest := line[start:].strip():
        yield Segment(start, start + len(rest), rest)

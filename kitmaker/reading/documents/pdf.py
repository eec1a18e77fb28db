"""A .pdf as rows: each letter by its place, so that columns and raised fractions come out right.

It runs in a process of its own (:mod:`kitmaker.reading.documents.apart`), which ends where it
takes too long or too much memory. Nothing in the file is ever run.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import median
from typing import Any

from pdfminer import pdftypes
from pdfminer.converter import PDFPageAggregator
from pdfminer.layout import LTChar, LTContainer, LTImage
from pdfminer.pdfdocument import PDFDocument, PDFEncryptionError
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage
from pdfminer.pdfparser import PDFParser
from pdfminer.pdftypes import resolve1

from kitmaker.errors import UnreadableError
from kitmaker.reading.documents.lines import PageRow, Segment, no_text

MOST_PAGES = 60
MOST_LETTERS = 400_000
LARGEST_STREAM = 48 * 2**20
"""More pages, letters, and bytes of a picture than any pattern has. Our own bounds, no source."""

_SCRIPTS = (b"/JavaScript", b"/JS", b"/Launch", b"/EmbeddedFile", b"/RichMedia")
_SPLIT_AT, _SPACE_AT = 1.2, 0.18
"""A gap of so many heights of a letter parts columns, or words. Our own bounds, no source."""
_SMALL = 0.8
_FRACTION_SLASH = "\u2044/"


class _BoundedZlib:
    """What pdfminer unpacks streams with, which stops where one comes to more than a page's."""

    error = zlib.error
    decompressobj = staticmethod(zlib.decompressobj)

    @staticmethod
    def decompress(data: bytes) -> bytes:
        unpacker = zlib.decompressobj()
        unpacked = unpacker.decompress(data, LARGEST_STREAM)
        if unpacker.unconsumed_tail:
            raise MemoryError("a stream that unpacks to far more than a page holds")
        return unpacked + unpacker.flush()


vars(pdftypes)["zlib"] = _BoundedZlib


@dataclass(frozen=True, slots=True)
class _Letter:
    text: str
    left: float
    right: float
    base: float
    height: float
    is_bold: bool


def read_pdf_rows(name: str, content: bytes) -> list[list[PageRow]]:
    """Return the rows of each page of a .pdf.

    Raises:
        UnreadableError: It is damaged, protected, holds scripts, too much, or no text.
    """
    if any(mark in content for mark in _SCRIPTS):
        raise _holds_scripts(name)
    try:
        document = PDFDocument(PDFParser(io.BytesIO(content)))
    except PDFEncryptionError:
        raise _protected(name) from None
    if document.encryption is not None:
        raise _protected(name)
    if _has_scripts(document):
        raise _holds_scripts(name)
    pages: list[list[PageRow]] = []
    letters = 0
    has_pictures = False
    manager = PDFResourceManager(caching=True)
    device = PDFPageAggregator(manager, laparams=None)
    interpreter = PDFPageInterpreter(manager, device)
    for number, page in enumerate(islice(PDFPage.create_pages(document), MOST_PAGES + 1)):
        if number == MOST_PAGES:
            raise UnreadableError(
                f"'{name}' has more pages than a pattern needs. Keep only the pages with the "
                "amounts and the cuts."
            )
        interpreter.process_page(page)
        shown = device.get_result()
        found = list(_letters(shown))
        letters += len(found)
        has_pictures = has_pictures or _has_picture(shown)
        if letters > MOST_LETTERS:
            raise UnreadableError(f"'{name}' holds more text than a pattern needs. Keep its pages.")
        pages.append(_rows(found))
    if not any(pages):
        raise no_text(name, has_pictures=has_pictures)
    return pages


def _protected(name: str) -> UnreadableError:
    return UnreadableError(
        f"'{name}' is protected. Ask its publisher for a copy that may be read, or type it in."
    )


def _holds_scripts(name: str) -> UnreadableError:
    return UnreadableError(
        f"'{name}' holds scripts or other files, which a pattern does not need. "
        "Print it to a new .pdf and use that."
    )


def _has_scripts(document: PDFDocument) -> bool:
    """Whether the catalog names actions, scripts or files, packed ones included."""
    catalog = document.catalog
    names = resolve1(catalog.get("Names")) or {}
    inside = isinstance(names, dict) and {"JavaScript", "EmbeddedFiles"} & set(names)
    action = resolve1(catalog.get("OpenAction"))
    runs = isinstance(action, dict) and str(action.get("S")).strip("/'") not in ("GoTo", "None")
    return bool(inside) or runs or "AA" in catalog


def _letters(shown: Iterable[Any]) -> Iterator[_Letter]:
    for one in shown:
        if isinstance(one, LTChar):
            text = one.get_text()
            if text and one.upright and not text.startswith("(cid:"):
                bold = "bold" in one.fontname.casefold() or "black" in one.fontname.casefold()
                yield _Letter(text, one.x0, one.x1, one.matrix[5], one.size, bold)
        elif isinstance(one, LTContainer):
            yield from _letters(one)


def _has_picture(shown: Iterable[Any]) -> bool:
    return any(
        isinstance(one, LTImage) or (isinstance(one, LTContainer) and _has_picture(one))
        for one in shown
    )


def _rows(letters: Sequence[_Letter]) -> list[PageRow]:
    """Gather letters of one height into rows, from the top; raised ones go with their row."""
    shown = [letter for letter in letters if letter.text.strip()]
    lines: list[list[_Letter]] = []
    for letter in sorted(shown, key=lambda one: (-one.base, one.left)):
        if lines and _is_on(letter, lines[-1]):
            lines[-1].append(letter)
        else:
            lines.append([letter])
    return [
        PageRow(
            tuple(_segments(sorted(line, key=lambda one: one.left))),
            -median(one.base for one in line),
        )
        for line in lines
    ]


def _is_on(letter: _Letter, line: Sequence[_Letter]) -> bool:
    tallest = max(line, key=lambda one: one.height)
    height = max(tallest.height, letter.height)
    return max(one.base for one in line) - letter.base <= 0.42 * height


def _segments(letters: Sequence[_Letter]) -> Iterator[Segment]:
    """Yield what wide gaps part of a row's letters, spaces put where letters stand apart."""
    text: list[str] = []
    heights: list[float] = []
    start = last = letters[0]
    bold = True
    for letter in letters:
        gap = letter.left - last.right
        height = max(letter.height, last.height)
        is_item = start is letters[0] and _is_bullet("".join(text))
        if text and gap > _SPLIT_AT * height and not is_item:
            yield _segment(start, last, text, heights, is_bold=bold)
            text, heights, start, bold = [], [], letter, True
        elif text and (gap > _SPACE_AT * height or _is_raised(letter, last)):
            text.append(" ")
        text.append(letter.text)
        heights.append(letter.height)
        bold = bold and letter.is_bold
        last = letter
    yield _segment(start, last, text, heights, is_bold=bold)


def _segment(
    first: _Letter, last: _Letter, text: Sequence[str], heights: Sequence[float], *, is_bold: bool
) -> Segment:
    words = " ".join("".join(text).split())
    return Segment(first.left, last.right, words, median(heights), is_bold)


def _is_raised(letter: _Letter, last: _Letter) -> bool:
    """Whether a small figure behind a large one begins a fraction: the gap is in the height."""
    return letter.text.isdigit() and last.text.isdigit() and letter.height < _SMALL * last.height


def _is_bullet(text: str) -> bool:
    return len(text.strip()) <= 3 and not text.strip().isalpha()

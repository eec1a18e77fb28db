"""A .pdf as rows: each letter by its place, so that columns and raised fractions come out right.

It runs in a process of its own (:mod:`kitmaker.reading.documents.apart`), which ends where it
takes too long or too much memory. Nothing in the file is ever run.
"""

from __future__ import annotations

import io
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise
from statistics import median
from typing import Any

from pdfminer import pdftypes
from pdfminer.converter import PDFPageAggregator
from pdfminer.layout import LTChar, LTContainer, LTCurve, LTImage
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
_PLACE_AT = 0.5
_SMALL = 0.95
_ONE_LINE = 0.42
"""Letters so many heights apart stand on one line. Our own bound, no source."""
_BAND, _FAR = 6.0, 60.0
"""Points: letters are looked for in bands so high, and no farther behind each other."""
_TALL = 8.0
"""Points: a shorter line parts no columns. Our own bound, no source."""
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


@dataclass(frozen=True, slots=True)
class _Rule:
    """A line that is drawn from top to bottom, as between two columns of a table."""

    place: float
    bottom: float
    top: float

    def is_between(self, one: _Letter, other: _Letter) -> bool:
        is_beside = self.bottom <= other.base + other.height / 4 <= self.top
        return is_beside and one.right <= self.place + 1 and self.place - 1 <= other.left


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
        pages.append(_rows(found, tuple(_rules(shown))))
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


def _rules(shown: Iterable[Any]) -> Iterator[_Rule]:
    """Yield the upright lines of a page; the sides of a box are two."""
    for one in shown:
        if isinstance(one, LTCurve) and one.height > _TALL:
            for place in {one.x0, one.x1}:
                yield _Rule(place, one.y0, one.y1)
        elif isinstance(one, LTContainer):
            yield from _rules(one)


def _has_picture(shown: Iterable[Any]) -> bool:
    return any(
        isinstance(one, LTImage) or (isinstance(one, LTContainer) and _has_picture(one))
        for one in shown
    )


def _rows(letters: Sequence[_Letter], rules: Sequence[_Rule]) -> list[PageRow]:
    """Gather letters of one height into rows, from the top; raised ones go with their row."""
    lines: list[list[_Letter]] = []
    bases: list[tuple[float, float]] = []
    for run in sorted(_runs(letters), key=lambda one: -_tallest(one).base):
        tallest = _tallest(run)
        if bases and bases[-1][0] - tallest.base <= _ONE_LINE * max(bases[-1][1], tallest.height):
            lines[-1].extend(run)
        else:
            lines.append(run)
            bases.append((tallest.base, tallest.height))
    parted = [_parts(sorted(line, key=lambda one: one.left), rules, ()) for line in lines]
    begun = Counter(round(part[0].left) for parts in parted for part in parts[1:])
    often = [place for place, count in begun.items() if count > 1]
    return [
        PageRow(
            tuple(
                _segment(one)
                for part in parts
                for one in (_parts(part, (), often) if often else (part,))
            ),
            -median(one.base for part in parts for one in part),
        )
        for parts in parted
    ]


def _runs(letters: Iterable[_Letter]) -> list[list[_Letter]]:
    """Gather letters that stand close behind each other, small ones of a fraction with theirs."""
    runs: list[list[_Letter]] = []
    going: dict[int, list[list[_Letter]]] = {}
    shown = (letter for letter in letters if letter.text.strip())
    for letter in sorted(shown, key=lambda one: (one.left, one.base)):
        band = round(letter.base / _BAND)
        found = None
        for near in range(band - 2, band + 3):
            open_ = [one for one in going.get(near, ()) if letter.left - one[-1].right <= _FAR]
            found = found or next((one for one in open_ if _is_behind(letter, one[-1])), None)
            going[near] = [one for one in open_ if one is not found]
        if found is None:
            found = []
            runs.append(found)
        if not (found and _is_again(letter, found[-1])):
            found.append(letter)
        going[band].append(found)
    return runs


def _is_again(letter: _Letter, last: _Letter) -> bool:
    """Whether a letter is printed twice, to look bold."""
    return letter.text == last.text and letter.left - last.left < 0.12 * letter.height


def _is_behind(letter: _Letter, last: _Letter) -> bool:
    height = max(last.height, letter.height)
    is_level = abs(last.base - letter.base) <= _ONE_LINE * height
    return is_level and -height <= letter.left - last.right <= _SPLIT_AT * height


def _tallest(letters: Sequence[_Letter]) -> _Letter:
    return max(letters, key=lambda one: one.height)


def _parts(
    letters: Sequence[_Letter], rules: Sequence[_Rule], places: Sequence[float]
) -> list[list[_Letter]]:
    """Return the parts of a row's letters that stand in columns of their own.

    A wide gap parts them, a line drawn from top to bottom, and a gap where other rows begin one.
    """
    parts = [[letters[0]]]
    for last, letter in pairwise(letters):
        gap, height = letter.left - last.right, max(letter.height, last.height)
        is_item = len(parts) == 1 and not places and _is_bullet(_text(parts[0]))
        is_place = gap > _PLACE_AT * height and any(abs(letter.left - one) <= 1 for one in places)
        is_wide = gap > _SPLIT_AT * height
        if (
            is_place
            or (is_wide and not is_item)
            or any(rule.is_between(last, letter) for rule in rules)
        ):
            parts.append([])
        parts[-1].append(letter)
    return parts


def _text(letters: Sequence[_Letter]) -> str:
    """Return letters as words, spaces put where they stand apart."""
    text = letters[0].text
    for last, letter in pairwise(letters):
        is_apart = letter.left - last.right > _SPACE_AT * max(letter.height, last.height)
        text += f" {letter.text}" if is_apart or _is_raised(letter, last) else letter.text
    return " ".join(text.split())


def _segment(letters: Sequence[_Letter]) -> Segment:
    return Segment(
        letters[0].left,
        letters[-1].right,
        _text(letters),
        median(one.height for one in letters),
        all(one.is_bold for one in letters),
    )


def _is_raised(letter: _Letter, last: _Letter) -> bool:
    """Whether a small figure behind a large one begins a fraction: the gap is in the height."""
    is_small = letter.height < _SMALL * last.height and letter.base > last.base
    return letter.text.isdigit() and last.text.isdigit() and is_small


def _is_bullet(text: str) -> bool:
    return len(text.strip()) <= 3 and not text.strip().isalpha()

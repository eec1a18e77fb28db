"""A .pdf as rows: each letter by its place, so that columns and raised fractions come out right.

It runs in a process of its own (:mod:`kitmaker.reading.documents.apart`), which ends where it
takes too long or too much memory. Nothing in the file is ever run.
"""

from __future__ import annotations

import io
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
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
from kitmaker.reading.documents.lines import PageRow, Segment, no_text, plain_letters

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
_TILT, _FAINT = 0.05, 0.03
_INVISIBLE = (3, 7)
"""Ways of drawing text that leave no mark on the page."""
_TALL = 8.0
"""Points: a shorter line parts no columns. Our own bound, no source."""
_FRACTION_SLASH = "\u2044"
_FRACTION_BARS = "/\u2044\u2215"
_STACKED = 0.85


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
    device = _Seen(manager, laparams=None)
    device.off = _layers_off(document)
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
        has_pictures = has_pictures or any(isinstance(one, LTImage) for one in _inside(shown))
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


class _Seen(PDFPageAggregator):
    """Gathers what a person sees of a page: no text that is drawn invisible or switched off."""

    off: frozenset[int] = frozenset()
    marks: list[bool]

    def begin_page(self, page: PDFPage, ctm: Any) -> None:
        """Begin a page."""
        self.marks = []
        self.layers = (resolve1(page.resources) or {}).get("Properties") or {}
        super().begin_page(page, ctm)

    def begin_tag(self, _tag: Any, props: Any = None) -> None:
        """Begin marked text, which may be of a layer that is switched off."""
        layer = (resolve1(self.layers) or {}).get(getattr(props, "name", ""))
        self.marks.append(getattr(layer, "objid", None) in self.off)

    def end_tag(self) -> None:
        """End marked text."""
        if self.marks:
            self.marks.pop()

    def render_string(self, textstate: Any, seq: Any, ncs: Any, graphicstate: Any) -> None:
        """Take a text, if it is shown."""
        if textstate.render not in _INVISIBLE and not any(self.marks):
            super().render_string(textstate, seq, ncs, graphicstate)


def _layers_off(document: PDFDocument) -> frozenset[int]:
    """Return the layers that are switched off, by their numbers in the file."""
    known = resolve1(document.catalog.get("OCProperties")) or {}
    shown = resolve1(known.get("D")) or {}
    off = list(resolve1(shown.get("OFF")) or [])
    if str(shown.get("BaseState")).strip("/'") == "OFF":
        on = {one.objid for one in resolve1(shown.get("ON")) or []}
        off += [one for one in resolve1(known.get("OCGs")) or [] if one.objid not in on]
    return frozenset(one.objid for one in off)


def _letters(page: Any) -> Iterator[_Letter]:
    """Yield the letters that can be seen: level, on the page, not white on white."""
    shapes = [one for one in _inside(page) if isinstance(one, LTImage) or _is_dark(one)]
    for one in _inside(page):
        if not isinstance(one, LTChar) or one.get_text().startswith("(cid:"):
            continue
        across, tilt, _, along, _, base = one.matrix
        middle = (one.x0 + one.x1) / 2, (one.y0 + one.y1) / 2
        is_level = across > 0 < along and abs(tilt) < _TILT * across
        is_shown = not _is_white(one.graphicstate.ncolor) or any(
            _covers(shape, middle) for shape in shapes
        )
        if is_level and is_shown and _covers(page, middle):
            name = one.fontname.casefold()
            bold = "bold" in name or "black" in name
            yield _Letter(one.get_text(), one.x0, one.x1, base, one.size, bold)


def _inside(shown: Iterable[Any]) -> Iterator[Any]:
    for one in shown:
        yield one
        if isinstance(one, LTContainer):
            yield from _inside(one)


def _is_dark(one: Any) -> bool:
    return isinstance(one, LTCurve) and one.fill and not _is_white(one.non_stroking_color)


def _is_white(color: Any) -> bool:
    parts = color if isinstance(color, (tuple, list)) else (color,)
    if not all(isinstance(part, (int, float)) for part in parts):
        return False  # a pattern
    return bool(max(parts) <= _FAINT if len(parts) == 4 else min(parts) >= 1 - _FAINT)


def _covers(box: Any, place: tuple[float, float]) -> bool:
    return bool(box.x0 <= place[0] <= box.x1 and box.y0 <= place[1] <= box.y1)


def _rules(shown: Iterable[Any]) -> Iterator[_Rule]:
    """Yield the upright lines of a page; the sides of a box are two."""
    for one in _inside(shown):
        if isinstance(one, LTCurve) and one.height > _TALL:
            for place in {one.x0, one.x1}:
                yield _Rule(place, one.y0, one.y1)


def _rows(letters: Sequence[_Letter], rules: Sequence[_Rule]) -> list[PageRow]:
    """Gather letters of one height into rows, from the top; raised ones go with their row."""
    lines: list[list[_Letter]] = []
    bases: list[tuple[float, float]] = []
    for run in sorted(_runs(_level_fractions(letters)), key=lambda one: -_tallest(one).base):
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


def _level_fractions(letters: Iterable[_Letter]) -> Iterator[_Letter]:
    """Yield letters, figures that are set above each other as a fraction on its line."""
    shown = [letter for letter in letters if letter.text.strip()]
    usual = median(one.height for one in shown) if shown else 0.0
    small = [one for one in shown if one.text.isdigit() and one.height < _STACKED * usual]
    bars = [one for one in shown if one.text in _FRACTION_BARS]
    runs = [run for run in _runs(small) if len(run) < 3]
    runs = [run for run in runs if not any(_is_beside(run, bar) for bar in bars)]
    taken: set[int] = set()
    for above in runs:
        for below in runs:
            if _is_stacked(above[0], below[0]) and not taken & {id(above), id(below)}:
                taken |= {id(above), id(below)}
                yield from _side_by_side(above, below)
    fractions = {id(letter) for run in runs if id(run) in taken for letter in run}
    yield from (letter for letter in shown if id(letter) not in fractions)


def _is_beside(figures: Sequence[_Letter], bar: _Letter) -> bool:
    """Whether figures have a slash already."""
    gap = max(bar.left - figures[-1].right, figures[0].left - bar.right)
    return gap < 0.3 * bar.height and abs(bar.base - figures[0].base) < 0.6 * bar.height


def _is_stacked(above: _Letter, below: _Letter) -> bool:
    """Whether one figure stands right over another one of its height."""
    rise, height = above.base - below.base, above.height
    is_over = above.left < below.right and below.left < above.right
    return is_over and 0.6 * height < rise < 1.6 * height


def _side_by_side(above: Sequence[_Letter], below: Sequence[_Letter]) -> Iterator[_Letter]:
    figures = [*(one.text for one in above), _FRACTION_SLASH, *(one.text for one in below)]
    left = min(above[0].left, below[0].left)
    width = (max(above[-1].right, below[-1].right) - left) / len(figures)
    base = below[0].base + 0.3 * (above[0].base - below[0].base)
    for at, text in enumerate(figures):
        start = left + at * width
        text = text if at else f" {text}"
        yield replace(above[0], text=text, left=start, right=start + width, base=base)


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
    return plain_letters(" ".join(text.split()))


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

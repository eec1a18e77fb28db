"""A .pdf as letters, each by its place: what a person sees of it, and nothing else.

It runs in a process of its own (:mod:`kitmaker.reading.documents.apart`), which ends where it
takes too long or too much memory. Nothing in the file is ever run.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterable, Iterator
from itertools import islice
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
from kitmaker.reading.documents.letters import Letter, Rule, rows_of_letters
from kitmaker.reading.documents.lines import PageRow, no_text

MOST_PAGES = 60
MOST_LETTERS = 400_000
LARGEST_STREAM = 48 * 2**20
"""More pages, letters, and bytes of a picture than any pattern has. Our own bounds, no source."""

_SCRIPTS = (b"/JavaScript", b"/JS", b"/Launch", b"/EmbeddedFile", b"/RichMedia")
_TILT, _FAINT = 0.05, 0.03
_INVISIBLE = (3, 7)
"""Ways of drawing text that leave no mark on the page."""
_TALL = 8.0
"""Points: a shorter line parts no columns. Our own bound, no source."""


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
        has_pictures = has_pictures or any(isinstance(drawn, LTImage) for drawn in _inside(shown))
        if letters > MOST_LETTERS:
            raise UnreadableError(f"'{name}' holds more text than a pattern needs. Keep its pages.")
        pages.append(rows_of_letters(found, tuple(_rules(shown))))
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
        self.marks = []
        self.layers = (resolve1(page.resources) or {}).get("Properties") or {}
        super().begin_page(page, ctm)

    def begin_tag(self, _tag: Any, props: Any = None) -> None:
        layer = (resolve1(self.layers) or {}).get(getattr(props, "name", ""))
        self.marks.append(getattr(layer, "objid", None) in self.off)

    def end_tag(self) -> None:
        if self.marks:
            self.marks.pop()

    def render_string(self, textstate: Any, seq: Any, ncs: Any, graphicstate: Any) -> None:
        if textstate.render not in _INVISIBLE and not any(self.marks):
            super().render_string(textstate, seq, ncs, graphicstate)


def _layers_off(document: PDFDocument) -> frozenset[int]:
    """Return the layers that are switched off, by their numbers in the file."""
    known = resolve1(document.catalog.get("OCProperties")) or {}
    shown = resolve1(known.get("D")) or {}
    off = list(resolve1(shown.get("OFF")) or [])
    if str(shown.get("BaseState")).strip("/'") == "OFF":
        on = {layer.objid for layer in resolve1(shown.get("ON")) or []}
        off += [layer for layer in resolve1(known.get("OCGs")) or [] if layer.objid not in on]
    return frozenset(layer.objid for layer in off)


def _letters(page: Any) -> Iterator[Letter]:
    """Yield the letters that can be seen: level, on the page, not white on white."""
    shapes = [drawn for drawn in _inside(page) if isinstance(drawn, LTImage) or _is_dark(drawn)]
    for drawn in _inside(page):
        if not isinstance(drawn, LTChar) or drawn.get_text().startswith("(cid:"):
            continue
        across, tilt, _, along, _, base = drawn.matrix
        middle = (drawn.x0 + drawn.x1) / 2, (drawn.y0 + drawn.y1) / 2
        is_level = across > 0 < along and abs(tilt) < _TILT * across
        is_shown = not _is_white(drawn.graphicstate.ncolor) or any(
            _covers(shape, middle) for shape in shapes
        )
        if is_level and is_shown and _covers(page, middle):
            name = drawn.fontname.casefold()
            bold = "bold" in name or "black" in name
            yield Letter(drawn.get_text(), drawn.x0, drawn.x1, base, drawn.size, bold)


def _inside(shown: Iterable[Any]) -> Iterator[Any]:
    for drawn in shown:
        yield drawn
        if isinstance(drawn, LTContainer):
            yield from _inside(drawn)


def _is_dark(drawn: Any) -> bool:
    return isinstance(drawn, LTCurve) and drawn.fill and not _is_white(drawn.non_stroking_color)


def _is_white(color: Any) -> bool:
    parts = color if isinstance(color, (tuple, list)) else (color,)
    if not parts or not all(isinstance(part, (int, float)) for part in parts):
        return False  # a pattern
    return bool(max(parts) <= _FAINT if len(parts) == 4 else min(parts) >= 1 - _FAINT)


def _covers(box: Any, place: tuple[float, float]) -> bool:
    return bool(box.x0 <= place[0] <= box.x1 and box.y0 <= place[1] <= box.y1)


def _rules(shown: Iterable[Any]) -> Iterator[Rule]:
    """Yield the upright lines of a page; the sides of a box are two."""
    for drawn in _inside(shown):
        if isinstance(drawn, LTCurve) and drawn.height > _TALL:
            for place in {drawn.x0, drawn.x1}:
                yield Rule(place, drawn.y0, drawn.y1)

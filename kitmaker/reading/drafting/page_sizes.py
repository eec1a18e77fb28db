"""The sizes of the quilt on a page: columns of a table, headings, and names in front of cuts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from kitmaker.reading.drafting.paragraphs import Paragraph
from kitmaker.reading.layout import block_name, is_size_name
from kitmaker.reading.tables import fold_heading
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_SIDE = rf"\d[\d\s./⁄{FRACTION_SIGNS}]*(?:[\"″”]|in\.?|inch(?:es)?|cm)?"
_MEASURES = re.compile(rf"\(?{_SIDE}\s*(?:[x×]|by)\s*{_SIDE}\)?", re.IGNORECASE)
_SAID = re.compile(
    rf"(?:[\s\d\W{FRACTION_SIGNS}]|\b(?:size|quilt|x|by|in|inch|inches|cm|about)\b)*"
)
"""What may stand behind a size's name in its heading."""
_IN_FRONT = re.compile(
    r"(?:for\s+)?(?:the\s+|an?\s+)?(?P<name>[a-z]+(?:\s+[a-z]+)?)(?:\s+quilt)?\s*(?:[:,]|\s[–—-]\s)\s*(?P<rest>.+)",
    re.IGNORECASE,
)


def size_named(text: str) -> str:
    """Return the size of the quilt that a heading names: ``Crib (40" x 50")``; "" for none."""
    words = " ".join(text.split())
    name = block_name(words) or ""
    is_size = is_size_name(name) or words.casefold().startswith("size ")
    if name and is_size and _SAID.fullmatch(words.casefold().partition(name.casefold())[2]):
        return name
    return re.sub(r"[()\"″”]", "", words) if _MEASURES.fullmatch(words) else ""


@dataclass(frozen=True, slots=True)
class SizeColumns:
    """The columns of a table that are each of a size."""

    spans: dict[str, tuple[float, float]]  # size to where its heading begins and ends

    @classmethod
    def of(cls, row: Paragraph) -> SizeColumns | None:
        """Return the columns that a row of headings names; None where it names no two sizes."""
        named = zip(map(size_named, row.cells), row.lines[0].spans, strict=True)
        spans = {size: span for size, span in named if size}
        return cls(spans) if len(spans) > 1 else None

    def is_below(self, row: Paragraph) -> bool:
        """Whether a row only says below a heading's names how large the quilts are."""
        return all(_MEASURES.fullmatch(cell) for cell in row.cells if cell)

    def of_cells(self, cells: Sequence[tuple[float, float]]) -> tuple[str, ...]:
        """Return the size that each cell of a row stands under; () where one is not sure."""
        if len(cells) == len(self.spans):
            return tuple(self.spans)
        found = tuple(
            min(self.spans, key=lambda size: abs(sum(self.spans[size]) - sum(cell)))
            for cell in cells
        )
        is_sure = all(
            sum(_overlap(span, cell) for span in self.spans.values())
            == 1
            == _overlap(self.spans[size], cell)
            for size, cell in zip(found, cells, strict=True)
        )
        return found if is_sure and len(set(found)) == len(found) else ()


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def size_in_front(text: str) -> tuple[str, str]:
    """Return the size in front of a line, ``Crib: 12 squares``, and the rest; ("", "") for none."""
    found = _IN_FRONT.fullmatch(text)
    size = "" if found is None else size_named(found["name"])
    return (size, found["rest"]) if found is not None and size else ("", "")


class PageSizes:
    """The sizes that a page names; none where it names but one.

    Attributes:
        names: Each as the page first writes it, by its folded name.
    """

    def __init__(self, paragraphs: Sequence[Paragraph]) -> None:
        """Look for sizes at the head of columns, and of lines."""
        self.names: dict[str, str] = {}
        columns = [SizeColumns.of(paragraph) for paragraph in paragraphs if paragraph.cells]
        heads = [paragraph.core for paragraph in paragraphs[1:] if not paragraph.cells]
        said = [size for column in columns if column is not None for size in column.spans]
        more = [size for head in heads for size in (size_named(head), size_in_front(head)[0])]
        named = [one for one in (*said, *more) if not _MEASURES.fullmatch(one)]
        for size in filter(None, named if any(named) else said):
            self.names.setdefault(_fold(size), size)
        if len(self.names) < 2:
            self.names = {}

    def known(self, size: str) -> str:
        """Return a size as the page first writes it; "" where it is none of its sizes."""
        return self.names.get(_fold(size), "")

    def spoken_of(self, text: str) -> tuple[str, ...]:
        """Return the sizes that a line of words names anywhere."""
        words = f" {' '.join(re.findall(r'[a-z0-9]+', text.casefold()))} "
        return tuple(name for size, name in self.names.items() if f" {size} " in words)


def _fold(size: str) -> str:
    return fold_heading(size).removesuffix(" size")

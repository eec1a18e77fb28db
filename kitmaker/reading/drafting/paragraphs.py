"""The lines of a page put together again where they were wrapped, hyphenation undone."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kitmaker.reading.documents.lines import PageLine, PagePlace
from kitmaker.reading.drafting.page_clauses import section_of
from kitmaker.reading.words.lexicon import FRACTION_SIGNS, word_set

BULLET = re.compile(
    r"\s*(?:[•▫·*~>»‣⁃■●○◦▪☐□✂–—-]\s+|\d{1,2}[.)]\s+(?=\D|\d+\D)|[a-z][.)]\s+"
    r"|\d{1,2}\s+(?=(?:Cut|From|Using|Sew|Join|Press|Make|Stitch|Trim|Lay|Place)\b))"
)
"""What begins an item of a list; a count in brackets does not."""
_OPEN_END = re.compile(
    r"(?:[,×*/(&+–—:]|(?<![\w-])(?:of|into|and|or|the|an?|from|for|with|to|by|at|x|cut|subcut|"
    r"sub-cut|crosscut|cross-cut|make|yield|each|in|on|as|you|need|have|a\s+total|wide|long|to\s+get"
    r"|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|twenty|thirty|forty|fifty)"
    r"|(?<!border)(?<!fabric)(?<!color)(?<!print)(?<!block)(?<!unit)(?<!step)(?<!row)(?<!no\.)"
    r"(?<!section)(?<!set)(?<!piece)(?<!size)\s(?:\(\d{1,3}\)|\d{1,3}))$",
    re.IGNORECASE,
)
_KEEPS_HYPHEN = word_set(
    """
    half quarter one two three four eight flying fat width of and a hundred
    twenty thirty forty fifty sixty seventy eighty ninety
    """
)
_ENDS_IN_PIECES = re.compile(
    r"\b(?:squares?|rectangles?|strips?|pieces?|triangles?)$", re.IGNORECASE
)
_SIZE = re.compile(
    rf"[\d\s{FRACTION_SIGNS}/⁄.-]*[\d{FRACTION_SIGNS}]\s*(?:\"|″|”|''|in\b|inch|cm\b)"
)
_FRACTION = re.compile(rf"[{FRACTION_SIGNS}]|\d{{1,2}}[/⁄∕]\d")
_HEADS = re.compile(r"[^\d:;,.]{2,40}:")
_ENTRY = re.compile(
    rf"[^:;,(]{{2,40}}(?::|\s[–—-])\s*[\d{FRACTION_SIGNS}][-\d\s/⁄.{FRACTION_SIGNS}]*(?:y(?:ar)?ds?|m|cm)\b",
    re.IGNORECASE,
)
"""A name and its amount: an entry of a list, however the line above ends."""
_FEWEST = 3
"""A column of fewer lines goes on in no other one."""
_FAR = 1.9
"""A line so many heights below the last one begins a paragraph."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """What was one line before it was set."""

    text: str  # its words on one line
    lines: tuple[PageLine, ...]  # the lines of the page

    @property
    def place(self) -> PagePlace:
        """Where it begins."""
        return self.lines[0].place

    @property
    def cells(self) -> tuple[str, ...]:
        """Of a table's row, its cells, line by line where they are several; else nothing."""
        return tuple("\n".join(unwrapped(cell.split("\n"))) for cell in self.lines[0].cells)

    @property
    def words(self) -> str:
        """Its words line by line, as they stand on the page."""
        return "\n".join(line.text for line in self.lines)

    @property
    def core(self) -> str:
        """Its words without a bullet or a number of a list."""
        found = BULLET.match(self.text)
        return self.text[found.end() if found else 0 :].strip()


def paragraphs_of(lines: Iterable[PageLine]) -> Iterator[Paragraph]:
    """Yield the paragraphs of a page."""
    text, kept = "", list[PageLine]()
    for line in lines:
        if kept and _carries_on(kept[-1], text, line):
            text = _joined(text, line.text)
            kept.append(line)
            continue
        if kept:
            yield Paragraph(text, tuple(kept))
        text, kept = line.text, [line]
    if kept:
        yield Paragraph(text, tuple(kept))


def _carries_on(above: PageLine, text: str, below: PageLine) -> bool:
    """Whether a line was parted from the one above it only because that was full."""
    if above.is_whole or above.cells or below.cells or BULLET.match(below.text):
        return False
    if above.is_bold != below.is_bold or abs(above.height - below.height) > 0.2 * above.height:
        return False
    if _is_hyphenated(text, below.text) or _parts_a_number(text, below.text):
        return True
    if _HEADS.fullmatch(below.text) or _ENTRY.match(below.text) or section_of(text):
        return False
    if above.place.column != below.place.column:
        if min(above.of, below.of) < _FEWEST:
            return False
    elif below.gap > _FAR * above.height:
        return False
    starts_low = below.text[:1].islower() or below.text[:1] in ")×"
    ended = text.rstrip()[-1:] in ".!?:;"
    is_open = _OPEN_END.search(text.rstrip()) is not None or text.count("(") > text.count(")")
    is_open = is_open or _lacks_its_size(text, below.text)
    if _had_room(above, below):
        return starts_low and is_open and not ended
    return (starts_low and not ended) or (is_open and not text.rstrip().endswith(":"))


def _had_room(above: PageLine, below: PageLine) -> bool:
    """Whether the first word below would have had room behind the line above."""
    if not above.edge or not below.text:
        return False
    first = below.text.split()[0]
    wide = (below.right - below.left) / max(1, len(below.text))
    return above.right + wide * (len(first) + 1) < above.edge - 0.5 * wide


def _lacks_its_size(text: str, below: str) -> bool:
    """Whether pieces are named at the end of a line, and their size stands on the next one."""
    return _ENDS_IN_PIECES.search(text) is not None and _SIZE.match(below) is not None


def unwrapped(lines: Iterable[str]) -> Iterator[str]:
    """Yield the lines of a narrow cell, put together where one carries on the one above."""
    text = ""
    for line in lines:
        if not text:
            text = line
        elif _is_hyphenated(text, line):
            text = _joined(text, line)
        elif (
            _parts_a_number(text, line)
            or line[:1].islower()
            or (_OPEN_END.search(text) and not text.endswith(":"))
            or (_lacks_its_size(text, line))
        ):
            text = f"{text} {line}"
        else:
            yield text
            text = line
    if text:
        yield text


def _parts_a_number(text: str, below: str) -> bool:
    """Whether a number stands at the end of a line and its fraction on the next one."""
    return re.search(r"(?:^|\s)\d{1,2}$", text) is not None and _FRACTION.match(below) is not None


def _is_hyphenated(text: str, below: str) -> bool:
    return re.search(r"[A-Za-z][-\u00ad\u2010]$", text) is not None and below[:1].islower()


def _joined(text: str, below: str) -> str:
    if not _is_hyphenated(text, below):
        return f"{text} {below}"
    last = re.split(r"[\s-]", text.rstrip("-\u00ad\u2010"))[-1].casefold()
    return f"{text}{below}" if last in _KEEPS_HYPHEN else f"{text[:-1]}{below}"

"""Label sheets at true size: where each label lies, and text that never runs over its edge.

The die-cut measures of the three common sheets are common practice, no source. They were
checked by arithmetic: on each, the labels stand centered on the paper.

Text is measured before it is printed, by the advance widths of a common sans serif (the
wider of its regular and bold cuts), so that what is said to fit does fit.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from kitmaker.errors import UsageError, error
from kitmaker.shop import LabelSheet, Shop

_IN = Fraction(254, 10)

PAPERS: dict[str, tuple[Fraction, Fraction]] = {
    "letter": (Fraction(17, 2) * _IN, 11 * _IN),
    "A4": (Fraction(210), Fraction(297)),
}
"""Width and height in mm. US Letter is 8½ × 11 in, A4 by ISO 216 is 210 × 297 mm."""

LETTER_30 = LabelSheet(
    sheet_id="letter-30",
    paper="letter",
    columns=3,
    rows=10,
    width=Fraction(21, 8) * _IN,
    height=1 * _IN,
    left=Fraction(3, 16) * _IN,
    top=Fraction(1, 2) * _IN,
    pitch_across=Fraction(11, 4) * _IN,
    pitch_down=1 * _IN,
)
LETTER_10 = LabelSheet(
    sheet_id="letter-10",
    paper="letter",
    columns=2,
    rows=5,
    width=4 * _IN,
    height=2 * _IN,
    left=Fraction(5, 32) * _IN,
    top=Fraction(1, 2) * _IN,
    pitch_across=Fraction(67, 16) * _IN,
    pitch_down=2 * _IN,
)
A4_21 = LabelSheet(
    sheet_id="a4-21",
    paper="A4",
    columns=3,
    rows=7,
    width=Fraction("63.5"),
    height=Fraction("38.1"),
    left=Fraction("7.21"),
    top=Fraction("15.15"),
    pitch_across=Fraction("66.04"),
    pitch_down=Fraction("38.1"),
)
BUILT_IN_SHEETS = (LETTER_30, LETTER_10, A4_21)

SMALLEST_TYPE = Fraction(6)
_UNBROKEN_DOWN_TO = Fraction(8)
_LEADING = Fraction(118, 100)
_POINT = _IN / 72
_PADDING_ACROSS = Fraction("2.6")
_PADDING_DOWN = Fraction("1.6")
_SLACK = Fraction(1, 2)  # mm a sheet's measures may run over its paper, by rounding
_SAFETY = Fraction(103, 100)

# Advance widths in hundredths of the type's size, rounded up, the wider of regular and bold.
_WIDTHS: dict[str, int] = {
    char: width
    for width, chars in {
        28: " ,./I\\ijl|'¦·ÌÍÎÏìíîïĩīĭįİıĵĺļłſ‘’⁄′",
        34: "!()-:;[]`ft¡¨²³´¸¹ţŧ",
        40: "*r{}ľŕŗřºª°•",
        50: 'zźżž“”"ŀť″',
        56: "#$0123456789J_aceksvxy¢£¤¥§«¯¶»àáâãäåçèéêëýÿāăąćĉċčēĕėęěĴķĸśŝşšŷ–€÷±",
        62: "+<=>^~¬×−?FLTZbdghnopqu¿ßðñòóôõöøùúûüþđĝğġģĥħĹĻĽĿŁńņňŋōŏőŢŤŦũūŭůűųŹŻŽµ",
        73: "&ABCDEPSVXYHKNRUÀÁÂÃÄÅÇÈÉÊËÐÑÙÚÛÜÝÞĀĂĄĆĈĊČĎĐĒĔĖĘĚĤĦĶŃŅŇŊŔŖŘŚŜŞŠŨŪŬŮŰŲŶŸďŉ",
        80: "GOQwÒÓÔÕÖØĜĞĠĢŌŎŐŵ©®",
        84: "M¼½¾⅛⅜⅝⅞",
        95: "%mæWœŴ",
        102: "ÆŒ—…™←→@⅓⅔",
    }.items()
    for char in chars
}
_OTHER_WIDTH = 112
_PICTURE_WIDTH = 145


def find_label_sheet(name: str, shop: Shop) -> LabelSheet:
    """Return the label sheet of a name; the shop's own sheets come first.

    Raises:
        UsageError: No sheet is called so; it names those that are.
    """
    sheets = {sheet.sheet_id.casefold(): sheet for sheet in BUILT_IN_SHEETS}
    sheets.update({sheet.sheet_id.casefold(): sheet for sheet in shop.own_label_sheets})
    found = sheets.get(name.casefold().strip())
    if found is None:
        names = ", ".join(sheet.sheet_id for sheet in sheets.values())
        raise UsageError((error(f"There is no label sheet '{name}'.", None, f"Use {names}."),))
    return found


def check_start_label(start: int, sheet: LabelSheet) -> None:
    """Hold that printing starts on the sheet.

    Raises:
        UsageError: The number is below 1 or past the last label.
    """
    if not 1 <= start <= sheet.per_sheet:
        raise UsageError(
            (
                error(
                    f"Label {start} is not on a sheet {sheet.sheet_id}, "
                    f"which has {sheet.per_sheet} labels.",
                    None,
                    f"Type a number from 1 to {sheet.per_sheet}.",
                ),
            )
        )


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph of a label before it is set.

    Attributes:
        text: The words.
        scale: Its type against the label's.
        bold: Whether it is set bold.
        to_write_on: Whether a rule follows to be written on.
    """

    text: str
    scale: Fraction = Fraction(1)
    bold: bool = False
    to_write_on: bool = False


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line as it is printed: its words, type in points and height in mm."""

    text: str
    points: Fraction
    height: Fraction
    bold: bool
    to_write_on: bool


@lru_cache(maxsize=4096)
def _units(text: str) -> int:
    """Return a text's width in hundredths of its type's size."""
    total = 0
    for char in text:
        width = _WIDTHS.get(char)
        if width is None:
            if unicodedata.combining(char):
                continue
            wide = unicodedata.category(char) == "So" or ord(char) > 0xFFFF
            width = _PICTURE_WIDTH if wide else _OTHER_WIDTH
        total += width
    return total


@lru_cache(maxsize=256)
def _room(width: Fraction, points: Fraction) -> int:
    """Return how many hundredths of the type's size fit into ``width`` mm."""
    return floor(width * 100 / (points * _POINT * _SAFETY))


def text_width(text: str, points: Fraction) -> Fraction:
    """Return the millimeters a text takes on one line, never too few."""
    return _units(text) * points * _POINT * _SAFETY / 100


def set_label(
    lines: Sequence[Line], sheet: LabelSheet, smallest: Fraction = SMALLEST_TYPE
) -> tuple[SetLine, ...] | None:
    """Set a label's text inside its edges, as large as it goes.

    First it shrinks, each paragraph on its own line; then paragraphs break between words;
    then, at the smallest type, inside words. Below 6 pt nothing is set.

    Args:
        lines: The paragraphs.
        sheet: The label's measures.
        smallest: The smallest type allowed, points; never below 6.

    Returns:
        The lines from the top; None when the text does not fit.
    """
    width = sheet.width - 2 * _PADDING_ACROSS
    height = sheet.height - 2 * _PADDING_DOWN
    for points in _type_sizes(Fraction(12), _UNBROKEN_DOWN_TO):
        found = _set_at(lines, points, width, height, most_breaks=0, inside_words=False)
        if found is not None:
            return found
    for points in _type_sizes(Fraction(11), smallest):
        found = _set_at(lines, points, width, height, most_breaks=99, inside_words=False)
        if found is not None:
            return found
    if smallest > SMALLEST_TYPE:
        return None
    return _set_at(lines, SMALLEST_TYPE, width, height, most_breaks=99, inside_words=True)


def _type_sizes(largest: Fraction, smallest: Fraction) -> Iterable[Fraction]:
    size = largest
    while size >= smallest:
        yield size
        size -= Fraction(1, 2)


def _set_at(
    lines: Sequence[Line],
    points: Fraction,
    width: Fraction,
    height: Fraction,
    *,
    most_breaks: int,
    inside_words: bool,
) -> tuple[SetLine, ...] | None:
    done: list[SetLine] = []
    left = height
    for line in lines:
        size = max(SMALLEST_TYPE, points * line.scale)
        room = width / 2 if line.to_write_on else width
        broken = break_text(line.text, size, room, inside_words=inside_words)
        if broken is None or len(broken) - 1 > most_breaks:
            return None
        tall = _line_height(size, to_write_on=line.to_write_on)
        left -= tall * len(broken)
        if left < 0:
            return None
        done += (SetLine(text, size, tall, line.bold, line.to_write_on) for text in broken)
    return tuple(done)


@lru_cache(maxsize=256)
def _line_height(points: Fraction, *, to_write_on: bool) -> Fraction:
    """Return a line's height in mm; one to be written on is half as high again."""
    return points * _POINT * _LEADING * (Fraction(3, 2) if to_write_on else 1)


@lru_cache(maxsize=32_768)
def break_text(
    text: str, points: Fraction, width: Fraction, *, inside_words: bool
) -> tuple[str, ...] | None:
    """Break a text into lines no wider than ``width`` mm; None when a word is too long."""
    room = _room(width, points)
    lines: list[str] = []
    current: list[str] = []
    used = 0
    for word in text.split(" "):
        wide = _units(word)
        if current and used + _WIDTHS[" "] + wide <= room:
            current.append(word)
            used += _WIDTHS[" "] + wide
            continue
        if current:
            lines.append(" ".join(current).removesuffix(" ·"))
        if wide > room:
            chunks = _chop(word, room) if inside_words else None
            if chunks is None:
                return None
            lines += chunks[:-1]
            word, wide = chunks[-1], _units(chunks[-1])
        current, used = [word], wide
    return (*lines, " ".join(current))


def _chop(word: str, room: int) -> list[str] | None:
    chunks = [""]
    used = 0
    for char in word:
        wide = _units(char)
        if wide > room:
            return None
        if used + wide > room:
            chunks.append("")
            used = 0
        chunks[-1] += char
        used += wide
    return chunks


@dataclass(frozen=True, slots=True)
class Place:
    """Where one label lies: sheet from 1, and its left and top edge in mm."""

    sheet: int
    left: Fraction
    top: Fraction


def place_labels(
    count: int, sheet: LabelSheet, start: int, offset: tuple[Fraction, Fraction]
) -> tuple[Place, ...]:
    """Place labels across, then down, from the ``start``-th of the first sheet on.

    Args:
        count: How many.
        sheet: The paper they are printed on.
        start: The first label used, from 1.
        offset: Right and down, mm: the shop's correction for its printer.
    """
    places = []
    for at in range(start - 1, start - 1 + count):
        page, on_page = divmod(at, sheet.per_sheet)
        row, column = divmod(on_page, sheet.columns)
        places.append(
            Place(
                page + 1,
                sheet.left + column * sheet.pitch_across + offset[0],
                sheet.top + row * sheet.pitch_down + offset[1],
            )
        )
    return tuple(places)


@dataclass(frozen=True, slots=True)
class MarginLine:
    """Where scale bar and page number stand: a band in the sheet's margin, mm."""

    left: Fraction
    top: Fraction
    height: Fraction
    points: Fraction


def margin_band(sheet: LabelSheet) -> MarginLine:
    """Return the band above or below the labels, whichever is higher.

    Its inner end keeps clear of the labels; its type shrinks where the margin is narrow.
    """
    paper_width, paper_height = PAPERS[sheet.paper]
    above = sheet.top
    last = sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height
    below = paper_height - last
    room = max(above, below)
    height = min(Fraction(5), room * Fraction(2, 3))
    clear = min(Fraction(3, 2), (room - height) / 2)
    top = above - clear - height if above >= below else last + clear
    points = min(Fraction(8), height / _POINT * Fraction(7, 10))
    return MarginLine(paper_width / 12, top, height, points)


def check_geometry(sheet: LabelSheet) -> tuple[str, ...]:
    """Say what is wrong with a sheet's measures; empty when it can be printed."""
    said = []
    if sheet.paper not in PAPERS:
        return (f"label sheet {sheet.sheet_id}: paper '{sheet.paper}' is not letter or A4",)
    paper_width, paper_height = PAPERS[sheet.paper]
    if sheet.left + (sheet.columns - 1) * sheet.pitch_across + sheet.width > paper_width + _SLACK:
        said.append(f"label sheet {sheet.sheet_id}: its labels run past the paper's right edge")
    if sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height > paper_height + _SLACK:
        said.append(f"label sheet {sheet.sheet_id}: its labels run past the paper's lower edge")
    if (sheet.columns > 1 and sheet.pitch_across < sheet.width) or (
        sheet.rows > 1 and sheet.pitch_down < sheet.height
    ):
        said.append(f"label sheet {sheet.sheet_id}: its labels overlap")
    return tuple(said)

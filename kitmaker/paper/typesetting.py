"""Text set on a label: measured before it is printed, so that it never runs over an edge.

Widths are the advance widths of a common sans serif, regular and bold; its look-alikes in
other systems share them. What is said to fit does fit.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from kitmaker.paper.labels import POINT
from kitmaker.shop import LabelSheet

SMALLEST_TYPE = Fraction(6)
_LARGEST_TYPE = Fraction(12)
_UNBROKEN_DOWN_TO = Fraction(10)
_LEADING = Fraction(112, 100)
_PADDING_ACROSS = Fraction("2.6")
_PADDING_DOWN = Fraction("1.4")
_SAFETY = Fraction(103, 100)
_SHORTEST_RULE = Fraction(22)  # mm for a name written by hand


def _by_character(classes: Mapping[int, str]) -> dict[str, int]:
    return {char: width for width, chars in classes.items() for char in chars}


# Advance widths in hundredths of the type's size, rounded up.
_REGULAR = _by_character(
    {
        23: "ijl'įĵĺļłſ‘’⁄′",
        28: " ,./I\\|¦·ÌÍÎÏìíîïĩīĭİı!:;[]ftţŧ",
        34: "()-`¡¨²³´¸¹r{}ľŕŗř“”ŀ",
        39: '*ºª•"ť″',
        50: "°zźżžJcksvxyçýÿćĉċčĴķĸśŝşšŷ^",
        56: "#$0123456789_ae¢£¤¥§«¯¶»àáâãäåèéêëāăąēĕėęě–€÷±?L"
        "bdghnopquðñòóôõöùúûüþđĝğġģĥħĹĻĽĿŁńņňŋōŏőũūŭůűų",
        59: "+<=>~¬×−µ",
        62: "FTZ¿ßøŢŤŦŹŻŽďŉ",
        67: "&ABEPSVXYKÀÁÂÃÄÅÈÉÊËÝÞĀĂĄĒĔĖĘĚĶŚŜŞŠŶŸ",
        73: "CDHNRUÇÐÑÙÚÛÜĆĈĊČĎĐĤĦŃŅŇŊŔŖŘŨŪŬŮŰŲwŵ",
        78: "GOQÒÓÔÕÖØĜĞĠĢŌŎŐ©®",
        84: "M¼½¾⅛⅜⅝⅞m",
        89: "%æ",
        95: "WœŴ",
        102: "ÆŒ—…™←→@⅓⅔",
    }
)
_BOLD = _by_character(
    {
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
    }
)
_OTHER_WIDTH = 112
_PICTURE_WIDTH = 145


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph of a label before it is set.

    ``scale`` is its type against the label's; a rule follows where it is to be written on.
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


@lru_cache(maxsize=8192)
def _units(text: str, *, bold: bool) -> int:
    """Return a text's width in hundredths of its type's size."""
    widths = _BOLD if bold else _REGULAR
    total = 0
    for char in text:
        width = widths.get(char)
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
    return floor(width * 100 / (points * POINT * _SAFETY))


def text_width(text: str, points: Fraction, *, bold: bool = True) -> Fraction:
    """Return the millimeters a text takes on one line, never too few."""
    return _units(text, bold=bold) * points * POINT * _SAFETY / 100


def set_label(
    lines: Sequence[Line],
    sheet: LabelSheet,
    smallest: Fraction = SMALLEST_TYPE,
    *,
    inside_words: bool = False,
) -> tuple[SetLine, ...] | None:
    """Set a label's text inside its edges, as large as it goes.

    First it shrinks, each paragraph on its own line; then paragraphs break between words.
    Below 6 pt nothing is set.

    Args:
        lines: The paragraphs.
        sheet: The label's measures.
        smallest: The smallest type allowed, points; never below 6.
        inside_words: Whether, when nothing else helps, words too are broken.

    Returns:
        The lines from the top; None when the text does not fit.
    """
    width = sheet.width - 2 * _PADDING_ACROSS
    height = sheet.height - 2 * _PADDING_DOWN
    for points in _type_sizes(_LARGEST_TYPE, _UNBROKEN_DOWN_TO):
        found = _set_at(lines, points, width, height, may_break=False, inside_words=False)
        if found is not None:
            return found
    for points in _type_sizes(_LARGEST_TYPE, smallest):
        found = _set_at(lines, points, width, height, may_break=True, inside_words=False)
        if found is not None:
            return found
    if not inside_words:
        return None
    return _set_at(lines, smallest, width, height, may_break=True, inside_words=True)


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
    may_break: bool,
    inside_words: bool,
) -> tuple[SetLine, ...] | None:
    done: list[SetLine] = []
    left = height
    for line in lines:
        size = max(SMALLEST_TYPE, points * line.scale)
        broken = _break_line(line, size, width, inside_words=inside_words)
        if broken is None or (len(broken) > 1 and not may_break):
            return None
        for at, text in enumerate(broken, start=1):
            writes = line.to_write_on and at == len(broken)
            tall = _line_height(size, to_write_on=writes)
            left -= tall
            done.append(SetLine(text, size, tall, line.bold, writes))
        if left < 0:
            return None
    return tuple(done)


def _break_line(
    line: Line, size: Fraction, width: Fraction, *, inside_words: bool
) -> tuple[str, ...] | None:
    """Break a paragraph; behind its last line a rule keeps room for a name."""
    broken = break_text(line.text, size, width, inside_words=inside_words, bold=line.bold)
    if broken is None or not line.to_write_on:
        return broken
    if text_width(broken[-1], size, bold=line.bold) <= width - _SHORTEST_RULE:
        return broken
    head, _, last = line.text.rpartition(" ")
    before = break_text(head, size, width, inside_words=inside_words, bold=line.bold)
    return None if before is None or not head else (*before, last)


@lru_cache(maxsize=256)
def _line_height(points: Fraction, *, to_write_on: bool) -> Fraction:
    """Return a line's height in mm; one to be written on is half as high again."""
    return points * POINT * _LEADING * (Fraction(3, 2) if to_write_on else 1)


@lru_cache(maxsize=32_768)
def break_text(
    text: str, points: Fraction, width: Fraction, *, inside_words: bool, bold: bool = True
) -> tuple[str, ...] | None:
    """Break a text into lines no wider than ``width`` mm; None when a word is too long."""
    room = _room(width, points)
    space = _units(" ", bold=bold)
    lines: list[str] = []
    current: list[str] = []
    used = 0
    for word in text.split(" "):
        wide = _units(word, bold=bold)
        if current and used + space + wide <= room:
            current.append(word)
            used += space + wide
            continue
        if current:
            lines.append(" ".join(current).removesuffix(" ·"))
        if word == "·" and lines:
            current, used = [], 0
            continue
        if wide > room:
            chunks = _chop(word, room, bold=bold) if inside_words else None
            if chunks is None:
                return None
            lines += chunks[:-1]
            word, wide = chunks[-1], _units(chunks[-1], bold=bold)
        current, used = [word], wide
    return (*lines, " ".join(current))


def _chop(word: str, room: int, *, bold: bool) -> list[str] | None:
    chunks = [""]
    used = 0
    for char in word:
        wide = _units(char, bold=bold)
        if wide > room:
            return None
        if used + wide > room:
            chunks.append("")
            used = 0
        chunks[-1] += char
        used += wide
    return chunks

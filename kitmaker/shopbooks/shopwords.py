"""The figures a shop types into its workbook, one text at a time.

Each reader takes the text of one cell and gives its value, or raises
:class:`FigureError` with what to type instead. None of them guesses: a bare ``2`` as a
markup may double the cost or add two percent, so it is refused with both readings.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from kitmaker.errors import NotSureError
from kitmaker.lengths import (
    CENTIMETER,
    MILLIMETER,
    Length,
    LengthError,
    Unit,
    clean_text,
    parse_length,
    parse_number,
    say_decimal,
)
from kitmaker.shop import Bag, InKit, Markup

T = TypeVar("T")

_HUNDRED = Fraction(100)
_LONGEST_CURRENCY = 4


class FigureError(NotSureError):
    """A text is no figure of the kind wanted."""


_PERCENT = re.compile(r"\+?\s*(?P<number>[\d.,/ ]*\d)\s*(?:%|percent|per cent|pct\.?)", re.I)
_TIMES = re.compile(
    r"(?:[×x*]\s*(?P<after>[\d.,/ ]*\d)|(?P<before>[\d.,/ ]*\d)\s*(?:[×x*]|times))", re.I
)
_ADDS_OR_MULTIPLIES = "Type 100 % to add that much to the cost, or ×2 to multiply it."


def parse_pieces(text: str, one: str, several: str) -> Fraction:
    """Read a number of pieces of a form: ``12``, ``12 pieces``, ``12 fat quarters``."""
    cleaned = clean_text(text).strip().casefold()
    number, _, word = cleaned.partition(" ")
    words = ("", "pc", "pcs", "pc.", "pcs.", "piece", "pieces", one.casefold(), several.casefold())
    if number.isascii() and number.isdigit() and 0 < int(number[:7]) < 10**6 and word in words:
        return Fraction(int(number))
    raise FigureError(f"'{text}' is not a whole number of {several} of 1 or more", "Type it as 12.")


def parse_markup(text: str) -> Markup:
    """Read how a price comes from a cost: ``100 %`` is added, ``×2`` or ``x2`` multiplies."""
    cleaned = clean_text(text).strip()
    if match := _PERCENT.fullmatch(cleaned):
        added = _number(match.group("number"), _ADDS_OR_MULTIPLIES)
        return Markup(factor=_decimal(1 + added / _HUNDRED), as_written=text.strip())
    if match := _TIMES.fullmatch(cleaned):
        factor = _number(match.group("after") or match.group("before"), _ADDS_OR_MULTIPLIES)
        if factor <= 0:
            raise FigureError(f"the markup '{text}' leaves no price", _ADDS_OR_MULTIPLIES)
        return Markup(factor=_decimal(factor), as_written=text.strip())
    try:
        bare = parse_number(cleaned)
    except LengthError:
        message = f"'{text}' is no markup that can be read"
        raise FigureError(message, _ADDS_OR_MULTIPLIES) from None
    words = say_decimal(bare, 4)
    raise FigureError(
        f"a markup of '{text.strip()}' could add {words} % to the cost or multiply it by {words}",
        f"Type {words} % or ×{words}.",
    )


def parse_currency(text: str) -> str:
    """Read what stands before an amount: ``$``, ``€``, ``CHF``."""
    sign = text.strip()
    if len(sign) > _LONGEST_CURRENCY or any(char.isdecimal() or char in "-+=,;" for char in sign):
        raise FigureError(f"'{text}' is no sign of a currency", "Type a sign such as $ or CHF.")
    return sign


def parse_percent(text: str) -> Fraction:
    """Read a share: ``3 %`` is 3/100; a bare number is refused, but 0 is nothing."""
    cleaned = clean_text(text).strip()
    if match := _PERCENT.fullmatch(cleaned):
        return _number(match.group("number"), "Type it as 3 %.") / _HUNDRED
    value = _number(cleaned, "Type it as 3 %.")
    if value == 0:
        return value
    words = say_decimal(value, 4)
    raise FigureError(
        f"'{text.strip()}' could be {words} % or {say_decimal(value * _HUNDRED, 4)} %",
        f"Type it with its sign, as {words} %.",
    )


_SHIFT = re.compile(
    r"(?P<sign>[+-]?)\s*(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>mm|cm|in\.?|\")?"
    r"\s*(?:to the\s+)?(?P<way>right|left|down|up)?",
    re.I,
)
_SHIFTS = "Type it as 1 mm right, 0.5 mm down."
_SHIFT_UNITS = {"mm": MILLIMETER, "cm": CENTIMETER, "in": Fraction(1), '"': Fraction(1)}


def parse_label_offset(text: str) -> tuple[Fraction, Fraction]:
    """Read by how much the printing on a label sheet is to move, in mm: (right, down).

    ``1 mm right, -0.5 mm down``; without the words the first number goes right, the second
    down; without a unit it is mm; ``left`` and ``up`` turn the sign. ``0`` alone is none.
    """
    cleaned = clean_text(text).strip()
    if re.fullmatch(r"0+(?:\.0+)?\s*(?:mm)?", cleaned):
        return Fraction(0), Fraction(0)
    parts = [
        part.strip()
        for part in re.split(r",(?=\s|[+-])|(?<=[a-z]),|;|\band\b", cleaned, flags=re.I)
    ]
    if len(parts) != 2:
        raise FigureError(f"'{text}' does not say two shifts, one right and one down", _SHIFTS)
    shifts = [_shift(text, part, default) for part, default in zip(parts, "rd", strict=True)]
    by_axis = dict(shifts)
    if len(by_axis) != 2:
        raise FigureError(f"'{text}' says the same direction twice", _SHIFTS)
    return by_axis["r"], by_axis["d"]


def _shift(text: str, part: str, default: str) -> tuple[str, Fraction]:
    match = _SHIFT.fullmatch(part)
    if match is None:
        raise FigureError(f"'{part}' in '{text}' is no shift that can be read", _SHIFTS)
    unit = (match.group("unit") or "mm").lower().rstrip(".")
    amount = Fraction(match.group("number").replace(",", ".")) * _SHIFT_UNITS[unit] / MILLIMETER
    way = (match.group("way") or "").lower()
    sign = -1 if (match.group("sign") == "-") != (way in ("left", "up")) else 1
    axis = {"right": "r", "left": "r", "down": "d", "up": "d"}.get(way, default)
    return axis, sign * amount


def parse_size_pair(text: str, unit: Unit) -> tuple[Length, Length]:
    """Read two measures, the shorter first: ``2.5 x 5``; one alone is a square.

    A unit behind the second holds for both: ``6 x 12 cm``.
    """
    cleaned = clean_text(text).strip()
    parts = re.split(r"\s*(?:[×x*]|\bby\b)\s*", cleaned, flags=re.I)
    say = "Type it as 2.5 x 5."
    if len(parts) > 2:
        raise FigureError(f"'{text}' has more than two measures", say)
    word = re.search(r"(?:\"|[A-Za-z]+\.?)$", parts[-1])
    try:
        if word is not None and not re.search(r"[A-Za-z\"]", parts[0]):
            parts[0] += f" {word.group()}"
        measures = sorted(parse_length(part, unit) for part in parts)
    except LengthError as failure:
        raise FigureError(f"'{text}' is no size that can be read", say) from failure
    if measures[0] <= 0:
        raise FigureError(f"'{text}' has a measure of nothing", say)
    return measures[0], measures[-1]


_IN_KIT = {
    InKit.YES: ("yes", "y", "true", "in", "in kit"),
    InKit.NO: ("no", "n", "false", "not"),
    InKit.SOLD_APART: ("sold apart", "apart", "sold separately"),
}
_BAGS = {
    Bag.UNCUT: ("uncut", "uncut forms"),
    Bag.PIECES: ("pieces", "piece", "cut pieces"),
}
_UNITS = {
    Unit.INCH: ("in", "inch", "inches", '"'),
    Unit.CENTIMETER: ("cm", "centimeter", "centimeters", "centimetre", "centimetres"),
}


def parse_in_kit(text: str) -> InKit:
    """Read whether a fabric is in the kit: ``yes``, ``no``, ``sold apart``."""
    message = f"'{text}' does not say whether the fabric is in the kit"
    return _meant(_plain_words(text), _IN_KIT, message, "Type yes, no or sold apart.")


def parse_bag(text: str) -> Bag:
    """Read what is in the bag: ``uncut`` or ``pieces``."""
    message = f"'{text}' does not say what goes into the bag"
    return _meant(_plain_words(text), _BAGS, message, "Type uncut or pieces.")


def parse_unit(text: str) -> Unit:
    """Read what bare numbers are in: ``in`` or ``cm``."""
    message = f"'{text}' is no unit that sizes can be in"
    return _meant(_plain_words(text).rstrip("."), _UNITS, message, "Type in or cm.")


def _meant(word: str, meanings: Mapping[T, tuple[str, ...]], message: str, instead: str) -> T:
    for meaning, words in meanings.items():
        if word in words:
            return meaning
    raise FigureError(message, instead)


def _plain_words(text: str) -> str:
    return re.sub(r"[\s_-]+", " ", clean_text(text)).strip().casefold()


def _number(text: str, suggestion: str) -> Fraction:
    try:
        return parse_number(text.strip())
    except LengthError as failure:
        raise FigureError(str(failure), suggestion) from failure


def _decimal(number: Fraction) -> Decimal:
    return Decimal(say_decimal(number, 6))

"""Exact lengths: reading what people write, and saying them as people read them.

A length is a :class:`fractions.Fraction` of an inch, always, whatever unit it was typed
in. Nothing in the project computes a length as a float: a quarter inch lost by rounding
is a piece that does not fit. Numbers are rounded only when they are shown, and in the
safe direction: what is needed goes up, what can be used goes down.

The inch is 25.4 mm exactly. Source: Addendum to NBS Circular 572 (1 yd = 0.9144 m,
from 1 July 1959); the same factor in 16 CFR 500.19.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor
from typing import TypeAlias

from kitmaker.errors import NotSureError

Length: TypeAlias = Fraction
"""A length in inches, exact."""

INCH: Length = Fraction(1)
FOOT: Length = Fraction(12)
YARD: Length = Fraction(36)
CENTIMETER: Length = Fraction(50, 127)
MILLIMETER: Length = Fraction(5, 127)
METER: Length = Fraction(5000, 127)

ON_A_RULER = (1, 2, 3, 4, 8, 16, 32, 64)
"""Parts of an inch, and thirds of a yard, that are said as fractions."""

EIGHTH = Fraction(1, 8)
SIXTEENTH = Fraction(1, 16)

_SNAP_DENOMINATORS = (64, 48)
_SNAP_TOLERANCE = Fraction(1, 1_000_000)

_VULGAR = {
    Fraction(1, 2): "½",
    Fraction(1, 3): "⅓",
    Fraction(2, 3): "⅔",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛",
    Fraction(3, 8): "⅜",
    Fraction(5, 8): "⅝",
    Fraction(7, 8): "⅞",
}


class Unit(StrEnum):
    """The unit a pattern is written in."""

    INCH = "in"
    CENTIMETER = "cm"

    @property
    def length(self) -> Length:
        """One of this unit, in inches."""
        return INCH if self is Unit.INCH else CENTIMETER

    @property
    def bolt_unit(self) -> str:
        """What fabric off the bolt is sold by: ``yd`` or ``m``."""
        return "yd" if self is Unit.INCH else "m"

    @property
    def bolt_length(self) -> Length:
        """One yard or one meter, in inches."""
        return YARD if self is Unit.INCH else METER

    @property
    def bolt_step(self) -> Length:
        """What a length off the bolt is rounded up to: ⅛ yd or 5 cm, in inches."""
        return YARD / 8 if self is Unit.INCH else 5 * CENTIMETER


UNIT_WORDS: dict[str, Length] = {
    word: length
    for length, words in (
        (INCH, '" in in. inch inches'),
        (FOOT, "ft foot feet"),
        (YARD, "yd yd. yds yds. yard yards"),
        (MILLIMETER, "mm"),
        (CENTIMETER, "cm cm. cms centimeter centimeters centimetre centimetres"),
        (METER, "m m. meter meters metre metres"),
    )
    for word in words.split()
}


class LengthError(NotSureError):
    """A text is no length that can be read for sure."""


class AmbiguousNumberError(LengthError):
    """A number has two honest readings.

    Attributes:
        readings: The values it could have, the likelier first.
    """

    def __init__(self, text: str, readings: tuple[Fraction, ...]) -> None:
        words = " or ".join(say_number(reading) for reading in readings)
        first = readings[0]
        super().__init__(
            f"'{text}' could be {words}",
            f"Type {say_plain(first)} with a space between whole number and fraction.",
        )
        self.readings = readings


def clean_text(text: str) -> str:
    """Return a text with the many characters for one sign made one.

    Primes and curly quotes become ``"`` or ``'``, fraction slashes ``/``, times signs
    ``x`` only where they stand between sizes is left to the phrase reader: here ``×``
    stays ``×``. Vulgar fractions become `` n/d`` set off by a space, no-break and
    zero-width spaces become spaces or nothing.
    """
    out: list[str] = []
    for char in unicodedata.normalize("NFC", text):
        if char in "\u200b\u200c\u200d\u2060\ufeff\u00ad":
            continue
        if char in "″”“„‟˝〃":
            out.append('"')
        elif char in "′’‘‚‛ʹ´`":
            out.append("'")
        elif char in "⁄∕÷⧸":
            out.append("/")
        elif char in "‐‑‒–—―−":
            out.append("-" if char in "‐‑−‒" else char)
        elif unicodedata.category(char) == "No" and "VULGAR FRACTION" in unicodedata.name(char, ""):
            out.append(_spell_vulgar(char, out))
        elif char.isspace() and char not in "\n\r":
            out.append(" ")
        else:
            out.append(unicodedata.normalize("NFKC", char) if ord(char) > 0xFF00 else char)
    return "".join(out).replace("''", '"')


def _spell_vulgar(char: str, before: list[str]) -> str:
    spelled = unicodedata.normalize("NFKC", char).replace("⁄", "/")
    glued = bool(before) and (before[-1].isdigit() or before[-1] == "-")
    if before and before[-1] == "-":
        return spelled
    return f" {spelled}" if glued else spelled


_WHOLE = re.compile(r"\d+")
_DECIMAL = re.compile(r"(\d*)[.](\d+)|(\d+)[.]")
_COMMA = re.compile(r"(\d+),(\d{1,2})")
_MIXED = re.compile(r"(\d+)(?:\s*-\s*|\s+)(\d+)\s*/\s*(\d+)")
_SIMPLE = re.compile(r"(\d+)\s*/\s*(\d+)")


_LONGEST_NUMBER = 40
"""Signs in a number: enough for any that a spreadsheet stores."""


def parse_number(text: str) -> Fraction:
    """Read a number as people type it: ``2 1/2``, ``2-1/2``, ``2½``, ``2.5``, ``2,5``.

    A hyphen joins whole number and fraction; it is never a minus. One or two digits
    behind a comma are a decimal comma.

    Raises:
        AmbiguousNumberError: A fraction like ``51/4`` that has lost its gap.
        LengthError: Anything else, a negative number included.
    """
    cleaned = clean_text(text).strip()
    if len(cleaned) > _LONGEST_NUMBER:
        raise LengthError("a number this long cannot be meant", "Type it as 2.5 or 2 1/2.")
    if match := _MIXED.fullmatch(cleaned):
        whole, top, bottom = (int(part) for part in match.groups())
        fraction = _fraction(text, top, bottom)
        if fraction >= 1:
            raise LengthError(
                f"'{text}' has the fraction {top}/{bottom}, which is more than a whole",
                "Type the number again, for example 2 1/2.",
            )
        return whole + fraction
    if match := _SIMPLE.fullmatch(cleaned):
        return _simple_fraction(text, match.group(1), match.group(2))
    if _WHOLE.fullmatch(cleaned):
        return Fraction(int(cleaned))
    if match := _COMMA.fullmatch(cleaned):
        return Fraction(f"{match.group(1)}.{match.group(2)}")
    if _DECIMAL.fullmatch(cleaned):
        return Fraction(cleaned.rstrip(".") if cleaned.endswith(".") else f"0{cleaned}")
    raise LengthError(f"'{text}' is not a number that can be read", "Type it as 2.5 or 2 1/2.")


def _fraction(text: str, top: int, bottom: int) -> Fraction:
    if bottom == 0:
        raise LengthError(f"'{text}' divides by zero", "Type it as 2.5 or 2 1/2.")
    return Fraction(top, bottom)


def _simple_fraction(text: str, top: str, bottom: str) -> Fraction:
    value = _fraction(text, int(top), int(bottom))
    if value > 1 and len(top) > 1 and int(bottom) in (2, 3, 4, 8, 16, 32):
        splits = [
            int(top[:at]) + Fraction(int(top[at:]), int(bottom))
            for at in range(len(top) - 1, 0, -1)
            if 0 < int(top[at:]) < int(bottom) and top[at] != "0"
        ]
        if splits:
            raise AmbiguousNumberError(text, (*splits, value))
    return value


_WITH_UNIT = re.compile(
    r"(?P<number>[\d./,\s-]*\d[.]?)\s*-?\s*(?P<unit>\"|[A-Za-z]+[.]?)?", re.IGNORECASE
)


def parse_length(text: str, unit: Unit | Length = Unit.INCH) -> Length:
    """Read a length with or without its unit: ``2½"``, ``6,35 cm``, ``1 3/8 yd``.

    Args:
        text: What was typed.
        unit: What a bare number is in: a unit, or the inches one of it has.

    Raises:
        AmbiguousNumberError: The number has two readings.
        LengthError: It is no length, or its unit is not known.
    """
    cleaned = clean_text(text).strip()
    match = _WITH_UNIT.fullmatch(cleaned)
    if match is None:
        raise LengthError(
            f"'{text}' is not a length that can be read", "Type it as 2.5 or 2 1/2, with in or cm."
        )
    word = match.group("unit")
    factor = unit.length if isinstance(unit, Unit) else unit
    if word is not None:
        try:
            factor = UNIT_WORDS[word.lower()]
        except KeyError:
            raise LengthError(
                f"'{text}' ends in '{word}', which is no unit of length",
                "Use in, cm, mm, yd or m.",
            ) from None
    return parse_number(match.group("number")) * factor


def from_cell_number(value: int | float | Fraction) -> Fraction:
    """Turn a spreadsheet's number into an exact one.

    A spreadsheet stores binary numbers: 2.4999999999999996 is 2½ that was computed. A
    number within a millionth of a 64th or a 48th is that fraction; any other is the
    decimal that the spreadsheet shows for it.

    Raises:
        LengthError: The number is not finite.
    """
    if isinstance(value, (int, Fraction)):
        return Fraction(value)
    if value != value or value in (float("inf"), float("-inf")):
        raise LengthError(f"{value} is not a number", "Type a number such as 2.5.")
    exact = Fraction(repr(value))
    for denominator in _SNAP_DENOMINATORS:
        snapped = Fraction(round(exact * denominator), denominator)
        if abs(snapped - exact) <= _SNAP_TOLERANCE:
            return snapped
    return exact


def round_need_up(length: Length, step: Length = EIGHTH) -> Length:
    """Return the least multiple of ``step`` that is not below ``length``."""
    return ceil(length / step) * step


def round_usable_down(length: Length, step: Length = EIGHTH) -> Length:
    """Return the greatest multiple of ``step`` that is not above ``length``."""
    return floor(length / step) * step


def say_number(number: Fraction) -> str:
    """Say a number with its fraction as people read it: ``2½``, ``4 5/16``, ``0.15``."""
    whole, rest = divmod(number, 1)
    if rest in _VULGAR:
        return f"{whole or ''}{_VULGAR[rest]}"
    return spelled(number, (1, 16, 32, 64)) or say_decimal(number, 3)


def say_plain(number: Fraction) -> str:
    """Say a number as it can be typed back: ``2 1/2``, ``0.15``."""
    return spelled(number, ON_A_RULER) or say_decimal(number, 4)


def spelled(number: Fraction, denominators: Collection[int]) -> str:
    """Spell a number and its fraction, ``2 1/2``; "" where its denominator is none of these."""
    if number.denominator not in denominators:
        return ""
    whole, rest = divmod(number, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def say_decimal(number: Fraction, digits: int, *, up: bool = False) -> str:
    """Say a number in decimals, rounded to ``digits`` places (upward if asked), no zeros."""
    scaled = ceil(number * 10**digits) if up else round(number * 10**digits)
    whole, rest = divmod(abs(scaled), 10**digits)
    sign = "-" if scaled < 0 else ""
    decimals = f"{rest:0{digits}d}".rstrip("0") if digits else ""
    return f"{sign}{whole}.{decimals}" if decimals else f"{sign}{whole}"


def say_size(length: Length, unit: Unit) -> str:
    """Say a measure as it is set on a ruler, without its unit word: ``2½`` or ``6.4``.

    An inch measure that no ruler shows is rounded *up* to the next sixteenth (a piece cut
    a hair large can be trimmed), a metric one up to the next millimeter.
    """
    if unit is Unit.CENTIMETER:
        return say_decimal(round_need_up(length, MILLIMETER) / CENTIMETER, 1)
    if said_exactly(length, unit):
        return say_number(length)
    return say_number(round_need_up(length, SIXTEENTH))


def said_exactly(length: Length, unit: Unit) -> bool:
    """Whether :func:`say_size` says a measure without rounding it."""
    if unit is Unit.CENTIMETER:
        return (length / MILLIMETER).denominator == 1
    return length.denominator in (1, 2, 4, 8, 16, 3)


def say_usable(length: Length, unit: Unit) -> str:
    """Say a usable measure without its unit word, rounded *down* to what a ruler shows."""
    if unit is Unit.CENTIMETER:
        return say_decimal(round_usable_down(length, MILLIMETER) / CENTIMETER, 1)
    if length.denominator in (1, 2, 4, 8, 16):
        return say_number(length)
    return say_number(round_usable_down(length, SIXTEENTH))


def say_length(length: Length, unit: Unit) -> str:
    """Say a measure with its unit: ``2½ in`` or ``6.4 cm``."""
    return f"{say_size(length, unit)} {unit.value}"


def say_off_the_bolt(length: Length, unit: Unit) -> str:
    """Say a length to buy or pull, in yards or meters, rounded up: ``2¼ yd``, ``1.95 m``."""
    if unit is Unit.CENTIMETER:
        return f"{say_decimal(length / METER, 2, up=True)} m"
    yards = length / YARD
    if yards.denominator in (1, 2, 3, 4, 8, 16):
        return f"{say_number(yards)} yd"
    return f"{say_number(round_need_up(yards, SIXTEENTH))} yd"


def say_bolt_left(length: Length, unit: Unit) -> str:
    """Say a length that lies on the shelf, rounded down: ``3⅞ yd``, ``1.95 m``, ``nothing``."""
    if unit is Unit.CENTIMETER:
        meters = round_usable_down(length / METER, Fraction(1, 100))
        return f"{say_decimal(meters, 2)} m" if meters else "nothing"
    yards = length / YARD
    if yards.denominator not in (1, 2, 3, 4, 8, 16):
        yards = round_usable_down(yards, SIXTEENTH)
    return f"{say_number(yards)} yd" if yards else "nothing"


def as_json_number(length: Length, unit: Unit) -> float:
    """Return a length as a plain number in ``unit``, right to better than 1e-9."""
    return float(length / unit.length)

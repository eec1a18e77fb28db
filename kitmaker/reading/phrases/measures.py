"""Measures and sizes: ``2½"``, ``2½" × 4½"``, ``3½" × WOF``, ``4" wide by 39" long``."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from kitmaker.lengths import Length
from kitmaker.reading.words.tokens import Kind, Words

_TWO_UNITS_AGREE = Fraction(6, 100)
"""A measure in two systems is one where they differ by less. No source."""
_INCH_UNITS = (Fraction(1), Fraction(36))


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: the place behind it, its number, the inches of its unit, wide or long."""

    end: int
    number: Fraction
    unit: Fraction | None
    span: str


class Size(NamedTuple):
    """One or two measures."""

    end: int  # the place behind it
    measures: tuple[Length, ...]  # in inches
    across: bool = False  # whether the width of fabric is its other measure
    along: bool = False  # whether the length of fabric is
    # whether the first is whole and without a unit, so that it may be a count
    is_bare: bool = False


def measure_at(words: Words, place: int) -> Measure | None:
    """Return the measure that begins at a place, in one system or twice in two."""
    token = words.at(place)
    if token.kind is not Kind.NUM or token.value is None:
        return None
    end, unit = place + 1, None
    if words.kind(end) is Kind.UNIT:
        unit = words.at(end).value
        end = _behind_other_system(words, end + 1, token.value * (unit or 1), unit)
    if words.kind(end) is Kind.DASH and words.kind(end + 1) is Kind.WIDE:
        end += 1
    span = ""
    if words.kind(end) is Kind.WIDE:
        span, end = words.word(end), end + 1
    elif words.kinds(end, end + 3) == (Kind.OPENING, Kind.OPEN, Kind.CLOSING):
        end += 3 * (words.word(end + 1) in ("w", "h", "l"))
    return Measure(end, token.value, unit, span)


def _behind_other_system(words: Words, end: int, inches: Length, unit: Length | None) -> int:
    """Return the place behind the same measure in centimeters or inches."""
    opens = words.kind(end)
    other = words.at(end + 1).value
    other_unit = words.at(end + 2).value if words.kind(end + 2) is Kind.UNIT else None
    if opens not in (Kind.OPENING, Kind.SLASH) or other is None or other_unit is None:
        return end
    if opens is Kind.OPENING and words.kind(end + 3) is not Kind.CLOSING:
        return end
    if (unit in _INCH_UNITS) == (other_unit in _INCH_UNITS):
        return end
    is_same = abs(inches - other * other_unit) <= _TWO_UNITS_AGREE * inches
    return end + (4 if opens is Kind.OPENING else 3) * is_same


def behind_times(words: Words, place: int) -> int | None:
    """Return the place behind a ×; None where none stands."""
    if words.kind(place) is Kind.TIMES:
        return place + 1
    if words.kind(place) is Kind.DASH and words.word(place + 1) == "by":
        return place + 2 + (words.kind(place + 2) is Kind.DASH)
    return None


def sizes_at(words: Words, place: int, unit: Length) -> tuple[Size, ...]:
    """Return every size that may begin at a place.

    A bare number is in so many inches as ``unit`` says.
    """
    found: list[Size] = []
    kind = words.kind(place)
    if kind in (Kind.WOF, Kind.LOF) and (behind := behind_times(words, place + 1)) is not None:
        other = measure_at(words, behind)
        if other is not None:
            inches = (other.number * (other.unit or unit),)
            is_across = kind is Kind.WOF
            found.append(Size(other.end, inches, across=is_across, along=not is_across))
    first = measure_at(words, place)
    if first is not None:
        found.extend(_from_first(words, first, unit))
    return tuple(found)


def _from_first(words: Words, first: Measure, unit: Length) -> list[Size]:
    behind = behind_times(words, first.end)
    is_listed = words.kind(first.end) in (Kind.COMMA, Kind.AND)
    if behind is None and first.span and is_listed:
        other = measure_at(words, first.end + 1)
        behind = first.end + 1 if other is not None and other.span else None
    alone = Size(first.end, (first.number * (first.unit or unit),), is_bare=first.unit is None)
    says_size = first.unit is not None or first.number.denominator > 1 or first.span != ""
    if behind is None:
        return [alone] if says_size else []
    place = words.behind("DET*", behind)
    kind = words.kind(place)
    if kind in (Kind.WOF, Kind.LOF):
        across = kind is Kind.WOF
        return [Size(place + 1, alone.measures, across=across, along=not across)]
    other = measure_at(words, place)
    if other is not None and other.unit is None and words.fits("WOF|OF", other.end):
        other = None  # ½ WOF, ⅓ of the width
    if other is None:
        return [alone] if says_size else []
    a = first.number * (first.unit or other.unit or unit)
    b = other.number * (other.unit or first.unit or unit)
    if first.span == "long" and other.span == "wide":
        a, b = b, a
    is_bare = first.unit is None and other.unit is not None and first.number.denominator == 1
    found = [Size(other.end, (a, b), is_bare=is_bare)]
    if first.unit is not None and words.is_count(place):
        found.append(Size(first.end, alone.measures))  # 2½" x 7: seven of 2½"
    return found

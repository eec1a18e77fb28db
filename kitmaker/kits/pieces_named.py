"""What a piece on the shelf is called, so that the one who fetches it takes the right one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitmaker.lengths import YARD, Length, Unit, say_bolt_left, say_usable
from kitmaker.shop import StockRow, Stretch

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def name_rows(rows: Sequence[StockRow], unit: Unit) -> list[str]:
    """Return a name for each row of a SKU: ``5½ yd piece``, ``pile of 30``; no two alike."""
    names = [_name(row, unit) for row in rows]
    full = [(name, row.dye_lot) for name, row in zip(names, rows, strict=True)]
    often, seen = Counter(full), Counter[tuple[str, str | None]]()
    said = []
    for one in full:
        at = seen[one]
        seen[one] += 1
        ordinal = _ORDINALS[at] if at < len(_ORDINALS) else f"{at + 1}th"
        said.append(f"{ordinal} {one[0]}" if often[one] > 1 else one[0])
    return said


def _name(row: StockRow, unit: Unit) -> str:
    measured = row.measured
    if row.form is not None:
        if measured is None or row.usable_width is None:
            return f"pile of {row.count}"
        size = f"{say_usable(row.usable_width, unit)} × {say_usable(measured.length, unit)}"
        return f"{row.count} that measure {size} {unit.value}"
    if measured is None:
        return f"{say_bolt_left(row.length or Fraction(0), unit)} piece"
    return f"{_say(measured.length, unit)} piece{_say_stretch(measured, unit)}"


def _say_stretch(measured: Stretch, unit: Unit) -> str:
    start, end = measured.clear
    before = [at for at in measured.flaws if at <= start]
    after = [at for at in measured.flaws if at >= end]
    if before and after:
        return f", between the flaws at {_say(before[-1], unit)} and {_say(after[0], unit)}"
    if before:
        return f", after the flaw at {_say(before[-1], unit)}"
    return f", before the flaw at {_say(after[0], unit)}" if after else ""


def _say(length: Length, unit: Unit) -> str:
    """Say a measured length as it is looked up on the cloth: in yards where they say it."""
    if unit is Unit.INCH and length >= 36 and (length / YARD).denominator in (1, 2, 4, 8, 16):
        return say_bolt_left(length, unit)
    return f"{say_usable(length, unit)} {unit.value}"


def say_flaws(rows: Sequence[StockRow], unit: Unit) -> Iterator[str]:
    """Yield, for each measured piece with flaws, where they are and what is to be done."""
    seen = dict.fromkeys(
        (row.where, row.measured.length, row.measured.flaws, row.form)
        for row in rows
        if row.measured is not None and row.measured.flaws
    )
    for _, length, flaws, form in seen:
        places = " and ".join(_say(at, unit) for at in flaws)
        what = "each of the pieces that measure" if form else "the piece of"
        yield (
            f"Flaw at {places} from the start of {what} {_say(length, unit)}: cut it out, "
            f"{'an inch' if unit is Unit.INCH else '2½ cm'} on either side."
        )

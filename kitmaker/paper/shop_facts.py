"""The shop's own figures as its workbook states them, so that reading them gives the same shop.

Only what differs from a shop that states nothing is written, lengths with their unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from kitmaker.lengths import (
    CENTIMETER,
    METER,
    YARD,
    Length,
    LengthError,
    Unit,
    parse_length,
    round_usable_down,
    say_decimal,
    say_plain,
)
from kitmaker.shop import Shop

Fact: TypeAlias = tuple[str | int | Decimal | None, ...]

_LABEL_SHEET_SIZES = {
    "Label width": "width",
    "Label height": "height",
    "Left margin": "left",
    "Top margin": "top",
    "Pitch across": "pitch_across",
    "Pitch down": "pitch_down",
}
LABEL_SHEET_COLUMNS = ("Label sheet", "Paper", "Columns", "Rows", *_LABEL_SHEET_SIZES)


def shop_facts(shop: Shop) -> Iterator[Fact]:
    """Yield (label, value) of what the shop states, its forms, stock and label sheets apart."""
    usual = Shop()
    yield "Unit", shop.unit.value
    for (label, value), (_, default) in zip(_facts(shop), _facts(usual), strict=True):
        if value != default and value is not None:
            yield label, value


def _facts(shop: Shop) -> Iterator[tuple[str, str | int | Decimal | None]]:
    unit = shop.unit
    right, down = shop.label_offset
    shorter, longer = (say_exact(side, unit) for side in shop.smallest_offcut)
    yield "Name", shop.name
    yield "Address", shop.address
    yield "Phone", shop.phone
    yield "Email", shop.email
    yield "Usable width", None if shop.usable_width is None else say_exact(shop.usable_width, unit)
    yield "Straighten", say_exact(shop.straighten, unit)
    yield "Re-square", say_exact(shop.re_square, unit)
    yield "Re-square every", shop.re_square_every
    yield "Layers per cut", shop.layers_per_cut
    step = shop.round_yardage_up_to
    yield "Round yardage up to", None if step is None else say_exact(step, unit, by_the_yard=True)
    yield "Ease", _say_ease(shop)
    yield "Ruler length", say_exact(shop.ruler_length, unit)
    yield "Ruler width", say_exact(shop.ruler_width, unit)
    yield "Markup", None if shop.markup is None else shop.markup.as_written
    yield "Labor per hour", shop.labor_per_hour
    yield "Kit fee", shop.kit_fee
    yield "Label sheet", shop.label_sheet
    across = f"{say_decimal(abs(right), 6)} mm {'left' if right < 0 else 'right'}"
    yield "Label offset", f"{across}, {say_decimal(abs(down), 6)} mm {'up' if down < 0 else 'down'}"
    yield "Smallest offcut", f"{shorter} x {longer}"
    yield "Smallest length back", say_exact(shop.smallest_length_back, unit, by_the_yard=True)
    yield "Currency", shop.currency
    yield "Seconds per cut", shop.seconds_per_cut
    yield "Seconds per setting", shop.seconds_per_setting
    yield "Seconds per pull", shop.seconds_per_pull


def _say_ease(shop: Shop) -> str:
    if shop.ease.length is not None:
        return say_exact(shop.ease.length, shop.unit, by_the_yard=True)
    return f"{say_decimal(shop.ease.share * 100, 4)} %"


def label_sheet_rows(shop: Shop) -> Iterator[Fact]:
    """Yield the label sheets by the shop's own measures, under ``LABEL_SHEET_COLUMNS``."""
    for sheet in shop.own_label_sheets:
        sizes = (f"{say_plain(getattr(sheet, size))} mm" for size in _LABEL_SHEET_SIZES.values())
        yield sheet.sheet_id, sheet.paper, sheet.columns, sheet.rows, *sizes


def say_exact(length: Length, unit: Unit, *, by_the_yard: bool = False) -> str:
    """Say a length with its unit so that reading it gives the same length back.

    Where no unit says it exactly it is rounded down to a 64th of an inch.
    """
    yards = ((YARD, "yd"), (Fraction(1), "in"))
    meters = ((METER, "m"), (CENTIMETER, "cm"))
    ways: tuple[tuple[Fraction, str], ...] = (*meters, *yards)
    if unit is not Unit.CENTIMETER:
        ways = (*yards, *meters)
    if not by_the_yard:
        ways = tuple(way for way in ways if way[1] in ("in", "cm"))
    for size, word in ways:
        if _says(length, size, word):
            return f"{say_plain(length / size)} {word}"
    return f"{say_plain(round_usable_down(length, Fraction(1, 64)))} in"


def say_all_exact(lengths: Sequence[Length], unit: Unit) -> list[str]:
    """Say lengths off the bolt in one unit: yards (meters) where those say all of them exactly.

    Else they are said in inches (centimeters), as they are measured; see :func:`say_exact`.
    """
    size, word = (METER, "m") if unit is Unit.CENTIMETER else (YARD, "yd")
    if all(_says(length, size, word) for length in lengths):
        return [f"{say_plain(length / size)} {word}" for length in lengths]
    return [say_exact(length, unit) for length in lengths]


def _says(length: Length, size: Length, word: str) -> bool:
    """Whether a number of units, as it is typed, is read as the same length again."""
    try:
        return parse_length(f"{say_plain(length / size)} {word}") == length
    except LengthError:
        return False

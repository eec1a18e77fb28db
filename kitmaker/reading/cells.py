"""What a cell means: a length, a count, a text, a sum of money.

Each reader takes a cell and a list that it adds problems to, and returns None when the
cell is blank or cannot be read for sure. Whether blank is allowed is the caller's to say
(:func:`require`). A number is read as stored, never as shown; where the two differ, the
person is told.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from kitmaker.errors import Problem, Problems, error
from kitmaker.lengths import (
    Length,
    LengthError,
    Unit,
    clean_text,
    parse_length,
    parse_number,
    say_decimal,
    say_number,
    say_plain,
)
from kitmaker.reading.grid import Cell, CellKind

MOST_PIECES = 50_000
"""A count beyond this is a slip of the keyboard. Our own bound, no source."""

TWO_UNITS_MAY_DIFFER = Fraction(1, 2)
"""Inches by which one size given in two units may differ."""

_CALCULATE = "Open the file in the spreadsheet program, let it calculate, and save it again."
_AS_TEXT = "Format the cell as text and type it again, or type a zero first"


def tidy_text(text: str) -> str:
    """Return a text with its odd characters made plain and its spaces single, lines kept."""
    lines = clean_text(text.replace("\r\n", "\n")).split("\n")
    return "\n".join(" ".join(line.split()) for line in lines).strip()


def plain_spaces(text: str) -> str:
    """Return a text as typed, but without invisible signs and doubled spaces, on one line."""
    visible = re.sub("[\u200b\u200c\u200d\u2060\ufeff\u00ad]", "", text)
    return " ".join(visible.split())


def read_text(cell: Cell, problems: Problems | None = None) -> str:
    """Return what stands in a cell as one line of text; "" when blank.

    A number under a format of zeros keeps them (7 under ``000`` is ``007``). A formula
    without a stored value and an error value are problems when a list is given.
    """
    if cell.kind is CellKind.NUMBER and cell.number is not None:
        zeros = re.fullmatch(r"0{2,}", cell.number_format)
        if zeros and cell.number.denominator == 1:
            return f"{int(cell.number):0{len(cell.number_format)}d}"
        if cell.number.denominator == 1:
            if problems is not None and abs(cell.number) >= 10**15:
                problems.warn(
                    f"{int(cell.number)} has more digits than a spreadsheet keeps; "
                    "the last ones are lost",
                    cell.location,
                    "Format the cell as text and type the number again.",
                )
            return str(int(cell.number))
        return say_plain(cell.number)
    if cell.kind is CellKind.DATE:
        return _say_moment(cell)
    if cell.kind in (CellKind.ERROR, CellKind.UNCALCULATED):
        if problems is not None:
            problems.append(_unreadable_kind(cell, "text"))
        return ""
    return plain_spaces(cell.text)


def _say_moment(cell: Cell) -> str:
    moment = cell.moment
    if isinstance(moment, datetime) and moment.time() == datetime.min.time():
        return moment.date().isoformat()
    return str(moment)


def require(cell: Cell, what: str, problems: Problems, suggestion: str = "") -> bool:
    """Add a problem when a cell is blank; return whether it is filled."""
    if cell.is_blank:
        problems.refuse(f"there is no {what} here", cell.location, suggestion)
        return False
    return True


def read_number(cell: Cell, problems: Problems, *, what: str = "number") -> Fraction | None:
    """Return the plain number in a cell, zero and negative numbers included."""
    if cell.is_blank:
        return None
    if cell.kind is CellKind.NUMBER and cell.number is not None:
        return cell.number
    if cell.kind is not CellKind.TEXT:
        problems.append(_unreadable_kind(cell, what))
        return None
    text = _localized(cell)
    sign = -1 if text.startswith("-") else 1
    try:
        return sign * parse_number(_without_thousands(text.removeprefix("-").strip()))
    except LengthError as fault:
        problems.append(_not_read(cell, what, fault))
        return None


def read_count(cell: Cell, problems: Problems, *, what: str = "quantity") -> int | None:
    """Return the whole number of at least 1 in a cell: ``5``, ``(5)``, ``5 -``."""
    if cell.is_blank:
        return None
    if cell.kind is CellKind.TEXT:
        text = _localized(cell)
        match = re.fullmatch(
            r"[x×]?\s*\(?\s*(\d[\d,]*)\s*\)?\s*(?:[x×]|-+|pcs?\.?|pieces?)?", text, re.IGNORECASE
        )
        number = _plain_number(match[1]) if match is not None else None
    elif (number := read_number(cell, problems, what=what)) is None:
        return None
    is_count = number is not None and number.denominator == 1 and 1 <= number <= MOST_PIECES
    if number is None or not is_count or "%" in cell.number_format:
        problems.refuse(
            f"the {what} '{plain_spaces(cell.text)}' is not a whole number of 1 or more",
            cell.location,
            "Type a whole number such as 4.",
        )
        return None
    return int(number)


def read_length(
    cell: Cell, unit: Unit | Length, problems: Problems, *, what: str = "length"
) -> Length | None:
    """Return the length in a cell, in inches.

    A bare number is in the unit, or in so many inches; ``what`` is its name in messages.
    """
    if cell.is_blank:
        return None
    factor = unit.length if isinstance(unit, Unit) else unit
    if cell.kind is CellKind.NUMBER and cell.number is not None:
        if "%" in cell.number_format:
            problems.refuse(f"the {what} is a percentage", cell.location, "Type a length.")
            return None
        _warn_when_shown_otherwise(cell, what, problems)
        return cell.number * factor
    if cell.kind is not CellKind.TEXT:
        problems.append(_unreadable_kind(cell, what))
        return None
    try:
        return length_from_text(_localized(cell), unit)
    except LengthError as fault:
        problems.append(_not_read(cell, what, fault))
        return None


BY = re.compile(r"\s*(?:×|\bx\b|(?<=[\d\"])x(?=[\s\d])|\*|\bby\b)\s*", re.IGNORECASE)
"""What stands between the two measures of a size."""

_TWICE = re.compile(r"(?P<one>[^()]*\d[^()]*)\(\s*(?P<other>[^()]*\d[^()]*)\)")


def length_from_text(text: str, unit: Unit | Length = Unit.INCH) -> Length:
    """Read a length that may stand there in two units: ``2½ in (6.4 cm)``.

    Raises:
        LengthError: It is no length, or the two differ by more than half an inch.
    """
    match = _TWICE.fullmatch(text.strip())
    if match is None:
        return parse_length(text, unit)
    one = parse_length(match["one"].strip(), unit)
    other = parse_length(match["other"].strip(), unit)
    if abs(one - other) > TWO_UNITS_MAY_DIFFER:
        raise LengthError(
            f"'{text}' gives two sizes that differ: {say_number(one)} in and "
            f"{say_decimal(other, 2)} in",
            "Type the one that is right.",
        )
    return one


def pair_from_text(text: str, unit: Unit) -> tuple[Length, Length] | None:
    """Return the two measures of ``54 x 66 in``, inches; None for anything else."""
    parts = BY.split(text.strip())
    if len(parts) != 2:
        return None
    behind = re.search(r"(?:in|inch|inches|cm|[\"″”])[.]?$", parts[1])
    first = parts[0] if behind is None or behind[0] in parts[0] else f"{parts[0]} {behind[0]}"
    try:
        return parse_length(first, unit), parse_length(parts[1], unit)
    except LengthError:
        return None


_SUM_OF_MONEY = re.compile(
    # A single letter behind is no currency but a slip: 1O is not 10.
    r"(?:[^\w\s.,()%+-]{1,3}|[A-Za-z]{1,4}[.]?)?[$£€]?\s*(?P<number>\d[\d.,]*|[.]\d+)"
    r"\s*(?:[^\w\s.,()%+-]{1,3}|[A-Za-z]{2,4}[.]?|,-)?"
)


def read_money(cell: Cell, problems: Problems, *, what: str = "amount") -> Decimal | None:
    """Return the sum of money in a cell, 0 or more: ``12.99``, ``$12.99``, ``1,200``."""
    if cell.is_blank:
        return None
    number: Fraction | None
    if cell.kind is CellKind.TEXT:
        match = _SUM_OF_MONEY.fullmatch(_localized(cell))
        number = _plain_number(match["number"]) if match is not None else None
    else:
        before = len(problems)
        number = read_number(cell, problems, what=what)
        if len(problems) > before:
            return None
    if number is None or number < 0 or "%" in cell.number_format:
        problems.refuse(
            f"the {what} '{plain_spaces(cell.text)}' is not a sum of money",
            cell.location,
            "Type a number such as 12.99.",
        )
        return None
    return Decimal(number.numerator) / Decimal(number.denominator)


def _plain_number(text: str) -> Fraction | None:
    plain = _without_thousands(text)
    return Fraction(plain) if re.fullmatch(r"\d{1,30}([.]\d{1,30})?", plain) else None


def _without_thousands(text: str) -> str:
    """Take the commas out of ``1,200`` and ``12,345,678.50``; leave anything else."""
    if re.fullmatch(r"\d{1,3}(,\d{3})+([.]\d+)?", text):
        return text.replace(",", "")
    return text


def _localized(cell: Cell) -> str:
    """Return a cell's text on one line, ``1.234,5`` of a decimal-comma file as ``1234.5``."""
    text = " ".join(tidy_text(cell.text).split())
    if cell.decimal_comma:
        text = re.sub(
            r"(?<![\d.,])(\d{1,3}(?:[.]\d{3})+|\d+),(\d+)(?![\d.,])",
            lambda match: f"{match.group(1).replace('.', '')}.{match.group(2)}",
            text,
        )
    return text


def _not_read(cell: Cell, what: str, fault: LengthError) -> Problem:
    return error(f"the {what} cannot be read: {fault}", cell.location, fault.suggestion)


def _unreadable_kind(cell: Cell, what: str) -> Problem:
    match cell.kind:
        case CellKind.UNCALCULATED:
            said, instead = "the formula here has no stored value", _CALCULATE
        case CellKind.DATE:
            return _became_a_date(cell, what)
        case CellKind.BOOL:
            said, instead = f"{cell.text} is not a {what}", f"Type the {what} as a number."
        case CellKind.ERROR:
            said = f"the spreadsheet shows the error {cell.text} here"
            instead = f"Type the {what} itself."
        case _:
            said, instead = f"'{cell.text}' is not a {what}", f"Type the {what} as a number."
    return error(said, cell.location, instead)


def _became_a_date(cell: Cell, what: str) -> Problem:
    """Say which fraction a date probably was; which part came first is not to be known."""
    moment = cell.moment
    if not isinstance(moment, date):
        return error(
            f"the {what} is a time of day ({cell.text})", cell.location, f"{_AS_TEXT}: 0 1/2."
        )
    shown = cell.number_format.casefold()
    day = "d" in re.sub(r"\[.*?\]|\".*?\"", "", shown)
    if not day and "y" in shown:
        typed = f"{moment.month}/{moment.year % 100}"
        text = f"'{typed}'"
    else:
        typed = f"{moment.month}/{moment.day}"
        text = f"'{typed}' (or '{moment.day}/{moment.month}' where the day comes first)"
    return error(
        f"the {what} became the date {moment:%Y-%m-%d}: the spreadsheet made it of {text}",
        cell.location,
        f"{_AS_TEXT}: 0 {typed}.",
    )


def _warn_when_shown_otherwise(cell: Cell, what: str, problems: Problems) -> None:
    shown = _as_shown(cell)
    if shown is not None and cell.number is not None and abs(shown - cell.number) > _UNSEEN:
        problems.warn(
            f"the {what} is {say_decimal(cell.number, 4)}, but the sheet shows "
            f"{say_plain(shown)}; {say_decimal(cell.number, 4)} is used",
            cell.location,
            f"Type {say_plain(shown)} if that is meant.",
        )


_UNSEEN = Fraction(1, 1000)


def _as_shown(cell: Cell) -> Fraction | None:
    """Return the number as its format shows it, for fraction and decimal formats."""
    shown = cell.number_format.split(";")[0]
    if cell.number is None:
        return None
    if match := re.fullmatch(r"#*\s*\?+/(\?+|\d+)", shown.strip()):
        bottom = match.group(1)
        if bottom.isdigit():
            return Fraction(round(cell.number * int(bottom)), int(bottom))
        return _last_convergent(cell.number, 10 ** len(bottom) - 1)
    if match := re.fullmatch(r"0(?:[.](0))?", shown):
        step = 10 if match.group(1) else 1
        return Fraction(round(cell.number * step), step)
    return None


def _last_convergent(number: Fraction, largest_bottom: int) -> Fraction:
    """Return what a spreadsheet shows for a number under ``?/?``.

    It takes the last convergent of the continued fraction whose bottom has no more digits
    than the format, which is not always the nearest such fraction: 2.53 shows as 2 1/2.
    Source: seen in spreadsheets, from memory.
    """
    rest = number
    before, last = (0, 1), (1, 0)
    while True:
        whole = rest.numerator // rest.denominator
        before, last = last, (whole * last[0] + before[0], whole * last[1] + before[1])
        if last[1] > largest_bottom:
            return Fraction(*before)
        if rest == whole:
            return Fraction(*last)
        rest = 1 / (rest - whole)

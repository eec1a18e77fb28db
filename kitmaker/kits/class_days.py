"""The day of a class, read from its workbook's Date: ``March 13, 2027``, ``2027-03-13``.

Of several days the first counts. What could be two days is asked about: 3/4/2027 is the third
of April to some.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from kitmaker.errors import NotSureError

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_MONTH = r"(?P<month>[A-Za-z]{3,9})\.?"
_DAY = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_SHAPES = (
    re.compile(r"\b(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})\b", re.ASCII),
    re.compile(rf"\b{_MONTH} {_DAY}\b(?=[^0-9]).*?\b(?P<year>\d{{4}})\b", re.ASCII),
    re.compile(rf"\b{_DAY}\.? {_MONTH},? (?P<year>\d{{4}})\b", re.ASCII),
)
_IN_NUMBERS = re.compile(r"\b(?P<one>\d{1,2})/(?P<other>\d{1,2})/(?P<year>\d{4})\b", re.ASCII)


class DayError(NotSureError):
    """A text is no day that can be read for sure."""


def parse_day(text: str) -> str:
    """Return the first day that a text names, such as ``2027-03-13``.

    Raises:
        DayError: It names none, none that there is, or one that could be another.
    """
    days = sorted({day.isoformat() for day in _days(text)})
    if len(days) == 1:
        return days[0]
    if days:
        raise DayError(
            f"the date '{text}' could be {' or '.join(days)}", "Type the one that is meant."
        )
    raise DayError(f"the date '{text}' is not a day that can be read", "Type it as 2027-03-13.")


def _days(text: str) -> Iterator[date]:
    """Yield each day that the first date of a text can be."""
    for shape in _SHAPES:
        for match in shape.finditer(text):
            month = _month(match["month"])
            if month:
                yield from _day(int(match["year"]), month, int(match["day"]))
                return
    if (numbers := _IN_NUMBERS.search(text)) is not None:
        year, one, other = (int(numbers[name]) for name in ("year", "one", "other"))
        yield from _day(year, one, other)
        yield from _day(year, other, one)


def _month(word: str) -> int:
    if word.isdigit():
        return int(word)
    found = [at for at, name in enumerate(_MONTHS, start=1) if name.startswith(word.casefold())]
    return found[0] if len(found) == 1 else 0


def _day(year: int, month: int, day: int) -> Iterator[date]:
    try:
        yield date(year, month, day)
    except ValueError:
        return

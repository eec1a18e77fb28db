"""``From 3 strips 4½" cut 24 squares 4½"``: all 24 from the three, or 24 from each?

All, where one alone could not give them; each, where the words say so; else it is asked.
"""

from __future__ import annotations

import re

from kitmaker.lengths import Length, Unit
from kitmaker.reading.phrases.model import NARROWEST_WHOLE_WIDTH
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length

_COUNT = r"[(‹]?\s*(?P<{name}>\d+)(?!\d)\s*[)›]?\s*(?:--\s*|-\s*)?"
_SECOND = r"(?:\s*(?:x|×|by)\s*(?:(?P<{b}>{number})\s*(?P<{b}u>{unit})?{more}))?"
_LARGE = (
    rf"(?P<a>{NUMBER})\s*(?P<au>{UNIT})?"
    + _SECOND.format(b="b", number=NUMBER, unit=UNIT, more=r"|(?P<wof>wof|width\s+of\s+fabric)")
    + r"\s*(?:[a-z]+\s+)??(?P<noun>squares?|strips?|rectangles?)(?:\s+(?:x\s+)?wof)?"
)
_SMALL = (
    rf"(?P<c>{NUMBER})\s*(?P<cu>{UNIT})?"
    + _SECOND.format(b="d", number=NUMBER, unit=UNIT, more="")
    + r"\s*(?:squares?|rectangles?|pieces?|strips?)\b"
)
_FROM_COUNTED = re.compile(
    rf"^(?:cut\s+)?from\s+(?:the\s+)?{_COUNT.format(name='cloths')}{_LARGE}\s*,?\s*(?:sub-?\s?)?cut\s*:?\s*"
    rf"{_COUNT.format(name='number')}(?P<what>{_SMALL}(?P<tail>[^\d]*))$",
    re.IGNORECASE,
)
_EACH = re.compile(r",?\s*\b(?:from\s+)?(?:each|every)\b(?:\s+one)?", re.IGNORECASE)
_IN_ALL = re.compile(r",?\s*\b(?:in\s+all|total|altogether)\b", re.IGNORECASE)


def all_of_counted(text: str) -> str:
    """Return ``From 3 strips 4½" cut 24 squares`` with the number of all pieces in front.

    Raises:
        UnsureError: It is one of these, and has two honest meanings.
    """
    found = _FROM_COUNTED.match(text)
    if found is None:
        return text
    cloths, number = int(found["cloths"]), int(found["number"])
    held = _held(found)
    if _EACH.search(found["tail"]):
        return f"({cloths * number}) {_EACH.sub('', found['what'])}"
    if number > cloths * held:
        raise UnsureError(f"{cloths} of that size do not give {number}", "Type the right count.")
    if number > held or _IN_ALL.search(found["tail"]):
        return f"({number}) {_IN_ALL.sub('', found['what'])}"
    raise UnsureError(
        f"whether {number} are cut from each of the {cloths} or from all together is not said",
        f"Type the total: ({cloths * number}) or ({number}).",
    )


def _held(found: re.Match[str]) -> int:
    """Return how many pieces one of the large ones gives."""
    large = _measures(found, "a", "b")
    is_strip = found["noun"].casefold().startswith("strip")
    if found["wof"] or (is_strip and not found["b"]):
        large = (large[0], NARROWEST_WHOLE_WIDTH)
    one, other = _measures(found, "c", "d")
    return max((large[0] // a) * (large[1] // b) for a, b in ((one, other), (other, one)))


def _measures(found: re.Match[str], first: str, second: str) -> tuple[Length, Length]:
    unit = found[f"{first}u"] or found[f"{second}u"]
    one = to_length(found[first], unit, Unit.INCH)
    if found[second] is None:
        return one, one
    return one, to_length(found[second], found[f"{second}u"] or unit, Unit.INCH)

"""Ready-cut squares that one sentence chooses and the next cuts up.

``Select 30 of the 10-inch squares.`` are 30 squares, used whole, until ``From each of the 30
selected squares, cut:`` says that it is they that are cut: then they are no pieces themselves.
"""

from __future__ import annotations

import re

from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.manners import PARTED, Blocks
from kitmaker.reading.phrases.plain import UnsureError
from kitmaker.reading.phrases.turns import parts_of

_CUT_CHOSEN = re.compile(
    r"^(?:then\s+)?(?:sub-?\s?)?cut\s+(?:each|every)(?:\s+(?:1|one))?(?:\s+of\s+(?:these|those|them|the))?(?:\s+(?:selected|chosen))?"
    rf"(?:\s+squares?|\s+strips?|\s+pieces?)?\s+(?:into|{PARTED})\s+",
    re.IGNORECASE,
)
_IN_TOTAL = re.compile(r"^a\s+total\s+of\s+|\s+that\s+measure\b|,?\s+from\s+each\b", re.IGNORECASE)
_FROM_CHOSEN = re.compile(
    r"^(?:cut\s+)?from\s+(?:each|every)(?:\s+of)?(?:\s+(?:the|these|those|your)(?:\s+(?P<count>\d+))?)?"
    r"(?P<named>\s+(?:selected|chosen|picked))?\s+squares?\b",
    re.IGNORECASE,
)


def take_up_chosen(signs: str, bench: Bench) -> tuple[str, Blocks | None]:
    """Cut up the ready-cut squares that the sentence before chose, and only those.

    Args:
        signs: The sentence in plain signs.
        bench: What lies on the table.

    Raises:
        UnsureError: The number it says it makes is not that of the squares that were chosen.
    """
    found = _CUT_CHOSEN.match(signs)
    if found is None or not bench.chosen:
        return signs, None
    number, parts = bench.chosen, parts_of(found.group(0))
    what = _IN_TOTAL.sub("", signs[found.end() :])
    made = re.match(r"[(]?(\d+)\b", what)
    is_all = made is not None and parts > 0 and int(made[1]) == number * parts
    if made is not None and parts > 0 and int(made[1]) not in (parts, number * parts):
        raise UnsureError(
            f"{number} squares cut in {parts} parts make {number * parts}",
            "Type the total of what is cut.",
        )
    bench.cuts.pop()
    bench.clear()
    return f"cut {what}", None if is_all else Blocks(number)


def from_chosen(signs: str, bench: Bench) -> str:
    """Return ``From each selected square, cut:`` with the number that was chosen.

    Args:
        signs: The sentence in plain signs.
        bench: What lies on the table.

    Raises:
        UnsureError: Squares were chosen more than once, and it does not say which are cut up.
    """
    number, found = bench.chosen, _FROM_CHOSEN.match(signs)
    if not number or not found or not (found["named"] or found["count"] == str(number)):
        return signs
    whole = [cut for cut in bench.cuts if cut.width == cut.length == bench.cuts[-1].width]
    if found["count"] is None and len(whole) > 1:
        raise UnsureError(
            "which of the squares chosen above are cut up is not said", "Type how many they are."
        )
    bench.cuts.pop()
    bench.clear()
    return f"from each of {number} squares{signs[found.end() :]}"

"""What became of every number and every word of quantity in a sentence.

A rule that takes words out of a sentence says what their numbers mean, and what each word
of quantity in them does. What no rule has accounted for at the end might change a size or a
count, so the sentence is asked about: nothing is left out because nobody looked at it.

    From half of the 6 strips cut 33 squares 3½"
         ^^^^        ^
         |           restated: 6 strips lie at hand
         nobody's: what the half is of is not read
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from kitmaker.lengths import Length
from kitmaker.reading.phrases.elements import LABELED
from kitmaker.reading.phrases.plain import NUMBER, UnsureError, read_number

QUANTITY = frozenset(
    {
        *("each", "every", "ea", "both", "half", "halves", "third", "thirds", "double", "twice"),
        *(
            "triple",
            "pair",
            "pairs",
            "pr",
            "prs",
            "dozen",
            "doz",
            "another",
            "additional",
            "extra",
            "more",
            "other",
        ),
        *("others", "remaining", "rest", "remainder", "several", "few", "many", "some", "same"),
        *("but", "except", "less", "minus", "plus", "spare", "spares", "without", "also"),
        *("again", "repeat", "per", "times", "either", "or"),
    }
)
"""Words that may change how many are cut, or say of which."""

OF_EACH = "each every ea per"
"""The words that a rule reads which multiplies."""
OF_THE_REST = "remaining rest remainder other others"
"""The words that a rule reads which goes on with what is left."""

_MARK = re.compile(r"§\d§")
_UNITS = re.compile(r"\bhalf[\s-]+(?:square|rectangle|yard)", re.IGNORECASE)
_LIST = re.compile(r"\d\s*(?:&|and|,|or)\s*\d", re.IGNORECASE)
_NAME = re.compile(r"\b\d+(?:st|nd|rd|th)\b|\b[A-Za-z]{1,2}-?\d{1,2}\b(?!\s*/)")
_TOKEN = re.compile(rf"(?P<number>{NUMBER})|(?P<word>[A-Za-z]+)")


class Account:
    """The numbers and words of quantity of a sentence that no rule has accounted for yet."""

    def __init__(self, text: str) -> None:
        """Open the account of a sentence in plain signs."""
        self._open = _entries(text)

    def spend(self, *texts: str | int | None) -> None:
        """Take off what a rule has read."""
        for text in texts:
            if text is not None:
                self._open.subtract(_entries(str(text)))

    def spend_all(self, words: str) -> None:
        """Take off words of quantity wherever they stand."""
        for word in words.split():
            self._open[word] = 0

    def close(self, known: Iterable[Length]) -> None:
        """Ask about what is left; a number that is known already says nothing new.

        Args:
            known: Widths and counts of what lies at hand.

        Raises:
            UnsureError: A number or a word has no part to play.
        """
        repeats = set(known)
        for entry, number in self._open.items():
            if number <= 0 or entry in repeats:
                continue
            if isinstance(entry, str):
                raise UnsureError(
                    f"what '{entry}' does to the count is not said for sure",
                    "Type each cut with its total.",
                )
            raise UnsureError(
                f"the number {entry} has no sure part to play", "Type count, size and what it is."
            )


def _entries(text: str) -> Counter[str | Length]:
    """Return the numbers and the words of quantity of a text; names of things are none."""
    text = _UNITS.sub(" ", _MARK.sub(" ", text.rstrip(" .")))
    text = _NAME.sub(" ", LABELED.sub(_without_one, text))
    found: Counter[str | Length] = Counter()
    for match in _TOKEN.finditer(text):
        if match["number"] is not None:
            found[read_number(match["number"])] += 1
        elif match["word"].casefold() in QUANTITY:
            found[match["word"].casefold()] += 1
    return found


def _without_one(found: re.Match[str]) -> str:
    """Leave out ``block 2``; keep the numbers of ``prints 1, 2 and 3``, which may multiply."""
    return found.group(0) if _LIST.search(found.group(0)) else " "

"""What a pattern says of sewing strips end to end: in its words, and under Join."""

from __future__ import annotations

import re

from kitmaker.reading.finishing_sheet import YES_OR_NO

_JOINED = re.compile(r"\bjoin(?:ed|ing|s)?\b|\bend[\s-]+to[\s-]+end\b", re.IGNORECASE)
_OTHERWISE = re.compile(
    r"\b(?:not|never|without|no)\b[^.;]*\bjoin|\bsets?\b|\bpairs?\b|\bside by side\b"
    r"|\blong\w*\s+(?:edges?|sides?)\b",
    re.IGNORECASE,
)
_ANSWERS = {word: answer == "yes" for answer, words in YES_OR_NO.items() for word in words} | {
    "yes": True,
    "no": False,
}


def says_joined(words: str) -> bool:
    """Return whether words say that strips are sewn end to end, and not side by side."""
    return _JOINED.search(words) is not None and _OTHERWISE.search(words) is None


def join_from_text(text: str) -> bool | None:
    """Return what a Join cell says; None where it is left open.

    Raises:
        KeyError: It says neither yes nor no.
    """
    folded = " ".join(text.casefold().split()).rstrip(".")
    return _ANSWERS[folded] if folded else None

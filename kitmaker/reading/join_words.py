"""What a pattern says of sewing strips end to end: in its words, and under Join."""

from __future__ import annotations

import re

from kitmaker.reading.finishing_sheet import YES_OR_NO

_END_TO_END = re.compile(r"\bend[\s-]+to[\s-]+end\b", re.IGNORECASE)
_JOINED = re.compile(
    r"\bjoin(?:ed|ing|s)?\b|\bshort\s+(?:ends|sides|edges)\b"
    r"|\b(?:sew|sewn|stitch\w*|piece|pieced)\b[^.;]*\b(?:one|a|single)\s+"
    r"(?:(?:long|continuous|single)\s+)*(?:strip|length)\b",
    re.IGNORECASE,
)
_OTHERWISE = re.compile(
    r"\b(?:not|never|without|no)\b[^.;]*\b(?:join|sew)|\bsets?\b|\bpairs?\b|\bside by side\b"
    r"|\blong\w*\s+(?:edges?|sides?)\b"
    r"|\bjoin\w*\s+(?:\w+\s+){0,2}(?:with|to)\s+"
    r"(?!make\b|get\b|give\b|form\b|measure\b|reach\b|equal\b|\d)",
    re.IGNORECASE,
)
_ANSWERS = {word: answer == "yes" for answer, words in YES_OR_NO.items() for word in words} | {
    "yes": True,
    "no": False,
}


def says_joined(words: str) -> bool:
    """Return whether words say that strips are sewn end to end, and not side by side."""
    said = _END_TO_END.sub("joined", words)
    return _JOINED.search(said) is not None and _OTHERWISE.search(said) is None


def join_from_text(text: str) -> bool | None:
    """Return what a Join cell says; None where it is left open.

    Raises:
        KeyError: It says neither yes nor no.
    """
    folded = " ".join(text.casefold().split()).rstrip(".")
    return _ANSWERS[folded] if folded else None

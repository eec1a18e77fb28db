"""Numbers in what a line says besides its cutting: ``(4 per block)``, ``you will use 84``.

Each of them must go together with what was read; one that does not may change a count, so
the line is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from math import prod

from kitmaker.pattern import Shape
from kitmaker.reading.phrases.model import Cut
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError

_NEUTRAL = re.compile(
    r"\b(?:steps?|pages?|fig(?:ure)?s?|diagrams?|p)\b[.]?\s*\#?\s*\d+(?:\s*(?:-+|,|&|and|to)\s*\d+)*"
    r"|\b(?:blocks?|units?|rows?|borders?|fabrics?|rounds?|clues?|bags?|logs?|weeks?|months?|part|piece|patch|position|ring|template|section)\s*\#?\s*\d{1,2}\b"
    r"|(?:\bno[.]?|\bnumber|#)\s*\d{1,2}\b"
    r"|\b(?:have|get|be)\s+(?:a\s+few|some|several)\s+(?:extras?(?!\s+[a-z])|spares|left-?\s?overs?|left(?:\s+over)?)\b(?!.*\d)"
    rf"|\b(?:trim(?:med)?|squared?\s+up|finish(?:es|ed|ing)?|measur\w+)\b[^\d]*(?:to\s+)?{NUMBER}\s*{UNIT}?"
    rf"(?:\s*(?:x|×|by)\s*{NUMBER}\s*{UNIT}?)?"
    rf"|{NUMBER}\s*{UNIT}?(?:\s*(?:x|×|by)\s*{NUMBER}\s*{UNIT}?)?\s*finish(?:es|ed|ing)?"
    r"|\b\d+\s+(?:[a-z]+\s+){0,2}?(?:per|from\s+each|from\s+every|in\s+each|out\s+of\s+each)\s+"
    rf"(?:wof\s+)?(?:{NUMBER}\s*{UNIT}\s*(?:x\s*)?)?(?:wof\s+)?strip\b"
    r"|\beach\s+(?:square\s+|pair\s+)?(?:makes|yields|gives)\s+[248]\s+(?:hsts?|qsts?|triangles|geese|units)\b"
    r"|\bboth\s+(?:sides|ends|edges|ways)\b|\bif\s+your\b.*"
    r"|\b(?:includ(?:es?|ing)|allow(?:s|ing)?)\s+(?:for\s+|an\s+)?extra\b[^\d]*"
    r"|\b[248][\s-]+at[\s-]+a[\s-]+time\b",
    re.IGNORECASE,
)
_WAYS = r"per|for\s+(?:each|every|a|1)|in\s+(?:each|every)|to\s+(?:each|a)"
_PER = re.compile(
    rf"\b(\d+)\s+(?:[a-z]+\s+){{0,2}}?(?:{_WAYS})\s+(?:[a-z]+\s+)?[a-z]+", re.IGNORECASE
)
_USED = re.compile(
    r"\b(?:us(?:e|ed|ing)|needs?|needed|only)\s+(?:only\s+|just\s+|all\s+(?:of\s+)?(?:the\s+|these\s+)?)?(\d+)(?:\s+of\s+(?:the\s+)?(\d+)(?:\s+cut)?)?"
    r"|\b(\d+)\s+(?:of\s+(?:these|them|the\s+\d+)\s+)?(?:[a-z]+\s+)?(?:are|is|will\s+be)\s+(?:used|needed)",
    re.IGNORECASE,
)
_ROOM = re.compile(
    r"\b(?:can|could|may|might)\s+(?:get|cut)\s+(?:up\s+to\s+)?(\d+)|\b(?:enough|room)\s+for\s+(\d+)",
    re.IGNORECASE,
)
_LEFT = re.compile(
    r"\b(?:discard|save|toss|reserve)\s+(\d+)\b|"
    r"\b(\d+)\s+(?:[a-z]+\s+){0,3}?(?:left|leftovers?|over|unused)\b|\bincluding\s+(\d+)\b|\bincludes\s+(\d+)\b"
    r"|\b(?:have|room\s+for|leaves?)\s+(\d+)\s+(?:[a-z]+\s+){0,2}?(?:extra|spares?)\b|\b(\d+)\s+(?:are|is|will\s+be)\s+extra\b",
    re.IGNORECASE,
)
_MADE = re.compile(
    r"\b(?:makes?|mak(?:e|ing)|yields?|gives?|gets?|have|total|totals?|for)\s+(?:you\s+)?(?:a\s+total\s+of\s+)?(\d+)\b(?P<what>[^,;.\d]*)",
    re.IGNORECASE,
)
_UNITS = re.compile(r"triangle|hst|qst|geese|half|quarter|unit", re.IGNORECASE)
_TRIANGLES = re.compile(
    r"\b(\d+)\s+(?:[a-z-]+\s+){0,2}?(?P<what>triangles|hsts|qsts)", re.IGNORECASE
)
_CHANGES = re.compile(
    r"\bper\s+(?:[a-z]+\s+)?(?:blocks?|units?|prints?|fabrics?|strips?|stars?|rows?|sides?|colou?rs?|kits?|quilts?)\b"
    r"|\b(?:repeat|same|again|both|double|twice|half|another|additional|extra|spares?|pairs?(?!\s+with)|dozen|times"
    r"|halved?|quartered|quarter\s+(?:them|each|these|all))\b",
    re.IGNORECASE,
)


def check_aside(words: str, cuts: Sequence[Cut]) -> None:
    """Hold what a line says besides its cutting against what was read of it.

    Args:
        words: The words, in plain signs.
        cuts: What was read of the line.

    Raises:
        UnsureError: A number or a word of it may change a count.
    """
    counts = {cut.quantity for cut in cuts}
    most = max(_made_of(cuts, ""), default=0)
    text = _NEUTRAL.sub(" ", " ".join(re.sub(r"[()‹›]", " ", words).split()))
    shared = [int(number) for number in re.findall(r"(?<![\d/.])\d+(?![\d/.\"])", text)]
    if len(shared) > 1 and counts & {sum(shared), prod(shared)}:
        return
    text = _taken(_PER, text, lambda said, _: any(n > said and n % said == 0 for n in counts))
    text = _taken(_USED, text, lambda said, _: said <= most)
    text = _taken(_ROOM, text, lambda said, _: said >= min(counts, default=0))
    text = _taken(_LEFT, text, lambda said, _: said < most)
    text = _taken(_MADE, text, lambda said, what: said in _made_of(cuts, what))
    text = _taken(_TRIANGLES, text, lambda said, what: said in _made_of(cuts, what))
    if re.search(r"\d", text) or _CHANGES.search(text):
        raise UnsureError(
            f"what '{words}' does to the count is not said for sure",
            "Type the total in front, and leave the remark out.",
        )


def _taken(pattern: re.Pattern[str], text: str, holds: Callable[[int, str], bool]) -> str:
    """Return a text without what holds; what does not hold stays, to be asked about."""

    def without(found: re.Match[str]) -> str:
        numbers = [int(number) for number in re.findall(r"\d+", found.group(0))]
        what = found.groupdict().get("what") or ""
        return " " if all(holds(number, what) for number in numbers) else found.group(0)

    return pattern.sub(without, text)


def _made_of(cuts: Sequence[Cut], what: str) -> set[int]:
    """Return the numbers that a line may say its cuts make."""
    made = {cut.quantity for cut in cuts} | {sum(cut.quantity for cut in cuts)}
    on_diagonal = any(cut.shape in (Shape.CUT_ONCE, Shape.CUT_TWICE) for cut in cuts)
    of_units = any(_UNITS.search(cut.words) for cut in cuts)
    if on_diagonal or of_units or _UNITS.search(what):
        made |= {cut.quantity * times for cut in cuts for times in (2, 4, 8)}
    return made

"""Pieces that need no first cut: those bought ready cut, and strips that are trimmed to length.

``Choose 20 squares`` of a pack of 5-inch squares are 20 squares of 5 in; ``Save 6 strips for the
binding`` are 6 strips, used whole; ``Trim 20 of the squares to 9½"`` are 20 squares of 9½ in.
``Cut 1 strip 6½" x WOF. Trim to 6½" x 40½".`` is one piece of that strip.
"""

from __future__ import annotations

import re

from kitmaker.errors import Level
from kitmaker.lengths import say_plain
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length

_GATHERED = re.compile(
    r"^(?:grab|gather|get|lay\s+out|unroll|sort|choose|select|pick)\s+(?:out\s+)?(?:your|the|all)\s+(?:of\s+your\s+)?[(]?(?P<count>\d+)[)]?\s+"
    r"(?:(?!for\b|cut\b)[a-z]+\s+)*?(?:strips|squares|fat\s+quarters|prints)\b(?!.*\b(?:cut|for)\b)[^\d\"]*$",
    re.IGNORECASE,
)
_NOUN = r"(?P<noun>squares?|strips?)"
_CHOSEN = re.compile(
    r"^(?P<verb>choose|select|pick(?:\s+out)?|pull(?:\s+out)?|take|use)\s+(?:(?:your|the|any)\s+)?\(?(?P<count>\d+)\)?\s+(?:of\s+(?:the|your)\s+)?"
    rf"(?P<words>(?:[a-z]+\s+)*?){_NOUN}(?P<rest>\s+(?:for|to)\b[^\d]*)?\s*[.]?$",
    re.IGNORECASE,
)
_SAVED = re.compile(
    r"^(?:save|set\s+aside|set|reserve|keep)\s+\(?(?P<count>\d+)\)?\s+(?:more\s+|other\s+)?(?:of\s+(?:the|your|these)\s+)?(?:[a-z]+\s+)*?"
    rf"{_NOUN}\s+(?:aside\s+)?(?P<purpose>for\s+(?!.*\b(?:another|other|later|future|next|stash|scraps?|label|back|project)\b)[^\d]+)$",
    re.IGNORECASE,
)
_TO_SIZE = (
    rf"(?:down\s+)?to\s+(?:measure\s+)?(?P<a>{NUMBER})\s*(?P<au>{UNIT})?"
    rf"(?:\s*(?:x|×|by)\s*(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?)?"
)
_TRIMS = (
    r"^(?:then\s+)?(?:(?:trim|square)(?:\s+(?:up|down))?|cut(?=[^;]*\bdown\s+to\b))\s+(?:all\s+)?"
)
_OF_SIZE = rf"(?:(?P<of>{NUMBER})\s*(?P<of_unit>{UNIT})\s*)?(?P<words>(?:[a-z]+\s+)*?)"
_TRIMMED = re.compile(
    rf"{_TRIMS}(?:(?:the|your)\s+)?(?P<others>remaining\s+|other\s+)?\(?(?P<count>\d+)\)?(?!\s*\d*\s*/|\s*{UNIT})"
    rf"\s+(?:of\s+(?:the|your|these)\s+)?{_OF_SIZE}{_NOUN}\s+(?P<to>{_TO_SIZE})(?P<rest>[^\d]*)$",
    re.IGNORECASE,
)
_TRIMMED_UNCOUNTED = re.compile(
    rf"{_TRIMS}(?:(?:of|the|your|these|each|every)\s+)*{_OF_SIZE}{_NOUN}\s+(?P<to>{_TO_SIZE})(?P<rest>[^\d]*)$",
    re.IGNORECASE,
)
_SEWN = re.compile(
    r"\b(?:pieced|sewn|patched|finished|triangle|patch|unit|block|set)\b", re.IGNORECASE
)
_TRIMMED_STRIP = re.compile(
    rf"^(?:then\s+)?trim\s+(?:(?:each|every|the|these|them|it|all|strips?)\s+)*{_TO_SIZE}(?P<rest>[^\d]*)$",
    re.IGNORECASE,
)


def as_cut(signs: str, bench: Bench) -> str:
    """Return a sentence in plain signs on ready pieces as one that cuts them.

    Args:
        signs: The sentence.
        bench: What lies on the table.
    """
    return _as_trimmed(_as_bought(signs, bench), bench)


def _as_bought(signs: str, bench: Bench) -> str:
    gathered = _GATHERED.match(signs)
    if gathered is not None and int(gathered["count"]) == bench.facts.cloths:
        return ""
    width = bench.facts.ready_cut
    if width is None:
        return signs
    size = f"{say_plain(width / bench.facts.unit.length)} {bench.facts.unit.value}"
    if (found := _CHOSEN.match(signs)) is not None:
        words = f"{found['words']}{found['noun']}{found['rest'] or ''}"
        return f"{found['verb']} ({found['count']}) {size} {words}"
    if (found := _SAVED.match(signs)) is not None and not (bench.strips or bench.rest):
        return f"cut ({found['count']}) {size} {found['noun']} {found['purpose']}"
    return signs


def _as_trimmed(signs: str, bench: Bench) -> str:
    if (found := _TRIMMED.match(signs)) is not None:
        count = int(found["count"])
        noun = found["noun"].casefold().removesuffix("s")
        are_others = found["others"] and not any(cut.noun == noun for cut in bench.cuts)
        if not are_others and _is_cut_above(found, bench):
            return signs
        size = _size(found)
        return f"cut ({count}) {size} {found['noun']}{found['rest']}" if size else signs
    if (found := _TRIMMED_UNCOUNTED.match(signs)) and not _is_cut_above(found, bench):
        return _all_trimmed(found, bench)
    found = _TRIMMED_STRIP.match(signs)
    if found is None or found["b"] is None or len(bench.strips) != 1:
        return signs
    strip = bench.cuts[bench.strips[0]]
    unit = found["bu"] or found["au"]
    sides = [to_length(found[side], unit, bench.facts.unit) for side in ("a", "b")]
    if strip.length is not None or strip.width not in sides or max(sides) <= strip.width:
        return signs
    count = strip.quantity // (strip.from_each or 1)
    return f"sub-cut into ({count}) {_size(found)} pieces"


def _is_cut_above(found: re.Match[str], bench: Bench) -> bool:
    """Whether what is trimmed may be cut, or sewn, of what stands above it."""
    if _SEWN.search(found["words"]):
        return True
    if found["of"] is None or not bench.cuts:
        return bool(bench.cuts)
    side = to_length(found["of"], found["of_unit"], bench.facts.unit)
    is_above = any(side in (one.width, one.length) for one in bench.cuts)
    if not is_above and bench.facts.ready_cut != side:
        bench.find(
            Level.WARNING,
            f"'{found.group(0)}' names pieces that are not cut above it; it is read as a note only",
            "Type count and size on a line of its own if they are cut of this fabric.",
        )
    return is_above or bench.facts.ready_cut != side


def _all_trimmed(found: re.Match[str], bench: Bench) -> str:
    """Return ``Trim each 5" square to 4½"`` as a cut of all that were bought."""
    if bench.facts.ready_cut is None or bench.facts.cloths is None:
        raise UnsureError(
            f"how many {found['noun'].casefold().removesuffix('s')}s are trimmed is not said",
            "Type count and size: cut (16) 4 1/2 squares.",
        )
    return f"cut ({bench.facts.cloths}) {_size(found)} {found['noun']}{found['rest']}"


def _size(found: re.Match[str]) -> str:
    second = f" x {found['b']}{found['bu'] or ''}" if found["b"] else ""
    return f"{found['a']}{found['au'] or found['bu'] or ''}{second}"

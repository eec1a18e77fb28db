"""Amounts on a page: which lines state one, and the name of the fabric beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.drafting.names import Name
from kitmaker.reading.phrases import is_cutting
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.lexicon import FRACTION_SIGNS, word_set
from kitmaker.reading.words.tokens import FREE, Kind

_ABOUT = r"(?:at\s+least|up\s+to|about|approx(?:imately|\.)?)"
_FRACTION = f"[{FRACTION_SIGNS}]"
_NUMBER = (
    rf"(?:\d+(?:\s+|-\s*)\d+\s*[/⁄∕]\s*\d+|\d+\s*{_FRACTION}|\d+\s*[/⁄∕]\s*\d+|\d+(?:[.,]\d+)?|[.]\d+|{_FRACTION}"
    r"|half|quarter|third|eighth|one|two|three|four|five|six|seven|eight|nine|ten|twelve|a)"
)
_UNIT = (
    r"(?:yards?|yds?\.?|yd\.?|met(?:er|re)s?|m|cm|(?:fat|long)\s+(?:quarters?|eighths?)|"
    r"(?:fat|long)\s+[¼⅛]s?|fqs?|f8s?|panels?|(?:precut\s+)?(?:strips|squares)|packs?|bundles?)"
)
AMOUNT = re.compile(
    rf"(?:(?:each\s+of|{_ABOUT})\s+)?(?<![\w{FRACTION_SIGNS}./]){_NUMBER}(?:\s*\(\d+\))?\s*[-–—]?\s*"
    rf"(?:(?:of\s+)?an?\s+)?(?:[a-z]+\s+){{0,2}}?{_UNIT}(?![\w])"
    rf"(?:\s*[(/|]\s*{_NUMBER}\s*{_UNIT}\s*\)?)?",
    re.IGNORECASE,
)
_SURE_UNIT = re.compile(
    r"(?<![a-z])(?:y(?:ar)?ds?|met(?:er|re)s?|m|cm|(?:fat|long)\s+(?:quarter|eighth|[¼⅛])s?|fqs?|f8s?|panels?)"
    r"(?![a-z])",
    re.IGNORECASE,
)
_PIECES = re.compile(r"\b(?:squares?|rectangles?|strips?|triangles?|pieces?|wide)\b|[x×]", re.I)
_BARE_FORM = re.compile(r"\b(?:fat|long)\s+(?:quarter|eighth)\b", re.IGNORECASE)
_LONGEST = 140
_SENTENCE = re.compile(
    r"\b(?:based on|assum\w+|is enough|are enough|extra|allow|calculated|requires?|usable|note|"
    r"if you|you may|optional\w*)\b",
    re.IGNORECASE,
)
_NEEDED = re.compile(r"(?:for\s.*)?\b(?:you(?:'ll|\s+will)?\s+need|materials?|fabrics?)\b", re.I)
_LEAD = re.compile(
    r"^(?:(?:materials?|fabrics?|supplies|requirements?|you(?:'ll|\s+will)?\s+need)\s*:\s*)?"
    r"(?:(?:of|for)\s+(?:the\s+)?)?",
    re.IGNORECASE,
)
_WIDE = re.compile(
    rf"^\s*(?:[\d\s/{FRACTION_SIGNS}-]+(?:cm|in|\"|″|inch(?:es)?)?\s*(?:\([^)]*\)\s*)?-?\s*wide)\s*"
)
_USE = re.compile(r"\s*\(|\s*,?\s*\bfor\s+(?:the\s+)?", re.IGNORECASE)
_NAMES_ONLY = FREE | {Kind.COLON, Kind.COMMA, Kind.DASH, Kind.STOP, Kind.OPENING, Kind.CLOSING}
_NAMES_ONLY |= {Kind.AND, Kind.FOR, Kind.OF, Kind.BORDER, Kind.STRIP, Kind.END}
"""What may stand in a fabric's name and says nothing of how much there is."""
_NO_NAMES = word_set("cm m mm in inch inches yd yds yard yards square wide of or x")
_EDGES = " \t.…·•:;,–—-=~|/&_*"


@dataclass(frozen=True, slots=True)
class Stated:
    """An amount of a fabric."""

    name: str  # the fabric's
    amount: str  # its words
    use: str = ""  # what the cloth is for, and other notes; ""
    size: str = ""  # the size of the quilt that it is for; "" for any


def states_amount(text: str, *, in_list: bool = False) -> bool:
    """Whether a line states how much of a fabric is bought.

    In a list of what is needed ``40 strips 2½"`` are bought too.
    """
    if len(text) > _LONGEST * max(1, _count(text)) or is_cutting(text) or _SENTENCE.search(text):
        return False
    units = {found[0].casefold() for found in _SURE_UNIT.finditer(text)}
    if not units:
        return in_list and is_read(text)
    if units == {"cm"} and _PIECES.search(text):
        return False  # a size in centimeters
    return AMOUNT.search(text) is not None or is_read(text)


def is_bare_amount(text: str) -> bool:
    """Whether words are an amount and nothing else."""
    return is_off_the_bolt(text) and AMOUNT.fullmatch(text.strip(" .")) is not None


def is_off_the_bolt(text: str) -> bool:
    """Whether an amount is a length or a form, and not strips or squares."""
    return _SURE_UNIT.search(text) is not None


def is_read(text: str) -> bool:
    """Whether words state one amount."""
    try:
        read_amount(text)
    except AmountError:
        return False
    return True


def amounts_in(text: str) -> tuple[str, ...]:
    """Return the parts of a line that each state one amount; () where they are not told apart."""
    if _count(text) < 2:
        return (text,)
    parts = [part.strip() for part in re.split(r"[;.](?=\s+\D|\s+\d)|\n", text) if part.strip()]
    if len(parts) < 2 or any(_count(part) != 1 for part in parts):
        places = [found.start() for found in AMOUNT.finditer(text) if _is_amount(found, text)]
        if _NEEDED.sub("", text[: places[0]]).strip(" :*•-"):
            return ()
        ends = [*places[1:], len(text)]
        parts = [text[start:end] for start, end in zip(places, ends, strict=True)]
        parts = [re.sub(r"(?:[\s,;+&]|\band)+$", "", part) for part in parts]
    return tuple(parts) if all(map(names_something, parts)) else ()


def _count(text: str) -> int:
    return sum(_is_amount(found, text) for found in AMOUNT.finditer(text))


def _is_amount(found: re.Match[str], text: str) -> bool:
    """Whether an amount is one of its own: not a width, nor another one's measure in brackets."""
    before, behind = text[: found.start()].rstrip(), text[found.end() :]
    in_bracket = before.count("(") > before.count(")") or before.endswith(("/", "or"))
    is_wide = re.match(r"\s*(?:\([^)]*\)\s*)?-?\s*wide", behind) is not None
    return _SURE_UNIT.search(found[0]) is not None and not in_bracket and not is_wide


def names_something(text: str) -> bool:
    """Whether a line holds more than an amount."""
    rest = re.sub(r"[\d\W_]+", " ", AMOUNT.sub(" ", text))
    return any(word not in _NO_NAMES for word in rest.casefold().split())


def stated_in(text: str) -> Stated | None:
    """Return the one amount that a line states; None where it names no fabric.

    The name is what stands before the amount; what stands behind is a use or a note. Where
    nothing stands before it, the name stands behind, up to a bracket or "for".
    """
    if not names_something(text):
        return None
    found = AMOUNT.search(text) or _BARE_FORM.search(text)
    if found is None:
        before = re.split(rf"(?:\b{_ABOUT}\s*)?\d", text, maxsplit=1, flags=re.IGNORECASE)[0]
        return Stated(before.strip(_EDGES + "(") or text.strip(_EDGES), text)
    before, behind = text[: found.start()], _of_cloth(text[found.end() :])
    name, use = name_and_use(behind)
    before = _LEAD.sub("", before.rstrip(_EDGES + "(").lstrip(_EDGES))
    label = Name.of(before, in_list=True)
    if before and (label.words or not name):
        is_plain = all(token.kind in _NAMES_ONLY for token in lex(before))
        amount = _amount_from(text, found.start()) if is_plain else text
        name, use = name_and_use(before)
        return Stated(name, amount, f"{use} {behind}".strip())
    name = f"{before} {behind if before else name}".strip()
    return Stated(re.sub(r"\s*[.…_]{3,}\s*", " ", name) or text.strip(_EDGES), text, use)


def name_and_use(text: str) -> tuple[str, str]:
    """Return a name, and what stands behind it in a bracket or after "for", if a name is left."""
    parts = _USE.split(text, maxsplit=1)
    name, use = parts[0].strip(_EDGES), "".join(parts[1:]).strip("()")
    return (name, use) if Name.of(name).words else (text, "")


def _of_cloth(behind: str) -> str:
    """Return what stands behind an amount, without the words and the width between them."""
    behind = re.sub(r"^\s*[.)]*\s*(?:each\s+)?(?:of\s+)?(?:an?\s+|the\s+)?", " ", behind)
    behind = _WIDE.sub(" ", behind).strip(_EDGES)
    if behind.count(")") > behind.count("("):
        behind = behind.replace(")", "", 1)
    return " ".join(behind.split())


def _amount_from(text: str, start: int) -> str:
    amount = text[start:].strip(_EDGES)
    return amount.rstrip(")") if amount.count(")") > amount.count("(") else amount

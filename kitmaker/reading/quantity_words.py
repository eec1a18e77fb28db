"""Words that multiply, divide, add to or take away from a count: one list for every place.

"Double this" beside a row changes what is cut; "Double Irish Chain" is a name. So each
entry of the list says how it counts in a note, in a heading (a title, a column's heading, a
sheet's name) and in a name (of a piece, a pattern, a file). The list is our own collection,
from patterns and notes of quilters as they are commonly worded, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from kitmaker.errors import Level, Location, Problem
from kitmaker.reading.cells import plain_spaces, tidy_text
from kitmaker.reading.number_words import spell_in_figures


class Place(StrEnum):
    """Where words of quantity stand."""

    NOTE = "note"
    HEADING = "heading"
    NAME = "name"


class Force(StrEnum):
    """How surely a word changes a count.

    Attributes:
        SURE: Wherever it stands.
        ABOVE: As a heading over counts; in a note it only may.
        MAYBE: It may in a note, and is an ordinary word in headings and names.
    """

    SURE = "sure"
    ABOVE = "above"
    MAYBE = "maybe"


@dataclass(frozen=True, slots=True)
class QuantityWords:
    """Words of quantity in a text.

    Attributes:
        words: The words as they stand there, counts in figures.
        force: How surely they change a count.
        leaves_out: Whether they say that something is not to be cut at all.
    """

    words: str
    force: Force
    leaves_out: bool = False


_THESE = r"(?:this|these|that|those|it|them|all|everything|every|(?:the\s+)?(?:above|below)|"
_THESE += r"(?:the|all)\s+(?:quantit|amount|count|number|cut|piece|square|strip|row|list)\w*)"
_MADE = r"(?:blocks?|units?|sets?|sections?|rows?)"
_WHOLE = r"(?:quilts?|kits?|tops?|runners?|toppers?|pillows?|bags?|copies|people|students?|"
_WHOLE += r"of\s+(?:these|this|them|each))"
_NOT_A_SIZE = r"(?![\w\"./]|\s*[\"x×/]|\s+\d|"
_NOT_A_SIZE += r"\s*(?:in|inch|inches|cm|wof|yds?|yards?|patch|grid)\b)"
_DIAGONAL = r"(?!\s+(?:on|along|across)\b|\s+diagonal|\s+corner)"

LEXICON: tuple[tuple[Force, bool, str], ...] = (
    # times
    (Force.SURE, False, rf"(?<![\w\"/.])(?<![\d\"]\s)[x×]\s?\d{{1,3}}{_NOT_A_SIZE}"),
    (Force.SURE, False, r"(?<![\w\"/.])\d{1,3}\s?[x×](?![\w\"]|\s*[\d(]|\s+w\.?o\.?f)"),
    (Force.SURE, False, rf"\b(?:double|triple|quadruple|halve|twice|half(?:\s+of)?)\s+{_THESE}"),
    (Force.SURE, False, r"^(?:double|triple|quadruple|halve|half)(?:d| only)?$|^twice$"),
    (Force.SURE, False, r"\b(?:twice|half|\d+\s+times)\s+(?:as\s+many|the\b|this|these)"),
    (Force.SURE, False, r"\b\d+\s+times(?!\s+(?:as\s+)?(?:wide|long|larg))"),
    (Force.SURE, False, r"\bmultipl(?:y|ied)\s+(?:by|this|these|the|all|it)\b"),
    (Force.SURE, False, r"\btimes\s+\d+\b|\bdivide[ds]?\s+by\b|\bmake\s+\d+(?=\s*(?:[.,;:!)]|$))"),
    (Force.SURE, False, rf"\b(?:make|makes|sew|piece|cut)\s+\d+\s+(?:more\s+)?{_WHOLE}"),
    (Force.SURE, False, rf"\b(?:for|to\s+make|enough\s+for)\s+(?!1\b)\d+\s+{_WHOLE}"),
    (Force.ABOVE, False, rf"\b(?:make|sew|piece)\s+\d+\s+(?:\w+\s+)?{_MADE}\b"),
    (Force.SURE, False,
     r"\b(?:quantit\w+|counts?|amounts?|numbers?|cuts?|pieces|list)\b.{0,30}"
     r"\b(?:(?:for|per|of)\s+(?:1|an?|each|every|a\s+single)|per)\s+(?:block|unit|set|row)\b"),
    (Force.ABOVE, False, r"\b(?!1\b)\d+\s+quilts?\b"),
    (Force.ABOVE, False,
     r"\b(?:quantit\w*|qty|number|count|requirement|yardage)\b.*\bfor\s+(?!1\b)\d+$"),
    (Force.ABOVE, False,
     rf"\b(?:for|enough\s+for|to\s+make)\s+(?:\d+|a|an|a\s+single)\s+{_MADE}\b"),
    (Force.ABOVE, False, r"\bper\s+(?!kit\b|quilt\b|yard\b|inch\b|hour\b)[a-z]+"),
    (Force.ABOVE, False, r"(?:\bin\s+|\(\s*)(?:pairs?|dozens?|doz)\b|\b(?:pairs|dozens?)$"),
    (Force.SURE, False, r"^\(?(?:in\s+)?(?:a\s+|\d+\s+)?(?:pairs?|dozens?|doz|gross)\)?[.]?$"),
    (Force.ABOVE, False, r"\b(?:for|from|of|in|to)\s+each\s+(?:block|print|fabric|kit|size|unit)"),
    (Force.ABOVE, False, r"\beach\s+(?:block|print|fabric|kit|size|unit)|\b\d+\s+each\b"),
    (Force.ABOVE, False, r"(?<=[a-z)])\s*[*/+]\s?\d+$"),
    (Force.MAYBE, False, rf"\btwice\b{_DIAGONAL}"),
    (Force.MAYBE, False, r"\b(?:double|triple)\b(?![\s-]+(?:fold|layer|sided|wide))"),
    (Force.MAYBE, False, r"\b(?:(?:for|from|of|per|in)\s+each|each\s+side|both)\b|^each\b"),
    (Force.MAYBE, False, r"\b(?:pairs?|dozens?)\b"),
    (Force.MAYBE, False, r"\b(?:repeat(?:ed|s)?|again|too|as\s+well)\b|\bditto\b"),
    (Force.MAYBE, False, r"\b(?:same\s+as|(?:as|see)\s+above)\b"),
    # added, taken away
    (Force.SURE, False, r"(?<![\w\"/])\+\s?\d+(?!\+)" + _NOT_A_SIZE),
    (Force.SURE, False,
     r"\b\d+\s+(?:more|extra|spares?|additional|others)\b(?![\s-]+(?:wide|long|in|inch|inches|cm|yds?|yards?)\b)"),
    (Force.SURE, False, r"\b(?:another|an\s+additional|additional|extra)\s+\d+" + _NOT_A_SIZE),
    (Force.SURE, False, r"\bplus\s+\d+" + _NOT_A_SIZE),
    (Force.MAYBE, False,
     r"\b(?:was|now|should\s+be|changed?\s+to)\s+\d+" + _NOT_A_SIZE + r"|"
     r"\b\d+\s+(?:in\s+all|altogether|total)\b|\btotal(?:\s+of)?\s+\d+\b|\?$"),
    (Force.MAYBE, False,
     r"\bcut\s+\d+\s+(?:with|from|for|in)\b|\bsub-?cut\b|\bfuss(?:y|ily)\b|"
     r"\b(?:cut|divide|split)\s+(?:\w+\s+)?in(?:to)?\s+(?:half|halves|\d+)\b"),
    (Force.MAYBE, False,
     r"\b(?:min(?:imum)?|max(?:imum)?|at\s+(?:least|most)|up\s+to|approx\w*[.]?)\s+\d+"
     rf"{_NOT_A_SIZE}|"
     r"\b\d+\s+(?:sets|left|right|reversed?|mirrored)\b|\bsets\s+of\s+\d+|\bas\s+many\s+as\b"),
    (Force.MAYBE, False,
     r"\b(?:tbd|to\s+be\s+confirmed|errat(?:a|um)|correct(?:ed|ion)|wrong|mistake|recount|"
     r"check\s+(?:the\s+)?(?:count|number|quantity))\b"),
    (Force.SURE, False, r"\b(?:everything|all\s+(?:pieces|counts|quantities))\s+twice\b"),
    (Force.SURE, False, r"\b(?:minus|less)\s+\d+" + _NOT_A_SIZE),
    (Force.SURE, False, r"\b\d+\s+(?:fewer|less|instead)\b"),
    (Force.MAYBE, False,
     r"\b(?:extra|spares?|additional|another|only\s+\d+|"
     r"instead\s+of)\b(?![\s-]+(?:wide|long|large|small|fine|care|firm|length|width|inch|yard|cm\b|\d))"),
    # left out
    (Force.SURE, True,
     r"\bnot\s+(?:needed|required|wanted|counted|included|in\s+th(?:e|is)\s+kit)\b"),
    (Force.SURE, True,
     r"\b(?:do\s+not|don't|dont|never)\s+(?:cut|make|count|use|include|"
     r"need)(?:\s+(?:this|these|any|it|them|yet|for\b[\w ]+))?[.!)]*$"),
    (Force.SURE, True,
     r"\bno\s+need\s+(?:for|to\s+cut)\b|\bnot\s+for\s+(?:this|the)\b|\bleft\s+out\b|\bno\s+longer\b"),
    (Force.SURE, True,
     r"^(?:omit|skip|ignore|delete|remove|drop|cancell?|void|obsolete|discard|"
     r"leave\s+out|scratch)(?:p?ed|d)?(?:\s+(?:this|these|it|them|all|row|line|"
     r"for\b).*)?[.!]*$"),
    (Force.MAYBE, True,
     r"\b(?:do\s+not|don't)\s+(?:cut|make|count|use)\b|\b(?:omit|skip|optional|scraps?|"
     r"left-?overs?|stash|supplied|\w+\s+only$|only\s+(?:for|if|in)|"
     r"if\s+(?:needed|wanted|you\s+like)|already\s+(?:cut|have)|instead)\b"),
)  # fmt: skip
"""How surely, whether it leaves a piece out, and the words (figures, plain signs, any case)."""

_PATTERNS = tuple((force, out, re.compile(words, re.IGNORECASE)) for force, out, words in LEXICON)
_BRACKET = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_COUNTS = {
    Place.NOTE: frozenset(Force),
    Place.HEADING: frozenset({Force.SURE, Force.ABOVE}),
    Place.NAME: frozenset({Force.SURE}),
}


def find_quantity_words(text: str, place: Place) -> QuantityWords | None:
    """Return the surest words in a text that may change a count; None where none do.

    Args:
        text: What stands there.
        place: Where it stands: ordinary words of a name are none; a bracket in it is a heading.
    """
    if place is Place.NAME and (inside := _BRACKET.search(text)) is not None:
        outside = find_quantity_words(_BRACKET.sub(" ", text), place)
        return outside or find_quantity_words(inside[1], Place.HEADING)
    plain = spell_in_figures(" ".join(tidy_text(text).split()))
    found = (
        QuantityWords(match[0].strip(), force, leaves_out)
        for force, leaves_out, words in _PATTERNS
        if force in _COUNTS[place] and (match := words.search(plain))
    )
    return min(found, key=lambda one: list(Force).index(one.force), default=None)


def ask_about_quantity(text: str, place: Place, where: Location, what: str) -> Problem | None:
    """Return the question that words of quantity in a text make; None where there are none.

    Args:
        text: What stands there.
        place: Where it stands.
        where: Its cell, sheet or file.
        what: What to call it: ``the note``.
    """
    found = find_quantity_words(text, place)
    if found is None:
        return None
    sure = found.force is Force.SURE or place is Place.HEADING
    does = "take out or change what is" if found.leaves_out else "change how many are"
    instead = "Delete what is not to be cut" if found.leaves_out else "Type the quantities in full"
    return Problem(
        Level.ERROR if sure else Level.WARNING,
        f"'{found.words}' in {what} '{plain_spaces(text)}' may {does} cut; "
        "the quantities are read as they stand",
        where,
        f"{instead}, and take these words out.",
    )

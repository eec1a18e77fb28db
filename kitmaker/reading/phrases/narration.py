"""Sentences that tell and ask for no cut: of sewing, of what is left, of how one did it.

A pattern's cutting lines are full of them: ``Press and trim to 4½".``, ``The leftover bits are
about 4½" long.``, ``Don't worry if you only get four.``. Their measures and counts are those of
what is sewn, or of what may be done; a sentence that says to cut so many of a size is none.
"""

from __future__ import annotations

import re

from kitmaker.reading.phrases.plain import NUMBER, UNIT

_SURE_VERB = (
    r"(?:sew(?:ed|n|ing)?|stitch(?:ed)?|press(?:ed)?|baste|pair(?!s?\s+of\b)(?:\s+up)?"
    r"|draw|iron|topstitch)"
)
_VERB = (
    r"(?:join(?:ed)?|seam(?:ed)?|pin(?:ned)?|place|position|lay(?:er)?|arrange|mark|match|align|fold|flip"
    r"|turn|attach|appliqu[eé]|trace|fuse|glue|discard|trim|square\s+up|measure|rotate|unfold|nest"
    r"|assemble|remove|add|piece\s+(?:the|together|units?|blocks?|strips?|them))"
)
"""Verbs of what is done with pieces that are cut already."""

_LEAD = re.compile(
    r"^(?:take\s+(?:(?!\bcut\b)[^,.;\"])*?\s+and\s+(?=(?:draw|sew|place|pair|mark|press|fold|lay)\b)|(?:and|then|next|now|finally|first|also|so|carefully|again|to\s+(?:make|assemble|sew|finish)\b[^,]*,"
    r"|(?:right|wrong)\s+sides?\s+together,?|(?:you|we|i)(?:'ll|’ll|\s+will|\s+should|\s+can|\s+then|\s+need\s+to"
    r"|\s+have\s+to)*(?=\s+[a-z]))\s*,?\s*)*",
    re.IGNORECASE,
)
_SEWS = re.compile(
    rf"{_SURE_VERB}\b(?!\s*:)|{_VERB}\b(?=[.,]|$|\s+(?:the|an?|each|every|all|both|these|those|them|this|it|your|my|\d|up|right|wrong"
    r"|together|end|in|on|off|to|out|along|with|open|toward|and|away|lightly|well|or|any|\w+s)\b)",
    re.IGNORECASE,
)
_HEADED = re.compile(r"[^\d:]{1,40}:.*\d")
_PIECES = re.compile(
    r"\b(?:squares?|strips?|rectangles?|pieces?|patch(?:es)?|triangles?|borders?|sashing|cornerstones?|binding)\b",
    re.IGNORECASE,
)
_NOT_PIECES = re.compile(r"\b(?:my|mine|leftovers?|left-?over|finished|remaining)\b", re.IGNORECASE)
_CUTS_WHAT_IS_SEWN = re.compile(
    r"\b(?:and\s+)?(?:then\s+)?cut(?:ting)?\s+(?:(?:them|it|each|the\s+\w+)\s+)?(?:apart|in\s+(?:half|two|2)"
    r"|(?:on|along|between|down|through)\s+(?:the|that|this|your|each|both|drawn|marked|sewn|all)\b[^.;,\d]*)",
    re.IGNORECASE,
)
_CUT_COUNTED = re.compile(
    r"\b(?:sub-?\s?|cross-?\s?|re-?)?cut(?:s|ting)?\b[^.;\d]*\d|\d[^.;]*\bare\s+cut\b|\bneed\s+\d",
    re.IGNORECASE,
)
_STATES = re.compile(
    r"(?:(?:the|your|my|our|these|those|this|that|all|any|both|column|row|each|every|no|backing|batting|quilt|leftovers?"
    r"|seams?|blocks?|patterns?|templates?|diagrams?|instructions?)\b\s*)(?:(?!\bcut\b)[a-z'’-]+\s+){0,5}?"
    r"(?:is|are|was|were|will\s+be|should\s+be|measures?|measured|will\s+measure)\b"
    r"|mine\s+(?:is|are|was|were|measured|finished)\b",
    re.IGNORECASE,
)
_OPENS = re.compile(
    r"(?:don['’]?t\s+worry|do\s+not\s+worry|remember|please\s+(?:note|remember|read)|be\s+(?:careful|sure)|make\s+sure"
    r"|if\s+(?:you|not|your|using|desired|needed|necessary)|it(?:'s|’s|\s+is)|that(?:'s|’s)|i\s+(?:like|love|always|prefer|recommend|used|saved|find|found)"
    r"|we\s+recommend|for\s+best\s+results|see\s+(?:page|step|the|figure|diagram)|refer\s+to|feel\s+free|keep\s+in\s+mind"
    r"|there\s+(?:will|is|may|should)|depending\s+on|because|since\s+(?:the|your|you))\b",
    re.IGNORECASE,
)
_DEFINES = re.compile(
    r"[*(\s]*(?:(?:an?|1)\s+)?(?:fat\s+(?:quarters?|eighths?)|fqs?|f8s?)\s*(?:=|\bis\b|\bare\b|\bmeasures?\b)",
    re.IGNORECASE,
)
_SIZE_TITLE = re.compile(
    r"(?:baby|crib|cot|toddler|throw|lap|wall|twin|single|full|queen|king)(?:\s+size)?\s*(?:--|-|:|=)?\s*[(]?\s*¤[)]?\s*(?:$|\(|:)",
    re.IGNORECASE,
)
_KEEPS_REST = re.compile(
    r"(?:save|keep|set\s+aside|reserve|discard|store|toss)\s+(?:(?:the|any|all|your)\s+)*"
    r"(?:left-?\s?over|remaining|remainder|rest|scraps?)",
    re.IGNORECASE,
)
_SORTS = re.compile(
    r"(?:sort|group|organize|separate|divide|stack|mix|number)\s+[a-z]|keep\b[^;]*\btogether\b"
    r"|(?:each|every)\s+(?:set|stack|group|pile|block|unit|row)\s+(?:should|will|must)\s+(?:have|contain|hold|use)\b",
    re.IGNORECASE,
)
"""How cut pieces are ordered."""
_FOR_ANOTHER = re.compile(
    r"(?:set|put|save|keep)\s[^;\"]*\bfor\s+(?:another|a\s+(?:different|future|later)|other|future"
    r"|your\s+next)\s+(?:projects?|quilts?|use)\b",
    re.IGNORECASE,
)
_MAKES_UNITS = re.compile(
    r"(?:each|every|1|an?|this|these)\s+(?:[\w-]+\s+){0,4}?(?:will\s+)?(?:makes?|yields?|gives?)\s+(?:enough\s+for\s+)?\d+"
    r"\s+(?:[a-z-]+\s+){0,2}?(?:blocks?|stars?|units?|hsts?|qsts?|geese|flowers?|baskets?|hearts?|trees?|houses?|sets?)\s*[.]?",
    re.IGNORECASE,
)
_ON_PAGE = re.compile(
    r"\b(?:(?:pages?|p[.]|(?:pattern\s+|template\s+)?sheets?|figures?|fig[.]|diagrams?)\s*\#?\s*)(?:\d+|(?-i:[A-Z]))\b"
    r"(?![\"/.-]\d|\s*(?:\"|x\b|×))(?:\s*(?:-|and|&|,)\s*\d+\b)*",
    re.IGNORECASE,
)
"""Where something is printed; its number counts no piece."""
_FIRST_PERSON = re.compile(
    r"\b(?:mine|i\s+(?:pieced|sewed|joined|used|saved|got|had|ended|went|made|pressed|trimmed)|we\s+(?:pieced|sewed))\b",
    re.IGNORECASE,
)
_MEASURES = re.compile(
    rf"{NUMBER}\s*{UNIT}(?:\s*(?:x|×|by)\s*{NUMBER}\s*{UNIT}?)?"
    rf"|{NUMBER}\s*(?:x|×|by)\s*{NUMBER}\s*{UNIT}?",
    re.IGNORECASE,
)
_CUTS = re.compile(r"\b(?:sub-?\s?|cross-?\s?|re-?)?cut(?:s|ting)?\b", re.IGNORECASE)
_SIZED_PIECES = re.compile(
    r"¤\s+(?:[a-z]+\s+){0,2}(?:squares|strips|rectangles|pieces)\b"
    r"|\b(?:squares|strips|rectangles|pieces)\W+(?:[a-z]+\s+){0,2}¤",
    re.IGNORECASE,
)
_COUNTED_SIZE = re.compile(r"\d[)›]?\s*(?:--|-|x|×|@)?\s*(?:[a-z]+,?\s+){0,3}¤", re.IGNORECASE)
"""A count before a measure, measures being written ¤."""


def tells_of_sewing(text: str) -> bool:
    """Whether a sentence says what to sew, press or trim, and cuts at most what is sewn.

    Args:
        text: A sentence in plain signs.
    """
    rest = text[_lead(text) :]
    if _SEWS.match(rest) is None or _HEADED.match(rest):
        return False
    rest = _CUTS_WHAT_IS_SEWN.sub(" ", rest)
    return _CUTS.search(rest) is None


def is_for_another(text: str) -> bool:
    """Whether a sentence keeps something for another project."""
    return _FOR_ANOTHER.match(text) is not None and _CUTS.search(text) is None


def tells_only(text: str) -> bool:
    """Whether a sentence tells how something is, was or may be done, and asks for no cut.

    Args:
        text: A sentence in plain signs.
    """
    text = text.lstrip("* ")
    if tells_of_sewing(text):
        return True
    rest = _MEASURES.sub("¤", _ON_PAGE.sub("", text))
    if _KEEPS_REST.match(text) and re.search(r"\d", rest) is None:
        return True
    if _SORTS.match(text) and "¤" not in rest and _CUTS.search(text) is None:
        return True
    if _DEFINES.match(text) or _SIZE_TITLE.match(rest) or _MAKES_UNITS.fullmatch(text):
        return True
    if _CUT_COUNTED.search(rest) or _COUNTED_SIZE.search(rest):
        return False
    if _SIZED_PIECES.search(rest) and re.search(r"\d", rest):
        return False
    if _OPENS.match(text):
        return True
    if (subject := _STATES.match(text)) is not None:
        is_of_pieces = _PIECES.search(subject.group(0)) or _CUTS.search(text)
        if is_of_pieces and not _NOT_PIECES.search(subject.group(0)):
            return False
        return re.search(r"\d", rest) is None
    return _FIRST_PERSON.search(text) is not None and _CUTS.search(text) is None


def _lead(text: str) -> int:
    found = _LEAD.match(text)
    return found.end() if found is not None else 0

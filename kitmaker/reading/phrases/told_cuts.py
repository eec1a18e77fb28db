"""Cuts told as a story or by what is cut up, put as an instruction before a line is read.

``I needed 20 squares at 6.5" so I cut four strips …`` are 20 squares of those strips; ``Cut the
backing in half so you have two pieces 67½" long`` are two lengths across the fabric.
"""

from __future__ import annotations

import re

from kitmaker.reading.phrases.plain import NUMBER, UNIT

_SIZE = rf"{NUMBER}\s*{UNIT}?\s*(?:wide\s*)?(?:x|×|by)\s*{NUMBER}\s*{UNIT}?(?:\s*long)?"
_NEEDED_SO_CUT = re.compile(
    r"^(?:(?:so|and|then)\s+)*(?:i|we|you)\s+need(?:ed)?\s+(?P<what>\(?\d[^;]*?)\s*,?\s+(?:so|and)\s+(?:i|we|you)\s+(?:then\s+)?cut"
    r"\s+(?P<strips>\(?\d[^;]*?\bstrips?\b[^;]*?)(?:\s*,?\s+and\s+(?:got|get)\s+(?P<each>\d+)\s+(?:out\s+of|from)\s+each(?:\s+strip)?)?(?P<rest>\s*\([^()]*\))?[.]?$",
    re.IGNORECASE,
)
_CUT_AND_GOT = re.compile(
    r"^(?:(?:i|we)\s+)?cut\s+(?P<strips>\(?\d[^;]*?\bstrips?\b[^;]*?)\s*,?\s+and\s+(?:got|get)\s+"
    r"(?P<what>\(?\d+\)?\s[^;]*?\d[^;]*?)\s+(?:out\s+of|from)\s+(?:them|these|those|it)\s*[.]?$",
    re.IGNORECASE,
)
_FROM_EACH_OF = re.compile(
    r"^from\s+(?P<count>\d+)\s+of\s+(?:the|your|these)\s+(?P<what>[^,;]*?(?:strips|squares|prints|fat\s+quarters|fabrics))"
    r"\s*,?\s*(?P<cut>cut\b.*?)\s+from\s+each\s*[.]?$",
    re.IGNORECASE,
)
_WITH_CARE = re.compile(
    r",\s*(?:centering|keeping|aligning|positioning|taking\s+care|making\s+sure|being\s+(?:sure|careful)|watching)\b"
    r"(?!.*\b(?:rest|remaining|leftover|half|aside|back)\b)[^\d;]*$",
    re.IGNORECASE,
)
_NEEDED_BEHIND = re.compile(
    rf"(?P<verb>\b(?:in)?to\s+|\bcut\s+)(?P<what>(?:{_SIZE}|{NUMBER}\s*{UNIT})\s+(?:[a-z]+\s+)?(?:strips|squares|rectangles|pieces)"
    r"(?:\s+(?:x\s+)?wof)?)\s*(?:\(|,|--)\s*(?:(?:(?:and\s+)?you(?:'ll|\s+will)?\s+)?(?:only\s+)?need\s+(?:a\s+total\s+of\s+)?(?P<need>\d+)"
    r"(?:\s+total|\s+of\s+(?:them|these))?(?=\s*(?:\)|[.]?$))|(?P<needed>\d+)\s+(?:needed|required|total|in\s+all))\s*\)?",
    re.IGNORECASE,
)
_FOR_THIS_NEED = re.compile(
    r"^for\s+(?:(?:the|my|your)\s+)?(?P<what>(?!(?:each|every|one|a)\b)[a-z]+(?:\s+[a-z]+){0,2}?)\s*,?\s+(?:you|i|we)(?:'ll|\s+will|\s+also)*\s+need(?:ed)?\s+(?=\(?\d)",
    re.IGNORECASE,
)
_OF_THE_LENGTH = re.compile(
    rf"^(?:cut|from)\s+(?:(?:the|your|this|a)\s+)?{NUMBER}\s*-?\s*(?:yards?|yds?|meters?|metres?|m|cm)\b[.]?"
    r"(?:\s+(?:of|piece|cut|length)(?:\s+(?!cut\b|into\b)[a-z]+){0,4}?)?\s*,?\s+(?:(?:in)?to|cut)\s+(?=[(]?\d)",
    re.IGNORECASE,
)
_TRIANGLES_OF = re.compile(
    r"^(?P<made>\d+\s+(?:[a-z-]+\s+){0,4}?triangles?)\s*(?::|--)\s*(?P<rest>cut\b.*?)\s*[.]?$",
    re.IGNORECASE,
)
_AS_LIKED = re.compile(
    r"\s*,?\s*\(?\s*(?:fussy[\s-]cut(?:ting)?\s*,?\s+)?(?:if|as)\s+(?:desired|you\s+(?:like|wish|prefer|want))\s*\)?\s*[.]?$"
    r"|\s*,?\s*\(?\b(?:in|from|using|of)\s+as\s+many\s+(?:different\s+)?(?:colou?rs|prints|fabrics|scraps)\s+as\s+(?:possible|you\s+(?:can|like|have|wish))\b\s*\)?",
    re.IGNORECASE,
)
_LENGTH_OF_NAMED = re.compile(
    r"\bfrom\s+(?:the\s+)?length\s+of\s+(?:the\s+|your\s+)?(?!(?:[a-z]+\s+)*(?:strips?|squares?|fabric)\b)"
    r"(?:[a-z-]+\s+){0,4}?[a-z-]+(?=\s*(?:,|:|\bcut\b|$))",
    re.IGNORECASE,
)
_LENGTH_BEHIND = re.compile(
    rf"^(?P<count>(?:cut\s+)?\(?\d+\)?)\s+(?P<width>{NUMBER}\s*{UNIT})(?:\s*-?\s*wide)?\s+(?P<what>(?:[a-z]+\s+)?strips\b[^\d]*?)"
    rf"\s*,?\s*(?:each\s+)?(?P<length>{NUMBER}\s*{UNIT})\s*-?\s*long\s*[.]?$",
    re.IGNORECASE,
)
_TRIM_LEFT = re.compile(
    r"^trim\s+(?:the\s+)?(?:left-?\s?over|remaining|remainder|rest)\b[^,;\d]*?\bstrips?\s+(?:down\s+)?to\s+"
    rf"{NUMBER}\s*{UNIT}(?:\s*-?\s*wide)?\s*,?\s*(?:and|then|;)\s+(?:then\s+)?(?:sub-?\s?)?cut\s+",
    re.IGNORECASE,
)
_TAKE_STRIPS = re.compile(
    r"^(?:take|use)\s+(?P<count>\d+)\s+(?:of\s+(?:the|these|your)\s+)?(?:remaining\s+)?strips\s*,?\s+(?:and\s+)?(?:sub-?\s?|cross-?\s?)?"
    r"cut\s+(?:(?:them|these|each)\s+)?into\s+",
    re.IGNORECASE,
)
_LENGTHS = re.compile(
    r"^(?:cut|divide)\s+(?:(?:the|your)\s+)?(?:[a-z]+\s+){0,2}?(?:backing|yardage|fabric)(?:\s+fabric)?\s+(?:crosswise\s+)?"
    r"(?:in(?:to)?\s+(?:half|halves|thirds|\d\s+equal\s+(?:pieces|lengths|parts)))\s*,?\s*(?:crosswise\s*,?\s*)?"
    r"(?:(?:so|and)\s+(?:that\s+)?you\s+have|to\s+(?:make|get|yield|have)|for|making)\s+(?P<count>\d+)\s+(?:pieces|lengths|panels)"
    rf"(?:\s+(?:that\s+are|of|each))?\s*,?\s*(?P<size>{NUMBER}\s*{UNIT})(?:\s+(?:long|each))*\s*$",
    re.IGNORECASE,
)
_SIZE_EACH = re.compile(
    rf"(?<=\d)(?P<what>[)›]?\s+(?:[a-z-]+\s+){{0,2}}?(?:strips|squares|rectangles|pieces)\s*(?:,|of|at)\s*(?:{_SIZE}|{NUMBER}\s*{UNIT}))\s+each\b",
    re.IGNORECASE,
)
_MORE = re.compile(
    rf"(?P<count>[(‹]?\b\d+[)›]?)\s+(?:more|additional)\s+(?=(?:[a-z]+\s+)?{NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_LEFT_UNCUT = re.compile(
    r"[\s,;(-]*\b(?:(?:do\s+not|don't)\s+(?:sub-?\s?|cross-?\s?)?cut|leave\s+(?:these\s+|them\s+)?(?:whole|uncut))\b(?:\s+(?:these|them|further|yet))*\s*[).]*$",
    re.IGNORECASE,
)
_ENOUGH_TO_MAKE = re.compile(
    rf"^(?:cut\s+)?enough\s+(?P<width>{NUMBER}\s*{UNIT})(?:\s*-?\s*wide)?\s+(?P<bias>bias\s+)?(?:binding\s+)?strips?\s+"
    rf"to\s+(?:make|total|equal|yield|get)\s+(?:(?:an?|about|at\s+least)\s+)*(?P<length>{NUMBER}\s*{UNIT})(?:\s*-?\s*long)?"
    r"(?:\s+(?:of|total|finished|continuous|double-fold|bias|binding|strips?|vines?|stems?|piping|edging))*\s*[.]?$",
    re.IGNORECASE,
)
_AT_A_TIME = re.compile(r"\b[248][\s-]+at[\s-]+a[\s-]+time\b", re.IGNORECASE)
_EXTRA = re.compile(
    r",?\s*(?:and\s+)?(?:(?:they|these|strips?|which|measurements?|lengths?)\s+)*includ(?:es?|ing)"
    rf"\s+(?:an\s+)?(?:extra\s+)?{NUMBER}\s*{UNIT}\s+(?:of\s+)?"
    r"(?:extra|additional|for\s+(?:insurance|seams?|safety))(?:\s+(?:length|fabric))?"
    r"(?:\s+for\s+[a-z ]+)?",
    re.IGNORECASE,
)


def as_instruction(text: str) -> str:
    """Return a sentence in plain signs with its cuts put as an instruction.

    Args:
        text: The sentence.
    """
    if not re.search(r"finish", text, re.IGNORECASE):
        text = _AT_A_TIME.sub("at-a-time", text)
    text = _ENOUGH_TO_MAKE.sub(_to_total, _LEFT_UNCUT.sub("", text) or text)
    text = _EXTRA.sub("", text)
    text = _MORE.sub(r"\g<count> ", _SIZE_EACH.sub(r"\g<what>", text))
    text = _NEEDED_BEHIND.sub(_with_need, _WITH_CARE.sub("", text))
    text = _FOR_THIS_NEED.sub(r"\g<what>: cut ", text)
    text = _LENGTH_OF_NAMED.sub("from the length of the fabric", text)
    text = _AS_LIKED.sub("", _OF_THE_LENGTH.sub("cut ", text))
    text = _TRIANGLES_OF.sub(r"\g<rest> (\g<made>)", text)
    text = _LENGTH_BEHIND.sub(r"\g<count> \g<width> x \g<length> \g<what>", text)
    text = _TRIM_LEFT.sub("from the leftover strip cut ", text)
    text = _TAKE_STRIPS.sub(r"sub-cut \g<count> strips into ", text)
    if (found := _FROM_EACH_OF.match(text)) is not None:
        return f"from each of {found['count']} {found['what']}, {found['cut']}"
    if (found := _CUT_AND_GOT.match(text)) is not None:
        return f"cut {found['strips']}; sub-cut into {found['what']}"
    if (found := _NEEDED_SO_CUT.match(text)) is not None:
        return f"cut {found['strips']}; sub-cut into {found['what']}{found['rest'] or ''}"
    if (found := _LENGTHS.match(text)) is not None:
        return f"cut ({found['count']}) {found['size']} lengths"
    return text


def _to_total(found: re.Match[str]) -> str:
    return f"cut {found['width']} {found['bias'] or ''}strips to total {found['length']}"


def _with_need(found: re.Match[str]) -> str:
    return f"{found['verb']}({found['need'] or found['needed']}) {found['what']}"

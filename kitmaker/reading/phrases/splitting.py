"""Lines into sentences: where one instruction ends and the next begins."""

from __future__ import annotations

import re

from kitmaker.reading.number_words import NUMBER_WORD
from kitmaker.reading.phrases.plain import NUMBER, UNIT
from kitmaker.reading.phrases.sentences import is_cutting

_SENTENCE_END = re.compile(
    r"(?<!\bin)(?<![\d½¼¾⅛⅜⅝⅞⅓⅔]in)(?<!\dcm)(?<!\dyd)(?<!\bsq)(?<!\byd)(?<!\byds)(?<!\bapprox)(?<!\brect)(?<!\bNo)(?<!\bno)(?<!\bpcs)(?<!\bpc)(?<!\bea)[.]\s+(?=\S)"
    r"|(?-i:(?<=[a-z])[.](?=[A-Z]))"
    r"|[;,]\s+(?=(?:(?:and|then)\s+)*(?:set|keep|save|reserve|leave|label|press|trim|square\s+up|draw|mark|rule)\b)"
    r"|\s+(?=and\s+label\b)"
    r"|[;,]\s+(?=(?:(?:and|but)\s+)?(?:(?:leave|keep)\s+)?the\s+(?:other|remaining|rest)\b[^;,.]*\b(?:whole|uncut|as\s+(?:they\s+are|strips)|(?:are|is)\s+for)\b)"
    r"|\s+(?=and\s+(?:set|keep|save|reserve)\b.*\b(?:aside|back|for)\b)"
    r"|(?:[;,]|\s+(?=and\b|then\b))\s*(?=(?:(?:and|then)\s+)*(?:sew(?:ing)?|join(?:ing)?|piec(?:e|ing)|stitch(?:ing)?|seam)\s+(?:(?:the|these|all|"
    r"\w+)\s+)?(?:end|ends|end-to-end|together|and|them|strips|short|in|into|to)\b)"
    r"|\s+(?=and\s+(?:sub-?\s?|cross-?\s?)?cut\s+(?:the\s+)?(?:remaining|other|rest)\b)"
    r"|;\s+(?=from\b[^;]*\bcut\b|from\s+(?:each|every)\s+of\b)"
    r"|(?<=[a-z])[!]\s+(?=[A-Z])"
    r"|\s+(?=and\s+(?:lay|arrange|place|press)\s+(?:them|these|the|it)\b)"
    r"|[,;]?\s+(?=(?:and\s+|then\s+)*(?:joined|pieced|sewn|sewed|stitched|seamed)\s+(?:on|with|in|into|together|end|them|to)\b)"
    r"|[;,]\s+(?=(?:(?:and|then)\s+)*cut(?:ting)?\s+(?:it|this|them|these|each|the\s+[a-z]+)\s+into\s+[^.;]*\bbias\b)"
    r"|[;,]\s+(?=(?:(?:and|then)\s+)*cut\s+(?:each\s+|the\s+)?(?-i:[A-Z])\d?\s+(?:squares?\s+)?(?:on|in|diag|twice|once)\b)"
    r"|;\s+(?=(?-i:[A-Z])[a-z]+\s+\#?\d{1,2}\s*:)"
    r"|[;,]?\s+and\s+(?=from\s+the\s+(?:remaining|other|rest)\b[^;.]*\bcut\b)"
    # A new first cut: "…, sub-cut twenty squares; cut one strip 2\"".
    r"|[;,]\s+(?=then\s+(?:make|cut)\s[^.;,]*\bbias\b)"
    rf"|[;,]\s+and\s+(?=\d+\s+strips?\b[^.;]*\bcut\s+into\b)"
    rf"|[;,]\s+(?=(?:(?:and|then)\s+)*cut\s+\(?(?:\d|(?:{NUMBER_WORD})\b)[^;.]*?\bstrips?\b(?!\s+(?:in|apart\s+in)?to\b))",
    re.IGNORECASE,
)
_SPELLED_WIDTH = re.compile(
    r"\b([WL])[.]\s?O[.]\s?F\b(?:[.](?!\s*$|\s+(?:sub|cut|cross|recut|set|from|then|trim|keep|sew|label|use|fold))"
    r"|([.]?))",
    re.IGNORECASE,
)
"""``W.O.F.``; its last stop ends the sentence where a verb comes behind it."""
_PIECES = r"(?:squares|rectangles|pieces|segments|units)"
_INTO_UNCOUNTED = re.compile(
    rf"(?P<verb>(?:.*\b(?:strips?|wof|fabric)\b.*?)?(?:\b(?:sub|cross)-?\s?|\bthen\s+|^))cut\s+(?:(?:the|these|those|them|each|strips?|of)\s+)*into\s+"
    rf"(?P<what>{NUMBER}\s*{UNIT}?\s*(?:(?:x|×|by)\s*{NUMBER}\s*{UNIT}?\s*)?{_PIECES})\s*[.]?$",
    re.IGNORECASE,
)
_COUNTED_BEHIND = re.compile(
    rf"(?:(?:you\s+(?:can|will|should)\s+(?:get|cut)\s+\w+\s+(?:{_PIECES}\s+)?(?:from|per|out\s+of)\s+(?:each|every|1|one|a)\s+strip\s*,?\s*and\s+)?"
    rf"you(?:'ll|’ll|\s+will)?\s+(?:only\s+)?need\s+(?:a\s+total\s+of\s+)?(?P<need>\d+)(?:\s+(?:of\s+(?:these|them)|{_PIECES}))?"
    rf"(?:\s+(?:total|in\s+all|altogether))?"
    rf"|(?:each|every|1|one)\s+strip\s+(?:will\s+|should\s+|can\s+)?(?:yields?|gives?|makes?)\s+(?P<each>\d+)(?:\s+{_PIECES})?"
    rf"(?:\s*,?\s*(?:and|for)\s+a\s+total\s+of\s+(?P<total>\d+)(?:\s+{_PIECES})?(?:\s+(?:is|are))?(?:\s+needed)?)?)\s*[.]?$",
    re.IGNORECASE,
)
_JOINED_TO = re.compile(
    r"(?:(?:and|then)\s+)*(?:join(?:ed)?|sewn?|piece[d]?|stitch(?:ed)?)\b[^\d]*?\bto\s+(?:make|give|get|total|yield|form)\s+(?:up\s+)?"
    r"(?:an?\s+(?:[a-z]+\s+)?(?:length|strip|piece)\s+of\s+|about\s+)?(?P<length>\d.*)$",
    re.IGNORECASE,
)
_UNCOUNTED_BIAS = re.compile(
    r"(?:[a-z]+:\s*)?(?:cut\s+)?(?:enough\s+)?(?!\d+\s+bias)[^;]*\bbias\b[^;]*\bstrips?\b|bias\s+strips?\b",
    re.IGNORECASE,
)
_AS_TYPED = (
    r"\d+(?:\s*[½¼¾⅛⅜⅝⅞⅓⅔]|(?:\s+|-)\d+\s*[/⁄]\s*\d+|[.]\d+|\s*[/⁄]\s*\d+)?"
    r"(?:\s*-?\s*(?:[\"”″]|in(?:ch(?:es)?)?\b|cm\b))?"
)
"""A measure before its signs are made plain."""
_COUNT_AT = (
    rf"[(]?(?P<count>\d+)[)]?\s*(?:strips?\s*)?@\s*(?P<size>{_AS_TYPED})"
    r"(?:\s*(?:wide\s*)?[x×]?\s*wof)?"
)
_WHOLE = (
    r"\s*(?:[-–—,(]+\s*)?\b(?:to\s+be\s+)?(?:(?:leave|leaving|left|keep|kept|set|stays?)\s+(?:(?:it|them|these|strips)\s+)?"
    r"(?:whole|uncut|intact|aside|full(?:\s+length)?|as\s+(?:is|they\s+are|strips))"
    r"|(?:do\s+not|don['’]t)\s+(?:sub-?\s?)?cut(?:\s+further)?|uncut|whole)\b\s*[)]?"
)
_STRIPS_HEAD = re.compile(
    r"^(?:cut\s+)?(?:wof\s+strips?|strips?(?:\s+wof)?|wof)\s*[:–—-]+\s*(?=[(]?\d+[)]?\s*@)",
    re.IGNORECASE,
)
_LEFT_WHOLE = re.compile(
    rf"(?:(?P<before>[;,.]\s+)|^)(?:and\s+)?{_COUNT_AT}{_WHOLE}", re.IGNORECASE
)
_NEW_STRIPS = re.compile(
    rf"(?:(?P<before>[;.]\s+)|^)(?:and\s+)?{_COUNT_AT}(?=\s*(?:[-–—,(]+\s*)?(?:sub-?\s?|cross-?\s?)?cut\b)",
    re.IGNORECASE,
)
_OF_WHICH = re.compile(
    r"\s*[,;(]\s*(?:of\s+which\s+(?P<number>\w+)|(?!of\b)(?P<other>\w+)\s+of\s+which)\s+(?:are|is|will\s+be|get)\s+(?:to\s+be\s+)?cut\s+"
    r"(?=(?:in\s+half\s+)?(?:once|twice|on\s+|diagonally|corner))",
    re.IGNORECASE,
)
_AND_OF_THE_REST = re.compile(
    rf"\s*[,;]?\s+and\s+from\s+(?:the\s+)?(?P<rest>rest|remainder)(?:\s+of\s+(?:the|it)(?:\s+strip)?)?\s*,?\s+(?:cut\s+)?(?=[(]?(?:\d|(?:{NUMBER_WORD})\b))",
    re.IGNORECASE,
)
_KEEPS = re.compile(r"(?:(?:and|then)\s+)*(?:set|keep|save|reserve|put)\b", re.IGNORECASE)


def split_sentences(line: str) -> list[str]:
    """Return the sentences of a line."""
    line = _SPELLED_WIDTH.sub(lambda found: f"{found[1]}OF{found[2] or ''}", line)
    line = _OF_WHICH.sub(
        lambda found: f". Cut {found['number'] or found['other']} of the squares ",
        _with_strips_apart(line),
    )
    line = _AND_OF_THE_REST.sub(r". From the \g<rest> cut ", line)
    line = re.sub(r"\bto\s+(?:one|1)\s+side\b", "aside", line, flags=re.IGNORECASE)
    parts = _with_their_sources([part.strip() for part in _SENTENCE_END.split(line)])
    # "Set 4 aside for the border; sub-cut 6 into …" is one thing after the other.
    parts = [
        piece.strip()
        for part in parts
        for piece in (re.split(r"\s*;\s+", part) if _KEEPS.match(part) else [part])
    ]
    parts = _with_their_counts(_with_their_trimming(_with_their_length(parts)))
    # A bare number is the numbering of a list: "1. Cut … 2. Sub-cut …".
    return [part for part in parts if part and not re.fullmatch(r"\d{1,2}|[a-z]", part)]


def _with_strips_apart(line: str) -> str:
    """Put ``5 @ 2½" - leave whole``, listed with strips that are cut on, as a sentence of strips.

    ``WOF strips: 3 @ 8½" - cut into 12 squares 8½"; 5 @ 2½" - leave whole``.
    """
    bare = _STRIPS_HEAD.sub("", line)
    if bare != line:
        bare = re.sub(rf"(?:^|(?P<before>[;,]\s+)){_COUNT_AT}", _as_strips, bare, flags=re.I)
    return _NEW_STRIPS.sub(_as_strips, _LEFT_WHOLE.sub(_as_strips, bare))


def _as_strips(found: re.Match[str]) -> str:
    lead = ". Cut" if found["before"] else "Cut"
    return f"{lead} {found['count']} strips {found['size'].strip()} x WOF "


def _with_their_sources(parts: list[str]) -> list[str]:
    """Put ``cut four strips`` behind the ``From the length of the fabric`` before it."""
    joined: list[str] = []
    for part in parts:
        before = joined[-1] if joined else ""
        # "If you use fat quarters, cut 3 strips" is one choice.
        is_source = re.match(r"(?:from|if)\b", before, re.IGNORECASE) and not is_cutting(before)
        if is_source and not re.match(r"from\b", part, re.IGNORECASE):
            joined[-1] = f"{before}, {part}"
        else:
            joined.append(part)
    return joined


def _with_their_length(parts: list[str]) -> list[str]:
    """Put ``joined to make 160"`` behind the bias strips without a count that it measures."""
    joined: list[str] = []
    for part in parts:
        length = _JOINED_TO.match(part)
        before = joined[-1] if joined else ""
        if length is not None and _UNCOUNTED_BIAS.match(before):
            joined[-1] = f"{before} to make {length['length']}"
        else:
            joined.append(part)
    return joined


def _with_their_counts(parts: list[str]) -> list[str]:
    """Put the 24 of ``You need 24.`` into the ``Sub-cut into 3" x 6" rectangles`` before it."""
    counted: list[str] = []
    for part in parts:
        into = _INTO_UNCOUNTED.match(counted[-1]) if counted else None
        number = _COUNTED_BEHIND.match(part)
        if into is None or number is None:
            counted.append(part)
        elif total := number["total"] or number["need"]:
            counted[-1] = f"{into['verb']}cut strips into ({total}) {into['what']}"
        else:
            counted[-1] = f"{into['verb']}cut each strip into ({number['each']}) {into['what']}"
    return counted


def _with_their_trimming(parts: list[str]) -> list[str]:
    """Put ``and trim to two at 64½"`` behind the sewing that it belongs to."""
    joined: list[str] = []
    for part in parts:
        trims = re.match(r"(?:(?:and|then)\s+)*trim\b", part, re.IGNORECASE)
        sews = joined and re.match(
            r"(?:(?:and|then)\s+)*(?:sew|join|piece|stitch|seam)\b", joined[-1], re.IGNORECASE
        )
        if trims and sews:
            joined[-1] = f"{joined[-1]}, {part}"
        else:
            joined.append(part)
    return joined

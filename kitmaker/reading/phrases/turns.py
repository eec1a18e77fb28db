"""Turns of speech in which a count or a size stands in another place, put in the usual order.

``Thirty 4½" squares for block A, and 15 more for block B`` are 45 squares; ``rows 2 and 4: 10
pieces for each row`` is for each of 2 rows. Only the order of words changes here: what a
number means is read later.
"""

from __future__ import annotations

import re

from kitmaker.reading.phrases.elements import NOUNS
from kitmaker.reading.phrases.plain import NUMBER, UNIT

_COUNT = r"[(‹]?\s*(?P<{name}>\d+)\s*[)›]?(?:\s*\(\s*(?P={name})\s*\))?"
_SIDE = rf"{NUMBER}\s*{UNIT}"
_SIZED = re.compile(rf"{NUMBER}\s*{UNIT}|{NUMBER}\s*(?:x|×|by)\s*{NUMBER}", re.IGNORECASE)
_WHEN = r"(?:week|month|day|clue|class|lesson|session|meeting|stage|step|part)\s*\#?\s*\d{1,2}"
_WHEN_BEFORE = re.compile(rf"^{_WHEN}\s*(?::|--|-|[.])\s+(?=\S)", re.IGNORECASE)
_WHEN_BEHIND = re.compile(
    rf"\s*(?:--|-|,|\()\s*(?:(?:for|in|see)\s+)?{_WHEN}\s*\)?\s*[.]?$", re.IGNORECASE
)
_DASHED_HEAD = re.compile(
    r"^(?P<head>(?:border|block|row|round|unit|section)\s*\#?\s*\d{1,2})\s+-\s+"
    r"(?=[(]?\d+[)]?\s+(?:[a-z]+\s+)?(?:strips?|squares?|rectangles?|pieces?)\b)",
    re.IGNORECASE,
)
_SAME_SIZE = re.compile(r"\b(?:of\s+)?(?:the|all)\s+same\s+size\b\s*[,:]?\s*", re.IGNORECASE)
_SO_MANY_MORE = re.compile(
    rf"^(?:cut\s+)?{_COUNT.format(name='first')}\s+(?P<what>(?=[^,;]*\d).*?)\s*[,;]?\s+(?:and|plus)\s+"
    rf"{_COUNT.format(name='more')}\s+more(?P<purpose>\s+(?:for|in|to)\b[^,;\d]*)?\s*[.]?$",
    re.IGNORECASE,
)
_ALONG_AN_EDGE = re.compile(
    rf"(?P<width>{_SIDE})(?:\s*-?\s*wide)?(?P<noun>\s+strips?)?\s*,?\s+(?:cut\s+)?(?:along|parallel\s+to|across)\s+"
    rf"(?:the|its|their)\s+(?P<length>{_SIDE})\s+(?:edge|side|length|width)\b",
    re.IGNORECASE,
)
_WAY_MEASURED = re.compile(
    rf"(?:the\s+)?(?P<way>length|width)\s+of\s+(?:the\s+)?(?:[a-z]+\s+)?fabric\s*\(\s*(?P<said>{_SIDE})\s*\)",
    re.IGNORECASE,
)
_PICK_AND_CUT = re.compile(
    rf"^(?:pick|choose|select|take|use|sort\s+out)\s+(?:out\s+)?(?:(?:your|the|any)\s+)?{_COUNT.format(name='picked')}\s+"
    r"(?:[a-z-]+\s+)*?and\s+(?:sub-?\s?|cross-?\s?)?cut\s+each(?:\s+1|\s+of\s+(?:these|them))?(?:\s+in\s+half)?\s+"
    rf"(?:into|(?:to|and)\s+(?:give|get|make|yield))\s+{_COUNT.format(name='each')}\s+(?=[^;]*\d)",
    re.IGNORECASE,
)
_THAT_IS = re.compile(
    r"\s*(?:--|-|,|;)\s*(?:so\s+)?(?:that's|that\s+is|that\s+makes|which\s+is|which\s+makes)\s+(?:a\s+total\s+of\s+)?"
    r"(?P<total>\d+)\s+[a-z]+(?:\s+(?:in\s+all|altogether|total))?\s*[.]?$",
    re.IGNORECASE,
)
_LISTED = re.compile(
    r"^(?P<head>(?:rows|blocks|units|rounds|borders|sections)\s+(?P<list>\d{1,2}(?:\s*(?:,|and|&)+\s*\d{1,2})+))"
    r"\s*(?::|--)\s*(?P<rest>.*?\bfor\s+(?:each|every)\s+)(?=(?:row|block|unit|round|border|section)\b)",
    re.IGNORECASE,
)
_SO_MANY_OF_EACH = re.compile(
    rf"(?P<before>\bfrom\s+(?:each|every)\b.*?\bcut)\s+(?:in)?to\s+(?P<what>{NUMBER}\s*{UNIT}\s*[^\d]*?)"
    r"\s*(?:--|-|,|\()\s*(?P<number>\d+)\s+(?:of|from|per|in)\s+(?:each|every)\s+[a-z]+\s*\)?\s*[.]?$",
    re.IGNORECASE,
)
_NAMED = re.compile(
    rf"^(?P<count>\(?\d+\)?)\s+(?P<name>(?P<word>[A-Z][a-z]+)s?\s+\#?\d{{1,2}})\s*(?:,|:|--|\()\s*(?={NUMBER}\s*(?:{UNIT}|x|×))",
)
_OF_THESE_CUT = re.compile(
    r"(?<=[;,.]\s)(?P<number>\d+)\s+of\s+(?:these|those|them)\s+(?:are\s+)?(?P<verb>(?:sub-?\s?|cross-?\s?)?cut)\s+into\b",
    re.IGNORECASE,
)
_CUT_TO_GIVE = re.compile(
    r"\b(?P<verb>(?:sub-?\s?|cross-?\s?|re-?)cut(?:\s+(?:these|those|them|the|each|strips?))*)\s+to\s+"
    rf"(?:give|make|yield|get|obtain)\s+(?=[(‹]?\d+[)›]?\s[^;.]*?{NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_BLOCK_NEEDS = re.compile(
    r"\b(?:(?:each|every|one)\s+(?:[a-z]+\s+)?(?:block|star|unit)\s+(?:needs|takes|requires|uses)\s*:?\s*"
    r"|for\s+(?:each|every|one|1|a)\s+(?:[a-z]+\s+)?(?:block|star|unit)\s*[,:]?\s*cut\s*:?\s+)"
    r"(?P<items>[^.;]*\d[^.;]*(?:[.]\d[^.;]*)*?)[.;]\s*(?:cut|make)\s+(?:enough\s+)?(?:for\s+)?(?P<number>\w+)\s+"
    r"(?:[a-z]+\s+)?(?:blocks|stars|units)\b",
    re.IGNORECASE,
)
_PANEL = re.compile(
    r"^(?:(?:first|then),?\s+)?(?:trim|fussy[\s-]?cut|cut)\s+(?:(?:your|the|this)\s+)?(?:[a-z-]+\s+)?panel\s+(?:down\s+)?to\s+(?:measure\s+)?"
    rf"(?P<size>{NUMBER}\s*{UNIT}?\s*(?:x|×|by)\s*{NUMBER}\s*{UNIT}?)(?P<rest>[^\d]*)$",
    re.IGNORECASE,
)
_FOR_ONE_BLOCK = re.compile(
    r"^(?:[^.;\d]*\b(?:following|these|instructions|pieces)\b[^.;\d]*?\s)?for\s+(?:one|1|a|each)\s+(?:[a-z]+\s+){0,3}?block\s*[.;,:]\s*"
    r"repeat\s+(?:to\s+(?:make|cut(?:\s+pieces)?(?:\s+for)?)|for)\s+(?:a\s+total\s+of\s+)?(?P<number>\d+)\s+"
    r"(?:[a-z]+\s+){0,3}?blocks(?:\s+(?:total|in\s+all|altogether))?\s*[.:]?$",
    re.IGNORECASE,
)
_MAKES_A_RUN = re.compile(
    rf"^(?:make|prepare)\s+(?={NUMBER}\s*{UNIT}\s+of\s+[^.;]*\d[^.;]*\b(?:binding|strip)\b)",
    re.IGNORECASE,
)


def block_needs_first(line: str) -> str:
    """Return ``Each block needs 4 squares 3". Cut for 6 blocks.`` as one sentence."""
    if (found := _FOR_ONE_BLOCK.match(line)) is not None:
        return f"For each of {found['number']} blocks, cut:"
    return _BLOCK_NEEDS.sub(r"For each of \g<number> blocks cut \g<items>.", line)


def as_first_cut(signs: str) -> str:
    """Return what is made before anything is cut as a cut.

    ``Trim your panel to 22½" x 40½"`` is the one piece of it; ``Make 8 yd of 2¼" binding`` is cut
    as a running length.
    """
    if (found := _PANEL.match(signs)) is not None:
        return f"cut (1) {found['size']} piece"
    return _MAKES_A_RUN.sub("cut ", signs)


def in_usual_order(text: str) -> str:
    """Return a sentence in plain signs with its counts in front and its sizes behind them."""
    text = _WHEN_BEHIND.sub("", _WHEN_BEFORE.sub("", _DASHED_HEAD.sub(r"\g<head>: ", text)))
    if _SIZED.search(_SAME_SIZE.sub(" ", text)):
        text = _SAME_SIZE.sub(" ", text)
    text = _ALONG_AN_EDGE.sub(r"\g<width> x \g<length>\g<noun>", text)
    text = _WAY_MEASURED.sub(_along_or_across, text)
    text = _LISTED.sub(_for_each_of_listed, text)
    text = _OF_THESE_CUT.sub(r"\g<verb> \g<number> of these strips into", text)
    text = _CUT_TO_GIVE.sub(r"\g<verb> into ", text)
    text = _SO_MANY_OF_EACH.sub(r"\g<before> into \g<number> \g<what>", text)
    text = _NAMED.sub(_with_name, text)
    return _added_up(text)


def _along_or_across(found: re.Match[str]) -> str:
    return f"{found['said']} lengthwise" if found["way"].casefold() == "length" else "wof"


def _for_each_of_listed(found: re.Match[str]) -> str:
    number = len(re.findall(r"\d+", found["list"]))
    return re.sub(r"(?:each|every)\s+$", f"each of {number} ", found["rest"], flags=re.IGNORECASE)


def _with_name(found: re.Match[str]) -> str:
    if found["word"].casefold() in NOUNS:
        return found.group(0)
    return f"{found['count']} ‹{found['name']}› "


def _added_up(text: str) -> str:
    """Return the counts of one size that stand in two places as their sum, or their product."""
    if (picked := _PICK_AND_CUT.match(text)) is not None:
        number = int(picked["picked"]) * int(picked["each"])
        said = _THAT_IS.search(text)
        if said is None or int(said["total"]) == number:
            return f"({number}) {_THAT_IS.sub('', text[picked.end() :])}"
        return text
    more = _SO_MANY_MORE.match(text)
    if more is None or len(_SIZED.findall(more["what"])) != 1:
        return text
    return f"({int(more['first']) + int(more['more'])}) {more['what']}{more['purpose'] or ''}"

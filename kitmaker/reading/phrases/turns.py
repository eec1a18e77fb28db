"""Turns of speech in which a count or a size stands in another place, put in the usual order.

``Thirty 4½" squares for block A, and 15 more for block B`` are 45 squares; ``rows 2 and 4: 10
pieces for each row`` is for each of 2 rows. Only the order of words changes here: what a
number means is read later.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from kitmaker.lengths import Length, Unit
from kitmaker.reading.phrases.elements import NOUNS
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length

NARROWEST_BOLT: Length = Length(36)
"""Inches; a width of less is that of a fat quarter or another cut piece. No source."""

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
    rf"(?:the\s+)?(?P<way>length|width)\s+of\s+(?:the\s+)?(?:[a-z]+\s+)?fabric\s*\(\s*(?P<said>(?P<number>{NUMBER})\s*(?P<unit>{UNIT}))\s*\)",
    re.IGNORECASE,
)
_PICK_AND_CUT = re.compile(
    rf"^(?:pick|choose|select|take|use|pull|sort\s+out)\s+(?:out\s+)?(?:(?:your|the|any)\s+)?{_COUNT.format(name='picked')}\s+"
    r"(?:[a-z-]+\s+)*?and\s+(?:sub-?\s?|cross-?\s?)?cut\s+each(?:\s+1|\s+of\s+(?:these|them))?(?P<parts>\s+in(?:to)?\s+(?:half|halves|quarters))?\s+"
    rf"(?:into|(?:to|and)\s+(?:give|get|make|yield)|for|so\s+(?:that\s+)?you\s+(?:will\s+)?have)\s+(?:a\s+total\s+of\s+)?{_COUNT.format(name='each')}\s+(?=[^;]*\d)",
    re.IGNORECASE,
)
_OF_EACH_IN_ALL = re.compile(
    r"^(?P<lead>(?:cut\s+)?)\(?(?P<share>\d+)\)?(?P<what>\s*(?:-+\s*)?[^;]*?)\s+(?:from|per|of)\s+(?:each|every)\s+[a-z][a-z\s]*?"
    r"\s*[,;(:-]+\s*(?:for\s+)?(?:(?:a\s+)?total\s*(?:of|:)?\s*(?P<total>\d+)|(?P<after>\d+)\s+(?:in\s+all|in\s+total|total|altogether))\s*\)?\s*[.]?$",
    re.IGNORECASE,
)
_ON_EACH_PIECE = re.compile(
    r"\s*(?:[,;(]|--)?\s*\b(?:with\s+(?:an?|the|1)\s+(?!(?:squares?|strips?|pieces?|pair|set|different|prints?|fabrics?)\b)|cent(?:er|re)(?:ed|ing|d)?\s|(?:draw|mark|press|label|number)(?:ing)?\s)"
    r"[^;()\d\"]*?\b(?:in|on|(?:middle|center|centre|side|back|front|corners?|edge)\s+of)\s+(?:each|every)(?:\s+(?:1|one|square|piece|strip|rectangle|patch))?"
    r"\s*\)?\s*[.]?$|\s*\((?:label|mark|number|baste|stack|draw|press)\s[^()\d]*\)",
    re.IGNORECASE,
)
"""What is seen or drawn on each of the pieces; it multiplies nothing."""
_SOME_CUT_ON = re.compile(
    r"^(?P<lead>(?:cut\s+)?\(?(?P<all>\d+)\)?\s[^;()]*?)\s*[(:;-]+\s*(?P<whole>\d+)\s+(?:for|to)\s+[^\d();]*?(?:,|;|\band)\s*(?:and\s+)?"
    r"(?P<some>\d+)\s+(?:to\s+(?:be\s+)?)?(?:sub-?\s?|cross-?\s?)?cut\s+(?:up\s+)?into\s+(?P<into>[^()]*?)\s*\)?\s*[.]?$",
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
    r"\b(?P<verb>(?:sub-?\s?|cross-?\s?|re-?)cut(?:\s+(?:these|those|them|the|each|strips?))*)"
    rf"(?:\s+(?:at|@|every)\s+{NUMBER}\s*{UNIT}(?:\s+(?:intervals|increments))?\s*,?)?\s+to\s+"
    rf"(?:give|make|yield|get|obtain)\s+(?=[(‹]?\d+[)›]?\s[^;.]*?{NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_OF_EACH_LISTED = re.compile(
    r"(?P<count>^(?:cut\s+)?[(]?\d+[)]?)\s+of\s+each(?:\s+(?:of\s+the\s+following|size))?\s*:",
    re.IGNORECASE,
)
_PER_BLOCK_IN_ALL = re.compile(
    rf"^(?:cut\s+)?[(]?(?P<share>\d+)[)]?\s+(?P<what>[^,;()]*{NUMBER}[^,;()]*?)\s+(?:per|(?:for|in|to)\s+(?:each|every|a))\s+(?:[a-z]+\s+)?"
    r"(?:block|unit|star|row)\s*(?:--|[,(:=-])+\s*(?:(?:a\s+)?total\s*(?:of|:)?\s*(?P<after>\d+)|(?P<total>\d+)\s+(?:in\s+)?(?:total|all|altogether))\s*\)?\s*[.]?$",
    re.IGNORECASE,
)
_COUNT_LAST = re.compile(
    rf"^(?P<size>{_SIDE}\s*(?:x|×)\s*wof)\s*(?:x|×)\s*(?P<count>\d+)\s*(?P<noun>strips|)\s*[.]?$",
    re.IGNORECASE,
)
_CUT_THESE_IN = re.compile(
    r"\b(?P<these>cut\s+(?:these|those|them|the\s+strips|each(?:\s+strip)?))\s+in\s+(?=[(]?\d+[)]?\s)",
    re.IGNORECASE,
)
_CHOSEN_AND_TRIMMED = re.compile(
    rf"^(?P<before>(?:choose|select|pick|take)\s+(?:out\s+)?[(]?\d+[)]?\s+(?:[a-z]+\s+)*?){_SIDE}\s+(?P<noun>squares)"
    rf"\s*,?\s+(?:and|then)\s+trim\s+(?:(?:them|these|each)\s+)?(?:down\s+)?to\s+(?P<size>{_SIDE})(?:\s+squares?)?",
    re.IGNORECASE,
)
_SHARE_OF_BLOCKS = re.compile(
    r"\s*(?:--|-|,|;|:|\()\s*(?P<share>\d+)\s+(?:per|(?:for|in|to)\s+(?:each|every|a))\s+(?:[a-z]+\s+)?(?P<noun>block|unit|star|row)"
    r"\s*(?:,|x|×|for)\s*(?P<number>\d+)\s+(?:[a-z]+\s+)?(?P=noun)s\s*\)?\s*[.]?$",
    re.IGNORECASE,
)
_SOME_CUT_SOME_WHOLE = re.compile(
    rf"^cut\s+(?P<cut>\d+)\s+of\s+the\s+(?P<what>{_SIDE}\s+squares)\s+(?P<how>[^,;\d]*\bdiagonal(?:ly)?)\s*(?:,|;|and|then|\s)+"
    r"(?:leave|keep|save)\s+the\s+(?:remaining|other|rest)\s+(?P<whole>\d+)\s+(?:whole|uncut|as\s+(?:they\s+are|squares))[.]?$",
    re.IGNORECASE,
)
_HALVED_CLOTH = re.compile(
    rf"^cut\s+(?P<each>(?:each|every)\s+(?:of\s+the\s+)?(?:{_SIDE}\s+)?(?:[a-z]+\s+)?(?:squares?|fat\s+quarters?|fqs?|pieces?))\s+"
    r"(?:in\s+(?P<half>half)|(?:in|into)\s+quarters)(?:\s+[a-z]+)?\s*,?\s*(?:so\s+(?:that\s+)?you\s+(?:will\s+)?(?:have|get)"
    r"|to\s+(?:give|make|yield|get|create|form)|for|giving|making|yielding)\s+(?:you\s+)?(?:a\s+total\s+of\s+)?"
    r"[(]?(?P<number>\d+)[)]?\s+(?=[^;]*\d)",
    re.IGNORECASE,
)
_BLOCK_HEAD = re.compile(
    r"^\s*(?:(?:cut\s+)?(?:for\s+)?(?:each|every|one)|per)\s+(?:[a-z]+\s+)?block\s*,?\s*(?:you(?:'ll|\s+will)?\s+)?(?:cut|need|use)?\s*:\s*",
    re.IGNORECASE,
)
_BLOCKS_MADE = re.compile(
    r"^\s*(?:then\s+)?make\s+(?:a\s+total\s+of\s+)?(?P<number>\d+)(?:\s+(?:[a-z]+\s+){0,2}blocks?|\s+of\s+these)?(?:\s+in\s+all)?\s*[.!]?\s*$",
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
_DIVIDES = re.compile(
    r"^(?:(?:and|then|next|now)\s+)*(?:divide|slice|chop|rotary[\s-]cut)(?=\s+(?:up\s+)?(?:each|every|the|these|this|your|all|[(]?\d))",
    re.IGNORECASE,
)
_TRIMMED_FROM = re.compile(
    rf"^(?:(?:and|then)\s+)*trim\s+(?=[(]?\d+[)]?\s+[^,;.]*{NUMBER}\s*{UNIT}[^,;]*\bfrom\b)",
    re.IGNORECASE,
)
_THE_REST_INTO = re.compile(
    r"^(?:(?:and|then)\s+)*(?:sub-?\s?)?cut\s+(?:(?:all\s+)?the\s+)?(?:rest|others)(?:\s+of\s+(?:the\s+strips|them|these))?\s+into\b",
    re.IGNORECASE,
)
_STRIPS_FOUND = re.compile(
    r"^(?:find|take|get)\s+(?:out\s+)?the\s+strips\b[^,;\d]*?\s+(?:and|then)\s+cut\s+them\s+into\b",
    re.IGNORECASE,
)
_TIMES_NAMED = re.compile(
    rf"\s*\b(?:in|for|at|until|till|by|before|after|see)\s+{_WHEN}\b(?![\"/.-]|\s*(?:x|×|\"|strips?|squares?))"
    rf"|^{_WHEN}\s*[.]?$",
    re.IGNORECASE,
)
_MAKES_A_RUN = re.compile(
    rf"^(?:make|prepare)\s+(?={NUMBER}\s*{UNIT}\s+of\s+(?=.*\d).*\b(?:binding|strips?)\b)",
    re.IGNORECASE,
)


_BLOCK = r"(?:[a-z]+\s+){0,2}?(?:block|star|unit)"
_ONE_OF_SO_MANY = re.compile(
    rf"^(?:for\s+)?(?:(?:each|every|one|1|a)\s+)?{_BLOCK}\s*\(\s*(?:make\s+(?P<make>\d+)|(?P<total>\d+)\s+(?:total|blocks|needed))"
    r"(?:\s+(?:blocks|total))*\s*\)\s*(?:cut\b)?\s*[,:]?\s*(?:cut\b\s*:?)?\s*(?=[^.]*\d)",
    re.IGNORECASE,
)
_ONE_THEN_SO_MANY = re.compile(
    rf"^for\s+(?:each|every|one|1|a)\s+{_BLOCK}\s*[,:]?\s*(?:cut\b\s*:?)?\s*(?P<items>[^.;]*\d.*?)\s*\(\s*make\s+(?P<number>\d+)"
    r"(?:\s+(?:blocks|total))*\s*\)\s*[.]?$",
    re.IGNORECASE,
)
_SO_MANY_THEN_ONE = re.compile(
    rf"^make\s+(?P<number>\d+)(?:\s+(?:[a-z]+\s+){{0,2}}?(?:blocks|stars|units))?\s*[.:]\s*for\s+(?:each|every|one|1|a)\s+{_BLOCK}\s*[,:]?"
    r"\s*(?:you(?:'ll|\s+will)?\s+need|cut)?\s*:?\s*(?=[^.]*\d)",
    re.IGNORECASE,
)
_TIMES_BLOCKS = re.compile(r"\bper\s+block\s*[x×]\s*(?P<number>\d+)\s*(?:blocks?)?", re.IGNORECASE)


def with_blocks_counted_below(lines: Sequence[str]) -> list[str]:
    """Return lines with the 12 of a last ``Make 12 blocks.`` in the heading ``For each block:``."""
    heads = [at for at, line in enumerate(lines) if _BLOCK_HEAD.match(line)]
    made = [found for line in lines if (found := _BLOCKS_MADE.match(line))]
    are_of_one = len(heads) == 1 and len(made) == 1
    blocks = f"of {made[0]['number']} blocks" if are_of_one else "block"
    return [
        _BLOCK_HEAD.sub(f"For each {blocks} cut: ", line).rstrip() if at in heads else line
        for at, line in enumerate(lines)
    ]


def block_needs_first(line: str) -> str:
    """Return ``Each block needs 4 squares 3". Cut for 6 blocks.`` as one sentence."""
    if (found := _FOR_ONE_BLOCK.match(line)) is not None:
        return f"For each of {found['number']} blocks, cut:"
    if (found := _ONE_THEN_SO_MANY.match(line)) is not None:
        return f"For each of {found['number']} blocks cut {found['items']}"
    line = _ONE_OF_SO_MANY.sub(
        lambda found: f"For each of {found['make'] or found['total']} blocks cut ", line
    )
    line = _SO_MANY_THEN_ONE.sub(r"For each of \g<number> blocks cut ", line)
    line = _TIMES_BLOCKS.sub(r"for each of \g<number> blocks", line)
    return _BLOCK_NEEDS.sub(r"For each of \g<number> blocks cut \g<items>.", line)


def as_cutting(signs: str, *, is_first: bool) -> str:
    """Return what is trimmed or made of the cloth itself as a cut.

    ``Trim one 6" square from what is left`` cuts one. Where nothing is cut before it, ``Trim your
    panel to 22½" x 40½"`` is the one piece of it, and ``Make 8 yd of 2¼" binding`` a length.
    """
    signs = _THE_REST_INTO.sub("sub-cut the remaining strips into", signs)
    signs = _STRIPS_FOUND.sub("sub-cut the remaining strips into", _TRIMMED_FROM.sub("cut ", signs))
    signs = _DIVIDES.sub("cut", _TIMES_NAMED.sub("", signs))
    if not is_first:
        return signs
    if (found := _PANEL.match(signs)) is not None:
        return f"cut (1) {found['size']} piece"
    return _MAKES_A_RUN.sub("cut ", signs)


def in_usual_order(text: str, cloths: int | None) -> str:
    """Return a sentence in plain signs with its counts in front and its sizes behind them.

    Args:
        text: The sentence.
        cloths: How many pieces of cloth the fabric comes in; None when it is not said.

    Raises:
        UnsureError: Its numbers do not fit together.
    """
    if cloths is not None:
        text = _SOME_CUT_SOME_WHOLE.sub(lambda found: _both_of_all(found, cloths), text)
        text = _HALVED_CLOTH.sub(lambda found: _from_each_cloth(found, cloths), text)
    text = _WHEN_BEHIND.sub("", _WHEN_BEFORE.sub("", _DASHED_HEAD.sub(r"\g<head>: ", text)))
    if _SIZED.search(_SAME_SIZE.sub(" ", text)):
        text = _SAME_SIZE.sub(" ", text)
    text = _ALONG_AN_EDGE.sub(r"\g<width> x \g<length>\g<noun>", text)
    text = _WAY_MEASURED.sub(_along_or_across, text)
    text = _LISTED.sub(_for_each_of_listed, text)
    text = _OF_THESE_CUT.sub(r"\g<verb> \g<number> of these strips into", text)
    text = _OF_EACH_LISTED.sub(r"\g<count> each:", text)
    text = _SOME_CUT_ON.sub(_some_cut_on, _ON_EACH_PIECE.sub("", text))
    if cloths is None:
        text = _OF_EACH_IN_ALL.sub(_of_each_in_all, text)
    text = _PER_BLOCK_IN_ALL.sub(_in_all, text)
    text = _COUNT_LAST.sub(r"\g<count> \g<noun> \g<size>", text)
    text = _CUT_THESE_IN.sub(r"\g<these> into ", text)
    text = _CHOSEN_AND_TRIMMED.sub(r"\g<before>\g<size> \g<noun>", text)
    text = _SHARE_OF_BLOCKS.sub(_without_right_share, text)
    text = _CUT_TO_GIVE.sub(r"\g<verb> into ", text)
    text = _SO_MANY_OF_EACH.sub(r"\g<before> into \g<number> \g<what>", text)
    text = _NAMED.sub(_with_name, text)
    return _added_up(text)


def _both_of_all(found: re.Match[str], cloths: int) -> str:
    """``Cut 10 of the 5" squares once on the diagonal and leave the other 32 whole``: of 42."""
    if int(found["cut"]) + int(found["whole"]) != cloths:
        return found.group(0)
    return (
        f"cut ({found['cut']}) {found['what']} {found['how']}, ({found['whole']}) {found['what']}"
    )


def _from_each_cloth(found: re.Match[str], cloths: int) -> str:
    """``Cut each square in half so that you have 40 rectangles``: 2 from each of 20."""
    number, parts = int(found["number"]), 2 if found["half"] else 4
    if number not in (parts, parts * cloths):
        raise UnsureError(
            f"{cloths} pieces of cloth give {parts * cloths} such pieces, not {number}",
            "Type the total of pieces.",
        )
    return f"From {found['each']} cut {parts} "


def _along_or_across(found: re.Match[str]) -> str:
    if found["way"].casefold() == "length":
        return f"{found['said']} lengthwise"
    is_bolt = to_length(found["number"], found["unit"], Unit.INCH) >= NARROWEST_BOLT
    return "wof" if is_bolt else found["said"]


def _for_each_of_listed(found: re.Match[str]) -> str:
    number = len(re.findall(r"\d+", found["list"]))
    return re.sub(r"(?:each|every)\s+$", f"each of {number} ", found["rest"], flags=re.IGNORECASE)


def _without_right_share(found: re.Match[str]) -> str:
    """Leave out ``9 for each block, 2 blocks`` behind a count of 18."""
    total = int(found["share"]) * int(found["number"])
    before = found.string[: found.start()]
    return "" if re.search(rf"(?<![\d/.-]){total}(?![\d/.\"])", before) else found.group(0)


def _in_all(found: re.Match[str]) -> str:
    """``4 squares 2½" per block (48 total)``: 48, where blocks of 4 come to that."""
    total = int(found["total"] or found["after"])
    if total % int(found["share"]):
        return found.group(0)
    return f"({total}) {found['what']}"


def _of_each_in_all(found: re.Match[str]) -> str:
    """``4 squares 9" from each fat quarter, total of 40``: 40, where fours come to that."""
    total = int(found["total"] or found["after"])
    if len(_SIZED.findall(found["what"])) != 1 or total % int(found["share"]):
        return found.group(0)
    return f"{found['lead']}({total}) {found['what']}"


def _some_cut_on(found: re.Match[str]) -> str:
    """``5 strips 4" (4 for borders, 1 to cut into 4 squares 4")``: one of the five is cut on."""
    if int(found["whole"]) + int(found["some"]) != int(found["all"]):
        return found.group(0)
    return f"{found['lead']}; sub-cut {found['some']} strips into {found['into']}"


def _with_name(found: re.Match[str]) -> str:
    if found["word"].casefold() in NOUNS:
        return found.group(0)
    return f"{found['count']} ‹{found['name']}› "


def _added_up(text: str) -> str:
    """Return the counts of one size that stand in two places as their sum, or their product."""
    if (picked := _PICK_AND_CUT.match(text)) is not None:
        squares, made = int(picked["picked"]), int(picked["each"])
        parts = parts_of(picked["parts"] or "")
        if parts and made not in (parts, squares * parts):
            return text
        number = made if parts and made == squares * parts else squares * made
        said = _THAT_IS.search(text)
        if said is None or int(said["total"]) == number:
            return f"({number}) {_THAT_IS.sub('', text[picked.end() :])}"
        return text
    more = _SO_MANY_MORE.match(text)
    if more is None or len(_SIZED.findall(more["what"])) != 1:
        return text
    return f"({int(more['first']) + int(more['more'])}) {more['what']}{more['purpose'] or ''}"


def parts_of(words: str) -> int:
    """Return into how many parts each is cut; 0 where it is not said in a word.

    Args:
        words: ``in half``, ``into quarters``.
    """
    if re.search(r"\b(?:quarters|fourths|twice|both)\b", words, re.IGNORECASE):
        return 4
    return 2 if re.search(r"\bhal(?:f|ves)\b", words, re.IGNORECASE) else 0

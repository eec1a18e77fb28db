"""Roundabout manners of speech, put in the plain one before a line is read.

Only what has one meaning is put otherwise: "8 sets of 4 matching squares" are 32 squares,
"18 pairs" are 36, "9 pieces each" of 20 squares are 180. The rest stays as it is, for the
reader to refuse.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.lengths import Unit
from kitmaker.reading.phrases.from_counted import all_of_counted
from kitmaker.reading.phrases.model import NARROWEST_WHOLE_WIDTH, FabricFacts
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length
from kitmaker.reading.phrases.turns import in_usual_order

_COUNT = r"[(‹]?\s*(\d+)\s*[)›]?"
_SIZE = re.compile(
    rf"{NUMBER}\s*{UNIT}?\s*(?:x|×)\s*{NUMBER}\s*{UNIT}?|{NUMBER}\s*{UNIT}", re.IGNORECASE
)
_EACH_MEASURES = re.compile(
    r"(?<=\d)(?P<what>[)›]?\s+(?:[a-z-]+\s+){0,2}?(?:strips|squares|rectangles|pieces|borders))\s*,?"
    rf"\s+(?:each|all)\s+(?:measuring\s+|of\s+)?(?={NUMBER})",
    re.IGNORECASE,
)
_WIDE_AND_LONG = re.compile(
    rf"({NUMBER}\s*{UNIT})\s*(?:wide|high|tall)\s*,?\s*(?:and|by)\s+({NUMBER}\s*{UNIT})\s*long\b",
    re.IGNORECASE,
)
_LONG_AND_WIDE = re.compile(
    rf"({NUMBER}\s*{UNIT})\s*long\s*,?\s*(?:and|by|x)\s+({NUMBER}\s*{UNIT})\s*(?:wide|high|tall)\b",
    re.IGNORECASE,
)
_CLOTH = r"(?:fat\s+quarters?|fat\s+eighths?|fqs?|f8s?|prints?|fabrics?|colou?rs?)"
_YIELD_AND_TOTAL = re.compile(
    r"\(\s*(?P<each>\d+\s+(?:per|from\s+(?:each|a))\s+strip)\s*[,;:]\s*(?P<total>\d+\s+(?:in\s+)?(?:total|all|altogether))\s*\)",
    re.IGNORECASE,
)
_TOTAL_EACH = re.compile(
    rf"(?<=\d)(?P<what>\s+(?:strips|squares|rectangles|pieces))\s+(?:total|in\s+all|altogether)\s*,\s*each\s+(?={NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_ONE_OF_EACH = re.compile(
    rf"^(?P<cut>(?:cut\s+)?)(?P<what>1\s+(?:strip|square|rectangle|piece))\s+(?:each|ea[.]?)\s*,?\s*(?={NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_ONE_CLOTH = re.compile(rf"^1\s+(?:[a-z]+\s+)?{_CLOTH}\s*:\s*", re.IGNORECASE)
_SETS = re.compile(
    rf"{_COUNT}\s+(?:matching\s+|identical\s+)?sets?\s+of\s+{_COUNT}\s+(?:(?:matching|identical)\s+)?",
    re.IGNORECASE,
)
_PAIRS = re.compile(
    rf"{_COUNT}\s+(?:(?:matching|identical)\s+)?pairs?\s+of\s+(?:(?:matching|identical)\s+)?",
    re.IGNORECASE,
)
_SQUARES_INTO = re.compile(
    rf"^(?:cut\s+)?{_COUNT}\s+(?:--\s+)?(?:[a-z]+\s+)*?\(?(?P<large>{NUMBER})\s*(?P<unit>{UNIT})?\s*squares?\)?"
    rf"\s+into\s+{_COUNT}\s+(?:pieces|squares|patches)\s+each\s*,?\s*\(?\s*(?:of\s+)?"
    rf"(?P<small>{NUMBER}\s*{UNIT}?)\s*squares?\s*\)?[.]?$",
    re.IGNORECASE,
)
PARTED = (
    r"in(?:to)?\s+(?:half|halves|quarters|fourths)(?:\s+(?:vertically|horizontally|lengthwise|crosswise"
    r"|both\s+ways|in\s+both\s+directions|and|then|twice))*"
    r"\s*,?\s*(?:to\s+(?:make|yield|get|give)|for|making|yielding|giving|(?:and|so(?:\s+that)?)\s+you\s+have)"
)
_EACH_SQUARE_INTO = re.compile(
    r"^cut\s+(?P<what>(?:each|every)\s+(?:of\s+the\s+)?(?:[^()]*?\s)?"
    rf"(?:squares?|strips?|fat\s+quarters?|fqs?|prints?|fabrics?))\s+(?:into|{PARTED}(?!\s+a\s+total))\s+",
    re.IGNORECASE,
)
_SQUARES_PARTED = re.compile(
    rf"^cut\s+(?:all(?:\s+of)?|{_COUNT}\s+of|the)\s+(?:(?:your|the|these|those)\s+)?(?:{NUMBER}\s*{UNIT}\s*)?(?:[a-z]+\s+)?"
    rf"squares\s+{PARTED}\s+(?:a\s+total\s+of\s+)?(?=\(?\d+\)?\s)",
    re.IGNORECASE,
)
_OF_EACH_KIND = re.compile(
    r"^(?P<cut>cut\s+)?(?P<count>\d+)\s+each\s*(?:of\s+|:\s*)?(?P<kinds>.*)$", re.I
)
_BRACKET_YIELD = re.compile(
    r"(?P<before>\b(?:strips?|wof)\b[^();]*)\(\s*(?:to\s+)?(?:will\s+)?(?:yields?|makes?|gives?|cut\s+into|for\s+a\s+total\s+of)\s+"
    rf"(?P<what>\d+\s*(?:--\s*)?(?:[a-z]+\s+){{0,2}}{NUMBER}[^()]*)\)",
    re.IGNORECASE,
)
_ARROW = re.compile(
    rf"(?<=\S)\s*(?:→|=>|->|=)\s*(?=[(‹]?\d+[)›]?\s*(?:(?:--|-|x|×|@)\s*|[a-z]+,?\s+(?:@\s*|(?:at|of)\s+)?)?{NUMBER}\s*(?:{UNIT}|x|×))",
    re.IGNORECASE,
)
_ARROW_OF_SIZES = re.compile(
    rf"^(?P<strips>(?:cut\s+)?{_COUNT}\s*(?:--\s*)?{NUMBER}\s*{UNIT}?\s*(?:x|×)\s*{NUMBER}\s*{UNIT})\s*(?=(?:→|=>|->)\s*[(‹]?\d)",
    re.IGNORECASE,
)
_HEADED_EACH = re.compile(
    r"^(?P<what>\d+\s+(?:[a-z-]+\s+)*?(?:fat\s+quarters|fat\s+eighths|fqs|prints|fabrics|strips|squares))"
    r"\s*(?::|--)\s*(?P<rest>cut\b.*?\bfrom\s+each)\b(?:\s+one)?\s*[.]?$",
    re.IGNORECASE,
)
_EACH_HEAD = re.compile(
    rf"^(?:each|every)\s+(?P<what>(?:[a-z]+\s+)?{_CLOTH})\s*:\s*(?:cut\s+)?", re.IGNORECASE
)
_PER_CLOTH = re.compile(rf"\bper\s+(?={_CLOTH}\b)", re.IGNORECASE)
_CUT_EVERY = re.compile(
    rf"(?P<verb>\b(?:sub-?\s?|cross-?\s?|re-?)cut)\s+(?:(?:the\s+|these\s+)?strips?\s+)?(?:at|every)\s+"
    rf"(?={NUMBER}\s*{UNIT})",
    re.IGNORECASE,
)
_HALVED = re.compile(
    r"\bcut\s+(?P<what>(?:‹?\d+›?\s+(?:of\s+(?:the|these)\s+)?)?(?:(?:each|them|these|the|all|strips?)\s+)*)in\s+half"
    r"(?:\s+crosswise)?\s*,?\s*(?:to\s+(?:make|yield|get|give)|for|making|yielding)\s+(?:a\s+total\s+of\s+)?"
    rf"(?=[(‹]?\d+[)›]?\s*(?:--\s*)?(?:(?:strips?|pieces?|rectangles?)\s*,?\s*)?{NUMBER}\s*{UNIT})",
    re.IGNORECASE,
)
_USES_STRIPS = re.compile(
    r"^use\s+(?P<number>‹?\d+›?)\s+(?:of\s+(?:the|these)\s+)?strips?\s+to\s+(?:sub-?\s?|cross-?\s?)?cut\s+",
    re.IGNORECASE,
)
_SHARED_OUT = re.compile(
    r"\s*(?:--|:|;|,)\s*(?P<parts>\(?\d+\)?\s+(?:for\s+)?[a-z -]+?"
    r"(?:\s*(?:,|and|&)+\s*\(?\d+\)?\s+(?:for\s+)?[a-z -]+?)+)"
    r"\s*[.]?$",
    re.IGNORECASE,
)
_SHARE_OF_EACH = re.compile(
    r"\s*[,(]\s*(?:cut\s+)?(?P<share>\d+)\s+(?:from|of|per)\s+(?:each|every)(?:\s+(?:print|fabric|colou?r|fat\s+quarter|fq))?\s*\)?\s*[.]?$",
    re.IGNORECASE,
)
_OF_EACH_BLOCK = re.compile(
    r"(?<=[\w\"])\s*(?:,|--)\s*(?P<share>\d+\s+(?:for|per|to|in)\s+(?:each\s+|every\s+|a\s+)?(?:of\s+(?:the\s+)?\d+\s+)?(?:blocks?|units?|stars?))\s*[.]?$",
    re.IGNORECASE,
)
_STRIP_SET = re.compile(r"\bstrip\s+(?=sets?\b)", re.IGNORECASE)
_FROM_COUNTED_STRIPS = re.compile(
    rf"^(?:(?:sub-?\s?|cross-?\s?)?cut\s+)?(?P<what>{_COUNT}.*?{NUMBER}.*?)\s*,?\s*\(?\s*\b(?:cut\s+)?(?:from|cut)\s+"
    rf"(?P<strips>{_COUNT}(?!\s*-?\s*\d+\s*/)\s*(?:--\s*|-\s*)?(?=[^().;]*{NUMBER}\s*(?:{UNIT}|x|×|wof))(?=[^();]*\bstrips?\b)[^();]*)\)?[.]?$",
    re.IGNORECASE,
)
_THEN_CUT = re.compile(
    r"(?P<before>[^;]*?)\s*[;,]\s*(?:and\s+)?(?:(?P<then>then\s+)(?:cut\s+)?|cut\s+)(?P<what>\(?\d[^;]*)(?P<tail>;.*)?$",
    re.IGNORECASE,
)
_MEASURED = re.compile(rf"(?<![\d/.])({NUMBER})\s*(?:{UNIT}|x|×)", re.IGNORECASE)
_STRIP_SHOULD = re.compile(
    r"^each\s+strip\s+(?:should|can|will|is|must)\s+(?:be\s+)?cut\s+into\b", re.IGNORECASE
)
_USING_STRIPS = re.compile(
    r"^using\s+(?=(?:the\s+|these\s+)?(?:[^,]*\s)?strips\b[^,]*,?\s*cut\b)", re.IGNORECASE
)
_USING_COUNTED_STRIPS = re.compile(
    r"^(?:using|with|from)\s+(?P<strips>(?:a|\d+)\s+(?=[^,;]*\d)[^,;]*?\bstrip\b[^,;\d]*?)\s*,?\s*cut\s+(?=[(]?\d)",
    re.IGNORECASE,
)
_EACH_OF_CLOTH = re.compile(
    rf"(?<=s)\s+each\s+of\s+(?=\d+\s+(?:[a-z]+\s+)?{_CLOTH}\b)", re.IGNORECASE
)
_STRIPS = re.compile(r"\bstrips?\b|\bwof\b", re.IGNORECASE)
_EACH_STRIP = re.compile(
    r"(?P<before>\bstrips?\b.*?\S)\s*[,;:.]?\s*(?:(?:and|then)\s+)*\bfrom\s+(?:each|every)\s+"
    r"(?:of\s+(?:the|these|those)\s+)?strips?\s*,?\s*cut\b\s*:?",
    re.IGNORECASE,
)
_SETS_OF = re.compile(
    r"(?<=cut\s)\(?(?P<number>\d+)\)?\s+(?:matching\s+|identical\s+)?sets?(?:\s+of)?\s*:?$",
    re.IGNORECASE,
)
_SETS_OF_ITEMS = re.compile(
    r"^(?:cut\s+)?[(‹]?(?P<number>\d+)[)›]?\s+(?:matching\s+|identical\s+)?sets?\s+of\s*:"
    r"\s*(?=[(‹]?\d)",
    re.IGNORECASE,
)
_BLOCKS = re.compile(
    r"\bfor\s+(?:each|every|1|a)\s+(?:of\s+(?:the\s+)?)?(?:(?P<number>\d+)\s+)?(?:[a-z]+\s+)??"
    r"(?P<noun>blocks?|units?|rows?|stars?|flowers?|baskets?|houses?|trees?|hearts?|boats?|rings?)\b"
    r"\s*[,:]?",
    re.IGNORECASE,
)


def in_plain_manner(text: str, facts: FabricFacts) -> str:
    """Return a line in plain signs without roundabout manners of speech.

    Args:
        text: The line.
        facts: How many prints or pieces of cloth there are.

    Raises:
        UnsureError: It has one of them, and two honest meanings.
    """
    text = _YIELD_AND_TOTAL.sub(r"(\g<total>) (\g<each>)", text)
    text = _TOTAL_EACH.sub(r"\g<what> ", in_usual_order(text, facts.cloths))
    text = _STRIP_SET.sub("strip-", _EACH_MEASURES.sub(r"\g<what> ", text))
    text = _ONE_CLOTH.sub("", text)
    text = _LONG_AND_WIDE.sub(r"\2 x \1", _WIDE_AND_LONG.sub(r"\1 x \2", text))
    if facts.prints is not None or facts.cloths is not None:
        text = _ONE_OF_EACH.sub(r"from each cut \g<what> ", text)
    text = _without_shares(_without_share_of_each(text, facts))
    text = _counts_in_plain_manner(text)
    if facts.prints is None and facts.cloths is None:
        text = _of_each_kind(text)
    text = _SQUARES_INTO.sub(_of_each_square, text)
    text = _EACH_SQUARE_INTO.sub(_from_each, _SQUARES_PARTED.sub("From the squares cut ", text))
    text = _once_from_each(text)
    text = all_of_counted(text)
    text = _EACH_HEAD.sub(r"From each \g<what> cut ", _PER_CLOTH.sub("from each ", text))
    text = _EACH_OF_CLOTH.sub(" from each of ", _USING_STRIPS.sub("from ", text))
    text = _STRIP_SHOULD.sub("sub-cut each into ", text)
    text = _HEADED_EACH.sub(r"\g<rest> of the \g<what>", text)
    return _cut_on_in_plain_manner(text)


def _counts_in_plain_manner(text: str) -> str:
    if len(_SIZE.findall(text)) != 1:
        return text
    text = _SETS.sub(lambda found: _in_all(found, int(found[1]) * int(found[2])), text)
    return _PAIRS.sub(lambda found: _in_all(found, int(found[1]) * 2), text)


def _in_all(found: re.Match[str], number: int) -> str:
    """Return the count of ``9 sets of 4``; in a bracket it shares out a count before it."""
    words = found.group(0)
    return words if words.startswith("(") and ")" not in words else f"({number}) "


def _of_each_kind(text: str) -> str:
    """Return ``8 each 2½" squares and 2½" × 4½" rectangles`` with 8 before each of them."""
    found = _OF_EACH_KIND.match(text)
    if found is None:
        return text
    kinds = re.split(rf"\s*(?:,\s*and|,|&|\band)\s+(?={NUMBER}\s*(?:{UNIT}|x|×))", found["kinds"])
    if len(kinds) < 2 or any(
        not re.match(NUMBER, one) or len(_SIZE.findall(one)) != 1 for one in kinds
    ):
        return text
    return (found["cut"] or "") + ", ".join(f"({found['count']}) {kind}" for kind in kinds)


def _cut_on_in_plain_manner(text: str) -> str:
    """Return a line in which what strips are cut into stands behind ``sub-cut into``."""
    if (found := _FROM_COUNTED_STRIPS.match(text)) and not _STRIPS.search(found["what"]):
        text = f"{found['strips']}; sub-cut into {found['what']}"
    text = _BRACKET_YIELD.sub(r"\g<before>; sub-cut into \g<what>", text)
    text = _EACH_STRIP.sub(r"\g<before>; sub-cut each into ", text)
    text = _USING_COUNTED_STRIPS.sub(r"cut \g<strips>; sub-cut into ", text)
    text = _THEN_CUT.sub(_then_cut, text)
    text = _CUT_EVERY.sub(r"\g<verb> into ", text)
    text = _USES_STRIPS.sub(r"sub-cut \g<number> strips into ", text)
    text = _HALVED.sub(_halved, text)
    text = _ARROW_OF_SIZES.sub(r"\g<strips> strips ", text)
    if _STRIPS.search(text):
        text = _ARROW.sub("; sub-cut into ", text, count=1)
    return text


def _then_cut(found: re.Match[str]) -> str:
    """``5 strips 3½" × WOF, then cut 8 – 3½" × 20½"``: from the strips, being of their width."""
    before, what = found["before"], found["what"]
    widths = _MEASURED.findall(before)
    if not widths or not _STRIPS.search(before) or re.search(r"\bstrips?\b", what, re.IGNORECASE):
        return found.group(0)
    if widths[-1] not in _MEASURED.findall(what):
        return found.group(0)
    if not found["then"] and not _takes_all(before, what):
        return found.group(0)
    return f"{found['before']}; sub-cut into {found['what']}{found['tail'] or ''}"


def _takes_all(strips: str, pieces: str) -> bool:
    """Whether counted squares take just the strips before them, two or more."""
    strip = re.match(rf"(?:cut\s+)?{_COUNT}\D*?({NUMBER})", strips, re.IGNORECASE)
    square = re.match(rf"{_COUNT}\s*(?:--\s*)?({NUMBER})\s*{UNIT}\s*(?:squares|sq)\b", pieces, re.I)
    if strip is None or square is None or "cm" in strips:
        return False
    from_one = NARROWEST_WHOLE_WIDTH // to_length(square[2], None, Unit.INCH)
    return int(strip[1]) > 1 and from_one > 0 and -(-int(square[1]) // from_one) == int(strip[1])


def _halved(found: re.Match[str]) -> str:
    number = re.search(r"\d+", found["what"])
    return f"sub-cut {number[0]} strips into " if number else "sub-cut into "


def _without_shares(text: str) -> str:
    """Leave out what a count is shared out to: ``10 strips -- 4 for border, 6 for binding``."""
    text = _OF_EACH_BLOCK.sub(r" (\g<share>)", text)
    found = _SHARED_OUT.search(text)
    if found is None:
        return text
    total = sum(int(number) for number in re.findall(r"\d+", found["parts"]))
    before = text[: found.start()]
    said = re.search(rf"(?<![\d/.-]){total}(?![\d/.\"]|\s*/)", before)
    return before if said is not None else text


def _without_share_of_each(text: str, facts: FabricFacts) -> str:
    """Leave out ``48 squares, 16 from each print`` where three prints make 48 of 16."""
    found = _SHARE_OF_EACH.search(text)
    before = text[: found.start()] if found is not None else ""
    if found is None or len(_SIZE.findall(before)) != 1 or re.search(r"\beach\b", before, re.I):
        return text
    share = int(found["share"])
    counts = {int(number) for number in re.findall(r"(?<![\d/.-])\d+(?![\d/.\"]|\s*/)", before)}
    known = {one for one in (facts.prints, facts.cloths) if one is not None}
    totals = {share * one for one in known} or {one for one in counts if one % share == 0}
    return before if totals & counts - {share} else text


def _from_each(found: re.Match[str]) -> str:
    if re.match(r"(?:each|every)\s+(?:of\s+the\s+)?strips?$", found["what"], re.IGNORECASE):
        return found.group(0)  # the strips above it
    return f"From {found['what']} cut "


def _once_from_each(text: str) -> str:
    """``From each square cut 4 squares from each``: what is said once more is left out."""
    if re.match(r"From\s+(?:each|every)\b.*\bcut\s", text) is None:
        return text
    return re.sub(
        r",?\s+(?:from|out\s+of)\s+(?:each|every)(?:\s+(?:1|one))?(?=\s*(?:[.,;]|$))", "", text
    )


def _of_each_square(found: re.Match[str]) -> str:
    """``Cut 20 10-inch squares into 9 pieces each (3" squares)``."""
    large = to_length(found["large"], found["unit"], Unit.INCH)
    match = re.match(rf"({NUMBER})\s*({UNIT})?", found["small"], re.IGNORECASE)
    number = int(found[1]) * int(found[4])
    if match is not None:
        small = to_length(match[1], match[2], Unit.INCH)
        if (large // small) ** 2 < int(found[4]):
            raise UnsureError(
                f"a square of {found['large']} does not hold {found[4]} squares of {match[1]}"
            )
    return f"({number}) {found['small']} squares"


@dataclass(frozen=True, slots=True)
class Blocks:
    """What counts are for: each of so many blocks.

    Attributes:
        number: How many; None when it is not said.
    """

    number: int | None


def take_blocks(text: str) -> tuple[str, Blocks | None]:
    """Return a line without "for each of 9 blocks", and that; None when it is not said."""
    sets = _SETS_OF.search(text) or _SETS_OF_ITEMS.match(text)
    if sets is not None:
        if re.search(r"\b(?:each|every)\b", text, re.IGNORECASE):
            raise UnsureError(
                "whether the sets are for each or in all is not said for sure", "Type the totals."
            )
        return f"{text[: sets.start()]}{text[sets.end() :]}", Blocks(int(sets["number"]))
    found = _BLOCKS.search(text)
    if found is None:
        return text, None
    says_one = re.match(r"for\s+(?:1|a)\b", found.group(0), re.IGNORECASE) is not None
    if says_one and found["number"] is not None:
        return text, None
    before, behind = text[: found.start()], text[found.end() :]
    return " ".join(f"{before} {behind}".split()), Blocks(
        int(found["number"]) if found["number"] else None
    )

"""Sentences into clauses, and what is no cutting at all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from kitmaker.lengths import Length, Unit
from kitmaker.reading.phrases.elements import LABELED, NOUNS
from kitmaker.reading.phrases.narration import tells_only
from kitmaker.reading.phrases.plain import NUMBER, UNIT, read_number, to_length

_CUT_WORDS = re.compile(
    r"\b(?:sub-?\s?|cross-?\s?|re-?)?cut(?:s|ting)?\b|\bchoose\b|\bslice\b", re.IGNORECASE
)
_SIZE = re.compile(
    rf"{NUMBER}\s*{UNIT}|{NUMBER}\s*(?:×|x|by)\s*(?:{NUMBER}|wof)|(?<![\d/])\d+\s*/\s*\d+|\d[.]\d"
    r"|\bwof\b|\d\s*(?:sq\b|squares?\b|strips?\b|rectangles?\b)",
    re.IGNORECASE,
)
_NO_CUT = re.compile(
    r"\busable\b|\bfabric\s+width\b.*\d|\bwof\s*(?:=|is|of)\s*\d|\bwide\s+fabrics?\b|\bbased\s+on\b"
    r"|\bwidth\s+of\s+(?:the\s+)?fabric\s*(?:=|is)\b|\byardage\b|-wide\s+(?:cotton|fabric)"
    r"|\bseam\s+allowances?\b|\bfinished\b.*\b(?:size|quilt|block)|\b(?:quilt|block)\s+(?:size|measures)"
    r"|\bfinish(?:es)?\s+(?:at|to)\b|\bunfinished\b|\bshould\s+measure\b|\bto\s+measure\b"
    r"|^(?:trim|square\s+up|press|sew|stitch|join|piece\s+(?:the|together|units?|blocks?|strips?)"
    r"|draw|rule|arrange|lay|add|attach|pin|place|mark|layer|baste|quilt(?=\s+(?:as|the|in|and|with|your)\b)|label(?!\s+\w{1,2}\s*:)|set\s+aside|measure|make"
    r"|use\s+a|with\s+right|repeat|fold|remove)\b(?!\s*:)"
    r"|^(?:note|tip|hint)\b|\b(?:larger|bigger|wider|longer)\s+(?:all\s+(?:a?round)|on\s+(?:all|each|every)|than\b)"
    r"|^(?:you(?:'ll|\s+will|\s+should|\s+can|\s+may)*\s+(?:be\s+able\s+to\s+)?(?:get|fit|cut)|there\s+(?:will|should)\s+be)"
    r"\b.*\b(?:across|(?:from|per|out\s+of|in|to)\s+(?:a|1|each|every|one))\b|^allow\b.*\b(?:round|around|side|allowance|extra|squaring|shrinkage)\b"
    r"|^measures\b|^put\b.*\bbags?\b|^(?:if|when|depending|for)\b[^;]*\b(?:buy|purchase|may\s+need|might\s+need)\b|^\d+\s+(?:[a-z]+\s+)?(?:(?:will|should|can)\s+)?fit\b",
    re.IGNORECASE,
)
_ITEM = re.compile(
    rf"(?:^|[\s(‹])\d+[)›]?\s*(?:--|-|x|×|@)?\s*(?:[a-z]+\s+){{0,2}}{NUMBER}\s*(?:{UNIT}|x|×)"
    r".*\b(?:strips?|squares?|rectangles?|pieces?|wof)\b",
    re.IGNORECASE,
)
_DAMAGED = re.compile(
    r"[!@#$%^&*]\s*\"|(?<![A-Za-z\d])[A-Za-z]\s*\"\s*(?:x\b|×|squares?|strips?|rect|wide|wof)",
    re.IGNORECASE,
)
_KEPT_BACK = re.compile(
    r"^(?:(?:and|then)\s+)*(?:set|keep|save|reserve|put|leave|pop|lay)\b(?P<words>.*\b(?:aside|back|strips?|rest|for|whole|uncut)\b.*)$",
    re.IGNORECASE,
)
_STAYS_WHOLE = re.compile(
    r"^(?:(?:and|but)\s+)?(?:(?:leave|keep)\s+)?(?:the\s+)?(?:other|remaining|rest)\b(?P<words>.*?)"
    r"(?:\b(?:stays?|remains?|are|is|left|kept|uncut)\s+)*\b(?:whole|uncut|as\s+(?:they\s+are|strips)|(?:are|is)\s+for\s+[^\d]*)\s*[.]?$",
    re.IGNORECASE,
)
_SAYS_WHAT_FITS = re.compile(
    r"(?:all\s+)?(?:cutting|cut|measurements?|sizes?|pieces?|instructions?|dimensions?|these|they)\b[^;]*\b(?:includ(?:e|es|ed|ing)|allows?)"
    r"\s+[^;]*\bseam\s+allowances?\b[^\d]*"
    r"|(?:all\s+)?(?:the\s+)?(?:(?:strips|pieces|measurements|yardages?|yardage\s+requirements|cutting|instructions|amounts|and|&)\s+)+(?:are|is)\s+(?:cut|based|figured|calculated)\b[^\d]*(?:\d+\s*(?:\"|in\b|inch(?:es)?|cm)[^\d]*)?\bwidth\b[^\d]*(?:\d+\s*(?:\"|in\b|inch(?:es)?|cm)[^\d]*)?"
    r"|this\s+(?:quilt|pattern|project|kit)\s+(?:uses|takes|needs|requires|calls\s+for)\s+[^\"]*"
    r"|(?:you(?:'ll|\s+will|\s+should|\s+can|\s+may)*\s+(?:be\s+able\s+to\s+)?(?:get|fit|cut)\s+\d+(?:\s+(?:[a-z]+\s+)?"
    r"(?:squares|rectangles|pieces|segments|of\s+(?:these|them)))?\s+(?:across|from|out\s+of|per)\s+(?:(?:the|a|1|each|every)\s+)?"
    r"(?:strip|width|fat\s+quarter|square|wof)\b.*"
    r"|(?:there|you|this|that)(?:'ll|\s+will|\s+should)?\s+(?:be|have|leaves?)\s+[^\"]*\bleft(?:\s?overs?|\s+over)?\b[^\d]*)",
    re.IGNORECASE,
)
_STRIP_SETS = re.compile(
    r"(?:(?:then|next)\s+)?(?:(?:sub-?\s?|cross-?\s?)?cut\s+|from\s+)(?:(?:the|each|every|these|your|all|of|"
    r"\d+)\s+)*(?:strip[\s-]*sets?|sets\s+of\s+strips|strata|pieced\s+(?:units?|strips?|sets?))\b"
    r"|(?:(?:sub-?\s?|cross-?\s?)?cut\s+)[(]?\d+[)]?\s[^;]*\bfrom\s+(?:(?:the|each|every|your|these|of)\s+)*(?:strip[\s-]*sets?|strata)\b",
    re.IGNORECASE,
)
_NEEDED = re.compile(
    r"you(?:'ll|\s+will|\s+only)*\s+(?:only\s+)?(?:need|use)\s+(\d+)(?:\s+of\s+(?:these|them))?\s*[.]?",
    re.IGNORECASE,
)
_NEEDED_OF_SIZE = re.compile(
    r"(?:you|i|we)(?:'ll|\s+will|\s+only|\s+should|\s+now)*\s+(?:need(?:ed)?|end\s+up\s+with|have|get)\s+"
    rf"(?P<count>\d+)\s+(?:[a-z]+\s*,?\s+)*"
    rf"(?P<a>{NUMBER})\s*(?:{UNIT})?\s*(?:x|×|by)\s*(?P<b>{NUMBER})\s*(?P<unit>{UNIT})?\s*[.]?",
    re.IGNORECASE,
)
_CUTS_NEW_STRIPS = re.compile(
    rf"^(?:sub-?\s?|cross-?\s?)cut\s+(?P<strips>[(]?\d+[)]?\s*(?:--\s*)?{NUMBER}\s*(?:{UNIT}|x|×)[^,;.]*?\bstrips?)"
    r"\s+into\s+",
    re.IGNORECASE,
)
_INTO_SIZE = re.compile(
    r"(?:press,?\s+)?(?:(?:and|then|now)\s+)*(?:sub-?\s?)?cut\s+(?:(?:them|it|these|each)\s+)?into\s+"
    rf"{NUMBER}\s*{UNIT}",
    re.IGNORECASE,
)
_BIAS_OF_IT = re.compile(
    rf"cut\s+(?:enough\s+)?{NUMBER}\s*{UNIT}(?:\s*-?\s*wide)?\s+bias\b[^;]*\bfrom\s+(?:this|the|these|each)\s+(?:square|rectangle|piece)s?\b|"
    r"(?:(?:and|then)\s+)*cut(?:ting)?\s+(?:it|this|them|these|each|the\s+[a-z]+)\s+into\s+(?:enough\s+)?[^;]*\bbias\b",
    re.IGNORECASE,
)
_NEEDS_STRIPS = re.compile(
    r"(?:this\s+|it\s+)?(?:requires?|takes?|uses?|needs?)\s+\D*\d+.*\bstrips?\b", re.IGNORECASE
)
_COMES_TO = re.compile(
    r"(?:(?:and|so|now)\s+)*(?:you(?:'ll|\s+will|\s+should|\s+can)*\s+(?:now\s+|only\s+)?(?:have|get|use|end\s+up\s+with)"
    rf"|(?:this|these|they|it|that)(?:\s+(?:will|should))?\s+(?:makes?|yields?|gives?))\b(?!.*{NUMBER}\s*(?:{UNIT}|x|×)).*\d.*",
    re.IGNORECASE,
)
_LIST_HEAD = re.compile(
    r"(?:\b(?:sub|cross|re)-?\s?cut(?:ting)?(?:\s+(?P<number>\d+)(?:\s+of)?)?(?:\s+(?:strips?|them|these|each|the|into|as|follows|following))*"
    r"|\bcut\s+(?:(?:strips?|them|these|each|the)\s+)*into(?:\s+the\s+following)?"
    r"|^trim(?:\s+(?:strips?|them|these|the|each))*\s+(?:to|into)(?:\s+(?:make|measure|size|these\s+sizes|the\s+following))?"
    r"|^(?:second|next|2nd)\s+cuts?)\s*:?\s*$",
    re.IGNORECASE,
)
_MULTIPLIES = re.compile(r"\b(?:repeat(?:ed|ing)?|again|each|too)\b", re.IGNORECASE)
_FIRST_CUTS = re.compile(r"^(?:first|1st)\s+cuts?\s*(?:(?::|--)\s*|(?=[(]?\d))", re.IGNORECASE)
_SECOND_CUTS = re.compile(
    r"(?<=\S)\s*[;,]?\s*\b(?:second|next|2nd)\s+cuts?\s*(?::|--)?\s*(?=[(]?\d)", re.IGNORECASE
)
_SUB = re.compile(
    r"[,;:.]?\s*(?:--\s*)?(?:(?:and|then|next|,)\s+)*(?:"
    r"\b(?:re-?cut|sub-?\s?cut|cross-?\s?cut)(?:s|ting)?\b(?P<tail1>[^‹\d§]*?)"
    r"(?:‹?(?P<n1>\d+)›?\s+(?:of\s+(?:the|these|those|them|theres|your)\s*)?(?:remaining\s+)?(?:\w+\s+)?(?:strips?\s+)?into\b)?"
    r"|\bcut\s+(?:(?P<each2>each)\s+)?(?:(?:these|those|them|the|this|it|all|of|remaining)\s+)*"
    r"(?:strips?\s+|segments?\s+)?(?:apart\s+)?into\b"
    r"|\bcut\s+(?:the\s+)?(?:remaining|other|rest)\s+‹?(?P<n4>\d+)›?\s+(?:strips?\s+)?into\b"
    r"|\bcut\s+‹?(?P<n3>\d+)›?\s+(?:of\s+(?:the|these|those|them)\s+)?(?:remaining\s+)?strips?\s+into\b"
    r"|(?<=[\w\"]\s)into\b|\bfrom\s+(?:these|those|them|the\s+strips?)(?:\s+strips?)?\s*,?\s*cut\b"
    r"|\b(?:to|which|that)\s+(?:makes?|yields?|gets?|gives?)\s+(?=‹?\d+›?\s*(?:--\s*)?\d))",
    re.IGNORECASE,
)
_EACH_STRIP = re.compile(r"\beach\b", re.IGNORECASE)
_LABEL = re.compile(
    r"^(?:\d{1,2}[.]\s+(?=[A-Za-z‹(]))?(?:(?i:piece|patch|unit|template|label)\s+)?"
    r"(?P<letter>[A-Z]{1,2}\d{0,2})\s*(?:=|:|\s--\s|\s-\s|\)\s)\s*(?=\S)"
)
_HEAD = re.compile(r"^(?P<head>[A-Za-z][A-Za-z0-9 #&/,'-]{0,60}?)\s*(?::|--(?=\s*cut\b))\s*(?=\S)")
_NUMBERED_HEAD = re.compile(
    r"\b(?:fabrics?|borders?|blocks?|rows?|units?|rounds?|colou?rs?|prints?|sections?|templates?"
    r"|step|part)\s*#?\s*\d{1,2}\s*$|^(?:\w+\s+)*\d(?:st|nd|rd|th)\b[^\d]*$",
    re.IGNORECASE,
)
_SEWN_UNITS = re.compile(r"\b(?:hsts?|qsts?|triangles?|geese|goose)$", re.IGNORECASE)
_NO_NAMES = ("make", "need", "use", "total", "quantity", "qty", "times", "repeat", "x", "for")
_ENUMERATOR = re.compile(r"^(?:\d{1,2}[.)]|[a-z][.)])\s+(?=[A-Za-z‹])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """A part of a sentence: a first cut, or what strips are cut into.

    Attributes:
        text: Its words.
        is_sub_cut: Whether it says what strips are cut into.
        strips_used: How many of the strips; None for all.
        from_each_strip: Whether its counts are for each strip.
        of_the_rest: Whether it speaks of the strips that remain.
        has_verb: Whether it says "cut" itself.
    """

    text: str
    is_sub_cut: bool = False
    strips_used: int | None = None
    from_each_strip: bool = False
    of_the_rest: bool = False
    has_verb: bool = False


def is_cutting(text: str) -> bool:
    """Whether a text has a cutting word."""
    return _CUT_WORDS.search(text) is not None


def says_size(text: str) -> bool:
    """Whether a text names a size."""
    return _SIZE.search(text) is not None


def is_no_cut(text: str) -> bool:
    """Whether a sentence in plain signs speaks of sewing, of the fabric's width and the like."""
    if _SAYS_WHAT_FITS.fullmatch(text):
        return True
    text = re.sub(r"^(?:\((?=note|tip|hint)|(?:and|then)\s+)+", "", text, flags=re.IGNORECASE)
    text = re.sub(
        r"^[A-Za-z ]{1,30}:\s*(?=(?:trim|press|square\s+up|make\s+\d+[^\d]*$)\b)",
        "",
        text,
        flags=re.I,
    )
    if tells_only(text):
        return True
    found = _NO_CUT.search(text)
    if found is None or (is_cutting(text) and re.search(r"\d", text)):
        return False
    return found.start() == 0 or _ITEM.search(text) is None


def kept_back(text: str) -> int | None:
    """Return how many strips a sentence sets aside; 0 for all of them, None for no such words."""
    text = re.sub(r"\b(?:by|away)\s*(?=$|[,;.])", "aside", text, flags=re.IGNORECASE)
    found = _KEPT_BACK.match(text) or _STAYS_WHOLE.match(text)
    if found is None or is_cutting(text) or re.search(rf"{NUMBER}\s*{UNIT}", text):
        return None
    numbers = re.findall(r"\d+", found["words"])
    return int(numbers[0]) if len(numbers) == 1 else None if numbers else 0


def chooses(text: str) -> bool:
    """Whether a sentence picks out pieces that were bought ready cut."""
    return re.match(r"(?:choose|select|pick|pull|take|sort)\b", text, re.IGNORECASE) is not None


def trims_and_cuts(text: str) -> bool:
    """Whether a sentence cuts pieces from what something was trimmed to."""
    return re.match(r"(?:(?:and|then)\s+)*trim\b.*\bcut\b.*\d", text, re.IGNORECASE) is not None


def cuts_strip_sets(text: str) -> bool:
    """Whether a sentence cuts what was sewn of strips, so that it asks for no more cloth."""
    return _STRIP_SETS.match(text) is not None


def cuts_what_is_sewn(text: str) -> bool:
    """Whether a sentence behind one on sewing cuts what was sewn: uncounted, or diagonally."""
    if _INTO_SIZE.match(text):
        return True
    asks = re.match(r"(?:(?:and|then|now)\s+)*cut\b.*\bdiagonal", text, re.IGNORECASE)
    return asks is not None and re.search(rf"{NUMBER}\s*{UNIT}", text) is None


def is_damaged(text: str) -> bool:
    """Whether signs or single letters stand where the figures of a size should be."""
    return _DAMAGED.search(text) is not None


def multiplies(text: str) -> bool:
    """Whether a note has a word that may change how many are cut."""
    return _MULTIPLIES.search(text) is not None


def needed_of_cut(text: str) -> int | None:
    """Return the number of ``You need 40.`` behind a cut; None for other sentences."""
    found = _NEEDED.fullmatch(text)
    return int(found[1]) if found else None


def cuts_bias_strips(text: str) -> bool:
    """Whether a sentence cuts the square before it into bias strips: the square is the demand."""
    return _BIAS_OF_IT.match(text) is not None


def makes_bias_strips(text: str) -> bool:
    """Whether a sentence makes bias strips of the large square before it."""
    return re.match(r"then\s+(?:make|cut)\s[^;]*\bbias\b[^;]*\bstrips?\b", text, re.I) is not None


def needed_of_size(text: str, unit: Unit) -> tuple[int, frozenset[Length]] | None:
    """Return the count and the sides of ``You need 84 sashing pieces, 2" x 5"``; else None."""
    found = _NEEDED_OF_SIZE.fullmatch(text)
    if found is None:
        return None
    sides = (to_length(found[side], found["unit"], unit) for side in ("a", "b"))
    return int(found["count"]), frozenset(sides)


def says_need_of_strips(text: str) -> bool:
    """Whether a sentence says how many strips the pieces before it take."""
    return _NEEDS_STRIPS.match(text) is not None and not is_cutting(text)


def says_what_comes_of_it(text: str) -> bool:
    """Whether a sentence says how many pieces the cuts before it come to, and no size."""
    return _COMES_TO.fullmatch(text) is not None and not is_cutting(text)


def is_title(text: str) -> bool:
    """Whether a sentence is a title, such as ``For the border:`` or ``Block 2``."""
    if is_cutting(text) or is_no_cut(text) or says_size(text) or re.match(r"from\b", text, re.I):
        return False
    return text.endswith(":") or (len(text.split()) < 4 and not text.endswith("."))


def as_next_cut(text: str, widths: Sequence[Length]) -> str:
    """Return ``Next cuts: 44 squares`` and ``Then cut 44 squares`` as what strips are cut into.

    Args:
        text: A sentence in plain signs.
        widths: Widths of the strips at hand, in the unit of bare numbers.
    """
    text = _FIRST_CUTS.sub("cut ", text)
    text = _SECOND_CUTS.sub("; sub-cut into ", text)
    if not widths:
        return _CUTS_NEW_STRIPS.sub(r"cut \g<strips>; sub-cut into ", text)
    if found := re.match(r"(?:next|second|2nd|further)\s+cuts?\s*(?::|--)\s*", text, re.IGNORECASE):
        return f"sub-cut into {text[found.end() :]}"
    found = re.match(r"(?:and\s+)?then,?\s+cut\s+(?=[(]?\d)(?!.*\bstrips?\b)", text, re.IGNORECASE)
    if found and any(read_number(one) in widths for one in re.findall(NUMBER, text)):
        return f"sub-cut into {text[found.end() :]}"
    return text


def list_number(text: str) -> int | None:
    """Return the 14 of ``crosscut 14 of the strips into:``; None where a list is of all strips."""
    found = _LIST_HEAD.search(text)
    return int(found["number"]) if found is not None and found["number"] else None


def opens_a_list(text: str) -> bool:
    """Whether a sentence ends in ``sub-cut into:``, so that the lines below say into what."""
    return _LIST_HEAD.search(text) is not None


def take_label(text: str) -> tuple[str, str]:
    """Return the letter a line begins with ("" for none) and the rest, heads taken off."""
    text = _ENUMERATOR.sub("", text)
    match = _LABEL.match(text)
    if match is not None:
        return match["letter"], text[match.end() :]
    head = _HEAD.match(text)
    words = head["head"] if head is not None else ""
    numbered = re.search(r"\d", words) is not None and not _is_name(words)
    if head is None or numbered or is_cutting(words) or words.lower().startswith("from"):
        return "", text
    purpose = _purpose(words)
    # Squares under a head such as "Flying geese:" are for those, and cut as squares.
    lead, rest = "for " if _SEWN_UNITS.search(purpose) else "", text[head.end() :]
    named = f"{lead}{purpose} {rest}".strip()
    # "Unit 1: 4 squares" is no unit 4.
    return "", rest if LABELED.search(named) and not LABELED.search(rest) else named


def _is_name(head: str) -> bool:
    """Whether a head is a thing's name with its number, ``Log 2``; ``Squares 2`` is a count."""
    if _NUMBERED_HEAD.search(head) is not None:
        return True
    named = re.fullmatch(r"([A-Za-z]+)\s*#?\s*\d{1,2}", head)
    word = named[1].casefold() if named is not None else ""
    return word not in ("", *NOUNS, *_NO_NAMES) and not word.endswith("s")


def _purpose(head: str) -> str:
    """Return the words of a head that say what a cut is for; its number is none of them."""
    words = re.sub(r"\bfabrics?\b.*", "", head, flags=re.IGNORECASE)
    return re.sub(r"#?\s*\d+\w*", "", words).strip()


def split_clauses(text: str) -> list[Clause]:
    """Return the clauses of a sentence: the first cut, then each sub-cut."""
    clauses: list[Clause] = []
    start = 0
    pending: re.Match[str] | None = None
    for match in _SUB.finditer(text):
        if match.group(0).strip().casefold() == "into" and pending is not None:
            continue
        clauses.extend(_clause(text[start : match.start()], pending))
        pending, start = match, match.end()
    clauses.extend(_clause(text[start:], pending))
    return clauses


def _clause(text: str, sub: re.Match[str] | None) -> list[Clause]:
    words = text.strip(" ,;:.")
    if sub is None:
        return [Clause(text=words, has_verb=is_cutting(words))] if words else []
    lead = sub.group(0)
    number = sub["n1"] or sub["n3"] or sub["n4"]
    behind = re.match(
        r"\s*(?P<each>each\b(?:\s+of\s+the|\s+of\s+these)?(?:\s+strips?)?|(?:the|these|those)\s+strips?|strips?|them)?"
        r"\s*(?P<rest>(?:the\s+)?(?:remaining|other|rest\s+of\s+the)\b)?(?(rest)(?:\s+strips?\s+)?)"
        r"\s*(?:‹?(?P<n>\d+)›?\s+(?:of\s+(?:the|these|those|them|theres)\s*)?(?:\w+\s+)?(?:strips?\s+)?into\b"
        r"|into\b)?",
        words,
        re.IGNORECASE,
    )
    each = _EACH_STRIP.search(lead) is not None
    if behind is not None:
        each = each or (behind["each"] or "").casefold().startswith("each")
        number = number or behind["n"]
        words = words[behind.end() :]
    words = re.sub(r"^\s*(?:to\s+)?(?:make|yield|get|give)\b", "", words, flags=re.IGNORECASE)
    if re.search(r"\beach\s*$", words, re.IGNORECASE):
        each, words = True, re.sub(r"\beach\s*$", "", words, flags=re.IGNORECASE)
    rest = behind is not None and behind["rest"] is not None
    rest = rest or re.search(r"\b(?:remaining|other|rest)\b", lead, re.IGNORECASE) is not None
    return [
        Clause(
            text=words.strip(" ,;:"),
            is_sub_cut=True,
            strips_used=int(number) if number else None,
            from_each_strip=each,
            of_the_rest=rest,
            has_verb=True,
        )
    ]

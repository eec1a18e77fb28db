"""What a line says the cut comes from, how squares are cut on, and what it comes to.

These phrases hold numbers that are no counts of the cut itself: "from each of 12 prints",
"to make 8 triangles", "in lengths from 8 to 21 in". They are taken out of the line, each
with its meaning, before the rest is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from kitmaker.lengths import Length, Unit
from kitmaker.reading.phrases.accounts import OF_EACH, OF_THE_REST
from kitmaker.reading.phrases.model import EachOf
from kitmaker.reading.phrases.plain import NUMBER, UNIT, PlainLine, UnsureError, to_length


class Source(StrEnum):
    """What a cut is taken from."""

    FABRIC = "the fabric"
    EACH_PRINT = "each print"
    STRIPS = "the strips above"
    EACH_STRIP = "each of the strips above"


@dataclass(frozen=True, slots=True, kw_only=True)
class From:
    """A source, with the number of prints or strips that it states itself.

    Attributes:
        source: What it is.
        number: The number it states; None when it states none.
        each_of: What "each" speaks of.
        of_the_rest: Whether it speaks of the strips that remain.
        name: Its words that name this fabric, or the size of each of its pieces.
        width: The width by which it names the strips; "" where it names none.
        is_leftover: Whether it is what is left of the cloth that was cut before.
    """

    source: Source
    number: int | None = None
    each_of: EachOf = EachOf.UNSAID
    of_the_rest: bool = False
    name: str = ""
    width: str = ""
    is_leftover: bool = False

    @property
    def is_each(self) -> bool:
        """Whether its cuts are multiplied."""
        return self.source in (Source.EACH_PRINT, Source.EACH_STRIP)

    @property
    def words_read(self) -> str:
        """The words of quantity that it is made of."""
        if not self.is_each:
            return OF_THE_REST
        return f"{OF_EACH} {OF_THE_REST}" if self.number is not None else OF_EACH


_LEADING = re.compile(
    r"^(?:cut\s+)?from\s+(?P<what>.*?)(?:,?\s*\b(?:sub-?\s?cut|cut|choose)\b\s*(?P<into>into\b)?\s*[:,]?"
    r"|:|,|(?=\s*‹\d|\s\d+\s*--))(?P<rest>.*)$",
    re.IGNORECASE,
)
_TRAILING = re.compile(
    r",?\s*\b(?:out\s+)?(?:from|of|in|per)\s+(?P<what>(?:each|every|both)\b.*?)"
    r"(?=$|[.;:,](?:\s|$)|\s--\s|\bsub-?\s?cut|\bthen\b|\bto\b|\bfor\b|\bcut\b|§)",
    re.IGNORECASE,
)
_TRAILING_PLAIN = re.compile(
    r",?\s*\bfrom\s+(?!\d)(?P<what>(?:the|these|those|this|remaining|fabric|them|main|strips?)\b.*?)"
    r"(?=$|[.;:,](?:\s|$)|\s--\s|\bsub-?\s?cut|\bthen\b|\bto\b|\bfor\b|\bcut\b|§)",
    re.IGNORECASE,
)
_EACH = re.compile(r"\b(?:each|every)\b", re.IGNORECASE)
_NUMBERED = re.compile(
    r"\b(?:each|every)\s+(?:of\s+)?(?:the\s+|your\s+)?(?:other\s+|remaining\s+)?(\d+)\b(?!\s*[\"/.-]|\s+\d+\s*/)"
)
_STRIP_WIDTH = re.compile(
    rf"({NUMBER}\s*{UNIT})(?:\s*-?\s*wide)?\s+(?:[a-z]+\s+)?strips?\b", re.IGNORECASE
)
_COUNTED = re.compile(r"(?:‹(\d+)›|(\d+))(?!\s*(?:\"|/|-\s*\d|in\b))")
_STRIP_WORD = re.compile(r"\bstrips?\b", re.IGNORECASE)
_THESE = re.compile(r"\b(?:these|those|them|this|the)\b", re.IGNORECASE)


_SIZED = re.compile(
    rf"{NUMBER}\s*(?:{UNIT}\s*(?:(?:x|×)\s*(?:{NUMBER}\s*{UNIT}|wof))?|(?:x|×)\s*{NUMBER}\s*{UNIT})(?=\s+(?:[a-z]+\s+)*(?:squares?|strips?|rectangles?|pieces?)\b)",
    re.IGNORECASE,
)
_LEFT_OVER = re.compile(
    r"^(?:the\s+)?(?:other\s+)?end\s+of\s+(?:the|this|that|your)\s+strip$|\b(?:remainder|rest|leftovers?|left-?\s?over|what\s+is\s+left|what\s+remains)\b(?:.*\bstrip$|.*\b(?:ends?|pieces?)$)",
    re.IGNORECASE,
)
_LEFTOVER_CLOTH = re.compile(
    r"^(?:(?:the|any|your|that|this|its)\s+)*(?:remainder|rest|left-?\s?overs?|remaining|scraps?|off-?\s?cuts?|trimmings|excess"
    r"|what\s+is\s+left|what['’]?s\s+left|what\s+remains)\b(?!.*\b(?:fat|quarters|eighths|fqs?|prints|fabrics|colou?rs|squares|strips|\d))",
    re.IGNORECASE,
)
"""What is left of each cloth; ``the remaining prints`` are others that were not cut yet."""
_ALONG = re.compile(
    r"\bfrom\s+(?:the\s+)?(?:lengthwise\s+grain|l[.]?o[.]?f\b[.]?|length\s+of\s+(?:the\s+)?(?:[a-z]+\s+){0,3}?fabric|length(?!\s+(?:of|\d)))\b\s*(?:,?\s*cut\b|:)?",
    re.IGNORECASE,
)


def take_source(text: str, has_strips: bool, role: str = "") -> tuple[str, From | None]:
    """Return a line without the words on its source, and the source; None when not said.

    Args:
        text: A plain line.
        has_strips: Whether there are strips above that could be the source.
        role: The fabric whose cuts these are.

    Raises:
        UnsureError: The source has a count of its own.
    """
    text = _ALONG.sub(" , lengthwise ", text).strip(" ,")
    leading = _LEADING.match(text)
    if leading is not None:
        is_role = _only_words(leading["what"]) == _only_words(role)
        if is_role and not re.search(r"\d", leading["rest"]):
            return leading["rest"].strip(), From(source=Source.FABRIC)
        return leading["rest"].strip(), _source(leading["what"], has_strips, role)
    for pattern in (_TRAILING, _TRAILING_PLAIN):
        trailing = pattern.search(text)
        if trailing is not None:
            rest = f"{text[: trailing.start()]} {text[trailing.end() :]}".strip()
            return rest, _source(trailing["what"], has_strips, role)
    return text, None


def _only_words(text: str) -> str:
    """Return a fabric's name for comparing, what stands in brackets left out."""
    return "".join(re.findall(r"[a-z0-9]+", re.sub(r"\([^()]*\)", "", text).casefold()))


def _source(what: str, has_strips: bool, role: str) -> From:
    words = what.strip()
    if _names_role(words, role):
        return From(source=Source.FABRIC, name=words)
    if re.search(r"\bboth\b", words, re.IGNORECASE):
        raise UnsureError(
            f"'from {words}': whether that is one fabric or two is not said",
            "Write the cuts beside each fabric by itself.",
        )
    if _EACH.search(words):
        numbered = _NUMBERED.search(words)
        number = int(numbered[1]) if numbered else None
        if has_strips and re.fullmatch(r"(?:each|every)(?:\s+one)?", words, re.IGNORECASE):
            raise UnsureError(
                "whether 'each' is each strip or each print is not said", "Write 'each strip'."
            )
        from_strips = has_strips and _STRIP_WORD.search(words) is not None
        if re.search(r"\bremaining\b|\bother\b", words, re.IGNORECASE) and number is None:
            raise UnsureError(
                f"'from {words}': how many that are is not said", "Type the number of them."
            )
        source = Source.EACH_STRIP if from_strips else Source.EACH_PRINT
        sized = _SIZED.search(words)
        name = sized.group(0) if sized is not None and source is Source.EACH_PRINT else ""
        return From(source=source, number=number, each_of=_each_of(words), name=name)
    if (this := re.fullmatch(r"(?:this|that)\s+(?:(1|one)|fabric|print)", words, re.I)) is not None:
        return From(source=Source.FABRIC, number=1 if this[1] else None)
    is_strip = _STRIP_WORD.search(words) is not None
    counted = _COUNTED.match(words)
    if counted is not None:
        of_strips = is_strip or re.search(r"\bof\s+(?:these|those|them)\b", words, re.I) is not None
        number = int(counted[1] or counted[2])
        return _counted_source(words, number, has_strips and of_strips)
    if _LEFT_OVER.search(words):
        return From(source=Source.FABRIC, name=words, of_the_rest=True, is_leftover=True)
    these = re.fullmatch(r"(?:these|those|them|this|that|it)", words, re.IGNORECASE)
    if is_strip or these:
        rest = re.search(r"\b(?:remaining|other|rest)\b\D*?(\d+)?", words, re.IGNORECASE)
        stated = re.search(r"\b(?:remaining|other)\s+(\d+)\b", words, re.IGNORECASE)
        number = int(stated[1]) if stated else None
        wide = _STRIP_WIDTH.search(words)
        return From(
            source=Source.STRIPS,
            number=number,
            of_the_rest=rest is not None,
            width=wide[1] if wide is not None else "",
        )
    one = re.match(r"(?:an?|1|one)\s+", words, re.IGNORECASE)
    sized = _SIZED.match(words[one.end() :]) if one is not None else None
    is_rest = re.search(r"\b(?:remaining|left-?\s?over)\b", words, re.IGNORECASE) is not None
    return From(
        source=Source.FABRIC,
        name=words if sized is not None or is_rest else "",
        is_leftover=_LEFTOVER_CLOTH.search(words) is not None,
    )


def _counted_source(words: str, number: int, are_at_hand: bool) -> From:
    """Return ``From 3 strips`` as those at hand, ``From 1 print`` as the fabric."""
    if are_at_hand:
        return From(source=Source.STRIPS, number=number)
    if number == 1:
        sized = _SIZED.search(words)
        return From(source=Source.FABRIC, number=1, name=sized.group(0) if sized else "")
    raise UnsureError(
        f"'from {words}': whether the count is for each or for all is not said",
        "Type the total of pieces.",
    )


def _each_of(words: str) -> EachOf:
    if re.search(r"\b(?:quarters?|eighths?|fqs?|strips?|squares?|pieces?|panels?)\b", words, re.I):
        return EachOf.CLOTH
    if re.search(r"\b(?:prints?|fabrics?|colou?rs?|designs?)\b", words, re.I):
        return EachOf.PRINT
    return EachOf.UNSAID


def _names_role(words: str, role: str) -> bool:
    """Whether a source such as ``both Fabrics 2 & 3`` names this fabric by its number."""
    own = re.fullmatch(r"fabric\s*#?\s*(\d+|[a-z])", role.strip(), re.IGNORECASE)
    listed = re.fullmatch(
        r"(?:both|each\s+of|all)?\s*(?:the\s+)?fabrics?\s+(?P<list>[\w,&\s]+)", words, re.IGNORECASE
    )
    if own is None or listed is None:
        return False
    return own[1].casefold() in re.findall(r"\w+", listed["list"].casefold())


_IN_AN_X = r"(?:(?:in|to\s+form|forming|making|like)\s+an\s+['\"]?x['\"]?(?:\s+shape)?)\b(?!\s*\d)"
_TWICE = re.compile(
    r"(?:,|--|;)?\s*(?:and\s+|then\s+)*(?:cut(?:ting)?\s+)?(?:(?:each|it|them|these|the|all|one|1|square|squares)\s+)*"
    r"(?:(?:to\s+be\s+|is\s+|are\s+)?cut\s+)?(?:in\s+half\s+)?(?:"
    r"cross-?\s?cut\s+(?:diagonally|on\s+(?:the\s+)?diagonal)"
    r"|(?:cut(?:ting)?\s+)?(?:in(?:to)?\s+)?quarters?(?:ed)?\s+(?:on\s+(?:the\s+|both\s+)?diagonals?|diagonally)"
    r"|twice\s*,?\s*(?:on\s+(?:the\s+|both\s+|each\s+)?diagonals?|diagonally|corner\s+to\s+corner)"
    r"|diagonally\s+twice|(?:from\s+)?corner\s+to\s+corner\s+twice|on\s+(?:the\s+)?diagonal\s+twice|on\s+both\s+diagonals|diagonally\s+both\s+ways"
    r"|diagonally\s+(?:in\s+)?both\s+directions|on\s+each\s+diagonal|twice(?=\s*(?:$|[.;,]))"
    r"|diagonally\s+in(?:to)?\s+(?:quarters|4(?:\s+triangles)?|half\s+twice)|into\s+quarters\s+diagonally"
    rf"|(?={_IN_AN_X})"
    rf")(?:\s*,?\s*{_IN_AN_X})?",
    re.IGNORECASE,
)
_ONCE = re.compile(
    r"(?:,|--|;)?\s*(?:and\s+|then\s+)*(?:cut(?:ting)?\s+)?(?:(?:each|it|them|these|the|all|one|1|square|squares)\s+)*"
    r"(?:(?:to\s+be\s+|is\s+|are\s+)?cut\s+)?(?:in\s+half\s+)?(?:"
    r"(?:halved\s+)?once\s*,?\s*(?:on\s+(?:the\s+|1\s+|one\s+)?diagonals?|diagonally|corner\s+to\s+corner)"
    r"|diagonally\s*,?\s*once|diagonally\s+into\s+2\s+(?:[a-z-]+\s+)?triangles"
    r"|(?:halved\s+)?(?:on|across|along)\s+(?:the\s+)?diagonal(?:\s+once)?"
    r"|(?:(?:in\s+half|halved)\s+)?diagonally"
    r"|(?:from\s+)?corner\s+to\s+corner|on\s+1\s+diagonal|once(?=\s*(?:$|[.;,]))"
    r")(?:\s+in\s+half)?(?:\s+once)?",
    re.IGNORECASE,
)


def mark_diagonals(text: str) -> str:
    """Return a line in which cuts on the diagonal are ``§1§`` or ``§2§``."""
    return _ONCE.sub(_mark(" §1§ "), _TWICE.sub(_mark(" §2§ "), text))


def _mark(sign: str) -> Callable[[re.Match[str]], str]:
    def mark(found: re.Match[str]) -> str:
        said = found.group(0).casefold()
        # "20 squares twice" may be 40 squares; "cut twice" is said of the diagonal.
        is_bare = re.search(r"diagonal|corner|quarter|\ban\s+['\"]?x\b", said) is None
        return found.group(0) if is_bare and "cut" not in said else sign

    return mark


_YIELD = re.compile(
    r"[,;]?\s*(?:--\s*)?(?:for\s+a\s+total\s+of|for\s+(?=‹?\d+›?\s+(?:[a-z-]+\s+){0,4}(?:total|triangles?|hsts?|qsts?)\b)|"
    r"(?:to|which|that|will|should)\s+(?:will\s+)?(?:makes?|yields?|gives?|gets?|creates?|forms?)"
    r"|making|yielding|giving|=>|makes|yields)\s*(?:a\s+total\s+of\s+)?(?:you\s+)?‹?(\d+)›?\s*"
    r"(?![\d/\"‹]|[.]\d|(?:in|inch|inches|cm|m|yards?)\b)(?P<what>(?=[A-Za-z])[^.;,§\d‹]*|)(?=$|[.;,§)]|‹[A-Z])",
    re.IGNORECASE,
)
_NEED_TAIL = re.compile(
    r"(?<=§)[^§\d]*[;,]\s*(?P<need>you(?:'ll|\s+will)?\s+(?:only\s+)?need\s+(?:only\s+)?\d+[^\d\"]*)$",
    re.IGNORECASE,
)
_ASIDE_TAIL = re.compile(
    r"[\s,;(.-]*\byou(?:'ll|\s+will|\s+should|\s+can|\s+may|\s+only)?\s+(?:only\s+)?"
    r"(?:get|have|use|be\s+able|end\s+up)\b.*$"
    r"|\s*[,;]\s*(?:only\s+)?use\s+(?:only\s+)?\d+\s*[.]?$",
    re.IGNORECASE,
)


def take_yields(plain: PlainLine) -> str:
    """Return a line without what it says it comes to; the totals are kept for checking."""

    def taken(match: re.Match[str]) -> str:
        what = match["what"].strip().casefold()
        # Behind an arrow or "yield" they are triangles that are cut, and no sewn units.
        if re.match(r"\W*(?:=>|.*\byield)", match.group(0), re.IGNORECASE):
            what = re.sub(r"\b([hq]sts?)\b", r"\1 triangles", what)
        plain.totals.append((int(match[1]), what))
        return " "

    text = plain.text
    for in_all in _IN_ALL.finditer(text):
        plain.totals.append((int(in_all["before"] or in_all["behind"]), ""))
    text = _IN_ALL.sub("", text)
    if (for_all := _FOR_AS_MANY.search(text)) is not None:
        plain.totals.append((int(for_all["total"]), ""))
        text = text[: for_all.end("noun")]
    if (triangles := _TRIANGLES.search(text)) is not None:
        plain.totals.append((int(triangles["bare"] or triangles["purpose"]), "triangles"))
        text = text[: triangles.start()]
    takes = _TAKES_STRIPS.search(text)
    if takes is not None and re.search(r"\d", text[: takes.start()]):
        plain.needs.append(takes.group(0))
        text = text[: takes.start()]
    if (need := _NEED_TAIL.search(text)) is not None:
        plain.asides.append(need["need"])
        text = text[: need.start("need")].rstrip(" ,;")
    tail = _ASIDE_TAIL.search(text)
    if tail is not None and tail.start() > 0 and not re.search(r"\bcut\b", tail.group(0), re.I):
        plain.asides.append(tail.group(0).strip(" ,;(-."))
        text = text[: tail.start()]
    return _YIELD.sub(taken, text)


_IN_ALL = re.compile(
    r"\s*(?:,|--|;|=|(?<=\s)-(?=\s))\s*(?:(?P<before>\d+)\s+(?:squares\s+|rectangles\s+|pieces\s+|strips\s+)?"
    r"(?:in\s+all|in\s+total|total|altogether)"
    r"|(?:a\s+)?total\s*(?:of|:)?\s*(?P<behind>\d+)(?:\s+(?:squares|rectangles|pieces|strips))?)\s*[.]?$",
    re.IGNORECASE,
)
_FOR_AS_MANY = re.compile(
    r"(?P<noun>\bsquares|\brectangles|\bpieces)\s+for\s+(?:all\s+)?(?P<total>\d+)\s+(?P=noun)\s*[.]?$",
    re.IGNORECASE,
)
_TRIANGLES = re.compile(
    r"(?<=§)\s*(?:--|[,;:=])*\s*(?:‹?(?P<bare>\d+)›?\s+(?:[a-z-]+\s+){0,2}(?:triangles|hsts|qsts)"
    r"|for\s+(?:the\s+|your\s+)?‹?(?P<purpose>\d+)›?\s+[a-z][a-z -]*)\s*[.]?$",
    re.IGNORECASE,
)
_TAKES_STRIPS = re.compile(
    r"[\s,;(-]*\b(?:requires?|needs?|takes?|uses?)\s+(?:about\s+)?\d+\s+(?:[^;]*\s)?strips?\b[^;]*$",
    re.IGNORECASE,
)


_LENGTH_TEXT = rf"(?P<number>{NUMBER})\s*(?P<unit>{UNIT})"
RANDOM_LENGTHS = re.compile(
    rf"(?:in|of|with)?\s*(?:varying\s+|random\s+)?lengths?\s+(?:ranging\s+|varying\s+)?(?:from|between)\s+{NUMBER}\s*{UNIT}?"
    rf"\s+(?:to|and)\s+{NUMBER}\s*{UNIT}",
    re.IGNORECASE,
)
_AMOUNT_HEAD = re.compile(
    rf"(?:from\s+)?{_LENGTH_TEXT}(?:\s+[a-z]+)*\s*(?:--|:|,)?\s*(?:cut(?:\s+into)?)?\s*:?",
    re.IGNORECASE,
)
_RUN_BEHIND = re.compile(
    r"[,;]?\s*(?:to\s+(?:total|make|equal|get|measure|yield)|totall?ing|for|=)\s+(?:a\s+total\s+(?:length\s+)?of\s+|an?\s+)?"
    rf"(?:at\s+least\s+|about\s+|approximately\s+)?{_LENGTH_TEXT}"
    r"(?:\s+(?:in|total|of)?\s*(?:length|long|in\s+all|total|joined|continuous))?"
    r"(?:\s+of\s+(?:continuous\s+)?(?:double-fold\s+)?(?:bias\s+)?binding)?"
    r"(?=\s*(?:$|[.;,]|for\s+(?:the\s+)?[a-z]))",
    re.IGNORECASE,
)
_RUN_BEFORE = re.compile(
    rf"^(?:[a-z]+\s+)??(?:cut\s+)?(?:enough\s+)?(?:about\s+)?{_LENGTH_TEXT}\s+(?:total\s+)?(?:of\s+(?:continuous\s+)?|continuous\s+)"
    r"(?!(?:the\s+|your\s+)?(?:[a-z]+\s+)?(?:fabric|cloth|print|yardage)\b)(?=.*\d)",
    re.IGNORECASE,
)


def amount_headed(text: str) -> Length | None:
    """Return the inches of a heading such as ``2 1/4 yds – cut into:``; None for other lines."""
    found = _AMOUNT_HEAD.fullmatch(text)
    return to_length(found["number"], found["unit"], Unit.INCH) if found is not None else None


_BIAS = re.compile(
    rf"^(?:cut\s+)?(?:[a-z]+\s+){{0,3}}?(?:{NUMBER}\s*{UNIT}[\s-]*(?:wide\s+)?)?bias(?=\s+(?:binding|strips?)\b)",
    re.IGNORECASE,
)


def take_bias(text: str) -> tuple[str, bool]:
    """Return a line of bias strips without a count as one of strips, and whether it is one."""
    found = _BIAS.match(text)
    if found is None:
        return text, False
    return text[: found.end() - len("bias")] + text[found.end() :], True


def take_running_length(text: str, unit: Unit) -> tuple[str, Length | None]:
    """Return a line without the running length it asks for, and that length in inches."""
    without_range = RANDOM_LENGTHS.sub(" ", text)
    for pattern in (_RUN_BEFORE, _RUN_BEHIND):
        match = pattern.search(without_range)
        if match is not None:
            rest = f"{without_range[: match.start()]} {without_range[match.end() :]}"
            rest = re.sub(r"^\s*(?:cut\s+)?enough\b", " ", rest, flags=re.IGNORECASE)
            return rest.strip(), to_length(match["number"], match["unit"], unit)
    return text, None

"""A line as typed into plain signs: one dash, one quote, counts in figures.

What a bracket holds is settled here too, because a bracket may be a count, a piece's
letter, the same size in another unit, a total to check, or a mere remark.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from kitmaker.lengths import (
    UNIT_WORDS,
    AmbiguousNumberError,
    Length,
    LengthError,
    Unit,
    clean_text,
    parse_number,
)
from kitmaker.reading.bracket_sizes import choose_in_brackets
from kitmaker.reading.number_words import spell_in_figures
from kitmaker.reading.phrases.model import FabricFacts

_PROPER = (
    r"(?:1\s*/\s*2|[12]\s*/\s*3|[123]\s*/\s*4|[1-4]\s*/\s*5|[1-7]\s*/\s*8"
    r"|\d{1,2}\s*/\s*(?:16|32|64))(?!\d)"
)
NUMBER = rf"(?:\d+\s*-\s*{_PROPER}|\d+\s+{_PROPER}|\d+\s*/\s*\d+|\d*[.]\d+|\d+)(?!\s*/\s*\d)"
UNIT = (
    r"(?:\"|-?\s*(?:inches|inch|in(?!\s+(?:total|all|each|half|your|my|any|one|the)\b)|cms|cm|mm"
    r"|yards|yard|yds|yd|meters|metres|meter|metre|m)\b[.]?)"
)

_PATCH_WORDS = {"4": "four", "9": "nine", "16": "sixteen", "25": "twenty-five"}
_PATCHES = re.compile(rf"\b({'|'.join(_PATCH_WORDS)})[\s-]patch", re.IGNORECASE)
_DIAGONAL_WAYS = re.compile(
    r"\b(?:across|along)\s+(?:the\s+)?(?P<which>both|one|1)?\s*(?:of\s+the\s+)?(?P<plural>diagonals?)\b"
    r"|\b(?P<times>[12])\s*(?:x|×|times?)\s+(?=diagonally|on\s+(?:the\s+)?diagonal)",
    re.IGNORECASE,
)
_SHIFTED = re.compile(
    r"[!#$%^&*@]+\s*\"|[!@#$%^&]\s*[!@#$%^&]|[!#$%^]\s*(?:x|×)\s*[!@#$%^&*]|\b[qwertd]\s+yards?\b"
)
_METRIC_COMMA = re.compile(
    r"(\d),(\d{1,2})(?=\s*(?:cm|mm|m)\b|\s*(?:x|×)\s*(?:wof|[\d.,]+\s*(?:cm|mm|m)\b))",
    re.IGNORECASE,
)
_LOST_SLASH = re.compile(r"(?<![\d/-])\d+-([1-9])([248])\s*\"(?!\s*(?:x|×))")
_TWO_UNITS = re.compile(
    rf"(?P<one>{NUMBER})\s*(?P<unit>{UNIT})\s*\(\s*(?P<other>{NUMBER})\s*(?P<other_unit>{UNIT})\s*\)",
    re.IGNORECASE,
)
_SIZED = rf"{NUMBER}\s*(?:{UNIT})?\s*(?:x|×|by)\s*(?:{NUMBER}\s*(?:{UNIT})?|wof)"
_SIZE_TWICE = re.compile(rf"(?P<one>{_SIZED})\s*\(\s*(?P<other>{_SIZED})\s*\)", re.IGNORECASE)
_OPTION = re.compile(
    rf"or\s+{NUMBER}\s*{UNIT}\s+(?:if|should|for\s+(?:a|an|those|extra))\b.*|\d+\s+if\b[^\d]*",
    re.IGNORECASE,
)
_PREFERRED = re.compile(
    rf"(?P<a>{NUMBER})\s*(?P<au>{UNIT})\s+or\s+(?P<b>{NUMBER})\s*(?P<bu>{UNIT})(?P<behind>[^;()\d]*?)[\s,;(-]*"
    r"\b(?:(?:as|according\s+to|depending\s+on)\s+)?(?:your|personal|you|whichever\s+you)\s+(?:own\s+)?(?:preferences?|choice|prefer|like)\b[^\d]*$",
    re.IGNORECASE,
)
_BRACKET = re.compile(r"\(([^()]*)\)")
_CODE = re.compile(r"[A-Z]{1,2}-?\d{0,2}")
_KEPT_WORDS = re.compile(
    r"\b(?:wof|lof|width of|length of|lengthwise|diagonals?|diagonally|from each|each|selvages?"
    r"|sub-?\s?cut|twice|once)\b",
    re.IGNORECASE,
)
_TOTAL = re.compile(
    r"(?:for\s+)?(?:a\s+)?total\s*(?:of|:|=)?\s*(\d+)\b\D*|(\d+)\s+(?:[a-z]+\s+){0,3}?(?:in\s+)?"
    r"(?:total|all|altogether)\b.*",
    re.IGNORECASE,
)
_TRIANGLES = re.compile(
    r"(?:(?:makes?|yields?|for|to\s+make)\s+)?(\d+)\s+(?:[a-z-]+\s+){0,3}(?:triangles|hsts?|qsts?)"
    r"(?:\s+(?:in\s+all|total))?(?:\s*[,;]\s*\d+\s+(?:are\s+|will\s+be\s+)?(?:extra|spare|left\s?over|unused))?[.]?",
    re.IGNORECASE,
)
_COUNTED_PIECES = re.compile(r"(\d+)\s+(squares|rectangles|pieces|strips)[.]?", re.IGNORECASE)
_NAMED = re.compile(
    r"(?:no[.]?|number|log|round|clue|month|week|fig(?:ure)?|diagram|unit|block|section|step|row|part|piece|patch|border"
    r"|template|ring|position)\s*#?\s*(?:\d{1,2}|[A-Z])|#\s*\d{1,2}",
    re.IGNORECASE,
)
_ASIDE = re.compile(
    r"\b(?:discard|save|include|us(?:e|ing)|leftover|left|extra|makes?|yields?|step|page|see|fig(?:ure)?|diagram"
    r"|you|will|should|optional|block|blocks|bag|trim(?:med)?|per\s+[a-z]+)\b",
    re.IGNORECASE,
)
WIDER_IS_READ = "of two sizes left to the maker's liking, the wider is read"
BULLET = r"[•▫·◦▪*\-‣⁃■-➿⬛⬜»>~]"
"""A sign that a line of a list begins with."""
_SPAN = r"(?:\s*-?\s*(?:wide|long|tall|high))?"
_WIDTH = (
    r"(?:wof|lof|(?:the\s+)?fabric\s+(?:length|width)|(?:the\s+)?length\s+of\s+(?:the\s+)?fabric"
    r"|(?:the\s+)?width(?:\s+of\s+(?:the\s+)?fabric)?)"
)
_CODED_HEAD = re.compile(
    r"(?:from\s+)?(?:fabric|colou?r|print)\s*#?\s*[A-Z0-9]{1,2}\b[^:]*?(?=:|,\s*cut\b|\bcut\b|$)",
    re.I,
)
_STOCK_CODE = re.compile(
    r"(?<![\w./-])(?:[A-Z]{1,6}[\s-]?)?\d{3,7}[A-Z]{0,2}(?:-[A-Z0-9]{1,6})+\b(?!\s*(?:[\"x×/]|inch|\d))"
)
"""A maker's number for a fabric, such as ``4417-88`` or ``HL-2209-13``."""
_SIZE_ONLY = re.compile(
    rf"{NUMBER}\s*{UNIT}?{_SPAN}(?:\s*(?:x|×|by)\s*(?:{NUMBER}\s*{UNIT}?{_SPAN}|{_WIDTH}))?",
    re.IGNORECASE,
)
_SIZE_AND_NOUN = re.compile(rf"{NUMBER}\s*{UNIT}\s*(?:squares?|strips?)", re.IGNORECASE)


class UnsureError(ValueError):
    """A line that cannot be read for sure.

    Attributes:
        suggestion: What to type instead.
    """

    def __init__(self, message: str, suggestion: str = "") -> None:
        super().__init__(message)
        self.suggestion = suggestion


@dataclass(slots=True)
class PlainLine:
    """A line in plain signs.

    Attributes:
        text: The line; counts that stood in brackets are ``‹5›``, letters ``‹A›``.
        totals: Counts that the line says it comes to, with the words for what.
        asides: What its brackets said beside the cutting.
        needs: How many strips it says that it takes.
        warnings: What was read in a way that a person should look at.
    """

    text: str
    totals: list[tuple[int, str]] = field(default_factory=list)
    asides: list[str] = field(default_factory=list)
    needs: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


def plain_signs(line: str) -> str:
    """Return a line with one sign for each thing and its counts in figures."""
    text = clean_text(line).replace("_", " ").replace("→", " => ").replace("»", " => ")
    text = re.sub(r"\bselvedge", "selvage", text, flags=re.IGNORECASE)
    text = re.sub(r"\b(width|length)-of-(?:the-)?fabric\b", r"\1 of fabric", text, flags=re.I)
    text = re.sub(r"\b(half|quarter)\s+(square|rectangle)\b", r"\1-\2", text, flags=re.I)
    text = _DIAGONAL_WAYS.sub(_diagonal_way, text)
    text = _METRIC_COMMA.sub(r"\1.\2", text)
    text = re.sub(r"[.]{2,}|…", " ", text)
    text = re.sub(r"[–—―]\s*-*|--+", " -- ", text)
    text = re.sub(r"\bà\s+(?=\d)", "@ ", text)
    text = text.translate(str.maketrans("{}[]", "()()"))
    text = re.sub(rf"^\s*{BULLET}+\s+(?=\S)", "", text)
    text = re.sub(r"(?<!\S)\"([A-Za-z][^\"\d]*)\"(?!\S)", r"\1", text)
    text = re.sub(r"(\d)\s*\(\s*(?=\")", r"\1", text)
    text = spell_in_figures(_PATCHES.sub(lambda found: f"{_PATCH_WORDS[found[1]]}-patch", text))
    return " ".join(text.split())


def without_codes(text: str) -> str:
    """Leave out the stock code behind a fabric's name: ``Fabric C - 4417-88 Teal, cut``."""
    head = _CODED_HEAD.match(text)
    if head is None:
        return text
    return " ".join((_STOCK_CODE.sub(" ", head.group(0)) + text[head.end() :]).split())


def _diagonal_way(found: re.Match[str]) -> str:
    """``across both diagonals``, ``1x diagonally`` in the usual words."""
    if found["times"] is not None:
        return "once " if found["times"] == "1" else "twice "
    is_both = found["which"] == "both" or found["plural"].endswith("s")
    return "on both diagonals" if is_both else "on the diagonal"


def make_plain(line: str, facts: FabricFacts) -> PlainLine:
    """Return a line in plain signs with its brackets settled.

    Raises:
        UnsureError: Its signs are damaged, or a bracket has no sure part to play.
    """
    text = plain_signs(line)
    if _SHIFTED.search(text):
        raise UnsureError(
            "signs or letters stand where figures should be",
            "Type the line by hand from the printed pattern.",
        )
    if match := _LOST_SLASH.search(text):
        raise UnsureError(
            f"'{match.group(0).strip()}' may have lost the slash of a fraction",
            "Type the size as 4 7/8.",
        )
    # The third line of a list: "3) 6 -- 3½\" squares".
    text = re.sub(r"^\d{1,2}\)\s+(?=\d+\s*(?:--|x\b|@|squares|strips|rectangles))", "", text)
    plain = PlainLine(text=choose_in_brackets(text, facts.bracket))
    plain.text = _PREFERRED.sub(lambda found: _wider(found, plain, facts.unit), plain.text)
    plain.text = _one_unit(plain.text, facts.unit)
    for _ in range(3):  # brackets within brackets
        plain.text = _BRACKET.sub(lambda match: _settle(match, plain), plain.text)
    if "(" in plain.text or ")" in plain.text:
        plain.text = re.sub(r"(?<=\d)\)", " ", plain.text).replace("(", " ").replace(")", " ")
    plain.text = " ".join(plain.text.split())
    return plain


def _wider(found: re.Match[str], plain: PlainLine, unit: Unit) -> str:
    """Return the wider of two sizes that are left to the maker's liking."""
    one, other = (to_length(found[a], found[u], unit) for a, u in (("a", "au"), ("b", "bu")))
    chosen = ("a", "au") if one > other else ("b", "bu")
    size = f"{found[chosen[0]]}{found[chosen[1]]}"
    plain.warnings.append(WIDER_IS_READ)
    return f"{size}{found['behind']}"


def _one_unit(text: str, unit: Unit) -> str:
    """Keep one of a size given in two units, after checking that they agree."""

    def keep(match: re.Match[str]) -> str:
        one = to_length(match["one"], match["unit"], unit)
        other = to_length(match["other"], match["other_unit"], unit)
        if abs(one - other) > Length(1, 2):
            raise UnsureError(
                f"'{match.group(0)}' gives two sizes that differ", "Type the one that is right."
            )
        metric = "m" in match["unit"].casefold()
        first = metric == (unit is Unit.CENTIMETER)
        chosen = ("one", "unit") if first else ("other", "other_unit")
        return f"{match[chosen[0]]}{match[chosen[1]]}"

    return _SIZE_TWICE.sub(lambda found: _one_size(found, unit), _TWO_UNITS.sub(keep, text))


def _one_size(found: re.Match[str], unit: Unit) -> str:
    """Return one of ``6cm x 12cm (2⅜in x 4¾in)``; other brackets stay as they are."""
    one, other = found["one"], found["other"]
    is_metric, is_other_metric = (re.search(r"[cm]m", said) is not None for said in (one, other))
    if is_metric == is_other_metric:
        return found.group(0)
    for first, second in zip(_measures(one, unit), _measures(other, unit), strict=False):
        if abs(first - second) > Length(1, 2):
            raise UnsureError(
                f"'{found.group(0)}' gives two sizes that differ", "Type the one that is right."
            )
    return one if is_metric == (unit is Unit.CENTIMETER) else other


def _measures(size: str, unit: Unit) -> list[Length]:
    found = re.findall(rf"({NUMBER})\s*({UNIT})?", size, re.IGNORECASE)
    word = next((word for _, word in found if word), None)
    return [to_length(number, own or word, unit) for number, own in found]


def to_length(number: str, unit_word: str | None, unit: Unit) -> Length:
    """Return a number with its unit word, if any, in inches.

    Raises:
        UnsureError: The number cannot be read.
    """
    word = (unit_word or "").strip(" -").casefold()
    factor = UNIT_WORDS.get(word, UNIT_WORDS.get(word.rstrip("."), unit.length))
    return read_number(number) * factor


def read_number(text: str) -> Length:
    """Return a number of a cutting text.

    A fraction with a larger top than bottom is never printed in a pattern: ``51/4`` is 5¼
    that has lost its gap, as long as it can be parted in one way only.

    Raises:
        UnsureError: It cannot be read, or in two ways.
    """
    if re.fullmatch(r"\d+\s*/\s*1", text):
        raise UnsureError(f"'{text}' is no fraction that is ever written", "Type count and size.")
    try:
        return parse_number(text)
    except AmbiguousNumberError as fault:
        if len(fault.readings) == 2:
            return fault.readings[0]
        raise UnsureError(str(fault), fault.suggestion) from None
    except LengthError as fault:
        raise UnsureError(str(fault), fault.suggestion) from None


def has_lost_gap(text: str) -> bool:
    """Whether a number is one that has lost its gap."""
    try:
        parse_number(text)
    except AmbiguousNumberError:
        return True
    except LengthError:
        return False
    return False


def _settle(match: re.Match[str], plain: PlainLine) -> str:
    """Return what a bracket becomes in the line."""
    inside = match.group(1).strip()
    before = plain.text[: match.start()].rstrip()
    if total := _total(inside, before):
        _keep_total(plain, total, inside, before)
        return " "
    if count := re.fullmatch(
        r"(?:(?:cut|need|qty[.:]?|quantity:?)\s+)?(\d+)(?:\s*[x×]|\s+(?:needed|required))?",
        inside,
        re.IGNORECASE,
    ):
        return _counted(count[1], before)
    if _OPTION.fullmatch(inside) and re.search(r"\d", before):
        plain.warnings.append(f"'({inside})' is read as a choice of the maker's, and left out")
        return " "
    if letter := _letter(inside, plain):
        return f" ‹{letter}› "
    if _is_name(inside):
        plain.asides.append(_STOCK_CODE.sub("", inside))
        return " "
    says_cut = re.search(r"\bcut\s+(?:\d|into)", inside, re.IGNORECASE) is not None
    if _is_size(inside, before):
        # A count and a fraction in brackets, "3 (¾\")", are no mixed number.
        parts = re.search(r"\d$", before) and re.match(r"\d+\s*/", inside)
        return f" -- {inside} " if parts else f" {inside} "
    if _is_shared_out(inside, before) or (_ASIDE.search(inside) and not says_cut):
        plain.asides.append(inside)
        return " "
    if _KEPT_WORDS.search(inside):
        return f" {inside} "
    if not re.search(r"\d", inside):
        plain.asides.append(inside)
        return " "
    raise UnsureError(
        f"the bracket '({inside})' has no sure part to play", "Write the line without it."
    )


def _letter(inside: str, plain: PlainLine) -> str:
    """Return the letter that a bracket gives the pieces, ``A`` or ``36 A``; "" for none."""
    counted = re.fullmatch(r"(\d+)\s+(?:of\s+)?([A-Z]{1,2})", inside)
    if counted is not None:
        plain.totals.append((int(counted[1]), ""))
        return counted[2]
    is_code = _CODE.fullmatch(inside) and inside.casefold() not in ("wof", "lof")
    return inside if is_code else ""


def _total(inside: str, before: str) -> tuple[int, str] | None:
    """Return the number that a bracket says it comes to, with the words for what."""
    if made := _TRIANGLES.fullmatch(inside):
        return int(made[1]), inside.casefold()
    on_diagonal = re.search(r"diagonal|§", before, re.IGNORECASE)
    if on_diagonal and (made := re.fullmatch(r"(\d+)\s+[a-z -]+", inside, re.IGNORECASE)):
        return int(made[1]), "triangles"
    if inside.isdigit() and re.search(r"(?:\bdiagonals?|\bdiagonally|§)$", before, re.IGNORECASE):
        return int(inside), "triangles"
    is_counted = re.match(r"(?:cut\s+)?[(‹]?\d+[)›]?\s+(?!in\b|inch|cm|mm)", before, re.IGNORECASE)
    if is_counted and (need := re.fullmatch(r"(\d+)\s+(?:needed|required)", inside)):
        return int(need[1]), ""
    if total := _TOTAL.fullmatch(inside):
        return int(total[1] or total[2]), ""
    if made := _COUNTED_PIECES.fullmatch(inside):
        return int(made[1]), made[2].casefold()
    return None


def _keep_total(plain: PlainLine, total: tuple[int, str], inside: str, before: str) -> None:
    """Keep what a bracket says it comes to, or how many strips it says that it takes."""
    if total[1] == "strips" and _is_need_of_strips(before):
        plain.needs.append(inside)
    else:
        plain.totals.append(total)


def _is_need_of_strips(before: str) -> bool:
    """Whether ``80 squares 2½" (5 strips)`` says how many strips the squares take."""
    if re.search(r"\bstrips?\b", before, re.IGNORECASE):
        return False
    return re.search(r"\b(?:squares|rectangles|pieces)\b", before, re.IGNORECASE) is not None


def _is_name(inside: str) -> bool:
    """Whether a bracket names a unit or a stock number, ``Unit 1`` or ``Blue LP-6005-11``."""
    without_code = _STOCK_CODE.sub("", inside)
    has_code = without_code != inside and not re.search(r"\d", without_code)
    return has_code or _NAMED.fullmatch(inside) is not None


def _is_size(inside: str, before: str) -> bool:
    """Whether a bracket holds a size that is part of the line."""
    if inside.casefold() in ("wof", "width of fabric", "lof") or _SIZE_ONLY.fullmatch(inside):
        return True
    return re.search(r"\d$", before) is not None and _SIZE_AND_NOUN.fullmatch(inside) is not None


def _is_shared_out(inside: str, before: str) -> bool:
    """Whether a bracket such as ``10 light, 10 dark`` shares out the count before it.

    ``12 sets of 4`` and ``12 blocks × 4`` share out 48.
    """
    parts = r"\d+ [a-z -]+(?:\s*(?:,|and|&)\s*(?:and )?\d+ [a-z -]+)+"
    times = r"\d+ [a-z -]*?\s*(?:of|for|x|×) ?\d+(?: [a-z -]+)?"
    numbers = [int(number) for number in re.findall(r"\d+", inside)]
    if re.fullmatch(parts, inside, re.IGNORECASE):
        total = sum(numbers)
    elif re.fullmatch(times, inside, re.IGNORECASE):
        total = numbers[0] * numbers[1]
    else:
        return False
    return re.search(rf"(?<![\d/.-]){total}(?![\d/.])", before) is not None


def _counted(inside: str, before: str) -> str:
    count = re.search(r"(?<![\d/.-])(\d+)$", before)
    if count is None:
        return f" ‹{inside}› "
    if count[1] == inside:
        return " "
    raise UnsureError(
        f"'{count[1]} ({inside})' gives two counts",
        "Type one count, or state the two sizes as 'throw (crib)' beside Size.",
    )

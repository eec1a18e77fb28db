"""A text into tokens, in one pass over its signs and one over its words.

The first pass parts the text into numbers in any spelling (2 1/2, 2-1/2, 2½, 2.5, 21/4 where
the gap is lost), words and signs. A fraction must be proper: that alone tells ``9-2-1/2``
(nine of 2½) from ``6 33/4`` (six of 3¾). The second pass looks the words up in the lexicon:
labels, the longest phrase, numbers in words, single words, all else open.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from kitmaker.reading.words.lexicon import (
    FRACTION_SIGNS,
    FRACTION_WORDS,
    LABEL_NOUNS,
    ONES,
    SIGNS,
    TENS,
    UNITS,
    VULGAR,
    word_set,
)
from kitmaker.reading.words.lookup import KIND_OF, LONGEST, longest_phrase
from kitmaker.reading.words.tokens import QUANTITY, Kind, Token

_FRACTION = (
    r"(?:1\s*/\s*2|[12]\s*/\s*3|[123]\s*/\s*4|[1-4]\s*/\s*5|[1-7]\s*/\s*8"
    r"|(?:1[0-5]|[1-9])\s*/\s*16)(?![\d/])"
)
_VULGAR = f"[{FRACTION_SIGNS}]"
_TIMES = rf"[xX](?=\s|\d|[\"'(]|[wWlL][oO][fF]|[wW]idth|[lL]ength|{_VULGAR}|$)"
_RAW = re.compile(
    rf"""
    (?P<ordinal>\d+(?:st|nd|rd|th)\b)
    |(?P<code>(?!\d{{1,3}}-\d)\d{{3,7}}[A-Z]{{0,2}}(?:-[A-Z0-9]{{1,6}})+\b(?!\ ?["x/]))
    |(?P<bad>(?<!\w)\d+[e-lo-wyzO]\b(?!')|\bl\d+\b)
    |(?P<angle>\d+\s*(?:°|-?\s?degrees?\b))
    |(?P<thousands>\d{{1,3}}(?:,\d{{3}})+(?!\d))
    |(?P<comma>\d+,\d{{1,2}})(?=\s*(?:cm|mm|m|met(?:re|er)s?)\b|\s*x\s*(?:\d+,\d|wof|WOF))
    |(?P<jumbled>\d+-(?:12|14|34|18|38|58|78))(?=\s*"(?!\s*x))
    |(?P<whole>\d+)(?P<gap>\s*[-.^&]\s*|\s+(?:and\s+)?)(?P<fraction>{_FRACTION})
    |(?P<before>\d+)\s?-?(?P<vulgar>{_VULGAR})
    |(?P<alone>{_VULGAR}|{_FRACTION})
    |(?P<stuck>\d{{1,2}}?)(?P<tail>{_FRACTION})
    |(?P<decimal>\d*\.\d+)
    |(?P<integer>\d+)
    |(?P<hash>\#\s?\d{{1,2}}\b)
    |(?P<letters>(?:[A-Za-z]\.){{2,}}(?:[A-Za-z]\b)?)
    |(?P<times>{_TIMES}|(?:(?<=[\w)"]\s)|(?<=[\w)"]))\*(?=\s?\d))
    |(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    |(?P<dots>\.{{2,}}|…)
    |(?P<dash>-+)
    |(?P<sign>\S)
    """,
    re.VERBOSE,
)
_UNIT = re.compile(
    r"[ -]?((?:(?<!\s)\"|\"(?![A-WYZa-wyz]))|''|inches\b|inch\b|ins\b"
    r"|in\b\.?(?!\s(?:all|total|half|each|every|your|the|my|both|an?|one|assorted|quarters|width"
    r"|length|pairs|sets|random)\b|\s\d+\s)"
    rf"|(?:in|inch|inches|cm|mm)(?={_TIMES})"
    r"|cms?\b\.?|mm\b|yards?\b|yds?\b\.?|yrds?\b|met(?:re|er)s?\b|mtrs?\b|feet\b|foot\b|ft\b\.?"
    r"|(?-i:m)\b)",
    re.IGNORECASE,
)
_SIGN_KINDS = {
    "(": Kind.OPENING,
    ")": Kind.CLOSING,
    ",": Kind.COMMA,
    ";": Kind.SEMICOLON,
    ":": Kind.COLON,
    "=": Kind.EQUALS,
    "/": Kind.SLASH,
    "@": Kind.AT,
    "&": Kind.AND,
    "+": Kind.AND,
    **dict.fromkeys("→▸>", Kind.ARROW),
    **dict.fromkeys(".!", Kind.STOP),
    **dict.fromkeys("⊠⊡◩◪◸◹◺◿◤◥◢◣⧄⧅⟋⟍╱╲╳", Kind.BAD),  # cut squares: how often is not for sure
}
_KIND_OF_GROUP = {
    **dict.fromkeys(("bad", "jumbled"), Kind.BAD),
    **dict.fromkeys(("dash", "dots"), Kind.DASH),
    "ordinal": Kind.ORD,
    "code": Kind.CODE,
    "angle": Kind.OPEN,
    "hash": Kind.LABEL,
}
_PLAIN = str.maketrans(SIGNS)
_IGNORED_SIGNS = frozenset("'*•▪·~\u200b\ufeff▫*»‣⁃")
_ENDS = (
    *(Kind.END, Kind.STOP, Kind.COMMA, Kind.COLON, Kind.CUT, Kind.LOF, Kind.WOF, Kind.CLOSING),
    *(Kind.OPEN, Kind.GROUP, Kind.BORDER, Kind.YOU),
)
_HEAPS = ("pile", "stack", "piles", "stacks")
_BEFORE_NOUNS = (Kind.DET, Kind.OPEN, Kind.THESE, Kind.EACH, Kind.NUM)
_NUMBERS = word_set("fraction vulgar alone tail thousands comma decimal integer")
_UNIT_WORDS = frozenset(name for name in UNITS if len(name) > 1 and name[0].isalpha()) - {"in"}
_FIRST_SYMBOL = 0x2100
"""Signs from here on that mean nothing here are bullets."""


@dataclass(frozen=True, slots=True)
class _Raw:
    """A piece of the text before its words are looked up; ``glued`` by a hyphen to the last."""

    group: str
    text: str
    start: int
    end: int
    value: Fraction | None = None
    lost_gap: bool = False
    unit: tuple[str, int, int] | None = None
    glued: bool = False


@lru_cache(maxsize=512)  # a cell is looked at by several readers
def lex(text: str) -> tuple[Token, ...]:
    """Return the tokens of a text, in order; nothing of it is left out but bullets and quotes."""
    signs = text.translate(_PLAIN)
    tokens = list(_tokens(tuple(_raws(signs)), signs))
    for place, token in enumerate(tokens):
        behind = tokens[place + 1].kind if place + 1 < len(tokens) else Kind.END
        before = tokens[place - 1].kind if place else Kind.END
        if token.text in ("first", "last", "next") and behind in _ENDS:  # when, not which
            tokens[place] = Token(Kind.OPEN, token.text, token.start, token.end)
        if token.text == "plus" and behind is Kind.NUM and before is not Kind.CUT:
            after = [one.kind for one in tokens[place + 1 : place + 5]]
            if Kind.EXTRA not in after:
                tokens[place] = Token(Kind.AND, "+", token.start, token.end)
        if token.text == "more" and place > 1 and tokens[place - 2].kind is Kind.AND:
            tokens[place] = Token(Kind.OPEN, token.text, token.start, token.end)  # and 4 more
        if token.text in _HEAPS and before in _BEFORE_NOUNS:  # how many lie in it is not said
            tokens[place] = Token(Kind.DOUBT, token.text, token.start, token.end)
    return tuple(tokens)


def _raws(text: str) -> Iterator[_Raw]:
    place = 0
    while found := _RAW.search(text, place):
        place = found.end()
        group, start = found.lastgroup or "", found.start()
        value, lost_gap = _number(found)
        if value is None:
            is_hyphen = found[0] in ("-", "/") and text[start - 1 : start].isalpha()
            if is_hyphen and text[place : place + 1].isalpha():
                continue
            glued = group == "word" and start > 1 and text[start - 1] in "-/"
            yield _Raw(group, found[0], start, place, glued=glued and text[start - 2].isalpha())
            continue
        if group == "integer" and re.match(r"/\d", text[place:]):
            yield _Raw("bad", found[0] + "/", start, place + 1)
            place += 1
            continue
        unit = _UNIT.match(text, place)
        said = (unit[1].casefold(), unit.start(1), unit.end()) if unit else None
        yield _Raw("number", found[0], start, place, value, lost_gap, said)
        place = unit.end() if unit else place
        if unit is None and text[place : place + 1] == "'" and not text[place + 1 :][:1].isalpha():
            yield _Raw("bad", "'", place, place + 1)
            place += 1


def _number(found: re.Match[str]) -> tuple[Fraction | None, bool]:
    """Return the number that was found, and whether the gap before its fraction is not sure."""
    group = found.lastgroup or ""
    if group not in _NUMBERS:
        return None, False
    said = found[group]
    if group == "fraction":
        gap = found["gap"]
        loose = gap.strip() in ("-", ".") and gap != gap.strip()
        return int(found["whole"]) + _fraction(said), loose
    if group == "vulgar":
        return int(found["before"]) + VULGAR[said], False
    if group == "alone":
        return VULGAR.get(said) or _fraction(said), False
    if group == "tail":
        return int(found["stuck"]) + _fraction(said), True
    return Fraction(said.replace(",", "." if group == "comma" else "")), False


def _fraction(text: str) -> Fraction:
    above, below = text.split("/")
    return Fraction(int(above), int(below))


def _tokens(raws: tuple[_Raw, ...], text: str) -> Iterator[Token]:
    place = 0
    while place < len(raws):
        raw = raws[place]
        if raw.group == "number":
            if (behind := _at_a_time(raws, place + 1)) is not None:
                words = f"{raw.text} at a time"
                yield Token(Kind.OPEN, words, raw.start, raws[behind - 1].end)
                place = behind
                continue
            found = _phrase(raws, place) if raw.unit is None else None
            if found is not None and found[1] > place + 1:
                yield _over(raws, place, found[1], found[0])
                place = found[1]
                continue
            yield Token(Kind.NUM, raw.text, raw.start, raw.end, raw.value, raw.lost_gap)
            after = [one.text.casefold() for one in raws[place + 1 : place + 4]] + [""] * 3
            place += 1
            if raw.unit is not None:
                yield from _unit(raw.unit, text)
            elif (raw.value or 1) < 1 and (unit := _unit_word(after, 0)) is not None:
                word, inches = raws[place + unit], UNITS[after[unit]]
                yield Token(Kind.UNIT, after[unit], word.start, word.end, inches)
                place += unit + 1
        elif raw.group in ("word", "letters", "times"):
            tokens, place = _worded(raws, place, text)
            yield from tokens
        else:
            token = _sign(raw, text)
            if token is not None:
                yield token
            place += 1


def _unit(unit: tuple[str, int, int], text: str) -> Iterator[Token]:
    name, start, end = unit
    yield Token(Kind.UNIT, name, start, end, UNITS[name.rstrip(".")])
    if name.endswith(".") and re.match(r"\s+[A-Z(]|\s*$", text[end:]):
        yield Token(Kind.STOP, ".", end - 1, end)


def _sign(raw: _Raw, text: str) -> Token | None:
    if raw.group == "angle":
        degrees = re.split(r"\D", raw.text)[0]
        return Token(Kind.OPEN, f"{degrees} degree", raw.start, raw.end)
    if raw.group in _KIND_OF_GROUP:
        return Token(_KIND_OF_GROUP[raw.group], raw.text.replace(" ", ""), raw.start, raw.end)
    kind = _SIGN_KINDS.get(raw.text)
    if kind is None and (raw.text in _IGNORED_SIGNS or ord(raw.text) > _FIRST_SYMBOL):
        return None
    if raw.text == '"':
        before, after = text[raw.start - 1 : raw.start], text[raw.end : raw.end + 1]
        lone_letter = before.isalpha() and not text[raw.start - 2 : raw.start - 1].isalpha()
        if after.isalpha() or (before.isalpha() and not lone_letter):
            return None  # round a word, no inch mark
    return Token(kind or Kind.BAD, raw.text, raw.start, raw.end)


def _letters(raw: _Raw) -> str:
    """Return a raw word as the lexicon writes it: ``W.O.F.`` is wof."""
    small = raw.text.casefold()
    return small.replace(".", "") if raw.group == "letters" else small


def _over(raws: tuple[_Raw, ...], start: int, end: int, kind: Kind) -> Token:
    words = " ".join(_letters(raw) for raw in raws[start:end])
    return Token(kind, words, raws[start].start, raws[end - 1].end)


def _worded(raws: tuple[_Raw, ...], place: int, text: str) -> tuple[list[Token], int]:
    end = _label(raws, place, text)
    if end is not None:
        return [_over(raws, place, end, Kind.LABEL)], end
    found = _phrase(raws, place)
    number = _number_in_words(raws, place)
    if number is not None and (found is None or number[1] >= found[1]):
        return _number_tokens(raws, place, number, text)
    if found is not None:
        kind, end = found
        if kind is Kind.SETASIDE or raws[place].text.casefold() != "by":
            return [_over(raws, place, end, kind)], end
    if raws[place].group == "times":
        return [_over(raws, place, place + 1, Kind.TIMES)], place + 1
    if is_letter := _letter(raws, place, text):
        return [_over(raws, place, is_letter, Kind.LABEL)], is_letter
    end = place + 1
    while end < len(raws) and raws[end].glued:
        end += 1
    kind = _kind_of_word(raws, place, end)
    token = _over(raws, place, end, kind)
    if end == place + 1 and end < len(raws) and raws[end].text == ".":
        dotted = f"{token.text}."
        if dotted in KIND_OF:
            return [Token(KIND_OF[dotted], dotted, token.start, raws[end].end)], end + 1
    return [token], end


def _kind_of_word(raws: tuple[_Raw, ...], place: int, end: int) -> Kind:
    word = raws[place].text.casefold()
    if end == place + 1:
        if word == "by" and _leads_to_measure(raws, end):
            return Kind.TIMES
        if word in ("put", "set", "lay") and _goes_aside(raws, end):
            return Kind.SETASIDE
        return KIND_OF.get(word, Kind.OPEN)
    parts = [raw.text.casefold() for raw in raws[place:end]]
    whole = KIND_OF.get("-".join(parts))
    if whole is not None:
        return whole
    # A hyphened word is as closed as its parts.
    closed = [KIND_OF.get(part) for part in parts]
    doubts = (Kind.DOUBT, *QUANTITY, Kind.SHAPE, Kind.EACH)
    found = next((kind for kind in closed if kind in doubts), Kind.OPEN)
    return Kind.DOUBT if found in QUANTITY else found


def _leads_to_measure(raws: tuple[_Raw, ...], place: int) -> bool:
    if place >= len(raws):
        return False
    found = _phrase(raws, place)
    if found is not None and found[0] in (Kind.WOF, Kind.LOF):
        return True
    return raws[place].group == "number" or _number_in_words(raws, place) is not None


def _goes_aside(raws: tuple[_Raw, ...], place: int) -> bool:
    behind = [raw.text.casefold() for raw in raws[place : place + 9]]
    behind = behind[: behind.index(".")] if "." in behind else behind
    return "aside" in behind or "away" in behind or " to one side" in f" {' '.join(behind)}"


def _number_tokens(
    raws: tuple[_Raw, ...], start: int, found: tuple[Fraction, int], text: str
) -> tuple[list[Token], int]:
    value, end = found
    said = _over(raws, start, end, Kind.NUM)
    if (behind := _at_a_time(raws, end)) is not None:
        times = f"{said.text} at a time"
        return [Token(Kind.OPEN, times, said.start, raws[behind - 1].end)], behind
    tokens = [Token(Kind.NUM, said.text, said.start, said.end, value)]
    unit = _UNIT.match(text, said.end)
    if unit is None or end >= len(raws) or raws[end].start != unit.start(1):
        return tokens, end
    tokens.extend(_unit((unit[1].casefold(), unit.start(1), unit.end()), text))
    end += 1
    if unit[1].endswith(".") and end < len(raws) and raws[end].text == ".":
        end += 1
    return tokens, end


def _at_a_time(raws: tuple[_Raw, ...], place: int) -> int | None:
    """Return the place behind "at a time": how units are made counts nothing."""
    words = tuple(_letters(raw) for raw in raws[place : place + 3])
    return place + 3 if words in (("at", "a", "time"), ("at", "one", "time")) else None


def _number_in_words(raws: tuple[_Raw, ...], place: int) -> tuple[Fraction, int] | None:
    """Return the number that words say here, and the place behind them."""
    words = [raw.text.casefold() if raw.group == "word" else "" for raw in raws[place : place + 8]]
    words += [""] * 8
    share = {**FRACTION_WORDS, "a": Fraction(1), "an": Fraction(1)}.get(words[0])
    if share is not None and (unit := _unit_word(words, 1)):  # half a yard
        return share, place + unit
    at, value = 0, 0
    if (words[0] in ONES or words[0] == "a") and words[1] == "hundred":
        at, value = 2, 100 * ONES.get(words[0], 1)
        at += words[2] == "and" and (words[3] in ONES or words[3] in TENS)
    if words[at] in TENS:
        value, at = value + TENS[words[at]], at + 1
        if words[at] in ONES and 0 < ONES[words[at]] < 10:
            value, at = value + ONES[words[at]], at + 1
    elif words[at] in ONES:
        value, at = value + ONES[words[at]], at + 1
    if words[at] == "dozen" and at:
        value, at = 12 * value, at + 1
    elif words[:2] == ["a", "dozen"]:
        value, at = 12, 2
    return _with_part(words, place, at, Fraction(value)) if at else None


def _unit_word(words: list[str], at: int) -> int | None:
    """Return the place of the unit in ``of a yard``; None where no unit's word stands."""
    at += words[at] == "of"
    at += words[at] in ("a", "an", "the")
    return at if words[at] in _UNIT_WORDS else None


def _with_part(words: list[str], place: int, at: int, exact: Fraction) -> tuple[Fraction, int]:
    """Return a number with the fraction behind it: one and a half, two thirds of a yard."""
    if words[at] == "and":
        step = at + 1 + (words[at + 1] in ("a", "one", "three"))
        if words[step] in FRACTION_WORDS:
            times = 3 if words[at + 1] == "three" else 1
            return exact + times * FRACTION_WORDS[words[step]], place + step + 1
    if at == 1 and exact in (1, 2, 3) and words[1] in FRACTION_WORDS:
        part = exact * FRACTION_WORDS[words[1]]
        if part < 1 and (unit := _unit_word(words, 2)):  # two thirds of a yard
            return part, place + unit
    return exact, place + at


def _label(raws: tuple[_Raw, ...], place: int, text: str) -> int | None:
    noun = raws[place].text.casefold()
    end = place + 1
    if noun == "strip" and end < len(raws) and raws[end].text.casefold() in ("set", "sets"):
        noun, end = "strip-set", end + 1
    if noun not in LABEL_NOUNS or raws[place].glued or (noun == "set" and _goes_aside(raws, end)):
        return None
    if end < len(raws) and raws[end].text == "." and noun in ("no", "nos", "fig", "figs"):
        end += 1
    if end < len(raws) and raws[end].group == "hash":
        return end + 1
    if not _names(raws, end, text):
        return None
    end += 1
    while True:  # and 4, B or C
        step = end
        while step < len(raws) and raws[step].text.casefold() in (",", "and", "&", "or"):
            step += 1
        if step == end or not _names(raws, step, text, in_list=True):
            return end
        end = step + 1


def _names(raws: tuple[_Raw, ...], place: int, text: str, *, in_list: bool = False) -> bool:
    """Whether a number or a capital letter only names: no count, no measure begins here."""
    if place >= len(raws):
        return False
    raw = raws[place]
    after = text[raw.end :]
    if raw.group == "number" or raw.text.casefold() in ("one", "two", "three"):
        if raw.unit is not None or (raw.value or 1).denominator != 1 or raw.lost_gap:
            return False
        if len(raw.text) > 2 and raw.text.isdigit():
            return False
        taken = (
            rf"[\w/\"']|[.]\d|\s?[\d{FRACTION_SIGNS}@]|\s?\(\d|\s?x\b|\s?-{{1,2}}\s?\d"
            r"|\s?(?:inch|cm|strips?|sq|rect|of\b)"
        )
        return re.match(taken + (r"|\s[a-z]" if in_list else ""), after) is None
    return (
        len(raw.text) == 1
        and raw.text.isupper()
        and raw.group in ("word", "times")
        and re.match(r"[\w'/]", after) is None
    )


def _letter(raws: tuple[_Raw, ...], place: int, text: str) -> int | None:
    """Return the place behind a lone capital that names a piece or a fabric: ``B``, ``A1``."""
    raw = raws[place]
    after = text[raw.end :]
    if not raw.text.isupper() or raw.text == "X" or raw.glued:
        return None
    slashed = re.match(r"(?:/[A-Z])+\b", after)
    if len(raw.text) == 1 and slashed is not None:
        return place + 1 + slashed[0].count("/") * 2
    number = raws[place + 1] if place + 1 < len(raws) else None
    if len(raw.text) <= 2 and number is not None and re.match(r"-?\d{1,2}\b(?![/\"])", after):
        step = place + 1 + (number.group == "dash")
        if step < len(raws) and raws[step].unit is None and raws[step].group == "number":
            return step + 1
    if len(raw.text) != 1 or re.match(r"['.]?[a-z]", after):
        return None
    if raw.text == "A" and not re.match(r" ?[\]),:=&-]| and | squares| \(| cut\b|$", after):
        return None
    return None if raw.text == "I" else place + 1


def _phrase(raws: tuple[_Raw, ...], place: int) -> tuple[Kind, int] | None:
    behind = raws[place : place + LONGEST]
    words = [_letters(raw) if raw.unit is None else "#" for raw in behind]
    is_hyphened = len(behind) > 1 and behind[1].glued
    found = longest_phrase(words, 2 if is_hyphened else 1)
    return (found[0], place + found[1]) if found else None

"""The tokens of a cutting text: typed words, numbers and signs, each with its place.

Nothing is rewritten: a token keeps where it stands, and what it is follows from the lexicon
alone. A kind is *free* when it can change no count and no size; every token of
another kind must be read by a phrase, or the sentence is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache


class Kind(StrEnum):
    """What a token is. The lexicon says which words are of which kind."""

    __hash__ = str.__hash__  # quick: kinds are looked up in sets all the time

    NUM = "number"
    UNIT = "unit of length"
    ORD = "ordinal"
    CODE = "stock number"
    LABEL = "label"
    OPEN = "open word"
    CUT = "cut"
    CHOOSE = "choose"
    SUB = "sub-cut"
    SEW = "sew"
    TRIM = "trim"
    MAKE = "make"
    DRAW = "draw, press"
    SETASIDE = "set aside"
    WHOLE = "whole"
    NOTCUT = "not cut (yet)"
    SQUARE = "square"
    RECT = "rectangle"
    STRIP = "strip"
    PIECE = "piece"
    BORDER = "border"
    SHAPE = "shape"
    UNITNAME = "sewn unit"
    CLOTH = "cloth"
    GROUP = "group"
    WOF = "width of fabric"
    LOF = "length of fabric"
    ONCE = "diagonal once"
    TWICE = "diagonal twice"
    TOTAL = "total"
    REST = "rest"
    NEEDED = "needed"
    NEEDS = "needs"
    HAVE = "have"
    HALF = "in half"
    QUARTERS = "in quarters"
    INTO = "into"
    EACH = "each"
    PER = "per"
    THESE = "these"
    EXTRA = "extra"
    FINISHED = "finished"
    UNFINISHED = "unfinished"
    FUSSY = "fussy cut"
    FROM = "from"
    OF = "of"
    FOR = "for"
    TO = "to"
    DET = "determiner"
    ALL = "all"
    AND = "and"
    OR = "or"
    BY = "by"
    AS = "as"
    AT = "at"
    TIMES = "times"
    WIDE = "wide"
    YOU = "you"
    NOT = "not"
    MULTIPLY = "multiplies"
    ADD = "adds"
    LESSEN = "takes away"
    OMIT = "leaves out"
    UNSURE = "not exact, not sure"
    CHOICE = "a choice"
    SAME = "as before"
    DOUBT = "word of doubt"
    OPENING = "("
    CLOSING = ")"
    COMMA = ","
    SEMICOLON = ";"
    COLON = ":"
    DASH = "-"
    EQUALS = "="
    SLASH = "/"
    ARROW = "→"
    STOP = "."
    BAD = "sign that cannot be read"
    END = "end"
    # what only the words of an amount are told apart by
    FORM = "form that is bought"
    PACK = "pack"
    PANEL = "panel"
    CLOTHS = "several cloths"
    LIST = "list of fabrics"
    CUTS = "cut lengths"
    SCRAPS = "scraps"
    INCLUDES = "includes"
    ROUGHLY = "roughly"


FREE = frozenset(
    {
        *(Kind.OPEN, Kind.DET, Kind.GROUP, Kind.LABEL, Kind.ORD, Kind.CODE, Kind.CLOTH),
        *(Kind.UNITNAME, Kind.AT, Kind.YOU, Kind.SEW, Kind.TRIM, Kind.DRAW),
    }
)
"""Kinds that change no count and no size."""

QUANTITY = (
    *(Kind.MULTIPLY, Kind.ADD, Kind.LESSEN, Kind.OMIT, Kind.UNSURE, Kind.CHOICE, Kind.SAME),
)
"""Kinds that change a count wherever they stand; a shape's DOUBT is one of them too."""

NOUNS = {
    Kind.SQUARE: "square",
    Kind.RECT: "rectangle",
    Kind.STRIP: "strip",
    Kind.PIECE: "piece",
    Kind.BORDER: "border",
}
"""What is cut, by the kind of its word."""


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or sign."""

    kind: Kind  # what it is
    text: str  # its letters, small, with plain signs
    start: int  # its place in the text
    end: int  # the place behind it
    value: Fraction | None = None  # the number of a NUM; the inches of a UNIT; else None
    lost_gap: bool = False  # whether a number lost the gap before its fraction (``21/4``)


# ---- shapes: patterns of kinds ---------------------------------------------------------------

SPECIAL: dict[str, tuple[Kind, str]] = {
    "USE": (Kind.OPEN, "use using"),
    "TAKE": (Kind.OPEN, "take"),
    "OUT": (Kind.OPEN, "out"),
    "SHOULD": (Kind.OPEN, "there should"),
    "CAN": (Kind.OPEN, "can"),
    "ROOM": (Kind.OPEN, "room fit"),
    "ONLY": (Kind.OPEN, "only"),
    "YOUUSE": (Kind.NEEDED, "you use,you'll use,you will use,you will only use,you'll only use"),
    "BOTH": (Kind.ALL, "both"),
    "EVERY": (Kind.EACH, "every"),
    "ALONG": (Kind.OPEN, "along"),
    "LARGE": (Kind.OPEN, "large largest big bigger biggest"),
    "LARGER": (Kind.DOUBT, "larger"),
    "SMALL": (Kind.OPEN, "small smallest"),
    "SMALLER": (Kind.DOUBT, "smaller"),
    "YET": (Kind.OPEN, "yet"),
    "PANELWORD": (Kind.CLOTH, "panel"),
    "OTHER": (Kind.DOUBT, "other others"),
    "ANOTHER": (Kind.ADD, "another"),
    "PAIRS": (Kind.MULTIPLY, "pairs prs"),
    "ENOUGH": (Kind.UNSURE, "enough"),
    "LEAST": (Kind.UNSURE, "least"),
    "RANDOM": (Kind.DOUBT, "random"),
    "ASSORTED": (Kind.OPEN, "assorted varying various different"),
    "BIAS": (Kind.SHAPE, "bias"),
    "SETS": (Kind.MULTIPLY, "sets"),
    "SO": (Kind.AT, "so"),
    "THATS": (Kind.AT, "that's"),
    "ARE": (Kind.AT, "are"),
    "IS": (Kind.AT, "is"),
    "WHICH": (Kind.AT, "which"),
    "WILL": (Kind.AT, "will"),
    "IN": (Kind.AT, "in"),
    "BE": (Kind.AT, "be"),
    "PLUS": (Kind.AND, "+"),
    "INCHES": (Kind.OPEN, "inch inches cm yard yards width"),
    "COUNTS": (Kind.OPEN, "count counts amount amounts quantity quantities qty list"),
    "WAS": (Kind.OPEN, "was now change changed"),
    "HANDED": (Kind.OPEN, "left right"),
    "SUPPLIED": (Kind.OPEN, "stash supplied already"),
    "COPIES": (Kind.OPEN, "kit kits runner runners topper toppers bag bags copies people students"),
    "AN": (Kind.DET, "a an"),
    "BLOCKS": (Kind.GROUP, "block blocks unit units row rows"),
    "QUILTS": (Kind.GROUP, "quilt quilts top tops pillow pillows"),
    "DOZEN": (Kind.MULTIPLY, "dozen dozens doz gross"),
    "ON": (Kind.AT, "on with"),
    "YARDS": (
        Kind.UNIT,
        "yd yd. yds yds. yrd yrds yard yards m mtr mtrs meter meters metre metres",
    ),
    "METRIC": (Kind.UNIT, "cm cm. cms mm"),
}
"""Words that a shape may ask for by themselves, with the kind they are of."""

_NAMES = (*(kind.name for kind in Kind), *SPECIAL, "MANY", "ONE")
_SIGNS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ" + "".join(
    map(chr, range(0xA1, 0x100))
)
_LETTER = {name: _SIGNS[at] for at, name in enumerate(_NAMES)}
"""A sign for each, below 256: sets of them are quick to make and to ask."""
_LETTER_OF_KIND = {kind: _LETTER[kind.name] for kind in Kind}
_LETTER_OF_WORD = {
    (kind, word): _LETTER[name]
    for name, (kind, said) in SPECIAL.items()
    for word in (said.split(",") if "," in said else said.split())
}
_GROUPS = {
    "NUM": "NUM MANY ONE",
    "COUNT": "MANY ONE",
    "NOUN": "SQUARE RECT STRIP PIECE BORDER",
    "NAME": "OPEN DET CLOTH CLOTHS LIST",
    "FREE": " ".join(sorted(kind.name for kind in FREE)),
    "QUANTITY": " ".join(kind.name for kind in QUANTITY),
    "ALTERS": " ".join(kind.name for kind in (Kind.EXTRA, Kind.NOT, *QUANTITY)),
    "DOUBT": " ".join(kind.name for kind in (Kind.DOUBT, *QUANTITY)),
    "JOINT": "COMMA SEMICOLON COLON DASH AND EQUALS ARROW",
}
_COUNTED = "(?:COUNT|OPENING COUNT CLOSING)"


@cache
def _letters(name: str) -> str:
    found = ""
    for kind in _GROUPS.get(name, name).split():
        found += _LETTER[kind]
        found += "".join(_LETTER[one] for one, (of, _) in SPECIAL.items() if of.name == kind)
    return found


def _in_letters(found: re.Match[str]) -> str:
    said = found[0]
    if said[0] == "[":
        return "[" + re.sub(r"[A-Z]+", lambda one: _letters(one[0]), said[1:])
    letters = _letters(said)
    return letters if len(letters) == 1 else f"[{letters}]"


@cache
def shape(text: str) -> re.Pattern[str]:
    """Return a pattern of kinds: their names, with the signs of regular expressions.

    ``FOR EACH OF? (?P<n>COUNT) [OPEN GROUP]+`` is "for each of 9 star blocks". Besides kinds
    there are groups of them (NOUN, FREE, JOINT, COUNT for a whole number that may count,
    COUNTED for one in brackets or not) and single words (:data:`SPECIAL`).
    """
    plain = text.replace("COUNTED", _COUNTED)
    named = re.sub(r"\(\?P<\w+>|\[[^]]*\]|[A-Z]+", _kept, plain)
    return re.compile("".join(named.split()))


def _kept(found: re.Match[str]) -> str:
    return found[0] if found[0][0] == "(" else _in_letters(found)


# ---- a sentence ------------------------------------------------------------------------------

_BEYOND = (Token(Kind.END, "", 0, 0),) * 12
"""What stands beyond either end of a sentence."""


def _counts(token: Token, behind: Token) -> int | None:
    """Return the whole number of a token where it may count something."""
    value = token.value if token.kind is Kind.NUM else None
    is_count = value is not None and value.denominator == 1 and not token.lost_gap
    return int(value or 0) if is_count and behind.kind is not Kind.UNIT else None


def _letter_of(token: Token, count: int | None) -> str:
    if count is not None:
        return _LETTER["ONE" if count == 1 else "MANY"]
    return _LETTER_OF_WORD.get((token.kind, token.text)) or _LETTER_OF_KIND[token.kind]


class Words:
    """The tokens of one sentence, asked for by their place; beyond either end is END.

    Attributes:
        size: How many there are.
        at, kind, word: Give the token, its kind, its letters at a place.
    """

    def __init__(self, tokens: Sequence[Token]) -> None:
        """Take the tokens of one sentence."""
        self.size = len(tokens)
        padded = (*tokens, *_BEYOND)
        self._kinds = tuple(token.kind for token in padded)
        self._words = tuple(token.text for token in padded)
        self._counts = tuple(map(_counts, padded, (*padded[1:], _BEYOND[0])))
        self._shape = "".join(map(_letter_of, padded, self._counts))
        self.at: Callable[[int], Token] = padded.__getitem__
        self.kind: Callable[[int], Kind] = self._kinds.__getitem__
        self.word: Callable[[int], str] = self._words.__getitem__

    def fits(self, text: str, place: int) -> re.Match[str] | None:
        """Return how a :func:`shape` fits from a place on; the match's places are token places."""
        return shape(text).match(self._shape, place)

    def behind(self, text: str, place: int) -> int:
        """Return the place behind a shape; the place itself where it does not fit."""
        found = shape(text).match(self._shape, place)
        return found.end() if found else place

    def has(self, text: str, start: int = 0, end: int | None = None) -> bool:
        """Whether a shape fits anywhere from a place up to another."""
        end = self.size if end is None else end
        return shape(text).search(self._shape, start, end) is not None

    def find(self, text: str) -> tuple[int, int] | None:
        """Return where a shape first fits; None where it fits nowhere."""
        found = shape(text).search(self._shape)
        return found.span() if found else None

    def times(self, text: str, start: int, end: int) -> int:
        """Return how often a shape stands from a place up to another."""
        return len(shape(text).findall(self._shape, start, end))

    def is_all(self, text: str, start: int, end: int) -> bool:
        """Whether a shape takes all from a place up to another."""
        return shape(text).fullmatch(self._shape, start, end) is not None

    def words(self, start: int, end: int) -> tuple[str, ...]:
        """Return the letters from a place up to another."""
        return self._words[start : min(end, self.size)]

    def all_words(self) -> set[str]:
        """Return every word, phrases of the lexicon taken apart."""
        return {word for said in self._words for word in said.split()}

    def kinds(self, start: int = 0, end: int | None = None) -> tuple[Kind, ...]:
        """Return what stands from a place up to another."""
        return self._kinds[start : self.size if end is None else min(end, self.size)]

    def is_count(self, place: int) -> bool:
        """Whether a whole number stands there that may count something."""
        return self._counts[place] is not None

    def count(self, place: int) -> int:
        """Return the whole number at a place where :meth:`is_count` holds."""
        return self._counts[place] or 0

    def counted(self, place: int) -> tuple[int, int] | None:
        """Return a count, in brackets or not, and the place behind it."""
        found = self.fits("COUNTED", place)
        if found is None:
            return None
        inside = place + (self._kinds[place] is Kind.OPENING)
        return self.count(inside), found.end()

    def closing(self, place: int) -> int | None:
        """Return the place behind the bracket that opens here; None where none closes it."""
        depth = 0
        for at in range(place, self.size):
            depth += (self._kinds[at] is Kind.OPENING) - (self._kinds[at] is Kind.CLOSING)
            if depth == 0:
                return at + 1
        return None

"""The tokens of a cutting text: typed words, numbers and signs, each with its place.

Nothing is rewritten: a token keeps where it stands, and what it is follows from the lexicon
alone. A kind is *free* when it can change no count and no size; every token of another kind
must be read by a phrase, or the sentence is asked about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Kind(StrEnum):
    """What a token is. The lexicon says which words are of which kind."""

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


FREE = frozenset(
    {
        *(Kind.OPEN, Kind.DET, Kind.GROUP, Kind.LABEL, Kind.ORD, Kind.CODE, Kind.CLOTH),
        *(Kind.UNITNAME, Kind.AT, Kind.YOU, Kind.SEW, Kind.TRIM, Kind.DRAW),
    }
)
"""Kinds that change no count and no size."""

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
    """One word, number or sign.

    Attributes:
        kind: What it is.
        text: Its letters, small, with plain signs.
        start: Its place in the text.
        end: The place behind it.
        value: The number of a NUM; the inches of a UNIT; else None.
        lost_gap: Whether a number lost the gap before its fraction (``21/4``).
    """

    kind: Kind
    text: str
    start: int
    end: int
    value: Fraction | None = None
    lost_gap: bool = False


_NOTHING = Token(Kind.END, "", 0, 0)


class Words:
    """The tokens of one sentence, asked for by their place; beyond either end is END."""

    __slots__ = ("_tokens", "size")

    def __init__(self, tokens: Sequence[Token]) -> None:
        """Take the tokens of one sentence."""
        self._tokens = tuple(tokens)
        self.size = len(self._tokens)

    def at(self, place: int) -> Token:
        """Return the token at a place."""
        return self._tokens[place] if 0 <= place < self.size else _NOTHING

    def kind(self, place: int) -> Kind:
        """Return what stands at a place."""
        return self._tokens[place].kind if 0 <= place < self.size else Kind.END

    def word(self, place: int) -> str:
        """Return the letters at a place."""
        return self._tokens[place].text if 0 <= place < self.size else ""

    def words(self, start: int, end: int) -> tuple[str, ...]:
        """Return the letters from a place up to another."""
        return tuple(token.text for token in self._tokens[start:end])

    def kinds(self, start: int = 0, end: int | None = None) -> tuple[Kind, ...]:
        """Return what stands from a place up to another."""
        return tuple(token.kind for token in self._tokens[start:end])

    def is_count(self, place: int) -> bool:
        """Whether a whole number stands there that may count something."""
        token = self.at(place)
        return (
            token.kind is Kind.NUM
            and token.value is not None
            and token.value.denominator == 1
            and not token.lost_gap
            and self.kind(place + 1) is not Kind.UNIT
        )

    def count(self, place: int) -> int:
        """Return the whole number at a place where :meth:`is_count` holds."""
        return int(self.at(place).value or 0)

    def counted(self, place: int) -> tuple[int, int] | None:
        """Return a count, in brackets or not, and the place behind it."""
        if self.is_count(place):
            return self.count(place), place + 1
        inside = self.kind(place) is Kind.OPENING and self.is_count(place + 1)
        if inside and self.kind(place + 2) is Kind.CLOSING:
            return self.count(place + 1), place + 3
        return None

    def skip(self, place: int, *kinds: Kind) -> int:
        """Return the first place from here on that holds none of these kinds."""
        while self.kind(place) in kinds:
            place += 1
        return place

    def closing(self, place: int) -> int | None:
        """Return the place behind the bracket that opens here; None where none closes it."""
        depth = 0
        for at in range(place, self.size):
            depth += (self.kind(at) is Kind.OPENING) - (self.kind(at) is Kind.CLOSING)
            if depth == 0:
                return at + 1
        return None

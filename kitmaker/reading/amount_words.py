"""The words of an amount, as the one lexer gives them, with what only amounts say made plain.

``half a yard`` is ½ and its unit, ``a fat ¼`` and ``F8ths`` are forms, ``2,3 m`` is one
number. Nothing is left out: each token is owned by a rule of :mod:`kitmaker.reading.amounts`,
or the amount is asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.lengths import CENTIMETER, METER, YARD
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.lexicon import FORMS, FRACTION_WORDS, GOODS, UNITS, word_set
from kitmaker.reading.words.tokens import FREE, Kind, Token, Words

_STOCK_NUMBER = 1000
_PART_OF = {Fraction(1, 4): "quarter", Fraction(1, 8): "eighth", Fraction(1, 2): "half"}
_NAMING = word_set("fabric color colour print border cloth")
_PLURAL_ENDS = word_set("s ths 's")
_WORDS_OF_UNITS = frozenset(
    name for name in UNITS if name[0].isalpha() and name not in ("in", "ins")
)
_SIGN_OF_WORD = {
    word: sign
    for sign, words in zip("PAsIDkKuWb", GOODS.values(), strict=True)
    for word in words.split()
}
_SIGN_OF_WORD |= dict.fromkeys(
    ("quarter", "quarters", "eighth", "eighths", "@", *_WORDS_OF_UNITS), "?"
)
"""Signs that go by the word, asked first."""
_FREE_HERE = (Kind.PIECE, Kind.RECT, Kind.BORDER, Kind.SHAPE, Kind.FUSSY, Kind.NEEDS, Kind.THESE)
_MARKS = (Kind.OPENING, Kind.CLOSING, Kind.COMMA, Kind.COLON, Kind.SEMICOLON, Kind.DASH, Kind.SLASH)
_SIGN_OF = {
    **dict.fromkeys((*FREE, *_FREE_HERE, Kind.LOF), "w"),
    **{kind: kind.value for kind in (*_MARKS, Kind.EQUALS, Kind.STOP)},
    Kind.SQUARE: "q",
    Kind.STRIP: "t",
    Kind.WIDE: "W",
    Kind.WOF: "V",
    Kind.TOTAL: "T",
    Kind.EACH: "e",
    Kind.OR: "o",
    Kind.OF: "f",
    Kind.FOR: "F",
    Kind.FROM: "r",
    Kind.TIMES: "x",
    Kind.CUT: "C",
    Kind.NOT: "N",
    Kind.ALL: "B",
    Kind.NEEDED: "u",
    Kind.AT: "a",
}
SIGNS = """
n number; i inches; c centimeters; L yards, meters; x times; h first of two widths; W wide, width;
V width of fabric; G form; P pack; A panel; q square; t strip; b pieces; k cloth; K several cloths;
l list of fabrics; s scraps; T total; e each; f of; r from; F for; C cut; I includes; D about;
N not; B all; u use; a with; o or; + plus; w free word; ? what only a rule of its own may own
"""


@dataclass(frozen=True, slots=True)
class Item:
    """A word, a number with its unit or a mark.

    Attributes:
        sign: What it is, as in :data:`SIGNS`.
        text: Its letters.
        value: A number's; else None.
        unit: The inches of its unit; 0 where it has none.
        lost_gap: Whether the gap before its fraction is not sure.
    """

    sign: str
    text: str
    value: Fraction | None = None
    unit: Fraction = Fraction(0)
    lost_gap: bool = False


def amount_words(text: str) -> tuple[Item, ...]:
    """Return the words of an amount, forms and units as people say them made plain."""
    apart = "".join(
        f"{sign} " if sign.islower() and behind.isupper() else sign
        for sign, behind in zip(text, f"{text[1:]} ", strict=False)
    )  # a gap lost between two words
    return tuple(_items(Words(tuple(_plain(Words(lex(apart)))))))


def _items(words: Words) -> Iterator[Item]:
    place = 0
    while place < words.size:
        token, behind = words.at(place), words.at(place + 1)
        place += 1
        if token.kind is not Kind.NUM:
            touches = behind.kind is Kind.NUM and behind.start == token.end
            is_code = (
                touches and token.kind is Kind.OPEN and (behind.value or 0) >= _STOCK_NUMBER / 10
            )
            place += is_code
            yield Item("w" if is_code else _sign(token, behind, touches=touches), token.text)
        elif behind.kind is Kind.UNIT:
            place += 1
            unit = behind.value or Fraction(0)
            sign = "L" if unit in (YARD, METER) else "c" if unit <= CENTIMETER else "i"
            yield Item(sign, token.text, token.value, unit, token.lost_gap)
        elif token.text.isdigit() and (token.value or 0) >= _STOCK_NUMBER:
            yield Item("w", token.text)
        else:
            yield Item("?" if token.lost_gap else "n", token.text, token.value)


def _sign(token: Token, behind: Token, *, touches: bool) -> str:
    if token.kind is Kind.LABEL:
        is_list = token.text.split()[0] in GOODS["cloths"].split() and " and " in token.text
        return "l" if is_list else "w"
    if token.kind is Kind.CLOTH and token.text.startswith(("fat ", "long ", "metric ")):
        return "G"
    if token.text in _SIGN_OF_WORD:
        return _SIGN_OF_WORD[token.text]
    if token.text == "too" and behind.kind in (Kind.STOP, Kind.END):
        return "w"  # two yards will do for the binding too
    if token.kind is Kind.BAD and token.text[:-1].isdigit() and token.text[-1] == "/":
        return "h"
    if token.kind is Kind.AND:
        return "&" if token.text in ("and", "&") else "+"
    if (token.kind is Kind.COMMA and touches) or (
        token.text == "!" and behind.text not in (")", "")
    ):
        return "?"  # ",5 m", "!/2 yd"
    return _SIGN_OF.get(token.kind, "?")


def _plain(words: Words) -> Iterator[Token]:
    place = 0
    while place < words.size:
        for rule in (_name, _form, _slip):
            found = rule(words, place)
            if found is not None:
                tokens, place = found
                yield from tokens
                break
        else:
            yield words.at(place)
            place += 1


_Found = tuple[tuple[Token, ...], int] | None


def _over(
    words: Words, start: int, end: int, kind: Kind, text: str, value: Fraction | None = None
) -> Token:
    return Token(kind, text, words.at(start).start, words.at(end - 1).end, value)


def _form(words: Words, place: int) -> _Found:
    """``fat quarters``, ``FQ``, ``fat ¼s``, ``F8ths``, ``long quarter yard``."""
    metric = words.word(place) == "metric"
    name = FORMS.get(words.word(place + metric), "")
    end = place + metric + 1
    if not name and words.word(place) in ("fat", "f", "long", "f 8"):
        number = words.at(place + 1)
        if words.word(place) == "f" and number.start > words.at(place).end:
            return None  # a fabric's letter
        value = number.value or FRACTION_WORDS.get(number.text)
        if words.word(place) == "f 8" or number.text == "8th" or value == 8:
            value = Fraction(1, 8)
        part = _PART_OF.get(value) if value else None
        if part is None:
            return None
        end = place + 1 + (words.word(place) != "f 8")
        is_plural = words.word(end) in _PLURAL_ENDS or number.text.endswith("s")
        end += words.word(end) in _PLURAL_ENDS
        first = "long" if words.word(place) == "long" else "fat"
        name = f"{first} {'halve' if part == 'half' and is_plural else part}{'s' * is_plural}"
    if not name:
        return None
    end += words.word(end).rstrip("s.") in ("yard", "yd")
    name = f"metric {name}" if metric else name
    return (_over(words, place, end, Kind.CLOTH, name),), end


def _name(words: Words, place: int) -> _Found:
    """``Fabric 2 - 1 yd``, ``Fabric 1 - 5/8 yd``: a number that names, and the amount."""
    number, dash = words.at(place + 1), words.at(place + 2)
    if words.word(place) not in _NAMING or number.kind is not Kind.NUM:
        return None
    first, _, fraction = number.text.partition(" - ")
    if fraction and number.lost_gap:
        above, _, below = fraction.partition("/")
        behind: tuple[Token, ...] = (
            _over(
                words, place + 1, place + 2, Kind.NUM, fraction, Fraction(int(above), int(below))
            ),
        )
    elif dash.kind is Kind.DASH and number.text.isdigit() and dash.start > number.end:
        behind = ()
    else:
        return None
    return (_over(words, place, place + 2, Kind.LABEL, f"fabric {first}"), *behind), place + 2


def _slip(words: Words, place: int) -> _Found:
    """``5½" yards``."""
    unit = UNITS.get(words.word(place + 2))
    if unit != YARD or not words.fits("NUM UNIT OPEN", place) or words.word(place + 1) != '"':
        return None
    return (words.at(place), replace(words.at(place + 2), kind=Kind.UNIT, value=unit)), place + 3

"""The words of an amount, as the one lexer gives them, with what only amounts say made plain.

``a fat ¼`` and ``F8ths`` are forms, ``Fabric 2 - 1 yd`` is a name and an amount. Each token has
the kind that it has in an amount: free words are open ones, what is no word of amounts cannot
be read. Nothing is left out: a rule of :mod:`kitmaker.reading.amount_rules` owns each token,
or the amount is asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from kitmaker.lengths import YARD
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.lexicon import FORMS, FRACTION_WORDS, GOODS, UNITS, word_set
from kitmaker.reading.words.tokens import FREE, Kind, Token, Words

_STOCK_NUMBER = 1000
_PART_OF = {Fraction(1, 4): "quarter", Fraction(1, 8): "eighth", Fraction(1, 2): "half"}
_NAMING = word_set("fabric color colour print border cloth")
_PLURAL_ENDS = word_set("s ths 's")
_OF_WORD = dict.fromkeys((name for name in UNITS if name[0].isalpha()), Kind.BAD) | {
    **dict.fromkeys(("in", "ins"), Kind.AT),
    **{word: kind for kind, words in GOODS.items() for word in words.split()},
}
"""Kinds that go by the word, asked first; a unit stands only behind a number."""
_KEPT = """
    NUM UNIT SQUARE STRIP WIDE WOF TOTAL EACH OR OF FOR FROM TIMES CUT NOT LESSEN ALL NEEDED AT AND
    DET EQUALS STOP OPENING CLOSING COMMA COLON SEMICOLON DASH SLASH
"""
_FREE_HERE = "PIECE RECT BORDER SHAPE FUSSY NEEDS THESE LOF"
_KIND_HERE = {
    **dict.fromkeys(Kind, Kind.BAD),
    **dict.fromkeys((*FREE, *(Kind[name] for name in _FREE_HERE.split())), Kind.OPEN),
    **{Kind[name]: Kind[name] for name in _KEPT.split()},
}


def amount_words(text: str) -> Words:
    """Return the words of an amount, forms and units as people say them made plain."""
    apart = "".join(
        f"{sign} " if sign.islower() and behind.isupper() else sign
        for sign, behind in zip(text, f"{text[1:]} ", strict=False)
    )  # a gap lost between two words
    return Words(tuple(_plain(Words(lex(apart)))))


def _plain(words: Words) -> Iterator[Token]:
    place = 0
    while place < words.size:
        for rule in (_name, _form, _slip, _code):
            found = rule(words, place)
            if found is not None:
                tokens, place = found
                yield from tokens
                break
        else:
            token = words.at(place)
            yield replace(token, kind=_kind(words, place))
            place += 1


def _kind(words: Words, place: int) -> Kind:
    token, behind = words.at(place), words.at(place + 1)
    if token.kind is Kind.NUM and behind.kind is not Kind.UNIT:
        is_stock_number = token.text.isdigit() and (token.value or 0) >= _STOCK_NUMBER
        return Kind.OPEN if is_stock_number else Kind.BAD if token.lost_gap else Kind.NUM
    if token.kind is Kind.LABEL and " and " in token.text:
        return Kind.LIST if token.text.split()[0] in GOODS[Kind.CLOTHS].split() else Kind.OPEN
    if token.text == "too" and words.fits("STOP|END", place + 1):
        return Kind.OPEN  # two yards will do for the binding too
    is_slip = token.kind is Kind.COMMA and behind.kind is Kind.NUM and behind.start == token.end
    if is_slip or (token.text == "!" and behind.text not in (")", "")):
        return Kind.BAD  # ",5 m", "!/2 yd"
    kind = _KIND_HERE[token.kind]
    return kind if kind in (Kind.NUM, Kind.UNIT) else _OF_WORD.get(token.text, kind)


_Found = tuple[tuple[Token, ...], int] | None


def _over(words: Words, start: int, end: int, kind: Kind, text: str) -> Token:
    return Token(kind, text, words.at(start).start, words.at(end - 1).end)


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
    return (_over(words, place, end, Kind.FORM, name),), end


def _name(words: Words, place: int) -> _Found:
    """``Fabric 2 - 1 yd``, ``Fabric 1 - 5/8 yd``: a number that names, and the amount."""
    number, dash = words.at(place + 1), words.at(place + 2)
    if words.word(place) not in _NAMING or number.kind is not Kind.NUM:
        return None
    first, _, fraction = number.text.partition(" - ")
    name = _over(words, place, place + 2, Kind.OPEN, f"fabric {first}")
    if fraction and number.lost_gap:
        value = Fraction(*map(int, fraction.split("/")))
        return (name, replace(number, text=fraction, value=value, lost_gap=False)), place + 2
    is_apart = dash.kind is Kind.DASH and number.text.isdigit() and dash.start > number.end
    return ((name,), place + 2) if is_apart else None


def _slip(words: Words, place: int) -> _Found:
    """``5½" yards``."""
    unit = UNITS.get(words.word(place + 2))
    if unit != YARD or not words.fits("NUM UNIT OPEN", place) or words.word(place + 1) != '"':
        return None
    return (words.at(place), replace(words.at(place + 2), kind=Kind.UNIT, value=unit)), place + 3


def _code(words: Words, place: int) -> _Found:
    """``Moss1234``: the number of a color."""
    token, number = words.at(place), words.at(place + 1)
    touches = token.kind is Kind.OPEN and number.kind is Kind.NUM and number.start == token.end
    is_code = touches and (number.value or 0) >= _STOCK_NUMBER / 10
    return ((token,), place + 2) if is_code else None

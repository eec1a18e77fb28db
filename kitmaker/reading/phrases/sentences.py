"""A text's tokens into sentences, and what a sentence as a whole is.

A sentence that asks for no cut needs no reading: it is shown as a note. Whether it asks for
one is told by its kinds of words, never by the fact that it could not be read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitmaker.reading.phrases.lexer import lex
from kitmaker.reading.phrases.lexicon import word_set
from kitmaker.reading.phrases.parts import UnsureError
from kitmaker.reading.phrases.tokens import FREE, NOUNS, Kind, Token

_CUTTING = frozenset({Kind.CUT, Kind.SUB, Kind.CHOOSE})
_SIZED = frozenset({Kind.NUM, *NOUNS, Kind.CUT, Kind.SUB})
_TELLS = word_set(
    """
    must should larger longer wider allow uses takes about usable based mine were was enough
    include includes measures
    """
)
"""Words of sentences whose figures tell what was, or should be."""
_MULTIPLIES = word_set("repeat again too")
_QUANTITY = word_set("double twice ditto likewise same")
_POSSIBLY = word_set("may might could wish longer")
_LIST_MARKS = (Kind.NUM, Kind.LABEL, Kind.OPEN)


def sentences_of(tokens: Sequence[Token]) -> Iterator[tuple[Token, ...]]:
    """Yield the sentences of a line; a bracket keeps what stands in it together."""
    current: list[Token] = []
    depth = 0
    for place, token in enumerate(tokens):
        depth = max(0, depth + (token.kind is Kind.OPENING) - (token.kind is Kind.CLOSING))
        if token.kind is not Kind.STOP:
            current.append(token)
            continue
        closes_soon = any(one.kind is Kind.CLOSING for one in tokens[place + 1 : place + 4])
        if depth and closes_soon:
            continue
        depth = 0
        if len(current) == 1 and current[0].kind in _LIST_MARKS:
            if current[0].kind is Kind.NUM:  # "3." begins a list
                current = []
            continue
        if current:
            yield tuple(current)
        current = []
    if current:
        yield tuple(current)


def without_list_number(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """Return a sentence without the ``1)`` that it begins with."""
    kinds = [token.kind for token in tokens[:4]]
    if len(kinds) < 4 or kinds[:2] != [Kind.NUM, Kind.CLOSING]:
        return tokens
    counts = kinds[2] is Kind.NUM and kinds[3] not in (Kind.UNIT, Kind.TIMES)
    return tokens[2:] if counts or kinds[2] in (Kind.CUT, Kind.FROM) else tokens


def refuse_damaged(tokens: Sequence[Token]) -> None:
    """Refuse a sentence with signs that cannot be read, where a size could hide in them.

    Raises:
        UnsureError: There are such signs.
    """
    bad = next((token for token in tokens if token.kind is Kind.BAD), None)
    if bad is not None and any(token.kind in _SIZED for token in tokens):
        raise UnsureError(
            f"the sign '{bad.text}' stands where a count or a size should be",
            "Type the line by hand from the printed pattern.",
        )


def refuse_several(tokens: Sequence[Token]) -> None:
    """Refuse counts that stand for several fabrics or pieces: ``A, B: cut 4 squares 5"``.

    Raises:
        UnsureError: Several letters head the sentence.
    """
    place = 0
    joints = (Kind.COMMA, Kind.AND, Kind.SLASH)
    while place + 1 < len(tokens) and tokens[place].kind is Kind.LABEL:
        if tokens[place + 1].kind not in joints:
            break
        place += 2
    lists = place > 0 and place < len(tokens) and tokens[place].kind is Kind.LABEL
    if not lists and tokens[0].kind is Kind.LABEL and len(tokens) > 1:
        listed = any(sign in tokens[0].text for sign in (" and ", ",", "&", "/"))
        lists = listed and tokens[1].kind in (Kind.COLON, Kind.DASH)
    if lists and any(token.kind is Kind.NUM for token in tokens):
        raise UnsureError(
            "whether the counts are for each of several fabrics or pieces is not said",
            "Write the cuts beside each by itself.",
        )


def asks_for_nothing(tokens: Sequence[Token]) -> bool:
    """Whether a sentence that no phrases account for is only a remark.

    Raises:
        UnsureError: It has words of quantity, and what they are of is not said.
    """
    kinds = {token.kind for token in tokens}
    words = {word for token in tokens for word in token.text.split()}
    if Kind.NUM in kinds:
        return _only_measures(tokens, kinds, words)
    first = tokens[0].text
    if words & _MULTIPLIES and not kinds & {Kind.CUT, Kind.SUB}:
        return True
    if words & _POSSIBLY or (words & {"first", "last", "before"} and Kind.INTO not in kinds):
        return True
    if words & _QUANTITY:
        raise UnsureError("what its words of quantity are of is not said")
    only_quantity = not kinds & {Kind.OPEN, Kind.SEW, Kind.TRIM, Kind.SETASIDE, Kind.NOT}
    quantity = {Kind.DOUBT, Kind.EACH, Kind.PER, Kind.OR, Kind.REST, Kind.ALL}
    if first in ("as", "like", "ditto") or (only_quantity and kinds & quantity):
        raise UnsureError("what its words of quantity are of is not said")
    if kinds & {Kind.CUT, Kind.SUB} and Kind.DOUBT in kinds:
        return False
    divides = kinds & {Kind.SUB, Kind.ONCE, Kind.TWICE, Kind.EACH, Kind.PER, Kind.REST}
    cuts = kinds & {Kind.CUT, Kind.SUB, Kind.ONCE, Kind.TWICE}
    cuts_something = Kind.CUT in kinds and kinds & {
        *(Kind.SQUARE, Kind.RECT, Kind.STRIP, Kind.SHAPE, Kind.LABEL),
    }
    return not (
        (divides and cuts) or cuts_something or (Kind.SHAPE in kinds and "pattern" not in words)
    )


def _only_measures(tokens: Sequence[Token], kinds: set[Kind], words: set[str]) -> bool:
    """Whether figures only tell amounts and allowances: ``This uses about 3¾ yards``."""
    acts = {Kind.CUT, Kind.SUB, Kind.HAVE, Kind.TIMES, Kind.HALF, Kind.EACH, *NOUNS}
    acts.discard(Kind.BORDER)
    if words & {"measure", "measures"}:
        acts -= {Kind.TIMES, Kind.EACH}
    if words & {"include", "includes"}:
        acts -= set(NOUNS)
    if kinds & acts:
        return False
    units = [
        behind.value if behind.kind is Kind.UNIT else None
        for token, behind in zip(tokens, (*tokens[1:], tokens[-1]), strict=True)
        if token.kind is Kind.NUM
    ]
    return None not in units and bool(words & _TELLS)


def is_cutting(text: str) -> bool:
    """Whether a text has a cutting word."""
    return any(token.kind in _CUTTING for token in lex(text))


def says_a_cut(text: str) -> bool:
    """Whether a line names a size or a count to cut, so that it is more than a note."""
    for tokens in sentences_of(lex(text)):
        kinds = [token.kind for token in tokens]
        counted = Kind.NUM in kinds and any(kind in NOUNS for kind in kinds)
        sized = any(
            kind is Kind.NUM and kinds[at + 1 : at + 2] in ([Kind.UNIT], [Kind.TIMES])
            for at, kind in enumerate(kinds)
        )
        about = {"yardage", "seam", "usable", "measurements", "allowance", "allowances"}
        words = {word for token in tokens for word in token.text.split()}
        cuts = bool(_CUTTING & set(kinds)) and Kind.NUM in kinds
        defines = Kind.EQUALS in kinds and not set(kinds) & set(NOUNS)
        says = counted or sized or Kind.WOF in kinds
        if cuts or (says and not defines and not words & about):
            tells = (Kind.SEW, Kind.TRIM, Kind.DRAW, Kind.FINISHED, Kind.MAKE)
            if kinds[0] not in tells or cuts:
                return True
    return False


def may_multiply(tokens: Sequence[Token]) -> bool:
    """Whether a remark has words that may multiply or add to what is cut."""
    words = {word for token in tokens for word in token.text.split()}
    made = any(token.kind is Kind.MAKE for token in tokens)
    counts = any(token.kind is Kind.NUM for token in tokens)
    units = {Kind.UNITNAME, Kind.SHAPE, Kind.UNIT} & {token.kind for token in tokens}
    return bool(words & _MULTIPLIES) or (made and counts and not units)


def is_free(tokens: Sequence[Token]) -> bool:
    """Whether nothing in a sentence could count, measure or cut."""
    return all(token.kind in FREE or token.kind in (Kind.COMMA, Kind.AND) for token in tokens)

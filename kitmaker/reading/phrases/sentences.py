"""A text's tokens into sentences, and what a sentence as a whole is.

A sentence that asks for no cut needs no reading: it is shown as a note. Whether it asks for
one is told by its kinds of words, never by the fact that it could not be read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitmaker.reading.phrases.parts import unsure_if
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.lexicon import SIZE_NAMES, word_set
from kitmaker.reading.words.tokens import Kind, Token, Words

_TELLS = word_set(
    """
    must should larger longer wider allow uses takes about usable based mine were was enough
    include includes measures
    """
)
"""Words of sentences whose figures tell what was, or should be."""
_MULTIPLIES = word_set("repeat again too")
_POSSIBLY = word_set("may might could wish longer")
_ABOUT = word_set("yardage seam usable measurements allowance allowances")
_LIST_MARKS = (Kind.NUM, Kind.LABEL, Kind.OPEN)
_CUTTING = "[CUT SUB CHOOSE]"
_SEVERAL = "(?:LABEL[COMMA AND SLASH])+LABEL"


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


def refuse_at_sight(words: Words) -> None:
    """Refuse a sentence with signs that cannot be read, counts for several fabrics, or motifs.

    A size could hide in the signs, and the area of centered motifs says nothing of how many
    pieces come out. It is refused with an UnsureError.
    """
    sign = words.word(words.behind("[^BAD END]+", 0))
    unsure_if(
        words.has("BAD") and words.has("[NUM NOUN CUT SUB]"),
        f"the sign '{sign}' stands where a count or a size should be",
        "Type the line by hand from the printed pattern.",
    )
    if not words.has("NUM"):
        return
    listed = any(sign in words.word(0) for sign in (" and ", ",", "&", "/"))
    unsure_if(
        (listed and words.fits("LABEL[COLON DASH]", 0)) or words.fits(_SEVERAL, 0),
        "whether the counts are for each of several fabrics or pieces is not said",
        "Write the cuts beside each by itself.",
    )
    unsure_if(
        words.has("FUSSY") and not words.has("PANELWORD"),
        "a motif is centered in each piece, so the cloth it takes cannot be counted by area",
        "Type the amount that the pattern states as the requirement, without cuts, or the "
        "size of one repeat of the print as the piece.",
    )


def asks_for_nothing(words: Words, *, after_cuts: bool) -> bool:
    """Whether a sentence that no phrases account for is only a remark.

    Raises:
        UnsureError: It has words of quantity, and what they are of is not said.
    """
    said = words.all_words()
    if words.has("NUM"):
        return _only_measures(words, said)
    if said & _MULTIPLIES and not words.has("[CUT SUB]"):
        unsure_if(after_cuts and "repeat" in said, "what is repeated, and how often, is not said")
        return True
    if said & _POSSIBLY or (said & {"first", "last", "before"} and not words.has("INTO")):
        return True
    only_quantity = not words.has("[OPEN SEW TRIM SETASIDE NOT]")
    unsure_if(
        words.has("(?<!DET)(?!PAIRS|SETS|CHOICE|UNSURE)QUANTITY|NOTCUT COLON")
        or words.word(0) in ("as", "like", "ditto")
        or (only_quantity and words.has("[DOUBT EACH PER OR REST ALL]")),
        "what its words of quantity are of is not said",
    )
    divides = words.has("[SUB ONCE TWICE EACH PER REST]") and words.has("[CUT SUB ONCE TWICE]")
    cuts = words.has("CUT") and words.has("[SQUARE RECT STRIP SHAPE LABEL DOUBT]")
    is_shape = words.has("SHAPE") and "pattern" not in said
    return not (divides or cuts or is_shape or (words.has("SUB") and words.has("DOUBT")))


def size_names(words: Words, own: frozenset[str]) -> set[str]:
    """Return the sizes of quilts that a sentence's counts are labeled with: ``Crib: 12``.

    ``own`` has words that name sizes of this pattern, besides those that name sizes at large.
    """
    names = SIZE_NAMES | own
    return {
        words.word(at)
        for at in range(words.size)
        if words.word(at) in names
        and (
            at == 0
            or words.fits("[OPENING FOR COMMA SEMICOLON]", at - 1)
            or (at > 1 and words.fits("FOR DET", at - 2))
            or words.word(at - 1) in names
        )
        and (
            words.fits("[COLON CLOSING END COMMA SEMICOLON]", at + 1)
            or words.word(at + 1) == "size"
        )
    }


def _only_measures(words: Words, said: set[str]) -> bool:
    """Whether figures only tell amounts and allowances: ``This uses about 3¾ yards``."""
    acts = "CUT SUB HAVE HALF"
    acts += "" if said & {"measure", "measures"} else " TIMES EACH"
    acts += "" if said & {"include", "includes"} else " SQUARE RECT STRIP PIECE"
    tells = bool(said & _TELLS) and not words.has("NUM(?!UNIT)")
    return tells and not words.has(f"[{acts}]")


def is_cutting(text: str) -> bool:
    """Whether a text has a cutting word."""
    return Words(lex(text)).has(_CUTTING)


def says_a_cut(text: str) -> bool:
    """Whether a line names a size or a count to cut, so that it is more than a note."""
    for tokens in sentences_of(lex(text)):
        words = Words(tokens)
        cuts = words.has(_CUTTING) and words.has("NUM")
        counted = words.has("NUM") and words.has("NOUN")
        says = counted or words.has("NUM[UNIT TIMES]|WOF")
        defines = words.has("EQUALS") and not words.has("NOUN")
        tells = words.fits("[SEW TRIM DRAW FINISHED MAKE]", 0) or words.all_words() & _ABOUT
        if cuts or (says and not defines and not tells):
            return True
    return False


def may_multiply(words: Words) -> bool:
    """Whether a remark has words that may multiply or add to what is cut."""
    makes = words.has("MAKE") and words.has("NUM") and not words.has("[UNITNAME SHAPE UNIT]")
    return bool(words.all_words() & _MULTIPLIES) or makes


def is_free(words: Words) -> bool:
    """Whether nothing in a sentence could count, measure or cut."""
    return words.is_all("[FREE COMMA AND]*", 0, words.size)

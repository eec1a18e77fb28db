"""Words that multiply, divide, add to or take away from a count, outside of cutting lines.

"Double this" beside a row changes what is cut; "Double Irish Chain" is a name. Which words
do such a thing stands in the lexicon, by their kinds; here stands where they count: in a
note, in a heading (a title, a column's heading, a sheet's or a file's name), in a name (of a
piece, a fabric), in an amount. The shapes are our own collection, from notes of quilters as
they are commonly worded, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from kitmaker.errors import Level, Location, Problem
from kitmaker.reading.cells import plain_spaces, tidy_text
from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.tokens import Kind, Words


class Place(StrEnum):
    """Where words of quantity stand."""

    NOTE = "note"
    HEADING = "heading"
    NAME = "name"
    AMOUNT = "amount"


class Force(StrEnum):
    """How surely a word changes a count.

    Attributes:
        SURE: Wherever it stands.
        ABOVE: As a heading over counts; in a note it only may.
        MAYBE: It may in a note or in brackets, and is an ordinary word in headings and names.
    """

    SURE = "sure"
    ABOVE = "above"
    MAYBE = "maybe"


@dataclass(frozen=True, slots=True)
class QuantityWords:
    """Words of quantity in a text."""

    words: str  # the words as they stand there
    force: Force  # how surely they change a count
    leaves_out: bool = False  # whether they say that something is not to be cut at all


_MANY = "COUNT(?!TIMES|[OF AT]NUM(?!UNIT))"
_WHOLE = "(?:OF[THESE EACH]|OPEN?[COPIES QUILTS])"
_MADE = "OPEN?[BLOCKS UNITNAME SETS]"
_NO_SIZE = "(?![OF AT DET]*NUM[UNIT TIMES]|WIDE|INCHES)"

SHAPES: tuple[tuple[Force, str], ...] = (
    # all of it times so many
    (Force.SURE, "(?<![NUM UNIT WOF CLOSING])TIMES COUNT(?!TIMES)"),
    (Force.SURE, "(?<!TIMES)COUNT TIMES(?![NUM OPENING WOF LOF TIMES])"),
    (
        Force.SURE,
        "MULTIPLY OF?(?:[THESE ALL COUNTS]|AS UNSURE|DET[COUNTS NOUN])|[ALL COUNTS]MULTIPLY",
    ),
    (Force.SURE, "(?<!.)(?:COUNT|DET|OPENING|IN)*MULTIPLY[CLOSING STOP]*(?=END)"),
    (Force.SURE, f"COUNT(?!SETS)MULTIPLY(?!AS?WIDE|OPEN? WIDE)|MULTIPLY {_MANY}"),
    (Force.SURE, "MAKE COUNT(?=[END STOP COMMA SEMICOLON COLON CLOSING])"),
    (Force.SURE, f"[MAKE CUT SEW]COUNT ADD?{_WHOLE}|(?:FOR|TO? MAKE)MANY{_WHOLE}"),
    (Force.SURE, f"[COUNTS CUT PIECE].*(?:(?:FOR|PER|OF)[ONE AN EACH]|PER){_MADE}"),
    (Force.ABOVE, f"[MAKE SEW]COUNT {_MADE}|(?:FOR|TO? MAKE)[COUNT AN]{_MADE}"),
    (Force.ABOVE, "MANY QUILTS|COUNTS.*FOR MANY(?=END)|[PAIRS DOZEN](?=END)"),
    (Force.ABOVE, "PER(?!COPIES|QUILTS|INCHES)[OPEN GROUP CLOTH PIECE NOUN UNITNAME]"),
    (Force.ABOVE, "EACH[GROUP CLOTH COPIES UNITNAME]|COUNT EACH|(?<=.)[SLASH PLUS]COUNT(?=END)"),
    # added, taken away, left out
    (Force.SURE, f"COUNT[ADD LESSEN EXTRA CHOICE OTHER]{_NO_SIZE}|[ADD LESSEN EXTRA PLUS]{_MANY}"),
    (Force.SURE, "OMIT|NOTCUT"),
    # what only may
    (Force.MAYBE, f"QUANTITY{_NO_SIZE}"),
    (Force.MAYBE, "[FOR FROM OF PER AT]EACH|EACH GROUP|(?<!.)EACH|BOTH|REST|ONLY"),
    (Force.MAYBE, f"EXTRA{_NO_SIZE}|[WAS BE]{_MANY}|COUNT TOTAL|TOTAL[OF COLON]?COUNT|SUPPLIED"),
    (
        Force.MAYBE,
        "COUNT(?:HANDED|DOUBT)|CUT COUNT[AT FROM FOR]|SUB|FUSSY|CUT.*(?:HALF|QUARTERS|INTO)",
    ),
)
"""How surely, and the shape of the words: kinds of the lexicon (:func:`.tokens.shape`)."""

_BRACKET = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_COUNTS = {
    Place.NOTE: frozenset(Force),
    Place.HEADING: frozenset({Force.SURE, Force.ABOVE}),
    Place.NAME: frozenset({Force.SURE}),
    Place.AMOUNT: frozenset({Force.SURE}),
}


def find_quantity_words(text: str, place: Place) -> QuantityWords | None:
    """Return the surest words in a text that may change a count; None where none do.

    Ordinary words of a name are none, in a bracket they are.
    """
    in_brackets = place in (Place.HEADING, Place.NAME)
    if in_brackets and (inside := _BRACKET.search(text)) is not None:
        outside = find_quantity_words(_BRACKET.sub(" ", text), place)
        return outside or find_quantity_words(inside[1], Place.NOTE)
    plain = " ".join(tidy_text(text).split())
    tokens = lex(plain)
    dozens = [token.text for token in tokens if token.kind is Kind.NUM and "dozen" in token.text]
    if dozens and place is Place.NOTE:
        return QuantityWords(dozens[0], Force.SURE)
    words = Words(tokens)
    for force, shape in SHAPES:
        if force in _COUNTS[place] and (found := words.find(shape)) is not None:
            start, end = found
            said = plain[words.at(start).start : words.at(end - 1).end]
            return QuantityWords(said, force, words.has("[OMIT NOTCUT]", start, end))
    return None


def ask_about_quantity(text: str, place: Place, where: Location, what: str) -> Problem | None:
    """Return the question that words of quantity in a text make; None where there are none.

    ``what`` names it: ``the note``.
    """
    found = find_quantity_words(text, place)
    if found is None:
        return None
    sure = found.force is Force.SURE or place is Place.HEADING
    does = "take out or change what is" if found.leaves_out else "change how many are"
    instead = "Delete what is not to be cut" if found.leaves_out else "Type the quantities in full"
    return Problem(
        Level.ERROR if sure else Level.WARNING,
        f"'{found.words}' in {what} '{plain_spaces(text)}' may {does} cut; "
        "the quantities are read as they stand",
        where,
        f"{instead}, and take these words out.",
    )

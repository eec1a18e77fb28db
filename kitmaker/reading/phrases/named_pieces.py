"""Pieces above that a sentence names by their size: ``Sub-cut the 2½" strips into 64 squares``.

Where strips of several widths were cut, each is cut on by a sentence of its own. Its strips are
laid at hand before it is read, and the sentence then says ``sub-cut into`` like any other.
``Use 5 of the 2½" strips for the border`` names what is cut already, and asks for no more.
"""

from __future__ import annotations

import re
from dataclasses import replace

from kitmaker.lengths import Length
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.model import Cut
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length
from kitmaker.reading.phrases.sources import mark_diagonals

_STRIPS = (
    r"(?:(?P<some>\d+)\s+of\s+|(?:(?:all|each|of)\s+)*)(?:(?:the|these|those|your|each)\s+)+(?:[(]?(?P<number>\d+)[)]?\s+(?!\d+\s*/))?"
    rf"(?P<width>{NUMBER})\s*"
    rf"(?P<unit>{UNIT})?\s*-?\s*(?:wide\s+)?(?:x\s+wof\s+)?(?:wof\s+)?(?:[a-z]+\s+)?strips?(?:\s+x\s+wof)?"
)
_CUT_ON = re.compile(
    rf"^(?:(?:and|then|next)\s+)*(?:(?P<verb>(?:(?:sub|cross)-?\s?)?cut)\s+{_STRIPS}(?:\s+crosswise)?\s+(?:in)?to\b"
    rf"|from\s+{_STRIPS.replace('P<', 'P<from_')}\s*,?\s*(?:(?:sub|cross)-?\s?)?cut\b)\s*:?\s*",
    re.IGNORECASE,
)
_SOME = re.compile(
    rf"(?:(?:and|then|next)\s+)*(?P<verb>cut|use|set|keep|save|reserve|put|take|choose|select|pick)\s+[(]?(?P<number>\d+)[)]?\s+of\s+"
    rf"(?:the|these|those|your)\s+(?P<a>{NUMBER})\s*(?P<au>{UNIT})?(?:\s*(?:x|×|by)\s*(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?)?\s+"
    r"(?:[a-z]+\s+){0,2}?(?:squares?|rectangles?|strips?|pieces?)\b(?P<rest>.*)",
    re.IGNORECASE,
)
_ON_DIAGONAL = re.compile(r"\s*§([12])§\s*(?:(?:for|to\s+make)\b[^\d]*)?[.]?")


def takes_some_above(signs: str, sentence: str, bench: Bench) -> bool:
    """Take ``some of the 2½" squares`` as some of those that are cut already.

    Args:
        signs: The sentence in plain signs.
        sentence: As it stands.
        bench: The cuts so far.

    Returns:
        Whether the sentence is one of these.

    Raises:
        UnsureError: What becomes of them is not said for sure.
    """
    found = _SOME.fullmatch(signs)
    if found is None:
        return False
    unit = bench.facts.unit
    first = to_length(found["a"], found["au"] or found["bu"], unit)
    second = to_length(found["b"], found["bu"] or found["au"], unit) if found["b"] else None
    places = [at for at, cut in enumerate(bench.cuts) if _is_of_size(cut, first, second)]
    if not places:
        return False
    at, number = places[0], int(found["number"])
    cut, rest = bench.cuts[at], mark_diagonals(found["rest"])
    if len(places) > 1 or number > cut.quantity:
        raise UnsureError("which of the pieces above are meant is not said for sure")
    diagonal = _ON_DIAGONAL.fullmatch(rest)
    if diagonal is not None and cut.shape is Shape.SQUARE:
        shape = Shape.CUT_ONCE if diagonal[1] == "1" else Shape.CUT_TWICE
        left = [replace(cut, quantity=cut.quantity - number)] if number < cut.quantity else []
        bench.cuts[at : at + 1] = [replace(cut, quantity=number, shape=shape), *left]
        bench.clear()
    elif found["verb"].casefold() == "cut" or re.search(r"\d|\bcut\b", rest):
        raise UnsureError(
            "what becomes of the pieces above, which are counted already, is not said for sure",
            "Type only the pieces that are needed in the end, with their total.",
        )
    bench.remark(sentence)
    return True


def _is_of_size(cut: Cut, first: Length, second: Length | None) -> bool:
    if second is not None:
        return {cut.width, cut.length} == {first, second}
    return cut.width == first and cut.length in (None, first)


def take_named_strips(signs: str, bench: Bench) -> str:
    """Lay the strips at hand that a sentence in plain signs names by their width.

    Args:
        signs: The sentence.
        bench: The cuts so far.

    Returns:
        The sentence with ``sub-cut into`` in front; as it was where it names no such strips.

    Raises:
        UnsureError: It names some of strips that are not above it.
    """
    found = _CUT_ON.match(signs)
    if found is None:
        return signs
    prefix = "" if found["width"] is not None else "from_"
    width = to_length(found[f"{prefix}width"], found[f"{prefix}unit"], bench.facts.unit)
    places = [
        at
        for at, cut in enumerate(bench.cuts)
        if cut.kind is PieceKind.STRIP and cut.width == width
    ]
    some = found[f"{prefix}some"]
    if len(places) != 1:
        if some:
            raise UnsureError("which of the strips above it is cut from is not said")
        return signs
    number = some or found[f"{prefix}number"]
    is_each = re.search(r"\beach\b", found.group(0), re.IGNORECASE) is not None
    bench.clear()
    bench.strips = places
    which = f"{number} strips " if number else "each strip " if is_each else "strips "
    return f"sub-cut {which}into {signs[found.end() :]}"

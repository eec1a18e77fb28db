"""Strips sewn end to end, and what is cut from them then.

The strips are the demand; ``two 2 × 60½ borders`` cut from the joined strips are none. Their
lengths are added up only to say when the strips do not give them.
"""

from __future__ import annotations

import re

from kitmaker.errors import Level
from kitmaker.lengths import Length, Unit, say_number
from kitmaker.pattern import Direction, PieceKind
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.model import Cut
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length

_JOINS = re.compile(
    r"from\s+(?:these|the|those)\s+strips?\s*,?\s+(?:sew|join|piece|make)\s+[(‹]?\d|(?:(?:and|then)\s+)*(?:sew(?:ing)?|join(?:ing)?|stitch(?:ing)?|piec(?:e|ing)|seam)\b.*\b(?:cut|trim|make|get)\b|using\s+the\b.*\bstrips\b",
    re.IGNORECASE,
)
_PIECE = re.compile(
    rf"(?:(?<![\d/])(?P<count>\d+)(?!\s*-?\s*\d+\s*/)[)›]?\s*(?:--\s*|-\s+)?(?:(?:[a-z]+\s+){{0,2}}(?=\d))?)?(?<![\d/])(?P<a>{NUMBER})\s*(?P<au>{UNIT})?\s*(?:x|×|by)\s*"
    rf"(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?",
    re.IGNORECASE,
)
_OF_JOINED = re.compile(
    r"\b(?:from|out\s+of)\s+(?:the|this|these|your)\s+(?:(?:long|joined|pieced|sewn|continuous|resulting|single|border)\s+)*strips?\b",
    re.IGNORECASE,
)
_LENGTH_ONLY = re.compile(
    rf"(?P<count>\d+)[)›]?\s*(?:--\s*)?(?:(?:at|of|@|[a-z]+)\s+){{0,3}}(?<![\d/])(?P<a>{NUMBER})"
    rf"\s*(?P<au>{UNIT})",
    re.IGNORECASE,
)


def joins_strips(bench: Bench, sentence: str, signs: str) -> bool:
    """Take ``Join the strips and cut two 2 x 60½ borders`` as sewing, and check it.

    Returns:
        Whether it is such a sentence.
    """
    widths = {cut.width for cut in bench.cuts if cut.kind is PieceKind.STRIP}
    if not _JOINS.match(signs):
        if not _is_of_sewn_strips(bench, signs):
            return False
        widths &= bench.joined
    wanted, held = Length(0), Length(0)
    for first, second, number in _pieces(bench, signs):
        width, length = (first, second) if first in widths else (second, first)
        if width not in widths:
            return False
        held = max(held, bench.joined_length(width))
        wanted += number * length
    if not wanted:
        return False
    if wanted > held:
        bench.find(
            Level.WARNING,
            f"the strips give {say_number(held)} in joined, but {say_number(wanted)} in are "
            f"wanted: '{' '.join(sentence.split())}'",
            "Look at the pattern's counts; another strip may be needed.",
        )
    bench.remark(sentence)
    return True


def _is_of_sewn_strips(bench: Bench, signs: str) -> bool:
    """Whether it cuts ``two 3½ x 58½ borders from the long strip``, sewn before, and no more."""
    is_from_them = bench.joined and not bench.strips and _OF_JOINED.search(signs)
    return bool(is_from_them) and re.search(r"\d", _PIECE.sub(" ", signs)) is None


def _pieces(bench: Bench, text: str) -> list[tuple[Length, Length, int]]:
    """Return the sizes in inches, with their counts, of what is cut from joined strips."""
    unit: Unit = bench.facts.unit
    found = []
    for match in _PIECE.finditer(text):
        first = to_length(match["a"], match["au"] or match["bu"], unit)
        second = to_length(match["b"], match["bu"] or match["au"], unit)
        found.append((first, second, int(match["count"] or 1)))
    if not found and len(bench.strips) == 1:
        width = bench.cuts[bench.strips[0]].width
        for match in _LENGTH_ONLY.finditer(text):
            length = to_length(match["a"], match["au"], unit)
            found.append((width, length, int(match["count"])))
    return found


def without_joined(bench: Bench, new: list[Cut]) -> list[Cut]:
    """Leave out pieces too long for the fabric's width that strips above are joined for.

    ``Cut 6 strips 2" × WOF. Cut two 2" × 60½" borders.``: across the fabric there is no
    piece of 60½ in, so the strips are what is cut, and the borders what they become.

    Raises:
        UnsureError: The strips do not give them, or are said to be for something else.
    """
    kept: list[Cut] = []
    joined: list[Cut] = []
    strips = [cut for cut in (*bench.cuts, *new) if cut.kind is PieceKind.STRIP]
    for cut in new:
        of_width = [one for one in strips if one.width in (cut.width, cut.length)]
        longest = max(cut.width, cut.length or Length(0))
        may_be = cut.kind is PieceKind.PIECE and cut.direction is Direction.FREE and of_width
        is_sewn = bool(bench.joined & {cut.width, cut.length})
        if not (may_be and (longest > bench.facts.widest_width or is_sewn)):
            kept.append(cut)
            continue
        if not any(_same_purpose(one, cut) for one in of_width):
            raise UnsureError(
                f"whether '{cut.name}' is made of the strips above it is not said",
                "Type the strips only, or 'lengthwise' if it is cut along the fabric.",
            )
        bench.find(
            Level.WARNING,
            f"'{cut.name}' is read as made of the strips above it, joined, and not cut besides",
            "Type 'lengthwise' if it is cut along the fabric.",
        )
        joined.append(cut)
    for width in {cut.width for cut in strips}:
        of_width = [cut for cut in joined if width in (cut.width, cut.length)]
        wanted = sum((_longest(cut) for cut in of_width), Length(0))
        if wanted > bench.joined_length(width, new):
            raise UnsureError("the strips above, joined, do not give what is cut from them")
    return kept


def _longest(cut: Cut) -> Length:
    return cut.quantity * max(cut.width, cut.length or Length(0))


def _same_purpose(strip: Cut, cut: Cut) -> bool:
    words = [frozenset(re.findall(r"[a-z]+", one.words.casefold())) for one in (strip, cut)]
    return not words[0] or not words[1] or bool(words[0] & words[1])

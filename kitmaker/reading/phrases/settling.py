"""One item into one piece: which measure is which, and whether it is a strip; what strips hold."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from kitmaker.lengths import CENTIMETER, Length
from kitmaker.reading.phrases.finished import agrees, lay_finished
from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import Item, unsure_if
from kitmaker.reading.phrases.table import Laid

USUAL_WIDTH: Length = Length(42)
"""Inches of a strip that patterns plan for. Common practice, no source."""
MOST_WIDTH: Length = Length(44)
"""Inches that a strip gives at most where the width is not stated. Common practice, no source."""
WIDEST_STRIP_OF_A_COUNT: Length = Length(16)
"""Inches; ``2 x 10cm WOF strips`` are two, ``2 x 22" WOF strips`` may be one size. No source."""
_STRIP_NOUNS = ("strip", "border")
_TYPE_COUNT = "Type the count in front, in brackets: (5) 2 1/2 x 4 1/2 rectangles."


class Holds(Enum):
    """Whether strips hold what is cut from them."""

    NOT = "not"
    JUST = "just"
    EASILY = "easily"


def is_full_width(length: Length) -> bool:
    """Whether a length may stand for the fabric's width: 42 in does, 41½ in is a measure.

    Widths are written in whole inches or centimeters. Common practice, no source.
    """
    return length.denominator == 1 or (length / CENTIMETER).denominator == 1


def settle(
    item: Item, facts: FabricFacts, *, strip: Laid | None = None, width: Length | None = None
) -> Laid:
    """Return the piece that an item asks for; its line and multiplier are the caller's to add.

    It is cut from a strip, else from the fabric; ``width`` was said for all strips.

    Raises:
        UnsureError: A measure or the count is missing, or may be the other.
    """
    if item.finish:
        return lay_finished(item, facts)
    laid = _settle(item, facts, strip, width)
    unsure_if(
        item.finished_size and not agrees(item, laid, facts),
        "the cut size and the finished size beside it do not belong together",
        "Type the cut size alone, or the finished size alone.",
    )
    return laid


def _settle(item: Item, facts: FabricFacts, strip: Laid | None, width: Length | None) -> Laid:
    size = item.size
    if not size and strip is not None and item.noun == "square":
        size = (strip.width,)
    if not size and width is not None:
        size = (width,)
    unsure_if(not size, f"the {item.noun or 'piece'} has no size", "Type it: 2 1/2 x 4 1/2.")
    _refuse_unsure(item, size)
    count = _count(item, size)
    if item.diagonal or item.noun == "square":
        return _square(item, size, count, strip)
    if strip is not None:
        return _of_strip(item, size, count, strip)
    if len(size) == 1:
        return _one_measure(item, size[0], count, facts)
    return _two_measures(item, size, count, facts)


def _refuse_unsure(item: Item, size: tuple[Length, ...]) -> None:
    alike = len(set(size)) == 1 and len(size) > 1
    may_count = item.across or item.noun in ("strip", "border", "square", "")
    is_either = item.is_bare and item.count is None and may_count and not alike
    wide = item.across and len(size) == 1 and size[0] > WIDEST_STRIP_OF_A_COUNT
    unsure_if(
        is_either or (wide and item.is_count_times),
        "whether a number is a count or a measure is not said",
        _TYPE_COUNT,
    )
    unsure_if(
        item.lost_gap and item.count is None,
        "whether a number is a count or part of a measure is not said",
        _TYPE_COUNT,
    )
    is_nothing = min(size) <= 0 or (item.count is not None and item.count < 1)
    unsure_if(is_nothing, "a count or a size is 0", "Type how many, and how large.")
    of_square = item.diagonal > 0 and item.noun == "square"
    in_purpose = item.is_for_shape and item.noun in ("square", "rectangle")
    unsure_if(
        item.shape and not (of_square or in_purpose),
        f"what the {item.shape} is cut from is not said",
        "Type the squares, rectangles or strips to cut, or the finished size.",
    )


def _count(item: Item, size: tuple[Length, ...]) -> int:
    is_run = item.noun == "border" and len(size) == 1
    is_missing = item.count is None and (item.is_plural or not item.noun or is_run)
    unsure_if(is_missing, f"how many {item.noun or 'piece'}s is not said", _TYPE_COUNT)
    return item.count or 1


def _lay(
    item: Item, count: int, width: Length, length: Length | None, noun: str, **more: bool | int
) -> Laid:
    return Laid(
        count=count,
        width=width,
        length=length,
        noun=noun,
        label=item.label,
        words=item.words,
        purpose=item.purpose,
        is_named=bool(item.words),
        is_final=item.is_final,
        lost_gap=item.lost_gap,
        **more,  # type: ignore[arg-type]
    )


def _square(item: Item, size: tuple[Length, ...], count: int, strip: Laid | None) -> Laid:
    is_other, has_two = item.noun not in ("", "square"), len(set(size)) > 1
    unsure_if(is_other, "only squares are cut on the diagonal", "Type what is cut so.")
    unsure_if(has_two, "a square has no two different sides", "Type rectangle, or one side.")
    unsure_if(item.across, "a square does not go across the fabric", "Type strip, or one side.")
    _refuse_wider(size, strip and max(strip.sides))
    return _lay(item, count, size[0], size[0], "square", diagonal=item.diagonal)


def _refuse_wider(size: tuple[Length, ...], width: Length | None) -> None:
    is_wider = width is not None and min(size) > width
    unsure_if(is_wider, "it is wider than its strip", "Type the width of the strip again.")


def _of_strip(item: Item, size: tuple[Length, ...], count: int, strip: Laid) -> Laid:
    if len(size) > 1:
        _refuse_wider(size, strip.width)
        return _lay(item, count, size[0], size[1], item.noun or "piece")
    if size[0] == strip.width and not item.noun and not item.follows_at:
        return _lay(item, count, size[0], size[0], "square")
    return _lay(item, count, strip.width, size[0], item.noun or "piece")


def _one_measure(item: Item, width: Length, count: int, facts: FabricFacts) -> Laid:
    if item.along and not item.across:
        length = facts.fabric_length
        is_missing = length is None
        message = "the length of the fabric is not stated"
        unsure_if(is_missing, message, "Type the length of the piece.")
        return _lay(item, count, width, length, "strip", along=True, is_of_fabric_length=True)
    is_strip = item.across or item.noun in (*_STRIP_NOUNS, "length")
    message = f"a {item.noun or 'piece'} with one measure may be a square or a strip"
    unsure_if(not is_strip, message, "Type both measures, or square.")
    return _lay(item, count, width, None, "strip")


def _two_measures(item: Item, size: tuple[Length, ...], count: int, facts: FabricFacts) -> Laid:
    width, length = size
    if item.along:
        return _lay(item, count, width, length, item.noun, along=width != length)
    if _goes_across(item, width, length, facts):
        return _lay(item, count, width, None, "strip")
    is_short = item.noun == "strip" and width != length
    return _lay(item, count, width, length, item.noun or "rectangle", is_short_strip=is_short)


def _goes_across(item: Item, width: Length, length: Length, facts: FabricFacts) -> bool:
    if not is_full_width(length) or length > facts.widest_width:
        return False
    if item.noun in (*_STRIP_NOUNS, ""):
        return 2 * width <= length and length >= facts.narrowest_width
    # "22 × 42 rectangle": only the usual width of fabric itself is so long.
    return item.noun in ("rectangle", "piece") and 3 * width <= 2 * length >= 2 * USUAL_WIDTH


# ---- what strips hold ------------------------------------------------------------------------


def holds(strip: Laid, count: int, pieces: Sequence[Laid], facts: FabricFacts) -> Holds:
    """Return whether so many strips hold pieces, and whether one strip fewer would not.

    A sure "not" is a contradiction; that they just hold them tells that they are meant.
    """
    most = facts.widest_width
    inches = strip.length if strip.length is not None else min(most, MOST_WIDTH)
    usual = min(inches, USUAL_WIDTH)
    if len(pieces) == 1 and strip.width in pieces[0].sides:
        piece = pieces[0]
        step = (piece.length or piece.width) if piece.width == strip.width else piece.width
        if (inches // step) * count < piece.count:
            return Holds.NOT
        return Holds.JUST if (usual // step) * (count - 1) < piece.count else Holds.EASILY
    need = Fraction(0)
    for piece in pieces:
        each = _inches_of(strip, piece, inches)
        if each is None:
            return Holds.NOT
        need += each * piece.count
    if need > count * inches:
        return Holds.NOT
    return Holds.JUST if need > (count - 1) * usual else Holds.EASILY


def _inches_of(strip: Laid, piece: Laid, inches: Length) -> Fraction | None:
    """Return the inches of strip that one piece takes, several side by side; None: too large."""
    found: list[Fraction] = []
    for across, along in (piece.sides, piece.sides[::-1]) if piece.length is not None else ():
        if across <= strip.width and along <= inches:
            found.append(Fraction(along) / (strip.width // across))
    return min(found, default=None)

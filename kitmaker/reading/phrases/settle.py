"""One item into one cut: which number is width, which is length, and what kind it is."""

from __future__ import annotations

from kitmaker.lengths import CENTIMETER, Length
from kitmaker.pattern import Direction, PieceKind, Shape
from kitmaker.reading.phrases.bench import USUAL_WIDTH
from kitmaker.reading.phrases.elements import Element, Kind
from kitmaker.reading.phrases.items import STRIP_LIKE, Item, default_name
from kitmaker.reading.phrases.model import Cut, FabricFacts
from kitmaker.reading.phrases.plain import UnsureError

WIDEST_STRIP_OF_A_COUNT: Length = Length(16)
"""Inches; ``2 x 10cm WOF strips`` are two, ``2 x 22" WOF strips`` may be one size. No source."""

_SHAPES = {1: Shape.CUT_ONCE, 2: Shape.CUT_TWICE}


def is_full_width(length: Length) -> bool:
    """Whether a length may stand for the fabric's width: 42 in does, 41½ in is a measure.

    Widths are written in whole inches or centimeters. Common practice, no source.
    """
    return length.denominator == 1 or (length / CENTIMETER).denominator == 1


def settle(
    item: Item, facts: FabricFacts, *, running: Length | None = None, strip: Cut | None = None
) -> Cut:
    """Return the cut an item asks for; its line and "from each" are the caller's to add.

    Args:
        item: One count, size and noun.
        facts: What the words depend on.
        running: The running length the line asks for, in inches.
        strip: The strip it is cut from; None when it is cut from the fabric.

    Raises:
        UnsureError: A measure or the count is missing or cannot be sure.
    """
    if item.size is None and strip is not None and item.noun == "square":
        # What a strip gives without a size said is squares of its own width.
        item.size = Element(kind=Kind.SIZE, text="", first=strip.width)
    size = item.size
    if size is None or size.first is None:
        what = item.noun or "piece"
        raise UnsureError(f"the {what} has no size", "Type the size, such as 2 1/2 x 4 1/2.")
    _count_before_times(item)
    size = item.size or size
    if size.first is None:
        raise UnsureError("the piece has no size")
    if running is not None and item.count is None:
        return _cut(item, facts, PieceKind.JOINED, size.first, running, 1)
    _refuse_count_as_measure(item, size)
    quantity = _quantity(item)
    if item.diagonal or item.noun == "square":
        side = _square_side(item, size, strip)
        return _cut(item, facts, PieceKind.PIECE, side, side, quantity)
    if strip is not None:
        width, length = _from_strip(item, size, strip)
        return _cut(item, facts, PieceKind.PIECE, width, length, quantity)
    if size.second is None:
        return _one_measure(item, size.first, facts, quantity)
    if item.along:
        return _cut(item, facts, PieceKind.PIECE, size.first, size.second, quantity)
    if _is_whole_strip(item, size.first, size.second, facts):
        return _cut(item, facts, PieceKind.STRIP, size.first, None, quantity)
    return _cut(item, facts, PieceKind.PIECE, size.first, size.second, quantity)


def _refuse_count_as_measure(item: Item, size: Element) -> None:
    """Refuse ``Binding 2¼" x 7``: the bare 7 may be a count or a length."""
    bare = (size.bare is not None) != size.bare_second
    if item.count is None and bare and size.second is not None and item.noun in STRIP_LIKE:
        raise UnsureError(
            f"whether '{size.text.strip()}' holds a count or two measures is not said",
            "Type the count in brackets, and inch marks behind the measures.",
        )


def _count_before_times(item: Item) -> None:
    """Read ``4 x 3½" squares`` as four squares, ``8 x 5cm strips`` as eight strips.

    No square has two sides, no strip across the fabric two measures, and no strip is wider
    than it is long.
    """
    size = item.size
    if size is None or size.second is None or size.first is None:
        return
    is_square = item.noun == "square" and size.first != size.second
    is_strip = item.across or (item.noun == "strip" and item.plural)
    # Where the width of the fabric is said besides, one of the two is no measure.
    is_across = item.across and size.second <= WIDEST_STRIP_OF_A_COUNT
    is_strip = is_strip and not size.bare_second and (is_across or size.second < 2 * size.first)
    if item.count is None and size.bare is not None and (is_square or is_strip):
        item.count = size.bare
        item.size = Element(kind=size.kind, text=size.text, first=size.second)
    elif is_square:
        raise UnsureError("a square has no two different sides", "Type rectangle, or one side.")


def _quantity(item: Item) -> int:
    if item.count is not None:
        return item.count
    is_run = item.noun in ("border", "length") and item.size is not None and not item.size.second
    if is_run or (item.plural and item.noun != "binding"):
        raise UnsureError(
            f"how many {item.noun}s is not said", "Type the count in front: (5) 2 1/2 strips."
        )
    if not item.noun:
        raise UnsureError("how many is not said", "Type the count in front.")
    return 1


def _square_side(item: Item, size: Element, strip: Cut | None) -> Length:
    if size.first is None or (size.second is not None and size.second != size.first):
        raise UnsureError("a square cannot have two different sides", "Type one side.")
    if item.diagonal and item.noun not in ("square", ""):
        raise UnsureError(
            f"a {item.noun} cut on the diagonal makes two mirror images or none",
            "Only squares cut on the diagonal are read.",
        )
    if strip is not None and size.first > strip.width:
        raise UnsureError("the square is wider than the strip it is cut from")
    return size.first


def _from_strip(item: Item, size: Element, strip: Cut) -> tuple[Length, Length]:
    first = size.first or Length(0)
    if size.second is None:
        if item.noun == "" and not item.at and first == strip.width:
            return first, first
        return strip.width, first
    if min(first, size.second) > strip.width:
        raise UnsureError("the piece is wider than the strip it is cut from")
    return first, size.second


def _one_measure(item: Item, width: Length, facts: FabricFacts, quantity: int) -> Cut:
    if item.along and not item.across and item.noun in (*STRIP_LIKE, ""):
        if facts.fabric_length is None:
            raise UnsureError(
                "the length along the fabric is not said, and no requirement states it",
                "Type the length in figures.",
            )
        return _cut(
            item, facts, PieceKind.PIECE, width, facts.fabric_length, quantity, of_fabric=True
        )
    if item.across or item.noun in (*STRIP_LIKE, "length"):
        return _cut(item, facts, PieceKind.STRIP, width, None, quantity)
    what = item.noun or "piece"
    raise UnsureError(
        f"a {what} with one measure may be a square or a strip", "Type both measures, or square."
    )


def _is_whole_strip(item: Item, width: Length, length: Length, facts: FabricFacts) -> bool:
    if not is_full_width(length):
        return False
    if item.noun in ("rectangle", "piece"):
        # "22 × 42 rectangle": only the usual width of fabric itself is so long.
        return 3 * width <= 2 * length and USUAL_WIDTH <= length <= facts.widest_width
    if item.noun not in (*STRIP_LIKE, "") or 2 * width > length:
        return False
    return facts.narrowest_width <= length <= facts.widest_width


def _cut(
    item: Item,
    facts: FabricFacts,
    kind: PieceKind,
    width: Length,
    length: Length | None,
    quantity: int,
    *,
    of_fabric: bool = False,
) -> Cut:
    if width <= 0 or (length is not None and length <= 0):
        raise UnsureError("a size is 0", "Type the size.")
    shape = _SHAPES.get(item.diagonal, Shape.RECTANGLE)
    if not item.diagonal and item.noun == "square":
        shape = Shape.SQUARE
    along = item.along and kind is PieceKind.PIECE and width != length
    return Cut(
        line=0,
        name=default_name(
            item, width, length if kind is not PieceKind.JOINED else None, facts.unit
        ),
        kind=kind,
        width=width,
        length=length,
        quantity=quantity,
        shape=shape,
        direction=Direction.LENGTHWISE if along else Direction.FREE,
        noun=item.noun,
        words=item.purpose(),
        length_of_fabric=of_fabric,
    )

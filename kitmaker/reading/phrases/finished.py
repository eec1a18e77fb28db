"""Finished sizes in a cutting text: ``48 half-square triangles, 3 in finished``.

Such an item names a figure, how many and how large it shows in the quilt; what is cut for it
follows from quilt arithmetic. "Unfinished" is the size of a unit before it is sewn in, two
seams more than the finished one; of a square it is the cut size.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitmaker.arithmetic.cut_sizes import finished_from_cut
from kitmaker.arithmetic.figures import Figure, FigureSizeError, cut_figure
from kitmaker.lengths import Length
from kitmaker.pattern import Shape
from kitmaker.reading.phrases.model import FabricFacts
from kitmaker.reading.phrases.parts import Item, UnsureError
from kitmaker.reading.phrases.table import Laid
from kitmaker.reading.shaped_cuts import Counted, cut_from_finished, open_way
from kitmaker.reading.shapes import ShapeWords, ShapeWordsError, parse_shape

SHAPES = {1: Shape.CUT_ONCE, 2: Shape.CUT_TWICE}
"""What squares become by how often they are cut on the diagonal."""
_TIMES = {shape: times for times, shape in SHAPES.items()}

_BESIDE_BLOCKS = frozenset(
    {Figure.SETTING, Figure.CORNER, Figure.STAR_DIAMOND, Figure.STAR_CORNER, Figure.STAR_SIDE}
)
"""Figures whose measure is that of the block they stand in or beside."""
_WHOLE_UNITS = frozenset(
    {
        *(Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT, Figure.GOOSE, Figure.GOOSE_SINGLE),
        *(Figure.GOOSE_FOUR, Figure.SKY, Figure.SKY_SINGLE, Figure.SKY_FOUR, Figure.CENTER),
        *(Figure.CENTER_FLIPPED, Figure.IN_CORNER, Figure.IN_CORNER_FLIPPED),
        *(Figure.SQUARE, Figure.RECTANGLE),
    }
)
"""Figures whose measures are those of the sewn unit, so that it may be stated unfinished."""


def lay_finished(item: Item, facts: FabricFacts) -> Laid:
    """Return what is cut for an item whose size is a finished or an unfinished one.

    Raises:
        UnsureError: Its figure, its count or its measures are not sure.
    """
    if item.count is None or item.count < 1 or not item.size or min(item.size) <= 0:
        raise UnsureError("a finished size needs a count and a size above 0")
    shape = figure_of(item)
    width, length = item.size[0], item.size[1] if len(item.size) > 1 else None
    said, rules = "", facts.cut_rules
    try:
        if item.finish == "unfinished":
            width, length = _to_finished(shape.figure, item.size, facts)
            said = f"unfinished {rules.say(item.size[0])} − {rules.say(2 * rules.seam)} = "
        cut, quantity = cut_from_finished(shape, width, length, rules, Counted(item.count))
    except FigureSizeError as fault:
        raise UnsureError(str(fault), fault.suggestion) from None
    formula = said + cut.formula
    if shape.figure in (Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT):
        formula += ", one triangle of this fabric in each sewn unit"
    return Laid(
        count=quantity,
        width=cut.width,
        length=cut.length,
        noun=str(shape.figure),
        shape=cut.shape,
        diagonal=_TIMES.get(cut.shape, 0),
        formula=formula,
        words=(cut.remark,) if cut.remark else (),
        purpose=item.purpose,
        label=item.label or item.purpose or f"{shape.figure}, {_said(item, facts)}",
        advice=tuple(_advice(item, shape)),
    )


def _said(item: Item, facts: FabricFacts) -> str:
    """Return an item's size as it was stated: ``2 × 4 finished``."""
    return f"{' × '.join(map(facts.cut_rules.say, dict.fromkeys(item.size)))} {item.finish}"


def figure_of(item: Item) -> ShapeWords:
    """Return the figure that an item's words name.

    Raises:
        UnsureError: They name none that is built, or more than one.
    """
    words = " ".join(item.words)
    if item.purpose:
        words = words.replace(item.purpose, "").strip()
    problem: ShapeWordsError | None = None
    noun = {"piece": "rectangle", "border": ""}.get(item.noun, item.noun)
    for text in dict.fromkeys((f"{words} {noun}".strip(), words, noun)):
        try:
            shape = parse_shape(_without_colors(text))
        except ShapeWordsError as fault:
            problem = fault
            continue
        if shape.is_cut or shape.is_strip or not text:
            continue
        if item.is_of_block and shape.figure not in _BESIDE_BLOCKS:
            raise UnsureError(
                "the finished size is that of something else", "Type the size of what is cut."
            )
        if shape.figure is Figure.RECTANGLE and len(item.size) < 2:
            raise UnsureError(
                "a rectangle has two measures, and one is stated",
                "Type both, such as 2 x 4 finished.",
            )
        return shape
    if problem is not None:
        raise UnsureError(str(problem), problem.suggestion)
    raise UnsureError("which finished shape is meant is not said", "Type its name before its size.")


def _advice(item: Item, shape: ShapeWords) -> Iterator[tuple[str, str]]:
    """Yield how an item was counted or made where it could be otherwise."""
    figure = shape.figure
    if figure is Figure.QUARTER_SQUARE:
        yield (
            f"{item.count} quarter-square triangles are counted as triangles of this fabric, "
            "their long side as the finished size",
            "A sewn unit of two fabrics takes two triangles of each: type that count if units are "
            "meant.",
        )
    if figure in _BESIDE_BLOCKS and not item.is_of_block:
        yield (
            f"the size of the {figure}s is taken as that of the block",
            f"Say so: 10 {figure}s for 12 in finished blocks.",
        )
    way = open_way(shape)
    if way is not None:
        yield way.message, way.suggestion


def agrees(item: Item, laid: Laid, facts: FabricFacts) -> bool:
    """Whether a cut, however it is made, finishes at the size told beside it."""
    size = item.finished_size
    width, length = size[0], size[1] if len(size) > 1 else None
    figures = {1: (Figure.HALF_SQUARE,), 2: (Figure.QUARTER_SQUARE,)}.get(laid.diagonal)
    for figure in figures or (
        *(Figure.SQUARE, Figure.HALF_SQUARE, Figure.RECTANGLE, Figure.GOOSE_SINGLE),
    ):
        try:
            expected = cut_figure(figure, width, length, facts.cut_rules)
        except FigureSizeError:
            continue
        if {expected.width, expected.length or expected.width} == set(laid.sides):
            return True
    return False


def _without_colors(text: str) -> str:
    colors = (
        r"^(?:(?:light|medium|dark|white|black|gr[ae]y|cream|red|pink|orange|yellow|green|blue|navy"
        r"|purple|brown|solid|print(?:ed)?|background)\s+)+(?=[a-z])"
    )
    return re.sub(colors, "", text)


def _to_finished(
    figure: Figure, size: tuple[Length, ...], facts: FabricFacts
) -> tuple[Length, Length | None]:
    if figure not in _WHOLE_UNITS:
        raise UnsureError(
            f"the unfinished size of a {figure} is not what it is cut from",
            "Type its finished size, or what is cut.",
        )
    try:
        found = [finished_from_cut(one, facts.cut_rules.seam) for one in size]
    except ValueError:
        raise UnsureError("the seams take all of it", "Type the size again.") from None
    return found[0], found[1] if len(found) > 1 else None

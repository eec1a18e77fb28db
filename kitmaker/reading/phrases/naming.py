"""What lies on the table as cuts with names, as words for a person, and what to look at."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitmaker.errors import Level
from kitmaker.lengths import Length, Unit, said_exactly, say_length, say_size
from kitmaker.pattern import Direction, PieceKind, Shape
from kitmaker.reading.phrases.finished import SHAPES
from kitmaker.reading.phrases.model import Cut, FabricFacts, Finding
from kitmaker.reading.phrases.table import Laid, Table
from kitmaker.reading.words.lexicon import word_set

BIAS_TAKES_MORE = (
    "the bias strips are counted by their joined length; cut on the bias they take more cloth"
)
LONGEST_NAME = 40
_SILENT = word_set("the a an of for from wide long each to be used in with on")


def cut_of(laid: Laid, facts: FabricFacts) -> Cut:
    """Return a cut, named, of what lies on the table."""
    kind = PieceKind.JOINED if laid.is_running else PieceKind.PIECE
    kind = PieceKind.STRIP if laid.length is None else kind
    shape = laid.shape or SHAPES.get(laid.diagonal)
    is_square = laid.noun == "square" and laid.is_square
    along = laid.along and kind is PieceKind.PIECE and not laid.is_square
    return Cut(
        line=laid.line,
        name=_name(laid, facts.unit),
        kind=kind,
        width=laid.width,
        length=laid.length,
        quantity=laid.count,
        shape=shape or (Shape.SQUARE if is_square else Shape.RECTANGLE),
        direction=Direction.LENGTHWISE if along else Direction.FREE,
        from_each=laid.each if laid.each > 1 and not laid.is_of_blocks else None,
        is_multiplied=laid.each > 1,
        notes=laid.purpose or _purpose(laid),
        formula=laid.formula,
        confirmed=laid.confirmed or (None if laid.advice or laid.lost_gap else "plain"),
    )


def _purpose(laid: Laid) -> str:
    words = [word for word in laid.words if word not in _SILENT]
    return re.sub(r"[^\w &/'-]", "", " ".join(words)).strip()


def _name(laid: Laid, unit: Unit) -> str:
    if laid.label:
        return laid.label.upper() if len(laid.label) <= 2 else laid.label
    purpose = laid.purpose or _purpose(laid)
    size, noun = _size(laid, unit)
    return f"{size} {purpose} {noun}" if 0 < len(purpose) <= LONGEST_NAME else f"{size} {noun}"


def _size(laid: Laid, unit: Unit) -> tuple[str, str]:
    if laid.length is None or laid.is_running:
        return say_size(laid.width, unit), "strip"
    if laid.is_square:
        return say_size(laid.width, unit), "square"
    noun = {"rectangle": "rectangle", "strip": "strip", "border": "strip"}.get(laid.noun, "piece")
    return f"{say_size(laid.width, unit)} × {say_size(laid.length, unit)}", noun


def fault_of(laid: Laid, facts: FabricFacts) -> Finding | None:
    """Return why a whole strip is not sure: it runs the width of a form that is not stated."""
    is_stated = facts.form is None or facts.form.startswith(laid.form)
    if not laid.is_strip or is_stated:
        return None
    form = f"{laid.form.replace('-', ' ')}s"
    return Finding(
        line=laid.line,
        level=Level.ERROR,
        message=f"{laid.count} strips are cut from {form}, and the requirement is not stated in "
        f"{form}, so how long the strips are is not said",
        suggestion=f"Type their length, or state the requirement in {form}.",
    )


def warnings_of(laid: Laid) -> Iterator[Finding]:
    """Yield what a person should look at in a cut that was read."""
    for message, suggestion in laid.advice:
        yield _look_at(laid, message, suggestion)
    if laid.is_bias:
        todo = "State the length with what is lost, or the square that is cut on the bias."
        yield _look_at(laid, BIAS_TAKES_MORE, todo)
    if laid.lost_gap:
        sizes = " × ".join(say_size(side, Unit.INCH) for side in laid.sides)
        lost = f"a number whose gap was lost is read as {sizes}"
        yield _look_at(laid, lost, "Type the size with a space between: 5 1/4.")
    if laid.is_of_fabric_length:
        sentence = "its length is taken as the whole length of the fabric"
        yield _look_at(laid, sentence, "Type its length.")


def _look_at(laid: Laid, message: str, suggestion: str) -> Finding:
    return Finding(line=laid.line, level=Level.WARNING, message=message, suggestion=suggestion)


def say_table(table: Table, before: Table) -> str:
    """Return what a reading would cut beyond what lay there before, to choose from."""
    had = set(before.cuts)
    said = [say_laid(cut) for cut in table.cuts if cut not in had]
    return " and ".join(said) or "no cut"


def say_laid(laid: Laid) -> str:
    """Return a cut as a line that is read as just this."""
    exact = all(said_exactly(side, Unit.INCH) for side in laid.sides)
    unit = Unit.INCH if exact else Unit.CENTIMETER
    size = _typed(laid.width, unit)
    if laid.length is None:
        return f"{laid.count} strips {size} x WOF"
    if laid.is_square:
        times = {1: ", cut once on the diagonal", 2: ", cut twice on the diagonal"}
        return f"{laid.count} squares {size}{times.get(laid.diagonal, '')}"
    way = " lengthwise" if laid.along else ""
    return f"{laid.count} rectangles {size} x {_typed(laid.length, unit)}{way}"


def _typed(length: Length, unit: Unit) -> str:
    return f'{say_size(length, unit)}"' if unit is Unit.INCH else say_length(length, unit)

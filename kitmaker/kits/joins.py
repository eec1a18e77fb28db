"""What is too long for a form, cut in shorter parts that are sewn together.

Two kinds of pieces are sewn of parts, as the trade does with borders, sashing and binding.
*Whole strips that are sewn end to end* are one length: it is cut in parts as long as the form
gives, the fewest that reach. *A rectangle longer than the form* is cut in equal parts, with one
seam across it. What is cut on a slant, and the strips of a strip set, is never sewn of parts.

Parts take the place of a piece before anything is counted, so a count is proven over them; each
carries what is sewn of it (:class:`kitmaker.pattern.Sewn`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.arithmetic.cut_sizes import QUARTER_INCH_SEAM
from kitmaker.arithmetic.joins import (
    NARROWEST_SEAMED,
    SHORTEST_PART,
    Join,
    equal_parts,
    join_loss,
    joined_strips,
    sewn_length,
)
from kitmaker.choosing import JoinedPiece
from kitmaker.errors import Location
from kitmaker.forms import WHOLE_WIDTH_FROM, Form
from kitmaker.kits.demands import PATTERN_WIDTH, KeyedPiece, demands_for
from kitmaker.lengths import EIGHTH, MILLIMETER, Length, Unit, say_size
from kitmaker.pattern import Direction, Fabric, Pattern, Piece, PieceKind, Sewn, Shape, Use

_AT_45 = re.compile(r"\b45\b|\bdiagonal", re.IGNORECASE)
_STRAIGHT = re.compile(r"\bstraight\s+(?:join|seam)|\bjoin(?:ed)?\s+straight", re.IGNORECASE)
_OF_STRIPS: Length = Fraction(1, 2)
"""What a seam between a pattern's own whole strips takes of the length they are needed for."""


@dataclass(frozen=True, slots=True)
class Joins:
    """What may be sewn of shorter parts."""

    is_asked: bool = False  # whether pieces may be whose Join cell leaves it open
    most_seams: int = 1  # seams in one rectangle at most
    seam: Length = QUARTER_INCH_SEAM  # the seam allowance, inches
    is_binding: bool = False  # whether the fabric is a binding's, whose strips are joined at 45°


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a form's parts depend on besides the piece."""

    joins: Joins
    unit: Unit
    pattern_width: Length


def joins_for(fabric: Fabric, pattern: Pattern, *, is_asked: bool, most_seams: int = 1) -> Joins:
    """Return what may be joined of a fabric.

    A seam takes at least ½ in, more where the pattern's seam allowance is wider.
    """
    seam = max(pattern.seam_allowance, QUARTER_INCH_SEAM)
    return Joins(is_asked, most_seams, seam, fabric.use is Use.BINDING)


def in_parts(
    pieces: Iterable[KeyedPiece],
    form: Form,
    joins: Joins,
    unit: Unit,
    pattern_width: Length | None = None,
) -> tuple[KeyedPiece, ...]:
    """Return the pieces as they are cut from a form: in parts where they may and have to be.

    The pieces are those of one kit. A whole strip is planned for the pattern's width, inches;
    None for 40.
    """
    asked = _Asked(joins, unit, pattern_width or PATTERN_WIDTH)
    found: list[KeyedPiece] = []
    for key, piece, count in pieces:
        parts = _parts(piece, count, form, asked)
        found.append((key, *(parts if isinstance(parts, tuple) else (piece, count))))
    return tuple(found)


def why_in_one(
    pieces: Sequence[KeyedPiece],
    form: Form,
    joins: Joins,
    unit: Unit,
    pattern_width: Length | None = None,
) -> tuple[str, Location] | None:
    """Return why the first piece that is too long is not sewn of parts though it may be.

    With the cell of the piece; None where no seam is refused.
    """
    asked = _Asked(joins, unit, pattern_width or PATTERN_WIDTH)
    for _, piece, count in pieces:
        why = _parts(piece, count, form, asked)
        if why and isinstance(why, str):
            return why, piece.where
    return None


def joined_of(pieces: Iterable[KeyedPiece]) -> tuple[JoinedPiece, ...]:
    """Return what is joined in some pieces beyond what the pattern itself asks for.

    A running length that is cut across the whole fabric is as the pattern has it.
    """
    found = []
    for _, piece, count in pieces:
        sewn = piece.sewn
        if sewn is None or (piece.kind is PieceKind.STRIP and sewn.of.kind is PieceKind.JOINED):
            continue
        times = count // sewn.parts if sewn.is_run else 1
        found.append(
            JoinedPiece(
                piece.name,
                times * sewn.parts,
                sewn.part_length,
                times * sewn.seams,
                sewn.is_run,
                piece.is_one_way,
            )
        )
    return tuple(found)


def as_in_pattern(pieces: Iterable[KeyedPiece]) -> tuple[KeyedPiece, ...]:
    """Return one kit's pieces as the pattern has them, before any was cut in parts."""
    found: list[KeyedPiece] = []
    for key, piece, count in pieces:
        sewn = piece.sewn
        if sewn is None:
            found.append((key, piece, count))
        elif sewn.is_run and sewn.of.kind is not PieceKind.JOINED:
            found.append((key, sewn.of, sewn.of.quantity))
        else:
            found.append((key, sewn.of, count // sewn.parts))
    return tuple(found)


def _parts(piece: Piece, count: int, form: Form, asked: _Asked) -> tuple[Piece, int] | str:
    """Return a part and how many of it; "" or why where a piece stays as it is."""
    forms = form.mix or (form,)
    if piece.sewn is not None or any(_holds(piece, count, one, asked) for one in forms):
        return ""
    may = asked.joins.is_asked if piece.join is None else piece.join
    is_run = piece.kind is not PieceKind.PIECE or (
        piece.is_joined and piece.direction is Direction.FREE
    )
    if piece.kind is PieceKind.JOINED:
        forms = tuple(one for one in forms if may or one.nominal_across >= WHOLE_WIDTH_FROM)
    elif not may or (piece.kind is PieceKind.STRIP and not _is_one_length(piece, asked)):
        return ""
    if not piece.may_have_seams:
        return ""
    narrow = min(piece.width, piece.length or piece.width)
    if may and narrow < NARROWEST_SEAMED and not _is_across(piece, forms):
        size = f"{say_size(narrow, asked.unit)} {asked.unit.value}"
        return f"no seam is sewn in a piece only {size} wide"
    make = _run if is_run else _rectangle
    tried = [make(piece, count, one, asked) for one in forms]
    fitting = [one for one in tried if isinstance(one, tuple)]
    if fitting:
        return min(fitting, key=lambda one: one[1])
    return next((one for one in tried if isinstance(one, str) and one), "")


def _is_one_length(piece: Piece, asked: _Asked) -> bool:
    """Whether whole strips are sewn end to end: it is said, or they are a binding's."""
    return piece.is_joined or bool(piece.join) or asked.joins.is_binding


def _is_across(piece: Piece, forms: Sequence[Form]) -> bool:
    """Whether a running length is sewn of strips across the whole fabric, as the pattern asks."""
    return piece.kind is PieceKind.JOINED and any(_takes_across(piece, form) for form in forms)


def _takes_across(piece: Piece, form: Form) -> bool:
    is_wide = form.nominal_across >= WHOLE_WIDTH_FROM
    return is_wide and (form.usable_along is None or piece.width <= form.usable_along)


def _holds(piece: Piece, count: int, form: Form, asked: _Asked) -> bool:
    """Whether a piece is cut from a form as it is; whole strips as long as the pattern has them."""
    if demands_for([("", piece, count)], form, asked.unit, asked.pattern_width).why:
        return False
    if piece.kind is not PieceKind.STRIP or not _is_one_length(piece, asked):
        return True
    if form.usable_across >= asked.pattern_width:
        return True
    join, need = _join_of(piece, asked), _needed(piece, count, asked)
    loss = join_loss(join, piece.width, asked.joins.seam)
    return sewn_length(count, form.usable_across, loss) >= need


def _needed(piece: Piece, count: int, asked: _Asked) -> Length:
    """Return the one length that some pieces are cut off, or the strips are sewn into, inches."""
    if piece.run is not None:
        return piece.run
    if piece.length is None:
        return sewn_length(count, asked.pattern_width, _OF_STRIPS)
    long = max(piece.width, piece.length)
    return piece.length if piece.kind is PieceKind.JOINED else count * long


def _join_of(piece: Piece, asked: _Asked) -> Join:
    """Return how strips are joined: a binding's at 45°, others straight, unless it is said."""
    if _STRAIGHT.search(piece.notes):
        return Join.STRAIGHT
    is_binding = asked.joins.is_binding or "binding" in piece.name.casefold()
    return Join.DIAGONAL if is_binding or _AT_45.search(piece.notes) else Join.STRAIGHT


def _run(piece: Piece, count: int, form: Form, asked: _Asked) -> tuple[Piece, int] | str:
    """Return the fewest parts, each as long as the form gives, that reach one length."""
    across = _takes_across(piece, form)
    part = form.usable_across if across else _longest(piece, form)
    join, need = _join_of(piece, asked), _needed(piece, count, asked)
    loss = join_loss(join, _narrow(piece), asked.joins.seam)
    if part == 0:
        return ""
    if part < SHORTEST_PART or part <= loss:
        return _too_short(asked.unit)
    parts = joined_strips(need, part, _narrow(piece), join, asked.joins.seam)
    times = count if piece.kind is PieceKind.JOINED else 1
    if parts == 1:
        return replace(piece, kind=PieceKind.PIECE, width=_narrow(piece), length=need), count
    sewn = Sewn(
        of=piece,
        parts=parts,
        part_length=part,
        needed=need,
        loss=loss,
        at_45=join is Join.DIAGONAL,
    )
    total = parts * times
    made = replace(piece, quantity=total, run=None, sewn=sewn)
    if across:
        made = replace(made, kind=PieceKind.STRIP, width=_narrow(piece), length=None)
    else:
        made = replace(made, kind=PieceKind.PIECE, width=_narrow(piece), length=part)
        if piece.direction is Direction.ONE_WAY:
            made = replace(made, width=part, length=_narrow(piece))
    return made, total


def _narrow(piece: Piece) -> Length:
    """Return the width of a strip, or of what is as narrow as one."""
    return min(piece.width, piece.length or piece.width)


def _longest(piece: Piece, form: Form) -> Length:
    """Return the longest part of a strip that a form gives, inches; 0 where it gives none."""
    wide, along = _narrow(piece), form.usable_along
    if form.nominal_across >= WHOLE_WIDTH_FROM:
        return Fraction(0)  # strips as long as it is wide are too wide for it
    ways = [form.usable_across] if along is None or wide <= along else []
    may_turn = piece.direction is Direction.FREE
    if may_turn and along is not None and wide <= form.usable_across:
        ways.append(along)
    return max(ways, default=Fraction(0))


def _rectangle(piece: Piece, count: int, form: Form, asked: _Asked) -> tuple[Piece, int] | str:
    """Return the equal parts of a rectangle with the fewest seams that a form holds."""
    if piece.length is None:
        return ""
    long, loss = max(piece.width, piece.length), 2 * asked.joins.seam
    step = EIGHTH if asked.unit is Unit.INCH else MILLIMETER
    for parts in range(2, asked.joins.most_seams + 2):
        size = equal_parts(long, parts, loss, step)
        sewn = Sewn(of=piece, parts=parts, part_length=size, needed=long, loss=loss)
        part = replace(_part(piece, size), quantity=parts * piece.quantity, sewn=sewn)
        if _holds(part, count, form, asked):
            return (part, parts * count) if size >= SHORTEST_PART else _too_short(asked.unit)
    return ""


def _part(piece: Piece, size: Length) -> Piece:
    """Return a rectangle with its long side cut to a part; it lies as the whole one would."""
    if piece.direction is Direction.LENGTHWISE:
        across = _narrow(piece)
        way = Direction.LENGTHWISE if size >= across else Direction.ONE_WAY
        part = replace(piece, width=across, length=size, direction=way)
    elif piece.length is not None and piece.length >= piece.width:
        part = replace(piece, length=size)
    else:
        part = replace(piece, width=size)
    return replace(part, shape=Shape.RECTANGLE)


def _too_short(unit: Unit) -> str:
    size = f"{say_size(SHORTEST_PART, unit)} {unit.value}"
    return f"its parts would be shorter than {size}"

"""What a pattern says of itself, worked out: where it contradicts itself, both figures are shown.

Nothing is mended here. A binding too short to go round the quilt and an amount too small to
hold its own pieces are published more often than one would think; a shop that knows buys
what is right. Advice that changes what is cut is said too: long borders, bias on an edge,
one-way sashing.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from kitmaker.arithmetic.cut_sizes import NOTHING, sqrt_up
from kitmaker.arithmetic.finishing import border_cloth
from kitmaker.arithmetic.shares import FAR_LESS, Share, share_of
from kitmaker.errors import Problem, Problems, error, warning
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import (
    EIGHTH,
    MILLIMETER,
    YARD,
    Length,
    Unit,
    say_decimal,
    say_number,
    say_off_the_bolt,
    say_size,
)
from kitmaker.pattern import Direction, Fabric, Pattern, Piece, PieceKind, Shape, Use
from kitmaker.reading.cells import pair_from_text
from kitmaker.reading.fabric_draft import FabricDraft

USUAL_WIDTH: Length = Fraction(42)
"""The width patterns count on where they do not say. Common practice, no source."""


def check_by_use(
    pattern: Pattern, catalogue: Catalogue, unread: Collection[str]
) -> Iterator[Problem]:
    """Yield a warning for each figure that another figure of the pattern contradicts.

    Fabrics in ``unread`` have lines that are asked about already.
    """
    around = perimeter(pattern.finished_size, pattern.unit)
    has_cuts = any(fabric.pieces for fabric in pattern.fabrics)
    for fabric in pattern.fabrics:
        is_bare = not fabric.pieces and fabric.role not in unread
        if has_cuts and is_bare and fabric.use in (Use.TOP, Use.BINDING):
            yield warning(
                f"nothing is cut from '{fabric.role}', though other fabrics have their cuts",
                fabric.where,
                "Look whether its cutting instructions are missing.",
            )
        if around is not None:
            yield from _binding(fabric, around, pattern)
        if fabric.pieces and fabric.requirement is not None:
            yield from _amount(fabric, catalogue)


def perimeter(finished_size: str, unit: Unit) -> Length | None:
    """Return the way round a quilt in inches; None where its size is not one pair of numbers."""
    sides = pair_from_text(finished_size, unit)
    return None if sides is None else 2 * sum(sides, Fraction(0))


def _binding(fabric: Fabric, around: Length, pattern: Pattern) -> Iterator[Problem]:
    of_binding = [piece for piece in fabric.pieces if _is_binding(piece, fabric)]
    if not of_binding:
        return
    width = fabric.usable_width or USUAL_WIDTH
    given = sum((_long(piece, width) * piece.quantity for piece in of_binding), NOTHING)
    if given >= around:
        return
    count = sum(piece.quantity for piece in of_binding)
    yield warning(
        f"the binding of '{fabric.role}' is short: {count} strip{'s' if count != 1 else ''} "
        f"{'give' if count != 1 else 'gives'} {say_number(given)} in at most, but "
        f"{say_number(around)} in are wanted to go round {pattern.finished_size}",
        of_binding[0].where,
        "The pieces are counted as they are written; another strip may be needed.",
    )


def _is_binding(piece: Piece, fabric: Fabric) -> bool:
    words = f"{piece.name} {piece.notes}".casefold()
    if piece.kind is PieceKind.PIECE and piece.length is not None:
        long_enough = max(piece.width, piece.length) >= 15
        return long_enough and min(piece.width, piece.length) <= 4 and "binding" in words
    return "binding" in words or (fabric.use is Use.BINDING and piece.width <= 4)


def _long(piece: Piece, width: Length = NOTHING) -> Length:
    return width if piece.length is None else max(piece.width, piece.length)


def _amount(fabric: Fabric, catalogue: Catalogue) -> Iterator[Problem]:
    """Hold the area of a fabric's pieces against the amount that is stated for it."""
    amount, stated = fabric.requirement, _stated_area(fabric, catalogue)
    if amount is None or stated is None:
        return
    width = fabric.usable_width or USUAL_WIDTH
    taken = _taken_area(fabric)
    share = share_of(taken, stated, width)
    if amount.length is not None and share is Share.LESS:
        share = share_of(_in_strips(fabric, width), stated, width)
    prints = fabric.prints or max((piece.from_each or 1 for piece in fabric.pieces), default=1)
    if share is Share.LESS and prints == 1:  # several prints are bought for their variety
        yield warning(
            f"the pieces of '{fabric.role}' fill far less than its '{amount.as_written}'",
            fabric.where,
            "Look whether pieces are missing, a count is for each of several, or a motif is "
            "centered.",
        )
    if taken <= stated:
        return
    multiplied = any(piece.is_multiplied for piece in fabric.pieces)
    say = error if multiplied and share is Share.MORE else warning
    held = ""
    fill = f"fill {say_decimal(taken / stated * amount.quantity, 2)} of {amount.unit}"
    if amount.length is not None:
        fill = f"take {say_decimal(taken / width, 2)} in at {say_number(width)} in wide"
        held = f" ({say_decimal(amount.length, 2)} in)"
    yield say(
        f"the requirement of '{fabric.role}' is short: its pieces {fill} without any waste, but "
        f"'{amount.as_written}'{held} is stated",
        fabric.where,
        "Look at the counts and at the amount; one of them is wrong.",
    )


def confirm_by_amount(fabric: Fabric, catalogue: Catalogue) -> Fabric:
    """Return a fabric whose plainly read pieces are confirmed where they fill its amount."""
    stated = _stated_area(fabric, catalogue)
    if stated is None or not FAR_LESS * stated <= _taken_area(fabric) <= stated:
        return fabric
    pieces = tuple(
        replace(piece, confirmed="amount") if piece.confirmed == "plain" else piece
        for piece in fabric.pieces
    )
    return replace(fabric, pieces=pieces)


def _stated_area(fabric: Fabric, catalogue: Catalogue) -> Fraction | None:
    """Return the square inches of a fabric's amount; None where it has no sure area."""
    amount = fabric.requirement
    if amount is None or not fabric.pieces:
        return None
    if amount.length is not None:
        return amount.length * (fabric.usable_width or USUAL_WIDTH)
    has_strips = any(piece.kind is PieceKind.STRIP for piece in fabric.pieces)
    try:
        form = catalogue.find(amount.unit)
    except UnknownFormError:
        return None
    if has_strips or form.nominal_along is None:
        return None
    return form.nominal_across * form.nominal_along * amount.quantity


def _taken_area(fabric: Fabric) -> Fraction:
    width = fabric.usable_width or USUAL_WIDTH
    return sum(
        (
            piece.width * (width if piece.length is None else piece.length) * piece.quantity
            for piece in fabric.pieces
        ),
        Fraction(0),
    )


def _in_strips(fabric: Fabric, width: Length) -> Fraction:
    """Return the area of the strips that each kind of piece takes, as amounts are counted.

    Whole strips across the fabric, and their length up to the next eighth of a yard: common
    practice, no source. So pieces that leave much of their strips do not seem to be missing.
    """
    inches = NOTHING
    for piece in fabric.pieces:
        sides = (piece.width, width if piece.length is None else piece.length)
        ways = [
            ceil(Fraction(piece.quantity, width // across)) * along
            for across, along in (sides, sides[::-1])
            if across <= width
        ]
        inches += min(ways, default=sides[0] * sides[1] * piece.quantity / width)
    return ceil(inches / _EIGHTH_YARD) * _EIGHTH_YARD * width


_EIGHTH_YARD = YARD / 8
_SETTING = re.compile(r"\b(?:side|edge)\b.*\btriangles?\b|\bsetting\b", re.IGNORECASE)
_CORNER = re.compile(r"\bcorner\b.*\btriangles?\b|\bcorners?\b.*\bsetting\b", re.IGNORECASE)
_SASH = re.compile(r"\bsash(?:es|ing)?\b", re.IGNORECASE)
_BORDER = re.compile(r"\bborders?\b", re.IGNORECASE)


def advise(drafts: tuple[FabricDraft, ...], unit: Unit, problems: Problems) -> None:
    """Add advice on each fabric's pieces."""
    for draft in drafts:
        _long_borders(draft, unit, problems)
        for piece in draft.pieces:
            _bias_on_the_edge(piece, unit, problems)
        _one_way_sashing(draft, unit, problems)


def _long_borders(draft: FabricDraft, unit: Unit, problems: Problems) -> None:
    usable = draft.counted_width
    by_width: dict[Length, list[Piece]] = {}
    for piece in draft.pieces:
        if piece.kind is not PieceKind.PIECE or piece.length is None:
            continue
        named = _BORDER.search(piece.name) or _BORDER.search(draft.role)
        if named and piece.direction is Direction.FREE:
            by_width.setdefault(min(piece.width, piece.length), []).append(piece)
    for width, pieces in by_width.items():
        lengths = [_long(piece) for piece in pieces for _ in range(piece.quantity)]
        if max(lengths) <= usable or width > usable or len(lengths) > 100:
            continue
        strips = border_cloth(width, lengths, usable).crosswise_strip_count
        problems.warn(
            f"border strips of up to {say_size(max(lengths), unit)} {unit.value} are longer "
            f"than the fabric is wide: {say_border_cloth(width, lengths, usable, unit)}; "
            "they are planned without joins",
            pieces[0].where,
            f"Ask for {strips} strips of length WOF to join them, or type lengthwise under "
            "Direction.",
        )


def say_border_cloth(width: Length, lengths: Sequence[Length], usable: Length, unit: Unit) -> str:
    """Say what border strips longer than the fabric is wide take across, and lengthwise."""
    cloth = border_cloth(width, lengths, usable)
    return (
        f"across, {cloth.crosswise_strip_count} strips joined take "
        f"{say_off_the_bolt(cloth.crosswise_length, unit)}; lengthwise without a join they take "
        f"{say_off_the_bolt(cloth.lengthwise_length, unit)}"
    )


def _bias_on_the_edge(piece: Piece, unit: Unit, problems: Problems) -> None:
    """Warn of triangles whose side on the quilt's edge is on the bias.

    From a square cut once the long side is, from one cut twice the short sides. The same
    triangle comes from a square √2 times as large, or as small, cut the other way.
    """
    is_corner = _CORNER.search(piece.name) is not None
    if piece.shape is Shape.CUT_ONCE and _SETTING.search(piece.name) and not is_corner:
        way, other, square, count = "once", "twice", 2 * piece.width**2, ceil(piece.quantity / 2)
    elif piece.shape is Shape.CUT_TWICE and is_corner:
        way, other, square, count = "twice", "once", piece.width**2 / 2, 2 * piece.quantity
    else:
        return
    side = say_size(sqrt_up(square, EIGHTH if unit is Unit.INCH else MILLIMETER), unit)
    problems.warn(
        f"'{piece.name}': squares cut {way} put the bias on the quilt's edge; the same triangles "
        f"from squares of {side} {unit.value} cut {other} have it inside",
        piece.where,
        f"Type {count} of {side} × {side}, square cut {other} on the diagonal.",
    )


def _one_way_sashing(draft: FabricDraft, unit: Unit, problems: Problems) -> None:
    sashes = [
        piece
        for piece in draft.pieces
        if piece.direction is Direction.ONE_WAY
        and piece.length is not None
        and (_SASH.search(piece.name) or _SASH.search(draft.role))
        and piece.width != piece.length
    ]
    shapes = {(piece.width, piece.length) for piece in sashes}
    if len(sashes) == 0 or len(shapes) != 1:
        return
    width, length = sashes[0].width, sashes[0].length or sashes[0].width
    problems.warn(
        f"'{sashes[0].name}' is of a one-way print and stands one way only: sashes that lie "
        f"the other way are cut {say_size(length, unit)} × {say_size(width, unit)}, from "
        "strips of another width",
        sashes[0].where,
        "Give upright and level sashes a row each if the quilt has both.",
    )

"""Advice that changes what is cut: long borders, bias on an edge, one-way sashing.

Said as warnings on what was read; nothing is changed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import ceil

from kitmaker.arithmetic.cut_sizes import sqrt_up
from kitmaker.arithmetic.finishing import border_cloth
from kitmaker.errors import Problems
from kitmaker.lengths import EIGHTH, MILLIMETER, Length, Unit, say_off_the_bolt, say_size
from kitmaker.pattern import Direction, Piece, PieceKind, Shape
from kitmaker.reading.fabric_draft import FabricDraft

_SETTING = re.compile(r"\b(?:side|edge)\b.*\btriangles?\b|\bsetting\b", re.IGNORECASE)
_CORNER = re.compile(r"\bcorner\b.*\btriangles?\b|\bcorners?\b.*\bsetting\b", re.IGNORECASE)
_SASH = re.compile(r"\bsash(?:es|ing)?\b", re.IGNORECASE)
_BORDER = re.compile(r"\bborders?\b", re.IGNORECASE)


def advise(drafts: tuple[FabricDraft, ...], unit: Unit, problems: Problems) -> None:
    """Add advice on each fabric's pieces.

    Args:
        drafts: The fabrics, with every piece read.
        unit: What measures are said in.
        problems: The warnings are added here.
    """
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


def _long(piece: Piece) -> Length:
    return max(piece.width, piece.length or piece.width)


def _bias_on_the_edge(piece: Piece, unit: Unit, problems: Problems) -> None:
    """Warn of triangles whose side on the quilt's edge is on the bias.

    From a square cut once the long side is, from one cut twice the short sides. The same
    triangle comes from a square √2 times as large, or as small, cut the other way.
    """
    is_corner = _CORNER.search(piece.name) is not None
    step = EIGHTH if unit is Unit.INCH else MILLIMETER
    if piece.shape is Shape.CUT_ONCE and _SETTING.search(piece.name) and not is_corner:
        side = say_size(sqrt_up(2 * piece.width**2, step), unit)
        problems.warn(
            f"'{piece.name}': squares cut once put the bias on the quilt's edge; the same "
            f"triangles from squares of {side} {unit.value} cut twice have it inside",
            piece.where,
            f"Type {ceil(piece.quantity / 2)} of {side} × {side}, square cut twice on the "
            "diagonal.",
        )
    if piece.shape is Shape.CUT_TWICE and is_corner:
        side = say_size(sqrt_up(piece.width**2 / 2, step), unit)
        problems.warn(
            f"'{piece.name}': squares cut twice put the bias on the quilt's edge; the same "
            f"triangles from squares of {side} {unit.value} cut once have it inside",
            piece.where,
            f"Type {2 * piece.quantity} of {side} × {side}, square cut once on the diagonal.",
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

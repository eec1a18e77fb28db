"""The Finishing sheet as a control: what the tables state beside what the sheet asks for.

Nothing is mended. Where both disagree, both figures are said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH, Join, joined_strips
from kitmaker.errors import Location, warning
from kitmaker.lengths import Length, say_off_the_bolt, say_size
from kitmaker.pattern import Piece, PieceKind, Shape
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.finishing_sheet import FinishingLabels

_RUNS = ("binding", "border", "sleeve")
SHORTEST_RUN: Length = Fraction(15)
"""A shorter piece is no strip of a border or a binding. Our own bound, no source."""
_NEAR, _NEAR_WIDTH = Fraction(1, 2), Fraction(1, 4)
_LOOK = "What the table states is used."


_NAMES: Mapping[str, tuple[str, ...]] = {
    "binding": ("binding",),
    "border": ("border",),
    "sash": ("sash", "lattice"),
    "cornerstone": ("cornerstone", "keystone"),
    "setting triangle": ("setting triangle", "side triangle", "edge triangle", "filler triangle"),
    "corner triangle": ("corner triangle", "corner setting"),
    "sleeve": ("sleeve",),
    "label": ("label",),
}
_PLAIN_WORDS = frozenset(
    {
        *("strip", "square", "rectangle", "triangle", "piece", "patch", "wof", "x", "cut", "side"),
        *("width", "of", "fabric", "corner", "edge", "in", "for", "the", "long", "top", "bottom"),
    }
)
"""What says no more of a piece than its shape and place."""


def pieces_of(draft: FabricDraft, word: str) -> list[Piece]:
    """Return the pieces of a fabric that are the part already.

    A piece is one by its name; in a fabric whose role names the part, and no other, all are.
    """
    named = [piece for piece in draft.pieces if _is_named(piece.name, word)]
    if named or word not in draft.role.casefold():
        return named
    return [piece for piece in draft.pieces if not _is_of_another_part(piece.name, word)]


def _is_named(name: str, word: str) -> bool:
    return any(one in name.casefold() for one in _NAMES[word])


def _is_of_another_part(name: str, word: str) -> bool:
    return any(_is_named(name, other) for other in _NAMES if other != word)


def says_no_purpose(name: str) -> bool:
    """Return whether a piece's name is only a letter, a size or a shape: ``J``, ``2½ strip``."""
    words = re.findall(r"[a-z]+", name.casefold())
    return all(len(word) == 1 or word.rstrip("s") in _PLAIN_WORDS for word in words)


def look_alikes(draft: FabricDraft, word: str, asked: Sequence[Piece]) -> list[Piece]:
    """Return the pieces that have the shape of a part's and nearly its width."""
    return [
        piece
        for piece in draft.pieces
        if not _is_of_another_part(piece.name, word)
        and f"not {word}" not in piece.notes.casefold()
        and any(_is_alike(piece, one, word) for one in asked)
    ]


def _is_alike(piece: Piece, asked: Piece, word: str) -> bool:
    if word in _RUNS:
        long = piece.length is None or max(piece.width, piece.length) >= SHORTEST_RUN
        return long and abs(narrow(piece) - narrow(asked)) <= _NEAR_WIDTH
    straight = (Shape.SQUARE, Shape.RECTANGLE)
    same_shape = piece.shape is asked.shape or (piece.shape in straight and asked.shape in straight)
    sides = zip(_sides(piece), _sides(asked), strict=True)
    return same_shape and all(abs(one - other) <= _NEAR for one, other in sides)


def _sides(piece: Piece) -> tuple[Length, Length]:
    return narrow(piece), max(piece.width, piece.length or piece.width)


def compare_pieces(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    labels: FinishingLabels,
) -> None:
    """Warn that a part is counted once, with both figures where they differ."""
    before = len(labels.problems)
    _compare(draft, word, stated, asked, where, labels)
    if len(labels.problems) == before:
        _warn(
            labels,
            where,
            f"the {word} of '{draft.role}' stands at {say_places(stated)} as well; it is counted "
            "once",
        )


def say_places(pieces: Sequence[Piece]) -> str:
    """Say where pieces stand and what they are called."""
    return ", ".join(f"{piece.where.address} ('{piece.name}')" for piece in pieces)


def _compare(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    labels: FinishingLabels,
) -> None:
    at = stated[0].where.address
    mine, theirs = _say_widths(asked, labels), _say_widths(stated, labels)
    if mine != theirs:
        _warn(
            labels,
            where,
            f"the {word} of '{draft.role}' is cut {theirs} wide in the table and "
            f"{mine} by this sheet ({at})",
        )
        return
    if word in _RUNS:
        for width in sorted({narrow(piece) for piece in asked}):
            of_width = [
                [piece for piece in pieces if narrow(piece) == width] for pieces in (stated, asked)
            ]
            _compare_run(draft, word, of_width[0], of_width[1], where, labels)
        return
    have, need = (sum(piece.quantity for piece in pieces) for pieces in (stated, asked))
    if have != need:
        _warn(
            labels,
            where,
            f"the table asks for {have} of the {word} in '{draft.role}', this sheet for {need} "
            f"({at})",
        )


def compare_amount(
    draft: FabricDraft, where: Location, labels: FinishingLabels, need: Length
) -> None:
    """Warn where a stated length of fabric is too short for what the sheet asks for.

    Args:
        draft: The fabric.
        where: The cell that asks.
        labels: Unit and problems.
        need: Inches off the bolt.
    """
    amount = draft.requirement
    if amount is None or amount.length is None or need <= amount.length:
        return
    said = say_off_the_bolt(need, labels.unit)
    _warn(
        labels,
        where,
        f"'{draft.role}' is stated as {amount.as_written}, but by this sheet takes {said}",
    )


def _strips(length: Length, width: Length, usable: Length, name: str) -> int:
    join = Join.DIAGONAL if "binding" in name.casefold() else Join.STRAIGHT
    return joined_strips(length, usable, width, join)


def _compare_run(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    labels: FinishingLabels,
) -> None:
    need = _run(asked)
    strips = [piece for piece in stated if piece.kind is PieceKind.STRIP]
    if strips and len(strips) == len(stated):
        usable = draft.usable_width or CAUTIOUS_USABLE_WIDTH
        have = sum(piece.quantity for piece in strips)
        takes = _strips(need, strips[0].width, usable, word)
        if have != takes:
            _warn(
                labels,
                where,
                f"the table cuts {have} strips for the {word} of '{draft.role}', this sheet's "
                f"{say_size(need, labels.unit)} {labels.unit.value} take {takes} at "
                f"{say_size(usable, labels.unit)} {labels.unit.value} ({strips[0].where.address})",
            )
        return
    have_length = _run([piece for piece in stated if piece.kind is not PieceKind.STRIP])
    if not strips and abs(have_length - need) > _NEAR:
        _warn(
            labels,
            where,
            f"the {word} of '{draft.role}' comes to {say_size(have_length, labels.unit)} "
            f"{labels.unit.value} in the table and to {say_size(need, labels.unit)} "
            f"{labels.unit.value} by this sheet ({stated[0].where.address})",
        )


def agree(draft: FabricDraft, word: str, stated: list[Piece], asked: list[Piece]) -> bool:
    """Return whether pieces come to what a part asks for, whatever they are called."""
    if word not in _RUNS:
        return sum(one.quantity for one in stated) == sum(one.quantity for one in asked)
    strips = [piece for piece in stated if piece.kind is PieceKind.STRIP]
    usable = draft.usable_width or CAUTIOUS_USABLE_WIDTH
    if len(strips) == len(stated):
        takes = _strips(_run(asked), strips[0].width, usable, word)
        return abs(sum(piece.quantity for piece in strips) - takes) <= 1
    return not strips and abs(_run(stated) - _run(asked)) <= _NEAR


def _run(pieces: list[Piece]) -> Length:
    """The running length of pieces: the long sides end to end."""
    total = Fraction(0)
    for piece in pieces:
        total += piece.quantity * max(piece.width, piece.length or piece.width)
    return total


def narrow(piece: Piece) -> Length:
    """Return the width of a strip, the short side of a piece."""
    if piece.kind is not PieceKind.PIECE or piece.length is None:
        return piece.width
    return min(piece.width, piece.length)


def _say_widths(pieces: list[Piece], labels: FinishingLabels) -> str:
    widths = sorted({narrow(piece) for piece in pieces})
    return " and ".join(say_size(width, labels.unit) for width in widths)


def _warn(labels: FinishingLabels, where: Location, message: str) -> None:
    labels.problems.append(warning(message, where, _LOOK))

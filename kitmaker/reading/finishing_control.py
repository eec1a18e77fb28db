"""The Finishing sheet as a control: what the tables state beside what the sheet asks for.

Nothing is mended. Where both disagree, both figures are said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from kitmaker.arithmetic.joins import Join, joined_strips
from kitmaker.errors import Location, Problem, warning
from kitmaker.lengths import Length, Unit, say_off_the_bolt, say_size
from kitmaker.pattern import Direction, Piece, PieceKind, Shape
from kitmaker.reading.fabric_draft import FabricDraft

_RUNS = ("binding", "border")
SHORTEST_RUN: Length = Fraction(15)
"""A shorter piece is no strip of a border or a binding. Our own bound, no source."""
_NEAR, _NEAR_WIDTH = Fraction(1, 2), Fraction(1, 4)
_LOOK = "What the table states is used."

_NAMES: Mapping[str, tuple[str, ...]] = {
    **{word: (word,) for word in (*_RUNS, "sleeve", "label")},
    "sash": ("sash", "lattice"),
    "cornerstone": ("cornerstone", "keystone"),
    "setting triangle": ("setting triangle", "side triangle", "edge triangle", "filler triangle"),
    "corner triangle": ("corner triangle", "corner setting"),
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
        is_run = piece.length is None or _long(piece) >= SHORTEST_RUN
        return is_run and abs(narrow(piece) - narrow(asked)) <= _NEAR_WIDTH
    straight = (Shape.SQUARE, Shape.RECTANGLE)
    same_shape = piece.shape is asked.shape or (piece.shape in straight and asked.shape in straight)
    wide, long = narrow(piece) - narrow(asked), _long(piece) - _long(asked)
    return same_shape and max(abs(wide), abs(long)) <= _NEAR


def say_places(pieces: Sequence[Piece]) -> str:
    """Say where pieces stand and what they are called."""
    return ", ".join(f"{piece.where.address} ('{piece.name}')" for piece in pieces)


def compare_pieces(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    unit: Unit,
) -> list[Problem]:
    """Return warnings that a part is counted once, with both figures where they differ."""
    message = (
        f"the {word} of '{draft.role}' stands at {say_places(stated)} as well; it is counted once"
    )
    return list(_differences(draft, word, stated, asked, where, unit)) or [
        warning(message, where, _LOOK)
    ]


def _differences(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    unit: Unit,
) -> Iterator[Problem]:
    at, part = stated[0].where.address, f"the {word} of '{draft.role}'"
    mine, theirs = (
        " and ".join(say_size(width, unit) for width in sorted(set(map(narrow, pieces))))
        for pieces in (asked, stated)
    )
    if mine != theirs:
        message = (
            f"the {word} of '{draft.role}' is cut {theirs} wide in the table and {mine} by this "
            f"sheet ({at})"
        )
        yield warning(message, where, _LOOK)
        return
    if word not in _RUNS:
        counts = [sum(piece.quantity for piece in pieces) for pieces in (stated, asked)]
        if counts[0] != counts[1]:
            message = (
                f"the table asks for {counts[0]} of the {word} in '{draft.role}', this sheet for "
                f"{counts[1]} ({at})"
            )
            yield warning(message, where, _LOOK)
        return
    for width in sorted(set(map(narrow, asked))):
        here, wanted = (
            [piece for piece in pieces if narrow(piece) == width] for pieces in (stated, asked)
        )
        if (runs := _runs(draft, word, here, wanted)) is None:
            continue
        in_strips, have, need = runs
        at, run = here[0].where.address, f"{say_size(_run(wanted), unit)} {unit.value}"
        if in_strips and have != need:
            message = (
                f"the table cuts {have} strips for {part}, this sheet's {run} take {need} at "
                f"{say_size(draft.counted_width, unit)} {unit.value} ({at})"
            )
            yield warning(message, where, _LOOK)
        elif not in_strips and abs(have - need) > _NEAR:
            message = (
                f"{part} comes to {say_size(have, unit)} {unit.value} in the table and to {run} by "
                f"this sheet ({at})"
            )
            yield warning(message, where, _LOOK)


def needs_run(piece: Piece, stated: Sequence[Piece], asked: Sequence[Piece], word: str) -> Piece:
    """Return a piece of a table; whole strips of a border or binding with the length needed.

    Where several rows have strips of one width, no row's share of the length is known.
    """
    alike = [one for one in stated if narrow(one) == narrow(piece)]
    wanted = [one for one in asked if narrow(one) == narrow(piece)]
    is_run = word in _RUNS and piece.kind is PieceKind.STRIP and len(alike) == 1
    if not is_run or alike[0] is not piece or not wanted:
        return piece
    along = any(one.direction is Direction.LENGTHWISE for one in wanted)
    return piece if along else replace(piece, is_joined=True, run=_run(wanted))


def compare_amount(draft: FabricDraft, where: Location, unit: Unit, need: Length) -> list[Problem]:
    """Return a warning where a stated length is less than what the sheet takes, in inches."""
    amount = draft.requirement
    if amount is None or amount.length is None or need <= amount.length:
        return []
    message = (
        f"'{draft.role}' is stated as {amount.as_written}, but by this sheet takes "
        f"{say_off_the_bolt(need, unit)}"
    )
    return [warning(message, where, _LOOK)]


def agree(draft: FabricDraft, word: str, stated: list[Piece], asked: list[Piece]) -> bool:
    """Return whether pieces come to what a part asks for, whatever they are called."""
    if word not in _RUNS:
        return sum(one.quantity for one in stated) == sum(one.quantity for one in asked)
    runs = _runs(draft, word, stated, asked)
    return runs is not None and abs(runs[1] - runs[2]) <= (1 if runs[0] else _NEAR)


def _runs(
    draft: FabricDraft, word: str, stated: list[Piece], asked: list[Piece]
) -> tuple[bool, Length, Length] | None:
    """Return whether strips are counted, how many inches or strips are there and are needed.

    Strips across the fabric and pieces of a stated length together come to no figure.
    """
    need, kinds = _run(asked), {piece.kind is PieceKind.STRIP for piece in stated}
    if len(kinds) > 1:
        return None
    if not kinds.pop():
        return False, _run(stated), need
    join = Join.DIAGONAL if word == "binding" else Join.STRAIGHT
    takes = joined_strips(need, draft.counted_width, stated[0].width, join)
    return True, Fraction(sum(piece.quantity for piece in stated)), Fraction(takes)


def _run(pieces: Sequence[Piece]) -> Length:
    return sum((piece.quantity * _long(piece) for piece in pieces), Fraction(0))


def _long(piece: Piece) -> Length:
    return max(piece.width, piece.length or piece.width)


def narrow(piece: Piece) -> Length:
    """Return the width of a strip, the short side of a piece."""
    if piece.kind is not PieceKind.PIECE or piece.length is None:
        return piece.width
    return min(piece.width, piece.length)

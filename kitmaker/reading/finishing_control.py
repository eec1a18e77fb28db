"""The Finishing sheet as a control: what the tables state beside what the sheet asks for.

Nothing is mended. Where both disagree, both figures are said.
"""

from __future__ import annotations

from fractions import Fraction

from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH, Join, joined_strips
from kitmaker.errors import Location, warning
from kitmaker.lengths import Length, say_off_the_bolt, say_size
from kitmaker.pattern import Piece, PieceKind
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.finishing_sheet import FinishingLabels

_RUNS = ("binding", "border", "sleeve")
_NEAR = Fraction(1, 2)
_LOOK = "Look at both figures; what the table states is used."


def pieces_of(draft: FabricDraft, word: str) -> list[Piece]:
    """Return the pieces of a fabric that are the part already.

    A piece is one by its name; in a fabric whose role names the part, and no other, all are.
    """
    named = [piece for piece in draft.pieces if word in piece.name.casefold()]
    if named or word not in draft.role.casefold():
        return named
    others = [one for one in ("binding", "border", "sash", "cornerstone") if one != word]
    return [
        piece for piece in draft.pieces if not any(one in piece.name.casefold() for one in others)
    ]


def compare_pieces(
    draft: FabricDraft,
    word: str,
    stated: list[Piece],
    asked: list[Piece],
    where: Location,
    labels: FinishingLabels,
) -> None:
    """Warn where the pieces a fabric has are not what the sheet asks for, with both figures."""
    mine, theirs = _say_widths(asked, labels), _say_widths(stated, labels)
    if mine != theirs:
        _warn(
            labels,
            where,
            f"the {word} of '{draft.role}' is cut {theirs} wide in the table and "
            f"{mine} by this sheet",
        )
        return
    if word in _RUNS:
        for width in sorted({_narrow(piece) for piece in asked}):
            of_width = [
                [piece for piece in pieces if _narrow(piece) == width] for pieces in (stated, asked)
            ]
            _compare_run(draft, word, of_width[0], of_width[1], where, labels)
        return
    have, need = (sum(piece.quantity for piece in pieces) for pieces in (stated, asked))
    if have != need:
        _warn(
            labels,
            where,
            f"the table asks for {have} of the {word} in '{draft.role}', this sheet for {need}",
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
    return joined_strips(length, usable, width, join).strip_count


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
                f"{say_size(usable, labels.unit)} {labels.unit.value}",
            )
        return
    have_length = _run([piece for piece in stated if piece.kind is not PieceKind.STRIP])
    if not strips and abs(have_length - need) > _NEAR:
        _warn(
            labels,
            where,
            f"the {word} of '{draft.role}' comes to {say_size(have_length, labels.unit)} "
            f"{labels.unit.value} in the table and to {say_size(need, labels.unit)} "
            f"{labels.unit.value} by this sheet",
        )


def _run(pieces: list[Piece]) -> Length:
    """The running length of pieces: the long sides end to end."""
    total = Fraction(0)
    for piece in pieces:
        total += piece.quantity * max(piece.width, piece.length or piece.width)
    return total


def _narrow(piece: Piece) -> Length:
    if piece.kind is not PieceKind.PIECE or piece.length is None:
        return piece.width
    return min(piece.width, piece.length)


def _say_widths(pieces: list[Piece], labels: FinishingLabels) -> str:
    narrow = sorted({_narrow(piece) for piece in pieces})
    return " and ".join(say_size(width, labels.unit) for width in narrow)


def _warn(labels: FinishingLabels, where: Location, message: str) -> None:
    labels.problems.append(warning(message, where, _LOOK))

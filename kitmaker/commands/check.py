"""``check``: what was read from a pattern, next to the words it came from."""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.lengths import Length, Unit, as_json_number, say_size
from kitmaker.paper.problem_json import problems_json
from kitmaker.pattern import Amount, Fabric, PatternReading, Piece, PieceKind, Shape


def check_json(reading: PatternReading) -> dict[str, object]:
    """Return a reading as data."""
    pattern = reading.pattern
    return {
        "schema": 1,
        "unit": pattern.unit.value,
        "pattern": {
            "name": pattern.name,
            "sizes": list(pattern.sizes),
            "size": pattern.size,
            "unit": pattern.unit.value,
            "seam_allowance": as_json_number(pattern.seam_allowance, pattern.unit),
        },
        "fabrics": [
            {
                "role": fabric.role,
                "requirement": _requirement(fabric.requirement),
                "pieces": [_piece(piece, pattern.unit) for piece in fabric.pieces],
            }
            for fabric in pattern.fabrics
        ],
        "problems": problems_json(reading.problems),
    }


def _requirement(amount: Amount | None) -> dict[str, object] | None:
    if amount is None:
        return None
    return {
        "as_written": amount.as_written,
        "quantity": float(amount.quantity),
        "unit": amount.unit,
    }


def _number(length: Length | None, unit: Unit) -> float | None:
    return None if length is None else as_json_number(length, unit)


def _piece(piece: Piece, unit: Unit) -> dict[str, object]:
    return {
        "name": piece.name,
        "width": _number(piece.width, unit),
        "length": _number(piece.length, unit),
        "quantity": piece.quantity,
        "shape": piece.shape.value,
        "may_turn": piece.may_turn,
        "kind": piece.kind.value,
        "where": piece.where.address,
    }


def check_text(reading: PatternReading) -> Iterator[str]:
    """Yield a reading line by line, for someone with the pattern in hand."""
    pattern = reading.pattern
    size = f", size {pattern.size}" if pattern.size else ""
    yield f"{pattern.name}{size} (sizes in {pattern.unit.value}, cut sizes)"
    for fabric in pattern.fabrics:
        yield ""
        yield _fabric_line(fabric)
        if not fabric.pieces:
            yield "  no pieces are given"
        for piece in fabric.pieces:
            yield f"  {_piece_line(piece, pattern.unit)}"
    if reading.notes:
        yield ""
        yield "How the words were understood:"
        for note in reading.notes:
            yield f"  {note.where.address}: {' '.join(note.words.split())}"
            yield f"      {note.understood}"


def _fabric_line(fabric: Fabric) -> str:
    parts = [fabric.role]
    if fabric.requirement is not None:
        parts.append(f"pattern asks for {fabric.requirement.as_written}")
    if fabric.prints:
        parts.append(f"{fabric.prints} prints")
    if fabric.form:
        parts.append(f"form: {fabric.form}")
    return " | ".join(parts)


def _piece_line(piece: Piece, unit: Unit) -> str:
    width = say_size(piece.width, unit)
    if piece.kind is PieceKind.STRIP:
        size = f"{width} × WOF, used whole"
    elif piece.kind is PieceKind.JOINED or piece.length is None:
        total = say_size(piece.length or piece.width, unit)
        size = f"{width} wide, {total} {unit.value} long in all, joined"
    else:
        size = f"{width} × {say_size(piece.length, unit)}"
    shape = "" if piece.shape in (Shape.RECTANGLE, Shape.SQUARE) else f", {piece.shape.value}"
    turn = "" if piece.may_turn or piece.kind is not PieceKind.PIECE else ", may not be turned"
    return f"{piece.quantity:>4}  {size}{shape}{turn}  {piece.name}  [{piece.where.address}]"

"""``check``: what was read from a pattern, next to the words it came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitmaker.lengths import Length, Unit, as_json_number
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.sheets.reading_page import (
    LineKind,
    ReadLine,
    say_about,
    view_other_lines,
    view_read_fabrics,
)
from kitmaker.pattern import Amount, Pattern, PatternReading, Piece


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
        "fabrics": fabrics_json(pattern),
        "problems": problems_json(reading.problems),
    }


def fabrics_json(pattern: Pattern) -> list[dict[str, object]]:
    """Return a pattern's fabrics and pieces as data."""
    return [
        {
            "role": fabric.role,
            "requirement": _requirement(fabric.requirement),
            "pieces": [_piece(piece, pattern.unit) for piece in fabric.pieces],
        }
        for fabric in pattern.fabrics
    ]


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
        "formula": piece.formula,
        "confirmed": piece.confirmed,
    }


def check_text(reading: PatternReading) -> Iterator[str]:
    """Yield a reading line by line, for someone with the pattern in hand."""
    yield say_about(reading)
    for fabric in view_read_fabrics(reading):
        yield ""
        yield f"{fabric.role}  [{fabric.where}]"
        text = f"asks for '{fabric.requirement}': " if fabric.requirement else ""
        facts = f"; {fabric.facts}" if fabric.facts else ""
        yield f"  {text}{fabric.requirement_means}{facts}"
        yield from _lines(fabric.lines)
        yield f"  {fabric.sums}"
    others = view_other_lines(reading)
    if others:
        yield ""
        yield "Outside the tables:"
        yield from _lines(others)


def _lines(lines: Iterable[ReadLine]) -> Iterator[str]:
    for line in lines:
        yield f"  [{line.where}] {line.words}"
        for said in line.understood:
            mark = {LineKind.READ: "=", LineKind.NOTE: "·", LineKind.UNREAD: "??"}[line.kind]
            yield f"      {mark} {said}"
        if line.confirmed:
            yield f"        ({line.confirmed})"

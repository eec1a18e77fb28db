"""What a row or a label typed into a workbook comes to: the way that check and plan go.

Nothing is asked of a formula here. A workbook is written, read as every pattern is read, and
the pieces to cut are handed back. Each workbook is written once and read anew every time.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TypeAlias

from books import write

from kitmaker.forms import Catalogue, Form
from kitmaker.kits.demands import demands_for
from kitmaker.kits.joins import Joins, in_parts, joins_for
from kitmaker.lengths import Length, Unit, parse_number
from kitmaker.pattern import Fabric, PatternReading, Piece
from kitmaker.reading.requirements import read_pattern

Value: TypeAlias = str | int
Row: TypeAlias = tuple[Value, ...]
Sheets: TypeAlias = tuple[tuple[str, tuple[Row, ...]], ...]

PIECES: Row = ("Fabric", "Piece", "Finished width", "Finished length", "Quantity", "Shape")


@cache
def _folder() -> Path:
    folder = tempfile.mkdtemp(prefix="typed-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return Path(folder)


@cache
def _written(sheets: Sheets) -> Path:
    return write(_folder() / f"pattern-{len(list(_folder().iterdir()))}.xlsx", dict(sheets))


def read(*sheets: tuple[str, tuple[Row, ...]]) -> PatternReading:
    """Return what is read of a workbook with such sheets."""
    return read_pattern(_written(sheets))


def shape(
    name: str,
    width: str,
    length: str = "",
    quantity: int = 1,
    *,
    step: str = "1/8",
    seam: str = "1/4",
    usable: str = "40",
    cut: bool = False,
) -> Piece:
    """Return the piece of one row with finished (or cut) measures.

    Args:
        name: What stands under Shape.
        width: As it is typed.
        length: As it is typed; "" leaves the cell empty.
        quantity: How many finished shapes.
        step: What the pattern rounds cut sizes up to.
        seam: Its seam allowance.
        usable: The fabric's usable width.
        cut: Whether the measures are cut sizes.
    """
    headings = tuple(
        heading.replace("Finished", "Cut" if cut else "Finished") for heading in PIECES
    )
    rows = (headings, ("Sky", "patch", width, length, quantity, name))
    facts = (
        ("Pattern", "Typed"),
        ("Seam allowance", seam),
        ("Round cut sizes up to", step),
    )
    fabrics = (("Fabric", "Requirement", "Usable width"), ("Sky", "3 yd", usable))
    found = read(("Pieces", rows), ("Fabrics", fabrics), ("Facts", facts))
    (piece,) = found.pattern.fabrics[0].pieces
    return piece


def side(name: str, width: str, length: str = "", **more: str) -> Length:
    """Return the side of the square that is cut for a finished shape."""
    piece = shape(name, width, length, **more)  # type: ignore[arg-type]
    assert piece.width == piece.length
    return piece.width


def finishing(
    *labels: Row, usable: Sequence[tuple[str, str]] = (), facts: Sequence[Row] = ()
) -> PatternReading:
    """Return what is read of a Finishing sheet with such labels.

    Args:
        labels: Label and value.
        usable: Fabric and usable width, where it is not the cautious one.
        facts: Rows of the Facts sheet, two or more.
    """
    sheets: list[tuple[str, tuple[Row, ...]]] = [("Finishing", labels)]
    if usable:
        rows = tuple((role, "", width) for role, width in usable)
        sheets.append(("Fabrics", (("Fabric", "Requirement", "Usable width"), *rows)))
    if facts:
        sheets.append(("Facts", tuple(facts)))
    return read(*sheets)


def fabric(found: PatternReading, role: str) -> Fabric:
    """Return a fabric by its name."""
    (one,) = [one for one in found.pattern.fabrics if one.role == role]
    return one


def only(found: PatternReading, role: str) -> Piece:
    """Return the one piece of a fabric."""
    (piece,) = fabric(found, role).pieces
    return piece


def said(found: PatternReading) -> str:
    """Return all that is told of a reading, notes and problems."""
    return " / ".join((*(note.understood for note in found.notes), *map(str, found.problems)))


def strips(piece: Piece, usable: str = "40") -> int:
    """Return how many strips off the bolt a piece takes."""
    form = Catalogue().yardage.with_usable_across(parse_number(usable))
    pieces = in_parts((("piece", piece, 1),), form, Joins(), Unit.INCH)
    (demand,) = demands_for(pieces, form, Unit.INCH).demands
    return demand.count


def parts(
    found: PatternReading, role: str, across: str, along: str, most_seams: int = 1
) -> list[tuple[int, Length]]:
    """Return how many parts of which length the pieces of a fabric come in, all joins allowed.

    Args:
        found: What was read.
        role: The fabric.
        across: The usable width of what they are cut from.
        along: Its usable length.
        most_seams: In one rectangle.
    """
    cloth = Form(
        form_id="remnant",
        name="remnant",
        plural="remnants",
        nominal_across=parse_number(across),
        nominal_along=parse_number(along),
        usable_across=parse_number(across),
        usable_along=parse_number(along),
    )
    one = fabric(found, role)
    joins = joins_for(one, found.pattern, is_asked=True, most_seams=most_seams)
    keyed = [(piece.name, piece, piece.quantity) for piece in one.pieces]
    cut = in_parts(keyed, cloth, joins, found.pattern.unit, one.usable_width)
    assert not demands_for(cut, cloth, found.pattern.unit, one.usable_width).why
    return [
        (count, piece.sewn.part_length if piece.sewn else max(piece.width, piece.length or 0))
        for _, piece, count in cut
    ]


def row(*cells: Value, facts: Sequence[Row] = ()) -> PatternReading:
    """Return what is read of one row of cut sizes: piece, width, length, quantity, notes."""
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Notes")
    return read(("Pieces", (headings, ("Sky", *cells))), ("Facts", tuple(facts)))


def size(piece: Piece) -> tuple[Length, Length | None]:
    """Return the cut width and length of a piece."""
    return piece.width, piece.length


def inches(*texts: str) -> tuple[Fraction, ...]:
    """Return measures as printed, exactly."""
    return tuple(parse_number(text) for text in texts)

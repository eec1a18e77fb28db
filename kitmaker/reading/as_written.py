"""The layout as written: cutting instructions as free text beside each fabric.

The instructions of one fabric may fill one cell with many lines or many rows with a cell
each; they are read as one text, because a line may speak of the strip above it. Each cut
keeps the cell that its line stands in.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitmaker.errors import Level, Location, Problem
from kitmaker.lengths import Unit, say_size
from kitmaker.pattern import Note, Piece, PieceKind
from kitmaker.reading.cells import MOST_PIECES
from kitmaker.reading.fabric_draft import LARGEST_PIECE, WIDEST_STRIP, FabricDraft
from kitmaker.reading.phrases import Cut, FabricFacts, read_lines
from kitmaker.reading.phrases.model import NARROWEST_WHOLE_WIDTH, WIDEST_WHOLE_WIDTH


def read_instructions(
    draft: FabricDraft,
    lines: Sequence[tuple[str, Location]],
    unit: Unit,
    bracket: int | None,
    problems: list[Problem],
    notes: list[Note],
) -> None:
    """Read a fabric's cutting instructions into its draft.

    Args:
        draft: The fabric; its pieces are added to.
        lines: Each line with the cell it stands in.
        unit: What bare numbers are in.
        bracket: Which of two sizes in brackets is read: 0, 1, or None.
        problems: What cannot be read is added here.
        notes: What was made of each line is added here.
    """
    amount = draft.requirement
    narrowest = draft.usable_width or NARROWEST_WHOLE_WIDTH
    facts = FabricFacts(
        role=draft.role,
        unit=unit,
        prints=draft.prints,
        cloths=draft.amount_prints,
        prints_are_strips=amount is not None and amount.unit.startswith("strip-"),
        narrowest_width=narrowest,
        widest_width=max(WIDEST_WHOLE_WIDTH, narrowest + 5),
        fabric_length=amount.length if amount is not None else None,
        bracket=bracket,
    )
    understood = read_lines([text for text, _ in lines], facts)
    for finding in understood.findings:
        where = lines[finding.line][1]
        problems.append(Problem(finding.level, finding.message, where, finding.suggestion))
    for cut in understood.cuts:
        words, where = lines[cut.line]
        if too_large := _too_large(cut, where):
            problems.append(too_large)
            continue
        draft.pieces.append(_piece(cut, where))
        notes.append(Note(where=where, words=words, understood=_say(cut, unit)))
    for remark in understood.remarks:
        where = lines[remark.line][1]
        notes.append(Note(where=where, words=remark.words, understood="a note"))


def _too_large(cut: Cut, where: Location) -> Problem | None:
    if cut.quantity > MOST_PIECES:
        return Problem(
            Level.ERROR,
            f"{cut.quantity} pieces are too many to be believed",
            where,
            "Look for a slip of the keyboard.",
        )
    longest = max(cut.width, cut.length or cut.width)
    if cut.kind is PieceKind.JOINED:
        longest = cut.width
    wide_strip = cut.kind is not PieceKind.PIECE and cut.width > WIDEST_STRIP
    if longest <= LARGEST_PIECE and not wide_strip:
        return None
    said = say_size(cut.width if wide_strip else longest, Unit.INCH)
    return Problem(
        Level.ERROR,
        f"a size of {said} in is too large to be believed",
        where,
        "Look for a slip of the keyboard.",
    )


def _piece(cut: Cut, where: Location) -> Piece:
    return Piece(
        name=cut.name,
        kind=cut.kind,
        width=cut.width,
        length=cut.length,
        quantity=cut.quantity,
        shape=cut.shape,
        direction=cut.direction,
        from_each=cut.from_each,
        where=where,
        notes=cut.words,
    )


def _say(cut: Cut, unit: Unit) -> str:
    size = say_size(cut.width, unit)
    if cut.kind is PieceKind.STRIP:
        return f"{cut.quantity} strips {size} × width of fabric"
    length = say_size(cut.length or cut.width, unit)
    if cut.kind is PieceKind.JOINED:
        return f"strips {size} wide, {length} {unit.value} in all"
    return f"{cut.quantity} × {size} × {length} ({cut.shape})"

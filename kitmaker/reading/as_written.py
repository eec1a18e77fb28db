"""The layout as written: cutting instructions as free text beside each fabric.

The instructions of one fabric may fill one cell with many lines or many rows with a cell
each; they are read as one text, because a line may speak of the strip above it. Each cut
keeps the cell that its line stands in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from itertools import takewhile

from kitmaker.errors import Level, Location, Problem, error
from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, say_size
from kitmaker.pattern import Amount, Note, Pattern, Piece, PieceKind
from kitmaker.reading.cells import MOST_PIECES
from kitmaker.reading.fabric_draft import (
    LARGEST_PIECE,
    LONGEST_BACKING,
    SMALLEST_PIECE,
    FabricDraft,
)
from kitmaker.reading.join_words import says_joined
from kitmaker.reading.phrases import Cut, FabricFacts, read_lines
from kitmaker.reading.table_reading import TableReading

CUT_ON = "strips, cut on into what the lines below say"
NOT_READ = "not read"
"""What is made of words that are not sure."""


def read_instructions(
    reading: TableReading, draft: FabricDraft, lines: Sequence[tuple[str, Location]]
) -> None:
    """Read a fabric's cutting instructions, each line with its cell, into its draft."""
    amount, problems = draft.requirement, reading.problems
    narrowest, widest = _widths(draft, reading.catalogue.narrow(amount.unit if amount else ""))
    facts = FabricFacts(
        unit=reading.unit,
        prints=draft.prints,
        cloths=draft.amount_prints,
        form=amount.unit if amount is not None else "",
        prints_are_strips=amount is not None and amount.unit.startswith("strip-"),
        ready_cut=_ready_cut(amount),
        narrowest_width=narrowest,
        widest_width=widest,
        fabric_length=amount.length if amount is not None else None,
        bracket=reading.bracket,
        other_sizes=reading.other_sizes,
        cut_rules=reading.rules(draft),
    )
    understood = read_lines([text for text, _ in lines], facts)
    made: list[tuple[int, str, str]] = []
    for finding in understood.findings:
        words, where = lines[finding.line]
        problems.append(
            Problem(finding.level, finding.message, where, finding.suggestion, finding.readings)
        )
        if finding.level is Level.ERROR:
            draft.needs_amount = True
            made.append((finding.line, words, NOT_READ))
    cut_lines = {cut.line for cut in understood.cuts}
    for cut in understood.cuts:
        words, where = lines[cut.line]
        if too_large := _too_large(cut, draft, where):
            problems.append(too_large)
            made.append((cut.line, words, NOT_READ))
            continue
        after = takewhile(lambda at: at not in cut_lines, range(cut.line + 1, len(lines)))
        said = " ".join(lines[at][0] for at in (cut.line, *after))
        draft.pieces.append(piece_of(cut, where, said))
        made.append((cut.line, words, say_understood(draft.pieces[-1], reading.unit)))
    made += [(remark.line, remark.words, "a note") for remark in understood.remarks]
    shown = {line for line, _, _ in made}
    made += [(line, lines[line][0], CUT_ON) for line in understood.cut_on - shown]
    reading.notes.extend(
        Note(where=lines[line][1], words=words, understood=said, role=draft.role)
        for line, words, said in sorted(made, key=lambda one: one[0])
    )


def _widths(draft: FabricDraft, narrow: Form | None) -> tuple[Length, Length]:
    """Return from and up to which length a strip goes across the whole fabric.

    Strips of a fat quarter run its own width, and one with a length has that length: "× 21" is
    no rounded width of it. Common practice, no source.
    """
    if narrow is not None:
        return narrow.nominal_across + 1, narrow.nominal_across
    return draft.whole_widths


def _ready_cut(amount: Amount | None) -> Length | None:
    """Return the width of the strips or squares that a requirement asks for; else None."""
    found = re.fullmatch(r"(?:strip|square)-(\d+(?:[.]\d+)?)", amount.unit if amount else "")
    return Length(found[1]) if found is not None else None


def _too_large(cut: Cut, draft: FabricDraft, where: Location) -> Problem | None:
    sides = (cut.width, cut.length or cut.width)
    longest = cut.width if cut.kind is PieceKind.JOINED else max(sides)
    is_piece = cut.kind is PieceKind.PIECE
    wide_strip = not is_piece and not draft.believes_strip(cut.width)
    both_long = is_piece and min(sides) > LONGEST_BACKING  # no cloth is so wide
    if cut.quantity > MOST_PIECES:
        message = f"{cut.quantity} pieces are too many to be believed"
    elif min(sides) < SMALLEST_PIECE:
        message = f"a size of {say_size(min(sides), Unit.INCH)} in is too small to be believed"
    elif longest > LARGEST_PIECE or wide_strip or both_long:
        shown = cut.width if wide_strip else longest
        message = f"a size of {say_size(shown, Unit.INCH)} in is too large to be believed"
    else:
        return None
    return error(message, where, "Look for a slip of the keyboard.")


def piece_of(cut: Cut, where: Location, text: str) -> Piece:
    """Return a cut as a piece; what is said of it on its line and below may join strips."""
    is_joined = cut.kind is PieceKind.STRIP and says_joined(text)
    told = {field.name: getattr(cut, field.name) for field in fields(Piece)}
    return Piece(**{**told, "where": where, "is_joined": is_joined})


def say_understood(piece: Piece, unit: Unit) -> str:
    """Say what was made of the words for a piece."""
    size = say_size(piece.width, unit)
    if piece.kind is PieceKind.STRIP or piece.length is None:
        return f"{piece.quantity} strips {size} × width of fabric, used whole"
    length = say_size(piece.length, unit)
    if piece.kind is PieceKind.JOINED:
        return f"strips {size} wide, {length} {unit.value} long in all, joined"
    shape = "" if piece.shape.value in ("rectangle", "square") else f", {piece.shape.value}"
    turn = "" if piece.may_turn else f", {piece.direction.value}"
    count = piece.from_each
    each = f", {piece.quantity // count} from each of {count}" if count else ""
    return f"{piece.quantity} × {size} × {length}{shape}{turn}{each}"


def formula_notes(pattern: Pattern, notes: Sequence[Note]) -> Iterator[Note]:
    """Yield, for each piece whose cut size was worked out, how it was.

    A formula stands with the words of its row, as the notes have them.
    """
    words = {(note.where, note.role): note.words for note in notes}
    for fabric in pattern.fabrics:
        for piece in fabric.pieces:
            if piece.formula is None:
                continue
            row = words.get((piece.where, fabric.role))
            told = Note(where=piece.where, words=row or piece.name, understood="", role=fabric.role)
            if row is None:
                yield replace(told, understood=say_understood(piece, pattern.unit))
            yield replace(told, understood=piece.formula)

"""What was understood, next to the words it came from, to be checked off with the pattern in hand.

``kitmaker check`` prints the same lines. Every line of the pattern is there, with its cell:
what was read, what was taken for a note, and what was not read and why.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from enum import StrEnum

from kitmaker.errors import Problem
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import Unit, say_number, say_size
from kitmaker.paper.sheets.page import PageHead, PageRef, ProblemView, make_head, view_problem
from kitmaker.paper.sheets.saying import count_of
from kitmaker.pattern import Amount, Fabric, Note, PatternReading, PieceKind
from kitmaker.plans import KitPlan

NOT_READ = "not read"
A_NOTE = "a note"


class LineKind(StrEnum):
    """What became of a line."""

    READ = "read"
    NOTE = "note"
    UNREAD = "unread"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLine:
    """A line of the pattern and what was made of it, a text for each kind of piece.

    ``confirmed`` says what in the pattern itself agrees with it; "" where nothing does.
    """

    where: str
    words: str
    understood: tuple[str, ...]
    kind: LineKind
    confirmed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadFabric:
    """A fabric and every line that speaks of it.

    Attributes:
        requirement: As written; "" where none is stated.
        requirement_means: What was made of it, a length in inches or centimeters too.
        facts: Form, number of prints and width, in words.
        sums: How many pieces, strips and joined lengths in all, to compare at a glance.
    """

    role: str
    where: str
    requirement: str
    requirement_means: str
    facts: str
    lines: tuple[ReadLine, ...]
    sums: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView:
    """The page.

    Attributes:
        about: Name, size, unit and seam allowance of the pattern.
        problems: Errors first.
        unconfirmed: What only a person can settle: nothing in the pattern confirms it.
        page_lines: Of a draft made from a page, its lines from top to bottom.
        others: Lines that belong to no fabric.
    """

    head: PageHead
    about: str
    problems: tuple[ProblemView, ...]
    unconfirmed: tuple[str, ...]
    fabrics: tuple[ReadFabric, ...]
    others: tuple[ReadLine, ...]
    page_lines: tuple[ReadLine, ...] = ()


def view_reading_page(plan: KitPlan, page: PageRef, reading: PatternReading) -> ReadingView:
    """Return the page of what was read."""
    return ReadingView(
        head=make_head(plan, page),
        about=say_about(reading),
        problems=view_read_problems(reading.problems),
        unconfirmed=_unconfirmed(reading),
        fabrics=view_read_fabrics(reading),
        others=view_other_lines(reading),
    )


def view_read_problems(problems: Iterable[Problem]) -> tuple[ProblemView, ...]:
    """Return problems in words, errors first, each with its sheet and cell."""
    return tuple(
        replace(view_problem(problem), where=problem.location.address if problem.location else "")
        for problem in sorted(problems, key=lambda problem: not problem.is_error)
    )


def _unconfirmed(reading: PatternReading) -> tuple[str, ...]:
    """Say the cells whose pieces nothing in the pattern confirms, fabric by fabric."""
    by_fabric: list[str] = []
    for fabric in reading.pattern.fabrics:
        cells = dict.fromkeys(
            piece.where.address for piece in fabric.pieces if piece.confirmed in (None, "plain")
        )
        if cells:
            by_fabric.append(f"{fabric.role}: {', '.join(cells)}")
    return tuple(by_fabric)


def say_about(reading: PatternReading) -> str:
    """Say how a pattern's figures are to be taken."""
    pattern = reading.pattern
    size = f", size {pattern.size}" if pattern.size else ""
    finished = f", finished {pattern.finished_size}" if pattern.finished_size else ""
    seam = say_size(pattern.seam_allowance, pattern.unit)
    unit = "inches" if pattern.unit is Unit.INCH else "centimeters"
    return (
        f"{pattern.name}{size}{finished} (cut sizes in {unit}, seam allowance {seam} "
        f"{pattern.unit.value}, counts for one kit)"
    )


def view_read_fabrics(reading: PatternReading) -> tuple[ReadFabric, ...]:
    """Return each fabric with the lines that speak of it."""
    unit = reading.pattern.unit
    return tuple(_fabric(fabric, reading.notes, unit) for fabric in reading.pattern.fabrics)


def view_other_lines(reading: PatternReading) -> tuple[ReadLine, ...]:
    """Return the lines that belong to no fabric."""
    roles = {fabric.role for fabric in reading.pattern.fabrics}
    return _lines(note for note in reading.notes if note.role not in roles)


def _fabric(fabric: Fabric, notes: Iterable[Note], unit: Unit) -> ReadFabric:
    facts = []
    if fabric.form:
        facts.append(f"form: {fabric.form}")
    if fabric.prints:
        facts.append(count_of(fabric.prints, "print"))
    if fabric.usable_width is not None:
        facts.append(f"planned for {say_size(fabric.usable_width, unit)} {unit.value} wide")
    return ReadFabric(
        role=fabric.role,
        where=fabric.where.address,
        requirement=fabric.requirement.as_written if fabric.requirement is not None else "",
        requirement_means=_say_amount(fabric.requirement, unit),
        facts=", ".join(facts),
        lines=_lines((note for note in notes if note.role == fabric.role), fabric),
        sums=_sums(fabric),
    )


def _say_amount(amount: Amount | None, unit: Unit) -> str:
    if amount is None:
        return "the pattern states no amount"
    if amount.length is None:
        return _say_counted(amount)
    text = f"{say_number(amount.quantity)} {amount.unit}"
    return f"{text} = {say_size(amount.length, unit)} {unit.value}"


def _say_counted(amount: Amount) -> str:
    """Say a number of forms or panels: ``2 fat quarters``."""
    count, rest = divmod(amount.quantity, 1)
    with suppress(UnknownFormError):
        if not rest:
            return Catalogue().find(amount.unit).count_phrase(int(count))
    return f"{say_number(amount.quantity)} {amount.unit}{'s' if amount.quantity != 1 else ''}"


def _sums(fabric: Fabric) -> str:
    counts = {
        kind: sum(piece.quantity for piece in fabric.pieces if piece.kind is kind)
        for kind in PieceKind
    }
    names = {
        PieceKind.PIECE: "piece",
        PieceKind.STRIP: "whole strip",
        PieceKind.JOINED: "joined length",
    }
    parts = [count_of(count, names[kind]) for kind, count in counts.items() if count]
    return f"{', '.join(parts)} in all" if parts else "no pieces are given"


_CONFIRMED = {
    "total": "its total agrees",
    "strips": "its strips agree",
    "amount": "agrees with its amount of fabric",
}
"""How a person is told what confirms a reading; weaker ones stand last."""


def _confirmed(fabric: Fabric | None, where: str) -> str:
    """Say what confirms every piece of a cell; "" where something is left to a person."""
    pieces = (
        [] if fabric is None else [piece for piece in fabric.pieces if piece.where.address == where]
    )
    found = {piece.confirmed or "" for piece in pieces}
    if not pieces or not found <= set(_CONFIRMED):
        return ""
    return ", ".join(words for key, words in _CONFIRMED.items() if key in found)


def _lines(notes: Iterable[Note], fabric: Fabric | None = None) -> tuple[ReadLine, ...]:
    """Gather what was made of one line's words, however many pieces that were."""
    gathered: dict[tuple[str, str], list[str]] = {}
    for note in notes:
        words = " ".join(note.words.split())
        gathered.setdefault((note.where.address, words), []).append(note.understood)
    return tuple(
        ReadLine(
            where=where,
            words=words,
            understood=tuple(dict.fromkeys(understood))
            if NOT_READ in understood
            else (*understood,),
            kind=_kind(understood),
            confirmed=_confirmed(fabric, where) if _kind(understood) is LineKind.READ else "",
        )
        for (where, words), understood in gathered.items()
    )


def _kind(understood: list[str]) -> LineKind:
    if NOT_READ in understood:
        return LineKind.UNREAD
    return LineKind.NOTE if set(understood) == {A_NOTE} else LineKind.READ

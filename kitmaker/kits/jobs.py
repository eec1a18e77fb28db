"""A cutting job: layouts turned into steps, replayed, checked, counted and graded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.cutting.layout import Layout, Placed, Rect
from kitmaker.cutting_jobs import CutLayout, CuttingJob, NeededPiece, Offcut, Step
from kitmaker.errors import OurFaultError
from kitmaker.forms import Form
from kitmaker.kits.first_kit import first_kit
from kitmaker.kits.letters import letters_of
from kitmaker.kits.mixes import demands_of
from kitmaker.kits.yields import Basis
from kitmaker.lengths import Length
from kitmaker.pattern import Piece
from kitmaker.table.checker import Need, Parts, check_job
from kitmaker.table.cloths import ClothLength, one_length
from kitmaker.table.replay import ReplayError, replay
from kitmaker.table.steps import StepWriter, is_folded

_LOOK_ALIKE: Length = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class JobPiece:
    """A piece of a job."""

    key: str  # as in the demands
    # where it belongs
    role: str
    colorway: str
    piece: Piece  # the pattern's piece
    per_kit: int  # what one kit needs
    needed: int  # what the job must give


def make_job(
    pieces: Sequence[JobPiece],
    layouts: Sequence[Layout],
    form: Form,
    basis: Basis,
    source: str,
    spare_length: Length = Fraction(0),
    *,
    forms: Sequence[Form] = (),
    lengths: Sequence[ClothLength] = (),
    prints: int = 1,
) -> CuttingJob:
    """Write, replay and check the cutting of some pieces.

    The source is where the cloth comes from, in words; the spare length, in inches, stays uncut
    at its end. Of a mix ``forms`` are those the layouts are cut from. Strips come off the
    lengths, off one for all where none is named.

    Raises:
        OurFaultError: The steps do not yield the pieces: a fault of ours.
    """
    letters = _letters(pieces, basis)
    each = list(zip(layouts, forms or [form] * len(layouts), strict=True))
    if form.by_length and not lengths:
        lengths = [one_length(layouts, prints)]
    firsts = _first_kit(pieces, layouts, form, basis, prints)
    cut = _write(each, firsts, basis, pieces, letters, source, lengths, prints)
    needs = _needs(pieces, form, basis)
    faults = check_job(cut, needs, basis.shop)
    if faults:
        raise OurFaultError(
            f"a plan for {form.name} did not pass kitmaker's own check ({faults[0]}); nothing "
            "was written"
        )
    made: Counter[str] = Counter()
    for layout in cut:
        for placed in layout.pieces:
            made[placed.key] += layout.copies
    steps = [step for layout in cut for step in layout.steps]
    needed = {need.key: need.count for need in needs}
    widths = {need.key: need.across or form.usable_across for need in needs}
    offcuts = _grade(cut, form, basis, spare_length)
    return CuttingJob(
        pieces=_needed_pieces(pieces, letters, made, needed, widths),
        layouts=cut,
        offcuts=offcuts,
        levels=max((layout.levels for layout in cut), default=0),
        cuts=sum(step.cuts for step in steps),
        settings=sum(step.settings for step in steps),
        stacks=sum(step.stack_count for step in steps),
        minutes=minutes(steps, basis),
        miscuts=_miscuts(pieces, made, needed, cut, form, spare_length),
        prints=prints,
    )


def _letters(pieces: Sequence[JobPiece], basis: Basis) -> dict[str, str]:
    """Return the kit's letters; those of the job alone where it is for no kit."""
    if basis.letters:
        return {piece.key: basis.letters[piece.key] for piece in pieces}
    given = letters_of([piece.piece.name for piece in pieces])
    return dict(zip((piece.key for piece in pieces), given, strict=True))


def minutes(steps: Iterable[Step], basis: Basis) -> Fraction:
    """Return the minutes some steps take at the shop's pace; an estimate."""
    shop = basis.shop
    seconds = 0
    for step in steps:
        seconds += step.cuts * shop.seconds_per_cut + step.settings * shop.seconds_per_setting
        seconds += step.stack_count * shop.seconds_per_pull // 4
    return Fraction(seconds, 60)


def _first_kit(
    pieces: Sequence[JobPiece],
    layouts: Sequence[Layout],
    form: Form,
    basis: Basis,
    prints: int,
) -> tuple[int, ...]:
    """Return how often each layout is cut for the first kit; never where there is but one.

    Of several colorways it is a kit of the first.
    """
    if all(piece.needed == piece.per_kit for piece in pieces):
        return (0,) * len(layouts)
    colorway = next((piece.colorway for piece in pieces if piece.colorway), "")
    own = [
        replace(piece, needed=piece.per_kit) for piece in pieces if piece.colorway in ("", colorway)
    ]
    needs = _needs(own, form, basis)
    return first_kit(layouts, {need.key: need.count for need in needs}, prints)


def _write(
    layouts: Sequence[tuple[Layout, Form]],
    firsts: Sequence[int],
    basis: Basis,
    pieces: Sequence[JobPiece],
    letters: dict[str, str],
    source: str,
    lengths: Sequence[ClothLength],
    prints: int,
) -> tuple[CutLayout, ...]:
    """Turn layouts into steps, in a cutter's order, the first kit's first, and replay them."""
    straight = {
        letters[piece.key]: (piece.piece.across, piece.piece.along)
        for piece in pieces
        if piece.piece.across is not None
    }
    ordered = sorted(
        zip(layouts, firsts, strict=True), key=lambda one: (not one[1], _cutting_order(*one[0]))
    )
    keys = {letter: key for key, letter in letters.items()}
    full = [_needs_full_size(*layout) for layout, _ in ordered]
    steps: list[list[Step]] = [[] for _ in ordered]
    for is_first in (True, False):
        for at, ((layout, form), first) in enumerate(ordered):
            writer = StepWriter(
                basis.shop,
                basis.unit,
                letters,
                first if is_first else layout.copies - first,
                prints,
                is_first=is_first,
                layout_name=f"Layout {at + 1}",
                exact=(
                    form.usable_across == form.nominal_across,
                    form.usable_along == form.nominal_along,
                ),
                before=len(steps[at]),
            )
            if writer.copies and form.by_length:
                writer.write_stretch(layout, lengths)
            elif writer.copies:
                measure_first = full[at] and form.full_size_only_if_measured
                writer.write_sheet(layout, form.name, measure_first=measure_first)
            steps[at] += writer.steps
    cut: list[CutLayout] = []
    for number, ((layout, form), first) in enumerate(ordered, start=1):
        sheet = (layout.sheet.across, layout.sheet.along)
        draft = CutLayout(
            name=f"Layout {number}",
            form_id=form.form_id,
            source=source,
            sheet=sheet,
            copies=layout.copies,
            first=first,
            folded=is_folded(layout.sheet.across, basis.shop),
            steps=tuple(steps[number - 1]),
            pieces=(),
            offcuts=(),
            levels=layout.sheet.levels + (1 if form.by_length else 0),
            uses_full_size=full[number - 1],
        )
        cut.append(_replayed(draft, keys, straight, by_length=form.by_length))
    return tuple(cut)


def _cutting_order(layout: Layout, form: Form) -> tuple[Length, int]:
    """Lengthwise blocks and wide strips first, strips used whole last; forms as they come."""
    if not form.by_length:
        return (Fraction(0), 0)
    return (-layout.sheet.along, int(layout.sheet.key is not None))


def _needs_full_size(layout: Layout, form: Form) -> bool:
    """Whether a layout leaves no waste across, or (for a form of fixed size) along."""
    placed = layout.sheet.placed()
    if not placed or layout.sheet.key is not None:
        return False
    full_across = max(piece.x + piece.w for piece in placed) == layout.sheet.across
    full_along = max(piece.y + piece.h for piece in placed) == layout.sheet.along
    return full_across or (full_along and not form.by_length)


def _replayed(
    draft: CutLayout,
    keys: dict[str, str],
    straight: dict[str, tuple[Length, Length]],
    *,
    by_length: bool,
) -> CutLayout:
    """Cut a draft again; ``straight`` holds each letter's measures as it lies unturned."""
    try:
        table = replay(
            draft.sheet, draft.copies, draft.steps, by_length=by_length, first=draft.first
        )
    except ReplayError as fault:
        raise OurFaultError(
            f"the steps of a plan cannot be done as written ({fault}); nothing was written"
        ) from None
    pieces = tuple(
        Placed(
            keys[letter],
            at.x,
            at.y,
            at.w,
            at.h,
            turned=letter in straight and (at.w, at.h) != straight[letter],
        )
        for letter, at in table.pieces
    )
    return replace(
        draft,
        pieces=pieces,
        offcuts=tuple(table.offcuts),
        cuts=tuple(table.cuts),
        parts=tuple(table.cut_up),
    )


def _needs(pieces: Sequence[JobPiece], form: Form, basis: Basis) -> list[Need]:
    keyed = [(piece.key, piece.piece, piece.needed) for piece in pieces]
    parts = {
        piece.key: Parts(sewn.parts, sewn.loss, sewn.needed)
        for piece in pieces
        if (sewn := piece.piece.sewn) is not None
    }
    return [
        Need(d.key, d.across, d.along, d.count, d.may_turn, parts.get(d.key))
        for d in demands_of(keyed, form, basis).demands
    ]


def _needed_pieces(
    pieces: Sequence[JobPiece],
    letters: dict[str, str],
    made: Counter[str],
    needed: dict[str, int],
    widths: dict[str, Length],
) -> tuple[NeededPiece, ...]:
    sizes = {
        piece.key: (
            widths[piece.key] if piece.piece.across is None else piece.piece.across,
            piece.piece.along,
        )
        for piece in pieces
    }
    result: list[NeededPiece] = []
    for piece in pieces:
        across, along = sizes[piece.key]
        alike = tuple(
            letters[other.key]
            for other in pieces
            if other.key != piece.key and _look_alike(sizes[piece.key], sizes[other.key])
        )
        result.append(
            NeededPiece(
                letter=letters[piece.key],
                key=piece.key,
                role=piece.role,
                colorway=piece.colorway,
                piece=piece.piece,
                across=across,
                along=along,
                per_kit=piece.per_kit,
                needed=needed[piece.key],
                made=made[piece.key],
                look_alikes=alike,
            )
        )
    return tuple(result)


def _look_alike(one: tuple[Length, Length], other: tuple[Length, Length]) -> bool:
    """Whether two sizes are within a quarter inch of each other and not the same."""
    (a, b), (c, d) = sorted(one), sorted(other)
    return (a, b) != (c, d) and abs(a - c) <= _LOOK_ALIKE and abs(b - d) <= _LOOK_ALIKE


def _grade(
    layouts: Sequence[CutLayout], form: Form, basis: Basis, spare_length: Length
) -> tuple[Offcut, ...]:
    shop = basis.shop
    counted: Counter[tuple[Length, Length]] = Counter()
    for layout in layouts:
        for rect in layout.offcuts:
            counted[rect.w, rect.h] += layout.copies
    if spare_length > 0:
        counted[form.usable_across, spare_length] += 1
    shorter, longer = sorted(shop.smallest_offcut)
    graded: list[Offcut] = []
    for (across, along), count in counted.items():
        low, high = sorted((across, along))
        if form.by_length and across == form.usable_across and along >= shop.smallest_length_back:
            grade = "back on the bolt"
        elif low >= shorter and high >= longer:
            grade = "keep"
        else:
            grade = "scrap"
        graded.append(Offcut(across=across, along=along, count=count, grade=grade))
    graded.sort(key=lambda offcut: (-offcut.across * offcut.along, -offcut.along))
    return tuple(graded)


def _miscuts(
    pieces: Sequence[JobPiece],
    made: Counter[str],
    needed: dict[str, int],
    layouts: Sequence[CutLayout],
    form: Form,
    spare_length: Length,
) -> int:
    """How many more of the largest piece the cloth yields, from spares and offcuts."""
    rectangles = [piece for piece in pieces if piece.piece.across is not None]
    if not rectangles:
        return 0
    largest = max(
        rectangles, key=lambda rectangle: (rectangle.piece.across or 0) * rectangle.piece.along
    )
    across, along = largest.piece.across or Fraction(0), largest.piece.along
    ways = [(across, along)]
    if largest.piece.may_turn:
        ways.append((along, across))
    offcuts = [(rect, layout.copies) for layout in layouts for rect in layout.offcuts]
    if spare_length > 0:
        zero = Fraction(0)
        offcuts.append((Rect(zero, zero, form.usable_across, spare_length), 1))
    extra = made[largest.key] - needed[largest.key]
    for rect, copies in offcuts:
        extra += copies * max(int(rect.w // w) * int(rect.h // h) for w, h in ways)
    return extra

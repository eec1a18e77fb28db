"""A layout as a page shows it: drawing, steps with tick boxes, tally, offcuts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from markupsafe import Markup

from kitmaker.cutting_jobs import CutLayout, CuttingJob, NeededPiece, Offcut, Step
from kitmaker.forms import Catalogue, Form
from kitmaker.lengths import Unit, say_size
from kitmaker.paper.diagrams import PieceName, draw_layout
from kitmaker.paper.sheets.page import say_colorway
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    joined,
    printable,
    say_cross_cut,
    say_cut,
    say_each_print,
    say_of_each,
    say_piece_notes,
    say_piece_size,
    say_sewn,
    say_usable_area,
)
from kitmaker.pattern import Piece

_NUMBER = r"\d[\d½¼¾⅛⅜⅝⅞⅓⅔⁄/.]*"
_NUMBERS = re.compile(f"({_NUMBER})")
_SIZES = re.compile(rf"({_NUMBER}(?: × {_NUMBER})? (?:in|cm)\b)")
_POSITIONS = re.compile(r"(\((?:ruler|mat) at [^)]*\))")
_ONLY_A_SIZE = re.compile(
    rf"(?i)(?:{_NUMBER}[\s\"”″x×]*(?:in(?:ch)?|cm)?[\s\"”″x×-]*)+(?:squares?|rectangles?|strips?)?"
)
_MOST_ROOMY = 6  # layouts; more of them are drawn smaller, several to a page
_FEW_STEPS = 4
_FEW_BOXES = 4  # without words; they stay together with the word before them
_SLIVER = 1  # inches: what is narrower is no piece for the scrap box
_BESIDE_DOWN_TO = Fraction(9, 20)  # along over across from which a drawing leaves room beside it


@dataclass(frozen=True, slots=True)
class Words:
    """A stretch of a step's sentence, and whether it is a size to be set on the ruler."""

    text: str
    is_size: bool


@dataclass(frozen=True, slots=True)
class TickBoxes:
    """Boxes for stacks of one height: what a stack is, and one entry a stack."""

    text: str
    stacks: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many boxes."""
        return len(self.stacks)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One step: its sentence, sizes apart, and boxes, one a stack, or one a run of strips.

    ``last`` is the sentence's last word, where boxes without words stand right behind it.
    """

    number: int
    words: tuple[Words, ...]
    last: tuple[Words, ...]
    boxes: tuple[TickBoxes, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """One kind of piece in a drawing, for the key below it."""

    letter: str
    name: str
    count: str
    size: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutView:
    """One distinct way of cutting: a drawing and its steps.

    Attributes:
        copies: How many are cut so, in words.
        source: Where the cloth comes from, where that differs between layouts; "".
        each: What of the cloth ``makes`` counts for, where there are several: ``Each length``.
        makes: What one copy gives: count, letter, name and size of each kind of piece.
        gives: The same in short: ``20 B and 3 C``.
        beside: Whether the key stands beside the drawing instead of above.
        dense: Whether it is one of many, and set so that several fit a page.
        is_short: Whether its steps are few enough to stay on one page with the drawing, and to
            begin beside it.
        again: Whether it is drawn before, with the numbers of its first steps.
        drawing: SVG; empty where it is drawn before.
    """

    name: str
    copies: str
    source: str
    usable: str
    measure_first: str
    each: str
    makes: tuple[Made, ...]
    gives: str
    beside: bool
    dense: bool
    is_short: bool
    again: bool
    drawing: Markup
    steps: tuple[StepView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyRow:
    """A kind of piece: what is needed and what the layouts make, and what is sewn of it."""

    piece: NeededPiece
    belongs_to: str
    size: str
    notes: str
    look_alikes: str
    sewn: str = ""

    @property
    def spare(self) -> int:
        """How many more are made than needed."""
        return max(0, self.piece.made - self.piece.needed)


def view_layouts(
    job: CuttingJob, form: Form, unit: Unit, catalogue: Catalogue, *, first: bool = False
) -> tuple[LayoutView, ...]:
    """Return the layouts that are cut for the first kit, or those for the others, ready to print.

    Args:
        job: What is cut in one go.
        form: What the fabric is pulled as, with the usable size that applies.
        unit: What sizes are said in.
        catalogue: The shop's forms, for the other forms of a mix.
        first: Which of them; where no kit is cut first, all are the others'.
    """
    names = piece_names(job)
    forms = {**{known.form_id: known for known in catalogue}, form.form_id: form}
    dense = len(job.layouts) > _MOST_ROOMY
    several = len({layout.source for layout in job.layouts}) > 1
    views = (
        _view_layout(
            layout, names, forms.get(layout.form_id, form), unit, job, dense=dense, first=first
        )
        for layout in job.layouts
        if (layout.first if first else layout.copies > layout.first)
    )
    return tuple(view if several else replace(view, source="") for view in views)


def piece_names(job: CuttingJob) -> dict[str, PieceName]:
    """Return letter and name of each kind of piece by its key."""
    return {
        needed.key: PieceName(printable(needed.letter), printable(_beside_its_letter(needed)))
        for needed in job.pieces
    }


def _view_layout(
    layout: CutLayout,
    names: Mapping[str, PieceName],
    form: Form,
    unit: Unit,
    job: CuttingJob,
    *,
    dense: bool,
    first: bool,
) -> LayoutView:
    across, along = layout.sheet
    steps = tuple(step for step in layout.steps if bool(step.first) is first)
    drawn = bool(layout.first) and not first
    beside = dense or along / across >= _BESIDE_DOWN_TO
    one_way = any(needed.piece.is_one_way for needed in job.pieces)
    makes = tuple(_makes(layout, job.pieces, unit))
    measure_first = ""
    if layout.uses_full_size:
        full = say_usable_area(across, along, unit)
        measure_first = f"Measure first: this layout needs the whole {full}."
    return LayoutView(
        name=layout.name,
        copies=_say_copies(layout, form, unit, job.prints, first=first),
        source=layout.source,
        usable="" if form.by_length else say_usable_area(across, along, unit),
        measure_first=measure_first,
        each=f"Each{'' if form.by_length else f' {form.name}'}" if layout.copies > 1 else "",
        makes=makes,
        gives=join_words(f"{made.count.split()[0]} {made.letter}" for made in makes),
        beside=beside,
        dense=dense,
        is_short=len(steps) <= _FEW_STEPS,
        again=drawn,
        drawing=Markup()
        if drawn
        else draw_layout(layout, names, unit, form, narrow=beside, one_way=one_way),
        steps=tuple(_view_step(step) for step in steps),
    )


def _say_copies(layout: CutLayout, form: Form, unit: Unit, prints: int, *, first: bool) -> str:
    """Say how many are cut so: ``2 of the 18 lengths of 9½ in``, ``the other 16 lengths …``."""
    count = layout.first if first else layout.copies - layout.first
    if form.by_length:
        size = f"of {say_size(layout.sheet[1], unit)} {unit.value}{' each' if count > 1 else ''}"
        of, all_of = count_of(count, "length"), count_of(layout.copies, "length")
        copies, whole = f"{of} {size}", f"{all_of} {size}"
    else:
        copies, whole = form.count_phrase(count), form.count_phrase(layout.copies)
    if count < layout.copies:
        copies = f"{count} of the {whole}" if first else f"the other {copies.removeprefix('1 ')}"
    each_print = say_of_each(count, prints)
    return f"{copies}, {each_print}" if each_print else copies


def _makes(layout: CutLayout, pieces: tuple[NeededPiece, ...], unit: Unit) -> Iterable[Made]:
    counts = Counter(placed.key for placed in layout.pieces)
    for needed in pieces:
        if counts[needed.key]:
            yield Made(
                letter=needed.letter,
                name=joined(", ", _beside_its_letter(needed), say_cross_cut(needed.piece, unit)),
                count=f"{counts[needed.key]} of",
                size=say_piece_size(needed, unit),
            )


def _beside_its_letter(needed: NeededPiece) -> str:
    """Return a piece's name without its letter and its size, which stand beside it."""
    name = needed.piece.name
    rest = name.removeprefix(needed.letter)
    name = rest.lstrip(" :.,–-") if rest[:1] in {*" :.,–-", ""} else name
    return "" if _ONLY_A_SIZE.fullmatch(name) else name


def _view_step(step: Step) -> StepView:
    boxes = tuple(_boxes(step))
    words = tuple(_words(step.text))
    parted = len(words)
    if len(boxes) == 1 and not boxes[0].text and boxes[0].count <= _FEW_BOXES:
        words, parted = _part_last(words)
    return StepView(number=step.number, words=words[:parted], last=words[parted:], boxes=boxes)


def _part_last(words: tuple[Words, ...]) -> tuple[tuple[Words, ...], int]:
    """Part the last word of a sentence from the others: ``("... stack ", "them.")``.

    A word that is a size goes with the stop behind it.
    """
    for at in range(len(words) - 1, -1, -1):
        before, gap, last = words[at].text.rpartition(" ")
        if words[at].is_size:
            return words, at
        if gap and (last or at < len(words) - 1):
            parts = (Words(before + gap, False), Words(last, False)) if last else (words[at],)
            return (*words[:at], *parts, *words[at + 1 :]), at + 1
    return words, 0


def _words(sentence: str) -> Iterable[Words]:
    for at, stretch in enumerate(_POSITIONS.split(sentence)):
        sizes = _NUMBERS if at % 2 else _SIZES
        for number, text in enumerate(sizes.split(stretch)):
            if text:
                yield Words(text, bool(number % 2))


def _boxes(step: Step) -> Iterable[TickBoxes]:
    """A box for each stack, or each run of strips off a length; equal ones share their words."""
    counted = step.runs or step.stacks
    if len(counted) == 1:
        yield TickBoxes("", counted)
        return
    before = "strips: " if step.runs else ""
    for height, run in groupby(counted):
        phrase = f"{height} high" if height > 1 else "one alone"
        alike = tuple(run)
        each = "" if len(alike) == 1 else "each "
        yield TickBoxes(f"{before}{each}{height if step.runs else phrase}", alike)
        before = ""


def view_tally(
    pieces: tuple[NeededPiece, ...], unit: Unit, *, with_role: bool, one_kit: bool = False
) -> tuple[TallyRow, ...]:
    """Return the tally: needed against made, in the letters' order.

    Prints are counted in all kits, or in one of them.
    """
    return tuple(
        TallyRow(
            piece=needed,
            belongs_to=_belongs_to(needed) if with_role else "",
            size=say_piece_size(needed, unit),
            notes=joined("; ", *_notes(needed.piece, count, unit)),
            look_alikes=join_words(needed.look_alikes),
            sewn=_sewn(needed, count, unit),
        )
        for needed in pieces
        for count in [needed.per_kit if one_kit else needed.needed]
    )


def _notes(piece: Piece, count: int, unit: Unit) -> Iterable[str]:
    return say_each_print(piece, count), say_cross_cut(piece, unit), say_piece_notes(piece)


def _sewn(needed: NeededPiece, count: int, unit: Unit) -> str:
    text = say_sewn(needed.piece, count, unit)
    return f"{needed.letter}: {text}" if text else ""


def _belongs_to(needed: NeededPiece) -> str:
    return joined(", ", needed.role, say_colorway(needed.colorway))


def view_offcuts(job: CuttingJob, unit: Unit) -> tuple[tuple[str, Offcut], ...]:
    """Return the size of what is left, and what becomes of it, as far as it is worth keeping."""
    kept = (cut for cut in job.offcuts if cut.grade != "scrap")
    return tuple((say_cut(cut.across, cut.along, unit), cut) for cut in kept)


def say_scrap(job: CuttingJob) -> str:
    """Say how much goes into the scrap box; "" when nothing. Slivers are not counted."""
    pieces = sum(
        cut.count
        for cut in job.offcuts
        if cut.grade == "scrap" and min(cut.across, cut.along) >= _SLIVER
    )
    return f"{count_of(pieces, 'smaller piece')} for the scrap box" if pieces else ""

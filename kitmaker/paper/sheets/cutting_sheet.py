"""The staff's cutting sheet: one fabric on the table, from the shelf to the tally."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting_jobs import Action, CuttingJob, NeededPiece, Offcut
from kitmaker.forms import Form
from kitmaker.lengths import Unit, say_usable
from kitmaker.paper.sheets.jobs import TableJob
from kitmaker.paper.sheets.layout_view import (
    LayoutView,
    TallyRow,
    say_scrap,
    view_layouts,
    view_offcuts,
    view_tally,
)
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head, say_colorway
from kitmaker.paper.sheets.pull_list import own_lines, view_pull_lines
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    joined,
    say_each_print,
    say_eased,
    say_minutes,
    say_proof,
    say_table_pull,
    say_usable_of,
)
from kitmaker.paper.sheets.swatches import SwatchView, pictures_of, view_swatch
from kitmaker.plans import KitPlan

_HALF_WIDTH, _WHOLE_WIDTH = 20, 30  # inches; from these on cloth has one selvage, and both
_SHORT_END = 12  # rows of tally and offcuts that stay together


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSheetView:
    """A cutting sheet.

    Attributes:
        head: Of the page.
        sku, print_name: Of the fabric; "".
        pull: How much to pull, in words.
        proof: Whether less would do for all kits.
        usable: The size that is planned for.
        selvages: Whether what is cut keeps its selvages; "" where there is nothing to say.
        lengths: (length, how much is used, how much goes back), where there are several.
        flaws: Where measured cloth has flaws, each in words.
        measure_first: What to do when the cloth measures less, and which ruler it is cut with.
        step_zero: What is cut for the first kit; "" where there is but one.
        first: The layouts cut for it.
        check: What is checked and laid aside before anything else is cut.
        rest: What is cut then, as a heading; "" where there is nothing more.
        fabrics: (role, for how many kits of which colorways) that it is for.
        layouts: Those cut for the other kits.
        bags: (whose bags, how many pieces go into each).
        tally_caption: For how many kits the tally counts.
        ends_short: Whether tally and what follows it stay together on one page.
        tally_has_roles: Whether the tally says which fabric a piece is for.
        scrap: What goes into the scrap box; "".
        miscuts: Room for a miscut, in words; "".
        facts: Cuts, settings, minutes: (label, value).
        eased: What easier cutting costs in cloth and saves in time; "".
    """

    head: PageHead
    sku: str
    print_name: str
    swatch: SwatchView
    pictures: tuple[tuple[str, str], ...]
    pull: str
    proof: str
    usable: str
    selvages: str
    measure_first: str
    step_zero: str
    first: tuple[LayoutView, ...]
    check: str
    rest: str
    fabrics: tuple[tuple[str, str], ...]
    lengths: tuple[tuple[str, str, str], ...]
    flaws: tuple[str, ...]
    tally_caption: str
    layouts: tuple[LayoutView, ...]
    bags: tuple[tuple[str, str], ...]
    tally: tuple[TallyRow, ...]
    ends_short: bool
    tally_has_roles: bool
    offcuts: tuple[tuple[str, Offcut], ...]
    scrap: str
    miscuts: str
    facts: tuple[tuple[str, str], ...]
    eased: str


def view_cutting_sheet(plan: KitPlan, page: PageRef) -> CuttingSheetView:
    """Return the cutting sheet of the fabrics that lie on the table together."""
    (table,) = page.jobs
    unit = plan.pattern.unit
    form, job = table.form, table.job
    has_roles = job is not None and len({(piece.role, piece.colorway) for piece in job.pieces}) > 1
    swatch = view_swatch(plan, table.first, "sheet")
    layouts = [
        view_layouts(job, form, unit, plan.shop.catalogue, first=first) if job else ()
        for first in (True, False)
    ]
    return CuttingSheetView(
        head=make_head(plan, page),
        sku=table.first.sku,
        print_name=table.first.print_name,
        swatch=swatch,
        pictures=pictures_of(plan, [swatch]),
        pull=say_table_pull(table.fabrics),
        proof=f"for all kits: {_say_need(table, unit)}",
        usable=say_usable_of(form, unit),
        selvages=_say_selvages(job, form) if job else "",
        measure_first=_say_measure_first(form, unit),
        step_zero=_say_step_zero(job) if job else "",
        first=layouts[0],
        check=_say_check(table, job) if job else "",
        rest=_say_rest(table) if layouts[0] and layouts[1] else "",
        fabrics=_blocks(table),
        lengths=view_lengths_used(plan, table),
        flaws=tuple(flaw for line in own_lines(plan, table.first.sku) for flaw in line.flaws),
        tally_caption=f"Pieces for {_say_kits(table)}",
        layouts=layouts[1],
        bags=tuple(_bags(table, job)) if job else (),
        tally=view_tally(job.pieces, unit, with_role=has_roles) if job else (),
        ends_short=job is not None and len(job.pieces) + len(job.offcuts) <= _SHORT_END,
        tally_has_roles=has_roles,
        offcuts=view_offcuts(job, unit) if job else (),
        scrap=say_scrap(job) if job else "",
        miscuts=say_miscuts(job) if job else "",
        facts=_facts(job) if job else (),
        eased=_say_eased(job, plan) if job else "",
    )


def _say_measure_first(form: Form, unit: Unit) -> str:
    """Say what to do when the cloth measures less, and with which ruler it is cut."""
    if form.by_length:
        width = f"{say_usable(form.usable_across, unit)} {unit.value}"
        text = (
            f"Measure first. If the cloth gives less than {width} across without its selvages, "
            "stop and plan again with what was measured."
        )
    else:
        text = "Measure first. Put aside any that is smaller, and plan again with its measures."
    metric = " Cut with a ruler and a mat that have centimeter lines."
    return text + metric if unit is Unit.CENTIMETER else text


def view_lengths_used(plan: KitPlan, table: TableJob) -> tuple[tuple[str, str, str], ...]:
    """Return each length, how much of it is used, and how much goes back; () where all is one.

    The shelf's cloth comes in pieces, and no cut runs from one piece to the next. Of cloth still
    to come it is not known.
    """
    if table.job is None:
        return ()
    steps = (step for layout in table.job.layouts for step in layout.steps)
    named = dict.fromkeys(step.cloth for step in steps if step.cloth and step.runs)
    takes = {
        piece.cloth: (stock.take, stock.left)
        for line, view in zip(plan.pull, view_pull_lines(plan), strict=True)
        if line.sku == table.first.sku
        for piece, stock in zip(line.pieces, view.stock, strict=True)
    }
    return tuple((cloth[0].upper() + cloth[1:], *takes.get(cloth, ("", ""))) for cloth in named)


def _say_step_zero(job: CuttingJob) -> str:
    """Say which layouts give one kit; "" where there is but one."""
    first = join_words(f"{layout.first} of {layout.name}" for layout in job.layouts if layout.first)
    if not first:
        return ""
    made = _made_first(job)
    kits = min(
        made[piece.key] // piece.per_kit
        for piece in job.pieces
        if piece.per_kit and made[piece.key]
    )
    if kits > 1:
        return (
            f"{first} gives {kits} kits at once: measure the first pieces of each step before you "
            "go on."
        )
    return f"Cut ONE kit first: {first}. Check it before any more is cut."


def _say_need(table: TableJob, unit: Unit) -> str:
    """Say whether less would do; of a length that may not be the shortest, that all is needed."""
    total, form = table.first.total, table.form
    if form.by_length and not total.proven and not total.estimated:
        return "less will not do for this plan"
    return say_proof(total, form, unit)


def _made_first(job: CuttingJob) -> Counter[str]:
    made: Counter[str] = Counter()
    for layout in job.layouts:
        for placed in layout.pieces:
            made[placed.key] += layout.first
    return made


def _say_check(table: TableJob, job: CuttingJob) -> str:
    """Say what of the pieces just cut is one kit, and what is left for the others."""
    made = _made_first(job)
    check = "Check every piece against the pattern and initial here."
    for colorway in _kits_by_colorway(table):
        own = _own_pieces(table, job, colorway)
        if any(made[needed.key] < needed.per_kit for needed in own):
            continue
        kept = {needed.key: needed.per_kit for needed in own}
        over = [(made[piece.key] - kept.get(piece.key, 0), piece.letter) for piece in job.pieces]
        more = join_words(f"{count} {letter}" for count, letter in over if count > 0)
        left = f" Put {more} with the pieces for the other kits." if more else ""
        whose = f" of colorway {colorway}" if colorway else ""
        return f"{check} Lay the first kit{whose} aside: {_say_pieces(own)}.{left}"
    return check


def _own_pieces(table: TableJob, job: CuttingJob, colorway: str) -> list[NeededPiece]:
    """Return the pieces that go into a colorway's bags: those of the roles it has here."""
    roles = {fabric.role for fabric in table.fabrics if fabric.colorway == colorway}
    return [
        piece for piece in job.pieces if piece.colorway in ("", colorway) and piece.role in roles
    ]


def _say_pieces(pieces: Sequence[NeededPiece]) -> str:
    """Say what one kit has of each, and how many of each print: ``24 A, 4 of each of 6 prints``."""
    texts = [
        (f"{piece.per_kit} {piece.letter}", say_each_print(piece.piece, piece.per_kit))
        for piece in pieces
        if piece.per_kit
    ]
    if not any(each for _, each in texts):
        return join_words(text for text, _ in texts)
    return "; ".join(joined(", ", text, each) for text, each in texts)


def _say_rest(table: TableJob) -> str:
    others = sum(_kits_by_colorway(table).values()) - 1
    return f"Then the rest, for the other {count_of(others, 'kit')}"


def _say_selvages(job: CuttingJob, form: Form) -> str:
    """Say which strips lose their selvages and which keep them; "" for cloth without any."""
    steps = [
        step
        for layout in job.layouts
        for step in layout.steps
        if form.nominal_across >= _HALF_WIDTH
    ]
    if form.nominal_across < _WHOLE_WIDTH:
        squared = any(step.action is Action.SQUARE_UP and not step.measures for step in steps)
        return "Selvages come off when the cloth is squared up." if squared else ""
    lose = any(step.trims_selvage for step in steps)
    keep = any(
        measure.is_piece
        for step in steps
        if not step.part and (form.by_length or step.action is Action.SQUARE_UP)
        for measure in step.measures
    )
    parts = ["strips that are cut up lose them, as the steps say"] if lose else []
    parts += ["strips used whole keep them"] if keep else []
    return f"Selvages: {'; '.join(parts)}." if parts else ""


def _bags(table: TableJob, job: CuttingJob) -> Iterable[tuple[str, str]]:
    for colorway, kits in _kits_by_colorway(table).items():
        whose = count_of(kits, f"{colorway} bag".strip())
        yield whose, _say_pieces(_own_pieces(table, job, colorway))


def _say_kits(table: TableJob) -> str:
    kits = sum(_kits_by_colorway(table).values())
    return f"all {kits} kits" if kits > 1 else "the one kit"


def _kits_by_colorway(table: TableJob) -> dict[str, int]:
    return {fabric.colorway: fabric.kits for fabric in table.fabrics}


def _blocks(table: TableJob) -> tuple[tuple[str, str], ...]:
    by_role: dict[str, list[str]] = {}
    for fabric in table.fabrics:
        about = [count_of(fabric.kits, "kit"), say_colorway(fabric.colorway)]
        about.append(f"print {fabric.group}" if fabric.group else "")
        by_role.setdefault(fabric.role, []).append(joined(" ", *about))
    return tuple((role, " · ".join(uses)) for role, uses in by_role.items())


def _say_eased(job: CuttingJob, plan: KitPlan) -> str:
    if job.eased is None:
        return ""
    return f"In it for easier cutting: {say_eased(job.eased, plan.pattern.unit, plan.shop)}."


def _facts(job: CuttingJob) -> tuple[tuple[str, str], ...]:
    return (
        ("Ruler settings", str(job.settings)),
        ("Cuts", str(job.cuts)),
        ("Stacks", str(job.stacks)),
        ("Time at the table", f"{say_minutes(Fraction(job.minutes))} (an estimate)"),
    )


def say_miscuts(job: CuttingJob) -> str:
    """Say how many more of the largest piece the cloth yields."""
    if job.miscuts < 1:
        return "No room for a large miscut: cut with care."
    return f"Room for {count_of(job.miscuts, 'miscut')} of the largest piece."

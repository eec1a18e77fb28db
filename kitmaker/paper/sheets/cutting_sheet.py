"""The staff's cutting sheet: one fabric on the table, from the shelf to the tally."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.lengths import Unit, say_usable
from kitmaker.paper.sheets.contents import say_prints_in_bag
from kitmaker.paper.sheets.jobs import TableJob
from kitmaker.paper.sheets.layout_view import (
    LayoutView,
    OffcutRow,
    TallyRow,
    say_scrap,
    view_layouts,
    view_offcuts,
    view_tally,
)
from kitmaker.paper.sheets.lengths_used import LengthUsed, view_lengths_used
from kitmaker.paper.sheets.page import CAUTIONS, PageHead, PageRef, make_head, say_colorway
from kitmaker.paper.sheets.pull_list import say_form_cuts, say_lengths_of
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    say_eased,
    say_minutes,
    say_net,
    say_of_each,
    say_one_fewer,
    say_proof,
    say_usable_of,
)
from kitmaker.plans import CuttingJob, FabricPlan, KitPlan, PullLine
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricUse:
    """One colorway's use of the fabric on the table."""

    about: str
    amount: str
    proof: str
    in_each_bag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricBlock:
    """One role that the fabric on the table fills, in one colorway or several."""

    role: str
    uses: tuple[FabricUse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSheetView:
    """A cutting sheet.

    Attributes:
        head: Of the page.
        is_cut: Whether the shop cuts it; else it is only pulled.
        sku, print_name: Of the fabric; "".
        form: What it is pulled as.
        pull: How much to pull, in words.
        usable: The size that is planned for.
        lengths: What is cut off which length, where there are several.
        flaws: Where measured cloth has flaws, each in words.
        measure_first: What to do when the cloth measures less.
        step_zero: The first kit's check; "" for uncut fabric.
        what_to_do: With uncut fabric; "" for fabric that is cut.
        fabrics: What it is for.
        layouts, tally, offcuts: Empty for uncut fabric.
        tally_caption: For how many kits the tally counts.
        tally_has_roles: Whether the tally says which fabric a piece is for.
        scrap: What goes into the scrap box; "".
        miscuts: Room for a miscut, in words; "".
        facts: Cuts, settings, minutes: (label, value).
        cautions: For the rotary cutter.
    """

    head: PageHead
    is_cut: bool
    sku: str
    print_name: str
    form: str
    pull: str
    usable: str
    measure_first: str
    step_zero: str
    what_to_do: str
    fabrics: tuple[FabricBlock, ...]
    lengths: tuple[LengthUsed, ...]
    flaws: tuple[str, ...]
    tally_caption: str
    layouts: tuple[LayoutView, ...]
    tally: tuple[TallyRow, ...]
    tally_has_roles: bool
    offcuts: tuple[OffcutRow, ...]
    scrap: str
    miscuts: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def view_cutting_sheet(plan: KitPlan, page: PageRef, table: TableJob) -> CuttingSheetView:
    """Return the cutting sheet of the fabrics that lie on the table together."""
    unit = plan.pattern.unit
    form, job = table.form, table.job
    width = say_usable(form.usable_across, unit)
    has_roles = len(table.fabrics) > 1
    return CuttingSheetView(
        head=make_head(plan, page),
        is_cut=table.is_cut,
        sku=table.first.sku,
        print_name=table.first.print_name,
        form=form.name,
        pull=say_pull(table),
        usable=say_usable_of(form, unit),
        measure_first=(
            f"Measure first. If the cloth gives less than {width} {unit.value} across without "
            "its selvages, stop and plan again with what was measured."
            if form.by_length
            else "Measure first. Put aside any that is smaller, and plan again with its measures."
        ),
        step_zero=_say_step_zero(job) if job else "",
        what_to_do="" if table.is_cut else _say_uncut(plan, table),
        fabrics=_blocks(table, unit),
        lengths=view_lengths_used(plan, table),
        flaws=tuple(said for line in _own_lines(plan, table) for said in line.flaws),
        tally_caption=f"Pieces for {_say_kits(table)}",
        layouts=view_layouts(job, form, unit, plan.shop.catalogue) if job else (),
        tally=view_tally(job.pieces, unit, with_role=has_roles) if job else (),
        tally_has_roles=has_roles,
        offcuts=view_offcuts(job, unit) if job else (),
        scrap=say_scrap(job) if job else "",
        miscuts=say_miscuts(job) if job else "",
        facts=_facts(job, plan) if job else (),
        cautions=CAUTIONS,
    )


def _say_step_zero(job: CuttingJob) -> str:
    """Say which layouts give one kit, and what is left to stack and cut after its check."""
    check = "heck every piece against the pattern and initial here"
    if all(needed.needed == needed.per_kit for needed in job.pieces):
        return f"Cut with care. C{check}."
    first = join_words([f"{one.first} of {one.name}" for one in job.layouts if one.first])
    rest = join_words(
        [f"{n} of {one.name}" for one in job.layouts if (n := one.copies - one.first)]
    )
    cut = f"Cut ONE kit first: {first}" if first else "Cut ONE kit first"
    if _kits_in_the_first(job) > 1:
        cut = f"One kit alone cannot be cut here: cut {first} first, which is several"
    then = f", then stack and cut the rest: {rest}" if rest else ""
    return f"{cut}. C{check}{then}."


def _kits_in_the_first(job: CuttingJob) -> int:
    """Return how many kits come out of what is cut first."""
    made: Counter[str] = Counter()
    for layout in job.layouts:
        for placed in layout.pieces:
            made[placed.key] += layout.first
    return min(
        (made[one.key] // one.per_kit for one in job.pieces if one.per_kit and made[one.key]),
        default=0,
    )


def say_pull(table: TableJob) -> str:
    """Say what to pull for everything on the table, and how many of each print."""
    total = table.first.total
    if table.is_cut or len(table.fabrics) == 1:
        job = table.first.job
        each = "" if job is None or table.form.by_length else say_of_each(total.count, job.prints)
        return f"{total.buy}: {each}" if each else total.buy
    if not table.form.by_length and not table.form.mix:
        return table.form.count_phrase(sum(fabric.total.count for fabric in table.fabrics))
    return " and ".join(fabric.total.buy for fabric in table.fabrics)


def _say_kits(table: TableJob) -> str:
    kits = sum({fabric.colorway: fabric.kits for fabric in table.fabrics}.values())
    return f"all {kits} kits" if kits > 1 else "the one kit"


def _say_uncut(plan: KitPlan, table: TableJob) -> str:
    after = "The pattern says how to cut it."
    if any(fabric.job for fabric in table.fabrics):
        after = "The student’s cutting guide shows how every piece comes out of it."
    if not table.form.by_length:
        cut = _cut_off_the_bolt(plan, table)
        if not cut:
            return f"Count out {say_pull(table)}, measure each, and bag them uncut. {after}"
        pieces = [one for line in _own_lines(plan, table) for one in line.pieces]
        how = say_form_cuts(pieces, plan.shop.unit_beside(plan.pattern.unit))
        return (
            f"Of {say_pull(table)} cut {cut} off the bolt: {how}. Measure each, and bag them "
            f"uncut. {after}"
        )
    lengths = join_words(
        [f"{count_of(one.kits, 'length')} of {one.per_kit.buy}" for one in table.fabrics]
    )
    off = _say_off_which(plan, table) or f"{lengths} off the bolt"
    return f"Cut {off}, each in one piece, and bag them uncut. {after}"


def _say_off_which(plan: KitPlan, table: TableJob) -> str:
    """Say which length gives how many of the bags' lengths; "" where all come off one."""
    sizes = {one.per_kit.buy_length for one in table.fabrics if one.per_kit.buy_length}
    unit = plan.shop.unit_beside(plan.pattern.unit)
    pieces = [one for line in _own_lines(plan, table) for one in line.pieces]
    said = [(say_lengths_of(piece, unit, *sizes), piece) for piece in pieces]
    off = [
        f"{lengths} off the {piece.name}{f' (dye lot {piece.dye_lot})' if piece.dye_lot else ''}"
        for lengths, piece in said
        if lengths
    ]
    return join_words(off) if len(off) > 1 else ""


def _cut_off_the_bolt(plan: KitPlan, table: TableJob) -> str:
    """Say how many of the forms are not on the shelf ready-made; "" where all are."""
    asked = table.form.mix or (table.form,)
    return join_words(
        [
            form.count_phrase(count)
            for line in _own_lines(plan, table)
            for form, count in line.cut_forms
            if any(form.form_id == one.form_id for one in asked)
        ]
    )


def _own_lines(plan: KitPlan, table: TableJob) -> list[PullLine]:
    """Return the pull list's line of the cloth on the table; none without a SKU."""
    return [line for line in plan.pull if line.sku and line.sku == table.first.sku]


def _blocks(table: TableJob, unit: Unit) -> tuple[FabricBlock, ...]:
    by_role: dict[str, list[FabricUse]] = {}
    for fabric in table.fabrics:
        by_role.setdefault(fabric.role, []).append(_use(fabric, unit))
    return tuple(FabricBlock(role=role, uses=tuple(uses)) for role, uses in by_role.items())


def _use(fabric: FabricPlan, unit: Unit) -> FabricUse:
    about = [say_colorway(fabric.colorway), f"print {fabric.group}" if fabric.group else ""]
    about.append(count_of(fabric.kits, "kit"))
    proof = say_proof(fabric.per_kit, fabric.form, unit)
    fewer = say_one_fewer(fabric.per_kit, fabric.form, unit)
    one_kit = f"{proof}, but {fewer}" if fewer else proof
    sure = [f"{fabric.per_kit.buy} for one kit alone: {one_kit}"]
    if fabric.bag is Bag.PIECES:
        sure.append(f"{fabric.total.buy} in all: {say_proof(fabric.total, fabric.form, unit)}")
    in_bag = ""
    if fabric.bag is Bag.UNCUT:
        net = say_net(fabric.per_kit, fabric.form, unit)
        in_bag = f"Into each bag, uncut: {net}{say_prints_in_bag(fabric)}."
    return FabricUse(
        about=" · ".join(part for part in about if part),
        amount=fabric.total.buy,
        proof="; ".join(sure),
        in_each_bag=in_bag,
    )


def _facts(job: CuttingJob, plan: KitPlan) -> tuple[tuple[str, str], ...]:
    facts = [
        ("Ruler settings", str(job.settings)),
        ("Cuts", str(job.cuts)),
        ("Stacks", str(job.stacks)),
        ("Time at the table", f"{say_minutes(Fraction(job.minutes))} (an estimate)"),
    ]
    if job.eased is not None:
        facts.append(("Fabric for time", say_eased(job.eased, plan.pattern.unit, plan.shop)))
    return tuple(facts)


def say_miscuts(job: CuttingJob) -> str:
    """Say how many more of the largest piece the cloth yields."""
    if job.miscuts < 1:
        return "No room for a miscut: cut with care."
    return f"Room for {count_of(job.miscuts, 'miscut')} of the largest piece."

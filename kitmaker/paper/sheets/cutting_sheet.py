"""The staff's cutting sheet: one fabric on the table, from the shelf to the tally."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting_jobs import CuttingJob
from kitmaker.lengths import Unit, say_usable
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
from kitmaker.paper.sheets.pull_list import own_lines
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    say_eased,
    say_minutes,
    say_proof,
    say_sureness,
    say_table_pull,
    say_usable_of,
)
from kitmaker.paper.sheets.swatches import Picture, SwatchView, pictures_of, view_swatch
from kitmaker.plans import FabricPlan, KitPlan

_SHORT_END = 12  # rows of tally and offcuts that stay together


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricUse:
    """One colorway's use of the fabric on the table."""

    about: str
    proof: str


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
        sku, print_name: Of the fabric; "".
        pull: How much to pull, in words.
        proof: Whether less would do for all kits.
        usable: The size that is planned for.
        lengths: What is cut off which length, where there are several.
        flaws: Where measured cloth has flaws, each in words.
        measure_first: What to do when the cloth measures less.
        step_zero: The first kit's check; "" for uncut fabric.
        fabrics: What it is for.
        layouts, tally, offcuts: Empty for uncut fabric.
        tally_caption: For how many kits the tally counts.
        ends_short: Whether tally and what follows it stay together on one page.
        tally_has_roles: Whether the tally says which fabric a piece is for.
        scrap: What goes into the scrap box; "".
        miscuts: Room for a miscut, in words; "".
        facts: Cuts, settings, minutes: (label, value).
        cautions: For the rotary cutter.
    """

    head: PageHead
    sku: str
    print_name: str
    swatch: SwatchView
    pictures: tuple[Picture, ...]
    pull: str
    proof: str
    usable: str
    measure_first: str
    step_zero: str
    fabrics: tuple[FabricBlock, ...]
    lengths: tuple[LengthUsed, ...]
    flaws: tuple[str, ...]
    tally_caption: str
    layouts: tuple[LayoutView, ...]
    tally: tuple[TallyRow, ...]
    ends_short: bool
    tally_has_roles: bool
    offcuts: tuple[OffcutRow, ...]
    scrap: str
    miscuts: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def view_cutting_sheet(plan: KitPlan, page: PageRef) -> CuttingSheetView:
    """Return the cutting sheet of the fabrics that lie on the table together."""
    (table,) = page.jobs
    unit = plan.pattern.unit
    form, job = table.form, table.job
    width = say_usable(form.usable_across, unit)
    has_roles = job is not None and len({(one.role, one.colorway) for one in job.pieces}) > 1
    swatch = view_swatch(plan, table.first, "sheet")
    return CuttingSheetView(
        head=make_head(plan, page),
        sku=table.first.sku,
        print_name=table.first.print_name,
        swatch=swatch,
        pictures=pictures_of(plan, [swatch]),
        pull=say_table_pull(table.fabrics),
        proof=f"in all {say_proof(table.first.total, form, unit)}",
        usable=say_usable_of(form, unit),
        measure_first=(
            f"Measure first. If the cloth gives less than {width} {unit.value} across without "
            "its selvages, stop and plan again with what was measured."
            if form.by_length
            else "Measure first. Put aside any that is smaller, and plan again with its measures."
        ),
        step_zero=_say_step_zero(job) if job else "",
        fabrics=_blocks(table, unit),
        lengths=view_lengths_used(plan, table),
        flaws=tuple(said for line in own_lines(plan, table.first.sku) for said in line.flaws),
        tally_caption=f"Pieces for {_say_kits(table)}",
        layouts=view_layouts(job, form, unit, plan.shop.catalogue) if job else (),
        tally=view_tally(job.pieces, unit, with_role=has_roles) if job else (),
        ends_short=job is not None and len(job.pieces) + len(job.offcuts) <= _SHORT_END,
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


def _say_kits(table: TableJob) -> str:
    kits = sum({fabric.colorway: fabric.kits for fabric in table.fabrics}.values())
    return f"all {kits} kits" if kits > 1 else "the one kit"


def _blocks(table: TableJob, unit: Unit) -> tuple[FabricBlock, ...]:
    by_role: dict[str, list[FabricUse]] = {}
    for fabric in table.fabrics:
        by_role.setdefault(fabric.role, []).append(_use(fabric, unit))
    return tuple(FabricBlock(role=role, uses=tuple(uses)) for role, uses in by_role.items())


def _use(fabric: FabricPlan, unit: Unit) -> FabricUse:
    about = [say_colorway(fabric.colorway), f"print {fabric.group}" if fabric.group else ""]
    about.append(count_of(fabric.kits, "kit"))
    return FabricUse(
        about=" · ".join(part for part in about if part),
        proof=f"{fabric.per_kit.buy} for one kit alone: "
        f"{say_sureness(fabric.per_kit, fabric.form, unit)}",
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

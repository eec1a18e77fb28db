"""The student's cutting guide: what is in the bag, and how every piece comes out of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.paper.sheets.contents import (
    BagLine,
    bag_lines,
    own_pieces,
    say_left_out,
    say_prints_in_bag,
)
from kitmaker.paper.sheets.cutting_sheet import say_miscuts
from kitmaker.paper.sheets.kit_numbers import number_kits, say_which
from kitmaker.paper.sheets.layout_view import LayoutView, TallyRow, view_layouts, view_tally
from kitmaker.paper.sheets.page import CAUTIONS, PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import join_words, say_one_fewer, say_proof, say_usable_of
from kitmaker.plans import CutLayout, CuttingJob, FabricPlan, KitPlan
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideFabric:
    """One fabric that the student cuts.

    Attributes:
        role: The fabric.
        about: Colorways it holds for; "" when it holds for every kit.
        in_bag: How much is in the bag.
        usable: The usable size its layouts are planned for.
        proof: How sure the count is.
        has_layouts: Whether the pattern gives its pieces.
        layouts, tally: For one kit.
        miscuts: Room for a miscut.
        precut: Whether it is cloth sold ready cut, which must not be washed.
    """

    role: str
    about: str
    in_bag: str
    usable: str
    proof: str
    has_layouts: bool
    layouts: tuple[LayoutView, ...]
    tally: tuple[TallyRow, ...]
    miscuts: str
    precut: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyCut:
    """A fabric that comes ready cut, with the pieces to count."""

    role: str
    about: str
    pieces: tuple[TallyRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ColorwayBag:
    """What is in the bag of one colorway; which kits, where others were finished before."""

    colorway: str
    kits: str
    lines: tuple[BagLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideView:
    """The student's cutting guide."""

    head: PageHead
    bags: tuple[ColorwayBag, ...]
    whom_to_call: str
    has_precuts: bool
    has_steps: bool
    fabrics: tuple[GuideFabric, ...]
    ready_cut: tuple[ReadyCut, ...]
    left_out: tuple[str, ...]
    cautions: tuple[str, ...]


def view_guide(plan: KitPlan, page: PageRef) -> GuideView:
    """Return the guide; fabrics that are cut alike in several colorways are told once."""
    unit = plan.pattern.unit
    uncut = _merge_alike([fabric for fabric in plan.fabrics if fabric.bag is Bag.UNCUT])
    cut = _merge_alike([fabric for fabric in plan.fabrics if fabric.bag is Bag.PIECES])
    every = len(plan.colorways)
    fabrics = tuple(_fabric(same, unit, every, plan.shop.catalogue) for same in uncut)
    return GuideView(
        head=make_head(plan, page),
        bags=tuple(
            ColorwayBag(
                colorway=colorway.name,
                kits=say_which(plan, kits) if plan.finished_kits or plan.only_kits else "",
                lines=bag_lines(plan, colorway.name),
            )
            for colorway, kits in number_kits(plan)
            if kits
        ),
        whom_to_call=_whom_to_call(plan),
        has_precuts=any(fabric.precut for fabric in fabrics),
        has_steps=any(fabric.has_layouts for fabric in fabrics),
        fabrics=fabrics,
        ready_cut=tuple(_ready_cut(same, unit, every) for same in cut),
        left_out=say_left_out(plan),
        cautions=CAUTIONS,
    )


def _whom_to_call(plan: KitPlan) -> str:
    shop = plan.shop
    name = shop.name or "the shop"
    reach = " or ".join(part for part in (shop.phone, shop.email) if part)
    return f"{name}, {reach}" if reach else name


def _merge_alike(fabrics: list[FabricPlan]) -> list[list[FabricPlan]]:
    """Put a role's colorways together where bag and cutting are the same in each."""
    groups: list[list[FabricPlan]] = []
    for fabric in fabrics:
        for group in groups:
            first = group[0]
            if _alike(fabric) == _alike(first) and fabric.colorway != first.colorway:
                group.append(fabric)
                break
        else:
            groups.append([fabric])
    return groups


def _alike(fabric: FabricPlan) -> tuple[object, ...]:
    job = fabric.job
    if fabric.bag is Bag.PIECES:
        return fabric.role, fabric.group, tuple(_bare(fabric, letters=False))
    layouts = () if job is None else tuple(_unkeyed(layout, job) for layout in job.layouts)
    bare = replace(fabric.form, cost=None, price=None)
    return fabric.role, fabric.group, bare, fabric.per_kit, layouts, tuple(_bare(fabric))


def _unkeyed(layout: CutLayout, job: CuttingJob) -> CutLayout:
    """Return a layout without what differs by colorway: keys become letters, no source."""
    letters = {needed.key: needed.letter for needed in job.pieces}
    pieces = tuple(replace(placed, key=letters[placed.key]) for placed in layout.pieces)
    return replace(layout, pieces=pieces, source="")


def _bare(fabric: FabricPlan, *, letters: bool = True) -> list[tuple[object, ...]]:
    return [
        (needed.letter if letters else "", needed.piece, needed.per_kit, needed.across)
        for needed in own_pieces(fabric)
    ]


def _about(same: list[FabricPlan], every: int) -> str:
    parts = []
    if same[0].group:
        parts.append(f"print {same[0].group}")
    if same[0].colorway and len({fabric.colorway for fabric in same}) < every:
        names = join_words([fabric.colorway for fabric in same])
        parts.append(f"colorway {names}")
    return " · ".join(parts)


def _fabric(same: list[FabricPlan], unit: Unit, every: int, catalogue: Catalogue) -> GuideFabric:
    first = same[0]
    job = first.job
    if job is not None:  # in the guide all cloth comes from the bag
        job = replace(job, layouts=tuple(replace(one, source="") for one in job.layouts))
    form = first.form
    proof = say_proof(first.per_kit, form, unit)
    fewer = say_one_fewer(first.per_kit, form, unit)
    return GuideFabric(
        role=first.role,
        about=_about(same, every),
        in_bag=f"{first.per_kit.buy}{say_prints_in_bag(first)}",
        usable=say_usable_of(form, unit),
        proof=f"{proof}; {fewer}" if fewer else proof,
        has_layouts=job is not None,
        layouts=view_layouts(job, form, unit, catalogue) if job else (),
        tally=view_tally(job.pieces, unit, with_role=False) if job else (),
        miscuts=say_miscuts(job) if job else "",
        precut=form.full_size_only_if_measured or form.form_id.startswith("strip-"),
    )


def _ready_cut(same: list[FabricPlan], unit: Unit, every: int) -> ReadyCut:
    first = same[0]
    return ReadyCut(
        role=first.role,
        about=_about(same, every),
        pieces=view_tally(own_pieces(first), unit, with_role=False, one_kit=True),
    )

"""The student's cutting guide of a colorway: what is in the bag, how all pieces come out of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import (
    join_words,
    joined,
    say_stock,
    say_sureness,
    say_times,
    say_usable_of,
)
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideFabric:
    """One fabric that the student cuts.

    Attributes:
        stock: Its number and print; "".
        usable: The usable size it is planned for, where its layouts do not say it; "".
        proof: How sure the count is.
        has_layouts: Whether the pattern gives its pieces.
        half: Whether it is the ``left`` or the ``right`` one of two side by side; "".
    """

    name: str
    stock: str
    in_bag: str
    usable: str
    proof: str
    has_layouts: bool
    layouts: tuple[LayoutView, ...]
    miscuts: str
    half: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideView:
    """The student's cutting guide.

    Attributes:
        kits: Which kits it is for, where others of the colorway were finished before; "".
        copies: How often it is printed, in words.
        has_precuts: Whether cloth is in it that is sold ready cut, and must not be washed.
        one_way: The fabrics whose print runs one way; "".
        has_steps: Whether it shows how to cut.
        tally: (how they come, the pieces) of the kit, those that the shop has cut first.
    """

    head: PageHead
    kits: str
    copies: str
    bag: tuple[BagLine, ...]
    left_out: tuple[str, ...]
    whom_to_call: str
    has_precuts: bool
    one_way: str
    has_steps: bool
    fabrics: tuple[GuideFabric, ...]
    tally: tuple[tuple[str, tuple[TallyRow, ...]], ...]


def view_guide(plan: KitPlan, page: PageRef) -> GuideView:
    """Return the guide of a colorway's kits."""
    unit = plan.pattern.unit
    own = [fabric for fabric in plan.fabrics if fabric.colorway == page.colorway]
    uncut = [fabric for fabric in own if fabric.bag is Bag.UNCUT]
    fabrics = _in_pairs([_fabric(fabric, unit, plan.shop.catalogue) for fabric in uncut])
    kits = next(kits for way, kits in number_kits(plan) if way.name == page.colorway)
    return GuideView(
        head=make_head(plan, page),
        kits=say_which(plan, kits) if plan.finished_kits or plan.only_kits else "",
        copies=f"Print this guide {say_times(len(kits))}, one for each bag",
        bag=bag_lines(plan, page.colorway),
        left_out=say_left_out(plan),
        whom_to_call=_whom_to_call(plan),
        has_precuts=any(_is_precut(fabric) for fabric in uncut),
        one_way=join_words(fabric.name for fabric in uncut if _is_one_way(fabric)),
        has_steps=any(fabric.has_layouts for fabric in fabrics),
        fabrics=fabrics,
        tally=tuple(_tally(own, unit)),
    )


def _is_precut(fabric: FabricPlan) -> bool:
    form = fabric.form
    return form.full_size_only_if_measured or form.form_id.startswith("strip-")


def _is_one_way(fabric: FabricPlan) -> bool:
    return any(needed.piece.is_one_way for needed in own_pieces(fabric))


def _whom_to_call(plan: KitPlan) -> str:
    shop = plan.shop
    name = shop.name or "the shop"
    reach = joined(" or ", shop.phone, shop.email)
    return f"{name}, {reach}" if reach else name


def _fabric(fabric: FabricPlan, unit: Unit, catalogue: Catalogue) -> GuideFabric:
    job = fabric.job
    if job is not None:  # in the guide all cloth comes from the bag
        job = replace(job, layouts=tuple(replace(layout, source="") for layout in job.layouts))
    form = fabric.form
    return GuideFabric(
        name=fabric.name,
        stock=say_stock(fabric.sku, fabric.print_name),
        in_bag=f"{fabric.per_kit.buy}{say_prints_in_bag(fabric)}",
        usable=say_usable_of(form, unit) if form.mix or job is None else "",
        proof=say_sureness(fabric.per_kit, form, unit),
        has_layouts=job is not None,
        layouts=_name_layouts(fabric.name, view_layouts(job, form, unit, catalogue)) if job else (),
        miscuts=say_miscuts(job) if job else "",
    )


def _name_layouts(fabric: str, views: tuple[LayoutView, ...]) -> tuple[LayoutView, ...]:
    """Name the fabric at each layout but the first, which may begin a page."""
    return (*views[:1], *(replace(view, name=f"{fabric}, {view.name}") for view in views[1:]))


def _in_pairs(fabrics: list[GuideFabric]) -> tuple[GuideFabric, ...]:
    """Set two fabrics side by side where each has one small drawing."""
    at = 0
    while at + 1 < len(fabrics):
        two = fabrics[at : at + 2]
        if all(len(fabric.layouts) == 1 and fabric.layouts[0].beside for fabric in two):
            fabrics[at : at + 2] = [
                replace(fabric, half=half)
                for half, fabric in zip(("left", "right"), two, strict=True)
            ]
            at += 1
        at += 1
    return tuple(fabrics)


def _tally(fabrics: Sequence[FabricPlan], unit: Unit) -> Iterator[tuple[str, tuple[TallyRow, ...]]]:
    """Yield the pieces of one kit: those in the bag, those that are cut from what is in it."""
    for name, bag in (("Already cut for you", Bag.PIECES), ("You cut", Bag.UNCUT)):
        rows: list[TallyRow] = []
        for fabric in fabrics:
            if fabric.bag is bag:
                own = own_pieces(fabric)
                if bag is Bag.PIECES:
                    own = tuple(replace(cut, needed=cut.per_kit, made=cut.per_kit) for cut in own)
                pieces = view_tally(own, unit, with_role=False, one_kit=True)
                rows += (replace(row, belongs_to=fabric.name) for row in pieces)
        if rows:
            yield name, tuple(rows)

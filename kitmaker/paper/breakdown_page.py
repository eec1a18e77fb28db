"""The cutting sheet of a breakdown: what you get, and how each piece of fabric is cut."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.lengths import say_usable
from kitmaker.paper.sheets.layout_view import (
    LayoutView,
    TallyRow,
    view_layouts,
    view_tally,
)
from kitmaker.paper.sheets.page import PageHead
from kitmaker.paper.templating import make_environment
from kitmaker.plans import Breakdown, BrokenDown
from kitmaker.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothView:
    """One kind of cloth: its name and size, and how it is cut; nothing when it stays whole."""

    name: str
    size: str
    count: str
    layouts: tuple[LayoutView, ...]
    tally: tuple[TallyRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakdownView:
    """The whole sheet; ``counts`` are (size, how many)."""

    head: PageHead
    counts: tuple[tuple[str, str], ...]
    worth: str
    cloths: tuple[ClothView, ...]


def render_breakdown(found: Breakdown, shop: Shop, number: str, worth: str) -> str:
    """Return the page of a breakdown as HTML; ``worth`` says what all is worth."""
    heading = "Fabric on hand, cut into small sizes"
    pieces = sum(cloth.cloth.count for cloth in found.cloths)
    head = PageHead(
        heading=heading,
        title=f"Cutting sheet – {heading} – plan {number}",
        plan_number=number,
        shop_name=shop.name,
        pattern="Breakdown",
        kits=f"{pieces} piece{'s' if pieces != 1 else ''} of fabric",
        short="Cutting sheet",
    )
    view = BreakdownView(
        head=head,
        counts=tuple((size, str(count)) for size, count in found.counts),
        worth=worth,
        cloths=tuple(_cloth(cloth, shop) for cloth in found.cloths),
    )
    return make_environment().get_template("breakdown.html.j2").render(page=view)


def _cloth(broken_down: BrokenDown, shop: Shop) -> ClothView:
    cloth, job, unit = broken_down.cloth, broken_down.job, shop.unit
    across, along = say_usable(cloth.across, unit), say_usable(cloth.along, unit)
    return ClothView(
        name=cloth.name,
        size=f"{across} × {along} {unit.value}",
        count=str(cloth.count),
        layouts=view_layouts(job, cloth.form, unit, shop.catalogue) if job else (),
        tally=view_tally(job.pieces, unit, with_role=False) if job else (),
    )

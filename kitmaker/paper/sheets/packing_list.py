"""The packing list: what goes in each bag, with a box to check for each kit."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.paper.sheets.contents import BagLine, bag_lines, say_left_out
from kitmaker.paper.sheets.kit_numbers import number_kits, say_which
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import count_of
from kitmaker.plans import KitPlan

_KITS_IN_A_TABLE = 8
_ROOMY = 16  # things in a bag; more of them are set a line each


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingTable:
    """Some kits of one colorway, side by side; a long one is set smaller."""

    caption: str
    kits: tuple[int, ...]
    lines: tuple[BagLine, ...]
    is_long: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingColorway:
    """The kits of one colorway."""

    heading: str
    kits: str
    tables: tuple[PackingTable, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingView:
    """The packing list."""

    head: PageHead
    colorways: tuple[PackingColorway, ...]
    left_out: tuple[str, ...]
    label_note: str


def view_packing_list(plan: KitPlan, page: PageRef) -> PackingView:
    """Return the packing list, colorway by colorway."""
    colorways = []
    for colorway, kits in number_kits(plan):
        if not kits:
            continue
        lines = bag_lines(plan, colorway.name)
        chunks = [kits[at : at + _KITS_IN_A_TABLE] for at in range(0, len(kits), _KITS_IN_A_TABLE)]
        colorways.append(
            PackingColorway(
                heading=f"Colorway {colorway.name}" if colorway.name else "Every kit",
                kits=count_of(len(kits), "kit"),
                tables=tuple(
                    PackingTable(
                        caption=say_which(plan, chunk),
                        kits=chunk,
                        lines=lines,
                        is_long=len(lines) > _ROOMY,
                    )
                    for chunk in chunks
                ),
            )
        )
    return PackingView(
        head=make_head(plan, page),
        colorways=tuple(colorways),
        left_out=say_left_out(plan),
        label_note="Put the student’s cutting guide and the piece labels in each bag.",
    )

"""Kit cards, half a page each, one for each bag: whose class, which kit, what is in it."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.lengths import say_size
from kitmaker.paper.sheets.contents import BagLine, bag_lines, say_left_out
from kitmaker.paper.sheets.kit_numbers import number_kits
from kitmaker.paper.sheets.page import PageHead, PageRef, finished_size_of, make_head
from kitmaker.paper.sheets.saying import join_words, joined, say_date
from kitmaker.paper.sheets.swatches import (
    SwatchView,
    pictures_of,
    say_letters,
    view_swatch,
)
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.shop import Bag

_ROOMY = 8  # lines of contents; more of them are set smaller
_THE_PATTERN = "the pattern"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitCard:
    """One bag's card: ``Kit 4 of 12``; each line with the letters of the pieces it becomes."""

    number: str
    colorway: str
    swatches: tuple[SwatchView, ...]
    lines: tuple[tuple[str, BagLine], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitCardsView:
    """All cards, in the kits' order; ``is_full`` where a bag's contents are set smaller."""

    head: PageHead
    pattern: str
    size: str
    date: str
    class_about: str
    cards: tuple[KitCard, ...]
    pictures: tuple[tuple[str, str], ...]
    is_full: bool
    bring: str
    left_out: str


def view_kit_cards(plan: KitPlan, page: PageRef) -> KitCardsView:
    """Return the cards of all kits."""
    cards: list[KitCard] = []
    for colorway, kits in number_kits(plan):
        own = [fabric for fabric in plan.fabrics if fabric.colorway == colorway.name]
        swatches = _swatches(plan, own)
        letters = [say_letters([fabric]) for fabric in own]
        inside = bag_lines(plan, colorway.name)  # fabrics first, then what has no pieces
        letters += [""] * (len(inside) - len(letters))
        lines = tuple(zip(letters, inside, strict=True))
        cards += [
            KitCard(
                number=f"Kit {kit} of {plan.class_kits}",
                colorway=colorway.name,
                swatches=swatches,
                lines=lines,
            )
            for kit in kits
        ]
    sheet, pattern = plan.class_sheet, plan.pattern
    teacher = f"with {sheet.teacher}" if sheet.teacher else ""
    return KitCardsView(
        head=make_head(plan, page),
        pattern=pattern.name,
        size=joined(", ", pattern.size, finished_size_of(pattern)),
        date=say_date(sheet.date),
        class_about=joined(" · ", sheet.title, teacher),
        cards=tuple(cards),
        pictures=pictures_of(plan, (swatch for card in cards for swatch in card.swatches)),
        is_full=any(len(card.lines) > _ROOMY for card in cards),
        bring=_say_bring(plan),
        left_out="; ".join(out for out in say_left_out(plan) if out != _THE_PATTERN) or "–",
    )


def _swatches(plan: KitPlan, fabrics: list[FabricPlan]) -> tuple[SwatchView, ...]:
    """Return a swatch for each fabric, those of one stock number together."""
    by_sku: dict[str, list[FabricPlan]] = {}
    for fabric in fabrics:
        by_sku.setdefault(fabric.sku or f"\0{fabric.name}", []).append(fabric)
    return tuple(
        view_swatch(plan, same[0], "card", say_letters(same) or same[0].sku or same[0].name)
        for same in by_sku.values()
    )


def _say_bring(plan: KitPlan) -> str:
    """Say what the class's workbook asks for; else what pattern and cutting need."""
    if plan.class_sheet.bring:
        return plan.class_sheet.bring
    asked = ["your pattern"] if _THE_PATTERN in say_left_out(plan) else []
    if any(fabric.bag is Bag.UNCUT for fabric in plan.fabrics):
        unit = plan.pattern.unit
        ruler = f"{say_size(plan.shop.ruler_length, unit)} {unit.value}"
        asked += ["a rotary cutter", "a mat", f"a {ruler} ruler"]
    return join_words([*asked, "what you sew with"])

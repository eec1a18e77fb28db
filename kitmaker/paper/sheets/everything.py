"""Every page but the labels in one, in the order of printing: one print job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kitmaker.paper.sheets.kit_numbers import number_kits
from kitmaker.paper.sheets.page import EVERYTHING, GUIDE, PageHead, PageRef, make_head, style_text
from kitmaker.paper.sheets.saying import say_times
from kitmaker.plans import KitPlan


@dataclass(frozen=True, slots=True)
class EverythingPart:
    """One page in it: its heading, how often it is printed, its name in the style sheet."""

    heading: str
    copies: str
    part: str
    foot_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EverythingView:
    """All of it; ``about`` says what it leaves to do."""

    head: PageHead
    about: str
    parts: tuple[EverythingPart, ...]
    sheets: tuple[Markup, ...]


def view_everything(
    plan: KitPlan, pages: Sequence[PageRef], made: Mapping[str, Markup]
) -> EverythingView:
    """Return the page that holds the others, those made ready to print by their files."""
    kits = {colorway.name: len(numbers) for colorway, numbers in number_kits(plan)}
    own = next(page for page in pages if page.file_name == EVERYTHING)
    return EverythingView(
        head=make_head(plan, own),
        about="Labels go on sheets of their own, so print their files by themselves. A guide is "
        "here once; every bag gets one.",
        parts=tuple(
            EverythingPart(
                heading=page.heading,
                copies=f"print {say_times(kits[page.colorway])}" if page.kind == GUIDE else "",
                part=f"part-{page.number}",
                foot_name=style_text(page.heading),
            )
            for page in pages
            if page.file_name in made
        ),
        sheets=tuple(made[page.file_name] for page in pages if page.file_name in made),
    )

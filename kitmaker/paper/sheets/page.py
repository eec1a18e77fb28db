"""What all pages have in common: names of the files, titles, head and foot."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from kitmaker.paper.sheets.in_force import say_in_force
from kitmaker.paper.sheets.jobs import TableJob, on_one_table
from kitmaker.paper.sheets.saying import join_words, printable, say_kits
from kitmaker.plan import KitPlan
from kitmaker.shop import Colorway

INDEX = "index.html"
GUIDE = "students-cutting-guide.html"
BAG_LABELS = "bag-labels.html"
PIECE_LABELS = "piece-labels.html"
PACKING_LIST = "packing-list.html"
PULL_LIST = "pull-list.html"
READING = "reading.html"

CAUTIONS = (
    "Close the blade after every cut, before you put the cutter down.",
    "Cut away from your body, never toward it, standing, with shoes on.",
    "Keep fingers back from the ruler's edge, and press the ruler down as you cut.",
    "Change a dull or nicked blade; tape old blades before they go in the bin.",
    "Keep cutter and blades away from children, and cords and cups off the mat.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRef:
    """One page of the plan.

    Attributes:
        file_name: In the plan's folder; letters, digits and hyphens only.
        kind: What it is, such as ``Cutting sheet``.
        heading: What stands on top of it.
        title: Of the browser's tab; no two pages share one.
        about: One line for the index.
        number, count: It is page ``number`` of ``count`` in the folder.
        job: The fabrics of a cutting sheet; None elsewhere.
        index_file: Where its way back leads; "" on the index, and where no index is made.
    """

    file_name: str
    kind: str
    heading: str
    title: str
    about: str
    number: int
    count: int
    job: TableJob | None = None
    index_file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageHead:
    """Head and foot of a page, in words.

    Attributes:
        kind, heading, title: As in :class:`PageRef`.
        plan_number: As said to people.
        foot_number: The same, safe inside a style sheet.
        page_text: ``Page 3 of 9``.
        shop_name: "" when the shop states none.
        shop_contact: Address, phone and so on in one line; "".
        pattern: Name and size.
        kits: How many, in words.
        class_line: Title, date and teacher; "".
        in_force: The choices in force in one line; "" where there are none.
        foot_in_force: The same, written so that a style sheet reads nothing but text.
        not_complete: What is left out, in words; empty for a whole plan.
        index_file: Where the way back leads; "" on the index, and where there is none.
    """

    kind: str
    heading: str
    title: str
    plan_number: str
    foot_number: str
    page_text: str
    shop_name: str
    shop_contact: str
    pattern: str
    kits: str
    class_line: str
    in_force: str
    foot_in_force: str
    not_complete: tuple[str, ...]
    index_file: str


@dataclass(frozen=True, slots=True)
class _Draft:
    file_name: str
    kind: str
    heading: str
    about: str
    job: TableJob | None = None


def list_pages(plan: KitPlan, *, with_reading: bool = False) -> tuple[PageRef, ...]:
    """Return every page of a plan in the order in which the day needs them.

    Args:
        plan: The plan.
        with_reading: Whether what was read from the pattern has a page too.
    """
    drafts = [_Draft(INDEX, "Plan", "The whole kit at a glance", "this page")]
    if with_reading:
        about = "the pattern's words and what they were taken for: tick them off first"
        drafts.append(_Draft(READING, "Reading", "What was read", about))
    drafts.append(
        _Draft(PULL_LIST, "Pull list", "Pull list", "what to take from the shelf, bolt by bolt")
    )
    drafts.extend(_cutting_drafts(plan))
    drafts += [
        _Draft(PIECE_LABELS, "Piece labels", "Piece labels", "one for each stack and each form"),
        _Draft(BAG_LABELS, "Bag labels", "Bag labels", "one for each kit, in the kits' order"),
        _Draft(PACKING_LIST, "Packing list", "Packing list", "what goes into which bag"),
        _Draft(
            GUIDE,
            "Student’s cutting guide",
            "Student’s cutting guide",
            "goes into each bag: what is in it and how it is cut",
        ),
    ]
    pattern = printable(plan.pattern.name)
    return tuple(
        PageRef(
            file_name=draft.file_name,
            kind=draft.kind,
            heading=draft.heading,
            title=f"{draft.heading} – {pattern} – plan {printable(plan.number)}",
            about=draft.about,
            number=number,
            count=len(drafts),
            job=draft.job,
            index_file="" if draft.file_name == INDEX else INDEX,
        )
        for number, draft in enumerate(drafts, start=1)
    )


def _cutting_drafts(plan: KitPlan) -> list[_Draft]:
    jobs = on_one_table(plan)
    drafts = []
    for number, job in enumerate(jobs, start=1):
        roles = join_words(list(dict.fromkeys(fabric.role for fabric in job.fabrics)))
        sku = f" ({job.first.sku})" if job.first.sku else ""
        stem = f"cutting-sheet-{number:0{max(2, len(str(len(jobs))))}d}"
        slug = slug_of(f"{roles} {job.first.sku}")
        drafts.append(
            _Draft(
                f"{stem}-{slug}.html" if slug else f"{stem}.html",
                "Cutting sheet",
                f"Cutting sheet {number} of {len(jobs)}: {roles}{sku}",
                "cut into pieces" if job.is_cut else "pulled, bagged uncut",
                job,
            )
        )
    return drafts


def slug_of(text: str, longest: int = 40) -> str:
    """Return a text as a plain file name part: lower case letters, digits, hyphens; or ""."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:longest].strip("-")


def make_head(plan: KitPlan, page: PageRef) -> PageHead:
    """Return head and foot of a page."""
    shop = plan.shop
    sheet = plan.class_sheet
    teacher = f"with {sheet.teacher}" if sheet.teacher else ""
    in_force = say_in_force(plan)
    return PageHead(
        kind=page.kind,
        heading=page.heading,
        title=page.title,
        plan_number=plan.number,
        foot_number=re.sub(r"[^A-Za-z0-9-]", "", plan.number),
        page_text=f"Page {page.number} of {page.count}",
        shop_name=shop.name,
        shop_contact=" · ".join(part for part in (shop.address, shop.phone, shop.email) if part),
        pattern=say_pattern(plan),
        kits=say_kits(plan.kits, plan.spare_kits),
        class_line=" · ".join(part for part in (sheet.title, sheet.date, teacher) if part),
        in_force=in_force,
        foot_in_force=style_text(in_force),
        not_complete=plan.not_complete,
        index_file=page.index_file,
    )


def style_text(text: str) -> str:
    """Return a text for a style sheet's quotes: all but plain letters and digits is escaped.

    No word of a workbook can end the quotes or the style sheet then.
    """
    return "".join(
        char if char.isascii() and char.isalnum() else f"\\{ord(char):06x}" for char in text
    )


def say_pattern(plan: KitPlan) -> str:
    """Say the pattern with its size: ``Harbor Lanterns, throw, 54 × 63 in``."""
    pattern = plan.pattern
    return ", ".join(part for part in (pattern.name, pattern.size, pattern.finished_size) if part)


def say_colorway(name: str) -> str:
    """Say a colorway; "" when there are none."""
    return f"colorway {name}" if name else ""


def number_kits(plan: KitPlan) -> tuple[tuple[Colorway, tuple[int, ...]], ...]:
    """Return each colorway with the numbers of its kits, counted over all colorways."""
    numbered = []
    first = 1
    for colorway in plan.colorways:
        kits = plan.all_kits if colorway.kits is None else colorway.kits
        numbered.append((colorway, tuple(range(first, first + kits))))
        first += kits
    return tuple(numbered)

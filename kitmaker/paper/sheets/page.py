"""What all pages share: names of the files, titles, head and foot."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from kitmaker.errors import Problem
from kitmaker.paper.sheets.jobs import TableJob, on_one_table
from kitmaker.paper.sheets.kit_numbers import number_kits, say_kits_of
from kitmaker.paper.sheets.saying import joined, printable, say_date
from kitmaker.paper.sheets.settings_used import say_settings
from kitmaker.pattern import Pattern
from kitmaker.plans import KitPlan
from kitmaker.shop import Shop

INDEX = "index.html"
EVERYTHING = "everything.html"
CLASS_SHEET = "class-sheet.html"
KIT_CARDS = "kit-cards.html"
BAG_LABELS = "bag-labels.html"
PIECE_LABELS = "piece-labels.html"
PACKING_LIST = "packing-list.html"
PULL_LIST = "pull-list.html"
READING = "reading.html"

GUIDE = "Student’s cutting guide"
SHEET = "Cutting sheet"
BAGGING = "Cutting and bagging sheet"
POSTER = "Table poster"
"""Kinds of page of which there may be several."""


@dataclass(frozen=True, slots=True)
class PageRef:
    """One page of the plan, or a file beside them.

    Attributes:
        file_name: In the plan's folder; letters, digits and hyphens only.
        kind: What it is, such as ``Cutting sheet``.
        heading: What stands on top of it.
        about: One line for the index.
        jobs: The fabrics of a cutting sheet or a poster, one job; of the bagging sheet, all.
        colorway: Whose guide it is; "" elsewhere, and where there are none.
        number, count: It is page ``number`` of ``count`` in the folder.
        index_file: Where its way back leads; "" on the index, and where no index is made.
    """

    file_name: str
    kind: str
    heading: str
    about: str
    jobs: tuple[TableJob, ...] = ()
    colorway: str = ""
    number: int = 0
    count: int = 0
    index_file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageHead:
    """Head and foot of a page, in words.

    Attributes:
        heading, file_name, index_file: As in :class:`PageRef`.
        title: Of the browser's tab; no two pages of a plan share one.
        plan_number: As said to people; "" on a page that belongs to no plan.
        page_text: ``Page 3 of 9``.
        shop_name: "" when the shop states none.
        shop_contact: Address, phone and so on in one line; "".
        pattern: Name and size.
        kits: How many, in words.
        class_line: Title, date and teacher; "".
        settings: The settings used in one line; "" where there are none.
        not_complete: What is left out, in words; empty for a whole plan.
        part: What it is called as a part of the page that holds all; letters, digits, hyphens.
        short: Its name in the foot, where that is not what its heading begins with; "".
    """

    heading: str
    title: str
    plan_number: str = ""
    page_text: str = "Page 1 of 1"
    shop_name: str
    shop_contact: str = ""
    pattern: str
    kits: str
    class_line: str = ""
    settings: str = ""
    not_complete: tuple[str, ...] = ()
    index_file: str = ""
    file_name: str = "index.html"
    part: str = ""
    short: str = ""

    @property
    def foot_number(self) -> str:
        """The plan number, safe inside a style sheet."""
        return re.sub(r"[^A-Za-z0-9-]", "", self.plan_number)

    @property
    def foot_settings(self) -> str:
        """The settings, safe inside a style sheet."""
        return style_text(self.settings)

    @property
    def foot_name(self) -> str:
        """The page's short name, safe inside a style sheet."""
        return style_text(self.short or self.heading.partition(":")[0])


@dataclass(frozen=True, slots=True)
class ProblemView:
    """A problem in words: how serious it is, where, a whole sentence, and what to do."""

    word: str
    where: str
    message: str
    suggestion: str = ""


def view_problem(
    problem: Problem, if_error: str = "Fix this", if_warning: str = "Look at this"
) -> ProblemView:
    """Return a problem in words; the first ones tell how serious it is."""
    return ProblemView(
        if_error if problem.is_error else if_warning,
        str(problem.location) if problem.location else "",
        problem.sentence,
        problem.suggestion,
    )


def list_pages(
    plan: KitPlan, *, with_reading: bool = False, only: Collection[str] | None = None
) -> tuple[PageRef, ...]:
    """Return the pages of a plan in the order in which the day needs them.

    They are numbered without gaps over all that go into one folder.

    Args:
        plan: The plan.
        with_reading: Whether what was read from the pattern has a page too.
        only: The kinds of page wanted; then there is no index to go back to. None for all.
    """
    pages = [PageRef(INDEX, "Plan", "The whole kit at a glance", "this page")]
    if with_reading:
        about = "the pattern's words and how they were read: check them off first"
        pages.append(PageRef(READING, "Reading", "What was read", about))
    jobs = on_one_table(plan)
    cut = tuple(job for job in jobs if job.is_cut)
    pages += [
        PageRef(CLASS_SHEET, "Class sheet", "Class sheet", "one page for the team: pull, cut, bag"),
        PageRef(PULL_LIST, "Pull list", "Pull list", "what to take from the shelf, bolt by bolt"),
        *_of_jobs(cut, SHEET, "cutting-sheet", "cut into pieces"),
    ]
    if len(cut) < len(jobs):
        uncut = tuple(job for job in jobs if not job.is_cut)
        about = "everything that is bagged uncut"
        pages.append(PageRef("cutting-and-bagging-sheet.html", BAGGING, BAGGING, about, uncut))
    pages += [
        *_of_jobs(cut, POSTER, "poster", "for the cutting table, readable from a few steps away"),
        PageRef(
            PIECE_LABELS,
            "Piece labels",
            "Piece labels",
            "one for each kind of piece and each uncut cut of fabric",
        ),
        PageRef(BAG_LABELS, "Bag labels", "Bag labels", "one for each kit, in order"),
        PageRef(PACKING_LIST, "Packing list", "Packing list", "what goes in each bag"),
        PageRef(KIT_CARDS, "Kit cards", "Kit cards", "one for each bag, two to a page"),
        *_guides(plan),
        PageRef(
            EVERYTHING,
            "Everything",
            "Everything in printing order",
            "every page but the labels, in one print job",
        ),
    ]
    if only is not None:
        pages = [page for page in pages if page.kind in only]
    index = INDEX if only is None else ""
    return tuple(
        replace(
            page,
            number=number,
            count=len(pages),
            index_file="" if page.file_name == INDEX else index,
        )
        for number, page in enumerate(pages, start=1)
    )


def _of_jobs(jobs: Sequence[TableJob], kind: str, stem: str, about: str) -> Iterator[PageRef]:
    """Yield a page for each of several jobs, numbered and called by its fabrics."""
    digits = max(2, len(str(len(jobs))))
    for number, job in enumerate(jobs, start=1):
        sku = f" ({job.first.sku})" if job.first.sku else ""
        parts = (stem, f"{number:0{digits}d}", slug_of(f"{job.roles} {job.first.sku}"))
        name = joined("-", *parts)
        heading = f"{kind} {number} of {len(jobs)}: {job.roles}{sku}"
        yield PageRef(f"{name}.html", kind, heading, about, (job,))


def _guides(plan: KitPlan) -> Iterator[PageRef]:
    names = [colorway.name for colorway, kits in number_kits(plan) if kits]
    slugs = [slug_of(name) for name in names]
    for number, (name, slug) in enumerate(zip(names, slugs, strict=True), start=1):
        own = slug if slug and slugs.count(slug) == 1 else f"{number}"
        file_name = f"students-cutting-guide{f'-{own}' if name else ''}.html"
        heading = f"{GUIDE}: {name}" if name else GUIDE
        about = "goes in each bag: what is in it and how to cut it"
        yield PageRef(file_name, GUIDE, heading, about, colorway=name)


def title_of(plan: KitPlan, page: PageRef) -> str:
    """Return the title of the browser's tab; no two pages of a plan share one."""
    name = printable(plan.pattern.name)
    return f"{page.heading} – {name} – plan {printable(plan.number)}"


def slug_of(text: str, longest: int = 40) -> str:
    """Return a text as a plain file name part: lower case letters, digits, hyphens; or ""."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:longest].strip("-")


def make_head(plan: KitPlan, page: PageRef) -> PageHead:
    """Return head and foot of a page."""
    shop = plan.shop
    sheet = plan.class_sheet
    teacher = f"with {sheet.teacher}" if sheet.teacher else ""
    return PageHead(
        heading=page.heading,
        title=title_of(plan, page),
        plan_number=plan.number,
        page_text=f"Page {page.number} of {page.count}",
        shop_name=shop.name,
        shop_contact=say_contact(shop),
        pattern=say_pattern(plan.pattern),
        kits=say_kits_of(plan),
        class_line=joined(" · ", sheet.title, say_date(sheet.date), teacher),
        settings=say_settings(plan),
        not_complete=plan.not_complete,
        file_name=page.file_name,
        part=f"part-{page.number}",
        index_file=page.index_file,
    )


def style_text(text: str) -> str:
    """Return a text for a style sheet's quotes: all but plain letters and digits is escaped.

    No word of a workbook can end the quotes or the style sheet then.
    """
    return "".join(
        char if char.isascii() and char.isalnum() else f"\\{ord(char):06x}" for char in text
    )


def say_contact(shop: Shop) -> str:
    """Say where a shop is and how it is reached, in one line; ""."""
    return joined(" · ", shop.address, shop.phone, shop.email)


def say_pattern(pattern: Pattern) -> str:
    """Say the pattern with the size that is made: ``Harbor Lanterns, throw, 54 × 63 in``."""
    measures = finished_size_of(pattern)
    return joined(", ", pattern.name, pattern.size, measures)


def finished_size_of(pattern: Pattern) -> str:
    """Return the finished size of the one size that is made; "" where that is not sure.

    A pattern in several sizes often lists them all: ``crib 38 x 46 in, throw 54 x 62 in``.
    """
    if len(pattern.sizes) < 2:
        return pattern.finished_size
    own = (pattern.size or "").casefold()
    found = [
        part
        for part in re.split(r"[;/|\n]|,(?!\d)", pattern.finished_size)
        if _sizes_named(part, pattern.sizes) == [own]
    ]
    if len(found) != 1:
        return ""
    return re.sub(rf"(?i)\b{re.escape(own)}\b", "", found[0]).strip(" :=()–-")


def _sizes_named(text: str, sizes: Sequence[str]) -> list[str]:
    """Return the sizes that a text names; a longer name hides a shorter one in it."""
    named = []
    rest = text.casefold()
    for size in sorted((name.casefold() for name in sizes), key=len, reverse=True):
        rest, count = re.subn(rf"\b{re.escape(size)}\b", " ", rest)
        named += [size] if count else []
    return named


def say_colorway(name: str) -> str:
    """Say a colorway; "" when there are none."""
    return f"colorway {name}" if name else ""

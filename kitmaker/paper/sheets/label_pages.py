"""Label pages: every label set, placed on its sheet, and those whose text does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.errors import Problem, error
from kitmaker.paper.labels import (
    PAPERS,
    Line,
    SetLine,
    check_geometry,
    find_label_sheet,
    margin_band,
    place_labels,
    set_label,
)
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import printable
from kitmaker.plan import KitPlan, LabelChoice
from kitmaker.shop import LabelSheet

_READABLE = Fraction(7)


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label before it is set.

    Attributes:
        name: What it is called when it does not fit.
        lines: Its paragraphs.
        fuller: The same with more told, used where it fits in readable type; or nothing.
    """

    name: str
    lines: tuple[Line, ...]
    fuller: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class LineView:
    """A printed line: measures are CSS lengths."""

    text: str
    size: str
    height: str
    bold: bool
    to_write_on: bool


@dataclass(frozen=True, slots=True)
class LabelView:
    """A label in its place: measures are CSS lengths."""

    name: str
    left: str
    top: str
    lines: tuple[LineView, ...]


@dataclass(frozen=True, slots=True)
class SheetView:
    """One sheet of paper."""

    number_text: str
    labels: tuple[LabelView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPageView:
    """A file of labels at true size.

    Attributes:
        head: Of the page.
        paper: For ``@page``: ``letter`` or ``A4``.
        paper_width, paper_height: CSS lengths.
        label_width, label_height: CSS lengths of the die-cut label.
        band_left, band_top, band_height, band_size: Where the margin's line stands.
        sheet_id: The label sheet's name.
        start: The first label used.
        sheets: In order.
    """

    head: PageHead
    paper: str
    paper_width: str
    paper_height: str
    label_width: str
    label_height: str
    band_left: str
    band_top: str
    band_height: str
    band_size: str
    sheet_id: str
    start: int
    sheets: tuple[SheetView, ...]


def view_label_page(
    plan: KitPlan, page: PageRef, choice: LabelChoice, wanted: Sequence[Wanted]
) -> tuple[LabelPageView, tuple[Problem, ...]]:
    """Return a page of labels, and an error for each label whose text does not fit.

    A label that does not fit keeps its place with nothing but its name in it, so that the
    labels after it still fall to the bags they are meant for.
    """
    sheet = find_label_sheet(choice.sheet_id, plan.shop)
    problems: list[Problem] = []
    places = place_labels(len(wanted), sheet, choice.start, plan.shop.label_offset)
    by_sheet: dict[int, list[LabelView]] = {}
    for label, place in zip(wanted, places, strict=True):
        lines = set_label(label.fuller, sheet, _READABLE) if label.fuller else None
        lines = lines or set_label(label.lines, sheet)
        if lines is None:
            problems.append(_refused(page.kind, label, sheet))
            lines = set_label((Line(f"{label.name}: does not fit"),), sheet) or ()
        view = LabelView(label.name, _mm(place.left), _mm(place.top), tuple(_lines(lines)))
        by_sheet.setdefault(place.sheet, []).append(view)
    problems += (error(f"{said}.") for said in check_geometry(sheet))
    band = margin_band(sheet)
    paper_width, paper_height = PAPERS[sheet.paper]
    count = max(by_sheet, default=1)
    view_page = LabelPageView(
        head=make_head(plan, page),
        paper=sheet.paper,
        paper_width=_mm(paper_width),
        paper_height=_mm(paper_height),
        label_width=_mm(sheet.width),
        label_height=_mm(sheet.height),
        band_left=_mm(band.left),
        band_top=_mm(band.top),
        band_height=_mm(band.height),
        band_size=f"{_number(band.points)}pt",
        sheet_id=sheet.sheet_id,
        start=choice.start,
        sheets=tuple(
            SheetView(f"page {number} of {count}", tuple(by_sheet.get(number, ())))
            for number in range(1, count + 1)
        ),
    )
    return view_page, tuple(problems)


def _refused(kind: str, label: Wanted, sheet: LabelSheet) -> Problem:
    return error(
        f"{kind}: the text of '{printable(label.name)}' does not fit a label of {sheet.sheet_id}, "
        "even in the smallest type (6 pt).",
        None,
        "Print it on larger labels with --label-sheet, or shorten the names.",
    )


def _lines(lines: Iterable[SetLine]) -> Iterable[LineView]:
    for line in lines:
        yield LineView(
            line.text, f"{_number(line.points)}pt", _mm(line.height), line.bold, line.to_write_on
        )


def _mm(value: Fraction) -> str:
    return f"{_number(value)}mm"


def _number(value: Fraction) -> str:
    return f"{float(value):.4f}".rstrip("0").rstrip(".")

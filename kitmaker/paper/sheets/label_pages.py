"""Label pages: every label set, placed on its sheet, and those whose text does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.errors import Problem, error, warning
from kitmaker.paper.labels import (
    PAPERS,
    check_geometry,
    find_label_sheet,
    margin_band,
    place_labels,
)
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import join_words, printable
from kitmaker.paper.sheets.settings_used import say_settings
from kitmaker.paper.typesetting import SMALLEST_TYPE, Line, SetLine, set_label
from kitmaker.plans import KitPlan, LabelChoice
from kitmaker.shop import LabelSheet

_MOST_NAMED = 12
_ONE_LINE = 110  # characters that a line of the margin holds in the larger type
_ONE_SMALL_LINE, _TWO_SMALL_LINES = 130, 230  # in the smaller one
_TWO_LINES_HIGH = Fraction("4.9")  # mm
_SMALLER_TYPE, _LARGER_TYPE = Fraction(6), Fraction(7)  # points

READABLE = Fraction(7)
"""Points down to which a longer wording is better than a shorter one."""


@dataclass(frozen=True, slots=True)
class Wording:
    """One way of wording a label.

    Attributes:
        lines: Its paragraphs.
        smallest: The type, points, below which the next wording is better.
        lacks: What it does not say, in words; "" when it says all that a label must.
    """

    lines: tuple[Line, ...]
    smallest: Fraction = SMALLEST_TYPE
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label before it is set.

    Attributes:
        name: What it is called when it does not fit.
        wordings: From the fullest to the shortest; the first that fits is printed.
    """

    name: str
    wordings: tuple[Wording, ...]


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
        settings: The settings used, for the opposite margin.
        settings_top, settings_height, settings_size: Where they stand; "" where that margin is too
            narrow, and they stand in the margin's line.
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
    settings: str
    settings_top: str
    settings_height: str
    settings_size: str
    sheet_id: str
    start: int
    sheets: tuple[SheetView, ...]


def view_label_page(
    plan: KitPlan, page: PageRef, choice: LabelChoice, wanted: Sequence[Wanted]
) -> tuple[LabelPageView, tuple[Problem, ...]]:
    """Return a page of labels, and an error for each label whose text does not fit.

    A label that does not fit keeps its place and shows its name only, so that the labels
    after it still go on the bags they are meant for.
    """
    sheet = find_label_sheet(choice.sheet_id, plan.shop)
    if choice.only:
        wanted = wanted[choice.only - 1 : choice.only]
    refused: list[str] = []
    lacking: dict[str, None] = {}
    places = place_labels(len(wanted), sheet, choice.start, plan.shop.label_offset)
    by_sheet: dict[int, list[LabelView]] = {}
    for label, place in zip(wanted, places, strict=True):
        lines, lacks = _set(label, sheet)
        if lines is None:
            refused.append(label.name)
            lines = set_label((Line(f"{label.name}: does not fit"),), sheet) or ()
        if lacks:
            lacking[lacks] = None
        view = LabelView(label.name, _mm(place.left), _mm(place.top), tuple(_lines(lines)))
        by_sheet.setdefault(place.sheet, []).append(view)
    problems = [_refused(page.kind, refused, sheet)] if refused else []
    problems += (_lacking(page.kind, lacks, sheet) for lacks in lacking)
    problems += (error(f"{said}.") for said in check_geometry(sheet))
    band, other = margin_band(sheet), margin_band(sheet, other=True)
    has_room = other.points >= _SMALLER_TYPE
    settings = say_settings(
        plan, _TWO_SMALL_LINES if other.height >= _TWO_LINES_HIGH else _ONE_SMALL_LINE
    )
    settings_size = _LARGER_TYPE if len(settings) <= _ONE_LINE else _SMALLER_TYPE
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
        settings=settings,
        settings_top=_mm(other.top) if has_room else "",
        settings_height=_mm(other.height),
        settings_size=f"{_number(min(other.points, settings_size))}pt",
        sheet_id=sheet.sheet_id,
        start=choice.start,
        sheets=tuple(
            SheetView(f"page {number} of {count}", tuple(by_sheet.get(number, ())))
            for number in range(1, count + 1)
        ),
    )
    return view_page, tuple(problems)


def _set(label: Wanted, sheet: LabelSheet) -> tuple[tuple[SetLine, ...] | None, str]:
    """Set the fullest wording that fits; words are broken only in the last one.

    Returns:
        The lines, None when the label is refused, and what its wording lacks.
    """
    for wording in label.wordings:
        found = set_label(wording.lines, sheet, wording.smallest)
        if found is not None:
            return found, wording.lacks
    last = label.wordings[-1]
    found = set_label(last.lines, sheet, inside_words=True)
    return found, "" if found is None else last.lacks


def _refused(kind: str, names: Sequence[str], sheet: LabelSheet) -> Problem:
    said = join_words([f"'{printable(name)}'" for name in names[:_MOST_NAMED]])
    more = f" (and of {len(names) - _MOST_NAMED} more labels)" if len(names) > _MOST_NAMED else ""
    return error(
        f"{kind}: the text of {said}{more} does not fit a label of {sheet.sheet_id}, "
        "even in the smallest type (6 pt).",
        None,
        "Print it on larger labels with --label-sheet, or shorten the names.",
    )


def _lacking(kind: str, lacks: str, sheet: LabelSheet) -> Problem:
    return warning(
        f"{kind}: a label of {sheet.sheet_id} has no room for {lacks}.",
        None,
        "The packing list has them; print on larger labels with --label-sheet if the bag needs "
        "them.",
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

"""Label sheets at true size: where each label lies. What is set on one: see ``typesetting``.

The die-cut measures of the three common sheets are common practice, no source. They were
checked by arithmetic: on each, the labels stand centered on the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.errors import UsageError
from kitmaker.shop import LabelSheet, Shop

_IN = Fraction(254, 10)
POINT = _IN / 72
"""A printer's point in mm."""

PAPERS: dict[str, tuple[Fraction, Fraction]] = {
    "letter": (Fraction(17, 2) * _IN, 11 * _IN),
    "A4": (Fraction(210), Fraction(297)),
}
"""Width and height in mm. US Letter is 8½ × 11 in, A4 by ISO 216 is 210 × 297 mm."""

LETTER_30 = LabelSheet(
    sheet_id="letter-30",
    paper="letter",
    columns=3,
    rows=10,
    width=Fraction(21, 8) * _IN,
    height=1 * _IN,
    left=Fraction(3, 16) * _IN,
    top=Fraction(1, 2) * _IN,
    pitch_across=Fraction(11, 4) * _IN,
    pitch_down=1 * _IN,
)
LETTER_10 = LabelSheet(
    sheet_id="letter-10",
    paper="letter",
    columns=2,
    rows=5,
    width=4 * _IN,
    height=2 * _IN,
    left=Fraction(5, 32) * _IN,
    top=Fraction(1, 2) * _IN,
    pitch_across=Fraction(67, 16) * _IN,
    pitch_down=2 * _IN,
)
A4_21 = LabelSheet(
    sheet_id="a4-21",
    paper="A4",
    columns=3,
    rows=7,
    width=Fraction("63.5"),
    height=Fraction("38.1"),
    left=Fraction("7.21"),
    top=Fraction("15.15"),
    pitch_across=Fraction("66.04"),
    pitch_down=Fraction("38.1"),
)
BUILT_IN_SHEETS = (LETTER_30, LETTER_10, A4_21)

_SLACK = Fraction(1, 2)  # mm a sheet's measures may run over its paper, by rounding


def find_label_sheet(name: str, shop: Shop) -> LabelSheet:
    """Return the label sheet of a name; the shop's own sheets come first.

    Raises:
        UsageError: No sheet is called so; it names those that are.
    """
    sheets = {sheet.sheet_id.casefold(): sheet for sheet in BUILT_IN_SHEETS}
    sheets.update({sheet.sheet_id.casefold(): sheet for sheet in shop.own_label_sheets})
    found = sheets.get(name.casefold().strip())
    if found is None:
        names = ", ".join(sheet.sheet_id for sheet in sheets.values())
        raise UsageError(f"There is no label sheet '{name}'.", f"Use {names}.")
    return found


def check_start_label(start: int, sheet: LabelSheet) -> None:
    """Hold that printing starts on the sheet.

    Raises:
        UsageError: The number is below 1 or past the last label.
    """
    if not 1 <= start <= sheet.per_sheet:
        raise UsageError(
            f"Label {start} is not on a sheet {sheet.sheet_id}, "
            f"which has {sheet.per_sheet} labels.",
            f"Type a number from 1 to {sheet.per_sheet}.",
        )


@dataclass(frozen=True, slots=True)
class Place:
    """Where one label lies: sheet from 1, and its left and top edge in mm."""

    sheet: int
    left: Fraction
    top: Fraction


def place_labels(
    count: int, sheet: LabelSheet, start: int, offset: tuple[Fraction, Fraction]
) -> tuple[Place, ...]:
    """Place labels across, then down, from the ``start``-th of the first sheet on.

    Args:
        count: How many.
        sheet: The paper they are printed on.
        start: The first label used, from 1.
        offset: Right and down, mm: the shop's correction for its printer.
    """
    places = []
    for at in range(start - 1, start - 1 + count):
        page, on_page = divmod(at, sheet.per_sheet)
        row, column = divmod(on_page, sheet.columns)
        places.append(
            Place(
                page + 1,
                sheet.left + column * sheet.pitch_across + offset[0],
                sheet.top + row * sheet.pitch_down + offset[1],
            )
        )
    return tuple(places)


@dataclass(frozen=True, slots=True)
class MarginLine:
    """Where scale bar and page number stand: a band in the sheet's margin, mm."""

    left: Fraction
    top: Fraction
    height: Fraction
    points: Fraction


def margin_band(sheet: LabelSheet, *, other: bool = False) -> MarginLine:
    """Return the band above or below the labels, whichever is higher.

    Its inner end keeps clear of the labels; its type shrinks where the margin is narrow.

    Args:
        sheet: The paper they are printed on.
        other: Whether the band of the opposite margin is wanted.
    """
    paper_width, paper_height = PAPERS[sheet.paper]
    above = sheet.top
    last = sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height
    below = paper_height - last
    is_above = (above >= below) is not other
    room = above if is_above else below
    height = min(Fraction(5), room * Fraction(2, 3))
    clear = min(Fraction(3, 2), (room - height) / 2)
    top = above - clear - height if is_above else last + clear
    points = min(Fraction(8), height / POINT * Fraction(7, 10))
    return MarginLine(paper_width / 12, top, height, points)


def check_geometry(sheet: LabelSheet) -> tuple[str, ...]:
    """Say what is wrong with a sheet's measures; empty when it can be printed."""
    said = []
    if sheet.paper not in PAPERS:
        return (f"label sheet {sheet.sheet_id}: paper '{sheet.paper}' is not letter or A4",)
    paper_width, paper_height = PAPERS[sheet.paper]
    if sheet.left + (sheet.columns - 1) * sheet.pitch_across + sheet.width > paper_width + _SLACK:
        said.append(f"label sheet {sheet.sheet_id}: its labels run past the paper's right edge")
    if sheet.top + (sheet.rows - 1) * sheet.pitch_down + sheet.height > paper_height + _SLACK:
        said.append(f"label sheet {sheet.sheet_id}: its labels run past the paper's lower edge")
    if (sheet.columns > 1 and sheet.pitch_across < sheet.width) or (
        sheet.rows > 1 and sheet.pitch_down < sheet.height
    ):
        said.append(f"label sheet {sheet.sheet_id}: its labels overlap")
    return tuple(said)

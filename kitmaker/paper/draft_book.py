"""A draft as a workbook: tidy tables beside the words they came from, marked where a person looks.

Open rows are framed, dark under How sure and offer their readings in a drop-down; rows to look at
are shaded: both show in gray.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from xlsxwriter.utility import xl_col_to_name

from kitmaker.drafts import (
    AS_WRITTEN,
    CHOOSE,
    FABRICS_SHEET,
    FIRST_ROW,
    HINT,
    HOW_SURE,
    LEFT_OVER,
    NO_AMOUNT,
    NO_CUT,
    PATTERN_SHEET,
    PIECES_SHEET,
    READING,
    SAID_WHY,
    Draft,
    DraftRow,
    HowSure,
    fabric_headings,
    piece_headings,
)
from kitmaker.paper.sheets.saying import printable
from kitmaker.paper.workbooks import TypedBook, build_workbook
from kitmaker.pattern import Direction, Shape

BOUGHT = "This draft is for a pattern the shop has bought; each student needs a copy of it."
_ABOUT = (
    "Rows that are dark under How sure wait for you: pick a reading under Choose, or type the "
    "blank cells.",
    f"Choose '{NO_CUT}' where a line asks for no cloth.",
    "Shaded rows are read, but nothing else in the pattern agrees with them: look at those.",
    f"{AS_WRITTEN}, {SAID_WHY} and the sheet {LEFT_OVER} are never read back.",
    BOUGHT,
)
_WIDTHS = {
    "Fabric": 26,
    "Piece": 24,
    "Notes": 22,
    "Shape": 22,
    "Description": 20,
    AS_WRITTEN: 48,
    HOW_SURE: 13,
    CHOOSE: 34,
    SAID_WHY: 40,
}
_LINE, _MOST_LINES = 15, 20  # points
_USUAL_WIDTH, _READING_WIDTH = 12, 30
_LONGEST_TEXT = 32_000  # a cell holds 32,767 characters


def build_draft(draft: Draft) -> bytes:
    """Return the workbook of a draft."""
    return build_workbook(f"Draft of {draft.name}", lambda book: _Writer(book, draft).write())


class _Writer(TypedBook):
    def __init__(self, book: Any, draft: Draft) -> None:
        super().__init__(book)
        self.draft = draft
        dark = {"bold": True, "bg_color": "#3A3A3A", "font_color": "#FFFFFF"}
        self.row_looks = {
            "open": self.look(top=2, bottom=2),
            "look": self.look(bottom=4, bg_color="#E8E8E8"),
        }
        self.sure_looks = {
            "open": self.look(top=2, bottom=2, **dark),
            "look": self.look(bottom=4, bg_color="#C8C8C8", bold=True),
        }

    def write(self) -> None:
        draft = self.draft
        self._facts()
        self._rows(FABRICS_SHEET, fabric_headings(draft.sizes), draft.fabrics, (NO_AMOUNT,))
        pieces = self._rows(PIECES_SHEET, piece_headings(draft.sizes), draft.pieces, (NO_CUT,))
        self._left_over()
        pieces.activate()

    def _facts(self) -> None:
        page = self.add_sheet(PATTERN_SHEET)
        for column, width in enumerate((20, 40, 96)):
            page.set_column(column, column, width, self.entry)
        for down, (label, value) in enumerate(self.draft.facts()):
            self._write(page, down, 0, label, self.heading)
            self._write(page, down, 1, value, self.entry)
        for down, words in enumerate(_ABOUT):
            self._write(page, down, 2, f"{HINT} {words}", self.soft)

    def _rows(
        self, sheet: str, headings: tuple[str, ...], rows: tuple[DraftRow, ...], none: tuple[str]
    ) -> Any:
        page = self.add_sheet(sheet)
        most = max((len(row.readings) for row in rows if row.readings), default=0)
        offered = [f"{READING} {number + 1}" for number in range(most + len(none))]
        told = (*headings, SAID_WHY, *offered)
        for column, heading in enumerate(told):
            width = _READING_WIDTH if heading in offered else _USUAL_WIDTH
            page.set_column(column, column, _WIDTHS.get(heading, width), self.entry)
            self._write(page, 0, column, heading, self.heading)
        for down, row in enumerate(rows, start=FIRST_ROW - 1):
            self._row(page, down, row, headings, none)
        page.freeze_panes(1, 1)
        page.repeat_rows(0)
        page.print_area(0, 0, max(1, len(rows)), len(headings) - 1)
        return page

    def _row(
        self, page: Any, down: int, row: DraftRow, headings: tuple[str, ...], none: tuple[str]
    ) -> None:
        mark = "open" if row.is_open else "look" if row.how_sure is HowSure.LOOK else ""
        look, sure = self.row_looks.get(mark, self.entry), self.sure_looks.get(mark, self.entry)
        cells = {**dict(row.cells), AS_WRITTEN: row.as_written, HOW_SURE: row.how_sure.value}
        for column, heading in enumerate(headings):
            shown = sure if heading == HOW_SURE else look
            self._write(page, down, column, cells.get(heading, ""), shown)
            self._offer(page, (down, column), row, heading)
        widths = [_WIDTHS.get(one, _USUAL_WIDTH) for one in headings]
        texts = [cells.get(one, "") for one in headings]
        page.set_row(down, _LINE * min(_MOST_LINES, _lines_of((*texts, row.why), widths)))
        first = len(headings)
        self._write(page, down, first, row.why, self.soft)
        offered = tuple(dict.fromkeys((*row.readings, *none))) if row.is_open else ()
        for at, reading in enumerate(offered, start=first + 1):
            self._write(page, down, at, reading, look)
        if offered:
            left, right = xl_col_to_name(first + 1), xl_col_to_name(first + len(offered))
            place = f"=${left}${down + 1}:${right}${down + 1}"
            self._drop_down(page, (down, headings.index(CHOOSE)), place)

    def _offer(self, page: Any, place: tuple[int, int], row: DraftRow, heading: str) -> None:
        if heading == "Shape":
            shapes = ("rectangle", "square", "strip", Shape.CUT_ONCE.value, Shape.CUT_TWICE.value)
            self._drop_down(page, place, [*shapes, "joined"])
        elif heading == "Direction":
            self._drop_down(page, place, [Direction.ONE_WAY.value, Direction.LENGTHWISE.value])
        elif heading == "Fabric" and row.is_open and self.draft.fabrics:
            last = FIRST_ROW + len(self.draft.fabrics) - 1
            if row.where.startswith(PIECES_SHEET):
                self._drop_down(page, place, f"={FABRICS_SHEET}!$A${FIRST_ROW}:$A${last}")

    @staticmethod
    def _drop_down(page: Any, place: tuple[int, int], source: object) -> None:
        # Other words than those offered may be right.
        rule = {"validate": "list", "source": source, "error_type": "information"}
        page.data_validation(*place, *place, {**rule, "ignore_blank": True})

    def _left_over(self) -> None:
        page = self.add_sheet(LEFT_OVER)
        for column, (heading, width) in enumerate((("Line", 90), ("Why", 34), ("Where", 26))):
            page.set_column(column, column, width, self.entry)
            self._write(page, 0, column, heading, self.heading)
        for down, line in enumerate(self.draft.left_over, start=1):
            for column, words in enumerate((line.words, line.why, line.source.address)):
                self._write(page, down, column, words, self.entry)
        page.freeze_panes(1, 0)
        page.repeat_rows(0)

    @staticmethod
    def _write(page: Any, down: int, column: int, words: str, look: Any) -> None:
        words = printable(words)[:_LONGEST_TEXT]
        if words:
            page.write_string(down, column, words, look)
        else:
            page.write_blank(down, column, None, look)


def _lines_of(texts: Sequence[str], widths: Sequence[int]) -> int:
    """Return how many lines the cells of a row take; some programs do not grow it themselves."""
    return max(
        sum(1 + len(line) // width for line in text.split("\n"))
        for text, width in zip(texts, (*widths, _WIDTHS[SAID_WHY]), strict=True)
    )

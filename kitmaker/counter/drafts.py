"""A pattern's words beside what was read, and the choices that settle what is open."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Response, request

from kitmaker import api
from kitmaker.counter.desk import Desk, ShopChoice
from kitmaker.counter.links import go_to, link
from kitmaker.counter.readings import try_to_read
from kitmaker.counter.refusals import status_of
from kitmaker.drafts import Draft
from kitmaker.errors import OutputError, Problem
from kitmaker.paper.cell_edits import why_not_edited
from kitmaker.paper.sheets.reading_page import say_about
from kitmaker.pattern import Shape
from kitmaker.reading.drafting.ticking import TickRow, tick_rows
from kitmaker.reading.grid import row_and_column


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleRow:
    """A row of a draft."""

    row: TickRow  # what it holds
    said: str  # what was read, in words
    problems: tuple[Problem, ...]  # what is still wrong with it
    choices: tuple[str, ...]  # what may be chosen, what stands there now among them

    @property
    def has_controls(self) -> bool:
        """Whether there is something to settle, or was."""
        return bool(self.row.how_sure.is_open or self.problems or self.row.choose.value)


def show_source(desk: Desk, file: str) -> str:
    """Show a page's lines beside what a draft of it makes of them."""
    made = _draft_of(desk, file)
    draft = _draft_name(file)
    return desk.render(
        "source",
        desk.head(made.name),
        file=file,
        made=made,
        draft=draft if draft in desk.folder.listing().patterns else "",
    )


def _draft_of(desk: Desk, file: str) -> Draft:
    return api.draft(desk.folder.find(file))


def _draft_name(file: str) -> str:
    return f"{file.rpartition('.')[0]}-draft.xlsx"


def make(desk: Desk) -> Response:
    """Make a draft beside its source, never over one that is there."""
    file = request.form.get("file", "")
    return go_to(link("/pattern", file=save_draft(desk, _draft_of(desk, file), file)))


def save_draft(desk: Desk, made: Draft, source: str) -> str:
    """Save a draft under its source's name, never over another; return the file's name."""
    with desk.folder.saving:
        name = desk.folder.free_name(_draft_name(source).removesuffix(".xlsx"), ".xlsx")
        api.write_draft(made, desk.folder.path_of(name))
    return name


def rows_of(desk: Desk, file: str) -> tuple[TickRow, ...]:
    """Return the rows of a draft; none where a workbook is no draft."""
    return tick_rows(desk.folder.find(file)) if file.lower().endswith(".xlsx") else ()


def show_draft(
    desk: Desk,
    file: str,
    size: str,
    rows: tuple[TickRow, ...],
    shop: ShopChoice,
    problems: tuple[Problem, ...] = (),
) -> str:
    """Show a draft, what waits for a person first."""
    reading, fault = try_to_read(desk, file, size, shop.reading)
    found = reading.problems if reading is not None else fault.problems if fault else ()
    settled = [_settle_row(row, found) for row in rows]
    of_rows = {problem for row in settled for problem in row.problems}
    waiting = [row for row in settled if row.problems]
    path = desk.folder.find(file)
    return desk.render(
        "draft",
        desk.head(
            reading.pattern.name if reading is not None else file,
            notice="Saved." if "saved" in request.args else "",
            problems=(*problems, *(problem for problem in found if problem not in of_rows)),
            shop=shop,
        ),
        file=file,
        digest=desk.digest(path),
        shop=desk.shop_to_name(shop),
        size=reading.pattern.size or "" if reading is not None else "",
        about=say_about(reading) if reading is not None else "",
        rows=(*waiting, *(row for row in settled if not row.problems)),
        open_count=len(waiting),
        shapes=tuple(dict.fromkeys(("square", *(shape.value for shape in Shape)))),
        why_not_saved=why_not_edited(path.read_bytes(), file),
    )


def _settle_row(row: TickRow, found: tuple[Problem, ...]) -> SettleRow:
    """Return a row with the errors of its cells."""
    of_row = [one for one in found if one.is_error and _row_of(one) == (row.sheet, row.number)]
    chosen = row.choose.value
    choices = ("", *row.readings, *([chosen] if chosen and chosen not in row.readings else []))
    return SettleRow(row=row, said=_say(row), problems=tuple(of_row), choices=choices)


def _row_of(problem: Problem) -> tuple[str | None, int] | None:
    """Return the sheet and the row that a problem stands in; None where it stands in none."""
    where = problem.location
    return (where.sheet, row_and_column(where)[0]) if where is not None and where.cell else None


def _say(row: TickRow) -> str:
    """Say what was read of a row, as its cells have it."""
    cells = dict(row.cells)
    size = " × ".join(cells[name] for name in ("Cut width", "Cut length") if name in cells)
    counts = [
        f"{text}{name.removeprefix('Quantity')}"
        for name, text in row.cells
        if name.startswith("Quantity")
    ]
    amounts = [text for name, text in row.cells if name.startswith("Requirement")]
    parts = [", ".join(counts), size, cells.get("Shape", ""), ", ".join(amounts)]
    return " · ".join(part for part in parts if part)


def settle(desk: Desk) -> Response | str:
    """Save what was chosen and typed into the draft."""
    form = request.form
    file, digest = form.get("file", ""), form.get("digest", "")
    shop = desk.shop_for(form.get("shop", ""))
    path = desk.folder.find(file)
    answers = {
        name.removeprefix("cell-"): text for name, text in form.items() if name.startswith("cell-")
    }
    try:
        with desk.folder.saving:
            # Where the file is another by now its cells may be others too: no answer is looked at.
            answers = answers if digest == desk.digest(path) else {}
            api.settle_draft(path, answers, over=digest)
    except OutputError as fault:
        page = show_draft(
            desk, file, form.get("size", ""), rows_of(desk, file), shop, fault.problems
        )
        return Response(page, status=status_of(fault))
    return go_to(
        link("/pattern", file=file, size=form.get("size", ""), shop=form.get("shop", ""), saved="y")
    )

"""The page of a draft: first what only a person can settle, then each line and what it became."""

from __future__ import annotations

from dataclasses import replace

from kitmaker.drafts import Draft, HowSure, SourceLine
from kitmaker.paper.draft_book import BOUGHT
from kitmaker.paper.sheets.page import PageHead, ProblemView
from kitmaker.paper.sheets.reading_page import (
    LineKind,
    ReadFabric,
    ReadingView,
    ReadLine,
    say_about,
    view_read_fabrics,
    view_read_problems,
)
from kitmaker.paper.templating import make_environment

_HEADING = "What was read"


def render_draft_page(draft: Draft) -> str:
    """Return the reading page of a draft's source as HTML."""
    opened = tuple(
        ProblemView("Settle this", row.where, _said(row.as_written, row.why))
        for row in draft.open_rows
    )
    looks = view_read_problems(problem for problem in draft.problems if not problem.is_error)
    view = ReadingView(
        head=_head(draft),
        about=say_about(draft.readings[0]) + ("" if draft.size else _sizes(draft)),
        problems=(*opened, *looks),
        unconfirmed=_unconfirmed(draft),
        page_lines=tuple(_line(line) for line in draft.lines),
        fabrics=() if draft.lines else tuple(_fabrics(draft)),
        others=() if draft.lines else tuple(_left_over(draft)),
    )
    return make_environment().get_template("reading.html.j2").render(page=view)


def _head(draft: Draft) -> PageHead:
    return PageHead(
        heading=_HEADING,
        title=f"{_HEADING} – draft of {draft.name}",
        shop_name=BOUGHT,
        pattern=draft.name,
        kits=f"from {draft.source}",
    )


def _sizes(draft: Draft) -> str:
    return f", in the sizes {', '.join(draft.sizes)}" if draft.sizes else ""


def _said(words: str, why: str) -> str:
    text = " ".join(words.split())
    return why if text and text in why else f"“{text}” {why}".strip()


def _unconfirmed(draft: Draft) -> tuple[str, ...]:
    """Say the rows whose counts nothing in the pattern says again, fabric by fabric."""
    cells: dict[str, list[str]] = {}
    for row in draft.pieces:
        if row.how_sure in (HowSure.PLAIN, HowSure.LOOK):
            cells.setdefault(row.cell("Fabric"), []).append(row.source.address)
    return tuple(f"{role}: {', '.join(dict.fromkeys(at))}" for role, at in cells.items())


def _line(source_line: SourceLine) -> ReadLine:
    kind = (
        LineKind.UNREAD
        if source_line.is_open
        else LineKind.READ
        if source_line.is_cloth
        else LineKind.NOTE
    )
    return ReadLine(
        where=source_line.source.address,
        words=source_line.words,
        understood=source_line.became,
        kind=kind,
    )


def _fabrics(draft: Draft) -> list[ReadFabric]:
    return [
        replace(fabric, role=f"{fabric.role} ({reading.pattern.size})") if draft.sizes else fabric
        for reading in draft.readings
        for fabric in view_read_fabrics(reading)
    ]


def _left_over(draft: Draft) -> list[ReadLine]:
    return [
        ReadLine(
            where=line.source.address,
            words=line.words,
            understood=(line.why,),
            kind=LineKind.NOTE,
        )
        for line in draft.left_over
    ]

"""Everything that is written of a season: file name to bytes; nothing is written yet."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.paper.season_book import build_season_book
from kitmaker.paper.season_json import MARKER, season_to_json
from kitmaker.paper.season_page import ORDER_PAGE, render_season
from kitmaker.paper.stamp import stamped
from kitmaker.seasons import Season

BOOK = "season.xlsx"


@dataclass(frozen=True, slots=True)
class PrintedSeason:
    """A season with everything that is written of it: file name to bytes, and its JSON."""

    season: Season
    files: dict[str, bytes]
    json: str


def print_season(season: Season) -> PrintedSeason:
    """Return the pages, the workbook and the data of a season."""
    beside = ((ORDER_PAGE, "Order list"), (BOOK, "The tables as a workbook, with live sums"))
    files = {name: text.encode() for name, text in render_season(season, beside).items()}
    files[BOOK] = build_season_book(season)
    json = stamped(season_to_json(season), (*files, MARKER), files)
    files[MARKER] = json.encode()
    return PrintedSeason(season, files, json)

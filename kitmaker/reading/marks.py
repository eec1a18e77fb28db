"""What a sheet shows beside its values: hidden rows, struck-through cells, comments.

All of it is read as if it were plain, and said: who strikes a row through has mostly done
with it, and who hides one has mostly not.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.errors import Location, Problem, warning
from kitmaker.reading.grid import Sheet, row_and_column
from kitmaker.reading.words.quantity import Place, find_quantity_words

_MOST_SAID = 4


def say_marks(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning for what is hidden or struck through, and for comments with counts."""
    hidden = set(sheet.hidden_rows)
    rows = [row.first().location for row in sheet.rows() if row.number in hidden]
    top: dict[int, Location] = {}
    for row in sheet.rows() if sheet.hidden_columns else ():
        for column, cell in row.cells.items():
            top.setdefault(column, cell.location)
    columns = [top[column] for column in sheet.hidden_columns]
    for marked, said, instead in (
        (rows, "hidden rows", "Show the rows, or"),
        (columns, "hidden columns", "Show the columns, or"),
        (list(sheet.struck), "struck-through cells", "Take the line off, or"),
    ):
        if marked:
            yield warning(
                f"{said} are read all the same ({_cells(marked)})",
                marked[0],
                f"{instead} delete them if they are not meant.",
            )
    for where, words in sheet.comments:
        figures = any(char.isdigit() for char in words)
        if figures or find_quantity_words(words, Place.NOTE):
            yield warning(
                f"the comment '{' '.join(words.split())}' is not read",
                where,
                "Type into the cells what it changes.",
            )


def _cells(marked: list[Location]) -> str:
    """Say which cells, those that follow each other as one, and a few at most."""
    runs: list[list[Location]] = []
    for where in marked:
        row, column = row_and_column(where)
        last = row_and_column(runs[-1][-1]) if runs else (0, 0)
        if (row, column) in ((last[0] + 1, last[1]), (last[0], last[1] + 1)):
            runs[-1].append(where)
        else:
            runs.append([where])
    said = [
        f"{run[0].cell} to {run[-1].cell}" if len(run) > 1 else run[0].cell or "" for run in runs
    ]
    more = len(said) - _MOST_SAID
    return ", ".join(said[:_MOST_SAID]) + (f" and {more} more" if more > 0 else "")

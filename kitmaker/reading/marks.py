"""What a sheet shows beside its values: hidden rows, struck-through cells, comments.

All of it is read as if it were plain, and said: who strikes a row through has mostly done
with it, and who hides one has mostly not.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.errors import Location, Problem, warning
from kitmaker.reading.grid import Sheet
from kitmaker.reading.words.quantity import Place, find_quantity_words


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
    return ", ".join(where.cell or "" for where in marked)

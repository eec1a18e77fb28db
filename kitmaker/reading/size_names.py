"""The names of a pattern's sizes held against each other: a slip makes pieces vanish.

"Quantity trow" beside "Requirement throw" is a size of its own for whoever reads word by
word, and then no piece is left in throw.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from kitmaker.errors import Problem, error, warning
from kitmaker.reading.cells import read_text
from kitmaker.reading.layout import KNOWN_SIZES, SIZED, FoundTable
from kitmaker.reading.slips import is_slip
from kitmaker.reading.tables import Column, fold_heading

MOST_SIZES = 60
"""More sizes than this are no pattern's and are not held against each other."""


def names_in_fact(text: str) -> tuple[str, ...]:
    """Return the sizes of ``crib 40 x 40, throw 57 x 70``; nothing where only one stands."""
    parts = [re.match(r"[^\d(]*", part) for part in re.split(r"[,;/]|\b(?:and|or)\b", text)]
    names = [fold_heading(part[0]) for part in parts if part is not None]
    return tuple(name for name in names if name) if len(names) > 1 else ()


def check_size_names(
    tables: Sequence[FoundTable], listed: Sequence[str], size: str | None
) -> Iterator[Problem]:
    """Yield an error for a size's name that is a slip, or that a table does not have.

    Args:
        tables: The tables of the chosen size.
        listed: The folded sizes that the pattern says it has.
        size: The chosen size; None where there is one only.
    """
    groups = [
        (found, key, found.table.sized[key])
        for found in tables
        for key in SIZED
        if key in found.table.sized
    ]
    known = [set(listed) - {""}] + [
        {fold_heading(one.extra) for one in group} for _, _, group in groups
    ]
    asked: set[str] = set()
    for found, key, group in groups:
        slips = list(_slips(group, known, asked))
        yield from slips
        if (bare := found.table.columns.get(key)) is not None:
            yield error(
                f"'{read_text(bare.heading)}' is said of no size, but beside it stand "
                f"{' and '.join(read_text(column.heading) for column in group)}",
                bare.heading.location,
                "Type the size behind it, or head it Notes.",
            )
        if len(groups) == 1 == len(group) and not _is_known(group[0], listed):
            yield warning(
                f"'{group[0].extra}' behind {key} is taken for the name of a size",
                group[0].heading.location,
                f"Head it {key} alone if it is none.",
            )
        if slips or size is None or key in found.table.columns or has_size(group, size):
            continue
        has = " and ".join(column.extra for column in group)
        yield error(
            f"no column headed {key} is for {size}; this table has {has}",
            group[0].heading.location,
            f"Head one '{key} {size}'.",
        )


def _is_known(column: Column, listed: Sequence[str]) -> bool:
    name = fold_heading(column.extra).removesuffix(" size")
    return name in KNOWN_SIZES or name in listed


def has_size(columns: Sequence[Column], size: str | None) -> bool:
    """Return whether one of the columns of sizes is the chosen size's."""
    return size is not None and fold_heading(size) in {fold_heading(one.extra) for one in columns}


def _slips(
    group: Sequence[Column], known: Sequence[set[str]], asked: set[str]
) -> Iterator[Problem]:
    """Yield an error for each name that another list has in a like spelling, and not as well."""
    own = {fold_heading(one.extra) for one in group}
    for column in group if len(own) <= MOST_SIZES else ():
        name = fold_heading(column.extra)
        meant = {
            other
            for names in known
            for other in names - own - asked
            if name not in names and is_slip(name, other)
        }
        if meant and (name not in KNOWN_SIZES or meant <= KNOWN_SIZES):
            asked.add(name)
            other = min(meant)
            yield error(
                f"'{column.extra}' is a size here, and '{other}' is one elsewhere",
                column.heading.location,
                f"Did you mean '{other}'?",
            )

"""Tables of amounts on a page: which cell names a fabric, which says how much, in which size."""

from __future__ import annotations

import re

from kitmaker.reading.drafting.page_amounts import (
    AMOUNT,
    Stated,
    name_and_use,
    stated_in,
    states_amount,
)
from kitmaker.reading.drafting.page_clauses import wants_cut
from kitmaker.reading.drafting.page_sizes import SizeColumns
from kitmaker.reading.drafting.paragraphs import Paragraph
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_NUMBERS = re.compile(rf"[\d\s./⁄{FRACTION_SIGNS}]*[\d{FRACTION_SIGNS}][\d\s./⁄{FRACTION_SIGNS}]*")
_SAYS = re.compile(r"(?!none$|n/a$)[^\W_]", re.IGNORECASE)
_TOTAL = re.compile(r"(?:grand\s+)?totals?\b.*", re.IGNORECASE)
_LONGEST_NAME = 80
_SHORT = 10
"""A name so short is a letter or a place in the quilt, and the next cell says more."""


def stated_in_row(row: Paragraph, columns: SizeColumns | None) -> list[Stated]:
    """Return the amounts of a table's row, one for each size; none where they are not sure.

    Args:
        row: The row.
        columns: The columns that are each of a size; None where the table has none.
    """
    cells = row.cells
    stated = [at for at, cell in enumerate(cells) if _is_amount(cell, columns)]
    others = [" ".join(cell.split()) for at, cell in enumerate(cells) if at not in stated]
    names = [one for one in others if _SAYS.search(one) and not wants_cut(one, in_list=True)]
    names = [one for one in names if not AMOUNT.fullmatch(one) and not _NUMBERS.fullmatch(one)]
    if not stated or any(_TOTAL.fullmatch(one) or len(one) > _LONGEST_NAME for one in names[:1]):
        return []
    amounts = [cells[at] for at in stated]
    sizes: tuple[str, ...] = ("",)
    if columns is not None:
        sizes = columns.of_cells([row.lines[0].spans[at] for at in stated])
        if not sizes:
            sizes, amounts = tuple(columns.spans), [" / ".join(amounts)] * len(columns.spans)
    elif len(stated) > 1:
        amounts = [" / ".join(amounts)]
    own = stated_in(amounts[0]) if AMOUNT.fullmatch(amounts[0].strip()) is None else None
    if not names:
        return [own] if own and len(amounts) == 1 else []
    count = 2 if len(names[0]) <= _SHORT else 1
    name, use = name_and_use(": ".join(names[:count]))
    use = " ".join((use, *names[count:], own.name if own else "")).strip()
    return [Stated(name, amount, use, size) for amount, size in zip(amounts, sizes, strict=True)]


def _is_amount(cell: str, columns: SizeColumns | None) -> bool:
    is_bare = columns is not None and _NUMBERS.fullmatch(cell) is not None
    return is_bare or states_amount(cell, in_list=False)

"""Amounts on a page, in its lists and tables: of which fabric, and for which size of the quilt."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from kitmaker.reading.drafting.names import FabricNames
from kitmaker.reading.drafting.page_amounts import (
    AMOUNT,
    Stated,
    amounts_in,
    is_bare_amount,
    is_off_the_bolt,
    name_and_use,
    stated_in,
    states_amount,
)
from kitmaker.reading.drafting.page_clauses import (
    heading_of,
    heads_alone,
    plain_heading_of,
    section_of,
    wants_cut,
)
from kitmaker.reading.drafting.page_sizes import PageSizes, SizeColumns, size_named
from kitmaker.reading.drafting.paragraphs import Paragraph
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_NUMBERS = re.compile(rf"[\d\s./⁄{FRACTION_SIGNS}]*[\d{FRACTION_SIGNS}][\d\s./⁄{FRACTION_SIGNS}]*")
_SAYS = re.compile(r"(?!none$|n/a$)[^\W_]", re.IGNORECASE)
_CUT_SIZE = re.compile(r"\bwof\b|\d\s*[\"″”]?\s*[x×]", re.IGNORECASE)
_TOTAL = re.compile(r"(?:grand\s+)?totals?\b.*", re.IGNORECASE)
_LONGEST_NAME = 80
_SHORT = 10
"""A name so short is a letter or a place in the quilt, and the next cell says more."""


def find_amounts(paragraphs: Sequence[Paragraph], sizes: PageSizes) -> dict[int, list[Stated]]:
    """Return the amounts that a page states, by the number of their paragraph."""
    amounts: dict[int, list[Stated]] = {}
    section, size, columns = "", "", None
    for at, paragraph in enumerate(paragraphs):
        core = paragraph.core
        if not paragraph.cells:
            begun = section_of(core)
            columns = None if begun else columns
            section, size = begun or section, sizes.known(size_named(core)) or size
        elif columns is None or not columns.is_below(paragraph):
            columns = SizeColumns.of(paragraph) or columns
        if heading_of(core) is not None:
            section = "cutting"
        if section == "sewing":
            continue
        found = _stated(paragraph, columns, in_list=section == "materials")
        if not found and (name := _name_above(paragraphs, at)):
            found = [Stated(name, core)]
        if found:
            amounts[at] = [replace(stated, size=stated.size or size) for stated in found]
    _drop_cuts(amounts)
    return amounts


def _stated(paragraph: Paragraph, columns: SizeColumns | None, *, in_list: bool) -> list[Stated]:
    if paragraph.cells:
        return _stated_in_row(paragraph, columns)
    if not states_amount(paragraph.core, in_list=in_list):
        return []
    found = (stated_in(part) for part in amounts_in(paragraph.core))
    return [stated for stated in found if stated is not None and not _CUT_SIZE.search(stated.name)]


def _name_above(paragraphs: Sequence[Paragraph], at: int) -> str:
    """Return the name of a fabric whose amount stands alone on the line below it; "" for none.

    In a list where amounts stand above the names it is not sure which belong together.
    """

    def is_amount(place: int) -> bool:
        paragraph = paragraphs[place]
        return place > 0 and not paragraph.cells and is_bare_amount(paragraph.core)

    def is_name(place: int) -> bool:
        paragraph = paragraphs[place]
        is_near = paragraph.place.column == paragraphs[place + 1].place.column
        return place > 0 and is_near and not paragraph.cells and heads_alone(paragraph.core)

    first = at
    while is_amount(first) and is_name(first - 1) and not section_of(paragraphs[first - 1].core):
        first -= 2
    return "" if first == at or is_amount(first) else paragraphs[at - 1].core


def _drop_cuts(amounts: dict[int, list[Stated]]) -> None:
    """Take no strips or squares for an amount whose fabric has one: they are cut from it."""
    bought = FabricNames()
    for amount in (stated for found in amounts.values() for stated in found):
        if is_off_the_bolt(amount.amount):
            bought.add(amount.name, use=amount.use)
    for at, (stated, *_) in list(amounts.items()):
        heading = plain_heading_of(stated.amount)
        named = bought.find(heading.name if heading is not None else stated.name)
        if not is_off_the_bolt(stated.amount) and named:
            del amounts[at]


def _stated_in_row(row: Paragraph, columns: SizeColumns | None) -> list[Stated]:
    """Return the amounts of a table's row, one for each size; none where they are not sure."""
    cells = row.cells
    stated = [at for at, cell in enumerate(cells) if _is_amount(cell, columns)]
    others = [" ".join(cell.split()) for at, cell in enumerate(cells) if at not in stated]
    names = [
        other for other in others if _SAYS.search(other) and not wants_cut(other, in_list=True)
    ]
    names = [name for name in names if not AMOUNT.fullmatch(name) and not _NUMBERS.fullmatch(name)]
    if not stated or any(_TOTAL.fullmatch(name) or len(name) > _LONGEST_NAME for name in names[:1]):
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

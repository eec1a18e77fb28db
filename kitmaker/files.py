"""The shop's own files: patterns, drafts, workbooks of the shop and of its classes, read and saved.

What is read comes back as a frozen value with its ``problems``: a file that cannot be read at all
raises, a line that cannot be read for sure stands among the problems. Nothing that a person typed
is ever written over unseen.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from kitmaker.drafts import Draft
from kitmaker.errors import Location, UsageError
from kitmaker.lengths import Unit
from kitmaker.pattern import PatternReading
from kitmaker.shop import (
    ClassReading,
    ClassSheet,
    MeasuredReading,
    Shop,
    ShopReading,
    StashReading,
    figures_of,
)

if TYPE_CHECKING:
    from kitmaker.paper.starter_words import StarterKind

PathLike: TypeAlias = str | Path


def digest_of(path: PathLike) -> str:
    """Return the digest of a file's bytes, which the plan's number is made of."""
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()


def read_pattern(
    path: PathLike, size: str | None = None, shop: ShopReading | None = None
) -> PatternReading:
    """Read a pattern; what could not be read for sure is in ``.problems``.

    Args:
        path: A workbook (.xlsx, .ods) or .csv file; it is only read.
        size: The size to read; may be None where the pattern has one only.
        shop: The shop whose own forms the pattern may name.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or asks for no cuts.
        UsageError: The size is missing where there are several, or not one of them.
    """
    from kitmaker.reading import requirements

    catalogue = None if shop is None else shop.shop.catalogue
    found = requirements.read_pattern(Path(path), size, catalogue)
    return replace(found, digest=digest_of(path))


def draft(source: PathLike | bytes, size: str | None = None, unit: str | None = None) -> Draft:
    """Return a draft of a pattern: tidy rows beside the words they came from, open ones marked.

    A draft is for a pattern the shop has bought; each student needs a copy of it.

    Args:
        source: A workbook or .csv file in any layout, or a page: .txt, .docx, .pdf with text in
            it; or the bytes of one. It is only read.
        size: The size to take; None for all, side by side.
        unit: What bare numbers are in, ``"in"`` or ``"cm"``; None for what the pattern states.

    Returns:
        The rows, every other line of the source, and the rows that wait for a person
        (``.open_rows``); :func:`write_draft` writes it as a workbook that ``plan`` reads.

    Raises:
        UnreadableError: The file is missing, cannot be read, or asks for nothing to be cut.
        UsageError: The size is not one of the pattern's, or the unit is not known.
    """
    from kitmaker.reading.drafting.sources import draft_of

    try:
        known = None if unit is None else Unit(unit)
    except ValueError:
        message = f"'{unit}' is no unit that sizes are in"
        raise UsageError(message, "Give in or cm.") from None
    return draft_of(source if isinstance(source, bytes) else Path(source), size, known)


def write_draft(made: Draft, file: PathLike, page: PathLike | None = None) -> Path:
    """Write a draft as a new workbook, and where asked the page that shows how it was read.

    Args:
        made: The draft.
        file: The new workbook; its name ends in .xlsx.
        page: The new page; its name ends in .html. None for none.

    Returns:
        The workbook.

    Raises:
        UsageError: A name has another ending.
        OutputError: Something of that name already exists, or it cannot be written.
    """
    from kitmaker.paper.draft_book import build_draft
    from kitmaker.paper.draft_page import render_draft_page
    from kitmaker.paper.one_file import write_all_new

    named = [(Path(file), ".xlsx", "workbook")]
    named += [] if page is None else [(Path(page), ".html", "page")]
    for path, ending, what in named:
        if path.suffix.lower() != ending:
            raise UsageError(f"'{path.name}' is not a name for a {what}.", f"End it in {ending}.")
    files = {Path(file): build_draft(made)}
    if page is not None:
        files[Path(page)] = render_draft_page(made).encode()
    write_all_new(files)
    return Path(file)


def settle_draft(path: PathLike, answers: Mapping[str, str], *, over: str) -> None:
    """Write what a person chose and typed into the cells of a draft.

    Args:
        path: The draft's workbook.
        answers: Address to text, such as ``{"Pieces!N4": "no cut"}``; "" empties the cell.
        over: The digest of the file as it was read.

    Raises:
        UsageError: A cell is none that waits for a person.
        ChangedError: The file holds something else by now.
        OutputError: It cannot be written, or holds what would be lost.
        UnreadableError: It cannot be read.
    """
    from kitmaker.paper.cell_edits import edited
    from kitmaker.paper.one_file import write_over
    from kitmaker.reading.drafting.ticking import cells_to_settle, tick_rows
    from kitmaker.shopbooks.class_edits import Edit

    path = Path(path)
    cells = cells_to_settle(tick_rows(path))
    for where in answers:
        if where not in cells:
            raise UsageError(f"The cell {where} of '{path.name}' waits for nothing.")
    content = path.read_bytes()
    edits = [
        Edit(cell.sheet, cell.row, cell.column, text.strip() or None)
        for cell, text in ((cells[where], text) for where, text in answers.items())
        if text.strip() != cell.value
    ]
    if edits or hashlib.sha256(content).hexdigest() != over:
        write_over(path, edited(content, path.name, edits), over)


def read_shop(path: PathLike) -> ShopReading:
    """Read a shop's workbook: figures, forms, stock; what is not sure is in ``.problems``.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or is no shop's workbook.
    """
    from kitmaker.reading.workbook import read_workbook
    from kitmaker.shopbooks.shopbook import shop_of

    found = shop_of(read_workbook(Path(path)), Path(path).parent)
    return replace(found, digest=digest_of(path))


def read_class(path: PathLike, shop: ShopReading | None = None) -> ClassReading:
    """Read a class's workbook: kits, colorways, forms; what is not sure is in ``.problems``.

    Args:
        path: The workbook; it is only read.
        shop: The shop, whose own forms the class may name.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or is no class's workbook.
    """
    from kitmaker.reading.workbook import read_workbook
    from kitmaker.shopbooks.classbook import class_of

    found = class_of(read_workbook(Path(path)), None if shop is None else shop.shop.catalogue)
    return replace(found, digest=digest_of(path), path=str(path))


def read_pattern_of(
    class_sheet: ClassReading,
    shop: ShopReading | None = None,
    *,
    pattern: PathLike | None = None,
    size: str | None = None,
) -> PatternReading:
    """Read the pattern of a class in the class's size.

    Args:
        class_sheet: The class, as it was read from a file.
        shop: The shop whose own forms the pattern may name.
        pattern: The pattern's file; the one that the class names, beside it, when None.
        size: The size to read; the class's when None.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or asks for no cuts.
        UsageError: The class names no pattern; or the size is missing or not one of its sizes.
    """
    from kitmaker.shopbooks.pattern_file import pattern_beside

    sheet = class_sheet.class_sheet
    found = pattern_beside(sheet, Path(class_sheet.path)) if pattern is None else Path(pattern)
    try:
        return read_pattern(found, size or sheet.size, shop)
    except UsageError as fault:
        if size is not None:
            raise
        where = sheet.size_where or Location(sheet.workbook, "Class")
        raise UsageError(
            replace(
                problem, location=where, suggestion=problem.suggestion or "Type it beside Size."
            )
            for problem in fault.problems
        ) from None


def write_class(
    class_sheet: ClassSheet, path: PathLike, *, over: str = "", shop: ShopReading | None = None
) -> None:
    """Write a class into its workbook, which :func:`read_class` reads back.

    A new workbook is explained, with drop-downs, as ``kitmaker starter`` writes it. In one that
    is there only the cells change whose value is another; extras, remarks and other sheets stay.

    Args:
        class_sheet: What it is to say; the cells it names do not count.
        path: The workbook.
        over: The digest of the file that it goes into, as it was read; "" for a new file.
        shop: Whose SKUs and forms a new workbook's drop-downs offer.

    Raises:
        ChangedError: The file holds something else by now.
        OpenElsewhereError: A spreadsheet program has it open.
        OutputError: A new file's name is taken; it cannot be written; or it holds what would be
            lost, such as formulas.
        UnreadableError: The workbook to be changed cannot be read.
    """
    import tempfile

    from kitmaker.paper.cell_edits import edited
    from kitmaker.paper.one_file import write_new, write_over
    from kitmaker.paper.starter_words import StarterKind
    from kitmaker.reading.workbook import read_workbook
    from kitmaker.shopbooks.class_edits import class_edits
    from kitmaker.shopbooks.classbook import class_of

    path = Path(path)
    with tempfile.TemporaryDirectory() as room:
        stands = path
        if not over:
            stands = Path(room) / "blank.xlsx"
            stands.write_bytes(blank_book(StarterKind.CLASS, figures_of(shop)))
        book = read_workbook(stands)
        content = stands.read_bytes()
        edits = class_edits(book, class_of(book).class_sheet, class_sheet)
    if not over:
        write_new(path, edited(content, path.name, edits))
    elif edits or hashlib.sha256(content).hexdigest() != over:
        write_over(path, edited(content, path.name, edits), over)


def blank_book(kind: StarterKind, shop: Shop | None) -> bytes:
    """Return a blank, explained workbook; its drop-downs offer a shop's SKUs, prints and forms."""
    from kitmaker.paper.starter_book import build_starter
    from kitmaker.paper.starter_words import StarterKind

    offered: dict[str, tuple[str, ...]] = {}
    if shop is not None:
        stock = shop.stock or ()
        offered["Form"] = tuple(form.form_id for form in shop.catalogue)
        if kind is not StarterKind.SHOP:
            offered["SKU"] = tuple(dict.fromkeys(row.sku for row in stock))
        if kind is StarterKind.STASH:
            prints = (f"{row.sku} {row.print_name}".strip() for row in stock)
            offered["Fabric"] = tuple(dict.fromkeys(prints))
    return build_starter(kind, offered)


def read_measured(
    path: PathLike, pattern: PatternReading, shop: ShopReading | None = None
) -> MeasuredReading:
    """Read a list of cloth as it was really measured; what is not sure is in ``.problems``.

    Args:
        path: A workbook or .csv file headed SKU, Width, Length, Count; it is only read.
        pattern: Bare measures are in its unit where the shop states none.
        shop: Bare measures are in its unit.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or has no such table.
    """
    from kitmaker.shopbooks.cutsbook import read_cuts

    unit = figures_of(shop).unit_beside(pattern.pattern.unit)
    return replace(read_cuts(Path(path), unit), digest=digest_of(path))


def read_cloth(path: PathLike, shop: ShopReading | None = None) -> StashReading:
    """Read a list of cloth at hand, for :func:`breakdown`; what is not sure is in ``.problems``.

    Args:
        path: A workbook or .csv file headed Fabric, Width, Length, Count (or Form, Count).
        shop: Its unit and its own forms.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or has no such table.
    """
    from kitmaker.shopbooks.stash import read_stash

    figures = figures_of(shop)
    found = read_stash(Path(path), figures.unit, figures.catalogue)
    return replace(found, digest=digest_of(path))

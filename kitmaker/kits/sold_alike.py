"""A SKU is sold by length or by count: what a class takes is held against the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kitmaker.errors import Location, UsageError, error
from kitmaker.kits.shelf import rows_of
from kitmaker.pattern import PatternReading
from kitmaker.plans import PullLine
from kitmaker.shop import ClassReading, Shop


def check_sold_alike(
    pull: Sequence[PullLine],
    shop: Shop,
    pattern: PatternReading,
    sheet: ClassReading,
    unlisted: dict[str, tuple[bool, Location]],
) -> None:
    """Hold that a class takes by length only what is sold by length.

    Of each SKU that no Stock sheet lists it is noted in ``unlisted`` whether it is taken by
    length, and where.

    Raises:
        UsageError: A SKU is sold by length in one workbook and by count in another.
    """
    for line in pull:
        if shop.stock is None or not line.sku:
            continue
        rows = rows_of(shop, line.sku)
        where = _sku_cell(line.sku, pattern, sheet)
        by_length = bool(line.length)
        if not rows and not (line.length and line.forms):
            first, other = unlisted.setdefault(line.sku.casefold(), (by_length, where))
            if first is not by_length:
                raise _sold_unlike(line.sku, where, other, by_length=by_length)
        elif rows and by_length and all(row.form is not None for row in rows):
            raise _sold_unlike(line.sku, where, rows[0].where, by_length=True)


def _sold_unlike(sku: str, where: Location, other: Location, *, by_length: bool) -> UsageError:
    here, there = ("length", "count") if by_length else ("count", "length")
    message = f"SKU {sku} is taken by {here} here, and sold by {there} in {other}"
    return UsageError([error(message, where, "Choose a form in which it is on the shelf.")])


def _sku_cell(sku: str, pattern: PatternReading, sheet: ClassReading) -> Location:
    """Return the cell that says that a class takes a SKU."""
    key = sku.casefold()
    for colorway in sheet.class_sheet.colorways:
        for role, own in colorway.skus.items():
            if own.casefold() == key and colorway.where is not None:
                return replace(colorway.where, cell=colorway.cells.get(role))
    found = (
        fabric.where for fabric in pattern.pattern.fabrics if (fabric.sku or "").casefold() == key
    )
    return next(found, Location(sheet.class_sheet.workbook))

"""The files a command is given, read together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kitmaker import api, files
from kitmaker.errors import Problem, UsageError, error, warning
from kitmaker.pattern import PatternReading
from kitmaker.reading.grid import Workbook
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import ClassReading, MeasuredReading, ShopReading, StockRow, figures_of
from kitmaker.shopbooks.classbook import class_of
from kitmaker.shopbooks.ledger import find_sheet
from kitmaker.shopbooks.shopbook import holds_shop, shop_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """Everything that was read."""

    reading: PatternReading  # the pattern
    shop: ShopReading | None = None  # the shop's workbook; None where there is none
    class_sheet: ClassReading | None = None  # the class's; None where there is none
    # the cloth as it was really measured; None where it was not
    measured: MeasuredReading | None = None

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything reading had to say."""
        read = (self.reading, self.shop, self.class_sheet, self.measured)
        return tuple(problem for one in read if one is not None for problem in one.problems)


def read_inputs(
    pattern: Path | None,
    *,
    size: str | None = None,
    shop: Path | None = None,
    class_file: Path | None = None,
    measured: Path | None = None,
) -> Inputs:
    """Read a pattern with the shop's and the class's workbooks.

    Without a pattern it is the one that the class workbook names, without a size the class's;
    without a shop the class workbook is the shop's too, if it holds shop sheets.

    Raises:
        UnreadableError: A file is missing or cannot be read at all.
        UsageError: No pattern is given, or the size is not one of the pattern's.
    """
    found_shop, found_class = _shop_and_class(shop, class_file)
    if found_class is not None:
        reading = files.read_pattern_of(found_class, found_shop, pattern=pattern, size=size)
    elif pattern is None:
        raise UsageError("No pattern is given: name its file, or a class workbook that names it.")
    else:
        reading = api.read_pattern(pattern, size, found_shop)
    return Inputs(
        reading=reading,
        shop=found_shop,
        class_sheet=found_class,
        measured=None if measured is None else api.read_measured(measured, reading, found_shop),
    )


def _shop_and_class(
    shop: Path | None, class_file: Path | None
) -> tuple[ShopReading | None, ClassReading | None]:
    """Read both workbooks, one file that holds both only once."""
    if class_file is None:
        return (None if shop is None else api.read_shop(shop)), None
    book = read_workbook(class_file)
    found_shop: ShopReading | None = None
    if shop is not None and shop != class_file:
        found_shop = api.read_shop(shop)
    elif shop is not None or holds_shop(book):
        found_shop = replace(shop_of(book, class_file.parent), digest=files.digest_of(class_file))
    return found_shop, _class_in(book, class_file, found_shop)


def _class_in(book: Workbook, path: Path, shop: ShopReading | None) -> ClassReading:
    found = class_of(book, figures_of(shop).catalogue)
    return replace(found, digest=files.digest_of(path), path=str(path))


def read_classes(paths: Sequence[Path], shop: ShopReading) -> list[ClassReading]:
    """Read the classes of a season; a Stock sheet of their own is not the season's shelf.

    Raises:
        UnreadableError: A file is missing, cannot be read at all, or is no class's workbook.
        UsageError: A Stock sheet counts a SKU that another has by length.
    """
    found: list[ClassReading] = []
    unlike: list[Problem] = []
    for path in paths:
        book = read_workbook(path)
        one = _class_in(book, path, shop)
        if one.digest != shop.digest and (sheet := find_sheet(book, "Stock")) is not None:
            unlike += _unlike_stock(shop_of(book).shop.stock or (), shop.shop.stock or ())
            message = f"this sheet is ignored: stock is read from {shop.shop.workbook}"
            one = replace(one, problems=(*one.problems, warning(message, sheet.location)))
        found.append(one)
    if unlike:
        raise UsageError(unlike)
    return found


def _unlike_stock(own: Sequence[StockRow], shelf: Sequence[StockRow]) -> Iterator[Problem]:
    """Yield the SKUs that one sheet has by length and the other by count."""
    ways: dict[str, dict[bool, StockRow]] = {}
    for row in shelf:
        ways.setdefault(row.sku.casefold(), {}).setdefault(row.form is None, row)
    for row in own:
        known = ways.get(row.sku.casefold())
        if known and (row.form is None) not in known:
            (other,) = known.values()
            here, there = ("length", "count") if row.form is None else ("count", "length")
            message = f"SKU {row.sku} is sold by {here} here, and by {there} in {other.where}"
            yield error(message, row.where, "Make the two sheets agree.")

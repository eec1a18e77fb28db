"""The files a command is given, read together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath, PureWindowsPath

from kitmaker import api
from kitmaker.errors import Location, Problem, UnreadableError, UsageError, error
from kitmaker.pattern import PatternReading
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import ClassReading, ClassSheet, MeasuredReading, ShopReading, figures_of
from kitmaker.shopbooks.classbook import class_of
from kitmaker.shopbooks.shopbook import holds_shop, shop_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """Everything that was read.

    Attributes:
        reading: The pattern.
        shop: The shop's workbook; None where there is none.
        class_sheet: The class's; None where there is none.
        measured: The cloth as it was really measured; None where it was not.
    """

    reading: PatternReading
    shop: ShopReading | None = None
    class_sheet: ClassReading | None = None
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

    Args:
        pattern: The pattern's file; None where the class workbook names it.
        size: The size asked for; the class workbook's where None.
        shop: The shop's workbook; where None, the class workbook if it holds shop sheets.
        class_file: The class's workbook.
        measured: The workbook of measured cloth.

    Raises:
        UnreadableError: A file is missing or cannot be read at all.
        UsageError: No pattern is given, or the size is not one of the pattern's.
    """
    found_shop, found_class = _shop_and_class(shop, class_file)
    sheet = ClassSheet() if found_class is None else found_class.class_sheet
    if pattern is None:
        pattern = _named_pattern(sheet, class_file)
    try:
        reading = api.read_pattern(pattern, size or sheet.size, found_shop)
    except UsageError as fault:
        if size is not None or class_file is None:
            raise
        where = sheet.size_where or Location(class_file.name, "Class")
        raise UsageError(
            replace(one, location=where, suggestion=one.suggestion or "Type it beside Size.")
            for one in fault.problems
        ) from None
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
    digest = api.digest_of(class_file)
    found_shop: ShopReading | None = None
    if shop is not None and shop != class_file:
        found_shop = api.read_shop(shop)
    elif shop is not None or holds_shop(book):
        found_shop = replace(shop_of(book), digest=digest)
    found_class = class_of(book, figures_of(found_shop).catalogue)
    return found_shop, replace(found_class, digest=digest)


def _is_there(path: Path) -> bool:
    """Whether a file exists; no file has a name that the system cannot hold."""
    try:
        return path.exists()
    except OSError:
        return False


def _named_pattern(class_sheet: ClassSheet, class_file: Path | None) -> Path:
    if class_file is None:
        raise UsageError("No pattern is given: name its file, or a class workbook that names it.")
    named = class_sheet.pattern_file
    if named is None:
        raise UsageError(
            f"No pattern is given, and {class_file.name} does not name one. Type the file's name "
            "beside 'Pattern file' on the Class sheet, or give it to the command."
        )
    parts = {*PurePosixPath(named).parts, *PureWindowsPath(named).parts}
    if ".." in parts or PurePosixPath(named).is_absolute() or PureWindowsPath(named).drive:
        raise UsageError(
            f"The Class sheet of {class_file.name} names the pattern file '{named}', which lies in "
            "another folder. Put the pattern beside the class workbook, or give it to the command."
        )
    if not _is_there(class_file.parent / named):
        raise UnreadableError(
            (
                error(
                    f"there is no file '{named}' beside the class workbook",
                    class_sheet.pattern_where,
                    "Look at its name, or put it there.",
                ),
            )
        )
    return class_file.parent / named

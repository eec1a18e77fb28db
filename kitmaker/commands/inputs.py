"""The files a command is given, read together."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath, PureWindowsPath

from kitmaker import __version__
from kitmaker.errors import Location, Problem, UnreadableError, UsageError, error, has_errors
from kitmaker.pattern import PatternReading
from kitmaker.reading.requirements import read_pattern
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import ClassSheet, MeasuredPiece, Shop
from kitmaker.shopbooks.classbook import class_of
from kitmaker.shopbooks.cutsbook import read_cuts
from kitmaker.shopbooks.shopbook import holds_shop, read_shop, shop_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """Everything that was read.

    Attributes:
        reading: The pattern.
        shop: The shop's figures, defaults where there is no workbook.
        class_sheet: The class's, empty where there is no workbook.
        shop_problems: What the shop's and the class's workbooks had to say.
        measured: The cloth as it was really measured; empty when it was not.
        paths: The files read, pattern first.
    """

    reading: PatternReading
    shop: Shop
    class_sheet: ClassSheet
    shop_problems: tuple[Problem, ...]
    paths: tuple[Path, ...]
    measured: tuple[MeasuredPiece, ...] = ()

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything reading had to say."""
        return (*self.reading.problems, *self.shop_problems)


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
    class_book = read_workbook(class_file) if class_file is not None else None
    if shop is None and class_book is not None and holds_shop(class_book):
        shop = class_file
    figures, class_sheet, problems = Shop(), ClassSheet(), []
    if shop is not None:
        same = class_book if shop == class_file else None
        shop_reading = read_shop(shop) if same is None else shop_of(same)
        figures, problems = shop_reading.shop, list(shop_reading.problems)
    if class_book is not None:
        class_reading = class_of(class_book, figures.catalogue)
        class_sheet = class_reading.class_sheet
        problems += class_reading.problems
    if pattern is None:
        pattern = _named_pattern(class_sheet, class_file)
    try:
        reading = read_pattern(pattern, size or class_sheet.size, figures.catalogue)
    except UsageError as fault:
        if size is not None or class_file is None:
            raise
        where = class_sheet.size_where or Location(class_file.name, "Class")
        raise UsageError(
            replace(one, location=where, suggestion=one.suggestion or "Type it beside Size.")
            for one in fault.problems
        ) from None
    unit = figures.unit_beside(reading.pattern.unit)
    cuts = read_cuts(measured, unit) if measured is not None else None
    problems += cuts.problems if cuts is not None else ()
    paths = [path for path in (pattern, shop, class_file, measured) if path is not None]
    return Inputs(
        reading=reading,
        shop=figures,
        class_sheet=class_sheet,
        shop_problems=tuple(problems),
        paths=tuple(dict.fromkeys(paths)),
        measured=cuts.pieces if cuts is not None else (),
    )


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
    if not (class_file.parent / named).exists():
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


def stop_on_errors(problems: Sequence[Problem]) -> None:
    """Stop where a shop's or class's workbook could not be read for sure.

    Raises:
        UnreadableError: With every problem that blocks.
    """
    if has_errors(problems):
        raise UnreadableError(problem for problem in problems if problem.is_error)


def plan_number(paths: Sequence[Path], choices: object) -> str:
    """Return the plan number: six characters that stand for these inputs and choices.

    The same files and the same choices give the same number on every machine; neither the
    time nor the folders go into it.
    """
    digest = hashlib.sha256(__version__.encode())
    for path in paths:
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    digest.update(repr(choices).encode())
    return digest.hexdigest()[:6].upper()

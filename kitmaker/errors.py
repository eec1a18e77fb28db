"""Problems, and the few ways in which a command can end.

A *problem* is a value: readers and checks collect them and go on, so that a person
sees all of a file's faults at once. A :class:`KitmakerError` is raised once, at the
end of a stage, and carries every problem found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import ClassVar


class ExitCode(IntEnum):
    """What the command tells the shell when it ends."""

    DONE = 0
    CANNOT_BE_MET = 1
    USAGE = 2
    UNREADABLE = 3
    NOT_WRITTEN = 4
    OUR_FAULT = 70  # EX_SOFTWARE of the BSD sysexits list


class Level(StrEnum):
    """How serious a problem is: an error blocks, a warning is only said."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, order=True)
class Location:
    """A place in a file that a person can go to."""

    workbook: str  # the file's name without its folders, or "" for a command-line option
    sheet: str | None = None  # the worksheet's name; None in a .csv file
    cell: str | None = None  # an address such as ``C5``; None for a whole sheet or file

    @property
    def address(self) -> str:
        """The place inside the file: ``Cutting!C5``, in a .csv file ``C5``."""
        if self.sheet is None:
            return self.cell or ""
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet

    def __str__(self) -> str:
        parts = [self.workbook] if self.workbook else []
        if self.sheet is not None:
            parts.append(f"sheet '{self.sheet}'")
        if self.cell is not None:
            parts.append(f"cell {self.cell}")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a person has to know or fix."""

    level: Level  # whether it blocks
    message: str  # what is wrong and what was understood, in one sentence
    location: Location | None = None  # where it stands; None when it belongs to no cell
    suggestion: str = ""  # what to type or do instead; "" when there is nothing to do
    # of words with several honest readings, each as it could be typed
    readings: tuple[str, ...] = ()

    @property
    def is_error(self) -> bool:
        """Whether this problem blocks."""
        return self.level is Level.ERROR

    @property
    def sentence(self) -> str:
        """The message with the stop that ends it."""
        return self.message if self.message.endswith((".", "!", "?")) else f"{self.message}."

    def __str__(self) -> str:
        where = f"{self.location}: " if self.location is not None and str(self.location) else ""
        end = f" {self.suggestion}" if self.suggestion else ""
        return f"{where}{self.sentence}{end}"


def error(message: str, location: Location | None = None, suggestion: str = "") -> Problem:
    """Return a problem that blocks."""
    return Problem(Level.ERROR, message, location, suggestion)


def warning(message: str, location: Location | None = None, suggestion: str = "") -> Problem:
    """Return a problem that is only said."""
    return Problem(Level.WARNING, message, location, suggestion)


class Problems(list[Problem]):
    """Problems as they are found, one after the other."""

    def refuse(self, message: str, location: Location | None = None, suggestion: str = "") -> None:
        """Add a problem that blocks."""
        self.append(error(message, location, suggestion))

    def warn(self, message: str, location: Location | None = None, suggestion: str = "") -> None:
        """Add a problem that is only said."""
        self.append(warning(message, location, suggestion))


def has_errors(problems: Iterable[Problem]) -> bool:
    """Return whether any of the problems blocks."""
    return any(problem.is_error for problem in problems)


class NotSureError(ValueError):
    """A text that cannot be read for sure, with what to type instead as its ``suggestion``."""

    usual: ClassVar[str] = ""  # what to type instead where nothing else is said

    def __init__(self, message: str, suggestion: str = "") -> None:
        """Take what is not sure, as words for a person."""
        super().__init__(message)
        self.suggestion = suggestion or self.usual


class KitmakerError(Exception):
    """The base of everything kitmaker raises on purpose.

    Attributes:
        problems: What went wrong, at least one.
        exit_code: How the command ends because of it.
    """

    exit_code: ClassVar[ExitCode] = ExitCode.OUR_FAULT

    def __init__(self, problems: Iterable[Problem] | str, suggestion: str = "") -> None:
        """Take the problems, or one message, with what to do, for an error without a place."""
        if isinstance(problems, str):
            problems = (error(problems, None, suggestion),)
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class CannotBeMetError(KitmakerError):
    """The request is understood and cannot be met."""

    exit_code = ExitCode.CANNOT_BE_MET


class UsageError(KitmakerError):
    """The command was given something that contradicts itself or is not known."""

    exit_code = ExitCode.USAGE


class UnreadableError(KitmakerError):
    """A file is missing or cannot be read at all."""

    exit_code = ExitCode.UNREADABLE


class OutputError(KitmakerError):
    """The output could not be written; nothing half-written is left."""

    exit_code = ExitCode.NOT_WRITTEN


class ChangedError(OutputError):
    """A file was changed since it was read, so it is not written over."""


class OpenElsewhereError(OutputError):
    """A spreadsheet program has the file open, so it is not written over."""


class OurFaultError(KitmakerError):
    """A plan failed kitmaker's own check: a fault of ours, nothing is written."""

    exit_code = ExitCode.OUR_FAULT

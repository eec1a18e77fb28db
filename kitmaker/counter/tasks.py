"""Long work as values that another process can be handed: what to do, and what it tells back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from kitmaker.choosing import FabricOptions
from kitmaker.errors import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTask:
    """Plan a class into a folder beside its workbook.

    Attributes:
        class_file: The class's workbook.
        shop: The shop's workbook; None without one.
        leave_out_unread: Whether lines that could not be read are left out.
    """

    class_file: Path
    shop: Path | None
    leave_out_unread: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsTask:
    """Work out each fabric of a pattern in each form.

    Attributes:
        pattern: The pattern's file.
        size: Its size; None where it has one only.
        shop: The shop's workbook; None without one.
    """

    pattern: Path
    size: str | None
    shop: Path | None


Task: TypeAlias = PlanTask | FormsTask


@dataclass(frozen=True, slots=True)
class Said:
    """What is being worked out now."""

    words: str


@dataclass(frozen=True, slots=True)
class Beat:
    """The work goes on."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan was written.

    Attributes:
        folder: The name of its folder.
    """

    folder: str


@dataclass(frozen=True, slots=True)
class Converted:
    """Each fabric in each form."""

    options: tuple[FabricOptions, ...]


@dataclass(frozen=True, slots=True)
class Failed:
    """It cannot be done; nothing was written."""

    problems: tuple[Problem, ...]


Told: TypeAlias = Said | Beat | Planned | Converted | Failed

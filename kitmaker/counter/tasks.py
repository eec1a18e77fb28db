"""Long work as values that another process can be handed: what to do, and what it tells back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from kitmaker.choosing import FabricOptions
from kitmaker.errors import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTask:
    """Plan a class into a folder beside its workbook."""

    class_file: Path  # the class's workbook
    shop: Path | None  # the shop's workbook; None without one
    leave_out_unread: bool = False  # whether lines that could not be read are left out


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsTask:
    """Work out each fabric of a pattern in each form."""

    pattern: Path  # the pattern's file
    size: str | None  # its size; None where it has one only
    shop: Path | None  # the shop's workbook; None without one


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
    """A plan was written."""

    folder: str  # the name of its folder


@dataclass(frozen=True, slots=True)
class Converted:
    """Each fabric in each form."""

    options: tuple[FabricOptions, ...]


@dataclass(frozen=True, slots=True)
class Failed:
    """It cannot be done; nothing was written."""

    problems: tuple[Problem, ...]


Told: TypeAlias = Said | Beat | Planned | Converted | Failed

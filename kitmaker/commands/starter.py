"""``starter``: a blank, explained workbook to fill in. Nothing is ever overwritten."""

from __future__ import annotations

from pathlib import Path

from kitmaker import files
from kitmaker.errors import UsageError
from kitmaker.paper.one_file import write_new
from kitmaker.paper.starter_words import StarterKind


def write_starter(
    path: Path, kind: StarterKind = StarterKind.PATTERN, shop: Path | None = None
) -> None:
    """Write a blank workbook.

    Its drop-downs offer the SKUs and forms of the shop's workbook, where there is one.

    Raises:
        UsageError: The name does not end in .xlsx.
        UnreadableError: The shop's workbook cannot be read.
        OutputError: Something of that name already exists, or it cannot be written.
    """
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"'{path.name}' is not a name for a workbook.", "End it in .xlsx.")
    figures = None if shop is None else files.read_shop(shop).shop
    write_new(path, files.blank_book(kind, figures))


def starter_text(path: Path, kind: StarterKind) -> str:
    """Return what is said when it is written."""
    then = {
        StarterKind.PATTERN: f"kitmaker check {path.name}",
        StarterKind.SHOP: f"kitmaker plan PATTERN --shop {path.name}",
        StarterKind.CLASS: f"kitmaker plan --class {path.name}",
        StarterKind.MEASURED: f"the plan again with --measured {path.name}",
        StarterKind.STASH: f"kitmaker breakdown {path.name} --into 5",
    }
    return f"{path} is written. Fill it in, then run: {then[kind]}"

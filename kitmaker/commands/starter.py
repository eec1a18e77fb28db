"""``starter``: a blank, explained workbook to fill in. Nothing is ever overwritten."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from kitmaker.errors import OutputError, UsageError, error
from kitmaker.paper.starter_book import StarterMarks, build_starter
from kitmaker.paper.starter_words import StarterKind
from kitmaker.reading.hints import EXAMPLE, HELP_SHEET, HINT


def write_starter(path: Path, kind: StarterKind = StarterKind.PATTERN) -> None:
    """Write a blank workbook.

    Args:
        path: The new file; its name ends in .xlsx.
        kind: Whether for a pattern, the shop or a class.

    Raises:
        UsageError: The name does not end in .xlsx.
        OutputError: Something of that name is there already, or it cannot be written.
    """
    if path.suffix.lower() != ".xlsx":
        raise UsageError(
            [error(f"'{path.name}' is not a name for a workbook.", None, "End it in .xlsx.")]
        )
    content = build_starter(kind, StarterMarks(help_sheet=HELP_SHEET, example=EXAMPLE, hint=HINT))
    try:
        stream = path.open("xb")
    except FileExistsError:
        raise OutputError(
            [error(f"'{path}' is there already; it is left alone.", None, "Choose another name.")]
        ) from None
    except OSError as fault:
        raise OutputError(f"'{path}' could not be written: {fault.strerror}.") from None
    try:
        with stream:
            stream.write(content)
    except OSError as fault:
        with suppress(OSError):
            path.unlink()
        raise OutputError(f"'{path}' could not be written: {fault.strerror}.") from None


def starter_text(path: Path, kind: StarterKind) -> str:
    """Return what is said when it is written."""
    then = {
        StarterKind.PATTERN: f"kitmaker check {path.name}",
        StarterKind.SHOP: f"kitmaker plan PATTERN --shop {path.name}",
        StarterKind.CLASS: f"kitmaker plan --class {path.name}",
    }
    return f"{path} is written. Fill it in, then run: {then[kind]}"

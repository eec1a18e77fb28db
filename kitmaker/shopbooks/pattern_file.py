"""The file of a class's pattern: it lies beside the class's workbook, which names it."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

from kitmaker.errors import UnreadableError, UsageError, error
from kitmaker.shop import ClassSheet


def pattern_beside(class_sheet: ClassSheet, class_file: Path) -> Path:
    """Return the pattern's file that a class's workbook names.

    Raises:
        UsageError: It names none, or one in another folder.
        UnreadableError: There is no such file.
    """
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


def _is_there(path: Path) -> bool:
    """Whether a file exists; no file has a name that the system cannot hold."""
    try:
        return path.exists()
    except OSError:
        return False

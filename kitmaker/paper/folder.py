"""Writing a plan's folder whole or not at all.

Everything is first written into a new folder beside the target; only then do the two
change places by renaming. What stood there before is put back when that fails.
"""

from __future__ import annotations

import fnmatch
import json
import re
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from kitmaker.errors import OutputError, error
from kitmaker.paper.swap import put_back, put_in_place, working_room

OUR_FILES = (
    "index.html",
    "pull-list.html",
    "packing-list.html",
    "reading.html",
    "bag-labels.html",
    "piece-labels.html",
    "students-cutting-guide.html",
    "cutting-sheet-*.html",
    "results.xlsx",
    "stock-after.xlsx",
    "plan.json",
)
"""What a plan's folder may hold; anything else in it belongs to someone else."""

_MARKER = "plan.json"
_LONGEST_NAME = 100
_MOST_BYTES = 200  # file systems allow 255 bytes; a copy may be given a longer name
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$", "clock$"}
    | {f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"}
)


def safe_folder_name(pattern_name: str, plan_number: str) -> str:
    """Return a folder name made of a pattern's name and the plan's number.

    Letters and digits of any script stay, everything else becomes a hyphen: separators,
    leading dots, control, shell and direction-turning characters among them. A name that
    Windows keeps for a device is told apart, and nothing is longer than 100 characters.
    """
    number = _fold(plan_number)[:40]
    name = _fold(pattern_name) or "plan"
    if name.casefold() in _DEVICES:
        name = f"plan-{name}"
    tail = f"-{number}" if number else ""
    name = name[: _LONGEST_NAME - len(tail)]
    while len((name + tail).encode()) > _MOST_BYTES:
        name = name[:-1]
    return (name.strip("-") or "plan") + tail


def _fold(text: str) -> str:
    kept = "".join(
        char if unicodedata.category(char)[0] in "LN" or unicodedata.combining(char) else "-"
        for char in unicodedata.normalize("NFKC", text)
    )
    return re.sub(r"-+", "-", kept).strip("-")


def write_folder(
    out: Path,
    files: Mapping[str, bytes],
    *,
    our_files: Sequence[str] = OUR_FILES,
    marker: str = _MARKER,
) -> None:
    """Write files into a folder of their own, all of them or none.

    Args:
        out: The folder. A plan of ours in it is replaced whole; an empty folder is filled.
        files: File name to content; plain names only.
        our_files: Patterns of the names that a folder of ours may hold.
        marker: The file that shows that a folder is ours.

    Raises:
        OutputError: It cannot be written, or holds what is not ours; nothing is changed.
    """
    for name in files:
        if name != Path(name).name or name in {"", ".", ".."}:
            raise ValueError(f"not a plain file name: {name!r}")
    try:
        target = out.resolve()
        put_back(target)
        _check_target(target, our_files, marker)
        made = _make_parents(target.parent)
    except (OSError, RuntimeError) as fault:
        raise _cannot_write(out, fault) from fault
    try:
        _write_and_swap(target, files, our_files, marker)
    except OSError as fault:
        _take_away(made)
        raise _cannot_write(out, fault) from fault
    except BaseException:  # stopped by hand, for example
        _take_away(made)
        raise


def _take_away(made: Sequence[Path]) -> None:
    """Take away the folders that were made above a target that was not written."""
    for folder in reversed(made):
        with suppress(OSError):
            folder.rmdir()


def _cannot_write(out: Path, fault: Exception) -> OutputError:
    reason = getattr(fault, "strerror", None) or str(fault)
    if isinstance(fault, PermissionError):
        # Windows lets no folder be replaced while a program has one of its files open.
        instead = (
            "Nothing was changed. If results.xlsx or another of its files is open in a program, "
            "close it and run again; otherwise name another folder with --out."
        )
    else:
        instead = "Nothing was changed. Free some space or name another folder with --out."
    return OutputError(
        (error(f"The folder '{out}' could not be written: {reason}.", None, instead),)
    )


def _check_target(target: Path, our_files: Sequence[str], marker: str) -> None:
    """Hold that nothing but a plan of ours would be replaced."""
    if not target.exists():
        return
    if not target.is_dir():
        raise OutputError(
            (
                error(
                    f"'{target.name}' is a file, not a folder.",
                    None,
                    "Name another folder with --out.",
                ),
            )
        )
    entries = sorted(target.iterdir())
    if not entries:
        return
    foreign = [
        entry.name
        for entry in entries
        if not entry.is_file()
        or entry.is_symlink()
        or not any(fnmatch.fnmatchcase(entry.name, pattern) for pattern in our_files)
    ]
    if not _is_ours(target / marker):
        raise OutputError(
            (
                error(
                    f"The folder '{target.name}' is not empty and holds no plan of kitmaker.",
                    None,
                    "Nothing was changed. Name a new or empty folder with --out.",
                ),
            )
        )
    if foreign:
        shown = ", ".join(f"'{name}'" for name in foreign[:3])
        more = " and others" if len(foreign) > 3 else ""
        raise OutputError(
            (
                error(
                    f"The folder '{target.name}' holds {shown}{more}, "
                    "which kitmaker did not write.",
                    None,
                    "Nothing was changed. Move that elsewhere, or name another folder with --out.",
                ),
            )
        )


def _is_ours(marker: Path) -> bool:
    try:
        with marker.open("rb") as file:
            kept = json.load(file)
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(kept, dict) and "schema" in kept


def _make_parents(folder: Path) -> list[Path]:
    """Make the folders above the target; return those made, the outermost first."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    missing.reverse()
    made: list[Path] = []
    try:
        for one in missing:
            one.mkdir()
            made.append(one)
    except BaseException:  # stopped by hand as well
        for one in reversed(made):
            one.rmdir()
        raise
    return made


def _write_and_swap(
    target: Path, files: Mapping[str, bytes], our_files: Sequence[str], marker: str
) -> None:
    with working_room(target) as room:
        fresh = room / "new"
        fresh.mkdir()
        for name, content in files.items():
            (fresh / name).write_bytes(content)
        # Looked at again: somebody may have put a file there while this one was written.
        _check_target(target, our_files, marker)
        put_in_place(fresh, target, room / "old")

"""Writing a plan's folder whole or not at all.

Everything is first written into a new folder; only then does it take the old one's place by
renaming. What was there before is put back when that fails. Only files that were written with
a plan are ever replaced: the plan's own record lists them.
"""

from __future__ import annotations

import json
import re
import shutil
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from kitmaker.errors import OutputError
from kitmaker.paper.stamp import files_changed, files_of
from kitmaker.paper.swap import (
    exchange_files,
    make_alike,
    must_stay,
    put_back,
    put_in_place,
    room_prefix,
    working_room,
)

PLAN = "plan.json"
"""The file that shows that a folder holds a plan, and which of its files belong to it."""

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
    out: Path, files: Mapping[str, bytes], *, marker: str = PLAN, replace: bool = False
) -> None:
    """Write files into a folder of their own, all of them or none.

    Args:
        out: The folder. An empty one is filled; one that holds a plan is replaced whole.
        files: File name to content; plain names only.
        marker: The stamped JSON among the files that shows that a folder is ours.
        replace: Whether files that were changed since they were written, and another class's
            plan, are written over.

    Raises:
        OutputError: It cannot be written, or holds what is not ours; nothing is changed.
    """
    text = files.get(marker)
    check_folder(out, marker, None if replace else _parsed(text), replace=replace)
    for name in files:
        if name != Path(name).name or name in {"", ".", ".."}:
            raise ValueError(f"not a plain file name: {name!r}")
    try:
        target = out.resolve()
        put_back(target)
        _old_files(target, marker)
        with _parents_made(target.parent):
            _write_and_swap(target, files, marker)
    except (OSError, RuntimeError) as fault:
        raise _cannot_write(out, fault) from fault


def check_folder(
    out: Path, marker: str = PLAN, data: object = None, *, replace: bool = False
) -> None:
    """Hold that a folder may be written, as far as that shows before anything is worked out.

    Args:
        out: The folder.
        marker: The stamped JSON that shows that a folder is ours.
        data: What the new marker says, where it is known: another class's plan is refused.
        replace: Whether changed files and another class's plan may be written over.

    Raises:
        OutputError: It holds what is not ours, or what would be lost.
    """
    try:
        target = out.resolve()
        put_back(target)
        if not _old_files(target, marker) or replace:
            return
        last = _parsed((target / marker).read_bytes())
        changed = files_changed(target, last)
    except (OSError, RuntimeError) as fault:
        raise _cannot_write(out, fault) from fault
    todo = "Nothing was changed. Add --replace to write over it, or name another folder"
    if isinstance(data, dict) and (other := _other_class(last, data)):
        raise _refused(f"The folder '{target.name}' holds the plan of {other}.", todo)
    if changed:
        named = _name_some(changed)
        verb, them = ("was", "it") if len(changed) == 1 else ("were", "them")
        message = (
            f"In the folder '{target.name}', {named} {verb} changed since kitmaker wrote {them}."
        )
        raise _refused(message, todo)


def _other_class(last: Mapping[str, object], data: Mapping[str, object]) -> str:
    """Return whose plan a folder holds where that is another class or pattern; else ""."""
    for field in ("class", "class_date", "pattern"):
        was, now = last.get(field), data.get(field)
        if was and now and was != now:
            titled = f"the class '{last['class']}'" if last.get("class") else "the pattern"
            named = titled if last.get("class") else f"{titled} '{last.get('pattern')}'"
            date = f", {last['class_date']}" if last.get("class_date") else ""
            return f"{named}{date}"
    return ""


def _parsed(text: bytes | None) -> dict[str, object]:
    try:
        found = json.loads(text or b"")
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _name_some(names: Sequence[str]) -> str:
    more = " and others" if len(names) > 3 else ""
    return ", ".join(f"'{name}'" for name in names[:3]) + more


def files_in(folder: Path) -> list[Path]:
    """Return what a folder holds, but for what systems and spreadsheet programs drop there.

    Raises:
        OSError: It cannot be looked into.
    """
    return sorted(entry for entry in folder.iterdir() if not _is_dropped(entry, folder))


_DROPPED = re.compile(
    r"\.DS_Store|\._.*|\.localized|Icon\r|desktop\.ini|Thumbs\.db|\.directory|~\$.*|\.~lock\..*#",
    re.IGNORECASE | re.DOTALL,
)


def _is_dropped(entry: Path, folder: Path) -> bool:
    if entry.name.startswith(room_prefix(folder)):
        return True
    return bool(_DROPPED.fullmatch(entry.name)) and entry.is_file() and not entry.is_symlink()


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
    return OutputError(f"The folder '{out}' could not be written: {reason}.", instead)


def _old_files(target: Path, marker: str) -> list[str]:
    """Return the names of the files that are to be replaced.

    Raises:
        OutputError: The folder holds anything but files that were written with its plan.
    """
    if not target.exists():
        return []
    if not target.is_dir():
        raise _refused(f"'{target.name}' is a file, not a folder.", "Name another folder")
    entries = files_in(target)
    if not entries:
        return []
    ours = _stamped_files(target / marker)
    if ours is None:
        raise _refused(
            f"The folder '{target.name}' is not empty and holds no plan as kitmaker writes it.",
            "Nothing was changed. Name a new or empty folder",
        )
    foreign = [
        entry.name
        for entry in entries
        if entry.name not in ours or not entry.is_file() or entry.is_symlink()
    ]
    if foreign:
        named = _name_some(foreign)
        raise _refused(
            f"The folder '{target.name}' holds {named}, which kitmaker did not write.",
            "Nothing was changed. Move that elsewhere, or name another folder",
        )
    return [entry.name for entry in entries]


def _refused(message: str, what_to_do: str) -> OutputError:
    return OutputError(message, f"{what_to_do} with --out.")


def _stamped_files(marker: Path) -> frozenset[str] | None:
    try:
        found = files_of(json.loads(marker.read_bytes()))
    except (OSError, ValueError, RecursionError):
        return None
    return found if found is not None and marker.name in found else None


@contextmanager
def _parents_made(folder: Path) -> Iterator[None]:
    """Make the folders above a target; they are gone again where it could not be written."""
    made: list[Path] = []
    try:
        for parent in reversed((folder, *folder.parents)):
            if not parent.exists():
                parent.mkdir()
                made.append(parent)
        yield
    except BaseException:  # stopped by hand as well
        for parent in reversed(made):
            with suppress(OSError):
                parent.rmdir()
        raise


def _write_and_swap(target: Path, files: Mapping[str, bytes], marker: str) -> None:
    in_place = must_stay(target)
    with working_room(target, inside=in_place) as room:
        fresh = room / "new"
        fresh.mkdir()
        if target.exists():
            make_alike(fresh, target)
        for name, content in files.items():
            (fresh / name).write_bytes(content)
        # Looked at again: somebody may have put a file there while this one was written.
        old = _old_files(target, marker)
        if in_place:
            exchange_files(room, target, old)
            return
        if target.exists():
            for entry in target.iterdir():
                if _is_dropped(entry, target) and entry.is_file():
                    shutil.copy2(entry, fresh / entry.name)
        put_in_place(fresh, target, room / "old")

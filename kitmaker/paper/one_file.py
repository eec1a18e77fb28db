"""One file, written whole or not at all; never over a file that nobody meant."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from kitmaker.errors import ChangedError, OpenElsewhereError, OutputError

_BESIDE = ".kitmaker-save-"
"""How the file begins that is written first; it has the place of the other within an instant."""


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet.

    Raises:
        OutputError: Something of that name already exists, or it cannot be written.
    """
    write_all_new({path: content})


def write_all_new(files: Mapping[Path, bytes]) -> None:
    """Write files that are not there yet, all of them or none.

    Raises:
        OutputError: Something of such a name already exists, or it cannot be written.
    """
    written: list[Path] = []
    for path, content in files.items():
        try:
            with path.open("xb") as stream:
                written.append(path)
                stream.write(content)
        except BaseException as fault:
            for made in written:
                with suppress(OSError):
                    made.unlink()
            if isinstance(fault, FileExistsError):
                message = f"'{path}' already exists; it was left alone."
                raise OutputError(message, "Choose another name.") from None
            if isinstance(fault, OSError):
                raise _cannot_write(path, fault) from None
            raise


def write_over(path: Path, content: bytes, digest: str) -> None:
    """Write over a file that is still the one that was read.

    Args:
        path: The file.
        content: What it is to hold.
        digest: SHA-256 of what it held when it was read.

    Raises:
        ChangedError: It holds something else by now, or is gone.
        OpenElsewhereError: A spreadsheet program has it open.
        OutputError: It cannot be written.
    """
    _check_unchanged(path, digest)
    _check_not_open(path)
    made: Path | None = None
    try:
        number, name = tempfile.mkstemp(prefix=_BESIDE, dir=path.parent)
        made = Path(name)
        with os.fdopen(number, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        shutil.copymode(path, made)
        _check_unchanged(path, digest)
        made.replace(path)
    except BaseException as fault:
        if made is not None:
            with suppress(OSError):
                made.unlink()
        if isinstance(fault, OSError):
            raise _cannot_write(path, fault) from None
        raise


def clear_left(folder: Path) -> None:
    """Clear away what a run that was ended in the middle of a save left in a folder."""
    with suppress(OSError):
        for left in folder.glob(f"{_BESIDE}*"):
            with suppress(OSError):
                left.unlink()


def _check_unchanged(path: Path, digest: str) -> None:
    try:
        now = hashlib.sha256(path.read_bytes()).hexdigest()
    except FileNotFoundError:
        now = ""
    except OSError as fault:
        raise _cannot_write(path, fault) from None
    if now != digest:
        raise ChangedError(
            f"'{path.name}' was changed in another program or another tab since it was opened "
            "here, so nothing was saved."
        )


def _check_not_open(path: Path) -> None:
    """Refuse a workbook beside which a spreadsheet program has put its mark."""
    name = path.name
    for mark in (f".~lock.{name}#", f"~${name}", f"~${name[2:]}"):
        if path.with_name(mark).exists():
            raise OpenElsewhereError(
                f"'{name}' is open in a spreadsheet program, so nothing was saved. Close it there "
                f"and save again. If no program has it open, delete the file '{mark}'."
            )


def _cannot_write(path: Path, fault: OSError) -> OutputError:
    return OutputError(f"'{path}' could not be written: {fault.strerror}.")

"""What a command writes: one folder, whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from kitmaker.commands.ending import OUTCOME
from kitmaker.paper.folder import PLAN, safe_folder_name, write_folder


def write_out(
    out: Path | None,
    files: Mapping[str, bytes],
    *,
    named: tuple[str, str] = ("", ""),
    marker: str = PLAN,
    replace: bool = False,
) -> Path:
    """Write a folder: the one asked for, or a new one here, named after what it holds.

    Raises:
        OutputError: It could not be written, or what is there would be lost.
    """
    folder = out or Path(safe_folder_name(*named))
    OUTCOME.aims_at(folder)
    write_folder(folder, files, marker=marker, replace=replace)
    return folder

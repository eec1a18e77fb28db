"""Any source of a draft by its kind: a workbook's sheets, or a page's lines."""

from __future__ import annotations

import tempfile
from pathlib import Path

from kitmaker.drafts import Draft
from kitmaker.lengths import Unit
from kitmaker.reading.drafting.draft import draft_of_book
from kitmaker.reading.workbook import read_workbook

_NAMED = ((b"PK", ".xlsx"),)
"""How the bytes of a file begin, and the ending of its name."""


def draft_of(source: Path | bytes, size: str | None = None, unit: Unit | None = None) -> Draft:
    """Return the draft of a file, or of a file's bytes."""
    if isinstance(source, Path):
        return draft_of_book(read_workbook(source), size, unit)
    ending = next((ending for head, ending in _NAMED if source.startswith(head)), ".csv")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"draft{ending}"
        path.write_bytes(source)
        return draft_of(path, size, unit)

"""Any source of a draft by its kind: a workbook's sheets, or a page's lines."""

from __future__ import annotations

import tempfile
from pathlib import Path

from kitmaker.drafts import Draft
from kitmaker.errors import UnreadableError
from kitmaker.lengths import Unit
from kitmaker.reading.documents.files import PAGE_ENDINGS, read_bytes, read_document
from kitmaker.reading.drafting.draft import draft_of_book
from kitmaker.reading.drafting.pages import draft_of_document
from kitmaker.reading.workbook import BOOK_ENDINGS, read_head, read_workbook

_NAME = "draft"
"""What a source without a name is called."""


def draft_of(source: Path | bytes, size: str | None = None, unit: Unit | None = None) -> Draft:
    """Return the draft of a file, or of a file's bytes."""
    if isinstance(source, bytes):
        if not _is_workbook(source):
            return draft_of_document(read_bytes(source, _NAME), size, unit)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"{_NAME}.xlsx"
            path.write_bytes(source)
            return draft_of(path, size, unit)
    ending = source.suffix.lower()
    if ending in PAGE_ENDINGS:
        return draft_of_document(read_document(source), size, unit)
    if ending not in BOOK_ENDINGS and read_head(source):
        raise UnreadableError(
            f"'{source.name}' is a kind of file that is not read. Save it as .docx, .txt or .pdf, "
            "or as .xlsx, .ods or .csv."
        )
    return draft_of_book(read_workbook(source), size, unit)


def _is_workbook(content: bytes) -> bool:
    return content.startswith(b"PK") and b"xl/workbook" in content

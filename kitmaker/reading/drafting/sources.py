"""Any source of a draft by its kind, looked at for its size first: sheets, or a page's lines."""

from __future__ import annotations

import tempfile
from pathlib import Path

from kitmaker.drafts import Draft
from kitmaker.errors import UnreadableError
from kitmaker.lengths import Unit
from kitmaker.reading.documents.lines import PAGE_ENDINGS, Document
from kitmaker.reading.documents.paging import paged
from kitmaker.reading.documents.text import read_text_page
from kitmaker.reading.documents.word import read_word_page
from kitmaker.reading.drafting.draft import draft_of_book
from kitmaker.reading.drafting.pages import draft_of_document
from kitmaker.reading.workbook import BOOK_ENDINGS, OLE_MAGIC, read_head, read_workbook
from kitmaker.reading.zipped import unpacked

_NAME = "draft"
"""What a source without a name is called."""


def draft_of(source: Path | bytes, size: str | None = None, unit: Unit | None = None) -> Draft:
    """Return the draft of a file, or of a file's bytes.

    Raises:
        UnreadableError: It is missing, or cannot be read; one plain line.
        UsageError: The size is not one of the pattern's.
    """
    if isinstance(source, bytes):
        return _draft_of_bytes(source, size, unit)
    ending = source.suffix.lower()
    if ending in PAGE_ENDINGS:
        return draft_of_document(_read_page(source, read_head(source)), size, unit)
    if ending not in BOOK_ENDINGS and read_head(source):
        raise UnreadableError(
            f"'{source.name}' is a kind of file that is not read. Save it as .docx, .txt or .pdf, "
            "or as .xlsx, .ods or .csv."
        )
    return draft_of_book(read_workbook(source), size, unit)


def _draft_of_bytes(content: bytes, size: str | None, unit: Unit | None) -> Draft:
    if not content.startswith((b"%PDF", b"PK")):
        return draft_of_document(read_text_page(_NAME, content), size, unit)
    ending = ".xlsx" if b"xl/workbook" in content else ".docx"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{_NAME}{'.pdf' if content.startswith(b'%PDF') else ending}"
        path.write_bytes(content)
        return draft_of(path, size, unit)


def _read_page(path: Path, head: bytes) -> Document:
    ending = path.suffix.lower()
    if ending == ".txt":
        return read_text_page(path.name, path.read_bytes())
    if ending == ".pdf":
        from kitmaker.reading.documents.apart import rows_apart

        return paged(path.name, rows_apart(path.name, path))
    if head.startswith(OLE_MAGIC):
        raise UnreadableError(
            f"'{path.name}' is protected by a password or an old .doc file inside. "
            "Open it, take the password off and save as .docx."
        )
    try:
        parts = unpacked(path, "word/document.xml", "Open it and save as .docx.")
        return read_word_page(path.name, parts)
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise UnreadableError(
            f"'{path.name}' is damaged or not a .docx. Open it and save as .docx."
        ) from None

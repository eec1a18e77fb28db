"""Any page by its kind: looked at for its size first, then read."""

from __future__ import annotations

import tempfile
from pathlib import Path

from kitmaker.errors import UnreadableError
from kitmaker.reading.documents.lines import Document
from kitmaker.reading.documents.paging import paged
from kitmaker.reading.documents.text import read_text_page
from kitmaker.reading.documents.word import read_word_page
from kitmaker.reading.workbook import OLE_MAGIC, read_head
from kitmaker.reading.zipped import unpacked

PAGE_ENDINGS = frozenset({".txt", ".docx", ".pdf"})


def read_document(path: Path) -> Document:
    """Return a page's lines.

    Raises:
        UnreadableError: It is missing, or cannot be read; one plain line.
    """
    head = read_head(path)
    ending = path.suffix.lower()
    if ending == ".txt":
        return read_text_page(path.name, path.read_bytes())
    if ending == ".pdf":
        from kitmaker.reading.documents.apart import rows_apart

        return paged(path.name, rows_apart(path.name, path))
    return _word(path, head)


def _word(path: Path, head: bytes) -> Document:
    if head.startswith(OLE_MAGIC):
        raise UnreadableError(
            f"'{path.name}' is protected by a password or an old .doc file inside. "
            "Open it, take the password off and save as .docx."
        )
    damaged = f"'{path.name}' is damaged or not a .docx. Open it and save as .docx."
    try:
        return read_word_page(
            path.name, unpacked(path, "word/document.xml", "Open it and save as .docx.")
        )
    except UnreadableError:
        raise
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        raise UnreadableError(damaged) from None


def read_bytes(content: bytes, name: str) -> Document:
    """Return the lines of a page's bytes, by what they begin with.

    Raises:
        UnreadableError: It cannot be read; one plain line.
    """
    if not content.startswith((b"%PDF", b"PK")):
        return read_text_page(name, content)
    ending = ".pdf" if content.startswith(b"%PDF") else ".docx"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}{ending}"
        path.write_bytes(content)
        return read_document(path)

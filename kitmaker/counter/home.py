"""The folder, and what is brought into it."""

from __future__ import annotations

import tempfile
import unicodedata
from dataclasses import astuple, replace
from pathlib import Path, PurePosixPath, PureWindowsPath

from flask import Response, request

from kitmaker import api
from kitmaker.counter.desk import Desk
from kitmaker.counter.drafts import save_draft
from kitmaker.counter.folder import Listing
from kitmaker.counter.links import go_to, link
from kitmaker.errors import UsageError
from kitmaker.paper.folder import safe_folder_name
from kitmaker.paper.one_file import write_new
from kitmaker.reading.documents.lines import PAGE_ENDINGS
from kitmaker.reading.workbook import BOOK_ENDINGS


def show(desk: Desk) -> str:
    """Show what lies in the folder."""
    listing = desk.folder.listing()
    find = request.args.get("find", "").strip()
    running = desk.runs.running()
    notice = f"{request.args['brought']} is in the folder." if "brought" in request.args else ""
    head = desk.head("Workbooks", notice=notice, shop=desk.shop_for(listing=listing))
    listing = _found(listing, find.casefold())
    return desk.render(
        "home",
        head,
        find=find,
        listing=listing,
        is_empty=not any(astuple(replace(listing, lists=()))),
        can_be_written=desk.folder.can_be_written,
        running=running,
    )


def _found(listing: Listing, words: str) -> Listing:
    """Return what has some words in its name."""
    return Listing(
        *(tuple(name for name in names if words in name.casefold()) for names in astuple(listing))
    )


def bring(desk: Desk) -> Response:
    """Take a file that the browser brings: a workbook as it is, a page as the draft of it."""
    brought = request.files.get("file")
    if brought is None or not brought.filename:
        raise UsageError("No file was chosen. Choose one, then press Bring in.")
    given = PureWindowsPath(PurePosixPath(brought.filename).name).name
    stem, dot, ending = given.rpartition(".")
    ending = f"{dot}{ending}".lower()
    if ending not in BOOK_ENDINGS | PAGE_ENDINGS:
        raise UsageError(
            f"'{given}' is a kind of file that is not read. Bring a workbook (.xlsx, .ods, .csv) "
            "or a page with text in it (.txt, .docx, .pdf)."
        )
    plain = "".join(
        char if char.isprintable() and char not in '/\\:*?"<>|' else "-"
        for char in unicodedata.normalize("NFC", stem)
    )
    name = f"{plain.strip(' .-~$')[:100] or 'brought'}{ending}"
    if ending in PAGE_ENDINGS:
        return _go_to_draft(desk, name, brought.read())
    with desk.folder.saving:
        write_new(desk.folder.path_of(name), brought.read())
    return go_to(link("/", brought=name))


def paste(desk: Desk) -> Response:
    """Make a draft of the words of a pattern's page."""
    text = request.form.get("text", "").replace("\r\n", "\n").strip()
    if not text:
        raise UsageError("There are no words yet. Paste the pattern's page, then press Draft.")
    named = request.form.get("name", "").strip() or text.partition("\n")[0]
    return _go_to_draft(desk, f"{safe_folder_name(named, '')}.txt", f"{text}\n".encode())


def _go_to_draft(desk: Desk, name: str, content: bytes) -> Response:
    """Save the draft of a page, and nothing else; show it."""
    with tempfile.TemporaryDirectory() as room:
        page = Path(room) / name
        page.write_bytes(content)
        made = api.draft(page)
    return go_to(link("/pattern", file=save_draft(desk, made, name)))

"""The folder, and what is brought into it."""

from __future__ import annotations

import unicodedata
from pathlib import PurePosixPath, PureWindowsPath

from flask import Response, request

from kitmaker.counter.desk import Desk
from kitmaker.counter.folder import BROUGHT_ENDINGS, PAGE_ENDINGS, Listing
from kitmaker.counter.links import go_to, link
from kitmaker.counter.views import HomeView
from kitmaker.errors import UsageError
from kitmaker.paper.folder import safe_folder_name
from kitmaker.paper.one_file import write_new


def show(desk: Desk) -> str:
    """Show what lies in the folder."""
    listing = desk.folder.listing()
    find = request.args.get("find", "").strip()
    running = desk.runs.running()
    notice = f"{request.args['brought']} is in the folder." if "brought" in request.args else ""
    return desk.render(
        "home",
        HomeView(
            head=desk.head("Workbooks", notice=notice, shop=desk.shop_for(listing=listing)),
            find=find,
            listing=_found(listing, find.casefold()) if find else listing,
            can_be_written=desk.folder.can_be_written,
            running=None if running is None else (f"/runs/{running.name}", running.title),
        ),
    )


def _found(listing: Listing, words: str) -> Listing:
    def some(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if words in name.casefold())

    return Listing(
        patterns=some(listing.patterns),
        pages=some(listing.pages),
        classes=some(listing.classes),
        shops=some(listing.shops),
        lists=some(listing.lists),
        plans=some(listing.plans),
    )


def bring(desk: Desk) -> Response:
    """Save a file that the browser brings, under its own name, never over another."""
    brought = request.files.get("file")
    if brought is None or not brought.filename:
        raise UsageError("No file was chosen. Choose one, then press Bring in.")
    given = PureWindowsPath(PurePosixPath(brought.filename).name).name
    stem, dot, ending = given.rpartition(".")
    ending = f"{dot}{ending}".lower()
    if ending not in BROUGHT_ENDINGS:
        raise UsageError(
            f"'{given}' is a kind of file that is not read. Bring a workbook (.xlsx, .ods, .csv) "
            "or a page with text in it (.txt, .docx, .pdf)."
        )
    plain = "".join(
        char if char.isprintable() and char not in '/\\:*?"<>|' else "-"
        for char in unicodedata.normalize("NFC", stem)
    )
    name = f"{plain.strip(' .-~$')[:100] or 'brought'}{ending}"
    with desk.folder.saving:
        write_new(desk.folder.path_of(name), brought.read())
    address = link("/pattern", file=name) if ending in PAGE_ENDINGS else link("/", brought=name)
    return go_to(address)


def paste(desk: Desk) -> Response:
    """Save the words of a pattern's page as a text of its own."""
    text = request.form.get("text", "").replace("\r\n", "\n").strip()
    if not text:
        raise UsageError("There are no words yet. Paste the pattern's page, then press Keep.")
    asked = request.form.get("name", "").strip() or text.partition("\n")[0]
    with desk.folder.saving:
        name = desk.folder.free_name(safe_folder_name(asked, ""), ".txt")
        write_new(desk.folder.path_of(name), f"{text}\n".encode())
    return go_to(link("/pattern", file=name))

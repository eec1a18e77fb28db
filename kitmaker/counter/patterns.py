"""A pattern's words beside what was read from them."""

from __future__ import annotations

from flask import request

from kitmaker.counter import drafts
from kitmaker.counter.desk import Desk
from kitmaker.counter.readings import read_in_size
from kitmaker.errors import has_errors
from kitmaker.paper.sheets.reading_page import say_about, view_other_lines, view_read_fabrics
from kitmaker.reading.documents.lines import PAGE_ENDINGS


def show(desk: Desk) -> str:
    """Show a pattern: what it says, what was read, what is open."""
    file, size = request.args.get("file", ""), request.args.get("size", "")
    path = desk.folder.find(file)
    if path.suffix.lower() in PAGE_ENDINGS:
        return drafts.show_source(desk, file)
    shop = desk.shop_for(request.args.get("shop", ""))
    if rows := drafts.rows_of(desk, file):
        return drafts.show_draft(desk, file, size, rows, shop)
    reading = read_in_size(desk, file, size, shop.reading)
    pattern = reading.pattern
    return desk.render(
        "pattern",
        desk.head(pattern.name, problems=reading.problems, shop=shop),
        file=file,
        shop=desk.shop_to_name(shop),
        size=pattern.size or "",
        sizes=pattern.sizes,
        about=say_about(reading),
        fabrics=view_read_fabrics(reading),
        others=view_other_lines(reading),
        can_be_planned=not has_errors(reading.problems),
    )

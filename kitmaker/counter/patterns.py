"""A pattern's words beside what was read from them."""

from __future__ import annotations

from flask import request

from kitmaker.counter.desk import Desk, sizes_of
from kitmaker.counter.views import PatternView
from kitmaker.errors import KitmakerError, UsageError, has_errors
from kitmaker.paper.sheets.reading_page import say_about, view_other_lines, view_read_fabrics
from kitmaker.pattern import PatternReading
from kitmaker.shop import ShopReading


def show(desk: Desk) -> str:
    """Show a pattern: what it says, what was read, what is open."""
    file, size = request.args.get("file", ""), request.args.get("size", "")
    desk.folder.find(file)
    shop = desk.shop_for(request.args.get("shop", ""))
    reading, sizes = read_in_size(desk, file, size, shop.reading)
    pattern = reading.pattern
    return desk.render(
        "pattern",
        PatternView(
            head=desk.head(pattern.name, problems=reading.problems, shop=shop),
            file=file,
            shop=shop.name if len(desk.folder.listing().shops) > 1 else "",
            size=pattern.size or "",
            sizes=sizes,
            about=say_about(reading),
            fabrics=view_read_fabrics(reading),
            others=view_other_lines(reading),
            can_be_planned=not has_errors(reading.problems),
        ),
    )


def read_in_size(
    desk: Desk, file: str, size: str, shop: ShopReading | None
) -> tuple[PatternReading, tuple[str, ...]]:
    """Read a pattern in a size, the first of several where none is chosen, and name them all.

    Raises:
        KitmakerError: It cannot be read, or has no such size.
    """
    try:
        reading = desk.read_pattern(file, size or None, shop)
    except UsageError as fault:
        if size or not sizes_of(fault):
            raise
        reading = desk.read_pattern(file, sizes_of(fault)[0], shop)
    return reading, reading.pattern.sizes


def try_to_read(
    desk: Desk, file: str, size: str, shop: ShopReading | None
) -> tuple[PatternReading | None, KitmakerError | None]:
    """Read a pattern; where it cannot be read, return why."""
    try:
        return read_in_size(desk, file, size, shop)[0], None
    except KitmakerError as fault:
        return None, fault

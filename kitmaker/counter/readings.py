"""A pattern read in a size, whether that was chosen or not."""

from __future__ import annotations

from kitmaker.counter.desk import Desk, sizes_of
from kitmaker.errors import KitmakerError, UsageError
from kitmaker.pattern import PatternReading
from kitmaker.shop import ShopReading


def read_in_size(desk: Desk, file: str, size: str, shop: ShopReading | None) -> PatternReading:
    """Read a pattern in a size, the first of several where none is chosen.

    Raises:
        KitmakerError: It cannot be read, or has no such size.
    """
    try:
        return desk.read_pattern(file, size or None, shop)
    except UsageError as fault:
        if size or not sizes_of(fault):
            raise
        return desk.read_pattern(file, sizes_of(fault)[0], shop)


def try_to_read(
    desk: Desk, file: str, size: str, shop: ShopReading | None
) -> tuple[PatternReading | None, KitmakerError | None]:
    """Read a pattern; where it cannot be read, return why."""
    try:
        return read_in_size(desk, file, size, shop), None
    except KitmakerError as fault:
        return None, fault

"""What strips are cut into: the strips give way to their sub-cuts, those not cut stay whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kitmaker.lengths import Length
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.doubts import check_strips_suffice
from kitmaker.reading.phrases.items import Item
from kitmaker.reading.phrases.model import Cut
from kitmaker.reading.phrases.plain import UnsureError


def sub_cut(
    bench: Bench,
    items: list[Item],
    settled: Callable[[Item, Cut], Cut],
    partial: int | None,
    *,
    each: bool,
) -> None:
    """Cut the strips at hand into items.

    Args:
        bench: The strips at hand, and where the pieces go.
        items: What they are cut into.
        settled: Turns an item and the strip it is cut from into a cut.
        partial: How many of the strips are cut; None for all.
        each: Whether the counts are for each strip.

    Raises:
        UnsureError: Which strips, or whether they hold it, is not sure.
    """
    cuts = bench.cuts
    strips = [cuts[at] for at in bench.strips]
    if not strips:
        raise UnsureError("the strips it is cut from are not above it")
    if (partial is not None or each) and len(strips) != 1:
        raise UnsureError("which of the strips above it is cut from is not said")
    of_all = partial * (strips[0].from_each or 1) if partial is not None else None
    used = of_all if of_all is not None else strips[0].quantity
    if len(strips) == 1 and used > strips[0].quantity:
        raise UnsureError(
            f"it is cut from {used} strips, but there are {strips[0].quantity} above it"
        )
    new: list[Cut] = []
    consumed: set[int] = set()
    listed = strips[0] if bench.list_is_open and len(strips) == 1 and partial is None else None
    is_each = bench.list_is_each
    for item in items:
        place = _strip_for(bench, item)
        consumed.add(place)
        _one_to_a_strip(item, used, bench.held_by(cuts[place]))
        new.append(_cut_from(bench, settled(item, cuts[place]), cuts[place], used if each else 1))
    if len(strips) > 1 and consumed != set(bench.strips):
        raise UnsureError("which of the strips above it is cut from is not said")
    check_strips_suffice(bench, new, strips, used)
    _put_away(bench, consumed, used)
    cuts.extend(new)
    bench.are_from_strips = True
    bench.listed, bench.list_is_each = listed, listed is not None and is_each


def cut_listed(bench: Bench, items: list[Item], settled: Callable[[Item, Cut], Cut]) -> None:
    """Cut the next line of a list from the strips that its first line was cut from.

    Raises:
        UnsureError: The strips do not hold it.
    """
    strip = bench.listed
    if strip is None:
        raise UnsureError("the strips it is cut from are not above it")
    times = strip.quantity if bench.list_is_each else 1
    new = [_cut_from(bench, settled(item, strip), strip, times) for item in items]
    check_strips_suffice(bench, new, [strip], strip.quantity)
    bench.cuts.extend(new)


def _cut_from(bench: Bench, cut: Cut, strip: Cut, times: int) -> Cut:
    if max(cut.width, cut.length or cut.width) > bench.held_by(strip):
        raise UnsureError(
            "what is cut is longer than the strip, so strips are joined first",
            "Type the strips only, with their count; joined lengths are no cuts.",
        )
    count = cut.quantity * times
    # What a heading multiplied is multiplied in the strips already.
    if strip.from_each is not None and times == 1:
        count *= strip.from_each
    return replace(cut, quantity=count, from_each=strip.from_each)


def _put_away(bench: Bench, consumed: set[int], used: int) -> None:
    """Take the strips that were cut off the table; those left whole stay."""
    cuts, place = bench.cuts, bench.strips[0]
    left = cuts[place].quantity - used if len(bench.strips) == 1 else 0
    if left:
        cuts[place] = replace(cuts[place], quantity=left)
        bench.clear()
        bench.rest = [place]
        return
    for place in sorted(consumed, reverse=True):
        bench.understood.cut_on.add(cuts[place].line)
        del cuts[place]
    bench.clear()


def _one_to_a_strip(item: Item, used: int, held: Length) -> None:
    """Count one piece to a strip where none is said and no strip holds two."""
    size = item.size
    if item.count is not None or item.noun or size is None or size.second is None:
        return
    if 2 * max(size.first or size.second, size.second) > held:
        item.count = used


def _strip_for(bench: Bench, item: Item) -> int:
    """Return the place of the strip that an item is cut from."""
    if len(bench.strips) == 1:
        return bench.strips[0]
    size = item.size
    measures = {size.first, size.second} if size is not None else set()
    fitting = [at for at in bench.strips if bench.cuts[at].width in measures]
    if len(fitting) != 1:
        raise UnsureError("which of the strips above it is cut from is not said")
    return fitting[0]

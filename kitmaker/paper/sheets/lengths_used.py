"""Which layouts are cut off which length, where a fabric comes off several.

The shelf's cloth comes in pieces, and no cut runs from one piece to the next: the cutter has
to know what each gives.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from kitmaker.lengths import Length
from kitmaker.paper.sheets.jobs import TableJob
from kitmaker.paper.sheets.pull_list import view_pull_lines
from kitmaker.paper.sheets.saying import join_words
from kitmaker.plan import CutLayout, KitPlan
from kitmaker.shop import Shop

LossOn: TypeAlias = Callable[[int], Length]

_MOST_TRIES = 50_000
"""Ways tried before the page only says that there are several lengths. Our bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthUsed:
    """One length of cloth and what is cut off it; ``gives`` is "" where that is open."""

    where: str
    dye_lot: str
    take: str
    gives: str


def view_lengths_used(plan: KitPlan, table: TableJob) -> tuple[LengthUsed, ...]:
    """Return what each length gives; nothing where all comes off one."""
    if table.job is None or not table.form.by_length:
        return ()
    lines = zip(plan.pull, view_pull_lines(plan), strict=True)
    line, view = next((both for both in lines if both[0].sku == table.first.sku), (None, None))
    if line is None or view is None or line.forms or len(line.pieces) < 2:
        return ()
    layouts = table.job.layouts
    shares = share_out(layouts, [piece.take for piece in line.pieces], _loss_in(plan.shop))
    said = [_say(layouts, share) for share in shares] or ["" for _ in line.pieces]
    return tuple(
        LengthUsed(where=stock.where, dye_lot=stock.dye_lot, take=stock.take, gives=gives)
        for stock, gives in zip(view.stock, said, strict=True)
    )


def _loss_in(shop: Shop) -> LossOn:
    """Return what straightening and re-squaring take off a length, for a number of strips."""

    def loss(strips: int) -> Length:
        if not strips:
            return Fraction(0)
        return shop.straighten + shop.re_square * ((strips - 1) // shop.re_square_every)

    return loss


def _say(layouts: Sequence[CutLayout], share: Sequence[int]) -> str:
    return join_words(
        [
            f"{copies} × {layout.name}"
            for layout, copies in zip(layouts, share, strict=True)
            if copies
        ]
    )


def share_out(
    layouts: Sequence[CutLayout], lengths: Sequence[Length], loss: LossOn
) -> list[tuple[int, ...]]:
    """Return how often each layout is cut off each length; empty where no way is found.

    Args:
        layouts: With their copies.
        lengths: What is taken off each piece of cloth, loss included.
        loss: What straightening and re-squaring take off one, for a number of strips.
    """
    sizes = [layout.sheet[1] for layout in layouts]
    tries = iter(range(_MOST_TRIES))
    return _share(sizes, [layout.copies for layout in layouts], lengths, loss, tries) or []


def _share(
    sizes: Sequence[Length],
    left: Sequence[int],
    lengths: Sequence[Length],
    loss: LossOn,
    tries: Iterator[int],
) -> list[tuple[int, ...]] | None:
    if len(lengths) == 1:
        return [tuple(left)] if _takes(sizes, left, loss) <= lengths[0] else None
    whole = sum((size * count for size, count in zip(sizes, left, strict=True)), Fraction(0))
    least = whole - sum(lengths[1:], Fraction(0))
    for share in _shares(sizes, left, lengths[0], tries):
        cut = sum((size * count for size, count in zip(sizes, share, strict=True)), Fraction(0))
        if cut < least or _takes(sizes, share, loss) > lengths[0]:
            continue
        rest = [have - took for have, took in zip(left, share, strict=True)]
        others = _share(sizes, rest, lengths[1:], loss, tries)
        if others is not None:
            return [share, *others]
    return None


def _shares(
    sizes: Sequence[Length], left: Sequence[int], room: Length, tries: Iterator[int]
) -> Iterator[tuple[int, ...]]:
    """Yield what one length can give, as much as possible of the first layouts first."""
    if not sizes:
        yield ()
        return
    for count in range(min(left[0], int(room // sizes[0])), -1, -1):
        for others in _shares(sizes[1:], left[1:], room - count * sizes[0], tries):
            if next(tries, None) is None:
                return
            yield (count, *others)


def _takes(sizes: Sequence[Length], counts: Sequence[int], loss: LossOn) -> Length:
    inches = sum((size * count for size, count in zip(sizes, counts, strict=True)), Fraction(0))
    return inches + loss(sum(counts))

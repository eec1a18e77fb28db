"""Which rows of the shelf the measured cloth is, and what was not measured.

A measured length is the row that it comes nearest to, less what finished kits may have used
of it; measured forms are counted off the piles. A dye lot that was typed decides. What is
left of the rows stays on the shelf: it was not measured, so this plan does not use it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.shop import MeasuredPiece, Shop, StockRow, Stretch

FLAW: Length = Fraction(2)
"""Inches lost at a flaw (common practice, no source)."""
_LARGER = Fraction(5, 4)
"""A piece up to a quarter larger than a form each way is one of that form, cut generously."""


@dataclass(frozen=True, slots=True)
class Found:
    """Measured cloth, the form it is one of (None for a length), and the row it was taken for."""

    piece: MeasuredPiece
    form: Form | None
    count: int
    row: StockRow | None


def form_of(piece: MeasuredPiece, forms: Sequence[Form]) -> Form | None:
    """Return the fixed form a measured piece is one of; None for a length."""
    for form in forms:
        if form.nominal_along is None:
            continue
        fits_across = piece.width <= form.nominal_across * _LARGER
        if fits_across and piece.length <= form.nominal_along * _LARGER:
            return form
    return None


def find_rows(
    own: Sequence[MeasuredPiece],
    forms: Sequence[Form],
    before: Sequence[StockRow],
    used: Sequence[tuple[StockRow, Fraction]],
    shop: Shop,
) -> tuple[tuple[Found, ...], tuple[StockRow, ...]]:
    """Return the measured cloth of a SKU by rows, and what of the rows was not measured."""
    lengths = [row for row in before if row.form is None]
    pieces = [piece for piece in own if form_of(piece, forms) is None]
    found, rest = _find_lengths(pieces, lengths, _of(used, lengths))
    counted = [row for row in before if row.form is not None]
    for form in {kind.form_id: kind for kind in forms if not kind.by_length}.values():
        piles = [row for row in counted if shop.catalogue.means(row.form, form)]
        counted = [row for row in counted if row not in piles]
        mine = [piece for piece in own if _is_of(form_of(piece, forms), form)]
        more, left = _count_off(mine, form, piles, _of(used, piles))
        found, rest = [*found, *more], [*rest, *left]
    taken = _of(used, counted)
    rest += [row.less(took) for row, took in zip(counted, taken, strict=True)]
    return tuple(found), tuple(row for row in rest if row.length or row.count)


def _is_of(form: Form | None, kind: Form) -> bool:
    return form is not None and form.form_id == kind.form_id


def _of(used: Sequence[tuple[StockRow, Fraction]], rows: Sequence[StockRow]) -> list[Fraction]:
    """Return what was used of each row."""
    left = list(used)
    taken: list[Fraction] = []
    for row in rows:
        at = next((at for at, (other, _) in enumerate(left) if other == row), None)
        taken.append(Fraction(0) if at is None else left.pop(at)[1])
    return taken


def without(
    rows: Sequence[StockRow], used: Sequence[tuple[StockRow, Fraction]]
) -> Iterator[StockRow]:
    """Yield rows without what was used of them."""
    for row, taken in zip(rows, _of(used, rows), strict=True):
        yield row.less(taken)


def _find_lengths(
    pieces: Sequence[MeasuredPiece], rows: Sequence[StockRow], used: Sequence[Fraction]
) -> tuple[list[Found], list[StockRow]]:
    found: list[Found] = []
    open_rows = list(zip(rows, used, strict=True))
    unexplained = sum(used, Fraction(0))
    in_all = unexplained
    copies = [piece for piece in pieces for _ in range(piece.count)]
    for piece in sorted(copies, key=lambda piece: -piece.length):
        fitting = [one for one in open_rows if _may_be(piece, one[0])]
        if not fitting:
            found.append(Found(piece, None, 1, None))
            continue
        best = min(fitting, key=lambda one: _distance(piece, one[0], in_all))
        open_rows.remove(best)
        found.append(Found(piece, None, 1, best[0]))
        unexplained -= max(Fraction(0), (best[0].length or Fraction(0)) - piece.length)
    return found, _take_off(open_rows, max(Fraction(0), unexplained))


def _may_be(piece: MeasuredPiece, row: StockRow) -> bool:
    return piece.dye_lot is None or piece.dye_lot == row.dye_lot


def _distance(piece: MeasuredPiece, row: StockRow, used: Length) -> tuple[Length, ...]:
    """Return how far a piece is from being a row, of which so much may have been used."""
    length = row.length or Fraction(0)
    beyond = max(Fraction(0), piece.length - length, length - used - piece.length)
    return beyond, abs(length - piece.length), abs((row.usable_width or piece.width) - piece.width)


def _take_off(rows: Sequence[tuple[StockRow, Fraction]], used: Length) -> list[StockRow]:
    """Return rows without what finished kits used: as they would, then off the longest."""
    taken = []
    for _, each in rows:
        taken.append(min(each, used))
        used -= taken[-1]
    for at in sorted(range(len(rows)), key=lambda at: -(rows[at][0].length or Fraction(0))):
        more = min((rows[at][0].length or Fraction(0)) - taken[at], used)
        taken[at] += more
        used -= more
    return [row.less(took) for (row, _), took in zip(rows, taken, strict=True)]


def _count_off(
    pieces: Sequence[MeasuredPiece], form: Form, piles: Sequence[StockRow], used: Sequence[Fraction]
) -> tuple[list[Found], list[StockRow]]:
    """Count measured forms off their piles: a pile that has them all, else the largest first."""
    found: list[Found] = []
    left = [max(0, (row.count or 0) - int(took)) for row, took in zip(piles, used, strict=True)]
    for piece in sorted(pieces, key=lambda piece: -piece.count):
        count = piece.count
        own = [at for at, row in enumerate(piles) if _may_be(piece, row)]
        while count:
            enough = [at for at in own if left[at] >= count]
            at = min(enough, key=lambda at: left[at], default=None)
            if at is None:
                at = max(own, key=lambda at: left[at], default=None)
            row = None if at is None else piles[at]
            some = count if at is None or not left[at] else min(count, left[at])
            found.append(Found(piece, form, some, row))
            count -= some
            if at is not None:
                left[at] = max(0, left[at] - some)
    rest = [replace(row, count=n) for row, n in zip(piles, left, strict=True)]
    return found, rest


def rows_as_measured(found: Found, before: Sequence[StockRow]) -> Iterator[StockRow]:
    """Yield the stock rows that measured cloth is: one for each clear stretch, or one pile."""
    piece, form = found.piece, found.form
    like = [row for row in before if (row.form is None) == (form is None)]
    known = found.row or next(iter(like), None)
    lots = {row.dye_lot for row in like}
    row = StockRow(
        sku=known.sku if known else piece.sku,
        print_name=next((other.print_name for other in before if other.print_name), ""),
        usable_width=piece.width,
        dye_lot=piece.dye_lot or (found.row.dye_lot if found.row else None),
        shrinkage=max((other.shrinkage for other in before), default=Fraction(0)),
        cost=known.cost if known else None,
        price=known.price if known else None,
        where=piece.where,
    )
    if row.dye_lot is None and len(lots) == 1:
        row = replace(row, dye_lot=lots.pop())
    stretches = clear_stretches(piece.length, piece.flaws)
    if form is None:
        for stretch in stretches:
            measured = Stretch(piece.length, piece.flaws, stretch)
            start, end = stretch
            for _ in range(found.count):
                yield replace(row, length=end - start, measured=measured)
        return
    if piece.flaws:
        least = form.usable_along or Fraction(0)
        stretches = tuple(stretch for stretch in stretches if stretch[1] - stretch[0] >= least)
    longest = max(stretches, key=lambda stretch: stretch[1] - stretch[0], default=None)
    if found.count and longest is not None:
        yield replace(
            row,
            form=form.form_id,
            usable_length=longest[1] - longest[0],
            count=found.count,
            measured=Stretch(piece.length, piece.flaws, longest),
        )


def clear_stretches(length: Length, flaws: Sequence[Length]) -> tuple[tuple[Length, Length], ...]:
    """Return (from, to) of what lies between flaws; each takes an inch on either side with it."""
    starts = [Fraction(0), *(at + FLAW / 2 for at in flaws)]
    ends = [*(at - FLAW / 2 for at in flaws), length]
    return tuple(stretch for stretch in zip(starts, ends, strict=True) if stretch[1] > stretch[0])

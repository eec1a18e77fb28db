"""How many complete kits the shelf lasts for, and what runs out first.

The kits are shared out to the colorways in the class's proportion. An answer of N kits is always
checked against N + 1 (the shelf lasts for N, and with one kit more something runs short), but for
cut pieces of which it lasts for many times the class.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from kitmaker.cutting.layout import Layout
from kitmaker.forms import Form
from kitmaker.kits.batches import Batch, KitsOf, need_of
from kitmaker.kits.by_lot import totals_of
from kitmaker.kits.choices import Resolved
from kitmaker.kits.drawing import Needed, draw
from kitmaker.kits.fabrics import Progress
from kitmaker.kits.shelf import rows_of
from kitmaker.kits.yields import Taken
from kitmaker.lengths import Length
from kitmaker.pattern import PieceKind
from kitmaker.shop import Bag, Shop

_MOST_ASKED = 10_000
"""No shelf is tried for more kits than this."""
_FAR = 10
"""The shelf is far from running short at so many times the kits, and some."""


def most_kits(
    batches: Sequence[Batch],
    shop: Shop,
    resolved: Resolved,
    weights: Sequence[int],
    progress: Progress,
    *,
    as_planned: bool = False,
    planned: Mapping[int, Taken] = MappingProxyType({}),
) -> tuple[int, str]:
    """Return the most complete kits, colorways in proportion to the weights.

    Cutting for all kits is worked out only for the numbers in doubt: above what lasts with the
    cuttings already known, and below what is too many for the area of the cloth alone. Where
    the known cuttings last for many times the kits of the class, they are the answer.

    Weights are kits of each colorway, or any numbers in their proportion. The number must last
    as it will be planned, in one go, where it is ``as_planned``, else kit by kit. What is cut
    up for the kits that are planned is known by batch.

    Returns:
        The number of kits, and what runs out with one more.
    """

    def kits_of(kits: int) -> KitsOf:
        return kits_by_share(resolved, share_out(kits, weights))

    def surely_short(kits: int) -> str:
        return _short_at_least(batches, shop, kits_of(kits))

    def maybe_short(kits: int) -> str:
        known = _known(batches, kits_of(kits), planned)
        return _short_of(need_of(batches, kits_of(kits), known), shop)

    def short(kits: int) -> str:
        progress(f"checking the shelf for {kits} kits")
        return first_short(batches, shop, kits_of(kits))

    most, runs_out = _last_without(surely_short, 0, max(1, sum(weights)))
    if most == 0 or not any(batch.entries[0].bag is Bag.PIECES for batch in batches):
        return most, runs_out
    lasting, _ = (0, "") if as_planned else _last_without(maybe_short, 0, most + 1)
    if not as_planned and lasting > _FAR * (sum(weights) + _FAR):
        return lasting, runs_out
    low, high, step = most, most + 1, 1
    while low > lasting and (words := short(low)):
        high, runs_out = low, words
        low, step = max(lasting, low - step), step * 2
    return _narrow(short, low, high, runs_out)


def _last_without(short_for: Callable[[int], str], low: int, high: int) -> tuple[int, str]:
    """Return the most kits that the shelf lasts for, and what runs out with one kit more.

    The shelf is known to last for ``low``; ``high`` is the first number above it to try.
    """
    runs_out, step = short_for(high), 1
    while not runs_out and high < _MOST_ASKED:
        low, high, step = high, high + step, step * 2
        runs_out = short_for(high)
    return _narrow(short_for, low, high, runs_out)


def _narrow(short_for: Callable[[int], str], low: int, high: int, runs_out: str) -> tuple[int, str]:
    """Find the same between a number of kits that lasts (low) and one that is short (high)."""
    while high - low > 1:
        middle = (low + high) // 2
        if short := short_for(middle):
            high, runs_out = middle, short
        else:
            low = middle
    return low, runs_out


def _known(
    batches: Sequence[Batch], kits_of: KitsOf, planned: Mapping[int, Taken]
) -> dict[int, Taken]:
    """Return what cut pieces take by cuttings known already, by batch.

    The job as planned, and every kit beyond it cut by itself: a cutting that works, if not
    the best one.
    """
    return {
        at: _job_and_more(batch, kits_of, planned.get(at))
        for at, batch in enumerate(batches)
        if batch.entries[0].bag is Bag.PIECES and batch.entries[0].pieces
    }


def _job_and_more(batch: Batch, kits_of: KitsOf, planned: Taken | None) -> Taken:
    more = [kits_of(entry) - (entry.kits if planned else 0) for entry in batch.entries]
    parts: list[tuple[Taken, int]] = []
    if planned is not None and min(more) >= 0:
        parts.append((planned, 1))
    else:
        more = [kits_of(entry) for entry in batch.entries]
    parts += [(entry.per_kit, kits) for entry, kits in zip(batch.entries, more, strict=True)]
    layouts: list[Layout] = []
    forms: list[Form] = []
    counts: Counter[str] = Counter()
    count = 0
    amount = None
    for taken, times in parts:
        if taken.amount is not None and times:
            layouts += [replace(layout, copies=layout.copies * times) for layout in taken.layouts]
            forms += taken.forms
            for form_id, each in taken.amount.counts:
                counts[form_id] += each * times
            count += taken.amount.count * times
            amount = taken.amount
    amount = amount and replace(amount, count=count, counts=tuple(counts.items()))
    return Taken(amount, tuple(layouts), forms=tuple(forms))


def kits_by_share(resolved: Resolved, shares: Sequence[int]) -> KitsOf:
    """Return how many kits of an entry there are, by its colorway's share."""
    names = [colorway.name for colorway in resolved.colorways]
    by_name = dict(zip(names, shares, strict=True))
    return lambda entry: by_name[entry.colorway.name]


def first_short(batches: Sequence[Batch], shop: Shop, kits_of: KitsOf) -> str:
    """Return which fabric is short first for given numbers of kits; "" where all last."""
    short = _short_at_least(batches, shop, kits_of)
    if short or not any(batch.entries[0].bag is Bag.PIECES for batch in batches):
        return short
    return _short_of(
        need_of(batches, kits_of, totals_of(batches, kits_of, shop, shortest=True)), shop
    )


def _short_at_least(batches: Sequence[Batch], shop: Shop, kits_of: KitsOf) -> str:
    """Return what is certain to be short, without working out any cutting.

    What bags uncut take is known; cut pieces need at least their area of cloth.
    """
    needs = need_of(batches, kits_of, {})
    short = _short_of(needs, shop)
    if short:
        return short
    areas: dict[str, Fraction] = {}
    for batch in batches:
        first = batch.entries[0]
        if first.bag is Bag.PIECES and first.form.by_length and first.sku:
            key = first.sku.casefold()
            areas[key] = areas.get(key, Fraction(0)) + _least_length(batch, kits_of)
    for key, least in areas.items():
        needed = needs[key]
        at_hand = sum((row.free_length for row in rows_of(shop, needed.sku)), Fraction(0))
        if needed.inches + least > at_hand:
            return _say(needed)
    return ""


def _least_length(batch: Batch, kits_of: KitsOf) -> Length:
    """Return the length that the pieces' area alone takes."""
    width = batch.entries[0].form.usable_across
    area = Fraction(0)
    for _, piece, count in batch.pieces(kits_of):
        if piece.kind is PieceKind.PIECE and piece.length is not None:
            area += piece.width * piece.length * count
    return area / width


def _short_of(needs: Mapping[str, Needed], shop: Shop) -> str:
    for needed in needs.values():
        if needed.sku and draw(needed, shop, only_if_short=True).is_short:
            return _say(needed)
    return ""


def _say(needed: Needed) -> str:
    return f"{', '.join(dict.fromkeys(needed.roles))} (SKU {needed.sku})"


def share_out(kits: int, weights: Sequence[int]) -> list[int]:
    """Share kits out in proportion, whole ones.

    Each kit goes to the colorway that is furthest behind, so that one kit more never takes
    a kit from any.

    Source: the method of odd numbers, A. Sainte-Laguë, 1910 (from memory).
    """
    whole = sum(weights)
    if whole == 0:
        return [0] * len(weights)
    surely = Fraction(len(weights) + 1, 2)
    shares = [max(0, int(Fraction(kits * weight, whole) - surely)) for weight in weights]
    for _ in range(kits - sum(shares)):
        behind = [Fraction(w, 2 * share + 1) for w, share in zip(weights, shares, strict=True)]
        shares[behind.index(max(behind))] += 1
    return shares

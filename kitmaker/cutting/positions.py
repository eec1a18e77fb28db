"""Where cuts need to fall: normal positions.

Push every piece of a layout toward the origin and each cut falls on a sum of piece
measures. Only those sums, bounded by how many pieces there are, need to be looked at;
everything between two of them is as good as the lower one.

Source: J. C. Herz, "Recursive computational procedure for two-dimensional stock cutting",
IBM J. Res. Dev. 16 (1972); N. Christofides and C. Whitlock, "An algorithm for
two-dimensional cutting problems", Oper. Res. 25 (1977). Cited from memory.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence

from kitmaker.cutting.problem import Kind


def reachable_sums(parts: Iterable[tuple[int, int]], limit: int) -> list[int]:
    """Return every sum up to ``limit`` of the given measures, 0 included, ascending.

    Args:
        parts: (measure, how many at most).
        limit: The greatest sum wanted.
    """
    bits = bin(_reachable(parts, limit))[:1:-1]
    return [at for at, bit in enumerate(bits) if bit == "1"]


def _reachable(parts: Iterable[tuple[int, int]], limit: int) -> int:
    """Return the same sums as a whole number in which the bit of each is set."""
    merged: Counter[int] = Counter()
    for measure, count in parts:
        merged[measure] += count
    mask = (1 << (limit + 1)) - 1
    reached = 1
    for measure, count in sorted(merged.items()):
        if measure > limit:
            continue
        left = min(count, limit // measure)
        chunk = 1
        while left > 0:  # 1 + 2 + 4 + … copies give every number of copies
            take = min(chunk, left)
            reached |= (reached << (measure * take)) & mask
            left -= take
            chunk *= 2
    return reached


def positions_across(kinds: Sequence[Kind], limit: int) -> list[int]:
    """Return the normal positions across, up to ``limit`` units."""
    return reachable_sums(
        [(w, kind.count) for kind in kinds for w in {way[0] for way in kind.ways()}],
        limit,
    )


def positions_along(kinds: Sequence[Kind], limit: int) -> list[int]:
    """Return the normal positions along, up to ``limit`` units."""
    return reachable_sums(_measures_along(kinds), limit)


def _measures_along(kinds: Sequence[Kind]) -> list[tuple[int, int]]:
    return [(h, kind.count) for kind in kinds for h in {way[1] for way in kind.ways()}]


def last_position_along(kinds: Sequence[Kind], limit: int) -> int:
    """Return the greatest normal position along that is not above ``limit`` units.

    It lists none of them, of which a long length has millions.
    """
    return _reachable(_measures_along(kinds), limit).bit_length() - 1


def first_position_along(kinds: Sequence[Kind], at_least: int, limit: int) -> int | None:
    """Return the least normal position along from ``at_least`` to ``limit``; None without one."""
    above = _reachable(_measures_along(kinds), limit) >> at_least
    return at_least + (above & -above).bit_length() - 1 if above else None


def index_at_or_below(positions: Sequence[int], value: int) -> int:
    """Return the index of the greatest position that is not above ``value``."""
    return bisect_right(positions, value) - 1

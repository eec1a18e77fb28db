"""Which layouts are cut first: one kit, to be checked before all the others are stacked and cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from kitmaker.cutting.layout import Layout


def first_kit(
    layouts: Sequence[Layout], one_kit: Mapping[str, int], prints: int = 1
) -> tuple[int, ...]:
    """Return how often each layout is cut for the pieces of one kit, with little cloth.

    One layout after another is taken that gives most of what is still missing for its own
    size; then those that turned out not to be needed are put back.

    One kit needs no more than all layouts give. Prints that are cut alike give as many sheets
    each.
    """
    gives = [layout.sheet.tally() for layout in layouts]
    areas = {
        placed.key: placed.w * placed.h for layout in layouts for placed in layout.sheet.placed()
    }
    taken = [0] * len(layouts)

    def missing() -> Counter[str]:
        left = Counter(dict(one_kit))
        for times, each in zip(taken, gives, strict=True):
            left.subtract({key: count * times for key, count in each.items()})
        return +left

    def worth(at: int, left: Counter[str]) -> Fraction:
        sheet = layouts[at].sheet
        useful = (min(left[key], count * prints) * areas[key] for key, count in gives[at].items())
        return sum(useful, Fraction(0)) / (sheet.across * sheet.along)

    while left := missing():
        open_ones = [at for at, layout in enumerate(layouts) if taken[at] < layout.copies]
        best = max(open_ones, key=lambda at: (worth(at, left), -at), default=None)
        if best is None or not worth(best, left):
            break
        taken[best] += prints
    for at in range(len(layouts)):
        while taken[at]:
            taken[at] -= prints
            if missing():
                taken[at] += prints
                break
    return tuple(taken)

"""A fabric that the shop cuts off several lengths: each is straightened and trued by itself.

Which strips come off which length is the shelf's answer; the steps and the amount that is
charged follow it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from kitmaker.kits.yields import Taken
from kitmaker.plans import PullLine
from kitmaker.table.cloths import ClothLength


def lengths_of(taken: Sequence[Taken], line: PullLine) -> list[ClothLength]:
    """Return the lengths that a SKU's strips come off, where there are several; else none."""
    pieces = [piece for piece in line.pieces if piece.strips]
    if len(pieces) < 2:
        return []
    named = Counter(piece.name for piece in pieces)
    lengths = [
        ClothLength(
            piece.cloth,
            Counter(dict(piece.strips)),
            at_hand=None if piece.bags or piece.cut_into else piece.at_hand,
            again=f"the {piece.name}" if named[piece.name] == 1 else "",
        )
        for piece in pieces
    ]
    return [*lengths, _to_come(taken, lengths)]


def _to_come(taken: Sequence[Taken], lengths: Sequence[ClothLength]) -> ClothLength:
    """Return the cloth that has to be bought yet: strips for which no length has room."""
    wanted: Counter[Fraction] = Counter()
    for one in taken:
        for layout in one.layouts:
            wanted[layout.sheet.along] += layout.copies
    for length in lengths:
        wanted -= length.to_cut
    return ClothLength("the cloth that is still to come", wanted)

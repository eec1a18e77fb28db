"""Lengths on the cutting table: each is a cloth of its own, straightened once and trued by itself.

What the steps cut away and what the shelf is charged for come from one rule:
:class:`~kitmaker.cutting.purchase.StripLoss`, length by length.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.layout import Layout
from kitmaker.cutting.purchase import StripLoss
from kitmaker.lengths import Length
from kitmaker.shop import Shop


def loss_of(shop: Shop) -> StripLoss:
    """Return what cutting strips loses in a shop, on each length."""
    return StripLoss(shop.straighten, shop.re_square, shop.re_square_every)


@dataclass(slots=True)
class ClothLength:
    """A length on the table while its strips are cut off it."""

    name: str  # what it is called at the table; "" where there is only one
    to_cut: Counter[Length]  # strips still to be cut off it, by their inches along
    alike: int = 1  # how many lengths are cut so, one of each print
    at_hand: Length | None = None  # inches it had on the shelf; None where that is not known
    again: str = ""  # what it is called once it has been named in full; the same where that is ""
    cut: int = 0  # strips cut off it so far
    cut_in: str = ""  # the layout that strips were cut off it for last; "" for none
    inches: Length = Fraction(0)  # what those strips measure together

    def take(self, size: Length, wanted: int) -> tuple[int, range]:
        """Cut strips of one size off it.

        Args:
            size: Inches along.
            wanted: How many are wanted of all lengths that are cut alike.

        Returns:
            How many it gives (each of those alike), and the numbers they have on this length.
        """
        times = min(wanted // self.alike, self.to_cut[size])
        self.to_cut[size] -= times
        self.cut += times
        self.inches += times * size
        return times, range(self.cut - times + 1, self.cut + 1)

    def left(self, shop: Shop) -> Length | None:
        """Return the inches that are left of it, what was lost taken off; None unknown."""
        if self.at_hand is None:
            return None
        return self.at_hand - self.inches - loss_of(shop).on(self.cut)

    @property
    def strips(self) -> int:
        """Strips cut off it in all."""
        return self.cut + self.to_cut.total()


def one_length(layouts: Iterable[Layout], alike: int = 1) -> ClothLength:
    """Return the length that all of some layouts are cut off, or that of each print alike."""
    to_cut: Counter[Length] = Counter()
    for layout in layouts:
        to_cut[layout.sheet.along] += layout.copies // alike
    return ClothLength(f"each of the {alike} prints" if alike > 1 else "", to_cut, alike)

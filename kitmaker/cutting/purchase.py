"""What a length off the bolt costs: lengths are sold in steps, and cutting loses some.

Two lengths that round up to the same purchase cost the same. So where only the purchase
matters the search may stop once no shorter length rounds up to a smaller one, and the
simplest plan within the purchase is better than the shortest.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.lengths import Length, round_need_up


@dataclass(frozen=True, slots=True)
class StripLoss:
    """What cutting strips off one length loses, for truing its edge.

    Attributes:
        straighten: Inches lost once at the start.
        re_square: Inches lost each time the edge is trued again.
        every: Strips cut between two truings.
    """

    straighten: Length = Fraction(0)
    re_square: Length = Fraction(0)
    every: int = 6

    def on(self, strips: int) -> Length:
        """Return what a number of strips from one length loses; none lose nothing."""
        if not strips:
            return Fraction(0)
        return self.straighten + self.re_square * len(self.trued_after(strips))

    def trued_after(self, strips: int) -> range:
        """Return after which of so many strips off one length its edge is trued again.

        Nothing is trued behind the last, and never where that loses nothing.
        """
        return range(0) if not self.re_square else range(self.every, strips, self.every)


@dataclass(frozen=True, slots=True)
class Purchase:
    """How a length of pieces becomes a length bought.

    Attributes:
        step: What lengths are sold in, inches.
        loss: What cutting it loses.
        kept: The share of a length that is left after the wash: 1 without shrinkage.
        more: Shares of a length: with so much more of it the cutting may be easier, and a
            plan for each is wanted. Empty where the shortest is wanted whatever it takes.
        most_more: Inches that may be spent so at most; None for no limit but the shares.
    """

    step: Length
    loss: StripLoss
    kept: Fraction = Fraction(1)
    more: tuple[Fraction, ...] = ()
    most_more: Length | None = None

    def with_loss(self, length: Length, cuts: int) -> Length:
        """Return what a length of pieces takes, with so many strips cut off it."""
        return (length + self.loss.on(max(1, cuts))) / self.kept

    def bought(self, length: Length, cuts: int) -> Length:
        """Return what is bought for a length of pieces."""
        return round_need_up(self.with_loss(length, cuts), self.step)

    def longer(self, length: Length) -> list[Length]:
        """Return the lengths of pieces that may be taken instead, the shorter first."""
        more = [length * share for share in self.more]
        if self.most_more is not None:
            more = [min(one, self.most_more) for one in more]
        return sorted({length + one for one in more if one})

    def room(self, length: Length, cuts: int) -> Length:
        """Return the inches of pieces that the same purchase holds on top."""
        left = self.bought(length, cuts) - self.with_loss(length, cuts)
        return left * self.kept

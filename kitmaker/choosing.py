"""Choosing forms: a fabric in each form with its money, its rank and what stands in the way.

Values only. :mod:`kitmaker.kits.convert` makes them; words, JSON and the page are read from them.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.pattern import Fabric
from kitmaker.plans import Yield


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One fabric in one form.

    Attributes:
        form: The form, with the usable size that applies.
        asked: The form's name as asked for.
        feasible: Whether the pieces fit it; None for an estimate by area.
        amount: How much one kit takes, None when the pieces do not fit.
        why: What does not fit; "".
        fits_from: What would make it fit; "".
        one_fewer_at: (across, along) inches at which one fewer would do; None.
        cost: Money for all kits; None when no cost of the form or the SKU is known.
        cost_lower_bound: For a mix: no mix costs less for one kit; None elsewhere.
        counts: For a mix: form id to number; empty elsewhere.
        price: What all kits sell for at shelf prices, without markup, labor or fee; None
            when no price is known.
        left_over: Share of the cloth that becomes no needed piece, 0 to 1; None without pieces.
        minutes: At the cutting table for all kits, an estimate; None without pieces.
        rank: 1 for the cheapest, then on without ties, what has no cost behind all others;
            None where nothing fits.
    """

    form: Form
    asked: str
    feasible: bool | None
    amount: Yield | None
    why: str = ""
    fits_from: str = ""
    one_fewer_at: tuple[Length, Length] | None = None
    cost: Decimal | None = None
    cost_lower_bound: Decimal | None = None
    counts: tuple[tuple[str, int], ...] = ()
    price: Decimal | None = None
    left_over: Fraction | None = None
    minutes: Fraction | None = None
    rank: int | None = None

    @property
    def in_the_way(self) -> str:
        """What does not fit and what would make it fit, or what an answer rests on; ""."""
        return ". ".join(part for part in (self.why, self.fits_from) if part)

    @property
    def cloth(self) -> Fraction:
        """Usable square inches that one kit takes; 0 where that is not known."""
        if self.amount is None:
            return Fraction(0)
        if self.form.by_length:
            return self.form.usable_across * (self.amount.buy_length or 0)
        sheets = self.amount.forms_of(self.form)
        return sum(
            (one.usable_across * (one.usable_along or 0) * count for one, count in sheets),
            Fraction(0),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricOptions:
    """A fabric with its options.

    Attributes:
        fabric: The fabric.
        kits: How many kits the costs, prices and minutes are for.
        options: In the order the forms were asked for.
    """

    fabric: Fabric
    kits: int
    options: tuple[Option, ...]

    @property
    def can_be_done(self) -> bool:
        """Whether the pieces fit some form, or may (an estimate)."""
        return any(option.feasible is not False for option in self.options)

    @property
    def ranked(self) -> tuple[Option, ...]:
        """The options that can, cheapest first."""
        return tuple(
            sorted((one for one in self.options if one.rank), key=lambda one: one.rank or 0)
        )

    @property
    def pick(self) -> Option | None:
        """The cheapest option whose pieces fit for sure; None where there is none."""
        return next((one for one in self.ranked if one.feasible), None)

    @property
    def wont_fit(self) -> tuple[Option, ...]:
        """The options whose form the pieces do not fit, in the order asked."""
        return tuple(one for one in self.options if one.feasible is False)

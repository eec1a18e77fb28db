"""Choosing forms: a fabric in each form with its money, its rank and what stands in the way.

And the pattern as a whole in each form: which fabrics it holds, and which not. Values only:
:mod:`kitmaker.kits.convert` makes them; words, JSON and the page are read from them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting_jobs import Yield
from kitmaker.errors import Problem
from kitmaker.forms import Form
from kitmaker.lengths import Length
from kitmaker.pattern import Fabric
from kitmaker.plans import sum_known

NO_COST_LAST = (
    "A form without a cost comes last; one that is cut off the bolt has a cost only if the Forms "
    "sheet gives it."
)


@dataclass(frozen=True, slots=True)
class JoinedPiece:
    """What of a fabric is sewn of parts that the pattern has in one."""

    piece: str  # its name
    parts: int  # of strips all parts, of a rectangle those of one
    part_length: Length  # inches
    seams: int  # of strips all, of a rectangle those of one
    is_run: bool  # whether they are strips that are joined into one length
    breaks_print: bool = False  # whether a seam breaks a one-way print


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One fabric in one form."""

    form: Form  # the form, with the usable size that applies
    asked: str  # the form's name as asked for
    feasible: bool | None  # whether the pieces fit it; None for an estimate by area
    amount: Yield | None  # how much one kit takes, None when the pieces do not fit
    why: str = ""  # what does not fit; ""
    fits_from: str = ""  # what would make it fit; ""
    # (across, along) inches at which one fewer would do; None
    one_fewer_at: tuple[Length, Length] | None = None
    # money for all kits; None when no cost of the form or the SKU is known
    cost: Decimal | None = None
    # for a mix: no mix costs less for one kit; None elsewhere
    cost_lower_bound: Decimal | None = None
    counts: tuple[tuple[str, int], ...] = ()  # for a mix: form id to number; empty elsewhere
    # whether the amount is the pattern's own, in this form, without pieces
    is_as_stated: bool = False
    # what all kits sell for at shelf prices, without markup, labor or fee; None when no price is
    # known
    price: Decimal | None = None
    # share of the cloth that becomes no needed piece, 0 to 1; None without pieces
    left_over: Fraction | None = None
    # at the cutting table for all kits, an estimate; None without pieces
    minutes: Fraction | None = None
    # 1 for the cheapest, then on without ties, what has no cost behind all others; None where
    # nothing fits
    rank: int | None = None
    # what is sewn of parts; empty where all pieces are cut as the pattern has them
    joined: tuple[JoinedPiece, ...] = ()
    # what it would take if parts might be sewn; None where they may, or no help
    if_joined: Option | None = None
    said: tuple[Problem, ...] = ()  # what is to be said of the seams

    @property
    def holds(self) -> bool:
        """Whether the fabric can be had so: its pieces fit, or its stated amount is of this form.

        An amount without pieces comes off the bolt, or in the form it is stated in.
        """
        if self.amount is None:
            return False
        return self.feasible is True or self.form.by_length or self.is_as_stated

    @property
    def how_joined(self) -> str:
        """How its pieces are sewn of parts: ``with joined strips``; "" where none is."""
        runs = {piece.is_run for piece in self.joined}
        if not runs:
            return ""
        message = "with joined strips" if runs == {True} else "with pieces sewn of parts"
        breaks = any(piece.breaks_print for piece in self.joined)
        return f"{message} (a seam breaks the print)" if breaks else message

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
            (form.usable_across * (form.usable_along or 0) * count for form, count in sheets),
            Fraction(0),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricOptions:
    """A fabric with its options."""

    fabric: Fabric  # the fabric
    kits: int  # how many kits the costs, prices and minutes are for
    options: tuple[Option, ...]  # in the order the forms were asked for

    @property
    def can_be_done(self) -> bool:
        """Whether the pieces fit some form, or may (an estimate)."""
        return any(option.feasible is not False for option in self.options)

    @property
    def ranked(self) -> tuple[Option, ...]:
        """The options that can, cheapest first."""
        return tuple(
            sorted(
                (option for option in self.options if option.rank),
                key=lambda option: option.rank or 0,
            )
        )

    @property
    def pick(self) -> Option | None:
        """The cheapest option whose pieces fit for sure; None where there is none."""
        return next((option for option in self.ranked if option.feasible), None)

    @property
    def wont_fit(self) -> tuple[Option, ...]:
        """The options whose form the pieces do not fit, in the order asked."""
        return tuple(option for option in self.options if option.feasible is False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """The whole pattern in one form."""

    form: Form  # the form
    asked: str  # its name as asked for
    as_they_are: tuple[str, ...]  # the fabrics whose pieces it holds as the pattern has them
    # the options of those that it holds in parts that are sewn together
    joined: tuple[tuple[str, Option], ...]
    would_join: tuple[tuple[str, Option], ...]  # the options of those that it would hold so
    not_held: tuple[str, ...]  # the fabrics that it does not hold, those that it would included
    cost: Decimal | None  # money for all kits of what it holds; None where a cost is not known

    @property
    def held(self) -> int:
        """How many fabrics it holds."""
        return len(self.as_they_are) + len(self.joined)

    @property
    def wont_fit(self) -> tuple[str, ...]:
        """The fabrics that it would not hold in parts either."""
        would = {role for role, _ in self.would_join}
        return tuple(role for role in self.not_held if role not in would)


def wholes_of(options: Sequence[FabricOptions]) -> tuple[Whole, ...]:
    """Return the pattern as a whole in each form, in the order the forms were asked for."""
    count = len(options[0].options) if options else 0
    return tuple(
        _whole([(option.fabric.role, option.options[at]) for option in options])
        for at in range(count)
    )


def _whole(options: Sequence[tuple[str, Option]]) -> Whole:
    held = [(role, option) for role, option in options if option.holds]
    others = [(role, option) for role, option in options if not option.holds]
    first = options[0][1]
    return Whole(
        form=first.form,
        asked=first.asked,
        as_they_are=tuple(role for role, option in held if not option.joined),
        joined=tuple((role, option) for role, option in held if option.joined),
        would_join=tuple((role, option.if_joined) for role, option in others if option.if_joined),
        not_held=tuple(role for role, _ in others),
        cost=sum_known([option.cost for _, option in held]) if held else None,
    )


def stay_yardage(
    options: Sequence[FabricOptions], *, if_joined: bool = False
) -> tuple[str, ...] | None:
    """Return the fabrics that no form but yardage holds; None where no other was asked for.

    With ``if_joined`` what a form would hold in parts counts as held.
    """
    if not any(not option.form.by_length for fabric in options for option in fabric.options):
        return None
    return tuple(
        fabric.fabric.role
        for fabric in options
        if not any(
            (option.holds or (if_joined and option.if_joined is not None))
            and not option.form.by_length
            for option in fabric.options
        )
    )

"""One kit, each fabric in each form: how many, and what stands in the way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.kits.demands import pattern_width_of
from kitmaker.kits.mixes import BY_AREA, SEVERAL_PRINTS, exact_money, take_any
from kitmaker.kits.yields import Basis, KeyedPiece, Taken, estimate_by_area, one_fewer_at, take
from kitmaker.lengths import Length, say_off_the_bolt
from kitmaker.pattern import Fabric, Pattern, Use
from kitmaker.plans import Yield
from kitmaker.shop import Shop

ESTIMATE = "an estimate by area: the pattern states an amount and no pieces"


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One fabric in one form.

    Attributes:
        form: The form.
        asked: The form's name as asked for.
        feasible: Whether the pieces fit it; None for an estimate by area.
        amount: How much, None when the pieces do not fit.
        why: What does not fit; "".
        fits_from: What would make it fit; "".
        one_fewer_at: (across, along) inches at which one fewer would do; None.
        cost: Money for one kit; None when the form's cost is not known.
        cost_lower_bound: For a mix: no mix costs less; None elsewhere.
        counts: For a mix: form id to number; empty elsewhere.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricOptions:
    """A fabric with its options, in the order the forms were asked for."""

    fabric: Fabric
    options: tuple[Option, ...]

    @property
    def can_be_done(self) -> bool:
        """Whether the pieces fit some form, or may (an estimate)."""
        return any(option.feasible is not False for option in self.options)


def convert(
    pattern: Pattern, forms: Sequence[tuple[str, Form]], shop: Shop
) -> Iterable[FabricOptions]:
    """Yield each fabric with what it takes in each form, for one kit.

    Batting is not fabric and is passed over.

    Args:
        pattern: What is read for sure.
        forms: (name as asked, form), in order.
        shop: Its losses, rounding and costs.
    """
    for fabric in pattern.fabrics:
        if fabric.use is Use.BATTING:
            continue
        width = pattern_width_of(fabric, shop.catalogue)
        basis = Basis(shop, pattern.unit, width, exact_length=True, to_cut=False)
        options = tuple(_option(fabric, asked, form, basis) for asked, form in forms)
        yield FabricOptions(fabric=fabric, options=options)


def usable_form(form: Form, shop: Shop, measured: Length | None = None) -> Form:
    """Return the form with the usable width that applies: measured, then the shop's, then its own.

    The shop's usable width is that of a bolt: it holds for cloth off the bolt and for forms
    as wide as fabric, not for narrower ones.
    """
    if form.mix:
        return replace(form, mix=tuple(usable_form(one, shop, measured) for one in form.mix))
    if form.nominal_across < Fraction(36) or form.nominal_across > Fraction(60):
        return form
    width = measured or (None if form.own else shop.usable_width)
    return form.with_usable_across(width) if width else form


def grouped(pieces: Iterable[KeyedPiece]) -> dict[str, list[KeyedPiece]]:
    """Return the pieces by the print they must share; "" for those free of any."""
    groups: dict[str, list[KeyedPiece]] = {}
    for key, piece, count in pieces:
        groups.setdefault(piece.print_group or "", []).append((key, piece, count))
    return groups


def _option(fabric: Fabric, asked: str, form: Form, basis: Basis) -> Option:
    form = usable_form(form, basis.shop)
    if not fabric.pieces:
        return _estimate(fabric, asked, form)
    if form.mix:
        return _mixed(fabric, asked, form, basis)
    amounts: list[Yield] = []
    fewer: tuple[Length, Length] | None = None
    groups = grouped((piece.name, piece, piece.quantity) for piece in fabric.pieces)
    for pieces in groups.values():
        taken: Taken = take(pieces, form, basis, fabric.prints)
        if taken.amount is None:
            return _cannot(asked, form, taken)
        amounts.append(taken.amount)
        if len(groups) == 1:
            fewer = one_fewer_at(pieces, form, basis, taken.amount.count, fabric.prints)
    amount = amounts[0] if len(amounts) == 1 else add_yields(amounts, form, basis)
    return Option(
        form=form,
        asked=asked,
        feasible=True,
        amount=amount,
        one_fewer_at=fewer,
        cost=_cost(amount, form, basis.shop),
    )


def _mixed(fabric: Fabric, asked: str, form: Form, basis: Basis) -> Option:
    pieces = [(piece.name, piece, piece.quantity) for piece in fabric.pieces]
    if len(grouped(pieces)) > 1:
        taken = Taken(None, (), SEVERAL_PRINTS)
    else:
        taken = take_any(pieces, form, basis, fabric.prints)
    amount = taken.amount
    if amount is None:
        return _cannot(asked, form, taken)
    return Option(
        form=form,
        asked=asked,
        feasible=True,
        amount=amount,
        why=BY_AREA if amount.cost is None else "",
        cost=amount.cost,
        cost_lower_bound=amount.cost_lower_bound,
        counts=amount.counts,
    )


def _cannot(asked: str, form: Form, taken: Taken) -> Option:
    return Option(
        form=form,
        asked=asked,
        feasible=False,
        amount=None,
        why=taken.why,
        fits_from=taken.fits_from,
    )


def add_yields(amounts: Sequence[Yield], form: Form, basis: Basis) -> Yield:
    """Return what several print groups take together, each from a print of its own."""
    count = sum(amount.count for amount in amounts)
    if form.usable_along is not None:
        return Yield(
            count=count,
            lower_bound=sum(amount.lower_bound for amount in amounts),
            proven=all(amount.proven for amount in amounts),
            buy=form.count_phrase(count),
        )
    zero = Fraction(0)
    buy_length = sum((amount.buy_length or zero for amount in amounts), zero)
    parts = " + ".join(amount.buy for amount in amounts)
    return Yield(
        count=1,
        lower_bound=1,
        proven=all(amount.proven for amount in amounts),
        length=sum((amount.length or zero for amount in amounts), zero),
        length_lower_bound=sum((amount.length_lower_bound or zero for amount in amounts), zero),
        length_proven=all(bool(amount.length_proven) for amount in amounts),
        length_with_loss=sum((amount.length_with_loss or zero for amount in amounts), zero),
        buy_length=buy_length,
        buy=f"{say_off_the_bolt(buy_length, basis.unit)} ({parts})",
    )


def _cost(amount: Yield, form: Form, shop: Shop) -> Decimal | None:
    if form.cost is None:
        return None
    if amount.buy_length is None:
        return form.cost * amount.count
    return exact_money(Fraction(form.cost) * amount.buy_length / shop.unit.bolt_length)


def _estimate(fabric: Fabric, asked: str, form: Form) -> Option:
    if fabric.requirement is None or fabric.requirement.length is None:
        why = "the pattern gives neither pieces nor a length for it"
        return Option(form=form, asked=asked, feasible=None, amount=None, why=why)
    width = fabric.usable_width or Fraction(40)
    count = estimate_by_area(fabric.requirement.length * width, form)
    amount = Yield(
        count=count,
        lower_bound=count,
        proven=False,
        length=fabric.requirement.length if form.by_length else None,
        length_lower_bound=None,
        buy=fabric.requirement.as_written if form.by_length else form.count_phrase(count),
        estimated=True,
    )
    return Option(form=form, asked=asked, feasible=None, amount=amount, why=ESTIMATE)

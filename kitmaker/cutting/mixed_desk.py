"""Where the rest of kitmaker asks about several forms at once: exact inches in and out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.handout import Queue, hand_out
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.least_cost import least_cost
from kitmaker.cutting.mixed import Mixed, Sheet
from kitmaker.cutting.most_worth import most_worth
from kitmaker.cutting.problem import Demand, Kind, Problem, common_unit, kinds_of
from kitmaker.cutting.simplest import drop_surplus
from kitmaker.cutting.trees import Column, total
from kitmaker.lengths import Length


@dataclass(frozen=True, slots=True)
class MixForm:
    """A form that may be part of a mix.

    Attributes:
        key: The caller's name for it.
        across, along: Its usable size, inches.
        cost: What one costs.
        at_hand: How many there are; None without limit.
    """

    key: str
    across: Length
    along: Length
    cost: Fraction
    at_hand: int | None = None


@dataclass(frozen=True, slots=True)
class MixAnswer:
    """Which forms yield the pieces at least cost.

    Attributes:
        counts: How many of each form, by key, in the order asked; 0 is left out.
        cost: What they cost together.
        cost_lower_bound: No edge-to-edge cutting of any mix costs less.
        layouts: How each form is cut, by key.
    """

    counts: dict[str, int]
    cost: Fraction
    cost_lower_bound: Fraction
    layouts: dict[str, tuple[Layout, ...]]

    @property
    def proven(self) -> bool:
        """Whether no mix costs less."""
        return self.cost == self.cost_lower_bound


@dataclass(frozen=True, slots=True)
class WorthPiece:
    """A size that could be cut from what is at hand.

    Attributes:
        key: The caller's name for it.
        across, along: Inches.
        worth: What one is worth.
        most: How many are wanted at most; None for any number.
        may_turn: Whether it may lie the other way.
        group: Sizes of one group share one ``most``; "" for a size by itself.
    """

    key: str
    across: Length
    along: Length
    worth: Fraction
    most: int | None = None
    may_turn: bool = True
    group: str = ""


@dataclass(frozen=True, slots=True)
class WorthAnswer:
    """What comes out of the forms at hand.

    Attributes:
        pieces: How many of each size, by key, in the order asked; 0 is left out.
        worth: What they are worth together.
        worth_upper_bound: No edge-to-edge cutting is worth more.
        layouts: How each form is cut, by key; a form left whole has none.
    """

    pieces: dict[str, int]
    worth: Fraction
    worth_upper_bound: Fraction
    layouts: dict[str, tuple[Layout, ...]]

    @property
    def proven(self) -> bool:
        """Whether nothing is worth more."""
        return self.worth == self.worth_upper_bound


def plan_mix(demands: Sequence[Demand], forms: Sequence[MixForm]) -> MixAnswer | None:
    """Find the cheapest forms that yield the pieces, of several kinds together.

    Args:
        demands: What is needed.
        forms: What may be taken, each key once.

    Returns:
        The plan; None when the forms at hand do not yield the pieces in any way found.

    Raises:
        ValueError: There is nothing to cut or a piece fits no form.
    """
    if not demands or not forms:
        raise ValueError("there is nothing to cut")
    for demand in demands:
        if not any(demand.fits(form.across, form.along) for form in forms):
            raise ValueError(f"{demand.key} does not fit")
    unit = common_unit(
        [
            *(length for form in forms for length in (form.across, form.along)),
            *(length for demand in demands for length in (demand.across, demand.along)),
        ]
    )
    kinds = kinds_of(demands, unit)
    found = least_cost(kinds, [_sheet(form, unit) for form in forms])
    if found is None:
        return None
    layouts = _layouts(unit, kinds, forms, found)
    counts = {key: sum(one.copies for one in made) for key, made in layouts.items()}
    cost = sum((form.cost * counts.get(form.key, 0) for form in forms), Fraction(0))
    return MixAnswer(counts, cost, min(found.bound, cost), layouts)


def best_worth(forms: Sequence[MixForm], pieces: Sequence[WorthPiece]) -> WorthAnswer:
    """Find what is worth most in the forms at hand; among equals the easiest to cut.

    Args:
        forms: What is there; each ``at_hand`` is a number (None counts as none), the cost
            is not looked at.
        pieces: What could be cut; a size that fits no form simply does not come out.

    Raises:
        ValueError: There is nothing to cut.
    """
    if not forms or not pieces:
        raise ValueError("there is nothing to cut")
    unit = common_unit(
        [
            *(length for form in forms for length in (form.across, form.along)),
            *(length for piece in pieces for length in (piece.across, piece.along)),
        ]
    )
    kinds = tuple(_worth_kind(piece, forms, unit) for piece in pieces)
    found = most_worth(
        kinds,
        [_sheet(form, unit) for form in forms],
        [piece.worth for piece in pieces],
        [piece.most for piece in pieces],
        [piece.group or piece.key for piece in pieces],
    )
    made = _no_more_than_wanted(total(found.columns, len(kinds)), pieces)
    kept = tuple(
        Kind(kind.across, kind.along, count, kind.may_turn, _as_demands(piece, count))
        for kind, piece, count in zip(kinds, pieces, made, strict=True)
    )
    layouts = _layouts(unit, kept, forms, found, all_of_it=True)
    worth = sum((piece.worth * n for piece, n in zip(pieces, made, strict=True)), Fraction(0))
    return WorthAnswer(
        {piece.key: count for piece, count in zip(pieces, made, strict=True) if count},
        worth,
        max(found.bound, worth),
        layouts,
    )


def _no_more_than_wanted(cut: Sequence[int], pieces: Sequence[WorthPiece]) -> list[int]:
    """Return how many of each size count, of a group the most worthy first."""
    made = list(cut)
    left: dict[str, int] = {}
    for at, piece in sorted(enumerate(pieces), key=lambda one: -one[1].worth):
        if piece.most is not None:
            group = piece.group or piece.key
            made[at] = min(made[at], left.setdefault(group, piece.most))
            left[group] -= made[at]
    return made


def _sheet(form: MixForm, unit: Length) -> Sheet:
    return Sheet(int(form.across / unit), int(form.along / unit), form.cost, form.at_hand)


def _worth_kind(piece: WorthPiece, forms: Sequence[MixForm], unit: Length) -> Kind:
    """Return the kind of a size, with as many as the area at hand could hold."""
    area = sum((form.across * form.along * (form.at_hand or 0) for form in forms), Fraction(0))
    most = max(1, int(area / (piece.across * piece.along)))
    count = most if piece.most is None else min(most, max(1, piece.most))
    w, h = int(piece.across / unit), int(piece.along / unit)
    turns = piece.may_turn and w != h
    if turns and w > h:
        w, h = h, w
    return Kind(w, h, count, turns, _as_demands(piece, count))


def _as_demands(piece: WorthPiece, count: int) -> tuple[Demand, ...]:
    return (Demand(piece.key, piece.across, piece.along, max(1, count), piece.may_turn),)


def _layouts(
    unit: Length,
    kinds: tuple[Kind, ...],
    forms: Sequence[MixForm],
    found: Mixed,
    *,
    all_of_it: bool = False,
) -> dict[str, tuple[Layout, ...]]:
    """Lay the chosen columns on their forms, without pieces that are too many."""
    whole = Problem(unit, 0, 0, kinds)
    chosen = drop_surplus(whole, found.columns, all_of_it=all_of_it)
    queues = [Queue(kind) for kind in kinds]
    layouts: dict[str, tuple[Layout, ...]] = {}
    for at, form in enumerate(forms):
        own: Counter[Column] = Counter(
            {column: copies for column, copies in chosen.items() if column.size == at}
        )
        if own:
            height = int(form.along / unit)
            problem = Problem(unit, int(form.across / unit), height, kinds)
            layouts[form.key] = hand_out(problem, own, height=height, queues=queues)
    return layouts

"""How much of one form a set of pieces takes, with loss and rounding.

``convert`` asks it once a form, ``plan`` once for a kit and once for all kits.

Loss. A length off the bolt is straightened once at its start and trued again after every
few strips; both are cloth that nobody gets. The length of the pieces alone is kept apart,
what is bought includes the loss and is rounded up once.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache, partial

from kitmaker.cutting.desk import (
    BoltAnswer,
    FormsAnswer,
    LengthCut,
    forms_are_enough,
    plan_forms,
    plan_length,
)
from kitmaker.cutting.layout import Layout
from kitmaker.cutting.problem import Demand
from kitmaker.cutting.purchase import Purchase
from kitmaker.cutting_jobs import Eased, Yield
from kitmaker.forms import Form
from kitmaker.kits.demands import FormDemands, KeyedPiece, demands_for
from kitmaker.kits.joins import Joins, as_in_pattern, in_parts
from kitmaker.kits.solved import solved
from kitmaker.lengths import (
    Length,
    Unit,
    say_off_the_bolt,
)
from kitmaker.pattern import Piece
from kitmaker.shop import Shop
from kitmaker.table.cloths import loss_of

MORE = (Fraction(1, 400), Fraction(1, 200), Fraction(1, 100), Fraction(1, 40))
"""Shares of a length that are tried on top of it in bulk, for easier cutting."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What the pieces take of one form.

    Attributes:
        amount: How much; None when the pieces do not fit.
        layouts: How it is cut; empty when the pieces do not fit.
        forms: For a mix: which form each layout is cut from; empty for a single form.
        easier: For a length: what takes more cloth and may be easier to cut, each by itself.
        eased: What was spent on easier cutting; None for nothing.
        prints: How many prints are cut alike, each layout as often from each.
        why: The piece that does not fit; "".
        fits_from: What would make it fit; "".
    """

    amount: Yield | None
    layouts: tuple[Layout, ...]
    why: str = ""
    fits_from: str = ""
    forms: tuple[Form, ...] = ()
    easier: tuple[Taken, ...] = ()
    eased: Eased | None = None
    prints: int = 1


@dataclass(frozen=True, slots=True)
class Basis:
    """What a count rests on, the same for every fabric of a plan.

    Attributes:
        shop: Losses and rounding.
        unit: What measures are said in.
        pattern_width: The width a whole strip is planned for, inches; None for 40.
        shrinkage: The share of an uncut length lost in the wash.
        exact_length: Whether the length itself counts, beside what is bought.
        to_cut: Whether the layouts are cut from, and so should be easy to cut.
        bulk: Whether a little more of a length may buy easier cutting, as far as the shop
            allows it.
        letters: The letter of each piece of the kit, by its key.
        joins: What may be sewn of shorter parts.
    """

    shop: Shop
    unit: Unit
    pattern_width: Length | None = None
    shrinkage: Fraction = Fraction(0)
    exact_length: bool = False
    to_cut: bool = True
    bulk: bool = False
    letters: Mapping[str, str] = field(default_factory=dict)
    joins: Joins = field(default_factory=Joins)


def _forms(
    demands: tuple[Demand, ...], across: Length, along: Length, *, easy: bool
) -> FormsAnswer:
    problem = ("forms", demands, across, along, easy)
    return solved(problem, lambda: plan_forms(demands, across, along, easy=easy))


@lru_cache(maxsize=4096)
def _enough(
    demands: tuple[Demand, ...], across: Length, along: Length, count: int, *, thorough: bool
) -> bool:
    return forms_are_enough(demands, across, along, count, thorough=thorough)


def _length(
    demands: tuple[Demand, ...], width: Length, purchase: Purchase, *, easy: bool, exact: bool
) -> BoltAnswer:
    problem = ("length", demands, width, purchase, easy, exact)
    return solved(problem, lambda: plan_length(demands, width, purchase, easy=easy, exact=exact))


def take(
    pieces: Sequence[KeyedPiece], form: Form, basis: Basis, prints: int | None = None
) -> Taken:
    """Find how much of a form yields the pieces.

    Args:
        pieces: What is needed.
        form: With the usable width that applies.
        basis: Losses, rounding and units.
        prints: How many different prints fill the role; None for one or any.
    """
    each, copies = _for_one_print(pieces, prints)
    asked = demands_for(each, form, basis.unit, basis.pattern_width)
    if asked.why:
        return Taken(None, (), asked.why, asked.fits_from)
    if form.usable_along is None:
        return _take_length(asked, form, basis, copies)
    taken = _take_forms(asked, form, form.usable_along, basis, copies)
    if prints is not None and taken.amount is not None and taken.amount.count < prints:
        return _at_least(taken, taken.amount, form, prints)
    return taken


def grouped(pieces: Iterable[KeyedPiece]) -> dict[str, list[KeyedPiece]]:
    """Return the pieces by the print they must share; "" for those free of any."""
    groups: dict[str, list[KeyedPiece]] = {}
    for key, piece, count in pieces:
        groups.setdefault(piece.print_group or "", []).append((key, piece, count))
    return groups


def _for_one_print(
    pieces: Sequence[KeyedPiece], prints: int | None
) -> tuple[Sequence[KeyedPiece], int]:
    """Share "from each" pieces out to their prints: one print's pieces, and how many prints.

    Pieces that may come from any print are shared out as evenly as whole pieces allow.
    """
    shares = {piece.from_each for _, piece, _ in pieces if piece.from_each}
    if not shares:
        return pieces, 1
    copies = max(max(shares), prints or 1)
    return [(key, piece, _share(piece, count, copies)) for key, piece, count in pieces], copies


def _share(piece: Piece, count: int, copies: int) -> int:
    """Return how many of a piece come from each print; all parts of a rectangle from one."""
    together = 1 if piece.sewn is None or piece.sewn.is_run else piece.sewn.parts
    return -(-count // (together * copies)) * together


def _take_forms(asked: FormDemands, form: Form, along: Length, basis: Basis, copies: int) -> Taken:
    demands, names = _without_names(asked.demands)
    answer = _forms(demands, form.usable_across, along, easy=basis.to_cut)
    count = answer.count * copies
    amount = Yield(
        count=count,
        lower_bound=answer.lower_bound * copies,
        proven=answer.proven,
        buy=form.count_phrase(count),
        prints=copies,
    )
    return Taken(amount, _times(answer.layouts, copies, names), prints=copies)


def _without_names(demands: Sequence[Demand]) -> tuple[tuple[Demand, ...], dict[str, str]]:
    """Return demands under numbers for names, and the names.

    Two prints that are cut alike are one problem, solved once.
    """
    names = {str(at): demand.key for at, demand in enumerate(demands)}
    return tuple(replace(demand, key=str(at)) for at, demand in enumerate(demands)), names


def _times(
    layouts: tuple[Layout, ...], copies: int, names: Mapping[str, str]
) -> tuple[Layout, ...]:
    return tuple(Layout(layout.sheet.renamed(names), layout.copies * copies) for layout in layouts)


def _at_least(taken: Taken, amount: Yield, form: Form, prints: int) -> Taken:
    """Take one form of every print, even where the pieces would need fewer."""
    extra = prints - amount.count
    last = taken.layouts[-1]
    layouts = (*taken.layouts[:-1], Layout(last.sheet, last.copies + extra))
    raised = replace(
        amount, count=prints, lower_bound=prints, proven=True, buy=form.count_phrase(prints)
    )
    return Taken(raised, layouts)


def purchase_of(basis: Basis) -> Purchase:
    """Return how the shop sells a length."""
    shop = basis.shop
    return Purchase(
        step=shop.bolt_step(basis.unit),
        loss=loss_of(shop),
        kept=1 - basis.shrinkage,
        more=shop.ease.shares(MORE) if basis.bulk else (),
        most_more=shop.ease.length,
    )


def _take_length(asked: FormDemands, form: Form, basis: Basis, copies: int) -> Taken:
    purchase = purchase_of(basis)
    demands, names = _without_names(asked.demands)
    answer = _length(
        demands, form.usable_across, purchase, easy=basis.to_cut, exact=basis.exact_length
    )
    least_cuts = sum(
        demand.count for demand in asked.demands if demand.across == form.usable_across
    )
    least = purchase.bought(answer.lower_bound, least_cuts)

    def taken(cut: LengthCut) -> Taken:
        cuts = sum(layout.copies for layout in cut.layouts)
        bought = purchase.bought(cut.length, cuts)
        amount = Yield(
            count=1,
            lower_bound=1,
            proven=least == bought,
            length=cut.length * copies,
            length_lower_bound=answer.lower_bound * copies,
            length_proven=cut.length == answer.lower_bound,
            length_with_loss=purchase.with_loss(cut.length, cuts) * copies,
            buy_length=bought * copies,
            buy=say_lengths(bought, copies, basis.unit),
            prints=copies,
        )
        return Taken(amount, _times(cut.layouts, copies, names), prints=copies)

    first, *easier = map(taken, answer.easy)
    return replace(first, easier=tuple(easier))


def say_lengths(each: Length, copies: int, unit: Unit) -> str:
    """Say one or several equal lengths to buy: ``2¼ yd``, ``1½ yd (6 × ¼ yd)``."""
    if copies == 1:
        return say_off_the_bolt(each, unit)
    total = say_off_the_bolt(each * copies, unit)
    return f"{total} ({copies} × {say_off_the_bolt(each, unit)})"


def one_fewer_at(
    pieces: Sequence[KeyedPiece],
    form: Form,
    basis: Basis,
    count: int,
    prints: int | None = None,
) -> tuple[Length, Length] | None:
    """Return the smallest measured size at which one form fewer would do.

    The usable length is raised first, half an inch at a time (a centimeter in a metric
    pattern), up to the nominal length; then the usable width is the nominal one and the
    length is raised again. A form is never larger than its nominal size.

    Returns:
        (across, along) in inches; None when even the nominal size needs as many.
    """
    if form.usable_along is None or form.nominal_along is None or count < 2:
        return None
    step = Fraction(1, 2) if basis.unit is Unit.INCH else basis.unit.length
    widths = dict.fromkeys((form.usable_across, form.nominal_across))
    each, copies = _for_one_print(pieces, prints)
    lengths = [form.usable_along]
    while lengths[-1] + step <= form.nominal_along:
        lengths.append(lengths[-1] + step)

    def enough(along: Length, across: Length, *, thorough: bool = True) -> bool:
        larger = replace(form, usable_across=across, usable_along=along)
        parts = each
        if copies == 1:
            whole = as_in_pattern(each)
            parts = in_parts(whole, larger, basis.joins, basis.unit, basis.pattern_width)
        asked = demands_for(parts, larger, basis.unit, basis.pattern_width)
        if asked.why:
            return False
        demands, _ = _without_names(asked.demands)
        return _enough(demands, across, along, (count - 1) // copies, thorough=thorough)

    if not enough(lengths[-1], form.nominal_across, thorough=False):
        return None
    for across in widths:
        if enough(lengths[-1], across):
            does = partial(enough, across=across)
            return across, lengths[bisect_left(lengths, True, hi=len(lengths) - 1, key=does)]
    return None


def estimate_by_area(area: Fraction, form: Form) -> int:
    """Return the number of forms below which no cutting can be, by area alone."""
    if form.usable_along is None:
        return 1
    return max(1, -(-area // (form.usable_across * form.usable_along)))

"""The pull list: what to take from the shelf, bolt by bolt, and what goes back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, round_need_up, say_bolt_left, say_off_the_bolt
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.saying import count_of, joined, say_of_each
from kitmaker.plans import KitPlan, PullLine, StockPiece


@dataclass(frozen=True, slots=True, kw_only=True)
class StockView:
    """What is taken from one row of the stock.

    Attributes:
        name: What tells it from the SKU's others, such as ``5½ yd piece``; "".
        cuts: What is cut off it for the bags, lengths and forms; "".
    """

    where: str
    name: str
    dye_lot: str
    cuts: str
    at_hand: str
    take: str
    left: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PullView:
    """One fabric to take from the shelf.

    Attributes:
        stock: From which bolts or piles; empty without a Stock sheet.
        at_hand: How much is free; "" when not known.
        flaws: Where measured cloth has flaws, each in words.
        short: In words what is not enough; "" when the shelf lasts.
        status: ``enough``, ``short`` or ``not checked``.
    """

    sku: str
    print_name: str
    roles: str
    pull: str
    stock: tuple[StockView, ...]
    at_hand: str
    flaws: tuple[str, ...]
    short: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PullListView:
    """The pull list; its shortages stand on top again."""

    head: PageHead
    lines: tuple[PullView, ...]
    shortages: tuple[PullView, ...]
    kits_possible: str
    has_stock: bool


def view_pull_list(plan: KitPlan, page: PageRef) -> PullListView:
    """Return the pull list."""
    lines = view_pull_lines(plan)
    return PullListView(
        head=make_head(plan, page),
        lines=lines,
        shortages=tuple(line for line in lines if line.short),
        kits_possible=say_kits_possible(plan),
        has_stock=plan.shop.stock is not None,
    )


def view_pull_lines(plan: KitPlan) -> tuple[PullView, ...]:
    """Return one line for each SKU, in words."""
    unit = plan.shop.unit if plan.shop.stock is not None else plan.pattern.unit
    return tuple(_view_line(plan, line, unit) for line in plan.pull)


def _view_line(plan: KitPlan, line: PullLine, unit: Unit) -> PullView:
    checked = line.at_hand is not None or line.forms_at_hand is not None
    status = "short" if line.short else ("enough" if checked else "not checked")
    return PullView(
        sku=line.sku,
        print_name=line.print_name,
        roles=line.roles,
        pull=_say_pull(line, unit),
        stock=tuple(_view_stock(plan, line, piece, unit) for piece in line.pieces),
        at_hand=_say_at_hand(line, unit),
        flaws=line.flaws,
        short=say_short(line),
        status=status,
    )


def own_lines(plan: KitPlan, sku: str) -> list[PullLine]:
    """Return the pull list's line of a stock number; none without one."""
    return [line for line in plan.pull if sku and line.sku == sku]


def _say_pull(line: PullLine, unit: Unit) -> str:
    if line.prints < 2:
        return line.buy
    each = [say_of_each(count, line.prints) for _, count in line.forms]
    if line.length:
        length = say_off_the_bolt(line.length / line.prints, unit)
        each.append(f"{length} of each of {line.prints} prints")
    return joined("; ", line.buy, *each)


_SHORT = ("short", "not enough", "runs out")
_GLUE = "\u00a0"  # so that a number never parts from its unit
_AT_MOST = "at most"
_UNSURE = "it may be less"


def say_short(line: PullLine) -> str:
    """Say a shortage with a word that no reader misses; "" when there is none."""
    if not line.short:
        return ""
    text = line.short[0].upper() + line.short[1:]
    if not any(word in line.short.casefold() for word in _SHORT):
        text = f"Short: {line.short}"
    return f"{text}; {_UNSURE}" if _AT_MOST in line.short else text


def _say_at_hand(line: PullLine, unit: Unit) -> str:
    parts = []
    for (form, _), at_hand in zip(line.forms, line.forms_at_hand or (), strict=False):
        parts += [form.count_phrase(at_hand)] if at_hand else []
    if line.at_hand is not None and (line.length or not parts):
        parts.append(say_bolt_left(line.at_hand, unit))
    if not parts and line.forms_at_hand is not None:
        return "nothing"
    return " and ".join(parts)


def _view_stock(plan: KitPlan, line: PullLine, piece: StockPiece, unit: Unit) -> StockView:
    form = _form_of(plan, line, piece)
    step = plan.shop.bolt_step(unit)
    if form is not None:
        at_hand = _say_pile(piece.at_hand, form)
        take, left = _say_pile(piece.take, form), _say_pile(piece.left, form)
    else:
        at_hand = say_bolt_left(piece.at_hand, unit)
        take = _say_take(piece, step, unit)
        left = say_bolt_left(piece.left // step * step, unit)
    return StockView(
        where=piece.row,
        name=piece.name,
        dye_lot=piece.dye_lot,
        cuts=_say_cuts(line, piece, unit),
        at_hand=at_hand,
        take=take.replace(" ", _GLUE) if form is None else take,
        left=left.replace(" ", _GLUE) if form is None else left,
    )


def _say_take(piece: StockPiece, step: Length, unit: Unit) -> str:
    """Say what is taken in the steps that cloth is sold in, never more than is there."""
    take = round_need_up(piece.take, step)
    return "all of it" if take > piece.at_hand else say_off_the_bolt(take, unit)


def _say_cuts(line: PullLine, piece: StockPiece, unit: Unit) -> str:
    """Say how forms are cut off a length, and, of several, how many bags' lengths each gives."""
    bags = [] if len(line.pieces) < 2 else [say_lengths_of(piece, unit)]
    return joined("; ", *bags, say_form_cuts([piece], unit))


def say_lengths_of(piece: StockPiece, unit: Unit, *sizes: Length) -> str:
    """Say the lengths (of some sizes) that a piece gives for bags: ``2 lengths of ⅞ yd``."""
    return " and ".join(
        f"{count_of(count, 'length')} of {say_off_the_bolt(size, unit)}"
        for size, count in piece.bags
        if not sizes or size in sizes
    )


def say_form_cuts(pieces: Sequence[StockPiece], unit: Unit) -> str:
    """Say how forms are cut off lengths: ``7 cuts of ½ yd, 2 fat quarters from each``; or ""."""
    cuts: dict[Form, list[int]] = {}
    for piece in pieces:
        for form, count, made in piece.cut_into:
            counted = cuts.setdefault(form, [0, 0])
            counted[0] += count
            counted[1] += made
    return "; ".join(
        f"{count_of(count, 'cut')} of {say_off_the_bolt(form.nominal_along or Fraction(0), unit)}, "
        f"{form.count_phrase(made // count)} from each"
        for form, (count, made) in cuts.items()
    )


def _form_of(plan: KitPlan, line: PullLine, piece: StockPiece) -> Form | None:
    """Tell a pile of forms from a bolt by the stock row it came from; None for a bolt."""
    only = line.forms[0][0] if line.forms else None
    rows = plan.shop.stock or ()
    row = next((row for row in rows if row.where.address == piece.where), None)
    if row is None:
        return only
    if row.form is None:
        return None
    alike = (form for form, _ in line.forms if plan.shop.catalogue.means(row.form, form))
    return next(alike, only)


def _say_pile(amount: Fraction, form: Form) -> str:
    return form.count_phrase(int(amount)) if amount else "nothing"


def say_kits_possible(plan: KitPlan) -> str:
    """Say how many complete kits the stock lasts for; "" without a Stock sheet."""
    if plan.kits_possible is None:
        return ""
    if plan.runs_out and plan.kits_possible < plan.all_kits:
        return f"Complete kits possible: {plan.kits_possible}. {plan.runs_out} runs out first."
    return f"Complete kits possible: {plan.kits_possible}."

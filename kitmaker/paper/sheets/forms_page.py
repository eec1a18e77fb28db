"""Which form for which fabric: each with its cost, what is left over and the minutes it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.choosing import NO_COST_LAST, FabricOptions, Option
from kitmaker.cutting_jobs import Yield
from kitmaker.lengths import Unit
from kitmaker.paper.sheets.page import PageHead, say_pattern
from kitmaker.paper.sheets.saying import (
    count_of,
    joined,
    printable,
    say_money,
    say_of_each,
    say_one_fewer,
    say_proof,
    say_share,
    say_time,
)
from kitmaker.paper.sheets.whole_pattern import WholeRow, say_stay_yardage, view_whole
from kitmaker.pattern import PatternReading
from kitmaker.plans import sum_known
from kitmaker.shop import Shop

FORMS = "forms.html"
HEADING = "Which form for which fabric"


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRow:
    """One form that a fabric's pieces fit.

    Attributes:
        proof: Whether less would do, or that it is an estimate.
        cost: ``not known`` without one.
        cost_bar: Its share of the dearest form's cost, such as ``40%``; "" without a cost.
        price: What it sells for; "" unknown.
        left_over: The share of the cloth that becomes no piece; "" for an estimate.
        used, left: The shares of the bar, such as ``92%``; "" for an estimate.
        minutes: At the cutting table; "" for an estimate.
    """

    rank: int
    form: str
    amount: str
    proof: str
    cost: str
    cost_bar: str
    price: str
    left_over: str
    used: str
    left: str
    minutes: str
    is_pick: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricForms:
    """A fabric with its forms, the cheapest first.

    Attributes:
        asked: What the pattern asks for; "".
        wont_fit: The names of all others in one line; "" where there are none.
        reasons: (form, what stands in the way) of each of those.
    """

    role: str
    asked: str
    rows: tuple[FormRow, ...]
    wont_fit: str
    reasons: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PickRow:
    """The pick of one fabric, or what all picks come to; ``form`` where the amount names none."""

    role: str
    form: str = ""
    amount: str = ""
    cost: str = ""
    price: str = ""
    minutes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsView:
    """The page.

    Attributes:
        notes: What to know of the figures.
        has_costs: Whether any cost is known; without one there is no column for it.
        picks: The cheapest form of each fabric; ``total`` is what they come to.
        whole: The pattern as a whole in each form that holds some of it, most first.
        stay_yardage: Which fabrics no other form holds, in words; "".
    """

    head: PageHead
    notes: tuple[str, ...]
    has_costs: bool
    picks: tuple[PickRow, ...]
    total: PickRow
    fabrics: tuple[FabricForms, ...]
    whole: tuple[WholeRow, ...]
    stay_yardage: str
    show_reasons: bool


def view_forms(
    options: Sequence[FabricOptions], reading: PatternReading, shop: Shop, *, why: bool = False
) -> FormsView:
    """Return the page of what was worked out; ``why`` opens the reasons of what won't fit."""
    kits = options[0].kits if options else 1
    has_costs = any(option.cost is not None for fabric in options for option in fabric.options)
    picked = [option.pick for option in options if option.pick is not None]
    return FormsView(
        head=_head(reading, shop, kits),
        notes=tuple(_notes(kits, has_costs=has_costs)),
        has_costs=has_costs,
        picks=tuple(_pick(option, shop) for option in options),
        total=PickRow(
            role="Together",
            cost=say_money(sum_known([pick.cost for pick in picked]), shop.currency),
            price=say_money(sum_known([pick.price for pick in picked]), shop.currency),
            minutes=say_time(sum((pick.minutes or Fraction(0) for pick in picked), Fraction(0))),
        ),
        fabrics=tuple(_fabric(option, reading.pattern.unit, shop) for option in options),
        whole=view_whole(options, shop),
        stay_yardage=say_stay_yardage(options),
        show_reasons=why,
    )


def _head(reading: PatternReading, shop: Shop, kits: int) -> PageHead:
    pattern = reading.pattern
    return PageHead(
        heading=HEADING,
        title=f"{HEADING} – {printable(pattern.name)}",
        shop_name=shop.name,
        pattern=say_pattern(pattern),
        kits="one kit" if kits == 1 else f"one kit, money and minutes for {count_of(kits, 'kit')}",
        not_complete=tuple(str(problem) for problem in reading.problems if problem.is_error),
    )


def _notes(kits: int, *, has_costs: bool) -> list[str]:
    if not has_costs:
        return [
            "No costs are known: the form that takes the least fabric comes first. Give costs in "
            "the shop’s workbook."
        ]
    whom = "" if kits == 1 else f" for {kits} kits"
    return [
        f"Costs{whom} are the shop’s own; prices are those of the shelf, without markup, labor "
        f"or kit fee. {NO_COST_LAST} Minutes at the cutting table are estimates."
    ]


def _pick(fabric_options: FabricOptions, shop: Shop) -> PickRow:
    pick = fabric_options.pick
    if pick is None or pick.amount is None:
        asked = fabric_options.fabric.requirement
        stated = f"{asked.as_written}, as the pattern states it" if asked else ""
        if fabric_options.fabric.pieces:
            return PickRow(role=fabric_options.fabric.role, form="none fits")
        instead = "" if stated else "no pieces given"
        return PickRow(role=fabric_options.fabric.role, form=instead, amount=stated)
    return PickRow(
        role=fabric_options.fabric.role,
        form=pick.form.name if pick.form.by_length else "",
        amount=pick.amount.buy,
        cost=say_money(pick.cost, shop.currency),
        price=say_money(pick.price, shop.currency),
        minutes=say_time(pick.minutes or Fraction(0)),
    )


def _fabric(fabric_options: FabricOptions, unit: Unit, shop: Shop) -> FabricForms:
    asked = fabric_options.fabric.requirement
    dearest = max(
        (option.cost or Decimal(0) for option in fabric_options.ranked), default=Decimal(0)
    )
    return FabricForms(
        role=fabric_options.fabric.role,
        asked="" if asked is None else asked.as_written,
        rows=tuple(
            _row(option, dearest, shop, unit, is_pick=option is fabric_options.pick)
            for option in fabric_options.ranked
        ),
        wont_fit=", ".join(option.form.name for option in fabric_options.wont_fit),
        reasons=tuple((option.form.name, option.in_the_way) for option in fabric_options.wont_fit),
    )


def _amount(option: Option, amount: Yield) -> str:
    each = "" if amount.length is not None else say_of_each(amount.count, amount.prints)
    text = joined(" ", amount.buy, option.how_joined)
    return f"{text}: {each}" if each else text


def _row(option: Option, dearest: Decimal, shop: Shop, unit: Unit, *, is_pick: bool) -> FormRow:
    amount, share = option.amount, option.left_over
    if amount is None:
        raise ValueError(f"{option.asked} does not fit")
    estimated = option.feasible is None
    fewer = say_one_fewer(amount, option.form, unit)
    proof = "an estimate by area" if estimated else say_proof(amount, option.form, unit)
    cost = say_money(option.cost, shop.currency)
    price = None if option.price is None else say_money(option.price, shop.currency)
    return FormRow(
        rank=option.rank or 0,
        form=option.form.name,
        amount=f"no fewer than {amount.buy}" if estimated else _amount(option, amount),
        proof=f"{proof}; {fewer}" if fewer else proof,
        cost=f"at least {cost}" if estimated and option.cost is not None else cost,
        cost_bar=f"{round(100 * option.cost / dearest)}%" if option.cost and dearest else "",
        price="" if price is None else f"at least {price}" if estimated else price,
        left_over="" if share is None else say_share(share),
        used="" if share is None else f"{100 - round(100 * share)}%",
        left="" if share is None else f"{round(100 * share)}%",
        minutes="" if option.minutes is None else say_time(option.minutes),
        is_pick=is_pick,
    )

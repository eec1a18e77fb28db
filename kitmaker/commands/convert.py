"""``convert``: each fabric in each form, cheapest first, for one kit and with money for all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path

from kitmaker.choosing import NO_COST_LAST, FabricOptions, Option, stay_yardage, wholes_of
from kitmaker.commands.inputs import Inputs
from kitmaker.commands.outputs import write_out
from kitmaker.cutting_jobs import Yield
from kitmaker.errors import Problem
from kitmaker.lengths import YARD, Length, Unit, as_json_number, say_size
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.render import render_forms
from kitmaker.paper.sheets.forms_page import FORMS, view_forms
from kitmaker.paper.sheets.saying import say_left_over, say_minutes, say_money, say_of_each
from kitmaker.paper.sheets.whole_pattern import say_stay_yardage, view_whole
from kitmaker.paper.stamp import stamped
from kitmaker.shop import Shop, figures_of

_MARKER = "forms.json"
"""The data beside the page; it shows that a folder is ours."""


def convert_json(
    options: Sequence[FabricOptions], unit: Unit, problems: Iterable[Problem]
) -> dict[str, object]:
    """Return the conversion table as data."""
    stays = stay_yardage(options)
    return {
        "schema": 1,
        "unit": unit.value,
        "fabrics": [
            {
                "role": fabric.fabric.role,
                "options": [_option_json(option, unit) for option in fabric.options],
            }
            for fabric in options
        ],
        "whole": [
            {
                "form": whole.asked,
                "as_they_are": list(whole.as_they_are),
                "joined": [role for role, _ in whole.joined],
                "not": list(whole.not_held),
                "cost": _money(whole.cost),
            }
            for whole in wholes_of(options)
        ],
        "stay_yardage": stays and list(stays),
        "problems": problems_json(problems),
    }


def _yards(length: Length | None) -> float | None:
    return None if length is None else float(length / YARD)


def _money(amount: Decimal | None) -> float | None:
    return None if amount is None else float(amount)


def _option_json(option: Option, unit: Unit) -> dict[str, object]:
    amount = option.amount
    fewer = option.one_fewer_at
    data: dict[str, object] = {
        "form": option.asked,
        "feasible": option.feasible,
        "count": None if amount is None else amount.count,
        "lower_bound": None if amount is None else amount.lower_bound,
        "proven": bool(amount and amount.proven),
        "why": option.in_the_way or None,
        "one_fewer_at": fewer and [as_json_number(side, unit) for side in fewer],
        "cost": _money(option.cost),
        "cost_lower_bound": _money(option.cost_lower_bound),
        "price": _money(option.price),
        "left_over": None if option.left_over is None else float(option.left_over),
        "minutes": None if option.minutes is None else float(option.minutes),
        "rank": option.rank,
        "buy": None if amount is None else amount.buy,
        "prints": None if amount is None else amount.prints,
        "joined": _joined_json(option, unit),
        "if_joined": None if option.if_joined is None else _option_json(option.if_joined, unit),
    }
    if option.form.mix:
        data["counts"] = dict(option.counts)
    if option.form.by_length:
        data |= {
            "length_yd": _yards(amount.length if amount else None),
            "length_yd_lower_bound": _yards(amount.length_lower_bound if amount else None),
            "length_proven": bool(amount and amount.length_proven),
        }
    return data


def _joined_json(option: Option, unit: Unit) -> list[dict[str, object]] | None:
    return [
        {
            "piece": piece.piece,
            "parts": piece.parts,
            "part_length": as_json_number(piece.part_length, unit),
            "seams": piece.seams,
        }
        for piece in option.joined
    ] or None


def say_seams(options: Sequence[FabricOptions], *, all_forms: bool) -> tuple[Problem, ...]:
    """Return what is to be said of seams, each once; what no form holds only of forms asked for."""
    problems = (
        problem
        for fabric in options
        for option in fabric.options
        if option.holds or not all_forms
        for problem in option.said
    )
    return tuple(dict.fromkeys(problems))


def convert_text(
    options: Sequence[FabricOptions], unit: Unit, shop: Shop, *, why: bool = False
) -> Iterator[str]:
    """Yield the conversion table, fabric by fabric, cheapest form first.

    With ``why`` it is said of each form that won't fit what stands in the way.
    """
    yield from _head(options)
    for fabric_options in options:
        fabric = fabric_options.fabric
        asked = f" (pattern asks for {fabric.requirement.as_written})" if fabric.requirement else ""
        yield f"{fabric.role}{asked}"
        if not fabric.pieces and fabric_options.options:
            yield f"  {fabric_options.options[0].why}"
        width = max((len(option.asked) for option in fabric_options.ranked), default=0)
        any_cost = any(option.cost is not None for option in fabric_options.ranked)
        for option in fabric_options.ranked:
            text = "; ".join(_say(option, unit, shop, any_cost=any_cost))
            yield f"  {option.rank:>2}  {option.asked:<{width}}  {text}"
        yield from _wont_fit(fabric_options, why=why)
        yield ""
    yield from _whole(options, shop)


def _head(options: Sequence[FabricOptions]) -> Iterator[str]:
    kits = options[0].kits if options else 1
    costed = [option.cost is not None for fabric in options for option in fabric.ranked]
    if costed and not any(costed):
        yield (
            "No costs are known: the form that takes the least fabric comes first. "
            "Give costs in the shop's workbook (--shop)."
        )
        what = "Minutes"
    else:
        what = "Costs, prices and minutes"
        if not all(costed):
            yield NO_COST_LAST
    if kits > 1:
        yield f"Amounts are for one kit. {what} are for {kits} kits."
    yield ""


def _wont_fit(fabric_options: FabricOptions, *, why: bool) -> Iterator[str]:
    for option in fabric_options.wont_fit:
        would = option.if_joined
        if would is not None and would.amount is not None:
            yield f"      {option.asked}: won't fit; {would.amount.buy} {would.how_joined}"
    rest = [option.asked for option in fabric_options.wont_fit if option.if_joined is None]
    if rest:
        yield f"      Won't fit: {', '.join(rest)}"
    if why:
        width = max((len(option.asked) for option in fabric_options.wont_fit), default=0)
        for option in fabric_options.wont_fit:
            yield f"        {option.asked:<{width}}  {option.in_the_way}"


def _say(option: Option, unit: Unit, shop: Shop, *, any_cost: bool) -> Iterator[str]:
    """Yield what there is to say of a form that can."""
    amount = option.amount
    if amount is None:
        return
    least = "no fewer than " if option.feasible is None else ""
    each = "" if amount.length is not None else say_of_each(amount.count, amount.prints)
    yield " ".join(part for part in (f"{least}{amount.buy}", option.how_joined) if part)
    if each:
        yield each
    if option.cost is not None:
        yield f"{'at least ' if least else ''}{say_money(option.cost, shop.currency)}"
    elif any_cost:
        yield "no cost known"
    if option.price is not None:
        yield f"sells for {'at least ' if least else ''}{say_money(option.price, shop.currency)}"
    if option.left_over is not None:
        yield say_left_over(option.left_over)
    if option.minutes is not None:
        yield say_minutes(option.minutes)
    if option.feasible:
        yield _say_sure(option, amount, unit)


def _say_sure(option: Option, amount: Yield, unit: Unit) -> str:
    """Say how sure the amount is, and at which size one fewer would do."""
    text = say_proof(amount)
    if amount.length is not None:
        return f"{text} ({say_size(amount.length, unit)} {unit.value} of pieces)"
    if option.why:
        return f"{text} ({option.why})"
    if option.one_fewer_at is not None:
        across, along = (say_size(side, unit) for side in option.one_fewer_at)
        fewer = amount.count - amount.prints
        text += f" ({fewer} if each measures {across} × {along} {unit.value})"
    return text


def _whole(options: Sequence[FabricOptions], shop: Shop) -> Iterator[str]:
    """Yield the pattern as a whole, form by form."""
    wholes = view_whole(options, shop)
    if wholes:
        yield "The whole pattern"
    for whole in wholes:
        yield f"  {whole.form}: {'; '.join(part for part in (whole.holds, whole.cost) if part)}"
    stays = say_stay_yardage(options)
    if stays:
        yield f"  {stays}"


def say_proof(amount: Yield) -> str:
    """Say how sure it is that fewer forms, less length, or a cheaper mix, will not do."""
    if amount.length is not None:
        if amount.length_proven:
            return "nothing shorter will do"
        return "the shortest that can be bought" if amount.proven else "may not be the shortest"
    if amount.counts:
        return "no mix is cheaper" if amount.proven else "a cheaper mix might do"
    if amount.count == amount.lower_bound:
        return "fewest possible"
    return f"no fewer than {amount.lower_bound} is certain"


def write_forms(
    options: Sequence[FabricOptions],
    inputs: Inputs,
    data: dict[str, object],
    out: Path,
    *,
    why: bool = False,
    replace: bool = False,
) -> Path:
    """Write the page and the data into a folder; return the page.

    The folder is a new or empty one, or one that holds such a page. With ``why`` the reasons of
    what won't fit lie open.
    """
    page = render_forms(view_forms(options, inputs.reading, figures_of(inputs.shop), why=why))
    files = {FORMS: page.encode()}
    files[_MARKER] = stamped(data, (*files, _MARKER), files).encode()
    return write_out(out, files, marker=_MARKER, replace=replace) / FORMS

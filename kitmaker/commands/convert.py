"""``convert``: one kit, each fabric in each form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitmaker.errors import Problem
from kitmaker.kits.convert import FabricOptions, Option
from kitmaker.lengths import YARD, Length, Unit, as_json_number, say_size
from kitmaker.paper.problem_json import problems_json
from kitmaker.plans import Yield


def convert_json(
    options: Iterable[FabricOptions], unit: Unit, problems: Iterable[Problem]
) -> dict[str, object]:
    """Return the conversion table as data."""
    return {
        "schema": 1,
        "unit": unit.value,
        "fabrics": [
            {
                "role": one.fabric.role,
                "options": [_option_json(option, unit) for option in one.options],
            }
            for one in options
        ],
        "problems": problems_json(problems),
    }


def _yards(length: Length | None) -> float | None:
    return None if length is None else float(length / YARD)


def _option_json(option: Option, unit: Unit) -> dict[str, object]:
    amount = option.amount
    fewer = option.one_fewer_at
    why = _why(option)
    data: dict[str, object] = {
        "form": option.asked,
        "feasible": option.feasible,
        "count": None if amount is None else amount.count,
        "lower_bound": None if amount is None else amount.lower_bound,
        "proven": bool(amount and amount.proven),
        "why": why or None,
        "one_fewer_at": fewer and [as_json_number(side, unit) for side in fewer],
        "cost": None if option.cost is None else float(option.cost),
        "cost_lower_bound": None
        if option.cost_lower_bound is None
        else float(option.cost_lower_bound),
        "buy": None if amount is None else amount.buy,
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


def convert_text(options: Iterable[FabricOptions], unit: Unit) -> Iterator[str]:
    """Yield the conversion table, fabric by fabric."""
    for one in options:
        fabric = one.fabric
        asked = f" (pattern asks for {fabric.requirement.as_written})" if fabric.requirement else ""
        yield f"{fabric.role}{asked}"
        if not fabric.pieces and one.options:
            yield f"  {one.options[0].why}"
        width = max((len(option.asked) for option in one.options), default=0)
        for option in one.options:
            yield f"  {option.asked:<{width}}  {_say(option, unit)}"
        yield ""


def _say(option: Option, unit: Unit) -> str:
    amount = option.amount
    if amount is None:
        return f"won't fit: {_why(option)}" if option.feasible is False else "not known"
    if option.feasible is None:
        return f"no fewer than {amount.buy}"
    if option.form.by_length:
        length = say_size(amount.length or YARD, unit)
        return f"{amount.buy} ({length} {unit.value} of pieces; {say_proof(amount)})"
    if option.form.mix:
        return f"{amount.buy} ({say_proof(amount)}{'; ' + option.why if option.why else ''})"
    text = f"{amount.buy} ({say_proof(amount)})"
    if option.one_fewer_at is not None:
        across, along = (say_size(side, unit) for side in option.one_fewer_at)
        text += f"; {amount.count - 1} if each measures {across} × {along} {unit.value}"
    return text


def _why(option: Option) -> str:
    return ". ".join(part for part in (option.why, option.fits_from) if part)


def say_proof(amount: Yield) -> str:
    """Say how sure it is that fewer forms, less length, or a cheaper mix, will not do."""
    if amount.length is not None:
        if amount.length_proven:
            return "nothing shorter will do"
        return "the shortest that can be bought" if amount.proven else "a bit less might do"
    if amount.counts:
        return "no mix is cheaper" if amount.proven else "a cheaper mix might do"
    if amount.count == amount.lower_bound:
        return "fewest possible"
    return f"no fewer than {amount.lower_bound} is certain"

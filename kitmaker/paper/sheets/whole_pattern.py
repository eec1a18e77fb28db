"""The pattern as a whole, form by form: what each holds, and what has to stay yardage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from kitmaker.choosing import FabricOptions, Option, Whole, stay_yardage, wholes_of
from kitmaker.paper.sheets.saying import join_words, say_money
from kitmaker.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeRow:
    """The whole pattern in one form: how many fabrics it holds, in words, and the cost of those."""

    form: str
    holds: str
    cost: str


def view_whole(options: Sequence[FabricOptions], shop: Shop) -> tuple[WholeRow, ...]:
    """Return the pattern in each form that holds, or would hold, some of it: the most first."""
    return tuple(
        WholeRow(
            form=whole.form.plural,
            holds=say_holds(whole),
            cost="" if whole.cost is None else say_money(whole.cost, shop.currency),
        )
        for whole in _most_first(options)
    )


def _most_first(options: Sequence[FabricOptions]) -> list[Whole]:
    some = [whole for whole in wholes_of(options) if whole.held or whole.would_join]
    return sorted(some, key=lambda one: (-one.held, one.cost is None, one.cost or Decimal(0)))


def say_holds(whole: Whole) -> str:
    """Say which fabrics a form holds: ``5 of 7 as they are, Border with joined strips``.

    Then those that it would hold, and those that it does not.
    """
    of = whole.held + len(whole.not_held)
    plain = len(whole.as_they_are)
    count = f"{plain} of {of}" if 0 < plain < of else "all" if plain else "none"
    parts = [f"{count} as they are"]
    parts += [f"{join_words(roles)} {how}" for how, roles in _by_way(whole.joined)]
    parts += [f"{join_words(roles)} would fit {how}" for how, roles in _by_way(whole.would_join)]
    if whole.wont_fit:
        parts.append(f"{join_words(whole.wont_fit)} not")
    return ", ".join(parts)


def _by_way(joined: Sequence[tuple[str, Option]]) -> list[tuple[str, list[str]]]:
    ways: dict[str, list[str]] = {}
    for role, option in joined:
        ways.setdefault(option.how_joined, []).append(role)
    return list(ways.items())


def say_stay_yardage(options: Sequence[FabricOptions]) -> str:
    """Say which fabrics no form but yardage holds; "" where no other form was asked for."""
    stays = stay_yardage(options)
    if stays is None:
        return ""
    if not stays:
        return "No fabric has to stay yardage."
    one = len(stays) == 1
    text = f"{join_words(stays)} must stay yardage: no other form holds "
    least = stay_yardage(options, if_joined=True) or ()
    if least == stays:
        return f"{text}{'it' if one else 'them'}."
    rest = f"only {join_words(least)} must" if least else "none must"
    whole = "it as it is" if one else "them as they are"
    return f"{text}{whole}. Sewn of shorter parts (--join), {rest}."

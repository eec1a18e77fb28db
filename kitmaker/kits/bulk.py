"""In bulk a little more cloth may buy far easier cutting: what costs least, both together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting_jobs import CuttingJob, Eased
from kitmaker.kits.costs import cost_of_length
from kitmaker.kits.fabrics import Entry
from kitmaker.kits.yields import Taken
from kitmaker.lengths import YARD, Length
from kitmaker.shop import Shop

CLOTH_COST = Fraction(12)
"""What a yard counts with where the shop names no cost (common practice, no source)."""
LABOR_PER_HOUR = Decimal(18)
"""What an hour at the table counts with where the shop names none (likewise)."""
MOST_ROUNDS = 3
"""More rounds of cuts are taken only where that is cheaper."""


def cheapest_to_cut(taken: Taken, job_of: Callable[[Taken], CuttingJob], entry: Entry) -> Taken:
    """Return the cutting that costs least, cloth and labor together, of one and the easier ones."""
    shop = entry.basis.shop
    cloth, labor, defaults = _rates(entry, shop)
    ways = [replace(taken, easier=()), *taken.easier]
    apart = [one for at, one in enumerate(ways) if one not in ways[:at]]
    choices = [(one, job_of(one)) for one in apart]

    def cost(choice: tuple[Taken, CuttingJob]) -> tuple[Fraction, bool, Length]:
        bought, job = _bought(choice[0]), choice[1]
        money = cloth * bought / shop.unit.bolt_length + labor * job.minutes / 60
        return money, job.levels > MOST_ROUNDS, bought

    best, job = min(choices, key=cost)
    more = _bought(best) - _bought(taken)
    if not more:
        return best
    eased = Eased(
        more=more,
        minutes_less=choices[0][1].minutes - job.minutes,
        cloth_cost=Decimal(cloth.numerator) / cloth.denominator,
        labor_per_hour=Decimal(labor.numerator) / labor.denominator,
        defaults=defaults,
    )
    return replace(best, eased=eased)


def _bought(taken: Taken) -> Length:
    length = None if taken.amount is None else taken.amount.buy_length
    return length or Fraction(0)


def _rates(entry: Entry, shop: Shop) -> tuple[Fraction, Fraction, tuple[str, ...]]:
    """Return what a yard (a meter) and an hour count with, and which of them are defaults."""
    unit = shop.unit.bolt_length
    cloth = cost_of_length(entry.form, unit, entry.sku, shop)
    labor = shop.labor_per_hour
    defaults = [name for name, known in (("cloth", cloth), ("labor", labor)) if known is None]
    return (
        CLOTH_COST * unit / YARD if cloth is None else Fraction(cloth),
        Fraction(LABOR_PER_HOUR if labor is None else labor),
        tuple(defaults),
    )

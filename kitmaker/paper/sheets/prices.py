"""How the price of a kit came about, in a line."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.paper.sheets.saying import join_words, say_money
from kitmaker.plans import KitPlan, KitPrice


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """The price of a kit: ``Price of a kit, Dusk``, ``$74.53``, and how it came about."""

    label: str
    price: str
    how: str

    @property
    def sentence(self) -> str:
        """All of it in one line."""
        return f"{self.label}: {self.in_words}"

    @property
    def in_words(self) -> str:
        """What it is, and how it came about."""
        return f"{self.price}{' = ' if self.price else ''}{self.how}"


def say_prices(plan: KitPlan) -> tuple[PriceLine, ...]:
    """Say the price of a kit, colorway by colorway where they differ."""
    ways: dict[tuple[str, str], list[str]] = {}
    for kit_price in plan.prices:
        price = "" if kit_price.price is None else say_money(kit_price.price, plan.shop.currency)
        ways.setdefault(
            (price, f"{_say_how(kit_price, plan)}; {_say_singly(kit_price, plan)}"), []
        ).append(kit_price.colorway)
    return tuple(
        PriceLine(
            label="Price of a kit" if len(ways) == 1 else f"Price of a kit, {join_words(names)}",
            price=price,
            how=how,
        )
        for (price, how), names in ways.items()
    )


def _say_how(kit_price: KitPrice, plan: KitPlan) -> str:
    if kit_price.price is None:
        return _say_why_none(plan)
    sign, markup = plan.shop.currency, plan.shop.markup
    parts: list[str] = []
    if markup is None:
        parts.append(f"{say_money(kit_price.shelf, sign)} shelf prices of its fabrics")
    else:
        parts.append(f"{say_money(kit_price.cost, sign)} cost × {markup.factor.normalize():f}")
    more = (
        (kit_price.labor, "labor"),
        (kit_price.extras, "extras at their own price"),
        (kit_price.fee, "kit fee"),
    )
    parts += [f"{say_money(amount, sign)} {name}" for amount, name in more if amount]
    why = " (no markup is given, so shelf prices are taken)" if markup is None else ""
    return " + ".join(parts) + why


def _say_why_none(plan: KitPlan) -> str:
    if plan.shop.markup is not None:
        return "not known, as a cost is not known"
    return "not known: no markup is given, and a shelf price is missing"


def _say_singly(kit_price: KitPrice, plan: KitPlan) -> str:
    if kit_price.singly is None:
        missing = join_words(
            name.removesuffix(f", {kit_price.colorway}") for name in kit_price.unpriced
        )
        return f"what its parts sell for singly is not known (no shelf price for {missing})"
    return f"singly its parts would sell for {say_money(kit_price.singly, plan.shop.currency)}"

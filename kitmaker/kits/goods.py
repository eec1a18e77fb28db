"""The small sizes that are wanted, as they are asked for, with what each sells for."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import TypeAlias

from kitmaker.errors import Problems, UsageError, error
from kitmaker.kits.breakdown import DEFAULT_SIZES, WHOLE_WIDTH, Good, parse_good
from kitmaker.lengths import LengthError, Unit, say_size
from kitmaker.shop import Shop


def goods_of(into: Sequence[str], prices: Sequence[str], shop: Shop) -> list[Good]:
    """Return the sizes wanted with their prices.

    Sizes are ``SIZE`` or ``SIZE=MOST``, the popular ones where there are none; prices
    ``SIZE=AMOUNT``, besides those of the shop's forms of the same size.

    Raises:
        UsageError: A size, a number or an amount cannot be read; each is named.
    """
    problems = Problems()
    unit = shop.unit
    if not into and unit is not Unit.INCH:
        into = tuple(_in_inches(size) for size in DEFAULT_SIZES)
    amounts = _prices(prices, shop, problems)
    goods: dict[_Size, Good] = {}
    for text in into or DEFAULT_SIZES:
        size, _, most = text.partition("=")
        try:
            across, along = parse_good(size, unit)
        except LengthError as fault:
            problems.refuse(f"--into: {fault}", None, fault.suggestion)
            continue
        key = _size_of(across, along)
        if key in goods:
            problems.refuse(f"--into names the size {_say_size(key, unit)} twice.")
        if most and (not most.strip().isdecimal() or int(most) < 1):
            problems.refuse(f"--into {text}: '{most}' is not a number of pieces.")
            continue
        goods[key] = Good(
            size=size.strip(),
            across=across,
            along=along,
            price=amounts.get(key) or _form_price(key, shop),
            most=int(most) if most else None,
        )
    problems.extend(
        error(f"--price names the size {size}, which is not asked for", None, f"Add --into {size}.")
        for size in (_say_size(key, unit) for key in amounts if key not in goods)
    )
    if problems:
        raise UsageError(problems)
    return list(goods.values())


_Size: TypeAlias = tuple[Fraction | None, Fraction]
"""(shorter, longer) side in inches; of a strip across the whole width (None, width)."""


def _size_of(across: Fraction | None, along: Fraction) -> _Size:
    return (None, along) if across is None else (min(across, along), max(across, along))


def _say_size(size: _Size, unit: Unit) -> str:
    shorter, longer = size
    if shorter is None:
        return f"{say_size(longer, unit)}xWOF"
    return f"{say_size(shorter, unit)}x{say_size(longer, unit)}"


def _in_inches(size: str) -> str:
    return "x".join(part if part == "WOF" else f"{part} in" for part in size.split("x"))


def _prices(prices: Sequence[str], shop: Shop, problems: Problems) -> dict[_Size, Decimal]:
    amounts: dict[_Size, Decimal] = {}
    for text in prices:
        size, equals, amount = text.partition("=")
        try:
            value = Decimal(amount.strip().removeprefix(shop.currency))
            if not equals or not value.is_finite() or value <= 0:
                raise InvalidOperation
            amounts[_size_of(*parse_good(size, shop.unit))] = value
        except LengthError as fault:
            problems.refuse(f"--price: {fault}", None, fault.suggestion)
        except InvalidOperation:
            problems.refuse(
                f"--price: '{text}' is not a price for a size.", None, "Type it as 5=0.45."
            )
    return amounts


def _form_price(size: _Size, shop: Shop) -> Decimal | None:
    """Return what the shop asks for a form of a size, its own forms first."""
    forms = sorted(shop.catalogue, key=lambda form: not form.own)
    for form in forms:
        if form.nominal_along is None or form.price is None:
            continue
        own = _size_of(form.nominal_across, form.nominal_along)
        is_strip = form.nominal_across >= WHOLE_WIDTH
        if own == size or (is_strip and size == (None, form.nominal_along)):
            return form.price
    return None

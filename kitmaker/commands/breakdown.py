"""``breakdown``: fabric on hand cut into the small sizes a shop sells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import TypeAlias

from kitmaker.commands.inputs import plan_number, stop_on_errors
from kitmaker.errors import Problem, UsageError, error
from kitmaker.kits.breakdown import DEFAULT_SIZES, WHOLE_WIDTH, Good, break_down, parse_good
from kitmaker.kits.costs import in_cents
from kitmaker.kits.yields import Basis
from kitmaker.lengths import LengthError, Unit, as_json_number, say_decimal, say_size
from kitmaker.paper.breakdown_page import render_breakdown
from kitmaker.paper.folder import safe_folder_name, write_folder
from kitmaker.paper.plan_json import layout_as_json
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.stamp import stamped
from kitmaker.plans import Breakdown
from kitmaker.shop import Cloth, Shop
from kitmaker.shopbooks.shopbook import read_shop
from kitmaker.shopbooks.stash import read_stash


def read_cloth(
    stash: Path, shop_file: Path | None
) -> tuple[list[Cloth], Shop, tuple[Problem, ...]]:
    """Read the fabric on hand and the shop's figures.

    Raises:
        UnreadableError: A file cannot be read, or its rows are not sure.
    """
    reading = read_shop(shop_file) if shop_file is not None else None
    shop = reading.shop if reading is not None else Shop()
    if reading is not None:
        stop_on_errors(reading.problems)
    found = read_stash(stash, shop.unit, shop.catalogue)
    stop_on_errors(found.problems)
    return list(found.pieces), shop, found.problems


def goods_of(into: Sequence[str], prices: Sequence[str], shop: Shop) -> list[Good]:
    """Return the sizes wanted with their prices.

    Args:
        into: ``SIZE`` or ``SIZE=MOST``; the popular sizes when empty.
        prices: ``SIZE=AMOUNT``.
        shop: Its unit, and its prices of forms of the same size.

    Raises:
        UsageError: A size, a number or an amount cannot be read; each is named.
    """
    problems: list[Problem] = []
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
            problems.append(error(f"--into: {fault}", None, fault.suggestion))
            continue
        key = _size_of(across, along)
        if key in goods:
            problems.append(error(f"--into names the size {_say_size(key, unit)} twice."))
        if most and (not most.strip().isdecimal() or int(most) < 1):
            problems.append(error(f"--into {text}: '{most}' is not a number of pieces."))
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


def _prices(prices: Sequence[str], shop: Shop, problems: list[Problem]) -> dict[_Size, Decimal]:
    amounts: dict[_Size, Decimal] = {}
    for text in prices:
        size, equals, amount = text.partition("=")
        try:
            value = Decimal(amount.strip().removeprefix(shop.currency))
            if not equals or not value.is_finite() or value <= 0:
                raise InvalidOperation
            amounts[_size_of(*parse_good(size, shop.unit))] = value
        except LengthError as fault:
            problems.append(error(f"--price: {fault}", None, fault.suggestion))
        except InvalidOperation:
            problems.append(
                error(f"--price: '{text}' is not a price for a size.", None, "Type it as 5=0.45.")
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


def run(cloths: Sequence[Cloth], goods: Sequence[Good], shop: Shop) -> Breakdown:
    """Break the cloth down."""
    return break_down(cloths, goods, Basis(shop, shop.unit))


def breakdown_json(found: Breakdown, unit: Unit, problems: Sequence[Problem]) -> dict[str, object]:
    """Return a breakdown as data."""
    layouts: list[object] = []
    offcuts: list[object] = []
    for one in found.cloths:
        if one.job is None:
            continue
        rows = {row.key: row for row in one.job.pieces}
        layouts += [layout_as_json(layout, rows, unit) for layout in one.job.layouts]
        offcuts += [
            {
                "fabric": one.cloth.name,
                "across": as_json_number(offcut.across, unit),
                "along": as_json_number(offcut.along, unit),
                "count": offcut.count,
                "grade": offcut.grade,
            }
            for offcut in one.job.offcuts
        ]
    factor = unit.length**2 if found.by_area else Fraction(1)
    return {
        "schema": 1,
        "unit": unit.value,
        "pieces": [{"size": size, "count": count} for size, count in found.counts],
        "layouts": layouts,
        "worth": float(found.worth / factor),
        "worth_upper_bound": float(found.worth_upper_bound / factor),
        "worth_is": "area" if found.by_area else "money",
        "proven": found.proven,
        "offcuts": offcuts,
        "problems": problems_json((*problems, *found.problems)),
    }


def breakdown_text(found: Breakdown, shop: Shop) -> Iterator[str]:
    """Yield a breakdown in a few lines."""
    for one in found.cloths:
        size = f"{say_size(one.cloth.across, shop.unit)} × {say_size(one.cloth.along, shop.unit)}"
        gives = "stays whole"
        if one.job is not None:
            gives = ", ".join(f"{row.made} of {row.piece.name}" for row in one.job.pieces)
        yield f"{one.cloth.count} × {one.cloth.name}, {size} {shop.unit.value}: {gives}"
    yield ""
    for size, count in found.counts:
        yield f"{count:>6}  {size}"
    yield say_worth(found, shop)


def say_worth(found: Breakdown, shop: Shop) -> str:
    """Say what all is worth, and whether more is possible."""
    if found.by_area:
        square = shop.unit.length**2
        worth = f"{say_decimal(found.worth / square, 2)} sq {shop.unit.value}"
        most = say_decimal(found.worth_upper_bound / square, 2, up=True)
        what = f"The pieces cover {worth} (no price is known, so worth is area)"
    else:
        worth = f"{shop.currency}{in_cents(found.worth)}"
        cents = ceil(found.worth_upper_bound * 100)
        most = f"{shop.currency}{in_cents(Fraction(cents, 100))}"
        what = f"Worth {worth} in all"
    more = "no cutting gives more" if found.proven else f"no cutting gives more than {most}"
    return f"{what}; {more}"


def write_breakdown(
    found: Breakdown, shop: Shop, stash: Path, data: dict[str, object], out: Path | None
) -> Path:
    """Write the cutting sheet and the data into a folder, whole or not at all.

    Raises:
        OutputError: It could not be written.
    """
    number = plan_number((stash,), (found.counts, found.worth))
    folder = out or Path(safe_folder_name(f"{stash.stem} breakdown", number))
    page = render_breakdown(found, shop, number, say_worth(found, shop))
    marker = "breakdown.json"
    files = {"index.html": page.encode()}
    files[marker] = stamped(data, (*files, marker)).encode()
    write_folder(folder, files, marker=marker)
    return folder

"""``breakdown``: fabric on hand cut into the small sizes a shop sells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil
from pathlib import Path

from kitmaker.commands.outputs import write_out
from kitmaker.errors import Problem
from kitmaker.kits.costs import in_cents
from kitmaker.lengths import Unit, as_json_number, say_decimal, say_size
from kitmaker.paper.breakdown_page import render_breakdown
from kitmaker.paper.plan_json import layout_as_json
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.stamp import stamped
from kitmaker.planning import number_of
from kitmaker.plans import Breakdown
from kitmaker.shop import Shop, StashReading


def breakdown_json(found: Breakdown, unit: Unit, problems: Sequence[Problem]) -> dict[str, object]:
    """Return a breakdown as data."""
    layouts: list[object] = []
    offcuts: list[object] = []
    for cloth in found.cloths:
        if cloth.job is None:
            continue
        rows = {row.key: row for row in cloth.job.pieces}
        layouts += [layout_as_json(layout, rows, unit) for layout in cloth.job.layouts]
        offcuts += [
            {
                "fabric": cloth.cloth.name,
                "across": as_json_number(offcut.across, unit),
                "along": as_json_number(offcut.along, unit),
                "count": offcut.count,
                "grade": offcut.grade,
            }
            for offcut in cloth.job.offcuts
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
    for cloth in found.cloths:
        size = (
            f"{say_size(cloth.cloth.across, shop.unit)} × {say_size(cloth.cloth.along, shop.unit)}"
        )
        gives = "stays whole"
        if cloth.job is not None:
            gives = ", ".join(f"{row.made} of {row.piece.name}" for row in cloth.job.pieces)
        yield f"{cloth.cloth.count} × {cloth.cloth.name}, {size} {shop.unit.value}: {gives}"
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
    found: Breakdown,
    shop: Shop,
    cloth: StashReading,
    data: dict[str, object],
    *,
    named: str,
    out: Path | None,
    replace: bool = False,
) -> Path:
    """Write the cutting sheet and the data; without a folder it is a new one, called ``named``."""
    number = number_of([cloth], (found.counts, found.worth))
    page = render_breakdown(found, shop, number, say_worth(found, shop))
    marker = "breakdown.json"
    files = {"index.html": page.encode()}
    files[marker] = stamped(data, (*files, marker), files).encode()
    name = (f"{named} breakdown", number)
    return write_out(out, files, named=name, marker=marker, replace=replace)

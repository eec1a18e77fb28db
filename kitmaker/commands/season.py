"""``season``: several classes on one shelf."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kitmaker.paper.season_tables import say_amount, say_short_of
from kitmaker.paper.sheets.saying import count_of, say_date, say_money, say_stock
from kitmaker.seasons import Season, SeasonClass


def season_text(season: Season, folder: Path) -> Iterator[str]:
    """Yield a season in a few lines."""
    unit = season.shop.unit
    yield f"{count_of(len(season.classes), 'class', 'classes')} on one shelf"
    for one in season.classes:
        yield f"  {say_date(one.day)}, {one.title}: {_say_class(one)}"
    if season.order:
        yield "To order:"
    for line in season.order:
        name = say_stock(line.sku, line.print_name)
        assumed = ", in steps that are assumed" if line.is_assumed else ""
        cost = "" if line.cost is None else f", {say_money(line.cost, season.shop.currency)}"
        yield (
            f"  {name}: {say_amount(line.order, line.form, unit)}{assumed}{cost}, "
            f"by {say_date(line.first_needed)}"
        )
    yield f"Open {folder / 'season.html'}"


def _say_class(season_class: SeasonClass) -> str:
    kits = count_of(season_class.kits + season_class.spare_kits, "kit")
    if not season_class.is_planned:
        return "cannot be planned"
    if season_class.is_complete:
        return f"{kits}, complete"
    return f"{kits}, not enough: {say_short_of(season_class)}"

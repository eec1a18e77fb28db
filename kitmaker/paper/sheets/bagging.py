"""The bagging sheet: all cloth that goes into the bags uncut, on one page for the whole kit."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.lengths import Unit, say_usable
from kitmaker.paper.sheets.contents import say_prints_in_bag
from kitmaker.paper.sheets.jobs import TableJob, by_name
from kitmaker.paper.sheets.kit_numbers import say_bags_of
from kitmaker.paper.sheets.page import PageHead, PageRef, make_head
from kitmaker.paper.sheets.pull_list import own_lines, say_form_cuts, say_lengths_of
from kitmaker.paper.sheets.saying import (
    count_of,
    join_words,
    say_net,
    say_table_pull,
    say_usable_of,
)
from kitmaker.paper.sheets.swatches import (
    SwatchView,
    pictures_of,
    say_letters,
    view_swatch,
)
from kitmaker.plans import KitPlan

_FEW = 6  # stock numbers of one fabric that stay on one page
_TWO_ABREAST = (1, 2, 4)  # stock numbers of one fabric; others stand three abreast


@dataclass(frozen=True, slots=True, kw_only=True)
class BaggedCloth:
    """One fabric from the shelf; ``bags`` tells whose it goes into, and how much into each."""

    stock: str
    swatch: SwatchView
    pull: str
    what_to_do: str
    usable: str
    flaws: tuple[str, ...]
    bags: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BaggedFabric:
    """A fabric of the kit, by its name in the pattern, in all colorways."""

    name: str
    letters: str
    cloths: tuple[BaggedCloth, ...]
    is_short: bool
    three_abreast: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BaggingView:
    """The bagging sheet; ``after`` says where it is shown how the cloth is cut."""

    head: PageHead
    after: str
    fabrics: tuple[BaggedFabric, ...]
    pictures: tuple[tuple[str, str], ...]


def view_bagging(plan: KitPlan, page: PageRef) -> BaggingView:
    """Return the sheet of all that is bagged uncut."""
    fabrics = tuple(
        BaggedFabric(
            name=name,
            letters=say_letters(fabric for table in tables for fabric in table.fabrics),
            cloths=tuple(_cloth(plan, table) for table in tables),
            is_short=len(tables) <= _FEW,
            three_abreast=len(tables) not in _TWO_ABREAST,
        )
        for name, tables in by_name(page.jobs).items()
    )
    has_steps = any(fabric.job for table in page.jobs for fabric in table.fabrics)
    after = "shows how every piece comes out of them" if has_steps else "says what is in the bag"
    return BaggingView(
        head=make_head(plan, page),
        after=f"The student’s cutting guide {after}.",
        fabrics=fabrics,
        pictures=pictures_of(plan, (cloth.swatch for each in fabrics for cloth in each.cloths)),
    )


def _cloth(plan: KitPlan, table: TableJob) -> BaggedCloth:
    unit = plan.pattern.unit
    return BaggedCloth(
        stock=table.stock,
        swatch=view_swatch(plan, table.first, "bagging"),
        pull=say_table_pull(table.fabrics),
        what_to_do=_say_what_to_do(plan, table),
        usable=_say_measure(table, unit),
        flaws=tuple(flaw for line in own_lines(plan, table.first.sku) for flaw in line.flaws),
        bags=tuple(
            (
                f"{'each of ' if fabric.kits > 1 else ''}{say_bags_of(plan, fabric.colorway)}",
                f"{say_net(fabric.per_kit, fabric.form, unit)}{say_prints_in_bag(fabric)}",
            )
            for fabric in table.fabrics
        ),
    )


def _say_measure(table: TableJob, unit: Unit) -> str:
    if table.form.by_length:
        return f"planned for {say_usable(table.form.usable_across, unit)} {unit.value} across"
    return f"{say_usable_of(table.form, unit)}; put smaller ones aside"


def _say_what_to_do(plan: KitPlan, table: TableJob) -> str:
    if table.form.by_length:
        lengths = join_words(
            f"{count_of(fabric.kits, 'length')} of {fabric.per_kit.buy}" for fabric in table.fabrics
        )
        off = _say_off_which(plan, table) or f"{lengths} off the bolt"
        return f"Cut {off}, each in one piece"
    cut = _cut_off_the_bolt(plan, table)
    if not cut:
        return "Count out and measure each"
    pieces = [piece for line in own_lines(plan, table.first.sku) for piece in line.pieces]
    how = say_form_cuts(pieces, plan.shop.unit_beside(plan.pattern.unit))
    return f"Cut {cut} off the bolt: {how}. Measure each"


def _say_off_which(plan: KitPlan, table: TableJob) -> str:
    """Say which length gives how many of the bags' lengths; "" where all come off one."""
    sizes = {fabric.per_kit.buy_length for fabric in table.fabrics if fabric.per_kit.buy_length}
    unit = plan.shop.unit_beside(plan.pattern.unit)
    pieces = [piece for line in own_lines(plan, table.first.sku) for piece in line.pieces]
    given = [(say_lengths_of(piece, unit, *sizes), piece) for piece in pieces]
    off = [
        f"{lengths} off the {piece.name}{f' (dye lot {piece.dye_lot})' if piece.dye_lot else ''}"
        for lengths, piece in given
        if lengths
    ]
    return join_words(off) if len(off) > 1 else ""


def _cut_off_the_bolt(plan: KitPlan, table: TableJob) -> str:
    """Say how many of the forms are not on the shelf ready-made; "" where all are."""
    asked = table.form.mix or (table.form,)
    return join_words(
        form.count_phrase(count)
        for line in own_lines(plan, table.first.sku)
        for form, count in line.cut_forms
        if any(form.form_id == wanted.form_id for wanted in asked)
    )

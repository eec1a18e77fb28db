"""The pages of a season: which class is complete, what the shelf gives, and what to order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Form
from kitmaker.lengths import Unit, say_bolt_left, say_off_the_bolt
from kitmaker.paper.season_tables import say_amount, say_days, say_short_of
from kitmaker.paper.sheets.page import (
    PageHead,
    ProblemView,
    say_contact,
    view_problem,
)
from kitmaker.paper.sheets.saying import (
    UNKNOWN,
    count_of,
    join_words,
    say_date,
    say_money,
    say_stock,
)
from kitmaker.paper.templating import make_environment
from kitmaker.seasons import OrderLine, Season, ShelfRow

SEASON_PAGE, ORDER_PAGE = "season.html", "order-list.html"

_FILLS = 4
"""Looks of a class's part of a bar, one after the other; its number stands in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassLine:
    """A class in one line: number, day, kits (spare ones included), and what it runs short of."""

    number: str
    day: str
    title: str
    pattern: str
    kits: str
    spare: str
    status: str
    short: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SkuLine:
    """A SKU of the shelf: ``off the bolt``, or what is counted.

    Attributes:
        bar: What is at hand, shared out, what is short beyond its end: (class in the style sheet,
            share of the bar, such as ``12.5%``, what stands in it).
        says: The same in a sentence.
        figures: (label, amount), the labels of classes with their number and title.
        short: How much is short, in words; "".
    """

    name: str
    counted: str
    bar: tuple[tuple[str, str, str], ...]
    says: str
    figures: tuple[tuple[str, str], ...]
    short: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonView:
    """The page of a season.

    Attributes:
        summary: How many classes are complete, in words.
        problems: Why a class could not be planned.
        skus: Those that a class takes, in the order of the shelf.
        untouched: The SKUs that no class takes, in one line; "".
        notes: What else the workbooks say; it comes last.
        files: (file, what it is) that lie beside it.
    """

    head: PageHead
    summary: str
    classes: tuple[ClassLine, ...]
    problems: tuple[ProblemView, ...]
    skus: tuple[SkuLine, ...]
    untouched: str
    notes: tuple[ProblemView, ...]
    files: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """A line of the order list, in words; ``step`` says where it is assumed."""

    sku: str
    print_name: str
    short: str
    needed_for: str
    first_needed: str
    order: str
    step: str
    cost: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderView:
    """The order list, in the order in which the cloth is needed.

    Attributes:
        total: What all of it costs; "" where no cost is known.
        unknown: The SKUs without a cost, which the total leaves out; "".
        assumed: What is assumed where the Stock sheet says nothing; "" where it says all.
    """

    head: PageHead
    rows: tuple[OrderRow, ...]
    total: str
    unknown: str
    assumed: str
    season_file: str


def render_season(season: Season, files: Sequence[tuple[str, str]]) -> dict[str, str]:
    """Return the two pages of a season as HTML, by file name; ``files`` lie beside them."""
    environment = make_environment()
    pages = {
        SEASON_PAGE: ("season.html.j2", view_season(season, files)),
        ORDER_PAGE: ("order_list.html.j2", view_order(season)),
    }
    return {
        name: environment.get_template(template).render(page=view)
        for name, (template, view) in pages.items()
    }


def view_season(season: Season, files: Sequence[tuple[str, str]]) -> SeasonView:
    """Return the page of a season."""
    shelf = season.shelf
    used = [row for row in shelf if any(row.taken) or row.came or _short_of(row, season)]
    on_shelf = {row.key for row in shelf}
    missing = [_nothing_of(line, season) for line in season.order if line.key not in on_shelf]
    notes = [(note, view_problem(note, "Problem", "Note")) for note in season.notes]
    idle = [say_stock(row.sku, row.print_name) for row in shelf if row not in used and row.at_hand]
    return SeasonView(
        head=_head(season, "Season", "The season on one shelf", SEASON_PAGE),
        summary=_say_summary(season),
        classes=tuple(_classes(season)),
        problems=tuple(told for note, told in notes if note.is_error),
        skus=tuple(_sku(row, season) for row in (*used, *missing)),
        untouched=", ".join(dict.fromkeys(idle)),
        notes=tuple(told for note, told in notes if not note.is_error),
        files=tuple(files),
    )


def view_order(season: Season) -> OrderView:
    """Return the order list."""
    unit = season.shop.unit
    known = [line.cost for line in season.order if line.cost is not None]
    unknown = [line.sku for line in season.order if line.cost is None]
    return OrderView(
        head=_head(season, "Order list", "Order list", ORDER_PAGE),
        rows=tuple(_order_row(line, season) for line in season.order),
        total=say_money(sum(known, Decimal(0)), season.shop.currency) if known else "",
        unknown=join_words(unknown),
        assumed=(
            f"lengths are ordered in steps of {say_off_the_bolt(unit.bolt_length / 2, unit)}, "
            "forms by the piece"
            if any(line.is_assumed for line in season.order)
            else ""
        ),
        season_file=SEASON_PAGE,
    )


def _head(season: Season, short: str, heading: str, file_name: str) -> PageHead:
    shop = season.shop
    kits = sum(season_class.kits + season_class.spare_kits for season_class in season.classes)
    return PageHead(
        heading=heading,
        title=f"{heading} – {say_days(season)} – plan {season.number}",
        plan_number=season.number,
        shop_name=shop.name,
        shop_contact=say_contact(shop),
        pattern=f"{count_of(len(season.classes), 'class', 'classes')}, {say_days(season)}",
        kits=count_of(kits, "kit"),
        short=short,
        file_name=file_name,
    )


def _say_summary(season: Season) -> str:
    whole = sum(season_class.is_complete for season_class in season.classes)
    count = len(season.classes)
    if whole == count:
        return "The shelf is enough for every class." if count > 1 else "The shelf is enough."
    if not whole:
        who = "any of the classes" if count > 1 else "the class"
        return f"The shelf is not enough for {who}; the order list says what is still needed."
    return (
        f"The shelf is enough for {whole} of {count} classes; the order list says what the others "
        "still need."
    )


def _classes(season: Season) -> Iterator[ClassLine]:
    for number, season_class in enumerate(season.classes, start=1):
        status = "not enough" if season_class.is_planned else "not planned"
        yield ClassLine(
            number=str(number),
            day=say_date(season_class.day),
            title=season_class.title,
            pattern=season_class.pattern,
            kits=str(season_class.kits + season_class.spare_kits) if season_class.kits else "–",
            spare=f"{season_class.spare_kits} spare" if season_class.spare_kits else "",
            status="complete" if season_class.is_complete else status,
            short=say_short_of(season_class),
        )


def _short_of(row: ShelfRow, season: Season) -> Fraction:
    return sum((line.short for line in season.order if line.key == row.key), Fraction(0))


def _nothing_of(line: OrderLine, season: Season) -> ShelfRow:
    """Return a line for a SKU that is short and not on the shelf at all."""
    taken = (Fraction(0),) * len(season.classes)
    return ShelfRow(sku=line.sku, print_name=line.print_name, form=line.form, taken=taken)


def _sku(row: ShelfRow, season: Season) -> SkuLine:
    unit = season.shop.unit
    short = _short_of(row, season)
    figures = tuple(_figures(row, season))
    said_short = say_amount(short, row.form, unit) if short else ""
    name = say_stock(row.sku, row.print_name)
    told = [f"{label.lower()} {amount}" for label, amount in figures]
    return SkuLine(
        name=name,
        counted=row.form.plural if row.form else "off the bolt",
        bar=tuple(_bar(row, short)),
        says=f"{name}: {'; '.join([*told, *([f'short by {said_short}'] if short else [])])}",
        figures=figures,
        short=said_short,
    )


def _figures(row: ShelfRow, season: Season) -> Iterator[tuple[str, str]]:
    unit = season.shop.unit
    yield "At hand", _say_left(row.at_hand, row.form, unit)
    if row.came:
        yield "Cut from the bolt and not needed", _say_left(row.came, row.form, unit)
    for number, (taken, season_class) in enumerate(
        zip(row.taken, season.classes, strict=True), start=1
    ):
        if taken:
            yield f"{number} {season_class.title}", say_amount(taken, row.form, unit)
    pieces = f" in {row.in_pieces} pieces" if row.form is None and row.in_pieces > 1 else ""
    held = min(row.held, row.left)
    others = ""
    if held:
        which = "all" if held == row.left else f"{_say_left(held, row.form, unit)} of it"
        others = f", {which} held for others"
    yield "Left", _say_left(row.left, row.form, unit) + pieces + others


def _say_left(amount: Fraction, form: Form | None, unit: Unit) -> str:
    if form is None:
        return say_bolt_left(amount, unit)
    return form.count_phrase(int(amount)) if amount else "none"


def _bar(row: ShelfRow, short: Fraction) -> Iterator[tuple[str, str, str]]:
    """Yield the parts of a bar as long as what is at hand and what is short."""
    held = min(row.held, row.left)
    parts = [
        (f"fill{number % _FILLS}", taken, str(number))
        for number, taken in enumerate(row.taken, start=1)
    ]
    parts += [("left", row.left - held, "left"), ("held", held, "held"), ("short", short, "short")]
    whole = sum((amount for _, amount, _ in parts), Fraction(0))
    for look, amount, name in parts:
        if amount:
            share = amount / whole
            room = share >= Fraction(3 * len(name), 100)
            yield look, f"{float(share * 100):.2f}%", name if room else ""


def _order_row(line: OrderLine, season: Season) -> OrderRow:
    unit = season.shop.unit
    cut = [form.count_phrase(count) for form, count in line.cut_into]
    step = f"in steps of {say_amount(line.step, line.form, unit)}"
    if line.form is not None and line.step == 1:
        step = "by the piece"
    numbers = list(dict.fromkeys(str(number) for number, _ in line.by_class))
    classes = f"class{'es' if len(numbers) > 1 else ''} {join_words(numbers)}"
    return OrderRow(
        sku=line.sku,
        print_name=line.print_name,
        short=say_amount(line.short, line.form, unit)
        + (f", to cut {join_words(cut)}" if cut else ""),
        needed_for=classes,
        first_needed=say_date(line.first_needed),
        order=say_amount(line.order, line.form, unit),
        step=step + (" (assumed)" if line.is_assumed else ""),
        cost=say_money(line.cost, season.shop.currency) if line.cost is not None else UNKNOWN,
    )

"""Several classes on one shelf: in the order of their days each takes what it needs.

Each class is planned as :func:`kitmaker.planning.make_plan` plans it, on what the classes before
it left: row by row of the Stock sheet, and with it whole forms that were cut off a bolt beyond
what a class needed. Offcuts are not counted on. A class that runs short takes the whole bags
that there are of the short SKU and its full need of the others.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeAlias

from kitmaker.errors import CannotBeMetError, Location, Problem, UsageError, error, warning
from kitmaker.forms import Form
from kitmaker.kits.class_days import DayError, parse_day
from kitmaker.kits.order_list import order_lines
from kitmaker.kits.sold_alike import check_sold_alike
from kitmaker.kits.solved import learn
from kitmaker.paper.movements import rows_left
from kitmaker.pattern import PatternReading
from kitmaker.planning import SolveAhead, number_of, pull_for_class
from kitmaker.plans import PullLine
from kitmaker.seasons import Season, SeasonClass, ShelfRow, Short
from kitmaker.shop import ClassReading, ClassSheet, Shop, ShopReading, StockRow, stop_on_errors

Progress: TypeAlias = Callable[[str], None]
ClassToPlan: TypeAlias = tuple[PatternReading, ClassReading]
Ahead: TypeAlias = tuple[PatternReading, ClassSheet]
Spread: TypeAlias = Callable[
    [Callable[[Ahead], dict[Hashable, object]], Iterable[Ahead]],
    Iterable[dict[Hashable, object]],
]

_NONE = Fraction(0)


def plan_season(
    classes: Sequence[ClassToPlan],
    shop: ShopReading,
    progress: Progress = lambda _: None,
    spread: Spread | None = None,
) -> Season:
    """Plan several classes on one shelf, as :func:`kitmaker.api.season` says.

    With ``spread`` the cutting of each is worked out ahead, as if it alone were on the shelf.
    """
    stop_on_errors(shop, *(sheet for _, sheet in classes))
    figures = shop.shop
    notes, shortages = list(shop.problems), list[Problem]()
    if figures.stock is None:
        message = "there is no Stock sheet, so nothing is looked up on the shelf"
        notes.append(warning(message, Location(figures.workbook), "Add one: it is the shelf."))
    in_order = _in_order(classes)
    shelf = _Shelf(figures, len(in_order))
    planned: list[SeasonClass] = []
    unlisted: dict[str, tuple[bool, Location]] = {}
    pairs = [(pattern, sheet.class_sheet) for _, pattern, sheet in in_order]
    ahead = iter(spread(SolveAhead(figures), pairs) if spread is not None else ())
    for number, (day, pattern, sheet) in enumerate(in_order):
        who = f"class {number + 1} of {len(in_order)}: {title_of(pattern, sheet)}"
        progress(who)
        learn(next(ahead, {}))
        one, pull, said = _plan(day, pattern, sheet, shelf.figures, _after(who, progress))
        check_sold_alike(pull, figures, pattern, sheet, unlisted)
        shelf.take(pull, number)
        planned.append(one)
        notes += said
        shortages += _shortages(pull, one.title)
    return Season(
        number=number_of([shop, *(one for pair in in_order for one in pair[1:])], "season"),
        shop=figures,
        classes=tuple(planned),
        rows=tuple(shelf.rows()),
        order=tuple(order_lines(planned, figures)),
        notes=tuple(dict.fromkeys(notes)),
        shortages=tuple(shortages),
    )


def _after(who: str, progress: Progress) -> Progress:
    return lambda words: progress(f"{who}: {words}")


def title_of(pattern: PatternReading, sheet: ClassReading) -> str:
    """Return what a class is called: its title, without one its pattern's name."""
    return sheet.class_sheet.title or pattern.pattern.name


def _in_order(
    classes: Sequence[ClassToPlan],
) -> list[tuple[str, PatternReading, ClassReading]]:
    """Return the classes by day, those of one day by title.

    Raises:
        UsageError: A class has no day that can be read, or is given twice; each is named.
    """
    problems: list[Problem] = []
    found: list[tuple[str, PatternReading, ClassReading]] = []
    seen: dict[str, ClassReading] = {}
    for pattern, sheet in classes:
        workbook = sheet.class_sheet.workbook
        where = sheet.class_sheet.date_where or Location(workbook, "Class")
        if sheet.digest in seen:
            other = seen[sheet.digest].class_sheet.workbook
            named = "" if other == where.workbook else f": {other} holds the same"
            message = f"the class '{title_of(pattern, sheet)}' is given twice{named}"
            problems.append(error(message, where, "Name each class's workbook once."))
            continue
        seen |= {sheet.digest: sheet} if sheet.digest else {}
        try:
            found.append((_day_of(sheet), pattern, sheet))
        except DayError as fault:
            problems.append(error(str(fault), where, fault.suggestion))
    if problems:
        raise UsageError(problems)
    return sorted(
        found,
        key=lambda planned: (planned[0], title_of(*planned[1:]).casefold(), planned[2].digest),
    )


def _day_of(sheet: ClassReading) -> str:
    if not sheet.class_sheet.date:
        raise DayError(
            "this class has no date, and a season goes by the dates of its classes",
            "Type its day beside Date, such as 2027-03-13.",
        )
    return parse_day(sheet.class_sheet.date)


def _plan(
    day: str, pattern: PatternReading, sheet: ClassReading, shop: Shop, progress: Progress
) -> tuple[SeasonClass, tuple[PullLine, ...], list[Problem]]:
    """Return a class, what it takes of the shelf as it is now, and what there is to say."""
    title = title_of(pattern, sheet)
    named = ", ".join(part for part in (pattern.pattern.name, pattern.pattern.size) if part)
    planned = SeasonClass(title=title, day=day, pattern=named)
    try:
        chosen, pull, said = pull_for_class(pattern, shop, sheet.class_sheet, progress)
    except CannotBeMetError as stop:
        nothing = error(f"{title} cannot be planned, so it takes nothing from the shelf")
        return planned, (), [*sheet.problems, nothing, *_named(stop.problems, title)]
    short = tuple(
        Short(sku=line.sku, print_name=line.print_name, form=form, amount=amount, said=line.short)
        for line in pull
        for form, amount in line.missing
    )
    kits, spare = chosen.kits, chosen.spare_kits
    planned = replace(planned, kits=kits, spare_kits=spare, is_planned=True, short=short)
    return planned, pull, [*sheet.problems, *_named(said, title)]


def _shortages(pull: Sequence[PullLine], title: str) -> Iterator[Problem]:
    for line in pull:
        if line.short:
            message = f"{title}: {line.shortage}"
            yield error(message, None, "The order list says how much to order.")


def _named(problems: Sequence[Problem], title: str) -> Iterator[Problem]:
    """Yield problems with the class they are of, where no cell tells it."""
    for problem in problems:
        yield (
            problem if problem.location else replace(problem, message=f"{title}: {problem.message}")
        )


class _Shelf:
    """The shelf from class to class."""

    def __init__(self, shop: Shop, classes: int) -> None:
        self._shop, self._classes = shop, classes
        self._before = list(shop.stock or ())
        self._now = list(self._before)
        self._taken = [[_NONE] * classes for _ in self._now]
        self._came = [_NONE] * len(self._now)

    @property
    def figures(self) -> Shop:
        """The shop with what is on its shelf now.

        A row that is used up stays where no other tells how wide its SKU's lengths are, or how
        large its forms.
        """
        if self._shop.stock is None:
            return self._shop
        some = {_kind(row) for row in self._now if _amount(row)}
        left = (row for row in self._now if _amount(row) or _kind(row) not in some)
        return replace(self._shop, stock=tuple(left))

    def take(self, pull: Sequence[PullLine], number: int) -> None:
        """Take from the shelf what a class pulls, and lay on it what is cut beyond its need."""
        for at, (row, taken) in enumerate(list(rows_left(self._now, pull))):
            self._now[at] = row
            self._taken[at][number] += taken
        for line in pull:
            for form, count in line.surplus:
                self._lay(line, form, count)

    def _lay(self, line: PullLine, form: Form, count: int) -> None:
        """Add forms cut off a bolt; where they are of several, no dye lot is sure."""
        cut = [piece for piece in line.pieces for into in piece.cut_into if into[0] == form]
        lots = {piece.dye_lot for piece in cut}
        row = StockRow(
            sku=line.sku,
            print_name=line.print_name,
            form=form.name,
            count=count,
            dye_lot=(lots.pop() or None) if len(lots) == 1 else None,
            where=Location(self._shop.workbook, "Stock", f"{cut[0].where}, {form.form_id}"),
        )
        same = [at for at, other in enumerate(self._now) if other.where == row.where]
        if same:
            self._now[same[0]] = replace(row, count=(self._now[same[0]].count or 0) + count)
            self._came[same[0]] += count
            return
        self._before.append(replace(row, count=0))
        self._now.append(row)
        self._taken.append([_NONE] * self._classes)
        self._came.append(Fraction(count))

    def rows(self) -> Iterator[ShelfRow]:
        """Yield the rows through the season."""
        places = zip(self._before, self._now, self._came, self._taken, strict=True)
        for before, now, came, taken in places:
            yield ShelfRow(
                sku=before.sku,
                print_name=before.print_name,
                form=self._shop.catalogue.find(before.form) if before.form else None,
                where="" if came else before.where.address,
                is_listed=not came,
                dye_lot=before.dye_lot or "",
                at_hand=_amount(before),
                held=before.held_length if before.form is None else Fraction(before.held_count),
                came=came,
                taken=tuple(taken),
                left=_amount(now),
                in_pieces=int(bool(_amount(now))),
            )


def _kind(row: StockRow) -> tuple[str, bool]:
    return row.sku.casefold(), row.form is None


def _amount(row: StockRow) -> Fraction:
    return (row.length or _NONE) if row.form is None else Fraction(row.count or 0)

"""From Python: read a pattern, convert it, plan it, write it, take it as data frames.

>>> import kitmaker as km
>>> pattern = km.read_pattern("sample_patterns/harbor-lanterns.xlsx")
>>> plan = km.plan(pattern, kits=12, forms="fat-quarter")
>>> folder = km.write(plan, "my-class")

The commands call these functions and do nothing else with files and figures. What is read comes
back as a frozen value with its ``problems``: a file that cannot be read at all raises, a line that
cannot be read for sure stands among the problems. Values can be pickled and functions only look at
their arguments, so that any engine that maps a function over a list can run a whole catalog.

Lengths are exact fractions of an inch throughout; only :func:`frames` turns them into numbers.
Every error raised is a :class:`KitmakerError`, with its ``problems``.

Source of the figures: none of its own; each formula names its source where it stands.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from kitmaker.drafts import Draft
from kitmaker.errors import (
    CannotBeMetError,
    ChangedError,
    KitmakerError,
    OutputError,
    Problem,
    UnreadableError,
    UsageError,
    error,
)
from kitmaker.files import (
    PathLike,
    draft,
    read_class,
    read_cloth,
    read_measured,
    read_pattern,
    read_pattern_of,
    read_shop,
    settle_draft,
    write_class,
    write_draft,
)
from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.kits.choices import MOST_KITS, Options
from kitmaker.pattern import PatternReading
from kitmaker.plans import Breakdown, KitPlan
from kitmaker.seasons import Season
from kitmaker.shop import (
    Bag,
    ClassReading,
    ClassSheet,
    MeasuredReading,
    ShopReading,
    StashReading,
    figures_of,
    stop_on_errors,
)

if TYPE_CHECKING:
    import pandas

    from kitmaker.choosing import FabricOptions
    from kitmaker.kits.convert import Spread
    from kitmaker.season_planning import Spread as SeasonSpread

__all__ = [
    "Breakdown",
    "CannotBeMetError",
    "ChangedError",
    "ClassReading",
    "Draft",
    "KitPlan",
    "KitmakerError",
    "MeasuredReading",
    "OutputError",
    "PatternReading",
    "Season",
    "ShopReading",
    "StashReading",
    "UnreadableError",
    "UsageError",
    "breakdown",
    "convert",
    "draft",
    "frames",
    "plan",
    "read_class",
    "read_cloth",
    "read_measured",
    "read_pattern",
    "read_shop",
    "season",
    "settle_draft",
    "write",
    "write_class",
    "write_draft",
]

Progress: TypeAlias = Callable[[str], None]
ByRole: TypeAlias = str | Mapping[str, str] | None
"""One for all fabrics, or one for each fabric named; what is not named is left as it is."""


def _silent(_: str) -> None:
    pass


def find_forms(names: Sequence[str], catalogue: Catalogue) -> list[tuple[str, Form]]:
    """Return the forms asked for, or all there are, each with the name it was asked by.

    Raises:
        UsageError: A name is no form's; each is answered with the nearest.
    """
    if not names:
        return [(form.form_id, form) for form in catalogue]
    found: list[tuple[str, Form]] = []
    problems: list[Problem] = []
    for name in names:
        try:
            found.append((name, catalogue.find_mix(name)))
        except UnknownFormError as unknown:
            message = str(unknown)
            problems.append(error(message[0].upper() + message[1:], None, unknown.suggestion))
    if problems:
        raise UsageError(problems)
    return found


def convert(
    pattern: PatternReading,
    shop: ShopReading | None = None,
    forms: Sequence[str] | None = None,
    kits: int = 1,
    *,
    join: bool | str | Sequence[str] = False,
    most_seams: int = 1,
    spread: Spread = map,
    progress: Progress = _silent,
) -> tuple[FabricOptions, ...]:
    """Return each fabric of one kit in each form: how many, at what cost, or what does not fit.

    Args:
        pattern: Lines that are not read count for nothing: look at its problems first.
        shop: Losses, usable sizes, costs and own forms; the defaults when None.
        forms: Forms or mixes by name, such as ``"fat-quarter"``; all forms when None.
        kits: How many kits costs, prices and minutes are for; amounts stay those of one kit.
        join: Whether what is too long may be sewn of shorter parts: in all fabrics, or in those
            named.
        most_seams: Seams in one rectangle that is sewn of parts, 1 or 2.
        spread: Maps a function over the fabrics, in order, as the built-in ``map`` does; for an
            engine that maps in several processes.
        progress: Told which fabric is done.

    Returns:
        Fabrics in the pattern's order, without batting; the forms of each in the order asked,
        with their rank, cheapest first (``.ranked`` has them so). Lengths are inches, money is
        the shop's currency.

    Raises:
        UsageError: A form or a fabric is not known, or that is not a number of kits.
        UnreadableError: The shop's workbook has errors.
    """
    from kitmaker.kits import convert as kits_convert
    from kitmaker.kits.contradictions import check_roles

    stop_on_errors(shop)
    if not 1 <= kits <= MOST_KITS:
        raise UsageError(f"{kits} is not a number of kits: give 1 to {MOST_KITS}.")
    figures = figures_of(shop)
    asked = find_forms([forms] if isinstance(forms, str) else forms or (), figures.catalogue)
    seams = Options(joins=fabrics_to_join(join), most_seams=most_seams)
    named = [("--join", role) for role in seams.joins]
    if problems := list(check_roles(pattern.pattern, ClassSheet(), named)):
        raise UsageError(problems)
    options = []
    progress("working out each fabric in each form")
    for fabric in kits_convert.convert(pattern.pattern, asked, figures, kits, seams, spread):
        progress(f"{fabric.fabric.role} is done")
        options.append(fabric)
    return tuple(options)


def plan(
    pattern: PatternReading,
    kits: int | str | None = None,
    shop: ShopReading | None = None,
    class_sheet: ClassReading | None = None,
    *,
    spare_kits: int | None = None,
    forms: ByRole = None,
    bags: ByRole = None,
    label_sheets: ByRole = None,
    prefer: str | Sequence[str] = (),
    join: bool | str | Sequence[str] = False,
    most_seams: int = 1,
    measured: MeasuredReading | None = None,
    leave_out_unread: bool = False,
    options: Options | None = None,
    progress: Progress = _silent,
) -> KitPlan:
    """Plan the kits of a class; nothing is written.

    What an argument says is recorded as the caller's among ``plan.choices``, and as the
    workbook's where the workbook says the same. An argument wins over a workbook, except for
    the number of kits, which must agree.

    Args:
        pattern: What was read.
        kits: How many; ``"max"`` for as many as the stock gives; None for the class's number, or 1.
        shop: Figures, forms and stock; the defaults, and no limit of stock, when None.
        class_sheet: What the class's workbook says.
        spare_kits: Kits on top.
        forms: A form for all fabrics, or ``{"Background": "yardage"}``; ``"cheapest"`` is the one
            that costs the shop least, of those that have a cost and are on the shelf.
        bags: ``"uncut"`` or ``"pieces"`` for all, or by fabric.
        label_sheets: A label sheet for all labels, or ``{"bag": …, "piece": …}``.
        prefer: A form, or several in order of preference: each fabric that ``forms`` leaves open
            takes the first that holds its pieces, else yardage.
        join: Whether what is too long may be sewn of shorter parts: in all fabrics, or in those
            named.
        most_seams: Seams in one rectangle that is sewn of parts, 1 or 2.
        measured: Cloth as it was really measured: the rest of a class is planned from it.
        leave_out_unread: Whether lines that were not read are left out; the plan says so.
        options: All choices at once, in place of those above.
        progress: Told what is being worked out.

    Returns:
        The plan, checked piece by piece. Lengths are inches. A shortage, or whatever else must
        be said, is among its problems.

    Raises:
        CannotBeMetError: Lines are not read, or a fabric's pieces fit no form asked for.
        UsageError: Choices contradict each other, or name what does not exist.
        UnreadableError: The shop's, the class's or the measured cloth's workbook has errors.
        OurFaultError: A plan did not pass kitmaker's own check.
    """
    from kitmaker.planning import make_plan

    asked = options or replace(
        _options(kits, spare_kits, forms, bags, label_sheets),
        prefer=(prefer,) if isinstance(prefer, str) else tuple(prefer),
        joins=fabrics_to_join(join),
        most_seams=most_seams,
    )
    return make_plan(
        pattern,
        shop,
        class_sheet,
        measured,
        asked,
        leave_out_unread=leave_out_unread,
        progress=progress,
    )


def _options(
    kits: int | str | None,
    spare_kits: int | None,
    forms: ByRole,
    bags: ByRole,
    label_sheets: ByRole,
) -> Options:
    problems: list[Problem] = []
    most = isinstance(kits, str) and kits.casefold() == "max"
    if isinstance(kits, str) and not most:
        problems.append(
            error(f"'{kits}' is not a number of kits", None, "Give 1 or more, or 'max'.")
        )
    by_role: list[tuple[str | None, Bag]] = []
    for role, bag in _by_role(bags):
        try:
            by_role.append((role, Bag(bag.casefold())))
        except ValueError:
            problems.append(error(f"'{bag}' is no bag", None, "Give 'uncut' or 'pieces'."))
    problems += [
        error(f"'{kind}' is not a kind of label", None, "Name 'bag' or 'piece'.")
        for kind, _ in _by_role(label_sheets)
        if kind not in (None, "bag", "piece")
    ]
    if problems:
        raise UsageError(problems)
    return Options(
        kits=kits if isinstance(kits, int) else None,
        most_kits=most,
        spare_kits=spare_kits,
        forms=_by_role(forms),
        bags=tuple(by_role),
        label_sheets=_by_role(label_sheets),
        asked_by="the caller",
    )


def fabrics_to_join(join: bool | str | Sequence[str]) -> tuple[str | None, ...]:
    """Return the fabrics whose pieces may be sewn of shorter parts; None stands for all."""
    if isinstance(join, bool):
        return (None,) if join else ()
    return tuple(role.strip() or None for role in ([join] if isinstance(join, str) else join))


def _by_role(given: ByRole) -> tuple[tuple[str | None, str], ...]:
    if given is None:
        return ()
    return ((None, given),) if isinstance(given, str) else tuple(given.items())


def season(
    classes: Sequence[ClassReading | tuple[PatternReading, ClassReading]],
    shop: ShopReading,
    *,
    progress: Progress = _silent,
    spread: SeasonSpread | None = None,
) -> Season:
    """Plan several classes that share one shelf, in the order of their dates; nothing is written.

    Each class takes what it needs, and the next one sees what is left. One class alone takes
    what :func:`plan` takes.

    Args:
        classes: Each as it was read, with a date; its pattern is read from the file that it names,
            unless it comes with it.
        shop: Its figures, and the shelf.
        progress: Told which class is being worked out.
        spread: Maps a function over the classes, in order, for an engine that maps in several
            processes; None for none.

    Returns:
        Which class is complete, which runs short of what, the shelf row by row, and what to
        order. Lengths are inches.

    Raises:
        UsageError: A class has no date, is given twice, contradicts itself, or takes a SKU by
            length that the shop counts.
        UnreadableError: The shop's or a class's workbook has errors, or a pattern cannot be read.
    """
    from kitmaker.season_planning import plan_season

    pairs = [
        given if isinstance(given, tuple) else (read_pattern_of(given, shop), given)
        for given in classes
    ]
    return plan_season(pairs, shop, progress, spread)


def breakdown(
    cloth: StashReading,
    into: Sequence[str] | Mapping[str, int | None] = (),
    prices: Sequence[str] | Mapping[str, Decimal | float | str] = (),
    shop: ShopReading | None = None,
) -> Breakdown:
    """Cut cloth at hand into the small sizes a shop sells, for the greatest worth.

    Args:
        cloth: What is there.
        into: Sizes such as ``"5"``, ``"2.5x5"`` or ``"2.5xWOF"``, with the most that is wanted:
            ``{"5": 40, "2.5": None}`` or ``["5=40", "2.5"]``; the popular sizes when empty.
        prices: What one piece of a size sells for: ``{"5": "0.45"}`` or ``["5=0.45"]``. Without
            any, worth is area.
        shop: Its unit, prices and figures; the defaults when None.

    Raises:
        UsageError: A size, a number or an amount cannot be read; each is named.
        UnreadableError: The cloth or the shop's workbook has errors.
    """
    from kitmaker.kits.breakdown import break_down
    from kitmaker.kits.goods import goods_of
    from kitmaker.kits.yields import Basis

    stop_on_errors(shop, cloth)
    figures = figures_of(shop)
    goods = goods_of(_as_asked(into), _as_asked(prices), figures)
    return break_down(list(cloth.pieces), goods, Basis(figures, figures.unit))


def _as_asked(given: Sequence[str] | Mapping[str, object]) -> list[str]:
    if isinstance(given, Mapping):
        return [size if value is None else f"{size}={value}" for size, value in given.items()]
    return [given] if isinstance(given, str) else list(given)


def write(
    plan: KitPlan | Season,
    folder: PathLike,
    templates: PathLike | None = None,
    *,
    replace: bool = False,
) -> Path:
    """Write everything to print of a plan, or of a season, into a folder, whole or not at all.

    Args:
        plan: The plan, or the season.
        folder: A new folder, or one that holds a plan of this class (a season): that is replaced.
        templates: A folder with the shop's own page templates, for a plan.
        replace: Whether files that were changed since, or another class's plan, are written over.

    Returns:
        The folder; ``index.html`` in it leads to every page, of a season ``season.html``.

    Raises:
        OutputError: It could not be written, or it holds other files.
        UnreadableError: A template cannot be used.
    """
    from kitmaker.paper.changes import with_changes
    from kitmaker.paper.folder import PLAN, write_folder
    from kitmaker.paper.printed import print_plan

    if isinstance(plan, Season):
        from kitmaker.paper.season_files import print_season
        from kitmaker.paper.season_json import MARKER

        write_folder(Path(folder), print_season(plan).files, marker=MARKER, replace=replace)
        return Path(folder)
    plan = with_changes(plan, Path(folder) / PLAN)
    made = print_plan(plan, None if templates is None else Path(templates))
    write_folder(Path(folder), made.files, replace=replace)
    return Path(folder)


def frames(plan: KitPlan | Season) -> dict[str, pandas.DataFrame]:
    """Return a plan as pandas data frames, one for each table of ``results.xlsx``.

    A season gives the tables of ``season.xlsx``, in yards or meters and pieces; its numbers are
    exact fractions. Of a plan:

    Keys are the names of its sheets, columns those of its tables. Lengths are numbers in the
    plan's unit (a heading that ends in ``in`` or ``cm``), beside it in yards or meters where the
    workbook has them so; money is a number in the shop's currency; an empty number is not known.
    What a column means stands in ``frame.attrs["columns"]``.

    Args:
        plan: The plan; lengths are exact fractions in it, and the nearest numbers here.
    """
    from kitmaker.paper.frames import plan_frames
    from kitmaker.paper.season_tables import season_frames

    return season_frames(plan) if isinstance(plan, Season) else plan_frames(plan)

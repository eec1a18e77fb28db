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

import hashlib
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
    Location,
    OutputError,
    Problem,
    UnreadableError,
    UsageError,
    error,
)
from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.kits.choices import MOST_KITS, Options
from kitmaker.lengths import Unit
from kitmaker.pattern import PatternReading
from kitmaker.plans import Breakdown, KitPlan
from kitmaker.seasons import Season
from kitmaker.shop import (
    Bag,
    ClassReading,
    ClassSheet,
    MeasuredReading,
    Shop,
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

PathLike: TypeAlias = str | Path
Progress: TypeAlias = Callable[[str], None]
ByRole: TypeAlias = str | Mapping[str, str] | None
"""One for all fabrics, or one for each fabric named; what is not named is left as it is."""


def _silent(_: str) -> None:
    pass


def digest_of(path: PathLike) -> str:
    """Return the digest of a file's bytes, which the plan's number is made of."""
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()


def read_pattern(
    path: PathLike, size: str | None = None, shop: ShopReading | None = None
) -> PatternReading:
    """Read a pattern; what could not be read for sure is in ``.problems``.

    Args:
        path: A workbook (.xlsx, .ods) or .csv file; it is only read.
        size: The size to read; may be None where the pattern has one only.
        shop: The shop whose own forms the pattern may name.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or asks for no cuts.
        UsageError: The size is missing where there are several, or not one of them.
    """
    from kitmaker.reading import requirements

    catalogue = None if shop is None else shop.shop.catalogue
    found = requirements.read_pattern(Path(path), size, catalogue)
    return replace(found, digest=digest_of(path))


def draft(source: PathLike | bytes, size: str | None = None, unit: str | None = None) -> Draft:
    """Return a draft of a pattern: tidy rows beside the words they came from, open ones marked.

    A draft is for a pattern the shop has bought; each student needs a copy of it.

    Args:
        source: A workbook or .csv file in any layout, or a page: .txt, .docx, .pdf with text in
            it; or the bytes of one. It is only read.
        size: The size to take; None for all, side by side.
        unit: What bare numbers are in, ``"in"`` or ``"cm"``; None for what the pattern states.

    Returns:
        The rows, every other line of the source, and the rows that wait for a person
        (``.open_rows``); :func:`write_draft` writes it as a workbook that ``plan`` reads.

    Raises:
        UnreadableError: The file is missing, cannot be read, or asks for nothing to be cut.
        UsageError: The size is not one of the pattern's, or the unit is not known.
    """
    from kitmaker.reading.drafting.sources import draft_of

    try:
        known = None if unit is None else Unit(unit)
    except ValueError:
        said = f"'{unit}' is no unit that sizes are in"
        raise UsageError([error(said, None, "Give in or cm.")]) from None
    return draft_of(source if isinstance(source, bytes) else Path(source), size, known)


def write_draft(made: Draft, file: PathLike, page: PathLike | None = None) -> Path:
    """Write a draft as a new workbook, and where asked the page that shows how it was read.

    Args:
        made: The draft.
        file: The new workbook; its name ends in .xlsx.
        page: The new page; its name ends in .html. None for none.

    Returns:
        The workbook.

    Raises:
        UsageError: A name has another ending.
        OutputError: Something of that name is there already, or it cannot be written.
    """
    from kitmaker.paper.draft_book import build_draft
    from kitmaker.paper.draft_page import render_draft_page
    from kitmaker.paper.one_file import write_all_new
    from kitmaker.reading.hints import HINT

    named = [(Path(file), ".xlsx", "workbook")]
    named += [] if page is None else [(Path(page), ".html", "page")]
    for path, ending, what in named:
        if path.suffix.lower() != ending:
            said = f"'{path.name}' is not a name for a {what}."
            raise UsageError([error(said, None, f"End it in {ending}.")])
    files = {Path(file): build_draft(made, HINT)}
    if page is not None:
        files[Path(page)] = render_draft_page(made).encode()
    write_all_new(files)
    return Path(file)


def settle_draft(path: PathLike, answers: Mapping[str, str], *, over: str) -> None:
    """Write what a person chose and typed into the cells of a draft.

    Args:
        path: The draft's workbook.
        answers: Address to text, such as ``{"Pieces!N4": "no cut"}``; "" empties the cell.
        over: The digest of the file as it was read.

    Raises:
        UsageError: A cell is none that waits for a person.
        ChangedError: The file holds something else by now.
        OutputError: It cannot be written, or holds what would be lost.
        UnreadableError: It cannot be read.
    """
    from kitmaker.paper.cell_edits import edited
    from kitmaker.paper.one_file import write_over
    from kitmaker.reading.drafting.ticking import cells_to_settle, tick_rows
    from kitmaker.shopbooks.class_edits import Edit

    path = Path(path)
    cells = cells_to_settle(tick_rows(path))
    for where in answers:
        if where not in cells:
            raise UsageError(f"The cell {where} of '{path.name}' waits for nothing.")
    content = path.read_bytes()
    edits = [
        Edit(cell.sheet, cell.row, cell.column, text.strip() or None)
        for cell, text in ((cells[where], text) for where, text in answers.items())
        if text.strip() != cell.value
    ]
    if edits or hashlib.sha256(content).hexdigest() != over:
        write_over(path, edited(content, path.name, edits), over)


def read_shop(path: PathLike) -> ShopReading:
    """Read a shop's workbook: figures, forms, stock; what is not sure is in ``.problems``.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or is no shop's workbook.
    """
    from kitmaker.shopbooks import shopbook

    return replace(shopbook.read_shop(Path(path)), digest=digest_of(path))


def read_class(path: PathLike, shop: ShopReading | None = None) -> ClassReading:
    """Read a class's workbook: kits, colorways, forms; what is not sure is in ``.problems``.

    Args:
        path: The workbook; it is only read.
        shop: The shop, whose own forms the class may name.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or is no class's workbook.
    """
    from kitmaker.shopbooks import classbook

    catalogue = None if shop is None else shop.shop.catalogue
    found = classbook.read_class(Path(path), catalogue)
    return replace(found, digest=digest_of(path), path=str(path))


def read_pattern_of(
    class_sheet: ClassReading,
    shop: ShopReading | None = None,
    *,
    pattern: PathLike | None = None,
    size: str | None = None,
) -> PatternReading:
    """Read the pattern of a class in the class's size.

    Args:
        class_sheet: The class, as it was read from a file.
        shop: The shop whose own forms the pattern may name.
        pattern: The pattern's file; the one that the class names, beside it, when None.
        size: The size to read; the class's when None.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or asks for no cuts.
        UsageError: The class names no pattern; or the size is missing or not one of its sizes.
    """
    from kitmaker.shopbooks.pattern_file import pattern_beside

    sheet = class_sheet.class_sheet
    found = pattern_beside(sheet, Path(class_sheet.path)) if pattern is None else Path(pattern)
    try:
        return read_pattern(found, size or sheet.size, shop)
    except UsageError as fault:
        if size is not None:
            raise
        where = sheet.size_where or Location(sheet.workbook, "Class")
        raise UsageError(
            replace(one, location=where, suggestion=one.suggestion or "Type it beside Size.")
            for one in fault.problems
        ) from None


def write_class(
    class_sheet: ClassSheet, path: PathLike, *, over: str = "", shop: ShopReading | None = None
) -> None:
    """Write a class into its workbook, which :func:`read_class` reads back.

    A new workbook is explained, with drop-downs, as ``kitmaker starter`` writes it. In one that
    is there only the cells change whose value is another; extras, remarks and other sheets stay.

    Args:
        class_sheet: What it is to say; the cells it names do not count.
        path: The workbook.
        over: The digest of the file that it goes into, as it was read; "" for a new file.
        shop: Whose SKUs and forms a new workbook's drop-downs offer.

    Raises:
        ChangedError: The file holds something else by now.
        OpenElsewhereError: A spreadsheet program has it open.
        OutputError: A new file's name is taken; it cannot be written; or it holds what would be
            lost, such as formulas.
        UnreadableError: The workbook to be changed cannot be read.
    """
    import tempfile

    from kitmaker.paper.cell_edits import edited
    from kitmaker.paper.one_file import write_new, write_over
    from kitmaker.reading.workbook import read_workbook
    from kitmaker.shopbooks.class_edits import class_edits
    from kitmaker.shopbooks.classbook import class_of

    path = Path(path)
    with tempfile.TemporaryDirectory() as room:
        stands = path
        if not over:
            stands = Path(room) / "blank.xlsx"
            stands.write_bytes(_blank_class(figures_of(shop)))
        book = read_workbook(stands)
        content = stands.read_bytes()
        edits = class_edits(book, class_of(book).class_sheet, class_sheet)
    if not over:
        write_new(path, edited(content, path.name, edits))
    elif edits or hashlib.sha256(content).hexdigest() != over:
        write_over(path, edited(content, path.name, edits), over)


def _blank_class(shop: Shop) -> bytes:
    from kitmaker.paper.starter_book import StarterMarks, build_starter
    from kitmaker.paper.starter_words import StarterKind
    from kitmaker.reading.hints import EXAMPLE, HELP_SHEET, HINT

    offered = {
        "Form": tuple(form.form_id for form in shop.catalogue),
        "SKU": tuple(dict.fromkeys(row.sku for row in shop.stock or ())),
    }
    marks = StarterMarks(help_sheet=HELP_SHEET, example=EXAMPLE, hint=HINT)
    return build_starter(StarterKind.CLASS, marks, offered)


def read_measured(
    path: PathLike, pattern: PatternReading, shop: ShopReading | None = None
) -> MeasuredReading:
    """Read a list of cloth as it was really measured; what is not sure is in ``.problems``.

    Args:
        path: A workbook or .csv file headed SKU, Width, Length, Count; it is only read.
        pattern: Bare measures are in its unit where the shop states none.
        shop: Bare measures are in its unit.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or has no such table.
    """
    from kitmaker.shopbooks.cutsbook import read_cuts

    unit = figures_of(shop).unit_beside(pattern.pattern.unit)
    return replace(read_cuts(Path(path), unit), digest=digest_of(path))


def read_cloth(path: PathLike, shop: ShopReading | None = None) -> StashReading:
    """Read a list of cloth at hand, for :func:`breakdown`; what is not sure is in ``.problems``.

    Args:
        path: A workbook or .csv file headed Fabric, Width, Length, Count (or Form, Count).
        shop: Its unit and its own forms.

    Raises:
        UnreadableError: The file is missing, cannot be read at all, or has no such table.
    """
    from kitmaker.shopbooks.stash import read_stash

    figures = figures_of(shop)
    found = read_stash(Path(path), figures.unit, figures.catalogue)
    return replace(found, digest=digest_of(path))


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
        UsageError: A form or a fabric is not known, or that is no number of kits.
        UnreadableError: The shop's workbook has errors.
    """
    from kitmaker.kits import convert as kits_convert
    from kitmaker.kits.contradictions import check_roles

    stop_on_errors(shop)
    if not 1 <= kits <= MOST_KITS:
        raise UsageError(f"{kits} is no number of kits: give 1 to {MOST_KITS}.")
    figures = figures_of(shop)
    asked = find_forms([forms] if isinstance(forms, str) else forms or (), figures.catalogue)
    seams = Options(joins=fabrics_to_join(join), most_seams=most_seams)
    named = [("--join", role) for role in seams.joins]
    if problems := list(check_roles(pattern.pattern, ClassSheet(), named)):
        raise UsageError(problems)
    options = []
    for one in kits_convert.convert(pattern.pattern, asked, figures, kits, seams, spread):
        progress(f"{one.fabric.role} is done")
        options.append(one)
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
        problems.append(error(f"'{kits}' is no number of kits", None, "Give 1 or more, or 'max'."))
    by_role: list[tuple[str | None, Bag]] = []
    for role, bag in _by_role(bags):
        try:
            by_role.append((role, Bag(bag.casefold())))
        except ValueError:
            problems.append(error(f"'{bag}' is no bag", None, "Give 'uncut' or 'pieces'."))
    problems += [
        error(f"'{kind}' is no kind of label", None, "Name 'bag' or 'piece'.")
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
        one if isinstance(one, tuple) else (read_pattern_of(one, shop), one) for one in classes
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
    from kitmaker.paper.season_frames import season_frames

    return season_frames(plan) if isinstance(plan, Season) else plan_frames(plan)

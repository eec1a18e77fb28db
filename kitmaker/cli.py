"""The command line: options, one call, one message. No arithmetic happens here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from kitmaker import __version__
from kitmaker.commands.ending import OUTCOME
from kitmaker.errors import ExitCode, KitmakerError, Problem, has_errors
from kitmaker.screen import KitmakerGroup, Progress, ProgressByLine, say, say_problems

F = TypeVar("F", bound=Callable[..., Any])

_FILE = click.Path(path_type=Path)


size_option = click.option("--size", help="The size to take, where the pattern has several.")
shop_option = click.option("--shop", type=_FILE, help="The shop's workbook: figures, forms, stock.")
templates_option = click.option(
    "--templates",
    type=_FILE,
    help="A folder of page templates: programs of the shop's own; use only ones you trust.",
)
json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON text instead of words."
)


def _aims_at(_: click.Context, __: click.Parameter, path: Path | None) -> Path | None:
    OUTCOME.aims_at(path)
    return path


def out_options(command: F) -> F:
    """The folder to write, and whether what would be lost in it may be written over."""
    out = click.option(
        "--out",
        type=_FILE,
        callback=_aims_at,
        help="The folder to write; a new one when left out.",
    )
    over = click.option("--replace", is_flag=True, help="Overwrite changed files, or another plan.")
    return out(over(command))


def label_options(command: F) -> F:
    """Which label sheets, and which of their labels comes first."""
    sheets = click.option(
        "--label-sheet", "label_sheets", multiple=True, help="SHEET, bag=SHEET, piece=SHEET."
    )
    starts = click.option(
        "--start-label", "label_starts", multiple=True, help="N, bag=N or piece=N; 1 first."
    )
    return sheets(starts(command))


class JoinCommand(click.Command):
    """A command with ``--join [FABRIC]...``, which takes none, one or several fabrics."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the words of the command line."""
        from kitmaker.commands.options import spell_out_join

        return super().parse_args(ctx, spell_out_join(args))


def join_options(command: F) -> F:
    """What may be sewn of shorter parts."""
    seams = click.option(
        "--most-seams",
        type=click.IntRange(1, 2),
        default=1,
        help="The most seams in one pieced rectangle: 1 or 2.",
    )
    join = click.option(
        "--join",
        "joins",
        multiple=True,
        metavar="[FABRIC]...",
        help="Sew what is too long from shorter parts: in all fabrics, or in those named.",
    )
    return join(seams(command))


@click.group(
    cls=KitmakerGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Example: kitmaker plan pattern.xlsx --shop shop.xlsx --kits 12",
)
@click.version_option(__version__, prog_name="kitmaker")
@click.option("--debug", is_flag=True, help="Show the details of a fault in kitmaker itself.")
def main(debug: bool) -> None:
    """Turn a quilt pattern's fabric requirements into kits.

    Counts, proof that fewer won't be enough, cutting sheets, labels, a pull list and costs.
    """


@main.command(epilog="Example: kitmaker starter my-pattern.xlsx --kind pattern")
@click.argument("file", type=_FILE)
@click.option(
    "--kind",
    type=click.Choice(["pattern", "shop", "class", "measured", "stash"]),
    default="pattern",
    show_default=True,
    help="What the workbook is for.",
)
@shop_option
def starter(file: Path, kind: str, shop: Path | None) -> None:
    """Write FILE, a blank and explained workbook to fill in; nothing is overwritten."""
    from kitmaker.commands.starter import starter_text, write_starter
    from kitmaker.paper.starter_words import StarterKind

    OUTCOME.aims_at(file)
    write_starter(file, StarterKind(kind), shop)
    click.echo(starter_text(file, StarterKind(kind)))


@main.command(epilog="Example: kitmaker check pattern.xlsx --size throw")
@click.argument("pattern", type=_FILE)
@size_option
@json_option
def check(pattern: Path, size: str | None, as_json: bool) -> None:
    """Show what was read from a PATTERN, cell by cell, and every problem."""
    from kitmaker import api
    from kitmaker.commands.check import check_json, check_text
    from kitmaker.paper.problem_json import dump

    reading = api.read_pattern(pattern, size)
    _say(dump(check_json(reading)) if as_json else check_text(reading))
    _end(reading.problems)


@main.command(epilog="Example: kitmaker draft my-pattern.pdf --page my-pattern.html")
@click.argument("source", type=_FILE)
@size_option
@click.option("--unit", type=click.Choice(["in", "cm"]), help="The unit of bare numbers.")
@click.option("--out", type=_FILE, help="The draft; SOURCE's name and -draft.xlsx when left out.")
@click.option("--page", type=_FILE, help="A page that shows each line beside how it was read.")
@json_option
def draft(
    source: Path,
    size: str | None,
    unit: str | None,
    out: Path | None,
    page: Path | None,
    as_json: bool,
) -> None:
    """Write a draft of a pattern's SOURCE: a tidy workbook to check, and then to plan.

    SOURCE is a workbook or .csv file in any layout, or the pattern's page as .txt, .docx or .pdf
    with text in it; - for text from standard input. A draft is for a pattern the shop has bought;
    each student needs a copy of it.
    """
    from kitmaker import api
    from kitmaker.commands.draft import draft_json, draft_name, draft_text, read_draft
    from kitmaker.paper.problem_json import dump

    made = read_draft(source, size, unit)
    file = out or draft_name(source)
    OUTCOME.aims_at(file)
    api.write_draft(made, file, page)
    _say(dump(draft_json(made, file)) if as_json else draft_text(made, file))
    _end(made.problems, unmet=bool(made.open_rows))


@main.command(
    cls=JoinCommand,
    epilog="Example: kitmaker convert pattern.xlsx --form fat-quarter --form yardage --join",
)
@click.argument("pattern", type=_FILE)
@size_option
@click.option("--form", "forms", multiple=True, help="A form to try; all forms when left out.")
@join_options
@shop_option
@click.option("--kits", type=int, default=1, help="Costs, prices and minutes for this many kits.")
@click.option("--why", is_flag=True, help="Give the reason for each form that won't fit.")
@click.option(
    "--out",
    type=_FILE,
    callback=_aims_at,
    help="A folder for forms.html, the table to print or look at.",
)
@click.option("--replace", is_flag=True, help="Overwrite a changed page.")
@json_option
def convert(
    pattern: Path,
    size: str | None,
    forms: tuple[str, ...],
    joins: tuple[str, ...],
    most_seams: int,
    shop: Path | None,
    kits: int,
    why: bool,
    out: Path | None,
    replace: bool,
    as_json: bool,
) -> None:
    """Show what one kit of a PATTERN takes in each form, the cheapest first.

    Fabric by fabric: how many, what they cost and sell for, how much is left over, the minutes
    at the cutting table, and whether fewer would do.
    """
    from kitmaker import api
    from kitmaker.commands import convert as command
    from kitmaker.commands.halves import in_halves
    from kitmaker.commands.inputs import read_inputs
    from kitmaker.paper.problem_json import dump
    from kitmaker.shop import figures_of

    inputs = read_inputs(pattern, size=size, shop=shop)
    unit = inputs.reading.pattern.unit
    progress = Progress()
    options = api.convert(
        inputs.reading,
        inputs.shop,
        forms,
        kits,
        join=joins,
        most_seams=most_seams,
        spread=map if forms else in_halves,
        progress=progress,
    )
    progress.done()
    problems = (*inputs.problems, *command.say_seams(options, all_forms=not forms))
    data = command.convert_json(options, unit, problems)
    text: Iterable[str]
    text = command.convert_text(options, unit, figures_of(inputs.shop), why=why)
    if out is not None:
        page = command.write_forms(options, inputs, data, out, why=why, replace=replace)
        text = (*text, f"Open {page}")
    _say(dump(data) if as_json else text)
    can_be_done = all(option.can_be_done for option in options)
    _end(problems, unmet=has_errors(problems) or not can_be_done)


@main.command(
    cls=JoinCommand,
    epilog="Example: kitmaker plan pattern.xlsx --shop shop.xlsx --kits 12 "
    "--form background=yardage --bag background=pieces",
)
@click.argument("pattern", type=_FILE, required=False)
@click.option("--class", "class_file", type=_FILE, help="The class's workbook.")
@shop_option
@click.option("--kits", help="How many kits; max for as many as the stock allows.")
@click.option("--spare-kits", type=click.IntRange(min=0), help="Extra kits, just in case.")
@size_option
@click.option(
    "--form",
    "forms",
    multiple=True,
    help="FORM for all fabrics, or FABRIC=FORM; cheapest for the least cost.",
)
@click.option(
    "--prefer",
    multiple=True,
    metavar="FORM",
    help="FORM where a fabric's pieces fit it, else yardage; of several, the first that fits.",
)
@join_options
@click.option("--bag", "bags", multiple=True, help="uncut or pieces, or FABRIC=uncut|pieces.")
@label_options
@click.option("--shortest", is_flag=True, help="Spend no fabric on easier cutting.")
@click.option("--measured", type=_FILE, help="A workbook of the fabric as it was measured.")
@templates_option
@click.option(
    "--leave-out-unread", is_flag=True, help="Plan without the lines that could not be read."
)
@out_options
@json_option
def plan(
    pattern: Path | None,
    class_file: Path | None,
    shop: Path | None,
    size: str | None,
    measured: Path | None,
    templates: Path | None,
    leave_out_unread: bool,
    out: Path | None,
    replace: bool,
    as_json: bool,
    **choices: Any,
) -> None:
    """Plan the kits of a class: one folder with everything to print.

    PATTERN may be left out where the class's workbook names it.
    """
    from kitmaker.commands import plan as command
    from kitmaker.commands.inputs import read_inputs
    from kitmaker.commands.options import parse_options

    options = parse_options(**choices)
    inputs = read_inputs(pattern, size=size, shop=shop, class_file=class_file, measured=measured)
    progress = Progress()
    try:
        finished = command.make_plan(
            inputs,
            options,
            leave_out_unread=leave_out_unread,
            templates=templates,
            out=out,
            replace=replace,
            progress=progress,
        )
        folder = command.write_plan(finished, out, replace=replace)
    except KitmakerError as stop:
        progress.done()
        if as_json and stop.exit_code is ExitCode.CANNOT_BE_MET:
            click.echo(command.refusal_json(stop, inputs), nl=False)
        raise
    progress.done()
    _say(finished.json if as_json else command.plan_text(finished.plan, folder))
    if finished.plan.changes:
        say(f"changed since the last plan: {finished.plan.changes_said}", err=True)
    _end(finished.plan.problems)


@main.command(epilog="Example: kitmaker reprint my-class/plan.json --only labels --start-label 7")
@click.argument("plan_file", metavar="PLAN.json", type=_FILE)
@click.option(
    "--only",
    type=click.Choice(["labels", "sheets", "posters", "guide", "cards", "lists", "class"]),
    help="Only these pages; all when left out.",
)
@click.option(
    "--kit", "kits", type=int, multiple=True, help="Only labels, list, card and guide of this kit."
)
@click.option("--label", help="One label only: N, bag=N or piece=N, in the order printed.")
@label_options
@templates_option
@out_options
def reprint(
    plan_file: Path,
    only: str | None,
    kits: tuple[int, ...],
    label: str | None,
    label_sheets: tuple[str, ...],
    label_starts: tuple[str, ...],
    templates: Path | None,
    out: Path | None,
    replace: bool,
) -> None:
    """Print a plan's pages again from its plan.json; nothing is worked out again."""
    from kitmaker.commands import reprint as command
    from kitmaker.commands.options import parse_label, parse_options

    options = parse_options(label_sheets=label_sheets, label_starts=label_starts)
    wanted = command.Wanted(only=only, kits=kits, label=parse_label(label))
    made = command.make_reprint(plan_file, options, wanted, templates=templates)
    folder = command.write_reprint(made, out, wanted, replace=replace)
    click.echo(command.reprint_text(made, folder))
    _end(made.problems)


@main.command(epilog="Example: kitmaker breakdown stash.xlsx --into 5=40 --into 2.5 --price 5=0.45")
@click.argument("stash", type=_FILE)
@click.option("--into", multiple=True, help="SIZE or SIZE=MOST: 5, 2.5x5, 2.5xWOF.")
@click.option("--price", "prices", multiple=True, help="SIZE=AMOUNT: what one piece sells for.")
@shop_option
@out_options
@json_option
def breakdown(
    stash: Path,
    into: tuple[str, ...],
    prices: tuple[str, ...],
    shop: Path | None,
    out: Path | None,
    replace: bool,
    as_json: bool,
) -> None:
    """Cut the fabric in STASH into the small sizes a shop sells, worth as much as possible."""
    from kitmaker import api
    from kitmaker.commands import breakdown as command
    from kitmaker.paper.problem_json import dump
    from kitmaker.shop import figures_of

    found_shop = api.read_shop(shop) if shop is not None else None
    cloth = api.read_cloth(stash, found_shop)
    found, figures = api.breakdown(cloth, into, prices, found_shop), figures_of(found_shop)
    data = command.breakdown_json(found, figures.unit, cloth.problems)
    folder = command.write_breakdown(
        found, figures, cloth, data, named=stash.stem, out=out, replace=replace
    )
    text = (*command.breakdown_text(found, figures), f"Open {folder / 'index.html'}")
    _say(dump(data) if as_json else text)
    _end((*cloth.problems, *found.problems))


@main.command(epilog="Example: kitmaker season march-class.xlsx april-class.xlsx --shop shop.xlsx")
@click.argument("classes", metavar="CLASS.xlsx...", nargs=-1, required=True, type=_FILE)
@click.option("--shop", type=_FILE, required=True, help="The shop's workbook: the shelf.")
@out_options
@json_option
def season(
    classes: tuple[Path, ...], shop: Path, out: Path | None, replace: bool, as_json: bool
) -> None:
    """Plan several classes that share a shelf, in order of their dates, and list what to order.

    Each CLASS names its pattern's file and has a date.
    """
    from kitmaker import api
    from kitmaker.commands import season as command
    from kitmaker.commands.halves import in_halves
    from kitmaker.commands.inputs import read_classes
    from kitmaker.commands.outputs import write_out
    from kitmaker.paper.season_files import print_season
    from kitmaker.paper.season_json import MARKER

    found_shop = api.read_shop(shop)
    progress = ProgressByLine()
    try:
        found = api.season(
            read_classes(classes, found_shop), found_shop, progress=progress, spread=in_halves
        )
    finally:
        progress.done()
    finished = print_season(found)
    named = ("season", found.number)
    folder = write_out(out, finished.files, named=named, marker=MARKER, replace=replace)
    _say(finished.json if as_json else command.season_text(found, folder))
    _end(found.problems)


@main.command(epilog="Example: kitmaker counter my-workbooks")
@click.argument("folder", type=_FILE, default=Path())
@click.option(
    "--port", type=click.IntRange(1, 65535), help="The port to listen on; a free one when left out."
)
@click.option("--no-browser", is_flag=True, help="Do not open the page, only print its address.")
def counter(folder: Path, port: int | None, no_browser: bool) -> None:
    """Open a page in the browser for a FOLDER of workbooks; nothing leaves this computer."""
    from kitmaker.counter.server import run_counter

    OUTCOME.serves(folder)
    debug = click.get_current_context().find_root().params["debug"]
    run_counter(folder, port, open_browser=not no_browser, say=_say_address, debug=debug)


def _say_address(address: str) -> None:
    say(address)
    say("The page is open for as long as this runs; Ctrl-C ends it.", err=True)


def _say(result: str | Iterable[str]) -> None:
    """Say what a command came to: one JSON text as it is, or line by line."""
    if isinstance(result, str):
        click.echo(result, nl=False)
        return
    for line in result:
        say(line)


def _end(problems: Sequence[Problem], *, unmet: bool | None = None) -> None:
    """Say the problems and end: unmet where one of them is an error, unless it is said."""
    say_problems(problems)
    unmet = has_errors(problems) if unmet is None else unmet
    click.get_current_context().exit(ExitCode.CANNOT_BE_MET if unmet else ExitCode.DONE)

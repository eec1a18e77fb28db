"""The command line: options, one call, one message. No arithmetic happens here."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import click

from kitmaker import __version__
from kitmaker.errors import ExitCode, KitmakerError, Problem, has_errors

F = TypeVar("F", bound=Callable[..., Any])

_FILE = click.Path(path_type=Path)


class KitmakerGroup(click.Group):
    """The one place where an exception becomes a message and an exit code."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; no traceback reaches a person unless ``--debug`` asks for it."""
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KitmakerError as stop:
            say_problems(stop.problems)
            ctx.exit(stop.exit_code)
        except Exception as fault:  # noqa: BLE001  # anything else is a fault of ours
            if ctx.params.get("debug"):
                traceback.print_exc(file=sys.stderr)
            click.echo(
                f"kitmaker: a fault in kitmaker itself ({type(fault).__name__}); nothing was "
                "written. Run 'kitmaker --debug …' for the details to report.",
                err=True,
            )
            ctx.exit(ExitCode.OUR_FAULT)


def say_problems(problems: Iterable[Problem]) -> None:
    """Say problems on stderr, errors first."""
    for problem in sorted(problems, key=lambda one: not one.is_error):
        click.echo(f"{problem.level.value}: {problem}", err=True)


class Progress:
    """A progress line on a terminal; silent elsewhere."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()
        self._width = 0

    def __call__(self, words: str) -> None:
        """Show what is being worked out, over what was shown before."""
        if self._shown:
            click.echo(f"\r{words[:76]:<{self._width}}", nl=False, err=True)
            self._width = min(76, len(words))

    def done(self) -> None:
        """Take the line away."""
        if self._shown:
            click.echo(f"\r{'':<{self._width}}\r", nl=False, err=True)


def pattern_argument(*, required: bool) -> Callable[[F], F]:
    """The pattern's file."""
    return click.argument("pattern", type=_FILE, required=required)


def size_option(command: F) -> F:
    """Which size of a pattern with several."""
    return click.option("--size", help="The size to take, where the pattern has several.")(command)


def shop_option(command: F) -> F:
    """The shop's workbook."""
    return click.option("--shop", type=_FILE, help="The shop's workbook: figures, forms, stock.")(
        command
    )


def json_option(command: F) -> F:
    """Data instead of text."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON text instead of words."
    )(command)


@click.group(
    cls=KitmakerGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Example: kitmaker plan pattern.xlsx --shop shop.xlsx --kits 12",
)
@click.version_option(__version__, prog_name="kitmaker")
@click.option("--debug", is_flag=True, help="Show the details of a fault in kitmaker itself.")
def main(debug: bool) -> None:
    """Turn a quilt pattern's fabric requirements into kits.

    Counts, proof that fewer will not do, cutting sheets, labels, a pull list and costs.
    """


@main.command(epilog="Example: kitmaker check pattern.xlsx --size throw")
@pattern_argument(required=True)
@size_option
@json_option
def check(pattern: Path, size: str | None, as_json: bool) -> None:
    """Show what was read from a PATTERN, cell by cell, and every problem."""
    from kitmaker.commands.check import check_json, check_text
    from kitmaker.paper.problem_json import dump
    from kitmaker.reading.requirements import read_pattern

    reading = read_pattern(pattern, size)
    if as_json:
        click.echo(dump(check_json(reading)), nl=False)
    else:
        for line in check_text(reading):
            click.echo(line)
    say_problems(reading.problems)
    _end(has_errors(reading.problems))


@main.command(epilog="Example: kitmaker convert pattern.xlsx --form fat-quarter --form yardage")
@pattern_argument(required=True)
@size_option
@click.option("--form", "forms", multiple=True, help="A form to try; all forms when left out.")
@shop_option
@json_option
def convert(
    pattern: Path, size: str | None, forms: tuple[str, ...], shop: Path | None, as_json: bool
) -> None:
    """Show how many of each form one kit of a PATTERN takes, fabric by fabric."""
    from kitmaker.commands import convert as command
    from kitmaker.commands.inputs import read_inputs, stop_on_errors
    from kitmaker.kits.convert import convert as convert_pattern
    from kitmaker.paper.problem_json import dump

    inputs = read_inputs(pattern, size=size, shop=shop)
    stop_on_errors(inputs.shop_problems)
    asked = command.find_forms(forms, inputs.shop.catalogue)
    unit = inputs.reading.pattern.unit
    progress = Progress()
    options = []
    for one in convert_pattern(inputs.reading.pattern, asked, inputs.shop):
        progress(f"{one.fabric.role} is done")
        options.append(one)
    progress.done()
    if as_json:
        click.echo(dump(command.convert_json(options, unit, inputs.problems)), nl=False)
    else:
        for line in command.convert_text(options, unit):
            click.echo(line)
    say_problems(inputs.problems)
    _end(has_errors(inputs.problems) or not all(one.can_be_done for one in options))


@main.command(
    epilog="Example: kitmaker plan pattern.xlsx --shop shop.xlsx --kits 12 "
    "--form background=yardage --bag background=pieces"
)
@pattern_argument(required=False)
@click.option("--class", "class_file", type=_FILE, help="The class's workbook.")
@shop_option
@click.option("--kits", type=click.IntRange(min=1), help="How many kits.")
@click.option("--spare-kits", type=click.IntRange(min=0), help="Kits on top, in case.")
@size_option
@click.option("--form", "forms", multiple=True, help="FORM for all fabrics, or FABRIC=FORM.")
@click.option("--bag", "bags", multiple=True, help="uncut or pieces, or FABRIC=uncut|pieces.")
@click.option("--label-sheet", "label_sheets", multiple=True, help="SHEET, bag=SHEET, piece=SHEET.")
@click.option("--start-label", "label_starts", multiple=True, help="N, bag=N or piece=N; 1 first.")
@click.option("--templates", type=_FILE, help="A folder with the shop's own page templates.")
@click.option("--leave-out-unread", is_flag=True, help="Plan without the lines not understood.")
@click.option("--out", type=_FILE, help="The folder to write; a new one is named when left out.")
@json_option
def plan(
    pattern: Path | None,
    class_file: Path | None,
    shop: Path | None,
    size: str | None,
    templates: Path | None,
    leave_out_unread: bool,
    out: Path | None,
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
    inputs = read_inputs(pattern, size=size, shop=shop, class_file=class_file)
    progress = Progress()
    try:
        finished = command.make_plan(
            inputs,
            options,
            leave_out_unread=leave_out_unread,
            templates=templates,
            progress=progress,
        )
        folder = command.write_plan(finished, out)
    except KitmakerError as stop:
        progress.done()
        if as_json and stop.exit_code is ExitCode.CANNOT_BE_MET:
            click.echo(command.refusal_json(stop, inputs), nl=False)
        raise
    progress.done()
    if as_json:
        click.echo(finished.json, nl=False)
    else:
        for line in command.plan_text(finished.plan, folder):
            click.echo(line)
    say_problems(finished.plan.problems)
    click.get_current_context().exit(finished.exit_code)


def _end(unmet: bool) -> None:
    click.get_current_context().exit(ExitCode.CANNOT_BE_MET if unmet else ExitCode.DONE)

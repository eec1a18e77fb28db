"""The screen: what is said, what is being worked out, and how a run ends.

The one place where an exception becomes a message and an exit code.
"""

from __future__ import annotations

import io
import os
import re
import sys
import threading
import time
import traceback
from collections.abc import Iterable
from contextlib import nullcontext, suppress
from typing import Any

import click

from kitmaker.commands.ending import OUTCOME, STOPPED_BY_HAND, stops_soon
from kitmaker.errors import ExitCode, KitmakerError, Problem, error

EVERY = 2
"""Seconds after which the progress line tells that work goes on."""
_NOT_FOR_A_SCREEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]+"
)


class KitmakerGroup(click.Group):
    """The one place where an exception becomes a message and an exit code."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run with the same letters on every machine: ½ and ⅝ are in no old code page."""
        _fill_closed_streams()
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                stream.reconfigure(encoding="utf-8", errors="backslashreplace")
        try:
            return super().main(*args, **kwargs)
        except OSError as fault:  # help that could not be printed
            sys.exit(_say_end(fault))

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; no traceback reaches a person unless ``--debug`` asks for it."""
        OUTCOME.aims_at(None)
        try:
            with stops_soon(_say_stopped):
                return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KeyboardInterrupt:
            _say_stopped()
            ctx.exit(STOPPED_BY_HAND)
        except Exception as fault:  # noqa: BLE001  # anything that is not known is ours
            if ctx.params.get("debug"):
                traceback.print_exc(file=sys.stderr)
            ctx.exit(_say_end(fault))


def _say_stopped() -> None:
    Progress().done()
    say(f"kitmaker: stopped. {OUTCOME.said}", err=True)


def _say_end(fault: Exception) -> int:
    """Say in words why a run ends; return its exit code."""
    if isinstance(fault, KitmakerError) and fault.exit_code is not ExitCode.OUR_FAULT:
        say_problems(fault.problems)
        return fault.exit_code
    if isinstance(fault, OSError):
        name = f"'{fault.filename}' could not be read or written" if fault.filename else ""
        what = name or "The result could not be printed"
        todo = OUTCOME.said
        if todo.startswith("Nothing"):
            todo += " Look at the disk's free space and your permissions, and run again."
        say_problems((error(f"{what}: {fault.strerror or fault}", None, todo),))
        _drop_stdout()
        return ExitCode.NOT_WRITTEN
    first = str(fault).partition("\n")[0] if isinstance(fault, KitmakerError) else ""
    say(
        f"kitmaker: a fault in kitmaker itself ({first or type(fault).__name__}); nothing was "
        "written. Run 'kitmaker --debug …' for the details to report.",
        err=True,
    )
    return ExitCode.OUR_FAULT


def _drop_stdout() -> None:
    """Let nothing be printed any more, so that no second fault is told at the very end."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _fill_closed_streams() -> None:
    """Put something where a closed stream was, so that no file is opened in its place.

    What goes to a closed stdout fails there, and is told; what goes to a closed stderr is lost.
    """
    for number, mode in enumerate((os.O_RDONLY, os.O_RDONLY, os.O_WRONLY)):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, mode)  # takes the lowest number that is free, which is this one
    if sys.stdout is None:
        sys.stdout = os.fdopen(1, "w", encoding="utf-8")
    if sys.stderr is None:
        sys.stderr = os.fdopen(2, "w", encoding="utf-8")


def say(words: str, *, err: bool = False) -> None:
    """Say one line; what a workbook's text could do to a screen is left out.

    Args:
        words: The line; line ends, control and direction-turning characters become blanks.
        err: Whether it goes to stderr.
    """
    with suppress(OSError) if err else nullcontext():
        click.echo(_NOT_FOR_A_SCREEN.sub(" ", words), err=err)


def say_problems(problems: Iterable[Problem]) -> None:
    """Say problems on stderr, errors first."""
    for problem in sorted(problems, key=lambda one: not one.is_error):
        say(f"{problem.level.value}: {problem}", err=True)


class Progress:
    """A progress line on a terminal; silent elsewhere.

    While one thing takes long, the line tells every few seconds that work goes on.
    """

    _over = threading.Event()
    _line = threading.Lock()

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()
        self._width = 76 if self._shown else 0
        self._words = ""
        self._since = 0.0
        self._teller: threading.Thread | None = None

    def __call__(self, words: str) -> None:
        """Show what is being worked out, over what was shown before."""
        if not self._shown:
            return
        with self._line:
            self._words, self._since = words, time.monotonic()
            self._show(words)
        if self._teller is None:
            Progress._over.clear()
            self._teller = threading.Thread(target=self._tell_on, daemon=True)
            self._teller.start()

    def _show(self, words: str) -> None:
        shown = _NOT_FOR_A_SCREEN.sub(" ", words)[:76]
        click.echo(f"\r{shown:<{self._width}}", nl=False, err=True)
        self._width = len(shown)

    def _tell_on(self) -> None:
        while not self._over.wait(EVERY):
            with self._line:
                seconds = int(time.monotonic() - self._since)
                if seconds >= EVERY and not self._over.is_set():
                    self._show(f"{self._words[:48]} (still working, {seconds} s)")

    def done(self) -> None:
        """Take the line away."""
        with self._line:
            Progress._over.set()
            self._teller = None
            if self._shown:
                click.echo(f"\r{'':<{self._width}}\r", nl=False, err=True)


class ProgressByLine(Progress):
    """The same; elsewhere a line for what is told before anything else up to its first colon."""

    _said = ""

    def __call__(self, words: str) -> None:
        """Show what is being worked out."""
        which = words.partition(":")[0]
        if not self._shown and which != self._said:
            say(words, err=True)
        self._said = which
        super().__call__(words)

"""Templates: the shipped ones, and a shop's own before them.

A shop's templates are programs of the shop's own. They run in a sandbox that lets them read what
a page is given and nothing else, and that ends them when they go on without end: each turn of a
loop and each call is counted, and so is the text they put together.
"""

from __future__ import annotations

import base64
import hashlib
import traceback
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from jinja2 import nodes
from jinja2.runtime import Context
from jinja2.sandbox import SandboxedEnvironment

from kitmaker.errors import UnreadableError, UsageError
from kitmaker.paper.sheets.saying import printable

_SCRIPT = "partials/ticks.js.j2"
_PACKAGE_DIR = Path(__file__).resolve().parent.parent
_MOST_TURNS = 2_000_000  # turns of loops, and calls, for one page
_MOST_TEXT = 50_000_000  # characters of one text


class EndlessError(jinja2.TemplateError):
    """A template that goes on and on."""


class _Sandbox(SandboxedEnvironment):
    """A sandbox that counts what a template does, page by page."""

    intercepted_binops = frozenset({"*", "**", "+", "%"})
    turns = 0

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        """Let every loop and every joining of texts go through what counts them."""
        tree = super()._parse(source, name, filename)
        for loop in tree.find_all(nodes.For):
            loop.iter = _call("counted", loop.iter, lineno=loop.lineno)
        for joined in list(tree.find_all(nodes.Concat)):
            whole = _call("joined", *joined.nodes, lineno=joined.lineno)
            joined.nodes = [whole]
        return tree

    def counted(self, values: Iterable[Any]) -> Iterator[Any]:
        """Yield the values of a loop, and count its turns."""
        for value in values:
            self._count()
            yield value

    def joined(self, *texts: object) -> object:
        """Return texts as one, within measure."""
        _check_text(sum(len(text) for text in texts if isinstance(text, str)))
        return jinja2.runtime.markup_join(texts)

    def call(self, context: Context, called: Any, *args: Any, **kwargs: Any) -> Any:
        """Call what a template calls, and count it."""
        self._count()
        return super().call(context, called, *args, **kwargs)

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Reckon, within measure."""
        if operator == "*":
            _check_text(_size_of(left) * _size_of(right))
        elif operator == "+":
            _check_text(_size_of(left) + _size_of(right))
        elif operator == "**" or isinstance(left, str):
            raise EndlessError(f"'{operator}' is not for a template to use here")
        return super().call_binop(context, operator, left, right)

    def _count(self) -> None:
        self.turns += 1
        if self.turns > _MOST_TURNS:
            raise EndlessError(
                f"it does not end: {_MOST_TURNS:,} turns of loops and calls are done"
            )


def _call(name: str, *arguments: nodes.Node, lineno: int) -> nodes.Call:
    called = nodes.Call(nodes.EnvironmentAttribute(name), list(arguments), [], None, None)
    called.set_lineno(lineno, override=True)
    return called


def _size_of(value: object) -> int:
    """Return what a value counts for: a text or a list its length, a number itself."""
    if isinstance(value, int | float):
        return max(1, int(abs(value)))
    return len(value) if isinstance(value, str | list | tuple) else 1


def _check_text(length: int) -> None:
    if length > _MOST_TEXT:
        raise EndlessError(f"it makes a text of more than {_MOST_TEXT:,} characters")


def templates_dir() -> Path:
    """Return the folder of shipped templates.

    An installed wheel carries them inside the package; a checkout (an editable install
    included) has them at its top level, beside pyproject.toml.
    """
    installed = _PACKAGE_DIR / "templates"
    return installed if installed.is_dir() else _PACKAGE_DIR.parent / "templates"


def make_environment(templates: Path | None = None) -> jinja2.Environment:
    """Return the environment: everything is escaped, a name that is not there is a fault.

    Raises:
        UsageError: The shop's folder, looked at first, is no folder.
    """
    if templates is None:
        return _shipped()
    if not templates.is_dir():
        raise UsageError(
            f"The templates folder '{templates.name}' is not a folder.",
            "Give the folder that holds your *.html.j2 files.",
        )
    return _environment(_Sandbox, templates, templates_dir())


@cache
def _shipped() -> jinja2.Environment:
    return _environment(jinja2.Environment, templates_dir())


def _environment(kind: type[jinja2.Environment], *folders: Path) -> jinja2.Environment:
    environment = kind(
        loader=jinja2.FileSystemLoader(folders),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalize,
    )
    environment.globals["as_part"] = False
    # a page's policy knows its one script by this digest
    script = _told(_SCRIPT, lambda: environment.get_template(_SCRIPT).render()).encode()
    digest = base64.b64encode(hashlib.sha256(script).digest()).decode("ascii")
    environment.globals["script_digest"] = f"sha256-{digest}"
    return environment


def _finalize(value: object) -> object:
    """Take from every printed text what no paper shows; markup of ours passes."""
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return printable(value)
    return value


def render_template(environment: jinja2.Environment, name: str, view: object, **more: bool) -> str:
    """Return what a template makes of a view.

    Raises:
        UnreadableError: It cannot be read or used, or does not end.
    """
    if isinstance(environment, _Sandbox):
        environment.turns = 0
    return _told(name, lambda: environment.get_template(name).render(page=view, **more))


# What a shop's own template can end in; anything else is a fault of ours.
_TEMPLATE_FAULTS = (
    jinja2.TemplateError,
    ArithmeticError,
    AttributeError,
    LookupError,
    MemoryError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
)


def _told(name: str, render: Callable[[], str]) -> str:
    """Return what a template gives; a mistake in it is told with its place."""
    try:
        return render()
    except jinja2.TemplateSyntaxError as fault:
        message = f"'{fault.name or name}' has a mistake in line {fault.lineno}: {fault.message}"
        raise _unusable(message) from fault
    except _TEMPLATE_FAULTS as fault:
        where = _place_of(fault, name)
        why = "it calls itself without end" if isinstance(fault, RecursionError) else fault
        raise _unusable(f"{where} cannot be used: {why}") from fault


def _place_of(fault: BaseException, name: str) -> str:
    """Say in which template, and in which line of it, a fault arose."""
    frames = [
        frame
        for frame in traceback.extract_tb(fault.__traceback__)
        if frame.filename.endswith(".j2")
    ]
    if not frames:
        return f"'{name}'"
    path = Path(frames[-1].filename)
    inner = f"{path.parent.name}/{path.name}" if path.parent.name == "partials" else path.name
    return f"'{inner}', line {frames[-1].lineno},"


def _unusable(text: str) -> UnreadableError:
    return UnreadableError(
        f"The template {text}.",
        "Fix it, or take it out of the templates folder to use the shipped one.",
    )

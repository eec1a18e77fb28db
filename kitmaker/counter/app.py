"""The addresses of the counter, each with the view that answers it."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from kitmaker.counter import classes, drafts, formtable, home, patterns, plans
from kitmaker.counter.desk import Desk, Head
from kitmaker.counter.guard import LARGEST_BODY, add_headers
from kitmaker.counter.refusals import status_of
from kitmaker.errors import ExitCode, KitmakerError, error
from kitmaker.paper.templating import templates_dir

View = Callable[..., Any]

GET, POST = ("GET",), ("POST",)
ROUTES: tuple[tuple[str, tuple[str, ...], View], ...] = (
    ("/", GET, home.show),
    ("/bring", POST, home.bring),
    ("/paste", POST, home.paste),
    ("/pattern", GET, patterns.show),
    ("/draft", POST, drafts.make),
    ("/draft/settle", POST, drafts.settle),
    ("/forms", GET, formtable.show),
    ("/forms", POST, formtable.work_out),
    ("/class", GET, classes.show),
    ("/class", POST, classes.save),
    ("/class/new", GET, classes.new),
    ("/runs/<name>", GET, plans.show_run),
    ("/runs/<name>/state", GET, plans.run_state),
    ("/runs/<name>/stop", POST, plans.stop_run),
    ("/plans/<plan>/", GET, plans.show_plan),
    ("/plans/<plan>/<name>", GET, plans.send_page),
)
_OWN_FILES = {"counter.css": "text/css", "counter.js": "text/javascript"}


def make_app(desk: Desk) -> Flask:
    """Return the application of a counter."""
    app = Flask("kitmaker.counter", static_folder=None, template_folder=None)
    app.config.update(
        MAX_CONTENT_LENGTH=LARGEST_BODY, MAX_FORM_MEMORY_SIZE=2**21, MAX_FORM_PARTS=5000
    )
    for rule, methods, view in ROUTES:
        app.add_url_rule(
            rule,
            f"{methods[0]} {rule}",
            partial(view, desk),
            methods=list(methods),
            provide_automatic_options=False,
        )
    app.add_url_rule("/own/<name>", "own", _own_file, provide_automatic_options=False)
    app.before_request(partial(_before, desk))
    app.after_request(add_headers)
    app.register_error_handler(Exception, partial(_tell, desk))
    return app


def _before(desk: Desk) -> Response | None:
    """Refuse, or trade the key, or let the view answer."""
    if why := desk.guard.refusal_of(request):
        return _error_page(desk, Head(title="Refused", problems=(error(why),)), 403)
    return desk.guard.trade_key(request)


def _own_file(name: str) -> Response:
    if name not in _OWN_FILES:
        return Response(status=404)
    content = (Path(templates_dir()) / "counter" / name).read_bytes()
    return Response(content, content_type=f"{_OWN_FILES[name]}; charset=utf-8")


def _tell(desk: Desk, fault: Exception) -> Response:
    """Tell in words why something was not done."""
    if isinstance(fault, KitmakerError) and fault.exit_code is not ExitCode.OUR_FAULT:
        head = Head(title="That was not done", problems=fault.problems)
        return _error_page(desk, head, status_of(fault))
    if isinstance(fault, HTTPException):
        status = fault.code or 500
        words = _WORDS.get(status, "This was not understood. Go back and try again.")
        return _error_page(desk, Head(title="That was not done", problems=(error(words),)), status)
    if desk.debug:
        traceback.print_exception(fault)
    said = error(
        f"A fault in kitmaker itself ({type(fault).__name__}); nothing was saved. Go back and "
        "try again, and report it if it happens once more."
    )
    return _error_page(desk, Head(title="That was not done", problems=(said,)), 500)


_WORDS = {
    404: "There is no such page.",
    405: "There is no such page.",
    413: "That is too large: at most 20 MB are taken at once.",
}


def _error_page(desk: Desk, head: Head, status: int) -> Response:
    return Response(desk.render("error", head), status=status)

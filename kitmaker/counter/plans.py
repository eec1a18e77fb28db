"""Work that goes on, and the pages of a plan as they are shown and printed."""

from __future__ import annotations

import json
import re

from flask import Response

from kitmaker.counter.desk import Desk
from kitmaker.counter.guard import HOST
from kitmaker.counter.links import go_to, link
from kitmaker.counter.refusals import MissingError
from kitmaker.counter.runs import Run, State
from kitmaker.counter.tasks import Converted, Failed, Planned
from kitmaker.errors import Problem, error

_KINDS = {
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_OWN_POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^<>]*>')
_BODY = re.compile(r"<body[^<>]*>")


def show_run(desk: Desk, name: str) -> Response | str:
    """Show how far a run is; go on to what it came to."""
    run = _find(desk, name)
    after = _after(desk, run)
    if after:
        return go_to(after)
    return desk.render(
        "run",
        desk.head(_TITLES[run.state], problems=_problems(run)),
        run=run,
        is_running=run.state is State.RUNNING,
    )


_TITLES = {
    State.RUNNING: "Working it out",
    State.DONE: "Done",
    State.FAILED: "It cannot be done yet",
    State.STOPPED: "Stopped",
}


def _find(desk: Desk, name: str) -> Run:
    run = desk.runs.find(name)
    if run is None:
        raise MissingError(
            "That was worked out before the counter was started anew. Plans that were finished "
            "are in the folder."
        )
    return run


def _problems(run: Run) -> tuple[Problem, ...]:
    if run.state is not State.FAILED:
        return ()
    if isinstance(run.result, Failed):
        return run.result.problems
    return (error("A fault in kitmaker itself; nothing was written. Try again, and report it."),)


def _after(desk: Desk, run: Run) -> str:
    """Return where a finished run leads; "" while it goes on, and where it came to nothing."""
    if isinstance(run.result, Planned):
        return link(f"/plans/{run.result.folder}/index.html")
    if isinstance(run.result, Converted):
        desk.keep_forms(run.key, run.result.options)
        return run.back
    return ""


def run_state(desk: Desk, name: str) -> Response:
    """Return how far a run is, for the page's script."""
    run = _find(desk, name)
    data = {
        "running": run.state is State.RUNNING,
        "words": run.words,
        "done": run.done,
        "steps": run.steps,
        "seconds": run.seconds_at_it,
    }
    return Response(json.dumps(data), content_type="application/json")


def stop_run(desk: Desk, name: str) -> Response:
    """Stop a run."""
    _find(desk, name).stop()
    return go_to(f"/runs/{name}")


def show_plan(desk: Desk, plan: str) -> Response:
    """Lead to a plan's first page."""
    desk.folder.find_plan(plan)
    return go_to(link(f"/plans/{plan}/index.html"))


def send_page(desk: Desk, plan: str, name: str) -> Response:
    """Send a file of a plan: a page with the way back, or a workbook to keep."""
    path = desk.folder.find_page(plan, name)
    kind = _KINDS.get(path.suffix, "application/octet-stream")
    if path.suffix != ".html":
        answer = Response(path.read_bytes(), content_type=kind)
        answer.headers["Content-Disposition"] = f'attachment; filename="{path.name}"'
        return answer
    text = _OWN_POLICY.sub("", path.read_text(encoding="utf-8"))
    bar = desk.render("plan_bar", None)
    whole = _BODY.sub(lambda body: body[0] + bar, text, count=1)
    answer = Response(whole, content_type=kind)
    answer.headers["Content-Security-Policy"] = _policy(desk)
    return answer


def _policy(desk: Desk) -> str:
    """Return what a plan's page may do: be shown, and run the one script that kitmaker knows.

    A script by which somebody else's page was changed has another digest, and does not run.
    """
    script = f"http://{HOST}:{desk.guard.port}/own/counter.js"
    return (
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; "
        f"script-src {script} '{desk.script_digest}'; form-action 'none'; base-uri 'none'; "
        "frame-ancestors 'none'"
    )

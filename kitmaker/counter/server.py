"""The counter's server: on the loopback only, until Ctrl-C."""

from __future__ import annotations

import errno
import logging
import signal
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any

import waitress

from kitmaker.counter.app import make_app
from kitmaker.counter.desk import Desk
from kitmaker.counter.folder import Folder
from kitmaker.counter.guard import HOST, LARGEST_BODY, Guard
from kitmaker.errors import UsageError
from kitmaker.paper.one_file import clear_left

_WAIT_FOR_SAVE = 10  # seconds; a save takes well under one


def run_counter(
    folder: Path,
    port: int | None,
    *,
    open_browser: bool,
    say: Callable[[str], None],
    debug: bool = False,
) -> None:
    """Serve a folder until Ctrl-C, which is raised again when all is put away.

    The system chooses a free port when None. What it ``say``s is the address, alone on its
    line; with ``debug`` the terminal shows the details of a fault in kitmaker itself.

    Raises:
        UnreadableError: There is no such folder.
        UsageError: The port is taken, or not free to use.
        KeyboardInterrupt: It was ended.
    """
    desk, server = make_server(folder, port)
    desk.debug = desk.runs.debug = debug
    # That several requests wait for a moment is no news to whoever looks at the terminal.
    logging.getLogger("waitress").setLevel(logging.ERROR)
    _end_by_signals()
    try:
        say(desk.guard.address)
        if open_browser:
            webbrowser.open(desk.guard.address)
        server.run()  # returns on Ctrl-C
    finally:
        desk.runs.close()
        desk.folder.saving.acquire(timeout=_WAIT_FOR_SAVE)
    raise KeyboardInterrupt


def make_server(folder: Path, port: int | None) -> tuple[Desk, Any]:
    """Return a counter over a folder and its server, which listens and answers once it runs.

    Raises:
        UnreadableError: There is no such folder.
        UsageError: The port is taken, or not free to use.
    """
    served = Folder(folder)
    clear_left(served.path)
    listening = _listen(port)
    desk = Desk(served, Guard.new(listening.getsockname()[1]))
    server: Any = waitress.create_server(
        make_app(desk),
        sockets=[listening],
        threads=4,
        max_request_body_size=LARGEST_BODY,
        ident="",
    )
    return desk, server


def _listen(port: int | None) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.bind((HOST, port or 0))
        listening.listen()
    except OSError as fault:
        listening.close()
        taken = fault.errno in (errno.EADDRINUSE, errno.EACCES)
        why = "another program has it" if taken else str(fault.strerror)
        raise UsageError(
            f"Port {port} cannot be used: {why}. Give another --port, or leave it out."
        ) from None
    return listening


def _end_by_signals() -> None:
    """Let a closed terminal and a system that shuts down end it as Ctrl-C does."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.default_int_handler)

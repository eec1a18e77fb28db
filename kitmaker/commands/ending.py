"""How a run ends that did not end by itself: soon, and saying what stands in its folder."""

from __future__ import annotations

import os
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

STOPPED_BY_HAND = 130
"""What a shell sees when Ctrl-C (signal 2) ended a command: 128 + 2, as is common."""
_PATIENCE = 0.5
"""Seconds after Ctrl-C in which Python itself ends a run; a solver at work does not hear it."""


class Outcome:
    """What became of the folder that a run was to write."""

    def __init__(self) -> None:
        """Start with no folder."""
        self._marker: Path | None = None
        self._before: bytes | None = None
        self._written: Path | None = None

    def aims_at(self, marker: Path | None) -> None:
        """Remember what stands there now: the marker is the JSON of the folder's plan."""
        self._marker, self._before, self._written = marker, _content(marker), None

    def wrote(self, folder: Path) -> None:
        """Remember the folder that is written."""
        self._written = folder

    @property
    def said(self) -> str:
        """What stands there: ``The plan is written: 'my-class'.``; "" where nothing was begun."""
        if self._written is not None:
            return f"All files were written before that, into '{self._written}'."
        if self._marker is None:
            return ""
        now = _content(self._marker)
        if now is None:
            return "Nothing was written."
        folder = self._marker.parent
        if now == self._before:
            return f"The old plan in '{folder}' still stands as it was."
        return f"The new plan is in '{folder}', whole."


def _content(marker: Path | None) -> bytes | None:
    if marker is not None:
        with suppress(OSError):
            return marker.read_bytes()
    return None


@contextmanager
def stops_soon(say_end: Callable[[], None]) -> Iterator[None]:
    """Let Ctrl-C end what is done here within a second, in the middle of a solver too.

    Python raises KeyboardInterrupt between two of its own steps only. Where it has not done so
    within half a second, a watcher says how the run ends and ends it; nothing is written then,
    as files are written by Python.

    Args:
        say_end: Says on stderr how the run ended.
    """
    is_ours = threading.current_thread() is threading.main_thread()
    if not is_ours or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    heard = threading.Event()

    def hear(number: int, frame: FrameType | None) -> None:
        heard.set()
        signal.default_int_handler(number, frame)

    here, there = socket.socketpair()
    there.setblocking(False)

    def watch() -> None:
        while got := here.recv(1):
            if got[0] == signal.SIGINT and not heard.wait(_PATIENCE):
                say_end()
                os._exit(STOPPED_BY_HAND)

    before = signal.set_wakeup_fd(there.fileno(), warn_on_full_buffer=False)
    signal.signal(signal.SIGINT, hear)
    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        signal.set_wakeup_fd(before)
        there.close()
        watcher.join()
        here.close()

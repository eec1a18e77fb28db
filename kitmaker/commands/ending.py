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
    """What became of the folder, or of the file, that a run was to write."""

    def __init__(self) -> None:
        """Start with none."""
        self.aims_at(None)

    def aims_at(self, path: Path | None) -> None:
        """Remember what stands there before it is written."""
        self._path, self._before, self._serves = path, _standing(path), False

    def serves(self, folder: Path) -> None:
        """Remember a folder in which others save for as long as the run lasts."""
        self._path, self._serves = folder, True

    @property
    def said(self) -> str:
        """What stands there: ``The old plan in 'my-class' still stands as it was.``."""
        path, now = self._path, _standing(self._path)
        if self._serves:
            return f"What was saved is in '{path}'."
        if path is None or now is None:
            return "Nothing was written."
        if now == self._before:
            old = "The old plan" if (path / "plan.json").exists() else "What was"
            return f"{old} in '{path}' still stands as it was."
        if path.is_dir():
            return f"All files were written before that, into '{path}'."
        return f"'{path}' was written before that."


def _standing(path: Path | None) -> object:
    """Return what tells a folder of ours, or a file, from the one written after it."""
    if path is None:
        return None
    with suppress(OSError):
        markers = sorted(path.glob("*.json")) if path.is_dir() else [path]
        return [
            (marker.name, marker.stat().st_ino, marker.stat().st_mtime_ns) for marker in markers
        ] or None
    return None


OUTCOME = Outcome()
"""Of the command at work."""


@contextmanager
def stops_soon(say_end: Callable[[], None]) -> Iterator[None]:
    """Let Ctrl-C end what is done here within a second, in the middle of a solver too.

    Python raises KeyboardInterrupt between two of its own steps only. Where it has not done so
    within half a second, a watcher says how the run ends and ends it; nothing is written then,
    as files are written by Python.
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

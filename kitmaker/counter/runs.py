"""Long work in processes of their own: started, followed, stopped, and ended with the counter."""

from __future__ import annotations

import pickle
import secrets
import subprocess
import sys
import threading
import time
from collections import OrderedDict
from collections.abc import Hashable
from contextlib import suppress
from enum import StrEnum

from kitmaker.counter.tasks import Beat, Converted, Failed, Planned, Said, Task
from kitmaker.errors import UsageError

_KEPT = 50
"""How many runs are remembered; older ones that have ended are forgotten."""
_PATIENCE = 10  # seconds that a run has for finishing the folder it is writing


class State(StrEnum):
    """How far a run is."""

    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    STOPPED = "stopped"


class Run:
    """One piece of long work.

    Attributes:
        name: By which it is asked for.
        title: What is worked on, in words.
        back: Where to go on when it is stopped or cannot be done.
        steps: About how many things it will say.
        key: By which its result is remembered; None where it lies in the folder.
        result: What it came to; None until then.
    """

    def __init__(
        self, task: Task, *, title: str, back: str, steps: int, key: Hashable, debug: bool = False
    ) -> None:
        """Start the work."""
        self.name, self.task, self.key = secrets.token_hex(6), task, key
        self.title, self.back, self.steps = title, back, max(1, steps)
        self.result: Planned | Converted | Failed | None = None
        self._said: OrderedDict[str, float] = OrderedDict()
        self._stopping = False
        self._begun = self._beaten = time.monotonic()
        self._process = subprocess.Popen(
            # -P: a file in the folder that is served is never taken for a module
            [sys.executable, "-P", "-m", "kitmaker.counter.worker"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=None if debug else subprocess.DEVNULL,
            start_new_session=True,  # Ctrl-C in the terminal is for the counter to act on
        )
        if self._process.stdin is not None:
            pickle.dump(task, self._process.stdin)
            self._process.stdin.flush()
        self._follower = threading.Thread(target=self._follow, daemon=True)
        self._follower.start()

    def _follow(self) -> None:
        stream = self._process.stdout
        with suppress(EOFError, OSError, pickle.UnpicklingError):
            while stream is not None:
                told = pickle.load(stream)  # noqa: S301  # from our own process
                self._beaten = time.monotonic()
                if isinstance(told, Said):
                    self._said.setdefault(told.words, self._beaten)
                elif not isinstance(told, Beat):
                    self.result = told
                    break
        self._close()
        self._process.wait()
        if stream is not None:
            stream.close()

    @property
    def state(self) -> State:
        """How far it is."""
        if isinstance(self.result, Failed):
            return State.FAILED
        if self.result is not None:
            return State.DONE
        if self._follower.is_alive():
            return State.RUNNING
        return State.STOPPED if self._stopping else State.FAILED

    @property
    def words(self) -> str:
        """What is being worked out."""
        return next(reversed(self._said), "reading the workbooks")

    @property
    def done(self) -> int:
        """How many of its steps are behind it; never all of them while it runs."""
        return min(len(self._said), self.steps - 1)

    @property
    def seconds_at_it(self) -> int:
        """Seconds since it said what it is at, as long as its heart beats."""
        begun = next(reversed(self._said.values()), self._begun)
        return max(0, int(self._beaten - begun))

    def stop(self) -> None:
        """Stop it; a folder that is being written is finished."""
        self._stopping = True
        self._close()
        self._follower.join(_PATIENCE)

    def _close(self) -> None:
        with suppress(OSError):
            if self._process.stdin is not None:
                self._process.stdin.close()


class Runs:
    """The runs of a counter; one at a time, so that a shop's computer stays usable."""

    def __init__(self) -> None:
        """Begin without any."""
        self.debug = False
        self._runs: OrderedDict[str, Run] = OrderedDict()
        self._starting = threading.Lock()
        self._closed = False

    def start(self, task: Task, *, title: str, back: str, steps: int, key: Hashable = None) -> Run:
        """Start a run, or return the one that does the same already.

        Raises:
            UsageError: Something else is being worked out.
        """
        with self._starting:
            running = self.running()
            if running is not None and running.task == task:
                return running
            if running is not None or self._closed:
                raise UsageError(
                    "Something else is being worked out just now. Wait for it, or stop it first."
                )
            run = Run(task, title=title, back=back, steps=steps, key=key, debug=self.debug)
            self._runs[run.name] = run
            while len(self._runs) > _KEPT:
                self._runs.popitem(last=False)
            return run

    def running(self) -> Run | None:
        """Return the run that is being worked out; None where none is."""
        return next((run for run in self._runs.values() if run.state is State.RUNNING), None)

    def find(self, name: str) -> Run | None:
        """Return a run; None where there is none of that name."""
        return self._runs.get(name)

    def close(self) -> None:
        """Stop what runs, and start nothing more."""
        with self._starting:
            self._closed = True
        running = self.running()
        if running is not None:
            running.stop()

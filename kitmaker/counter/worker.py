"""The process that does one piece of long work: ``python -m kitmaker.counter.worker``.

It reads its task from standard input and tells how it goes on standard output. Standard input
stays open for as long as it is wanted: when it closes, because the work was stopped or because
whoever started it is gone, however that ended, the process ends at once. Only a folder that is
being written is finished and told of first, so that nothing half-written is left.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from typing import BinaryIO

from kitmaker.counter.tasks import (
    Beat,
    Converted,
    Failed,
    FormsTask,
    Planned,
    PlanTask,
    Said,
    Task,
    Told,
)
from kitmaker.errors import KitmakerError, error

STOPPED = 3
_HEARTBEAT = 1.0  # seconds


class _Line:
    """The line to whoever started this process."""

    def __init__(self, tell: BinaryIO, hear: int) -> None:
        self._tell, self._hear = tell, hear
        self._telling = threading.Lock()
        self.writing = threading.RLock()

    def say(self, told: Told) -> None:
        try:
            with self._telling:
                pickle.dump(told, self._tell)
                self._tell.flush()
        except OSError:  # nobody is there any more
            self._end()

    def watch(self) -> None:
        """End the process when the other end is closed."""
        os.read(self._hear, 1)
        self._end()

    def _end(self) -> None:
        """End the process, but never in the middle of a write."""
        with self.writing:
            os._exit(STOPPED)

    def beat(self) -> None:
        pause = threading.Event()
        while not pause.wait(_HEARTBEAT):
            self.say(Beat())


def main() -> None:
    """Do what standard input asks for, and tell how it goes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # What a library might print must not come between: only the line has standard output.
    tell = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    task: Task = pickle.load(sys.stdin.buffer)  # noqa: S301  # from whoever started this process
    line = _Line(tell, sys.stdin.fileno())
    for work in (line.watch, line.beat):
        threading.Thread(target=work, daemon=True).start()
    try:
        last = _plan(task, line) if isinstance(task, PlanTask) else _convert(task, line)
    except KitmakerError as fault:
        last = Failed(fault.problems)
    except OSError as fault:
        last = Failed((error(f"A file could not be read or written: {fault.strerror}."),))
    line.say(last)
    os._exit(0)


def _plan(task: PlanTask, line: _Line) -> Told:
    from kitmaker.commands.inputs import read_inputs
    from kitmaker.commands.plan import make_plan, write_plan
    from kitmaker.kits.choices import Options
    from kitmaker.paper.folder import safe_folder_name

    inputs = read_inputs(None, shop=task.shop, class_file=task.class_file)
    finished = make_plan(
        inputs,
        Options(asked_by="the counter"),
        leave_out_unread=task.leave_out_unread,
        progress=lambda words: line.say(Said(words)),
    )
    plan = finished.plan
    folder = task.class_file.parent / safe_folder_name(plan.pattern.name, plan.number)
    line.writing.acquire()  # to the end, so that what stands in the folder is told as well
    write_plan(finished, folder)
    return Planned(folder.name)


def _convert(task: FormsTask, line: _Line) -> Told:
    from kitmaker import api
    from kitmaker.commands.inputs import read_inputs

    inputs = read_inputs(task.pattern, size=task.size, shop=task.shop)
    options = api.convert(inputs.reading, inputs.shop, progress=lambda words: line.say(Said(words)))
    return Converted(options)


if __name__ == "__main__":
    main()

"""Work shared with a second process, where there is a processor for it.

The other process gets every second thing and sends back what came of it. Whatever ends it early
(or cannot be sent) is no harm: its things are then worked off here.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from multiprocessing import Pipe, Process
from multiprocessing.connection import Connection
from typing import TypeVar

Thing = TypeVar("Thing")
Made = TypeVar("Made")

FEWEST = 3
"""With fewer things no second process is begun: it takes half a second until it works."""


def in_halves(work: Callable[[Thing], Made], things: Iterable[Thing]) -> Iterator[Made]:
    """Yield what work makes of each thing, in order, half of it made by a second process.

    The work is a function that can be pickled and changes nothing.
    """
    waiting = list(things)
    if len(waiting) < FEWEST or _processors() < 2:
        yield from map(work, waiting)
        return
    here, there = Pipe(duplex=False)
    other = Process(target=_work_off, args=(work, waiting[1::2], there), daemon=True)
    other.start()
    there.close()
    try:
        for at, thing in enumerate(waiting):
            yield _received(here, work, thing) if at % 2 else work(thing)
    finally:
        other.terminate()
        other.join()
        here.close()


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _work_off(work: Callable[[Thing], Made], things: list[Thing], there: Connection) -> None:
    """Work things off in the other process; Ctrl-C is for the first one, which ends this one.

    A fault is not told from here: it comes up again where the rest is worked off.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(Exception):
        for thing in things:
            there.send(work(thing))


def _received(here: Connection, work: Callable[[Thing], Made], thing: Thing) -> Made:
    try:
        made: Made = here.recv()
    except (EOFError, OSError):
        return work(thing)
    return made

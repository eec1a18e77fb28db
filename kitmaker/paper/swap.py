"""A new folder takes an old one's place, in one step where the system has such a step.

Linux and macOS can exchange two names at once: whoever looks, and whenever a run is ended,
finds the old folder or the new one, never none and never half of one. Elsewhere the old
folder is put aside first; what a run that was ended in between left behind is put back by
the next one.

A run works in a *room*, a hidden folder beside the target that it holds locked while it
lives. A room that nobody holds was left by a run that was ended, and is cleared away.
"""

from __future__ import annotations

import ctypes
import errno
import hashlib
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_AT_FDCWD = {"linux": -100, "darwin": -2}
_TRIES = 20
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux and RENAME_SWAP of macOS
_CALL = {"linux": "renameat2", "darwin": "renameatx_np"}


@contextmanager
def working_room(target: Path) -> Iterator[Path]:
    """Give a locked folder beside the target to write in; it is gone afterwards.

    Args:
        target: The folder to be written.

    Yields:
        The room. An ``old`` in it is the target's former folder, kept if the target is gone.
    """
    room, lock = _new_room(target)
    try:
        yield room
    finally:
        # What is left in there is of no use (the plan replaced, or one half-written), unless
        # the old plan could be put aside but not put back: that must not be lost.
        if target.exists() or not (room / "old").exists():
            shutil.rmtree(room, ignore_errors=True)
        if lock is not None:
            os.close(lock)


def put_in_place(fresh: Path, target: Path, aside: Path) -> None:
    """Put the fresh folder in the target's place; the old one is back when that fails.

    Args:
        fresh: The new folder, whole.
        target: Where it goes.
        aside: Where the old one may lie meanwhile.

    Raises:
        OSError: It could not be done; the target is as it was.
    """
    if not target.exists():
        try:
            fresh.rename(target)
        except OSError:
            if not target.exists():  # otherwise another run was faster
                raise
        else:
            return
    if _exchange(fresh, target):
        return
    target.rename(aside)
    try:
        fresh.rename(target)
    except BaseException:
        aside.rename(target)
        raise


def put_back(target: Path) -> None:
    """Clear away what runs that were ended left; put an old folder back that they took.

    Args:
        target: The folder that those runs were writing.
    """
    if sys.platform == "win32":
        return
    for room in target.parent.glob(f"{_prefix(target)}*"):
        with suppress(OSError):
            lock = os.open(room, os.O_RDONLY)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if (room / "old").is_dir() and not target.exists():
                    (room / "old").rename(target)
                shutil.rmtree(room, ignore_errors=True)
            finally:
                os.close(lock)


def _exchange(one: Path, other: Path) -> bool:
    """Let two folders change their names at once; False where the system cannot."""
    if sys.platform not in _CALL:
        return False
    try:
        call = getattr(ctypes.CDLL(None), _CALL[sys.platform])
    except (AttributeError, OSError):
        return False
    here = _AT_FDCWD[sys.platform]
    return bool(call(here, os.fsencode(one), here, os.fsencode(other), _EXCHANGE) == 0)


def _prefix(target: Path) -> str:
    return f".kitmaker-{hashlib.sha256(os.fsencode(target.name)).hexdigest()[:8]}-"


def _new_room(target: Path) -> tuple[Path, int | None]:
    """Make a room and lock it for as long as this run lives.

    Another run may take it for a left one in the moment before it is locked: then another
    one is made. None for the lock where rooms cannot be locked.
    """
    for _ in range(_TRIES):
        room = Path(tempfile.mkdtemp(prefix=_prefix(target), dir=target.parent))
        if sys.platform == "win32":
            return room, None
        with suppress(FileNotFoundError, BlockingIOError):
            lock = os.open(room, os.O_RDONLY)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                os.close(lock)
                raise
            except OSError:  # a file system without locks: nobody clears rooms there
                os.close(lock)
                return room, None
            if room.exists():
                return room, lock
            os.close(lock)
    raise OSError(errno.EBUSY, "other runs are writing there", str(target))

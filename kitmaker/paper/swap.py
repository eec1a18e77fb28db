"""A new folder takes an old one's place, in one step where the system has such a step.

Linux and macOS can exchange two names at once: whoever looks, and whenever a run is ended,
finds the old folder or the new one, never none and never half of one. Elsewhere the old
folder is put aside first; what a run that was ended in between left behind is put back by
the next one.

A folder that must stay the very one it is (where a disk is mounted, where the user stands,
whose parent nobody may write to, or an empty one) keeps its place: its files are exchanged
one by one, and put back when that fails, at the latest by the next run.

A run works in a *room*, a hidden folder beside the target (or in it, where the target stays)
that it holds locked while it lives. A room that nobody holds was left by a run that was
ended, and is cleared away.
"""

from __future__ import annotations

import ctypes
import errno
import hashlib
import json
import os
import shutil
import stat
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_AT_FDCWD = {"linux": -100, "darwin": -2}
_TRIES = 20
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux and RENAME_SWAP of macOS
_CALL = {"linux": "renameat2", "darwin": "renameatx_np"}


@contextmanager
def working_room(target: Path, *, inside: bool = False) -> Iterator[Path]:
    """Give a locked folder to write in, beside the target or inside; it is gone afterwards.

    An ``old`` in it is the target's former folder, kept if the target is gone.
    """
    room, lock = _new_room(target, target if inside else target.parent)
    try:
        yield room
    finally:
        # What is left in there is of no use (the plan replaced, or one half-written), unless
        # the old plan could be put aside but not put back: that must not be lost.
        lost = (room / _UNDER_WAY).exists() or (not target.exists() and (room / "old").exists())
        if not lost:
            shutil.rmtree(room, ignore_errors=True)
        if lock is not None:
            os.close(lock)


def put_in_place(fresh: Path, target: Path, aside: Path) -> None:
    """Put the fresh folder in the target's place; the old one is back when that fails.

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
    """Clear away what runs that were ended left; put an old folder back that they took."""
    if sys.platform == "win32":
        return
    any_room = f"{room_prefix(target)}*"
    for room in (*target.parent.glob(any_room), *target.glob(any_room)):
        with suppress(OSError):
            lock = os.open(room, os.O_RDONLY)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if (room / _UNDER_WAY).exists():
                    _put_files_back(room, target)
                elif (room / "old").is_dir() and not target.exists():
                    (room / "old").rename(target)
                shutil.rmtree(room, ignore_errors=True)
            finally:
                os.close(lock)


_UNDER_WAY = "under-way.json"  # in a room while files are being exchanged: the new ones' names


def must_stay(target: Path) -> bool:
    """Tell whether a folder must stay the very one it is, so that only its files may change."""
    if not target.is_dir():
        return False
    with suppress(OSError):
        if Path.cwd() == target:
            return True
    return target.is_mount() or not os.access(target.parent, os.W_OK) or not any(target.iterdir())


def make_alike(fresh: Path, target: Path) -> None:
    """Give a new folder the mode and the group of the one whose place it takes."""
    kept = target.stat()
    if sys.platform != "win32":
        with suppress(OSError):  # of a group that the user is not in
            os.chown(fresh, -1, kept.st_gid)
    fresh.chmod(stat.S_IMODE(kept.st_mode) | stat.S_IRWXU)


def exchange_files(room: Path, target: Path, old: Sequence[str]) -> None:
    """Put the files of a room's ``new`` into the target; the old ones are back if that fails.

    Raises:
        OSError: It could not be done; the target is as it was.
    """
    new, aside, under_way = room / "new", room / "old", room / _UNDER_WAY
    names = sorted(file.name for file in new.iterdir())
    try:
        under_way.write_text(json.dumps(names), encoding="utf-8")
        aside.mkdir()
        for name in old:
            (target / name).rename(aside / name)
        for name in names:
            (new / name).rename(target / name)
        under_way.unlink()
    except BaseException:
        _put_files_back(room, target)
        raise


def _put_files_back(room: Path, target: Path) -> None:
    """Undo an exchange of files that was begun."""
    aside, under_way = room / "old", room / _UNDER_WAY
    try:
        names = json.loads(under_way.read_text(encoding="utf-8"))
    except (OSError, ValueError):  # ended before it was written: no file was touched yet
        names = []
    for name in names:
        if not (room / "new" / name).exists():
            (target / name).unlink(missing_ok=True)
    for kept in aside.glob("*"):
        kept.replace(target / kept.name)
    under_way.unlink(missing_ok=True)


def _exchange(path: Path, other: Path) -> bool:
    """Let two folders change their names at once; False where the system cannot."""
    if sys.platform not in _CALL:
        return False
    try:
        call = getattr(ctypes.CDLL(None), _CALL[sys.platform])
    except (AttributeError, OSError):
        return False
    here = _AT_FDCWD[sys.platform]
    return bool(call(here, os.fsencode(path), here, os.fsencode(other), _EXCHANGE) == 0)


def room_prefix(target: Path) -> str:
    """Return how the names of the rooms of a folder begin."""
    return f".kitmaker-{hashlib.sha256(os.fsencode(target.name)).hexdigest()[:8]}-"


def _new_room(target: Path, parent: Path) -> tuple[Path, int | None]:
    """Make a room and lock it for as long as this run lives.

    Another run may take it for a left one in the moment before it is locked: then another
    one is made. None for the lock where rooms cannot be locked.
    """
    for _ in range(_TRIES):
        room = Path(tempfile.mkdtemp(prefix=room_prefix(target), dir=parent))
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

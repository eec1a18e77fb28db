"""Why the counter does not do what it was asked, each with the status its answer bears."""

from __future__ import annotations

from kitmaker.errors import (
    CannotBeMetError,
    KitmakerError,
    OutputError,
    UnreadableError,
    UsageError,
)


class OutsideError(UsageError):
    """What was named does not lie in the folder."""


class MissingError(UnreadableError):
    """There is nothing of that name in the folder."""


class LockedError(OutputError):
    """A spreadsheet program has the file open."""


def status_of(fault: KitmakerError) -> int:
    """Return the status of the answer that tells a fault."""
    from kitmaker.errors import ChangedError

    known: tuple[tuple[type[KitmakerError], int], ...] = (
        (OutsideError, 403),
        (MissingError, 404),
        (ChangedError, 409),
        (LockedError, 423),
        (OutputError, 403),
        (CannotBeMetError, 422),
        (UnreadableError, 422),
        (UsageError, 422),
    )
    return next((status for kind, status in known if isinstance(fault, kind)), 500)

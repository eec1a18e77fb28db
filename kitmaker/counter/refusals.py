"""Why the counter does not do what it was asked, each with the status its answer bears."""

from __future__ import annotations

from kitmaker.errors import (
    CannotBeMetError,
    ChangedError,
    KitmakerError,
    OpenElsewhereError,
    OutputError,
    UnreadableError,
    UsageError,
)


class OutsideError(UsageError):
    """What was named does not lie in the folder."""


class MissingError(UnreadableError):
    """There is nothing of that name in the folder."""


def status_of(fault: KitmakerError) -> int:
    """Return the status of the answer that tells a fault."""
    return next((_STATUS[kind] for kind in type(fault).__mro__ if kind in _STATUS), 500)


_STATUS: dict[type, int] = {
    OutsideError: 403,
    MissingError: 404,
    ChangedError: 409,
    OpenElsewhereError: 423,
    OutputError: 403,
    CannotBeMetError: 422,
    UnreadableError: 422,
    UsageError: 422,
}

"""kitmaker: turn a quilt pattern's fabric requirements into a shop's kits.

The commands' work from Python: ``import kitmaker as km``. Nothing is loaded until it is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from kitmaker.api import (
        Breakdown,
        CannotBeMetError,
        ChangedError,
        ClassReading,
        Draft,
        KitmakerError,
        KitPlan,
        MeasuredReading,
        OutputError,
        PatternReading,
        Season,
        ShopReading,
        StashReading,
        UnreadableError,
        UsageError,
        breakdown,
        convert,
        draft,
        frames,
        plan,
        read_class,
        read_cloth,
        read_measured,
        read_pattern,
        read_shop,
        season,
        settle_draft,
        write,
        write_class,
        write_draft,
    )

__all__ = [
    "Breakdown",
    "CannotBeMetError",
    "ChangedError",
    "ClassReading",
    "Draft",
    "KitPlan",
    "KitmakerError",
    "MeasuredReading",
    "OutputError",
    "PatternReading",
    "Season",
    "ShopReading",
    "StashReading",
    "UnreadableError",
    "UsageError",
    "breakdown",
    "convert",
    "draft",
    "frames",
    "plan",
    "read_class",
    "read_cloth",
    "read_measured",
    "read_pattern",
    "read_shop",
    "season",
    "settle_draft",
    "write",
    "write_class",
    "write_draft",
]


def __getattr__(name: str) -> object:
    """Load what is asked for by its name."""
    if name not in __all__:
        raise AttributeError(f"module 'kitmaker' has no attribute '{name}'")
    from kitmaker import api

    return getattr(api, name)


def __dir__() -> list[str]:
    """Return what there is, loaded or not."""
    return sorted({*globals(), *__all__})

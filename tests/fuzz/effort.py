"""How many examples a fuzz test looks at: its own number in the suite, many more when asked."""

from __future__ import annotations

import os

from hypothesis import settings

IS_DEEP = os.environ.get("KITMAKER_FUZZ") == "deep"


def looks(examples: int) -> settings:
    """Return settings of a number of examples; the deep profile's own number when asked."""
    return settings() if IS_DEEP else settings(max_examples=examples)

"""How long the fuzz tests look: quickly in the suite, deeply when asked.

``KITMAKER_FUZZ=deep pytest tests/fuzz`` looks at many more examples, new ones each time.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

_SLOW_IS_FINE = (
    HealthCheck.too_slow,
    HealthCheck.data_too_large,
    HealthCheck.function_scoped_fixture,
)

settings.register_profile(
    "quick",
    max_examples=4,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=_SLOW_IS_FINE,
)
settings.register_profile(
    "deep",
    max_examples=1500,
    deadline=None,
    print_blob=True,
    suppress_health_check=_SLOW_IS_FINE,
)
settings.load_profile(os.environ.get("KITMAKER_FUZZ", "quick"))

"""Problems as data, the same in every JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from kitmaker.errors import Problem


def problems_json(problems: Iterable[Problem]) -> list[dict[str, object]]:
    """Return problems as a list of objects with level, where, message and suggestion.

    Where words have several honest readings, ``readings`` lists them as they could be typed.
    """
    return [
        {
            "level": problem.level.value,
            "where": problem.location.address if problem.location is not None else "",
            "message": problem.message,
            "suggestion": problem.suggestion,
            **({"readings": list(problem.readings)} if problem.readings else {}),
        }
        for problem in problems
    ]


def dump(data: Mapping[str, object]) -> str:
    """Return one JSON text, the same bytes for the same data."""
    return json.dumps(data, ensure_ascii=False, indent=1) + "\n"

"""The stamp of a written JSON: which files came with it, and a digest of all it says.

The digest shows a file that was changed by hand, or damaged, since it was written. That is
damage control and no seal: whoever wants to can work out the digest of a changed file.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any

from kitmaker.paper.problem_json import dump

_FILES, _DIGEST = "files", "digest"


def stamped(data: Mapping[str, object], files: Iterable[str]) -> str:
    """Return data as one JSON text that ends with its stamp.

    Args:
        data: What is written.
        files: The names of all files written into the folder with it, its own among them.
    """
    marked = {**data, _FILES: sorted(files)}
    return dump({**marked, _DIGEST: _digest_of(marked)})


def files_of(data: Any) -> frozenset[str] | None:
    """Return the files that were written with data; None where its stamp does not hold.

    Args:
        data: A parsed JSON of any kind, from anywhere.
    """
    if not isinstance(data, dict) or data.get(_DIGEST) != _digest_of(
        {name: value for name, value in data.items() if name != _DIGEST}
    ):
        return None
    files = data.get(_FILES)
    if not isinstance(files, list) or not all(isinstance(name, str) for name in files):
        return None
    return frozenset(files)


def _digest_of(data: Mapping[str, object]) -> str:
    """Return the digest of data in a form that spaces and the order of fields do not change."""
    text = json.dumps(data, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()

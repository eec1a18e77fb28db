"""The stamp of a written JSON: which files came with it, a digest of each and of all it says.

The digest shows a file that was changed by hand, or damaged, since it was written. That is
damage control and no seal: whoever wants to can work out the digest of a changed file.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kitmaker.paper.problem_json import dump

_FILES, _DIGESTS, _DIGEST = "files", "digests", "digest"
_NONE: Mapping[str, bytes] = MappingProxyType({})


def stamped(
    data: Mapping[str, object], files: Iterable[str], contents: Mapping[str, bytes] = _NONE
) -> str:
    """Return data as one JSON text that ends with its stamp.

    Args:
        data: What is written.
        files: The names of all files written into the folder with it, its own among them.
        contents: What the others hold, so that it can be seen whether they were changed since.
    """
    digests = {name: _digest(content) for name, content in sorted(contents.items())}
    marked = {**data, _FILES: sorted(files), _DIGESTS: digests}
    return dump({**marked, _DIGEST: _digest_of(marked)})


def files_of(data: Any) -> frozenset[str] | None:
    """Return the files that were written with some data; None if its stamp does not hold."""
    if not isinstance(data, dict) or data.get(_DIGEST) != _digest_of(
        {name: value for name, value in data.items() if name != _DIGEST}
    ):
        return None
    files = data.get(_FILES)
    if not isinstance(files, list) or not all(isinstance(name, str) for name in files):
        return None
    return frozenset(files)


def files_changed(folder: Path, data: Mapping[str, object]) -> list[str]:
    """Return the files of a folder that are there and not as they were written with data.

    Raises:
        OSError: A file cannot be read.
    """
    digests = data.get(_DIGESTS)
    known = digests if isinstance(digests, dict) else {}
    there = [name for name in sorted(known) if (folder / name).is_file()]
    return [name for name in there if _digest((folder / name).read_bytes()) != known[name]]


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]


def _digest_of(data: Mapping[str, object]) -> str:
    """Return the digest of data in a form that spaces and the order of fields do not change."""
    text = json.dumps(data, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()

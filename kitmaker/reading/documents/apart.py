"""Reading a hostile page in a process of its own: bounded in time and memory, whatever it holds.

A page of a few kilobytes can unpack to gigabytes, or name itself as its own part. The process
that reads it may use so much memory and so many seconds; then it is ended, and the file is
refused in one line.
"""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from kitmaker.errors import UnreadableError
from kitmaker.reading.documents.lines import PageRow, Segment

MOST_SECONDS = 20
MOST_MEMORY = 1_200 * 2**20
"""Of the process that reads; a page of a pattern takes about a tenth of a second."""


def rows_apart(name: str, path: Path) -> list[list[PageRow]]:
    """Return the rows of a .pdf's pages, read in a process of its own.

    Raises:
        UnreadableError: It cannot be read, or takes too long or too much memory.
    """
    asked = json.dumps({"name": name, "path": str(path.resolve())})
    try:
        done = subprocess.run(  # noqa: S603  # our own module, no shell
            # -P: a file in the folder one works in is never taken for a module
            [sys.executable, "-P", "-m", __name__],
            input=asked,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=MOST_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _too_much(name) from None
    try:
        told: dict[str, Any] = json.loads(done.stdout)
    except ValueError:
        raise _too_much(name) from None
    if "refused" in told:
        raise UnreadableError(str(told["refused"]))
    return [
        [PageRow(tuple(Segment(**one) for one in row["segments"]), row["top"]) for row in page]
        for page in told["pages"]
    ]


def _too_much(name: str) -> UnreadableError:
    return UnreadableError(
        f"'{name}' takes more time or memory than a pattern needs. Print the pages with the "
        "amounts and the cuts to a new .pdf and use that."
    )


def _damaged(name: str) -> str:
    return f"'{name}' is damaged or not a .pdf. Open it and print it to a new .pdf."


def _bound_memory() -> None:
    try:
        import resource
    except ImportError:  # Windows has no such bound; the time is bounded there too
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))


def _answer(asked: dict[str, str]) -> dict[str, Any]:
    import logging

    logging.disable(logging.CRITICAL)
    from kitmaker.reading.documents.pdf import read_pdf_rows

    name = asked["name"]
    try:
        pages = read_pdf_rows(name, Path(asked["path"]).read_bytes())
    except UnreadableError as fault:
        return {"refused": fault.problems[0].message}
    except MemoryError:
        return {"refused": _too_much(name).problems[0].message}
    except Exception:  # noqa: BLE001  # whatever a parser makes of a damaged file
        return {"refused": _damaged(name)}
    return {"pages": [[asdict(row) for row in page] for page in pages]}


if __name__ == "__main__":
    _bound_memory()
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.write(json.dumps(_answer(json.loads(sys.stdin.buffer.read().decode("utf-8")))))

"""The real command in a process of its own: how it ends, how long it takes, what it needs."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

MOST_SECONDS = 120  # a guard against hanging, generous for a busy machine
MOST_MEBIBYTES = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a run ended.

    Attributes:
        code: The exit code; negative where a signal ended it.
        stdout: What it printed.
        stderr: What it said.
        seconds: How long it took.
        mebibytes: The most memory it held.
    """

    code: int
    stdout: str
    stderr: str
    seconds: float
    mebibytes: float

    @property
    def lines(self) -> list[str]:
        """The lines said on stderr."""
        return self.stderr.splitlines()


def start(
    *words: object,
    cwd: Path,
    logs: Path,
    env: Mapping[str, str] | None = None,
    before: Callable[[], None] | None = None,
    code: str | None = None,
) -> subprocess.Popen[bytes]:
    """Start kitmaker in a folder; its streams go to two files in ``logs``.

    ``code`` runs in the new process before the command, to trip it at a point.
    """
    entry = [
        "-c",
        f"{code}\nfrom kitmaker.cli import main\nmain(prog_name='kitmaker')",
    ]
    args = [sys.executable, *(entry if code else ["-m", "kitmaker"]), *(str(one) for one in words)]
    logs.mkdir(exist_ok=True)
    with (logs / "stdout").open("wb") as out, (logs / "stderr").open("wb") as err:
        return subprocess.Popen(
            args,
            cwd=cwd,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=err,
            # on a disk that is full, a module would be kept compiled in part
            env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1", **(env or {})},
            preexec_fn=before,
        )


def finish(process: subprocess.Popen[bytes], logs: Path, since: float) -> Ended:
    """Wait for a process and say how it ended."""
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    return Ended(
        code=process.returncode,
        stdout=(logs / "stdout").read_text(encoding="utf-8"),
        stderr=(logs / "stderr").read_text(encoding="utf-8"),
        seconds=time.monotonic() - since,
        mebibytes=usage.ru_maxrss / 1024,
    )


def run(
    *words: object,
    cwd: Path,
    logs: Path,
    env: Mapping[str, str] | None = None,
    before: Callable[[], None] | None = None,
    code: str | None = None,
) -> Ended:
    """Run kitmaker to its end, or for a minute of computing at the most."""
    since = time.monotonic()
    process = start(
        *words, cwd=cwd, logs=logs, env=env, before=before or _a_minute_at_most, code=code
    )
    return finish(process, logs, since)


def _a_minute_at_most() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_CPU, (60, 60))

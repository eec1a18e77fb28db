"""How a run ends that did not end by itself: with what was written said, and soon."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kitmaker.commands.ending import STOPPED_BY_HAND, Outcome

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="signals and /dev/full")
PATTERN = "sample_patterns/ferry-tickets.csv"
ROOT = Path(__file__).parent.parent


def test_the_outcome_tells_the_old_folder_from_the_new_one(tmp_path: Path) -> None:
    marker = tmp_path / "plan" / "plan.json"
    outcome = Outcome()
    assert outcome.said == ""
    outcome.aims_at(marker)
    assert outcome.said == "Nothing was written."
    marker.parent.mkdir()
    marker.write_text("old", encoding="utf-8")
    outcome.aims_at(marker)
    assert "The old plan" in outcome.said
    assert "still stands" in outcome.said
    marker.write_text("new", encoding="utf-8")
    assert "The new plan" in outcome.said
    outcome.wrote(marker.parent)
    assert "All files were written" in outcome.said


@POSIX
def test_a_full_disk_or_a_closed_pipe_at_the_end_says_what_was_written(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "kitmaker", "plan", ROOT / PATTERN, "--kits", "2", "--out", "p"]
    with Path("/dev/full").open("w") as full:
        ended = subprocess.run(
            words, cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert ended.returncode == 4
    assert "All files were written before that, into 'p'." in ended.stderr
    assert (tmp_path / "p" / "plan.json").exists()
    with subprocess.Popen(
        words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert "into 'p'" in process.stderr.read()


LONG_STEP = """
import hashlib, sys
from kitmaker import planning
def at_work(*_, **__):
    print("at work", file=sys.stderr, flush=True)
    hashlib.pbkdf2_hmac("sha256", b"a", b"b", 200_000_000)  # hears nothing, as a solver does
planning.make_plan = at_work
from kitmaker.cli import main
main(sys.argv[1:])
"""


@POSIX
def test_ctrl_c_in_the_middle_of_a_solver_ends_soon_and_says_what_stands(tmp_path: Path) -> None:
    words = ["plan", ROOT / PATTERN, "--kits", "2", "--out", "p"]
    made = [sys.executable, "-m", "kitmaker", *words]
    subprocess.run(made, cwd=tmp_path, check=True, capture_output=True)
    before = (tmp_path / "p" / "plan.json").read_bytes()
    with subprocess.Popen(
        [sys.executable, "-c", LONG_STEP, *words], cwd=tmp_path, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stderr is not None
        assert process.stderr.readline() == "at work\n"
        time.sleep(0.2)
        process.send_signal(signal.SIGINT)
        start = time.monotonic()
        assert process.wait(60) == STOPPED_BY_HAND
        assert time.monotonic() - start < 10  # half a second; more on a machine that is busy
        assert "The old plan in 'p' still stands as it was." in process.stderr.read()
    assert (tmp_path / "p" / "plan.json").read_bytes() == before

"""How a run ends that did not end by itself: with what was written said, and soon."""

from __future__ import annotations

import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kitmaker.commands.ending import STOPPED_BY_HAND, Outcome
from kitmaker.paper.folder import write_folder
from kitmaker.paper.stamp import stamped
from kitmaker.reading.workbook import read_workbook

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="signals and /dev/full")
SAMPLES = Path(__file__).parent.parent / "sample_patterns"


def test_the_outcome_tells_the_old_folder_from_the_new_one(tmp_path: Path) -> None:
    folder, outcome = tmp_path / "plan", Outcome()
    assert outcome.said == "Nothing was written."
    outcome.aims_at(folder)
    assert outcome.said == "Nothing was written."
    write_folder(folder, {"plan.json": stamped({}, ["plan.json"]).encode()})
    assert outcome.said == f"All files were written before that, into '{folder}'."
    outcome.serves(folder)
    assert outcome.said == f"What was saved is in '{folder}'."
    outcome.aims_at(folder)
    assert outcome.said == f"The old plan in '{folder}' still stands as it was."
    write_folder(folder, {"plan.json": stamped({}, ["plan.json"]).encode()})
    assert outcome.said == f"All files were written before that, into '{folder}'."


WRITTEN = {
    "plan": ("ferry-tickets.csv --kits 2 --out p", "All files were written before that, into 'p'."),
    "starter": ("st.xlsx", "'st.xlsx' was written before that."),
    "draft": ("ferry-tickets.csv", "'ferry-tickets-draft.xlsx' was written before that."),
    "check": ("ferry-tickets.csv", "Nothing was written."),
    "--help": ("", "Nothing was written."),
}


def run(folder: Path, command: str, shell_words: str) -> subprocess.CompletedProcess[str]:
    """Run a command as a shell runs it, with its streams as the shell is told."""
    words = [sys.executable, "-m", "kitmaker", command, *WRITTEN[command][0].split()]
    words = [str(SAMPLES / one) if one.endswith(".csv") else one for one in words]
    line = f"{shlex.join(words)} {shell_words}"
    return subprocess.run(
        ["bash", "-c", line], cwd=folder, capture_output=True, text=True, check=False
    )


@POSIX
@pytest.mark.parametrize("command", WRITTEN)
def test_a_full_disk_at_the_end_is_exit_4_and_says_what_was_written(
    tmp_path: Path, command: str
) -> None:
    ended = run(tmp_path, command, "> /dev/full")
    assert ended.returncode == 4
    (line,) = ended.stderr.splitlines()
    assert line.startswith("error: The result could not be printed: ")
    assert WRITTEN[command][1] in line


@POSIX
@pytest.mark.parametrize(
    ("streams", "code"),
    [
        ("| true; exit ${PIPESTATUS[0]}", 4),
        (">&-", 4),
        ("2>&-", 0),
        ("2>/dev/full", 0),
        (">&- 2>&- <&-", 4),
        ("> /dev/full 2> /dev/full", 4),
    ],
)
def test_a_closed_stream_harms_no_file_and_ends_in_no_traceback(
    tmp_path: Path, streams: str, code: int
) -> None:
    ended = run(tmp_path, "starter", streams)
    assert ended.returncode == code
    assert read_workbook(tmp_path / "st.xlsx").sheets
    assert ended.stderr.count("\n") == (0 if "2>" in streams else 1)
    assert "'st.xlsx' was written before that." in ended.stderr or "2>" in streams


STOPPED_EARLY = """
import sys
class Stop:
    def find_spec(self, name, *_):
        if name == "kitmaker.cli":
            raise KeyboardInterrupt
sys.meta_path.insert(0, Stop())
from kitmaker.__main__ import main
main()
"""


def test_ctrl_c_while_the_command_is_being_loaded_is_one_line_too() -> None:
    ended = subprocess.run(
        [sys.executable, "-c", STOPPED_EARLY], capture_output=True, text=True, check=False
    )
    assert ended.returncode == STOPPED_BY_HAND
    assert ended.stderr == "kitmaker: stopped. Nothing was written.\n"


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
    words = ["plan", SAMPLES / "ferry-tickets.csv", "--kits", "2", "--out", "p"]
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

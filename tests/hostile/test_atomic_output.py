"""A plan's folder is whole or absent, however a run ends; a run that fails leaves nothing."""

from __future__ import annotations

import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hostile.broken_files import SAMPLES
from hostile.command import Ended, run

from kitmaker.errors import ExitCode
from kitmaker.paper.folder import write_folder
from kitmaker.paper.stamp import stamped

PATTERN = SAMPLES / "ferry-tickets.csv"
MANY = 12
NAMES = [f"cutting-sheet-{n}.html" for n in range(MANY)]
RECORD = stamped({"schema": 1}, [*NAMES, "plan.json"]).encode()
A = {"plan.json": RECORD, **dict.fromkeys(NAMES, b"a" * 9000)}
B = {"plan.json": RECORD, **dict.fromkeys(NAMES, b"b" * 9000)}
OLD = {
    "plan.json": stamped({"schema": 1}, ["index.html", "plan.json"]).encode(),
    "index.html": b"old",
}

WRITER = """
import sys
from pathlib import Path
from kitmaker.paper.folder import write_folder
from kitmaker.paper.stamp import stamped
out, letter, rounds = Path(sys.argv[1]), sys.argv[2].encode(), int(sys.argv[3])
files = {f"cutting-sheet-{n}.html": letter * 9000 for n in range(12)}
files["plan.json"] = stamped({"schema": 1}, [*files, "plan.json"]).encode()
print("ready", flush=True)
for _ in range(rounds):
    write_folder(out, files)
"""


def content(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir()}


def writer(out: Path, letter: str, rounds: int) -> subprocess.Popen[bytes]:
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(out), letter, str(rounds)], stdout=subprocess.PIPE
    )
    assert process.stdout is not None
    assert process.stdout.readline().strip() == b"ready"
    return process


def test_a_run_killed_at_any_moment_leaves_the_old_folder_or_the_new_one(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, A)
    dice = random.Random(4)  # noqa: S311
    for number in range(12):
        process = writer(out, "ab"[number % 2], 100_000)
        time.sleep(dice.uniform(0.001, 0.06))
        process.kill()
        process.wait()
        process.stdout.close()  # type: ignore[union-attr]
        assert content(out) in (A, B), number
    write_folder(out, A)
    assert [one.name for one in tmp_path.iterdir()] == ["plan"], "the next run clears up"


def test_two_runs_into_one_folder_at_once_both_end_well(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    runs = [writer(out, letter, 40) for letter in "ab"]
    while any(one.poll() is None for one in runs):
        time.sleep(0.01)
    assert [one.wait() for one in runs] == [0, 0]
    for one in runs:
        one.stdout.close()  # type: ignore[union-attr]
    assert content(out) in (A, B)
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def plan(tmp_path: Path, *words: object, before: object = None, code: str | None = None) -> Ended:
    """Plan a small pattern into a folder, or as the words say."""
    return run(
        "plan",
        PATTERN,
        "--kits",
        2,
        *(words or ("--out", tmp_path / "out" / "plan")),
        cwd=tmp_path,
        logs=tmp_path.with_suffix(".logs"),
        before=before,  # type: ignore[arg-type]
        code=code,
    )


def at_write(number: int, act: str) -> str:
    """Code that does something when the given file of the plan is about to be written."""
    return (
        "import os, signal\n"
        "from pathlib import Path\n"
        "real, count = Path.write_bytes, [0]\n"
        "def write_bytes(self, data):\n"
        "    count[0] += 1\n"
        f"    if count[0] == {number}:\n"
        f"        {act}\n"
        "    return real(self, data)\n"
        "Path.write_bytes = write_bytes\n"
    )


@pytest.mark.parametrize("number", [1, 5])
def test_the_command_killed_while_it_writes_leaves_the_old_plan(
    tmp_path: Path, number: int
) -> None:
    out = tmp_path / "out" / "plan"
    write_folder(out, OLD)
    ended = plan(tmp_path, code=at_write(number, "os.kill(os.getpid(), signal.SIGKILL)"))
    assert ended.code == -signal.SIGKILL
    assert content(out) == OLD
    assert plan(tmp_path).code == ExitCode.DONE
    assert [one.name for one in out.parent.iterdir()] == ["plan"], "the next run clears up"


def test_ctrl_c_while_writing_leaves_nothing(tmp_path: Path) -> None:
    ended = plan(tmp_path, code=at_write(4, "os.kill(os.getpid(), signal.SIGINT)"))
    assert ended.code == 130
    assert ended.lines == ["kitmaker: stopped. Nothing was written."]
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_while_planning_leaves_nothing(tmp_path: Path) -> None:
    code = (
        "import os, signal, kitmaker.kits.kit as kit\n"
        "def stop(*_, **__):\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "kit.plan_kits = stop\n"
    )
    ended = plan(tmp_path, code=code)
    assert ended.code == 130
    assert len(ended.lines) == 1
    assert list(tmp_path.iterdir()) == []


def full_disk() -> None:
    """No file may grow past eight kilobytes: the disk is full."""
    import resource

    resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))


def assert_not_written(ended: Ended) -> None:
    assert ended.code == ExitCode.NOT_WRITTEN, ended.stderr
    assert len(ended.lines) == 1
    assert "could not be written" in ended.stderr
    assert "another folder with --out" in ended.stderr
    assert ended.stdout == ""


def test_a_full_disk_leaves_the_old_plan_and_says_what_to_do(tmp_path: Path) -> None:
    out = tmp_path / "out" / "plan"
    write_folder(out, OLD)
    ended = plan(tmp_path, before=full_disk)
    assert_not_written(ended)
    assert "Free some space" in ended.stderr
    assert content(out) == OLD
    assert [one.name for one in out.parent.iterdir()] == ["plan"]


def test_a_full_disk_leaves_no_new_folder(tmp_path: Path) -> None:
    assert_not_written(plan(tmp_path, before=full_disk))
    assert list(tmp_path.iterdir()) == []


NOWHERE = ["/dev/null/plan", *(["/proc/kitmaker/plan"] if Path("/proc/self").is_dir() else [])]


@pytest.mark.parametrize("place", NOWHERE)
def test_a_place_where_nobody_may_write_is_refused(tmp_path: Path, place: str) -> None:
    assert_not_written(plan(tmp_path, "--out", place))


COMMANDS: dict[str, tuple[object, ...]] = {
    "starter": ("starter", "new.xlsx"),
    "breakdown": ("breakdown", "stash.csv", "--into", "5", "--out", "new"),
    "reprint": ("reprint", "old/plan.json", "--out", "new"),
}
"""The other commands that write something, and what they write."""


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a plan and a stash, to be copied."""
    here = tmp_path_factory.mktemp("planned")
    (here / "stash.csv").write_text("Fabric,Width,Length,Count\nSky,20,16,3\n", encoding="utf-8")
    logs = tmp_path_factory.mktemp("logs")
    ended = run(*("plan", PATTERN, "--kits", 1, "--out", "old"), cwd=here, logs=logs)
    assert ended.code == ExitCode.DONE, ended.stderr
    return here


@pytest.fixture
def desk(planned: Path, tmp_path: Path) -> Path:
    """The same, to work on."""
    return shutil.copytree(planned, tmp_path / "desk")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_that_writes_leaves_nothing_on_a_full_disk(
    command: str, desk: Path, tmp_path: Path
) -> None:
    def full() -> None:
        import resource

        resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))

    ended = run(*COMMANDS[command], cwd=desk, logs=tmp_path / "logs", before=full)
    assert ended.code == ExitCode.NOT_WRITTEN, ended.stderr
    assert len(ended.lines) == 1
    assert sorted(one.name for one in desk.iterdir()) == ["old", "stash.csv"]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_that_writes_does_so_where_it_may(
    command: str, desk: Path, tmp_path: Path
) -> None:
    ended = run(*COMMANDS[command], cwd=desk, logs=tmp_path / "logs")
    assert ended.code == ExitCode.DONE, ended.stderr
    made = {one.name for one in desk.iterdir()} - {"old", "stash.csv"}
    assert made in ({"new"}, {"new.xlsx"})


def test_a_result_that_cannot_be_printed_is_told(tmp_path: Path) -> None:
    def full() -> None:
        import resource

        resource.setrlimit(resource.RLIMIT_FSIZE, (300, 300))

    ended = run(
        *("check", PATTERN, "--json"),
        cwd=tmp_path,
        logs=tmp_path.with_suffix(".logs"),
        before=full,
        env={"PYTHONUNBUFFERED": ""},  # unbuffered, Python does not see half a write
    )
    assert ended.code == ExitCode.NOT_WRITTEN
    assert ended.lines[-1].startswith("error: The result could not be printed: ")
    assert "run again" in ended.lines[-1]
    assert "Traceback" not in ended.stderr

"""The counter as people start it: its address, its port, and how it ends."""

from __future__ import annotations

import http.client
import io
import re
import signal
import socket
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from http.cookies import SimpleCookie
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import openpyxl
import pytest
from click.testing import CliRunner
from counter_kit import (
    CLASS,
    children_of,
    fields_of,
    is_alive,
    names_in,
    small_folder,
    started,
    wait_for,
)

from kitmaker import api
from kitmaker.cli import main
from kitmaker.counter.runs import Runs, State
from kitmaker.counter.tasks import Failed, Planned, PlanTask
from kitmaker.counter.worker import _Line, _plan
from kitmaker.errors import UnreadableError, UsageError

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
LINUX = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks into /proc")


class Caller:
    """A browser at a real socket."""

    def __init__(self, address: str) -> None:
        self.parts = urlsplit(address)
        self.cookie = ""
        answer = self.ask("GET", f"/?{self.parts.query}")
        for name, morsel in SimpleCookie(answer.headers["Set-Cookie"]).items():
            self.cookie = f"{name}={morsel.value}"

    def ask(
        self, method: str, path: str, body: str | bytes = "", **headers: str
    ) -> http.client.HTTPResponse:
        line = http.client.HTTPConnection(self.parts.hostname or "", self.parts.port, timeout=60)
        sent = {"Cookie": self.cookie, **{k.replace("_", "-"): v for k, v in headers.items()}}
        if body:
            sent.setdefault("Content-Type", "application/x-www-form-urlencoded")
        line.request(method, path, body or None, sent)
        answer = line.getresponse()
        answer.text = answer.read().decode(errors="replace")  # type: ignore[attr-defined]
        line.close()
        return answer

    def plan(self, file: str) -> str:
        """Press Plan on a class's page; return the address of the run."""
        page = self.ask("GET", f"/class?file={file}").text  # type: ignore[attr-defined]
        sent = urlencode({**fields_of(page, "/class"), "do": "plan"})
        answer = self.ask("POST", "/class", sent)
        assert answer.status == 303, answer.text  # type: ignore[attr-defined]
        return answer.headers["Location"]


def long_folder(path: Path) -> Path:
    """A class whose plan takes some seconds."""
    path.mkdir()
    for name in ("harbor-lanterns-class", "harbor-lanterns", "juniper-and-thread-shop"):
        (path / f"{name}.xlsx").write_bytes((SAMPLES / f"{name}.xlsx").read_bytes())
    book = openpyxl.load_workbook(path / "harbor-lanterns-class.xlsx")
    for row in book["Fabrics"].iter_rows(min_row=2, max_row=6):
        row[3].value = "pieces"  # all of it cut by the shop takes longest
    book.save(path / "harbor-lanterns-class.xlsx")
    return path


def test_the_first_line_is_the_address_and_the_loopback_alone_answers(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    folder = small_folder(tmp_path / "shop")
    with started(folder, "--port", str(port)) as (process, address):
        assert re.fullmatch(rf"http://127\.0\.0\.1:{port}/\?key=[\w-]{{20,}}", address)
        caller = Caller(address)
        home = caller.ask("GET", "/")
        assert home.status == 200
        assert "Cove &amp; Thimble" in home.text  # type: ignore[attr-defined]
        assert home.headers["Server"] is None
        assert Caller.ask(_without_cookie(caller), "GET", "/").status == 403
        assert caller.ask("GET", "/", Host="localhost").status == 403
        assert caller.ask("GET", "/", Origin="http://shop.example").status == 403
        assert caller.ask("GET", "/plans/..%2f..%2fetc/hostname").status == 404
        huge = {"Content_Length": str(20 * 2**20 + 1)}
        assert caller.ask("POST", "/bring", b"x", **huge).status == 413
        if Path("/proc/net/tcp").exists():
            rows = Path("/proc/net/tcp").read_text().splitlines()
            listening = [row.split()[1] for row in rows if row.split()[3] == "0A"]
            assert [one for one in listening if one.endswith(f":{port:04X}")] == [
                f"0100007F:{port:04X}"
            ]
        second = CliRunner().invoke(
            main, ["counter", str(tmp_path), "--no-browser", "--port", str(port)]
        )
        assert (second.exit_code, second.stdout) == (2, "")
        assert f"Port {port} cannot be used: another program has it." in second.stderr
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 130


def _without_cookie(caller: Caller) -> Caller:
    other = object.__new__(Caller)
    other.parts, other.cookie = caller.parts, ""
    return other


def test_a_folder_that_is_not_there_is_exit_3(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["counter", str(tmp_path / "gone"), "--no-browser"])
    assert (result.exit_code, result.stdout) == (3, "")
    assert "There is no folder" in result.stderr


@LINUX
def test_ctrl_c_in_mid_plan_is_130_and_leaves_nothing_half_written(tmp_path: Path) -> None:
    folder = long_folder(tmp_path / "shop")
    before = names_in(folder)
    with started(folder) as (process, address):
        Caller(address).plan("harbor-lanterns-class.xlsx")
        (child,) = wait_for(lambda: children_of(process.pid))
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 130
        wait_for(lambda: not is_alive(child))
        assert process.stderr is not None
        assert "Traceback" not in process.stderr.read()
    assert names_in(folder) == before


@LINUX
def test_the_planning_process_dies_with_its_parent_however_that_ends(tmp_path: Path) -> None:
    folder = long_folder(tmp_path / "shop")
    before = names_in(folder)
    with started(folder) as (process, address):
        caller = Caller(address)
        run = caller.plan("harbor-lanterns-class.xlsx")
        (child,) = wait_for(lambda: children_of(process.pid))
        wait_for(lambda: "working out" in caller.ask("GET", f"{run}/state").text)  # type: ignore[attr-defined]
        process.kill()
        wait_for(lambda: not is_alive(child), 5)
    assert names_in(folder) == before


def plan_task(folder: Path, name: str = "gulls-class.xlsx") -> PlanTask:
    return PlanTask(class_file=folder / name, shop=folder / "cove-shop.xlsx")


def test_a_plan_is_written_beside_its_class_and_tells_how_it_goes(tmp_path: Path) -> None:
    folder, runs = small_folder(tmp_path / "shop"), Runs()
    run = runs.start(plan_task(folder), title="Gulls", back="/", steps=6)
    assert run.state is State.RUNNING
    again = runs.start(plan_task(folder), title="Gulls", back="/", steps=6)
    assert again is run  # a second press of the button, or a second tab
    heard = set()

    def done() -> bool:
        heard.add(run.words)
        assert run.done < run.steps
        return run.state is not State.RUNNING

    wait_for(done, 60)
    assert isinstance(run.result, Planned)
    assert (folder / run.result.folder / "index.html").is_file()
    assert len(heard) > 1
    assert not [name for name in names_in(folder) if name.startswith(".")]


def test_a_file_in_the_folder_is_never_taken_for_a_module(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, runs = small_folder(tmp_path / "shop"), Runs()
    (folder / "kitmaker.py").write_text("raise SystemExit('taken for a module')")
    (folder / "page.pdf").write_bytes(b"%PDF-1.4 and nothing more")
    monkeypatch.chdir(folder)
    with pytest.raises(UnreadableError, match="is damaged"):
        api.draft(Path("page.pdf"))
    run = runs.start(plan_task(folder), title="Gulls", back="/", steps=6)
    wait_for(lambda: run.state is not State.RUNNING, 60)
    assert isinstance(run.result, Planned)


def test_a_class_that_cannot_be_planned_says_why(tmp_path: Path) -> None:
    import books

    folder, runs = small_folder(tmp_path / "shop"), Runs()
    rows = [row for row in CLASS["Class"] if row[0] != "Kits"]
    books.write(folder / "gulls-class.xlsx", {**CLASS, "Class": [*rows, ("Kits", 5)]})
    run = runs.start(plan_task(folder), title="Gulls", back="/", steps=6)
    wait_for(lambda: run.state is not State.RUNNING, 60)
    assert isinstance(run.result, Failed)
    assert "5" in str(run.result.problems[0])


def test_a_run_that_is_stopped_ends_at_once_and_writes_nothing(tmp_path: Path) -> None:
    folder, runs = long_folder(tmp_path / "shop"), Runs()
    before = names_in(folder)
    task = PlanTask(
        class_file=folder / "harbor-lanterns-class.xlsx",
        shop=folder / "juniper-and-thread-shop.xlsx",
    )
    run = runs.start(task, title="Lanterns", back="/", steps=6)
    wait_for(lambda: run.seconds_at_it >= 1)  # the heart beats
    run.stop()
    assert run.state is State.STOPPED
    assert names_in(folder) == before
    runs.close()


@pytest.mark.parametrize("work", ["watch", "beat"])
def test_a_stop_waits_for_a_folder_that_is_being_written(tmp_path: Path, work: str) -> None:
    script = (
        "import os, threading, time\n"
        "from kitmaker.counter import worker\n"
        "worker._HEARTBEAT = .05\n"
        "(hear, wanted), (heard, tell) = os.pipe(), os.pipe()\n"
        "line = worker._Line(open(tell, 'wb'), hear)\n"
        "line.writing.acquire()\n"
        f"threading.Thread(target=line.{work}, daemon=True).start()\n"
        "os.close(wanted)\n"
        "os.close(heard)\n"
        "time.sleep(.3)\n"
        f"open({str(tmp_path / 'whole')!r}, 'w').write('whole')\n"
        "line.writing.release()\n"
        "time.sleep(9)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], timeout=8, check=False)
    assert done.returncode == 3
    assert (tmp_path / "whole").read_text() == "whole"


def test_a_folder_that_is_written_is_told_before_a_stop_is_heard(tmp_path: Path) -> None:
    line = _Line(io.BytesIO(), -1)
    assert isinstance(_plan(plan_task(small_folder(tmp_path / "shop")), line), Planned)
    with ThreadPoolExecutor(1) as another:
        assert another.submit(line.writing.acquire, blocking=False).result() is False


def test_two_runs_at_once_are_refused(tmp_path: Path) -> None:
    folder, runs = small_folder(tmp_path / "shop"), Runs()
    runs.start(plan_task(folder), title="Gulls", back="/", steps=6)
    other = PlanTask(class_file=folder / "other.xlsx", shop=None)
    with pytest.raises(UsageError, match="being worked out"):
        runs.start(other, title="Other", back="/", steps=6)
    runs.close()
    assert threading.active_count() < 50

"""A counter for tests: a small folder, a browser without a screen, a counter as people start it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import books
from flask.testing import FlaskClient

from kitmaker.counter.app import make_app
from kitmaker.counter.desk import Desk
from kitmaker.counter.folder import Folder
from kitmaker.counter.guard import Guard
from kitmaker.counter.server import make_server

PORT = 8123
KEY = "a-key-that-nobody-guesses"
HERE = f"http://127.0.0.1:{PORT}"

PATTERN: books.Sheets = {
    "Pattern": [("Pattern", "Gull Point")],
    "Fabrics": [("Fabric", "Requirement"), ("Sky", "1 yd"), ("Sand", "1 yd")],
    "Pieces": [
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity"),
        ("Sky", "A", 5, 5, 12),
        ("Sand", "B", 4, 8, 6),
    ],
}
SHOP: books.Sheets = {
    "Shop": [("Name", "Cove & Thimble"), ("Markup", "100 %")],
    "Forms": [books.FORMS, ("Fat quarter", 22, 18, 20, 16, 2.5, 5, None)],
    "Stock": [
        books.STOCK[:9],
        ("CT-1", "Morning haze", None, 40, "9 yd", None, None, None, 6),
        ("CT-2", "Wet sand", None, 40, "8 yd", None, None, None, 7),
        ("CT-3", "Evening haze", None, 40, "7 yd", None, None, None, 6),
    ],
}
CLASS: books.Sheets = {
    "Class": [
        ("Title", "Gulls on a Sunday"),
        ("Date", "March 7, 2027"),
        ("Kits", 4),
        ("Pattern file", "gull-point.xlsx"),
    ],
    "Colorways": [
        ("Colorway", "Kits", "Fabric", "SKU", "Notes"),
        ("Morning", 4, "Sky", "CT-1", "the soft one"),
        ("Morning", 4, "Sand", "CT-2", None),
    ],
    "Fabrics": [("Fabric", "In kit", "Form", "Bag"), ("Sky", "yes", "fat quarter", "uncut")],
    "Extras": [("Item", "Count per kit", "Cost"), ("Spool", 1, 2)],
    "Ideas": [("Ask the baker about the hall",)],
}


def small_folder(path: Path, *, with_class: bool = True) -> Path:
    """Fill a folder with a pattern, a shop's and a class's workbook."""
    path.mkdir(exist_ok=True)
    for name, content in _workbooks().items():
        if with_class or "class" not in name:
            (path / name).write_bytes(content)
    return path


@cache
def _workbooks() -> dict[str, bytes]:
    with tempfile.TemporaryDirectory() as room:
        made = (
            books.write(Path(room) / "gull-point.xlsx", PATTERN),
            books.write(Path(room) / "cove-shop.xlsx", SHOP),
            books.write(Path(room) / "gulls-class.xlsx", CLASS),
        )
        return {path.name: path.read_bytes() for path in made}


def desk_over(folder: Path) -> Desk:
    """Return a counter over a folder that listens nowhere."""
    return Desk(Folder(folder), Guard(PORT, KEY))


def stranger(desk: Desk) -> FlaskClient:
    """Return a browser on this computer that has no key."""
    return make_app(desk).test_client()


def visitor(desk: Desk) -> FlaskClient:
    """Return a browser that came by the address."""
    client = stranger(desk)
    assert client.get(f"/?key={KEY}", base_url=HERE).status_code == 303
    return client


class _Fields(HTMLParser):
    """Reads what a browser would send of a page's form if its first button were pressed."""

    def __init__(self, action: str) -> None:
        super().__init__()
        self.action, self.inside, self.fields = action, False, {}
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = has.get("action") == self.action
        if not self.inside:
            return
        if tag == "input" and (has.get("type") not in ("radio", "checkbox") or "checked" in has):
            self.fields[has["name"]] = has.get("value", "")
        if tag == "select":
            self.select = has["name"]
        if tag == "option" and self.select:
            value = has.get("value", "")
            if self.select not in self.fields or "selected" in has:
                self.fields[self.select] = value

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self.select = ""


def fields_of(page: str, action: str) -> dict[str, str]:
    """Return the fields of a page's form as they stand."""
    reader = _Fields(action)
    reader.feed(page)
    assert reader.fields, f"no form that goes to {action}"
    return reader.fields


@contextmanager
def started(folder: Path, *words: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start a counter as a person does; give its process and its address, and end it."""
    process = subprocess.Popen(
        [sys.executable, "-m", "kitmaker", "counter", str(folder), "--no-browser", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        yield process, process.stdout.readline().strip()
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                process.wait(20)
            process.kill()
        process.communicate()


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve a folder from this process; give the address."""
    desk, server = make_server(folder, None)
    threading.Thread(target=server.run, daemon=True).start()
    try:
        yield desk.guard.address
    finally:
        desk.runs.close()
        server.task_dispatcher.shutdown(timeout=5)
        server.close()


def names_in(folder: Path) -> list[str]:
    """Return the names of all that lies in a folder, hidden files too."""
    return sorted(one.name for one in folder.iterdir())


def children_of(pid: int) -> list[int]:
    """Return the processes that a process has started (Linux only)."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdecimal():
            with suppress(OSError):
                after_name = (entry / "stat").read_text().rpartition(")")[2].split()
                if int(after_name[1]) == pid and after_name[0] != "Z":
                    found.append(int(entry.name))
    return found


def wait_for(what: Any, seconds: float = 20) -> Any:
    """Wait until something is so; return it."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.05)
    raise AssertionError("it did not come about")


def is_alive(pid: int) -> bool:
    """Whether a process is there, and no zombie."""
    with suppress(OSError):
        os.kill(pid, 0)
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    return False

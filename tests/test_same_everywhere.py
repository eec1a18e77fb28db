"""The same files and choices give the same bytes, on every machine and at every hour."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
PATTERN = SAMPLES / "ferry-tickets.csv"
SHOP = SAMPLES / "juniper-and-thread-shop.xlsx"

PLACES: dict[str, dict[str, str]] = {
    "at home": {"PYTHONHASHSEED": "0", "LC_ALL": "C.UTF-8", "TZ": "UTC"},
    "another hash seed": {"PYTHONHASHSEED": "4242", "LC_ALL": "C.UTF-8", "TZ": "UTC"},
    "no locale": {"PYTHONHASHSEED": "1", "LC_ALL": "C", "TZ": "UTC", "PYTHONUTF8": "0"},
    "old letters": {"PYTHONHASHSEED": "2", "PYTHONIOENCODING": "latin-1", "TZ": "UTC"},
    "decimal comma": {"PYTHONHASHSEED": "3", "LC_ALL": "de_DE.UTF-8", "TZ": "Europe/Berlin"},
    "the other side": {"PYTHONHASHSEED": "5", "LC_ALL": "C.UTF-8", "TZ": "Pacific/Kiritimati"},
}


def kitmaker(*words: object, cwd: Path, place: dict[str, str]) -> bytes:
    """Run a command somewhere; return what it printed."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name == "PYTHONPYCACHEPREFIX" or not name.startswith(("LC_", "LANG", "PYTHON", "TZ"))
    }
    ended = subprocess.run(
        [sys.executable, "-m", "kitmaker", *(str(word) for word in words)],
        cwd=cwd,
        env={**kept, **place},
        capture_output=True,
        check=False,
    )
    assert ended.returncode in (0, 1), ended.stderr.decode()
    return ended.stdout


def fingerprints(folder: Path) -> dict[str, str]:
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.iterdir())
    }


def planned(folder: Path, place: dict[str, str]) -> tuple[bytes, dict[str, str]]:
    """Plan the sample; return the JSON and a fingerprint of each file."""
    folder.mkdir()
    out = folder / "out"
    printed = kitmaker(
        *("plan", PATTERN, "--shop", SHOP, "--kits", 2),
        *("--json", "--out", out),
        cwd=folder,
        place=place,
    )
    return printed, fingerprints(out)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home") / "plan"


@pytest.fixture(scope="module")
def at_home(home: Path) -> tuple[bytes, dict[str, str]]:
    return planned(home, PLACES["at home"])


@pytest.mark.parametrize("place", [name for name in PLACES if name != "at home"])
def test_a_plan_is_the_same_in_every_byte(
    place: str, tmp_path: Path, at_home: tuple[bytes, dict[str, str]]
) -> None:
    printed, files = planned(tmp_path / "a folder of another name ½", PLACES[place])
    assert printed == at_home[0]
    assert files == at_home[1]


@pytest.mark.parametrize(
    "words", [("check",), ("check", "--json"), ("convert", "--form", "10 in square")]
)
def test_what_is_printed_is_the_same_in_every_letter(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    places = ("at home", "no locale", "old letters", "decimal comma")
    typed = (*words, SAMPLES / "harbor-lanterns.xlsx")
    told = {kitmaker(*typed, cwd=tmp_path, place=PLACES[place]) for place in places}
    assert len(told) == 1
    assert next(iter(told)).decode("utf-8")


def test_line_ends_of_a_csv_file_do_not_matter(tmp_path: Path) -> None:
    text = (SAMPLES / "ferry-tickets.csv").read_bytes().replace(b"\r\n", b"\n")
    told = set()
    for number, end in enumerate((b"\n", b"\r\n", b"\r")):
        folder = tmp_path / str(number)
        folder.mkdir()
        (folder / "ferry.csv").write_bytes(text.replace(b"\n", end))
        words = ("check", "ferry.csv", "--json")
        told.add(kitmaker(*words, cwd=folder, place=PLACES["at home"]))
    assert len(told) == 1


def test_files_that_are_written_have_one_kind_of_line_end(
    home: Path, at_home: tuple[bytes, dict[str, str]]
) -> None:
    assert at_home[0].count(b"\r") == 0
    for path in (home / "out").iterdir():
        assert path.suffix == ".xlsx" or b"\r" not in path.read_bytes(), path.name

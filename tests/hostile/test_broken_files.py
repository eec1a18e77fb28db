"""Hostile and broken files: read as plain text, or refused by one line that says what to do."""

from __future__ import annotations

import json
import random
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hostile.broken_files import GOOD, HEAVY, READ, REFUSED, SAMPLES, zipped
from hostile.command import MOST_MEBIBYTES, MOST_SECONDS, run

from kitmaker.cli import main
from kitmaker.errors import ExitCode

SHOP = SAMPLES / "juniper-and-thread-shop.xlsx"
FILE = "FILE"
WAYS: dict[str, tuple[object, ...]] = {
    "check": ("check", FILE),
    "convert": ("convert", FILE, "--form", "fat-quarter"),
    "plan": ("plan", FILE, "--kits", "2"),
    "shop": ("plan", GOOD, "--kits", "2", "--shop", FILE),
    "class": ("plan", GOOD, "--class", FILE),
}
FEW = ("zero-bytes.xlsx", "external-entity.xlsx", "cut-off-late.xlsx", "a-picture.csv")
"""One of each kind, for the ways that lead to the same reader."""
MORE_WAYS: dict[str, tuple[object, ...]] = {
    "measured": ("plan", GOOD, "--kits", "2", "--measured", FILE),
    "stash": ("breakdown", FILE, "--into", "5"),
    "shop of a stash": ("breakdown", GOOD, "--into", "5", "--shop", FILE),
    "reprint": ("reprint", FILE),
}
DOES = ("open", "save", "name", "keep", "copy", "run", "look", "take", "give")
"""What the one line tells to do begins with one of these."""


@lru_cache(maxsize=8)
def content(name: str) -> bytes:
    return {**REFUSED, **READ}[name]()


def put(folder: Path, name: str) -> Path:
    path = folder / name
    path.write_bytes(content(name))
    return path


def words(way: str, path: Path) -> list[object]:
    return [path if word == FILE else word for word in {**WAYS, **MORE_WAYS}[way]]


def in_process(*typed: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in typed])


def assert_one_line_that_says_what_to_do(said: str, name: str) -> None:
    lines = said.splitlines()
    assert len(lines) == 1, said
    assert name in lines[0]
    assert "Traceback" not in said
    sentences = lines[0].lower().split(". ")
    assert any(sentence.startswith(DOES) for sentence in sentences[1:]), said


@pytest.mark.parametrize("name", HEAVY)
def test_what_is_too_much_is_refused_in_seconds_and_little_memory(
    name: str, tmp_path: Path
) -> None:
    path = put(tmp_path, name)
    way = list(WAYS)[HEAVY.index(name) % len(WAYS)]
    before = sorted(tmp_path.iterdir())
    ended = run(*words(way, path), cwd=tmp_path, logs=tmp_path.with_suffix(".logs"))
    assert ended.code == ExitCode.UNREADABLE, ended.stderr
    assert ended.stdout == ""
    assert_one_line_that_says_what_to_do(ended.stderr, name)
    assert ended.seconds < MOST_SECONDS
    assert ended.mebibytes < MOST_MEBIBYTES
    assert sorted(tmp_path.iterdir()) == before, "no file is written"


EVERY = [
    *((name, way) for name in REFUSED if name not in HEAVY for way in WAYS),
    *((name, way) for name in FEW for way in MORE_WAYS),
]


@pytest.mark.parametrize(("name", "way"), EVERY)
def test_a_broken_file_is_refused_by_one_line_whatever_it_is_given_for(
    name: str, way: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = put(tmp_path, name)
    monkeypatch.chdir(tmp_path)
    ended = in_process(*words(way, path))
    assert ended.exit_code == ExitCode.UNREADABLE, ended.stderr
    assert ended.stdout == ""
    assert_one_line_that_says_what_to_do(ended.stderr, name)
    assert [one.name for one in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("name", READ)
def test_an_odd_file_is_read(name: str, tmp_path: Path) -> None:
    path = put(tmp_path, name)
    ended = run("check", path, "--json", cwd=tmp_path, logs=tmp_path.with_suffix(".logs"))
    assert ended.code == ExitCode.DONE, ended.stderr
    assert json.loads(ended.stdout)["fabrics"]
    assert ended.seconds < MOST_SECONDS
    assert ended.mebibytes < MOST_MEBIBYTES
    assert [one.name for one in tmp_path.iterdir()] == [name], "nothing in it is run or unpacked"
    assert not Path("/tmp/kitmaker-was-here").exists()  # noqa: S108


def flipped(good: bytes, number: int) -> bytes:
    """One to four bytes of a file changed, always the same ones for a number."""
    dice = random.Random(number)  # noqa: S311
    broken = bytearray(good)
    for _ in range(dice.randint(1, 4)):
        broken[dice.randrange(len(broken))] ^= dice.randint(1, 255)
    return bytes(broken)


def assert_ended_in_words(ended: Result, what: object) -> None:
    """Any end but a fault of ours: a flipped byte may still make a workbook."""
    assert ended.exit_code in (
        ExitCode.DONE,
        ExitCode.CANNOT_BE_MET,
        ExitCode.USAGE,
        ExitCode.UNREADABLE,
    ), (what, ended.stderr)
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize("as_what", ["check", "shop", "class"])
def test_flipped_bytes_never_end_in_a_fault(
    as_what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from kitmaker.commands import inputs

    # Only the reading is asked about; a flip inside a packed sheet is nearly always refused.
    monkeypatch.setattr("kitmaker.planning.plan_kits", _no_planning)
    good = {"check": GOOD, "shop": SHOP, "class": SAMPLES / "harbor-lanterns-class.xlsx"}[as_what]
    assert inputs.read_inputs is not None
    (tmp_path / GOOD.name).write_bytes(GOOD.read_bytes())
    path = tmp_path / "flipped.xlsx"
    for number in range(70):
        path.write_bytes(flipped(good.read_bytes(), number))
        assert_ended_in_words(in_process(*words(as_what, path)), number)


def _no_planning(*_: object, **__: object) -> None:
    from kitmaker.errors import CannotBeMetError

    raise CannotBeMetError("nothing is planned here")


def test_flipped_letters_inside_the_parts_never_end_in_a_fault(tmp_path: Path) -> None:
    """The same, with the parts packed again, so that the damage reaches the reader."""
    from hostile.broken_files import good_members

    parts = good_members()
    names = sorted(name for name in parts if name.endswith((".xml", ".rels")))
    path = tmp_path / "flipped.xlsx"
    for number in range(200):
        name = names[number % len(names)]
        path.write_bytes(zipped({**parts, name: flipped(parts[name], number)}))
        assert_ended_in_words(in_process("check", path), (number, name))

"""A plan's folder is written whole or not at all, and nobody else's files are touched."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from kitmaker.errors import ExitCode, OutputError
from kitmaker.paper import swap
from kitmaker.paper.folder import safe_folder_name, write_folder
from kitmaker.paper.stamp import stamped


def plan_of(**pages: bytes) -> dict[str, bytes]:
    """A plan's files: pages by name, and the plan.json that lists them."""
    files = {f"{name.replace('_', '-')}.html": page for name, page in pages.items()}
    return {**files, "plan.json": stamped({"schema": 1}, (*files, "plan.json")).encode()}


PLAN = plan_of(index=b"first")
NEW = plan_of(index=b"second", pull_list=b"pull")


def content(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir()}


def test_a_new_folder_holds_exactly_the_files(tmp_path: Path) -> None:
    write_folder(tmp_path / "a" / "plan", PLAN)
    assert content(tmp_path / "a" / "plan") == PLAN
    assert [one.name for one in (tmp_path / "a").iterdir()] == ["plan"]


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    out.mkdir()
    write_folder(out, PLAN)
    assert content(out) == PLAN


def test_a_plan_of_ours_is_replaced_whole(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, plan_of(index=b"first", cutting_sheet_01_sky=b"old"))
    write_folder(out, NEW)
    assert content(out) == NEW
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def refused(out: Path, match: str) -> None:
    with pytest.raises(OutputError, match=match) as caught:
        write_folder(out, NEW)
    assert caught.value.exit_code is ExitCode.NOT_WRITTEN
    assert caught.value.problems[0].suggestion


@pytest.mark.parametrize(
    "held",
    [
        {"notes.txt": b"mine"},
        {"plan.json": b"[]"},
        {"plan.json": b"{}"},
        {"index.html": b"x"},
        {"index.html": b"a site", "plan.json": b'{"schema": 1, "phases": []}'},
        {"index.html": b"a site", "plan.json": b'{"schema": 1, "files": ["index.html"]}'},
        {"plan.json": stamped({"schema": 1}, ["index.html"]).encode()},
        {"plan.json": PLAN["plan.json"].replace(b"1", b"2")},
        {"breakdown.json": stamped({"schema": 1}, ["breakdown.json"]).encode()},
    ],
)
def test_a_folder_that_is_no_plan_of_ours_is_refused(
    tmp_path: Path, held: dict[str, bytes]
) -> None:
    out = tmp_path / "plan"
    out.mkdir()
    for name, text in held.items():
        (out / name).write_bytes(text)
    refused(out, "holds no plan")
    assert content(out) == held


@pytest.mark.parametrize("name", ["notes.txt", "cutting-sheet-my-notes.html", "results.xlsx"])
def test_a_plan_with_somebodys_file_in_it_is_refused_and_kept(tmp_path: Path, name: str) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    (out / name).write_bytes(b"mine")
    refused(out, name)
    assert content(out) == {**PLAN, name: b"mine"}


DROPPED = {
    ".DS_Store": b"a",
    "desktop.ini": b"b",
    "Thumbs.db": b"c",
    "~$results.xlsx": b"d",
    ".~lock.results.xlsx#": b"e",
    ".directory": b"f",
    ".localized": b"g",
    "Icon\r": b"h",
}


def test_what_systems_and_spreadsheet_programs_drop_is_not_in_the_way(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    for name, text in DROPPED.items():
        (out / name).write_bytes(text)
    write_folder(out, NEW)
    assert content(out) == {**NEW, **DROPPED}


def test_a_folder_that_only_a_system_dropped_something_in_is_filled(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    out.mkdir()
    (out / ".DS_Store").write_bytes(b"a")
    write_folder(out, PLAN)
    assert content(out) == {**PLAN, ".DS_Store": b"a"}


def test_the_folder_one_stands_in_stays_the_same_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    before = tmp_path.stat().st_ino
    for files in (PLAN, NEW):
        write_folder(Path(), files)
        assert content(Path()) == content(tmp_path) == files
        assert tmp_path.stat().st_ino == before


def test_a_mounted_folder_stays_the_same_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    before = out.stat().st_ino
    monkeypatch.setattr(Path, "is_mount", lambda path: path == out)
    write_folder(out, NEW)
    assert content(out) == NEW
    assert out.stat().st_ino == before
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


@pytest.mark.skipif(os.name == "nt", reason="no modes and groups there")
def test_a_shared_folder_keeps_its_mode_and_its_group(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    group = next((one for one in os.getgroups() if one != out.stat().st_gid), None)
    if os.geteuid() == 0:
        group = out.stat().st_gid + 1
    if group is not None:
        os.chown(out, -1, group)
    out.chmod(0o2775)
    kept = out.stat()
    write_folder(out, NEW)
    assert content(out) == NEW
    assert (out.stat().st_mode, out.stat().st_gid) == (kept.st_mode, kept.st_gid)
    assert {one.stat().st_gid for one in out.iterdir()} == {kept.st_gid}


@pytest.mark.parametrize("step", range(16))
def test_ctrl_c_while_files_are_exchanged_leaves_the_old_ones_or_the_new_ones(
    tmp_path: Path, step: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "plan", PLAN)
    monkeypatch.chdir(tmp_path / "plan")
    steps = [0]
    for call in ("write_bytes", "write_text", "rename", "mkdir", "unlink"):
        monkeypatch.setattr(Path, call, stopped_at(step, getattr(Path, call), steps))
    with suppress(KeyboardInterrupt):
        write_folder(Path(), NEW)
    monkeypatch.undo()
    assert content(tmp_path / "plan") in (PLAN, NEW)


@pytest.mark.parametrize("moved", range(4))
def test_files_that_an_ended_run_was_exchanging_are_put_back_by_the_next(
    tmp_path: Path, moved: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ended by force: nothing was undone."""
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    room = out / f"{swap.room_prefix(out)}abcd"
    (room / "new").mkdir(parents=True)
    for name, text in NEW.items():
        (room / "new" / name).write_bytes(text)
    monkeypatch.setattr(swap, "_put_files_back", lambda *_: None)
    monkeypatch.setattr(Path, "rename", stopped_at(moved, Path.rename, [0]))
    with pytest.raises(KeyboardInterrupt):
        swap.exchange_files(room, out, sorted(PLAN))
    monkeypatch.undo()
    assert content_of_files(out) != NEW
    swap.put_back(out)
    assert content(out) == PLAN


def content_of_files(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


def test_a_plan_with_a_folder_in_it_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    (out / "results.xlsx").mkdir()
    refused(out, "results.xlsx")


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    out.write_bytes(b"mine")
    refused(out, "is a file")
    assert out.read_bytes() == b"mine"


def test_a_file_above_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"mine")
    refused(tmp_path / "a" / "plan", "could not be written")


def test_a_full_disk_leaves_the_old_plan_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    refused(out, "No space left")
    refused(tmp_path / "b" / "c", "No space left")
    monkeypatch.undo()
    assert content(out) == PLAN
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def test_a_failed_swap_puts_the_old_plan_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    monkeypatch.setattr(swap, "_exchange", lambda *_: False)
    rename = Path.rename

    def fail_for_the_new(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fail_for_the_new)
    refused(out, "Input/output error")
    assert content(out) == PLAN
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def test_a_plan_that_cannot_be_put_back_is_not_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    monkeypatch.setattr(swap, "_exchange", lambda *_: False)
    rename = Path.rename

    def fail_after_the_first(self: Path, target: Path) -> Path:
        if self.name in {"new", "old"}:
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fail_after_the_first)
    refused(out, "Input/output error")
    kept = [one for one in tmp_path.rglob("index.html") if one.parent.name == "old"]
    assert [one.read_bytes() for one in kept] == [b"first"]


@pytest.mark.parametrize("name", ["../a", "a/b", "", ".."])
def test_a_name_with_a_path_in_it_is_a_fault_of_ours(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="plain file name"):
        write_folder(tmp_path / "plan", {name: b""})


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("Harbor Lanterns", "Harbor-Lanterns-K7"),
        ("../../etc/passwd", "etc-passwd-K7"),
        ("a\\b:c*?\"<>|$(rm -rf ~)`;&'", "a-b-c-rm-rf-K7"),
        ("..hidden", "hidden-K7"),
        ("CON", "plan-CON-K7"),
        ("lpt1", "plan-lpt1-K7"),
        ("\u202egnp.exe\u202c\x00\x07\n", "gnp-exe-K7"),
        ("キルト", "キルト-K7"),
        ("???", "plan-K7"),
        ("", "plan-K7"),
        ("Café ½", "Café-1-2-K7"),
    ],
)
def test_a_folder_name_is_safe(name: str, wanted: str) -> None:
    assert safe_folder_name(name, "K7") == wanted


@pytest.mark.parametrize("name", ["x" * 500, "é" * 500, "😀" * 300, "漢" * 300, "a-" * 200])
def test_a_folder_name_is_never_too_long(name: str) -> None:
    made = safe_folder_name(name, "K7F2-90AB")
    assert len(made) <= 100
    assert len(made.encode()) <= 255
    assert made.endswith("-K7F2-90AB")
    assert not re.search(r"[/\\\x00-\x1f]", made)


def test_a_number_that_folds_to_nothing_leaves_a_name() -> None:
    assert safe_folder_name("nul", "///") == "plan-nul"


@pytest.fixture(params=["at once", "one after the other"])
def exchanging(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both ways in which a folder takes another's place, whatever this system can."""
    if request.param == "one after the other":
        monkeypatch.setattr(swap, "_exchange", lambda *_: False)


@pytest.mark.usefixtures("exchanging")
def test_an_old_plan_is_replaced_either_way(tmp_path: Path) -> None:
    write_folder(tmp_path / "plan", PLAN)
    write_folder(tmp_path / "plan", NEW)
    assert content(tmp_path / "plan") == NEW
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


@pytest.mark.usefixtures("exchanging")
@pytest.mark.parametrize("step", range(12))
def test_ctrl_c_at_any_step_leaves_the_old_plan_or_the_new_one(
    tmp_path: Path, step: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    monkeypatch.setattr(Path, "write_bytes", stopped_at(step, Path.write_bytes, steps := [0]))
    monkeypatch.setattr(Path, "rename", stopped_at(step, Path.rename, steps))
    monkeypatch.setattr(Path, "mkdir", stopped_at(step, Path.mkdir, steps))
    with suppress(KeyboardInterrupt):
        write_folder(out, NEW)
    with suppress(KeyboardInterrupt):
        write_folder(tmp_path / "a" / "b" / "plan", NEW)
    monkeypatch.undo()
    assert content(out) in (PLAN, NEW)
    left = {one.name for one in tmp_path.iterdir()} - {"plan"}
    assert left <= {"a"}
    assert not left or content(tmp_path / "a" / "b" / "plan") == NEW


def stopped_at(step: int, call: Callable[..., Any], steps: list[int]) -> Callable[..., Any]:
    """The call, but the given one of all counted calls is stopped by hand."""

    def counted(*given: Any, **named: Any) -> Any:
        steps[0] += 1
        if steps[0] == step + 1:
            raise KeyboardInterrupt
        return call(*given, **named)

    return counted


def left_by_an_ended_run(target: Path, **parts: dict[str, bytes]) -> Path:
    """A room as a run leaves it that was ended by force."""
    room = target.parent / f"{swap.room_prefix(target)}abcd"
    room.mkdir()
    for name, files in parts.items():
        (room / name).mkdir()
        for file, text in files.items():
            (room / name / file).write_bytes(text)
    return room


def test_what_an_ended_run_left_is_cleared_away_by_the_next(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    left_by_an_ended_run(out, new={"plan.json": b"{"})
    write_folder(out, NEW)
    assert content(out) == NEW
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def test_an_old_plan_that_an_ended_run_put_aside_comes_back(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    left_by_an_ended_run(out, old={"mine.txt": b"mine"})
    refused(out, "holds no plan")
    assert content(out) == {"mine.txt": b"mine"}


def test_the_room_of_a_run_at_work_is_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    with swap.working_room(out) as room:
        (room / "new").mkdir()
        write_folder(out, NEW)
        assert (room / "new").is_dir()
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]


def test_another_run_may_be_faster(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both find no folder; the slower one replaces what the faster one wrote."""
    out = tmp_path / "plan"
    with swap.working_room(out) as room:
        (room / "new").mkdir()
        (room / "new" / "plan.json").write_bytes(b"slow")
        write_folder(out, PLAN)
        exists = Path.exists
        answers = iter([False])
        monkeypatch.setattr(
            Path, "exists", lambda path: next(answers, True) if path == out else exists(path)
        )
        swap.put_in_place(room / "new", out, room / "old")
        monkeypatch.undo()
    assert content(out) == {"plan.json": b"slow"}


def test_a_file_open_in_another_program_is_named_as_the_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows: a folder cannot be renamed while an office program holds a file of it."""
    out = tmp_path / "plan"
    write_folder(out, PLAN)
    monkeypatch.setattr(swap, "_exchange", lambda *_: False)

    def held(*_: object) -> Path:
        raise PermissionError(13, "The process cannot access the file: it is being used")

    monkeypatch.setattr(Path, "rename", held)
    with pytest.raises(OutputError) as caught:
        write_folder(out, NEW)
    assert "results.xlsx" in str(caught.value)
    assert "close it and run again" in str(caught.value)
    monkeypatch.undo()
    assert content(out) == PLAN
    assert [one.name for one in tmp_path.iterdir()] == ["plan"]

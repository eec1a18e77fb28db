"""What the documents say is so."""

from __future__ import annotations

import re
import subprocess
import textwrap
from dataclasses import fields
from importlib import import_module
from pathlib import Path

import pytest

from kitmaker.cli import main
from kitmaker.errors import ExitCode

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_is_in_the_readme(name: str) -> None:
    assert f"kitmaker {name}" in README


@pytest.mark.parametrize("code", list(ExitCode))
def test_every_exit_code_is_in_the_readme(code: ExitCode) -> None:
    section = README.split("## Exit codes")[1].split("##")[0]
    assert re.search(rf"(^|\s){code.value} ", section)


@pytest.mark.parametrize("path", sorted((ROOT / "templates").glob("*.j2")), ids=lambda p: p.name)
def test_a_templates_fields_are_those_that_the_contributor_guide_names(path: Path) -> None:
    row = re.search(rf"\| `{path.name}` \| `(?:paper/)?([\w.]+)\.(\w+)`[^|]*\| (.*) \|", DEVELOPERS)
    assert row is not None
    room = "kitmaker.paper" if "paper/" in row[0] else "kitmaker.paper.sheets"
    view = getattr(import_module(f"{room}.{row[1]}"), row[2])
    assert {field.name for field in fields(view)} == {"head", *re.findall(r"`(\w+)`", row[3])}


@pytest.mark.parametrize("room", ["cutting", "kits", "table"])
def test_every_module_of_a_room_is_in_the_contributor_guide(room: str) -> None:
    modules = {path.stem for path in (ROOT / "kitmaker" / room).glob("[!_]*.py")}
    assert modules - set(re.findall(r"\w+", DEVELOPERS)) == set()


def test_every_sample_is_in_the_samples_readme() -> None:
    told = (ROOT / "sample_patterns" / "README.md").read_text(encoding="utf-8")
    for path in (ROOT / "sample_patterns").iterdir():
        assert path.name == "README.md" or path.name in told


def test_the_top_level_holds_what_it_should() -> None:
    wanted = {
        "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "kitmaker", "templates",
        "tests", "sample_patterns", ".ci", ".gitignore",
    }  # fmt: skip
    if not (ROOT / ".git").exists():
        pytest.fail("the tests run from a checkout")
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    assert {name.split("/")[0] for name in tracked} == wanted


def test_the_readmes_commands_are_the_ones_that_ci_runs() -> None:
    assert README.count("```sh") == 3
    assert "<!-- test command -->" in README
    assert "test command" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_readmes_double_click_file_starts_the_counter_in_its_own_folder(tmp_path: Path) -> None:
    told = re.search(r"`kitmaker\.command`.*?```\n(.*?)```", README, re.DOTALL)
    assert told is not None
    kitmaker = tmp_path / "kitmaker" / ".venv" / "bin" / "kitmaker"
    kitmaker.parent.mkdir(parents=True)
    kitmaker.write_text('#!/bin/sh\nprintf "%s|" "$@"\n')
    start = tmp_path / "my quilts" / "kitmaker.command"
    start.parent.mkdir()
    start.write_text(textwrap.dedent(f"  {told[1].lstrip()}"))
    for script in (kitmaker, start):
        script.chmod(0o755)
    done = subprocess.run(
        [start], env={"HOME": str(tmp_path)}, capture_output=True, text=True, check=True
    )
    assert done.stdout == f"counter|{start.parent}|"

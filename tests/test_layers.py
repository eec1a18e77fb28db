"""Arrows run one way: what each room may import, held against the code.

The same table stands in DEVELOPERS.md under "The rooms".
"""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "kitmaker"

WORDS = ("errors", "lengths", "forms", "pattern", "shop")
ROOMS: dict[str, tuple[str, ...]] = {
    "errors": (),
    "lengths": ("errors",),
    "forms": ("errors", "lengths"),
    "pattern": ("errors", "lengths"),
    "shop": ("errors", "lengths", "forms"),
    "drafts": ("errors", "lengths", "pattern"),
    "arithmetic": ("lengths",),
    "cutting": ("lengths",),
    "cutting_jobs": ("forms", "lengths", "pattern", "cutting"),
    "plans": (*WORDS, "cutting", "cutting_jobs"),
    "seasons": ("errors", "forms", "shop"),
    "choosing": ("errors", "lengths", "forms", "pattern", "cutting_jobs", "plans"),
    "table": ("lengths", "shop", "arithmetic", "cutting_jobs", "plans", "cutting"),
    "kits": (
        *WORDS,
        "arithmetic",
        "cutting",
        "cutting_jobs",
        "plans",
        "seasons",
        "choosing",
        "table",
    ),
    "reading": (*WORDS, "drafts", "arithmetic"),
    "shopbooks": (*WORDS, "reading", "paper.labels"),
    "paper": (*WORDS, "drafts", "cutting", "cutting_jobs", "plans", "seasons", "choosing"),
    "files": (*WORDS, "drafts", "reading", "shopbooks", "paper"),
    "planning": (*WORDS, "cutting_jobs", "plans", "kits", "paper"),
    "season_planning": (*WORDS, "cutting_jobs", "plans", "seasons", "kits", "paper", "planning"),
    "api": (
        "files",
        *WORDS,
        "drafts",
        "cutting_jobs",
        "plans",
        "seasons",
        "choosing",
        "kits",
        "reading",
        "shopbooks",
        "paper",
        "planning",
        "season_planning",
    ),
    "commands": (
        "api",
        "files",
        "planning",
        *WORDS,
        "drafts",
        "cutting_jobs",
        "plans",
        "seasons",
        "choosing",
        "kits",
        "reading",
        "shopbooks",
        "paper",
    ),
    "counter": (
        "api",
        "files",
        "commands",
        *WORDS,
        "choosing",
        "drafts",
        "kits",
        "reading",
        "shopbooks",
        "paper",
    ),
    "screen": ("errors", "commands"),
    "cli": ("errors", "shop", "api", "commands", "kits", "reading", "paper", "counter", "screen"),
    "__main__": ("cli",),
    "__init__": ("api",),
}
CORE = (
    "errors",
    "lengths",
    "forms",
    "pattern",
    "shop",
    "arithmetic",
    "cutting",
    "cutting_jobs",
    "plans",
    "seasons",
    "choosing",
    "table",
    "kits",
)
NOT_IN_CORE = {"click", "jinja2", "openpyxl", "xlsxwriter", "pandas", "pathlib", "io", "os", "sys"}
NOT_BELOW_CLI = {"click"}
PLANNERS = {"kitmaker.cutting." + name for name in ("desk", "fewest", "shortest", "bounds")}


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imports_of(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path}: relative import"
            found.add(node.module)
            if node.module == "kitmaker":
                found |= {f"kitmaker.{alias.name}" for alias in node.names}
    return found


def test_every_room_is_in_the_table() -> None:
    assert {room_of(path) for path in modules()} == set(ROOMS)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_room_imports_only_from_the_rooms_above_it(path: Path) -> None:
    room = room_of(path)
    for name in imports_of(path):
        if not name.startswith("kitmaker.") or name == "kitmaker.__version__":
            continue
        inner = name.removeprefix("kitmaker.")
        target = inner.split(".")[0]
        assert target == room or target in ROOMS[room] or inner in ROOMS[room], (
            f"{room} imports {name}"
        )


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_the_core_knows_no_files_and_no_screen(path: Path) -> None:
    tops = {name.split(".")[0] for name in imports_of(path)}
    room = room_of(path)
    if room in CORE:
        assert not tops & NOT_IN_CORE
    if room not in ("screen", "cli", "__main__"):
        assert not tops & NOT_BELOW_CLI


@pytest.mark.parametrize("name", ["replay", "checker"])
def test_the_checker_knows_no_planner(name: str) -> None:
    assert not imports_of(PACKAGE / "table" / f"{name}.py") & PLANNERS


@pytest.mark.parametrize("words", [["--help"], ["check", "sample_patterns/ferry-tickets.csv"]])
def test_help_and_check_load_neither_a_solver_nor_pandas(words: list[str]) -> None:
    script = (
        "import sys\n"
        "from kitmaker.cli import main\n"
        f"main({words!r}, standalone_mode=False)\n"
        "heavy = {'highspy', 'pandas', 'jinja2', 'xlsxwriter'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, cwd=PACKAGE.parent)


@pytest.mark.parametrize(
    "words",
    [
        ["counter", "--help"],
        ["plan", "sample_patterns/rainy-day-runner-yardage.xlsx", "--out", "OUT"],
        ["convert", "sample_patterns/ferry-tickets.csv", "--form", "square-10"],
    ],
    ids=lambda words: words[0],
)
def test_only_the_counter_loads_its_server(tmp_path: Path, words: list[str]) -> None:
    words = [str(tmp_path / "out") if word == "OUT" else word for word in words]
    script = (
        "import sys\n"
        "from kitmaker.cli import main\n"
        f"main({words!r}, standalone_mode=False)\n"
        "loaded = {'flask', 'waitress', 'werkzeug', 'kitmaker.counter'} & set(sys.modules)\n"
        "assert not loaded, loaded\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, cwd=PACKAGE.parent)

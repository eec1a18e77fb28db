"""The problems that are given away: as the suite has them, and a checker that is not fooled."""

from __future__ import annotations

import copy
import importlib.util
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

HERE = Path(__file__).parent / "benchmarks" / "problems"


def load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"problems_{name}", HERE / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def make() -> ModuleType:
    return load("make")


@pytest.fixture(scope="module")
def problems() -> dict[str, dict[str, Any]]:
    listed = json.loads((HERE / "problems.json").read_text(encoding="utf-8"))
    return {one["name"]: one for one in listed}


def test_the_file_holds_the_problems_of_the_suite(
    make: ModuleType, problems: dict[str, dict[str, Any]]
) -> None:
    for case in make.all_cases():
        known = problems[case.name]
        assert known.items() >= make.problem_of(case).items()
        assert 1 <= known["proven_bound"] <= known["best_known"]
    assert len(problems) == len(make.all_cases())


def by_name(make: ModuleType, name: str) -> Any:
    return next(case for case in make.all_cases() if case.name == name)


NAMES = ["kit 13: fat quarter", "kit 20: fat eighth", "metric kit 1", "length 9"]


@pytest.mark.parametrize("name", NAMES)
def test_the_checker_takes_what_kitmaker_finds(
    name: str, make: ModuleType, problems: dict[str, dict[str, Any]]
) -> None:
    best, bound, sheets = make.solve(by_name(make, name))
    taken, wrong = load("check").check(problems[name], sheets)
    assert (taken, wrong) == (best, [])
    known = problems[name]
    assert known["proven_bound"] <= best <= known["best_known"], "better: run make.py"
    assert known["proven_bound"] <= bound <= known["best_known"]


Harm = Callable[[list[dict[str, Any]]], object]
HARMS: dict[str, tuple[Harm, str]] = {
    "dropped": (lambda sheets: sheets[0]["pieces"].pop(), "of 8"),
    "outside": (lambda sheets: sheets[0]["pieces"][0].update(x=9999), "lies outside"),
    "overlapping": (
        lambda sheets: sheets[0]["pieces"][1].update(
            x=sheets[0]["pieces"][0]["x"], y=sheets[0]["pieces"][0]["y"]
        ),
        "does not come apart",
    ),
    "unknown": (lambda sheets: sheets[0]["pieces"][0].update(key="none"), "no piece none"),
    "turned": (lambda sheets: sheets[0]["pieces"][0].update(turned=True), "may not be turned"),
}


@pytest.mark.parametrize("harm", HARMS)
def test_the_checker_refuses_a_harmed_solution(harm: str) -> None:
    """Four strips of 2 × 8 side by side, twice."""
    problem = {
        "across": 8,
        "along": 8,
        "pieces": [{"key": "a", "across": 2, "along": 8, "count": 8, "may_turn": False}],
    }
    placed = [{"key": "a", "x": 2 * at, "y": 0, "turned": False} for at in range(4)]
    sheets = [{"copies": 2, "pieces": placed}]
    checker = load("check")
    assert checker.check(problem, sheets) == (2, [])
    harmed = copy.deepcopy(sheets)
    change, said = HARMS[harm]
    change(harmed)
    assert said in " ".join(checker.check(problem, harmed)[1])


def test_a_pinwheel_does_not_come_apart_by_edge_to_edge_cuts() -> None:
    wheel = [(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3)]
    assert not load("check").comes_apart(wheel)
    assert load("check").comes_apart(wheel[:2])


def test_the_checker_needs_nothing_but_python(tmp_path: Path) -> None:
    (tmp_path / "none.json").write_text("{}", encoding="utf-8")
    command = [sys.executable, "-I", "-S", str(HERE / "check.py"), "none.json"]
    subprocess.run(command, check=True, cwd=tmp_path)

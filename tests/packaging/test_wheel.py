"""The wheel carries everything it needs and runs from elsewhere."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
pytestmark = pytest.mark.packaging


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation"]
    subprocess.run([*command, "-w", str(out), str(ROOT)], check=True)
    (built,) = out.glob("*.whl")
    return built


def test_the_wheel_holds_every_template_and_nothing_else_beside_them(wheel: Path) -> None:
    templates = ROOT / "templates"
    ours = (".j2", ".css", ".js")  # the last two are the counter's own
    found = (path for path in templates.rglob("*") if path.suffix in ours)
    shipped = {str(path.relative_to(templates)) for path in found}
    with zipfile.ZipFile(wheel) as archive:
        prefix = "kitmaker/templates/"
        held = {name.removeprefix(prefix) for name in archive.namelist() if prefix in name}
    assert shipped
    assert held == {name.replace(os.sep, "/") for name in shipped}


def test_the_wheel_says_that_it_is_typed(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        assert "kitmaker/py.typed" in archive.namelist()


def test_the_wheel_runs_from_elsewhere_with_its_own_templates(wheel: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    command = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index"]
    subprocess.run([*command, "--target", str(site), str(wheel)], check=True)
    away = tmp_path / "away"
    away.mkdir()
    sample = ROOT / "sample_patterns" / "ferry-tickets.csv"
    subprocess.run(
        [sys.executable, "-m", "kitmaker", "plan", str(sample), "--out", "kits"],
        cwd=away,
        env={**os.environ, "PYTHONPATH": str(site)},
        check=True,
    )
    assert (away / "kits" / "index.html").exists()

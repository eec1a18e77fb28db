"""Planning again into a folder: what is said to have changed, and what is not written over."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from books import write
from click.testing import CliRunner, Result

from kitmaker import api
from kitmaker.cli import main
from kitmaker.errors import ExitCode, OutputError

PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")


def pattern(path: Path, *more: tuple[object, ...], name: str = "Ferns") -> Path:
    rows = [PIECES, ("Moss", "A", 4.5, 4.5, 40), ("Clay", "B", 3.5, 6.5, 24), *more]
    return write(path, {"Pattern": [("Pattern", name)], "Pieces": rows})


def run(out: Path, *words: object) -> Result:
    return CliRunner().invoke(main, ["plan", *map(str, words), "--out", str(out)])


@pytest.fixture
def planned(tmp_path: Path) -> Path:
    """A folder with a plan of four kits."""
    out = tmp_path / "plan"
    assert run(out, pattern(tmp_path / "a.xlsx"), "--kits", 4).exit_code == 0
    return out


def content(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir()}


def test_a_plan_says_what_changed_since_the_last_one(planned: Path, tmp_path: Path) -> None:
    """40 squares of 4½ are 5 strips, ¾ yd a kit with the loss; 24 of 3½ × 6½ are ⅝ yd."""
    first = json.loads((planned / "plan.json").read_text(encoding="utf-8"))
    assert first["changes"] == []
    again = run(planned, tmp_path / "a.xlsx", "--kits", 6)
    assert again.exit_code == 0
    bought = [one["per_kit"]["buy"] for one in first["fabrics"]]
    assert bought == ["¾ yd", "½ yd"]
    said = "4 → 6 kits: Moss 1½ yd more; Clay 1 yd more"
    assert f"changed since the last plan: {said}" in again.stderr
    assert said in (planned / "index.html").read_text(encoding="utf-8")


def test_the_same_plan_once_more_is_the_same_folder(planned: Path, tmp_path: Path) -> None:
    run(planned, tmp_path / "a.xlsx", "--kits", 6)
    before = content(planned)
    assert run(planned, tmp_path / "a.xlsx", "--kits", 6).exit_code == 0
    assert content(planned) == before


def test_a_fabric_that_is_new_or_gone_is_said(planned: Path, tmp_path: Path) -> None:
    pattern(tmp_path / "a.xlsx", ("Sky", "C", 2.5, 2.5, 8))
    assert "Sky is new" in run(planned, tmp_path / "a.xlsx", "--kits", 4).stderr
    pattern(tmp_path / "a.xlsx")
    assert "Sky is left out" in run(planned, tmp_path / "a.xlsx", "--kits", 4).stderr


def test_a_folder_whose_files_were_changed_is_not_written_over_unless_told(
    planned: Path, tmp_path: Path
) -> None:
    for name in ("pull-list.html", "results.xlsx"):
        (planned / name).write_bytes((planned / name).read_bytes() + b" ")
    before = content(planned)
    refused = run(planned, tmp_path / "a.xlsx", "--kits", 6)
    assert refused.exit_code == ExitCode.NOT_WRITTEN
    assert "'pull-list.html', 'results.xlsx' were changed" in refused.stderr
    assert "--replace" in refused.stderr
    assert content(planned) == before
    assert run(planned, tmp_path / "a.xlsx", "--kits", 6, "--replace").exit_code == 0
    assert content(planned) != before


@pytest.mark.parametrize(
    ("other", "named"),
    [
        ({"Pattern": "Reeds"}, "the pattern 'Ferns'"),
        ({"Title": "Autumn class"}, "the class 'Spring class', 2027-03-13"),
        ({"Date": "2027-06-05"}, "the class 'Spring class', 2027-03-13"),
    ],
)
def test_another_classs_plan_is_not_written_over_unless_told(
    tmp_path: Path, other: dict[str, str], named: str
) -> None:
    def plan(*words: str, **facts: str) -> Result:
        known = {"Title": "Spring class", "Date": "2027-03-13"} | facts
        if "Pattern" in facts:
            known = {}
        rows = [*known.items(), ("Kits", 2)]
        book = write(
            tmp_path / "class.xlsx", {"Class": [row for row in rows if row[0] != "Pattern"]}
        )
        made = pattern(tmp_path / "p.xlsx", name=facts.get("Pattern", "Ferns"))
        return run(tmp_path / "plan", made, "--class", book, *words)

    first = (
        plan()
        if "Pattern" not in other
        else run(tmp_path / "plan", pattern(tmp_path / "p.xlsx"), "--kits", 2)
    )
    assert first.exit_code == 0, first.stderr
    refused = plan(**other)
    assert refused.exit_code == ExitCode.NOT_WRITTEN
    assert f"holds the plan of {named}" in refused.stderr
    assert plan("--replace", **other).exit_code == 0


def test_python_writes_over_changed_files_only_when_told(planned: Path, tmp_path: Path) -> None:
    (planned / "index.html").write_text("notes", encoding="utf-8")
    plan = api.plan(api.read_pattern(tmp_path / "a.xlsx"), kits=4)
    with pytest.raises(OutputError, match="changed since"):
        api.write(plan, planned)
    api.write(plan, planned, replace=True)

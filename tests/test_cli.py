"""The commands as a person types them: exit codes, streams, what is left behind."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import Workbook

from kitmaker.cli import main
from kitmaker.commands.convert import say_proof
from kitmaker.cutting_jobs import Yield
from kitmaker.errors import ExitCode

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
LANTERNS = SAMPLES / "harbor-lanterns.xlsx"
SHOP = SAMPLES / "juniper-and-thread-shop.xlsx"
CLASS = SAMPLES / "harbor-lanterns-class.xlsx"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def workbook(path: Path, *rows: tuple[object, ...], sheet: str = "Pieces") -> Path:
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = sheet
    for row in rows:
        page.append(row)
    book.save(path)
    return path


HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_has_help_that_ends_with_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert main.commands[name].help
    last_paragraph = result.stdout.rstrip().split("\n\n")[-1]
    assert last_paragraph.strip().startswith(f"Example: kitmaker {name} ")


def test_the_help_of_the_whole_ends_with_an_example() -> None:
    assert "Example: kitmaker plan" in run("--help").stdout.splitlines()[-1]


def test_check_gives_one_json_text_alone() -> None:
    result = run("check", LANTERNS, "--json")
    assert result.exit_code == 0, result.stderr
    data = json.loads(result.stdout)
    assert (data["schema"], data["unit"]) == (1, "in")
    assert data["pattern"]["name"] == "Harbor Lanterns"
    piece = data["fabrics"][0]["pieces"][0]
    assert piece == {
        "name": "A side",
        "width": 2.0,
        "length": 8.0,
        "quantity": 40,
        "shape": "rectangle",
        "may_turn": True,
        "kind": "piece",
        "where": "Pieces!B2",
        "formula": None,
        "confirmed": "amount",
    }


def test_convert_answers_each_form_as_it_was_asked_for() -> None:
    result = run("convert", LANTERNS, "--form", "FQ", "--form", "2.5 strip", "--json")
    assert result.exit_code == ExitCode.CANNOT_BE_MET, "some fabrics fit neither form"
    print_1 = json.loads(result.stdout)["fabrics"][1]
    quarter, strip = print_1["options"]
    assert (quarter["form"], quarter["feasible"], quarter["count"]) == ("FQ", True, 2)
    assert (quarter["lower_bound"], quarter["proven"]) == (2, True)
    assert (strip["feasible"], strip["count"]) == (False, None)
    assert "does not fit" in strip["why"]


def test_a_length_is_called_shortest_only_where_that_is_proven_of_it() -> None:
    """``proven`` speaks of what is bought, after rounding; ``length_proven`` of the length."""
    sure = Yield(
        count=1, lower_bound=1, proven=True, length=Fraction(30), length_proven=True, buy="1 yd"
    )
    assert say_proof(sure) == "nothing shorter will do"
    assert say_proof(replace(sure, length_proven=False)) == "the shortest that can be bought"
    unsure = replace(sure, proven=False, length_proven=False)
    assert say_proof(unsure) == "may not be the shortest"


def test_convert_of_a_length_gives_yards() -> None:
    result = run("convert", LANTERNS, "--form", "yardage", "--json")
    assert result.exit_code == 0, result.stderr
    option = json.loads(result.stdout)["fabrics"][1]["options"][0]
    assert option["length_yd"] == pytest.approx(14 / 36, abs=1e-6)
    assert option["buy"] == "½ yd"
    assert option["count"] == 1


def test_an_estimate_is_marked() -> None:
    result = run("convert", LANTERNS, "--form", "fat-quarter", "--json")
    backing = json.loads(result.stdout)["fabrics"][-1]["options"][0]
    assert backing["feasible"] is None
    assert "estimate" in backing["why"]


def test_plan_writes_a_folder_whose_index_leads_to_every_file(tmp_path: Path) -> None:
    out = tmp_path / "kits"
    result = run("plan", "--class", CLASS, "--shop", SHOP, "--out", out)
    assert result.exit_code == 0, result.stderr
    index = (out / "index.html").read_text(encoding="utf-8")
    for file in out.iterdir():
        assert file.name == "index.html" or file.name in index
    assert "12 kits (7 Dusk, 5 Dawn)" in result.stdout


def test_plan_json_is_what_lies_in_the_folder_and_never_changes(tmp_path: Path) -> None:
    words = ("plan", LANTERNS, "--kits", 3, "--shop", SHOP, "--json", "--out")
    one, two = run(*words, tmp_path / "a"), run(*words, tmp_path / "b")
    assert one.exit_code == 0, one.stderr
    assert one.stdout == two.stdout
    assert one.stdout == (tmp_path / "a" / "plan.json").read_text(encoding="utf-8")
    assert str(tmp_path) not in one.stdout
    names = sorted(file.name for file in (tmp_path / "a").iterdir())
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes(), name


def test_layouts_in_plan_json_hold_what_they_say(tmp_path: Path) -> None:
    result = run("plan", LANTERNS, "--kits", 4, "--json", "--out", tmp_path / "a",
                 "--bag", "background=pieces", "--form", "lantern print 1=fat quarter")  # fmt: skip
    data = json.loads(result.stdout)
    for fabric in data["fabrics"]:
        total = fabric["total"] if fabric["bag"] == "pieces" else fabric["per_kit"]
        copies = [layout["copies"] for layout in fabric["layouts"]]
        if total["length"] is None:
            assert sum(copies) == total["count"]
        else:
            used = sum(layout["sheet"][1] * layout["copies"] for layout in fabric["layouts"])
            assert used == pytest.approx(total["length"])
        for layout in fabric["layouts"]:
            across, along = layout["sheet"]
            for piece in layout["pieces"]:
                assert 0 <= piece["x"] <= piece["x"] + piece["w"] <= across
                assert 0 <= piece["y"] <= piece["y"] + piece["h"] <= along


def test_a_short_shelf_ends_with_1_and_is_still_written(tmp_path: Path) -> None:
    out = tmp_path / "kits"
    result = run("plan", LANTERNS, "--shop", SHOP, "--kits", 60, "--out", out)
    assert result.exit_code == ExitCode.CANNOT_BE_MET
    assert "short by" in result.stderr
    assert (out / "index.html").exists()
    assert "Complete kits possible" in result.stdout


def test_a_piece_that_fits_no_form_asked_for_ends_with_1_and_writes_nothing(tmp_path: Path) -> None:
    out = tmp_path / "kits"
    result = run("plan", LANTERNS, "--form", "square-5", "--out", out, "--json")
    assert result.exit_code == ExitCode.CANNOT_BE_MET
    assert "does not fit a 5-inch square" in result.stderr
    assert json.loads(result.stdout)["problems"]
    assert not out.exists()


def test_unread_lines_give_no_plan_unless_they_are_left_out(tmp_path: Path) -> None:
    path = workbook(tmp_path / "p.xlsx", HEADS, ("Sky", "A", 5, 5, 8), ("Sky", "B", 5, 5, "some"))
    out = tmp_path / "kits"
    refused = run("plan", path, "--out", out)
    assert refused.exit_code == ExitCode.CANNOT_BE_MET
    assert "cell E3" in refused.stderr
    assert not out.exists()
    planned = run("plan", path, "--out", out, "--leave-out-unread")
    assert planned.exit_code == 0, planned.stderr
    assert "NOT COMPLETE" in (out / "bag-labels.html").read_text(encoding="utf-8")
    for page in out.glob("*.html"):
        assert "NOT COMPLETE" in page.read_text(encoding="utf-8"), page.name


@pytest.mark.parametrize(
    ("quantity", "width"),
    [(0, 5), (-3, 5), (2.5, 5), ("some", 5), (None, 5), (4, 0), (4, 900), (4, "wide")],
)
def test_a_count_or_size_that_cannot_be_is_told_by_its_cell(
    tmp_path: Path, quantity: object, width: object
) -> None:
    path = workbook(tmp_path / "p.xlsx", HEADS, ("Sky", "A", width, 5, quantity),
                    ("Sky", "B", 3, 3, 4))  # fmt: skip
    result = run("check", path)
    assert result.exit_code == ExitCode.CANNOT_BE_MET
    assert f"cell {'E2' if width == 5 else 'C2'}" in result.stderr
    assert len([line for line in result.stderr.splitlines() if line.startswith("error")]) == 1


def unreadable(tmp_path: Path, what: str) -> Path:
    path = tmp_path / "pattern.xlsx"
    if what == "empty":
        path.write_bytes(b"")
    elif what == "damaged":
        path.write_bytes(LANTERNS.read_bytes()[:3000])
    elif what == "text":
        path.write_text("Dear shop, here is the pattern.", encoding="utf-8")
    elif what == "folder":
        path.mkdir()
    elif what == "wrong type":
        path = tmp_path / "pattern.pdf"
        path.write_bytes(b"%PDF-1.4")
    elif what == "nothing to cut":
        workbook(path, ("Hello", "there"))
    return path


@pytest.mark.parametrize(
    "what", ["missing", "empty", "damaged", "text", "folder", "wrong type", "nothing to cut"]
)
@pytest.mark.parametrize("command", ["check", "convert", "plan"])
def test_a_file_that_cannot_be_read_ends_with_3_and_one_line(
    tmp_path: Path, what: str, command: str
) -> None:
    result = run(command, unreadable(tmp_path, what))
    assert result.exit_code == ExitCode.UNREADABLE
    assert len(result.stderr.strip().splitlines()) == 1
    assert result.stdout == ""


@pytest.mark.parametrize(
    "words",
    [
        ("--kits", "0"),
        ("--kits", "many"),
        ("--spare-kits", "-1"),
        ("--form", "fat quater"),
        ("--form", "sky=fat quarter"),
        ("--bag", "boxed"),
        ("--label-sheet", "letter-99"),
        ("--start-label", "31", "--label-sheet", "letter-30"),
        ("--start-label", "0"),
        ("--size", "king"),
    ],
)
def test_wrong_usage_ends_with_2_and_writes_nothing(tmp_path: Path, words: tuple[str, ...]) -> None:
    out = tmp_path / "kits"
    result = run("plan", LANTERNS, *words, "--out", out)
    assert result.exit_code == ExitCode.USAGE, result.stderr
    assert result.stdout == ""
    assert not out.exists()


def test_an_output_folder_that_is_a_file_ends_with_4(tmp_path: Path) -> None:
    out = tmp_path / "kits"
    out.write_text("mine", encoding="utf-8")
    result = run("plan", LANTERNS, "--out", out)
    assert result.exit_code == ExitCode.NOT_WRITTEN
    assert out.read_text(encoding="utf-8") == "mine"


def test_a_folder_with_other_files_is_never_touched(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    result = run("plan", LANTERNS, "--out", tmp_path)
    assert result.exit_code == ExitCode.NOT_WRITTEN
    assert [file.name for file in tmp_path.iterdir()] == ["letter.txt"]


def test_a_plan_folder_is_replaced_whole(tmp_path: Path) -> None:
    out = tmp_path / "kits"
    assert run("plan", LANTERNS, "--out", out, "--bag", "pieces").exit_code == 0
    before = {file.name for file in out.iterdir()}
    other = ("plan", SAMPLES / "ferry-tickets.csv", "--out", out)
    assert run(*other).exit_code == ExitCode.NOT_WRITTEN
    assert before == {file.name for file in out.iterdir()}
    assert run(*other, "--replace").exit_code == 0
    after = {file.name for file in out.iterdir()}
    assert "Harbor Lanterns" not in (out / "index.html").read_text(encoding="utf-8")
    assert any(name.startswith("cutting-sheet-") for name in before - after)


def test_a_fault_of_ours_is_one_line_and_70(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("boom")

    monkeypatch.setattr("kitmaker.reading.requirements.read_workbook", broken)
    result = run("check", LANTERNS)
    assert result.exit_code == ExitCode.OUR_FAULT
    assert len(result.stderr.strip().splitlines()) == 1
    assert "Traceback" not in result.stderr
    assert "Traceback" in run("--debug", "check", LANTERNS).stderr


def test_a_plan_that_fails_the_check_is_never_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kitmaker.kits.jobs.check_job", lambda *_: ["A and B overlap"])
    out = tmp_path / "kits"
    result = run("plan", LANTERNS, "--out", out)
    assert result.exit_code == ExitCode.OUR_FAULT
    assert "kitmaker's own check" in result.stderr
    assert not out.exists()


def test_the_tab_key_completes_commands_and_options() -> None:
    for typed, wanted in (("kitmaker pl", "plain,plan"), ("kitmaker plan --sho", "plain,--shop")):
        words = {"COMP_WORDS": typed, "COMP_CWORD": str(typed.count(" "))}
        asked = {"_KITMAKER_COMPLETE": "bash_complete", **words}
        ended = CliRunner().invoke(main, [], prog_name="kitmaker", env=asked)
        assert wanted in ended.output.splitlines()

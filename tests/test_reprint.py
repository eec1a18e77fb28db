"""A plan is printed again from its plan.json alone, byte for byte, and nothing else is."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from kitmaker.cli import main
from kitmaker.commands.reprint import read_plan
from kitmaker.errors import UnreadableError
from kitmaker.paper.plan_json import plan_to_json
from kitmaker.paper.printed import print_plan
from kitmaker.paper.problem_json import dump
from kitmaker.paper.record import RecordError, read_record, write_record
from kitmaker.paper.render import PLAN_LINK, RESULTS_LINK, STOCK_AFTER_LINK, render_pages
from kitmaker.paper.stamp import files_of, stamped
from kitmaker.plans import KitPlan

HOSTILE = '"><script>alert(1)</script>../../etc/passwd\u202e=cmd()'


def run(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


GUIDES = (
    "students-cutting-guide-blue-evening.html",
    "students-cutting-guide-red-dawn.html",
)


@pytest.fixture(scope="module")
def record(class_plan: KitPlan) -> str:
    return print_plan(class_plan).json


@pytest.fixture
def kept(record: str, tmp_path: Path) -> Path:
    """A plan.json of the hand-made class plan."""
    path = tmp_path / "plan.json"
    path.write_text(record, encoding="utf-8")
    return path


def rewrite(path: Path, change: Any) -> None:
    """Change a plan as somebody does who works out its digest anew."""
    data = json.loads(path.read_text(encoding="utf-8"))
    del data["digest"]
    change(data)
    path.write_text(stamped(data, data.pop("files")), encoding="utf-8")


def test_a_plan_survives_its_record(class_plan: KitPlan) -> None:
    record = json.loads(json.dumps(write_record(class_plan)))
    again = read_record(record)
    assert write_record(again) == write_record(class_plan)
    assert dump(plan_to_json(again)) == dump(plan_to_json(class_plan))


def test_every_page_is_the_same_again(class_plan: KitPlan, kept: Path, tmp_path: Path) -> None:
    out = tmp_path / "again"
    assert run("reprint", kept, "--out", out).exit_code == 0
    links = (RESULTS_LINK, STOCK_AFTER_LINK, PLAN_LINK)
    for name, text in render_pages(class_plan, None, links).files.items():
        assert (out / name).read_text(encoding="utf-8") == text, name
    assert (out / "plan.json").read_bytes() == kept.read_bytes()


def test_a_folder_is_the_same_again_with_all_its_files(tmp_path: Path) -> None:
    samples = Path(__file__).parent.parent / "sample_patterns"
    first, again = tmp_path / "first", tmp_path / "again"
    shop = ("--shop", samples / "juniper-and-thread-shop.xlsx")
    ran = run("plan", samples / "fjord-steps-metric.xlsx", "--kits", 3, *shop, "--out", first)
    assert ran.exit_code == 0, ran.stderr
    assert run("reprint", first / "plan.json", "--out", again).exit_code == 0
    names = sorted(one.name for one in first.iterdir())
    assert "reading.html" in names
    assert sorted(one.name for one in again.iterdir()) == names
    for name in names:
        assert (again / name).read_bytes() == (first / name).read_bytes(), name


def test_nothing_is_solved_or_read_besides(kept: Path, tmp_path: Path) -> None:
    import subprocess
    import sys

    code = (
        "import sys; from kitmaker.cli import main\n"
        f"try: main(['reprint', {str(kept)!r}, '--out', {str(tmp_path / 'x')!r}])\n"
        "except SystemExit as end: print(end.code, 'highspy' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=tmp_path
    )
    assert ran.stdout.splitlines()[-1] == "0 False", ran.stderr


@pytest.mark.parametrize(
    ("only", "names"),
    [
        ("labels", {"bag-labels.html", "piece-labels.html"}),
        ("guide", set(GUIDES)),
        ("cards", {"kit-cards.html"}),
        ("lists", {"pull-list.html", "packing-list.html"}),
    ],
)
def test_only_what_is_asked_for_is_printed(
    kept: Path, tmp_path: Path, only: str, names: set[str]
) -> None:
    out = tmp_path / only
    assert run("reprint", kept, "--only", only, "--out", out).exit_code == 0
    assert {one.name for one in out.iterdir()} == names | {"plan.json"}
    for name in names:
        assert "index.html" not in (out / name).read_text(encoding="utf-8")


def test_the_sheets_are_the_cutting_sheets(kept: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheets"
    assert run("reprint", kept, "--only", "sheets", "--out", out).exit_code == 0
    names = {one.name for one in out.iterdir()} - {"plan.json"}
    assert names
    assert all(name.startswith(("cutting-sheet-", "cutting-and-bagging-")) for name in names)


def test_labels_start_where_the_sheet_was_left(kept: Path, tmp_path: Path) -> None:
    first, later = tmp_path / "first", tmp_path / "later"
    assert run("reprint", kept, "--only", "labels", "--out", first).exit_code == 0
    ran = run("reprint", kept, "--only", "labels", "--start-label", "bag=4", "--out", later)
    assert ran.exit_code == 0
    assert (first / "bag-labels.html").read_bytes() != (later / "bag-labels.html").read_bytes()
    assert (first / "piece-labels.html").read_bytes() == (later / "piece-labels.html").read_bytes()
    again = json.loads((later / "plan.json").read_text(encoding="utf-8"))
    assert {
        "label": "Bag labels",
        "value": "letter-10, from label 4",
        "source": "reprint",
    } in again["choices"] or not any(one["label"] == "Bag labels" for one in again["choices"])


@pytest.mark.parametrize("args", [("--start-label", "31"), ("--label-sheet", "no-such-sheet")])
def test_a_label_that_is_not_there_is_wrong_usage(
    kept: Path, tmp_path: Path, args: tuple[str, str]
) -> None:
    ran = run("reprint", kept, *args, "--out", tmp_path / "out")
    assert ran.exit_code == 2
    assert not (tmp_path / "out").exists()


def test_a_whole_plan_is_not_replaced_by_a_part_of_it(kept: Path, tmp_path: Path) -> None:
    out = tmp_path / "whole"
    assert run("reprint", kept, "--out", out).exit_code == 0
    before = {one.name for one in out.iterdir()}
    ran = run("reprint", out / "plan.json", "--only", "labels", "--out", out)
    assert ran.exit_code == 4
    assert {one.name for one in out.iterdir()} == before
    assert run("reprint", out / "plan.json", "--out", out).exit_code == 0


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"schema": 1}',
        b'{"schema": 2, "fabrics": [], "record": {}}',
        b'{"schema": 1, "fabrics": []}',
        b'{"schema": 1, "fabrics": [], "record": {"plan": {}, "jobs": []}}',
        b'{"schema": 1, "fabrics": [], "record": {"plan": 0, "jobs": [1]}}',
        b"\xff\xfe\x00garbage",
        b"[" * 100_000,
        b"1" * 10_000,
    ],
)
def test_a_file_that_is_no_plan_is_one_line_and_exit_3(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(content)
    ran = run("reprint", path, "--out", tmp_path / "out")
    assert ran.exit_code == 3
    assert len(ran.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "out").exists()


def test_a_missing_file_is_exit_3(tmp_path: Path) -> None:
    assert run("reprint", tmp_path / "none.json").exit_code == 3


def set_record(name: str, value: object) -> Any:
    return lambda data: data["record"]["plan"].__setitem__(name, value)


@pytest.mark.parametrize(
    "change",
    [
        set_record("kits", 9_999_999),
        set_record("kits", -1),
        set_record("kits", True),
        set_record("number", ["a"]),
        set_record("minutes", "1/0"),
        set_record("surprise", "x"),
        lambda data: data["record"]["plan"]["fabrics"][0].__setitem__("job", 99),
        lambda data: data["record"].__setitem__("jobs", []),
    ],
)
def test_a_record_that_makes_no_plan_is_refused(kept: Path, tmp_path: Path, change: Any) -> None:
    rewrite(kept, change)
    ran = run("reprint", kept, "--out", tmp_path / "out")
    assert ran.exit_code == 3
    assert len(ran.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "out").exists()


def paths_of(data: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every value inside data, by the way to it."""
    inner = data.items() if isinstance(data, dict) else enumerate(data)
    for name, value in inner:
        yield (*at, name)
        if isinstance(value, dict | list):
            yield from paths_of(value, (*at, name))


def test_an_edit_of_any_kind_is_found(kept: Path) -> None:
    whole = json.loads(kept.read_text(encoding="utf-8"))
    assert files_of(whole)
    every = list(paths_of(whole))
    kinds = {tuple("*" if isinstance(name, int) else name for name in path): path for path in every}
    assert len(kinds) > 200
    for path in kinds.values():
        *way, last = path
        held = whole
        for name in way:
            held = held[name]
        before = held[last]
        for other in (None, 1, "x", 1.5):
            if other != before or type(other) is not type(before):
                held[last] = other
                break
        assert files_of(whole) is None, path
        held[last] = before
    assert files_of(whole)


def test_an_edited_plan_is_refused_in_one_line(kept: Path, tmp_path: Path) -> None:
    text = kept.read_text(encoding="utf-8")
    kept.write_text(text.replace('"kits": 12', '"kits": 13'), encoding="utf-8")
    ran = run("reprint", kept, "--out", tmp_path / "out")
    assert ran.exit_code == 3
    assert "was changed after kitmaker wrote it" in ran.stderr
    assert len(ran.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "out").exists()


def test_hostile_words_stay_words_and_in_the_folder(kept: Path, tmp_path: Path) -> None:
    """Words changed together with the digest pass for a plan; they must do no harm even so."""

    def infect(data: Any) -> None:
        plan = data["record"]["plan"]
        plan["pattern"]["name"] = HOSTILE
        data["pattern"] = HOSTILE
        plan["number"] = "../../x"
        data["plan_number"] = "../../x"
        for out in (plan["fabrics"][0], data["fabrics"][0]):
            out["sku"] = HOSTILE
        plan["shop"]["name"] = "</style><script>alert(2)</script>"

    rewrite(kept, infect)
    home = tmp_path / "deep" / "home"
    home.mkdir(parents=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(home)
        ran = run("reprint", kept)
    assert ran.exit_code in (0, 1), ran.stderr
    (folder,) = home.iterdir()
    assert folder.parent == home
    assert len(list(tmp_path.rglob("index.html"))) == 1
    for page in folder.glob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert re.findall("<script>.*", text) == [
            "<script>// Boxes that are checked stay checked on this device, for this plan."
        ]
        assert "\u202e" not in text


@pytest.mark.parametrize("value", ["", "1.5", "1/0", "١", "1" * 40, "1e9", "--1", " 1"])
def test_only_an_exact_fraction_is_a_measure(class_plan: KitPlan, value: str) -> None:
    record = json.loads(json.dumps(write_record(class_plan)))
    record["plan"]["minutes"] = value
    with pytest.raises(RecordError):
        read_record(record)


def text_of(path: Path) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8")))


def test_some_kits_are_printed_again_with_their_labels_list_and_guide(
    kept: Path, tmp_path: Path
) -> None:
    """Of seven blue and five red kits: number 4 is blue, number 9 is red."""
    out = tmp_path / "again"
    assert run("reprint", kept, "--kit", 9, "--kit", 4, "--out", out).exit_code == 0
    pages = {"bag-labels.html", "piece-labels.html", "packing-list.html"}
    pages |= {"kit-cards.html", *GUIDES}
    assert {one.name for one in out.glob("*.html")} == pages
    labels = text_of(out / "bag-labels.html")
    numbers = re.findall(r"Kit (\d+) of 12", labels.replace("\u00a0", " "))
    assert set(numbers) == {"4", "9"}
    assert "Kits 4 and 9 of 12" in text_of(out / "packing-list.html")
    assert not (out / "results.xlsx").exists()


def test_what_goes_with_kits_of_one_colorway_names_no_other(kept: Path, tmp_path: Path) -> None:
    out = tmp_path / "again"
    assert run("reprint", kept, "--kit", 9, "--out", out).exit_code == 0
    for name in ("packing-list.html", GUIDES[1], "bag-labels.html", "kit-cards.html"):
        assert "Blue evening" not in text_of(out / name), name
    whole = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert len(whole["colorways"]) == 2, "the plan that is kept beside them is still the whole one"


def test_one_label_is_printed_alone_at_the_label_asked_for(kept: Path, tmp_path: Path) -> None:
    out = tmp_path / "again"
    words = ("--label", "bag=5", "--start-label", "bag=3", "--out", out)
    ran = run("reprint", kept, *words)
    assert ran.exit_code == 0
    assert ran.stdout.startswith("1 file again, plan ")
    assert [one.name for one in out.glob("*.html")] == ["bag-labels.html"]
    labels = text_of(out / "bag-labels.html").replace("\u00a0", " ")
    assert set(re.findall(r"Kit (\d+) of 12", labels)) == {"5"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--kit", 13), "there is no kit 13"),
        (("--label", "bag=13"), "there is no label 13"),
        (("--label", "0"), "'0' is not a label number"),
        (("--label", "lid=2"), "'lid' is not a kind of label"),
        (("--kit", 2, "--only", "sheets"), "--only sheets and --kit do not go together"),
        (("--label", 2, "--only", "guide"), "--only guide and --label do not go together"),
    ],
)
def test_a_kit_or_label_that_is_not_there_is_said(
    kept: Path, tmp_path: Path, words: tuple[object, ...], said: str
) -> None:
    ran = run("reprint", kept, *words, "--out", tmp_path / "again")
    assert ran.exit_code == 2
    assert said in ran.stderr
    assert not (tmp_path / "again").exists()


@pytest.mark.parametrize(("kits", "is_read"), [(100_000, True), (100_001, False)])
def test_as_many_kits_are_read_again_as_can_be_planned(
    class_plan: KitPlan, tmp_path: Path, kits: int, is_read: bool
) -> None:
    path = tmp_path / "plan.json"
    many = replace(class_plan, kits=kits, spare_kits=0)
    path.write_text(stamped(plan_to_json(many), ["plan.json"]), encoding="utf-8")
    if is_read:
        assert read_plan(path)[0].all_kits == kits
    else:
        with pytest.raises(UnreadableError, match="too many kits"):
            read_plan(path)

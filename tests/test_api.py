"""From Python: the same as the commands, with values that can be sent anywhere."""

from __future__ import annotations

import io
import pickle
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import dask.bag
import pandas as pd
import pytest
from books import write
from click.testing import CliRunner

import kitmaker as km
from kitmaker import api
from kitmaker.cli import main
from kitmaker.forms import BUILT_IN_FORMS
from kitmaker.lengths import YARD
from kitmaker.paper.results import build_results, tables_of
from kitmaker.plans import KitPlan

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "sample_patterns"
CLASS = SAMPLES / "harbor-lanterns-class.xlsx"
SHOP = SAMPLES / "juniper-and-thread-shop.xlsx"
LANTERNS = SAMPLES / "harbor-lanterns.xlsx"
METRIC = SAMPLES / "fjord-steps-metric.xlsx"
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def class_plan() -> KitPlan:
    shop = km.read_shop(SHOP)
    class_sheet = km.read_class(CLASS, shop)
    return km.plan(km.read_pattern(LANTERNS), shop=shop, class_sheet=class_sheet)


@pytest.fixture(scope="module")
def small_plan() -> KitPlan:
    return km.plan(km.read_pattern(METRIC), 2, bags="pieces")


def source(plan: KitPlan, label: str) -> str:
    (found,) = {choice.source for choice in plan.choices if choice.label == label}
    return found


# what there is, and what it loads


def test_every_name_is_there_with_a_docstring() -> None:
    assert set(km.__all__) == set(api.__all__) <= set(dir(km))
    for name in km.__all__:
        assert getattr(km, name) is getattr(api, name)
        assert getattr(km, name).__doc__, name
    with pytest.raises(AttributeError, match="nothing_of_the_kind"):
        _ = km.nothing_of_the_kind


@pytest.mark.parametrize(
    ("words", "heavy"),
    [
        ("", "click openpyxl kitmaker.api highspy numpy pandas jinja2 xlsxwriter"),
        ("km.read_pattern('ferry-tickets.csv')", "click highspy pandas jinja2 xlsxwriter"),
        ("km.plan(km.read_pattern('ferry-tickets.csv'), 2)", "click pandas"),
    ],
)
def test_only_what_is_used_is_loaded(words: str, heavy: str) -> None:
    script = (
        f"import sys\nimport kitmaker as km\n{words}\n"
        f"loaded = set({heavy.split()!r}) & set(sys.modules)\nassert not loaded, loaded\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, cwd=SAMPLES)


# reading


def test_a_file_that_cannot_be_read_raises(tmp_path: Path) -> None:
    for read in (km.read_pattern, km.read_shop, km.read_class, km.read_cloth):
        with pytest.raises(km.UnreadableError, match=r"missing\.xlsx"):
            read(tmp_path / "missing.xlsx")


def test_a_line_that_is_not_read_stands_in_the_problems_and_stops_a_plan(tmp_path: Path) -> None:
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
    rows = (headings, ("Sky", "A", 3, 3, 20), ("Sky", "B", "some", 3, 20))
    pattern = km.read_pattern(write(tmp_path / "p.xlsx", {"Pieces": rows}))
    assert [problem.location.address for problem in pattern.problems if problem.location] == [
        "Pieces!C3"
    ]
    with pytest.raises(km.CannotBeMetError, match="not read"):
        km.plan(pattern, 2)
    assert km.plan(pattern, 2, leave_out_unread=True).not_complete


# choices, and whose they are


def test_an_argument_that_the_workbook_says_too_is_the_workbooks(tmp_path: Path) -> None:
    pieces = (
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity"),
        *((role, "A", 3, 3, 20) for role in ("Sky", "Sand", "Sea", "Shore")),
    )
    forms = (("Fabric", "Requirement", "Form"), ("Sea", "1 yd", "fat quarter"))
    pattern = km.read_pattern(write(tmp_path / "p.xlsx", {"Pieces": pieces, "Fabrics": forms}))
    class_rows = (
        ("Fabric", "In kit", "Form", "Bag"),
        ("Sky", None, "Fat Quarters", "pieces"),
        ("Sand", None, "half-yard", None),
    )
    facts = (("Kits", 4), ("Spare kits", 1))
    path = write(tmp_path / "class.xlsx", {"Class": facts, "Fabrics": class_rows})
    sheet = km.read_class(path)
    plan = km.plan(
        pattern, 4, class_sheet=sheet, spare_kits=1, forms="fat-quarter", bags={"Sky": "pieces"}
    )
    assert "sheet 'Class', cell B1" in source(plan, "Kits")
    assert source(plan, "Spare kits") == "the Class sheet"
    assert source(plan, "Sky") == "the class workbook"
    assert source(plan, "Sand") == "the caller, default"  # half a yard in the workbook
    assert source(plan, "Sea") == "the pattern, default"
    assert source(plan, "Shore") == "the caller, default"
    with pytest.raises(km.UsageError, match="the caller says 5"):
        km.plan(pattern, 5, class_sheet=sheet)


def test_what_is_no_choice_is_named() -> None:
    pattern = km.read_pattern(SAMPLES / "ferry-tickets.csv")
    for words, said in (
        ({"kits": "many"}, "'many' is not a number of kits"),
        ({"bags": "sacks"}, "'sacks' is no bag"),
        ({"label_sheets": {"box": "letter-10"}}, "'box' is not a kind of label"),
        ({"forms": "fat-quaters"}, "fat-quaters"),
        ({"forms": {"Skye": "yardage"}}, "Skye"),
        ({"kits": 0}, "0 kits"),
    ):
        with pytest.raises(km.UsageError, match=said):
            km.plan(pattern, **words)  # type: ignore[arg-type]
    with pytest.raises(km.UsageError, match="fat-quaters"):
        km.convert(pattern, forms=["fat-quaters"])


# the same as the commands


def test_a_folder_written_is_the_commands(class_plan: KitPlan, tmp_path: Path) -> None:
    """Byte for byte, plan number included: nobody chose anything, so nothing is the caller's."""
    folder = km.write(class_plan, tmp_path / "api")
    words = ["plan", "--class", str(CLASS), "--shop", str(SHOP), "--out", str(tmp_path / "cli")]
    result = CliRunner().invoke(main, words)
    assert result.exit_code in (0, 1), result.output
    names = {path.name for path in folder.iterdir()}
    assert names == {path.name for path in (tmp_path / "cli").iterdir()}
    for name in names:
        assert (folder / name).read_bytes() == (tmp_path / "cli" / name).read_bytes(), name


def test_the_plan_number_is_that_of_the_files_and_the_choices(tmp_path: Path) -> None:
    ferry = SAMPLES / "ferry-tickets.csv"
    copy = tmp_path / "copy.csv"
    copy.write_bytes(ferry.read_bytes())
    numbers = [km.plan(km.read_pattern(path), 3).number for path in (ferry, copy)]
    words = ["plan", str(ferry), "--kits", "3", "--out", str(tmp_path / "out"), "--json"]
    printed = CliRunner().invoke(main, words).stdout
    assert len(set(numbers)) == 1
    assert f'"plan_number": "{numbers[0]}"' in printed
    assert km.plan(km.read_pattern(ferry), 4).number != numbers[0]


def test_a_conversion_is_the_commands() -> None:
    found = km.convert(km.read_pattern(LANTERNS), km.read_shop(SHOP), ["fat-quarter", "yardage"])
    words = ["convert", str(LANTERNS), "--shop", str(SHOP), "--form", "fat-quarter"]
    printed = CliRunner().invoke(main, [*words, "--form", "yardage"]).stdout
    for fabric in found:
        assert [option.asked for option in fabric.options] == ["fat-quarter", "yardage"]
        assert all(one.amount is None or one.amount.buy in printed for one in fabric.options)
    every = km.convert(km.read_pattern(SAMPLES / "ferry-tickets.csv"))
    assert len(every[0].options) == len(BUILT_IN_FORMS)


def test_cloth_is_broken_down_with_sizes_and_prices_as_mappings(tmp_path: Path) -> None:
    rows = (("Fabric", "Width", "Length", "Count"), ("Reed", 20, 16, 2))
    cloth = km.read_cloth(write(tmp_path / "cloth.xlsx", {"Cloth": rows}))
    found = km.breakdown(cloth, {"5": 10, "2.5": None}, {"5": "0.50", "2.5": 0.1})
    assert found == km.breakdown(cloth, ["5=10", "2.5"], ["5=0.50", "2.5=0.1"])
    assert dict(found.counts)["5"] <= 10
    assert found.worth >= Fraction(5)


def test_measured_cloth_goes_into_a_plan(tmp_path: Path) -> None:
    shop = km.read_shop(SHOP)
    pattern, class_sheet = km.read_pattern(LANTERNS), km.read_class(CLASS, shop)
    sku = next(fabric.sku for fabric in pattern.pattern.fabrics if fabric.sku)
    rows = (("SKU", "Width", "Length", "Count"), (sku, 41, 360, 1))
    measured = km.read_measured(write(tmp_path / "cloth.xlsx", {"Cut": rows}), pattern, shop)
    plan = km.plan(pattern, shop=shop, class_sheet=class_sheet, measured=measured)
    assert source(plan, "Measured cloth") == "the caller"


# values


def test_everything_read_and_planned_can_be_pickled(class_plan: KitPlan) -> None:
    shop = km.read_shop(SHOP)
    for value in (shop, km.read_class(CLASS, shop), km.read_pattern(LANTERNS), class_plan):
        again = pickle.loads(pickle.dumps(value))  # noqa: S301  # our own bytes
        assert again == value
    assert build_results(pickle.loads(pickle.dumps(class_plan))) == build_results(  # noqa: S301
        class_plan
    )


def test_planning_twice_gives_the_same_and_changes_nothing() -> None:
    pattern = km.read_pattern(SAMPLES / "ferry-tickets.csv")
    before = pickle.dumps(pattern)
    assert km.plan(pattern, 3) == km.plan(pattern, 3)
    assert pickle.dumps(pattern) == before


# data frames


def test_frames_are_the_tables_of_the_results_workbook(class_plan: KitPlan) -> None:
    frames = km.frames(class_plan)
    sheets = pd.read_excel(io.BytesIO(build_results(class_plan)), sheet_name=None, header=1)
    assert list(frames) == list(sheets)
    for name, frame in frames.items():
        sheet = sheets[name]
        for heading in sheet.columns:
            written = sheet[heading].head(len(frame))
            for mine, theirs in zip(frame[heading], written, strict=True):
                if pd.isna(theirs):
                    assert pd.isna(mine) or mine == "", (name, heading)
                elif isinstance(theirs, str):
                    assert mine == theirs, (name, heading)
                else:
                    assert float(mine) == pytest.approx(float(theirs)), (name, heading)


def test_every_column_is_documented_and_no_documentation_is_without_its_column(
    class_plan: KitPlan, small_plan: KitPlan
) -> None:
    for plan in (class_plan, small_plan):
        frames = km.frames(plan)
        assert set(frames) == {table.sheet for table in tables_of(plan)}
        for frame in frames.values():
            assert set(frame.columns) == set(frame.attrs["columns"])
            assert all(text.endswith(".") for text in frame.attrs["columns"].values())


def test_lengths_are_numbers_in_the_plans_unit(class_plan: KitPlan, small_plan: KitPlan) -> None:
    fabrics = km.frames(class_plan)["Fabrics"]
    bought = [one.total.buy_length for one in class_plan.fabrics]
    for at, length in enumerate(bought):
        if length is not None and not pd.isna(fabrics["All kits, in"][at]):
            assert fabrics["All kits, in"][at] == pytest.approx(float(length))
            assert fabrics["All kits, yd"][at] == pytest.approx(float(length / YARD))
    assert fabrics["All kits, in"].notna().any()
    pieces = km.frames(small_plan)["Pieces"]
    assert {"Across, cm", "Along, cm"} <= set(pieces.columns)
    assert pieces["Across, cm"].dtype == "float64"
    assert pieces["Needed"].dtype == "Int64"


def test_a_plan_without_problems_has_an_empty_frame_of_them() -> None:
    plan = km.plan(km.read_pattern(SAMPLES / "ferry-tickets.csv"), 1)
    frame = km.frames(plan)["Problems"]
    assert len(frame) == len(plan.problems)


# what the README shows


def blocks(heading: str) -> list[str]:
    section = README.split(f"## {heading}")[1].split("\n## ")[0]
    return re.findall(r"```python\n(.*?)```", section, re.DOTALL)


def test_the_readmes_notebook_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "sample_patterns").symlink_to(SAMPLES)
    monkeypatch.chdir(tmp_path)
    notebook = blocks("From Python")[0]
    names: dict[str, object] = {}
    exec(notebook, names)  # noqa: S102  # the README's own lines
    assert isinstance(names["plan"], KitPlan)
    assert (tmp_path / "lanterns" / "index.html").exists()
    assert len([line for line in notebook.splitlines() if line]) == 10


def test_the_readmes_catalog_runs_on_any_engine_that_maps(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In other processes too: the function and what it returns are sent between them."""
    catalog = tmp_path / "catalog"
    catalog.mkdir()
    for name in ("ferry-tickets.csv", "fjord-steps-metric.xlsx"):
        (catalog / name).write_bytes((SAMPLES / name).read_bytes())
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {"__name__": "catalog"}
    exec(blocks("From Python")[1], names)  # noqa: S102
    table = names["table"]
    assert isinstance(table, pd.DataFrame)
    assert set(table["pattern"]) == {"ferry-tickets.csv", "fjord-steps-metric.xlsx"}
    assert (table["fat quarters"] >= 1).all()


def plan_of(path: str) -> KitPlan:
    return km.plan(km.read_pattern(path), 2)


def test_plans_come_back_whole_from_other_processes() -> None:
    paths = [str(SAMPLES / "ferry-tickets.csv")]
    mapped = dask.bag.from_sequence(paths, npartitions=1).map(plan_of)
    (plan,) = mapped.compute(scheduler="processes", num_workers=1)
    assert plan == plan_of(paths[0])

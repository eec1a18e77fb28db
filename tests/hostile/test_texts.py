"""Whatever stands in a cell stays text: on pages, in the workbook, in names, on the screen."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest
from books import write
from click.testing import CliRunner, Result
from hostile.broken_files import HEADS

from kitmaker.cli import main
from kitmaker.errors import ExitCode
from kitmaker.paper.templating import templates_dir

MARKUP = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&amp;"
BRACES = "{{ 7*7 }}{% for x in range(9) %}{{ page }}{% endfor %}{# no #}"
FORMULA = '=HYPERLINK("http://example.invalid","x")'
TURNED = "Sky \u202egnp.exe\u202c \x1b[31mred\x07"
PATHS = [
    "../../escape",
    "/etc/passwd",
    "C:\\Windows\\x",
    "CON",
    "nul.txt",
    "LPT1",
    "x" * 300,
    "漢" * 300,
    TURNED,
    "..",
    ".",
    'a/b\\c:d*e?f"g<h>i|j',
    "$(touch kitmaker-was-here) `x` ;&",
    "~$lock",
    " ",
    MARKUP,
    BRACES,
    FORMULA,
]


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def csv_line(*fields: object) -> str:
    return ",".join('"' + str(one).replace('"', '""') + '"' for one in fields) + "\n"


def pattern(folder: Path, *names: str, name: str = "pattern.csv") -> Path:
    """A pattern with a fabric of each name, its one piece named alike."""
    path = folder / name
    lines = [csv_line(*HEADS)]
    lines += [csv_line(one, one, 3.5, 3.5, 10 + at) for at, one in enumerate(names)]
    path.write_text("".join(lines), encoding="utf-8")
    return path


def named_pattern(folder: Path, name: str) -> Path:
    """A pattern that gives itself a name, as text even where it looks like a formula."""
    book = openpyxl.Workbook()
    facts = book.active
    assert facts is not None
    facts.title = "Pattern"
    facts.append(("Pattern", ""))
    cell = facts.cell(1, 2)
    cell.value = re.sub(r"[\x00-\x08\x0b-\x1f]", "", name)
    cell.data_type = "s"
    pieces = book.create_sheet("Pieces")
    pieces.append(HEADS)
    pieces.append(("Sky", "A", 3.5, 3.5, 10))
    path = folder / "named.xlsx"
    book.save(path)
    return path


OWN_SCRIPT = (templates_dir() / "partials" / "ticks.js.j2").read_text(encoding="utf-8")


class Page(HTMLParser):
    """The tags, attributes and text of a page, but for kitmaker's own script."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.words: list[str] = []
        self.feed(text.replace(f"<script>{OWN_SCRIPT}</script>", "", 1))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.fixture(scope="module")
def odd_plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A plan whose fabrics and pieces bear every odd name there is."""
    folder = tmp_path_factory.mktemp("odd")
    out = folder / "plan"
    path = pattern(folder, MARKUP, BRACES, FORMULA, "+A1", "-2", "@SUM(A1)", TURNED)
    ended = run("plan", path, "--kits", 2, "--form", "fat-quarter", "--out", out)
    assert ended.exit_code == ExitCode.DONE, ended.stderr
    return out


def test_pages_show_markup_and_braces_as_they_were_typed(odd_plan: Path) -> None:
    pages = sorted(odd_plan.glob("*.html"))
    assert len(pages) >= 8
    for path in pages:
        page = Page(path.read_text(encoding="utf-8"))
        assert not page.tags & {"script", "img", "iframe", "object"}, path.name
        assert not {name for name in page.attributes if name.startswith("on")}, path.name
    index = Page((odd_plan / "index.html").read_text(encoding="utf-8"))
    text = "".join(index.words)
    assert MARKUP in text
    assert BRACES in text


def test_pages_hold_no_letters_that_control_a_screen_or_turn_text(odd_plan: Path) -> None:
    for path in odd_plan.glob("*.html"):
        text = path.read_text(encoding="utf-8")
        found = re.findall(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069]", text)
        assert not found, path.name


def test_a_name_like_a_formula_is_text_in_the_workbook(odd_plan: Path) -> None:
    book = openpyxl.load_workbook(odd_plan / "results.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]
    texts = {cell.value for cell in cells if cell.data_type == "s"}
    assert {FORMULA, "+A1", "-2", "@SUM(A1)", MARKUP, BRACES} <= texts
    formulas = [str(cell.value) for cell in cells if cell.data_type == "f"]
    assert formulas
    assert not [formula for formula in formulas if re.search("HYPERLINK|A1|<|{", formula)]
    assert not [cell for cell in cells if cell.hyperlink]


def test_file_names_are_plain_and_told_apart_when_folded(odd_plan: Path) -> None:
    names = [path.name for path in odd_plan.iterdir()]
    assert all(re.fullmatch(r"[\w.-]{1,120}", name) for name in names), names
    assert len({name.casefold() for name in names}) == len(names)


def test_fabrics_whose_names_fold_to_one_get_a_sheet_each(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    path = pattern(tmp_path, "Sky/1", "sky 1", "SKY-1", "ｓｋｙ　１?")
    ended = run("plan", path, "--kits", 1, "--form", "fat-quarter", "--bag", "pieces", "--out", out)
    assert ended.exit_code in (ExitCode.DONE, ExitCode.CANNOT_BE_MET), ended.stderr
    if not out.exists():
        assert "sky" in ended.stderr.casefold()
        return
    data = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    sheets = [one.name.casefold() for one in out.glob("cutting-sheet-*.html")]
    assert len(sheets) == len(set(sheets)) == len(data["fabrics"])


@pytest.mark.parametrize("name", PATHS, ids=range(len(PATHS)))
def test_a_pattern_name_becomes_one_folder_here_and_nothing_else(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = tmp_path / "here"
    here.mkdir()
    path = named_pattern(tmp_path, name)
    monkeypatch.chdir(here)
    ended = run("plan", path, "--kits", 1, "--form", "fat-quarter")
    # A name of 300 letters fits no label: that is said, and the rest is written.
    assert ended.exit_code in (ExitCode.DONE, ExitCode.CANNOT_BE_MET), ended.stderr
    made = [one.name for one in here.iterdir()]
    assert len(made) == 1
    assert len(made[0]) <= 100
    assert re.fullmatch(r"[\w-]+", made[0])
    assert made[0].casefold() not in {"con", "nul", "lpt1"}
    assert sorted(one.name for one in tmp_path.iterdir()) == ["here", "named.xlsx"]


@pytest.mark.parametrize(
    "name",
    ["../secret.xlsx", "/etc/passwd", "C:\\x.xlsx", "..\\x.xlsx", "x" * 300 + ".xlsx", "nul"],
)
def test_a_class_names_no_pattern_outside_its_folder(name: str, tmp_path: Path) -> None:
    rows = [("Pattern file", name), ("Kits", 2)]
    path = write(tmp_path / "class.xlsx", {"Class": rows})
    ended = run("plan", "--class", path, "--out", tmp_path / "plan")
    assert ended.exit_code in (ExitCode.USAGE, ExitCode.UNREADABLE), ended.stderr
    assert len(ended.stderr.splitlines()) == 1
    assert [one.name for one in tmp_path.iterdir()] == ["class.xlsx"]


ODD = MARKUP + BRACES


def odd_workbook(path: Path, sheets: dict[str, list[tuple[object, ...]]]) -> Path:
    """A workbook whose text cells are text, whatever they look like."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        page = book.create_sheet(name)
        for at, row in enumerate(rows, start=1):
            for across, value in enumerate(row, start=1):
                cell = page.cell(at, across)
                cell.value = value  # type: ignore[assignment]
                if isinstance(value, str):
                    cell.data_type = "s"
    book.save(path)
    return path


def test_every_field_of_every_workbook_is_shown_as_it_was_typed(tmp_path: Path) -> None:
    """Names, addresses, notes, prints, dye lots, extras: all with markup and braces in them."""
    pieces = [
        (*HEADS, "Notes", "Same print", "SKU"),
        (ODD, ODD, 3.5, 3.5, 10, ODD, ODD, "S-1"),
    ]
    odd_workbook(tmp_path / "p.xlsx", {"Pattern": [("Pattern", ODD)], "Pieces": pieces})
    labels = ("Name", "Address", "Phone", "Email", "Currency")
    stock = [
        ("SKU", "Print", "Form", "Length at hand", "Dye lot", "Price"),
        ("S-1", ODD, "", 9, ODD, 10),
    ]
    classes = [("Title", ODD), ("Teacher", ODD), ("Date", ODD), ("Pattern file", "p.xlsx")]
    book = odd_workbook(
        tmp_path / "both.xlsx",
        {
            "Shop": [(label, "EUR" if label == "Currency" else ODD) for label in labels],
            "Stock": stock,
            "Class": [*classes, ("Kits", 2)],
            "Colorways": [("Colorway", "Kits", "Fabric", "SKU"), (ODD, 2, ODD, "S-1")],
            "Extras": [("Item", "Count per kit", "Cost", "Price"), (ODD, 1, 1, 2)],
        },
    )
    out = tmp_path / "plan"
    ended = run("plan", "--class", book, "--shop", book, "--out", out)
    assert ended.exit_code in (ExitCode.DONE, ExitCode.CANNOT_BE_MET), ended.stderr
    assert "Traceback" not in ended.stderr
    pages = sorted(out.glob("*.html"))
    assert len(pages) >= 6
    for path in pages:
        page = Page(path.read_text(encoding="utf-8"))
        assert not page.tags & {"script", "img", "iframe", "object"}, path.name
        assert not {name for name in page.attributes if name.startswith("on")}, path.name
    shown = "".join(Page((out / "index.html").read_text(encoding="utf-8")).words)
    assert MARKUP in shown
    assert "{{ 7*7 }}" in shown


@pytest.mark.parametrize("command", ["check", "convert"])
def test_nothing_that_controls_a_screen_is_printed(command: str, tmp_path: Path) -> None:
    path = pattern(tmp_path, TURNED, TURNED + "\x9b2J", "two\nlines")
    ended = run(command, path)
    for said in (ended.stdout, ended.stderr):
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", said)
    assert "red" in ended.stdout


@pytest.mark.parametrize(
    "name", ["a" * 300 + ".xlsx", "a" * 5000, "nothing\x01.csv", "-", "*.xlsx"]
)
def test_an_impossible_file_name_is_one_line(name: str, tmp_path: Path) -> None:
    ended = run("check", tmp_path / name)
    assert ended.exit_code == ExitCode.UNREADABLE
    assert len(ended.stderr.splitlines()) == 1

"""Files into cells: what is read, what is refused, and with which one line."""

from __future__ import annotations

import io
import time
import zipfile
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from books import write
from openpyxl.styles import PatternFill

from kitmaker.errors import ExitCode, UnreadableError
from kitmaker.reading.grid import CellKind
from kitmaker.reading.workbook import read_workbook


def saved(workbook: openpyxl.Workbook, folder: Path, name: str = "book.xlsx") -> Path:
    path = folder / name
    workbook.save(path)
    return path


def one_sheet(folder: Path, rows: list[list[object]]) -> Path:
    return write(folder / "book.xlsx", {"Sheet": rows})


def texts(path: Path) -> list[tuple[int, list[str]]]:
    sheet = read_workbook(path).sheets[0]
    return [(row.number, [cell.text for cell in row.cells.values()]) for row in sheet.rows()]


def test_a_cell_knows_its_address_its_kind_and_its_exact_number(tmp_path: Path) -> None:
    path = one_sheet(tmp_path, [["a", 2.4999999999999996, True, None, date(2026, 1, 2)]])
    sheet = read_workbook(path).sheets[0]
    cells = [sheet.cell(1, column) for column in range(1, 6)]
    assert [cell.location.address for cell in cells] == [f"Sheet!{c}1" for c in "ABCDE"]
    assert [cell.kind for cell in cells] == [
        CellKind.TEXT,
        CellKind.NUMBER,
        CellKind.BOOL,
        CellKind.BLANK,
        CellKind.DATE,
    ]
    assert cells[1].number == Fraction(5, 2)


def test_a_formula_without_a_stored_value_is_no_blank(tmp_path: Path) -> None:
    path = one_sheet(tmp_path, [["=A2*2", None]])
    sheet = read_workbook(path).sheets[0]
    assert sheet.cell(1, 1).kind is CellKind.UNCALCULATED
    assert sheet.cell(1, 2).kind is CellKind.BLANK


def test_a_merged_range_fills_its_cells_and_blanks_elsewhere_stay_blank(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in (["Lantern", "one"], [None, "two"], [None, "three"]):
        sheet.append(row)
    sheet.merge_cells("A1:A2")
    read = read_workbook(saved(workbook, tmp_path)).sheets[0]
    assert read.cell(2, 1).text == "Lantern"
    assert read.cell(2, 1).location.cell == "A1"
    assert read.cell(3, 1).is_blank


def test_only_visible_sheets_are_read_and_hidden_rows_are_named(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    sheet.append(["a"])
    sheet.append(["b"])
    sheet.row_dimensions[2].hidden = True
    sheet.row_dimensions[9].hidden = True
    for state in ("hidden", "veryHidden"):
        workbook.create_sheet(state).sheet_state = state
    read = read_workbook(saved(workbook, tmp_path))
    assert [one.name for one in read.sheets] == ["Sheet"]
    assert read.sheets[0].hidden_rows == (2,)


def test_a_format_in_the_last_cell_costs_no_time(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    sheet.append(["a", 1])
    sheet["A1048576"].fill = PatternFill("solid", fgColor="FFFF00")
    sheet["XFD2"].fill = PatternFill("solid", fgColor="FFFF00")
    path = saved(workbook, tmp_path)
    start = time.monotonic()
    assert texts(path) == [(1, ["a", "1"])]
    assert time.monotonic() - start < 5


@pytest.mark.parametrize(
    ("content", "rows"),
    [
        (b'\xef\xbb\xbfa,b\r\n"x, y",2\r\n', [(1, ["a", "b"]), (2, ["x, y", "2"])]),
        ("a;b\nRosé;2,5\n".encode("cp1252"), [(1, ["a", "b"]), (2, ["Rosé", "2,5"])]),
        ("a\tb\nNA\t½\n".encode("utf-16"), [(1, ["a", "b"]), (2, ["NA", "½"])]),
        (b"sep=;\na;b\n1;2\n", [(1, ["a", "b"]), (2, ["1", "2"])]),
        (b'a,b\n\n1,"two\nlines"\n', [(1, ["a", "b"]), (3, ["1", "two\nlines"])]),
    ],
)
def test_a_csv_file_is_read_in_any_encoding(
    tmp_path: Path, content: bytes, rows: list[tuple[int, list[str]]]
) -> None:
    path = tmp_path / "book.csv"
    path.write_bytes(content)
    assert texts(path) == rows


def test_a_place_in_a_csv_file_has_no_sheet(tmp_path: Path) -> None:
    path = tmp_path / "book.csv"
    path.write_text("a,b\n1,2\n", encoding="utf-8")
    assert read_workbook(path).sheets[0].cell(2, 2).location.address == "B2"


def test_a_macro_workbook_and_a_template_are_read(tmp_path: Path) -> None:
    path = one_sheet(tmp_path, [["a"]])
    for ending in (".xlsm", ".xltx"):
        copy = tmp_path / f"book{ending}"
        copy.write_bytes(path.read_bytes())
        assert texts(copy) == [(1, ["a"])]


def zipped(members: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return stream.getvalue()


OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600
ENTITY = b'<!DOCTYPE a [<!ENTITY b SYSTEM "file:///x">]><a/>'
UNREADABLE: dict[str, Callable[[], bytes]] = {
    "empty.xlsx": lambda: b"",
    "text.xlsx": lambda: b"Fabric,Piece",
    "locked.xlsx": lambda: OLE,
    "old.xls": lambda: OLE,
    "book.ods": lambda: b"PK\x03\x04",
    "book.pdf": lambda: b"%PDF-1.4",
    "zip.csv": lambda: b"PK\x03\x04" + b"\0" * 40,
    "nul.csv": lambda: b"a\0b,c\n",
    "~$book.xlsx": lambda: b"lock",
    "other.xlsx": lambda: zipped({"word/document.xml": b"<w/>"}),
    "entity.xlsx": lambda: zipped({"xl/workbook.xml": ENTITY}),
    "bomb.xlsx": lambda: zipped({"xl/workbook.xml": b"", "xl/a.xml": b" " * (30 * 2**20)}),
    "broken.xlsx": lambda: zipped({"xl/workbook.xml": b"<workbook"}),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_cannot_be_read_gets_one_plain_line(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(UNREADABLE[name]())
    with pytest.raises(UnreadableError) as caught:
        read_workbook(path)
    assert caught.value.exit_code is ExitCode.UNREADABLE
    assert len(str(caught.value).splitlines()) == 1


def test_a_missing_file_and_a_folder_are_unreadable(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="no file"):
        read_workbook(tmp_path / "none.xlsx")
    folder = tmp_path / "folder.xlsx"
    folder.mkdir()
    with pytest.raises(UnreadableError, match="folder"):
        read_workbook(folder)


def test_a_cut_off_workbook_is_unreadable(tmp_path: Path) -> None:
    path = one_sheet(tmp_path, [["a", 1]])
    path.write_bytes(path.read_bytes()[:-300])
    with pytest.raises(UnreadableError):
        read_workbook(path)

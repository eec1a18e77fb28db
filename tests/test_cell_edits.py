"""Cells of a workbook changed, and everything else in it left as it is."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment

from kitmaker.errors import OutputError
from kitmaker.paper.cell_edits import edited, why_not_edited
from kitmaker.shopbooks.class_edits import Edit


def book(**sheets: list[list[Any]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    return saved(made)


def saved(made: Any) -> bytes:
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def cells(content: bytes, sheet: str) -> dict[tuple[int, int], Any]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what it cannot carry is no matter here
        page = openpyxl.load_workbook(io.BytesIO(content))[sheet]
    return {
        (cell.row, cell.column): cell.value
        for row in page.iter_rows()
        for cell in row
        if cell.value is not None
    }


def parts(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


PLACES = st.tuples(st.integers(1, 7), st.integers(1, 30))
VALUES = st.none() | st.integers(0, 10**6) | st.text("ab =<&>\"'½ÿ\t", min_size=1, max_size=9)


@settings(max_examples=25, deadline=None)
@given(
    before=st.dictionaries(PLACES, st.integers(0, 9) | st.text("xyz", min_size=1), max_size=12),
    changed=st.dictionaries(PLACES, VALUES, min_size=1, max_size=12),
)
def test_the_cells_named_change_and_no_others(
    before: dict[tuple[int, int], Any], changed: dict[tuple[int, int], Any]
) -> None:
    made = openpyxl.Workbook()
    sheet = made.worksheets[0]
    sheet.title = "Class"
    for (row, column), value in before.items():
        sheet.cell(row, column, value)
    edits = [Edit("Class", *place, value) for place, value in changed.items()]
    result = edited(saved(made), "a.xlsx", edits)
    wanted = {place: value for place, value in {**before, **changed}.items() if value is not None}
    assert cells(result, "Class") == wanted


def test_every_part_but_the_sheet_s_own_stays_byte_for_byte() -> None:
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as made:
        page = made.add_worksheet("Class")
        page.write(0, 0, "Kits")
        page.write(0, 1, 12, made.add_format({"bold": True, "num_format": "@"}))
        page.write_comment("B1", "ask Wren")
        chart = made.add_chart({"type": "bar"})
        chart.add_series({"values": "=Class!$B$1:$B$2"})
        page.insert_chart("D2", chart)
        page.data_validation("B2", {"validate": "list", "source": ["a", "b"]})
        page.conditional_format("B1:B9", {"type": "data_bar", "data_bar_2010": True})
        made.add_worksheet("Ideas").write(0, 0, "x")
    before = out.getvalue()
    after = edited(before, "a.xlsx", [Edit("Class", 1, 2, 14), Edit("Class", 1, 1, "Kits!")])
    old, new = parts(before), parts(after)
    changed = [name for name in old if old[name] != new[name]]
    assert (set(old), changed) == (set(new), ["xl/worksheets/sheet1.xml"])
    text = new["xl/worksheets/sheet1.xml"].decode()
    assert old["xl/worksheets/sheet1.xml"].decode().split("</sheetData>")[1] in text
    assert "x14" in text  # marks of a newer kind
    assert re.search(r'<c r="B1" s="\d+"><v>14</v></c>', text)  # looks as it did
    assert cells(after, "Class") == {(1, 1): "Kits!", (1, 2): 14}


def test_a_text_is_never_a_formula_and_never_markup() -> None:
    after = edited(book(Class=[["Title"]]), "a.xlsx", [Edit("Class", 1, 2, "=1+1 <b> \x00")])
    cell = openpyxl.load_workbook(io.BytesIO(after))["Class"]["B1"]
    assert (cell.data_type, cell.value) == ("s", "=1+1 <b>  ")


def test_a_sheet_that_is_not_there_is_added() -> None:
    edits = [Edit("Fabrics & more", 1, 1, "Fabric"), Edit("Fabrics & more", 2, 1, "Sky")]
    after = edited(book(Class=[["Title"]], Ideas=[["x"]]), "a.xlsx", edits)
    assert openpyxl.load_workbook(io.BytesIO(after)).sheetnames == [
        "Class", "Ideas", "Fabrics & more",
    ]  # fmt: skip
    assert cells(after, "Fabrics & more") == {(1, 1): "Fabric", (2, 1): "Sky"}


SHEETS = {
    "a prefix": '<x:worksheet xmlns:x="{0}"><x:sheetData><x:row r="1"><x:c r="A1" t="str">'
    "<x:v>Kits</x:v></x:c></x:row></x:sheetData></x:worksheet>",
    "an empty row": '<worksheet xmlns="{0}"><sheetData><row r="1"><c r="A1" t="str"><v>Kits</v>'
    '</c></row><row r="2" ht="30" customHeight="1"/></sheetData></worksheet>',
    "no places": '<worksheet xmlns="{0}"><dimension ref="A1"/><sheetData><row>'
    '<c t="str"><v>Kits</v></c></row></sheetData></worksheet>',
    "an empty cell": '<worksheet xmlns="{0}"><sheetData><row r="1"><c r="A1" t="str"><v>Kits</v>'
    '</c><c r="C1" s="0"/></row></sheetData></worksheet>',
}


@pytest.mark.parametrize("way", SHEETS)
def test_a_sheet_may_be_written_in_any_way(way: str) -> None:
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    held = parts(book(Class=[["x"]]))
    held["xl/worksheets/sheet1.xml"] = SHEETS[way].format(main).encode()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, text in held.items():
            archive.writestr(name, text)
    places = {(1, 2): 4, (1, 3): "four", (2, 1): "Date", (3, 2): 5}
    edits = [Edit("Class", *place, value) for place, value in places.items()]
    after = edited(out.getvalue(), "a.xlsx", edits)
    assert cells(after, "Class") == {(1, 1): "Kits", **places}
    if way == "an empty row":
        assert b'<row r="2" ht="30" customHeight="1"><c' in parts(after)["xl/worksheets/sheet1.xml"]


def test_what_would_be_out_of_date_is_refused() -> None:
    made = openpyxl.Workbook()
    made.worksheets[0]["A1"] = "=1+1"
    with pytest.raises(OutputError, match="holds formulas"):
        edited(saved(made), "a.xlsx", [Edit("Sheet", 1, 2, "x")])
    assert "is no .xlsx workbook" in why_not_edited(b"", "a.ods")
    made.worksheets[0]["A1"] = "1+1"
    made.worksheets[0]["A1"].comment = Comment("=2", "Wren")
    assert why_not_edited(saved(made), "a.xlsx") == ""

"""An .ods file becomes the same cells as any other; what is hostile gets one line."""

from __future__ import annotations

import time
import zipfile
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from kitmaker.errors import UnreadableError
from kitmaker.reading.grid import CellKind
from kitmaker.reading.requirements import read_pattern
from kitmaker.reading.workbook import read_workbook

NAMES = " ".join(
    f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{long}:1.0"'
    for short, long in {
        "office": "office",
        "table": "table",
        "text": "text",
        "style": "style",
        "number": "datastyle",
        "draw": "drawing",
    }.items()
)
STYLES = """
<number:date-style style:name="N1"><number:month/><number:text>/</number:text><number:day/>
<number:text>/</number:text><number:year/></number:date-style>
<number:number-style style:name="N2"><number:fraction number:min-numerator-digits="1"
 number:min-denominator-digits="1"/></number:number-style>
<number:number-style style:name="N3"><number:number number:min-integer-digits="3"
 number:decimal-places="0"/></number:number-style>
<number:number-style style:name="N4"><number:number number:min-integer-digits="1"/>
<number:text> yd</number:text>
</number:number-style>
<style:style style:name="day" style:family="table-cell" style:data-style-name="N1"/>
<style:style style:name="half" style:family="table-cell" style:data-style-name="N2"/>
<style:style style:name="code" style:family="table-cell" style:data-style-name="N3"/>
<style:style style:name="yards" style:family="table-cell" style:data-style-name="N4"/>
<style:style style:name="gone" style:family="table">
<style:table-properties table:display="false"/></style:style>
"""


def text_cell(text: str, more: str = "") -> str:
    lines = "".join(f"<text:p>{line}</text:p>" for line in text.split("\n"))
    return f'<table:table-cell office:value-type="string" {more}>{lines}</table:table-cell>'


def number_cell(value: str, shown: str = "", more: str = "") -> str:
    return (
        f'<table:table-cell office:value-type="float" office:value="{value}" {more}>'
        f"<text:p>{shown or value}</text:p></table:table-cell>"
    )


def row(*cells: str, more: str = "") -> str:
    return f"<table:table-row {more}>{''.join(cells)}</table:table-row>"


def ods(folder: Path, *rows: str, head: str = "", more: str = "", columns: str = "") -> Path:
    """A file as a spreadsheet program writes it; ``more`` stands behind its sheet."""
    path = folder / "pattern.ods"
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?>{head}<office:document-content {NAMES}>'
        f"<office:automatic-styles>{STYLES}</office:automatic-styles><office:body>"
        f'<office:spreadsheet><table:table table:name="Cutting">{columns}{"".join(rows)}'
        f"</table:table>{more}</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    return path


HEADINGS = row(*map(text_cell, ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")))


def test_a_pattern_is_read_from_an_ods_file_cell_by_cell(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(text_cell("Harbor Steps")),
        HEADINGS,
        row(
            text_cell("Navy"), text_cell("A"), text_cell("2½"), text_cell("4 1/2"), number_cell("8")
        ),
    )
    reading = read_pattern(path)
    assert reading.problems == ()
    piece = reading.pattern.fabrics[0].pieces[0]
    assert (piece.width, piece.length, piece.quantity) == (Fraction(5, 2), Fraction(9, 2), 8)
    assert piece.where.address == "Cutting!B3"


def test_cells_keep_their_kind_their_exact_number_and_their_lines(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(
            number_cell("2.4999999999999996"),
            text_cell("Cut 4 strips\nSub-cut<text:s text:c='2'/>into 8"),
            '<table:table-cell office:value-type="boolean" office:boolean-value="true"/>',
            '<table:table-cell office:value-type="percentage" office:value="0.1"/>',
            '<table:table-cell table:formula="of:=[.A1]*2"/>',
            number_cell("1.0", more='table:formula="of:=1"'),
            '<table:table-cell office:value-type="time" office:time-value="PT02H30M00S"/>',
        ),
    )
    sheet = read_workbook(path).sheets[0]
    cells = [sheet.cell(1, column) for column in range(1, 8)]
    assert [cell.kind for cell in cells] == [
        *(CellKind.NUMBER, CellKind.TEXT, CellKind.BOOL, CellKind.NUMBER),
        *(CellKind.UNCALCULATED, CellKind.NUMBER, CellKind.DATE),
    ]
    assert cells[0].number == Fraction(5, 2)
    assert cells[1].text == "Cut 4 strips\nSub-cut  into 8"
    assert cells[3].number_format == "0%"


def test_repeated_cells_and_rows_stand_where_they_are_counted_to(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(
            text_cell("x", 'table:number-columns-repeated="3"'),
            more='table:number-rows-repeated="2"',
        ),
        row(
            '<table:table-cell table:number-columns-repeated="16384"/>',
            more='table:number-rows-repeated="4"',
        ),
        row('<table:table-cell table:number-columns-repeated="2"/>', text_cell("y")),
        row("<table:table-cell/>", more='table:number-rows-repeated="1048569"'),
    )
    sheet = read_workbook(path).sheets[0]
    assert sorted(sheet.cells) == [*((r, c) for r in (1, 2) for c in (1, 2, 3)), (7, 3)]
    assert sheet.cell(7, 3).location.address == "Cutting!C7"


def test_a_merged_cell_carries_its_value_and_its_first_address(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(text_cell("Navy", 'table:number-rows-spanned="2"'), text_cell("A")),
        row("<table:covered-table-cell/>", text_cell("B")),
        row("<table:table-cell/>", text_cell("C")),
    )
    sheet = read_workbook(path).sheets[0]
    assert sheet.cell(2, 1).text == "Navy"
    assert sheet.cell(2, 1).location.cell == "A1"
    assert sheet.cell(3, 1).is_blank


def test_a_typed_fraction_that_became_a_date_is_named_in_an_ods_file_too(tmp_path: Path) -> None:
    day = (
        '<table:table-cell table:style-name="day" office:value-type="date" '
        'office:date-value="2026-03-08"><text:p>3/8/26</text:p></table:table-cell>'
    )
    path = ods(
        tmp_path,
        HEADINGS,
        row(text_cell("Navy"), text_cell("A"), day, number_cell("4"), number_cell("8")),
    )
    assert read_workbook(path).sheets[0].cell(2, 3).moment == date(2026, 3, 8)
    problems = [one for one in read_pattern(path).problems if one.is_error]
    assert [one.location.cell for one in problems if one.location] == ["C2"]
    assert "'3/8'" in problems[0].message


def test_a_fraction_format_that_hides_digits_is_warned_of(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        HEADINGS,
        row(
            *(text_cell("Navy"), text_cell("A")),
            number_cell("2.53", "2 1/2", 'table:style-name="half"'),
            *(number_cell("4"), number_cell("8")),
        ),
    )
    (problem,) = read_pattern(path).problems
    assert not problem.is_error
    assert "2 1/2" in problem.message


def test_a_column_s_style_holds_for_its_cells(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(number_cell("7"), number_cell("2")),
        columns='<table:table-column table:default-cell-style-name="code"/>'
        '<table:table-column table:number-columns-repeated="9" '
        'table:default-cell-style-name="yards"/>',
    )
    sheet = read_workbook(path).sheets[0]
    assert sheet.cell(1, 1).number_format == "000"
    assert sheet.cell(1, 2).number_format == '0" yd"'


def test_hidden_rows_are_read_and_named_and_hidden_sheets_are_not_read(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        HEADINGS,
        row(
            *(
                text_cell("Navy"),
                text_cell("A"),
                number_cell("2"),
                number_cell("4"),
                number_cell("8"),
            ),
            more='table:visibility="filter"',
        ),
        more='<table:table table:name="Old" table:style-name="gone">'
        f"{row(text_cell('never'))}</table:table>",
    )
    assert [sheet.name for sheet in read_workbook(path).sheets] == ["Cutting"]
    reading = read_pattern(path)
    assert len(reading.pattern.fabrics[0].pieces) == 1
    assert any("hidden" in one.message for one in reading.problems)


def test_a_comment_and_a_drawing_are_no_part_of_a_cell(tmp_path: Path) -> None:
    note = "<office:annotation><text:p>ask the author</text:p></office:annotation>"
    frame = "<draw:frame><text:p>a picture</text:p></draw:frame>"
    inside = f"{note}{frame}<text:p>Navy</text:p>"
    cell = f'<table:table-cell office:value-type="string">{inside}</table:table-cell>'
    assert read_workbook(ods(tmp_path, row(cell))).sheets[0].cell(1, 1).text == "Navy"


def test_entities_are_refused_before_they_grow(tmp_path: Path) -> None:
    head = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]>'
    with pytest.raises(UnreadableError, match="refused"):
        read_workbook(ods(tmp_path, row(text_cell("&b;")), head=head))


def test_a_filled_row_that_repeats_a_million_times_is_refused_in_no_time(tmp_path: Path) -> None:
    path = ods(
        tmp_path,
        row(
            text_cell("x", 'table:number-columns-repeated="99"'),
            more='table:number-rows-repeated="1048576"',
        ),
    )
    began = time.perf_counter()
    with pytest.raises(UnreadableError, match="more cells"):
        read_workbook(path)
    assert time.perf_counter() - began < 2


def test_a_file_that_unpacks_to_far_more_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.ods"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("content.xml", b" " * 30_000_000)
    with pytest.raises(UnreadableError, match="too large when unpacked"):
        read_workbook(path)


def test_a_locked_and_a_damaged_file_get_one_plain_line(tmp_path: Path) -> None:
    locked = ods(tmp_path, row(text_cell("x")))
    with zipfile.ZipFile(locked, "a") as archive:
        archive.writestr("META-INF/manifest.xml", "<m><manifest:encryption-data/></m>")
    with pytest.raises(UnreadableError, match="password"):
        read_workbook(locked)
    cut = tmp_path / "cut.ods"
    cut.write_bytes(ods(tmp_path, row(text_cell("x"))).read_bytes()[:200])
    with pytest.raises(UnreadableError, match="damaged"):
        read_workbook(cut)


@pytest.mark.parametrize("name", ["pattern.xls", "pattern.numbers", "pattern.pdf", "pattern.fods"])
def test_other_files_are_refused_with_what_to_do(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old")
    with pytest.raises(UnreadableError, match=r"save as \.xlsx"):
        read_workbook(path)


def test_a_file_that_libreoffice_saved_is_read_by_its_cells() -> None:
    """A title, merged names, formats, a date, TRUE, a formula, a hidden row and two lines."""
    read = read_pattern(Path(__file__).parent / "cases" / "saved_by_libreoffice.ods")
    assert read.pattern.name == "Harbor Steps"
    assert [
        (piece.where.cell, piece.quantity, piece.width, piece.length)
        for fabric in read.pattern.fabrics
        for piece in fabric.pieces
    ] == [
        ("B4", 4, Fraction(5, 2), None),
        ("B5", 8, Fraction(5, 2), Fraction(9, 2)),
        ("B6", 1, Fraction(7, 3), 5),
        ("B9", 2, Fraction(5, 2), 5),
        ("B10", 12, 3, 3),
        ("C4", 80, Fraction(5, 2), Fraction(5, 2)),
    ]
    asked = [one for one in read.problems if "fill far less" not in one.message]
    assert [(one.is_error, str(one.location and one.location.cell)) for one in asked] == [
        (True, "C7"),
        (True, "C8"),
        (False, "A10"),
    ]

"""Files that a shop may meet and must not be harmed by, each built from a few lines."""

from __future__ import annotations

import io
import random
import zipfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_patterns"
GOOD = SAMPLES / "harbor-lanterns.xlsx"
MEBIBYTE = 2**20

HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def text_cell(reference: str, text: str) -> str:
    """A cell that holds its text itself; the text is XML already."""
    return f'<c r="{reference}" t="inlineStr"><is><t>{text}</t></is></c>'


def number_cell(reference: str, number: str) -> str:
    return f'<c r="{reference}"><v>{number}</v></c>'


def row(number: int, cells: Iterable[str]) -> str:
    return f'<row r="{number}">{"".join(cells)}</row>'


def table(rows: Sequence[Sequence[str]]) -> str:
    """Rows of texts and numbers under each other, as sheet data."""
    lines = []
    for down, values in enumerate(rows, start=1):
        cells = [
            number_cell(f"{chr(64 + across)}{down}", value)
            if value.replace(".", "").isdecimal()
            else text_cell(f"{chr(64 + across)}{down}", value)
            for across, value in enumerate(values, start=1)
        ]
        lines.append(row(down, cells))
    return "".join(lines)


SMALL = table([HEADS, ("Sky", "A", "3.5", "3.5", "10")])


def sheet_xml(data: str, *, before: str = "", after: str = "", prolog: str = "") -> bytes:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{prolog}<worksheet xmlns="{_MAIN}" '
        f'xmlns:r="{_REL}">{before}<sheetData>{data}</sheetData>{after}</worksheet>'
    ).encode()


def members(
    sheet: bytes | None = None, *, more: dict[str, bytes] | None = None, sheet_name: str = "Pieces"
) -> dict[str, bytes]:
    """The members of a small workbook with one sheet."""
    return {
        "[Content_Types].xml": (
            f'<Types xmlns="{_PACKAGE}/content-types">'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package'
            '.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{_KIND}.sheet.main+xml"/>'
            f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_KIND}.worksheet+xml"/>'
            f'<Override PartName="/xl/sharedStrings.xml" ContentType="{_KIND}.sharedStrings+xml"/>'
            "</Types>"
        ).encode(),
        "_rels/.rels": (
            f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{_REL}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
        ).encode(),
        "xl/workbook.xml": (
            f'<workbook xmlns="{_MAIN}" xmlns:r="{_REL}"><sheets>'
            f'<sheet name="{sheet_name}" sheetId="1" r:id="rId1"/></sheets></workbook>'
        ).encode(),
        "xl/_rels/workbook.xml.rels": (
            f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{_REL}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>'
        ).encode(),
        "xl/worksheets/sheet1.xml": sheet_xml(SMALL) if sheet is None else sheet,
        "xl/sharedStrings.xml": strings_xml("Sky"),
        **(more or {}),
    }


def zipped(parts: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", method) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return stream.getvalue()


def good_members() -> dict[str, bytes]:
    with zipfile.ZipFile(GOOD) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def without(*names: str) -> bytes:
    return zipped({name: part for name, part in good_members().items() if name not in names})


def strings_xml(text: str) -> bytes:
    return f'<sst xmlns="{_MAIN}"><si><t>{text}</t></si></sst>'.encode()


def _one_long_string() -> bytes:
    return zipped(members(more={"xl/sharedStrings.xml": strings_xml("a" * (150 * MEBIBYTE))}))


def _long_string_that_packs_badly() -> bytes:
    numbers = random.Random(7)  # noqa: S311
    text = "".join(numbers.choices("abcdefghijklmnop ", k=22 * MEBIBYTE))
    return zipped(members(more={"xl/sharedStrings.xml": strings_xml(text)}))


def _millions_of_cells() -> bytes:
    line = "".join(f"<c><v>{n}</v></c>" for n in range(100))
    return zipped(members(sheet_xml(f"<row>{line}</row>" * 20_000)))


def _millions_of_bare_cells() -> bytes:
    numbers = random.Random(7)  # noqa: S311
    line = [f"<c><v>{numbers.randrange(10**6)}</v></c>" for _ in range(950_000)]
    return zipped(members(sheet_xml(f"<row>{''.join(line)}</row>")))


def _millions_of_rows() -> bytes:
    rows = "".join(f'<row r="{n}"/>' for n in range(1, 1_300_000))
    return zipped(members(sheet_xml(SMALL + rows)))


def _entities() -> bytes:
    laughs = "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' if n else '<!ENTITY l0 "lol">' for n in range(10)
    )
    sheet = sheet_xml(row(1, [text_cell("A1", "&l9;")]), prolog=f"<!DOCTYPE x [{laughs}]>")
    return zipped(members(sheet))


def _external_entity() -> bytes:
    prolog = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
    return zipped(members(sheet_xml(row(1, [text_cell("A1", "&e;")]), prolog=prolog)))


def _entities_in_other_letters() -> bytes:
    sheet = _entities_text().encode("utf-16")
    return zipped(members(sheet))


def _entities_text() -> str:
    return (
        '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY e "x">]>'
        f'<worksheet xmlns="{_MAIN}"><sheetData>{row(1, [text_cell("A1", "&e;")])}</sheetData>'
        "</worksheet>"
    )


def _entities_behind_another_name() -> bytes:
    parts = members()
    text = _entities_text().replace("UTF-16", "UTF-8").encode()
    del parts["xl/worksheets/sheet1.xml"]
    for name in ("xl/_rels/workbook.xml.rels", "[Content_Types].xml"):
        parts[name] = parts[name].replace(b"worksheets/sheet1.xml", b"worksheets/sheet1.png")
    return zipped({**parts, "xl/worksheets/sheet1.png": text})


def _merged_whole_sheet() -> bytes:
    after = '<mergeCells count="1"><mergeCell ref="A9:XFD1048576"/></mergeCells>'
    return zipped(members(sheet_xml(SMALL, after=after)))


def _merged_column() -> bytes:
    after = '<mergeCells count="1"><mergeCell ref="H1:H1048576"/></mergeCells>'
    return zipped(members(sheet_xml(SMALL, after=after)))


def _merged_title() -> bytes:
    title = row(1, [text_cell("A1", "Lanterns")])
    rows = SMALL.replace('r="1"', 'r="3"').replace('1" t=', '3" t=', 5)
    rows = rows.replace('r="2"', 'r="4"').replace('2" t=', '4" t=').replace('2"><v>', '4"><v>')
    after = '<mergeCells count="1"><mergeCell ref="A1:XFD1"/></mergeCells>'
    return zipped(members(sheet_xml(title + rows, after=after)))


def _many_merges() -> bytes:
    merges = "".join(f'<mergeCell ref="A1:Z{n}"/>' for n in range(2, 9000))
    return zipped(members(sheet_xml(SMALL, after=f"<mergeCells>{merges}</mergeCells>")))


def _link_over_the_whole_sheet() -> bytes:
    after = '<hyperlinks><hyperlink ref="A1:XFD1048576" location="x"/></hyperlinks>'
    return zipped(members(sheet_xml(SMALL, after=after)))


def _number_of_ten_thousand_digits() -> bytes:
    return zipped(members(sheet_xml(SMALL + row(9, [number_cell("A9", "9" * 10_000)]))))


def _reference_past_the_sheet() -> bytes:
    return zipped(members(sheet_xml(SMALL + row(3, [text_cell("ZZZZ9", "far")]))))


def _many_sheets() -> bytes:
    parts = members()
    sheets = "".join(f'<sheet name="S{n}" sheetId="{n}" r:id="rId1"/>' for n in range(1, 60_000))
    parts["xl/workbook.xml"] = (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_REL}"><sheets>{sheets}</sheets></workbook>'
    ).encode()
    return zipped(parts)


def _one_sheet_many_names() -> bytes:
    parts = members()
    sheets = "".join(f'<sheet name="S{n}" sheetId="{n}" r:id="rId1"/>' for n in range(1, 200))
    parts["xl/workbook.xml"] = (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_REL}"><sheets>{sheets}</sheets></workbook>'
    ).encode()
    return zipped(parts)


def _many_defined_names() -> bytes:
    parts = members()
    names = "".join(f'<definedName name="n{n}">Pieces!$A${n}</definedName>' for n in range(100_000))
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(
        b"</workbook>", f"<definedNames>{names}</definedNames></workbook>".encode()
    )
    return zipped(parts)


_OFFICE = "urn:oasis:names:tc:opendocument:xmlns"


def _ods(*, row_xml: str, prolog: str = "") -> bytes:
    cells = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in ("Fabric", "Requirement")
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?>{prolog}<office:document-content '
        f'xmlns:office="{_OFFICE}:office:1.0" xmlns:table="{_OFFICE}:table:1.0" '
        f'xmlns:text="{_OFFICE}:text:1.0"><office:body><office:spreadsheet>'
        f'<table:table table:name="Fabrics"><table:table-row>{cells}</table:table-row>'
        f"{row_xml}</table:table></office:spreadsheet></office:body></office:document-content>"
    )
    return zipped(
        {
            "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
            "content.xml": content.encode(),
        }
    )


def _ods_repeated() -> bytes:
    cell = (
        '<table:table-cell table:number-columns-repeated="16000" office:value-type="string">'
        "<text:p>Sky</text:p></table:table-cell>"
    )
    rows = f'<table:table-row table:number-rows-repeated="1000000">{cell}</table:table-row>'
    return _ods(row_xml=rows)


def _many_members() -> bytes:
    return zipped(members(more={f"xl/media/{n}.png": b"" for n in range(6000)}))


def _size_that_lies() -> bytes:
    packed = bytearray(zipped(members(sheet_xml(SMALL + " " * 5 * MEBIBYTE))))
    name = b"xl/worksheets/sheet1.xml"
    at = packed.rindex(name) - 46
    packed[at + 24 : at + 28] = (1000).to_bytes(4, "little")
    return bytes(packed)


def _overlapping_members() -> bytes:
    """Many names for one packed megabyte: the directory points at one place again and again."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members().items():
            archive.writestr(name, content)
        archive.writestr("xl/a.xml", b" " * MEBIBYTE)
        first = archive.getinfo("xl/a.xml")
        for number in range(2000):
            twin = zipfile.ZipInfo(f"xl/{number:04}.xml")
            twin.header_offset, twin.CRC = first.header_offset, first.CRC
            twin.compress_size, twin.file_size = first.compress_size, first.file_size
            twin.compress_type = first.compress_type
            archive.filelist.append(twin)
            archive.NameToInfo[twin.filename] = twin
    return stream.getvalue()


def _password_flag() -> bytes:
    packed = bytearray(GOOD.read_bytes())
    at = packed.rindex(b"PK\x01\x02")
    packed[at + 8] |= 1
    return bytes(packed)


def _cut_off(keep: float) -> Callable[[], bytes]:
    def make() -> bytes:
        whole = GOOD.read_bytes()
        return whole[: int(len(whole) * keep)]

    return make


OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 4096

REFUSED: dict[str, Callable[[], bytes]] = {
    "one-string-of-150-mb.xlsx": _one_long_string,
    "millions-of-cells.xlsx": _millions_of_cells,
    "a-million-bare-cells.xlsx": _millions_of_bare_cells,
    "one-sheet-many-names.xlsx": _one_sheet_many_names,
    "many-defined-names.xlsx": _many_defined_names,
    "packed-another-way.xlsx": lambda: zipped(members(), zipfile.ZIP_LZMA),
    "ods-repeated.ods": _ods_repeated,
    "ods-entities.ods": lambda: _ods(row_xml="", prolog='<!DOCTYPE x [<!ENTITY e "x">]>'),
    "ods-cut-off.ods": lambda: _ods(row_xml="")[:300],
    "entities.xlsx": _entities,
    "external-entity.xlsx": _external_entity,
    "entities-in-utf-16.xlsx": _entities_in_other_letters,
    "entities-behind-a-png.xlsx": _entities_behind_another_name,
    "merged-whole-sheet.xlsx": _merged_whole_sheet,
    "many-merges.xlsx": _many_merges,
    "merged-column.xlsx": _merged_column,
    "merged-without-a-range.xlsx": lambda: zipped(
        members(
            sheet_xml(SMALL, after='<mergeCells><mergeCell x=">" ref="A1:Z999999"/></mergeCells>')
        )
    ),
    "tags-that-never-end.xlsx": lambda: zipped(
        members(sheet_xml(SMALL, after="<mergeCell " * 90_000))
    ),
    "link-over-the-sheet.xlsx": _link_over_the_whole_sheet,
    "reference-past-the-sheet.xlsx": _reference_past_the_sheet,
    "ten-thousand-digits.xlsx": _number_of_ten_thousand_digits,
    "many-sheets.xlsx": _many_sheets,
    "many-members.xlsx": _many_members,
    "size-that-lies.xlsx": _size_that_lies,
    "overlapping-members.xlsx": _overlapping_members,
    "no-workbook-part.xlsx": lambda: without("xl/workbook.xml"),
    "no-content-types.xlsx": lambda: without("[Content_Types].xml"),
    "no-relations.xlsx": lambda: without("xl/_rels/workbook.xml.rels"),
    "no-sheets.xlsx": lambda: without(
        "xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml"
    ),
    "half-a-sheet.xlsx": lambda: zipped(members(sheet_xml(SMALL)[:-60])),
    "cut-off-early.xlsx": _cut_off(0.2),
    "cut-off-late.xlsx": _cut_off(0.97),
    "zero-bytes.xlsx": lambda: b"",
    "zero-bytes.csv": lambda: b"",
    "all-zeros.xlsx": lambda: b"\0" * 5000,
    "all-zeros.csv": lambda: b"\0" * 5000,
    "a-picture.xlsx": lambda: b"\x89PNG\r\n\x1a\n" + b"\0" * 300,
    "a-picture.csv": lambda: b"\x89PNG\r\n\x1a\n" + b"\0" * 300,
    "a-page.xlsx": lambda: b"<html><table><tr><td>Fabric</td></tr></table></html>",
    "a-document.xlsx": lambda: zipped({"word/document.xml": b"<w/>"}),
    "a-workbook.csv": lambda: GOOD.read_bytes(),
    "encrypted.xlsx": lambda: OLE + "EncryptedPackage".encode("utf-16-le"),
    "old.xls": lambda: OLE,
    "password-zip.xlsx": _password_flag,
    "~$harbor-lanterns.xlsx": lambda: b"\x07Juniper" + b" " * 150,
    "huge.csv": lambda: b"Fabric,Requirement\n" + b"Sky,1 yd\n" * 800_000,
    "endless-field.csv": lambda: b'Fabric,"' + b"a" * 300_000,
    "a-million-fields.csv": lambda: b"," * 4_000_000,
    "millions-of-rows.xlsx": _millions_of_rows,
}
"""Name to content of files that are refused with one line."""

_HEAVY = ("one-string", "million", "a-million", "merged-", "many-", "link-", "one-sheet")
_HEAVY_TOO = ("huge", "overlapping", "entities.", "ods-repeated", "endless")
HEAVY = tuple(name for name in REFUSED if name.startswith((*_HEAVY, *_HEAVY_TOO)))
"""Those that could take long or much memory: measured in a process of their own."""


def _far_cell() -> bytes:
    far = row(1048576, [text_cell("XFD1048576", "far away")])
    return zipped(members(sheet_xml(SMALL + far, before='<dimension ref="A1:XFD1048576"/>')))


def _row_past_the_sheet() -> bytes:
    return zipped(members(sheet_xml(SMALL + row(9, [text_cell("A99999999999", "far")]))))


def _path_like_members() -> bytes:
    paths = {
        "../../../../tmp/kitmaker-was-here": b"x",
        "/tmp/kitmaker-was-here": b"x",  # noqa: S108
        "C:\\Windows\\kitmaker-was-here": b"x",
    }
    return zipped(members(more=paths))


def _macros() -> bytes:
    script = b'Sub Auto_Open()\r\nShell "touch kitmaker-was-here"\r\nEnd Sub'
    parts = good_members()
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(
        f"{_KIND}.sheet.main+xml".encode(), b"application/vnd.ms-excel.sheet.macroEnabled.main+xml"
    )
    return zipped({**parts, "xl/vbaProject.bin": OLE + script})


def _many_fields_csv() -> bytes:
    return (",".join(HEADS) + "\nSky,A,3.5,3.5,10\n" + "\n" * 1000).encode()


READ: dict[str, Callable[[], bytes]] = {
    "far-cell.xlsx": _far_cell,
    "row-past-the-sheet.xlsx": _row_past_the_sheet,
    "string-that-packs-badly.xlsx": _long_string_that_packs_badly,
    "title-over-the-whole-row.xlsx": _merged_title,
    "path-like-members.xlsx": _path_like_members,
    "macros.xlsm": _macros,
    "blank-lines.csv": _many_fields_csv,
}
"""Name to content of files that look odd and are read."""

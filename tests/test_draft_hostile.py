"""A page is hostile until read: refused in one plain line, in time, whatever it holds."""

from __future__ import annotations

import base64
import errno
import io
import subprocess
import sys
import time
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import docx
import pypdf
import pytest

import kitmaker as km
from kitmaker.drafts import Draft
from kitmaker.reading.documents import apart

DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGNgYGAAAAAEAAH2FzhVAAAAAElFTkSuQmCC"
)
CUTS = "BT /F1 12 Tf 72 700 Td (From the fern solid, cut: 4 squares 5 inches) Tj ET"


def pdf_of(*objects: str | bytes) -> bytes:
    """Return a .pdf of numbered objects, the first of which is its catalog."""
    out = io.BytesIO(b"%PDF-1.4\n")
    out.seek(0, io.SEEK_END)
    places = []
    for number, one in enumerate(objects, start=1):
        places.append(out.tell())
        body = one.encode("latin-1") if isinstance(one, str) else one
        out.write(b"%d 0 obj\n%s\nendobj\n" % (number, body))
    start = out.tell()
    out.write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1))
    out.write(b"".join(b"%010d 00000 n \n" % place for place in places))
    out.write(b"trailer\n<< /Size %d /Root 1 0 R >>\n" % (len(objects) + 1))
    out.write(b"startxref\n%d\n%%%%EOF\n" % start)
    return out.getvalue()


def stream(content: bytes, more: str = "") -> bytes:
    head = f"<< /Length {len(content)} {more} >>\nstream\n".encode()
    return head + content + b"\nendstream"


CATALOG = "<< /Type /Catalog /Pages 2 0 R >>"
PAGES = "<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
FONT = "/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
PAGE = (
    "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R "
    f"/Resources << {FONT} /XObject << /I 5 0 R >> >> >>"
)
PICTURE = stream(b"\0\0\0", "/Type /XObject /Subtype /Image /Width 1 /Height 1 "
                 "/ColorSpace /DeviceRGB /BitsPerComponent 8")  # fmt: skip


def good_pdf() -> bytes:
    return pdf_of(CATALOG, PAGES, PAGE, stream(CUTS.encode()), PICTURE)


def encrypted_pdf() -> bytes:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(good_pdf()))
    writer.encrypt("", "owner", algorithm="RC4-128")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def pdf_with_a_script() -> bytes:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(good_pdf()))
    script = pypdf.generic.DictionaryObject()
    script[pypdf.generic.NameObject("/S")] = pypdf.generic.NameObject("/JavaScript")
    script[pypdf.generic.NameObject("/JS")] = pypdf.generic.TextStringObject("app.alert(99)")
    writer.root_object[pypdf.generic.NameObject("/OpenAction")] = script
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def pdf_of_many_pages() -> bytes:
    kids = " ".join(f"{number} 0 R" for number in range(3, 10_003))
    page = "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] >>"
    pages = f"<< /Type /Pages /Kids [{kids}] /Count 10000 >>"
    return pdf_of(CATALOG, pages, *[page] * 10_000)


def pdf_bomb() -> bytes:
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(b" " * 2**20) for _ in range(400)) + packer.flush()
    return pdf_of(CATALOG, PAGES, PAGE, stream(packed, "/Filter /FlateDecode"), PICTURE)


def pdf_of_pictures() -> bytes:
    return pdf_of(CATALOG, PAGES, PAGE, stream(b"q 500 0 0 500 50 50 cm /I Do Q"), PICTURE)


def pdf_that_holds_itself() -> bytes:
    return pdf_of(CATALOG, "<< /Type /Pages /Kids [2 0 R 2 0 R] /Count 2 >>")


def docx_of(*paragraphs: str) -> docx.document.Document:
    document = docx.Document()
    for words in paragraphs:
        document.add_paragraph(words)
    return document


def saved(document: docx.document.Document) -> bytes:
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def docx_of_pictures() -> bytes:
    document = docx_of()
    document.add_picture(io.BytesIO(DOT))
    return saved(document)


def docx_bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        archive.writestr("word/document.xml", b" " * (200 * 2**20))
    return out.getvalue()


def docx_with_entities() -> bytes:
    source = io.BytesIO(saved(docx_of("Cut 4 squares 5 inches")))
    out = io.BytesIO()
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "word/document.xml":
                content = content.replace(
                    b"<w:document", b'<!DOCTYPE a [<!ENTITY b "c">]><w:document'
                )
            new.writestr(name, content)
    return out.getvalue()


HOSTILE: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "encrypted": (".pdf", encrypted_pdf, "is protected"),
    "scripts": (".pdf", pdf_with_a_script, "holds scripts"),
    "10,000 pages": (".pdf", pdf_of_many_pages, "more pages than a pattern needs"),
    "pdf bomb": (".pdf", pdf_bomb, "more time or memory"),
    "pictures": (".pdf", pdf_of_pictures, "it holds pictures, no text"),
    "its own part": (".pdf", pdf_that_holds_itself, "cannot be read"),
    "damaged": (".pdf", lambda: b"%PDF-1.4\nnothing else", "is damaged"),
    "no pdf": (".pdf", lambda: b"Cut 4 squares 5 inches", "is damaged"),
    "docx of pictures": (".docx", docx_of_pictures, "it holds pictures, no text"),
    "docx bomb": (".docx", docx_bomb, "too large when unpacked"),
    "entities": (".docx", docx_with_entities, "is refused"),
    "damaged docx": (".docx", lambda: b"PK\x03\x04 and no more", "is damaged"),
    "old doc": (".docx", lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old .doc file"),
    "no text": (".txt", lambda: b"\n \n", "holds no text"),
    "bytes": (".txt", lambda: b"\0\1\2\0" * 50, "is not a text file"),
    "endless text": (".txt", lambda: b"cut 4\n" * 20_000, "more lines than a pattern needs"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_page_is_refused_in_one_line_and_in_time(name: str, tmp_path: Path) -> None:
    ending, make, said = HOSTILE[name]
    path = tmp_path / f"page{ending}"
    path.write_bytes(make())
    before = time.monotonic()
    with pytest.raises(km.UnreadableError) as refused:
        km.draft(path)
    assert time.monotonic() - before < 2 * apart.MOST_SECONDS
    (problem,) = refused.value.problems
    assert said in problem.message
    assert "\n" not in problem.message


@pytest.mark.parametrize("ending", [".txt", ".docx", ".pdf", ".csv"])
def test_a_source_that_may_not_be_opened_is_refused_by_its_name(
    ending: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / f"page{ending}"
    source.write_bytes(b"From the fern solid, cut: 4 squares 5 inches")

    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied", str(path))

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(km.UnreadableError, match=f"'page{ending}' cannot be read: Permission"):
        km.draft(source)


def test_a_plain_pdf_is_read(tmp_path: Path) -> None:
    (tmp_path / "page.pdf").write_bytes(good_pdf())
    (row,) = km.draft(tmp_path / "page.pdf").pieces
    assert (row.cell("Fabric"), row.cell("Quantity")) == ("fern solid", "4")


LAYERED = (
    "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R] /D << /OFF [6 0 R] >> >> >>"
)
PAGE_WITH_A_LAYER = PAGE.replace("/XObject", "/Properties << /Off 6 0 R >> /XObject")
UNSEEN = """3 Tr 72 600 Td (9 squares 21 inches) Tj 0 Tr
1 g 0 -20 Td (9 squares 22 inches) Tj 0 g
2000 -20 Td (9 squares 23 inches) Tj -2000 0 Td
.7 .7 -.7 .7 72 500 Tm (9 squares 24 inches) Tj
1 0 0 1 72 480 Tm /OC /Off BDC (9 squares 25 inches) Tj EMC"""


def drawn(tmp_path: Path, text: str) -> Draft:
    content = stream(f"BT /F1 12 Tf {text} ET".encode())
    page = pdf_of(LAYERED, PAGES, PAGE_WITH_A_LAYER, content, PICTURE, "<< /Type /OCG /Name (x) >>")
    (tmp_path / "page.pdf").write_bytes(page)
    return km.draft(tmp_path / "page.pdf")


def test_text_that_no_one_sees_is_not_read(tmp_path: Path) -> None:
    """Drawn invisible, white on white, off the page, tilted, or on a layer switched off."""
    cut = "1 0 0 1 72 460 Tm (From the fern solid, cut: 4 squares 5 inches) Tj"
    draft = drawn(tmp_path, f"{UNSEEN} {cut}")
    assert [(row.cell("Cut width"), row.cell("Quantity")) for row in draft.pieces] == [("5", "4")]
    assert draft.open_rows == ()


def test_white_letters_on_a_dark_band_are_read(tmp_path: Path) -> None:
    band = "(Lantern Row) Tj ET 0 g 60 690 400 30 re f BT /F1 12 Tf 1 g 72 700 Td"
    draft = drawn(tmp_path, f"72 740 Td {band} (From the fern solid, cut: 4 squares 5 inches) Tj")
    assert [row.cell("Quantity") for row in draft.pieces] == ["4"]


def test_figures_set_above_each_other_are_a_fraction(tmp_path: Path) -> None:
    draft = drawn(
        tmp_path,
        "72 740 Td (Lantern Row) Tj 0 -20 Td (Fern: 1) Tj /F1 7 Tf 1 0 0 1 110 725 Tm (3) Tj "
        "1 0 0 1 110 716.5 Tm (4) Tj /F1 12 Tf 1 0 0 1 115 720 Tm ( yards) Tj "
        "1 0 0 1 72 700 Tm (From fern, cut: 4 squares 5 inches) Tj",
    )
    assert [row.cell("Requirement") for row in draft.fabrics] == ["1 3⁄4 yards"]


def test_hidden_and_struck_words_of_a_docx_are_no_cuts(tmp_path: Path) -> None:
    made = docx.Document()
    made.add_paragraph("From the fern solid, cut:")
    made.add_paragraph('4 squares 5"')
    made.add_paragraph().add_run('9 squares 21"').font.hidden = True
    made.add_paragraph().add_run('9 squares 22"').font.strike = True
    made.save(str(tmp_path / "page.docx"))
    draft = km.draft(tmp_path / "page.docx")
    assert [row.cell("Cut width") for row in draft.pieces] == ["5"]
    assert [(one.words, one.why) for one in draft.left_over] == [
        ('9 squares 22"', "struck through")
    ]


@pytest.mark.parametrize(
    "command", [["--help"], ["check", "--help"], ["check", "PATTERN"]], ids=" ".join
)
def test_what_reads_pages_is_loaded_by_draft_alone(command: list[str]) -> None:
    pattern = Path(__file__).parent.parent / "sample_patterns" / "ferry-tickets.csv"
    asked = [str(pattern) if word == "PATTERN" else word for word in command]
    code = (
        "import sys; from kitmaker.cli import main\n"
        f"try: main({asked!r})\n"
        "except SystemExit: pass\n"
        "loaded = {'docx', 'pdfminer', 'cryptography'} & set(sys.modules)\n"
        "sys.exit(f'loaded {loaded}' if loaded else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_cell_of_many_lines_does_not_tell_them_all_beside_each(tmp_path: Path) -> None:
    lines = "\n".join(['Cut 2 squares 2½"'] * 30).replace('"', '""')
    source = tmp_path / "long.csv"
    source.write_text(f'Fabric,Cutting\nNavy,"{lines}"\n', encoding="utf-8")
    draft = km.draft(source)
    reasons = [row.why for row in draft.pieces]
    assert len(reasons) == 30
    assert any(why.endswith("And 20 more.") for why in reasons)
    assert max(map(len, reasons)) < 3_000

"""What the counter finds in its folder, and what is brought into it."""

from __future__ import annotations

import io
import time
import zipfile
from pathlib import Path

import books
import pytest
from counter_kit import HERE, PATTERN, desk_over, names_in, small_folder, visitor

from kitmaker.counter.desk import Desk
from kitmaker.counter.folder import Folder
from kitmaker.errors import UnreadableError


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_over(small_folder(tmp_path / "shop"))


def test_files_are_told_apart_by_their_sheets(desk: Desk) -> None:
    folder = desk.folder.path
    both = {"Class": [("Title", "x")], "Pieces": PATTERN["Pieces"]}
    books.write(folder / "class-and-pattern.xlsx", both)
    books.write(folder / "measured.xlsx", {"Cuts": [("SKU", "Width", "Length", "Count")]})
    books.write(folder / "odd-names.xlsx", {"Color-ways": [("Colorway", "SKU")]})
    (folder / "page.txt").write_text("Sky 1 yd")
    (folder / "list.csv").write_text("Fabric,Requirement\nSky,1 yd\n")
    (folder / "photo.jpg").write_bytes(b"x")
    (folder / "broken.xlsx").write_bytes(b"no zip")
    (folder / "made").mkdir()
    (folder / "made" / "plan.json").write_text("{}")
    listing = desk.folder.listing()
    assert listing.patterns == (
        "broken.xlsx", "class-and-pattern.xlsx", "gull-point.xlsx", "list.csv",
    )  # fmt: skip
    assert listing.classes == ("class-and-pattern.xlsx", "gulls-class.xlsx", "odd-names.xlsx")
    assert (listing.shops, listing.lists) == (("cove-shop.xlsx",), ("measured.xlsx",))
    assert (listing.pages, listing.plans) == (("page.txt",), ("made",))


def test_an_ods_workbook_is_told_by_its_sheets_too(desk: Desk) -> None:
    tables = '<table:table table:style-name="a" table:name="Stock &amp; more"/>'
    for name, more in (("list.ods", ""), ("shop.ods", '<table:table table:name="Stock"/>')):
        with zipfile.ZipFile(desk.folder.path / name, "w") as archive:
            archive.writestr("content.xml", f"<office:body>{tables}{more}</office:body>")
    listing = desk.folder.listing()
    assert "list.ods" in listing.patterns
    assert listing.shops == ("cove-shop.xlsx", "shop.ods")


def test_a_damaged_workbook_hides_no_other(desk: Desk) -> None:
    """What is packed in it makes no sense: other faults than those of a file that is no zip."""
    before = desk.folder.listing()
    good = bytearray((desk.folder.path / "gull-point.xlsx").read_bytes())
    for name, harm in (("a.xlsx", 0x5A), ("b.xlsx", 0xFF)):
        bad = bytearray(good)
        with zipfile.ZipFile(io.BytesIO(good)) as archive:
            start = archive.getinfo("xl/workbook.xml").header_offset + 45
        for at in range(start, start + 60):
            bad[at] ^= harm
        (desk.folder.path / name).write_bytes(bad)
    listing = desk.folder.listing()
    assert listing.patterns == ("a.xlsx", "b.xlsx", *before.patterns)
    assert visitor(desk).get("/", base_url=HERE).status_code == 200


def test_a_workbook_of_tags_that_never_end_is_told_at_once(desk: Desk) -> None:
    for member, name in (("xl/workbook.xml", "tags.xlsx"), ("content.xml", "tags.ods")):
        tags = "<table:table " if name.endswith(".ods") else "<sheet "
        with zipfile.ZipFile(desk.folder.path / name, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr(member, tags * 60_000)
    begin = time.perf_counter()
    assert {"tags.xlsx", "tags.ods"} <= set(desk.folder.listing().patterns)
    assert time.perf_counter() - begin < 5


def test_a_file_that_is_gone_by_the_time_it_is_looked_at_is_passed_over(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = desk.folder.listing()
    (desk.folder.path / "7A0C1000").write_bytes(b"while it is saved")
    (desk.folder.path / "b.xlsx").write_bytes(b"while it is saved")
    there = list(desk.folder._entries())
    (desk.folder.path / "7A0C1000").unlink()
    (desk.folder.path / "b.xlsx").unlink()
    monkeypatch.setattr(desk.folder, "_entries", lambda: iter(there))
    assert desk.folder.listing() == before


@pytest.mark.parametrize(
    "name", [".gull.xlsx", "~$gull-point.xlsx", ".~lock.gull-point.xlsx#", ".DS_Store"]
)
def test_dot_and_lock_files_are_passed_over(desk: Desk, name: str) -> None:
    before = desk.folder.listing()
    (desk.folder.path / name).write_bytes((desk.folder.path / "gull-point.xlsx").read_bytes())
    assert desk.folder.listing() == before


def test_a_folder_with_2000_files_is_shown_quickly(desk: Desk) -> None:
    content = (desk.folder.path / "gull-point.xlsx").read_bytes()
    for number in range(2000):
        (desk.folder.path / f"pattern-{number:04}.xlsx").write_bytes(content)
    client = visitor(desk)
    begin = time.perf_counter()
    page = client.get("/", base_url=HERE).text
    first = time.perf_counter() - begin
    assert "pattern-1999.xlsx" in page
    assert first < 15  # about 1 s on a machine that does nothing else
    found = client.get("/?find=n-19", base_url=HERE).text
    assert found.count("/pattern?file=pattern-19") == 100
    assert "pattern-0000" not in found


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="There is no folder"):
        Folder(tmp_path / "gone")


def test_a_file_is_brought_in_under_its_own_name_and_never_over_another(desk: Desk) -> None:
    client = visitor(desk)

    def bring(name: str, content: bytes = b"Fabric,Requirement\nSky,1 yd\n") -> int:
        data = {"file": (io.BytesIO(content), name)}
        return client.post("/bring", base_url=HERE, data=data).status_code

    assert bring("beach.csv") == 303
    assert "beach.csv is in the folder." in client.get("/?brought=beach.csv", base_url=HERE).text
    assert bring("beach.csv", b"other") == 403
    assert (desk.folder.path / "beach.csv").read_bytes().startswith(b"Fabric")
    assert bring("tool.exe") == 422
    assert bring("..\\..\\up.csv") == 303
    assert bring("../.hidden.csv") == 303
    assert {"up.csv", "hidden.csv"} <= set(names_in(desk.folder.path))
    assert not (desk.folder.path.parent / "up.csv").exists()


def test_a_page_that_is_pasted_or_brought_becomes_a_draft_and_nothing_else(desk: Desk) -> None:
    client = visitor(desk)
    before = set(names_in(desk.folder.path))
    page = 'Gull Cliff\n\nSky: 1 yard\n\nFrom the sky, cut:\n(12) 5" squares\n'
    for name in ("Gull / Cliff", ""):
        data = {"name": name, "text": page.replace("\n", "\r\n")}
        assert client.post("/paste", base_url=HERE, data=data).status_code == 303
    data = {"file": (io.BytesIO(page.encode()), "cliff.txt")}
    assert client.post("/bring", base_url=HERE, data=data).status_code == 303
    made = {"Gull-Cliff-draft.xlsx", "Gull-Cliff-draft-2.xlsx", "cliff-draft.xlsx"}
    assert set(names_in(desk.folder.path)) - before == made
    assert "(12) 5&#34; squares" in client.get("/pattern?file=cliff-draft.xlsx", base_url=HERE).text
    assert client.post("/paste", base_url=HERE, data={"text": " "}).status_code == 422


def test_a_page_in_the_folder_stands_beside_what_becomes_of_it(desk: Desk) -> None:
    client = visitor(desk)
    (desk.folder.path / "cliff.txt").write_text('Cliff\n\nSky: 1 yard\nCut (12) 5" squares\n')
    page = client.get("/pattern?file=cliff.txt", base_url=HERE).text
    assert "Cut (12) 5&#34; squares" in page
    answer = client.post("/draft", base_url=HERE, data={"file": "cliff.txt"})
    assert answer.headers["Location"] == "/pattern?file=cliff-draft.xlsx"
    assert "There is a draft of it" in client.get("/pattern?file=cliff.txt", base_url=HERE).text


def test_a_folder_that_can_only_be_read_says_so(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Folder, "can_be_written", False)
    client = visitor(desk)
    assert "This folder can only be read" in client.get("/", base_url=HERE).text
    page = client.get("/class?file=gulls-class.xlsx", base_url=HERE).text
    assert "This folder can only be read" in page


def test_of_several_shop_workbooks_the_page_asks_which(desk: Desk) -> None:
    shop = (desk.folder.path / "cove-shop.xlsx").read_bytes()
    (desk.folder.path / "other-shop.xlsx").write_bytes(shop)
    client = visitor(desk)
    for address in ("/class?file=gulls-class.xlsx", "/class/new?pattern=gull-point.xlsx",
                    "/forms?pattern=gull-point.xlsx"):  # fmt: skip
        page = client.get(address, base_url=HERE).text
        assert "Which shop’s workbook?" in page
        assert 'value="cove-shop.xlsx"' in page
        assert 'value="other-shop.xlsx"' in page
        chosen = client.get(f"{address}&shop=other-shop.xlsx", base_url=HERE).text
        assert "Which shop" not in chosen
        assert 'name="shop" value="other-shop.xlsx"' in chosen

"""A class filled in on the counter: saved in its workbook, and nobody's work written over."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

import books
import openpyxl
import pytest
from counter_kit import CLASS, HERE, SHOP, desk_over, fields_of, names_in, small_folder, visitor
from flask.testing import FlaskClient

import kitmaker as km
from kitmaker.counter.desk import Desk
from kitmaker.shop import Bag, InKit

FILE = "gulls-class.xlsx"
ADDRESS = f"/class?file={FILE}"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_over(small_folder(tmp_path / "shop"))


@pytest.fixture
def client(desk: Desk) -> FlaskClient:
    return visitor(desk)


def fill(client: FlaskClient, address: str = ADDRESS, **typed: str) -> tuple[int, str]:
    """Open a class's page, type something, press Save; return what comes of it."""
    fields = fields_of(client.get(address, base_url=HERE).text, "/class")
    return send(client, {**fields, **{key.replace("__", " "): typed[key] for key in typed}})


def send(client: FlaskClient, fields: dict[str, str], do: str = "save") -> tuple[int, str]:
    answer = client.post("/class", base_url=HERE, data={**fields, "do": do})
    return answer.status_code, answer.headers.get("Location") or answer.text


def cells(path: Path, sheet: str) -> list[tuple[object, ...]]:
    return list(openpyxl.load_workbook(path)[sheet].iter_rows(values_only=True))


def test_a_save_without_a_change_leaves_the_file_untouched(desk: Desk, client: FlaskClient) -> None:
    before = (desk.folder.path / FILE).read_bytes()
    assert fill(client) == (303, f"{ADDRESS}&saved=yes")
    assert (desk.folder.path / FILE).read_bytes() == before


def test_a_save_changes_its_cells_and_leaves_the_rest(desk: Desk, client: FlaskClient) -> None:
    path = desk.folder.path / FILE
    status, _ = fill(client, Kits="6", Spare__kits="1", **{"colorway-0-kits": "6",
                     "sku-0-sky": "CT-3", "bag-sand": "pieces"})  # fmt: skip
    assert status == 303
    assert cells(path, "Class") == [*CLASS["Class"][:2], ("Kits", 6), CLASS["Class"][3],
                                    ("Spare kits", 1)]  # fmt: skip
    assert cells(path, "Colorways")[1:] == [
        ("Morning", 6, "Sky", "CT-3", "the soft one"),
        ("Morning", 6, "Sand", "CT-2", None),
    ]
    assert cells(path, "Fabrics")[1:] == [
        ("Sky", "yes", "fat quarter", "uncut"), ("Sand", None, None, "pieces"),
    ]  # fmt: skip
    assert cells(path, "Extras") == CLASS["Extras"]
    assert cells(path, "Ideas") == CLASS["Ideas"]


def test_a_new_class_is_a_workbook_that_the_commands_read(desk: Desk, client: FlaskClient) -> None:
    page = client.get("/class/new?pattern=gull-point.xlsx", base_url=HERE).text
    fields = fields_of(page, "/class")
    assert fields["Title"] == "Gull Point"
    status, page = send(client, fields, "colorway")
    assert status == 200
    fields = fields_of(page, "/class")
    fields |= {
        "Title": "Gulls / again", "Date": "May 1, 2027", "Kits": "5", "Spare kits": "1",
        "colorway-0-name": "Morning", "colorway-0-kits": "3",
        "sku-0-sky": "CT-1", "sku-0-sand": "CT-2",
        "colorway-1-name": "Evening", "colorway-1-kits": "2",
        "sku-1-sky": "CT-3", "sku-1-sand": "CT-2",
        "in_kit-sand": "sold apart", "form-sky": "fat-quarter", "bag-sky": "uncut",
    }  # fmt: skip
    status, address = send(client, fields)
    assert (status, address) == (303, "/class?file=Gulls-again-class.xlsx&saved=yes")
    reading = km.read_class(desk.folder.path / "Gulls-again-class.xlsx")
    made = reading.class_sheet
    assert reading.problems == ()
    assert (made.title, made.date, made.kits, made.spare_kits) == (
        "Gulls / again",
        "May 1, 2027",
        5,
        1,
    )
    assert made.pattern_file == "gull-point.xlsx"
    assert [(one.name, one.kits, one.skus) for one in made.colorways] == [
        ("Morning", 3, {"sky": "CT-1", "sand": "CT-2"}),
        ("Evening", 2, {"sky": "CT-3", "sand": "CT-2"}),
    ]
    assert [(one.role, one.in_kit, one.form, one.bag) for one in made.fabrics] == [
        ("Sky", None, "fat-quarter", Bag.UNCUT), ("Sand", InKit.SOLD_APART, None, None),
    ]  # fmt: skip
    assert "Saved." in client.get(address, base_url=HERE).text


def test_skus_are_a_select_named_by_fabric_and_colorway(client: FlaskClient) -> None:
    page = client.get(ADDRESS, base_url=HERE).text
    assert 'aria-label="Sky, Morning"' in page
    assert '<option value="CT-1" selected>CT-1 Morning haze – 9 yd</option>' in page
    assert page.index(">Kits</label>") < page.index(">Spare kits</label>")
    for button in ("Save", "Plan"):
        assert f">{button}</button>" in page


def change_kits(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    book["Class"]["B3"] = 9
    book.save(path)


@pytest.mark.parametrize("do", ["save", "plan"])
def test_a_file_that_changed_meanwhile_is_not_written_over_and_shown_anew(
    desk: Desk, client: FlaskClient, do: str
) -> None:
    fields = fields_of(client.get(ADDRESS, base_url=HERE).text, "/class")
    change_kits(desk.folder.path / FILE)
    before = (desk.folder.path / FILE).read_bytes()
    status, page = send(client, {**fields, "Kits": "7"}, do)
    assert status == 409
    assert "was changed in another program or another tab" in page
    assert "Kits was typed as &#39;7&#39;, and is not saved" in page
    assert (desk.folder.path / FILE).read_bytes() == before
    anew = fields_of(page, "/class")
    assert anew["Kits"] == "9"
    assert send(client, {**anew, "Kits": "7", "colorway-0-kits": "7"})[0] == 303


def test_the_second_of_two_tabs_is_told(desk: Desk, client: FlaskClient) -> None:
    first, second = (fields_of(client.get(ADDRESS, base_url=HERE).text, "/class") for _ in "12")
    assert send(client, {**first, "Teacher": "Wren"})[0] == 303
    assert send(client, {**second, "Teacher": "Finch"})[0] == 409
    assert km.read_class(desk.folder.path / FILE).class_sheet.teacher == "Wren"


def test_a_file_that_was_taken_away_meanwhile_is_not_made_again(
    desk: Desk, client: FlaskClient
) -> None:
    fields = fields_of(client.get(ADDRESS, base_url=HERE).text, "/class")
    (desk.folder.path / FILE).unlink()
    status, page = send(client, {**fields, "Kits": "7"})
    assert status == 409
    assert "was taken away or renamed" in page
    assert FILE not in names_in(desk.folder.path)


def test_a_workbook_that_is_open_elsewhere_is_left_alone(desk: Desk, client: FlaskClient) -> None:
    mark = desk.folder.path / f".~lock.{FILE}#"
    mark.write_text(",someone,")
    status, page = fill(client, Kits="7")
    assert status == 423
    assert "is open in a spreadsheet program" in page
    assert fields_of(page, "/class")["Kits"] == "7"  # what was typed is still there
    mark.unlink()
    assert send(client, {**fields_of(page, "/class"), "colorway-0-kits": "7"})[0] == 303


def test_what_cannot_be_written_is_said_and_what_was_typed_stays(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", no_room)
    status, page = fill(client, Teacher="Wren")
    assert status == 403
    assert "could not be written: Permission denied" in page
    assert fields_of(page, "/class")["Teacher"] == "Wren"


def with_formula(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    book["Ideas"]["A2"] = "=1+1"
    book.save(path)


def test_a_workbook_whose_formulas_would_be_out_of_date_is_only_read(
    desk: Desk, client: FlaskClient
) -> None:
    with_formula(desk.folder.path / FILE)
    before = (desk.folder.path / FILE).read_bytes()
    page = client.get(ADDRESS, base_url=HERE).text
    assert "holds formulas" in page
    status, page = send(client, {**fields_of(page, "/class"), "Teacher": "Wren"})
    assert status == 403
    assert (desk.folder.path / FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("Kits", "a few", "&#39;a few&#39; beside Kits is not a whole number of 1 or more"),
        ("Spare kits", "-1", "beside Spare kits is not a whole number of 0 or more"),
        ("Title", " ", "the class has no title"),
        ("colorway-0-name", "", "colorway 1 has no name"),
        ("colorway-0-kits", "0", "beside Kits of Morning is not"),
    ],
)
def test_what_cannot_be_taken_is_asked_again(
    desk: Desk, client: FlaskClient, field: str, typed: str, said: str
) -> None:
    before = (desk.folder.path / FILE).read_bytes()
    fields = fields_of(client.get(ADDRESS, base_url=HERE).text, "/class")
    status, page = send(client, {**fields, field: typed})
    assert status == 422
    assert said in page
    assert (desk.folder.path / FILE).read_bytes() == before


def test_a_class_may_name_a_pattern_in_a_folder_of_the_folder(
    desk: Desk, client: FlaskClient
) -> None:
    inner = desk.folder.path / "patterns"
    inner.mkdir()
    (desk.folder.path / "gull-point.xlsx").rename(inner / "gull-point.xlsx")
    assert fill(client, Pattern__file="patterns/gull-point.xlsx")[0] == 303
    page = client.get(ADDRESS, base_url=HERE).text
    assert 'aria-label="Sand, Morning"' in page
    assert 'role="alert"' not in page


def test_a_shop_s_errors_are_said_before_anything_is_planned(desk: Desk) -> None:
    shop = desk.folder.path / "cove-shop.xlsx"
    books.write(shop, {**SHOP, "Shop": [("Name", "Cove"), ("Markup", 2)]})
    assert "cove-shop.xlsx" in visitor(desk).get(ADDRESS, base_url=HERE).text.split("</section>")[0]


def test_what_contradicts_itself_is_said_before_anything_is_planned(client: FlaskClient) -> None:
    fields = fields_of(client.get(ADDRESS, base_url=HERE).text, "/class")
    assert send(client, {**fields, "Kits": "9"}, "plan") == (303, ADDRESS)
    page = client.get(ADDRESS, base_url=HERE).text
    assert "9" in page.split('role="alert"')[1].split("</section>")[0]


def test_text_that_looks_like_a_formula_stays_text(desk: Desk, client: FlaskClient) -> None:
    assert fill(client, Title="=HYPERLINK(1)")[0] == 303
    path = desk.folder.path / FILE
    assert openpyxl.load_workbook(path)["Class"]["B1"].data_type == "s"
    assert km.read_class(path).class_sheet.title == "=HYPERLINK(1)"


def test_what_students_bring_is_filled_in_and_stays(desk: Desk, client: FlaskClient) -> None:
    for typed in ({"Bring": "scissors, pins"}, {"Title": "Gulls again"}):
        assert fill(client, **typed)[0] == 303
        sheet = km.read_class(desk.folder.path / FILE).class_sheet
        assert sheet.bring == "scissors, pins"


def test_a_class_of_one_workbook_with_the_shop_takes_that_shop(desk: Desk) -> None:
    books.write(desk.folder.path / FILE, {**CLASS, **SHOP, "Shop": [("Name", "Both in one")]})
    assert "Both in one" in visitor(desk).get(ADDRESS, base_url=HERE).text


def test_write_class_and_read_class_are_opposites(tmp_path: Path) -> None:
    folder = small_folder(tmp_path / "shop")
    read = km.read_class(folder / FILE)
    read = replace(read, class_sheet=replace(read.class_sheet, bring="scissors, pins"))
    km.write_class(read.class_sheet, folder / "copy.xlsx")
    again = km.read_class(folder / "copy.xlsx").class_sheet
    for part in ("title", "date", "teacher", "bring", "kits", "spare_kits", "size", "pattern_file"):
        assert getattr(again, part) == getattr(read.class_sheet, part)
    assert [one.skus for one in again.colorways] == [one.skus for one in read.class_sheet.colorways]
    with pytest.raises(km.OutputError, match="already exists"):
        km.write_class(read.class_sheet, folder / "copy.xlsx")
    digest = hashlib.sha256(b"").hexdigest()
    with pytest.raises(km.ChangedError):
        km.write_class(read.class_sheet, folder / "copy.xlsx", over=digest)


def test_a_form_is_not_chosen_over_a_class_that_changed_meanwhile(
    desk: Desk, client: FlaskClient
) -> None:
    path = desk.folder.path / FILE
    chosen = {
        "class": FILE,
        "digest": hashlib.sha256(path.read_bytes()).hexdigest(),
        "form-sky": "yardage",
        "do": "choose",
    }
    change_kits(path)
    before = path.read_bytes()
    answer = client.post("/forms", base_url=HERE, data=chosen)
    assert answer.status_code == 409
    assert "was changed in another program" in answer.text
    assert path.read_bytes() == before
    now = {**chosen, "digest": hashlib.sha256(before).hexdigest()}
    assert client.post("/forms", base_url=HERE, data=now).status_code == 303
    rows = km.read_class(path).class_sheet.fabrics
    assert [(row.role, row.form) for row in rows] == [("Sky", "yardage")]


def test_forms_chosen_before_there_is_a_class_are_taken_over(client: FlaskClient) -> None:
    asked = "/class/new?pattern=gull-point.xlsx&form-sky=square-10"
    fields = fields_of(client.get(asked, base_url=HERE).text, "/class")
    assert (fields["form-sky"], fields["form-sand"]) == ("square-10", "")

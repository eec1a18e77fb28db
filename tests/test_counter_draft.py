"""A pattern's words beside what was read, and what is open settled in a draft."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from counter_kit import HERE, desk_over, fields_of, names_in, small_folder, visitor
from flask.testing import FlaskClient

import kitmaker as km
from kitmaker.counter.desk import Desk

UNSURE = """\
Fabric,Requirement,Cutting instructions
Sky,1 yd,"(8) 2 1/2"" squares"
Sand,½ yd,Cut 12 HST
"""
DRAFT = "dunes-draft.xlsx"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    folder = small_folder(tmp_path / "shop")
    (folder / "dunes.csv").write_text(UNSURE)
    return desk_over(folder)


@pytest.fixture
def client(desk: Desk) -> FlaskClient:
    return visitor(desk)


def draft(client: FlaskClient, file: str = "dunes.csv") -> str:
    """Press Draft; return the draft's page."""
    answer = client.post("/draft", base_url=HERE, data={"file": file})
    assert answer.status_code == 303
    return client.get(answer.headers["Location"], base_url=HERE).text


def send(client: FlaskClient, fields: dict[str, str]) -> tuple[int, str]:
    answer = client.post("/draft/settle", base_url=HERE, data=fields)
    return answer.status_code, answer.headers.get("Location") or answer.text


def test_words_stand_beside_what_was_read_and_open_rows_wait(client: FlaskClient) -> None:
    page = client.get("/pattern?file=dunes.csv", base_url=HERE).text
    assert "(8) 2 1/2&#34; squares" in page
    assert "Settle it in a draft" in page
    page = draft(client)
    assert "1 row waits for you." in page
    assert page.index("Cut 12 HST") < page.index("(8) 2 1/2&#34; squares")
    assert "Choose, Cut 12 HST" in page


def test_what_is_filled_in_is_saved_in_the_draft_and_read_by_the_commands(
    desk: Desk, client: FlaskClient
) -> None:
    fields = fields_of(draft(client), "/draft/settle")
    cells = {name: name.rpartition("!")[2] for name in fields if name.startswith("cell-Pieces")}
    by_column = {place[0]: name for name, place in cells.items()}
    typed = {by_column["C"]: "3 7/8", by_column["D"]: "3 7/8", by_column["E"]: "6"}
    assert send(client, {**fields, **typed}) == (303, f"/pattern?file={DRAFT}&saved=y")
    reading = km.read_pattern(desk.folder.path / DRAFT)
    assert not [problem for problem in reading.problems if problem.is_error]
    sand = reading.pattern.fabrics[1]
    assert [(str(one.width), one.quantity) for one in sand.pieces] == [("31/8", 6)]
    page = client.get(f"/pattern?file={DRAFT}", base_url=HERE).text
    assert "Nothing waits" in page
    again = fields_of(page, "/draft/settle")
    assert again[by_column["C"]] == "3 7/8"  # and may be changed once more


def test_a_choice_is_obeyed(desk: Desk, client: FlaskClient) -> None:
    fields = fields_of(draft(client), "/draft/settle")
    choose = next(name for name in fields if name.startswith("cell-Pieces!N"))
    assert send(client, {**fields, choose: "no cut"})[0] == 303
    reading = km.read_pattern(desk.folder.path / DRAFT)
    assert not [problem for problem in reading.problems if problem.is_error]
    assert reading.pattern.fabrics[1].pieces == ()


def test_only_cells_that_wait_are_written(desk: Desk, client: FlaskClient) -> None:
    fields = fields_of(draft(client), "/draft/settle")
    before = (desk.folder.path / DRAFT).read_bytes()
    for cell in ("Pieces!A1", "Pieces!C2", "Left over!A2", "Elsewhere!A1"):
        status, page = send(client, {**fields, f"cell-{cell}": "x"})
        assert status == 422
        assert "waits for nothing" in page
    assert (desk.folder.path / DRAFT).read_bytes() == before


def test_a_draft_that_changed_meanwhile_is_not_written_over(
    desk: Desk, client: FlaskClient
) -> None:
    fields = fields_of(draft(client), "/draft/settle")
    path = desk.folder.path / DRAFT
    book = openpyxl.load_workbook(path)
    book["Pattern"]["B1"] = "Dunes at dusk"
    book.save(path)
    before = path.read_bytes()
    status, page = send(client, fields)
    assert status == 409
    assert "was changed in another program" in page
    assert "Dunes at dusk" in page
    assert path.read_bytes() == before
    assert send(client, fields_of(page, "/draft/settle"))[0] == 303


def test_a_second_draft_never_takes_the_place_of_the_first(desk: Desk, client: FlaskClient) -> None:
    draft(client)
    before = (desk.folder.path / DRAFT).read_bytes()
    draft(client)
    assert (desk.folder.path / DRAFT).read_bytes() == before
    assert "dunes-draft-2.xlsx" in names_in(desk.folder.path)

"""Who may ask the counter for what: each line of its security, asked without a network."""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path
from urllib.parse import quote

import pytest
from counter_kit import HERE, KEY, PORT, desk_over, small_folder, stranger, visitor
from flask.testing import FlaskClient

from kitmaker.counter.desk import Desk
from kitmaker.paper.stamp import stamped
from kitmaker.paper.templating import templates_dir


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_over(small_folder(tmp_path / "shop"))


@pytest.fixture
def client(desk: Desk) -> FlaskClient:
    return visitor(desk)


PAGES = ("/", "/pattern?file=gull-point.xlsx", "/class?file=gulls-class.xlsx", "/own/counter.css")


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("key", ["", "?key=guess", f"?key={KEY}x", "?key=½"])
def test_without_the_key_nothing_is_shown(desk: Desk, page: str, key: str) -> None:
    address = page + (key.replace("?", "&") if "?" in page else key)
    answer = stranger(desk).get(address, base_url=HERE)
    assert answer.status_code == 403
    assert b"gull" not in answer.data


def test_the_key_is_traded_for_a_cookie_that_stays_here(desk: Desk) -> None:
    answer = stranger(desk).get(f"/pattern?file=a.csv&key={KEY}", base_url=HERE)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/pattern?file=a.csv")
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith(f"kitmaker-{PORT}=")
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {one.strip() for one in cookie.split(";")}


def test_the_cookie_of_another_port_opens_nothing(desk: Desk) -> None:
    client = stranger(desk)
    client.set_cookie(f"kitmaker-{PORT + 1}", KEY, domain="127.0.0.1")
    assert client.get("/", base_url=HERE).status_code == 403


@pytest.mark.parametrize(
    "host", ["localhost:8123", "127.0.0.1", "127.0.0.1:8124", "shop.example", "[::1]:8123"]
)
def test_another_host_is_refused(client: FlaskClient, host: str) -> None:
    assert client.get("/", base_url=HERE, headers={"Host": host}).status_code == 403


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize(
    "origin", ["https://shop.example", "null", "http://127.0.0.1:9000", "http://localhost:8123"]
)
def test_another_origin_is_refused(client: FlaskClient, method: str, origin: str) -> None:
    answer = client.open(
        "/draft" if method == "POST" else "/",
        method=method,
        base_url=HERE,
        data={"file": "gull-point.xlsx"},
        headers={"Origin": origin},
    )
    assert answer.status_code == 403


def test_a_page_of_another_port_cannot_send_a_form(client: FlaskClient) -> None:
    headers = {"Sec-Fetch-Site": "same-site"}
    answer = client.post("/draft", base_url=HERE, data={"file": "gull-point.xlsx"}, headers=headers)
    assert answer.status_code == 403
    own = {"Sec-Fetch-Site": "same-origin", "Origin": HERE}
    answer = client.post("/draft", base_url=HERE, data={"file": "gull-point.xlsx"}, headers=own)
    assert answer.status_code == 303


OUTSIDE = ("../secret.csv", "/etc/hostname", "..", ".", "a\\b.csv", "C:x.csv", "", "a//b.csv",
           "a/../../secret.csv", "a/.hidden.csv")  # fmt: skip


@pytest.mark.parametrize("name", [*OUTSIDE, ".hidden.csv", "~$gull-point.xlsx", "a\nb.csv"])
@pytest.mark.parametrize("page", ["/pattern", "/class"])
def test_a_name_that_leads_out_of_the_folder_is_refused(
    desk: Desk, client: FlaskClient, page: str, name: str
) -> None:
    (desk.folder.path.parent / "secret.csv").write_text("Fabric,Requirement\nSecret,1 yd\n")
    answer = client.get(page, base_url=HERE, query_string={"file": name})
    assert answer.status_code == 403
    assert b"Secret" not in answer.data


def test_a_link_that_leads_out_of_the_folder_is_outside(desk: Desk, client: FlaskClient) -> None:
    secret = desk.folder.path.parent / "secret.csv"
    secret.write_text("Fabric,Requirement\nSecret,1 yd\n")
    (desk.folder.path / "link.csv").symlink_to(secret)
    (desk.folder.path / "inside.csv").symlink_to(desk.folder.path / "gull-point.xlsx")
    home = client.get("/", base_url=HERE).text
    assert "link.csv" not in home
    assert "inside.csv" in home
    assert client.get("/pattern?file=link.csv", base_url=HERE).status_code == 403


def test_a_class_cannot_name_a_pattern_outside(desk: Desk, client: FlaskClient) -> None:
    secret = desk.folder.path.parent / "secret.csv"
    secret.write_text("Fabric,Requirement\nSecret,1 yd\n")
    (desk.folder.path / "link.csv").symlink_to(secret)
    for name in ("../secret.csv", "link.csv"):
        answer = client.get("/class/new", base_url=HERE, query_string={"pattern": name})
        assert answer.status_code == 403
        data = {"Title": "x", "Pattern file": name, "file": "", "do": "plan"}
        answer = client.post("/class", base_url=HERE, data=data)
        assert b"Secret" not in answer.data
        assert answer.status_code == 403


@pytest.mark.parametrize(
    "path",
    ["/plans/..%2f..%2fetc/hostname", "/plans/../secret.csv", "/plans/%2e%2e/secret.csv",
     "/own/../cli.py", "/own/counter.css%2f..", "/plans/x%00/index.html", "/static/x"],
)  # fmt: skip
def test_a_path_outside_the_folder_is_refused(client: FlaskClient, path: str) -> None:
    assert client.get(path, base_url=HERE).status_code in (403, 404)


def test_a_body_over_20_mb_is_refused(desk: Desk, client: FlaskClient) -> None:
    part = b'--x\r\nContent-Disposition: form-data; name="file"; filename="big.csv"\r\n\r\n'
    answer = client.post(
        "/bring",
        base_url=HERE,
        data=part + b"0" * 20 * 2**20 + b"\r\n--x--",
        content_type="multipart/form-data; boundary=x",
    )
    assert answer.status_code == 413
    assert not (desk.folder.path / "big.csv").exists()


def test_every_answer_says_what_the_browser_may_do(client: FlaskClient) -> None:
    for page in ("/", "/no-such-page", "/own/counter.js", "/pattern?file=gone.csv"):
        headers = client.get(page, base_url=HERE).headers
        policy = headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self'")
        assert "unsafe" not in policy
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cache-Control"] == "no-store"


def test_no_page_of_the_counter_has_script_or_style_of_its_own() -> None:
    own = Path(templates_dir()) / "counter"
    for template in own.glob("*.j2"):
        text = template.read_text(encoding="utf-8")
        if template.name != "plan_bar.html.j2":
            assert not re.search(r"<style|\sstyle=|\son\w+=", text), template.name
        assert not re.search(r"<script(?! src=\"/own/)|https?://", text), template.name


def hand_made_plan(folder: Path, **files: str) -> None:
    """Write a folder as a plan is written, with whatever in its pages."""
    folder.mkdir()
    for name, text in files.items():
        (folder / name).write_text(text)
    (folder / "plan.json").write_text(stamped({"schema": 1}, [*files, "plan.json"]))


def test_a_plan_s_page_runs_kitmaker_s_script_and_no_other(desk: Desk, client: FlaskClient) -> None:
    page = (
        '<meta http-equiv="Content-Security-Policy" content="script-src *"><body>'
        "<script>alert(1)</script><form action='/paste' method='post'></form>"
    )
    hand_made_plan(desk.folder.path / "made", **{"index.html": page})
    answer = client.get("/plans/made/index.html", base_url=HERE)
    policy = dict(
        part.strip().split(" ", 1) for part in answer.headers["Content-Security-Policy"].split(";")
    )
    assert "Content-Security-Policy" not in answer.text
    assert policy["default-src"] == policy["form-action"] == "'none'"
    known, digest = policy["script-src"].split()
    assert known == f"{HERE}/own/counter.js"
    assert digest.startswith("'sha256-")
    script = base64.b64encode(hashlib.sha256(b"alert(1)").digest()).decode()
    assert script not in digest


def test_only_what_was_written_with_a_plan_is_sent(desk: Desk, client: FlaskClient) -> None:
    plan = desk.folder.path / "made"
    hand_made_plan(plan, **{"index.html": "<body>", "link.html": "<body>"})
    (plan / "other.html").write_text("other")
    (plan / "link.html").unlink()
    (plan / "link.html").symlink_to("/etc/hostname")
    (desk.folder.path / "changed").mkdir()
    (desk.folder.path / "changed" / "plan.json").write_text('{"files": ["index.html"]}')
    got = {
        name: client.get(f"/plans/{name}", base_url=HERE).status_code
        for name in ("made/", "made/index.html", "made/other.html", "made/link.html",
                     "made/gone.html", "changed/index.html", "none/index.html")
    }  # fmt: skip
    assert list(got.values()) == [303, 200, 403, 403, 403, 404, 404]
    odd = ["../beside.html", "..\\beside.html", ".hidden.html", "two\nlines.json"]
    hand_made_plan(desk.folder.path / "odd", **dict.fromkeys(odd, "<body>"))
    for name in odd:
        assert client.get(f"/plans/odd/{quote(name, '')}", base_url=HERE).status_code in (403, 404)
    hand_made_plan(desk.folder.path / "March #2, 50%", **{"index.html": "<body>"})
    there = client.get(f"/plans/{quote('March #2, 50%')}/", base_url=HERE)
    assert client.get(there.headers["Location"], base_url=HERE).status_code == 200
    sent = client.get("/plans/made/plan.json", base_url=HERE)
    assert sent.headers["Content-Disposition"] == 'attachment; filename="plan.json"'


def test_names_and_cells_never_become_markup(desk: Desk, client: FlaskClient) -> None:
    name = "<img src=x onerror=alert(1)>.csv"
    (desk.folder.path / name).write_text("Fabric,Requirement\n<b>{{ 7*7 }}</b>,1 yd\n")
    assert "&lt;img src=x onerror=alert(1)&gt;.csv" in client.get("/", base_url=HERE).text
    page = client.get("/pattern", base_url=HERE, query_string={"file": name}).text
    assert "&lt;b&gt;{{ 7*7 }}&lt;/b&gt;" in page
    assert "<img" not in page


@pytest.mark.parametrize("debug", [False, True])
def test_a_fault_of_ours_is_told_in_one_line_and_its_details_only_on_request(
    desk: Desk,
    client: FlaskClient,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    debug: bool,
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(desk.folder, "listing", broken)
    desk.debug = debug
    answer = client.get("/", base_url=HERE)
    assert answer.status_code == 500
    assert "A fault in kitmaker itself (ZeroDivisionError)" in answer.text
    assert ("Traceback" in capsys.readouterr().err) == debug

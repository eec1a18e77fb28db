"""Colors and pictures of fabrics: shown where they are sound, else a box to staple a swatch."""

from __future__ import annotations

import os
import struct
import zlib
from dataclasses import replace
from pathlib import Path

import pytest
from books import STOCK, write
from plan_builder import page_of

from kitmaker import api
from kitmaker.errors import Problem
from kitmaker.files import read_shop
from kitmaker.paper.record import RecordError, read_record, write_record
from kitmaker.plans import KitPlan
from kitmaker.shop import Shop, Swatch
from kitmaker.shopbooks.pictures import MOST_BYTES, PictureError, parse_color, read_picture


def png(across: int = 3, down: int = 2, *, extra: bytes = b"") -> bytes:
    """A gray PNG picture."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)
    dots = zlib.compress((b"\0" + b"\x80" * across) * down)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + extra
        + chunk(b"IDAT", dots)
        + chunk(b"IEND", b"")
    )


def jpeg(across: int = 8, down: int = 8) -> bytes:
    """A JPEG file's segments, in their order, around dots that nobody unpacks here."""

    def segment(kind: int, data: bytes) -> bytes:
        return bytes((0xFF, kind)) + struct.pack(">H", len(data) + 2) + data

    frame = struct.pack(">BHHB", 8, down, across, 1) + bytes((1, 0x11, 0))
    scan = bytes((1, 1, 0, 0, 63, 0))
    return (
        b"\xff\xd8"
        + segment(0xE0, b"JFIF\0\1\1\0\0\1\0\1\0\0")
        + segment(0xC0, frame)
        + segment(0xDA, scan)
        + b"\x12\x34\xff\xd9"
    )


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
REFUSED = {
    "script.svg": (SVG, "is not a PNG or JPEG picture"),
    "script.png": (SVG, "is not a PNG or JPEG picture"),
    "page.png": (b"<!doctype html><script>alert(1)</script>", "is not a PNG or JPEG picture"),
    "empty.png": (b"", "is not a PNG or JPEG picture"),
    "wide.png": (png(30_000, 1), "is 30000 × 1 dots"),
    "high.jpg": (jpeg(8, 30_000), "is 8 × 30000 dots"),
    "short.png": (png()[:-16], "is broken"),
    "damaged.png": (png().replace(b"IDAT", b"IDAX"), "is broken"),
    "short.jpg": (jpeg()[:24], "is broken"),
    "huge.png": (png(extra=b"\0" * MOST_BYTES), "is larger than 2 MB"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_picture_that_is_not_sound_is_refused_with_its_reason(tmp_path: Path, name: str) -> None:
    data, why = REFUSED[name]
    (tmp_path / name).write_bytes(data)
    with pytest.raises(PictureError, match=why):
        read_picture(tmp_path, name)


@pytest.mark.parametrize("data", [png(), jpeg()])
def test_a_sound_picture_is_read(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "fog.png").write_bytes(data)
    assert read_picture(tmp_path, "fog.png") == data


@pytest.mark.parametrize(
    "name",
    ["../secret.png", "/etc/passwd", "sub/fog.png", "..\\secret.png", "..", ".", "C:fog.png"],
)
def test_nothing_outside_the_workbooks_folder_is_read(tmp_path: Path, name: str) -> None:
    inside = tmp_path / "books"
    (inside / "sub").mkdir(parents=True)
    (tmp_path / "secret.png").write_bytes(png())
    (inside / "sub" / "fog.png").write_bytes(png())
    with pytest.raises(PictureError, match="is not the name of a file beside"):
        read_picture(inside, name)


def test_links_folders_and_pipes_are_not_read(tmp_path: Path) -> None:
    inside = tmp_path / "books"
    inside.mkdir()
    (tmp_path / "secret.png").write_bytes(png())
    (inside / "link.png").symlink_to(tmp_path / "secret.png")
    (inside / "folder.png").mkdir()
    os.mkfifo(inside / "pipe.png")
    for name in ("link.png", "folder.png", "pipe.png", "gone.png"):
        with pytest.raises(PictureError):
            read_picture(inside, name)


@pytest.mark.parametrize("text", ["Navy", "dark slate gray", "#1B2A49", "#abc", " REBECCAPURPLE "])
def test_a_color_is_a_name_or_a_number(text: str) -> None:
    assert parse_color(text) == "".join(text.split()).casefold()


@pytest.mark.parametrize(
    "text", ["navy-ish", "#12", "url(x)", "red;x:y", '"><script>', "7", "inherit"]
)
def test_what_is_no_color_is_refused(text: str) -> None:
    with pytest.raises(PictureError, match="is no color"):
        parse_color(text)


def read(folder: Path, *rows: tuple[object, ...]) -> tuple[Shop, tuple[Problem, ...]]:
    heads = (*STOCK, "Color", "Picture")
    bolt = ("Fog", None, 40, "3 yd", None, None, None, None, None, None)
    sheet = [heads, *((sku, *bolt, color, picture) for sku, color, picture in rows)]
    reading = read_shop(write(folder / "shop.xlsx", {"Stock": sheet}))
    return reading.shop, reading.problems


def test_color_and_picture_are_read_from_the_stock(tmp_path: Path) -> None:
    (tmp_path / "fog.png").write_bytes(png())
    shop, problems = read(
        tmp_path, ("B1", "navy", None), ("b1", None, "fog.png"), ("B2", None, None)
    )
    assert problems == ()
    assert shop.swatches == (Swatch(sku="B1", color="navy", picture=png()),)
    assert shop.stock is not None
    assert len(shop.stock) == 3


def test_what_cannot_be_shown_is_a_warning_at_its_cell_and_the_row_stays(tmp_path: Path) -> None:
    (tmp_path / "bad.svg").write_bytes(SVG)
    shop, problems = read(tmp_path, ("B1", "inky", "bad.svg"))
    assert [(one.is_error, one.location.address if one.location else "") for one in problems] == [
        (False, "Stock!L2"),
        (False, "Stock!M2"),
    ]
    assert all("a box to staple a swatch" in one.message for one in problems)
    assert shop.swatches == ()
    assert shop.stock is not None
    assert len(shop.stock) == 1


def test_a_picture_that_changed_makes_another_plan(tmp_path: Path) -> None:
    rows = [("SKU", "Length at hand", "Picture"), ("B1", "3 yd", "fog.png")]
    book = write(tmp_path / "shop.xlsx", {"Stock": rows})
    pattern = tmp_path / "pattern.csv"
    pattern.write_text(
        "Fabric,SKU,Piece,Cut width,Cut length,Quantity\nSky,B1,Square,5,5,9\n", encoding="utf-8"
    )
    numbers = []
    for picture in (png(), png(4), png()):
        (tmp_path / "fog.png").write_bytes(picture)
        numbers.append(api.plan(api.read_pattern(pattern), 2, api.read_shop(book)).number)
    (tmp_path / "fog.png").unlink()
    numbers.append(api.plan(api.read_pattern(pattern), 2, api.read_shop(book)).number)
    assert numbers[0] == numbers[2], "the same picture, the same number"
    assert len(set(numbers)) == 3


@pytest.fixture
def shown(class_plan: KitPlan) -> KitPlan:
    """The class with a picture of one fabric and the color of another."""
    swatches = (
        Swatch(sku="JT-101", color="silver", picture=png()),
        Swatch(sku="JT-210", color="#d9a441"),
    )
    return replace(class_plan, shop=replace(class_plan.shop, swatches=swatches))


def test_pages_show_pictures_once_colors_and_boxes_with_words_below(shown: KitPlan) -> None:
    cards = page_of(shown, "kit-cards.html")
    assert cards.count("data:image/png;base64,") == 1, "twelve cards share one picture"
    assert cards.count('<use href="#card-picture-0"/>') == 12
    assert cards.count('fill="#d9a441"') == 7
    assert "staple a swatch here" in cards
    assert cards.count("<figcaption>") == cards.count("</figure>")
    assert "<figcaption></figcaption>" not in cards


def test_a_picture_goes_with_the_plan_when_it_is_printed_again(shown: KitPlan) -> None:
    assert read_record(write_record(shown)).shop.swatches == shown.shop.swatches


@pytest.mark.parametrize("harm", ["%%%", "PHN2Zz4=", 7, "A" * 4_000_000])
def test_a_record_with_something_else_for_a_picture_is_refused(
    shown: KitPlan, harm: object
) -> None:
    record = write_record(shown)
    record["plan"]["shop"]["swatches"][0]["picture"] = harm
    with pytest.raises(RecordError):
        read_record(record)

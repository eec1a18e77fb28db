"""Make the pictures in the README from the shipped samples: ``python tests/make_gallery.py``.

The sample class is planned, a few of its pages are printed with headless Chromium and drawn
with pdftoppm, small and in gray, as a shop's printer would give them.
"""

from __future__ import annotations

import struct
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from counter_kit import served
from headless import browsing, print_page

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "sample_patterns"
GALLERY = SAMPLES / "gallery"
DOTS_AN_INCH = 72
SHADES = 5
PICTURES = (
    ("index.html", 1, "the-whole-kit"),
    ("cutting-sheet-01-background-jt-101.html", 2, "cutting-sheet"),
    ("students-cutting-guide-dusk.html", 2, "students-guide"),
    ("kit-cards.html", 1, "kit-cards"),
    ("class-sheet.html", 1, "class-sheet"),
    ("bag-labels.html", 1, "bag-labels"),
)
OF_JOINED = (("students-cutting-guide.html", 2, "sewn-of-parts"),)
LANTERNS = ("--class", SAMPLES / "harbor-lanterns-class.xlsx")
JOINED = (SAMPLES / "picket-lane-joined.xlsx", "--join", "--form", "fat-quarter", "--kits", "8")


def main() -> None:
    """Plan, print, draw."""
    GALLERY.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as room, browsing() as browser:
        pages = planned_pages(browser.new_page(), room, LANTERNS, PICTURES)
        pages += planned_pages(browser.new_page(), room, JOINED, OF_JOINED)
        pages.append((print_counter(browser, Path(room)), 1, "the-counter"))
        for pdf, number, name in pages:
            which = ["-f", str(number), "-l", str(number), "-singlefile"]
            draw = ["pdftoppm", "-gray", "-r", str(DOTS_AN_INCH), *which]
            subprocess.run([*draw, pdf, Path(room) / name], check=True)
            gray = (Path(room) / f"{name}.pgm").read_bytes()
            (GALLERY / f"{name}.png").write_bytes(small_png(gray))


def planned_pages(
    tab: Any,
    room: str,
    planned: Sequence[str | Path],
    pictures: Sequence[tuple[str, int, str]],
) -> list[tuple[Path, int, str]]:
    """Plan what is asked for, and print the pages of which pictures are made."""
    plan = Path(room) / f"plan-of-{pictures[0][2]}"
    shop = ("--shop", SAMPLES / "juniper-and-thread-shop.xlsx")
    command = [sys.executable, "-m", "kitmaker", "plan", *planned, *shop, "--out", plan]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return [
        (print_page(tab, room_for(room, name), read(plan / page)), number, name)
        for page, number, name in pictures
    ]


def room_for(room: str, name: str) -> Path:
    """Return a new folder, so that no print takes another's place."""
    made = Path(room) / f"{name}-room"
    made.mkdir()
    return made


def read(page: Path) -> str:
    """Return a page's text."""
    return page.read_text(encoding="utf-8")


def print_counter(browser: Any, room: Path) -> Path:
    """Print the counter's page of the sample class as a screen shows it; return the PDF."""
    with served(SAMPLES) as address:
        tab = browser.new_page(viewport={"width": 816, "height": 1056})
        tab.goto(address)
        tab.goto(f"{address.split('/?')[0]}/class?file=harbor-lanterns-class.xlsx")
        tab.emulate_media(media="screen")
        pdf = room / "counter.pdf"
        tab.pdf(path=pdf, width="816px", height="1056px", print_background=True)
    return pdf


def small_png(pgm: bytes) -> bytes:
    """Return a gray picture as a PNG of few shades, half a byte a dot: small, and as readable."""
    width, height = (int(number) for number in pgm.split(maxsplit=3)[1:3])
    dots = pgm[-width * height :]
    rows = bytearray()
    for y in range(height):
        row = [
            round(dot / 255 * SHADES) * (15 // SHADES) for dot in dots[y * width : (y + 1) * width]
        ]
        row += [0] * (width % 2)
        rows.append(0)
        rows += bytes(high << 4 | low for high, low in zip(row[::2], row[1::2], strict=True))
    head = struct.pack(">IIBBBBB", width, height, 4, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(rows), 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in chunks
    )


if __name__ == "__main__":
    main()

"""How much kitmaker carries: large files through the real command, its seconds and its memory.

Run ``pytest tests/benchmarks/test_load.py -s``. Nothing here asserts a time: machines differ.
Each run ends with its exit code and prints a line; none may end in a fault or past two
gigabytes.
"""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hostile.command import MOST_MEBIBYTES, Ended, run
from openpyxl import Workbook, load_workbook

from kitmaker.errors import ExitCode

if TYPE_CHECKING:
    import resource

HEADS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity")
STOCK = ("SKU", "Print", "Form", "Usable width", "Length at hand", "Price")
Rows = Sequence[Sequence[object]]


def workbook(path: Path, sheets: dict[str, Rows]) -> Path:
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return path


def fabrics(count: int) -> Rows:
    """Fabrics of four sizes each."""
    sizes = [(2.5, 4.5, 24), (3.5, 3.5, 16), (1.5, 6.5, 12), (5, 5, 6)]
    rows: list[Sequence[object]] = [HEADS]
    for number in range(1, count + 1):
        rows += [
            (f"Print {number}", f"{'ABCD'[at]}{number}", width + number % 3 / 8, length, quantity)
            for at, (width, length, quantity) in enumerate(sizes)
        ]
    return rows


def drawn(count: int, seed: int) -> Rows:
    """Fabrics of two to four sizes each, no two alike."""
    draw = random.Random(seed)  # noqa: S311
    rows: list[Sequence[object]] = [HEADS]
    for number in range(1, count + 1):
        for letter in "ABCD"[: draw.randint(2, 4)]:
            wide, long = draw.randint(10, 60) / 8, draw.randint(12, 90) / 8
            quantity = draw.choice((2, 4, 6, 8, 12, 16, 24))
            rows.append((f"Print {number}", f"{letter}{number}", wide, long, quantity))
    return rows


def sizes(count: int, quantity: int = 3) -> Rows:
    """One fabric of many sizes."""
    return [
        HEADS,
        *(
            ("Sky", f"P{number}", 1.5 + number % 12 / 4, 1.5 + number // 12 / 2, quantity)
            for number in range(count)
        ),
    ]


def stock(rows: int) -> Rows:
    """A long shelf, on which the pattern's own bolt is the last."""
    return [
        STOCK,
        *((f"S-{number}", f"Bolt {number}", "", 42, 8, 11.5) for number in range(rows - 1)),
        ("SKY-1", "Morning sky", "", 42, 40, 11.5),
    ]


def of_stock() -> Rows:
    return [
        ("Fabric", "SKU", "Cutting instructions"),
        ("Sky", "SKY-1", 'Cut (40) 2 1/2" x 4 1/2" rectangles'),
    ]


def generous() -> None:
    """Ten minutes of computing at the most."""
    import resource

    resource.setrlimit(resource.RLIMIT_CPU, (600, 600))


def _seconds(used: resource.struct_rusage) -> float:
    return used.ru_utime + used.ru_stime


def heap(folder: Path, what: str, *words: object) -> Ended:
    """Run a command, say what it took, and hold that it ended in order."""
    import resource

    worked = -_seconds(resource.getrusage(resource.RUSAGE_CHILDREN))
    ended = run(*words, cwd=folder, logs=folder.with_suffix(".logs"), before=generous)
    worked += _seconds(resource.getrusage(resource.RUSAGE_CHILDREN))
    opened = sorted(folder.rglob("*.xlsx"))
    began = time.process_time()
    for path in opened:
        load_workbook(path)
    opening = time.process_time() - began
    print(
        f"\n{what}: {ended.seconds:.1f} s ({worked:.1f} s of work, {worked / opening:.0f} times "
        f"opening its workbooks), {ended.mebibytes:.0f} MB, exit {ended.code}, "
        f"{len(ended.lines)} lines said"
    )
    assert "Traceback" not in ended.stderr
    assert ended.code in (ExitCode.DONE, ExitCode.CANNOT_BE_MET), ended.stderr[-500:]
    assert ended.mebibytes < MOST_MEBIBYTES
    return ended


CASES: dict[str, tuple[Callable[[], Rows], tuple[object, ...]]] = {
    "200 fabrics, check": (lambda: fabrics(200), ("check",)),
    "200 fabrics, plan of 12 kits": (lambda: fabrics(200), ("plan", "--kits", 12)),
    "200 fabrics of drawn sizes, plan of 12 kits": (
        lambda: drawn(200, 5),
        ("plan", "--kits", 12),
    ),
    "200 fabrics cut in bulk": (
        lambda: fabrics(200),
        ("plan", "--kits", 12, "--bag", "pieces"),
    ),
    "60 sizes in a fabric, convert": (
        lambda: sizes(60),
        ("convert", "--form", "fat-quarter", "--form", "yardage"),
    ),
    "60 sizes in a fabric, plan of 12 kits": (
        lambda: sizes(60),
        ("plan", "--kits", 12, "--form", "fat-quarter"),
    ),
    "60 sizes in a fabric cut in bulk": (
        lambda: sizes(60),
        ("plan", "--kits", 12, "--bag", "pieces"),
    ),
    "5,000 pieces, plan of a kit": (
        lambda: sizes(20, 250),
        ("plan", "--kits", 1, "--form", "fat-quarter"),
    ),
    "500 kits": (lambda: fabrics(4), ("plan", "--kits", 500, "--form", "fat-quarter")),
    "500 kits cut in bulk": (lambda: fabrics(4), ("plan", "--kits", 500, "--bag", "pieces")),
}


@pytest.mark.parametrize("what", CASES)
def test_a_large_pattern(what: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    rows, words = CASES[what]
    path = workbook(tmp_path / "large.xlsx", {"Pieces": rows()})
    with capfd.disabled():
        ended = heap(tmp_path, what, words[0], path, *words[1:])
    if words[0] == "plan":
        (folder,) = [one for one in tmp_path.iterdir() if one.is_dir()]
        made = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
        assert made["fabrics"], ended.stderr


def test_a_stock_sheet_of_20000_rows(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    path = workbook(tmp_path / "small.xlsx", {"Fabrics": of_stock()})
    shop = workbook(tmp_path / "shop.xlsx", {"Stock": stock(20_000)})
    with capfd.disabled():
        heap(tmp_path, "20,000 stock rows", "plan", path, "--shop", shop, "--kits", 12)
        heap(tmp_path, "20,000 stock rows, --kits max", "plan", path, "--shop", shop,
             "--kits", "max", "--out", tmp_path / "most")  # fmt: skip

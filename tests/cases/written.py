"""Reads the invented patterns and phrases of the .txt files beside this module."""

from __future__ import annotations

import csv
import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl

from kitmaker.pattern import Direction, PieceKind, Shape

HERE = Path(__file__).parent
CENTIMETER = Fraction(50, 127)
LAYOUTS = ("one cell", "one row a line", "names once", "tidy", "yardage only")
FEWER = ("merged rows", "materials apart", "csv")
"""Layouts of the last patterns alone: the cells are elsewhere, the words are alike."""
AMOUNTS = "Fabrics"
APART = ("tidy", "names once", "materials apart")
_WORDED = ["Fabric", "Requirement", "Cutting instructions"]
_TABLE = ["Fabric", "Cut width", "Cut length", "Quantity", "Shape", "Direction"]
HEADS: dict[str, list[list[str]]] = {
    "one cell": [_WORDED],
    "one row a line": [_WORDED],
    "names once": [_TABLE],
    "tidy": [_TABLE],
    "yardage only": [_WORDED[:2]],
    "merged rows": [["Lantern Street"], [], ["Cutting", "Fabric", "Amount"]],
    "materials apart": [["Fabric", "Cutting instructions"]],
    "csv": [_WORDED],
}
DIAGONALS = {"d1": Shape.CUT_ONCE, "d2": Shape.CUT_TWICE}


@dataclass(frozen=True, slots=True)
class Want:
    """A cut as a careful person reads it; ``length`` None for a whole strip."""

    quantity: int
    width: Fraction
    length: Fraction | None
    diagonal: str = ""
    lengthwise: bool = False


Reading = tuple[Want, ...]


@dataclass(slots=True)
class WrittenFabric:
    """A fabric: each line with its honest readings; ``None`` among them where asking is right."""

    role: str
    requirement: str
    amounts: tuple[str, ...]
    lines: list[tuple[str, tuple[Reading | None, ...]]] = field(default_factory=list)


def _number(text: str) -> Fraction:
    value = sum((Fraction(part) for part in text.rstrip("c").split("+")), Fraction(0))
    return value * CENTIMETER if text.endswith("c") else value


def _want(text: str) -> Want:
    count, size, *marks = text.split()
    if size.startswith("join"):
        _, width, length = size.split(":")
        return Want(int(count), _number(width), _number(length), diagonal="joined")
    found = re.fullmatch(r"(.+?)x(.+)", size)
    assert found is not None, text
    return Want(
        int(count),
        _number(found[1]),
        None if found[2] == "WOF" else _number(found[2]),
        next((mark for mark in marks if mark in DIAGONALS), ""),
        "L" in marks,
    )


def _readings(text: str) -> tuple[Reading | None, ...]:
    return tuple(
        None
        if part.strip() == "ASK"
        else tuple(_want(one) for one in part.split(";") if one.strip())
        for part in text.split("|")
    )


def _data(name: str) -> Iterator[str]:
    for line in (HERE / name).read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith(";"):
            yield line.strip()


def written_patterns() -> dict[str, list[WrittenFabric]]:
    patterns: dict[str, list[WrittenFabric]] = {}
    fabrics: list[WrittenFabric] = []
    for line in _data("written_patterns.txt"):
        if line.startswith("# "):
            fabrics = patterns.setdefault(line[2:], [])
        elif line.startswith("> "):
            role, requirement, *amounts = (part.strip() for part in line[2:].split("|"))
            fabrics.append(WrittenFabric(role, requirement, tuple(amounts)))
        else:
            words, _, cuts = line.rpartition("=>")
            fabrics[-1].lines.append((words.strip(), _readings(cuts)))
    return patterns


def written_phrases() -> list[tuple[dict[str, int], str, tuple[Reading | None, ...]]]:
    phrases = []
    for line in _data("written_phrases.txt"):
        words, _, cuts = line.rpartition("=>")
        known, _, text = words.rpartition(" :: ")
        facts = {
            name.replace("len", "fabric_length"): int(count)
            for name, count in (one.split("=") for one in known.split())
        }
        phrases.append((facts, text.strip(), _readings(cuts)))
    return phrases


def written_amounts() -> list[tuple[str, tuple[str, ...]]]:
    pairs = (line.rpartition("=>") for line in _data("written_amounts.txt"))
    return [
        (text.strip(), tuple(one.strip() for one in said.split("|"))) for text, _, said in pairs
    ]


def seen(piece: object) -> Want:
    """Return a piece or a cut that was read, to be compared with what is wanted."""
    shape, kind = piece.shape, piece.kind  # type: ignore[attr-defined]
    width, length = piece.width, piece.length  # type: ignore[attr-defined]
    free = piece.direction is Direction.FREE  # type: ignore[attr-defined]
    return Want(
        piece.quantity,  # type: ignore[attr-defined]
        width,
        length,
        "joined"
        if kind is PieceKind.JOINED
        else next((mark for mark, one in DIAGONALS.items() if one is shape), ""),
        kind is PieceKind.PIECE and not free and width != length,
    )


def is_one_of(found: list[Want], lines: list[tuple[Reading | None, ...]]) -> bool:
    """Whether what was read is one of the honest readings of the lines together."""
    for choice in itertools.product(*lines):
        if None in choice:
            continue
        wanted = [want for part in choice for want in part or ()]
        if sorted(found, key=repr) == sorted(wanted, key=repr):
            return True
    return False


def write_written(fabrics: list[WrittenFabric], layout: str, path: Path) -> dict[str, set[int]]:
    """Write a pattern as a workbook, or a .csv, of one layout; return the rows of each fabric.

    A row of the sheet of amounts is a negative number.
    """
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    rows: dict[str, set[int]] = {}
    apart = layout in APART and book.create_sheet(AMOUNTS, 0 if layout in FEWER else None)
    for head in HEADS[layout]:
        sheet.append(head)
    if apart:
        apart.append(["Fabric", "Requirement"])
    for fabric in fabrics:
        first = sheet.max_row + 1
        _write_fabric(sheet, fabric, layout)
        rows[fabric.role] = set(range(first, sheet.max_row + 1))
        if apart:
            apart.append([fabric.role, fabric.requirement])
            rows[fabric.role].add(-apart.max_row)
    if path.suffix == ".csv":
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file, delimiter=";").writerows(sheet.values)
    else:
        book.save(path)
    return rows


def _write_fabric(sheet: Any, fabric: WrittenFabric, layout: str) -> None:
    first = sheet.max_row + 1
    lines = [words for words, _ in fabric.lines]
    named = [fabric.role, fabric.requirement]
    if layout in ("tidy", "names once"):
        _write_pieces(sheet, fabric, once=layout == "names once")
    elif layout == "one row a line":
        for at, line in enumerate(lines or [""]):
            sheet.append([*(named if at == 0 else [None, None]), line or None])
    elif layout == "merged rows":
        for at, line in enumerate(lines or [""]):
            sheet.append([line or None, *(named if at == 0 else [])])
        for column in "BC" if len(lines) > 1 else "":
            sheet.merge_cells(f"{column}{first}:{column}{sheet.max_row}")
    elif layout == "materials apart":
        sheet.append([fabric.role.split(" (")[0], "\n".join(lines) or None])
    elif layout == "yardage only":
        sheet.append(named)
    else:
        sheet.append([*named, "\n".join(lines) or None])


def first_readings(fabric: WrittenFabric) -> list[tuple[Reading | None, ...]]:
    """The readings a tidy table is written from: the first of each line that is no question."""
    first = (next((one for one in readings if one is not None), ()) for _, readings in fabric.lines)
    return [(tuple(_in_a_table(want) for want in reading),) for reading in first]


def _in_a_table(want: Want) -> Want:
    """A running length stands in a table as one long piece."""
    return replace(want, diagonal="") if want.diagonal == "joined" else want


def _write_pieces(sheet: Any, fabric: WrittenFabric, *, once: bool) -> None:
    wants = [want for (reading,) in first_readings(fabric) for want in reading or ()]
    for at, want in enumerate(wants):
        times = {"d1": "once", "d2": "twice"}.get(want.diagonal)
        sheet.append(
            [
                None if once and at else fabric.role,
                _typed(want.width),
                "WOF" if want.length is None else _typed(want.length),
                want.quantity,
                f"square cut {times} on the diagonal" if times else None,
                "lengthwise" if want.lengthwise else None,
            ]
        )


def _typed(length: Fraction) -> float | str:
    if length.denominator in (1, 2, 4, 8, 16):
        return float(length)
    return f"{float(length / CENTIMETER):g} cm"

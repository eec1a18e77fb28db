"""Reads the invented pages of ``pages.txt``, and sets them as .txt, .docx and .html to print."""

from __future__ import annotations

import html
import textwrap
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

from cases.written import Reading, _readings

HERE = Path(__file__).parent
HEADING, TITLE, ITEM, ROW = "== ", "= ", "- ", "| "


@dataclass(frozen=True, slots=True)
class WantedFabric:
    """A fabric as a careful person reads it; ``cuts`` None where asking is right."""

    role: str
    amount: str
    cuts: Reading | None


@dataclass(slots=True)
class Page:
    """A page, and what is read of it."""

    name: str
    columns: int = 1
    head: str = ""
    wide: int = 78
    lines: list[str] = field(default_factory=list)
    wanted: list[WantedFabric] = field(default_factory=list)


def invented_pages() -> list[Page]:
    pages: list[Page] = []
    is_wanted = False
    for line in (HERE / "pages.txt").read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith(";"):
            continue
        if line.startswith("# "):
            pages.append(Page(line[2:]))
            is_wanted = False
        elif line.startswith("@ "):
            key, _, value = line[2:].partition(" ")
            setattr(pages[-1], key, value if key == "head" else int(value))
        elif line == "---":
            is_wanted = True
        elif is_wanted:
            role, amount, cuts = (part.strip() for part in line[2:].split("|"))
            (reading,) = _readings(cuts) if cuts not in ("", "OPEN") else ((),)
            pages[-1].wanted.append(WantedFabric(role, amount, None if cuts == "OPEN" else reading))
        else:
            pages[-1].lines.append(line)
    return pages


def words_of(line: str) -> str:
    """Return the words of a line without its mark."""
    for mark in (HEADING, TITLE, ITEM):
        if line.startswith(mark):
            return line[len(mark) :]
    return " ".join(cells_of(line)) if line.startswith(ROW) else line


def cells_of(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def _as_text(line: str, wide: int) -> list[str]:
    if line.startswith(ROW):
        return ["".join(f"{cell:<24}    " for cell in cells_of(line)).rstrip()]
    mark = "• " if line.startswith(ITEM) else ""
    text = textwrap.wrap(f"{mark}{words_of(line)}", wide, subsequent_indent=" " * len(mark))
    return ["", *text, ""] if line.startswith((HEADING, TITLE)) else text


def _side_by_side(lines: list[str], wide: int) -> list[str]:
    half = -(-len(lines) // 2)
    pairs = zip_longest(lines[:half], lines[half:], fillvalue="")
    return [f"{left:<{wide + 6}}{right}".rstrip() for left, right in pairs]


def write_text(page: Page, path: Path) -> None:
    """Set a page as text; two columns side by side, a running head on each of two pages."""
    title, *body = page.lines
    wide = 38 if page.columns == 2 else page.wide
    lines = [text for line in body for text in _as_text(line, wide)]
    halves = [lines[: len(lines) // 2], lines[len(lines) // 2 :]] if page.head else [lines]
    if page.columns == 2:
        halves = [_side_by_side(half, wide) for half in halves]
    halves[0] = [words_of(title), "", *halves[0]]
    if page.head:
        halves = [[page.head, "", *half, "", str(at)] for at, half in enumerate(halves, start=1)]
    path.write_text("\f".join("\n".join(half) for half in halves) + "\n", encoding="utf-8")


def write_word(page: Page, path: Path) -> None:
    """Set a page as a .docx."""
    import docx

    document = docx.Document()
    if page.head:
        document.sections[0].header.paragraphs[0].text = page.head
    table = None
    for line in page.lines:
        if line.startswith(ROW):
            cells = cells_of(line)
            table = table or document.add_table(0, len(cells))
            for cell, text in zip(table.add_row().cells, cells, strict=True):
                cell.text = text
            continue
        table = None
        if line.startswith((TITLE, HEADING)):
            document.add_heading(words_of(line), 0 if line.startswith(TITLE) else 1)
        else:
            style = "List Bullet" if line.startswith(ITEM) else None
            document.add_paragraph(words_of(line), style=style)
    document.save(str(path))


def as_html(page: Page) -> str:
    """Set a page for print."""
    parts: list[str] = []
    for line in page.lines:
        text = html.escape(words_of(line))
        if line.startswith(ROW):
            cells = "".join(f"<td>{html.escape(cell)}</td>" for cell in cells_of(line))
            parts.append(f"<tr>{cells}</tr>")
        elif line.startswith(TITLE):
            parts.append(f"<h1>{text}</h1><div>")
        elif line.startswith(HEADING):
            parts.append(f"<h2>{text}</h2>")
        elif line.startswith(ITEM):
            parts.append(f"<p>• {text}</p>")
        else:
            parts.append(f"<p>{text}</p>")
    body = "".join(parts)
    body = body.replace("<tr>", "<table><tr>", 1)[::-1].replace(">rt/<", ">elbat/<>rt/<", 1)[::-1]
    style = (
        "@page { margin: 18mm } body { font: 10.5pt serif } p { margin: 3pt 0 } td { padding: 2pt "
        f"14pt 2pt 0; vertical-align: top }} div {{ columns: {page.columns}; column-gap: 12mm }}"
    )
    return f"<meta charset=utf-8><style>{style}</style>{body}</div>"

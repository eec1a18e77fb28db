"""A .docx as lines: each paragraph one, tables row by row, text boxes where they are anchored."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from xml.etree.ElementTree import Element

from kitmaker.reading.documents.lines import (
    MOST_LINES,
    Document,
    PageLine,
    PagePlace,
    no_text,
    plain_letters,
    too_many_lines,
)
from kitmaker.reading.zipped import parsed

_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_FALLBACK = "{http://schemas.openxmlformats.org/markup-compatibility/2006}Fallback"
_BOX = f"{_W}txbxContent"
_WRAPPERS = (f"{_W}sdt", f"{_W}sdtContent", f"{_W}ins", f"{_W}smartTag", f"{_W}customXml")
_SIGNS = {f"{_W}tab": "\t", f"{_W}br": "\n", f"{_W}cr": "\n", f"{_W}noBreakHyphen": "-"}
_STRUCK = ("strike", "dstrike")
_UNSEEN = ("vanish", *_STRUCK)
_HEAD = re.compile(r"word/(?:header|footer)\d*\.xml")
_PICTURES = (f"{_W}drawing", f"{_W}pict", f"{_W}object")


def read_word_page(name: str, parts: Mapping[str, bytes]) -> Document:
    """Return a .docx page.

    Its XML members have been looked at for their size and for entities.

    Raises:
        UnreadableError: It holds no text, or too much.
    """
    body = parsed(parts["word/document.xml"]).find(f"{_W}body")
    if body is None:
        raise ValueError("no body")
    lines: list[PageLine] = []
    for cells, is_bold in _rows(body):
        for text in _split(cells):
            place = PagePlace(name, f"line {len(lines) + 1}")
            is_row = len(text) > 1
            shown = " ".join(filter(None, text))
            if shown.strip():
                lines.append(
                    PageLine(
                        text=shown.strip(),
                        cells=text if is_row else (),
                        spans=tuple((float(at), at + 0.9) for at in range(len(text))),
                        place=place,
                        is_bold=is_bold,
                        is_whole=True,
                    )
                )
        if len(lines) > MOST_LINES:
            raise too_many_lines(name)
    if not lines:
        pictures = any(next(body.iter(tag), None) is not None for tag in _PICTURES)
        raise no_text(name, has_pictures=pictures)
    heads, struck = tuple(_heads(parts, name)), tuple(_struck(body, name))
    return Document(name=name, lines=tuple(lines), heads=heads, struck=struck)


def _heads(parts: Mapping[str, bytes], name: str) -> Iterator[PageLine]:
    """Yield the running heads and feet, each once."""
    said: dict[str, None] = {}
    for member, content in parts.items():
        if _HEAD.fullmatch(member):
            said |= dict.fromkeys(_text(one).strip() for one in parsed(content).iter(f"{_W}p"))
    for text in said:
        if text:
            yield PageLine(text=text, place=PagePlace(name, "running head"))


def _rows(parent: Element) -> Iterator[tuple[tuple[str, ...], bool]]:
    for element in parent:
        if element.tag == f"{_W}p":
            yield (_text(element),), _is_bold(element)
            for box in _boxes(element):
                yield from _rows(box)
        elif element.tag == f"{_W}tbl":
            yield from _table(element)
        elif element.tag in _WRAPPERS:
            yield from _rows(element)


def _inside(element: Element, *, past: tuple[str, ...]) -> Iterator[Element]:
    """Yield what is seen of an element, in order, without looking into elements of some kinds."""
    for child in element:
        if child.tag == f"{_W}r" and _has_mark(child, *_UNSEEN):
            continue
        yield child
        if child.tag not in past:
            yield from _inside(child, past=past)


def _boxes(paragraph: Element) -> Iterator[Element]:
    """Yield the text boxes that hang on a paragraph; each is stored twice, for older programs."""
    for one in _inside(paragraph, past=(_FALLBACK, _BOX)):
        if one.tag == _BOX:
            yield one


def _table(table: Element) -> Iterator[tuple[tuple[str, ...], bool]]:
    for row in _inside(table, past=(f"{_W}tr",)):
        if row.tag != f"{_W}tr":
            continue
        cells = [one for one in _inside(row, past=(f"{_W}tc",)) if one.tag == f"{_W}tc"]
        inside = [list(cell.iter(f"{_W}p")) for cell in cells]
        texts = ("\n".join(map(_text, paragraphs)) for paragraphs in inside)
        wide = [text for cell, text in zip(cells, texts, strict=True) for text in _over(cell, text)]
        yield (
            tuple(wide),
            all(_is_bold(paragraph) for paragraphs in inside for paragraph in paragraphs),
        )


def _over(cell: Element, text: str) -> tuple[str, ...]:
    """Return a cell's text, and a blank for each more column that it goes over."""
    span = cell.find(f"{_W}tcPr/{_W}gridSpan")
    count = "1" if span is None else span.get(f"{_W}val", "1")
    return (text, *[""] * (min(int(count), 60) - 1 if count.isdigit() else 0))


def _text(paragraph: Element) -> str:
    """Return a paragraph's words: what a person sees, no deleted text, no text boxes."""
    parts: list[str] = []
    if paragraph.find(f"{_W}pPr/{_W}numPr") is not None:
        parts.append("• ")
    for one in _inside(paragraph, past=(_FALLBACK, _BOX, f"{_W}pPr")):
        if one.tag == f"{_W}t":
            parts.append(one.text or "")
        else:
            parts.append(_SIGNS.get(one.tag, ""))
    text = plain_letters("".join(parts))
    return "" if text == "• " else text


def _is_bold(paragraph: Element) -> bool:
    style = paragraph.find(f"{_W}pPr/{_W}pStyle")
    if style is not None and style.get(f"{_W}val", "").startswith(("Heading", "Title")):
        return True
    runs = [one for one in paragraph.iter(f"{_W}r") if one.find(f"{_W}t") is not None]
    return bool(runs) and all(_has_mark(run, "b") for run in runs)


def _has_mark(run: Element, *names: str) -> bool:
    """Whether letters are set in one of some ways: bold, hidden, struck through."""
    marks = (run.find(f"{_W}rPr/{_W}{name}") for name in names)
    return any(mark is not None and mark.get(f"{_W}val") not in ("0", "false") for mark in marks)


def _struck(body: Element, name: str) -> Iterator[PageLine]:
    """Yield what is struck through, which the pattern no longer asks for."""
    for paragraph in body.iter(f"{_W}p"):
        runs = [one for one in paragraph.iter(f"{_W}r") if _has_mark(one, *_STRUCK)]
        text = "".join(one.text or "" for run in runs for one in run.iter(f"{_W}t")).strip()
        if text:
            yield PageLine(text=text, place=PagePlace(name, "struck through"))


def _split(cells: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Yield the lines of a paragraph, a table's row at once; tabs part cells."""
    if len(cells) > 1:
        yield tuple(cell.strip() for cell in cells)
        return
    for line in cells[0].split("\n") if cells else ():
        parts = tuple(part.strip() for part in line.split("\t") if part.strip())
        bullet = len(parts) > 1 and len(parts[0]) <= 2
        yield (" ".join(parts),) if bullet or len(parts) < 2 else parts

"""Workbooks that would take an office program's whole memory, told before they are opened.

A zip of a few kilobytes can hold a merged range over a whole sheet, one sheet under ten
thousand names, or a million cells. Opening such a workbook takes minutes and gigabytes, so
cells, ranges and sheets are counted in its bytes first.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from pathlib import Path
from xml.etree.ElementTree import Element, fromstring

from openpyxl.utils.cell import range_boundaries

from kitmaker.errors import UnreadableError

MOST_CELLS_IN_ALL = 400_000
"""In all sheets together; a stock list of 20,000 rows and 12 columns has 240,000."""
MOST_ROWS = 100_000
"""In all sheets together, empty ones that only have a height included."""
MOST_MERGED = 200_000
"""Cells under merged ranges; a title merged over a whole row has 16,384."""
MOST_LINKED = 100_000
MOST_SHEETS = 250
MOST_NAMES = 20_000

_PREFIX = rb"<(?:[\w.-]+:)?"
_CELL = re.compile(_PREFIX + rb"c[\s/>]")
_ROW = re.compile(_PREFIX + rb"row[\s/>]")
_RANGE = {
    "mergeCell": re.compile(_PREFIX + rb"mergeCell[\s/>]"),
    "hyperlink": re.compile(_PREFIX + rb"hyperlink[\s/>]"),
}
_RANGE_REF = {
    "mergeCell": re.compile(_PREFIX + rb"mergeCell\s[^>]*?\bref\s*=\s*[\"']([^\"']*)[\"']"),
    "hyperlink": re.compile(_PREFIX + rb"hyperlink\s[^>]*?\bref\s*=\s*[\"']([^\"']*)[\"']"),
}
_MOST_IN_RANGES = {"mergeCell": MOST_MERGED, "hyperlink": MOST_LINKED}
_STRICT_REF = re.compile(r"\$?[A-Z]{1,3}\$?[0-9]{1,7}(:\$?[A-Z]{1,3}\$?[0-9]{1,7})?")
_MARKUP = (".xml", ".rels", ".vml")
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


def check_crowded(path: Path) -> None:
    """Refuse a workbook that holds more cells, ranges or sheets than a person would type.

    Args:
        path: A zipped workbook whose unpacked size is known to be small and whose XML is
            known to be without entities.

    Raises:
        UnreadableError: One plain line.
        ValueError: Something in it is not as a workbook has it: it is damaged.
        zipfile.BadZipFile: It is damaged.
    """
    with zipfile.ZipFile(path) as archive:
        cells = rows = 0
        for member in archive.infolist():
            if member.compress_type not in _METHODS:
                raise ValueError(f"no office program packs like this: {member.filename}")
            if not member.filename.endswith(_MARKUP):
                continue
            content = archive.read(member)
            if b"\0" in content[:4096]:
                # Two bytes a letter: an office program writes UTF-8, and what is counted
                # here must be what is read later.
                raise ValueError(f"not UTF-8: {member.filename}")
            cells += sum(1 for _ in _CELL.finditer(content))
            rows += sum(1 for _ in _ROW.finditer(content))
            if cells > MOST_CELLS_IN_ALL or rows > MOST_ROWS or not _ranges_fit(content):
                raise _too_much(path.name)
        if not _sheets_fit(archive):
            raise _too_much(path.name)


def _too_much(name: str) -> UnreadableError:
    return UnreadableError(
        f"'{name}' has more cells than a pattern needs. "
        "Copy the pattern's cells into a new workbook and save as .xlsx."
    )


def _ranges_fit(content: bytes) -> bool:
    """Return whether the ranges that are opened cell by cell stay small."""
    for kind, found in _RANGE_REF.items():
        refs = [ref.decode("ascii", "replace") for ref in found.findall(content)]
        if len(refs) != len(_RANGE[kind].findall(content)):
            raise ValueError(f"a {kind} without its range")
        if sum(_area(ref) for ref in refs) > _MOST_IN_RANGES[kind]:
            return False
    return True


def _area(ref: str) -> int:
    if _STRICT_REF.fullmatch(ref) is None:
        raise ValueError(f"not a range: {ref[:40]}")
    left, top, right, bottom = range_boundaries(ref)
    if left is None or top is None or right is None or bottom is None:
        raise ValueError(f"not a range: {ref}")
    return (abs(right - left) + 1) * (abs(bottom - top) + 1)


def _sheets_fit(archive: zipfile.ZipFile) -> bool:
    """Return whether the sheets are few, and each a part of its own."""
    book = _parsed(archive, "xl/workbook.xml")
    sheets = [one for one in book.iter() if _local(one) == "sheet"]
    names = sum(1 for one in book.iter() if _local(one) == "definedName")
    targets = [
        posixpath.normpath(posixpath.join("/xl", one.get("Target", "")))
        for one in _parsed(archive, "xl/_rels/workbook.xml.rels").iter()
        if one.get("Type", "").endswith(("/worksheet", "/sharedStrings", "/styles"))
    ]
    if any(not target.endswith(".xml") for target in targets):
        raise ValueError("a sheet that is no XML")
    marks = [
        value
        for one in sheets
        for key, value in one.attrib.items()
        if key.endswith("}id")  # r:id
    ]
    once = len(set(targets)) == len(targets) and len(set(marks)) == len(marks)
    return once and len(sheets) <= MOST_SHEETS and names <= MOST_NAMES


def _parsed(archive: zipfile.ZipFile, name: str) -> Element:
    return fromstring(archive.read(name))  # noqa: S314  # entities have been refused before


def _local(element: Element) -> str:
    return element.tag.rpartition("}")[2]

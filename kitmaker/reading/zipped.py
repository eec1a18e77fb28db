"""What a zipped workbook must be before it is opened: small enough, and without entities.

A workbook is hostile until read: its sizes are looked at before it is unpacked, XML with a
document type, the way to entities, is refused, and cells, ranges and sheets are counted.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path
from xml.etree.ElementTree import Element, fromstring

from openpyxl.utils.cell import range_boundaries

from kitmaker.errors import UnreadableError

MEBIBYTE = 2**20
LARGEST_FILE = 20 * MEBIBYTE
LARGEST_MEMBER = 24 * MEBIBYTE
LARGEST_WHOLE = 64 * MEBIBYTE
LARGEST_RATIO = 200
"""How many times larger than its zip a large member may be; sheets reach about 40."""

_ENTITY_MARKS = tuple(
    mark.encode(code)
    for mark in ("<!DOCTYPE", "<!ENTITY")
    for code in ("utf-8", "utf-16-le", "utf-16-be")
)

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
_REF = rb"\s[^<>]*?\bref\s*=\s*[\"']([^\"']*)[\"']"
_RANGES = (*((_PREFIX + rb"mergeCell", MOST_MERGED), (_PREFIX + rb"hyperlink", MOST_LINKED)),)
_STRICT_REF = re.compile(r"\$?[A-Z]{1,3}\$?[0-9]{1,7}(:\$?[A-Z]{1,3}\$?[0-9]{1,7})?")
_MARKUP = (".xml", ".rels", ".vml")
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


def unpacked(
    path: Path, main_member: str, todo: str = "Open it and save as .xlsx."
) -> dict[str, bytes]:
    """Return the XML members of a workbook by name; refuse what is none, or too much of one.

    The main member makes it the kind of file its name says; ``todo`` tells what to do with another.

    Raises:
        UnreadableError: One plain line.
        ValueError: It is packed as no office program packs: it is damaged.
        zipfile.BadZipFile: It is damaged.
    """
    with zipfile.ZipFile(path) as archive:
        members = archive.infolist()
        if main_member not in archive.NameToInfo:
            raise UnreadableError(
                f"'{path.name}' is not an {path.suffix.lower()} file inside. {todo}"
            )
        _check_sizes(path.name, members, todo)
        of_xml = [member for member in members if member.filename.endswith((*_MARKUP, ".rdf"))]
        parts = {member.filename: archive.read(member) for member in of_xml}
    if any(mark in content for content in parts.values() for mark in _ENTITY_MARKS):
        raise UnreadableError(f"'{path.name}' holds XML that it never needs and is refused. {todo}")
    return parts


def _check_sizes(name: str, members: list[zipfile.ZipInfo], todo: str) -> None:
    """Refuse a zip that is too large when unpacked, or locked."""
    whole = sum(member.file_size for member in members)
    swollen = any(
        member.file_size > MEBIBYTE
        and member.file_size > LARGEST_RATIO * max(1, member.compress_size)
        for member in members
    )
    largest = max(member.file_size for member in members)
    if swollen or largest > LARGEST_MEMBER or whole > LARGEST_WHOLE or len(members) > 5000:
        raise UnreadableError(
            f"'{name}' is too large when unpacked. Copy what the pattern needs into a new file. "
            f"{todo}"
        )
    if any(member.flag_bits & 1 for member in members):
        raise protected(name, todo)
    if any(member.compress_type not in _METHODS for member in members):
        raise ValueError("no office program packs like this")


def damaged(name: str) -> UnreadableError:
    """Return the refusal of a file that no reader can make sense of."""
    return UnreadableError(f"'{name}' is damaged or not a workbook. Open it and save as .xlsx.")


def protected(name: str, todo: str = "Open it and save as .xlsx.") -> UnreadableError:
    """Return the refusal of a file behind a password."""
    return UnreadableError(f"'{name}' is protected by a password. Take the password off. {todo}")


def check_crowded(name: str, parts: Mapping[str, bytes]) -> None:
    """Refuse a workbook that holds more cells, ranges or sheets than a person would type.

    A zip of a few kilobytes can hold a merged range over a whole sheet, one sheet under ten
    thousand names, or a million cells. Opening such a workbook takes minutes and gigabytes, so
    cells, ranges and sheets are counted in its bytes first.

    Raises:
        UnreadableError: One plain line.
        ValueError: Something in it is not as a workbook has it: it is damaged.
    """
    cells = rows = 0
    for member, content in parts.items():
        if not member.endswith(_MARKUP):
            continue
        if b"\0" in content[:4096]:
            # Two bytes a letter: an office program writes UTF-8, and what is counted
            # here must be what is read later.
            raise ValueError(f"not UTF-8: {member}")
        cells += sum(1 for _ in _CELL.finditer(content))
        rows += sum(1 for _ in _ROW.finditer(content))
        if cells > MOST_CELLS_IN_ALL or rows > MOST_ROWS or not _ranges_fit(content):
            raise too_much(name)
    if not _sheets_fit(parts):
        raise too_much(name)


def too_much(name: str) -> UnreadableError:
    """Return the refusal of a workbook with far too many cells."""
    return UnreadableError(
        f"'{name}' has more cells than a pattern needs. "
        "Copy the pattern's cells into a new workbook and save as .xlsx."
    )


def _ranges_fit(content: bytes) -> bool:
    for kind, most in _RANGES:
        refs = [ref.decode("ascii", "replace") for ref in re.findall(kind + _REF, content)]
        if len(refs) != len(re.findall(kind + rb"[\s/>]", content)):
            raise ValueError("a merged range or a link without its place")
        if sum(_area(ref) for ref in refs) > most:
            return False
    return True


def _area(ref: str) -> int:
    if _STRICT_REF.fullmatch(ref) is None:
        raise ValueError(f"not a range: {ref[:40]}")
    left, top, right, bottom = (side for side in range_boundaries(ref) if side is not None)
    return (abs(right - left) + 1) * (abs(bottom - top) + 1)


def _sheets_fit(parts: Mapping[str, bytes]) -> bool:
    """Return whether the sheets are few, and each a part of its own."""
    book = parsed(parts["xl/workbook.xml"])
    sheets = book.findall(".//{*}sheet")
    names = len(book.findall(".//{*}definedName"))
    targets = [
        posixpath.normpath(posixpath.join("/xl", one.get("Target", "")))
        for one in parsed(parts["xl/_rels/workbook.xml.rels"]).iter()
        if one.get("Type", "").endswith(("/worksheet", "/sharedStrings", "/styles"))
    ]
    if any(not target.endswith(".xml") for target in targets):
        raise ValueError("a sheet that is no XML")
    marks = [
        value
        for sheet in sheets
        for key, value in sheet.attrib.items()
        if key.endswith("}id")  # r:id
    ]
    once = len(set(targets)) == len(targets) and len(set(marks)) == len(marks)
    return once and len(sheets) <= MOST_SHEETS and names <= MOST_NAMES


def parsed(content: bytes) -> Element:
    """Return an XML member that :func:`unpacked` gave out."""
    return fromstring(content)  # noqa: S314  # entities have been refused before

"""What a zipped workbook must be before it is opened: small enough, and without entities.

A workbook is hostile until read: its sizes are looked at before it is unpacked, and XML
with a document type, the way to entities, is refused.
"""

from __future__ import annotations

import zipfile
from pathlib import Path

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


def check_zip(path: Path, main_member: str, formulas_below: str) -> bool:
    """Refuse what is no workbook or too much of one; return whether it holds formulas.

    Args:
        path: The file, a zip.
        main_member: The member that makes it the kind of workbook its name says.
        formulas_below: The start of the names of members that may hold formulas.

    Raises:
        UnreadableError: One plain line.
        zipfile.BadZipFile: It is damaged.
    """
    has_formulas = False
    with zipfile.ZipFile(path) as archive:
        members = archive.infolist()
        names = {member.filename for member in members}
        if main_member not in names:
            raise UnreadableError(
                f"'{path.name}' is not an {path.suffix.lower()} workbook inside. "
                "Open it and save as .xlsx."
            )
        check_sizes(path.name, members)
        for member in members:
            if not member.filename.endswith((".xml", ".rels", ".vml", ".rdf")):
                continue
            content = archive.read(member)
            if any(mark in content for mark in _ENTITY_MARKS):
                raise UnreadableError(
                    f"'{path.name}' holds XML that a workbook never needs and is refused. "
                    "Open it and save as .xlsx."
                )
            if member.filename.startswith(formulas_below):
                has_formulas = has_formulas or b"<f" in content or b":f" in content
    return has_formulas


def check_sizes(name: str, members: list[zipfile.ZipInfo]) -> None:
    """Refuse a zip that is too large when unpacked, or locked.

    Raises:
        UnreadableError: One plain line.
    """
    whole = sum(member.file_size for member in members)
    swollen = any(
        member.file_size > MEBIBYTE
        and member.file_size > LARGEST_RATIO * max(1, member.compress_size)
        for member in members
    )
    largest = max(member.file_size for member in members)
    if swollen or largest > LARGEST_MEMBER or whole > LARGEST_WHOLE or len(members) > 5000:
        raise UnreadableError(
            f"'{name}' is too large when unpacked. "
            "Copy the pattern's cells into a new workbook and save as .xlsx."
        )
    if any(member.flag_bits & 1 for member in members):
        raise UnreadableError(
            f"'{name}' is protected by a password. Take it off and save as .xlsx."
        )

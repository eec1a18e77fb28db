"""A .csv file into records, whatever program and country it comes from.

Encodings: a byte order mark decides; else UTF-8 if the bytes are valid UTF-8, else
Windows-1252. Separators: a ``sep=`` line decides; else the one of tab, semicolon and comma
that divides the lines most evenly. A semicolon means that numbers have a decimal comma.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from pathlib import Path

from kitmaker.errors import UnreadableError

LARGEST_CSV = 5 * 2**20
MOST_RECORDS = 100_000
_SEPARATORS = ("\t", ";", ",")


def read_records(path: Path) -> tuple[list[list[str]], bool]:
    """Return a .csv file's records, empty ones too, and whether its numbers have decimal commas.

    A ``sep=`` line is not a row: a spreadsheet that opens the file does not show it.

    Raises:
        UnreadableError: It is no text, too large or not in records.
    """
    try:
        content = path.read_bytes()
    except OSError as fault:
        raise UnreadableError(
            f"'{path.name}' cannot be read: {fault.strerror}. Look at its name and folder."
        ) from None
    if len(content) > LARGEST_CSV:
        raise UnreadableError(f"'{path.name}' is too large for a pattern. Keep only its rows.")
    text = decode_text(path.name, content)
    separator, body = _declared_separator(text)
    separator = separator or _likeliest_separator(body)
    rows: list[list[str]] = []
    try:
        for record in csv.reader(io.StringIO(body, newline=""), delimiter=separator):
            rows.append(record)
            if len(rows) > MOST_RECORDS:
                raise UnreadableError(
                    f"'{path.name}' has more rows than a pattern needs. Keep only its own."
                )
    except csv.Error:
        raise UnreadableError(
            f"'{path.name}' is not in rows and columns. Open it and save as .xlsx."
        ) from None
    return rows, separator == ";"


def decode_text(name: str, content: bytes) -> str:
    """Return a file's text, whatever program it comes from.

    Raises:
        UnreadableError: It is no text.
    """
    marks = {
        codecs.BOM_UTF8: "utf-8-sig",
        **dict.fromkeys((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE), "utf-16"),
    }
    marked = [code for mark, code in marks.items() if content.startswith(mark)]
    codes = marked or ["utf-8", "cp1252"]
    for code in codes:
        try:
            text = content.decode(code)
        except UnicodeDecodeError:
            continue
        if "\x00" not in text:
            return text
    raise UnreadableError(f"'{name}' is not a text file. Open it and save as .xlsx.")


def _declared_separator(text: str) -> tuple[str | None, str]:
    first, _, rest = text.partition("\n")
    line = first.strip("\r").strip('"')
    if line[:4].lower() == "sep=" and len(line) == 5:
        return line[4], rest
    return None, text


def _likeliest_separator(text: str) -> str:
    outside = "".join(text.split('"')[::2])
    lines = [line for line in outside.splitlines() if line.strip()][:200]

    def evenness(separator: str) -> tuple[int, int]:
        counts = Counter(line.count(separator) for line in lines if separator in line)
        if not counts:
            return 0, 0
        fields, how_many = counts.most_common(1)[0]
        return how_many, fields

    best = max(_SEPARATORS, key=evenness)
    return best if evenness(best)[0] else ","

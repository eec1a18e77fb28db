"""Pictures and colors of fabrics: a file beside the shop's workbook, a color by name or number.

Nothing outside the workbook's folder is opened, no link is followed, and a file is looked
through before it is believed: only whole PNG and JPEG files of moderate size pass. An SVG may
hold a script, so it is not one of them.
"""

from __future__ import annotations

import os
import re
import stat
import zlib
from pathlib import Path

MOST_BYTES = 2_000_000
MOST_DOTS = 8_000  # on a side
_NOT_A_NAME = re.compile(r'[/\\:<>"|?*\x00-\x1f]')
_HEX = re.compile(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})")


class PictureError(ValueError):
    """Why a picture or a color is not shown, in words that end a sentence."""


def read_picture(folder: Path, name: str) -> bytes:
    """Return a picture's bytes.

    Raises:
        PictureError: It is not a whole PNG or JPEG file in that folder, or is too large.
    """
    if _NOT_A_NAME.search(name) or name in (".", ".."):
        raise PictureError("is not the name of a file beside the workbook")
    data = _read(folder / name)
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        _check_png(data)
    elif data.startswith(b"\xff\xd8\xff"):
        _check_jpeg(data)
    else:
        raise PictureError("is not a PNG or JPEG picture")
    return data


def _read(path: Path) -> bytes:
    """Return a plain file's bytes; links and devices are not followed."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        if path.is_symlink():
            raise PictureError("is a link; put the picture itself beside the workbook")
        handle = os.open(path, flags | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError):
        raise PictureError("is not beside the workbook, or cannot be read") from None
    try:
        found = os.fstat(handle)
        if not stat.S_ISREG(found.st_mode):
            raise PictureError("is not a file")
        if found.st_size > MOST_BYTES:
            raise PictureError(f"is larger than {MOST_BYTES // 1_000_000} MB")
        with os.fdopen(os.dup(handle), "rb") as file:
            return file.read(MOST_BYTES)
    finally:
        os.close(handle)


_BROKEN = "is broken: it ends too early or is damaged"


def _check_size(across: int, down: int) -> None:
    if not 0 < across <= MOST_DOTS or not 0 < down <= MOST_DOTS:
        raise PictureError(f"is {across} × {down} dots; at most {MOST_DOTS} on a side are shown")


def _check_png(data: bytes) -> None:
    """Go through the chunks of a PNG file: each whole, the dots unpacked but not kept."""
    at = 8
    kinds: list[bytes] = []
    dots = zlib.decompressobj()
    while at + 12 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        check = int.from_bytes(data[at + 8 + length : at + 12 + length], "big")
        if len(body) < length or zlib.crc32(kind + body) != check:
            raise PictureError(_BROKEN)
        if not kinds:
            if kind != b"IHDR" or length != 13:
                raise PictureError(_BROKEN)
            _check_size(int.from_bytes(body[:4], "big"), int.from_bytes(body[4:8], "big"))
        if kind == b"IDAT":
            _unpack(dots, body)
        kinds.append(kind)
        at += 12 + length
    if not kinds or kinds[-1] != b"IEND" or not dots.eof:
        raise PictureError(_BROKEN)


def _unpack(dots: zlib._Decompress, packed: bytes) -> None:
    """Unpack a stretch of dots, a little at a time."""
    try:
        while packed:
            dots.decompress(packed, 1 << 16)
            packed = dots.unconsumed_tail
    except zlib.error:
        raise PictureError(_BROKEN) from None


def _check_jpeg(data: bytes) -> None:
    """Go through the segments of a JPEG file up to its dots; behind them stands its end."""
    at, has_size = 2, False
    while at + 4 <= len(data) and data[at] == 0xFF:
        kind = data[at + 1]
        if kind == 0xFF:
            at += 1
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if at + 2 + length > len(data):
            break
        if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC):
            down, across = (int.from_bytes(data[at + n : at + n + 2], "big") for n in (5, 7))
            _check_size(across, down)
            has_size = True
        at += 2 + length
        if kind == 0xDA:
            if has_size and at < len(data) and b"\xff\xd9" in data[at:]:
                return
            break
    raise PictureError(_BROKEN)


def parse_color(text: str) -> str:
    """Return a color as a page writes it: ``#5b2d8e``, or one of the names that CSS has.

    Raises:
        PictureError: It is neither.
    """
    folded = "".join(text.split()).casefold()
    if folded in _NAMES or _HEX.fullmatch(folded):
        return folded
    raise PictureError("is no color that a page knows")


# The named colors of the CSS Color Module Level 4 (W3C), section 6.1.
_COLOR_NAMES = """
    aliceblue antiquewhite aqua aquamarine azure beige bisque black blanchedalmond blue blueviolet
    brown burlywood cadetblue chartreuse chocolate coral cornflowerblue cornsilk crimson cyan
    darkblue darkcyan darkgoldenrod darkgray darkgreen darkgrey darkkhaki darkmagenta
    darkolivegreen darkorange darkorchid darkred darksalmon darkseagreen darkslateblue
    darkslategray darkslategrey darkturquoise darkviolet deeppink deepskyblue dimgray dimgrey
    dodgerblue firebrick floralwhite forestgreen fuchsia gainsboro ghostwhite gold goldenrod gray
    green greenyellow grey honeydew hotpink indianred indigo ivory khaki lavender lavenderblush
    lawngreen lemonchiffon lightblue lightcoral lightcyan lightgoldenrodyellow lightgray
    lightgreen lightgrey lightpink lightsalmon lightseagreen lightskyblue lightslategray
    lightslategrey lightsteelblue lightyellow lime limegreen linen magenta maroon
    mediumaquamarine mediumblue mediumorchid mediumpurple mediumseagreen mediumslateblue
    mediumspringgreen mediumturquoise mediumvioletred midnightblue mintcream mistyrose moccasin
    navajowhite navy oldlace olive olivedrab orange orangered orchid palegoldenrod palegreen
    paleturquoise palevioletred papayawhip peachpuff peru pink plum powderblue purple
    rebeccapurple red rosybrown royalblue saddlebrown salmon sandybrown seagreen seashell sienna
    silver skyblue slateblue slategray slategrey snow springgreen steelblue tan teal thistle
    tomato turquoise violet wheat white whitesmoke yellow yellowgreen
"""
_NAMES = frozenset(_COLOR_NAMES.split())

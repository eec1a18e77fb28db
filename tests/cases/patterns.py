"""Invented patterns in the forms in which patterns are published, and what they mean.

Names, numbers and quilts are made up; only the manner of writing is that of printed pages:
magazine lists, blog sentences, forum lists, metric amounts beside inch cuts, precuts.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import openpyxl

LAYOUTS = ("one cell", "one row a line", "merged rows", "materials apart", "csv", "tidy")


@dataclass(frozen=True, slots=True)
class FabricCase:
    """A fabric: what stands there, and what it means.

    ``amount`` is number and unit; ``lines`` are the printed lines, each with its cuts.
    """

    role: str
    requirement: str
    amount: str
    lines: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class PatternCase:
    """A pattern."""

    name: str
    fabrics: tuple[FabricCase, ...]


def fabric(role: str, requirement: str, amount: str, *lines: tuple[str, ...]) -> FabricCase:
    return FabricCase(role, requirement, amount, lines)


PATTERNS = (
    PatternCase(
        "Ferry Lights",
        (
            fabric(
                "assorted prints (blocks)",
                '30--precut 2-1⁄2 ×42" strips',
                "30 strip-2.5",
                ("From each strip, cut:",),
                ('5--2-1⁄2 ×5-1⁄2" rectangles', "150 5/2 11/2"),
                ('4--2-1⁄2" squares', "120 5/2 5/2"),
            ),
            fabric(
                "solid cream (blocks, sashing squares)",
                "1-7/8 yards",
                "15/8 yd",
                ("From solid cream, cut:",),
                ('120--1-1⁄2×6-1⁄2" rectangles', "120 3/2 13/2"),
                ('56--2" sashing squares', "56 2 2"),
            ),
            fabric(
                "solid slate (sashing, border)",
                "2-1/2 yards",
                "5/2 yd",
                ('8--2×42" strips for border', "8 2 WOF"),
                ('110--2×8-1⁄2" sashing rectangles', "110 2 17/2"),
            ),
            fabric(
                "solid navy (binding)",
                "5⁄8 yard",
                "5/8 yd",
                ('7--2-1⁄2 ×42" binding strips', "7 5/2 WOF"),
            ),
        ),
    ),
    PatternCase(
        "Tide Tables",
        (
            fabric(
                "assorted blues",
                '9--18×22" pieces (fat quarters)',
                "9 fat-quarter",
                (
                    'From each assorted blue fat quarter, cut: 7--6-1⁄2 ×4-1⁄2" rectangles '
                    "(you'll use 60 of the 63 cut)",
                    "63 13/2 9/2",
                ),
            ),
            fabric(
                "solid white (sashing, border)",
                "3-1⁄2 yards",
                "7/2 yd",
                ("Cut sashing and border strips lengthwise (parallel to the selvages).",),
                ('2--5-1⁄4 ×76" border strips', "2 21/4 76"),
                ('2--5-1⁄4 ×58" border strips', "2 21/4 58"),
                ('9--3×48-1⁄2" sashing strips', "9 3 97/2"),
            ),
            fabric(
                "solid coral", "1⁄2 yard", "1/2 yd", ('60--1-1⁄2 ×4-1⁄2" rectangles', "60 3/2 9/2")
            ),
        ),
    ),
    PatternCase(
        "Gulls on the Quay",
        (
            fabric(
                "12 light and 12 dark fat quarters",
                "12 light fat quarters / 12 dark fat quarters",
                "24 fat-quarter",
                ("Six (6) 6″ squares from each fat quarter (144 total)", "144 6 6"),
            ),
            fabric(
                "inner border and binding",
                "1⅜ yards",
                "11/8 yd",
                ("Seven (7) 2½” x 42″ strips for inner border", "7 5/2 WOF"),
                ("Eleven (11) 2¼” x 42″ strips for the binding", "11 9/4 WOF"),
            ),
            fabric(
                "border",
                "1½ yards",
                "3/2 yd",
                ("Eight (8) 5½” x 42″ strips for outer border", "8 11/2 WOF"),
            ),
        ),
    ),
    PatternCase(
        "Snow on the Boardwalk",
        (
            fabric(
                "dark 5-inch squares",
                "48 dark 5” squares",
                "48 square-5",
                ("Choose 24 – 5” squares", "24 5 5"),
            ),
            fabric(
                "light 5-inch squares",
                "4 light 5” squares",
                "4 square-5",
                ("4 – 2 ⅜” squares from each of the 5” squares", "16 19/8 19/8"),
            ),
            fabric(
                "light fabric (side triangles and inner border)",
                "⅞ yard",
                "7/8 yd",
                (
                    "Cut 6 – 2 ¼” strips from the light fabric, sub-cut into 96 – 2 ¼” squares",
                    "96 9/4 9/4",
                ),
                ("Cut 5 – 1 ¾” strips for the narrow border", "5 7/4 WOF"),
            ),
            fabric("binding", "1/3 yard", "1/3 yd", ("cut 4 – 2 ¼” strips", "4 9/4 WOF")),
        ),
    ),
    PatternCase(
        "Mooring Lines",
        (
            fabric(
                "background (triangles and squares)",
                "1.20m.",
                "6/5 m",
                ('Two 16.5" squares cut twice diagonally to yield six QSTs', "2 33/2 33/2"),
                ('Two 12.5" squares cut once diagonally to yield four HSTs', "2 25/2 25/2"),
                ('Ten 5.5" squares', "10 11/2 11/2"),
            ),
            fabric(
                "Fabric 1",
                "95 cms",
                "95 cm",
                ('Five 2.5" WOF strips', "5 5/2 WOF"),
                ('Sixteen 5.5" squares - you should get 7 per WOF 5.5" strip', "16 11/2 11/2"),
            ),
            fabric(
                "Fabric 2",
                "40 cms of Fabrics 2 and 3",
                "40 cm",
                ('From both Fabrics 2 & 3: Three 2.5" WOF strips', "3 5/2 WOF"),
            ),
            fabric(
                "Fabric 3",
                "40 cms of Fabrics 2 and 3",
                "40 cm",
                ('From both Fabrics 2 & 3: Three 2.5" WOF strips', "3 5/2 WOF"),
            ),
        ),
    ),
    PatternCase(
        "Compass at Noon",
        (
            fabric(
                "assorted creams",
                "1-3⁄4 yards total",
                "7/4 yd",
                (
                    '6--4-7⁄8" squares, cutting each in half diagonally for a total of 12 '
                    "large triangles",
                    "6 39/8 39/8",
                ),
                ('44--3-7⁄8" squares', "44 31/8 31/8"),
                ('8--2-1⁄2×6-1⁄2" rectangles', "8 5/2 13/2"),
                ('48--2-1⁄2" squares', "48 5/2 5/2"),
            ),
            fabric(
                "assorted greens",
                "2 yards total",
                "2 yd",
                ('32--2-7⁄8" squares', "32 23/8 23/8"),
                (
                    'Enough 2-1⁄2"-wide strips in lengths ranging from 8" to 20" to total 360"',
                    "1 5/2 joined 360",
                ),
            ),
            fabric(
                "binding fabric", "1⁄2 yard", "1/2 yd", ('6--2-1⁄2×42" binding strips', "6 5/2 WOF")
            ),
        ),
    ),
    PatternCase(
        "Garden Gate",
        (
            fabric(
                "Fabric A: rose print",
                "3/8 yard",
                "3/8 yd",
                (
                    '1. Cut (2) 4-1/2" x WOF strips; sub-cut (14) 4-1/2" squares. (Unit 1)',
                    "14 9/2 9/2",
                ),
            ),
            fabric(
                "Fabric B: leaf print",
                "1 1/4 yards",
                "5/4 yd",
                ('1. Cut (4) 2-1/2" x WOF strips. Sub-cut (56) 2-1/2" squares.', "56 5/2 5/2"),
                ('2. Cut (5) 3-1/2" x WOF strips for the outer border.', "5 7/2 WOF"),
                ('3. Cut (2) 5-1/8" squares; cut once diagonally.', "2 41/8 41/8"),
            ),
            fabric(
                "Fabric C: cream (background)",
                "1½ yd",
                "3/2 yd",
                ('Cut 8 strips 2½" x WOF.',),
                (
                    'Subcut 5 of these strips into 60 – 2½" x 3" pieces; set the other 3 '
                    "strips aside.",
                    "60 5/2 3",
                    "3 5/2 WOF",
                ),
            ),
        ),
    ),
)


def expected_of(one: FabricCase) -> list[str]:
    return [cut for line in one.lines for cut in line[1:]]


def write_pattern(case: PatternCase, layout: str, folder: Path) -> Path:
    """Write a pattern as a workbook of one layout."""
    if layout == "csv":
        return _write_csv(case, folder)
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    if layout == "tidy":
        _write_tidy(case, sheet)
    elif layout == "materials apart":
        sheet.append(["Materials", "Yardage"])
        cuts = book.create_sheet("Cutting")
        cuts.append(["Fabric", "Cutting instructions"])
        for one in case.fabrics:
            sheet.append([one.role, one.requirement])
            cuts.append([one.role.split(" (")[0], "\n".join(line[0] for line in one.lines)])
    elif layout == "one cell":
        sheet.append(["Fabric", "Requirement", "Cutting instructions"])
        for one in case.fabrics:
            lines = "\n".join(line[0] for line in one.lines)
            sheet.append([one.role, one.requirement, lines])
    else:
        _write_rows(case, sheet, merged=layout == "merged rows")
    path = folder / f"{case.name}.xlsx"
    book.save(path)
    return path


def _write_rows(
    case: PatternCase, sheet: openpyxl.worksheet.worksheet.Worksheet, *, merged: bool
) -> None:
    sheet.append([case.name])
    sheet.append([])
    sheet.append(["Cutting", "Fabric", "Amount"])
    for one in case.fabrics:
        first = sheet.max_row + 1
        for at, line in enumerate(one.lines):
            sheet.append([line[0], *([one.role, one.requirement] if at == 0 else [])])
        if merged and sheet.max_row > first:
            sheet.merge_cells(f"B{first}:B{sheet.max_row}")
            sheet.merge_cells(f"C{first}:C{sheet.max_row}")
    sheet.append([])
    sheet.append(["Press all seams to the dark side."])


def _write_tidy(case: PatternCase, sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
    sheet.append(["Qty", "Fabric", "Width", "Length", "Shape"])
    for one in case.fabrics:
        for cut in expected_of(one):
            count, width, *length = cut.split()
            shape = "strip" if length[0] == "joined" else None
            sheet.append([int(count), one.role, _typed(width), _typed(length[-1]), shape])
    sheet.append(["Total"])


def _typed(number: str) -> str:
    top, _, bottom = number.partition("/")
    if not bottom:
        return number
    whole, rest = divmod(int(top), int(bottom))
    return f"{whole} {rest}/{bottom}" if whole else f"{rest}/{bottom}"


def _write_csv(case: PatternCase, folder: Path) -> Path:
    path = folder / f"{case.name}.csv"
    rows = ["Fabric;Requirement;Cutting instructions"]
    for one in case.fabrics:
        fields = (one.role, one.requirement, "\n".join(line[0] for line in one.lines))
        rows.append(";".join('"' + text.replace('"', '""') + '"' for text in fields))
    path.write_text("\r\n".join(rows), encoding="utf-8-sig")
    return path

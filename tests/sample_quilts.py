"""The sample quilts. Each adds up: the arithmetic stands above its figures."""

from __future__ import annotations

import csv
from pathlib import Path

from sample_book import INCHES, Book, inches

PIECES = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape", "Notes")
PIECE_WIDTHS = (20, 26, 11, 11, 10, 32, 46)
SIZES = {"Cut width": INCHES, "Cut length": INCHES}
ONCE = "square cut once on the diagonal"


def harbor_lanterns(path: Path) -> None:
    """A tidy pattern: 20 lanterns of 9 x 13½, 5 x 4, border 4½: 54 x 63.

    One block, from the top: strip 1½, roof 3 (triangle, square, triangle), panes 6 and
    base 1½ between two sides of 1½, strip 1½: 13½ high, 1½ + 6 + 1½ = 9 wide.
    20 blocks x 4 panes = 80, half in each print. 40 roof triangles of each color come from
    20 squares. Centre 45 x 54; all four borders measure 54½ (54 + ½ and 45 + 2 x 4½ + ½).
    4 x 54½ = 218 from 6 strips of 40. Binding 2 x (54 + 63) + 10 = 244: 7 strips.
    """
    book = Book(path, "Harbor Lanterns")
    book.table(
        "Pieces",
        PIECES,
        [
            ("Background", "A side", 2, 8, 40, None, "two beside each lantern"),
            ("Background", "B strip", 2, inches("9 1/2"), 40, None, "above and below each lantern"),
            (
                "Background",
                "C sky",
                inches("3 7/8"),
                inches("3 7/8"),
                20,
                ONCE,
                "40 triangles beside the roofs",
            ),
            (
                "Lantern print 1",
                "D pane",
                inches("3 1/2"),
                inches("3 1/2"),
                40,
                None,
                "two to a lantern",
            ),
            (
                "Lantern print 2",
                "E pane",
                inches("3 1/2"),
                inches("3 1/2"),
                40,
                None,
                "two to a lantern",
            ),
            (
                "Ironwork",
                "F roof end",
                inches("3 7/8"),
                inches("3 7/8"),
                20,
                ONCE,
                "40 triangles for the roofs",
            ),
            (
                "Ironwork",
                "G roof",
                inches("3 1/2"),
                inches("3 1/2"),
                20,
                None,
                "middle of the roof",
            ),
            ("Ironwork", "H base", 2, inches("6 1/2"), 20, None, "under the panes"),
            ("Border", "J border strip", 5, "WOF", 6, None, "join; cut four of 54 1/2 in"),
            ("Binding", "K binding strip", inches("2 1/2"), "WOF", 7, None, "join at 45 degrees"),
        ],
        widths=PIECE_WIDTHS,
        formats=SIZES,
    )
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "Form", "Usable width", "SKU", "Description"),
        [
            ("Background", "1 3/8 yd", None, 40, "JT-101", "Harbor fog, a pale solid"),
            ("Lantern print 1", "2 fat quarters", "fat quarter", None, "JT-210", "Lantern gold"),
            ("Lantern print 2", "2 fat quarters", "fat quarter", None, "JT-214", "Lantern coral"),
            ("Ironwork", "3/4 yd", None, 40, "JT-330", "Ink solid"),
            ("Border", "1 yd", None, 40, "JT-342", "Night ripple"),
            ("Binding", "5/8 yd", None, 40, "JT-342", "Night ripple"),
            ("Backing", "3 1/2 yd", None, 40, "JT-812", "Compass rose"),
        ],
        widths=(20, 18, 14, 14, 12, 30),
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Harbor Lanterns"),
            ("Size", "throw"),
            ("Unit", "in"),
            ("Seam allowance", 0.25),
            ("Finished size", "54 x 63 in"),
        ],
    )
    book.close()


def mill_pond_stars(path: Path) -> None:
    """As written in a pattern: 12 stars of 12, sashing 2, border 4: 52 x 66.

    A star: one 6½ middle, eight 3½ points (print); four 3½ x 6½ and four 3½ (background).
    3 x 4 stars: 31 sashes (4 x 4 + 5 x 3), 20 cornerstones (4 x 5). Width 3 x 12 + 4 x 2 = 44,
    height 4 x 12 + 5 x 2 = 58. Borders two of 58½ and two of 52½ = 222 from 6 strips of 40.
    Binding 2 x (52 + 66) + 10 = 246: 7 strips.
    """
    book = Book(path, "Mill Pond Stars")
    sheet = book.table(
        "Cutting",
        ("Fabric", "Requirement", "Prints", "Cutting instructions", "SKU"),
        [
            (
                "Star prints",
                "12 fat quarters",
                12,
                'From each of 12 prints, cut:\n(1) 6½" square\n(8) 3½" squares',
                "JT-400",
            ),
            (
                "Background",
                "1⅜ yards",
                None,
                'Cut (8) 3½" × WOF strips; sub-cut into (48) 3½" × 6½" rectangles.',
                "JT-101",
            ),
            (
                None,
                None,
                None,
                'Cut (5) 3½" × WOF strips; sub-cut into (48) 3½" squares.',
                None,
            ),
            (
                "Sashing",
                "⅞ yard",
                None,
                'Cut (11) 2½" × WOF strips.\nSub-cut into (31) 2½" × 12½" rectangles.',
                "JT-351",
            ),
            (
                "Cornerstones",
                "¼ yard",
                None,
                'Cut (2) 2½" × WOF strips; sub-cut into (20) 2½" squares.',
                "JT-330",
            ),
            (
                "Outer border",
                "⅞ yard",
                None,
                'Cut (6) 4½" × WOF strips.\nJoin end to end.',
                "JT-356",
            ),
            ("Binding", "⅝ yard", None, 'Cut (7) 2½" × WOF strips.', "JT-356"),
            ("Backing", "3½ yards", None, None, "JT-812"),
        ],
        widths=(18, 18, 9, 62, 12),
        title="Mill Pond Stars",
        note="Yardage is for fabric with at least 40 inches between the selvages.",
    )
    for column, text in ((0, "Background"), (1, "1⅜ yards"), (4, "JT-101")):
        sheet.merge_range(4, column, 5, column, text, book.cell_format("General"))
    book.facts(
        "Pattern",
        [
            ("Pattern", "Mill Pond Stars"),
            ("Unit", "in"),
            ("Seam allowance", "1/4 in"),
            ("Finished size", "52 x 66 in"),
        ],
    )
    book.close()


def paper_boats(path: Path) -> None:
    """Two sizes: boats of 8 x 8, border 3. Crib 4 x 5: 38 x 46. Throw 6 x 7: 54 x 62.

    A boat: two sail units of 4 (one 4⅞ square of sail and of sky); hull 2 high: two units of
    2 (one 2⅞ square of hull and of sky) and 2½ x 4½ between; water 2½ x 8½. 4 + 2 + 2 = 8.
    Borders: crib 2 x 40½ + 2 x 38½ = 158 from 5 strips, throw 2 x 56½ + 2 x 54½ = 222 from 6.
    Binding: crib 168 + 10: 5 strips, throw 232 + 10: 7 strips.
    """
    book = Book(path, "Paper Boats")
    book.table(
        "Pieces",
        (
            "Fabric",
            "Piece",
            "Cut width",
            "Cut length",
            "Quantity crib",
            "Quantity throw",
            "Shape",
        ),
        [
            ("Sky", "sail sky", "4⅞", "4⅞", 20, 42, ONCE),
            ("Sky", "bow sky", "2⅞", "2⅞", 20, 42, ONCE),
            ("Sails", "sail", "4⅞", "4⅞", 20, 42, ONCE),
            ("Hulls", "bow", "2⅞", "2⅞", 20, 42, ONCE),
            ("Hulls", "hull", "2½", "4½", 20, 42, None),
            ("Water", "water", "2½", "8½", 20, 42, None),
            ("Border", "border strip", "3½", "WOF", 5, 6, None),
            ("Binding", "binding strip", "2½", "WOF", 5, 7, None),
        ],
        widths=(14, 18, 11, 11, 14, 15, 34),
    )
    book.table(
        "Fabrics",
        ("Fabric", "Requirement crib", "Requirement throw", "SKU", "Description"),
        [
            ("Sky", "5/8 yd", "1 1/4 yd", "JT-360", "Morning sky"),
            ("Sails", "2 fat quarters", "4 fat quarters", "JT-210", "Lantern gold"),
            ("Hulls", "1/2 yd", "7/8 yd", "JT-225", "Rose lamplight"),
            ("Water", "3/8 yd", "7/8 yd", "JT-342", "Night ripple"),
            ("Border", "5/8 yd", "5/8 yd", "JT-360", "Morning sky"),
            ("Binding", "3/8 yd", "5/8 yd", "JT-330", "Ink solid"),
        ],
        widths=(14, 20, 20, 12, 26),
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Paper Boats"),
            ("Unit", "in"),
            ("Seam allowance", 0.25),
            ("Finished size", "crib 38 x 46 in, throw 54 x 62 in"),
        ],
    )
    book.close()


def fjord_steps(path: Path) -> None:
    """Metric, seam 0.75 cm: 48 blocks of 20 cm, 6 x 8, border 5 cm: 130 x 170 cm.

    A block: four rails of 5 x 20 cm, cut 6.5 x 21.5. Borders two of 161.5 and two of 131.5
    = 586 cm from 6 strips of 101.6. Binding 600 + 25 = 625 cm: 7 strips, 45° joins.
    """
    book = Book(path, "Fjord Steps")
    rails = [(f"Rail {number}", f"rail {number}", 6.5, 21.5, 48) for number in (1, 2, 3, 4)]
    book.table(
        "Pieces",
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity"),
        [
            *rails,
            ("Border", "border strip", 6.5, "WOF", 6),
            ("Binding", "binding strip", 6.5, "WOF", 7),
        ],
        widths=(16, 18, 12, 12, 10),
        formats={"Cut width": "0.0", "Cut length": "0.0"},
    )
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "Form", "Description"),
        [
            ("Rail 1", "4 metric fat quarters", "metric fat quarter", "Glacier"),
            ("Rail 2", "4 metric fat quarters", "metric fat quarter", "Spruce"),
            ("Rail 3", "80 cm", None, "Slate"),
            ("Rail 4", "0.8 m", None, "Snow"),
            ("Border", "50 cm", None, "Slate"),
            ("Binding", "50 cm", None, "Spruce"),
        ],
        widths=(16, 24, 20, 24),
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Fjord Steps"),
            ("Unit", "cm"),
            ("Seam allowance", 0.75),
            ("Finished size", "130 x 170 cm"),
        ],
    )
    book.close()


def orchard_gate(path: Path) -> None:
    """A one-way print and lengthwise borders: 16 gates of 10 x 12, border 6: 52 x 60.

    A gate: a panel of 8 x 10 (cut 8½ x 10½, trees upright) in a frame of 1: four strips of
    1½ x 10½ (10 + ½ at the sides, 8 + 2 + ½ above and below). 4 x 4 gates: 40 x 48.
    Borders along the stripe: two of 48½, two of 40 + 12 + ½ = 52½, and five binding strips
    of the same 1½ yd: 4 x 6½ + 5 x 2½ = 38½ of 40 in across. Binding 224 + 10 = 234.
    """
    book = Book(path, "Orchard Gate")
    book.table(
        "Pieces",
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Direction", "Notes"),
        [
            (
                "Orchard print",
                "panel",
                inches("8 1/2"),
                inches("10 1/2"),
                16,
                "one-way",
                "trees stand upright",
            ),
            ("Gate", "frame", inches("1 1/2"), inches("10 1/2"), 64, None, "four to a panel"),
            (
                "Vine stripe",
                "side border",
                inches("6 1/2"),
                inches("48 1/2"),
                2,
                "lengthwise",
                "along the stripe",
            ),
            (
                "Vine stripe",
                "top and bottom border",
                inches("6 1/2"),
                inches("52 1/2"),
                2,
                "lengthwise",
                "along the stripe",
            ),
            (
                "Vine stripe",
                "binding strip",
                inches("2 1/2"),
                "LOF",
                5,
                None,
                "from beside the borders",
            ),
        ],
        widths=(18, 24, 11, 11, 10, 14, 32),
        formats=SIZES,
    )
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "SKU", "Description"),
        [
            ("Orchard print", "1 1/4 yd", "JT-371", "Apple trees, one-way"),
            ("Gate", "1 yd", "JT-335", "Charcoal solid"),
            ("Vine stripe", "1 1/2 yd", "JT-374", "Vine stripe, runs along the selvage"),
        ],
        widths=(18, 16, 12, 40),
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Orchard Gate"),
            ("Unit", "in"),
            ("Seam allowance", 0.25),
            ("Finished size", "52 x 60 in"),
        ],
    )
    book.close()


def picket_lane(path: Path) -> None:
    """A yardage pattern that becomes fat quarters: 44 x 54.

    6 rows of 12 pickets, 3 x 6 each: 36 wide, 6 high. Between them 5 lanes of 2 x 36: the centre is
    36 x 46. Border 4: two of 46½ and two of 44½ are 182; 5 strips of 40 give 198. Binding
    2 x (44 + 54) + 10 = 206: 6 strips of 40 joined at 45° give 227½.
    From fat quarters: a lane is two parts of 18½; the border 11 parts of 20, the binding 14.
    """
    book = Book(path, "Picket Lane")
    book.table(
        "Pieces",
        (*PIECES[:6], "Join", "Notes"),
        [
            ("Picket prints", "A picket", inches("3 1/2"), inches("6 1/2"), "12 from each print",
             None, None, "side by side, 12 to a row"),
            ("Lane", "B lane", inches("2 1/2"), inches("36 1/2"), 5,
             None, "yes", "between the rows"),
            ("Hedge", "C border strip", inches("4 1/2"), "WOF", 5,
             None, None, "join end to end; cut two of 46 1/2 in and two of 44 1/2 in"),
            ("Binding", "D binding strip", inches("2 1/2"), "WOF", 6,
             None, None, "join at 45 degrees"),
        ],
        widths=(*PIECE_WIDTHS[:6], 8, PIECE_WIDTHS[6]),
        formats=SIZES,
    )  # fmt: skip
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "Prints", "Usable width", "SKU", "Description"),
        [
            ("Picket prints", "6 fat quarters", 6, None, "JT-400", "six prints of one line"),
            ("Lane", "1/2 yd", None, 40, "JT-101", "Harbor fog"),
            ("Hedge", "3/4 yd", None, 40, "JT-351", "Pond green"),
            ("Binding", "1/2 yd", None, 40, "JT-330", "Ink solid"),
            ("Backing", "3 1/2 yd", None, 40, "JT-812", "Compass rose"),
        ],
        widths=(20, 18, 8, 14, 12, 30),
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Picket Lane"),
            ("Unit", "in"),
            ("Seam allowance", 0.25),
            ("Finished size", "44 x 54 in"),
        ],
    )
    book.close()


def rainy_day_runner(path: Path) -> None:
    """Amounts only: a runner of 16 x 48. Binding 128 + 10 = 138: 4 strips; backing 20 x 52."""
    book = Book(path, "Rainy Day Runner")
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "SKU", "Description"),
        [
            ("Umbrella prints", "6 fat eighths", "JT-410", "six prints of one line"),
            ("Background", "5/8 yd", "JT-101", "Harbor fog"),
            ("Border", "3/8 yd", "JT-330", "Ink solid"),
            ("Binding", "3/8 yd", "JT-330", "Ink solid"),
            ("Backing", "1 1/2 yd", "JT-812", "Compass rose"),
        ],
        widths=(20, 18, 12, 30),
        title="Rainy Day Runner",
    )
    book.facts(
        "Pattern",
        [
            ("Pattern", "Rainy Day Runner"),
            ("Unit", "in"),
            ("Seam allowance", 0.25),
            ("Finished size", "16 x 48 in"),
        ],
    )
    book.close()


def ferry_tickets(path: Path) -> None:
    """A .csv: 60 tickets of 4 x 8 (6 print, 2 stub), 10 x 6: 40 x 48. Binding 186: 5 strips."""
    tickets = [
        (f"Ticket {color}", f"{color} ticket", "4 1/2", "6 1/2", "15", "")
        for color in ("blue", "green", "red", "yellow")
    ]
    rows = [
        ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Notes"),
        *tickets,
        ("Stub", "stub", "2 1/2", "4 1/2", "60", "one to each ticket"),
        ("Binding", "binding strip", "2 1/2", "WOF", "5", ""),
    ]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def tern_stars(path: Path) -> None:
    """Finished sizes only, and a sheet Finishing: 9 stars of 12, sashing 2, border 4: 52 x 52.

    A star: a center of 6, four geese of 6 x 3, four corners of 3 cut on the diagonal. 9 stars:
    36 geese from 9 squares 7¼, 72 sky triangles from 36 squares 3⅞, 36 corner triangles of
    each of two colors from 18 squares 3⅞. 3 x 12 + 4 x 2 = 44, and 44 + 2 x 4 = 52: 24 sashes,
    16 cornerstones; borders 2 x 44½ + 2 x 52½ = 194; binding 4 x 52 + 10 = 218; backing 60.
    """
    book = Book(path, "Tern Stars")
    goose, sky = (f"flying geese {part}, four at a time" for part in ("goose", "sky"))
    book.table(
        "Pieces",
        ("Fabric", "Piece", "Finished width", "Finished length", "Quantity", "Shape"),
        [
            ("Sea print", "star center", 6, 6, 9, "square"),
            ("Sea print", "outer corner", 3, 3, 36, "half-square triangle"),
            ("Background", "inner corner", 3, 3, 36, "half-square triangle"),
            ("Background", "goose", 6, 3, 36, goose),
            ("Sand print", "star point", 6, 3, 72, sky),
        ],
        widths=(16, 18, 15, 15, 10, 36),
        note="Sizes are finished sizes; the quantity counts finished shapes.",
    )
    book.table(
        "Fabrics",
        ("Fabric", "Requirement", "SKU", "Description"),
        [
            ("Sea print", "3/4 yd", "JT-342", "Night ripple"),
            ("Background", "3/4 yd", "JT-101", "Harbor fog"),
            ("Sand print", "5/8 yd", "JT-360", "Morning sky"),
            ("Sashing", "3/4 yd", "JT-351", "Pond green"),
            ("Border", "3/4 yd", "JT-356", "Reeds"),
            ("Binding", None, "JT-356", "Reeds"),
            ("Backing", None, "JT-812", "Compass rose"),
        ],
        widths=(16, 14, 12, 24),
    )
    book.facts(
        "Finishing",
        [
            ("Quilt width", 52),
            ("Quilt length", 52),
            ("Block size", 12),
            ("Blocks across", 3),
            ("Blocks down", 3),
            ("Sashing width", 2),
            ("Sashing around", "yes"),
            ("Cornerstone fabric", "Sand print"),
            ("Border width", 4),
            ("Border style", "butted"),
            ("Border cut", "crosswise"),
            ("Binding width", 2.5),
            ("Binding style", "straight"),
            ("Binding allowance", 10),
            ("Backing overhang", 4),
        ],
    )
    book.facts("Pattern", [("Pattern", "Tern Stars"), ("Unit", "in"), ("Seam allowance", 0.25)])
    book.close()

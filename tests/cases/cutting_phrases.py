"""Invented cutting phrases in the forms in which patterns are really written.

Each case: the words, the cuts a careful person takes them to mean (``count width length``,
with ``WOF`` for a whole strip and ``joined`` for a running length), and what the fabric is
known to be. ``ASK`` stands where two readings are honest, so that asking is right.
"""

from __future__ import annotations

from dataclasses import dataclass, field

ASK = "ask"


@dataclass(frozen=True, slots=True)
class PhraseCase:
    """A phrase and its reading."""

    words: str
    cuts: tuple[str, ...]
    facts: dict[str, object] = field(default_factory=dict)


def case(words: str, *cuts: str, **facts: object) -> PhraseCase:
    return PhraseCase(words, cuts, dict(facts))


NUMBERS = (
    case('14--3-1⁄4" squares', "14 13/4 13/4"),
    case("14 – 3 ¼” squares", "14 13/4 13/4"),
    case('(14) 3.25" squares', "14 13/4 13/4"),
    case('Fourteen 31/4" squares', "14 13/4 13/4"),
    case('6 (61/2" x 101/2") rectangles', "6 13/2 21/2"),
    case("22 (5⅜) squares", "22 43/8 43/8"),
    case('thirty-six 2 7⁄8" squares', "36 23/8 23/8"),
    case("Cut thirty six 2-7/8-inch squares", "36 23/8 23/8"),
    case('one hundred and eight 1½" squares', "108 3/2 3/2"),
    case('7-2-1/4x42" binding strips', "7 9/4 WOF"),
    case('5-4-1/2x12-1/2" strips', "5 9/2 25/2"),
    case("8—-3½” x 6½” rectangles", "8 7/2 13/2"),
    case("12 pieces 6.5cm x 11.5cm", "12 325/127 575/127"),
    case("Four 6½in. squares", "4 13/2 13/2"),
    case("9 squares, 4 1/2in", "9 9/2 9/2"),
    case('3 squares 16⅞" x 16⅞"', "3 135/8 135/8"),
    case("10 (ten) 5-1/2 inches x Width of Fabric (WOF)", "10 11/2 WOF"),
    case("Twelve (12) 4″ squares", "12 4 4"),
    case('{20} 3" x 5" rectangles', "20 3 5"),
    case('[20] 3" x 5" rectangles', "20 3 5"),
    case('2 2½" x 20½" strips', "2 5/2 41/2"),
    case('Cut 1 18½" square', "1 37/2 37/2"),
    case('Cut a 12½" square.', "1 25/2 25/2"),
    case('Cut two: 9" x 12"', "2 9 12"),
    case('4 each 2½" squares', ASK),
)

STRIPS = (
    case('Cut 6 strips 2½" x WOF.', "6 5/2 WOF"),
    case('Cut (6) 2½" strips across the width of fabric', "6 5/2 WOF"),
    case('6 strips @ 2½" x width of fabric', "6 5/2 WOF"),
    case('6 strips, 2½" wide', "6 5/2 WOF"),
    case("Six 2 1/2-inch-wide strips", "6 5/2 WOF"),
    case('6 - 2½" WOF strips', "6 5/2 WOF"),
    case('6 @ 2½" x WOF', "6 5/2 WOF"),
    case('2½" x WOF: 6 strips', "6 5/2 WOF"),
    case("(6) 2.5” by wof strips for the inner border", "6 5/2 WOF"),
    case('Cut six strips, each 2½" x 42"', "6 5/2 WOF"),
    case('6 strips 2½" x 44"', "6 5/2 WOF"),
    case('Cut 6 strips each 2½" wide by the width of the fabric.', "6 5/2 WOF"),
    case('Binding: 6 strips 2½" x WOF', "6 5/2 WOF"),
    case('Binding: cut (6) 2¼" strips.', "6 9/4 WOF"),
    case('For binding, cut 6 strips 2¼" x WOF', "6 9/4 WOF"),
    case("Cut 6 binding strips 2¼ inches wide", "6 9/4 WOF"),
    case('Cut (2) 4½" x 60½" strips from the length of fabric', "2 9/2 121/2"),
    case('Cut 4 strips 5" x 72" lengthwise', "4 5 72"),
    case('2 strips 4½" x LOF', "2 9/2 72", fabric_length=72),
    case('4 strips 3" wide by 39" long', "4 3 39"),
    case('11" strip', "1 11 WOF"),
    case('One 11" x WOF strip', "1 11 WOF"),
    case('4 strips up to 8" wide', ASK),
    case('8 strips 2 1/2" or 2 1/4" for binding', ASK),
    case('240" of 2¼" bias binding', "1 9/4 joined 240"),
    case('Enough 2½" strips to total 320"', "1 5/2 joined 320"),
    case('Enough 2¼"-wide strips to make 260" of binding', "1 9/4 joined 260"),
    case('2½"-wide strips in random lengths from 6" to 18" totaling 280"', "1 5/2 joined 280"),
    case('2 - 5½" x ? strips', ASK),
)

SUB_CUTS = (
    case('Cut 5 strips 2½" x WOF; sub-cut into 80 - 2½" squares', "80 5/2 5/2"),
    case('Cut 5 strips 2½" x WOF. Sub-cut into (80) squares.', "80 5/2 5/2"),
    case('Cut (3) 4½" x WOF strips, then crosscut into (24) 4½" squares', "24 9/2 9/2"),
    case('(3) 4½" x WOF strips. From these, cut (24) 4½" squares.', "24 9/2 9/2"),
    case('Cut 3 strips 4½" x WOF.\nSubcut 24 squares 4½" x 4½".', "24 9/2 9/2"),
    case('Cut 3 - 4½" strips WOF\nFrom the strips cut 18 - 4½" x 6½" rectangles', "18 9/2 13/2"),
    case(
        'Cut 8 strips 5½" x WOF\nSubcut 5 of these strips into (5) 5½" x 40½"',
        "5 11/2 81/2",
        "3 11/2 WOF",
    ),
    case('Cut 4 strips 3½" x WOF\nRecut into 32 – 3½" x 4½"', "32 7/2 9/2"),
    case('Cut 2 strips 6½" wide; cut strips into 12 squares 6½" x 6½"', "12 13/2 13/2"),
    case('3 strips 2½" x WOF, cut into 12 rectangles 2½" x 8½"', "12 5/2 17/2"),
    case('Cut 4 strips 3" x WOF; cut each strip into 13 – 3" squares', "52 3 3"),
    case('Cut 4 strips 3" x WOF; from each strip cut (10) 3" x 4" rectangles', "40 3 4"),
    case(
        'Cut 1 strip 6½" x WOF.\nSub-cut into (2) 6½" squares and (4) 6½" x 3½" rectangles.',
        "2 13/2 13/2",
        "4 13/2 7/2",
    ),
    case(
        'Cut 10 strips 2½" x WOF.\nSubcut 6 strips into 96 - 2½" squares.\n'
        "Set the other 4 strips aside for the border.",
        "96 5/2 5/2",
        "4 5/2 WOF",
    ),
    case(
        'Cut 9 strips 2½" x WOF.\nSubcut 4 strips into 64 - 2½" squares.\n'
        'Subcut the remaining 5 strips into 20 - 2½" x 8½" rectangles.',
        "64 5/2 5/2",
        "20 5/2 17/2",
    ),
    case(
        'Cut 7 strips 2½" x WOF.\nFrom 3 of the strips cut 48 - 2½" squares.\n'
        'From the remaining strips cut 16 - 2½" x 4½" rectangles.',
        "48 5/2 5/2",
        "16 5/2 9/2",
    ),
    case('Cut (2) 8" x WOF strips; cut 9 squares 8" x 8", cut twice diagonally', "9 8 8"),
    case('5 strips 2½": 40 @ 4½"', "40 5/2 9/2"),
    case('Cut 2 strips 5" x WOF to yield 16 – 5" squares', "16 5 5"),
)

EACH = (
    case('From each of 12 prints cut (8) 2½" squares', "96 5/2 5/2", prints=12),
    case('From each of the 12 fat quarters, cut: 4 – 5" x 9" rectangles', "48 5 9", cloths=12),
    case(
        'From each fat quarter cut:\n3 strips 2½" x 21"\n2 squares, 6in',
        "36 5/2 21",
        "24 6 6",
        cloths=12,
    ),
    case("Six (6) 5″ squares from each fat quarter (72 total)", "72 5 5", cloths=12),
    case('8 – 3½" squares from each print (96 in all)', "96 7/2 7/2", prints=12),
    case('From each print, cut 4 – 2½" x WOF strips', "48 5/2 WOF", prints=12),
    case('From each 10" square cut 4 – 5" squares', "160 5 5", cloths=40),
    case('Cut each 10" square into 4 – 5" squares', "160 5 5", cloths=40),
    case('Cut 20 10-inch squares into 9 pieces each (3" squares)', "180 3 3", cloths=20),
    case(
        'From each strip, cut: 6 – 2½" x 4½" rectangles',
        "240 5/2 9/2",
        cloths=40,
        prints_are_strips=True,
    ),
    case('From each print cut 4 – 2½" squares', ASK),
    case('6 – 3" squares from each fat quarter (80 total)', ASK, cloths=12),
)

SHAPES = (
    case('10 – 3⅞" squares; cut once on the diagonal for 20 triangles', "10 31/8 31/8"),
    case('Cut 10 squares 3-7/8" then cut in half diagonally', "10 31/8 31/8"),
    case('3 – 7¼" squares, cut twice diagonally to make 12 triangles', "3 29/4 29/4"),
    case('3 – 7¼" squares, cut in quarters diagonally (12 triangles)', "3 29/4 29/4"),
    case('2 squares 9¾" cut on both diagonals', "2 39/4 39/4"),
    case('16 – 2½" squares for corners (sew and flip)', "16 5/2 5/2"),
    case('16 – 2½" squares for stitch-and-flip corners', "16 5/2 5/2"),
    case(
        'Draw a diagonal line on the back of each 2½" square',
    ),
    case('24 half-square triangles 3½"', ASK),
    case('12 – 4" HSTs', ASK),
    case('8 hexagons, 3" sides', ASK),
)

SETS = (
    case('Cut 8 sets of 4 matching 2½" squares', "32 5/2 5/2"),
    case('For each of 9 blocks cut 4 – 3½" squares', "36 7/2 7/2"),
    case('4 – 3½" squares for each of 9 blocks (36 total)', "36 7/2 7/2"),
    case('9 sets of 2 – 2½" x 6½" rectangles and 2 – 2½" x 4½" rectangles', ASK),
    case('18 pairs of 3" squares', "36 3 3"),
    case('12 matching pairs of 2" x 4" rectangles', "24 2 4"),
)

LABELED = (
    case('A: (4) 3½" squares', "4 7/2 7/2"),
    case('A = (1) 24.5" x 12.5" BG', "1 49/2 25/2"),
    case('4 – 3½" squares (A)', "4 7/2 7/2"),
    case('Piece B: 4 rectangles 2" x 3½"', "4 2 7/2"),
    case('Inner border: (2) 2" x 48½"; (2) 2" x 51½"', "2 2 97/2", "2 2 103/2"),
    case('Block 3: cut 4 – 3½" squares', "4 7/2 7/2"),
    case('1st border: 5 strips 2" x WOF', "5 2 WOF"),
    case('Step 2. Cut 4 – 3½" squares', "4 7/2 7/2"),
    case('Center: one 18½" square', "1 37/2 37/2"),
    case('Cornerstones – 20 – 2" squares', "20 2 2"),
    case('42 – 2" x 9½" sashing strips', "42 2 19/2"),
    case('(you will use 84 of these) 88 – 2" squares', "88 2 2"),
    case('88 – 2" squares (you will use 84)', "88 2 2"),
    case('• 4 – 3½" squares', "4 7/2 7/2"),
    case("▫ 4 rectangles – 3½ x 6½ inches", "4 7/2 13/2"),
    case("4 squares – 3½ inches square", "4 7/2 7/2"),
    case('4 squares 3½" and 8 rectangles 2" x 3½"', "4 7/2 7/2", "8 2 7/2"),
    case('4 – 3½" squares, 8 – 2" x 3½" rectangles', "4 7/2 7/2", "8 2 7/2"),
)

DOUBTFUL = (
    case('100 sq" for applique', ASK),
    case("!^2” x *2”", ASK),
    case('4 – 4-78" squares', ASK),
    case('5" (15cm) squares, 10 of them', ASK),
    case('12 rectangles 3"', ASK),
    case('From 2 – 2¼" x 5" rectangles cut 2 – 2¼" squares', ASK),
    case('cut 3 (2) 5½" strips', ASK),
    case('About 30 – 3" squares', ASK),
    case('Several 2" strips', ASK),
    case('4½" squares', ASK),
)

PHRASE_CASES: dict[str, tuple[PhraseCase, ...]] = {
    "numbers": NUMBERS,
    "strips": STRIPS,
    "sub-cuts": SUB_CUTS,
    "each": EACH,
    "shapes": SHAPES,
    "sets": SETS,
    "labels": LABELED,
    "doubtful": DOUBTFUL,
}

"""Setting and corner triangles and diagonals against printed charts.

The chart in eighths adds up rounded parts (f × 1.414, up, and 1¼ or ⅞), the exact size is
rounded once: it is never more than the chart's, and at most an eighth less.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from typed import fabric, finishing, inches, read, said, shape, side

from kitmaker.lengths import EIGHTH, Length, parse_number

QUARTER = 2 * EIGHTH
FINE = "1/64"

TABLE = Path(__file__).parent / "data" / "setting_triangles.csv"
with TABLE.open(encoding="utf-8", newline="") as lines:
    ROWS = list(csv.DictReader(lines))
EIGHTHS = [row for row in ROWS if row["source"] == "On-point setting chart"]
QUARTERS = [row for row in ROWS if row["publisher"] == "Phoebe Moon Quilt Designs"]


def name(row: dict[str, str]) -> str:
    return f"{row['finished_block_in']} in block, {row['publisher']}"


def printed(row: dict[str, str]) -> tuple[Length, Length]:
    return parse_number(row["published_side_in"]), parse_number(row["published_corner_in"])


def ours(block: str, step: str = "1/8") -> tuple[Length, Length]:
    return side("setting triangle", block, step=step), side("corner triangle", block, step=step)


def test_the_charts_are_whole() -> None:
    assert (len(EIGHTHS), len(QUARTERS)) == (12, 17)


@pytest.mark.parametrize("row", EIGHTHS, ids=name)
def test_chart_in_eighths(row: dict[str, str]) -> None:
    for found, chart in zip(ours(row["finished_block_in"]), printed(row), strict=True):
        assert chart - EIGHTH <= found <= chart, row["url"]


def test_the_precision_trap_at_16_inches() -> None:
    """16 × 1.414 is 22.624 and fits 22⅝; 16 √2 is 22.627 and does not.

    The printed 23⅞ is still enough, because 1¼ is generous: rounded once it is ours.
    """
    assert ours("16")[0] == parse_number("23 7/8")


TOO_SMALL = {"14"}


@pytest.mark.parametrize("row", QUARTERS, ids=name)
def test_chart_in_quarters(row: dict[str, str]) -> None:
    block = row["finished_block_in"]
    (side_square, corner_square), (exact_side, exact_corner) = printed(row), ours(block, FINE)
    assert corner_square >= exact_corner - parse_number(FINE), row["url"]
    ours_side, ours_corner = ours(block, "1/4")
    assert ours_corner <= corner_square <= ours_corner + QUARTER
    if block in TOO_SMALL:  # 14 √2 + 1.207 is 21.006
        assert side_square < exact_side, row["url"]
        assert ours_side == parse_number("21 1/4")
    else:
        assert side_square >= exact_side - parse_number(FINE), row["url"]
        assert ours_side <= side_square <= ours_side + QUARTER


MOONLIGHT = "Moonlight Quilters guild, http://www.moonlightquilters.org/tip-on-point-settings/"
PINE = "Pine Meadows, http://www.pinemeadowsdesigns.com/SewingHints-BlockOnPoint.htm"


@pytest.mark.parametrize(
    ("block", "side_square", "corner_square", "source"),
    [("6", "9 3/4", "5 1/8", MOONLIGHT), ("12", "18 1/4", "9 3/8", PINE)],
)
def test_confirmed_elsewhere(block: str, side_square: str, corner_square: str, source: str) -> None:
    assert ours(block) == inches(side_square, corner_square), source
    on_point = finishing(
        ("Setting", "on point"), ("Block size", block), ("Blocks across", 2), ("Blocks down", 2)
    )
    squares = [piece.width for piece in fabric(on_point, "Setting").pieces]
    assert squares == list(inches(side_square, corner_square)), source


HOHN = "M. Hohn, Math charts page (2002), http://www.quilterscache.com/M/MathChartsPage.html"


@pytest.mark.parametrize(
    ("finished", "published"),
    [
        ("4", "5 5/8"),
        ("5", "7 1/8"),
        ("6", "8 1/2"),
        ("7", "9 7/8"),
        ("8", "11 3/8"),
        ("9", "12 3/4"),
        ("10", "14 1/8"),
        ("12", "17"),
        ("14", "19 3/4"),
    ],
)
def test_a_block_on_point_is_as_wide_as_its_diagonal(finished: str, published: str) -> None:
    """The chart prints the nearest eighth; a top of one block is that or an eighth more."""
    top = finishing(
        *(("Setting", "on point"), ("Block size", finished)),
        *(("Blocks across", 1), ("Blocks down", 1)),
        *(("Binding width", "2 1/2"), ("Binding allowance", "0")),
    )
    round_about = fabric(top, "Binding").pieces[0].length
    assert round_about is not None
    nearest = parse_number(published)
    assert round_about / 4 in (nearest, nearest + EIGHTH), HOHN
    assert (round_about / 4) ** 2 >= 2 * parse_number(finished) ** 2
    assert (round_about / 4 - EIGHTH) ** 2 < 2 * parse_number(finished) ** 2


def test_common_practice_setting_squares_cut_larger_to_trim() -> None:
    """Half an inch more than 18¼ and 9⅜, for an edge that is trimmed; no source."""
    assert side("setting triangle, 1/2 in oversize", "12") == parse_number("18 3/4")
    assert side("corner triangle, 1/2 in oversize", "12") == parse_number("9 7/8")


def test_what_is_added_is_said_as_it_is() -> None:
    """Exactly 1.2071 and 0.8536 beside the root; the trade says 1¼ and ⅞ (Combs)."""
    assert "12 × √2 + 1.207, up to ⅛ = cut 18¼" in (shape("setting triangle", "12").formula or "")
    assert "12 ÷ √2 + 0.854, up to ⅛ = cut 9⅜" in (shape("corner triangle", "12").formula or "")


def test_drawn_three_blocks_by_four_on_point() -> None:
    """Counted on a drawing: 12 blocks and 6 between, 10 triangles on the edges.

    36 √2 = 50.91 and 48 √2 = 67.88, up to the eighth.
    """
    told = said(
        finishing(
            *(("Setting", "on point"), ("Block size", 12)),
            *(("Blocks across", 3), ("Blocks down", 4)),
        )
    )
    assert "18 blocks on point, 10 setting triangles" in told
    assert "a top of 51 × 68 in" in told


def test_drawn_a_triangle_from_a_square_cut_the_other_way() -> None:
    """The same triangle from a square √2 larger or smaller: 9 → 12¾, 18 → 12¾ (12.728)."""
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape")
    once = ("Sky", "setting triangle", 9, 9, 4, "square cut once on the diagonal")
    twice = ("Sky", "corner triangle", 18, 18, 1, "square cut twice on the diagonal")
    told = said(read(("Pieces", (headings, once, twice))))
    assert "from squares of 12¾ in cut twice" in told
    assert "from squares of 12¾ in cut once" in told

"""What a pattern says of itself is worked out, and a contradiction is shown with both figures."""

from __future__ import annotations

from pathlib import Path

import pytest
from books import write

from kitmaker.lengths import Unit
from kitmaker.reading.controls import perimeter
from kitmaker.reading.requirements import read_pattern

HEADS = ("Fabric", "Requirement", "Cutting instructions")


def warnings(folder: Path, *rows: tuple[str, str, str], finished: str = "") -> list[str]:
    top = (("Finished size", finished), ()) if finished else ()
    reading = read_pattern(write(folder / "pattern.xlsx", {"Sheet": (*top, HEADS, *rows)}))
    assert [one for one in reading.problems if one.is_error] == []
    return [one.message for one in reading.problems]


def test_a_binding_too_short_to_go_round_is_said_with_both_figures(tmp_path: Path) -> None:
    row = ("binding fabric", "1/4 yd", '2--2½ × 42" binding strips')
    (said,) = warnings(tmp_path, row, finished="28 x 28")
    assert "84 in" in said
    assert "112 in" in said
    three = ("binding fabric", "1/4 yd", '3--2½ × 42" binding strips')
    assert warnings(tmp_path, three, finished="28 x 28") == []
    assert warnings(tmp_path, row) == []


def test_a_joined_binding_is_measured_by_its_length(tmp_path: Path) -> None:
    row = ("binding", "5/8 yd", 'Enough 2¼"-wide strips to make 260" of binding')
    (said,) = warnings(tmp_path, row, finished='60 x 72"')
    assert "260 in" in said
    assert "264 in" in said


def test_an_amount_that_cannot_hold_its_pieces_is_said_with_both_figures(tmp_path: Path) -> None:
    (said,) = warnings(tmp_path, ("navy", "1/2 yd", '8 strips 2½" x WOF'))
    assert "20 in" in said
    assert "18 in" in said
    assert warnings(tmp_path, ("navy", "5/8 yd", '8 strips 2½" x WOF')) == []


def test_a_mixture_counts_strips_whole_and_pieces_by_their_area(tmp_path: Path) -> None:
    cuts = '4 strips 2½" x WOF\n21 – 8" x 8" squares'
    (said,) = warnings(tmp_path, ("navy", "1 yd", cuts))
    assert "42" in said
    assert warnings(tmp_path, ("navy", "1 1/4 yd", cuts)) == []


def test_fat_quarters_that_cannot_hold_their_pieces_are_said(tmp_path: Path) -> None:
    (said,) = warnings(tmp_path, ("blues", "4 fat quarters", '30 – 8" squares'))
    assert "'4 fat quarters'" in said
    assert warnings(tmp_path, ("blues", "6 fat quarters", '30 – 8" squares')) == []


@pytest.mark.parametrize(
    ("text", "unit", "inches"),
    [
        ("28 x 28", Unit.INCH, 112),
        ('54½" × 63½"', Unit.INCH, 236),
        ("54 x 63 in", Unit.INCH, 234),
        ("127 x 127 cm", Unit.INCH, 200),
        ("127 x 127", Unit.CENTIMETER, 200),
        ("about 54 x 63", Unit.INCH, None),
        ("crib 40 x 50, throw 54 x 63", Unit.INCH, None),
        ("", Unit.INCH, None),
    ],
)
def test_the_way_round_is_known_from_one_pair_of_numbers_only(
    text: str, unit: Unit, inches: int | None
) -> None:
    assert perimeter(text, unit) == inches

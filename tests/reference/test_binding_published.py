"""Straight binding (and borders of the same arithmetic) against worked examples in print.

No source counts what the joins take: the allowance pays for it, or nothing does. Ours are
the printed strips unless these, joined at 45°, would be too short; then one more.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from typed import finishing, only, strips

from kitmaker.lengths import YARD, parse_number, round_need_up
from kitmaker.pattern import Piece


@dataclass(frozen=True)
class Worked:
    """One worked example: the quilt, the rule's figures, the strips and inches printed.

    ``ours`` is counted by hand: n strips give n × usable less (n - 1) × strip width.
    """

    quilt: tuple[str, str]
    allowance: int
    divisor: str
    strip_width: str
    strips: int
    inches: str
    ours: int
    source: str


BRYNWOOD = (
    "Brynwood Needleworks (2014), https://brynwoodneedleworks.blogspot.com/2014/09/"
    "stitching-cyphering-and-sewing.html"
)
EXAMPLES = [
    Worked(
        ("50", "60"), 0, "38", "2 1/2", 6, "15", 7,  # 6 give 215½ of 220
        "Castilleja Cotton (2013), http://castillejacotton.blogspot.com/2013/06",
    ),
    Worked(
        ("46", "46"), 0, "40", "2 1/2", 5, "12 1/2", 5,  # 190 of 184
        "Sylvia's Quilt Depot, https://www.sylviasquiltdepot.com/"
        "measuring-fabric-for-continuous-strips.htm",
    ),
    Worked(
        ("42 3/4", "63 1/2"), 0, "40", "2 1/4", 6, "13 1/2", 6,  # 228¾ of 212½
        "Quilts by Jen, https://quiltsbyjen.ca/calculating-amounts-of-fabric-for-binding",
    ),
    Worked(
        ("54", "60"), 10, "42", "1 1/4", 6, "7 1/2", 6,  # 245¾ of 238; printed 9½ with 2 to even
        "Monica Curry (2019), https://www.monicacurryquiltdesign.com/2019/06/"
        "how-to-make-double-fold-flange-quilt.html",
    ),
    Worked(("48", "64"), 10, "40", "6", 6, "36", 7, BRYNWOOD),  # 6 give 210 of 234
    Worked(("48", "64"), 10, "40", "3", 6, "18", 7, BRYNWOOD),  # 6 give 225 of 234
    # 11 give 415 of 424; the thread prints 26½ in and ¾ yd for 11, a mistake: 27½.
    Worked(
        ("96", "110"), 12, "40", "2 1/2", 11, "27 1/2", 12,
        "http://www.quiltingboard.com/main-f1/binding-math-t189575.html",
    ),
    # 5 give 196 of 180; the shop multiplies 4.29 strips, 15 in, a mistake: strips are whole.
    Worked(
        ("40", "50"), 0, "42", "3 1/2", 5, "17 1/2", 5, "https://cottonpatchfabrics.com/",
    ),
]  # fmt: skip


def binding(example: Worked) -> Piece:
    """Return the binding of a Finishing sheet with the example's figures."""
    width, length = example.quilt
    return only(
        finishing(
            *(("Quilt width", width), ("Quilt length", length)),
            *(("Binding width", example.strip_width), ("Binding allowance", example.allowance)),
        ),
        "Binding",
    )


def name(example: Worked) -> str:
    return f"{' x '.join(example.quilt)} at {example.strip_width}"


@pytest.mark.parametrize("example", EXAMPLES, ids=name)
def test_worked_example(example: Worked) -> None:
    found = binding(example)
    width = parse_number(example.strip_width)
    assert found.width == width
    assert example.strips * width == parse_number(example.inches), example.source
    assert strips(found, example.divisor) == example.ours, example.source
    total = 2 * sum(map(parse_number, example.quilt)) + example.allowance
    assert found.length == total
    reach = example.strips * parse_number(example.divisor) - (example.strips - 1) * width
    assert (reach >= total) is (example.ours == example.strips), example.source


def test_the_perimeter_of_a_queen_quilt() -> None:
    """84 × 92 → 352; https://puntadasdemoda.com/mosaicism/what-size-should-my-quilt-binding-be.html."""
    queen = Worked(("84", "92"), 0, "40", "2 1/2", 9, "22 1/2", 10, "")
    assert binding(queen).length == 352


def test_an_allowance_of_10_where_none_is_stated() -> None:
    """Brynwood Needleworks (2014): the way round and 10; strips of 2½, common practice."""
    found = only(
        finishing(("Quilt width", 48), ("Quilt length", 64), ("Binding", "yes")), "Binding"
    )
    assert (found.width, found.length) == (parse_number("2 1/2"), 234), BRYNWOOD


def test_worked_out_a_binding_shorter_than_a_strip_takes_one() -> None:
    """4 × 6 and 10 are 34 in, from one strip of 40, without a join."""
    small = Worked(("6", "6"), 10, "40", "2 1/2", 1, "2 1/2", 1, "")
    assert strips(binding(small)) == 1


def test_mistake_eleven_strips_are_27_inches_and_a_half_and_need_seven_eighths() -> None:
    bought = round_need_up(11 * parse_number("2 1/2"), YARD / 8)
    assert bought != parse_number("3/4") * YARD
    assert bought == parse_number("7/8") * YARD

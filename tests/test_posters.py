"""Posters are read from across the table: type of 24 pt, drawings as large as a page allows."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from quilt import fabric, one_way, pattern, piece
from test_kit import plan

from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

LANDSCAPE_WIDE, PART_WIDE = 724, 680  # points between a Letter page's margins; in everything.html
VIEW = re.compile(r'<svg class="layout"[^>]* viewBox="([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+)"')


def poster(made: KitPlan) -> str:
    files = render_pages(made).files
    (text,) = (text for name, text in files.items() if name.startswith("poster"))
    return text


@pytest.fixture(scope="module")
def borders() -> str:
    """A length of five yards with long borders, short pieces beside them, and a dozen cuts."""
    made = fabric("Reed", one_way("side", "5.5", "66.5", 2), one_way("top", "5.5", "60.5", 2))
    pieces = (*made.pieces, piece("brick", "3.25", "7.125", 16))
    return poster(plan(pattern(replace(made, pieces=pieces)), kits=4, bags=((None, Bag.PIECES),)))


@pytest.fixture(scope="module")
def bricks() -> str:
    made = fabric("Reed", piece("brick", "3.25", "7.125", 16))
    return poster(plan(pattern(made), kits=4, bags=((None, Bag.PIECES),)))


def test_no_letter_of_a_poster_is_smaller_than_24_points_and_its_drawing_is_not_scaled_down(
    borders: str, bricks: str
) -> None:
    for text in (borders, bricks):
        views = VIEW.findall(text)
        assert views
        assert all(float(wide) <= PART_WIDE < LANDSCAPE_WIDE for _, _, wide, _ in views)
        sizes = [Fraction(size) for size in re.findall(r'font-size="([\d.]+)"', text)]
        assert min(sizes) >= 24


def test_a_long_length_lies_along_the_page_and_its_many_steps_stand_on_a_page_of_their_own(
    borders: str, bricks: str
) -> None:
    long = borders.split('<section class="postered"')[1:]
    drawn, steps = long[0], long[1]
    assert "rotate(90)" in drawn
    assert "<ol" not in drawn
    assert "<svg" not in steps
    assert steps.count("<li>") > 10
    assert f"page 1 of {len(long)}" in drawn
    for side in bricks.split('<section class="postered"')[1:]:
        assert "rotate(90)" not in side
        assert "<svg" in side
        assert "<ol" in side


def test_numbers_beside_a_turned_drawing_lie_inside_it(borders: str) -> None:
    drawing = borders[borders.index('<svg class="layout"') : borders.index("</svg>")]
    left, top, wide, high = (float(number) for number in VIEW.findall(drawing)[0])
    discs = re.findall(
        r'rotate\(-90[^>]*><ellipse cx="([-\d.]+)" cy="([-\d.]+)" rx="([\d.]+)" ry="([\d.]+)"',
        drawing,
    )
    assert len(discs) > 5
    for x, y, rx, ry in (map(float, disc) for disc in discs):
        across, down = -y, x  # where a quarter turn to the right brings it
        assert left <= across - rx, "a number stands upright: its width lies along the page"
        assert across + rx <= left + wide
        assert top <= down - ry
        assert down + ry <= top + high

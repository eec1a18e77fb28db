"""Every number and every word of quantity of a cutting line is read, or asked about."""

from __future__ import annotations

import pytest

from kitmaker.errors import Level
from kitmaker.reading.phrases import FabricFacts, Understood, read_lines


def read(text: str, **facts: int) -> Understood:
    return read_lines(text.split("\n"), FabricFacts(**facts))  # type: ignore[arg-type]


def is_asked(text: str, **facts: int) -> bool:
    return any(finding.level is Level.ERROR for finding in read(text, **facts).findings)


def counts(text: str, **facts: int) -> list[int]:
    assert not is_asked(text, **facts)
    return [cut.quantity for cut in read(text, **facts).cuts]


def test_several_things_named_by_number_may_multiply() -> None:
    assert is_asked('4 squares 2½" from prints 1, 2 and 3')
    assert is_asked('Rows 1, 3 and 5: 4 squares 5"')
    assert is_asked('A & B: 4 squares 5"')


@pytest.mark.parametrize(
    "text",
    [
        'Cut 6 strips 3½" x WOF. From half of the strips cut 33 squares 3½".',
        'Cut 4 squares 3⅞". Cut half of the squares once diagonally.',
        'Cut 4 squares 2½". Cut the same from the red.',
        "As print 1.",
        'Cut all but 4 of the 2½" squares',
        'Do not cut the 6 squares 3¾" yet',
        'Cut 8 squares 5" from red; do likewise with blue',
    ],
)
def test_words_that_change_what_is_cut_are_asked_about(text: str) -> None:
    assert is_asked(text)


def test_a_remark_is_held_against_the_count() -> None:
    assert counts('Cut 36 squares 5" (4 per block)') == [36]
    assert is_asked('Cut 35 squares 5" (4 per block)')
    assert is_asked('Cut 4 squares 5" (4 per block)')
    assert counts('Cut 84 squares 2½" (42 dark, 42 light)') == [84]
    assert is_asked('Cut 84 squares 2½" (42 dark, 44 light)')
    assert counts('48 squares 2½" (12 sets of 4)') == [48]
    assert is_asked('48 squares 2½" (10 sets of 4)')
    assert is_asked('Cut 4 squares 4½" (make 12)')
    assert counts('Cut 88 squares 2" (use 84 of the 88 cut)') == [88]
    assert counts('17 squares 6½" - you should get 6 per WOF 6½" strip') == [17]


def test_a_share_from_each_print_is_held_against_the_prints() -> None:
    assert counts('48 squares 2½", 16 from each print', prints=3) == [48]
    assert is_asked('48 squares 2½", 12 from each print', prints=3)


def test_a_total_over_several_cuts_is_held_against_them() -> None:
    assert counts('Cut 4 squares 3" and 6 rectangles 3" x 5" (10 total)') == [4, 6]
    assert is_asked('Cut 4 squares 3" and 6 rectangles 3" x 5" (12 total)')


def test_a_total_of_triangles_says_how_squares_are_cut() -> None:
    once = read('Cut 2 squares 3⅞" → 4 triangles').cuts
    twice = read('Cut 1 square 7¼" → 4 QST').cuts
    assert [cut.shape.value for cut in (*once, *twice)] == [
        "square cut once on the diagonal",
        "square cut twice on the diagonal",
    ]
    assert is_asked('Cut 12 squares 3". Cut diagonally to yield 48 triangles.')


def test_another_title_puts_a_heading_for_each_in_doubt() -> None:
    blocks = 'For each of the 6 blocks:\n4 squares 3½"\n'
    assert counts(f'{blocks}For the border:\n4 squares 5"') == [24, 4]
    prints = 'From each print, cut:\n4 squares 3½"\n'
    assert is_asked(f'{prints}Borders:\n4 squares 5"', prints=3)
    assert counts(f'{prints}2 squares 5"', prints=3) == [12, 6]


def test_squares_that_take_all_strips_above_are_not_counted_beside_them_in_silence() -> None:
    assert is_asked('Cut 4 strips 3½" x WOF for blocks\nCut 44 squares 3½"')
    assert counts('Cut 4 strips 3½" x WOF\nThen cut 44 squares 3½"') == [44]
    assert counts('First cuts: 4 strips 3½" x WOF\nNext cuts: 44 squares 3½"') == [44]


def test_a_list_below_from_each_strip_is_for_each_strip() -> None:
    text = 'Cut 4 strips 3½" x WOF\nFrom each strip cut:\n5 squares 3½"\n2 rectangles 3½" x 6½"'
    assert counts(text) == [20, 8]


def test_a_count_behind_a_plural_head_is_no_name() -> None:
    assert counts('Top borders: 2 @ 4½" x 40½"; side borders: 2 @ 4½" x 56½"') == [2, 2]
    assert counts('Log 2: 12 @ 2" x 3½"') == [12]
    assert is_asked('Make 3: cut 4 squares 2½"')


def test_a_strip_that_is_used_is_not_counted_beside_what_is_cut_from_it() -> None:
    assert counts('Using a 5" strip cut 8 squares 5"') == [8]
    assert counts('Cut twelve 6½" squares. Requires two 6½" strips.') == [12]
    assert is_asked('8 – 5" squares (1 strip 5" x WOF)')

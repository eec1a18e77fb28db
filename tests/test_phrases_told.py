"""What a cutting text tells besides its cuts is no cut, and no cut hides in what it tells."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.errors import Level
from kitmaker.lengths import say_number
from kitmaker.reading.phrases import FabricFacts, Understood, read_lines


def understood(text: str, **facts: object) -> Understood:
    return read_lines(text.split("\n"), FabricFacts(**facts))  # type: ignore[arg-type]


def cuts(text: str, **facts: object) -> list[str]:
    read = understood(text, **facts)
    assert not [one.message for one in read.findings if one.level is Level.ERROR]
    return [
        f"{cut.quantity} {say_number(cut.width)} "
        f"{'WOF' if cut.length is None else say_number(cut.length)}"
        for cut in read.cuts
    ]


def is_asked(text: str, **facts: object) -> bool:
    return any(one.level is Level.ERROR for one in understood(text, **facts).findings)


@pytest.mark.parametrize(
    "note",
    [
        'Draw a line on each square, sew ¼" on both sides and cut apart.',
        'The leftover bits are about 4½" long.',
        'Mine were 64½" for the sides and 46½" for the top.',
        'Each column should measure 12½" x 60½".',
        'fat quarter = 18" x 20"',
        "Set aside the remaining 5 squares for another project.",
        "Keep the sets of 4 triangles together.",
    ],
)
def test_a_sentence_that_only_tells_cuts_nothing(note: str) -> None:
    assert cuts(note) == []
    assert cuts(f'4 squares 5"\n{note}') == ["4 5 5"]


@pytest.mark.parametrize(
    ("told", "read"),
    [
        ('I used 5" squares - 36 of them.', ["36 5 5"]),
        ('I needed 20 squares at 6½" so I cut four strips 6½" wide.', ["20 6½ 6½"]),
        ('The center square is 8½" x 8½".', ["1 8½ 8½"]),
        ('Press the fabric, then cut 12 squares 4½".', ["12 4½ 4½"]),
        ('Quilt center: 1 square 20½"', ["1 20½ 20½"]),
    ],
)
def test_a_cut_that_is_told_is_cut(told: str, read: list[str]) -> None:
    assert cuts(told) == read


@pytest.mark.parametrize(
    "text",
    [
        'Set aside 4 strips 2½" x WOF for binding.',
        'If you use fat quarters, cut 3 strips 5" x 20".',
        'Cut enough 3" strips for 6 borders.',
    ],
)
def test_a_cut_that_may_hide_in_a_remark_is_asked_about(text: str) -> None:
    assert is_asked(text)


def test_strips_that_give_just_the_pieces_beside_them_in_a_row_are_cut_into_them() -> None:
    assert cuts('5 strips 3½" x WOF 100 rectangles 2" x 3½"') == ["100 2 3½"]
    assert is_asked('5 strips 3½" x WOF 30 rectangles 2" x 3½"')


def test_some_strips_of_each_print_are_counted_for_each() -> None:
    text = (
        'From each of 4 prints cut 9 strips 2½" x WOF; subcut 6 of the strips into 48 squares 2½"'
    )
    assert cuts(text, prints=4) == ["12 2½ WOF", "192 2½ 2½"]


def test_a_total_where_counts_are_multiplied_is_asked_about() -> None:
    assert is_asked('From each print cut 24 squares 2½" total', prints=6)


def test_strips_are_taken_up_by_their_width() -> None:
    text = (
        'Cut (2) 5" x WOF strips and (3) 3" x WOF strips. From the 5" strips, cut (16) 5" squares. '
        'From the 3" strips, cut (32) 3" squares.'
    )
    assert cuts(text) == ["16 5 5", "32 3 3"]


def test_squares_of_one_letter_are_cut_on_the_diagonal() -> None:
    text = (
        'Cut 1 (15½") C square and 2 (8") D squares. '
        "Cut C on both diagonals; cut each D on one diagonal."
    )
    shapes = [cut.shape.value for cut in understood(text).cuts]
    assert shapes == ["square cut twice on the diagonal", "square cut once on the diagonal"]


def test_pieces_bought_ready_cut_have_the_size_they_are_bought_in() -> None:
    five = Fraction(5)
    assert cuts("Choose 20 squares.", cloths=42, ready_cut=five) == ["20 5 5"]
    text = 'Choose 20 squares. Cut each in half to yield (2) 2½" x 5" rectangles.'
    assert cuts(text, cloths=42, ready_cut=five) == ["40 2½ 5"]
    assert is_asked("Choose 20 squares.")


def test_a_count_in_brackets_and_a_fraction_are_no_mixed_number() -> None:
    assert cuts('3 (¾" x 4") strips') == ["3 ¾ 4"]

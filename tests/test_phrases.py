"""Cutting phrases: what a line asks for, and what is refused because it is not sure."""

from __future__ import annotations

from fractions import Fraction

import pytest
from cases.cutting_phrases import ASK, PHRASE_CASES, PhraseCase

from kitmaker.errors import Level
from kitmaker.lengths import Unit, parse_length, parse_number
from kitmaker.pattern import Direction, PieceKind, Shape
from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.phrases import FabricFacts, Understood, read_lines, says_a_cut
from kitmaker.reading.phrases.naming import say_laid
from kitmaker.reading.phrases.table import Laid


def understood(text: str, **facts: object) -> Understood:
    return read_lines(text.split("\n"), FabricFacts(**facts))  # type: ignore[arg-type]


def cuts(text: str, **facts: object) -> list[str]:
    """Each cut as ``count width length``, sorted as read; no error may be among them."""
    read = understood(text, **facts)
    assert [one for one in read.findings if one.level is Level.ERROR] == []
    return [
        f"{cut.quantity} {cut.width} {'joined ' if cut.kind is PieceKind.JOINED else ''}"
        f"{'WOF' if cut.length is None else cut.length}"
        for cut in read.cuts
    ]


def errors(text: str, **facts: object) -> list[str]:
    read = understood(text, **facts)
    return [one.message for one in read.findings if one.level is Level.ERROR]


def warnings(text: str, **facts: object) -> list[str]:
    read = understood(text, **facts)
    return [one.message for one in read.findings if one.level is Level.WARNING]


@pytest.mark.parametrize(
    "line",
    [
        *('(9) 3½" squares', '9--3-1⁄2" squares', '9-3-1/2" squares', "nine 3 1/2″ squares"),
        *("9 – 3 ½” squares", '9 3.5" squares', 'Nine (9) 3½" squares', '{9} 3½" sq'),
        *('9 squares, 3½" x 3½"', "9 squares - 3½ inches square", 'Cut 9 squares 3½"'),
        *('9 x 3½" squares', '9—-3½" squares', 'Cut 3½" squares: 9', '3½" squares (9)'),
        *('9 squares @ 3½"', '9 (3½") squares', "• 9 3½-inch squares", '1. Cut (9) 3½" squares.'),
    ],
)
def test_nine_squares_are_read_in_every_usual_spelling(line: str) -> None:
    assert cuts(line) == ["9 7/2 7/2"]


@pytest.mark.parametrize(
    "line",
    [
        *('6 – 4½" x WOF strips', '6--4-1/2×42" strips', '6-4-1/2x42" border strips'),
        *(
            'Cut 6 4.5" strips width of fabric',
            "Six strips, 4 1/2in across the width of the fabric",
        ),
        *('(6) 4½" strips', '6 x 4½" x WOF', "cut 6 (six) 4.5 inches x Width of Fabric (WOF)"),
        *('6 4½" by wof', 'Border: cut 6 strips 4½" × WOF', 'Cut 6 WOF strips, 4½" wide'),
    ],
)
def test_strips_across_the_whole_fabric_have_no_length(line: str) -> None:
    assert cuts(line) == ["6 9/2 WOF"]


def test_a_strip_shorter_than_the_fabric_is_a_piece() -> None:
    assert cuts('4 strips 3" x 39"') == ["4 3 39"]
    assert cuts('(3) 2-1/2" X 20-1/2" WOF strips') == ["3 5/2 41/2"]
    assert cuts('4 strips 3" x 41"', narrowest_width=Fraction(43)) == ["4 3 41"]


def test_a_strip_and_its_sub_cuts_are_one_demand() -> None:
    for text in (
        'Cut (4) 3½" × WOF strips; sub-cut into (40) 3½" squares.',
        'Cut 4 – 3½" strips.\nSubcut into forty 3½" squares.',
        'Cut 4 strips 3½" x WOF, cut into 40 squares 3½"',
        'Cut (4) 3½" WOF strips. From these strips, cut (40) 3½" squares.',
        'Cut (4) 3½" WOF strips; from these cut (40) 3½" squares.',
        'Cut (4) 3½" WOF strips. Cross-cut each strip into (10) 3½" squares (40 total).',
        'Cut (4) 3½" WOF strips to make (40) 3½" squares',
    ):
        assert cuts(text) == ["40 7/2 7/2"], text


def test_strips_that_are_not_sub_cut_stay_whole() -> None:
    assert cuts('Cut 30 strips 2" x WOF. Sub-cut 12 of these strips into (40) 2" x 9"') == [
        "18 2 WOF",
        "40 2 9",
    ]
    assert cuts('Cut six 2" WOF strips; subcut two into (36) 2" squares') == ["4 2 WOF", "36 2 2"]


def test_behind_a_strip_at_gives_the_length() -> None:
    assert cuts('Cut (3) 2½" x WOF strips: 12 @ 4½", 6 @ 2½"') == ["12 5/2 9/2", "6 5/2 5/2"]
    assert errors('12 @ 3½"')


def test_pieces_beside_a_strip_are_not_taken_for_sub_cuts_silently() -> None:
    assert errors('One strip 5" x WOF: two 5" x 20" rectangles')
    assert errors('Cut (2) 5" x WOF strips\n(3) 5" x 9" rectangles')
    just_enough = 'Cut (2) 5" x WOF strips\n(8) 5" x 9" rectangles'
    assert cuts(just_enough) == ["8 5 9"]
    assert warnings(just_enough)
    assert not warnings('Cut (2) 5" x WOF strips\n(80) 5" x 9" rectangles')


def test_what_is_cut_after_sewing_is_not_cut_from_the_strips() -> None:
    text = 'Cut (3) 2½" WOF strips.\nSew into a strip set.\nCut into (14) 2½" segments.'
    assert [cut.kind for cut in understood(text).cuts] == [PieceKind.STRIP]
    assert not errors(text)


def test_from_each_is_multiplied_by_the_prints() -> None:
    below_heading = 'From each print, cut:\n(2) 5" squares\nCut (1) 2" x 9" strip'
    assert cuts(below_heading, prints=7) == ["14 5 5", "7 2 9"]
    assert cuts('From each of 7 prints cut 2 5" squares') == ["14 5 5"]
    assert cuts('Two 5" squares from each fat quarter (14 total)', cloths=7) == ["14 5 5"]
    assert understood('(2) 5" squares from each print', prints=7).cuts[0].from_each == 7


def test_from_each_ends_with_the_next_source() -> None:
    text = 'From each print, cut (2) 5" squares\n3--2" squares\nCut (4) 7" squares'
    assert len(errors(text, prints=7)) == 1
    listed = 'From each print, cut:\n(2) 5" squares\n3--2" squares\nFrom white:\n(4) 7" squares'
    assert cuts(listed, prints=7) == ["14 5 5", "21 2 2", "4 7 7"]


def test_from_each_without_a_sure_count_is_an_error() -> None:
    assert errors('From each print, cut (2) 5" squares')
    assert errors('From each, cut (2) 5" squares', prints=6, cloths=12)
    assert errors('From each of 9 prints, cut (2) 5" squares', prints=8)
    assert cuts('From each print, cut (2) 5" squares', prints=6, cloths=12) == ["12 5 5"]
    assert cuts('From each fat quarter (2) 5" squares', prints=6, cloths=12) == ["24 5 5"]


def test_a_total_that_does_not_agree_is_an_error() -> None:
    assert errors('Two 5" squares from each print (15 total)', prints=7)


@pytest.mark.parametrize(
    ("line", "shape"),
    [
        ('(6) 4⅞" squares, cut once on the diagonal', Shape.CUT_ONCE),
        ('6--4-7⁄8" squares, cutting each in half diagonally for a total of 12', Shape.CUT_ONCE),
        ('(6) 4⅞" squares. Cut each in half diagonally.', Shape.CUT_ONCE),
        ('(6) 4⅞" squares; cut twice on the diagonal', Shape.CUT_TWICE),
        ('(6) 4⅞" squares. Cut in half diagonally twice for 24 side triangles.', Shape.CUT_TWICE),
        ('(6) 4⅞" squares, quartered diagonally', Shape.CUT_TWICE),
        ('(6) 4⅞" squares', Shape.SQUARE),
    ],
)
def test_squares_cut_on_the_diagonal_count_as_squares(line: str, shape: Shape) -> None:
    assert cuts(line) == ["6 39/8 39/8"]
    assert understood(line).cuts[0].shape is shape


def test_fewer_triangles_used_than_cut_is_a_warning_and_more_an_error() -> None:
    line = 'Two 9" squares cut twice diagonally to yield {} triangles'
    assert warnings(line.format("seven"))
    assert errors(line.format("nine"))


def test_lengthwise_in_a_line_or_in_a_heading() -> None:
    line = understood('Two 3½" x 30½" length of fabric strips').cuts[0]
    assert (line.direction, line.length) == (Direction.LENGTHWISE, Fraction(61, 2))
    heading = "Cut border strips lengthwise (parallel to the selvages)."
    text = f'{heading}\n2--5×70" border strips\n4 5" squares'
    assert [cut.direction for cut in understood(text).cuts] == [
        Direction.LENGTHWISE,
        Direction.FREE,
    ]


def test_a_length_of_fabric_without_a_figure_is_the_requirements_and_is_said() -> None:
    read = understood('2 LOF strips 4½" wide', fabric_length=Fraction(54))
    assert (read.cuts[0].length, read.cuts[0].direction) == (54, Direction.LENGTHWISE)
    assert [one.level for one in read.findings] == [Level.WARNING]
    assert errors('2 LOF strips 4½" wide')


def test_a_running_length_is_joined() -> None:
    assert cuts('Enough 2"-wide strips in lengths from 9" to 20" to total 350"') == [
        "1 2 joined 350"
    ]
    assert cuts('310" of 2¼" binding') == ["1 9/4 joined 310"]


@pytest.mark.parametrize(
    "line",
    [
        *('approx. 90 sq"', "!^2” x *2”", "q” squares", "4-78“ squares", "2 * 5½” x ? *"),
        *('2½" or 2¼" strips', '4 strips up to 8" wide', 'Cut 3½" squares', "Cut 4 squares"),
        *('(4) 3½"', 'Cut 3 hexagons 4"', 'Cut pairs of 3" squares', '3" bias strips: 5'),
        *('cut three (two) 5½" strips', '6 squares per print, 3"', '12 2½" finished rectangles'),
        *(
            "From 2 – 2½” x 5” rectangles, cut 2 – 2½” squares",
            '4 HSTs 3⅞"',
            '5" (15cm) squares: 4',
        ),
        *('Cut 5 squares 5" or 2 rectangles 4" x 5"', 'Cut 4 5" squares, 3" apart', '0 3" squares'),
        *(
            '4 1/2" x WOF strips',
            'Sub-cut one strip into (4) 2" squares',
            'Cut 15 5" squares - 7 red',
        ),
    ],
)
def test_what_is_not_sure_is_an_error_and_no_cut(line: str) -> None:
    read = understood(line)
    assert errors(line)
    assert read.cuts == []


@pytest.mark.parametrize(
    "line",
    [
        *("Join end to end.", "Cut the borders last", 'Use a ¼" seam allowance', 'WOF = 42"'),
        *('Based on 42" of usable width', 'Trim to 6½" square', 'Finished block 12" x 12"'),
        *('Make 32 units 4½" square', "Press toward the dark side", "Label the piles"),
    ],
)
def test_a_line_that_asks_for_no_cut_is_a_note(line: str) -> None:
    read = understood(line)
    assert (read.cuts, read.findings) == ([], [])
    assert len(read.remarks) == 1
    assert not says_a_cut(line)


@pytest.mark.parametrize(
    "line",
    [
        'Cut 9 strips 2½" x WOF and sew together half of them for the binding',
        'Cut 5 strips 3½" x WOF; join triple for the borders',
        '8 squares 6" (trim to another 5½" later)',
        'Cut 20 squares 5". Make 40 half-square triangles from all but 2 squares',
        "From the pale print, not cut:",
        'Two 9½" half squares',
        'Cut 12 squares 4". Set 3 aside the remaining for the corners.',
        'Cut 6 strips 2" x WOF across the width of the extra fabric',
    ],
)
def test_a_word_of_quantity_in_a_sewing_sentence_or_a_bracket_is_asked_about(line: str) -> None:
    assert any(one.level is Level.ERROR for one in understood(line).findings)


@pytest.mark.parametrize(
    "line",
    [
        *('1e strips 2½" x WOF', '1O squares 5"', 'l2 squares 5"', "4- 1/3 yard cuts"),
        *("@ panels", '@ squares 5"', "squares, 4 x 9 cm: cut 12"),
    ],
)
def test_a_slip_of_the_keyboard_in_a_count_is_asked_about(line: str) -> None:
    read = understood(line)
    assert not read.cuts
    assert errors(line) or read.remarks


@pytest.mark.parametrize("amount", ["4- 1/3 yard cuts", "@ panels", "1e strips", "2e panels"])
def test_a_slip_of_the_keyboard_in_an_amount_is_asked_about(amount: str) -> None:
    with pytest.raises(AmountError):
        read_amount(amount)


@pytest.mark.parametrize("line", ["Repeat with the other print", "Sew again", "Sew the red too"])
def test_a_note_that_may_multiply_is_a_warning(line: str) -> None:
    assert len(warnings(line)) == 1


def test_a_bracket_is_the_second_size_only_where_the_pattern_says_so() -> None:
    text = 'cut five (three) 4½" strips\nCut six (6) 3" squares'
    assert cuts(text, bracket=0) == ["5 9/2 WOF", "6 3 3"]
    assert cuts(text, bracket=1) == ["3 9/2 WOF", "6 3 3"]
    assert errors(text)


def test_a_fraction_that_lost_its_gap_is_mended_and_said() -> None:
    for typed, value in (('61/4"', "6 1/4"), ('103/8"', "10 3/8"), ('11/2"', "1 1/2")):
        side = parse_number(value)
        assert cuts(f"(3) {typed} squares") == [f"3 {side} {side}"]
        assert warnings(f"(3) {typed} squares")


def test_metric_sizes_are_exact() -> None:
    assert cuts("(3) 12,7 cm squares") == ["3 5 5"]
    assert cuts("3 squares 12.7 x 12.7", unit=Unit.CENTIMETER) == ["3 5 5"]
    assert cuts('3 – 5" (12.7cm) squares') == ["3 5 5"]


def test_several_sizes_on_one_line_are_several_cuts() -> None:
    line = 'Cut (4) 3" x 6" rectangles, (8) 3" squares, and (2) 2" x 14" strips.'
    assert cuts(line) == ["4 3 6", "8 3 3", "2 2 14"]


def test_a_letter_names_the_piece_and_a_fabric_number_is_no_count() -> None:
    assert understood('A = (1) 20½" x 9½" BG').cuts[0].name == "A"
    assert understood('8--2-1⁄2×6-1⁄2" rectangles (C)').cuts[0].name == "C"
    assert cuts('From Fabric 3, cut: (5) 4" squares') == ["5 4 4"]
    assert cuts('2nd border: (5) 4" x WOF') == ["5 4 WOF"]


def test_a_sub_cut_that_names_a_finished_size_leaves_the_strips_unread_but_said() -> None:
    read = understood('Cut (3) 4" WOF strips. Sub-cut into 4" squares.')
    assert [cut.kind for cut in read.cuts] == [PieceKind.STRIP]
    assert len(errors('Cut (3) 4" WOF strips. Sub-cut into 4" squares.')) == 1


CASES = [one for group in PHRASE_CASES.values() for one in group]


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.words)
def test_a_stranger_s_phrase_is_read_as_a_careful_person_reads_it(one: PhraseCase) -> None:
    facts = {
        key: Fraction(value) if key == "fabric_length" else value
        for key, value in one.facts.items()
    }  # type: ignore[arg-type]
    if one.cuts == (ASK,):
        assert errors(one.words, **facts)
    else:
        assert sorted(cuts(one.words, **facts)) == sorted(one.cuts)


def test_strips_that_are_left_are_cut_on_by_their_number_or_as_the_rest() -> None:
    text = 'Cut 9 strips 2½" x WOF.\nSubcut 4 strips into 64 squares 2½".\n'
    assert cuts(text + 'Subcut the remaining 5 strips into 20 – 2½" x 8½".') == [
        "64 5/2 5/2",
        "20 5/2 17/2",
    ]
    assert errors(text + 'Subcut the remaining 6 strips into 20 – 2½" x 8½".')
    assert errors(text + 'Subcut the second strip into 6 – 2½" x 6½".')
    assert errors('Cut 8 strips 2½" x WOF.\nFrom the remaining strips cut 20 squares 2½".')


def test_strips_set_aside_are_counted_against_what_is_left() -> None:
    text = 'Cut 10 strips 2½" x WOF.\nSubcut 6 strips into 96 squares 2½".\n'
    assert cuts(text + "Set the other 4 strips aside.") == ["4 5/2 WOF", "96 5/2 5/2"]
    assert "3" in errors(text + "Set the other 3 strips aside.")[0]


def test_what_is_cut_from_joined_strips_is_sewing_and_a_shortage_is_said_with_both_figures() -> (
    None
):
    text = 'Cut 4 strips 2" x WOF.\n'
    enough = text + 'Join the strips and cut (2) 2" x 40½" and (2) 2" x 43½".'
    assert cuts(enough) == ["4 2 WOF"]
    assert warnings(enough) == []
    short = text + 'Join the strips and cut (2) 2" x 41½" and (2) 2" x 45½".'
    assert cuts(short) == ["4 2 WOF"]
    assert "give 168 in" in warnings(short)[0]
    assert "174 in are wanted" in warnings(short)[0]


def test_counts_for_each_of_so_many_blocks_are_multiplied_and_without_the_number_asked_about() -> (
    None
):
    lines = '\n4 – 3½" squares\n8 – 2" squares'
    assert cuts(f"For each of 9 blocks, cut:{lines}") == ["36 7/2 7/2", "72 2 2"]
    assert len(errors(f"For each block, cut:{lines}")) == 2
    assert errors('For each of 9 blocks cut 2 strips 2" x WOF')


def test_pieces_cut_up_into_smaller_ones_are_never_counted_twice() -> None:
    assert errors('Cut 12 – 10" squares.\nCut each square into 4 – 5" squares.', cloths=40)
    chosen = 'Choose 12 – 10" squares.\nFrom each square cut 4 – 5" squares.'
    assert cuts(chosen, cloths=40) == ["48 5 5"]
    assert errors('Cut 12 – 10" squares.\nCut each in quarters to make 48 5" squares.')
    assert cuts('Cut 6 strips 2" x WOF, join and cut into 2 – 60½" lengths') == ["6 2 WOF"]


def test_no_line_is_lost_without_a_trace() -> None:
    read = understood('Cut 5 strips 2½" x WOF\nSub-cut into 80 squares\n12\nPress.')
    assert all(read.is_told(line) for line in range(4))


@pytest.mark.parametrize(
    ("width", "length"),
    [("58 cm", "88 cm"), ("6.5 cm", "6.5 cm"), ("64 mm", None), ('2 1/2"', '6 1/16"')],
)
def test_a_reading_that_is_offered_is_read_as_just_itself(width: str, length: str | None) -> None:
    sides = [None if one is None else parse_length(one, Unit.INCH) for one in (width, length)]
    assert sides[0] is not None
    (cut,) = understood(say_laid(Laid(3, sides[0], sides[1]))).cuts
    assert (cut.quantity, cut.width, cut.length) == (3, *sides)

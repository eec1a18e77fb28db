"""Which letter stands for a piece: the pattern's own, and none that could be taken for one."""

from __future__ import annotations

import pytest

from kitmaker.kits.letters import letters_of, own_letter, own_letters


@pytest.mark.parametrize(
    ("name", "letter"),
    [
        ("A side", "A"),
        ("B", "B"),
        ("C: sky", "C"),
        ("Piece D", "D"),
        ("strip F2, long", "F2"),
        ("AA corner", "AA"),
        ("  G roof", "G"),
        ("Lantern body", ""),
        ("a star", ""),
        ("A-frame roof", ""),
        ("E's own", ""),
        ("HST", ""),
        ("12 squares", ""),
        ("piece", ""),
        ("2½ square", ""),
        ("", ""),
    ],
)
def test_a_piece_has_its_own_letter_where_its_name_begins_with_one(name: str, letter: str) -> None:
    assert own_letter(name) == letter


def test_pieces_keep_the_patterns_letters() -> None:
    assert letters_of(["D pane", "H base", "F roof end"]) == ("D", "H", "F")


def test_a_piece_without_a_letter_takes_one_that_no_piece_of_the_pattern_has() -> None:
    others = own_letters(["A side", "B strip", "roof"])
    assert letters_of(["star point", "C sky", "border"], others) == ("D", "C", "E")


def test_one_letter_from_two_fabrics_is_told_apart() -> None:
    assert letters_of(["A side", "A star", "A star", "A-2"]) == ("A", "A-2", "A-3", "B")


def test_letters_go_on_behind_z_without_i_and_o() -> None:
    letters = letters_of(["piece"] * 60)
    assert letters[:10] == tuple("ABCDEFGHJK")
    assert letters[23:27] == ("Z", "AA", "AB", "AC")
    assert len(set(letters)) == 60
    assert not {"I", "O"} & set("".join(letters))

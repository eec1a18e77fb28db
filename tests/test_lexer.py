"""Cutting text into tokens: numbers in every spelling, labels that count nothing, signs."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kitmaker.reading.words.lexer import lex
from kitmaker.reading.words.tokens import SPECIAL, Kind, Token, Words


def numbers(text: str) -> list[Fraction]:
    return [token.value for token in lex(text) if token.kind is Kind.NUM and token.value]


def kinds(text: str) -> list[Kind]:
    return [token.kind for token in lex(text)]


def first(text: str) -> Token:
    return lex(text)[0]


@pytest.mark.parametrize(
    "text",
    [
        *("3 1/2", "3-1/2", "3½", "3 ½", "3.5", "3 and 1/2", "3 1⁄2", "3&1/2", "31/2"),
        *("three and a half", "three and one half"),
    ],
)
def test_three_and_a_half_is_one_number_in_every_spelling(text: str) -> None:
    assert numbers(f'{text} "') == [Fraction(7, 2)]


def test_a_number_whose_gap_was_lost_is_marked() -> None:
    assert first('53/4"').lost_gap
    assert numbers('53/4"') == [Fraction(23, 4)]
    assert not first('5 3/4"').lost_gap


def test_a_fraction_is_proper_so_a_count_before_it_is_told() -> None:
    assert numbers('9-2-1/2"') == [9, Fraction(5, 2)]
    assert numbers('6 33/4"') == [6, Fraction(15, 4)]
    assert numbers('12 - 4⅞"') == [12, Fraction(39, 8)]


def test_numbers_in_words_and_in_thousands() -> None:
    assert numbers("one hundred and eight squares") == [108]
    assert numbers("thirty-six squares") == [36]
    assert numbers("1,204 squares") == [1204]


@pytest.mark.parametrize("text", ["Border 3", "Fabric A", "Step 2", "Block B", "#4"])
def test_a_number_that_names_is_a_label_and_counts_nothing(text: str) -> None:
    assert kinds(text) == [Kind.LABEL]


def test_a_number_before_a_size_or_a_noun_is_no_label() -> None:
    assert Kind.NUM in kinds('border 3 strips 2½"')
    assert Kind.NUM in kinds('block 6 1/2"')


def test_a_unit_belongs_to_its_number() -> None:
    assert kinds('5"') == kinds("5 inches") == kinds("5in") == [Kind.NUM, Kind.UNIT]
    assert lex("2 yards")[1].value == 36
    assert kinds("cut in half")[-1] is Kind.HALF  # no inches


def test_a_mark_of_feet_cannot_be_read() -> None:
    assert Kind.BAD in kinds("3' strips")


def test_a_hyphened_word_is_one_word() -> None:
    assert kinds("half-square") == [Kind.UNITNAME]
    assert kinds("sub-cut") == kinds("subcut") == kinds("sub cut") == [Kind.SUB]
    assert kinds("off-white") == [Kind.OPEN]
    assert kinds("three-quarter-ish")[0] is not Kind.CUT


def test_the_longest_phrase_wins() -> None:
    assert kinds("width of the background fabric") == [Kind.WOF]
    assert kinds("twice on the diagonal") == [Kind.TWICE]


def test_every_token_knows_where_it_stands() -> None:
    text = 'Cut (5) 2½" × WOF strips – for “binding”.'
    for token in lex(text):
        assert 0 <= token.start < token.end <= len(text)
    assert [token.start for token in lex(text)] == sorted(token.start for token in lex(text))


def test_a_shape_fits_kinds_and_gives_places_of_tokens() -> None:
    words = Words(lex("for each of 9 star blocks"))
    found = words.fits("FOR EACH OF? (?P<n>COUNT) [OPEN GROUP]+", 0)
    assert found is not None
    assert words.count(found.start("n")) == 9
    assert found.end() == words.size
    assert words.fits("FOR COUNT", 0) is None
    assert words.fits("END", words.size) is not None


@pytest.mark.parametrize("name", SPECIAL)
def test_a_word_that_shapes_ask_for_is_of_the_kind_that_is_said_there(name: str) -> None:
    kind, said = SPECIAL[name]
    for word in said.split(",") if "," in said else said.split():
        before = "2" if kind is Kind.UNIT else "squares"
        token = lex(f"{before} {word} squares")[1]
        assert (token.kind, token.text) == (kind, word)
        assert Words((token,)).fits(name, 0), word
